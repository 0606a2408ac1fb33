"""The rails of a bay between posts that are set: each measured by itself, top and bottom.

A post that leans along the rail brings its two brackets nearer to the next post or farther off, so
that the rails of a bay come out of different lengths.  Balusters stay plumb: both rails keep the
same holes of the same stock, and the bottom rail is cut by as much more at an end as it begins
farther in than the top one.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from stairs.errors import MeasurementsContradict
from stairs.job import AsBuilt, Job
from stairs.job.mitre import billionth
from stairs.lengths.tape_marks import exact_text, length_text
from stairs.numbers.tolerances import SIGHT
from stairs.parts.bracket import RailEnds
from stairs.parts.panel import Trim
from stairs.parts.section_ends import Ends
from stairs.parts.stands import Stand
from stairs.relations.exact import Amount

TOP, BOTTOM = "top", "bottom"


class Axis(Struct, frozen=True):
    """The axis of a rail: its height at ``x = 0``, and its slope."""

    start: float
    slope: float


def on_axis(stand: Stand, reach: float, side: int, off: float, axis: Axis) -> tuple[float, float]:
    """Where a rail's axis meets a face of a post, and where its pin is: ``x`` of both.

    Parameters
    ----------
    reach, off : float
        From the post's centre line to the face, and from there to the pin, both square to the post
        [job's unit of length].
    side : int
        1 for the face that looks up-stair, -1 for the other.

    Notes
    -----
    A post that leans by ``s`` (level per plumb) from its foot ``(x, S)`` has a line so far to its
    side as ``x + s (y - S) + d sqrt(1 + s^2)``; on the axis ``y = a + m x`` that is where
    ``x (1 - s m) = x0 + s (a - S) + d sqrt(1 + s^2)``.

    Examples
    --------
    >>> post = Stand(Fraction(0), 0, Fraction(0), "walking surface", None, Fraction(3, 4))
    >>> on_axis(post, 2.0, 1, 1.0, Axis(8.0, 0.0))
    (8.5, 9.75)
    """
    lean = float(stand.lean)
    foot = float(stand.centre) + lean * (axis.start - float(stand.surface))
    square = side * (1 + lean * lean) ** 0.5
    along = 1 - lean * axis.slope
    return (foot + reach * square) / along, (foot + (reach + off) * square) / along


class RailAsBuilt(Struct, frozen=True):
    """One rail between two posts as they stand.

    Parameters
    ----------
    clear : Fraction
        Post face to post face where the rail meets them, level [job's unit of length].
    low_face : float
        ``x`` of the lower one.
    stand_offs : tuple of Fraction
        From the lower and the upper face to the pins, level along the rail [job's unit of length].
    by_posts : Fraction
        What is clear there by the places of the posts, whatever was measured.
    """

    clear: Fraction
    low_face: float
    stand_offs: tuple[Fraction, Fraction]
    by_posts: Fraction

    def between(self, usual: tuple[Amount, Amount]) -> Fraction:
        """The clear width at which brackets that stand off as usual hold the same rail."""
        more = [
            off - billionth(float(one)) for off, one in zip(self.stand_offs, usual, strict=True)
        ]
        return self.clear - sum(more)

    def held(self, ends: RailEnds) -> RailEnds:
        """How the rail ends, with the stand-offs of the posts as they are."""
        low, high = self.stand_offs
        return replace(ends, stand_off_low=low, stand_off=high)


def rail_as_built(
    job: Job,
    stands: Sequence[Stand],
    told: Mapping[int, AsBuilt],
    bay: int,
    ends: Ends,
    axis: Axis,
    stand_offs: tuple[Amount, Amount],
    rail: str,
    where: str,
) -> RailAsBuilt:
    """One rail of a bay, from 0, between the posts as they stand.

    The clear width that was measured goes before the one that follows from where posts stand.

    Raises
    ------
    MeasurementsContradict
        They differ by more than measuring can be off.
    """
    count = len(stands)
    low, high = stands[bay : bay + 2]
    reach = [float(ends.reach(index, count)) for index in (bay, bay + 1)]
    low_face, low_pin = on_axis(low, reach[0], 1, float(stand_offs[0]), axis)
    high_face, high_pin = on_axis(high, reach[1], -1, float(stand_offs[1]), axis)
    found = billionth(high_face - low_face)
    measured = None
    if bay in told:
        measured = told[bay].clear_low if rail == BOTTOM else told[bay].clear_high
    if measured is not None:
        leaning = sum(stand.lean != 0 for stand in (low, high))
        _refuse_apart(job, bay, rail, measured, found, leaning, where)
    return RailAsBuilt(
        found if measured is None else measured,
        low_face,
        (billionth(low_pin - low_face), billionth(high_face - high_pin)),
        found,
    )


def _refuse_apart(
    job: Job, bay: int, rail: str, measured: Fraction, found: Fraction, leaning: int, where: str
) -> None:
    """Refuse a clear width and two places of posts that cannot both be."""
    apart = measured - found
    # both places, the width itself and each post out of plumb may be read a little off
    key, of = "clear_low" if rail == BOTTOM else "clear_high", job.tolerances.of
    within = 2 * of("as_built.x") + of(f"as_built.{key}") + leaning * of("as_built.lean")
    if abs(apart) <= within + SIGHT:
        return
    units, show = job.units, length_text(found, job.units, job.tape)
    raise MeasurementsContradict(
        f"{where}: as_built: {key}",
        f"of post {bay + 1} is {exact_text(measured, units)}, and by their x and lean posts "
        f"{bay + 1} and {bay + 2} stand {show} apart there, face to face: they differ by "
        f"{length_text(abs(apart), units, job.tape)}",
        f"With all of these as far off as they may be they differ by {exact_text(within, units)}",
        f"Measure the clear width at the {rail} rail again, and the x of both posts",
        (float(measured), float(found)),
    )


class SecondRail(Struct, frozen=True):
    """The bottom rail of a bay whose rails differ; lengths in the job's unit.

    Parameters
    ----------
    clear : float
        Level, post face to post face where it goes.
    off : tuple of float
        How much farther in than the top rail it begins and ends, along the rail; below 0 where it
        reaches farther out.
    wider : tuple of float
        How much wider the gap between post and baluster is there than at the top rail, level.
    used, other : Trim or None
        As cut either way, with the holes of the top rail.
    """

    clear: float
    ends: RailEnds
    off: tuple[float, float]
    wider: tuple[float, float]
    used: Trim | None = None
    other: Trim | None = None

    @property
    def reaches(self) -> float:
        """How far it reaches past the top rail at either end, at most."""
        return max(0.0, -self.off[0], -self.off[1])

    def cut_as(self, top: Trim | None) -> Trim | None:
        """The bottom rail with the holes of the top rail as that is cut."""
        if top is None:
            return None
        return replace(
            top,
            low=top.low + self.off[0],
            high=top.high + self.off[1],
            along_rail=tuple(place - self.off[0] for place in top.along_rail),
            end_gap_low=billionth(float(top.end_gap_low) + self.wider[0]),
            end_gap_high=billionth(float(top.end_gap_high) + self.wider[1]),
        )


def second_rail(
    top: RailAsBuilt, bottom: RailAsBuilt, ends: RailEnds, setback: Fraction, cosine: float
) -> SecondRail:
    """The bottom rail beside the top one; ``cosine`` is of the rake, ``ends`` how it ends."""
    cuts = [
        (
            rail.low_face + float(rail.stand_offs[0]) + float(setback) * cosine,
            rail.low_face + float(rail.clear - rail.stand_offs[1]) - float(setback) * cosine,
        )
        for rail in (top, bottom)
    ]
    return SecondRail(
        clear=float(bottom.clear),
        ends=ends,
        off=((cuts[1][0] - cuts[0][0]) / cosine, (cuts[0][1] - cuts[1][1]) / cosine),
        wider=(
            top.low_face - bottom.low_face,
            bottom.low_face + float(bottom.clear) - top.low_face - float(top.clear),
        ),
    )
