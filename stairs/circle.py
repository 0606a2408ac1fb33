"""The largest circle in an opening, and what it leans on.

An inspector holds a ball against an opening of the guard.  Where the opening is flat the ball
passes exactly when its circle fits, so what counts is the largest circle that fits between the
walls of the opening: tread, riser, the underside of the bottom rail, a post.

The opening is given as a :class:`Shape`, a polygon that the circle's center may not leave.  Those
of its edges that have a name are walls; an edge without a name is open, like the neck between a
nosing and the rail: nothing is there, but beyond it the next opening begins.  Walls outside the
polygon that a circle could reach through an open edge are given beside it.

How it is found: the polygon is cut into ever smaller boxes.  In a box whose middle is ``f`` from
the nearest wall and whose corners are ``h`` from its middle no center has more than ``f + h``
clearance, and only walls within ``f + 2 h`` of the middle can be touched; a box that cannot hold
the best center is dropped.  As soon as few walls are left in reach, the centers of all circles
that touch three of them are computed in closed form (:mod:`stairs.equidistant`).  So the answer
comes from the walls and corners themselves, to the accuracy of the arithmetic, and no other
center of the polygon can be better.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from heapq import heappop, heappush
from itertools import combinations, product

from stairs.equidistant import CORNER, TRACK, WALL, centers
from stairs.errors import NoSuchShape

Point = tuple[float, float]

TOUCH = 1e-9
"""Part of an opening's size within which a circle counts as touching a wall."""

_ON_EDGE = 1e-12  # part of the size: how far outside an open edge a center may round to
_SMALLEST = 1e-13  # part of the size: boxes are not cut further
_FEW, _MANY = 12, 600  # triples that are worth solving at once: usually, and in a tiny box


@dataclass(frozen=True, slots=True)
class Edge:
    """One straight side of an opening.

    Parameters
    ----------
    start, end : tuple of two numbers
        Its ends [job's unit of length].
    name : str or None
        What it is, e.g. ``"riser 4"``; None for an open edge, which is no wall.
    """

    start: Point
    end: Point
    name: str | None


