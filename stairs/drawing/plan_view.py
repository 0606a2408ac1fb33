"""The plan: the whole guard seen from above, set out post by post.

Every section lies where the turns put it (:mod:`stairs.plan`).  On the side away from the stair run
the setting-out figures of its posts, from a small circle at its first nosing or first post, never
from post to post; flights have an arrow that points up the stair; landings and levels carry their
heights over the lowest landing.

Conventions: the walking line of a flight starts at a small circle, its arrow points up and UP is
written at its foot (common practice, from memory).  Running dimensions go from a small circle
(ISO 129-1, from memory).  The guard's own line is a setting-out line, long-dash-dot; walls are
hatched at 45 degrees behind a heavy face (ISO 128-3, from memory).
"""

from __future__ import annotations

import math
from dataclasses import fields, replace
from fractions import Fraction

from stairs.drawing.dimensions import ALIGNED, STYLE, Dimension, arrowhead
from stairs.drawing.extents import crossed_by, rows_of
from stairs.drawing.lettering import SMALL, shortened, wrapped
from stairs.drawing.page import Page, as_sheet, numbered, particulars_of, room_on, with_strip
from stairs.drawing.paper import Paper, Scale, choose_sheet, scale_named, scales
from stairs.drawing.placement import Candidate
from stairs.drawing.plan_surfaces import reach_of, surfaces, upper_landing_at
from stairs.drawing.primitives import (
    BLANK,
    DASH_DOT,
    FINE,
    HEAVY,
    MEDIUM,
    THICK,
    THIN,
    Arc,
    Point,
    Primitive,
    Stroke,
    Text,
    line,
)
from stairs.drawing.sheet import Sheet
from stairs.drawing.stage import Label, Stage
from stairs.drawing.title_block import scale_bar
from stairs.drawing.view import View
from stairs.errors import SheetError
from stairs.marks import length_text, round_to_mark
from stairs.plan import LEFT, Plan, PlanSection, plan_of

_AROUND = 24.0  # room for dimensions and labels on every side [mm]
_OFF = 14.0  # from the guard's line to its setting-out line [mm]
_NAME = 70.0  # the most that a section's name takes beside it [mm]
_BREAK = 3.0  # for the zigzag of a break line beyond the work [mm]
_FOOT = 12.0  # for the bar of the scale [mm]


def plan_scales(units: str) -> tuple[Scale, ...]:
    """The standard scales, and for long runs the smaller ones that plans alone are drawn at.

    Parameters
    ----------
    units : str
        ``"in"`` or ``"mm"``.

    Examples
    --------
    >>> [scale.words for scale in plan_scales("mm")[-2:]]
    ['1:100', '1:200']
    """
    smaller = {
        "in": (
            Scale(Fraction(1, 96), '1/8" = 1\'-0"', "in"),
            Scale(Fraction(1, 192), '1/16" = 1\'-0"', "in"),
        ),
        "mm": (Scale(Fraction(1, 200), "1:200", "mm"),),
    }
    return scales(units) + smaller[units]


def plan_page(answer, sheet: Paper, scale: str | None = None) -> Page:
    """The plan of a job on a sheet, not yet numbered.

    Parameters
    ----------
    answer : stairs.answer.Answer
        Of a job.
    sheet : Paper
        Lying.
    scale : str, optional
        The largest standard one that fits where it is left out.

    Raises
    ------
    stairs.errors.SheetError
        The plan does not fit.
    """
    job = answer.job
    plan = plan_of(answer.guard)
    asked = plan_scales(job.units) if scale is None else (scale_named(scale, job.units),)
    ways, reach = (plan, turned(plan)), reach_of(answer)
    chosen, plan = next(
        ((one, way) for one in asked for way in ways if _fits(way, job, sheet, one, reach)),
        (None, plan),
    )
    if chosen is None:
        raise SheetError(
            "plan",
            f"does not fit {sheet.name} at {asked[-1].words}",
            "",
            "Take a larger sheet, or leave the scale out",
        )
    return _page(answer, plan, sheet, chosen)[0]


