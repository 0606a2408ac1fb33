"""Posts that lean: drawn, lettered and laid out as they stand, by vectors of the test's own."""

import math
from pathlib import Path

import pytest

from stairs import solve
from stairs.drawing import draw_elevation
from stairs.drawing.paper.primitives import Stroke, Text
from stairs.drawing.sets.template.seats import seats
from stairs.job import job_from_text

TEXT = (Path(__file__).parents[2] / "examples" / "porch.toml").read_text(encoding="utf-8")
LEAN = 2.0  # inches that the top of post 2 stands out, over a height that is told by the answer
TOLD = f'[[section.as_built]]\npost = 2\nlean = "{LEAN:g}"\n'
SLOPE = 7.25 / 10.5


@pytest.fixture(scope="module")
def leaning():
    return solve(job_from_text(TEXT + TOLD))


def turned(post):
    """Foot, direction up along the post, and direction square to it, of post 2."""
    up = (LEAN, post.height)
    long = math.hypot(*up)
    up = (up[0] / long, up[1] / long)
    return (60.25, 43.5), up, (up[1], -up[0])


def pin_of(post, rail):
    """Where a line 1 1/2 + 1 1/8 square off the post's middle meets the rail's axis.

    The axes lie 7/16 over the nosing line, and half the bottom rail, 3/4 square to its length; the
    top one 33 1/2 - 1 5/8 higher.
    """
    (x, y), up, right = turned(post)
    base = (x - 2.625 * right[0], y - 2.625 * right[1])
    start = 7.25 + 0.4375 + 0.75 * math.hypot(1, SLOPE) + (31.875 if rail == "top" else 0)
    far = (start + SLOPE * base[0] - base[1]) / (up[1] - SLOPE * up[0])
    # up along the face from the surface, which the face meets level with the foot's middle
    along = far + 1.5 * up[0] / up[1]
    return (base[0] + far * up[0], base[1] + far * up[1]), along


def test_the_elevation_draws_it_out_of_plumb(leaning):
    """The middle of its top stands 2 in farther than the middle of its foot, at scale."""
    sheet = draw_elevation(leaning)
    post = leaning.guard.sections[0].posts[1]
    outline = [one for one in sheet.work if isinstance(one, Stroke) and one.group == "post"]
    closed = max((one for one in outline if one.closed), key=lambda one: one.points[0][0])
    (left, low), (right, _), (top_right, high), (top_left, _) = closed.points
    unit = sheet.view.unit
    plate = (low - sheet.view.at((0, 43.5))[1]) / unit
    leans = ((top_left + top_right) / 2 - (left + right) / 2) / unit
    assert leans == pytest.approx(LEAN * (1 - plate / post.height), abs=1e-6)
    assert math.dist((top_left, 0), (top_right, 0)) < 3 * unit  # cut off square, and turned
    words = [one.content for one in sheet.primitives if isinstance(one, Text)]
    assert 'LEANS 2"' in words and "AWAY FROM POST 1" in words


def test_a_plumb_one_is_lettered_as_before():
    words = [one.content for one in draw_elevation(solve(job_from_text(TEXT))).primitives
             if isinstance(one, Text)]  # fmt: skip
    assert not [one for one in words if "LEANS" in one]


def test_each_rail_has_its_pin_where_its_own_axis_meets_it(leaning):
    post = leaning.guard.sections[0].posts[1]
    for mark in post.marks:
        pin, along = pin_of(post, mark.rail)
        assert mark.pin == pytest.approx(pin, abs=1e-6)
        assert mark.height == pytest.approx(along, abs=1e-6)
        assert post.off_face(mark) == pytest.approx(1.125, abs=1e-6)


def test_the_template_turns_the_bracket_by_the_lean(leaning):
    """Pin 1 1/8 off the face; the rail leaves at the rake and the post's turn from plumb."""
    post = leaning.guard.sections[0].posts[1]
    turn = math.degrees(math.atan(SLOPE) + math.atan(LEAN / post.height))
    (seat,) = [one for one, where in seats(leaning).items() if "1.2 toward 1.1 top" in where]
    assert seat.turn == pytest.approx(turn, abs=1e-5)
    assert seat.offset == pytest.approx(1.125 * 25.4, abs=1e-5)
