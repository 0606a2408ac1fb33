"""Posts that two sections share, walls, posts of their own, and both hands of a stair."""

import json
from fractions import Fraction
from math import atan2, cos, degrees, radians, sin
from pathlib import Path

import msgspec
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from job_texts import head
from msgspec.structs import replace

from stairs.checks.finding import FAIL
from stairs.errors import JobError, MeasurementMissing, NoSuchShape
from stairs.guard.lines import ends_of
from stairs.guard.shared_posts import joins_of, with_joins
from stairs.guard.sides import standings
from stairs.guard.solving import solve, solve_section
from stairs.job import job_from_text, read_job
from stairs.parts.section_ends import folded
from stairs.remedies.remedies import apply
from stairs.report.joins_text import joins_text
from stairs.report.result import result_of
from stairs.solution import solution_for

PROPERTY = settings(deadline=None, derandomize=True, max_examples=15)
PORCH = Path(__file__).parents[2] / "examples" / "raised-porch.toml"

PIVOT = 'kind = "pivot"\npivot_offset = "1 1/8"\nrail_setback = "3/8"'
PLUMB_CUT = 'kind = "plumb-cut"\nend_clearance = "1/8"'
FLIGHT = """
[[section]]
kind = "flight"
unit_rise = 6
unit_run = 12
risers = 4
posts = [-4, 43]
bottom_gap = {gap}
{more}
"""
LEVEL = """
[[section]]
kind = "level"
span = {span}
bays = {bays}
bottom_gap = {gap}
{more}
"""


def flight(more="", gap=1):
    return FLIGHT.format(more=more, gap=gap)


def level(more="", gap=2, span=96, bays=2):
    return LEVEL.format(more=more, gap=gap, span=span, bays=bays)


def job_of(*sections, bracket=PIVOT, stock="[48, 60]"):
    return job_from_text(head(bracket, f"reveal = 1\nstock = {stock}") + "".join(sections))


def joins(job):
    return joins_of(job, solve(job).sections)


def close(value):
    return pytest.approx(value, rel=1e-9, abs=1e-9)


# ------------------------------------------------------------------ one post, one height


def test_both_sections_hold_the_shared_post_at_one_height():
    """On paper: 6 in 12; the flight's need at its upper face, the level run's all along."""
    job = job_of(flight(), level(), flight())
    solution = solution_for(job)
    assert [(join.lower, join.upper) for join in solution.joins] == [(1, 2), (2, 3)]
    for join in solution.joins:
        lower = solution.guard.sections[join.lower - 1].posts[join.below.post - 1]
        upper = solution.guard.sections[join.upper - 1].posts[join.above.post - 1]
        assert lower.height == upper.height == join.height == max(join.needs)
        assert lower.exact_height == upper.exact_height == join.exact_height
        assert lower.stock == upper.stock == join.stock
        assert lower.shared_with == (join.upper, join.above.post)
        assert upper.shared_with == (join.lower, join.below.post)
    # racked height 34 - 2 + 2 * sqrt(1.25), post face at 41.5, nosing line there 6 + 20.75
    racked = 32 + 2 * 1.25**0.5
    assert solution.joins[0].needs == (close(26.75 + 1 + racked + 1 - 24), 34 + 2 + 1)
    # the upper flight: face at -2.5, nosing line there 4.75
    assert solution.joins[1].needs == (34 + 2 + 1, close(4.75 + 1 + racked + 1))
    assert [join.governed_by for join in solution.joins] == [1, 3]


def test_step_between_rails_is_measured_at_the_faces_where_they_end():
    first, second = joins(job_of(flight(), level(), flight()))
    racked = 32 + 2 * 1.25**0.5
    assert first.below.bottom == close(26.75 + 1 - 24)
    assert (first.above.bottom, first.above.top) == (2, 36)
    assert first.bottom_step == close(2 - 3.75)
    assert first.top_step == close(36 - 3.75 - racked)
    assert second.bottom_step == close(5.75 - 2)
    assert second.top_step == close(5.75 + racked - 36)


def test_level_runs_in_a_row_have_no_step_and_both_govern():
    (join,) = joins(job_of(level(), level("turn = -90")))
    assert (join.top_step, join.bottom_step, join.governed_by) == (0, 0, None)
    assert join.needs == (37, 37)
    assert join.surface == "walking surface"


