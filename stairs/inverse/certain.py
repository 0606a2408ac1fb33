"""Certain: which values pass wherever in their tolerances all measurements are."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Any

from msgspec.structs import replace

from stairs.certainty.bounds import TracedSection
from stairs.certainty.enclosure import Unsure
from stairs.certainty.proving import Certainty
from stairs.certainty.readings import Reading, readings_of
from stairs.certainty.sharing import Beside, sections_beside
from stairs.checks.cases import rule_source
from stairs.checks.checking import findings_of, with_shared_posts
from stairs.checks.finding import MARGINAL
from stairs.checks.part_values import BUILDABLE
from stairs.errors import StairsError
from stairs.inverse.answer import Run
from stairs.inverse.goal import Miss, miss_of
from stairs.inverse.proofs import (
    Keys,
    bounds_of_target,
    decided,
    has_room,
    make_of,
    of_target,
    passes_all_over,
    told_findings,
)
from stairs.inverse.trials import Trial, Trials
from stairs.job import Job
from stairs.progress import at_work
from stairs.remedies.trial_solve import all_settled, depends_on

_SINGLY = 40  # values that are looked at one by one, where nothing is told of many at once


class Certain:
    """What measuring error may make of the trials of one key."""

    def __init__(self, trials: Trials) -> None:
        self.trials = trials
        self._marginal: dict[Any, tuple[Miss, ...]] = {}
        self.every: dict[Any, int] = {}
        """By the first of values next to each other, every how many of them were tried."""

    @property
    def _any_off(self) -> bool:
        """Whether any measurement may be off at all."""
        job = self.trials.bench.job
        return bool(job.measured_within or job.measured)

    def marginal_at(self, value: Any) -> tuple[Miss, ...]:
        """What passes as drawn at a value, and could fail with measurements a little off."""
        if value not in self._marginal:
            self._marginal[value] = tuple(self._marginal_of(self.trials.at(value)))
        return self._marginal[value]

    def _marginal_of(self, trial: Trial) -> Iterator[Miss]:
        outcome, goal = trial.outcome, self.trials.goal
        if outcome is None or trial.job is None or not self._any_off:
            return
        at_work(f"{self.trials.asked.title}: every measurement a little off")
        whole = all_settled(outcome.laid, outcome.sections)
        rulebook = self.trials.bench.rulebook
        for index, part in enumerate(outcome.sections):
            if not goal.counts(index + 1):
                continue
            if goal.target is not None:
                yield from self._off_target(trial, index)
                continue
            spread = Certainty(whole, part.section, index, rulebook).spread
            rule_for = rule_source(rulebook, part.job)
            findings, _ = findings_of(part.section, part.job, rule_for, spread)
            together = outcome.together[index]
            for one in with_shared_posts(findings, together, outcome.laid, spread):
                if goal.asks(one) and one.verdict == MARGINAL:
                    yield miss_of(one)

    def _off_target(self, trial: Trial, index: int) -> Iterator[Miss]:
        """Of a number that is wanted: whether it may be otherwise."""
        target, job = self.trials.goal.target, decided(trial)
        assert target is not None
        try:
            traced = TracedSection(job, index, readings_of(job, index))
            bounds = list(bounds_of_target(target, traced))
        except (Unsure, StairsError):
            yield Miss(target.name, index + 1, unit=target.unit, limit=float(target.value))
            return
        for one in bounds:
            off = -1 if one.low < target.value else 1
            worst = one.low if not target.keeps(-1) else one.high
            if not target.keeps(off if worst != target.value else 0) or target.side == "equal":
                yield Miss(
                    target.name, index + 1, "", target.unit, worst, float(target.value), order=off
                )
                return

    # ------------------------------------------------------------------ many at once

    def sure_runs(self, marks: Sequence[Any], aside: Keys) -> tuple[Run, ...]:
        """Of values that pass and lie next to each other those that do so wherever measured."""
        if not marks:
            return ()
        tried = list(marks)
        if len(marks) > _SINGLY and not self._is_told_together(marks):
            self.every[marks[0]] = math.ceil(len(marks) / _SINGLY)
            tried = list(dict.fromkeys([*marks[:: self.every[marks[0]]], marks[-1]]))
        found = sorted(self._sure(tried, aside))
        runs: list[Run] = []
        places = {mark: place for place, mark in enumerate(tried)}
        for mark in found:
            if runs and places[mark] == places[runs[-1].high] + 1:
                runs[-1] = Run(runs[-1].low, mark)
            else:
                runs.append(Run(mark, mark))
        return tuple(runs)

    def _sure(self, marks: list[Any], aside: Keys) -> Iterator[Any]:
        if not self._is_told_together(marks):
            for mark in marks:
                if {miss.key for miss in self.marginal_at(mark)} <= aside:
                    yield mark
            return
        waiting: list[tuple[list[Any], Keys | None]] = [(marks, None)]
        while waiting:
            part, left = waiting.pop()
            left = self._left_between(part[0], part[-1], aside, left)
            if not left:
                yield from part
            elif len(part) > 1:
                half = len(part) // 2
                waiting += [(part[:half], left), (part[half:], left)]

    def _is_told_together(self, marks: Sequence[Any]) -> bool:
        """Whether many values are one box, since the key is a measurement."""
        ends = self.trials.at(marks[0]), self.trials.at(marks[min(1, len(marks) - 1)])
        if ends[0].outcome is None or not self._any_off:
            return False
        return all(
            self._box(index, ends) is not None
            for index in range(len(ends[0].outcome.sections))
            if self.trials.goal.counts(index + 1)
        )

    def _box(self, index: int, ends: tuple[Trial, Trial]) -> _Box | None:
        """A section's measurements for all values between two; None where these are none.

        What was read is that at the first of them, and each measurement that follows from the key
        lies between what it may be at the one and at the other.
        """
        jobs = [decided(trial) for trial in ends]
        beside = [tuple(sections_beside(job, index)) for job in jobs]
        readings = [readings_of(job, index) for job in jobs]
        own, model = _joined(*readings), jobs[0]
        if own is None or len(beside[0]) != len(beside[1]):
            return None
        wide = []
        for one, other in zip(*beside, strict=True):
            joined = _joined(one.readings, other.readings)
            if joined is None:
                return None
            wide.append(replace(one, readings=joined))
        for reading in (*readings[1], *(each for one in beside[1] for each in one.readings)):
            model = reading.put(model, reading.value)
        for one in (index, *(each.index for each in wide)):
            if depends_on(model, one) != depends_on(jobs[1], one):
                return None
        return jobs[0], own, tuple(wide)

    def _left_between(self, low: Fraction, high: Fraction, aside: Keys, left: Keys | None) -> Keys:
        """What is not proved to pass at all values between two wherever measured.

        ``left`` is what was not proved at more values than these; everything where it is None.
        """
        ends, goal = (self.trials.at(low), self.trials.at(high)), self.trials.goal
        outcome, still = ends[0].outcome, set[tuple[int, str]]()
        assert outcome is not None
        at_work(f"{self.trials.asked.title}: every measurement a little off")
        for index, part in enumerate(outcome.findings):
            asked = {one.id for one in part if goal.asks(one) and (index + 1, one.id) not in aside}
            if goal.target is not None:
                asked = {goal.target.name}
            asked.add(BUILDABLE)
            if not goal.counts(index + 1):
                continue
            names = frozenset(asked)
            if left is not None:
                names &= {name for section, name in left if section == index + 1}
            if names:
                try:
                    proved = self._proved(index, ends, names)
                except (StairsError, Unsure):
                    proved = frozenset()
                still |= {(index + 1, name) for name in names - proved}
        return frozenset(still)

    def _proved(
        self, index: int, ends: tuple[Trial, Trial], names: frozenset[str]
    ) -> frozenset[str]:
        """Which of some checks of a section pass at all values wherever measured."""
        outcome = ends[0].outcome
        assert outcome is not None and ends[1].outcome is not None
        box = self._box(index, ends)
        if box is None or make_of(outcome, index, names) != make_of(ends[1].outcome, index, names):
            return frozenset()
        traced = TracedSection(box[0], index, box[1], box[2])
        if not has_room(traced):
            return frozenset()
        target = self.trials.goal.target
        if target is not None:
            failing = of_target(target, index, traced).left
            return names if not failing else frozenset()
        findings = told_findings(self.trials, ends[0], index, traced, names)
        passing = {one.id for one in findings if one.id in names and passes_all_over(one)}
        return frozenset(passing | {BUILDABLE})


_Box = tuple[Job, tuple[Reading, ...], tuple[Beside, ...]]


def _joined(low: Sequence[Reading], high: Sequence[Reading]) -> tuple[Reading, ...] | None:
    """Each measurement between what it may be in the one job and in the other; None if not alike"""
    if [one.key for one in low] != [one.key for one in high]:
        return None
    return tuple(
        replace(one, low=min(one.low, other.low), high=max(one.high, other.high))
        for one, other in zip(low, high, strict=True)
    )
