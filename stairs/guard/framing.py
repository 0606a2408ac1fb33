"""Framing: where the posts of a level run land on the joists and boards of the deck.

A bolt-down post is only as good as what is under its plate.  Before the decking goes on, a block of
two framing boards, fastened face to face, is fitted between the joists under every post; a post
over a joist gets one on either side of it (common practice; no source).  Bolts that come down on a
joist have no room for a nut, and bolts over the gap between two boards clamp nothing.

Places are given as in the plan of the run: ``x`` along it from the first post's centre, ``inset``
square to it from the deck edge inwards.
"""

from __future__ import annotations

from collections.abc import Sequence
from copy import copy
from fractions import Fraction
from math import floor

from msgspec.structs import replace

from stairs.errors import NoSuchShape
from stairs.guard.framing_plan import Block, FramingPlan, Joist, PostFraming
from stairs.guard.left_line import BOTH, LEFT, framing_differs
from stairs.guard.lines import line_of
from stairs.job import Framing, Job, section_where
from stairs.lengths.tape_marks import exact_text, length_text

ACROSS, ALONG = "across", "along"
BOARDS_IN_A_BLOCK = 2


def framing_of(
    job: Job, index: int, positions: Sequence[Fraction], walls: Sequence[bool] = ()
) -> FramingPlan | None:
    """The framing under one section, or None where the job tells nothing of it."""
    deck = deck_under(job, index)
    if deck is None:
        return None
    walls = walls or [False] * len(positions)
    return deck.plan(
        [
            deck.post(number, x)
            for number, (x, wall) in enumerate(zip(positions, walls, strict=True), start=1)
            if not wall
        ],
        (positions[0], positions[-1]),
    )


def deck_under(job: Job, index: int) -> Deck | None:
    """The joists and boards under one section, or None where the job tells nothing of them."""
    section = job.sections[index]
    if section.framing is None or section.framing.unknown:
        return None
    deck = Deck(job, index, section.framing)
    return deck.reaching(Fraction(0)) if _stair_lies_before(job, index) else deck


def _stair_lies_before(job: Job, index: int) -> bool:
    """Whether a run begins at a stair's head and leaves it behind: the deck goes on over there."""
    section, goes_on = job.sections[index], line_of(job, index).begins is None
    if not index or not goes_on or job.sections[index - 1].kind != "flight":
        return False
    away = -1 if section.hand != LEFT else 1
    return section.ends.start == "post" and section.ends.turn == 90 * away


