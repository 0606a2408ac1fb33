"""Moves: which way a result goes where one measurement is a little off and all others are as read.

The section is solved again with each measurement at either end of its range.  What passes its
openings takes longest by far, so it is asked for in the one opening that is meant, and only where
its walls have moved.  Whether they do one end tells.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from fractions import Fraction

from msgspec import Struct

from stairs.certainty.readings import Reading, job_with
from stairs.certainty.sharing import Beside, with_neighbours
from stairs.checks.checked_values import measures_of
from stairs.checks.measure import Measure
from stairs.checks.part_values import PRACTICE, RACKING
from stairs.errors import JobError
from stairs.guard.solving import solve_section
from stairs.job import Job
from stairs.openings.opening import Opening
from stairs.openings.section_openings import room_in, size_of
from stairs.progress import at_work

Corner = dict[str, Fraction]


class _End(Struct, frozen=True):
    """One measurement at an end of its range: every measure then by its key, with its value.

    Of an opening that has to be searched nothing is found yet but where its walls are.
    """

    at: Fraction
    measures: Mapping[object, tuple[Measure, float]]


class Moves:
    """How the results of one section move with its measurements; ``index`` is from 0.

    Where sections ``beside`` it are told its posts are as tall as those need them that share them.
    """

    def __init__(
        self,
        job: Job,
        index: int,
        readings: Sequence[Reading],
        beside: Sequence[Beside] = (),
    ) -> None:
        self._job, self._index, self._readings, self._beside = job, index, readings, beside
        self._ends: dict[tuple[str, Fraction], _End] = {}

    def towards(self, measure: Measure) -> tuple[Corner, Corner]:
        """The corner to which a result falls, and to which it rises, by one move at a time."""
        low: Corner = {}
        high: Corner = {}
        size = measure.value  # what a ball as large has to spare moves as the largest ball does
        for name, ends, (first, last) in self._moving(measure, lambda moved: room_in(moved, size)):
            falls, rises = ends if first < last else ends[::-1]
            low[name], high[name] = falls.at, rises.at
        return low, high

    def shares(self, measure: Measure) -> list[tuple[str, float]]:
        """Which measurements move a result, and which part of the whole, the most first.

        By how much it moves with each from one end of its range to the other, as parts of 1.
        """
        moving = self._moving(measure, size_of)
        apart = {name: abs(first - last) for name, _, (first, last) in moving}
        whole = sum(apart.values())
        found = [(name, off / whole) for name, off in apart.items() if off > 1e-9 * whole]
        return sorted(found, key=lambda pair: -pair[1])

    def _moving(
        self, measure: Measure, searched: Callable[[Opening], float]
    ) -> Iterator[tuple[str, tuple[_End, _End], tuple[float, float]]]:
        """Every measurement that moves a result, with the result at both its ends."""
        key, opening = measure.keys[0], measure.opening
        walls = None if opening is None else opening.walls
        for one in self._readings:
            first = self._end(one, one.low)
            if key not in first.measures:
                continue
            drawn, low = first.measures[key]
            if drawn.opening is not None and drawn.opening.walls == walls is not None:
                continue  # nor does the other end move them
            last = self._end(one, one.high)
            if key not in last.measures:
                continue
            moved, high = last.measures[key]
            if drawn.opening is not None and moved.opening is not None:
                low, high = searched(drawn.opening), searched(moved.opening)
            if low != high:
                yield one.key, (first, last), (low, high)

    def _end(self, reading: Reading, value: Fraction) -> _End:
        key = reading.key, value
        if key not in self._ends:
            self._ends[key] = self._solved(reading, value)
        return self._ends[key]

    def _solved(self, reading: Reading, value: Fraction) -> _End:
        at_work(f"section {self._index + 1}: {reading.key} read a little off")
        job = job_with(self._job, self._readings, {reading.key: value})
        try:
            section = solve_section(job, self._index, only_walls=True)
            section = with_neighbours(section, job, self._beside)
        except JobError:
            return _End(value, {})
        found: dict[object, tuple[Measure, float]] = {}
        for one in measures_of(section, job):
            moved = 0.0
            if one.check == RACKING:  # its limit moves as well
                moved = float(PRACTICE[one.check].limit(section, job)[0])
            found |= dict.fromkeys(one.keys, (one, one.value - moved))
        return _End(value, found)
