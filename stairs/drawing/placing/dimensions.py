"""Dimensions: what is measured, between which points, and how that is drawn.

A dimension is data: a name, the two points of the work that it lies between, its value and its
text.  How it looks is decided in one place, :data:`STYLE`, and drawn by :func:`lines_of` and
:func:`places_of`: thin lines that leave a gap at the work and pass the dimension line a little,
oblique ticks at 45 degrees for lengths, slim filled arrowheads for angles, leaders and running
dimensions, and text above the line, read from the bottom or the right (ISO 129-1, from memory;
ticks are US building practice too).  Running dimensions start with 0 at a small circle, and each
figure stands turned at the end of its extension line, so that none is taken for a bay's length (ISO
129-1, from memory).  A figure that is too long for a short plumb line stands level beside it, and
one too long for its piece of a level chain under the ticks, every other one a row lower: common
practice, of no standard.  The text has several places where it may stand; which one it takes is for
:mod:`stairs.drawing.placing.placement` to say.
"""

from __future__ import annotations

import math

from msgspec import Struct
from msgspec.structs import replace

from stairs.drawing.paper.lettering import SMALL, measure
from stairs.drawing.paper.primitives import (
    FINE,
    MEDIUM,
    THIN,
    Arc,
    Point,
    Primitive,
    Stroke,
    Text,
    line,
)
from stairs.drawing.paper.view import View, along
from stairs.drawing.placing.leaders import leader_places
from stairs.drawing.placing.placement import CLEARANCE, Candidate

LEVEL, PLUMB, ALIGNED, ANGLE, RUNNING = "level", "plumb", "aligned", "angle", "running"
GROUP = "dimension"


class Style(Struct, frozen=True):
    """How dimensions look; lengths in millimetres on paper.

    Chains lie ``first`` from the work and then ``pitch`` apart, the line of running dimensions
    ``under`` the chain of bays, since no figure stands between these two.
    """

    text: float = SMALL
    line: float = FINE
    tick: float = 2.2
    tick_weight: float = MEDIUM
    arrow: float = 2.6
    arrow_half: float = 0.45
    gap: float = 1.5
    overrun: float = 1.5
    stub: float = 5.0
    above: float = 1.4
    first: float = 11.0
    pitch: float = 7.5
    under: float = 4.5


STYLE = Style()
_SHORT = 25.0  # a plumb piece so short may have its figure level beside it [mm]
FOOT_OF_FIGURE = STYLE.overrun + 0.9
"""From a running dimension's line to the figure under it [mm]."""
ZERO = "0"
"""What stands at the origin of running dimensions."""
_APART = 5.0  # blank paper between a figure beyond its own ticks and the next one [mm]


class Dimension(Struct, frozen=True):
    """One measurement on a view."""

    name: str  # what is measured, e.g. "unit rise".
    kind: str  # "level", "plumb", "aligned", "angle" or "running"
    # the two ends [units of the work]; for an angle its vertex and a point on each leg; for a
    # running dimension the origin and the mark
    points: tuple[Point, ...]
    value: float  # what it measures [units of the work, or degrees]
    text: str  # as lettered
    chain: str  # name of the line of dimensions that it stands in
    # where the dimension line lies [mm on paper]: its height for level and running ones, its
    # distance from the left for plumb ones, its square distance from the points for aligned ones
    # (above positive), its radius for angles
    place: float
    # for running ones, the mark before it, from which its own piece of line starts
    after: Point | None = None
    short: str = ""  # a shorter text, for where the other does not fit between the ends
    # whether extension lines are left out but for their ends, as those of a chain far from the work
    # are
    broken: bool = False
    # for a level chain whose figures are wider than its pieces: in which of two rows under the line
    # the figure stands
    row: int | None = None
    # for a plumb chain of which a figure is longer than its piece: all its figures then stand level
    # beside the line, so that the chain is read one way
    across: bool = False
    label: str = ""  # a word before the figure, where it could be taken for another quantity
    # the same, but only where the figure stands beyond its own ticks, beside the next piece of the
    # chain
    beyond: str = ""
    # whether it needs no extension lines of its own, since those of the next chain pass its ends
    bare: bool = False

    @property
    def lettered(self) -> str:
        """What stands beside the dimension line."""
        return f"{self.label} {self.text}".strip()