class Deck:
    """One deck's joists and boards, exactly."""

    def __init__(self, job: Job, index: int, framing: Framing) -> None:
        section = job.sections[index]
        where = section_where(index + 1, section.name, file=job.where)
        self.left_line = line_of(job, index).opposite_of != 0
        if framing.outside:  # the joist that lies there is counted too
            first = framing.first_joist - framing.joist_spacing
            framing = replace(framing, first_joist=first)
        self.job, self.framing, self.section = job, framing, section
        self.across = framing.direction == ACROSS
        kind = job.post
        self.inset: Fraction = framing.edge_to_post or kind.inset
        self.reach: Fraction | None = None
        self.radius = framing.bolt_diameter / 2
        if kind.base is not None:
            self.reach = kind.base / 2 - framing.bolt_inset
            self._refuse_bolts_off_plate(kind.base, self.reach, where)
        self.board_gap = framing.board_gap or Fraction(0)
        self.board_pitch = (framing.board_width or Fraction(0)) + self.board_gap
        # boards across the joists lie side by side along the joists
        on_joist_axis = framing.board_direction == ALONG
        self.gaps_on_x = self.across == on_joist_axis
        first_board = -self.inset if self.gaps_on_x else Fraction(0)
        self.first_board = first_board if framing.first_board is None else framing.first_board

    def _refuse_bolts_off_plate(self, base: Fraction, reach: Fraction, where: str) -> None:
        inset = self.framing.bolt_inset
        if reach > self.radius and inset > self.radius:
            return
        units = self.job.units
        raise NoSuchShape(
            f"{where}: framing: bolt_inset",
            f"{exact_text(inset, units)} puts a bolt of "
            f"{exact_text(self.framing.bolt_diameter, units)} outside its corner of a base plate "
            f"of {exact_text(base, units)}",
            f"It is more than {exact_text(self.radius, units)} and less than "
            f"{exact_text(base / 2 - self.radius, units)}",
            "Measure from the plate's edge to the middle of a bolt hole",
        )

    def show(self, value: Fraction) -> str:
        """A length on the nearest mark of the tape, with its unit."""
        return length_text(value, self.job.units, self.job.tape)

    # ---------------------------------------------------------------- joists

    def joist(self, number: int) -> Fraction:
        """Where a joist's centre lies, on the joists' axis [job's unit of length].

        Notes
        -----
        ``first_joist + (number - 1) joist_spacing``.
        """
        return self.framing.first_joist + (number - 1) * self.framing.joist_spacing

    def before(self, place: Fraction) -> int:
        """The last joist whose centre is not beyond a place; 0 where it lies before the first.

        Parameters
        ----------
        place : Fraction
            On the joists' axis [job's unit of length].
        """
        passed = floor((place - self.framing.first_joist) / self.framing.joist_spacing)
        return max(passed + 1, 0)

    def under(self, low: Fraction, high: Fraction) -> list[int]:
        """The joists of which a part lies between two places; touching is not lying under.

        Parameters
        ----------
        low, high : Fraction
            On the joists' axis [job's unit of length], ``low`` below ``high``.

        Returns
        -------
        list of int
            Their numbers, from 1.
        """
        half = self.framing.joist_thickness / 2
        first, last = max(self.before(low - half), 1), self.before(high + half)
        return [
            number
            for number in range(first, last + 1)
            if self.joist(number) - half < high and self.joist(number) + half > low
        ]

    def block(self, space: int, centre: Fraction) -> Block | None:
        """The block between joist ``space`` and the next; None where there is no space at all.

        Parameters
        ----------
        space : int
            0 for the space before joist 1.
        centre : Fraction
            Of the post, along the joists [job's unit of length].
        """
        half = self.framing.joist_thickness / 2
        high = self.joist(space + 1) - half
        thickness = float(BOARDS_IN_A_BLOCK * self.framing.joist_thickness)
        if space == 0:
            if not self.across and high <= 0:
                return None
            return Block(None, 1, None, float(high), None, thickness, float(centre))
        low = self.joist(space) + half
        return Block(
            space, space + 1, float(low), float(high), float(high - low), thickness, float(centre)
        )

    # ---------------------------------------------------------------- board gaps

    def gap(self, number: int) -> Fraction:
        """The middle of the gap after a board, on the axis of the gaps [job's unit of length].

        Parameters
        ----------
        number : int
            Of the board, from 1.

        Notes
        -----
        ``first_board + number (board_width + board_gap) - board_gap / 2``.
        """
        return self.first_board + number * self.board_pitch - self.board_gap / 2

    def nearest_gap(self, place: Fraction) -> int:
        """The board, from 1, behind which the gap lies that is nearest to a place."""
        number = floor((place - self.gap(1)) / self.board_pitch + Fraction(1, 2)) + 1
        return max(number, 1)

    # ---------------------------------------------------------------- posts

    def reaching(self, x: Fraction) -> Deck:
        """The same deck, joists and boards counted from farther back, so that ``x`` is on it."""
        other = copy(self)
        if self.across and x < self.framing.first_joist:
            spacing = self.framing.joist_spacing
            more = -((x - self.framing.first_joist) // spacing) * spacing
            other.framing = replace(self.framing, first_joist=self.framing.first_joist - more)
        if self.gaps_on_x and self.framing.board_width is not None:
            pitch = self.board_pitch
            other.first_board -= max(-((x - self.first_board) // pitch) + 1, 0) * pitch
        return other

    def post(self, number: int, x: Fraction, inset: Fraction | None = None) -> PostFraming:
        """What lies under one post; its ``x`` counts from the first one [job's unit of length].

        Parameters
        ----------
        inset : Fraction, optional
            From the deck edge; left out, that of the run.
        """
        inset = self.inset if inset is None else inset
        on_axis, along = (x, inset) if self.across else (inset, x)
        half = self.job.post.width / 2 if self.reach is None else self.reach + self.radius
        on = self.under(on_axis - half, on_axis + half)
        space = self.before(on_axis)
        spaces = range(on[0] - 1, on[-1] + 1) if on else (space,)
        blocks = [block for place in spaces if (block := self.block(place, along)) is not None]
        warnings = self._bolt_warnings(on_axis)
        if any(block.low_joist is None for block in blocks):
            warnings.append(
                "there is no joist before joist 1 to carry its block: add one, or measure "
                "to the joist before it"
            )
        to_gap = None
        if self.framing.board_width is not None:
            place = x if self.gaps_on_x else inset
            to_gap = float(self.gap(self.nearest_gap(place)) - place)
            warnings += self._gap_warnings(place)
        nearest = max(space, 1)
        if abs(self.joist(space + 1) - on_axis) < abs(self.joist(nearest) - on_axis):
            nearest = space + 1
        reach = self.reach
        bolts = (
            ()
            if reach is None
            else tuple(
                (float(x + a), float(inset + b)) for a in (-reach, reach) for b in (-reach, reach)
            )
        )
        return PostFraming(
            post=number,
            x=float(x),
            inset=float(inset),
            lands=_lands(on, space),
            on_joists=tuple(on),
            nearest_joist=nearest,
            to_joist=float(self.joist(nearest) - on_axis),
            blocks=tuple(blocks),
            bolts=bolts,
            to_gap=to_gap,
            warnings=tuple(warnings),
        )

    def _hit(self, place: Fraction) -> list[int]:
        """The joists that one of the two rows of bolts of a post at a place comes down on."""
        reach = self.reach or Fraction(0)
        rows = (place - reach, place + reach)
        return [
            number for row in rows for number in self.under(row - self.radius, row + self.radius)
        ]

    def _bolt_warnings(self, place: Fraction) -> list[str]:
        if self.reach is None:
            return []
        hit = self._hit(place)
        if not hit:
            return []
        clear = self.framing.joist_thickness / 2 + self.radius
        free = sorted(
            (
                shift
                for number in hit
                for side in (-self.reach, self.reach)
                for edge in (-clear, clear)
                if not self._hit(place + (shift := self.joist(number) + edge - side - place))
                and (self.across or shift > 0)
            ),
            key=abs,
        )
        names = " and ".join(f"joist {number}" for number in sorted(set(hit)))
        text = f"bolts come down on the edge of {names}"
        if free:
            way = "along the run" if self.across else "farther from the deck edge"
            sign = "" if not self.across else ", up" if free[0] > 0 else ", down"
            text += f": {self.show(abs(free[0]))} {way}{sign} they would clear it"
        else:
            text += ": move the joist"
        return [text]

    def _gap_warnings(self, place: Fraction) -> list[str]:
        if self.reach is None or not self.board_gap:
            return []
        over = []
        for row in (place - self.reach, place + self.reach):
            number = self.nearest_gap(row)
            if abs(self.gap(number) - row) < self.board_gap / 2 + self.radius:
                over.append(number)
        return [
            f"bolts sit over the gap between boards {number} and {number + 1}" for number in over
        ]

    # ---------------------------------------------------------------- the whole run

    def plan(
        self,
        posts: Sequence[PostFraming],
        ends: tuple[Fraction, Fraction],
        notes: Sequence[str] | None = None,
    ) -> FramingPlan:
        """The framing of the whole run.

        Parameters
        ----------
        ends : tuple of (Fraction, Fraction)
            From where to where along the run its joists are listed [job's unit of length].
        notes : sequence of str, optional
            What to say of the other hand; left out, what holds for the run's own hands.
        """
        framing = self.framing
        low, high = ends if self.across else (Fraction(0), self.inset)
        last = self.before(high) + 1
        joists = [Joist(n, float(self.joist(n))) for n in range(max(self.before(low), 1), last + 1)]
        gaps: list[float] = []
        if framing.board_width is not None:
            low, high = ends if self.gaps_on_x else (Fraction(0), self.inset)
            first, final = self.nearest_gap(low - self.inset), self.nearest_gap(high) + 1
            gaps = [float(self.gap(number)) for number in range(first, final + 1)]
        return FramingPlan(
            direction=framing.direction,
            board_direction=framing.board_direction,
            joist_axis="x" if self.across else "inset",
            gap_axis="x" if self.gaps_on_x else "inset",
            joist_spacing=float(framing.joist_spacing),
            joist_thickness=float(framing.joist_thickness),
            joist_depth=None if framing.joist_depth is None else float(framing.joist_depth),
            edge_to_post=float(self.inset),
            bolt_diameter=float(framing.bolt_diameter),
            board_gap=None if framing.board_gap is None else float(framing.board_gap),
            joists=tuple(joists),
            gaps=tuple(gaps),
            posts=tuple(posts),
            notes=(*self._notes(), *(self._hand_notes() if notes is None else notes)),
        )

    def _notes(self) -> list[str]:
        framing, notes = self.framing, []
        if not self.across and framing.first_joist < framing.joist_thickness / 2:
            notes.append(
                "joist 1, counted on at the spacing, lies past the deck edge: the joist at the "
                "edge stands there instead, so cut the blocks to that"
            )
        thickness = BOARDS_IN_A_BLOCK * framing.joist_thickness
        if self.reach is not None:
            wide = 2 * (self.reach + self.radius)
            if wide > thickness:
                depth = framing.joist_depth
                how = "" if depth is None or depth < wide else f", {self.show(depth)} wide"
                notes.append(
                    f"the bolts take {self.show(wide)} along the joists and a block on edge is "
                    f"{self.show(thickness)} thick: lay its boards flat{how}"
                )
        if framing.edge_to_post is None:
            notes.append(
                f"assumed: posts stand {self.show(self.inset)} from the deck edge, centre to edge"
            )
        if framing.board_width is not None and framing.first_board is None:
            place = f"{self.show(self.inset)} before the first post" if self.gaps_on_x else ""
            edge = f"the deck's end, {place}" if place else "the deck edge"
            notes.append(f"assumed: the first board begins at {edge}")
        return notes

    def _hand_notes(self) -> list[str]:
        """What the posts of the other hand stand on, where they are not a section of their own."""
        if self.left_line:
            if not framing_differs(self.section):
                return []
            return [
                "joists and boards are counted on from the right-hand edge of the deck at their "
                "spacing; where the last space before this edge is another, measure from here"
            ]
        if self.section.hand != BOTH:
            return []
        if framing_differs(self.section):
            return [
                "these are the right-hand posts; what lies under the left-hand ones follows from "
                "how far the two stand apart, which the job does not say (width)"
            ]
        return [
            "the left-hand posts stand over the same joists at the same places: every block twice, "
            "one for either hand"
        ]


def _lands(on: Sequence[int], space: int) -> str:
    if len(on) == 1:
        return f"on joist {on[0]}"
    if on:
        return f"on joists {on[0]} to {on[-1]}"
    return f"between joists {space} and {space + 1}" if space else "before joist 1"
