"""The posts of a job as they were planned, to be measured as they stand once they are set."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Any

from msgspec.structs import replace

from stairs.errors import JobError
from stairs.guard.solving import Section
from stairs.job import Job, JobLevel, job_from_mapping
from stairs.job.as_built import PlannedPost
from stairs.lengths.tape_marks import round_to_mark
from stairs.solution import Solution, solution_for


def planned_solution(job: Job) -> Solution:
    """The guard as it was planned, whatever is told of how its posts stand; without findings."""
    sections = tuple(replace(section, as_built=(), done=()) for section in job.sections)
    return solution_for(replace(job, sections=sections), with_remedies=False, judged=())


def planned_posts(solution: Solution) -> tuple[PlannedPost, ...]:
    """Every post and wall, section by section, the right hand of each first."""
    found = [
        one
        for section, number in sections_of_the_file(solution)
        for hand in section.hands
        for one in _of_section(solution, section, number, hand)
    ]
    hands = ("right", "left")
    return tuple(sorted(found, key=lambda one: (one.section, hands.index(one.hand), one.post)))


def sections_of_the_file(solution: Solution) -> Iterator[tuple[Section, int]]:
    """The solved sections that a job file tells of, each with its number there.

    A level run that a left-hand line has between a flight and a corner is not in the file.
    """
    for section in solution.guard.sections:
        number = section.line.opposite_of or section.number
        if section.kind == solution.guard.sections[number - 1].kind:
            yield section, number


def _of_section(
    solution: Solution, section: Section, number: int, hand: str
) -> Iterator[PlannedPost]:
    mark, sections = solution.job.tape, solution.guard.sections
    begins = Fraction(0)  # where the list of posts that the job file has begins
    if isinstance(section.record, JobLevel) and not section.line.opposite_of:
        begins = section.record.measured.listed_from
    for post in section.posts:
        bays = section.bays[post.number - 1 : post.number]
        other = post.shared_with
        shared = other is not None and other[0] < section.number
        on = section.surface.kind if section.surface and not post.wall else post.stands_on
        yield PlannedPost(
            section=number,
            post=post.number,
            hand=hand,
            last=len(section.posts),
            stands_on=on,
            x=round_to_mark(post.x, mark) + begins,
            surface=round_to_mark(post.surface, mark),
            height=round_to_mark(post.height, mark),
            clear=round_to_mark(bays[0].clear, mark) if bays else None,
            shared=shared and other is not None and hand in sections[other[0] - 1].hands,
            on_level=section.kind == "level",
        )


def why_unsolved(mapping: Mapping[str, Any]) -> JobError | None:
    """Why the values of a job file cannot be solved; None where they can."""
    try:
        solution_for(job_from_mapping(mapping), with_remedies=False, judged=())
    except JobError as error:
        return error
    return None
