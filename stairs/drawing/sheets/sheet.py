"""The record of a finished sheet: its paper, the views on it, and what stands around them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec import Struct

from stairs.drawing.paper.primitives import Area, Primitive
from stairs.drawing.paper.sheet_sizes import Paper, Scale
from stairs.drawing.paper.view import View
from stairs.drawing.placing.dimensions import Dimension
from stairs.drawing.placing.labelled_view import Stage
from stairs.drawing.sheets.title_block import TitleBlock


class DrawnView(Struct, frozen=True):
    """One drawn view: where it is, what is seen, its dimensions and its labels."""

    view: View
    work: tuple[Primitive, ...]  # the stair and the guard
    dimensions: tuple[Dimension, ...]  # as data
    dimension_lines: tuple[Primitive, ...]  # the same drawn, with their lettering
    labels: tuple[Primitive, ...]  # leaders and their lettering
    unplaced: tuple[str, ...]  # lettering for which there was no free place on the view
    area: Area  # its room


class Sheet(DrawnView, frozen=True):
    """A finished sheet: all its views together, and what stands around them.

    It has the parts of a view that is broken at match lines, or that several sections share, one by
    one in ``parts``; the same view unbroken in ``whole``, for a file that is not bound to paper;
    and the sheets after it in ``following``, where one view needs more than one.
    """

    paper: Paper
    units: str  # of the work, "in" or "mm"
    block: TitleBlock
    description: str  # what is drawn, in words, for a reader that cannot see
    furniture: tuple[Primitive, ...]  # border, title strip, column and notes
    parts: tuple[DrawnView, ...] = ()
    whole: DrawnView | None = None
    following: tuple[Sheet, ...] = ()

    @property
    def title(self) -> str:
        """For the file's own title."""
        return self.block.title

    @property
    def scale(self) -> Scale:
        """Of the view."""
        return self.view.scale

    @property
    def primitives(self) -> tuple[Primitive, ...]:
        """Everything on the sheet, in the order in which it is drawn."""
        return self.work + self.dimension_lines + self.labels + self.furniture


def together(views: Sequence[DrawnView], area: Area, unplaced: Iterable[str]) -> DrawnView:
    """Several views in one room as one, placed and scaled as the first."""
    return DrawnView(
        view=views[0].view,
        work=tuple(part for one in views for part in one.work),
        dimensions=tuple(part for one in views for part in one.dimensions),
        dimension_lines=tuple(part for one in views for part in one.dimension_lines),
        labels=tuple(part for one in views for part in one.labels),
        unplaced=tuple(unplaced),
        area=area,
    )


def drawn_on(stage: Stage, dimensions: Sequence[Dimension] | None = None) -> DrawnView:
    """What was lettered on a stage, with dimensions that were drawn by other means."""
    return DrawnView(
        view=stage.view,
        work=tuple(stage.work),
        dimensions=tuple(stage.dimensions if dimensions is None else dimensions),
        dimension_lines=tuple(stage.dimension_lines),
        labels=tuple(stage.lettering),
        unplaced=tuple(stage.unplaced),
        area=stage.area,
    )
