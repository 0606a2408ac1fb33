"""The line that rails follow over measured nosings, over a box of measurements.

Which two nosings the narrowest strip leans on, and so what slope the line has, may change with the
measurements: each pair that it may be is a case of its own.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from msgspec.structs import asdict, replace

from stairs.certainty.enclosure import Enclosure, greatest, least
from stairs.certainty.traced import Box, Result, Traced, Worked, end_of
from stairs.job import JobFlight
from stairs.parts.survey import COVER, LINES, Line, Nosing, StepsOnLine


def on_lines(section: JobFlight, box: Box) -> Iterator[JobFlight]:
    """The flight with its rails on each line that they may follow somewhere in the box.

    The section is a measured one with traced nosings.
    """
    nosings, taken = section.steps.nosings or (), section.steps.rail_line or COVER
    slopes = _covering(nosings, box) if taken == COVER else [LINES[taken](nosings).slope]
    for slope in slopes:
        height = Traced.greatest([y - x * slope for x, y in nosings])
        steps = StepsOnLine(**asdict(section.steps), line=Line(height, slope))
        yield replace(section, steps=steps)


def _covering(nosings: Sequence[Nosing], box: Box) -> list[Fraction]:
    """The slopes from nosing to nosing that the narrowest strip over all may have."""
    sides = [
        (low, (high[1] - low[1]) / (high[0] - low[0]))
        for place, low in enumerate(nosings)
        for high in nosings[place + 1 :]
    ]
    able = [slope for low, slope in sides if _may_be_side(low, slope, nosings, box)]
    narrowest = _strip(min(able, key=lambda slope: _depth(slope, nosings)), nosings)

    def deeper(slope: Fraction) -> Result:
        strip = _strip(slope, nosings)
        return lambda worked: strip(worked) - narrowest(worked)

    return [slope for slope in able if end_of(deeper(slope), box, -1).value <= 0]


def _may_be_side(low: Nosing, slope: Fraction, nosings: Sequence[Nosing], box: Box) -> bool:
    """Whether all nosings may lie on one side of the line through one with the slope to another."""

    def over(nosing: Nosing) -> Result:
        return lambda worked: worked(nosing[1] - low[1] - (nosing[0] - low[0]) * slope)

    others = [over(nosing) for nosing in nosings if nosing is not low]
    above = any(end_of(one, box, -1).value > 0 for one in others)
    return not (above and any(end_of(one, box, 1).value < 0 for one in others))


def _depth(slope: Fraction, nosings: Sequence[Nosing]) -> float:
    lifts = [float(y) - float(x) * float(slope) for x, y in nosings]
    return max(lifts) - min(lifts)


def _strip(slope: Fraction, nosings: Sequence[Nosing]) -> Result:
    """How deep the strip over all nosings is, plumb."""
    lifts = [y - x * slope for x, y in nosings]

    def depth(worked: Worked) -> Enclosure:
        found = [worked(lift) for lift in lifts]
        return greatest(found) - least(found)

    return depth
