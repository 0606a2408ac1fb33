"""End gaps over a box of measurements: every count of balusters that a bay may be left with.

Where a rail is a little shorter than was thought, its end baluster may fall off it, and the gap
beside the post grows by a pitch.  So each baluster that may be the first or the last on the rail,
on each stock length that may be taken, cut either way, is a case with bounds of its own.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from fractions import Fraction
from functools import partial

from msgspec import Struct

from stairs.certainty.enclosure import Enclosure
from stairs.certainty.traced import Box, End, Result, Worked, end_of, ends_of
from stairs.guard.solving import Section
from stairs.job import Job
from stairs.numbers.tolerances import EITHER_WAY
from stairs.parts.bays import tips_of, ways_asked
from stairs.parts.bracket import PIVOT
from stairs.parts.panel import AUTO, EVEN, HALF_PITCH, KERF, as_sold, hole_pattern
from stairs.relations.exact import Amount


class Gap(Struct, frozen=True):
    """The gap beside one post in one case: its bounds, and corners of the box where it is wide."""

    low: float
    high: float
    corners: tuple[dict[str, Fraction], ...] = ()


class _Way(Struct, frozen=True):
    """A bay's rails cut one way: both its gaps, and whether stock for it is sure to be there."""

    gaps: tuple[Gap, Gap]
    sure: bool


class BayCases:
    """One bay of a section that was solved with traced measurements, and the box of these."""

    def __init__(self, section: Section, job: Job, index: int, box: Box) -> None:
        self.section, self.job, self.box = section, job, box
        self.bay = section.bays[index]
        positions = tuple(post.stand.centre for post in section.posts)
        self.clear = section.ends.clear(positions, index)
        self.way_asked = ways_asked(job, len(section.bays), section.record.trim)[index]
        flight = section.flight
        self.step: tuple[Amount, Amount] = (Fraction(0), Fraction(1))
        if flight is not None:
            self.step = flight.line_rise, flight.line_run

    def gaps(self) -> tuple[Gap, Gap]:
        """At the lower and at the upper post [job's unit of length]."""
        asked = (EVEN, HALF_PITCH) if self.way_asked == AUTO else (self.way_asked,)
        cut = [way for way in map(self._cut, asked) if way is not None]
        able = cut if any(way.sure for way in cut) else [*cut, self._made_to_length()]
        gaps = _either([way.gaps for way in able])
        if self.way_asked != AUTO or len(cut) < 2 or not all(way.sure for way in cut):
            return gaps
        # the way is taken whose gaps are no wider than those between balusters, or the narrower
        between = end_of(self._between, self.box, 1).value
        most = max(between, min(max(gap.high for gap in way.gaps) for way in cut))
        low, high = (Gap(gap.low, min(gap.high, most), gap.corners) for gap in gaps)
        return low, high

    def cosine(self, worked: Worked) -> Enclosure:
        return worked.form("cosine", unit_rise=self.step[0], unit_run=self.step[1])

    def _between(self, worked: Worked) -> Enclosure:
        panel = self.job.panel
        return worked(panel.pitch) * self.cosine(worked) - worked(panel.baluster)

    def half_width(self, worked: Worked) -> Enclosure:
        return worked(self.job.panel.baluster) / 2 / self.cosine(worked)

    def _cut(self, way: str) -> _Way | None:
        """Cut from stock, from every length that may be taken; None where none can be."""
        found, sure = [], False
        shift = self.job.panel.pitch / 2 if way == HALF_PITCH else Fraction(0)
        tip = max(tips_of(self.job.panel, self.bay.ends, self.step)) * 1.05
        needed = ends_of(self._needed, self.box)
        for stock in sorted(self.job.panel.stock):
            least, most = float(stock) - needed[1], float(stock) - needed[0]
            if most < 0:
                continue
            off = partial(self._cut_off, stock, shift)
            cut_low, cut_high = (end_of(off, self.box, side).value for side in (-1, 1))
            if cut_high < tip / 1.1 - EITHER_WAY:
                continue  # too short to move the pattern
            found.append(self._gaps_on(stock, shift))
            # what is too little to saw off may be sawn off a longer one
            enough = cut_low - 2 * float(self.job.tape) > float(KERF[self.job.units]) + tip
            if least > 0 and enough:
                sure = True
                break
        return _Way(_either(found), sure) if found else None

    def _needed(self, worked: Worked) -> Enclosure:
        return worked(self.bay.ends.stock_needed)

    def _cut_off(self, stock: Fraction, shift: Fraction, worked: Worked) -> Enclosure:
        """What comes off the lower end of a rail."""
        return (stock - worked(self.bay.ends.rail_length)) / 2 - worked(shift)

    def _made_to_length(self) -> _Way:
        """Of rails that no stock length reaches: whole pitches, centred."""
        pitch = as_sold(self.job.panel).pitch
        low, high = (end / float(pitch) for end in ends_of(self._needed, self.box))
        counts = range(math.ceil(low - EITHER_WAY) + 1, math.ceil(high + EITHER_WAY) + 2)
        return _Way(
            _either([self._gaps_on(count * pitch, Fraction(0)) for count in counts]),
            True,
        )

    def _gaps_on(self, stock: Fraction, shift: Fraction) -> tuple[Gap, Gap]:
        """Of a rail cut from one stock length with its pattern shifted."""
        holes = [hole + shift for hole in hole_pattern(self.job.panel, stock)]
        other = [stock - hole for hole in reversed(holes)]  # as the upper end sees them
        ends = self.bay.ends
        cuts = (_RailEnd(self, one, stock, off) for one, off in (
            (holes, ends.stand_off_low), (other, ends.stand_off),
        ))  # fmt: skip
        low_end, high_end = cuts
        count = len(holes)
        middle_first = sorted(range(count), key=lambda place: abs(2 * place - count))
        bare = not any(
            low_end.is_sure(place) and high_end.is_sure(count - 1 - place) for place in middle_first
        )
        return low_end.gap(bare), high_end.gap(bare)