def test_flight_after_flight_shares_the_post_on_the_landing_between():
    (join,) = joins(job_of(flight(), flight("turn = 90")))
    racked = 32 + 2 * 1.25**0.5
    assert join.surface == "upper landing"
    assert join.height == close(4.75 + 1 + racked + 1)
    assert join.bottom_step == close(5.75 - 3.75)


def test_shared_post_has_the_marks_of_both_sections():
    job = job_of(flight(), level("turn = 90"))
    solution = solution_for(job)
    (join,) = solution.joins
    assert {mark.side for mark in join.below.marks} == {"down"}
    assert {mark.side for mark in join.above.marks} == {"up"}
    assert join.below.marks == solution.guard.sections[0].posts[-1].marks
    assert join.above.marks == solution.guard.sections[1].posts[0].marks
    assert len(join.below.marks) == len(join.above.marks) == 2
    assert join.below.swing == -join.below.true_angle == -solution.guard.sections[0].rake


@PROPERTY
@given(gap=st.integers(0, 5), other=st.integers(0, 5), turn=st.integers(-180, 180))
def test_height_is_the_greater_need_whatever_the_gaps_and_turns(gap, other, turn):
    job = job_of(flight(gap=gap), level(f"turn = {turn}", gap=other))
    sections = solve(job).sections
    (join,) = joins_of(job, sections)
    alone = [sections[0].posts[-1].height, sections[1].posts[0].height]
    assert join.height == max(alone)
    together = with_joins(sections, (join,))
    assert together[0].posts[-1].height == together[1].posts[0].height == max(alone)
    # nothing else moved
    assert together[0].posts[:-1] == sections[0].posts[:-1]
    assert together[1].bays == sections[1].bays


def test_posts_are_counted_once_and_walls_not_at_all():
    job = job_of(flight(), level("turn = 90"), level('turn = 90\nend = "wall"'))
    solution = solution_for(job)
    listed = [
        (each.section.number, each.post.number)
        for each in standings(solution.guard.sections)
        if each.quantity
    ]
    assert listed == [(1, 1), (1, 2), (2, 2), (2, 3), (3, 2)]


def test_a_shared_post_that_no_stock_reaches_fails_in_both_sections():
    """The level run alone could do with 38; its first post is the flight's last and is not."""
    job = job_of(flight(), level(), stock="[38]")
    solution = solution_for(job)
    found = [
        [finding for finding in part.findings if finding.id == "post-stock"][0]
        for part in solution.sections
    ]
    assert [finding.verdict for finding in found] == [FAIL, FAIL]
    # what measuring error adds is added to the shared post's height
    assert all(finding.value <= finding.worst < finding.value + 1 for finding in found)
    assert found[1].value == solution.joins[0].height > 38
    assert found[1].where == "post 1"
    remedy = solution.sections[1].remedies["post-stock"][0]
    assert remedy.text == (
        'Buy posts 39" long or more: the post shared with section 1 is the longest'
    )
    assert remedy.changes[0].value == (38, 39)
    alone = solution_for(job_of(level(), stock="[38]"))
    assert all(finding.verdict != FAIL for finding in alone.sections[0].findings
               if finding.id == "post-stock")  # fmt: skip
    mended = solution_for(job_of(flight(), level(), stock="[38, 42]"))
    assert "post-stock" not in mended.sections[1].remedies


# ------------------------------------------------------------------ turns


@pytest.mark.parametrize(
    ("turn", "left"),
    [(0, 0), (90, 0), (-90, 0), (180, 0), (45, 45), (-45, -45), (135, -45), (30, 30), (60, -30),
     (-100, -10), (Fraction(45, 2), Fraction(45, 2))],
)  # fmt: skip
def test_folding_a_turn_onto_the_nearest_face(turn, left):
    assert folded(Fraction(turn)) == left
    job = job_of(level(), level(f"turn = {float(turn)}"))
    ends = ends_of(job, 1)
    assert (ends.shared, ends.skew) == (True, left)
    assert float(ends.low_reach) == close(1.5 / cos(radians(left)))
    assert ends.high_reach == Fraction(3, 2)


