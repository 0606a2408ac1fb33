"""The panel as a detail: heights, pitch, clear gap and the square distance between its rails.

A panel is too tall for a large scale, and all that matters of it is at its two rails.  So a strip
between them, along the rake, is left out between two break lines where that lets a larger scale
fit; dimensions across it are lettered as they are.
"""

from __future__ import annotations

import math

from stairs.drawing.paper.primitives import Area, Point, Primitive, Stroke, path
from stairs.drawing.paper.view import View
from stairs.drawing.placing.dimensions import ALIGNED, LEVEL, PLUMB, Dimension, square_line
from stairs.drawing.placing.labelled_view import Label
from stairs.drawing.views.details.parts import Detail, Fold, FoldedView
from stairs.drawing.views.elevation.elements import balusters, edge_height, filler, rails
from stairs.parts.bays import Bay
from stairs.solution import SectionSolution, Solution


class PanelDetail(Detail, frozen=True):
    """A few balusters of a bay, with both rails over and under them."""

    bay: Bay
    shown: tuple[float, ...]  # middles of the balusters, level
    pitch: float  # from one to the next, level

    tall = True
    stands = "Stands for all bays"

    @property
    def ends(self) -> tuple[float, float]:
        """What is shown of it, level."""
        return self.shown[0] - self.pitch * 0.55, self.shown[-1] + self.pitch * 0.55

    @property
    def slope(self) -> float:
        """Of its rails, rise over run."""
        return self.section.rail_line.slope

    @property
    def sloped(self) -> bool:
        """Whether a measure square to the rails tells more than one plumb."""
        return bool(self.section.rake) and len(self.shown) > 1

    def rail(self, top: bool, over: bool, at: float) -> float:
        """Height of a rail's upper or under edge."""
        return edge_height(self.bay.top_rail if top else self.bay.bottom_rail, over, at)

    def axis(self, top: bool, at: float) -> Point:
        """A point of a rail's axis."""
        return at, (self.rail(top, True, at) + self.rail(top, False, at)) / 2

    @property
    def between(self) -> float:
        """From rail to rail, plumb."""
        return self.rail(True, False, 0.0) - self.rail(False, True, 0.0)

    @property
    def window(self) -> Area:
        """What of it must be shown."""
        (x0, x1), pad = self.ends, float(self.job.panel.top_rail) * 0.6 + self.section.filler
        return x0, self.rail(False, False, x0) - pad, x1, self.rail(True, True, x1) + pad

    @property
    def fold(self) -> Fold:
        """The strip between the rails that may be left out, so that the square line is seen."""
        x0, x1 = self.ends
        most = max(self.between - 2.2 * self.pitch, 0.0)
        turn = math.atan(self.slope)
        lean = math.sin(turn) * math.cos(turn)
        deep = self.rail(True, True, 0.0) - self.rail(True, False, 0.0)
        least = self.between + deep - 0.72 * (x1 - x0) / lean if lean else 0.0
        middle = (self.rail(False, True, 0.0) + self.rail(True, False, 0.0)) / 2
        return Fold(self.slope, middle, min(max(least, 0.0), most), most)

    def work(self, view: View) -> list[Primitive]:
        """Balusters, filler and rails."""
        return [
            *balusters(self.bay, view, float(self.job.panel.baluster)),
            *filler(self.bay, view, self.section.filler),
            *rails(self.bay, view),
        ]

    def dimensions(self, view: View, frame: Area) -> list[Dimension]:
        """Its height, the clear gap and the pitch, and the rails plumb."""
        panel, section, text, shown = self.job.panel, self.section, self.text, self.shown
        x0, x1 = self.ends
        tall = ((x1, self.rail(False, False, x1)), (x1, self.rail(True, True, x1)))
        made = [
            Dimension("panel height", PLUMB, tall, section.panel_height,
                      text(section.panel_height), frame[2] + 9.0)
        ]  # fmt: skip
        if len(shown) > 1:
            half, clear = float(panel.baluster) / 2, float(section.racked.baluster_clear)
            low = self.rail(False, True, shown[0] + half)
            ends = ((shown[0] + half, low), (shown[1] - half, low))
            made.append(Dimension("clear between balusters", LEVEL, ends, clear,
                                  f"{text(clear)} CLEAR", frame[1] - 9.0,
                                  short=text(clear)))  # fmt: skip
            ends = (self.axis(True, shown[0]), self.axis(True, shown[1]))
            pitch = text(panel.pitch, True)
            made.append(Dimension("pitch", ALIGNED, ends, float(panel.pitch),
                                  f"{pitch.upper()} SPACING",
                                  view.length(float(panel.top_rail) / 2) + 9.0,
                                  short=pitch))  # fmt: skip
        for top, name in ((True, "top"), (False, "bottom")):
            ends = ((x0, self.rail(top, False, x0)), (x0, self.rail(top, True, x0)))
            deep = ends[1][1] - ends[0][1]
            made.append(Dimension(f"{name} rail plumb", PLUMB, ends, deep, text(deep),
                                  frame[0] - 9.0))  # fmt: skip
        return made

    def square(self, view: View) -> tuple[Point, Point]:
        """On paper, the ends of the square measure from the lower rail's axis to the upper's."""
        gap = self.shown[-1] + self.pitch * 0.4
        x, y = view.at(self.axis(False, gap))
        top = view.at(self.axis(True, gap))[1]
        turn = math.atan(self.slope)
        apart = (top - y) * math.cos(turn)
        return (x, y), (x - apart * math.sin(turn), y + apart * math.cos(turn))

    def over(self, view: View) -> list[Primitive]:
        """The square measure; lettered like a part, since balusters would strike its text."""
        return square_line(*self.square(view), "square between rails") if self.sloped else []

    def labels(self, view: View, frame: Area) -> list[Label]:
        """The square measure, and a baluster's width."""
        made = []
        if self.sloped:  # first, since it has the fewer places
            (ax, ay), (bx, by) = self.square(view)
            at = (ax + (bx - ax) * 0.15, ay + (by - ay) * 0.15)
            rows = (f"{self.text(float(self.section.racked.rail_spacing))} SQUARE", "BETWEEN RAILS")
            made.append(Label(rows, at, -30.0))
        x = self.shown[len(self.shown) // 2]
        at = view.at((x, self.rail(False, True, x) + self.pitch * 0.35))
        made.append(Label((f"BALUSTER {self.text(self.job.panel.baluster, True)}",), at, -20.0))
        return made


def panel_detail(solution: Solution, part: SectionSolution) -> Detail | None:
    """A piece of the panel on its rake: heights, pitch, clear gap and square spacing. None where
    no bay has a baluster."""
    bay = max(part.section.bays, key=lambda one: one.balusters)
    xs = bay.baluster_x
    if not xs:
        return None
    count = min(len(xs), 3)
    first = max(0, (len(xs) - count) // 2)
    pitch = (xs[1] - xs[0]) if len(xs) > 1 else float(solution.job.panel.pitch)
    rake, around = part.section.rake, (24.0, 20.0, 28.0, 18.0)
    name = f"Panel on the rake of {rake:.1f}°" if rake else "Panel, level"
    shown = xs[first : first + count]
    x = shown[len(shown) // 2]
    under, over = edge_height(bay.bottom_rail, True, x), edge_height(bay.top_rail, False, x)
    return PanelDetail(solution, part, name, (x, (under + over) / 2), around, bay, shown, pitch)


def break_lines(view: FoldedView, fold: Fold, window: Area) -> list[Primitive]:
    """Two break lines along the rake, blank between them, where a strip is left out."""
    left, _, right, _ = window
    low = view.origin[1] + fold.level * view.unit
    apart = 2.4
    lift = -view.cut * view.unit / 2  # half of what is left out lies on either side

    def at(x: float, up: float) -> Point:
        return (x, low + lift + fold.slope * (x - view.origin[0]) + up)

    corners = (at(left, -apart / 2), at(right, -apart / 2), at(right, apart / 2),
               at(left, apart / 2))  # fmt: skip
    drawn: list[Primitive] = [Stroke(corners, 0.0, "break", closed=True, fill="blank")]
    middle = (left + right) / 2
    for up in (-apart / 2, apart / 2):
        zigzag = (at(left, up), at(middle - 2.4, up), at(middle - 0.8, up + 1.6),
                  at(middle + 0.8, up - 1.6), at(middle + 2.4, up), at(right, up))  # fmt: skip
        drawn.append(path(zigzag, "break"))
    return drawn
