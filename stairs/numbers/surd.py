"""Numbers made of fractions and square roots, kept exact.

The length of a rail with a rise of 7 and a run of 10 is the square root of 149: no fraction, yet
exact.  Sums, products and quotients of such numbers, and square roots of them again, are all that
the largest circle of an opening needs, and whether one of them is above, at or below another can
be decided with fractions alone.

A number is a fraction or a :class:`Surd` ``a + b √d``, in which ``a``, ``b`` and ``d`` are numbers
with fewer roots.  :class:`Roots` makes the roots and remembers them, so that the same root is not
made twice.
"""

from __future__ import annotations

from decimal import Decimal, localcontext
from fractions import Fraction
from math import isqrt
from typing import TypeAlias

Number: TypeAlias = "int | Fraction | Surd"
Near = tuple[Decimal, Decimal]  # a number in ninety digits, and a bound on its error

_DIGITS = 90


class Surd:
    """The exact number ``a + b √d``.

    Parameters
    ----------
    root : Root
        ``√d``.
    a, b : Fraction or Surd
        With roots that were made before this one only; ``b`` is not the fraction 0.
    """

    __slots__ = ("_near", "a", "b", "root")

    def __init__(self, root: Root, a: Number, b: Number) -> None:
        self.root, self.a, self.b = root, a, b
        self._near: Near | None = None

    def __repr__(self) -> str:
        return f"({self.a} + {self.b} √{self.root.square})"

    def __float__(self) -> float:
        return float(_near(self)[0])

    # ---- arithmetic ------------------------------------------------------------------------

    def __add__(self, other: Number) -> Number:
        if not isinstance(other, (int, Fraction, Surd)):
            return NotImplemented
        if isinstance(other, Surd) and other.root.level > self.root.level:
            return _make(other.root, self + other.a, other.b)
        if isinstance(other, Surd) and other.root.level == self.root.level:
            return _make(self.root, self.a + other.a, self.b + other.b)
        return _make(self.root, self.a + other, self.b)

    __radd__ = __add__

    def __neg__(self) -> Surd:
        return Surd(self.root, -self.a, -self.b)

    def __sub__(self, other: Number) -> Number:
        return self + -other

    def __rsub__(self, other: Number) -> Number:
        return -self + other

    def __mul__(self, other: Number) -> Number:
        if not isinstance(other, (int, Fraction, Surd)):
            return NotImplemented
        if isinstance(other, Surd) and other.root.level > self.root.level:
            return _make(other.root, self * other.a, self * other.b)
        if isinstance(other, Surd) and other.root.level == self.root.level:
            square = self.root.square
            return _make(
                self.root,
                self.a * other.a + self.b * other.b * square,
                self.a * other.b + self.b * other.a,
            )
        return _make(self.root, self.a * other, self.b * other)

    __rmul__ = __mul__

    def __pow__(self, power: int) -> Number:
        base = self if power >= 0 else self.inverse()
        result: Number = Fraction(1)
        for _ in range(abs(power)):
            result = result * base
        return result

    def inverse(self) -> Number:
        """One divided by this number.

        Notes
        -----
        ``1 / (a + b√d) = (a - b√d) / (a² - b² d)``.  Where ``a² = b² d`` although the number is
        not 0, ``√d`` was no new root: then ``a = b√d`` and the number is ``2 a``.
        """
        norm = self.a * self.a - self.b * self.b * self.root.square
        if sign(norm) != 0:
            over = _inverse(norm)
            return _make(self.root, self.a * over, -self.b * over)
        if sign(self) == 0:
            raise ZeroDivisionError("division of an exact number by 0")
        return _inverse(2 * self.a)

    def __truediv__(self, other: Number) -> Number:
        return self * _inverse(other)

    def __rtruediv__(self, other: Number) -> Number:
        return self.inverse() * other

    # ---- order -----------------------------------------------------------------------------

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, (int, Fraction, Surd)):
            return NotImplemented
        return sign(self - other) == 0

    def __lt__(self, other: Number) -> bool:
        return sign(self - other) < 0

    def __le__(self, other: Number) -> bool:
        return sign(self - other) <= 0

    def __gt__(self, other: Number) -> bool:
        return sign(self - other) > 0

    def __ge__(self, other: Number) -> bool:
        return sign(self - other) >= 0


