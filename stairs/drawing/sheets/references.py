"""Marks that link the sheets of a set: at a place the number of its detail, over that of its sheet.

A circle parted by a level line, the upper number the detail's and the lower one the sheet's, with a
leader to the place (building practice in many countries, from memory).  The same stands beside the
detail's own title.  A plan has such marks for the sections, over the sheets of their elevations.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from stairs.drawing.paper.lettering import SMALL
from stairs.drawing.paper.primitives import (
    FINE,
    Area,
    Point,
    Primitive,
    Text,
    line,
    ring,
)
from stairs.drawing.paper.view import along, nearest_on
from stairs.drawing.placing.dimensions import arrowhead
from stairs.drawing.placing.extents import Lines, crossings, rows_of
from stairs.drawing.placing.placement import LEADER, Board, Candidate
from stairs.drawing.sheets.sheet import DrawnView, Sheet
from stairs.progress import at_work

RADIUS = 4.6
"""Of a mark's circle [mm on paper]."""
GROUP = "reference"
_SHORT = 1.8  # a leader ends that far from its place, where others may end too [mm]
_FAR = 70.0  # a mark stands farther from its place only where no paper is blank so near [mm]
_TRIED = 80  # so many of the nearest blank places
_IN_SIGHT = 8.0  # a view with no line so near a place does not show it [mm]
_CROSSING = 6.0  # what a line costs that a leader crosses [mm of leader]


class Reference(Struct, frozen=True):
    """One detail of a set, and a place that it shows."""

    number: int  # of the detail, from 1
    page: int  # on which page of the details it is, from 0
    section: int  # of the place, from 1
    spot: Point  # the place, in the section's elevation [units of the work]


def mark_at(middle: Point, upper: str, lower: str) -> list[Primitive]:
    """A mark without its leader [mm on paper]."""
    x, y = middle
    return [
        ring(middle, RADIUS, GROUP),
        line((x - RADIUS, y), (x + RADIUS, y), GROUP, FINE),
        Text(upper, (x, y + 0.9), SMALL, GROUP, "middle"),
        Text(lower, (x, y - 0.9 - SMALL), SMALL, GROUP, "middle", owner="sheet of a reference"),
    ]


def numbered_references(content: Iterable[Primitive], sheet: int) -> tuple[Primitive, ...]:
    """The marks beside the details of a page with the number of their own sheet."""
    return tuple(
        replace(one, content=str(sheet))
        if isinstance(one, Text) and one.owner == "sheet of a reference"
        else one
        for one in content
    )


def spot_on(sheet: Sheet, shown: Sequence[int], section: int, spot: Point) -> Point | None:
    """Where a sheet of elevations shows a place, or None where it does not."""
    if section not in shown:
        return None
    views: tuple[DrawnView, ...] = sheet.parts or (sheet,)
    if len(shown) > 1:
        views = (views[list(shown).index(section)],)
    for one in views:
        at = one.view.at(spot)
        pieces = [piece for part in one.work if not isinstance(part, Text)
                  for piece in part.segments()]  # fmt: skip
        if (
            min((math.dist(at, nearest_on(piece, at)) for piece in pieces), default=math.inf)
            < _IN_SIGHT
        ):
            return at
    return None


def marked(
    content: Sequence[Primitive], area: Area, wanted: Sequence[tuple[Point, str, str]]
) -> list[Primitive]:
    """Marks on a finished view, each on blank paper near its place; none where there is none."""
    board = Board(area)
    for one in content:
        board.add([one], guarded=one.group in ("dimension", LEADER))
    lines = Lines(piece for one in content if not isinstance(one, Text) for piece in one.segments())
    drawn: list[Primitive] = []
    for target, upper, lower in wanted:
        at_work("marks that lead from sheet to sheet")
        found = _place(board, lines, target, upper, lower)
        board.add(found, guarded=True)
        drawn += found
    return drawn


def _place(board: Board, lines: Lines, target: Point, upper: str, lower: str) -> list[Primitive]:
    """The mark on the blank paper that is liked best."""
    side = 2 * RADIUS + 1.6
    corners = board.blank(side, side, target, _FAR)
    middles = [(x + side / 2, y + side / 2) for x, y in corners.tolist()]
    near = sorted((at for at in middles if math.dist(at, target) > RADIUS + 4),
                  key=lambda at: math.dist(at, target))  # fmt: skip
    step = max(1, len(near) // _TRIED)
    few = [*near[:_TRIED], *near[_TRIED::step]]
    # where all paper near lies beyond a dimension line, a leader may cross that
    for offered, through, short in (
        (few, False, _SHORT), (few, True, _SHORT), (near, True, _SHORT), (near, True, 3 * _SHORT),
    ):  # fmt: skip
        ends = [(along(target, at, short), along(at, target, RADIUS)) for at in offered]
        far = np.array([math.dist(at, target) for at in offered])
        costs = far + _CROSSING * crossings(rows_of(ends), lines)
        for k in np.argsort(costs, kind="stable").tolist():
            start, end = ends[k]
            leader = line(start, end, LEADER, owner=f"detail {upper}")
            mark = mark_at(offered[k], upper, lower)
            texts = tuple(one for one in mark if isinstance(one, Text))
            if board.free(Candidate(texts, (leader,), through=through)):
                turn = math.degrees(math.atan2(start[1] - end[1], start[0] - end[0]))
                return [leader, arrowhead(start, turn, leader.owner, LEADER), *mark]
    return []
