"""Pockets: the free space under the bottom rail of a flight, step by step.

Under a flight's bottom rail the free space is a chain of pockets, one over each step: bounded by
the step's surface, the riser behind it with the nosing above, and the rail, joined to its
neighbours by the neck between nosing and rail.  The first pocket (the foot) is closed by the lower
post, the last (the head) by the upper post, and a post that stands on a tread splits the pocket
there in two.

Coordinates inside a pocket start at the front edge of its step, so that all plain pockets of a
flight are the same shape.
"""

from __future__ import annotations

import math
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from stairs.numbers.tolerances import SAME
from stairs.openings.rail_slots import UP_TO_POSTS, RailCut
from stairs.relations.exact import Amount, derived

Point = tuple[float, float]
_STEPS_UP = 4  # as many as a ball that comes down a slot beside a post could touch


class StepForm(Struct, frozen=True, cache_hash=True):
    """A step seen from the side, in exact measurements.

    Parameters
    ----------
    rise, run : Fraction or Derived
        From its front edge to the next nosing.
    nosing, thickness : Fraction
        Overhang over the riser, and how far its front face reaches down.
    setback : Fraction or Derived
        How far the foot of a raked-back riser lies behind its top; 0 for a plumb one.
    """

    rise: Amount
    run: Amount
    nosing: Fraction = Fraction(0)
    thickness: Fraction = Fraction(0)
    setback: Amount = Fraction(0)


class PocketPost(Struct, frozen=True, cache_hash=True):
    """A post at an end of the bay: its number, the ``x`` of the face that looks into the bay, the
    step that it stands on and that step's height, in exact measurements."""

    number: int
    face: Amount
    step: int
    surface: Amount


class Pocket(Struct, frozen=True, cache_hash=True):
    """The free space over one step under the rail, in exact measurements.

    Parameters
    ----------
    step : int
        0 for the lower landing, then treads, ``risers`` for the upper landing.
    front : tuple of (Fraction or Derived, Fraction or Derived)
        The front edge of the step: its nosing; of the lower landing the point where the nosing
        line comes down to it.
    form : StepForm
        From there to the next nosing.
    line_rise, line_run : Fraction or Derived
        Slope of the nosing line, which the rail follows.
    front_lift : Fraction
        Plumb, from the front edge up to the nosing line; 0 in a designed flight.
    bottom_gap : Fraction
        Plumb, nosing line to the rail's underside.
    stringer_margin : Fraction or None
        Closed stringer's edge over the nosing line; None for a cut stringer.
    side_gap : Fraction
        From the tread ends out to the guard's plane; above 0 the elevation is not the whole story,
        see :mod:`stairs.openings.side_gap.ball`.
    cut : RailCut
        How the rail ends at the posts.
    straight : bool
        Whether what is below runs straight along the rail: the walking surface of a level run, or
        a closed stringer's edge, which then stands for one long step from first to last nosing.
    """

    step: int
    risers: int
    front: tuple[Amount, Amount]
    form: StepForm
    line_rise: Amount
    line_run: Amount
    front_lift: Fraction
    bottom_gap: Fraction
    stringer_margin: Fraction | None
    low: PocketPost
    high: PocketPost
    side_gap: Fraction = Fraction(0)
    cut: RailCut = UP_TO_POSTS
    straight: bool = False

    @property
    def front_gap(self) -> Fraction:
        """Plumb, from the step's front edge to the rail's underside [job's unit of length]."""
        return self.bottom_gap + self.front_lift

    @property
    def margin(self) -> Fraction:
        """Closed stringer's edge over the nosing line; 0 where the stringer is cut."""
        return self.stringer_margin or Fraction(0)

    @property
    def slope(self) -> float:
        """What the rail rises per unit of run."""
        return float(self.line_rise) / float(self.line_run)

    @property
    def depth_to_post(self) -> Amount:
        """Level, from the step's front edge to the upper post's face [job's unit of length]."""
        faces = {"low_reach": self.front[0], "centre_distance": self.high.face}
        return derived("bay_clear", **faces, high_reach=Fraction(0))

    @property
    def clear(self) -> Amount:
        """Level, from post face to post face [job's unit of length]."""
        faces = {"low_reach": self.low.face, "centre_distance": self.high.face}
        return derived("bay_clear", **faces, high_reach=Fraction(0))


def is_open(pocket: Pocket) -> bool:
    """Whether there is any free space under the rail over the pocket's step.

    There is none where a post's face is flush with the edge in front of it or with the riser
    behind it.  Nor is there any where a rail below the nosing line stays below the step's surface
    as far as the riser, or the upper post, behind it.
    """
    # a post whose face is flush with the edge in front of it or the riser behind leaves no room
    hair = SAME * float(pocket.line_run)
    front = float(pocket.front[0])
    if pocket.high.step == pocket.step > 0 and float(pocket.high.face) - front <= hair:
        return False
    back = front + float(pocket.form.run) + float(pocket.form.nosing) + float(pocket.form.setback)
    before_riser = pocket.low.step == pocket.step < pocket.high.step
    if before_riser and back - float(pocket.low.face) <= hair:
        return False
    if pocket.stringer_margin is not None or pocket.bottom_gap >= 0:
        return True
    slope = pocket.slope
    end = float(pocket.form.run) + float(pocket.form.nosing)
    if pocket.high.step == pocket.step:
        end = float(pocket.high.face) - float(pocket.front[0])
    return float(pocket.front_gap) + end * slope > SAME * float(pocket.line_rise)


