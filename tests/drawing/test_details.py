"""Details are enlarged, true to scale, and show the numbers of the section they are of."""

from __future__ import annotations

import math
import re
from pathlib import Path

import pytest
from shapely.geometry import Polygon

from stairs.drawing.paper.primitives import Arc, Stroke, Text
from stairs.drawing.paper.sheet_sizes import scales
from stairs.drawing.paper.view import View
from stairs.drawing.placing.extents import box_of
from stairs.drawing.placing.windows import through_window
from stairs.drawing.sets.packet.schedules import schedules
from stairs.drawing.sheets.page import millimetres, paper_for
from stairs.drawing.views.details.base import base_detail
from stairs.drawing.views.details.details import ENLARGED, referred_details
from stairs.drawing.views.details.ends import end_detail
from stairs.drawing.views.details.opening import opening_detail, touched
from stairs.drawing.views.details.panel import panel_detail
from stairs.drawing.views.details.parts import FoldedView
from stairs.job import read_job
from stairs.lengths.tape_marks import length_text
from stairs.lists.cut_list import cut_list
from stairs.openings.cube import largest_cube
from stairs.solution import solution_for

EXAMPLES = Path(__file__).parents[2] / "examples"
WIDE = {"in": "tabloid", "mm": "A3"}


def pages_of(solution):
    return referred_details(solution, paper_for(solution.job.units, WIDE[solution.job.units]))[0]


def words_of(pages):
    return [one.content for page in pages for one in page.content if isinstance(one, Text)]


def test_a_detail_is_at_an_enlarged_standard_scale(named, solution):
    one = solution(named)
    offered = {s.words for s in scales(one.job.units) if s.ratio in ENLARGED[one.job.units]}
    shown = [words.removeprefix("SCALE ").split(". ")[0] for words in words_of(pages_of(one))
             if words.startswith("SCALE ")]  # fmt: skip
    assert len(shown) >= 3
    assert set(shown) <= offered


def test_the_circle_is_the_openings_to_scale(named, solution):
    one = solution(named)
    part = one.sections[0]
    circles = [
        shape for page in pages_of(one) for shape in page.content
        if isinstance(shape, Arc) and shape.group == "opening"
    ]  # fmt: skip
    under = [
        o for o in part.section.openings if o.kind in ("triangle", "foot", "head", "under-rail")
    ]
    ratios = [float(ratio) for ratio in ENLARGED[one.job.units]]
    assert len(circles) == 1
    diameters = {millimetres(o.drawn_diameter, one.job.units) for o in under}
    assert any(
        abs(2 * circles[0].radius - wide * ratio) < 0.01 for wide in diameters for ratio in ratios
    )


def test_the_opening_carries_value_limit_clause_and_verdict(solution):
    one = solution("failing")
    text = words_of(pages_of(one))
    assert "FAIL" in text
    assert any(words.startswith("Ø ") for words in text)
    assert any("below" in words and "FAILS" in words for words in text)
    frames = [
        shape for page in pages_of(one) for shape in page.content
        if isinstance(shape, Stroke) and shape.group == "failure" and shape.closed
    ]  # fmt: skip
    assert frames


@pytest.mark.parametrize("name", ["plain", "metric", "steep"])
def test_rail_end_numbers_are_the_brackets(name, solution):
    one = solution(name)
    job, section = one.job, one.guard.sections[0]
    text = words_of(pages_of(one))
    unit = job.units == "in"
    for length in (job.bracket.pivot_offset, job.bracket.rail_setback):
        assert length_text(length, job.units, job.tape, unit=unit) in text
    bay = section.bays[0]
    assert f"{bay.ends.angle_low:.1f}°" in text
    assert f"{bay.ends.angle_high:.1f}°" in text
    assert f"swung {bay.ends.swing:.1f}° from level" in " ".join(text)


def test_a_plumb_cut_shows_the_saw(solution):
    one = solution("plumb cut")
    text = " ".join(words_of(pages_of(one)))
    assert f"saw turned {one.guard.sections[0].bays[0].ends.saw_angle:.1f}°" in text


