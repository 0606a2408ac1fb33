"""Trials: a guard settled and judged without measuring error, to see what a change would do.

Settling a section chooses its bottom gap where the job leaves it open.  Judging it is what a check
does, less the many re-solved guards that tell how far measuring error could go; so a change can be
tried in a few milliseconds, and a remedy is given only after it has been.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from fractions import Fraction
from functools import cache, partial
from typing import Any, TypeVar

import msgspec
from msgspec import Struct

from stairs.checks.cases import rule_source
from stairs.checks.checking import findings_of, passes, with_shared_posts
from stairs.checks.finding import Finding
from stairs.checks.gap_window import RuleFor, Window, window_of
from stairs.checks.measure import known
from stairs.checks.window_marks import choose_gap, marks_inside
from stairs.errors import JobError
from stairs.guard.left_line import guard_job
from stairs.guard.shared_posts import joins_of, with_joins
from stairs.guard.solving import Section, solve_section
from stairs.job import Job, section_where
from stairs.job.key_notes import value_of
from stairs.layout.search import best_positions, with_posts
from stairs.openings.opening import FOOT, HEAD, TRIANGLE, UNDER_RAIL
from stairs.parts.bays import ways_asked
from stairs.parts.panel import AUTO
from stairs.remedies.job_changes import STEP_KEYS, Change, apply
from stairs.rules import Rulebook

Kept = TypeVar("Kept")

_PROVISIONAL = {"in": Fraction(1), "mm": Fraction(25)}
_MEASURED_ALONG = ("posts", "span", "edge", "bays")
_WITH_THE_GAP = {
    "guard-height-min",
    "guard-height-max",
    "handrail-height-min",
    "handrail-height-max",
    "midrail-gap-max",
    *(f"opening-{kind}" for kind in (TRIANGLE, FOOT, HEAD, UNDER_RAIL)),
}
_WITH_THE_RAIL = {"post-stock", "bracket-holes-top", "bracket-holes-foot"}


class Settled(Struct, frozen=True):
    """One section with its bottom gap settled, and the job with the gap written in.

    ``find_window`` gives the window of the gap, the same whenever it is asked; ``chosen`` tells
    whether the job left the gap open.
    """

    section: Section
    find_window: Callable[[], Window]
    chosen: bool
    job: Job

    @property
    def window(self) -> Window:
        """Of the gap; looked for when it is asked for, which takes longer than all the rest."""
        return self.find_window()


def depends_on_gap(finding: Finding) -> bool:
    """Whether a finding of the rulebook changes with the bottom gap."""
    return finding.id in _WITH_THE_GAP


def may_depend_on_gap(check: str) -> bool:
    """Whether a check by this name can come out otherwise with another bottom gap."""
    return check in _WITH_THE_GAP or check in _WITH_THE_RAIL


def settle(job: Job, index: int, rule_for: RuleFor, with_balls: bool = True) -> Settled:
    """One section solved, its bottom gap chosen where the job leaves it to ``"auto"``.

    Of the marks inside the window the one nearest its middle is taken at which the guard also
    passes as it will be cut; where none does, the one nearest the middle.  ``with_balls`` as for
    :func:`stairs.guard.solving.solve_section`; whether the guard passes is told without them too.
    """
    record = job.sections[index]
    gap = record.bottom_gap
    if isinstance(gap, Fraction):
        section = solve_section(job, index, with_balls=with_balls)
        found = cache(partial(window_of, section, job, rule_for))
        return Settled(section, found, False, _as_cut(job, section))
    window = window_at(job, index, rule_for)
    passes = partial(_passes, job, index, rule_for, window)
    settled = with_gap(job, index, choose_gap(window, job.tape, passes))
    section = solve_section(settled, index, with_balls=with_balls)
    return Settled(section, lambda: window, True, _as_cut(settled, section))


def _as_cut(job: Job, section: Section) -> Job:
    """The job with the way each bay is cut written in, so that no measuring error turns it."""
    index = section.number - 1
    words = ways_asked(job, len(section.bays), job.sections[index].trim)
    if AUTO not in words:
        return job
    sections = list(job.sections)
    ways = tuple(bay.trims.way for bay in section.bays)
    sections[index] = msgspec.structs.replace(sections[index], trim=ways)
    return msgspec.structs.replace(job, sections=tuple(sections))


def window_at(job: Job, index: int, rule_for: RuleFor) -> Window:
    """The window of one section's bottom gap, whatever gap the job states or leaves open."""
    record = job.sections[index]
    under = (value_of(record, "stringer_margin") or Fraction(0)) + record.filler
    trial = solve_section(job, index, under + _PROVISIONAL[job.units], with_balls=False)
    return window_of(trial, job, rule_for)


