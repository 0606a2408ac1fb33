"""The packet: the whole set that a permit office takes, in one PDF.

Cover, plan, the elevation of every section, enlarged details, schedules, the framing under level
runs where it is given, and the loads.  A guard that fails is drawn too: the cover has a band and
lists what fails, and the elevations point at it.
"""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from stairs.cuts import cut_list
from stairs.drawing.book import Book, write_book
from stairs.drawing.cover import cover
from stairs.drawing.details import detail_pages
from stairs.drawing.facts import Facts, facts_of
from stairs.drawing.framing_view import framing_pages
from stairs.drawing.loads_page import loads_pages
from stairs.drawing.page import (
    Page,
    Particulars,
    numbered,
    paper_for,
    particulars_of,
    room_on,
)
from stairs.drawing.paper import GOOD, Paper
from stairs.drawing.plan_view import plan_pages
from stairs.drawing.primitives import Text
from stairs.drawing.schedules import schedules
from stairs.drawing.shared_sheet import shared_sheet
from stairs.drawing.sheet import Sheet, sheet_of_elevation
from stairs.errors import SheetError

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
    """The packet of a job.

    Parameters
    ----------
    answer : stairs.answer.Answer
        Of a job.
    paper : str, optional
        Name of a sheet size for the whole set; the job's own, or the smallest that does, where it
        is left out.

    Raises
    ------
    stairs.errors.SheetError
        There is no such sheet, or a view does not fit it.
    """
    job = answer.job
    whose = particulars_of(job)
    name, elevations = _elevations(answer, paper or job.sheet.paper)
    sheet = paper_for(job.units, name, job=job)
    plans = plan_pages(answer, sheet, 2)
    pages = [*plans, *_pages(answer, sheet, _cut_short(answer, elevations))]
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
        for k, page in enumerate(plan_pages(answer, sheet, 1 + len(covers))):
            drafts[k] = replace(drafts[k], page=page)
    fronts = [
        Page(sheet, "Cover" if k == 0 else f"Cover, continued {k}", "", tuple(content),
             description="Cover: scope, rulebook, index of sheets, notes")
        for k, content in enumerate(covers)
    ]  # fmt: skip
    return _bound(answer, whose, fronts, drafts)


def write_packet(answer, path, paper: str | None = None) -> Book:
    """Write the packet and hand it back.

    Parameters
    ----------
    answer : stairs.answer.Answer
        Of a job.
    path : str or os.PathLike
        Its ending is ``.pdf``.
    paper : str, optional
        As for :func:`packet_book`.

    Raises
    ------
    stairs.errors.SheetError
        There is no such sheet, or a view does not fit it.
    stairs.errors.JobError
        For another ending.
    stairs.errors.FileError
        Where the file cannot be written; whatever was there before is left as it was.
    """
    book = packet_book(answer, paper)
    write_book(book, path)
    return book


def _bound(answer, whose: Particulars, fronts, drafts) -> Book:
    count = len(fronts) + len(drafts)
    sheets = [numbered(page, whose, k, count) for k, page in enumerate(fronts, start=1)]
    marks = [("", page.name) for page in fronts]
    for number, draft in enumerate(drafts, start=len(fronts) + 1):
        marks.append((draft.group, draft.name))
        if draft.page is None:
            sheets.append(_numbered_elevation(draft.sheet, number, count))
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


def _numbered_elevation(drawn: Sheet, number: int, count: int) -> Sheet:
    """The elevation with its own number in its title block."""
    furniture = tuple(
        replace(one, content=f"{number} OF {count}")
        if getattr(one, "content", None) == "1 OF 1" and one.group == "title-block"
        else one
        for one in drawn.furniture
    )
    return replace(drawn, furniture=furniture)


def _elevations(answer, paper: str | None) -> tuple[str, list[_Drawn]]:
    """The elevations of all sections on one size of sheet, and its name."""
    job = answer.job
    names = (paper,) if paper is not None else PAPERS[job.units]
    error = None
    told = [replace(facts_of(answer, k), rest=_REST) for k in range(1, len(answer.sections) + 1)]
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
    """Everything but cover, plan and elevations, not yet numbered."""
    cuts = cut_list(answer)
    area = room_on(sheet)
    pages = detail_pages(answer, sheet)
    pages += _listed("Schedules", schedules(answer, cuts, area, cut_short), sheet)
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
