"""Room that a guard needs to be built at all, as amounts that must stay 0 or more.

They are what :mod:`stairs.guard.limits` and :mod:`stairs.parts.posts` refuse a guard for.  While
all of them are kept every post stands on the step that it stands on as read.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise

from stairs.certainty.enclosure import Enclosure, greatest, least
from stairs.certainty.traced import Result, Worked
from stairs.guard.solving import Section
from stairs.job import Job, JobFlight
from stairs.parts.flight import Flight
from stairs.parts.posts import Post
from stairs.relations.exact import Amount


def rooms_of(section: Section, job: Job) -> Iterator[Result]:
    """Every room of a section that was solved with traced measurements [job's unit of length]."""
    yield from _between_posts(section, job)
    for bay in section.bays:
        yield lambda worked, length=bay.ends.rail_length: worked(length)
    flight = section.flight
    if flight is None or not isinstance(section.record, JobFlight):
        return
    yield from _in_steps(flight)
    for post in section.posts:
        yield from _on_step(post, flight, job)
    yield from _over_stair(section, flight)


def _between_posts(section: Section, job: Job) -> Iterator[Result]:
    kind = job.post
    for low, high in pairwise(section.posts):
        walls = low.wall + high.wall
        apart = high.stand.centre - low.stand.centre
        yield lambda worked, apart=apart, share=2 - walls: (
            worked(apart)
            - greatest([worked(kind.width), worked(kind.base or Fraction(0))]) * share / 2
        )


def _in_steps(flight: Flight) -> Iterator[Result]:
    rises, runs = (flight.unit_rise,), (flight.unit_run,)
    if flight.survey is not None:
        rises, runs = flight.survey.rises, flight.survey.runs
    for rise in rises:
        yield lambda worked, rise=rise: worked(rise) - worked(flight.tread_thickness)
    for run in runs:
        yield lambda worked, run=run: worked(run) - worked(flight.nosing)


def _on_step(post: Post, flight: Flight, job: Job) -> Iterator[Result]:
    kind, step, centre = job.post, post.stand.step, post.stand.centre
    plate, width = kind.base or kind.width, kind.width
    if post.wall:
        plate = width = Fraction(0)
    if step >= 1:
        front = flight.points[step - 1][0]
        yield lambda worked: worked(centre) - worked(plate) / 2 - worked(front)
    if step < flight.risers:
        above = flight.points[step][0]
        nosing = Fraction(0) if post.wall else flight.nosing
        yield lambda worked: worked(above) + worked(nosing) - worked(centre) - worked(plate) / 2
        yield lambda worked: worked(above) - worked(centre) - worked(width) / 2


def _over_stair(section: Section, flight: Flight) -> Iterator[Result]:
    """Of the rail over the stringer, the ground at its foot, and the landing at its head."""
    exact, record = section.exact, section.record
    assert isinstance(record, JobFlight)
    clear, rise, run = exact["clear_gap"], flight.line_rise, flight.line_run
    if record.build.stringer == "closed":
        yield lambda worked: worked(clear) - worked(exact["stringer_margin"])
    yield lambda worked: worked(exact["line_at_first_post"]) + worked(clear)
    last = section.posts[-1].stand
    if last.step == flight.risers:
        x, y = flight.points[-1]
        reach = section.ends.high_reach

        def over(worked: Worked, at: Amount) -> Enclosure:
            slope = worked.slope(rise, run)
            lift = worked(rise) + worked(at) * slope - worked(y)
            return worked(exact["racked_height"]) - worked(exact["bottom_gap"]) - lift

        def left(worked: Worked) -> Enclosure:
            slope = worked.slope(rise, run)
            face = worked(last.centre) - worked(reach)
            lift = worked(rise) + face * slope - worked(y)
            return worked(exact["racked_height"]) - worked(exact["bottom_gap"]) - lift

        yield lambda worked: least([over(worked, x), left(worked)])