class Root:
    """The square root of a positive number, with its place in the order of making."""

    __slots__ = ("_near", "level", "square")

    def __init__(self, square: Number, level: int) -> None:
        self.square, self.level = square, level
        self._near: Near | None = None


class Roots:
    """Maker of square roots that belong together.

    Examples
    --------
    >>> roots = Roots()
    >>> long, short = roots.sqrt(Fraction(8)), roots.sqrt(Fraction(2))
    >>> long == 2 * short, len(roots.made)
    (True, 1)
    """

    def __init__(self) -> None:
        self.made: list[Root] = []

    def sqrt(self, number: Number) -> Number:
        """The square root of a number that is not negative, exact.

        Parameters
        ----------
        number : Fraction, int or Surd
            0 or more.

        Returns
        -------
        Fraction or Surd
            A fraction where the number is the square of one; no root of a root where a sum of
            two roots is the same.

        Raises
        ------
        ValueError
            For a negative number.

        Examples
        --------
        >>> Roots().sqrt(Fraction(225))
        Fraction(15, 1)
        """
        order = sign(number)
        if order < 0:
            raise ValueError(f"{float(number)} is negative and has no square root")
        if order == 0:
            return Fraction(0)
        if isinstance(number, Surd):
            plain = self._sum_of_roots(number)
            if plain is not None:
                return plain
            for root in self.made:
                if isinstance(root.square, Surd) and root.square == number:
                    return Surd(root, Fraction(0), Fraction(1))
            return self._new(number, Fraction(1))
        number = Fraction(number)
        whole = _rational_root(number)
        if whole is not None:
            return whole
        for root in self.made:
            if isinstance(root.square, Fraction):
                factor = _rational_root(number / root.square)
                if factor is not None:
                    return Surd(root, Fraction(0), factor)
        return self._new(
            Fraction(number.numerator * number.denominator), Fraction(1, number.denominator)
        )

    def _sum_of_roots(self, number: Surd) -> Number | None:
        """``√(a + b√d)`` as ``√x ± √y``: with ``x + y = a`` and ``4xy = b²d``, if fractions are."""
        single = _single_root(number)
        if single is None or isinstance(number.a, Surd):
            return None
        a, (b, square) = Fraction(number.a), single
        norm = a * a - b * b * square
        apart = _rational_root(norm) if norm >= 0 else None
        if apart is None:
            return None
        first, second = self.sqrt((a + apart) / 2), self.sqrt((a - apart) / 2)
        return first + second if b > 0 else first - second

    def _new(self, square: Number, factor: Fraction) -> Surd:
        root = Root(square, len(self.made) + 1)
        self.made.append(root)
        return Surd(root, Fraction(0), factor)


def sign(number: Number) -> int:
    """-1, 0 or 1 as an exact number is negative, zero or positive.

    Notes
    -----
    Ninety digits decide where their own error bound leaves no doubt.  Otherwise, of ``a + b√d``:
    where ``a`` and ``b`` agree in sign that is the answer; where they do not, it is the sign of
    ``a`` times the sign of ``a² - b² d``, a number with one root less.

    Examples
    --------
    >>> two, three = (Roots().sqrt(Fraction(n)) for n in (2, 3))
    >>> sign(two - Fraction(99, 70)), sign(three * three - 3)
    (-1, 0)
    """
    if not isinstance(number, Surd):
        return (number > 0) - (number < 0)
    value, error = _near(number)
    if abs(value) > error:
        return 1 if value > 0 else -1
    first, second = sign(number.a), sign(number.b)
    if first == second or second == 0:
        return first
    if first == 0:
        return second
    return first * sign(number.a * number.a - number.b * number.b * number.root.square)


def copied(number: Number, roots: Roots) -> Number:
    """The same number with roots of another maker, so that the two can be put together."""
    if not isinstance(number, Surd):
        return Fraction(number)
    root = roots.sqrt(copied(number.root.square, roots))
    return copied(number.a, roots) + copied(number.b, roots) * root


