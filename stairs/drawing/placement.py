"""Placement: where a label may stand so that it is read at once.

A careful draughtsman moves a label until it touches nothing: no other lettering, no line that runs
through it, and leaders that do not cross.  :class:`Board` knows every line and every piece of
lettering on a view and takes, of the places offered for a label, the best that is free.
:func:`overlaps` is the inspector: it goes over a finished drawing and names everything that is
struck through or written over, by the extents that the font gives.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from stairs.drawing.lettering import measure
from stairs.drawing.primitives import Point, Primitive, Stroke, Text

CLEARANCE = 0.7
"""Blank paper kept around lettering [mm]."""
_TOUCH = 1e-6
LEADER = "leader"
APART = 1.7
"""Blank paper kept between a label and other lettering [mm]."""
_SHOULDER, _LEADER_GAP = 2.5, 1.0
_GRID, _STEP = 1.0, 3
_APART_SPOTS = np.array([6.0, 4.0])
_WEIGHED, _EACH_CROSSING = 160, 2.5


@dataclass(frozen=True, slots=True)
class Box:
    """The rectangle that a line of lettering fills, turned with it."""

    center: Point
    half_width: float
    half_height: float
    cosine: float
    sine: float

    def corners(self) -> tuple[Point, ...]:
        """Its corners, against the clock from the start of the line's underside."""
        x, y = self.center
        found = []
        for along, across in ((-1, -1), (1, -1), (1, 1), (-1, 1)):
            u, v = along * self.half_width, across * self.half_height
            found.append((x + u * self.cosine - v * self.sine, y + u * self.sine + v * self.cosine))
        return tuple(found)


def box_of(text: Text, clearance: float = 0.0) -> Box:
    """The rectangle that the lettering fills on paper [mm], grown by a clearance."""
    extent = measure(text.content, text.height, text.bold)
    start = {"left": 0.0, "middle": -extent.width / 2, "right": -extent.width}[text.anchor]
    turn = math.radians(text.rotation)
    cosine, sine = math.cos(turn), math.sin(turn)
    u, v = start + extent.width / 2, (extent.over - extent.under) / 2
    return Box(
        (text.at[0] + u * cosine - v * sine, text.at[1] + u * sine + v * cosine),
        extent.width / 2 + clearance,
        (extent.over + extent.under) / 2 + clearance,
        cosine,
        sine,
    )


def boxes_meet(one: Box, other: Box) -> bool:
    """Whether two rectangles share more than an edge (axes that separate them are sought)."""
    dx, dy = other.center[0] - one.center[0], other.center[1] - one.center[1]
    reach = math.hypot(one.half_width, one.half_height)
    if math.hypot(dx, dy) > reach + math.hypot(other.half_width, other.half_height):
        return False
    for box in (one, other):
        for (
            ax,
            ay,
        ) in ((box.cosine, box.sine), (-box.sine, box.cosine)):
            gap = abs(dx * ax + dy * ay)
            for part in (one, other):
                gap -= part.half_width * abs(part.cosine * ax + part.sine * ay)
                gap -= part.half_height * abs(part.cosine * ay - part.sine * ax)
            if gap >= -_TOUCH:
                return False
    return True


class Lines:
    """Many segments at once, with the upright rectangles around them.

    Parameters
    ----------
    segments : iterable of pairs of Point
        Their ends [mm on paper].
    """

    def __init__(self, segments: Iterable[tuple[Point, Point]]) -> None:
        self.rows = _rows(segments)
        x0, y0, x1, y1 = self.rows.T
        self._left, self._right = np.minimum(x0, x1), np.maximum(x0, x1)
        self._bottom, self._top = np.minimum(y0, y1), np.maximum(y0, y1)

    def through(self, box: Box) -> np.ndarray:
        """Numbers of the segments that pass through the rectangle."""
        xs, ys = zip(*box.corners(), strict=True)
        near = np.flatnonzero(
            (self._left < max(xs)) & (self._right > min(xs))
            & (self._bottom < max(ys)) & (self._top > min(ys))
        )  # fmt: skip
        if not len(near):
            return near
        return near[_through(box, self.rows[near])]


