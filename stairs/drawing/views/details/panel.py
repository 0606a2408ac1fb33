"""The panel as a detail: heights, pitch, clear gap and the square distance between its rails.

A panel is too tall for a large scale, and all that matters of it is at its two rails.  So a strip
between them, along the rake, is left out between two break lines where that lets a larger scale
fit; dimensions across it are lettered as they are.
"""

from __future__ import annotations

import math

from stairs.drawing.paper.primitives import FINE, Primitive, Stroke
from stairs.drawing.paper.view import View
from stairs.drawing.placing.dimensions import ALIGNED, LEVEL, PLUMB, Dimension, square_line
from stairs.drawing.placing.labelled_view import Label
from stairs.drawing.views.details.parts import Detail, Fold, shown_as
from stairs.drawing.views.elevation.elements import balusters, filler, rails


def panel_detail(answer, part) -> Detail | None:
    """A piece of the panel on its rake: heights, pitch, clear gap and square spacing. None where
    no bay has a baluster."""
    section, job = part.section, answer.job
    text = shown_as(job)
    bay = max(section.bays, key=lambda one: one.balusters)
    xs = bay.baluster_x
    if not xs:
        return None
    level = (xs[1] - xs[0]) if len(xs) > 1 else float(job.panel.pitch)
    count = min(len(xs), 3)
    first = max(0, (len(xs) - count) // 2)
    shown = xs[first : first + count]
    x0, x1 = shown[0] - level * 0.55, shown[-1] + level * 0.55
    slope = section.rail_line.slope

    def edge(outline, over: bool, at: float) -> float:
        (a, b), (c, d) = (outline[1], outline[2]) if over else (outline[0], outline[3])
        return b + (d - b) * (at - a) / (c - a)

    pad = float(job.panel.top_rail) * 0.6 + section.filler
    window = (x0, edge(bay.bottom_rail, False, x0) - pad, x1, edge(bay.top_rail, True, x1) + pad)
    middle = (edge(bay.bottom_rail, True, 0.0) + edge(bay.top_rail, False, 0.0)) / 2
    between = edge(bay.top_rail, False, 0.0) - edge(bay.bottom_rail, True, 0.0)
    most = max(between - 2.2 * level, 0.0)
    lean = math.sin(math.atan(slope)) * math.cos(math.atan(slope))
    rail = edge(bay.top_rail, True, 0.0) - edge(bay.top_rail, False, 0.0)
    least = between + rail - 0.72 * (x1 - x0) / lean if lean else 0.0  # the square line is seen
    fold = Fold(slope, middle, min(max(least, 0.0), most), most)

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
            clear = float(section.racked.baluster_clear)
            made.append(Dimension("clear between balusters", LEVEL, ends, clear,
                                  f"{text(clear)} CLEAR", "below", frame[1] - 9.0,
                                  short=text(clear)))  # fmt: skip
            ends = (axis(bay.top_rail, shown[0]), axis(bay.top_rail, shown[1]))
            made.append(Dimension("pitch", ALIGNED, ends, float(job.panel.pitch),
                                  f"{text(job.panel.pitch, True).upper()} PITCH", "along",
                                  view.length(float(job.panel.top_rail) / 2) + 9.0,
                                  short=text(job.panel.pitch, True)))  # fmt: skip
        for outline, name in ((bay.top_rail, "top"), (bay.bottom_rail, "bottom")):
            ends = ((x0, edge(outline, False, x0)), (x0, edge(outline, True, x0)))
            tall = ends[1][1] - ends[0][1]
            made.append(Dimension(f"{name} rail plumb", PLUMB, ends, tall, text(tall), "left",
                                  frame[0] - 9.0))  # fmt: skip
        return made

    def square(view) -> tuple:
        """On paper, the ends of the square measure from the lower rail's axis to the upper's."""
        gap = shown[-1] + level * 0.4
        x, y = view.at(axis(bay.bottom_rail, gap))
        top = view.at(axis(bay.top_rail, gap))[1]
        turn = math.atan(slope)
        apart = (top - y) * math.cos(turn)
        return (x, y), (x - apart * math.sin(turn), y + apart * math.cos(turn))

    sloped = bool(section.rake) and len(shown) > 1

    def over(view):  # lettered like a part, since its text would be struck by balusters
        return square_line(*square(view), "square between rails") if sloped else []

    def labels(view, frame):
        made = []
        if sloped:  # first, since it has the fewer places
            (ax, ay), (bx, by) = square(view)
            at = (ax + (bx - ax) * 0.15, ay + (by - ay) * 0.15)
            rows = (f"{text(float(section.racked.rail_spacing))} SQUARE", "BETWEEN RAILS")
            made.append(Label(rows, at, -30.0))
        along = shown[len(shown) // 2]
        y = edge(bay.bottom_rail, True, along) + level * 0.35
        made.append(
            Label((f"BALUSTER {text(job.panel.baluster, True)}",), view.at((along, y)), -20.0)
        )
        return made

    name = f"Panel on the rake of {section.rake:.1f}°" if section.rake else "Panel, level"
    return Detail(name, window, work, dimensions, labels, over, tall=True,
                  around=(24.0, 20.0, 28.0, 18.0), fold=fold, stands="Stands for all bays",
                  spot=(shown[len(shown) // 2], edge(bay.bottom_rail, True, 0.0) + between / 2
                        + slope * shown[len(shown) // 2]))  # fmt: skip


def break_lines(view: View, fold: Fold, window) -> list[Primitive]:
    """Two break lines along the rake, blank between them, where a strip is left out."""
    left, _, right, _ = window
    low = view.origin[1] + fold.level * view.unit
    apart = 2.4
    lift = -view.cut * view.unit / 2  # half of what is left out lies on either side

    def at(x: float, up: float):
        return (x, low + lift + fold.slope * (x - view.origin[0]) + up)

    corners = (at(left, -apart / 2), at(right, -apart / 2), at(right, apart / 2),
               at(left, apart / 2))  # fmt: skip
    drawn: list[Primitive] = [Stroke(corners, 0.0, "break", closed=True, fill="blank")]
    middle = (left + right) / 2
    for up in (-apart / 2, apart / 2):
        zigzag = (at(left, up), at(middle - 2.4, up), at(middle - 0.8, up + 1.6),
                  at(middle + 0.8, up - 1.6), at(middle + 2.4, up), at(right, up))  # fmt: skip
        drawn.append(Stroke(zigzag, FINE, "break"))
    return drawn
