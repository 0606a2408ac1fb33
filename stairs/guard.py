"""The solved guard: every part placed, every length and angle known, nothing left to fill in.

A guard is solved section by section from a job.  The records here are frozen and complete, and are
what checks, sheets, lists and the screen read; none of those reaches behind them.  Lengths are
floats in the job's unit, unrounded; the exact amounts that verdicts are decided on stand in
``Section.exact``, and angles are degrees.  ``x`` grows up the stair from the first nosing, ``y`` up
from the lower landing; a level run has ``x = 0`` at its first post and ``y = 0`` on its surface.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import partial
from types import MappingProxyType

from stairs.bracket import PIVOT, RailEnds, rail_ends
from stairs.errors import NoSuchShape
from stairs.exact import Amount, compare, derived
from stairs.flight import Flight, flight_of
from stairs.job import Flight as FlightJob
from stairs.job import Job, Level, section_where
from stairs.layout import posts_on_flight, posts_on_level
from stairs.marks import exact_text, length_text
from stairs.openings import (
    BALUSTER,
    END,
    OPEN_RISER,
    UNDER_RAIL,
    Opening,
    Pocket,
    under_rail_openings,
)
from stairs.panel import (
    EVEN,
    HALF_PITCH,
    RackedPanel,
    Trim,
    better_trim,
    cut_from_stock,
    cut_rail,
    rack,
)
from stairs.posts import Mark, Post, Stand, in_order, stand_on_flight

Point = tuple[float, float]

LEVEL_STEP: tuple[Amount, Amount] = (Fraction(0), Fraction(1))
"""One step of a level run: no rise in a run of 1."""


@dataclass(frozen=True, slots=True)
class Bay:
    """The panel between two posts; lengths in the job's unit, angles in degrees.

    Parameters
    ----------
    number : int
        From 1 at the foot of the section.
    clear : float
        Level, post face to post face.
    rail_length : float
        Along the rail axis; both rails alike.
    stock_needed : float
        Length of stock that the deeper rail takes, slanted tips included.
    stock : float or None
        Shortest stock length that is long enough, None where none is.
    trim_low, trim_high : float or None
        What comes off the stock at either end.
    balusters : int
        How many the bay keeps.
    end_gap_low, end_gap_high : float
        Level, post face to the nearest baluster's face.
    swing, angle_low, angle_high, saw_angle : float
        See :class:`stairs.bracket.RailEnds`.
    corner_clearance : float
        Level, post face to the nearest corner of a rail end.
    trim, other_trim : Trim or None
        The way of cutting that is used, and the other one.
    better : str
        ``"even"`` or ``"half-pitch"``: which of the two is advised.
    better_because : str
        Why.
    baluster_x : tuple of float
        Baluster centres in the section's coordinates.
    hole_along_rail : tuple of float
        Baluster centres from the lower rail end, along the rail.
    top_rail, bottom_rail : tuple of tuple of float
        Outlines: lower end under and over, upper end over and under.
    exact : RailEnds
        Lengths of the rail's ends as verdicts are decided on.
    """

    number: int
    clear: float
    rail_length: float
    stock_needed: float
    stock: float | None
    trim_low: float | None
    trim_high: float | None
    balusters: int
    end_gap_low: float
    end_gap_high: float
    swing: float
    angle_low: float
    angle_high: float
    saw_angle: float
    corner_clearance: float
    trim: Trim | None
    other_trim: Trim | None
    better: str
    better_because: str
    baluster_x: tuple[float, ...]
    hole_along_rail: tuple[float, ...]
    top_rail: tuple[Point, ...]
    bottom_rail: tuple[Point, ...]
    exact: RailEnds


@dataclass(frozen=True, slots=True)
class Section:
    """One flight or one level run of the guard.

    Lengths are in the job's unit, ``rake`` and ``max_rack`` in degrees.  A level run has no risers,
    no treads and a rake of 0.  ``exact`` holds the amounts that checks are decided on, by the names
    of :mod:`stairs.quantities`.
    """

    number: int
    name: str
    kind: str
    risers: int
    treads: int
    unit_rise: float
    unit_run: float
    total_rise: float
    total_run: float
    rake: float
    nosing: float
    tread_thickness: float
    open_risers: bool
    stringer: str
    stringer_margin: float | None
    side_gap: float
    top: str
    nosings: tuple[Point, ...]
    walking_surface: tuple[Point, ...]
    bottom_gap: float
    guard_height: float
    panel_height: float
    rail_spacing: float
    baluster_clear: float
    max_rack: float | None
    max_rack_set_by: str
    posts: tuple[Post, ...]
    bays: tuple[Bay, ...]
    openings: tuple[Opening, ...]
    handrail: bool
    turn: float
    flight: Flight | None
    exact: Mapping[str, Amount]

    @property
    def where(self) -> str:
        """The section as errors and lists name it."""
        return f"section {self.number}" + (f" ({self.name})" if self.name else "")


@dataclass(frozen=True, slots=True)
class Guard:
    """All sections of one job, solved."""

    job: Job
    sections: tuple[Section, ...]

    @property
    def title(self) -> str:
        """The job's title."""
        return self.job.title

    @property
    def units(self) -> str:
        """``"in"`` or ``"mm"``."""
        return self.job.units

    @property
    def tape(self) -> Fraction:
        """The smallest mark of the tape, in the job's unit."""
        return self.job.tape


