"""Search for the largest ball that passes an opening between two planes.

:mod:`stairs.openings.side_gap.ball` says what a passage is; here is how the ball is found where it
leans on anything.  For a ball of radius ``r`` with its centre ``z`` beyond the tread ends, the
elevation shows a circle of one size for the stair, its *reach* ``A = sqrt(r² - z²)``, and of
another size for the guard, ``B = sqrt(r² - (w - z)²)``.  The centre must keep off the stair's walls
by ``A``, off posts and rail by ``B`` and over the ground by ``r``.

Among the places that keep off stair, ground and posts the one that is deepest below the rail is
the best.  Depth is a linear function, so the deepest place is a corner of that region: where two of
its borders meet, each a wall moved by a reach, a circle about a nosing, or an open edge of the
pocket.  All those points are computed in closed form.  The depth less ``B`` is the ball's
*clearance*; the ball passes where no ``z`` on the way has a negative one.

Where the rail ends short of a post there is more to it, see :mod:`stairs.openings.side_gap.slots`.
"""

from __future__ import annotations

import math
from functools import partial
from itertools import combinations

from stairs.numbers.root_finding import least_between, zero_between
from stairs.shapes.circle_search import Room, distance, is_within

_FIRST = 8  # of them before a radius is known
_STATIONS = 20  # places along z that are looked at before the tightest is closed in on
_FINEST = 1e-9  # part of the way that a notch may be wide
_FINE = 1e-6  # part of the way to which the tightest place is found, before a notch is sharpened
_HALVINGS = 24
_NEAR = 1e-7  # part of a ball: how much smaller one is tried first
_HAIR = 1e-11  # parts of the scale: rounding allowed when a place is tried
STUCK = -1e-12  # parts of the scale: what is lacking where that is no rounding
_STAIR, _GROUND, _POST, _OPEN = range(4)
_MATTERS = 0.05  # parts of a ball: a place with this much more to spare is not the tightest
_PARALLEL = 1e-9  # sine of an angle that counts as none
_NOTHING = 1e-12  # parts of the scale: no difference
_SAME = 2e-12  # parts of the scale: two ways to one clearance
_TURNS = 32
_NONE = -1  # the number of no spot


