"""Formulas as trees: worked out, exactly where that can be, and written as text."""

from __future__ import annotations

import math
from collections.abc import Callable
from fractions import Fraction
from functools import reduce
from typing import Any

from stairs.numbers.surd import Roots, Surd
from stairs.relations.steps import Tree

Value = Fraction | Surd | float
"""A number: exact where it is a fraction or a surd."""

_OF_ANGLE: dict[str, Callable[[float], float]] = {
    "sin": lambda angle: math.sin(math.radians(angle)),
    "cos": lambda angle: math.cos(math.radians(angle)),
    "tan": lambda angle: math.tan(math.radians(angle)),
    "arctan": lambda ratio: math.degrees(math.atan(ratio)),
    "arccos": lambda ratio: math.degrees(math.acos(ratio)),
    "arcsin": lambda ratio: math.degrees(math.asin(ratio)),
}


def value_of_tree(tree: Tree, value_of: Callable[[Any], Value], roots: Roots) -> Value:
    """What a formula comes to [its unit, angles in degrees].

    Parameters
    ----------
    tree : list, int or leaf
        As in :mod:`stairs.relations.steps`.
    roots : Roots
        Makes the square roots, so that those of one number are one.

    Examples
    --------
    >>> three_four = ["sqrt", ["+", ["^", "rise", 2], ["^", "run", 2]]]
    >>> value_of_tree(three_four, {"rise": Fraction(3), "run": Fraction(4)}.get, Roots())
    Fraction(5, 1)
    """
    if isinstance(tree, int):
        return Fraction(tree)
    if not isinstance(tree, list):
        return value_of(tree)
    head = tree[0]
    if head == "^":
        base = value_of_tree(tree[1], value_of, roots)
        return reduce(_times, [base] * tree[2])
    parts = [value_of_tree(part, value_of, roots) for part in tree[1:]]
    if head == "+":
        return reduce(_plus, parts)
    if head == "*":
        return reduce(_times, parts)
    if head == "/":
        return _over(*parts)
    if head == "neg":
        return -parts[0]
    if head == "sqrt":
        if isinstance(parts[0], float):
            return math.sqrt(parts[0])
        return _exact(roots.sqrt(parts[0]))
    return _OF_ANGLE[head](float(parts[0]))


def _exact(number: Any) -> Value:
    return Fraction(number) if isinstance(number, int) else number


def _floats(one: Value, other: Value) -> bool:
    return isinstance(one, float) or isinstance(other, float)


def _plus(one: Value, other: Value) -> Value:
    return float(one) + float(other) if _floats(one, other) else _exact(one + other)  # type: ignore[operator]


def _times(one: Value, other: Value) -> Value:
    return float(one) * float(other) if _floats(one, other) else _exact(one * other)  # type: ignore[operator]


def _over(one: Value, other: Value) -> Value:
    return float(one) / float(other) if _floats(one, other) else _exact(one / other)  # type: ignore[operator]


SUM, PRODUCT, FRACTION, MEASURE, FUNCTION, POWER, ATOM = range(7)
"""How tightly the parts of a text hold together; a measure is a number with a blank and a unit."""

Text = tuple[str, int]
TIMES, MINUS, ROOT, SQUARED = "⋅", "−", "√", "²"


def text_of_tree(tree: Tree, text_of: Callable[[Any], Text]) -> str:
    """A formula as one line of text, with a bracket wherever it could be misread.

    ``text_of`` writes a leaf, and tells how tightly what it writes holds together.

    Examples
    --------
    >>> text_of_tree(["^", "rise", 2], {"rise": ('7 1/4"', FRACTION)}.get)
    '(7 1/4")²'
    """
    return _text(tree, text_of)[0]


def _text(tree: Tree, text_of: Callable[[Any], Text]) -> Text:
    if isinstance(tree, int):
        return str(tree), ATOM
    if not isinstance(tree, list):
        return text_of(tree)
    head = tree[0]
    if head == "+":
        told = ""
        for part in tree[1:]:
            taken = isinstance(part, list) and part[0] == "neg"
            text = _held(part[1], text_of, PRODUCT) if taken else _held(part, text_of, SUM)
            sign = f"{MINUS} " if taken else "+ "
            if told:
                if text.startswith("-"):
                    text = f"({text})"
                told += f" {sign}{text}"
            else:
                told = f"{MINUS}{text}" if taken else text
        return told, SUM
    if head == "neg":
        return MINUS + _held(tree[1], text_of, PRODUCT), SUM
    if head == "*":
        return f" {TIMES} ".join(_held(part, text_of, MEASURE) for part in tree[1:]), PRODUCT
    if head == "/":
        above, below = _held(tree[1], text_of, FUNCTION), _held(tree[2], text_of, FUNCTION)
        return f"{above}/{below}", PRODUCT
    if head == "^":
        power = SQUARED if tree[2] == 2 else f"^{tree[2]}"
        return _held(tree[1], text_of, ATOM) + power, POWER
    if head == "sqrt":
        return ROOT + _bracketed(tree[1], text_of), FUNCTION
    text, tight = _text(tree[1], text_of)
    return (f"{head} {text}" if tight >= ATOM else f"{head}({text})"), FUNCTION


def _held(tree: Tree, text_of: Callable[[Any], Text], least: int) -> str:
    text, tight = _text(tree, text_of)
    return text if tight >= least and not (least and text.startswith("-")) else f"({text})"


def _bracketed(tree: Tree, text_of: Callable[[Any], Text]) -> str:
    text, tight = _text(tree, text_of)
    return text if tight >= ATOM else f"({text})"
