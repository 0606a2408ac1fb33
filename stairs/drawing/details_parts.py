"""Details of a section: what each shows, measures and says.

A :class:`Detail` names a window of the work and knows how to draw what is seen through it, which
dimensions it carries and what is lettered beside it.  The window is the least that must be seen;
where its cell has room it is opened wider, and what depends on it is told the window that is seen.
The rails' ends are in :mod:`stairs.drawing.details_ends`, the panel in
:mod:`stairs.drawing.details_panel`.
"""

from __future__ import annotations

import math
from collections.abc import Callable

from msgspec import Struct

from stairs.drawing.dimensions import LEVEL, PLUMB, Dimension
from stairs.drawing.extents import box_of, cut_to
from stairs.drawing.lettering import SMALL
from stairs.drawing.parts import balusters, brackets, circle, filler, post, rails, wall
from stairs.drawing.placement import CLEARANCE, Candidate
from stairs.drawing.primitives import (
    DASH_DOT,
    DASHED,
    FINE,
    MEDIUM,
    THICK,
    Arc,
    Primitive,
    Text,
    line,
)
from stairs.drawing.profile import (
    deck,
    ground,
    line_height,
    nosing_line,
    stair,
    stringer,
    upper_landing,
)
from stairs.drawing.stage import Label, flagged
from stairs.drawing.view import View
from stairs.marks import length_text
from stairs.verdicts import value_texts

ROW = 4.15
"""From one line of lettering to the next [mm]."""
_UNDER_RAIL = ("triangle", "foot", "head", "under-rail")


class Fold(Struct, frozen=True):
    """A strip along a rake that a detail may leave out between two break lines.

    Parameters
    ----------
    slope : float
        Of the strip, rise over run.
    level : float
        Height of its middle at the work's origin [units of the work].
    least, most : float
        The strip is at least so deep, where one is left out or what is measured needs it, and at
        most so deep that enough is seen, plumb [units of the work].
    """

    slope: float
    level: float
    least: float
    most: float


class FoldedView(View, frozen=True):
    """A view that leaves out the strip of a fold: what lies over it is moved down.

    Points of the work keep their own coordinates, so dimensions across the break measure true.

    Parameters
    ----------
    fold : Fold or None
        Where.
    cut : float
        How much is left out, plumb [units of the work].
    """

    fold: Fold | None = None
    cut: float = 0.0

    def at(self, point):
        """Where a point of the work lies [mm on paper]."""
        x, y = point
        if self.fold is not None and y > self.fold.level + self.fold.slope * x:
            y -= self.cut
        return (self.origin[0] + x * self.unit, self.origin[1] + y * self.unit)


def seen(view: View, frame) -> tuple[float, float, float, float]:
    """The window that is seen, left, bottom, right and top [units of the work]."""
    return (*view.back(frame[:2]), *view.back(frame[2:]))


class Detail(Struct, frozen=True):
    """One detail.

    Parameters
    ----------
    name : str
        Lettered under it.
    window : tuple of float
        Left, bottom, right and top of what must be shown [units of the work].
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
    most : float
        How many times wider and higher the window may be opened where there is room.
    fold : Fold or None
        Where a strip may be left out, so that a larger scale fits.
    note : str
        Lettered under its scale.
    """

    name: str
    window: tuple[float, float, float, float]
    work: Callable[[View], list[Primitive]]
    dimensions: Callable
    labels: Callable
    over: Callable | None = None
    tall: bool = False
    around: tuple[float, float, float, float] | None = None
    most: float = 1.0
    fold: Fold | None = None
    note: str = ""


def shown_as(job):
    """How lengths of a job are lettered on its details."""

    def text(length) -> str:
        return length_text(length, job.units, job.tape, unit=job.units == "in")

    return text


def everything(answer, section, view: View) -> list[Primitive]:
    """The section as an elevation draws it, without lettering [mm on paper].

    Parameters
    ----------
    answer : stairs.answer.Answer
        Of a job.
    section : stairs.guard.Section
        One of its sections, solved.
    view : View
        Scale and place.
    """
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
            drawn += wall(one, view, section.guard_height, one.number > 1)
        else:
            drawn += post(one, view, job.units, float(job.post.reveal))
    drawn += brackets(section, job, view)
    return drawn


# --------------------------------------------------------------------------- opening


