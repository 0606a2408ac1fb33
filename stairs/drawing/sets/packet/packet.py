"""The packet: the whole set that a permit office takes, in one PDF.

Cover, plan, the elevation of every section, enlarged details, schedules, the framing under level
runs where it is given, and the loads.  A guard that fails is drawn too: the cover has a band and
lists what fails, and the elevations point at it.
"""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from stairs.drawing.files.pdf import Book
from stairs.drawing.paper.primitives import Text
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
from stairs.drawing.sheets.title_block import Particulars
from stairs.drawing.views.details.details import referred_details
from stairs.drawing.views.elevation.shared_sheet import shared_sheet
from stairs.drawing.views.elevation.sheet import sheet_of_elevation
from stairs.drawing.views.framing import framing_pages
from stairs.drawing.views.plan.plan import plan_pages
from stairs.errors import SheetError
from stairs.lists.cut_list import cut_list

PAPERS = {"in": ("tabloid", "ARCH C", "ARCH D"), "mm": ("A3", "A2")}
"""Sheets that a packet is tried on, smallest first, by units of the job."""


_REST = "see the schedules"  # where the checks are that an elevation has no room for


_Drawn = tuple[tuple[int, ...], str, list[Sheet]]
"""Numbers of the sections that an elevation shows, its name, and its sheets."""


class _Draft(Struct, frozen=True):
    """One sheet of the set before it has a number."""

    name: str
    scale: str
    page: Page | None = None
    sheet: Sheet | None = None
    group: str = ""
    sections: tuple[int, ...] = ()


def packet_book(answer, paper: str | None = None) -> Book:
    """The packet of a job."""
    job = answer.job
    whose = replace(particulars_of(answer), stamp=True)
    name, elevations = _elevations(answer, whose, paper or job.sheet.paper)
    sheet = paper_for(job.units, name, job=job)
    plans = plan_pages(answer, sheet, 2)
    details, references = referred_details(answer, sheet)
    pages = [
        *(page for page, _ in plans),
        *details,
        *_pages(answer, sheet, _cut_short(answer, elevations)),
    ]
    scales = {one.name: one.scale for one in pages}
    drafts = [_Draft(page.name, page.scale, page, group=page.group) for page in pages]
    at = len(plans)
    drafts[at:at] = _elevation_drafts(elevations)
    index = [(one.name, scales.get(one.name, one.scale)) for one in drafts]
    count = 0
    while True:  # the numbers on the cover depend on how many sheets it takes itself
        covers = cover(
            answer, whose, index, room_on(sheet), 1 + max(count, 1), _places(drafts, max(count, 1))
        )
        if len(covers) <= max(count, 1):
            break
        count = len(covers)
    if at > 1 and len(covers) > 1:  # match lines name the sheet that the work goes on upon
        plans = plan_pages(answer, sheet, 1 + len(covers))
        for k, (page, _) in enumerate(plans):
            drafts[k] = replace(drafts[k], page=page)
    fronts = [
        Page(sheet, "Cover" if k == 0 else f"Cover, continued {k}", "", tuple(content),
             description="Cover: scope, rulebook, index of sheets, notes")
        for k, content in enumerate(covers)
    ]  # fmt: skip
    shown = _places(drafts, len(fronts))
    for k, (page, views) in enumerate(plans):
        marks = [
            (at, str(number), str(shown[number])) for one in views for number, at in one.items()
        ]
        content = (*page.content, *marked(page.content, room_on(sheet), marks))
        drafts[k] = replace(drafts[k], page=replace(page, content=content))
    first = 1 + len(fronts) + len(drafts) - len(pages) + len(plans)  # sheet of the first detail
    return _bound(answer, whose, fronts, _linked(drafts, references, details, first))


