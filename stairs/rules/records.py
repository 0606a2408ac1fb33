"""A rulebook: the values of one code in one edition, each with its clause and where it was found.

A code is the text that an official holds a guard against.  A :class:`Rulebook` keeps of it what
this package can measure; a :class:`Rule` is one value of it, and its :class:`Condition` says where
the value applies, because the same code asks for different heights on a stair and beside a landing,
in a house and in a school.
"""

from __future__ import annotations

from fractions import Fraction

import msgspec

from stairs.errors import JobError
from stairs.rules.vocabulary import (
    CHECKS,
    PROVENANCES,
    VERIFIED,
    Check,
    did_you_mean,
    known_check,
)
from stairs.tape import MILLIMETRES_PER_INCH

SECTIONS = ("flight", "level", "landing")


class Condition(msgspec.Struct, frozen=True):
    """Where a rule applies.  What is left out does not matter to the rule.

    Parameters
    ----------
    section : str or None
        ``"flight"``, ``"level"`` (any level walking surface) or ``"landing"`` (one that belongs
        to a stair).
    handrail : bool or None
        Whether the top rail serves as the handrail.
    open_risers : bool or None
        Whether the stair is open between the treads.
    single_flight : bool or None
        Whether the stair is one flight alone.
    use : tuple of str
        Kinds of building or stair, as the rulebook's ``uses`` name them; empty: every use.
    drop_over : Fraction or None
        The rule applies only where the drop is greater than this [rulebook's units].
    from_height, to_height : Fraction or None
        The rule applies only to openings that lie wholly within this band above the walking
        surface [rulebook's units].
    above_nosing_line : bool
        The opening is tried only in its part above the nosing line.  This does not choose between
        rules; it says how the one chosen is to be tried.
    """

    section: str | None = None
    handrail: bool | None = None
    open_risers: bool | None = None
    single_flight: bool | None = None
    use: tuple[str, ...] = ()
    drop_over: Fraction | None = None
    from_height: Fraction | None = None
    to_height: Fraction | None = None
    above_nosing_line: bool = False

    @property
    def rank(self) -> tuple[int, bool, Fraction, Fraction]:
        """How special the case is; of two rules that apply, the one of higher rank is taken.

        Notes
        -----
        In this order: more conditions stated, then ``"landing"`` before ``"level"``, then the
        greater drop, then the higher band.

        Examples
        --------
        >>> Condition(section="landing").rank > Condition(section="level").rank > Condition().rank
        True
        """
        band = self.from_height is not None or self.to_height is not None
        stated = [self.section, self.handrail, self.open_risers, self.single_flight, self.drop_over]
        return (
            sum(value is not None for value in stated) + bool(self.use) + band,
            self.section == "landing",
            self.drop_over or Fraction(0),
            self.from_height or Fraction(0),
        )

    def applies(self, case: Case) -> bool:
        """Whether a case meets every condition stated; what the case leaves open is not met.

        Parameters
        ----------
        case : Case
            What is known of the place, with lengths in the rulebook's units.

        Notes
        -----
        A drop equal to ``drop_over`` does not meet it.  Of a band the lower end belongs to it and
        the upper end does not.

        Examples
        --------
        >>> Condition(section="level").applies(Case(section="landing"))
        True
        >>> Condition(drop_over=Fraction(30)).applies(Case(drop=Fraction(30)))
        False
        """
        sections = ("level", "landing") if self.section == "level" else (self.section,)
        if self.section is not None and case.section not in sections:
            return False
        for mine, given in (
            (self.handrail, case.handrail),
            (self.open_risers, case.open_risers),
            (self.single_flight, case.single_flight),
        ):
            if mine is not None and mine != given:
                return False
        if self.use and case.use not in self.use:
            return False
        if self.drop_over is not None and not (
            case.drop is not None and case.drop > self.drop_over
        ):
            return False
        if self.from_height is not None or self.to_height is not None:
            low = Fraction(0) if self.from_height is None else self.from_height
            if case.height is None or case.height < low:
                return False
            if self.to_height is not None and case.height >= self.to_height:
                return False
        return True


