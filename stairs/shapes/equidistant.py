"""Points at the same distance from three things: where the center of a touching circle can be.

A circle that cannot grow leans on three things (or on two, with its center held on a line).  Each
is a straight wall or the corner of one.  Its center is then at the same distance from all three,
and there are at most two such points.  They are computed in closed form, for any kind of number
that can be added, multiplied, divided and compared: floats, fractions with square roots
(:mod:`stairs.numbers.surd`), or floats of many digits.

The things are tuples whose first member says what they are:

* ``(WALL, nx, ny, c)``: the line ``nx x + ny y = c``, its normal of length 1 and turned to the
  side that the circle is on, so that ``nx x + ny y - c`` is the distance;
* ``(CORNER, x, y)``: a point;
* ``(TRACK, nx, ny, c)``: a line that the center lies on; its normal may have any length.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any, TypeAlias

from stairs.numbers.tolerances import ROUNDING

# of numbers of any one kind
Place: TypeAlias = tuple[Any, Any]
Line: TypeAlias = tuple[Any, Any, Any]  # ``a``, ``b``, ``c`` of ``a x + b y = c``
Thing: TypeAlias = tuple[Any, ...]
Root: TypeAlias = Callable[[Any], Any]

WALL, CORNER, TRACK = 0, 1, 2


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

    Notes
    -----
    Two walls are at the same distance along the straight line ``(n1 - n2) x = c1 - c2``, two
    corners along ``(q - p) x = (q - p)(q + p) / 2``.  So every case but a wall with a corner is two
    straight lines that meet.

    Examples
    --------
    The circle in a 3-4-5 triangle; and on the y axis, as far from the floor as from (4, 8):

    >>> walls = (WALL, 0.0, 1.0, 0.0), (WALL, -1.0, 0.0, -4.0), (WALL, 0.6, -0.8, 0.0)
    >>> [(round(x, 9), round(y, 9)) for x, y in centers(*walls)]
    [(3.0, 1.0)]
    >>> centers((TRACK, 1.0, 0.0, 0.0), (WALL, 0.0, 1.0, 0.0), (CORNER, 4.0, 8.0))
    [(0.0, 5.0)]
    """
    walls: list[Thing] = []
    corners: list[Thing] = []
    lines: list[Line] = []
    for thing in (first, second, third):
        if thing[0] == TRACK:
            lines.append(thing[1:])
        else:
            (walls if thing[0] == WALL else corners).append(thing)
    for _, nx, ny, c in walls[1:]:
        _, mx, my, d = walls[0]
        lines.append((mx - nx, my - ny, d - c))
    for _, qx, qy in corners[1:]:
        _, px, py = corners[0]
        a, b = qx - px, qy - py
        lines.append((a, b, (a * (px + qx) + b * (py + qy)) / 2))
    if walls and corners:
        return _on_line(lines[0], walls[0], corners[0], sqrt) if lines else []
    if len(lines) < 2 or len(walls) + len(corners) < 2:
        return []
    (a, b, c), (d, e, f) = lines
    determinant = a * e - d * b
    if determinant == 0:
        return []
    return [((c * e - f * b) / determinant, (a * f - d * c) / determinant)]


def _on_line(line: Line, wall: Thing, corner: Thing, sqrt: Root) -> list[Place]:
    """The points of a line that are as far from a wall as from a corner: none, one or two.

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