def _through(box: Box, rows: np.ndarray) -> np.ndarray:
    """Which of a few segments pass through the rectangle: seen from it, they reach into its span
    both ways, and have its corners on both sides."""
    x, y = rows[:, 0::2] - box.center[0], rows[:, 1::2] - box.center[1]
    u, v = x * box.cosine + y * box.sine, y * box.cosine - x * box.sine
    du, dv = u[:, 1] - u[:, 0], v[:, 1] - v[:, 0]
    offset = np.abs(du * v[:, 0] - dv * u[:, 0])
    reach = np.abs(du) * box.half_height + np.abs(dv) * box.half_width
    return (
        (u.min(1) < box.half_width) & (u.max(1) > -box.half_width)
        & (v.min(1) < box.half_height) & (v.max(1) > -box.half_height)
        & (offset < reach - _TOUCH)
    )  # fmt: skip


def _cross(one: tuple[Point, Point], others: np.ndarray) -> np.ndarray:
    """Which of the segments the one segment crosses."""
    (ax, ay), (bx, by) = one
    cx, cy, dx, dy = others.T
    side = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
    side_too = (bx - ax) * (dy - ay) - (by - ay) * (dx - ax)
    back = (dx - cx) * (ay - cy) - (dy - cy) * (ax - cx)
    back_too = (dx - cx) * (by - cy) - (dy - cy) * (bx - cx)
    return (side * side_too < 0) & (back * back_too < 0)


def _carried_on(piece: tuple[Point, Point]) -> tuple[Point, Point]:
    """A leader's piece as far as the lettering that it leads to."""
    (x0, y0), (x1, y1) = piece
    length = math.hypot(x1 - x0, y1 - y0) or 1.0
    far = 1.6 / length
    return piece[0], (x1 + (x1 - x0) * far, y1 + (y1 - y0) * far)


def _rows(segments: Iterable[tuple[Point, Point]]) -> np.ndarray:
    rows = [(*start, *end) for start, end in segments]
    return np.array(rows, dtype=float).reshape(-1, 4)


def _crossings(rows: np.ndarray, others: np.ndarray) -> np.ndarray:
    """How many of the others each of the rows crosses."""
    ax, ay, bx, by = (part[:, None] for part in rows.T)
    cx, cy, dx, dy = (part[None, :] for part in others.T)
    side = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
    side_too = (bx - ax) * (dy - ay) - (by - ay) * (dx - ax)
    back = (dx - cx) * (ay - cy) - (dy - cy) * (ax - cx)
    back_too = (dx - cx) * (by - cy) - (dy - cy) * (bx - cx)
    return ((side * side_too < 0) & (back * back_too < 0)).sum(1)


def _leader_rows(choices: np.ndarray, target: Point, start: float) -> tuple[np.ndarray, np.ndarray]:
    """The sloping and the level piece of each leader, the level one up to its lettering."""
    _, side, x, y = choices.T
    away = np.hypot(x - target[0], y - target[1])
    tip_x = target[0] + (x - target[0]) * start / away
    tip_y = target[1] + (y - target[1]) * start / away
    far = x + side * (_SHOULDER + _LEADER_GAP)
    return np.column_stack([tip_x, tip_y, x, y]), np.column_stack([x, y, far, y])


def _points_along(segments: np.ndarray, pitch: float) -> tuple[np.ndarray, np.ndarray]:
    """Points on the segments, no farther apart than the pitch."""
    run = segments[:, 2:] - segments[:, :2]
    counts = np.ceil(np.hypot(run[:, 0], run[:, 1]) / pitch).astype(int) + 1
    which = np.repeat(np.arange(len(segments)), counts)
    first = np.repeat(np.cumsum(counts) - counts, counts)
    share = (np.arange(len(which)) - first) / np.maximum(counts[which] - 1, 1)
    points = segments[which, :2] + run[which] * share[:, None]
    return points[:, 0], points[:, 1]


