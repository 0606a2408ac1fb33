"""From what is given to what is wanted: relations chained into one expression.

Where an equation has several roots, the one that can be a stair is kept: the one whose value lies
in the quantity's domain on sample stairs.  The ones let go are kept beside it with the reason.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from functools import cache

import sympy
from msgspec import Struct, field
from sympy import Rational

from stairs.numbers.tolerances import ROUNDING, SAME
from stairs.relations.equations import RELATIONS, SYMBOLS, Relation
from stairs.relations.quantities import ACUTE, ANGLE, ANY, NOT_NEGATIVE, POSITIVE, QUANTITIES


class Solved(Struct, frozen=True):
    """One step of a chain: a quantity in the others of one relation, nothing put in yet."""

    quantity: str
    expression: sympy.Expr
    relation: str


class Derivation(Struct, frozen=True):
    """What :func:`derive` found: one closed form and how it was reached."""

    target: str
    given: tuple[str, ...]
    expression: sympy.Expr
    through: tuple[str, ...]
    let_go: tuple[str, ...] = ()  # the roots that are no stair, as text
    reason: str = ""  # why they are none
    needs: frozenset[str] = field(default=frozenset())
    steps: tuple[Solved, ...] = ()  # in the order in which each can be worked out


_SIZES = {
    "unit_rise": 7.25, "unit_run": 10.5, "unit_slope": 12.76, "risers": 6, "treads": 5,
    "flush_tread": 0, "total_rise": 43.5, "total_run": 52.5, "rake": 34.6, "nosing": 1.0,
    "panel_height": 32.0, "top_rail": 1.75, "bottom_rail": 1.5, "depth": 1.5,
    "baluster": 0.75, "pitch": 4.5, "hole_length": 1.125, "wall": 0.0625, "bottom_gap": 0.6,
    "clear": 57.0, "pivot_offset": 1.125, "rail_setback": 0.375, "end_clearance": 0.125,
    "hole_position": 2.5, "corner_base": 11.5, "corner_square": 5.1, "corner_circle": 5.7,
    "stringer_margin": 0.25, "strip_opening": 3.0, "guard_height": 33.4, "skew": 22.0, "x": 12.0,
    "max_rack": 40.0, "corner_clearance": 0.9, "rail_length": 65.0, "stock": 72.0,
    "hole_in_stock": 6.75, "reveal": 1.0, "surface": 7.25, "step": 2, "centre": 27.0, "plate": 5.0,
    "nosing_x": 21.0, "riser_slope": 20.0, "tread_thickness": 1.25, "treads_in_front": 2,
    "side_gap": 3.0, "flat_gap": 4.1, "strip_ball": 5.2, "filler": 0.75, "clear_gap": 0.4,
    "front_lift": 0.2, "front_gap": 0.8, "hole_reach": 0.9, "face_x": 24.0, "stand_off": 1.1,
    "post_height": 40.0, "top_hole_height": 38.0, "post_width": 3.0, "hole_beside": 0.6,
}  # fmt: skip
"""Sizes of a real guard in inches, on which roots are told apart."""


def _sample(names: tuple[str, ...], turn: int) -> dict[sympy.Symbol, float]:
    return {SYMBOLS[name]: _SIZES[name] * (1 + 0.01 * turn) for name in names}


def _in_domain(name: str, value: complex) -> bool:
    if abs(value.imag) > SAME:
        return False
    quantity = QUANTITIES[name]
    if quantity.unit == ANGLE and not -SAME <= value.real <= 180:
        return False
    if quantity.domain == ACUTE:
        return value.real < 90
    if quantity.domain == POSITIVE:
        return value.real > 0
    if quantity.domain == NOT_NEGATIVE:
        return value.real > -ROUNDING
    return True


def _stair_root(
    name: str, roots: list[sympy.Expr], given: tuple[str, ...]
) -> tuple[sympy.Expr, tuple[str, ...], str]:
    """Pick the root that is a stair: in its domain on every sample where the other is not."""
    samples = [_sample(given, turn) for turn in (-2, 0, 3)]
    good = [
        root
        for root in roots
        if all(_in_domain(name, complex(root.subs(sample).evalf())) for sample in samples)
    ]
    if len(good) != 1:
        raise ArithmeticError(f"{len(good)} roots of {roots} can be the stair's {name}")
    others = tuple(str(root) for root in roots if root != good[0])
    reason = ""
    if others:
        domain = QUANTITIES[name].domain
        reason = f"{name} is {domain} in a stair" if domain != ANY else "only one root is real"
    return good[0], others, reason


def _solve(
    relation: Relation, unknown: list[str]
) -> tuple[dict[str, sympy.Expr], tuple[str, ...], str]:
    """Solve one relation for all that is unknown in it, in terms of its other quantities."""
    # stand-ins without a sign, so that every root shows and none is dropped unseen
    symbols = [sympy.Dummy(name, real=True) for name in unknown]
    stand_ins = {SYMBOLS[name]: symbol for name, symbol in zip(unknown, symbols, strict=True)}
    residuals = [(eq.lhs - eq.rhs).subs(stand_ins) for eq in relation.equations]
    solutions = sympy.solve(residuals, symbols, dict=True)
    inputs = tuple(sorted(relation.quantities - set(unknown)))
    found: dict[str, sympy.Expr] = {}
    let_go: tuple[str, ...] = ()
    why = ""
    for name, symbol in zip(unknown, symbols, strict=True):
        roots = list(dict.fromkeys(solution[symbol] for solution in solutions))
        if len(roots) > 1:
            root, others, reason = _stair_root(name, roots, inputs)
            let_go, why = let_go + others, why or reason
        else:
            root = roots[0]
        found[name] = root
    return found, let_go, why


def _as_written(relation: Relation, found: Mapping[str, sympy.Expr], name: str) -> sympy.Expr:
    """The root for a quantity as the relation itself has it, where it stands there by itself."""
    if len(relation.equations) == 1:
        (equation,), symbol = relation.equations, SYMBOLS[name]
        share = sympy.cancel(equation.lhs / symbol)
        if symbol not in share.free_symbols | equation.rhs.free_symbols:
            return equation.rhs / share
    return found[name]


@cache
def derive(target: str, given: tuple[str, ...], through: tuple[str, ...] = ()) -> Derivation:
    """One quantity as an expression in others, by chaining the relations.

    Parameters
    ----------
    target : str
        Name of the quantity wanted.
    given : tuple of str
        Names of the quantities that the expression may hold.
    through : tuple of str
        Names of the relations to use; all of them where left out.

    Returns
    -------
    Derivation
        The expression, simplified, with the relations it took and the roots let go.

    Raises
    ------
    LookupError
        The relations do not lead from ``given`` to ``target``.

    Notes
    -----
    Forward chaining: a relation that has as many unknowns as equations is solved for them.  Steps
    that turn out not to be needed for the target are left out of the answer.

    Examples
    --------
    >>> derive("unit_rise", ("total_rise", "risers")).expression
    total_rise/risers
    """
    known: dict[str, sympy.Expr] = {name: SYMBOLS[name] for name in given}
    steps: dict[str, tuple[Relation, tuple[str, ...], str]] = {}
    solved: dict[str, Solved] = {}
    pool = [item for item in RELATIONS if not through or item.name in through]
    progress = True
    while target not in known and progress:
        progress = False
        for relation in pool:
            unknown = sorted(relation.quantities - set(known))
            if not unknown or len(unknown) != len(relation.equations):
                continue
            found, let_go, why = _solve(relation, unknown)
            put_in = {SYMBOLS[key]: value for key, value in known.items()}
            known.update({name: root.subs(put_in) for name, root in found.items()})
            steps.update(dict.fromkeys(found, (relation, let_go, why)))
            solved.update(
                {
                    name: Solved(name, _as_written(relation, found, name), relation.name)
                    for name in found
                }
            )
            progress = True
            break
    if target not in known:
        raise LookupError(f"no way from {', '.join(given)} to {target}")
    needed: list[tuple[Relation, tuple[str, ...], str]] = []
    stack = [target]
    while stack:
        name = stack.pop()
        if name in steps and steps[name][0] not in [item[0] for item in needed]:
            needed.append(steps[name])
            stack.extend(sorted(steps[name][0].quantities))
    expression = _tidy(known[target])
    return Derivation(
        target,
        given,
        expression,
        tuple(item[0].name for item in reversed(needed)),
        tuple(root for item in needed for root in item[1]),
        "; ".join(dict.fromkeys(item[2] for item in needed if item[2])),
        frozenset(symbol.name for symbol in expression.free_symbols),
        _leading_to(target, solved),
    )


def _leading_to(target: str, solved: Mapping[str, Solved]) -> tuple[Solved, ...]:
    """The steps that a quantity takes, of all that were solved in some order."""
    needed, kept = {target}, []
    for step in reversed(list(solved.values())):
        if step.quantity in needed:
            kept.append(step)
            needed |= {symbol.name for symbol in step.expression.free_symbols}
    return tuple(reversed(kept))


def _tidy(expression: sympy.Expr) -> sympy.Expr:
    """The shortest of a few equivalent forms."""
    forms = [expression, sympy.simplify(expression), sympy.factor(expression),
             sympy.cancel(sympy.together(expression)), sympy.expand(expression)]  # fmt: skip
    return min(forms, key=lambda form: (sympy.count_ops(form), str(form)))


def exact_number(value: Fraction) -> sympy.Rational:
    """A fraction as a sympy rational, exactly."""
    return Rational(value.numerator, value.denominator)
