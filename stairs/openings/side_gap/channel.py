"""The walls of a passage between two planes, and the room for a ball at any place in it.

:mod:`stairs.openings.side_gap.ball` says what a passage is.  For a ball of radius ``r`` with its
centre ``z`` beyond the tread ends, the elevation shows a circle of one size for the stair, its
*reach* ``A = sqrt(r² - z²)``, and of another size for the guard, ``B = sqrt(r² - (w - z)²)``.  The
centre must keep off the stair's walls by ``A``, off posts and rail by ``B`` and over the ground by
``r``.

Among the places that keep off stair, ground and posts the one that is deepest below the rail is
the best.  Depth is a linear function, so the deepest place is a corner of that region: where two of
its borders meet, each a wall moved by a reach, a circle about a nosing, or an open edge of the
pocket.  All those points, the *spots*, are computed in closed form.  The depth less ``B`` is the
ball's *clearance*; the ball passes where no ``z`` on the way has a negative one.

Where the rail ends short of a post there is more to it, see :mod:`stairs.openings.side_gap.slots`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import combinations
from typing import Any, TypeAlias

from stairs.numbers.tolerances import ROUNDING
from stairs.openings.feature import BOTTOM_RAIL, LOWER_LANDING, POST, RAIL_END, Feature
from stairs.openings.side_gap.held_ball import GROUND, GUARD, OPEN, STAIR, Contact, Held, held_ball
from stairs.shapes.circle import Shape
from stairs.shapes.circle_search import Line, Room, distance, is_within

SLACK = 1e-11  # parts of the scale: rounding allowed when a place is tried
NONE = -1  # the number of no spot
_NOT_STAIR = (BOTTOM_RAIL, RAIL_END, LOWER_LANDING)
_PARALLEL = 1e-9  # sine of an angle that counts as none

Spot = tuple[float, float, float, int]
"""Depth or clearance, ``x`` and ``y`` of the centre, and the number of the two borders it is on."""

Border = tuple[float, float, float, int]  # normal, offset, and which reach it is moved by
Corners = list[tuple[float, float]]
Pair = tuple[int, int]  # the two borders, or corners after all borders, that a spot is on
Numbers: TypeAlias = tuple[Any, ...]  # what a spot is computed from, as _crossings and such make it


class Channel:
    """The walls of a passage in floats, ready to be asked for the room at any place in it.

    Parameters
    ----------
    shape : stairs.shapes.circle.Shape
        Of numbers that turn into floats.  Of its walls the rail, its ends and the posts stand in
        the guard's plane, the lower landing is ground, the rest is stair.
    rail : tuple of (float, float)
        The rail's underside at ``x = 0``, and what it rises per unit of ``x``.
    side_gap : float
        Stair to guard [job's unit of length], above 0.
    posts : tuple of (int, float)
        Number and face of the post down-stair of the opening and of the one up-stair.
    ground : float
        Level of the lower landing.
    most : float
        The largest radius that gets through the guard's plane, were there no stair.
    """

    def __init__(
        self,
        shape: Shape,
        rail: tuple[float, float],
        side_gap: float,
        posts: Sequence[tuple[int, float]],
        ground: float,
        most: float,
    ) -> None:
        self.room = room = Room(shape)
        self.gap, self.most = side_gap / room.scale, most / room.scale
        self.stair: list[Line] = []
        self.names: list[Feature] = []
        borders: list[Border] = []
        for line, edge in zip(room.walls, room.wall_edges, strict=True):
            ax, ay, ux, uy, _, _, _ = line
            name = edge.name
            if isinstance(name, Feature) and name.kind != POST and name not in _NOT_STAIR:
                self.stair.append(line)
                self.names.append(name)
                borders.append((-uy, ux, -uy * ax + ux * ay, STAIR))
        self.floor = room.inside(0.0, ground)[1]
        borders.append((0.0, 1.0, self.floor, GROUND))
        self.post_names = tuple(Feature(POST, number) for number, _ in posts)
        self.low, self.high = (room.inside(face, 0.0)[0] for _, face in posts)
        borders.append((1.0, 0.0, self.low, GUARD))
        borders.append((-1.0, 0.0, -self.high, GUARD))
        height, slope = rail
        length = math.hypot(1.0, slope)
        self.down = (slope / length, -1 / length)  # square to the rail, into the opening
        x, y = room.inside(0.0, height)
        self.rail = self.down[0] * x + self.down[1] * y
        self.opens = room.opens
        for ax, ay, ux, uy, _, _, _ in room.opens:
            borders.append((-uy, ux, -uy * ax + ux * ay, OPEN))
        corners = _outer_corners(self.stair)
        self._contacts: list[Contact] = [(kind, nx, ny, c) for nx, ny, c, kind in borders]
        self._contacts += [(STAIR, *corner, None) for corner in corners]
        self._segments = dict(enumerate(self.stair)) | dict(
            enumerate(room.opens, len(borders) - len(room.opens))
        )
        crossings = _crossings(borders, self.down)
        rounds = _rounds(borders, corners, self.down)
        bridges = _bridges(corners, self.down, len(borders))
        self._crossings, self._rounds, self._bridges = (
            [numbers for _, numbers in kind] for kind in (crossings, rounds, bridges)
        )
        self._pairs = [pair for pair, _ in crossings]
        self._pairs += [pair for pair, _ in (*rounds, *bridges) for _ in range(2)]
        self._touched = self._touching(len(borders), corners)

    def _touching(self, borders: int, corners: Corners) -> list[set[int]]:
        """By the number of a spot all contacts at its borders: of a corner also its two walls."""
        at = [{index} for index in range(borders)]
        for number, corner in enumerate(corners, borders):
            walls = (
                index
                for index, line in enumerate(self.stair)
                if min(math.dist(line[:2], corner), math.dist(line[5:], corner)) <= ROUNDING
            )
            at.append({number, *walls})
        return [at[first] | at[second] for first, second in self._pairs]

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

    def share(self, radius: float, place: float) -> float:
        """The share of its way after which a ball is so far out."""
        low, high = max(0.0, self.gap - radius), min(self.gap, radius)
        part = (place - low) / (high - low) if high > low else 0.0
        return math.acos(min(max(1 - 2 * part, -1.0), 1.0)) / math.pi

    def reaches(self, radius: float, z: float) -> tuple[float, float]:
        """Reach at the stair and at the guard of a ball at ``z``."""
        across = self.gap - z
        return (
            math.sqrt(max(radius * radius - z * z, 0.0)),
            math.sqrt(max(radius * radius - across * across, 0.0)),
        )

    def clearance(
        self, radius: float, share: float, like: int = NONE, enough: float = math.inf
    ) -> Spot:
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

    def _at_spot(
        self, number: int, radius: float, near: float, far: float, enough: float
    ) -> Spot | None:
        """The clearance at one spot, where a centre may be there and has enough; else None."""
        spot = None if number == NONE else self.spot(number, radius, near, far)
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

    def off_ground_and_posts(self, spots: Iterable[Spot], radius: float, far: float) -> list[Spot]:
        """Of some places those that keep off both."""
        left, right = max(self.low + far - SLACK, -2.0), min(self.high - far + SLACK, 2.0)
        bottom = max(self.floor + radius - SLACK, -2.0)
        return [spot for spot in spots if left <= spot[1] <= right and bottom <= spot[2] <= 2.0]

    def spots(self, radius: float, near: float, far: float) -> list[Spot]:
        """Where each two borders meet, not above the rail's line: depth, ``x``, ``y``, number."""
        moved = (near, radius, far, 0.0)
        least = self.rail - SLACK
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

    def spot(self, which: int, radius: float, near: float, far: float) -> Spot | None:
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

    def held_at(self, radius: float, share: float, spot: Spot) -> Held | None:
        """The ball held by what a ball at a spot touches, and by what is nearest to it besides.

        None where there is no spot, or where they hold no ball near this one.
        """
        _, x, y, number = spot
        if number == NONE:
            return None
        place = self.place(radius, share)
        near, far = self.reaches(radius, place)
        reaches = near, radius, far, 0.0
        third, least = self.rail_contact(x, y), self.below_rail(x, y) - far
        for index, contact in enumerate(self._contacts):
            if index in self._touched[number]:
                continue
            kind, nx, ny, offset = contact
            if offset is None:
                away = math.dist((x, y), (nx, ny))
            else:
                away = nx * x + ny * y - offset
                if index in self._segments:
                    ax, ay, ux, uy, length, _, _ = self._segments[index]
                    if away < -SLACK or not 0 <= (x - ax) * ux + (y - ay) * uy <= length:
                        continue
            if away - reaches[kind] < least:
                third, least = contact, away - reaches[kind]
        first, second = (self._contacts[index] for index in self._pairs[number])
        return held_ball((first, second, third), self.gap, (radius, x, y, place))

    def rail_contact(self, x: float, y: float) -> Contact:
        """What of the rail is nearest to a place."""
        return GUARD, *self.down, self.rail

    def inside_of_opens(self, spot: Spot) -> float:
        """How far inside a spot is of the open edges that it is beside, but for its own."""
        _, x, y, number = spot
        if number == NONE:
            return math.inf
        return within(x, y, [
            line for index, line in self._segments.items()
            if index >= len(self.stair) and index not in self._touched[number]
        ])  # fmt: skip

    def _joined(self, radius: float, near: float, far: float) -> set[int] | None:
        """The chambers in which a centre may be, None for all: here there is one."""
        return None

    def _side(self, x: float, y: float) -> int:
        """The chamber that a place is in."""
        return NONE

    def below_rail(self, x: float, y: float) -> float:
        """How far a place is from the rail [parts of the scale]."""
        return self.down[0] * x + self.down[1] * y - self.rail

    def _lacking(self, spots: Iterable[Spot], radius: float, near: float, far: float) -> Spot:
        """Below 0: how much is lacking where least is, if there is no place at all."""
        best = math.inf, 0.0, 0.0, NONE
        for depth, x, y, which in sorted(spots, reverse=True):
            if depth < self.rail:
                break
            lacking = self._lacks(x, y, near, far, radius, self.rail + far - depth, best[0])
            # whether a place is inside takes longest to tell, so only of one that would be taken
            if (lacking, x, y) < best[:3] and self._is_inside(x, y):
                best = lacking, x, y, which
        lacking, x, y, which = best if best[0] < math.inf else (near + far, 0.0, 0.0, NONE)
        return -max(lacking, SLACK), x, y, which

    def _is_off_stair(self, x: float, y: float, near: float) -> bool:
        """Whether a place keeps off the stair."""
        least = near - SLACK
        return least <= 0 or not is_within(x, y, self.stair, least * (1 - 1e-15))

    def _lacks(
        self,
        x: float,
        y: float,
        near: float,
        far: float,
        radius: float,
        lacking: float,
        enough: float,
    ) -> float:
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
        if self.room.is_inside(x, y, SLACK):
            return True
        return is_within(x, y, self.room.loop, SLACK)

    def touched(self, radius: float, x: float, y: float, z: float) -> tuple[Feature, ...]:
        """What a ball touches, up to what a hair of its size changes."""
        near, far = self.reaches(radius, z)
        slack = 1e-6
        names: list[Feature] = []
        if y <= self.floor + radius + slack:
            names.append(LOWER_LANDING)
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
            names.append(BOTTOM_RAIL)
        return tuple(dict.fromkeys(names))


def within(x: float, y: float, opens: list[Line]) -> float:
    """How far inside a place is of those open edges that it is beside; below 0 it is out."""
    least = math.inf
    for ax, ay, ux, uy, length, _, _ in opens:
        if 0 <= (x - ax) * ux + (y - ay) * uy <= length:
            least = min(least, (y - ay) * ux - (x - ax) * uy)
    return least


def _crossings(borders: list[Border], down: tuple[float, float]) -> list[tuple[Pair, Numbers]]:
    """Where each two straight borders meet: depth and point, and their moves per reach of either.

    Notes
    -----
    ``n1 p = c1 + o1`` and ``n2 p = c2 + o2`` with offsets ``o`` is linear in the offsets.
    """
    found = []
    for (i, (ax, ay, ac, first)), (k, (bx, by, bc, second)) in combinations(enumerate(borders), 2):
        determinant = ax * by - ay * bx
        if abs(determinant) < _PARALLEL:
            continue
        point = (ac * by - bc * ay) / determinant, (ax * bc - bx * ac) / determinant
        by_first = by / determinant, -bx / determinant
        by_second = -ay / determinant, ax / determinant
        depths = (down[0] * x + down[1] * y for x, y in (point, by_first, by_second))
        found.append(((i, k), (first, second, *depths, *point, *by_first, *by_second)))
    return found


def _rounds(
    borders: list[Border], corners: Corners, down: tuple[float, float]
) -> list[tuple[Pair, Numbers]]:
    """Where a straight border may meet the circle about a corner: how far off, and which way."""
    return [
        (
            (i, k),
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
            ),
        )
        for i, (nx, ny, offset, kind) in enumerate(borders)
        for k, (cx, cy) in enumerate(corners, len(borders))
    ]


