"""The steps beside a slot: how far a ball that comes down next to a post is from the stair.

Between a rail's end and its post a centre may be above the line of the rail's underside, where an
opening's own walls do not reach.  What it meets there are the steps farther up: treads, risers and
nosings with their overhang, or the straight edge of a closed stringer.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise

from stairs.numbers.root_finding import least_between
from stairs.numbers.tolerances import ROUNDING
from stairs.openings.pocket import Pocket
from stairs.shapes.circle_search import Line, distance

Point = tuple[float, float]

_HEIGHTS = 48  # places next to the post that are looked at


class Steps:
    """The face that the stair turns to a slot, from the step below it on up-stair.

    Parameters
    ----------
    inside : callable
        Turns a point in the pocket's coordinates into one in the coordinates to compute with.
    """

    def __init__(self, pocket: Pocket, inside: Callable[[float, float], Point]) -> None:
        outline = _stringer(pocket) if pocket.stringer_margin is not None else _treads(pocket)
        points = [inside(*point) for point in outline]
        self.walls = [_wall(a, b) for a, b in pairwise(points) if a != b]

    def holds(self, x: float, y: float) -> bool:
        """Whether a place is in the stair: up-stair of the face that it shows at that height.

        Parameters
        ----------
        x, y : float
            The place, in the coordinates to compute with.
        """
        for ax, ay, _, _, _, bx, by in self.walls:
            if min(ay, by) <= y < max(ay, by):
                return x > ax + (bx - ax) * (y - ay) / (by - ay)
        first = self.walls[0]
        return y < first[1] and x > first[0]

    def off(self, x: float, y: float) -> float:
        """How far a place is from the stair; 0 in it [unit of the coordinates to compute with].

        Parameters
        ----------
        x, y : float
            The place, in those coordinates.
        """
        return 0.0 if self.holds(x, y) else min(distance(x, y, wall) for wall in self.walls)

    def most_off(self, x: float, low: float, high: float, enough: float) -> float:
        """How far from the stair a place can be that is plumb over or under another.

        Parameters
        ----------
        low, high : float
            Heights between which they are; ``high`` is tried alone where ``low`` is not below it.
        enough : float
            Where the highest place is as far off as this, no other is tried.

        Notes
        -----
        The highest place is the best but for an overhang: under a nosing a lower one may be better.
        """
        most = self.off(x, high)
        if most >= enough or low >= high:
            return most
        apart = (high - low) / _HEIGHTS
        heights = [low + apart * k for k in range(_HEIGHTS)]
        off, y = min((-self.off(x, height), height) for height in heights)
        ends = max(y - apart, low), min(y + apart, high)
        found, _ = least_between(lambda at: -self.off(x, at), *ends, (off, y), ROUNDING)
        return max(most, -found)


def _wall(start: Point, end: Point) -> Line:
    """A segment as :func:`stairs.shapes.circle_search.distance` takes it."""
    length = math.dist(start, end)
    ux, uy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    return *start, ux, uy, length, *end


def _treads(pocket: Pocket) -> list[tuple[float, float]]:
    """Riser, nosing and tread, again and again, with the step's front edge at the origin."""
    run, rise = float(pocket.form.run), float(pocket.form.rise)
    nosing, back = float(pocket.form.nosing), float(pocket.form.setback)
    thick = float(pocket.form.thickness)
    first, last = (0 if pocket.step else 1), max(pocket.risers - pocket.step, 0)
    outline = []
    for k in range(first, last + 1):
        x, y = k * run, k * rise
        outline += [(x + nosing + back, y - rise), (x + nosing, y - thick), (x, y - thick), (x, y)]
    return [*outline, ((last + 1) * run, last * rise)]


def _stringer(pocket: Pocket) -> list[tuple[float, float]]:
    """The straight edge of a closed stringer, with its end where the stair begins."""
    run, slope = float(pocket.form.run), pocket.slope
    lift = float(pocket.front_lift + pocket.margin)
    last = (max(pocket.risers - pocket.step, 0) + 1) * run
    low = -run if pocket.step else run
    end = [(low, lift + low * slope), (last, lift + last * slope)]
    return end if pocket.step else [(low, 0.0), *end]
