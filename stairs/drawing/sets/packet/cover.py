"""The cover of a packet: what the set is for, by which book, what fails, which sheets follow."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from stairs.checks.finding import MARGINAL, NOT_APPLICABLE, Finding
from stairs.drawing.paper.lettering import SMALL, TITLE, USUAL, wrapped
from stairs.drawing.paper.primitives import Area, Primitive, Text, line, rectangle
from stairs.drawing.sheets.own_values import own_values
from stairs.drawing.sheets.page import checks_failing
from stairs.drawing.sheets.page_text import Column, Flow, band, largest
from stairs.drawing.sheets.sheet_words import (
    assumed_in_words,
    clause_text,
    figure,
    unusual_in_words,
)
from stairs.drawing.sheets.side_column import CAUTION
from stairs.drawing.sheets.title_block import Particulars
from stairs.guard.sides import standings
from stairs.guard.solving import LevelSection, Section
from stairs.job import Job
from stairs.lengths.tape_marks import true_text
from stairs.report.columns import counted
from stairs.report.findings import also_failing, off_text, value_texts, what_text
from stairs.report.loads_text import NOT_A_DESIGN
from stairs.rules import ALSO_ASKS
from stairs.solution import SectionSolution, Solution

NAME_HEIGHT = 7.0
_LETTERS = (TITLE, 4.2, USUAL, 3.0, SMALL)
"""Heights of a capital, so that a cover is not lettered smaller than its paper asks for [mm]."""

NOTES = (
    "All heights and openings are those of the guard as drawn, plumb from the nosing line on a "
    "flight and from the deck or landing on a level run.",
    "Gaps, clears and openings are face to face; spacing is centre to centre.",
    "Dimensions on the sheets rule over what is measured off them: copies shrink. Each scale is "
    "written beside its view, with a bar to measure.",
    "Materials, finishes, fasteners and anchors, and the maker's listing, are to be filled in by "
    "who supplies them.",
    "Limits marked * are to be confirmed: they were not read in the code itself.",
    CAUTION,
    f"Loads: {NOT_A_DESIGN[0].lower()}{NOT_A_DESIGN[1:]}",
)
BLANKS = (
    "Maker and listing", "Material and finish", "Fasteners and anchors", "Permit number",
    "Reviewed by, date",
)  # fmt: skip
"""Lines that are filled in by hand."""
STAMP = "Stamp of the office"


def cover(
    solution: Solution,
    whose: Particulars,
    index: Sequence[tuple[str, str]],
    area: Area,
    first: int = 1,
    elevations: Mapping[int, int] | None = None,
) -> list[list[Primitive]]:
    """The cover, and as many pages more as it takes, as primitives."""
    left, bottom, right, top = area
    drawn: list[Primitive] = []
    y = top
    failing = failures(solution)
    if failing:
        drawn += band(f"DOES NOT PASS: {checks_failing(solution)}", left, right, y)
        y -= 12.0
    for row in wrapped(whose.title, NAME_HEIGHT, right - left, 3):
        y -= NAME_HEIGHT * 1.15
        drawn.append(Text(row, (left, y), NAME_HEIGHT, "title"))
        y -= NAME_HEIGHT * 0.45
    y -= 1.5
    for entry in whose.address:
        for row in wrapped(entry, SMALL * 1.4, right - left, 2):
            y -= 6.2
            drawn.append(Text(row, (left, y), SMALL * 1.4, "title"))
    if not whose.address:
        y -= 6.2
        drawn.append(Text("Address:", (left, y), SMALL * 1.4, "title"))
        drawn.append(line((left + 24.0, y - 0.8), (left + 150.0, y - 0.8), "blank"))
    y -= 4.5
    drawn.append(line((left, y), (right, y), "title"))
    count = 2 if right - left > 180 else 1

    def build(flow: Flow, blanks_last: bool) -> None:
        _scope(flow, solution)
        _verdicts(flow, solution, failing, elevations or {})
        local = "Local values in place of the rulebook's"
        _told(flow, local, own_values(solution.job))
        if not solution.job.local:
            flow.heading(local)
            flow.paragraph("None.")
        _told(flow, "Assumed, since the job does not say", assumed_in_words(solution.job))
        _told(flow, ALSO_ASKS, solution.rulebook.also_asks)
        _told(flow, "Measure again", unusual_in_words(solution))
        if not blanks_last:
            _blanks(flow)
        if count > 1:
            flow.fresh()
        _index(flow, index, first)
        _notes(flow)
        if blanks_last:
            _blanks(flow)

    ways = (lambda flow: build(flow, True), lambda flow: build(flow, False))
    pages = largest(ways, area, (count,), top - y + 3.5, _LETTERS)
    pages[0] = drawn + pages[0]
    return pages


def failures(solution: Solution) -> list[tuple[SectionSolution, Finding]]:
    """Every failing check with its section's answer, in order."""
    return [
        (part, finding) for part in solution.sections for finding in part.findings if finding.fails
    ]


