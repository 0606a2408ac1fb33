"""A view: how the points of the work come to lie on paper.

A view has a scale and a place on the sheet, and nothing else.  Since the scale is exact and the
place is a number of millimetres, a distance of the work divided by the scale is the distance on
paper, to the last digit.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from msgspec import Struct

from stairs.drawing.paper.primitives import Point, Segment
from stairs.drawing.paper.sheet_sizes import Scale


class View(Struct, frozen=True):
    """Scale and place of one view.

    >>> from stairs.drawing.paper.sheet_sizes import INCH_SCALES
    >>> View(INCH_SCALES[2], "in", (50.0, 40.0)).at((12.0, 0.0))
    (75.4, 40.0)
    """

    scale: Scale  # a standard one
    units: str  # units of the work, "in" or "mm"
    origin: Point = (0.0, 0.0)  # where the work's own origin lies [mm on paper]

    @property
    def unit(self) -> float:
        """Paper length of one unit of the work [mm]."""
        return float(self.scale.paper_millimetres(self.units))

    def at(self, point: Point) -> Point:
        """Where a point of the work lies [mm on paper]."""
        return (
            self.origin[0] + point[0] * self.unit,
            self.origin[1] + point[1] * self.unit,
        )

    def back(self, point: Point) -> Point:
        """The point of the work that lies at a place on paper [units of the work]."""
        return (
            (point[0] - self.origin[0]) / self.unit,
            (point[1] - self.origin[1]) / self.unit,
        )

    def length(self, length: float) -> float:
        """A length of the work on paper [mm]."""
        return length * self.unit

    def all_at(self, points: Iterable[Point]) -> tuple[Point, ...]:
        """Several points of the work on paper [mm]."""
        return tuple(self.at(point) for point in points)


def along(start: Point, end: Point, distance: float) -> Point:
    """The point that far from the start towards the end; negative before the start.

    >>> along((0.0, 0.0), (3.0, 4.0), 10.0)
    (6.0, 8.0)
    """
    length = math.hypot(end[0] - start[0], end[1] - start[1])
    share = distance / length if length else 0.0
    return (start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share)


def nearest_on(piece: Segment, point: Point) -> Point:
    """The point of a straight piece that is nearest to a point.

    >>> level = (0.0, 0.0), (4.0, 0.0)
    >>> nearest_on(level, (3.0, 2.0)), nearest_on(level, (9.0, 2.0))
    ((3.0, 0.0), (4.0, 0.0))
    """
    (ax, ay), (bx, by) = piece
    dx, dy = bx - ax, by - ay
    length = dx * dx + dy * dy
    share = ((point[0] - ax) * dx + (point[1] - ay) * dy) / length if length else 0.0
    share = min(max(share, 0.0), 1.0)
    return ax + share * dx, ay + share * dy
