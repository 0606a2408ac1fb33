"""Trials: the guard solved and judged with the key at one value, exactly, each value once."""

from __future__ import annotations

from functools import cached_property
from typing import Any

from msgspec import Struct

from stairs.checks.cases import rule_source
from stairs.checks.checking import findings_of
from stairs.checks.finding import Finding
from stairs.checks.tolerance import Spread
from stairs.errors import JobError, StairsError
from stairs.guard.left_line import of_the_file
from stairs.guard.solving import Section
from stairs.inverse.asked import Asked, changes_to
from stairs.inverse.goal import Goal, Miss
from stairs.job import Job
from stairs.progress import at_work
from stairs.remedies.trial_solve import Bench, Outcome

UNBUILT = "no guard"
"""The name under which it counts as a miss that there is no guard at all."""


class Trial(Struct, frozen=True):
    """What came of one value: the job with it, what is missed, or why there is no guard."""

    value: Any
    misses: tuple[Miss, ...]
    job: Job | None = None
    outcome: Outcome | None = None
    error: JobError | None = None

    @property
    def as_drawn(self) -> bool:
        """Whether nothing is missed as drawn."""
        return all(miss.as_cut_only for miss in self.misses)

    @property
    def passes(self) -> bool:
        """Whether nothing is missed, as drawn or as it will be cut."""
        return not self.misses

    @property
    def drawn_misses(self) -> tuple[Miss, ...]:
        """What is missed as drawn."""
        return tuple(miss for miss in self.misses if not miss.as_cut_only)


class Trials:
    """The trials of one key for one goal; what was solved is kept, for other goals too.

    Posts that the job leaves open stay where they stand now, those of a section whose steps, posts
    or length are asked for excepted; all of them are laid out anew at each value where ``anew``.
    """

    def __init__(
        self,
        bench: Bench,
        asked: Asked,
        goal: Goal,
        before: Trials | None = None,
        anew: bool = False,
    ) -> None:
        self.bench, self.asked, self.goal = bench, asked, goal
        self.anew: bool = before.anew if before else anew
        self.solved: dict[Any, tuple[Job, Outcome] | JobError] = before.solved if before else {}
        self._known: dict[Any, Trial] = {}

    def for_goal(self, goal: Goal) -> Trials:
        """The trials of the same key for another goal."""
        return Trials(self.bench, self.asked, goal, self)

    @property
    def index(self) -> int:
        """Of the section into which changes are written; 0 where the key is in none."""
        return self.asked.index or 0

    @property
    def left_open(self) -> bool:
        """Whether the job leaves it open where posts of some section go."""
        return any(section.posts is None for section in self.bench.in_file.sections)

    @cached_property
    def lays_out(self) -> bool:
        """Whether posts are laid out at each value, of all sections or of the key's own."""
        if self.anew or self.asked.index is None:
            return self.anew and self.left_open
        if self.asked.key.name == "bays":
            return True
        along = self.asked.is_step or self.asked.key.name in ("span", "edge")
        return along and self.bench.in_file.sections[self.asked.index].posts is None

    def at(self, value: Any) -> Trial:
        """What comes of a value."""
        if value not in self._known:
            self._known[value] = self._trial(value)
        return self._known[value]

    def _trial(self, value: Any) -> Trial:
        if value not in self.solved:
            told = value if isinstance(value, str) else f"{float(value):g}"
            at_work(f"{self.asked.title} {told}")
            try:
                changes = changes_to(self.asked, self.bench, value)
                self.solved[value] = self.bench.tried(changes, self.index, held=not self.anew)
            except JobError as error:
                self.solved[value] = of_the_file(self.bench.job, error)
            except StairsError as error:
                self.solved[value] = JobError(error.where, error.found, error.allowed)
        found = self.solved[value]
        if isinstance(found, JobError):
            return Trial(value, (Miss(UNBUILT, because=reason_of(found)),), error=found)
        job, outcome = found
        findings = [one for each in outcome.findings for one in each]
        misses = tuple(self.goal.misses(self.sections(outcome), findings))
        return Trial(value, misses, job, outcome)

    def told(self, value: Any) -> tuple[Miss, ...]:
        """What is missed at a value, balls beside the stair and cubes found for the telling."""
        trial = self.at(value)
        if trial.outcome is None or trial.job is None or self.goal.target is not None:
            return trial.misses
        found: list[Finding] = []
        for index, part in enumerate(trial.outcome.sections):
            if any(miss.section == index + 1 for miss in trial.misses):
                rule_for = rule_source(self.bench.rulebook, part.job)
                section = self.bench.settled(part.job, index).section
                found += findings_of(section, part.job, rule_for, Spread(None))[0]
        known = {miss.key: miss for miss in self.goal.misses((), found)}
        return tuple(known.get(miss.key, miss) for miss in trial.misses)

    def told_anew(self, value: Any) -> tuple[Miss, ...] | None:
        """What is missed with all posts laid out anew for a value; None where none are left open.

        None too where it is the same.
        """
        if self.anew or not self.left_open:
            return None
        others = Trials(self.bench, self.asked, self.goal, anew=True)
        told = others.told(value)
        alike = {miss.key for miss in told} == {miss.key for miss in self.at(value).misses}
        return None if alike else told

    def sections(self, outcome: Outcome) -> list[Section]:
        """The solved sections; their shared posts as tall as they get where posts count."""
        target = self.goal.target
        if target is not None and target.result is not None and target.result.of == "post":
            return list(outcome.together)
        return [part.section for part in outcome.sections]


def reason_of(error: JobError) -> str:
    """Why there is no guard, in a line."""
    where = ": ".join(part for part in error.where.split(": ") if not part.endswith(".toml"))
    return f"{where}: {error.found}" if where else error.found
