"""The title block: a strip along the foot of every sheet, and the bar of a scale.

The strip has the fields of ISO 7200 that a permit sheet needs (from memory): title and address,
what the sheet shows, at which scale and by which code, date, who drew it, revision, and which sheet
of how many it is, at the lower right.  The bar is for copies that shrink; its look is ours.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from msgspec import Struct

from stairs.drawing.paper.lettering import (
    PAD,
    SMALL,
    USUAL,
    cleaned,
    measure,
    shortened,
    width_of,
    wrapped,
)
from stairs.drawing.paper.primitives import THICK, Primitive, Text, line, rectangle
from stairs.drawing.paper.sheet_sizes import BORDER, Paper, Scale

STRIP = 18.0
"""Height of the strip [mm]."""
_BETWEEN = 3.0  # least paper between two numbers of a bar, so that they are not read as one [mm]
_TOLD = 2  # lines that are told under a name
_FIRST = {USUAL: 13.4, SMALL: 14.2}
"""Base line of the strip's first line over its foot, by its height [mm]."""
_NEXT = {USUAL: 4.5, SMALL: 4.3}
"""From there to the base line of the next one, so that accents have room [mm]."""
_CELLS = (40.0, 27.0)  # of the four small cells, two by two [mm]
_NARROW_CELLS = (34.0, 26.0)
_WIDE = 230.0  # a strip longer than this has the wider cells [mm]


_LONG, _STAMP = 380.0, 60.0  # a strip longer than this has a place for a stamp, so wide [mm]


class Particulars(Struct, frozen=True):
    """What every sheet of one set letters in its strip."""

    title: str  # of the job
    address: tuple[str, ...] = ()  # its lines
    date: str = ""
    drawn_by: str = ""
    revision: str = ""
    own: tuple[str, ...] = ()  # what the user put over the rulebook, each value with its reason
    code: str = ""  # title and edition of the rulebook
    stamp: bool = False  # whether the sheets go to an office that stamps them


class TitleBlock(Struct, frozen=True):
    """What one sheet says in its strip: whose it is, what it shows, and its number."""

    whose: Particulars
    name: str
    scale: str = ""  # in words
    number: int = 1
    count: int = 1

    @property
    def title(self) -> str:
        """Of a file that holds this sheet alone."""
        return f"{self.whose.title}: {self.name}"


def title_strip(paper: Paper, block: TitleBlock) -> list[Primitive]:
    """Border and title strip of a sheet."""
    whose = block.whose
    width, height = float(paper.width), float(paper.height)
    left, right, foot = BORDER, width - BORDER, BORDER
    top = foot + STRIP
    drawn: list[Primitive] = [
        rectangle((left, foot), (right, height - BORDER), "border"),
        line((left, top), (right, top), "title-block", THICK),
    ]
    cells = _CELLS if right - left >= _WIDE else _NARROW_CELLS
    x, half = right - sum(cells), foot + STRIP / 2
    for head, value, column, row in (
        ("DRAWN BY", whose.drawn_by, 0, 1), ("DATE", whose.date, 1, 1),
        ("REVISION", whose.revision, 0, 0), ("SHEET", f"{block.number} OF {block.count}", 1, 0),
    ):  # fmt: skip
        at = x + sum(cells[:column])
        low = foot + row * STRIP / 2
        drawn.append(Text(head, (at + PAD, low + 5.5), SMALL, "title-block"))
        shown = shortened(value, SMALL, cells[column] - 2 * PAD)
        if shown:
            drawn.append(Text(shown, (at + PAD, low + 1.6), SMALL, "title-block"))
    for at in (x, x + cells[0]):
        drawn.append(line((at, foot), (at, top), "title-block"))
    drawn.append(line((x, half), (right, half), "title-block"))
    if whose.stamp and right - left >= _LONG:
        x -= _STAMP
        drawn.append(line((x, foot), (x, top), "title-block"))
        drawn.append(Text("STAMP", (x + PAD, foot + STRIP - 3.5), SMALL, "title-block"))
    middle = left + (x - left) / 2
    drawn.append(line((middle, foot), (middle, top), "title-block"))
    on = f"SCALE {block.scale} on {paper.name}" if block.scale else f"On {paper.name}"
    drawn += _lines(block.name, (on, whose.code), middle, x, foot)
    return drawn + _lines(whose.title, whose.address or ("Address:",), left, middle, foot)


