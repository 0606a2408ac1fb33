"""The cube test: the largest cube that passes an opening of the guard.

Where a code tries openings with a cube, in any position, the largest square in the opening decides
(:mod:`stairs.square`).  In the plain corner of tread, riser and rail it sits in the corner, and the
closed form gives it exactly; in a strip, and between two plumb faces, it is as large as they are
apart; anything else is searched for with a proved bound, and a square that comes within
``CERTAIN`` of the limit counts as passing, the careful side.

Where the guard stands off to the side the opening is a passage.  No cube passes that is larger than
the ball that does, so the ball stands in for it there, on the careful side as well.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction

from stairs.exact import Amount, compare, derived
from stairs.openings import Opening, shape_of
from stairs.passage_gap import gap_for_ball_at_side
from stairs.pockets import Pocket, has_slot, pocket_shape
from stairs.square import CERTAIN, largest_square

IN_CORNER = "the largest square in any position; it sits in the corner under the rail"
SEARCHED = "the largest square in any position, at {angle:.1f}° to level"
STRAIGHT = "the largest square in any position, flush between two parallel faces"
AS_BALL = "held as the ball that passes; no larger cube does"


@dataclass(frozen=True, slots=True)
class Cube:
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
    """

    edge: float
    bound: float
    exact: Amount | None
    note: str

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


def largest_cube(opening: Opening) -> Cube:
    """The largest cube that passes an opening.

    Parameters
    ----------
    opening : stairs.openings.Opening
        Of a solved guard.

    Returns
    -------
    Cube
    """
    if opening.flat_diameter is not None or opening.ball is not None:
        size = opening.diameter
        if opening.closed_form is not None:
            return Cube(size, size, opening.closed_form, AS_BALL)
        return Cube(size, size, None, AS_BALL)
    if opening.pocket is not None:
        return cube_in_pocket(opening.pocket)
    if opening.closed_form is not None:
        return Cube(opening.diameter, opening.diameter, opening.closed_form, STRAIGHT)
    return _searched(shape_of(opening))


def cube_in_pocket(pocket: Pocket) -> Cube:
    """The largest cube that passes under the rail over one step, straight on.

    Parameters
    ----------
    pocket : stairs.pockets.Pocket
        Without a side gap.

    Notes
    -----
    The closed form of the plain corner is used where the search finds the same, to ``CERTAIN``.
    """
    cube = _searched(pocket_shape(_far_from_posts(pocket)))
    base = _base(pocket)
    if base is None:
        return cube
    form = derived(
        "corner_square",
        bottom_gap=pocket.front_gap,
        corner_base=base,
        unit_rise=pocket.line_rise,
        unit_run=pocket.line_run,
    )
    size = float(form)
    if abs(size - cube.edge) <= 2 * CERTAIN * size and size <= cube.bound * (1 + CERTAIN):
        return Cube(size, size, form, IN_CORNER)
    return cube


def _far_from_posts(pocket: Pocket) -> Pocket:
    """The same pocket for every tread that no post is near to, so that one search does for all."""
    front = pocket.front[0]
    room = 2 * (float(pocket.unit_rise) + float(pocket.unit_run) + abs(float(pocket.front_gap)))
    near = float(pocket.low_post[1]) > float(front) - room
    near = near or float(pocket.high_post[1]) < float(front) + room
    if near or not pocket.low_step < pocket.step < pocket.high_step or has_slot(pocket):
        return pocket
    zero, far = Fraction(0), Fraction(10 * room)
    return replace(
        pocket, step=1, front=(zero, zero), low_post=(1, -far), high_post=(2, far), low_step=0,
        high_step=2, low_surface=-far, high_surface=far, cut=None,
    )  # fmt: skip


def _searched(shape) -> Cube:
    square = largest_square(shape)
    return Cube(square.edge, square.bound, None, SEARCHED.format(angle=square.angle))


def _base(pocket: Pocket) -> Amount | None:
    """Level, from the step's front edge to the plumb face behind it; None where there is none."""
    if pocket.high_step > pocket.step:
        if pocket.riser_setback != 0 or pocket.stringer_margin is not None:
            return None
        return derived("tread_depth", unit_run=pocket.unit_run, nosing=pocket.nosing)
    if isinstance(pocket.front[0], Fraction) and isinstance(pocket.high_post[1], Fraction):
        return pocket.high_post[1] - pocket.front[0]
    return None


def gap_for_cube(
    pocket: Pocket, edge: Fraction, gap_for_ball: Callable[[Pocket, Fraction], tuple]
) -> Amount | None:
    """The bottom gap at which a pocket's largest cube is just as large as another.

    Parameters
    ----------
    pocket : stairs.pockets.Pocket
        Of a cut or closed stringer; its gap is that under any filler.
    edge : Fraction
        Of the cube that is to be kept [job's unit of length], above 0.
    gap_for_ball : callable
        :func:`stairs.windows.gap_for_ball`.

    Returns
    -------
    Fraction or Derived or None
        The gap [job's unit of length], exact where the square sits in the plain corner.  Otherwise
        that at which the largest circle is as large: a lower one, which keeps the cube.  None where
        no rail below the height of a storey lets it pass.
    """
    if pocket.side_gap > 0:
        return gap_for_ball_at_side(pocket, edge)
    floor = pocket.stringer_margin or Fraction(0)
    base = _base(pocket)
    if base is not None:
        gap = derived(
            "bottom_gap_for_corner_square",
            corner_square=edge,
            corner_base=base,
            unit_rise=pocket.line_rise,
            unit_run=pocket.line_run,
        )
        if pocket.front_lift:
            gap = derived("tread_depth", unit_run=gap, nosing=-pocket.front_lift)
        if float(gap) > float(floor):
            at_gap = cube_in_pocket(replace(pocket, bottom_gap=Fraction(float(gap))))
            if at_gap.exact is not None:
                return gap

    return gap_for_ball(pocket, edge)[0]
