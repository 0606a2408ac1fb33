"""The best way through punched stock rails: which pieces one after the other, in how many rails.

A piece lies where its holes fall on the stock's, so from the end of one piece there is one first
place for each piece that may follow.  The ends that can be reached, with the cut that was made
there, are nodes; the next piece is an arrow.  A stock rail cut up is a path along the arrows, and a
cutting plan says how often each arrow is used: a flow, which integer programming (HiGHS, through
scipy) finds with a bound that proves it.  Filling one rail after the other gives a plan to start
from; where the length of all pieces already proves that one, or the time is up, it stands.  All in
whole units.
"""

from __future__ import annotations

import math
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from fractions import Fraction
from functools import cached_property
from operator import mul

from msgspec import Struct

MOST_ARROWS = 60_000
"""Beyond so many arrows the solver would not answer in time, and is not asked."""

WIDTH = 10
"""So many half-filled rails are followed up at a time."""


class Kind(Struct, frozen=True):
    """A piece in whole units, as of :class:`stairs.lists.cutting_plan.Piece`; equal ones are alike.

    ``tips`` and ``kerfs`` are the reach beyond the axis and the kerf along it, at the lower and the
    upper cut; ``cuts`` says which planes these are: equal numbers are parallel planes.
    """

    length: int
    first_hole: int
    holes: int
    tips: tuple[int, int]
    kerfs: tuple[int, int]
    cuts: tuple[int, int]
    first_only: bool = False
    last_only: bool = False


class Stock(Struct, frozen=True):
    """A stock rail in whole units."""

    length: int
    first_hole: int
    holes: int


Half = tuple[int, int, int, tuple[tuple[int, int], ...]]
"""A half-filled rail: spoilt so far, where it ends, the last kind there, kinds and holes."""

Rail = tuple[int, tuple[tuple[int, int], ...]]
"""Which stock, and kind and hole of each piece in it, from the lower end up."""


class Choice(Struct, frozen=True):
    """What is cut from which stock rails.

    No choice takes less length than ``bound``, and none of that length fewer stock rails than
    ``count_bound``.
    """

    rails: tuple[Rail, ...]
    bound: int
    count_bound: int


