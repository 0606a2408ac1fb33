"""A long elevation in parts that are drawn one under the other.

A guard that is longer than the paper at a scale that can be read is cut at posts, and a single bay
that is longer is cut between two balusters.  Nothing is dimensioned twice, and what spans a cut
stands in the column.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise

from stairs.drawing.paper.primitives import Primitive, break_line, extent_of_lines
from stairs.drawing.paper.view import View
from stairs.drawing.placing.placement import APART, Candidate, places_at
from stairs.drawing.placing.windows import through_window
from stairs.drawing.views.elevation.dimension_chains import Bounds, bounds_of, room_around
from stairs.drawing.views.match_lines import (
    FAR,
    STUB,
    Part,
    crossings_at,
    cut_at,
    in_a_row,
    match_strokes,
)
from stairs.guard.solving import Section
from stairs.job import Job
from stairs.numbers.tolerances import SAME
from stairs.parts.posts import Post

_LEAST = 3
"""A piece of a bay shows so many balusters or more."""
_BESIDE = 12.0  # paper beside a match line's stub [mm]
_NEAR = 0.5  # what ends so near a break line is met by it [mm]
_OVER = 7.0  # how far a match line reaches over the post [mm]


def posts_of(section: Section, part: Part) -> list[Post]:
    """The posts that a part shows, those at its ends included."""
    return [post for post in section.posts if holds(part, post.x)]


def holds(part: Part, x: float) -> bool:
    """Whether a place of the work lies between a part's ends [units of the work]."""
    return part.edges[0] - SAME <= x <= part.edges[2] + SAME


def _span_at(section: Section, x: float) -> tuple[float, float]:
    """Heights of the surface and of the guard's top at a cut [units of the work]."""
    for post in section.posts:
        if post.x == x:
            return post.surface, post.surface + post.height
    bay = next(one for one in section.bays if one.top_rail[1][0] <= x <= one.top_rail[2][0])
    (x0, y0), (x1, y1) = bay.top_rail[1:3]
    foot = max((y for start, y in section.nosings if start <= x), default=0.0)
    return foot, y0 + (y1 - y0) * (x - x0) / (x1 - x0)


def room_beside(section: Section, part: Part | None, job: Job) -> tuple[float, float, float, float]:
    """Paper that chains take to the left, below, to the right and above; less at a cut [mm]."""
    left, below, right, above = room_around(section, job)
    if part is not None:
        before, _, after, _ = part.cut
        left, right = (_BESIDE if before else left), (_BESIDE if after else right)
        if before and not posts_of(section, part):  # nothing is set out there
            below = _BESIDE
    return left, below, right, above


def edges_of(section: Section, part: Part | None, unit: float) -> Bounds:
    """Edges of what a part shows, its stubs included [units of the work]."""
    whole = bounds_of(section)
    if part is None:
        return whole
    low, _, high, _ = part.edges
    before, _, after, _ = part.cut
    spans = [_span_at(section, x) for x in (low, high) if abs(x) < FAR]
    shown = posts_of(section, part)
    spans += [(one.surface, one.surface + one.height) for one in shown]
    foot = min([foot for foot, _ in spans] + [one.surface - one.below for one in shown])
    steps = 3 * float(section.flight.unit_rise) if section.flight else 0.0
    return Bounds(
        low - STUB / unit if before else whole.left,
        max(whole.bottom, foot - steps) if before else whole.bottom,
        high + STUB / unit if after else whole.right,
        max(max(top, foot + section.guard_height) for foot, top in spans)
        + (_OVER / unit if section.kind == "flight" else 0.0),
    )


def parts_of(
    section: Section, fits: Callable[[Part], bool], within: bool = False
) -> tuple[Part, ...] | None:
    """The fewest parts that are no wider than the paper, each as long as it may be. None where
    even one bay is too wide, or one that may be cut would come out in slivers."""
    posts = [post.x for post in section.posts]
    first, last = posts[0], posts[-1]

    def fit(low: float, high: float) -> bool:
        edges = (low if low > first else -FAR, -FAR, high if high < last else FAR, FAR)
        return fits(Part(0, 0, edges))

    gaps: dict[float, int] = {}  # between two balusters: how many of the bay's come before
    for bay, ends in zip(section.bays, pairwise(posts), strict=True) if within else ():
        if not fit(*ends):
            middles = enumerate((sum(pair) / 2 for pair in pairwise(bay.baluster_x)), start=1)
            gaps |= {x: k for k, x in middles if _LEAST <= k <= bay.balusters - _LEAST}
    places = sorted((*posts, *gaps))

    def room(j: int, k: int) -> float:
        low, high = places[j], places[k]
        if low in gaps or high in gaps:  # a piece of one bay
            if any(low < x < high for x in posts):
                return 0.0
            if low in gaps and high in gaps and gaps[high] - gaps[low] < _LEAST:
                return 0.0
        return math.inf if fit(low, high) else 0.0

    # of ways with as few parts the one whose cuts lie farther on
    nodes = [(x, (last - x) / (last - first) / len(places)) for x in places]
    cuts = cut_at(nodes, room)
    if cuts is None:
        return None
    return in_a_row((places[k], *_span_at(section, places[k])) for k in cuts)


def cut_work(work: list[Primitive], section: Section, part: Part, view: View) -> list[Primitive]:
    """What of the work a part shows, with break lines and match lines [mm on paper]."""
    edges = edges_of(section, part, view.unit)
    left, bottom = view.at((edges.left, edges.bottom))
    right, top = view.at((edges.right, edges.top))
    before, _, after, _ = part.cut
    raised = edges.bottom > 0.0
    window = (left if before else -1e9, bottom if raised else -1e9, right if after else 1e9, 1e9)
    shown: list[Primitive] = []
    for one in work:
        x0, y0, x1, y1 = extent_of_lines([one])
        if x0 >= window[0] and x1 <= window[2] and y0 >= window[1]:
            shown.append(one)
        elif x1 > window[0] and x0 < window[2] and y1 > window[1]:
            shown += through_window([one], window)
    half = view.length(section.posts[0].width) / 2
    for match in part.matches:
        x = left if part.begins_at(match) else right
        near = crossings_at(shown, 0, x, _NEAR)
        ends = (x, max(near, default=top) + 2.0), (x, min(near, default=bottom) - 2.0)
        shown.append(break_line(*ends, 1.6, 0.5, -1.6, (0.32, 0.68)))
        (at, foot), (_, head) = (view.at((match.at, y)) for y in (match.low, match.high))
        pieces = [(head + 1.5, head + _OVER), (foot - 0.6 * _OVER, foot - 0.4)]
        if half > 1.2 or all(post.x != match.at for post in section.posts):
            pieces.append((foot, head + 1.5))  # through a slim post it would only blot
        shown += match_strokes(match.letter, 0, at, pieces)
    return shown


def match_labels(part: Part, view: View) -> list[tuple[str, tuple[Candidate, ...]]]:
    """Names of the match lines over their heads, each with the places where it may stand. Two at
    most; none at the guard's own ends."""
    labels = []
    for match in part.matches:
        x, y = view.at((match.at, match.high))
        words = f"MATCH LINE {match.letter}"
        spots = [
            (x + aside, y + _OVER + lift, anchor, lift + abs(aside) / 4)
            for lift in (1.4, 6.0, 10.0, 14.0)
            for aside, anchor in ((0.0, "middle"), (1.5, "left"), (-1.5, "right"))
        ]
        labels.append(
            (words, places_at((words,), spots, "match-line", owner=words, apart=APART, headed=True))
        )
    return labels
