"""Guard limits: what cannot be built at all, whatever a rulebook says.

A rule that is not kept is a finding.  A rail that would lie in the stringer or in the ground, and a
post that stands off the stair, are no guard to hold a rule against: they are refused, with the
nearest measurement that would do.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from stairs.errors import MeasurementsContradict, NoSuchShape
from stairs.job import Job, JobFlight
from stairs.lengths.tape_marks import ceil_to_mark, floor_to_mark
from stairs.parts.flight import Flight
from stairs.parts.panel import RackedPanel
from stairs.parts.posts import Post
from stairs.parts.section_ends import Ends
from stairs.parts.stands import Show, Stand
from stairs.relations.exact import Amount, compare


def refuse_rail_on_stringer(section: JobFlight, gap: Fraction, where: str, show: Show) -> None:
    """Refuse a rail, or a strip under it, that lies on the edge of a closed stringer."""
    margin = section.build.stringer_margin or Fraction(0)
    clear = gap - section.filler
    if section.build.stringer == "closed" and clear <= margin:
        raise NoSuchShape(
            f"{where}: bottom_gap",
            f"{_lowest(section)} is {show(clear)} above the nosing line, the closed stringer's "
            f"edge {show(margin)}",
            "The rail lies above the stringer's edge",
            f"Give a bottom_gap above {show(margin + section.filler)}",
        )


def refuse_rail_in_ground(
    first: Stand,
    flight: Flight,
    line: Amount,
    section: JobFlight,
    gap: Fraction,
    job: Job,
    where: str,
    show: Show,
) -> None:
    """Refuse a rail, or a strip under it, that would run into the lower landing at post 1.

    Notes
    -----
    Outside the tread ends a rail may hang below treads and stringer, but not in the ground: there
    the window of the bottom gap ends.
    """
    clear = gap - section.filler
    if compare(line, -clear) > 0:
        return
    if first.step == 0 and clear >= 0:
        over = (float(line) + float(clear)) * float(flight.line_run) / float(flight.line_rise)
        nearest = ceil_to_mark(float(first.centre) - over, job.tape)
        raise NoSuchShape(
            f"{where}: posts: post 1 at {show(first.centre)}",
            "it stands off the stair: the bottom rail would run into the lower landing "
            "before it gets there",
            f"Its centre may be at x of {show(nearest)} or more",
            "Move the post nearer to the first riser",
        )
    least = ceil_to_mark(float(section.filler) - float(line), job.tape)
    if compare(line, section.filler - least) <= 0:
        least += job.tape
    raise NoSuchShape(
        f"{where}: bottom_gap",
        f"{_lowest(section)} is {show(-clear)} below the nosing line and would run into the lower "
        "landing before it gets to post 1",
        "The rail clears the landing at post 1's face",
        f'Give a bottom_gap of {show(least)} or more, or write bottom_gap = "auto"',
    )


def _lowest(section: JobFlight) -> str:
    return "the filler under the rail" if section.filler else "the rail's underside"


def over_landing(flight: Flight, face: float) -> tuple[float, float]:
    """How high the nosing line is over the upper landing [job's unit of length].

    Parameters
    ----------
    face : float
        ``x`` of the last post's face toward the stair [job's unit of length].

    Returns
    -------
    tuple of (float, float)
        At the top nosing, and at that face.
    """
    x, y = flight.nosings[-1]
    slope = float(flight.line_rise) / float(flight.line_run)
    lift = float(flight.line_rise) + x * slope - y
    return lift, lift + (face - x) * slope


def refuse_off_stair(
    flight: Flight,
    stands: Sequence[Stand],
    racked: RackedPanel,
    gap: Fraction,
    job: Job,
    where: str,
    show: Show,
    ends: Ends,
) -> None:
    """Refuse end posts that leave the flight, or an upper one that the rail passes too high."""
    first, last = stands[0], stands[-1]
    n = flight.risers
    if first.step == n or last.step == 0:
        end = "upper" if first.step == n else "lower"
        raise NoSuchShape(
            f"{where}: posts",
            f"all posts stand on the {end} landing, off the stair",
            f"The nosings lie from x = 0 to {show(flight.nosings[-1][0])}",
            "Measure level from the first nosing to the center of a post; minus: in front of it",
        )
    if last.step == n:
        half = float(ends.high_reach)
        face = float(last.centre) - half
        at_nosing, over = (float(gap) + lift for lift in over_landing(flight, face))
        if at_nosing >= float(racked.racked_height):
            raise NoSuchShape(
                f"{where}: bottom_gap",
                f"{show(gap)} lifts the bottom rail over the nosings by more than the panel is "
                f"tall, which is {show(float(racked.racked_height))}, plumb",
                "A bottom gap is a few inches at most, and less where a ball must not pass it",
                'Measure it again, or write bottom_gap = "auto"',
            )
        if over >= float(racked.racked_height):
            slope = float(flight.line_rise) / float(flight.line_run)
            furthest = face - (over - float(racked.racked_height)) / slope + half
            raise NoSuchShape(
                f"{where}: posts: post {len(stands)} at {show(last.centre)}",
                "it stands off the stair: the bottom rail would be higher over the upper landing "
                "than the panel is tall",
                f"Its centre may be at x of {show(floor_to_mark(furthest, job.tape))} or less",
                "Move the post nearer to the top nosing, and go on with a level section",
            )


def refuse_marks_under_posts(posts: Sequence[Post], where: str, show: Show) -> None:
    """A bracket needs a post beside it, also below the surface."""
    for post in posts:
        lowest = min(mark.height for mark in post.marks)
        if post.below and lowest <= -post.below:
            raise NoSuchShape(
                f"{where}: post {post.number}",
                f"its lowest bracket mark lies {show(-lowest)} below its surface",
                f"The posts go on {show(post.below)} below it (post: below)",
                "Let the posts go on farther, or raise the bottom rail",
            )


FARTHEST_OFF = {"in": Fraction(6), "mm": Fraction(150)}
"""By how much a surface may lie off where it was planned, by unit; judgement, no source."""
MOST_LEAN = Fraction(1, 4)
"""Level per plumb, of any post that still is one; judgement, no source."""


def refuse_far_surface(
    told: Fraction, planned: Amount, post: int, units: str, where: str, show: Show
) -> None:
    """Refuse a surface so far from where it was planned that something else was measured."""
    off = told - Fraction(float(planned))
    if abs(off) <= FARTHEST_OFF[units]:
        return
    meant = told + Fraction(float(planned))
    raise MeasurementsContradict(
        f"{where}: as_built: surface",
        f"of post {post} is {show(told)}, and by the rest of the job it is "
        f"{show(float(planned))}: they differ by {show(abs(off))}",
        "It is the height over the lower landing, on a level run that over the run's own surface",
        f"Was {show(abs(told))} {'lower' if told < 0 else 'higher'} than planned meant? Then "
        f"write the height, {show(meant)}"
        if abs(told) <= FARTHEST_OFF[units]
        else "Measure it again, or correct the steps and the place of the post",
        (float(told), float(planned)),
    )


def refuse_fallen(lean: Fraction, height: float, post: int, where: str, show: Show) -> None:
    """Refuse a post that leans by more than any does."""
    if abs(float(lean)) <= float(MOST_LEAN) * height:
        return
    raise NoSuchShape(
        f"{where}: as_built: lean",
        f"of post {post} is {show(lean)} in a height of {show(height)}",
        f"A guard's post leans by {show(float(MOST_LEAN) * height)} of that at most",
        "Measure at its top how far it is out of plumb over its foot, or set it again",
    )
