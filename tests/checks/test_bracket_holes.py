"""Bracket holes: where they come on the posts, by hand and by a second route, and what they cut."""

from __future__ import annotations

import csv
import io
import itertools
import math
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stairs.errors import JobError
from stairs.job import job_from_mapping, job_from_text
from stairs.parts.bracket_holes import hole_heights, hole_reach
from stairs.remedies.remedies import apply
from stairs.report.csv_lists import list_csv
from stairs.report.holes_text import holes_text
from stairs.report.lists_text import cuts_text
from stairs.report.result import result_of
from stairs.report.screen import solve_text
from stairs.solution import solution_for

EXAMPLES = Path(__file__).parents[2] / "examples"
PLATE = 'holes = [["-1/2", "3/4"], ["1/2", "3/4"], ["0", "-3/4"]]\nhole_diameter = "1/4"\n'


def with_holes(name, holes=PLATE):
    text = (EXAMPLES / f"{name}.toml").read_text(encoding="utf-8")
    return job_from_text(text.replace("[post]", f"{holes}\n[post]"))


def finding(solution, name, section=0):
    return next(one for one in solution.sections[section].findings if one.id == name)


def test_the_porch_by_hand():
    """Flight 7 1/4 on 10 1/2, so the line rises 7 1/4 / 10 1/2 = 0.690476 to the inch.  Post 1 at
    -4: its face at -2 1/2, the pin 1 1/8 on, at x = -1.375.  There the nosing line is 7.25 -
    0.949405 = 6.300595 high; over it the gap 0.4375 and half the bottom rail, 0.75 / cos 34.624 =
    0.911403: the pin is at 7.649498, the upper holes at 8.399498, the lower one at 6.899498.  The
    rails' axes are 33 1/2 - 1 5/8 = 31 7/8 apart: 40.274498 and 38.774498."""
    marks = result_of(solution_for(with_holes("porch")))["sections"][0]["posts"][0]["marks"]
    by_rail = {mark["rail"]: mark["holes"] for mark in marks}
    assert [hole["across"] for hole in by_rail["bottom"]] == [-0.5, 0.5, 0.0]
    slope = 7.25 / 10.5
    pin = 7.25 - 1.375 * slope + 0.4375 + 0.75 * math.hypot(1, slope)
    for rail, at in (("bottom", pin), ("top", pin + 31.875)):
        wanted = [at + 0.75, at + 0.75, at - 0.75]
        assert [hole["height"] for hole in by_rail[rail]] == pytest.approx(wanted, abs=1e-9)
    assert by_rail["bottom"][0]["height"] == pytest.approx(8.3995, abs=5e-5)
    assert by_rail["top"][2]["height"] == pytest.approx(38.7745, abs=5e-5)


def test_without_the_key_a_mark_has_no_holes_and_nothing_is_said():
    solution = solution_for(with_holes("porch", ""))
    marks = result_of(solution)["sections"][0]["posts"][0]["marks"]
    assert [mark["holes"] for mark in marks] == [[], []]
    assert holes_text(solution.job, solution.guard.sections[0]) == ""
    assert "hole" not in " ".join(one.id for one in solution.sections[0].findings)


def test_screen_and_cut_list_say_how_high_to_drill():
    solution = solution_for(with_holes("porch"))
    table = """\
Bracket holes on the post's face, up from what the post stands on
  post  face        rail    drill at
  1     toward 1.2  bottom    6 7/8"   8 3/8"
  1     toward 1.2  top      38 3/4"  40 1/4"
  2     toward 1.1  bottom    4 1/8"   5 5/8"
  2     toward 1.1  top          36"  37 1/2"
  seen square on the face: 3/4" over the pivot, 1/2" left and right of the
    center line; 3/4" under the pivot, on the center line; each 1/4" wide
"""
    for text in (solve_text(solution), cuts_text(solution)):
        assert table in text
        assert max(map(len, text.splitlines())) <= 80


def test_the_csv_of_cuts_has_the_heights_of_each_post():
    rows = list(csv.DictReader(io.StringIO(list_csv(solution_for(with_holes("porch")), "cut"))))
    told = [row["bracket_holes_in"] for row in rows if row["piece"] == "post"]
    assert told == [
        "up bottom 6.875 8.375; up top 38.75 40.25",
        "down bottom 4.125 5.625; down top 36 37.5",
    ]
    assert {row["bracket_holes_in"] for row in rows if row["piece"] != "post"} == {""}
    bare = list(csv.DictReader(io.StringIO(list_csv(solution_for(with_holes("porch", "")), "cut"))))
    assert {row["bracket_holes_in"] for row in bare} == {""}