class Case(msgspec.Struct, frozen=True):
    """What is known of the place that a rule is wanted for; see :meth:`Rulebook.rule`."""

    section: str | None = None
    handrail: bool | None = None
    open_risers: bool | None = None
    single_flight: bool | None = None
    use: str | None = None
    drop: Fraction | float | None = None
    height: Fraction | float | None = None


class Rule(msgspec.Struct, frozen=True):
    """One value of a code: what is checked, the limit, and how it was found.

    Parameters
    ----------
    check : str
        One of :data:`stairs.rules.CHECKS`.
    limit : Fraction
        The limit, exactly [rulebook's units, degrees, or a count].
    limit_kind : str
        One of :data:`stairs.rules.KINDS`; it decides what happens at equality.
    clause : str
        Where the code says it.
    provenance : str
        One of :data:`stairs.rules.PROVENANCES`, or ``"local"`` for a user's own value.
    source : str
        The publication in which the value was read.
    note : str
        Where officials are known to differ, or what else a reader has to know.
    when : Condition
        Where it applies.
    clause_provenance : str
        How the clause number was found; the same as ``provenance`` unless stated.
    local_reason : str
        Why the user put another value in its place; empty for a value of the code.
    published : Fraction or None
        The code's own limit where the user replaced it.
    """

    check: str
    limit: Fraction
    limit_kind: str
    clause: str
    provenance: str
    source: str
    note: str = ""
    when: Condition = Condition()
    clause_provenance: str = ""
    local_reason: str = ""
    published: Fraction | None = None

    @property
    def about(self) -> Check:
        """What the rule is about, from the table of checks."""
        return CHECKS[self.check]

    @property
    def verified(self) -> bool:
        """Whether somebody read the value itself, at first or at second hand."""
        return self.provenance in VERIFIED

    @property
    def provenance_text(self) -> str:
        """How the value was found, in words to be shown beside it.

        Examples
        --------
        >>> rule = Rule("rake-max", Fraction(42), "maximum", "Table 1.1", "memory", "recalled")
        >>> rule.provenance_text
        'from memory, not seen: open the code before relying on it'
        """
        if self.local_reason:
            return f"the user's own value: {self.local_reason}"
        text = PROVENANCES[self.provenance]
        if self.clause_provenance == "memory" and self.provenance != "memory":
            text += "; clause number from memory"
        elif self.clause_provenance == "interpretation" and self.provenance != "interpretation":
            text += "; clause number inferred"
        return text

    def allows(self, value: Fraction | float) -> bool:
        """Whether a measured value keeps the limit; exact where the value is.

        Parameters
        ----------
        value : Fraction or float
            In the unit of the limit.

        Returns
        -------
        bool
            At equality: False for the kinds that end in ``smaller``, True for the others.

        Raises
        ------
        ValueError
            For a rule that only says when something is needed; ask :meth:`needs` there.

        Examples
        --------
        >>> ball = Rule("opening-baluster", Fraction(4), "ball-smaller", "R312.1.3", "seen", "-")
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
        """Whether what the rule calls for is needed at a measured value.

        Parameters
        ----------
        value : Fraction, int or float
            In the unit of the limit.

        Raises
        ------
        ValueError
            For a rule that sets a limit; ask :meth:`allows` there.

        Examples
        --------
        >>> drop = Rule("guard-needed-drop", Fraction(30), "needed-above", "R312.1.1", "seen", "-")
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


class Load(msgspec.Struct, frozen=True):
    """One load that a code asks a guard to carry; a demand to hand on, not a design.

    Parameters
    ----------
    id : str
        One of :data:`stairs.rules.LOADS`.
    value : Fraction
        The load [unit].
    unit : str
        One of :data:`stairs.rules.LOAD_UNITS`.
    clause, provenance, source, note, clause_provenance
        As for :class:`Rule`.
    over : str
        The area that a point load on the infill is spread over; empty where none is named.
    use : tuple of str
        As for :class:`Condition`.
    """

    id: str
    value: Fraction
    unit: str
    clause: str
    provenance: str
    source: str
    note: str = ""
    over: str = ""
    use: tuple[str, ...] = ()
    clause_provenance: str = ""

    @property
    def verified(self) -> bool:
        """Whether somebody read the value itself, at first or at second hand."""
        return self.provenance in VERIFIED

    @property
    def provenance_text(self) -> str:
        """How the value was found, in words to be shown beside it."""
        text = PROVENANCES[self.provenance]
        if self.clause_provenance == "memory" and self.provenance != "memory":
            text += "; clause number from memory"
        return text


