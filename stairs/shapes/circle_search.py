"""Search for the center of the largest circle in an outline.

:mod:`stairs.shapes.circle` says what is asked and what the answer means; here is how it is found.
The outline is cut into ever smaller boxes.  Distance from a wall is a convex function, so it is
greatest in a corner of a box: where the wall nearest to the middle is ``b`` from the corner that is
farthest from it, no center in the box has more than ``b`` clearance, and with the corners ``h``
from the middle only walls within ``b + h`` of that can be touched; a box that cannot hold the best
center is dropped.  As soon as few walls are left in reach, the centers of all circles that touch
three of them are computed in closed form (:mod:`stairs.shapes.equidistant`).  So the answer comes
from the walls and corners themselves, to the accuracy of the arithmetic, and no other center of the
outline can be better.
"""

from __future__ import annotations

import math
from heapq import heappop, heappush
from itertools import combinations, product
from typing import TYPE_CHECKING, Any

from stairs.errors import NoSuchShape
from stairs.numbers.tolerances import ROUNDING, SAME
from stairs.shapes.equidistant import CORNER, TRACK, WALL, Thing, centers

if TYPE_CHECKING:
    from stairs.shapes.circle import Edge, Shape

Line = tuple[float, float, float, float, float, float, float]
"""A segment in parts of a room's scale: start, direction of length 1, length above 0, end."""

Ends = tuple[float, float, float, float]
Key = tuple[str, int]
"""What is touched: ``left``, ``right``, ``start``, ``end`` of a wall, or ``open``; its number."""

Touching = tuple[float, float, float, tuple[Key, ...]]
"""A circle in parts of a room's scale: radius, center, and what it touches."""

_SMALLEST = 1e-13  # part of the size: boxes are not cut further
_FEW, _MANY = 4, 600  # triples that are worth solving at once: usually, and in a tiny box


