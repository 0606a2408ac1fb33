"""The parts of a guard, each a cell with all that is measured on it lettered."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from stairs.drawing.paper.primitives import (
    BLANK,
    DASH_DOT,
    FINE,
    MEDIUM,
    Point,
    Primitive,
    line,
    path,
    rectangle,
)
from stairs.drawing.paper.sheet_sizes import Scale
from stairs.drawing.paper.view import View
from stairs.drawing.placing.dimensions import ALIGNED, LEVEL, PLUMB
from stairs.drawing.views.details.parts import everything
from stairs.drawing.views.elevation.elements import (
    balusters,
    brackets,
    edge_height,
    filler,
    post,
    rails,
)
from stairs.drawing.views.elevation.profile import deck, nosing_line, stair, stringer
from stairs.drawing.views.lettered.cell import Cell, cell
from stairs.drawing.views.lettered.samples import the_flight
from stairs.solution import Solution

ORIGIN = (0.0, 0.0)


def level_with(point: Point) -> Point:
    """A point level with another, up-stair of it."""
    return (point[0] + 1.0, point[1])


def level_at(point: Point, other: Point) -> Point:
    """A point under or over one, level with another."""
    return (point[0], other[1])


def flight_cell(solution: Solution, scale: Scale, at: Point = ORIGIN, singly: bool = False) -> Cell:
    """The flight and its guard as a whole; ``singly``, every riser and tread by its number."""
    section = the_flight(solution)
    made = cell(
        "A flight and its guard",
        scale,
        at,
        (-12, -3, 33, 57),
        lambda view: everything(solution, section, view),
        (22.0, 23.0, 16.0, 10.0),
    )
    first, second, head = section.nosings
    for k, (one, two) in enumerate(pairwise(section.nosings if singly else (first, second))):
        made.across("unit_run", (one[0], 0.0), (two[0], 0.0), LEVEL, -15.0,
                    f"G{k + 1}" if singly else "")  # fmt: skip
    if singly:
        for k, (one, two) in enumerate(pairwise(((0.0, 0.0), *section.nosings))):
            right = made.view.length(head[0] - two[0]) + 10.0
            made.across("unit_rise", level_at(two, one), two, PLUMB, right, f"R{k + 1}")
    else:
        right = made.view.length(second[0] - first[0]) + 4.8
        made.across("unit_rise", second, level_at(second, first), PLUMB, right)
    made.across("total_run", (0.0, 0.0), (head[0], 0.0), LEVEL, -22.0, "W = T G")
    low = section.posts[0]
    assert low.base is not None
    plate = low.base / 2
    made.across("plate", (low.x - plate, 0.0), (low.x + plate, 0.0), LEVEL, -8.0)
    made.across("centre", (low.x, 0.0), (0.0, 0.0), LEVEL, -15.0)
    made.across("total_rise", (head[0], 0.0), head, PLUMB, 20.0 if singly else 18.0, "H = n R")
    made.angle("rake", first, level_with(first), second, 15.0)
    top = low.surface + low.height
    crown = edge_height(section.bays[0].top_rail, True, low.face("up"))
    made.across("reveal", (low.face("down"), crown), (low.face("down"), top), PLUMB, -6.0)
    made.across("post_width", (low.face("down"), top), (low.face("up"), top), LEVEL, 5.0)
    return made


def panel_cell(solution: Solution, scale: Scale, at: Point = ORIGIN) -> Cell:
    """A panel as it is bought: level and uncut."""
    section, panel = solution.sections[0].section, solution.job.panel
    bay = section.bays[0]

    def work(view: View) -> list[Primitive]:
        return [*balusters(bay, view, float(panel.baluster)), *rails(bay, view)]

    (left, foot), (_, over_low), (right, _), _ = bay.bottom_rail
    (_, under_top), (_, top) = bay.top_rail[:2]
    made = cell(
        "A panel as bought",
        scale,
        at,
        (left - 1, foot - 1, right + 1, top + 1),
        work,
        (16.0, 17.0, 24.0, 14.0),
    )
    one, two, three = bay.baluster_x[:3]
    half = float(panel.baluster) / 2
    made.across("panel_height", (right, foot), (right, top), PLUMB, 17.0)
    made.across("top_rail", (right, under_top), (right, top), PLUMB, 8.0)
    made.across("bottom_rail", (right, foot), (right, over_low), PLUMB, 8.0)
    made.across("stock", (left, foot), (right, foot), LEVEL, -14.0)
    made.across("hole_in_stock", (left, foot), (one, foot), LEVEL, -7.0)
    made.across("pitch", (one, foot), (two, foot), LEVEL, -7.0)
    made.across("baluster", (three - half, 15.0), (three + half, 15.0), LEVEL, 0.0)
    return made


def pivot_cell(solution: Solution, scale: Scale, at: Point = ORIGIN) -> Cell:
    """A bracket with a pin, and the square end of a rail."""
    section = the_flight(solution)
    post, outline = section.posts[0], section.bays[0].bottom_rail
    pin = next(mark.pin for mark in post.marks if mark.rail == "bottom")
    face = post.face("up")
    end = ((outline[0][0] + outline[1][0]) / 2, (outline[0][1] + outline[1][1]) / 2)
    made = cell(
        "Bracket with a pin",
        scale,
        at,
        (face - 0.9, pin[1] - 2.2, face + 5.4, pin[1] + 3.3),
        lambda view: everything(solution, section, view),
        (8.0, 9.0, 8.0, 10.0),
    )
    made.across("pivot_offset", (face, pin[1]), pin, LEVEL, -15.0)
    made.across("rail_setback", pin, end, ALIGNED, 12.0)
    return made


def socket_cell(solution: Solution, scale: Scale, at: Point = ORIGIN) -> Cell:
    """A rail cut off plumb, and a post that goes on below its surface."""
    section = the_flight(solution)
    post, outline = section.posts[0], section.bays[0].bottom_rail
    face, cut = post.face("up"), outline[0][0]
    made = cell(
        "Plumb-cut; set beside",
        scale,
        at,
        (post.x - 5, -8, post.x + 9, 15),
        lambda view: everything(solution, section, view),
        (10.0, 4.0, 6.0, 3.0),
    )
    made.across("end_clearance", (face, outline[0][1]), (cut, outline[0][1]), LEVEL, -6.0)
    foot = post.surface - post.below
    made.across(
        "post_below", (post.face("down"), foot), (post.face("down"), post.surface), PLUMB, -6.0
    )
    return made


def step_cell(solution: Solution, scale: Scale, at: Point = ORIGIN) -> Cell:
    """One step: its nosing, its tread and a riser that leans back."""
    section = the_flight(solution)
    flight, thickness = section.flight, section.flight.tread_thickness
    assert thickness is not None
    (x0, y0), (x1, y1) = section.nosings[:2]
    thick, nosing = float(thickness), float(flight.nosing)
    top = (x1 + nosing, y1 - thick)
    lean = math.tan(math.radians(float(flight.riser_slope))) * (top[1] - y0)

    def work(view: View) -> list[Primitive]:
        plumb = line(view.at(top), view.at((top[0], y0)), "plumb")
        return [
            *stair(section, view, float(flight.riser_slope)),
            plumb,
            *nosing_line(section, view, 5.0),
            *rails(section.bays[0], view),
        ]

    made = cell(
        "A step",
        scale,
        at,
        (x0 - 2.5, y0 - 2.2, x1 + 4.5, y1 + 3.5),
        work,
        (8.0, 9.0, 10.0, 8.0),
    )
    made.across("nosing", (x1, top[1]), top, LEVEL, -7.0)
    made.across("tread_thickness", (x1, top[1]), (x1, y1), PLUMB, -6.0)
    made.angle("riser_slope", top, (top[0], y0), (top[0] + lean, y0), 15.0)
    x = x0 + 3.0
    height = y0 + (y1 - y0) * (x - x0) / (x1 - x0)
    under = edge_height(section.bays[0].bottom_rail, False, x)
    made.across("bottom_gap", (x, height), (x, under), PLUMB, 0.0)
    return made


def stringer_cell(solution: Solution, scale: Scale, at: Point = ORIGIN) -> Cell:
    """A closed stringer, and a strip under the bottom rail."""
    section = the_flight(solution)
    (x0, y0), (x1, y1) = section.nosings[:2]

    def on_line(x: float) -> Point:
        return (x, y0 + (y1 - y0) * (x - x0) / (x1 - x0))

    def work(view: View) -> list[Primitive]:
        bay = section.bays[0]
        return [
            *stringer(section, view, "in"),
            *nosing_line(section, view, 5.0),
            *stair(section, view),
            *filler(bay, view, section.filler),
            *rails(bay, view),
        ]

    made = cell(
        "Closed stringer",
        scale,
        at,
        (x0, y0, x1 + 3, y1 + 5),
        work,
        (8.0, 8.0, 8.0, 6.0),
    )
    low, high, margin = on_line(x0 + 3.0), on_line(x0 + 9.0), section.stringer_margin
    assert margin is not None
    made.across("stringer_margin", low, (low[0], low[1] + margin), PLUMB, 0.0)
    under = edge_height(section.bays[0].bottom_rail, False, high[0])
    made.across("filler", (high[0], under - section.filler), (high[0], under), PLUMB, 0.0)
    return made


def hole_cell(solution: Solution, scale: Scale, at: Point = ORIGIN) -> Cell:
    """The hole of a rail in which a baluster leans."""
    panel = solution.job.panel
    slot, width = panel.slot, float(panel.baluster)
    assert slot is not None
    long, wall = float(slot.length), float(slot.wall)

    def work(view: View) -> list[Primitive]:
        return [
            rectangle(view.at((-width / 2, -0.7)), view.at((width / 2, 1.2)), "baluster"),
            *(
                rectangle(view.at((x, 0.0)), view.at((x + 1.2, wall)), "rail")
                for x in (-long / 2 - 1.2, long / 2)
            ),
        ]

    made = cell(
        "Hole in a rail",
        scale,
        at,
        (-2, -0.7, 2, 1.2),
        work,
        (4.0, 17.0, 10.0, 6.0),
    )
    made.across("hole_length", (-long / 2, 0.0), (long / 2, 0.0), LEVEL, -14.0)
    made.across("wall", (long / 2 + 1.2, 0.0), (long / 2 + 1.2, wall), PLUMB, 5.0)
    return made


def standing_cell(solution: Solution, scale: Scale, at: Point = ORIGIN) -> Cell:
    """Two posts as they stand: one on a shim, out of plumb toward the other one."""
    section = solution.sections[0].section
    job, bay = solution.job, section.bays[0]
    low, high = section.posts
    assert high.base is not None
    plate, top = high.base / 2, high.surface + high.height

    def work(view: View) -> list[Primitive]:
        left, right = view.at((low.x - 5.0, 0.0))[0], view.at((high.x + 5.0, 0.0))[0]
        shim = view.at((high.x - plate, 0.0)), view.at((high.x + plate, high.surface))
        plumb = view.all_at(((high.x, high.surface), (high.x, top + 2.0)))
        return [
            *deck(view, left, right),
            rectangle(*shim, "shim"),
            *rails(bay, view),
            *(one for each in section.posts for one in post(each, view, "in", 2.0)),
            *brackets(section, job, view),
            path(plumb, "plumb", kind=DASH_DOT),
        ]

    window = (low.x - 6.0, -3.0, high.x + 6.0, top + 3.0)
    made = cell("Posts as they stand", scale, at, window, work, (4.0, 4.0, 14.0, 10.0))
    for name, outline in (("clear_low", bay.bottom_rail), ("clear_high", bay.top_rail)):
        y = (outline[0][1] + outline[1][1]) / 2
        faces = low.face_at("up", y - low.surface), high.face_at("down", y - high.surface)
        made.across(name, (faces[0], y), (faces[1], y), LEVEL, 6.0)
    made.across("surface", (high.x + plate, 0.0), (high.x + plate, high.surface), PLUMB, 6.0)
    made.across("lean", (high.centre_at(high.height), top), (high.x, top), LEVEL, 5.0)
    return made


def across_cell(solution: Solution, scale: Scale, at: Point = ORIGIN) -> Cell:
    """Seen along the stair: the tread's end and the guard beside it."""
    section, panel = solution.sections[0].section, solution.job.panel
    assert panel.rail_width is not None
    gap, wide, deep = section.side_gap, float(panel.rail_width), float(panel.bottom_rail)

    def work(view: View) -> list[Primitive]:
        return [
            rectangle(view.at((-5.0, -1.5)), view.at((0.0, 0.0)), "tread"),
            line(view.at((-5.0, -6.0)), view.at((6.0, -6.0)), "ground", MEDIUM),
            rectangle(view.at((gap, 3.0)), view.at((gap + wide, 3.0 + deep)), "rail"),
        ]

    made = cell("End view", scale, at, (-5, -6.5, 6, 6), work, (4.0, 3.0, 8.0, 8.0))
    made.across("side_gap", (0.0, 0.0), (gap, 3.0), LEVEL, -3.0)
    made.across("drop", (0.0, -6.0), (0.0, 0.0), PLUMB, 7.0)
    made.across("rail_width", (gap, 3.0 + deep), (gap + wide, 3.0 + deep), LEVEL, 5.0)
    return made


