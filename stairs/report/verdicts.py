"""The verdicts of a section on screen: grouped, the worst first, failures with what to change."""

from __future__ import annotations

import re
from collections.abc import Iterator

from msgspec.structs import replace

from stairs.checks.finding import FAIL, MARGINAL, NOT_APPLICABLE, PASS, Finding, ruling_of
from stairs.job import Job
from stairs.lengths.tape_marks import text_against_limit
from stairs.report.columns import KEPT, WIDTH, cells, listed, remark, wrap
from stairs.report.findings import (
    also_failing,
    is_needed,
    off_text,
    refused_texts,
    touched_texts,
    value_texts,
    what_text,
)
from stairs.solution import SectionSolution
from stairs.words.speech import local

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
_CLAUSE = 10
_HANDRAIL = "handrail-needed-risers"


def verdicts_text(job: Job, part: SectionSolution) -> str:
    """Findings of a section grouped by verdict, worst first; failures with what to change."""
    rows = {finding: tuple(map(local, _row(job, finding))) for finding in part.findings}
    if not rows:
        return "No rule of this rulebook applies here."
    numbers = [max(len(row[i]) for row in (_HEADS, *rows.values())) for i in (1, 2, 3)]
    spare = WIDTH - 2 - sum(numbers) - 2 * 4
    longest = max(len(row[0]) for row in rows.values())
    clause = min(max(len(row[4]) for row in (_HEADS, *rows.values())), spare - _WHAT)
    what = max(len("what"), min(longest, spare - clause))
    widths = (what, *numbers, max(clause, _CLAUSE))
    blocks = []
    for verdict, heading in _GROUPS:
        group = [finding for finding in part.findings if _group(finding) == verdict]
        lines = [heading, *cells(_HEADS, widths, (1, 3))]
        for finding in group:
            lines += cells(rows[finding], widths, (1, 3))
            lines += [remark(text, indent=4) for text in _remarks(job, part, finding)]
            for remedy in part.remedies.get(finding.id, ()) if finding.fails else ():
                lines.append(wrap(remedy.text, "    change: ", "            "))
        if group:
            blocks.append("\n".join(lines))
    return "\n\n".join(blocks)


def _row(job: Job, finding: Finding) -> tuple[str, ...]:
    what = finding.title
    if finding.value is not None:
        what = re.sub(r" (?=[0-9])", KEPT, what_text(job, finding))  # a number and its noun
    clause = finding.ruling.clause + ("" if finding.ruling.verified else "*")
    return what, *value_texts(job, finding), clause


def _group(finding: Finding) -> str:
    return _AS_CUT if finding.fails_only_as_cut else finding.verdict


def _remarks(job: Job, part: SectionSolution, finding: Finding) -> Iterator[str]:
    """What to know of a finding beside its figures."""
    if finding.value is None and finding.where:
        yield finding.where
    opening = None if finding.measure is None else finding.measure.opening
    verdict = _group(finding)
    if verdict in (FAIL, _AS_CUT, MARGINAL) and opening is not None:
        body = "cube" if finding.ruling.kind == "cube-smaller" else "ball"
        touched = [
            words if words[-1].isdigit() else f"the {words}"
            for words in touched_texts(part.section, opening)
        ]
        yield f"the {body} touches {listed(touched)}"
    also = also_failing(part, finding)
    if also:
        yield f"and at {also}"
    if finding.fails_only_as_cut and finding.value is not None:
        value = _against_limit(job, finding, finding.value, finding.order)
        yield f"as drawn it is {value} and passes; rounding cuts and marks to the tape undoes that"
    yield from refused_texts(job, finding)
    if (
        verdict == MARGINAL
        and finding.measured.everywhere is not True
        and not finding.measured.refused
    ):
        yield _when_measured_off(job, finding)
    if finding.flat is not None:
        yield (
            f"in elevation it is {_against_limit(job, finding, finding.flat)} and would pass; the "
            "guard stands off to the side, so a larger ball gets through between tread ends and "
            "guard"
        )
    if finding.id == _HANDRAIL and is_needed(finding):
        yield finding.note


def _when_measured_off(job: Job, finding: Finding) -> str:
    """What measuring error may make of a check that passes as drawn."""
    off, worst = off_text(job), finding.worst
    told = f"it may fail with each measurement {off}"
    other, rule = finding.measured.other_rule, finding.ruling.rule
    if other is not None:
        by_drop = rule is None or other.when.drop_over != rule.when.drop_over
        _, limit, _ = value_texts(job, replace(finding, ruling=ruling_of(other)))
        told = f"another limit holds with the {'drop' if by_drop else 'width'} {off}: "
        told += f"{limit} ({other.clause})"
    elif worst is not None:
        told = f"with each measurement {off} the wrong way: "
        told += _worst_text(job, finding, worst)
    if finding.measured.everywhere is None:
        told += "; no such measurements were found, nor that there are none (not proven)"
    return told


def _worst_text(job: Job, finding: Finding, worst: float) -> str:
    if finding.unit == "degrees":  # where the limit itself is worked out, it moves as well
        return f"{abs(worst - (finding.ruling.limit or 0)):.1f}° over"
    return _against_limit(job, finding, worst)


def _against_limit(job: Job, finding: Finding, value: float, side: int | None = None) -> str:
    """A value so that it never reads as if it were on the other side of the limit."""
    return text_against_limit(value, finding.ruling.exact_limit, job.units, job.tape, side=side)
