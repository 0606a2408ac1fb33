"""Layout: where the posts of a section may go when the job does not list them.

The two end posts stand on the landings, near the first riser and the top nosing.  Posts between
them stand on treads; a whole number of treads in every bay puts each of them at the same place on
its tread, which is what makes the bays equal.  :func:`posts_on_flight` and :func:`posts_on_level`
give one plain layout for a number of bays; :func:`whole_places` and :func:`other_places` give all
that are worth scoring, on the tape's marks (:mod:`stairs.layout_search`).
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise
from math import ceil, floor

from msgspec import Struct

from stairs.errors import NoSuchShape
from stairs.flight import Flight
from stairs.job import PostKind
from stairs.marks import ceil_to_mark, floor_to_mark
from stairs.posts import Show


def _on_tape(value: float, mark: Fraction, *, up: bool) -> Fraction:
    return ceil_to_mark(value, mark) if up else floor_to_mark(value, mark)


def posts_on_flight(
    flight: Flight, kind: PostKind, bays: int, mark: Fraction, where: str, show: Show
) -> tuple[Fraction, ...]:
    """Post centres for a number of bays on a flight [job's unit of length].

    Parameters
    ----------
    flight : Flight
        The walking surface.
    kind : stairs.job.PostKind
        Width, base plate and the edge distance to keep.
    bays : int
        1 or more.
    mark : Fraction
        The tape's smallest mark, to which positions are rounded.
    where : str
        The section as errors name it.
    show : callable
        Turns a length into text.

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


def _on_tread(fronts, step: int, a: float, kind: PostKind, nosing, mark: Fraction) -> Fraction:
    """The mark below a place on a tread, or the one above where only that keeps the edge."""
    below = _on_tape(fronts[step] - a, mark, up=False)
    half, above = float(kind.base or kind.width) / 2, below + mark
    keeps = float(below) - half - fronts[step - 1] >= float(kind.edge or 0) - _HAIR
    fits = float(above) + half <= fronts[step] + float(nosing) + _HAIR
    clear = float(above) + float(kind.width) / 2 <= fronts[step] + _HAIR
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
    width : Fraction
        Of a post.
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


MOST_PLACES = 32
"""Of one post; where the tape has more marks, every second, third and so on is looked at."""

WHOLE, EQUAL, NEARLY = range(3)
_HAIR = 1e-9


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


def marks_between(low: float, high: float, mark: Fraction, most: int) -> list[int]:
    """Marks of the tape from ``low`` to ``high``, counted from 0 and thinned to about ``most``.

    Parameters
    ----------
    low, high : float
        Ends, both included where they lie on a mark [unit of the mark].
    mark : Fraction
        Smallest mark, above 0.
    most : int
        How many are wanted at most; of more every second is taken, or every fourth, and so on.

    Examples
    --------
    >>> marks_between(0.1, 1, Fraction(1, 4), 9), marks_between(1, 9, Fraction(1), 5)
    ([1, 2, 3, 4], [1, 2, 4, 6, 8, 9])
    """
    first, last = ceil(low / mark - _HAIR), floor(high / mark + _HAIR)
    if first > last:
        return []
    coarse = 1
    while (last - first) // coarse + 1 > most:
        coarse *= 2
    inner = range(-(-first // coarse) * coarse, last + 1, coarse)
    return sorted({first, *inner, last})


class _Ground:
    """A flight and a post kind as floats: where a plate may lie at all."""

    def __init__(self, flight: Flight, kind: PostKind, reach: Reach, mark: Fraction) -> None:
        self.fronts = [x for x, _ in flight.nosings]
        self.risers = flight.risers
        self.mean_run = float(flight.unit_run)
        self.mark, self.reach = mark, reach
        self.length = float(mark)
        self.half, self.half_post = float(kind.base or kind.width) / 2, float(kind.width) / 2
        self.nosing = float(flight.nosing)
        self.edge = float(kind.edge or 0)
        self.least = max(self.half - self.nosing, self.half_post)
        runs = [high - low for low, high in pairwise(self.fronts)]
        self.room = min(runs, default=self.mean_run) - self.half

    def may_stand(self, mark: int, step: int) -> bool:
        """Whether plate and post lie wholly on their step.

        Parameters
        ----------
        mark : int
            Post centre, counted in marks from ``x = 0``.
        step : int
            0 for the lower landing, then treads, ``risers`` for the upper landing.
        """
        place = mark * self.length
        if step and place - self.half < self.fronts[step - 1] - _HAIR:
            return False
        if step == self.risers:
            return True
        above = self.fronts[step]
        return (
            place + self.half <= above + self.nosing + _HAIR
            and place + self.half_post <= above + _HAIR
        )

    def before(self, step: int, distance: int) -> int:
        """The mark so far before the nosing above a step [marks from ``x = 0``].

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
        beyond = step - self.risers + 1
        front = self.fronts[step] if beyond <= 0 else self.fronts[-1] + beyond * self.mean_run
        return floor(front / self.length + 0.5 + _HAIR) - distance

    def distances(self, most: int) -> list[int]:
        """Post centre to the nosing above it, as a plate allows on any tread [marks].

        Parameters
        ----------
        most : int
            How many are wanted at most, see :func:`marks_between`.

        Returns
        -------
        list of int
            Least first; empty where a tread has no room for a plate.
        """
        return marks_between(self.least, self.room, self.mark, most)

    def low_places(self) -> list[int]:
        """Of the post on the lower landing."""
        outer = min(float(self.reach.low), -max(self.half, self.least))
        return marks_between(outer, -self.least, self.mark, MOST_PLACES)

    def high_places(self) -> list[int]:
        """Of the post on the upper landing."""
        first = self.fronts[-1] + self.half
        far = max(float(self.reach.high), first + self.edge + float(self.mark))
        return marks_between(first, far, self.mark, MOST_PLACES)


def whole_places(
    flight: Flight, kind: PostKind, bays: int, reach: Reach, mark: Fraction
) -> Iterator[Places]:
    """Every layout with bays of whole treads worth scoring, on the tape's marks.

    Parameters
    ----------
    flight : Flight
        The walking surface.
    kind : stairs.job.PostKind
        Width, base plate and edge distance.
    bays : int
        1 or more.
    reach : Reach
        How far out the posts on the landings may stand.
    mark : Fraction
        Smallest mark, above 0.

    Yields
    ------
    Places
        None at all where the steps do not divide into so many bays, or a tread has no room for a
        plate.
    """
    ground = _Ground(flight, kind, reach, mark)
    return _standing(ground, _one_bay(ground) if bays == 1 else _whole(ground, bays))


def other_places(
    flight: Flight, kind: PostKind, bays: int, reach: Reach, mark: Fraction
) -> Iterator[Places]:
    """Every other layout worth scoring; see :func:`whole_places`.

    The posts between the ends stand at one place on their treads, and the end posts where they make
    the bays equal, or as nearly equal as the landings allow.

    Parameters
    ----------
    flight : Flight
        The walking surface.
    kind : stairs.job.PostKind
        Width, base plate and edge distance.
    bays : int
        1 or more.
    reach : Reach
        How far out the posts on the landings may stand.
    mark : Fraction
        Smallest mark [job's unit of length], above 0.

    Yields
    ------
    Places
        None at all for 1 bay, and for more bays than there are risers.
    """
    ground = _Ground(flight, kind, reach, mark)
    inner = _inner_steps(ground.risers, bays) if 1 < bays <= ground.risers else []
    return _standing(
        ground, (places for steps in inner for places in _between_landings(ground, steps))
    )


def _standing(ground: _Ground, made: Iterator[Places]) -> Iterator[Places]:
    for places in made:
        pairs = zip(places.marks, places.steps, strict=True)
        if all(ground.may_stand(x, step) for x, step in pairs):
            yield places


def _one_bay(ground: _Ground) -> Iterator[Places]:
    highs = ground.high_places()
    for low in ground.low_places():
        for high in highs:
            yield Places((low, high), ground.mark, (0, ground.risers), WHOLE)


def _whole(ground: _Ground, bays: int) -> Iterator[Places]:
    risers = ground.risers
    for total in (risers, risers + 1):
        treads, rest = divmod(total, bays)
        if rest or (bays - 1) * treads >= risers:
            continue
        steps = tuple(min(number * treads, risers) for number in range(bays + 1))
        for a in ground.distances(4 * MOST_PLACES):
            marks = tuple(ground.before(number * treads, a) for number in range(bays + 1))
            yield Places(marks, ground.mark, steps, WHOLE)


def _inner_steps(risers: int, bays: int) -> list[tuple[int, ...]]:
    """The steps of the posts between the ends: the same number of treads from one to the next."""
    found = set()
    for treads in {max(risers // bays, 1), -(-risers // bays)}:
        rest = risers - (bays - 2) * treads
        if rest < 2:
            continue
        for first in {rest // 2, rest - rest // 2}:
            found.add(tuple(first + number * treads for number in range(bays - 1)))
    return sorted(found)


def _between_landings(ground: _Ground, inner: tuple[int, ...]) -> Iterator[Places]:
    """End posts placed so that the outer bays are as wide as the others, or as nearly as can be."""
    steps = (0, *inner, ground.risers)
    lows, highs = ground.low_places(), ground.high_places()
    if not lows or not highs:
        return
    for a in ground.distances(MOST_PLACES // 2):
        between = tuple(ground.before(step, a) for step in inner)
        if len(inner) == 1:
            (middle,) = between
            pairs = [(low, 2 * middle - low) for low in lows]
            ends = [pair for pair in pairs if highs[0] <= pair[1] <= highs[-1]]
            if not ends:
                ends = [(_nearest(lows, 2 * middle - high), high) for high in _few(highs)]
                ends += [(low, _nearest(highs, 2 * middle - low)) for low in _few(lows)]
        else:
            width = between[1] - between[0]
            nearest = _nearest(lows, between[0] - width), _nearest(highs, between[-1] + width)
            ends = [nearest, *((low, high) for low in _few(lows) for high in _few(highs))]
        for low, high in sorted(set(ends)):
            marks = (low, *between, high)
            widths = [after - before for before, after in pairwise(marks)]
            alike = EQUAL if max(widths) - min(widths) <= 1 else NEARLY
            yield Places(marks, ground.mark, steps, alike)


def _few(places: list[int]) -> list[int]:
    """The first, the last and two places between."""
    last = len(places) - 1
    return [places[index] for index in sorted({last * third // 3 for third in range(4)})]


def _nearest(places: list[int], wanted: int) -> int:
    """Of places in order the one nearest to what is wanted; the lower of two."""
    index = bisect_left(places, wanted)
    beside = places[max(index - 1, 0) : index + 1]
    return min(beside, key=lambda place: abs(place - wanted))
