"""Surfaces in plan: the edges of landings and decks that the guard stands on.

A plan of posts and rails alone does not read as a stair.  What the job tells of the surfaces is
drawn: a landing between two flights as wide as they are, the edge of a deck beside its guard, the
landing over the last flight.  Where a surface goes on and nobody measured how far, it ends in a
break line (ISO 128-2, from memory).  How far an edge lies outside the posts is taken from the
framing, or else as near as their base plates may stand; no dimension is given for it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from stairs.drawing.paper.primitives import Point, Primitive, break_line, path
from stairs.drawing.paper.view import View
from stairs.drawing.views.elevation.profile import upper_edge
from stairs.guard.plan import DRAWN_WIDTH, Plan, PlanSection
from stairs.guard.solving import Section
from stairs.job import JobLevel
from stairs.lengths.tape_marks import length_text
from stairs.numbers.tolerances import SAME
from stairs.solution import Solution

EDGE = "landing"
_ON = 0.5  # of a stair's drawn width, that a deck is shown inwards from its edge


def surfaces(solution: Solution, plan: Plan, view: View) -> list[Primitive]:
    """Edges of landings and decks, and the break lines where they go on."""
    told = solution.guard.sections
    own = [place for place in plan.sections if not told[place.number - 1].line.opposite_of]
    drawn: list[Primitive] = []
    run: list[PlanSection] = []
    before: PlanSection | None = None
    for k, place in enumerate(own):
        after = own[k + 1] if k + 1 < len(own) else None
        if place.kind == "flight":
            before = place
            if after is None:
                drawn += _upper_landing(solution, place, view)
            continue
        run.append(place)
        if after is None or after.kind == "flight":
            drawn += _run(solution, run, before, after, view)
            run, before = [], None
    return drawn


def assumed_width(solution: Solution) -> str:
    """That a stair is drawn as wide as nobody measured it; empty where all widths are given."""
    job = solution.job
    told = zip(job.sections, job.lines, strict=True)
    own = [one for one, line in told if one.kind == "flight" and not line.opposite_of]
    if all(one.width is not None for one in own):
        return ""
    width = length_text(DRAWN_WIDTH[job.units], job.units, job.tape, unit=True)
    return f" The stair is drawn {width} wide: assumed, since the job does not give its width."


def measured_edges(solution: Solution) -> str:
    """That the edges which level runs are given by were measured, and the others are only drawn."""
    job, told, drawn = solution.job, False, False
    for one, line in zip(job.sections, job.lines, strict=True):
        edge = one.measured.edge if isinstance(one, JobLevel) else None
        told = told or edge is not None
        drawn = drawn or (edge is None and not line.opposite_of)
    text = " Edges are as measured where a length stands beside them." if told else ""
    which = "Other edges" if told else "Edges of landings and decks"
    return text + (f" {which} beside the guard are drawn, not measured." if drawn else "")


def upper_landing_at(solution: Solution, place: PlanSection) -> Point:
    """A point amid what is shown of the landing over the last flight [units of the work]."""
    section = solution.guard.sections[place.number - 1]
    edge, far, inner = _landing_extent(solution, place, section)
    return place.at((edge + far) / 2, inner * 0.7)


def beside_of(solution: Solution, number: int) -> float:
    """From the guard's line to the edge of the surface beside it [job's unit of length]."""
    framing = solution.sections[number - 1].framing
    if framing is not None:
        return float(framing.edge_to_post)
    return float(solution.job.post.inset)


def _run(
    solution: Solution,
    run: Sequence[PlanSection],
    before: PlanSection | None,
    after: PlanSection | None,
    view: View,
) -> list[Primitive]:
    """One landing or deck, along the level runs that follow each other."""
    solved = solution.guard.sections
    asides = [place.outer * beside_of(solution, place.number) for place in run]
    first, last = run[0], run[-1]
    head: list[Point] = []
    if before is not None:
        head.append(before.at(_head(solved[before.number - 1]), 0.0))
        turn = round(first.heading - before.heading, 6)
        if turn % 180 == 90:  # the last nosing is the edge of the deck
            aside = _aside(first, head[0])
            if aside * asides[0] > 0:
                asides[0] = aside
    foot = [after.at(0.0, 0.0)] if after is not None else []
    outer = _offset(solution, run, asides, before, after)
    width = solved[first.number - 1].line.apart
    straight = (
        before is not None
        and after is not None
        and first.heading == before.heading
        and after.heading == last.heading
    )
    if straight and width is not None:
        both = first.hand == "both" or any(one.line.opposite_of == first.number for one in solved)
        reach = float(width) + (abs(asides[0]) if both else 0.0)
        inner = _offset(solution, run, [-one.outer * reach for one in run], before, after)
        return [path(view.all_at((*outer, *reversed(inner))), EDGE, closed=True)]
    drawn: list[Primitive] = [path(view.all_at((*head, *outer, *foot)), EDGE)]
    deep = DRAWN_WIDTH[solution.job.units] * _ON
    if before is None and not solved[first.number - 1].posts[0].wall:
        drawn.append(_broken(view, outer[0], first, deep))
    if after is None and not solved[last.number - 1].posts[-1].wall:
        drawn.append(_broken(view, outer[-1], last, deep))
    return drawn


def _head(section: Section) -> float:
    """How far along a section the surface over it begins [units of the work]."""
    return upper_edge(section)[0] if section.kind == "flight" else section.posts[-1].x


def _aside(place: PlanSection, point: Point) -> float:
    """How far a point lies to the left of a section's line."""
    turn = math.radians(place.heading + 90.0)
    dx, dy = point[0] - place.origin[0], point[1] - place.origin[1]
    return dx * math.cos(turn) + dy * math.sin(turn)


