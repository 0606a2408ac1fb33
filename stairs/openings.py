"""Openings: every free space of the guard and the largest ball that passes it.

An inspector tries a ball at each opening, and a ball passes a flat opening exactly when its circle
fits.  Between balusters, and between a post and the baluster beside it, the circle is as wide as
the gap.  Under the bottom rail of a level run it is as high as the gap, over a closed stringer as
high as the strip is square to the rake; over treads and risers it is the largest circle of a
pocket (:mod:`stairs.pockets`).

Where the guard stands off to the side of the tread ends, the space under its rail is a passage, and
the ball that gets through is larger than the circle in the elevation (:mod:`stairs.passage`).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache

from stairs.bays import Bay
from stairs.circle import Circle, Shape, compare_largest_circle, largest_circle
from stairs.ends import Ends
from stairs.exact import Amount, compare, derived, expression
from stairs.flight import Flight
from stairs.job import Flight as FlightJob
from stairs.job import Job
from stairs.panel import RackedPanel
from stairs.panel_ends import PanelEnd
from stairs.passage import Ball, ball_in_pocket, compare_ball
from stairs.pockets import (
    Pocket,
    Point,
    is_open,
    largest_in_pocket,
    plain_form,
    pocket_shape,
)
from stairs.posts import Stand
from stairs.rail_slots import RailCut, rail_cut
from stairs.rails import RailLine

TRIANGLE, FOOT, HEAD = "triangle", "foot", "head"
UNDER_RAIL, BALUSTER, END, OPEN_RISER = "under-rail", "baluster", "end", "open-riser"


@dataclass(frozen=True, slots=True)
class Opening:
    """One free space of the guard and the largest ball that fits it.

    Parameters
    ----------
    kind : str
        ``triangle``, ``foot``, ``head``, ``under-rail``, ``baluster``, ``end`` or ``open-riser``.
    bay, tread : int or None
        Where it is; None where it belongs to none.
    diameter : float
        Of the largest ball that passes [job's unit of length]; in a flat opening that of the
        largest circle.
    center : tuple of float
        Of the largest circle in the elevation, in the section's coordinates.
    leans_on : tuple of str
        The parts that the ball touches where it passes.
    outline : tuple of tuple of float
        The free space that was searched, in the section's coordinates.
    closed_form : Fraction, Derived or None
        The diameter exactly, where a closed form gives it.
    pocket : Pocket or None
        The exact measurements of the shape, where the circle came from one.
    flat_diameter : float or None
        Of the largest circle in the elevation, where the guard stands off to the side and the ball
        that passes is another; None where the opening is flat.
    ball : Ball or None
        That ball, where the opening is a pocket.
    panel_end : PanelEnd or None
        The exact measurements of the space beside a post, where its circle came from the walls.
    level : Pocket or None
        The exact measurements of the space under the rail of a level run.
    """

    kind: str
    bay: int | None
    tread: int | None
    diameter: float
    center: Point
    leans_on: tuple[str, ...]
    outline: tuple[Point, ...]
    closed_form: Amount | None = None
    pocket: Pocket | None = None
    flat_diameter: float | None = None
    ball: Ball | None = None
    panel_end: PanelEnd | None = None
    level: Pocket | None = None

    @property
    def place(self) -> str:
        """Where it is, in words: ``"tread 3"``, ``"bay 1"``."""
        if self.kind == FOOT:
            return "foot"
        if self.kind == HEAD:
            return "head"
        if self.tread is not None:
            return f"tread {self.tread}"
        if self.kind == END and self.bay is None:
            return "beside post 1"
        return f"bay {self.bay}" if self.bay is not None else ""

    @property
    def drawn_diameter(self) -> float:
        """Diameter of the largest circle in the elevation [job's unit of length]."""
        return self.diameter if self.flat_diameter is None else self.flat_diameter

    @property
    def has_riser(self) -> bool:
        """Whether a riser is one of its sides, as a tread opening's ball requires."""
        return self.kind == FOOT or (
            self.kind == TRIANGLE
            and self.pocket is not None
            and self.pocket.high_step > self.pocket.step
        )


def compare_opening(opening: Opening, ball: Fraction) -> int:
    """-1, 0 or 1 as the largest circle is smaller than, equal to or larger than a ball.

    Parameters
    ----------
    opening : Opening
        Of a solved guard.
    ball : Fraction
        Diameter, in the job's unit of length.

    Notes
    -----
    Decided exactly: from the closed form where there is one, otherwise from the walls.  How the
    ball of a passage is decided :func:`stairs.passage.compare_ball` says.
    """
    if opening.closed_form is not None:
        return compare(opening.closed_form, ball)
    if opening.ball is not None:
        return compare_ball(opening.pocket, opening.ball, ball)
    if abs(opening.diameter - float(ball)) > 1e-7 * max(1.0, float(ball)):
        return 1 if opening.diameter > ball else -1
    return compare_largest_circle(shape_of(opening, expression), ball)


def shape_of(opening: Opening, number: Callable[[Amount], object] = float) -> Shape:
    """The walls of an opening whose circle is found from them.

    Parameters
    ----------
    opening : Opening
        With a pocket, a panel end or a level space.
    number : callable
        See :func:`stairs.pockets.pocket_shape`.

    Raises
    ------
    ValueError
        The opening is one of plain faces, which its closed form is enough for.
    """
    if opening.panel_end is not None:
        return opening.panel_end.shape(number)
    pocket = opening.pocket or opening.level
    if pocket is None:
        raise ValueError(f"the {opening.kind} opening holds nothing exact to compare")
    return pocket_shape(pocket, number)


def under_rail_openings(pockets: Sequence[Pocket], bay: int, known: dict) -> tuple[Opening, ...]:
    """Every opening between the bottom rail and the stair in one bay.

    Parameters
    ----------
    pockets : sequence of Pocket
        Of the bay, from the foot up.
    bay : int
        The bay's number.
    known : dict
        Circles shared between the bays of one flight.

    Returns
    -------
    tuple of Opening
        ``foot``, ``triangle``, ``head`` from the foot up.
    """
    found = []
    for pocket in pockets:
        if not is_open(pocket):
            found.append(_closed_in_elevation(pocket, bay, known))
            continue
        circle, shape, origin = largest_in_pocket(pocket, known)
        ball = ball_in_pocket(pocket, known, circle) if pocket.side_gap > 0 else None
        closed_form = plain_form(pocket, circle) if ball is None else None
        size = closed_form if closed_form is not None else (ball or circle).diameter
        kind = FOOT if pocket.step == 0 else HEAD if pocket.step == pocket.risers else TRIANGLE
        found.append(
            Opening(
                kind=kind,
                bay=bay,
                tread=pocket.step if kind == TRIANGLE else None,
                diameter=float(size),
                center=(circle.center[0] + origin[0], circle.center[1] + origin[1]),
                leans_on=circle.leans_on if ball is None else ball.leans_on,
                outline=tuple(
                    (edge.start[0] + origin[0], edge.start[1] + origin[1]) for edge in shape.edges
                ),
                closed_form=closed_form,
                pocket=pocket,
                flat_diameter=None if ball is None else circle.diameter,
                ball=ball,
            )
        )
    return tuple(found)


def _closed_in_elevation(pocket: Pocket, bay: int, known: dict) -> Opening:
    """Where the rail covers the whole step in elevation: only what drops past the tread ends."""
    ball = ball_in_pocket(pocket, known)
    kind = HEAD if pocket.step == pocket.risers else FOOT if pocket.step == 0 else TRIANGLE
    x, y = float(pocket.front[0]), float(pocket.front[1])
    end = min(x + float(pocket.unit_run), float(pocket.high_post[1]))
    return Opening(
        kind=kind,
        bay=bay,
        tread=pocket.step if kind == TRIANGLE else None,
        diameter=ball.diameter,
        center=((x + end) / 2, y),
        leans_on=ball.leans_on,
        outline=((x, y), (end, y)),
        pocket=pocket,
        flat_diameter=0.0,
        ball=ball,
    )


def _strip(
    flight: Flight, gap: Fraction, margin: Fraction, bay: int, faces, side_gap: Fraction
) -> Opening:
    """The strip between a closed stringer's edge and the rail, named once for the whole bay."""
    size = derived(
        "strip_opening",
        bottom_gap=gap,
        stringer_margin=margin,
        unit_rise=flight.line_rise,
        unit_run=flight.line_run,
    )
    rise, slope = float(flight.line_rise), float(flight.line_rise) / float(flight.line_run)
    low, high = max(float(faces[0]), 0.0), min(float(faces[1]), flight.nosings[-1][0])
    middle = (low + high) / 2
    center = (middle, rise + middle * slope + (float(margin) + float(gap)) / 2)
    outline = tuple(
        (x, rise + x * slope + float(lift))
        for x, lift in ((low, margin), (high, margin), (high, gap), (low, gap))
    )
    flat = None
    if side_gap > 0:
        flat = float(size)
        size = derived(
            "strip_ball",
            bottom_gap=gap,
            stringer_margin=margin,
            side_gap=side_gap,
            unit_rise=flight.line_rise,
            unit_run=flight.line_run,
        )
    sides = ("stringer edge", "bottom rail")
    return Opening(
        UNDER_RAIL, bay, None, float(size), center, sides, outline, size, flat_diameter=flat
    )


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
    from the walls (:mod:`stairs.panel_ends`).
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
    for bay in bays:
        half = float(panel.baluster) / 2
        low_face = bay.baluster_x[0] - half - bay.end_gap_low if bay.baluster_x else None
        gaps = []
        if len(bay.baluster_x) > 1:
            gaps.append(
                (
                    BALUSTER,
                    racked.baluster_clear,
                    bay.baluster_x[0] + half,
                    ("baluster", "baluster"),
                )
            )
        layout = bay.trim
        ends = (
            (layout.end_gap_low, layout.end_gap_high)
            if layout is not None
            else (bay.end_gap_low, bay.end_gap_high)
        )
        if bay.baluster_x:
            gaps.append((END, ends[0], low_face, (f"post {bay.number}", "baluster")))
            gaps.append(
                (END, ends[1], bay.baluster_x[-1] + half, ("baluster", f"post {bay.number + 1}"))
            )
        else:
            start = bay.top_rail[0][0]
            gaps.append((END, ends[0], start, (f"post {bay.number}", f"post {bay.number + 1}")))
        for kind, width, start, sides in gaps:
            size = float(width)
            center, outline = across(start, start + size)
            exact = width if isinstance(width, Amount) else Fraction(width)
            if kind == END:
                end = _panel_end(job, racked, bay, exact, sides, step)
                if raked < size or end.widest_slot > size:
                    origin = (start, line.under(start))
                    openings.append(_beside_post(end, bay.number, origin, outline))
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
            openings.append(Opening(kind, bay.number, None, size, center, sides, outline, exact))
    return openings


def _panel_end(job: Job, racked: RackedPanel, bay: Bay, width: Amount, sides, step) -> PanelEnd:
    """The space beside a post in exact measurements."""
    panel = job.panel
    bottom, top = (
        rail_cut(job.bracket, bay.exact, depth, step)
        for depth in (panel.bottom_rail, panel.top_rail)
    )
    low, high = (side if side.startswith("post") else "" for side in sides)
    return PanelEnd(width, low, high, *step, _inner(job, step), bottom, top)


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


@lru_cache(maxsize=256)
def largest_beside_post(end: PanelEnd) -> Circle:
    """The largest circle beside a post, from the walls.

    Parameters
    ----------
    end : PanelEnd
        Exact measurements.
    """
    return largest_circle(end.shape())


def _beside_post(end: PanelEnd, bay: int, origin: Point, outline) -> Opening:
    """The opening beside a post whose circle leans on more than two plumb faces."""
    circle = largest_beside_post(end)
    center = (circle.center[0] + origin[0], circle.center[1] + origin[1])
    return Opening(END, bay, None, circle.diameter, center, circle.leans_on, outline, panel_end=end)


def flight_openings(
    job: Job,
    section: FlightJob,
    flight: Flight,
    racked: RackedPanel,
    line: RailLine,
    gap: Fraction,
    stands: Sequence[Stand],
    bays: Sequence[Bay],
    ends: Ends,
) -> tuple[Opening, ...]:
    """Every opening of a flight's guard.

    Parameters
    ----------
    job : stairs.job.Job
        Panel and post.
    section : stairs.job.Flight
        Stringer and risers.
    flight : Flight
        The walking surface.
    racked : RackedPanel
        The panel on its rake.
    line : RailLine
        Of the section.
    gap : Fraction
        Bottom gap.
    stands : sequence of Stand
        Where each post stands.
    bays : sequence of Bay
        Between them.
    ends : Ends
        What the section starts and ends at.

    Returns
    -------
    tuple of Opening
        Under the rail from the foot up, then in the panels, then between treads.
    """
    margin = section.stringer_margin if section.stringer == "closed" else None
    positions = tuple(stand.centre for stand in stands)
    openings: list[Opening] = []
    known: dict = {}
    for index, bay in enumerate(bays):
        low, high = stands[index], stands[index + 1]
        faces = (ends.up_face(positions, index), ends.down_face(positions, index + 1))
        posts = ((index + 1, faces[0]), (index + 2, faces[1]))
        step = (flight.line_rise, flight.line_run)
        cut = rail_cut(job.bracket, bay.exact, job.panel.bottom_rail, step, section.filler)
        steps = range(low.step, high.step + 1)
        if margin is not None:
            steps = [step for step in steps if step in (0, flight.risers)]
        pockets = (
            _pocket(section, flight, gap, margin, step, posts, (low, high), cut) for step in steps
        )
        openings += under_rail_openings(
            [pocket for pocket in pockets if is_open(pocket) or pocket.side_gap > 0],
            bay.number,
            known,
        )
        if margin is not None:
            openings.append(_strip(flight, gap, margin, bay.number, faces, section.side_gap))
    openings += panel_openings(job, racked, bays, line, (flight.line_rise, flight.line_run))
    if section.open_risers:
        openings.append(_open_riser(flight))
    return tuple(openings)


def _pocket(
    section: FlightJob, flight: Flight, gap, margin, step: int, posts, stands, cut: RailCut
) -> Pocket:
    """The pocket over one step of a bay."""
    n = flight.risers
    if step == 0:
        # the nosing line comes down to the lower landing one line_run before the first nosing
        below = (
            -flight.line_run
            if isinstance(flight.line_run, Fraction)
            else derived("nosing_x", treads_in_front=-1, unit_run=flight.line_run)
        )
        front, rise, run = (below, Fraction(0)), flight.points[0][1], flight.line_run
    elif step == n or flight.survey is None:
        front, rise, run = flight.points[step - 1], flight.unit_rise, flight.unit_run
    else:
        front = flight.points[step - 1]
        rise, run = flight.survey.rises[step], flight.survey.runs[step - 1]
    lift = Fraction(0)
    if flight.survey is not None and step > 0:
        lift = flight.survey.line_gaps[step - 1]
    return Pocket(
        step=step,
        risers=n,
        front=front,
        unit_rise=rise,
        unit_run=run,
        line_rise=flight.line_rise,
        line_run=flight.line_run,
        front_lift=lift,
        nosing=flight.nosing,
        tread_thickness=flight.tread_thickness,
        riser_setback=derived(
            "riser_setback",
            unit_rise=rise,
            tread_thickness=flight.tread_thickness,
            riser_slope=flight.riser_slope,
        )
        if flight.riser_slope
        else Fraction(0),
        bottom_gap=gap,
        stringer_margin=margin,
        low_post=posts[0],
        high_post=posts[1],
        low_step=stands[0].step,
        high_step=stands[1].step,
        low_surface=flight.surface(stands[0].step),
        high_surface=flight.surface(stands[1].step),
        side_gap=section.side_gap,
        cut=cut,
    )


def _open_riser(flight: Flight) -> Opening:
    """Between two treads, seen from the front: the greatest riser less the tread's thickness."""
    rises = flight.survey.rises if flight.survey is not None else (flight.unit_rise,)
    number = max(range(len(rises)), key=lambda index: float(rises[index]))
    size = derived("open_riser", unit_rise=rises[number], tread_thickness=flight.tread_thickness)
    x, low = flight.nosings[number]
    low -= float(rises[number])
    middle = low + float(size) / 2
    sides = (f"tread {number}" if number else "lower landing", f"tread {number + 1}")
    outline = ((x, low), (x, low + float(size)))
    return Opening(OPEN_RISER, None, number or None, float(size), (x, middle), sides, outline, size)


def level_openings(
    job: Job,
    racked: RackedPanel,
    line: RailLine,
    gap: Fraction,
    filler: Fraction,
    positions: Sequence[Fraction],
    bays: Sequence[Bay],
    ends: Ends,
) -> tuple[Opening, ...]:
    """Every opening of a level run's guard.

    Parameters
    ----------
    job : stairs.job.Job
        Panel and post.
    racked : RackedPanel
        The panel, level.
    line : RailLine
        Of the section.
    gap : Fraction
        Walking surface to the bottom rail's underside, or to that of the strip under it.
    filler : Fraction
        Depth of that strip.
    positions : sequence of Fraction
        Post centres.
    bays : sequence of Bay
        Between them.
    ends : Ends
        What the section starts and ends at.

    Returns
    -------
    tuple of Opening
    """
    step = (Fraction(0), Fraction(1))
    openings = panel_openings(job, racked, bays, line, step)
    for index, bay in enumerate(bays):
        faces = (ends.up_face(positions, index), ends.down_face(positions, index + 1))
        low, high = float(faces[0]), float(faces[1])
        size = min(gap, ends.clear(positions, index), key=float)
        corners = ((low, 0), (high, 0), (high, gap), (low, gap))
        cut = rail_cut(job.bracket, bay.exact, job.panel.bottom_rail, step, filler)
        opening = Opening(
            UNDER_RAIL,
            bay.number,
            None,
            float(size),
            (float(low + high) / 2, float(gap) / 2),
            ("walking surface", "bottom rail"),
            tuple((float(x), float(y)) for x, y in corners),
            size,
            level=_level_pocket(gap, bay.number, faces, cut),
        )
        # a circle as high as the gap that touches the post has its contact with the rail on the
        # rail as long as the slot is no wider than half of it
        if 2 * cut.widest > float(gap) and not cut.filled:
            circle, _, _ = largest_in_pocket(opening.level, {})
            opening = replace(
                opening,
                diameter=circle.diameter,
                center=circle.center,
                leans_on=circle.leans_on,
                closed_form=None,
            )
        openings.append(opening)
    return tuple(openings)


def _level_pocket(gap: Fraction, bay: int, faces, cut: RailCut) -> Pocket:
    """The space under the rail of a level run, as a step without a riser."""
    zero = Fraction(0)
    return Pocket(
        step=0,
        risers=1,
        front=(zero, zero),
        unit_rise=zero,
        unit_run=Fraction(1),
        line_rise=zero,
        line_run=Fraction(1),
        front_lift=zero,
        nosing=zero,
        tread_thickness=zero,
        riser_setback=zero,
        bottom_gap=gap,
        stringer_margin=None,
        low_post=(bay, faces[0]),
        high_post=(bay + 1, faces[1]),
        low_step=0,
        high_step=0,
        low_surface=zero,
        high_surface=zero,
        cut=cut,
        level=True,
    )


def beside_post(post_x: float, width: float, ends: Ends, heights: tuple[float, float]) -> Opening:
    """The gap between the neighbour's last post and the section's own first one.

    Parameters
    ----------
    post_x : float
        ``x`` of the section's first post [job's unit of length].
    width : float
        Of a post [job's unit of length].
    ends : Ends
        With the gap.
    heights : tuple of float
        Surface and top of the section's first post, in its coordinates.

    Returns
    -------
    Opening
        Of kind ``end``; it belongs to no bay.
    """
    gap = float(ends.post_gap)
    high = post_x - width / 2
    low, (floor, roof) = high - gap, heights
    outline = ((low, floor), (high, floor), (high, roof), (low, roof))
    center = (high - gap / 2, (floor + roof) / 2)
    sides = ("post of the section before", "post 1")
    return Opening(END, None, None, gap, center, sides, outline, ends.post_gap)
