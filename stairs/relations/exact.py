"""Amounts that are never rounded: what a verdict is decided on.

A length typed in a job file is a fraction.  Adding, multiplying and dividing fractions gives
fractions; a square root or an angle does not, so such a result is kept as a :class:`Derived`: its
float, and the closed form and exact arguments it came from.  A comparison is made with the float
where that is beyond doubt, and exactly where the value lies within a hair of the limit; only then
is computer algebra loaded.
"""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, TypeGuard

from msgspec import Struct

from stairs.numbers.tolerances import SAME
from stairs.relations import closed_forms
from stairs.relations.remembered import Remembered

if TYPE_CHECKING:
    import sympy


class Derived(Struct, frozen=True, cache_hash=True):
    """A number that is no fraction: a closed form at exact arguments, and its float."""

    form: str
    arguments: tuple[tuple[str, Amount], ...]
    value: float

    def __float__(self) -> float:
        return self.value


Amount = Fraction | Derived


def derived(form: str, **arguments: Amount | int) -> Amount:
    """The value of a closed form, kept exact [unit of the form].

    Parameters
    ----------
    form : str
        Name of a function of :mod:`stairs.relations.closed_forms`; lengths in one unit, angles in
        degrees.

    Returns
    -------
    Fraction or Derived
        A fraction where all arguments are and every root comes out even; otherwise a ``Derived``.

    Examples
    --------
    >>> derived("step_sum", unit_rise=Fraction(29, 4), unit_run=Fraction(21, 2))
    Fraction(25, 1)
    >>> derived("unit_slope", unit_rise=3, unit_run=4)
    Fraction(5, 1)
    >>> round(float(derived("unit_slope", unit_rise=1, unit_run=1)), 6)
    1.414214
    """
    # two whole numbers are sooner hashed than a fraction, which takes an inverse to a modulus; a
    # traced fraction is kept apart from others that are as large
    ratios = tuple(
        (name, value.as_integer_ratio() if _is_plain(value) else value)
        for name, value in arguments.items()
    )
    key = form, ratios
    if key not in _KNOWN:
        if len(_KNOWN) >= _MOST_KNOWN:
            _KNOWN.clear()
        _KNOWN[key] = _derived(form, arguments)
    return _KNOWN[key]


def _is_plain(value: Amount | int) -> TypeGuard[Fraction | int]:
    return type(value) in (Fraction, int)


_KNOWN: dict[tuple[object, ...], Amount] = {}  # the same few hundred are asked for over and over
_MOST_KNOWN = 8192


def _derived(form: str, arguments: dict[str, Amount | int]) -> Amount:
    exact = tuple(
        (name, Fraction(value) if isinstance(value, int) else value)
        for name, value in arguments.items()
    )
    function = getattr(closed_forms, form)
    if all(isinstance(value, Fraction) for _, value in exact):
        value = function(**dict(exact))  # a float as soon as one root of it does not come out even
        if isinstance(value, Fraction):
            return value.of_form(form, exact) if isinstance(value, Remembered) else value
    return Derived(form, exact, float(function(**{name: float(value) for name, value in exact})))


def expression(amount: Amount) -> sympy.Expr:
    """The amount as an exact sympy number, in its own unit.

    Examples
    --------
    >>> expression(derived("unit_slope", unit_rise=1, unit_run=2))
    sqrt(5)
    """
    if isinstance(amount, Fraction):
        from stairs.relations.chaining import exact_number

        return exact_number(amount)
    from stairs.relations.derivation import exact_value

    return exact_value(amount.form, {name: expression(value) for name, value in amount.arguments})


def compare(amount: Amount, limit: Amount) -> int:
    """-1, 0 or 1 as the amount is below, at or above the limit (same unit), decided exactly.

    Two fractions are compared as such.  Otherwise floats decide where they differ by more than
    ``SAME`` of the larger; nearer than that the sign of the exact difference is taken.

    Examples
    --------
    >>> compare(derived("unit_slope", unit_rise=9, unit_run=12), Fraction(15))
    0
    >>> compare(Fraction(1, 3), Fraction(33333, 100000))
    1
    """
    if isinstance(amount, Fraction) and isinstance(limit, Fraction):
        return (amount > limit) - (amount < limit)
    if amount == limit:  # the same closed form at the same arguments
        return 0
    difference = float(amount) - float(limit)
    if abs(difference) > SAME * max(1.0, abs(float(amount)), abs(float(limit))):
        return 1 if difference > 0 else -1
    from stairs.numbers.exact_sign import sign

    return sign(expression(amount) - expression(limit))
