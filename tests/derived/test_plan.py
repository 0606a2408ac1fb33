"""The plan of a whole job: turns, shared posts, heights, hands, walls and treads."""

from fractions import Fraction
from math import cos, dist, radians, sin
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from job_texts import head
from shapely.geometry import Polygon

from stairs.guard.plan import DRAWN_WIDTH, plan_of
from stairs.guard.solving import solve
from stairs.job import job_from_text, read_job
from stairs.solution import solution_for

PROPERTY = settings(deadline=None, derandomize=True, max_examples=15)
PORCH = Path(__file__).parents[2] / "examples" / "raised-porch.toml"

HEAD = head()


def flight(more=""):
    return f"""
[[section]]
kind = "flight"
unit_rise = 6
unit_run = 12
risers = 4
posts = [-4, 43]
bottom_gap = 1
{more}
"""


def level(more="", span=96, bays=2):
    return f"""
[[section]]
kind = "level"
span = {span}
bays = {bays}
bottom_gap = 2
{more}
"""


def guard_of(*sections):
    return solution_for(job_from_text(HEAD + "".join(sections))).guard


def plan(*sections):
    return plan_of(guard_of(*sections))


def at(x, y):
    return pytest.approx((x, y), abs=1e-9)


def test_a_flight_and_a_level_run_that_turns_left():
    """On paper: the flight's last post at 43; the run goes 96 to the left of it."""
    drawn = plan(flight(), level("turn = 90"))
    assert [place.heading for place in drawn.sections] == [0, 90]
    assert [place.datum for place in drawn.sections] == [0, 24]
    assert [post.centre for post in drawn.posts] == [at(-4, 0), at(43, 0), at(43, 48), at(43, 96)]
    assert [post.surface for post in drawn.posts] == [0, 24, 24, 24]
    assert [post.shared_with for post in drawn.posts] == [None, (2, 1), None, None]
    assert drawn.sections[1].at(48, 2) == at(41, 48)
    first = drawn.rails[0]
    assert (first.start, first.end) == (at(-1.5, 0), at(40.5, 0))
    assert (drawn.rails[1].start, drawn.rails[1].end) == (at(43, 2.5), at(43, 45.5))


@pytest.mark.parametrize("turn", [90, 60, -45, 120])
def test_equal_runs_that_turn_all_the_way_round_come_home(turn):
    """Four sides of a square, six of a hexagon, and so on: the last post is where the first is."""
    count = 360 // abs(turn)
    drawn = plan(level(), *[level(f"turn = {turn}")] * (count - 1))
    assert drawn.sections[-1].end == at(0, 0)
    assert drawn.sections[-1].heading + turn == pytest.approx(360 * (1 if turn > 0 else -1))


@PROPERTY
@given(turns=st.lists(st.integers(-179, 180), min_size=1, max_size=4))
def test_every_section_starts_where_the_one_before_ends(turns):
    drawn = plan(flight(), *(level(f"turn = {turn}") for turn in turns))
    for index, (one, other) in enumerate(zip(drawn.sections, drawn.sections[1:], strict=False)):
        assert one.end == at(*other.start)
        assert other.heading == one.heading + turns[index]
        assert dist(other.start, other.end) == pytest.approx(96)
    assert len(drawn.posts) == 2 + 2 * len(turns)
    xs = [corner for post in drawn.posts for corner in [post.centre[0]]]
    assert drawn.bounds[0] <= min(xs) and max(xs) <= drawn.bounds[2]


def test_every_flight_lifts_what_follows_it():
    """24 to a flight; a level run lifts nothing."""
    drawn = plan(flight(), level(), flight("turn = 90"), flight("turn = -90"), level())
    assert [place.datum for place in drawn.sections] == [0, 24, 24, 48, 72]
    assert max(tread.height for tread in drawn.treads) == 72 - 6
    assert max(nosing.height for nosing in drawn.nosings) == 72
    assert drawn.posts[-1].surface == 72
    assert drawn.posts[-1].top == 72 + 37


@PROPERTY
@given(turns=st.lists(st.integers(-180, 180), min_size=1, max_size=3))
def test_the_other_hand_is_the_mirror_image(turns):
    """Left for right, every turn the other way: each point lies across the first section's line."""
    right = plan(flight(), *(level(f"turn = {turn}") for turn in turns))
    left = plan(
        flight('hand = "left"'), *(level(f'turn = {-turn}\nhand = "left"') for turn in turns)
    )
    for one, other in zip(right.posts, left.posts, strict=True):
        assert other.centre == at(one.centre[0], -one.centre[1])
        assert (one.guard, other.guard, one.top) == ("right", "left", other.top)
    for one, other in zip(right.rails, left.rails, strict=True):
        assert other.start == at(one.start[0], -one.start[1])
    for one, other in zip(right.treads, left.treads, strict=True):
        for here, there in zip(one.corners, other.corners, strict=True):
            assert there == at(here[0], -here[1])


