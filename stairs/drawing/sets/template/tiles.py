"""Tiles: a drawing larger than the printer's paper, cut into sheets that are joined again.

A template is drawn at full size on one long canvas and cut into tiles that share a strip of paper.
In the middle of each shared strip stand two register marks, lettered alike on both sheets: lay one
over the other until they cover, and the lines go on.  Every tile has bars to be measured, since a
printer that shrinks a page by a few parts in a hundred spoils a template without a trace.
"""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct

from stairs.drawing.paper.lettering import SMALL, USUAL, wrapped
from stairs.drawing.paper.primitives import (
    HAIR,
    MEDIUM,
    Arc,
    Area,
    Point,
    Primitive,
    Text,
    extent_of_lines,
    line,
    moved,
    path,
    ring,
)
from stairs.drawing.paper.sheet_sizes import Paper
from stairs.drawing.placing.windows import inside, through_window
from stairs.drawing.sheets.page import Page, room_on

ROW = 4.2
"""From one line of lettering to the next [mm]."""
OVERLAP = 20.0
"""Paper that two neighbouring tiles share [mm]."""
MARGIN = 8.0
"""Paper beside the canvas for register marks [mm]."""
FULL_SIZE = "1:1, full size"
INCH_BAR, METRIC_BAR = 101.6, 100.0
"""Lengths of the check bars [mm]: 4 in and 100 mm."""
_HEAD = 27.0
UNDER_BARS = 25.6
"""From the top of the room to a line of words between the check bars and a tile [mm]."""
_SIDE = 11.0

WARNING = "MEASURE THE BARS BEFORE USE. If one is not true, do not use this print."
ADVICE = (
    "Print at 100 %, never fitted to the page. Lay the register marks of tiles over each other, "
    "then measure from end to end."
)


class Canvas(Struct, frozen=True):
    """One template at full size, before it is cut into tiles."""

    name: str  # what it is
    primitives: tuple[Primitive, ...]  # with its lower left corner at the origin [mm]
    # width, height: [mm]
    width: float
    height: float
    # whether it is long upwards, and cut into tiles one over the other; otherwise sideways
    upright: bool


def tile_room(paper: Paper) -> tuple[float, float, float, float]:
    """Left, bottom, right and top of the room for one tile [mm on paper]."""
    left, bottom, right, top = room_on(paper)
    return left, bottom, right - _SIDE, top - _HEAD


def canvas_room(paper: Paper, upright: bool) -> tuple[float, float]:
    """How long one tile is, with the strip that it shares, and how wide a canvas may be across,
    beside the register marks [mm]."""
    left, bottom, right, top = tile_room(paper)
    if upright:
        return top - bottom, right - left - 2 * MARGIN
    return right - left, top - bottom - 2 * MARGIN


