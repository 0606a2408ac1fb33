"""Whether an exact number is negative, zero or positive.

A verdict that floats cannot decide hangs on the sign of a difference: the diameter of the largest
circle less the ball's.  Most differences are settled by more digits.  One that stays at zero
however many digits are taken is probably zero, but probably is not enough where "touches" fails and
"has room to spare" passes; so it is proved with the arithmetic of :mod:`stairs.numbers.surd`
wherever it consists of fractions and square roots, as everything does that is measured in lengths.

Angles given in degrees may lead to numbers of another kind.  For those, a difference below
``10**-190`` of the size of its terms counts as zero: the circle then counts as touching, which is
the careful side for every rule that asks a ball not to pass.
"""

from __future__ import annotations

import operator
from fractions import Fraction
from functools import cache, reduce
from typing import Any, TypeAlias

from stairs.numbers import surd

Expression: TypeAlias = Any  # int, float, Fraction, Surd or a number of sympy, which has no types
Context: TypeAlias = Any  # arithmetic of mpmath, which has no types either

_DOUBT = 40  # digits; a value below 10**-40 of its terms is looked at more closely
_LAST = 190


class NotOfRoots(Exception):
    """A number that is not made of fractions and square roots."""


def sign(expression: Expression) -> int:
    """-1, 0 or 1 as a number is negative, zero or positive.

    Parameters
    ----------
    expression : int, Fraction or sympy number
        Any finite real number.  A float counts as the binary fraction that it is.

    Returns
    -------
    int
        Proved for fractions and square roots of any nesting; decided to 190 digits otherwise.

    Examples
    --------
    >>> sign(Fraction(1, 3) - Fraction(1, 4))
    1
    >>> from sympy import sqrt
    >>> sign(sqrt(5 + 2 * sqrt(6)) - sqrt(2) - sqrt(3))
    0
    """
    if isinstance(expression, (int, float, Fraction)):
        return (expression > 0) - (expression < 0)
    if isinstance(expression, surd.Surd):
        return surd.sign(expression)
    if expression.is_Rational:
        return int(expression.p > 0) - int(expression.p < 0)
    size = _size(expression)
    value, scale = digits(expression, _DOUBT), digits(size, _DOUBT)
    if abs(value) > scale * 10 ** -(_DOUBT // 2):
        return 1 if value > 0 else -1
    try:
        return surd.sign(exact_number(expression, surd.Roots()))
    except NotOfRoots:
        value, scale = digits(expression, _LAST + 40), digits(size, _LAST + 40)
        if abs(value) <= scale * _ten_to(-_LAST):
            return 0
        return 1 if value > 0 else -1


def exact_number(expression: Expression, roots: surd.Roots) -> surd.Number:
    """A number as a fraction, or as fractions and square roots.

    Parameters
    ----------
    expression : int, float, Fraction or sympy number
        Any finite real number.

    Raises
    ------
    NotOfRoots
        Where it holds anything but fractions, sums, products and square roots.

    Examples
    --------
    >>> from sympy import Integer, sqrt
    >>> exact_number(sqrt(12) / sqrt(3) + Integer(1) / 2, surd.Roots())
    Fraction(5, 2)
    """
    if isinstance(expression, (int, float, Fraction)):
        return Fraction(expression)
    if isinstance(expression, surd.Surd):
        return expression
    if expression.is_Rational:
        return Fraction(int(expression.p), int(expression.q))
    if expression.is_Add or expression.is_Mul:
        numbers = (exact_number(part, roots) for part in expression.args)
        return reduce(operator.add if expression.is_Add else operator.mul, numbers)
    if expression.is_Pow and expression.exp.is_Rational and expression.exp.q in (1, 2):
        base = exact_number(expression.base, roots)
        if expression.exp.q == 2:
            base = roots.sqrt(base)
        power = int(expression.exp.p)
        result: surd.Number = Fraction(1)
        for _ in range(abs(power)):
            result = result * base
        return result if power > 0 else Fraction(1) / result
    raise NotOfRoots(str(expression))


def digits(expression: Expression, count: int) -> Any:
    """A number to so many digits after the point of its terms, as an mpmath float.

    Parameters
    ----------
    expression : Fraction, int, float or sympy number
        Any finite real number.
    count : int
        Decimal digits, 1 or more.

    Notes
    -----
    The whole expression is computed in that many digits and 20 more; where terms cancel, fewer of
    the result are good, but no fewer of the terms.

    Examples
    --------
    >>> from sympy import sqrt
    >>> print(digits(sqrt(2), 30).context.nstr(digits(sqrt(2), 30), 25))
    1.414213562373095048801689
    """
    return _number_in(digits_of(count + 20), expression)


@cache  # making one takes as long as a whole comparison
def digits_of(count: int) -> Context:
    """Arithmetic with so many decimal digits, to be used as it is: an mpmath context.

    Parameters
    ----------
    count : int
        1 or more.
    """
    import mpmath

    context = mpmath.mp.clone()
    context.dps = count
    return context


def _number_in(context: Context, expression: Expression) -> Any:
    if isinstance(expression, (int, float)):
        return context.mpf(expression)
    if isinstance(expression, Fraction):
        return context.mpf(expression.numerator) / expression.denominator
    if expression.is_Rational:
        return context.mpf(int(expression.p)) / int(expression.q)
    if expression.is_Add:
        return sum((_number_in(context, part) for part in expression.args), context.mpf(0))
    if expression.is_Mul:
        product = context.mpf(1)
        for part in expression.args:
            product *= _number_in(context, part)
        return product
    if expression.is_Pow and expression.exp.is_Rational:
        base = _number_in(context, expression.base)
        power = context.mpf(int(expression.exp.p)) / int(expression.exp.q)
        return context.power(base, power)
    value = expression.evalf(context.dps)
    if not value.is_Float:
        raise ValueError(f"{expression} is no real number")
    return context.make_mpf(value._mpf_)


def _size(expression: Expression) -> Expression:
    """The sum of the sizes of the terms that could cancel in an expression."""
    if expression.is_Add:
        return sum(abs(part) for part in expression.args)
    return abs(expression)


def _ten_to(power: int) -> Fraction:
    return Fraction(10) ** power
