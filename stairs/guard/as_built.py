"""The guard as it stands: sections whose posts are set, taken where they were measured.

A job is first solved as it was drawn.  Once its posts stand, each a little off, they are measured,
and from then on the job's sections have them where they are: the places here, the heights of their
surfaces where stands are made of them (:mod:`stairs.guard.solving`).
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from fractions import Fraction
from functools import partial

from msgspec.structs import replace

from stairs.errors import JobError, MeasurementsContradict
from stairs.guard.lines import GuardJob, ends_of
from stairs.job import AsBuilt, Framing, Job, JobFlight, JobLevel, section_where
from stairs.job.as_built import on_hand
from stairs.job.mitre import billionth
from stairs.lengths.tape_marks import exact_text, length_text
from stairs.parts.flight import flight_of
from stairs.parts.post_places import posts_on_flight, posts_on_level
from stairs.parts.section_ends import POST, WALL
from stairs.relations.exact import Amount

MEASURED = ("x", "surface", "lean", "clear_low", "clear_high")
"""What may be told of a post as it stands."""


def as_it_stands(job: GuardJob) -> GuardJob:
    """The job with every post that was measured where it stands.

    Along a level run the first post stays the datum: what it stands off is taken off all others.

    Raises
    ------
    JobError
        Posts are told that the job leaves to be placed, not all of them.
    MeasurementsContradict
        The surface of a post that two sections share is told twice, and otherwise.
    """
    if not any(section.as_built for section in job.sections):
        return job
    sections = [_placed(job, index) for index in range(len(job.sections))]
    for index in range(1, len(sections)):
        if sections[index].as_built or sections[index - 1].as_built:
            below, above = sections[index - 1 : index + 1]
            sections[index - 1 : index + 1] = _one_surface(job, index, below, above)
    return replace(job, sections=tuple(sections))


def _placed(job: GuardJob, index: int) -> JobFlight | JobLevel:
    """A section with its posts where they stand."""
    section = job.sections[index]
    told = on_hand(section.as_built, section.hand)
    if not told:
        return replace(section, as_built=())
    found = {one.post: one for one in told}
    drawn = _drawn(job, index)
    measured = [one for one in told if one.x is not None]
    clears = {one.post for one in told if one.clear_low is not None or one.clear_high is not None}
    if not measured and not clears:
        return replace(section, as_built=told)
    if drawn is None:
        if not measured:
            raise JobError(
                f"{section_where(index + 1, section.name, file=job.where)}: as_built",
                "tells what is clear between posts, and where posts go is left open",
                "Posts that are set are all in their places",
                "Give the x of every post too, or list posts as they were planned",
            )
        if sorted(one.post for one in measured) != list(range(1, max(len(measured), 2) + 1)):
            raise JobError(
                f"{section_where(index + 1, section.name, file=job.where)}: as_built",
                f"tells the x of {len(measured)} post{'s' * (len(measured) > 1)}, and where posts "
                "go is left open",
                "Posts that are set are all in their places",
                "Give the x of every post from the first to the last, or list posts as they were "
                "planned",
            )
        drawn = tuple(one.x for one in measured if one.x is not None)
    if max(found) > len(drawn):
        raise JobError(
            f"{section_where(index + 1, section.name, file=job.where)}: as_built",
            f"tells of post {max(found)}",
            f"The section has {len(drawn)}",
            "Give the post's number in its own section",
        )
    found = {one.post: replace(one, designed=drawn[one.post - 1]) for one in told}
    places = list(drawn)
    ends = ends_of(job, index)
    for number in range(len(places)):
        one, before = found.get(number + 1), found.get(number)
        if one is not None and one.x is not None:
            places[number] = one.x
        elif before is not None and (clear := _plumb_clear(before, one)) is not None:
            reach = (ends.reach(place, len(places)) for place in (number - 1, number))
            places[number] = places[number - 1] + clear + sum(map(_fraction, reach))
            one = one or AsBuilt(post=number + 1, hand=section.hand)
            found[number + 1] = replace(one, x=places[number], designed=drawn[number])
    if max(clears, default=0) >= len(drawn):
        raise JobError(
            f"{section_where(index + 1, section.name, file=job.where)}: as_built",
            f"tells what is clear after post {max(clears)}, the last one",
            "The clear width is that to the next post of the section",
            "Tell it of the post before, or leave it out",
        )
    told = tuple(found[post] for post in sorted(found))
    return _standing_at(section, places, told)


def _standing_at(
    section: JobFlight | JobLevel,
    places: Sequence[Fraction],
    told: tuple[AsBuilt, ...],
    first: Fraction = Fraction(0),
) -> JobFlight | JobLevel:
    """The section with its posts in these places; its first one was at ``first`` before."""
    if isinstance(section, JobFlight):
        return replace(section, posts=tuple(places), bays=None, as_built=told)
    run = tuple(place - places[0] for place in places)
    framing = _framing_from(section.framing, places[0] - first)
    return replace(section, posts=run, bays=None, span=run[-1], as_built=told, framing=framing)


def _framing_from(framing: Framing | None, by: Fraction) -> Framing | None:
    """The deck under a run whose first post, from which it is measured, stands so much farther."""
    if framing is None or not by:
        return framing
    if framing.direction == "across":
        framing = replace(framing, first_joist=framing.first_joist - by)
    beside = framing.direction != framing.board_direction  # boards lie side by side along the run
    if beside and framing.first_board is not None:
        framing = replace(framing, first_board=framing.first_board - by)
    return framing


def as_planned(
    section: JobFlight | JobLevel, but: Collection[tuple[int, str]] | None = None
) -> JobFlight | JobLevel:
    """A section that stands as measured, as it was planned.

    With ``but`` it stands as measured but for some keys of some posts, by the post's number.
    """
    told = [
        replace(one, **{key: None for key in MEASURED if but is None or (one.post, key) in but})
        for one in section.as_built
    ]
    kept = tuple(one for one in told if any(getattr(one, key) is not None for key in MEASURED))
    if section.posts is None:
        return replace(section, as_built=kept)
    by_number = {one.post: one for one in section.as_built}
    first = by_number.get(1, AsBuilt(post=1)).x if isinstance(section, JobLevel) else None
    moved = first or Fraction(0)
    places = [place + moved for place in section.posts]
    for old, new in zip(section.as_built, told, strict=True):
        if old.x is not None and new.x is None and old.designed is not None:
            places[old.post - 1] = old.designed
    return _standing_at(section, places, kept, moved)


def _plumb_clear(before: AsBuilt, post: AsBuilt | None) -> Fraction | None:
    """What is clear between two plumb posts, as it was measured; None where one of them leans."""
    if before.lean or (post is not None and post.lean):
        return None
    return before.clear_high if before.clear_low is None else before.clear_low


def _drawn(job: Job, index: int) -> tuple[Fraction, ...] | None:
    """Where the posts of a section were to stand; None where that is left to be chosen."""
    section = job.sections[index]
    if section.posts is not None:
        return section.posts
    if not isinstance(section.bays, int):
        return None
    if isinstance(section, JobLevel):
        walls = section.ends.start == WALL, section.ends.end == WALL
        return posts_on_level(section.span, section.bays, job.post.width, walls)
    where = section_where(index + 1, section.name, file=job.where)
    show = partial(length_text, units=job.units, mark=job.tape)
    flight = flight_of(section, job.tolerances, where)
    return posts_on_flight(flight, job.post, section.bays, job.tape, where, show)


def _top_surface(job: Job, section: JobFlight | JobLevel, where: str) -> Fraction:
    """How high the surface that a section ends on is drawn, over its own origin."""
    if isinstance(section, JobLevel):
        return Fraction(0)
    flight = flight_of(section, job.tolerances, where)
    height = flight.surface(flight.risers)
    return _fraction(height)


def _fraction(amount: Amount) -> Fraction:
    if isinstance(amount, Fraction):
        return amount
    return billionth(float(amount))


def _one_surface(
    job: GuardJob, index: int, below: JobFlight | JobLevel, above: JobFlight | JobLevel
) -> tuple[JobFlight | JobLevel, JobFlight | JobLevel]:
    """Two sections, the post that they share on one surface where either tells of it."""
    if not ends_of(job, index).shared or below.ends.end != POST or below.posts is None:
        return below, above
    last = len(below.posts)
    low, high = _surface(below, last), _surface(above, 1)
    if low is None and high is None:
        return below, above
    where = section_where(index, below.name, file=job.where)
    top = _top_surface(job, below, where)
    if low is None:
        assert high is not None
        return _with_surface(below, last, top + high), above
    if high is None:
        return below, _with_surface(above, 1, low - top)
    if abs(low - top - high) > 2 * job.tolerances.of("as_built.surface"):
        units = job.units
        raise MeasurementsContradict(
            f"{section_where(index + 1, above.name, file=job.where)}: as_built: surface",
            f"of post 1 is {exact_text(high, units)}, and that of the same post in section "
            f"{index}, {exact_text(low, units)}, is {exact_text(low - top, units)} from there: "
            f"they differ by {exact_text(abs(low - top - high), units)}",
            "A post that two sections share stands on one surface",
            "Measure it again, and tell it once",
            (float(high), float(low - top)),
        )
    return below, above


def _surface(section: JobFlight | JobLevel, post: int) -> Fraction | None:
    return next((one.surface for one in section.as_built if one.post == post), None)


def _with_surface(
    section: JobFlight | JobLevel, post: int, surface: Fraction
) -> JobFlight | JobLevel:
    told = {one.post: one for one in section.as_built}
    told[post] = replace(told.get(post, AsBuilt(post=post, hand=section.hand)), surface=surface)
    return replace(section, as_built=tuple(told[number] for number in sorted(told)))


def by_post(section: JobFlight | JobLevel) -> Mapping[int, AsBuilt]:
    """What is told of the posts of a section as they stand, by post from 0."""
    return {one.post - 1: one for one in section.as_built}
