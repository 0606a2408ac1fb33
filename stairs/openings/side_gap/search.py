"""Search for the largest ball that passes an opening between two planes.

The ball is followed on its whole way from the stair's plane to the guard's
(:mod:`stairs.openings.side_gap.channel` tells what it has to spare at one place): the tightest
place is found for one radius, and then the radius that just passes there.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import partial

from stairs.numbers.root_finding import least_between, zero_between
from stairs.numbers.tolerances import SAME
from stairs.openings.side_gap.channel import NONE, SLACK, Channel, Spot, within

_FIRST = 8  # of them before a radius is known
_STATIONS = 20  # places along z that are looked at before the tightest is closed in on
_FINEST = 1e-9  # part of the way that a notch may be wide
_COARSE = 1e-6  # part of the way to which the tightest place is found, before a notch is sharpened
_HALVINGS = 24
_LESS = 1e-7  # part of a ball: how much smaller one is tried first
STUCK = -1e-12  # parts of the scale: what is lacking where that is no rounding
_MATTERS = 0.05  # parts of a ball: a place with this much more to spare is not the tightest
_NOTHING = 1e-12  # parts of the scale: no difference
_ALIKE = 2e-12  # parts of the scale: two ways to one clearance
_TURNS = 32

At = Callable[..., Spot]
"""The clearance at one share of the way, as :meth:`Channel.clearance` gives it."""
Function = Callable[[float], float]
Ends = tuple[float, float]
Tightest = tuple[float, float, tuple[int, ...]]
"""Clearance, share of the way, and the numbers of the spots that it is the least of there."""


class Passage(Channel):
    """A channel, followed on the whole way through it."""

    def tightest(
        self,
        radius: float,
        start: float = 0.0,
        place: At | None = None,
        enough: float = -math.inf,
        passing: bool = False,
    ) -> Tightest:
        """The least clearance on the way from the stair's plane to the guard's, and its share.

        Parameters
        ----------
        radius : float
            [parts of the scale], at least half the side gap.
        place : callable, optional
            Takes the place of :meth:`clearance`, of the share alone.
        enough : float
            A clearance this small or smaller ends the search at once: there is none to pass.
        passing : bool
            Where the ball passes, how much it has to spare does not matter.

        Returns
        -------
        tuple of (float, float, tuple of int)
            Clearance and share, and the numbers of the spots that it is the least of there; none
            where they were not enough to find it.
        """
        place = place or partial(self.clearance, radius)
        if start == 1.0:
            return place(1.0)[0], 1.0, ()
        shares = [start + (1 - start) * k / _STATIONS for k in range(_STATIONS)] + [1.0]
        places: list[Spot] = []
        least, like = math.inf, NONE
        for share in shares:
            # how much more than can matter a spot has to spare is of no interest
            places.append(place(share, like, 0.0 if passing else least + _MATTERS * radius))
            least, like = min(least, places[-1][0]), places[-1][3]
            if least <= enough:
                return least, share, ()
        values = [place[0] for place in places]
        best: Tightest = (*min(zip(values, shares, strict=True)), ())
        for k in range(_STATIONS):
            here, there = places[k : k + 2]
            between = shares[k], shares[k + 1]
            if here[3] != there[3] and NONE not in (here[3], there[3]):
                if self.spared(radius, between[1], (here[3],)) > 0:
                    continue  # the ball can change from one to the other there
                if self.spared(radius, between[0], (there[3],)) > 0:
                    continue
                middle, numbers = sum(between) / 2, (here[3], there[3])
                best = min(best, self._least_near(radius, place, between, middle, numbers))
            elif math.dist(here[1:3], there[1:3]) > radius / 5:
                best = min(best, self._at_jump(place, between, (here, there)))
            elif here[3] != NONE:  # it may leave the opening for a while
                near = (within(*spot[1:3], self._others[spot[3]][4]) for spot in (here, there))
                if min(near) < _MATTERS * radius:
                    found = self._least_near(radius, place, between, shares[k], (here[3],))
                    best = min(best, found)
        for k, value in enumerate(values):
            low, high = max(k - 1, 0), min(k + 1, _STATIONS)
            if value > min(values[low : high + 1]) or value > best[0] + _MATTERS * radius:
                continue
            ends = shares[low], shares[high]
            alike = tuple(sorted({spot[3] for spot in places[low : high + 1]}))
            found = self._least_near(radius, place, ends, shares[k], alike)
            best = min(best, found)
        return best

    def _least_near(
        self, radius: float, place: At, ends: Ends, share: float, numbers: tuple[int, ...]
    ) -> Tightest:
        """The least clearance near a share, the ends included: by a few spots if they are it."""
        while NONE not in numbers:
            found = self._least_of(radius, ends, share, numbers)
            here = place(found[1])
            if min(here[0], found[0]) >= 0 or abs(here[0] - found[0]) <= _ALIKE:
                return found
            if here[3] in numbers:
                break
            numbers += (here[3],)

        def function(spot: float) -> float:
            return place(spot)[0]

        return *_least_with_ends(function, ends, (function(share), share)), ()

    def _least_of(
        self, radius: float, ends: Ends, share: float, numbers: tuple[int, ...]
    ) -> Tightest:
        """The least clearance near a share that some spots leave."""

        def function(spot: float) -> float:
            return self.spared(radius, spot, numbers)

        return *_least_with_ends(function, ends, (function(share), share)), numbers

    def spare(self, radius: float, roughly: bool = False) -> float:
        """What a ball has to spare at the tightest place on its way; below 0 where it sticks.

        Parameters
        ----------
        radius : float
            Of the ball, above 0 [parts of the scale].
        roughly : bool
            Whether only the sign counts.
        """
        return self.tightest(radius, enough=STUCK if roughly else -math.inf, passing=roughly)[0]

    @staticmethod
    def _at_jump(clearance: At, shares: Ends, places: tuple[Spot, Spot]) -> Tightest:
        """The clearance between two stations where the deepest place is elsewhere all at once.

        Notes
        -----
        One place closes there and another opens.  Where the first closes too early the ball sticks
        on a stretch that may be much shorter than from station to station.
        """
        (low, high), (here, there) = shares, places
        apart = math.dist(here[1:3], there[1:3])
        for turn in range(_HALVINGS):
            share = (low + high) / 2
            place = clearance(share)
            if place[0] < 0:
                return place[0], share, ()
            before, after = math.dist(here[1:3], place[1:3]), math.dist(place[1:3], there[1:3])
            if before > after:
                high, there = share, place
            else:
                low, here = share, place
            if max(before, after) < apart * 2 ** -(turn / 2):  # it moves, it does not jump
                break
        return min((here[0], low, ()), (there[0], high, ()))

    def largest_at(self, share: float, low: float, high: float) -> float:
        """The largest radius that passes at one share of the way, between two [parts of the scale].

        Parameters
        ----------
        share : float
            Of the way, from 0 to 1.
        low, high : float
            Radii [parts of the scale]; ``low`` comes back where no larger one passes.
        """
        at_high = self.clearance(high, share)[0]
        if at_high >= 0:
            return high
        top, step = high, _LESS * high
        while True:  # it is mostly not far below the higher
            bottom = max(top - step, low)
            at_bottom = self.clearance(bottom, share)[0]
            if at_bottom >= 0:
                break
            if bottom == low:
                return low
            high, at_high, step = bottom, at_bottom, 32 * step
        ends = zero_between(
            lambda radius: self.clearance(radius, share)[0],
            bottom, high, (at_bottom, at_high), 2e-15 * top, 2e-16,
        )  # fmt: skip
        return ends[0]

    def largest(self, flat_radius: float) -> tuple[float, float, float, float]:
        """Radius of the largest ball that passes, and its centre where it is tightest.

        Parameters
        ----------
        flat_radius : float
            Of the largest circle in the elevation [parts of the scale].

        Notes
        -----
        Half-way between the planes both reaches are ``sqrt(r² - w²/4)``, so no more than
        ``sqrt(flat² + w²/4)`` passes there.  From that radius down: find the tightest place, take
        the largest ball that passes there, look again near it, and at last on the whole way.  Every
        such ball is at least as large as the one sought, and they close in on it as fast as
        Newton's method where the clearance changes smoothly along the way.  Where it jumps, as
        between a post and a nosing, the least of the balls along the way is closed in on itself.

        A ball no thicker than the side gap is wide drops between the planes, unless it is stopped
        in the guard's own plane (``most``).
        """
        most = self.most
        least = min(self.gap / 2, most)
        radius, share = self._first(min(math.hypot(flat_radius, self.gap / 2), most), least)
        for turn in range(_TURNS):
            if radius <= least:
                break
            clearance, tight, numbers = self.tightest(radius, passing=True)
            if clearance < -_ALIKE and turn < _TURNS // 2:
                found = None
                if numbers:
                    around = max(tight - 1 / _STATIONS, 0.0), min(tight + 1 / _STATIONS, 1.0)
                    found = self._largest_of(radius, tight, around, numbers, least)
                if found is None:
                    near = max(least, radius + 4 * clearance)
                    smaller = self.largest_at(tight, near, radius)
                    if smaller == near > least:
                        smaller = self.largest_at(tight, least, near)
                    found = smaller, tight
                if radius - found[0] > _NOTHING:
                    radius, share = found
                    continue
                share = tight
            smaller, share = self._least_ball(radius, share, least, clearance < -SAME)
            if radius - smaller <= _NOTHING:
                break
            radius = smaller
        _, x, y, _ = self.clearance(radius, share)
        return radius, x, y, self.place(radius, share)

    def _first(self, radius: float, least: float) -> tuple[float, float]:
        """A radius from which to look further down, and where; from a few places on the way."""
        if radius <= least:
            return radius, 0.5
        shares = [k / _FIRST for k in range(_FIRST + 1)]
        places = [self.clearance(radius, share) for share in shares]
        k = min(range(_FIRST + 1), key=lambda k: places[k][0])
        near = range(max(k - 1, 0), min(k + 2, _FIRST + 1))
        numbers = tuple(sorted({places[j][3] for j in near}))
        if NONE in numbers or places[k][0] >= 0:
            return radius, 0.5
        around = shares[near[0]], shares[near[-1]]
        return self._largest_of(radius, shares[k], around, numbers, least) or (radius, 0.5)

    def _largest_of(
        self, radius: float, share: float, ends: Ends, numbers: tuple[int, ...], least: float
    ) -> tuple[float, float] | None:
        """The largest radius that some spots let pass near a share, and where; None if not sure.

        Notes
        -----
        Secants on the least clearance, which falls as the radius grows.
        """

        while True:
            found = self._where_spared(radius, share, ends, numbers, least)
            if found is None:
                return None
            here = self.clearance(*found)
            if here[0] > _ALIKE and here[3] not in numbers:  # a better place, from there on
                numbers += (here[3],)
                continue
            more = self.clearance(found[0] * (1 + _LESS), found[1])
            return found if more[0] < 0 and here[0] >= -_ALIKE else None

    def _where_spared(
        self, radius: float, share: float, ends: Ends, numbers: tuple[int, ...], least: float
    ) -> tuple[float, float] | None:
        """The radius at which some spots have nothing to spare at the tightest place, and where."""
        high, (at_high, share) = radius, self._least_of(radius, ends, share, numbers)[:2]
        less = radius * (1 - _LESS)
        slope = (at_high - self.spared(less, share, numbers)) / (radius - less)
        low = max(radius - at_high / slope if slope < 0 else radius + at_high, least)
        for turn in range(_TURNS):
            at_low, share = self._least_about(low, ends, share, numbers, turn)
            if not math.isfinite(at_low) or at_low == at_high:
                return None
            if abs(at_low) <= (_NOTHING if turn > 1 else 1e-15) or abs(high - low) <= 1e-15:
                return low, share
            high, low, at_high = low, low - at_low * (high - low) / (at_high - at_low), at_low
            if not least <= low <= radius:
                return None
        return None

    def _least_about(
        self, radius: float, ends: Ends, share: float, numbers: tuple[int, ...], turn: int
    ) -> tuple[float, float]:
        """The least that some spots spare, looked for ever nearer to a share from turn to turn."""
        reach = 8.0 ** -(turn + 1)
        around = max(share - reach, ends[0]), min(share + reach, ends[1])
        found = self._least_of(radius, around, share, numbers)[:2]
        if around != ends and min(abs(found[1] - end) for end in around) < reach / 8:
            found = self._least_of(radius, ends, share, numbers)[:2]  # it is farther away
        return found

    def _least_ball(
        self, radius: float, share: float, least: float, everywhere: bool
    ) -> tuple[float, float]:
        """The least of the largest balls at each share of the way near one, and where.

        Parameters
        ----------
        everywhere : bool
            Whether to look at stations on the whole way first.

        Notes
        -----
        The largest ball at a share changes steadily, also where the clearance jumps.  There its
        least may be a sharp notch; a ball that is too large then sticks at every share between its
        own and the notch, and trying ever smaller steps to both sides finds one of them.
        """
        best, step = (radius, share), 1 / _STATIONS
        if everywhere:
            for k in range(_STATIONS + 1):
                if self.clearance(best[0], k * step)[0] < 0:
                    best = (self.largest_at(k * step, least, best[0]), k * step)
        else:
            like = self.clearance(radius, share)[3]
            while step > _FINEST and best[0] == radius:
                for spot in (share - step, share + step):
                    inside = 0 <= spot <= 1
                    if inside and self.clearance(best[0], spot, like, -SLACK)[0] < -SLACK:
                        best = (self.largest_at(spot, least, best[0]), spot)
                step /= 8
            step *= 16
        if best[0] < radius:
            ball = best[0]
            ends = max(best[1] - step, 0.0), min(best[1] + step, 1.0)
            best = _least_with_ends(lambda spot: self.largest_at(spot, least, ball), ends, best)
        return best


def _least_with_ends(
    function: Function, ends: Ends, best: tuple[float, float]
) -> tuple[float, float]:
    """The least value of a function near a share, the ends of the whole way included.

    Notes
    -----
    A notch is the place where the lines along its two sides meet: nearer to it than any search for
    the least comes.
    """
    value, share = least_between(function, *ends, best, _COARSE)
    for end in ends:
        if abs(end - share) <= 4 * _COARSE:
            return min((value, share), (function(end), end))
    near = [share + k * _COARSE for k in (-2, -1, 1, 2)]
    a, b, c, d = (function(spot) for spot in near)
    if ends[0] < near[0] and near[-1] < ends[1] and b < a and c < d:
        falls, rises = (b - a) / _COARSE, (d - c) / _COARSE
        notch = share + (b - c + _COARSE * (falls + rises)) / (rises - falls)
        value, share = min((value, share), (function(notch), notch))
    return value, share
