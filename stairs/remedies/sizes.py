"""Sizes: what parts can be bought or made in, and lengths as a tape shows them.

The steps are common practice, no source: a merchant has a panel of 34 in or of 1010 mm, and nobody
planes a strip to a sixteenth.
"""

from __future__ import annotations

from fractions import Fraction

from stairs.lengths.tape_marks import Number, ceil_to_mark, exact_text, floor_to_mark, length_text
from stairs.numbers.tolerances import SAME

STEPS = {
    "panel": {"in": Fraction(1), "mm": Fraction(10)},
    "strip": {"in": Fraction(1, 4), "mm": Fraction(5)},
    "rail depth": {"in": Fraction(1, 4), "mm": Fraction(5)},
    "baluster": {"in": Fraction(1, 8), "mm": Fraction(1)},
    "pitch": {"in": Fraction(1, 8), "mm": Fraction(1)},
    "plate": {"in": Fraction(1, 2), "mm": Fraction(10)},
    "rail": {"in": Fraction(12), "mm": Fraction(100)},
    "post": {"in": Fraction(3), "mm": Fraction(50)},
}
"""From one size of a part to the next, in the job's unit."""

LOWEST_RISER = {"in": Fraction(4), "mm": Fraction(100)}
"""No stair is divided into lower ones; also the least of IBC 2021, 1011.5.2."""
_THINNEST = {"in": Fraction(1, 2), "mm": Fraction(10)}  # of a strip
_TAPES = {
    "in": tuple(Fraction(1, 2**power) for power in range(7)),
    "mm": (Fraction(10), Fraction(5), Fraction(1), Fraction(1, 2)),
}


def size_above(what: str, value: Number, units: str) -> Fraction:
    """The least size of a part, a key of :data:`STEPS`, that is not below a length [units].

    A float counts as on a size that is no more than 1e-9 below it.

    Examples
    --------
    >>> size_above("panel", 32.06, "in"), size_above("strip", Fraction(1), "mm")
    (Fraction(33, 1), Fraction(10, 1))
    """
    size = ceil_to_mark(_loose(value, -1), STEPS[what][units])
    return max(size, _THINNEST[units]) if what == "strip" else size


def size_below(what: str, value: Number, units: str) -> Fraction:
    """The greatest size of a part that is not above a length; see :func:`size_above`."""
    return floor_to_mark(_loose(value, 1), STEPS[what][units])


def _loose(value: Number, side: int) -> Number:
    return value + side * SAME if isinstance(value, float) else value


def finer_tapes(tape: Fraction, units: str) -> tuple[Fraction, ...]:
    """The smallest marks of tapes that are finer than one, the coarser first [units].

    Examples
    --------
    >>> [str(mark) for mark in finer_tapes(Fraction(1, 16), "in")]
    ['1/32', '1/64']
    """
    return tuple(mark for mark in _TAPES[units] if mark < tape)


def shown(value: Number, units: str, tape: Fraction) -> str:
    """A length as a tape or a rule shows it: exactly, else "near" a mark.

    Examples
    --------
    >>> print(shown(Fraction(33, 32), "in", Fraction(1, 16)), shown(Fraction(25, 127), "in",
    ...       Fraction(1, 16)))
    1 1/32" near 3/16"
    """
    value = Fraction(value)
    if value.denominator > 10**6:  # of a float
        value = value.limit_denominator(10**6)
    on_a_rule = 64 if units == "in" else 2
    if (value / tape).denominator == 1 or on_a_rule % value.denominator == 0:
        return exact_text(value, units)
    if (100 if units == "in" else 10) % value.denominator == 0:
        return exact_text(value, units)  # a decimal, as it was typed
    return f"near {length_text(value, units, tape)}"
