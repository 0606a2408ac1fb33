"""Layout: where the posts of a section may go when the job does not list them.

The two end posts stand on the landings, near the first riser and the top nosing.  Posts between
them stand on treads; a whole number of treads in every bay puts each of them at the same place on
its tread, which is what makes the bays equal.  :func:`posts_on_flight` and :func:`posts_on_level`
give one plain layout for a number of bays; :class:`Ground` gives all places on the tape's marks,
which are weighed in :mod:`stairs.layout.search`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from functools import cached_property
from itertools import pairwise
from math import ceil, floor

from msgspec import Struct

from stairs.errors import NoSuchShape
from stairs.job import PostKind
from stairs.lengths.tape_marks import ceil_to_mark, floor_to_mark
from stairs.numbers.tolerances import SAME
from stairs.parts.flight import Flight
from stairs.parts.stands import Show


def _on_tape(value: float, mark: Fraction, *, up: bool) -> Fraction:
    return ceil_to_mark(value, mark) if up else floor_to_mark(value, mark)


def posts_on_flight(
    flight: Flight, kind: PostKind, bays: int, mark: Fraction, where: str, show: Show
) -> tuple[Fraction, ...]:
    """Post centres for a number of bays on a flight [job's unit of length].

    Parameters
    ----------
    kind : stairs.job.PostKind
        Width, base plate and the edge distance to keep.
    bays : int
        1 or more.
    mark : Fraction
        The tape's smallest mark, to which positions are rounded.

    Returns
    -------
    tuple of Fraction
        ``bays + 1`` centres.

    Raises
    ------
    NoSuchShape
        There are more bays than treads allow, or a tread has no room for the plate.

    Notes
    -----
    With ``a`` the distance from a post to the nosing above it, the lower post stands at ``-a``, a
    post on tread ``m`` at ``m G - a`` and the upper post at ``(T + 1) G - a`` where that keeps
    its edge distance, otherwise just behind it.  Each plate fits where
    ``plate / 2 - nosing <= a <= G - plate / 2 - edge`` and the post clears the nosing above where
    ``a >= width / 2``.
    """
    fronts = [x for x, _ in flight.nosings]
    run = min((high - low for low, high in pairwise(fronts)), default=0.0)
    plate = kind.base or kind.width
    least = max(plate / 2 - flight.nosing, kind.width / 2)
    edge = kind.edge or Fraction(0)
    most = float(run) - float(plate / 2 + edge)
    top_edge = fronts[-1]
    if bays > flight.risers:
        raise NoSuchShape(
            f"{where}: bays",
            f"{bays} bays on a flight of {flight.treads} treads",
            f"Each post between the ends needs a tread of its own, so at most {flight.risers} bays",
            "Give fewer bays",
        )
    back = _on_tape(top_edge + float(plate / 2 + edge), mark, up=True)
    if bays == 1:
        return (-_on_tape(float(plate / 2), mark, up=True), back)
    if most < float(least):
        raise NoSuchShape(
            f"{where}: bays",
            f"a base plate of {show(plate)} with {show(edge)} to the nosing does "
            f"not fit a run of {show(run)}",
            f"Behind the nosing there is {show(float(run) - float(least) - float(plate) / 2)}",
            "Give 1 bay, or smaller plates, or the posts themselves",
        )
    a = _on_tape((float(least) + most) / 2, mark, up=False)
    if a < least:
        a = _on_tape(float(least), mark, up=True)
    steps = [round(number * (flight.risers) / bays) for number in range(1, bays)]
    between = tuple(_on_tread(fronts, step, float(a), kind, flight.nosing, mark) for step in steps)
    last = _on_tape(top_edge + float(flight.unit_run) - float(a), mark, up=False)
    return (-a, *between, max(last, back))


def _on_tread(
    fronts: Sequence[float],
    step: int,
    a: float,
    kind: PostKind,
    nosing: Fraction,
    mark: Fraction,
) -> Fraction:
    """The mark below a place on a tread, or the one above where only that keeps the edge."""
    below = _on_tape(fronts[step] - a, mark, up=False)
    half, above = float(kind.base or kind.width) / 2, below + mark
    keeps = float(below) - half - fronts[step - 1] >= float(kind.edge or 0) - SAME
    fits = float(above) + half <= fronts[step] + float(nosing) + SAME
    clear = float(above) + float(kind.width) / 2 <= fronts[step] + SAME
    return above if not keeps and fits and clear else below


def posts_on_level(
    span: Fraction,
    bays: int,
    width: Fraction = Fraction(0),
    walls: tuple[bool, bool] = (False,) * 2,
) -> tuple[Fraction, ...]:
    """Post centres for equal bays on a level run, first post at 0 [job's unit of length].

    Parameters
    ----------
    span : Fraction
        First post's centre to the last one's, or to the face of a wall.
    bays : int
        1 or more.
    walls : tuple of bool
        Whether the run starts, and ends, at a wall; its face counts as the post's centre, and the
        bays are equal between faces.

    Examples
    --------
    >>> [str(x) for x in posts_on_level(Fraction(132), 3)]
    ['0', '44', '88', '132']
    """
    low, high = (Fraction(0) if wall else width / 2 for wall in walls)
    clear = (span - low - high - (bays - 1) * width) / bays
    between = (low + number * (clear + width) - width / 2 for number in range(1, bays))
    return (Fraction(0), *between, span)


# --------------------------------------------------------------------------- all places


MOST_PLACES = 512
"""Of a post on a landing; of more marks every second, every fourth and so on is taken."""

WHOLE, EQUAL, NEARLY = range(3)


class Reach(Struct, frozen=True):
    """How far out the posts on the landings may stand; ``x`` of their centres."""

    low: Fraction
    high: Fraction


class Places(Struct, frozen=True):
    """Post centres, the step that each stands on, and how alike the bays are.

    Parameters
    ----------
    marks : tuple of int
        Post centres, counted in marks.
    mark : Fraction
        The length of one [job's unit of length].
    steps : tuple of int
        The step of each post; empty on a level run.
    alike : int
        0 where every post stands at the same place on its step, 1 where the bays are of one width
        to a mark, 2 where they differ.
    """

    marks: tuple[int, ...]
    mark: Fraction
    steps: tuple[int, ...]
    alike: int

    @property
    def positions(self) -> tuple[Fraction, ...]:
        """Post centres [job's unit of length]."""
        return tuple(number * self.mark for number in self.marks)

    @property
    def two_on_a_tread(self) -> bool:
        """Whether two posts stand on one step."""
        return len(set(self.steps)) < len(self.steps)


def bay_counts(length: Fraction, widest: Fraction, more: int) -> list[int]:
    """The numbers of bays worth trying: the fewest that the widest bay allows, and some more.

    Parameters
    ----------
    length : Fraction
        From first post centre to last, above 0.
    widest : Fraction
        The greatest distance between post centres, above 0.
    more : int
        How many numbers beyond the fewest, 0 or more.

    Examples
    --------
    >>> bay_counts(Fraction(132), Fraction(72), 2)
    [2, 3, 4]
    """
    fewest = max(1, -(-length // widest))
    return list(range(fewest, fewest + more + 1))


class Ground:
    """A flight and a post kind as floats: where a plate may lie at all, in marks from ``x = 0``.

    Parameters
    ----------
    kind : stairs.job.PostKind
        Width, base plate and edge distance.
    reach : Reach
        How far out the posts on the landings may stand.
    tape : Fraction
        Smallest mark, above 0 [job's unit of length].
    fixed : tuple of (Fraction or None)
        Where the first and the last post must stand, on marks; None where that is left open.
    """

    def __init__(
        self,
        flight: Flight,
        kind: PostKind,
        reach: Reach,
        tape: Fraction,
        fixed: tuple[Fraction | None, Fraction | None] = (None, None),
    ) -> None:
        self.fronts = [x for x, _ in flight.nosings]
        self.risers = flight.risers
        self.mean_run = float(flight.unit_run)
        self.half, self.half_post = float(kind.base or kind.width) / 2, float(kind.width) / 2
        self.nosing = float(flight.nosing)
        edge = float(kind.edge or 0)
        self.least = max(self.half - self.nosing, self.half_post)
        first = self.fronts[-1] + self.half
        self._low = min(float(reach.low), -max(self.half, self.least)), -self.least
        self._high = first, max(float(reach.high), first + edge + float(tape))
        self.mark = tape
        self._fixed = fixed
        told = [place for place in fixed if place is not None]
        if fixed[0] is not None:
            self._low = float(fixed[0]), float(fixed[0])
        if fixed[1] is not None:
            self._high = float(fixed[1]), float(fixed[1])
        while max(high - low for low, high in (self._low, self._high)) > MOST_PLACES * self.mark:
            if any(place % (2 * self.mark) for place in told):
                break
            self.mark *= 2
        self.length = float(self.mark)
        runs = [high - low for low, high in pairwise(self.fronts)] or [self.mean_run]
        self.room, self.longest = min(runs) - self.half, max(runs)

    def _between(self, low: float, high: float) -> range:
        return range(ceil(low / self.length - SAME), floor(high / self.length + SAME) + 1)

    def may_stand(self, mark: int, step: int) -> bool:
        """Whether plate and post lie wholly on their step."""
        place = mark * self.length
        if step and place - self.half < self.fronts[step - 1] - SAME:
            return False
        if step == self.risers:
            return True
        above = self.fronts[step]
        return (
            place + self.half <= above + self.nosing + SAME
            and place + self.half_post <= above + SAME
        )

    def before(self, step: int, distance: int) -> int:
        """The mark so far before the nosing above a step.

        Parameters
        ----------
        step : int
            From 0 on; from the upper landing on, nosings go on at the mean run.
        distance : int
            Post centre to that nosing, in marks.

        Returns
        -------
        int
            Counted from the mark that is nearest to the nosing.
        """
        return floor(self._front(step) / self.length + 0.5 + SAME) - distance

    def _front(self, step: int) -> float:
        beyond = step - self.risers + 1
        return self.fronts[step] if beyond <= 0 else self.fronts[-1] + beyond * self.mean_run

    def exact(self, places: Places) -> tuple[float, ...]:
        """Where the posts of :meth:`whole` would stand if the tape had a mark everywhere."""
        treads = places.steps[1]
        before = places.marks[0] * self.length
        return tuple(self._front(number * treads) + before for number in range(len(places.marks)))

    @cached_property
    def places(self) -> tuple[dict[int, int], ...]:
        """The places of the first post, of those on treads and of the last, each with its step."""
        last = self.risers
        low, high = (
            {mark: step for mark in self._between(*ends) if self.may_stand(mark, step)}
            for ends, step in ((self._low, 0), (self._high, last))
        )
        treads = {
            mark: step
            for step in range(1, last)
            for mark in self._between(self.fronts[step - 1] + self.half, self.fronts[step])
            if self.may_stand(mark, step)
        }
        return low, treads, high

    def whole(self, bays: int) -> Iterator[Places]:
        """Every layout with every post at the same place on its step, of 2 bays or more.

        Parameters
        ----------
        bays : int
            2 or more.

        Yields
        ------
        Places
            None at all where the steps do not divide into so many bays, or a tread has no room for
            a plate.
        """
        for total in (self.risers, self.risers + 1):
            treads, rest = divmod(total, bays)
            if rest or (bays - 1) * treads >= self.risers:
                continue
            steps = tuple(min(number * treads, self.risers) for number in range(bays + 1))
            for a in self._between(self.least, self.room):
                marks = tuple(self.before(number * treads, a) for number in range(bays + 1))
                ends = zip(self._fixed, (marks[0], marks[-1]), strict=True)
                if any(place not in (None, mark * self.mark) for place, mark in ends):
                    continue
                if all(map(self.may_stand, marks, steps)):
                    yield Places(marks, self.mark, steps, WHOLE)
