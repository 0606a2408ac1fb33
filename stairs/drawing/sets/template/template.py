"""Templates at full size: printed, measured, cut out and laid on the work.

Four kinds: the bevel of each rake (``bevels``), the seat of each bracket from the side (``seats``),
every face of a post that takes brackets (``faces``), and the holes at the lower end of a rail
(``rail_ends``).  They are drawn at 1:1 and cut into tiles where the paper is smaller (``tiles``).
A template is a second pair of eyes, not the measure: the figures on it rule, and the print has to
be measured before it is used.
"""

from __future__ import annotations

from msgspec.structs import replace

from stairs.drawing.files.pdf import Book, bound
from stairs.drawing.paper.lettering import SMALL
from stairs.drawing.paper.primitives import Text
from stairs.drawing.sets.template.bevels import bevel_pages
from stairs.drawing.sets.template.faces import face_pages
from stairs.drawing.sets.template.rail_ends import rail_end_pages
from stairs.drawing.sets.template.seats import seat_pages
from stairs.drawing.sets.template.tiles import UNDER_BARS
from stairs.drawing.sheets.page import Page, checks_failing, room_on
from stairs.drawing.sheets.sheet_words import particulars_of
from stairs.drawing.sheets.spoken import drawn_in_words
from stairs.lists.cut_list import cut_list
from stairs.solution import Solution


@drawn_in_words
def template_book(solution: Solution, paper: str | None = None) -> Book:
    """The templates of a job, cut for what the printer holds.

    Parameters
    ----------
    paper : str, optional
        Letter or A4 where it is left out.

    Raises
    ------
    stairs.errors.SheetError
        There is no such sheet, or a post is wider than it.
    """
    cuts = cut_list(solution)
    pages = [
        *bevel_pages(solution, paper),
        *seat_pages(solution, paper),
        *face_pages(solution, cuts, paper),
        *rail_end_pages(solution, cuts, paper),
    ]
    failing = checks_failing(solution)
    if failing:
        words = f"DO NOT CUT OR DRILL: {failing}, SEE THE ELEVATION"
        pages = [_warned(page, words) for page in pages]
    return bound(pages, particulars_of(solution), "Full-size templates")


def _warned(page: Page, words: str) -> Page:
    """The page with words of warning in the blank line under the check bars."""
    left, _, _, top = room_on(page.paper)
    warning = Text(words, (left, top - UNDER_BARS), SMALL, "warning", bold=True)
    return replace(page, content=(*page.content, warning))
