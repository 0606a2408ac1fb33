"""Lettering in plan: setting-out figures, the names of posts and sections, turns and ways up.

Setting-out figures run along each section from a small circle at its first nosing or first post,
each turned at its extension line (running dimensions of ISO 129-1, from memory); beside them stand
the bays from post to post.  They stand on the side of the guard on which their line crosses less.
A view that shows only a part of the plan letters what lies in it, and every figure once.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from stairs.drawing.paper.lettering import SMALL, shortened, width_of
from stairs.drawing.paper.primitives import Area, Point, Primitive, Text, line, ring
from stairs.drawing.paper.view import View
from stairs.drawing.placing.dimensions import (
    FOOT_OF_FIGURE,
    STYLE,
    ZERO,
    arrowhead,
    square_line,
    turned_figure,
)
from stairs.drawing.placing.extents import box_of, crossed_by, rows_of
from stairs.drawing.placing.labelled_view import Label, Stage
from stairs.drawing.placing.placement import Candidate, places_at
from stairs.drawing.placing.windows import cut_to
from stairs.drawing.views.kinds import LengthText, lettering_of
from stairs.drawing.views.plan.surfaces import beside_of, upper_landing_at
from stairs.drawing.views.plan.work import mean_of, unit_along
from stairs.guard.plan import LEFT, Plan, PlanSection
from stairs.job import JobLevel
from stairs.lengths.tape_marks import round_to_mark
from stairs.numbers.tolerances import SAME, SIGHT
from stairs.solution import Solution

_OFF = 12.0  # from the guard's line to its setting-out line [mm]
_CLEAR = 6.0  # from the edge of a deck or landing beside it to that line at least [mm]
_LIFT = 1.5  # from the line of a chain to its figure [mm]
_NAME = 70.0  # the most that a section's name takes beside it [mm]
_BEFORE = 1e-3  # how far before a post its figure belongs [units of the work]
Frame = Area
"""Left, bottom, right and top of what a view shows of the plan [units of the work]."""
EVERYTHING: Frame = (-1e9, -1e9, 1e9, 1e9)


def holds(frame: Frame, point: Point) -> bool:
    """Whether a frame holds a point of the plan, its edges included.

    >>> holds((0.0, 0.0, 4.0, 2.0), (4.0, 1.0)), holds((0.0, 0.0, 4.0, 2.0), (4.5, 1.0))
    (True, False)
    """
    left, bottom, right, top = frame
    x, y = point
    return left - SIGHT <= x <= right + SIGHT and bottom - SIGHT <= y <= top + SIGHT


def letter_on(stage: Stage, solution: Solution, plan: Plan, frame: Frame = EVERYTHING) -> None:
    """Put setting-out lines and labels on a stage whose work is drawn already."""
    text = lettering_of(solution.job, feet=True, capitals=True)
    for place in plan.sections:
        if _shown(place, frame):
            _set_out(stage, solution, place, text, frame)
    for place in plan.sections:
        if _shown(place, frame):
            _edge(stage, solution, place, text, frame)
    _labels(stage, solution, plan, text, frame)


def _shown(place: PlanSection, frame: Frame) -> bool:
    """Whether more than a point of a section's line lies in a frame."""
    piece = cut_to(place.start, place.end, frame)
    return piece is not None and math.dist(*piece) > 10 * _BEFORE


def _freer(stage: Stage, place: PlanSection, view: View, off: float) -> float:
    """The side of a section on which its setting-out line crosses less, the outside if alike."""
    rows = rows_of(piece for one in (*stage.work, *stage.chains) if not isinstance(one, Text)
                   for piece in one.segments())  # fmt: skip
    (ax, ay), start, end = unit_along(place.heading), view.at(place.start), view.at(place.end)
    counts = {}
    for side in (place.outer, -place.outer):
        nx, ny = -ay * side, ax * side
        low = (start[0] + nx * off - ax * 4.0, start[1] + ny * off - ay * 4.0)
        high = (end[0] + nx * off + ax * 4.0, end[1] + ny * off + ay * 4.0)
        counts[side] = int(crossed_by((low, high), rows).sum())
    return min(counts, key=lambda side: counts[side])


