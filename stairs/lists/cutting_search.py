"""The best way through punched stock rails: which pieces one after the other, in how many rails.

A piece lies where its holes fall on the stock's, so from the end of one piece there is one first
place for each piece that may follow.  The ends that can be reached, with the cut that was made
there, are nodes; the next piece is an arrow.  A stock rail cut up is a path along the arrows, and a
cutting plan says how often each arrow is used: a flow, which integer programming (HiGHS, through
scipy) finds with a bound that proves it.  Filling one rail after the other gives a plan to start
from; where a bound already proves that one, or the time is up, it stands.  All in whole units.
"""

from __future__ import annotations

import math
import time
from collections import Counter
from collections.abc import Sequence
from functools import cached_property

from msgspec import Struct

MOST_ARROWS = 60_000
"""Beyond so many arrows the solver would not answer in time, and is not asked."""

WEIGHTS = (1.0, 1.05, 1.5, 4.0)
"""How much more a long piece counts than its length while rails are filled, one try for each."""

WIDTH = 10
"""So many half-filled rails are followed up at a time."""


class Kind(Struct, frozen=True):
    """A piece in whole units; equal kinds are exchangeable.

    Parameters
    ----------
    length, first_hole, holes
        As of a :class:`stairs.lists.cutting_plan.Piece`.
    tips, kerfs : tuple of int
        Reach beyond the axis and kerf along it, at the lower and the upper cut.
    cuts : tuple of int
        Which planes its two cuts are; equal numbers are parallel planes.
    first_only, last_only : bool
        Whether it can only lie at the stock's first (last) holes.
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


Rail = tuple[int, tuple[tuple[int, int], ...]]
"""Which stock, and kind and hole of each piece in it, from the lower end up."""


class Choice(Struct, frozen=True):
    """What is cut from which stock rails.

    Parameters
    ----------
    rails : tuple of Rail
        One for each stock rail.
    bound, count_bound : int
        No choice takes less length, and none of that length fewer stock rails.
    """

    rails: tuple[Rail, ...]
    bound: int
    count_bound: int


class Saw(Struct, frozen=True, dict=True):
    """Stocks, kinds and what lies between them; see :func:`choose`.

    Parameters
    ----------
    stocks : tuple of Stock
        Shortest first.
    kinds : tuple of Kind
        The pieces.
    counts : tuple of int
        How many of each are wanted, above 0.
    pitch : int
        Between holes, above 0.
    wedges : tuple of tuple of int
        For an upper and the next lower cut, by their numbers: how far the two planes lean towards
        each other within the rail, along it; 0 where they are parallel.
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

        Parameters
        ----------
        stock, kind : int
            The rail and the piece, by number.
        end, before : int
            Where the piece before ends on the axis, and its kind; -1 at the rail's own end.

        Notes
        -----
        One cut parts two pieces whose cuts are parallel and just a kerf apart.  Otherwise each has
        a cut of its own, which needs the kerf clear all over the section, and takes off a piece
        that is as thick as the kerf at its thicker edge: nobody can saw a sliver.  The same goes
        for what comes off the rail's own ends.
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

    def cost(self, rails: Sequence[Rail]) -> tuple[int, int]:
        """Length bought, then number of stock rails."""
        return sum(self.stocks[number].length for number, _ in rails), len(rails)


class Network(Struct, frozen=True):
    """Ends that can be reached, and the pieces that lead from one to the next.

    Parameters
    ----------
    nodes : tuple of (int, int, int)
        Stock, end on the axis, and a kind whose upper cut is the one made there.
    arrows : tuple of (int, int, int, int)
        Node before (-1 at the rail's end), node behind, kind and hole of the piece.
    """

    nodes: tuple[tuple[int, int, int], ...]
    arrows: tuple[tuple[int, int, int, int], ...]


