"""Windows: what of a drawing is seen through a rectangle, cut off at its edges."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from stairs.drawing.paper.primitives import Arc, Area, Point, Primitive, Segment, Stroke, Text
from stairs.drawing.placing.extents import box_of


def cut_to(start: Point, end: Point, room: Area) -> Segment | None:
    """The piece of a line that lies in a rectangle, or None (Liang and Barsky's way).

    >>> cut_to((-5.0, 1.0), (5.0, 1.0), (0.0, 0.0, 4.0, 4.0))
    ((0.0, 1.0), (4.0, 1.0))
    >>> cut_to((-5.0, 9.0), (5.0, 9.0), (0.0, 0.0, 4.0, 4.0)) is None
    True
    """
    left, bottom, right, top = room
    dx, dy = end[0] - start[0], end[1] - start[1]
    low, high = 0.0, 1.0
    for slope, distance in (
        (-dx, start[0] - left), (dx, right - start[0]),
        (-dy, start[1] - bottom), (dy, top - start[1]),
    ):  # fmt: skip
        if slope == 0:
            if distance < 0:
                return None
            continue
        share = distance / slope
        if slope < 0:
            low = max(low, share)
        else:
            high = min(high, share)
    if low >= high:
        return None
    return (
        (start[0] + low * dx, start[1] + low * dy),
        (start[0] + high * dx, start[1] + high * dy),
    )


def through_window(primitives: Sequence[Primitive], window: Area) -> list[Primitive]:
    """What of a drawing is seen through a window, blank fills still hiding what is behind."""
    shown: list[Primitive] = []
    for one in primitives:
        if isinstance(one, Text):
            if all(_within(corner, window) for corner in box_of(one).corners()):
                shown.append(one)
            continue
        if isinstance(one, Arc):
            shown += _arc(one, window)
            continue
        if one.closed and one.fill is not None:
            face = _polygon(one.points, window)
            if len(face) > 2:
                shown.append(Stroke(tuple(face), 0.0, one.group, closed=True, fill=one.fill,
                                    owner=one.owner))  # fmt: skip
        if one.weight == 0.0:
            continue
        if one.closed and all(_within(point, window) for point in one.points):
            shown.append(Stroke(one.points, one.weight, one.group, one.line, True, None, one.owner))
            continue
        for start, end in one.segments():
            piece = cut_to(start, end, window)
            if piece is not None:
                shown.append(Stroke(piece, one.weight, one.group, one.line, owner=one.owner))
    return shown


def _within(point: Point, window: Area) -> bool:
    left, bottom, right, top = window
    return left <= point[0] <= right and bottom <= point[1] <= top


def _arc(one: Arc, window: Area) -> list[Primitive]:
    points = one.points(96)
    if all(_within(point, window) for point in points):
        return [one]
    pieces: list[Primitive] = []
    for start, end in zip(points, points[1:], strict=False):
        piece = cut_to(start, end, window)
        if piece is not None:
            pieces.append(Stroke(piece, one.weight, one.group, one.line, owner=one.owner))
    return pieces


def _polygon(points: Iterable[Point], window: Area) -> list[Point]:
    """The part of a polygon in a rectangle, side by side (Sutherland and Hodgman's way)."""
    left, bottom, right, top = window
    shape = list(points)
    for axis, limit, keep in (
        (0, left, 1.0), (0, right, -1.0), (1, bottom, 1.0), (1, top, -1.0),
    ):  # fmt: skip
        cut: list[Point] = []
        for k, point in enumerate(shape):
            before = shape[k - 1]
            inside, was = ((p[axis] - limit) * keep >= 0 for p in (point, before))
            if inside != was:
                share = (limit - before[axis]) / (point[axis] - before[axis])
                x, y = (b + (p - b) * share for p, b in zip(point, before, strict=True))
                cut.append((x, y))
            if inside:
                cut.append(point)
        shape = cut
    return shape


def inside(area: Area, window: Area) -> bool:
    """Whether a rectangle lies wholly in a window."""
    return _within(area[:2], window) and _within(area[2:], window)