@dataclass(frozen=True, slots=True)
class Candidate:
    """One way to set a label.

    Parameters
    ----------
    texts : tuple of Text
        Its lettering.
    lines : tuple of Stroke
        Its leader or other lines.
    cost : float
        What it costs beside other ways.
    apart : float
        Blank paper that it keeps from other lettering [mm].
    """

    texts: tuple[Text, ...]
    lines: tuple[Stroke, ...] = ()
    cost: float = 0.0
    apart: float = CLEARANCE


@dataclass
class Board:
    """A view with everything that is on it already.

    Parameters
    ----------
    area : tuple of float
        Left, bottom, right and top of where lettering may stand [mm on paper].
    """

    area: tuple[float, float, float, float]
    _segments: list[tuple[Point, Point]] = field(default_factory=list)
    _guarded: list[tuple[Point, Point]] = field(default_factory=list)
    _boxes: list[Box] = field(default_factory=list)
    _arrays: tuple[Lines, np.ndarray] | None = None

    def add(self, primitives: Iterable[Primitive], guarded: bool = False) -> None:
        """Put finished work on the board.

        Parameters
        ----------
        primitives : iterable of Primitive
            What is drawn.
        guarded : bool
            Whether its lines may not be crossed by a leader, as dimension lines may not.
        """
        for one in primitives:
            if isinstance(one, Text):
                self._boxes.append(box_of(one))
                continue
            pieces = one.segments()
            self._segments += pieces
            if guarded:
                self._guarded += pieces
        self._arrays = None

    def _rows(self) -> tuple[Lines, np.ndarray]:
        if self._arrays is None:
            self._arrays = (Lines(self._segments), _rows(self._guarded))
        return self._arrays

    def free(self, candidate: Candidate) -> bool:
        """Whether a label may stand there."""
        segments, guarded = self._rows()
        left, bottom, right, top = self.area
        boxes = [box_of(text, CLEARANCE) for text in candidate.texts]
        for box in boxes:
            if any(not (left <= x <= right and bottom <= y <= top) for x, y in box.corners()):
                return False
            if len(segments.through(box)):
                return False
        for text in candidate.texts:
            box = box_of(text, candidate.apart)
            if any(boxes_meet(box, other) for other in self._boxes):
                return False
        pieces = [piece for stroke in candidate.lines for piece in stroke.segments()]
        if not pieces:
            return True
        for start, end in pieces:
            if not all(left <= x <= right and bottom <= y <= top for x, y in (start, end)):
                return False
        rows = _rows(pieces)
        bare = [box_of(text) for text in candidate.texts]
        if any(_through(box, rows).any() for box in (*self._boxes, *bare)):
            return False
        return not any(_cross(_carried_on(piece), guarded).any() for piece in pieces)

    def blank(self, width: float, height: float) -> np.ndarray:
        """Lower left corners of blank rectangles of that size, on a grid [mm on paper].

        Notes
        -----
        The view is cut into squares of a millimetre; one that any line or lettering enters is
        taken.  Sums over the squares up to each corner then tell at once how many are taken in any
        rectangle.
        """
        left, bottom, right, top = self.area
        columns, rows = int((right - left) / _GRID), int((top - bottom) / _GRID)
        taken = np.zeros((columns + 1, rows + 1), dtype=np.int32)
        segments, _ = self._rows()
        edges = [
            pair
            for box in self._boxes
            for corners in (box.corners(),)
            for pair in zip(corners, corners[1:] + corners[:1], strict=True)
        ]
        pieces = np.vstack([segments.rows, _rows(edges)])
        x, y = _points_along(pieces, _GRID / 2)
        i = np.floor((x - left) / _GRID).astype(int)
        j = np.floor((y - bottom) / _GRID).astype(int)
        inside = (i >= 0) & (i < columns) & (j >= 0) & (j < rows)
        taken[i[inside] + 1, j[inside] + 1] = 1
        sums = taken.cumsum(0).cumsum(1)
        a, b = math.ceil(width / _GRID) + 1, math.ceil(height / _GRID) + 1
        if a > columns or b > rows:
            return np.zeros((0, 2))
        count = sums[a:, b:] - sums[:-a, b:] - sums[a:, :-b] + sums[:-a, :-b]
        i, j = np.nonzero(count[::_STEP, ::2] == 0)
        return np.column_stack([left + i * _STEP * _GRID + 0.5, bottom + j * 2 * _GRID + 0.5])

    def leaders_clear(self, choices: np.ndarray, target: Point, start: float) -> np.ndarray:
        """Of many leaders to one target those that cross neither a guarded line nor lettering.

        Parameters
        ----------
        choices : ndarray
            One leader a row: cost, side (1 or -1), and where its knee is.
        target : Point
            Where they point [mm on paper].
        start : float
            How far from the target they begin [mm].

        Returns
        -------
        ndarray
            The rows that remain, each line of the work that is crossed added to the cost, the
            cheapest first.
        """
        segments, guarded = self._rows()
        corners = [box.corners() for box in self._boxes]
        across = [pair for a, b, c, d in corners for pair in ((a, c), (b, d))]
        barred = np.vstack([guarded, _rows(across)])
        choices = choices[np.argsort(choices[:, 0], kind="stable")]
        # one spot, the best, of every few millimetres: places that differ are worth more
        cells = np.floor(choices[:, 2:] / _APART_SPOTS)
        names = (cells[:, 0] * 10_000 + cells[:, 1]) * 2 + (choices[:, 1] > 0)
        choices = choices[np.sort(np.unique(names, return_index=True)[1])]
        kept, count = [], 0
        for first in range(0, len(choices), _WEIGHED):
            some = choices[first : first + _WEIGHED]
            slope, level = _leader_rows(some, target, start)
            clear = (_crossings(slope, barred) + _crossings(level, barred)) == 0
            kept.append(some[clear])
            count += int(clear.sum())
            if count >= _WEIGHED:
                break
        found = np.vstack(kept)[:_WEIGHED] if kept else choices
        slope, _ = _leader_rows(found, target, start)
        found[:, 0] += _EACH_CROSSING * _crossings(slope, segments.rows)
        return found[np.argsort(found[:, 0], kind="stable")]

    def place_all(
        self, labels: Sequence[Sequence[Candidate]], tries: int = 40
    ) -> list[Candidate | None]:
        """Places for several labels, going back where an earlier choice blocks a later one.

        Parameters
        ----------
        labels : sequence of sequences of Candidate
            The places offered for each label, most important label first.
        tries : int
            How many choices may be taken back before labels without a place are left out.

        Returns
        -------
        list of Candidate or None
            In the order of the labels; None for a label that found no place.

        Notes
        -----
        Each label keeps a short list of its best places that are free of the work itself, so that
        going back only weighs labels against each other.
        """
        offered = [self._short_list(places) for places in labels]
        taken: list[Candidate | None] = [None] * len(offered)
        order = [index for index, places in enumerate(offered) if places]
        left = tries

        def settle(rank: int) -> bool:
            nonlocal left
            if rank == len(order):
                return True
            index = order[rank]
            branches = 0
            for candidate in offered[index]:
                if not self.free(candidate):
                    continue
                state = self._state()
                taken[index] = candidate
                self._put(candidate)
                if settle(rank + 1):
                    return True
                self._restore(state)
                branches += 1
                left -= 1
                if branches == 4 or left < 0:
                    break
            taken[index] = None
            return False

        if not settle(0):
            for index in order:
                places = sorted(labels[index], key=lambda one: one.cost)
                taken[index] = next(filter(self.free, places), None)
                if taken[index] is not None:
                    self._put(taken[index])
        return taken

    def _short_list(self, places: Sequence[Candidate], longest: int = 24) -> list[Candidate]:
        """The best places that are free now, the best first."""
        found = []
        for candidate in sorted(places, key=lambda one: one.cost):
            if self.free(candidate):
                found.append(candidate)
                if len(found) == longest:
                    break
        return found

    def _put(self, candidate: Candidate) -> None:
        self.add(candidate.texts)
        self.add(candidate.lines, guarded=True)

    def _state(self) -> tuple[int, int, int]:
        return len(self._segments), len(self._guarded), len(self._boxes)

    def _restore(self, state: tuple[int, int, int]) -> None:
        segments, guarded, boxes = state
        del self._segments[segments:], self._guarded[guarded:], self._boxes[boxes:]
        self._arrays = None


