"""How each closed form is worked out on paper: its steps, and the facts behind them.

They stand in ``steps.json``, which ``python -m stairs.relations.derivation`` writes from the
equations, and are read without computer algebra.
"""

from __future__ import annotations

from functools import cache
from importlib import resources
from typing import Any

import msgspec

Tree = Any
"""A number, the name of a quantity, or a list of an operation and what it is done to."""


class Step(msgspec.Struct, frozen=True, array_like=True):
    """One quantity in others, and the relations that say so."""

    quantity: str
    formula: Tree
    relations: tuple[str, ...]


class Fact(msgspec.Struct, frozen=True, array_like=True):
    """What a relation says, in words, and where it is from."""

    meaning: str
    source: str


class Steps(msgspec.Struct, frozen=True):
    """Relations by name; steps by closed form; the short form of those that have one."""

    relations: dict[str, Fact]
    forms: dict[str, tuple[Step, ...]]
    short: dict[str, tuple[Step, ...]]


@cache
def steps() -> Steps:
    """All that is known of the steps.

    Examples
    --------
    >>> [step.quantity for step in steps().forms["rail_length"]]
    ['unit_slope', 'cosine', 'pin_slope', 'rail_length']
    """
    text = resources.files("stairs.relations").joinpath("steps.json").read_bytes()
    return msgspec.json.decode(text, type=Steps)
