"""The opening under the rail as a detail: its largest circle, and what the rulebook tries there.

The circle that is drawn is lettered with its own size.  A rulebook that tries the opening with
something else has that drawn as well, as what it is: a cube as the square that passes, and a strip
above the nosing line as that strip.
"""

from __future__ import annotations

import math

from msgspec import Struct

from stairs.checks.finding import Finding, counts_above_nosings
from stairs.drawing.paper.lettering import PITCH, SMALL, text_rows
from stairs.drawing.paper.primitives import (
    CONTINUOUS,
    FINE,
    MEDIUM,
    THICK,
    Area,
    Point,
    Primitive,
    Stroke,
    Text,
    line,
    path,
    ring,
)
from stairs.drawing.paper.view import View, nearest_on
from stairs.drawing.placing.dimensions import LEVEL, PLUMB, Dimension, square_line
from stairs.drawing.placing.extents import box_of
from stairs.drawing.placing.labelled_view import Label, flagged
from stairs.drawing.placing.placement import CLEARANCE, Candidate, places_at
from stairs.drawing.placing.windows import cut_to
from stairs.drawing.sheets.sheet_words import clause_text
from stairs.drawing.views.details.parts import Detail, seen
from stairs.drawing.views.elevation.elements import circle
from stairs.drawing.views.elevation.profile import line_height
from stairs.drawing.views.kinds import LengthText, lettering_of
from stairs.guard.solving import Section
from stairs.job import Job
from stairs.openings.cube import largest_cube, square_about
from stairs.openings.opening import BELOW_RAIL, Opening
from stairs.report.findings import touched_texts, value_texts
from stairs.solution import SectionSolution, Solution

BALL, CUBE, STRIP = "ball", "cube", "strip"


class Tried(Struct, frozen=True):
    """What a rulebook tries an opening with, and how large a one passes there."""

    kind: str  # ``"ball"``, ``"cube"`` or ``"strip"``: a ball above the nosing line only
    value: str  # as lettered; against a limit it never reads as if it were on the other side
    # of the cube's square, or of the strip's, square to the nosing line [units of the work];
    # empty for a ball
    corners: tuple[Point, ...] = ()
    angle: float = 0.0  # of its sides over level [degrees]

    @property
    def center(self) -> Point:
        """Its middle [units of the work]."""
        (ax, ay), (cx, cy) = self.corners[0], self.corners[2]
        return (ax + cx) / 2, (ay + cy) / 2


def tried(solution: Solution, section: Section, opening: Opening, finding: Finding) -> Tried:
    """What the rulebook tries an opening with."""
    if finding.ruling.limit is None:
        return Tried(BALL, lettering_of(solution.job)(opening.diameter))
    value = value_texts(solution.job, finding)[0].removesuffix(" mm")
    if counts_above_nosings(finding.ruling.rule, opening):
        deep = section.bottom_gap - section.filler
        if deep <= 0:
            return Tried(STRIP, value)
        x, turn = opening.center[0], math.radians(section.rake)
        high = line_height(section, x)
        across = deep * math.cos(turn)
        middle = (x - across / 2 * math.sin(turn), high + across / 2 * math.cos(turn))
        return Tried(STRIP, value, square_about(middle, across, section.rake), section.rake)
    cube = largest_cube(opening) if finding.ruling.kind == "cube-smaller" else None
    if cube is None or not cube.corners:
        return Tried(BALL, value)
    return Tried(CUBE, value, cube.corners, cube.angle)


