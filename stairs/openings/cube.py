"""The cube test: the largest cube that passes an opening of the guard.

Where a code tries openings with a cube, in any position, the largest square in the opening decides
(:mod:`stairs.shapes.square`).  In the plain corner of tread, riser and rail it sits in the corner,
and the closed form gives it exactly; in a strip, and between two plumb faces, it is as large as
they are apart; anything else is searched for with a proved bound, and a square that comes within
``CERTAIN`` of the limit counts as passing, the careful side.

Where the guard stands off to the side the opening is a passage.  No cube passes that is larger than
the ball that does, so the ball stands in for it there, on the careful side as well.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from stairs.numbers.tolerances import SAME
from stairs.openings.opening import UNDER_RAIL, Opening, shape_of
from stairs.openings.pocket import Pocket, Point, moved_down
from stairs.openings.pocket_shape import pocket_shape
from stairs.openings.under_rail import largest_in_pocket
from stairs.relations.exact import Amount, compare, derived
from stairs.shapes.circle import Shape
from stairs.shapes.square import CERTAIN, edge_at, is_smaller, largest_square

IN_CORNER = "the largest square in any position; it sits in the corner under the rail"
SEARCHED = "the largest square in any position, at {angle:.1f}° to level"
STRAIGHT = "the largest square in any position, flush between two parallel faces"
NEAR_GAP = 1e-7
"""Part of a cube's edge, to which the gap is found at which a cube gets through."""

AS_BALL = "held as the ball that passes; no larger cube does"


class Cube(Struct, frozen=True):
    """The largest cube that passes an opening.

    Parameters
    ----------
    edge : float
        [job's unit of length].
    bound : float
        No cube of this edge or a larger one passes.
    exact : Fraction, Derived or None
        The edge, or a bound of it, where a closed form gives it.
    note : str
        How it was found.
    center : tuple of float or None
        Of the largest square, in the section's coordinates; None where a ball stands in for it.
    angle : float
        Of a side of that square over level [degrees].
    """

    edge: float
    bound: float
    exact: Amount | None
    note: str
    center: Point | None = None
    angle: float = 0.0

    @property
    def corners(self) -> tuple[Point, ...]:
        """Of the largest square, in the section's coordinates; empty where a ball stands in."""
        return () if self.center is None else square_about(self.center, self.edge, self.angle)

    def compare(self, limit: Fraction) -> int:
        """-1, 0 or 1 as the cube is smaller than a limit, too near to say, or larger.

        Notes
        -----
        Exactly, from the closed form where there is one; otherwise the proved bound has to be
        ``CERTAIN`` of the limit below it to be smaller.
        """
        if self.exact is not None:
            return compare(self.exact, limit)
        if self.bound * (1 + CERTAIN) < float(limit):
            return -1
        return 1 if self.edge > float(limit) * (1 + CERTAIN) else 0


def square_about(center: Point, edge: float, angle: float) -> tuple[Point, ...]:
    """Corners of a square [unit of its edge].

    Parameters
    ----------
    edge : float
        0 or more.
    angle : float
        Of a side over level [degrees].

    Examples
    --------
    >>> [tuple(round(at, 9) for at in corner) for corner in square_about((1.0, 0.0), 2.0, 0.0)]
    [(0.0, -1.0), (2.0, -1.0), (2.0, 1.0), (0.0, 1.0)]
    """
    x, y = center
    across, up = edge / 2 * math.cos(math.radians(angle)), edge / 2 * math.sin(math.radians(angle))
    return tuple(
        (x + u * across - v * up, y + u * up + v * across)
        for u, v in ((-1, -1), (1, -1), (1, 1), (-1, 1))
    )


def largest_cube(opening: Opening) -> Cube:
    """The largest cube that passes an opening."""
    if opening.is_beside_stair:
        size = opening.diameter
        if opening.closed_form is not None:
            return Cube(size, size, opening.closed_form, AS_BALL)
        return Cube(size, size, None, AS_BALL)
    if opening.pocket is not None:
        return cube_in_pocket(opening.pocket)
    if opening.closed_form is not None:
        size, (start, end) = opening.diameter, opening.outline[:2]
        along = math.degrees(math.atan2(end[1] - start[1], end[0] - start[0]))
        angle = along if opening.kind == UNDER_RAIL else 0.0
        return Cube(size, size, opening.closed_form, STRAIGHT, opening.center, angle)
    if opening.strip is not None:
        return cube_in_pocket(opening.strip)
    return _searched(shape_of(opening))


