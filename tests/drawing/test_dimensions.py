"""Dimensions are data: they say what lies between their points, and every chain is complete."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from stairs.drawing.paper.primitives import Text
from stairs.drawing.paper.sheet_sizes import INCH_SCALES
from stairs.drawing.paper.view import View
from stairs.drawing.placing.dimensions import (
    ALIGNED,
    ANGLE,
    LEVEL,
    PLUMB,
    RUNNING,
    Dimension,
    ends_on_paper,
    lines_of,
    places_of,
)
from stairs.drawing.placing.extents import box_of
from stairs.lengths.tape_marks import length_text


def between(dimension):
    """What lies between the points of a dimension [units of the work, or degrees]."""
    *_, (x0, y0), (x1, y1) = dimension.points
    if dimension.kind in (LEVEL, RUNNING):
        return x1 - x0
    if dimension.kind == PLUMB:
        return y1 - y0
    if dimension.kind == ALIGNED:
        return math.hypot(x1 - x0, y1 - y0)
    vertex = dimension.points[0]
    turns = [
        math.degrees(math.atan2(y - vertex[1], x - vertex[0])) for x, y in dimension.points[1:]
    ]
    return turns[1] - turns[0]


def test_a_dimension_says_what_lies_between_its_points(named, sheet):
    for dimension in sheet(named).dimensions:
        assert between(dimension) == pytest.approx(dimension.value, rel=1e-9, abs=1e-9), dimension


def test_the_lettering_is_the_value_on_the_tape(named, sheet, solution):
    job = solution(named).job
    for dimension in sheet(named).dimensions:
        if dimension.kind == RUNNING and dimension.value == 0:
            shown = "0"
        elif dimension.kind == ANGLE:
            shown = f"{dimension.value:.1f}°"
        else:
            unit = job.units == "in"
            shown = length_text(dimension.value, job.units, job.tape, feet=True, unit=unit)
        assert dimension.text.endswith(shown), dimension


def test_every_measurement_of_the_section_is_dimensioned(named, sheet, solution):
    section = solution(named).sections[0].section
    values = {one.name: one.value for one in sheet(named).dimensions}
    wanted = {"guard height": section.guard_height, "panel height": section.panel_height}
    for bay in section.bays:
        wanted[f"rail length bay {bay.number}"] = bay.rail_length
    for post in section.posts:
        wanted[f"post {post.number} position"] = post.x
    for k, (one, two) in enumerate(pairwise(section.posts), start=1):
        wanted[f"bay {k}"] = two.x - one.x
    if section.kind == "flight":
        wanted |= {
            "total rise": section.total_rise,
            "total run": float(section.flight.total_run),
            "rake": section.rake,
            "post 1 height": section.posts[0].height,
            f"post {len(section.posts)} height": section.posts[-1].height,
        }
        if section.flight.treads == 1:
            wanted.pop("rake")
    for key, value in wanted.items():
        assert values[key] == pytest.approx(value, rel=1e-9), key


def test_all_posts_heights_are_on_the_sheet(named, sheet, solution):
    job = solution(named).job
    section = solution(named).sections[0].section
    shown = " ".join(one.content for one in sheet(named).primitives if isinstance(one, Text))
    for post in section.posts:
        text = length_text(post.height, job.units, job.tape, feet=True, unit=job.units == "in")
        assert text in shown, post


def test_a_measured_stair_shows_every_rise_and_run(sheet, solution):
    section = solution("measured").sections[0].section
    values = {one.name: one.value for one in sheet("measured").dimensions}
    heights = [0.0, *(y for _, y in section.nosings)]
    for k in range(1, len(heights)):
        assert values[f"rise {k}"] == pytest.approx(heights[k] - heights[k - 1])
    for k, ((x0, _), (x1, _)) in enumerate(
        zip(section.nosings, section.nosings[1:], strict=False), start=1
    ):
        assert values[f"run {k}"] == pytest.approx(x1 - x0)


def test_nothing_is_dimensioned_twice(named, sheet):
    seen = set()
    for one in sheet(named).dimensions:
        ends = tuple((round(x, 6), round(y, 6)) for x, y in one.points)
        assert (one.kind, ends) not in seen, one
        seen.add((one.kind, ends))


def side_of(one, view):
    """On which side of the work the line of a level or plumb dimension stands."""
    if one.kind == LEVEL:
        return "below"
    if one.kind == PLUMB:
        return "left" if one.place < view.at(one.points[0])[0] else "right"
    return ""


def chains(drawn, side):
    """Longest dimension and place of every chain on one side, nearest the work first."""
    found: dict[float, list] = {}
    for one in drawn.dimensions:
        if side_of(one, drawn.view) == side:
            found.setdefault(one.place, []).append((*ends_on_paper(one, drawn.view), one.place))
    ordered = [found[place] for place in sorted(found, reverse=side != "right")]
    spans = [max(b[0] for _, b, _ in one) - min(a[0] for a, _, _ in one) for one in ordered]
    return spans, [one[0][2] for one in ordered]


def test_chains_below_nest_small_to_large(named, sheet):
    """The bays stand beside the running figures, whatever their length."""
    lengths, _ = chains(sheet(named), "below")
    steps = lengths[:-1]
    assert steps == sorted(steps)


def test_running_figures_stand_turned_under_their_lines_and_none_beside_a_bay(named, sheet):
    """ISO 129-1 (from memory): a running figure reads along its extension line, 0 at the circle."""
    drawn = sheet(named)
    texts = {one.owner: one for one in drawn.dimension_lines if isinstance(one, Text)}
    running = [one for one in drawn.dimensions if one.kind == RUNNING]
    assert running
    for one in running:
        figure = texts[one.name]
        assert figure.rotation == 90 and figure.content == one.text
        middle = box_of(figure).center
        x = drawn.view.at(one.points[-1])[0]
        assert abs(middle[0] - x) < 10 and box_of(figure).corners()[0][1] < one.place
    (zero,) = (one for one in texts.values() if one.content == "0")
    assert zero.rotation == 90 and abs(box_of(zero).center[0] - drawn.view.at((0, 0))[0]) < 10
    for one in drawn.dimensions:
        if one.name.startswith("bay "):
            assert texts[one.name].rotation == 0
            assert one.place > running[0].place


def test_chains_are_evenly_spaced_from_the_work_out(named, sheet):
    stepped = named in ("measured", "slipped")  # its steps' figures may stand in two rows
    for side, way in (("below", -1), ("left", -1), ("right", 1)):
        _, places = chains(sheet(named), side)
        for rank, (near, far) in enumerate(zip(places, places[1:], strict=False)):
            wider = 6.0 if stepped and rank == 0 and side != "left" else 0.0
            assert way * (far - near) == pytest.approx(7.5 + wider), side


VIEW = View(INCH_SCALES[2], "in", (100.0, 50.0))


def test_a_level_dimension_at_a_twelfth_is_a_twelfth_long():
    one = Dimension("run", LEVEL, ((0.0, 4.0), (12.0, 9.0)), 12.0, "1'-0\"", 20.0)
    assert ends_on_paper(one, VIEW) == ((100.0, 20.0), (125.4, 20.0))


def test_an_aligned_dimension_lies_square_off_its_points():
    one = Dimension("rail", ALIGNED, ((0.0, 0.0), (3.0, 4.0)), 5.0, '5"', 10.0)
    (x0, y0), (x1, y1) = ends_on_paper(one, VIEW)
    assert math.hypot(x1 - x0, y1 - y0) == pytest.approx(5 * 25.4 / 12)
    assert (x0 - 100.0, y0 - 50.0) == pytest.approx((-8.0, 6.0))


def test_a_dimension_too_short_for_paper_still_has_its_place():
    at = (2.0**50, 0.0)
    one = Dimension("setback", ALIGNED, (at, at), 1e-17, '0"', 10.0)
    (x0, y0), (x1, y1) = ends_on_paper(one, VIEW)
    assert (x0, y0) == (x1, y1) and y0 == pytest.approx(VIEW.at(at)[1] + 10.0)


def test_extension_lines_leave_a_gap_and_pass_the_line():
    one = Dimension("run", LEVEL, ((0.0, 0.0), (12.0, 0.0)), 12.0, "1'-0\"", 20.0)
    extensions = lines_of(one, VIEW)[3:]
    assert len(extensions) == 2
    for stroke in extensions:
        (_, start), (_, end) = stroke.points
        assert start == pytest.approx(50.0 - 1.5)
        assert end == pytest.approx(20.0 - 1.5)


def test_a_figure_too_long_for_a_short_plumb_line_stands_level_beside_it():
    one = Dimension("rise", PLUMB, ((0.0, 0.0), (0.0, 3.0)), 3.0, '7 1/4"', 90.0)
    best = min(places_of(one, VIEW), key=lambda place: place.cost)
    (text,) = best.texts
    assert text.rotation == 0.0
    assert box_of(text).corners()[1][0] < 90.0
    assert text.at[1] + text.height / 2 == pytest.approx(50.0 + 1.5 * 25.4 / 12)


def test_figures_too_long_for_their_pieces_stand_in_two_rows_under_the_ticks():
    tops = []
    for row in (0, 1):
        one = Dimension("run", LEVEL, ((0.0, 0.0), (4.0, 0.0)), 4.0, '10 1/4"', 20.0,
                        broken=True, row=row)  # fmt: skip
        best = min(places_of(one, VIEW), key=lambda place: place.cost)
        assert best.lines == ()
        tops.append(max(y for _, y in box_of(best.texts[0]).corners()))
    assert tops[0] < 20.0 - 1.5
    assert tops[1] < tops[0] - 2.5