def _with_leader(
    rows: Sequence[str], target: Point, knee: Point, side: int, style: tuple, start: float
) -> Candidate:
    """A label whose leader runs from the target to the knee and then level to the lettering."""
    height, group, owner, weight = style
    away = math.hypot(knee[0] - target[0], knee[1] - target[1]) or 1.0
    tip = (
        target[0] + (knee[0] - target[0]) * start / away,
        target[1] + (knee[1] - target[1]) * start / away,
    )
    end = (knee[0] + side * _SHOULDER, knee[1])
    texts = []
    for k, row in enumerate(rows):
        at = (end[0] + side * _LEADER_GAP, knee[1] - height / 2 - height * 1.7 * k)
        texts.append(Text(row, at, height, group, "left" if side > 0 else "right", owner=owner))
    leader = Stroke((tip, knee, end), weight, LEADER, owner=owner)
    return Candidate(tuple(texts), (leader,), apart=APART)


def leader_places(
    text: str,
    target: Point,
    height: float,
    group: str,
    owner: str,
    weight: float,
    *,
    angles: Sequence[float],
    distances: Sequence[float],
    prefer: float | None = None,
) -> list[Candidate]:
    """Places for a label that a leader ties to a point, at given angles and distances.

    Parameters
    ----------
    text : str
        The label.
    target : Point
        Where the leader points [mm on paper].
    height : float
        Of a capital [mm].
    group, owner, weight
        As for :class:`stairs.drawing.primitives.Stroke`.
    angles : sequence of float
        Directions offered [degrees].
    distances : sequence of float
        Lengths of the sloping part offered [mm].
    prefer : float, optional
        The direction that is liked best.
    """
    style = (height, group, owner, weight)
    places = []
    for angle in angles:
        turn = math.radians(angle)
        away = 0.0 if prefer is None else abs((angle - prefer + 180) % 360 - 180)
        side = 1 if math.cos(turn) >= 0 else -1
        for distance in distances:
            knee = (
                target[0] + distance * math.cos(turn),
                target[1] + distance * math.sin(turn),
            )
            place = _with_leader((text,), target, knee, side, style, 0.0)
            places.append(replace(place, cost=distance + away * 0.25))
    return places


