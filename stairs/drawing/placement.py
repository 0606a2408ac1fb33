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
from dataclasses import dataclass, field

import numpy as np

from stairs.drawing.lettering import measure
from stairs.drawing.primitives import Point, Primitive, Stroke, Text

CLEARANCE = 0.7
"""Blank paper kept around lettering [mm]."""
_TOUCH = 1e-6
LEADER = "leader"


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
        for ax, ay, in ((box.cosine, box.sine), (-box.sine, box.cosine)):
            gap = abs(dx * ax + dy * ay)
            for part in (one, other):
                gap -= part.half_width * abs(part.cosine * ax + part.sine * ay)
                gap -= part.half_height * abs(part.cosine * ay - part.sine * ax)
            if gap >= -_TOUCH:
                return False
    return True


def segments_through(box: Box, segments: np.ndarray) -> np.ndarray:
    """Which of the segments (rows x0, y0, x1, y1) pass through the rectangle."""
    if not len(segments):
        return np.zeros(0, dtype=bool)
    x = segments[:, 0::2] - box.center[0]
    y = segments[:, 1::2] - box.center[1]
    u = x * box.cosine + y * box.sine
    v = y * box.cosine - x * box.sine
    near = (
        (u.min(1) < box.half_width) & (u.max(1) > -box.half_width)
        & (v.min(1) < box.half_height) & (v.max(1) > -box.half_height)
    )  # fmt: skip
    if not near.any():
        return near
    # of those, the ones whose own line has corners of the rectangle on both sides
    rows = np.flatnonzero(near)
    du, dv = u[rows, 1] - u[rows, 0], v[rows, 1] - v[rows, 0]
    offset = np.abs(du * v[rows, 0] - dv * u[rows, 0])
    reach = np.abs(du) * box.half_height + np.abs(dv) * box.half_width
    through = np.zeros_like(near)
    through[rows] = (offset < reach - _TOUCH) | ((du == 0) & (dv == 0))
    return through


def _cross(one: tuple[Point, Point], others: np.ndarray) -> np.ndarray:
    """Which of the segments the one segment crosses or touches."""
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


@dataclass(frozen=True, slots=True)
class Candidate:
    """One way to set a label: its lettering, its lines, and what it costs beside other ways."""

    texts: tuple[Text, ...]
    lines: tuple[Stroke, ...] = ()
    cost: float = 0.0


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
    _array: np.ndarray | None = None
    _guarded_array: np.ndarray | None = None

    def add(self, primitives: Iterable[Primitive], guarded: bool = False) -> None:
        """Put finished work on the board.

        Parameters
        ----------
        primitives : iterable of Primitive
            What is drawn.
        guarded : bool
            Whether its lines may not be crossed by a leader, as those of dimensions may not.
        """
        for one in primitives:
            if isinstance(one, Text):
                self._boxes.append(box_of(one))
                continue
            pieces = one.segments()
            self._segments += pieces
            if guarded:
                self._guarded += pieces
        self._array = self._guarded_array = None

    def free(self, candidate: Candidate) -> bool:
        """Whether a label may stand there."""
        if self._array is None:
            self._array, self._guarded_array = _rows(self._segments), _rows(self._guarded)
        left, bottom, right, top = self.area
        boxes = [box_of(text, CLEARANCE) for text in candidate.texts]
        for box in boxes:
            corners = box.corners()
            if any(not (left <= x <= right and bottom <= y <= top) for x, y in corners):
                return False
            if any(boxes_meet(box, other) for other in self._boxes):
                return False
            if segments_through(box, self._array).any():
                return False
        pieces = [piece for line in candidate.lines for piece in line.segments()]
        for piece in pieces:
            row = _rows([piece])
            if any(segments_through(box, row)[0] for box in self._boxes):
                return False
            if len(self._guarded_array):
                on = _carried_on(piece)
                if _cross(on, self._guarded_array).any():
                    return False
        if pieces:
            bare = [box_of(text) for text in candidate.texts]
            rows = _rows(pieces)
            if any(segments_through(box, rows).any() for box in bare):
                return False
        return True

    def place(self, candidates: Sequence[Candidate]) -> Candidate | None:
        """The cheapest free place, put on the board; None where none is free."""
        for candidate in sorted(candidates, key=lambda one: one.cost):
            if self.free(candidate):
                self._put(candidate)
                return candidate
        return None

    def place_all(
        self, labels: Sequence[Sequence[Candidate]], tries: int = 60
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
        """
        ordered = [sorted(places, key=lambda one: one.cost) for places in labels]
        taken: list[Candidate | None] = [None] * len(ordered)
        left = tries

        def settle(index: int) -> bool:
            nonlocal left
            if index == len(ordered):
                return True
            branches = 0
            for candidate in ordered[index]:
                if not self.free(candidate):
                    continue
                state = self._state()
                taken[index] = candidate
                self._put(candidate)
                if settle(index + 1):
                    return True
                self._restore(state)
                branches += 1
                left -= 1
                if branches == 4 or left < 0:
                    break
            taken[index] = None
            return False

        if not settle(0):
            taken = [self.place(places) for places in ordered]
        return taken

    def _put(self, candidate: Candidate) -> None:
        self.add(candidate.texts)
        self.add(candidate.lines, guarded=True)

    def _state(self) -> tuple[int, int, int]:
        return len(self._segments), len(self._guarded), len(self._boxes)

    def _restore(self, state: tuple[int, int, int]) -> None:
        segments, guarded, boxes = state
        del self._segments[segments:], self._guarded[guarded:], self._boxes[boxes:]
        self._array = self._guarded_array = None


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
    start: float = 0.0,
    floor: float | None = None,
    lines: Sequence[str] | None = None,
) -> list[Candidate]:
    """Places for a label that a leader ties to a point.

    The leader runs straight from the target, then level for a little way under no lettering, to the
    middle of the label's first line.

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
    start : float
        How far from the target the leader begins, as on the rim of a circle [mm].
    floor : float, optional
        Height under which the label stands only where nothing above is free [mm on paper].
    lines : sequence of str, optional
        The label in several lines, instead of ``text``.
    """
    rows = tuple(lines or (text,))
    shoulder, gap, pitch = 2.5, 1.0, height * 1.7
    widest = max(measure(row, height).width for row in rows)
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
            tip = (target[0] + start * math.cos(turn), target[1] + start * math.sin(turn))
            end = (knee[0] + side * shoulder, knee[1])
            x = end[0] + side * gap if side > 0 else end[0] - gap - widest
            texts = tuple(
                Text(row, (x, knee[1] - height / 2 - pitch * k), height, group, owner=owner)
                for k, row in enumerate(rows)
            )
            leader = Stroke((tip, knee, end), weight, LEADER, owner=owner)
            cost = distance + away * 0.25
            if floor is not None and texts[-1].at[1] < floor:
                cost += 45.0
            places.append(Candidate(texts, (leader,), cost))
    return places


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
    rows = _rows(pieces)
    for index, (text, box) in enumerate(texts):
        for other, other_box in texts[index + 1 :]:
            if boxes_meet(box, other_box):
                faults.append(Overlap("text on text", text.content, other.content, text.at))
        for struck in np.flatnonzero(segments_through(box, rows)):
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
