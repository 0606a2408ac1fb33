"""What few jobs ask for, lettered: framing, the bracket's plate and body, two posts, the ground."""

from __future__ import annotations

from collections.abc import Iterator

from stairs.drawing.paper.primitives import (
    BLANK,
    FINE,
    MEDIUM,
    THICK,
    THIN,
    Point,
    Primitive,
    Stroke,
    line,
    rectangle,
    ring,
)
from stairs.drawing.paper.sheet_sizes import Scale
from stairs.drawing.paper.view import View
from stairs.drawing.placing.dimensions import LEVEL, PLUMB
from stairs.drawing.views.elevation.profile import ground
from stairs.drawing.views.lettered.cell import Cell, cell

ORIGIN = (0.0, 0.0)


def _box(view: View, low: Point, high: Point, group: str, weight: float | None = None) -> Stroke:
    return rectangle(view.at(low), view.at(high), group, weight, fill=BLANK)


def _post(view: View, x: float, foot: float, top: float, plate: bool = True) -> Iterator[Primitive]:
    if plate:
        yield _box(view, (x - 2.5, foot), (x + 2.5, foot + 0.4), "base-plate", MEDIUM)
    yield _box(view, (x - 1.5, foot), (x + 1.5, top), "post", THICK)


def joists_cell(scale: Scale, at: Point = ORIGIN) -> Cell:
    """A deck cut across its joists, its first post over them."""

    def work(view: View) -> list[Primitive]:
        joists = [(x - 0.75, x + 0.75) for x in (5.0, 21.0, 37.0)]
        return [
            *(_box(view, (low, -8.0), (high, -1.0), "joist", THICK) for low, high in joists),
            _box(view, (-4.0, -1.0), (42.0, 0.0), "board", MEDIUM),
            *_post(view, 0.0, 0.0, 12.0),
        ]

    made = cell("Cut across the joists", scale, at, (-6, -9, 43, 12), work, (6.0, 16.0, 12.0, 3.0))
    made.across("first_joist", (0.0, 0.0), (5.0, -8.0), LEVEL, -6.0)
    made.across("joist_spacing", (5.0, -8.0), (21.0, -8.0), LEVEL, -6.0)
    made.across("joist_thickness", (36.25, -8.0), (37.75, -8.0), LEVEL, -6.0)
    made.across("joist_depth", (37.75, -8.0), (37.75, -1.0), PLUMB, 8.0)
    return made


def boards_cell(scale: Scale, at: Point = ORIGIN) -> Cell:
    """The edge of a deck cut across its boards, a post near the edge."""

    def work(view: View) -> list[Primitive]:
        starts = (1.0, 7.0, 13.0)
        return [
            _box(view, (0.0, -8.0), (1.0, 0.0), "rim", THICK),
            *(_box(view, (x, -1.0), (x + 5.5, 0.0), "board", THICK) for x in starts),
            *_post(view, 5.0, 0.0, 12.0),
        ]

    made = cell("Cut across the boards", scale, at, (-2, -8, 20, 12), work, (8.0, 16.0, 8.0, 10.0))
    made.across("first_board", (0.0, -8.0), (1.0, -1.0), LEVEL, -17.0)
    made.across("board_width", (7.0, -1.0), (12.5, -1.0), LEVEL, -6.0)
    made.across("board_gap", (12.5, -1.0), (13.0, -1.0), LEVEL, -13.0)
    made.across("edge_to_post", (0.0, 0.0), (5.0, 12.0), LEVEL, 5.0)
    return made


def plate_cell(scale: Scale, at: Point = ORIGIN) -> Cell:
    """A base plate from above, with its bolts."""

    def work(view: View) -> list[Primitive]:
        bolts = [(x, y) for x in (-1.75, 1.75) for y in (-1.75, 1.75)]
        return [
            _box(view, (-2.5, -2.5), (2.5, 2.5), "base-plate", MEDIUM),
            _box(view, (-1.1, -1.1), (1.1, 1.1), "post", THICK),
            *(ring(view.at(one), view.length(0.25), "bolt", THIN) for one in bolts),
        ]

    made = cell("Base plate from above", scale, at, (-3, -3, 3, 3), work, (8.0, 10.0, 12.0, 8.0))
    made.across("bolt_inset", (-2.5, -1.75), (-1.75, -1.75), LEVEL, -12.0)
    made.across("bolt_diameter", (1.75, 1.5), (1.75, 2.0), PLUMB, 10.0)
    return made


