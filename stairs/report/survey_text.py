"""A stair as it was measured, as a person on site reads it: step by step, and what is odd in it.

The rail of a guard is straight, so over uneven nosings a line has to be chosen.  Which one was
taken and why stands over the table, what the other lines that make sense would do stands under it,
and a reading that looks like a slip of the tape is named wherever anything is decided from it.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

from stairs.checks.finding import Finding
from stairs.job import Job
from stairs.openings.opening import TRIANGLE, Opening
from stairs.parts.survey import (
    COVER,
    ENDS,
    MEAN,
    Doubt,
    Slip,
    Survey,
    chosen_line,
    put_right,
    worst_neighbours,
    worst_riser,
)
from stairs.report.columns import counted, length, remark, table, wrap
from stairs.report.findings import value_texts
from stairs.solution import SectionSolution, Solution

CRITERIA = {
    COVER: "the rail follows the straight line that covers all nosings and lies least far above "
    "the lowest of them: it clears every nosing, and the greatest gap is as small as it can be",
    ENDS: "the rail runs parallel to the line through the first nosing and the last, raised until "
    'it clears every nosing (rail_line = "ends")',
    MEAN: "the rail runs parallel to the line of least squares through all nosings, raised until "
    'it clears every nosing (rail_line = "mean")',
}
"""What the line over measured nosings was chosen by, by its name in the job file."""

_LINES = {
    COVER: "that covers all nosings",
    ENDS: "through the first nosing and the last",
    MEAN: "of least squares",
}


def survey_text(job: Job, part: SectionSolution) -> str:
    """Every step as measured, its gap and opening, the lines to choose from, and what is odd.

    In lines of at most 80 columns; empty where the flight was not measured nosing by nosing.
    """
    survey = _survey(part)
    if survey is None:
        return ""
    balls = {
        opening.tread: _ball(job, opening, finding)
        for opening, finding in zip(part.section.openings, part.openings, strict=True)
        if opening.kind == TRIANGLE and opening.tread is not None
    }
    rows = []
    for index, (x, y) in enumerate(part.section.nosings):
        run = "" if index == 0 else length(job, survey.runs[index - 1])
        own = part.section.bottom_gap + float(survey.line_gaps[index])
        sizes = [length(job, x), length(job, y), length(job, survey.rises[index]), run]
        rows.append([str(index + 1), *sizes, length(job, own), balls.get(index + 1, "")])
    heads = ["nosing", "x", "y", "rise", "run", "gap to rail", "ball over tread"]
    mended = [_mended_text(job, survey)] if survey.slips else []
    texts = (
        *_lines_text(job, survey),
        *_uneven_text(job, part, survey),
        *(_slip_text(job, slip) for slip in survey.slips),
        *mended,
        *(_doubt_text(job, doubt) for doubt in survey.doubts),
    )
    head = wrap(f"Steps as measured: {CRITERIA[survey.taken]}")
    return "\n".join([head, table(heads, rows, range(7)), *map(remark, texts)])


def _ball(job: Job, opening: Opening, finding: Finding) -> str:
    """The largest ball that passes, on the true side of its limit, with its verdict where bad."""
    if finding.ruling.limit is None:
        return length(job, opening.diameter)
    value = value_texts(job, finding)[0]
    return f"{value} FAILS" if finding.fails else value


def _lines_text(job: Job, survey: Survey) -> list[str]:
    """What the two other straight lines would do to the nosings."""
    texts = []
    for name, line in survey.others.items():
        gaps = [line.height(x) - y for x, y in survey.points]
        lowest = min(gaps)
        at = gaps.index(lowest) + 1
        does = (
            f"would pass {length(job, -lowest)} under nosing {at}: a rail along it is "
            "raised by as much"
            if lowest < 0
            else "would clear every nosing too"
        )
        most = length(job, max(gaps) - lowest)
        texts.append(
            f"instead: the line {_LINES[name]} {does}, {most} above the lowest nosing "
            f'(rail_line = "{name}")'
        )
    return texts


def _uneven_text(job: Job, part: SectionSolution, survey: Survey) -> list[str]:
    """Worst step, and differences of risers and treads against the rule."""
    worst = worst_riser(survey)
    mean = sum(survey.rises) / len(survey.rises)
    texts = [
        f"worst step: riser {worst}, {length(job, survey.rises[worst - 1])} against a "
        f"mean of {length(job, mean)}"
    ]
    for what, check, steps in (
        ("risers", "riser-uniformity", survey.rises),
        ("treads", "tread-uniformity", survey.runs),
    ):
        text = f"{what} differ by {length(job, max(steps) - min(steps))} in the flight"
        text += _ruled(job, part, check)
        if len(steps) > 1:
            low, most = worst_neighbours(steps)
            text += f"; neighbours by {length(job, most)} at most"
            text += f" ({what} {low} and {low + 1})" if most else ""
            text += _ruled(job, part, f"{check}-adjacent")
        texts.append(text)
    return texts


def _ruled(job: Job, part: SectionSolution, check: str) -> str:
    """What the rulebook allows, and the verdict; empty where it has no such rule."""
    finding = next((each for each in part.findings if each.id == check), None)
    if finding is None:
        return ""
    verdict = "FAILS" if finding.fails else finding.verdict
    return f" ({value_texts(job, finding)[1]}, {finding.ruling.clause}: {verdict})"


def _survey(part: SectionSolution) -> Survey | None:
    """The survey of a section whose flight was measured."""
    return part.section.flight.survey if part.section.flight else None


def odd_readings(job: Job, part: SectionSolution) -> list[str]:
    """A sentence for each reading that looks like a slip, and for each single odd step."""
    survey = _survey(part)
    if survey is None:
        return []
    slips = [_slip_text(job, slip) for slip in survey.slips]
    return slips + [_doubt_text(job, doubt) for doubt in survey.doubts]


def _slip_text(job: Job, slip: Slip) -> str:
    """Which reading looks like a slip, and what the others make of it."""
    named = {"rise": f"riser {slip.nosing}", "run": f"tread {slip.nosing}"}
    name = named.get(slip.axis, f"nosing {slip.nosing}, {slip.axis}")
    others = (
        "the other steps make"
        if slip.axis in named
        else ("its neighbours and the other steps make")
    )
    return (
        f"MEASURE AGAIN before anything is cut: {name} reads {length(job, slip.read)}, "
        f"which looks like a slip of the tape; {others} it about "
        f"{length(job, slip.expected)}"
    )


def _doubt_text(job: Job, doubt: Doubt) -> str:
    """Which step differs from all others, and what that may come from."""
    what = "riser" if doubt.axis == "rise" else "tread"
    start = (
        f"{what} {doubt.step} is {length(job, doubt.read)}, all others are about "
        f"{length(job, doubt.usual)}"
    )
    if doubt.borne_out:
        return f"{start}; the measured total {doubt.axis} bears it out: the step is uneven"
    return (
        f"MEASURE AGAIN before anything is cut: {start}: either the {_ordinal(doubt, what)} is "
        f"really uneven{_why_uneven(doubt)}, or {_misread(doubt)}"
    )


def _ordinal(doubt: Doubt, what: str) -> str:
    return what if doubt.place == "inner" else f"{doubt.place} {what}"


def _why_uneven(doubt: Doubt) -> str:
    """A common reason at either end of a flight."""
    laid_later = doubt.axis == "rise" and doubt.place != "inner"
    return ", as where a floor was laid later" if laid_later else ""


def _misread(doubt: Doubt) -> str:
    """Which reading would have to be wrong."""
    if doubt.single:
        return "its reading slipped"
    high = doubt.axis == "rise"
    last = doubt.step + (not high)  # the nosing at the upper end of the step
    if doubt.place == "first":
        return (
            "the heights were not taken from the lower landing"
            if high
            else "x was not measured from the first nosing"
        )
    if doubt.place == "last":
        return f"the {'y' if high else 'x'} of nosing {last} was misread"
    return (
        f"the tape was set anew there, and the {'y' if high else 'x'} of every nosing from "
        f"{last} on is off by as much"
    )


def _mended_text(job: Job, survey: Survey) -> str:
    """What the stair would be if the odd readings were slips."""
    points = put_right(survey.points, survey.slips)
    line, old = chosen_line(points, survey.taken), survey.line
    heights = [Fraction(0), *(y for _, y in points)]
    rises = [high - low for low, high in pairwise(heights)]
    first, last = points[0][0], points[-1][0]
    drops = [length(job, abs(float(old.height(x) - line.height(x)))) for x in (first, last)]
    return (
        f"if so, risers differ by {length(job, max(rises) - min(rises))}, and the line over the "
        f"nosings is {drops[0]} off this one at the first nosing and {drops[1]} at the last: every "
        "mark and cut here changes"
    )


def slips_count_text(solution: Solution) -> str:
    """One line for the end of a report; empty where no reading looks like a slip."""
    count = sum(len(survey.slips) for part in solution.sections if (survey := _survey(part)))
    if not count:
        return ""
    one = count == 1
    return wrap(
        f"{counted(count, 'reading')} {'looks like a slip' if one else 'look like slips'} of the "
        f"tape, and the verdicts above rest on {'it: measure it' if one else 'them: measure them'} "
        "again before anything is cut"
    )
