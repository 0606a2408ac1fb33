"""Search for the largest ball that passes an opening between two planes.

:mod:`stairs.passage` says what a passage is; here is how the ball is found where it leans on
anything.  For a ball of radius ``r`` with its centre ``z`` beyond the tread ends, the elevation
shows a circle of one size for the stair, its *reach* ``A = sqrt(r² - z²)``, and of another size for
the guard, ``B = sqrt(r² - (w - z)²)``.  The centre must keep off the stair's walls by ``A``, off
posts and rail by ``B`` and over the ground by ``r``.

Among the places that keep off stair, ground and posts the one that is deepest below the rail is
the best.  Depth is a linear function, so the deepest place is a corner of that region: where two of
its borders meet, each a wall moved by a reach, a circle about a nosing, or an open edge of the
pocket.  All those points are computed in closed form.  The depth less ``B`` is the ball's
*clearance*; the ball passes where no ``z`` on the way has a negative one.

Where the rail ends short of a post there is more to it, see :mod:`stairs.passage_slots`.
"""

from __future__ import annotations

import math
from functools import partial
from itertools import combinations

from stairs.circle_search import Room, distance
from stairs.narrowing import least_between, zero_between

_STATIONS = 20  # places along z that are looked at before the tightest is closed in on
_FINE = 1e-9  # part of the way to which the tightest place is found
_HALVINGS = 24
_NEAR = 1e-7  # part of a ball: how much smaller one is tried first
_HAIR = 1e-11  # parts of the scale: rounding allowed when a place is tried
SURE = 1e-9  # parts of the scale: a lack that is no rounding
_STAIR, _GROUND, _POST, _OPEN = range(4)


