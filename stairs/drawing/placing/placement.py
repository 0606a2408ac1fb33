"""Placement: where a label may stand so that it is read at once.

A careful draughtsman moves a label until it touches nothing: no other lettering, no line that runs
through it, and leaders that do not cross.  :class:`Board` knows every line and every piece of
lettering on a view and takes, of the places offered for a label, the best that is free.
:func:`stairs.drawing.placing.inspection.overlaps` goes over the finished drawing.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import numpy as np
from msgspec import Struct, field
from msgspec.structs import replace

from stairs.drawing.paper.lettering import SMALL, text_rows
from stairs.drawing.paper.primitives import THICK, Area, Point, Primitive, Segment, Stroke, Text
from stairs.drawing.placing.extents import (
    Box,
    Lines,
    box_of,
    boxes_meet,
    carried_on,
    cross,
    crossed_by,
    crossings,
    points_along,
    rows_of,
    strikes,
)
from stairs.progress import at_work

CLEARANCE = 0.7
"""Blank paper kept around lettering [mm]."""
LEADER = "leader"
APART = 1.7
"""Blank paper kept between a label and other lettering [mm]."""
SHOULDER, LEADER_GAP = 2.5, 1.0
"""Level end of a leader, and blank paper before its lettering [mm]."""
_GRID, _STEP = 1.0, 2  # squares that blank paper is sought by [mm]; every how many is offered
_APART_SPOTS = np.array([6.0, 4.0])  # one place is kept of every rectangle of this size [mm]
_SHORT_LIST = 12  # so many of a label's free places are weighed against those of other labels
_TAKEN_BACK = 40  # so many choices, before labels without a place are left out
_CHUNK, _WEIGHED = 160, 90  # leaders tried at once; leaders whose crossings are counted
_EACH_CROSSING, _HEAVY_CROSSING = 2.5, 8.0
"""What a crossed line of the work costs, and one of a post, rail or cut, in millimetres of
leader."""


def _leader_rows(choices: np.ndarray, target: Point, start: float) -> tuple[np.ndarray, np.ndarray]:
    """The sloping and the level piece of each leader, the level one up to its lettering."""
    _, side, x, y = choices.T
    away = np.hypot(x - target[0], y - target[1])
    tip_x = target[0] + (x - target[0]) * start / away
    tip_y = target[1] + (y - target[1]) * start / away
    far = x + side * (SHOULDER + LEADER_GAP)
    return np.column_stack([tip_x, tip_y, x, y]), np.column_stack([x, y, far, y])


class Candidate(Struct, frozen=True):
    """One way to set a label."""

    texts: tuple[Text, ...]  # its lettering
    lines: tuple[Stroke, ...] = ()  # its leader or other lines
    cost: float = 0.0  # what it costs beside other ways
    apart: float = CLEARANCE  # blank paper that it keeps from other lettering [mm]
    through: bool = False  # whether its leader may cross dimension lines; other leaders it may not


Spot = tuple[float, float, str, float]
"""Where lettering may stand: its place on the base line [mm on paper], its anchor, and what it
costs to stand there."""


def places_at(
    rows: Sequence[str], spots: Iterable[Spot], group: str, *,
    owner: str, apart: float = CLEARANCE, pitch: float = 1.7 * SMALL, headed: bool = False,
) -> tuple[Candidate, ...]:  # fmt: skip
    """Ways to set rows of lettering without a leader, the first row in the heavier face if they are
    headed by it."""
    found = []
    for x, y, anchor, cost in spots:
        texts = text_rows(rows, (x, y), group, pitch, anchor=anchor, owner=owner)
        texts[0] = replace(texts[0], bold=headed)
        found.append(Candidate(tuple(texts), (), cost, apart))
    return tuple(found)


def dearer(places: Iterable[Candidate], by: float) -> list[Candidate]:
    """Ways that are liked less by so much."""
    return [replace(place, cost=place.cost + by) for place in places]


class Board(Struct):
    """A view with everything that is on it already."""

    # left, bottom, right and top of where lettering may stand [mm on paper]
    area: Area
    _segments: list[Segment] = field(default_factory=list)
    _heavy: list[bool] = field(default_factory=list)
    _guarded: list[Segment] = field(default_factory=list)
    _leading: list[Segment] = field(default_factory=list)
    _boxes: list[Box] = field(default_factory=list)
    _arrays: tuple[Lines, np.ndarray, np.ndarray] | None = None
    _sums: np.ndarray | None = None
    _spots: np.ndarray | None = None

    def add(self, primitives: Iterable[Primitive], guarded: bool = False) -> None:
        """Put finished work on the board; guarded lines may not be crossed by a leader."""
        for one in primitives:
            if isinstance(one, Text):
                self._boxes.append(box_of(one))
                continue
            pieces = one.segments()
            self._segments += pieces
            self._heavy += [one.weight >= THICK] * len(pieces)
            if guarded:
                self._guarded += pieces
            if one.group == LEADER:
                self._leading += pieces
        self._arrays = self._sums = self._spots = None

    def copy(self) -> Board:
        """The same view, to try labels on."""
        return Board(
            self.area, self._segments[:], self._heavy[:], self._guarded[:], self._leading[:],
            self._boxes[:], self._arrays, self._sums, self._spots,
        )  # fmt: skip

    def _drawn(self) -> tuple[Lines, np.ndarray, np.ndarray]:
        """All lines, those that no leader crosses, and the leaders among them."""
        if self._arrays is None:
            self._arrays = (
                Lines(self._segments),
                rows_of(self._guarded),
                rows_of(self._leading),
            )
        return self._arrays

    def free(self, candidate: Candidate) -> bool:
        """Whether a label may stand there."""
        return bool(self.all_free([candidate])[0])

    def any_free(self, candidates: Sequence[Candidate]) -> bool:
        """Whether a label may stand at any of several places."""
        return any(map(self.free, candidates))

    def all_free(self, candidates: Sequence[Candidate]) -> list[bool]:
        """Of each of several places whether a label may stand there."""
        # A place is free where the label lies wholly in the area, keeps its distance from other
        # lettering, has no line through it, and its own lines strike no lettering and cross neither
        # a leader nor, unless they may, a dimension line.
        segments, guarded, leading = self._drawn()
        left, bottom, right, top = self.area
        good = [True] * len(candidates)
        asked: list[tuple[int, Box]] = []
        bares = [[box_of(text) for text in candidate.texts] for candidate in candidates]
        for k, (candidate, bare) in enumerate(zip(candidates, bares, strict=True)):
            boxes = [box.grown(CLEARANCE) for box in bare]
            ends = [point for stroke in candidate.lines for point in stroke.points]
            corners = [corner for box in boxes for corner in box.corners()]
            good[k] = all(
                left <= x <= right and bottom <= y <= top for x, y in (*corners, *ends)
            ) and not self._lettered_over([box.grown(candidate.apart) for box in bare])
            if good[k]:
                asked += [(k, box) for box in boxes]
        if asked:
            struck = segments.strike([box for _, box in asked])
            for (k, _), hit in zip(asked, struck.tolist(), strict=True):
                good[k] = good[k] and not hit
        for k, candidate in enumerate(candidates):
            if good[k] and candidate.lines:
                barred = leading if candidate.through else guarded
                good[k] = self._lines_clear(candidate, bares[k], barred)
        return good

    def _lettering(self) -> np.ndarray:
        """The middle of each piece of lettering, and how far it may reach from there: to its
        corners, and level or plumb [mm]."""
        if self._spots is None:
            self._spots = np.array(
                [
                    (
                        *box.center,
                        math.hypot(box.half_width, box.half_height),
                        box.half_width + box.half_height,
                    )
                    for box in self._boxes
                ]
            ).reshape(-1, 4)
        return self._spots

    def _lettered_over(self, boxes: list[Box]) -> bool:
        """Whether other lettering stands where the label would, or too near."""
        x, y, reach, _ = self._lettering().T
        for box in boxes:
            far = math.hypot(box.half_width, box.half_height) + reach
            near = np.flatnonzero(np.hypot(x - box.center[0], y - box.center[1]) <= far)
            if any(boxes_meet(box, self._boxes[k]) for k in near.tolist()):
                return True
        return False

    def _lines_clear(self, candidate: Candidate, bare: list[Box], guarded: np.ndarray) -> bool:
        """Whether a label's own lines strike no lettering and cross no guarded line."""
        pieces = [piece for stroke in candidate.lines for piece in stroke.segments()]
        if any(strikes(box, piece) for box in (*self._near(pieces), *bare) for piece in pieces):
            return False
        return not any(crossed_by(carried_on(piece), guarded).any() for piece in pieces)

    def _near(self, pieces: Sequence[Segment]) -> list[Box]:
        """The lettering around a few pieces of line."""
        (left, bottom), (right, top) = (
            tuple(edge(one[axis] for piece in pieces for one in piece) for axis in (0, 1))
            for edge in (min, max)
        )
        x, y, _, reach = self._lettering().T
        near = (left - reach < x) & (x < right + reach) & (bottom - reach < y) & (y < top + reach)
        return [self._boxes[k] for k in np.flatnonzero(near).tolist()]

    def blank(
        self, width: float, height: float, target: Point | None = None, far: float = math.inf
    ) -> np.ndarray:
        """Lower left corners of blank rectangles of that size, on a grid [mm on paper]."""
        # The view is cut into squares of a millimetre; one that any line or lettering enters is
        # taken. Sums over the squares up to each corner then tell at once how many are taken in any
        # rectangle.
        if self._sums is None:
            counts = self._taken_squares()
            self._sums = counts.cumsum(0, dtype=counts.dtype).cumsum(1, dtype=counts.dtype)
        size = math.ceil(width / _GRID) + 1, math.ceil(height / _GRID) + 1
        columns, rows = (
            np.arange(0, max(count - least, 0), _STEP)
            for count, least in zip(self._sums.shape, size, strict=True)
        )
        if target is None:
            return self._blank_at(columns, rows, size)
        left, bottom, _, _ = self.area
        near_columns = columns[np.abs(columns * _GRID + left + 0.5 - target[0]) < far]
        near_rows = rows[np.abs(rows * _GRID + bottom + 0.5 - target[1]) < far]
        spots = self._blank_at(near_columns, near_rows, size)
        return spots if len(spots) else self._blank_at(columns, rows, size)

    def _blank_at(self, columns: np.ndarray, rows: np.ndarray, size: tuple[int, int]) -> np.ndarray:
        """The corners among these columns and rows of squares, each without a gap."""
        if not len(columns) or not len(rows):
            return np.zeros((0, 2))
        low_x, low_y = (slice(some[0], some[-1] + 1, _STEP) for some in (columns, rows))
        high_x, high_y = (
            slice(some[0] + more, some[-1] + more + 1, _STEP)
            for some, more in zip((columns, rows), size, strict=True)
        )
        sums, (left, bottom, _, _) = self._sums, self.area
        assert sums is not None
        count = sums[high_x, high_y] + sums[low_x, low_y] - sums[low_x, high_y]
        i, j = np.nonzero(count == sums[high_x, low_y])
        return np.column_stack([columns[i], rows[j]]) * _GRID + (left + 0.5, bottom + 0.5)

    def _taken_squares(self) -> np.ndarray:
        """1 for every square that something enters; the first row and column are empty."""
        left, bottom, right, top = self.area
        columns, rows = int((right - left) / _GRID), int((top - bottom) / _GRID)
        taken = np.zeros((columns + 1, rows + 1), dtype=np.int32)
        segments, _, _ = self._drawn()
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

    def leaders_clear(
        self, choices: np.ndarray, target: Point, start: float, through: bool = False
    ) -> np.ndarray:
        """Of many leaders to one target those that cross neither a guarded line nor lettering, the
        cheapest first; a row holds cost, side (1 or -1) and the knee's place."""
        segments, guarded, leading = self._drawn()
        corners = [box.corners() for box in self._boxes]
        across = [pair for a, b, c, d in corners for pair in ((a, c), (b, d))]
        barred = Lines(np.vstack([leading if through else guarded, rows_of(across)]))
        choices = choices[np.argsort(choices[:, 0], kind="stable")]
        # one spot, the best, of every few millimetres: places that differ are worth more
        cells = np.floor(choices[:, 2:] / _APART_SPOTS)
        names = (cells[:, 0] * 10_000 + cells[:, 1]) * 2 + (choices[:, 1] > 0)
        choices = choices[np.sort(np.unique(names, return_index=True)[1])]
        kept, count = [], 0
        for first in range(0, len(choices), _CHUNK):
            some = choices[first : first + _CHUNK]
            slope, level = _leader_rows(some, target, start)
            clear = crossings(np.vstack([slope, level]), barred).reshape(2, -1).sum(0) == 0
            kept.append(some[clear])
            count += int(clear.sum())
            if count >= _WEIGHED:
                break
        found = np.vstack(kept)[:_WEIGHED] if kept else choices
        slope, _ = _leader_rows(found, target, start)
        costs = np.where(self._heavy, _HEAVY_CROSSING, _EACH_CROSSING)
        found[:, 0] += crossings(slope, segments, costs)
        return found[np.argsort(found[:, 0], kind="stable")]

    def place_all(self, labels: Sequence[Sequence[Candidate]]) -> list[Candidate | None]:
        """Places for several labels, the most important first, going back where an earlier choice
        blocks a later one; None for a label that found no place."""
        # Each label keeps a short list of its best places that are free of the work itself, so that
        # going back only weighs labels against each other.
        at_work("where labels may stand")
        longest = _SHORT_LIST if len(labels) > 1 else 1  # alone, a label takes the best
        offered = [self._short_list(places, longest) for places in labels]
        taken: list[Candidate | None] = [None] * len(offered)
        order = [index for index, places in enumerate(offered) if places]
        put: list[_Stand] = []
        stands: dict[int, _Stand] = {}
        left = _TAKEN_BACK

        def stand(candidate: Candidate) -> _Stand:
            if id(candidate) not in stands:
                stands[id(candidate)] = _Stand(candidate)
            return stands[id(candidate)]

        def settle(rank: int) -> bool:
            nonlocal left
            if rank == len(order):
                return True
            index = order[rank]
            branches = 0
            for candidate in offered[index]:
                here = stand(candidate)
                if not all(here.beside(other) for other in put):
                    continue
                put.append(here)
                taken[index] = candidate
                if settle(rank + 1):
                    return True
                put.pop()
                branches += 1
                left -= 1
                if branches == 4 or left < 0:
                    break
            taken[index] = None
            return False

        if settle(0):
            for got in taken:
                if got is not None:
                    self._put(got)
        else:
            for index in order:
                places = sorted(labels[index], key=lambda one: one.cost)
                taken[index] = next(filter(self.free, places), None)
                if (got := taken[index]) is not None:
                    self._put(got)
        return taken

    def _short_list(self, places: Sequence[Candidate], longest: int) -> list[Candidate]:
        """The best places that are free now, the best first."""
        places = sorted(places, key=lambda one: one.cost)
        found: list[Candidate] = []
        at_once = max(longest, 4)
        for first in range(0, len(places), at_once):
            some = places[first : first + at_once]
            found += [one for one, good in zip(some, self.all_free(some), strict=True) if good]
            if len(found) >= longest:
                break
        return found[:longest]

    def _put(self, candidate: Candidate) -> None:
        self.add(candidate.texts)
        self.add(candidate.lines, guarded=True)


class _Stand:
    """A label at one of its places, to be weighed against other labels at theirs."""

    def __init__(self, candidate: Candidate) -> None:
        texts = candidate.texts
        self.bare = [box_of(text) for text in texts]
        self.clear = [box.grown(CLEARANCE) for box in self.bare]
        self.apart = [box.grown(candidate.apart) for box in self.bare]
        self.pieces = [piece for stroke in candidate.lines for piece in stroke.segments()]
        self.carried = [carried_on(piece) for piece in self.pieces]
        self._known: dict[int, bool] = {}

    def beside(self, other: _Stand) -> bool:
        """Whether both may stand, the other having been there first."""
        known = self._known.get(id(other))
        if known is None:
            known = self._known[id(other)] = not (
                any(boxes_meet(box, there) for box in self.apart for there in other.bare)
                or any(strikes(box, piece) for box in self.clear for piece in other.pieces)
                or any(strikes(box, piece) for box in other.bare for piece in self.pieces)
                or any(cross(one, two) for one in self.carried for two in other.pieces)
            )
        return known