class Rulebook(msgspec.Struct, frozen=True):
    """The values of one code in one edition.

    Parameters
    ----------
    id : str
        The name that a job file gives, e.g. ``"irc-2021"``.
    title, edition, jurisdiction : str
        What is printed on sheets.
    units : str
        ``"in"`` or ``"mm"``: the unit of every length in it.
    note : str
        What a reader has to know of the whole.
    uses : tuple of str
        The kinds of building or stair that it tells apart; empty where it does not.
    default_use : str
        The use that is taken where a job names none.
    rules : tuple of Rule
    loads : tuple of Load
    """

    id: str
    title: str
    edition: str
    jurisdiction: str
    units: str
    note: str
    uses: tuple[str, ...]
    default_use: str
    rules: tuple[Rule, ...]
    loads: tuple[Load, ...] = ()

    def rule(
        self,
        check: str,
        *,
        section: str | None = None,
        handrail: bool | None = None,
        open_risers: bool | None = None,
        single_flight: bool | None = None,
        use: str | None = None,
        drop: Fraction | float | None = None,
        height: Fraction | float | None = None,
    ) -> Rule | None:
        """The rule for one check in one place; None where the rulebook is silent.

        Parameters
        ----------
        check : str
            One of :data:`stairs.rules.CHECKS`.
        section : str
            ``"flight"``, ``"level"`` or ``"landing"``.
        handrail, open_risers, single_flight : bool
            As in :class:`Condition`.
        use : str
            One of the rulebook's uses; left out, its default.
        drop : Fraction or float
            The fall beside the walking surface [rulebook's units].
        height : Fraction or float
            Where the opening begins above the walking surface [rulebook's units].

        Returns
        -------
        Rule or None
            Of the rules that apply, the one of highest :attr:`Condition.rank`.  A rule that
            states a condition applies only where the question is answered.

        Raises
        ------
        JobError
            For a check or a use that there is not.

        Examples
        --------
        >>> from stairs.rules import load
        >>> book = load("irc-2021")
        >>> book.rule("opening-baluster", section="level").limit
        Fraction(4, 1)
        >>> book.rule("opening-baluster", section="flight").limit
        Fraction(35, 8)
        >>> book.rule("rake-max") is None
        True
        """
        known_check(check, self.id)
        case = Case(
            section=section,
            handrail=handrail,
            open_risers=open_risers,
            single_flight=single_flight,
            use=self.known_use(use),
            drop=drop,
            height=height,
        )
        found = [rule for rule in self.rules if rule.check == check and rule.when.applies(case)]
        return max(found, key=lambda rule: rule.when.rank, default=None)

    def load(self, id: str, use: str | None = None) -> Load | None:
        """The load of that name for one use; None where the rulebook is silent.

        Parameters
        ----------
        id : str
            One of :data:`stairs.rules.LOADS`.
        use : str, optional
            Kind of building or stair; the rulebook's default where it is left out.

        Raises
        ------
        JobError
            For a use that the rulebook does not tell apart.

        Examples
        --------
        >>> from stairs.rules import load
        >>> load("irc-2021").load("guard-point").value
        Fraction(200, 1)
        """
        use = self.known_use(use)
        found = [load for load in self.loads if load.id == id and (not load.use or use in load.use)]
        return max(found, key=lambda load: bool(load.use), default=None)

    def known_use(self, use: str | None) -> str:
        """The use to be taken: the given one, or the default where none is given.

        Parameters
        ----------
        use : str or None
            Kind of building or stair, as the rulebook's ``uses`` name it.

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

        Parameters
        ----------
        units : str
            ``"in"`` or ``"mm"``.

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
            when = msgspec.structs.replace(
                rule.when,
                drop_over=scaled(rule.when.drop_over),
                from_height=scaled(rule.when.from_height),
                to_height=scaled(rule.when.to_height),
            )
            changes = {"when": when}
            if rule.about.unit == "length":
                changes |= {"limit": scaled(rule.limit), "published": scaled(rule.published)}
            rules.append(msgspec.structs.replace(rule, **changes))
        return msgspec.structs.replace(self, units=units, rules=tuple(rules))