def test_many_holes_keep_within_the_columns_and_are_told_in_words():
    rows = [[x, y] for x in ("-1", "0", "1") for y in ("-2", "-1", "0", "1/3", "1", "2")]
    solution = solution_for(with_holes("porch", f"holes = {rows}\n"))
    text = holes_text(solution.job, solution.guard.sections[0])
    assert max(map(len, text.splitlines())) <= 80
    told = " ".join(text.split())
    assert "level with the pivot" in told and '2" under the pivot' in told
    assert '1" left and right of the center line and on it' in told
    assert text.count("toward 1.2") == 2  # of two lines each
    alone = solution_for(with_holes("porch", 'holes = [["1/2", "0"], ["-1/4", "0"]]\n'))
    told = " ".join(holes_text(alone.job, alone.guard.sections[0]).split())
    assert 'level with the pivot, 1/4" left and 1/2" right of the center line' in told


def test_a_hole_over_the_end_of_its_post_fails_and_a_longer_reveal_mends_it():
    """The porch's post 1 ends 1.2865 over its top pin: a hole 1 1/4 over the pin and 1/4 wide
    would reach 1 3/8 and be cut into by 0.0885."""
    job = with_holes("porch", 'holes = [["0", "1 1/4"]]\nhole_diameter = "1/4"\n')
    solution = solution_for(job)
    found = finding(solution, "bracket-holes-top")
    assert (found.verdict, found.where, found.ruling.clause) == ("fail", "post 1", "bracket: holes")
    slope = 7.25 / 10.5
    over = 1 + 0.875 * math.hypot(1, slope) - 1.125 * slope
    assert found.value == pytest.approx(over - 1.375, abs=1e-9)
    assert found.value == pytest.approx(-0.0885, abs=5e-5)
    remedy, other = solution.sections[0].remedies["bracket-holes-top"]
    assert other.text == 'Take brackets whose highest hole lies 1/8" lower'
    assert remedy.text == 'Let the posts end 1 1/8" above the rail (now 1")'
    mended = solution_for(apply(job, remedy, 0))
    assert finding(mended, "bracket-holes-top").verdict in ("pass", "marginal")


def test_a_hole_that_just_touches_the_end_is_decided_exactly():
    """A level run: the post ends the reveal and half the rail over the pin, 1 7/8."""
    level = {
        "units": "in", "measured_within": 0,
        "panel": {"height": "33 1/2", "top_rail": "1 3/4", "bottom_rail": "1 1/2",
                  "baluster": "3/4", "pitch": "4 1/2"},
        "post": {"width": "3", "reveal": "1"},
        "section": [{"kind": "level", "span": "62", "bays": 1, "bottom_gap": "2 3/4"}],
    }  # fmt: skip
    for up, verdict in (("1 3/4", "pass"), ("1.7501", "fail")):
        plate = {"kind": "pivot", "pivot_offset": "1", "rail_setback": "3/8",
                 "holes": [["0", up]], "hole_diameter": "1/4"}  # fmt: skip
        found = finding(solution_for(job_from_mapping({**level, "bracket": plate})),
                        "bracket-holes-top")  # fmt: skip
        assert found.verdict == verdict
    plate["holes"] = [["0", "-3 3/8"]]  # the pin is 3 1/2 over the surface
    found = finding(solution_for(job_from_mapping({**level, "bracket": plate})),
                    "bracket-holes-foot")  # fmt: skip
    assert (found.value, found.verdict) == (0.0, "pass")
    plate["holes"] = [["0", "-3.45"]]
    solution = solution_for(job_from_mapping({**level, "bracket": plate}))
    found = finding(solution, "bracket-holes-foot")
    assert found.verdict == "fail" and not solution.ok
    remedy, other = solution.sections[0].remedies["bracket-holes-foot"]
    assert remedy.text == 'Raise the bottom rail by 1/8" to a gap of 2 7/8"'
    assert other.text == 'Take brackets whose lowest hole lies 1/8" higher'
    mended = solution_for(apply(solution.job, remedy, 0))
    assert finding(mended, "bracket-holes-foot").verdict == "pass"


def test_a_post_that_ends_close_over_a_hole_is_told():
    job = with_holes("porch", 'holes = [["0", "1"]]\nhole_diameter = "1/4"\n')
    text = holes_text(job, solution_for(job).guard.sections[0])
    assert "post 1: less is left over the highest hole than it is wide" in " ".join(text.split())
    assert "a larger reveal leaves more" in " ".join(text.split())


