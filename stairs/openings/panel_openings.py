"""The openings of a panel: between its balusters, and between the outer ones and the posts.

A ball passes between two plumb balusters when it is no wider than they are apart, and so it does
between a post and the baluster beside it, as long as the rails leave it that much room.  Where they
do not, or where the rail's end leaves a slot that is wider, the circle is found from the walls
(:mod:`stairs.openings.panel_ends`).
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from stairs.job import Job
from stairs.openings.opening import BALUSTER, END, HIGH, LOW, Opening
from stairs.openings.panel_ends import PanelEnd, largest_beside_post
from stairs.openings.rail_slots import rail_cut
from stairs.openings.under_rail import Point
from stairs.parts.bays import Bay
from stairs.parts.panel import RackedPanel
from stairs.parts.rails import RailLine
from stairs.relations.exact import Amount, derived


def panel_openings(
    job: Job,
    racked: RackedPanel,
    bays: Sequence[Bay],
    line: RailLine,
    step: tuple[Amount, Amount],
) -> list[Opening]:
    """Between balusters, and between the outer balusters and the posts.

    Parameters
    ----------
    job : stairs.job.Job
        For the panel.
    racked : RackedPanel
        The panel on this rake.
    bays : sequence of Bay
        Of one section.
    line : RailLine
        Of the section.
    step : tuple of (Fraction or Derived, Fraction or Derived)
        Unit rise and unit run; a level run is 0 over 1.

    Returns
    -------
    list of Opening
        Per bay one between balusters (all are alike) and one beside each post.

    Notes
    -----
    Two strips cross, the plumb one between the uprights and the raked one between the rails; the
    largest circle in both is as wide as the narrower.  Beside a post the rails end, and where the
    raked strip is the narrower, or a slot at a rail's end is wider than both, the circle is found
    from the walls (:mod:`stairs.openings.panel_ends`).
    """
    openings = []
    panel = job.panel
    slope = line.slope
    under = float(racked.bottom_plumb_depth)
    inner = float(racked.racked_height) - float(racked.top_plumb_depth) - under

    def across(low: float, high: float) -> tuple[Point, tuple[Point, ...]]:
        floor = [(x, line.under(x) + under) for x in (low, high)]
        roof = [(x, y + inner) for x, y in reversed(floor)]
        middle = (low + high) / 2
        return (middle, line.under(middle) + under + inner / 2), (*floor, *roof)

    raked = float(inner) / (1 + slope * slope) ** 0.5
    rails = panel.bottom_rail, panel.top_rail
    for bay in bays:
        bottom, top = (rail_cut(job.bracket, bay.ends, depth, step) for depth in rails)
        half = float(panel.baluster) / 2
        low_face = bay.baluster_x[0] - half - bay.end_gap_low if bay.baluster_x else None
        gaps = []
        posts = f"post {bay.number}", f"post {bay.number + 1}"
        if len(bay.baluster_x) > 1:
            gaps.append(
                (
                    BALUSTER,
                    racked.baluster_clear,
                    bay.baluster_x[0] + half,
                    ("baluster", "baluster"),
                    "",
                )
            )
        layout = bay.trims.used
        ends = (
            (layout.end_gap_low, layout.end_gap_high)
            if layout is not None
            else (bay.end_gap_low, bay.end_gap_high)
        )
        if bay.second is not None:  # a ball passes where the post leans away from the baluster
            ends = Fraction(bay.widest_gaps[0]), Fraction(bay.widest_gaps[1])
        if bay.baluster_x:
            last = bay.baluster_x[-1] + half
            gaps.append((END, ends[0], low_face, (posts[0], "baluster"), LOW))
            gaps.append((END, ends[1], last, ("baluster", posts[1]), HIGH))
        else:
            start = bay.top_rail[0][0]
            gaps.append((END, ends[0], start, posts, ""))
        for kind, width, start, sides, at in gaps:
            size = float(width)
            center, outline = across(start, start + size)
            exact = width if isinstance(width, Amount) else Fraction(width)
            if kind == END:
                low, high = (side if side.startswith("post") else "" for side in sides)
                end = PanelEnd(exact, low, high, *step, _inner(job, step), bottom, top)
                if raked < size or end.widest_slot > size:
                    origin = (start, line.under(start))
                    openings.append(_beside_post(end, bay.number, at, origin, outline))
                    continue
            if raked < size:
                strip = derived(
                    "strip_opening",
                    bottom_gap=_inner(job, step),
                    stringer_margin=0,
                    unit_rise=step[0],
                    unit_run=step[1],
                )
                size, sides, exact = float(strip), ("bottom rail", "top rail"), strip
            openings.append(
                Opening(kind, bay.number, None, size, center, sides, outline, exact, end=at)
            )
    return openings


def _inner(job: Job, step) -> Amount:
    """Plumb, between the rails of the panel on its rake."""
    return derived(
        "panel_inner",
        panel_height=job.panel.height,
        top_rail=job.panel.top_rail,
        bottom_rail=job.panel.bottom_rail,
        unit_rise=step[0],
        unit_run=step[1],
    )


def _beside_post(end: PanelEnd, bay: int, at: str, origin: Point, outline) -> Opening:
    """The opening beside a post whose circle leans on more than two plumb faces."""
    circle = largest_beside_post(end)
    center = (circle.center[0] + origin[0], circle.center[1] + origin[1])
    touched = circle.leans_on
    return Opening(END, bay, None, circle.diameter, center, touched, outline, panel_end=end, end=at)