class Room:
    """A shape in floats about its own middle, its size brought to about 1, ready for the search.

    Parameters
    ----------
    shape : Shape
        Of numbers that turn into floats.
    merge : bool
        Leave out a wall that is a part of another one of the same name.
    """

    def __init__(self, shape: Shape, merge: bool = True) -> None:
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

        def local(ends: Ends) -> Line | None:
            ax, ay, bx, by = ends
            ax, bx = (ax - mx) / self.scale, (bx - mx) / self.scale
            ay, by = (ay - my) / self.scale, (by - my) / self.scale
            length = math.hypot(bx - ax, by - ay)
            # start, direction, length, end
            return None if length == 0 else (
                ax, ay, (bx - ax) / length, (by - ay) / length, length, bx, by
            )  # fmt: skip

        self.walls: list[Line] = []
        self.opens: list[Line] = []
        self.wall_edges: list[Edge] = []
        self.open_edges: list[Edge] = []
        for edge, ends in zip(shape.edges + shape.beyond, outline + others, strict=True):
            line = local(ends)
            if line is None:
                continue
            if edge.name is None:
                self.opens.append(line)
                self.open_edges.append(edge)
            else:
                self.walls.append(line)
                self.wall_edges.append(edge)
        if merge:
            self._merge()
        self.loop = [line for line in map(local, outline) if line is not None]
        self.shape = shape

    def _merge(self) -> None:
        """Leave out every wall that is a part of another one of the same name."""
        kept: list[int] = []
        count = len(self.walls)
        for i in range(count):
            ax, ay, _, _, length, bx, by = self.walls[i]
            name = self.wall_edges[i].name
            covered = any(
                k != i
                and self.wall_edges[k].name == name
                and (self.walls[k][4] > length or (self.walls[k][4] == length and k < i))
                and distance(ax, ay, self.walls[k]) <= ROUNDING
                and distance(bx, by, self.walls[k]) <= ROUNDING
                for k in range(count)
            )
            if not covered:
                kept.append(i)
        self.walls = [self.walls[i] for i in kept]
        self.wall_edges = [self.wall_edges[i] for i in kept]

    def outside(self, x: float, y: float) -> tuple[float, float]:
        """A point of the room in the coordinates of the shape [shape's unit of length].

        Parameters
        ----------
        x, y : float
            From the shape's middle [parts of the scale].

        Returns
        -------
        tuple of (float, float)
            ``x`` and ``y``.
        """
        return x * self.scale + self.middle[0], y * self.scale + self.middle[1]

    def inside(self, x: Any, y: Any) -> tuple[float, float]:
        """A point of the shape in the coordinates of the room [parts of the scale].

        Parameters
        ----------
        x, y : number
            In the shape's own coordinates [shape's unit of length].

        Returns
        -------
        tuple of (float, float)
            ``x`` and ``y`` from the shape's middle.

        Notes
        -----
        ``((x - mx) / scale, (y - my) / scale)`` with the middle ``(mx, my)``.
        """
        return (float(x) - self.middle[0]) / self.scale, (float(y) - self.middle[1]) / self.scale

    # ---- distances -------------------------------------------------------------------------

    def clearance(self, x: float, y: float) -> float:
        """Distance from a point to the nearest wall [parts of the scale].

        Parameters
        ----------
        x, y : float
            The point, from the shape's middle [parts of the scale].

        Returns
        -------
        float
            0 or more; open edges do not count.
        """
        nearest = math.inf
        for line in self.walls:
            away = distance(x, y, line)
            if away < nearest:
                nearest = away
        return nearest

    def is_inside(self, x: float, y: float, margin: float = ROUNDING) -> bool:
        """Whether a point lies in the outline, or within ``margin`` of an open edge.

        Parameters
        ----------
        x, y : float
            The point, from the shape's middle [parts of the scale].
        margin : float
            How far outside an open edge still counts [parts of the scale], 0 or more.
        """
        inside = False
        for ax, ay, _, _, _, bx, by in self.loop:
            if (ay > y) != (by > y) and x < ax + (y - ay) / (by - ay) * (bx - ax):
                inside = not inside
        return inside or is_within(x, y, self.opens, margin)

    # ---- search ----------------------------------------------------------------------------

    def search(self, slack: float) -> list[Touching]:
        """Every touching circle within ``slack`` of the largest, largest first.

        Returns
        -------
        list of tuple
            ``(radius, x, y, things)`` in parts of the scale, with the keys of the three things
            touched; never empty.
        """
        found: list[Touching] = []
        keep = 2 * slack + 1e-11
        best = self._at_open_corners(found)
        solved: set[tuple[Key, ...]] = set()
        everything = list(range(len(self.walls))), list(range(len(self.opens)))
        boxes = [(-math.inf, 0, 0.0, 0.0, *self.half, *everything, False)]
        count = 0
        while boxes:
            bound, _, x, y, half_x, half_y, walls, opens, inside = heappop(boxes)
            if -bound < best - keep:
                break
            reach = math.hypot(half_x, half_y)
            far = [distance(x, y, self.walls[i]) for i in walls]
            clear = min(far)
            if clear + reach < best - keep:
                continue
            nearest = self.walls[walls[far.index(clear)]]
            bound = max(
                distance(x - half_x, y - half_y, nearest),
                distance(x + half_x, y - half_y, nearest),
                distance(x - half_x, y + half_y, nearest),
                distance(x + half_x, y + half_y, nearest),
            )
            if bound < best - keep:
                continue
            if not inside:
                opens = [i for i in opens if distance(x, y, self.opens[i]) <= reach + ROUNDING]
                center_inside = self.is_inside(x, y)
                if clear > reach and not opens:
                    if not center_inside:
                        continue
                    inside = True
            if (inside or center_inside) and clear > best:
                best = clear
                if reach <= _SMALLEST * 4:
                    found.append((clear, x, y, ()))
            limit = bound + reach
            walls = [i for i, away in zip(walls, far, strict=True) if away <= limit]
            if len(walls) + len(opens) < 3 or reach <= _SMALLEST:
                continue
            triples = self._triples(x, y, reach, best, walls, opens)
            if triples is not None:
                for keys, (first, second, third) in triples:
                    if keys in solved:
                        continue
                    solved.add(keys)
                    for cx, cy in centers(first, second, third):
                        if abs(cx) > 1 or abs(cy) > 1 or cx != cx or cy != cy:
                            continue
                        radius = self.clearance(cx, cy)
                        if radius >= best - keep and self.is_inside(cx, cy, ROUNDING + slack):
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
                heappush(boxes, (-bound, count, cx, cy, half_x, half_y, walls, opens, inside))
        found.sort(key=lambda spot: -spot[0])
        if not found:
            line = self.walls[0]
            return [(0.0, line[0], line[1], ())]
        return [spot for spot in found if spot[0] >= found[0][0] - keep]

    def _at_open_corners(self, found: list[Touching]) -> float:
        """Take in the corners where two open edges meet; give the best clearance among them."""
        best = 0.0
        for i, first in enumerate(self.opens):
            for k, second in enumerate(self.opens):
                if i != k and math.hypot(first[5] - second[0], first[6] - second[1]) <= ROUNDING:
                    radius = self.clearance(first[5], first[6])
                    found.append((radius, first[5], first[6], (("open", i), ("open", k))))
                    best = max(best, radius)
        return best

    def _triples(
        self, x: float, y: float, reach: float, best: float, walls: list[int], opens: list[int]
    ) -> list[tuple[tuple[Key, ...], tuple[Thing, ...]]] | None:
        """The threes that a circle centered in a box could lean on; None where too many."""
        most = _MANY if reach <= 1e-3 * best else _FEW
        if math.comb(len(walls), 3) + math.comb(len(walls), 2) * len(opens) > most:
            return None  # every wall has at least one thing to touch
        choices = [self._things(i, x, y, reach) for i in walls]
        singles = pairs = threes = 0  # ways to choose so many things, no two of one wall
        for choice in choices:
            size = len(choice)
            threes += pairs * size
            pairs += singles * size
            singles += size
        if threes + pairs * len(opens) > most:
            return None
        tracks = [[(key, self._thing(key))] for key in (("open", i) for i in opens)]
        chosen = list(combinations(choices, 3))
        chosen += [(*two, track) for two in combinations(choices, 2) for track in tracks]
        return [
            (tuple(thing[0] for thing in three), tuple(thing[1] for thing in three))
            for three_walls in chosen
            for three in product(*three_walls)
        ]

    def _thing(self, key: Key) -> Thing:
        """What a key stands for."""
        kind, i = key
        ax, ay, ux, uy, _, bx, by = self.opens[i] if kind == "open" else self.walls[i]
        if kind in ("start", "end"):
            return (CORNER, ax, ay) if kind == "start" else (CORNER, bx, by)
        nx, ny = (uy, -ux) if kind == "right" else (-uy, ux)
        return (TRACK if kind == "open" else WALL), nx, ny, nx * ax + ny * ay

    def _things(self, i: int, x: float, y: float, reach: float) -> list[tuple[Key, Thing]]:
        """What of a wall a circle centered within ``reach`` of a point could touch."""
        ax, ay, ux, uy, length, _, _ = self.walls[i]
        along = (x - ax) * ux + (y - ay) * uy
        kinds = []
        if along < reach:
            kinds.append("start")
        if along > length - reach:
            kinds.append("end")
        if -reach <= along <= length + reach:
            offset = (y - ay) * ux - (x - ax) * uy
            if offset > -reach:
                kinds.append("left")
            if offset < reach:
                kinds.append("right")
        return [((kind, i), self._thing((kind, i))) for kind in kinds]

    def polished(self, x: float, y: float, things: tuple[Key, ...]) -> tuple[float, float]:
        """A center improved by one step of Newton's method on its distances [parts of the scale].

        Parameters
        ----------
        x, y : float
            The center, from the shape's middle [parts of the scale].
        things : tuple
            Keys of the three things that it is as far from, as :meth:`search` gives them; with any
            other number of them the center is left as it is.

        Returns
        -------
        tuple of (float, float)
            The new center, or the old one where the step adds no clearance or leads outside.

        Notes
        -----
        In coordinates about the center, and of a corner the wall that touches the circle there.
        """
        if len(things) != 3:
            return x, y
        tangents: list[Thing] = []
        for kind, *thing in map(self._thing, things):
            if kind == CORNER:
                nx, ny = x - thing[0], y - thing[1]
                away = math.hypot(nx, ny)
                if away == 0:
                    return x, y
                tangents.append((WALL, nx / away, ny / away, -away))
            else:
                nx, ny, c = thing
                tangents.append((kind, nx, ny, c - nx * x - ny * y))
        first, second, third = tangents
        for dx, dy in centers(first, second, third):
            nx, ny = x + dx, y + dy
            if self.clearance(nx, ny) > self.clearance(x, y) and self.is_inside(nx, ny):
                return nx, ny
        return x, y


