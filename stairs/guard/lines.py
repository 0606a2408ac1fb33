"""The lines that a guard stands in: which sections each has, and how far apart the two hands are.

Seen going up, a guard stands on the right hand, on the left, or on both.  Where both lines are
alike one section stands for both; where a turn or the deck's framing makes them differ, the
left-hand line has sections of its own (:mod:`stairs.guard.left_line`), which follow all others.
Either line runs beside the other at the width of the stair; at a plan turn both bend, and the
corner of the left-hand line lies on the mitre through the corner of the right-hand one.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

from msgspec import Struct

from stairs.job import Job, JobFlight, JobLevel
from stairs.job.key_notes import value_of
from stairs.parts.section_ends import DECK, LANDING, POST, WALL, Ends, folded
from stairs.relations.exact import Amount, derived


class Line(Struct, frozen=True):
    """The line that a section of the guard belongs to; lengths in the job's unit.

    Parameters
    ----------
    opposite_of : int
        The section whose left-hand guard this is, from 1; 0 for every section of the job file.
    begins : Fraction or None
        Where a left-hand line begins, along that section from its first post; None for a section
        that goes on from the one before it.
    apart : Fraction or None
        Square to the section, from the right-hand line to the left-hand one; None where no width
        tells.
    """

    opposite_of: int = 0
    begins: Fraction | None = None
    apart: Fraction | None = None


class GuardJob(Job, frozen=True, kw_only=True):
    """A job with a section for every stretch of guard that is solved, and the line of each.

    ``sections`` are those of the file, in its order, and after them those of the left-hand lines
    that are not the mirror image of the right-hand ones.
    """

    lines: tuple[Line, ...]


def line_of(job: Job, index: int) -> Line:
    """The line of a section, from 0; a job as read has one line, which all sections go on."""
    return job.lines[index] if isinstance(job, GuardJob) else Line()


def line_widths(job: Job) -> tuple[Fraction | None, ...]:
    """From the right-hand line to the left-hand one, for each section of a job as read.

    A flight's width and the gap beside its treads on either hand.  A level run that does not say
    its own has that of the section that it goes straight on from or into, else of the one before,
    else of the one after; None where no section says any.
    """
    sections = job.sections
    widths = [_own_width(section) for section in sections]
    pairs = list(pairwise(range(len(sections))))
    for straight in (True, False):
        for order in (pairs, [pair[::-1] for pair in reversed(pairs)]):
            for known, open_ in order:
                if widths[open_] is None and not (
                    straight and sections[max(known, open_)].ends.turn
                ):
                    widths[open_] = widths[known]
    return tuple(widths)


def _own_width(section: JobFlight | JobLevel) -> Fraction | None:
    if section.width is None:
        return None
    return section.width + 2 * (value_of(section, "side_gap") or 0)


# --------------------------------------------------------------------------- along a line


class Surface(Struct, frozen=True):
    """What a level run is on, and why it is taken for that.

    Parameters
    ----------
    kind : str
        ``"landing"``, which belongs to a stair, or ``"deck"``, which also stands for a porch and a
        balcony.
    """

    kind: str
    because: str


def surface_of(job: Job, index: int) -> Surface:
    """What a level run of a job is on: it follows from the whole job, or the job says it.

    Notes
    -----
    A run is on a landing where flights meet its surface at both ends of the guard's line, directly
    or over further level runs: a landing that turns is two runs.  Where only one flight meets it,
    the stair ends at a deck.  A left-hand run is on what the right-hand one is on.
    """
    sections = job.sections
    right = line_of(job, index).opposite_of
    if right and sections[right - 1].kind == "level":
        index = right - 1
    said = getattr(sections[index], "surface", None)  # of a flight nothing is asked
    if said is not None:
        return Surface(said, "as the job says")
    low, high = index, index
    while low >= 0 and sections[low].kind == "level":
        low = -1 if line_of(job, low).begins is not None else low - 1
    while high < len(sections) and sections[high].kind == "level":
        high += 1
        if high < len(sections) and line_of(job, high).begins is not None:
            high = len(sections)
    if low >= 0 and high < len(sections):
        return Surface(LANDING, f"between flights {low + 1} and {high + 1}")
    flight = low + 1 if low >= 0 else high + 1 if high < len(sections) else None
    if flight is None:
        return Surface(DECK, "no flight meets it")
    return Surface(DECK, f"only flight {flight} meets it")


def ends_of(job: Job, index: int) -> Ends:
    """How a section of a job starts and ends.

    Notes
    -----
    A rail that leaves a post of width ``c`` at ``φ`` from the face's normal comes out of it
    ``c / (2 cos φ)`` from the centre, which every ``φ`` up to 45° does through that one face.
    """
    section = job.sections[index]
    half = job.post.width / 2
    goes_on = index and line_of(job, index).begins is None
    before = job.sections[index - 1].ends.end if goes_on else None
    shared = section.ends.start == POST and before == POST
    skew = folded(section.ends.turn) if shared else Fraction(0)
    low: Amount = Fraction(0) if section.ends.start == WALL else half
    if skew:
        low = derived("half_along", post_width=job.post.width, skew=abs(skew))
    return Ends(
        start=section.ends.start,
        end=section.ends.end,
        shared=shared,
        skew=skew,
        low_reach=low,
        high_reach=Fraction(0) if section.ends.end == WALL else half,
        half=half,
        post_gap=section.ends.post_gap,
    )
