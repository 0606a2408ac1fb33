"""A page of a set: paper, border and a title strip along the foot, with room for anything above.

Elevations carry their title block in a column of their own (:mod:`stairs.drawing.furniture`); all
other pages of a set (schedules, details, shop sheets, templates) have the same particulars in a
strip, so that the page keeps its whole width: title and address, what the page shows and at which
scale, date, who drew it, revision, and which sheet of how many it is.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from stairs.drawing.lettering import SMALL, USUAL, shortened, width_of
from stairs.drawing.paper import BORDER, PAPERS, Paper, paper_named
from stairs.drawing.primitives import FINE, HEAVY, THICK, Primitive, Text, line, rectangle
from stairs.drawing.sheet import Sheet
from stairs.verdicts import own_value_texts

STRIP = 18.0
"""Height of the title strip [mm]."""
INSET = 3.0
"""Blank paper between border and content [mm]."""
_PAD = 2.0
_BASE = (12.9, 8.4, 3.2)  # base lines of the strip's three lines over the border [mm]
_SHEET, _REVISION, _DATE, _DRAWN = 23.0, 22.0, 27.0, 38.0
_WIDE = 230.0  # a strip longer than this letters the view beside the title, not under it [mm]


@dataclass(frozen=True, slots=True)
class Particulars:
    """What every page of one set letters in its strip.

    Parameters
    ----------
    title : str
        Of the job.
    address : tuple of str
        Its lines.
    date, drawn_by, revision : str
        As the user gives them; often empty.
    own : str
        The values that the user put over the rulebook, with their reasons.
    """

    title: str
    address: tuple[str, ...] = ()
    date: str = ""
    drawn_by: str = ""
    revision: str = ""
    own: str = ""


@dataclass(frozen=True, slots=True)
class Page:
    """One page before or after it is numbered.

    Parameters
    ----------
    paper : Paper
        Its size; upright where the width is the shorter edge.
    name : str
        What it shows, as in the index and among the bookmarks.
    scale : str
        Words of the scale, or empty.
    content : tuple of Primitive
        Everything but border and strip [mm on paper].
    furniture : tuple of Primitive
        Border and strip; empty until :func:`numbered`.
    title, description, date : str
        For the file, where a page is written by itself.
    group : str
        The bookmark under which the page's own stands; empty for one of the first rank.
    """

    paper: Paper
    name: str
    scale: str
    content: tuple[Primitive, ...]
    furniture: tuple[Primitive, ...] = ()
    title: str = ""
    description: str = ""
    date: str = ""
    group: str = ""

    @property
    def primitives(self) -> tuple[Primitive, ...]:
        """Everything on the page, in the order in which it is drawn."""
        return self.content + self.furniture

    @property
    def border(self) -> tuple[float, float, float, float]:
        """Left, bottom, right and top of the border line's outer edge [mm on paper]."""
        half = HEAVY / 2
        return (
            BORDER - half,
            BORDER - half,
            float(self.paper.width) - BORDER + half,
            float(self.paper.height) - BORDER + half,
        )


def particulars_of(job) -> Particulars:
    """The particulars of a job's own sheets."""
    sheet = job.sheet
    return Particulars(
        job.title or "Stair guard",
        tuple(sheet.address),
        sheet.date or "",
        sheet.drawn_by or "",
        sheet.revision or "",
        "; ".join(own_value_texts(job)),
    )


def paper_for(units: str, name: str | None = None, upright: bool = False) -> Paper:
    """The sheet of that name, or the smallest of the job's units, lying or upright.

    Parameters
    ----------
    units : str
        ``"in"`` or ``"mm"``.
    name : str, optional
        As a user types it.
    upright : bool
        Whether the shorter edge is the width.

    Raises
    ------
    stairs.errors.SheetError
        There is no such sheet.

    Examples
    --------
    >>> paper_for("mm", upright=True).width, paper_for("in").name
    (Fraction(210, 1), 'letter')
    """
    paper = paper_named(name or next(one.name for one in PAPERS if one.units == units))
    return replace(paper, width=paper.height, height=paper.width) if upright else paper


def room_on(paper: Paper) -> tuple[float, float, float, float]:
    """Left, bottom, right and top of the room for content [mm on paper]."""
    inset = BORDER + INSET
    return (
        inset,
        BORDER + STRIP + INSET,
        float(paper.width) - inset,
        float(paper.height) - inset,
    )


def numbered(page: Page, whose: Particulars, sheet: int, sheets: int) -> Page:
    """The page with its border and its strip.

    Parameters
    ----------
    page : Page
        Without furniture.
    whose : Particulars
        Of the set.
    sheet, sheets : int
        Which sheet of how many.
    """
    return replace(
        page,
        furniture=tuple(_furniture(page, whose, sheet, sheets)),
        title=f"{whose.title}: {page.name}",
        description=page.description or f"{page.name}. Sheet {sheet} of {sheets}.",
        date=whose.date,
    )