def written(number: Number) -> str:
    """The number as it is written on paper, e.g. ``-3/4 + 59√2605/42``.

    Parameters
    ----------
    number : Fraction, int or Surd
        Any.  Square factors of what is under a root are taken out where they are small.

    Examples
    --------
    >>> roots = Roots()
    >>> written(Fraction(1, 2) - 3 * roots.sqrt(Fraction(8, 9))), written(roots.sqrt(Fraction(5)))
    ('1/2 - 2√2', '√5')
    >>> written(roots.sqrt(1 + roots.sqrt(Fraction(5))) / 2)
    '√(1 + √5)/2'
    """
    if not isinstance(number, Surd):
        return str(Fraction(number))
    single = _single_root(number)
    if single:
        times, square = single
        out = _square_factor(square.numerator)
        times, left = times * out, square / (out * out)
        root = f"√{left}" if left != 1 else ""
    else:
        inside = written(number.root.square)
        times, root = Fraction(1), f"√{inside}" if inside.isdecimal() else f"√({inside})"
        if isinstance(number.b, Surd):
            root = f"({written(number.b)})·{root}"
        else:
            times = Fraction(number.b)
    above = str(abs(times.numerator)) if abs(times.numerator) != 1 or not root else ""
    below = f"/{times.denominator}" if times.denominator != 1 else ""
    term = f"{above}{root}{below}"
    if not isinstance(number.a, Surd) and number.a == 0:
        return f"-{term}" if times < 0 else term
    return f"{written(number.a)} {'-' if times < 0 else '+'} {term}"


def _single_root(number: Surd) -> tuple[Fraction, Fraction] | None:
    """``b√d`` as a fraction times one root, and the square of that; nothing where it is a sum."""
    factor, square = number.b, number.root.square
    while isinstance(factor, Surd) and not isinstance(factor.a, Surd) and factor.a == 0:
        square, factor = square * factor.root.square, factor.b
    if isinstance(factor, Surd) or isinstance(square, Surd):
        return None
    return Fraction(factor), Fraction(square)


def _square_factor(number: int) -> int:
    """The largest number made of factors below a thousand whose square divides this one."""
    out = 1
    for factor in range(2, 1000):
        if factor * factor > number:
            break
        while number % (factor * factor) == 0:
            number //= factor * factor
            out *= factor
    return out


def _make(root: Root, a: Number, b: Number) -> Number:
    return a if not isinstance(b, Surd) and b == 0 else Surd(root, a, b)


def quotient(above: Number, below: Number) -> Number:
    """One exact number divided by another that is not 0, whole numbers too."""
    return above * _inverse(below)


def _inverse(number: Number) -> Number:
    return number.inverse() if isinstance(number, Surd) else 1 / Fraction(number)


def _rational_root(number: Fraction) -> Fraction | None:
    top, bottom = isqrt(number.numerator), isqrt(number.denominator)
    exact = top * top == number.numerator and bottom * bottom == number.denominator
    return Fraction(top, bottom) if exact else None


def _near(number: Number) -> Near:
    """A number in ninety digits, and a bound on its error."""
    with localcontext() as context:
        context.prec = _DIGITS
        context.Emin, context.Emax = -(10**9), 10**9
        return _near_in(number)


def _near_in(number: Number) -> Near:
    unit = Decimal(10) ** (2 - _DIGITS)
    if not isinstance(number, Surd):
        value = Decimal(number.numerator) / Decimal(number.denominator)
        return value, abs(value) * unit
    if number._near is None:
        a, a_error = _near_in(number.a)
        b, b_error = _near_in(number.b)
        root, root_error = _near_root(number.root)
        value = a + b * root
        error = a_error + abs(b) * root_error + (root + root_error) * b_error
        number._near = value, error * 2 + (abs(a) + abs(b) * root) * unit
    return number._near


def _near_root(root: Root) -> Near:
    if root._near is None:
        value, error = _near_in(root.square)
        if value <= 2 * error:  # too close to 0 to say more than that it is small
            root._near = Decimal(0), (abs(value) + error).sqrt() * 2
        else:
            near = value.sqrt()
            root._near = near, error / near * 2 + near * Decimal(10) ** (2 - _DIGITS)
    return root._near