class Channel:
    """The walls of a passage in floats, ready to be asked for the room at any place in it.

    Parameters
    ----------
    shape : stairs.shapes.circle.Shape
        Of numbers that turn into floats.  Walls called ``"bottom rail"`` or ``"post ..."`` stand
        in the guard's plane, one called ``"lower landing"`` is ground, the rest is stair.
    rail : tuple of (float, float)
        The rail's underside at ``x = 0``, and what it rises per unit of ``x``.
    side_gap : float
        Stair to guard [job's unit of length], above 0.
    posts : tuple of (str, float)
        Name and face of the post down-stair of the opening and of the one up-stair.
    ground : float
        Level of the lower landing.
    most : float
        The largest radius that gets through the guard's plane, were there no stair.
    """

    def __init__(self, shape, rail, side_gap: float, posts, ground, most) -> None:
        self.room = room = Room(shape)
        self.gap, self.most = side_gap / room.scale, most / room.scale
        self.stair, borders = [], []
        self.rails: list[tuple] = []
        self.names: list[str] = []
        for line, edge in zip(room.walls, room.wall_edges, strict=True):
            ax, ay, ux, uy, _, _, _ = line
            if edge.name.startswith("bottom rail"):
                self.rails.append(line)
            elif not edge.name.startswith(("post ", "lower landing")):
                self.stair.append(line)
                self.names.append(edge.name)
                borders.append((-uy, ux, -uy * ax + ux * ay, _STAIR))
        self.floor = room.inside(0.0, ground)[1]
        borders.append((0.0, 1.0, self.floor, _GROUND))
        self.post_names = tuple(name for name, _ in posts)
        self.low, self.high = (room.inside(face, 0.0)[0] for _, face in posts)
        borders.append((1.0, 0.0, self.low, _POST))
        borders.append((-1.0, 0.0, -self.high, _POST))
        height, slope = rail
        length = math.hypot(1.0, slope)
        self.down = (slope / length, -1 / length)  # square to the rail, into the opening
        x, y = room.inside(0.0, height)
        self.rail = self.down[0] * x + self.down[1] * y
        self.opens = room.opens
        for ax, ay, ux, uy, _, _, _ in room.opens:
            borders.append((-uy, ux, -uy * ax + ux * ay, _OPEN))
        corners = _outer_corners(self.stair)
        self._crossings = _crossings(borders, self.down)
        self._rounds = _rounds(borders, corners, self.down)
        self._bridges = _bridges(corners, self.down)
        self._others = self._not_touched(borders, corners)

    def _not_touched(self, borders: list, corners: list) -> list[tuple]:
        """By the number of a spot, what its centre does not touch anyway.

        Returns
        -------
        list of tuple
            Whether it has to be kept off the ground, off the lower and off the upper post, the
            stair's walls that it has to be kept off, and the open edges that it has to keep to.
        """
        count = len(self.stair)
        at_corner = [
            {
                index
                for index, line in enumerate(self.stair)
                if min(math.dist(line[:2], corner), math.dist(line[5:], corner)) <= 1e-12
            }
            for corner in corners
        ]
        pairs = combinations(range(len(borders)), 2)
        touched = [
            {a, b}
            for a, b in pairs
            if abs(borders[a][0] * borders[b][1] - borders[a][1] * borders[b][0]) >= _PARALLEL
        ]
        for a in range(len(borders)):
            for walls in at_corner:
                touched += [{a, *walls}] * 2
        for a, b in combinations(range(len(corners)), 2):
            if corners[a] != corners[b]:
                touched += [at_corner[a] | at_corner[b]] * 2
        return [
            (
                count not in own,
                count + 1 not in own,
                count + 2 not in own,
                [line for index, line in enumerate(self.stair) if index not in own],
                [line for index, line in enumerate(self.opens, count + 3) if index not in own],
            )
            for own in touched
        ]

    # ---- one place ---------------------------------------------------------------------------

    def place(self, radius: float, share: float) -> float:
        """How far out a ball is after a share of the way on which both planes are in its reach.

        Notes
        -----
        The way is from ``max(0, w - r)`` to ``min(w, r)``.  Its middle is at a share of 1/2, and it
        is run through as the reaches want it, which change fast at its ends:
        ``(1 - cos(π share)) / 2`` of it.
        """
        low, high = max(0.0, self.gap - radius), min(self.gap, radius)
        return min(low + (high - low) * (1 - math.cos(math.pi * share)) / 2, high)

    def reaches(self, radius: float, z: float) -> tuple[float, float]:
        """Reach at the stair and at the guard of a ball at ``z``."""
        across = self.gap - z
        return (
            math.sqrt(max(radius * radius - z * z, 0.0)),
            math.sqrt(max(radius * radius - across * across, 0.0)),
        )

    def clearance(
        self, radius: float, share: float, like: int = _NONE, enough: float = math.inf
    ) -> tuple[float, float, float, int]:
        """What a ball has to spare below the rail at one share of its way [parts of the scale].

        Below 0 where it sticks.  A reach of 0 at an end of the way still keeps the centre off what
        is solid, as every greater one just before it does.

        Parameters
        ----------
        radius, share : float
            Of the ball, above 0 [parts of the scale]; of its way, from 0 to 1.
        like : int
            The number of a spot that may be tried before all others.
        enough : float
            It is taken where it has this much to spare; there may be a better one then.

        Returns
        -------
        tuple of (float, float, float, int)
            The clearance, ``x`` and ``y`` of the centre, and the number of its spot.
        """
        near, far = self.reaches(radius, self.place(radius, share))
        found = self._at_spot(like, radius, near, far, enough)
        if found is not None:
            return found
        spots = self.spots(radius, near, far)
        for depth, x, y, which in sorted(
            self.off_ground_and_posts(spots, radius, far), reverse=True
        ):
            if depth < self.rail:
                break
            if self._is_off_stair(x, y, near) and self._is_inside(x, y):
                return depth - self.rail - far, x, y, which
        return self._lacking(spots, radius, near, far)

    def _at_spot(self, number: int, radius: float, near: float, far: float, enough: float):
        """The clearance at one spot, where a centre may be there and has enough; else None."""
        spot = None if number == _NONE else self.spot(number, radius, near, far)
        if spot is None:
            return None
        _, x, y, _ = spot
        left = self.below_rail(x, y) - far
        if left < enough or not self.off_ground_and_posts([spot], radius, far):
            return None
        joined = self._joined(radius, near, far)
        if joined is not None and self._side(x, y) not in joined:
            return None
        if self._is_off_stair(x, y, near) and self._is_inside(x, y):
            return left, x, y, number
        return None

    def off_ground_and_posts(self, spots, radius: float, far: float) -> list[tuple]:
        """Of some places, with anything before their ``x`` and ``y``, those that keep off both."""
        left, right = max(self.low + far - _HAIR, -2.0), min(self.high - far + _HAIR, 2.0)
        bottom = max(self.floor + radius - _HAIR, -2.0)
        return [spot for spot in spots if left <= spot[1] <= right and bottom <= spot[2] <= 2.0]

    def spots(self, radius: float, near: float, far: float) -> list[tuple]:
        """Where each two borders meet, not above the rail's line: depth, ``x``, ``y``, number."""
        moved = (near, radius, far, 0.0)
        least = self.rail - _HAIR
        spots = []
        number = -1
        for number, (first, second, deep, deep_a, deep_b, *line) in enumerate(self._crossings):
            a, b = moved[first], moved[second]
            depth = deep + a * deep_a + b * deep_b
            if depth >= least:
                px, py, fx, fy, sx, sy = line
                spots.append((depth, px + a * fx + b * sx, py + a * fy + b * sy, number))
        number += 1
        for kind, off, deep, deep_n, deep_t, cx, cy, nx, ny in self._rounds:
            away = off + moved[kind]
            if -near <= away <= near:
                half = math.sqrt(near * near - away * away)
                depth = deep + away * deep_n
                if depth + half * deep_t >= least:
                    x, y = cx + away * nx - half * ny, cy + away * ny + half * nx
                    spots.append((depth + half * deep_t, x, y, number))
                if depth - half * deep_t >= least:
                    x, y = cx + away * nx + half * ny, cy + away * ny - half * nx
                    spots.append((depth - half * deep_t, x, y, number + 1))
            number += 2
        for quarter, deep, deep_t, mx, my, tx, ty in self._bridges:
            square = near * near - quarter
            if square >= 0:
                half = math.sqrt(square)
                for side, turned in ((half, 0), (-half, 1)):
                    if deep + side * deep_t >= least:
                        x, y = mx + side * tx, my + side * ty
                        spots.append((deep + side * deep_t, x, y, number + turned))
            number += 2
        return spots

    def spot(self, which: int, radius: float, near: float, far: float):
        """One of them by its number, wherever it is; None where its two borders do not meet."""
        moved = (near, radius, far, 0.0)
        if which < len(self._crossings):
            first, second, deep, deep_a, deep_b, px, py, fx, fy, sx, sy = self._crossings[which]
            a, b = moved[first], moved[second]
            depth = deep + a * deep_a + b * deep_b
            return depth, px + a * fx + b * sx, py + a * fy + b * sy, which
        place, turned = divmod(which - len(self._crossings), 2)
        if place < len(self._rounds):
            kind, off, deep, deep_n, deep_t, cx, cy, nx, ny = self._rounds[place]
            away = off + moved[kind]
            square = near * near - away * away
            if square < 0:
                return None
            half = -math.sqrt(square) if turned else math.sqrt(square)
            x, y = cx + away * nx - half * ny, cy + away * ny + half * nx
            return deep + away * deep_n + half * deep_t, x, y, which
        quarter, deep, deep_t, mx, my, tx, ty = self._bridges[place - len(self._rounds)]
        square = near * near - quarter
        if square < 0:
            return None
        half = -math.sqrt(square) if turned else math.sqrt(square)
        return deep + half * deep_t, mx + half * tx, my + half * ty, which

    def spared(self, radius: float, share: float, numbers: tuple[int, ...]) -> float:
        """What a ball has to spare to all that the best of some spots does not touch anyway.

        Below 0 where a centre in none of them keeps off everything.

        Parameters
        ----------
        radius, share : float
            Of the ball, above 0 [parts of the scale]; of its way, from 0 to 1.
        numbers : tuple of int
            Of the spots.
        """
        near, far = self.reaches(radius, self.place(radius, share))
        joined = self._joined(radius, near, far)
        most = -math.inf
        for number in numbers:
            spot = self.spot(number, radius, near, far)
            if spot is None:
                continue
            _, x, y, _ = spot
            if joined is not None and self._side(x, y) not in joined:
                continue
            off_ground, off_low, off_high, walls, opens = self._others[number]
            least = self.below_rail(x, y) - far
            if off_ground:
                least = min(least, y - self.floor - radius)
            if off_low:
                least = min(least, x - self.low - far)
            if off_high:
                least = min(least, self.high - far - x)
            for ax, ay, ux, uy, length, bx, by in walls:
                if least <= most:
                    break
                dx, dy = x - ax, y - ay
                across = abs(dy * ux - dx * uy)
                if across >= near + least:  # no nearer to the wall than to the line that it is on
                    continue
                along = dx * ux + dy * uy
                if along > length:
                    across = math.hypot(x - bx, y - by)
                elif along < 0:
                    across = math.hypot(dx, dy)
                if across - near < least:
                    least = across - near
            if least > most:
                least = min(least, _within(x, y, opens))
            if least > most and self._is_inside(x, y):
                most = least
        return most

    def _joined(self, radius: float, near: float, far: float) -> set | None:
        """The chambers in which a centre may be, None for all: here there is one."""
        return None

    def below_rail(self, x: float, y: float) -> float:
        """How far a place is from the rail [parts of the scale]."""
        return self.down[0] * x + self.down[1] * y - self.rail

    def _lacking(self, spots, radius, near, far) -> tuple[float, float, float, int]:
        """Below 0: how much is lacking where least is, if there is no place at all."""
        best = math.inf, 0.0, 0.0, _NONE
        for depth, x, y, which in sorted(spots, reverse=True):
            if depth < self.rail:
                break
            lacking = self._lacks(x, y, near, far, radius, self.rail + far - depth, best[0])
            # whether a place is inside takes longest to tell, so only of one that would be taken
            if (lacking, x, y) < best[:3] and self._is_inside(x, y):
                best = lacking, x, y, which
        lacking, x, y, which = best if best[0] < math.inf else (near + far, 0.0, 0.0, _NONE)
        return -max(lacking, _HAIR), x, y, which

    def _is_off_stair(self, x: float, y: float, near: float) -> bool:
        """Whether a place keeps off the stair."""
        least = near - _HAIR
        return least <= 0 or not is_within(x, y, self.stair, least * (1 - 1e-15))

    def _lacks(self, x: float, y: float, near, far, radius, lacking: float, enough: float) -> float:
        """How much a place lies too near to ground, posts or stair, or what else is lacking there.

        Notes
        -----
        Once more than enough is lacking, how much that is in all does not matter.
        """
        if abs(x) > 2 or abs(y) > 2:
            return math.inf
        lacking = max(lacking, self.floor + radius - y, self.low + far - x, x - self.high + far)
        for line in self.stair:
            if lacking > enough:
                break
            lacking = max(lacking, near - distance(x, y, line))
        return lacking

    def _is_inside(self, x: float, y: float) -> bool:
        if self.room.is_inside(x, y, _HAIR):
            return True
        return is_within(x, y, self.room.loop, _HAIR)

    # ---- the whole way -----------------------------------------------------------------------

    def tightest(
        self,
        radius: float,
        start: float = 0.0,
        place=None,
        enough: float = -math.inf,
        passing: bool = False,
    ) -> tuple[float, float, tuple[int, ...]]:
        """The least clearance on the way from the stair's plane to the guard's, and its share.

        Parameters
        ----------
        radius : float
            [parts of the scale], at least half the side gap.
        start : float
            Look from this share on.
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
        places, least, like = [], math.inf, _NONE
        for share in shares:
            # how much more than can matter a spot has to spare is of no interest
            places.append(place(share, like, 0.0 if passing else least + _MATTERS * radius))
            least, like = min(least, places[-1][0]), places[-1][3]
            if least <= enough:
                return least, share, ()
        values = [place[0] for place in places]
        best = (*min(zip(values, shares, strict=True)), ())
        for k in range(_STATIONS):
            here, there = places[k : k + 2]
            between = shares[k], shares[k + 1]
            if here[3] != there[3] and _NONE not in (here[3], there[3]):
                if self.spared(radius, between[1], (here[3],)) > 0:
                    continue  # the ball can change from one to the other there
                if self.spared(radius, between[0], (there[3],)) > 0:
                    continue
                middle, numbers = sum(between) / 2, (here[3], there[3])
                best = min(best, self._least_near(radius, place, between, middle, numbers))
            elif math.dist(here[1:3], there[1:3]) > radius / 5:
                best = min(best, self._at_jump(place, between, (here, there)))
            elif here[3] != _NONE:  # it may leave the opening for a while
                near = (_within(*spot[1:3], self._others[spot[3]][4]) for spot in (here, there))
                if min(near) < _MATTERS * radius:
                    found = self._least_near(radius, place, between, shares[k], (here[3],))
                    best = min(best, found)
        for k, value in enumerate(values):
            low, high = max(k - 1, 0), min(k + 1, _STATIONS)
            if value > min(values[low : high + 1]) or value > best[0] + _MATTERS * radius:
                continue
            ends, numbers = (
                (shares[low], shares[high]),
                {spot[3] for spot in places[low : high + 1]},
            )
            found = self._least_near(radius, place, ends, shares[k], tuple(sorted(numbers)))
            best = min(best, found)
        return best

    def _least_near(self, radius: float, place, ends, share: float, numbers: tuple[int, ...]):
        """The least clearance near a share, the ends included: by a few spots if they are it."""
        while _NONE not in numbers:
            found = self._least_of(radius, ends, share, numbers)
            here = place(found[1])
            if min(here[0], found[0]) >= 0 or abs(here[0] - found[0]) <= _SAME:
                return found
            if here[3] in numbers:
                break
            numbers += (here[3],)

        def function(spot: float) -> float:
            return place(spot)[0]

        return *_least_with_ends(function, ends, (function(share), share)), ()

    def _least_of(self, radius: float, ends, share: float, numbers: tuple[int, ...]):
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
    def _at_jump(clearance, shares, places) -> tuple[float, float, tuple]:
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
        top, step = high, _NEAR * high
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
            if clearance < -_SAME and turn < _TURNS // 2:
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
            smaller, share = self._least_ball(radius, share, least, clearance < -1e-9)
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
        if _NONE in numbers or places[k][0] >= 0:
            return radius, 0.5
        around = shares[near[0]], shares[near[-1]]
        return self._largest_of(radius, shares[k], around, numbers, least) or (radius, 0.5)

    def _largest_of(
        self, radius: float, share: float, ends, numbers: tuple[int, ...], least: float
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
            if here[0] > _SAME and here[3] not in numbers:  # a better place, from there on
                numbers += (here[3],)
                continue
            more = self.clearance(found[0] * (1 + _NEAR), found[1])
            return found if more[0] < 0 and here[0] >= -_SAME else None

    def _where_spared(
        self, radius: float, share: float, ends, numbers: tuple[int, ...], least: float
    ) -> tuple[float, float] | None:
        """The radius at which some spots have nothing to spare at the tightest place, and where."""
        high, (at_high, share) = radius, self._least_of(radius, ends, share, numbers)[:2]
        less = radius * (1 - _NEAR)
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

    def _least_about(self, radius: float, ends, share: float, numbers: tuple[int, ...], turn: int):
        """The least that some spots spare, looked for ever nearer to a share from turn to turn."""
        reach = 8.0 ** -(turn + 1)
        around = max(share - reach, ends[0]), min(share + reach, ends[1])
        found = self._least_of(radius, around, share, numbers)[:2]
        if around != ends and min(abs(found[1] - end) for end in around) < reach / 8:
            found = self._least_of(radius, ends, share, numbers)[:2]  # it is farther away
        return found

    def _least_ball(self, radius: float, share: float, least: float, everywhere: bool):
        """The least of the largest balls at each share of the way near one, and where.

        Parameters
        ----------
        radius, share : float
            The largest ball there.
        least : float
            No ball is smaller.
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
                    if inside and self.clearance(best[0], spot, like, -_HAIR)[0] < -_HAIR:
                        best = (self.largest_at(spot, least, best[0]), spot)
                step /= 8
            step *= 16
        if best[0] < radius:
            ball = best[0]
            ends = max(best[1] - step, 0.0), min(best[1] + step, 1.0)
            best = _least_with_ends(lambda spot: self.largest_at(spot, least, ball), ends, best)
        return best

    def touched(self, radius: float, x: float, y: float, z: float) -> tuple[str, ...]:
        """Names of what a ball touches, up to what a hair of its size changes."""
        near, far = self.reaches(radius, z)
        slack = 1e-6
        names: list[str] = []
        if y <= self.floor + radius + slack:
            names.append("lower landing")
        names += [
            name
            for name, line in zip(self.names, self.stair, strict=True)
            if distance(x, y, line) <= near + slack
        ]
        faces = (self.low, self.high)
        names += [
            name
            for face, name in zip(faces, self.post_names, strict=True)
            if abs(x - face) <= far + slack
        ]
        if self.below_rail(x, y) <= far + slack:
            names.append("bottom rail")
        return tuple(dict.fromkeys(names))


