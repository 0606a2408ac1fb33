"""What is drawn of a guard lies where the solved guard has it, to scale."""

from __future__ import annotations

import math
import re

import pytest
from elevations import back, example, strokes, words_of
from msgspec.structs import replace

from stairs.checks.measure import Place
from stairs.drawing import draw_elevation
from stairs.drawing.paper.primitives import THICK, Arc, Stroke, Text
from stairs.drawing.sheets.sheet_words import facts_of
from stairs.drawing.views.elevation.failure_flags import targets_of
from stairs.drawing.views.elevation.labels import opening_labels
from stairs.report.findings import count_of_failures
from stairs.report.spoken import words_of_the_job
from stairs.report.verdicts import verdicts_text
from stairs.words.speech import finished


def test_scale_is_exact(named, sheet):
    drawn = sheet(named)
    inch = 25.4 if drawn.units == "in" else 1.0
    assert drawn.view.unit == pytest.approx(float(drawn.scale.ratio) * inch, rel=1e-15)


def test_posts_stand_where_they_are_solved(named, sheet, solution):
    drawn, section = sheet(named), solution(named).sections[0].section
    outlines = [one for one in strokes(drawn, "post") if one.closed]
    posts = [post for post in section.posts if not post.wall]
    assert len(outlines) == len(posts)
    for outline, post in zip(outlines, posts, strict=True):
        points = back(drawn, outline.points)
        xs, ys = [x for x, _ in points], [y for _, y in points]
        assert (min(xs), max(xs)) == pytest.approx(
            (post.x - post.width / 2, post.x + post.width / 2)
        )
        assert max(ys) == pytest.approx(post.surface + post.height)


def test_bolts_stand_where_the_framing_has_them():
    """A 5 in plate with bolts 3/4 in from its edge: 1 3/4 in to either side of the post's middle,
    through the surface that the plate stands on."""
    drawn = example("deck-on-joists")
    middles = [at + side for at in (0, 68, 136) for side in (-1.75, 1.75)]
    lines = [back(drawn, one.points) for one in strokes(drawn, "centre-line")]
    through = [ends for ends in lines if min(y for _, y in ends) < 0 < max(y for _, y in ends)]
    assert sorted(x for (x, _), _ in through) == pytest.approx(middles)
    assert all(low[0] == pytest.approx(high[0]) for low, high in through)
    plain = example("porch")  # of which the job gives none
    assert len(strokes(plain, "centre-line")) == len(strokes(plain, "post")) / 2


def test_rails_are_outlined_as_solved(named, sheet, solution):
    drawn, section = sheet(named), solution(named).sections[0].section
    outlines = [back(drawn, one.points) for one in strokes(drawn, "rail")]
    wanted = [rail for bay in section.bays for rail in (bay.bottom_rail, bay.top_rail)]
    assert len(outlines) == len(wanted)
    for outline, rail in zip(outlines, wanted, strict=True):
        for (x, y), (wanted_x, wanted_y) in zip(outline, rail, strict=True):
            assert (x, y) == pytest.approx((wanted_x, wanted_y))


def test_every_baluster_is_drawn_between_the_rails(named, sheet, solution):
    drawn, section = sheet(named), solution(named).sections[0].section
    width = float(solution(named).job.panel.baluster)
    outlines = [back(drawn, one.points) for one in strokes(drawn, "baluster")]
    assert len(outlines) == sum(bay.balusters for bay in section.bays)
    centres = [x for bay in section.bays for x in bay.baluster_x]
    for outline, centre in zip(outlines, centres, strict=True):
        xs = [x for x, _ in outline]
        assert (min(xs), max(xs)) == pytest.approx((centre - width / 2, centre + width / 2))
        low, high = outline[0][1], outline[3][1]
        slope = math.tan(math.radians(section.rake))
        between = float(section.racked.rail_spacing) / math.cos(math.radians(section.rake))
        assert high - low < between
        assert outline[1][1] - low == pytest.approx(slope * width)


