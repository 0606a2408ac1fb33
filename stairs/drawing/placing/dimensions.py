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
from collections.abc import Sequence

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
from stairs.drawing.placing.placement import CLEARANCE, Candidate, dearer, places_at

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
_NOTHING = 1e-9  # below this a length or an angle is taken for none [mm, degrees]
_APART = 5.0  # blank paper between a figure beyond its own ticks and the next one [mm]


class _Leading(Struct, frozen=True):
    """Which leaders are offered: directions [degrees] and lengths of the slope [mm]."""

    angles: Sequence[float]
    distances: Sequence[float]
    prefer: float
    weight: float = STYLE.line


_OF_LINES = _Leading(range(15, 360, 30), (6, 9, 13, 18, 24, 32), 135.0)
_OF_RUNNING = _Leading((-60, -120, -45, -135), (6, 9, 12, 16, 20), -60.0)
_OF_ANGLES = _Leading(range(-165, 180, 30), (5, 8, 12, 18, 26, 36), 0.0, THIN)


class Dimension(Struct, frozen=True):
    """One measurement on a view."""

    name: str  # what is measured, e.g. "unit rise".
    kind: str  # "level", "plumb", "aligned", "angle" or "running"
    # the two ends [units of the work]; for an angle its vertex and a point on each leg; for a
    # running dimension the origin and the mark
    points: tuple[Point, ...]
    value: float  # what it measures [units of the work, or degrees]
    text: str  # as lettered
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


def _thin(start: Point, end: Point, owner: str) -> Stroke:
    return line(start, end, GROUP, STYLE.line, owner=owner)


def _figure(words: str, at: Point, owner: str, anchor: str = "left", turn: float = 0.0) -> Text:
    return Text(words, at, STYLE.text, GROUP, anchor, turn, owner=owner)


def _tick(at: Point, turn: float, owner: str) -> Stroke:
    lean = math.radians(turn + 45)
    dx, dy = math.cos(lean) * STYLE.tick / 2, math.sin(lean) * STYLE.tick / 2
    ends = (at[0] - dx, at[1] - dy), (at[0] + dx, at[1] + dy)
    return line(*ends, GROUP, STYLE.tick_weight, owner=owner)


def arrowhead(tip: Point, turn: float, owner: str, group: str = GROUP) -> Stroke:
    """A slim filled arrowhead that points in a direction [degrees]."""
    cosine, sine = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    back = (tip[0] - STYLE.arrow * cosine, tip[1] - STYLE.arrow * sine)
    half = STYLE.arrow_half
    return Stroke(
        (tip, (back[0] - half * sine, back[1] + half * cosine),
         (back[0] + half * sine, back[1] - half * cosine)),
        0.0, group, closed=True, fill="ink", owner=owner,
    )  # fmt: skip


def _extension(start: Point, end: Point, owner: str, stub: float = 0.0) -> list[Stroke]:
    """From the work to a little past the dimension line; nothing where they meet.  With a stub only
    that much is drawn before the line."""
    length = math.dist(start, end)
    if length <= STYLE.gap + 0.1:
        return []
    begin, far = along(start, end, STYLE.gap), along(start, end, length + STYLE.overrun)
    if stub and length > 3 * STYLE.stub + stub:
        return [
            _thin(begin, along(start, end, STYLE.stub), owner),
            _thin(along(start, end, length - stub), far, owner),
        ]
    return [_thin(begin, far, owner)]


def lines_of(dimension: Dimension, view: View) -> list[Primitive]:
    """Everything of a dimension but its text: its line first, then its ends, then extensions."""
    owner = dimension.name
    if dimension.kind == ANGLE:
        return _angle_lines(dimension, view)
    first, last = ends_on_paper(dimension, view)
    one, two = (view.at(point) for point in dimension.points[-2:])
    if dimension.kind == RUNNING:
        start = view.at(dimension.after or dimension.points[0])[0]
        drawn: list[Primitive] = []
        if abs(last[0] - start) > _NOTHING:
            drawn.append(_thin((start, first[1]), last, owner))
            drawn.append(arrowhead(last, 0.0 if last[0] >= first[0] else 180.0, owner))
        # its lines pass the ends of the bays too
        stub = STYLE.under + STYLE.overrun if dimension.broken else 0.0
        return drawn + _extension(two, last, owner, stub)
    stub = STYLE.stub if dimension.broken else 0.0
    sides = () if dimension.bare else ((one, first), (two, last))
    return [
        *measure_line(first, last, owner),
        *(piece for ends in sides for piece in _extension(*ends, owner, stub)),
    ]


