"""Where the screw holes of the brackets come on the faces of the posts.

A bracket's plate lies plumb on the post's face, the same way up on every face, its middle square
behind the pin and level with it.  So its holes are drilled at the pin's height and their own offset
from it, whatever the rake and whichever way the bracket swings.  That is on the face's centre line
where the rails leave the face square; where they leave it askew, carried on through the post's
middle, it is beside it.  Of a plumb-cut rail the middle of the socket is its axis at the cut face.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import copysign
from typing import NamedTuple

from stairs.job import Bracket, Job
from stairs.relations.exact import Amount, derived


class HoleEdges(NamedTuple):
    """Edge of the lowest and of the highest screw hole of a post, over its surface."""

    foot: Amount
    top: Amount


def hole_reach(bracket: Bracket) -> tuple[Fraction, Fraction]:
    """Edge of the lowest and of the highest hole, plumb from the pin [job's unit of length].

    Returns
    -------
    tuple of (Fraction, Fraction)
        The lower one is below 0 where it lies under the pin.

    Examples
    --------
    >>> plate = Bracket(kind="pivot", hole_diameter=Fraction(1, 4),
    ...                 holes=((Fraction(0), Fraction(1)), (Fraction(0), Fraction(-1))))
    >>> hole_reach(plate)
    (Fraction(-9, 8), Fraction(9, 8))
    """
    half = (bracket.hole_diameter or Fraction(0)) / 2
    heights = [up for _, up in bracket.holes]
    return min(heights) - half, max(heights) + half


def pin_aside(post_width: Fraction, stand_off: Fraction, skew: Fraction) -> float:
    """How far beside a face's centre line a bracket's pin is, right positive seen square on it.

    Who looks at the face looks against the rails' way, so that their left is on the right.
    """
    aside = derived("pin_aside", post_width=post_width, stand_off=stand_off, skew=abs(skew))
    return copysign(float(aside), skew)


def beside_holes(
    bracket: Bracket, post_width: Fraction, stand_off: Fraction, skew: Fraction
) -> Amount:
    """What is left of an askew post's face beside its brackets' holes [job's unit of length].

    On the side to which the pin lies off its middle; beside the pin itself where the job gives no
    holes.  Below 0 where they come off the face.

    Examples
    --------
    >>> plate = Bracket(kind="pivot", hole_diameter=Fraction(1, 4), holes=((Fraction(1, 2), 0),))
    >>> float(beside_holes(plate, Fraction(3), Fraction(1), Fraction(0)))
    0.875
    """
    way = 1 if skew >= 0 else -1
    beside = max((way * across for across, _ in bracket.holes), default=Fraction(0))
    return derived(
        "beside_hole",
        post_width=post_width,
        stand_off=stand_off,
        hole_beside=beside + (bracket.hole_diameter or Fraction(0)) / 2,
        skew=abs(skew),
    )


def hole_heights(
    bracket: Bracket, pin: Fraction | float, aside: Fraction = Fraction(0)
) -> tuple[tuple[Fraction, Fraction | float], ...]:
    """Every hole of one bracket: level from the face's centre line, and over the post's surface.

    Parameters
    ----------
    pin : Fraction or float
        Height of its pin over that surface [job's unit of length].
    aside : Fraction
        From that centre line to the pin; see :func:`pin_aside`.

    Returns
    -------
    tuple of (Fraction, number)
        To the right positive, seen square on the face; heights of the kind that the pin's is.  In
        the order of the job file [job's unit of length].

    Examples
    --------
    >>> plate = Bracket(kind="pivot", holes=((Fraction(1, 2), Fraction(-3, 4)),))
    >>> hole_heights(plate, Fraction(79, 2))
    ((Fraction(1, 2), Fraction(155, 4)),)
    """
    exact = isinstance(pin, Fraction)
    return tuple(
        (aside + across, pin + up if exact else pin + float(up)) for across, up in bracket.holes
    )


def hole_edges(
    job: Job,
    pins: Sequence[Amount],
    surface: Amount,
    gap: Fraction,
    step: tuple[Amount, Amount],
) -> HoleEdges:
    """Lowest and highest edge of all bracket holes of a post, exactly [job's unit of length]."""
    panel, (low, high) = job.panel, hole_reach(job.bracket)
    on_post = {
        "surface": surface,
        "bottom_gap": gap,
        "bottom_rail": panel.bottom_rail,
        "unit_rise": step[0],
        "unit_run": step[1],
    }
    tall = {"panel_height": panel.height, "top_rail": panel.top_rail}
    at = pins if step[0] else [Fraction(0)]  # a level rail is as high at every x
    bottom = [derived("bottom_hole_height", x=x, hole_reach=low, **on_post) for x in at]
    top = [derived("top_hole_height", x=x, hole_reach=high, **tall, **on_post) for x in at]
    return HoleEdges(min(bottom, key=float), max(top, key=float))
