"""The whole answer to one job: the guard as solved, its findings, windows and remedies.

This is where the rooms below are put in order: the rulebook in the job's units, the bottom gap
chosen where the job leaves it open, the guard solved for it, every check made.  Sheets, lists and
the screen read the answer and nothing behind it.
"""

from __future__ import annotations

from collections.abc import Container
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from stairs.certainty.proving import Certainty
from stairs.checks.cases import rule_source
from stairs.checks.checking import findings_of, with_shared_posts
from stairs.checks.finding import Finding
from stairs.checks.gap_window import RuleFor, Window
from stairs.errors import JobError
from stairs.guard.framing_joins import framings_of
from stairs.guard.framing_plan import FramingPlan
from stairs.guard.left_line import of_the_file
from stairs.guard.lines import GuardJob
from stairs.guard.shared_posts import Join, joins_of, with_joins
from stairs.guard.solving import Guard, Section
from stairs.job import Job
from stairs.job.table import joined
from stairs.layout.search import LayoutChoice, laid_out
from stairs.parts.bays import Bay
from stairs.parts.posts import Post
from stairs.progress import at_work
from stairs.remedies.as_built import Standing, standings_of
from stairs.remedies.empty_window import Opener, openers_kept, with_costs
from stairs.remedies.remedies import MOST, Remedy, remedies_for
from stairs.remedies.trial_solve import Bench, Settled, all_settled, marks_that_pass
from stairs.rules import Rulebook, load, overridden, refuse_far


class SectionSolution(Struct, frozen=True):
    """One section with everything that was found out about it.

    Parameters
    ----------
    gap_chosen : bool
        Whether the bottom gap was left open in the job and chosen here.
    findings : tuple of Finding
        One per check, in the order of the rulebook's vocabulary.
    openings : tuple of Finding
        One per opening, in the order of ``section.openings``.
    remedies : dict of str to tuple of Remedy
        By the id of the failing check.
    layout : LayoutChoice or None
        Where the posts were put and why; None where the job lists them.
    framing : FramingPlan or None
        What lies under the posts of a level run; None where the job tells nothing of it.
    openers : tuple of Opener or None
        What would open the window where it is empty; None where it is not, or was not looked for.
    marks : tuple of (Fraction, Fraction or None) or None
        The lowest and the highest mark of the tape in the window at which the guard also passes as
        it will be cut, in the job's unit; the highest is None where nothing limits the gap.  None
        where there is no such mark, the section is not judged, or the answer is for sheets.
    standing : Standing or None
        How its posts stand beside what was planned, and what was cut already; None where the job
        tells nothing of either.
    """

    section: Section
    window: Window
    gap_chosen: bool
    findings: tuple[Finding, ...]
    openings: tuple[Finding, ...]
    remedies: dict[str, tuple[Remedy, ...]]
    layout: LayoutChoice | None = None
    framing: FramingPlan | None = None
    openers: tuple[Opener, ...] | None = None
    marks: tuple[Fraction, Fraction | None] | None = None
    certainty: Certainty | None = None  # of a section that is held against the rulebook
    standing: Standing | None = None

    @property
    def bays(self) -> tuple[Bay, ...]:
        """Of the section, from the foot up."""
        return self.section.bays

    @property
    def posts(self) -> tuple[Post, ...]:
        """Of the section, from the foot up."""
        return self.section.posts

    def __repr__(self) -> str:
        failing = [finding.id for finding in self.findings if finding.fails]
        told = f"checks that fail: {', '.join(failing) or 'none'}"
        return f"{repr(self.section)[:-1]}; {told}>"


class Solution(Struct, frozen=True):
    """Everything that is known about one job.

    Parameters
    ----------
    job : GuardJob
        As read, with the sections of a left-hand line of its own after all others.
    guard : Guard
        As solved, bottom gaps filled in.
    rulebook : Rulebook
        In the job's units, with the job's own values over it.
    joins : tuple of Join
        The posts that two consecutive sections share, from the foot up.
    """

    job: GuardJob
    guard: Guard
    rulebook: Rulebook
    sections: tuple[SectionSolution, ...]
    joins: tuple[Join, ...] = ()

    @property
    def ok(self) -> bool:
        """Whether no check fails, as drawn or as it will be cut."""
        return not any(finding.fails for part in self.sections for finding in part.findings)

    def __repr__(self) -> str:
        parts = ", ".join(f"{part.section.kind} {part.section.number}" for part in self.sections)
        failing = sum(finding.fails for part in self.sections for finding in part.findings)
        told = f"checks that fail: {failing or 'none'}"
        return f"<{self.job.title or 'guard'}, {self.job.rules}: {parts}; {told}>"


