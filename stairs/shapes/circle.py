"""The largest circle in an opening, and what it leans on.

An inspector holds a ball against an opening of the guard.  Where the opening is flat the ball
passes exactly when its circle fits, so what counts is the largest circle that fits between the
walls of the opening: tread, riser, the underside of the bottom rail, a post.

The opening is given as a :class:`Shape`, a polygon that the circle's center may not leave.  Those
of its edges that have a name are walls; an edge without a name is open, like the neck between a
nosing and the rail: nothing is there, but beyond it the next opening begins.  Walls outside the
polygon that a circle could reach through an open edge are given beside it.

The search is in :mod:`stairs.shapes.circle_search`; it computes the center from the walls and
corners that are touched, in closed form, and proves that no other center is better.
"""

from __future__ import annotations

import math
from typing import Any, ClassVar

from msgspec import Struct

from stairs.numbers.tolerances import ROUNDING, SAME
from stairs.shapes.circle_search import Room, distance

Spot = tuple[float, float]
Point = tuple[Any, Any]  # of Fraction, int, sympy number or float
Name = Any
"""What a wall is, for whoever asked: text, or a record that becomes text and can be hashed."""


class Edge(Struct, frozen=True):
    """One straight side of an opening.

    Parameters
    ----------
    start, end : tuple of two numbers
        Its ends [job's unit of length].
    name : Name or None
        What it is, e.g. ``"riser 4"``; None for an open edge, which is no wall.
    """

    start: Point
    end: Point
    name: Name | None


class Shape(Struct, frozen=True):
    """An opening: where a circle's center may be, and the walls around.

    Parameters
    ----------
    edges : tuple of Edge
        A closed loop that does not cross itself; the center stays inside it or on it.
    beyond : tuple of Edge
        Further walls, anywhere; all with a name.
    corners : tuple of (tuple of two numbers, Name)
        Names of ends of walls, e.g. ``((9, 7), "nosing 4")``.  An end that is not listed goes by
        the name of its wall, or of the two walls that meet there.
    """

    edges: tuple[Edge, ...]
    beyond: tuple[Edge, ...] = ()
    corners: tuple[tuple[Point, Name], ...] = ()


class Corner(Struct, frozen=True):
    """Where two walls meet, of which no more is known."""

    first: Name
    second: Name
    kind: ClassVar[str] = "corner"

    def __str__(self) -> str:
        return f"corner of {self.first} and {self.second}"


class Circle(Struct, frozen=True):
    """The largest circle in an opening.

    Parameters
    ----------
    center : tuple of two floats
        In the coordinates of the shape [job's unit of length].
    radius, diameter : float
        [job's unit of length].
    leans_on : tuple of (Name or Corner)
        Everything it touches, in the order of the outline.
    on_open_edge : bool
        Whether the center lies on an open edge: then it is the edge that keeps the circle from
        growing further, and not only the walls.
    """

    center: Spot
    radius: float
    diameter: float
    leans_on: tuple[Name, ...]
    contacts: tuple[Spot, ...] = ()
    on_open_edge: bool = False


def largest_circle(shape: Shape) -> Circle:
    """The largest circle whose center is in the shape and which crosses no wall.

    Parameters
    ----------
    shape : Shape
        Of floats, or of numbers that turn into floats.

    Returns
    -------
    Circle
        Where several are equally large, the one farthest to the left (of those the lowest).
        A polygon without any room has radius 0.

    Raises
    ------
    NoSuchShape
        Where the outline is not closed, has no wall, or has a coordinate that is no number.

    Notes
    -----
    Walls and their corners are touched alike.  A circle that cannot grow touches three of them, or
    two with its center on an open edge, or sits where two open edges meet.

    Examples
    --------
    A 3-4-5 step with the rail lying on the nosings, in feet:

    >>> tread = Edge((0, 0), (4, 0), "tread 1")
    >>> riser = Edge((4, 0), (4, 3), "riser 2")
    >>> rail = Edge((4, 3), (0, 0), "bottom rail")
    >>> circle = largest_circle(Shape((tread, riser, rail)))
    >>> round(circle.diameter, 9), circle.leans_on
    (2.0, ('tread 1', 'riser 2', 'bottom rail'))
    """
    room = Room(shape)
    found = room.search(0.0)
    if found[0][0] == 0:  # no room at all: every place is as good as any other
        corners = [line[:2] for line in room.loop]
        return _circle(shape, room, *min(corners, key=_from_left))
    tied = [spot for spot in found if spot[0] >= found[0][0] * (1 - ROUNDING)]
    _, x, y, things = min(tied, key=lambda spot: _from_left(spot[1:3]))
    return _circle(shape, room, *room.polished(x, y, things))


