"""What an elevation letters: heights, numbers, landings, figures clear of circles, the ground."""

from __future__ import annotations

import io
import math
import re
from pathlib import Path

import ezdxf
import pytest
from elevations import back, example, strokes, words_of

from stairs.drawing import draw_elevation
from stairs.drawing.files.dxf import dxf_bytes
from stairs.drawing.paper.primitives import DASHED, Arc, Stroke, Text
from stairs.drawing.placing.extents import box_of
from stairs.job import read_job
from stairs.solution import solution_for

EXAMPLES = Path(__file__).parents[2] / "examples"


# --------------------------------------------------------------------------- heights and numbers


def test_heights_beside_each_other_say_whose_they_are(named, sheet, solution):
    section = solution(named).sections[0].section
    drawn = sheet(named)
    words = set(words_of(drawn.dimension_lines))
    guard = {"irc-2021": "GUARD", "england-ad-k-2013": "GUARDING"}[solution(named).job.rules]
    for one in drawn.dimensions:
        label = {"guard height": guard, "panel height": "PANEL"}.get(
            one.name, "POST" if one.name.startswith("post") and "height" in one.name else ""
        )
        if label:
            assert f"{label} {one.text}" in words
            assert one.text not in words or label == "POST"
    guards = [one for one in drawn.dimensions if one.name == "guard height"]
    assert [one.value for one in guards] == [section.guard_height]


def test_every_tread_has_its_number_or_none_has(named, sheet, solution):
    section = solution(named).sections[0].section
    numbers = [one.content for one in sheet(named).labels if one.group == "tread-number"]
    assert numbers in (
        [],
        [str(k) for k in range(1, (section.flight.treads if section.flight else 0) + 1)],
    )


@pytest.mark.parametrize("name", ["porch", "back-steps", "two-bays", "terrace", "raised-porch"])
def test_examples_number_every_tread(name):
    drawn = example(name)
    numbers = [one for one in drawn.labels if one.group == "tread-number"]
    assert len(numbers) == len(strokes(drawn, "tread")) > 2


def test_no_leader_of_an_example_is_long_and_shallow():
    for name in ("porch", "back-steps", "back-steps-mended", "two-bays", "old-stair"):
        for one in example(name).labels:
            if one.group == "leader" and len(one.points) == 3:
                (x0, y0), (x1, y1), _ = one.points
                long = math.hypot(x1 - x0, y1 - y0)
                assert long < 45, (name, one.owner)
                assert long < 25 or abs(y1 - y0) > 0.25 * abs(x1 - x0), (name, one.owner)


def test_riser_and_guard_height_never_run_together_on_one_line(named, sheet):
    drawn = sheet(named)
    texts = [one for one in drawn.dimension_lines if isinstance(one, Text)]
    rise = [one for one in texts if one.owner == "unit rise" and one.rotation]
    guard = [one for one in texts if one.owner == "guard height" and one.rotation]
    for one, other in ((one, other) for one in rise for other in guard):
        beyond = one.content.startswith("RISER ")
        assert not beyond or abs(one.at[0] - other.at[0]) > one.height


def test_both_landings_are_named(named, sheet, solution):
    if solution(named).sections[0].section.kind == "flight":
        words = words_of(sheet(named).labels)
        assert "LOWER LANDING" in words and "UPPER LANDING" in words


def test_risers_alike_are_lettered_with_what_each_is(make_text, sheet):
    """1137 is six risers of 189.5, not of 190; six of 36 / 7 in are near 5 1/8 each."""
    steps = {"unit_rise": '"189.5"', "unit_run": '"263"', "treads": "5"}
    words = words_of(sheet(make_text("mm", **steps)).dimension_lines)
    assert "6 RISERS @ 189.5 = 1137" in words
    odd = {"unit_rise": None, "rise": '"36"', "risers": "7", "treads": None}
    words = words_of(sheet(make_text(**odd), "tabloid").dimension_lines)
    assert '7 RISERS @ NEAR 5 1/8" = 3\'-0"' in words
    words = words_of(sheet("measured").dimension_lines)
    assert "6 RISERS = 3'-7 1/4\"" in words


def test_treads_of_a_measured_flight_are_numbered_and_gaps_without_a_place_are_listed(solution):
    """A gap may go into the list, where its nosing's number tells it; a number has no list."""
    one = solution("slipped")
    shown = draw_elevation(one)
    numbers = [
        part.content for part in shown.primitives
        if isinstance(part, Text) and part.group == "tread-number"
    ]  # fmt: skip
    assert numbers == [str(k) for k in range(1, one.guard.sections[0].flight.treads + 1)]
    words = " ".join(part.content for part in shown.primitives if isinstance(part, Text))
    gaps = sum(part.content.endswith(" GAP") for part in shown.primitives if isinstance(part, Text))
    assert gaps == len(one.guard.sections[0].nosings) or "GAP UNDER THE RAIL, PLUMB" in words


