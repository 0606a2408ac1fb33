"""Measuring error: how far a result may be off because a tape was read a little wrong.

``measured_within`` says how far off any one measurement may be.  Every length that was typed is
moved by that much either way, the guard is solved again each time, and for each result the worst
of the two moves of every measurement are added up.  A result that passes as drawn but fails at the
worst of all these is marginal, and so is a guard that one such move makes impossible to build.

What was decided from the measurements stays decided: posts that were laid out stand there as if
listed, the bottom gap is the one that was chosen, and a panel has the holes it was sold with,
however its pitch was read.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from fractions import Fraction

import msgspec
from msgspec import Struct
from msgspec.structs import asdict

from stairs.errors import JobError, MeasurementsContradict
from stairs.job import Job, JobFlight, JobLevel, section_where
from stairs.job.key_notes import value_of, with_values
from stairs.parts.panel import PanelAsMeasured
from stairs.progress import at_work
from stairs.relations.measured_flight import read_within

_PARTS = {
    "panel": ("height", "top_rail", "bottom_rail", "baluster", "pitch", "end_margin", "rail_width"),
    "bracket": ("pivot_offset", "rail_setback", "end_clearance"),
    "post": ("width", "base"),
}
_WITHIN_PARTS = (("panel", "slot", ("length", "wall")), ("bracket", "body", ("height", "reach")))
"""Lengths of the parts that are measured; what is chosen (stock, reveal, limits)
and what comes with the bracket (the holes of its plate) is not among."""

_FLIGHT = (
    "rise",
    "unit_rise",
    "run",
    "unit_run",
    "nosing",
    "tread_thickness",
    "stringer_margin",
    "side_gap",
    "filler",
    "post_gap",
)
_LEVEL = ("span", "filler", "post_gap")


class Result(Struct, frozen=True):
    """A result of a section, in any unit, and the shape that it is the result of.

    Of two results with like shapes one goes over into the other as measurements move; between
    unlike ones it jumps, as an end gap does by a pitch where its baluster falls off the rail.
    """

    value: float
    shape: object = None


class Refused(Struct, frozen=True):
    """A measuring error with which the guard cannot be built at all.

    ``by`` is how far off the measurement is [job's unit of length; of a rake degrees]; ``because``
    what then cannot be built, and where in the section.
    """

    measurement: str
    by: Fraction
    because: str


class Spread(Struct, frozen=True):
    """The lowest and highest value of each result, and the errors that leave no guard at all."""

    bounds: dict[str, tuple[float, float]]
    refused: tuple[Refused, ...] = ()


Moves = Iterator[tuple[str, tuple[tuple[Fraction, Job], ...]]]


def _moved(record, names: tuple[str, ...], within: Fraction) -> Iterator[tuple[str, tuple]]:
    """The record with one of its lengths moved down and up, for each that it has."""
    for name in names:
        value = getattr(record, name, None)
        if isinstance(value, Fraction) and value != 0:
            low = max(value - within, value / 2)  # a part is never of no size
            yield (
                name,
                tuple(
                    (moved - value, msgspec.structs.replace(record, **{name: moved}))
                    for moved in (low, value + within)
                ),
            )


def _as_far_as_it_can(
    section: JobFlight | JobLevel, name: str, value: Fraction, within: Fraction
) -> tuple[Fraction, Fraction]:
    """A length moved down and up, but not to where the guard could not stand."""
    low, high = max(value - within, Fraction(0)), value + within
    if not value_of(section, "side_gap"):  # the rail, and a strip under it, lie over the treads
        if name == "bottom_gap":
            low = max(low, section.filler)
        elif name == "filler":
            high = min(high, section.bottom_gap)
    elif name == "bottom_gap":
        low = value - within
    elif name == "side_gap" and section.bottom_gap < 0:
        low = max(low, value / 2)
    return low, high


def moved_jobs(job: Job, index: int) -> Moves:
    """The job with one measurement moved down and up by ``measured_within``, for each in turn.

    Of the section ``index``, from 0, which has its bottom gap: the measurement's key; how far it is
    moved, and the job with it, smaller, then larger.
    """
    within = job.measured_within
    # a surplus measurement that moves must not read as a contradiction
    loose = msgspec.structs.replace(job, measured_within=3 * within)

    def with_section(changes: Mapping) -> Job:
        sections = list(loose.sections)
        sections[index] = with_values(sections[index], **changes)
        return msgspec.structs.replace(loose, sections=tuple(sections))

    def with_part(table: str, pair: tuple) -> tuple:
        return tuple((by, msgspec.structs.replace(loose, **{table: record})) for by, record in pair)

    parts = {name: getattr(job, name) for name in _PARTS}
    parts["panel"] = PanelAsMeasured(**asdict(job.panel), sold=job.panel)
    for table, names in _PARTS.items():
        for name, pair in _moved(parts[table], names, within):
            yield f"{table}: {name}", with_part(table, pair)
    for table, inner, names in _WITHIN_PARTS:
        outer = parts[table]
        for name, pair in _moved(getattr(outer, inner), names, within):
            pair = ((by, msgspec.structs.replace(outer, **{inner: one})) for by, one in pair)
            yield f"{table}: {inner}: {name}", with_part(table, pair)
    section = job.sections[index]
    for name in ("bottom_gap", *(_FLIGHT if isinstance(section, JobFlight) else _LEVEL)):
        value = value_of(section, name)
        if isinstance(value, Fraction) and (value != 0 or name == "bottom_gap"):
            ends = _as_far_as_it_can(section, name, value, within)
            yield name, tuple((end - value, with_section({name: end})) for end in ends)
    framing = getattr(section, "framing", None)
    for name, pair in () if framing is None else _moved(framing, ("edge_to_post",), within):
        moved = tuple((by, with_section({"framing": one})) for by, one in pair)
        yield f"framing: {name}", moved
    rake = value_of(section, "rake")
    if rake is not None and within:
        off = read_within("rake", rake, within)
        yield "rake", tuple((by, with_section({"rake": rake + by})) for by in (-off, off))
    shifts = (-within, within)
    single = value_of(section, "rises") is not None
    for place in range(len(value_of(section, "nosings") or ())):
        for axis, name in enumerate("xy"):
            if place == 0 and axis == 0:
                continue  # the datum of all the others
            pair = []
            for shift in shifts:
                points = [list(point) for point in section.steps.nosings]
                # a step measured singly carries all above it along
                for point in points[place:] if single else points[place : place + 1]:
                    point[axis] += shift
                pair.append((shift, with_section({"nosings": tuple(map(tuple, points))})))
            if single:
                step = f"runs: tread {place}" if axis == 0 else f"rises: riser {place + 1}"
                yield step, tuple(pair)
            else:
                yield f"nosings: nosing {place + 1}: {name}", tuple(pair)
    for place in range(len(section.posts or ())):
        if place == 0 and isinstance(section, JobLevel):
            continue  # the datum of all the others
        pair = []
        for shift in shifts:
            posts = list(section.posts)
            posts[place] += shift
            pair.append((shift, with_section({"posts": tuple(posts)})))
        yield f"posts: post {place + 1}", tuple(pair)


def worst_values(
    job: Job,
    index: int,
    nominal: Mapping[str, Result],
    results: Callable[[Job], Mapping[str, Result]],
) -> Spread:
    """The lowest and highest that each result may really be.

    ``results`` solves a job and gives the same results for it as ``nominal``, those as drawn.

    First order: for each measurement the larger of the two changes in a direction counts, and the
    changes of all measurements add up, as if all were off at once.  A jump is no change that adds
    up with others, for it comes but once: they start anew from the value that it leads to.  A move
    that makes a result jump, or leaves no guard, is taken to change it as far as the opposite one.
    """
    down, up, refused = dict.fromkeys(nominal, 0.0), dict.fromkeys(nominal, 0.0), []
    reached = {key: [result.value] for key, result in nominal.items()}
    section = section_where(index + 1, job.sections[index].name, file=job.where)
    for name, pair in moved_jobs(job, index) if job.measured_within else ():
        at_work(f"section {index + 1}: {name} read a little off")
        moves: list[Mapping[str, Result]] = []
        for by, moved in pair:
            try:
                moves.append(results(moved))
            except MeasurementsContradict:
                continue  # the other measurements say that this one is not so far off
            except JobError as error:
                place = error.where.removeprefix(f"{section}: ")
                refused.append(Refused(name, by, f"{place}: {error.found}"))
        for key, drawn in nominal.items():
            found = [move[key] for move in moves if key in move]
            changes = [one.value - drawn.value for one in found if one.shape == drawn.shape]
            reached[key] += [one.value for one in found if one.shape != drawn.shape]
            if len(changes) == 1:
                changes.append(-changes[0])
            down[key] += min([0.0, *changes])
            up[key] += max([0.0, *changes])
    bounds = {
        key: (min(values) + down[key], max(values) + up[key]) for key, values in reached.items()
    }
    return Spread(bounds, tuple(refused))
