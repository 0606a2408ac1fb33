"""Plan and framing plan lie where their records have them, to scale."""

from __future__ import annotations

import cmath
import io
import itertools
import math
from pathlib import Path

import pytest

from stairs.drawing import write
from stairs.drawing.paper.primitives import Arc, Stroke, Text
from stairs.drawing.paper.sheet_sizes import scales
from stairs.drawing.paper.view import View
from stairs.drawing.placing.extents import cross
from stairs.drawing.placing.inspection import overlaps
from stairs.drawing.views.details.base import base_detail
from stairs.drawing.views.framing import draw_framing
from stairs.drawing.views.plan.plan import draw_plan, turned
from stairs.errors import JobError, SheetError
from stairs.guard.plan import plan_of
from stairs.job import job_from_text, read_job
from stairs.lengths.tape_marks import length_text, round_to_mark
from stairs.solution import solution_for

EXAMPLES = Path(__file__).parents[2] / "examples"
CORNERS = """
[[section]]
name = "side"
kind = "level"
span = "48"
bays = 1
bottom_gap = "2"
drop = "43"
turn = 90

[[section]]
name = "clipped"
kind = "level"
span = "51"
bays = 1
bottom_gap = "2"
drop = "43"
turn = -45
end = "wall"
"""
FRAMING = """
[framing]
direction = "{direction}"
joist_spacing = "16"
first_joist = "{first}"
joist_thickness = "1 1/2"
board_width = "5 1/2"
board_gap = "1/8"
[[section]]"""


@pytest.fixture(scope="module")
def corners(make_text):
    return solution_for(job_from_text(make_text(treads="5", name='"up"') + CORNERS))


def framed(make_text, direction, first):
    text = make_text(kind='"level"', span='"132"', bays="2", bottom_gap='"2"')
    made = FRAMING.format(direction=direction, first=first)
    return solution_for(job_from_text(text.replace("[[section]]", made)))


def centres(sheet, group):
    found = []
    for one in sheet.work:
        if isinstance(one, Stroke) and one.group == group:
            xs, ys = zip(*one.points, strict=True)
            found.append((sum(xs) / len(xs), sum(ys) / len(ys)))
    return found


def words_of(sheet):
    return [one.content for one in sheet.primitives if isinstance(one, Text)]


def test_nothing_overlaps_or_leaves_the_border(named, solution):
    sheet = draw_plan(solution(named))
    assert not overlaps(sheet.primitives, sheet.paper.border)


def test_posts_lie_apart_as_in_the_plan(corners):
    sheet = draw_plan(corners)
    plan = plan_of(corners.guard)
    drawn = centres(sheet, "post")
    assert len(drawn) == len(plan.posts) == 3
    unit = float(sheet.scale.ratio) * 25.4
    pairs = list(itertools.combinations(range(3), 2))
    for a, b in pairs:
        apart = math.dist(plan.posts[a].centre, plan.posts[b].centre) * unit
        assert math.dist(drawn[a], drawn[b]) == pytest.approx(apart, abs=0.01)


def test_treads_and_nosings_are_all_there(corners):
    sheet = draw_plan(corners)
    section = corners.guard.sections[0]
    assert len(centres(sheet, "tread")) == section.flight.treads
    assert len([one for one in sheet.work if one.group == "nosing"]) == section.flight.risers


def test_set_out_figures_run_from_the_first_nosing_or_post(corners):
    words = words_of(draw_plan(corners))
    for section in corners.guard.sections:
        for post in section.posts:
            if section.kind == "flight" or post.number > 1:
                value = round_to_mark(post.x, corners.job.tape)
                assert length_text(value, "in", corners.job.tape, feet=True) in words


