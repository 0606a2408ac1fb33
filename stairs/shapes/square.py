"""The largest square in an opening, in any position.

Some codes try an opening with a cube instead of a ball: it must not pass, however it is turned.
Through a flat opening a cube passes best square on, so what counts is the largest square that fits
between the walls, at any place and any angle.

A square of edge ``a`` holds a circle of diameter ``a`` and lies in one of ``a √2``; so with the
largest circle ``D`` of the opening ``D / √2 <= a <= D``.

The corner of a level surface and a plumb face under a raked rail
------------------------------------------------------------------
Where a square leans on straight walls only, its edge at the angle ``φ`` is
``K / Σ λ w(α - φ)``, with one ``λ > 0`` per wall, ``α`` the wall's direction and
``w = |cos| + |sin|`` the width of a square of edge 1 across it.  Between two angles at which a side
lies flush with one of the walls every ``w`` is concave, so the sum is least, and the square
largest, at one of them: a largest square lies flush with a wall.  In a right-angled triangle with
legs ``p``, ``q`` and hypotenuse ``c`` that is the right angle, ``p q / (p + q)``, or a side on the
hypotenuse, ``p q c / (p q + c²)``.  The first is larger, for ``(p + q) c < p q + c²`` is
``(c - p) (c - q) > 0``.  So the square sits in the corner.

Everything else is searched for (:mod:`stairs.shapes.square_search`), with a proved bound.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING

from msgspec import Struct

from stairs.numbers.tolerances import ROUNDING
from stairs.shapes.circle import Circle, Shape, largest_circle
from stairs.shapes.circle_search import Room

if TYPE_CHECKING:  # it needs numpy
    from stairs.shapes.square_search import SquareRoom

CERTAIN = 1e-6
"""Part of the edge: how much nearer to a limit than this a square counts as fitting through."""


# one outline is held against several squares
_circle = lru_cache(maxsize=1024)(largest_circle)


class Square(Struct, frozen=True):
    """The largest square in an opening.

    Parameters
    ----------
    edge : float
        Of a square that fits [job's unit of length].
    bound : float
        No square of this edge or a larger one fits [job's unit of length].
    angle : float
        Of a side over level, 0 to below 90 [degrees].
    """

    edge: float
    bound: float
    center: tuple[float, float]
    angle: float


@lru_cache(maxsize=1024)
def largest_square(shape: Shape) -> Square:
    """The largest square whose centre is in the shape and which crosses no wall.

    Parameters
    ----------
    shape : stairs.shapes.circle.Shape
        Of floats, or of numbers that turn into floats.

    Returns
    -------
    Square
        Of several equally large ones any.

    Notes
    -----
    ``bound`` exceeds ``edge`` by less than ``CERTAIN`` of it, unless very many squares are nearly
    as large; then it is wider, and still a bound.

    Examples
    --------
    >>> from stairs.shapes.circle import Edge
    >>> corners = (0, 0), (12, 0), (12, 4)
    >>> sides = zip(corners, corners[1:] + corners[:1], ("tread", "riser", "rail"))
    >>> square = largest_square(Shape(tuple(Edge(a, b, name) for a, b, name in sides)))
    >>> round(square.edge, 4), square.edge <= 3 < square.bound
    (3.0, True)
    """
    circle = _circle(shape)
    if circle.radius <= 0:
        return Square(0.0, 0.0, circle.center, 0.0)
    room, search, radius, seeds = _search(shape, circle)
    found, bound, x, y, turn = search.largest(radius, seeds)
    angle = math.degrees(turn) % 90
    center = room.outside(float(x), float(y))
    return Square(2 * found * room.scale, 2 * bound * room.scale, center, angle)


@lru_cache(maxsize=1024)
def is_smaller(shape: Shape, edge: float) -> bool:
    """Whether the largest square of an outline is smaller than another; decided, not measured.

    Parameters
    ----------
    shape : stairs.shapes.circle.Shape
        As for :func:`largest_square`.
    edge : float
        Of the other square [job's unit of length], above 0.

    Returns
    -------
    bool
        True is proved, by more than ``CERTAIN`` of the edge; so :func:`largest_square` then has a
        bound below it as well.

    Notes
    -----
    The search need not come near to the largest square: one that is large enough ends it, and so
    does having no box left that could hold one.

    Examples
    --------
    >>> from stairs.shapes.circle import Edge
    >>> corners = (0, 0), (12, 0), (12, 4)
    >>> sides = zip(corners, corners[1:] + corners[:1], ("tread", "riser", "rail"))
    >>> shape = Shape(tuple(Edge(a, b, name) for a, b, name in sides))
    >>> is_smaller(shape, 3.001), is_smaller(shape, 3.0)
    (True, False)
    """
    from stairs.shapes.square_search import SquareRoom

    room = Room(shape)
    return not SquareRoom(room).reaches(edge / (1 + CERTAIN) ** 2 / 2 / room.scale)


def edge_at(shape: Shape, x: float, y: float, angle: float) -> float:
    """Edge of the largest square about a centre at an angle [job's unit of length].

    Parameters
    ----------
    shape : stairs.shapes.circle.Shape
        As for :func:`largest_square`.
    x, y : float
        The centre, in the coordinates of the shape.
    angle : float
        Of a side over level [degrees].

    Returns
    -------
    float
        0 where the centre is outside.

    Examples
    --------
    >>> from stairs.shapes.circle import Edge
    >>> corners = (0, 0), (12, 0), (12, 4)
    >>> sides = zip(corners, corners[1:] + corners[:1], ("tread", "riser", "rail"))
    >>> shape = Shape(tuple(Edge(a, b, name) for a, b, name in sides))
    >>> round(edge_at(shape, 10.5, 1.5, 0), 9), edge_at(shape, 1, 3, 0)
    (3.0, 0.0)
    """
    from stairs.shapes.square_search import SquareRoom

    room = Room(shape)
    search, place = SquareRoom(room), (*room.inside(x, y), math.radians(angle))
    return 2 * search.half_edge_at(place) * room.scale


def _search(
    shape: Shape, circle: Circle
) -> tuple[Room, SquareRoom, float, list[tuple[float, float, float]]]:
    """The search in a shape, a bound of half the edge, and the places to look at first."""
    from stairs.shapes.square_search import SquareRoom

    room = Room(shape)
    x, y = room.inside(*circle.center)
    turns = {math.atan2(line[3], line[2]) % (math.pi / 2) for line in room.walls}
    seeds = [(x, y, turn) for turn in sorted(turns)]
    return room, SquareRoom(room), circle.radius / room.scale * (1 + ROUNDING), seeds