@pytest.mark.parametrize("bracket", [PIVOT, PLUMB_CUT], ids=["pivot", "plumb cut"])
@pytest.mark.parametrize("turn", [0, 90, -180])
def test_square_turns_change_no_cut(turn, bracket):
    plain = solve(job_of(level(), level(), bracket=bracket)).sections[1]
    other = solve(job_of(level(), level(f"turn = {turn}"), bracket=bracket)).sections[1]
    assert plain.bays == other.bays


@pytest.mark.parametrize("bracket", [PIVOT, PLUMB_CUT], ids=["pivot", "plumb cut"])
@pytest.mark.parametrize("turn", [45, 30, -20, 110, 0])
def test_pins_on_an_askew_face_by_vectors(turn, bracket):
    """A rail's axis through the post's middle, cut by the plumb plane that holds the pins.

    x square off the face, y to the left of who looks along it, z up.  Who looks at the face sees
    the left of the rails on the right.
    """
    section = solve(job_of(level(), flight(f"turn = {turn}"), bracket=bracket)).sections[1]
    post, skew = section.posts[0], radians(float(folded(Fraction(turn))))
    along = np.array([12 * cos(skew), 12 * sin(skew), 6.0])  # one step of the flight
    off = 1.5 + (1.125 if bracket == PIVOT else 0.125)  # half the post, and pin or cut face
    line = section.rail_line
    for mark in post.marks:
        lift = mark.pin[1] - line.under(mark.pin[0])
        middle = np.array([0.0, 0.0, line.under(post.x) + lift - post.surface])
        _, left, height = middle + along * off / along[0]
        assert mark.height == close(height)
        assert mark.aside == close(left)


@pytest.mark.parametrize("bracket", [PIVOT, PLUMB_CUT], ids=["pivot", "plumb cut"])
@pytest.mark.parametrize("turn", [45, 30, -20, 110])
def test_a_skewed_bay_fills_the_space_between_its_posts(turn, bracket):
    """Reach, stand-off, setback, rail and holes of the first bay add up to its centre distance."""
    job = job_of(level(), flight(f"turn = {turn}"), bracket=bracket)
    section = solve(job).sections[1]
    bay = section.bays[0]
    skew = radians(abs(float(folded(Fraction(turn)))))
    low = 1.5 / cos(skew)
    assert bay.clear == close(47 - low - 1.5)
    off = 1.125 if bracket == PIVOT else 0.125
    setback = 0.375 if bracket == PIVOT else 0.0
    rake = cos(atan2(6, 12))
    assert bay.clear == close(
        off / cos(skew) + off + (bay.rail_length + 2 * setback) * rake
    )  # fmt: skip
    # holes sit in the middle of the rail, and the gaps follow from where the rail lies
    along = bay.made.along_rail
    assert along[0] == close(bay.rail_length - along[-1])
    assert bay.end_gap_low == close(off / cos(skew) + (setback + along[0]) * rake - 0.375)
    assert bay.end_gap_high == close(off + (setback + along[0]) * rake - 0.375)
    face = section.posts[0].x + low
    assert bay.baluster_x[0] == close(face + bay.end_gap_low + 0.375)
    pin = close(face + off / cos(skew))
    assert [mark.pin[0] for mark in section.posts[0].marks] == [pin, pin]
    (under, _), (over, _) = bay.top_rail[:2]
    assert (under + over) / 2 == close(face + off / cos(skew) + setback * rake)
    # the ball beside the post is the gap there, decided exactly
    gaps = [opening for opening in section.openings if opening.kind == "end"]
    assert [opening.diameter for opening in gaps] == [bay.end_gap_low, bay.end_gap_high]
    assert gaps[0].outline[0][0] == close(face)


def test_skew_shows_in_the_join():
    """A flight that turns 60 left leaves the left face, 30 to the right of square."""
    job = job_of(level(), flight("turn = 60"), bracket=PLUMB_CUT)
    (join,) = joins(job)
    assert (join.below.skew, join.below.leans, join.above.skew, join.above.leans) == (
        0, "", -30, "right",
    )  # fmt: skip
    rake = atan2(6, 12)
    assert join.above.swing == close(degrees(rake))
    true = join.above.true_angle
    assert cos(radians(true)) == close(cos(rake) * cos(radians(30)))
    assert sin(radians(join.above.saw.bevel)) == close(cos(radians(30)) * sin(rake))
    assert join.below.saw.miter == join.below.saw.bevel == 0
    assert joins(job_of(level(), flight("turn = 60")))[0].above.saw is None