def test_running_figures_are_turned_at_their_lines_and_bays_lie_along_the_guard(corners):
    """A running figure reads across the guard, a bay's along it, and every origin has its 0."""
    one, sheet = corners, draw_plan(corners)
    headings = {place.number: place.heading for place in plan_of(one.guard).sections}
    found = {text.owner: text for text in sheet.labels if isinstance(text, Text)}
    for section in one.guard.sections:
        along = headings[section.number]
        posts = section.posts
        for post in posts:
            figure = found[f"section {section.number}: post {post.number}"]
            assert (figure.rotation - along) % 180 == pytest.approx(90, abs=1e-6)
            value = round_to_mark(post.x, one.job.tape)
            text = length_text(value, "in", one.job.tape, feet=True) if post.x else "0"
            assert figure.content == text
        if all(post.x for post in posts):
            assert found[f"section {section.number}: 0"].content == "0"
        for k, (a, b) in enumerate(itertools.pairwise(posts), start=1):
            figure = found[f"section {section.number}: bay {k}"]
            # the figure's middle lies midway between both posts, along the guard
            assert (figure.rotation - along) % 180 == pytest.approx(0, abs=1e-6)
            told = length_text(b.x - a.x, "in", one.job.tape, feet=True)
            assert figure.content.removeprefix("NEAR ") == told


def test_posts_shared_by_two_sections_have_both_names(corners):
    words = words_of(draw_plan(corners))
    assert "1.2 = 2.1" in words and "2.2 = 3.1" in words and "1.1" in words


def test_turns_heights_and_walls_are_told(corners):
    sheet = draw_plan(corners)
    words = words_of(sheet)
    rise = length_text(corners.guard.sections[0].total_rise, "in", corners.job.tape, feet=True)
    assert f"LEVEL AT +{rise}" in words
    assert "45° RIGHT" in words
    assert any(one.group == "wall" for one in sheet.work)


def test_a_turned_plan_is_the_same_plan(corners):
    plan = plan_of(corners.guard)
    once = turned(plan)
    back = turned(turned(turned(once)))
    for one, same in zip(back.posts, plan.posts, strict=True):
        assert one.centre == pytest.approx(same.centre)
    (x0, y0, x1, y1), (u0, v0, u1, v1) = plan.bounds, once.bounds
    assert (u1 - u0, v1 - v0) == pytest.approx((y1 - y0, x1 - x0))
    assert once.sections[0].heading == plan.sections[0].heading + 90


@pytest.mark.parametrize("view", ["plan", "framing"])
def test_cad_takes_them_too(view, corners, make_text, tmp_path):
    import ezdxf

    sheet = draw_plan(corners) if view == "plan" else draw_framing(framed(make_text, "across", "4"))
    target = tmp_path / "view.dxf"
    write(sheet, target)
    document = ezdxf.readfile(target)
    assert not document.audit().errors
    measured = [one.get_measurement() for one in document.modelspace().query("DIMENSION")]
    assert measured
    if view == "plan":
        xs = [post.x for post in corners.guard.sections[0].posts]
        pieces = [abs(x) for x in xs if x] + [b - a for a, b in itertools.pairwise(xs)]
        assert measured[: len(pieces)] == pytest.approx(pieces)


@pytest.mark.parametrize("direction, first", [("across", "4"), ("along", "3/4")])
def test_framing_lies_where_it_is_solved(direction, first, make_text):
    one = framed(make_text, direction, first)
    sheet = draw_framing(one)
    assert not overlaps(sheet.primitives, sheet.paper.border)
    plan = one.sections[0].framing
    unit = float(sheet.scale.ratio) * 25.4
    axis = 0 if plan.joist_axis == "x" else 1
    joists = sorted(at[axis] for at in centres(sheet, "joist"))
    steps = [b - a for a, b in itertools.pairwise(joists)]
    assert steps
    assert steps == pytest.approx([16 * unit] * len(steps), abs=0.01)
    bolts = [shape.center for shape in sheet.work
             if isinstance(shape, Arc) and shape.group == "bolt"]  # fmt: skip
    wanted = [sheet.view.at(bolt) for post in plan.posts for bolt in post.bolts]
    assert len(bolts) == len(wanted) > 0
    for one, place in zip(bolts, wanted, strict=True):
        assert one == pytest.approx(place, abs=0.01)