def choose(saw: Saw, seconds: float) -> Choice:
    """The least length of stock, and then the fewest stock rails, that give all pieces.

    Parameters
    ----------
    saw : Saw
        Every kind fits one of its stocks.
    seconds : float
        How long it may take in all; the choice is then the best one found.

    Returns
    -------
    Choice
        Proved where its bounds are what it takes.
    """
    ends_at = time.monotonic() + seconds
    half = ends_at - seconds / 2
    best = min((_filled(saw, weight, half) for weight in WEIGHTS), key=saw.cost)
    network = _network(saw, ends_at)
    bound, count_bound = _bounds(saw, network)
    if network is not None and saw.cost(best)[0] > bound:
        found, least = _flow(saw, network, ends_at)
        best = min(best, found or best, key=saw.cost)
        bound = max(bound, least * saw.step)
    length, count = saw.cost(best)
    count_bound = max(count_bound, -(-length // saw.stocks[-1].length))
    if network is not None and length == bound and count > count_bound:
        found, least = _flow(saw, network, ends_at, length // saw.step)
        best = min(best, found or best, key=saw.cost)
        count_bound = max(count_bound, least)
    return Choice(tuple(best), bound, count_bound)


# --------------------------------------------------------------------------- filling


def _filled(saw: Saw, weight: float, hurry_at: float) -> list[Rail]:
    """One rail after the other, each filled as full as it will go with what is left."""
    left, rails = list(saw.counts), []
    worth = [kind.length**weight for kind in saw.kinds]
    while any(left):
        best = None
        width = WIDTH if time.monotonic() < hurry_at else 1
        for number, stock in enumerate(saw.stocks):
            held = [(0, 0, -1, ())]  # spoilt so far, end, kind there, kinds and holes
            while held:
                more: dict[tuple[int, ...], tuple] = {}
                for lost, end, before, places in held:
                    for kind, one in enumerate(saw.kinds):
                        if left[kind] <= sum(each == kind for each, _ in places):
                            continue
                        if (place := saw.place(number, kind, end, before)) is None:
                            continue
                        hole, start = place
                        all_of = (*places, (kind, hole))
                        key = tuple(sorted(each for each, _ in all_of))
                        new = (lost + start - end, start + one.length, kind, all_of)
                        if key not in more or new < more[key]:
                            more[key] = new
                held = sorted(more.values())[:width]
                for _, _, _, places in held:
                    share = sum(worth[kind] for kind, _ in places) / stock.length**weight
                    if best is None or share > best[0]:
                        best = share, number, places
        _, number, places = best
        taken = Counter(kind for kind, _ in places)
        times = min(left[kind] // count for kind, count in taken.items())
        for kind, count in taken.items():
            left[kind] -= times * count
        rails += [(number, places)] * times
    return rails


# --------------------------------------------------------------------------- network


def _network(saw: Saw, ends_at: float) -> Network | None:
    """Every end that can be reached; None where there are too many, or the time is up."""
    nodes: list[tuple[int, int, int]] = []
    arrows: list[tuple[int, int, int, int]] = []
    known: dict[tuple, int] = {}

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


def _bounds(saw: Saw, network: Network | None) -> tuple[int, int]:
    """Length and number of stock rails that every choice takes at least.

    A rail that holds a piece holds at most so many pieces, or so much length of pieces, as the
    fullest path through that piece.  A piece answers for its share of that, and no rail for more
    than itself.  Without a network only the length of all pieces counts.
    """
    lengths = [kind.length for kind in saw.kinds]
    pieces = list(zip(saw.counts, range(len(saw.kinds)), strict=True))
    least = float(sum(count * lengths[kind] for count, kind in pieces))
    count = 1.0
    if network is not None:
        for worth in (lengths, [1] * len(lengths)):
            fullest = _fullest(saw, network, worth)
            share = [
                min(worth[kind] * saw.stocks[s].length / most for s, most in fullest[kind].items())
                for kind in range(len(lengths))
            ]
            least = max(least, sum(count * share[kind] for count, kind in pieces))
        most = [max(each.values()) for each in fullest]
        count = sum(count / most[kind] for count, kind in pieces)
    return _attainable(saw, math.ceil(least * (1 - 1e-12))), math.ceil(count * (1 - 1e-12))


def _fullest(saw: Saw, network: Network, worth: Sequence[int]) -> list[dict[int, int]]:
    """For each kind, by stock: the most that a rail with it holds."""
    nodes = network.nodes
    before, behind = [0] * len(nodes), [0] * len(nodes)
    upward = sorted(network.arrows, key=lambda arrow: nodes[arrow[1]][1])
    for origin, target, kind, _ in upward:
        held = before[origin] if origin >= 0 else 0
        before[target] = max(before[target], held + worth[kind])
    for origin, target, kind, _ in reversed(upward):
        if origin >= 0:
            behind[origin] = max(behind[origin], worth[kind] + behind[target])
    most: list[dict[int, int]] = [{} for _ in saw.kinds]
    for origin, target, kind, _ in upward:
        held = (before[origin] if origin >= 0 else 0) + worth[kind] + behind[target]
        stock = nodes[target][0]
        most[kind][stock] = max(most[kind].get(stock, 0), held)
    return most


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
    saw: Saw, network: Network, ends_at: float, length: int | None = None
) -> tuple[list[Rail] | None, int]:
    """The best flow along the arrows, None where none is found in time, and a proved bound.

    Least length in steps; of a given length in steps, the fewest stock rails.

    Notes
    -----
    With ``x_a`` pieces along arrow ``a``: each kind is cut as often as it is wanted, no more leaves
    a node than comes in, and ``sum(c_a x_a)`` over the arrows that begin a rail is least, with
    ``c_a`` the stock's length, or 1 where the rails are counted.
    """
    seconds = ends_at - time.monotonic()
    if seconds <= 0:
        return None, 0
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
    if found.x is None:
        return None, bound
    return _paths(saw, network, [round(amount) for amount in found.x]), bound


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
