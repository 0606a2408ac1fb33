"""The whole answer to one job: the guard as solved, its findings, windows and remedies.

This is where the rooms below are put in order: the rulebook in the job's units, the bottom gap
chosen where the job leaves it open, the guard solved for it, every check made.  Sheets, lists and
the screen read the answer and nothing behind it.
"""

from __future__ import annotations

from collections.abc import Container
from dataclasses import dataclass, replace

from stairs.changes import Change
from stairs.checks import FAIL, Finding, findings_of, rule_source, with_post_height
from stairs.errors import JobError
from stairs.framing import FramingPlan, framing_of
from stairs.guard import Guard, Section
from stairs.job import Job
from stairs.job_hands import of_the_file, with_left_line
from stairs.job_table import joined
from stairs.joins import Join, joins_of, with_joins
from stairs.layout_search import LayoutChoice, laid_out
from stairs.marks import ceil_to_mark, length_text
from stairs.remedies import Remedy, remedies_for
from stairs.rules import Rulebook, load, overridden
from stairs.trial import Bench, settle
from stairs.windows import Window

POSTS_SOLD_BY = {"in": 3, "mm": 50}
"""By how much one length of post sold differs from the next, in the job's unit."""


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
    layout : LayoutChoice or None
        Where the posts were put and why; None where the job lists them.
    framing : FramingPlan or None
        What lies under the posts of a level run; None where the job tells nothing of it.
    """

    section: Section
    window: Window
    gap_chosen: bool
    findings: tuple[Finding, ...]
    openings: tuple[Finding, ...]
    remedies: dict[str, tuple[Remedy, ...]]
    layout: LayoutChoice | None = None
    framing: FramingPlan | None = None


@dataclass(frozen=True, slots=True)
class Answer:
    """Everything that is known about one job.

    Parameters
    ----------
    job : Job
        As read; a left-hand line that is not the mirror image of the right one is written out.
    guard : Guard
        As solved, bottom gaps filled in.
    rulebook : Rulebook
        In the job's units, with the job's own values over it.
    sections : tuple of SectionAnswer
        In order.
    joins : tuple of Join
        The posts that two consecutive sections share, from the foot up.
    """

    job: Job
    guard: Guard
    rulebook: Rulebook
    sections: tuple[SectionAnswer, ...]
    joins: tuple[Join, ...] = ()

    @property
    def ok(self) -> bool:
        """Whether no check fails."""
        return not any(
            finding.verdict == FAIL for part in self.sections for finding in part.findings
        )


def answer_for(
    job: Job, with_remedies: bool = True, judged: Container[int] | None = None
) -> Answer:
    """Solve a job and hold it against its rulebook.

    Parameters
    ----------
    job : stairs.job.Job
        As read.
    with_remedies : bool
        Whether remedies are looked for where a check fails, which takes many times as long as the
        rest; without them ``remedies`` stays empty.
    judged : container of int, optional
        Numbers of the sections that are held against the rulebook; all of them where it is left
        out.  The others are solved, but have no findings: enough for a drawing that shows none.

    Returns
    -------
    Answer

    Raises
    ------
    stairs.errors.JobError
        The measurements do not fix a stair or leave no room, or there is no such rulebook.
    """
    rulebook, job = _rulebook(job), with_left_line(job)
    try:
        return _answer(job, rulebook, with_remedies, judged)
    except JobError as error:
        told = of_the_file(job, error)
        raise told from (None if told is error else error)


def _answer(
    job: Job, rulebook: Rulebook, with_remedies: bool, judged: Container[int] | None
) -> Answer:
    rule_for = rule_source(rulebook, job)
    as_read, (job, layouts) = job, laid_out(job, rule_for)
    bench = Bench(as_read, rulebook) if with_remedies else None
    parts = tuple(
        _section(job, bench, index, rule_for, judged is None or index + 1 in judged)
        for index in range(len(job.sections))
    )
    alone = tuple(part.section for part in parts)
    joins = joins_of(job, alone)
    together = with_joins(job, alone, joins)
    parts = tuple(
        replace(
            _joined(job, part, section),
            layout=layout,
            framing=_framing(job, section),
        )
        for part, section, layout in zip(parts, together, layouts, strict=True)
    )
    return Answer(as_read, Guard(job, together), rulebook, parts, joins)


def _framing(job: Job, section: Section) -> FramingPlan | None:
    index = section.number - 1
    walls = [post.wall for post in section.posts]
    return framing_of(job, index, job.sections[index].posts, walls)


def _joined(job: Job, part: SectionAnswer, section: Section) -> SectionAnswer:
    """The answer of a section whose end posts are as tall as their neighbours need them."""
    findings = list(part.findings)
    remedies = dict(part.remedies)
    for place, finding in enumerate(findings):
        if finding.id != "post-stock":
            continue
        post = max((post for post in section.posts if not post.wall), key=lambda post: post.height)
        if post.height <= finding.value:
            continue
        findings[place] = with_post_height(finding, post)
        if findings[place].verdict == FAIL:
            length = ceil_to_mark(post.height - 1e-9, POSTS_SOLD_BY[job.units])
            text = (
                f"Buy posts {length_text(length, job.units, job.tape)} long or more: the post "
                f"shared with section {post.shared_with[0]} is the tallest"
            )
            change = Change("post", "stock", (*job.post.stock, length))
            remedies["post-stock"] = (Remedy(text, (change,)),)
    return replace(part, section=section, findings=tuple(findings), remedies=remedies)


def _rulebook(job: Job) -> Rulebook:
    """The job's rulebook in its units, with its own values; errors name the job's file."""
    try:
        book = overridden(load(job.rules).in_units(job.units), job.local)
        book.known_use(job.use)
    except JobError as error:
        place = "use" if error.where == job.rules else error.where
        raise JobError(joined(job.where, place), error.found, error.allowed, error.remedy) from None
    return book


def _section(
    job: Job, bench: Bench | None, index: int, rule_for, judged: bool = True
) -> SectionAnswer:
    settled = settle(job, index, rule_for)
    if not judged:
        return SectionAnswer(settled.section, settled.window, settled.chosen, (), (), {})
    findings, openings = findings_of(settled.section, settled.job, rule_for, index)
    remedies = {
        finding.id: remedies_for(finding, settled, bench)
        for finding in findings
        if bench is not None and finding.verdict == FAIL
    }
    return SectionAnswer(
        settled.section, settled.window, settled.chosen, findings, openings, remedies
    )
