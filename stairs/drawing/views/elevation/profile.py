"""The stair in elevation: landings, treads, risers and stringer, as a carpenter would sketch them.

What the guard stands on is drawn from the solved section.  What is not known and only helps the eye
(how deep the stringer or the deck goes down) is drawn as an outline of neighbouring parts, in
long-dash-double-dot lines (ISO 128-2, from memory).

Conventions: what is cut or walked on has the heaviest line.  Earth is hatched in groups of three
short strokes at 45 degrees under its line, the sign of undisturbed earth on building drawings (US
and ISO practice alike, from memory).  Edges behind a closed stringer are dashed.  The line over the
nosings is a setting-out line, long-dash-dot.  Break lines are thin with one zigzag (ISO 128-2, from
memory).
"""

from __future__ import annotations

import math

from msgspec.structs import replace

from stairs.drawing.paper.primitives import (
    CONTINUOUS,
    DASH_DOT_DOT,
    DASHED,
    GRADE,
    HEAVY,
    MEDIUM,
    THIN,
    Point,
    Primitive,
    Stroke,
    break_line,
    line,
    path,
)
from stairs.drawing.paper.view import View, along
from stairs.guard.solving import FlightSection, Section

_THROAT = {"in": 5.0, "mm": 130.0}  # wood left under the steps of the sketched stringer
_HATCH_PITCH, _HATCH_DEPTH = 7.0, 2.6  # millimetres on paper
DROP = 15.0
"""How far under the run it is drawn [mm on paper]."""


def line_height(section: Section, x: float) -> float:
    """Height of the nosing line at ``x`` [units of the work].

    ``y = a + x a / b``, where the line passes ``a`` above the origin and climbs ``a`` in ``b``.
    """
    line = section.rail_line
    return line.line_at_zero + x * line.unit_rise / line.unit_run


def _drop(section: FlightSection, units: str) -> float:
    """How far, plumb, the underside of the sketched stringer lies under the nosing line."""
    slope = section.rail_line.slope
    corners = [
        (x + float(section.flight.nosing), y)
        for (x, _), (_, y) in zip(section.nosings, ((0.0, 0.0), *section.nosings), strict=False)
    ]
    deepest = max(line_height(section, x) - y for x, y in corners)
    cosine = 1 / math.hypot(1.0, slope)
    return deepest + max(_THROAT[units] / cosine, float(section.flight.tread_thickness) * 1.6)


def stringer_foot(section: FlightSection, units: str) -> Point:
    """Where the underside of the sketched stringer meets the lower landing [units of the work].

    The underside lies plumb under the nosing line by ``d``, so that it is at the landing's height
    at ``x = (d - a) / s``, where the line passes ``a`` above the origin at the slope ``s``.
    """
    slope = section.rail_line.slope
    return ((_drop(section, units) - section.rail_line.unit_rise) / slope, 0.0)


def ground(view: View, left: float, right: float, level: float = 0.0) -> list[Primitive]:
    """A surface that is walked on, with earth hatched under it [mm on paper]."""
    y = view.at((0.0, level))[1]
    drawn: list[Primitive] = [line((left, y), (right, y), "ground")]
    x = left + 1.5
    while x + 3 * 1.3 + _HATCH_DEPTH < right:
        for k in range(3):
            start = x + k * 1.3 + _HATCH_DEPTH
            drop = _HATCH_DEPTH - 0.5 * k
            drawn.append(line((start, y - 0.35), (start - drop, y - 0.35 - drop), "ground-hatch"))
        x += _HATCH_PITCH
    return drawn


def deck(view: View, left: float, right: float) -> list[Primitive]:
    """The surface of a level run, broken off at both ends [mm on paper]."""
    y = view.at((0.0, 0.0))[1]
    drawn: list[Primitive] = [
        line((left, y), (right, y), "ground"),
        line((left, y - 2.4), (right, y - 2.4), "ground", MEDIUM),
    ]
    for x in (left, right):
        drawn.append(_broken_off(x, y + 1.2, y - 3.6))
    return drawn