def solve_section(job: Job, index: int, bottom_gap: Fraction | None = None) -> Section:
    """One section of a job, solved for a given bottom gap.

    Parameters
    ----------
    job : stairs.job.Job
        The whole job.
    index : int
        Which section, from 0.
    bottom_gap : Fraction, optional
        Used instead of the job's; needed where the job leaves it to ``"auto"``.

    Returns
    -------
    Section

    Raises
    ------
    stairs.errors.JobError
        What was measured does not fix a stair, or leaves no room for a part.
    """
    section = job.sections[index]
    gap = section.bottom_gap if bottom_gap is None else bottom_gap
    if not isinstance(gap, Fraction):
        raise TypeError("a bottom gap has to be chosen before a section is solved")
    where = section_where(index + 1, section.name, file=job.where)
    if isinstance(section, FlightJob):
        return _solve_flight(job, section, index + 1, gap, where)
    return _solve_level(job, section, index + 1, gap, where)


def _show(job: Job):
    """Text of a length for errors: on the tape where it is on a mark, exact where it is not."""

    def show(value) -> str:
        number = Fraction(value) if not isinstance(value, Fraction) else value
        if (number / job.tape).denominator == 1:
            return exact_text(number, job.units)
        if isinstance(value, Fraction) and value.denominator <= 1000:
            return exact_text(value, job.units)
        return f"about {length_text(number, job.units, job.tape)}"

    return show


def _show_quantity(job: Job):
    """Text of any measurement of a flight, by its name."""
    show = _show(job)

    def text(name: str, value) -> str:
        if name in ("risers", "treads"):
            return f"{float(value):g}"
        if name == "rake":
            return f"{float(value):.4g}°"
        return show(value if isinstance(value, Fraction) else float(value))

    return text


# --------------------------------------------------------------------------- flights