def holes_cell(scale: Scale, at: Point = ORIGIN) -> Cell:
    """A bracket's plate, seen square on the post's face."""

    def work(view: View) -> list[Primitive]:
        holes = [(0.5, 0.9), (-0.5, 0.9), (0.0, -0.9)]
        return [
            _box(view, (-1.0, -1.4), (1.0, 1.4), "bracket", MEDIUM),
            ring(view.at((0.0, 0.0)), view.length(0.3), "bracket", MEDIUM),
            *(ring(view.at(one), view.length(0.14), "hole", THIN) for one in holes),
        ]

    made = cell("Bracket, facing the post", scale, at, (-1.2, -1.6, 1.2, 1.6), work,
                (10.0, 8.0, 12.0, 10.0))  # fmt: skip
    made.across("bracket_hole", (0.0, 0.0), (0.5, 0.9), LEVEL, 12.0)
    made.across("bracket_hole", (0.0, 0.0), (0.5, 0.9), PLUMB, 11.0)
    made.across("hole_diameter", (-0.14, -0.9), (0.14, -0.9), LEVEL, -10.0)
    return made


def body_cell(scale: Scale, at: Point = ORIGIN) -> Cell:
    """What a bracket fills between a post and the end of a rail."""

    def work(view: View) -> list[Primitive]:
        return [
            line(view.at((0.0, -2.0)), view.at((0.0, 2.0)), "post", THICK),
            _box(view, (0.0, -0.8), (1.6, 0.8), "bracket", MEDIUM),
            _box(view, (1.2, -0.7), (4.0, 0.7), "rail", THICK),
            line(view.at((1.6, -0.7)), view.at((1.6, 0.7)), "bracket", FINE),
        ]

    made = cell("Bracket body", scale, at, (-0.6, -2, 4, 2), work, (12.0, 8.0, 4.0, 4.0))
    made.across("body_reach", (0.0, -0.8), (1.6, -0.8), LEVEL, -9.0)
    made.across("body_height", (0.0, -0.8), (0.0, 0.8), PLUMB, -7.0)
    return made


def outside_cell(scale: Scale, at: Point = ORIGIN) -> Cell:
    """A post that is fixed to the side of a deck."""

    def work(view: View) -> list[Primitive]:
        return [
            _box(view, (0.0, -8.0), (9.0, 0.0), "deck", MEDIUM),
            *_post(view, -2.5, -8.0, 9.0, plate=False),
        ]

    made = cell("Fixed to the side", scale, at, (-5, -9, 10, 9), work, (4.0, 10.0, 6.0, 3.0))
    made.across("post_outside", (-1.0, -8.0), (0.0, -8.0), LEVEL, -7.0)
    return made


def two_posts_cell(scale: Scale, at: Point = ORIGIN) -> Cell:
    """Two posts side by side, where a section starts at a post of its own."""

    def work(view: View) -> list[Primitive]:
        rails = ((-9.0, -1.5), (4.5, 12.0))
        return [
            line(view.at((-9.0, 0.0)), view.at((12.0, 0.0)), "ground", MEDIUM),
            *(_box(view, (low, 7.0), (high, 8.5), "rail", THIN) for low, high in rails),
            *_post(view, 0.0, 0.0, 12.0, plate=False),
            *_post(view, 3.0 + 2.0, 0.0, 12.0, plate=False),
        ]

    made = cell("A post of its own", scale, at, (-9, -1, 12, 12), work, (4.0, 4.0, 4.0, 10.0))
    made.across("post_gap", (1.5, 12.0), (3.5, 12.0), LEVEL, 5.0)
    return made


def slope_cell(scale: Scale, at: Point = ORIGIN) -> Cell:
    """The ground that falls away from the edge beside a guard."""

    def work(view: View) -> list[Primitive]:
        return [
            _box(view, (-6.0, 3.0), (0.0, 5.0), "deck", MEDIUM),
            *_post(view, -2.5, 5.0, 14.0),
            *ground(view, view.at((-6.0, 0.0))[0], view.at((0.0, 0.0))[0]),
            line(view.at((0.0, 0.0)), view.at((16.0, -5.0)), "ground", MEDIUM),
        ]

    made = cell("Ground that falls", scale, at, (-6, -6, 16, 14), work, (4.0, 12.0, 12.0, 3.0))
    made.across("ground_over", (0.0, 0.0), (16.0, -5.0), LEVEL, -6.0)
    made.across("ground_fall", (0.0, 0.0), (16.0, -5.0), PLUMB, 6.0)
    return made