def distance(x: float, y: float, line: Line) -> float:
    """Distance from a point to a segment, all in parts of a room's scale.

    Parameters
    ----------
    line : tuple of float
        ``(ax, ay, ux, uy, length, bx, by)``: start, direction of length 1, length above 0, end.

    Returns
    -------
    float
        0 or more; beyond an end that to the end.

    Examples
    --------
    A segment 10 long, a point 3 over it, and one 3 over and 4 beyond its end:

    >>> line = (0.0, 0.0, 1.0, 0.0, 10.0, 10.0, 0.0)
    >>> distance(5.0, 3.0, line), distance(14.0, 3.0, line)
    (3.0, 5.0)
    """
    ax, ay, ux, uy, length, bx, by = line
    dx, dy = x - ax, y - ay
    along = dx * ux + dy * uy
    if along <= 0:
        return math.sqrt(dx * dx + dy * dy)
    if along >= length:
        dx, dy = x - bx, y - by
        return math.sqrt(dx * dx + dy * dy)
    return abs(dy * ux - dx * uy)


def is_within(x: float, y: float, lines: list[Line], reach: float) -> bool:
    """Whether a point is no farther than a reach from any of some segments.

    Parameters
    ----------
    x, y, reach : float
        In parts of a room's scale.
    lines : list of tuple
        As :func:`distance` takes them.

    Examples
    --------
    >>> line = (0.0, 0.0, 1.0, 0.0, 10.0, 10.0, 0.0)
    >>> is_within(14.0, 3.0, [line], 5.0), is_within(14.0, 3.0, [line], 4.9)
    (True, False)
    """
    for ax, ay, ux, uy, length, bx, by in lines:
        dx, dy = x - ax, y - ay
        if not -reach <= dy * ux - dx * uy <= reach:
            continue
        along = dx * ux + dy * uy
        if along > length:
            dx, dy = x - bx, y - by
        elif along >= 0:
            return True
        if dx * dx + dy * dy <= reach * reach:
            return True
    return False


def _floats(edge: Edge) -> Ends:
    return (float(edge.start[0]), float(edge.start[1]), float(edge.end[0]), float(edge.end[1]))


def _check(shape: Shape, outline: list[Ends], others: list[Ends]) -> None:
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
        if gap > SAME * size:
            raise NoSuchShape(
                "opening",
                f"the outline is open by {gap:g} after ({here[2]:g}, {here[3]:g})",
                "Every edge starts where the one before it ends",
            )
    if not outline:
        raise NoSuchShape("opening", "has no outline", "A closed loop of edges")
