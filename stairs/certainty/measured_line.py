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
        ranges = {key: _covering_slopes(nosings, slope, box)}
        slope = Traced.read(key, slope)
    height = Traced.greatest([y - x * slope for x, y in nosings])
    steps = StepsOnLine(**asdict(section.steps), line=Line(height, slope))
    return replace(section, steps=steps), ranges


def _covering_slopes(nosings: Sequence[Nosing], drawn: Fraction, box: Box) -> Range:
    """Between what the slope of the narrowest strip over all nosings lies.

    Wherever the nosings are, the narrowest strip is no deeper than the one with the slope as drawn,
    which itself is nowhere deeper than some depth.  With a slope past these bounds two of the
    nosings would lie farther apart than that, plumb.
    """
    lifts = [y - x * drawn for x, y in nosings]

    def depth(worked: Worked) -> Enclosure:
        found = [worked(lift) for lift in lifts]
        return greatest(found) - least(found)

    deepest = Enclosure.of(end_of(depth, box, 1).value)
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
