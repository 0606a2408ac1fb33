"""Findings: one check and how it came out, and which of several is told.

Pass or fail is decided on exact amounts.  *Marginal* is a pass that measuring error could undo.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from stairs.checks.measure import Measure, known
from stairs.checks.tolerance import Bounds, Measured
from stairs.numbers.tolerances import SAME
from stairs.openings.opening import FOOT, TRIANGLE, Opening
from stairs.rules import Rule

PASS, MARGINAL, FAIL, NOT_APPLICABLE = "pass", "marginal", "fail", "n/a"
_SEVERITY = {NOT_APPLICABLE: 0, PASS: 1, MARGINAL: 2, FAIL: 3}


class Ruling(Struct, frozen=True):
    """What a value is held against, in the unit of the check, and where that is from."""

    limit: float | None = None  # None where nothing is allowed or forbidden
    kind: str = ""  # one of stairs.rules.KINDS; empty where there is no limit
    clause: str = ""
    provenance: str = ""  # how it was found, in words; empty for limits of the parts themselves
    verified: bool = True  # whether somebody read it
    rule: Rule | None = None  # where one is behind it

    @property
    def exact_limit(self) -> Fraction:
        """The limit, exactly where it is a rule's; raises ValueError where there is none."""
        return Fraction(known(self.limit)) if self.rule is None else self.rule.limit


def ruling_of(rule: Rule) -> Ruling:
    """What a rule of a rulebook rules."""
    return Ruling(
        limit=float(rule.limit),
        kind=rule.limit_kind,
        clause=rule.clause,
        provenance=rule.provenance_text,
        verified=rule.verified,
        rule=rule,
    )


class AsCut(Struct, frozen=True):
    """A value in the guard as it will be cut, from the printed numbers."""

    value: float | None = None  # None where cutting does not change it
    verdict: str = NOT_APPLICABLE  # PASS or FAIL; as drawn where cutting does not change it
    # of openings of one kind the widest as cut need not be the one nearest to failing as drawn
    where: str = ""


class Finding(Struct, frozen=True):
    """One check and how it came out."""

    id: str  # name of the check
    section: int  # from 1
    title: str  # what was checked, in a few words
    unit: str  # "length", "degrees", "count" or "slope"
    ruling: Ruling = Ruling()
    value: float | None = None  # None where the job does not tell it and nothing is judged
    verdict: str = NOT_APPLICABLE  # as drawn
    order: int = 0  # value against limit, exactly: -1 below, 0 at it, 1 above
    measured: Measured = Measured()  # what measuring error may make of it
    cut: AsCut = AsCut()
    where: str = ""  # which tread, bay or post
    note: str = ""  # what else to know of the rule
    measure: Measure | None = None
    # the opening as the elevation shows it, where that alone would have passed and the ball that
    # gets through beside the tread ends does not
    flat: float | None = None

    @property
    def worst(self) -> float | None:
        """The value with all measuring errors against it; None where that could not be told."""
        if self.measured.bounds is None:
            return None
        return self.measured.bounds[0 if self.ruling.kind == "minimum" else 1]

    @property
    def fails(self) -> bool:
        """Whether it fails as drawn or, passing so, as it will be cut."""
        return FAIL in (self.verdict, self.cut.verdict)

    @property
    def outcome(self) -> str:
        """The verdict, rounding to the tape included: what a sheet shows."""
        return FAIL if self.fails else self.verdict

    @property
    def fails_only_as_cut(self) -> bool:
        """Whether only rounding to the tape makes it fail."""
        return self.verdict != FAIL and self.cut.verdict == FAIL

    def __repr__(self) -> str:
        held = f"{self.value} against {self.ruling.limit}" if self.value is not None else self.where
        return f"<{self.id}: {self.outcome}, {held} ({self.ruling.clause or 'no clause'})>"


def allowed(rule_kind: str, order: int) -> bool:
    """Whether a value below (-1), at (0) or above (1) its limit keeps it, by the kind of limit.

    "Must not let the ball pass" needs *smaller*: a circle of just the ball's size touches all its
    sides and lets the ball through.  Plain maxima and minima include equality.

    Examples
    --------
    >>> allowed("ball-smaller", 0), allowed("maximum", 0), allowed("minimum", -1)
    (False, True, False)
    """
    if rule_kind in ("ball-smaller", "cube-smaller"):
        return order < 0
    if rule_kind in ("ball-at-most", "maximum"):
        return order <= 0
    return order >= 0


def counts_above_nosings(rule: Rule | None, opening: Opening | None) -> bool:
    """Whether a rule tries an opening above the nosing line only."""
    if rule is None or opening is None or not rule.when.above_nosing_line:
        return False
    return opening.kind in (TRIANGLE, FOOT)


def could_fail(kind: str, worst: float, limit: float) -> bool:
    """Whether a float may be past a limit of a kind that sets one, a hair on the careful side."""
    hair = SAME * max(1.0, abs(limit))
    if kind in ("ball-smaller", "cube-smaller"):
        return worst >= limit - hair
    if kind in ("ball-at-most", "maximum"):
        return worst > limit + hair
    return worst < limit - hair


def judged(finding: Finding, order: int, bounds: Bounds | None) -> Finding:
    """The finding with its verdict.

    ``order`` is value against limit, exactly; ``bounds`` the lowest and highest that measuring
    error may make of the value, in its unit.
    """
    kind, limit = finding.ruling.kind, known(finding.ruling.limit)
    measured = Measured(bounds)
    finding = replace(finding, order=order, measured=measured)
    worst = finding.worst
    if not allowed(kind, order):
        verdict, everywhere = FAIL, False
    # an exact tie of a plain limit is as drawn; only measuring error can undo it
    elif worst is None or (worst != finding.value and could_fail(kind, worst, limit)):
        verdict, everywhere = MARGINAL, None
    else:
        verdict, everywhere = PASS, True
    measured = replace(measured, everywhere=everywhere, witness=() if verdict == FAIL else None)
    cut = AsCut(verdict=FAIL if verdict == FAIL else PASS)
    return replace(finding, verdict=verdict, measured=measured, cut=cut)


def worst_of(findings: Sequence[Finding]) -> Finding:
    """Of the openings of one kind the one nearest to failing, with the widest of them as cut."""
    worst = findings[0]
    for finding in findings[1:]:
        if _nearer_to_failing(finding, worst):
            worst = finding
    cut = [(one.cut.value, one) for one in findings if one.cut.value is not None]
    most = max((value for value, _ in cut), default=0.0)
    # of those that are equal but for rounding the lowest, in whatever unit they are worked out
    widest = next((one for value, one in cut if value >= most * (1 - SAME)), worst)
    as_cut = AsCut(widest.cut.value, worst.cut.verdict, widest.where)
    return replace(worst, cut=as_cut)


def _nearer_to_failing(one: Finding, other: Finding) -> bool:
    ranks = [
        (_SEVERITY[each.outcome], _SEVERITY[each.verdict])  # of failures that as drawn comes first
        for each in (one, other)
    ]
    if ranks[0] != ranks[1]:
        return ranks[0] > ranks[1]
    if one.ruling.limit is None or other.ruling.limit is None:
        return other.ruling.limit is None and one.ruling.limit is not None
    first, second = (
        each.cut.value if each.fails_only_as_cut and each.cut.value else known(each.value)
        for each in (one, other)
    )
    return first - second > SAME * max(1.0, abs(known(one.value)))  # of equal ones the lowest stays
