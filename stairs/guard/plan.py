"""The plan: the whole guard seen from above, every section where the turns put it.

A plan shows what an elevation cannot: how the flights and level runs of one job follow each other
round a stair, a landing and a deck.  Here are only records with coordinates, for a view to draw or
a list to read.  The guard's line starts at the first section's ``x = 0`` and runs along ``x``;
``y`` grows to the left of it.  Headings are degrees from ``x``, left positive.  Heights are over
the lowest landing of the job and grow with every flight.

The line through the post centres is measured; how wide the stair is may not be, and is then drawn
with :data:`DRAWN_WIDTH`.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, radians, sin

from msgspec import Struct

from stairs.guard.solving import FlightSection, Guard, Section
from stairs.parts.rails import Point
from stairs.parts.section_ends import OWN, WALL

DRAWN_WIDTH = {"in": 36.0, "mm": 900.0}
"""Width of a stair whose job does not say it, only to have something to draw, by unit."""

RIGHT, LEFT, BOTH = "right", "left", "both"


class PlanSection(Struct, frozen=True):
    """Where a section lies; lengths in the job's unit, angles in degrees.

    Parameters
    ----------
    number : int
        From 1.
    name, kind, hand : str
        As the job has them.
    origin : tuple of float
        The section's own ``x = 0`` on the guard's line.
    heading : float
        Way up the section.
    datum : float
        Height of the section's own ``y = 0``.
    start, end : tuple of float
        First and last post's centre, or the face of a wall.
    """

    number: int
    name: str
    kind: str
    hand: str
    origin: Point
    heading: float
    datum: float
    start: Point
    end: Point

    @property
    def outer(self) -> float:
        """1 where the side away from the stair is to the left of the guard's line, else -1."""
        return 1.0 if self.hand == LEFT else -1.0

    def at(self, x: float, aside: float = 0.0) -> Point:
        """A point of the section in plan [job's unit of length].

        Parameters
        ----------
        x : float
            Level along the section, from its own ``x = 0`` [job's unit of length].
        aside : float
            To the left of the guard's line [job's unit of length]; below 0 to the right.

        Returns
        -------
        tuple of (float, float)
            In the coordinates of the plan.
        """
        along, across = radians(self.heading), radians(self.heading + 90)
        return (
            self.origin[0] + x * cos(along) + aside * cos(across),
            self.origin[1] + x * sin(along) + aside * sin(across),
        )


class PlanPost(Struct, frozen=True):
    """One post; a post that two sections share is there once, with the lower of them.

    Parameters
    ----------
    section, post : int
        From 1.
    guard : str
        ``"right"`` or ``"left"``: which guard of the stair it belongs to, seen going up.
    shared_with : tuple of (int, int) or None
        Section and post that are this same post.
    """

    section: int
    post: int
    guard: str
    centre: Point
    width: float
    base: float | None
    heading: float
    surface: float
    top: float
    shared_with: tuple[int, int] | None


class PlanWall(Struct, frozen=True):
    """The face of a wall where a section starts or ends, square to the section.

    Parameters
    ----------
    section : int
        From 1.
    place : str
        ``"start"`` or ``"end"``.
    guard : str
        ``"right"`` or ``"left"``.
    point : tuple of float
        Where the guard's line meets it.
    surface : float
        Height of the walking surface there.
    """

    section: int
    place: str
    guard: str
    point: Point
    heading: float
    surface: float


class PlanRail(Struct, frozen=True):
    """The rails of one bay, top rail over bottom rail.

    Parameters
    ----------
    section, bay : int
        From 1.
    guard : str
        ``"right"`` or ``"left"``.
    start, end : tuple of float
        Lower and upper end of the axis.
    width : float or None
        Seen from above; None where the job does not say.
    """

    section: int
    bay: int
    guard: str
    start: Point
    end: Point
    width: float | None


class PlanNosing(Struct, frozen=True):
    """One nosing, across the stair, from the tread end by the guard.

    Parameters
    ----------
    section, nosing : int
        From 1.
    height : float
        Of the tread or landing that it is the edge of.
    """

    section: int
    nosing: int
    start: Point
    end: Point
    height: float


