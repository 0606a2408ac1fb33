"""Shop sheets: what one takes to the saw and to the posts.

Rails come first, as they are bought and cut: every stock rail to scale, with the rails that it
makes, and their holes as running dimensions from each lower cut.  The posts follow, each standing
like a story pole with its bracket marks up both faces.  Everything has boxes to be ticked when it
is marked, cut and checked.  All figures are those of the cut list, on the tape's marks.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from stairs.drawing.files.pdf import Book, bound
from stairs.drawing.paper.sheet_sizes import Paper, Scale, scales
from stairs.drawing.sets.shop.posts import post_pages
from stairs.drawing.sets.shop.rails import rail_scale, stock_flow
from stairs.drawing.sheets.page import Page, checks_failing, paper_for, room_on
from stairs.drawing.sheets.page_text import Flow, band
from stairs.drawing.sheets.sheet_words import particulars_of
from stairs.drawing.sheets.spoken import drawn_in_words
from stairs.errors import SheetError
from stairs.lengths.tape_marks import length_text
from stairs.lists.cut_list import CutList, cut_list
from stairs.lists.rail_plans import RailPlan, rail_plans
from stairs.report.cuts_text import notes_on
from stairs.solution import Solution

_BIGGER = {"in": ("letter", "tabloid", "ARCH C"), "mm": ("A4", "A3", "A2")}


@drawn_in_words
def shop_book(solution: Solution, paper: str | None = None) -> Book:
    """The shop sheets of a job."""
    cuts = cut_list(solution)
    return bound(shop_pages(solution, cuts, paper), particulars_of(solution), "Shop sheets")


def shop_pages(solution: Solution, cuts: CutList, paper: str | None = None) -> list[Page]:
    """Rails as cut from their stock, then posts; not yet numbered."""
    job = solution.job
    plans = rail_plans(cuts, solution.guard)
    names = (paper,) if paper is not None else _BIGGER[job.units]
    for name in names:
        sheet = paper_for(job.units, name, job=job)
        scale = rail_scale(plans, job, sheet)
        posts = post_pages(
            solution, cuts, (sheet, paper_for(job.units, name, upright=True, job=job))
        )
        if scale is not None and posts is not None:
            return [*_rail_pages(solution, cuts, plans, sheet, scale), *posts]
    smallest = scales(job.units)[-1].words
    raise SheetError(
        "shop sheets",
        f"the longest rail or post does not fit on {names[-1]} at {smallest}",
        f"Sheets: {', '.join(_BIGGER[job.units])}",
        "Take a larger sheet, or divide the longest bay",
    )


def _rail_pages(
    solution: Solution, cuts: CutList, plans: Sequence[RailPlan], sheet: Paper, scale: Scale
) -> list[Page]:
    flow = Flow(room_on(sheet))
    _preface(flow, solution, cuts)
    stock_flow(flow, solution, cuts, plans, scale)
    return [
        Page(sheet, f"Rails to cut, {k} of {len(flow.pages)}", scale.words, tuple(content),
             description="Stock rails with the rails cut from each, to scale")
        for k, content in enumerate(flow.pages, start=1)
    ]  # fmt: skip


def _preface(flow: Flow, solution: Solution, cuts: CutList) -> None:
    job = solution.job
    failing = checks_failing(solution)
    if failing:
        left, _, right, top = flow.area
        flow.pages[-1] += band(f"DO NOT CUT: {failing}, SEE THE ELEVATION", left, right, top)
        flow.y -= 10.0
    mark = length_text(job.tape, job.units, Fraction(job.tape))
    flow.paragraph(
        "The lower end lies to the left, of the stock and of each rail. Figures over a bar are its "
        "saw cuts, from the stock's lower end; figures under it run from each rail's own lower "
        f"cut, never from hole to hole. All are on marks of {mark}. A broken outline is what comes "
        "off. Measure the stock and its first hole before the first cut; cut one rail and try it "
        "before the others."
    )
    for note in notes_on(solution, cuts.posts):
        flow.paragraph(f"{note}.")
