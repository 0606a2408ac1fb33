"""The openings of a section: every free space of a flight's or a level run's guard.

Under the bottom rail of a level run the largest circle is as high as the gap, over a closed
stringer as high as the strip is square to the rake; over treads and risers it is that of a pocket
(:mod:`stairs.openings.under_rail`), or, where the guard stands off to the side, the ball of a
passage (:mod:`stairs.openings.side_gap.ball`).  Between and beside the balusters
:mod:`stairs.openings.panel_openings` looks; open risers, and the gap to the post of the section
before, are looked at here.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from functools import lru_cache

from msgspec.structs import replace

from stairs.job import Job, JobFlight
from stairs.numbers.tolerances import SAME
from stairs.openings.feature import (
    BOTTOM_RAIL,
    LOWER_LANDING,
    POST,
    POST_BEFORE,
    RISER,
    STRINGER_AT_RISER,
    STRINGER_EDGE,
    TREAD,
    WALKING_SURFACE,
    Feature,
)
from stairs.openings.opening import (
    END,
    FOOT,
    HEAD,
    OPEN_RISER,
    TRIANGLE,
    UNDER_RAIL,
    Opening,
)
from stairs.openings.panel_ends import largest_beside_post
from stairs.openings.panel_openings import panel_openings
from stairs.openings.pocket import (
    Pocket,
    PocketPost,
    StepForm,
    is_open,
    slot_matters_to,
    strip_width,
)
from stairs.openings.pocket_shape import pocket_shape
from stairs.openings.rail_slots import RailCut, rail_cut
from stairs.openings.side_gap.ball import (
    ball_in_pocket,
    flat_diameter,
    room_to_spare,
    size_in_pocket,
)
from stairs.openings.under_rail import largest_in_pocket, plain_form
from stairs.parts.bays import Bay
from stairs.parts.flight import Flight
from stairs.parts.panel import RackedPanel
from stairs.parts.rails import RailLine
from stairs.parts.section_ends import Ends
from stairs.parts.stands import Stand
from stairs.relations.exact import Amount, compare, derived

STRAIGHT = -1
"""In place of a step: the edge of a closed stringer, which runs along them all."""


def flight_openings(
    job: Job,
    section: JobFlight,
    flight: Flight,
    racked: RackedPanel,
    line: RailLine,
    gap: Fraction,
    stands: Sequence[Stand],
    bays: Sequence[Bay],
    ends: Ends,
    with_balls: bool = True,
    only_walls: bool = False,
) -> tuple[Opening, ...]:
    """Every opening of a flight's guard: under the rail from the foot up, in the panels, between
    treads.

    ``gap`` is that under the rail [job's unit of length], from the nosing line plumb up to it or to
    a strip under it.  Without ``with_balls`` an opening over a step beside the stair has its pocket
    alone, with ``only_walls`` any opening for which walls are searched.
    """
    margin = section.build.stringer_margin if section.build.stringer == "closed" else None
    positions = tuple(stand.centre for stand in stands)
    openings: list[Opening] = []
    for index, bay in enumerate(bays):
        low, high = stands[index], stands[index + 1]
        faces = (ends.up_face(positions, index), ends.down_face(positions, index + 1))
        posts = (
            PocketPost(index + 1, faces[0], low.step, flight.surface(low.step)),
            PocketPost(index + 2, faces[1], high.step, flight.surface(high.step)),
        )
        step = (flight.line_rise, flight.line_run)
        cut = rail_cut(job.bracket, bay.ends, job.panel.bottom_rail, step, section.filler)
        pockets = (
            _pocket(section, flight, gap, margin, step, posts, cut)
            for step in range(low.step, high.step + 1)
            if margin is None or step in (0, flight.risers)
        )
        openings += (
            _walls(pocket, bay.number)
            if only_walls or (pocket.side_gap > 0 and not with_balls)
            else _under_rail(pocket, bay.number)
            for pocket in pockets
            if is_open(pocket) or pocket.side_gap > 0
        )
        if margin is not None:
            strip = _pocket(section, flight, gap, margin, STRAIGHT, posts, cut)
            openings.append(
                Opening(UNDER_RAIL, bay.number, None, 0.0, (0.0, 0.0), (), (), strip=strip)
                if only_walls
                else under_straight_rail(strip, bay.number, with_balls)
            )
    step = flight.line_rise, flight.line_run
    openings += panel_openings(job, racked, bays, line, step, only_walls)
    if section.build.open_risers:
        openings = [*map(_on_stringer, openings), _open_riser(flight)]
    return tuple(openings)


def _on_stringer(opening: Opening) -> Opening:
    """The opening of a stair without risers: what closes their plane by the guard is the stringer.

    Notes
    -----
    A cut stringer follows treads and risers right under the guard.  Where it stands further in, the
    space goes on behind the riser's plane, which is not looked into.
    """
    sides = (
        Feature(STRINGER_AT_RISER, side.number)
        if isinstance(side, Feature) and side.kind == RISER
        else side
        for side in opening.leans_on
    )
    return replace(opening, leans_on=tuple(sides))


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

    ``gap`` is from the walking surface to the bottom rail's underside, or to that of the strip
    under it, which is ``filler`` deep; ``positions`` are post centres [job's unit of length].
    """
    step = (Fraction(0), Fraction(1))
    openings = panel_openings(job, racked, bays, line, step)
    for index, bay in enumerate(bays):
        faces = (ends.up_face(positions, index), ends.down_face(positions, index + 1))
        cut = rail_cut(job.bracket, bay.ends, job.panel.bottom_rail, step, filler)
        openings.append(under_straight_rail(_level_pocket(gap, bay.number, faces, cut), bay.number))
    return tuple(openings)


# a flight is solved again many times with one measurement moved, which leaves most steps alike
@lru_cache(maxsize=8192)
def _under_rail(pocket: Pocket, bay: int) -> Opening:
    if not is_open(pocket):
        return _closed_in_elevation(pocket, bay)
    circle, shape, origin = largest_in_pocket(pocket)
    beside = pocket.side_gap > 0
    ball = ball_in_pocket(pocket, circle) if beside else None
    closed_form = None if beside else plain_form(pocket, circle)
    size = closed_form if closed_form is not None else (ball or circle).diameter
    kind = _kind(pocket)
    return Opening(
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
        flat_diameter=circle.diameter if beside else None,
        ball=ball,
    )


def _walls(pocket: Pocket, bay: int) -> Opening:
    """The opening over a step, of which nothing is found but where its walls are."""
    kind = _kind(pocket)
    tread = pocket.step if kind == TRIANGLE else None
    return Opening(kind, bay, tread, 0.0, (0.0, 0.0), (), (), pocket=pocket)


def size_of(opening: Opening) -> float:
    """Diameter of what passes an opening of which no more than the walls may have been found."""
    if opening.strip is not None:
        return under_straight_rail(opening.strip, opening.bay or 0).diameter
    if opening.panel_end is not None:
        return largest_beside_post(opening.panel_end).diameter
    return opening.diameter if opening.pocket is None else size_in_pocket(opening.pocket)


def room_in(opening: Opening, size: float) -> float:
    """What a ball has to spare in an opening, below 0 where it sticks [job's unit of length].

    It grows and shrinks as the largest ball does, and beside the stair is sooner found.
    """
    pocket = opening.under_rail
    if pocket is None or pocket.side_gap == 0:
        return size_of(opening) - size
    found = []
    if opening.strip is not None:
        found.append(float(min(strip_width(pocket), pocket.clear, key=float)) - size)
    if opening.strip is None or slot_matters_to(pocket, size):
        found.append(room_to_spare(pocket, size))
        if is_open(pocket):
            found.append(flat_diameter(pocket) - size)
    return max(found)


def _kind(pocket: Pocket) -> str:
    return FOOT if pocket.step == 0 else HEAD if pocket.step == pocket.risers else TRIANGLE


def _closed_in_elevation(pocket: Pocket, bay: int) -> Opening:
    """Where the rail covers the whole step in elevation: only what drops past the tread ends."""
    ball = ball_in_pocket(pocket)
    kind = _kind(pocket)
    x, y = float(pocket.front[0]), float(pocket.front[1])
    end = min(x + float(pocket.form.run), float(pocket.high.face))
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


def under_straight_rail(pocket: Pocket, bay: int, with_balls: bool = True) -> Opening:
    """The opening between a straight edge and the rail that runs parallel to it, in one bay.

    Parameters
    ----------
    pocket : Pocket
        Whose ``straight`` is set.
    with_balls : bool
        See :func:`under_rail_openings`; it matters where a slot beside a post is open.

    Returns
    -------
    Opening
        Of kind ``under-rail``.

    Notes
    -----
    What passes is as wide as edge and rail are apart, or as the posts are, whichever is less; a
    ball that comes past beside the stair has to pass between the posts too, in their own plane.
    Where a slot beside a rail's end is open a larger one may rise into it: that is found from the
    walls.
    """
    size, clear = strip_width(pocket), pocket.clear
    sides = (WALKING_SURFACE if pocket.stringer_margin is None else STRINGER_EDGE, BOTTOM_RAIL)
    if compare(clear, size) < 0:
        size = clear
        sides = Feature(POST, pocket.low.number), Feature(POST, pocket.high.number)
    x0, y0 = float(pocket.front[0]), float(pocket.front[1])
    outline = tuple((x + x0, y + y0) for x, y in (e.start for e in pocket_shape(pocket).edges))
    middle = [sum(values) / len(values) for values in zip(*outline, strict=True)]
    opening = Opening(
        UNDER_RAIL,
        bay,
        None,
        float(size),
        (middle[0], middle[1]),
        sides,
        outline,
        size,
        flat_diameter=_flat(pocket) if pocket.side_gap > 0 else None,
        strip=pocket,
    )
    if not slot_matters_to(pocket, float(size)):
        return opening
    circle, _, _ = largest_in_pocket(pocket)
    ball = ball_in_pocket(pocket, circle) if pocket.side_gap > 0 and with_balls else None
    found = ball or circle
    if found.diameter <= float(size) * (1 + SAME):
        return opening
    return replace(
        opening,
        diameter=found.diameter,
        center=(circle.center[0] + x0, circle.center[1] + y0),
        leans_on=found.leans_on,
        closed_form=None,
        flat_diameter=circle.diameter if pocket.side_gap > 0 else None,
        ball=ball,
    )


def _flat(pocket: Pocket) -> float:
    """Diameter of the largest circle in the elevation, far from slots."""
    flat = strip_width(replace(pocket, side_gap=Fraction(0)))
    return min(float(flat), float(pocket.clear))


def _pocket(
    section: JobFlight,
    flight: Flight,
    gap: Fraction,
    margin: Fraction | None,
    step: int,
    posts: tuple[PocketPost, PocketPost],
    cut: RailCut,
) -> Pocket:
    """The pocket over one step of a bay, or over a closed stringer's edge."""
    n = flight.risers
    straight = step == STRAIGHT
    rise: Amount
    run: Amount
    front: tuple[Amount, Amount]
    if straight:
        step, front, rise = 1, flight.points[0], flight.line_rise
        run = flight.points[-1][0]
        if float(front[0]) != 0:
            run = derived(
                "bay_clear", low_reach=front[0], centre_distance=run, high_reach=Fraction(0)
            )
    elif step == 0:
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
    setback: Amount = Fraction(0)
    if flight.riser_slope:
        setback = derived(
            "riser_setback",
            unit_rise=rise,
            tread_thickness=flight.tread_thickness,
            riser_slope=flight.riser_slope,
        )
    return Pocket(
        step=step,
        risers=n,
        front=front,
        form=StepForm(rise, run, flight.nosing, flight.tread_thickness, setback),
        line_rise=flight.line_rise,
        line_run=flight.line_run,
        front_lift=lift,
        bottom_gap=gap,
        stringer_margin=margin,
        low=posts[0],
        high=posts[1],
        side_gap=section.build.side_gap,
        cut=cut,
        straight=straight,
    )


def _open_riser(flight: Flight) -> Opening:
    """Between two treads, seen from the front: the greatest riser less the tread's thickness."""
    rises = flight.survey.rises if flight.survey is not None else (flight.unit_rise,)
    number = max(range(len(rises)), key=lambda index: float(rises[index]))
    size = derived("open_riser", unit_rise=rises[number], tread_thickness=flight.tread_thickness)
    x, low = flight.nosings[number]
    low -= float(rises[number])
    middle = low + float(size) / 2
    below = Feature(TREAD, number) if number else LOWER_LANDING
    sides = (below, Feature(TREAD, number + 1))
    outline = ((x, low), (x, low + float(size)))
    return Opening(OPEN_RISER, None, number or None, float(size), (x, middle), sides, outline, size)


def _level_pocket(gap: Fraction, bay: int, faces: tuple[Amount, Amount], cut: RailCut) -> Pocket:
    """The space under the rail of a level run, as a step without a riser."""
    zero = Fraction(0)
    return Pocket(
        step=0,
        risers=1,
        front=(zero, zero),
        form=StepForm(zero, Fraction(1)),
        line_rise=zero,
        line_run=Fraction(1),
        front_lift=zero,
        bottom_gap=gap,
        stringer_margin=None,
        low=PocketPost(bay, faces[0], 0, zero),
        high=PocketPost(bay + 1, faces[1], 0, zero),
        cut=cut,
        straight=True,
    )


def beside_post(post_x: float, width: float, ends: Ends, heights: tuple[float, float]) -> Opening:
    """The gap between the neighbour's last post and the section's own first one.

    Parameters
    ----------
    post_x : float
        ``x`` of the section's first post [job's unit of length].
    width : float
        Of a post [job's unit of length].
    heights : tuple of float
        Surface and top of the section's first post, in its coordinates.

    Returns
    -------
    Opening
        Of kind ``end``; it belongs to no bay.
    """
    width_between = ends.post_gap or Fraction(0)
    gap = float(width_between)
    high = post_x - width / 2
    low, (floor, roof) = high - gap, heights
    outline = ((low, floor), (high, floor), (high, roof), (low, roof))
    center = (high - gap / 2, (floor + roof) / 2)
    sides = (POST_BEFORE, Feature(POST, 1))
    return Opening(END, None, None, gap, center, sides, outline, width_between)
