"""The solved guard: every part placed, every length and angle known, nothing left to fill in.

This page holds the records only as far as other rooms read them; all are frozen and complete.
Lengths are floats in the job's units (exact values stay behind the ``exact`` members), angles are
degrees.  ``x`` grows up the stair from the first nosing, ``y`` up from the lower landing; a level
run has ``x = 0`` at its first post and ``y = 0`` on its walking surface.
"""

from __future__ import annotations

from dataclasses import dataclass

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Mark:
    """The height of one bracket's pin above the surface that its post stands on."""

    bay: int
    rail: str  # "top" or "bottom"
    side: str  # "up" or "down": the bay lies up-stair or down-stair of the post
    height: float
    pin: Point  # where the pin is, in section coordinates


@dataclass(frozen=True, slots=True)
class Post:
    """One post, its own surface, height and bracket marks."""

    number: int
    x: float  # centre
    width: float
    base: float | None  # side of the base plate, None where the job gives none
    surface: float  # y of the surface that it stands on
    height: float  # surface to post top
    stands_on: str  # "lower landing", "tread 3", "upper landing", "walking surface"
    tread: int | None
    marks: tuple[Mark, ...]


@dataclass(frozen=True, slots=True)
class Trim:
    """One way to cut a rail from its stock length and where that leaves the balusters."""

    way: str  # "even" or "half-pitch"
    stock: float
    low: float  # cut off the lower end
    high: float
    balusters: int
    end_gap_low: float  # horizontal, post face to the nearest baluster's face
    end_gap_high: float
    baluster_x: tuple[float, ...]  # centres, in section coordinates
    hole_along_rail: tuple[float, ...]  # hole centres from the lower rail end, along the rail


@dataclass(frozen=True, slots=True)
class Bay:
    """The panel between two posts."""

    number: int
    clear: float  # horizontal, face to face
    rail_length: float  # along the rail axis, both rails alike
    stock_needed: float
    stock: float | None  # None where no stock length is long enough
    trim_low: float | None
    trim_high: float | None
    balusters: int
    end_gap_low: float
    end_gap_high: float
    swing: float
    angle_low: float
    angle_high: float
    saw_angle: float
    corner_clearance: float  # horizontal, post face to the nearest corner of a rail end
    chosen: Trim | None
    alternative: Trim | None
    alternative_note: str  # which of the two is better and why
    baluster_x: tuple[float, ...]
    top_rail: tuple[Point, ...]  # outline, four corners: lower end low, high; upper end high, low
    bottom_rail: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class Opening:
    """One free space of the guard and the largest ball that passes it."""

    kind: str  # triangle, foot, head, under-rail, baluster, end, open-riser
    bay: int | None
    tread: int | None
    diameter: float
    center: Point
    leans_on: tuple[str, ...]  # features the circle touches, by name
    outline: tuple[Point, ...]  # the polygon of free space that was searched


@dataclass(frozen=True, slots=True)
class Section:
    """One flight or one level run of the guard."""

    number: int
    name: str
    kind: str  # "flight" or "level"
    risers: int
    treads: int
    unit_rise: float
    unit_run: float
    total_rise: float
    total_run: float
    rake: float
    nosing: float
    tread_thickness: float | None
    open_risers: bool
    stringer: str
    stringer_margin: float
    top: str
    nosings: tuple[Point, ...]
    walking_surface: tuple[Point, ...]  # polyline, landing to landing, as one would walk it
    bottom_gap: float
    guard_height: float
    panel_height: float
    rail_spacing: float
    baluster_clear: float
    max_rack: float | None
    posts: tuple[Post, ...]
    bays: tuple[Bay, ...]
    openings: tuple[Opening, ...]
    handrail: bool
    turn: float


@dataclass(frozen=True, slots=True)
class Guard:
    """All sections of one job, solved."""

    title: str
    units: str  # "in" or "mm"
    tape: float
    sections: tuple[Section, ...]