def _beyond(solution: Solution, place: PlanSection, end: str, aside: float) -> float:
    """How far an edge goes on past the end post of its run, where no section goes on."""
    run = solution.job.sections[place.number - 1]
    if isinstance(run, JobLevel):
        told = getattr(run.measured, end)
        if told is not None:
            return float(told)
    posts = solution.guard.sections[place.number - 1].posts
    return 0.0 if posts[0 if end == "at_start" else -1].wall else aside


def _offset(
    solution: Solution,
    run: Sequence[PlanSection],
    asides: Sequence[float],
    before: PlanSection | None,
    after: PlanSection | None,
) -> list[Point]:
    """The line of a run moved aside, mitred at its corners, from end to end."""
    solved = solution.guard.sections
    first, last = solved[run[0].number - 1], solved[run[-1].number - 1]
    beyond = _beyond(solution, run[0], "at_start", run[0].outer * asides[0])
    start = run[0].at(first.posts[0].x - beyond, asides[0])
    if before is not None and round(run[0].heading - before.heading, 6) % 180 == 0:
        start = before.at(_head(solved[before.number - 1]), asides[0])
    elif before is not None:
        start = run[0].at(first.posts[0].x, asides[0])
    points = [start]
    for one, two, a, b in zip(run, run[1:], asides, asides[1:], strict=False):
        points.append(_corner(one, a, two, b))
    beyond = _beyond(solution, run[-1], "at_end", run[-1].outer * asides[-1])
    end = run[-1].at(last.posts[-1].x + beyond, asides[-1])
    if after is not None:
        end = after.at(0.0, asides[-1])
    return [*points, end]


def _corner(one: PlanSection, a: float, two: PlanSection, b: float) -> Point:
    """Where two lines beside two sections meet; their common point where they are parallel."""
    (px, py), (qx, qy) = one.at(0.0, a), two.at(0.0, b)
    s, t = math.radians(one.heading), math.radians(two.heading)
    cross = math.cos(s) * math.sin(t) - math.sin(s) * math.cos(t)
    if abs(cross) < SAME:
        dx, dy = two.start[0] - one.origin[0], two.start[1] - one.origin[1]
        return one.at(dx * math.cos(s) + dy * math.sin(s), a)
    along = ((qx - px) * math.sin(t) - (qy - py) * math.cos(t)) / cross
    return px + along * math.cos(s), py + along * math.sin(s)


def _landing_extent(
    solution: Solution, place: PlanSection, section: Section
) -> tuple[float, float, float]:
    """From its edge to its break line, and how far aside the landing over a flight is shown."""
    edge = _head(section)
    beside = beside_of(solution, place.number)
    told = solution.job.sections[place.number - 1].width
    width = DRAWN_WIDTH[solution.job.units] if told is None else float(told)
    return edge, max(section.posts[-1].x, edge) + beside, -place.outer * (section.side_gap + width)


def _upper_landing(solution: Solution, place: PlanSection, view: View) -> list[Primitive]:
    """The landing over the last flight, as far as its post stands on it."""
    section = solution.guard.sections[place.number - 1]
    edge, far, inner = _landing_extent(solution, place, section)
    out, beside = place.outer, beside_of(solution, place.number)
    both = place.hand == "both" or any(
        one.line.opposite_of == place.number for one in solution.guard.sections
    )
    if both:  # a guard on the other hand has its edge beside it too
        other = inner - out * (section.side_gap + beside)
    asides = [(0.0, out * beside), (inner, other)] if both else [(0.0, out * beside)]
    drawn: list[Primitive] = [
        path(view.all_at((place.at(edge, near), place.at(edge, edge_at), place.at(far, edge_at))),
               EDGE)
        for near, edge_at in asides
    ]  # fmt: skip
    start, end = place.at(far, out * beside), place.at(far, asides[-1][1] if both else inner)
    return [*drawn, break_line(view.at(start), view.at(end))]


def _broken(view: View, start: Point, place: PlanSection, deep: float) -> Primitive:
    """A break line inwards from the end of an edge."""
    turn = math.radians(place.heading + 90.0)
    by = -place.outer * deep
    end = (start[0] + by * math.cos(turn), start[1] + by * math.sin(turn))
    return break_line(view.at(start), view.at(end))