class OpeningDetail(Detail, frozen=True):
    """An opening under the rail, and what is found of it."""

    opening: Opening
    finding: Finding
    how: Tried

    most = 1.5
    stands = "The largest under the rails"

    @property
    def window(self) -> Area:
        """Wide and high enough for a step, and for its own nosing."""
        opening, flight = self.opening, self.section.flight
        run, rise = (float(flight.unit_run), float(flight.unit_rise)) if flight else (0.0, 0.0)
        pitch = float(self.job.panel.pitch)
        wide = max(run * 1.5, opening.drawn_diameter * 1.8, pitch * 2.2)
        high = max(rise * 1.45, opening.drawn_diameter * 1.55)
        x, y = opening.center
        low = x - wide * 0.53
        if flight is not None and opening.tread is not None:
            low = min(low, self.section.nosings[opening.tread - 1][0] - run * 0.07)
        return low, y - high * 0.5, low + wide, y + high * 0.5

    @property
    def note(self) -> str:
        """Limit, verdict and clause, and what the lines of the detail are."""
        opening, finding, how = self.opening, self.finding, self.how
        if finding.ruling.limit is None:
            return ""
        _, allowed, _ = value_texts(self.job, finding)
        verdict = {"fail": "FAILS", "pass": "passes", "marginal": "passes, but near"}
        told = [
            f"Limit {allowed}, {verdict.get(finding.outcome, '')}: {clause_text(finding.ruling)}"
        ]
        if finding.fails_only_as_cut:
            told[0] += f", as it will be cut {how.value}"
        if how.kind == STRIP:
            told[0] += ", tried above the nosings only"
        if finding.unit == "length" and opening.flat_diameter is None:
            kind = CUBE if how.kind == CUBE else BALL
            told.append(f"Dashed: a {kind} of {self.text(finding.ruling.limit)}")
        if any(touched(opening)) and how.kind != STRIP:
            told.append(
                f"Dots: the circle touches {', '.join(touched_texts(self.section, opening))}"
            )
        return ". ".join(told)

    @property
    def beside(self) -> bool:
        """Whether a ball passes beside the plane of the guard."""
        return self.opening.flat_diameter is not None

    @property
    def plain(self) -> bool:
        """Whether the circle that is drawn is what the rulebook tries."""
        return self.how.kind == BALL and not self.beside

    def work(self, view: View) -> list[Primitive]:
        """The section with the circle, where that leans, and what the rulebook tries there."""
        drawn = super().work(view)
        centre = view.at(self.opening.center)
        ruling = THICK if self.finding.fails else MEDIUM
        limit = self.finding.ruling.limit
        if limit is not None and self.finding.unit == "length" and not self.beside:
            drawn.append(_limit(self.how, self.opening, float(limit), view))
        drawn.append(circle(self.opening, view, ruling if self.plain else FINE))
        for dx, dy in ((2.0, 0.0), (0.0, 2.0)):
            drawn.append(
                line((centre[0] - dx, centre[1] - dy), (centre[0] + dx, centre[1] + dy),
                     "centre-line", kind=CONTINUOUS)
            )  # fmt: skip
        drawn += [ring(view.at(at), 0.7, "contact", fill="ink") for at in touched(self.opening)]
        corners = view.all_at(self.how.corners)
        if self.how.kind == CUBE:
            drawn.append(Stroke(corners, ruling, "cube", closed=True))
        elif self.how.kind == STRIP and corners:
            drawn += square_line(corners[0], corners[3], "strip")
        return drawn

    def dimensions(self, view: View, frame: Area) -> list[Dimension]:
        """The step that it lies over, or the gap under the rail."""
        return _opening_dimensions(self.section, self.opening, seen(view, frame), frame, self.text)

    def labels(self, view: View, frame: Area) -> list[Label]:
        """The circle, what passes there, the gap at a nosing, and the parts around it."""
        radius = view.length(self.opening.drawn_diameter / 2)
        centre = view.at(self.opening.center)
        flag = ("FAIL",) if self.finding.fails else ()
        as_drawn = self.plain and not self.finding.fails_only_as_cut
        size = self.how.value if as_drawn else self.text(self.opening.drawn_diameter)
        rows = (*(flag if self.plain else ()), f"Ø {size}", "LARGEST CIRCLE")
        inside = _in_circle(rows, centre, radius, bool(flag) and self.plain)
        made = [Label(rows, centre, -35.0, radius, bool(flag) and self.plain, inside)]
        if not self.plain:
            at = centre
            told: tuple[str, ...] = (f"BALL Ø {self.how.value}", "PASSES BESIDE")
            if self.how.kind == CUBE:
                told = (f"CUBE {self.how.value}",)
            elif self.how.kind == STRIP and self.beside:
                told = (f"BALL Ø {self.how.value}", "ABOVE NOSINGS")
            elif self.how.kind == STRIP:
                told = (f"{self.how.value} SQUARE", "ABOVE NOSINGS")
            if self.how.corners:
                (ax, ay), (bx, by) = (view.at(self.how.corners[k]) for k in (0, 3))
                at = ((ax + 3 * bx) / 4, (ay + 3 * by) / 4)
            made.append(Label((*flag, *told), at, 150.0, 0.0, bool(flag)))
        gap_x = _nosing_in(self.section, self.window)
        if gap_x is not None and self.section.bottom_gap > 0:
            at = view.at((gap_x, line_height(self.section, gap_x) + self.section.bottom_gap / 2))
            prefer = 60.0 if at[0] > (frame[0] + frame[2]) / 2 else 150.0
            made.append(
                Label((f"{self.text(self.section.bottom_gap)} BOTTOM GAP", "PLUMB"), at, prefer)
            )
        return made + _part_names(
            self.solution.job, self.section, self.opening, view, frame, self.text
        )


