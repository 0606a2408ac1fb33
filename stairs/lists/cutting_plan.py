"""The cutting plan: which rails to saw from which stock rails, so that least stock is bought.

A stock rail comes punched with holes at one pitch, and a finished rail must have its holes where
the bay wants them.  So a rail cannot be cut just anywhere: it may be moved along the stock by whole
pitches only, and never to where the stock has no holes for all of its balusters.  Between two rails
the saw takes its kerf, and more where their cuts are not parallel planes.  All rails lie the same
way round in the stock: lower end first, underside down.  Among all plans that keep to this, the one
that buys the least length of stock is taken, and of those the one with the fewest stock rails.

All lengths are whole multiples of one small unit, so that nothing is lost in rounding, and the
bound that comes with the plan says that none can buy less.  How it is found is in
:mod:`stairs.lists.cutting_search`.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from stairs.errors import JobError
from stairs.lists.cutting_search import Kind, Saw, Stock, choose
from stairs.progress import at_work

SECONDS = 4.0
"""How long a plan may be looked for; the best one found by then is given."""

NO_STOCK, TOO_SHORT, TOO_THIN = "no-stock", "too-short", "too-thin"
HOLES_ELSEWHERE, NO_ROOM_TO_MOVE = "holes-elsewhere", "no-room-to-move"
"""Why a rail comes out of no stock rail: the last where it should be moved half a pitch."""

FINE = 1024
"""What is not a whole number of units (a slanted kerf, a tip) is rounded up to one over this."""


class Cut(Struct, frozen=True):
    """The plane of a saw cut, by where it meets the rail's edges; lengths in the job's unit."""

    # how much further along the rail, towards its upper end, the plane meets the rail's upper face
    # than its axis; below 0 where it leans the other way
    up: Fraction = Fraction(0)
    left: Fraction = Fraction(0)  # the same for the left-hand face, seen going up the rail
    # kerf along the axis over kerf square to the blade, 1 or more
    kerf_factor: Fraction = Fraction(1)

    @property
    def tip(self) -> Fraction:
        """How far the cut reaches beyond the axis, at the corner where it reaches furthest."""
        return abs(self.up) + abs(self.left)

    def wedge(self, other: Cut) -> Fraction:
        """How much nearer two cuts come at a corner than they are on the axis; 0 if parallel."""
        return abs(self.up - other.up) + abs(self.left - other.left)


SQUARE = Cut()


class StockRail(Struct, frozen=True):
    """A rail as sold; lengths exact, in the job's unit."""

    length: Fraction  # above 0
    first_hole: Fraction  # from its lower end to the first baluster centre
    holes: int  # how many holes it has, one pitch apart


class Piece(Struct, frozen=True):
    """One finished rail as the saw sees it; lengths exact, in the job's unit."""

    name: str  # which rail it is
    length: Fraction  # along the axis, on a mark of the tape
    first_hole: Fraction  # from its lower cut to its first whole hole
    holes: int  # how many balusters it keeps; with 0 only the pattern's place matters
    low: Cut = SQUARE  # its lower and its upper cut
    high: Cut = SQUARE
    # whether a further hole beyond its first (last) would spoil it, so that it can only be cut
    # where the stock's own pattern begins (ends)
    first_only: bool = False
    last_only: bool = False


class Placed(Struct, frozen=True):
    """A piece at its place in a stock rail."""

    piece: Piece  # what is cut
    start: Fraction  # its two cuts on the axis, from the stock rail's lower end
    end: Fraction
    # which of the stock rail's holes it takes, counted from 1; both 0 where it takes none
    holes_from: int
    holes_to: int


class CutUp(Struct, frozen=True):
    """One stock rail and what is cut from it."""

    stock: StockRail  # as bought
    placed: tuple[Placed, ...]  # from its lower end up
    # lengths that are left between the cuts, measured on the axis, the kerf of each cut taken off;
    # in order from the lower end
    leftovers: tuple[Fraction, ...]


