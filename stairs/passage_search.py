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

Where the rail ends short of a post the distance to the rail takes the place of the depth.  The
distance from a convex thing is a convex function, and such a one too is greatest in a corner.
"""

from __future__ import annotations

import math
from itertools import combinations

from stairs.circle_search import Room, distance
from stairs.rail_slots import RAIL_END

_STATIONS = 20  # places along z that are looked at before the tightest is closed in on
_GOLDEN = (math.sqrt(5) - 1) / 2
_HAIR = 1e-11  # parts of the scale: rounding allowed when a place is tried
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
    """

    def __init__(self, shape, rail, side_gap: float, posts, ground: float) -> None:
        self.room = room = Room(shape)
        self.gap = side_gap / room.scale
        self.stair, borders = [], []
        self.rails: list[tuple] = []
        self.names: list[str] = []
        inner = {id(edge) for edge in shape.edges}
        for line, edge in zip(room.walls, room.wall_edges, strict=True):
            ax, ay, ux, uy, _, _, _ = line
            if edge.name.startswith("bottom rail"):
                self.rails.append(line)
            elif not edge.name.startswith(("post ", "lower landing")):
                self.stair.append(line)
                self.names.append(edge.name)
                if id(edge) in inner:
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
        self.slotted = any(edge.name == RAIL_END for edge in shape.beyond)
        # where the rail's lower corners are, along the rail: a place between them is under it
        ends = [room.inside(*point) for point, name in shape.corners if name == RAIL_END]
        places = [self.down[0] * y - self.down[1] * x for x, y in ends]
        middle = (self.low + self.high) / 2
        self.corners_at = (
            max((at for at, (x, _) in zip(places, ends, strict=True) if x < middle),
                default=-math.inf),
            min((at for at, (x, _) in zip(places, ends, strict=True) if x >= middle),
                default=math.inf),
        )  # fmt: skip
        self.borders = borders
        self.crossings = _crossings(borders)
        self.corners = _outer_corners(self.stair, room.opens)
        self.pairs = list(combinations(self.corners, 2))

    # ---- one place ---------------------------------------------------------------------------

    def reaches(self, radius: float, z: float) -> tuple[float, float]:
        """Reach at the stair and at the guard of a ball at ``z``."""
        across = self.gap - z
        return (
            math.sqrt(max(radius * radius - z * z, 0.0)),
            math.sqrt(max(radius * radius - across * across, 0.0)),
        )

    def clearance(self, radius: float, z: float) -> tuple[float, float, float]:
        """What a ball at ``z`` has to spare below the rail, and where; below 0 where it sticks."""
        near, far = self.reaches(radius, z)
        if near == 0 or far == 0:  # clear of one of the two: it may go where that one is
            return math.inf, 0.0, 0.0
        moved = (near, radius, far, 0.0)
        down_x, down_y = self.down
        spots = []
        for first, second, px, py, fx, fy, sx, sy in self.crossings:
            a, b = moved[first], moved[second]
            x, y = px + a * fx + b * sx, py + a * fy + b * sy
            spots.append((down_x * x + down_y * y, x, y))
        for nx, ny, c, kind in self.borders:
            offset = c + moved[kind]
            for cx, cy in self.corners:
                away = offset - nx * cx - ny * cy
                square = near * near - away * away
                if square >= 0:
                    half = math.sqrt(square)
                    for side in (half, -half):
                        x, y = cx + away * nx - side * ny, cy + away * ny + side * nx
                        spots.append((down_x * x + down_y * y, x, y))
        for (ax, ay), (bx, by) in self.pairs:
            dx, dy = bx - ax, by - ay
            apart = dx * dx + dy * dy
            square = near * near - apart / 4
            if square >= 0 and apart > 0:
                half = math.sqrt(square / apart)
                for side in (half, -half):
                    x, y = (ax + bx) / 2 - side * dy, (ay + by) / 2 + side * dx
                    spots.append((down_x * x + down_y * y, x, y))
        if self.slotted:
            spots = [
                (self._from_rail(depth, x, y), x, y)
                for depth, x, y in spots
                if depth >= self.rail - _HAIR
            ]
        spots.sort(reverse=True)
        for depth, x, y in spots:
            if depth < self.rail:
                break
            if self._lacks(x, y, near, far, radius) <= _HAIR and self._is_inside(x, y):
                return depth - self.rail - far, x, y
        # no place at all: say how much is lacking where least is
        lacking, x, y = min(
            (
                (max(self._lacks(x, y, near, far, radius), self.rail + far - depth), x, y)
                for depth, x, y in spots
                if depth >= self.rail and self._is_inside(x, y)
            ),
            default=(near + far, 0.0, 0.0),
        )
        return -max(lacking, _HAIR), x, y

    def _from_rail(self, depth: float, x: float, y: float) -> float:
        """The depth that a place would have below a rail without ends, were it as far from it."""
        low, high = self.corners_at
        along = self.down[0] * y - self.down[1] * x
        if low <= along <= high:
            return depth
        return self.rail + min(distance(x, y, line) for line in self.rails)

    def _lacks(self, x: float, y: float, near: float, far: float, radius: float) -> float:
        """How much a place lies too near to ground, posts or stair; 0 or less where it is free."""
        if abs(x) > 2 or abs(y) > 2:
            return math.inf
        lacking = max(self.floor + radius - y, self.low + far - x, x - self.high + far)
        for line in self.stair:
            lacking = max(lacking, near - distance(x, y, line))
        return lacking

    def _is_inside(self, x: float, y: float) -> bool:
        room = self.room
        return room.is_inside(x, y, _HAIR) or any(
            distance(x, y, line) <= _HAIR for line in room.loop
        )

    def most(self) -> float:
        """The largest radius that gets through the guard's plane, were there no stair.

        Notes
        -----
        Between the posts, or in the corner of ground, upper post and rail: below a rail at the rake
        ``θ`` the depth of ``(x1 - r, y0 + r)`` is ``depth(x1, y0) - r (sin θ + cos θ)``.
        """
        sine, cosine = self.down[0], -self.down[1]
        depth = sine * self.high - cosine * self.floor - self.rail
        return min((self.high - self.low) / 2, depth / (1 + sine + cosine))

    # ---- the whole way -----------------------------------------------------------------------

    def tightest(self, radius: float) -> tuple[float, float]:
        """The least clearance on the way from the stair's plane to the guard's, and its ``z``."""
        low, high = max(0.0, self.gap - radius), min(self.gap, radius)

        def station(share: float) -> float:
            return low + (high - low) * (1 - math.cos(math.pi * share)) / 2

        def clearance(share: float) -> float:
            return self.clearance(radius, station(share))[0]

        values = [clearance(k / _STATIONS) for k in range(_STATIONS + 1)]
        best = min((value, k / _STATIONS) for k, value in enumerate(values))
        for k, value in enumerate(values):
            around = values[max(k - 1, 0) : k + 2]
            if value > min(around) or value > best[0] + 0.05 * radius:
                continue
            best = min(best, self._closed_in(clearance, k))
        return best[0], station(best[1])

    @staticmethod
    def _closed_in(clearance, k: int) -> tuple[float, float]:
        """The least clearance near one station, by golden section."""
        low, high = max(k - 1, 0) / _STATIONS, min(k + 1, _STATIONS) / _STATIONS
        left, right = high - _GOLDEN * (high - low), low + _GOLDEN * (high - low)
        at_left, at_right = clearance(left), clearance(right)
        for _ in range(32):
            if at_left < at_right:
                high, right, at_right = right, left, at_left
                left = high - _GOLDEN * (high - low)
                at_left = clearance(left)
            else:
                low, left, at_left = left, right, at_right
                right = low + _GOLDEN * (high - low)
                at_right = clearance(right)
        return min((at_left, left), (at_right, right))

    def largest_at(self, z: float, low: float, high: float) -> float:
        """The largest radius with no clearance to spare at one ``z``, between two others."""
        at_low, at_high = self.clearance(low, z)[0], self.clearance(high, z)[0]
        if at_high >= 0:
            return high
        if at_low <= 0:
            return low
        side = 0
        for turn in range(120):
            # false position; the clearance may jump where the room closes, so halve now and then
            middle = (low * at_high - high * at_low) / (at_high - at_low)
            if not low < middle < high or turn % 3 == 2:
                middle = (low + high) / 2
            value = self.clearance(middle, z)[0]
            if value >= 0:
                low, at_low = middle, value
                at_high = at_high / 2 if side == 1 else at_high
                side = 1
            else:
                high, at_high = middle, value
                at_low = at_low / 2 if side == -1 else at_low
                side = -1
            if high - low <= 1e-15 * high or value == 0:
                break
        return low

    def largest(self, flat_radius: float) -> tuple[float, float, float, float]:
        """Radius of the largest ball that passes, and its centre where it is tightest.

        Parameters
        ----------
        flat_radius : float
            Of the largest circle in the elevation [parts of the scale].

        Notes
        -----
        Half-way between the planes both reaches are ``sqrt(r² - w²/4)``, so no more than
        ``sqrt(flat² + w²/4)`` passes there.  From that radius down: find the tightest ``z``, take
        the largest ball that passes at this ``z``, look again.  Every such ball is at least as
        large as the one sought, and they close in on it as fast as Newton's method where the
        clearance changes smoothly along the way.  Where it jumps, as between a post and a nosing,
        the least of the balls along the way is closed in on itself.

        A ball no thicker than the side gap is wide drops between the planes, unless it is stopped
        in the guard's own plane (:meth:`most`).
        """
        most = self.most()
        least = min(self.gap / 2, most)
        radius, z = min(math.hypot(flat_radius, self.gap / 2), most), self.gap / 2
        for turn in range(24):
            clearance, tight = self.tightest(radius)
            if clearance >= -1e-14:
                break
            if turn < 5:
                smaller, z = self.largest_at(tight, least, radius), tight
            else:
                smaller, z = self._least_ball(tight, least, radius)
            done = radius - smaller <= 1e-14
            radius = smaller
            if done or radius <= least:
                break
        _, x, y = self.clearance(radius, z)
        return radius, x, y, z

    def _least_ball(self, z: float, least: float, most: float) -> tuple[float, float]:
        """The least of the largest balls at each ``z`` on the way, and where.

        Notes
        -----
        The largest ball changes no faster than ``z`` itself.  Stations first, then golden section
        between the neighbours of the lowest.
        """
        low, high = max(0.0, self.gap - most), min(self.gap, most)
        step = (high - low) / _STATIONS
        best = (self.largest_at(z, least, most), z)
        for k in range(_STATIONS + 1):
            spot = low + k * step
            if self.clearance(best[0], spot)[0] < 0:
                best = (self.largest_at(spot, least, best[0]), spot)
        low, high = max(best[1] - step, 0.0), min(best[1] + step, self.gap)
        left, right = high - _GOLDEN * (high - low), low + _GOLDEN * (high - low)
        at_left, at_right = (self.largest_at(spot, least, most) for spot in (left, right))
        for _ in range(56):
            best = min(best, (at_left, left), (at_right, right))
            if abs(at_left - at_right) <= 1e-14 and high - low < 1e-6:
                break
            if at_left < at_right:
                high, right, at_right = right, left, at_left
                left = high - _GOLDEN * (high - low)
                at_left = self.largest_at(left, least, most)
            else:
                low, left, at_left = left, right, at_right
                right = low + _GOLDEN * (high - low)
                at_right = self.largest_at(right, least, most)
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
        if self.down[0] * x + self.down[1] * y - self.rail <= far + slack:
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


def _outer_corners(stair: list, opens: list) -> list[tuple[float, float]]:
    """Ends of the stair's walls that stick out into the opening, nosings first of all."""
    ends = [line[:2] for line in stair] + [line[5:] for line in stair]
    corners = []
    for spot in dict.fromkeys(ends):
        before = [line for line in stair if math.dist(line[5:], spot) <= 1e-12]
        after = [line for line in stair if math.dist(line[:2], spot) <= 1e-12]
        if before and after:
            _, _, px, py, _, _, _ = before[0]
            _, _, qx, qy, _, _, _ = after[0]
            if px * qy - py * qx >= -1e-12:
                continue
        corners.append(spot)
    return corners