def ends_on_paper(dimension: Dimension, view: View) -> tuple[Point, Point]:
    """The two ends of the dimension line [mm on paper]; not for angles."""
    # Ends of level and running dimensions are the points themselves, moved plumb to the line's
    # height; those of plumb ones are moved level. An aligned line from (x0, y0) to (x1, y1) of
    # length L is moved by p (-(y1 - y0), x1 - x0) / L, where p is its place.
    one, two = (view.at(point) for point in dimension.points[-2:])
    if dimension.kind in (LEVEL, RUNNING):
        return (one[0], dimension.place), (two[0], dimension.place)
    if dimension.kind == PLUMB:
        return (dimension.place, one[1]), (dimension.place, two[1])
    dx, dy = two[0] - one[0], two[1] - one[1]
    length = math.hypot(dx, dy)
    if length == 0:  # a measurement too small for paper has no direction there
        dx, dy, length = 1.0, 0.0, 1.0
    shift = (-dy / length * dimension.place, dx / length * dimension.place)
    return (one[0] + shift[0], one[1] + shift[1]), (two[0] + shift[0], two[1] + shift[1])


def _tick(at: Point, turn: float, style: Style, owner: str) -> Stroke:
    lean = math.radians(turn + 45)
    dx, dy = math.cos(lean) * style.tick / 2, math.sin(lean) * style.tick / 2
    return line(
        (at[0] - dx, at[1] - dy), (at[0] + dx, at[1] + dy), style.tick_weight, GROUP, owner=owner
    )


def arrowhead(
    tip: Point, turn: float, owner: str, group: str = GROUP, style: Style = STYLE
) -> Stroke:
    """A slim filled arrowhead that points in a direction [degrees]."""
    cosine, sine = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    back = (tip[0] - style.arrow * cosine, tip[1] - style.arrow * sine)
    half = style.arrow_half
    return Stroke(
        (tip, (back[0] - half * sine, back[1] + half * cosine),
         (back[0] + half * sine, back[1] - half * cosine)),
        0.0, group, closed=True, fill="ink", owner=owner,
    )  # fmt: skip


def _extension(
    start: Point, end: Point, style: Style, owner: str, stub: float = 0.0
) -> list[Stroke]:
    """From the work to a little past the dimension line; nothing where they meet.  With a stub only
    that much is drawn before the line."""
    length = math.hypot(end[0] - start[0], end[1] - start[1])
    if length <= style.gap + 0.1:
        return []
    far = along(start, end, length + style.overrun)
    if stub and length > 3 * style.stub + stub:
        return [
            line(along(start, end, style.gap), along(start, end, style.stub), style.line, GROUP,
                 owner=owner),
            line(along(start, end, length - stub), far, style.line, GROUP, owner=owner),
        ]  # fmt: skip
    return [line(along(start, end, style.gap), far, style.line, GROUP, owner=owner)]


def lines_of(dimension: Dimension, view: View, style: Style = STYLE) -> list[Primitive]:
    """Everything of a dimension but its text: its line first, then its ends, then extensions."""
    owner = dimension.name
    if dimension.kind == ANGLE:
        return _angle_lines(dimension, view, style)
    first, last = ends_on_paper(dimension, view)
    one, two = (view.at(point) for point in dimension.points[-2:])
    if dimension.kind == RUNNING:
        start = view.at(dimension.after or dimension.points[0])[0]
        drawn: list[Primitive] = []
        turn = 0.0 if last[0] >= first[0] else 180.0
        if abs(last[0] - start) > 1e-9:
            drawn.append(line((start, first[1]), last, style.line, GROUP, owner=owner))
            drawn.append(arrowhead(last, turn, owner))
        # its lines pass the ends of the bays too
        stub = style.under + style.overrun if dimension.broken else 0.0
        return drawn + _extension(two, last, style, owner, stub)
    stub = style.stub if dimension.broken else 0.0
    sides = () if dimension.bare else ((one, first), (two, last))
    turn = math.degrees(math.atan2(last[1] - first[1], last[0] - first[0]))
    return [
        line(first, last, style.line, GROUP, owner=owner),
        _tick(first, turn, style, owner),
        _tick(last, turn, style, owner),
        *(piece for ends in sides for piece in _extension(*ends, style, owner, stub)),
    ]


def _angle_ends(dimension: Dimension, view: View) -> tuple[Point, float, float]:
    vertex, one, two = (view.at(point) for point in dimension.points)
    turns = [math.degrees(math.atan2(p[1] - vertex[1], p[0] - vertex[0])) for p in (one, two)]
    if turns[1] < turns[0]:
        turns[1] += 360.0
    return vertex, turns[0], turns[1]


