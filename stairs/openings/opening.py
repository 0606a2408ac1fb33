"""Openings: one free space of the guard, the largest ball that passes it, and its comparison.

An inspector tries a ball at each opening, and a ball passes a flat opening exactly when its circle
fits.  Where the guard stands off to the side of the tread ends, the space under its rail is a
passage, and the ball that gets through is larger than the circle in the elevation
(:mod:`stairs.openings.side_gap.ball`).

Which openings a guard has :mod:`stairs.openings.section_openings` says.
"""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct

from stairs.openings.feature import Feature
from stairs.openings.panel_ends import PanelEnd
from stairs.openings.pocket import Pocket, Point, slot_matters_to
from stairs.openings.pocket_shape import pocket_shape
from stairs.openings.rail_slots import Numbers
from stairs.openings.side_gap.ball import Ball, compare_ball, compare_in_pocket
from stairs.relations.exact import Amount, compare, expression
from stairs.shapes.circle import Corner, Shape, compare_largest_circle

TRIANGLE, FOOT, HEAD = "triangle", "foot", "head"
UNDER_RAIL, BALUSTER, END, OPEN_RISER = "under-rail", "baluster", "end", "open-riser"
BELOW_RAIL = (TRIANGLE, FOOT, HEAD, UNDER_RAIL)
"""Kinds that the bottom rail bounds."""
LOW, HIGH = "low", "high"


class Opening(Struct, frozen=True):
    """One free space of the guard and the largest ball that fits it.

    Parameters
    ----------
    kind : str
        ``triangle``, ``foot``, ``head``, ``under-rail``, ``baluster``, ``end`` or ``open-riser``.
    bay, tread : int or None
        Where it is; None where it belongs to none.
    diameter : float
        Of the largest ball that passes [job's unit of length]; in a flat opening that of the
        largest circle.
    center : tuple of float
        Of the largest circle in the elevation, in the section's coordinates.
    leans_on : tuple of (Feature or stairs.shapes.circle.Corner)
        The parts that the ball touches where it passes.
    outline : tuple of tuple of float
        The free space that was searched, in the section's coordinates.
    closed_form : Fraction, Derived or None
        The diameter exactly, where a closed form gives it.
    pocket : Pocket or None
        The exact measurements of the shape, where the circle came from one.
    flat_diameter : float or None
        Of the largest circle in the elevation, where the guard stands off to the side and the ball
        that passes is another; None where the opening is flat.
    ball : Ball or None
        That ball, where the opening is a pocket and the ball was asked for.
    panel_end : PanelEnd or None
        The exact measurements of the space beside a post, where its circle came from the walls.
    strip : Pocket or None
        The exact measurements of the space between the rail and what runs straight below it: the
        surface of a level run, the edge of a closed stringer.
    end : str
        ``"low"`` or ``"high"``: the end of the bay that it is at, between a post and a baluster;
        empty for any other.
    """

    kind: str
    bay: int | None
    tread: int | None
    diameter: float
    center: Point
    leans_on: tuple[Feature | Corner, ...]
    outline: tuple[Point, ...]
    closed_form: Amount | None = None
    pocket: Pocket | None = None
    flat_diameter: float | None = None
    ball: Ball | None = None
    panel_end: PanelEnd | None = None
    strip: Pocket | None = None
    end: str = ""

    @property
    def keys(self) -> tuple[str, ...]:
        """The names under which its size counts in a re-solved guard.

        The first is its own: no other opening of the section has it.  Which riser is the greatest
        may change with the measurements, and a bay that loses its only baluster is one opening at
        both its ends.
        """
        if self.kind == OPEN_RISER:
            return (self.kind,)
        both = self.kind == END and self.bay is not None and not self.end
        ends = (self.end, LOW, HIGH) if both else (self.end,)
        return tuple(f"{self.kind}|{self.bay}|{self.tread}|{end}" for end in ends)

    @property
    def place(self) -> str:
        """Where it is, in words: ``"tread 3"``, ``"bay 1"``."""
        if self.kind == FOOT:
            return "foot"
        if self.kind == HEAD:
            return "head"
        if self.tread is not None:
            return f"tread {self.tread}"
        if self.kind == END and self.bay is None:
            return "beside post 1"
        return f"bay {self.bay}" if self.bay is not None else ""

    @property
    def is_beside_stair(self) -> bool:
        """Whether what passes is a ball between stair and guard, whether it was found or not."""
        return self.under_rail is not None and self.under_rail.side_gap > 0

    @property
    def under_rail(self) -> Pocket | None:
        """The exact measurements of the space under the rail; None of any other opening."""
        return self.pocket or self.strip

    @property
    def walls(self) -> Pocket | PanelEnd | None:
        """The exact measurements of what is searched for the ball; None where faces are enough."""
        return self.under_rail or self.panel_end

    @property
    def drawn_diameter(self) -> float:
        """Diameter of the largest circle in the elevation [job's unit of length]."""
        return self.diameter if self.flat_diameter is None else self.flat_diameter

    @property
    def has_riser(self) -> bool:
        """Whether a riser is one of its sides, as a tread opening's ball requires."""
        return self.kind == FOOT or (
            self.kind == TRIANGLE
            and self.pocket is not None
            and self.pocket.high.step > self.pocket.step
        )


def compare_opening(opening: Opening, ball: Fraction) -> int:
    """-1, 0 or 1 as the largest circle is smaller than, equal to or larger than a ball.

    Parameters
    ----------
    ball : Fraction
        Diameter, in the job's unit of length.

    Notes
    -----
    Decided exactly: from the closed form where there is one, otherwise from the walls.
    How the ball of a passage is decided :func:`stairs.openings.side_gap.ball.compare_ball` says;
    where it was not found, whether this one passes.
    """
    if opening.is_beside_stair and opening.ball is None:
        return _compare_beside_stair(opening, ball)
    if opening.closed_form is not None:
        return compare(opening.closed_form, ball)
    if opening.ball is not None:
        return compare_ball(_pocket_of(opening), opening.ball, ball)
    if abs(opening.diameter - float(ball)) > 1e-7 * max(1.0, float(ball)):
        return 1 if opening.diameter > ball else -1
    return compare_largest_circle(shape_of(opening, expression), ball)


def _compare_beside_stair(opening: Opening, ball: Fraction) -> int:
    """The same for an opening beside the stair whose ball was not found."""
    if opening.pocket is not None:
        return compare_in_pocket(opening.pocket, ball)
    order = -1 if opening.closed_form is None else compare(opening.closed_form, ball)
    strip = _pocket_of(opening)
    if order < 1 and slot_matters_to(strip, float(ball)):
        order = max(order, compare_in_pocket(strip, ball))
    return order


def _pocket_of(opening: Opening) -> Pocket:
    """The exact measurements of the space under the rail."""
    pocket = opening.under_rail
    if pocket is None:
        raise ValueError(f"the {opening.kind} opening holds nothing exact to compare")
    return pocket


def shape_of(opening: Opening, number: Numbers = float) -> Shape:
    """The walls of an opening whose circle is found from them.

    Parameters
    ----------
    opening : Opening
        With a pocket, a panel end or a level space.
    number : callable
        See :func:`stairs.openings.pocket_shape.pocket_shape`.

    Raises
    ------
    ValueError
        The opening is one of plain faces, which its closed form is enough for.
    """
    if opening.panel_end is not None:
        return opening.panel_end.shape(number)
    return pocket_shape(_pocket_of(opening), number)
