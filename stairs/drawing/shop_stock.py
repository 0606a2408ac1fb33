"""Cutting from stock on a shop sheet: every stock rail as a bar, and the rails that it makes.

Which rails go together in one stock rail is the cutting plan's to say; here it is drawn, to scale.
Each bar is one stock rail as bought: the pieces with their names as on the rail lines, the saw
cuts, and what is left over.  Figures run from the stock rail's lower end, so that all its cuts can
be marked before the first is sawn.
"""

from __future__ import annotations

from fractions import Fraction

from stairs.cuts import CutList
from stairs.cutting_plan import Cut, CuttingPlan, CutUp
from stairs.drawing.flow import PITCH, Flow
from stairs.drawing.lettering import SMALL, USUAL, width_of, wrapped
from stairs.drawing.page import Page, box, room_on
from stairs.drawing.paper import Paper, Scale, scales
from stairs.drawing.primitives import (
    DASHED,
    HAIR,
    HEAVY,
    THICK,
    THIN,
    Arc,
    Primitive,
    Stroke,
    Text,
    line,
)
from stairs.drawing.shop_rails import running_line, stands_at
from stairs.marks import floor_to_mark, length_text
from stairs.rail_plans import RailPlan, rail_plans

NAME = "Cutting from stock"


def stock_pages(answer, cuts: CutList, sheet: Paper) -> list[Page]:
    """The cutting plan drawn, not yet numbered; no page where nothing can be cut from stock.

    Parameters
    ----------
    answer : stairs.answer.Answer
        Of a job.
    cuts : stairs.cuts.CutList
        Of the same job.
    sheet : Paper
        Lying; so wide that every stock rail fits it at some scale.
    """
    plans = [one for one in rail_plans(cuts, answer.guard) if one.plan.rails or one.plan.unplaced]
    if not any(one.plan.rails for one in plans):
        return []
    flow = Flow(room_on(sheet))
    longest = max(rail.stock.length for one in plans for rail in one.plan.rails)
    units = answer.job.units
    scale = next(s for s in scales(units) if longest * s.paper_millimetres(units) <= flow.width)
    number = 0
    for one in plans:
        _words(flow, answer.job, one, first=number == 0)
        for rail in one.plan.rails:
            number += 1
            drawn, height = _bar(answer.job, number, rail, one, scale, flow.width)
            flow.put(drawn, height)
    return [
        Page(sheet, f"{NAME}, {k} of {len(flow.pages)}", scale.words, tuple(content),
             description="Stock rails and what is cut from each, to scale")
        for k, content in enumerate(flow.pages, start=1)
    ]  # fmt: skip


def _words(flow: Flow, job, one: RailPlan, first: bool) -> None:
    plan = one.plan

    def text(length: Fraction) -> str:
        return length_text(length, job.units, job.tape)

    flow.heading(f"{NAME}: {' and '.join(one.rails)} rails", room=52.0)
    if plan.rails:
        bought = ", ".join(f"{count} of {text(length)}" for length, count in plan.stock_counts)
        flow.paragraph(
            f"Stock to buy: {bought}; {text(plan.bought)} in all, of which "
            f"{float(plan.waste / plan.bought):.0%} is in no rail. The saw's kerf is taken as "
            f"{_kerf(job, plan)}; sawn on the waste side of each mark."
        )
    if first:
        flow.paragraph(
            "The rail lines show each rail on a stock rail of its own. Sawn as here, its holes "
            "come to lie in the same places. Figures run from the lower end of the stock rail."
        )
    for piece, why in plan.unplaced:
        flow.paragraph(f"Not cut: {piece.name}: {why}.", bold=True)


def _kerf(job, plan: CuttingPlan) -> str:
    if (plan.kerf / job.tape).denominator == 1:
        return length_text(plan.kerf, job.units, job.tape)
    return f"{float(plan.kerf):g}" + ('"' if job.units == "in" else " mm")