def _angle_lines(dimension: Dimension, view: View, style: Style) -> list[Primitive]:
    vertex, start, end = _angle_ends(dimension, view)
    radius, owner = dimension.place, dimension.name
    lean = math.degrees(style.arrow / 2 / radius)
    drawn: list[Primitive] = [Arc(vertex, radius, style.line, GROUP, start, end, owner=owner)]
    for turn, way in ((start, -1), (end, 1)):
        tip = (
            vertex[0] + radius * math.cos(math.radians(turn)),
            vertex[1] + radius * math.sin(math.radians(turn)),
        )
        if (end - start) > 4 * lean:
            drawn.append(arrowhead(tip, turn + way * (90 - lean), owner))
    return drawn


def places_of(
    dimension: Dimension, view: View, style: Style = STYLE, far: bool = True
) -> list[Candidate]:
    """Where the text of a dimension may stand, best first."""
    if dimension.kind == ANGLE:
        return _angle_places(dimension, view, style, far)
    first, last = ends_on_paper(dimension, view)
    if dimension.kind == RUNNING:
        return _running_places(dimension, first, last, style, far)
    turn = math.degrees(math.atan2(last[1] - first[1], last[0] - first[0]))
    if turn > 90.0 + 1e-9 or turn <= -90.0 + 1e-9:
        first, last, turn = last, first, (turn + 360) % 360 - 180
    length = math.hypot(last[0] - first[0], last[1] - first[1])
    width = measure(dimension.lettered, style.text).width
    if dimension.short and width + 1.6 > length:
        return places_of(replace(dimension, text=dimension.short, short=""), view, style, far)
    cosine, sine = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    places = []

    def offer(at: float, lift: float, cost: float, extra: float | None = None) -> None:
        x = first[0] + at * cosine - lift * sine
        y = first[1] + at * sine + lift * cosine
        words = dimension.lettered if extra is None else outside
        text = Text(words, (x, y), style.text, GROUP, "middle", turn, owner=dimension.name)
        lines: tuple[Stroke, ...] = ()
        if extra is not None:  # the dimension line is drawn out to carry the text
            base = 0.0 if extra < 0 else length
            ends = [
                (first[0] + part * cosine, first[1] + part * sine) for part in (base, base + extra)
            ]
            lines = (line(ends[0], ends[1], style.line, GROUP, owner=dimension.name),)
        apart = CLEARANCE if extra is None else _APART  # beyond a tick a figure stands by itself
        places.append(Candidate((text,), lines, cost, apart))

    below = -style.above - style.text
    room = (length - width - 1.6) / 2
    if dimension.across and length >= style.text + 2 * 0.75:
        places += _beside_plumb(dimension, first, last, style)
    elif room >= 0:
        for part in (0.0, 0.25, 0.5, 0.75, 1.0):
            for side in (1, -1) if part else (1,):
                middle = length / 2 + side * part * room
                offer(middle, style.above, part * 2)
                offer(middle, below, 4 + part * 2)
    elif dimension.row is not None:  # under the ticks, every other one a row lower
        lift = -style.overrun - 0.8 - style.text - 3.8 * dimension.row
        for aside in (0.0, 1.0, -1.0, 2.0, -2.0):
            offer(length / 2 + aside, lift, 3.0 + abs(aside) / 4)
    short = dimension.kind == PLUMB and style.text + 2 * 0.75 <= length < _SHORT
    if short and not dimension.across:
        places += _beside_plumb(dimension, first, last, style)
    outside = f"{dimension.beyond} {dimension.lettered}".strip()
    width = measure(outside, style.text).width
    reach = width + 2 * style.tick
    # a figure that needs its word there stands across the line from the next piece's figure
    for cost in (7,) if dimension.beyond else (6, 7):
        lift = style.above if cost == 6 else below
        offer(length + style.tick + width / 2 + 0.4, lift, cost, reach)
        offer(-style.tick - width / 2 - 0.4, lift, cost + 0.5, -reach)
    halfway = ((first[0] + last[0]) / 2, (first[1] + last[1]) / 2)
    led = () if not far else leader_places(
        dimension.lettered, halfway, style.text, GROUP, dimension.name, style.line,
        angles=range(15, 360, 30), distances=(6, 9, 13, 18, 24, 32), prefer=135.0,
    )  # fmt: skip
    places += [replace(place, cost=place.cost + 20) for place in led]
    if dimension.short:
        brief = places_of(replace(dimension, text=dimension.short, short=""), view, style, far)
        places += [replace(place, cost=place.cost + 8) for place in brief]
    return places


def _beside_plumb(dimension: Dimension, first: Point, last: Point, style: Style) -> list[Candidate]:
    """A figure too long to lie along a short plumb line, level beside it."""
    y = (first[1] + last[1] - style.text) / 2
    places = []
    for cost, side in ((4.0, -1), (4.2, 1)):
        at = (first[0] + side * style.above, y)
        text = Text(dimension.lettered, at, style.text, GROUP, "left" if side > 0 else "right",
                    owner=dimension.name)  # fmt: skip
        places.append(Candidate((text,), (), cost))
    return places