def _linked(drafts, references: list[Reference], details: list[Page], first: int) -> list[_Draft]:
    """The drafts with marks on the elevations for the details, and their sheets beside these."""
    found = []
    left = set(range(len(references)))
    for draft in drafts:
        if draft.sheet is not None:
            marks = []
            for k in sorted(left):
                one = references[k]
                spot = spot_on(draft.sheet, draft.sections, one.section, one.spot)
                if spot is not None:
                    marks.append((spot, str(one.number), str(first + one.page)))
                    left.discard(k)
            drawn = marked(draft.sheet.primitives, draft.sheet.area, marks)
            sheet = replace(draft.sheet, labels=(*draft.sheet.labels, *drawn))
            draft = replace(draft, sheet=sheet)
        elif draft.page in details:
            number = first + details.index(draft.page)
            content = numbered_references(draft.page.content, number)
            draft = replace(draft, page=replace(draft.page, content=content))
        found.append(draft)
    return found


def _bound(answer, whose: Particulars, fronts, drafts) -> Book:
    count = len(fronts) + len(drafts)
    sheets = [numbered(page, whose, k, count) for k, page in enumerate(fronts, start=1)]
    marks = [("", page.name) for page in fronts]
    for number, draft in enumerate(drafts, start=len(fronts) + 1):
        marks.append((draft.group, draft.name))
        if draft.page is None:
            sheets.append(numbered_sheet(draft.sheet, number, count))
        else:
            sheets.append(numbered(draft.page, whose, number, count))
    failing = not answer.ok
    book = answer.rulebook
    subject = f"Drawings of a stair guard, by {book.title} {book.edition}".rstrip()
    subject += "; does not pass" if failing else "; no check fails"
    return Book(whose.title, subject, tuple(sheets), tuple(marks), whose.date, whose.drawn_by)


def _places(drafts, covers: int) -> dict[int, int]:
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
            drafts.append(
                _Draft(name + part, drawn.scale.words, None, drawn, "Elevations", numbers)
            )
    return drafts


def _elevations(answer, whose: Particulars, paper: str | None) -> tuple[str, list[_Drawn]]:
    """The elevations of all sections on one size of sheet, and its name."""
    job = answer.job
    names = (paper,) if paper is not None else PAPERS[job.units]
    error = None
    told = [
        replace(facts_of(answer, k), whose=whose, rest=_REST)
        for k in range(1, len(answer.sections) + 1)
    ]
    for name in names:
        try:
            drawn = _on(answer, told, name)
        except SheetError as found:
            error = found
            continue
        good = all(sheets[0].scale.ratio >= GOOD[job.units] for _, _, sheets in drawn)
        if good or name == names[-1]:
            return name, drawn
    raise error


def _on(answer, told: list[Facts], name: str) -> list[_Drawn]:
    """The elevations on a size of sheet; short ones that follow each other share one."""
    job, drawn, first = answer.job, [], 0
    sections = [part.section for part in answer.sections]
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
            title = f"Elevation of {_section_name(sections[first])}"
            drawn.append(((first + 1,), title, [one, *one.following]))
        else:
            numbers = tuple(range(first + 1, first + count + 1))
            names = "; ".join(_section_name(sections[k - 1]) for k in numbers)
            drawn.append((numbers, f"Elevations of {names}", [shared]))
        first += count
    return drawn


def _cut_short(answer, elevations: list[_Drawn]) -> list:
    """The sections whose elevations have no room for every check."""
    return [
        answer.sections[number - 1]
        for numbers, _, sheets in elevations
        for number in numbers
        if any(isinstance(one, Text) and _REST in one.content for one in sheets[0].furniture)
    ]


def _section_name(section) -> str:
    return section.name or f"section {section.number}"


def _pages(answer, sheet: Paper, cut_short) -> list[Page]:
    """Schedules, framing and loads, not yet numbered."""
    cuts = cut_list(answer)
    area = room_on(sheet)
    pages = _listed("Schedules", schedules(answer, cuts, area, cut_short), sheet)
    pages += framing_pages(answer, sheet)
    pages += _listed("Loads", loads_pages(answer, area), sheet)
    return pages


def _listed(name: str, contents, sheet: Paper) -> list[Page]:
    count = len(contents)
    return [
        Page(sheet, name if count == 1 else f"{name}, {k} of {count}", "", tuple(content),
             description=name, group=name if count > 1 else "")
        for k, content in enumerate(contents, start=1)
    ]  # fmt: skip