def _within(x: float, y: float, opens: list) -> float:
    """How far inside a place is of those open edges that it is beside; below 0 it is out."""
    least = math.inf
    for ax, ay, ux, uy, length, _, _ in opens:
        if 0 <= (x - ax) * ux + (y - ay) * uy <= length:
            least = min(least, (y - ay) * ux - (x - ax) * uy)
    return least


def _least_with_ends(function, ends, best) -> tuple[float, float]:
    """The least value of a function near a share, the ends of the whole way included.

    Notes
    -----
    A notch is the place where the lines along its two sides meet: nearer to it than any search for
    the least comes.
    """
    value, share = least_between(function, *ends, best, _FINE)
    for end in ends:
        if abs(end - share) <= 4 * _FINE:
            return min((value, share), (function(end), end))
    near = [share + k * _FINE for k in (-2, -1, 1, 2)]
    a, b, c, d = (function(spot) for spot in near)
    if ends[0] < near[0] and near[-1] < ends[1] and b < a and c < d:
        falls, rises = (b - a) / _FINE, (d - c) / _FINE
        notch = share + (b - c + _FINE * (falls + rises)) / (rises - falls)
        value, share = min((value, share), (function(notch), notch))
    return value, share


def _crossings(borders: list, down) -> list[tuple]:
    """Where each two straight borders meet: depth and point, and their moves per reach of either.

    Notes
    -----
    ``n1 p = c1 + o1`` and ``n2 p = c2 + o2`` with offsets ``o`` is linear in the offsets.
    """
    found = []
    for (ax, ay, ac, first), (bx, by, bc, second) in combinations(borders, 2):
        determinant = ax * by - ay * bx
        if abs(determinant) < _PARALLEL:
            continue
        point = (ac * by - bc * ay) / determinant, (ax * bc - bx * ac) / determinant
        by_first = by / determinant, -bx / determinant
        by_second = -ay / determinant, ax / determinant
        depths = (down[0] * x + down[1] * y for x, y in (point, by_first, by_second))
        found.append((first, second, *depths, *point, *by_first, *by_second))
    return found


