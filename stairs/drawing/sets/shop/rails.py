"""Rails on a shop sheet, as they are bought and cut: each stock rail as a bar, and what it makes.

Which rails go together in one stock rail is the cutting plan's to say; here it is drawn, to scale,
stock rails that are cut alike once.  Over a bar run the places of its saw cuts from the stock
rail's lower end, so that all can be marked before the first is sawn; under it, from the lower cut
of each rail, the places of its balusters.  A broken outline is what comes off, with the holes that
go with it.  A rail that no stock length holds stands alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from msgspec import Struct

from stairs.drawing.paper.lettering import PITCH, SMALL, USUAL, text_rows, width_of, wrapped
from stairs.drawing.paper.primitives import (
    FINE,
    HAIR,
    TOUCH,
    Primitive,
    Segment,
    Text,
    line,
    path,
    ring,
)
from stairs.drawing.paper.sheet_sizes import Paper, Scale, scales
from stairs.drawing.placing.dimensions import STYLE, arrowhead
from stairs.drawing.sheets.page import box, room_on
from stairs.drawing.sheets.page_text import Flow
from stairs.drawing.sheets.sheet_words import figure, on_tape
from stairs.job import Job
from stairs.lengths.tape_marks import floor_to_mark
from stairs.lists.cut_list import CutList, RailCut
from stairs.lists.cutting_plan import Cut, CuttingPlan, CutUp, Placed, StockRail
from stairs.lists.rail_plans import RailPlan
from stairs.report.cuts_text import flaw_text, saw_words
from stairs.report.plans_text import WHY_NOT, bought_text
from stairs.solution import Solution

_APART = 4.3  # between upright figures [mm]
_STUB = 2.2
_OVER = 2.2  # from a bar to the names over it [mm]


class Bar(Struct, frozen=True):
    """Stock rails that are cut alike."""

    # their numbers in the job's plans, from 1; empty for a rail that no stock length holds
    numbers: tuple[int, ...]
    cut_up: tuple[CutUp, ...]  # one for each
    rails: tuple[str, ...]  # "top", "bottom" or both: what is cut from this stock
    why: str = ""  # why no stock length holds it; else empty

    @property
    def names(self) -> list[list[str]]:
        """Of each place along the bar, the rails that come from there, in the bars' order."""
        return [
            [one.piece.name for one in alike]
            for alike in zip(*(cut.placed for cut in self.cut_up), strict=True)
        ]


def bars_of(plans: Sequence[RailPlan]) -> list[list[Bar]]:
    """What is drawn of each plan: stock rails cut alike together, then rails without a stock."""
    number, made = 0, []
    for one in plans:
        alike: dict[tuple[object, ...], list[tuple[int, CutUp]]] = {}
        for cut_up in one.plan.rails:
            number += 1
            shape = tuple(
                (placed.start, placed.end, placed.holes_from, placed.piece.first_hole,
                 placed.piece.low, placed.piece.high)
                for placed in cut_up.placed
            )  # fmt: skip
            alike.setdefault((cut_up.stock, shape), []).append((number, cut_up))
        bars = [
            Bar(tuple(n for n, _ in same), tuple(cut for _, cut in same), one.rails)
            for same in alike.values()
        ]
        for piece, why in one.plan.unplaced:
            low = piece.low.tip
            stock = StockRail(low + piece.length + piece.high.tip, low + piece.first_hole, 0)
            placed = Placed(piece, low, low + piece.length, 0, 0)
            bars.append(Bar((), (CutUp(stock, (placed,), ()),), one.rails, WHY_NOT[why]))
        made.append(bars)
    return made


def rail_scale(plans: Sequence[RailPlan], job: Job, paper: Paper) -> Scale | None:
    """The largest scale at which every stock rail and its figures fit across the paper."""
    left, bottom, right, top = room_on(paper)
    bars = [bar.cut_up[0] for group in bars_of(plans) for bar in group]
    figures = max((sum(p.piece.holes + 1 for p in bar.placed) for bar in bars), default=0)
    if figures * _APART > right - left:
        return None
    longest = max((bar.stock.length for bar in bars), default=Fraction(1))
    deepest = max(job.panel.top_rail, job.panel.bottom_rail)
    for scale in scales(job.units):
        unit = scale.paper_millimetres(job.units)
        if longest * unit <= right - left - 4.0 and deepest * unit <= (top - bottom) / 4:
            return scale
    return None