def opening_detail(solution: Solution, part: SectionSolution) -> Detail | None:
    """The opening under the rail that is nearest to failing, with its limit and its verdict."""
    found = [
        (opening, finding)
        for opening, finding in zip(part.section.openings, part.openings, strict=False)
        if opening.kind in BELOW_RAIL
    ]
    if not found:
        return None
    opening, finding = max(found, key=lambda pair: (pair[1].fails, round(pair[0].diameter, 6)))
    how = tried(solution, part.section, opening, finding)
    name, around = f"Opening under the rail, {opening.place}", (23.0, 14.5, 23.0, 9.5)
    return OpeningDetail(solution, part, name, opening.center, around, opening, finding, how)


def _limit(how: Tried, opening: Opening, limit: float, view: View) -> Primitive:
    """The ball or the cube of the limit, where the one that passes is drawn."""
    if how.kind == CUBE:
        corners = view.all_at(square_about(how.center, limit, how.angle))
        return path(corners, "limit-cube", closed=True)
    at = how.center if how.corners else opening.center
    return ring(view.at(at), view.length(limit / 2), "limit-ball")


def _in_circle(
    rows: tuple[str, ...], centre: Point, radius: float, flag: bool
) -> tuple[Candidate, ...]:
    """Places for a circle's lettering within it: what it measures over the cross at its middle,
    what it is under it."""
    x, y = centre
    *over, last = rows
    group, pitch = ("failure", PITCH + 0.8) if flag else ("label", PITCH)
    top = y + 3.4 + (len(over) - 1) * pitch
    found = []
    for aside in (0.0, -2.0, 2.0, -4.0, 4.0, -6.0, 6.0):
        texts = tuple(
            text
            for told, base, apart in ((over, top, pitch), (last.split(), y - 3.4 - SMALL, PITCH))
            for text in text_rows(told, (x + aside, base), group, apart, anchor="middle",
                                  owner=rows[0])
        )  # fmt: skip
        corners = [corner for one in texts for corner in box_of(one, CLEARANCE).corners()]
        if max(math.dist(corner, centre) for corner in corners) < radius - CLEARANCE:
            found.append(flagged(Candidate(texts), 0.0) if flag else Candidate(texts))
    return tuple(found)


def touched(opening: Opening) -> list[tuple[float, float]]:
    """Where the largest circle of an opening touches what is around it [units of the work]."""
    x, y = opening.center
    radius = opening.drawn_diameter / 2
    found: list[tuple[float, float]] = []
    outline = opening.outline
    for piece in zip(outline, (*outline[1:], *outline[:1]), strict=True):
        at = nearest_on(piece, (x, y))
        near = abs(math.dist(at, (x, y)) - radius) < 1e-4 * radius
        if near and all(math.dist(at, other) > 1e-3 * radius for other in found):
            found.append(at)
    return found