def compare_largest_circle(shape: Shape, limit: Any) -> int:
    """-1, 0 or 1 as the largest circle's diameter is below, at or above a limit, exactly.

    Parameters
    ----------
    shape : Shape
        Of exact numbers: ``Fraction``, ``int`` or sympy numbers.  A float counts as the binary
        fraction that it is.
    limit : Fraction, int or sympy number
        Diameter, in the same unit.

    Returns
    -------
    int
        0 where the circle is exactly the ball, which then touches without room to spare.

    Notes
    -----
    Floats decide where diameter and limit differ by more than ``SAME`` of the size; nearer than
    that :func:`stairs.shapes.circle_exact.compare_exactly` does.

    Examples
    --------
    >>> from fractions import Fraction
    >>> outline = [(0, 0), (12, 0), (12, 9)]
    >>> edges = [Edge(a, b, f"side {i}") for i, (a, b) in
    ...          enumerate(zip(outline, outline[1:] + outline[:1]), 1)]
    >>> compare_largest_circle(Shape(tuple(edges)), Fraction(6))
    0
    >>> compare_largest_circle(Shape(tuple(edges)), Fraction(6) + Fraction(1, 10**12))
    -1
    """
    room = Room(shape)
    difference = 2 * room.search(0.0)[0][0] * room.scale - float(limit)
    if abs(difference) > SAME * max(room.scale, abs(float(limit))):
        return 1 if difference > 0 else -1
    from stairs.shapes.circle_exact import compare_exactly

    room = Room(shape, merge=False)
    return compare_exactly(shape, limit, room, room.search(100 * SAME))


def _from_left(place: Spot) -> Spot:
    """What places are put in order by, from the left and from below, whatever they round to."""
    return round(place[0], 9), round(place[1], 9)


def _circle(shape: Shape, room: Room, x: float, y: float) -> Circle:
    """The circle about a center in the shape's own coordinates, and what it leans on."""
    radius = room.clearance(x, y)
    named: dict[Name, Spot] = {}
    seen: list[Spot] = []
    for line, edge in zip(room.walls, room.wall_edges, strict=True):
        if distance(x, y, line) > radius + SAME:
            continue
        ax, ay, ux, uy, length, bx, by = line
        along = min(max((x - ax) * ux + (y - ay) * uy, 0.0), length)
        name, spot = edge.name, (ax + along * ux, ay + along * uy)
        if along <= SAME or along >= length - SAME:
            spot = (ax, ay) if along <= SAME else (bx, by)
            if any(math.dist(spot, other) <= SAME for other in seen):
                continue
            seen.append(spot)
            name = _corner_name(shape, room, spot)
        named.setdefault(name, room.outside(*spot))
    on_open = any(distance(x, y, line) <= SAME for line in room.opens)
    size = radius * room.scale
    contacts = tuple(named.values())
    return Circle(room.outside(x, y), size, 2 * size, tuple(named), contacts, on_open)


def _corner_name(shape: Shape, room: Room, spot: Spot) -> Name:
    """The name of an end of a wall: its own, that of the wall, or of the two that meet there."""
    for point, name in shape.corners:
        if math.dist(room.inside(*point), spot) <= SAME:
            return name
    names = list(
        dict.fromkeys(
            edge.name
            for line, edge in zip(room.walls, room.wall_edges, strict=True)
            if min(math.dist(line[:2], spot), math.dist(line[5:], spot)) <= SAME
        )
    )
    return names[0] if len(names) == 1 else Corner(names[0], names[1])
