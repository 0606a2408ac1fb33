"""A stair as it is: measured nosings, the straight line set out over them, and slips of the tape.

Old stairs are uneven.  Measured nosing points give every tread its own rise and run, while the
guard's rails are straight, so a nosing line has to be chosen.  Three make sense:

- *cover*: the line that no nosing stands above and that lies least far above the lowest one, which
  is the upper edge of the narrowest plumb strip that holds all nosings.  It is the one that is
  used unless the job says otherwise: a rail parallel to it clears every nosing by the bottom gap or
  more, and the greatest own gap is as small as a straight rail allows.
- *ends*: parallel to the line through the first nosing and the last.
- *mean*: parallel to the line of least squares, which favours no nosing.

The two others are raised until no nosing stands above them, so that the bottom gap is the least own
gap and the guard height the least height whichever line is taken.

A reading that disagrees with all the others is more likely a slip of the tape than a crooked
stair.  It is found by leaving out one nosing at a time: where that alone makes the rest of the
stair even, the reading is named, with what it probably was.  A single step that differs from all
others cannot be told from a slip by its neighbours: it is named as a doubt, or as uneven where a
measured total bears it out.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from math import lcm
from statistics import median

from msgspec import Struct

from stairs.errors import NoSuchShape
from stairs.job.records import FlightSteps

Nosing = tuple[Fraction, Fraction]

COVER, ENDS, MEAN = "cover", "ends", "mean"


class Line(Struct, frozen=True):
    """A straight line over the nosings: height at ``x = 0`` and rise per run."""

    at_zero: Fraction
    slope: Fraction

    def height(self, x: Fraction) -> Fraction:
        """Height of the line at ``x`` [job's unit of length].

        Parameters
        ----------
        x : Fraction
            Level, from the flight's ``x = 0`` [job's unit of length].

        Notes
        -----
        ``at_zero + slope x``.

        Examples
        --------
        >>> Line(Fraction(7), Fraction(3, 4)).height(Fraction(20))
        Fraction(22, 1)
        """
        return self.at_zero + self.slope * x


class StepsOnLine(FlightSteps, frozen=True, kw_only=True):
    """Measured steps, and a line that their rails follow whatever the nosings make of it."""

    line: Line


class Slip(Struct, frozen=True):
    """A reading that looks like a slip of the tape.

    Parameters
    ----------
    nosing : int
        From 1 at the foot; of a step measured singly, the riser's or the tread's number.
    axis : str
        ``"x"`` or ``"y"``: which of the nosing's two readings; ``"rise"`` or ``"run"`` of a step
        measured singly.
    read, expected : Fraction
        What was read, and what the other nosings make of it.
    """

    nosing: int
    axis: str
    read: Fraction
    expected: Fraction


class Doubt(Struct, frozen=True):
    """A single step that differs from all others: truly uneven, or misread.

    Parameters
    ----------
    step : int
        The riser or tread, from 1 at the foot.
    axis : str
        ``"rise"`` or ``"run"``.
    read, usual : Fraction
        What was read, and what the other steps are about.
    place : str
        ``"first"``, ``"last"`` or ``"inner"``.
    single : bool
        Whether the step was measured by itself.
    borne_out : bool
        Whether the measured total agrees with the sum of the single steps, this one included.
    """

    step: int
    axis: str
    read: Fraction
    usual: Fraction
    place: str
    single: bool
    borne_out: bool


class Survey(Struct, frozen=True):
    """What measured nosings say about a flight; lengths in the job's unit.

    Parameters
    ----------
    line : Line
        The line that the rails follow; no nosing stands above it.
    taken : str
        Which of them the rails follow: ``"cover"``, ``"ends"`` or ``"mean"``.
    single : bool
        Whether each riser and each tread was measured by itself.
    totals : tuple of str
        ``"rise"`` and ``"run"``: which totals were measured too and agree with the single steps.
    rises, runs : tuple of Fraction
        Of every riser, and of every tread.
    line_gaps : tuple of Fraction
        Plumb, from each nosing up to the line that the rails follow; 0 or more.
    """

    line: Line
    taken: str
    points: tuple[Nosing, ...]
    single: bool
    totals: tuple[str, ...]
    rises: tuple[Fraction, ...]
    runs: tuple[Fraction, ...]
    line_gaps: tuple[Fraction, ...]

    @property
    def others(self) -> dict[str, Line]:
        """The lines that are not taken, by name, as they lie: they may pass under a nosing."""
        return {name: line(self.points) for name, line in LINES.items() if name != self.taken}

    @property
    def slips(self) -> tuple[Slip, ...]:
        """Readings that disagree with the others."""
        return self._odd[0]

    @property
    def doubts(self) -> tuple[Doubt, ...]:
        """Single steps that differ from all others."""
        return self._odd[1]

    @property
    def _odd(self) -> tuple[tuple[Slip, ...], tuple[Doubt, ...]]:
        # asked for where the survey is told of, not wherever it is tried with measuring errors
        return _odd_readings(self.points, self.rises, self.runs, self.single, self.totals)


def covering_line(points: Sequence[Nosing]) -> Line:
    """The upper edge of the narrowest plumb strip that holds all points, exactly.

    Notes
    -----
    The narrowest strip has one of its two edges along a side of the points' convex hull, so every
    side's slope is tried; the least plumb height of the strip wins, and of equal
    ones the flattest.  Counted in a part of the unit that goes into every coordinate, all lifts
    times the run of a pair are whole numbers, which are quick to compare.

    Examples
    --------
    >>> line = covering_line([(Fraction(0), Fraction(7)), (Fraction(10), Fraction(15)),
    ...                       (Fraction(20), Fraction(21))])
    >>> line.slope, line.at_zero
    (Fraction(7, 10), Fraction(8, 1))
    """
    parts = lcm(*(value.denominator for point in points for value in point))
    counted = [(int(x * parts), int(y * parts)) for x, y in points]
    strips = []
    for (x0, y0), (x1, y1) in (*_hull(counted, 1), *_hull(counted, -1)):
        run, rise = x1 - x0, y1 - y0
        lifts = [y * run - rise * x for x, y in counted]
        most, least = max(lifts), min(lifts)
        strips.append((Fraction(most - least, run), Fraction(rise, run), Fraction(most, run)))
    _, slope, lift = min(strips)
    return Line(lift / parts, slope)


def _hull(
    points: Sequence[tuple[int, int]], side: int
) -> Iterable[tuple[tuple[int, int], tuple[int, int]]]:
    """The sides of a convex hull of points, ``x`` growing: above them for 1, below for -1."""
    kept: list[tuple[int, int]] = []
    for x, y in points:
        while len(kept) > 1:
            (x0, y0), (x1, y1) = kept[-2:]
            if side * ((y1 - y0) * (x - x0) - (y - y0) * (x1 - x0)) > 0:
                break
            kept.pop()
        kept.append((x, y))
    return pairwise(kept)


def _mean_line(points: Sequence[Nosing]) -> Line:
    count = len(points)
    mean_x = sum((x for x, _ in points), Fraction(0)) / count
    mean_y = sum((y for _, y in points), Fraction(0)) / count
    moment = sum(((x - mean_x) * (y - mean_y) for x, y in points), Fraction(0))
    slope = moment / sum(((x - mean_x) * (x - mean_x) for x, _ in points), Fraction(0))
    return Line(mean_y - slope * mean_x, slope)


def _ends_line(points: Sequence[Nosing]) -> Line:
    first, last = points[0], points[-1]
    slope = (last[1] - first[1]) / (last[0] - first[0])
    return Line(first[1] - slope * first[0], slope)


def raised(line: Line, points: Sequence[Nosing]) -> Line:
    """The parallel to a line that touches the nosing standing highest over it.

    Examples
    --------
    >>> line = Line(Fraction(7), Fraction(7, 10))
    >>> str(raised(line, [(Fraction(0), Fraction(7)), (Fraction(10), Fraction(15))]).at_zero)
    '8'
    """
    lift = max(y - line.height(x) for x, y in points)
    return Line(line.at_zero + lift, line.slope)


LINES = {COVER: covering_line, ENDS: _ends_line, MEAN: _mean_line}


def chosen_line(points: Sequence[Nosing], taken: str = COVER) -> Line:
    """The line that the rails follow over measured nosings; no nosing stands above it.

    Parameters
    ----------
    points : sequence of (Fraction, Fraction)
        At least two, ``x`` growing.
    taken : str
        ``"cover"``, ``"ends"`` or ``"mean"``.
    """
    return raised(LINES[taken](points), points)


def survey_of(
    points: Sequence[Nosing],
    where: str,
    single: bool = False,
    taken: str = COVER,
    totals: Sequence[str] = (),
    line: Line | None = None,
) -> Survey:
    """What measured nosings say about a flight.

    Parameters
    ----------
    points : sequence of (Fraction, Fraction)
        Nosing points, lowest first, both coordinates growing.
    single : bool
        Whether each riser and each tread was measured by itself, so that a slip of the tape makes
        one of them odd and carries all nosings above along.
    taken : str
        The line that the rails follow: ``"cover"``, ``"ends"`` or ``"mean"``.
    totals : sequence of str
        ``"rise"`` and ``"run"``: which totals were measured too and agree with the single steps.

    Raises
    ------
    NoSuchShape
        The line over the nosings does not rise, or passes below the lower landing at the first.
    """
    line = line or chosen_line(points, taken)
    if line.slope <= 0 or line.at_zero <= 0:
        raise NoSuchShape(
            f"{where}: nosings",
            "the straight line over them does not rise from the first nosing",
            "A flight rises",
            "Measure x level and y plumb from the lower landing, lowest nosing first",
        )
    heights = [Fraction(0), *(y for _, y in points)]
    rises = tuple(high - low for low, high in pairwise(heights))
    runs = tuple(high[0] - low[0] for low, high in pairwise(points))
    return Survey(
        line=line,
        taken=taken,
        points=tuple((x, y) for x, y in points),
        single=single,
        totals=tuple(totals),
        rises=rises,
        runs=runs,
        line_gaps=tuple(line.height(x) - y for x, y in points),
    )


@lru_cache(maxsize=64)  # both are asked for more than once
def _odd_readings(
    points: tuple[Nosing, ...],
    rises: tuple[Fraction, ...],
    runs: tuple[Fraction, ...],
    single: bool,
    totals: tuple[str, ...],
) -> tuple[tuple[Slip, ...], tuple[Doubt, ...]]:
    """Readings that disagree with the others, and single steps that differ from all others."""
    slips: list[Slip] = []
    if not single:
        heights = [Fraction(0), *(y for _, y in points)]
        slips = [*_slips(heights, "y", 0), *_slips([x for x, _ in points], "x", 1)]
    doubts = []
    for steps, axis in ((rises, "rise"), (runs, "run")):
        doubt = _odd_one(steps, axis, single, axis in totals)
        if doubt is None:
            continue
        if single and not doubt.borne_out and (axis == "run" or doubt.place == "inner"):
            slips.append(Slip(doubt.step, axis, doubt.read, doubt.usual))
        else:
            doubts.append(doubt)
    return tuple(slips), tuple(doubts)


_LEFT_OVER = Fraction(2, 3)
"""Of a slip, how much of it two steps together may be off: scatter, and what is usual not known."""


def _slips(readings: Sequence[Fraction], axis: str, first: int) -> list[Slip]:
    """Inner readings that alone make two neighbouring steps uneven, one long and one short."""
    steps = [high - low for low, high in pairwise(readings)]
    if len(steps) < 4:
        return []
    found = []
    for place in range(1, len(steps)):
        others = [*steps[: place - 1], *steps[place + 1 :]]
        usual = median(others)
        spread = median(abs(step - usual) for step in others)
        before, after = steps[place - 1] - usual, steps[place] - usual
        # a slip makes one of the two too long by as much as it makes the other too short
        slip, left_over = abs(before - after) / 2, abs(before + after)
        if slip <= max(4 * spread, usual / 25) or left_over > slip * _LEFT_OVER:
            continue
        low, high = readings[place - 1], readings[place + 1]
        found.append(Slip(place + first, axis, readings[place], (low + high) / 2))
    return found


_OUTSIDE = Fraction(9, 4)
"""How many times farther off than any other step the odd one is."""


def _odd_one(steps: Sequence[Fraction], axis: str, single: bool, borne_out: bool) -> Doubt | None:
    """The one step that differs from all others well outside what these scatter, if it is one.

    Measured singly it is most likely a slip, but for the first and the last riser: where a floor
    was laid later those are truly odd.
    """
    if len(steps) < 4:
        return None
    usual = median(steps)
    step = 1 + max(range(len(steps)), key=lambda index: abs(steps[index] - usual))
    others = [*steps[: step - 1], *steps[step:]]
    spread = max(abs(other - usual) for other in others)
    if abs(steps[step - 1] - usual) <= max(usual / 25, _OUTSIDE * spread):
        return None
    place = "first" if step == 1 else "last" if step == len(steps) else "inner"
    return Doubt(step, axis, steps[step - 1], median(others), place, single, borne_out)


def put_right(points: Sequence[Nosing], slips: Sequence[Slip]) -> tuple[Nosing, ...]:
    """The nosings with every reading that looks like a slip replaced by what the others make of it.

    Examples
    --------
    >>> slip = Slip(2, "y", Fraction(16), Fraction(14))
    >>> points = [(Fraction(0), Fraction(7)), (Fraction(10), Fraction(16))]
    >>> [str(y) for _, y in put_right(points, [slip])]
    ['7', '14']
    """
    mended = [list(point) for point in points]
    for slip in slips:
        if slip.axis in ("x", "y"):
            mended[slip.nosing - 1]["xy".index(slip.axis)] = slip.expected
            continue
        axis = ("run", "rise").index(slip.axis)
        for point in mended[slip.nosing - axis :]:
            point[axis] += slip.expected - slip.read
    return tuple((x, y) for x, y in mended)


def worst_riser(survey: Survey) -> int:
    """Which riser differs most from the mean of all, from 1; the lowest of equals."""
    mean = sum(survey.rises) / len(survey.rises)
    return 1 + max(
        range(len(survey.rises)), key=lambda index: (abs(survey.rises[index] - mean), -index)
    )


def worst_neighbours(steps: Sequence[Fraction]) -> tuple[int, Fraction]:
    """Which two steps that follow each other differ most, and by how much.

    Parameters
    ----------
    steps : sequence of Fraction
        Rises or runs, two or more.

    Returns
    -------
    tuple of (int, Fraction)
        The lower of the two, from 1, and the difference [unit of the steps].

    Examples
    --------
    >>> worst_neighbours([Fraction(7), Fraction(9), Fraction(6)])
    (2, Fraction(3, 1))
    """
    gaps = [abs(high - low) for low, high in pairwise(steps)]
    most = max(gaps)
    return gaps.index(most) + 1, most
