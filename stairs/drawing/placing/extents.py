"""Extents: the rectangles that lettering fills, and which lines run through them.

Lettering is turned with its base line, so its rectangle may stand at any angle.  Whether a line
runs through it, or another rectangle lies over it, is settled here for many lines at once.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any

import numpy as np
from msgspec import Struct

from stairs.drawing.paper.lettering import measure
from stairs.drawing.paper.primitives import TOUCH, Point, Segment, Text


class Box(Struct, frozen=True):
    """The rectangle that a line of lettering fills, turned with it."""

    center: Point
    half_width: float
    half_height: float
    cosine: float
    sine: float

    def corners(self) -> tuple[Point, ...]:
        """Its corners, against the clock from the start of the line's underside."""
        x, y = self.center
        found = []
        for along, across in ((-1, -1), (1, -1), (1, 1), (-1, 1)):
            u, v = along * self.half_width, across * self.half_height
            found.append((x + u * self.cosine - v * self.sine, y + u * self.sine + v * self.cosine))
        return tuple(found)

    def grown(self, clearance: float) -> Box:
        """The rectangle with so much more on every side [mm on paper]."""
        return Box(
            self.center,
            self.half_width + clearance,
            self.half_height + clearance,
            self.cosine,
            self.sine,
        )


def box_of(text: Text, clearance: float = 0.0) -> Box:
    """The rectangle that the lettering fills on paper [mm], grown by a clearance."""
    extent = measure(text.content, text.height, text.bold)
    start = {"left": 0.0, "middle": -extent.width / 2, "right": -extent.width}[text.anchor]
    turn = math.radians(text.rotation)
    cosine, sine = math.cos(turn), math.sin(turn)
    u, v = start + extent.width / 2, (extent.over - extent.under) / 2
    return Box(
        (text.at[0] + u * cosine - v * sine, text.at[1] + u * sine + v * cosine),
        extent.width / 2 + clearance,
        (extent.over + extent.under) / 2 + clearance,
        cosine,
        sine,
    )


def boxes_meet(one: Box, other: Box) -> bool:
    """Whether two rectangles share more than an edge (axes that separate them are sought).

    >>> one = Box((0.0, 0.0), 2.0, 1.0, 1.0, 0.0)
    >>> boxes_meet(one, Box((3.0, 0.0), 2.0, 1.0, 1.0, 0.0))
    True
    >>> boxes_meet(one, Box((4.0, 0.0), 2.0, 1.0, 1.0, 0.0))
    False
    """
    # On an axis at the angle t a rectangle of half width w and half height h, turned by a, covers
    # w |cos(a - t)| + h |sin(a - t)| on either side of its middle. Two rectangles are apart where,
    # on an axis of one of them, their middles are as far apart as both covers together.
    dx, dy = other.center[0] - one.center[0], other.center[1] - one.center[1]
    reach = math.hypot(one.half_width, one.half_height)
    if math.hypot(dx, dy) > reach + math.hypot(other.half_width, other.half_height):
        return False
    for box in (one, other):
        for (
            ax,
            ay,
        ) in ((box.cosine, box.sine), (-box.sine, box.cosine)):
            gap = abs(dx * ax + dy * ay)
            for part in (one, other):
                gap -= part.half_width * abs(part.cosine * ax + part.sine * ay)
                gap -= part.half_height * abs(part.cosine * ay - part.sine * ax)
            if gap >= -TOUCH:
                return False
    return True


class Lines:
    """Many segments at once, with the upright rectangles around them."""

    def __init__(self, segments: np.ndarray | Iterable[Segment]) -> None:
        self.rows = segments if isinstance(segments, np.ndarray) else rows_of(segments)
        x0, y0, x1, y1 = self.rows.T
        self._left, self._right = np.minimum(x0, x1), np.maximum(x0, x1)
        self._bottom, self._top = np.minimum(y0, y1), np.maximum(y0, y1)

    def through(self, box: Box) -> np.ndarray:
        """Numbers of the segments that pass through the rectangle, lowest first."""
        xs, ys = zip(*box.corners(), strict=True)
        near = np.flatnonzero(
            (self._left < max(xs)) & (self._right > min(xs))
            & (self._bottom < max(ys)) & (self._top > min(ys))
        )  # fmt: skip
        if not len(near):
            return near
        passing: np.ndarray = near[through(box, self.rows[near])]
        return passing

    def strike(self, boxes: list[Box]) -> np.ndarray:
        """Of each rectangle whether any of the segments passes through it."""
        corners = np.array([box.corners() for box in boxes])
        low_x, low_y = corners.min(1).T[:, :, None]
        high_x, high_y = corners.max(1).T[:, :, None]
        near = (
            (self._left < high_x) & (self._right > low_x)
            & (self._bottom < high_y) & (self._top > low_y)
        )  # fmt: skip
        struck: np.ndarray = near.any(1)
        for k in np.flatnonzero(struck):
            struck[k] = through(boxes[k], self.rows[near[k]]).any()
        return struck

    def around(self, rows: np.ndarray) -> np.ndarray:
        """Numbers of the segments that may cross some others, lowest first."""
        # Kept are those whose own upright rectangle reaches into the upright rectangle around all
        # of the others together, so that only these few need to be tried one by one.
        xs, ys = rows[:, 0::2], rows[:, 1::2]
        return np.flatnonzero(
            (self._left < xs.max()) & (self._right > xs.min())
            & (self._bottom < ys.max()) & (self._top > ys.min())
        )  # fmt: skip


