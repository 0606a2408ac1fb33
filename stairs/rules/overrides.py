"""A user's own values over a rulebook: what an official has agreed to, or a stricter habit.

An override replaces the limit of one check and must give its reason.  It never hides: the rule
keeps its clause and the code's own limit beside the user's, so that every sheet and report can show
both.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import Protocol

import msgspec

from stairs.errors import JobError
from stairs.lengths.tape_marks import exact_text
from stairs.rules.conditions import Condition
from stairs.rules.records import Rule, Rulebook
from stairs.rules.vocabulary import known_check

FAR_OFF = 6


class Override(Protocol):
    """What a job file says of one value: the check, the limit in the rulebook's units, why."""

    @property
    def check(self) -> str: ...
    @property
    def limit(self) -> Fraction: ...
    @property
    def reason(self) -> str: ...


def overridden(rulebook: Rulebook, overrides: Iterable[Override]) -> Rulebook:
    """The rulebook with a user's own limits in place of the code's.

    Overrides are in the rulebook's units; see :meth:`Rulebook.in_units`.  Each rule of an
    overridden check has the new limit, the reason as ``local_reason`` and the code's limit as
    ``published``.  Where the code rules on the check under several conditions, the user's value
    stands whatever the use, the drop or the height; section, handrail and open risers still tell
    where it applies at all.  Where the rulebook is silent, a rule is added that applies everywhere.

    Raises
    ------
    JobError
        For an unknown check, a limit that is not above 0, a missing reason, or a check named twice.

    Examples
    --------
    >>> from stairs.rules import load
    >>> from types import SimpleNamespace
    >>> own = SimpleNamespace(check="opening-triangle", limit=Fraction(5), reason="agreed on site")
    >>> rule = overridden(load("irc-2021"), [own]).rule("opening-triangle", section="flight")
    >>> rule.limit, rule.published, rule.local_reason
    (Fraction(5, 1), Fraction(6, 1), 'agreed on site')
    """
    rules = list(rulebook.rules)
    seen: set[str] = set()
    for override in overrides:
        where = f"local: {override.check}"
        check = known_check(override.check, "local")
        if override.check in seen:
            raise JobError(where, "is given twice", "One value for a check", "Drop one")
        seen.add(override.check)
        if override.limit <= 0:
            raise JobError(f"{where}: limit", f"is {override.limit}", "A limit is above 0")
        if not override.reason.strip():
            raise JobError(
                f"{where}: reason",
                "is empty",
                "Each own value has a reason",
                "Say who agreed to it",
            )
        theirs = [rule for rule in rules if rule.check == override.check]
        ours = _in_place_of(theirs, override) or [_added(override, check.kinds[0])]
        place = rules.index(theirs[0]) if theirs else len(rules)
        rules = [rule for rule in rules if rule.check != override.check]
        rules[place:place] = ours
    return msgspec.structs.replace(rulebook, rules=tuple(rules))


def refuse_far(rulebook: Rulebook, overrides: Iterable[Override]) -> None:
    """Refuse an own length so far from the code's that another unit must have been meant.

    ``rulebook`` is the code's own, in the units of the overrides, whose checks are known.

    Raises
    ------
    JobError
        For a length of less than a sixth of every limit that the code has for it, or of more than
        six times as much: feet for inches are 12 times off, centimetres for millimetres 10.
    """
    for override in overrides:
        theirs = [rule.limit for rule in rulebook.rules if rule.check == override.check]
        if known_check(override.check, "local").unit != "length" or not theirs:
            continue
        if any(limit / FAR_OFF <= override.limit <= limit * FAR_OFF for limit in theirs):
            continue
        own, code = (exact_text(one, rulebook.units) for one in (override.limit, theirs[0]))
        raise JobError(
            f"local: {override.check}: limit",
            f"is {own}, and the rulebook's own limit {code}",
            f"An own value is at most {FAR_OFF} times as much, and at least a sixth of it",
            'Was another unit meant? Then write it out, as in "3 ft" or "900 mm"',
        )


def _in_place_of(theirs: list[Rule], override: Override) -> list[Rule]:
    ours: dict[Condition, Rule] = {}
    for rule in sorted(theirs, key=lambda rule: rule.when.rank):
        when = msgspec.structs.replace(
            rule.when, use=(), drop_over=None, width_to=None, from_height=None, to_height=None
        )
        if when not in ours:
            ours[when] = msgspec.structs.replace(
                rule,
                limit=override.limit,
                when=when,
                provenance="local",
                clause_provenance="local",
                local_reason=override.reason.strip(),
                published=rule.limit,
            )
    return list(ours.values())


def _added(override: Override, kind: str) -> Rule:
    return Rule(
        override.check,
        override.limit,
        kind,
        clause="none",
        provenance="local",
        source="job file",
        local_reason=override.reason.strip(),
        clause_provenance="local",
    )
