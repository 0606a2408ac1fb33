"""The solved guard: every part placed, every length and angle known, nothing left to fill in.

A guard is solved section by section from a job.  The records here are frozen and complete, and are
what checks, sheets, lists and the screen read; none of those reaches behind them.  Lengths are
floats in the job's unit, unrounded; the exact amounts that verdicts are decided on stand in
``Section.exact``, and angles are degrees.  ``x`` grows up the stair from the first nosing, ``y`` up
from the lower landing; a level run has ``x = 0`` at its first post and ``y = 0`` on its surface.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from functools import partial
from types import MappingProxyType

from msgspec import Struct
from msgspec.structs import replace

from stairs.guard.limits import (
    refuse_marks_under_posts,
    refuse_off_stair,
    refuse_rail_in_ground,
    refuse_rail_on_stringer,
)
from stairs.guard.lines import Line, ends_of, line_of, surface_of
from stairs.job import Job, JobFlight, JobLevel, section_where
from stairs.lengths.tape_marks import exact_text, length_text
from stairs.openings.opening import Opening
from stairs.openings.section_openings import beside_post, flight_openings, level_openings
from stairs.parts.bays import Bay, bays_of
from stairs.parts.flight import Flight, flight_of, step_amounts, walking_surface
from stairs.parts.panel import RackedPanel, Trim, rack
from stairs.parts.post_places import posts_on_flight, posts_on_level
from stairs.parts.posts import (
    Mark,
    Post,
    Stand,
    in_order,
    posts_of,
    stand_on_flight,
    stand_on_level,
)
from stairs.parts.rails import Point, RailLine
from stairs.parts.section_ends import OWN, WALL, Ends
from stairs.relations.exact import Amount, derived

__all__ = [
    "Bay",
    "Guard",
    "Mark",
    "Opening",
    "Point",
    "Post",
    "Section",
    "Trim",
    "solve",
    "solve_section",
]

LEVEL_STEP: tuple[Amount, Amount] = (Fraction(0), Fraction(1))
"""One step of a level run: no rise in a run of 1."""


class Section(Struct, frozen=True):
    """One flight or one level run of the guard.

    Lengths are in the job's unit, ``rake`` and ``max_rack`` in degrees.  A level run has no risers,
    no treads and a rake of 0.  The rails follow the nosing line, which passes ``line_rise`` above
    ``x = 0`` and climbs ``line_rise`` in ``line_run``.  ``surface`` is what a level run is on:
    ``"landing"`` or ``"deck"`` (:func:`stairs.guard.lines.surface_of`), and empty for a
    flight.  ``exact`` holds the amounts that checks are decided on, by the names of
    :mod:`stairs.relations.quantities`.
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
    line_rise: float
    line_run: float
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
    filler: float
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
    ends: Ends
    hand: str
    line: Line
    surface: str = ""
    surface_because: str = ""

    @property
    def sides(self) -> int:
        """How many guards like this one the stair has: 2 where both hands have one."""
        return 2 if self.hand == "both" else 1

    @property
    def hands(self) -> tuple[str, ...]:
        """The sides of the stair, seen going up, on which it has a guard."""
        return ("right", "left") if self.hand == "both" else (self.hand,)

    @property
    def where(self) -> str:
        """The section as errors and lists name it."""
        return f"section {self.number}" + (f" ({self.name})" if self.name else "")


class Guard(Struct, frozen=True):
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


