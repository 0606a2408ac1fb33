"""A ball that is held: by three contacts, at the place of its way where they leave it least room.

The largest ball that passes an opening touches three things where it is tightest, and neither a
step back nor a step on gives it more room.  Those are four equations, for the three coordinates of
its centre and for its radius.

A contact is with the stair or with the guard, a straight edge or a corner of its elevation; with
the ground, which is as high in both planes; or with an open edge, which the centre may not leave.
:mod:`stairs.openings.side_gap.ball` says what the reaches are that keep the centre off each.
"""

from __future__ import annotations

import math
from typing import TypeAlias

STAIR, GROUND, GUARD, OPEN = range(4)
"""What a contact is with; also the places of their reaches wherever there are four of them."""

Contact: TypeAlias = tuple[int, float, float, float | None]
"""With what; of an edge ``nx``, ``ny`` and ``c`` of its line ``nx x + ny y = c``, the normal of
length 1 and turned to the ball; of a corner ``x``, ``y`` and None."""

Held: TypeAlias = tuple[float, float, float, float]
"""Radius, ``x``, ``y``, and how far beyond the tread ends the centre is."""

_Reaches: TypeAlias = list[tuple[float, float, float]]  # and their changes by radius, by place

_STEPS = 24
_SAME = 4e-16  # parts of the scale: nothing moves any more
_LEVEL = 1e-14  # change of the radius along the way that is none
_NEAR = 1e-9  # part of the radius by which the place may be off: the radius then is by its square


def held_ball(contacts: tuple[Contact, Contact, Contact], gap: float, near: Held) -> Held | None:
    """The ball that three contacts hold.

    Parameters
    ----------
    contacts : tuple of Contact
        Lengths in parts of a scale, so that they are near 1 or below.
    gap : float
        From the tread ends to the guard, above 0.
    near : tuple of float
        A ball to start from.

    Returns
    -------
    tuple of float or None
        None where that ball is near none that they hold.

    Notes
    -----
    At one place out the centre and the radius follow from the three distances by Newton's method,
    and so does how the radius changes from there on; where it does not is found by secants.  A ball
    smaller than the gap has left the one plane where its way begins and the other where it ends;
    where its radius still falls toward there, it is held at that end.

    Examples
    --------
    In a corner of 4 by 3 under a slope of 5 that lies 1 outside it ``7 A + 5 B = 12`` where
    ``7 z / A = 5 (1 - z) / B``.

    >>> sides = (STAIR, 0.0, 1.0, 0.0), (STAIR, -1.0, 0.0, -4.0), (GUARD, 0.6, -0.8, 0.0)
    >>> radius, x, y, z = held_ball(sides, 1.0, (1.2, 3.0, 1.0, 0.5))
    >>> a, b = math.sqrt(radius**2 - z**2), math.sqrt(radius**2 - (1 - z) ** 2)
    >>> round(7 * a + 5 * b, 12), round(7 * z / a - 5 * (1 - z) / b, 6) == 0
    (12.0, True)
    """
    place, before = near[3], None
    is_end = near[0] < gap and not gap - near[0] < place < near[0]
    found = _at_place(contacts, gap, near, is_end)
    for _ in range(_STEPS):
        if found is None:
            return None
        held, slope = found
        if is_end or abs(slope) <= _LEVEL:
            return held
        if before is None:
            step = math.copysign(1e-4 * held[0], -slope)
        elif slope == before[1]:
            return None
        else:
            step = slope * (place - before[0]) / (before[1] - slope)
        before, place = (place, slope), place + step
        low, high = max(gap - held[0], 0.0), min(gap, held[0])
        if not low < place < high:
            is_end = held[0] < gap or before[0] in (low, high)
            place = low if place <= low else high
        found = _at_place(contacts, gap, (*held[:3], place), is_end)
        if found is not None and abs(place - before[0]) <= _NEAR * held[0]:
            return found[0]
    return None


def _at_place(
    contacts: tuple[Contact, Contact, Contact], gap: float, near: Held, is_end: bool
) -> tuple[Held, float] | None:
    """The ball on three contacts at one place out, and how its radius changes further out.

    Notes
    -----
    With ``d`` the distances, ``n`` their directions and ``q`` the reaches of the last ball, the
    step to the next is ``n step - q' dr = q - d``.  The weights ``n2 x n3``, ``n3 x n1`` and
    ``n1 x n2`` make the three ``n`` add up to none, and so leave ``dr`` alone.
    """
    radius, x, y, place = near
    for _ in range(_STEPS):
        at_end = is_end and radius < gap
        if at_end:  # and stays there as the radius changes
            place = radius if place > gap / 2 else gap - radius
        reaches = _reaches_at_end(gap, radius, place) if at_end else _reaches(gap, radius, place)
        if reaches is None:
            return None
        rows = []
        for kind, nx, ny, offset in contacts:
            reach, by_radius, by_place = reaches[kind]
            if offset is None:
                nx, ny = x - nx, y - ny
                away = math.hypot(nx, ny)
                if away == 0:
                    return None
                nx, ny = nx / away, ny / away
            else:
                away = nx * x + ny * y - offset
            rows.append((nx, ny, reach - away, by_radius, by_place))
        (ax, ay, al, ar, ap), (bx, by, bl, br, bp), (cx, cy, cl, cr, cp) = rows
        a, b, c = bx * cy - by * cx, cx * ay - cy * ax, ax * by - ay * bx
        share = a * ar + b * br + c * cr
        if share == 0:
            return None
        more, slope = -(a * al + b * bl + c * cl) / share, -(a * ap + b * bp + c * cp) / share
        al, bl, cl = al + ar * more, bl + br * more, cl + cr * more
        if abs(c) >= max(abs(a), abs(b)):  # of the three the two that cross most squarely
            dx, dy = (al * by - bl * ay) / c, (ax * bl - bx * al) / c
        elif abs(a) >= abs(b):
            dx, dy = (bl * cy - cl * by) / a, (bx * cl - cx * bl) / a
        else:
            dx, dy = (cl * ay - al * cy) / b, (cx * al - ax * cl) / b
        radius, x, y = radius + more, x + dx, y + dy
        if abs(more) + abs(dx) + abs(dy) <= _SAME:
            break
    return (radius, x, y, place), slope


def _reaches(gap: float, radius: float, place: float) -> _Reaches | None:
    """Each reach by what a contact is with; None where the ball does not come as far."""
    pair = []
    for off, way in ((place, -1), (gap - place, 1)):
        square = radius * radius - off * off
        if square <= 0:
            return None
        reach = math.sqrt(square)
        pair.append((reach, radius / reach, way * off / reach))
    return [pair[0], (radius, 1.0, 0.0), pair[1], (0.0, 0.0, 0.0)]


def _reaches_at_end(gap: float, radius: float, place: float) -> _Reaches | None:
    """The same where a ball smaller than the gap has just left one plane, or comes to it."""
    square = gap * (2 * radius - gap)
    if square <= 0:
        return None
    none, reach = (0.0, 0.0, 0.0), math.sqrt(square)
    other = reach, gap / reach, 0.0
    near, far = (none, other) if place > gap / 2 else (other, none)
    return [near, (radius, 1.0, 0.0), far, none]
