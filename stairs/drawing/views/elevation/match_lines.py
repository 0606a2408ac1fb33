"""Match lines: a long view broken over parts that are drawn one under the other.

A guard that is longer than the paper at a scale that can be read is cut at posts, and a single bay
that is longer is cut between two balusters.  Both parts show the place of the cut, a stub of what
goes on beyond it that ends in a break line, and the match line itself with its letter; all parts
have one scale.  Nothing is dimensioned twice, and what spans a cut stands in the column.

Conventions: views that do not fit are cut at match lines, named alike on both parts (Cornell
working-drawing notes after the US National CAD Standard, which do not say what line to draw).  Here
the match line is a thick long-dash-double-dot line, the kind that ISO 128-2 has for outlines of
neighbouring parts (from memory).  The break line is a thin continuous line with zigzags, which
ISO 128-2 has for the limits of partial and interrupted views (01.1.19; from memory); it passes the
outline a little at both ends.
"""

from __future__ import annotations

from collections.abc import Callable

from msgspec import Struct

from stairs.drawing.paper.primitives import (
    DASH_DOT_DOT,
    THICK,
    Arc,
    Primitive,
    Stroke,
    break_line,
    extent_of_lines,
    line,
)
from stairs.drawing.paper.view import View
from stairs.drawing.placing.placement import APART, Candidate, places_at
from stairs.drawing.views.elevation.dimension_chains import Bounds, bounds_of, room_around
from stairs.guard.solving import Section
from stairs.job import Job
from stairs.numbers.tolerances import SAME
from stairs.parts.posts import Post

STUB = 9.0
"""How far the work goes on beyond a match line [mm on paper]."""
_LEAST = 3
"""A piece of a bay shows so many balusters or more."""
LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
_BESIDE = 12.0  # paper beside a match line's stub [mm]
_OVER = 7.0  # how far a match line reaches over the post [mm]


Place = tuple[int, int]
"""Where a view is cut: the number of a post from 0, and how many balusters of the bay beyond it
come before the cut; 0 is at the post itself."""


class Part(Struct, frozen=True):
    """One part of a broken view."""

    # number, count: which part of how many, from 1
    number: int
    count: int
    # low, high: its two ends
    low: Place
    high: Place

    @property
    def letters(self) -> tuple[str, str]:
        """Letters of the match lines at its two ends, empty where the guard itself ends."""
        before = LETTERS[(self.number - 2) % 26] if self.number > 1 else ""
        after = LETTERS[(self.number - 1) % 26] if self.number < self.count else ""
        return before, after

    @property
    def words(self) -> str:
        """Its name under the view."""
        ends = [f"MATCH LINE {letter}" for letter in self.letters if letter]
        return f"PART {self.number} OF {self.count}, TO {' AND '.join(ends)}"

    def posts(self, section: Section) -> list[Post]:
        """The posts that it shows, those at its ends included."""
        first = self.low[0] + (self.low[1] > 0)
        return list(section.posts[first : self.high[0] + 1])

    def holds(self, section: Section, x: float) -> bool:
        """Whether a place of the work lies between its ends [units of the work]."""
        low = self.number == 1 or x >= x_of(section, self.low) - SAME
        high = self.number == self.count or x <= x_of(section, self.high) + SAME
        return low and high


def x_of(section: Section, place: Place) -> float:
    """Where a cut lies: at a post's centre, or midway between two balusters [units of the work]."""
    post, balusters = place
    if not balusters:
        return section.posts[post].x
    xs = section.bays[post].baluster_x
    return (xs[balusters - 1] + xs[balusters]) / 2


def span_of(section: Section, place: Place) -> tuple[float, float]:
    """Heights of the surface and of the guard's top at a cut [units of the work]."""
    post, balusters = place
    if not balusters:
        one = section.posts[post]
        return one.surface, one.surface + one.height
    x = x_of(section, place)
    (x0, y0), (x1, y1) = section.bays[post].top_rail[1:3]
    foot = max((y for start, y in section.nosings if start <= x), default=0.0)
    return foot, y0 + (y1 - y0) * (x - x0) / (x1 - x0)


def room_beside(section: Section, part: Part | None, job: Job) -> tuple[float, float, float, float]:
    """Paper that chains take to the left, below, to the right and above; less at a cut [mm]."""
    left, below, right, above = room_around(section, job)
    if part is not None:
        before, after = part.letters
        left, right = (_BESIDE if before else left), (_BESIDE if after else right)
        if before and not part.posts(section):  # nothing is set out there
            below = _BESIDE
    return left, below, right, above


