"""How a finding reads: value, limit and margin in words that never mislead.

A checked value is printed so that it never reads as if it were on the other side of its limit, and
the findings of a section are grouped by verdict, the worst first, failures with what to change.
"""

from __future__ import annotations

import re
import textwrap
from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

from msgspec import Struct

from stairs.checks.finding import FAIL, MARGINAL, NOT_APPLICABLE, PASS, Finding
from stairs.checks.part_values import BUILDABLE
from stairs.job import Job
from stairs.job.form import is_made_up
from stairs.job.key_notes import keys_of, value_of, with_values
from stairs.job.ranges import unusual_text
from stairs.job.sections import section_where
from stairs.lengths.tape_marks import (
    angle_against_limit,
    exact_text,
    fall_text,
    length_text,
    text_against_limit,
)
from stairs.report.columns import KEPT, WIDTH, in_a_row, wrap
from stairs.rules import CHECKS
from stairs.solution import Answer, SectionAnswer

STEP = ("unit_rise", "unit_run")


def own_value_texts(job: Job) -> tuple[str, ...]:
    """Each value that the user put over the rulebook, with its reason; for every sheet and report.

    Parameters
    ----------
    job : stairs.job.Job
        With its own values, if any.
    """
    texts = []
    for own in job.local:
        is_length = own.check in CHECKS and CHECKS[own.check].unit == "length"
        value = exact_text(own.limit, job.units) if is_length else f"{float(own.limit):g}"
        texts.append(f"own value: {own.check} {value}: {own.reason}")
    return tuple(texts)


def assumed_texts(job: Job) -> tuple[str, ...]:
    """What was taken as it was because the job does not say; once, with the sections it is for.

    Parameters
    ----------
    job : stairs.job.Job
        With what was assumed when it was read.
    """
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


def unusual_texts(answer: Answer) -> tuple[str, ...]:
    """What can be meant and is unusual, to be measured again; made-up measurements first.

    Parameters
    ----------
    answer : stairs.solution.Answer
        Of a job.

    Returns
    -------
    tuple of str
        A line for each, its place in the job file first.
    """
    job, texts = answer.job, []
    if is_made_up(job):
        texts.append(MADE_UP)
    tables = [(job.panel, "panel"), (job.bracket, "bracket"), (job.post, "post")]
    for part in answer.sections:
        record = job.sections[part.section.number - 1]
        if part.section.line.opposite_of:
            continue
        where = section_where(part.section.number, record.name)
        flight = part.section.flight
        if flight is not None and record.steps.nosings is None:
            steps = {name: Fraction(float(getattr(flight, name))) for name in STEP}
            record = with_values(record, **steps)
        tables.append((record, where))
    for record, where in tables:
        texts += _unusual_of(record, where, job.units)
    return tuple(dict.fromkeys(texts))


def _unusual_of(record, where: str, units: str) -> list[str]:
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
            values = [after - before for before, after in pairwise(value)]
        unit = "degrees" if what.note.reads == "degrees" else units
        for one in values:
            if isinstance(one, Fraction):
                texts.append(unusual_text(f"{where}: {key}", one, unit, what.range[units]))
    return [text for text in texts if text]


