"""Whether the largest circle in an opening is smaller than a ball, decided beyond doubt.

A stair of 9 in risers and 12 in runs with the rail on its nosings lets through exactly 6 in: a
ball of 6 in touches on three sides, and a rule that says the ball "must not pass" is only kept
where the circle is smaller.  No float can tell; so the few circles that come within a hair of the
limit are computed again without rounding.

Coordinates that are fractions, or contain square roots, are computed with as they are
(:mod:`stairs.numbers.surd`) and the answer is proved.  Others, such as the tangent of a rake that
was given in degrees, are computed with to 200 digits, and what differs from the limit by less than
``10**-150`` of the size counts as equal: the ball touches.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, TypeAlias

from stairs.numbers import surd
from stairs.numbers.exact_sign import NotOfRoots, digits, digits_of, exact_number
from stairs.shapes.circle_search import Key, Room, Touching, distance
from stairs.shapes.equidistant import CORNER, TRACK, WALL, Place, Thing, centers

if TYPE_CHECKING:
    from stairs.shapes.circle import Edge, Shape

Number: TypeAlias = Any  # of the arithmetic in use

_DIGITS = 200
_UNDECIDED = 1e-6  # parts of the scale: farther than this floats decide
_CLOSE = 1e-8  # how far below the limit a computed circle need not be looked at again
_SURE = 1e-11  # the same for a center that was searched for, not computed


class _Exact:
    """Arithmetic with fractions and square roots."""

    def __init__(self) -> None:
        self.roots = surd.Roots()
        self.sqrt, self.sign = self.roots.sqrt, surd.sign

    def number(self, value: Any) -> Number:
        """A coordinate in this arithmetic, exactly.

        Raises
        ------
        NotOfRoots
            It is not made of fractions and square roots.
        """
        return exact_number(value, self.roots)


class _Digits:
    """Arithmetic with 200 digits, for numbers that are not made of square roots."""

    def __init__(self, scale: float) -> None:
        self.context = digits_of(_DIGITS + 20)
        self.sqrt = self.context.sqrt
        self.least = self.context.mpf(10) ** -150 * max(scale, scale * scale)

    def number(self, value: Any) -> Number:
        """A coordinate in this arithmetic, to 200 digits."""
        return self.context.mpf(digits(value, _DIGITS))

    def sign(self, value: Number) -> int:
        """-1, 0 or 1; 0 also where only rounding can have left anything.

        Parameters
        ----------
        value : number
            A length, or a product of lengths, in this arithmetic.
        """
        return 0 if abs(value) <= self.least else 1 if value > 0 else -1


def compare_exactly(shape: Shape, limit: Any, room: Room, found: list[Touching]) -> int:
    """-1, 0 or 1 as the largest diameter is below, at or above a limit.

    Parameters
    ----------
    shape : stairs.shapes.circle.Shape
        Of exact numbers.
    room : stairs.shapes.circle_search.Room
        The same shape in floats, with no wall left out.
    found : list of tuple
        Every touching circle that may be the largest, from ``room.search`` with some slack.

    Notes
    -----
    The largest circle has one of these centers.  For each the exact center is computed and its
    distance to every wall within a hair compared with half of the limit; squares are compared, so
    that no root is needed but those of the walls' lengths and of the center.  Centers outside the
    outline do not count.

    Where more walls touch at once than can be taken three by three (some fifteen), the center is
    known only by searching; a limit within 1e-11 of the size then counts as met, the careful side.

    Examples
    --------
    Used through :func:`stairs.shapes.circle.compare_largest_circle`:

    >>> from stairs.shapes.circle import Edge, Shape, compare_largest_circle
    >>> from sympy import Integer, sqrt
    >>> one, zero = Integer(1), Integer(0)
    >>> corners = (zero, zero), (one, zero), (one, one)
    >>> sides = zip(corners, corners[1:] + corners[:1], ("tread", "riser", "rail"))
    >>> step = Shape(tuple(Edge(start, end, name) for start, end, name in sides))
    >>> compare_largest_circle(step, 2 - sqrt(2))
    0
    """
    values = [value for edge in shape.edges + shape.beyond for end in (edge.start, edge.end)
              for value in end]  # fmt: skip
    try:
        arithmetic: _Exact | _Digits = _Exact()
        for value in (*values, limit):
            arithmetic.number(value)
    except NotOfRoots:
        arithmetic = _Digits(room.scale)
    exact = _ExactRoom(shape, limit, room, arithmetic)
    solution = -1
    for radius, x, y, things in found:
        hair = _CLOSE if things else _SURE
        if 2 * radius * room.scale < float(limit) - hair * room.scale:
            continue
        if not things:
            solution = max(solution, 0)
            continue
        for center in exact.centers(x, y, things):
            solution = max(solution, exact.order(x, y, things, center, solution))
            if solution == 1:
                return 1
    return solution


class _ExactRoom:
    """A shape in exact numbers, beside the same one in floats that says where to look."""

    def __init__(self, shape: Shape, limit: Any, room: Room, arithmetic: _Exact | _Digits) -> None:
        self.room, self.arithmetic = room, arithmetic
        self.sign: Callable[[Number], int] = arithmetic.sign
        number = arithmetic.number

        def ends(edge: Edge) -> tuple[Number, Number, Number, Number]:
            (ax, ay), (bx, by) = edge.start, edge.end
            return number(ax), number(ay), number(bx), number(by)

        self.walls = [ends(edge) for edge in room.wall_edges]
        self.opens = [ends(edge) for edge in room.open_edges]
        self.loop = [ends(edge) for edge in shape.edges]
        self.half = number(limit) / 2

    def centers(self, x: float, y: float, things: tuple[Key, ...]) -> list[Place]:
        """The exact centers of the circle on three things, near a center in floats.

        Parameters
        ----------
        x, y : float
            That center [parts of the scale].
        things : tuple
            Keys of the three things as the search gives them, or of two open edges that meet there.

        Returns
        -------
        list of tuple
            ``(x, y)`` of exact numbers in the shape's coordinates.
        """
        if len(things) == 2:  # where two open edges meet
            return [self.opens[things[0][1]][2:]]
        first, second, third = (self._thing(*thing) for thing in things)
        spots = centers(first, second, third, self.arithmetic.sqrt)
        mx, my = self.room.middle
        near = []
        for spot in spots:
            dx = (float(spot[0]) - mx) / self.room.scale - x
            dy = (float(spot[1]) - my) / self.room.scale - y
            if abs(dx) + abs(dy) < _UNDECIDED:
                near.append(spot)
        return near

    def _thing(self, kind: str, i: int) -> Thing:
        ax, ay, bx, by = self.opens[i] if kind == "open" else self.walls[i]
        if kind == "start":
            return CORNER, ax, ay
        if kind == "end":
            return CORNER, bx, by
        nx, ny = ay - by, bx - ax
        if kind == "open":
            return TRACK, nx, ny, nx * ax + ny * ay
        length = self.arithmetic.sqrt(nx * nx + ny * ny)
        over = (1 if kind == "left" else -1) / length
        nx, ny = nx * over, ny * over
        return WALL, nx, ny, nx * ax + ny * ay

    def order(self, x: float, y: float, things: tuple[Key, ...], center: Place, least: int) -> int:
        """How the clearance at a center compares with half of the limit; -1 outside the outline.

        Parameters
        ----------
        x, y : float
            The center in parts of the scale.
        center : tuple
            The same center, exact.
        least : int
            The search ends as soon as the order is known to be no more than this.
        """
        order = 2
        lines = {i for kind, i in things if kind in ("left", "right")}
        nearest = self.room.clearance(x, y)
        for i, line in enumerate(self.room.walls):
            if distance(x, y, line) > nearest + _UNDECIDED:
                continue
            if i in lines and i != min(lines):
                continue  # as far away as the first of them, which is looked at
            order = min(order, self._order_of_wall(center, self.walls[i], i in lines))
            if order <= least:
                return order
        return order if self._is_inside(x, y, center) else -1

    def _order_of_wall(self, center: Place, ends: tuple[Number, ...], as_line: bool) -> int:
        """Distance to a wall against half of the limit; as a line where it is touched as one.

        Notes
        -----
        With ``d`` along the wall and ``p`` from its start to the center, the nearest point is the
        start where ``d p <= 0``, the end where ``d p >= d d``, and otherwise the distance is
        ``|d x p| / |d|``.
        """
        ax, ay, bx, by = ends
        x, y = center
        dx, dy, px, py = bx - ax, by - ay, x - ax, y - ay
        square = dx * dx + dy * dy
        half = self.half
        if not as_line:
            along = dx * px + dy * py
            if self.sign(along) <= 0:
                return self.sign(px * px + py * py - half * half)
            if self.sign(along - square) >= 0:
                px, py = x - bx, y - by
                return self.sign(px * px + py * py - half * half)
        across = dx * py - dy * px
        return self.sign(across * across - half * half * square)

    def _is_inside(self, x: float, y: float, center: Place) -> bool:
        """Whether a center is in the outline or on it."""
        room = self.room
        if all(distance(x, y, line) > _UNDECIDED for line in room.loop):
            return room.is_inside(x, y, 0.0)
        px, py = center
        inside = False
        for ax, ay, bx, by in self.loop:
            cross = self.sign((bx - ax) * (py - ay) - (by - ay) * (px - ax))
            if cross == 0 and self._is_between(center, (ax, ay, bx, by)):
                return True
            below, above = self.sign(ay - py) > 0, self.sign(by - py) > 0
            if below != above and (cross > 0) == above:
                inside = not inside
        return inside

    def _is_between(self, center: Place, ends: tuple[Number, ...]) -> bool:
        (px, py), (ax, ay, bx, by) = center, ends
        return self.sign((px - ax) * (px - bx) + (py - ay) * (py - by)) <= 0