def solve_section(
    job: Job, index: int, bottom_gap: Fraction | None = None, with_balls: bool = True
) -> Section:
    """One section of a job, solved for a given bottom gap.

    Parameters
    ----------
    job : stairs.job.Job
        The whole job.
    index : int
        Which section, from 0.
    bottom_gap : Fraction, optional
        Used instead of the job's; needed where the job leaves it to ``"auto"``.
    with_balls : bool
        Whether the balls that pass beside the stair are found; a window does without them, and
        they take longest of all.

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
    if isinstance(section, JobFlight):
        return _solve_flight(job, section, index + 1, gap, where, ends_of(job, index), with_balls)
    return _solve_level(job, section, index + 1, gap, where, ends_of(job, index))


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


def _solve_flight(
    job: Job,
    section: JobFlight,
    number: int,
    gap: Fraction,
    where: str,
    ends: Ends,
    with_balls: bool,
) -> Section:
    show = _show(job)
    flight = flight_of(section, job.measured_within, where, _show_quantity(job))
    if section.bays == "auto" or (section.bays is None and section.posts is None):
        bays = 1
    else:
        bays = section.bays
    positions = section.posts or posts_on_flight(flight, job.post, bays, job.tape, where, show)
    in_order(positions, job.post, where, show, ends)
    stands = tuple(
        _at_wall(flight, centre)
        if ends.is_wall(index, len(positions))
        else stand_on_flight(flight, job.post, index + 1, centre, where, show)
        for index, centre in enumerate(positions)
    )
    step = (flight.line_rise, flight.line_run)
    racked = rack(job.panel, *step)
    margin = section.build.stringer_margin if section.build.stringer == "closed" else None
    clear_gap = gap - section.filler
    face = derived("face_x", centre=stands[0].centre, low_reach=ends.low_reach)
    line_at_first = derived("nosing_line_height", unit_rise=step[0], unit_run=step[1], x=face)
    refuse_rail_on_stringer(section, gap, where, show)
    refuse_off_stair(flight, stands, racked, gap, job, where, show, ends)
    refuse_rail_in_ground(stands[0], flight, line_at_first, section, gap, job, where, show)
    line = RailLine(float(flight.line_rise), *map(float, step), float(gap))
    bays_solved = bays_of(job, positions, step, line, where, ends, section.trim)
    rail_ends = tuple(bay.exact for bay in bays_solved)
    posts = posts_of(job, stands, racked, step, gap, line, rail_ends, ends)
    refuse_marks_under_posts(posts, where, show)
    openings = flight_openings(
        job, section, flight, racked, line, clear_gap, stands, bays_solved, ends, with_balls
    )
    exact = {
        **step_amounts(flight),
        "rake": derived("rake", unit_rise=step[0], unit_run=step[1]),
        "nosing": flight.nosing,
        "side_gap": section.build.side_gap,
        "line_at_first_post": line_at_first,
        "riser_slope": section.build.riser_slope,
        "stringer_margin": margin if margin is not None else Fraction(0),
        **_exact_panel(job, racked, step, gap, section.filler, flight.lowest_nosing),
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
        line_rise=float(flight.line_rise),
        line_run=float(flight.line_run),
        nosing=float(flight.nosing),
        tread_thickness=float(flight.tread_thickness),
        open_risers=section.build.open_risers,
        stringer=section.build.stringer,
        stringer_margin=None if margin is None else float(margin),
        side_gap=float(section.build.side_gap),
        top=section.steps.top,
        nosings=flight.nosings,
        ends=ends,
        hand=section.hand,
        line=line_of(job, number - 1),
        walking_surface=walking_surface(flight, posts[0].x, posts[-1].x),
        bottom_gap=float(gap),
        filler=float(section.filler),
        guard_height=float(exact["guard_height"]),
        panel_height=float(racked.racked_height),
        rail_spacing=float(racked.rail_spacing),
        baluster_clear=float(racked.baluster_clear),
        max_rack=racked.max_rack,
        max_rack_set_by=racked.max_rack_set_by,
        posts=posts,
        bays=bays_solved,
        openings=_named_at_ends(openings, posts, ends),
        handrail=section.handrail,
        turn=float(section.ends.turn),
        flight=flight,
        exact=MappingProxyType(exact),
    )


def _exact_panel(
    job: Job,
    racked: RackedPanel,
    step,
    gap: Fraction,
    filler: Fraction,
    lowest: Fraction = Fraction(0),
) -> dict[str, Amount]:
    """What the panel comes to; ``lowest`` is how far the lowest nosing lies under their line."""
    panel = job.panel
    height = partial(
        derived,
        "guard_height",
        panel_height=panel.height,
        top_rail=panel.top_rail,
        bottom_rail=panel.bottom_rail,
        unit_rise=step[0],
        unit_run=step[1],
    )
    amounts: dict[str, Amount] = {
        "bottom_gap": gap,
        "clear_gap": gap - filler,
        "filler": filler,
        "lowest_nosing": lowest,
        "guard_height": height(bottom_gap=gap),
        "greatest_guard_height": height(bottom_gap=gap + lowest),
        "racked_height": racked.racked_height,
        "rail_spacing": racked.rail_spacing,
        "baluster_clear": racked.baluster_clear,
    }
    if racked.hole_needed is not None:
        amounts["hole_needed"] = racked.hole_needed
    return amounts


def _at_wall(flight: Flight, x: Fraction) -> Stand:
    """The face of a wall over a flight."""
    step = flight.step_at(float(x))
    return Stand(x, step, flight.surface(step), WALL, None)


def _named_at_ends(openings, posts: tuple[Post, ...], ends: Ends) -> tuple[Opening, ...]:
    """Openings with walls called so, and the gap beside a post of the section's own."""
    walls = {f"post {post.number}" for post in posts if post.wall}
    named = [
        replace(item, leans_on=tuple(WALL if side in walls else side for side in item.leans_on))
        if walls.intersection(item.leans_on)
        else item
        for item in openings
    ]
    if ends.start == OWN:
        first = posts[0]
        heights = (first.surface, first.surface + first.height)
        named.append(beside_post(first.x, first.width, ends, heights))
    return tuple(named)