def opening_detail(answer, part) -> Detail | None:
    """The largest opening under the rail, with its circle, its limit and its verdict."""
    section, job = part.section, answer.job
    text = shown_as(job)
    found = [
        (opening, finding)
        for opening, finding in zip(section.openings, part.openings, strict=False)
        if opening.kind in _UNDER_RAIL
    ]
    if not found:
        return None
    opening, finding = max(found, key=lambda pair: (pair[1].fails, pair[0].diameter))
    wide = max(section.unit_run * 1.5, opening.drawn_diameter * 1.8, float(job.panel.pitch) * 2.2)
    high = max(section.unit_rise * 1.45, opening.drawn_diameter * 1.55)
    x, y = opening.center
    low = x - wide * 0.53
    if section.kind == "flight" and opening.tread is not None:  # its own nosing is seen
        low = min(low, section.nosings[opening.tread - 1][0] - section.unit_run * 0.07)
    window = (low, y - high * 0.5, low + wide, y + high * 0.5)
    flat = opening.flat_diameter is None
    ball = "LARGEST CIRCLE" if flat else "LARGEST BALL"
    limit_ball = finding.limit if flat and finding.limit and finding.unit == "length" else None
    note = ""
    if finding.limit is not None:
        value, allowed, _ = value_texts(job, finding)
        value = value.removesuffix(" mm")  # on a drawing whole millimetres have no unit
        verdict = {"fail": "FAILS", "pass": "passes", "marginal": "passes, but near"}
        clause = finding.clause.replace("_", " ") + ("" if finding.verified else "*")
        note = f"Limit {allowed}, {verdict.get(finding.outcome, '')}: {clause}"
        if limit_ball is not None:
            note += f". Dashed: a ball of {text(limit_ball)}"
        if any(touched(opening)):
            note += f". Dots: it leans on {', '.join(opening.leans_on)}"
    else:
        value = text(opening.diameter)

    def work(view):
        drawn = everything(answer, section, view)
        centre = view.at(opening.center)
        if limit_ball is not None:
            radius = view.length(float(limit_ball) / 2)
            drawn.append(Arc(centre, radius, FINE, "limit-ball", line=DASHED))
        drawn.append(circle(opening, view, THICK if finding.fails else MEDIUM))
        for dx, dy in ((2.0, 0.0), (0.0, 2.0)):
            drawn.append(
                line((centre[0] - dx, centre[1] - dy), (centre[0] + dx, centre[1] + dy), FINE,
                     "centre-line")
            )  # fmt: skip
        drawn += [Arc(view.at(at), 0.7, FINE, "contact", fill="ink") for at in touched(opening)]
        return drawn

    def dimensions(view, frame):
        return _opening_dimensions(section, opening, seen(view, frame), frame, text)

    def labels(view, frame):
        radius = view.length(opening.drawn_diameter / 2)
        flag = finding.fails
        centre = view.at(opening.center)
        rows = (*(("FAIL",) if flag else ()), f"Ø {value}", ball)
        inside = _in_circle(rows, centre, radius, flag)
        made = [Label(rows, centre, -35.0, radius, flag, inside)]
        gap_x = _nosing_in(section, window)
        if gap_x is not None and section.bottom_gap > 0:
            at = view.at((gap_x, line_height(section, gap_x) + section.bottom_gap / 2))
            prefer = 60.0 if at[0] > (frame[0] + frame[2]) / 2 else 150.0
            made.append(Label((f"{text(section.bottom_gap)} BOTTOM GAP", "PLUMB"), at, prefer))
        return made + _part_names(job, section, opening, view, frame, text)

    return Detail(f"Opening under the rail, {opening.place}", window, work, dimensions, labels,
                  around=(23.0, 14.5, 23.0, 9.5), most=1.5, note=note)  # fmt: skip


def _in_circle(rows: tuple[str, ...], centre, radius: float, flag: bool) -> tuple[Candidate, ...]:
    """Places for a circle's lettering within it: what it measures over the cross at its middle,
    what it is under it."""
    x, y = centre
    *over, last = rows
    under = last.split()
    spots = [
        *((row, y + 3.4 + (len(over) - 1 - k) * (ROW + 0.8 * flag)) for k, row in enumerate(over)),
        *((row, y - 3.4 - SMALL - k * ROW) for k, row in enumerate(under)),
    ]
    found = []
    for aside in (0.0, -2.0, 2.0, -4.0, 4.0, -6.0, 6.0):
        texts = tuple(
            Text(row, (x + aside, at), SMALL, "failure" if flag else "label", "middle",
                 owner=rows[0])
            for row, at in spots
        )  # fmt: skip
        corners = [corner for one in texts for corner in box_of(one, CLEARANCE).corners()]
        if max(math.dist(corner, centre) for corner in corners) < radius - CLEARANCE:
            found.append(flagged(Candidate(texts), 0.0) if flag else Candidate(texts))
    return tuple(found)


