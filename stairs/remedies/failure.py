"""A failing check as remedies are worked out from it, and proposals: remedies not yet tried."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from msgspec import Struct

from stairs.checks.cases import rule_source
from stairs.checks.finding import Finding
from stairs.checks.gap_window import RuleFor, Window
from stairs.checks.measure import known, rational
from stairs.guard.solving import Section
from stairs.job import Job, JobFlight, JobLevel
from stairs.lengths.tape_marks import (
    Number,
    ceil_to_mark,
    floor_to_mark,
    length_text,
    text_against_limit,
)
from stairs.numbers.tolerances import SAME
from stairs.openings.opening import Opening
from stairs.parts.flight import Flight
from stairs.parts.survey import Survey
from stairs.relations.exact import Amount, compare
from stairs.remedies.job_changes import Change
from stairs.remedies.sizes import STEPS, shown, size_above, size_below
from stairs.remedies.trial_solve import Bench, Settled


class Proposal(Struct, frozen=True):
    """A change that may mend a failing check, before it has been tried.

    ``then`` says where posts stand after it, in words that follow the text; ``where_moved`` what to
    do where it mends only because posts are placed anew, if that is another text.  Without changes
    the job file cannot say it.
    """

    text: str
    changes: tuple[Change, ...] = ()
    then: str = ""
    keeps_gap: bool = False
    where_moved: str = ""


Ladder = list[Proposal]
"""Proposals of one kind, the least change first; the first that mends is taken."""


class Growing(Ladder):
    """A ladder of which every rung mends whatever a lower one mends, as far as it can be built."""


class Failure(Struct, frozen=True):
    """A check that fails, the section that it fails in, and where changes are tried."""

    finding: Finding
    settled: Settled
    bench: Bench

    @property
    def index(self) -> int:
        """The section's index, from 0."""
        return self.finding.section - 1

    @property
    def section(self) -> Section:
        """The section as solved."""
        return self.settled.section

    @property
    def survey(self) -> Survey | None:
        """The steps of a flight that was measured step by step."""
        return None if self.section.flight is None else self.section.flight.survey

    @property
    def flight(self) -> Flight:
        """The flight that it fails in; raises ValueError in a level run."""
        return known(self.section.flight)

    @property
    def measured(self) -> Survey:
        """Its steps as measured; raises ValueError of one that was not measured step by step."""
        return known(self.survey)

    @property
    def value(self) -> float:
        """What was found, in the unit of the check."""
        return known(self.finding.value)

    @property
    def opening(self) -> Opening | None:
        """The opening that it fails at."""
        return None if self.finding.measure is None else self.finding.measure.opening

    def exact(self, name: str) -> Fraction:
        """An exact amount of the section that no root goes into, by its name."""
        return rational(self.section.exact[name])

    @property
    def window(self) -> Window:
        """The window of its bottom gap."""
        return self.settled.window

    @property
    def job(self) -> Job:
        """The job as read."""
        return self.bench.job

    @property
    def record(self) -> JobFlight | JobLevel:
        """The section as read."""
        return self.job.sections[self.index]

    @property
    def tape(self) -> Fraction:
        """The smallest mark [job's unit of length]."""
        return self.job.tape

    @property
    def rule_for(self) -> RuleFor:
        """The rules of the job."""
        return rule_source(self.bench.rulebook, self.job)

    @property
    def limit(self) -> Fraction:
        """The limit that is not kept, exactly where it is a rule's."""
        return self.finding.ruling.exact_limit

    @property
    def is_short(self) -> bool:
        """Whether the value is below a least one, and not above a greatest."""
        return self.finding.ruling.kind == "minimum"

    @property
    def over(self) -> float:
        """How far the value is past its limit, 0 or more."""
        return abs(self.value - float(self.limit))

    def sized(self, words: str, table: str, key: str, sizes: Iterable[Fraction]) -> Ladder:
        """A measurement brought to one size after the other; ``{}`` in the words is the size."""
        return [
            Proposal(words.format(self.show(size)), (Change(table, key, size),)) for size in sizes
        ]

    def marks(self, first: Fraction, count: int = 2) -> list[Fraction]:
        """So many marks of the tape from one on; below it where the count is negative."""
        step = self.tape if count > 0 else -self.tape
        return [first + step * place for place in range(abs(count))]

    def show(self, value: Number) -> str:
        """A length with its unit, exactly where a tape shows it."""
        return shown(value, self.job.units, self.tape)

    def kept(self, limit: Amount | float) -> str:
        """A limit in words, on the tape's mark that keeps it."""
        if self.is_short:
            return f"{self.show(self.above(limit))} or more"
        return f"{self.show(self.below(limit))} or less"

    def sizes_above(self, what: str, value: Number) -> list[Fraction]:
        """Sizes of a part that reach a length: the two least sold, then the marks [units]."""
        size = size_above(what, value, self.job.units)
        return [size, size + STEPS[what][self.job.units], *self.marks(self.above(value))]

    def sizes_below(self, what: str, value: Number) -> list[Fraction]:
        """Sizes of a part that do not pass a length: the two largest, then the marks [units]."""
        size = size_below(what, value, self.job.units)
        return [size, size - STEPS[what][self.job.units], *self.marks(self.below(value), -2)]

    def about(self, value: Amount | float, against: Amount | float | None = None) -> str:
        """A length to the nearest mark, and never as another one reads beside which it is told."""
        if against is None:
            return length_text(float(value), self.job.units, self.tape)
        return text_against_limit(float(value), float(against), self.job.units, self.tape)

    def below(self, value: Amount | float) -> Fraction:
        """The greatest mark that is not above a length; a float is on a mark 1e-9 above it."""
        mark = floor_to_mark(float(value) + SAME, self.tape)
        over = isinstance(value, float) or compare(value, mark) >= 0
        return mark if over else mark - self.tape

    def above(self, value: Amount | float) -> Fraction:
        """The least mark that is not below a length; a float is on a mark 1e-9 below it."""
        mark = ceil_to_mark(float(value) - SAME, self.tape)
        under = isinstance(value, float) or compare(value, mark) <= 0
        return mark if under else mark + self.tape