@pytest.mark.parametrize("name", ["plain", "metric", "level"])
def test_panel_numbers_are_the_sections(name, solution):
    one = solution(name)
    job, section = one.job, one.guard.sections[0]
    text = " ".join(words_of(pages_of(one)))
    unit = job.units == "in"
    wanted = [section.panel_height, float(section.racked.baluster_clear), job.panel.pitch]
    if section.rake:
        wanted.append(float(section.racked.rail_spacing))
    for length in wanted:
        assert length_text(length, job.units, job.tape, unit=unit) in text


def test_edge_distance_is_shown_with_its_least(solution):
    one = solution("two bays")
    edges = [post.plate_edge for post in one.guard.sections[0].posts if post.plate_edge is not None]
    text = " ".join(words_of(pages_of(one)))
    assert length_text(min(edges), "in", one.job.tape) in text
    assert (
        f"Plate to edge: at least {length_text(one.job.post.edge_distance, 'in', one.job.tape)}"
        in text
    )


def test_sections_alike_share_a_set(solution, make_text):
    level = make_text(kind='"level"', span='"96"', bays="1", bottom_gap='"2"', name='"one"')
    second = (
        '\n[[section]]\nname = "two"\nkind = "level"\nspan = "84"\nbays = 1\n'
        'bottom_gap = "2"\nturn = 90\n'
    )
    same = pages_of(solution(level + second))
    other = pages_of(solution(level + second.replace('bottom_gap = "2"', 'bottom_gap = "3"')))
    assert [page.name for page in same] == ["Details of sections 1 and 2"]
    assert [page.name for page in other] == ["Details of one", "Details of two"]


def test_every_detail_exists_for_a_flight_and_its_dimensions_measure_true(named, solution):
    one = solution(named)
    part = one.sections[0]
    made = [opening_detail(one, part), base_detail(one, part), end_detail(one, part, False),
            end_detail(one, part, True), panel_detail(one, part)]  # fmt: skip
    assert all(detail is not None for detail in made)
    view = View(scales(one.job.units)[0], one.job.units)
    frame = (0.0, 0.0, 100.0, 100.0)
    checked = 0
    for detail in made:
        for dimension in detail.dimensions(view, frame):
            if dimension.kind == "angle":
                continue
            (x0, y0), (x1, y1) = dimension.points
            length = {"level": abs(x1 - x0), "plumb": abs(y1 - y0)}.get(
                dimension.kind, ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5
            )
            assert length == pytest.approx(dimension.value, rel=1e-9), dimension.name
            checked += 1
    assert checked >= 5


def test_a_window_cuts_lines_and_keeps_fills():
    square = Stroke(((0, 0), (10, 0), (10, 10), (0, 10)), 0.5, "post", closed=True, fill="blank")
    seen = through_window([square], (-5.0, 2.0, 5.0, 8.0))
    face = next(one for one in seen if one.fill == "blank")
    assert sorted(face.points) == [(0, 2.0), (0, 8.0), (5.0, 2.0), (5.0, 8.0)]
    lines = [one.points for one in seen if one.fill is None]
    assert len(lines) == 1 and {x for x, _ in lines[0]} == {0.0}


@pytest.mark.parametrize("name", ["plain", "steep", "metric"])
def test_a_panel_is_broken_to_reach_a_larger_scale_and_still_measures_true(name, solution):
    one = solution(name)
    detail = panel_detail(one, one.sections[0])
    whole = View(scales(one.job.units)[0], one.job.units)
    folded = FoldedView(whole.scale, whole.units, (0.0, 0.0), detail.fold, detail.fold.most)
    tall = next(d for d in detail.dimensions(whole, (0.0,) * 4) if d.name == "panel height")
    low, high = tall.points
    assert detail.fold.most > 0
    assert folded.at(low) == whole.at(low)
    short = whole.at(high)[1] - folded.at(high)[1]
    assert short == pytest.approx(folded.length(detail.fold.most))
    assert high[1] - low[1] == pytest.approx(one.guard.sections[0].panel_height)
    captions = [words for words in words_of(pages_of(one)) if "Broken" in words]
    told = "Stands for all bays of section 1. Broken; dimensions as lettered"
    assert captions == [f"SCALE {whole.scale.words}. {told}"]
    breaks = [part for page in pages_of(one) for part in page.content if part.group == "break"]
    assert sum(part.fill == "blank" for part in breaks) == 1


