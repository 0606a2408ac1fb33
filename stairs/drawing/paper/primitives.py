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

HAIR, FINE, THIN, MEDIUM, THICK, HEAVY = 0.13, 0.18, 0.25, 0.35, 0.5, 0.7
WEIGHTS = (HAIR, FINE, THIN, MEDIUM, THICK, HEAVY)
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

INK = "ink"
BLANK = "blank"

GRADE = "grade"
"""Group of the ground beside a level run, which is drawn at no scale."""


class Stroke(Struct, frozen=True):
    """A run of straight lines.

    Parameters
    ----------
    points : tuple of Point
        Two or more [mm on paper].
    weight : float
        Line width [mm]; 0 where only the fill shows.
    group : str
        What it shows: ``"post"``, ``"rail"``, ``"dimension"`` ...
    line : str
        A key of :data:`DASHES`.
    closed : bool
        Whether the last point joins the first.
    fill : str or None
        ``"ink"``, ``"blank"`` (hides what was drawn before) or None.
    owner : str
        Name of the dimension or label it belongs to, empty for the work itself.
    """

    points: tuple[Point, ...]
    weight: float
    group: str
    line: str = CONTINUOUS
    closed: bool = False
    fill: str | None = None
    owner: str = ""

    def segments(self) -> list[tuple[Point, Point]]:
        """The straight pieces, one after the other."""
        pairs = list(zip(self.points, self.points[1:], strict=False))
        if self.closed and len(self.points) > 2:
            pairs.append((self.points[-1], self.points[0]))
        return pairs


class Arc(Struct, frozen=True):
    """A circle, or a part of one drawn against the clock.

    Parameters
    ----------
    center : Point
        [mm on paper].
    radius : float
        [mm on paper].
    weight, group, line, fill, owner
        As for :class:`Stroke`.
    start, end : float
        Degrees from level; 0 and 360 for a whole circle.
    """

    center: Point
    radius: float
    weight: float
    group: str
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
        """Points along it, close enough for any test of what it crosses [mm on paper].

        Parameters
        ----------
        steps : int, optional
            Into how many equal pieces it is cut; where it is left out none spans over 15 degrees.

        Returns
        -------
        tuple of Point
            One more than there are pieces, from start to end.

        Notes
        -----
        ``x = x0 + r cos t`` and ``y = y0 + r sin t`` at the angle ``t`` from level.
        """
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
    """One line of lettering.

    Parameters
    ----------
    content : str
        Shown letter by letter; nothing in it is a command.
    at : Point
        On the base line [mm on paper].
    height : float
        Of a capital letter [mm].
    group : str
        As for :class:`Stroke`.
    anchor : str
        Which part of the line lies at ``at``: ``"left"``, ``"middle"`` or ``"right"``.
    rotation : float
        Degrees against the clock.
    bold : bool
        The heavier face.
    blank : bool
        Lettering left white on an inked ground.
    owner : str
        As for :class:`Stroke`.
    """

    content: str
    at: Point
    height: float
    group: str
    anchor: str = "left"
    rotation: float = 0.0
    bold: bool = False
    blank: bool = False
    owner: str = ""


Primitive = Stroke | Arc | Text


def moved(primitive: Primitive, dx: float, dy: float) -> Primitive:
    """The same primitive, shifted [mm].

    Parameters
    ----------
    primitive : Primitive
        A stroke, an arc or a line of lettering.
    dx, dy : float
        How far to the right and upwards [mm].
    """
    if isinstance(primitive, Stroke):
        return replace(primitive, points=tuple((x + dx, y + dy) for x, y in primitive.points))
    if isinstance(primitive, Arc):
        return replace(primitive, center=(primitive.center[0] + dx, primitive.center[1] + dy))
    return replace(primitive, at=(primitive.at[0] + dx, primitive.at[1] + dy))


def line(start: Point, end: Point, weight: float, group: str, kind: str = CONTINUOUS,
         owner: str = "") -> Stroke:  # fmt: skip
    """A single straight line.

    Parameters
    ----------
    start, end : Point
        Its two ends [mm on paper].
    weight : float
        Line width [mm].
    group, owner : str
        As for :class:`Stroke`.
    kind : str
        A key of :data:`DASHES`.
    """
    return Stroke((start, end), weight, group, kind, owner=owner)


def rectangle(
    low: Point, high: Point, weight: float, group: str, fill: str | None = None, owner: str = ""
) -> Stroke:
    """A rectangle square to the sheet, from its lower left to its upper right corner.

    Parameters
    ----------
    low, high : Point
        These two corners [mm on paper].
    weight : float
        Line width; 0 where only the fill shows [mm].
    group, owner : str
        As for :class:`Stroke`.
    fill : str, optional
        ``"ink"``, or ``"blank"`` to hide what was drawn before.
    """
    (x0, y0), (x1, y1) = low, high
    return Stroke(
        ((x0, y0), (x1, y0), (x1, y1), (x0, y1)), weight, group, closed=True, fill=fill, owner=owner
    )


def extent_of_lines(primitives: Iterable[Primitive]) -> tuple[float, float, float, float]:
    """Left, bottom, right and top of all strokes and arcs, half their widths included [mm].

    Parameters
    ----------
    primitives : iterable of Primitive
        Lettering is passed over.  Where nothing else is there, the edges are infinite and the left
        one lies right of the right one.
    """
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
