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
from typing import Any, TypeVar

from msgspec import Struct
from msgspec.structs import asdict, replace

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

    bounds: dict[object, tuple[float, float]]
    refused: tuple[Refused, ...] = ()


Moved = TypeVar("Moved")
Pair = tuple[tuple[Fraction, Moved], ...]
"""How far a measurement is moved, down and up, and what then is what."""


def _moved(
    record: Any, names: tuple[str, ...], within: Fraction
) -> Iterator[tuple[str, Pair[Any]]]:
    """The record with one of its lengths moved down and up, for each that it has."""
    for name in names:
        value = getattr(record, name, None)
        if isinstance(value, Fraction) and value != 0:
            low = max(value - within, value / 2)  # a part is never of no size
            ends = (low, value + within)
            yield name, tuple((end - value, replace(record, **{name: end})) for end in ends)


def _as_far_as_it_can(
    section: JobFlight | JobLevel, name: str, value: Fraction, within: Fraction
) -> tuple[Fraction, Fraction]:
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


def moved_jobs(job: Job, index: int) -> Iterator[tuple[str, Pair[Job]]]:
    """The job with one measurement moved down and up by ``measured_within``, for each in turn.

    Of the section ``index``, from 0, which has its bottom gap: the measurement's key; how far it is
    moved, and the job with it, smaller, then larger.
    """
    # a surplus measurement that moves must not read as a contradiction
    loose = replace(job, measured_within=3 * job.measured_within)
    for table, key, pair in _moved_parts(job):
        yield key, tuple((by, replace(loose, **{table: part})) for by, part in pair)
    for key, changed in _moved_lengths(job, index):
        moved = []
        for by, values in changed:
            sections = list(loose.sections)
            sections[index] = with_values(sections[index], **values)
            moved.append((by, replace(loose, sections=tuple(sections))))
        yield key, tuple(moved)


def _moved_parts(job: Job) -> Iterator[tuple[str, str, Pair[Any]]]:
    """The parts with one length off: table, key, and how far with the part."""
    within = job.measured_within
    panel = PanelAsMeasured(**asdict(job.panel), sold=job.panel)
    parts = {"panel": panel, "bracket": job.bracket, "post": job.post}
    for table, names in _PARTS.items():
        for name, pair in _moved(parts[table], names, within):
            yield table, f"{table}: {name}", pair
    for table, inner, names in _WITHIN_PARTS:
        outer = parts[table]
        for name, pair in _moved(getattr(outer, inner), names, within):
            whole = tuple((by, replace(outer, **{inner: one})) for by, one in pair)
            yield table, f"{table}: {inner}: {name}", whole


def _moved_lengths(job: Job, index: int) -> Iterator[tuple[str, Pair[dict[str, Any]]]]:
    """A section's own measurements, one off at a time: key, and how far with its new values."""
    section, within = job.sections[index], job.measured_within
    for name in ("bottom_gap", *(_FLIGHT if isinstance(section, JobFlight) else _LEVEL)):
        value = value_of(section, name)
        if isinstance(value, Fraction) and (value != 0 or name == "bottom_gap"):
            ends = _as_far_as_it_can(section, name, value, within)
            yield name, tuple((end - value, {name: end}) for end in ends)
    for name, framings in _moved(section.framing, ("edge_to_post",), within):
        yield f"framing: {name}", tuple((by, {"framing": one}) for by, one in framings)
    rake = value_of(section, "rake")
    if rake is not None and within:
        off = read_within("rake", rake, within)
        yield "rake", tuple((by, {"rake": rake + by}) for by in (-off, off))
    if isinstance(section, JobFlight):
        yield from _moved_nosings(section, within)
    for place, told in enumerate(section.as_built):
        for name in ("lean", "clear_low", "clear_high"):
            value = getattr(told, name)
            if value is None:
                continue
            before, after = section.as_built[:place], section.as_built[place + 1 :]
            moved = [(by, replace(told, **{name: value + by})) for by in (-within, within)]
            yield (
                f"as_built: post {told.post}: {name}",
                tuple((by, {"as_built": (*before, one, *after)}) for by, one in moved),
            )
    # along a level run the first post is the datum of all the others
    first, posts = int(isinstance(section, JobLevel)), section.posts or ()
    for place in range(first, len(posts)):
        yield (
            f"posts: post {place + 1}",
            tuple(
                (by, {"posts": (*posts[:place], posts[place] + by, *posts[place + 1 :])})
                for by in (-within, within)
            ),
        )


def _moved_nosings(
    section: JobFlight, within: Fraction
) -> Iterator[tuple[str, Pair[dict[str, Any]]]]:
    single = section.steps.rises is not None
    nosings = section.steps.nosings or ()
    for place in range(len(nosings)):
        for axis, name in enumerate("xy"):
            if place == 0 and axis == 0:
                continue  # the datum of all the others
            key = f"nosings: nosing {place + 1}: {name}"
            if single:
                key = f"runs: tread {place}" if axis == 0 else f"rises: riser {place + 1}"
            pair = []
            for by in (-within, within):
                points = [list(point) for point in nosings]
                # a step measured singly carries all above it along
                for point in points[place:] if single else points[place : place + 1]:
                    point[axis] += by
                pair.append((by, {"nosings": tuple(map(tuple, points))}))
            yield key, tuple(pair)


def worst_values(
    job: Job,
    index: int,
    nominal: Mapping[object, Result],
    results: Callable[[Job], Mapping[object, Result]],
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
        moves: list[Mapping[object, Result]] = []
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
