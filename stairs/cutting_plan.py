"""The cutting plan: which rails to saw from which stock rails, so that least stock is bought.

A stock rail comes punched with holes at one pitch, and a finished rail must have its holes where
the bay wants them.  So a rail cannot be cut just anywhere: it may be moved along the stock by whole
pitches only, and never to where the stock has no holes for all of its balusters.  Between two rails
the saw takes its kerf.  Among all plans that keep to this, the one that buys the least length of
stock is taken, and of those the one with the fewest stock rails.

The plan is exact.  All lengths are whole multiples of one small unit, so that nothing is lost in
rounding, and the bound that comes with it says that no plan can buy less.  How it is found is in
:mod:`stairs.cutting_patterns`.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from fractions import Fraction

from msgspec import Struct

from stairs.cutting_network import (
    FORCED,
    ONE_EACH,
    Choice,
    Kind,
    Stock,
    choose_flow,
    first_place,
    one_each,
)
from stairs.cutting_patterns import choose_patterns, patterns_of, search
from stairs.errors import JobError


class StockRail(Struct, frozen=True):
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


class Piece(Struct, frozen=True):
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
        How far a slanted cut reaches beyond the axis, at the lower end; 0 for square cuts.
    kerf_factor : Fraction
        Kerf along the axis over kerf square to the blade; 1 for square cuts.
    first_only, last_only : bool
        Whether a further hole beyond its first (last) would spoil it, so that it can only be cut
        where the stock's own pattern begins (ends).
    tip_high : Fraction or None
        The tip at the upper end; None where both are alike.
    """

    name: str
    length: Fraction
    first_hole: Fraction
    holes: int
    tip: Fraction = Fraction(0)
    kerf_factor: Fraction = Fraction(1)
    first_only: bool = False
    last_only: bool = False
    tip_high: Fraction | None = None

    @property
    def upper_tip(self) -> Fraction:
        """How far the upper cut reaches beyond the axis [job's unit of length]."""
        return self.tip if self.tip_high is None else self.tip_high


class Placed(Struct, frozen=True):
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


class CutUp(Struct, frozen=True):
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


class CuttingPlan(Struct, frozen=True):
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
        ``"forced"`` where no stock rail holds two pieces, ``"search"`` or ``"integer programming"``
        (all three exact), or ``"one each"`` where the solver found nothing in its time.
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
        amounts += [piece.length, piece.first_hole, piece.tip, piece.upper_tip]
        amounts.append(kerf * piece.kerf_factor)
    scale = math.lcm(*(Fraction(amount).denominator for amount in amounts))

    def units(amount: Fraction) -> int:
        return int(amount * scale)

    stocks = [Stock(units(r.length), units(r.first_hole), r.holes) for r in offered]
    by_kind: dict[Kind, list[Piece]] = {}
    unplaced = []
    for piece in pieces:
        kind = Kind(
            units(piece.length),
            units(piece.first_hole),
            piece.holes,
            units(piece.tip),
            units(kerf * piece.kerf_factor),
            piece.first_only,
            piece.last_only,
            units(piece.upper_tip),
        )
        if any(first_place(rail, kind, units(pitch), 0) for rail in stocks):
            by_kind.setdefault(kind, []).append(piece)
        else:
            unplaced.append((piece, why_not(piece, offered)))
    kinds = list(by_kind)
    counts = [len(by_kind[kind]) for kind in kinds]
    if not kinds:
        return CuttingPlan((), tuple(unplaced), kerf, Fraction(0), 0, FORCED)
    choice = _choice(stocks, kinds, counts, units(pitch))
    waiting = {kind: list(reversed(names)) for kind, names in by_kind.items()}
    rails = []
    for number, places in sorted(choice.rails, key=lambda rail: (rail[0], -len(rail[1]), rail[1])):
        rail = offered[number]
        placed = tuple(
            _placed(rail, waiting[kinds[kind]].pop(), hole, pitch) for kind, hole in places
        )
        rails.append(CutUp(rail, placed, _leftovers(rail, placed, kerf)))
    if any(waiting.values()):
        raise RuntimeError("a cutting plan has lost a rail")
    return CuttingPlan(
        tuple(rails),
        tuple(unplaced),
        kerf,
        Fraction(choice.bound, scale),
        choice.count_bound,
        choice.method,
    )


def _choice(
    stocks: Sequence[Stock], kinds: Sequence[Kind], counts: Sequence[int], pitch: int
) -> Choice:
    """The best choice, by the least machinery that proves it."""
    alone = one_each(stocks, kinds, counts, pitch)
    patterns = patterns_of(stocks, kinds, counts, pitch)
    if patterns is None:
        choice = choose_flow(stocks, kinds, counts, pitch)
    elif all(len(pattern.places) == 1 for pattern in patterns):
        least = sum(stocks[number].length for number, _ in alone)
        return Choice(alone, least, len(alone), FORCED)
    else:
        choice = search(patterns, stocks, counts) or choose_patterns(patterns, stocks, counts)
    return choice or Choice(alone, 0, 0, ONE_EACH)


def _placed(rail: StockRail, piece: Piece, hole: int, pitch: Fraction) -> Placed:
    start = rail.first_hole + hole * pitch - piece.first_hole
    first = hole + 1 if piece.holes else 0
    last = hole + piece.holes if piece.holes else 0
    return Placed(piece, start, start + piece.length, first, last)


def _leftovers(rail: StockRail, placed: Sequence[Placed], kerf: Fraction) -> tuple[Fraction, ...]:
    """What is left before, between and behind the pieces; what the kerf eats is none."""
    left = []
    end, kerf_before = Fraction(0), Fraction(0)
    for item in placed:
        own = kerf * item.piece.kerf_factor
        left.append(item.start - end - own - kerf_before)
        end, kerf_before = item.end, own
    left.append(rail.length - end - kerf_before)
    return tuple(length for length in left if length > 0)


def why_not(piece: Piece, offered: Sequence[StockRail]) -> str:
    """Why a piece comes out of none of the stock rails offered, in words.

    Parameters
    ----------
    piece : Piece
        That has no place in any of them.
    offered : sequence of StockRail
        The stock rails; none where the job names none.
    """
    needed = piece.length + piece.tip + piece.upper_tip
    if not offered:
        return "the job names no stock lengths"
    if needed > max(rail.length for rail in offered):
        return "no stock length is long enough"
    return "no stock length has its holes where this rail needs them"