def _page(answer, plan: Plan, sheet: Paper, scale: Scale):
    """The page, and the stage that its view stands on."""
    stage, content = _drawn(answer, plan, sheet, scale)
    count = len(plan.sections)
    told = "1 section" if count == 1 else f"{count} sections"
    page = Page(sheet, "Plan", scale.words, tuple(content),
                description=f"Plan of a stair guard: {told}, {len(plan.posts)} posts.")  # fmt: skip
    return page, stage


def draw_plan(answer, paper: str | None = None, scale: str | None = None) -> Sheet:
    """The plan on a sheet of its own.

    Parameters
    ----------
    answer : stairs.answer.Answer
        Of a job.
    paper, scale : str, optional
        What the user asked for.

    Raises
    ------
    stairs.errors.SheetError
        Nothing fits, or there is no such sheet or scale.
    """
    job = answer.job
    plan = plan_of(answer.guard)
    ways, reach = (plan, turned(plan)), reach_of(answer)
    whose = particulars_of(job)
    sheet, chosen = choose_sheet(
        lambda one, at: any(_fits(way, job, with_strip(one, whose.own), at, reach) for way in ways),
        job.units, paper or job.sheet.paper, scale,
    )  # fmt: skip
    sheet = with_strip(sheet, whose.own)
    plan = next(way for way in ways if _fits(way, job, sheet, chosen, reach))
    page, stage = _page(answer, plan, sheet, chosen)
    measured = [one for place in plan.sections for one in _chain(stage, answer, place)]
    return as_sheet(numbered(page, whose, 1, 1), stage, job.units, measured)


def _chain(stage: Stage, answer, place: PlanSection) -> list[Dimension]:
    """A section's setting-out as data: from its origin to each post, for CAD to measure."""
    section = answer.guard.sections[place.number - 1]
    side, off = stage.set_out[place.number]
    xs = sorted({0.0, *(post.x for post in section.posts)})
    return [
        Dimension(f"section {place.number}: {low:g} to {high:g}", ALIGNED,
                  (place.at(low), place.at(high)), high - low,
                  length_text(high - low, answer.job.units, answer.job.tape), "set out",
                  side * off)
        for low, high in zip(xs, xs[1:], strict=False)
    ]  # fmt: skip


def turned(plan: Plan) -> Plan:
    """The same plan, turned a quarter against the clock.

    Parameters
    ----------
    plan : stairs.plan.Plan
        Of a job.
    """

    def round_by(one):
        made = {}
        for field in fields(one):
            value = getattr(one, field.name)
            if field.name == "heading":
                made[field.name] = value + 90.0
            elif field.name in ("origin", "start", "end", "centre", "point"):
                made[field.name] = (-value[1], value[0])
            elif field.name == "corners":
                made[field.name] = tuple((-y, x) for x, y in value)
        return replace(one, **made)

    x0, y0, x1, y1 = plan.bounds
    parts = ("sections", "posts", "walls", "rails", "nosings", "treads")
    return replace(
        plan,
        **{name: tuple(map(round_by, getattr(plan, name))) for name in parts},
        bounds=(-y1, x0, -y0, x1),
    )


def _fits(plan: Plan, job, sheet: Paper, scale: Scale, reach: float) -> bool:
    left, bottom, right, top = room_on(sheet)
    unit = float(scale.paper_millimetres(job.units))
    x0, y0, x1, y1 = plan.bounds
    around = 2 * max(_AROUND, reach * unit + _BREAK)
    return (x1 - x0) * unit + around <= right - left and (
        y1 - y0
    ) * unit + around + _FOOT <= top - bottom