def touched(opening) -> list[tuple[float, float]]:
    """Where the largest circle of an opening touches what is around it [units of the work].

    Parameters
    ----------
    opening : stairs.openings.Opening
        With its outline.
    """
    x, y = opening.center
    radius = opening.drawn_diameter / 2
    found: list[tuple[float, float]] = []
    for (ax, ay), (bx, by) in zip(
        opening.outline, (*opening.outline[1:], *opening.outline[:1]), strict=True
    ):
        dx, dy = bx - ax, by - ay
        length = dx * dx + dy * dy
        share = 0.0 if length == 0 else ((x - ax) * dx + (y - ay) * dy) / length
        share = min(max(share, 0.0), 1.0)
        at = (ax + share * dx, ay + share * dy)
        near = abs(math.dist(at, (x, y)) - radius) < 1e-4 * radius
        if near and all(math.dist(at, other) > 1e-3 * radius for other in found):
            found.append(at)
    return found


def _part_names(job, section, opening, view: View, frame, text) -> list[Label]:
    """The rail's depth, and on a flight the tread's thickness and nosing."""
    rail = section.bays[(opening.bay or 1) - 1].bottom_rail
    (x0, y0), (x1, y1) = rail[0], rail[3]
    depth = (rail[1][1] - rail[0][1], rail[1][0] - rail[0][0])
    x = min(max(opening.center[0] - opening.drawn_diameter * 0.55, x0), x1)
    y = y0 + (y1 - y0) * (x - x0) / (x1 - x0)
    at = view.at((x + depth[1] * 0.6, y + depth[0] * 0.6))
    rows = ("BOTTOM RAIL", f"{text(job.panel.bottom_rail)} DEEP")
    wide = math.hypot(*depth)
    inside = ()
    if view.length(wide) > SMALL + 3 * CLEARANCE:
        low = view.at(((rail[0][0] + rail[1][0]) / 2, (rail[0][1] + rail[1][1]) / 2))
        high = view.at(((rail[2][0] + rail[3][0]) / 2, (rail[2][1] + rail[3][1]) / 2))
        inside = _along(", ".join(rows), rows[0], low, high, frame)
    made = [Label(rows, at, 120.0, places=inside)]
    if section.kind == "flight" and opening.tread is not None and section.tread_thickness > 0:
        nose_x, nose_y = section.nosings[opening.tread - 1]
        x, y = view.at((nose_x, nose_y - section.tread_thickness / 2))
        rows = (f"TREAD {opening.tread}, {text(section.tread_thickness)} THICK",)
        if section.nosing > 0:
            rows += (f"{text(section.nosing)} NOSING",)
        group, owner = "label", rows[0]
        inside = tuple(  # the tread
            Candidate((Text(", ".join(rows), (x + far, y - SMALL / 2), SMALL, group, owner=owner),))
            for far in (3.0, 5.0, 7.0, 9.0)
        )
        if view.length(section.tread_thickness) < SMALL + 3 * CLEARANCE:
            inside = ()
        made.append(Label(rows, (x, y), -150.0, places=inside))
    return made


def _along(words: str, owner: str, low, high, frame) -> tuple[Candidate, ...]:
    """Places for lettering on a rail, along it and within the window, its middle first."""
    piece = cut_to(low, high, frame)
    if piece is None:
        return ()
    (x0, y0), (x1, y1) = piece
    turn = math.atan2(y1 - y0, x1 - x0)
    aside = (math.sin(turn) * SMALL / 2, -math.cos(turn) * SMALL / 2)
    found = []
    for share in (0.5, 0.42, 0.58, 0.35, 0.65, 0.28, 0.72):
        at = (x0 + (x1 - x0) * share + aside[0], y0 + (y1 - y0) * share + aside[1])
        one = Text(words, at, SMALL, "label", "middle", math.degrees(turn), owner=owner)
        left, bottom, right, top = frame
        corners = box_of(one, CLEARANCE).corners()
        if all(left < x < right and bottom < y < top for x, y in corners):
            found.append(Candidate((one,)))
    return tuple(found)


def _nosing_in(section, window) -> float | None:
    """A nosing within the window, the first one."""
    x0, _, x1, _ = window
    inner = [x for x, y in section.nosings if x0 + 0.1 * (x1 - x0) < x < x1 - 0.1 * (x1 - x0)]
    return inner[0] if inner else None