def value_texts(job: Job, finding: Finding) -> tuple[str, str, str]:
    """Value, limit and margin of a finding as text.

    Parameters
    ----------
    job : stairs.job.Job
        For units and tape.
    finding : Finding
        Of that job.

    Returns
    -------
    tuple of (str, str, str)
        The limit's text says what kind it is; the margin is empty where nothing is judged, and
        says whether a guard or a handrail is needed where that is what the rule tells.  Where only
        rounding to the tape makes a check fail, the value is the one as it will be cut.
    """
    if finding.id == BUILDABLE:
        return "as drawn", "always", ""
    margin = ""
    if finding.unit == "slope":
        limit = fall_text(finding.ruling.rule.limit)
        value = "not told" if finding.value is None else fall_text(finding.measure.amount)
    elif finding.value is None:
        value, limit = "not told", _limit_length(job, finding)
    elif finding.unit == "length":
        limit = _limit_length(job, finding)
        found, order = finding.value, finding.order
        if finding.fails_only_as_cut:
            found, order = finding.cut.value, _side(finding.cut.value, finding.ruling.limit)
        value = text_against_limit(
            found, finding.ruling.exact_limit, job.units, job.tape, side=order
        )
        gap = abs(found - finding.ruling.limit)
        margin = length_text(gap, job.units, job.tape) if order else "0"
        if order and gap < float(job.tape) / 2:
            margin = f"<{length_text(job.tape, job.units, job.tape)}"
    elif finding.unit == "degrees":
        value, limit = angle_against_limit(finding.value, finding.ruling.exact_limit, finding.order)
        gap = abs(finding.value - finding.ruling.limit)
        margin = "<0.1°" if finding.order and gap < 0.05 else f"{gap:.1f}°"
    else:
        value, limit = f"{finding.value:g}", f"{finding.ruling.limit:g}"
        margin = f"{abs(finding.value - finding.ruling.limit):g}"
    words = {
        "ball-smaller": f"below {limit}",
        "cube-smaller": f"cube {limit}",
        "ball-at-most": f"max {limit}",
        "maximum": f"max {limit}",
        "minimum": f"min {limit}",
        "needed-above": f"if over {limit}",
        "needed-from": f"from {limit}",
        "needed-below": f"if under {limit}",
    }
    if finding.value is not None and finding.ruling.kind.startswith("needed"):
        margin = "needed" if is_needed(finding) else "not needed"
    elif finding.verdict == NOT_APPLICABLE:
        margin = ""
    elif finding.fails:
        margin = f"{margin} {'short' if finding.ruling.kind == 'minimum' else 'over'}"
    return value, words[finding.ruling.kind], margin


def _side(value: float, limit: float) -> int:
    """-1, 0 or 1 as a value as it will be cut is below, at or above its limit."""
    if abs(value - limit) <= 1e-9 * max(1.0, abs(limit)):
        return 0
    return 1 if value > limit else -1


def is_needed(finding: Finding) -> bool:
    """Whether a rule that tells when a guard or a handrail is needed asks for one here.

    Parameters
    ----------
    finding : Finding
        Of one of the kinds ``"needed-above"``, ``"needed-from"`` and ``"needed-below"``.
    """
    if finding.ruling.kind == "needed-below":
        return finding.order < 0
    return finding.order > 0 or (finding.order == 0 and finding.ruling.kind == "needed-from")


def _limit_length(job: Job, finding: Finding) -> str:
    limit = finding.ruling.exact_limit
    text = exact_text(limit, job.units)
    if (limit / job.tape).denominator == 1 or len(text) <= 6:
        return text
    # a limit of the other system of units: decimals read better than odd fractions
    return f'{float(limit):.3f}"' if job.units == "in" else f"{float(limit):.1f} mm"


def openings_meant(part: SectionAnswer, finding: Finding) -> tuple[int, ...]:
    """The openings that a check is about: all that fail it, or the one told where none does.

    Parameters
    ----------
    part : stairs.solution.SectionAnswer
        Of the section.
    finding : Finding
        One of its checks.

    Returns
    -------
    tuple of int
        Places in the section's list, that of the opening told first; empty for other checks.
    """

    def told(one: Finding) -> bool:
        return (one.where, one.value) == (finding.where, finding.value)

    found = [
        k
        for k, one in enumerate(part.openings)
        if one.id == finding.id and (one.fails if finding.fails else told(one))
    ]
    found.sort(key=lambda k: not told(part.openings[k]))
    return tuple(found if finding.fails else found[:1])


def also_failing(part: SectionAnswer, finding: Finding) -> str:
    """Where else a check fails than at the opening that it tells; empty where nowhere.

    Parameters
    ----------
    part : stairs.solution.SectionAnswer
        Of the section.
    finding : Finding
        One of its checks.
    """
    first, *others = [part.section.openings[k].place for k in openings_meant(part, finding)] or (
        "",
    )
    elsewhere = in_a_row([place for place in others if place != first])
    return elsewhere or (f"the other post of {first}" if others else "")


def count_of_failures(parts: Sequence[SectionAnswer]) -> str:
    """How many checks fail and, where it is more, at how many places; empty where none does.

    Parameters
    ----------
    parts : sequence of stairs.solution.SectionAnswer
        The sections that are counted.
    """
    failing = [(part, one) for part in parts for one in part.findings if one.fails]
    if not failing:
        return ""
    checks = "1 check fails" if len(failing) == 1 else f"{len(failing)} checks fail"
    places = sum(max(1, len(openings_meant(*pair))) for pair in failing)
    return checks + (f", at {places} places" if places > len(failing) else "")


_NAMED = 3  # failing checks that a warning names