def test_every_block_is_drawn_as_long_as_it_is(make_text):
    one = framed(make_text, "across", "4")
    sheet = draw_framing(one)
    unit = float(sheet.scale.ratio) * 25.4
    drawn = [
        max(x for x, _ in shape.points) - min(x for x, _ in shape.points)
        for shape in sheet.work
        if isinstance(shape, Stroke) and shape.group == "block" and shape.closed
    ]
    blocks = [block for post in one.sections[0].framing.posts for block in post.blocks]
    lengths = [block.length for block in blocks if block.length is not None]
    assert lengths
    for length in lengths:
        assert any(abs(wide - length * unit) < 0.01 for wide in drawn)


def test_warnings_are_flagged_and_told(make_text):
    one = framed(make_text, "across", "4")
    sheet = draw_framing(one)
    warned = [post for post in one.sections[0].framing.posts if post.warnings]
    flags = [shape for shape in sheet.primitives
             if isinstance(shape, Stroke) and shape.group == "failure"]  # fmt: skip
    assert len([flag for flag in flags if flag.closed]) == len(warned)
    text = " ".join(words_of(sheet))
    for post in warned:
        for warning in post.warnings:
            assert warning.split()[0] in text


def test_a_job_without_framing_says_what_is_missing(solution):
    with pytest.raises(JobError, match="the job says nothing of joists or boards"):
        draw_framing(solution("plain"))


def test_a_section_without_framing_is_named(make_text):
    with pytest.raises(JobError, match="nothing of joists or boards under section 2"):
        draw_framing(framed(make_text, "across", "4"), section=2)


def test_framing_too_long_for_its_sheet_is_refused(make_text):
    with pytest.raises(SheetError, match="does not fit tabloid at 3"):
        draw_framing(framed(make_text, "across", "4"), scale="3")


def test_a_picture_of_the_plan_is_as_large_as_its_paper(corners, tmp_path):
    import pypdf

    sheet = draw_plan(corners)
    target = tmp_path / "plan.pdf"
    write(sheet, target)
    page = pypdf.PdfReader(io.BytesIO(target.read_bytes())).pages[0]
    assert float(page.mediabox.width) * 25.4 / 72 == pytest.approx(
        float(sheet.paper.width), abs=0.01
    )


# --------------------------------------------------------------------------- surfaces


def example(name):
    return solution_for(read_job(str(EXAMPLES / f"{name}.toml")), False)


def edges_on(drawn):
    return [one for one in drawn.work if isinstance(one, Stroke) and one.group == "landing"]


def lettered(drawn):
    return [one.content for one in drawn.labels if isinstance(one, Text)]


@pytest.mark.parametrize("name, flights", [("porch", 1), ("raised-porch", 2), ("metric-deck", 1)])
def test_every_flight_says_which_way_is_up(name, flights):
    drawn = draw_plan(example(name))
    assert lettered(drawn).count("UP") == flights
    ups = [one for one in drawn.labels if isinstance(one, Text) and one.content == "UP"]
    starts = [one.center for one in drawn.work if isinstance(one, Arc) and one.group == "way-up"]
    for one in ups:
        assert min(math.dist(one.at, start) for start in starts) < 10.0


def test_a_landing_between_two_flights_is_as_wide_as_they_are():
    solution = example("quarter-landing")
    drawn = draw_plan(solution)
    (landing,) = [one for one in edges_on(drawn) if one.closed]
    points = [drawn.view.back(point) for point in landing.points]
    assert len(points) == 6
    beside = 2.5 + 2.75  # half a base plate and the least distance from its edge
    xs, ys = sorted({round(x, 6) for x, _ in points}), sorted({round(y, 6) for _, y in points})
    # the landing's own width: guard line to guard line, and as much beside either of them
    assert xs[-1] - xs[-2] == pytest.approx(40.0 + 2 * beside)
    assert ys[1] - ys[0] == pytest.approx(40.0 + 2 * beside)