def _set_out(
    stage: Stage, solution: Solution, place: PlanSection, text: LengthText, frame: Frame
) -> None:
    """The bays of a section as a chain, and under it the running dimensions of its posts."""
    view = stage.view
    section = solution.guard.sections[place.number - 1]
    if place.number not in stage.set_out:
        stage.set_out[place.number] = _lines_of(stage, solution, place)
    side, chain, running = stage.set_out[place.number]
    ax, ay = unit_along(place.heading)
    nx, ny = -ay * side, ax * side
    outward = round(math.degrees(math.atan2(ny, nx)), 9)
    flip = _flips(outward)
    drawn: list[Primitive] = []

    def at(x: float, off: float) -> Point:
        px, py = view.at(place.at(x))
        return (px + nx * off, py + ny * off)

    def extension(x: float, reach: float) -> None:
        drawn.append(line(at(x, reach), at(x, running + STYLE.overrun), "dimension"))

    def figure(words: str, x: float, owner: str) -> None:
        turn = 1.0 if (side > 0) == flip else -1.0  # to the left of the figure the section goes on
        places = turned_figure(words, at(x, running), outward + 180.0 * flip, owner,
                               way=-1.0 if flip else 1.0, toward=-turn if x else turn)  # fmt: skip
        stage.labels.append(Label((words,), at(x, running), outward, 0.6, places=tuple(places),
                                  owner=owner))  # fmt: skip

    drawn.append(ring(at(0.0, running), 0.9, "dimension", owner="origin"))
    if not any(post.x == 0.0 for post in section.posts) and holds(frame, place.at(0.0)):
        extension(0.0, chain + STYLE.under - 3.0)
        figure(ZERO, 0.0, f"section {place.number}: {ZERO}")
    before = {True: 0.0, False: 0.0}
    for post in sorted(section.posts, key=lambda one: abs(one.x)):
        up, tip = post.x >= 0, at(post.x, running)
        moves = abs(post.x - before[up]) > SAME
        if moves:
            drawn.append(line(at(before[up], running), tip, "dimension"))
            before[up] = post.x
        own = place.at(
            post.x + (-_BEFORE if up and post.x else _BEFORE)
        )  # at a cut it is in one view
        if not holds(frame, own):
            continue
        reach = max(post.base or post.width, post.width) * view.unit / 2 + STYLE.gap
        extension(post.x, reach)
        if moves:
            drawn.append(arrowhead(tip, place.heading + (0.0 if up else 180.0), "running"))
        value = round_to_mark(post.x, solution.job.tape)
        words = text(value) if post.x else ZERO
        figure(words, post.x, set_out_name(place.number, post.number))
    for k, (one, two) in enumerate(pairwise(section.posts), start=1):
        drawn += square_line(at(one.x, chain), at(two.x, chain), "bay")
        middle = (one.x + two.x) / 2
        if holds(frame, place.at(middle - _BEFORE)):
            words, owner = text(two.x - one.x, True), bay_name(place.number, k)
            stage.labels.append(
                Label((words,), at(middle, chain), outward + 180.0, 0.6, owner=owner,
                      places=_on_line(words, at(one.x, chain), at(two.x, chain), owner))
            )  # fmt: skip
    stage.chains += drawn


def _edge(
    stage: Stage, solution: Solution, place: PlanSection, text: LengthText, frame: Frame
) -> None:
    """How long the edge was measured that gave a level run, along the outside of it.

    Where the setting-out stands there too, it lies beyond those figures.
    """
    section = solution.guard.sections[place.number - 1]
    measured = section.record.measured if isinstance(section.record, JobLevel) else None
    if measured is None or measured.edge is None or measured.at_start is None:
        return
    side, chain, running = stage.set_out[place.number]
    beside = beside_of(solution, place.number) * stage.view.unit
    off = max(_OFF, beside + _CLEAR)
    if side == place.outer:
        figures = (text(round_to_mark(post.x, solution.job.tape)) for post in section.posts)
        off = running + FOOT_OF_FIGURE + max(width_of(one, SMALL) for one in figures) + _CLEAR
    ax, ay = unit_along(place.heading)
    nx, ny = -ay * place.outer, ax * place.outer
    low = section.posts[0].x - float(measured.at_start)
    ends = low, low + float(measured.edge)

    def at(x: float, out: float) -> Point:
        px, py = stage.view.at(place.at(x))
        return (px + nx * out, py + ny * out)

    owner, words = edge_name(place.number), f"EDGE {text(measured.edge, True)}"
    drawn: list[Primitive] = [*square_line(at(ends[0], off), at(ends[1], off), owner)]
    for x in ends:
        drawn.append(line(at(x, beside + STYLE.gap), at(x, off + STYLE.overrun), "dimension"))
    stage.chains += drawn
    middle = sum(ends) / 2
    if holds(frame, place.at(middle)):
        outward = round(math.degrees(math.atan2(ny, nx)), 9)
        stage.labels.append(
            Label((words,), at(middle, off), outward, 0.6, owner=owner,
                  places=_on_line(words, at(ends[0], off), at(ends[1], off), owner))
        )  # fmt: skip