def warning_text(answer: Answer) -> str:
    """What fails, in a sentence, for a screen that shows no verdicts; empty where nothing does.

    Parameters
    ----------
    answer : stairs.solution.Answer
        Of a job.
    """
    failing = [one for part in answer.sections for one in part.findings if one.fails]
    if not failing:
        return ""
    named = []
    for finding in failing[:_NAMED]:
        value, limit, _ = value_texts(answer.job, finding)
        what = what_text(answer.job, finding)
        where = f"section {finding.section}, " if len(answer.sections) > 1 else ""
        cut = " as cut" if finding.fails_only_as_cut else ""
        named.append(f"{where}{what}: {value}{cut}, {limit.replace(' ', KEPT)}")
    more = len(failing) - len(named)
    named += [f"and {more} more"] if more else []
    count = re.sub(" fails?", "", count_of_failures(answer.sections)).upper()
    return wrap(
        f"THIS GUARD FAILS {count} ({'; '.join(named)}). See what to change with stairs check "
        "before anything is bought or cut.",
        "",
        "  ",
    )


_AS_CUT = "as cut"
_GROUPS = (
    (FAIL, "FAILS"),
    (_AS_CUT, "FAILS AS IT WILL BE CUT, on the tape's marks"),
    (MARGINAL, "MARGINAL"),
    (PASS, "Passes"),
    (NOT_APPLICABLE, "For information"),
)
_HEADS = ("what", "value", "limit", "margin", "clause")
_WHAT = 20  # columns that the first is never narrower than, for the clause's sake


def verdicts_text(job: Job, part: SectionAnswer) -> str:
    """Findings grouped by verdict, worst first; failures with what to change.

    Parameters
    ----------
    job : stairs.job.Job
        For units and tape.
    part : stairs.solution.SectionAnswer
        One section of its answer.

    Returns
    -------
    str
        Lines of at most 80 columns.
    """
    rows = {
        finding: (
            finding.title
            if finding.value is None
            else re.sub(r" (?=[0-9])", KEPT, what_text(job, finding)),  # a number and its noun
            *value_texts(job, finding),
            finding.ruling.clause + ("" if finding.ruling.verified else "*"),
        )
        for finding in part.findings
    }
    if not rows:
        return "No rule of this rulebook applies here."
    numbers = [max(len(row[i]) for row in (_HEADS, *rows.values())) for i in (1, 2, 3)]
    spare = WIDTH - 2 - sum(numbers) - 2 * 4
    longest = max(len(row[0]) for row in rows.values())
    clause = min(max(len(row[4]) for row in (_HEADS, *rows.values())), spare - _WHAT)
    what = max(len("what"), min(longest, spare - clause))
    widths = (what, *numbers, clause)
    blocks = []
    for verdict, heading in _GROUPS:
        group = [finding for finding in part.findings if _group(finding) == verdict]
        if not group:
            continue
        lines = [heading, *_cells(_HEADS, widths)]
        for finding in group:
            lines += _cells(rows[finding], widths)
            if finding.value is None and finding.where:
                lines += wrap(finding.where, "    ", "      ").splitlines()
            opening = None if finding.measure is None else finding.measure.opening
            if verdict in (FAIL, _AS_CUT, MARGINAL) and opening is not None:
                touched = ", ".join(opening.leans_on)
                lines += wrap(f"leans on {touched}", "    ", "      ").splitlines()
            also = also_failing(part, finding)
            if also:
                lines += wrap(f"and at {also}", "    ", "      ").splitlines()
            if finding.fails_only_as_cut:
                lines += wrap(_as_cut_text(job, finding), "    ", "      ").splitlines()
            for text in refused_texts(job, finding):
                lines += wrap(text, "    ", "      ").splitlines()
            if verdict == MARGINAL and finding.worst != finding.value and not finding.refused:
                lines += wrap(_at_worst_text(job, finding), "    ", "      ").splitlines()
            if finding.flat is not None:
                lines += wrap(_at_side_text(job, finding), "    ", "      ").splitlines()
            if finding.id.startswith("handrail-needed") and is_needed(finding):
                lines += wrap(finding.note, "    ", "      ").splitlines()
            for remedy in part.remedies.get(finding.id, ()) if finding.fails else ():
                lines += wrap(remedy.text, "    change: ", "            ").splitlines()
        blocks.append("\n".join(lines))
    return "\n\n".join(blocks)


