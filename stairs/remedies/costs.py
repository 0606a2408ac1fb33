"""What a change to a job costs: which checks it makes fail, and which it makes fail by more."""

from __future__ import annotations

from msgspec import Struct

from stairs.checks.finding import FAIL, Finding
from stairs.checks.measure import known
from stairs.remedies.trial_solve import Outcome


class Costs(Struct, frozen=True):
    """What a change makes worse.

    The checks that pass now and fail after it, and those that fail now and fail by more after it,
    each by name and title; or why the changed guard cannot be built at all.
    """

    fails: tuple[tuple[str, str], ...] = ()
    worse: tuple[tuple[str, str], ...] = ()
    refused: str = ""

    def __len__(self) -> int:
        return len(self.fails) + len(self.worse) + bool(self.refused)

    @property
    def told(self) -> str:
        """The same in words that follow a text; empty where there are none."""
        fails, worse = (
            " and ".join(dict.fromkeys(title for _, title in each))
            for each in (self.fails, self.worse)
        )
        fails = self.refused or fails
        text = f"; but then fails: {fails}" if fails else ""
        return f"{text}; then fails by more: {worse}" if worse else text


NOTHING = Costs()

_NO_WORSE = 1e-6  # a rounding of the solver is no worsening


def costs_of(before: Outcome, after: Outcome) -> Costs:
    """What one outcome is worse in than another of the same job before a change."""
    known_before: dict[tuple[int, str], Finding] = {}
    fails, worse = [], []
    for index, findings in enumerate(before.findings):
        known_before |= {(index, one.id): one for one in findings if one.fails}
    for index, findings in enumerate(after.findings):
        for one in sorted(findings, key=lambda each: each.id):
            if not one.fails:
                continue
            was = known_before.get((index, one.id))
            if was is None:
                fails.append((one.id, one.title))
            elif _is_worse(one, was):
                worse.append((one.id, one.title))
    return Costs(tuple(fails), tuple(worse))


def _is_worse(one: Finding, other: Finding) -> bool:
    """Whether a failing check fails by more than another, or as drawn where that is only as cut."""
    ranks = [each.verdict == FAIL for each in (one, other)]
    if ranks[0] != ranks[1]:
        return ranks[0]
    past = [_past_limit(each) for each in (one, other)]
    return past[0] > past[1] + _NO_WORSE * max(1.0, abs(known(one.ruling.limit)))


def _past_limit(finding: Finding) -> float:
    """How far a failing value is past its limit; 0 where it was not worked out."""
    value = finding.value if finding.verdict == FAIL else finding.cut.value
    over = 0.0 if value is None else value - known(finding.ruling.limit)
    return -over if finding.ruling.kind == "minimum" else over
