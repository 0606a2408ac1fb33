"""The guard's parts in elevation: posts, rails, balusters, brackets, and the openings' circles.

Outlines come from the solved section and are drawn true to scale.  Two things are signs rather than
shapes, since makers differ: the bracket (a plate on the post's face and its pin) and the thickness
of a base plate.

Conventions: posts and rails have thick lines, as what the sheet is about; balusters thin ones.
Posts have centre lines, long-dash-dot and a little longer than the post (ISO 128-2, from memory).
A wall is cut: hatched at 45 degrees with thin lines behind a heavy face (ISO 128-3, from memory),
and broken off over the guard by a zigzag line.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from stairs.drawing.paper.primitives import (
    BLANK,
    DASHED,
    FINE,
    THIN,
    Arc,
    Point,
    Primitive,
    Stroke,
    break_line,
    line,
    path,
    rectangle,
    ring,
)
from stairs.drawing.paper.view import View
from stairs.guard.solving import Section
from stairs.job import Job
from stairs.openings.opening import Opening
from stairs.parts.bays import Bay
from stairs.parts.posts import Post

_PLATE = {"in": 0.375, "mm": 10.0}
_LEAST = 1e-6  # a mark no farther below the surface lies on it [units of the work]


_HATCH, _WALL_OVER = 3.0, 9.0  # millimetres on paper: depth of hatch, wall over the rail
WALL_DEPTH = _HATCH + 1.5
"""How far a wall reaches behind its face on paper [mm]."""


def wall(one: Post, view: View, over: float, right: bool) -> list[Primitive]:
    """The face of a wall that carries the brackets, hatched behind, broken off over the guard."""
    x, foot = view.at((one.x, one.surface))
    top = view.at((one.x, one.surface + over))[1] + _WALL_OVER
    side = 1 if right else -1
    drawn: list[Primitive] = [line((x, foot), (x, top), "wall")]
    y = foot + 0.6
    while y + _HATCH < top:  # section lines at 45 degrees (ISO 128-3)
        ends = ((x + side * 0.35, y), (x + side * (0.35 + _HATCH), y + _HATCH))
        drawn.append(line(*ends, "wall-hatch"))
        y += 2.2
    ends = ((x - side * 1.5, top), (x + side * (_HATCH + 1.9), top))
    return [*drawn, break_line(*ends, 1.0, 0.4, side * 1.2, (3.4 / 6.4,))]


def post(one: Post, view: View, units: str, reveal: float) -> list[Primitive]:
    """A post with its base plate and the line of its cap, cut along the rails [mm on paper].

    Where it goes on below its surface it is drawn to its end; where a bracket's mark lies below
    and the job does not say how far it goes, it is dashed and broken off.
    """
    drawn: list[Primitive] = []
    foot = 0.0
    if one.base:
        thick = max(view.length(_PLATE[units]), 0.7)
        plate = one.base * one.reach / one.width
        low, y = view.at((one.x - plate, one.surface))
        high = view.at((one.x + plate, one.surface))[0]
        drawn.append(rectangle((low, y), (high, y + thick), "base-plate", fill=BLANK))
        foot += thick / view.unit
    (left, low), (right, _) = _across(one, foot - one.below)
    (top_left, high), (top_right, right_high) = _across(one, one.height)
    corners = ((left, low), (right, low), (top_right, right_high), (top_left, high))
    drawn.append(path(view.all_at(corners), "post", closed=True, fill=BLANK))
    cap = min(max(reveal * 0.5, 0.8 / view.unit), one.height / 20)
    drawn.append(path(view.all_at(_across(one, one.height - cap)), "post", FINE))
    lowest = min((mark.height for mark in one.marks), default=0.0)
    if lowest < -_LEAST and not one.below:
        drawn += _below(one, view, lowest)
    return drawn


def _across(one: Post, over: float) -> tuple[Point, Point]:
    """The two faces of a post so high over its surface: level at its foot, square to it at its top,
    where it leans."""
    lean = float(one.stand.lean) if over > one.height / 2 else 0.0
    middle, y = one.centre_at(over), one.surface + over
    half = one.reach / math.hypot(1.0, lean)
    return (middle - half, y + half * lean), (middle + half, y - half * lean)


def bolts(one: Post, view: View, apart: float | None) -> list[Primitive]:
    """The centre lines of a base plate's bolts, so far to either side of the post's middle."""
    if apart is None or one.base is None:
        return []
    low, high = (one.surface + one.base * share for share in (-0.42, 0.22))
    return [
        line(view.at((x, low)), view.at((x, high)), "centre-line")
        for x in (one.x - apart, one.x + apart)
    ]


def _below(one: Post, view: View, lowest: float) -> list[Primitive]:
    """A post that goes on below its surface, past its lowest mark, broken off."""
    left, right = (one.face("down"), one.surface), (one.face("up"), one.surface)
    (low, start), (high, _) = view.at(left), view.at(right)
    end = start + view.unit * lowest - max(0.6 * one.width * view.unit, 2.0)
    sides = [line((x, start - 0.4), (x, end), "post", THIN, DASHED) for x in (low, high)]
    return [*sides, break_line((low - 0.8, end), (high + 0.8, end), 0.6, 0.3, 0.8)]


def rails(bay: Bay, view: View) -> list[Primitive]:
    """Both rails of a bay, outlined, the bottom rail first [mm on paper]."""
    return [
        path(view.all_at(outline), "rail", closed=True, fill=BLANK)
        for outline in (bay.bottom_rail, bay.top_rail)
    ]


def filler(bay: Bay, view: View, depth: float) -> list[Primitive]:
    """The strip under a bay's bottom rail, where there is one [mm on paper]."""
    if depth <= 0:
        return []
    low, high = bay.bottom_rail[0], bay.bottom_rail[3]
    corners = (low, high, (high[0], high[1] - depth), (low[0], low[1] - depth))
    return [path(view.all_at(corners), "filler", closed=True, fill=BLANK)]


