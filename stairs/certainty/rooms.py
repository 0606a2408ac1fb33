"""Room that a guard needs to be built at all, as amounts that must stay 0 or more.

They are what :mod:`stairs.guard.limits` and :mod:`stairs.parts.posts` refuse a guard for.  While
all of them are kept every post stands on the step that it stands on as read.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from functools import partial
from itertools import pairwise

from stairs.certainty.enclosure import Enclosure, greatest, least
from stairs.certainty.traced import Result, Worked
from stairs.guard.solving import Section
from stairs.job import Job, JobFlight
from stairs.parts.flight import Flight, step_sizes
from stairs.parts.posts import Post
from stairs.relations.exact import Amount


def rooms_of(section: Section, job: Job) -> Iterator[Result]:
    """Every room of a section that was solved with traced measurements [job's unit of length]."""
    yield from _between_posts(section, job)
    for bay in section.bays:
        yield partial(_less, bay.ends.rail_length, Fraction(0))
    flight = section.flight
    if flight is None or not isinstance(section.record, JobFlight):
        return
    yield from _in_steps(flight)
    for post in section.posts:
        yield from _on_step(post, flight, job)
    yield from _over_stair(section, flight)


def _between_posts(section: Section, job: Job) -> Iterator[Result]:
    kind = job.post

    def room(low: Post, high: Post, worked: Worked) -> Enclosure:
        wide = greatest([worked(kind.width), worked(kind.base or Fraction(0))])
        apart = worked(high.stand.centre - low.stand.centre)
        return apart - wide * (2 - low.wall - high.wall) / 2

    for low, high in pairwise(section.posts):
        yield partial(room, low, high)


def _in_steps(flight: Flight) -> Iterator[Result]:
    sizes = step_sizes(flight)
    for rise in sizes["rise"]:
        yield partial(_less, rise, flight.tread_thickness)
    for run in sizes["run"]:
        yield partial(_less, run, flight.nosing)


def _less(one: Amount, other: Amount, worked: Worked) -> Enclosure:
    return worked(one) - worked(other)


def _room(
    to: tuple[Amount, ...], of: tuple[Amount, ...], wide: Fraction, worked: Worked
) -> Enclosure:
    """From one place to another, less half of what stands between."""
    found = worked(wide) / -2
    for amount in to:
        found += worked(amount)
    for amount in of:
        found += -worked(amount)
    return found


def _on_step(post: Post, flight: Flight, job: Job) -> Iterator[Result]:
    kind, step, centre = job.post, post.stand.step, post.stand.centre
    plate, width = kind.base or kind.width, kind.width
    if post.wall:
        plate = width = Fraction(0)
    if step >= 1:
        front = flight.points[step - 1][0]
        yield partial(_room, (centre,), (front,), plate)
    if step < flight.risers:
        above = flight.points[step][0]
        nosing = Fraction(0) if post.wall else flight.nosing
        yield partial(_room, (above, nosing), (centre,), plate)
        yield partial(_room, (above,), (centre,), width)


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
