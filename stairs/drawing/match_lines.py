"""Match lines: a long view broken over parts that are drawn one under the other.

A guard that is longer than the paper at a scale that can be read is cut at posts.  Both parts show
the post, a stub of what goes on beyond it that ends in a break line, and the match line itself, a
heavy long-dash-double-dot line through the post with its letter; all parts have one scale.  Every
bay lies in one part, so that nothing is dimensioned twice.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from stairs.drawing.chains import Bounds, bounds_of, room_around
from stairs.drawing.placement import APART, Candidate
from stairs.drawing.primitives import (
    DASH_DOT_DOT,
    FINE,
    THICK,
    Arc,
    Primitive,
    Stroke,
    Text,
    extent_of_lines,
    line,
)
from stairs.drawing.view import View

STUB = 9.0
"""How far the work goes on beyond a match line [mm on paper]."""
LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
_BESIDE = 12.0  # paper beside a match line's stub [mm]
_OVER = 7.0  # how far a match line reaches over the post [mm]


@dataclass(frozen=True, slots=True)
class Part:
    """One part of a broken view.

    Parameters
    ----------
    number, count : int
        Which part of how many, from 1.
    low, high : int
        Its first and last post, from 0.
    """

    number: int
    count: int
    low: int
    high: int

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

    def holds(self, section, x: float) -> bool:
        """Whether a place of the work lies between its ends [units of the work]."""
        low = self.number == 1 or x >= section.posts[self.low].x - 1e-9
        high = self.number == self.count or x <= section.posts[self.high].x + 1e-9
        return low and high


def room_beside(section, part: Part | None) -> tuple[float, float, float, float]:
    """Paper that chains take to the left, below, to the right and above; less at a cut [mm]."""
    left, below, right, above = room_around(section)
    if part is not None:
        before, after = part.letters
        left, right = (_BESIDE if before else left), (_BESIDE if after else right)
    return left, below, right, above


def edges_of(section, part: Part | None, unit: float) -> Bounds:
    """Edges of what a part shows, its stubs included [units of the work].

    Parameters
    ----------
    section : stairs.guard.Section
        Solved.
    part : Part or None
        None for the whole section.
    unit : float
        Paper length of one unit of the work [mm].
    """
    whole = bounds_of(section)
    if part is None:
        return whole
    low, high = section.posts[part.low], section.posts[part.high]
    before, after = part.letters
    posts = section.posts[part.low : part.high + 1]
    return Bounds(
        low.x - STUB / unit if before else whole.left,
        max(0.0, min(one.surface for one in posts) - 3 * section.unit_rise) if before else 0.0,
        high.x + STUB / unit if after else whole.right,
        max(one.surface + max(one.height, section.guard_height) for one in posts)
        + (_OVER / unit if section.kind == "flight" else 0.0),
    )


def parts_of(section, fits: Callable[[Part], bool]) -> tuple[Part, ...] | None:
    """The fewest parts that are no wider than the paper, each as long as it may be.

    Parameters
    ----------
    section : stairs.guard.Section
        Solved.
    fits : callable
        Whether a part is no wider than its room.

    Returns
    -------
    tuple of Part or None
        None where even one bay is too wide.
    """
    last = len(section.posts) - 1
    ends, low = [], 0
    while low < last:
        high = None
        for place in range(low + 1, last + 1):
            first, final = low == 0, place == last
            number = 1 if first else 2
            if fits(Part(number, number if final else number + 1, low, place)):
                high = place
        if high is None:
            return None
        ends.append((low, high))
        low = high
    count = len(ends)
    return tuple(Part(k, count, low, high) for k, (low, high) in enumerate(ends, start=1))


def cut_work(work: list[Primitive], section, part: Part, view: View) -> list[Primitive]:
    """What of the work a part shows, with break lines and match lines [mm on paper]."""
    from stairs.drawing.stage import through_window

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
        post = section.posts[place]
        drawn = [one for one in shown if isinstance(one, Stroke | Arc)]
        near = [
            extent_of_lines([one])
            for one in drawn
            if one.group != "centre-line"
            and extent_of_lines([one])[0] < x + 0.5
            and extent_of_lines([one])[2] > x - 0.5
        ]
        low = min((one[1] for one in near), default=bottom)
        high = max((one[3] for one in near), default=top)
        shown.append(_break(x, low - 2.0, high + 2.0))
        foot, head = view.at((post.x, post.surface)), view.at((post.x, post.surface + post.height))
        for start, end in (
            ((foot[0], head[1] + 1.5), (foot[0], head[1] + _OVER)),
            ((foot[0], foot[1] - 0.6 * _OVER), (foot[0], foot[1] - 0.4)),
        ):
            shown.append(line(start, end, THICK, "match-line", DASH_DOT_DOT, owner=letter))
        through = line((foot[0], foot[1]), (foot[0], head[1] + 1.5), THICK, "match-line",
                       DASH_DOT_DOT, owner=letter)  # fmt: skip
        if half > 1.2:
            shown.append(through)
    return shown


def _break(x: float, low: float, high: float) -> Stroke:
    """A plumb line with two zigzags, where the work is broken off."""
    points = [(x, high)]
    for share in (0.68, 0.32):
        y = low + (high - low) * share
        points += [(x, y + 1.6), (x - 1.6, y + 0.5), (x + 1.6, y - 0.5), (x, y - 1.6)]
    return Stroke((*points, (x, low)), FINE, "break")


def match_labels(section, part: Part, view: View, height: float) -> list:
    """Names of the match lines over their heads, each with the places where it may stand."""
    labels = []
    for letter, place in zip(part.letters, (part.low, part.high), strict=True):
        if not letter:
            continue
        post = section.posts[place]
        x, y = view.at((post.x, post.surface + post.height))
        words = f"MATCH LINE {letter}"
        places = [
            Candidate((Text(words, (x + aside, y + _OVER + lift), height, "match-line", anchor,
                            bold=True, owner=words),), (), lift + abs(aside) / 4, APART)
            for lift in (1.4, 6.0, 10.0, 14.0)
            for aside, anchor in ((0.0, "middle"), (1.5, "left"), (-1.5, "right"))
        ]  # fmt: skip
        labels.append((words, places))
    return labels