def _solve_flight(job: Job, section: FlightJob, number: int, gap: Fraction, where: str) -> Section:
    show = _show(job)
    flight = flight_of(section, job.measured_within, where, _show_quantity(job))
    if section.bays == "auto" or (section.bays is None and section.posts is None):
        bays = 1
    else:
        bays = section.bays
    positions = section.posts or posts_on_flight(flight, job.post, bays, job.tape, where, show)
    in_order(positions, job.post, where, show)
    stands = tuple(
        stand_on_flight(flight, job.post, index, centre, where, show)
        for index, centre in enumerate(positions, start=1)
    )
    step = (flight.unit_rise, flight.unit_run)
    racked = rack(job.panel, *step)
    margin = section.stringer_margin if section.stringer == "closed" else None
    _refuse_rail_on_stringer(gap, margin, where, show)
    _refuse_off_stair(flight, stands, racked, gap, job, where, show)
    rails = _Rails(float(flight.unit_rise), *map(float, step), float(gap))
    bays_solved, ends = _bays(job, positions, step, rails, where)
    posts = _posts(job, stands, racked, step, gap, rails, ends)
    openings = _flight_openings(job, section, flight, racked, gap, margin, stands, bays_solved)
    exact = {
        **{name: flight.measure.values[name] for name in flight.measure.values},
        "tread_depth": derived("tread_depth", unit_run=flight.unit_run, nosing=flight.nosing),
        "step_sum": derived("step_sum", unit_rise=step[0], unit_run=step[1]),
        "rake": derived("rake", unit_rise=step[0], unit_run=step[1]),
        "nosing": flight.nosing,
        "side_gap": section.side_gap,
        "riser_slope": section.riser_slope,
        "stringer_margin": margin if margin is not None else Fraction(0),
        **_exact_panel(job, racked, step, gap),
    }
    return Section(
        number=number,
        name=section.name,
        kind="flight",
        risers=flight.risers,
        treads=flight.treads,
        unit_rise=float(flight.unit_rise),
        unit_run=float(flight.unit_run),
        total_rise=float(flight.total_rise),
        total_run=float(flight.total_run),
        rake=flight.rake,
        nosing=float(flight.nosing),
        tread_thickness=float(flight.tread_thickness),
        open_risers=section.open_risers,
        stringer=section.stringer,
        stringer_margin=None if margin is None else float(margin),
        side_gap=float(section.side_gap),
        top=section.top,
        nosings=flight.nosings,
        walking_surface=_walking_surface(flight, posts),
        bottom_gap=float(gap),
        guard_height=float(exact["guard_height"]),
        panel_height=float(racked.racked_height),
        rail_spacing=float(racked.rail_spacing),
        baluster_clear=float(racked.baluster_clear),
        max_rack=racked.max_rack,
        max_rack_set_by=racked.max_rack_set_by,
        posts=posts,
        bays=bays_solved,
        openings=openings,
        handrail=section.handrail,
        turn=float(section.turn),
        flight=flight,
        exact=MappingProxyType(exact),
    )


def _exact_panel(job: Job, racked: RackedPanel, step, gap: Fraction) -> dict[str, Amount]:
    panel = job.panel
    amounts: dict[str, Amount] = {
        "bottom_gap": gap,
        "guard_height": derived(
            "guard_height", bottom_gap=gap, panel_height=panel.height, top_rail=panel.top_rail,
            bottom_rail=panel.bottom_rail, unit_rise=step[0], unit_run=step[1],
        ),
        "racked_height": racked.racked_height,
        "rail_spacing": racked.rail_spacing,
        "baluster_clear": racked.baluster_clear,
    }  # fmt: skip
    if racked.hole_needed is not None:
        amounts["hole_needed"] = racked.hole_needed
    return amounts


def _refuse_rail_on_stringer(gap: Fraction, margin: Fraction | None, where: str, show) -> None:
    if margin is not None and gap <= margin:
        raise NoSuchShape(
            f"{where}: bottom_gap",
            f"the rail's underside is {show(gap)} above the nosing line, the closed stringer's "
            f"edge {show(margin)}",
            "The rail lies above the stringer's edge",
            f"Give a bottom_gap above {show(margin)}",
        )


