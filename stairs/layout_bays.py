"""Bays as a layout weighs them: end gaps and stock of a bay by its width alone.

Of bays that end alike the rail grows with the bay by one over the rake's cosine, so a bay that was
solved once tells all others; only one that meets its lower post askew is solved each time.
"""

from __future__ import annotations

from fractions import Fraction
from math import ceil, floor

from msgspec import Struct

from stairs.bays import bays_of
from stairs.ends import Ends
from stairs.errors import NoSuchShape
from stairs.exact import Amount
from stairs.job import Job
from stairs.panel import AUTO, EVEN, HALF_PITCH, better_trim, hole_pattern
from stairs.rails import RailLine

_HAIR = 1e-9


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
    """What two ways of cutting a rail are compared by, see :class:`stairs.panel.Trim`."""

    stock: float
    end_gap_low: float
    end_gap_high: float
    sawn_holes: int
    worst: float
    cut: float


class BayKind:
    """Bays that end alike and are cut alike.

    Parameters
    ----------
    job : stairs.job.Job
        Panel, bracket, stock and measuring error.
    step : tuple of (Fraction or Derived, Fraction or Derived)
        Unit rise and unit run of the rails; a level run is 0 over 1.
    line : RailLine
        Of the section.
    ends : Ends
        Of one such bay.
    way : str
        ``"even"``, ``"half-pitch"`` or ``"auto"``.
    numbers : tuple of (float, float)
        The cosine of the rake, and the clear width between balusters.
    """

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
        self.patterns = [
            (float(stock), [float(hole) for hole in hole_pattern(panel, stock)])
            for stock in sorted(panel.stock)
        ]
        self.baluster, self.pitch = float(panel.baluster), float(panel.pitch)
        self.half = self.baluster / 2 / self.cosine
        self.half_hole = self.half if panel.slot is None else float(panel.slot.length) / 2
        self.within, self.mark = float(job.measured_within), float(job.tape)
        self.held = 2 if panel.end_margin is None else 1
        self.taken = float(ends.low_reach) + float(ends.high_reach)
        self.at, self.solved = 0.0, None
        self._made: dict[int, list[tuple[float, list[float]]]] = {}

    def _solve(self, spacing: float):
        pair = (Fraction(0), Fraction(spacing))
        try:
            return bays_of(self.job, pair, self.step, self._line, "", self.ends, self.way)[0]
        except NoSuchShape:
            return None

    def cut(self, spacing: float) -> BayCut | None:
        """End gaps and stock of one such bay; None where its brackets find no room.

        Parameters
        ----------
        spacing : float
            Post centre to post centre, or to the face of a wall, above 0 [job's unit of length].
        """
        if not self.ends.skew and self.solved is None:
            self.at = max(spacing, 4 * float(self.job.post.width))
            self.solved = self._solve(self.at)
        if self.solved is not None:
            more = (spacing - self.at) / self.cosine
            length, needed = self.solved.rail_length + more, self.solved.stock_needed + more
            clear = spacing - self.taken
            if length <= _HAIR or clear <= 0:
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
        no_stock = bool(self.patterns) and bay.stock is None
        return BayCut((gaps[0], gaps[1]), no_stock, bay.stock_needed, gaps[1], gaps[1])

    def _on_tape(self, length: float) -> float:
        return floor(length / self.mark + 0.5) * self.mark

    def _made_to_length(self, needed: float) -> list[tuple[float, list[float]]]:
        """Stock of whole pitches for a rail that nothing sold reaches, as a solved bay has it."""
        pitches = ceil(needed / self.pitch - _HAIR) + 1
        if pitches not in self._made:
            stock = pitches * self.job.panel.pitch
            holes = list(map(float, hole_pattern(self.job.panel, stock)))
            self._made[pitches] = [(float(stock), holes)]
        return self._made[pitches]

    def _from_stock(
        self, patterns, way: str, length: float, needed: float, clear: float
    ) -> _QuickTrim | None:
        """The rail from the shortest stock that reaches; None where none does."""
        shift = self.pitch / 2 if way == HALF_PITCH else 0.0
        for stock, holes in patterns:
            spare = stock - length
            if needed > stock + _HAIR or spare < 2 * shift + (needed - length) - _HAIR:
                continue
            along = [hole + shift - spare / 2 for hole in holes]
            kept = [x for x in along if self.half - _HAIR <= x <= length - self.half + _HAIR]
            if not kept:
                return _QuickTrim(stock, clear, clear, 0, clear, clear)
            near = self.half_hole - _HAIR
            sawn = sum(any(abs(x - cut) < near for x in along) for cut in (0.0, length))
            # each pitch between the hole that is held and an end hole adds its error to that one
            error = self.within * max(1.0, (len(kept) - 1) / self.held)
            # a rail as printed lies midway between its pins, its holes where its trim has them
            low = max(spare / 2 - shift, 0.0)
            shorter = length - self._on_tape(length)
            moved = low - self._on_tape(low)
            gaps, worst, cut = [], 0.0, 0.0
            for off, more in (
                (kept[0], shorter / 2 + moved),
                (length - kept[-1], -shorter / 2 - moved),
            ):
                gap = (clear - length * self.cosine) / 2 + off * self.cosine - self.baluster / 2
                gaps.append(gap)
                lost = off - self.half <= error
                worst = max(worst, gap + self.pitch * self.cosine if lost else gap)
                cut = max(cut, gap + more * self.cosine)
            return _QuickTrim(stock, *gaps, sawn, worst, cut)
        return None
