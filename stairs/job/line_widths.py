"""The two lines of a guard on both hands: how far apart they are, and where they meet at a turn.

Seen going up, the left-hand line of a guard runs beside the right-hand one at the width of the
stair.  At a plan turn both bend, and the corner of the left-hand line lies on the mitre through the
corner of the right-hand one: short of it along either section on the inside of the turn, beyond it
on the outside.
"""

from __future__ import annotations

from fractions import Fraction
from math import cos, radians, sin

from msgspec import Struct

from stairs.job.records import Flight, Job, Level

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

    Parameters
    ----------
    turn : Fraction
        Plan turn from the lower section to the upper, left positive, -180 to 180 degrees.
    below, above : Fraction
        From the right-hand line to the left-hand one, square to either section [length], above 0.

    Returns
    -------
    Shift or None
        None where the two lines are parallel and do not meet.

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
    return Shift(_billionth(end), _billionth(start))


def _billionth(value: float) -> Fraction:
    return Fraction(round(value * FINEST), FINEST)


def line_widths(job: Job) -> tuple[Fraction | None, ...]:
    """From the right-hand line to the left-hand one, for each section [job's unit of length].

    Parameters
    ----------
    job : Job
        As read, or as written out by :func:`stairs.job.left_line.with_left_line`.

    Returns
    -------
    tuple of Fraction or None
        A flight's width and the gap beside its treads on either hand.  A level run that does not
        say its own has that of the section that it goes straight on from or into, else of the one
        before, else of the one after; None where no section says any.
    """
    sections = job.sections
    widths = [_own_width(section) for section in sections]
    numbers = [n for n, section in enumerate(sections) if not section.left_of]
    pairs = list(zip(numbers, numbers[1:], strict=False))
    for straight in (True, False):
        for order in (pairs, [pair[::-1] for pair in reversed(pairs)]):
            for known, open_ in order:
                if widths[open_] is None and not (straight and sections[max(known, open_)].turn):
                    widths[open_] = widths[known]
    for n, section in enumerate(sections):
        if section.left_of:
            widths[n] = widths[section.left_of - 1]
    return tuple(widths)


def _own_width(section: Flight | Level) -> Fraction | None:
    if section.width is None:
        return None
    return section.width + 2 * getattr(section, "side_gap", Fraction(0))
