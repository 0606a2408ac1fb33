"""The solved guard: every part placed, every length and angle known, nothing left to fill in.

A guard is solved section by section from a job.  The records here are frozen and complete, and are
what checks, sheets, lists and the screen read; none of those reaches behind them.  Lengths are
floats in the job's unit, unrounded; the exact amounts that verdicts are decided on stand in
``exact``, and angles are degrees.  ``x`` grows up the stair from the first nosing, ``y`` up
from the lower landing; a level run has ``x = 0`` at its first post and ``y = 0`` on its surface.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from functools import partial
from types import MappingProxyType
from typing import Any, ClassVar, Literal, Self

from msgspec import Struct
from msgspec.structs import replace

from stairs.guard.as_built import by_post
from stairs.guard.limits import (
    refuse_fallen,
    refuse_far_surface,
    refuse_marks_under_posts,
    refuse_off_stair,
    refuse_rail_in_ground,
    refuse_rail_on_stringer,
)
from stairs.guard.lines import Line, Surface, ends_of, line_of, surface_of
from stairs.job import AsBuilt, Job, JobFlight, JobLevel, section_where
from stairs.job.mitre import billionth
from stairs.lengths.tape_marks import exact_text, length_text
from stairs.openings.feature import POST, Feature
from stairs.openings.opening import Opening
from stairs.openings.section_openings import beside_post, flight_openings, level_openings
from stairs.parts.bays import Bay, bays_of
from stairs.parts.flight import Flight, ShowQuantity, flight_of, step_amounts
from stairs.parts.panel import RackedPanel, Trim, rack
from stairs.parts.post_places import posts_on_flight, posts_on_level
from stairs.parts.posts import Mark, Post, post_height, posts_of
from stairs.parts.rails import Point, RailLine
from stairs.parts.section_ends import OWN, WALL, Ends
from stairs.parts.stands import Show, Stand, in_order, stand_on_flight, stand_on_level
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


class SolvedSection(Struct, frozen=True, kw_only=True):
    """What a flight and a level run of the guard have in common; floats in the job's unit.

    Parameters
    ----------
    number : int
        From 1, left-hand lines after all others.
    record : JobFlight or JobLevel
        The section as it was built: with its posts and the way of cutting where these were chosen.
    rail_line : RailLine
        Underside of the bottom rail; of a flight over the nosing line.
    guard_height : float
        Plumb, from nosing line or surface to the top of the top rail.
    panel_height : float
        Plumb, from underside of bottom rail to top of top rail.
    exact : mapping of str to (Fraction or Derived)
        What checks are decided on, by the names of :mod:`stairs.relations.quantities`.
    """

    number: int
    record: JobFlight | JobLevel
    line: Line
    ends: Ends
    racked: RackedPanel
    rail_line: RailLine
    guard_height: float
    panel_height: float
    posts: tuple[Post, ...]
    bays: tuple[Bay, ...]
    openings: tuple[Opening, ...]
    exact: Mapping[str, Amount]

    @property
    def name(self) -> str:
        """As the job names it; often empty."""
        return self.record.name

    @property
    def hand(self) -> str:
        """``"right"``, ``"left"`` or ``"both"``, seen going up."""
        return self.record.hand

    @property
    def sides(self) -> int:
        """How many guards like this one the stair has: 2 where both hands have one."""
        return 2 if self.hand == "both" else 1

    @property
    def hands(self) -> tuple[str, ...]:
        """The sides of the stair, seen going up, on which it has a guard."""
        return ("right", "left") if self.hand == "both" else (self.hand,)

    @property
    def turn(self) -> float:
        """Plan turn from the section before, left positive [degrees]."""
        return float(self.record.ends.turn)

    @property
    def handrail(self) -> bool:
        """Whether the top rail serves as the handrail."""
        return self.record.handrail

    def with_handrail(self, serves: bool) -> Self:
        """The same section where the top rail serves as the handrail, or does not."""
        return replace(self, record=replace(self.record, handrail=serves))

    @property
    def bottom_gap(self) -> float:
        """Plumb, from nosing line or surface to the bottom rail [job's unit of length]."""
        return self.rail_line.gap

    @property
    def filler(self) -> float:
        """How deep a strip under the bottom rail is [job's unit of length]."""
        return float(self.record.filler)

    @property
    def title(self) -> str:
        """Its name, or its number where the job gives it none."""
        return self.name or f"section {self.number}"

    @property
    def where(self) -> str:
        """The section as errors and lists name it."""
        return f"section {self.number}" + (f" ({self.name})" if self.name else "")

    def __repr__(self) -> str:
        kind = type(self).__name__.removesuffix("Section").lower()
        return f"<{self.where}: {kind}, posts {len(self.posts)}, bays {len(self.bays)}>"


class FlightSection(SolvedSection, frozen=True, kw_only=True):
    """One flight of the guard, with the steps that it climbs."""

    kind: ClassVar[Literal["flight"]] = "flight"
    surface: ClassVar[None] = None
    record: JobFlight
    flight: Flight

    @property
    def nosings(self) -> tuple[Point, ...]:
        """Nosing points, lowest first [job's unit of length]."""
        return self.flight.nosings

    @property
    def rake(self) -> float:
        """Of the nosing line, from level [degrees]."""
        return self.flight.rake

    @property
    def total_rise(self) -> float:
        """How much higher it ends than it begins [job's unit of length]."""
        return float(self.flight.total_rise)

    @property
    def side_gap(self) -> float:
        """From the tread ends out to the guard [job's unit of length]."""
        return float(self.record.build.side_gap)

    @property
    def stringer_margin(self) -> float | None:
        """From nosing line up to the edge of a closed stringer, plumb; None of a cut one."""
        margin = self.record.build.stringer_margin
        return None if self.record.build.stringer != "closed" or margin is None else float(margin)


class LevelSection(SolvedSection, frozen=True, kw_only=True):
    """One level run of the guard, and whether it is on a landing or a deck."""

    kind: ClassVar[Literal["level"]] = "level"
    flight: ClassVar[None] = None
    nosings: ClassVar[tuple[Point, ...]] = ()
    rake: ClassVar[float] = 0.0
    total_rise: ClassVar[float] = 0.0
    side_gap: ClassVar[float] = 0.0
    stringer_margin: ClassVar[None] = None
    record: JobLevel
    surface: Surface


Section = FlightSection | LevelSection


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
    job: Job,
    index: int,
    bottom_gap: Fraction | None = None,
    with_balls: bool = True,
    only_walls: bool = False,
) -> Section:
    """One section of a job, solved for a given bottom gap.

    Parameters
    ----------
    bottom_gap : Fraction, optional
        Used instead of the job's; needed where the job leaves it to ``"auto"``.
    with_balls : bool
        Whether what passes beside the stair is found; whether it is too large is told without, and
        soonest by far.
    only_walls : bool
        Whether nothing is found of a flight's openings, where it takes a search, but their walls.

    Raises
    ------
    stairs.errors.JobError
        What was measured does not fix a stair, or leaves no room for a part.
    """
    record, show = job.sections[index], _show(job)
    gap = record.bottom_gap if bottom_gap is None else bottom_gap
    if not isinstance(gap, Fraction):
        raise TypeError("a bottom gap has to be chosen before a section is solved")
    where = section_where(index + 1, record.name, file=job.where)
    ends = ends_of(job, index)
    flight = None
    if isinstance(record, JobFlight):
        flight = flight_of(record, job.tolerances, where, _show_quantity(job))
        stands = _stands_on_flight(job, record, flight, where, ends)
    else:
        stands = _stands_on_level(job, record, where, ends)
    step = LEVEL_STEP if flight is None else (flight.line_rise, flight.line_run)
    told = by_post(record)
    stands = tuple(
        _as_it_stands(job, stands, index, told.get(index), ends, gap, step, where)
        for index in range(len(stands))
    )
    racked = rack(job.panel, *step)
    lowest = Fraction(0) if flight is None else flight.lowest_nosing
    exact = _exact_panel(job, racked, step, gap, record.filler, lowest)
    if flight is not None and isinstance(record, JobFlight):
        exact |= _exact_flight(flight, record, stands[0], ends)
        refuse_rail_on_stringer(record, gap, where, show)
        refuse_off_stair(flight, stands, racked, gap, job, where, show, ends)
        at_first = exact["line_at_first_post"]
        refuse_rail_in_ground(stands[0], flight, at_first, record, gap, job, where, show)
    line = RailLine(float(step[0]), float(step[0]), float(step[1]), float(gap))
    positions = tuple(stand.centre for stand in stands)
    bays = bays_of(job, positions, step, line, where, ends, record.trim, stands, told)
    posts = posts_of(job, stands, racked, step, gap, line, [bay.ends for bay in bays], ends)
    refuse_marks_under_posts(posts, where, show)
    clear = gap - record.filler
    if flight is None or not isinstance(record, JobFlight):
        openings = level_openings(job, racked, line, clear, record.filler, positions, bays, ends)
    else:
        openings = flight_openings(
            job, record, flight, racked, line, clear, stands, bays, ends, with_balls, only_walls
        )
    common: dict[str, Any] = {
        "number": index + 1,
        "record": record,
        "line": line_of(job, index),
        "ends": ends,
        "racked": racked,
        "rail_line": line,
        "guard_height": float(exact["guard_height"]),
        "panel_height": float(racked.racked_height),
        "posts": posts,
        "bays": bays,
        "openings": _named_at_ends(openings, posts, ends),
        "exact": MappingProxyType(exact),
    }
    if flight is None:
        return LevelSection(**common, surface=surface_of(job, index))
    return FlightSection(**common, flight=flight)


