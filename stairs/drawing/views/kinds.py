"""Kinds of things that the views hand to each other."""

from __future__ import annotations

from collections.abc import Callable
from enum import StrEnum

from msgspec import Struct

from stairs.drawing.paper.primitives import Point
from stairs.drawing.placing.placement import Candidate
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


class Label(Struct, frozen=True):
    """A label without its places.

    Parameters
    ----------
    name : str
        What is said to be missing where it found no place.
    role : Role
        What it is for.
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