def spread_places(
    board: Board,
    rows: Sequence[str],
    target: Point,
    height: float,
    group: str,
    owner: str,
    weight: float,
    *,
    prefer: float,
    start: float = 0.0,
    floor: float | None = None,
    bold: bool = False,
    most: int = 60,
) -> list[Candidate]:
    """Places for a label with a leader, wherever the view has blank paper for it.

    Parameters
    ----------
    board : Board
        For its blank paper.
    rows : sequence of str
        The label, line by line.
    target : Point
        Where the leader points [mm on paper].
    height : float
        Of a capital [mm].
    group, owner, weight
        As for :class:`stairs.drawing.primitives.Stroke`.
    prefer : float
        The direction that is liked best [degrees].
    start : float
        How far from the target the leader begins, as on the rim of a circle [mm].
    floor : float, optional
        Height under which the label stands only where nothing above is free [mm on paper].
    bold : bool
        Lettered in the heavier face.
    most : int
        How many places are offered.
    """
    extents = [measure(row, height, bold) for row in rows]
    wide = max(extent.width for extent in extents)
    over, under = extents[0].over, extents[-1].under + height * 1.7 * (len(rows) - 1)
    style = (height, group, owner, weight)
    spots = board.blank(wide + 2 * CLEARANCE, over + under + 2 * CLEARANCE)
    if not len(spots):
        return []
    left, base = spots[:, 0] + CLEARANCE, spots[:, 1] + CLEARANCE + under
    middle = base + height / 2
    reach = _SHOULDER + _LEADER_GAP
    parts = []
    for side in (1, -1):
        knee_x = left - reach if side > 0 else left + wide + reach
        dx, dy = knee_x - target[0], middle - target[1]
        away = np.hypot(dx, dy)
        turn = np.degrees(np.arctan2(dy, dx))
        cost = away - start + 0.12 * np.abs((turn - prefer + 180) % 360 - 180)
        cost = cost + np.where(np.abs(dy) < 0.25 * np.abs(dx), 12.0, 0.0)
        cost = cost + np.where(np.abs(dx) < 0.25 * np.abs(dy), 6.0, 0.0)
        if floor is not None:
            cost = cost + np.where(base < floor, 45.0, 0.0)
        fits = (side * dx > -1.0) & (away > start + 3.0)
        parts.append(np.column_stack([cost, np.full(len(cost), side), knee_x, middle])[fits])
    choices = board.leaders_clear(np.vstack(parts), target, start)
    return [
        replace(
            _with_leader(rows, target, (float(x), float(y)), int(side), style, start), cost=cost
        )
        for cost, side, x, y in choices[:most].tolist()
    ]


