"""What a drawing is made of: strokes, arcs and letters on paper, before any file is written.

A draughtsman has pens of a few widths, a few kinds of line and one lettering.  Everything on a
sheet is a :class:`Stroke`, an :class:`Arc` or a :class:`Text`, placed in millimetres from the lower
left corner of the paper, and says by its ``group`` which part of the work it shows.  Writers turn
these into files; nothing here knows of any file format.

Line widths: the ladder of ISO 128-2 (from memory), each the root of two times the one before.
Three grades of it carry a sheet, near the thin : medium : thick = 1 : 2 : 4 of the US Navy drafting
manual 14069.  Heavy is the ground and what is cut, thick the guard's posts and rails, medium treads
and ticks, thin balusters and the leaders of failures, fine dimensions, leaders, centre lines, hatch
and break lines, hair the rules between the rows of a table.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from msgspec import Struct
from msgspec.structs import replace

Point = tuple[float, float]
Segment = tuple[Point, Point]
Area = tuple[float, float, float, float]
"""Left, bottom, right and top."""

TOUCH = 1e-6
"""What is nearer only touches, and what is shorter is not drawn [mm]."""

HAIR, FINE, THIN, MEDIUM, THICK, HEAVY = 0.13, 0.18, 0.25, 0.35, 0.5, 0.7
"""Line widths [mm]."""

CONTINUOUS = "continuous"
DASHED = "dashed"
DASH_DOT = "long-dash-dot"
DASH_DOT_DOT = "long-dash-double-dot"
DASHES: dict[str, tuple[float, ...]] = {
    CONTINUOUS: (),
    DASHED: (3.0, 1.5),
    DASH_DOT: (8.0, 1.5, 0.5, 1.5),
    DASH_DOT_DOT: (8.0, 1.5, 0.5, 1.5, 0.5, 1.5),
}
"""Lengths of mark and gap in turn [mm].