def measure_line(first: Point, last: Point, owner: str, lean: float = 0.0) -> list[Primitive]:
    """A dimension line with its two ticks, turned by so much from the usual [degrees]."""
    turn = math.degrees(math.atan2(last[1] - first[1], last[0] - first[0])) + lean
    return [_thin(first, last, owner), _tick(first, turn, owner), _tick(last, turn, owner)]


def square_line(low: Point, high: Point, owner: str) -> list[Primitive]:
    """The line of a measure with its two ticks, lettered elsewhere [mm on paper]."""
    return measure_line(low, high, owner, lean=-90.0)


def _angle_ends(dimension: Dimension, view: View) -> tuple[Point, float, float]:
    """Vertex, and the directions of both legs against the clock [degrees]."""
    vertex, one, two = (view.at(point) for point in dimension.points)
    start, end = (math.degrees(math.atan2(p[1] - vertex[1], p[0] - vertex[0])) for p in (one, two))
    return vertex, start, end + 360.0 if end < start else end


def _on_arc(vertex: Point, radius: float, turn: float) -> Point:
    lean = math.radians(turn)
    return vertex[0] + radius * math.cos(lean), vertex[1] + radius * math.sin(lean)


def _angle_lines(dimension: Dimension, view: View) -> list[Primitive]:
    vertex, start, end = _angle_ends(dimension, view)
    radius, owner = dimension.place, dimension.name
    lean = math.degrees(STYLE.arrow / 2 / radius)
    drawn: list[Primitive] = [Arc(vertex, radius, STYLE.line, GROUP, start, end, owner=owner)]
    if (end - start) > 4 * lean:
        for turn, way in ((start, -1), (end, 1)):
            tip = _on_arc(vertex, radius, turn)
            drawn.append(arrowhead(tip, turn + way * (90 - lean), owner))
    return drawn


def places_of(dimension: Dimension, view: View, far: bool = True) -> list[Candidate]:
    """Where the text of a dimension may stand, best first; with a leader only where far is good."""
    if dimension.kind == ANGLE:
        return _angle_places(dimension, view, far)
    first, last = ends_on_paper(dimension, view)
    if dimension.kind == RUNNING:
        return _running_places(dimension, last, far)
    return _line_places(dimension, view, first, last, far)


def _led(dimension: Dimension, words: str, target: Point, cost: float, far: bool, style: _Leading
         ) -> list[Candidate]:  # fmt: skip
    """Places with a leader, where these are wanted, so much dearer than others."""
    if not far:
        return []
    places = leader_places(
        words, target, GROUP, dimension.name, weight=style.weight,
        angles=style.angles, distances=style.distances, prefer=style.prefer,
    )  # fmt: skip
    return dearer(places, cost)


