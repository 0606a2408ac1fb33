"""Remembered numbers: exact measurements that remember what was done with them.

They are the same fractions as ever.  A guard is solved with them once more where it is asked how a
result came about, or how far it may be off.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Any, Self


class Remembered(Fraction):
    """A fraction, and the operation and numbers that it came from.

    ``made`` is ``("read", what)`` of a measurement, otherwise the name of an operation (``"add"``,
    ``"sub"``, ``"mul"``, ``"truediv"``) and what it was done to.

    Examples
    --------
    >>> width = Remembered.read("width", Fraction(3))
    >>> half = width / 2
    >>> str(half), half.made[0], half.made[1].made
    ('3/2', 'truediv', ('read', 'width'))
    """

    __slots__ = ("_hash", "made")
    made: tuple[Any, ...]
    _hash: int

    @classmethod
    def read(cls, what: Any, value: Fraction) -> Self:
        """A measurement, and what it is."""
        return cls._of(value, ("read", what))

    @classmethod
    def _of(cls, value: Fraction, made: tuple[Any, ...]) -> Self:
        remembered = super().__new__(cls, value.numerator, value.denominator)
        remembered.made = made
        # unlike the same fraction that comes from elsewhere, so that nothing remembered mixes them
        remembered._hash = hash(made)
        return remembered

    def of_form(self, form: str, arguments: tuple[tuple[str, Any], ...]) -> Self:
        """This number as the value of a closed form; here what it was made of by arithmetic."""
        return self

    def __hash__(self) -> int:  # type: ignore[override]
        return self._hash

    def __eq__(self, other: object) -> bool:
        return Fraction.__eq__(self, other)

    def __neg__(self) -> Self:
        return self._of(Fraction.__neg__(self), ("mul", self, -1))

    def __pos__(self) -> Self:
        return self

    def __abs__(self) -> Self:
        return self if self >= 0 else -self

    def __pow__(self, exponent: Any, modulo: Any = None) -> Any:
        if exponent == 2:
            return self * self
        return Fraction(self) ** exponent


def _operation(name: str, swapped: bool) -> Callable[[Remembered, Any], Any]:
    plain = getattr(Fraction, f"__{'r' if swapped else ''}{name}__")

    def operate(self: Remembered, other: Any) -> Any:
        value = plain(self, other)
        if not isinstance(value, Fraction):
            return value  # with a float it is one, and no longer exact
        return self._of(value, (name, other, self) if swapped else (name, self, other))

    return operate


for _name in ("add", "sub", "mul", "truediv"):
    setattr(Remembered, f"__{_name}__", _operation(_name, False))
    setattr(Remembered, f"__r{_name}__", _operation(_name, True))