def moved_down(pocket: Pocket) -> Pocket:
    """The same pocket for every tread that has its posts at the same places, or none near.

    It is over tread 1, between posts 1 and 2, in the same coordinates and far above the ground, so
    that one search does for all; the one that was given where it is over a landing, or where the
    ground is near and a ball comes past beside the stair.
    """
    (front, level), (low, high) = pocket.front, (pocket.low.face, pocket.high.face)
    # no ball, and no cube, is larger than from the inner corner square to the rail and out beside
    end = float(pocket.form.run) + float(pocket.form.nosing) + float(pocket.form.setback)
    rise, run = float(pocket.line_rise), float(pocket.line_run)
    corner = float(pocket.front_gap) + end * rise / run
    size = max(corner, 0.0) * run / math.hypot(rise, run) + float(pocket.side_gap)
    on_landing = pocket.straight or not 0 < pocket.step < pocket.risers
    if on_landing or (pocket.side_gap > 0 and float(level) < 2 * size):
        return pocket
    zero, far = Fraction(0), 10 * Fraction(size + end)
    near = float(low) > float(front) - size or float(high) < float(front) + end + size
    if not (near or has_slot(pocket)) and pocket.low.step < pocket.step < pocket.high.step:
        return replace(
            pocket,
            step=1,
            risers=3,
            front=(zero, far),
            low=PocketPost(1, -far, 0, zero),
            high=PocketPost(2, far, 2, 2 * far),
            cut=UP_TO_POSTS,
        )
    amounts = (front, level, low, high, pocket.low.surface, pocket.high.surface)
    exact = [amount for amount in amounts if isinstance(amount, Fraction)]
    if len(exact) < len(amounts):
        return pocket
    front, level, low, high, low_surface, high_surface = exact
    below, above = min(pocket.step - pocket.low.step, 1), min(pocket.high.step - pocket.step, 1)
    return replace(
        pocket,
        step=1,
        risers=1 + min(pocket.risers - pocket.step, _STEPS_UP),
        front=(zero, far),
        low=PocketPost(1, low - front, 1 - below, low_surface - level + far),
        high=PocketPost(2, high - front, 1 + above, high_surface - level + far),
    )


def has_slot(pocket: Pocket) -> bool:
    """Whether a slot between rail end and post opens into the space over the pocket's step."""
    return any(slots_of(pocket))


def slots_of(pocket: Pocket) -> tuple[bool, bool]:
    """Whether the slots at the lower and at the upper post open into the space over the step.

    The space ends at the neck, which comes to the rail ``v m / (1 + m²)`` in front of a nosing that
    lies ``v`` below it.
    """
    cut = pocket.cut
    if cut.low_slot == 0 and cut.high_slot == 0:
        return False, False
    slope = pocket.slope
    share = slope / (1 + slope * slope)
    margin = float(pocket.margin)
    front = float(pocket.front[0])
    run = float(pocket.form.run)
    left = front - max(float(pocket.front_gap) - margin, 0.0) * share
    neck = float(pocket.front_gap) + run * slope
    neck -= run * slope + margin if pocket.stringer_margin is not None else float(pocket.form.rise)
    right = front + run - max(neck, 0.0) * share
    if pocket.bottom_gap < 0 and pocket.stringer_margin is None:
        left = front - (float(pocket.front_gap) / slope if slope else 0.0)
        right = front + run + float(pocket.form.nosing) + float(pocket.form.setback)
    low = float(pocket.low.face) + float(cut.low_slot)
    high = float(pocket.high.face) - float(cut.high_slot)
    return (
        cut.low_slot != 0 and (pocket.low.step >= pocket.step or low > left),
        cut.high_slot != 0 and (pocket.high.step <= pocket.step or high < right),
    )


def strip_width(pocket: Pocket) -> Amount:
    """Diameter of what passes over a straight edge far from all posts [job's unit of length].

    With a side gap the squares of gap and width add up, as edge and rail lie in two planes; where
    the rail covers the edge it is the side gap.
    """
    if pocket.stringer_margin is None:
        return pocket.bottom_gap
    strip = {
        "bottom_gap": max(pocket.bottom_gap, pocket.stringer_margin),
        "stringer_margin": pocket.stringer_margin,
        "unit_rise": pocket.line_rise,
        "unit_run": pocket.line_run,
    }
    if pocket.side_gap > 0:
        return derived("strip_ball", side_gap=pocket.side_gap, **strip)
    return derived("strip_opening", **strip)


def slot_matters_to(pocket: Pocket, size: float) -> bool:
    """Whether a slot beside a post could let more through than a strip does far from all posts.

    Parameters
    ----------
    pocket : Pocket
        Whose ``straight`` is set.
    size : float
        Diameter of what passes far from all posts [job's unit of length].

    Notes
    -----
    A circle that touches the lower post touches the rail ``r (1 - sin θ)`` from it, one that
    touches the upper post ``r (1 + sin θ)``; where that is on the rail, the slot is out of reach.
    Beside the stair the reach to the guard is anything from 0 to ``r``.
    """
    if pocket.cut.filled or not has_slot(pocket):
        return False
    if pocket.side_gap > 0:
        return True
    rise, run = float(pocket.line_rise), float(pocket.line_run)
    sine = rise / math.hypot(rise, run)
    low, high = slots_of(pocket)
    reaches = (low, pocket.cut.low_slot, 1 - sine), (high, pocket.cut.high_slot, 1 + sine)
    return any(is_open and 2 * float(slot) > size * share for is_open, slot, share in reaches)
