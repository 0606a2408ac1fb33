"""Roots of polynomials of the first and second degree, exact and all accounted for."""

from __future__ import annotations

from msgspec import Struct

from stairs.numbers.surd import Number, Roots, quotient, sign


class Zeros(Struct, frozen=True):
    """Where a polynomial is 0, by kind; what is counted adds up to the degree asked for."""

    real: tuple[tuple[Number, int], ...]  # each with how often it is there, the lower one first
    imaginary: int = 0  # roots that are not real
    dropped: int = 0  # roots that are not there, since the highest coefficients are 0
    everywhere: bool = False  # all coefficients are 0


def zeros(coefficients: tuple[Number, ...], roots: Roots) -> Zeros:
    """Where ``c0 + c1 x + c2 x²`` is 0.

    Parameters
    ----------
    coefficients : tuple of Fraction, int or Surd
        Two or three, that of the lowest power first; any may be 0.
    roots : Roots
        Maker of all roots in the coefficients; it makes those of the result.

    Raises
    ------
    ValueError
        The polynomial is of another degree.

    Notes
    -----
    ``(-c1 ± √(c1² - 4 c0 c2)) / (2 c2)``; the sign under the root is decided exactly.

    Examples
    --------
    >>> from fractions import Fraction
    >>> zeros((Fraction(-6), Fraction(1), Fraction(1)), Roots()).real
    ((Fraction(-3, 1), 1), (Fraction(2, 1), 1))
    >>> zeros((Fraction(5), Fraction(2), Fraction(1)), Roots()).imaginary
    2
    """
    degree = len(coefficients) - 1
    if degree not in (1, 2):
        raise ValueError(f"a polynomial of degree 1 or 2 is solved, not of degree {degree}")
    left = degree
    while left >= 0 and sign(coefficients[left]) == 0:
        left -= 1
    if left < 0:
        return Zeros((), everywhere=True)
    dropped = degree - left
    if left == 0:
        return Zeros((), dropped=dropped)
    c0, c1 = coefficients[:2]
    if left == 1:
        return Zeros(((quotient(-c0, c1), 1),), dropped=dropped)
    c2 = coefficients[2]
    under = c1 * c1 - 4 * c0 * c2
    order = sign(under)
    if order < 0:
        return Zeros((), imaginary=2)
    middle = quotient(-c1, 2 * c2)
    if order == 0:
        return Zeros(((middle, 2),))
    half = quotient(roots.sqrt(under), 2 * c2)
    if sign(half) < 0:
        half = -half
    return Zeros(((middle - half, 1), (middle + half, 1)))