def _show(job: Job) -> Show:
    """Text of a length for errors: on the tape where it is on a mark, exact where it is not."""

    def show(value: Fraction | float) -> str:
        number = Fraction(value) if not isinstance(value, Fraction) else value
        if (number / job.tape).denominator == 1:
            return exact_text(number, job.units)
        if isinstance(value, Fraction) and value.denominator <= 1000:
            return exact_text(value, job.units)
        return f"about {length_text(number, job.units, job.tape)}"

    return show


def _show_quantity(job: Job) -> ShowQuantity:
    """Text of any measurement of a flight, by its name."""
    show = _show(job)

    def text(name: str, value: Any) -> str:
        if name in ("risers", "treads"):
            return f"{float(value):g}"
        if name == "rake":
            return f"{float(value):.4g}°"
        return show(value if isinstance(value, Fraction) else float(value))

    return text


def _as_it_stands(
    job: Job,
    stands: Sequence[Stand],
    index: int,
    told: AsBuilt | None,
    ends: Ends,
    gap: Fraction,
    step: tuple[Amount, Amount],
    where: str,
) -> Stand:
    """The stand on its surface as it was measured, and out of plumb as it is."""
    stand = stands[index]
    if told is None or (told.surface is None and not told.lean):
        return stand
    show = _show(job)
    if told.surface is not None:
        refuse_far_surface(told.surface, stand.surface, index + 1, job.units, where, show)
        stand = replace(stand, surface=told.surface)
    if told.lean:
        positions = tuple(one.centre for one in stands)
        faces: list[Amount] = [ends.down_face(positions, index)] if index else []
        if index + 1 < len(stands):
            faces.append(ends.up_face(positions, index))
        height = float(post_height(job, stand, faces, gap, step))
        refuse_fallen(told.lean, height, index + 1, where, show)
        stand = replace(stand, lean=billionth(float(told.lean) / height))
    return stand