def _lines(
    first: str, more: Sequence[str], left: float, right: float, foot: float
) -> list[Primitive]:
    """A name, in two lines where one is not enough, and what is told under it."""
    room = right - left - 2 * PAD
    rows: list[tuple[str, float]] = [(cleaned(first), USUAL)]
    if width_of(rows[0][0], USUAL) > room:
        rows = [(row, SMALL) for row in wrapped(first, SMALL, room, 2)]
    told = [words for words in more if words]
    if len(told) > _TOLD:
        told = [*told[: _TOLD - 1], ", ".join(told[_TOLD - 1 :])]
    rows += [(words, SMALL) for words in told]
    drawn: list[Primitive] = []
    y = foot + _FIRST[rows[0][1]]
    for words, height in rows:
        shown = shortened(words, height, room)
        if shown:
            drawn.append(Text(shown, (left + PAD, y), height, "title-block"))
        y -= _NEXT[height]
    return drawn


Bars = tuple[tuple[Fraction | int, int], ...]
_INCH_BARS: Bars = ((Fraction(1, 12), 12), (Fraction(1, 2), 6), (1, 3), (1, 4), (2, 4), (5, 2))
"""Inch bars: length of one block in feet, and how many."""
_METRIC_BARS: Bars = ((50, 4), (100, 5), (200, 5), (250, 4), (500, 4), (1000, 4))


_EACH_NUMBERED = 9.9
"""Length of a block beside which every number of three figures has its room [mm]."""


def scale_bar(scale: Scale, x: float, y: float, room: float) -> list[Primitive]:
    """A graphic scale whose blocks are round lengths of the work, true on paper."""
    if scale.units == "in":
        unit, choices, name = float(scale.ratio * 12) * 25.4, _INCH_BARS, "ft"
    else:
        unit, choices, name = float(scale.ratio), _METRIC_BARS, "mm"
    limit = room - 12.0
    block, count = max(
        ((b, c) for b, c in choices if float(b) * c * unit <= limit and float(b) * unit >= 5.0),
        key=lambda one: (
            float(one[0]) * one[1] * unit <= 60.0,
            float(one[0]) * one[1],
            float(one[0]) * unit >= _EACH_NUMBERED,
        ),
        default=choices[0],
    )
    wide = float(block) * unit
    drawn: list[Primitive] = []
    for k in range(count):
        fill = "ink" if k % 2 == 0 else None
        drawn.append(
            rectangle((x + k * wide, y), (x + (k + 1) * wide, y + 1.4), "scale-bar", fill=fill)
        )
    numbers = [_bar_number(Fraction(block) * k, scale.units) for k in range(count + 1)]

    def readable(step: int) -> bool:
        widths = [measure(numbers[k], SMALL).width for k in range(step, count, step)]
        return count % step == 0 and step * wide >= max([9.0, *(one + _BETWEEN for one in widths)])

    every = next((step for step in range(1, count) if readable(step)), count)
    for k in range(0, count + 1, every):
        shown = numbers[k] + (f" {name}" if k == count else "")
        at = (x + k * wide - (k == count), y - SMALL - 1.1)
        drawn.append(Text(shown, at, SMALL, "scale-bar", "left" if k in (0, count) else "middle"))
    return drawn


def _bar_number(value: Fraction, units: str) -> str:
    if units == "mm" or value.denominator == 1:
        return f"{float(value):g}"
    whole, rest = divmod(value, 1)
    return f"{whole} {rest}" if whole else str(rest)