def _bar(job, number: int, rail: CutUp, one: RailPlan, scale: Scale, width: float):
    """One stock rail with its top left corner at the origin, and the height that it takes [mm]."""
    unit = float(scale.paper_millimetres(job.units))

    def text(length: Fraction) -> str:
        return length_text(length, job.units, job.tape)

    def figure(length: Fraction) -> str:
        return length_text(length, job.units, job.tape, unit=job.units == "in")

    y = -PITCH - 1.6
    name = f"STOCK {number}, {text(rail.stock.length)}"
    drawn: list[Primitive] = [Text(name, (0.0, y), USUAL, "stock-name")]
    marks = [floor_to_mark(each, job.tape) for each in rail.leftovers]
    left = [text(each) for each in sorted(marks, reverse=True) if each > 0]
    told = f"left over: {', '.join(left) or 'nothing'}"
    drawn.append(Text(told, (width_of(name, USUAL) + 5.0, y), SMALL, "stock-name"))
    wide = 4.3 + width_of("CUT", SMALL)
    drawn += box(width - wide, y, "CUT")[0]

    start = stands_at(float(rail.stock.length) * unit, width)
    names = [
        wrapped(placed.piece.name, SMALL, max(float(placed.piece.length) * unit - 1.0, 8.0))
        for placed in rail.placed
    ]
    lines = max(map(len, names), default=1)
    depth = float(job.panel.top_rail if "top" in one.rails else job.panel.bottom_rail) * unit
    axis = y - 2.6 - lines * PITCH - 1.6 - depth / 2
    top, foot = axis + depth / 2, axis - depth / 2
    end = start + float(rail.stock.length) * unit
    outline = ((start, foot), (end, foot), (end, top), (start, top))
    drawn.append(Stroke(outline, THIN, "stock", DASHED, closed=True))
    ring = min(max(float(job.panel.baluster) * unit / 2, 0.5), depth * 0.42)
    places: list[Fraction] = []
    pitch = job.panel.pitch
    for placed, rows in zip(rail.placed, names, strict=True):
        low, high = (start + float(at) * unit for at in (placed.start, placed.end))
        cuts = [
            cut_lines(x, cut, unit, foot, top)
            for x, cut in ((low, placed.piece.low), (high, placed.piece.high))
        ]
        corners = (cuts[0][0][0], cuts[1][0][0], cuts[1][0][1], cuts[0][0][1])
        drawn.append(Stroke(corners, THICK, "piece", closed=True, fill="blank",
                            owner=placed.piece.name))  # fmt: skip
        for near, far in cuts:
            drawn.append(line(*near, HEAVY, "saw-cut"))
            if far != near:
                drawn.append(Stroke(far, THIN, "saw-cut-behind", DASHED))
        for k in range(placed.piece.holes):
            hole = rail.stock.first_hole + (placed.holes_from - 1 + k) * pitch
            drawn.append(Arc((start + float(hole) * unit, axis), ring, HAIR, "hole"))
        for k, row in enumerate(rows):
            at = ((low + high) / 2, top + 1.6 + (len(rows) - 1 - k) * PITCH)
            drawn.append(Text(row, at, SMALL, "piece-name", "middle", owner=placed.piece.name))
        places += [placed.start, placed.end]
    drawn += _leftovers(rail, start, unit, top, foot)
    figures, lowest = running_line(places, figure, unit, start, foot - 4.0, width, axis)
    return drawn + figures, -lowest + 2.5


def cut_lines(x: float, cut: Cut, unit: float, foot: float, top: float):
    """Where a cut meets the face of the rail that is seen, its right-hand one, and the far one.

    Parameters
    ----------
    x : float
        The cut on the axis [mm on paper].
    cut : stairs.cutting_plan.Cut
        Its plane.
    unit : float
        Paper length of one unit of the work [mm].
    foot, top : float
        Heights of the rail's lower and upper edge [mm on paper].
    """
    up, left = float(cut.up) * unit, float(cut.left) * unit
    return tuple(((x + side - up, foot), (x + side + up, top)) for side in (-left, left))


def _leftovers(rail: CutUp, start: float, unit: float, top: float, foot: float):
    """What ends in no rail, struck through."""
    edges = [Fraction(0)]
    for placed in rail.placed:
        edges += [placed.start, placed.end]
    edges.append(rail.stock.length)
    drawn: list[Primitive] = []
    for low, high in zip(edges[::2], edges[1::2], strict=True):
        a, b = start + float(low) * unit, start + float(high) * unit
        if b - a > 1.5:
            drawn.append(line((a, foot), (b, top), HAIR, "leftover"))
    return drawn
