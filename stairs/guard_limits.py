"""Guard limits: what cannot be built at all, whatever a rulebook says.

A rule that is not kept is a finding.  A rail that would lie in the stringer, under the treads that
it should guard or in the ground, and a post that stands off the stair, are no guard to hold a rule
against: they are refused, with the nearest measurement that would do.
"""

from __future__ import annotations

from fractions import Fraction

from stairs.ends import Ends
from stairs.errors import NoSuchShape
from stairs.exact import compare
from stairs.flight import Flight
from stairs.job import Flight as FlightJob
from stairs.job import Job
from stairs.marks import ceil_to_mark, floor_to_mark
from stairs.panel import RackedPanel


def refuse_low_rail(
    flight: Flight, section: FlightJob, gap: Fraction, job: Job, where: str, show
) -> None:
    """Refuse a rail, or a strip under it, that lies on a closed stringer or under the treads.

    Parameters
    ----------
    flight : stairs.flight.Flight
        Fixed.
    section : stairs.job.Flight
        For stringer and strip.
    gap : Fraction
        Plumb, nosing line to the rail's underside [job's unit of length]; below 0 only where the
        guard stands outside the tread ends.
    job : stairs.job.Job
        For the tape.
    where : str
        The section's place in the job file, for errors.
    show : callable
        Text of a length.

    Raises
    ------
    stairs.errors.NoSuchShape

    Notes
    -----
    The underside, ``v`` over the nosing line, lies ``R + v`` over the tread below each nosing: from
    ``v = -R`` down it guards nothing, and the window of the bottom gap ends there.
    """
    lowest = "the rail's underside" if section.filler == 0 else "the filler under the rail"
    clear = gap - section.filler
    if section.stringer == "closed":
        margin = section.stringer_margin
        if clear <= margin:
            raise NoSuchShape(
                f"{where}: bottom_gap",
                f"{lowest} is {show(clear)} above the nosing line, the closed stringer's "
                f"edge {show(margin)}",
                "The rail lies above the stringer's edge",
                f"Give a bottom_gap above {show(margin + section.filler)}",
            )
    elif compare(flight.unit_rise, -clear) < 0:
        rise = flight.unit_rise
        least = ceil_to_mark(float(section.filler) - float(rise), job.tape)
        raise NoSuchShape(
            f"{where}: bottom_gap",
            f"{lowest} is {show(-clear)} below the nosing line, and a riser is "
            f"{show(rise if isinstance(rise, Fraction) else float(rise))}",
            "Beside the tread ends a rail lies no lower than the tread below each nosing",
            f'Give a bottom_gap of {show(least)} or more, or write bottom_gap = "auto"',
        )


def refuse_off_stair(
    flight: Flight,
    stands,
    racked: RackedPanel,
    gap: Fraction,
    job: Job,
    where: str,
    show,
    ends: Ends,
) -> None:
    """Refuse end posts that leave the flight, or stand so far out that the rail misses them.

    Parameters
    ----------
    flight : stairs.flight.Flight
        Fixed.
    stands : sequence of stairs.posts.Stand
        Of the posts, going up.
    racked : stairs.panel.RackedPanel
        Set to the rake.
    gap : Fraction
        Of the rail [job's unit of length].
    job : stairs.job.Job
        For the tape.
    where : str
        The section's place in the job file, for errors.
    show : callable
        Text of a length.
    ends : stairs.ends.Ends
        Where the section's rails end.

    Raises
    ------
    stairs.errors.NoSuchShape
    """
    first, last = stands[0], stands[-1]
    n = flight.risers
    if first.step == n or last.step == 0:
        end = "upper" if first.step == n else "lower"
        raise NoSuchShape(
            f"{where}: posts",
            f"all posts stand on the {end} landing, off the stair",
            f"The nosings lie from x = 0 to {show(flight.nosings[-1][0])}",
            "Measure post centres level from the first nosing, up-stair positive",
        )
    slope = float(flight.line_rise) / float(flight.line_run)
    half = float(ends.low_reach)
    if first.step == 0:
        face = float(first.centre) + half
        under = float(flight.line_rise) + float(gap) + face * slope
        if under <= 0:
            furthest = -(float(flight.line_rise) + float(gap)) / slope - half
            raise NoSuchShape(
                f"{where}: posts: post 1 at {show(first.centre)}",
                "it stands off the stair: the bottom rail would run into the lower landing "
                "before it gets there",
                f"Its centre may be at x of {show(ceil_to_mark(furthest, job.tape))} or more",
                "Move the post nearer to the first riser",
            )
    half = float(ends.high_reach)
    if last.step == n:
        face = float(last.centre) - half
        top_nosing = flight.nosings[-1]
        line = float(flight.line_rise) + top_nosing[0] * slope
        at_nosing = line + float(gap) - top_nosing[1]
        if at_nosing >= float(racked.racked_height):
            raise NoSuchShape(
                f"{where}: bottom_gap",
                f"{show(gap)} lifts the bottom rail over the nosings by more than the panel is "
                f"tall, which is {show(float(racked.racked_height))}, plumb",
                "A bottom gap is a few inches at most, and less where a ball must not pass it",
                'Measure it again, or write bottom_gap = "auto"',
            )
        over = at_nosing + (face - top_nosing[0]) * slope
        if over >= float(racked.racked_height):
            furthest = face - (over - float(racked.racked_height)) / slope + half
            raise NoSuchShape(
                f"{where}: posts: post {len(stands)} at {show(last.centre)}",
                "it stands off the stair: the bottom rail would be higher over the upper landing "
                "than the panel is tall",
                f"Its centre may be at x of {show(floor_to_mark(furthest, job.tape))} or less",
                "Move the post nearer to the top nosing, and go on with a level section",
            )
