"""Window marks: which marks of the tape lie in the window of the bottom rail.

A rail is set to a mark.  The ends of a window seldom lie on one, so it is asked which marks are
inside, outermost first, and which of them to choose where the job leaves the gap open.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from stairs.checks.gap_window import Window
from stairs.lengths.tape_marks import ceil_to_mark, floor_to_mark, round_to_mark
from stairs.relations.exact import compare

_FEW_MARKS = 12


def choose_gap(
    window: Window, tape: Fraction, passes: Callable[[Fraction], bool] | None = None
) -> Fraction:
    """The gap to set where the job leaves it open: a mark near the middle of the window.

    Of the marks inside it the one nearest its middle that passes as cut, or the nearest where none
    of the nearest eight does; the exact middle where the window lies between two marks; its lower
    end, on the mark at or above it, where it is empty.  ``passes`` tells whether a guard with a gap
    also passes as it will be cut.

    Examples
    --------
    >>> from stairs.checks.gap_window import Bound
    >>> def end(value): return Bound(Fraction(value), "", False, "")
    >>> window = Window(end(0), end(1), (end(0),), (end(1),))
    >>> str(choose_gap(window, Fraction(1, 4)))
    '1/2'
    >>> str(choose_gap(window, Fraction(1, 4), lambda gap: gap > Fraction(1, 2)))
    '3/4'
    """
    low = window.low.value
    if window.empty:
        mark = ceil_to_mark(float(low), tape)
        return mark if compare(mark, low) > 0 or window.low.included else mark + tape
    if window.high is None:
        mark = ceil_to_mark(float(low), tape)
        marks = [mark + tape * step for step in range(4)]
        middle = float(low)
    else:
        middle = (float(low) + float(window.high.value)) / 2
        start = round_to_mark(middle, tape)
        marks = [start + tape * step for step in range(-4, 5)]
        marks.sort(key=lambda mark: (abs(mark - Fraction(middle)), mark))
    inside = [mark for mark in marks if window.holds(mark)]
    if not inside:
        return Fraction(middle)
    if passes is not None:
        return next((mark for mark in inside if passes(mark)), inside[0])
    return inside[0]


def marks_inside(
    window: Window, tape: Fraction, passes: Callable[[Fraction], bool] | None = None
) -> tuple[Fraction, Fraction | None] | None:
    """The lowest and the highest mark of the tape that are in the window [its unit of length].

    Both pass, and one mark further out fails; the highest is None where nothing limits the gap.
    None where no mark is inside, or none of the outermost few passes as cut.  ``passes`` is as for
    :func:`choose_gap`.

    Examples
    --------
    >>> from stairs.checks.gap_window import Bound
    >>> def end(text): return Bound(Fraction(text), "", False, "")
    >>> window = Window(end("0.15"), end("0.79"), (), ())
    >>> [str(mark) for mark in marks_inside(window, Fraction(1, 16))]
    ['3/16', '3/4']
    >>> marks_inside(Window(end("0.15"), end("0.17"), (), ()), Fraction(1, 16)) is None
    True
    """
    below = floor_to_mark(float(window.low.value), tape) - tape  # one off for the float's own error
    lowest = next((mark for k in range(4) if window.holds(mark := below + k * tape)), None)
    if lowest is None:
        return None
    low: Fraction | None = lowest
    if passes is not None:
        upwards = (lowest + tape * step for step in range(_FEW_MARKS))
        low = next((mark for mark in upwards if window.holds(mark) and passes(mark)), None)
    if low is None or window.high is None:
        return None if low is None else (low, None)
    high = ceil_to_mark(float(window.high.value), tape) + tape
    while not window.holds(high):  # ends at the low mark at the latest
        high -= tape
    for mark in (high - tape * step for step in range(_FEW_MARKS)):
        if mark <= low or passes is None or passes(mark):
            return low, max(low, mark)
    return None
