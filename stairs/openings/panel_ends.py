"""Panel ends: the free space between a post and the baluster beside it.

Between a post's face and the first baluster a ball is held by two plumb faces; as wide as they are
apart, so large is the ball, wherever there is that much room between the rails.  The rails end
short of the post, so above the bottom rail's end and below the top rail's end are wedges, and each
goes over into the slot beside the rail's end.  Where the rails lie closer than post and baluster,
or a slot is wider than the gap, the wedges count, and the circle is found from the walls.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from typing import Any, TypeAlias

from msgspec import Struct

from stairs.openings.feature import (
    BALUSTER,
    BOTTOM_RAIL,
    RAIL_END,
    TOP_RAIL,
    TOP_RAIL_END,
    Feature,
)
from stairs.openings.rail_slots import Numbers, Path, RailCut, Spot, body_walls
from stairs.relations.exact import Amount
from stairs.shapes.circle import Circle, Edge, Shape, largest_circle

On: TypeAlias = Callable[[int, Any], Spot]  # a point at ``x`` of a line of the two rails


class PanelEnd(Struct, frozen=True, cache_hash=True):
    """The space beside a post, between its face, a baluster and both rails; exact measurements.

    Parameters
    ----------
    width : Fraction or Derived
        Level, from the left side to the right one.
    low_post, high_post : Feature or None
        The post on the left (on the right); None where a baluster is there.
    inner : Fraction or Derived
        Plumb, between the rails.
    bottom, top : RailCut
        How the rails end.
    """

    width: Amount
    low_post: Feature | None
    high_post: Feature | None
    unit_rise: Amount
    unit_run: Amount
    inner: Amount
    bottom: RailCut
    top: RailCut

    @property
    def widest_slot(self) -> float:
        """The widest slot beside a rail's end, above the bottom rail's underside."""
        cuts = (self.bottom, self.top)
        low = max(float(cut.low_slot) for cut in cuts)
        high = max(float(cut.high_slot) + float(cut.back) for cut in cuts)
        return max(low if self.low_post else 0.0, high if self.high_post else 0.0)

    def shape(self, number: Numbers = float) -> Shape:
        """The walls, and where a circle's centre may be.

        Parameters
        ----------
        number : callable
            Turns an exact measurement into the kind of number to compute with.

        Returns
        -------
        stairs.shapes.circle.Shape
            ``x`` from the left side; ``y`` from the line of the bottom rail's underside there.
            A centre may be in a slot, down to that line and up to that of the top rail's top.
        """
        slope = number(self.unit_rise) / number(self.unit_run)
        width, zero = number(self.width), number(self.width) * 0
        depth, inner = number(self.bottom.plumb_depth), number(self.inner)
        over = number(self.top.plumb_depth)
        lines = (zero, depth, depth + inner, depth + inner + over)

        def on(line: int, x: Any) -> Spot:
            return (x, lines[line] + x * slope)

        right_bottom, right_top = self._right(number, on, width)
        left_top, left_bottom = self._left(number, on, zero)
        path = [*right_bottom, *right_top]
        path += [(left_top[0][0], TOP_RAIL), *left_top[1:], *left_bottom]
        path.append((path[0][0], BOTTOM_RAIL))
        edges = tuple(
            Edge(here[0], there[0], there[1])
            for here, there in zip(path, path[1:], strict=False)
            if here[0] != there[0]
        )
        return Shape(edges, tuple(self._bodies(number, on, zero, width)))

    def _right(self, number: Numbers, on: On, width: Any) -> tuple[Path, Path]:
        """Points from the bottom rail's top around the right side to the top rail's underside."""
        if not self.high_post:
            return [(on(1, width), None)], [(on(2, width), BALUSTER)]
        lower: Path = [(on(1, width), None)]
        upper: Path = [(on(2, width), self.high_post)]
        if self.bottom.high_slot != 0:
            corner = width - number(self.bottom.high_slot)
            back = number(self.bottom.back)
            lower = [(on(1, corner - back), None), (on(0, corner), RAIL_END), (on(0, width), None)]
        if self.top.high_slot != 0:
            corner = width - number(self.top.high_slot)
            back = number(self.top.back)
            upper = [
                (on(3, width), self.high_post),
                (on(3, corner - back), None),
                (on(2, corner), TOP_RAIL_END),
            ]
        return lower, upper

    def _left(self, number: Numbers, on: On, zero: Any) -> tuple[Path, Path]:
        """Points from the top rail's underside around the left side to the bottom rail's top."""
        if not self.low_post:
            return [(on(2, zero), None)], [(on(1, zero), BALUSTER)]
        upper: Path = [(on(2, zero), None)]
        lower: Path = [(on(1, zero), self.low_post)]
        if self.top.low_slot != 0:
            corner, back = number(self.top.low_slot), number(self.top.back)
            upper = [
                (on(2, corner), None),
                (on(3, corner - back), TOP_RAIL_END),
                (on(3, zero), None),
            ]
        if self.bottom.low_slot != 0:
            corner, back = number(self.bottom.low_slot), number(self.bottom.back)
            lower = [
                (on(0, zero), self.low_post),
                (on(0, corner), None),
                (on(1, corner - back), RAIL_END),
            ]
        return upper, lower

    def _bodies(self, number: Numbers, on: On, zero: Any, width: Any) -> list[Edge]:
        walls: list[Edge] = []
        for cut, line in ((self.bottom, 0), (self.top, 2)):
            if cut.body_reach == 0:
                continue
            height, reach = number(cut.body_height), number(cut.body_reach)
            half = number(cut.plumb_depth) / 2
            for name, face, pin, side in (
                (self.low_post, zero, cut.pin_low, 1),
                (self.high_post, width, cut.pin_high, -1),
            ):
                if name:
                    axis = on(line, face + side * number(pin))[1] + half
                    walls += body_walls(face, face + side * reach, axis - height / 2, height)
        return walls


@lru_cache(maxsize=256)
def largest_beside_post(end: PanelEnd) -> Circle:
    """The largest circle beside a post, from the walls."""
    return largest_circle(end.shape())
