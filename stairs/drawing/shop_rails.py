"""One rail on a shop sheet: the stock rail to scale, its cuts, its holes and their places.

The rail is seen from its side, laid level.  A hole is a centre line across it with a small ring;
those that are lost with the offcuts have no figures.  Figures stand upright under their marks and
are moved apart where marks are closer than lettering is high, each tied to its mark by a thin line.
"""

from __future__ import annotations

import math

from stairs.cuts import CutList, RailCut
from stairs.drawing.dimensions import STYLE, arrowhead
from stairs.drawing.flow import PITCH
from stairs.drawing.lettering import SMALL, USUAL, width_of, wrapped
from stairs.drawing.page import box, room_on
from stairs.drawing.paper import Paper, Scale, scales
from stairs.drawing.primitives import (
    DASHED,
    FINE,
    HAIR,
    HEAVY,
    THICK,
    THIN,
    Arc,
    Point,
    Primitive,
    Stroke,
    Text,
    line,
)
from stairs.marks import length_text

HEADROOM = 48.0
"""Room that a heading wants under it: about one rail [mm]."""
_OFF = 2.8  # from the stock rail's end to the figure of what comes off [mm]
_APART = 4.3  # between upright figures [mm]
_STUB = 2.2


def rail_scale(cuts: CutList, job, paper: Paper) -> Scale | None:
    """The largest scale at which every stock rail and its figures fit across the paper.

    Parameters
    ----------
    cuts : stairs.cuts.CutList
        With its rails.
    job : stairs.job.Job
        For units, tape and the depth of its rails.
    paper : Paper
        Lying.
    """
    left, bottom, right, top = room_on(paper)
    if max(len(cut.running) for cut in cuts.rails) * _APART > right - left:
        return None
    for scale in scales(job.units):
        unit = float(scale.paper_millimetres(job.units))
        side = max(_side(job, cut, unit) for cut in cuts.rails)
        fits = all(
            float(cut.stock or cut.length) * unit + 2 * side <= right - left for cut in cuts.rails
        )
        depth = float(job.panel.top_rail) * unit
        if fits and depth <= (top - bottom) / 4:
            return scale
    return None


def _side(job, cut: RailCut, unit: float) -> float:
    """Room beside a stock rail for what comes off, where it is too short to be lettered on it."""
    most = 0.0
    for off in (cut.trim_low, cut.trim_high):
        if off:
            words = length_text(off, job.units, job.tape, unit=job.units == "in")
            if not _on_offcut(words, float(off) * unit):
                most = max(most, width_of(words, SMALL), width_of("OFF", SMALL))
    return most + _OFF if most else 1.0


def _on_offcut(words: str, length: float) -> bool:
    """Whether an offcut on paper is long enough to carry its own figure."""
    return width_of(f"{words} OFF", SMALL) + 3.0 <= length


def stands_at(length: float, width: float) -> float:
    """Where a bar starts that stands in the middle of the page [mm].

    Parameters
    ----------
    length : float
        Of the bar on paper [mm].
    width : float
        Of the page's room [mm].

    Notes
    -----
    ``(w - l) / 2`` for a bar of length ``l`` in a room of width ``w``.
    """
    return (width - length) / 2


def rail_line(job, cut: RailCut, scale: Scale, width: float):
    """One rail with its top left corner at the origin, and the height that it takes [mm].

    Parameters
    ----------
    job : stairs.job.Job
        Panel, units and tape.
    cut : stairs.cuts.RailCut
        The rail.
    scale : Scale
        Of the drawing.
    width : float
        Of the page's room [mm].
    """
    unit = float(scale.paper_millimetres(job.units))

    def text(length) -> str:
        return length_text(length, job.units, job.tape)

    def figure(length) -> str:
        return length_text(length, job.units, job.tape, unit=job.units == "in")

    drawn: list[Primitive] = []
    y = -PITCH - 1.6
    heading, y = _heading(cut, text, y, width)
    drawn += heading
    rows = [row for words in _remarks(cut, text) for row in wrapped(words, SMALL, width)]
    for row in rows:
        y -= PITCH
        drawn.append(Text(row, (0.0, y), SMALL, "note"))
    for warning in cut.warnings:
        for row in wrapped(f"WARNING: {warning}", SMALL, width, bold=True):
            y -= PITCH
            drawn.append(Text(row, (0.0, y), SMALL, "note", bold=True))
    depth = float(job.panel.top_rail if cut.rail == "top" else job.panel.bottom_rail) * unit
    axis = y - 11.0 - depth / 2
    stock = cut.stock or cut.length
    start = stands_at(float(stock) * unit, width)
    low = start + float(cut.trim_low or 0) * unit
    high = low + float(cut.length) * unit
    drawn += _rail(job, cut, unit, (start, low, high, start + float(stock) * unit), axis, depth)
    drawn += _lengths(cut, figure, (start, low, high, start + float(stock) * unit), axis, depth)
    places = [*cut.running, cut.length]
    figures, lowest = running_line(places, figure, unit, low, axis - depth / 2 - 4.0, width, axis)
    drawn += figures
    return drawn, -lowest + 1.5