def strikes(box: Box, piece: Segment) -> bool:
    """Whether one segment passes through the rectangle; one that only touches it does not."""
    return bool(_passing(box, *piece[0], *piece[1]))


def through(box: Box, rows: np.ndarray) -> np.ndarray:
    """Which of a few segments pass through the rectangle."""
    passing: np.ndarray = _passing(box, *rows.T)
    return passing


def _passing(box: Box, x0: Any, y0: Any, x1: Any, y1: Any) -> Any:
    """Whether segments, one or many, pass through the rectangle: seen from it, they reach into its
    span both ways, and have its corners on both sides."""
    # Measured from the rectangle's middle along its width and its height, a segment runs from
    # (u0, v0) over du and dv. With half the width w and half the height h, the corners lie on both
    # sides of it where |du v0 - dv u0| < |du| h + |dv| w.
    cosine, sine, (x, y) = box.cosine, box.sine, box.center
    x0, y0, x1, y1 = x0 - x, y0 - y, x1 - x, y1 - y
    u0, v0 = x0 * cosine + y0 * sine, y0 * cosine - x0 * sine
    u1, v1 = x1 * cosine + y1 * sine, y1 * cosine - x1 * sine
    w, h, du, dv = box.half_width, box.half_height, u1 - u0, v1 - v0
    within = ((u0 < w) | (u1 < w)) & ((u0 > -w) | (u1 > -w))
    within = within & ((v0 < h) | (v1 < h)) & ((v0 > -h) | (v1 > -h))
    return within & (abs(du * v0 - dv * u0) < abs(du) * h + abs(dv) * w - TOUCH)


def cross(one: Segment, two: Segment) -> bool:
    """Whether two segments cross.

    >>> cross(((0.0, 0.0), (2.0, 2.0)), ((0.0, 2.0), (2.0, 0.0)))
    True
    >>> cross(((0.0, 0.0), (2.0, 2.0)), ((1.0, 1.0), (2.0, 0.0)))
    False
    """
    return bool(_crossing(one, *two[0], *two[1]))


def crossed_by(one: Segment, others: np.ndarray) -> np.ndarray:
    """Which of the segments the one segment crosses."""
    crossing: np.ndarray = _crossing(one, *others.T)
    return crossing


def _crossing(one: Segment, cx: Any, cy: Any, dx: Any, dy: Any) -> Any:
    # Two segments cross where each has the ends of the other on both of its sides; on which side of
    # the line from A to B a point P lies is told by the sign of
    # (xB - xA) (yP - yA) - (yB - yA) (xP - xA).
    (ax, ay), (bx, by) = one
    side = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
    side_too = (bx - ax) * (dy - ay) - (by - ay) * (dx - ax)
    back = (dx - cx) * (ay - cy) - (dy - cy) * (ax - cx)
    back_too = (dx - cx) * (by - cy) - (dy - cy) * (bx - cx)
    return (side * side_too < 0) & (back * back_too < 0)


def carried_on(piece: Segment) -> Segment:
    """A leader's piece as far as the lettering that it leads to [mm on paper].

    >>> carried_on(((0.0, 0.0), (2.0, 0.0)))
    ((0.0, 0.0), (3.6, 0.0))
    """
    (x0, y0), (x1, y1) = piece
    length = math.hypot(x1 - x0, y1 - y0) or 1.0
    far = 1.6 / length
    return piece[0], (x1 + (x1 - x0) * far, y1 + (y1 - y0) * far)


def rows_of(segments: Iterable[Segment]) -> np.ndarray:
    """Segments as an array, ``x0, y0, x1, y1`` in each row [mm on paper]."""
    rows = [(*start, *end) for start, end in segments]
    return np.array(rows, dtype=float).reshape(-1, 4)


def crossings(rows: np.ndarray, lines: Lines, costs: np.ndarray | None = None) -> np.ndarray:
    """How many of the lines each of the rows crosses, or what these cost together."""
    if not len(rows):
        return np.zeros(0)
    near = lines.around(rows)
    ax, ay, bx, by = (part[:, None] for part in rows.T)
    cx, cy, dx, dy = lines.rows[near].T
    run, rise = bx - ax, by - ay
    side = run * (cy - ay) - rise * (cx - ax)
    side_too = run * (dy - ay) - rise * (dx - ax)
    i, k = np.nonzero(side * side_too < 0)  # the others lie on one side of the row
    (ax, ay, bx, by), (cx, cy, dx, dy) = rows[i].T, lines.rows[near[k]].T
    run, rise = dx - cx, dy - cy
    back = run * (ay - cy) - rise * (ax - cx)
    back_too = run * (by - cy) - rise * (bx - cx)
    met = back * back_too < 0
    weights = None if costs is None else costs[near[k[met]]]
    return np.bincount(i[met], weights, len(rows))


def points_along(segments: np.ndarray, pitch: float) -> tuple[np.ndarray, np.ndarray]:
    """Points on the segments, no farther apart than the pitch: their x and their y [mm on paper].

    >>> x, y = points_along(np.array([[0.0, 0.0, 3.0, 0.0]]), 1.0)
    >>> x.tolist()
    [0.0, 1.0, 2.0, 3.0]
    """
    run = segments[:, 2:] - segments[:, :2]
    counts = np.ceil(np.hypot(run[:, 0], run[:, 1]) / pitch).astype(int) + 1
    which = np.repeat(np.arange(len(segments)), counts)
    first = np.repeat(np.cumsum(counts) - counts, counts)
    share = (np.arange(len(which)) - first) / np.maximum(counts[which] - 1, 1)
    points = segments[which, :2] + run[which] * share[:, None]
    return points[:, 0], points[:, 1]
