"""Search for the largest ball that passes an opening between two planes.

The ball is followed on its whole way from the stair's plane to the guard's
(:mod:`stairs.openings.side_gap.channel` tells what it has to spare at one place).  Where it sticks,
or has least to spare, what it touches there tells which ball is held there
(:mod:`stairs.openings.side_gap.held_ball`); that one is tried next, until one passes everywhere.

At a few places no three contacts hold the ball: there one place for it closes as another opens, and
the two would pass balls of one size.  Those are closed in on.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import partial

from stairs.numbers.root_finding import least_between, zero_between
from stairs.openings.side_gap.channel import NONE, Channel, Spot

_STATIONS = 20  # places along z that are looked at before the tightest is closed in on
_COARSE = 1e-6  # part of the way to which the tightest place is found, before a notch is sharpened
_LESS = 1e-7  # part of a ball: how much smaller or larger one is tried beside it
STUCK = -1e-12  # parts of the scale: what is lacking where that is no rounding
_MATTERS = 0.05  # parts of a ball: a place with this much more to spare is not the tightest
_ALIKE = 2e-12  # parts of the scale: two ways to one clearance
_TURNS, _LOOKS = 32, 4
_HALVINGS = 24

At = Callable[..., Spot]
"""The clearance at one share of the way, as :meth:`Channel.clearance` gives it."""
Ends = tuple[float, float]
Tightest = tuple[float, float]
"""Clearance and share of the way."""


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

        Notes
        -----
        Looked at are stations, and between them where a ball would be held that touches what this
        one touches: near those with less to spare than their neighbours, and where from one to the
        next another spot is the best, or the spot may be outside for a while.
        """
        place = place or partial(self.clearance, radius)
        if start == 1.0:
            return place(1.0)[0], 1.0
        shares = [start + (1 - start) * k / _STATIONS for k in range(_STATIONS)] + [1.0]
        places: list[Spot] = []
        least, like = math.inf, NONE
        for share in shares:
            # how much more than can matter a spot has to spare is of no interest
            places.append(place(share, like, 0.0 if passing else least + _MATTERS * radius))
            least, like = min(least, places[-1][0]), places[-1][3]
            if least <= enough:
                return least, share
        values = [spot[0] for spot in places]
        best = min(zip(values, shares, strict=True))
        for k, value in enumerate(values):
            low, high = max(k - 1, 0), min(k + 1, _STATIONS)
            if value <= min(values[low : high + 1]) and value <= best[0] + _MATTERS * radius:
                ends = shares[low], shares[high]
                found = self._where_held(radius, place, ends, shares[k], places[k])
                if found is None:
                    first = value, shares[k]
                    found = _least_with_ends(lambda share: place(share)[0], ends, first)
                best = min(best, found)
        for k in range(_STATIONS):
            here, there = places[k : k + 2]
            opens = min(map(self.inside_of_opens, (here, there)))
            if here[3] != there[3] or opens < _MATTERS * radius:
                ends = shares[k], shares[k + 1]
                middle = sum(ends) / 2
                spot = place(middle)
                found = self._where_held(radius, place, ends, middle, spot)
                if found is None and math.dist(here[1:3], there[1:3]) > radius / 5:
                    found = _at_jump(place, ends, here, there)
                best = min(best, (spot[0], middle), found or best)
        return best

    def _where_held(
        self, radius: float, place: At, ends: Ends, share: float, spot: Spot
    ) -> Tightest | None:
        """The clearance, and the share, where a ball is held near a share; None without one."""
        found = None
        for _ in range(_LOOKS):
            number = spot[3]
            held = self.held_at(radius, share, spot)
            share = self.share(held[0], held[3]) if held is not None else math.inf
            if not ends[0] <= share <= ends[1]:
                break
            spot = place(share)
            found = min(found or (math.inf, 0.0), (spot[0], share))
            if spot[3] == number:
                break  # else another spot is the best there, and may be held elsewhere
        return found

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

    def largest(self, flat_radius: float) -> tuple[float, float, float, float]:
        """Radius of the largest ball that passes, and its centre where it is tightest.

        Parameters
        ----------
        flat_radius : float
            Of the largest circle in the elevation [parts of the scale].

        Notes
        -----
        Half-way between the planes both reaches are ``sqrt(r² - w²/4)``, so no more than
        ``sqrt(flat² + w²/4)`` passes there.  From that radius down: find the tightest place, and
        take the ball that is held there.  Each of them is the largest at some place of the way, so
        none is smaller than the one sought.

        A ball no thicker than the side gap is wide drops between the planes, unless it is stopped
        in the guard's own plane (``most``).
        """
        most = self.most
        least = min(self.gap / 2, most)
        radius, share = min(math.hypot(flat_radius, self.gap / 2), most), 0.5
        for _ in range(_TURNS):
            if radius <= least:
                break
            clearance, tight = self.tightest(radius, passing=True)
            if clearance >= -_ALIKE:
                break
            held = self._largest_held(radius, tight)
            radius, share = held or self._least_along(radius, tight, least)
        _, x, y, _ = self.clearance(radius, share)
        return radius, x, y, self.place(radius, share)

    def _largest_held(self, radius: float, share: float) -> tuple[float, float] | None:
        """The ball that is held near a share, if it is the largest at its own; and that share."""
        held = self.held_at(radius, share, self.clearance(radius, share))
        if held is None or not self.gap / 2 < held[0] < radius * (1 + _LESS):
            return None
        radius, share = held[0], self.share(held[0], held[3])
        fits = self.clearance(radius, share)[0] >= -_ALIKE
        return (
            (radius, share) if fits and self.clearance(radius * (1 + _LESS), share)[0] < 0 else None
        )

    def _least_along(self, radius: float, share: float, least: float) -> tuple[float, float]:
        """The least of the largest balls at a share and at all stations, or near that; and where.

        Notes
        -----
        The largest ball at a share changes steadily along the way, also where the clearance jumps.
        """
        best = self.largest_at(share, least, radius), share
        for k in range(_STATIONS + 1):
            if self.clearance(best[0], k / _STATIONS)[0] < 0:
                best = self.largest_at(k / _STATIONS, least, best[0]), k / _STATIONS
        held = self._largest_held(best[0] * (1 - _LESS), best[1])
        if held is not None:
            return held
        high, ends = best[0], (max(best[1] - 1 / _STATIONS, 0.0), min(best[1] + 1 / _STATIONS, 1.0))
        return _least_with_ends(lambda spot: self.largest_at(spot, least, high), ends, best)

    def largest_at(self, share: float, least: float, high: float) -> float:
        """The largest radius that passes at one share of the way, between two.

        Notes
        -----
        It is hardly ever smaller than ``high`` by more than what ``high`` lacks there.
        """
        at_high, _, _, like = self.clearance(high, share)
        if at_high >= 0:
            return high
        low, at_low, step = high, at_high, -at_high
        while at_low < 0:
            if low == least:
                return least
            low = max(high - step, least)
            at_low, step = self.clearance(low, share, like)[0], 2 * step
        return zero_between(
            lambda radius: self.clearance(radius, share, like)[0],
            low, high, (at_low, at_high), 2e-16 * high, 1e-16,
        )[0]  # fmt: skip


def _at_jump(place: At, ends: Ends, here: Spot, there: Spot) -> Tightest:
    """The clearance between two stations where the best place is elsewhere all at once.

    Notes
    -----
    One place closes there and another opens.  Where the first closes too early the ball sticks
    on a stretch that may be much shorter than from station to station.
    """
    low, high = ends
    apart = math.dist(here[1:3], there[1:3])
    for turn in range(_HALVINGS):
        share = (low + high) / 2
        spot = place(share)
        if spot[0] < 0:
            return spot[0], share
        before, after = math.dist(here[1:3], spot[1:3]), math.dist(spot[1:3], there[1:3])
        if before > after:
            high, there = share, spot
        else:
            low, here = share, spot
        if max(before, after) < apart * 2 ** -(turn / 2):  # it moves, it does not jump
            break
    return min((here[0], low), (there[0], high))


def _least_with_ends(
    function: Callable[[float], float], ends: Ends, best: tuple[float, float]
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