class CuttingPlan(Struct, frozen=True):
    """What to buy and how to cut it."""

    rails: tuple[CutUp, ...]  # one per stock rail bought
    unplaced: tuple[tuple[Piece, str], ...]  # what comes out of none, and why
    kerf: Fraction  # of the saw, square to its blade
    bound: Fraction  # no plan for the placed pieces can buy less than this
    count_bound: int  # no plan that buys as little takes fewer stock rails than this

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
    pieces: Sequence[Piece],
    stock: Sequence[StockRail],
    pitch: Fraction,
    kerf: Fraction,
    seconds: float = SECONDS,
) -> CuttingPlan:
    """The plan that buys least stock, then fewest stock rails; see its ``unplaced`` too.

    Parameters
    ----------
    stock : sequence of StockRail
        What is sold, any number of each.
    pitch : Fraction
        Between holes, the same in all [job's unit of length], above 0.
    kerf : Fraction
        Width of the saw's cut, square to the blade [job's unit of length], 0 or more; less than the
        pitch.
    seconds : float
        How long it may take in all.

    Raises
    ------
    JobError
        The kerf is below 0.

    Notes
    -----
    A piece whose first hole lies ``f`` from its lower cut can start at ``h + j p - f`` in a stock
    rail whose first hole is at ``h``, with ``p`` the pitch and ``j`` any hole that leaves enough
    holes above it.  At the stock rail's own ends no kerf is lost.  A cut is the plane
    ``u = u0 + a y + b z`` across a section ``h`` by ``w``; two of them come nearer than on the axis
    by ``|a1 - a2| h / 2 + |b1 - b2| w / 2``.  Parallel cuts a kerf apart are one cut.

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
    at_work("which stock rail each rail comes out of")
    if kerf < 0:
        raise JobError("kerf", f"{kerf} is below 0", "A saw's kerf is 0 or more", "Measure it")
    offered = sorted(set(stock), key=lambda rail: (rail.length, rail.first_hole, rail.holes))
    amounts = [pitch, kerf]
    amounts += [amount for rail in offered for amount in (rail.length, rail.first_hole)]
    amounts += [amount for piece in pieces for amount in (piece.length, piece.first_hole)]
    scale = math.lcm(*(Fraction(amount).denominator for amount in amounts)) * FINE
    saw, waiting = _in_units(pieces, offered, pitch, kerf, scale)
    fits = [
        any(saw.place(number, kind) for number in range(len(offered)))
        for kind in range(len(waiting))
    ]
    unplaced = tuple(
        (piece, why_not(piece, offered, kerf))
        for alike, fit in zip(waiting, fits, strict=True)
        if not fit
        for piece in alike
    )
    if not any(fits):
        return CuttingPlan((), unplaced, kerf, Fraction(0), 0)
    waiting = [alike[::-1] for alike, fit in zip(waiting, fits, strict=True) if fit]
    saw = replace(
        saw,
        kinds=tuple(kind for kind, fit in zip(saw.kinds, fits, strict=True) if fit),
        counts=tuple(map(len, waiting)),
    )
    choice = choose(saw, seconds)
    rails = []
    for number, places in sorted(choice.rails, key=lambda rail: (rail[0], -len(rail[1]), rail[1])):
        rail = offered[number]
        placed = tuple(_placed(rail, waiting[kind].pop(), hole, pitch) for kind, hole in places)
        rails.append(CutUp(rail, placed, _leftovers(rail, placed, kerf)))
    if any(waiting):
        raise RuntimeError("a cutting plan has lost a rail")
    bound = Fraction(choice.bound, scale)
    return CuttingPlan(tuple(rails), unplaced, kerf, bound, choice.count_bound)


def _in_units(
    pieces: Sequence[Piece],
    offered: Sequence[StockRail],
    pitch: Fraction,
    kerf: Fraction,
    scale: int,
) -> tuple[Saw, list[list[Piece]]]:
    """Everything in whole units of ``1 / scale``, and the pieces of each kind."""

    def units(amount: Fraction) -> int:
        return math.ceil(amount * scale)

    planes = list(dict.fromkeys(cut for piece in pieces for cut in (piece.low, piece.high)))
    by_kind: dict[Kind, list[Piece]] = {}
    for piece in pieces:
        low, high = piece.low, piece.high
        kind = Kind(
            length=units(piece.length),
            first_hole=units(piece.first_hole),
            holes=piece.holes,
            tips=(units(low.tip), units(high.tip)),
            kerfs=(units(kerf * low.kerf_factor), units(kerf * high.kerf_factor)),
            cuts=(planes.index(low), planes.index(high)),
            first_only=piece.first_only,
            last_only=piece.last_only,
        )
        by_kind.setdefault(kind, []).append(piece)
    saw = Saw(
        stocks=tuple(Stock(units(r.length), units(r.first_hole), r.holes) for r in offered),
        kinds=tuple(by_kind),
        counts=tuple(map(len, by_kind.values())),
        pitch=units(pitch),
        wedges=tuple(tuple(units(one.wedge(other)) for other in planes) for one in planes),
    )
    return saw, list(by_kind.values())


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
        left.append(item.start - end - kerf * item.piece.low.kerf_factor - kerf_before)
        end, kerf_before = item.end, kerf * item.piece.high.kerf_factor
    left.append(rail.length - end - kerf_before)
    return tuple(length for length in left if length > 0)


def why_not(piece: Piece, offered: Sequence[StockRail], kerf: Fraction) -> str:
    """Why a piece that has no place in any of the stock rails offered comes out of none."""
    if not offered:
        return NO_STOCK
    longest = max(rail.length for rail in offered)
    needed = piece.length + piece.low.tip + piece.high.tip
    if needed > longest:
        return TOO_SHORT
    if longest - piece.length < 2 * kerf:
        return TOO_THIN
    return HOLES_ELSEWHERE
