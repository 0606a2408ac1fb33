"""The cover of a packet: what the set is for, by which book, what fails, which sheets follow."""

from __future__ import annotations

from collections.abc import Sequence

from stairs.drawing.flow import Column, Flow, band, side_by_side
from stairs.drawing.furniture import CAUTION
from stairs.drawing.lettering import SMALL, wrapped
from stairs.drawing.page import Particulars
from stairs.drawing.primitives import FINE, THICK, Primitive, Text, line, rectangle
from stairs.hands import standings
from stairs.loads import NOT_A_DESIGN
from stairs.marks import exact_text, length_text
from stairs.rules import CHECKS
from stairs.verdicts import value_texts

NAME_HEIGHT = 7.0
_GAP = 12.0

NOTES = (
    "All heights and openings are those of the guard as drawn, plumb from the nosing line on a "
    "flight and from the walking surface on a level run.",
    "Gaps, clears and openings are face to face; pitch and spacing are centre to centre.",
    "Dimensions on the sheets rule over what is measured off them: copies shrink. Each scale is "
    "written beside its view, with a bar to measure.",
    "Materials, finishes, fasteners and anchors, and the maker's listing, are to be filled in by "
    "who supplies them.",
    "Limits marked * were not read in the code itself. Have them checked before relying on them.",
    CAUTION,
    f"Loads: {NOT_A_DESIGN[0].lower()}{NOT_A_DESIGN[1:]}",
)


def cover(
    answer, whose: Particulars, index: Sequence[tuple[str, str]], area, first: int = 1
) -> list[list[Primitive]]:
    """The cover, and as many pages more as it takes, as primitives.

    Parameters
    ----------
    answer : stairs.answer.Answer
        Of a job.
    whose : Particulars
        Title and address.
    index : sequence of (str, str)
        Name and scale of every sheet after the cover.
    area : tuple of float
        Room on every page [mm on paper].
    first : int
        Number of the first sheet of the index.
    """
    left, bottom, right, top = area
    drawn: list[Primitive] = []
    y = top
    failing = failures(answer)
    if failing:
        count = "1 CHECK FAILS" if len(failing) == 1 else f"{len(failing)} CHECKS FAIL"
        drawn += band(f"DOES NOT PASS: {count}", left, right, y)
        y -= 12.0
    for row in wrapped(whose.title, NAME_HEIGHT, right - left, 3):
        y -= NAME_HEIGHT * 1.15
        drawn.append(Text(row, (left, y), NAME_HEIGHT, "title"))
        y -= NAME_HEIGHT * 0.45
    y -= 1.5
    for entry in whose.address or ("Address:",):
        for row in wrapped(entry, SMALL * 1.4, right - left, 2):
            y -= 6.2
            drawn.append(Text(row, (left, y), SMALL * 1.4, "title"))
    y -= 4.5
    drawn.append(line((left, y), (right, y), THICK, "title"))
    count = 2 if right - left > 180 else 1
    wide = (right - left - _GAP * (count - 1)) / count
    flow = Flow((left, bottom, left + wide, y - 3.5))
    _scope(flow, answer, failing)
    if count == 2:
        flow.fresh()
    _index(flow, index, first)
    _notes(flow)
    _blanks(flow)
    pages = side_by_side(flow.pages, count, wide + _GAP)
    pages[0] = drawn + pages[0]
    return pages


def failures(answer) -> list[tuple]:
    """Every failing check with its section's answer, in order."""
    return [
        (part, finding)
        for part in answer.sections
        for finding in part.findings
        if finding.verdict == "fail"
    ]


def _scope(flow: Flow, answer, failing) -> None:
    job, sections = answer.job, answer.guard.sections
    book = answer.rulebook
    flow.heading("Scope")
    flights = sum(section.kind == "flight" for section in sections)
    kinds = [_many(flights, "flight"), _many(len(sections) - flights, "level run")]
    posts = sum(each.quantity for each in standings(sections, answer.joins))
    bays = sum(len(section.bays) * section.sides for section in sections)
    flow.paragraph(
        f"The guard of {' and '.join(kind for kind in kinds if kind)}: {_many(posts, 'post')}, "
        f"{_many(bays, 'bay')}. Geometry only."
    )
    flow.heading("Checked against")
    flow.paragraph(f"{book.title} {book.edition}".strip() + f" ({book.id})")
    if job.use:
        flow.paragraph(f"Use: {job.use}")
    _local(flow, job)
    if failing:
        flow.heading("What fails")
        flow.table(
            (Column("SECTION"), Column("CHECK", least=34.0), Column("FOUND", True),
             Column("LIMIT"), Column("CLAUSE", least=20.0)),
            [_failure_row(job, part, finding) for part, finding in failing],
        )  # fmt: skip
        for part, finding in failing:
            for remedy in part.remedies.get(finding.id, ())[:1]:
                flow.paragraph(f"{finding.title}: {remedy.text}", 4.0, "-")
    if job.assumed:
        flow.heading("Assumed, since the job does not say")
        for words in job.assumed:
            flow.paragraph(words.replace("_", " "), 4.0, "-")


def _failure_row(job, part, finding) -> tuple[str, ...]:
    value, limit, _ = value_texts(job, finding)
    told = finding.where and finding.where not in finding.title
    return (
        str(part.section.number),
        finding.title + (f", {finding.where}" if told else ""),
        value,
        limit,
        finding.clause.replace("_", " ") + ("" if finding.verified else "*"),
    )


def _local(flow: Flow, job) -> None:
    flow.heading("Local values in place of the rulebook's")
    if not job.local:
        flow.paragraph("None.")
    for own in job.local:
        check = CHECKS.get(own.check)
        unit = getattr(check, "unit", "length")
        if unit == "length":
            on_mark = (own.limit / job.tape).denominator == 1
            limit = (
                length_text(own.limit, job.units, job.tape)
                if on_mark
                else exact_text(own.limit, job.units)
            )
        else:
            limit = f"{float(own.limit):g}" + ("°" if unit == "degrees" else "")
        title = getattr(check, "title", own.check)
        flow.paragraph(f"{title}: {limit}. Reason: {own.reason}", 4.0, "-")


def _index(flow: Flow, index, first: int) -> None:
    flow.heading("Sheets")
    rows = [(str(k), name, scale) for k, (name, scale) in enumerate(index, start=first)]
    rows.insert(0, ("1", "Cover", ""))
    flow.table((Column("SHEET", True), Column("WHAT IT SHOWS", least=40.0), Column("SCALE")), rows)


def _notes(flow: Flow) -> None:
    flow.heading("Notes and cautions")
    for number, words in enumerate(NOTES, start=1):
        flow.paragraph(words, 7.0, f"{number}.")


def _blanks(flow: Flow) -> None:
    """Lines that are filled in by hand."""
    height = 31.0
    flow.skip(5.0)
    drawn: list[Primitive] = [rectangle((0.0, -height), (flow.width, 0.0), FINE, "blank")]
    for k, words in enumerate(("Maker and listing", "Material and finish", "Reviewed by, date")):
        y = -7.5 - k * 9.5
        drawn.append(Text(words, (2.5, y), SMALL, "blank"))
        drawn.append(line((44.0, y - 0.8), (flow.width - 3.0, y - 0.8), FINE, "blank"))
    flow.put(drawn, height)


def _many(count: int, word: str) -> str:
    if count == 0:
        return ""
    return f"1 {word}" if count == 1 else f"{count} {word}s"
