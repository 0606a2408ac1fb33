"""Search: a whole range of values gone through, so that none of it is left out of account.

The range is cut into cells.  A cell of which it is proved what comes of it is done; any other is
halved, on marks of the tape, down to the marks that lie side by side.  Between two of which one
passes and the other does not the change is closed in on, with exact verdicts on both its sides.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Callable, Iterator
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from stairs.checks.finding import allowed
from stairs.inverse.answer import End, Failing, Stretch, Way
from stairs.inverse.closed import in_closed_form
from stairs.inverse.goal import Goal, Miss
from stairs.inverse.proofs import Keys, Prover
from stairs.inverse.span import Span
from stairs.inverse.trials import UNBUILT, Trial, Trials
from stairs.numbers.root_finding import zero_between

NARROW = Fraction(1, 10**12)  # of the bracket about an end, in the key's unit
MOST_SOLVED, MOST_LAID_OUT = 500, 50  # values: where posts are laid out anew each takes longer
_COARSE = 32  # parts of a range in which it is looked at where nothing can be built
_FINER = 1  # halvings below the marks, where what passes is not proved to do so all over
_BESIDE = Fraction(1, 10**6)  # beside an end so much is told by the verdicts at its two sides alone
_HAIR = Fraction(1, 10**9)  # within which it is told that there is room to build
_CLOSE = 16  # values that can be set, at either end of a stretch of a long range
_PLAIN = 1000  # the greatest denominator of what is taken for a plain number


class Cell(Struct, frozen=True):
    """A part of the range, and what comes of the values in it.

    A ``change`` is the bracket about an end, of which the one side passes and the other does not;
    ``beside`` is the millionth next to it.
    """

    low: Fraction
    high: Fraction
    passes: bool
    proved: bool = False
    failing: Keys = frozenset()
    change: bool = False
    beside: bool = False


class _Part(Struct, frozen=True):
    """A part of the range that is still to be looked at; of which more is known, ``left`` less."""

    low: Fraction
    high: Fraction
    left: Keys | None = None
    finer: int = 0  # halvings below the marks up to here


class Search:
    """One range gone through for one goal."""

    def __init__(self, trials: Trials, span: Span) -> None:
        self.trials, self.span = trials, span
        self.prover = Prover(trials)
        self.cells: list[Cell] = []
        self._open: list[tuple[Fraction, Fraction, _Part]] = []
        self._most = MOST_LAID_OUT if trials.lays_out else MOST_SOLVED

    def run(self) -> None:
        """Go through the whole range."""
        self._push(_Part(self.span.low, self.span.high))
        while self._open:
            self._look(heapq.heappop(self._open)[2])
        self.cells.sort(key=lambda cell: cell.low)

    def _push(self, part: _Part) -> None:
        if part.low < part.high:  # the widest first
            heapq.heappush(self._open, (part.low - part.high, part.low, part))

    def _halve(self, part: _Part, at: Fraction, left: Keys | None, finer: int) -> None:
        self._push(_Part(part.low, at, left, finer))
        self._push(_Part(at, part.high, left, finer))

    def _look(self, part: _Part) -> None:
        low, high = part.low, part.high
        ends = self.trials.at(low), self.trials.at(high)
        unbuilt = [trial.outcome is None for trial in ends]
        if all(unbuilt) and high - low <= (self.span.high - self.span.low) / _COARSE:
            self._close(low, high, False)
            return
        proof = self.prover.between(low, high, part.left)
        if proof.passes is not None:
            self.cells.append(Cell(low, high, proof.passes, True, proof.failing))
            return
        passes = ends[0].as_drawn
        spent = len(self.trials.solved) >= self._most
        mark = None if spent else self._mark_between(low, high)
        if mark is not None:
            self._halve(part, mark, proof.left, 0)
        elif passes != ends[1].as_drawn:
            self._change(part)
        elif passes and part.finer < _FINER and proof.able and not spent:
            self._halve(part, (low + high) / 2, proof.left, part.finer + 1)
        else:
            self._close(low, high, passes)

    def _change(self, part: _Part) -> None:
        """The bracket about an end, and what is left on its two sides."""
        low, high = part.low, part.high
        inner = closed_in(self.trials, low, high)
        self.cells.append(Cell(*inner, False, change=True))
        for side, (start, stop) in enumerate(((low, inner[0]), (inner[1], high))):
            near = min(_BESIDE, (stop - start) / 2)
            if near == 0:
                continue
            passes = self.trials.at(start).as_drawn
            cut = start + near if side else stop - near
            ends = (start, cut) if side else (cut, stop)
            if self.trials.at(cut).as_drawn != passes:  # more than one change lies here
                self._push(_Part(start, cut, part.left))
                self._push(_Part(cut, stop, part.left))
                continue
            self._close(*ends, passes, beside=True)
            rest = (cut, stop) if side else (start, cut)
            self._push(_Part(*rest, part.left, part.finer + 1))

    def _close(self, low: Fraction, high: Fraction, passes: bool, beside: bool = False) -> None:
        """A part that is not proved, of which the verdicts at its two ends are alike."""
        failing: Keys = frozenset()
        if not passes:
            sets = [{miss.key for miss in self.trials.at(end).drawn_misses} for end in (low, high)]
            failing = frozenset(sets[0] & sets[1])
        self.cells.append(Cell(low, high, passes, failing=failing, beside=beside))

    def _mark_between(self, low: Fraction, high: Fraction) -> Fraction | None:
        """A value between two that can be set, near their middle; None where there is none."""
        step = self.span.stride
        mark = round((low + high) / 2 / step) * step
        for near in (mark, mark - step, mark + step):
            if low < near < high:
                return near
        return None

    # ------------------------------------------------------------------ what was found

    def stretches(self) -> tuple[Stretch, ...]:
        """All that pass as drawn, each from end to end."""
        found: list[Stretch] = []
        row: list[Cell] = []
        before: Cell | None = None
        for cell in [*self.cells, None]:
            if cell is not None and cell.passes and not cell.change:
                row.append(cell)
                continue
            if cell is not None and cell.change and before is not None and before.change:
                found += self._single(before, cell)
            if row:
                low = self._end(before, row[0].low, -1)
                found.append(
                    Stretch(
                        low,
                        self._end(cell, row[-1].high, 1),
                        all(one.proved or one.beside for one in row),
                    )
                )
                row = []
            before = cell
        return tuple(found)

    def _single(self, before: Cell, cell: Cell) -> list[Stretch]:
        """A single value that passes, between two next to it that do not."""
        if before.high != cell.low or not self.trials.at(cell.low).as_drawn:
            return []
        low = end_between(self.trials, cell.low, before.low)
        return [Stretch(low, self._end(cell, cell.low, 1), True)]

    def _end(self, beyond: Cell | None, at: Fraction, side: int) -> End:
        """The end of a stretch; ``beyond`` is the cell there, none at an end of the range."""
        if beyond is None:
            return End(at, at, at)
        if beyond.change:
            outside = beyond.low if side < 0 else beyond.high
            return end_between(self.trials, at, outside)
        return end_between(self.trials, at, at)  # fails right beside, as is proved

    def failing(self) -> tuple[Failing, ...]:
        """All that fail as drawn, cells in which the same fails put together."""
        found: list[Failing] = []
        for cell in self.cells:
            if cell.passes or cell.change:
                continue
            misses, sure = self._misses(cell), cell.proved or cell.beside
            last = found[-1] if found else None
            if (
                last is not None
                and last.high == cell.low
                and {one.key for one in last.misses} == {one.key for one in misses}
            ):
                found[-1] = Failing(last.low, cell.high, misses, last.proved and sure)
            else:
                found.append(Failing(cell.low, cell.high, misses, sure))
        return tuple(found)

    def _misses(self, cell: Cell) -> tuple[Miss, ...]:
        """What fails all over a cell, as it is at the end nearer to passing."""
        ends = [self.trials.at(cell.low), self.trials.at(cell.high)]
        told = [miss for trial in ends for miss in trial.drawn_misses if miss.key in cell.failing]
        least: dict[tuple[int, str], Miss] = {}
        for miss in told or [miss for trial in ends for miss in trial.drawn_misses]:
            if miss.key not in least or miss.over < least[miss.key].over:
                least[miss.key] = miss
        return tuple(least.values())

    def way(self) -> Way:
        """How sure it is what comes of the range."""
        loose = [one for one in self.cells if not (one.proved or one.change or one.beside)]
        unbuilt = [cell for cell in loose if cell.failing == {(0, UNBUILT)}]
        seen = [cell for cell in loose if cell not in unbuilt]
        return Way(
            not loose,
            sum((cell.high - cell.low for cell in loose), Fraction(0)),
            max((cell.high - cell.low for cell in seen), default=None),
            len(self.trials.solved),
            self.trials.lays_out,
            max((cell.high - cell.low for cell in unbuilt), default=None),
        )


def both(one: tuple[Stretch, ...], other: tuple[Stretch, ...]) -> Iterator[Stretch]:
    """What lies in stretches of both kinds; of two that only meet the place, where nothing leaps.

    Of a number that is at least so much in the one, and at most in the other, it is where it is so.
    """
    for first in one:
        for second in other:
            low = max((first.low, second.low), key=lambda end: end.value)
            high = min((first.high, second.high), key=lambda end: end.value)
            proved = first.proved and second.proved
            if low.value < high.value - NARROW:
                yield Stretch(low, high, proved)
            elif low.value <= high.value + NARROW and not (low.jumps or high.jumps):
                yield Stretch(low, replace(high, value=low.value), proved)


def closed_in(trials: Trials, low: Fraction, high: Fraction) -> tuple[Fraction, Fraction]:
    """Two values at most 1e-12 apart, the one passing as drawn and the other not, as the given.

    A sixteenth of a mark apart where posts are laid out at each value, to marks of the tape.
    """
    passes = trials.at(low).as_drawn
    narrow = trials.bench.job.tape / 16 if trials.lays_out else NARROW
    for near in ((low, low + NARROW), (high - NARROW, high)):  # most ends are plain numbers
        inside = low <= near[0] and near[1] <= high
        if inside and [trials.at(one).as_drawn for one in near] == [passes, not passes]:
            return near
    guess = None if trials.lays_out else _crossing(trials, low, high)
    if guess is not None:
        for apart in (NARROW / 4, NARROW / 2):
            near = max(low, guess - apart), min(high, guess + apart)
            if [trials.at(one).as_drawn for one in near] == [passes, not passes]:
                return near
    while high - low > narrow:
        middle = (low + high) / 2
        if trials.at(middle).as_drawn == passes:
            low = middle
        else:
            high = middle
    return low, high


def closed_in_leap(
    trials: Trials, low: Fraction, high: Fraction, make: Callable[[Trial], object]
) -> tuple[Fraction, Fraction]:
    """Two values at most a millionth apart between which what is made of a guard changes."""
    before = make(trials.at(low))
    while high - low > (trials.bench.job.tape / 16 if trials.lays_out else _BESIDE):
        middle = (low + high) / 2
        if make(trials.at(middle)) == before:
            low = middle
        else:
            high = middle
    return low, high


def _crossing(trials: Trials, low: Fraction, high: Fraction) -> Fraction | None:
    """About where what fails at the one end and not at the other crosses its limit."""
    ends = (trials.at(low), trials.at(high))
    failing = ends[0] if ends[1].as_drawn else ends[1]
    if any(trial.outcome is None for trial in ends):
        return None
    miss = failing.drawn_misses[0]
    at = [excess(trials.goal, trial, miss) for trial in ends]
    if at[0] is None or at[1] is None or (at[0] > 0) == (at[1] > 0):
        return None
    if (root := in_closed_form(trials.goal, ends, miss)) is not None:
        return root

    def function(value: float) -> float:
        found = excess(trials.goal, trials.at(Fraction(value)), miss)
        return math.inf if found is None else found

    near = 1e-14 * max(1.0, abs(float(high)))
    ends_found = zero_between(function, float(low), float(high), (at[0], at[1]), near, 0.0)
    return (Fraction(ends_found[0]) + Fraction(ends_found[1])) / 2


def excess(goal: Goal, trial: Trial, miss: Miss) -> float | None:
    """How far what is told of a miss is past its limit at another value, below 0 where it is not.

    None where it cannot be told.
    """
    if trial.outcome is None or miss.limit is None:
        return None
    number = value_of_miss(goal, trial, miss)
    if number is None:
        return None
    value, limit = number
    return limit - value if miss.kind == "minimum" else value - limit


def value_of_miss(goal: Goal, trial: Trial, miss: Miss) -> tuple[float, float] | None:
    """The value of what was missed elsewhere, and its limit, in a guard that may keep it."""
    if trial.outcome is None or not miss.section:
        return None
    if goal.target is None or goal.target.result is None:
        for one in trial.outcome.findings[miss.section - 1]:
            if one.id == miss.id and one.value is not None and one.ruling.limit is not None:
                limit = one.ruling.limit if goal.target is None else float(goal.target.value)
                return one.value, limit
        return None
    section = trial.outcome.sections[miss.section - 1].section
    for where, number in goal.target.result.read_off(section, goal.target.nth):
        if where == miss.where:
            return float(number), float(goal.target.value)
    return None


def end_between(trials: Trials, inside: Fraction, outside: Fraction) -> End:
    """The end of a stretch between a value that passes and one beside it that does not."""
    passing, failing = trials.at(inside), trials.at(outside)
    misses = failing.drawn_misses
    if not misses:
        return End(inside, outside, inside)
    first = misses[0]
    ends = min(inside, outside), max(inside, outside)
    if first.id == UNBUILT:  # what there is room for is told within a hair
        ends = ends[0] - _HAIR, ends[1] + _HAIR
    plain = None if ends[1] - ends[0] > 4 * _HAIR else simplest(*ends)
    if plain is not None:
        value, included = plain, trials.at(plain).as_drawn
    else:
        value = (inside + outside) / 2
        included = first.id != UNBUILT and first.kind != "equal" and allowed(first.kind, 0)
    held = value_of_miss(trials.goal, passing, first)
    return End(
        inside,
        outside,
        value,
        plain is not None,
        included,
        misses,
        None if held is None else held[0],
        (_leans(passing, first), _leans(failing, first)),
    )


def _leans(trial: Trial, miss: Miss) -> str:
    """What the ball of the opening that is told of a check touches; empty where it is of none."""
    if trial.outcome is None or miss.finding is None:
        return ""
    for one in trial.outcome.findings[miss.section - 1]:
        opening = None if one.measure is None else one.measure.opening
        if one.id == miss.id and opening is not None:
            return ", ".join(map(str, opening.leans_on))
    return ""


def simplest(low: Fraction, high: Fraction) -> Fraction | None:
    """The fraction of the least denominator between two, both told; None of one over 1000.

    Examples
    --------
    >>> simplest(Fraction(7.7499999999), Fraction(7.7500000001))
    Fraction(31, 4)
    """
    found = (low + high) / 2
    for limit in (1, 2, 4, 8, 16, 32, 64, 10, 100, _PLAIN):
        near = found.limit_denominator(limit)
        if low <= near <= high:
            return near
    return None


def marks_in(span: Span, low: Fraction, high: Fraction) -> Iterator[Fraction]:
    """The values from one to another that can be set, both told; of a long range every so many.

    At either end of what is told they stand as close as they can be set.
    """
    near = min(span.stride, _CLOSE * span.step) if span.stride > span.step else Fraction(0)
    found = {*_multiples(span.stride, low, high)}
    if near:
        found |= {*_multiples(span.step, low, min(low + near, high))}
        found |= {*_multiples(span.step, max(high - near, low), high)}
    yield from sorted(found)


def _multiples(step: Fraction, low: Fraction, high: Fraction) -> Iterator[Fraction]:
    for k in range(math.ceil(low / step), math.floor(high / step) + 1):
        yield k * step