def _drawn(answer, plan: Plan, sheet: Paper, scale: Scale) -> tuple[Stage, list[Primitive]]:
    job = answer.job
    left, bottom, right, top = room_on(sheet)
    unit = float(scale.paper_millimetres(job.units))
    x0, y0, x1, y1 = plan.bounds
    origin = (
        (left + right) / 2 - (x0 + x1) / 2 * unit,
        (bottom + _FOOT + top) / 2 - (y0 + y1) / 2 * unit,
    )
    view = View(scale, job.units, origin)
    stage = Stage((left, bottom + _FOOT, right, top), view)

    def text(length) -> str:
        return length_text(length, job.units, job.tape, feet=True, unit=job.units == "in")

    stage.add(surfaces(answer, plan, view))
    stage.add(_stair(answer, plan, view))
    stage.add(_guard(answer, plan, view))
    for place in plan.sections:
        _set_out(stage, answer, place, view, text)
    _labels(stage, answer, plan, view, text)
    drawn = stage.letter()
    drawn += scale_bar(scale, left + 2.0, bottom + 5.2, 90.0)
    told = (
        "Heights are over the lowest landing. Setting-out figures run from the small circle: the "
        "first nosing of a flight, the first post of a level run. Edges of landings and decks "
        "beside the guard are drawn, not measured."
    )
    if stage.unplaced:
        told += f" Not lettered on the view: {'; '.join(stage.unplaced)}."
    for k, row in enumerate(wrapped(told, SMALL, right - left - 100.0, 3)):
        drawn.append(Text(row, (left + 98.0, bottom + 6.8 - k * 4.0), SMALL, "note"))
    return stage, drawn


# --------------------------------------------------------------------------- work


def _stair(answer, plan: Plan, view: View) -> list[Primitive]:
    """Treads, nosings, and the edge of the landings between."""
    drawn: list[Primitive] = []
    for tread in plan.treads:
        drawn.append(Stroke(view.all_at(tread.corners), MEDIUM, "tread", closed=True))
    for nosing in plan.nosings:
        drawn.append(line(view.at(nosing.start), view.at(nosing.end), MEDIUM, "nosing"))
    for place in plan.sections:
        if place.kind != "flight":
            continue
        treads = [tread for tread in plan.treads if tread.section == place.number]
        if not treads:
            continue
        start = _mean((treads[0].corners[0], treads[0].corners[3]))
        end = _mean((treads[-1].corners[1], treads[-1].corners[2]))
        drawn.append(line(view.at(start), view.at(end), THIN, "way-up"))
        drawn.append(arrowhead(view.at(end), place.heading, "way up", "way-up"))
        drawn.append(Arc(view.at(start), 0.8, THIN, "way-up", fill=BLANK))
    return drawn


def _guard(answer, plan: Plan, view: View) -> list[Primitive]:
    """Rails, posts on their plates, and walls."""
    drawn: list[Primitive] = []
    for place in plan.sections:
        drawn.append(line(view.at(place.start), view.at(place.end), FINE, "centre-line", DASH_DOT))
    for rail in plan.rails:
        dx, dy = rail.end[0] - rail.start[0], rail.end[1] - rail.start[1]
        length = math.hypot(dx, dy)
        if rail.width is None or length == 0:
            drawn.append(line(view.at(rail.start), view.at(rail.end), THICK, "rail"))
            continue
        nx, ny = -dy / length * rail.width / 2, dx / length * rail.width / 2
        (x0, y0), (x1, y1) = rail.start, rail.end
        corners = (
            (x0 + nx, y0 + ny), (x1 + nx, y1 + ny), (x1 - nx, y1 - ny), (x0 - nx, y0 - ny),
        )  # fmt: skip
        drawn.append(Stroke(view.all_at(corners), THICK, "rail", closed=True, fill=BLANK))
    for post in plan.posts:
        if post.base:
            drawn.append(_square(view, post.centre, post.base, post.heading, FINE, "base-plate"))
        drawn.append(_square(view, post.centre, post.width, post.heading, THICK, "post"))
    for wall in plan.walls:
        drawn += _wall(view, wall)
    return drawn


def _square(view: View, centre: Point, side: float, heading: float, weight: float, group: str):
    (ax, ay), half = _unit(heading), side / 2
    corners = tuple(
        (centre[0] + (u * ax - v * ay) * half, centre[1] + (u * ay + v * ax) * half)
        for u, v in ((-1, -1), (1, -1), (1, 1), (-1, 1))
    )
    return Stroke(view.all_at(corners), weight, group, closed=True, fill=BLANK)


