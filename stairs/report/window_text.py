"""How high the bottom rail may sit, on marks of the tape, and what makes room where it may not."""

from __future__ import annotations

from fractions import Fraction

from stairs.checks.gap_window import Bound
from stairs.checks.window_marks import marks_inside
from stairs.guard.solving import Section
from stairs.job import Job
from stairs.lengths.tape_marks import ceil_to_mark, floor_to_mark
from stairs.report.columns import length, wrap
from stairs.solution import SectionSolution


def window_text(job: Job, part: SectionSolution) -> str:
    """The window of a section's bottom gap, in marks of the tape that pass."""
    window, inside = part.window, part.marks
    if window.empty and window.high is not None:
        empty = _empty_text(job, part.section, window.low, window.high)
        return "\n".join([wrap(empty, "", "  "), *_openers(part)])
    low_by, high_by = window.low.set_by, window.high.set_by if window.high else ""
    drawn = marks_inside(window, job.tape)
    if inside is not None:
        text = f"Bottom gap may be {_span(job, inside, low_by, high_by)}"
        if inside[1] is None:
            text += "; nothing limits it upwards"
    elif drawn is not None:
        text = (
            "No mark of the tape is a bottom gap that passes as it will be cut; as drawn it may be "
            f"{_span(job, drawn, low_by, high_by)}. A finer tape cuts nearer to what is drawn"
        )
    else:
        bounds = [end for end in (window.low, window.high) if end is not None]
        unit = "in" if job.units == "in" else "mm"
        ends = (f"{f'{float(end.value):.4f}'.rstrip('0')} {unit} ({end.set_by})" for end in bounds)
        text = (
            "No mark of the tape is a bottom gap that passes: between "
            f"{' and '.join(ends)} there is none"
        )
    return wrap(text, "", "  ")


def _span(job: Job, marks: tuple[Fraction, Fraction | None], low_by: str, high_by: str) -> str:
    """From the lowest mark to the highest, each with what limits it."""
    low, high = marks
    if high is None:
        return f"{length(job, low)} ({low_by}) or more"
    if high == low:
        return f"{length(job, low)} only: less, {low_by}; more, {high_by}"
    return f"{length(job, low)} ({low_by}) to {length(job, high)} ({high_by})"


def _empty_text(job: Job, section: Section, low: Bound, high: Bound) -> str:
    """The two ends of an empty window, in marks of the tape that pass on their own side."""
    least, most = (
        ceil_to_mark(float(low.value), job.tape),
        floor_to_mark(float(high.value), job.tape),
    )
    while (order := high.compare(most)) > 0 or order == 0 and not high.included:
        most -= job.tape
    while (order := low.compare(least)) < 0 or order == 0 and not low.included:
        least += job.tape
    start = f"No bottom gap passes: at least {length(job, least)} ({low.set_by})"
    if most >= 0:
        return f"{start}, yet at most {length(job, most)} ({high.set_by})"
    over = f"the {section.surface.kind}" if section.surface else "the nosings"
    return (
        f"{start}, yet for the {high.set_by} the bottom rail would have to sit "
        f"{length(job, -most)} below {over}"
    )


def _openers(part: SectionSolution) -> list[str]:
    """Everything that would open an empty window, each by itself."""
    if part.openers is None:
        return []
    if part.openers:
        listed = [wrap(opener.told, "  - ", "    ") for opener in part.openers]
        return ["  Any one of these makes room for one:", *listed]
    words = "No other panel, rail, strip, nosing, rise or run within reason makes room for one"
    if part.section.kind == "flight" and part.section.stringer_margin is None:
        words += (
            ": close the stringer, or stand the guard outside the tread ends with its rail below "
            "the nosings (side_gap)"
        )
    return [wrap(words, "  ", "  ")]
