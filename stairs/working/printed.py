"""Numbers as they are printed in a chain, so that every line holds when it is worked again.

What is exact in few letters is printed exactly, all else rounded.  Each line is then worked from
the numbers as they are printed before it, as on paper, and comes out to half of the last place
that it prints; the result is the true one, rounded.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from msgspec import Struct

from stairs.lengths.tape_marks import round_to_mark
from stairs.numbers.surd import Roots
from stairs.relations.quantities import ANGLE, AREA, COUNT, LENGTH
from stairs.working.chain import Chain, Leaf, Line
from stairs.working.formula import value_of_tree

_PLACES = {"in": {LENGTH: 4, ANGLE: 3, AREA: 2}, "mm": {LENGTH: 2, ANGLE: 3, AREA: 1}}
_OTHER = 6  # of a ratio
_BETWEEN = 1  # place more than a result has what is only worked on with
_FINEST = 9  # places more than usual at which what comes out is as good as true
_DRIFT = 3  # units of the last place, which what is worked from rounded numbers may be off by
_PARTS = 64  # of an inch, or of 1: what is printed as a fraction
_NOT_QUITE = 1 - 1e-6  # of half of the last place: whoever works it again rounds a little too


class Printed(Struct, frozen=True):
    """A number as it is printed: exactly, or to so many decimals."""

    value: Fraction
    places: int | None = None


def printed_numbers(chain: Chain, units: str, results: Sequence[Leaf] = ()) -> dict[int, Printed]:
    """How the numbers of a chain are printed, by the ``id`` of their leaves.

    ``results`` are leaves beside the last that are results too.

    Notes
    -----
    A number is rounded to the decimals of a good drawing, and to one more where it is only worked
    on with.  Where its line does not come out to half of the last place from the printed numbers,
    what does come out is printed, if that is the true value to one unit of the last place;
    otherwise, and for the result always, what was rounded before it gets a decimal more.
    """
    leaves = [*chain.givens, *chain.lines, *chain.short]
    more = dict.fromkeys(map(id, leaves), _BETWEEN)
    ends = [line for line in chain.lines if line.ends]
    for leaf in (chain.result, *chain.short[-1:], *results, *ends):
        more[id(leaf)] = 0
    while True:
        printed: dict[int, Printed] = {}
        for leaf in leaves:
            told = _printed(leaf, units, printed, more[id(leaf)])
            if told is None:
                break
            printed[id(leaf)] = told
        else:
            return printed
        rounded = [one for one in _inputs(leaf) if more[one] < _FINEST and printed[one].places]
        for one in rounded or [id(leaf)]:  # of a tie between two last digits one place more is none
            more[one] += 1


def _printed(leaf: Leaf, units: str, printed: dict[int, Printed], more: int) -> Printed | None:
    """A number as it is printed after those before it; None where these are not fine enough."""
    value, exact = leaf.value, leaf.value if isinstance(leaf.value, Fraction) else None
    from_rounded = any(printed[one].places is not None for one in _inputs(leaf))
    if exact is not None and not from_rounded and _is_short(exact, leaf.unit, units):
        return Printed(exact)
    places = _PLACES[units].get(leaf.unit, _OTHER) + more
    last = Fraction(1, 10**places)
    true = round_to_mark(_fraction(value), last)
    if not isinstance(leaf, Line):
        return Printed(true, places)
    again = value_of_tree(leaf.formula, lambda one: float(printed[id(one)].value), Roots())
    if abs(float(again) - float(true)) <= float(last) / 2 * _NOT_QUITE:
        return Printed(true, places)
    told = round_to_mark(_fraction(again), last)
    off = abs(float(again) - float(told)) / float(last)
    near = abs(_fraction(value) - told) <= _DRIFT * last and off <= _NOT_QUITE / 2
    return Printed(told, places) if (near and more) or more > _FINEST else None


def _fraction(value: object) -> Fraction:
    return value if isinstance(value, Fraction) else Fraction(float(value))  # type: ignore[arg-type]


def _is_short(value: Fraction, unit: str, units: str) -> bool:
    if unit == COUNT or value.denominator == 1:
        return True
    if (value * 10**4).denominator == 1 and (units == "mm" or unit != LENGTH):
        return True
    return units == "in" and (value.denominator <= _PARTS or (value * 10**4).denominator == 1)


def _inputs(leaf: Leaf) -> list[int]:
    return _leaves_in(leaf.formula) if isinstance(leaf, Line) else []


def _leaves_in(tree: object) -> list[int]:
    if isinstance(tree, Leaf):
        return [id(tree)]
    if isinstance(tree, list):
        return [one for part in tree[1:] for one in _leaves_in(part)]
    return []