def stock_flow(
    flow: Flow, solution: Solution, cuts: CutList, plans: Sequence[RailPlan], scale: Scale
) -> None:
    """Every stock rail of a job, and every rail that none holds."""
    by_name = {name: cut for cut in cuts.rails for name in cut.piece_names}
    for one, bars in zip(plans, bars_of(plans), strict=True):
        _words(flow, solution.job, one)
        for bar in bars:
            flow.put(*_bar(solution.job, bar, by_name, scale, flow.width))


def _words(flow: Flow, job: Job, one: RailPlan) -> None:
    plan = one.plan
    flow.heading(f"{' and '.join(one.rails).capitalize()} rails", room=52.0)
    if plan.rails:
        bought = ", ".join(
            f"{count} of {on_tape(job, length)}" for length, count in plan.stock_counts
        )
        flow.paragraph(
            f"Stock to buy: {bought}; {bought_text(job, plan.bought)} of rail, "
            f"{float(plan.waste / plan.bought):.0%} waste. The saw's kerf is taken as "
            f"{_kerf(job, plan)}; saw on the waste side of each mark."
        )


def _kerf(job: Job, plan: CuttingPlan) -> str:
    if (plan.kerf / job.tape).denominator == 1:
        return on_tape(job, plan.kerf)
    return f"{float(plan.kerf):g}" + ('"' if job.units == "in" else " mm")


# --------------------------------------------------------------------------- one bar


def _bar(
    job: Job, bar: Bar, by_name: dict[str, RailCut], scale: Scale, width: float
) -> tuple[list[Primitive], float]:
    """One bar with its top left corner at the origin, and the height that it takes [mm]."""
    unit = float(scale.paper_millimetres(job.units))
    rail = bar.cut_up[0]
    drawn, y = _heading(job, bar, width)
    for words, bold in _remarks(bar, by_name, job):
        for row in wrapped(words, SMALL, width, bold=bold):
            y -= PITCH
            drawn.append(Text(row, (0.0, y), SMALL, "note", bold=bold))
    length = float(rail.stock.length) * unit
    start = (width - length) / 2
    names = [
        wrapped(", ".join(name.upper() for name in names), SMALL, max(
            float(placed.piece.length) * unit - 2.0, 8.0))
        for names, placed in zip(bar.names, rail.placed, strict=True)
    ]  # fmt: skip
    # over the bar the names, over these the places of the cuts
    cuts = [place for placed in rail.placed for place in (placed.start, placed.end)]
    over = _OVER + max(map(len, names)) * PITCH + 1.6
    tall = 0.0
    if not bar.why:
        tall = 6.0 + max(width_of(figure(job, place), SMALL) for place in cuts)
    depth = float(job.panel.top_rail if "top" in bar.rails else job.panel.bottom_rail) * unit
    top = y - 2.4 - tall - over
    foot = top - depth
    axis = (top + foot) / 2
    if not bar.why:
        marks = [(start, [(start + float(place) * unit, figure(job, place)) for place in cuts])]
        drawn += running_lines(marks, top + over, width, axis, up=True)
        outline = ((start, foot), (start + length, foot), (start + length, top), (start, top))
        drawn.append(path(outline, "stock", closed=True))
        drawn += _leftovers(rail, start, unit, top, foot)
    radius = min(max(float(job.panel.baluster) * unit / 2, 0.5), depth * 0.42)
    pitch, taken, lines = job.panel.pitch, set(), []
    for placed, rows, owners in zip(rail.placed, names, bar.names, strict=True):
        low, high = start + float(placed.start) * unit, start + float(placed.end) * unit
        drawn += _piece(placed, (low, high), unit, (top, foot), owners[0])
        cut = by_name[owners[0]]
        for k in range(placed.piece.holes):
            x = low + float(placed.piece.first_hole + k * pitch) * unit
            drawn.append(ring((x, axis), radius, "hole", FINE))
            drawn.append(line((x, foot), (x, top), "hole", HAIR))
            taken.add(placed.holes_from + k)
        at = ((low + high) / 2, top + _OVER + (len(rows) - 1) * PITCH)
        drawn += text_rows(rows, at, "piece-name", anchor="middle", owner=owners[0])
        places = [*cut.running, cut.length]
        lines.append((low, [(low + float(at) * unit, figure(job, at)) for at in places]))
    for k in range(rail.stock.holes):
        if k + 1 not in taken:
            x = start + float(rail.stock.first_hole + k * pitch) * unit
            drawn.append(ring((x, axis), radius, "lost-hole"))
    drawn += running_lines(lines, foot - 4.0, width, axis)
    longest = max(width_of(words, SMALL) for _, marks in lines for _, words in marks)
    return drawn, -(foot - 4.0 - 1.2 - _STUB - 1.6 - longest) + 3.0


