"""The two lines of a guard on both hands, where turns or joists make them differ.

Seen going up, a guard stands on the right hand, on the left, or on both.  Where the stair goes
straight the left-hand guard is the mirror image of the right-hand one.  Where it turns, the two
lines run side by side at the stair's width, and their corners lie on the mitre of the turn: the
inner line is the shorter one.  The flights stay as long as they are, so it is the level runs
between them that come out shorter or longer; beside a flight that meets the corner itself the outer
line goes on level to it.

Here the sections of the guard are made from those of the job file: first all as they stand in the
file, where the lines differ now of the right hand alone, then those of the left hand.  What the job
does not say of the left hand, where the posts of a run of another length go, is left to be chosen.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Any

import msgspec

from stairs.errors import JobError, NoSuchShape
from stairs.guard.as_built import as_it_stands
from stairs.guard.lines import (
    GuardJob,
    Line,
    line_of,
    line_widths,
)
from stairs.job import Framing, Job, JobFlight, JobLevel, section_where
from stairs.job.as_built import hands_differ
from stairs.job.key_notes import with_values
from stairs.job.mitre import HALF_TURN, Shift, mitre_shift
from stairs.job.records import LevelEdge, SectionEnds
from stairs.lengths.tape_marks import marked_text

BOTH, RIGHT, LEFT = "both", "right", "left"
ALONG, ACROSS = "along", "across"


# --------------------------------------------------------------------------- what differs


def _joined(job: Job, index: int) -> bool:
    """Whether the guard goes on from the section before on both hands."""
    if index == 0 or line_of(job, index).opposite_of:
        return False
    before, section = job.sections[index - 1 : index + 1]
    both = before.hand == section.hand == BOTH
    return both and section.ends.start != "wall" and before.ends.end != "wall"


def _stretches(job: Job) -> list[list[int]]:
    """Sections with a guard on both hands that follow each other without a break."""
    found: list[list[int]] = []
    for index, section in enumerate(job.sections):
        if section.hand != BOTH:
            continue
        if found and _joined(job, index):
            found[-1].append(index)
        else:
            found.append([index])
    return found


def open_questions(job: GuardJob) -> tuple[str, ...]:
    """Why a left-hand line is not worked out, one sentence for each place; empty where all are."""
    widths, texts = [line.apart for line in job.lines], []
    for stretch in _stretches(job):
        left = _goes_on_left(job, stretch)
        if left and any(job.sections[index].ends.turn for index in stretch[1:]):
            texts.append(
                f"Section {left} goes on on the left hand alone from sections that turn with a "
                "guard on both hands: their left-hand line is listed as long as the right-hand "
                "one, which it is not. Measure it, and write it as a job of its own"
            )
    for index, section in enumerate(job.sections):
        if index == 0 or section.hand != BOTH or job.lines[index].opposite_of:
            continue
        number, turns = index + 1, section.ends.turn != 0
        if not _joined(job, index):
            if turns:
                texts.append(
                    f"Section {number} turns with a guard on both hands, and only one of them goes "
                    "on from the section before: the other is taken to begin opposite to it and to "
                    "be as long. Measure it before cutting"
                )
        elif widths[index] is None:
            if turns:
                texts.append(
                    f"Section {number} turns with a guard on both hands, and no width says how far "
                    "apart they stand: the left-hand one is listed as long as the right-hand one, "
                    "which it is not. Give the width of the flights, or measure it before cutting"
                )
        elif _shift(job, index, widths) is None:
            what = (
                "turns back on itself, so that the left-hand lines do not meet"
                if turns
                else "is of another width than the section before, so that its left-hand line steps"
            )
            texts.append(
                f"Section {number} {what}: the left-hand guard is listed as the right-hand one, "
                "which it is not. Measure it, and write it as a job of its own"
            )
    return tuple(texts)


def _differs(job: Job, stretch: Sequence[int], widths: Sequence[Fraction | None]) -> bool:
    """Whether the left-hand line of a stretch is to be written out."""
    if _goes_on_left(job, stretch):
        return False
    if any(_shift(job, index, widths) is None for index in stretch[1:]):
        return False
    parts = [job.sections[index] for index in stretch]
    if any(hands_differ(part.as_built, part.done) for part in parts):
        return True
    if any(widths[index] is None for index in stretch):
        return False
    if any(job.sections[index].ends.turn for index in stretch[1:]):
        return True
    return any(framing_differs(job.sections[index]) for index in stretch)


def _goes_on_left(job: Job, stretch: Sequence[int]) -> int:
    """The section of the left hand alone that goes on from a stretch or into it, from 1; or 0."""
    for index, upper in ((stretch[0] - 1, stretch[0]), (stretch[-1] + 1, stretch[-1] + 1)):
        if not 0 < upper < len(job.sections) or job.sections[index].hand != LEFT:
            continue
        wall = (
            job.sections[upper].ends.start == "wall" or job.sections[upper - 1].ends.end == "wall"
        )
        if not wall and not line_of(job, index).opposite_of:
            return index + 1
    return 0


def framing_differs(section: JobFlight | JobLevel) -> bool:
    """Whether joists or board gaps lie otherwise under the left-hand posts of a straight run.

    Those that run along the guard lie as far from the other deck edge as the deck is wide; those
    that run across it pass under both hands alike.
    """
    framing = section.framing if isinstance(section, JobLevel) else None
    if framing is None:
        return False
    return framing.direction == ALONG or (
        framing.board_width is not None and framing.board_direction == ACROSS
    )


def _shift(job: Job, index: int, widths: Sequence[Fraction | None]) -> Shift | None:
    """Where the left-hand lines of a section and of the one before meet; None where they do not."""
    below, above, turn = widths[index - 1], widths[index], job.sections[index].ends.turn
    if below is None or above is None:
        return Shift(Fraction(0), Fraction(0)) if below is above and not turn else None
    return mitre_shift(turn, below, above)


# --------------------------------------------------------------------------- writing it out


def guard_job(job: Job) -> GuardJob:
    """The sections of a guard on both hands, those of a left-hand line of its own after all others.

    Such a line there is where a section with a guard on both hands turns, or stands on framing that
    lies otherwise under the left hand; what was made of it stands in ``assumed``.

    Raises
    ------
    NoSuchShape
        The inside of a turn leaves a section no room.
    """
    widths = line_widths(job)
    sections, assumed = list(job.sections), list(job.assumed)
    extra: list[JobFlight | JobLevel] = []
    lines = [Line(apart=width) for width in widths]
    for stretch in _stretches(job):
        if not _differs(job, stretch, widths):
            _refuse_unlike(job, stretch)
            continue
        for index in stretch:
            sections[index] = msgspec.structs.replace(sections[index], hand=RIGHT)
        line = _LeftLine(job, stretch, widths)
        assumed += line.remarks(len(sections) + len(extra) + 1)
        extra += line.sections
        lines += line.lines
    told = {name: getattr(job, name) for name in Job.__struct_fields__}
    told |= {"sections": (*sections, *extra), "assumed": tuple(assumed)}
    return as_it_stands(GuardJob(**told, lines=tuple(lines)))


def _refuse_unlike(job: Job, stretch: Sequence[int]) -> None:
    """Refuse posts that stand otherwise on the left hand where its line is not worked out."""
    for index in stretch:
        section = job.sections[index]
        if hands_differ(section.as_built, section.done):
            raise JobError(
                section_where(index + 1, section.name, "as_built", file=job.where),
                "tells the two hands apart, and the left-hand line is not worked out here",
                "It is where the width of the stair is known all along, and its left-hand lines "
                "meet at the turns",
                "Give the width of the flights, or write the left-hand guard as a job of its own",
            )


class _LeftLine:
    """The left-hand line of one stretch, section by section."""

    def __init__(self, job: Job, stretch: Sequence[int], widths: Sequence[Fraction | None]) -> None:
        self.job, self.widths = job, widths
        self.sections: list[JobFlight | JobLevel] = []
        self.lines: list[Line] = []
        self._texts: list[str] = []
        self._dropped: list[str] = []
        self._turn, self._begun = Fraction(0), False
        for place, index in enumerate(stretch):
            section = job.sections[index]
            low = _shift(job, index, widths) if place else None
            high = _shift(job, stretch[place + 1], widths) if place + 1 < len(stretch) else None
            start = Fraction(0) if low is None else low.start
            end = Fraction(0) if high is None else high.end
            if place:
                self._turn += section.ends.turn
            if isinstance(section, JobLevel):
                self._level(section, index, start, end)
            else:
                self._flight(section, index, start, end)

    def remarks(self, first: int) -> list[str]:
        """What was made of the left hand: a text for each section, and for each thing left out."""
        told = [f"section {number} is {text}" for number, text in enumerate(self._texts, first)]
        return told + self._dropped

    def _show(self, value: Fraction) -> str:
        return marked_text(value, self.job.units, self.job.tape)

    def _name(self, index: int) -> str:
        name = self.job.sections[index].name
        return f"{name or f'section {index + 1}'}, left hand"

    def _add(
        self, section: JobFlight | JobLevel, index: int, begins: Fraction, text: str, name: str = ""
    ) -> None:
        """One more section; the first of the line follows nothing, the others turn as they must."""
        changes = {
            "name": name or self._name(index),
            "hand": LEFT,
            "turn": self._folded(),
        }
        if not self._begun:
            changes["turn"] = Fraction(0)
            if section.ends.start == "own":
                changes |= {"start": "post", "post_gap": None}
        along = None if self._begun else begins
        self.lines.append(Line(index + 1, along, self.widths[index]))
        self._begun, self._turn = True, Fraction(0)
        self.sections.append(with_values(section, **changes))
        self._texts.append(text)

    def _folded(self) -> Fraction:
        """The turns since the last section as one, from -180 to 180 degrees."""
        turn = self._turn
        while abs(turn) > HALF_TURN:
            turn -= 2 * HALF_TURN if turn > 0 else -2 * HALF_TURN
        return turn

    def _level(self, section: JobLevel, index: int, start: Fraction, end: Fraction) -> None:
        job = self.job
        span = section.span - start + end
        text = f"the left-hand guard of section {index + 1}"
        framing = _left_framing(job, section, start, self.widths[index])
        if start == end == 0:
            self._add(msgspec.structs.replace(section, framing=framing), index, start, text)
            return
        least = job.tolerances.of("span") + job.tolerances.of("width")
        if abs(span) <= least and section.ends.start == "post":
            self._dropped.append(
                f"the left-hand guard of section {index + 1} has no run: one post stands at the "
                "corner"
            )
            return
        if span <= (job.post.base or job.post.width):
            self._refuse_level(section, index, span)
        change = end - start
        text += (
            f", {self._show(span)} long, {self._show(abs(change))} "
            f"{'more' if change > 0 else 'less'} than the right-hand one"
        )
        trim = None if isinstance(section.trim, tuple) else section.trim
        changes: dict[str, Any] = {"span": span, "posts": None, "bays": "auto", "trim": trim}
        changes["framing"] = framing
        # what is told of both hands is told along a run of another length
        changes["as_built"] = tuple(one for one in section.as_built if one.hand == LEFT)
        changes["done"] = tuple(word for word in section.done if word.endswith(LEFT))
        changes["measured"] = LevelEdge()  # the edge is that of the right hand
        self._add(msgspec.structs.replace(section, **changes), index, start, text)

    def _refuse_level(self, section: JobLevel, index: int, span: Fraction) -> None:
        job = self.job
        taken = section.span - span
        comes = f"to {self._show(span)}" if span >= 0 else f"{self._show(-span)} short"
        raise NoSuchShape(
            section_where(index + 1, section.name, "hand", file=job.where),
            f'is "both", and the left-hand guard comes {comes}: the turns take '
            f"{self._show(taken)} off the {self._show(section.span)} of the right-hand one",
            "Inside a turn the guard is shorter, at a square corner by the whole width of a stair",
            f"Give a span of {self._show(taken)}, which leaves one post in the inner corner, or "
            'enough more for two posts and a panel; or write hand = "right" and the other guard as '
            "a job of its own",
        )

    def _flight(self, section: JobFlight, index: int, start: Fraction, end: Fraction) -> None:
        job = self.job
        name = section.name or f"section {index + 1}"
        for what, back in (("starts", start), ("ends", -end)):
            if back > 0:
                first = what == "starts"
                raise NoSuchShape(
                    section_where(index + 1, section.name, "hand", file=job.where),
                    f'is "both", and the inner line of the turn {what} '
                    f"{self._show(back)} {'after its first' if first else 'before its last'} post",
                    "A flight is as long on the left hand as on the right",
                    f"Put a level run of {self._show(back)} or more between the flight and the "
                    'turn, or write hand = "right" and the other guard as a job of its own',
                )
        if start < 0:
            before = self.job.sections[index - 1]
            run = JobLevel(
                span=-start,
                bays="auto",
                drop=before.drop,
                ground_slope=before.ground_slope,
                ends=SectionEnds(start=section.ends.start, post_gap=section.ends.post_gap),
            )
            self._corner(run, index, start, f"{name}, left hand, from the corner")
        self._add(
            section if start == 0 else with_values(section, start="post", post_gap=None),
            index,
            Fraction(0),
            f"the left-hand guard of section {index + 1}",
        )
        if end > 0:
            run = JobLevel(
                span=end, bays="auto", drop=section.drop, ground_slope=section.ground_slope
            )
            self._corner(run, index, Fraction(0), f"{name}, left hand, to the corner")

    def _corner(self, run: JobLevel, index: int, begins: Fraction, name: str) -> None:
        """The level run between a flight and the corner on the outside of a turn."""
        shown = self._show(run.span)
        if run.span <= (self.job.post.base or self.job.post.width):
            raise NoSuchShape(
                section_where(
                    index + 1, self.job.sections[index].name, "hand", file=self.job.where
                ),
                f'is "both", and the outer line of the turn leaves {shown} between the '
                "flight's post and the corner",
                "Two posts stand apart by more than they are wide",
                'Turn by more, or write hand = "right" and the other guard as a job of its own',
            )
        text = f"a level run of {shown} between the post of section {index + 1} and the corner"
        self._add(run, index, begins, text, name)


def of_the_file(job: GuardJob, error: JobError) -> JobError:
    """An error of a left-hand section, told of the section that stands in the job file.

    The same error where it is of a section that the file has.
    """
    for number, (section, line) in enumerate(zip(job.sections, job.lines, strict=True), start=1):
        place = section_where(number, section.name, file=job.where)
        if not line.opposite_of or not f"{error.where}: ".startswith(f"{place}: "):
            continue
        right = job.sections[line.opposite_of - 1]
        long = ""
        if isinstance(section, JobLevel):
            long = f", {marked_text(section.span, job.units, job.tape)} long,"
        rest = error.where[len(place) :].removeprefix(": ")
        what = f"{rest}: {error.found}" if rest else error.found
        return NoSuchShape(
            section_where(line.opposite_of, right.name, "hand", file=job.where),
            f'is "both", and its left-hand guard{long} cannot be made: {what}',
            error.allowed,
            "Give the right-hand guard another span, or write "
            'hand = "right" and the other guard as a job of its own',
        )
    return error


# --------------------------------------------------------------------------- framing


def _left_framing(
    job: Job, section: JobLevel, start: Fraction, width: Fraction | None
) -> Framing | None:
    """The framing as it is measured from the left-hand guard: its first post, its deck edge.

    Notes
    -----
    Both posts stand alike far from their own edge, so that the deck is ``W + 2 e`` wide.  Joists or
    boards that are counted from the right-hand edge inwards are counted from the left-hand one
    outwards: of those ``p`` apart one lies ``(W + 2 e - first) mod p`` in from it.
    """
    framing = section.framing
    if framing is None or width is None:
        return framing
    inset = framing.edge_to_post
    if inset is None:
        inset = job.post.inset
    deck = width + 2 * inset
    changes: dict[str, Any] = {}
    if framing.direction == ACROSS:
        # on the outside of a turn the deck goes on before the right-hand first post
        before = max(-(start // framing.joist_spacing), 0) * framing.joist_spacing
        changes["first_joist"] = framing.first_joist - start - before
    else:
        changes["first_joist"] = (deck - framing.first_joist) % framing.joist_spacing
        if framing.outside is not None:
            changes["outside"] = changes["first_joist"] > inset
    if framing.board_width is not None:
        across = (framing.direction == ACROSS) == (framing.board_direction == ALONG)
        if across:  # boards lie side by side along the guard
            first = -inset if framing.first_board is None else framing.first_board
            changes["first_board"] = first - start
        else:
            pitch = framing.board_width + (framing.board_gap or 0)
            first = framing.first_board or Fraction(0)
            # the far edge of a board, seen from the other side, is where it begins
            begins = deck - first - framing.board_width
            changes["first_board"] = begins % pitch - pitch if begins % pitch else Fraction(0)
    return msgspec.structs.replace(framing, **changes)
