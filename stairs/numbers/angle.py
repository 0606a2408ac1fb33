"""Angles by their cosine and sine, exact wherever those are made of square roots."""

from __future__ import annotations

import math
from fractions import Fraction

from msgspec import Struct

from stairs.numbers.exact_sign import digits_of
from stairs.numbers.surd import Number, Roots, quotient, sign

_DIGITS = 60
_HALVINGS = 3


class Angle(Struct, frozen=True):
    """An angle; ``exact`` is false where cosine and sine are those of one next to it.

    They are then fractions whose squares add up to 1, and the angle is off by less than
    ``10**-55`` degrees.
    """

    cos: Number
    sin: Number
    exact: bool = True

    @property
    def degrees(self) -> float:
        """Above -180 and up to 180 [degrees]."""
        return math.degrees(math.atan2(float(self.sin), float(self.cos)))

    @property
    def tangent(self) -> Number | None:
        """Rise per run, or nothing where the angle is a right one."""
        return None if sign(self.cos) == 0 else quotient(self.sin, self.cos)

    def mirrored(self) -> Angle:
        """The same angle the other way round."""
        return Angle(self.cos, -self.sin, self.exact)

    def turned(self, quarters: int) -> Angle:
        """The angle and so many right ones."""
        cos, sin = self.cos, self.sin
        for _ in range(quarters % 4):
            cos, sin = -sin, cos
        return Angle(cos, sin, self.exact)

    def doubled(self) -> Angle:
        """Twice the angle."""
        return Angle(self.cos * self.cos - self.sin * self.sin, 2 * self.cos * self.sin, self.exact)

    def halved(self, roots: Roots) -> Angle:
        """Half of the angle, which is above -180 and up to 180 degrees."""
        cos = roots.sqrt((1 + self.cos) * Fraction(1, 2))
        sin = roots.sqrt((1 - self.cos) * Fraction(1, 2))
        return Angle(cos, -sin if sign(self.sin) < 0 else sin, self.exact)


def angle_of_tangent(tangent: Number, roots: Roots) -> Angle:
    """The angle between -90 and 90 degrees that has this tangent.

    Examples
    --------
    >>> angle_of_tangent(Fraction(3, 4), Roots()).cos
    Fraction(4, 5)
    """
    cos = Fraction(1) / roots.sqrt(1 + tangent * tangent)
    return Angle(cos, tangent * cos)


def angle_of_cosine(cosine: Number, roots: Roots) -> Angle:
    """The angle from 0 to 180 degrees that has this cosine, which is from -1 to 1."""
    return Angle(cosine, roots.sqrt(1 - cosine * cosine))


def angle_of(degrees: Fraction, roots: Roots) -> Angle:
    """An angle by its degrees.

    Returns
    -------
    Angle
        Exact where the degrees are a whole multiple of 30 or 45, or of a half, a quarter or an
        eighth of those.

    Examples
    --------
    >>> angle_of(Fraction(120), Roots()).cos
    Fraction(-1, 2)
    >>> angle_of(Fraction(45, 2), Roots()).tangent == Roots().sqrt(Fraction(2)) - 1
    True
    >>> angle_of(Fraction(35), Roots()).exact
    False
    """
    return _exact(degrees, _HALVINGS, roots) or _near(degrees)


def _exact(degrees: Fraction, halvings: int, roots: Roots) -> Angle | None:
    quarters, rest = divmod(degrees, 90)
    half = Fraction(1, 2)
    found: Angle | None = None
    if rest == 0:
        found = Angle(Fraction(1), Fraction(0))
    elif rest == 30:
        found = Angle(roots.sqrt(Fraction(3, 4)), half)
    elif rest == 45:
        found = Angle(roots.sqrt(half), roots.sqrt(half))
    elif rest == 60:
        found = Angle(half, roots.sqrt(Fraction(3, 4)))
    elif halvings and (twice := _exact(2 * rest, halvings - 1, roots)):
        found = twice.halved(roots)
    return found.turned(quarters) if found else None


def _near(degrees: Fraction) -> Angle:
    """By the tangent of half the angle, so that the squares of sine and cosine add up to 1."""
    quarters, rest = divmod(degrees, 90)
    context = digits_of(_DIGITS + 20)
    tangent = context.tan(context.pi * rest.numerator / rest.denominator / 360)
    _, above, power, _ = tangent._mpf_
    half = Fraction(int(above)) * Fraction(2) ** power
    below = 1 + half * half
    return Angle((1 - half * half) / below, 2 * half / below, exact=False).turned(quarters)