class Channel:
    """The walls of a passage in floats, ready to be asked for the room at any place in it.

    Parameters
    ----------
    shape : stairs.circle.Shape
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
        for ax, ay, ux, uy, _, _, _ in room.opens:
            borders.append((-uy, ux, -uy * ax + ux * ay, _OPEN))
        self.borders = borders
        self.crossings = _crossings(borders)
        self.corners = _outer_corners(self.stair)
        self.pairs = list(combinations(self.corners, 2))

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

    def clearance(self, radius: float, share: float) -> tuple[float, float, float]:
        """What a ball has to spare below the rail at one share of its way [parts of the scale].

        Below 0 where it sticks.  A reach of 0 at an end of the way still keeps the centre off what
        is solid, as every greater one just before it does.

        Parameters
        ----------
        radius, share : float
            Of the ball, above 0 [parts of the scale]; of its way, from 0 to 1.

        Returns
        -------
        tuple of (float, float, float)
            The clearance, and ``x`` and ``y`` of the centre.
        """
        near, far = self.reaches(radius, self.place(radius, share))
        spots = self.spots(radius, near, far)
        for depth, x, y in sorted(self.off_ground_and_posts(spots, radius, far), reverse=True):
            if depth < self.rail:
                break
            if self._is_off_stair(x, y, near) and self._is_inside(x, y):
                return depth - self.rail - far, x, y
        return self._lacking(spots, radius, near, far)

    def off_ground_and_posts(self, spots, radius: float, far: float) -> list[tuple]:
        """Of some places, with anything before their ``x`` and ``y``, those that keep off both."""
        left, right = max(self.low + far - _HAIR, -2.0), min(self.high - far + _HAIR, 2.0)
        bottom = max(self.floor + radius - _HAIR, -2.0)
        return [spot for spot in spots if left <= spot[1] <= right and bottom <= spot[2] <= 2.0]

    def spots(self, radius: float, near: float, far: float) -> list[tuple[float, float, float]]:
        """Where each two borders meet, not above the line of the rail: depth, and ``x``, ``y``."""
        moved = (near, radius, far, 0.0)
        down_x, down_y = self.down
        least = self.rail - _HAIR
        spots = []
        for first, second, px, py, fx, fy, sx, sy in self.crossings:
            a, b = moved[first], moved[second]
            x, y = px + a * fx + b * sx, py + a * fy + b * sy
            depth = down_x * x + down_y * y
            if depth >= least:
                spots.append((depth, x, y))
        for nx, ny, c, kind in self.borders:
            offset = c + moved[kind]
            for cx, cy in self.corners:
                away = offset - nx * cx - ny * cy
                if -near <= away <= near:
                    half = math.sqrt(near * near - away * away)
                    for side in (half, -half):
                        x, y = cx + away * nx - side * ny, cy + away * ny + side * nx
                        depth = down_x * x + down_y * y
                        if depth >= least:
                            spots.append((depth, x, y))
        for (ax, ay), (bx, by) in self.pairs:
            dx, dy = bx - ax, by - ay
            apart = dx * dx + dy * dy
            square = near * near - apart / 4
            if square >= 0 and apart > 0:
                half = math.sqrt(square / apart)
                for side in (half, -half):
                    x, y = (ax + bx) / 2 - side * dy, (ay + by) / 2 + side * dx
                    depth = down_x * x + down_y * y
                    if depth >= least:
                        spots.append((depth, x, y))
        return spots

    def below_rail(self, x: float, y: float) -> float:
        """How far a place is from the rail [parts of the scale]."""
        return self.down[0] * x + self.down[1] * y - self.rail

    def _lacking(self, spots, radius, near, far) -> tuple[float, float, float]:
        """Below 0: how much is lacking where least is, if there is no place at all."""
        best = math.inf, 0.0, 0.0
        for depth, x, y in sorted(spots, reverse=True):
            if depth < self.rail:
                break
            lacking = self._lacks(x, y, near, far, radius, self.rail + far - depth, best[0])
            # whether a place is inside takes longest to tell, so only of one that would be taken
            if (lacking, x, y) < best and self._is_inside(x, y):
                best = lacking, x, y
        lacking, x, y = best if best[0] < math.inf else (near + far, 0.0, 0.0)
        return -max(lacking, _HAIR), x, y

    def _is_off_stair(self, x: float, y: float, near: float) -> bool:
        """Whether a place keeps off the stair."""
        least = near - _HAIR
        return all(distance(x, y, line) >= least for line in self.stair)

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
        for line in self.room.loop:
            ax, ay, ux, uy, _, _, _ = line
            # no nearer to the edge than to the line that it lies on
            if abs((y - ay) * ux - (x - ax) * uy) <= _HAIR and distance(x, y, line) <= _HAIR:
                return True
        return False

    # ---- the whole way -----------------------------------------------------------------------

    def tightest(
        self,
        radius: float,
        about: float | None = None,
        start: float = 0.0,
        place=None,
        enough: float = -math.inf,
    ) -> tuple[float, float]:
        """The least clearance on the way from the stair's plane to the guard's, and its share.

        Parameters
        ----------
        radius : float
            [parts of the scale], at least half the side gap.
        about : float, optional
            Look only near this share.
        start : float
            Look from this share on.
        place : callable, optional
            Takes the place of :meth:`clearance`, of the share alone.
        enough : float
            A clearance this small or smaller ends the search at once: there is none to pass.
        """
        place = place or partial(self.clearance, radius)

        def clearance(share: float) -> float:
            return place(share)[0]

        if about is not None:
            ends = max(about - 0.5 / _STATIONS, 0.0), min(about + 0.5 / _STATIONS, 1.0)
            found = self._least_near(clearance, ends, (clearance(about), about))
            if all(abs(found[1] - end) > 4 * _FINE or end in (0.0, 1.0) for end in ends):
                return found  # else it has moved on
        if start == 1.0:
            return clearance(1.0), 1.0
        shares = [start + (1 - start) * k / _STATIONS for k in range(_STATIONS)] + [1.0]
        places = []
        for share in shares:
            places.append(place(share))
            if places[-1][0] <= enough:
                return places[-1][0], share
        values = [place[0] for place in places]
        best = min(zip(values, shares, strict=True))
        for k in range(_STATIONS):
            here, there = places[k : k + 2]
            if math.dist(here[1:], there[1:]) > radius / 5:
                best = min(best, self._at_jump(place, shares[k : k + 2], (here, there)))
        for k, value in enumerate(values):
            around = values[max(k - 1, 0) : k + 2]
            if value > min(around) or value > best[0] + 0.05 * radius:
                continue
            ends = shares[max(k - 1, 0)], shares[min(k + 1, _STATIONS)]
            best = min(best, self._least_near(clearance, ends, (value, shares[k]), start))
        return best

    def spare(self, radius: float) -> float:
        """What a ball has to spare at the tightest place on its way; below 0 where it sticks."""
        return self.tightest(radius)[0]

    def sticks(self, radius: float) -> bool:
        """Whether a ball surely sticks on its way: by more than rounding could make of it."""
        return self.tightest(radius, enough=-SURE)[0] <= -SURE

    @staticmethod
    def _least_near(function, ends, best, start=0.0) -> tuple[float, float]:
        """The least value near a share, the ends of the way included."""
        value, share = least_between(function, *ends, best, _FINE)
        end = min(ends, key=lambda end: abs(end - share))
        if end in (start, 1.0) and abs(end - share) <= 4 * _FINE:
            return min((value, share), (function(end), end))
        return value, share

    @staticmethod
    def _at_jump(clearance, shares, places) -> tuple[float, float]:
        """The clearance between two stations where the deepest place is elsewhere all at once.

        Notes
        -----
        One place closes there and another opens.  Where the first closes too early the ball sticks
        on a stretch that may be much shorter than from station to station.
        """
        (low, high), (here, there) = shares, places
        apart = math.dist(here[1:], there[1:])
        for turn in range(_HALVINGS):
            share = (low + high) / 2
            place = clearance(share)
            if place[0] < 0:
                return place[0], share
            before, after = math.dist(here[1:], place[1:]), math.dist(place[1:], there[1:])
            if before > after:
                high, there = share, place
            else:
                low, here = share, place
            if max(before, after) < apart * 2 ** -(turn / 2):  # it moves, it does not jump
                break
        return min((here[0], low), (there[0], high))

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
        radius, share = min(math.hypot(flat_radius, self.gap / 2), most), 0.5
        about, turns = None, 0
        while radius > least:
            clearance, tight = self.tightest(radius, about)
            turns += 1
            if clearance < -1e-14 and turns < 16:
                near = max(least, radius + 4 * clearance)
                smaller, share = self.largest_at(tight, near, radius), tight
                if smaller == near > least:
                    smaller = self.largest_at(tight, least, near)
                if radius - smaller > 1e-14:
                    radius, about = smaller, tight
                    continue
            if about is not None:  # done there: look at the whole way again
                about = None
                continue
            smaller, share = self._least_ball(radius, share, least, clearance < -1e-9)
            if radius - smaller <= 1e-14 or turns > 32:
                break
            radius = smaller
        _, x, y = self.clearance(radius, share)
        return radius, x, y, self.place(radius, share)

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
            while step > _FINE and best[0] == radius:
                for spot in (share - step, share + step):
                    if 0 <= spot <= 1 and self.clearance(best[0], spot)[0] < -_HAIR:
                        best = (self.largest_at(spot, least, best[0]), spot)
                step /= 8
            step *= 16
        if best[0] < radius:
            ball = best[0]
            ends = max(best[1] - step, 0.0), min(best[1] + step, 1.0)
            best = self._least_near(lambda spot: self.largest_at(spot, least, ball), ends, best)
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


def _crossings(borders: list) -> list[tuple]:
    """Where each two straight borders meet, as a point and its moves per reach of either.

    Notes
    -----
    ``n1 p = c1 + o1`` and ``n2 p = c2 + o2`` with offsets ``o`` is linear in the offsets.
    """
    found = []
    for (ax, ay, ac, first), (bx, by, bc, second) in combinations(borders, 2):
        determinant = ax * by - ay * bx
        if abs(determinant) < 1e-9:
            continue
        found.append(
            (
                first,
                second,
                (ac * by - bc * ay) / determinant,
                (ax * bc - bx * ac) / determinant,
                by / determinant,
                -bx / determinant,
                -ay / determinant,
                ax / determinant,
            )
        )
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
