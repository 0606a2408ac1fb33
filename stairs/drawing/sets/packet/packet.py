"""The packet: the whole set that a permit office takes, in one PDF.

Cover, plan, the elevation of every section, enlarged details, schedules, the framing under level
runs where it is given, and the loads.  A guard that fails is drawn too: the cover has a band and
lists what fails, and the elevations point at it.
"""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct
from msgspec.structs import replace

from stairs.drawing.files.pdf import Book
from stairs.drawing.paper.primitives import Primitive, Text
from stairs.drawing.paper.sheet_sizes import GOOD, Paper
from stairs.drawing.sets.packet.cover import cover
from stairs.drawing.sets.packet.loads_page import loads_pages
from stairs.drawing.sets.packet.schedules import schedules
from stairs.drawing.sheets.page import (
    Page,
    numbered,
    numbered_sheet,
    paper_for,
    room_on,
)
from stairs.drawing.sheets.references import Reference, marked, numbered_references, spot_on
from stairs.drawing.sheets.sheet import Sheet
from stairs.drawing.sheets.sheet_words import Facts, facts_of, particulars_of
from stairs.drawing.sheets.spoken import drawn_in_words
from stairs.drawing.sheets.title_block import Particulars
from stairs.drawing.views.details.details import referred_details
from stairs.drawing.views.elevation.shared_sheet import shared_sheet
from stairs.drawing.views.elevation.sheet import sheet_of_elevation
from stairs.drawing.views.framing import framing_pages
from stairs.drawing.views.plan.plan import plan_pages
from stairs.errors import SheetError
from stairs.lists.cut_list import cut_list
from stairs.solution import SectionSolution, Solution

PAPERS = {"in": ("tabloid", "ARCH C", "ARCH D"), "mm": ("A3", "A2")}
"""Sheets that a packet is tried on, smallest first, by units of the job."""


_REST = "see the schedules"  # where the checks are that an elevation has no room for


_Drawn = tuple[tuple[int, ...], str, list[Sheet]]
"""Numbers of the sections that an elevation shows, its name, and its sheets."""


class _Draft(Struct, frozen=True):
    """One sheet of the set before it has a number."""

    name: str
    drawn: Page | Sheet
    group: str = ""  # the bookmark under which its own stands
    sections: tuple[int, ...] = ()  # whose elevation it shows

    @property
    def scale(self) -> str:
        """In words."""
        return self.drawn.scale if isinstance(self.drawn, Page) else self.drawn.scale.words


@drawn_in_words
def packet_book(solution: Solution, paper: str | None = None, with_working: bool = False) -> Book:
    """The packet of a job; with a chapter on how its main results follow, where that is asked."""
    job = solution.job
    whose = replace(particulars_of(solution), stamp=True)
    name, elevations = _elevations(solution, whose, paper or job.sheet.paper)
    sheet = paper_for(job.units, name, job=job)
    plans = plan_pages(solution, sheet, 2)
    details, references = referred_details(solution, sheet)
    drafts = [_of_page(page) for page, _ in plans]
    drafts += _elevation_drafts(elevations)
    before = len(drafts)
    drafts += map(_of_page, [*details, *_pages(solution, sheet, _cut_short(solution, elevations))])
    if with_working:
        drafts += map(_of_page, _working(solution, sheet))
    fronts = _fronts(solution, whose, drafts, sheet)
    if len(plans) > 1 and len(fronts) > 1:  # match lines name the sheet that the work goes on upon
        plans = plan_pages(solution, sheet, 1 + len(fronts))
    shown = _places(drafts, len(fronts))
    for k, (page, views) in enumerate(plans):
        marks = [
            (at, str(number), str(shown[number])) for one in views for number, at in one.items()
        ]
        content = (*page.content, *marked(page.content, room_on(sheet), marks))
        drafts[k] = _of_page(replace(page, content=content))
    first = 1 + len(fronts) + before  # number of the first detail's sheet
    return _bound(solution, whose, [*fronts, *_linked(drafts, references, details, first)])


def _of_page(page: Page) -> _Draft:
    return _Draft(page.name, page, page.group)


def _fronts(
    solution: Solution, whose: Particulars, drafts: Sequence[_Draft], sheet: Paper
) -> list[_Draft]:
    """The cover; the numbers on it depend on how many sheets it takes itself."""
    index = [(one.name, one.scale) for one in drafts]
    count = 0
    covers: list[list[Primitive]] = [[]]
    while len(covers) > count:
        count = len(covers)
        covers = cover(solution, whose, index, room_on(sheet), 1 + count, _places(drafts, count))
    return [
        _of_page(
            Page(sheet, "Cover" if k == 0 else f"Cover, continued {k}", "", tuple(content),
                 description="Cover: scope, rulebook, index of sheets, notes")
        )
        for k, content in enumerate(covers)
    ]  # fmt: skip


