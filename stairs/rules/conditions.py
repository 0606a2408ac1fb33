"""Conditions: where a value of a code applies, and what is known of a place that is asked about.

The same code asks for different heights and loads on a stair and beside a landing, in a house and
in a school.
"""

from __future__ import annotations

from fractions import Fraction

import msgspec

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
    width_to : Fraction or None
        The rule applies only to stairs that are told to be no wider than this [rulebook's units].
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
    width_to: Fraction | None = None
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
        stated = [
            self.section, self.handrail, self.open_risers, self.single_flight, self.drop_over,
            self.width_to,
        ]  # fmt: skip
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
        if self.width_to is not None and not (
            case.width is not None and case.width <= self.width_to
        ):
            return False
        if self.from_height is not None or self.to_height is not None:
            low = Fraction(0) if self.from_height is None else self.from_height
            if case.height is None or case.height < low:
                return False
            if self.to_height is not None and case.height >= self.to_height:
                return False
        return True

    def scaled(self, factor: Fraction) -> Condition:
        """The same condition with its lengths in other units.

        Parameters
        ----------
        factor : Fraction
            New units to one of the old.

        Examples
        --------
        >>> Condition(drop_over=Fraction(30)).scaled(Fraction("25.4")).drop_over
        Fraction(762, 1)
        """
        lengths = ("drop_over", "width_to", "from_height", "to_height")
        given = {name: getattr(self, name) for name in lengths}
        changed = {name: value * factor for name, value in given.items() if value is not None}
        return msgspec.structs.replace(self, **changed)


class Case(msgspec.Struct, frozen=True):
    """What is known of the place that a rule or a load is wanted for.

    Parameters
    ----------
    section, handrail, open_risers, single_flight
        As for :class:`Condition`; None where it is not known.
    use : str or None
        One of the rulebook's uses.
    drop : Fraction, float or None
        The fall beside the walking surface [rulebook's units].
    width : Fraction or None
        Of the stair [rulebook's units].
    height : Fraction, float or None
        Where the opening begins above the walking surface [rulebook's units].
    """

    section: str | None = None
    handrail: bool | None = None
    open_risers: bool | None = None
    single_flight: bool | None = None
    use: str | None = None
    drop: Fraction | float | None = None
    width: Fraction | None = None
    height: Fraction | float | None = None
