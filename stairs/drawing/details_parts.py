"""The five details of a section: what each shows, measures and says.

A :class:`Detail` names a window of the work and knows how to draw what is seen through it, which
dimensions it carries and what is lettered beside it.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from stairs.drawing.dimensions import ALIGNED, ANGLE, LEVEL, PLUMB, Dimension, lines_of
from stairs.drawing.parts import balusters, brackets, circle, filler, post, rails
from stairs.drawing.primitives import DASH_DOT, FINE, HEAVY, THICK, THIN, Primitive, line
from stairs.drawing.profile import (
    deck,
    ground,
    line_height,
    nosing_line,
    stair,
    stringer,
    upper_landing,
)
from stairs.drawing.stage import Label
from stairs.drawing.view import View
from stairs.marks import length_text
from stairs.verdicts import value_texts

_UNDER_RAIL = ("triangle", "foot", "head", "under-rail")


@dataclass(frozen=True, slots=True)
class Detail:
    """One detail.

    Parameters
    ----------
    name : str
        Lettered under it.
    window : tuple of float
        Left, bottom, right and top of what is shown [units of the work].
    work : callable
        From a view to primitives, in the order in which they are drawn.
    dimensions, labels : callable
        From a view and the window on paper to what stands beside it.
    over : callable or None
        From a view to lines that are not cut off by the window.
    tall : bool
        Whether it wants a cell that is higher than wide.
    around : tuple of float or None
        Paper left beside the window for lettering [mm].
    """

    name: str
    window: tuple[float, float, float, float]
    work: Callable[[View], list[Primitive]]
    dimensions: Callable
    labels: Callable
    over: Callable | None = None
    tall: bool = False
    around: tuple[float, float, float, float] | None = None


def _show(job):
    def text(length) -> str:
        return length_text(length, job.units, job.tape, unit=job.units == "in")

    return text


def _everything(answer, section, view: View, circles: bool = True) -> list[Primitive]:
    """The section as an elevation draws it, without lettering [mm on paper]."""
    job = answer.job
    far = view.length(20 * (section.unit_run or 12.0)) + 400.0
    left, right = view.at((0.0, 0.0))[0] - far, view.at((section.posts[-1].x, 0.0))[0] + far
    drawn: list[Primitive] = []
    if section.kind == "flight":
        drawn += ground(view, left, right)
        drawn += stringer(section, view, job.units)
        drawn += stair(section, view, float(job.sections[section.number - 1].riser_slope))
        drawn += upper_landing(section, view, right)
        drawn += nosing_line(section, view, 5.0)
    else:
        drawn += deck(view, left, right)
    for bay in section.bays:
        drawn += balusters(bay, view, float(job.panel.baluster))
        drawn += filler(bay, view, section.filler)
        drawn += rails(bay, view)
    for one in section.posts:
        if one.wall:
            drawn += _wall(section, one, view)
        else:
            drawn += post(one, view, job.units, float(job.post.reveal))
    drawn += brackets(section, job, view)
    if circles:
        for opening in section.openings:
            if opening.kind in _UNDER_RAIL:
                drawn.append(circle(opening, view, FINE))
    return drawn


def _wall(section, one, view: View) -> list[Primitive]:
    """The face of a wall, hatched behind."""
    back = -1.0 if one.number == 1 else 1.0
    x, low = view.at((one.x, one.surface))
    high = view.at((one.x, one.surface + section.guard_height * 1.3))[1]
    drawn: list[Primitive] = [line((x, low), (x, high), HEAVY, "wall")]
    y = low + 2.0
    while y < high:
        drawn.append(line((x + back * 0.4, y), (x + back * 3.0, y - 2.6), FINE, "wall-hatch"))
        y += 3.0
    return drawn


# --------------------------------------------------------------------------- opening


def opening_detail(answer, part) -> Detail | None:
    """The largest opening under the rail, with its circle, its limit and its verdict."""
    section, job = part.section, answer.job
    text = _show(job)
    found = [
        (opening, finding)
        for opening, finding in zip(section.openings, part.openings, strict=False)
        if opening.kind in _UNDER_RAIL
    ]
    if not found:
        return None
    opening, finding = max(found, key=lambda pair: (pair[1].verdict == "fail", pair[0].diameter))
    wide = max(section.unit_run * 1.5, opening.drawn_diameter * 1.8, float(job.panel.pitch) * 2.2)
    high = max(section.unit_rise * 1.6, opening.drawn_diameter * 1.75)
    x, y = opening.center
    low = x - wide * 0.53
    if section.kind == "flight" and opening.tread is not None:  # its own nosing is seen
        low = min(low, section.nosings[opening.tread - 1][0] - section.unit_run * 0.07)
    window = (low, y - high * 0.5, low + wide, y + high * 0.5)
    limit = ()
    if finding.limit is not None:
        value, allowed, _ = value_texts(job, finding)
        verdict = {"fail": "FAILS", "pass": "passes", "marginal": "passes, but near"}
        clause = finding.clause.replace("_", " ") + ("" if finding.verified else "*")
        limit = (f"{allowed}, {verdict.get(finding.verdict, '')}", clause)
    else:
        value = text(opening.diameter)
    ball = "LARGEST BALL" if opening.flat_diameter is not None else "LARGEST CIRCLE"

    def work(view):
        drawn = _everything(answer, section, view, circles=False)
        drawn.append(circle(opening, view, THICK if finding.verdict == "fail" else THIN))
        cx, cy = view.at(opening.center)
        for dx, dy in ((2.0, 0.0), (0.0, 2.0)):
            drawn.append(line((cx - dx, cy - dy), (cx + dx, cy + dy), FINE, "centre-line"))
        return drawn

    def dimensions(view, frame):
        return _opening_dimensions(section, opening, window, view, frame, text)

    def labels(view, frame):
        radius = view.length(opening.drawn_diameter / 2)
        flag = finding.verdict == "fail"
        rows = (*(("FAIL",) if flag else ()), f"Ø {value}", ball, *limit)
        made = [Label(rows, view.at(opening.center), -35.0, radius, flag)]
        gap_x = _nosing_in(section, window)
        if gap_x is not None and section.bottom_gap > 0:
            at = view.at((gap_x, line_height(section, gap_x) + section.bottom_gap / 2))
            made.append(Label((f"{text(section.bottom_gap)} BOTTOM GAP", "PLUMB"), at, 150.0))
        elif section.kind != "flight":
            at = view.at((opening.center[0] + wide * 0.3, section.bottom_gap / 2))
            made.append(Label((f"{text(section.bottom_gap)} BOTTOM GAP",), at, -35.0))
        return made

    return Detail(f"Opening under the rail, {opening.place}", window, work, dimensions, labels,
                  around=(23.0, 20.0, 23.0, 12.0))  # fmt: skip


def _nosing_in(section, window) -> float | None:
    """A nosing within the window, the first one."""
    x0, _, x1, _ = window
    inner = [x for x, y in section.nosings if x0 + 0.1 * (x1 - x0) < x < x1 - 0.1 * (x1 - x0)]
    return inner[0] if inner else None


def _opening_dimensions(section, opening, window, view, frame, text):
    if section.kind != "flight":
        return []
    x0, y0, x1, y1 = window
    seen = [(x, y) for x, y in section.nosings if x0 < x < x1 and y0 < y < y1]
    made = []
    if len(seen) >= 2:
        run = seen[1][0] - seen[0][0]
        made.append(
            Dimension("unit run", LEVEL, (seen[0], seen[1]), run, text(run), "below",
                      frame[1] - 9.0)
        )  # fmt: skip
        rise = seen[1][1] - seen[0][1]
        made.append(
            Dimension("unit rise", PLUMB, ((seen[1][0], seen[0][1]), seen[1]), rise, text(rise),
                      "right", frame[2] + 9.0)
        )  # fmt: skip
    elif seen:
        x, y = seen[0]
        below = [value for _, value in section.nosings if value < y]
        low = max(below, default=0.0)
        if low > y0:
            made.append(
                Dimension("unit rise", PLUMB, ((x, low), (x, y)), y - low, text(y - low), "right",
                          frame[2] + 9.0)
            )  # fmt: skip
    return made


# --------------------------------------------------------------------------- post base


def base_detail(answer, part) -> Detail | None:
    """The base of the post whose plate is nearest to an edge."""
    section, job = part.section, answer.job
    text = _show(job)
    posts = [one for one in section.posts if not one.wall]
    if not posts:
        return None
    one = min(posts, key=lambda p: (p.plate_edge is None, p.plate_edge or 0.0))
    plate = one.base or one.width
    reach = max(plate * 1.1, (one.plate_edge or 0.0) + plate * 0.75)
    high = plate * 1.7
    window = (one.x - reach, one.surface - high * 0.42, one.x + reach, one.surface + high * 0.58)

    def work(view):
        return _everything(answer, section, view, circles=False)

    def over(view):
        x, y = view.at((one.x, one.surface - high * 0.3))
        return [line((x, y), (x, view.at((0.0, one.surface + high * 0.55))[1]), FINE,
                     "centre-line", DASH_DOT)]  # fmt: skip

    def dimensions(view, frame):
        y = one.surface
        half = one.width / 2
        above = frame[3] + 4.0
        made = [
            Dimension("post width", LEVEL,
                      ((one.x - half, y + high * 0.5), (one.x + half, y + high * 0.5)), one.width,
                      text(one.width), "above", above)
        ]  # fmt: skip
        below = frame[1] - 8.0
        if one.base:
            low, high_x = one.x - one.base / 2, one.x + one.base / 2
            made.append(Dimension("base plate", LEVEL, ((low, y), (high_x, y)), one.base,
                                  text(one.base), "below", below))  # fmt: skip
            if one.plate_edge is not None:
                edge = low - one.plate_edge
                ends = ((edge, y), (low, y))
                made.append(Dimension("edge distance", LEVEL, ends, one.plate_edge,
                                      text(one.plate_edge), "below", below))  # fmt: skip
        return made

    def labels(view, frame):
        made = []
        if one.base and one.plate_edge is not None:
            words = (f"EDGE DISTANCE {text(one.plate_edge)}",)
            least = float(job.post.edge_distance)
            if least > 0:
                words += (f"least {text(least)}",)
            flag = any(
                finding.id == "post-edge-distance" and finding.verdict == "fail"
                for finding in part.findings
            )
            words = (*(("FAIL",) if flag else ()), *words)
            at = view.at((one.x - plate / 2 - one.plate_edge / 2, one.surface))
            made.append(Label(words, at, 120.0, 0.0, flag))
        if one.base:
            at = view.at((one.x + one.base * 0.4, one.surface))
            made.append(Label(("BASE PLATE; ANCHORS", "BY OTHERS"), at, 60.0))
        made.append(Label((one.stands_on.upper(),), view.at((one.x + reach * 0.7, one.surface)),
                          -60.0))  # fmt: skip
        return made

    return Detail(f"Base of post {section.number}.{one.number}", window, work, dimensions, labels,
                  over)  # fmt: skip


# --------------------------------------------------------------------------- rail ends


def end_detail(answer, part, upper: bool) -> Detail | None:
    """The bracket and the end of a bay's top rail at its lower or its upper post."""
    section, job = part.section, answer.job
    text = _show(job)
    bay = section.bays[-1] if upper else section.bays[0]
    one = section.posts[bay.number if upper else bay.number - 1]
    side = "down" if upper else "up"
    mark = next((m for m in one.marks if m.rail == "top" and m.side == side), None)
    if mark is None:
        return None
    way = -1.0 if upper else 1.0
    pivot = job.bracket.kind == "pivot"
    depth = float(job.panel.top_rail)
    face = one.x + way * one.width / 2
    x, y = mark.pin
    setback = float(job.bracket.rail_setback) if pivot else 0.0
    size = max(depth * 4.2, abs(x - face) * 2.4 + depth * 2.6, 3.2 * (setback + abs(x - face)))
    middle = x + way * size * 0.16
    window = (middle - size * 0.55, y - size * 0.5, middle + size * 0.55, y + size * 0.5)
    turn = math.radians(section.rake)
    along = (way * math.cos(turn), way * math.sin(turn))
    end = (x + along[0] * setback, y + along[1] * setback)

    def work(view):
        return _everything(answer, section, view, circles=False)

    def over(view):
        reach = size * 0.42
        far = (x + along[0] * reach, y + along[1] * reach)
        back = (x - along[0] * depth * 0.3, y - along[1] * depth * 0.3)
        return [line(view.at(back), view.at(far), FINE, "centre-line", DASH_DOT)]

    def dimensions(view, frame):
        made = []
        off = abs(x - face)
        low_y = y - size * 0.5
        if off > 0:
            name = "pivot offset" if pivot else "end clearance"
            ends = sorted(((face, low_y), (x, low_y)))
            made.append(Dimension(name, LEVEL, (ends[0], ends[1]), off, text(off), "below",
                                  frame[1] - 8.0))  # fmt: skip
        if setback > 0:
            ends = sorted(((x, y), end))
            made.append(Dimension("rail setback", ALIGNED, (ends[0], ends[1]), setback,
                                  text(setback), "along",
                                  view.length(depth) * 0.5 + 9.0))  # fmt: skip
        made += _end_angle(section, bay, (x, y), along, upper, view, size)
        return made

    def labels(view, frame):
        target = view.at((x, y))
        stands = "walking surface" if one.wall else one.stands_on
        kind = "PIN" if pivot else "CUT FACE"
        made = [
            Label((f"{kind} {text(mark.height)}", *_over(stands)), target,
                  200.0 if not upper else -20.0, 1.2)
        ]  # fmt: skip
        if pivot and section.rake:
            at = view.at((x + along[0] * size * 0.3, y + along[1] * size * 0.3))
            prefer = -120.0 if upper else -60.0
            made.append(Label((f"SWING {bay.swing:.1f}°", "FROM LEVEL"), at, prefer))
        if not pivot:
            saw = f"SAW TURNED {bay.saw_angle:.1f}°" if bay.saw_angle else "SAWN SQUARE"
            rows = (saw, "FROM SQUARE") if bay.saw_angle else (saw,)
            at = view.at((x, y - depth * 0.45))
            made.append(Label(rows, at, -120.0 if upper else -60.0))
        at = view.at((x + along[0] * size * 0.36, y + along[1] * size * 0.36 + depth * 0.4))
        made.append(Label((f"RAIL {text(depth)} DEEP",), at, 110.0 if upper else 70.0))
        return made

    name = f"{'Upper' if upper else 'Lower'} rail end at post {section.number}.{one.number}"
    return Detail(name, window, work, dimensions, labels, over,
                  around=(23.0, 18.0, 23.0, 12.0))  # fmt: skip