def _scope(flow: Flow, solution: Solution) -> None:
    job, sections = solution.job, solution.guard.sections
    flow.heading("Scope")
    flights = sum(section.kind == "flight" for section in sections)
    kinds = [(flights, "flight"), (len(sections) - flights, "level run")]
    posts = sum(each.quantity for each in standings(sections))
    bays = sum(len(section.bays) * section.sides for section in sections)
    flow.paragraph(
        f"The guard of {' and '.join(counted(*kind) for kind in kinds if kind[0])}: "
        f"{counted(posts, 'post')}, {counted(bays, 'bay')}. Geometry only."
    )
    flow.skip(1.5)

    rows = []
    for section in sections:
        flight = section.flight
        rows.append(
            (
                str(section.number),
                (section.name or ("flight" if flight else "level run"))
                + (", both sides" if section.sides == 2 else ""),
                _risers(job, section),
                figure(job, float(flight.total_run) if flight else section.posts[-1].x),
                f"{section.rake:.1f}°" if flight else "",
                figure(job, section.guard_height),
                figure(job, section.bottom_gap),
            )
        )
    flow.table(
        (
            Column("SECTION", True), Column("NAME", least=18.0), Column("RISERS", least=16.0),
            Column("RUN", True), Column("RAKE", True), Column("GUARD HEIGHT", True),
            Column("BOTTOM GAP", True),
        ),
        rows,
    )  # fmt: skip
    flow.heading("Checked against")
    book = solution.rulebook
    flow.paragraph(f"{book.title} {book.edition}".strip() + f" ({book.id})")
    if job.use:
        flow.paragraph(f"Use: {job.use}")


def _risers(job: Job, section: Section) -> str:
    """How many risers a flight has, and how high where they are alike; else what it stands on."""
    if isinstance(section, LevelSection):
        return section.surface.kind
    count = str(section.flight.risers)
    if section.flight.survey is not None:
        return count
    rise = float(section.flight.unit_rise)
    return f"{count} of {true_text(rise, job.units, job.tape, unit=job.units == 'in')}"


def _verdicts(
    flow: Flow,
    solution: Solution,
    failing: Sequence[tuple[SectionSolution, Finding]],
    elevations: Mapping[int, int],
) -> None:
    """How many checks pass, and each that fails or is too near to tell."""
    job = solution.job
    found = [(part, one) for part in solution.sections for one in part.findings]
    judged = [one for _, one in found if one.verdict != NOT_APPLICABLE]
    near = [(part, one) for part, one in found if one.outcome == MARGINAL]
    flow.paragraph(
        f"{counted(len(judged), 'check')}: {len(judged) - len(failing) - len(near)} pass, "
        f"{len(near)} near the limit, {len(failing)} fail. Each is listed beside the elevation "
        "of its section, or in the schedules."
    )
    for title, pairs in (("What fails", failing), ("Near the limit", near)):
        if not pairs:
            continue
        flow.heading(title)
        flow.table(
            (Column("SECTION", True), Column("CHECK", least=26.0), Column("FOUND", True),
             Column("LIMIT"), Column("CLAUSE", least=20.0), Column("ON SHEET", True)),
            [_row(job, part, finding, elevations) for part, finding in pairs],
        )  # fmt: skip
        if pairs is near:
            flow.paragraph("These pass as drawn, but could fail if every measurement were "
                           f"{off_text(job)}.")  # fmt: skip
            continue
        for part, finding in pairs:
            for remedy in part.remedies.get(finding.id, ())[:1]:
                flow.paragraph(f"{finding.title}: {remedy.text}", 4.0 * flow.size, "-")


def _row(
    job: Job, part: SectionSolution, finding: Finding, elevations: Mapping[int, int]
) -> tuple[str, ...]:
    value, limit, _ = value_texts(job, finding)
    also = also_failing(part, finding)
    return (
        str(part.section.number),
        what_text(job, finding) + (f"; also {also}" if also else ""),
        value,
        limit,
        clause_text(finding.ruling),
        str(elevations.get(part.section.number, "")),
    )


def _told(flow: Flow, heading: str, told: Sequence[str]) -> None:
    """A list under its heading; neither where there is nothing to tell."""
    if told:
        flow.heading(heading)
    for words in told:
        flow.paragraph(words, 4.0 * flow.size, "-")


def _index(flow: Flow, index: Sequence[tuple[str, str]], first: int) -> None:
    flow.heading("Sheets")
    rows = [(str(k), name, scale) for k, (name, scale) in enumerate(index, start=first)]
    own = ("Cover", *(f"Cover, continued {k}" for k in range(1, first - 1)))
    rows[:0] = [(str(k), name, "") for k, name in enumerate(own, start=1)]
    flow.table((Column("SHEET", True), Column("WHAT IT SHOWS", least=40.0), Column("SCALE")), rows)


def _notes(flow: Flow) -> None:
    flow.heading("Notes and cautions")
    for number, words in enumerate(NOTES, start=1):
        flow.paragraph(words, 7.0 * flow.size, f"{number}.")


def _blanks(flow: Flow) -> None:
    """Lines that are filled in by hand, and a place for the office's stamp."""
    step = 8.6 * flow.size
    height = step * len(BLANKS) + 2.5
    flow.skip(4.0)
    stamp = flow.width - min(height, flow.width * 0.34)
    drawn: list[Primitive] = [
        rectangle((0.0, -height), (flow.width, 0.0), "blank"),
        line((stamp, -height), (stamp, 0.0), "blank"),
        Text(STAMP, (stamp + 2.5, -step * 0.6), flow.letter, "blank"),
    ]
    for k, words in enumerate(BLANKS):
        y = -step * (k + 0.85)
        drawn.append(Text(words, (2.5, y), flow.letter, "blank"))
        drawn.append(line((44.0 * flow.size, y - 0.8), (stamp - 3.0, y - 0.8), "blank"))
    flow.put(drawn, height)