def _rounds(borders: list, corners: list, down) -> list[tuple]:
    """Where a straight border may meet the circle about a corner: how far off, and which way."""
    return [
        (
            kind,
            offset - nx * cx - ny * cy,
            down[0] * cx + down[1] * cy,
            down[0] * nx + down[1] * ny,
            down[1] * nx - down[0] * ny,
            cx,
            cy,
            nx,
            ny,
        )
        for nx, ny, offset, kind in borders
        for cx, cy in corners
    ]


def _bridges(corners: list, down) -> list[tuple]:
    """Where circles about two corners may meet: a quarter of the square apart, middle, across."""
    found = []
    for (ax, ay), (bx, by) in combinations(corners, 2):
        apart = math.dist((ax, ay), (bx, by))
        if apart > 0:
            mx, my, tx, ty = (ax + bx) / 2, (ay + by) / 2, (ay - by) / apart, (bx - ax) / apart
            depths = down[0] * mx + down[1] * my, down[0] * tx + down[1] * ty
            found.append((apart * apart / 4, *depths, mx, my, tx, ty))
    return found


def _outer_corners(stair: list) -> list[tuple[float, float]]:
    """Ends of the stair's walls that stick out into the opening, nosings first of all."""
    ends = [line[:2] for line in stair] + [line[5:] for line in stair]
    corners = []
    for spot in dict.fromkeys(ends):
        before = [line for line in stair if math.dist(line[5:], spot) <= 1e-12]
        after = [line for line in stair if math.dist(line[:2], spot) <= 1e-12]
        if before and after:
            _, _, px, py, _, _, _ = before[0]
            _, _, qx, qy, _, _, _ = after[0]
            turn = px * qy - py * qx
            turns_back = px * qx + py * qy < 0  # at the edge of a tread without thickness
            if turn > 1e-12 or (turn >= -1e-12 and not turns_back):
                continue
        corners.append(spot)
    return corners