def test_the_edge_of_a_deck_lies_where_the_framing_has_it():
    solution = example("deck-on-joists")
    drawn = draw_plan(solution)
    (edge,) = edges_on(drawn)
    places = plan_of(solution.guard).sections
    inset = solution.sections[0].framing.edge_to_post
    corner = drawn.view.back(edge.points[1])
    assert corner == pytest.approx((places[0].end[0] + inset, places[0].end[1] - inset))
    breaks = [one for one in drawn.work if isinstance(one, Stroke) and one.group == "break"]
    assert len(breaks) == 2  # at either end, where the deck goes on


def test_edges_that_were_measured_are_drawn_as_long_and_told():
    """From the stair's treads to the corner 101, from there to the wall 138."""
    drawn = draw_plan(example("deck-by-edges"))
    (edge,) = edges_on(drawn)
    points = [drawn.view.back(point) for point in edge.points]
    lengths = [math.dist(*pair) for pair in itertools.pairwise(points)]
    assert [length for length in lengths if length > 1] == pytest.approx([101.0, 138.0])
    told = " ".join(one.content for one in drawn.furniture if isinstance(one, Text))
    assert "Edges are as measured where a length stands beside them." in told
    edges = {one.owner: one.content for one in drawn.primitives
             if isinstance(one, Text) and one.content.startswith("EDGE")}  # fmt: skip
    assert edges == {"section 2: edge": "EDGE 8'-5\"", "section 3: edge": "EDGE 11'-6\""}
    for owner, long in (("section 2: edge", 101.0), ("section 3: edge", 138.0)):
        reach = max(
            math.dist(*one.points)
            for one in drawn.primitives
            if isinstance(one, Stroke) and one.owner == owner and len(one.points) == 2
        )
        assert reach / drawn.view.unit == pytest.approx(long)


def test_the_last_nosing_is_the_edge_of_the_deck_that_turns_off_there():
    solution = example("metric-deck")
    drawn = draw_plan(solution)
    (edge,) = edges_on(drawn)
    nosing = plan_of(solution.guard).nosings[-1]
    heading = plan_of(solution.guard).sections[0].heading
    assert heading == 0.0
    points = [drawn.view.back(point) for point in edge.points]
    turned_back = [(y, -x) for x, y in points]  # the sheet has the plan turned by a quarter
    assert any(
        all(x == pytest.approx(nosing.start[0]) for x, _ in way) for way in (points, turned_back)
    )


def test_the_landing_over_the_last_flight_is_named_with_its_height():
    words = lettered(draw_plan(example("porch")))
    assert "UPPER LANDING" in words
    assert "AT +3'-7 1/2\"" in words
    assert "UPPER LANDING" not in lettered(draw_plan(example("deck-on-joists")))


@pytest.mark.parametrize("treads", ["1", "2", "9"])
@pytest.mark.parametrize("hand", ["right", "left", "both"])
def test_surfaces_stay_on_the_sheet(treads, hand, make_text):
    text = make_text(treads=treads, hand=f'"{hand}"', width='"36"', parts={"edge": "12"})
    drawn = draw_plan(solution_for(job_from_text(text), False))
    left, bottom, right, top = drawn.area
    for one in drawn.work:
        for x, y in getattr(one, "points", ()) if isinstance(one, Stroke) else ():
            assert left <= x <= right and bottom <= y <= top
    assert not drawn.unplaced


@pytest.mark.parametrize("name", ["raised-porch", "quarter-landing", "metric-deck", "porch"])
def test_small_work_does_not_take_a_sheet_that_no_office_printer_holds(name):
    drawn = draw_plan(example(name))
    assert drawn.paper.name in ("letter", "tabloid", "A4", "A3")
    assert not drawn.following and not drawn.unplaced


@pytest.mark.parametrize("name", ["porch", "old-stair", "raised-porch", "deck-on-joists"])
def test_a_setting_out_line_stands_outside_the_edge_beside_it(name):
    solution = example(name)
    drawn = draw_plan(solution)
    unit = float(drawn.scale.paper_millimetres(solution.job.units))
    for place in plan_of(solution.guard).sections:
        part = solution.sections[place.number - 1]
        post = solution.job.post
        if part.framing is not None:
            edge = float(part.framing.edge_to_post)
        else:
            edge = float(post.base) / 2 + float(post.edge_distance)
        own = [one for one in drawn.dimensions if one.name.startswith(f"section {place.number}:")]
        assert own
        for one in own:
            assert abs(one.place) >= edge * unit + 5.0