Kinds of line after ISO 128-2 (from memory): continuous for edges that are seen, dimensions, leaders
and hatch; dashed for hidden edges; long-dash-dot for centre lines and setting-out lines;
long-dash-double-dot for outlines of neighbouring parts, and here for match lines too
(``match_lines``).  Breaks are thin continuous lines with zigzags.  The lengths
are near those of the standard for a line of 0.35 mm, a little shorter so that short lines still
show their kind."""

_PENS: dict[float, str] = {
    HEAVY: "border deck-edge foot ground post-face saw-cut wall",
    THICK: "failure match-line piece post rail rake stringer title",
    MEDIUM: "base-plate block bracket-mark cube filler grade hole joist landing nosing pin-offset "
    "riser tread",
    THIN: "baluster bracket check-bar hole-mark level-and-plumb offcut reference saw-cut-behind "
    "stock way-up",
    FINE: "blank bolt break caption centre-line check-box contact dimension ground-hatch "
    "hole-centre key-plan leader level limit-ball limit-cube nosing-line opening pin plumb "
    "rail-axis rail-edge register scale-bar shim title-block wall-hatch",
    HAIR: "board-gap detail-frame hole-height leftover lost-hole post-hatch table tape",
}
_DASHED: dict[str, str] = {
    DASHED: "board-gap limit-ball limit-cube rail-edge saw-cut-behind stock",
    DASH_DOT: "centre-line level nosing-line rail-axis",
    DASH_DOT_DOT: "match-line",
}
"""Which pen and which kind of line is taken for what is shown, where a view asks for no other."""
_WEIGHT = {group: weight for weight, groups in _PENS.items() for group in groups.split()}
_KIND = {group: kind for kind, groups in _DASHED.items() for group in groups.split()}

INK = "ink"
BLANK = "blank"

GRADE = "grade"
"""Group of the ground beside a level run, which is drawn at no scale."""


class Stroke(Struct, frozen=True):
    """A run of straight lines."""

    points: tuple[Point, ...]  # two or more [mm on paper]
    weight: float  # line width [mm]; 0 where only the fill shows
    group: str  # what it shows: "post", "rail", "dimension" ...
    line: str = CONTINUOUS  # a key of `DASHES`
    closed: bool = False  # whether the last point joins the first
    fill: str | None = None  # "ink", "blank" (hides what was drawn before) or None
    owner: str = ""  # name of the dimension or label it belongs to, empty for the work itself

    def segments(self) -> list[tuple[Point, Point]]:
        """The straight pieces, one after the other."""
        pairs = list(zip(self.points, self.points[1:], strict=False))
        if self.closed and len(self.points) > 2:
            pairs.append((self.points[-1], self.points[0]))
        return pairs


class Arc(Struct, frozen=True):
    """A circle, or a part of one drawn against the clock."""

    center: Point  # [mm on paper]
    radius: float  # [mm on paper]
    weight: float
    group: str
    # start, end: degrees from level; 0 and 360 for a whole circle
    start: float = 0.0
    end: float = 360.0
    line: str = CONTINUOUS
    fill: str | None = None
    owner: str = ""

    @property
    def whole(self) -> bool:
        """Whether it is a full circle."""
        return self.end - self.start >= 360.0

    def points(self, steps: int | None = None) -> tuple[Point, ...]:
        """Points along it, close enough for any test of what it crosses [mm on paper]."""
        sweep = self.end - self.start
        count = steps or max(3, math.ceil(sweep / 15))
        x, y = self.center
        turns = (math.radians(self.start + sweep * k / count) for k in range(count + 1))
        return tuple(
            (x + self.radius * math.cos(turn), y + self.radius * math.sin(turn)) for turn in turns
        )

    def segments(self) -> list[tuple[Point, Point]]:
        """Straight pieces along it."""
        points = self.points()
        return list(zip(points, points[1:], strict=False))


class Text(Struct, frozen=True):
    """One line of lettering."""

    content: str  # shown letter by letter; nothing in it is a command
    at: Point  # on the base line [mm on paper]
    height: float  # of a capital letter [mm]
    group: str
    # which part of the line lies at "at": "left", "middle" or "right"
    anchor: str = "left"
    rotation: float = 0.0  # degrees against the clock
    bold: bool = False  # the heavier face
    blank: bool = False  # lettering left white on an inked ground
    owner: str = ""


Primitive = Stroke | Arc | Text


def moved(primitive: Primitive, dx: float, dy: float) -> Primitive:
    """The same primitive, shifted [mm]."""
    if isinstance(primitive, Stroke):
        return replace(primitive, points=tuple((x + dx, y + dy) for x, y in primitive.points))
    if isinstance(primitive, Arc):
        return replace(primitive, center=(primitive.center[0] + dx, primitive.center[1] + dy))
    return replace(primitive, at=(primitive.at[0] + dx, primitive.at[1] + dy))


def path(
    points: tuple[Point, ...], group: str, weight: float | None = None, kind: str | None = None, *,
    closed: bool = False, fill: str | None = None, owner: str = "",
) -> Stroke:  # fmt: skip
    """A run of straight lines, with the pen of what it shows where nothing else is said."""
    heavy = _WEIGHT[group] if weight is None else weight
    return Stroke(points, heavy, group, kind or _KIND.get(group, CONTINUOUS), closed, fill, owner)


def line(
    start: Point, end: Point, group: str, weight: float | None = None, kind: str | None = None, *,
    owner: str = "",
) -> Stroke:  # fmt: skip
    """A single straight line."""
    return path((start, end), group, weight, kind, owner=owner)


def rectangle(
    low: Point, high: Point, group: str, weight: float | None = None, fill: str | None = None
) -> Stroke:
    """A rectangle square to the sheet, from its lower left to its upper right corner."""
    (x0, y0), (x1, y1) = low, high
    return path(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), group, weight, closed=True, fill=fill)


def ring(
    center: Point, radius: float, group: str, weight: float | None = None, *,
    start: float = 0.0, end: float = 360.0, kind: str | None = None, fill: str | None = None,
    owner: str = "",
) -> Arc:  # fmt: skip
    """A circle or a part of one, with the pen of what it shows where nothing else is said."""
    heavy = _WEIGHT[group] if weight is None else weight
    dashes = kind or _KIND.get(group, CONTINUOUS)
    return Arc(center, radius, heavy, group, start, end, dashes, fill, owner)


def break_line(
    start: Point, end: Point, half: float = 1.2, gap: float = 0.5, aside: float = 1.5,
    shares: Iterable[float] = (0.5,),
) -> Stroke:  # fmt: skip
    """A thin line with zigzags, where something goes on that is not drawn [mm on paper].

    Each zigzag takes so much to either side of its place, and swings to the left first.
    """
    length = math.dist(start, end) or 1.0
    ux, uy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    points = [
        (start[0] + ux * along - uy * out, start[1] + uy * along + ux * out)
        for middle in (length * share for share in shares)
        for along, out in ((middle - half, 0.0), (middle - gap, aside),
                           (middle + gap, -aside), (middle + half, 0.0))
    ]  # fmt: skip
    return Stroke((start, *points, end), FINE, "break")


def extent_of_lines(primitives: Iterable[Primitive]) -> tuple[float, float, float, float]:
    """Left, bottom, right and top of all strokes and arcs, half their widths included [mm]."""
    left = bottom = math.inf
    right = top = -math.inf
    for one in primitives:
        if isinstance(one, Text):
            continue
        points = one.points if isinstance(one, Stroke) else one.points(72)
        half = one.weight / 2
        for x, y in points:
            left, right = min(left, x - half), max(right, x + half)
            bottom, top = min(bottom, y - half), max(top, y + half)
    return left, bottom, right, top