def _wall(view: View, wall) -> list[Primitive]:
    """The face of a wall, hatched behind."""
    (ax, ay), (x, y) = _unit(wall.heading), view.at(wall.point)
    out = 1.0 if wall.place == "end" else -1.0
    bx, by = ay * out, -ax * out  # away from the section
    drawn: list[Primitive] = [
        line((x - ax * 9.0, y - ay * 9.0), (x + ax * 9.0, y + ay * 9.0), HEAVY, "wall")
    ]
    for k in range(-4, 5):
        sx, sy = x + ax * 2.0 * k, y + ay * 2.0 * k
        drawn.append(
            line((sx + bx * 0.35, sy + by * 0.35),
                 (sx + bx * 2.4 - ax * 1.2, sy + by * 2.4 - ay * 1.2), FINE, "wall-hatch")
        )  # fmt: skip
    return drawn


def _mean(points) -> Point:
    xs, ys = zip(*points, strict=True)
    return (sum(xs) / len(xs), sum(ys) / len(ys))


def _unit(degrees: float) -> Point:
    turn = math.radians(degrees)
    return (math.cos(turn), math.sin(turn))


# --------------------------------------------------------------------------- lettering


def _outside(place: PlanSection) -> float:
    """1 where the side away from the stair is to the left of the guard's line, -1 to the right."""
    return 1.0 if place.hand == LEFT else -1.0


def _freer(stage: Stage, place: PlanSection, view: View, off: float) -> float:
    """The side of a section on which its setting-out line crosses less, the outside if alike."""
    rows = rows_of(piece for one in (*stage.work, *stage.chains) if not isinstance(one, Text)
                   for piece in one.segments())  # fmt: skip
    (ax, ay), start, end = _unit(place.heading), view.at(place.start), view.at(place.end)
    counts = {}
    for side in (_outside(place), -_outside(place)):
        nx, ny = -ay * side, ax * side
        low = (start[0] + nx * off - ax * 4.0, start[1] + ny * off - ay * 4.0)
        high = (end[0] + nx * off + ax * 4.0, end[1] + ny * off + ay * 4.0)
        counts[side] = int(crossed_by((low, high), rows).sum())
    return min(counts, key=lambda side: counts[side])


def _set_out(stage: Stage, answer, place: PlanSection, view: View, text) -> None:
    """Running dimensions of a section's posts on the side away from the stair."""
    section = answer.guard.sections[place.number - 1]
    ax, ay = _unit(place.heading)
    straight = place.number > 1 and section.turn == 0
    off = _OFF + (8.0 if straight and place.number % 2 == 0 else 0.0)
    side = _freer(stage, place, view, off)
    stage.set_out[place.number] = (side, off)
    nx, ny = -ay * side, ax * side
    lowest = 0.0

    def on_line(x: float) -> Point:
        px, py = view.at(place.at(x))
        return (px + nx * off, py + ny * off)

    start = on_line(lowest)
    drawn: list[Primitive] = [Arc(start, 0.9, FINE, "dimension", owner="origin")]
    before = {True: lowest, False: lowest}
    names = []
    for post in sorted(section.posts, key=lambda one: abs(one.x)):
        foot = view.at(place.at(post.x))
        tip = on_line(post.x)
        reach = max(post.base or post.width, post.width) * view.unit / 2 + STYLE.gap
        drawn.append(
            line((foot[0] + nx * reach, foot[1] + ny * reach),
                 (tip[0] + nx * STYLE.overrun, tip[1] + ny * STYLE.overrun), FINE, "dimension")
        )  # fmt: skip
        up = post.x >= 0
        if abs(post.x - before[up]) > 1e-9:
            drawn.append(line(on_line(before[up]), tip, FINE, "dimension"))
            drawn.append(arrowhead(tip, place.heading + (0.0 if up else 180.0), "running"))
            before[up] = post.x
        if post.x != lowest or section.kind == "flight":
            value = round_to_mark(post.x, answer.job.tape)
            names.append((text(value), tip, post.x))
    stage.chains += drawn
    for words, tip, x in names:
        places = _beside(words, tip, place.heading, up=x >= 0)
        stage.labels.append(Label((words,), tip, math.degrees(math.atan2(ny, nx)), 0.6,
                                  places=places))  # fmt: skip