def _refuse_off_stair(flight, stands, racked, gap, job: Job, where: str, show) -> None:
    """Refuse end posts that leave the flight, or stand so far out that the rail misses them."""
    first, last = stands[0], stands[-1]
    n = flight.risers
    if first.step == n or last.step == 0:
        end = "upper" if first.step == n else "lower"
        raise NoSuchShape(
            f"{where}: posts",
            f"all posts stand on the {end} landing, off the stair",
            f"The nosings lie from x = 0 to {show(flight.total_run if flight.treads < n else flight.nosings[-1][0])}",
            "Measure post centres level from the first nosing, up-stair positive",
        )  # fmt: skip
    slope = float(flight.unit_rise) / float(flight.unit_run)
    half = float(job.post.width) / 2
    if first.step == 0:
        face = float(first.centre) + half
        under = float(flight.unit_rise) + float(gap) + face * slope
        if under <= 0:
            furthest = -(float(flight.unit_rise) + float(gap)) / slope - half
            raise NoSuchShape(
                f"{where}: posts: post 1 at {show(first.centre)}",
                "it stands off the stair: the bottom rail would run into the lower landing "
                "before it gets there",
                f"Its centre may be at x of {length_text(furthest, job.units, job.tape)} or more",
                "Move the post nearer to the first riser",
            )
    if last.step == n:
        face = float(last.centre) - half
        top_nosing = flight.nosings[-1]
        over = float(gap) + (face - top_nosing[0]) * slope
        if over >= float(racked.racked_height):
            furthest = top_nosing[0] + (float(racked.racked_height) - float(gap)) / slope + half
            raise NoSuchShape(
                f"{where}: posts: post {len(stands)} at {show(last.centre)}",
                "it stands off the stair: the bottom rail would be higher over the upper landing "
                "than the panel is tall",
                f"Its centre may be at x of {length_text(furthest, job.units, job.tape)} or less",
                "Move the post nearer to the top nosing, and go on with a level section",
            )


@dataclass(frozen=True, slots=True)
class _Rails:
    """The line of the bottom rail's underside: height at x = 0 and slope, as floats."""

    line_at_zero: float
    unit_rise: float
    unit_run: float
    gap: float

    @property
    def slope(self) -> float:
        return self.unit_rise / self.unit_run

    def under(self, x: float) -> float:
        """Height of the bottom rail's underside at ``x``."""
        return self.line_at_zero + self.gap + x * self.slope


def _walking_surface(flight: Flight, posts: tuple[Post, ...]) -> tuple[Point, ...]:
    """Landing to landing as one walks it, nosings with their overhang."""
    run, rise = float(flight.unit_run), float(flight.unit_rise)
    s, t = float(flight.nosing), float(flight.tread_thickness)
    reach = 3 * run
    points = [(min(posts[0].x - run, -reach), 0.0)]
    for k in range(1, flight.risers + 1):
        x, y = (k - 1) * run, k * rise
        points.append((x + s, (k - 1) * rise))
        if s > 0:
            points += [(x + s, y - t), (x, y - t)]
        points.append((x, y))
    points.append((max(posts[-1].x + run, points[-1][0] + reach), flight.risers * rise))
    return tuple(points)


# --------------------------------------------------------------------------- bays and posts


def _bays(job: Job, positions, step, rails: _Rails, where: str):
    """Every bay of a section, with the way its rails end."""
    bays, ends = [], []
    for number, (low, high) in enumerate(zip(positions, positions[1:], strict=False), start=1):
        clear = high - low - job.post.width
        place = f"{where}: bay {number}"
        end = rail_ends(job.bracket, job.panel, clear, *step, place)
        bays.append(_bay(job, number, low, clear, end, step, rails))
        ends.append(end)
    return tuple(bays), tuple(ends)