def _group(finding: Finding) -> str:
    return _AS_CUT if finding.fails_only_as_cut else finding.verdict


def _as_cut_text(job: Job, finding: Finding) -> str:
    value = text_against_limit(
        finding.value, finding.ruling.exact_limit, job.units, job.tape, side=finding.order
    )
    return f"as drawn it is {value} and passes; rounding cuts and marks to the tape undoes that"


def _at_worst_text(job: Job, finding: Finding) -> str:
    if finding.unit == "degrees":  # where the limit itself is worked out, it moves as well
        worst = f"{abs(finding.worst - finding.ruling.limit):.1f}° over"
    else:
        worst = text_against_limit(finding.worst, finding.ruling.exact_limit, job.units, job.tape)
    within = exact_text(job.measured_within, job.units)
    return f"with each measurement {within} off the wrong way: {worst}"


def measurement_text(key: str) -> str:
    """A measurement of the job file in words.

    Parameters
    ----------
    key : str
        As :func:`stairs.checks.tolerance.moved_jobs` has it.

    Examples
    --------
    >>> [measurement_text(key) for key in ("bottom_gap", "panel: slot: wall", "posts: post 2")]
    ['bottom gap', 'panel slot wall', 'x of post 2']
    """
    kind, *rest = key.split(": ")
    if kind == "posts":
        return f"x of {rest[0]}"
    if kind == "nosings":
        return f"{rest[1]} of {rest[0]}"
    if kind in ("rises", "runs"):
        return rest[0]
    return " ".join((kind, *rest)).replace("_", " ")


_NUMBERS = re.compile(r"[-\d./ ]*\d")


def refused_texts(job: Job, finding: Finding) -> tuple[str, ...]:
    """What cannot be built with a measurement a little off, and which measurements those are.

    Parameters
    ----------
    job : stairs.job.Job
        For units and tape.
    finding : Finding
        Of that job.

    Returns
    -------
    tuple of str
        One for each thing that cannot be built; empty where everything can.
    """
    causes: dict[str, list[str]] = {}
    wholes: dict[str, str] = {}
    for one in finding.refused:
        size = abs(one.by)
        off = f"{float(size):g}°" if one.measurement == "rake" else exact_text(size, job.units)
        told = f"{measurement_text(one.measurement)} {off} {'less' if one.by < 0 else 'more'}"
        kind = _NUMBERS.sub("", one.because)  # whatever numbers it comes out with
        causes.setdefault(kind, []).append(told)
        wholes.setdefault(kind, one.because)
    return tuple(
        f"it cannot be built with {' or '.join(told)} ({wholes[kind]})"
        for kind, told in causes.items()
    )


def _at_side_text(job: Job, finding: Finding) -> str:
    value = text_against_limit(finding.flat, finding.ruling.exact_limit, job.units, job.tape)
    return (
        f"in elevation it is {value} and would pass; the guard stands off to the side, so a larger "
        "ball gets through between tread ends and guard"
    )


def place_text(job: Job, finding: Finding) -> str:
    """Which tread, bay or post a finding is of; of a length along the rake how long it is level.

    Parameters
    ----------
    job : Job
        For units and tape.
    finding : Finding
        Of that job.
    """
    level = None if finding.measure is None else finding.measure.level
    if level is None:
        return finding.where
    return f"{finding.where} along the rake, {length_text(level, job.units, job.tape)} level"


def what_text(job: Job, finding: Finding) -> str:
    """What was checked and where, as the rows of tables name it.

    Parameters
    ----------
    job, finding
        As for :func:`place_text`.
    """
    told = finding.where and finding.where not in finding.title
    return finding.title + (f", {place_text(job, finding)}" if told else "")


def _cells(row: Sequence[str], widths: Sequence[int]) -> list[str]:
    """One row of a table, wrapped within its first and last column."""
    first = textwrap.wrap(row[0], widths[0]) or [""]
    last = textwrap.wrap(row[4], max(widths[4], 10)) or [""]
    lines = []
    for index in range(max(len(first), len(last))):
        middle = row[1:4] if index == 0 else ("", "", "")
        cells = [
            (first[index].replace(KEPT, " ") if index < len(first) else "").ljust(widths[0]),
            middle[0].rjust(widths[1]),
            middle[1].ljust(widths[2]),
            middle[2].rjust(widths[3]),
            last[index] if index < len(last) else "",
        ]
        lines.append(("  " + "  ".join(cells)).rstrip())
    return lines