# --------------------------------------------------------------------------- level runs


def _solve_level(
    job: Job, section: JobLevel, number: int, gap: Fraction, where: str, ends: Ends
) -> Section:
    show = _show(job)
    bays_wanted = section.bays if isinstance(section.bays, int) else 1
    walls = (ends.start == WALL, ends.end == WALL)
    positions = section.posts or posts_on_level(section.span, bays_wanted, job.post.width, walls)
    in_order(positions, job.post, where, show, ends)
    to_edge = None if section.framing is None else section.framing.edge_to_post
    stands = tuple(
        Stand(centre, 0, Fraction(0), WALL, None)
        if ends.is_wall(index, len(positions))
        else stand_on_level(job.post, centre, to_edge, Fraction(0) if index else abs(ends.skew))
        for index, centre in enumerate(positions)
    )
    racked = rack(job.panel, *LEVEL_STEP)
    line = RailLine(0.0, 0.0, 1.0, float(gap))
    bays = bays_of(job, positions, LEVEL_STEP, line, where, ends, section.trim)
    rail_ends = tuple(bay.exact for bay in bays)
    posts = posts_of(job, stands, racked, LEVEL_STEP, gap, line, rail_ends, ends)
    refuse_marks_under_posts(posts, where, show)
    openings = level_openings(
        job, racked, line, gap - section.filler, section.filler, positions, bays, ends
    )
    half = float(job.post.width) / 2
    surface = surface_of(job, number - 1)
    exact = _exact_panel(job, racked, LEVEL_STEP, gap, section.filler)
    ends_x = (
        posts[0].x - 2 * half * (not walls[0]),
        posts[-1].x + 2 * half * (not walls[1]),
    )
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
        line_rise=0.0,
        line_run=1.0,
        nosing=0.0,
        tread_thickness=0.0,
        open_risers=False,
        stringer="",
        stringer_margin=None,
        side_gap=0.0,
        top="",
        nosings=(),
        ends=ends,
        hand=section.hand,
        line=line_of(job, number - 1),
        surface=surface.kind,
        surface_because=surface.because,
        walking_surface=((ends_x[0], 0.0), (ends_x[1], 0.0)),
        bottom_gap=float(gap),
        filler=float(section.filler),
        guard_height=float(exact["guard_height"]),
        panel_height=float(racked.racked_height),
        rail_spacing=float(racked.rail_spacing),
        baluster_clear=float(racked.baluster_clear),
        max_rack=racked.max_rack,
        max_rack_set_by=racked.max_rack_set_by,
        posts=posts,
        bays=bays,
        openings=_named_at_ends(openings, posts, ends),
        handrail=section.handrail,
        turn=float(section.ends.turn),
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
