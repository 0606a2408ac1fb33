"""Draws the picture of the names page, and writes the page: ``python figures/names.py``.

A small invented guard is solved, and every quantity that somebody measures for a job file is
lettered on it in the letters of the names page (:mod:`stairs.relations.quantities`).  The picture
becomes ``figures/names.svg``, the page ``examples/names.md``.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Callable, Sequence
from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace

from stairs.drawing.files.svg import svg_bytes
from stairs.drawing.paper.lettering import SMALL
from stairs.drawing.paper.primitives import (
    FINE,
    MEDIUM,
    THICK,
    THIN,
    Primitive,
    Text,
    line,
    rectangle,
)
from stairs.drawing.paper.sheet_sizes import paper_named, scale_named
from stairs.drawing.paper.view import View
from stairs.drawing.placing.dimensions import ALIGNED, ANGLE, LEVEL, PLUMB, Dimension
from stairs.drawing.placing.labelled_view import Stage, through_window
from stairs.drawing.sheets.page import Page, numbered
from stairs.drawing.sheets.title_block import Particulars
from stairs.drawing.views.details.parts import everything
from stairs.drawing.views.elevation.elements import balusters, filler, rails
from stairs.drawing.views.elevation.profile import nosing_line, stair, stringer
from stairs.files import put_in_place
from stairs.job import job_from_mapping
from stairs.relations.quantities import NAMES_PAGE, QUANTITIES, Quantity
from stairs.solution import Answer, answer_for

HERE = Path(__file__).parent
PAGE = HERE.parent / "examples" / "names.md"
Point = tuple[float, float]

PARTS = {
    "units": "in",
    "rules": "irc-2021",
    "panel": {
        "height": 24,
        "top_rail": 2,
        "bottom_rail": 2,
        "baluster": 1,
        "pitch": 6,
        "stock": [24],
        "end_margin": 3,
        "rail_width": 2,
        "slot": {"length": "1 1/2", "wall": "1/4"},
    },
    "bracket": {"kind": "pivot", "pivot_offset": "1 1/2", "rail_setback": 1},
    "post": {"width": 3, "base": 5, "reveal": 2},
}
STEPS = {
    "kind": "flight",
    "rise": 21,
    "run": 20,
    "risers": 3,
    "nosing": "1 1/2",
    "handrail": True,
    "tread_thickness": "1 1/2",
    "riser_slope": 12,
    "bottom_gap": 2,
    "posts": ["-5", "26"],
}
LEVEL_RUN = {"kind": "level", "posts": [0, 32], "bottom_gap": 2, "handrail": True}
BESIDE = {
    **PARTS,
    "bracket": {"kind": "plumb-cut", "end_clearance": "1 1/2"},
    "post": {"width": 3, "reveal": 2, "below": 7},
}
CLOSED = {
    **STEPS,
    "bottom_gap": 4,
    "filler": "1 1/4",
    "riser_slope": 0,
    "stringer": "closed",
    "stringer_margin": "1 1/4",
    "side_gap": 2,
}


def letter(name: str) -> str:
    """What stands for a quantity on paper."""
    return QUANTITIES[name].symbol


class Cell(Struct):
    """One view of the picture, and the quantities lettered on it."""

    title: str
    view: View
    stage: Stage

    def across(
        self, name: str, one: Point, two: Point, kind: str, off: float, text: str = ""
    ) -> None:
        """Letter a quantity between two points, its line so far off the second [mm on paper]."""
        x, y = self.view.at(two)
        place = {LEVEL: y + off, PLUMB: x + off}.get(kind, off)
        self.stage.dimensions.append(
            Dimension(name, kind, (one, two), 0.0, text or letter(name), kind, place)
        )

    def angle(self, name: str, vertex: Point, one: Point, two: Point, radius: float) -> None:
        """Letter an angle against the clock from one leg to the other [radius: mm on paper]."""
        points = (vertex, one, two)
        self.stage.dimensions.append(
            Dimension(name, ANGLE, points, 0.0, letter(name), name, radius)
        )

    def drawn(self) -> list[Primitive]:
        """Everything of it, its title under it."""
        made = self.stage.letter()
        if self.stage.unplaced:
            raise ValueError(f"{self.title}: no room for {self.stage.unplaced}")
        left, bottom, right, _ = self.stage.area
        at = ((left + right) / 2, bottom - 1.0)
        return [*made, Text(self.title.upper(), at, SMALL, "title", "middle")]


def cell(
    title: str,
    scale: str,
    at: Point,
    window: tuple[float, float, float, float],
    work: Callable[[View], Sequence[Primitive]],
    around: tuple[float, float, float, float] = (14.0, 10.0, 14.0, 10.0),
) -> Cell:
    """A view whose window has its lower left corner at a place on paper [mm]."""
    flat = View(scale_named(scale, "in"), "in")
    x, y = flat.at(window[:2])
    view = replace(flat, origin=(at[0] - x, at[1] - y))
    low, high = view.at(window[:2]), view.at(window[2:])
    left, below, right, above = around
    area = (low[0] - left, low[1] - below, high[0] + right, high[1] + above)
    stage = Stage(area, view)
    stage.add(through_window(work(view), (*low, *high)))
    return Cell(title, view, stage)


def solved(section: dict[str, object], keys: dict[str, object] = PARTS) -> Answer:
    """An invented guard of one section."""
    return answer_for(job_from_mapping({**keys, "section": [section]}), judged=(), for_sheets=True)


def level_with(point: Point) -> Point:
    """A point level with another, up-stair of it."""
    return (point[0] + 1.0, point[1])


def upper_edge(outline: Sequence[Point], x: float, over: bool = True) -> Point:
    """A rail's upper or under edge, carried on to a place."""
    (x0, y0), (x1, y1) = (outline[1], outline[2]) if over else (outline[0], outline[3])
    return (x, y0 + (y1 - y0) * (x - x0) / (x1 - x0))