def test_treads_lie_at_the_nosings(named, sheet, solution):
    drawn, section = sheet(named), solution(named).sections[0].section
    slabs = [back(drawn, one.points) for one in strokes(drawn, "tread")]
    assert len(slabs) == (section.flight.treads if section.flight else 0)
    for slab, (x, y) in zip(slabs, section.nosings, strict=False):
        assert slab[0] == pytest.approx((x, y))
        assert slab[2][1] == pytest.approx(y - float(section.flight.tread_thickness))


def test_open_risers_are_left_open(sheet):
    assert strokes(sheet("plain"), "riser")
    assert not strokes(sheet("open risers"), "riser")


def test_a_closed_stringer_hides_the_treads(sheet):
    assert {one.line for one in strokes(sheet("closed stringer"), "tread")} == {"dashed"}
    assert {one.line for one in strokes(sheet("plain"), "tread")} == {"continuous"}


def test_circles_are_those_of_the_openings_under_the_rail(named, sheet, solution):
    drawn, section = sheet(named), solution(named).sections[0].section
    kinds = ("triangle", "foot", "head", "under-rail")
    wanted = [one for one in section.openings if one.kind in kinds]
    circles = [one for one in drawn.work if isinstance(one, Arc) and one.group == "opening"]
    drawn_ones = [
        (*drawn.view.back(one.center), 2 * one.radius / drawn.view.unit) for one in circles
    ]
    assert len(wanted) > 0
    for opening in wanted:
        assert any(
            math.dist((*opening.center, opening.drawn_diameter), one) < 1e-6 * opening.diameter
            for one in drawn_ones
        ), opening


def test_the_largest_opening_of_each_kind_is_labelled(solution):
    section = solution("two bays").sections[0].section
    labelled = opening_labels(section)
    assert sorted(one.kind for one in labelled) == ["foot", "head", "triangle"]
    for one in labelled:
        alike = [other.diameter for other in section.openings if other.kind == one.kind]
        assert one.diameter == pytest.approx(max(alike))


def test_the_rail_covers_what_lies_behind_it(sheet):
    assert all(one.fill == "blank" for one in strokes(sheet("plain"), "rail"))


LADDER = (0.13, 0.18, 0.25, 0.35, 0.5, 0.7)  # mm, ISO 128-2, from memory


def test_lines_are_of_the_ladder_and_black_on_white(named, sheet):
    for one in sheet(named).primitives:
        if not isinstance(one, Text):
            assert one.weight == 0.0 or one.weight in LADDER
            assert one.fill in (None, "ink", "blank")


# --------------------------------------------------------------------------- failures


def test_every_failure_is_flagged_on_the_view_and_in_the_table(sheet, solution):
    facts = facts_of(solution("failing"), 1)
    assert len(facts.failures) >= 2
    flags = " ".join(
        one.content for one in sheet("failing").labels
        if isinstance(one, Text) and one.group == "failure"
    )  # fmt: skip
    table = [one.content for one in sheet("failing").furniture if isinstance(one, Text)]
    for failure in facts.failures:
        assert str(failure.mark) in flags
        assert f"FAIL {failure.mark}" in table
    assert any(text.startswith("DOES NOT PASS") for text in table)