def _beside(words: str, tip: Point, heading: float, up: bool) -> tuple[Candidate, ...]:
    """Places for a figure along its line, before the arrowhead or beyond it, over or under."""
    turn = (heading + 180.0) % 360.0 - 180.0
    flip = turn > 90.0 + 1e-9 or turn <= -90.0 + 1e-9
    read = turn + 180.0 if flip else turn
    (ax, ay) = _unit(read)
    over = (-ay, ax)
    toward = 1.0 if (up != flip) else -1.0  # which way the arrow points, as the text reads
    places = []
    for cost, along in ((0.0, -toward * 1.6), (2.0, toward * 1.6)):
        anchor = "right" if along < 0 else "left"
        for more, lift in ((0.0, STYLE.above), (0.6, -STYLE.above - SMALL)):
            at = (tip[0] + ax * along + over[0] * lift, tip[1] + ay * along + over[1] * lift)
            letters = Text(words, at, SMALL, "dimension", anchor, read, owner="running")
            places.append(Candidate((letters,), (), cost + more))
    return tuple(places)


def _labels(stage: Stage, answer, plan: Plan, view: View, text) -> None:
    for post in plan.posts:
        where = view.at(post.centre)
        shared = f" = {post.shared_with[0]}.{post.shared_with[1]}" if post.shared_with else ""
        reach = post.width * view.unit / 2
        name = f"{post.section}.{post.post}{shared}"
        if post.guard == "left" and answer.guard.sections[post.section - 1].hand == "both":
            name += " LEFT"
        stage.labels.append(Label((name,), where, 45.0, reach))
    for place in plan.sections:
        section = answer.guard.sections[place.number - 1]
        name = shortened(f"{place.number}  {place.name}".strip().upper(), SMALL, _NAME)
        at = view.at(_beside_posts(plan, place))
        side, (ax, ay) = _outside(place), _unit(place.heading)
        inward = math.degrees(math.atan2(-ax * side * -1.0, ay * side * -1.0))
        rows = [name]
        if section.kind == "flight":
            rows.append(f"{section.risers} RISERS OF {text(section.unit_rise)} UP")
        else:
            rows.append(f"LEVEL AT {_signed(place.datum, text)}")
        stage.labels.append(Label(tuple(rows), at, inward, 1.0))
    _ways_up(stage, answer, plan, view, text)
    for before, place in zip(plan.sections, plan.sections[1:], strict=False):
        turn = round(place.heading - before.heading, 6)
        if turn % 90:
            side = "LEFT" if turn > 0 else "RIGHT"
            stage.labels.append(
                Label((f"{abs(turn):g}° {side}",), view.at(place.start), 225.0, 3.0)
            )


def _ways_up(stage: Stage, answer, plan: Plan, view: View, text) -> None:
    """UP at the foot of every arrow; the landing over the last flight by its name."""
    told = answer.job.sections
    for place in plan.sections:
        treads = [tread for tread in plan.treads if tread.section == place.number]
        if place.kind != "flight" or not treads:
            continue
        x, y = view.at(_mean((treads[0].corners[0], treads[0].corners[3])))
        ax, ay = _unit(place.heading)
        places = tuple(
            Candidate(
                (Text("UP", (x - ax * away - ay * aside, y - ay * away + ax * aside - SMALL / 2),
                      SMALL, "way-up", "middle", owner="way up"),), (), away + abs(aside),
            )
            for away in (4.0, 5.0, -5.0)
            for aside in (0.0, 3.5, -3.5, 6.0, -6.0)
        )  # fmt: skip
        stage.labels.append(Label(("UP",), (x, y), math.degrees(math.atan2(-ay, -ax)), 1.0,
                                  places=places))  # fmt: skip
    last = [place for place in plan.sections if not told[place.number - 1].left_of][-1]
    if last.kind == "flight":
        section = answer.guard.sections[last.number - 1]
        height = last.datum + section.total_rise
        rows = ("UPPER LANDING", f"AT {_signed(height, text)}")
        at = view.at(upper_landing_at(answer, last))
        stage.labels.append(Label(rows, at, last.heading, 0.0))


def _beside_posts(plan: Plan, place: PlanSection) -> Point:
    """A point of a section's own rails, away from its posts."""
    own = [rail for rail in plan.rails if rail.section == place.number]
    rail = own[len(own) // 2]
    return tuple(a + (b - a) * 0.45 for a, b in zip(rail.start, rail.end, strict=True))


def _signed(value: float, text) -> str:
    return f"+{text(value)}" if value > 0 else text(value)
