"""Closed forms cleared of fractions, roots and angles, so that they can be solved for any input.

``rail_length = -2e + (D - 2q)√(R² + G²)/G`` is, times ``G``, a sum of products that is 0.  What is
wanted from it may stand under the root: then the root is put on one side and both sides are
squared.  An angle that is wanted is looked for by its cosine ``c``, and its sine is one more root,
``√(1 - c²)``.  So every form becomes, in each of its inputs, a polynomial; its degree is found here
once, and :mod:`stairs.relations.inverse` fills in numbers.
"""

from __future__ import annotations

from collections.abc import Iterator

import sympy
from msgspec import Struct
from sympy import Expr, Symbol

from stairs.relations.chaining import Derivation
from stairs.relations.equations import SYMBOLS
from stairs.relations.quantities import ANGLE, QUANTITIES

MOST = 2  # degree: beyond it roots are no fractions and square roots any more

VALUE, ROOT = Symbol("value", real=True), Symbol("root", real=True)
NONE, UNDER_ROOT, SINE = "", "root", "sine"


class Cleared(Struct, frozen=True):
    """A form without fractions: ``residual`` is 0 where ``value`` is what the form gives."""

    residual: Expr
    square: tuple[Expr, Expr] | None  # of the root in them, above and below the line
    arc: tuple[str, int, int] | None  # the value is offset + scale * arc tan or arc cos
    unknowns: dict[str, tuple[int, str]]  # degree in each input, and what is squared away for it


def cosine_and_sine(name: str) -> tuple[Symbol, Symbol]:
    """What stands for an angle that is given or looked for."""
    return Symbol(f"{name}.cos", real=True), Symbol(f"{name}.sin", real=True)


def cleared(derivation: Derivation) -> Cleared:
    """A closed form as a polynomial that is 0, and its degree in each input.

    Parameters
    ----------
    derivation : Derivation
        Of a closed form with one kind of square root at most.

    Returns
    -------
    Cleared
        In ``value`` for what the form gives (where that is an angle, the tangent or cosine that
        the arc is taken of), ``root``, the inputs, and cosine and sine of angles.  Each of value,
        root and sines stands in it once or not at all, and never squared.

    Raises
    ------
    ArithmeticError
        The form has several roots, a jump or another function, or is of a higher degree than
        :data:`MOST` in an input.

    Examples
    --------
    >>> from stairs.relations.derivation import derivation_of
    >>> form = cleared(derivation_of("plumb_depth"))
    >>> form.residual, form.unknowns["depth"], form.unknowns["unit_rise"]
    (depth*root - unit_run*value, (1, ''), (2, 'root'))
    """
    inside, arc = _without_arc(derivation.expression)
    angles = [name for name in sorted(derivation.needs) if QUANTITIES[name].unit == ANGLE]
    inside = _without_angles(inside, angles)
    inside, square = _with_one_root(inside, angles)
    residual, _ = sympy.fraction(sympy.cancel(sympy.together(inside - VALUE)))
    for part in (residual, *(square or ())):
        if not part.is_polynomial(*part.free_symbols):
            raise ArithmeticError(f"{derivation.target} is no polynomial: {part}")
    residual = _reduced(residual, square, angles)
    unknowns = {
        name: _degree(name, residual, square, derivation)
        for name in derivation.given
        if name in derivation.needs
    }
    return Cleared(_short(residual), square, arc, unknowns)


def _without_arc(expression: Expr) -> tuple[Expr, tuple[str, int, int] | None]:
    """What an arc tangent or cosine is taken of, and how the angle follows in degrees."""
    arcs = list(expression.atoms(sympy.atan, sympy.acos))
    if not arcs:
        return expression, None
    (arc,) = arcs
    stand_in = sympy.Dummy()
    scale, offset = sympy.Poly(expression.subs(arc, stand_in), stand_in).all_coeffs()
    kind = "tan" if isinstance(arc, sympy.atan) else "cos"
    return arc.args[0], (kind, int(scale * sympy.pi / 180), int(offset))


