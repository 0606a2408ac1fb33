"""Kinds of things that the views hand to each other."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from enum import StrEnum

from msgspec import Struct

from stairs.drawing.paper.primitives import Point
from stairs.drawing.paper.view import View
from stairs.drawing.placing.dimensions import Dimension
from stairs.drawing.placing.leaders import spread_places
from stairs.drawing.placing.placement import Board, Candidate
from stairs.drawing.sheets.sheet_words import Facts
from stairs.guard.solving import Section
from stairs.job import Job
from stairs.lengths.tape_marks import Number, length_text, true_text

LengthText = Callable[..., str]
"""Letters a length of the work; with True as it is, or said to be near."""


def lettering_of(job: Job, feet: bool = False, capitals: bool = False) -> LengthText:
    """How lengths of a job are lettered on a view; with True those that the job gives, or that are
    laid off more than once."""

    def text(length: Number, exactly: bool = False) -> str:
        shown = true_text if exactly else length_text
        words = shown(length, job.units, job.tape, feet=feet, unit=job.units == "in")
        return words.upper() if capitals else words

    return text


Shows = Callable[[Point], bool]
"""Whether a view shows a point."""
Told = tuple[str, str]
"""What is told once on a sheet: a role and what it tells."""


class Role(StrEnum):
    """What a label is for, where that matters beside its words."""

    PART = "part"
    POST = "post"
    GAP = "gap at a nosing"  # it may go: it is then told in a list, by the number of its nosing
    FAILURE = "failure"


class Lettered(Struct, frozen=True):
    """An elevation whose labels look for their places: what is on it, and what they tell of."""

    section: Section
    facts: Facts
    view: View
    text: LengthText
    dimensions: Sequence[Dimension]
    seen: Shows
    board: Board

    @property
    def floor(self) -> float:
        """A little over the ground of a flight [mm on paper]."""
        return self.view.origin[1] + 2.0

    def led(
        self, rows: Sequence[str], target: Point, owner: str, prefer: float, start: float = 0.0,
        floor: float | None = None, most: int = 40,
    ) -> list[Candidate]:  # fmt: skip
        """Places for a label with a leader, the directions liked best first [mm on paper]."""
        return spread_places(
            self.board, rows, target, "label", owner,
            prefer=prefer, start=start, floor=floor, most=most,
        )  # fmt: skip


class Label(Struct, frozen=True):
    """A label without its places.

    Parameters
    ----------
    name : str
        What is said to be missing where it found no place.
    needed : bool
        Whether it has to be on the sheet.
    once : str
        What it tells that is told once on a sheet, however many parts of a view it has; empty
        where each part has its own.
    """

    name: str
    role: Role = Role.PART
    needed: bool = True
    once: str = ""

    @property
    def told(self) -> Told | None:
        return (self.role, self.once) if self.once else None


Offer = tuple[Label, Callable[[], list[Candidate]]]
"""A label, and what looks for its places on the board as it stands when it is called."""