def edge_name(section: int) -> str:
    """Name of the dimension of the edge that gave a level run, from 1."""
    return f"section {section}: edge"


def _lines_of(stage: Stage, solution: Solution, place: PlanSection) -> tuple[float, float, float]:
    """Side of a section's setting-out lines, and how far off bays and running figures lie."""
    section, view = solution.guard.sections[place.number - 1], stage.view
    edge = max(beside_of(solution, place.number), (section.posts[0].base or 0.0) / 2) * view.unit
    chain = max(_OFF, edge + _CLEAR)
    running = chain + STYLE.under
    return _freer(stage, place, view, running), chain, running


def set_out_name(section: int, post: int) -> str:
    """Name of the running dimension to a post of a section, both from 1."""
    return f"section {section}: post {post}"


def bay_name(section: int, bay: int) -> str:
    """Name of the dimension of a bay of a section, both from 1."""
    return f"section {section}: bay {bay}"


def guard_points(plan: Plan, view: View, frame: Frame = EVERYTHING) -> dict[int, Point]:
    """By section a point of its rails that a view shows [mm on paper]."""
    found = {one.number: _beside_posts(plan, one, frame, 0.7) for one in plan.sections}
    return {number: view.at(at) for number, at in found.items() if at is not None}


def figures_on(stage: Stage, within: float) -> list[Primitive]:
    """How far the setting-out figures of a stage reach, as lines [mm on paper]."""
    found: list[Primitive] = []
    for label in stage.labels:
        if label.places and label.places[0].texts[0].group == "dimension":
            xs, ys = zip(*box_of(label.places[0].texts[0]).corners(), strict=True)
            (left, right), (low, high) = _inner(xs, within), _inner(ys, within)
            found.append(line((left, low), (right, high), "dimension"))
    return found


def _inner(places: Sequence[float], within: float) -> tuple[float, float]:
    """The outer ones of some places along an axis, so much less to either side of their middle."""
    middle = (min(places) + max(places)) / 2
    half = max(max(places) - middle - within, 0.0)
    return middle - half, middle + half


def _flips(degrees: float) -> bool:
    """Whether lettering along a direction is turned round, to be read from bottom or right."""
    turn = (degrees + 180.0) % 360.0 - 180.0
    return turn > 90.0 + SIGHT or turn <= -90.0 + SIGHT


def _on_line(words: str, start: Point, end: Point, owner: str) -> tuple[Candidate, ...]:
    """Places for a figure over its piece of a chain or under it; none on a shorter piece."""
    turn = round(math.degrees(math.atan2(end[1] - start[1], end[0] - start[0])), 9)
    if _flips(turn):
        start, end, turn = end, start, turn + 180.0
    (ax, ay), room = unit_along(turn), math.dist(start, end) - width_of(words, SMALL) - 1.6
    places = []
    for share in (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8) if room >= 0 else ():
        aside = (share - 0.5) * room
        x, y = ((a + b) / 2 for a, b in zip(start, end, strict=True))
        for more, lift in ((0.0, _LIFT), (0.6, -_LIFT - SMALL)):
            at = (x + ax * aside - ay * lift, y + ay * aside + ax * lift)
            letters = Text(words, at, SMALL, "dimension", "middle", turn, owner=owner)
            places.append(Candidate((letters,), (), 4.0 * abs(share - 0.5) + more))
    return tuple(places)


