"""Placement: where a label may stand so that it is read at once.

A careful draughtsman moves a label until it touches nothing: no other lettering, no line that runs
through it, and leaders that do not cross.  :class:`Board` knows every line and every piece of
lettering on a view and takes, of the places offered for a label, the best that is free.
:func:`stairs.drawing.inspection.overlaps` goes over the finished drawing.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from stairs.drawing.extents import (
    Box,
    Lines,
    box_of,
    boxes_meet,
    carried_on,
    crossed_by,
    crossings,
    points_along,
    rows_of,
    through,
)
from stairs.drawing.lettering import measure
from stairs.drawing.primitives import Point, Primitive, Stroke, Text

CLEARANCE = 0.7
"""Blank paper kept around lettering [mm]."""
LEADER = "leader"
APART = 1.7
"""Blank paper kept between a label and other lettering [mm]."""
_SHOULDER, _LEADER_GAP = 2.5, 1.0  # level end of a leader, and blank paper before its lettering
_GRID, _STEP = 1.0, 3  # squares that blank paper is sought by [mm]; every how many is offered
_APART_SPOTS = np.array([6.0, 4.0])  # one place is kept of every rectangle of this size [mm]
_CHUNK, _WEIGHED = 160, 90  # leaders tried at once; leaders whose crossings are counted
_EACH_CROSSING = 2.5  # what a crossed line of the work costs, in millimetres of leader


def _leader_rows(choices: np.ndarray, target: Point, start: float) -> tuple[np.ndarray, np.ndarray]:
    """The sloping and the level piece of each leader, the level one up to its lettering."""
    _, side, x, y = choices.T
    away = np.hypot(x - target[0], y - target[1])
    tip_x = target[0] + (x - target[0]) * start / away
    tip_y = target[1] + (y - target[1]) * start / away
    far = x + side * (_SHOULDER + _LEADER_GAP)
    return np.column_stack([tip_x, tip_y, x, y]), np.column_stack([x, y, far, y])


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
    _sums: np.ndarray | None = None

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
        self._arrays = self._sums = None

    def _drawn(self) -> tuple[Lines, np.ndarray]:
        if self._arrays is None:
            self._arrays = (Lines(self._segments), rows_of(self._guarded))
        return self._arrays

    def free(self, candidate: Candidate) -> bool:
        """Whether a label may stand there."""
        segments, guarded = self._drawn()
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
        rows = rows_of(pieces)
        bare = [box_of(text) for text in candidate.texts]
        if any(through(box, rows).any() for box in (*self._near(pieces), *bare)):
            return False
        return not any(crossed_by(carried_on(piece), guarded).any() for piece in pieces)

    def _near(self, pieces) -> list[Box]:
        """The lettering around a few pieces of line."""
        xs = [x for piece in pieces for x, _ in piece]
        ys = [y for piece in pieces for _, y in piece]
        left, right, bottom, top = min(xs), max(xs), min(ys), max(ys)
        found = []
        for box in self._boxes:
            x, y = box.center
            reach = box.half_width + box.half_height
            if left - reach < x < right + reach and bottom - reach < y < top + reach:
                found.append(box)
        return found

    def blank(self, width: float, height: float) -> np.ndarray:
        """Lower left corners of blank rectangles of that size, on a grid [mm on paper].

        Notes
        -----
        The view is cut into squares of a millimetre; one that any line or lettering enters is
        taken.  Sums over the squares up to each corner then tell at once how many are taken in any
        rectangle.
        """
        left, bottom, _, _ = self.area
        if self._sums is None:
            self._sums = self._taken_squares().cumsum(0).cumsum(1)
        sums = self._sums
        a, b = math.ceil(width / _GRID) + 1, math.ceil(height / _GRID) + 1
        if a >= sums.shape[0] or b >= sums.shape[1]:
            return np.zeros((0, 2))
        count = sums[a:, b:] - sums[:-a, b:] - sums[a:, :-b] + sums[:-a, :-b]
        i, j = np.nonzero(count[::_STEP, ::2] == 0)
        return np.column_stack([left + i * _STEP * _GRID + 0.5, bottom + j * 2 * _GRID + 0.5])

    def _taken_squares(self) -> np.ndarray:
        """1 for every square that something enters; the first row and column are empty."""
        left, bottom, right, top = self.area
        columns, rows = int((right - left) / _GRID), int((top - bottom) / _GRID)
        taken = np.zeros((columns + 1, rows + 1), dtype=np.int32)
        segments, _ = self._drawn()
        edges = [
            pair
            for box in self._boxes
            for corners in (box.corners(),)
            for pair in zip(corners, corners[1:] + corners[:1], strict=True)
        ]
        x, y = points_along(np.vstack([segments.rows, rows_of(edges)]), _GRID / 2)
        i = np.floor((x - left) / _GRID).astype(int)
        j = np.floor((y - bottom) / _GRID).astype(int)
        inside = (i >= 0) & (i < columns) & (j >= 0) & (j < rows)
        taken[i[inside] + 1, j[inside] + 1] = 1
        return taken

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
        segments, guarded = self._drawn()
        corners = [box.corners() for box in self._boxes]
        across = [pair for a, b, c, d in corners for pair in ((a, c), (b, d))]
        barred = np.vstack([guarded, rows_of(across)])
        choices = choices[np.argsort(choices[:, 0], kind="stable")]
        # one spot, the best, of every few millimetres: places that differ are worth more
        cells = np.floor(choices[:, 2:] / _APART_SPOTS)
        names = (cells[:, 0] * 10_000 + cells[:, 1]) * 2 + (choices[:, 1] > 0)
        choices = choices[np.sort(np.unique(names, return_index=True)[1])]
        kept, count = [], 0
        for first in range(0, len(choices), _CHUNK):
            some = choices[first : first + _CHUNK]
            slope, level = _leader_rows(some, target, start)
            clear = (crossings(slope, barred) + crossings(level, barred)) == 0
            kept.append(some[clear])
            count += int(clear.sum())
            if count >= _WEIGHED:
                break
        found = np.vstack(kept)[:_WEIGHED] if kept else choices
        slope, _ = _leader_rows(found, target, start)
        found[:, 0] += _EACH_CROSSING * crossings(slope, segments.rows)
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

    def _short_list(self, places: Sequence[Candidate], longest: int = 12) -> list[Candidate]:
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
        self._arrays = self._sums = None


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
    most: int = 40,
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
