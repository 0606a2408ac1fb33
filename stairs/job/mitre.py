"""The mitre of a plan turn: how far lines beside two sections run past the corner between them.

The left-hand line of a guard runs beside the right-hand one, the edge of a deck beside its posts;
where the section turns both bend, and their corners lie on one mitre.
"""

from __future__ import annotations

from fractions import Fraction
from math import cos, radians, sin

from msgspec import Struct

HALF_TURN = 180
FINEST = 10**9
"""Lengths that turns leave irrational are taken to one part in this of the job's unit."""


class Shift(Struct, frozen=True):
    """How much farther along its section the left-hand line meets a corner than the right-hand one.

    Parameters
    ----------
    end : Fraction
        Of the lower section, at its end [job's unit of length]; below 0 on the inside of the turn.
    start : Fraction
        Of the upper section, at its start [job's unit of length]; above 0 on the inside.
    """

    end: Fraction
    start: Fraction


def mitre_shift(turn: Fraction, below: Fraction, above: Fraction) -> Shift | None:
    """Where the left-hand lines of two sections meet, seen from the corner of the right-hand ones.

    Notes
    -----
    With ``u`` along a section and ``n`` to its left, the corner is where
    ``a u1 + W1 n1 = b u2 + W2 n2``.  Taken along ``n1`` and ``u1`` that is
    ``b = (W1 - W2 cos t) / sin t`` and ``a = b cos t - W2 sin t``; with equal widths
    ``b = -a = W tan(t / 2)``.

    Examples
    --------
    >>> shift = mitre_shift(Fraction(90), Fraction(40), Fraction(40))
    >>> str(shift.end), str(shift.start)
    ('-40', '40')
    """
    if turn % HALF_TURN == 0:
        straight = turn == 0 and below == above
        return Shift(Fraction(0), Fraction(0)) if straight else None
    if abs(turn) == HALF_TURN // 2:
        side = 1 if turn > 0 else -1
        return Shift(-side * above, side * below)
    angle = radians(turn)
    start = (float(below) - float(above) * cos(angle)) / sin(angle)
    end = start * cos(angle) - float(above) * sin(angle)
    return Shift(billionth(end), billionth(start))


def billionth(value: float) -> Fraction:
    """The length to one part in a billion of its unit."""
    return Fraction(round(value * FINEST), FINEST)
