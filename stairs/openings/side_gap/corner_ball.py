"""A ball in the plain corner between a step and a rail that stands off to the side of it.

Plain means: the ball leans on one level surface, one plumb face and the straight underside of the
rail, and on nothing else.  Seen in elevation it then sits in a triangle whose sides are in the
ratio ``R : G : L`` of rise, run and the slope between two nosings.  The distances of any point to
the three sides, each multiplied by its side, always add up to twice the triangle's area; so the
place of the ball drops out, and one sum is left that tells whether it passes: the *total* of its
three reaches.

:mod:`stairs.openings.side_gap.ball` says what a reach is, and handles every other case.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any, TypeAlias

from msgspec import Struct

Number: TypeAlias = Any  # a float, or one of many digits
Root: TypeAlias = Callable[[Any], Any]

_HALVINGS = 400  # floats stop long before, at neighbouring numbers


class PlainCorner(Struct, frozen=True):
    """A plain corner: how much each reach of a ball takes of the room that is there.

    Parameters
    ----------
    ground, stair, guard : number
        The sides that the ground, the stair and the guard take part in, e.g. 0, ``R + G`` and
        ``L`` where surface and riser are the stair's and the rail is the guard's.
    total : number
        What they may take together: twice the triangle's area over the scale of the sides.
    """

    ground: Number
    stair: Number
    guard: Number
    total: Number


def worst_reaches(
    stair: Number, guard: Number, radius: Number, side_gap: Number, sqrt: Root = math.sqrt
) -> tuple[Number, Number]:
    """The two reaches of a ball where it takes most room on its way through.

    Parameters
    ----------
    stair, guard : number
        Weights of the two reaches, 0 or more, not both 0.
    radius, side_gap : number
        Of the ball, above 0; stair to guard, 0 to ``2 radius``.
    sqrt : callable
        Square root for the kind of number in use.

    Returns
    -------
    tuple
        ``(A, B)``: reach at the stair and at the guard.

    Notes
    -----
    With the centre ``z`` beyond the tread ends ``A = sqrt(r² - z²)``, ``B = sqrt(r² - (w - z)²)``;
    ``a A + b B`` is concave in ``z`` and greatest where ``a z / A = b (w - z) / B``.  That ``z`` is
    halved down to; the sum is good to twice as many digits as ``z``.

    Examples
    --------
    Equal weights: half-way.

    >>> worst_reaches(1.0, 1.0, 5.0, 6.0)
    (4.0, 4.0)
    """
    if stair == 0 or guard == 0:  # the other plane's reach is greatest in its own plane
        other = _reach(radius, side_gap, sqrt)
        return (other, radius) if stair == 0 else (radius, other)
    low, high = max(radius * 0, side_gap - radius), min(radius, side_gap)
    for _ in range(_HALVINGS):
        z = (low + high) / 2
        if not low < z < high:
            break
        near, far = _reach(radius, z, sqrt), _reach(radius, side_gap - z, sqrt)
        if stair * z * far > guard * (side_gap - z) * near:
            high = z
        else:
            low = z
    z = (low + high) / 2
    return _reach(radius, z, sqrt), _reach(radius, side_gap - z, sqrt)


def _reach(radius: Number, off: Number, sqrt: Root) -> Number:
    square = radius * radius - off * off
    return sqrt(square) if square > 0 else radius * 0


def taken(corner: PlainCorner, radius: Number, side_gap: Number, sqrt: Root = math.sqrt) -> Number:
    """What a ball takes of a corner's room at its tightest place [unit of ``corner.total``].

    Parameters
    ----------
    corner : PlainCorner
        Its own ``total`` does not matter.
    radius, side_gap : number
        Above 0; 0 to ``2 radius``.
    sqrt : callable
        See :func:`worst_reaches`.

    Notes
    -----
    ``g r + max over z of (a A + b B)``.

    Examples
    --------
    >>> round(taken(PlainCorner(0, 7, 5, 0), 2.0, 0.0), 9)
    24.0
    """
    near, far = worst_reaches(corner.stair, corner.guard, radius, side_gap, sqrt)
    return corner.ground * radius + corner.stair * near + corner.guard * far


def largest_radius(corner: PlainCorner, side_gap: float) -> float:
    """Radius of the largest ball that passes a plain corner [job's unit of length].

    Parameters
    ----------
    side_gap : float
        Stair to guard, 0 or more.

    Notes
    -----
    Newton's method on :func:`taken`, whose slope by the radius is ``g + a r / A + b r / B`` as the
    tightest ``z`` is a maximum.  No corner stops a ball as thick as the side gap is wide: between
    the two planes it drops straight down.

    Examples
    --------
    >>> round(largest_radius(PlainCorner(0, 7, 5, 24), 0.0), 9)
    2.0
    >>> largest_radius(PlainCorner(0, 7, 5, -1), 3.0)
    1.5
    """
    least = side_gap / 2
    if corner.total <= corner.ground * least:
        return least
    flat = corner.total / (corner.ground + corner.stair + corner.guard)
    low, high = least, math.hypot(flat, least)
    radius = high
    for _ in range(100):
        near, far = worst_reaches(corner.stair, corner.guard, radius, side_gap)
        excess = corner.ground * radius + corner.stair * near + corner.guard * far - corner.total
        if excess > 0:
            high = radius
        else:
            low = radius
        if abs(excess) <= 1e-15 * corner.total or high - low <= 1e-15 * high:
            break
        step = math.inf
        if near > 0 and far > 0:
            slope = corner.ground + radius * (corner.stair / near + corner.guard / far)
            step = excess / slope
        following = radius - step
        if not low < following < high:
            following = (low + high) / 2
        if abs(following - radius) <= 1e-16 * radius:
            break
        radius = following
    return radius


def compare_corner(
    corner: PlainCorner, side_gap: Number, radius: Number, sqrt: Root, least: Number
) -> int:
    """-1, 0 or 1 as the largest ball of a plain corner is smaller than a ball, equal or larger.

    Parameters
    ----------
    corner : PlainCorner
        In numbers of many digits.
    least : number
        What counts as no difference [unit of ``corner.total``].

    Notes
    -----
    The ball takes more room the larger it is, so the sign of what is left over decides.
    """
    if 2 * radius <= side_gap:
        if 2 * radius < side_gap:
            return 1
        spare = corner.total - corner.ground * radius
        return 1 if spare > least else 0
    spare = corner.total - taken(corner, radius, side_gap, sqrt)
    return 0 if abs(spare) <= least else 1 if spare > 0 else -1
