"""The picture of what to measure: one page to take along to the stair, with blanks to write on.

Over the blanks stand the views of one kind of job, lettered as the names page letters them.  Every
letter of the views has its blank, and every blank with a letter its arrow.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import groupby

from stairs.drawing.paper.lettering import SMALL, width_of
from stairs.drawing.paper.primitives import HAIR, Area, Point, Primitive, Text, line, moved
from stairs.drawing.paper.sheet_sizes import Scale
from stairs.drawing.sheets.page import Page, numbered, paper_for, room_on
from stairs.drawing.sheets.spoken import finished_sheet
from stairs.drawing.sheets.title_block import Particulars
from stairs.drawing.views.lettered.cell import Cell
from stairs.drawing.views.lettered.further import (
    boards_cell,
    body_cell,
    holes_cell,
    joists_cell,
    outside_cell,
    plate_cell,
    slope_cell,
    two_posts_cell,
)
from stairs.drawing.views.lettered.parts import (
    across_cell,
    deck_cell,
    flight_cell,
    hole_cell,
    landing_cell,
    panel_cell,
    pivot_cell,
    socket_cell,
    step_cell,
    stringer_cell,
)
from stairs.drawing.views.lettered.samples import (
    BESIDE,
    CLOSED,
    LEVEL_RUN,
    STEPS,
    UNEVEN,
    solved,
)
from stairs.job.form import KINDS, Blank, blanks, further_blanks, rules_of_form
from stairs.words.speech import country_of, speaking

GROUP = "blank"
_WIDTH = 253.0  # of the views together [mm]
_TALL, _TALLER = 100.0, 128.0  # the same, of the page of a kind of job and of the other one
_COLUMNS, _GUTTER = 4, 4.0  # of blanks, and between them [mm]
_ROW = 6.5  # from one blank to the next at most, for a pencil [mm]
_ABREAST = 3  # blanks in a row that have no words
_LETTER, _LINE = 7.5, 18.0  # room of a letter and of what is written behind its words [mm]


def measured_pages(units: str, kind: str) -> tuple[Page, Page]:
    """The page of a kind of job, one of :data:`stairs.job.form.KINDS`, on letter or A4, and a page
    of what few jobs ask for.

    They are in the words of the country of the form's rulebook.
    """
    name = KINDS[kind][0].upper() + KINDS[kind][1:]
    with speaking(country_of(rules_of_form(units))):
        return (
            finished_sheet(_page(units, name, list(_views(kind)), blanks(units, kind), 1)),
            finished_sheet(
                _page(units, "Only if you have it", further_views(), further_blanks(), 2)
            ),
        )


def _page(
    units: str,
    name: str,
    views: Sequence[tuple[Point, Cell]],
    asked: dict[str, list[Blank]],
    number: int,
) -> Page:
    sheet = paper_for(units)
    left, bottom, right, top = room_on(sheet)
    tall = _TALL if number == 1 else _TALLER
    drawn = laid_out(views, ((left + right - _WIDTH) / 2, top - tall))
    drawn += _written_on(asked, (left, bottom, right, top - tall))
    letters = ", ".join(one.letter for group in asked.values() for one in group if one.letter)
    page = Page(
        sheet,
        name,
        "",
        tuple(drawn),
        f"A stair guard and its parts, not to scale, with arrows lettered {letters}, and a "
        "blank beside each letter.",
    )
    whose = Particulars("What to measure", (_told(units), "Not to scale; letters as in the form"))
    return numbered(page, whose, number, 2)


def laid_out(views: Sequence[tuple[Point, Cell]], at: Point) -> list[Primitive]:
    """Views, each at its place from one point on paper."""
    drawn: list[Primitive] = []
    for (x, y), cell in views:
        parts = cell.drawn()
        low, foot = cell.stage.area[:2]
        drawn += [moved(one, at[0] + x - low, at[1] + y - foot) for one in parts]
    return drawn


def _told(units: str) -> str:
    return "All in inches, fractions as on the tape" if units == "in" else "All in millimetres"


def _views(kind: str) -> Iterator[tuple[Point, Cell]]:
    """The views, each with the place of its lower left corner within all of them [mm]."""
    flight, plain, beside = (
        solved(UNEVEN if kind == "old" else STEPS),
        solved(STEPS),
        solved(CLOSED, BESIDE),
    )
    yield (-9.0, 3.0), flight_cell(flight, _over(20), singly=kind == "old")
    yield (82.0, 47.0), panel_cell(solved(LEVEL_RUN), _over(30))
    yield (140.0, 55.0), step_cell(plain, _over(12))
    if kind == "landing":
        yield (190.0, 42.0), landing_cell(_over(55))
    else:
        title = "Stair and deck from above" if kind == "deck" else "Where it goes on"
        yield (196.0, 46.0), deck_cell(_over(50), title=title)
    yield (76.0, 3.0), pivot_cell(plain, _over(6))
    yield (117.0, 3.0), socket_cell(beside, _over(20))
    yield (155.0, 3.0), stringer_cell(beside, _over(14))
    yield (194.0, 3.0), across_cell(beside, _over(14))
    yield (224.0, 3.0), hole_cell(plain, _over(6))


def further_views() -> list[tuple[Point, Cell]]:
    """The views of what few jobs ask for, in the same way."""
    return [
        ((0.0, 70.0), joists_cell(_over(16))),
        ((95.0, 64.0), boards_cell(_over(13))),
        ((153.0, 70.0), plate_cell(_over(5))),
        ((205.0, 64.0), holes_cell(_over(3))),
        ((0.0, 6.0), body_cell(_over(3))),
        ((66.0, 6.0), outside_cell(_over(14))),
        ((122.0, 6.0), two_posts_cell(_over(13))),
        ((186.0, 6.0), slope_cell(_over(14))),
    ]


def _over(ratio: int) -> Scale:
    """A scale that no one is to measure by."""
    return Scale(Fraction(1, ratio), f"1:{ratio}", "mm")


def _written_on(asked: dict[str, list[Blank]], room: Area) -> list[Primitive]:
    """The blanks in columns of one length, from the top of their room on."""
    left, bottom, right, top = room
    rows = list(_rows(asked))
    column = (right - left - _GUTTER * (_COLUMNS - 1)) / _COLUMNS
    most = math.ceil(len(rows) / _COLUMNS)
    pitch = min(_ROW, (top - bottom) / most)
    drawn: list[Primitive] = []
    number, used = 0, 0
    for row in rows:
        heading = isinstance(row, str)
        if used >= most or (heading and used == most - 1):
            number, used = number + 1, 0
        x, y = left + number * (column + _GUTTER), top - (used + 1) * pitch
        used += 1
        if isinstance(row, str):
            drawn.append(Text(row, (x, y), SMALL, GROUP, bold=True))
            continue
        for k, one in enumerate(row):
            width = column if one.called else column / _ABREAST
            drawn += _blank(one, (x + k * width, y), width)
    return drawn


def _rows(asked: dict[str, list[Blank]]) -> Iterator[str | Sequence[Blank]]:
    """Headings and blanks, three of those that have no words beside one another."""
    for heading, group in asked.items():
        yield heading.upper()
        for worded, some in groupby(group, key=lambda one: bool(one.called)):
            row, abreast = list(some), 1 if worded else _ABREAST
            yield from (row[k : k + abreast] for k in range(0, len(row), abreast))


def _blank(one: Blank, at: Point, width: float) -> list[Primitive]:
    """A letter, what it is, and the line to write on."""
    x, y = at
    start, end = x + _LETTER, x + width
    drawn: list[Primitive] = []
    if one.letter:
        drawn.append(Text(one.letter, (x, y), SMALL, GROUP, bold=True, owner=f"blank {one.letter}"))
    if one.called:
        drawn.append(Text(one.called, (start, y), SMALL, GROUP))
        start = max(end - _LINE, start + width_of(one.called, SMALL) + 1.5)
    else:
        end -= 2.0
    return [*drawn, line((start, y - 0.8), (end, y - 0.8), GROUP, HAIR)]
