"""Narrowing down: where a function of one number is zero, and where it is least.

Most of what the solver wants has a closed form.  What has none is closed in on: a rail that is just
too high for a ball is tried, then one that is just low enough, and so on between the two.
"""

from __future__ import annotations

import math
from collections.abc import Callable

_GOLDEN = (math.sqrt(5) - 1) / 2
_MOST = 150  # floats end long before


def zero_between(
    function: Callable[[float], float],
    low: float,
    high: float,
    values: tuple[float, float],
    width: float,
    nothing: float = 0.0,
) -> tuple[float, float]:
    """Two places next to each other between which a function changes its sign.

    Parameters
    ----------
    function : callable
        Of one number; it may jump.
    values : tuple of float
        The function there, of unlike signs; infinite ones are allowed.
    width : float
        How near the two places are to be.
    nothing : float
        A value this near to 0 counts as 0, and its place is then both of them.

    Returns
    -------
    tuple of (float, float)
        The lower and the higher place.

    Notes
    -----
    False position, with the value at an end that stays halved (the Illinois variant).  Where three
    steps do no more than halving would, as at a jump, the range is halved once, next time twice,
    then four times and so on, so that hardly more steps are taken than halving alone would take.

    Examples
    --------
    >>> low, high = zero_between(lambda x: x * x - 2, 1.0, 2.0, (-1.0, 2.0), 1e-12)
    >>> round(low, 9), high - low <= 1e-12
    (1.414213562, True)
    """
    at_low, at_high = values
    rising = at_low < at_high
    stayed, wide, tried = 0, high - low, 0
    halvings, next_halvings = 0, 1
    while high - low > width:
        if tried == 3:
            if high - low > wide / 8:
                halvings, next_halvings = next_halvings, 2 * next_halvings
            else:
                next_halvings = 1
            tried, wide = 0, high - low
        place = (low + high) / 2
        if halvings:
            halvings -= 1
            wide = (high - low) / 2
        else:
            tried += 1
            chord = (low * at_high - high * at_low) / (at_high - at_low)
            place = chord if low < chord < high else place  # not so for infinite values
        if not low < place < high:
            break
        value = function(place)
        if abs(value) <= nothing:
            return place, place
        if (value < 0) == rising:
            low, at_low = place, value
            at_high = at_high / 2 if stayed == 1 else at_high
            stayed = 1
        else:
            high, at_high = place, value
            at_low = at_low / 2 if stayed == -1 else at_low
            stayed = -1
    return low, high


def edge_between(
    function: Callable[[float], float], kept: float, lost: float, value: float, width: float
) -> tuple[float, float]:
    """Two places next to each other between which a function falls below 0.

    Parameters
    ----------
    function : callable
        Of one number.  Where it is below 0 it tells how far it is to the edge; where it is not, its
        value means nothing.
    kept, lost : float
        Where it is 0 or more, and where it is below 0; either may be the lower.
    value : float
        The function at ``lost``.
    width : float
        How near the two places are to be.

    Returns
    -------
    tuple of (float, float)
        The place where it is 0 or more, and the one where it is below 0.

    Notes
    -----
    The line through the last two places below 0 is followed to where it would be 0, and what lies
    next to that tried; where that brings nothing, the range is halved.

    Examples
    --------
    >>> kept, lost = edge_between(lambda x: 9.0 if x < 2 else 4 - x * x, 0.0, 5.0, -21.0, 1e-12)
    >>> round(kept, 9), lost - kept <= 1e-12
    (2.0, True)
    """
    way, before, halve = math.copysign(width, lost - kept), None, True
    for _ in range(_MOST):
        if abs(lost - kept) <= width:
            break
        place = (kept + lost) / 2
        if before is not None and before[1] != value and not halve:
            target = lost - value * (lost - before[0]) / (value - before[1])
            near = target + way / 4
            if abs(lost - target) <= width:
                near = lost - 0.9 * way
            elif abs(target - kept) <= width:
                near = kept + 0.9 * way
            place = near if min(kept, lost) < near < max(kept, lost) else place
        if place in (kept, lost):
            break
        found = function(place)
        if found < 0:
            before, (lost, value), halve = (lost, value), (place, found), False
        else:
            kept, halve = place, not halve and abs(place - kept) > 2 * width
    return kept, lost


def least_between(
    function: Callable[[float], float],
    low: float,
    high: float,
    best: tuple[float, float],
    width: float,
) -> tuple[float, float]:
    """The least value of a function near a place in a range, and where.

    Parameters
    ----------
    function : callable
        Of one number; it may have a bend.
    best : tuple of (float, float)
        A value and its place in the range.
    width : float
        How near the place is to be known, above 0.

    Returns
    -------
    tuple of (float, float)
        Never higher than ``best``.

    Notes
    -----
    Brent's method: a parabola through the three lowest places where that gets nearer fast enough,
    golden section elsewhere, and so at a bend.

    Examples
    --------
    >>> value, place = least_between(lambda x: (x - 0.3) ** 2, 0.0, 1.0, (0.04, 0.5), 1e-9)
    >>> round(value, 12), round(place, 6)
    (0.0, 0.3)
    """
    lowest, x = best
    second, v, third, u = lowest, x, lowest, x
    last = before = high - low
    for _ in range(_MOST):
        middle = (low + high) / 2
        if abs(x - middle) <= 2 * width - (high - low) / 2:
            break
        step = math.nan
        if lowest < second <= third < math.inf:
            a, b = (x - v) * (lowest - third), (x - u) * (lowest - second)
            if a != b:
                step = ((x - u) * b - (x - v) * a) / (2 * (a - b))
        if not (abs(step) < before / 2 and low + width < x + step < high - width):
            last = (high if x < middle else low) - x
            step = (1 - _GOLDEN) * last
        if abs(step) < width:
            step = width if x < middle else -width
        before, last = abs(last), step
        place = x + step
        value = function(place)
        if value < lowest:
            low, high = (x, high) if place >= x else (low, x)
            third, u, second, v, lowest, x = second, v, lowest, x, value, place
        else:
            low, high = (place, high) if place < x else (low, place)
            if value <= second or v == x:
                third, u, second, v = second, v, value, place
            elif value <= third or u in (x, v):
                third, u = value, place
    return lowest, x
