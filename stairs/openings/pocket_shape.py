"""The walls of a pocket: what a circle's centre under the rail over one step may not leave.

With the step's front edge at the origin the next nosing is ``(G, R)`` and the rail's underside is
``y = v + x m`` with the slope ``m``.  The neck at a nosing that lies ``v`` below the rail runs
square to it and meets it at ``(-v m / (1 + m²), v / (1 + m²))`` from the nosing.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import Any

from stairs.openings.feature import (
    NOSING,
    POST,
    RAIL_END,
    RISER,
    STRINGER_EDGE,
    STRINGER_END,
    WALKING_SURFACE,
    Feature,
    surface_of,
)
from stairs.openings.pocket import Pocket
from stairs.openings.rail_slots import Numbers, Path, Spot, Underside
from stairs.shapes.circle import Edge, Shape


def pocket_shape(pocket: Pocket, number: Numbers = float) -> Shape:
    """The walls of a pocket and where a circle's centre may be, in the pocket's coordinates.

    Counter-clockwise, from the left end of the step's surface; edges without a name are no walls.

    Parameters
    ----------
    number : callable
        Turns an exact measurement into the kind of number to compute with: ``float``, or
        :func:`stairs.relations.exact.expression` for exact ones.
    """
    walls = _Walls(pocket, number)
    if pocket.straight:
        return walls.over_straight_edge()
    if not walls.closed and pocket.bottom_gap < 0:
        return walls.below_nosings()
    return walls.over_step()


class _Walls:
    """A pocket's measurements in one kind of number."""

    def __init__(self, pocket: Pocket, number: Numbers) -> None:
        self.pocket, self.number, form = pocket, number, pocket.form
        self.rise, self.run = number(form.rise), number(form.run)
        self.nosing, self.thick, self.back = map(
            number, (form.nosing, form.thickness, form.setback)
        )
        self.gap = number(pocket.front_gap)
        self.slope = number(pocket.line_rise) / number(pocket.line_run)
        self.zero = number(Fraction(0))
        self.closed = pocket.stringer_margin is not None
        origin = number(pocket.front[0])
        self.low, self.high = number(pocket.low.face) - origin, number(pocket.high.face) - origin
        self.low_name = Feature(POST, pocket.low.number)
        self.high_name = Feature(POST, pocket.high.number)
        self.surface = surface_of(pocket.step, pocket.risers)
        self.under = Underside(pocket.cut, number, self.rail, self.low, self.high)

    def rail(self, x: Any) -> Any:
        """Height of the rail's underside."""
        return self.gap + x * self.slope

    # ---- over treads and risers ------------------------------------------------------------

    def over_step(self) -> Shape:
        """Between the necks at the step's own front edge and at the next, or between posts."""
        pocket, k, zero = self.pocket, self.pocket.step, self.zero
        start, path = self._around_step()
        beyond = []
        if pocket.low.step != k:
            beyond.append(self._post(self.low, pocket.low.surface, self.low_name))
        if pocket.high.step != k:
            beyond.append(self._post(self.high, pocket.high.surface, self.high_name))
        beyond += self.under.beyond(self.low_name, self.high_name, zero)
        corners = self._rail_corners()
        if pocket.low.step < k:
            corners.append(((zero, zero), Feature(NOSING, k)))
        if pocket.high.step > k and not self.closed:
            corners.append(((self.run, self.rise), Feature(NOSING, k + 1)))
            if self.thick > 0:
                lower = (self.run, self.rise - self.thick)
                corners.append((lower, Feature(NOSING, k + 1, "lower edge")))
        return Shape(_edges(start, path), tuple(beyond), tuple(corners))

    def _around_step(self) -> tuple[Spot, Path]:
        """The surface's left end, and the way round: up to the rail, along it and down again."""
        pocket, k, zero, low = self.pocket, self.pocket.step, self.zero, self.low
        lift = self.number(pocket.front_lift)
        margin = self.number(pocket.margin)
        if pocket.high.step > k:
            path = self._right_side(
                lift + self.run * self.slope + margin if self.closed else self.rise
            )
            corner = path[-1][0]
            top = self._neck_top(corner)
            if self.rail(corner[0]) != corner[1]:
                cut_off = pocket.low.step <= k and low > top[0]
                path.append((self._on_neck(corner, low) if cut_off else top, None))
        else:
            path = self._up_to_post()
        if pocket.low.step == k:
            self.under.walk(path, low)
            start = (low, zero)
            return start, [*path, (start, self.low_name)]
        corner = (zero, lift + margin if self.closed else zero)
        top = self._neck_top(corner)
        if low > top[0] and self.rail(zero) != corner[1]:
            self.under.walk(path, low)
            path.append((self._on_neck(corner, low), self.low_name))
        else:
            self.under.walk(path, top[0])
        start = (zero, zero)
        path.append((corner, None))
        if self.closed:
            path.append((start, STRINGER_END))
        return start, path

    def _neck_top(self, corner: Spot) -> Spot:
        """Where the neck at a corner below the rail comes to it."""
        neck = self.rail(corner[0]) - corner[1]
        square = 1 + self.slope * self.slope
        return corner[0] - neck * self.slope / square, corner[1] + neck / square

    def _on_neck(self, corner: Spot, x: Any) -> Spot:
        return x, corner[1] + (corner[0] - x) / self.slope

    def _up_to_post(self) -> Path:
        """Surface and upper post."""
        foot, top = (self.high, self.zero), (self.high, self.rail(self.high))
        return [(foot, self.surface), (top, self.high_name)]

    def _right_side(self, edge: Any) -> Path:
        """Surface, riser, underside of the overhang and nosing face, up to the corner of the neck;
        of a closed stringer its end, which is as high as its edge there."""
        number, run, rise = self.pocket.step + 1, self.run, self.rise
        if self.closed:
            return [((run, self.zero), self.surface), ((run, edge), STRINGER_END)]
        riser, nosing = Feature(RISER, number), Feature(NOSING, number)
        underside = Feature(NOSING, number, "underside")
        side: Path = [((run + self.nosing + self.back, self.zero), self.surface)]
        if not (self.nosing > 0 or self.back > 0):
            return [*side, ((run, rise), riser)]
        side.append(((run + self.nosing, rise - self.thick), riser))
        if self.nosing > 0:
            side.append(((run, rise - self.thick), underside))
        if self.thick > 0:
            side.append(((run, rise), nosing))
        elif self.nosing > 0:
            side[-1] = ((run, rise), underside)
        return side

    # ---- over a straight edge --------------------------------------------------------------

    def over_straight_edge(self) -> Shape:
        """The strip between the rail and a straight edge parallel to it.

        A post that stands between its ends closes it; elsewhere it ends at an open neck, square to
        the rail, where the space over a landing begins.
        """
        pocket, slope, low, high = self.pocket, self.slope, self.low, self.high
        surface = STRINGER_EDGE if self.closed else WALKING_SURFACE
        margin = self.number(pocket.front_lift + pocket.margin)
        square = 1 + slope * slope

        def edge(x: Any) -> Spot:
            return x, margin + x * slope

        def neck(x: Any) -> Spot:
            """Where the neck from the edge's end at ``x`` comes to the rail, or to the lower
            post."""
            top = x - (self.gap - margin) * slope / square
            return (top, self.rail(top)) if top > low else (low, edge(x)[1] + (x - low) / slope)

        closed_low = pocket.low.step >= pocket.step
        closed_high = pocket.high.step < pocket.risers
        start = edge(low if closed_low else self.zero)
        path: Path
        if closed_high:
            path = [(edge(high), surface), ((high, self.rail(high)), self.high_name)]
        else:
            path = [(edge(self.run), surface), (neck(self.run), None)]
        if closed_low:
            self.under.walk(path, low)
            path.append((start, self.low_name))
        else:
            top = neck(start[0])
            self.under.walk(path, top[0])
            if top[1] != self.rail(top[0]):
                path.append((top, self.low_name))
            path.append((start, None))
        beyond = self.under.beyond(self.low_name, self.high_name, edge(low)[1])
        if not closed_low:
            beyond.append(self._post(low, pocket.low.surface, self.low_name))
        if not closed_high:
            beyond.append(self._post(high, pocket.high.surface, self.high_name))
        return Shape(_edges(start, path), tuple(beyond), tuple(self._rail_corners()))

    # ---- below the nosing line -------------------------------------------------------------

    def below_nosings(self) -> Shape:
        """The flat picture where the rail lies below the nosing line, outside the tread ends.

        The rail then crosses tread and riser in elevation, and what is left is the corner under it.
        """
        pocket, zero = self.pocket, self.zero
        before_riser = pocket.high.step > pocket.step
        meets_surface = -self.rail(zero) / self.slope
        at_post = pocket.low.step == pocket.step and self.low > meets_surface
        start = (self.low if at_post else meets_surface, zero)
        path = self._up_to_rail() if before_riser else self._up_to_post()
        self.under.walk(path, start[0])
        if at_post:
            path.append((start, self.low_name))
        else:  # the rail comes down to the surface there, but for rounding
            path[-1] = (start, path[-1][1])
        beyond = self.under.beyond(self.low_name, self.high_name, zero, whole=False)
        if before_riser and self._rail_corners():
            # where the rail ends in front of the next step, that shows above the line of the rail
            outline = self._right_side(self.rise)
            surface = surface_of(pocket.step + 1, pocket.risers)
            outline.append(((self.run + self.run, self.rise), surface))
            beyond += _edges(outline[0][0], outline[1:])
        return Shape(_edges(start, path), tuple(beyond), tuple(self._rail_corners()))

    def _up_to_rail(self) -> Path:
        """Surface and riser, and the nosing where the rail crosses that."""
        number, run, rise, over, back = (
            self.pocket.step + 1, self.run, self.rise, self.nosing, self.back,
        )  # fmt: skip
        path: Path = [((run + over + back, self.zero), self.surface)]
        # where the rail crosses the riser, whose face leans back by ``back`` over its height
        height = rise - self.thick
        crossing = self.rail(run + over + back) / (1 + self.slope * back / height)
        riser = Feature(RISER, number)
        if crossing <= height or (over == 0 and back == 0):
            return [*path, ((run + over + back * (1 - crossing / height), crossing), riser)]
        path.append(((run + over, height), riser))
        lip = (rise - self.thick - self.rail(self.zero)) / self.slope
        path.append(((lip if lip > run else run, height), Feature(NOSING, number, "underside")))
        if lip < run:
            path.append(((run, self.rail(run)), Feature(NOSING, number)))
        return path

    # ---- for all of them -------------------------------------------------------------------

    def _post(self, x: Any, surface: Any, name: Feature) -> Edge:
        """The face of a post that stands elsewhere, up to the rail."""
        bottom = self.number(surface) - self.number(self.pocket.front[1])
        return Edge((x, bottom), (x, self.rail(x)), name)

    def _rail_corners(self) -> list[tuple[Spot, Feature]]:
        """The names of the rail's lower corners where there are slots beyond them."""
        cut, under = self.pocket.cut, self.under
        ends = (cut.low_slot, under.low), (cut.high_slot, under.high)
        return [((x, self.rail(x)), RAIL_END) for slot, x in ends if slot != 0]


def _edges(start: Spot, path: Iterable[tuple[Spot, Feature | None]]) -> tuple[Edge, ...]:
    """The sides of an outline, without those that have no length."""
    edges, here = [], start
    for point, name in path:
        if point != here:
            edges.append(Edge(here, point, name))
        here = point
    return tuple(edges)
