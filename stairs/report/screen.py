"""The answer as a person on site reads it: setting-out first, then cuts, then verdicts.

Everything fits 80 columns and needs no colour.  Lengths to be set, cut or marked are on the tape's
marks; a checked value is printed so that it never reads as if it were on the other side of its
limit.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from stairs.checks.finding import FAIL, MARGINAL, NOT_APPLICABLE
from stairs.job import Job
from stairs.lengths.tape_marks import true_text
from stairs.relations.exact import Amount
from stairs.relations.quantities import QUANTITIES
from stairs.report.as_built_text import as_built_text
from stairs.report.columns import length, remark, wrap
from stairs.report.findings import off_text
from stairs.report.holes_text import holes_text
from stairs.report.joins_text import joins_text
from stairs.report.layout_text import framing_text, layout_text
from stairs.report.notices import assumed_texts, own_value_texts, unusual_texts, warning_text
from stairs.report.section_text import (
    brackets_text,
    marks_text,
    posts_text,
    rails_text,
    section_head,
)
from stairs.report.spoken import in_words
from stairs.report.survey_text import odd_readings, slips_count_text, survey_text
from stairs.report.verdicts import verdicts_text
from stairs.report.window_text import window_text
from stairs.rules import ALSO_ASKS
from stairs.solution import SectionSolution, Solution

CAUTION = (
    "A guard keeps people from falling. These figures come from the measurements given and are no "
    "design: anchors, loads and framing are not checked. Measure again before cutting. The local "
    "code as adopted, its officials and licensed practice decide."
)


@in_words
def solve_text(solution: Solution) -> str:
    """The setting-out of every section, in lines of at most 80 columns."""
    blocks = [_head(solution), warning_text(solution)]
    for part in solution.sections:
        blocks += _setting_out(solution.job, part)
    blocks.append(joins_text(solution.job, solution.joins))
    blocks += [_assumed(solution), _unusual(solution), warning_text(solution), wrap(CAUTION)]
    return _in_blocks(blocks)


@in_words
def check_text(solution: Solution) -> str:
    """The setting-out in short and every verdict, failures with their remedies."""
    job, blocks = solution.job, [_head(solution)]
    for part in solution.sections:
        blocks += [section_head(job, part), as_built_text(job, part), window_text(job, part)]
        blocks += [wrap(text, "", "  ") for text in odd_readings(job, part)]
        blocks.append(verdicts_text(job, part))
    blocks += [_unverified(solution), _assumed(solution), _unusual(solution), _summary(solution)]
    blocks += [_also_asks(solution), slips_count_text(solution), wrap(CAUTION)]
    return _in_blocks(blocks)


def _in_blocks(blocks: Sequence[str]) -> str:
    return "\n\n".join(block for block in blocks if block) + "\n"


# --------------------------------------------------------------------------- pieces


def _lettered(job: Job, name: str, value: Amount) -> str:
    """A quantity by its name and its letter on the names page, and its value."""
    return f"{name.replace('_', ' ')} {QUANTITIES[name].symbol} = {_plain(job, name, value)}"


def _plain(job: Job, name: str, value: Amount) -> str:
    if name in ("risers", "treads"):
        return f"{float(value):g}"
    if name == "rake":
        return f"{float(value):.2f}°"
    return true_text(value if isinstance(value, Fraction) else float(value), job.units, job.tape)


def _head(solution: Solution) -> str:
    job, book = solution.job, solution.rulebook
    unit = "inches" if job.units == "in" else "millimetres"
    lines = [
        wrap(job.title or "Stair guard"),
        wrap(f"{book.title} {book.edition} ({book.id}); {unit}, to {length(job, job.tape)}"),
    ]
    return "\n".join([*lines, *map(remark, own_value_texts(job))])


def _setting_out(job: Job, part: SectionSolution) -> list[str]:
    section = part.section
    return [
        section_head(job, part),
        layout_text(job, part.layout),
        posts_text(job, section),
        as_built_text(job, part),
        marks_text(job, section),
        holes_text(job, section),
        rails_text(job, section, part.standing),
        brackets_text(job, section),
        window_text(job, part),
        framing_text(job, part.framing),
        _remarks(job, part),
    ]


def _remarks(job: Job, part: SectionSolution) -> str:
    """Surplus measurements that agree only within the tape; a measured flight, step by step."""
    flight = part.section.flight
    if flight is None:
        return ""
    if flight.measure is not None:
        return "\n".join(wrap(text, "note: ", "      ") for text in flight.measure.remarks)
    return survey_text(job, part)


def _unverified(solution: Solution) -> str:
    if any(not finding.ruling.verified for part in solution.sections for finding in part.findings):
        return wrap(
            "* not read in the code itself: see stairs rules "
            f"{solution.rulebook.id}, and open the code before relying on it",
            "",
            "  ",
        )
    return ""


def _also_asks(solution: Solution) -> str:
    head = f"{ALSO_ASKS} ({solution.rulebook.id})"
    return _under(head, [f"- {text}" for text in solution.rulebook.also_asks])


def _assumed(solution: Solution) -> str:
    return _under("Assumed, because the job does not say", assumed_texts(solution.job))


def _unusual(solution: Solution) -> str:
    return _under("Measure again", unusual_texts(solution))


def _under(head: str, texts: Sequence[str]) -> str:
    """Texts under what they are; empty where there are none."""
    return "\n".join([head, *map(remark, texts)]) if texts else ""


def _summary(solution: Solution) -> str:
    findings = [finding for part in solution.sections for finding in part.findings]
    fails = sum(finding.verdict == FAIL for finding in findings)
    cut = sum(finding.fails_only_as_cut for finding in findings)
    marginal = sum(finding.outcome == MARGINAL for finding in findings)
    judged = sum(finding.verdict != NOT_APPLICABLE for finding in findings)
    text = f"{judged} checks: {judged - fails - cut - marginal} pass"
    text += f", {marginal} marginal" if marginal else ""
    text += f", {cut} FAIL as cut" if cut else ""
    text += f", {fails} FAIL" if fails else ""
    lines = [text]
    if marginal:
        told = "marginal: passes as drawn, but could fail if every measurement were"
        lines.append(wrap(f"{told} {off_text(solution.job)} the wrong way", "  ", "  "))
    failing = sum(finding.cut.verdict == FAIL for finding in findings)
    lines.append(
        "as it will be cut, on the tape's marks: "
        + (f"{failing} FAIL" if failing else "none fails")
    )
    return "\n".join(lines)