def test_a_shared_post_is_held_at_the_height_that_both_sections_give_it():
    """Of the raised porch's posts some are taller than one of their two sections needs them."""
    job = with_holes("raised-porch")
    solution = solution_for(job, with_remedies=False)
    grown = 0
    for part in solution.sections:
        found = next((one for one in part.findings if one.id == "bracket-holes-top"), None)
        posts = [post for post in part.section.posts if not post.wall]
        left = [post.height - float(post.holes.top) for post in posts]
        assert found.value == pytest.approx(min(left), abs=1e-9)
        grown += sum(post.own_height not in (None, post.height) for post in posts)
    assert grown


lengths = st.fractions(Fraction(-1), Fraction(1), max_denominator=16)


@settings(max_examples=15, deadline=None)
@given(
    rise=st.integers(56, 72),
    run=st.integers(80, 104),
    holes=st.lists(st.tuples(lengths, lengths), min_size=1, max_size=5, unique=True),
    kind=st.sampled_from(["pivot", "plumb-cut"]),
)
def test_holes_keep_their_plate_on_any_rake(rise, run, holes, kind):
    """The mean of a bracket's holes is its pin's height and the mean offset; the distances between
    them are those of the plate, whatever the rake."""
    bracket = {"kind": kind, "holes": [[str(x), str(y)] for x, y in holes]}
    bracket |= (
        {"pivot_offset": "1 1/8", "rail_setback": "3/8"} if kind == "pivot"
        else {"end_clearance": "1/8"}
    )  # fmt: skip
    mapping = {
        "units": "in",
        "panel": {"height": "33 1/2", "top_rail": "1 3/4", "bottom_rail": "1 1/2",
                  "baluster": "3/4", "pitch": "4 1/2"},
        "bracket": bracket,
        "post": {"width": "3", "base": "4"},
        "section": [{"kind": "flight", "unit_rise": f"{rise}/8", "unit_run": f"{run}/8",
                     "treads": 5, "bays": 1, "bottom_gap": "1"}],
    }  # fmt: skip
    try:
        solution = solution_for(job_from_mapping(mapping), with_remedies=False)
    except JobError:
        return
    mean = sum(float(y) for _, y in holes) / len(holes)
    for post in result_of(solution)["sections"][0]["posts"]:
        for mark in post["marks"]:
            made = [(hole["across"], hole["height"]) for hole in mark["holes"]]
            assert sum(y for _, y in made) / len(made) == pytest.approx(mark["height"] + mean)
            for (a, b), (c, d) in itertools.combinations(zip(made, holes, strict=True), 2):
                flat = math.dist(b, d)
                assert math.dist(a, c) == pytest.approx(flat, abs=1e-9)
    section = solution.guard.sections[0]
    low, high = hole_reach(solution.job.bracket)
    for post in section.posts:
        heights = [mark.height for mark in post.marks]
        assert float(post.holes.foot) == pytest.approx(min(heights) + float(low), abs=1e-9)
        assert float(post.holes.top) == pytest.approx(max(heights) + float(high), abs=1e-9)


def test_a_height_on_the_tape_stays_a_fraction():
    bracket = with_holes("porch").bracket
    assert hole_heights(bracket, Fraction(39, 2))[2] == (0, Fraction(75, 4))
    assert hole_heights(bracket, 19.5)[2] == (0, 18.75)


def test_holes_go_with_the_pin_beside_the_middle_of_an_askew_face():
    """Half a post and the pin, 1 1/2 + 1, along a face turned 30°: 2.5 tan 30° to the right of who
    looks at rails that turn to the left, and to the left of those that turn to the right."""
    run = {"kind": "level", "span": "96", "bays": 2, "bottom_gap": "2"}
    for turn, aside in ((30, 2.5 / math.sqrt(3)), (-30, -2.5 / math.sqrt(3)), (0, 0)):
        mapping = {
            "units": "in",
            "rules": "irc-2021",
            "panel": {"height": "34", "top_rail": "1 3/4", "bottom_rail": "1 1/2",
                      "baluster": "3/4", "pitch": "4 1/2"},
            "bracket": {"kind": "pivot", "pivot_offset": "1", "rail_setback": "1/2",
                        "holes": [["1/4", "1"], ["0", "-1"]]},
            "post": {"width": "3"},
            "section": [run, {**run, "turn": turn}],
        }  # fmt: skip
        solution = solution_for(job_from_mapping(mapping), with_remedies=False)
        first, second, _ = result_of(solution)["sections"][1]["posts"]
        for mark in (*first["marks"], *second["marks"]):
            wanted = aside if mark in first["marks"] else 0
            found = [hole["across"] for hole in mark["holes"]]
            assert found == pytest.approx([wanted + 0.25, wanted], abs=1e-12)
            heights = [hole["height"] - mark["height"] for hole in mark["holes"]]
            assert heights == pytest.approx([1, -1])


