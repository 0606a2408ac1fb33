"""Search for the largest square in an outline, at any angle, with a bound that is proved.

:mod:`stairs.shapes.square` says what is asked; here is how it is found.  A square is its centre and
its angle, three numbers.  About a centre ``c`` at an angle ``φ`` the square grows until it meets a
wall: it and a wall keep apart exactly as long as one of the square's own two directions or the
wall's does so, which gives how far it can grow in closed form.

The space of centres and angles is cut into ever smaller boxes.  In a box no square is larger than
the bound for the middle, plus what moving the centre, and turning, within the box can gain; a box
whose bound is not above the best square found is dropped.  When no box is left that could hold a
square larger by more than ``NEAR``, the best is the answer, and the bound is proved, up to the
rounding of floats.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from stairs.numbers.tolerances import SAME
from stairs.shapes.circle_search import Room

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Place = tuple[float, float, float]  # centre and angle, radians

NEAR = 5e-7
"""Part of the edge within which the answer is known."""

_START, _ANGLES = 8, 6  # boxes across the outline, and in a quarter turn, at the start
_MOST = 24_000  # boxes of one generation; more, and the bound stays as wide as it is
_AROUND, _CLOSER = 64, 0.7  # places tried about a square, and how much nearer the next ones are
_FINEST, _COARSE = 1e-8, 0.03  # no nearer than this; or, for a first look, than this
_TURN_TO_MOVE = 1.0  # how far they are turned, radians, to how far they are moved


class SquareRoom:
    """A shape in floats, its size brought to about 1."""

    def __init__(self, room: Room) -> None:
        walls = np.array([(line[0], line[1], line[5], line[6]) for line in room.walls])
        loop = np.array([(line[0], line[1], line[5], line[6]) for line in room.loop])
        self.ax, self.ay, self.bx, self.by = walls.T[:, None, :]
        self.dx, self.dy = self.bx - self.ax, self.by - self.ay
        self.length = np.hypot(self.dx, self.dy)
        self.loop = loop.T[:, None, :]
        self.half = room.half
        self.dice = np.random.default_rng(1)

    def bounds(
        self, x: Floats, y: Floats, turn: Floats, spread: float
    ) -> tuple[Floats, Floats | None]:
        """Half the edge of the largest square about each centre, and a bound for turns around.

        Parameters
        ----------
        x, y, turn : numpy.ndarray
            Centres and angles, radians.
        spread : float
            The bound holds for every angle that differs by no more, radians.
        """
        cosine, sine = np.cos(turn)[:, None], np.sin(turn)[:, None]
        ax, ay = self.ax - x[:, None], self.ay - y[:, None]
        bx, by = self.bx - x[:, None], self.by - y[:, None]
        ua, va = ax * cosine + ay * sine, ay * cosine - ax * sine
        ub, vb = bx * cosine + by * sine, by * cosine - bx * sine
        du, dv = np.abs(ub - ua), np.abs(vb - va)
        across = np.abs(ax * self.dy - ay * self.dx)
        apart = np.maximum(
            np.maximum(_clear(ua, ub), _clear(va, vb)), across / np.maximum(du + dv, 1e-300)
        )
        if spread == 0:
            return apart.min(axis=1), None
        turned, kept = math.sin(spread), math.cos(spread)
        by_u = _clear_turned(ua, ub, np.abs(va) * turned, np.abs(vb) * turned, kept)
        by_v = _clear_turned(va, vb, np.abs(ua) * turned, np.abs(ub) * turned, kept)
        # along a wall's own direction a square is least wide where a side lies flush with the wall
        flush = np.minimum(du, dv) <= np.maximum(du, dv) * (turned / kept)
        least = (du + dv) * kept - np.abs(du - dv) * turned
        least = np.where(flush, self.length, np.maximum(least, self.length))
        most = np.maximum(np.maximum(by_u, by_v), across / least)
        return apart.min(axis=1), most.min(axis=1)

    def is_near(self, x: Floats, y: Floats, reach: float) -> tuple[Bools, Bools]:
        """Whether each point is inside the loop, and whether inside it or within reach of it."""
        ax, ay, bx, by = self.loop
        px, py = x[:, None], y[:, None]
        with np.errstate(divide="ignore", invalid="ignore"):
            crossed = ((ay > py) != (by > py)) & (px < ax + (py - ay) / (by - ay) * (bx - ax))
        inside = crossed.sum(axis=1) % 2 == 1
        dx, dy = bx - ax, by - ay
        square = np.maximum(dx * dx + dy * dy, 1e-300)
        along = np.clip(((px - ax) * dx + (py - ay) * dy) / square, 0, 1)
        away = np.hypot(px - ax - along * dx, py - ay - along * dy).min(axis=1)
        return inside | (away <= 1e-13), inside | (away <= reach)

    def largest(
        self, at_most: float, seeds: Sequence[Place]
    ) -> tuple[float, float, float, float, float]:
        """Half the edge of the largest square: found, and proved bound; then its place.

        Parameters
        ----------
        at_most : float
            A bound that is known, such as the radius of the largest circle.
        seeds : sequence of tuple
            Places ``(x, y, turn)`` to look at first, inside the outline.

        Returns
        -------
        tuple
            ``(found, bound, x, y, turn)``.
        """
        best, place = self._first(seeds)
        bound = at_most
        for places, found, most, cell in self._generations(at_most):
            if found.max(initial=0) > best:
                top = int(found.argmax())
                best, place = self._improved(float(found[top]), _place(places, top), cell)
            self._kept = most > best * (1 + NEAR)
            if not self._kept.any():
                return best, best * (1 + NEAR), *place
            bound = float(most.max())
        return best, bound, *place

    def reaches(self, half_edge: float) -> bool:
        """Whether a square with half this edge, or a larger one, may fit.

        Parameters
        ----------
        half_edge : float
            Above 0.

        Returns
        -------
        bool
            False is proved; True where one was found, or where it is too near to say.
        """
        best = 0.0
        for places, found, most, cell in self._generations(math.inf):
            top = found.max(initial=0)
            if top >= half_edge:
                return True
            if top > best and top + cell >= half_edge:
                place = _place(places, int(found.argmax()))
                # only whether one is large enough counts: no need to follow the best to its end
                best, _ = self._improved(float(top), place, cell, cell * _COARSE)
                if best >= half_edge:
                    return True
            self._kept = most >= half_edge
            if not self._kept.any():
                return False
        return True

    def _first(self, seeds: Sequence[Place]) -> tuple[float, Place]:
        """The best square near the places to look at first: moved only, at each one's own angle."""
        places = np.array(seeds, dtype=float)
        x, y, turn = places.T
        best = self.bounds(x, y, turn, 0)[0]
        cell = max(self.half) / _START
        while cell > _FINEST:
            shifts = self.dice.uniform(-cell, cell, (len(seeds), _AROUND // 2, 2))
            around = np.repeat(places[:, None, :], _AROUND // 2, axis=1)
            around[:, :, :2] += shifts
            x, y, turn = around.reshape(-1, 3).T
            found = self.bounds(x, y, turn, 0)[0].reshape(len(seeds), -1)
            for row, column in enumerate(found.argmax(axis=1)):
                place = around[row, column]
                if found[row, column] > best[row] and self._is_inside(place[0], place[1]):
                    best[row], places[row] = found[row, column], place
            cell *= _CLOSER
        top = int(best.argmax())
        x, y, turn = places[top]
        return float(best[top]), (float(x), float(y), float(turn))

    def half_edge_at(self, place: Place) -> float:
        """Half the edge of the largest square at one place; 0 outside the outline."""
        x, y, turn = np.array([place], dtype=float).T
        return float(self.bounds(x, y, turn, 0)[0][0]) if self._is_inside(*place[:2]) else 0.0

    def _is_inside(self, x: float, y: float) -> bool:
        return bool(self.is_near(np.array([x]), np.array([y]), 0.0)[0][0])

    def _generations(self, at_most: float) -> Iterator[tuple[Floats, Floats, Floats, float]]:
        """Boxes of centres and angles, every next generation half as large.

        Notes
        -----
        Gives middles, half edges found there, bounds, and half a box's side.  ``_kept`` then tells
        which of them to go on with.  Ends where that would be too many, or too small ones.
        """
        cell = max(self.half) / _START
        counts = [max(int(math.ceil(half / cell - SAME)), 1) for half in self.half]
        axes = [(np.arange(count) * 2 + 1 - count) * cell for count in counts]
        spread = math.pi / 4 / _ANGLES
        turns = (np.arange(_ANGLES) * 2 + 1) * spread
        x, y, turn = (part.ravel() for part in np.meshgrid(*axes, turns, indexing="ij"))
        while True:
            inside, near = self.is_near(x, y, cell * math.sqrt(2))
            x, y, turn, inside = x[near], y[near], turn[near], inside[near]
            found, most = self.bounds(x, y, turn, spread)
            found = np.where(inside, found, 0.0)
            grown = np.abs(np.cos(turn)) + np.abs(np.sin(turn))
            grown = np.minimum(grown * (math.cos(spread) + math.sin(spread)), math.sqrt(2))
            yield np.array([x, y, turn]), found, np.minimum(most + cell * grown, at_most), cell
            x, y, turn = x[self._kept], y[self._kept], turn[self._kept]
            if x.size * 8 > _MOST or cell < SAME:
                return
            cell, spread = cell / 2, spread / 2
            x, y, turn = (
                (value[:, None] + step * np.array(signs)[None, :]).ravel()
                for value, step, signs in (
                    (x, cell, (-1, -1, -1, -1, 1, 1, 1, 1)),
                    (y, cell, (-1, -1, 1, 1, -1, -1, 1, 1)),
                    (turn, spread, (-1, 1, -1, 1, -1, 1, -1, 1)),
                )
            )

    def _improved(
        self, best: float, place: Place, cell: float, finest: float = _FINEST
    ) -> tuple[float, Place]:
        """A better square near the best one, by trying places about it that close in on it.

        Notes
        -----
        Half of them keep the angle, so that a square that lies flush with a wall stays so.
        """
        spread = cell * _TURN_TO_MOVE
        while cell > finest:
            shifts = self.dice.uniform(-1, 1, (3, _AROUND))
            shifts[2, : _AROUND // 2] = 0.0
            x = place[0] + shifts[0] * cell
            y = place[1] + shifts[1] * cell
            turn = place[2] + shifts[2] * spread
            found = self.bounds(x, y, turn, 0)[0]
            top = int(found.argmax())
            if found[top] > best and self._is_inside(x[top], y[top]):
                best, place = float(found[top]), (float(x[top]), float(y[top]), float(turn[top]))
            cell, spread = cell * _CLOSER, spread * _CLOSER
        return best, place


def _place(places: Floats, index: int) -> Place:
    x, y, turn = places[:, index]
    return float(x), float(y), float(turn)


def _clear(first: Floats, second: Floats) -> Floats:
    """How far a segment keeps off the middle along one of the square's directions; below 0 not."""
    return np.maximum(np.minimum(first, second), -np.maximum(first, second))


def _clear_turned(
    first: Floats, second: Floats, more_first: Floats, more_second: Floats, kept: float
) -> Floats:
    """The most that it can be when the square turns a little either way."""
    ahead = np.minimum(_most(first, more_first, kept), _most(second, more_second, kept))
    behind = np.minimum(_most(-first, more_first, kept), _most(-second, more_second, kept))
    return np.maximum(ahead, behind)


def _most(value: Floats, more: Floats, kept: float) -> Floats:
    return np.where(value > 0, value, value * kept) + more
