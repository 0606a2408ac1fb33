"""Shop sheets: what one takes to the saw and to the posts.

Rails come first, one to a line with its stock rail drawn to scale: where it is cut, which holes
stay, and their places as running dimensions from the lower cut.  The stock rails to buy follow,
with what is cut from each, and the posts, each standing like a story pole with its bracket marks up
both faces.  Every piece has boxes to be ticked when it is
marked, cut and checked.  All figures are those of the cut list, on the tape's marks.
"""

from __future__ import annotations

from fractions import Fraction

from stairs.cuts import CutList, RailCut, cut_list
from stairs.drawing.book import Book, bound, write_book
from stairs.drawing.flow import Flow, band
from stairs.drawing.page import Page, checks_failing, paper_for, particulars_of, room_on
from stairs.drawing.paper import Paper, Scale, scales
from stairs.drawing.shop_posts import post_pages
from stairs.drawing.shop_rails import HEADROOM, rail_line, rail_scale
from stairs.drawing.shop_stock import stock_pages
from stairs.errors import SheetError
from stairs.marks import length_text

_BIGGER = {"in": ("letter", "tabloid", "ARCH C"), "mm": ("A4", "A3", "A2")}


def shop_book(answer, paper: str | None = None) -> Book:
    """The shop sheets of a job.

    Parameters
    ----------
    answer : stairs.answer.Answer
        Of a job.
    paper : str, optional
        Name of a sheet size; the smallest that does where it is left out.

    Raises
    ------
    stairs.errors.SheetError
        There is no such sheet, or it is too small.
    """
    cuts = cut_list(answer)
    return bound(shop_pages(answer, cuts, paper), particulars_of(answer.job), "Shop sheets")


def write_shop(answer, path, paper: str | None = None) -> Book:
    """Write the shop sheets and hand them back.

    Parameters
    ----------
    answer : stairs.answer.Answer
        Of a job.
    path : str or os.PathLike
        Its ending is ``.pdf``.
    paper : str, optional
        As for :func:`shop_book`.

    Raises
    ------
    stairs.errors.SheetError
        There is no such sheet, or it is too small.
    stairs.errors.JobError
        For another ending.
    stairs.errors.FileError
        Where the file cannot be written; whatever was there before is left as it was.
    """
    book = shop_book(answer, paper)
    write_book(book, path)
    return book


def shop_pages(answer, cuts: CutList, paper: str | None = None) -> list[Page]:
    """Rails, what they are cut from, then posts; not yet numbered.

    Parameters
    ----------
    answer : stairs.answer.Answer
        Of a job.
    cuts : stairs.cuts.CutList
        Of the same job.
    paper : str, optional
        Name of a sheet size; the smallest that does where it is left out.

    Raises
    ------
    stairs.errors.SheetError
        There is no such sheet, or the longest rail or post does not fit it at any scale.
    """
    job = answer.job
    names = (paper,) if paper is not None else _BIGGER[job.units]
    for name in names:
        sheet = paper_for(job.units, name, job=job)
        scale = rail_scale(cuts, job, sheet)
        posts = post_pages(answer, cuts, (sheet, paper_for(job.units, name, upright=True, job=job)))
        if scale is not None and posts is not None:
            return [
                *_rail_pages(answer, cuts, sheet, scale),
                *stock_pages(answer, cuts, sheet),
                *posts,
            ]
    smallest = scales(job.units)[-1].words
    raise SheetError(
        "shop sheets",
        f"the longest rail or post does not fit on {names[-1]} at {smallest}",
        f"Sheets: {', '.join(_BIGGER[job.units])}",
        "Take a larger sheet, or divide the longest bay",
    )


def _rail_pages(answer, cuts: CutList, sheet: Paper, scale: Scale) -> list[Page]:
    flow = Flow(room_on(sheet))
    _preface(flow, answer, cuts)
    for section in answer.guard.sections:
        own = [cut for cut in cuts.rails if cut.section == section.number]
        flow.heading(_section_words(section, own), room=HEADROOM)
        for cut in own:
            drawn, height = rail_line(answer.job, cut, scale, flow.width)
            flow.put(drawn, height)
    return [
        Page(sheet, f"Rails to cut, {k} of {len(flow.pages)}", scale.words, tuple(content),
             description="Rails with cuts and holes, to scale")
        for k, content in enumerate(flow.pages, start=1)
    ]  # fmt: skip


def _section_words(section, own: list[RailCut]) -> str:
    kind = "Flight" if section.kind == "flight" else "Level run"
    name = f", {section.name}" if section.name else ""
    saw = (
        "square cuts"
        if own[0].saw_angle == 0
        else f"saw turned {own[0].saw_angle:.1f}° from square"
    )
    pieces = f"{len(own)} rails" + (", two of each" if section.sides == 2 else "")
    return f"{kind} {section.number}{name}: {pieces}, {saw}"


def _preface(flow: Flow, answer, cuts: CutList) -> None:
    job = answer.job
    failing = checks_failing(answer)
    if failing:
        left, _, right, top = flow.area
        flow.pages[-1] += band(f"DO NOT CUT: {failing}, SEE THE ELEVATION", left, right, top)
        flow.y -= 10.0
    mark = length_text(job.tape, job.units, Fraction(job.tape))
    flow.paragraph(
        "The lower end lies to the left. Figures under a rail run from its lower cut, never from "
        f"hole to hole, on marks of {mark}. A broken outline is what comes off. Measure the stock "
        "and its first hole before the first cut; cut one rail and try it before the others."
    )
    for note in cuts.notes:
        flow.paragraph(f"{note}.")
