"""Enclosures: numbers that are only known to lie between two floats, and how they move.

Every operation rounds outward, so that what comes out holds every value that the operation has
for values in what went in.  With each enclosure goes one of its partial derivative by every
measurement that it depends on: where that does not change its sign over the whole box, the
measurement is at one of its ends where the result is.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from fractions import Fraction
from types import FunctionType
from typing import Any

from stairs.relations import closed_forms

Pair = tuple[float, float]


class Unsure(ArithmeticError):
    """Nothing can be told of a value over the whole box: a division by 0, a root of less."""


def _out(low: float, high: float, units: int = 1) -> Pair:
    """Both ends moved outward by some of their last digits."""
    if units == 1:
        return math.nextafter(low, -math.inf), math.nextafter(high, math.inf)
    return low - abs(low) * units * 2**-52 - 1e-300, high + abs(high) * units * 2**-52 + 1e-300


def _plus(one: Pair, other: Pair) -> Pair:
    return _out(one[0] + other[0], one[1] + other[1])


def _times(one: Pair, other: Pair) -> Pair:
    if one == (0.0, 0.0) or other == (0.0, 0.0):
        return 0.0, 0.0
    ends = (one[0] * other[0], one[0] * other[1], one[1] * other[0], one[1] * other[1])
    return _out(min(ends), max(ends))


class Enclosure:
    """A number between two floats, and between which its partial derivatives lie, by key."""

    __slots__ = ("high", "low", "slopes")

    def __init__(self, low: float, high: float, slopes: Mapping[str, Pair] | None = None) -> None:
        self.low, self.high = low, high
        self.slopes: Mapping[str, Pair] = slopes or {}

    @classmethod
    def of(cls, number: Any) -> Enclosure:
        """A number as an enclosure, with its rounding.

        Examples
        --------
        >>> third = Enclosure.of(Fraction(1, 3))
        >>> Fraction(third.low) < Fraction(1, 3) < Fraction(third.high)
        True
        """
        if isinstance(number, Enclosure):
            return number
        nearest = float(number)
        parts = number.denominator if isinstance(number, Fraction) else 1
        # halves, quarters, eighths of no great number are floats, as all floats are
        if parts & (parts - 1) == 0 and parts < 2**20 and abs(nearest) < 2**30:
            return cls(nearest, nearest)
        return cls(*_out(nearest, nearest))

    @property
    def ends(self) -> Pair:
        """The least and the greatest that it may be."""
        return self.low, self.high

    def __add__(self, other: Any) -> Enclosure:
        other = Enclosure.of(other)
        slopes = dict(self.slopes)
        for key, slope in other.slopes.items():
            slopes[key] = _plus(slopes[key], slope) if key in slopes else slope
        return Enclosure(*_plus(self.ends, other.ends), slopes)

    def __neg__(self) -> Enclosure:
        slopes = {key: (-high, -low) for key, (low, high) in self.slopes.items()}
        return Enclosure(-self.high, -self.low, slopes)

    def __sub__(self, other: Any) -> Enclosure:
        return self + -Enclosure.of(other)

    def __rsub__(self, other: Any) -> Enclosure:
        return Enclosure.of(other) + -self

    def __mul__(self, other: Any) -> Enclosure:
        other = Enclosure.of(other)
        slopes = {key: _times(slope, other.ends) for key, slope in self.slopes.items()}
        for key, slope in other.slopes.items():
            more = _times(slope, self.ends)
            slopes[key] = _plus(slopes[key], more) if key in slopes else more
        return Enclosure(*_times(self.ends, other.ends), slopes)

    __radd__, __rmul__ = __add__, __mul__

    def __truediv__(self, other: Any) -> Enclosure:
        return self * Enclosure.of(other)._inverse()

    def __rtruediv__(self, other: Any) -> Enclosure:
        return Enclosure.of(other) * self._inverse()

    def _inverse(self) -> Enclosure:
        if self.low <= 0 <= self.high:
            raise Unsure("a division by what may be 0")
        ends = _out(1 / self.high, 1 / self.low)
        return self._through(ends, _times((-1.0, -1.0), _times(ends, ends)))

    def __pow__(self, exponent: int) -> Enclosure:
        if exponent != 2:
            raise TypeError("closed forms have squares only")
        low, high = sorted((abs(self.low), abs(self.high)))
        if self.low <= 0 <= self.high:
            low = 0.0
        ends = max(0.0, math.nextafter(low * low, -1.0)), math.nextafter(high * high, math.inf)
        return self._through(ends, (2 * self.low, 2 * self.high))

    def _through(self, ends: Pair, slope: Pair) -> Enclosure:
        """What a function of it comes to, from the ends of the function and of its derivative."""
        return Enclosure(*ends, {key: _times(one, slope) for key, one in self.slopes.items()})


def root(given: Any) -> Enclosure:
    """The square root [root of the unit]; raises Unsure where what is given may be negative.

    Examples
    --------
    >>> two = root(Enclosure(4.0, 9.0))
    >>> two.low < 2 < 3 < two.high
    True
    """
    value = Enclosure.of(given)
    if value.low < 0 or (value.low == 0 and value.slopes):
        raise Unsure("a root of what may be negative")
    ends = _out(math.sqrt(value.low), math.sqrt(value.high))
    ends = max(0.0, ends[0]), ends[1]
    slope = (0.5 / ends[1], 0.5 / ends[0]) if ends[0] > 0 else (0.0, math.inf)
    return value._through(ends, _out(*slope))


def greatest(values: list[Enclosure]) -> Enclosure:
    """The greatest of some, one or more, whichever of them that is.

    Examples
    --------
    >>> greatest([Enclosure(1.0, 3.0), Enclosure(2.0, 2.5)]).ends
    (2.0, 3.0)
    """
    low = max(value.low for value in values)
    able = [value for value in values if value.high >= low]
    slopes = {}
    # in one order, so that sums come out alike each time
    for key in dict.fromkeys(key for value in able for key in value.slopes):
        pairs = [value.slopes.get(key, (0.0, 0.0)) for value in able]
        slopes[key] = min(one for one, _ in pairs), max(one for _, one in pairs)
    return Enclosure(low, max(value.high for value in able), slopes)


def least(values: list[Enclosure]) -> Enclosure:
    """The least of some, one or more."""
    return -greatest([-value for value in values])


class _Functions:
    """The functions of an angle that closed forms name, of enclosures; the last digits unsure."""

    pi = Enclosure(math.pi, math.nextafter(math.pi, 4.0))

    @staticmethod
    def atan(given: Any) -> Enclosure:
        value = Enclosure.of(given)
        slope = 1 / (1 + Enclosure(*value.ends) ** 2)
        return value._through(_out(math.atan(value.low), math.atan(value.high), 4), slope.ends)

    @staticmethod
    def tan(given: Any) -> Enclosure:
        value = Enclosure.of(given)
        if not -1.57 < value.low <= value.high < 1.57:
            raise Unsure("a slope of what may be plumb")
        ends = _out(math.tan(value.low), math.tan(value.high), 4)
        return value._through(ends, (1 + Enclosure(*ends) ** 2).ends)

    @staticmethod
    def sin(given: Any) -> Enclosure:
        value = Enclosure.of(given)
        if not -1.57 < value.low <= value.high < 1.57:
            raise Unsure("a sine past the right angle")
        return value._through(_out(math.sin(value.low), math.sin(value.high), 4), (0.0, 1.0))

    @staticmethod
    def cos(given: Any) -> Enclosure:
        value = Enclosure.of(given)
        if not -1.57 < value.low <= value.high < 1.57:
            raise Unsure("a cosine past the right angle")
        ends = sorted((math.cos(value.low), math.cos(value.high)))
        high = 1.0 if value.low <= 0 <= value.high else ends[1]
        slope = _out(-math.sin(value.high), -math.sin(value.low), 4)
        return value._through(_out(ends[0], high, 4), slope)


def form_of(name: str) -> Callable[..., Enclosure]:
    """A closed form over enclosures: the same expression, with other roots and angles."""
    return _over_enclosures(getattr(closed_forms, name))


def _over_enclosures(form: Callable[..., Any]) -> Callable[..., Enclosure]:
    assert isinstance(form, FunctionType)  # as they are written by their derivation
    return FunctionType(form.__code__, {"math": _Functions, "sqrt": root}, form.__name__)
