"""Openings under the rail over a box of measurements: each wall at its outermost place.

In a larger space the largest circle is no smaller.  So the space whose every wall lies as far out
as any of the measurements puts it lets nothing smaller pass than the real one, whichever it is; and
the one whose walls lie as far in as any puts them lets nothing larger pass.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from fractions import Fraction

from msgspec.structs import replace

from stairs.certainty.enclosure import Enclosure, Unsure
from stairs.certainty.measured_line import STRIP_DEPTH
from stairs.certainty.traced import Box, Result, Worked, end_of
from stairs.numbers.tolerances import SAME
from stairs.openings.opening import Opening
from stairs.openings.pocket import Pocket, StepForm, is_open
from stairs.openings.rail_slots import UP_TO_POSTS, RailCut
from stairs.openings.side_gap.ball import size_in_pocket
from stairs.relations.exact import Amount

Far = Callable[[Result, int], Fraction]
"""The end of a result that puts a wall outermost, or innermost."""


def nested_size(opening: Opening, box: Box, side: int = 1) -> float:
    """What passes an opening at most (at least for -1) over a box [job's unit of length].

    The opening is one over a step, of a section that was solved with traced measurements; it is
    taken flat, as the elevation shows it, with its walls outermost (innermost), and passes nothing
    where it is closed there.
    Raises Unsure where its walls cannot be told over the whole box.
    """
    pocket = opening.pocket
    if pocket is None or opening.bay is None:
        raise Unsure("no opening under the rail")
    if side < 0 and pocket.cut.body_reach != 0:
        return 0.0  # a body may reach down into the space
    # a circle under the next nosing has more room where that is higher, one over it has less
    spaces = [nested(pocket, box, side, way) for way in (1, -1)]
    sizes = [_nested_size(pocket, box, space, side) if is_open(space) else 0.0 for space in spaces]
    return max(sizes) if side > 0 else min(sizes)


def _nested_size(pocket: Pocket, box: Box, space: Pocket, side: int) -> float:
    """What passes a nested space, and between a post and the next nosing what its neck may add.

    A circle's middle may lie on the neck, which is no wall: it comes to the rail the farther in
    front of that nosing the higher the rail lies over it.  A middle that is so much farther on is
    by no more than that farther away from any wall.  And as it lies between nosing and rail, such a
    circle is no larger than the neck is long.
    """
    size = size_in_pocket(space) * (1 + side * SAME)
    if pocket.low.step != pocket.step:
        return size
    step, margin, level = pocket.form, pocket.stringer_margin, pocket.line_rise == 0
    zero = Enclosure(0.0, 0.0)

    def slope(worked: Worked) -> Enclosure:
        return zero if level else worked.slope(pocket.line_rise, pocket.line_run)

    def over(worked: Worked) -> Enclosure:
        climbs = worked(step.run) * slope(worked) - worked(step.rise)
        return worked(pocket.front_gap) + (climbs if margin is None else -worked(margin))

    def in_front(worked: Worked) -> Enclosure:
        return over(worked) * slope(worked) / (slope(worked) * slope(worked) + 1)

    steep = space.slope
    climbs = float(space.form.run) * steep - float(space.form.rise)
    height = float(space.front_gap) + (climbs if margin is None else -float(space.margin))
    there = max(height, 0.0) * steep / (1 + steep * steep)
    real = max(end_of(in_front, box, -side).value, 0.0)
    moved = 2 * max(side * (there - real), 0.0)
    if side < 0:
        return size if size > max(height, 0.0) + moved else max(size - moved, 0.0)
    longest = max(end_of(over, box, 1).value, 0.0) + moved
    return max(size, min(size + moved, longest))


def nested(pocket: Pocket, box: Box, side: int = 1, way_of_nosing: int = 1) -> Pocket:
    """The space with its walls outermost (innermost for -1), flat; raises Unsure.

    The next nosing is as far up as it may be, or with -1 for its way as far down (the other way
    round for the innermost walls).
    """

    def far(result: Result, way: int) -> Fraction:
        end = end_of(result, box, way * side).value
        if math.isinf(end):
            raise Unsure("a wall that may lie anywhere")
        return Fraction(end)

    def of(amount: Amount, way: int = 1) -> Fraction:
        return far(lambda worked: worked(amount), way)

    def from_front(amount: Amount, axis: int, way: int) -> Fraction:
        return far(lambda worked: worked(amount) - worked(pocket.front[axis]), way)

    def slope(worked: Worked) -> Enclosure:
        level = pocket.line_rise == 0 and isinstance(pocket.line_rise, Fraction)
        zero = Enclosure(0.0, 0.0)
        return zero if level else worked.slope(pocket.line_rise, pocket.line_run)

    zero, step = Fraction(0), pocket.form
    run = Fraction(float(pocket.line_run))
    steep, flat = far(slope, 1), far(slope, -1)
    margin = pocket.stringer_margin
    at_foot = pocket.step == 0 and not pocket.straight and margin is None
    if at_foot:
        # from the first nosing, where x is 0, to the left, where a flatter rail lies the higher;
        # over the little that is to the right of it, it lies as high as a steep one
        low, high = (of(post.face, way) + run for post, way in ((pocket.low, -1), (pocket.high, 1)))
        beyond = far(lambda worked: worked(step.nosing), side) * (steep - flat)
        gap = far(lambda worked: worked(pocket.line_rise) + worked(pocket.bottom_gap), 1) + beyond
        gap, steep = gap - flat * run, flat
    else:
        low, high = from_front(pocket.low.face, 0, -1), from_front(pocket.high.face, 0, 1)
        gap = of(pocket.front_gap)
        if STRIP_DEPTH in box:  # no nosing lies farther below the line than the strip is deep
            near = of(pocket.bottom_gap) + box[STRIP_DEPTH][1 if side > 0 else 0]
            gap = min(gap, near) if side > 0 else max(gap, near)
        # left of the front edge a flatter rail lies the higher
        left = max(zero, -low)
        if pocket.low.step < pocket.step:  # the neck there, and a little more
            left = min(left, abs(gap) * steep / (1 + steep * steep) * Fraction(11, 10))
        gap += left * (steep - flat)
    cut = UP_TO_POSTS
    if pocket.cut.body_reach != 0:
        cut = _open_slots(pocket, low, high, run if at_foot else None, far)
    lift = of(pocket.front_lift)
    if margin is not None:
        margin = of(margin + pocket.front_lift, -1) - lift
    return replace(
        pocket,
        front=(zero, zero),
        form=StepForm(
            rise=of(step.rise, way_of_nosing),
            run=run if at_foot else of(step.run),
            nosing=of(step.nosing),
            thickness=max(of(step.thickness, -1), zero),
            setback=of(step.setback),
        ),
        line_rise=steep * run,
        line_run=run,
        front_lift=lift,
        bottom_gap=gap - lift,
        stringer_margin=margin,
        low=replace(pocket.low, face=low, surface=from_front(pocket.low.surface, 1, 1)),
        high=replace(pocket.high, face=high, surface=from_front(pocket.high.surface, 1, 1)),
        side_gap=zero,
        cut=cut,
    )


def _open_slots(
    pocket: Pocket, low: Fraction, high: Fraction, shift: Fraction | None, far: Far
) -> RailCut:
    """The slots beside the rail's ends at their widest, with no bracket in them and plumb sides.

    ``low`` and ``high`` are the outermost faces of the posts, measured from the step's front edge,
    or from ``shift`` in front of the first nosing.  A square-cut end leans out of the plumb line
    through its corner toward the lower post, and away from the upper one by as much.
    """
    cut, front = pocket.cut, pocket.front[0]
    if cut.low_slot == 0 or cut.high_slot == 0:
        raise Unsure("a slot beside a rail's end that may open")

    def place(worked: Worked, face: Amount, off: Enclosure) -> Enclosure:
        found = worked(face) + off
        return found - worked(front) if shift is None else found + worked(shift)

    low_end = far(lambda worked: place(worked, pocket.low.face, worked(cut.low_slot)), 1)
    high_end = far(
        lambda worked: place(worked, pocket.high.face, -(worked(cut.high_slot) + worked(cut.back))),
        -1,
    )
    up = far(lambda worked: worked(cut.up) + worked(cut.filler), -1)
    return RailCut(low_slot=low_end - low, high_slot=high - high_end, up=up, plumb_depth=up)
