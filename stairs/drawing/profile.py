"""The stair in elevation: landings, treads, risers and stringer, as a carpenter would sketch them.

What the guard stands on is drawn from the solved section.  What is not known and only helps the eye
(how deep the stringer or the deck goes down) is drawn as an outline of neighbouring parts, in
long-dash-double-dot lines.
"""

from __future__ import annotations

import math

from stairs.drawing.primitives import (
    DASH_DOT,
    DASH_DOT_DOT,
    DASHED,
    FINE,
    HEAVY,
    MEDIUM,
    THICK,
    THIN,
    Point,
    Primitive,
    Stroke,
    line,
)
from stairs.drawing.view import View

_THROAT = {"in": 5.0, "mm": 130.0}  # wood left under the steps of the sketched stringer
_HATCH_PITCH, _HATCH_DEPTH = 7.0, 2.6  # millimetres on paper


def stringer_foot(section, units: str) -> Point:
    """Where the underside of the sketched stringer meets the lower landing [units of the work]."""
    return (section.nosing + _throat(section, units) / math.sin(math.radians(section.rake)), 0.0)


def _throat(section, units: str) -> float:
    cosine = math.cos(math.radians(section.rake))
    return max(_THROAT[units], section.tread_thickness * cosine * 1.6)


def ground(view: View, left: float, right: float, level: float = 0.0) -> list[Primitive]:
    """A surface that is walked on, with earth hatched under it; left and right [mm on paper]."""
    y = view.at((0.0, level))[1]
    drawn: list[Primitive] = [line((left, y), (right, y), HEAVY, "ground")]
    x = left + 1.5
    while x + 3 * 1.3 + _HATCH_DEPTH < right:
        for k in range(3):
            start = x + k * 1.3 + _HATCH_DEPTH
            drop = _HATCH_DEPTH - 0.5 * k
            drawn.append(
                line((start, y - 0.35), (start - drop, y - 0.35 - drop), FINE, "ground-hatch")
            )
        x += _HATCH_PITCH
    return drawn


def deck(view: View, left: float, right: float) -> list[Primitive]:
    """The surface of a level run, broken off at both ends; left and right [mm on paper]."""
    y = view.at((0.0, 0.0))[1]
    drawn: list[Primitive] = [
        line((left, y), (right, y), HEAVY, "ground"),
        line((left, y - 2.4), (right, y - 2.4), MEDIUM, "ground"),
    ]
    for x in (left, right):
        drawn += break_line((x, y + 1.2), (x, y - 3.6))
    return drawn


def stair(section, view: View) -> list[Primitive]:
    """Treads, risers and the nosing line of a flight [mm on paper]."""
    rise, run = section.unit_rise, section.unit_run
    s, t, n = section.nosing, section.tread_thickness, section.risers
    hidden = section.stringer == "closed"
    kind, weight = (DASHED, THIN) if hidden else ("continuous", MEDIUM)
    drawn: list[Primitive] = []
    for k in range(1, n + 1):
        x, y = (k - 1) * run, k * rise
        if not section.open_risers:
            foot, head = (x + s, y - rise), (x + s, y - t)
            drawn.append(line(view.at(foot), view.at(head), weight, "riser", kind))
        if k == n:
            break
        drawn.append(_slab(view, (x, y), (x + run + s, y), t, weight, kind, "tread"))
    if section.treads == n:
        x = (n - 1) * run
        drawn.append(_slab(view, (x, n * rise), (x + run, n * rise), t, weight, kind, "tread"))
    return drawn


def _slab(view: View, one: Point, two: Point, thick: float, weight, kind, group: str) -> Stroke:
    if thick <= 0:
        return line(view.at(one), view.at(two), weight, group, kind)
    (x0, y), (x1, _) = one, two
    corners = ((x0, y), (x1, y), (x1, y - thick), (x0, y - thick))
    return Stroke(view.all_at(corners), weight, group, kind, closed=True)


def upper_landing(section, view: View, right: float) -> list[Primitive]:
    """The upper landing from its edge to a break line; ``right`` [mm on paper]."""
    n, rise, run = section.risers, section.unit_rise, section.unit_run
    edge = ((n - 1) * run, n * rise)
    if section.treads == n:
        edge = (edge[0] + run, edge[1])
    x, y = view.at(edge)
    thick = view.length(section.tread_thickness)
    drawn: list[Primitive] = [line((x, y), (right, y), HEAVY, "landing")]
    drop = max(thick, 2.0)
    if thick > 0:
        drawn.append(line((x, y), (x, y - thick), MEDIUM, "landing"))
        drawn.append(line((x, y - thick), (right, y - thick), MEDIUM, "landing"))
    drawn += break_line((right, y + 1.5), (right, y - drop - 1.5))
    return drawn


def break_line(top: Point, bottom: Point) -> list[Primitive]:
    """A thin plumb line with one zigzag, where something goes on that is not drawn."""
    x, middle = top[0], (top[1] + bottom[1]) / 2
    reach = min(1.0, abs(top[1] - bottom[1]) / 5)
    points = (
        top, (x, middle + reach), (x - 1.2, middle + reach / 3), (x + 1.2, middle - reach / 3),
        (x, middle - reach), bottom,
    )  # fmt: skip
    return [Stroke(points, FINE, "break")]


def stringer(section, view: View, units: str) -> list[Primitive]:
    """The stringer: its underside as a neighbour's outline, a closed one's edge in full."""
    n, rise, run, s = section.risers, section.unit_rise, section.unit_run, section.nosing
    slope = rise / run
    throat = _throat(section, units)
    drop = throat / math.cos(math.radians(section.rake))
    foot = stringer_foot(section, units)
    back = (n - 1) * run + s
    head = (back, (back - s) * slope - drop)
    under = n * rise - section.tread_thickness
    drawn: list[Primitive] = []
    if head[0] > foot[0]:
        drawn.append(line(view.at(foot), view.at(head), THIN, "stringer", DASH_DOT_DOT))
        drawn.append(line(view.at(head), view.at((back, under - rise)), THIN, "stringer",
                          DASH_DOT_DOT))  # fmt: skip
    if section.stringer == "closed":
        margin = section.stringer_margin or 0.0
        front = max(-run / 2, min(section.posts[0].x, 0.0))
        top = (back, rise + back * slope + margin)
        edge = ((front, 0.0), (front, rise + front * slope + margin), top, (back, n * rise))
        drawn.append(Stroke(view.all_at(edge), THICK, "stringer"))
    return drawn


def nosing_line(section, view: View, reach: float) -> list[Primitive]:
    """The line through the nosings, a little past both ends; ``reach`` [mm on paper]."""
    (x0, y0), (x1, y1) = (view.at(point) for point in (section.nosings[0], section.nosings[-1]))
    length = math.hypot(x1 - x0, y1 - y0)
    u, v = (x1 - x0) / length, (y1 - y0) / length
    return [
        line((x0 - u * reach, y0 - v * reach), (x1 + u * reach, y1 + v * reach), FINE,
             "nosing-line", DASH_DOT)
    ]  # fmt: skip