def _over(surface: str) -> tuple[str, ...]:
    """What a height is measured over, in short lines.

    Examples
    --------
    >>> _over("lower landing"), _over("tread 3")
    (('OVER LOWER', 'LANDING'), ('OVER TREAD 3',))
    """
    first, _, rest = surface.upper().partition(" ")
    if not rest or rest.isdigit():
        return (f"OVER {surface.upper()}",)
    return (f"OVER {first}", rest)


def _end_angle(section, bay, pin, along, upper: bool, view: View, size: float):
    """The angle between the post and the rail, measured over the rail."""
    if not section.rake:
        return []
    value = bay.angle_high if upper else bay.angle_low
    plumb = (pin[0], pin[1] + size * 0.3)
    rail = (pin[0] + along[0] * size * 0.3, pin[1] + along[1] * size * 0.3)
    legs = (plumb, rail) if upper else (rail, plumb)
    return [
        Dimension("angle to the post", ANGLE, (pin, *legs), value, f"{value:.1f}°", "angle",
                  max(view.length(size * 0.24), 11.0))
    ]  # fmt: skip


# --------------------------------------------------------------------------- panel


def panel_detail(answer, part) -> Detail | None:
    """A piece of the panel on its rake: heights, pitch, clear gap and square spacing."""
    section, job = part.section, answer.job
    text = _show(job)
    bay = max(section.bays, key=lambda one: one.balusters)
    xs = bay.baluster_x
    if not xs:
        return None
    level = (xs[1] - xs[0]) if len(xs) > 1 else float(job.panel.pitch)
    lean = section.rail_spacing * math.sin(math.radians(section.rake))
    count = min(len(xs), 3 if not section.rake else 2 + math.ceil(lean / level))
    first = max(0, (len(xs) - count) // 2)
    shown = xs[first : first + count]
    x0, x1 = shown[0] - level * 0.8, shown[-1] + level * 0.8
    slope = section.line_rise / section.line_run

    def edge(outline, over: bool, at: float) -> float:
        (a, b), (c, d) = (outline[1], outline[2]) if over else (outline[0], outline[3])
        return b + (d - b) * (at - a) / (c - a)

    pad = section.panel_height * 0.06
    window = (x0, edge(bay.bottom_rail, False, x0) - pad, x1, edge(bay.top_rail, True, x1) + pad)

    def work(view):
        drawn: list[Primitive] = []
        drawn += balusters(bay, view, float(job.panel.baluster))
        drawn += filler(bay, view, section.filler)
        drawn += rails(bay, view)
        return drawn

    def axis(outline, at: float):
        return (at, (edge(outline, True, at) + edge(outline, False, at)) / 2)

    def dimensions(view, frame):
        half = float(job.panel.baluster) / 2
        made = [
            Dimension("panel height", PLUMB,
                      ((x1, edge(bay.bottom_rail, False, x1)), (x1, edge(bay.top_rail, True, x1))),
                      section.panel_height, text(section.panel_height), "right", frame[2] + 9.0)
        ]  # fmt: skip
        if len(shown) > 1:
            low = edge(bay.bottom_rail, True, shown[0] + half)
            ends = ((shown[0] + half, low), (shown[1] - half, low))
            made.append(Dimension("clear between balusters", LEVEL, ends, section.baluster_clear,
                                  f"{text(section.baluster_clear)} CLEAR", "below",
                                  frame[1] - 8.0, short=text(section.baluster_clear)))  # fmt: skip
            ends = (axis(bay.top_rail, shown[0]), axis(bay.top_rail, shown[1]))
            made.append(Dimension("pitch", ALIGNED, ends, float(job.panel.pitch),
                                  f"{text(job.panel.pitch)} PITCH", "along",
                                  view.length(float(job.panel.top_rail) / 2 + pad) + 9.0,
                                  short=text(job.panel.pitch)))  # fmt: skip
        made.append(
            Dimension("top rail plumb", PLUMB,
                      ((x0, edge(bay.top_rail, False, x0)), (x0, edge(bay.top_rail, True, x0))),
                      edge(bay.top_rail, True, x0) - edge(bay.top_rail, False, x0),
                      text(edge(bay.top_rail, True, x0) - edge(bay.top_rail, False, x0)), "left",
                      frame[0] - 9.0)
        )  # fmt: skip
        return made

    square = _square_spacing(section, bay, shown, axis, slope, text)

    def over(view):  # lettered like a part, since its text would be struck by balusters
        return [stroke for one in square for stroke in lines_of(one, view)]

    def labels(view, frame):
        middle = shown[len(shown) // 2]
        y = axis(bay.bottom_rail, middle)[1] + section.panel_height * 0.3
        made = [Label((f"BALUSTER {text(job.panel.baluster)}",), view.at((middle, y)), 20.0)]
        for one in square:
            (ax, ay), (bx, by) = one.points
            at = view.at((ax + (bx - ax) * 0.35, ay + (by - ay) * 0.35))
            made.append(Label((one.text, "BETWEEN RAILS"), at, 30.0))
        return made

    name = f"Panel on the rake of {section.rake:.1f}°" if section.rake else "Panel, level"
    return Detail(name, window, work, dimensions, labels, over, tall=True,
                  around=(28.0, 24.0, 30.0, 22.0))  # fmt: skip


def _square_spacing(section, bay, shown, axis, slope: float, text):
    """From rail axis to rail axis, square to both."""
    if not section.rake or len(shown) < 2:
        return []
    gap = (shown[-2] + shown[-1]) / 2
    low = axis(bay.bottom_rail, gap)
    turn = math.atan(slope)
    high = (
        low[0] - section.rail_spacing * math.sin(turn),
        low[1] + section.rail_spacing * math.cos(turn),
    )
    return [
        Dimension("square between rails", ALIGNED, (low, high), section.rail_spacing,
                  f"{text(section.rail_spacing)} SQUARE", "square", 0.0)
    ]  # fmt: skip
