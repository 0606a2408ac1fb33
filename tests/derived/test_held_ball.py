"""The ball that three contacts hold between stair and guard, worked out on paper."""

import math

import pytest

from stairs.openings.side_gap.held_ball import GROUND, GUARD, OPEN, STAIR, held_ball

FLOOR = (STAIR, 0.0, 1.0, 0.0)
RAIL = (GUARD, 0.0, -1.0, -4.0)  # level, 4 above the floor in elevation
ON_AXIS = (OPEN, 1.0, 0.0, 0.0)


def test_ball_between_level_edges_is_half_way():
    """4 apart in elevation and 3 in plan: the squares add up, ``D² = 4² + 3²``."""
    held = held_ball((FLOOR, RAIL, ON_AXIS), 3.0, (2.4, 0.1, 1.8, 1.2))
    assert held == pytest.approx((2.5, 0.0, 2.0, 1.5), abs=1e-9)
    assert held[0] == pytest.approx(2.5, rel=1e-15)


@pytest.mark.parametrize("half", [0.5, 1.0, 2.0])
def test_ball_on_two_corners_under_a_level_edge(half):
    """Corners ``2 a`` apart, the edge ``h`` over them, ``w`` outside.

    ``h = sqrt(r² - a² - z²) + sqrt(r² - (w - z)²)`` is greatest, along the way, where both roots
    lean alike: ``D² = h² + w² = (sqrt(r² - a²) + r)²``, so ``r = (D² + a²) / (2 D)``.
    """
    corners = (STAIR, -half, 0.0, None), (STAIR, half, 0.0, None)
    radius = (25 + half**2) / 10
    low = math.sqrt(radius**2 - half**2)
    held = held_ball((*corners, RAIL), 3.0, (radius * 1.02, 0.05, low * 0.75, 1.2))
    assert held == pytest.approx((radius, 0.0, low * 4 / 5, low * 3 / 5), abs=1e-8)
    assert held[0] == pytest.approx(radius, rel=1e-14)


def test_ball_in_the_corner_of_ground_post_and_edge_does_not_move_with_the_plane():
    """All in the guard's plane, or the ground: tightest where the guard's reach is greatest.

    A post at x = 0, the edge ``3 x - 4 y = -20``, ground at y = 0.  At ``z = w``, with ``r`` from
    post and ground, ``3 r - 4 r + 20 = 5 r`` gives ``r = 10 / 3``.
    """
    contacts = (GROUND, 0.0, 1.0, 0.0), (GUARD, 1.0, 0.0, 0.0), (GUARD, 0.6, -0.8, -4.0)
    held = held_ball(contacts, 2.0, (3.5, 3.0, 3.5, 1.7))
    assert held == pytest.approx((10 / 3, 10 / 3, 10 / 3, 2.0), abs=1e-8)


def test_ball_smaller_than_the_gap_is_held_where_it_has_left_the_stair():
    """The centre on an open edge 1 below the rail, a ball that leaves the stair at ``z = r``:

    ``r² = 1 + (2 - r)²`` gives ``r = 5 / 4``; further out it would have more room.
    """
    contacts = (OPEN, 0.0, 1.0, 3.0), RAIL, (GUARD, 1.0, 0.0, 0.0)
    for place in (0.9, 1.2, 1.25):
        held = held_ball(contacts, 2.0, (1.25, 1.1, 3.0, place))
        assert held == pytest.approx((1.25, 1.0, 3.0, 1.25), abs=1e-12)


def test_parallel_edges_alone_hold_no_ball():
    assert held_ball((FLOOR, RAIL, (GUARD, 0.0, -1.0, -5.0)), 3.0, (2.4, 0.0, 1.8, 1.2)) is None
