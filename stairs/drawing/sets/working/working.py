"""Pages of working: the chains of some results, one under the other."""

from __future__ import annotations

from collections.abc import Sequence

from stairs.drawing.files.pdf import Book, bound
from stairs.drawing.paper.lettering import SMALL
from stairs.drawing.paper.primitives import Area, Primitive
from stairs.drawing.sheets.chain_text import set_chain, set_chapter
from stairs.drawing.sheets.page import Page, paper_for, room_on
from stairs.drawing.sheets.page_text import Flow, largest
from stairs.drawing.sheets.sheet_words import particulars_of
from stairs.drawing.sheets.spoken import drawn_in_words
from stairs.numbers.tolerances import SAME
from stairs.report.columns import section_name
from stairs.report.working_text import HOLDS
from stairs.solution import Solution
from stairs.working.results import Result, main_results


@drawn_in_words
def working_book(solution: Solution, results: Sequence[Result], paper: str | None = None) -> Book:
    """The working of some results, upright on the smallest sheet where no other is asked for."""
    sheet = paper_for(solution.job.units, paper, upright=True, job=solution.job)
    told: list[Result] = []
    for one in results:  # of those that come out alike the first
        if all(abs(one.value - other.value) > SAME for other in told):
            told.append(one)

    def build(flow: Flow) -> None:
        for result in told:
            set_chain(flow, solution, result)
        _ends(flow)

    contents = largest((build,), room_on(sheet))
    count = len(contents)
    pages = [
        Page(sheet, "Working" if count == 1 else f"Working, {k} of {count}", "", tuple(content),
             description="How results follow from what was measured, line by line")
        for k, content in enumerate(contents, start=1)
    ]  # fmt: skip
    return bound(pages, particulars_of(solution), "Working")


def working_pages(solution: Solution, area: Area) -> list[list[Primitive]]:
    """The working of the main results of every section, page after page."""
    results = main_results(solution)

    def build(flow: Flow) -> None:
        seen: dict[tuple[tuple[str, float], ...], int] = {}
        for number in range(1, len(solution.sections) + 1):
            own = [one for one in results if one.section == number]
            alike = tuple((one.kind.name, round(one.value, 9)) for one in own)
            first = seen.setdefault(alike, number)
            if own and first == number:
                set_chapter(flow, solution, own)
            elif own:
                told = section_name(solution.sections[number - 1].section)
                flow.heading(f"{told}: as section {first}", 0.0)
        _ends(flow)

    return largest((build,), area, (2, 3), letters=(SMALL,))


def _ends(flow: Flow) -> None:
    flow.skip(2.0)
    flow.paragraph(HOLDS)
