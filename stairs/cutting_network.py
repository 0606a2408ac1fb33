"""Places and arrows: where pieces can lie in punched stock rails, and the best way through them.

From every place that a piece can have in a stock rail, an arrow leads to the next place that each
other piece can have behind it.  A stock rail cut up is one path along these arrows, so a whole
cutting plan says how many times each arrow is used: a flow, which integer programming (HiGHS,
through scipy) finds with a bound that proves it.  Everything here is in whole units.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from msgspec import Struct

FORCED, SEARCH, INTEGER_PROGRAMMING = "forced", "search", "integer programming"
ONE_EACH = "one each"

SOLVER_SECONDS = 8.0
"""How long the solver may look for a proof; beyond it the plan is given without one."""


class Kind(Struct, frozen=True):
    """A piece in whole units; equal kinds are exchangeable; ``tip_high`` -1 is as ``tip``."""

    length: int
    first_hole: int
    holes: int
    tip: int
    kerf: int
    first_only: bool
    last_only: bool
    tip_high: int = -1

    @property
    def upper_tip(self) -> int:
        """Reach of its upper cut beyond the axis."""
        return self.tip if self.tip_high < 0 else self.tip_high


class Stock(Struct, frozen=True):
    """A stock rail in whole units."""

    length: int
    first_hole: int
    holes: int


class Choice(Struct, frozen=True):
    """What is cut from which stock rails.

    Parameters
    ----------
    rails : tuple of (int, tuple of tuple of int)
        Per stock rail: which stock length, and kind and hole of each piece from its lower end up.
    bound, count_bound : int
        No choice takes less length, and none of that length fewer stock rails.
    method : str
        How it was found.
    """

    rails: tuple[tuple[int, tuple[tuple[int, int], ...]], ...]
    bound: int
    count_bound: int
    method: str


class Node(Struct, frozen=True):
    """Kind ``kind`` in stock ``stock`` with its first hole at the stock's hole ``hole``."""

    stock: int
    kind: int
    hole: int
    start: int


class Network(Struct, frozen=True):
    """All reachable places, and the arrows between them; ``arrows[i][0]`` is -1 at a rail's end."""

    nodes: tuple[Node, ...]
    arrows: tuple[tuple[int, int], ...]


def first_place(stock: Stock, kind: Kind, pitch: int, earliest: int) -> tuple[int, int] | None:
    """First hole and start of a kind at its first place from ``earliest`` on, or None.

    Parameters
    ----------
    stock : Stock
        The rail that it is cut from.
    kind : Kind
        The piece.
    pitch : int
        Hole to hole along the rail [whole units], above 0.
    earliest : int
        Where its lower cut may lie at the earliest, from the stock's lower end [whole units].

    Returns
    -------
    tuple of (int, int) or None
        The stock's hole that its first one is, from 0, and where its lower cut lies on the axis
        [whole units]; None where the stock has no such place.

    Examples
    --------
    A stock rail 20 long with holes at 2, 6, 10, 14 and 18, and a piece 8 long with two holes, the
    first 1 from its end:

    >>> stock, kind = Stock(20, 2, 5), Kind(8, 1, 2, 0, 1, False, False)
    >>> first_place(stock, kind, 4, 3)
    (1, 5)
    """
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
    if start + kind.length + kind.upper_tip > stock.length:
        return None
    return hole, start


def room_between(one: Kind, other: Kind) -> int:
    """Least distance on the axis from the piece below: kerf, and the wedge of unlike slants.

    Parameters
    ----------
    one, other : Kind
        The piece below and the piece above.

    Returns
    -------
    int
        [whole units], 0 or more.

    Notes
    -----
    The larger kerf, and the difference between the upper tip of the one and the lower tip of the
    other.

    Examples
    --------
    >>> one, other = Kind(8, 1, 2, 3, 1, False, False), Kind(8, 1, 2, 5, 1, False, False)
    >>> room_between(one, other)
    3
    """
    return max(one.kerf, other.kerf) + abs(one.upper_tip - other.tip)


def network_of(stocks: Sequence[Stock], kinds: Sequence[Kind], pitch: int) -> Network:
    """Every place at which a piece can be cut from a stock rail, and which may follow which.

    Parameters
    ----------
    stocks : sequence of Stock
        The rails sold.
    kinds : sequence of Kind
        The pieces wanted, alike ones together.
    pitch : int
        Hole to hole along the rail, in the whole units of the stocks, above 0.
    """
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