def flight_cell(answer: Answer) -> Cell:
    """The flight and its guard as a whole."""
    section = answer.sections[0].section
    made = cell(
        "A flight and its guard",
        '1" = 1\'-0"',
        (34.0, 60.0),
        (-12, -3, 33, 57),
        lambda view: everything(answer, section, view),
        (22.0, 20.0, 14.0, 10.0),
    )
    first, second, head = section.nosings
    low = section.posts[0]
    made.across("unit_run", first, second, LEVEL, -21.0)
    made.across("total_run", (0.0, 0.0), (head[0], 0.0), LEVEL, -22.0, "W = T G")
    plate = low.base / 2
    made.across("plate", (low.x - plate, 0.0), (low.x + plate, 0.0), LEVEL, -8.0)
    made.across("centre", (low.x, 0.0), (0.0, 0.0), LEVEL, -15.0)
    made.across("unit_rise", second, level_at(second, first), PLUMB, 26.0)
    made.across("total_rise", (head[0], 0.0), head, PLUMB, 18.0, "H = n R")
    made.angle("rake", first, level_with(first), second, 15.0)
    top = low.surface + low.height
    crown = upper_edge(section.bays[0].top_rail, low.face("up"))
    made.across("reveal", (low.face("down"), crown[1]), (low.face("down"), top), PLUMB, -6.0)
    made.across("post_width", (low.face("down"), top), (low.face("up"), top), LEVEL, 5.0)
    return made


def level_at(point: Point, other: Point) -> Point:
    """A point under or over one, level with another."""
    return (point[0], other[1])


