"""Proofs: what the goal comes to for every value between two, not at some of them alone.

The guard is solved once with the key as a traced number, and every amount that decides is worked
out over all values between the two.  That tells something only where the guard is of one make
there: so the records that it is solved from, its openings and the rules that hold have to be the
same at both ends and in the middle but for the key itself.
"""

from __future__ import annotations

import math
from collections.abc import Container, Iterator
from fractions import Fraction
from functools import partial

from msgspec import Struct
from msgspec.structs import replace

from stairs.certainty.bounds import Bounds, TracedSection
from stairs.certainty.enclosure import Enclosure, Unsure
from stairs.certainty.other_limits import rules_over
from stairs.certainty.readings import Reading
from stairs.certainty.rooms import rooms_of
from stairs.certainty.sharing import sections_beside
from stairs.certainty.traced import Worked, end_of, ends_of
from stairs.checks.cases import rule_source
from stairs.checks.checking import findings_of, with_shared_posts
from stairs.checks.finding import FAIL, NOT_APPLICABLE, Finding
from stairs.checks.gap_window import check_of
from stairs.checks.tolerance import Spread
from stairs.errors import StairsError
from stairs.inverse.asked import changes_to
from stairs.inverse.goal import Target, numbers_of
from stairs.inverse.trials import Trial, Trials
from stairs.job import Job
from stairs.numbers.tolerances import SAME
from stairs.relations.exact import Amount
from stairs.remedies.job_changes import written
from stairs.remedies.trial_solve import Outcome, depends_on

Keys = frozenset[tuple[int, str]]
"""Checks, or a number that is wanted: by section, from 1, and name."""

_SOLD = ("pitch", "end_margin", "stock")
"""What holes a panel is sold with changes by leaps, which no amount tells."""

_Found = tuple[Trial, Trial, Trial]


class Proof(Struct, frozen=True):
    """What is proved of all values between two.

    ``passes`` tells that they pass, or that they all fail; None where neither is proved.
    ``failing`` is what fails at each of them, ``left`` what is not proved to pass at each; None
    where everything is left.  ``able`` tells whether more may be proved of fewer values.
    """

    passes: bool | None = None
    failing: Keys = frozenset()
    left: Keys | None = None
    able: bool = False