def _heading(cut: RailCut, text, y: float, width: float) -> tuple[list[Primitive], float]:
    """Name, cut and boxes to tick, and the base line of the lowest row."""
    name = f"RAIL {cut.name.upper()}"
    drawn: list[Primitive] = [Text(name, (0.0, y), USUAL, "rail-name")]
    x = width_of(name, USUAL) + 5.0
    stock = "no stock length is long enough" if cut.stock is None else f"from {text(cut.stock)}"
    saw = "square" if cut.saw_angle == 0 else f"{cut.saw_angle:.1f}° from square"
    if cut.askew is not None:
        saw += ", lower end askew"
    sides = "make 2; " if cut.quantity == 2 else ""
    words = f"{sides}cut {text(cut.length)} {stock}; saw {saw}; {cut.balusters} balusters"
    right = width
    for label in ("CHECKED", "CUT", "MARKED"):
        count = cut.quantity
        wide = 4.3 + width_of(label, SMALL) + (count - 1) * 3.8
        made: list[Primitive] = []
        for k in range(count):
            more, _ = box(right - wide + 3.8 * k, y, label if k == count - 1 else "")
            made += more
        drawn += made
        right -= wide + 4.0
    if x + width_of(words, SMALL) <= right:
        drawn.append(Text(words, (x, y), SMALL, "rail-name"))
        return drawn, y
    for row in wrapped(words, SMALL, width):  # too long to stand before the boxes
        y -= PITCH
        drawn.append(Text(row, (0.0, y), SMALL, "rail-name"))
    return drawn, y


def _remarks(cut: RailCut, text) -> list[str]:
    if cut.stock is None or not cut.running:
        return []
    words = (
        f"Holes lost: {cut.holes_lost_low} low, {cut.holes_lost_high} high. Left between cut and "
        f"nearest whole hole: {text(cut.edge_low)} low, {text(cut.edge_high)} high."
    )
    rows = [words]
    if cut.saw_angle:
        rows.append(
            f"Slanted cuts reach {text(cut.low.tip)} past the axis at the lower end, "
            f"{text(cut.high.tip)} at the upper."
        )
    if cut.askew is not None:
        miter, bevel = cut.saw_low
        rows.append(
            f"Lower end askew, underside on the table: miter {miter:.1f}°, bevel {bevel:.1f}°, "
            f"leaning to the {cut.askew.leans}"
            + ("; as a mirror image for the other hand." if cut.quantity == 2 else ".")
        )
    return rows


def _lean(cut: RailCut, depth: float) -> float:
    """How far the cut's upper end lies along the rail from its lower one, half of it [mm]."""
    return depth / 2 * math.tan(math.radians(cut.saw_angle))


def _rail(job, cut: RailCut, unit: float, places, axis: float, depth: float) -> list[Primitive]:
    start, low, high, end = places
    lean = _lean(cut, depth)
    top, foot = axis + depth / 2, axis - depth / 2
    drawn: list[Primitive] = []
    for a, b, lean_a, lean_b in ((start, low, 0.0, lean), (high, end, lean, 0.0)):
        if b - a > 1e-6:  # what comes off, struck through
            corners = ((a - lean_a, foot), (b - lean_b, foot), (b + lean_b, top), (a + lean_a, top))
            drawn.append(Stroke(corners, THIN, "offcut", DASHED, closed=True))
            drawn.append(line((a - lean_a, foot), (b + lean_b, top), HAIR, "offcut"))
    drawn.append(
        Stroke(((low - lean, foot), (high - lean, foot), (high + lean, top), (low + lean, top)),
               THICK, "rail", closed=True)
    )  # fmt: skip
    for x in (low, high):
        drawn.append(line(_past(x, lean, axis, depth, -1), _past(x, lean, axis, depth, 1), HEAVY,
                          "saw-cut"))  # fmt: skip
    ring = min(max(float(job.panel.baluster) * unit / 2, 0.5), depth * 0.42)
    if cut.first_hole is None:
        return drawn
    first, pitch, kept = float(cut.first_hole), float(job.panel.pitch), len(cut.running)
    lost = [first - k * pitch for k in range(1, cut.holes_lost_low + 1)]
    lost += [first + (kept - 1 + k) * pitch for k in range(1, cut.holes_lost_high + 1)]
    drawn += [Arc((low + place * unit, axis), ring, HAIR, "lost-hole") for place in lost]
    for k in range(kept):
        x = low + (first + k * pitch) * unit
        drawn.append(Arc((x, axis), ring, FINE, "hole"))
        drawn.append(line((x, foot), (x, top), HAIR, "hole"))
    return drawn


def _past(x: float, lean: float, axis: float, depth: float, way: int) -> Point:
    """The end of a saw mark, a little past the rail."""
    reach = depth / 2 + 1.6
    share = reach / (depth / 2)
    return (x + way * lean * share, axis + way * reach)


