"""A stair as it was measured, as a person on site reads it: step by step, and what is odd in it.

The rail of a guard is straight, so over uneven nosings a line has to be chosen.  Which one was
taken and why stands over the table, what the other lines that make sense would do stands under it,
and a reading that looks like a slip of the tape is named wherever anything is decided from it.
"""

from __future__ import annotations

from stairs.answer import SectionAnswer
from stairs.checks import FAIL, Finding
from stairs.columns import length, table, wrap
from stairs.flight import Flight
from stairs.job import Job
from stairs.openings import TRIANGLE, Opening
from stairs.survey import (
    Slip,
    Survey,
    covering_line,
    put_right,
    worst_neighbours,
    worst_riser,
)
from stairs.verdicts import value_texts

CRITERION = (
    "the rail follows the straight line that covers all nosings and lies least far above the "
    "lowest of them: it clears every nosing, and the greatest gap is as small as it can be"
)


def survey_text(job: Job, part: SectionAnswer) -> str:
    """Every step as measured, its gap and opening, the lines to choose from, and what is odd.

    Parameters
    ----------
    job : stairs.job.Job
        For units and tape.
    part : SectionAnswer
        A flight that was measured nosing by nosing.

    Returns
    -------
    str
        Lines of at most 80 columns.
    """
    flight, survey = part.section.flight, part.section.flight.survey
    balls = {
        opening.tread: _ball(job, opening, finding)
        for opening, finding in zip(part.section.openings, part.openings, strict=True)
        if opening.kind == TRIANGLE and opening.tread is not None
    }
    rows = []
    for index, (x, y) in enumerate(part.section.nosings):
        run = "" if index == 0 else length(job, float(survey.runs[index - 1]))
        own = part.section.bottom_gap + float(survey.line_gaps[index])
        rows.append(
            [
                str(index + 1),
                length(job, x),
                length(job, y),
                length(job, float(survey.rises[index])),
                run,
                length(job, own),
                balls.get(index + 1, ""),
            ]
        )
    heads = ["nosing", "x", "y", "rise", "run", "gap to rail", "ball over tread"]
    lines = [wrap(f"Steps as measured: {CRITERION}"), table(heads, rows, range(7))]
    lines += [wrap(text, "  ", "    ") for text in _lines_text(job, flight)]
    lines += [wrap(text, "  ", "    ") for text in _uneven_text(job, part, survey)]
    lines += [wrap(text, "  ", "    ") for text in slips_text(job, part)]
    if survey.slips:
        lines.append(wrap(_mended_text(job, flight), "  ", "    "))
    return "\n".join(lines)


def _ball(job: Job, opening: Opening, finding: Finding) -> str:
    """The largest ball that passes, on the true side of its limit, with its verdict where bad."""
    if finding.limit is None:
        return length(job, opening.diameter)
    value = value_texts(job, finding)[0]
    return f"{value} FAILS" if finding.verdict == FAIL else value


def _lines_text(job: Job, flight: Flight) -> list[str]:
    """What the two other straight lines would do to the nosings."""
    texts = []
    for name, line in (
        ("through the first nosing and the last", flight.survey.ends),
        ("of least squares", flight.survey.mean),
    ):
        gaps = [line.height(x) - y for x, y in flight.points]
        lowest = min(gaps)
        at = gaps.index(lowest) + 1
        does = (
            f"would pass {length(job, float(-lowest))} under nosing {at}: a rail along it needs "
            "that much more bottom gap"
            if lowest < 0
            else "would clear every nosing too"
        )
        texts.append(f"instead: the line {name} {does}")
    return texts


def _uneven_text(job: Job, part: SectionAnswer, survey: Survey) -> list[str]:
    """Worst step, and differences of risers and treads against the rule."""
    worst = worst_riser(survey)
    mean = sum(survey.rises) / len(survey.rises)
    texts = [
        f"worst step: riser {worst}, {length(job, float(survey.rises[worst - 1]))} against a "
        f"mean of {length(job, float(mean))}"
    ]
    for what, check, steps in (
        ("risers", "riser-uniformity", survey.rises),
        ("treads", "tread-uniformity", survey.runs),
    ):
        text = f"{what} differ by {length(job, float(max(steps) - min(steps)))} in the flight"
        text += _ruled(job, part, check)
        if len(steps) > 1:
            low, most = worst_neighbours(steps)
            text += f"; neighbours by {length(job, float(most))} at most"
            text += f" ({what} {low} and {low + 1})" if most else ""
            text += _ruled(job, part, f"{check}-adjacent")
        texts.append(text)
    return texts


def _ruled(job: Job, part: SectionAnswer, check: str) -> str:
    """What the rulebook allows, and the verdict; empty where it has no such rule."""
    finding = next((each for each in part.findings if each.id == check), None)
    if finding is None:
        return ""
    verdict = "FAILS" if finding.verdict == FAIL else finding.verdict
    return f" ({value_texts(job, finding)[1]}, {finding.clause}: {verdict})"


def slips_text(job: Job, part: SectionAnswer) -> list[str]:
    """One sentence for each reading that looks like a slip of the tape.

    Parameters
    ----------
    job : stairs.job.Job
        For units and tape.
    part : SectionAnswer
        Any section.
    """
    flight = part.section.flight
    if flight is None or flight.survey is None:
        return []
    return [slip_text(job, slip) for slip in flight.survey.slips]


def slip_text(job: Job, slip: Slip) -> str:
    """Which reading looks like a slip, and what the others make of it.

    Parameters
    ----------
    job : stairs.job.Job
        For units and tape.
    slip : Slip
        Of one flight.
    """
    named = {"rise": f"riser {slip.nosing}", "run": f"tread {slip.nosing}"}
    name = named.get(slip.axis, f"nosing {slip.nosing}, {slip.axis}")
    others = (
        "the other steps make"
        if slip.axis in named
        else ("its neighbours and the other steps make")
    )
    return (
        f"MEASURE AGAIN before anything is cut: {name} reads {length(job, float(slip.read))}, "
        f"which looks like a slip of the tape; {others} it about "
        f"{length(job, float(slip.expected))}"
    )


def _mended_text(job: Job, flight: Flight) -> str:
    """What the stair would be if the odd readings were slips."""
    points = put_right(flight.points, flight.survey.slips)
    line, old = covering_line(points), flight.survey.line
    heights = [0, *(y for _, y in points)]
    rises = [high - low for low, high in zip(heights, heights[1:], strict=False)]
    first, last = points[0][0], points[-1][0]
    drops = [length(job, abs(float(old.height(x) - line.height(x)))) for x in (first, last)]
    return (
        f"if so, risers differ by {length(job, float(max(rises) - min(rises)))}, and the line "
        f"over the nosings is {drops[0]} off this one at the first nosing and {drops[1]} at the "
        "last: every mark and cut here changes"
    )


def slips_count_text(answer) -> str:
    """One line for the end of a report; empty where no reading looks like a slip.

    Parameters
    ----------
    answer : stairs.answer.Answer
        Of a job.
    """
    count = sum(len(slips_text(answer.job, part)) for part in answer.sections)
    if not count:
        return ""
    readings = "1 reading looks" if count == 1 else f"{count} readings look"
    slip = "a slip" if count == 1 else "slips"
    again = "it" if count == 1 else "them"
    return wrap(
        f"{readings} like {slip} of the tape, and the verdicts above rest on {again}: measure "
        f"{again} again before anything is cut"
    )