def edges_of(section: Section, part: Part | None, unit: float) -> Bounds:
    """Edges of what a part shows, its stubs included [units of the work]."""
    whole = bounds_of(section)
    if part is None:
        return whole
    low, high = x_of(section, part.low), x_of(section, part.high)
    before, after = part.letters
    spans = [span_of(section, part.low), span_of(section, part.high)]
    spans += [(one.surface - one.below, one.surface + one.height) for one in part.posts(section)]
    foot = min(foot for foot, _ in spans)
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
    last = len(section.posts) - 1
    ends: list[tuple[Place, Place]] = []
    low = 0
    while low < last:
        high: int | None = None
        for place in range(low + 1, last + 1):
            if fits(_trial((low, 0), (place, 0), last)):
                high = place
        if high is not None:
            ends.append(((low, 0), (high, 0)))
            low = high
            continue
        pieces = _pieces_of(section, low, fits) if within else None
        if pieces is None:
            return None
        ends += pieces
        low += 1
    count = len(ends)
    return tuple(Part(k, count, low, high) for k, (low, high) in enumerate(ends, start=1))


def _trial(low: Place, high: Place, last: int) -> Part:
    """A part with the match lines that it would have, to see whether it fits."""
    number = 1 if low == (0, 0) else 2
    return Part(number, number + (high != (last, 0)), low, high)


def _pieces_of(
    section: Section, bay: int, fits: Callable[[Part], bool]
) -> list[tuple[Place, Place]] | None:
    """One bay in pieces that fit, each as long as it may be, or None for slivers."""
    balusters, last = len(section.bays[bay].baluster_x), len(section.posts) - 1
    end = (bay + 1, 0)
    pieces: list[tuple[Place, Place]] = []
    low = 0
    while not fits(_trial((bay, low), end, last)):
        marks = range(balusters - _LEAST, low + _LEAST - 1, -1)
        high = next((k for k in marks if fits(_trial((bay, low), (bay, k), last))), None)
        if high is None:
            return None
        pieces.append(((bay, low), (bay, high)))
        low = high
    return [*pieces, ((bay, low), end)]


def cut_work(work: list[Primitive], section: Section, part: Part, view: View) -> list[Primitive]:
    """What of the work a part shows, with break lines and match lines [mm on paper]."""
    from stairs.drawing.placing.labelled_view import through_window

    edges = edges_of(section, part, view.unit)
    left, bottom = view.at((edges.left, edges.bottom))
    right, top = view.at((edges.right, edges.top))
    before, after = part.letters
    raised = edges.bottom > 0.0
    window = (
        left if before else -1e9, bottom if raised else -1e9, right if after else 1e9, 1e9
    )  # fmt: skip
    shown: list[Primitive] = []
    for one in work:
        x0, y0, x1, y1 = extent_of_lines([one])
        if x0 >= window[0] and x1 <= window[2] and y0 >= window[1]:
            shown.append(one)
        elif x1 > window[0] and x0 < window[2] and y1 > window[1]:
            shown += through_window([one], window)
    half = view.length(section.posts[0].width) / 2
    for letter, place, x in ((before, part.low, left), (after, part.high, right)):
        if not letter:
            continue
        near = _heights_at(shown, x)
        low, high = min(near, default=bottom), max(near, default=top)
        ends = (x, high + 2.0), (x, low - 2.0)
        shown.append(break_line(*ends, 1.6, 0.5, -1.6, (0.32, 0.68)))
        at = x_of(section, place)
        foot, head = (view.at((at, y)) for y in span_of(section, place))
        pieces = [
            ((foot[0], head[1] + 1.5), (foot[0], head[1] + _OVER)),
            ((foot[0], foot[1] - 0.6 * _OVER), (foot[0], foot[1] - 0.4)),
        ]
        if half > 1.2 or place[1]:  # through a slim post it would only blot
            pieces.append(((foot[0], foot[1]), (foot[0], head[1] + 1.5)))
        shown += [
            line(start, end, THICK, "match-line", DASH_DOT_DOT, owner=letter)
            for start, end in pieces
        ]
    return shown


def _heights_at(shown: list[Primitive], x: float) -> list[float]:
    """Heights at which a plumb line meets what is drawn, or passes its end [mm on paper]."""
    found = []
    for one in shown:
        if not isinstance(one, Stroke | Arc) or one.group == "centre-line":
            continue
        for (x0, y0), (x1, y1) in one.segments():
            if min(x0, x1) - 0.5 < x < max(x0, x1) + 0.5:
                share = min(max((x - x0) / (x1 - x0), 0.0), 1.0) if x1 != x0 else 0.0
                found += [y0 + (y1 - y0) * share] if x1 != x0 else [y0, y1]
    return found


def match_labels(
    section: Section, part: Part, view: View
) -> list[tuple[str, tuple[Candidate, ...]]]:
    """Names of the match lines over their heads, each with the places where it may stand. Two at
    most; none at the guard's own ends."""
    labels = []
    for letter, place in zip(part.letters, (part.low, part.high), strict=True):
        if not letter:
            continue
        x, y = view.at((x_of(section, place), span_of(section, place)[1]))
        words = f"MATCH LINE {letter}"
        spots = [
            (x + aside, y + _OVER + lift, anchor, lift + abs(aside) / 4)
            for lift in (1.4, 6.0, 10.0, 14.0)
            for aside, anchor in ((0.0, "middle"), (1.5, "left"), (-1.5, "right"))
        ]
        labels.append(
            (words, places_at((words,), spots, "match-line", owner=words, apart=APART, headed=True))
        )
    return labels
