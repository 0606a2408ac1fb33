"""Writes the steps of the closed forms: what a person works out one after the other on paper.

Called by :mod:`stairs.relations.derivation`.  Each step is a quantity in others, out of one
relation, as a tree of plain lists that is read without computer algebra; angles are degrees in it.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

import sympy
from sympy import pi

from stairs.relations.chaining import Derivation, Solved
from stairs.relations.equations import RELATIONS, SYMBOLS
from stairs.relations.short_forms import short_form

_FUNCTIONS = {"tan", "sin", "cos"}
_INVERSE = {"atan", "acos", "asin"}
_RAKE = ("hypotenuse of a step", "cosine of the rake", "sine of the rake")
_CORNER = "height over the corner"


def tree_of(expression: sympy.Expr) -> Any:
    """An expression as nested lists: ``["+", …]``, ``["*", …]``, ``["/", a, b]``, ``["neg", a]``,
    ``["sqrt", a]``, ``["^", a, n]`` and the functions of an angle in degrees.

    Examples
    --------
    >>> tree_of(SYMBOLS["pin_slope"] - 2 * SYMBOLS["rail_setback"])
    ['+', 'pin_slope', ['neg', ['*', 2, 'rail_setback']]]
    """
    if expression.is_Symbol:
        return expression.name
    if expression.is_Integer:
        return int(expression) if expression >= 0 else ["neg", -int(expression)]
    if expression.is_Add:
        return _sum(expression)
    if expression.is_Mul or expression.is_Rational or (expression.is_Pow and expression.exp < 0):
        return _product(expression)
    if expression.is_Pow:
        if expression.exp == sympy.Rational(1, 2):
            return ["sqrt", tree_of(expression.base)]
        return ["^", tree_of(expression.base), int(expression.exp)]
    name = expression.func.__name__
    if name not in _FUNCTIONS:
        raise ValueError(f"no way to write {expression}")
    return [name, tree_of(sympy.expand(expression.args[0] * 180 / pi))]


def _sum(expression: sympy.Expr) -> Any:
    """What is added first, and halves of several things as half of their sum."""
    terms = expression.as_ordered_terms()
    halves = [term for term in terms if term.as_coeff_Mul()[0].q == 2]
    if len(halves) > 1:
        terms = [term for term in terms if term not in halves]
        whole = 2 * sympy.Add(*halves)
        lost = all(term.could_extract_minus_sign() for term in halves)
        half = ["/", tree_of(-whole if lost else whole), 2]
        if not terms and not lost:
            return half
        trees = [*map(tree_of, terms), ["neg", half] if lost else half]
    else:
        trees = [*map(tree_of, terms)]
    return trees[0] if len(trees) == 1 else ["+", *sorted(trees, key=_is_negative)]


def _is_negative(tree: Any) -> bool:
    return isinstance(tree, list) and tree[0] == "neg"


def _product(expression: sympy.Expr) -> Any:
    number, rest = expression.as_coeff_Mul()
    if pi in rest.args or pi**-1 in rest.args:  # an angle, worked out in radians
        inverse = next(one for one in rest.args if one.func.__name__ in _INVERSE)
        left = sympy.cancel(number * rest / inverse * pi / 180)
        found = ["arc" + inverse.func.__name__[1:], tree_of(inverse.args[0])]
        return found if left == 1 else _with(left, found)
    over: list[sympy.Expr] = []
    under: list[sympy.Expr] = []
    for one in sympy.Mul.make_args(rest):
        base, power = one.as_base_exp()
        (under if power < 0 else over).append(base ** abs(power))
    if abs(number).p != 1:
        over.insert(0, sympy.Integer(abs(number).p))
    if number.q != 1:
        under.insert(0, sympy.Integer(number.q))
    over = [one for one in over if one != 1]
    tree: Any = 1 if not over else tree_of(over[0]) if len(over) == 1 else [
        "*", *map(tree_of, over)]  # fmt: skip
    if under:
        below = tree_of(under[0]) if len(under) == 1 else ["*", *map(tree_of, under)]
        tree = ["/", tree, below]
    return ["neg", tree] if number < 0 else tree


def _with(number: sympy.Expr, tree: Any) -> Any:
    positive = tree if abs(number) == 1 else ["*", tree_of(abs(number)), tree]
    return ["neg", positive] if number < 0 else positive


def _shortest(expression: sympy.Expr) -> sympy.Expr:
    """As it stands, or multiplied out where that is shorter."""
    return min((expression, sympy.expand(expression)), key=sympy.count_ops)


def steps_of_form(derivation: Derivation) -> list[list[Any]]:
    """The steps of one closed form: quantity, tree and relations, in the order of working.

    Where the relations hold more than one unknown at once, or something given falls out of them,
    the short form takes their place.
    """
    several = {one.name for one in RELATIONS if len(one.equations) > 1}
    given = set(derivation.given)
    lost = given - derivation.needs
    steps = [_step(step) for step in derivation.steps]
    together = bool(lost or several & {step.relation for step in derivation.steps})
    if not together and len(steps) > 1:
        return steps
    short = short_steps(derivation)
    return short if short and (together or _size(short) < _size(steps)) else steps


def _size(tree: Any) -> int:
    """How many letters and signs a tree has; the rake, which any flight has, counts nothing."""
    if isinstance(tree, list):
        if tree and tree[0] == "rake" and len(tree) > 1:
            return 0
        return sum(map(_size, tree))
    return 1


def _step(step: Solved) -> list[Any]:
    return [step.quantity, tree_of(_shortest(step.expression)), [step.relation]]


def short_steps(derivation: Derivation) -> list[list[Any]]:
    """The short form as steps: the rake, and the height over a corner where it stands in it; none
    where no short form was found."""
    short = short_form(derivation)
    if short is None:
        return []
    through = [name for name in derivation.through if name not in _RAKE]
    steps: list[list[Any]] = []
    corner = next(one for one in RELATIONS if one.name == _CORNER)
    slope = sympy.tan(SYMBOLS["rake"] * pi / 180)
    height = SYMBOLS["bottom_gap"] + SYMBOLS["corner_base"] * slope
    named = short.subs(height, SYMBOLS["corner_height"])
    rake = sympy.atan(SYMBOLS["unit_rise"] / SYMBOLS["unit_run"]) * 180 / pi
    if named.has(SYMBOLS["rake"]):
        steps.append(["rake", tree_of(rake), ["slope of the nosing line"]])
    if named != short:
        (equation,) = corner.equations
        whole = sympy.expand(equation.rhs / SYMBOLS["unit_run"])
        steps.append(["corner_height", tree_of(whole), [_CORNER]])
    return [*steps, [derivation.target, tree_of(named), through]]


def steps_text(derivations: Sequence[tuple[str, Derivation]]) -> str:
    """The text of ``steps.json``: relations in words, steps and short form of every closed form."""
    relations = {one.name: [one.meaning, one.source] for one in RELATIONS}
    forms, short = {}, {}
    for name, derivation in derivations:
        forms[name] = steps_of_form(derivation)
        found = short_steps(derivation)
        own = [step for step in forms[name] if step[2][0] not in _RAKE]
        if found and found != forms[name] and len(own) > 1:
            short[name] = found
    return _lines({"relations": relations, "forms": forms, "short": short})


def _lines(tables: dict[str, dict[str, Any]]) -> str:
    """JSON with one entry of each table to a line, and one step of each entry to a line."""
    parts = []
    for title, table in tables.items():
        rows = []
        for name, entry in table.items():
            if title == "relations":
                told = json.dumps(entry, ensure_ascii=False)
            else:
                steps = ",\n   ".join(json.dumps(step, ensure_ascii=False) for step in entry)
                told = f"[\n   {steps}]"
            rows.append(f"  {json.dumps(name)}: {told}")
        parts.append(f'"{title}": {{\n' + ",\n".join(rows) + "\n}")
    return "{\n" + ",\n".join(parts) + "\n}\n"