def panel_cell(answer: Answer) -> Cell:
    """A panel as it is bought: level and uncut."""
    section, panel = answer.sections[0].section, answer.job.panel
    bay = section.bays[0]

    def work(view: View) -> list[Primitive]:
        return [*balusters(bay, view, float(panel.baluster)), *rails(bay, view)]

    (left, foot), (_, over_low), (right, _), _ = bay.bottom_rail
    (_, under_top), (_, top) = bay.top_rail[:2]
    made = cell(
        "A panel as bought",
        '3/4" = 1\'-0"',
        (156.0, 154.0),
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


def pivot_cell(answer: Answer) -> Cell:
    """A bracket with a pin, and the square end of a rail."""
    section = answer.sections[0].section
    post, outline = section.posts[0], section.bays[0].bottom_rail
    pin = next(mark.pin for mark in post.marks if mark.rail == "bottom")
    face = post.face("up")
    end = ((outline[0][0] + outline[1][0]) / 2, (outline[0][1] + outline[1][1]) / 2)
    made = cell(
        "A bracket with a pin",
        '3" = 1\'-0"',
        (154.0, 99.0),
        (face - 0.9, pin[1] - 2.2, face + 5.4, pin[1] + 3.3),
        lambda view: everything(answer, section, view),
        (8.0, 9.0, 8.0, 10.0),
    )
    made.across("pivot_offset", (face, pin[1]), pin, LEVEL, -15.0)
    made.across("rail_setback", pin, end, ALIGNED, 12.0)
    return made


def socket_cell(answer: Answer) -> Cell:
    """A rail cut off plumb, and a post that goes on below its surface."""
    section = answer.sections[0].section
    post, outline = section.posts[0], section.bays[0].bottom_rail
    face, cut = post.face("up"), outline[0][0]
    made = cell(
        "Plumb-cut; set beside",
        '1" = 1\'-0"',
        (156.0, 37.0),
        (post.x - 5, -8, post.x + 9, 15),
        lambda view: everything(answer, section, view),
        (10.0, 4.0, 6.0, 3.0),
    )
    made.across("end_clearance", (face, outline[0][1]), (cut, outline[0][1]), LEVEL, -6.0)
    foot = post.surface - post.below
    made.across(
        "post_below", (post.face("down"), foot), (post.face("down"), post.surface), PLUMB, -6.0
    )
    return made


def step_cell(answer: Answer) -> Cell:
    """One step: its nosing, its tread and a riser that leans back."""
    section, flight = answer.sections[0].section, answer.sections[0].section.flight
    (x0, y0), (x1, y1) = section.nosings[:2]
    thick, nosing = float(flight.tread_thickness), float(flight.nosing)
    top = (x1 + nosing, y1 - thick)
    lean = math.tan(math.radians(float(flight.riser_slope))) * (top[1] - y0)

    def work(view: View) -> list[Primitive]:
        plumb = line(view.at(top), view.at((top[0], y0)), FINE, "plumb")
        return [
            *stair(section, view, float(flight.riser_slope)),
            plumb,
            *nosing_line(section, view, 5.0),
            *rails(section.bays[0], view),
        ]

    made = cell(
        "A step",
        '1 1/2" = 1\'-0"',
        (207.0, 99.0),
        (x0 - 2.5, y0 - 2.2, x1 + 4.5, y1 + 3.5),
        work,
        (8.0, 9.0, 10.0, 8.0),
    )
    made.across("nosing", (x1, top[1]), top, LEVEL, -7.0)
    made.across("tread_thickness", (x1, top[1]), (x1, y1), PLUMB, -6.0)
    made.angle("riser_slope", top, (top[0], y0), (top[0] + lean, y0), 15.0)
    at = x0 + 3.0
    height = y0 + (y1 - y0) * (at - x0) / (x1 - x0)
    made.across(
        "bottom_gap", (at, height), upper_edge(section.bays[0].bottom_rail, at, False), PLUMB, 0.0
    )
    return made


def stringer_cell(answer: Answer) -> Cell:
    """A closed stringer, and a strip under the bottom rail."""
    section = answer.sections[0].section
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
        "A closed stringer",
        '1 1/2" = 1\'-0"',
        (194.0, 41.0),
        (x0, y0, x1 + 3, y1 + 5),
        work,
        (8.0, 8.0, 8.0, 6.0),
    )
    low, high = on_line(x0 + 3.0), on_line(x0 + 9.0)
    made.across("stringer_margin", low, (low[0], low[1] + section.stringer_margin), PLUMB, 0.0)
    under = upper_edge(section.bays[0].bottom_rail, high[0], False)
    made.across("filler", (high[0], under[1] - section.filler), under, PLUMB, 0.0)
    return made


def hole_cell(answer: Answer) -> Cell:
    """The hole of a rail in which a baluster leans."""
    panel = answer.job.panel
    slot, width = panel.slot, float(panel.baluster)
    long, wall = float(slot.length), float(slot.wall)

    def work(view: View) -> list[Primitive]:
        return [
            rectangle(view.at((-width / 2, -0.7)), view.at((width / 2, 1.2)), THIN, "baluster"),
            *(
                rectangle(view.at((x, 0.0)), view.at((x + 1.2, wall)), THICK, "rail")
                for x in (-long / 2 - 1.2, long / 2)
            ),
        ]

    made = cell(
        "The hole in a rail",
        '3" = 1\'-0"',
        (234.0, 168.0),
        (-2, -0.7, 2, 1.2),
        work,
        (4.0, 14.0, 10.0, 6.0),
    )
    made.across("hole_length", (-long / 2, 0.0), (long / 2, 0.0), LEVEL, -14.0)
    made.across("wall", (long / 2 + 1.2, 0.0), (long / 2 + 1.2, wall), PLUMB, 5.0)
    return made