def test_a_skewed_flight_keeps_its_post_face_in_the_foot_opening():
    """The free space at the foot starts where the rail leaves the post."""
    section = solve(job_of(level(), flight("turn = 45"))).sections[1]
    foot = next(opening for opening in section.openings if opening.kind == "foot")
    assert min(x for x, _ in foot.outline) == close(-4 + 1.5 * 2**0.5)


def test_rails_that_turn_back_share_a_face_and_say_so():
    """A turn of more than 135 brings both pairs of brackets to one face."""
    (join,) = joins(job_of(flight(), flight("turn = 180")))
    assert "one face of the post" in join.remark
    assert joins(job_of(flight(), flight("turn = 90")))[0].remark == ""
    assert "one face" in joins(job_of(flight(), flight("turn = -150")))[0].remark


def mirror_image(post):
    """The same post with its brackets as far on the other side of its middle."""
    marks = tuple(replace(mark, aside=-mark.aside) for mark in post.marks)
    return replace(post, marks=marks)


@PROPERTY
@given(turn=st.integers(-180, 180), bracket=st.sampled_from([PIVOT, PLUMB_CUT]))
def test_a_mirrored_job_has_the_same_cuts(turn, bracket):
    """Left hand for right and every turn the other way: same cuts, brackets lean the other way."""
    right = job_of(flight(), level(f"turn = {turn}"), bracket=bracket)
    left = job_of(flight('hand = "left"'), level(f'turn = {-turn}\nhand = "left"'), bracket=bracket)
    one, other = solve(right), solve(left)
    for here, there in zip(one.sections, other.sections, strict=True):
        assert here.bays == there.bays
        assert here.posts == tuple(mirror_image(post) for post in there.posts)
        assert (here.hand, there.hand) == ("right", "left")
    (join,), (mirrored,) = joins(right), joins(left)
    assert join.above.skew == -mirrored.above.skew
    assert {join.above.leans, mirrored.above.leans} in ({"left", "right"}, {""})
    assert join.above.saw == mirrored.above.saw
    assert (join.height, join.top_step) == (mirrored.height, mirrored.top_step)


def test_both_hands_are_two_sides():
    sections = solve(job_of(flight('hand = "both"'), level())).sections
    assert [section.sides for section in sections] == [2, 1]


# ------------------------------------------------------------------ walls and posts of their own


def test_a_run_against_a_wall_is_measured_from_its_face():
    """96 from the first post's centre to the wall: two bays of (96 - 1.5 - 3) / 2."""
    section = solve(job_of(level('end = "wall"'))).sections[0]
    assert [bay.clear for bay in section.bays] == [45.75, 45.75]
    assert [post.x for post in section.posts] == [0, 48.75, 96]
    wall = section.posts[-1]
    assert wall.wall and not section.posts[0].wall
    assert (wall.stands_on, wall.width, wall.height, wall.stock, wall.base) == (
        "wall", 0, 0, None, None,
    )  # fmt: skip
    marks = {mark.rail: mark for mark in wall.marks}
    assert marks["top"].pin[0] == marks["bottom"].pin[0] == 96 - 1.125
    assert marks["bottom"].height == section.posts[0].marks[0].height


def test_walls_at_both_ends_leave_no_post_but_between():
    section = solve(job_of(level('start = "wall"\nend = "wall"', span=99))).sections[0]
    assert [bay.clear for bay in section.bays] == [48, 48]
    assert [post.wall for post in section.posts] == [True, False, True]
    alone = solution_for(job_of(level('start = "wall"\nend = "wall"', span=60, bays=1)))
    assert alone.guard.sections[0].bays[0].clear == 60
    assert not [item for item in alone.sections[0].findings if item.id == "post-stock"]


def test_a_flight_may_end_at_a_wall_where_no_plate_would_stand():
    """The wall's face may lie over a tread or at a nosing; the head opening leans on the wall."""
    job = job_of(flight('end = "wall"').replace("posts = [-4, 43]", "posts = [-4, 40]"))
    section = solve(job).sections[0]
    assert section.bays[0].clear == 44 - 1.5
    assert section.posts[-1].surface == 24
    sides = {str(side) for opening in section.openings for side in opening.leans_on}
    assert "wall" in sides and "post 2" not in sides and "post 1" in sides


