"""How far off each result may be, and what to measure again first: on screen and as JSON."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from stairs.checks.finding import Finding
from stairs.checks.part_values import RACKING
from stairs.job import Job
from stairs.job.records import Tolerance
from stairs.lengths.tape_marks import ceil_to_mark, exact_text, floor_to_mark
from stairs.report.columns import length, section_name, table, wrap
from stairs.report.findings import is_angle, measurement_text, what_text
from stairs.report.spoken import in_words
from stairs.solution import SectionSolution, Solution

_HEADS = ("what", "as read", "at least", "at most", "measure again first")
_COUNTS = ("count", "slope")


@in_words
def bounds_text(solution: Solution) -> str:
    """Every result with its bounds, section by section, in lines of at most 80 columns."""
    job = solution.job
    within = exact_text(job.measured_within, job.units)
    told = f"How far each result may be off, with every measurement up to {within} off at once"
    own = [f"{measurement_text(one.key)} {_own_text(one, job)}" for one in job.measured]
    blocks = [wrap(f"{told}{'; of its own: ' if own else ''}{', '.join(own)}.")]
    for part in solution.sections:
        rows = [_row(job, part, finding) for finding in _bounded(part)]
        blocks.append(section_name(part.section) + "\n" + table(_HEADS, rows, (1, 2, 3)))
    return "\n\n".join(blocks) + "\n"


def _own_text(one: Tolerance, job: Job) -> str:
    if is_angle(one.key):
        return f"{float(one.within):g}°"
    return exact_text(one.within, job.units)


def bounds_rows(solution: Solution) -> list[dict[str, Any]]:
    """The same for programs: lengths in the job's unit, angles in degrees, shares as parts of 1."""
    return [
        {
            "id": finding.id,
            "section": finding.section,
            "where": finding.where or None,
            "value": finding.value,
            "bounds": finding.measured.bounds,
            "shares": dict(_shares(part, finding)),
        }
        for part in solution.sections
        for finding in _bounded(part)
    ]


def _bounded(part: SectionSolution) -> Iterator[Finding]:
    """What is measured and can be off; of two checks of one value the first."""
    seen = set()
    for finding in part.findings:
        told = (finding.title, finding.where, finding.value)
        # the bounds of racking are those against its limit, which moves too
        able = finding.measure is not None and finding.unit not in _COUNTS
        if able and finding.id != RACKING and told not in seen:
            seen.add(told)
            yield finding


def _shares(part: SectionSolution, finding: Finding) -> list[tuple[str, float]]:
    return [] if part.certainty is None else part.certainty.shares(finding)


def _row(job: Job, part: SectionSolution, finding: Finding) -> tuple[str, ...]:
    value, bounds = finding.value or 0.0, finding.measured.bounds
    what = what_text(job, finding)
    again = next(
        (f"{measurement_text(key)} ({share:.0%})" for key, share in _shares(part, finding)), ""
    )
    if finding.unit == "degrees":
        ends = ("not told",) * 2
        if bounds is not None:
            ends = (
                f"{math.floor(bounds[0] * 10) / 10:.1f}°",
                f"{math.ceil(bounds[1] * 10) / 10:.1f}°",
            )
        return what, f"{value:.1f}°", *ends, again
    ends = ("not told",) * 2
    if bounds is not None:  # outward, to the tape's marks
        low, high = floor_to_mark(bounds[0], job.tape), ceil_to_mark(bounds[1], job.tape)
        ends = length(job, low), length(job, high)
    return what, length(job, value), *ends, again