def stair(section: FlightSection, view: View, lean: float = 0.0) -> list[Primitive]:
    """Treads and risers of a flight [mm on paper]."""
    s, t, n = (
        float(section.flight.nosing),
        float(section.flight.tread_thickness),
        section.flight.risers,
    )
    back = math.tan(math.radians(lean))
    hidden = section.record.build.stringer == "closed"
    kind, weight = (DASHED, THIN) if hidden else (CONTINUOUS, MEDIUM)
    drawn: list[Primitive] = []
    below = 0.0
    feet = []
    for x, y in section.nosings:
        foot = (x + s + (y - t - below) * back, below)
        feet.append(foot[0])
        if not section.record.build.open_risers:
            drawn.append(line(view.at(foot), view.at((x + s, y - t)), "riser", weight, kind))
        below = y
    for k in range(section.flight.treads):
        x, y = section.nosings[k]
        end = feet[k + 1] if k + 1 < n else x + float(section.flight.unit_run)
        drawn.append(_slab(view, (x, y), (end, y), t, weight, kind, "tread"))
    return drawn


def _slab(
    view: View, one: Point, two: Point, thick: float, weight: float, kind: str, group: str
) -> Stroke:
    if thick <= 0:
        return line(view.at(one), view.at(two), group, weight, kind)
    (x0, y), (x1, _) = one, two
    corners = ((x0, y), (x1, y), (x1, y - thick), (x0, y - thick))
    return Stroke(view.all_at(corners), weight, group, kind, closed=True)


def upper_edge(section: FlightSection) -> Point:
    """The edge of the upper landing, behind a last tread flush with it [units of the work]."""
    x, y = section.nosings[-1]
    return (
        (x + float(section.flight.unit_run), y)
        if section.flight.treads == section.flight.risers
        else (x, y)
    )


def upper_landing(section: FlightSection, view: View, right: float) -> list[Primitive]:
    """The upper landing from its edge to a break line [mm on paper]."""
    edge = upper_edge(section)
    x, y = view.at(edge)
    thick = view.length(float(section.flight.tread_thickness))
    drawn: list[Primitive] = [line((x, y), (right, y), "landing", HEAVY)]
    drop = max(thick, 2.0)
    if thick > 0:
        drawn.append(line((x, y), (x, y - thick), "landing"))
        drawn.append(line((x, y - thick), (right, y - thick), "landing"))
    return [*drawn, _broken_off(right, y + 1.5, y - drop - 1.5)]


def grade(view: View, x: float, left: float, right: float) -> list[Primitive]:
    """The ground beside a level run, broken off from it, and the line of how far it drops. The
    ground comes first; the line of the drop and its two ticks last [mm on paper].

    Its depth is drawn at no scale, which the break in the line says (common practice, no source).
    """
    top = view.at((0.0, 0.0))[1]
    low = top - DROP
    earth = ground(view, left, right, -DROP / view.unit)
    drawn = [replace(one, group=GRADE) for one in (*earth, _broken_off(x, top, low))]
    for y in (top, low):
        drawn.append(line((x - 0.8, y - 0.8), (x + 0.8, y + 0.8), GRADE))
    return drawn


def _broken_off(x: float, top: float, bottom: float) -> Stroke:
    """A plumb break line, its zigzag small on a short one."""
    reach = min(1.0, abs(top - bottom) / 5)
    return break_line((x, top), (x, bottom), reach, reach / 3, -1.2)


def stringer(section: FlightSection, view: View, units: str) -> list[Primitive]:
    """The stringer: its underside as a neighbour's outline, a closed one's edge in full."""
    s = float(section.flight.nosing)
    top_x, top_y = section.nosings[-1]
    drop = _drop(section, units)
    foot, back = stringer_foot(section, units), top_x + s
    head = (back, line_height(section, back) - drop)
    before = section.nosings[-2][1] if section.flight.risers > 1 else 0.0
    drawn: list[Primitive] = []
    if head[0] > foot[0]:
        under = max(before - float(section.flight.tread_thickness), head[1])
        for start, end in ((foot, head), (head, (back, under))):
            drawn.append(line(view.at(start), view.at(end), "stringer", THIN, DASH_DOT_DOT))
    if section.record.build.stringer == "closed":
        margin = section.stringer_margin or 0.0
        front = max(-float(section.flight.unit_run) / 2, min(section.posts[0].x, 0.0))
        edge = (
            (front, 0.0),
            (front, line_height(section, front) + margin),
            (back, line_height(section, back) + margin),
            (back, top_y),
        )
        drawn.append(path(view.all_at(edge), "stringer"))
    return drawn


def nosing_line(section: FlightSection, view: View, reach: float) -> list[Primitive]:
    """The line over the nosings, a little past both ends [mm on paper]."""
    x0, x1 = section.nosings[0][0], section.nosings[-1][0]
    start, end = view.at((x0, line_height(section, x0))), view.at((x1, line_height(section, x1)))
    length = math.hypot(end[0] - start[0], end[1] - start[1])
    return [line(along(start, end, -reach), along(start, end, length + reach), "nosing-line")]