def test_what_fails_is_first_and_heavy_and_what_passes_is_quiet(sheet, solution):
    facts = facts_of(solution("failing"), 1)
    board = [
        one for one in sheet("failing").furniture if getattr(one, "group", "") in ("table", "note")
    ]
    texts = [one for one in board if isinstance(one, Text)]
    passed = next(one for one in texts if one.content.startswith("PASS: "))
    assert passed.content == f"PASS: {sum(one.verdict == 'pass' for one in facts.verdicts)}"
    heavy = [one for one in texts if one.bold and not one.blank]
    for failure in facts.failures:
        mark = next(one for one in texts if one.content == f"FAIL {failure.mark}")
        assert mark.at[1] > passed.at[1]
        beside = [one.content for one in heavy if abs(one.at[1] - mark.at[1]) < 0.1]
        assert failure.value in beside and any(failure.title.startswith(one[:8]) for one in beside)
        if failure.remedy:
            under = [one for one in texts if failure.remedy.startswith(one.content[:12].ljust(12))]
            assert any(passed.at[1] < one.at[1] < mark.at[1] for one in under)
    assert all(one.at[1] > passed.at[1] for one in heavy)
    # no rules and no frames between what passes
    ruled = [y for one in board if isinstance(one, Stroke) for _, y in one.points]
    assert min(ruled) > passed.at[1]


def test_every_opening_that_fails_is_drawn_heavier(make_text, sheet, solution):
    """Treads alike all fail; their circles lie a run and a rise apart."""
    job = make_text(treads="5", posts='["-4", "56"]', bottom_gap='"2 1/2"')
    drawn = sheet(job)
    heavy = [one.center for one in drawn.work if isinstance(one, Arc) and one.weight == THICK]
    places = [drawn.view.back(center) for center in heavy]
    assert len(places) == 5
    for (x0, y0), (x1, y1) in zip(places, places[1:], strict=False):
        assert (x1 - x0, y1 - y0) == (pytest.approx(10.5), pytest.approx(7.25))
    part = solution(job).sections[0]
    assert count_of_failures([part]) == "1 check fails, at 5 places"
    words = words_of(drawn.furniture)
    assert "DOES NOT PASS: 1 CHECK FAILS, AT 5 PLACES" in words
    assert "also treads 2 to 5" in " ".join(words)
    flags = [one for one in words_of(drawn.labels) if one == "FAIL 1"]
    assert len(flags) > 1
    screen = verdicts_text(solution(job).job, part)
    assert "and at treads 2 to 5" in screen


def test_the_circle_whose_size_is_told_is_heavier_than_its_equals(sheet, solution):
    drawn, part = sheet("plain"), solution("plain").sections[0]
    circles = [one for one in drawn.work if isinstance(one, Arc) and one.group == "opening"]
    under = [one for one in part.section.openings if one.kind == "triangle"]
    weights = {}
    for opening in under:
        at = drawn.view.at(opening.center)
        (circle,) = [one for one in circles if math.dist(one.center, at) < 1e-6]
        weights[opening.tread] = circle.weight
    heavy = [tread for tread, weight in weights.items() if weight == max(weights.values())]
    assert len(weights) == 5 and len(heavy) == 1
    assert any(words.endswith(f"AT TREAD {heavy[0]}") for words in words_of(drawn.labels))


def test_two_posts_side_by_side_are_both_drawn(make_text, sheet, solution):
    """A post of its own stands 4 1/2 in off the neighbour's, face to face: a ball of 4 passes."""
    job = make_text(posts='["-4", "56"]') + (
        '\n[[section]]\nkind = "level"\nstart = "own"\npost_gap = "4 1/2"\nturn = 90\n'
        'span = 60\nbays = 1\nbottom_gap = "2"\n'
    )
    drawn = draw_elevation(solution(job), section=2)
    posts = [back(drawn, one.points) for one in strokes(drawn, "post") if one.closed]
    faces = sorted((min(x for x, _ in one), max(x for x, _ in one)) for one in posts)
    assert faces[0] == (pytest.approx(-1.5 - 4.5 - 3), pytest.approx(-1.5 - 4.5))
    assert faces[1] == (pytest.approx(-1.5), pytest.approx(1.5))
    words = words_of(drawn.labels)
    assert "OF SECTION 1" in words and "BETWEEN POSTS" in words and '4 1/2"' in words
    heavy = [one for one in drawn.work if isinstance(one, Arc) and one.weight == THICK]
    assert [drawn.view.back(one.center)[0] for one in heavy] == [pytest.approx(-1.5 - 4.5 / 2)]


