"""Details of a section: what each shows, measures and says.

A :class:`Detail` has a window of the work and knows how to draw what is seen through it, which
dimensions it carries and what is lettered beside it.  The window is the least that must be seen;
where its cell has room it is opened wider, and what depends on it is told the window that is seen.
"""

from __future__ import annotations

from typing import ClassVar

from msgspec import Struct

from stairs.drawing.paper.primitives import (
    Area,
    Point,
    Primitive,
)
from stairs.drawing.paper.view import View
from stairs.drawing.placing.dimensions import Dimension
from stairs.drawing.placing.labelled_view import Label
from stairs.drawing.views.elevation.section_work import section_work
from stairs.drawing.views.kinds import LengthText, lettering_of
from stairs.guard.solving import Section
from stairs.job import Job
from stairs.solution import SectionSolution, Solution


class Fold(Struct, frozen=True):
    """A strip along a rake that a detail may leave out between two break lines."""

    slope: float  # of the strip, rise over run
    level: float  # height of its middle at the work's origin [units of the work]
    # least, most: the strip is at least so deep, where one is left out or what is measured needs
    # it, and at most so deep that enough is seen, plumb [units of the work]
    least: float
    most: float


class FoldedView(View, frozen=True):
    """A view that leaves out the strip of a fold: what lies over it is moved down.

    Points of the work keep their own coordinates, so dimensions across the break measure true.
    """

    fold: Fold | None = None  # where
    cut: float = 0.0  # how much is left out, plumb [units of the work]

    def at(self, point: Point) -> Point:
        """Where a point of the work lies [mm on paper]."""
        x, y = point
        if self.fold is not None and y > self.fold.level + self.fold.slope * x:
            y -= self.cut
        return (self.origin[0] + x * self.unit, self.origin[1] + y * self.unit)


def seen(view: View, frame: Area) -> tuple[float, float, float, float]:
    """The window that is seen, left, bottom, right and top [units of the work]."""
    return (*view.back(frame[:2]), *view.back(frame[2:]))


class Detail(Struct, frozen=True):
    """One detail of a section; each kind of it says what it shows, measures and letters."""

    solution: Solution
    part: SectionSolution
    name: str  # lettered under it
    spot: Point  # what of it a mark on the elevation points at [units of the work]
    around: Area  # paper left beside the window for lettering [mm]

    tall: ClassVar[bool] = False  # whether it wants a cell that is higher than wide
    most: ClassVar[float] = 1.0  # where there is room, opened as many times wider and higher

    @property
    def stands(self) -> str:
        """What it stands for, in words that "of" and the sections' numbers follow."""
        return ""

    @property
    def note(self) -> str:
        """Lettered under its scale."""
        return ""

    @property
    def window(self) -> Area:
        """What of it must be shown [units of the work]."""
        raise NotImplementedError

    @property
    def fold(self) -> Fold | None:
        """Where a strip may be left out, so that a larger scale fits."""
        return None

    @property
    def job(self) -> Job:
        return self.solution.job

    @property
    def section(self) -> Section:
        return self.part.section

    @property
    def text(self) -> LengthText:
        return lettering_of(self.job)

    def work(self, view: View) -> list[Primitive]:
        """What is seen through the window, in the order in which it is drawn."""
        return everything(self.solution, self.section, view)

    def over(self, view: View) -> list[Primitive]:
        """Lines that are not cut off by the window."""
        return []

    def dimensions(self, view: View, frame: Area) -> list[Dimension]:
        """What is measured, where the window lies so on paper."""
        raise NotImplementedError

    def labels(self, view: View, frame: Area) -> list[Label]:
        """What is lettered beside it, where the window lies so on paper."""
        raise NotImplementedError


def everything(solution: Solution, section: Section, view: View) -> list[Primitive]:
    """The section as an elevation draws it, without lettering [mm on paper]."""
    job = solution.job
    far = view.length(20 * (float(section.flight.unit_run) if section.flight else 12.0)) + 400.0
    left, right = view.at((0.0, 0.0))[0] - far, view.at((section.posts[-1].x, 0.0))[0] + far
    return section_work(section, job, view, left, right)
