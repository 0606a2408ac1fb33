"""The whole answer to one job: the guard as solved, its findings, windows and remedies.

This is where the rooms below are put in order: the rulebook in the job's units, the bottom gap
chosen where the job leaves it open, the guard solved for it, every check made.  Sheets, lists and
the screen read the answer and nothing behind it.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

import msgspec

from stairs.checks import FAIL, Finding, findings_of, rule_source
from stairs.guard import Guard, Section, solve_section
from stairs.job import Job
from stairs.remedies import Remedy, remedies_for
from stairs.rules import Rulebook, load, overridden
from stairs.windows import Window, choose_gap, window_of

_PROVISIONAL = {"in": Fraction(1), "mm": Fraction(25)}


@dataclass(frozen=True, slots=True)
class SectionAnswer:
    """One section with everything that was found out about it.

    Parameters
    ----------
    section : Section
        As solved.
    window : Window
        Of its bottom gap.
    gap_chosen : bool
        Whether the bottom gap was left open in the job and chosen here.
    findings : tuple of Finding
        One per check, in the order of the rulebook's vocabulary.
    openings : tuple of Finding
        One per opening, in the order of ``section.openings``.
    remedies : dict of str to tuple of Remedy
        By the id of the failing check.
    """

    section: Section
    window: Window
    gap_chosen: bool
    findings: tuple[Finding, ...]
    openings: tuple[Finding, ...]
    remedies: dict[str, tuple[Remedy, ...]]


@dataclass(frozen=True, slots=True)
class Answer:
    """Everything that is known about one job.

    Parameters
    ----------
    job : Job
        As read.
    guard : Guard
        As solved, bottom gaps filled in.
    rulebook : Rulebook
        In the job's units, with the job's own values over it.
    sections : tuple of SectionAnswer
        In order.
    """

    job: Job
    guard: Guard
    rulebook: Rulebook
    sections: tuple[SectionAnswer, ...]

    @property
    def ok(self) -> bool:
        """Whether no check fails."""
        return not any(
            finding.verdict == FAIL for part in self.sections for finding in part.findings
        )


def answer_for(job: Job) -> Answer:
    """Solve a job and hold it against its rulebook.

    Parameters
    ----------
    job : stairs.job.Job
        As read.

    Returns
    -------
    Answer

    Raises
    ------
    stairs.errors.JobError
        The measurements do not fix a stair or leave no room, or there is no such rulebook.
    """
    rulebook = overridden(load(job.rules).in_units(job.units), job.local)
    rule_for = rule_source(rulebook, job)
    parts = tuple(_section(job, index, rule_for) for index in range(len(job.sections)))
    guard = Guard(job, tuple(part.section for part in parts))
    return Answer(job, guard, rulebook, parts)


def _section(job: Job, index: int, rule_for) -> SectionAnswer:
    gap = job.sections[index].bottom_gap
    chosen = not isinstance(gap, Fraction)
    if chosen:
        margin = getattr(job.sections[index], "stringer_margin", None) or Fraction(0)
        under = margin + job.sections[index].filler
        trial = solve_section(job, index, under + _PROVISIONAL[job.units])
        window = window_of(trial, job, rule_for)
        gap = choose_gap(window, job.tape)
        section = solve_section(job, index, gap)
    else:
        section = solve_section(job, index)
        window = window_of(section, job, rule_for)
    settled = _with_gap(job, index, gap)
    findings, openings = findings_of(section, settled, rule_for, index)
    remedies = {
        finding.id: remedies_for(finding, section, settled, window)
        for finding in findings
        if finding.verdict == FAIL
    }
    return SectionAnswer(section, window, chosen, findings, openings, remedies)


def _with_gap(job: Job, index: int, gap: Fraction) -> Job:
    sections = list(job.sections)
    sections[index] = msgspec.structs.replace(sections[index], bottom_gap=gap)
    return msgspec.structs.replace(job, sections=tuple(sections))