@pytest.mark.parametrize("name", ["plain", "steep", "level", "slipped"])
def test_the_circle_touches_what_it_is_said_to_lean_on(name, solution):
    one = solution(name)
    for opening in one.guard.sections[0].openings:
        if opening.kind not in ("triangle", "under-rail") or opening.flat_diameter is not None:
            continue
        dots = touched(opening)
        assert len(dots) == len(opening.leans_on)
        for dot in dots:
            assert math.dist(dot, opening.center) == pytest.approx(opening.diameter / 2, rel=1e-3)


def test_the_limit_is_drawn_as_a_ball_of_its_size(solution):
    one = solution("failing")
    balls = [
        part for page in pages_of(one) for part in page.content
        if isinstance(part, Arc) and part.group == "limit-ball"
    ]  # fmt: skip
    assert len(balls) == 1
    assert "Dashed: a ball of" in " ".join(words_of(pages_of(one)))
    words = next(words for words in words_of(pages_of(one)) if words.startswith("SCALE "))
    scale = next(s for s in scales("in") if s.words in words)
    finding = max(
        (f for o, f in zip(one.sections[0].section.openings, one.sections[0].openings, strict=True)
         if f.verdict == "fail" and o.kind in ("triangle", "foot", "head")),
        key=lambda f: f.value,
    )  # fmt: skip
    wanted = millimetres(finding.ruling.limit, "in") * float(scale.ratio)
    assert 2 * balls[0].radius == pytest.approx(wanted, abs=0.01)


def texts_of(pages, start):
    return [one for page in pages for one in page.content
            if isinstance(one, Text) and one.content.startswith(start)]  # fmt: skip


@pytest.mark.parametrize("name", ["plain", "failing"])
def test_a_circle_with_room_is_lettered_within_and_the_tread_and_rail_on_themselves(name, solution):
    pages = pages_of(solution(name))
    circle = next(
        one for page in pages for one in page.content
        if isinstance(one, Arc) and one.group == "opening"
    )  # fmt: skip
    (diameter,) = texts_of(pages, "Ø ")
    corners = box_of(diameter).corners()
    assert max(math.dist(corner, circle.center) for corner in corners) < circle.radius
    leaders = {one.owner for page in pages for one in page.content if one.group == "leader"}
    assert diameter.content not in leaders
    (tread,) = texts_of(pages, "TREAD ")
    assert "THICK" in tread.content and tread.owner not in leaders
    (rail,) = texts_of(pages, "BOTTOM RAIL")
    rake = solution(name).guard.sections[0].rake
    assert rail.rotation == pytest.approx(rake, abs=1e-6) and rail.owner not in leaders


def test_the_edge_distance_is_said_once_and_pointed_at_only_where_it_fails(solution, make_text):
    good = pages_of(solution("two bays"))
    assert not texts_of(good, "EDGE DISTANCE")
    bad = pages_of(solution(make_text(posts='["-4", "57"]', parts={"edge": "4"})))
    assert texts_of(bad, "EDGE DISTANCE") and texts_of(bad, "FAIL")


def test_the_gap_under_a_level_rail_is_a_dimension(solution):
    one = solution("level")
    detail = opening_detail(one, one.sections[0])
    view = View(scales("in")[0], "in")
    (gap,) = detail.dimensions(view, (0.0, 0.0, 100.0, 100.0))
    assert (gap.name, gap.value, gap.text) == ("bottom gap", 2.0, '2"')


def test_a_surface_is_named_beneath_itself(solution):
    pages = pages_of(solution("level"))
    (words,) = texts_of(pages, "DECK")
    leaders = {one.owner for page in pages for one in page.content if one.group == "leader"}
    assert "DECK" not in leaders and words.anchor == "right"