def _running_places(
    dimension: Dimension, first: Point, last: Point, style: Style, far: bool
) -> list[Candidate]:
    """Turned at the end of the extension line; aside with a bend in it where that is taken."""
    name, (x, y) = dimension.name, last
    places = turned_figure(dimension.text, (x, y), 90.0, name, style,
                           toward=1.0 if dimension.value else -1.0)  # fmt: skip
    led = () if not far else leader_places(
        dimension.text, last, style.text, GROUP, name, style.line,
        angles=(-60, -120, -45, -135), distances=(6, 9, 12, 16, 20), prefer=-60.0,
    )  # fmt: skip
    return places + [replace(place, cost=place.cost + 30) for place in led]


def turned_figure(
    words: str, tip: Point, read: float, owner: str, style: Style = STYLE, way: float = -1.0,
    toward: float = 1.0,
) -> list[Candidate]:  # fmt: skip
    """Places for a figure along its extension line, beyond a running dimension's line."""
    # way: -1 where the figure ends at the extension line, 1 where it begins there
    # toward: on which side it has to stand aside, 1 to the left as it reads
    cosine, sine = math.cos(math.radians(read)), math.sin(math.radians(read))
    anchor = "right" if way < 0 else "left"

    def at(along: float, aside: float) -> Point:
        return (
            tip[0] + way * along * cosine - aside * sine,
            tip[1] + way * along * sine + aside * cosine,
        )

    places = []
    for aside in (
        0.0,
        *(side * k for k in (2.0, 3.0, 4.0, 5.5, 7.0, 9.0) for side in (toward, -toward)),
    ):
        bend = 2.0 + abs(aside) / 3 if aside else 0.0
        foot = at(FOOT_OF_FIGURE + bend, aside - style.text / 2)
        figure = Text(words, foot, style.text, GROUP, anchor, read, owner=owner)
        bent = (at(style.overrun, 0.0), at(style.overrun + bend, aside))
        lines = (line(*bent, style.line, GROUP, owner=owner),) if aside else ()
        places.append(Candidate((figure,), lines, abs(aside) + 0.1 * (aside * toward < 0)))
    return places


def _angle_places(dimension: Dimension, view: View, style: Style, far: bool) -> list[Candidate]:
    vertex, start, end = _angle_ends(dimension, view)
    middle = math.radians((start + end) / 2)
    places = []
    width = measure(dimension.text, style.text).width
    for cost, reach in enumerate((1.6, 3.0, 5.0, 8.0)):
        for share in (0.5, 0.4, 0.6, 0.3):
            turn = math.radians(start + (end - start) * share)
            radius = dimension.place + reach
            x, y = vertex[0] + radius * math.cos(turn), vertex[1] + radius * math.sin(turn)
            places.append(
                Candidate(
                    (Text(dimension.text, (x, y - style.text / 2), style.text, GROUP,
                          owner=dimension.name),),
                    (),
                    cost + abs(share - 0.5),
                )
            )  # fmt: skip
    radius = dimension.place - 1.6
    x, y = vertex[0] + radius * math.cos(middle), vertex[1] + radius * math.sin(middle)
    places.append(
        Candidate(
            (Text(dimension.text, (x - width, y - style.text / 2), style.text, GROUP,
                  owner=dimension.name),),
            (),
            6,
        )
    )  # fmt: skip
    tip = (
        vertex[0] + dimension.place * math.cos(middle),
        vertex[1] + dimension.place * math.sin(middle),
    )
    led = () if not far else leader_places(
        dimension.text, tip, style.text, GROUP, dimension.name, THIN,
        angles=range(-165, 180, 30), distances=(5, 8, 12, 18, 26, 36), prefer=0.0,
    )  # fmt: skip
    return places + [replace(place, cost=place.cost + 20) for place in led]


def square_line(low: Point, high: Point, owner: str) -> list[Primitive]:
    """The line of a measure with its two ticks, lettered elsewhere [mm on paper]."""
    turn = math.atan2(high[1] - low[1], high[0] - low[0])
    half, cosine, sine = STYLE.tick / 2, math.cos(turn - math.pi / 4), math.sin(turn - math.pi / 4)
    drawn: list[Primitive] = [line(low, high, FINE, "dimension", owner=owner)]
    for x, y in (low, high):
        drawn.append(
            line((x - half * cosine, y - half * sine), (x + half * cosine, y + half * sine),
                 STYLE.tick_weight, "dimension", owner=owner)
        )  # fmt: skip
    return drawn
