"""Match lines: a view larger than its paper in parts, of one drawing at one scale.

Whatever is cut, an elevation at its posts, a plan along both axes or a framing run between its
posts, its parts are windows onto the same drawing.  Two parts that meet show the place of the cut,
a stub of what goes on beyond it that ends in a break line, and the match line itself, which has one
letter in both.  Nothing is measured from a match line.

Conventions: views that do not fit are cut at match lines, named alike on both parts (Cornell
working-drawing notes after the US National CAD Standard, which do not say what line to draw).  Here
the match line is a thick long-dash-double-dot line, the kind that ISO 128-2 has for outlines of
neighbouring parts (from memory).  The break line is a thin continuous line with zigzags, which
ISO 128-2 has for the limits of partial and interrupted views (01.1.19; from memory); it passes the
outline a little at both ends.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from itertools import pairwise

from msgspec import Struct

from stairs.drawing.paper.primitives import (
    Area,
    Point,
    Primitive,
    Text,
    line,
)
from stairs.numbers.tolerances import SIGHT

STUB = 9.0
"""How far the work goes on beyond a match line [mm on paper]."""
FAR = 1e9
"""Where a drawing is not cut, since it ends there by itself."""
_LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
_PIECE = 20.0  # what a further part costs, beside what a place to cut at costs
_UNLIKE = 3.0  # the most that a part costs for what it takes of its room, squared


class Match(Struct, frozen=True):
    """A match line and the two parts that meet at it."""

    letter: str  # its name
    parts: tuple[int, int]  # numbers of the parts, the lower number first
    axis: int  # 0 for a line that stands upright on the sheet, at ``x = at``; 1 for a level one
    at: float
    # low, high: its two ends along the other axis
    low: float
    high: float


class Part(Struct, frozen=True):
    """One part of a view."""

    # number, count: which part of how many, from 1
    number: int
    count: int
    edges: Area  # where it is cut, `FAR` away where the drawing itself ends
    matches: tuple[Match, ...] = ()  # the match lines around it

    @property
    def words(self) -> str:
        """Its name under the view."""
        return f"PART {self.number} OF {self.count}" + (f", {self.ends}" if self.ends else "")

    @property
    def ends(self) -> str:
        """The match lines that it has, in words."""
        *some, last = ["", *(one.letter for one in self.matches)]
        if len(some) < 2:
            return f"TO MATCH LINE {last}" if last else ""
        return f"TO MATCH LINES {', '.join(some[1:])} AND {last}"

    @property
    def cut(self) -> tuple[bool, ...]:
        """Of each edge whether the drawing goes on beyond it."""
        return tuple(abs(edge) < FAR for edge in self.edges)

    def other(self, match: Match) -> int:
        """The number of the part beyond a match line."""
        return match.parts[1] if match.parts[0] == self.number else match.parts[0]

    def begins_at(self, match: Match) -> bool:
        """Whether a match line lies at its left or lower edge."""
        return abs(self.edges[match.axis] - match.at) < SIGHT


def letter_of(number: int) -> str:
    """The name of a match line: A to Z, then AA, BB and so on.

    >>> letter_of(0), letter_of(25), letter_of(26), letter_of(27)
    ('A', 'Z', 'AA', 'BB')
    """
    times, which = divmod(number, len(_LETTERS))
    return _LETTERS[which] * (times + 1)


def in_a_row(cuts: Iterable[tuple[float, float, float]]) -> tuple[Part, ...]:
    """Parts from left to right between cuts: where each lies, and the two ends of its match line.

    >>> [part.words for part in in_a_row([(4.0, 0.0, 3.0)])]
    ['PART 1 OF 2, TO MATCH LINE A', 'PART 2 OF 2, TO MATCH LINE A']
    """
    matches = [Match(letter_of(k), (k + 1, k + 2), 0, *cut) for k, cut in enumerate(cuts)]
    ends = list(pairwise((-FAR, *(match.at for match in matches), FAR)))
    return tuple(
        Part(k + 1, len(ends), (low, -FAR, high, FAR), tuple(matches[max(k - 1, 0) : k + 1]))
        for k, (low, high) in enumerate(ends)
    )


def cut_at(
    places: Sequence[tuple[float, float]], room: Callable[[int, int], float]
) -> list[int] | None:
    """Which of some places to cut a stretch at, by their numbers; None where no way fits.

    Of all ways the one with the fewest pieces, and of those the one that costs least and whose
    pieces are most alike.  A place is where it lies and what speaks against a cut there; the first
    and the last are the ends of the stretch.  ``room`` tells from two numbers how long the piece
    between them may be: infinite where only fit or no fit is known.
    """
    last = len(places) - 1
    cheapest, before = [0.0] + [math.inf] * last, [-1] * (last + 1)
    for k in range(1, last + 1):
        for j in range(k):
            length, limit = places[k][0] - places[j][0], room(j, k)
            if length > limit:
                continue
            share = length / limit
            cost = cheapest[j] + _PIECE + places[k][1] + _UNLIKE * share * share
            if cost < cheapest[k]:
                cheapest[k], before[k] = cost, j
    if before[last] < 0:
        return None
    cuts, k = [], before[last]
    while k:
        cuts.append(k)
        k = before[k]
    return cuts[::-1]


def on_axis(axis: int, at: float, along: float) -> Point:
    """The point of a line square to an axis that lies so far along it."""
    return (at, along) if axis == 0 else (along, at)


def match_strokes(
    letter: str, axis: int, at: float, pieces: Iterable[tuple[float, float]]
) -> list[Primitive]:
    """A match line in pieces along itself [mm on paper]."""
    return [
        line(on_axis(axis, at, low), on_axis(axis, at, high), "match-line", owner=letter)
        for low, high in pieces
    ]


def crossings_at(
    drawn: Iterable[Primitive], axis: int, at: float, touching: float = 0.0
) -> list[float]:
    """Places along a line square to an axis where it meets what is drawn, or passes an end of that
    so near [mm]."""
    over = 1 - axis
    found = []
    for one in drawn:
        if isinstance(one, Text) or one.group == "centre-line":
            continue
        for start, end in one.segments():
            a, b = start[axis] - at, end[axis] - at
            if max(abs(a), abs(b)) < touching:
                found += [start[over], end[over]]
            elif a * b < 0 or min(abs(a), abs(b)) < touching:
                found.append(start[over] + (end[over] - start[over]) * a / (a - b))
    return found


# --------------------------------------------------------------------------- on sheets


Size = tuple[float, float]
"""Width and height that something takes [mm on paper]."""


def on_sheets(
    sizes: Sequence[Size], width: float, height: float, apart: float = 0.0
) -> list[list[list[int]]]:
    """What stands beside each other in a row, and which rows on one sheet, by number and in order.

    >>> on_sheets([(4.0, 3.0), (5.0, 2.0), (9.0, 2.0), (9.0, 6.0)], 10.0, 6.0)
    [[[0, 1], [2]], [[3]]]
    """
    sheets: list[list[list[int]]] = []

    def tall(row: Sequence[int]) -> float:
        return max(sizes[k][1] for k in row)

    for k, (wide, high) in enumerate(sizes):
        if sheets:
            *above, last = sheets[-1]
            used = sum(map(tall, above))
            beside = sum(sizes[j][0] + apart for j in last)
            if beside + wide <= width and used + tall([*last, k]) <= height:
                last.append(k)
                continue
            if used + tall(last) + high <= height:
                sheets[-1].append([k])
                continue
        sheets.append([[k]])
    return sheets


def rooms_in(area: Area, rows: Sequence[Sequence[Size]]) -> list[Area]:
    """Rooms from the top down and from left to right, with equal shares of what is left over."""
    left, bottom, right, top = area
    talls = [max(high for _, high in row) for row in rows]
    spare = (top - bottom - sum(talls)) / len(rows)
    rooms, ceiling = [], top
    for row, tall in zip(rows, talls, strict=True):
        floor, start = ceiling - tall - spare, left
        over = (right - left - sum(wide for wide, _ in row)) / len(row)
        for wide, _ in row:
            rooms.append((start, floor, start + wide + over, ceiling))
            start += wide + over
        ceiling = floor
    return rooms
