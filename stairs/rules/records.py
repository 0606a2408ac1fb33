"""A rulebook: the values of one code in one edition, each with its clause and where it was found.

A code is the text that an official holds a guard against.  A :class:`Rulebook` keeps of it what
this package can measure; a :class:`Rule` is one value of it, a :class:`Load` one load, and the
:class:`Condition` of either says where it applies.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import Any, TypeVar

import msgspec

from stairs.errors import JobError
from stairs.lengths.tape import MILLIMETRES_PER_INCH
from stairs.rules.conditions import Condition, RuledPlace
from stairs.rules.vocabulary import (
    CHECKS,
    PROVENANCES,
    VERIFIED,
    Check,
    did_you_mean,
    known_check,
)


class Entry(msgspec.Struct, frozen=True, kw_only=True):
    """What every value of a code has: where the code says it, and how it was found."""

    clause: str
    provenance: str  # one of PROVENANCES, or "local" for a user's own value
    source: str  # the publication in which the value was read
    note: str = ""  # where officials are known to differ, or what else a reader has to know
    when: Condition = Condition()
    clause_provenance: str = ""  # how the clause number was found

    @property
    def verified(self) -> bool:
        """Whether somebody read the value itself, at first or at second hand."""
        return self.provenance in VERIFIED

    @property
    def provenance_text(self) -> str:
        """How the value was found, in words to be shown beside it.

        Examples
        --------
        >>> Entry(clause="Table 1.1", provenance="memory", source="recalled").provenance_text
        'from memory, not seen: open the code before relying on it'
        """
        text = PROVENANCES[self.provenance]
        if self.clause_provenance == self.provenance:
            return text
        number = {"memory": "from memory", "interpretation": "inferred"}.get(self.clause_provenance)
        return f"{text}; clause number {number}" if number else text


class Rule(Entry, frozen=True):
    """One value of a code: what is checked and its limit [rulebook's units, degrees, or a count].

    ``limit_kind`` is one of :data:`stairs.rules.KINDS` and decides what happens at equality.  Where
    the user put another value in its place, ``local_reason`` says why, and ``published`` is the
    code's own limit.
    """

    check: str
    limit: Fraction
    limit_kind: str
    local_reason: str = ""
    published: Fraction | None = None

    @property
    def about(self) -> Check:
        """What the rule is about, from the table of checks."""
        return CHECKS[self.check]

    @property
    def provenance_text(self) -> str:
        """How the value was found, or whose own it is."""
        if self.local_reason:
            return f"the user's own value: {self.local_reason}"
        return super().provenance_text

    def allows(self, value: Fraction | float) -> bool:
        """Whether a measured value keeps the limit; exact where the value is.

        At equality False for the kinds that end in ``smaller``, True for the others.

        Raises
        ------
        ValueError
            For a rule that only says when something is needed; ask :meth:`needs` there.

        Examples
        --------
        >>> found = {"clause": "R312.1.3", "provenance": "seen", "source": "-"}
        >>> ball = Rule("opening-baluster", Fraction(4), "ball-smaller", **found)
        >>> ball.allows(Fraction(4)), ball.allows(Fraction(63, 16))
        (False, True)
        """
        if self.limit_kind in ("ball-smaller", "cube-smaller"):
            return value < self.limit
        if self.limit_kind in ("ball-at-most", "maximum"):
            return value <= self.limit
        if self.limit_kind == "minimum":
            return value >= self.limit
        raise ValueError(f'"{self.check}" says when something is needed and allows nothing')

    def needs(self, value: Fraction | float) -> bool:
        """Whether what the rule calls for is needed at a measured value [unit of the limit].

        Raises
        ------
        ValueError
            For a rule that sets a limit; ask :meth:`allows` there.

        Examples
        --------
        >>> found = {"clause": "R312.1.1", "provenance": "seen", "source": "-"}
        >>> drop = Rule("guard-needed-drop", Fraction(30), "needed-above", **found)
        >>> drop.needs(Fraction(30)), drop.needs(Fraction(61, 2))
        (False, True)
        """
        if self.limit_kind == "needed-above":
            return value > self.limit
        if self.limit_kind == "needed-from":
            return value >= self.limit
        if self.limit_kind == "needed-below":
            return value < self.limit
        raise ValueError(f'"{self.check}" sets a limit and calls for nothing')


class Load(Entry, frozen=True):
    """One load that a code asks a guard to carry; a demand to hand on, not a design.

    ``unit`` is one of :data:`stairs.rules.LOAD_UNITS`; ``over`` is the area that a point load on
    the infill is spread over, empty where none is named.
    """

    id: str
    value: Fraction
    unit: str
    over: str = ""


_Entry = TypeVar("_Entry", Rule, Load)


class Rulebook(msgspec.Struct, frozen=True):
    """The values of one code in one edition; title, edition, jurisdiction are printed on sheets."""

    id: str  # the name that a job file gives, e.g. "irc-2021"
    title: str
    edition: str
    jurisdiction: str
    units: str  # of every length in it
    note: str
    uses: tuple[str, ...]  # the kinds of building or stair that it tells apart
    default_use: str
    rules: tuple[Rule, ...]
    loads: tuple[Load, ...] = ()
    also_asks: tuple[str, ...] = ()  # what the code asks too and nothing here looks at, in words

    def rule(self, check: str, **case: Any) -> Rule | None:
        """The rule for one check in one place; None where the rulebook is silent.

        ``case`` is what is known of the place, as :class:`RuledPlace` names it; a use left out is
        the default.  Of the rules that apply it is the one of highest :attr:`Condition.rank`.

        Raises
        ------
        JobError
            For a check or a use that there is not.

        Examples
        --------
        >>> from stairs.rules import load
        >>> book = load("irc-2021")
        >>> str(book.rule("opening-baluster", section="level").limit)
        '4'
        >>> str(book.rule("opening-baluster", section="flight").limit)
        '35/8'
        >>> book.rule("rake-max") is None
        True
        """
        known_check(check, self.id)
        return self._chosen((rule for rule in self.rules if rule.check == check), case)

    def load(self, id: str, **case: Any) -> Load | None:
        """The load of that name in one place, as for :meth:`rule`; None where there is none.

        Examples
        --------
        >>> from stairs.rules import load
        >>> load("irc-2021").load("guard-point").value
        Fraction(200, 1)
        >>> book = load("england-ad-k-2013")
        >>> [float(book.load("guard-line", section=name).value) for name in ("flight", "level")]
        [0.36, 0.74]
        """
        return self._chosen((load for load in self.loads if load.id == id), case)

    def _chosen(self, entries: Iterable[_Entry], case: dict[str, Any]) -> _Entry | None:
        place = RuledPlace(**case | {"use": self.known_use(case.get("use"))})
        found = [entry for entry in entries if entry.when.applies(place)]
        return max(found, key=lambda entry: entry.when.rank, default=None)

    def known_use(self, use: str | None) -> str:
        """The use to be taken: the given one, or the default where none is given.

        Raises
        ------
        JobError
            For a use that the rulebook does not tell apart.
        """
        if use is None:
            return self.default_use
        if use not in self.uses:
            allowed = ", ".join(sorted(self.uses)) if self.uses else "none"
            raise JobError(
                self.id,
                f'"{use}" is no use that this rulebook tells apart',
                f"Uses: {allowed}",
                did_you_mean(use, self.uses),
            )
        return use

    def in_units(self, units: str) -> Rulebook:
        """The same rulebook with every length in other units, exactly.

        Examples
        --------
        >>> from stairs.rules import load
        >>> load("irc-2021").in_units("mm").rule("opening-baluster").limit
        Fraction(508, 5)
        """
        if units == self.units:
            return self
        factor = MILLIMETRES_PER_INCH if units == "mm" else 1 / MILLIMETRES_PER_INCH

        def scaled(value: Fraction | None) -> Fraction | None:
            return None if value is None else value * factor

        rules = []
        for rule in self.rules:
            changes: dict[str, Any] = {"when": rule.when.scaled(factor)}
            if rule.about.unit == "length":
                changes |= {"limit": scaled(rule.limit), "published": scaled(rule.published)}
            rules.append(msgspec.structs.replace(rule, **changes))
        loads = tuple(
            msgspec.structs.replace(load, when=load.when.scaled(factor)) for load in self.loads
        )
        return msgspec.structs.replace(self, units=units, rules=tuple(rules), loads=loads)
