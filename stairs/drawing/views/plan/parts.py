"""Parts of a plan: where a plan that is larger than the paper is cut, and which parts meet where.

A plan is cut into columns from left to right, and a column that is too tall into pieces.  A cut
goes through a post where the guard runs across it, or else midway between two posts; it keeps away
from posts that would be cut lengthwise and from flights.  Of all ways to cut, the one with the
fewest parts is taken, and of those the one whose parts are most alike.

Where work runs from one part into the next there is a match line.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from functools import cached_property
from itertools import pairwise

from msgspec import Struct

from stairs.drawing.paper.primitives import Area, Primitive, extent_of_lines
from stairs.drawing.paper.view import View
from stairs.drawing.placing.labelled_view import SetOut
from stairs.drawing.placing.windows import cut_to, through_window
from stairs.drawing.views.match_lines import (
    FAR,
    STUB,
    Match,
    Part,
    crossings_at,
    cut_at,
    letter_of,
)
from stairs.guard.plan import Plan, PlanPost
from stairs.numbers.tolerances import SIGHT
from stairs.solution import Solution

PAD = 8.0
"""Blank paper for lettering around work and setting-out lines [mm]."""
_BEYOND = PAD  # paper beyond the stub of what goes on [mm]
ACROSS = 10.0
"""How far a match line reaches over what it cuts [mm]."""
# what is to be avoided at a cut, and what it costs where a further part costs 20
_SPLIT = 60.0  # a post cut lengthwise
_TURNING = 15.0  # one where the guard turns
_CROWDED = 6.0  # one that is close by
_FLIGHT = 7.0  # a flight
_MIDWAY = 2.0  # no post
_ANYWHERE = 5.0  # nor midway between two
_SURFACES = ("landing", "break", "dimension")  # no part of its own is drawn for them alone

Edges = Area
"""Left, bottom, right and top [mm from the plan's own origin]."""
Stretch = tuple[float, float]
"""From where to where along an axis [mm]."""


class PlanPart(Part, frozen=True, kw_only=True):
    """One part of a broken plan, its edges in millimetres from the plan's own origin."""

    shown: Edges  # what of the sheet it needs, stubs and setting-out lines included


class Laid(Struct, frozen=True, dict=True):
    """A plan at a scale, with its own origin at the origin of the paper."""

    solution: Solution
    plan: Plan  # perhaps turned
    view: View
    # work, chains: all of it, and its setting-out lines [mm]
    work: tuple[Primitive, ...]
    chains: tuple[Primitive, ...]
    set_out: Mapping[int, SetOut]  # by section, on which side and how far off these lie

    @cached_property
    def unit(self) -> float:
        """Paper length of one unit of the work [mm]."""
        return self.view.unit

    @cached_property
    def extent(self) -> Edges:
        """Edges of work and setting-out lines [mm]."""
        return extent_of_lines((*self.work, *self.chains))

    @cached_property
    def stub(self) -> float:
        """How far the work goes on beyond a match line, so that a post there is whole [mm]."""
        reach = max((reach_of_post(one) for one in self.plan.posts), default=0.0)
        return max(STUB, reach * self.unit + 2.5)


def in_work(edges: Edges, unit: float) -> Edges:
    """Edges on paper in units of the work, one of which is so long on paper [mm]."""
    left, bottom, right, top = edges
    return left / unit, bottom / unit, right / unit, top / unit


def reach_of_post(post: PlanPost) -> float:
    """How far a post or its plate reaches from its centre along the sheet [units of the work].

    ``b / 2 (|cos a| + |sin a|)`` for the wider of post and plate, ``b``, at the heading ``a``.
    """
    askew = math.radians(post.heading)
    half = max(post.width, post.base or 0.0) / 2
    return half * (abs(math.cos(askew)) + abs(math.sin(askew)))


def parts_of_plan(
    laid: Laid, width: float, height: float, first: int = 0
) -> tuple[PlanPart, ...] | None:
    """The parts of a plan that are no larger than the room for one. In the order in which the
    guard runs through them; None where the room is too small to show anything."""
    room = (width, height)
    extent = laid.extent
    columns = _cut(laid, first, extent[first], extent[first + 2], room[first])
    if columns is None:
        return None
    pieces: list[Edges] = []
    for low, high in columns:
        strip = (low, -FAR, high, FAR) if first == 0 else (-FAR, low, FAR, high)
        if not _seen(laid, strip):
            continue
        ends = (low - laid.stub, high + laid.stub)
        seen = (ends[0], -FAR, ends[1], FAR) if first == 0 else (-FAR, ends[0], FAR, ends[1])
        box = extent_of_lines(_seen(laid, seen))  # what goes on beyond the cuts may be wider
        over = 1 - first
        rows = _cut(laid, over, box[over], box[over + 2], room[over], strip)
        if rows is None:
            return None
        for start, end in rows:
            piece = (low, start, high, end) if first == 0 else (start, low, end, high)
            if any(one.group not in _SURFACES for one in _seen(laid, piece)):
                pieces.append(piece)
    pieces.sort(key=lambda edges: _order(laid, edges))
    matches = _matches(laid, pieces)
    made = []
    for number, edges in enumerate(pieces, start=1):
        own = tuple(one for one in matches if number in one.parts)
        made.append(PlanPart(number, len(pieces), edges, own, shown=_shown(laid, edges, own)))
    return tuple(made)


def beyond(laid: Laid, edges: Edges, matches: Sequence[Match] = ()) -> Edges:
    """The window through which a part is seen: its edges and the stubs beyond match lines [mm].
    Left, bottom, right and top [mm from the plan's own origin]."""
    made = list(edges)
    for match in matches:
        low = abs(edges[match.axis] - match.at) < SIGHT
        made[match.axis if low else match.axis + 2] += -laid.stub if low else laid.stub
    left, bottom, right, top = made
    return left, bottom, right, top


def _shown(laid: Laid, edges: Edges, matches: tuple[Match, ...]) -> Edges:
    window = beyond(laid, edges, matches)
    found = list(extent_of_lines(through_window((*laid.work, *laid.chains), window)))
    for match in matches:
        low, high = (1, 3) if match.axis == 0 else (0, 2)
        found[low] = min(found[low], match.low)
        found[high] = max(found[high], match.high)
    left, bottom, right, top = found
    return left, bottom, right, top


def _seen(laid: Laid, edges: Edges) -> list[Primitive]:
    """What of the work and its setting-out lines lies within some edges."""
    inside = through_window(laid.work, _shrunk(edges))
    return inside + through_window(laid.chains, edges) if inside else []


def _shrunk(edges: Edges) -> Edges:
    """A little less, so that what only touches an edge is not in it."""
    left, bottom, right, top = edges
    return left + 0.6, bottom + 0.6, right - 0.6, top - 0.6


def _order(laid: Laid, edges: Edges) -> tuple[tuple[int, float], Edges]:
    """Where along the guard a part comes: by the section that runs into it first, and how far."""
    frame = in_work(edges, laid.unit)
    found = []
    for place in laid.plan.sections:
        piece = cut_to(place.start, place.end, frame)
        if piece is not None and math.dist(*piece) > 1.0 / laid.unit:
            found.append((place.number, math.dist(place.start, piece[0])))
    return min(found, default=(len(laid.plan.sections) + 1, 0.0)), edges


# --------------------------------------------------------------------------- where to cut


def _cut(
    laid: Laid, axis: int, low: float, high: float, room: float, strip: Edges | None = None
) -> list[Stretch] | None:
    """Pieces of a stretch along one axis, the outer ends of the first and the last far away."""
    if high - low + 2 * PAD <= room:
        return [(-FAR, FAR)]
    beside = laid.stub + _BEYOND
    if room - 2 * beside < 2 * _BEYOND:
        return None
    places = _places(laid, axis, low, high, room, strip)
    nodes = [(low, 0.0), *places, (high, 0.0)]
    last = len(nodes) - 1
    cuts = cut_at(
        nodes, lambda j, k: room - (PAD if j == 0 else beside) - (PAD if k == last else beside)
    )
    if cuts is None:
        return None
    return list(pairwise((-FAR, *(nodes[k][0] for k in cuts), FAR)))


def _places(
    laid: Laid, axis: int, low: float, high: float, room: float, strip: Edges | None
) -> list[tuple[float, float]]:
    """Places to cut at, each with what is against it, from low to high."""
    over = 1 - axis
    posts = [
        post
        for post in laid.plan.posts
        if strip is None or strip[over] <= post.centre[over] * laid.unit <= strip[over + 2]
    ]
    marks = sorted({round(post.centre[axis] * laid.unit, 9) for post in posts})
    offered = dict.fromkeys(marks, 0.0)
    for one, two in pairwise(marks):
        offered.setdefault((one + two) / 2, _MIDWAY)
    step = room / 12
    for k in range(1, int((high - low) / step) + 1):
        offered.setdefault(low + k * step, _ANYWHERE)
    margin = _BEYOND
    return [
        (at, cost + _against(laid, posts, axis, at))
        for at, cost in sorted(offered.items())
        if low + margin < at < high - margin
    ]


def _against(laid: Laid, posts: Sequence[PlanPost], axis: int, at: float) -> float:
    """What speaks against a cut at a place."""
    cost = 0.0
    for post in posts:
        away = abs(post.centre[axis] * laid.unit - at)
        half = reach_of_post(post) * laid.unit
        if away < SIGHT:
            cost += _at_post(laid, post, axis)
        elif away < half + 1.0:
            cost += _SPLIT
        elif away < laid.stub + half:
            cost += _CROWDED
    for tread in laid.plan.treads:
        spread = [corner[axis] * laid.unit for corner in tread.corners]
        if min(spread) - 1.0 < at < max(spread) + 1.0:
            cost += _FLIGHT
    return cost


def _at_post(laid: Laid, post: PlanPost, axis: int) -> float:
    """What speaks against a cut through a post: that the guard does not go straight across it."""
    reach = max(post.width, post.base or 0.0) * 1.5 + 6.0 / laid.unit
    before = after = along = False
    for rail in laid.plan.rails:
        near = min(
            max(abs(end[k] - post.centre[k]) for k in (0, 1)) for end in (rail.start, rail.end)
        )
        if near > reach:
            continue
        middle = [
            (a + b) / 2 - c for a, b, c in zip(rail.start, rail.end, post.centre, strict=True)
        ]
        if abs(middle[axis]) < abs(middle[1 - axis]):
            along = True
        before |= middle[axis] < 0
        after |= middle[axis] > 0
    if along:
        return _SPLIT
    return 0.0 if before and after else _TURNING


# --------------------------------------------------------------------------- what meets where


def _matches(laid: Laid, pieces: list[Edges]) -> list[Match]:
    """The match lines between all parts, lettered in the order of the parts."""
    made: list[Match] = []
    for one, edges in enumerate(pieces):
        for two in range(one + 1, len(pieces)):
            for axis in (0, 1):
                found = _between(laid, edges, pieces[two], axis)
                if found is not None:
                    letter = letter_of(len(made))
                    made.append(Match(letter, (one + 1, two + 1), axis, *found))
    return made


def _between(laid: Laid, one: Edges, two: Edges, axis: int) -> tuple[float, float, float] | None:
    """Where two parts meet along one axis, and between which ends work crosses there."""
    over = 1 - axis
    if abs(one[axis + 2] - two[axis]) < SIGHT:
        at = two[axis]
    elif abs(two[axis + 2] - one[axis]) < SIGHT:
        at = one[axis]
    else:
        return None
    if abs(at) >= FAR:
        return None
    low, high = max(one[over], two[over]), min(one[over + 2], two[over + 2])
    met = [y for y in crossings_at(laid.work, axis, at) if low <= y <= high]
    if not met:
        return None
    met += [y for y in crossings_at(laid.chains, axis, at, SIGHT) if low <= y <= high]
    return at, max(min(met) - ACROSS, low), min(max(met) + ACROSS, high)