def _bridges(corners: Corners, down: tuple[float, float], first: int) -> list[tuple[Pair, Numbers]]:
    """Where circles about two corners may meet: a quarter of the square apart, middle, across."""
    found = []
    for (i, (ax, ay)), (k, (bx, by)) in combinations(enumerate(corners, first), 2):
        apart = math.dist((ax, ay), (bx, by))
        if apart > 0:
            mx, my, tx, ty = (ax + bx) / 2, (ay + by) / 2, (ay - by) / apart, (bx - ax) / apart
            depths = down[0] * mx + down[1] * my, down[0] * tx + down[1] * ty
            found.append(((i, k), (apart * apart / 4, *depths, mx, my, tx, ty)))
    return found


def _outer_corners(stair: list[Line]) -> Corners:
    """Ends of the stair's walls that stick out into the opening, nosings first of all."""
    ends = [line[:2] for line in stair] + [line[5:] for line in stair]
    corners = []
    for spot in dict.fromkeys(ends):
        before = [line for line in stair if math.dist(line[5:], spot) <= ROUNDING]
        after = [line for line in stair if math.dist(line[:2], spot) <= ROUNDING]
        if before and after:
            _, _, px, py, _, _, _ = before[0]
            _, _, qx, qy, _, _, _ = after[0]
            turn = px * qy - py * qx
            turns_back = px * qx + py * qy < 0  # at the edge of a tread without thickness
            if turn > ROUNDING or (turn >= -ROUNDING and not turns_back):
                continue
        corners.append(spot)
    return corners
