"""A page of a set: paper, border and the title strip along its foot, with room for anything above.

Values that the user put over the code stand over the strip, each with its reason, in as many lines
as they take.
"""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from stairs.drawing.paper.lettering import SMALL, width_of
from stairs.drawing.paper.primitives import FINE, HEAVY, Primitive, Text, line, rectangle
from stairs.drawing.paper.sheet_sizes import BORDER, PAPERS, Paper, paper_named
from stairs.drawing.sheets.own_values import own_rows, own_values
from stairs.drawing.sheets.sheet import Sheet
from stairs.drawing.sheets.title_block import STRIP, title_strip
from stairs.report.verdicts import count_of_failures
from stairs.rules import load

INSET = 3.0
"""Blank paper between border and content [mm]."""
_PAD = 2.0
_ROW = 4.15  # from base line to base line [mm]


class Leaf(Paper, frozen=True):
    """A sheet whose title strip is as high as what it letters.

    Parameters
    ----------
    strip : float
        Height of the strip with the user's own values over it [mm].
    """

    strip: float = STRIP


class Particulars(Struct, frozen=True):
    """What every page of one set letters in its strip.

    Parameters
    ----------
    title : str
        Of the job.
    address : tuple of str
        Its lines.
    date, drawn_by, revision : str
        As the user gives them; often empty.
    own : tuple of str
        The values that the user put over the rulebook, each with its reason.
    code : str
        Title and edition of the rulebook.
    stamp : bool
        Whether the sheets go to an office that stamps them.
    """

    title: str
    address: tuple[str, ...] = ()
    date: str = ""
    drawn_by: str = ""
    revision: str = ""
    own: tuple[str, ...] = ()
    code: str = ""
    stamp: bool = False


class Page(Struct, frozen=True):
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
    """The particulars of a job's own sheets.

    Parameters
    ----------
    job : stairs.job.Job
        For its title, what its sheets are to say, its rulebook and its own values.
    """
    sheet = job.sheet
    book = load(job.rules)
    return Particulars(
        job.title or "Stair guard",
        tuple(sheet.address),
        sheet.date or "",
        sheet.drawn_by or "",
        sheet.revision or "",
        own_values(job),
        f"{book.title} {book.edition}".strip(),
    )


def checks_failing(answer) -> str:
    """How many checks fail, in capitals as a sheet warns of them; empty where none does.

    Parameters
    ----------
    answer : stairs.solution.Answer
        Of a job.
    """
    return count_of_failures(answer.sections).upper()


def paper_for(units: str, name: str | None = None, upright: bool = False, job=None) -> Paper:
    """The sheet of that name, or the smallest of the job's units, lying or upright.

    Parameters
    ----------
    units : str
        ``"in"`` or ``"mm"``.
    name : str, optional
        As a user types it.
    upright : bool
        Whether the shorter edge is the width.
    job : stairs.job.Job, optional
        Whose own values the strip has to hold.

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
    if upright:
        paper = replace(paper, width=paper.height, height=paper.width)
    return paper if job is None else with_strip(paper, own_values(job))


def with_strip(paper: Paper, own: tuple[str, ...]) -> Leaf:
    """The sheet with a strip that is high enough for the user's own values.

    Parameters
    ----------
    paper : Paper
        Lying or upright.
    own : tuple of str
        Each value with its reason.

    Examples
    --------
    >>> with_strip(paper_for("in"), ()).strip == STRIP
    True
    """
    rows = _own_rows(own, float(paper.width))
    strip = STRIP + (len(rows) * _ROW + 1.8 if rows else 0.0)
    return Leaf(paper.name, paper.width, paper.height, paper.units, strip)


def strip_of(paper: Paper) -> float:
    """Height of the strip at the foot of a page [mm].

    Parameters
    ----------
    paper : Paper
        A :class:`Leaf` says how high its own is; any other sheet has the usual one.
    """
    return getattr(paper, "strip", STRIP)


def _own_rows(own: tuple[str, ...], width: float) -> list[str]:
    """The user's own values, line by line across the sheet."""
    return own_rows(own, width - 2 * BORDER - 2 * _PAD)


def room_on(paper: Paper) -> tuple[float, float, float, float]:
    """Left, bottom, right and top of the room for content [mm on paper].

    Parameters
    ----------
    paper : Paper
        Lying or upright.
    """
    inset = BORDER + INSET
    return (
        inset,
        BORDER + strip_of(paper) + INSET,
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
    drawn = title_strip(page.paper, whose, page.name, page.scale, whose.code, sheet, sheets)
    return drawn + _own(whose.own, page.paper)


def _own(own: tuple[str, ...], paper: Paper) -> list[Primitive]:
    """The user's own values over the strip, as far as the page left room for them."""
    room = int((strip_of(paper) - STRIP) / _ROW)
    if not room:
        return []
    rows = _own_rows(own, float(paper.width))[:room]
    over = BORDER + strip_of(paper)
    drawn: list[Primitive] = [
        line((BORDER, over), (float(paper.width) - BORDER, over), FINE, "title-block")
    ]
    for k, words in enumerate(rows):
        drawn.append(_words(words, BORDER + _PAD, over - 3.9 - k * _ROW))
    return drawn


def _words(content: str, x: float, y: float) -> Text:
    return Text(content, (x, y), SMALL, "title-block")


def as_sheet(page: Page, stage, units: str, dimensions=None) -> Sheet:
    """A numbered page with one view as a sheet, which CAD takes too.

    Parameters
    ----------
    page : Page
        Numbered; what is not on the stage is furniture.
    stage : stairs.drawing.placing.labelled_view.Stage
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

    Parameters
    ----------
    length : float or Fraction
        True length [``units``].
    units : str
        ``"in"`` or ``"mm"``.

    Examples
    --------
    >>> millimetres(2, "in"), millimetres(2, "mm")
    (50.8, 2.0)
    """
    return float(length) * (25.4 if units == "in" else 1.0)