def edge_height(outline: Sequence[Point], over: bool, x: float) -> float:
    """Height of a rail's upper or under edge at ``x``, its line carried on."""
    (x0, y0), (x1, y1) = (outline[1], outline[2]) if over else (outline[0], outline[3])
    return y0 + (y1 - y0) * (x - x0) / (x1 - x0)


def balusters(bay: Bay, view: View, width: float) -> list[Primitive]:
    """The balusters of a bay, from rail to rail [mm on paper]."""
    drawn: list[Primitive] = []
    for x in bay.baluster_x:
        low, high = x - width / 2, x + width / 2
        corners = (
            (low, edge_height(bay.bottom_rail, True, low)),
            (high, edge_height(bay.bottom_rail, True, high)),
            (high, edge_height(bay.top_rail, False, high)),
            (low, edge_height(bay.top_rail, False, low)),
        )
        drawn.append(path(view.all_at(corners), "baluster", closed=True, fill=BLANK))
    return drawn


def brackets(section: Section, job: Job, view: View) -> list[Primitive]:
    """The sign of a bracket at each rail end: a plate on the post's face, a tongue, and its pin.
    For plumb-cut rails it is a socket that holds the rail's end [mm on paper]."""
    drawn: list[Primitive] = []
    kind = job.bracket
    for one in section.posts:
        for mark in one.marks:
            depth = float(job.panel.top_rail if mark.rail == "top" else job.panel.bottom_rail)
            side = 1 if mark.side == "up" else -1
            x, y = mark.pin
            face = one.face_at(mark.side, y - one.surface)
            if kind.kind == "pivot":
                plate = float(kind.pivot_offset) * 0.3
                half = depth * 0.5
                ends = sorted((face, face + side * plate))
                drawn.append(rectangle(view.at((ends[0], y - half)), view.at((ends[1], y + half)),
                                       "bracket", fill=BLANK))  # fmt: skip
                tongue = depth * 0.22
                ends = sorted((face + side * plate, x))
                drawn.append(rectangle(view.at((ends[0], y - tongue)),
                                       view.at((ends[1], y + tongue)), "bracket",
                                       fill=BLANK))  # fmt: skip
                drawn.append(ring(view.at((x, y)), max(view.length(depth * 0.26), 0.45),
                                 "bracket", fill=BLANK))  # fmt: skip
            else:
                drawn.append(_socket(view, face, x, y, side, depth, section.rake))
    return drawn


def _socket(
    view: View, face: float, x: float, y: float, side: int, depth: float, rake: float
) -> Stroke:
    """The sign of a socket: it holds the rail's end between two cheeks."""
    slope = math.tan(math.radians(rake))
    half = depth / 2 / math.cos(math.radians(rake)) + depth * 0.12
    reach = face + side * (abs(x - face) + depth * 0.8)
    corners = (
        (face, y + (face - x) * slope - half), (reach, y + (reach - x) * slope - half),
        (reach, y + (reach - x) * slope + half), (face, y + (face - x) * slope + half),
    )  # fmt: skip
    return path(view.all_at(corners), "bracket", closed=True)


def circle(opening: Opening, view: View, weight: float = FINE) -> Arc:
    """The largest circle that fits an opening [mm on paper]."""
    radius = view.length(opening.drawn_diameter / 2)
    return Arc(view.at(opening.center), radius, weight, "opening")
