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
from fractions import Fraction
from math import floor

from msgspec import Struct

from stairs.errors import NoSuchShape
from stairs.job import Job, Level, section_where
from stairs.job_hands import BOTH, framing_differs
from stairs.marks import exact_text, length_text

ACROSS, ALONG = "across", "along"
BOARDS_IN_A_BLOCK = 2


class Joist(Struct, frozen=True):
    """One joist: its number, from 1, and where its centre lies [job's unit of length]."""

    number: int
    centre: float


class Block(Struct, frozen=True):
    """The block in one space between joists; lengths in the job's unit.

    Parameters
    ----------
    low_joist, high_joist : int or None
        The joists that it is fitted between; None where there is none on that side.
    low, high : float or None
        Where its ends lie, on the axis on which joists are counted.
    length : float or None
        Clear between the joists; None where a joist is missing.
    thickness : float
        Of all its boards together.
    centre : float
        Where its middle lies, along the joists.
    """

    low_joist: int | None
    high_joist: int
    low: float | None
    high: float
    length: float | None
    thickness: float
    centre: float


class PostFraming(Struct, frozen=True):
    """What lies under one post; lengths in the job's unit.

    Parameters
    ----------
    post : int
        From 1.
    x, inset : float
        Of its centre.
    lands : str
        ``"between joists 2 and 3"``, ``"on joist 2"`` or ``"before joist 1"``.
    on_joists : tuple of int
        The joists that lie under its bolts or between them.
    nearest_joist : int
        The joist whose centre is nearest.
    to_joist : float
        From the post's centre to that joist's, positive where the joist lies farther along.
    blocks : tuple of Block
        One for each space.
    bolts : tuple of (float, float)
        ``x`` and ``inset`` of each bolt; empty without a base plate.
    to_gap : float or None
        From the post's centre to the middle of the nearest board gap; None where no boards are
        given.
    warnings : tuple of str
        What would have to be changed.
    """

    post: int
    x: float
    inset: float
    lands: str
    on_joists: tuple[int, ...]
    nearest_joist: int
    to_joist: float
    blocks: tuple[Block, ...]
    bolts: tuple[tuple[float, float], ...]
    to_gap: float | None
    warnings: tuple[str, ...]


class FramingPlan(Struct, frozen=True):
    """The framing under one level run; lengths in the job's unit.

    Parameters
    ----------
    direction, board_direction : str
        Joists across or along the guard; boards across or along the joists.
    joist_axis, gap_axis : str
        ``"x"`` or ``"inset"``: what the centres of joists and of board gaps are measured on.
    joist_spacing, joist_thickness, joist_depth : float
        As given; the depth may be None.
    edge_to_post : float
        Deck edge to post centre.
    bolt_diameter, board_gap : float
        As given; the gap may be None.
    joists : tuple of Joist
        Those under and beside the posts.
    gaps : tuple of float
        Middles of the board gaps under and beside the posts.
    posts : tuple of PostFraming
        In order; a wall has none.
    notes : tuple of str
        What holds for all posts, and what was assumed.
    """

    direction: str
    board_direction: str
    joist_axis: str
    gap_axis: str
    joist_spacing: float
    joist_thickness: float
    joist_depth: float | None
    edge_to_post: float
    bolt_diameter: float
    board_gap: float | None
    joists: tuple[Joist, ...]
    gaps: tuple[float, ...]
    posts: tuple[PostFraming, ...]
    notes: tuple[str, ...]


def framing_of(
    job: Job, index: int, positions: Sequence[Fraction], walls: Sequence[bool] = ()
) -> FramingPlan | None:
    """The framing under one section, or None where the job tells nothing of it.

    Parameters
    ----------
    job : stairs.job.Job
        As read.
    index : int
        The section, from 0.
    positions : sequence of Fraction
        Post centres, from the first one [job's unit of length].
    walls : sequence of bool
        For each place whether it is the face of a wall; left out, none is.

    Returns
    -------
    FramingPlan or None

    Raises
    ------
    stairs.errors.NoSuchShape
        The bolts do not lie within the base plate.
    """
    section = job.sections[index]
    if not isinstance(section, Level) or section.framing is None:
        return None
    where = section_where(index + 1, section.name, file=job.where)
    return _Deck(job, section, where).plan(positions, walls or [False] * len(positions))