def one_each(
    stocks: Sequence[Stock], kinds: Sequence[Kind], counts: Sequence[int], pitch: int
) -> tuple[tuple[int, tuple[tuple[int, int], ...]], ...]:
    """Every piece in a stock rail of its own, the shortest that takes it.

    Parameters
    ----------
    stocks : sequence of Stock
        Shortest first.
    kinds : sequence of Kind
        The pieces.
    counts : sequence of int
        How many of each are wanted.
    pitch : int
        Hole to hole along the rail [whole units], above 0.

    Returns
    -------
    tuple
        As the rails of a :class:`Choice`; a kind that no stock rail takes is left out.
    """
    rails = []
    for kind, count in enumerate(counts):
        for number, stock in enumerate(stocks):
            place = first_place(stock, kinds[kind], pitch, 0)
            if place is not None:
                rails += [(number, ((kind, place[0]),))] * count
                break
    return tuple(rails)


def choose_flow(
    stocks: Sequence[Stock], kinds: Sequence[Kind], counts: Sequence[int], pitch: int
) -> Choice | None:
    """The best choice as a flow along the arrows; None where none is found in time.

    Parameters
    ----------
    stocks : sequence of Stock
        Shortest first.
    kinds : sequence of Kind
        The pieces.
    counts : sequence of int
        How many of each are wanted.
    pitch : int
        Between holes.
    """
    network = network_of(stocks, kinds, pitch)
    nodes, arrows = network.nodes, network.arrows
    rows, columns, values = [], [], []
    for index, (origin, target) in enumerate(arrows):
        entries = [(nodes[target].kind, 1), (len(counts) + target, 1)]
        if origin >= 0:
            entries.append((len(counts) + origin, -1))
        for row, value in entries:
            rows.append(row)
            columns.append(index)
            values.append(value)
    starts = [int(origin < 0) for origin, _ in arrows]
    lengths = [
        start * stocks[nodes[target].stock].length
        for start, (_, target) in zip(starts, arrows, strict=True)
    ]
    solved = solve_integers(
        entries=(rows, columns, values),
        low=[*counts, *[0] * len(nodes)],
        high=[*counts, *[math.inf] * len(nodes)],
        lengths=lengths,
        rails=starts,
        most=[counts[nodes[target].kind] for _, target in arrows],
    )
    if solved is None:
        return None
    flow, bound, count_bound = solved
    rails = [
        (nodes[path[0]].stock, tuple((nodes[index].kind, nodes[index].hole) for index in path))
        for path in paths_of(flow, arrows)
    ]
    return Choice(tuple(rails), bound, count_bound, INTEGER_PROGRAMMING)


def solve_integers(entries, low, high, lengths, rails, most):
    """Whole amounts of columns: least length first, fewest stock rails second.

    Parameters
    ----------
    entries : tuple of (list of int, list of int, list of int)
        Rows, columns and values of the constraints' matrix.
    low, high : sequence of float, or None for no upper side
        What each row's sum lies between.
    lengths : sequence of int
        Stock length that each column takes.
    rails : sequence of int
        Stock rails that each column takes.
    most : sequence of int
        Largest amount of each column.

    Returns
    -------
    tuple of (list of int, int, int) or None
        Amounts, and the proved bounds on length and number of stock rails; None where nothing is
        found in time.
    """
    import numpy as np
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import csr_array

    rows, columns, values = entries
    matrix = csr_array((values, (rows, columns)), shape=(len(low), len(lengths)))
    limits = LinearConstraint(matrix, low, np.inf if high is None else high)
    step = math.gcd(*lengths)
    cost = np.array([length // step for length in lengths])
    number = np.array(rails)

    def solve(objective, *more):
        found = milp(
            objective,
            integrality=np.ones(len(lengths)),
            bounds=Bounds(0, most),
            constraints=[limits, *more],
            options={"mip_rel_gap": 0, "time_limit": SOLVER_SECONDS},
        )
        if found.x is None:
            return None, 0
        # every amount and cost is whole, so the bound may be rounded up
        return np.rint(found.x).astype(int), math.ceil(found.mip_dual_bound - 1e-6)

    amounts, bound = solve(cost)
    if amounts is None:
        return None
    least, fewest = int(cost @ amounts), int(number @ amounts)
    count_bound = -(-least // int(cost.max()))
    if fewest > count_bound:
        better, count_bound = solve(number, LinearConstraint(cost[None, :], least, least))
        amounts = amounts if better is None else better
    return [int(value) for value in amounts], bound * step, count_bound


def paths_of(flow: Sequence[int], arrows: Sequence[tuple[int, int]]) -> list[list[int]]:
    """Single stock rails out of the flow on all arrows.

    Parameters
    ----------
    flow : sequence of int
        How many times each arrow is used.
    arrows : sequence of (int, int)
        Of a :class:`Network`.

    Returns
    -------
    list of list of int
        For each stock rail the nodes of its pieces, from its lower end up.

    Examples
    --------
    Two stock rails begin with node 0, and one of them goes on to node 1:

    >>> paths_of([2, 1], [(-1, 0), (0, 1)])
    [[0, 1], [0]]
    """
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