class Prover:
    """Proofs for the trials of one key and one goal."""

    def __init__(self, trials: Trials) -> None:
        self.trials, self.asked = trials, trials.asked
        self.able = isinstance(self.asked.now, Fraction | None) and not (
            self.asked.table == "panel" and self.asked.key.name in _SOLD
        )

    def between(self, low: Fraction, high: Fraction, left: Keys | None = None) -> Proof:
        """What is proved of all values from one to another, both told.

        ``left`` is what was not proved yet to pass at more values than these.
        """
        ends = self.trials.at(low), self.trials.at(high)
        alike = ends[0].as_drawn == ends[1].as_drawn
        if not (self.able and alike) or any(one.outcome is None for one in ends):
            return Proof(left=left)
        common = frozenset.intersection(*(_drawn(trial) for trial in ends))
        model = self._alike(ends)
        if ends[0].as_drawn:
            if not all(model.values()):
                return Proof(left=left)
        else:
            common = frozenset(key for key in common if model.get(key[0] - 1))
            if not common:
                return Proof(left=left)
        middle = self.trials.at((low + high) / 2)
        if middle.outcome is None or middle.as_drawn != ends[0].as_drawn:
            return Proof(left=left)
        found = ends[0], middle, ends[1]
        if middle.as_drawn:
            return self._passing(low, high, found, left)
        common &= _drawn(middle)
        failing: set[tuple[int, str]] = set()
        for number in sorted({section for section, _ in common}):
            names = frozenset(name for section, name in common if section == number)
            proof = self._section(number - 1, low, high, found, names)
            failing |= set() if proof is None else proof.failing
        return Proof(False, frozenset(failing), left) if failing else Proof(left=left, able=True)

    def _alike(self, ends: tuple[Trial, Trial]) -> dict[int, bool]:
        """Of each section that counts whether it is the same at both ends but for the key."""
        assert ends[0].outcome is not None
        jobs = [decided(trial) for trial in ends]
        changes = changes_to(self.asked, self.trials.bench, ends[1].value)
        model = written(jobs[0], changes, self.trials.index)
        return {
            index: depends_on(model, index) == depends_on(jobs[1], index)
            for index in range(len(ends[0].outcome.sections))
            if self.trials.goal.counts(index + 1)
        }

    def _passing(self, low: Fraction, high: Fraction, found: _Found, left: Keys | None) -> Proof:
        outcome, still = found[1].outcome, set[tuple[int, str]]()
        assert outcome is not None
        for index, part in enumerate(outcome.findings):
            if not self.trials.goal.counts(index + 1):
                continue
            names = frozenset(one.id for one in part if self.trials.goal.asks(one))
            if self.trials.goal.target is not None:
                names = frozenset([self.trials.goal.target.name])
            if left is not None:
                names &= {name for section, name in left if section == index + 1}
            if not names:
                continue
            proof = self._section(index, low, high, found, names)
            if proof is None or proof.left is None:
                still |= {(index + 1, name) for name in names}
            else:
                still |= proof.left
        return Proof(None if still else True, left=frozenset(still), able=True)

    def _section(
        self, index: int, low: Fraction, high: Fraction, found: _Found, names: frozenset[str]
    ) -> Proof | None:
        """What is proved of some checks of a section; None where nothing can be."""
        try:
            return self._told(index, low, high, found, names)
        except (StairsError, Unsure, ZeroDivisionError, OverflowError):
            return None

    def _told(
        self, index: int, low: Fraction, high: Fraction, found: _Found, names: frozenset[str]
    ) -> Proof | None:
        jobs = [decided(trial) for trial in found]
        base, middle = jobs[1], found[1].value
        beside = tuple(sections_beside(base, index))
        meant = (index, *(one.index for one in beside))
        models = [[depends_on(job, one) for one in meant] for job in jobs]
        outcomes = [trial.outcome for trial in found if trial.outcome is not None]
        if all(model == models[1] for model in models):
            return self._as_it_is(index, outcomes[1], names)
        at = self.trials.index

        def put(_: Job, value: Fraction) -> Job:
            return written(base, changes_to(self.asked, self.trials.bench, value), at)

        for trial, model in zip(found, models, strict=True):
            if [depends_on(put(base, trial.value), one) for one in meant] != model:
                return None
        if len({make_of(outcome, index, names) for outcome in outcomes}) > 1:
            return None
        readings = (Reading("asked", middle, low, high, put),)
        beside = tuple(replace(one, readings=readings) for one in beside)
        traced = TracedSection(base, index, readings, beside)
        if not has_room(traced):
            return None
        target = self.trials.goal.target
        if target is not None:
            return of_target(target, index, traced)
        told, numbered = told_findings(self.trials, found[1], index, traced, names), index + 1
        asked = [one for one in told if one.id in names]
        failing = frozenset((numbered, one.id) for one in asked if fails_all_over(one))
        left = frozenset((numbered, one.id) for one in asked if not passes_all_over(one))
        return Proof(None, failing, left)

    def _as_it_is(self, index: int, outcome: Outcome, names: frozenset[str]) -> Proof:
        """Of a section on which the key has no influence."""
        goal, sections = self.trials.goal, [outcome.sections[index].section]
        missed = goal.misses(sections, outcome.findings[index])
        failing = frozenset(one.key for one in missed if not one.as_cut_only and one.id in names)
        return Proof(None, failing, failing)


def _drawn(trial: Trial) -> Keys:
    """What is missed as drawn."""
    return frozenset(miss.key for miss in trial.drawn_misses)


def has_room(traced: TracedSection) -> bool:
    """Whether the guard can be built all over the box, every post on the step that it stands on.

    What no measurement moves is as it is where the guard was solved.
    """
    ends = (end_of(room, traced.box, -1) for room in rooms_of(traced.section, traced.job))
    return all(end.value > 0 or not end.corner for end in ends)


