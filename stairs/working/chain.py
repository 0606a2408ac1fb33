"""The chain of lines that leads from what was measured to a result."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction
from typing import Any

from msgspec import Struct

from stairs.numbers.surd import Roots
from stairs.relations.exact import Amount, Derived
from stairs.relations.quantities import QUANTITIES, RATIO
from stairs.relations.steps import Step, Tree, steps
from stairs.working.formula import Value, value_of_tree
from stairs.working.told_job import Reading, Told


class Leaf(Struct, frozen=True, eq=False):
    """A letter with its value: a measurement, or what a line of the chain gives.

    ``value`` is a fraction or a surd where it is exact, in the job's unit or in degrees.
    """

    symbol: str
    meaning: str
    unit: str
    value: Value


class Given(Leaf, frozen=True, eq=False):
    """What the chain begins with, and where it is from: a key of the job file, or in words."""

    source: str = ""


class Line(Leaf, frozen=True, eq=False):
    """One line: the letter is what the formula gives, by these relations.

    ``formula`` is a tree as in :mod:`stairs.relations.steps` with leaves for names; ``why`` says in
    words what no relation says, and ``ends`` whether nothing is worked on with what comes out.
    """

    formula: Tree = 0
    relations: tuple[str, ...] = ()
    why: str = ""
    ends: bool = False


class Chain(Struct, frozen=True):
    """What is given, the lines in the order of working, and the leaf that was asked for.

    ``short`` has the lines by which the result comes out at once, where there are such.
    """

    givens: tuple[Given, ...]
    lines: tuple[Line, ...]
    result: Leaf
    short: tuple[Line, ...] = ()


_LEVEL = {
    "unit_slope": Fraction(1), "cosine": Fraction(1), "sine": Fraction(0), "rake": Fraction(0),
}  # fmt: skip
"""What is known of a level run, which has no rake."""

_OF_SURVEY, _MEAN = ("unit_rise", "unit_run"), "the mean of all steps"

_ROUNDED = 10**6  # what has more parts than that is no measurement
_ELSEWHERE = "worked out from the lean of the posts, with rounding"

_SAID = {
    ("flush_tread", Fraction(0)): "the upper landing takes the place of the last tread",
    ("flush_tread", Fraction(1)): "the last tread is flush with the upper landing",
    ("unit_rise", Fraction(0)): "a level run has no rise",
    ("unit_run", Fraction(1)): "in any run",
    ("pattern_shift", Fraction(0)): "the row of holes stays where it is",
    ("surface", Fraction(0)): "the post stands on the surface that heights count from",
}
"""What a number says that is no measurement."""


def chain_of(amount: Amount | int, name: str) -> Chain:
    """The chain that leads to an amount.

    Parameters
    ----------
    amount : Fraction or Derived
        Out of a section that was solved with told numbers.
    """
    builder = Builder()
    result = builder.leaf(amount, name)
    long, short = len(builder.lines), result
    form = _form_of(amount)
    if form is not None and form[0] in steps().short and not builder.is_level(dict(form[1])):
        short = builder.expand(steps().short[form[0]], dict(form[1]), result)[-1]
    used = leading_to(result) | leading_to(short)
    lines = [line for line in builder.lines[:long] if id(line) in used]
    own = [line for line in builder.lines[long:] if id(line) in used]
    givens = [one for one in builder.givens if id(one) in used]
    return Chain(tuple(givens), tuple(lines), result, tuple(own))


def leading_to(leaf: Tree) -> set[int]:
    """A leaf and all that it comes from, by their ``id``."""
    if isinstance(leaf, list):
        return set().union(*map(leading_to, leaf[1:]))
    if not isinstance(leaf, Leaf):
        return set()
    return {id(leaf)} | (leading_to(leaf.formula) if isinstance(leaf, Line) else set())


def _form_of(amount: Amount | int) -> tuple[str, tuple[tuple[str, Any], ...]] | None:
    if isinstance(amount, Derived):
        return amount.form, amount.arguments
    if isinstance(amount, Told) and amount.made[0] == "form":
        return amount.made[1], amount.made[2]
    return None


def _rake_behind(arguments: Mapping[str, Any]) -> Amount | None:
    """The rake that a rise or a run was worked out of, if it was; it is none to be worked out."""
    for name in ("unit_run", "unit_rise"):
        form = _form_of(arguments.get(name, 0))
        if form is not None and "rake" in dict(form[1]):
            rake: Amount = dict(form[1])["rake"]
            return rake
    return None


class Builder:
    """Leaves that were made so far; the same step at the same leaves is made once."""

    def __init__(self) -> None:
        self.givens: list[Given] = []
        self.lines: list[Line] = []
        self._made: dict[Any, Leaf] = {}
        self._taken: set[str] = set()
        self._roots = Roots()

    def leaf(self, amount: Amount | int, name: str) -> Leaf:
        """The leaf of an amount that is called so; its lines are added where it needs some."""
        form = _form_of(amount)
        if form is not None:
            return self.expand(steps().forms[form[0]], dict(form[1]))[-1]
        if isinstance(amount, Told) and amount.made[0] == "read":
            return self._reading(amount.made[1], amount)
        if isinstance(amount, Told) and amount.made[0] == "called":
            return self._called(amount)
        if isinstance(amount, Told):
            return self._line(name, self.operation(amount), ())
        assert isinstance(amount, Fraction | int)
        return self._constant(name, Fraction(amount))

    def is_level(self, arguments: Mapping[str, Any]) -> bool:
        """Whether a closed form is asked for a level run: no rise in a run of 1."""
        rise = arguments.get("unit_rise")
        return rise is not None and not isinstance(rise, Told | Derived) and rise == 0

    def expand(
        self, form: Sequence[Step], arguments: Mapping[str, Any], again: Leaf | None = None
    ) -> list[Leaf]:
        """The leaves of the steps of a closed form; the last has the letter of one that it is
        again, by another way."""
        scope: dict[str, Leaf] = {}
        level = self.is_level(arguments)
        made = []
        for step in form:
            known = _rake_behind(arguments) if step.quantity == "rake" else None
            if level and step.quantity in _LEVEL:
                leaf: Leaf = self._level(step.quantity)
            elif known is not None:
                leaf = self.leaf(known, "rake")
            else:
                tree = self._put_in(step.formula, scope, arguments)
                same = again if step is form[-1] else None
                leaf = self._line(step.quantity, tree, step.relations, same)
            scope[step.quantity] = leaf
            made.append(leaf)
        return made

    def _put_in(self, tree: Tree, scope: dict[str, Leaf], arguments: Mapping[str, Any]) -> Tree:
        if isinstance(tree, str):
            if tree not in scope:
                scope[tree] = self.leaf(arguments[tree], tree)
            return scope[tree]
        if isinstance(tree, list):
            return [tree[0], *(self._put_in(part, scope, arguments) for part in tree[1:])]
        return tree

    def operation(self, amount: Any) -> Tree:
        """What was done by plain arithmetic, as a tree."""
        if not isinstance(amount, Told):
            if isinstance(amount, Derived):
                return self.leaf(amount, "")
            value = Fraction(amount)
            if value < 0:
                return ["neg", self.operation(-value)]
            if value.denominator == 1:
                return value.numerator
            return ["/", value.numerator, value.denominator]
        kind, *parts = amount.made
        if kind in ("read", "form", "called"):
            return self.leaf(amount, "")
        one, other = map(self.operation, parts)
        if kind == "add":
            return _sum(one, other)
        if kind == "sub":
            return _sum(one, ["neg", other])
        if kind == "mul":
            return _product(one, other)
        return ["/", one, other]

    def given(self, symbol: str, meaning: str, unit: str, value: Value, source: str = "") -> Leaf:
        """A number that the chain begins with."""
        return self._given(
            ("given", symbol, meaning, value),
            lambda: Given(self._letter(symbol), meaning, unit, value, source),
        )

    def line(self, symbol: str, unit: str, tree: Tree, why: str, ends: bool = False) -> Leaf:
        """A line of its own, and what it says in words."""
        value = value_of_tree(tree, lambda leaf: leaf.value, self._roots)
        line = Line(self._letter(symbol), why, unit, value, formula=tree, why=why, ends=ends)
        self.lines.append(line)
        return line

    # ------------------------------------------------------------------ leaves

    def _given(self, key: Any, given: Callable[[], Given]) -> Leaf:
        if key not in self._made:
            made = given()
            self._made[key] = made
            self.givens.append(made)
        return self._made[key]

    def _reading(self, reading: Reading, value: Fraction) -> Leaf:
        return self._given(
            ("read", reading),
            lambda: Given(
                self._letter(reading.symbol), reading.meaning, reading.unit, Fraction(value),
                reading.key,
            ),
        )  # fmt: skip

    def _constant(self, name: str, value: Fraction) -> Leaf:
        quantity = QUANTITIES[name]
        meaning = _SAID.get((name, value), quantity.meaning)
        source = _ELSEWHERE if value.denominator > _ROUNDED else ""
        return self._given(
            ("constant", name, value),
            lambda: Given(self._letter(quantity.symbol), meaning, quantity.unit, value, source),
        )

    def _level(self, name: str) -> Leaf:
        quantity = QUANTITIES[name]
        unit = RATIO if name == "unit_slope" else quantity.unit
        return self._given(
            ("level", name),
            lambda: Given(
                self._letter(quantity.symbol),
                "of a level run, which has no rake",
                unit,
                _LEVEL[name],
            ),
        )

    def _called(self, amount: Any) -> Leaf:
        """What has a letter and a line of its own."""
        _, reading, inner = amount.made
        key = "called", reading
        if key not in self._made:
            tree = self.operation(inner)
            self._made[key] = self._new_line(
                self._letter(reading.symbol), reading.meaning, reading.unit, tree, ()
            )
        return self._made[key]

    def _line(
        self, name: str, tree: Tree, relations: tuple[str, ...], again: Leaf | None = None
    ) -> Leaf:
        if isinstance(tree, Leaf) and not relations:
            return tree
        key = name, _frozen(tree), again is not None
        if key not in self._made:
            quantity, meaning = QUANTITIES[name], QUANTITIES[name].meaning
            if name in _OF_SURVEY and not relations and _is_list(tree, "/"):
                on_line = isinstance(tree[1], Line)
                meaning = "run in which the rails' line climbs as much" if on_line else _MEAN
            symbol = self._letter(quantity.symbol) if again is None else again.symbol
            self._made[key] = self._new_line(symbol, meaning, quantity.unit, tree, relations)
        return self._made[key]

    def _new_line(
        self, symbol: str, meaning: str, unit: str, tree: Tree, relations: tuple[str, ...]
    ) -> Leaf:
        value = value_of_tree(tree, lambda leaf: leaf.value, self._roots)
        line = Line(symbol, meaning, unit, value, formula=tree, relations=relations)
        self.lines.append(line)
        return line

    def _letter(self, symbol: str) -> str:
        """A letter of its own: with a prime where the chain has that letter already."""
        while symbol in self._taken:
            symbol += "′"
        self._taken.add(symbol)
        return symbol


def _frozen(tree: Tree) -> Any:
    if isinstance(tree, list):
        return tuple(map(_frozen, tree))
    return id(tree) if isinstance(tree, Leaf) else tree


def _sum(one: Tree, other: Tree) -> Tree:
    """A sum without noughts, of as many terms as it has."""
    terms = []
    for part in (one, other):
        if part in (0, ["neg", 0]):
            continue
        if isinstance(part, list) and part[0] == "+":
            terms += part[1:]
        elif isinstance(part, list) and part[0] == "neg" and _is_list(part[1], "neg"):
            terms.append(part[1][1])
        else:
            terms.append(part)
    if not terms:
        return 0
    return terms[0] if len(terms) == 1 else ["+", *terms]


def _is_list(tree: Tree, head: str) -> bool:
    return isinstance(tree, list) and tree[0] == head


def _product(one: Tree, other: Tree) -> Tree:
    if 0 in (one, other):
        return 0
    for part, rest in ((one, other), (other, one)):
        if part == ["neg", 1]:
            return ["neg", rest]
        if not isinstance(part, Leaf | list) and part == 1:
            return rest
    return ["*", one, other]
