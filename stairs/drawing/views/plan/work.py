"""What stands in plan: treads, nosings, rails, posts on their plates, and the faces of walls.

Every part lies where :mod:`stairs.guard.plan` has it and is drawn in the order in which it is seen
from above, so that a post hides the rail that runs into it.

Conventions: the walking line of a flight starts at a small circle and its arrow points up (common
practice, from memory).  The guard's own line is a setting-out line, long-dash-dot; walls are
hatched at 45 degrees behind a heavy face (ISO 128-3, from memory).
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from stairs.drawing.paper.primitives import (
    BLANK,
    FINE,
    THICK,
    Point,
    Primitive,
    Stroke,
    line,
    path,
    ring,
)
from stairs.drawing.paper.view import View
from stairs.drawing.placing.dimensions import arrowhead
from stairs.drawing.views.kinds import Shows
from stairs.drawing.views.plan.surfaces import surfaces
from stairs.guard.framing_plan import FramingPlan
from stairs.guard.plan import Plan, PlanWall
from stairs.solution import Solution

_SEEN = 0.45  # a bolt that is smaller is not drawn in plan [mm on paper]


def everywhere(point: Point) -> bool:
    """True for every point: what a view of the whole plan shows."""
    return True


def work_of(
    solution: Solution, plan: Plan, view: View, holds: Shows = everywhere
) -> list[Primitive]:
    """All work in plan, back to front."""
    return [
        *surfaces(solution, plan, view),
        *_stair(plan, view),
        *_guard(plan, view, holds),
        *_bolts(solution, plan, view, holds),
    ]


def _stair(plan: Plan, view: View) -> list[Primitive]:
    """Treads, nosings, and the edge of the landings between."""
    drawn: list[Primitive] = []
    for tread in plan.treads:
        drawn.append(path(view.all_at(tread.corners), "tread", closed=True))
    for nosing in plan.nosings:
        drawn.append(line(view.at(nosing.start), view.at(nosing.end), "nosing"))
    for place in plan.sections:
        if place.kind != "flight":
            continue
        treads = [tread for tread in plan.treads if tread.section == place.number]
        if not treads:
            continue
        start = mean_of((treads[0].corners[0], treads[0].corners[3]))
        end = mean_of((treads[-1].corners[1], treads[-1].corners[2]))
        drawn.append(line(view.at(start), view.at(end), "way-up"))
        drawn.append(arrowhead(view.at(end), place.heading, "way up", "way-up"))
        drawn.append(ring(view.at(start), 0.8, "way-up", fill=BLANK))
    return drawn


def _guard(plan: Plan, view: View, holds: Shows) -> list[Primitive]:
    """Rails, posts on their plates, and walls."""
    drawn: list[Primitive] = []
    for place in plan.sections:
        drawn.append(line(view.at(place.start), view.at(place.end), "centre-line"))
    for rail in plan.rails:
        dx, dy = rail.end[0] - rail.start[0], rail.end[1] - rail.start[1]
        length = math.hypot(dx, dy)
        if rail.width is None or length == 0:
            drawn.append(line(view.at(rail.start), view.at(rail.end), "rail"))
            continue
        nx, ny = -dy / length * rail.width / 2, dx / length * rail.width / 2
        (x0, y0), (x1, y1) = rail.start, rail.end
        corners = (
            (x0 + nx, y0 + ny), (x1 + nx, y1 + ny), (x1 - nx, y1 - ny), (x0 - nx, y0 - ny),
        )  # fmt: skip
        drawn.append(path(view.all_at(corners), "rail", closed=True, fill=BLANK))
    for post in filter(lambda one: holds(one.centre), plan.posts):
        if post.base:
            drawn.append(_square(view, post.centre, post.base, post.heading, FINE, "base-plate"))
        drawn.append(_square(view, post.centre, post.width, post.heading, THICK, "post"))
    for wall in filter(lambda one: holds(one.point), plan.walls):
        drawn += _wall(view, wall)
    return drawn


def _bolts(solution: Solution, plan: Plan, view: View, holds: Shows) -> list[Primitive]:
    """The bolts of every base plate over framing, where they are large enough to be seen."""
    drawn: list[Primitive] = []
    for post in filter(lambda one: holds(one.centre), plan.posts):
        framing = solution.sections[post.section - 1].framing
        reach = bolts_of(framing, post.post)
        if framing is None or reach is None or view.length(framing.bolt_diameter) < _SEEN:
            continue
        corners = _square(view, post.centre, 2 * reach, post.heading, FINE, "bolt").points
        radius = view.length(framing.bolt_diameter / 2)
        drawn += [ring(at, radius, "bolt") for at in corners]
    return drawn


def bolts_of(framing: FramingPlan | None, number: int) -> float | None:
    """From the middle of a post to the line of its bolts on either side [units of the work]. None
    where the job gives no framing there, or the post has no base plate."""
    for one in framing.posts if framing is not None else ():
        if one.post == number and one.bolts:
            return max(abs(x - one.x) for x, _ in one.bolts)
    return None


def _square(
    view: View, centre: Point, side: float, heading: float, weight: float, group: str
) -> Stroke:
    (ax, ay), half = unit_along(heading), side / 2
    corners = tuple(
        (centre[0] + (u * ax - v * ay) * half, centre[1] + (u * ay + v * ax) * half)
        for u, v in ((-1, -1), (1, -1), (1, 1), (-1, 1))
    )
    return Stroke(view.all_at(corners), weight, group, closed=True, fill=BLANK)


def _wall(view: View, wall: PlanWall) -> list[Primitive]:
    """The face of a wall, hatched behind."""
    (ax, ay), (x, y) = unit_along(wall.heading), view.at(wall.point)
    out = 1.0 if wall.place == "end" else -1.0
    bx, by = ay * out, -ax * out  # away from the section
    drawn: list[Primitive] = [
        line((x - ax * 9.0, y - ay * 9.0), (x + ax * 9.0, y + ay * 9.0), "wall")
    ]
    for k in range(-4, 5):
        sx, sy = x + ax * 2.0 * k, y + ay * 2.0 * k
        drawn.append(
            line((sx + bx * 0.35, sy + by * 0.35),
                 (sx + bx * 2.4 - ax * 1.2, sy + by * 2.4 - ay * 1.2), "wall-hatch")
        )  # fmt: skip
    return drawn


def mean_of(points: Sequence[Point]) -> Point:
    """The point amid several points, in their own units.

    ``x = (x1 + ... + xn) / n``, and ``y`` likewise.

    >>> mean_of([(0.0, 0.0), (4.0, 0.0), (2.0, 3.0)])
    (2.0, 1.0)
    """
    xs, ys = zip(*points, strict=True)
    return (sum(xs) / len(xs), sum(ys) / len(ys))


def unit_along(degrees: float) -> Point:
    """A step of length one in that direction.

    ``(cos a, sin a)`` at the angle ``a``.

    >>> [round(part, 9) for part in unit_along(90.0)]
    [0.0, 1.0]
    """
    turn = math.radians(degrees)
    return (math.cos(turn), math.sin(turn))
