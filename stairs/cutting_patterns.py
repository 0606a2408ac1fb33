"""Patterns: every set of pieces that one stock rail can hold, and the best choice among them.

What a stock rail is cut into is a pattern: how many pieces of each kind, and where they lie.  A
cutting plan takes patterns until every piece is had.  Few pieces are settled by going through all
that may be left to cut; more of them by integer programming (HiGHS, through scipy), with a bound
that proves the choice.  Where there are too many patterns to list, the same choice is made by the
flow of :mod:`stairs.cutting_network`.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from functools import cache

from msgspec import Struct

from stairs.cutting_network import (
    INTEGER_PROGRAMMING,
    SEARCH,
    Choice,
    Kind,
    Stock,
    first_place,
    room_between,
    solve_integers,
)

MOST_PATTERNS = 40_000
"""Beyond so many patterns they are not listed."""

MOST_STATES = 1_500
"""Up to so many states of what is left to cut, all are gone through."""

MOST_STEPS = 60_000
"""And up to so many pairs of a state and a pattern."""


class Pattern(Struct, frozen=True):
    """What one stock rail is cut into.

    Parameters
    ----------
    stock : int
        Which stock length: the shortest that holds these pieces.
    places : tuple of tuple of int
        Kind and hole of each piece, from the lower end up.
    counts : tuple of int
        How many of each kind.
    """

    stock: int
    places: tuple[tuple[int, int], ...]
    counts: tuple[int, ...]


def patterns_of(
    stocks: Sequence[Stock],
    kinds: Sequence[Kind],
    counts: Sequence[int],
    pitch: int,
    most: int = MOST_PATTERNS,
) -> tuple[Pattern, ...] | None:
    """Every set of pieces that a stock rail can hold; None where there are more than ``most``.

    Parameters
    ----------
    stocks : sequence of Stock
        Shortest first.
    kinds : sequence of Kind
        The pieces.
    counts : sequence of int
        How many of each are wanted; no pattern has more.
    pitch : int
        Between holes.
    most : int
        When to give up.

    Notes
    -----
    Of all orders in which one set of pieces can lie, only the one that ends lowest is kept for each
    last piece: whatever goes on from a higher end goes on from a lower one.
    """
    found: dict[tuple[int, ...], Pattern] = {}
    seen = 0
    for number, stock in enumerate(stocks):
        layer = {tuple([0] * len(kinds)): {-1: (0, ())}}
        while layer:
            following: dict[tuple[int, ...], dict[int, tuple[int, tuple]]] = {}
            for held, ways in layer.items():
                for kind, one in enumerate(kinds):
                    if held[kind] >= counts[kind]:
                        continue
                    more = (*held[:kind], held[kind] + 1, *held[kind + 1 :])
                    for last, (end, places) in ways.items():
                        free = 0 if last < 0 else end + room_between(kinds[last], one)
                        place = first_place(stock, one, pitch, free)
                        if place is None:
                            continue
                        ends = following.setdefault(more, {})
                        new_end = place[1] + one.length
                        if kind not in ends or new_end < ends[kind][0]:
                            ends[kind] = (new_end, (*places, (kind, place[0])))
            seen += len(following)
            if seen > most:
                return None
            for held, ways in following.items():
                if held not in found:
                    found[held] = Pattern(number, min(ways.values())[1], held)
            layer = following
    return tuple(found.values())


def search(
    patterns: Sequence[Pattern], stocks: Sequence[Stock], counts: Sequence[int]
) -> Choice | None:
    """The best choice of patterns by going through all that may be left to cut.

    Parameters
    ----------
    patterns : sequence of Pattern
        All there are.
    stocks : sequence of Stock
        Shortest first.
    counts : sequence of int
        How many of each kind are wanted.

    Returns
    -------
    Choice or None
        None where there are too many states to go through.
    """
    states = math.prod(count + 1 for count in counts)
    if states > MOST_STATES or states * len(patterns) > MOST_STEPS:
        return None
    with_kind = [
        [pattern for pattern in patterns if pattern.counts[kind]] for kind in range(len(counts))
    ]

    @cache
    def best(left: tuple[int, ...]) -> tuple[int, int, Pattern | None]:
        """Length, number of stock rails and first pattern for what is left."""
        first = next((kind for kind, count in enumerate(left) if count), None)
        if first is None:
            return 0, 0, None
        options = []
        for pattern in with_kind[first]:
            rest = tuple(a - b for a, b in zip(left, pattern.counts, strict=True))
            if min(rest) >= 0:
                length, number, _ = best(rest)
                options.append((length + stocks[pattern.stock].length, number + 1, pattern))
        return min(options, key=lambda option: option[:2])

    left = tuple(counts)
    bound, count_bound, pattern = best(left)
    rails = []
    while pattern is not None:
        rails.append((pattern.stock, pattern.places))
        left = tuple(a - b for a, b in zip(left, pattern.counts, strict=True))
        pattern = best(left)[2]
    return Choice(tuple(rails), bound, count_bound, SEARCH)


def choose_patterns(
    patterns: Sequence[Pattern], stocks: Sequence[Stock], counts: Sequence[int]
) -> Choice | None:
    """The best choice of patterns by integer programming; None where none is found in time.

    Parameters
    ----------
    patterns, stocks, counts
        As for :func:`search`.

    Notes
    -----
    Least length: minimise ``sum(l_i x_i)`` with ``sum(a_ik x_i) >= d_k`` and every ``x_i`` a whole
    number, where pattern ``i`` takes the stock length ``l_i`` and holds ``a_ik`` pieces of kind
    ``k``, of which ``d_k`` are wanted.  A piece too many is left out of its rail again.
    """
    rows, columns, values = [], [], []
    for column, pattern in enumerate(patterns):
        for kind, count in enumerate(pattern.counts):
            if count:
                rows.append(kind)
                columns.append(column)
                values.append(count)
    solved = solve_integers(
        entries=(rows, columns, values),
        low=counts,
        high=None,
        lengths=[stocks[pattern.stock].length for pattern in patterns],
        rails=[1] * len(patterns),
        most=[max(counts)] * len(patterns),
    )
    if solved is None:
        return None
    amounts, bound, count_bound = solved
    wanted = Counter(dict(enumerate(counts)))
    rails = []
    for pattern, amount in zip(patterns, amounts, strict=True):
        for _ in range(amount):
            places = []
            for kind, hole in pattern.places:
                if wanted[kind]:
                    wanted[kind] -= 1
                    places.append((kind, hole))
            rails.append((pattern.stock, tuple(places)))
    return Choice(tuple(rails), bound, count_bound, INTEGER_PROGRAMMING)