def _without_angles(expression: Expr, angles: list[str]) -> Expr:
    for name in angles:
        cos, sin = cosine_and_sine(name)
        angle = sympy.Dummy(real=True)
        expression = expression.subs(SYMBOLS[name], 180 * angle / sympy.pi).replace(
            lambda part: isinstance(part, (sympy.sin, sympy.cos, sympy.tan)),
            lambda part: sympy.expand_trig(part.func(sympy.expand(part.args[0]))),
        )
        expression = expression.replace(sympy.tan, lambda part: sympy.sin(part) / sympy.cos(part))
        expression = expression.subs({sympy.cos(angle): cos, sympy.sin(angle): sin})
    return sympy.expand(expression) if angles else expression


def _with_one_root(expression: Expr, angles: list[str]) -> tuple[Expr, tuple[Expr, Expr] | None]:
    """The expression with ``root`` for its square root, and the square of that."""
    parts = {part for part in expression.atoms(sympy.Pow) if _is_root(part)}
    bases = {part.base for part in parts}
    if not bases:
        return expression, None
    if len(bases) > 1:  # one root divided by another is one root
        if not expression.is_Mul or set(expression.args) != parts:
            raise ArithmeticError(f"{expression} has several roots")
        square = sympy.prod(part**2 for part in parts)
        expression = ROOT
    else:
        (square,) = bases
        expression = expression.replace(_is_root, lambda part: ROOT**part.exp.p)
    above, below = sympy.fraction(sympy.together(square))
    return expression, (_reduced(above, None, angles), _reduced(below, None, angles))


def _is_root(part: Expr) -> bool:
    return bool(part.is_Pow and part.exp.is_Rational and part.exp.q == 2 and part.base.free_symbols)


def _reduced(expression: Expr, square: tuple[Expr, Expr] | None, angles: list[str]) -> Expr:
    """Without squares of sines and of the root, so that each is there once or not at all."""
    for name in angles:
        cos, sin = cosine_and_sine(name)
        expression = _split(expression, sin, 1 - cos**2)
    if square:
        expression = _split(expression, ROOT, square[0] / square[1])
    return sympy.expand(expression)


def _split(expression: Expr, root: Symbol, square: Expr) -> Expr:
    terms: Iterator[Expr] = (
        factor * square ** (power // 2) * root ** (power % 2)
        for (power,), factor in sympy.Poly(expression, root).terms()
    )
    return sympy.Add(*terms)


def _degree(
    name: str, residual: Expr, square: tuple[Expr, Expr] | None, derivation: Derivation
) -> tuple[int, str]:
    """The degree of the polynomial in one input, and what had to be squared away for it."""
    unknown, squared, radical = SYMBOLS[name], square, ROOT
    way = UNDER_ROOT if square and unknown in _symbols(*square) else NONE
    if QUANTITIES[name].unit == ANGLE:
        unknown, sine = cosine_and_sine(name)
        way = UNDER_ROOT if square and unknown in _symbols(*square) else NONE
        if sine in residual.free_symbols:
            if way:
                raise ArithmeticError(f"{derivation.target} has {name} in and beside a root")
            way, radical, squared = SINE, sine, (1 - unknown**2, sympy.Integer(1))
    polynomial = residual
    if way:
        assert squared is not None
        plain, factor = residual.coeff(radical, 0), residual.coeff(radical, 1)
        polynomial = plain**2 * squared[1] - factor**2 * squared[0]
    degree = int(sympy.degree(sympy.expand(polynomial), unknown))
    if degree > MOST:
        raise ArithmeticError(f"{derivation.target} is of degree {degree} in {name}")
    return degree, way


def _symbols(*expressions: Expr) -> set[Symbol]:
    return set().union(*(one.free_symbols for one in expressions))


def _short(expression: Expr) -> Expr:
    forms = [expression, sympy.factor(expression), sympy.collect(expression, ROOT),
             sympy.factor_terms(sympy.collect(expression, VALUE))]  # fmt: skip
    return min(forms, key=lambda form: (sympy.count_ops(form), str(form)))
