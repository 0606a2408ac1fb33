"""Bays as a layout weighs them: end gaps and stock of a bay by its width alone.

Of bays that end alike the rail grows with the bay by one over the rake's cosine, so a bay that was
solved once tells all others.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from math import ceil, floor

from msgspec import Struct

from stairs.errors import NoSuchShape
from stairs.job import Job
from stairs.numbers.tolerances import SAME
from stairs.parts.bays import Bay, bays_of, tips_of
from stairs.parts.bracket import PIVOT, RailEnds
from stairs.parts.panel import AUTO, EVEN, HALF_PITCH, KERF, better_trim, hole_pattern
from stairs.parts.rails import RailLine
from stairs.parts.section_ends import Ends
from stairs.relations.closed_forms import end_gap
from stairs.relations.exact import Amount


class BayCut(Struct, frozen=True):
    """What a bay of one width comes to; lengths in the job's unit.

    Parameters
    ----------
    end_gaps : tuple of (float, float)
        The narrower and the wider gap between a post and its baluster, level.
    no_stock : bool
        Whether rails are sold and none of them reaches.
    stock_needed : float
        Length of stock that a rail takes.
    worst_gap : float
        The widest end gap where measuring error loses a baluster close to a cut.
    cut_gap : float
        The widest end gap with the rail and its trim rounded to the tape.
    """

    end_gaps: tuple[float, float]
    no_stock: bool
    stock_needed: float
    worst_gap: float
    cut_gap: float


class _QuickTrim(Struct, frozen=True):
    """What two ways of cutting a rail are compared by, see :class:`stairs.parts.panel.Trim`."""

    stock: float
    end_gap_low: float
    end_gap_high: float
    sawn_holes: int
    worst: float
    cut: float


class BayKind:
    """Bays that end alike and are cut alike."""

    def __init__(
        self,
        job: Job,
        step: tuple[Amount, Amount],
        line: RailLine,
        ends: Ends,
        way: str,
        numbers: tuple[float, float],
    ) -> None:
        panel = job.panel
        self.job, self.step, self._line, self.ends, self.way = job, step, line, ends, way
        self.cosine, self.between = numbers
        self.patterns = [self._pattern(stock) for stock in sorted(panel.stock)]
        self.baluster, self.pitch = float(panel.baluster), float(panel.pitch)
        self.half = self.baluster / 2 / self.cosine
        self.half_hole = self.half if panel.slot is None else float(panel.slot.length) / 2
        self.within, self.mark = float(job.measured_within), float(job.tape)
        self.kerf = float(KERF[job.units])
        self.held = 2 if panel.end_margin is None else 1
        self.taken = float(ends.low_reach) + float(ends.high_reach)
        self.at = 0.0
        self.solved: Bay | None = None
        self._made: dict[int, list[tuple[float, float, int]]] = {}

    def _solve(self, spacing: float) -> Bay | None:
        pair = (Fraction(0), Fraction(spacing))
        try:
            return bays_of(self.job, pair, self.step, self._line, "", self.ends, self.way)[0]
        except NoSuchShape:
            return None

    def _measure(self, ends: RailEnds) -> None:
        """The end gaps to balusters at a rail's cuts, and how far its tips reach beyond these."""
        bracket = self.job.bracket
        setback = float(bracket.rail_setback) if bracket.kind == PIVOT else 0.0
        rake = float(self.step[0]), float(self.step[1])
        self.at_cuts = [
            float(end_gap(float(stand_off), setback, 0.0, self.baluster, *rake))
            for stand_off in (ends.stand_off_low, ends.stand_off)
        ]
        self.tips = tips_of(self.job.panel, ends, self.step)

    def cut(self, spacing: float) -> BayCut | None:
        """End gaps and stock of one such bay; None where its brackets find no room.

        Parameters
        ----------
        spacing : float
            Post centre to post centre, or to the face of a wall, above 0 [job's unit of length].
        """
        if self.solved is None:
            self.at = max(spacing, 4 * float(self.job.post.width))
            self.solved = self._solve(self.at)
            if self.solved is not None:
                self._measure(self.solved.ends)
        if self.solved is not None:
            more = (spacing - self.at) / self.cosine
            length, needed = self.solved.rail_length + more, self.solved.stock_needed + more
            clear = spacing - self.taken
            if length <= SAME or clear <= 0:
                return None
            sizes = length, needed, clear
            ways = (EVEN, HALF_PITCH) if self.way == AUTO else (self.way,)
            trims = {way: self._from_stock(self.patterns, way, *sizes) for way in ways}
            way = self.way
            if way == AUTO:
                way, _ = better_trim(trims[EVEN], trims[HALF_PITCH], self.between)
            taken = trims[way] or self._from_stock(self._made_to_length(needed), EVEN, *sizes)
            if taken is not None:
                gaps = sorted((taken.end_gap_low, taken.end_gap_high))
                no_stock = bool(self.patterns) and trims[way] is None
                return BayCut((gaps[0], gaps[1]), no_stock, needed, taken.worst, taken.cut)
        bay = self._solve(spacing)
        if bay is None:
            return None
        gaps = sorted((bay.end_gap_low, bay.end_gap_high))
        no_stock = bool(self.patterns) and bay.trims.used is None
        return BayCut((gaps[0], gaps[1]), no_stock, bay.stock_needed, gaps[1], gaps[1])

    def _on_tape(self, length: float) -> float:
        return floor(length / self.mark + 0.5) * self.mark

    def _pattern(self, stock: Fraction) -> tuple[float, float, int]:
        """A stock length, its first hole and how many it has."""
        holes = hole_pattern(self.job.panel, stock)
        return float(stock), float(holes[0]) if holes else 0.0, len(holes)

    def _made_to_length(self, needed: float) -> list[tuple[float, float, int]]:
        """Stock of whole pitches for a rail that nothing sold reaches, as a solved bay has it."""
        pitches = ceil(needed / self.pitch - SAME) + 1
        if pitches not in self._made:
            stock = pitches * self.job.panel.pitch
            self._made[pitches] = [self._pattern(stock)]
        return self._made[pitches]

    def _from_stock(
        self,
        patterns: Iterable[tuple[float, float, int]],
        way: str,
        length: float,
        needed: float,
        clear: float,
    ) -> _QuickTrim | None:
        """The rail from the shortest stock that reaches and can be sawn; None where none does."""
        shift = self.pitch / 2 if way == HALF_PITCH else 0.0
        printed = self._on_tape(length)
        taken = None
        for pattern in patterns:
            spare = pattern[0] - length
            if needed > pattern[0] + SAME or spare / 2 < shift + max(self.tips) - SAME:
                continue
            low = max(spare / 2 - shift, 0.0)
            off = self._on_tape(low)
            ends = off + self.tips[0], pattern[0] - printed - off + self.tips[1]
            sawable = not any(SAME < end < self.kerf - SAME for end in ends)
            if sawable or taken is None:
                taken = (*pattern, low, off)
            if sawable:
                break
        if taken is None:
            return None
        stock, first, holes, low, off = taken
        start = first + shift - (stock - length) / 2  # the first hole, from the lower cut
        lowest = max(ceil((self.half - SAME - start) / self.pitch), 0)
        highest = min(floor((length - self.half + SAME - start) / self.pitch), holes - 1)
        if lowest > highest:
            return _QuickTrim(stock, clear, clear, 0, clear, clear)
        near, sawn = self.half_hole - SAME, 0
        for cut in (0.0, length):
            beside = min(max(floor((cut - start) / self.pitch + 0.5), 0), holes - 1)
            sawn += abs(start + beside * self.pitch - cut) < near
        # each pitch between the hole that is held and an end hole adds its error to that one
        error = self.within * max(1.0, (highest - lowest) / self.held)
        # a rail as printed lies midway between its pins, its holes where its trim has them
        more = (length - printed) / 2 + low - off
        gaps, worst, as_cut = [], 0.0, 0.0
        for at_cut, along, moved in (
            (self.at_cuts[0], start + lowest * self.pitch, more),
            (self.at_cuts[1], length - start - highest * self.pitch, -more),
        ):
            gap = at_cut + along * self.cosine
            gaps.append(gap)
            lost = along - self.half <= error
            worst = max(worst, gap + self.pitch * self.cosine if lost else gap)
            as_cut = max(as_cut, gap + moved * self.cosine)
        return _QuickTrim(stock, gaps[0], gaps[1], sawn, worst, as_cut)