@pytest.mark.parametrize(("name", "words"), [("terrace", "AT HEAD"), ("deck-on-joists", "UNDER")])
def test_no_circles_leader_is_long_where_paper_is_blank_straight_under_it(name, words):
    """Where a leader's level end has no room, its lettering stands under the circle."""
    shown = draw_elevation(solution_for(read_job(str(EXAMPLES / f"{name}.toml"))))
    owner = next(
        part.owner for part in shown.primitives if isinstance(part, Text) and words in part.content
    )
    (leader,) = (
        part for part in shown.primitives
        if part.group == "leader" and part.owner == owner and not part.closed
    )  # fmt: skip
    long = sum(math.dist(a, b) for a, b in zip(leader.points, leader.points[1:], strict=False))
    assert long < 30.0
    (x0, y0), (x1, y1) = leader.points[0], leader.points[-1]
    assert abs(y1 - y0) > abs(x1 - x0) or long < 15.0  # steep, where it is not very short


# --------------------------------------------------------------------------- careful lettering


@pytest.fixture(scope="module")
def old_stair():
    return solution_for(read_job(str(EXAMPLES / "old-stair.toml")))


def test_figures_of_a_chain_of_risers_are_all_read_one_way(old_stair):
    """At a small scale some figures fit along their pieces and some do not."""
    drawn = draw_elevation(old_stair, paper="tabloid", scale="3/4")
    turns = {
        one.rotation for one in drawn.primitives
        if isinstance(one, Text) and re.fullmatch(r"rise \d+", one.owner)
    }  # fmt: skip
    assert len(turns) == 1


@pytest.mark.parametrize(("paper", "scale"), [("ARCH C", "1 1/2"), ("tabloid", "3/4")])
def test_no_gap_is_lettered_inside_a_circle(old_stair, paper, scale):
    """It would be read as the size of the ball."""
    drawn = draw_elevation(old_stair, paper=paper, scale=scale)
    circles = [one for one in drawn.primitives if isinstance(one, Arc) and one.group == "opening"]
    assert circles
    for text in drawn.primitives:
        if isinstance(text, Text) and text.content.endswith(" GAP"):
            middle = box_of(text).center
            assert all(math.dist(middle, one.center) > one.radius for one in circles)


def test_the_size_under_a_framed_flag_stands_clear_of_its_frame(sheet):
    drawn = sheet("failing")
    frames = [one for one in drawn.labels if one.group == "failure" and not isinstance(one, Text)]
    beneath = [
        (box_of(one), min(y for _, y in frame.points))
        for frame in frames if getattr(frame, "closed", False)
        for one in drawn.labels
        if isinstance(one, Text) and one.owner == frame.owner and one.content.startswith("Ø ")
    ]  # fmt: skip
    assert beneath
    for box, edge in beneath:
        assert edge - (box.center[1] + box.half_height) > 1.0


@pytest.mark.parametrize(("paper", "scale"), [("ARCH C", "1 1/2"), ("tabloid", "3/4")])
def test_both_landings_of_a_measured_flight_are_named(old_stair, paper, scale):
    words = words_of(draw_elevation(old_stair, paper=paper, scale=scale).labels)
    assert "LOWER LANDING" in words and "UPPER LANDING" in words


def test_a_post_goes_on_past_a_mark_below_its_surface(make_text, sheet, solution):
    text = make_text(side_gap='"1 1/2"', bottom_gap='"-3 7/8"', posts='["-4", "55"]')
    drawn, section = sheet(text), solution(text).sections[0].section
    low = min(mark.pin[1] for mark in section.posts[1].marks)
    assert low < section.posts[1].surface
    open_sides = [back(drawn, one.points) for one in strokes(drawn, "post") if one.line == DASHED]
    assert len(open_sides) == 2
    for (x, top), (_, end) in open_sides:
        assert abs(x - section.posts[1].x) == pytest.approx(section.posts[1].width / 2)
        assert end < low < top < section.posts[1].surface


# --------------------------------------------------------------------------- the ground below


def grade_of(drawn):
    return [one for one in drawn.primitives if one.group == "grade"]


def test_a_level_run_shows_the_ground_beside_it_and_how_far_it_drops(make_text, solution):
    told = {"kind": '"level"', "span": '"132"', "bays": "2", "bottom_gap": '"2"'}
    drawn = draw_elevation(solution(make_text(**told, drop='"43 1/2"')))
    (words,) = (one.content for one in grade_of(drawn) if isinstance(one, Text))
    assert words == "DROP 3'-7 1/2\""
    surface = drawn.view.at((0.0, 0.0))[1]
    ends = [one.points[0][1] for one in grade_of(drawn) if isinstance(one, Stroke)]
    assert max(ends) >= surface > min(ends)
    # no scale is kept there, so a CAD file, which is measured, does not hold it
    document = ezdxf.read(io.StringIO(dxf_bytes(drawn).decode()))
    texts = [one.dxf.text for one in document.modelspace().query("TEXT")]
    assert not any("DROP" in text for text in texts)
    assert grade_of(draw_elevation(solution(make_text(**told)))) == []


@pytest.mark.parametrize(("end", "shown"), [("end", 1), ("start", 1), ("both", 0)])
def test_the_ground_lies_at_the_end_without_a_wall(end, shown, make_text, solution):
    walls = dict.fromkeys(("start", "end") if end == "both" else (end,), '"wall"')
    text = make_text(kind='"level"', span='"132"', bays="2", bottom_gap='"2"', drop='"43"', **walls)
    drawn = draw_elevation(solution(text))
    lines = [one for one in grade_of(drawn) if isinstance(one, Stroke)]
    assert bool(lines) == bool(shown)
    middle = drawn.view.at((66.0, 0.0))[0]
    for one in lines:
        assert (one.points[0][0] < middle) == (end == "end")