def is_cube_smaller(opening: Opening, edge: Fraction) -> bool:
    """Whether the largest cube that passes an opening is smaller than another: what a check asks.

    Parameters
    ----------
    edge : Fraction
        Of the other cube [job's unit of length], above 0.

    Notes
    -----
    Check, window and trial all ask here, so that a window's end passes its check.  Nothing is
    measured: many times sooner than :func:`largest_cube`, whose bound may be wider where very many
    squares are nearly as large.
    """
    pocket = opening.pocket or opening.strip
    if pocket is not None and _is_searched(opening):
        return _is_smaller_in(pocket, edge)
    if _is_searched(opening):
        return is_smaller(shape_of(opening), float(edge))
    return largest_cube(opening).compare(edge) < 0


def _is_smaller_in(pocket: Pocket, edge: Fraction) -> bool:
    """The same for the space under the rail over one step; where the corner ties, exactly."""
    corners = [float(_corner_square(pocket, base)) for base in _bases(pocket)]
    if any(abs(size - float(edge)) <= 5 * CERTAIN * float(edge) for size in corners):
        return cube_in_pocket(pocket).compare(edge) < 0
    # where the circle is smaller, so is any square: along a strip very many are nearly as large
    circle, _, _ = largest_in_pocket(pocket)
    if circle.diameter * (1 + SAME) < float(edge):
        return True
    return is_smaller(_shape(pocket), float(edge))


def _shape(pocket: Pocket) -> Shape:
    """Of a pocket, the same over every tread that has its posts at the same places."""
    return pocket_shape(pocket if pocket.straight else moved_down(pocket))


def _is_searched(opening: Opening) -> bool:
    """Whether nothing but a search tells the largest cube, the plain corner aside."""
    if opening.is_beside_stair:
        return False
    return opening.pocket is not None or opening.closed_form is None


def cube_in_pocket(pocket: Pocket) -> Cube:
    """The largest cube that passes under the rail over one step, straight on.

    Parameters
    ----------
    pocket : stairs.openings.pocket.Pocket
        Without a side gap.

    Notes
    -----
    The closed form of the plain corner is used where that square fits and, by the search, none
    larger does, to ``CERTAIN``.
    """
    shape = _shape(pocket)
    found = _in_corner(pocket, shape)
    origin = (float(pocket.front[0]), float(pocket.front[1]))
    if found is None:
        return _searched(shape, origin)
    base, form = found
    size = float(form)
    center = (origin[0] + float(base) - size / 2, origin[1] + size / 2)
    return Cube(size, size, form, IN_CORNER, center)


def _in_corner(pocket: Pocket, shape: Shape) -> tuple[Amount, Amount] | None:
    """The plumb face that the square in a plain corner lies against, and its edge, where it is the
    largest; None where it is not."""
    forms = [(base, _corner_square(pocket, base)) for base in _bases(pocket)]
    forms.sort(key=lambda entry: -float(entry[1]))
    for base, form in forms:
        size = float(form)
        if size > 0 and _fits(shape, base, size):
            return (base, form) if is_smaller(shape, size * (1 + CERTAIN) ** 3) else None
    return None


def _fits(shape: Shape, base: Amount, size: float) -> bool:
    """Whether a square fits on the surface with a side at a plumb face."""
    return edge_at(shape, float(base) - size / 2, size / 2, 0) >= size * (1 - CERTAIN)


def _corner_square(pocket: Pocket, base: Amount) -> Amount:
    """Edge of the square in the corner of surface, upright face and rail, if it meets no more."""
    step = {"unit_rise": pocket.line_rise, "unit_run": pocket.line_run}
    return derived("corner_square", bottom_gap=pocket.front_gap, corner_base=base, **step)


def _bases(pocket: Pocket) -> tuple[Amount, ...]:
    """Level, from the step's front edge to the plumb faces behind it that a square may lie against.

    They are the riser, the face of the nosing over it, for a square that is taller than the space
    under the nosing, and the post that closes the last pocket.
    """
    if pocket.straight:
        return ()
    if pocket.high.step > pocket.step:
        if pocket.stringer_margin is not None:
            return ()
        depth = derived("tread_depth", unit_run=pocket.form.run, nosing=pocket.form.nosing)
        if pocket.form.setback != 0:
            return (pocket.form.run,)
        return (depth,) if pocket.form.nosing == 0 else (depth, pocket.form.run)
    if isinstance(pocket.front[0], Fraction) and isinstance(pocket.high.face, Fraction):
        return (pocket.depth_to_post,)
    return ()