def with_gap(job: Job, index: int, gap: Fraction) -> Job:
    """The job with one section's bottom gap written in [job's unit of length]."""
    sections = list(job.sections)
    sections[index] = msgspec.structs.replace(sections[index], bottom_gap=gap)
    return msgspec.structs.replace(job, sections=tuple(sections))


def marks_that_pass(
    job: Job, index: int, window: Window, rule_for: RuleFor
) -> tuple[Fraction, Fraction | None] | None:
    """The outermost marks in a window at which the guard passes, as it will be cut too.

    See :func:`stairs.checks.window_marks.marks_inside`; None where the window is empty.  The
    section's posts are in their places in the job.
    """
    passes = partial(_passes, job, index, rule_for, window)
    return None if window.empty else marks_inside(window, job.tape, passes)


def _passes(job: Job, index: int, rule_for: RuleFor, window: Window, gap: Fraction) -> bool:
    """Whether a section passes with a gap in its window, as it will be cut too."""
    settled = with_gap(job, index, gap)
    try:
        section = solve_section(settled, index, only_walls=True)
    except JobError:
        return False
    return passes(section, settled, rule_for, _WITH_THE_GAP, window)


def all_settled(job: Job, parts: Sequence[Settled]) -> Job:
    """The job with each of its sections settled."""
    sections = tuple(part.job.sections[index] for index, part in enumerate(parts))
    return msgspec.structs.replace(job, sections=sections)


def depends_on(job: Job, index: int) -> tuple[object, ...]:
    """Everything in a job that one section's layout, solution and findings follow from.

    Frozen records, to be compared: the job without its other sections, of which only the kinds and
    what they end at are left.
    """
    others = tuple((section.kind, section.ends.end) for section in job.sections)
    return msgspec.structs.replace(job, sections=(job.sections[index],)), others, index


class Outcome(Struct, frozen=True):
    """What a job comes to: its settled sections and the findings of each.

    ``laid`` is the job with all posts in their places, ``together`` are the sections with the posts
    that they share as tall as both need them.
    """

    sections: tuple[Settled, ...]
    findings: tuple[tuple[Finding, ...], ...]
    laid: Job
    together: tuple[Section, ...]

    @property
    def failing(self) -> frozenset[tuple[int, str]]:
        """The checks that fail: section index from 0, and name of the check."""
        return frozenset(
            (index, finding.id)
            for index, findings in enumerate(self.findings)
            for finding in findings
            if finding.fails
        )

    def title(self, index: int, check: str) -> str:
        """What a check is called on screen."""
        return next(found.title for found in self.findings[index] if found.id == check)


def moves_posts(changes: Iterable[Change]) -> bool:
    """Whether changes are of a section's posts or of the steps that they stand on."""
    return any(change.key in (*_MEASURED_ALONG, *STEP_KEYS) for change in changes)


