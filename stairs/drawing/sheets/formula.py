"""Formulas as they are set on paper: fractions with a bar, roots under theirs, tall brackets.

A mixed number is set as its whole and a small fraction with a bar, so that 7 1/4 is neither 71/4
nor 7 times 1/4, and stands in brackets before any power.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import Any

from msgspec import Struct

from stairs.drawing.paper.lettering import SMALL, measure, width_of
from stairs.drawing.paper.primitives import FINE, Primitive, Text, line, moved, path
from stairs.working.formula import ATOM, FUNCTION, MEASURE, MINUS, PRODUCT, SUM, TIMES

GROUP = "note"
_AIR = 0.35  # between a bar and what stands over and under it, in heights of a letter
_TOKEN = re.compile(r"^(-?)(?:(\d+) )?(\d+)/(\d+)(.*)$")


class Laid(Struct, frozen=True):
    """Something set on a base line that begins at 0, 0: its room and what is drawn [mm]."""

    width: float
    over: float
    under: float
    drawn: tuple[Primitive, ...]

    def at(self, x: float, y: float) -> list[Primitive]:
        """What is drawn, with its base line beginning there."""
        return [moved(one, x, y) for one in self.drawn]


LeafText = Callable[[Any], tuple[str, int]]
"""The text of a leaf, and how tightly it holds together."""


def word(content: str, height: float) -> Laid:
    """A piece of text on one line; a fraction in it is set with a bar."""
    found = _TOKEN.match(content)
    if found is None:
        room = measure(content, height)
        text = Text(content, (0.0, 0.0), height, GROUP)
        return Laid(width_of(content, height), room.over, room.under, (text,))
    sign, whole, above, below, unit = found.groups()
    small = max(SMALL, 0.72 * height)
    parts = [over_bar(word(above, small), word(below, small), height)]
    if sign or whole:
        parts.insert(0, word(sign + (whole or ""), height))
    if unit:
        parts.append(word(unit.strip(), height))
    return beside(parts, 0.12 * height)


def beside(parts: Sequence[Laid], between: float = 0.0) -> Laid:
    """One after the other on one base line."""
    x, drawn = 0.0, []
    for part in parts:
        drawn += part.at(x, 0.0)
        x += part.width + between
    over, under = (max((getattr(one, side) for one in parts), default=0.0)
                   for side in ("over", "under"))  # fmt: skip
    return Laid(max(x - between, 0.0), over, under, tuple(drawn))


def over_bar(above: Laid, below: Laid, height: float) -> Laid:
    """A fraction, its bar at half the height of a letter."""
    wide, air, bar = max(above.width, below.width) + 0.5 * height, _AIR * height, 0.42 * height
    up, down = bar + air + above.under, bar - air - below.over
    drawn = [
        *above.at((wide - above.width) / 2, up),
        *below.at((wide - below.width) / 2, down),
        line((0.1 * height, bar), (wide - 0.1 * height, bar), GROUP, FINE),
    ]
    return Laid(wide, up + above.over, -down + below.under, tuple(drawn))


def under_root(inner: Laid, height: float) -> Laid:
    """A root with its bar over all that it is taken of."""
    top, low, tick = inner.over + 0.3 * height, -inner.under, 0.75 * height
    wide = tick + inner.width + 0.15 * height
    bends = (
        (0.05 * height, low + 0.45 * (top - low)),
        (0.25 * height, low + 0.52 * (top - low)),
        (0.45 * height, low),
        (tick - 0.05 * height, top),
        (wide, top),
    )
    drawn = (*inner.at(tick + 0.08 * height, 0.0), path(bends, GROUP, FINE))
    return Laid(wide, top + 0.1 * height, inner.under, drawn)


def bracketed(inner: Laid, height: float) -> Laid:
    """In round brackets as tall as what they hold."""
    if inner.over + inner.under <= 1.6 * height:
        return beside([word("(", height), inner, word(")", height)])
    top, low, deep = inner.over + 0.15 * height, -inner.under - 0.15 * height, 0.4 * height
    wide = inner.width + 2 * deep
    left = _curve(0.85 * deep, 0.1 * deep, low, top)
    right = tuple((wide - x, y) for x, y in left)
    drawn = (*inner.at(deep, 0.0), path(left, GROUP, FINE), path(right, GROUP, FINE))
    return Laid(wide, top, -low, drawn)


def _curve(edge: float, deepest: float, low: float, top: float) -> tuple[tuple[float, float], ...]:
    """A bracket's bow in short straight pieces."""
    shares = [k / 8 for k in range(9)]
    return tuple(
        (edge - (edge - deepest) * (1 - (2 * one - 1) ** 2), low + one * (top - low))
        for one in shares
    )