def test_a_circle_in_millimetres_is_lettered_without_the_unit_as_dimensions_are():
    one = solution_for(read_job(str(EXAMPLES / "metric-deck.toml")), False)
    circles = texts_of(pages_of(one), "Ø ")
    assert circles
    assert all(re.fullmatch(r"Ø \d+", text.content) for text in circles)


def drawn_as(pages, group):
    return [one for page in pages for one in page.content if one.group == group]


def ruled_by(book, make_text):
    steps = {"unit_rise": '"175"', "unit_run": '"260"', "bottom_gap": '"40"', "treads": "6"}
    return make_text("mm", **steps).replace("england-ad-k-2013", book)


def scale_of(pages):
    words = next(words for words in words_of(pages) if ". Limit " in words)
    return float(next(s.ratio for s in scales("mm") if s.words in words))


@pytest.mark.parametrize("book", ["din-18065-2015", "ncc-2022"])
def test_the_circle_is_lettered_with_its_own_size(book, solution, make_text):
    pages = pages_of(solution(ruled_by(book, make_text)))
    (circle,) = drawn_as(pages, "opening")
    (words,) = texts_of(pages, "Ø ")
    assert words.content == f"Ø {2 * circle.radius / scale_of(pages):.0f}"


def test_a_cube_is_drawn_as_the_square_that_passes(solution, make_text):
    """It lies within the opening; tread, riser and rail leave no larger one in their corner."""
    one = solution(ruled_by("din-18065-2015", make_text))
    pages = pages_of(one)
    (cube,), (limit,) = drawn_as(pages, "cube"), drawn_as(pages, "limit-cube")
    scale = scale_of(pages)
    for square, wanted in ((cube, None), (limit, 150.0)):
        sides = [math.dist(*ends) for ends in square.segments()]
        assert sides == pytest.approx([sides[0]] * 4)
        assert wanted is None or sides[0] / scale == pytest.approx(wanted)
    (words,) = texts_of(pages, "CUBE ")
    side = math.dist(*cube.points[:2]) / scale
    assert words.content == f"CUBE {side:.0f}"
    # under the overhanging nosing, 40 thick, 175 - 40 is left
    assert side == pytest.approx(135, abs=0.01)
    opening = next(o for o in one.guard.sections[0].openings if o.kind == "triangle")
    assert Polygon(opening.outline).buffer(0.01).covers(Polygon(largest_cube(opening).corners))


def test_a_strip_is_drawn_square_to_the_nosing_line(solution, make_text):
    pages = pages_of(solution(ruled_by("ncc-2022", make_text)))
    (line,) = [one for one in drawn_as(pages, "dimension") if one.owner == "strip" and
               math.dist(*one.points) > 4.0]  # fmt: skip
    cosine = 260 / math.hypot(175, 260)
    assert math.dist(*line.points) / scale_of(pages) == pytest.approx(40 * cosine)
    assert f"{40 * cosine:.0f} SQUARE" in words_of(pages)
    assert not drawn_as(pages, "cube")
    (x0, y0), (x1, y1) = line.points
    assert (x1 - x0) / (y1 - y0) == pytest.approx(-175 / 260)


@pytest.mark.parametrize(
    "book, measure", [("din-18065-2015", "cube 135 mm"), ("ncc-2022", "strip 33 mm")]
)
def test_the_schedule_tells_the_ball_and_what_the_code_tries(book, measure, solution, make_text):
    one = solution(ruled_by(book, make_text))
    pages = schedules(one, cut_list(one), (0.0, 0.0, 400.0, 280.0))
    words = [part.content for page in pages for part in page if isinstance(part, Text)]
    assert measure in words and "160 mm" in words


def test_a_pitch_between_two_marks_is_lettered_as_it_is(solution, make_text):
    words = words_of(pages_of(solution(make_text("mm", parts={"pitch": "108.5"}))))
    assert {"108.5", "108.5 PITCH"} & set(words) and not {"109", "109 PITCH"} & set(words)