# --------------------------------------------------------------------------- flights


def _stands_on_flight(
    job: Job, section: JobFlight, flight: Flight, where: str, ends: Ends
) -> tuple[Stand, ...]:
    """Where the posts of a flight stand, or evenly where the job does not list them."""
    show = _show(job)
    bays = section.bays if isinstance(section.bays, int) else 1
    positions = section.posts or posts_on_flight(flight, job.post, bays, job.tape, where, show)
    in_order(positions, job.post, where, show, ends)
    told = by_post(section)
    stands = []
    for index, centre in enumerate(positions):
        if ends.is_wall(index, len(positions)):  # its face over the flight
            step = flight.step_at(float(centre))
            stands.append(Stand(centre, step, flight.surface(step), WALL, None))
        else:
            set_up = index in told
            stands.append(stand_on_flight(flight, job.post, index + 1, centre, where, show, set_up))
    return tuple(stands)


def _exact_flight(
    flight: Flight, section: JobFlight, first: Stand, ends: Ends
) -> dict[str, Amount]:
    """What the steps come to."""
    step = {"unit_rise": flight.line_rise, "unit_run": flight.line_run}
    face = derived("face_x", centre=first.centre, low_reach=ends.low_reach)
    margin = section.build.stringer_margin if section.build.stringer == "closed" else None
    return {
        **step_amounts(flight),
        "rake": derived("rake", **step),
        "nosing": flight.nosing,
        "side_gap": section.build.side_gap,
        "line_at_first_post": derived("nosing_line_height", x=face, **step),
        "riser_slope": section.build.riser_slope,
        "stringer_margin": margin or Fraction(0),
    }


def _exact_panel(
    job: Job,
    racked: RackedPanel,
    step: tuple[Amount, Amount],
    gap: Fraction,
    filler: Fraction,
    lowest: Fraction,
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


def _named_at_ends(
    openings: Iterable[Opening], posts: tuple[Post, ...], ends: Ends
) -> tuple[Opening, ...]:
    """Openings with walls called so, and the gap beside a post of the section's own."""
    walls = {Feature(POST, post.number) for post in posts if post.wall}
    named = [
        replace(
            item,
            leans_on=tuple(Feature(WALL) if side in walls else side for side in item.leans_on),
        )
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


def _stands_on_level(job: Job, section: JobLevel, where: str, ends: Ends) -> tuple[Stand, ...]:
    """Where the posts of a level run stand, or evenly where the job does not list them."""
    bays = section.bays if isinstance(section.bays, int) else 1
    walls = (ends.start == WALL, ends.end == WALL)
    positions = section.posts or posts_on_level(section.span, bays, job.post.width, walls)
    in_order(positions, job.post, where, _show(job), ends)
    to_edge = None if section.framing is None else section.framing.edge_to_post
    return tuple(
        Stand(centre, 0, Fraction(0), WALL, None)
        if ends.is_wall(index, len(positions))
        else stand_on_level(job.post, centre, to_edge, Fraction(0) if index else abs(ends.skew))
        for index, centre in enumerate(positions)
    )


def solve(job: Job, bottom_gaps: Mapping[int, Fraction] | None = None) -> Guard:
    """Every section of a job, solved.

    Parameters
    ----------
    bottom_gaps : mapping of int to Fraction, optional
        Bottom gaps by section index from 0, for sections whose job leaves it to ``"auto"``.
    """
    gaps = bottom_gaps or {}
    return Guard(
        job,
        tuple(solve_section(job, index, gaps.get(index)) for index in range(len(job.sections))),
    )
