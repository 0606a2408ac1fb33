"""The line that rails follow over measured nosings, over a box of measurements.

Which two nosings the narrowest strip leans on, and so what slope the line has, may change with the
measurements.  So its slope is taken for one measurement more, within bounds that hold wherever the
nosings really are.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from msgspec.structs import asdict, replace

from stairs.certainty.enclosure import Enclosure, Unsure, greatest, least
from stairs.certainty.traced import Box, Range, Result, Traced, Worked, end_of, ends_of
from stairs.job import JobFlight
from stairs.parts.survey import COVER, LINES, Line, Nosing, StepsOnLine


def on_line(section: JobFlight, box: Box, key: str) -> tuple[JobFlight, dict[str, Range]]:
    """The flight with its rails on a line that is told, and between what the line's slope lies.

    The section is a measured one with traced nosings, the box that of its measurements, and
    ``key`` is what the slope is called among them.
    """
    nosings, taken = section.steps.nosings or (), section.steps.rail_line or COVER
    slope, ranges = LINES[taken](nosings).slope, {}
    if taken == COVER:
        deepest = _deepest(nosings, slope, box)
        ranges = {
            key: _covering_slopes(nosings, deepest, box),
            STRIP_DEPTH: (Fraction(0), Fraction(deepest)),
        }
        slope = Traced.read(key, slope)
    height = Traced.greatest([y - x * slope for x, y in nosings])
    steps = StepsOnLine(**asdict(section.steps), line=Line(height, slope))
    return replace(section, steps=steps), ranges


STRIP_DEPTH = "depth of the narrowest strip"
"""Between what the line's height over any one nosing lies, where the line covers them all."""


def _deepest(nosings: Sequence[Nosing], drawn: Fraction, box: Box) -> float:
    """How deep the narrowest strip over all nosings is at most, wherever they are.

    It is no deeper than the one with the slope as drawn.
    """
    lifts = [y - x * drawn for x, y in nosings]

    def depth(worked: Worked) -> Enclosure:
        found = [worked(lift) for lift in lifts]
        return greatest(found) - least(found)

    return end_of(depth, box, 1).value


def _covering_slopes(nosings: Sequence[Nosing], depth: float, box: Box) -> Range:
    """Between what the slope of a strip over all nosings lies that is no deeper than told.

    With a slope past these bounds two of the nosings would lie farther apart than that, plumb.
    """
    deepest = Enclosure.of(depth)
    lows, highs = [], []
    for place, low in enumerate(nosings):
        for high in nosings[place + 1 :]:
            run, rise = (Enclosure(*ends_of(_apart(low, high, axis), box)) for axis in (0, 1))
            if run.low <= 0:
                raise Unsure("nosings that may lie over each other")
            lows.append(((rise - deepest) / run).low)
            highs.append(((rise + deepest) / run).high)
    return Fraction(max(lows)), Fraction(min(highs))


def _apart(low: Nosing, high: Nosing, axis: int) -> Result:
    return lambda worked: worked(high[axis] - low[axis])
