"""A measure: one thing of a solved section that can be held against a limit."""

from __future__ import annotations

from fractions import Fraction
from typing import TypeVar

from msgspec import Struct

from stairs.openings.opening import Opening, compare_opening
from stairs.relations.exact import Amount, compare

Given = TypeVar("Given")


def known(value: Given | None) -> Given:
    """A value that a job may leave open, where it is sure to be given; else ValueError."""
    if value is None:
        raise ValueError("asked for a value that was left open")
    return value


def known_amount(amount: Amount | None) -> Amount:
    """The same of an exact amount."""
    if amount is None:
        raise ValueError("asked for an amount that was left open")
    return amount


def rational(amount: Amount) -> Fraction:
    """An amount that no root goes into; raises TypeError where one does."""
    if not isinstance(amount, Fraction):
        raise TypeError(f"{amount} is no fraction")
    return amount


class Place(Struct, frozen=True):
    """Which part of a section is meant, or which two; nothing is told from its text.

    >>> str(Place("post", (2,))), str(Place("riser", (2, 5)))
    ('post 2', 'risers 2 and 5')
    """

    kind: str  # "post", "bay", "nosing", "riser" or "tread"
    numbers: tuple[int, ...]  # from 1, growing

    def __str__(self) -> str:
        return f"{self.kind}{'s' * (len(self.numbers) > 1)} {' and '.join(map(str, self.numbers))}"


class Measure(Struct, frozen=True):
    """One thing that can be checked: an exact amount, or an opening, and where it is."""

    check: str
    amount: Amount | None  # in the unit of the check; None where an opening holds it
    at: Place | None = None  # None where the section as a whole, or an opening, is meant
    opening: Opening | None = None  # whose largest circle is the value
    level: Fraction | None = None  # of a length along the rake, the same measured level

    @property
    def where(self) -> str:
        """Where it is in words, empty where the section as a whole is meant."""
        if self.opening is not None:
            return self.opening.place
        return "" if self.at is None else str(self.at)

    @property
    def value(self) -> float:
        """The value as a float, in the unit of the check."""
        return float(known_amount(self.amount)) if self.opening is None else self.opening.diameter

    @property
    def keys(self) -> tuple[str, ...]:
        """The names under which its value counts in a re-solved guard; the first is its own.

        An amount is known by its check alone: which riser is the highest, or which post the
        tallest, may change with the measurements.
        """
        return (self.check,) if self.opening is None else self.opening.keys

    def compare(self, limit: Amount) -> int:
        """-1, 0 or 1 as the value is below, at or above a limit in its unit, decided exactly."""
        if self.opening is None:
            return compare(known_amount(self.amount), limit)
        return compare_opening(self.opening, rational(limit))