def _bay(job: Job, number: int, low_centre, clear, end: RailEnds, step, rails: _Rails) -> Bay:
    panel = job.panel
    cut = partial(
        cut_rail, panel, clear=clear, rail_length=end.rail_length, unit_rise=step[0],
        unit_run=step[1],
    )  # fmt: skip
    trims = {
        way: cut_from_stock(panel, way, end.stock_needed, cut) for way in (EVEN, HALF_PITCH)
    }
    clear_gap = float(derived("baluster_clear", pitch=panel.pitch, baluster=panel.baluster,
                              unit_rise=step[0], unit_run=step[1]))  # fmt: skip
    better, because = better_trim(trims[EVEN], trims[HALF_PITCH], clear_gap)
    used = trims[panel.trim]
    layout = used or _made_to_length(panel, end, cut)
    low_face = float(low_centre) + float(job.post.width) / 2
    cosine = float(derived("cosine", unit_rise=step[0], unit_run=step[1]))
    first = low_face + float(layout.end_gap_low) + float(panel.baluster) / 2
    xs = tuple(
        first + (place - layout.along_rail[0]) * cosine for place in layout.along_rail
    )
    axis = partial(_rail_outline, job, end, low_face, float(clear), rails)
    bottom = float(derived("plumb_depth", depth=panel.bottom_rail, unit_rise=step[0],
                           unit_run=step[1])) / 2  # fmt: skip
    spacing = float(derived("rail_spacing_plumb", panel_height=panel.height,
                            top_rail=panel.top_rail, bottom_rail=panel.bottom_rail))  # fmt: skip
    return Bay(
        number=number,
        clear=float(clear),
        rail_length=float(end.rail_length),
        stock_needed=float(end.stock_needed),
        stock=None if used is None else float(used.stock),
        trim_low=None if used is None else used.low,
        trim_high=None if used is None else used.high,
        balusters=layout.balusters,
        end_gap_low=float(layout.end_gap_low),
        end_gap_high=float(layout.end_gap_high),
        swing=end.swing,
        angle_low=end.angle_low,
        angle_high=end.angle_high,
        saw_angle=end.saw_angle,
        corner_clearance=float(end.corner_clearance),
        trim=used,
        other_trim=trims[HALF_PITCH if panel.trim == EVEN else EVEN],
        better=better,
        better_because=because,
        baluster_x=xs,
        hole_along_rail=layout.along_rail,
        top_rail=axis(panel.top_rail, bottom + spacing),
        bottom_rail=axis(panel.bottom_rail, bottom),
        exact=end,
    )