def tiles(
    canvas: Canvas,
    paper: Paper,
    units: str,
    group: str = "",
    plain: frozenset[str] = frozenset(),
) -> list[Page]:
    """The canvas cut into pages, not yet numbered; without those that show nothing of their own."""
    # a tile with nothing but what is of these plain groups is left out, and the next one is set by
    # the tape drawn on it
    length = canvas.height if canvas.upright else canvas.width
    each, _ = canvas_room(paper, canvas.upright)
    step = each - OVERLAP
    count = max(1, -int(-(length - OVERLAP) // step))
    left, bottom, right, top = tile_room(paper)
    made = []
    for k in range(count):
        if canvas.upright:
            origin = (left + MARGIN, bottom - k * step)
        else:
            origin = (left - k * step, bottom + MARGIN)
        if count == 1 and not canvas.upright:
            origin = (left, top - MARGIN - canvas.height)
        made.append(clipped(canvas.primitives, origin, (left, bottom, right, top)))
    kept = [k for k in range(count) if not {one.group for one in made[k]} <= plain]
    pages = []
    for k in kept:
        first = max((n + 1 for n in kept if n < k), default=0)
        shown = made[k] + check_bars(paper, units, _left_out(first + 1, k) if first < k else ADVICE)
        for seam in (k - 1, k):
            if seam in kept and seam + 1 in kept:
                shown += _register(canvas.upright, seam, k, step, (left, bottom, right, top))
        name = (f"Tile {k + 1} of {count}, " if count > 1 else "") + canvas.name
        pages.append(Page(paper, name, FULL_SIZE, tuple(shown), description=f"{name}, full size",
                          group=group if count > 1 else ""))  # fmt: skip
    return pages


def _left_out(first: int, last: int) -> str:
    """How to print a tile, that others before it are left out, and how it is set."""
    which = f"Tile {first} is" if first == last else f"Tiles {first} to {last} are"
    return (
        f"Print at 100 %, never fitted. {which} left out (only edges): set this one by its "
        "figures, up from the foot."
    )


def _register(upright: bool, seam: int, tile: int, step: float, room: Area) -> list[Primitive]:
    """Both register marks of one seam on one of its two tiles [mm on paper]."""
    left, bottom, right, top = room
    along = (seam + 1) * step + OVERLAP / 2 - tile * step
    letter = chr(ord("A") + seam % 26)
    if upright:
        spots = ((left + 4.0, bottom + along), (right - 4.0, bottom + along))
    else:
        spots = ((left + along, bottom + 4.0), (left + along, top - 4.0))
    drawn: list[Primitive] = []
    for x, y in spots:
        drawn.append(ring((x, y), 2.0, "register"))
        drawn.append(line((x - 3.4, y), (x + 3.4, y), "register"))
        drawn.append(line((x, y - 3.4), (x, y + 3.4), "register"))
        at = (x, y + 4.3) if upright else (x + 4.3, y - SMALL / 2)
        drawn.append(Text(letter, at, SMALL, "register", "middle" if upright else "left"))
    return drawn


def check_bars(paper: Paper, units: str, advice: str = ADVICE) -> list[Primitive]:
    """The words of warning and three bars: two across the head, one up the right-hand side."""
    left, bottom, right, top = room_on(paper)
    drawn: list[Primitive] = []
    x = left + INCH_BAR + 6.0
    y = top - USUAL
    for words, bold in ((WARNING, True), (advice, False)):
        for row in wrapped(words, SMALL, right - x, bold=bold):
            drawn.append(Text(row, (x, y), SMALL, "warning", bold=bold))
            y -= 4.0
    drawn += _bar((left, top - 8.5), INCH_BAR, 25.4, "4 in")
    drawn += _bar((left, top - 19.0), METRIC_BAR, 10.0, "100 mm")
    long, step, name = (INCH_BAR, 25.4, "4 in") if units == "in" else (METRIC_BAR, 10.0, "100 mm")
    drawn += _bar((right - 2.0, bottom), long, step, name, upright=True)
    return drawn


def _bar(
    start: Point, length: float, step: float, name: str, upright: bool = False
) -> list[Primitive]:
    """A bar between two ticks, divided, its length lettered over its middle."""
    x, y = start

    def at(along: float, aside: float) -> Point:
        return (x - aside, y + along) if upright else (x + along, y + aside)

    drawn: list[Primitive] = [path((at(0.0, 0.0), at(length, 0.0)), "check-bar", owner=name)]
    count = round(length / step)
    for k in range(count + 1):
        ends = k in (0, count)
        tall = 4.0 if ends else 1.6
        drawn.append(
            line(at(k * step, 0.0), at(k * step, tall), "check-bar", MEDIUM if ends else HAIR)
        )
    place = at(length / 2 + (step / 2 if count % 2 == 0 else 0.0), 2.3)
    drawn.append(
        Text(name, place, SMALL, "check-bar", "middle", 90.0 if upright else 0.0, owner=name)
    )
    return drawn


def clipped(primitives: Iterable[Primitive], origin: Point, room: Area) -> list[Primitive]:
    """What of a canvas lies in the room once its origin lies there [mm on paper].

    Rings are there whole or not at all, and since tiles overlap each is whole on one of them.
    """
    put = [moved(one, *origin) for one in primitives]
    whole = [one for one in put if not isinstance(one, Arc) or inside(extent_of_lines([one]), room)]
    return through_window(whole, room)
