"""Flow: headings, paragraphs and tables set one under the other, page after page.

A list does not know how long it will be, so what is set here goes on over as many pages as it
takes: a paragraph is broken between lines, a table between rows, and its head is lettered again at
the top of the next page.  It is lettered as large as it may be where that costs no sheet.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from itertools import product

from msgspec import Struct, field

from stairs.checks.finding import FAIL, MARGINAL, NOT_APPLICABLE, PASS
from stairs.drawing.paper.lettering import (
    PAD,
    PITCH,
    SMALL,
    USUAL,
    cleaned,
    shortened,
    width_of,
    wrapped,
)
from stairs.drawing.paper.primitives import (
    FINE,
    HAIR,
    MEDIUM,
    Area,
    Primitive,
    Text,
    line,
    moved,
    path,
    rectangle,
)

BETWEEN = 4.0
"""Blank paper between two columns of a table [mm]."""
MOST_LINES = 8
"""Of a cell; what goes on is cut short."""
BAND = 9.0
"""Height of an inked band [mm]."""
GUTTER = 12.0
"""Blank paper between two columns of a page [mm]."""
_MARKS = {PASS: "pass", MARGINAL: "NEAR", FAIL: "FAIL", NOT_APPLICABLE: "info"}


Edges = list[tuple[float, float]]
"""Left edge and width of each column of a table [mm]."""


class Column(Struct, frozen=True):
    """One column of a table."""

    head: str  # lettered over it
    right: bool = False  # set to the right, as numbers are
    # it is never made narrower than this [mm], or than its longest cell where that is less
    least: float = 18.0
    verdict: bool = False  # its cells are verdicts and drawn as such
    box: bool = False  # its cells are boxes to be ticked


class Flow(Struct):
    """Content that runs over pages."""

    # left, bottom, right and top of the room on every page [mm on paper]
    area: tuple[float, float, float, float]
    letter: float = SMALL  # height of a capital in paragraphs and tables [mm]
    pages: list[list[Primitive]] = field(default_factory=lambda: [[]])
    y: float = 0.0
    lower: int = 0  # so many pages at the start begin lower down
    lowered: float = 0.0  # by so much [mm]
    too_wide: bool = False  # whether a table had to break words to keep within the room

    def __post_init__(self) -> None:
        self.y = self._top()

    def _top(self) -> float:
        """Where the page that is set now begins [mm on paper]."""
        return self.area[3] - (self.lowered if len(self.pages) <= self.lower else 0.0)

    @property
    def drawn(self) -> list[Primitive]:
        """What stands on the page that is set now."""
        return self.pages[-1]

    @property
    def size(self) -> float:
        """How many times larger than the smallest the lettering is."""
        return self.letter / SMALL

    @property
    def pitch(self) -> float:
        """From base line to base line [mm]."""
        return PITCH * self.size

    @property
    def width(self) -> float:
        """Room from left to right [mm]."""
        return self.area[2] - self.area[0]

    def fresh(self) -> None:
        """Go on at the top of a new page."""
        self.pages.append([])
        self.y = self._top()

    def keep(self, height: float) -> None:
        """Go on at a new page unless so much room is left on this one [mm]."""
        if self.y - height < self.area[1] and self.pages[-1]:
            self.fresh()

    def skip(self, height: float) -> None:
        """Leave paper blank, except at the top of a page [mm]."""
        if self.pages[-1]:
            self.y -= height

    def down(self, distance: float) -> None:
        """Go on lower down, on this page or over its foot."""
        self.y -= distance

    def put(self, primitives: Sequence[Primitive], height: float) -> None:
        """Set something drawn with its top at 0 and its left at 0, so high [mm]."""
        self.keep(height)
        self.drawn.extend(moved(one, self.area[0], self.y) for one in primitives)
        self.y -= height

    def words(self, content: str, x: float = 0.0, height: float | None = None,
              group: str = "note", bold: bool = False) -> None:  # fmt: skip
        """One line of lettering on the current base line."""
        at = (self.area[0] + x, self.y)
        self.drawn.append(Text(content, at, height or self.letter, group, bold=bold))

    def rule(self, weight: float = FINE, group: str = "table") -> None:
        """A level line across the room and what lies beside it up to the next ruled edge."""
        ends = (self.area[0] - PAD, self.y), (self.area[2] + PAD, self.y)
        self.drawn.append(line(*ends, group, weight))

    def heading(self, content: str, room: float = 24.0) -> None:
        """A heading, which is never left alone at the foot of a page."""
        height = self.letter * 2**0.5
        self.skip(4.0 * self.size)
        self.keep(height * 1.7 + room * self.size)
        for row in wrapped(content, height, self.width, 2):
            self.y -= height * 1.3
            self.words(row, height=height, group="heading")
            self.y -= height * 0.35
        self.y -= 0.6

    def paragraph(
        self, content: str, indent: float = 0.0, mark: str = "",
        bold: bool = False, group: str = "note",
    ) -> None:  # fmt: skip
        """A paragraph; ``mark`` is lettered before its first line, within the indent."""
        for index, row in enumerate(wrapped(content, self.letter, self.width - indent, bold=bold)):
            self.keep(self.pitch)
            self.y -= self.pitch
            if index == 0 and mark:
                self.words(mark)
            self.words(row, indent, group=group, bold=bold)

    def small_heading(self, content: str) -> None:
        """A heading no larger than the text under it, a little apart from what stands over it."""
        self.down(self.pitch + 1.6)
        self.words(content)

    def table(self, columns: Sequence[Column], rows: Sequence[Sequence[str]]) -> None:
        """A table as wide as it needs; its head is lettered again on every page."""
        if not rows:
            return
        rows = [tuple(map(cleaned, row)) for row in rows]
        edges, broken = _edges(columns, rows, self.width, self.letter)
        self.too_wide = self.too_wide or broken
        for number, row in enumerate(rows):
            cells = [
                wrapped(cell, self.letter, wide + 0.05, MOST_LINES) or ("",)
                for cell, (_, wide) in zip(row, edges, strict=True)
            ]
            height = max(map(len, cells)) * self.pitch + 0.8 * self.size
            if number == 0:
                self._head(columns, edges, height)
            elif self.y - height < self.area[1]:
                self.fresh()
                self._head(columns, edges, height)
            self._row(columns, row, cells, edges, height)

    def _head(self, columns: Sequence[Column], edges: Edges, first: float) -> None:
        """The head of a table, never without its first row."""
        heads = [
            wrapped(one.head, self.letter, wide + 0.05) or ("",)
            for one, (_, wide) in zip(columns, edges, strict=True)
        ]
        count = max(map(len, heads))
        self.keep(count * self.pitch + 2.0 * self.size + first)
        for column, lines, (x, wide) in zip(columns, heads, edges, strict=True):
            for k, content in enumerate(lines):
                self._cell(content, column.right, x, wide, k + 1 + count - len(lines))
        self.y -= count * self.pitch + 1.3 * self.size
        self._rule(edges, FINE)

    def _row(
        self,
        columns: Sequence[Column],
        row: Sequence[str],
        cells: Sequence[Sequence[str]],
        edges: Edges,
        height: float,
    ) -> None:
        for column, verdict, lines, (x, wide) in zip(columns, row, cells, edges, strict=True):
            if column.verdict:
                base = self.y - self.pitch + 0.3
                self.drawn.extend(verdict_mark(verdict, self.area[0] + x, base, size=self.size))
                continue
            if column.box:
                x0, y0 = self.area[0] + x, self.y - self.pitch + 0.05
                side = 2.9 * self.size
                self.drawn.append(rectangle((x0, y0), (x0 + side, y0 + side), "check-box"))
                continue
            for k, content in enumerate(lines):
                self._cell(content, column.right, x, wide, k + 1)
        self.y -= height
        self._rule(edges, HAIR)

    def _cell(self, content: str, right: bool, x: float, wide: float, line_number: int) -> None:
        if content:
            y = self.y - line_number * self.pitch + 0.3
            at = (self.area[0] + x + (wide if right else 0.0), y)
            anchor = "right" if right else "left"
            self.drawn.append(Text(content, at, self.letter, "table", anchor))

    def _rule(self, edges: Edges, weight: float) -> None:
        end = self.area[0] + edges[-1][0] + edges[-1][1]
        self.drawn.append(line((self.area[0], self.y), (end, self.y), "table", weight))


def strip_of_text(left: float, right: float, top: float) -> Flow:
    """A column of small lettering between ruled edges, as long as it needs on one page."""
    return Flow((left + PAD, -math.inf, right - PAD, top))


def _edges(
    columns: Sequence[Column], rows: Sequence[Sequence[str]], room: float, letter: float
) -> tuple[Edges, bool]:
    """Left edge and width of each column: as wide as its longest cell, the widest give way.

    Where that is not enough, words are broken; the second value tells.
    """
    widths, least = [], []
    size = letter / SMALL
    for k, column in enumerate(columns):
        head = _head_width(column.head, letter)
        wide = max(head, *(width_of(row[k], letter) for row in rows))
        if column.verdict:
            wide = max(13.0 * size, head + 0.2)
        if column.box:
            wide = max(3.0 * size, width_of(column.head, letter))
        widths.append(wide)
        fixed = column.right or column.verdict or column.box
        least.append(wide if fixed else min(wide, max(column.least * size, head)))
    between = BETWEEN * size
    spare = _give_way(widths, least, room - between * (len(columns) - 1) - sum(widths))
    broken = spare < -0.01
    if broken:
        last = [
            wide if column.verdict or column.box else min(wide, 6.0 * size)
            for column, wide in zip(columns, widths, strict=True)
        ]
        spare = _give_way(widths, last, spare)
    for k, column in enumerate(columns):  # no head in three lines where there is room
        more = _head_width(column.head, letter, 2) - widths[k]
        if 0 < more <= spare and not column.box:
            widths[k] += more
            spare -= more
    x, edges = 0.0, []
    for wide in widths:
        edges.append((x, wide))
        x += wide + between
    return edges, broken


def _give_way(widths: list[float], least: list[float], spare: float) -> float:
    """Make the widest columns narrower until nothing is wanting, and hand back what still is."""
    for _ in range(60):
        if spare >= 0:
            break
        wide = max(
            (k for k in range(len(widths)) if widths[k] > least[k] + 0.01),
            key=lambda k: widths[k], default=None,
        )  # fmt: skip
        if wide is None:
            break
        others = [w for k, w in enumerate(widths) if k != wide and w < widths[wide]]
        cut = min(-spare, widths[wide] - least[wide],
                  max(widths[wide] - max(others, default=0.0), 1.0))  # fmt: skip
        widths[wide] -= cut
        spare += cut
    return spare


def _head_width(head: str, letter: float, lines: int = 0) -> float:
    """The width of a head with a line to every word, or in two lines [mm]."""
    words = head.split()
    if not lines:
        return max((width_of(word, letter) for word in words), default=0.0)
    splits = [(" ".join(words[:k]), " ".join(words[k:])) for k in range(1, len(words) + 1)]
    return min(max(width_of(part, letter) for part in split) for split in splits) if words else 0.0


def largest(
    builds: Sequence[Callable[[Flow], None]], area: Area, columns: Sequence[int] = (1,),
    lowered: float = 0.0, letters: Sequence[float] = (USUAL, 3.0, SMALL),
) -> list[list[Primitive]]:  # fmt: skip
    """Pages in as few sheets as may be, and of those the ones lettered largest."""
    left, bottom, right, top = area
    best: list[list[Primitive]] | None = None
    fits = False
    for letter, count, build in product(letters, columns, builds):
        wide = (right - left - GUTTER * (count - 1)) / count
        flow = Flow((left, bottom, left + wide, top), letter, lower=count, lowered=lowered)
        build(flow)
        pages = side_by_side(flow.pages, count, wide + GUTTER)
        if len(pages) == 1 and not flow.too_wide:
            return pages
        rank, so_far = (not flow.too_wide, -len(pages)), (fits, -len(best or ()))
        if best is None or rank > so_far or (rank == so_far and not fits):  # smaller breaks less
            best, fits = pages, not flow.too_wide
    return best or [[]]


def side_by_side(pages: list[list[Primitive]], count: int, step: float) -> list[list[Primitive]]:
    """Pages that were set in one column, put so many columns to a page."""
    return [
        [moved(one, step * k, 0.0) for k, column in enumerate(pages[first : first + count])
         for one in column]
        for first in range(0, len(pages), count)
    ]  # fmt: skip


def verdict_mark(verdict: str, x: float, y: float, size: float = 1.0) -> list[Primitive]:
    """A verdict as it stands in a table, on its base line, so much larger than the smallest."""
    words, letter = _MARKS.get(verdict, verdict), SMALL * size
    low = (x - 0.6, y - 0.7 * size)
    high = (x + width_of(words, letter, verdict == FAIL) + 0.6, y + letter + 0.7 * size)
    if verdict == FAIL:
        return [
            rectangle(low, high, "table", 0.0, fill="ink"),
            Text(words, (x, y), letter, "table", bold=True, blank=True),
        ]
    at = x + (3.4 * size if verdict in (PASS, NOT_APPLICABLE) else 0.0)
    drawn: list[Primitive] = [Text(words, (at, y), letter, "table")] if words else []
    if verdict == PASS:
        bends = ((0.0, 1.1), (0.8, 0.2), (2.1, 2.4))
        tick = tuple((x + dx * size, y + dy * size) for dx, dy in bends)
        drawn.append(path(tick, "table", MEDIUM))
    elif verdict == NOT_APPLICABLE:
        drawn.append(line((x, y + 1.1 * size), (x + 2.1 * size, y + 1.1 * size), "table", MEDIUM))
    elif verdict == MARGINAL:
        drawn.append(rectangle(low, high, "table", FINE))
    return drawn


def band(words: str, left: float, right: float, top: float) -> list[Primitive]:
    """White lettering on an inked band across the room [mm on paper]."""
    height = BAND
    room = right - left - 4.0
    size = USUAL if width_of(words, USUAL, True) <= room else SMALL
    shown = shortened(words, size, room, True)
    return [
        rectangle((left, top - height), (right, top), "failure-band", 0.0, fill="ink"),
        Text(shown, (left + 2.0, top - height + (height - size) / 2), size, "failure-band",
             bold=True, blank=True),
    ]  # fmt: skip
