"""A view: how the points of the work come to lie on paper.

A view has a scale and a place on the sheet, and nothing else.  Since the scale is exact and the
place is a number of millimetres, a distance of the work divided by the scale is the distance on
paper, to the last digit.
"""

from __future__ import annotations

import math

from msgspec import Struct

from stairs.drawing.paper.primitives import Point
from stairs.drawing.paper.sheet_sizes import Scale


class View(Struct, frozen=True):
    """Scale and place of one view.

    Parameters
    ----------
    scale : Scale
        A standard one.
    units : str
        Units of the work, ``"in"`` or ``"mm"``.
    origin : Point
        Where the work's own origin lies [mm on paper].

    Examples
    --------
    >>> from stairs.drawing.paper.sheet_sizes import INCH_SCALES
    >>> View(INCH_SCALES[2], "in", (50.0, 40.0)).at((12.0, 0.0))
    (75.4, 40.0)
    """

    scale: Scale
    units: str
    origin: Point = (0.0, 0.0)

    @property
    def unit(self) -> float:
        """Paper length of one unit of the work [mm]."""
        return float(self.scale.paper_millimetres(self.units))

    def at(self, point: Point) -> Point:
        """Where a point of the work lies [mm on paper].

        Parameters
        ----------
        point : Point
            From the work's own origin, right and up positive [units of the work].

        Notes
        -----
        ``x = x0 + k u`` and ``y = y0 + k v`` for the point ``(u, v)``, where ``(x0, y0)`` is where
        the origin lies on paper and ``k`` is the paper length of one unit.
        """
        return (
            self.origin[0] + point[0] * self.unit,
            self.origin[1] + point[1] * self.unit,
        )

    def back(self, point: Point) -> Point:
        """The point of the work that lies at a place on paper [units of the work].

        Parameters
        ----------
        point : Point
            From the lower left corner of the paper [mm on paper].
        """
        return (
            (point[0] - self.origin[0]) / self.unit,
            (point[1] - self.origin[1]) / self.unit,
        )

    def length(self, length: float) -> float:
        """A length of the work on paper [mm].

        Parameters
        ----------
        length : float
            True length [units of the work].
        """
        return length * self.unit

    def all_at(self, points) -> tuple[Point, ...]:
        """Several points of the work on paper [mm].

        Parameters
        ----------
        points : iterable of Point
            From the work's own origin [units of the work].
        """
        return tuple(self.at(point) for point in points)


def along(start: Point, end: Point, distance: float) -> Point:
    """The point that far from the start towards the end; negative before the start.

    Parameters
    ----------
    start, end : Point
        Two points of a line; where they are one, that point is given back.
    distance : float
        From the start, in the units of the points; it may go beyond the end.

    Examples
    --------
    >>> along((0.0, 0.0), (3.0, 4.0), 10.0)
    (6.0, 8.0)
    """
    length = math.hypot(end[0] - start[0], end[1] - start[1])
    share = distance / length if length else 0.0
    return (start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share)