def raised(base: Laid, power: str, height: float) -> Laid:
    """With a power at its upper right."""
    small = word(power, max(SMALL, 0.7 * height))
    lift = max(base.over - 0.45 * height, 0.55 * height)
    drawn = (*base.drawn, *small.at(base.width + 0.08 * height, lift))
    return Laid(
        base.width + 0.08 * height + small.width, max(base.over, lift + small.over),
        base.under, drawn,
    )  # fmt: skip


def formula(tree: Any, leaf: LeafText, height: float) -> Laid:
    """A formula on one line; trees as in :mod:`stairs.working.formula`."""
    return _laid(tree, leaf, height)[0]


def terms(tree: Any, leaf: LeafText, height: float) -> list[Laid]:
    """A formula in the pieces between which a line may be broken: the terms of its sum."""
    if not (isinstance(tree, list) and tree[0] == "+"):
        return [formula(tree, leaf, height)]
    pieces = []
    for place, part in enumerate(tree[1:]):
        taken = isinstance(part, list) and part[0] == "neg"
        laid, tight = _laid(part[1] if taken else part, leaf, height)
        if (taken and tight <= SUM) or (place and _is_signed(part[1] if taken else part, leaf)):
            laid = bracketed(laid, height)
        sign = MINUS if taken else "+"
        if place or taken:
            laid = beside([word(sign, height), laid], 0.4 * height)
        pieces.append(laid)
    return pieces


def _is_signed(tree: Any, leaf: LeafText) -> bool:
    return not isinstance(tree, list | int) and leaf(tree)[0].startswith("-")


def _laid(tree: Any, leaf: LeafText, height: float) -> tuple[Laid, int]:
    if isinstance(tree, int):
        return word(str(tree), height), ATOM
    if not isinstance(tree, list):
        text, tight = leaf(tree)
        return word(text, height), tight
    head, space = tree[0], 0.4 * height
    if head == "+":
        return beside(terms(tree, leaf, height), space), SUM
    if head == "neg":
        inner = _held(tree[1], leaf, height, PRODUCT)
        return beside([word(MINUS, height), inner], 0.15 * height), SUM
    if head == "*":
        parts: list[Laid] = []
        for part in tree[1:]:
            parts += [word(TIMES, height)] if parts else []
            parts.append(_held(part, leaf, height, MEASURE))
        return beside(parts, space), PRODUCT
    if head == "/":
        above, below = (_laid(part, leaf, height)[0] for part in tree[1:])
        return over_bar(above, below, height), MEASURE
    if head == "^":
        return raised(_held(tree[1], leaf, height, ATOM), str(tree[2]), height), FUNCTION
    if head == "sqrt":
        return under_root(_laid(tree[1], leaf, height)[0], height), FUNCTION
    inner = _held(tree[1], leaf, height, ATOM)
    return beside([word(head, height), inner], 0.3 * height), FUNCTION


def _held(tree: Any, leaf: LeafText, height: float, least: int) -> Laid:
    laid, tight = _laid(tree, leaf, height)
    return bracketed(laid, height) if tight < least or _is_signed(tree, leaf) else laid