class Bench:
    """Where changes to one job are tried; what was worked out of like sections is kept."""

    def __init__(self, in_file: Job, rulebook: Rulebook, assumed: tuple[str, ...] = ()) -> None:
        self.in_file, job = in_file, guard_job(in_file)
        self.job = msgspec.structs.replace(job, assumed=(*job.assumed, *assumed))
        self.rulebook = rulebook
        self.with_balls = False
        """Whether trials find the balls beside the stair, and not only whether they pass."""
        self.openers: dict[int, Iterator[Any]] = {}
        """What opens the window of a section, as far as it was looked for."""
        self._known: dict[tuple[Job, bool], Outcome] = {}
        self._parts: dict[tuple[object, ...], Any] = {}

    @property
    def before(self) -> Outcome:
        """The job as it is."""
        return self.outcome(self.job)

    def settled(self, laid: Job, index: int, with_balls: bool = True) -> Settled:
        """One section of a job that is laid out, settled."""
        rule_for = rule_source(self.rulebook, laid)
        what = "settled" if with_balls else "judged"
        return self._kept(what, laid, index, lambda: settle(laid, index, rule_for, with_balls))

    def outcome(self, job: Job) -> Outcome:
        """What a changed job comes to; raises JobError where it cannot be solved."""
        key = job, self.with_balls
        if key not in self._known:
            laid = self._laid_out(job)
            sections = [
                self.settled(laid, index, self.with_balls) for index in range(len(job.sections))
            ]
            found = [self._findings(laid, index, part) for index, part in enumerate(sections)]
            alone = [part.section for part in sections]
            together = with_joins(alone, joins_of(laid, alone))
            shared = (with_shared_posts(*pair, laid) for pair in zip(found, together, strict=True))
            self._known[key] = Outcome(tuple(sections), tuple(shared), laid, tuple(together))
        return self._known[key]

    def _laid_out(self, job: Job) -> Job:
        """The job with all posts in their places."""
        rule_for, laid = rule_source(self.rulebook, job), job
        for index, section in enumerate(job.sections):
            if section.posts is None:
                found = self._kept(
                    "posts", job, index, partial(best_positions, job, index, rule_for)
                )
                laid = with_posts(laid, index, found)
        return laid

    def _findings(self, laid: Job, index: int, part: Settled) -> tuple[Finding, ...]:
        rule_for = rule_source(self.rulebook, laid)

        def find() -> tuple[Finding, ...]:
            window = part.window if part.chosen else None
            return findings_of(part.section, part.job, rule_for, window=window)[0]

        what = "findings with balls" if self.with_balls else "findings"
        return self._kept(what, laid, index, find)

    def _kept(self, what: str, job: Job, index: int, make: Callable[[], Kept]) -> Kept:
        """What was made before of the same section in the same surroundings, or made now."""
        key = (what, *depends_on(job, index))
        if key not in self._parts:
            self._parts[key] = make()
        kept: Kept = self._parts[key]
        return kept

    def posts_now(self, index: int) -> tuple[Fraction, ...]:
        """Post centres of a section as it is, listed or laid out [job's unit of length]."""
        return known(self.before.sections[index].job.sections[index].posts)

    @property
    def standing(self) -> Job:
        """The job with all posts listed where they stand now."""
        job: Job = self.job
        for index, section in enumerate(job.sections):
            if section.posts is None:
                job = with_posts(job, index, self.posts_now(index))
        return job

    def held(self, free: int | None = None) -> Job:
        """The job as the file has it, all posts but a free section's listed where they stand."""
        job = self.in_file
        for index, section in enumerate(job.sections):
            if section.posts is None and index != free:
                job = with_posts(job, index, self.posts_now(index))
        return job

    def tried(
        self, changes: Iterable[Change], index: int, held: bool = False
    ) -> tuple[Job, Outcome]:
        """The job with changes made, and what it comes to; raises JobError where it cannot be.

        Where ``held``, posts that the job leaves open stay where they are; those of the section do
        not where the changes are of its posts or its steps.
        """
        changes, section = tuple(changes), self.job.sections[index]
        in_file = self.in_file
        if held:
            in_file = self.held(index if moves_posts(changes) else None)
        right = self.job.lines[index].opposite_of
        own = [change.key for change in changes if change.key in _MEASURED_ALONG]
        if right and own:
            raise JobError(
                section_where(index + 1, section.name, file=self.job.where),
                f"{own[0]} of the left-hand guard is worked out from the right-hand one",
                "A job file has it for the right hand alone",
                "Change the right-hand guard",
            )
        changed = apply(in_file, changes, (right or index + 1) - 1)
        job = msgspec.structs.replace(guard_job(changed), assumed=self.job.assumed)
        return job, self.outcome(job)