def test_treads_lie_across_the_stair_on_its_own_side():
    """Right-hand guard: the stair is to the left, which is up on the sheet."""
    drawn = plan(flight("width = 40\nside_gap = 2"))
    assert len(drawn.treads) == 3
    assert drawn.treads[0].corners == (at(0, 2), at(12, 2), at(12, 42), at(0, 42))
    assert [tread.height for tread in drawn.treads] == [6, 12, 18]
    assert [(nosing.start, nosing.end) for nosing in drawn.nosings][-1] == (at(36, 2), at(36, 42))
    areas = [Polygon(tread.corners).area for tread in drawn.treads]
    assert areas == pytest.approx([480] * 3)
    other = plan(flight('width = 40\nside_gap = 2\nhand = "left"'))
    assert other.treads[0].corners[2] == at(12, -42)


def test_a_last_tread_flush_with_the_landing_is_drawn_too():
    drawn = plan(flight('top = "tread"').replace("posts = [-4, 43]", "posts = [-4, 55]"))
    assert [tread.tread for tread in drawn.treads] == [1, 2, 3, 4]
    assert drawn.treads[-1].corners[1] == at(48, 0)
    assert drawn.treads[-1].height == 24


def test_a_width_that_nobody_gave_is_only_drawn():
    drawn = plan(flight())
    assert drawn.treads[0].corners[3] == at(0, DRAWN_WIDTH["in"])


def test_both_hands_stand_across_the_stair_from_each_other():
    drawn = plan(flight('hand = "both"\nwidth = 40\nside_gap = 1'), level())
    by_guard = {}
    for post in drawn.posts:
        by_guard.setdefault(post.guard, []).append(post.centre)
    assert by_guard["left"] == [at(-4, 42), at(43, 42)]
    assert by_guard["right"][:2] == [at(-4, 0), at(43, 0)]
    assert [rail.guard for rail in drawn.rails] == ["right", "left", "right", "right"]


def test_walls_are_drawn_square_to_their_run_and_are_no_posts():
    drawn = plan(level('end = "wall"'), level('turn = 90\nstart = "wall"'))
    assert len(drawn.posts) == 4
    assert [(wall.place, wall.heading) for wall in drawn.walls] == [("end", 90), ("start", 180)]
    assert drawn.walls[0].point == at(96, 0) == drawn.walls[1].point
    assert drawn.rails[1].end == at(95, 0)


def test_a_post_of_its_own_stands_its_gap_off():
    """Faces 2 apart: centres 5."""
    drawn = plan(level(), level('turn = 90\nstart = "own"\npost_gap = 2'))
    assert drawn.sections[1].start == at(96, 5)
    assert len(drawn.posts) == 6
    against = plan(level('end = "wall"'), level('start = "own"\npost_gap = 2'))
    assert against.sections[1].start == at(96 + 2 + 1.5, 0)


def test_a_skewed_rail_stops_off_the_face_of_its_post():
    """Turn 30: the face is 1.5 off square, the pin 1 more, both along the rail over cos 30."""
    drawn = plan(level(), level("turn = 30"))
    off = 2.5 / cos(radians(30))
    start = drawn.rails[2].start
    assert start == at(96 + off * cos(radians(30)), off * sin(radians(30)))
    assert start[0] - 96 == pytest.approx(2.5)
    post = drawn.posts[2]
    assert (post.shared_with, post.heading) == ((2, 1), 0)


def test_bounds_hold_posts_with_their_plates_and_treads():
    drawn = plan(flight("width = 40"))
    assert drawn.bounds == pytest.approx((-6.5, -2.5, 45.5, 40))


def test_rails_have_the_width_that_the_job_gives():
    job = read_job(PORCH)
    drawn = plan_of(solve(job))
    assert {rail.width for rail in drawn.rails} == {1.5}
    assert {rail.width for rail in plan(level()).rails} == {None}
    assert job.panel.rail_width == Fraction(3, 2)


def test_the_raised_porch_goes_round_its_corners():
    """Up one flight, left round the landing, up the other, right, then twice half left."""
    drawn = plan_of(solve(read_job(PORCH)))
    assert [place.heading for place in drawn.sections] == [0, 0, 90, 90, 0, 45, 90]
    assert [place.datum for place in drawn.sections] == [0, 29, 29, 29, 58, 58, 58]
    assert len(drawn.posts) == sum(len(section.bays) for section in solve(read_job(PORCH)).sections)
    (wall,) = drawn.walls
    assert wall.point == at(
        39.25 + 33 + 99 + 51 * cos(radians(45)), 42 + 43.25 + 51 * sin(radians(45)) + 118
    )
