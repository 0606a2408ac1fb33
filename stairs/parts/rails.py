"""The rails: the straight line they follow over the nosings, and their outlines.

Both rails of a section run parallel to the nosing line, the bottom rail's underside at the bottom
gap above it, plumb.  A level run is the same with no rise.
"""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct

from stairs.job import Job, Panel
from stairs.parts.bracket import PIVOT, RailEnds
from stairs.relations.exact import Amount, derived

Point = tuple[float, float]
Outline = tuple[Point, Point, Point, Point]


class RailLine(Struct, frozen=True):
    """The underside of the bottom rail as a line; floats in the job's unit.

    Parameters
    ----------
    line_at_zero : float
        Height of the nosing line (or the level surface) at ``x = 0``.
    gap : float
        Plumb, from that line to the rail's underside.
    """

    line_at_zero: float
    unit_rise: float
    unit_run: float
    gap: float

    @property
    def slope(self) -> float:
        """Rise over run."""
        return self.unit_rise / self.unit_run

    @property
    def cosine(self) -> float:
        """Level length per length along the rail."""
        return float(self.unit_run / (self.unit_rise**2 + self.unit_run**2) ** 0.5)

    def under(self, x: float) -> float:
        """Height of the bottom rail's underside at ``x`` [job's unit of length].

        Parameters
        ----------
        x : float
            Level, from the section's ``x = 0`` [job's unit of length].

        Examples
        --------
        >>> RailLine(7.5, 7.5, 10, 0.5).under(20)
        23.0
        """
        return self.line_at_zero + self.gap + x * self.slope


def rail_axes(panel: Panel, step: tuple[Amount, Amount]) -> tuple[float, float]:
    """Plumb, from the bottom rail's underside to the axis of either rail, the lower first."""
    depth = derived("plumb_depth", depth=panel.bottom_rail, unit_rise=step[0], unit_run=step[1])
    between = derived(
        "rail_spacing_plumb",
        panel_height=panel.height,
        top_rail=panel.top_rail,
        bottom_rail=panel.bottom_rail,
    )
    low = float(depth) / 2
    return low, low + float(between)


def rail_outline(
    job: Job,
    end: RailEnds,
    low_face: float,
    clear: float,
    line: RailLine,
    depth: Fraction,
    lift: float,
) -> Outline:
    """Corners of one rail in the section's coordinates: lower end under and over, upper end over
    and under.
    """
    cosine = line.cosine
    sine = line.slope * cosine
    half = float(depth) / 2
    setback = float(job.bracket.rail_setback) * cosine if job.bracket.kind == PIVOT else 0.0
    x_low = low_face + float(end.stand_off_low) + setback
    x_high = low_face + clear - float(end.stand_off) - setback
    axis_low = line.under(x_low) + lift
    axis_high = line.under(x_high) + lift
    square_cut = (-half * sine, half * cosine)
    shift = square_cut if job.bracket.kind == PIVOT else (0.0, half / cosine)
    return (
        (x_low - shift[0], axis_low - shift[1]),
        (x_low + shift[0], axis_low + shift[1]),
        (x_high + shift[0], axis_high + shift[1]),
        (x_high - shift[0], axis_high - shift[1]),
    )