def test_no_join_where_a_wall_stands_between():
    assert joins(job_of(level('end = "wall"'), level())) == ()
    assert joins(job_of(level(), level('start = "wall"'))) == ()
    assert ends_of(job_of(level('end = "wall"'), level("turn = 30")), 1).skew == 0


def test_a_post_of_its_own_leaves_a_gap_to_be_checked():
    job = job_of(flight(), level('start = "own"\npost_gap = "3 1/2"\nturn = 30'))
    solution = solution_for(job)
    assert solution.joins == ()
    section = solution.guard.sections[1]
    assert section.bays[0].clear == 45  # square: the post is its own
    gap = section.openings[-1]
    assert (gap.kind, gap.bay, gap.tread, gap.diameter) == ("end", None, None, 3.5)
    assert gap.place == "beside post 1"
    assert tuple(map(str, gap.leans_on)) == ("post of the section before", "post 1")
    assert solution.sections[1].openings[-1].verdict == "pass"
    wide = solution_for(job_of(flight(), level('start = "own"\npost_gap = 4')))
    assert wide.sections[1].openings[-1].verdict == "fail"
    finding = next(item for item in wide.sections[1].findings if item.id == "opening-end")
    assert (finding.verdict, finding.where, finding.value) == ("fail", "beside post 1", 4)


def test_a_gap_beside_a_post_is_measured_like_any_other():
    """Within an eighth of the limit it passes as drawn and is marginal."""
    job = job_of(flight(), level('start = "own"\npost_gap = "3 15/16"'))
    rough = msgspec.structs.replace(job, measured_within=Fraction(1, 8))
    assert solution_for(rough).sections[1].openings[-1].verdict == "marginal"


# ------------------------------------------------------------------ errors


@pytest.mark.parametrize(
    ("sections", "kind", "words"),
    [
        ((level('start = "own"\npost_gap = 2'),), JobError,
         'section 1: start: is "own" in the first section. A post of its own stands beside the '
         'last post of the section before. Leave start out, or write start = "wall".'),
        ((flight(), level('start = "own"')), JobError,
         'section 2: post_gap: is missing. With start = "own" two posts stand side by side, and '
         "the gap between them is an opening. Measure it, face to face, and add it, as in "
         'post_gap = "2".'),
        ((flight(), level("post_gap = 2")), JobError,
         'section 2: post_gap: stands beside start = "post". Only a post of its own stands beside '
         'the post of the section before. Write start = "own", or leave post_gap out.'),
        ((flight('end = "wall"').replace("posts = [-4, 43]\n", ""),), JobError,
         'section 1: posts: is missing beside end = "wall". On a flight the list of posts also '
         "says where the wall's face is. List the post centres, and the face of the wall in its "
         "place among them."),
        ((flight('start = "wall"').replace("posts = [-4, 43]\n", ""),), JobError,
         'section 1: posts: is missing beside start = "wall".'),
        ((level('start = "door"'),), JobError, 'section 1: start: "door" cannot be used'),
        ((level('hand = "up"'),), JobError, 'section 1: hand: "up" cannot be used'),
        ((level("posts = [0, 1, 96]\nend = \"wall\"").replace("bays = 2\n", "")
          .replace("posts = [0, 1, 96]", "posts = [0, 94, 96]"),), NoSuchShape,
         'section 1: posts: post 2 is 2" from the wall, to its centre. Half of its base plate is '
         '2 1/2" and would run into the wall. Keep at least 2 1/2".'),
        ((flight().replace("posts = [-4, 43]", "posts = [-4, 29]"), level()), NoSuchShape,
         "section 2: start: shares post 2 of section 1, which stands on tread 3. A section "
         "that follows a flight begins on the flight's upper landing. Move the post, or write "
         'start = "own" and its post_gap.'),
        ((level(), flight().replace("posts = [-4, 43]", "posts = [4, 43]")), NoSuchShape,
         "section 2: start: its post 1 stands on tread 1, and is the last post of section 1. A "
         "flight's first post is shared where it stands on the flight's lower landing. Move the "
         'post, or write start = "own" and its post_gap.'),
    ],
)  # fmt: skip
def test_errors_name_the_key_and_the_remedy(sections, kind, words):
    with pytest.raises(kind) as caught:
        solution_for(job_of(*sections))
    assert str(caught.value).startswith(words)
    assert isinstance(caught.value, MeasurementMissing) == ("post_gap: is missing" in words)


