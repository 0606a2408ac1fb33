"""The key plan: the whole plan in small, so that a reader knows where the part on a sheet lies; and
which way is north.

A plan that is broken over several parts is hard to find one's way in.  Beside the scale of every
sheet stands the whole in outline, with all parts by their numbers, those of the sheet itself in
heavy line.  It is not to scale and says so.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from stairs.drawing.paper.lettering import SMALL
from stairs.drawing.paper.primitives import (
    DASHED,
    HAIR,
    THICK,
    Area,
    Point,
    Primitive,
    Stroke,
    Text,
    line,
    path,
    rectangle,
    ring,
)
from stairs.drawing.placing.placement import Board, places_at
from stairs.drawing.views.plan.parts import Laid, PlanPart
from stairs.drawing.views.plan.work import mean_of

GROUP = "key-plan"
NORTH = 17.0
"""Width of paper that the sign of north takes [mm]."""
_CAPTION = 4.5  # height of the words under it [mm]
_AROUND = 5.0  # beside the outline, for the numbers [mm]
_OUT = 1.4  # from the outline to the frame of a part [mm]


def north_arrow(at: Point, degrees: float) -> list[Primitive]:
    """A circle with an arrow to north, and N beyond its point [mm on paper]."""
    ux, uy = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    radius, x, y = 3.2, at[0] - 2.0 * ux, at[1] - 2.0 * uy
    tip = (x + (radius + 1.2) * ux, y + (radius + 1.2) * uy)

    def foot(side: float) -> Point:
        return (x - (radius * ux + side * uy) * 0.7, y - (radius * uy - side * ux) * 0.7)

    letter = (tip[0] + 2.3 * ux, tip[1] + 2.3 * uy - SMALL / 2)
    tail = (x - radius * ux, y - radius * uy)
    return [
        ring((x, y), radius, GROUP, owner="north"),
        Stroke((tip, foot(1.6), (x, y)), 0.0, GROUP, closed=True, fill="ink", owner="north"),
        path((tip, foot(-1.6), (x, y)), GROUP, closed=True, owner="north"),
        line(tail, tip, GROUP, owner="north"),
        Text("N", letter, SMALL, GROUP, "middle", owner="north"),
    ]


def key_plan(
    laid: Laid, parts: Sequence[PlanPart], here: Sequence[int], room: Area
) -> list[Primitive]:
    """The whole in outline, with the parts of a sheet in heavy line."""
    left, bottom, right, top = room
    caption = "KEY PLAN, NOT TO SCALE"
    drawn: list[Primitive] = [
        Text(caption, ((left + right) / 2, bottom), SMALL, GROUP, "middle", owner=caption)
    ]
    bottom += _CAPTION
    x0, y0, x1, y1 = laid.extent
    share = min((right - left - 2 * _AROUND) / (x1 - x0), (top - bottom - 2 * _AROUND) / (y1 - y0))
    middle = ((left + right) / 2, (bottom + top) / 2)

    def at(point: Point) -> Point:
        return (
            middle[0] + (point[0] - (x0 + x1) / 2) * share,
            middle[1] + (point[1] - (y0 + y1) / 2) * share,
        )

    def of_work(point: Point) -> Point:
        return at((point[0] * laid.unit, point[1] * laid.unit))

    outline: list[Primitive] = []
    for tread in laid.plan.treads:
        corners = tuple(map(of_work, tread.corners))
        outline.append(path(corners, GROUP, HAIR, closed=True))
    for place in laid.plan.sections:
        outline.append(line(of_work(place.start), of_work(place.end), GROUP))
    for part in sorted(parts, key=lambda one: one.number in here):
        outline.append(_frame(part, part.number in here, at))
    board = Board((left, bottom, right, top))
    board.add(outline)
    drawn += outline
    for part in parts:
        name = str(part.number)
        low, high = _ends(part, at)
        amid = mean_of((low, high))
        spots = sorted(_spots(low, high), key=lambda one: math.dist(one, amid))
        places = places_at(
            (name,), ((x, y - SMALL / 2, "middle", 0.0) for x, y in spots), GROUP,
            owner=f"part {name}", headed=part.number in here,
        )  # fmt: skip
        free = board.all_free(places)
        chosen = next((place for place, good in zip(places, free, strict=True) if good), None)
        if chosen is not None:
            drawn += chosen.texts
            board.add(chosen.texts)
    return drawn


def _ends(part: PlanPart, at: Callable[[Point], Point]) -> tuple[Point, Point]:
    """Lower left and upper right corner of a part in the key plan [mm on paper]."""
    left, bottom, right, top = part.shown
    x0, y0, x1, y1 = part.edges
    low = at((max(left, x0), max(bottom, y0)))
    high = at((min(right, x1), min(top, y1)))
    out = [0.0 if goes_on else _OUT for goes_on in part.cut]
    return (low[0] - out[0], low[1] - out[1]), (high[0] + out[2], high[1] + out[3])


def _frame(part: PlanPart, here: bool, at: Callable[[Point], Point]) -> Stroke:
    low, high = _ends(part, at)
    made = rectangle(low, high, GROUP, THICK if here else HAIR)
    return made if here else path(made.points, GROUP, HAIR, kind=DASHED, closed=True)


def _spots(low: Point, high: Point) -> list[Point]:
    """Places for a number in a frame, then just outside it."""
    found = []
    for k in range(1, 12):
        for j in range(1, 12):
            found.append(
                (low[0] + (high[0] - low[0]) * k / 12, low[1] + (high[1] - low[1]) * j / 12)
            )
        x = low[0] + (high[0] - low[0]) * k / 12
        y = low[1] + (high[1] - low[1]) * k / 12
        found += [(x, high[1] + 2.2), (x, low[1] - 2.2), (low[0] - 2.2, y), (high[0] + 2.2, y)]
    return found