def _linked(
    drafts: Sequence[_Draft], references: list[Reference], details: list[Page], first: int
) -> list[_Draft]:
    """The drafts with marks on the elevations for the details, and their sheets beside these."""
    found = []
    left = set(range(len(references)))
    for draft in drafts:
        drawn = draft.drawn
        if isinstance(drawn, Sheet):
            marks = []
            for k in sorted(left):
                one = references[k]
                spot = spot_on(drawn, draft.sections, one.section, one.spot)
                if spot is not None:
                    marks.append((spot, str(one.number), str(first + one.page)))
                    left.discard(k)
            more = marked(drawn.primitives, drawn.area, marks)
            draft = replace(draft, drawn=replace(drawn, labels=(*drawn.labels, *more)))
        elif drawn in details:
            content = numbered_references(drawn.content, first + details.index(drawn))
            draft = replace(draft, drawn=replace(drawn, content=content))
        found.append(draft)
    return found


def _bound(solution: Solution, whose: Particulars, drafts: Sequence[_Draft]) -> Book:
    count = len(drafts)
    sheets = tuple(
        numbered(one.drawn, whose, number, count)
        if isinstance(one.drawn, Page)
        else numbered_sheet(one.drawn, number, count)
        for number, one in enumerate(drafts, start=1)
    )
    marks = tuple((one.group, one.name) for one in drafts)
    subject = f"Drawings of a stair guard, by {whose.code}"
    subject += "; no check fails" if solution.ok else "; does not pass"
    return Book(whose.title, subject, sheets, marks, whose.date, whose.drawn_by)


def _places(drafts: Sequence[_Draft], covers: int) -> dict[int, int]:
    """By section, the sheet on which its elevation starts."""
    found: dict[int, int] = {}
    for number, draft in enumerate(drafts, start=covers + 1):
        for section in draft.sections:
            found.setdefault(section, number)
    return found


def _elevation_drafts(elevations: list[_Drawn]) -> list[_Draft]:
    """The elevations, each on as many sheets as its match lines make of it."""
    drafts = []
    for numbers, name, sheets in elevations:
        for k, drawn in enumerate(sheets, start=1):
            part = f", {k} of {len(sheets)}" if len(sheets) > 1 else ""
            drafts.append(_Draft(name + part, drawn, "Elevations", numbers))
    return drafts


def _elevations(
    solution: Solution, whose: Particulars, paper: str | None
) -> tuple[str, list[_Drawn]]:
    """The elevations of all sections on one size of sheet, and its name."""
    job = solution.job
    names = (paper,) if paper is not None else PAPERS[job.units]
    told = [
        replace(facts_of(solution, k), whose=whose, rest=_REST)
        for k in range(1, len(solution.sections) + 1)
    ]
    for name in names:
        try:
            drawn = _on(solution, told, name)
        except SheetError:
            if name == names[-1]:
                raise
            continue
        good = all(sheets[0].scale.ratio >= GOOD[job.units] for _, _, sheets in drawn)
        if good or name == names[-1]:
            break
    return name, drawn


def _on(solution: Solution, told: list[Facts], name: str) -> list[_Drawn]:
    """The elevations on a size of sheet; short ones that follow each other share one."""
    job, first = solution.job, 0
    drawn: list[_Drawn] = []
    sections = [part.section for part in solution.sections]
    while first < len(sections):
        shared, count = None, 1
        for many in range(2, len(sections) - first + 1):
            chosen = slice(first, first + many)
            more = shared_sheet(sections[chosen], job, told[chosen], name)
            if more is None:
                break
            shared, count = more, many
        if shared is None:
            one = sheet_of_elevation(sections[first], job, told[first], name)
            title = f"Elevation of {sections[first].title}"
            drawn.append(((first + 1,), title, [one, *one.following]))
        else:
            numbers = tuple(range(first + 1, first + count + 1))
            names = "; ".join(sections[k - 1].title for k in numbers)
            drawn.append((numbers, f"Elevations of {names}", [shared]))
        first += count
    return drawn


def _cut_short(solution: Solution, elevations: list[_Drawn]) -> list[SectionSolution]:
    """The sections whose elevations have no room for every check."""
    return [
        solution.sections[number - 1]
        for numbers, _, sheets in elevations
        for number in numbers
        if any(
            isinstance(one, Text) and one.group == "table" and _REST in one.content
            for one in sheets[0].furniture
        )
    ]


def _pages(solution: Solution, sheet: Paper, cut_short: list[SectionSolution]) -> list[Page]:
    """Schedules, framing and loads, not yet numbered."""
    cuts = cut_list(solution)
    area = room_on(sheet)
    pages = _listed("Schedules", schedules(solution, cuts, area, cut_short), sheet)
    pages += framing_pages(solution, sheet)
    pages += _listed("Loads", loads_pages(solution, area), sheet)
    return pages


def _working(solution: Solution, sheet: Paper) -> list[Page]:
    from stairs.drawing.sets.working.working import working_pages

    return _listed("Working", working_pages(solution, room_on(sheet)), sheet)


def _listed(name: str, contents: list[list[Primitive]], sheet: Paper) -> list[Page]:
    count = len(contents)
    return [
        Page(sheet, name if count == 1 else f"{name}, {k} of {count}", "", tuple(content),
             description=name, group=name if count > 1 else "")
        for k, content in enumerate(contents, start=1)
    ]  # fmt: skip
