"""Scores: what a layout comes to by its posts and its bays, and which of two is the better one.

The objective stands in :mod:`stairs.layout.search`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from fractions import Fraction
from functools import cached_property, reduce
from itertools import pairwise
from math import ceil, floor, inf, lcm
from operator import and_, or_
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from stairs.job import Job
from stairs.layout.room import END_GAP, Rooms
from stairs.layout.rows import Part, Rows, Width
from stairs.numbers.tolerances import SAME
from stairs.parts.post_places import EQUAL, NEARLY, WHOLE, Ground, Places

KEPT = ("rail stock", "openings", "end gaps", "post stock", "edge distance", "nosings", "spacing")
"""What a layout keeps where it can, the most important first."""


_MOST_ERRORS = 8


class Candidate(Struct, frozen=True):
    """One layout and its score.

    Parameters
    ----------
    places : Places
        Post centres, the step of each, and how alike the bays are.
    given_up : tuple of bool
        For each of :data:`KEPT` whether it is given up.
    end_gaps : tuple of float
        The narrowest and the widest end gap.
    room : float or None
        At the tightest opening beside a post, limit less ball; None where no rule holds there.
    errors : int
        How many times what one measurement may be off by there is room for, up to eight: beside a
        post, also where measuring error loses a baluster close to a cut; of a plate beyond its edge
        distance once for each measurement that it rests on.
    uneven : Fraction
        By how much the widest bay is wider than the narrowest.
    """

    places: Places
    given_up: tuple[bool, ...]
    end_gaps: tuple[float, float]
    room: float | None
    tightest: str
    errors: int
    uneven: Fraction

    @property
    def positions(self) -> tuple[Fraction, ...]:
        """Post centres [job's unit of length]."""
        return self.places.positions

    @property
    def steps(self) -> tuple[int, ...]:
        """The step that each post stands on; empty on a level run."""
        return self.places.steps

    @property
    def alike(self) -> int:
        """See :class:`stairs.parts.post_places.Places`."""
        return self.places.alike

    @property
    def bays(self) -> int:
        """How many bays."""
        return len(self.places.marks) - 1

    @property
    def spacings(self) -> tuple[Fraction, ...]:
        """Post centre to post centre, level, foot of the section first."""
        return tuple(high - low for low, high in pairwise(self.positions))


def _bits(lost: Sequence[bool]) -> int:
    return sum(each << bit for bit, each in enumerate(lost))


Key = tuple[Any, ...]  # what layouts are ordered by; smaller is better


class Scores:
    """Scores of the layouts of one section, and its best rows of posts."""

    def __init__(
        self, job: Job, facts: Rooms, ground: Ground | None, span: Fraction | None
    ) -> None:
        self.job, self.facts, self.ground, self.span = job, facts, ground, span
        self._mark, self._within = float(job.tape), float(job.measured_within)
        self._most = float(facts.most_spacing)
        self._bays: dict[tuple[float, bool, bool, str], Part | None] = {}
        self._known: dict[tuple[object, ...], tuple[Width, ...]] = {}

    # ---------------------------------------------------------------- which is best

    def key(self, candidate: Candidate) -> Key:
        """The objective: smaller is better."""
        mark, places = self._mark, candidate.places
        room = 0.0 if candidate.room is None else candidate.room
        spread = candidate.end_gaps[1] - candidate.end_gaps[0]
        return (
            candidate.given_up,
            candidate.bays + (places.alike == NEARLY),
            places.alike,
            -candidate.errors,
            candidate.uneven if places.alike == NEARLY else 0,
            floor(spread / mark + 0.5),
            -floor(room / mark + SAME),
            sum(self.facts.rough(number, places.mark) for number in places.marks),
            candidate.positions[-1] - candidate.positions[0],
            candidate.positions,
        )

    def rows(
        self,
        bays: int,
        widest: Fraction | None,
        worth: Callable[[tuple[bool, ...]], bool],
        most: int,
    ) -> list[Places]:
        """The best of all rows of posts with a number of bays.

        Parameters
        ----------
        bays : int
            1 or more.
        widest : Fraction or None
            The greatest distance between post centres, level; None: any.
        most : int
            How many are wanted at most.
        """
        rows = list(self._rows(bays, widest, worth, most))
        if rows and all(places.two_on_a_tread for places in rows):
            narrowest = 0.0 if self.ground is None else float(self.ground.longest)
            rows = list(self._rows(bays, widest, worth, most, narrowest))
        return [places for places in rows if not places.two_on_a_tread]

    def _rows(
        self,
        bays: int,
        widest: Fraction | None,
        worth: Callable[[tuple[bool, ...]], bool],
        most: int,
        narrowest: float = 0.0,
    ) -> Iterator[Places]:
        posts = [self._posts[0], *[self._posts[1]] * (bays - 1), self._posts[2]]
        if not all(posts) or (self.ground is not None and bays > self.ground.risers):
            return
        lost = reduce(
            or_, (self._always_lost[kind] for kind in ((0, 2) if bays == 1 else range(3)))
        )
        if not worth(tuple(bool(lost >> bit & 1) for bit in range(len(KEPT)))):
            return
        facts, mark = self.facts, self._lattice
        unit = int(mark / self._fine)
        widths = [self._widths(index, bays + 1, widest, narrowest) for index in range(bays)]
        rows = Rows(posts, widths, self._mark, unit)
        for row in rows.best(len(KEPT), lambda x: facts.rough(x, mark), most, worth):
            if self.ground is None:
                yield facts.on_level((*(place * mark for place in row[:-1]), self._span), EQUAL)
            else:
                places = [self._steps[0], *[self._steps[1]] * (bays - 1), self._steps[2]]
                on = tuple(steps[place] or 0 for place, steps in zip(row, places, strict=True))
                yield Places(row, mark, on, EQUAL if bays > 1 else WHOLE)

    @cached_property
    def _lattice(self) -> Fraction:
        """The mark that posts are placed by."""
        return self.job.tape if self.ground is None else self.ground.mark

    @cached_property
    def _fine(self) -> Fraction:
        """What every width is a whole number of."""
        if self.ground is not None:
            return self._lattice
        lengths = self._lattice, self._span, self.facts.half_post
        return Fraction(1, lcm(*(length.denominator for length in lengths)))

    @property
    def _span(self) -> Fraction:
        assert self.span is not None  # asked only of level runs
        return self.span

    @cached_property
    def _steps(self) -> tuple[Mapping[int, int | None], ...]:
        """The places of the first post, of those between and of the last, each with its step."""
        if self.ground is not None:
            return self.ground.places
        end = int(self._span / self._lattice)
        return {0: None}, dict.fromkeys(range(1, end)), {end: None}

    @cached_property
    def _posts(self) -> tuple[dict[int, Part], ...]:
        """The same places with what a post comes to there."""
        length = float(self._lattice)
        return tuple(
            {place: self._post(place * length, step, kind, 3) for place, step in places.items()}
            for kind, places in enumerate(self._steps)
        )

    @cached_property
    def _always_lost(self) -> tuple[int, ...]:
        """What each of them gives up wherever it stands."""
        return tuple(
            reduce(and_, (part.lost for part in places.values()), -1) for places in self._posts
        )

    def _widths(
        self, index: int, count: int, widest: Fraction | None, narrowest: float
    ) -> tuple[Width, ...]:
        """The bays that may follow a post, from where plates do not meet to the widest."""
        facts, mark, last = self.facts, self._lattice, index == count - 2
        rest = self._span % mark if self.ground is None and last else Fraction(0)
        more = int(facts.width(rest, index, count) / self._fine)
        near = max(float(facts.least_spacing(index, count)), narrowest)
        kind = facts.bay_key(index, count)
        key = rest, more, near, widest, kind
        if key not in self._known:
            far = max(self._steps[2]) - min(self._steps[0])
            if widest is not None:
                far = min(far, floor((widest - rest) / mark))
            length, over, unit = float(mark), float(rest), int(mark / self._fine)
            found = []
            for marks in range(max(ceil((near - over) / length - SAME), 1), far + 1):
                part = self._bay(marks * length + over, *kind)
                if part is not None:
                    found.append(Width(marks, marks * unit + more, part))
            self._known[key] = tuple(found)
        return self._known[key]

    def _post(self, x: float, step: int | None, index: int, count: int) -> Part:
        """What one post gives to the score."""
        fit = self.facts.post(x, step, index, count)
        room, tightest = min(fit.rooms, default=(inf, ""))
        lost = (False, fit.fails, False, fit.too_tall, fit.near, fit.under, False)
        return Part(_bits(lost), self._errors(room, fit.edge_room), room, tightest)

    def _bay(self, spacing: float, first: bool, last: bool, way: str) -> Part | None:
        """What one bay gives to the score; None where its brackets find no room."""
        key = (spacing, first, last, way)
        if key not in self._bays:
            self._bays[key] = self._bay_of(*key)
        return self._bays[key]

    def _bay_of(self, spacing: float, first: bool, last: bool, way: str) -> Part | None:
        facts, cut = self.facts, self.facts.bay(spacing, first, last, way)
        if cut is None:
            return None
        room, sure = facts.end_room(cut.end_gaps[1]), facts.end_room(cut.worst_gap)
        told = (cut.end_gaps[1], cut.cut_gap)
        rooms = [facts.end_room(x) for x in told]
        fails = any(one is not None and not facts.passes(one, END_GAP) for one in rooms)
        apart = spacing > self._most + SAME
        lost = _bits((cut.no_stock, False, fails, False, False, False, apart))
        if room is None or sure is None:
            return Part(lost, self._errors(inf, inf), gaps=cut.end_gaps)
        errors = self._errors(min(room, sure), inf)
        return Part(lost, errors, room, END_GAP, cut.end_gaps)

    def _errors(self, room: float, edge_room: float) -> int:
        """How many times what one measurement may be off by there is room for, up to eight."""
        within = self._within
        room = min(room, _MOST_ERRORS * edge_room)
        if not within:
            return 0
        return _MOST_ERRORS if room == inf else min(floor(room / within + SAME), _MOST_ERRORS)

    def scored(self, places: Places) -> list[Candidate]:
        """A layout with its score, its bays told unequal where they are; none if none can stand."""
        facts, positions, count = self.facts, places.positions, len(places.marks)
        steps = places.steps or (None,) * count
        spacings = [high - low for low, high in pairwise(positions)]
        if any(x < facts.least_spacing(i, count) or x <= 0 for i, x in enumerate(spacings)):
            return []
        parts = []
        for index, x in enumerate(spacings):
            part = self._bay(float(x), *facts.bay_key(index, count))
            if part is None:
                return []
            parts.append(part)
        parts += [
            self._post(float(x), step, index, count)
            for index, (x, step) in enumerate(zip(positions, steps, strict=True))
        ]
        widths = [facts.width(x, index, count) for index, x in enumerate(spacings)]
        uneven = max(widths) - min(widths)
        if places.alike == EQUAL and uneven > self.job.tape:
            places = replace(places, alike=NEARLY)
        room, tightest = min((part.room, part.tightest) for part in parts)
        gaps = min(part.gaps[0] for part in parts), max(part.gaps[1] for part in parts)
        lost = tuple(any(part.lost >> bit & 1 for part in parts) for bit in range(len(KEPT)))
        errors = min(part.errors for part in parts)
        told = None if room == inf else room
        return [Candidate(places, lost, gaps, told, tightest, errors, uneven)]