def across_cell(answer: Answer) -> Cell:
    """Seen along the stair: the tread's end and the guard beside it."""
    section, panel = answer.sections[0].section, answer.job.panel
    gap, wide, deep = section.side_gap, float(panel.rail_width), float(panel.bottom_rail)

    def work(view: View) -> list[Primitive]:
        return [
            rectangle(view.at((-5.0, -1.5)), view.at((0.0, 0.0)), MEDIUM, "tread"),
            rectangle(view.at((gap, 3.0)), view.at((gap + wide, 3.0 + deep)), THICK, "rail"),
        ]

    made = cell(
        "Along the stair", '1" = 1\'-0"', (239.0, 45.0), (-5, -3, 5, 7), work, (4.0, 12.0, 6.0, 6.0)
    )
    made.across("side_gap", (0.0, 0.0), (gap, 3.0), LEVEL, -6.0)
    made.across("rail_width", (gap, 3.0 + deep), (gap + wide, 3.0 + deep), LEVEL, 5.0)
    return made


def picture() -> Page:
    """The whole picture on a sheet of letter size."""
    flight, beside = solved(STEPS), solved(CLOSED, BESIDE)
    cells = [
        flight_cell(flight),
        panel_cell(solved(LEVEL_RUN)),
        hole_cell(flight),
        pivot_cell(flight),
        step_cell(flight),
        socket_cell(beside),
        stringer_cell(beside),
        across_cell(beside),
    ]
    page = Page(
        paper_named("letter"),
        "Letters of what is measured",
        "",
        tuple(one for each in cells for one in each.drawn()),
        "A flight of stairs, a panel, brackets and posts, every measured quantity lettered.",
    )
    whose = Particulars("Names of a stair guard", ("Letters as on the names page",))
    return numbered(page, whose, 1, 1)


HEAD = """# Letters and names

Every quantity of a stair guard has one name and one letter: in the relations, in the working of
`stairs solve --working`, in the formulas of the [Python tour](python.md) and here. What the job
file takes is lettered in the picture and has its key in the last column. Lengths are in the job's
unit; what is called a gap or clear is face to face, what is called a pitch or spacing centre to
centre.

![A guard and its parts, all that is measured lettered](../figures/names.svg)

`panel_height` is the panel as it is bought, measured level. In the result for scripts (`--json`)
the key of that name is the panel as it stands, racked and measured plumb: `racked_height` here.
"""


TABLES = {
    "section": "`[[section]]`",
    "panel": "`[panel]`",
    "slot": "`slot`",
    "bracket": "`[bracket]`",
    "post": "`[post]`",
}


def place_of(one: Quantity) -> str:
    """The keys of the job file where it is typed, and their table; empty where it never is."""
    keys = " or ".join(f"`{key}`" for key in (one.key, one.each) if key)
    return f"{keys} of {TABLES[one.table]}" if keys else ""


def page_text() -> str:
    """The names page: the picture, and a table to each part of the guard."""
    parts = [HEAD]
    for group, quantities in NAMES_PAGE.items():
        rows = [
            f"| {one.symbol} | `{one.name}` | {one.unit} | {one.meaning} | {place_of(one)} |"
            for one in quantities
        ]
        head = "| letter | name | unit | what it measures | key |\n|---|---|---|---|---|"
        parts.append("\n".join([f"## {group}\n", head, *rows]) + "\n")
    return "\n".join(parts)


def draw_names(folder: Path) -> Path:
    """Draw the picture into a folder."""
    target = folder / "names.svg"
    put_in_place(svg_bytes(picture()), target)
    return target


if __name__ == "__main__":
    PAGE.write_text(page_text(), encoding="utf-8")
    for path in (draw_names(HERE), PAGE):
        sys.stdout.write(f"{path}\n")