@dataclass(frozen=True, slots=True)
class Shape:
    """An opening: where a circle's center may be, and the walls around.

    Parameters
    ----------
    edges : tuple of Edge
        A closed loop that does not cross itself; the center stays inside it or on it.
    beyond : tuple of Edge
        Further walls, anywhere; all with a name.
    corners : tuple of (tuple of two numbers, str)
        Names of ends of walls, e.g. ``((9, 7), "nosing 4")``.  An end that is not listed goes by
        the name of its wall, or of the two walls that meet there.
    """

    edges: tuple[Edge, ...]
    beyond: tuple[Edge, ...] = ()
    corners: tuple[tuple[Point, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Circle:
    """The largest circle in an opening.

    Parameters
    ----------
    center : tuple of two floats
        In the coordinates of the shape [job's unit of length].
    radius, diameter : float
        [job's unit of length].
    leans_on : tuple of str
        Everything it touches, in the order of the outline.
    contacts : tuple of tuple of float
        Where it touches each of them.
    on_open_edge : bool
        Whether the center lies on an open edge: then it is the edge that keeps the circle from
        growing further, and not only the walls.
    """

    center: Point
    radius: float
    diameter: float
    leans_on: tuple[str, ...]
    contacts: tuple[Point, ...] = ()
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
    tied = [spot for spot in found if spot[0] >= found[0][0] - 1e-12]
    _, x, y, things = min(tied, key=lambda spot: (round(spot[1], 9), round(spot[2], 9)))
    return room.circle(*room.polished(x, y, things))


def compare_largest_circle(shape: Shape, limit) -> int:
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
    Floats decide where diameter and limit differ by more than ``TOUCH`` of the size; nearer than
    that :func:`stairs.circle_exact.compare_exactly` does.

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
    found = room.search(100 * TOUCH)
    difference = 2 * found[0][0] * room.scale - float(limit)
    if abs(difference) > TOUCH * max(room.scale, abs(float(limit))):
        return 1 if difference > 0 else -1
    from stairs.circle_exact import compare_exactly

    return compare_exactly(shape, limit, room, found)


class Room:
    """A shape in floats about its own middle, its size brought to about 1, ready for the search.

    Parameters
    ----------
    shape : Shape
        Of numbers that turn into floats.
    """

    def __init__(self, shape: Shape) -> None:
        outline = [_floats(edge) for edge in shape.edges]
        others = [_floats(edge) for edge in shape.beyond]
        _check(shape, outline, others)
        xs = [x for ax, _, bx, _ in outline for x in (ax, bx)]
        ys = [y for _, ay, _, by in outline for y in (ay, by)]
        self.middle = (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2
        size = max(max(xs) - min(xs), max(ys) - min(ys)) or 1.0
        self.scale = 2.0 ** math.ceil(math.log2(size))
        self.half = (max(xs) - min(xs)) / 2 / self.scale, (max(ys) - min(ys)) / 2 / self.scale
        mx, my = self.middle

        def local(ends):
            ax, ay, bx, by = ends
            ax, bx = (ax - mx) / self.scale, (bx - mx) / self.scale
            ay, by = (ay - my) / self.scale, (by - my) / self.scale
            length = math.hypot(bx - ax, by - ay)
            # start, direction, length, end
            return None if length == 0 else (
                ax, ay, (bx - ax) / length, (by - ay) / length, length, bx, by
            )  # fmt: skip

        self.walls, self.wall_edges, self.opens, self.open_edges = [], [], [], []
        for edge, ends in zip(shape.edges + shape.beyond, outline + others, strict=True):
            line = local(ends)
            if line is None:
                continue
            if edge.name is None:
                self.opens.append(line)
                self.open_edges.append(edge)
            elif not self._is_doubled(line, edge):
                self.walls.append(line)
                self.wall_edges.append(edge)
        self.loop = [line for line in map(local, outline) if line is not None]
        self.shape = shape

    def _is_doubled(self, line, edge) -> bool:
        """Whether it is the very same segment of the same name as a wall already there."""
        return any(
            edge.name == other.name and {edge.start, edge.end} == {other.start, other.end}
            for other in self.wall_edges
        )

    # ---- distances -------------------------------------------------------------------------

    def clearance(self, x: float, y: float) -> float:
        """Distance from a point to the nearest wall [parts of the scale]."""
        nearest = math.inf
        for line in self.walls:
            distance = _distance(x, y, line)
            if distance < nearest:
                nearest = distance
        return nearest

    def is_inside(self, x: float, y: float, margin: float = _ON_EDGE) -> bool:
        """Whether a point lies in the outline, or within ``margin`` of an open edge."""
        inside = False
        for ax, ay, _, _, _, bx, by in self.loop:
            if (ay > y) != (by > y) and x < ax + (y - ay) / (by - ay) * (bx - ax):
                inside = not inside
        return inside or any(_distance(x, y, line) <= margin for line in self.opens)

    # ---- search ----------------------------------------------------------------------------

    def search(self, slack: float) -> list[tuple]:
        """Every touching circle within ``slack`` of the largest, largest first.

        Parameters
        ----------
        slack : float
            Part of the scale.

        Returns
        -------
        list of tuple
            ``(radius, x, y, things)`` in parts of the scale, with the keys of the three things
            touched; never empty.
        """
        found: list[tuple] = []
        keep = slack + 1e-11
        best = self._at_open_corners(found)
        solved: set = set()
        everything = range(len(self.walls)), range(len(self.opens))
        boxes = [(-math.inf, 0, 0.0, 0.0, *self.half, *everything, False)]
        count = 0
        while boxes:
            bound, _, x, y, half_x, half_y, walls, opens, inside = heappop(boxes)
            if -bound < best - keep:
                break
            reach = math.hypot(half_x, half_y)
            distances = [_distance(x, y, self.walls[i]) for i in walls]
            clear = min(distances)
            if clear + reach < best - keep:
                continue
            if not inside:
                opens = [i for i in opens if _distance(x, y, self.opens[i]) <= reach + _ON_EDGE]
                center_inside = self.is_inside(x, y)
                if clear > reach and not opens:
                    if not center_inside:
                        continue
                    inside = True
            if (inside or center_inside) and clear > best:
                best = clear
                if reach <= _SMALLEST * 4:
                    found.append((clear, x, y, ()))
            limit = clear + 2 * reach
            walls = [i for i, distance in zip(walls, distances, strict=True) if distance <= limit]
            if len(walls) + len(opens) < 3 or reach <= _SMALLEST:
                continue
            triples = self._triples(x, y, reach, best, walls, opens)
            if triples is not None:
                for keys, things in triples:
                    if keys in solved:
                        continue
                    solved.add(keys)
                    for cx, cy in centers(*things):
                        if abs(cx) > 1 or abs(cy) > 1 or cx != cx or cy != cy:
                            continue
                        radius = self.clearance(cx, cy)
                        if radius >= best - keep and self.is_inside(cx, cy, _ON_EDGE + slack):
                            found.append((radius, cx, cy, keys))
                            best = max(best, radius)
                continue
            if half_x > half_y:
                half_x /= 2
                middles = ((x - half_x, y), (x + half_x, y))
            else:
                half_y /= 2
                middles = ((x, y - half_y), (x, y + half_y))
            for cx, cy in middles:
                count += 1
                heappush(
                    boxes, (-clear - reach, count, cx, cy, half_x, half_y, walls, opens, inside)
                )
        found.sort(key=lambda spot: -spot[0])
        if not found:
            line = self.walls[0]
            return [(0.0, line[0], line[1], ())]
        return [spot for spot in found if spot[0] >= found[0][0] - keep]

    def _at_open_corners(self, found: list) -> float:
        """Take in the corners where two open edges meet; give the best clearance among them."""
        best = 0.0
        for i, first in enumerate(self.opens):
            for k, second in enumerate(self.opens):
                if i != k and math.hypot(first[5] - second[0], first[6] - second[1]) <= _ON_EDGE:
                    radius = self.clearance(first[5], first[6])
                    found.append((radius, first[5], first[6], (("open", i), ("open", k))))
                    best = max(best, radius)
        return best

    def _triples(self, x, y, reach, best, walls, opens):
        """The threes that a circle centered in a box could lean on; None where too many."""
        choices = [self._things(i, x, y, reach) for i in walls]
        most = _MANY if reach <= 1e-3 * best else _FEW
        count = 0
        sizes = [len(choice) for choice in choices]
        total, squares, cubes = (sum(size**power for size in sizes) for power in (1, 2, 3))
        pairs = (total * total - squares) // 2
        count = (total**3 - 3 * total * squares + 2 * cubes) // 6 + pairs * len(opens)
        if count > most:
            return None
        tracks = [[(("open", i), self._track(i))] for i in opens]
        threes = list(combinations(choices, 3))
        threes += [(*two, track) for two in combinations(choices, 2) for track in tracks]
        return [
            (tuple(thing[0] for thing in three), tuple(thing[1] for thing in three))
            for chosen in threes
            for three in product(*chosen)
        ]

    def _track(self, i):
        ax, ay, ux, uy, _, _, _ = self.opens[i]
        return (TRACK, -uy, ux, ax * uy * -1 + ay * ux)

    def _things(self, i, x, y, reach):
        """What of a wall a circle centered within ``reach`` of a point could touch."""
        ax, ay, ux, uy, length, bx, by = self.walls[i]
        along = (x - ax) * ux + (y - ay) * uy
        things = []
        if along < reach:
            things.append((("start", i), (CORNER, ax, ay)))
        if along > length - reach:
            things.append((("end", i), (CORNER, bx, by)))
        if -reach <= along <= length + reach:
            offset = (y - ay) * ux - (x - ax) * uy
            for side in (1, -1):
                if offset * side > -reach:
                    nx, ny = -uy * side, ux * side
                    things.append((("left" if side > 0 else "right", i),
                                   (WALL, nx, ny, nx * ax + ny * ay)))  # fmt: skip
        return things

    # ---- result ----------------------------------------------------------------------------

    def polished(self, x: float, y: float, things: tuple) -> Point:
        """A center improved by one step of Newton's method on its three distances.

        Notes
        -----
        With ``d`` the distances and ``g`` their unit gradients at the center: ``g step - r = -d``
        for the things that are touched, and ``g step = -d`` for a track.  Taken only where it adds
        clearance.
        """
        rows = []
        for kind, i in things:
            if kind == "open":
                _, nx, ny, c = self._track(i)
                rows.append((nx, ny, 0.0, c - nx * x - ny * y))
                continue
            ax, ay, ux, uy, _, bx, by = self.walls[i]
            if kind in ("start", "end"):
                gx, gy = (x - ax, y - ay) if kind == "start" else (x - bx, y - by)
                distance = math.hypot(gx, gy)
                if distance == 0:
                    return x, y
                gx, gy = gx / distance, gy / distance
            else:
                side = 1 if kind == "left" else -1
                gx, gy = -uy * side, ux * side
                distance = (x - ax) * gx + (y - ay) * gy
            rows.append((gx, gy, 1.0, distance))
        if len(rows) != 3:
            return x, y
        # subtract the first touched row from the others: two equations for the step
        base = next(row for row in rows if row[2])
        lines = [
            (row[0] - base[0], row[1] - base[1], base[3] - row[3]) if row[2] else
            (row[0], row[1], row[3]) for row in rows if row is not base
        ]  # fmt: skip
        (a1, b1, c1), (a2, b2, c2) = lines
        determinant = a1 * b2 - a2 * b1
        if abs(determinant) < 1e-9:
            return x, y
        nx = x + (c1 * b2 - c2 * b1) / determinant
        ny = y + (a1 * c2 - a2 * c1) / determinant
        if self.clearance(nx, ny) > self.clearance(x, y) and self.is_inside(nx, ny):
            return nx, ny
        return x, y

    def circle(self, x: float, y: float) -> Circle:
        """The circle about a center in the shape's own coordinates, and what it leans on."""
        radius = self.clearance(x, y)
        named: dict[str, Point] = {}
        seen: list[Point] = []
        for i, line in enumerate(self.walls):
            if _distance(x, y, line) > radius + TOUCH:
                continue
            ax, ay, ux, uy, length, bx, by = line
            along = min(max((x - ax) * ux + (y - ay) * uy, 0.0), length)
            name = self.wall_edges[i].name
            spot = (ax + along * ux, ay + along * uy)
            if along <= TOUCH or along >= length - TOUCH:
                spot = (ax, ay) if along <= TOUCH else (bx, by)
                if any(math.dist(spot, other) <= TOUCH for other in seen):
                    continue
                seen.append(spot)
                name = self._corner_name(i, spot)
            named.setdefault(name, self._outside(spot))
        on_open = any(_distance(x, y, line) <= TOUCH for line in self.opens)
        size = radius * self.scale
        return Circle(self._outside((x, y)), size, 2 * size, tuple(named), tuple(named.values()),
                      on_open)  # fmt: skip

    def _corner_name(self, i: int, spot: Point) -> str:
        for point, name in self.shape.corners:
            local = [(float(p) - m) / self.scale for p, m in zip(point, self.middle, strict=True)]
            if math.dist(local, spot) <= TOUCH:
                return name
        names = [
            edge.name
            for line, edge in zip(self.walls, self.wall_edges, strict=True)
            if min(math.dist(line[:2], spot), math.dist(line[5:], spot)) <= TOUCH
        ]
        others = [name for name in names if name != self.wall_edges[i].name]
        return f"corner of {names[0]} and {names[1]}" if others else names[0]

    def _outside(self, spot: Point) -> Point:
        return spot[0] * self.scale + self.middle[0], spot[1] * self.scale + self.middle[1]


def _distance(x, y, line):
    ax, ay, ux, uy, length, bx, by = line
    dx, dy = x - ax, y - ay
    along = dx * ux + dy * uy
    if along <= 0:
        return math.sqrt(dx * dx + dy * dy)
    if along >= length:
        dx, dy = x - bx, y - by
        return math.sqrt(dx * dx + dy * dy)
    return abs(dy * ux - dx * uy)


def _floats(edge: Edge) -> tuple[float, float, float, float]:
    return (float(edge.start[0]), float(edge.start[1]), float(edge.end[0]), float(edge.end[1]))


def _check(shape: Shape, outline: list, others: list) -> None:
    """Refuse an outline in which no circle can be sought."""
    for edge, ends in zip(shape.edges + shape.beyond, outline + others, strict=True):
        if not all(math.isfinite(value) for value in ends):
            raise NoSuchShape(
                f"opening: {edge.name or 'open edge'}",
                f"runs from {edge.start} to {edge.end}",
                "Coordinates are finite numbers",
            )
    if not any(edge.name for edge in shape.edges + shape.beyond):
        raise NoSuchShape(
            "opening", f"has {len(outline)} edges and no wall", "At least one edge with a name"
        )
    size = max(abs(value) for ends in outline for value in ends) if outline else 0.0
    for here, following in zip(outline, outline[1:] + outline[:1], strict=True):
        gap = math.dist(here[2:], following[:2])
        if gap > 1e-9 * size:
            raise NoSuchShape(
                "opening",
                f"the outline is open by {gap:g} after ({here[2]:g}, {here[3]:g})",
                "Every edge starts where the one before it ends",
            )
    if not outline:
        raise NoSuchShape("opening", "has no outline", "A closed loop of edges")
