"""Several results in one chain, so that what they have in common is worked out once."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from stairs.working.chain import Builder, Chain, Leaf, Line, leading_to
from stairs.working.results import Result


class Part(Struct, frozen=True):
    """A result, its leaf, and the lines that it takes beyond those of the parts before it."""

    result: Result
    leaf: Leaf
    lines: tuple[Line, ...]


def chapter_of(results: Sequence[Result]) -> tuple[Chain, tuple[Part, ...]]:
    """The chain of all of them, and what each adds to it."""
    builder, parts = Builder(), []
    for result in results:
        before = len(builder.lines)
        leaf = result.leaf(builder)
        parts.append(Part(result, leaf, tuple(builder.lines[before:])))
    used: set[int] = set()
    for part in parts:
        used |= leading_to(part.leaf).union(*map(leading_to, part.lines))
    givens = tuple(one for one in builder.givens if id(one) in used)
    chain = Chain(givens, tuple(builder.lines), parts[-1].leaf)
    return chain, tuple(parts)
