"""Changes: what to write into the job file, and the job that then stands in it.

A remedy that only talks cannot be checked.  So whatever the job file can say is said as a list of
changes, each a key and its new value, which are made here and read again as if they were typed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from fractions import Fraction
from typing import Any

import msgspec
from msgspec import Struct

from stairs.guard.lines import line_of
from stairs.guard.solving import Section
from stairs.job import AsBuilt, Job, JobFlight, JobLevel, job_from_mapping, job_to_mapping
from stairs.job.as_built import hands_differ, tells_anything
from stairs.job.key_notes import value_of, with_values

KNOWN_ASIDE = ("hand", "totals")
STEP_KEYS = ("rise", "unit_rise", "risers", "treads", "run", "unit_run", "rake")


class Change(Struct, frozen=True):
    """One value to write into the job file.

    ``table`` is ``"panel"``, ``"bracket"``, ``"post"`` or ``"section"``, or ``"job"`` for the keys
    above all tables; None takes the key out.
    """

    table: str
    key: str
    value: object


def apply(job: Job, changes: Iterable[Change], index: int) -> Job:
    """The job with changes made, read again as from its file; JobError where it cannot be.

    Those of ``"section"`` are made in the section ``index``, from 0.

    Examples
    --------
    >>> from stairs.job import quick_job
    >>> job = quick_job("42", "50", 5)
    >>> str(apply(job, [Change("panel", "height", Fraction(34))], 0).panel.height)
    '34'
    """
    changed = written(job, changes, index)
    again = job_from_mapping(job_to_mapping(_all_on_one_hand(changed)), job.where)
    # on which hand a left-hand line is, and what bore its steps out, stands in no file
    lines = (
        with_values(
            new, **{key: kept for key in KNOWN_ASIDE if (kept := value_of(old, key)) is not None}
        )
        for new, old in zip(again.sections, changed.sections, strict=True)
    )
    told = {name: getattr(again, name) for name in type(again).__struct_fields__}
    told |= {"assumed": job.assumed, "sections": tuple(lines)}
    return msgspec.structs.replace(job, **told)


def _all_on_one_hand(job: Job) -> Job:
    """The job with its left-hand lines on the hand of the section that they are listed after."""
    left = [line_of(job, index).opposite_of for index in range(len(job.sections))]
    hand = job.sections[left.count(0) - 1].hand
    sections = (
        msgspec.structs.replace(section, hand=hand) if of else section
        for section, of in zip(job.sections, left, strict=True)
    )
    return msgspec.structs.replace(job, sections=tuple(sections))


def written(job: Job, changes: Iterable[Change], index: int) -> Job:
    """The job with changes written into its records, nothing of it read again."""
    tables: dict[str, dict[str, object]] = {}
    for change in changes:
        tables.setdefault(change.table, {})[change.key] = change.value
    sections, of_job = list(job.sections), tables.pop("job", {})
    if "section" in tables:
        values = tables.pop("section")
        if values.get("posts") and sections[index].as_built:
            values["as_built"] = _without_places(sections[index])
        sections[index] = with_values(sections[index], **values)
    records = {
        name: msgspec.structs.replace(getattr(job, name), **values)
        for name, values in tables.items()
    }
    return msgspec.structs.replace(job, sections=tuple(sections), **records, **of_job)


def _without_places(section: JobFlight | JobLevel) -> tuple[AsBuilt, ...]:
    """What is told of posts that are set, but for where, since they are listed where they stand.

    All that is told where the two hands are not alike: one list of posts does not tell both.
    """
    if hands_differ(section.as_built):
        return section.as_built
    told = (msgspec.structs.replace(one, x=None) for one in section.as_built)
    return tuple(one for one in told if tells_anything(one))


def post_positions(section: Section, record: JobFlight | JobLevel) -> tuple[Fraction, ...]:
    """Post centres of a solved section, as listed or laid out [job's unit of length]."""
    if record.posts is not None:
        return record.posts
    return tuple(Fraction(post.x).limit_denominator(10**6) for post in section.posts)


def post_changes(record: JobFlight | JobLevel, posts: tuple[Fraction, ...]) -> tuple[Change, ...]:
    """The changes that put a section's posts at given centres; a level run's begin at 0."""
    changes = [Change("section", "posts", posts), Change("section", "bays", None)]
    if isinstance(record, JobLevel):
        changes.append(Change("section", "span", posts[-1] - posts[0]))
    return tuple(changes)


def told_posts(changes: Iterable[Change], show: Callable[[Fraction], str]) -> str:
    """Where changes put the posts of a section, in words after a text; empty where nowhere."""
    posts: Any = next((change.value for change in changes if change.key == "posts"), None)
    return f"; posts then at x = {', '.join(map(show, posts))}" if posts else ""


def step_changes(
    section: Section, record: JobFlight | JobLevel, risers: int, unit_run: Fraction | None
) -> tuple[Change, ...] | None:
    """The changes that give a flight another number of risers or another run, rise kept.

    None where the stair was measured nosing by nosing, or is fixed by an angle, so that no exact
    number can be written.  Keys that would contradict are taken out; posts that the job lists move
    along with the tread or landing that they stand on.
    """
    flight = section.flight
    if flight is None or flight.survey is not None or risers < 2:
        return None
    run = flight.unit_run if unit_run is None else unit_run
    if not (isinstance(run, Fraction) and isinstance(flight.total_rise, Fraction)) or run <= 0:
        return None
    changes: dict[str, object] = dict.fromkeys(STEP_KEYS)
    changes |= {"rise": flight.total_rise, "risers": risers, "unit_run": run}
    if record.posts is not None:
        posts = posts_on_steps(section, record, risers, run)
        if posts is None:
            return None
        changes["posts"] = posts
    return tuple(Change("section", key, value) for key, value in changes.items())


def posts_on_steps(
    section: Section, record: JobFlight | JobLevel, risers: int, run: Fraction
) -> tuple[Fraction, ...] | None:
    """The listed posts of a flight on the same steps, or landing, of one with other steps.

    ``section`` is the flight as it is, ``run`` the other's unit run [job's unit of length].  None
    where a post stands on a step that the other flight has not, or where no exact place can be
    told.
    """
    flight, moved = section.flight, []
    if flight is None:
        return None
    for post, centre in zip(section.posts, record.posts or (), strict=True):
        steps = 0, 0  # runs up to where it stands, in the one flight and in the other
        if post.tread is not None:
            if post.tread >= risers:
                return None
            steps = post.tread - 1, post.tread - 1
        elif post.surface > 0:
            steps = flight.risers - 1, risers - 1
        if steps != (0, 0):
            if not isinstance(flight.unit_run, Fraction):
                return None
            centre += steps[1] * run - steps[0] * flight.unit_run
        moved.append(centre)
    return tuple(moved)