def _made_to_length(panel, end: RailEnds, cut) -> Trim:
    """The balusters of a rail that no stock length reaches: whole pitches, centred."""
    pitches = -(-Fraction(float(end.stock_needed)) // panel.pitch) + 1
    return cut(stock=pitches * panel.pitch, way=EVEN)


def _rail_outline(
    job: Job, end: RailEnds, low_face: float, clear: float, rails: _Rails, depth, lift: float
) -> tuple[Point, ...]:
    """Corners of one rail: lower end under and over, upper end over and under."""
    slope = rails.slope
    cosine = 1 / (1 + slope * slope) ** 0.5
    sine = slope * cosine
    half = float(depth) / 2
    setback = float(job.bracket.rail_setback) * cosine if job.bracket.kind == PIVOT else 0.0
    x_low = low_face + float(end.stand_off) + setback
    x_high = low_face + clear - float(end.stand_off) - setback
    axis_low = rails.under(x_low) + lift
    axis_high = rails.under(x_high) + lift
    if job.bracket.kind == PIVOT:
        shift = (-half * sine, half * cosine)
    else:
        shift = (0.0, half / cosine)
    return (
        (x_low - shift[0], axis_low - shift[1]),
        (x_low + shift[0], axis_low + shift[1]),
        (x_high + shift[0], axis_high + shift[1]),
        (x_high - shift[0], axis_high - shift[1]),
    )


def _posts(job: Job, stands: tuple[Stand, ...], racked: RackedPanel, step, gap, rails, ends):
    """Posts with heights and bracket marks.

    Notes
    -----
    A post stands ``reveal`` above the top rail's upper edge, carried on to whichever of its faces
    with a rail gives the greater height.
    """
    kind = job.post
    half = kind.width / 2
    bottom = float(racked.bottom_plumb_depth) / 2
    spacing = float(racked.rail_spacing_plumb)
    # on a flight the nosing line passes one riser above x = 0; a level surface is its own line
    posts = []
    for index, stand in enumerate(stands):
        centre = stand.centre
        surface = float(stand.surface)
        faces, marks = [], []
        for side, bay in (("down", index - 1), ("up", index)):
            if not 0 <= bay < len(ends):
                continue
            sign = 1 if side == "up" else -1
            faces.append(centre + sign * half)
            x = float(centre + sign * (half + ends[bay].stand_off))
            for rail, lift in (("bottom", bottom), ("top", bottom + spacing)):
                y = rails.under(x) + lift
                marks.append(Mark(bay + 1, rail, side, y - surface, (x, y)))
        exact_height = derived(
            "post_height", x=max(faces), reveal=kind.reveal, surface=stand.surface,
            bottom_gap=gap, panel_height=job.panel.height, top_rail=job.panel.top_rail,
            bottom_rail=job.panel.bottom_rail, unit_rise=step[0], unit_run=step[1],
        )  # fmt: skip
        height = float(exact_height)
        posts.append(
            Post(
                number=index + 1,
                x=float(centre),
                width=float(kind.width),
                base=None if kind.base is None else float(kind.base),
                surface=surface,
                height=height,
                stands_on=stand.stands_on,
                tread=stand.step
                if stand.stands_on.startswith("tread")
                else None,
                plate_edge=None if stand.plate_edge is None else float(stand.plate_edge),
                stock=next(
                    (float(s) for s in sorted(kind.stock) if compare(exact_height, s) <= 0),
                    None,
                ),
                marks=tuple(sorted(marks, key=lambda mark: (mark.side, mark.height))),
                exact_height=exact_height,
                exact_plate_edge=stand.plate_edge,
            )
        )
    return tuple(posts)


# --------------------------------------------------------------------------- openings


def _panel_openings(job: Job, racked: RackedPanel, bays, rails: _Rails) -> list[Opening]:
    """Between balusters, and between the outer balusters and the posts."""
    openings = []
    panel = job.panel
    slope = rails.slope
    under = float(racked.bottom_plumb_depth)
    inner = float(racked.racked_height) - float(racked.top_plumb_depth) - under

    def across(low: float, high: float) -> tuple[Point, tuple[Point, ...]]:
        floor = [(x, rails.under(x) + under) for x in (low, high)]
        roof = [(x, y + inner) for x, y in reversed(floor)]
        middle = (low + high) / 2
        return (middle, rails.under(middle) + under + inner / 2), (*floor, *roof)

    # two strips cross: the plumb one between balusters and the raked one between rails
    raked = float(inner) / (1 + slope * slope) ** 0.5
    for bay in bays:
        half = float(panel.baluster) / 2
        low_face = (
            bay.baluster_x[0] - half - bay.end_gap_low if bay.baluster_x else None
        )
        gaps = []
        if len(bay.baluster_x) > 1:
            gaps.append((BALUSTER, racked.baluster_clear, bay.baluster_x[0] + half,
                         ("baluster", "baluster")))  # fmt: skip
        layout = bay.trim
        ends = (
            (layout.end_gap_low, layout.end_gap_high) if layout is not None
            else (bay.end_gap_low, bay.end_gap_high)
        )  # fmt: skip
        if bay.baluster_x:
            gaps.append((END, ends[0], low_face, (f"post {bay.number}", "baluster")))
            gaps.append((END, ends[1], bay.baluster_x[-1] + half,
                         ("baluster", f"post {bay.number + 1}")))  # fmt: skip
        else:
            start = bay.top_rail[0][0]
            gaps.append((END, ends[0], start, (f"post {bay.number}", f"post {bay.number + 1}")))
        for kind, width, start, sides in gaps:
            size = float(width)
            center, outline = across(start, start + size)
            exact = width if isinstance(width, Amount) else Fraction(width)
            if raked < size:
                size, sides, exact = raked, ("bottom rail", "top rail"), Fraction(raked)
            openings.append(
                Opening(kind, bay.number, None, size, center, sides, outline, exact)
            )
    return openings


def _flight_openings(
    job: Job, section: FlightJob, flight: Flight, racked, gap, margin, stands, bays
) -> tuple[Opening, ...]:
    half = job.post.width / 2
    rails = _Rails(float(flight.unit_rise), float(flight.unit_rise), float(flight.unit_run),
                   float(gap))  # fmt: skip
    openings: list[Opening] = []
    known: dict = {}
    for index, bay in enumerate(bays):
        low, high = stands[index], stands[index + 1]
        template = Pocket(
            step=low.step,
            risers=flight.risers,
            unit_rise=flight.unit_rise,
            unit_run=flight.unit_run,
            nosing=flight.nosing,
            tread_thickness=flight.tread_thickness,
            bottom_gap=gap,
            stringer_margin=margin,
            low_post=(low_number := index + 1, low.centre + half),
            high_post=(low_number + 1, high.centre - half),
            low_step=low.step,
            high_step=high.step,
        )
        openings += under_rail_openings(template, bay.number, known)
    openings += _panel_openings(job, racked, bays, rails)
    if section.open_risers:
        openings.append(_open_riser(flight))
    return tuple(openings)


def _open_riser(flight: Flight) -> Opening:
    """Between two treads, seen from the front: the riser less the tread's thickness."""
    size: Amount
    if isinstance(flight.unit_rise, Fraction):
        size = flight.unit_rise - flight.tread_thickness
    else:
        size = Fraction(float(flight.unit_rise)) - flight.tread_thickness
    rise = float(flight.unit_rise)
    x, low = 0.0, rise
    outline = ((x, low), (x, low + float(size)))
    return Opening(
        OPEN_RISER, None, 1, float(size), (x, low + float(size) / 2), ("tread 1", "tread 2"),
        outline, size,
    )  # fmt: skip


# --------------------------------------------------------------------------- level runs


def _solve_level(job: Job, section: Level, number: int, gap: Fraction, where: str) -> Section:
    show = _show(job)
    bays_wanted = section.bays if isinstance(section.bays, int) else 1
    positions = section.posts or posts_on_level(section.span, bays_wanted)
    in_order(positions, job.post, where, show)
    stands = tuple(Stand(centre, 0, Fraction(0), "walking surface", None) for centre in positions)
    racked = rack(job.panel, *LEVEL_STEP)
    rails = _Rails(0.0, 0.0, 1.0, float(gap))
    bays, ends = _bays(job, positions, LEVEL_STEP, rails, where)
    posts = _posts(job, stands, racked, LEVEL_STEP, gap, rails, ends)
    openings = _panel_openings(job, racked, bays, rails)
    half = float(job.post.width) / 2
    for index, bay in enumerate(bays):
        low, high = posts[index].x + half, posts[index + 1].x - half
        size = min(gap, positions[index + 1] - positions[index] - job.post.width)
        openings.append(
            Opening(
                UNDER_RAIL, bay.number, None, float(size), ((low + high) / 2, float(gap) / 2),
                ("walking surface", "bottom rail"),
                ((low, 0.0), (high, 0.0), (high, float(gap)), (low, float(gap))), size,
            )
        )  # fmt: skip
    exact = _exact_panel(job, racked, LEVEL_STEP, gap)
    ends_x = (posts[0].x - 2 * half, posts[-1].x + 2 * half)
    return Section(
        number=number,
        name=section.name,
        kind="level",
        risers=0,
        treads=0,
        unit_rise=0.0,
        unit_run=0.0,
        total_rise=0.0,
        total_run=posts[-1].x - posts[0].x,
        rake=0.0,
        nosing=0.0,
        tread_thickness=0.0,
        open_risers=False,
        stringer="",
        stringer_margin=None,
        side_gap=0.0,
        top="",
        nosings=(),
        walking_surface=((ends_x[0], 0.0), (ends_x[1], 0.0)),
        bottom_gap=float(gap),
        guard_height=float(exact["guard_height"]),
        panel_height=float(racked.racked_height),
        rail_spacing=float(racked.rail_spacing),
        baluster_clear=float(racked.baluster_clear),
        max_rack=racked.max_rack,
        max_rack_set_by=racked.max_rack_set_by,
        posts=posts,
        bays=bays,
        openings=tuple(openings),
        handrail=section.handrail,
        turn=float(section.turn),
        flight=None,
        exact=MappingProxyType(exact),
    )


def solve(job: Job, bottom_gaps: Mapping[int, Fraction] | None = None) -> Guard:
    """Every section of a job, solved.

    Parameters
    ----------
    job : stairs.job.Job
        As read.
    bottom_gaps : mapping of int to Fraction, optional
        Bottom gaps by section index from 0, for sections whose job leaves it to ``"auto"``.

    Returns
    -------
    Guard
    """
    gaps = bottom_gaps or {}
    return Guard(
        job,
        tuple(solve_section(job, index, gaps.get(index)) for index in range(len(job.sections))),
    )


__all__ = [
    "Bay", "Guard", "Mark", "Opening", "Post", "Section", "Trim", "solve", "solve_section",
    "replace",
]  # fmt: skip
