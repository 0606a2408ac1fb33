"""What a sheet says in words: the title block's lines and the verdicts, ready to letter.

The drawing asks the answer once for everything that it letters and then needs it no more.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from msgspec import Struct
from msgspec.structs import replace

from stairs.checks.finding import FAIL, MARGINAL, NOT_APPLICABLE, PASS, Ruling
from stairs.checks.measure import Place
from stairs.drawing.sheets.own_values import own_values
from stairs.drawing.sheets.title_block import Particulars
from stairs.guard.framing_plan import FramingPlan
from stairs.guard.solving import Section
from stairs.job import Job
from stairs.lengths.tape_marks import Number, length_text
from stairs.parts.posts import Post
from stairs.solution import Solution

NOT_READ = "* limit to be confirmed: not read in the code itself"
"""What the star behind a clause means."""


class Verdict(Struct, frozen=True):
    """One check as it stands in the table of a sheet."""

    id: str  # name of the check
    # title, value, limit, clause, where: as lettered; "where" is a tread, bay or post, or empty
    title: str
    value: str
    limit: str
    clause: str
    where: str
    verdict: str  # as in stairs.checks.finding
    verified: bool = True  # whether somebody read the limit in the code
    remedy: str = ""  # what to change, for a failure
    mark: int = 0  # number of a failure, by which the view points at it; 0 for the others
    # of a check of openings their places in the section's list: all that fail, the one told first;
    # where none fails, the one told
    openings: tuple[int, ...] = ()
    at: Place | None = None  # the part of the section that is meant, where it is no opening
    also: str = ""  # where else it fails than at the place told


class Facts(Struct, frozen=True):
    """Everything that a sheet letters beside its dimensions."""

    whose: Particulars
    title: str  # of the section: its name or its number
    assumed: tuple[str, ...] = ()  # what the job did not say and was taken
    unusual: tuple[str, ...] = ()  # what was read and is to be measured again
    verdicts: tuple[Verdict, ...] = ()  # in the order of the table: failures first
    rest: str = "see the checks on the screen"  # where the checks are that have no room
    failing: str = ""  # how many checks fail, in words; empty where none does
    beside: Post | None = None
    """The post of the section before that stands beside the section's own first one, placed from
    the section's own datum."""
    framing: FramingPlan | None = None
    """What lies under the posts of a level run; None where the job does not say."""

    @property
    def view(self) -> str:
        """What it shows."""
        return f"Elevation of {self.title}"

    @property
    def failures(self) -> tuple[Verdict, ...]:
        """The checks that fail."""
        return tuple(one for one in self.verdicts if one.verdict == FAIL)


ORDER = {FAIL: 0, MARGINAL: 1, PASS: 2, NOT_APPLICABLE: 3}


def on_tape(job: Job, length: Number) -> str:
    """A length of the work as the job's own tape reads it."""
    return length_text(length, job.units, job.tape)


def figure(job: Job, length: Number) -> str:
    """The same as a figure of a drawing, where metric ones need no unit."""
    return length_text(length, job.units, job.tape, unit=job.units == "in")


def clause_text(ruling: Ruling) -> str:
    """Where a limit stands in the code; with a star where nobody read it there."""
    return ruling.clause.replace("_", " ") + ("" if ruling.verified else "*")


def particulars_of(solution: Solution) -> Particulars:
    """What all sheets of a job letter in their strips."""
    job, sheet, book = solution.job, solution.job.sheet, solution.rulebook
    return Particulars(
        job.title or "Stair guard",
        tuple(sheet.address),
        sheet.date or "",
        sheet.drawn_by or "",
        sheet.revision or "",
        own_values(job),
        f"{book.title} {book.edition}".strip(),
    )


def facts_of(solution: Solution, section: int) -> Facts:
    """What the sheet of one section, counted from 1, letters."""
    from stairs.report.findings import (
        also_failing,
        count_of_failures,
        openings_meant,
        place_text,
        value_texts,
    )

    job, part = solution.job, solution.sections[section - 1]
    verdicts, mark = [], 0
    for finding in sorted(part.findings, key=lambda one: ORDER[one.outcome]):
        if finding.fails:
            mark += 1
        value, limit, _ = value_texts(job, finding)
        remedies = part.remedies.get(finding.id, ()) if finding.fails else ()
        verdicts.append(
            Verdict(
                id=finding.id,
                title=finding.title + (", as cut" if finding.fails_only_as_cut else ""),
                value=value,
                limit=limit,
                clause=clause_text(finding.ruling),
                where=place_text(job, finding),
                verdict=finding.outcome,
                verified=finding.ruling.verified,
                remedy=remedies[0].text if remedies else "",
                mark=mark if finding.fails else 0,
                openings=openings_meant(part, finding),
                at=None if finding.measure is None else finding.measure.at,
                also=also_failing(part, finding),
            )
        )
    return Facts(
        whose=particulars_of(solution),
        title=part.section.title,
        assumed=_assumed_here(job.assumed, part.section.where),
        unusual=_assumed_here(unusual_in_words(solution), part.section.where),
        verdicts=tuple(verdicts),
        failing=count_of_failures([part]),
        beside=_beside(solution.guard.sections, section - 1),
        framing=part.framing,
    )


def _beside(sections: Sequence[Section], index: int) -> Post | None:
    """The last post of the section before, beside the first one of a section's own."""
    section, before = sections[index], sections[index - 1]
    if section.ends.post_gap is None or before.posts[-1].wall:
        return None
    last = before.posts[-1]
    half = last.width / 2
    return replace(
        last,
        x=section.posts[0].face("down") - float(section.ends.post_gap) - half,
        surface=last.surface - before.total_rise,
        marks=(),
        reach=half,
    )


def assumed_in_words(job: Job) -> tuple[str, ...]:
    """What the job does not say and was taken, once, with the sections that it is for."""
    from stairs.report.notices import assumed_texts

    return tuple(map(_in_words, assumed_texts(job)))


def unusual_in_words(solution: Solution) -> tuple[str, ...]:
    """What was read and is unusual, so that it is measured again."""
    from stairs.report.notices import unusual_texts

    return tuple(map(_in_words, unusual_texts(solution)))


def _assumed_here(assumed: Iterable[str], where: str) -> tuple[str, ...]:
    """What was assumed for this section or for the whole job, without the section's name."""
    here = f"{where}: "
    return tuple(
        _in_words(words.removeprefix(here))
        for words in assumed
        if words.startswith(here) or not words.startswith("section ")
    )


def _in_words(assumed: str) -> str:
    """An assumption in plain words: how the job file would say it is of no use on a sheet.

    >>> _in_words("risers are closed (open_risers = false): sections 1, 4")
    'risers are closed: sections 1, 4'
    >>> _in_words('framing: bolt_inset 3/4"')
    'framing: bolt inset 3/4"'
    """
    words = re.sub(r" \(\w+ = [^)]*\)(?=$|: section)", "", assumed)
    return re.sub(r"(?<=[a-z])_(?=[a-z])", " ", words)