# ------------------------------------------------------------------ result and screen


def test_result_names_shared_posts_and_joins():
    job = job_of(flight(), level("turn = 45"), level('end = "wall"'), bracket=PLUMB_CUT)
    result = json.loads(json.dumps(result_of(solution_for(job))))
    first, second, third = (section["posts"] for section in result["sections"])
    assert first[0]["shared_with"] is None
    assert first[-1]["shared_with"] == {"section": 2, "post": 1}
    assert second[0]["shared_with"] == {"section": 1, "post": 2}
    assert first[-1]["height"] == second[0]["height"] == result["joins"][0]["height"]
    assert [post["wall"] for post in third] == [False, False, True]
    join = result["joins"][0]
    assert join["lower"]["section"] == 1 and join["upper"] == {
        "section": 2, "post": 1, "needs": 37,
    }  # fmt: skip
    above = join["rails"][1]
    assert (above["skew"], above["leans"], above["true_angle"]) == (45, "left", 45)
    assert above["saw"]["side_bevel"] == 45 and above["saw"]["miter"] == pytest.approx(45)
    assert [len(rails["marks"]) for rails in join["rails"]] == [2, 2]
    assert result["joins"][1]["rails"][1]["leans"] is None


def test_result_of_one_section_has_no_joins():
    result = result_of(solution_for(job_of(flight())))
    assert result["joins"] == []
    assert (result["sections"][0]["hand"], result["sections"][0]["sides"]) == ("right", 1)


def test_screen_shows_each_join_within_80_columns():
    job = job_of(flight(), level("turn = 60"), flight("turn = 180"), bracket=PLUMB_CUT)
    text = joins_text(job, solution_for(job).joins)
    assert max(map(len, text.splitlines())) <= 80
    flat = " ".join(text.split())
    assert "1.2 = 2.1 60° left" in flat and "2.3 = 3.1 180° left" in flat
    # a ray at 30° from the middle of a square of 3 leaves it 3 / 2 tan 30° = 0.866 off the middle
    assert job.post.width == 3
    assert 'leave 7/8" to the right of the middle of the face, seen as they go' in flat
    assert "swing 30° to the right in plan" in flat
    assert "miter 30.0°, bevel 0.0°" in flat
    assert "both sections' rails meet one face" in flat
    climbing = joins_text(job, solution_for(job_of(level(), flight("turn = 45"))).joins)
    assert "swing 45° to the left in plan and 26.6° up from level, 50.8° in all" in " ".join(
        climbing.split()
    )
    assert joins_text(job, ()) == ""


# ------------------------------------------------------------------ the raised porch


def test_the_raised_porch_passes_and_joins_seven_sections():
    """Two flights, a landing in two runs, three porch sides, the last against the house."""
    solution = solution_for(msgspec.structs.replace(read_job(PORCH), measured_within=Fraction(0)))
    assert solution.ok
    assert len(solution.joins) == 6
    assert [join.turn for join in solution.joins] == [0, 90, 0, -90, 45, 45]
    assert [section.posts[-1].wall for section in solution.guard.sections] == [False] * 6 + [True]
    assert [abs(join.above.skew) for join in solution.joins] == [0, 0, 0, 0, 45, 45]
    for join in solution.joins:
        assert join.height == max(join.needs)
        kinds = {solution.guard.sections[number - 1].kind for number in (join.lower, join.upper)}
        assert (join.top_step == 0) == (kinds == {"level"})


def test_solving_one_section_alone_is_not_changed_by_its_neighbours():
    job = job_of(flight(), level(), flight())
    for index, section in enumerate(solve(job).sections):
        assert solve_section(job, index).bays == section.bays


def test_a_gap_that_fails_comes_with_one_that_passes():
    """The remedy's change, written into the job, passes the same check."""
    job = job_of(flight(), level('start = "own"\npost_gap = "5 1/2"'))
    solution = solution_for(job)
    (remedy, *_) = solution.sections[1].remedies["opening-end"]
    assert remedy.text.startswith('Stand post 1 3 15/16" from the post beside it')
    (change,) = remedy.changes
    assert (change.table, change.key, change.value) == ("section", "post_gap", Fraction(63, 16))
    assert solution_for(apply(job, remedy, 1)).sections[1].openings[-1].verdict == "pass"