@pytest.mark.parametrize("tread", [1, 2, 10, 12])
def test_a_flag_points_at_the_opening_that_is_meant(sheet, solution, tread):
    section = solution("fourteen risers").sections[0].section
    at = next(k for k, one in enumerate(section.openings) if one.tread == tread)
    verdict = replace(
        facts_of(solution("fourteen risers"), 1).verdicts[0], id="opening-triangle", openings=(at,)
    )
    [target] = targets_of(verdict, section, sheet("fourteen risers").view, ())
    assert target.opening.tread == tread


@pytest.mark.parametrize(
    ("where", "bay"), [(("bay", 2), 1), (("nosing", 1), 0), (("nosing", 7), 1)]
)
def test_a_flag_at_the_rail_points_at_the_bay_that_is_meant(sheet, solution, where, bay):
    section = solution("two bays").sections[0].section
    verdict = replace(
        facts_of(solution("two bays"), 1).verdicts[0],
        id="handrail-graspable-max",
        at=Place(where[0], where[1:]),
        openings=(),
    )
    view = sheet("two bays").view
    x, _ = view.back(targets_of(verdict, section, view, ())[0].point)
    rail = section.bays[bay].top_rail
    assert rail[1][0] < x < rail[2][0]


def test_a_guard_that_passes_has_no_band(sheet, solution):
    assert not facts_of(solution("plain"), 1).failures
    words = [one.content for one in sheet("plain").furniture if isinstance(one, Text)]
    assert not any("FAIL" in text for text in words)


def test_what_has_no_room_on_the_view_stands_in_the_column(sheet, solution, make_text):
    job = make_text(treads="13", bays="4")
    crowded = sheet(job, "letter")
    words = words_of(crowded.furniture)
    on_view = " ".join(words_of(crowded.labels))
    section = solution(job).sections[0].section
    for post in section.posts[1:-1]:
        tall = sheet(job).labels  # where there is room, the height is on the view
        assert f"POST {post.number}" in words_of(tall)
        assert f"POST {post.number}" in on_view + " ".join(words)
    assert "POSTS" in words
    assert any(text.startswith(("Post 2: ", "Posts 2 to ")) for text in words)


# --------------------------------------------------------------------------- small sheets


@pytest.mark.parametrize("job, paper", [("failing", "letter"), ("metric", "A4")])
def test_a_small_sheet_tells_what_it_can_and_counts_the_rest(job, paper, sheet, solution):
    verdicts = facts_of(solution(job), 1).verdicts
    words = " ".join(words_of(sheet(job, paper).furniture))
    told = [one for one in verdicts if one.id.startswith(("opening", "guard-h", "handrail-h"))]
    for one in told:
        assert one.title.split()[0] in words
    passing = [one for one in verdicts if one.verdict == "pass"]
    left_out = re.search(r"And (\d+) more pass; see the checks on the screen\.", words)
    listed = int(re.search(r"(?<!NOT )PASS: (\d+) ", words)[1])
    assert (int(left_out[1]) if left_out else 0) + listed == len(passing)
    assert listed >= len([one for one in told if one in passing])
    assert all(f"FAIL {one.mark}" in words for one in verdicts if one.mark)


def test_a_sheet_that_nobody_asked_for_has_every_check(named, sheet, solution):
    drawn = sheet(named)
    words = " ".join(words_of(drawn.furniture))
    listed = drawn.unplaced or any(head in words for head in ("POSTS", "GAP UNDER THE RAIL"))
    assert listed or "more pass; see the checks" not in words
    with words_of_the_job(solution(named).job):
        titles = [finished(one.title) for one in facts_of(solution(named), 1).verdicts]
    assert titles and (listed or all(title.split()[0] in words for title in titles))


def test_small_jobs_take_a_small_sheet_unasked(solution, make_text, sheet):
    small = sheet(make_text(kind='"level"', span='"48"', bays="1", bottom_gap='"3"'))
    assert small.paper.name == "letter"


