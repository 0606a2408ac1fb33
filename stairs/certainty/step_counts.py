"""Flights whose number of risers the measurements leave open, where it was not counted.

A rise divided by one riser is taken for the nearest whole number.  Where many steps were measured
roughly another number may be meant, and all of the flight is another one then.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from msgspec.structs import replace

from stairs.errors import JobError
from stairs.job import Job, JobFlight
from stairs.job.key_notes import value_of, with_values
from stairs.relations.measured_flight import fix_flight
from stairs.relations.quantities import FLIGHT_KEYS


def other_counts(job: Job, index: int) -> Iterator[tuple[Job, dict[str, Fraction]]]:
    """The job with one riser more or less told, if the measurements of a section allow for that.

    With it what its measurements are then, by their keys, as they follow from each other.
    ``index`` is the section's, from 0; the numbers may be off by as much as the job tells.
    """
    section = job.sections[index]
    if not isinstance(section, JobFlight) or section.steps.nosings is not None:
        return
    given = {
        name: Fraction(value)
        for key, name in FLIGHT_KEYS.items()
        if (value := value_of(section, key)) is not None
    }
    if given.keys() & {"risers", "treads"}:
        return
    top, within = section.steps.top, job.tolerances
    count = fix_flight(given, top=top, within=within).values["risers"]
    for other in (int(float(count)) - 1, int(float(count)) + 1):
        try:
            found = fix_flight({**given, "risers": Fraction(other)}, top=top, within=within).values
        except JobError:
            continue
        told = with_values(section, risers=other)
        sections = (*job.sections[:index], told, *job.sections[index + 1 :])
        keys = ((key, name) for key, name in FLIGHT_KEYS.items() if name in given)
        read = {key: Fraction(float(found[name])) for key, name in keys}
        yield replace(job, sections=sections), read
