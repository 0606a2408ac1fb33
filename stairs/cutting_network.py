"""Places and arrows: where pieces can lie in punched stock rails, and the best way through them.

From every place that a piece can have in a stock rail, an arrow leads to the next place that each
other piece can have behind it.  A stock rail cut up is one path along these arrows, so a whole
cutting plan says how many times each arrow is used: a flow, which integer programming (HiGHS,
through scipy) finds with a bound that proves it.  Everything here is in whole units.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

SOLVER_SECONDS = 20.0
"""How long the solver may look for a proof; beyond it the plan is given without one."""


@dataclass(frozen=True, slots=True)
class Kind:
    """A piece in whole units; equal kinds are exchangeable."""

    length: int
    first_hole: int
    holes: int
    tip: int
    kerf: int
    first_only: bool
    last_only: bool


@dataclass(frozen=True, slots=True)
class Stock:
    """A stock rail in whole units."""

    length: int
    first_hole: int
    holes: int


@dataclass(frozen=True, slots=True)
class Node:
    """Kind ``kind`` in stock ``stock`` with its first hole at the stock's hole ``hole``."""

    stock: int
    kind: int
    hole: int
    start: int


@dataclass(frozen=True, slots=True)
class Network:
    """All reachable places, and the arrows between them; ``arrows[i][0]`` is -1 at a rail's end."""

    nodes: tuple[Node, ...]
    arrows: tuple[tuple[int, int], ...]


def first_place(stock: Stock, kind: Kind, pitch: int, earliest: int) -> tuple[int, int] | None:
    """First hole and start of a kind at its first place from ``earliest`` on, or None."""
    earliest = max(earliest, kind.tip)
    zero = stock.first_hole - kind.first_hole
    hole = -((zero - earliest) // pitch)
    if kind.holes:
        hole = max(hole, 0)
        if kind.first_only and hole > 0:
            return None
        last = stock.holes - kind.holes
        if kind.last_only and hole <= last:
            hole = last
            if kind.first_only and hole > 0:
                return None
        if hole > last:
            return None
    start = zero + hole * pitch
    if start + kind.length + kind.tip > stock.length:
        return None
    return hole, start


def room_between(one: Kind, other: Kind) -> int:
    """Least distance on the axis between two pieces: the kerf, and the wedge of unlike slants."""
    return max(one.kerf, other.kerf) + abs(one.tip - other.tip)


def network_of(stocks: Sequence[Stock], kinds: Sequence[Kind], pitch: int) -> Network:
    nodes: list[Node] = []
    arrows: list[tuple[int, int]] = []
    known: dict[tuple[int, int, int], int] = {}

    def reach(origin: int, stock: int, kind: int, earliest: int) -> None:
        found = first_place(stocks[stock], kinds[kind], pitch, earliest)
        if found is None:
            return
        key = (stock, kind, found[0])
        if key not in known:
            known[key] = len(nodes)
            nodes.append(Node(stock, kind, *found))
        arrows.append((origin, known[key]))

    for stock in range(len(stocks)):
        for kind in range(len(kinds)):
            reach(-1, stock, kind, 0)
    done = 0
    while done < len(nodes):
        node = nodes[done]
        one = kinds[node.kind]
        for kind, other in enumerate(kinds):
            reach(done, node.stock, kind, node.start + one.length + room_between(one, other))
        done += 1
    return Network(tuple(nodes), tuple(arrows))


# --------------------------------------------------------------------------- choice


def one_each(stocks, counts, network: Network) -> list[list[int]]:
    """Paths that give every piece a stock rail of its own, the shortest that takes it."""
    paths = []
    for kind, count in enumerate(counts):
        homes = [node for origin, node in network.arrows if origin < 0]
        best = min(
            (node for node in homes if network.nodes[node].kind == kind),
            key=lambda node: stocks[network.nodes[node].stock].length,
        )
        paths += [[best]] * count
    return paths


def choose(stocks: Sequence[Stock], counts: Sequence[int], network: Network):
    """How often each arrow is used: least length first, fewest stock rails second.

    Returns the flow on each arrow (None where none was found in time), the bound on the length and
    the bound on the number of stock rails.
    """
    import numpy as np
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import csr_array

    nodes, arrows = network.nodes, network.arrows
    rows, columns, values = [], [], []
    for index, (origin, target) in enumerate(arrows):
        rows.append(nodes[target].kind)
        columns.append(index)
        values.append(1)
        rows.append(len(counts) + target)
        columns.append(index)
        values.append(1)
        if origin >= 0:
            rows.append(len(counts) + origin)
            columns.append(index)
            values.append(-1)
    shape = (len(counts) + len(nodes), len(arrows))
    matrix = csr_array((values, (rows, columns)), shape=shape)
    low = np.array([*counts, *[0] * len(nodes)])
    high = np.array([*counts, *[np.inf] * len(nodes)])
    most = np.array([counts[nodes[target].kind] for _, target in arrows])
    starts = np.array([origin < 0 for origin, _ in arrows])
    step = math.gcd(*(stock.length for stock in stocks))
    lengths = np.array(
        [
            stocks[nodes[target].stock].length // step if origin < 0 else 0
            for origin, target in arrows
        ]
    )

    def solve(cost, *more):
        found = milp(
            cost,
            integrality=np.ones(len(arrows)),
            bounds=Bounds(0, most),
            constraints=[LinearConstraint(matrix, low, high), *more],
            options={"mip_rel_gap": 0, "time_limit": SOLVER_SECONDS},
        )
        if found.x is None:
            return None, 0
        flow = np.rint(found.x).astype(int)
        return flow, math.ceil(found.mip_dual_bound - 1e-6)

    flow, bound = solve(lengths)
    if flow is None:
        return None, 0, 0
    least = int(lengths @ flow)
    fewest = int(starts @ flow)
    count_bound = -(-least * step // max(stock.length for stock in stocks))
    if fewest > count_bound and len(stocks) > 1:
        better, count_bound = solve(
            starts.astype(int), LinearConstraint(lengths[None, :], least, least)
        )
        flow = flow if better is None else better
    return [int(value) for value in flow], bound * step, count_bound


def paths_of(flow: Sequence[int], arrows: Sequence[tuple[int, int]]) -> list[list[int]]:
    """Single stock rails out of the flow on all arrows."""
    left = list(flow)
    out: dict[int, list[int]] = {}
    for index, (origin, _) in enumerate(arrows):
        out.setdefault(origin, []).append(index)
    paths = []

    def follow(origin: int) -> int | None:
        for index in out.get(origin, ()):
            if left[index] > 0:
                left[index] -= 1
                return arrows[index][1]
        return None

    while (node := follow(-1)) is not None:
        path = []
        while node is not None:
            path.append(node)
            node = follow(node)
        paths.append(path)
    return paths