def _searched(shape: Shape, origin: Point = (0.0, 0.0)) -> Cube:
    square = largest_square(shape)
    center = (origin[0] + square.center[0], origin[1] + square.center[1])
    note = SEARCHED.format(angle=square.angle)
    return Cube(square.edge, square.bound, None, note, center, square.angle)


def corner_gap(pocket: Pocket, edge: Fraction) -> Amount | None:
    """The bottom gap at which the square in a pocket's plain corner is as large as a cube.

    Parameters
    ----------
    pocket : stairs.openings.pocket.Pocket
        Its gap is that under any filler.
    edge : Fraction
        Of the cube [job's unit of length], above 0.

    Returns
    -------
    Fraction or Derived or None
        The gap [job's unit of length], at which the cube just gets through; at a lower one only
        where a square lies elsewhere that is larger (:func:`is_cube_held` tells).  None where no
        such square fits the corner.
    """
    floor = pocket.stringer_margin or Fraction(0)
    for base in _bases(pocket):
        gap = derived(
            "bottom_gap_for_corner_square",
            corner_square=edge,
            corner_base=base,
            unit_rise=pocket.line_rise,
            unit_run=pocket.line_run,
        )
        if pocket.front_lift:
            gap = derived("bottom_gap_over_front", front_gap=gap, front_lift=pocket.front_lift)
        if float(gap) > float(floor):
            at_gap = replace(pocket, bottom_gap=Fraction(float(gap)))
            if _fits(pocket_shape(moved_down(at_gap)), base, float(edge)):
                return gap
    return None


def is_cube_held(pocket: Pocket, edge: Fraction, gap: Fraction) -> bool:
    """Whether a cube [job's unit of length] does not pass a pocket with a given bottom gap."""
    return _is_smaller_in(replace(pocket, bottom_gap=gap), edge)


def raised_for_cube(pocket: Pocket, edge: Fraction, low_gap: Fraction) -> Fraction:
    """The bottom gap at which a cube that is searched for just gets through.

    Parameters
    ----------
    pocket : stairs.openings.pocket.Pocket
        Without a side gap; its gap is that under any filler.
    edge : Fraction
        Of the cube [job's unit of length], above 0.
    low_gap : Fraction
        A gap at which it does not get through, or the lowest there is: that for a ball of its size.

    Returns
    -------
    Fraction
        The highest gap found, to ``NEAR_GAP`` of the edge, at which the check holds it back.

    Notes
    -----
    The largest cube is measured at a few gaps (the method of false position, Illinois variant);
    about the gap found the last one that keeps the cube back and the first one that does not are
    brought together.  A higher rail never makes the cube smaller.
    """
    size, apart = float(edge), NEAR_GAP * float(edge)

    def holds(gap: float) -> bool:
        return is_cube_held(pocket, edge, Fraction(gap))

    def excess(gap: float) -> float:
        cube = cube_in_pocket(replace(pocket, bottom_gap=Fraction(gap)))
        return cube.edge * (1 + CERTAIN) ** 2 - size

    low, high = float(low_gap), float(low_gap) + size / 4
    if not holds(low):
        return Fraction(_lowered(holds, low, apart, size))
    while holds(high):
        low, high = high, 2 * high - low
        if high > 8 * size:
            return Fraction(low)
    under, over, side = excess(low), excess(high), 0
    middle = low
    for _ in range(20):
        if under >= 0 or over <= 0:
            break
        middle = (low * over - high * under) / (over - under)
        value = excess(middle)
        if abs(value) <= apart / 4:
            break
        if value < 0:
            low, under, over = middle, value, over / 2 if side < 0 else over
        else:
            high, over, under = middle, value, under / 2 if side > 0 else under
        side = -1 if value < 0 else 1
    low = _lowered(holds, low, apart, size)
    step = apart / 2
    while high - low > apart:
        probe = middle if low < middle < high else (low + high) / 2
        if holds(probe):
            low, middle = probe, probe + step
        else:
            high, middle = probe, probe - step
        step *= 2
    return Fraction(low)


def _lowered(holds: Callable[[float], bool], gap: float, step: float, size: float) -> float:
    """A gap a few steps lower at which the check holds the cube back, or one a cube lower.

    Notes
    -----
    A square may come within ``CERTAIN`` of the ball's circle; the check then counts it as the cube.
    """
    floor = gap - size
    while gap > floor and not holds(gap):
        gap, step = gap - step, 2 * step
    return gap