class PlanTread(Struct, frozen=True):
    """One tread, from its own nosing to the next one.

    Parameters
    ----------
    section, tread : int
        From 1.
    corners : tuple of tuple of float
        By the guard at its nosing, by the guard at the next one, then the far ends, back to front.
    """

    section: int
    tread: int
    corners: tuple[Point, Point, Point, Point]
    height: float


class Plan(Struct, frozen=True):
    """The whole job from above.

    Parameters
    ----------
    bounds : tuple of float
        Least ``x``, least ``y``, greatest ``x``, greatest ``y`` of all that is there.
    """

    sections: tuple[PlanSection, ...]
    posts: tuple[PlanPost, ...]
    walls: tuple[PlanWall, ...]
    rails: tuple[PlanRail, ...]
    nosings: tuple[PlanNosing, ...]
    treads: tuple[PlanTread, ...]
    bounds: tuple[float, float, float, float]


def plan_of(guard: Guard) -> Plan:
    """The plan of a solved guard.

    Parameters
    ----------
    guard : stairs.guard.solving.Guard
        All sections, with their joins.

    Notes
    -----
    A section turns about the last post of the one before.  A post of its own stands its gap off
    that post, along its own section.  Where either of two sections ends at a wall, the next one
    begins where the last one stopped: how thick the wall is, nobody measured.  A left-hand line
    that is written out by itself begins opposite to the right-hand one.
    """
    places = _places(guard)
    posts, walls, rails, nosings, treads = [], [], [], [], []
    for section, place in zip(guard.sections, places, strict=True):
        width = _width(guard, section)
        for hand, aside in _guards(guard, section):
            posts += _posts(guard, section, place, hand, aside)
            walls += _walls(section, place, hand, aside)
            rails += _rails(guard, section, place, hand, aside)
        if isinstance(section, FlightSection) and not section.line.opposite_of:
            nosings += _nosings(section, place, width)
            treads += _treads(section, place, width)
    everything: list[Point] = [place.start for place in places] + [place.end for place in places]
    everything += [corner for tread in treads for corner in tread.corners]
    for post in posts:
        half = max(post.width, post.base or 0.0) / 2
        turned = radians(post.heading)
        reach = half * (abs(cos(turned)) + abs(sin(turned)))
        everything += [
            (post.centre[0] - reach, post.centre[1] - reach),
            (post.centre[0] + reach, post.centre[1] + reach),
        ]
    xs, ys = zip(*everything, strict=True)
    return Plan(
        tuple(places),
        tuple(posts),
        tuple(walls),
        tuple(rails),
        tuple(nosings),
        tuple(treads),
        (min(xs), min(ys), max(xs), max(ys)),
    )


def _places(guard: Guard) -> list[PlanSection]:
    """Every section's origin, heading and height, one after the other."""
    places: list[PlanSection] = []
    post_width = float(guard.job.post.width)
    at, heading, datum = None, 0.0, 0.0
    for section in guard.sections:
        first, last = section.posts[0], section.posts[-1]
        if at is None:
            at = (first.x, 0.0)
        elif section.line.begins is not None:
            whose = section.line.opposite_of - 1
            other = places[whose]
            x = guard.sections[whose].posts[0].x + float(section.line.begins)
            at = other.at(x, _apart(guard, section))
            heading, datum = other.heading, other.datum
        else:
            heading += section.turn
            before = guard.sections[section.number - 2]
            if section.ends.start == OWN:
                neighbour = 0.0 if before.ends.end == WALL else post_width / 2
                at = _moved(
                    at, heading, neighbour + float(section.ends.post_gap or 0) + post_width / 2
                )
            over = (before.hand == LEFT) - (section.hand == LEFT)
            if over and BOTH in (before.hand, section.hand):  # from one hand's line to the other's
                at = _moved(at, heading + 90, -over * _apart(guard, section))
        origin = _moved(at, heading, -first.x)
        end = _moved(origin, heading, last.x)
        places.append(
            PlanSection(
                section.number,
                section.name,
                section.kind,
                section.hand,
                origin,
                heading,
                datum,
                at,
                end,
            )
        )
        at = end
        datum += section.total_rise
    return places


