"""A page of a set: paper, border and the title strip along its foot, with room for anything above.

Values that the user put over the code stand over the strip, each with its reason, in as many lines
as they take.
"""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct
from msgspec.structs import asdict, replace

from stairs.drawing.paper.lettering import PAD, PITCH, SMALL, text_rows, width_of
from stairs.drawing.paper.primitives import FINE, Primitive, Text, line, rectangle
from stairs.drawing.paper.sheet_sizes import BORDER, PAPERS, Paper, paper_named
from stairs.drawing.sheets.own_values import own_rows, own_values
from stairs.drawing.sheets.sheet import DrawnView, Sheet
from stairs.drawing.sheets.title_block import STRIP, Particulars, TitleBlock, title_strip
from stairs.job import Job
from stairs.report.findings import count_of_failures
from stairs.solution import Solution

INSET = 3.0
"""Blank paper between border and content [mm]."""


class Leaf(Paper, frozen=True):
    """A sheet whose title strip is as high as what it letters."""

    strip: float = STRIP  # height of the strip with the user's own values over it [mm]


class Page(Struct, frozen=True):
    """One page of a set, before or after it is numbered."""

    paper: Paper  # upright where the width is the shorter edge
    name: str  # what it shows, as in the index and among the bookmarks
    scale: str  # in words, or empty
    content: tuple[Primitive, ...]  # everything but border and strip
    description: str = ""  # for a reader that cannot see
    group: str = ""  # the bookmark under which its own stands; empty for one of the first rank
    block: TitleBlock | None = None  # from here on only once it is numbered
    furniture: tuple[Primitive, ...] = ()

    @property
    def title(self) -> str:
        """For a file that holds this page alone."""
        return self.block.title if self.block else self.name

    @property
    def primitives(self) -> tuple[Primitive, ...]:
        """Everything on the page, in the order in which it is drawn."""
        return self.content + self.furniture


def checks_failing(solution: Solution) -> str:
    """How many checks fail, in capitals as a sheet warns of them; empty where none does."""
    return count_of_failures(solution.sections).upper()


def paper_for(
    units: str, name: str | None = None, upright: bool = False, job: Job | None = None
) -> Paper:
    """The sheet of that name, or the smallest of the job's units, lying or upright.

    >>> paper_for("mm", upright=True).width, paper_for("in").name
    (Fraction(210, 1), 'letter')
    """
    paper = paper_named(name or next(one.name for one in PAPERS if one.units == units))
    if upright:
        paper = replace(paper, width=paper.height, height=paper.width)
    return paper if job is None else with_strip(paper, own_values(job))


def with_strip(paper: Paper, own: tuple[str, ...]) -> Leaf:
    """The sheet with a strip that is high enough for the user's own values.

    >>> with_strip(paper_for("in"), ()).strip == STRIP
    True
    """
    rows = _own_rows(own, float(paper.width))
    strip = STRIP + (len(rows) * PITCH + 1.8 if rows else 0.0)
    return Leaf(paper.name, paper.width, paper.height, paper.units, strip)


def strip_of(paper: Paper) -> float:
    """Height of the strip at the foot of a page [mm]."""
    return getattr(paper, "strip", STRIP)


def _own_rows(own: tuple[str, ...], width: float) -> list[str]:
    """The user's own values, line by line across the sheet."""
    return own_rows(own, width - 2 * BORDER - 2 * PAD)


def room_on(paper: Paper) -> tuple[float, float, float, float]:
    """Left, bottom, right and top of the room for content [mm on paper]."""
    inset = BORDER + INSET
    return (
        inset,
        BORDER + strip_of(paper) + INSET,
        float(paper.width) - inset,
        float(paper.height) - inset,
    )


def numbered(page: Page, whose: Particulars, number: int, count: int) -> Page:
    """The page with its border and its strip, as that sheet of so many."""
    block = TitleBlock(whose, page.name, page.scale, number, count)
    return replace(
        page,
        block=block,
        furniture=(*title_strip(page.paper, block), *_own(whose.own, page.paper)),
        description=page.description or f"{page.name}. Sheet {number} of {count}.",
    )


def numbered_sheet(sheet: Sheet, number: int, count: int) -> Sheet:
    """A sheet that has no strip yet with its border and its strip."""
    block = replace(sheet.block, number=number, count=count)
    return replace(
        sheet, block=block, furniture=(*title_strip(sheet.paper, block), *sheet.furniture)
    )


def _own(own: tuple[str, ...], paper: Paper) -> list[Primitive]:
    """The user's own values over the strip, as far as the page left room for them."""
    room = int((strip_of(paper) - STRIP) / PITCH)
    if not room:
        return []
    rows = _own_rows(own, float(paper.width))[:room]
    over = BORDER + strip_of(paper)
    ends = (BORDER, over), (float(paper.width) - BORDER, over)
    words = text_rows(rows, (BORDER + PAD, over - 3.9), "title-block")
    return [line(*ends, "title-block"), *words]


def as_sheet(page: Page, view: DrawnView, units: str, parts: tuple[DrawnView, ...] = ()) -> Sheet:
    """A numbered page as a sheet, which CAD takes too: what is not of the view is furniture."""
    assert page.block is not None
    own = {id(one) for one in (*view.work, *view.dimension_lines, *view.labels)}
    rest = tuple(one for one in page.content if id(one) not in own)
    return Sheet(
        **asdict(view),
        paper=page.paper,
        units=units,
        block=page.block,
        description=page.description,
        furniture=(*rest, *page.furniture),
        parts=parts,
    )


def box(x: float, y: float, words: str, group: str = "check-box") -> tuple[list[Primitive], float]:
    """A box to be ticked by hand with words beside it, and the width that both take [mm]."""
    side = 3.0
    drawn: list[Primitive] = [rectangle((x, y - 0.25), (x + side, y - 0.25 + side), group, FINE)]
    if words:
        drawn.append(Text(words, (x + side + 1.3, y), SMALL, group))
    return drawn, side + 1.3 + (width_of(words, SMALL) if words else 0.0)


def millimetres(length: float | Fraction, units: str) -> float:
    """A length of the work in millimetres.

    >>> millimetres(2, "in"), millimetres(2, "mm")
    (50.8, 2.0)
    """
    return float(length) * (25.4 if units == "in" else 1.0)