def test_the_name_of_the_upper_landing_stands_on_it_where_it_has_room():
    drawn = draw_plan(example("porch"))
    (edge,) = edges_on(drawn)
    (name,) = [one for one in drawn.labels if getattr(one, "content", "") == "UPPER LANDING"]
    xs, ys = zip(*edge.points, strict=True)
    assert min(xs) < name.at[0] < max(xs)
    assert not [one for one in drawn.labels if getattr(one, "owner", "") == "UPPER LANDING"
                and isinstance(one, Stroke)]  # fmt: skip


def test_no_leader_to_the_left_hand_line_crosses_the_right_hand_guard():
    """A leader ends at the first rail that it meets, so that nobody takes one for the other."""
    drawn = draw_plan(example("quarter-landing"))
    rails = [one for one in drawn.work if isinstance(one, Stroke) and one.group == "rail"]
    leaders = [one for one in drawn.labels if isinstance(one, Stroke) and one.group == "leader"
               and "LEFT HAND" in one.owner and not one.closed]  # fmt: skip
    assert len(leaders) == 4
    for leader in leaders:
        met = [
            rail
            for rail in rails
            if any(cross(piece, side) for piece in leader.segments() for side in rail.segments())
        ]
        assert len(met) <= 1


# --------------------------------------------------------------------------- joists


@pytest.mark.parametrize("name, section", [("deck-on-joists", 1), ("deck-on-joists", 2),
                                           ("metric-deck", 2)])  # fmt: skip
def test_the_number_of_a_joist_stands_beside_it_or_points_at_it(name, section):
    drawn = draw_framing(example(name), section)
    joists = [one.points for one in drawn.work if getattr(one, "group", "") == "joist"]
    numbers = [one for one in drawn.labels if isinstance(one, Text) and one.owner[:5] == "joist"
               or isinstance(one, Text) and one.content[:1] == "J"]  # fmt: skip
    assert len(numbers) == len(joists) > 1

    def off(point):
        return min(
            math.hypot(
                max(min(x for x, _ in box) - point[0], point[0] - max(x for x, _ in box), 0.0),
                max(min(y for _, y in box) - point[1], point[1] - max(y for _, y in box), 0.0),
            )
            for box in joists
        )

    tips = {one.owner: one.points[0] for one in drawn.labels
            if isinstance(one, Stroke) and one.group == "leader" and not one.closed}  # fmt: skip
    for one in numbers:
        assert off(tips.get(one.content, one.at)) < 2.5, one.content


def test_no_head_of_the_list_of_blocks_takes_three_lines():
    words = [one for one in draw_framing(example("deck-on-joists"), 1).furniture
             if isinstance(one, Text) and one.group == "table"]  # fmt: skip
    post = next(one for one in words if one.content == "POST")
    above = sorted({round(one.at[1] - post.at[1], 3) for one in words if one.at[1] >= post.at[1]})
    assert len(above) == 2
    assert "FIRST POST" in [one.content for one in words]


def test_a_list_of_blocks_runs_over_further_sheets(make_text):
    long = "W" * 500
    text = framed_text(make_text, long)
    drawn = draw_framing(solution_for(job_from_text(text), False), None, "A4")
    assert drawn.following
    for number, sheet in enumerate((drawn, *drawn.following), start=1):
        assert overlaps(sheet.primitives, sheet.paper.border) == []
        numbers = [one.content for one in sheet.furniture if isinstance(one, Text)]
        assert f"{number} OF {1 + len(drawn.following)}" in numbers


