"""A stage: one small view that is drawn, dimensioned and labelled like the large ones.

Work is put on it first, then dimensions, then labels; the lettering goes wherever it touches
nothing (``placement``), and what finds no place is named, for a line under the
view.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from msgspec import Struct, field
from msgspec.structs import replace

from stairs.drawing.paper.lettering import cleaned
from stairs.drawing.paper.primitives import (
    Point,
    Primitive,
    path,
)
from stairs.drawing.paper.view import View
from stairs.drawing.placing.dimensions import RUNNING, Dimension, arrowhead, lines_of, places_of
from stairs.drawing.placing.extents import box_of
from stairs.drawing.placing.leaders import spread_places
from stairs.drawing.placing.placement import Board, Candidate

SetOut = tuple[float, float, float]
"""Side of a section's setting-out lines, and how far off bays and running figures lie [mm]."""


class Label(Struct, frozen=True):
    """Something to be lettered."""

    rows: tuple[str, ...]  # line by line
    target: Point  # what it points at [mm on paper]
    prefer: float = -45.0  # the direction that is liked best [degrees]
    start: float = 0.0  # how far from the target its leader begins [mm]
    flag: bool = False  # whether its first line is framed, as failures are
    places: tuple[Candidate, ...] = ()  # places offered first, before any with a leader
    owner: str = ""  # what its lettering belongs to; its first line where it is left out


class Stage(Struct):
    """One view and what is on it."""

    # left, bottom, right and top of where lettering may stand [mm on paper]
    area: tuple[float, float, float, float]
    view: View  # scale and place
    # work, dimensions, labels: what is put on it
    work: list[Primitive] = field(default_factory=list)
    dimensions: list[Dimension] = field(default_factory=list)
    labels: list[Label] = field(default_factory=list)
    # dimension_lines, lettering: what :meth:`letter` made of the last two
    dimension_lines: list[Primitive] = field(default_factory=list)
    lettering: list[Primitive] = field(default_factory=list)
    unplaced: list[str] = field(default_factory=list)  # lettering for which there was no free place
    chains: list[Primitive] = field(default_factory=list)  # dimension lines that are drawn already
    # by section the side of its setting-out lines, and how far off the bays and the running figures
    # lie [mm on paper]
    set_out: dict[int, SetOut] = field(default_factory=dict)

    def add(self, primitives: Sequence[Primitive]) -> None:
        """Put work on the stage, on top of what is there."""
        self.work += primitives

    def letter(self) -> list[Primitive]:
        """Draw dimensions and labels, and hand back everything."""
        board = Board(self.area)
        board.add(self.work)
        board.add(self.chains)
        drawn: list[Primitive] = list(self.chains)
        drawn += dimension_lines(board, self.dimensions, self.view)
        offers = [places_of(one, self.view) for one in self.dimensions]
        names = [f"{one.name} {one.text}" for one in self.dimensions]
        drawn += self._placed(board, names, offers)
        self.dimension_lines = drawn
        self.lettering = []
        for asked in self.labels:  # one after the other, each where paper is still blank
            label = replace(asked, rows=tuple(map(cleaned, asked.rows)))
            self.lettering += self._placed(
                board, [", ".join(label.rows)], [self._offer(board, label)]
            )
        return [*self.work, *self.dimension_lines, *self.lettering]

    def _placed(
        self, board: Board, names: Sequence[str], offers: Sequence[Sequence[Candidate]]
    ) -> list[Primitive]:
        drawn: list[Primitive] = []
        for name, got in zip(names, board.place_all(offers), strict=True):
            if got is None:
                self.unplaced.append(name)
            else:
                drawn += parts_of(got)
        return drawn

    def _offer(self, board: Board, label: Label) -> list[Candidate]:
        if any(board.free(place) for place in label.places):
            return list(label.places)
        group = "failure" if label.flag else "label"
        spread = spread_places(
            board, label.rows, label.target, group, label.owner or label.rows[0],
            prefer=label.prefer, start=label.start, bold=label.flag,
        )  # fmt: skip
        return [flagged(place) for place in spread] if label.flag else spread


def dimension_lines(board: Board, dimensions: Iterable[Dimension], view: View) -> list[Primitive]:
    """The lines of dimensions, put on a board; no leader may cross what carries their figures."""
    drawn: list[Primitive] = []
    for dimension in dimensions:
        lines = lines_of(dimension, view)
        main = 2 if dimension.kind == RUNNING else 1
        board.add(lines[:main], guarded=True)
        board.add(lines[main:])
        drawn += lines
    return drawn


def flagged(place: Candidate, under: float = 1.2) -> Candidate:
    """A place for lettering with its first line framed, as failures are, and the lines under it
    set lower by so much [mm]."""
    first = replace(place.texts[0], bold=True)
    frame = path(box_of(first, 1.0).corners(), "failure", closed=True, owner=first.owner)
    rest = (replace(one, at=(one.at[0], one.at[1] - under)) for one in place.texts[1:])
    return replace(
        place, texts=(first, *rest), lines=(*place.lines, frame), apart=place.apart + 1.0
    )


def parts_of(candidate: Candidate) -> list[Primitive]:
    """Lines and lettering of a label; a leader ends in an arrowhead at what it points at."""
    parts: list[Primitive] = [*candidate.lines, *candidate.texts]
    for stroke in candidate.lines:
        if stroke.group == "leader":
            tip, follows = stroke.points[0], stroke.points[1]
            turn = math.degrees(math.atan2(tip[1] - follows[1], tip[0] - follows[0]))
            parts.append(arrowhead(tip, turn, stroke.owner, "leader"))
    return parts
