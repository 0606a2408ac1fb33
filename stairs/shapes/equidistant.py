"""Points at the same distance from three things: where the center of a touching circle can be.

A circle that cannot grow leans on three things (or on two, with its center held on a line).  Each
is a straight wall or the corner of one.  Its center is then at the same distance from all three,
and there are at most two such points.  This room computes them in closed form, for any kind of
number that can be added, multiplied, divided and compared: floats, fractions with square roots
(:mod:`stairs.numbers.surd`), or floats of many digits.

The things are tuples whose first member says what they are:

* ``(WALL, nx, ny, c)``: the line ``nx x + ny y = c``, its normal of length 1 and turned to the
  side that the circle is on, so that ``nx x + ny y - c`` is the distance;
* ``(CORNER, x, y)``: a point;
* ``(TRACK, nx, ny, c)``: a line that the center lies on; its normal may have any length.

Two walls, or two corners, are at the same distance along a straight line; so every case but a wall
with a corner is two straight lines that meet.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any, TypeAlias

from stairs.numbers.tolerances import ROUNDING

# of numbers of any one kind
Place: TypeAlias = tuple[Any, Any]
Line: TypeAlias = tuple[Any, Any, Any]
Thing: TypeAlias = tuple[Any, ...]
Root: TypeAlias = Callable[[Any], Any]

WALL, CORNER, TRACK = 0, 1, 2


def meeting_point(first: Line, second: Line) -> Place | None:
    """The point where two straight lines meet, as coordinates.

    Parameters
    ----------
    first, second : tuple
        ``(a, b, c)`` of the line ``a x + b y = c``.

    Returns
    -------
    tuple or None
        ``(x, y)``; None where the lines are parallel.

    Notes
    -----
    Cramer's rule: ``x = (c1 b2 - c2 b1) / (a1 b2 - a2 b1)``, ``y = (a1 c2 - a2 c1) / (same)``.

    Examples
    --------
    >>> meeting_point((1.0, 0.0, 3.0), (1.0, 1.0, 5.0))
    (3.0, 2.0)
    """
    a1, b1, c1 = first
    a2, b2, c2 = second
    determinant = a1 * b2 - a2 * b1
    if determinant == 0:
        return None
    return (c1 * b2 - c2 * b1) / determinant, (a1 * c2 - a2 * c1) / determinant


def between_walls(first: Thing, second: Thing) -> Line:
    """The line of points as far from one wall as from another, as ``(a, b, c)``.

    Parameters
    ----------
    first, second : tuple
        ``(WALL, nx, ny, c)``.

    Notes
    -----
    ``n1 x - c1 = n2 x - c2`` is ``(n1 - n2) x = c1 - c2``.

    Examples
    --------
    A floor and a ceiling 4 above it:

    >>> between_walls((WALL, 0.0, 1.0, 0.0), (WALL, 0.0, -1.0, -4.0))
    (0.0, 2.0, 4.0)
    """
    return first[1] - second[1], first[2] - second[2], first[3] - second[3]


def between_corners(first: Thing, second: Thing) -> Line:
    """The line of points as far from one corner as from another, as ``(a, b, c)``.

    Parameters
    ----------
    first, second : tuple
        ``(CORNER, x, y)``.

    Notes
    -----
    Square to ``q - p`` through the middle: ``(q - p) x = (q - p)(q + p) / 2``.

    Examples
    --------
    >>> between_corners((CORNER, 0.0, 0.0), (CORNER, 4.0, 2.0))
    (4.0, 2.0, 10.0)
    """
    a, b = second[1] - first[1], second[2] - first[2]
    return a, b, (a * (first[1] + second[1]) + b * (first[2] + second[2])) / 2


def on_line_between_wall_and_corner(
    line: Line, wall: Thing, corner: Thing, sqrt: Root = math.sqrt
) -> list[Place]:
    """The points of a line that are as far from a wall as from a corner, as coordinates.

    Parameters
    ----------
    line : tuple
        ``(a, b, c)`` of the line ``a x + b y = c``.
    wall, corner : tuple
        ``(WALL, nx, ny, w)`` and ``(CORNER, px, py)``.
    sqrt : callable
        Square root for the kind of number in use.

    Returns
    -------
    list of tuple
        None, one or two points.

    Notes
    -----
    With ``m = (a, b)``, ``s = m m`` and ``e = (c - m p) / s`` the point of the line nearest to the
    corner is ``f = p + e m``, and ``f + t u`` with ``u = (-b, a)`` runs along the line.  With
    ``g = n f - w`` and ``k = n u`` the condition ``|f + t u - p|² = (g + k t)²`` is
    ``(s - k²) t² - 2 g k t + s e² - g² = 0``.  As ``n`` has length 1, ``s - k² = (n m)²``, so the
    discriminant is ``s (g² - (n m)² e²)``.  The root that is farther from 0 comes from the usual
    formula; the other from their product ``(s e² - g²) / (n m)²`` or their sum
    ``2 g k / (n m)²``.  In floats the first of these loses digits where both roots are near 0, and
    the second where they are far apart.

    Examples
    --------
    On the y axis, as far from the floor as from the corner (4, 8):

    >>> on_line_between_wall_and_corner((1.0, 0.0, 0.0), (WALL, 0.0, 1.0, 0.0), (CORNER, 4.0, 8.0))
    [(0.0, 5.0)]
    """
    a, b, c = line
    _, nx, ny, w = wall
    _, px, py = corner
    s = a * a + b * b
    if s == 0:
        return []
    e = (c - a * px - b * py) / s
    fx, fy = px + e * a, py + e * b
    g = nx * fx + ny * fy - w
    k = ny * a - nx * b
    across = nx * a + ny * b
    square = across * across
    rest = s * e * e - g * g
    product = g * k
    if square == 0:
        steps = [] if product == 0 else [rest / (2 * product)]
    else:
        inner = s * (g * g - square * e * e)
        if inner < 0:
            if not (isinstance(inner, float) and inner > -ROUNDING * s * g * g):
                return []
            inner = 0.0
        root = sqrt(inner)
        larger = product - root if product < 0 else product + root
        if larger == 0:
            steps = [larger / square]
        else:
            small = isinstance(inner, float) and larger * larger <= square * (s * e * e + g * g)
            other = (2 * product - larger) / square if small else rest / larger
            steps = [larger / square, other]
    return [(fx - t * b, fy + t * a) for t in steps]


def centers(first: Thing, second: Thing, third: Thing, sqrt: Root = math.sqrt) -> list[Place]:
    """Every point at the same distance from three things, as coordinates.

    Parameters
    ----------
    first, second, third : tuple
        Walls, corners, and at most one track, in any order.
    sqrt : callable
        Square root for the kind of number in use.

    Returns
    -------
    list of tuple
        At most two points; also such as lie behind a wall, which the caller must sort out.

    Examples
    --------
    The circle in a 3-4-5 triangle:

    >>> walls = (WALL, 0.0, 1.0, 0.0), (WALL, -1.0, 0.0, -4.0), (WALL, 0.6, -0.8, 0.0)
    >>> [(round(x, 9), round(y, 9)) for x, y in centers(*walls)]
    [(3.0, 1.0)]
    """
    things = (first, second, third)
    walls = [thing for thing in things if thing[0] == WALL]
    corners = [thing for thing in things if thing[0] == CORNER]
    tracks = [thing[1:] for thing in things if thing[0] == TRACK]
    if len(tracks) > 1:
        return []
    if walls and corners:
        if tracks:
            line = tracks[0]
        elif len(walls) == 2:
            line = between_walls(*walls)
        else:
            line = between_corners(*corners)
        return on_line_between_wall_and_corner(line, walls[0], corners[0], sqrt)
    between, same = (between_walls, walls) if walls else (between_corners, corners)
    lines = tracks + [between(same[0], other) for other in same[1:]]
    point = meeting_point(*lines)
    return [] if point is None else [point]
