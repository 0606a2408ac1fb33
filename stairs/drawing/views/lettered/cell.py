"""One view of a picture, and the letters on it.

A cell shows a window of the work at a place on paper; each dimension on it is a letter of the names
page.  Whatever the scale, dimension lines lie so many millimetres of paper off the work.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from msgspec import Struct
from msgspec.structs import replace

from stairs.drawing.paper.lettering import SMALL
from stairs.drawing.paper.primitives import Point, Primitive, Text
from stairs.drawing.paper.sheet_sizes import Scale
from stairs.drawing.paper.view import View
from stairs.drawing.placing.dimensions import ANGLE, LEVEL, PLUMB, Dimension
from stairs.drawing.placing.labelled_view import Stage
from stairs.drawing.placing.windows import through_window
from stairs.relations.quantities import NAMES_PAGE

_LETTERS = {one.name: one.symbol for group in NAMES_PAGE.values() for one in group}


class Cell(Struct):
    """One view of the picture, and the quantities lettered on it."""

    title: str
    view: View
    stage: Stage

    def across(
        self, name: str, one: Point, two: Point, kind: str, off: float, text: str = ""
    ) -> None:
        """Letter a quantity between two points, its line so far off the second [mm on paper]."""
        x, y = self.view.at(two)
        place = {LEVEL: y + off, PLUMB: x + off}.get(kind, off)
        self.stage.dimensions.append(
            Dimension(name, kind, (one, two), 0.0, text or _LETTERS[name], place)
        )

    def angle(self, name: str, vertex: Point, one: Point, two: Point, radius: float) -> None:
        """Letter an angle against the clock from one leg to the other [radius: mm on paper]."""
        points = (vertex, one, two)
        self.stage.dimensions.append(Dimension(name, ANGLE, points, 0.0, _LETTERS[name], radius))

    def drawn(self) -> list[Primitive]:
        """Everything of it, its title under it."""
        made = self.stage.letter()
        if self.stage.unplaced:
            raise ValueError(f"{self.title}: no room for {self.stage.unplaced}")
        left, bottom, right, _ = self.stage.area
        at = ((left + right) / 2, bottom - 1.0)
        return [*made, Text(self.title.upper(), at, SMALL, "title", "middle")]


def cell(
    title: str,
    scale: Scale,
    at: Point,
    window: tuple[float, float, float, float],
    work: Callable[[View], Sequence[Primitive]],
    around: tuple[float, float, float, float] = (14.0, 10.0, 14.0, 10.0),
) -> Cell:
    """A view whose window has its lower left corner at a place on paper [mm]."""
    flat = View(scale, "in")
    x, y = flat.at(window[:2])
    view = replace(flat, origin=(at[0] - x, at[1] - y))
    low, high = view.at(window[:2]), view.at(window[2:])
    left, below, right, above = around
    area = (low[0] - left, low[1] - below, high[0] + right, high[1] + above)
    stage = Stage(area, view)
    stage.add(through_window(work(view), (*low, *high)))
    return Cell(title, view, stage)
