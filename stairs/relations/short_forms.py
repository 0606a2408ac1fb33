"""Short forms: a closed form written with the rake's functions, found by elimination.

With ``t = tan(θ/2)`` cosine, sine and slope of the rake are fractions of polynomials in ``t``, so
the relations behind a closed form become polynomials over the field of fractions in ``t`` and in
what is given.  A Gröbner basis in lexical order leaves the wanted quantity alone in its last
element: its value, and the proof of it.  What is left is to write that value in the fewest
letters, which is a search over a short list of functions of the rake.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator
from functools import cache
from itertools import combinations_with_replacement

import sympy
from sympy import QQ, cos, pi, sin, tan

from stairs.relations.chaining import Derivation
from stairs.relations.equations import RELATIONS, SYMBOLS

HALF = sympy.Symbol("t", positive=True)
"""Tangent of half the rake, which is above 0 and below 1."""

_t = HALF
_ANGLE = SYMBOLS["rake"] * pi / 180
_HALF_TAN, _COS, _SIN, _TAN = sympy.symbols("half_tan cos sin tan", positive=True)
_ATOMS: dict[sympy.Symbol, sympy.Expr] = {
    _HALF_TAN: _t,
    _COS: (1 - _t**2) / (1 + _t**2),
    _SIN: 2 * _t / (1 + _t**2),
    _TAN: 2 * _t / (1 - _t**2),
}
"""Functions of the rake, each as a fraction in ``t``; a letter each, so that each counts as one."""

_MEANT = {_HALF_TAN: tan(_ANGLE / 2), _COS: cos(_ANGLE), _SIN: sin(_ANGLE), _TAN: tan(_ANGLE)}

_RAKE = {
    SYMBOLS["cosine"]: _ATOMS[_COS],
    SYMBOLS["sine"]: _ATOMS[_SIN],
    SYMBOLS["unit_rise"]: SYMBOLS["unit_run"] * _ATOMS[_TAN],
    SYMBOLS["unit_slope"]: SYMBOLS["unit_run"] / _ATOMS[_COS],
}
_OF_RAKE = ("hypotenuse of a step", "cosine of the rake", "sine of the rake")


@cache
def eliminated(derivation: Derivation) -> sympy.Expr | None:
    """The wanted quantity in ``t`` and what is given, out of a Gröbner basis.

    Returns
    -------
    sympy.Expr or None
        None where a relation is no polynomial, or the quantity's own polynomial is not linear.

    Notes
    -----
    The relations generate an ideal over the field of fractions in ``t`` and in what is given; the
    last element of its basis in lexical order, the wanted quantity last, holds that alone.
    """
    polynomials = []
    for relation in RELATIONS:
        if relation.name in derivation.through and relation.name not in _OF_RAKE:
            for equation in relation.equations:
                given = sympy.together((equation.lhs - equation.rhs).subs(_RAKE))
                polynomials.append(sympy.numer(given))
    target = SYMBOLS[derivation.target]
    free = set().union(*(one.free_symbols for one in polynomials)) - {HALF}
    given = {SYMBOLS[name] for name in derivation.given}
    unknown = sorted(free - given - {target}, key=str)
    if not polynomials or not all(one.is_polynomial(*free, HALF) for one in polynomials):
        return None
    field = QQ.frac_field(HALF, *sorted(free & given, key=str))
    basis = sympy.groebner(polynomials, *unknown, target, order="lex", domain=field)
    alone = sympy.Poly(basis.exprs[-1], target)
    if alone.degree() != 1:
        return None
    return sympy.factor(-alone.nth(0) / alone.nth(1))


def short_form(derivation: Derivation) -> sympy.Expr | None:
    """The shortest way found to write a closed form with functions of the rake; None if none is.

    Notes
    -----
    The eliminated value is a sum of what is given, each part with a coefficient in ``t``.  Every
    function of the rake in a list, and 1, is tried as a factor of the whole; what it leaves of the
    coefficients must be in the list too, and parts with one coefficient are put together.
    """
    value = eliminated(derivation)
    if value is None or HALF not in value.free_symbols:
        return None
    top, bottom = sympy.fraction(sympy.together(value))
    names = sorted(top.free_symbols - {HALF}, key=str)
    if not names or not bottom.free_symbols <= {HALF}:
        return None
    shares = []
    for powers, share in sympy.Poly(top, *names).terms():
        part = sympy.prod(name**power for name, power in zip(names, powers, strict=True))
        shares.append((part, _taken_apart(share / bottom)))
    found = list(_written(shares))
    return min(found, key=_length).subs(_MEANT) if found else None


Apart = tuple[sympy.Rational, frozenset[tuple[sympy.Expr, int]]]
"""A fraction in ``t``: its number, and its factors with their powers."""


def _taken_apart(value: sympy.Expr) -> Apart:
    number, powers = sympy.Integer(1), Counter[sympy.Expr]()
    for sign, part in zip((1, -1), sympy.fraction(sympy.together(value)), strict=True):
        share, factors = sympy.factor_list(part, HALF)
        number *= share**sign
        for factor, power in factors:
            powers[factor] += sign * power
    return number, frozenset((one, power) for one, power in powers.items() if power)


def _times(one: Apart, other: Apart, sign: int = 1) -> Apart:
    powers = Counter(dict(one[1]))
    for factor, power in other[1]:
        powers[factor] += sign * power
    held = frozenset((factor, power) for factor, power in powers.items() if power)
    return one[0] * other[0] ** sign, held


@cache
def _functions() -> dict[frozenset[tuple[sympy.Expr, int]], tuple[sympy.Rational, sympy.Expr]]:
    """By its factors, the shortest function of the rake that has them, and its number."""
    simple = list(_ATOMS.items())
    for sign in (1, -1):
        simple += [(1 + sign * atom, 1 + sign * value) for atom, value in _ATOMS.items()]
    simple.append((_COS + _SIN, _ATOMS[_COS] + _ATOMS[_SIN]))
    single = [(sympy.Integer(1), _taken_apart(sympy.Integer(1)))]
    for written, value in simple:
        apart = _taken_apart(value)
        single += [(written, apart), (1 / written, _times(single[0][1], apart, -1))]
    known: dict[frozenset[tuple[sympy.Expr, int]], tuple[sympy.Rational, sympy.Expr]] = {}
    for one, other in combinations_with_replacement(single, 2):
        number, powers = _times(one[1], other[1])
        product = one[0] * other[0]
        if powers not in known or _length(product) < _length(known[powers][1]):
            known[powers] = number, product
    return known


def _length(written: sympy.Expr) -> tuple[int, str]:
    return sympy.count_ops(written), str(written)


def _written(shares: list[tuple[sympy.Expr, Apart]]) -> Iterator[sympy.Expr]:
    known = _functions()
    for taken, (number, factor) in known.items():
        together: dict[sympy.Expr, sympy.Expr] = defaultdict(lambda: sympy.Integer(0))
        for part, share in shares:
            left = _times(share, (number, taken), -1)
            if left[1] not in known:
                break
            own, function = known[left[1]]
            together[function] += part * left[0] / own
        else:
            yield factor * sum(function * parts for function, parts in together.items())
