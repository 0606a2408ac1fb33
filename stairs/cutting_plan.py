"""The cutting plan: which rails to saw from which stock rails, so that least stock is bought.

A stock rail comes punched with holes at one pitch, and a finished rail must have its holes where
the bay wants them.  So a rail cannot be cut just anywhere: it may be moved along the stock by whole
pitches only, and never to where the stock has no holes for all of its balusters.  Between two rails
the saw takes its kerf.  Among all plans that keep to this, the one that buys the least length of
stock is taken, and of those the one with the fewest stock rails.

The plan is exact.  All lengths are whole multiples of one small unit, so that nothing is lost in
rounding.  From every place that a rail can have in a stock rail, arrows lead to the next place that
each other rail can have behind it; a stock rail cut up is one path along these arrows, and how many
times each arrow is used is found by integer programming (HiGHS, through scipy).  The solver's bound
says that no plan can buy less.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from stairs.cuts import BOTTOM, TOP, CutList, RailCut, hole_half
from stairs.errors import JobError
from stairs.guard import Guard
from stairs.job import Job
from stairs.panel import HALF_PITCH, hole_pattern

FORCED, INTEGER_PROGRAMMING, ONE_EACH = "forced", "integer programming", "one each"
KERF = {"in": Fraction(1, 8), "mm": Fraction(3)}
"""Kerf that is taken where none is given; a common blade, no source."""

SOLVER_SECONDS = 20.0
"""How long the solver may look for a proof; beyond it the plan is given without one."""


@dataclass(frozen=True, slots=True)
class StockRail:
    """A rail as sold; lengths exact, in the job's unit.

    Parameters
    ----------
    length : Fraction
        Above 0.
    first_hole : Fraction
        From its lower end to the first baluster centre.
    holes : int
        How many holes it has, one pitch apart.
    """

    length: Fraction
    first_hole: Fraction
    holes: int


@dataclass(frozen=True, slots=True)
class Piece:
    """One finished rail as the saw sees it; lengths exact, in the job's unit.

    Parameters
    ----------
    name : str
        Which rail it is.
    length : Fraction
        Along the axis, on a mark of the tape.
    first_hole : Fraction
        From its lower cut to its first whole hole.
    holes : int
        How many balusters it keeps; with 0 only the pattern's place matters.
    tip : Fraction
        How far a slanted cut reaches beyond the axis at either end; 0 for square cuts.
    kerf_factor : Fraction
        Kerf along the axis over kerf square to the blade; 1 for square cuts.
    first_only, last_only : bool
        Whether a further hole beyond its first (last) would spoil it, so that it can only be cut
        where the stock's own pattern begins (ends).
    """

    name: str
    length: Fraction
    first_hole: Fraction
    holes: int
    tip: Fraction = Fraction(0)
    kerf_factor: Fraction = Fraction(1)
    first_only: bool = False
    last_only: bool = False


@dataclass(frozen=True, slots=True)
class Placed:
    """A piece at its place in a stock rail.

    Parameters
    ----------
    piece : Piece
        What is cut.
    start, end : Fraction
        Its two cuts on the axis, from the stock rail's lower end.
    holes_from, holes_to : int
        Which of the stock rail's holes it takes, counted from 1; both 0 where it takes none.
    """

    piece: Piece
    start: Fraction
    end: Fraction
    holes_from: int
    holes_to: int


@dataclass(frozen=True, slots=True)
class CutUp:
    """One stock rail and what is cut from it.

    Parameters
    ----------
    stock : StockRail
        As bought.
    placed : tuple of Placed
        From its lower end up.
    leftovers : tuple of Fraction
        Lengths that are left between the cuts, measured on the axis, the kerf of each cut taken
        off; in order from the lower end.
    """

    stock: StockRail
    placed: tuple[Placed, ...]
    leftovers: tuple[Fraction, ...]


@dataclass(frozen=True, slots=True)
class CuttingPlan:
    """What to buy and how to cut it.

    Parameters
    ----------
    rails : tuple of CutUp
        One per stock rail bought.
    unplaced : tuple of (Piece, str)
        Rails that no stock length allows, and why.
    kerf : Fraction
        Of the saw, square to its blade.
    bound : Fraction
        No plan for the placed pieces can buy less than this.
    count_bound : int
        No plan that buys as little takes fewer stock rails than this.
    method : str
        ``"forced"`` where every stock rail holds one piece only, ``"integer programming"``, or
        ``"one each"`` where the solver found nothing in its time.
    """

    rails: tuple[CutUp, ...]
    unplaced: tuple[tuple[Piece, str], ...]
    kerf: Fraction
    bound: Fraction
    count_bound: int
    method: str

    @property
    def bought(self) -> Fraction:
        """Length of stock bought, all stock rails together [job's unit of length]."""
        return sum((rail.stock.length for rail in self.rails), Fraction(0))

    @property
    def used(self) -> Fraction:
        """Length of all finished rails together, on their axes [job's unit of length]."""
        return sum(
            (placed.piece.length for rail in self.rails for placed in rail.placed), Fraction(0)
        )

    @property
    def waste(self) -> Fraction:
        """What is bought and ends in no rail [job's unit of length]."""
        return self.bought - self.used

    @property
    def gap(self) -> Fraction:
        """What is bought above the proved bound [job's unit of length]; 0 is a proof."""
        return self.bought - self.bound

    @property
    def proved(self) -> bool:
        """Whether nothing less can be bought, and no fewer rails of that length in all."""
        return self.gap == 0 and len(self.rails) == self.count_bound

    @property
    def stock_counts(self) -> tuple[tuple[Fraction, int], ...]:
        """Stock lengths and how many of each to buy, shortest first."""
        return tuple(sorted(Counter(rail.stock.length for rail in self.rails).items()))


# --------------------------------------------------------------------------- places


@dataclass(frozen=True, slots=True)
class _Kind:
    """A piece in whole units; equal kinds are exchangeable."""

    length: int
    first_hole: int
    holes: int
    tip: int
    kerf: int
    first_only: bool
    last_only: bool


@dataclass(frozen=True, slots=True)
class _Stock:
    length: int
    first_hole: int
    holes: int


@dataclass(frozen=True, slots=True)
class _Node:
    """Kind ``kind`` in stock ``stock`` with its first hole at the stock's hole ``hole``."""

    stock: int
    kind: int
    hole: int
    start: int


@dataclass(frozen=True, slots=True)
class _Network:
    """All reachable places, and the arrows between them; ``arrows[i][0]`` is -1 at a rail's end."""

    nodes: tuple[_Node, ...]
    arrows: tuple[tuple[int, int], ...]


def _place(stock: _Stock, kind: _Kind, pitch: int, earliest: int) -> tuple[int, int] | None:
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


def _room(one: _Kind, other: _Kind) -> int:
    """Least distance on the axis between two pieces: the kerf, and the wedge of unlike slants."""
    return max(one.kerf, other.kerf) + abs(one.tip - other.tip)


def _network(stocks: Sequence[_Stock], kinds: Sequence[_Kind], pitch: int) -> _Network:
    nodes: list[_Node] = []
    arrows: list[tuple[int, int]] = []
    known: dict[tuple[int, int, int], int] = {}

    def reach(origin: int, stock: int, kind: int, earliest: int) -> None:
        found = _place(stocks[stock], kinds[kind], pitch, earliest)
        if found is None:
            return
        key = (stock, kind, found[0])
        if key not in known:
            known[key] = len(nodes)
            nodes.append(_Node(stock, kind, *found))
        arrows.append((origin, known[key]))

    for stock in range(len(stocks)):
        for kind in range(len(kinds)):
            reach(-1, stock, kind, 0)
    done = 0
    while done < len(nodes):
        node = nodes[done]
        one = kinds[node.kind]
        for kind, other in enumerate(kinds):
            reach(done, node.stock, kind, node.start + one.length + _room(one, other))
        done += 1
    return _Network(tuple(nodes), tuple(arrows))


# --------------------------------------------------------------------------- choice


def _forced(stocks, counts, network: _Network) -> list[list[int]]:
    """Every piece in a stock rail of its own, the shortest that takes it."""
    paths = []
    for kind, count in enumerate(counts):
        homes = [node for origin, node in network.arrows if origin < 0]
        best = min(
            (node for node in homes if network.nodes[node].kind == kind),
            key=lambda node: stocks[network.nodes[node].stock].length,
        )
        paths += [[best]] * count
    return paths


def _choose(stocks: Sequence[_Stock], counts: Sequence[int], network: _Network):
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


def _paths(flow: Sequence[int], arrows: Sequence[tuple[int, int]]) -> list[list[int]]:
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


# --------------------------------------------------------------------------- plan


def plan_cuts(
    pieces: Sequence[Piece], stock: Sequence[StockRail], pitch: Fraction, kerf: Fraction
) -> CuttingPlan:
    """The plan that buys least stock, then fewest stock rails.

    Parameters
    ----------
    pieces : sequence of Piece
        Every rail that is wanted.
    stock : sequence of StockRail
        What is sold, any number of each.
    pitch : Fraction
        Between holes, the same in all [job's unit of length], above 0.
    kerf : Fraction
        Width of the saw's cut, square to the blade [job's unit of length], 0 or more.

    Returns
    -------
    CuttingPlan
        Empty where nothing can be cut; see its ``unplaced``.

    Raises
    ------
    JobError
        The kerf is below 0.

    Notes
    -----
    A piece whose first hole lies ``f`` from its lower cut can start at ``h + j p - f`` in a stock
    rail whose first hole is at ``h``, with ``p`` the pitch and ``j`` any hole that leaves enough
    holes above it.  At the stock rail's own ends no kerf is lost.  Two plumb-cut rails of one rake
    nest, so that one cut parts them.

    Examples
    --------
    >>> rail = StockRail(Fraction(96), Fraction(3), 16)
    >>> pieces = [Piece(name, Fraction(31), Fraction(2), 5) for name in ("a", "b", "c")]
    >>> plan = plan_cuts(pieces, [rail], Fraction(6), Fraction(1, 8))
    >>> [(str(cut.start), str(cut.end)) for cut in plan.rails[0].placed]
    [('1', '32'), ('37', '68')]
    >>> len(plan.rails), plan.proved
    (2, True)
    """
    if kerf < 0:
        raise JobError("kerf", f"{kerf} is below 0", "A saw's kerf is 0 or more", "Measure it")
    offered = sorted(set(stock), key=lambda rail: (rail.length, rail.first_hole, rail.holes))
    amounts = [pitch, kerf, *(rail.length for rail in offered), *(r.first_hole for r in offered)]
    for piece in pieces:
        amounts += [piece.length, piece.first_hole, piece.tip, kerf * piece.kerf_factor]
    scale = math.lcm(*(Fraction(amount).denominator for amount in amounts))

    def units(amount: Fraction) -> int:
        return int(amount * scale)

    stocks = [_Stock(units(r.length), units(r.first_hole), r.holes) for r in offered]
    by_kind: dict[_Kind, list[Piece]] = {}
    unplaced = []
    for piece in pieces:
        kind = _Kind(
            units(piece.length),
            units(piece.first_hole),
            piece.holes,
            units(piece.tip),
            units(kerf * piece.kerf_factor),
            piece.first_only,
            piece.last_only,
        )
        if any(_place(rail, kind, units(pitch), 0) for rail in stocks):
            by_kind.setdefault(kind, []).append(piece)
        else:
            unplaced.append((piece, _why_not(piece, offered)))
    kinds = list(by_kind)
    counts = [len(by_kind[kind]) for kind in kinds]
    if not kinds:
        return CuttingPlan((), tuple(unplaced), kerf, Fraction(0), 0, FORCED)
    network = _network(stocks, kinds, units(pitch))
    bound = count_bound = 0
    if all(origin < 0 for origin, _ in network.arrows):
        method, paths = FORCED, _forced(stocks, counts, network)
        bound = sum(stocks[network.nodes[path[0]].stock].length for path in paths)
        count_bound = len(paths)
    else:
        method = INTEGER_PROGRAMMING
        flow, bound, count_bound = _choose(stocks, counts, network)
        if flow is None:
            method, paths = ONE_EACH, _forced(stocks, counts, network)
        else:
            paths = _paths(flow, network.arrows)
    waiting = {kind: list(reversed(names)) for kind, names in by_kind.items()}
    rails = []
    for path in sorted(paths, key=lambda path: _in_order(path, network)):
        placed = tuple(
            _placed(network.nodes[index], kinds, offered, waiting, pitch) for index in path
        )
        rail = offered[network.nodes[path[0]].stock]
        rails.append(CutUp(rail, placed, _leftovers(rail, placed, kerf)))
    if any(waiting.values()):
        raise RuntimeError("a cutting plan has lost a rail")
    return CuttingPlan(
        tuple(rails), tuple(unplaced), kerf, Fraction(bound, scale), count_bound, method
    )


def _in_order(path: list[int], network: _Network) -> tuple:
    nodes = [network.nodes[index] for index in path]
    return nodes[0].stock, -len(nodes), [(node.kind, node.hole) for node in nodes]


def _placed(node: _Node, kinds, offered, waiting, pitch: Fraction) -> Placed:
    piece = waiting[kinds[node.kind]].pop()
    start = offered[node.stock].first_hole + node.hole * pitch - piece.first_hole
    first = node.hole + 1 if piece.holes else 0
    last = node.hole + piece.holes if piece.holes else 0
    return Placed(piece, start, start + piece.length, first, last)


def _leftovers(rail: StockRail, placed: Sequence[Placed], kerf: Fraction) -> tuple[Fraction, ...]:
    """What is left before, between and behind the pieces; slivers thinner than the kerf are none."""
    left = []
    end, kerf_before = Fraction(0), Fraction(0)
    for item in placed:
        own = kerf * item.piece.kerf_factor
        left.append(item.start - end - own - kerf_before)
        end, kerf_before = item.end, own
    left.append(rail.length - end - kerf_before)
    return tuple(length for length in left if length > 0)


def _why_not(piece: Piece, offered: Sequence[StockRail]) -> str:
    needed = piece.length + 2 * piece.tip
    if not offered:
        return "the job names no stock lengths"
    if needed > max(rail.length for rail in offered):
        return "no stock length is long enough"
    return "no stock length has its holes where this rail needs them"


# --------------------------------------------------------------------------- rails of a job


@dataclass(frozen=True, slots=True)
class RailPlan:
    """The cutting plan for one kind of stock rail.

    Parameters
    ----------
    rails : tuple of str
        ``"top"``, ``"bottom"`` or both: which rails are cut from this stock.
    plan : CuttingPlan
        How.
    """

    rails: tuple[str, ...]
    plan: CuttingPlan


def rail_plans(
    cuts: CutList, guard: Guard, kerf: Fraction | None = None, apart: bool = False
) -> tuple[RailPlan, ...]:
    """A cutting plan over all rails of a job.

    Parameters
    ----------
    cuts : CutList
        Of the job.
    guard : Guard
        The same job, solved.
    kerf : Fraction, optional
        Of the saw [job's unit of length], 0 or more; left out, 1/8 in or 3 mm.
    apart : bool
        Whether top and bottom rails are different stock although they are equally deep.

    Returns
    -------
    tuple of RailPlan
        One plan where top and bottom rails are equally deep and so taken for the same stock;
        otherwise one for the top rails and one for the bottom rails.
    """
    job = guard.job
    kerf = KERF[job.units] if kerf is None else kerf
    alike = job.panel.top_rail == job.panel.bottom_rail and not apart
    stock = tuple(_stock_rail(job, length) for length in job.panel.stock)
    plans = []
    for group in ((TOP, BOTTOM),) if alike else ((TOP,), (BOTTOM,)):
        wanted = [cut for cut in cuts.rails if cut.rail in group]
        pieces = [_piece(job, guard, cut) for cut in wanted]
        plan = plan_cuts(
            [piece for piece, cut in zip(pieces, wanted, strict=True) if cut.stock is not None],
            stock,
            job.panel.pitch,
            kerf,
        )
        missing = tuple(
            (piece, _no_stock(job, piece, stock))
            for piece, cut in zip(pieces, wanted, strict=True)
            if cut.stock is None
        )
        plans.append(RailPlan(group, replace(plan, unplaced=plan.unplaced + missing)))
    return tuple(plans)


def _stock_rail(job: Job, length: Fraction) -> StockRail:
    punched = hole_pattern(job.panel, length)
    return StockRail(length, punched[0] if punched else Fraction(0), len(punched))


def _piece(job: Job, guard: Guard, cut: RailCut) -> Piece:
    section = guard.sections[cut.section - 1]
    pitch, half = job.panel.pitch, hole_half(job, section)
    first = cut.first_hole
    first_only = last_only = False
    if first is None:  # too short for a baluster: the pattern's place still counts
        own = _stock_rail(job, cut.stock) if cut.stock is not None else None
        first = Fraction(0) if own is None else (own.first_hole - cut.trim_low) % pitch
    else:
        last = first + (cut.balusters - 1) * pitch
        first_only = cut.holes_lost_low == 0 and first - pitch > -half
        last_only = cut.holes_lost_high == 0 and last + pitch < cut.length + half
    return Piece(
        name=cut.name,
        length=cut.length,
        first_hole=first,
        holes=cut.balusters,
        tip=cut.tip,
        kerf_factor=_kerf_factor(cut.saw_angle),
        first_only=first_only,
        last_only=last_only,
    )


def _kerf_factor(saw_angle: float) -> Fraction:
    """One over the cosine of the saw's angle, rounded up to a ten-thousandth."""
    if saw_angle == 0:
        return Fraction(1)
    return Fraction(math.ceil(10_000 / math.cos(math.radians(saw_angle))), 10_000)


def _no_stock(job: Job, piece: Piece, stock: Sequence[StockRail]) -> str:
    reason = _why_not(piece, stock)
    if job.panel.trim == HALF_PITCH and stock and "holes" in reason:
        return "no stock length is long enough to move the pattern half a pitch"
    return reason
