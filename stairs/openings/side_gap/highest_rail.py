"""The highest rail beside the stair that still keeps a ball: the end of a window with a side gap.

The *window* of a bottom rail is the range of gaps under it that pass every check
(:mod:`stairs.checks.gap_window`).  Where the guard stands off to the side its upper end is the gap
at which the ball of the passage (:mod:`stairs.openings.side_gap.ball`) is just as large as the ball
of the rule.  A higher rail never keeps back a ball that a lower one lets through, so there is one
such end.

In the plain corner the end is a root of the fourth degree in the place where the ball is tightest;
anywhere else it hangs on whatever the ball leans on.  It is therefore not written down but
enclosed: a gap that keeps the ball, and one a ``STEP`` higher that lets it through, both by the
comparison that decides the check itself.  Any gap in between is decided by that comparison too.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from fractions import Fraction
from functools import cache, lru_cache

from msgspec.structs import replace

from stairs.numbers.root_finding import zero_between
from stairs.numbers.tolerances import CAREFUL
from stairs.openings.feature import POST, RISER
from stairs.openings.pocket import Pocket, is_open
from stairs.openings.side_gap.ball import (
    ball_in_pocket,
    compare_in_pocket,
    flat_diameter,
    is_searched,
    may_pass_behind,
    plain_ball,
    plain_corner,
    room_to_spare,
)
from stairs.openings.side_gap.corner_ball import taken

STEP = 1e-12
"""Part of the size: from the end of a window beside the stair to a gap that is sure to fail."""

_HALVINGS = 60
_SLIDES = 24


def gap_for_ball_at_side(
    pocket: Pocket, limit: Fraction, may_touch: bool = False
) -> Fraction | None:
    """The greatest bottom gap that keeps a ball from a pocket's passage [job's unit of length].

    Parameters
    ----------
    limit : Fraction
        Diameter of the ball, above 0.
    may_touch : bool
        Whether a ball of just that size may pass, as a rule says that allows it.  It matters only
        where the ball is as thick as the side gap: on the landing, or where the rail leaves nothing
        open in elevation, it passes under every low rail and touches both sides, and the end is
        where a larger one passes too.

    Returns
    -------
    Fraction or None
        Below the least upper bound of such gaps by no more than ``STEP`` of the ball and the step:
        at this gap :func:`stairs.openings.side_gap.ball.compare_in_pocket` finds the passing ball
        smaller than the limit, at one higher by that much equal or larger. Where the ball passes
        however low the rail is, :func:`gap_in_ground`; None where it passes under no rail below the
        height of a storey.

    Notes
    -----
    In the plain corner ``g r + a A + b B = v G + d R`` at the tightest place gives ``v`` in floats,
    to some ``1e-15`` of the terms; half a ``STEP`` to either side of it the comparison, which has
    150 digits there, is beyond doubt.  Otherwise false position comes near the end.  There the ball
    is searched for, and what is found is never smaller than the ball that passes; so the gap that
    is returned keeps the ball, and the true end is at it or above.  Both sides are then tried, and
    what lies between them is halved.
    """
    touches = may_touch and limit == pocket.side_gap
    return _greatest_gap(replace(pocket, bottom_gap=Fraction(0)), limit, touches)


def gap_in_ground(pocket: Pocket) -> Fraction:
    """A bottom gap at which the rail lies in the ground at either post [job's unit of length].

    Notes
    -----
    As far below the nosing line as that is above the lower landing at the upper post.
    """
    to_post = float(pocket.high.face) - float(pocket.front[0])
    over_front = float(pocket.front[1]) + float(pocket.front_lift)
    return Fraction(-over_front - to_post * pocket.slope)


# the window of a section is asked for again while other measurements are tried
@lru_cache(maxsize=512)
def _greatest_gap(pocket: Pocket, limit: Fraction, touches: bool) -> Fraction | None:
    """The same; the gap that the pocket has does not matter."""
    size = float(limit)
    rise, run = float(pocket.line_rise), float(pocket.line_run)
    kind = RISER if pocket.high.step > pocket.step else POST
    corner, base = plain_corner(pocket, kind, float)
    step = STEP * (size + abs(base) * rise / run)

    def order(gap: float) -> int:
        found = compare_in_pocket(replace(pocket, bottom_gap=Fraction(gap)), limit)
        return found - 1 if touches else found

    floor = pocket.stringer_margin
    guess = None
    if floor is None and size > float(pocket.side_gap):
        guess = (taken(corner, size / 2, float(pocket.side_gap)) - base * rise) / run
        guess -= float(pocket.front_lift)
        at_guess = replace(pocket, bottom_gap=Fraction(guess))
        if plain_ball(at_guess) is not None:  # else there is no corner, and no need to search
            ball = ball_in_pocket(at_guess)
            if ball.corner and abs(ball.diameter - size) <= CAREFUL * size:
                return Fraction(guess - step / 2)

    # a ball that was searched for counts as larger from CAREFUL below the limit on
    near = size * (1 + CAREFUL if touches else 1 - CAREFUL)

    @cache
    def spare(gap: float) -> float:
        at_gap = replace(pocket, bottom_gap=Fraction(gap))
        between = room_to_spare(at_gap, near)
        if between >= 0 or not is_open(at_gap) or not may_pass_behind(at_gap):
            return between
        return max(between, flat_diameter(at_gap) - size)

    def is_exact(gap: float) -> bool:
        at_gap = replace(pocket, bottom_gap=Fraction(gap))
        if touches or not is_searched(at_gap, limit):
            return True
        flat = flat_diameter(at_gap)
        return abs(flat - size) <= 2 * CAREFUL * size

    # a little below the gap at which the rail covers the pocket
    low = -(base + float(pocket.form.setback)) * rise / run - float(pocket.front_lift)
    low = low - 1e-6 * size if floor is None else float(floor) + 1e-6 * size
    high = (0.0 if floor is None else float(floor)) + 4 * size + float(pocket.form.rise)
    end = (
        None
        if guess is None
        else _slid(spare, guess, run / math.hypot(rise, run), (low, high), step / 8)
    )
    if end is None:
        at_low, at_high = spare(low), spare(high)
        if at_high < 0:
            return None
        if at_low >= 0:
            return gap_in_ground(pocket) if floor is None else floor
        low, high = zero_between(spare, low, high, (at_low, at_high), step / 2, step / 8)
        end = (low + high) / 2
    return _enclosed(spare, order, is_exact, end, step)


def _slid(
    spare: Callable[[float], float],
    gap: float,
    cosine: float,
    ends: tuple[float, float],
    width: float,
) -> float | None:
    """The gap at which nothing is to spare, by sliding the rail; None where that leads nowhere.

    Notes
    -----
    A rail that is moved up plumb by ``d`` leaves ``d cos θ`` more to a ball that leans on it,
    wherever the ball's other places stay; else the last two gaps tell, so both are tried.  What
    is lacking where the ball sticks says how far to go; where it passes, what is to spare may be
    that of another place.
    """
    left = spare(gap)
    low: tuple[float, float] | None = None
    high: float | None = None
    step, slope = (ends[1] - ends[0]) / 64, cosine
    for turn in range(_SLIDES):
        if left >= 0:
            high = gap
        else:
            if low is not None and gap != low[0]:
                slope = (left - low[1]) / (gap - low[0])
            low = gap, left
        if low is None:
            gap, step = gap - max(left / cosine, step), 2 * step
        elif slope <= cosine / 1000:
            return None
        else:
            target = low[0] - low[1] / (slope if turn % 2 else cosine)
            near = target - low[0] <= 2 * width
            gap = low[0] + 2 * width if near else target - width
            if high is not None and high - low[0] <= 4 * width:
                return (low[0] + high) / 2
            if high is not None and not low[0] < gap < high:
                gap = (low[0] + high) / 2
        if not ends[0] < gap < ends[1]:
            return None
        left = spare(gap)
    return None


def _enclosed(
    spare: Callable[[float], float],
    order: Callable[[float], int],
    is_exact: Callable[[float], bool],
    end: float,
    step: float,
) -> Fraction:
    """The lower of two gaps a step apart: it keeps the ball, the other does not.

    Notes
    -----
    What is left to spare encloses the end.  Where exact numbers decide the check they have the last
    word at both gaps; of a ball that is searched for the check asks no more.
    """

    def keeps(gap: float) -> bool:
        return spare(gap) < 0

    def keeps_exactly(gap: float) -> bool:
        return order(gap) < 0

    for decide in (keeps, keeps_exactly) if is_exact(end) else (keeps,):
        low, high = end - step / 2, end + step / 2
        wide = step
        while not decide(low):
            low, high, wide = low - wide, low, 2 * wide
        wide = step
        while decide(high):
            low, high, wide = high, high + wide, 2 * wide
        for _ in range(_HALVINGS):
            if high - low <= step:
                break
            middle = (low + high) / 2
            if decide(middle):
                low = middle
            else:
                high = middle
        end = (low + high) / 2
    return Fraction(low)