@pytest.mark.parametrize("turn", [-30, -12, 20, 28])
def test_holes_of_an_askew_post_keep_to_its_face(turn):
    """In plan, by vectors: a 3 in post, its middle the origin, its face the line x = 1 1/2, and a
    rail that leaves at the turn with its pin 1 1/8 before the face; the farthest hole's edge is
    3/4 + 1/8 to the one side of the pin, 1/4 + 1/8 to the other."""
    level = {"kind": "level", "span": 60, "bays": 1, "bottom_gap": 3}
    job = job_from_mapping(
        {
            "units": "in", "measured_within": 0,
            "panel": {"height": 34, "top_rail": "1 3/4", "bottom_rail": "1 1/2",
                      "baluster": "3/4", "pitch": "4 1/2"},
            "post": {"width": 3},
            "bracket": {"kind": "pivot", "pivot_offset": "1 1/8", "rail_setback": "3/8",
                        "holes": [["3/4", 0], ["-1/4", 0]], "hole_diameter": "1/4"},
            "section": [level, level | {"turn": turn}],
        }
    )  # fmt: skip
    way = np.array([math.cos(math.radians(turn)), math.sin(math.radians(turn))])
    pin = way * (1.5 + 1.125) / way[0]
    left = pin[1]  # seen along the rail; who looks at the face has it on the right
    holes = [left + 0.75 + 0.125, left - 0.25 - 0.125]
    beside = 1.5 - (max(holes) if turn > 0 else -min(holes))
    found = finding(solution_for(job), "bracket-holes-side", 1)
    assert found.value == pytest.approx(beside, abs=1e-9)
    assert (found.verdict == "fail") == (beside < 0)
    marks = [mark for post in solution_for(job).guard.sections[1].posts for mark in post.marks]
    assert marks[0].aside == pytest.approx(left, abs=1e-9)


def test_where_the_holes_are_not_given_an_askew_face_is_told_and_not_judged():
    level = {"kind": "level", "span": 60, "bays": 1, "bottom_gap": 3}
    panel = {"height": 34, "top_rail": "1 3/4", "bottom_rail": "1 1/2", "baluster": "3/4",
             "pitch": "4 1/2"}  # fmt: skip
    job = {
        "units": "in", "panel": panel, "post": {"width": 3},
        "bracket": {"kind": "pivot", "pivot_offset": "1 1/8", "rail_setback": "3/8"},
        "section": [level, level | {"turn": 45}],
    }  # fmt: skip
    found = finding(solution_for(job_from_mapping(job)), "bracket-holes-side", 1)
    assert found.value == pytest.approx(1.5 - 2.625, abs=1e-9)
    assert found.verdict == "n/a"
    square = job | {"section": [level, level | {"turn": 90}]}
    ids = {one.id for one in solution_for(job_from_mapping(square)).sections[1].findings}
    assert "bracket-holes-side" not in ids


def test_at_a_leaning_post_each_rail_has_its_own_pins():
    """A post that leans 2 in in its height: up along it, each rail's axis meets the line through
    the pins, 2 5/8 square off the post's middle, at a place of its own.  Holes reach 7/8 over and
    under the pin: 3/4 to the middle, 1/8 to the edge."""
    text = (EXAMPLES / "porch.toml").read_text(encoding="utf-8").replace("[post]", f"{PLATE}[post]")
    job = job_from_text(text + '[[section.as_built]]\npost = 2\nlean = "2"\n')
    post = solution_for(job, with_remedies=False).guard.sections[0].posts[1]
    slope, long = 7.25 / 10.5, math.hypot(2, post.height)
    up, right = (2 / long, post.height / long), (post.height / long, -2 / long)
    base = (60.25 - 2.625 * right[0], 43.5 - 2.625 * right[1])
    axis = 7.25 + 0.4375 + 0.75 * math.hypot(1, slope)
    bottom, top = (
        (start + slope * base[0] - base[1]) / (up[1] - slope * up[0]) + 1.5 * up[0] / up[1]
        for start in (axis, axis + 31.875)  # up along the face from the surface
    )
    assert float(post.holes.foot) == pytest.approx(bottom - 0.875, abs=1e-6)
    assert float(post.holes.top) == pytest.approx(top + 0.875, abs=1e-6)