def _opening_dimensions(section, opening, window, frame, text):
    x0, y0, x1, y1 = window
    if section.kind != "flight":
        gap = section.bottom_gap
        if gap <= 0:
            return []
        return [
            Dimension("bottom gap", PLUMB, ((x1, 0.0), (x1, gap)), gap, text(gap), "right",
                      frame[2] + 9.0)
        ]  # fmt: skip
    inner = [(x, y) for x, y in section.nosings if x0 < x < x1 and y0 < y < y1]
    near = opening.tread if opening.tread is not None else 1
    steps = list(zip(inner, inner[1:], strict=False))
    made = []
    if steps:
        own = section.nosings[near - 1]
        low, high = next((pair for pair in steps if pair[0] == own), steps[0])
        run, rise = high[0] - low[0], high[1] - low[1]
        made.append(
            Dimension("unit run", LEVEL, (low, high), run, text(run), "below", frame[1] - 9.0)
        )
        made.append(
            Dimension("unit rise", PLUMB, ((high[0], low[1]), high), rise, text(rise), "right",
                      frame[2] + 9.0)
        )  # fmt: skip
    elif inner:
        x, y = inner[0]
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
    """The base of the post whose plate is nearest to an edge, of those that stand square."""
    section, job = part.section, answer.job
    text = shown_as(job)
    posts = [one for one in section.posts if not (one.wall or one.askew)]
    if not posts:
        return None
    one = min(posts, key=lambda p: (p.plate_edge is None, p.plate_edge or 0.0))
    plate = one.base or one.width
    in_front = one.plate_edge if section.kind == "flight" else None  # seen in elevation
    back = max(plate * 1.1, (in_front or 0.0) + plate * 0.8)
    reach, high = plate * 1.1, plate * 1.7
    foot = max(high * 0.42, one.below + plate * 0.4 if one.below else 0.0)
    window = (one.x - back, one.surface - foot, one.x + reach, one.surface + high * 0.58)

    def work(view):
        return everything(answer, section, view)

    def over(view):
        x, y = view.at((one.x, one.surface - high * 0.3))
        return [line((x, y), (x, view.at((0.0, one.surface + high * 0.55))[1]), FINE,
                     "centre-line", DASH_DOT)]  # fmt: skip

    def dimensions(view, frame):
        y = one.surface
        half = one.width / 2
        above = frame[3] + 6.0
        top = min(seen(view, frame)[3], y + one.height)
        made = [
            Dimension("post width", LEVEL, ((one.x - half, top), (one.x + half, top)), one.width,
                      text(one.width), "above", above)
        ]  # fmt: skip
        below = frame[1] - 9.0
        if one.below:
            ends = ((one.x - half, y - one.below), (one.x - half, y))
            made.append(Dimension("below", PLUMB, ends, one.below, text(one.below), "left",
                                  frame[0] - 6.0))  # fmt: skip
        if one.base:
            low, high_x = one.x - one.base / 2, one.x + one.base / 2
            made.append(Dimension("base plate", LEVEL, ((low, y), (high_x, y)), one.base,
                                  text(one.base), "below", below))  # fmt: skip
            if in_front is not None:
                ends = ((low - in_front, y), (low, y))
                made.append(Dimension("edge distance", LEVEL, ends, in_front, text(in_front),
                                      "below", below))  # fmt: skip
        return made

    edged = one.base is not None and one.plate_edge is not None
    fails = edged and any(
        finding.id == "post-edge-distance" and finding.fails for finding in part.findings
    )

    def labels(view, frame):
        on = one.stands_on.upper()
        at = view.at((one.x + reach * 0.7, one.surface))
        made = [Label((on,), at, -60.0, places=_under_surface(on, frame[2], at[1]))]
        if fails:
            at = view.at((one.x - plate / 2 - (in_front or 0.0) / 2, one.surface))
            made.append(Label(("FAIL", "EDGE DISTANCE"), at, 120.0, 0.0, True))
        if one.below:
            at = view.at((one.x + one.width / 2, one.surface - one.below * 0.7))
            made.append(Label(("FIXINGS", "BY OTHERS"), at, -45.0))
        if one.base:
            at = view.at((one.x + one.base * 0.4, one.surface))
            made.append(Label(("BASE PLATE; ANCHORS", "BY OTHERS"), at, 60.0))
        return made

    note = ""
    if edged and job.post.edge_distance > 0:
        note = f"Plate to edge: at least {text(job.post.edge_distance)}"
        if in_front is None:
            note += f"; to the outer edge, square to this view: {text(one.plate_edge)}"
    name = "Foot" if one.below else "Base"
    return Detail(f"{name} of post {section.number}.{one.number}", window, work, dimensions, labels,
                  over, around=(23.0, 20.0, 23.0, 16.0), most=1.5, note=note)  # fmt: skip


def _under_surface(words: str, right: float, y: float) -> tuple[Candidate, ...]:
    """Places for a surface's name under it, at the window's right-hand side."""
    return tuple(
        Candidate(
            tuple(
                Text(row, (right - 2.5, y - down - k * ROW), SMALL, "label", "right", owner=words)
                for k, row in enumerate(rows)
            )
        )
        for rows in ((words,), tuple(words.split()))
        for down in (4.6, 6.4, 8.4, 10.4, 12.4)
    )
