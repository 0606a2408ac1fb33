"""The openings of a panel: between its balusters, and between the outer ones and the posts.

A ball passes between two plumb balusters when it is no wider than they are apart, and so it does
between a post and the baluster beside it, as long as the rails leave it that much room.  Where they
do not, or where the rail's end leaves a slot that is wider, the circle is found from the walls
(:mod:`stairs.openings.panel_ends`).
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from msgspec import Struct

from stairs.job import Job
from stairs.openings import feature
from stairs.openings.feature import BOTTOM_RAIL, POST, TOP_RAIL, Feature
from stairs.openings.opening import BALUSTER, END, HIGH, LOW, Opening
from stairs.openings.panel_ends import PanelEnd, largest_beside_post
from stairs.openings.pocket import Point
from stairs.openings.rail_slots import rail_cut
from stairs.parts.bays import Bay
from stairs.parts.panel import RackedPanel
from stairs.parts.rails import RailLine
from stairs.relations.exact import Amount, derived

BETWEEN_RAILS = (BOTTOM_RAIL, TOP_RAIL)
"""What a ball touches that is larger than the way between the rails lets through."""


def panel_openings(
    job: Job,
    racked: RackedPanel,
    bays: Sequence[Bay],
    line: RailLine,
    step: tuple[Amount, Amount],
    only_walls: bool = False,
) -> list[Opening]:
    """Between balusters, and between the outer balusters and the posts.

    Per bay one between balusters (all are alike) and one beside each post; ``step`` is unit rise
    and unit run, of a level run 0 and 1.  With ``only_walls`` no circle is searched for.

    Two strips cross, the plumb one between the uprights and the raked one between the rails; the
    largest circle in both is as wide as the narrower.  Beside a post the rails end, and where the
    raked strip is the narrower, or a slot at a rail's end is wider than both, the circle is found
    from the walls (:mod:`stairs.openings.panel_ends`).
    """
    slope = line.slope
    under = float(racked.bottom_plumb_depth)
    inner = float(racked.racked_height) - float(racked.top_plumb_depth) - under
    raked = inner / (1 + slope * slope) ** 0.5
    rails = job.panel.bottom_rail, job.panel.top_rail
    openings = []
    for bay in bays:
        bottom, top = (rail_cut(job.bracket, bay.ends, depth, step) for depth in rails)
        for gap in _gaps(job, racked, bay):
            size, sides = float(gap.width), gap.sides
            exact = gap.width if isinstance(gap.width, Amount) else Fraction(gap.width)
            floor = [(x, line.under(x) + under) for x in (gap.start, gap.start + size)]
            outline = (*floor, *((x, y + inner) for x, y in reversed(floor)))
            if gap.kind == END:
                low, high = (side if side.kind == POST else None for side in sides)
                end = PanelEnd(exact, low, high, *step, _inner(job, step), bottom, top)
                if only_walls and (raked < size or end.widest_slot > size):
                    found = Opening(
                        END, bay.number, None, 0.0, (0.0, 0.0), (), (), panel_end=end, end=gap.end
                    )
                    openings.append(found)
                    continue
                if raked < size or end.widest_slot > size:
                    origin = (gap.start, line.under(gap.start))
                    openings.append(_beside_post(end, bay.number, gap.end, origin, outline))
                    continue
            middle = (gap.start + (gap.start + size)) / 2
            center = (middle, line.under(middle) + under + inner / 2)
            if raked < size:
                exact = derived(
                    "strip_opening",
                    bottom_gap=_inner(job, step),
                    stringer_margin=0,
                    unit_rise=step[0],
                    unit_run=step[1],
                )
                size, sides = float(exact), BETWEEN_RAILS
            openings.append(
                Opening(
                    gap.kind, bay.number, None, size, center, sides, outline, exact, end=gap.end
                )
            )
    return openings


class _Gap(Struct, frozen=True):
    """A space between two plumb faces: level width, where it starts, and what is on either side."""

    kind: str
    width: Amount | float
    start: float
    sides: tuple[Feature, Feature]
    end: str = ""


def _gaps(job: Job, racked: RackedPanel, bay: Bay) -> list[_Gap]:
    """Between two balusters of a bay, and beside each post."""
    posts = Feature(POST, bay.number), Feature(POST, bay.number + 1)
    ends = bay.trims.used or bay
    low: Amount | float = ends.end_gap_low
    high: Amount | float = ends.end_gap_high
    if bay.second is not None:  # a ball passes where the post leans away from the baluster
        low, high = map(Fraction, bay.widest_gaps)
    if not bay.baluster_x:
        return [_Gap(END, low, bay.top_rail[0][0], posts)]
    half = float(job.panel.baluster) / 2
    first, last = bay.baluster_x[0], bay.baluster_x[-1]
    gaps = []
    if len(bay.baluster_x) > 1:
        both = feature.BALUSTER, feature.BALUSTER
        gaps.append(_Gap(BALUSTER, racked.baluster_clear, first + half, both))
    low_face = first - half - bay.end_gap_low
    gaps.append(_Gap(END, low, low_face, (posts[0], feature.BALUSTER), LOW))
    gaps.append(_Gap(END, high, last + half, (feature.BALUSTER, posts[1]), HIGH))
    return gaps


def _inner(job: Job, step: tuple[Amount, Amount]) -> Amount:
    """Plumb, between the rails of the panel on its rake."""
    return derived(
        "panel_inner",
        panel_height=job.panel.height,
        top_rail=job.panel.top_rail,
        bottom_rail=job.panel.bottom_rail,
        unit_rise=step[0],
        unit_run=step[1],
    )


def _beside_post(
    end: PanelEnd, bay: int, at: str, origin: Point, outline: tuple[Point, ...]
) -> Opening:
    """The opening beside a post whose circle leans on more than two plumb faces."""
    circle = largest_beside_post(end)
    center = (circle.center[0] + origin[0], circle.center[1] + origin[1])
    touched = circle.leans_on
    return Opening(END, bay, None, circle.diameter, center, touched, outline, panel_end=end, end=at)