def _line_places(
    dimension: Dimension, view: View, first: Point, last: Point, far: bool
) -> list[Candidate]:
    """Over or under the line; beyond its ticks; under or beside it where it is too short."""
    turn = math.degrees(math.atan2(last[1] - first[1], last[0] - first[0]))
    if turn > 90.0 + _NOTHING or turn <= -90.0 + _NOTHING:  # read from the bottom or the right
        first, last, turn = last, first, (turn + 360) % 360 - 180
    length = math.dist(first, last)
    width = measure(dimension.lettered, STYLE.text).width
    brief = replace(dimension, text=dimension.short, short="")
    if dimension.short and width + 1.6 > length:
        return places_of(brief, view, far)
    cosine, sine = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    places: list[Candidate] = []

    def at(along: float, lift: float = 0.0) -> Point:
        return first[0] + along * cosine - lift * sine, first[1] + along * sine + lift * cosine

    def offer(along: float, lift: float, cost: float) -> None:
        text = _figure(dimension.lettered, at(along, lift), dimension.name, "middle", turn)
        places.append(Candidate((text,), (), cost, CLEARANCE))

    def offer_beyond(along: float, lift: float, cost: float, reach: float) -> None:
        """The dimension line is drawn out to carry the text, which stands by itself there."""
        base = 0.0 if reach < 0 else length
        text = _figure(outside, at(along, lift), dimension.name, "middle", turn)
        drawn_out = _thin(at(base), at(base + reach), dimension.name)
        places.append(Candidate((text,), (drawn_out,), cost, _APART))

    below = -STYLE.above - STYLE.text
    room = (length - width - 1.6) / 2
    if dimension.across and length >= STYLE.text + 2 * 0.75:
        places += _beside_plumb(dimension, first, last)
    elif room >= 0:
        for part in (0.0, 0.25, 0.5, 0.75, 1.0):
            for side in (1, -1) if part else (1,):
                middle = length / 2 + side * part * room
                offer(middle, STYLE.above, part * 2)
                offer(middle, below, 4 + part * 2)
    elif dimension.row is not None:  # under the ticks, every other one a row lower
        lift = -STYLE.overrun - 0.8 - STYLE.text - 3.8 * dimension.row
        for aside in (0.0, 1.0, -1.0, 2.0, -2.0):
            offer(length / 2 + aside, lift, 3.0 + abs(aside) / 4)
    short = dimension.kind == PLUMB and STYLE.text + 2 * 0.75 <= length < _SHORT
    if short and not dimension.across:
        places += _beside_plumb(dimension, first, last)
    outside = f"{dimension.beyond} {dimension.lettered}".strip()
    width = measure(outside, STYLE.text).width
    reach = width + 2 * STYLE.tick
    # a figure that needs its word there stands across the line from the next piece's figure
    for cost in (7,) if dimension.beyond else (6, 7):
        lift = STYLE.above if cost == 6 else below
        offer_beyond(length + STYLE.tick + width / 2 + 0.4, lift, cost, reach)
        offer_beyond(-STYLE.tick - width / 2 - 0.4, lift, cost + 0.5, -reach)
    halfway = ((first[0] + last[0]) / 2, (first[1] + last[1]) / 2)
    places += _led(dimension, dimension.lettered, halfway, 20, far, _OF_LINES)
    if dimension.short:
        places += dearer(places_of(brief, view, far), 8)
    return places


def _beside_plumb(dimension: Dimension, first: Point, last: Point) -> tuple[Candidate, ...]:
    """A figure too long to lie along a short plumb line, level beside it."""
    y = (first[1] + last[1] - STYLE.text) / 2
    spots = ((first[0] - STYLE.above, y, "right", 4.0), (first[0] + STYLE.above, y, "left", 4.2))
    return places_at((dimension.lettered,), spots, GROUP, owner=dimension.name)


def _running_places(dimension: Dimension, last: Point, far: bool) -> list[Candidate]:
    """Turned at the end of the extension line; aside with a bend in it where that is taken."""
    toward = 1.0 if dimension.value else -1.0
    places = turned_figure(dimension.text, last, 90.0, dimension.name, toward=toward)
    return places + _led(dimension, dimension.text, last, 30, far, _OF_RUNNING)


def turned_figure(
    words: str, tip: Point, read: float, owner: str, way: float = -1.0, toward: float = 1.0
) -> list[Candidate]:
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
        foot = at(FOOT_OF_FIGURE + bend, aside - STYLE.text / 2)
        text = _figure(words, foot, owner, anchor, read)
        bent = _thin(at(STYLE.overrun, 0.0), at(STYLE.overrun + bend, aside), owner)
        cost = abs(aside) + 0.1 * (aside * toward < 0)
        places.append(Candidate((text,), (bent,) if aside else (), cost))
    return places


def _angle_places(dimension: Dimension, view: View, far: bool) -> list[Candidate]:
    """Outside the arc, best at its middle; inside it."""
    vertex, start, end = _angle_ends(dimension, view)
    middle = (start + end) / 2
    places: list[Candidate] = []

    def offer(reach: float, turn: float, cost: float, back: float = 0.0) -> None:
        x, y = _on_arc(vertex, dimension.place + reach, turn)
        text = _figure(dimension.text, (x - back, y - STYLE.text / 2), dimension.name)
        places.append(Candidate((text,), (), cost))

    for cost, reach in enumerate((1.6, 3.0, 5.0, 8.0)):
        for share in (0.5, 0.4, 0.6, 0.3):
            offer(reach, start + (end - start) * share, cost + abs(share - 0.5))
    offer(-1.6, middle, 6, measure(dimension.text, STYLE.text).width)
    tip = _on_arc(vertex, dimension.place, middle)
    return places + _led(dimension, dimension.text, tip, 20, far, _OF_ANGLES)