class _Deck:
    """One deck's joists and boards, exactly."""

    def __init__(self, job: Job, section: Level, where: str) -> None:
        framing = section.framing
        self.job, self.framing, self.section = job, framing, section
        self.across = framing.direction == ACROSS
        kind = job.post
        plate = kind.base or kind.width
        self.inset = framing.edge_to_post
        if self.inset is None:
            self.inset = plate / 2 + (kind.edge or 0)
        self.reach = None if kind.base is None else kind.base / 2 - framing.bolt_inset
        self.radius = framing.bolt_diameter / 2
        if self.reach is not None:
            self._refuse_bolts_off_plate(kind.base, where)
        # boards across the joists lie side by side along the joists
        on_joist_axis = framing.board_direction == ALONG
        self.gaps_on_x = self.across == on_joist_axis
        self.first_board = framing.first_board
        if self.first_board is None:
            self.first_board = -self.inset if self.gaps_on_x else Fraction(0)

    def _refuse_bolts_off_plate(self, base: Fraction, where: str) -> None:
        inset = self.framing.bolt_inset
        if self.reach > self.radius and inset > self.radius:
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

        Parameters
        ----------
        number : int
            From 1.

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
        width, gap = self.framing.board_width, self.framing.board_gap
        return self.first_board + number * (width + gap) - gap / 2

    def nearest_gap(self, place: Fraction) -> int:
        """The board, from 1, behind which the gap lies that is nearest to a place.

        Parameters
        ----------
        place : Fraction
            On the axis of the gaps [job's unit of length].
        """
        pitch = self.framing.board_width + self.framing.board_gap
        number = floor((place - self.gap(1)) / pitch + Fraction(1, 2)) + 1
        return max(number, 1)

    # ---------------------------------------------------------------- posts

    def post(self, number: int, x: Fraction) -> PostFraming:
        """What lies under one post; its ``x`` counts from the first one [job's unit of length]."""
        on_axis, along = (x, self.inset) if self.across else (self.inset, x)
        half = self.job.post.width / 2 if self.reach is None else self.reach + self.radius
        on = self.under(on_axis - half, on_axis + half)
        space = self.before(on_axis)
        spaces = range(on[0] - 1, on[-1] + 1) if on else (space,)
        blocks = [block for place in spaces if (block := self.block(place, along)) is not None]
        warnings = self._bolt_warnings(on_axis)
        if any(block.low_joist is None for block in blocks):
            warnings.append(
                "there is no joist before joist 1 to carry its block: add one, or measure "
                "first_joist to the joist before"
            )
        to_gap = None
        if self.framing.board_width is not None:
            place = x if self.gaps_on_x else self.inset
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
                (float(x + a), float(self.inset + b))
                for a in (-reach, reach)
                for b in (-reach, reach)
            )
        )
        return PostFraming(
            post=number,
            x=float(x),
            inset=float(self.inset),
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
        rows = (place - self.reach, place + self.reach)
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
        if self.reach is None or not self.framing.board_gap:
            return []
        over = []
        for row in (place - self.reach, place + self.reach):
            number = self.nearest_gap(row)
            if abs(self.gap(number) - row) < self.framing.board_gap / 2 + self.radius:
                over.append(number)
        return [
            f"bolts sit over the gap between boards {number} and {number + 1}" for number in over
        ]

    # ---------------------------------------------------------------- the whole run

    def plan(self, positions: Sequence[Fraction], walls: Sequence[bool]) -> FramingPlan:
        """The framing of the whole run, from its post centres and which of them are walls."""
        framing = self.framing
        posts = tuple(
            self.post(number, x)
            for number, (x, wall) in enumerate(zip(positions, walls, strict=True), start=1)
            if not wall
        )
        ends = (positions[0], positions[-1])
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
            posts=posts,
            notes=tuple(self._notes()),
        )

    def _notes(self) -> list[str]:
        framing, notes = self.framing, []
        thickness = BOARDS_IN_A_BLOCK * framing.joist_thickness
        if self.reach is not None:
            wide = 2 * (self.reach + self.radius)
            if wide > thickness:
                flat = framing.joist_depth is not None and framing.joist_depth >= wide
                how = f", {self.show(framing.joist_depth)} wide" if flat else ""
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
        notes += self._hand_notes()
        return notes

    def _hand_notes(self) -> list[str]:
        """What the posts of the other hand stand on, where they are not a section of their own."""
        if self.section.left_of:
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