def _labels(stage: Stage, solution: Solution, plan: Plan, text: LengthText, frame: Frame) -> None:
    view = stage.view
    for post in plan.posts:
        if not holds(frame, post.centre):
            continue
        where = view.at(post.centre)
        shared = f" = {post.shared_with[0]}.{post.shared_with[1]}" if post.shared_with else ""
        reach = post.width * view.unit / 2
        name = f"{post.section}.{post.post}{shared}"
        if post.guard == "left" and solution.guard.sections[post.section - 1].hand == "both":
            name += " LEFT"
        stage.labels.append(Label((name,), where, 45.0, reach))
    # within a turn paper is scarce: names of the left-hand line look for their places first
    for place in sorted(plan.sections, key=lambda one: one.hand != LEFT):
        beside = _beside_posts(plan, place, frame)
        if beside is None:
            continue
        section = solution.guard.sections[place.number - 1]
        name = shortened(f"{place.number}  {place.name}".strip().upper(), SMALL, _NAME)
        at = view.at(beside)
        side, (ax, ay) = place.outer, unit_along(place.heading)
        inward = math.degrees(math.atan2(-ax * side * -1.0, ay * side * -1.0))
        rows = [name]
        if section.kind == "flight":
            each = f" OF {text(float(section.flight.unit_rise), True)}"
            if section.flight.survey is not None:  # no two need be alike
                each = f", {text(section.total_rise)}"
            rows.append(f"{section.flight.risers} RISERS{each} UP")
        else:
            rows.append(f"LEVEL AT {_signed(place.datum, text)}")
        stage.labels.append(Label(tuple(rows), at, inward, 1.0))
    _ways_up(stage, solution, plan, text, frame)
    for before, place in zip(plan.sections, plan.sections[1:], strict=False):
        turn = round(place.heading - before.heading, 6)
        if turn % 90 and holds(frame, place.start):
            hand = "LEFT" if turn > 0 else "RIGHT"
            stage.labels.append(
                Label((f"{abs(turn):g}° {hand}",), view.at(place.start), 225.0, 3.0)
            )


def _ways_up(stage: Stage, solution: Solution, plan: Plan, text: LengthText, frame: Frame) -> None:
    """UP at the foot of every arrow; the landing over the last flight by its name."""
    view = stage.view
    for place in plan.sections:
        treads = [tread for tread in plan.treads if tread.section == place.number]
        if place.kind != "flight" or not treads:
            continue
        foot = mean_of((treads[0].corners[0], treads[0].corners[3]))
        if not holds(frame, foot):
            continue
        x, y = view.at(foot)
        ax, ay = unit_along(place.heading)
        spots = [
            (x - ax * away - ay * aside, y - ay * away + ax * aside - SMALL / 2, "middle",
             away + abs(aside))
            for away in (4.0, 5.0, -5.0)
            for aside in (0.0, 3.5, -3.5, 6.0, -6.0)
        ]  # fmt: skip
        down = math.degrees(math.atan2(-ay, -ax))
        places = places_at(("UP",), spots, "way-up", owner="way up")
        stage.labels.append(Label(("UP",), (x, y), down, 1.0, places=places))
    lines = solution.job.lines
    last = [place for place in plan.sections if not lines[place.number - 1].opposite_of][-1]
    if last.kind == "flight":
        section = solution.guard.sections[last.number - 1]
        height = last.datum + section.total_rise
        rows = ("UPPER LANDING", f"AT {_signed(height, text)}")
        landing = upper_landing_at(solution, last)
        if holds(frame, landing):
            x, y = view.at(landing)
            spots = [
                (x + along, y + lift, "middle", abs(along) + abs(lift))
                for lift in (0.0, 6.0, -6.0, 12.0, -12.0)
                for along in (0.0, 2.0, -2.0)
            ]
            places = places_at(rows, spots, "label", owner=rows[0])
            stage.labels.append(Label(rows, (x, y), last.heading, 0.0, places=places))


def _beside_posts(
    plan: Plan, place: PlanSection, frame: Frame, share: float = 0.45
) -> Point | None:
    """A point of a section's own rails, away from its posts; None where the view has none."""
    seen = [
        piece
        for rail in plan.rails
        if rail.section == place.number
        and (piece := cut_to(rail.start, rail.end, frame)) is not None
        and math.dist(*piece) > 10 * _BEFORE
    ]
    if not seen:
        return None
    (ax, ay), (bx, by) = seen[len(seen) // 2]
    return ax + (bx - ax) * share, ay + (by - ay) * share


def _signed(value: float, text: LengthText) -> str:
    return f"+{text(value)}" if value > 0 else text(value)
