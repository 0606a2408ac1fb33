"""What stands beside the answer: own values, what was assumed, what is unusual, what fails.

Each is told on the screen and on every sheet in the same words.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

from msgspec import Struct

from stairs.job import Job
from stairs.job.form import is_made_up
from stairs.job.key_notes import keys_of, value_of, with_values
from stairs.job.ranges import unusual_text
from stairs.job.sections import section_where
from stairs.lengths.tape_marks import exact_text
from stairs.report.columns import KEPT, wrap
from stairs.report.findings import count_of_failures, value_texts, what_text
from stairs.rules import CHECKS
from stairs.solution import Solution


def own_value_texts(job: Job) -> tuple[str, ...]:
    """Each value that the user put over the rulebook, with its reason."""
    texts = []
    for own in job.local:
        is_length = own.check in CHECKS and CHECKS[own.check].unit == "length"
        value = exact_text(own.limit, job.units) if is_length else f"{float(own.limit):g}"
        texts.append(f"own value: {own.check} {value}: {own.reason}")
    return tuple(texts)


def assumed_texts(job: Job) -> tuple[str, ...]:
    """What was taken as it was because the job does not say; once, with the sections it is for."""
    prefixes = {
        f"{section_where(number, section.name)}: ": str(number)
        for number, section in enumerate(job.sections, 1)
    }
    sections: dict[str, list[str]] = {}
    for line in job.assumed:
        prefix = next((one for one in prefixes if line.startswith(one)), "")
        numbers = sections.setdefault(line[len(prefix) :], [])
        if prefix:
            numbers.append(prefixes[prefix])
    texts = []
    for text, numbers in sections.items():
        if numbers and len(job.sections) > 1:
            text += f": section{'s' if len(numbers) > 1 else ''} {', '.join(numbers)}"
        texts.append(text)
    return tuple(texts)


MADE_UP = (
    "Every measurement is still the one made up for the form: no stair is like this one. Measure "
    "yours, and write it over"
)


def unusual_texts(solution: Solution) -> tuple[str, ...]:
    """What can be meant and is unusual, to be measured again; made-up measurements first.

    A text for each, which begins with its place in the job file.
    """
    job, texts = solution.job, []
    if is_made_up(job):
        texts.append(MADE_UP)
    tables: list[tuple[Struct, str]] = [
        (job.panel, "panel"),
        (job.bracket, "bracket"),
        (job.post, "post"),
    ]
    for part in solution.sections:
        record = job.sections[part.section.number - 1]
        if part.section.line.opposite_of:
            continue
        where = section_where(part.section.number, record.name)
        flight = part.section.flight
        if flight is not None and record.kind == "flight" and record.steps.nosings is None:
            rise, run = Fraction(float(flight.unit_rise)), Fraction(float(flight.unit_run))
            tables.append((with_values(record, unit_rise=rise, unit_run=run), where))
        else:
            tables.append((record, where))
    for table, where in tables:
        texts += _unusual_of(table, where, job.units)
    return tuple(dict.fromkeys(texts))


def _unusual_of(record: Struct, where: str, units: str) -> list[str]:
    """The lines for one table; of a list each length by itself, of posts the distances between."""
    texts = []
    for key, what in keys_of(type(record)).items():
        value = value_of(record, key)
        if isinstance(value, Struct):
            texts += _unusual_of(value, f"{where}: {key}", units)
        if what.range is None or key == "holes":
            continue
        values = value if isinstance(value, tuple) else (value,)
        if key == "posts" and value is not None:
            values = tuple(after - before for before, after in pairwise(value))
        unit = "degrees" if what.note.reads == "degrees" else units
        for one in values:
            if isinstance(one, Fraction):
                texts.append(unusual_text(f"{where}: {key}", one, unit, what.range[units]))
    return [text for text in texts if text]


_NAMED = 3  # failing checks that a warning names


def warning_text(solution: Solution) -> str:
    """What fails, in a sentence, for a screen that shows no verdicts; empty where nothing does."""
    failing = [one for part in solution.sections for one in part.findings if one.fails]
    if not failing:
        return ""
    named = []
    for finding in failing[:_NAMED]:
        value, limit, _ = value_texts(solution.job, finding)
        what = what_text(solution.job, finding)
        where = f"section {finding.section}, " if len(solution.sections) > 1 else ""
        cut = " as cut" if finding.fails_only_as_cut else ""
        named.append(f"{where}{what}: {value}{cut}, {limit.replace(' ', KEPT)}")
    more = len(failing) - len(named)
    named += [f"and {more} more"] if more else []
    return wrap(
        f"NOT READY TO BUILD: {count_of_failures(solution.sections)} ({'; '.join(named)}). "
        "See what to change with stairs check before anything is bought or cut.",
        "",
        "  ",
    )
