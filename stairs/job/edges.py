"""Level runs by the edges of their deck or landing: from what a tape finds to post centres.

A tape finds the edge of a deck from wall to corner, from corner to stair.  Posts are set in from it
by rule, half a base plate and the distance that the plate keeps from an edge, or stand outside of
it, fixed to its side; one post stands in a corner and serves both runs; at a stair its own top or
foot post is the first of the run.  What is left between the end posts is the span.

A stair that opens an edge is measured to its nosing where the run goes on in line with it, and to
its tread ends where the run goes along the edge beside it.  Posts of such a flight that are left
open are put where the rule has them, with room for measuring error, on the tape's marks.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from stairs.errors import JobError, MeasurementMissing, MeasurementsContradict, NoSuchShape
from stairs.job.key_notes import value_of, with_values
from stairs.job.measured import tolerances_of
from stairs.job.mitre import HALF_TURN, billionth, mitre_shift
from stairs.job.records import Job, JobFlight, JobLevel, PostKind
from stairs.job.sections import section_where
from stairs.job.table import Table, joined
from stairs.lengths.tape_marks import ceil_to_mark, marked_text
from stairs.relations.measured_flight import fix_flight
from stairs.relations.quantities import FLIGHT_KEYS

QUARTER = 90

Sections = Sequence[JobFlight | JobLevel]


class _End(Struct, frozen=True):
    """From an end of an edge in to the post there, below 0 outside of it, and what ends it."""

    inset: Fraction
    name: str
    wall: bool = False


def with_edges(
    top: Table, sections: Sections, post: PostKind, assumed: list[str]
) -> tuple[JobFlight | JobLevel, ...]:
    """The sections with the span of every level run that is given by its edge.

    Also where such a run puts the end posts of a flight whose posts are left open, how far from the
    edge a run stands whose first post is a stair's, and, where the two edges of a quarter landing
    tell it, the width of the flights.  ``assumed`` gets a line for each.

    Raises
    ------
    NoSuchShape
        An edge is too short for what stands on it.
    MeasurementsContradict
        An edge and a span, or the posts listed, or the edge and a stair's post, disagree.
    MeasurementMissing
        A run meets its neighbour so that its edge does not tell where its post stands.
    """
    if not any(_has_edge(section) for section in sections):
        return tuple(sections)
    return _Edges(top, sections, post, assumed).completed()


def _has_edge(section: JobFlight | JobLevel) -> bool:
    return isinstance(section, JobLevel) and section.measured.edge is not None


class _Edges:
    """The edges of one job."""

    def __init__(self, top: Table, sections: Sections, post: PostKind, assumed: list[str]) -> None:
        self.top, self.post, self.assumed = top, post, assumed
        self.tape: Fraction = top.read_one(Job, "tape")
        self.within = tolerances_of(top)
        self.sections = list(sections)
        self.insets = [post.inset] * len(self.sections)  # of each run, from its edge

    def completed(self) -> tuple[JobFlight | JobLevel, ...]:
        """All sections, each level run with its span."""
        runs = [n for n, one in enumerate(self.sections) if isinstance(one, JobLevel)]
        for index in runs:
            framing = self.sections[index].framing
            if framing is not None and framing.edge_to_post is not None:
                self.insets[index] = framing.edge_to_post
        for index in runs:
            if any(_has_edge(one) for one in self._surface(index)):
                self._place_flights(index)
        for index in runs:
            if _has_edge(self.sections[index]):
                self._settle(index)
        for index in range(len(self.sections) - 3):
            self._tell_width(index)
        return tuple(self.sections)

    # ---------------------------------------------------------------- neighbours

    def _goes_on(self, index: int) -> bool:
        """Whether a section, from 0, goes on from a post of the one before it."""
        if not 0 < index < len(self.sections):
            return False
        before, section = self.sections[index - 1], self.sections[index]
        return section.ends.start != "wall" and before.ends.end != "wall"

    def _surface(self, index: int) -> list[JobFlight | JobLevel]:
        """The level runs that go on from each other, of which this is one."""
        low = high = index
        while self._goes_on(low) and isinstance(self.sections[low - 1], JobLevel):
            low -= 1
        while self._goes_on(high + 1) and isinstance(self.sections[high + 1], JobLevel):
            high += 1
        return self.sections[low : high + 1]

    def _inwards(self, index: int, run: int) -> Fraction:
        """By how much a section turns towards the deck of a level run beside it [degrees]."""
        turn = self.sections[index].ends.turn
        return -turn if self.sections[run].hand == "left" else turn

    def _beside(self, index: int) -> Fraction:
        """From a post of the section before to the first one of this, where that is its own."""
        ends = self.sections[index].ends
        return self.post.width + (ends.post_gap or 0) if ends.start == "own" else Fraction(0)

    # ---------------------------------------------------------------- flights

    def _head_of(self, section: JobFlight) -> Fraction | None:
        """Where the landing over a flight begins, from its first nosing; None where not known."""
        if section.steps.nosings is not None:
            return section.steps.nosings[-1][0]
        given = {
            name: Fraction(value)
            for key, name in FLIGHT_KEYS.items()
            if (value := value_of(section, key)) is not None
        }
        try:
            values = fix_flight(given, top=section.steps.top, within=self.within).values
        except JobError:  # told, in its own words, when the flight is solved
            return None
        run = values["total_run"]
        return run if isinstance(run, Fraction) else billionth(float(run))

    def _place_flights(self, index: int) -> None:
        """Put the open end posts of the flights that a run meets, and take its inset from them."""
        half = self.post.foot / 2
        if self._goes_on(index + 1) and isinstance(self.sections[index + 1], JobFlight):
            after = self.sections[index + 1]
            if after.posts is None:
                self.sections[index + 1] = with_values(
                    after, first_post=-ceil_to_mark(half, self.tape)
                )
        before = self.sections[index - 1] if self._goes_on(index) else None
        if not isinstance(before, JobFlight):
            return
        head, inset = self._head_of(before), self.insets[index]
        if head is None:
            return
        beside = self._inwards(index, index) == -QUARTER
        if before.posts is None:
            framing = self.sections[index].framing
            if framing is None or framing.edge_to_post is None:
                inset += self._room(before)
            last = ceil_to_mark(head + max(inset, half), self.tape)
            self.sections[index - 1] = with_values(before, last_post=last)
        else:
            last = before.posts[-1]
        if not beside:
            return
        if self.post.outside is not None and _has_edge(self.sections[index]):
            raise MeasurementMissing(
                joined(self._where(index), "edge"),
                "does not tell where the run stands: posts are fixed to the side of the deck, "
                "outside its edge, and the first one is the stair's, behind its top nosing",
                "A run goes on in the line of the post that it shares",
                "Give span instead, centre of first post to centre of last",
                ("span",),
            )
        self.insets[index] = last - head
        framing = self.sections[index].framing
        if framing is None or not _has_edge(self.sections[index]):
            return
        told = framing.edge_to_post
        if told is not None and before.posts is not None and told != last - head:
            raise MeasurementsContradict(
                joined(self._where(index), "framing: edge_to_post"),
                f"is {self._show(told)}, and the stair's last post stands "
                f"{self._show(last - head)} behind its top nosing, which is the edge: they differ "
                f"by {self._show(abs(told - last + head))}",
                "The stair's post is the first one of the run and stands in its line",
                "Correct posts of the flight, or leave out edge_to_post or the posts",
                (float(told), float(last - head)),
            )
        self.sections[index] = replace(
            self.sections[index], framing=replace(framing, edge_to_post=last - head)
        )

    def _room(self, flight: JobFlight) -> Fraction:
        """By how much errors of measuring may bring plates nearer to the nosings before them.

        Half of what a plate is off, what its place and that of one like it are, and what the run
        is, or every single one.
        """
        off = self.within.of
        run = off("run")
        if flight.steps.unit_run is not None:
            run = off("unit_run") * (flight.steps.treads or flight.steps.risers or 1)
        return run + off("post.base" if self.post.base else "post.width") / 2 + 2 * off("posts")

    # ---------------------------------------------------------------- both ends of an edge

    def _start(self, index: int) -> _End:
        section = self.sections[index]
        assert isinstance(section, JobLevel)  # which alone has an edge
        if section.ends.start == "wall":
            return _End(Fraction(0), "the wall", wall=True)
        if not self._goes_on(index):
            if index and section.ends.start == "own":  # behind a wall at which the last run stopped
                inset = (section.ends.post_gap or Fraction(0)) + self.post.width / 2
                return _End(inset, "the wall")
            return self._free(index, section, "start")
        before, turn = self.sections[index - 1], self._inwards(index, index)
        beside = self._beside(index)
        if isinstance(before, JobLevel):
            inset, _ = self._corner(index, turn)
            return _End(inset + beside if turn else beside / 2, _corner_name(turn))
        if turn == -QUARTER:
            return _End(before.build.side_gap + beside, "the stair's tread ends")
        if turn:
            raise self._askew(index, index, before)
        head = self._head_of(before)
        if head is None:
            return _End(Fraction(0), "the stair's top nosing")
        last = before.ends.last_post if before.posts is None else before.posts[-1]
        return _End((last or head) - head + beside, "the stair's top nosing")

    def _end(self, index: int) -> _End:
        section, after = self.sections[index], index + 1
        assert isinstance(section, JobLevel)  # which alone has an edge
        if section.ends.end == "wall":
            return _End(Fraction(0), "the wall", wall=True)
        if not self._goes_on(after):
            return self._free(index, section, "end")
        above, turn = self.sections[after], self._inwards(after, index)
        if isinstance(above, JobLevel):
            _, inset = self._corner(after, turn)
            return _End(inset if turn else self._beside(after) / 2, _corner_name(turn))
        if turn == -QUARTER:
            return _End(above.build.side_gap, "the stair's tread ends")
        if turn == QUARTER:  # the stair goes up beside the far edge
            return _End(self.insets[index], "the corner")
        if turn:
            raise self._askew(index, after, above)
        first = above.ends.first_post if above.posts is None else above.posts[0]
        return _End(-(first or Fraction(0)) + self._beside(after), "the stair's first nosing")

    def _free(self, index: int, section: JobLevel, end: str) -> _End:
        """The end of an edge at which no section goes on."""
        if section.measured.opening in (end, "both"):
            return _End(self.post.foot / 2, "the opening")
        return _End(self.insets[index], "the end of the edge")

    def _corner(self, upper: int, turn: Fraction) -> tuple[Fraction, Fraction]:
        """From the corner of two edges in to its post, along the upper one and the lower one."""
        below, above = self.insets[upper - 1], self.insets[upper]
        if turn == 0:
            return Fraction(0), Fraction(0)
        shift = mitre_shift(turn, below, above)
        if shift is None:
            raise self._askew(upper if _has_edge(self.sections[upper]) else upper - 1, upper, None)
        return shift.start, -shift.end

    def _askew(self, index: int, turning: int, flight: JobFlight | None) -> MeasurementMissing:
        degrees = float(self.sections[turning].ends.turn)
        what = "the stair" if flight is not None else "the run before"
        return MeasurementMissing(
            joined(self._where(index), "edge"),
            f"does not tell where the post stands at {what}, from which section {turning + 1} "
            f"turns by {degrees:g} degrees",
            "An edge is measured to a corner, to a wall, to the nosing of a stair in line with it, "
            "or to the tread ends of a stair that it leaves square",
            "Give span instead, centre of first post to centre of last",
            ("span",),
        )

    # ---------------------------------------------------------------- the span

    def _refuse_opening(self, index: int, section: JobLevel) -> None:
        """Refuse a stair's opening where the guard goes on, or at a wall."""
        ends = section.ends
        for end, wall, other in (("start", ends.start, index), ("end", ends.end, index + 1)):
            opening = section.measured.opening
            if opening not in (end, "both") or not (wall == "wall" or self._goes_on(other)):
                continue
            beside = index if end == "start" else index + 2  # its number
            what = "there is a wall" if wall == "wall" else f"section {beside} has its post there"
            raise JobError(
                joined(self._where(index), "opening"),
                f'is "{opening}", and at the {end} {what}',
                "It tells of a stair that is no section of this job: the guard ends there",
                "Leave it out; what lies beyond such a stair is a job of its own",
            )

    def _settle(self, index: int) -> None:
        """The run with its span, which its edge and both its ends tell."""
        section = self.sections[index]
        assert isinstance(section, JobLevel) and section.measured.edge is not None
        self._refuse_opening(index, section)
        edge, low, high = section.measured.edge, self._start(index), self._end(index)
        span = edge - low.inset - high.inset
        half = self.post.foot / 2
        least = sum((Fraction(0) if one.wall else half for one in (low, high)), Fraction(0))
        if span < least or span <= 0:
            self._refuse_small(index, edge, span, least, low, high)
        typed: Mapping[str, Any] = self.top.values["section"][index]
        made = f"edge {self._show(edge)}: posts {self._words(low, high)}: span {self._show(span)}"
        given = next((key for key in ("span", "posts") if key in typed), None)
        if given is None:
            self.assumed.append(joined(section_where(index + 1, section.name), made))
        elif abs(span - section.span) > max(self.within.of("edge"), self.within.of(given)):
            raise MeasurementsContradict(
                joined(self._where(index), "edge"),
                f"is {self._show(edge)}, which with posts {self._words(low, high)} leaves a span "
                f"of {self._show(span)}, and "
                f"{'span is' if given == 'span' else 'the posts listed stand'} "
                f"{self._show(section.span)}{'' if given == 'span' else ' from first to last'}, "
                f"which differs by {self._show(abs(span - section.span))}",
                "Either tells how long the run is",
                f"Leave out one of them, or measure again: edge from end to end, {given} from "
                "centre to centre",
                (float(span), float(section.span)),
            )
        else:
            span = section.span  # they agree within the tape; what was given of the posts is kept
        framing = section.framing
        if self.post.outside is not None and framing is not None:
            self.assumed.append(
                joined(
                    section_where(index + 1, section.name),
                    "framing: posts are fixed to the side of the deck; no blocks are listed",
                )
            )
            framing = replace(framing, unknown=True)
        measured = replace(section.measured, at_start=low.inset, at_end=high.inset)
        self.sections[index] = replace(section, span=span, measured=measured, framing=framing)

    def _refuse_small(
        self, index: int, edge: Fraction, span: Fraction, least: Fraction, low: _End, high: _End
    ) -> None:
        needs = edge - span + least
        feet = "plate" if self.post.base else "post"
        walls = low.wall + high.wall
        stands = ("two {}s", "a {}", "a rail")[walls].format(feet)
        raise NoSuchShape(
            joined(self._where(index), "edge"),
            f"{self._show(edge)} is {self._show(needs - edge)} too small for what stands on it"
            if needs > edge
            else f"{self._show(edge)} leaves nothing between the walls",
            f"With posts {self._words(low, high)}, {stands} "
            f"{'' if walls == 2 else self._show(self.post.foot) + ' wide '}"
            f"need{'s' if walls else ''} an edge of {self._show(needs)} at least",
            "Measure the edge again; or take smaller plates or a smaller edge_distance, or leave "
            "this run out where one post in the corner is enough",
        )

    def _words(self, low: _End, high: _End) -> str:
        return f"{self._from(low)} and {self._from(high)}"

    def _from(self, end: _End) -> str:
        if end.wall:
            return "up to the wall"
        if not end.inset:
            return f"at {end.name}"
        way = "in from" if end.inset > 0 else "out past"
        return f"{self._show(abs(end.inset))} {way} {end.name}"

    # ---------------------------------------------------------------- widths

    def _tell_width(self, index: int) -> None:
        """The width of two flights that meet square at a landing, from both its outer edges.

        The inner corner has one post, which ends the guard of either flight on the left hand: each
        flight is as wide as the run across its end is long.
        """
        low, side, far, high = self.sections[index : index + 4]
        if not (
            isinstance(low, JobFlight) and isinstance(side, JobLevel)
            and isinstance(far, JobLevel) and isinstance(high, JobFlight)
        ):  # fmt: skip
            return
        both = all(one.hand == "both" for one in (low, side, far, high))
        turns = [one.ends.turn for one in (side, far, high)]
        shared = all(
            self._goes_on(n) and self.sections[n].ends.start == "post"
            for n in range(index + 1, index + 4)
        )
        if not (both and shared and turns == [0, QUARTER, 0]):
            return
        if not (_has_edge(side) and _has_edge(far)):
            return
        if any(one.width is not None for one in self.sections):
            return
        wide = [far.span - 2 * low.build.side_gap, side.span - 2 * high.build.side_gap]
        for place, width in zip((index, index + 3), wide, strict=True):
            if width <= self.post.foot:
                return
            section = self.sections[place]
            self.sections[place] = replace(section, width=width)
            self.assumed.append(
                joined(
                    section_where(place + 1, section.name),
                    f"width {self._show(width)}, by the edges of the landing, with one post in its "
                    "inner corner",
                )
            )

    def _where(self, index: int) -> str:
        section = self.sections[index]
        return joined(self.top.where, section_where(index + 1, section.name))

    def _show(self, length: Fraction) -> str:
        return marked_text(length, self.top.units, self.tape)


def _corner_name(turn: Fraction) -> str:
    return "the corner" if turn % HALF_TURN else "the run beside it"
