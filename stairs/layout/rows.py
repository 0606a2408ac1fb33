"""Rows of posts: the best places for the posts of one section among all that there are.

What a layout comes to is told by its parts: each post by its place, each bay by its width.  So no
row has to be tried as a whole.  A demand on the parts leaves of each post the places and of each
bay the widths that keep it, and whether any row is left is found from one post to the next.  The
demands are made one after the other in the order of the objective
(:mod:`stairs.layout.search`), each as strict as leaves a row; the last ones choose among the rows
that are left.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterator, Sequence
from functools import partial
from math import floor, inf

from msgspec import Struct

from stairs.numbers.tolerances import SAME


class Part(Struct, frozen=True):
    """What one post or one bay gives to the score of a layout; lengths in the job's unit.

    Parameters
    ----------
    lost : int
        What it makes the layout give up, one bit for each thing, the first being the lowest.
    errors : int
        How many times what one measurement may be off by there is room for.
    room : float
        At its tightest opening, limit less ball; infinite where no rule holds.
    gaps : tuple of (float, float)
        The narrower and the wider end gap of a bay; of a post none, (inf, -inf).
    """

    lost: int = 0
    errors: int = 0
    room: float = inf
    tightest: str = ""
    gaps: tuple[float, float] = (inf, -inf)


class Width(Struct, frozen=True):
    """A bay that a post may follow: so many marks long, as wide against the others, its part."""

    marks: int
    size: int
    part: Part


class _Box(Struct, frozen=True):
    """What some demands leave: of each post the places, as bits, and of each bay the widths."""

    places: tuple[int, ...]
    widths: tuple[tuple[Width, ...], ...]

    @property
    def holds_a_row(self) -> bool:
        """Whether posts can be placed from the first to the last."""
        here = self.places[0]
        for places, widths in zip(self.places[1:], self.widths, strict=True):
            there = 0
            for width in widths:
                there |= here << width.marks
            here = there & places
        return here != 0

    def narrowed(self, narrow: Callable[[Sequence[Width]], tuple[Width, ...]]) -> _Box:
        """The box with fewer widths; bays that are alike are narrowed once."""
        known = {id(each): narrow(each) for each in {id(one): one for one in self.widths}.values()}
        return _Box(self.places, tuple(known[id(each)] for each in self.widths))


_Found = tuple[int, int, tuple[int, ...]]  # how rough, minus the first place, and all places


class Rows:
    """All rows of a number of posts."""

    def __init__(
        self,
        posts: Sequence[dict[int, Part]],
        widths: Sequence[tuple[Width, ...]],
        mark: float,
        unit: int,
    ) -> None:
        self._posts, self._widths, self._mark, self._unit = posts, widths, mark, unit
        self._base = min(min(places) for places in posts)

    def best(
        self,
        kept: int,
        rough: Callable[[int], int],
        most: int,
        worth: Callable[[tuple[bool, ...]], bool],
    ) -> list[tuple[int, ...]]:
        """The best rows in marks, each with its last post at another place.

        Parameters
        ----------
        kept : int
            How many things a layout keeps where it can.
        rough : callable
            How far from round a place is.
        most : int
            How many rows are wanted at most.
        worth : callable
            Whether rows that give up so much, and no less, are wanted at all.

        Notes
        -----
        Bays of one width, to a mark, are best; of others measuring error is looked at before how
        much they differ.
        """
        box = _Box(tuple(self._masks(lambda part: True)), tuple(self._widths))
        if not box.holds_a_row:
            return []
        lost = []
        for bit in range(kept):
            less = self._demanded([box], partial(_keeps, bit))
            lost.append(not less)
            (box,) = less or [box]
        if not worth(tuple(lost)):
            return []
        equal = self._alike(box, 0 if len(self._posts) == 2 else self._unit)
        if equal:
            boxes = self._strictest(equal, lambda part: part.errors)
        else:
            (box,) = self._strictest([box], lambda part: part.errors)
            boxes = _least(self._unit + 1, self._unit, lambda by: self._alike(box, by))
        boxes = _least(0, 1, lambda marks: self._gaps_alike(boxes, marks))
        boxes = self._strictest(boxes, self._room)
        told: dict[int, tuple[int, ...]] = {}
        for *_, row in sorted(found for box in boxes for found in self._roundest(box, rough)):
            told.setdefault(row[-1], row)
        return list(told.values())[:most]

    # ---------------------------------------------------------------- demands

    def _masks(self, keeps: Callable[[Part], bool]) -> list[int]:
        """Of each post the places that keep a demand, as bits."""
        known = {
            key: sum(1 << (place - self._base) for place, part in places.items() if keeps(part))
            for key, places in {id(one): one for one in self._posts}.items()
        }
        return [known[id(places)] for places in self._posts]

    def _demanded(self, boxes: Sequence[_Box], keeps: Callable[[Part], bool]) -> list[_Box]:
        """The boxes with what keeps a demand, as far as they still hold a row."""
        masks = self._masks(keeps)
        found = []
        for box in boxes:
            places = tuple(a & b for a, b in zip(box.places, masks, strict=True))
            less = _Box(places, box.widths).narrowed(
                lambda each: tuple(width for width in each if keeps(width.part))
            )
            if less.holds_a_row:
                found.append(less)
        return found

    def _strictest(self, boxes: list[_Box], value: Callable[[Part], float]) -> list[_Box]:
        """The boxes with what has the greatest value, as far as a row has it throughout."""
        parts = [part for places in self._posts for part in places.values()]
        parts += [width.part for widths in self._widths for width in widths]
        values = sorted(set(map(value, parts)))
        low, high, best = 0, len(values) - 1, boxes  # every row has the least value
        while low < high:
            middle = (low + high + 1) // 2
            least = values[middle]
            found = self._demanded(boxes, partial(_at_least, value, least))
            if found:
                low, best = middle, found
            else:
                high = middle - 1
        return best

    def _room(self, part: Part) -> float:
        return inf if part.room == inf else floor(part.room / self._mark + SAME)

    def _alike(self, box: _Box, by: int) -> list[_Box]:
        """Boxes whose widths differ by no more than so much, one for each least width."""
        first, last = _ends(box.places[0]), _ends(box.places[-1])
        beyond = sum(each[0].size - each[0].marks * self._unit for each in box.widths)
        # the middle width of a row lies between its least and its widest one
        low, high = (
            ((last[one] - first[1 - one]) * self._unit + beyond) / len(box.widths) for one in (0, 1)
        )
        return [
            one
            for start, one in _windows(box, lambda width: width.size, lambda width: width.size, by)
            if low - by <= start <= high and one.holds_a_row
        ]

    def _gaps_alike(self, boxes: Sequence[_Box], marks: int) -> list[_Box]:
        """Boxes whose end gaps differ by so many marks when rounded, one for each narrowest gap."""
        by = (marks + 0.5) * self._mark - SAME
        return [
            one
            for box in boxes
            for _, one in _windows(
                box, lambda width: width.part.gaps[0], lambda width: width.part.gaps[1], by
            )
            if one.holds_a_row
        ]

    def _roundest(self, box: _Box, rough: Callable[[int], int]) -> Iterator[_Found]:
        """Of the rows of a box the best to each place of the last post, behind what tells them."""
        best: dict[int, _Found] = {
            place: (rough(place), -place, (place,))
            for place in self._posts[0]
            if box.places[0] >> (place - self._base) & 1
        }
        for places, widths in zip(box.places[1:], box.widths, strict=True):
            further: dict[int, _Found] = {}
            for before, (cost, first, row) in best.items():
                for width in widths:
                    place = before + width.marks
                    if places >> (place - self._base) & 1:
                        told = (cost + rough(place), first, (*row, place))
                        if place not in further or told < further[place]:
                            further[place] = told
            best = further
        for place, (cost, first, row) in best.items():
            yield cost, place + first, row


def _keeps(bit: int, part: Part) -> bool:
    return not part.lost >> bit & 1


def _at_least(value: Callable[[Part], float], least: float, part: Part) -> bool:
    return value(part) >= least


def _windows(
    box: _Box, low: Callable[[Width], float], high: Callable[[Width], float], by: float
) -> Iterator[tuple[float, _Box]]:
    """The box with the widths from a start to so much beyond, for each start of a width."""
    ordered = {id(each): sorted(each, key=low) for each in box.widths}
    starts = {key: list(map(low, each)) for key, each in ordered.items()}
    for start in sorted({one for each in starts.values() for one in each}):
        kept = {}
        for key, each in ordered.items():
            part = each[bisect_left(starts[key], start) : bisect_right(starts[key], start + by)]
            kept[key] = tuple(width for width in part if high(width) <= start + by)
        if all(kept.values()):
            yield start, _Box(box.places, tuple(kept[id(each)] for each in box.widths))


def _ends(places: int) -> tuple[int, int]:
    """The lowest and the highest bit."""
    return (places & -places).bit_length() - 1, places.bit_length() - 1


def _least(start: int, step: int, boxes_at: Callable[[int], list[_Box]]) -> list[_Box]:
    """The boxes at the least number from a start on at which there are any."""
    low, high = start, start
    while not (best := boxes_at(high)):
        low, high = high + 1, high + step
        step *= 2
    while low < high:
        middle = (low + high) // 2
        if found := boxes_at(middle):
            high, best = middle, found
        else:
            low = middle + 1
    return best