# --------------------------------------------------------------------------- walls and neighbours


def test_a_wall_is_hatched_and_named(sheet, solution):
    drawn, section = sheet("to a wall"), solution("to a wall").sections[0].section
    assert section.posts[-1].wall
    (face,) = strokes(drawn, "wall")
    (x, foot), (_, top) = back(drawn, face.points)
    assert (x, foot) == pytest.approx((section.posts[-1].x, 0.0))
    assert top > section.guard_height
    hatch = strokes(drawn, "wall-hatch")
    assert len(hatch) > 5
    assert all(px > x for one in hatch for px, _ in back(drawn, one.points))
    words = words_of(drawn.labels)
    assert "WALL" in words
    assert f"POST {len(section.posts)}" not in words


def test_a_shared_post_says_whose_it_is_too(solution, make_text, sheet):
    more = (
        "[[section]]\nname = 'deck side'\nkind = 'level'\nspan = '60'\nbays = 1\nturn = 90\n"
        "bottom_gap = '2'\n"
    )
    drawn = sheet(make_text(posts='["-4", "56"]') + more)
    words = words_of(drawn.labels)
    assert words.count("POST 2") == 1
    assert "ALSO POST 1" in words
    assert "OF SECTION 2" in words


# --------------------------------------------------------------------------- measured flights


def test_every_step_of_a_measured_flight_is_dimensioned(sheet, solution):
    drawn, section = sheet("measured"), solution("measured").sections[0].section
    survey = section.flight.survey
    values = {one.name: one.value for one in drawn.dimensions}
    for k, rise in enumerate(survey.rises, start=1):
        assert values[f"rise {k}"] == pytest.approx(float(rise))
    for k, run in enumerate(survey.runs, start=1):
        assert values[f"run {k}"] == pytest.approx(float(run))


def test_every_nosing_of_a_measured_flight_has_its_own_gap(sheet, solution):
    section = solution("slipped").sections[0].section
    drawn = sheet("slipped")
    on_view = [one for one in words_of(drawn.labels) if one.endswith(" GAP")]
    listed = re.findall(r"Nosing \d+: [^;]+(?=[;.])", " ".join(words_of(drawn.furniture)))
    assert len(on_view) == len(section.nosings) or len(listed) == len(section.nosings)


def test_a_slip_of_the_tape_is_flagged_at_its_nosing(sheet, solution):
    drawn, section = sheet("slipped"), solution("slipped").sections[0].section
    (slip,) = section.flight.survey.slips
    assert "MEASURE AGAIN" in words_of(drawn.labels)
    (leader,) = [one for one in drawn.labels if one.group == "leader" and one.owner == "slip"
                 and not one.closed]  # fmt: skip
    assert drawn.view.back(leader.points[0]) == pytest.approx(section.nosings[slip.nosing - 1])
    assert "MEASURE AGAIN" not in words_of(sheet("measured").labels)


# --------------------------------------------------------------------------- passages


def test_a_passage_is_noted_and_its_ball_lettered(sheet, solution):
    drawn, section = sheet("passage"), solution("passage").sections[0].section
    words = words_of(drawn.labels)
    assert any(one.startswith("BALL Ø ") for one in words)
    circles = [one for one in drawn.work if isinstance(one, Arc) and one.group == "opening"]
    flat = {round(one.flat_diameter, 6) for one in section.openings if one.flat_diameter}
    assert {round(2 * one.radius / drawn.view.unit, 6) for one in circles} <= flat
    assert all(one.weight < THICK for one in circles)
    assert "PASSAGE" in words_of(drawn.furniture)
    assert "PASSAGE" not in words_of(sheet("plain").furniture)


def test_the_sheet_says_what_is_drawn_as_a_sign(named, sheet):
    assert "are shown diagrammatically" in " ".join(words_of(sheet(named).furniture))