def _heading(job: Job, bar: Bar, width: float) -> tuple[list[Primitive], float]:
    """Which stock rails, what is left over and boxes to tick, and the base line."""
    rail, count = bar.cut_up[0], len(bar.cut_up)
    y = -PITCH - 1.6
    name = f"STOCK {', '.join(map(str, bar.numbers))}: {on_tape(job, rail.stock.length)}"
    if bar.why:
        name = f"NOT CUT: {bar.names[0][0].upper()}"
    elif count > 1:
        name += f", {count} off"
    drawn: list[Primitive] = [Text(name, (0.0, y), USUAL, "stock-name")]
    right = width
    for label in ("CHECKED", "CUT", "MARKED"):
        wide = 4.3 + width_of(label, SMALL) + (count - 1) * 3.8
        for k in range(count):
            drawn += box(right - wide + 3.8 * k, y, label if k == count - 1 else "")[0]
        right -= wide + 4.0
    told = bar.why
    if not told:
        marks = [floor_to_mark(each, job.tape) for each in rail.leftovers]
        left = [on_tape(job, each) for each in sorted(marks, reverse=True) if each > 0]
        told = f"left over: {', '.join(left) or 'nothing'}"
    x = width_of(name, USUAL) + 5.0
    if x + width_of(told, SMALL) <= right:
        drawn.append(Text(told, (x, y), SMALL, "stock-name"))
        return drawn, y
    rows = wrapped(told, SMALL, width)
    return drawn + text_rows(rows, (0.0, y - PITCH), "stock-name"), y - PITCH * len(rows)


def _remarks(bar: Bar, by_name: dict[str, RailCut], job: Job) -> list[tuple[str, bool]]:
    """What to know of each rail of a bar, those that are alike together; True for a warning."""
    alike: dict[tuple[object, ...], list[int]] = {}
    for index, names in enumerate(bar.names):
        cut = by_name[names[0]]
        key = (cut.length, cut.running, *((end.cut, end.edge) for end in (cut.low, cut.high)))
        alike.setdefault(key, []).append(index)
    rows = []
    for places in alike.values():
        cut = by_name[bar.names[places[0]][0]]
        told = ", ".join(name for index in places for name in bar.names[index])
        words = f"{told}: {on_tape(job, cut.length)} long, saw {saw_words(cut)}; "
        words += "1 baluster" if cut.balusters == 1 else f"{cut.balusters} balusters"
        holes = [
            f"{placed.holes_from} to {placed.holes_to}"
            for placed in (bar.cut_up[0].placed[index] for index in places)
            if placed.holes_from
        ]
        if holes:
            words += f" in the stock's holes {' and '.join(holes)}"
        if cut.low.edge is not None and cut.high.edge is not None:
            words += (
                f"; {on_tape(job, cut.low.edge)} from the lower cut to the next hole, "
                f"{on_tape(job, cut.high.edge)} from the upper"
            )
        rows.append((f"{words}.", False))
        if cut.low.cut.tip or cut.high.cut.tip:
            reach = (
                f"Slanted cuts reach {on_tape(job, cut.low.cut.tip)} past the axis at the lower "
                f"end, {on_tape(job, cut.high.cut.tip)} at the upper."
            )
            rows.append((reach, False))
        if cut.askew is not None:
            words = (
                f"Lower end askew, underside on the table: miter {cut.low.miter:.1f}°, "
                f"bevel {cut.low.bevel:.1f}°, leaning to the {cut.askew.leans}. The face toward "
                "you is the right-hand one; the thin broken line is the cut on the other."
            )
            rows.append((words, False))
        # a warning of what comes off its own stock rail does not hold for this one
        warnings = "; ".join(flaw_text(job, flaw) for flaw in cut.flaws if flaw.of_holes)
        if warnings:
            rows.append((f"WARNING: {warnings}.", True))
    return rows