def _furniture(page: Page, whose: Particulars, sheet: int, sheets: int) -> list[Primitive]:
    width, height = float(page.paper.width), float(page.paper.height)
    left, right, foot = BORDER, width - BORDER, BORDER
    top = foot + STRIP
    drawn: list[Primitive] = [
        rectangle((left, foot), (right, height - BORDER), HEAVY, "border"),
        line((left, top), (right, top), THICK, "title-block"),
    ]
    x = right
    for name, value, wide in (
        ("SHEET", f"{sheet} OF {sheets}", _SHEET),
        ("REVISION", whose.revision, _REVISION),
        ("DATE", whose.date, _DATE),
        ("DRAWN BY", whose.drawn_by, _DRAWN),
    ):
        x -= wide
        drawn.append(line((x, foot), (x, top), FINE, "title-block"))
        drawn.append(_words(name, x + _PAD, foot + _BASE[0]))
        shown = shortened(value, SMALL, wide - 2 * _PAD)
        if shown:
            drawn.append(_words(shown, x + _PAD, foot + (_BASE[1] + _BASE[2]) / 2))
    scale = f"SCALE {page.scale}" if page.scale else ""
    size = page.paper.name
    if width - 2 * BORDER >= _WIDE:
        middle = left + (x - left) * 0.5
        drawn.append(line((middle, foot), (middle, top), FINE, "title-block"))
        drawn += _lines(page.name, whose.own, f"{scale} on {size}" if scale else f"On {size}",
                        middle, x, foot)  # fmt: skip
        address = [shortened(row, SMALL, middle - left - 2 * _PAD) for row in whose.address]
        second, third = address[0] if address else "", ", ".join(address[1:])
        return drawn + _lines(whose.title, second, third, left, middle, foot)
    parts = (scale or f"On {size}", whose.own, *whose.address)
    under = "; ".join(part for part in parts if part)
    return drawn + _lines(whose.title, page.name, under, left, x, foot)


def _lines(
    first: str, second: str, third: str, left: float, right: float, foot: float
) -> list[Primitive]:
    room = right - left - 2 * _PAD
    drawn = []
    rows = ((first, USUAL, 11.9), (second, SMALL, 7.4), (third, SMALL, _BASE[2] - 0.1))
    for words, height, base in rows:
        shown = shortened(words, height, room)
        if shown:
            drawn.append(Text(shown, (left + _PAD, foot + base), height, "title-block"))
    return drawn


def _words(content: str, x: float, y: float) -> Text:
    return Text(content, (x, y), SMALL, "title-block")


def as_sheet(page: Page, stage, units: str, dimensions=None) -> Sheet:
    """A numbered page with one view as a sheet, which CAD takes too.

    Parameters
    ----------
    page : Page
        Numbered; what is not on the stage is furniture.
    stage : stairs.drawing.stage.Stage
        Lettered.
    units : str
        Of the work.
    dimensions : sequence of Dimension, optional
        Those of the stage where they are left out.
    """
    own = {id(one) for one in (*stage.work, *stage.dimension_lines, *stage.lettering)}
    rest = tuple(one for one in page.content if id(one) not in own)
    return Sheet(
        paper=page.paper,
        scale=stage.view.scale,
        units=units,
        title=page.title,
        description=page.description,
        date=page.date,
        view=stage.view,
        work=tuple(stage.work),
        labels=tuple(stage.lettering),
        dimensions=tuple(stage.dimensions if dimensions is None else dimensions),
        dimension_lines=tuple(stage.dimension_lines),
        furniture=(*rest, *page.furniture),
        area=stage.area,
        unplaced=tuple(stage.unplaced),
    )


def box(x: float, y: float, words: str, group: str = "check-box") -> tuple[list[Primitive], float]:
    """A box to be ticked by hand with words beside it, and the width that both take [mm].

    Parameters
    ----------
    x, y : float
        Lower left corner of the box, which stands on the words' base line [mm on paper].
    words : str
        What is ticked off.
    """
    side = 3.0
    drawn: list[Primitive] = [rectangle((x, y - 0.25), (x + side, y - 0.25 + side), FINE, group)]
    if words:
        drawn.append(Text(words, (x + side + 1.3, y), SMALL, group))
    return drawn, side + 1.3 + (width_of(words, SMALL) if words else 0.0)


def millimetres(length: float | Fraction, units: str) -> float:
    """A length of the work in millimetres.

    Examples
    --------
    >>> millimetres(2, "in"), millimetres(2, "mm")
    (50.8, 2.0)
    """
    return float(length) * (25.4 if units == "in" else 1.0)
