"""Details of a section: what each shows, measures and says.

A :class:`Detail` names a window of the work and knows how to draw what is seen through it, which
dimensions it carries and what is lettered beside it.  The window is the least that must be seen;
where its cell has room it is opened wider, and what depends on it is told the window that is seen.
The rails' ends are in :mod:`stairs.drawing.views.details.ends`, the panel in
:mod:`stairs.drawing.views.details.panel`.
"""

from __future__ import annotations

from collections.abc import Callable

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
from stairs.drawing.views.kinds import LengthText
from stairs.guard.solving import Section
from stairs.job import Job
from stairs.lengths.tape_marks import Number, length_text, true_text
from stairs.solution import Solution


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
    """One detail."""

    name: str  # lettered under it
    # left, bottom, right and top of what must be shown [units of the work]
    window: tuple[float, float, float, float]
    # from a view to primitives, in the order in which they are drawn
    work: Callable[[View], list[Primitive]]
    # dimensions, labels: from a view and the window on paper to what stands beside it
    dimensions: Callable[[View, Area], list[Dimension]]
    labels: Callable[[View, Area], list[Label]]
    # from a view to lines that are not cut off by the window
    over: Callable[[View], list[Primitive]] | None = None
    tall: bool = False  # whether it wants a cell that is higher than wide
    # paper left beside the window for lettering [mm]
    around: tuple[float, float, float, float] | None = None
    # how many times wider and higher the window may be opened where there is room
    most: float = 1.0
    fold: Fold | None = None  # where a strip may be left out, so that a larger scale fits
    note: str = ""  # lettered under its scale
    spot: Point = (0.0, 0.0)  # what of it a mark on the elevation points at [units of the work]
    # what it stands for, in words that "of" and the sections' numbers follow; often empty
    stands: str = ""


def shown_as(job: Job) -> LengthText:
    """How lengths of a job are lettered on its details; with True those that the job gives, or that
    are laid off more than once."""

    def text(length: Number, exactly: bool = False) -> str:
        shown = true_text if exactly else length_text
        return shown(length, job.units, job.tape, unit=job.units == "in")

    return text


def everything(solution: Solution, section: Section, view: View) -> list[Primitive]:
    """The section as an elevation draws it, without lettering [mm on paper]."""
    job = solution.job
    far = view.length(20 * (float(section.flight.unit_run) if section.flight else 12.0)) + 400.0
    left, right = view.at((0.0, 0.0))[0] - far, view.at((section.posts[-1].x, 0.0))[0] + far
    return section_work(section, job, view, left, right)
