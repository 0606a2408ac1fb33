"""Conditions: where a value of a code applies, and what is known of a place that is asked about.

The same code asks for different heights and loads on a stair and beside a landing, in a house and
in a school.
"""

from __future__ import annotations

from fractions import Fraction

import msgspec

SECTIONS = ("flight", "level", "landing")
LENGTHS = ("drop_over", "width_to", "from_height", "to_height")


class Condition(msgspec.Struct, frozen=True):
    """Where a rule applies.  What is left out does not matter to the rule.

    ``section`` is ``"flight"``, ``"level"`` (any level walking surface) or ``"landing"`` (one that
    belongs to a stair).  Lengths are in the rulebook's units.
    """

    section: str | None = None
    handrail: bool | None = None  # whether the top rail serves as the handrail
    open_risers: bool | None = None
    single_flight: bool | None = None  # whether the stair is one flight alone
    use: tuple[str, ...] = ()  # as the rulebook's ``uses`` name them; empty: every use
    drop_over: Fraction | None = None  # only where the drop is greater than this
    width_to: Fraction | None = None  # only on stairs that are told to be no wider than this
    from_height: Fraction | None = None  # only openings that lie wholly within this band above
    to_height: Fraction | None = None  # the walking surface
    # The opening is tried only in its part above the nosing line.  This does not choose between
    # rules; it says how the one chosen is to be tried.
    above_nosing_line: bool = False

    @property
    def rank(self) -> tuple[int, bool, Fraction, Fraction]:
        """How special the case is; of two rules that apply, the one of higher rank is taken.

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

    def applies(self, place: RuledPlace) -> bool:
        """Whether a place meets every condition stated; what is not known of it is not met.

        A drop equal to ``drop_over`` does not meet it.  Of a band the lower end belongs to it and
        the upper end does not.

        Examples
        --------
        >>> Condition(section="level").applies(RuledPlace(section="landing"))
        True
        >>> Condition(drop_over=Fraction(30)).applies(RuledPlace(drop=Fraction(30)))
        False
        """
        sections = ("level", "landing") if self.section == "level" else (self.section,)
        if self.section is not None and place.section not in sections:
            return False
        for name in ("handrail", "open_risers", "single_flight"):
            mine = getattr(self, name)
            if mine is not None and mine != getattr(place, name):
                return False
        if self.use and place.use not in self.use:
            return False
        if self.drop_over is not None and (place.drop is None or place.drop <= self.drop_over):
            return False
        if self.width_to is not None and (place.width is None or place.width > self.width_to):
            return False
        if self.from_height is None and self.to_height is None:
            return True
        if place.height is None or place.height < (self.from_height or 0):
            return False
        return self.to_height is None or place.height < self.to_height

    def scaled(self, factor: Fraction) -> Condition:
        """The same condition with its lengths in other units, ``factor`` of them to one of the old.

        Examples
        --------
        >>> Condition(drop_over=Fraction(30)).scaled(Fraction("25.4")).drop_over
        Fraction(762, 1)
        """
        given = {name: getattr(self, name) for name in LENGTHS}
        changed = {name: value * factor for name, value in given.items() if value is not None}
        return msgspec.structs.replace(self, **changed)


class RuledPlace(msgspec.Struct, frozen=True):
    """What is known of the place that a rule or a load is wanted for; None where it is not.

    Everything but ``drop``, the fall beside the walking surface, ``width``, of the stair, and
    ``height``, where the opening begins above the walking surface, is as for :class:`Condition`.
    """

    section: str | None = None
    handrail: bool | None = None
    open_risers: bool | None = None
    single_flight: bool | None = None
    use: str | None = None
    drop: Fraction | float | None = None
    width: Fraction | None = None
    height: Fraction | float | None = None