def _moved(point: Point, heading: float, by: float) -> Point:
    turned = radians(heading)
    return (point[0] + by * cos(turned), point[1] + by * sin(turned))


def _width(guard: Guard, section: Section) -> float:
    width = getattr(guard.job.sections[section.number - 1], "width", None)
    return DRAWN_WIDTH[guard.units] if width is None else float(width)


def _across(section: Section) -> float:
    """1 where the stair lies to the left of the guard's line, -1 where to the right."""
    return -1.0 if section.hand == LEFT else 1.0


def _apart(guard: Guard, section: Section) -> float:
    """From the right-hand line to the left-hand one."""
    width = section.line.apart
    return _width(guard, section) + 2 * section.side_gap if width is None else float(width)


def _guards(guard: Guard, section: Section) -> Sequence[tuple[str, float]]:
    """Each guard of a section and how far to the left of the section's line it stands."""
    if section.hand == BOTH:
        return ((RIGHT, 0.0), (LEFT, _apart(guard, section)))
    return ((section.hand, 0.0),)


def _posts(
    guard: Guard, section: Section, place: PlanSection, hand: str, aside: float
) -> list[PlanPost]:
    found = []
    for post in section.posts:
        other = post.shared_with
        if other is not None and hand not in guard.sections[other[0] - 1].hands:
            other = None  # beside a shared post the other hand's one stands for itself
        before = guard.sections[section.number - 2]
        goes_on = post.number == 1 and section.ends.shared and hand in before.hands
        if post.wall or goes_on:
            continue
        alone = post.shared_with is not None and other is None
        height = (post.own_height if alone else None) or post.height
        found.append(
            PlanPost(
                section=section.number,
                post=post.number,
                guard=hand,
                centre=place.at(post.x, aside),
                width=post.width,
                base=post.base,
                heading=place.heading,
                surface=place.datum + post.surface,
                top=place.datum + post.surface + height,
                shared_with=other,
            )
        )
    return found


def _walls(section: Section, place: PlanSection, hand: str, aside: float) -> list[PlanWall]:
    return [
        PlanWall(
            section=section.number,
            place="start" if post.number == 1 else "end",
            guard=hand,
            point=place.at(post.x, aside),
            heading=place.heading + 90,
            surface=place.datum + post.surface,
        )
        for post in section.posts
        if post.wall
    ]


def _rails(
    guard: Guard, section: Section, place: PlanSection, hand: str, aside: float
) -> list[PlanRail]:
    width = guard.job.panel.rail_width
    rails = []
    for bay in section.bays:
        under, over, high_over, high_under = bay.top_rail
        low, high = (under[0] + over[0]) / 2, (high_over[0] + high_under[0]) / 2
        rails.append(
            PlanRail(
                section=section.number,
                bay=bay.number,
                guard=hand,
                start=place.at(low, aside),
                end=place.at(high, aside),
                width=None if width is None else float(width),
            )
        )
    return rails


def _nosings(section: Section, place: PlanSection, width: float) -> list[PlanNosing]:
    side = _across(section)
    near, far = side * section.side_gap, side * (section.side_gap + width)
    return [
        PlanNosing(section.number, number, place.at(x, near), place.at(x, far), place.datum + y)
        for number, (x, y) in enumerate(section.nosings, start=1)
    ]


def _treads(section: FlightSection, place: PlanSection, width: float) -> list[PlanTread]:
    flight = section.flight
    side = _across(section)
    near, far = side * section.side_gap, side * (section.side_gap + width)
    backs = [x for x, _ in section.nosings[1:]]
    if flight.treads == flight.risers:  # the last tread is flush with the landing
        backs.append(section.nosings[-1][0] + float(flight.unit_run))
    return [
        PlanTread(
            section.number,
            number,
            (
                place.at(front, near),
                place.at(back, near),
                place.at(back, far),
                place.at(front, far),
            ),
            place.datum + height,
        )
        for number, ((front, height), back) in enumerate(
            zip(section.nosings, backs, strict=False), start=1
        )
    ]
