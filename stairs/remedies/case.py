"""A failing check as a remedy is worked out from it: the finding, its section and the tape."""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct

from stairs.checks.cases import rule_source
from stairs.checks.checking import Finding
from stairs.checks.gap_window import RuleFor, Window
from stairs.guard.solving import Section
from stairs.job import Job, JobFlight, JobLevel
from stairs.lengths.tape_marks import (
    ceil_to_mark,
    floor_to_mark,
    length_text,
    text_against_limit,
)
from stairs.relations.exact import compare
from stairs.remedies.job_changes import Change
from stairs.remedies.sizes import STEPS, shown, size_above, size_below
from stairs.remedies.trial_solve import Bench, Settled


class Plan(Struct, frozen=True):
    """A change that may mend a failing check, before it has been tried.

    Parameters
    ----------
    text : str
        What to do, with numbers.
    changes : tuple of Change
        The same in the job file; empty where the job file cannot say it.
    keeps_gap : bool
        Whether the bottom gap is to stay as it is.
    where_moved : str
        What to do where it mends only because posts are placed anew; empty: the same text.
    """

    text: str
    changes: tuple[Change, ...] = ()
    keeps_gap: bool = False
    where_moved: str = ""


Choice = list[Plan]
"""Plans of one kind, the least change first; the first that mends is taken."""


class Growing(Choice):
    """Plans of which every one mends whatever a smaller one mends, as far as it can be built."""


class Case(Struct, frozen=True):
    """What a remedy is worked out from.

    Parameters
    ----------
    finding : Finding
        That fails.
    settled : Settled
        Its section, with the window of the bottom gap.
    bench : Bench
        Where changes are tried.
    """

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
    def over(self) -> float:
        """How far the value is past its limit, 0 or more."""
        return abs(self.finding.value - self.finding.ruling.limit)

    def show(self, value) -> str:
        """A length with its unit, exactly where a tape shows it.

        Parameters
        ----------
        value : Fraction or float
            [job's unit of length].
        """
        return shown(value, self.job.units, self.tape)

    def kept(self, limit) -> str:
        """A limit in words, on the tape's mark that keeps it.

        Parameters
        ----------
        limit : Fraction, Derived or float
            [job's unit of length].
        """
        if self.finding.ruling.kind == "minimum":
            return f"{self.show(self.above(limit))} or more"
        return f"{self.show(self.below(limit))} or less"

    def sizes_above(self, what: str, value) -> list[Fraction]:
        """Sizes of a part that reach a length: the two least sold, then the marks [units].

        Parameters
        ----------
        what : str
            See :data:`stairs.remedies.sizes.STEPS`.
        value : Fraction or float
            [job's unit of length].
        """
        size, mark = size_above(what, value, self.job.units), self.above(value)
        return [size, size + STEPS[what][self.job.units], mark, mark + self.tape]

    def sizes_below(self, what: str, value) -> list[Fraction]:
        """Sizes of a part that do not pass a length: the two largest, then the marks [units]."""
        size, mark = size_below(what, value, self.job.units), self.below(value)
        return [size, size - STEPS[what][self.job.units], mark, mark - self.tape]

    def about(self, value, against=None) -> str:
        """A length, to the nearest mark, with its unit.

        Parameters
        ----------
        value : Fraction, Derived or float
            [job's unit of length].
        against : Fraction, Derived or float, optional
            Another length beside which it is told, and as which it must not read if it is another.
        """
        if against is None:
            return length_text(float(value), self.job.units, self.tape)
        return text_against_limit(float(value), float(against), self.job.units, self.tape)

    def below(self, value) -> Fraction:
        """The greatest mark that is not above a length [job's unit of length].

        Parameters
        ----------
        value : Fraction, Derived or float
            [job's unit of length]; a float counts as on a mark that is no more than 1e-9 above it.
        """
        mark = floor_to_mark(float(value) + 1e-9, self.tape)
        over = isinstance(value, float) or compare(value, mark) >= 0
        return mark if over else mark - self.tape

    def above(self, value) -> Fraction:
        """The least mark that is not below a length [job's unit of length].

        Parameters
        ----------
        value : Fraction, Derived or float
            [job's unit of length]; a float counts as on a mark that is no more than 1e-9 below it.
        """
        mark = ceil_to_mark(float(value) - 1e-9, self.tape)
        under = isinstance(value, float) or compare(value, mark) <= 0
        return mark if under else mark + self.tape