class _RailEnd:
    """One end of a rail cut from one stock length, with the holes counted from there inward."""

    def __init__(
        self, cases: BayCases, holes: Sequence[Fraction], stock: Fraction, stand_off: Amount
    ) -> None:
        self.cases, self.holes, self.stock, self.stand_off = cases, holes, stock, stand_off
        pivot = cases.job.bracket.kind == PIVOT
        self.setback = cases.job.bracket.rail_setback if pivot else Fraction(0)
        ends = cases.bay.ends
        self.alike = ends.stand_off_low == ends.stand_off

    def is_sure(self, place: int) -> bool:
        """Whether a whole baluster is on the rail at this end of it, whatever was measured."""
        return self._end(self._inside(place), -1).value > EITHER_WAY

    def gap(self, bare: bool) -> Gap:
        """The gap beside the post in every case; ``bare`` where the rail may have no baluster."""
        clear = self._end(lambda worked: worked(self.cases.clear), 1)
        found: list[Gap] = []
        for place in self._first_kept():
            low, high = (self._end(self._gap_to(place), side) for side in (-1, 1))
            most, corners = min(high.value, clear.value), [high.corner]
            if place:
                lost, just = self._end(self._inside(place - 1), -1), self._end(self._just_lost, 1)
                most = min(most, just.value)
                corners += _mixed(lost, high, just)
            found.append(Gap(low.value, most, tuple(corners)))
        if bare or not found:
            least = self._end(lambda worked: worked(self.cases.clear), -1)
            away = [self._end(self._inside(place), -1).corner for place in range(len(self.holes))]
            corners = [clear.corner, *({**clear.corner, **one} for one in away)]
            found.append(Gap(least.value, clear.value, tuple(corners)))
        return _widest(found)

    def _end(self, result: Result, side: int) -> End:
        return end_of(result, self.cases.box, side)

    def _along(self, worked: Worked, place: int) -> Enclosure:
        spare = self.stock - worked(self.cases.bay.ends.rail_length)
        return worked(self.holes[place]) - spare / 2

    def _inside(self, place: int) -> Result:
        """How far a whole baluster is inside the rail's end."""
        return lambda worked: self._along(worked, place) - self.cases.half_width(worked)

    def _gap_to(self, place: int) -> Result:
        def gap(worked: Worked) -> Enclosure:
            half, cosine = worked(self.cases.job.panel.baluster) / 2, self.cases.cosine(worked)
            if self.alike:  # the rail's middle is the bay's
                from_middle = worked(self.stock / 2 - self.holes[place]) * cosine
                return worked(self.cases.clear) / 2 - half - from_middle
            on_rail = (worked(self.setback) + self._along(worked, place)) * cosine
            return worked(self.stand_off) + on_rail - half

        return gap

    def _just_lost(self, worked: Worked) -> Enclosure:
        """The gap where the baluster before the first one is just lost."""
        pitch = worked(self.setback + self.cases.job.panel.pitch)
        return worked(self.stand_off) + pitch * self.cases.cosine(worked)

    def _first_kept(self) -> Iterator[int]:
        """The places of the holes that may be the first one with a whole baluster."""
        count = len(self.holes)
        first = next((place for place in range(count) if self._as_read(place) > -EITHER_WAY), count)
        last = first
        while first > 0 and self._end(self._inside(first - 1), 1).value > -EITHER_WAY:
            first -= 1
        while last < count and self._end(self._inside(last), -1).value < EITHER_WAY:
            last += 1
        yield from range(first, min(last, count - 1) + 1)

    def _as_read(self, place: int) -> float:
        bay, panel = self.cases.bay, self.cases.job.panel
        spare = float(self.stock) - bay.rail_length
        half = float(panel.baluster) / 2 / math.cos(math.radians(bay.ends.swing))
        return float(self.holes[place]) - spare / 2 - half


def _mixed(lost: End, wide: End, just: End) -> list[dict[str, Fraction]]:
    """Corners where a baluster is lost and the gap is wide."""
    return [{**wide.corner, **lost.corner}, {**lost.corner, **wide.corner},
            {**lost.corner, **just.corner}, lost.corner]  # fmt: skip


def _widest(gaps: Sequence[Gap]) -> Gap:
    """One gap for all cases, the corners of the widest first."""
    by_width = sorted(gaps, key=lambda gap: -gap.high)
    corners = tuple(corner for gap in by_width for corner in gap.corners)
    return Gap(min(gap.low for gap in gaps), by_width[0].high, corners)


def _either(pairs: Sequence[tuple[Gap, Gap]]) -> tuple[Gap, Gap]:
    """Both gaps of a bay that may be cut in any of some ways."""
    low, high = (_widest(gaps) for gaps in zip(*pairs, strict=True))
    return low, high