def told_findings(
    trials: Trials, trial: Trial, index: int, traced: TracedSection, names: Container[str]
) -> tuple[Finding, ...]:
    """The findings of some checks of a section, with what they come to all over a box."""
    outcome, rulebook = trial.outcome, trials.bench.rulebook
    assert outcome is not None
    part = outcome.sections[index]
    bounds = {
        key: None if math.isinf(one.low) or math.isinf(one.high) else (one.low, one.high)
        for key, one in traced.bounds(names).items()
    }
    spread = Spread(bounds, (), rules_over(rulebook, traced, part.section))
    rule_for = rule_source(rulebook, part.job)
    findings, _ = findings_of(part.section, part.job, rule_for, spread, names)
    return with_shared_posts(findings, outcome.together[index], outcome.laid, spread)


def passes_all_over(finding: Finding) -> bool:
    """Whether a check's bounds keep its limit, or nothing is judged."""
    return finding.verdict == NOT_APPLICABLE or finding.measured.everywhere is True


def fails_all_over(finding: Finding) -> bool:
    """Whether a check's bounds lie past its limit as a whole."""
    bounds, limit = finding.measured.bounds, finding.ruling.limit
    if finding.measured.other_rule is not None:
        return False
    if finding.verdict != FAIL or bounds is None or limit is None:
        return False
    hair = SAME * max(1.0, abs(limit))
    if finding.ruling.kind == "minimum":
        return bounds[1] < limit - hair
    return bounds[0] > limit + hair


def of_target(target: Target, index: int, traced: TracedSection) -> Proof:
    """Whether a number is as wanted for all values, or is not for any."""
    key, value = (index + 1, target.name), float(target.value)
    hair = SAME * max(1.0, abs(value))
    kept = True
    for bounds in bounds_of_target(target, traced):
        below, above = bounds.high < value - hair, bounds.low > value + hair
        if below and not target.keeps(-1) or above and not target.keeps(1):
            return Proof(None, frozenset([key]), frozenset([key]))
        kept = kept and (below or above)
    return Proof(None, frozenset(), frozenset() if kept else frozenset([key]))


def bounds_of_target(target: Target, traced: TracedSection) -> Iterator[Bounds]:
    """Between what each of the numbers lies; raises Unsure of one that is no exact amount."""
    if target.result is None:
        found = traced.bounds({target.name})
        for key, bounds in found.items():
            kind = str(key).split("|")[0]
            if target.name in (str(key), f"opening-{kind}"):
                yield bounds
        return
    for _, number, _ in numbers_of(target, traced.section, ()):
        if isinstance(number, float):
            raise Unsure("a float of what was chosen on the way")
        yield Bounds(*ends_of(partial(_worked, number), traced.box))


def _worked(amount: Amount | int, worked: Worked) -> Enclosure:
    return worked(amount)


def decided(trial: Trial) -> Job:
    """The job that a guard was solved from, posts and bottom gaps in it, trims as they are asked.

    What was assumed is told of nothing that is solved, and left out.
    """
    outcome = trial.outcome
    assert outcome is not None
    sections = tuple(
        replace(section, bottom_gap=part.job.sections[index].bottom_gap)
        for index, (section, part) in enumerate(
            zip(outcome.laid.sections, outcome.sections, strict=True)
        )
    )
    return replace(outcome.laid, sections=sections, assumed=())


def make_of(outcome: Outcome, index: int, names: Container[str]) -> tuple[object, ...]:
    """What is of one make about a section where some checks are meant.

    Its posts, the rules that hold for the checks, and the openings that they are about.
    """
    section = outcome.sections[index].section
    rules = tuple(
        (one.id, one.ruling.clause, one.ruling.kind, one.verdict == NOT_APPLICABLE)
        for one in outcome.findings[index]
        if one.id in names
    )
    openings = tuple(one.keys for one in section.openings if check_of(one) in names)
    return rules, openings, tuple(post.stand.step for post in section.posts)