def _lengths(cut: RailCut, text, places, axis: float, depth: float) -> list[Primitive]:
    """What comes off either end and what stays, on one line over the rail."""
    start, low, high, end = places
    y = axis + depth / 2 + 5.0
    drawn: list[Primitive] = []
    for x in sorted({start, low, high, end}):
        drawn.append(line((x, axis + depth / 2 + 2.2), (x, y + STYLE.overrun), FINE, "dimension"))
        drawn.append(
            line((x - 0.78, y - 0.78), (x + 0.78, y + 0.78), STYLE.tick_weight, "dimension")
        )
    drawn.append(line((start, y), (end, y), FINE, "dimension"))
    words = f"CUT {text(cut.length)}"
    short = width_of(words, SMALL) + 3.0 > high - low  # then it stands over the ticks
    lift = STYLE.overrun + 0.9 if short else STYLE.above
    middle = Text(words, ((low + high) / 2, y + lift), SMALL, "dimension", "middle",
                  owner="cut length")  # fmt: skip
    drawn.append(middle)
    if cut.stock is None:
        return drawn
    ends = ((cut.trim_low, start, low, -1), (cut.trim_high, end, high, 1))
    for off, x, inner, way in ends:
        if not off:
            continue
        if _on_offcut(text(off), abs(inner - x)):
            at = ((x + inner) / 2, y + STYLE.above)
            drawn.append(Text(f"{text(off)} OFF", at, SMALL, "dimension", "middle",
                              owner="offcut"))  # fmt: skip
            continue
        anchor = "right" if way < 0 else "left"
        for words, lift in ((text(off), 0.6), ("OFF", 0.6 - PITCH)):
            at = (x + way * (_OFF - 0.6), y + lift - 0.4)
            drawn.append(Text(words, at, SMALL, "dimension", anchor, owner="offcut"))
    return drawn


def spread(wanted: list[float], apart: float, low: float, high: float) -> list[float]:
    """Places as near to the wanted ones as may be, in order and no closer than ``apart``.

    Parameters
    ----------
    wanted : list of float
        Growing.
    apart : float
        Least distance.
    low, high : float
        Where they must lie; there has to be room.

    Notes
    -----
    Least squares in order with a least distance is the regression of the wanted places, each less
    its number times the distance, on a growing sequence: neighbours that would overlap share their
    mean.

    Examples
    --------
    >>> spread([0.0, 1.0, 20.0], 4.0, -10.0, 30.0)
    [-1.5, 2.5, 20.0]
    """
    blocks: list[list[float]] = []  # sum, count
    for k, place in enumerate(wanted):
        blocks.append([place - k * apart, 1.0])
        while len(blocks) > 1 and blocks[-2][0] / blocks[-2][1] > blocks[-1][0] / blocks[-1][1]:
            total, count = blocks.pop()
            blocks[-1][0] += total
            blocks[-1][1] += count
    level = [total / count for total, count in blocks for _ in range(int(count))]
    most = high - (len(wanted) - 1) * apart
    return [min(max(place, low), most) + k * apart for k, place in enumerate(level)]


def running_line(
    places, text, unit: float, origin: float, y: float, width: float, axis: float
) -> tuple[list[Primitive], float]:
    """Running dimensions from one end, figures upright under the line, and how low they reach.

    Parameters
    ----------
    places : sequence of Fraction
        From the origin, growing [units of the work].
    text : callable
        From a length to its figure.
    unit : float
        Paper length of one unit of the work [mm].
    origin, y : float
        Where the line starts [mm].
    width : float
        Of the page's room [mm].
    axis : float
        Height up to which the origin is carried [mm].
    """
    marks = [origin + float(place) * unit for place in places]
    drawn: list[Primitive] = [Arc((origin, y), 0.9, FINE, "dimension", owner="origin")]
    drawn.append(line((origin, axis), (origin, y + 0.9), HAIR, "dimension", owner="origin"))
    before = origin
    for x in marks:
        if x - before > 1e-6:
            drawn.append(line((before, y), (x, y), FINE, "dimension"))
            if x - before > STYLE.arrow + 0.6:
                drawn.append(arrowhead((x, y), 0.0, "running"))
            else:
                drawn.append(Arc((x, y), 0.35, FINE, "dimension", fill="ink"))
        before = x
    # the figure's middle stands under its mark
    set_at = spread(marks, _APART, SMALL, width)
    longest = 0.0
    for place, x, at in zip(places, marks, set_at, strict=True):
        words = text(place)
        knee = y - 1.2 - _STUB
        drawn.append(Stroke(((x, y - 0.6), (at, knee), (at, knee - 0.8)), HAIR, "dimension"))
        drawn.append(Text(words, (at + SMALL / 2, knee - 1.6), SMALL, "dimension", "right", 90.0,
                          owner="running"))  # fmt: skip
        longest = max(longest, width_of(words, SMALL))
    return drawn, y - 1.2 - _STUB - 1.6 - longest