def _part_names(
    job: Job, section: Section, opening: Opening, view: View, frame: Area, text: LengthText
) -> list[Label]:
    """The rail's depth, and on a flight the tread's thickness and nosing."""
    rail = section.bays[(opening.bay or 1) - 1].bottom_rail
    (x0, y0), (x1, y1) = rail[0], rail[3]
    depth = (rail[1][1] - rail[0][1], rail[1][0] - rail[0][0])
    x = min(max(opening.center[0] - opening.drawn_diameter * 0.55, x0), x1)
    y = y0 + (y1 - y0) * (x - x0) / (x1 - x0)
    at = view.at((x + depth[1] * 0.6, y + depth[0] * 0.6))
    rows = ("BOTTOM RAIL", f"{text(job.panel.bottom_rail, True)} DEEP")
    wide = math.hypot(*depth)
    inside: tuple[Candidate, ...] = ()
    if view.length(wide) > SMALL + 3 * CLEARANCE:
        low = view.at(((rail[0][0] + rail[1][0]) / 2, (rail[0][1] + rail[1][1]) / 2))
        high = view.at(((rail[2][0] + rail[3][0]) / 2, (rail[2][1] + rail[3][1]) / 2))
        inside = _along(", ".join(rows), rows[0], low, high, frame)
    made = [Label(rows, at, 120.0, places=inside)]
    thick = float(section.flight.tread_thickness) if section.flight is not None else 0.0
    if section.flight is not None and opening.tread is not None and thick > 0:
        nose_x, nose_y = section.nosings[opening.tread - 1]
        x, y = view.at((nose_x, nose_y - thick / 2))
        told = [f"TREAD {opening.tread}, {text(thick, True)} THICK"]
        if section.flight.nosing > 0:
            told.append(f"{text(float(section.flight.nosing), True)} NOSING")
        inside = ()
        if view.length(thick) >= SMALL + 3 * CLEARANCE:  # in the tread
            spots = [(x + far, y - SMALL / 2, "left", 0.0) for far in (3.0, 5.0, 7.0, 9.0)]
            inside = places_at((", ".join(told),), spots, "label", owner=told[0])
        made.append(Label(tuple(told), (x, y), -150.0, places=inside))
    return made


def _along(words: str, owner: str, low: Point, high: Point, frame: Area) -> tuple[Candidate, ...]:
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


def _nosing_in(section: Section, window: Area) -> float | None:
    """A nosing within the window, the first one."""
    x0, _, x1, _ = window
    inner = [x for x, y in section.nosings if x0 + 0.1 * (x1 - x0) < x < x1 - 0.1 * (x1 - x0)]
    return inner[0] if inner else None


def _opening_dimensions(
    section: Section, opening: Opening, window: Area, frame: Area, text: LengthText
) -> list[Dimension]:
    x0, y0, x1, y1 = window
    if section.kind != "flight":
        gap = section.bottom_gap
        if gap <= 0:
            return []
        return [
            Dimension("bottom gap", PLUMB, ((x1, 0.0), (x1, gap)), gap, text(gap),
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
        made.append(Dimension("unit run", LEVEL, (low, high), run, text(run, True), frame[1] - 9.0))
        made.append(
            Dimension("unit rise", PLUMB, ((high[0], low[1]), high), rise, text(rise, True),
                      frame[2] + 9.0)
        )  # fmt: skip
    elif inner:
        x, y = inner[0]
        below = [value for _, value in section.nosings if value < y]
        foot = max(below, default=0.0)
        if foot > y0:
            made.append(
                Dimension("unit rise", PLUMB, ((x, foot), (x, y)), y - foot, text(y - foot),
                          frame[2] + 9.0)
            )  # fmt: skip
    return made