@dataclass(frozen=True, slots=True)
class Overlap:
    """A fault of a finished drawing: ``kind`` is ``"text on text"``, ``"line through text"``,
    ``"leaders cross"`` or ``"outside"``; ``first`` and ``second`` say what met."""

    kind: str
    first: str
    second: str
    at: Point


def overlaps(
    primitives: Iterable[Primitive],
    area: tuple[float, float, float, float] | None = None,
) -> list[Overlap]:
    """Every piece of lettering that is written over or struck through, and leaders that cross.

    Parameters
    ----------
    primitives : iterable of Primitive
        The whole drawing [mm on paper].
    area : tuple of float, optional
        Left, bottom, right and top; whatever reaches out of it is named too.

    Returns
    -------
    list of Overlap
        Empty for a drawing without a fault.
    """
    texts, pieces, names, leaders = [], [], [], []
    faults = []
    for one in primitives:
        if isinstance(one, Text):
            if one.content.strip():
                texts.append((one, box_of(one)))
            continue
        segments = one.segments()
        if one.weight > 0:
            pieces += segments
            names += [f"{one.group} {one.owner}".strip()] * len(segments)
        if one.group == LEADER and isinstance(one, Stroke) and not one.closed:
            leaders.append((one, segments))
        if area is not None:
            outline = one.points if isinstance(one, Stroke) else one.points(72)
            half = one.weight / 2
            faults += [
                Overlap("outside", one.group, "sheet", point)
                for point in outline
                if not _within(point, area, half)
            ]
    lines = Lines(pieces)
    for index, (text, box) in enumerate(texts):
        for other, other_box in texts[index + 1 :]:
            if boxes_meet(box, other_box):
                faults.append(Overlap("text on text", text.content, other.content, text.at))
        for struck in lines.through(box):
            faults.append(Overlap("line through text", text.content, names[struck], text.at))
        if area is not None and not all(_within(corner, area, 0) for corner in box.corners()):
            faults.append(Overlap("outside", text.content, "sheet", text.at))
    for index, (one, segments) in enumerate(leaders):
        others = [piece for _, more in leaders[index + 1 :] for piece in more]
        if others and any(_cross(piece, _rows(others)).any() for piece in segments):
            faults.append(Overlap("leaders cross", one.owner, "leader", one.points[0]))
    return faults


def _within(point: Point, area: tuple[float, float, float, float], half: float) -> bool:
    left, bottom, right, top = area
    x, y = point
    return (
        left - _TOUCH <= x - half and x + half <= right + _TOUCH
        and bottom - _TOUCH <= y - half and y + half <= top + _TOUCH
    )  # fmt: skip