def solution_for(
    job: Job,
    with_remedies: bool = True,
    judged: Container[int] | None = None,
    for_sheets: bool = False,
) -> Solution:
    """Solve a job and hold it against its rulebook.

    Parameters
    ----------
    with_remedies : bool
        Whether remedies are looked for where a check fails, which takes many times as long as the
        rest; without them ``remedies`` stays empty.
    judged : container of int, optional
        Numbers of the sections that are held against the rulebook; all of them where it is left
        out.  The others are solved, but have no findings: enough for a drawing that shows none.
    for_sheets : bool
        Whether only sheets are made of the answer.  These letter one remedy of a failing check and
        nothing of the window, so the search ends with the first remedy, and neither ``marks`` nor
        ``openers`` are looked for.

    Raises
    ------
    stairs.errors.JobError
        The measurements do not fix a stair or leave no room, or there is no such rulebook.
    """
    bench = bench_for(job)
    try:
        return _solution(bench, with_remedies, judged, for_sheets)
    except JobError as error:
        told = of_the_file(bench.job, error)
        raise told from (None if told is error else error)


def bench_for(job: Job) -> Bench:
    """Where a job, and changes to it, are solved and judged; raises as :func:`solution_for`."""
    rulebook = _rulebook(job)
    return Bench(job, rulebook, _assumed_use(job, rulebook))


def _solution(
    bench: Bench,
    with_remedies: bool,
    judged: Container[int] | None,
    for_sheets: bool,
) -> Solution:
    rule_for = rule_source(bench.rulebook, bench.job)
    job, layouts = laid_out(bench.job, rule_for)
    settled = []
    for index in range(len(job.sections)):
        at_work(f"section {index + 1}: how low and how high its rail may sit")
        settled.append(bench.settled(job, index))
    alone = tuple(part.section for part in settled)
    joins = joins_of(job, alone)
    together = with_joins(alone, joins)
    framings = framings_of(job, together, joins)
    standings, parts = standings_of(bench, together), []
    whole = all_settled(job, settled)
    for index, (part, section) in enumerate(zip(settled, together, strict=True)):
        found = SectionSolution(
            section, part.window, part.chosen, (), (), {}, layouts[index], framings[index]
        )
        at_work(f"section {section.number}: its checks")
        found = replace(found, standing=standings[index])
        if judged is None or section.number in judged:
            found = _judged(found, part, job, whole, bench.rulebook, for_sheets)
        if with_remedies:
            found = _mended(found, part, bench, rule_for, for_sheets)
        parts.append(found)
    return Solution(bench.job, Guard(job, together), bench.rulebook, tuple(parts), joins)


def _judged(
    found: SectionSolution,
    part: Settled,
    job: Job,
    whole: Job,
    rulebook: Rulebook,
    for_sheets: bool,
) -> SectionSolution:
    """With its findings, and the marks at which it passes; ``whole`` has all sections settled."""
    index, rule_for = found.section.number - 1, rule_source(rulebook, job)
    certainty = Certainty(whole, part.section, index, rulebook)
    findings, openings = findings_of(part.section, part.job, rule_for, certainty.spread)
    # before a check is mended the shared posts have the one height that they get
    findings = with_shared_posts(findings, found.section, job, certainty.spread)
    if not for_sheets:
        findings = certainty.settled(findings)
    marks = None if for_sheets else marks_that_pass(job, index, part.window, rule_for)
    return replace(found, findings=findings, openings=openings, marks=marks, certainty=certainty)


def _mended(
    found: SectionSolution, part: Settled, bench: Bench, rule_for: RuleFor, for_sheets: bool
) -> SectionSolution:
    """With what would make its failing checks pass, and what would open its window."""
    joined, most = replace(part, section=found.section), 1 if for_sheets else MOST
    remedies = {
        finding.id: remedies_for(finding, joined, bench, most)
        for finding in found.findings
        if finding.fails
    }
    openers = None
    if part.window.empty and not for_sheets:
        kept = openers_kept(bench, found.section, part.window, rule_for)
        openers = tuple(with_costs(bench, one, found.section.number - 1) for one in kept)
    return replace(found, remedies=remedies, openers=openers)


def _assumed_use(job: Job, rulebook: Rulebook) -> tuple[str, ...]:
    """The use that the rulebook takes for a job that does not say it, in words."""
    if job.use is not None or not rulebook.uses:
        return ()
    taken = rulebook.default_use
    others = " or ".join(f'"{use}"' for use in rulebook.uses if use != taken)
    return (f'the building is for "{taken}" use, not {others} (use = "{taken}")',)


def _rulebook(job: Job) -> Rulebook:
    """The job's rulebook in its units, with its own values; errors name the job's file."""
    try:
        published = load(job.rules).in_units(job.units)
        book = overridden(published, job.local)
        refuse_far(published, job.local)
        book.known_use(job.use)
    except JobError as error:
        place = "use" if error.where == job.rules else error.where
        raise JobError(joined(job.where, place), error.found, error.allowed, error.remedy) from None
    return book