def framed_text(make_text, word):
    sheet = (
        f'[sheet]\naddress = ["{word}"]\n[local]\n'
        f'guard-height-min = {{ limit = "36", reason = "{word}" }}\n'
        f'opening-baluster = {{ limit = "4", reason = "{word}" }}\n'
    )
    text = make_text(kind='"level"', span='"264"', bays="5", bottom_gap='"2"', sheet=sheet)
    made = FRAMING.format(direction="across", first="8")
    return text.replace("[[section]]", made, 1)


# --------------------------------------------------------------------------- north, width, bolts


@pytest.mark.parametrize("north", [0.0, 90.0, -135.0, 212.5])
@pytest.mark.parametrize("paper", ["letter", "tabloid"])
def test_north_is_counted_from_the_way_that_the_first_section_runs(north, paper, make_text):
    """Left positive: on a sheet where the first section runs along the unit vector u, north is u
    turned against the clock by so much."""
    sheet = f'[sheet]\npaper = "{paper}"\nnorth = {north}'
    text = make_text(treads="5", name='"up"', sheet=sheet) + CORNERS
    one = solution_for(job_from_text(text))
    drawn = draw_plan(one)
    (way,) = (
        part for part in drawn.work
        if isinstance(part, Stroke) and part.group == "way-up" and len(part.points) == 2
    )  # fmt: skip
    (ax, ay), (bx, by) = way.points
    (arrow,) = (
        part for part in drawn.furniture
        if isinstance(part, Stroke) and part.owner == "north" and len(part.points) == 2
    )  # fmt: skip
    (cx, cy), (dx, dy) = arrow.points
    run, to = complex(bx - ax, by - ay), complex(dx - cx, dy - cy)
    turn = math.degrees(cmath.phase(to / run))
    assert (turn - north) % 360 == pytest.approx(0, abs=1e-6) or (turn - north) % 360 > 359.999
    assert [part.content for part in drawn.furniture
            if isinstance(part, Text) and part.owner == "north"] == ["N"]  # fmt: skip
    assert not overlaps(drawn.primitives, drawn.paper.border)


def test_no_north_no_arrow(corners):
    assert not any(getattr(one, "owner", "") == "north" for one in draw_plan(corners).furniture)


def test_a_width_that_nobody_measured_is_said_to_be_assumed(make_text):
    def told(**flight):
        drawn = draw_plan(solution_for(job_from_text(make_text(treads="5", **flight))))
        return " ".join(one.content for one in drawn.furniture if isinstance(one, Text))

    assert 'The stair is drawn 36" wide: assumed' in told()
    assert "assumed" not in told(width='"44"')


def test_bolts_stand_where_the_inset_puts_them(make_text):
    """A plate of 5 in with bolts 3/4 in from its edges: 3 1/2 in apart."""
    text = make_text(kind='"level"', span='"72"', bays="1", bottom_gap='"2"')
    framing = FRAMING.format(direction="across", first="8")
    framing = framing.replace("[framing]", '[framing]\nbolt_inset = "3/4"\nbolt_diameter = "1/2"')
    one = solution_for(job_from_text(text.replace("[[section]]", framing)))
    drawn = draw_plan(one)
    unit = float(drawn.scale.ratio) * 25.4
    bolts = [part for part in drawn.work if isinstance(part, Arc) and part.group == "bolt"]
    assert len(bolts) == 4 * 2
    assert all(bolt.radius == pytest.approx(0.25 * unit) for bolt in bolts)
    for x, y in centres(drawn, "post"):
        own = [bolt.center for bolt in bolts if math.dist(bolt.center, (x, y)) < 5 * unit]
        found = sorted((round((a - x) / unit, 6), round((b - y) / unit, 6)) for a, b in own)
        assert found == [(-1.75, -1.75), (-1.75, 1.75), (1.75, -1.75), (1.75, 1.75)]
    detail = base_detail(one, one.sections[0])
    view = View(scales("in")[0], "in", (0.0, 0.0))
    values = {part.name: part for part in detail.dimensions(view, (0.0, 0.0, 100.0, 100.0))}
    assert values["bolts"].value == 3.5 and values["bolts"].text == '3 1/2"'