def _piece(
    placed: Placed, places: tuple[float, float], unit: float, edges: tuple[float, float], owner: str
) -> list[Primitive]:
    """The rail itself and its two cuts; where one is askew, as it shows on either face."""
    top, foot = edges
    cuts = [
        cut_lines(x, cut, unit, foot, top)
        for x, cut in zip(places, (placed.piece.low, placed.piece.high), strict=True)
    ]
    corners = (cuts[0][0][0], cuts[1][0][0], cuts[1][0][1], cuts[0][0][1])
    drawn: list[Primitive] = [path(corners, "piece", closed=True, fill="blank", owner=owner)]
    for near, far in cuts:
        start, end = _past(near, 1.2)
        drawn.append(line(start, end, "saw-cut"))
        if far != near:
            drawn.append(path(far, "saw-cut-behind"))
    return drawn


def _past(ends: Segment, reach: float) -> Segment:
    """A line across the rail carried on a little past both edges [mm]."""
    (x0, y0), (x1, y1) = ends
    share = reach / (y1 - y0)
    dx, dy = (x1 - x0) * share, reach
    return (x0 - dx, y0 - dy), (x1 + dx, y1 + dy)


def cut_lines(x: float, cut: Cut, unit: float, foot: float, top: float) -> tuple[Segment, Segment]:
    """Where a cut meets the face of the rail that is seen, its right-hand one, and the far one."""
    up, left = float(cut.up) * unit, float(cut.left) * unit
    near, far = (((x + side - up, foot), (x + side + up, top)) for side in (-left, left))
    return near, far


def _leftovers(rail: CutUp, start: float, unit: float, top: float, foot: float) -> list[Primitive]:
    """What ends in no rail, struck through."""
    edges = [Fraction(0)]
    for placed in rail.placed:
        edges += [placed.start, placed.end]
    edges.append(rail.stock.length)
    drawn: list[Primitive] = []
    for low, high in zip(edges[::2], edges[1::2], strict=True):
        a, b = start + float(low) * unit, start + float(high) * unit
        if b - a > 1.5:
            drawn.append(line((a, foot), (b, top), "leftover"))
    return drawn


# --------------------------------------------------------------------------- figures


def spread(wanted: list[float], apart: float, low: float, high: float) -> list[float]:
    """Places as near to the wanted ones as may be, in order and no closer than ``apart``.

    >>> spread([0.0, 1.0, 20.0], 4.0, -10.0, 30.0)
    [-1.5, 2.5, 20.0]
    """
    # Least squares in order with a least distance is the regression of the wanted places, each less
    # its number times the distance, on a growing sequence.
    from scipy.optimize import isotonic_regression

    level = isotonic_regression([place - k * apart for k, place in enumerate(wanted)]).x.tolist()
    most = high - (len(wanted) - 1) * apart
    return [min(max(place, low), most) + k * apart for k, place in enumerate(level)]


def running_lines(
    lines: Sequence[tuple[float, Sequence[tuple[float, str]]]],
    y: float,
    width: float,
    axis: float,
    up: bool = False,
) -> list[Primitive]:
    """Running dimensions side by side, each from its own origin, with upright figures."""
    way = 1 if up else -1
    drawn: list[Primitive] = []
    for origin, marks in lines:
        drawn.append(ring((origin, y), 0.9, "dimension", owner="origin"))
        drawn.append(line((origin, axis), (origin, y - way * 0.9), "dimension", HAIR,
                          owner="origin"))  # fmt: skip
        before = origin
        for x, _ in marks:
            if x - before > TOUCH:
                drawn.append(line((before, y), (x, y), "dimension"))
                if x - before > STYLE.arrow + 0.6:
                    drawn.append(arrowhead((x, y), 0.0, "running"))
                else:
                    drawn.append(ring((x, y), 0.35, "dimension", fill="ink"))
            before = x
    every = [mark for _, marks in lines for mark in marks]
    # the figure's middle stands at its mark
    for (x, words), at in zip(
        every, spread([x for x, _ in every], _APART, SMALL, width), strict=True
    ):
        knee = y + way * (1.2 + _STUB)
        drawn.append(
            path(((x, y + way * 0.6), (at, knee), (at, knee + way * 0.8)), "dimension", HAIR)
        )
        drawn.append(Text(words, (at + SMALL / 2, knee + way * 1.6), SMALL, "dimension",
                          "left" if up else "right", 90.0, owner="running"))  # fmt: skip
    return drawn
