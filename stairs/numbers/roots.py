"""Square roots that stay exact where they can.

Steps like 3 to 4 or 5 to 12, and every level run, have a slope length that is a fraction.  Their
closed forms then stay fractions too, and nothing about them needs more than arithmetic.
"""

from __future__ import annotations

import math
from fractions import Fraction

Number = Fraction | float


def sqrt(value: Number) -> Number:
    """The square root [unit of the value's root].

    Parameters
    ----------
    value : Fraction, int or float
        0 or more.

    Returns
    -------
    Fraction or float
        A fraction where the value is a ``Fraction`` that is the square of one; a float otherwise.

    Raises
    ------
    ValueError
        The value is negative.

    Examples
    --------
    >>> sqrt(Fraction(225, 4)), sqrt(2.25)
    (Fraction(15, 2), 1.5)
    """
    # a traced fraction is not what a root of it would be elsewhere
    if type(value) is Fraction and value >= 0:
        above, below = math.isqrt(value.numerator), math.isqrt(value.denominator)
        if above * above == value.numerator and below * below == value.denominator:
            return Fraction(above, below)
    return math.sqrt(value)