def _guard_from_above(posts: Sequence[Point], view: View) -> list[Primitive]:
    """The line of a guard from above, and its posts."""
    half = 1.5
    return [
        *(line(view.at(one), view.at(two), "rail") for one, two in pairwise(posts)),
        *(
            rectangle(
                view.at((x - half, y - half)), view.at((x + half, y + half)), "post", fill=BLANK
            )
            for x, y in posts
        ),
    ]


def _treads_from_above(
    low: Point, high: Point, steps: int, view: View, along: int
) -> list[Primitive]:
    """A flight from above between two corners, its nosings square to ``along``: 0 is x, 1 is y."""
    drawn: list[Primitive] = [rectangle(view.at(low), view.at(high), "tread", FINE)]
    for k in range(1, steps):
        start, end = list(low), list(high)
        start[along] = end[along] = low[along] + (high[along] - low[along]) * k / steps
        drawn.append(line(view.at((start[0], start[1])), view.at((end[0], end[1])), "tread", FINE))
    return drawn


def deck_cell(scale: Scale, at: Point = ORIGIN, title: str = "Stair and deck from above") -> Cell:
    """A stair and the deck that it leads to, from above, the guard turning to the right there."""
    wide, run = 36.0, 30.0

    def work(view: View) -> list[Primitive]:
        edge = ((2.5, 46.0), (2.5, -44.0), (34.0, -44.0))
        return [
            path(view.all_at(edge), "landing"),
            *_treads_from_above((-run, 2.5), (2.5, 2.5 + wide), 3, view, 0),
            *_guard_from_above(((-run, 0.0), (5.0, 0.0), (5.0, -40.0), (30.0, -40.0)), view),
        ]

    made = cell(title, scale, at, (-34, -46, 36, 46), work, (10.0, 5.0, 6.0, 4.0))
    made.across("stair_width", (-run, 2.5), (-run, 2.5 + wide), PLUMB, -5.0)
    made.across("span", (5.0, -40.0), (5.0, 0.0), PLUMB, -7.0)
    made.across("edge", (2.5, -44.0), (2.5, 2.5), PLUMB, -13.0)
    made.angle("turn", (5.0, 0.0), (5.0, -20.0), (25.0, 0.0), 9.0)
    return made


