"""The title block: title, address, scale, date, who drew it, revision and sheet of how many.

It stands at the lower right, with the fields of ISO 7200 that a permit sheet needs (from memory).
The bar beside the scale is for copies that shrink; its look is ours.
"""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct

from stairs.drawing.facts import Facts
from stairs.drawing.lettering import SMALL, TITLE, USUAL, measure, shortened, wrapped
from stairs.drawing.paper import Paper, Scale
from stairs.drawing.primitives import FINE, THICK, Primitive, Text, line, rectangle

PITCH = 4.15
"""From base line to base line of small lettering [mm]."""
UNDER_HEAD = 34.5
"""Height of a title block under its title and address [mm]."""
_ADDRESS_ROWS = 3  # lines that an address may have
_PAD = 2.0
_BETWEEN = 3.0  # least paper between two numbers of a bar, so that they are not read as one [mm]


class Head(Struct, frozen=True):
    """Title and address as they stand at the top of a title block, and how tall that is [mm]."""

    height: float
    title: tuple[str, ...]
    address: tuple[str, ...]

    @classmethod
    def of(cls, facts: Facts, room: float) -> Head:
        """Both in that width [mm]: a short title in large letters, a long one in two lines.

        Parameters
        ----------
        facts : Facts
            For title and address.
        room : float
            Width of the longest line [mm].
        """
        height, rows = TITLE, wrapped(facts.title, TITLE, room)
        if len(rows) > 1:
            height, rows = USUAL, wrapped(facts.title, USUAL, room, 2)
        return cls(height, rows, tuple(_address(facts, room)))

    @property
    def tall(self) -> float:
        rows = 1 + 1.6 * (len(self.title) - 1)
        return 2.5 + self.height * rows + 1.0 + PITCH * len(self.address) + 2.5


def title_block(
    left: float, right: float, top: float, foot: float, paper: Paper, scale: Scale, facts: Facts,
    head: Head,
) -> list[Primitive]:  # fmt: skip
    """The block at the lower right of a sheet.

    Parameters
    ----------
    left, right, top, foot : float
        Its edges [mm on paper].
    paper : Paper
        The sheet.
    scale : Scale
        Of the view, for its bar.
    facts : Facts
        What is lettered.
    head : Head
        Title and address.
    """
    drawn: list[Primitive] = []
    start, room = left, right - left - 2 * _PAD
    x = left + _PAD
    drawn.append(line((left, top), (right, top), THICK, "title-block"))
    y = top - 2.5 - head.height
    for k, row in enumerate(head.title):
        drawn.append(Text(row, (x, y - k * head.height * 1.6), head.height, "title-block"))
    y -= (len(head.title) - 1) * head.height * 1.6 + 1.0
    for row in head.address:
        y -= PITCH
        drawn.append(Text(row, (x, y), SMALL, "title-block"))
    y = top - head.tall
    drawn.append(line((left, y), (right, y), FINE, "title-block"))
    y -= 5.4
    drawn.append(Text(shortened(facts.view, USUAL, room), (x, y), USUAL, "title-block"))
    y -= 5.6
    drawn.append(Text(f"SCALE {scale.words} on {paper.name}", (x, y), SMALL, "title-block"))
    y -= 4.6
    drawn += scale_bar(scale, x, y, room)
    cells = (
        ("DATE", facts.date, 0.23),
        ("DRAWN BY", facts.drawn_by, 0.34),
        ("REVISION", facts.revision, 0.22),
        ("SHEET", f"{facts.sheet} OF {facts.sheets}", 0.21),
    )
    ceiling = foot + 11.0
    drawn.append(line((left, ceiling), (right, ceiling), FINE, "title-block"))
    for name, value, share in cells:
        wide = (right - start) * share
        if left > start:
            drawn.append(line((left, foot), (left, ceiling), FINE, "title-block"))
        drawn.append(Text(name, (left + _PAD, ceiling - 4.0), SMALL, "title-block"))
        shown = shortened(value, SMALL, wide - 2 * _PAD)
        if shown:
            drawn.append(Text(shown, (left + _PAD, ceiling - 9.0), SMALL, "title-block"))
        left += wide
    return drawn


def _address(facts: Facts, room: float) -> list[str]:
    rows: list[str] = []
    most = _ADDRESS_ROWS
    for entry in facts.address:
        rows += wrapped(entry, SMALL, room, 2)
    if len(rows) > most:
        rows = [*rows[: most - 1], shortened(", ".join(rows[most - 1 :]), SMALL, room)]
    return rows or ["Address:"]


_INCH_BARS = ((Fraction(1, 12), 12), (Fraction(1, 2), 6), (1, 3), (1, 4), (2, 4), (5, 2))
"""Inch bars: length of one block in feet, and how many."""
_METRIC_BARS = ((50, 4), (100, 5), (200, 5), (250, 4), (500, 4), (1000, 4))


_EACH_NUMBERED = 9.9
"""Length of a block beside which every number of three figures has its room [mm]."""


def scale_bar(scale: Scale, x: float, y: float, room: float) -> list[Primitive]:
    """A graphic scale whose blocks are round lengths of the work, true on paper.

    Parameters
    ----------
    scale : Scale
        Of the view.
    x, y : float
        Lower left corner of the bar [mm on paper].
    room : float
        Width that may be used [mm].
    """
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
            rectangle((x + k * wide, y), (x + (k + 1) * wide, y + 1.4), FINE, "scale-bar", fill)
        )
    numbers = [_bar_number(Fraction(block) * k, scale.units) for k in range(count + 1)]

    def readable(step: int) -> bool:
        widths = [measure(numbers[k], SMALL).width for k in range(step, count, step)]
        return count % step == 0 and step * wide >= max([9.0, *(one + _BETWEEN for one in widths)])

    every = next((step for step in range(1, count) if readable(step)), count)
    for k in range(0, count + 1, every):
        value = float(block * k)
        shown = numbers[k] + (f" {name}" if k == count else "")
        anchor = "left" if k in (0, count) else "middle"
        if value >= 0:
            at = x + k * wide - (0.0 if k == 0 else 1.0 if k == count else 0.0)
            drawn.append(Text(shown, (at, y - SMALL - 1.1), SMALL, "scale-bar", anchor))
    return drawn


def _bar_number(value: Fraction, units: str) -> str:
    if units == "mm" or value.denominator == 1:
        return f"{float(value):g}"
    whole, rest = divmod(value, 1)
    return f"{whole} {rest}" if whole else str(rest)
