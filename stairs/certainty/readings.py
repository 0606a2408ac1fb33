"""Readings: what was measured of a job, how far off each may be, and the job with other ones.

What was decided from the measurements stays decided: posts that were laid out stand there as if
listed, the bottom gap is the one that was chosen, and a panel has the holes it was sold with,
however its pitch was read.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from fractions import Fraction
from functools import partial
from itertools import accumulate
from typing import Any

from msgspec import Struct
from msgspec.structs import asdict, replace

from stairs.certainty.traced import Range
from stairs.guard.lines import line_of
from stairs.job import Job, JobFlight, JobLevel
from stairs.job.key_notes import keys_of, value_of, with_values
from stairs.job.records import Bracket, BracketBody, Panel, PostKind, Slot
from stairs.lengths.tolerances import Tolerances
from stairs.parts.panel import PanelAsMeasured
from stairs.relations.measured_flight import read_within

_RECORDS: dict[str, type[Struct]] = {"panel": Panel, "bracket": Bracket, "post": PostKind}
_WITHIN_PARTS: tuple[tuple[str, str, type[Struct]], ...] = (
    ("panel", "slot", Slot),
    ("bracket", "body", BracketBody),
)
_LISTED = ("rake", "nosings", "rises", "runs", "posts", "edge")
"""What is measured of a section and is no length by itself."""


def _measured(record: type[Struct]) -> Iterator[str]:
    """The keys of a record that are measured: chosen ones (stock, reveal, limits) are not."""
    return (name for name, key in keys_of(record).items() if key.note.measured)


class Reading(Struct, frozen=True):
    """One measurement: its key, what was read, between what it lies, and the job with another.

    ``put`` takes a job and the new value, in the measurement's own unit.
    """

    key: str
    value: Fraction
    low: Fraction
    high: Fraction
    put: Callable[[Job, Fraction], Job]


def readings_of(job: Job, index: int) -> tuple[Reading, ...]:
    """Every measurement that a section depends on, each within its own tolerance.

    ``index`` is that of the section, from 0, which has its bottom gap.
    """
    found = (*_of_parts(job), *_of_section(job, index))
    return tuple(one for one in found if one.low < one.high)


def readings_beside(job: Job, index: int) -> tuple[Reading, ...]:
    """Those of another section, each of its own called by its number too: ``"section 2: span"``."""
    own = (replace(one, key=f"section {index + 1}: {one.key}") for one in _of_section(job, index))
    return tuple(one for one in (*_of_parts(job), *own) if one.low < one.high)


def ranges_of(readings: Sequence[Reading]) -> dict[str, Range]:
    """Between what each measurement lies, by its key."""
    return {reading.key: (reading.low, reading.high) for reading in readings}


def job_with(job: Job, readings: Sequence[Reading], values: Mapping[str, Fraction]) -> Job:
    """The job with other measurements, by their keys; all others as they were read."""
    moved = _as_sold(job)
    for reading in readings:
        if reading.key in values:
            moved = reading.put(moved, values[reading.key])
    return moved


def _as_sold(job: Job) -> Job:
    return replace(job, panel=PanelAsMeasured(**asdict(job.panel), sold=job.panel))


def _of_parts(job: Job) -> Iterator[Reading]:
    of = job.tolerances.of
    for table, record in _RECORDS.items():
        for name in _measured(record):
            value = getattr(getattr(job, table), name)
            if value:
                put = partial(_put_part, table, name)
                yield _of_a_size(f"{table}: {name}", value, of(f"{table}.{name}"), put)
    for table, inner, record in _WITHIN_PARTS:
        held = getattr(getattr(job, table), inner)
        for name in _measured(record) if held is not None else ():
            value = getattr(held, name)
            if value:
                put, path = partial(_put_inner, table, inner, name), f"{table}.{inner}.{name}"
                yield _of_a_size(path.replace(".", ": "), value, of(path), put)


def _of_a_size(key: str, value: Fraction, within: Fraction, put: Any) -> Reading:
    low = max(value - within, value / 2)  # a part is never of no size
    return Reading(key, value, low, value + within, put)


def _put_part(table: str, name: str, job: Job, value: Fraction) -> Job:
    return replace(job, **{table: replace(getattr(job, table), **{name: value})})


def _put_inner(table: str, inner: str, name: str, job: Job, value: Fraction) -> Job:
    outer = getattr(job, table)
    held = replace(getattr(outer, inner), **{name: value})
    return replace(job, **{table: replace(outer, **{inner: held})})


def _of_section(job: Job, index: int) -> Iterator[Reading]:
    section, within = job.sections[index], job.tolerances
    put: Callable[[Job, Fraction], Job]
    slack = _of_left_line(job, index)
    for name in _measured(type(section)):
        value = value_of(section, name)
        if name in _LISTED or not isinstance(value, Fraction):
            continue
        if value != 0 or name == "bottom_gap":
            off = within.of(_told_by(section, name)) + (slack if name == "span" else 0)
            low, high = _as_far_as_it_can(section, name, value, off)
            yield Reading(name, value, low, high, partial(_put_value, index, name))
    framing = section.framing
    if framing is not None and framing.edge_to_post:
        put, off = partial(_put_edge, index), within.of("framing.edge_to_post")
        yield _of_a_size("framing: edge_to_post", framing.edge_to_post, off, put)
    rake = value_of(section, "rake")
    if rake is not None and within.of("rake"):
        off = read_within("rake", rake, within)
        yield Reading("rake", rake, rake - off, rake + off, partial(_put_value, index, "rake"))
    if isinstance(section, JobFlight):
        yield from _of_nosings(section, within, index)
    for place, told in enumerate(section.as_built):
        for name in ("surface", "lean", "clear_low", "clear_high"):
            value, off = getattr(told, name), within.of(f"as_built.{name}")
            if value is not None:
                put = partial(_put_as_built, index, place, name)
                key = f"as_built: post {told.post}: {name}"
                yield Reading(key, value, value - off, value + off, put)
    # along a level run the first post is the datum of all the others
    first, posts = int(isinstance(section, JobLevel)), section.posts or ()
    standing = {told.post for told in section.as_built if told.x is not None}
    for place in range(first, len(posts)):
        centre, put = posts[place], partial(_put_post, index, place)
        off = within.of("as_built.x" if place + 1 in standing else "posts") + slack
        key = f"posts: post {place + 1}"
        yield Reading(key, centre, centre - off, centre + off, put)


def _of_left_line(job: Job, index: int) -> Fraction:
    """How much farther off a left-hand run may be: it follows from the right-hand one.

    The corner of the left-hand line is off it by the widths of both sections there, at a turn by
    ``t`` by no more than ``(1 + |cos t|) / |sin t|`` times what either width is off.
    """
    line, section = line_of(job, index), job.sections[index]
    if not line.opposite_of or not isinstance(section, JobLevel):
        return Fraction(0)
    turns = [section.ends.turn] if line.begins is None else []
    if index + 1 < len(job.sections) and line_of(job, index + 1).begins is None:
        turns.append(job.sections[index + 1].ends.turn)
    within, found = job.tolerances, Fraction(0)
    beside = any(value_of(one, "side_gap") for one in job.sections)
    width = within.of("width") + (2 * within.of("side_gap") if beside else 0)
    for turn in turns:
        if turn % 180:
            angle = math.radians(turn)
            found += width * Fraction((1 + abs(math.cos(angle))) / abs(math.sin(angle)))
    return found


def _told_by(section: JobFlight | JobLevel, name: str) -> str:
    """The key that was measured where a value was worked out of another one."""
    return "edge" if name == "span" and value_of(section, "edge") is not None else name


def _as_far_as_it_can(
    section: JobFlight | JobLevel, name: str, value: Fraction, within: Fraction
) -> Range:
    """A length moved down and up, but not to where the guard could not stand."""
    low, high, gap = max(value - within, Fraction(0)), value + within, section.bottom_gap
    if not value_of(section, "side_gap"):  # the rail, and a strip under it, lie over the treads
        if name == "bottom_gap":
            low = max(low, section.filler)
        elif name == "filler" and isinstance(gap, Fraction):
            high = min(high, gap)
    elif name == "bottom_gap":
        low = value - within
    elif name == "side_gap" and isinstance(gap, Fraction) and gap < 0:
        low = max(low, value / 2)
    return low, high


def _put_section(job: Job, index: int, section: JobFlight | JobLevel) -> Job:
    return replace(job, sections=(*job.sections[:index], section, *job.sections[index + 1 :]))


def _put_value(index: int, name: str, job: Job, value: Fraction) -> Job:
    return _put_section(job, index, with_values(job.sections[index], **{name: value}))


def _put_edge(index: int, job: Job, value: Fraction) -> Job:
    section = job.sections[index]
    assert section.framing is not None
    framing = replace(section.framing, edge_to_post=value)
    return _put_section(job, index, replace(section, framing=framing))


def _put_as_built(index: int, place: int, name: str, job: Job, value: Fraction) -> Job:
    section = job.sections[index]
    told = list(section.as_built)
    told[place] = replace(told[place], **{name: value})
    return _put_section(job, index, replace(section, as_built=tuple(told)))


def _put_post(index: int, place: int, job: Job, value: Fraction) -> Job:
    section = job.sections[index]
    posts = list(section.posts or ())
    posts[place] = value
    return _put_section(job, index, replace(section, posts=tuple(posts)))


def _of_nosings(section: JobFlight, within: Tolerances, index: int) -> Iterator[Reading]:
    steps = section.steps
    put: Callable[[Job, Fraction], Job]
    if steps.rises is not None:
        for name, step in (("rises", "riser"), ("runs", "tread")):
            for place, size in enumerate(getattr(steps, name) or ()):
                put = partial(_put_size, index, name, place)
                key = f"{name}: {step} {place + 1}"
                off = within.of(name)
                yield Reading(key, size, size - off, size + off, put)
        return
    for place, nosing in enumerate(steps.nosings or ()):
        for axis, name in enumerate("xy"):
            if place or axis:  # the first is the datum of all the others
                put = partial(_put_nosing, index, place, axis)
                key, value = f"nosings: nosing {place + 1}: {name}", nosing[axis]
                off = within.of("nosings")
                yield Reading(key, value, value - off, value + off, put)


def _put_nosing(index: int, place: int, axis: int, job: Job, value: Fraction) -> Job:
    points = [list(point) for point in value_of(job.sections[index], "nosings")]
    points[place][axis] = value
    return _put_value_of_steps(job, index, nosings=tuple((x, y) for x, y in points))


def _put_size(index: int, name: str, place: int, job: Job, value: Fraction) -> Job:
    """A step measured singly carries all above it along."""
    sizes = {each: list(value_of(job.sections[index], each) or ()) for each in ("rises", "runs")}
    sizes[name][place] = value
    along, up = accumulate([Fraction(0), *sizes["runs"]]), accumulate(sizes["rises"])
    nosings = tuple(zip(along, up, strict=True))
    return _put_value_of_steps(job, index, nosings=nosings, **{name: tuple(sizes[name])})


def _put_value_of_steps(job: Job, index: int, **values: Any) -> Job:
    return _put_section(job, index, with_values(job.sections[index], **values))