def landing_cell(scale: Scale, at: Point = ORIGIN) -> Cell:
    """Two flights that turn to the left at a landing, from above, the guard on the outside."""
    side, wide, run = 44.0, 36.0, 30.0

    def work(view: View) -> list[Primitive]:
        return [
            rectangle(view.at((0.0, -3.0)), view.at((side + 3.0, side)), "landing"),
            *_treads_from_above((-run, 2.5), (0.0, 2.5 + wide), 3, view, 0),
            *_treads_from_above((side - 2.5 - wide, side), (side - 2.5, side + run), 3, view, 1),
            *_guard_from_above(
                ((-run, 0.0), (2.0, 0.0), (side, 0.0), (side, side - 2.0), (side, side + run)), view
            ),
        ]

    made = cell(
        "Two flights from above",
        scale,
        at,
        (-34, -6, 58, 78),
        work,
        (10.0, 16.0, 6.0, 4.0),
    )
    made.across("stair_width", (-run, 2.5), (-run, 2.5 + wide), PLUMB, -5.0)
    made.across("span", (2.0, 0.0), (side, 0.0), LEVEL, -8.0)
    made.across("edge", (0.0, -3.0), (side + 3.0, -3.0), LEVEL, -13.0)
    made.angle("turn", (side, 0.0), (side + 20.0, 0.0), (side, 20.0), 8.0)
    return made