class Saw(Struct, frozen=True, dict=True):
    """Stocks, kinds and what lies between them; see :func:`choose`.

    The stocks stand shortest first, ``counts`` says how many of each kind are wanted, above 0, and
    ``wedges`` for an upper and the next lower cut, by their numbers, how far the two planes lean
    towards each other within the rail, along it; 0 where they are parallel.
    """

    stocks: tuple[Stock, ...]
    kinds: tuple[Kind, ...]
    counts: tuple[int, ...]
    pitch: int
    wedges: tuple[tuple[int, ...], ...]

    def place(
        self, stock: int, kind: int, end: int = 0, before: int = -1
    ) -> tuple[int, int] | None:
        """Hole and start of a piece at its first place behind another one, or None.

        The piece before ends at ``end`` on the axis and is of the kind ``before``; -1 at the rail's
        own end.  One cut parts two pieces whose cuts are parallel and just a kerf apart.  Otherwise
        each has a cut of its own, which needs the kerf clear all over the section, and takes off a
        piece that is as thick as the kerf at its thicker edge: nobody can saw a sliver.  The same
        goes for what comes off the rail's own ends.
        """
        one, rail = self.kinds[kind], self.stocks[stock]
        zero = rail.first_hole - one.first_hole
        if before < 0:
            tip, kerf = one.tips[0], one.kerfs[0]
            parted, least = 0 if tip == 0 else None, max(tip, kerf - tip)
        else:
            other = self.kinds[before]
            wedge = self.wedges[other.cuts[1]][one.cuts[0]]
            kerf = max(other.kerfs[1], one.kerfs[0])
            parted = end + kerf if wedge == 0 else None
            least = end + max(kerf + wedge, 2 * kerf - wedge)
        hole = -((zero - least) // self.pitch)
        if parted is not None and (parted - zero) % self.pitch == 0:
            hole = (parted - zero) // self.pitch
        if one.holes:
            first, last = max(hole, 0), rail.holes - one.holes
            if one.first_only:
                last = min(last, 0)
            if first > last:
                return None
            hole = last if one.last_only else first
            if one.last_only and hole != rail.holes - one.holes:
                return None
        start = zero + hole * self.pitch
        if start != parted and start < least:
            return None
        rest, tip = rail.length - start - one.length, one.tips[1]
        if rest < tip or (rest + tip < one.kerfs[1] and rest != 0):
            return None
        return hole, start

    @cached_property
    def step(self) -> int:
        """What all stock lengths are multiples of."""
        return math.gcd(*(stock.length for stock in self.stocks))

    def fullness(self, stock: int, places: Sequence[tuple[int, int]]) -> Fraction:
        """How much of a stock rail ends in pieces."""
        return Fraction(
            sum(self.kinds[kind].length for kind, _ in places), self.stocks[stock].length
        )

    def cost(self, rails: Sequence[Rail]) -> tuple[int, int]:
        """Length bought, then number of stock rails."""
        return sum(self.stocks[number].length for number, _ in rails), len(rails)


class Network(Struct, frozen=True):
    """Ends that can be reached, and the pieces that lead from one to the next.

    A node is a stock, an end on the axis, and a kind whose upper cut is the one made there.  An
    arrow is the node before (-1 at the rail's end), the node behind, kind and hole of the piece.
    """

    nodes: tuple[tuple[int, int, int], ...]
    arrows: tuple[tuple[int, int, int, int], ...]


def choose(saw: Saw, seconds: float) -> Choice:
    """The least length of stock, and then the fewest stock rails, that give all pieces.

    Every kind fits one of the stocks.  After so many seconds it is the best choice found; it is
    proved where its bounds are what it takes.
    """
    ends_at = time.monotonic() + seconds
    best = _filled(saw, ends_at - seconds / 2)
    bound = _attainable(saw, sum(map(mul, saw.counts, (kind.length for kind in saw.kinds))))
    network = None
    if saw.cost(best)[0] > bound:
        network = _network(saw, ends_at)
        best, least = _flow(saw, network, best, ends_at)
        bound = max(bound, least * saw.step)
    length, count = saw.cost(best)
    count_bound = -(-length // saw.stocks[-1].length)
    if length == bound and count > count_bound:
        network = network or _network(saw, ends_at)
        best, least = _flow(saw, network, best, ends_at, length // saw.step)
        count_bound = max(count_bound, least)
    return Choice(tuple(best), bound, count_bound)


# --------------------------------------------------------------------------- filling


def _filled(saw: Saw, hurry_at: float) -> list[Rail]:
    """One rail after the other, each filled as full as it will go with what is left."""
    left, rails = list(saw.counts), []
    while any(left):
        width = WIDTH if time.monotonic() < hurry_at else 1
        fillings = (
            (number, places)
            for number in range(len(saw.stocks))
            for places in _fillings(saw, number, left, width)
        )
        number, places = max(fillings, key=lambda filling: saw.fullness(*filling))
        taken = Counter(kind for kind, _ in places)
        times = min(left[kind] // count for kind, count in taken.items())
        for kind, count in taken.items():
            left[kind] -= times * count
        rails += [(number, places)] * times
    return rails


def _fillings(
    saw: Saw, stock: int, left: Sequence[int], width: int
) -> Iterator[tuple[tuple[int, int], ...]]:
    """Ways to fill a stock rail piece by piece, those followed up that spoil least."""
    held: list[Half] = [(0, 0, -1, ())]
    while held:
        more: dict[tuple[int, ...], Half] = {}
        for lost, end, before, places in held:
            for kind, one in enumerate(saw.kinds):
                if left[kind] <= sum(each == kind for each, _ in places):
                    continue
                if (place := saw.place(stock, kind, end, before)) is None:
                    continue
                hole, start = place
                new = (lost + start - end, start + one.length, kind, (*places, (kind, hole)))
                key = tuple(sorted(each for each, _ in new[3]))
                if key not in more or new < more[key]:
                    more[key] = new
        held = sorted(more.values())[:width]
        yield from (places for _, _, _, places in held)


# --------------------------------------------------------------------------- network


def _network(saw: Saw, ends_at: float) -> Network | None:
    """Every end that can be reached; None where there are too many, or the time is up."""
    nodes: list[tuple[int, int, int]] = []
    arrows: list[tuple[int, int, int, int]] = []
    known: dict[tuple[int, int, int, int], int] = {}

    def reach(origin: int, stock: int, end: int, before: int) -> None:
        for kind, one in enumerate(saw.kinds):
            place = saw.place(stock, kind, end, before)
            if place is not None:
                hole, start = place
                key = (stock, start + one.length, one.cuts[1], one.kerfs[1])
                if key not in known:
                    known[key] = len(nodes)
                    nodes.append((stock, start + one.length, kind))
                arrows.append((origin, known[key], kind, hole))

    for stock in range(len(saw.stocks)):
        reach(-1, stock, 0, -1)
    done = 0
    while done < len(nodes):
        reach(done, *nodes[done])
        done += 1
        if len(arrows) > MOST_ARROWS or time.monotonic() > ends_at:
            return None
    return Network(tuple(nodes), tuple(arrows))


def _attainable(saw: Saw, least: int) -> int:
    """The least sum of stock lengths that is no less."""
    sizes = [stock.length // saw.step for stock in saw.stocks]
    wanted = -(-least // saw.step)
    known, reached = 0, 1  # bit n: a sum of n steps
    while known != reached:
        known = reached
        for size in sizes:
            reached |= reached << size
        reached &= (1 << (wanted + sizes[-1])) - 1
    rest = reached >> wanted
    return (wanted + (rest & -rest).bit_length() - 1) * saw.step


# --------------------------------------------------------------------------- flow


def _flow(
    saw: Saw,
    network: Network | None,
    best: list[Rail],
    ends_at: float,
    length: int | None = None,
) -> tuple[list[Rail], int]:
    """The best flow along the arrows, or the best known one, and a proved bound.

    Least length in steps; of a given length in steps, the fewest stock rails.

    With ``x_a`` pieces along arrow ``a``: each kind is cut as often as it is wanted, no more leaves
    a node than comes in, and ``sum(c_a x_a)`` over the arrows that begin a rail is least, with
    ``c_a`` the stock's length, or 1 where the rails are counted.
    """
    seconds = ends_at - time.monotonic()
    if network is None or seconds <= 0:
        return best, 0
    import numpy as np
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import csr_array

    nodes, arrows, kinds = network.nodes, network.arrows, len(saw.kinds)
    begins = np.array([origin < 0 for origin, _, _, _ in arrows], dtype=float)
    sizes = np.array([saw.stocks[nodes[arrow[1]][0]].length // saw.step for arrow in arrows])
    entries = []
    for column, (origin, target, kind, _) in enumerate(arrows):
        entries += [(kind, column, 1), (kinds + target, column, 1)]
        if origin >= 0:
            entries.append((kinds + origin, column, -1))
    rows, columns, values = zip(*entries, strict=True)
    matrix = csr_array((values, (rows, columns)), shape=(kinds + len(nodes), len(arrows)))
    most = np.full(len(nodes), np.inf)
    limits = [LinearConstraint(matrix, [*saw.counts, *[0] * len(nodes)], [*saw.counts, *most])]
    if length is not None:
        limits.append(LinearConstraint((begins * sizes)[None, :], length, length))
    found = milp(
        begins * (sizes if length is None else 1),
        integrality=np.ones(len(arrows)),
        bounds=Bounds(0, [saw.counts[kind] for _, _, kind, _ in arrows]),
        constraints=limits,
        # its presolving keeps to no time limit, and here takes longer than it saves
        options={"presolve": False, "mip_rel_gap": 0, "time_limit": seconds},
    )
    least = found.mip_dual_bound
    # every amount and cost is whole, so the bound may be rounded up
    bound = 0 if least is None or not math.isfinite(least) else math.ceil(least - 1e-6)
    if found.x is not None:
        flow = [round(amount) for amount in found.x]
        best = min(best, _paths(saw, network, flow), key=saw.cost)
    return best, bound


def _paths(saw: Saw, network: Network, flow: list[int]) -> list[Rail]:
    """Single stock rails out of the flow along all arrows."""
    out: dict[int, list[int]] = {}
    for index, (origin, _, _, _) in enumerate(network.arrows):
        out.setdefault(origin, []).extend([index] * flow[index])
    rails = []
    while out.get(-1):
        at, places = -1, []
        while out.get(at):
            _, at, kind, hole = network.arrows[out[at].pop()]
            places.append((kind, hole))
        rails.append((network.nodes[at][0], tuple(places)))
    return rails
