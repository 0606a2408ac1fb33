"""The record of a finished sheet: its paper, the views on it, and what stands around them."""

from __future__ import annotations

from msgspec import Struct

from stairs.drawing.paper.primitives import HEAVY, Primitive
from stairs.drawing.paper.sheet_sizes import BORDER, Paper, Scale
from stairs.drawing.paper.view import View
from stairs.drawing.placing.dimensions import Dimension


class DrawnView(Struct, frozen=True):
    """One drawn view: scale and place, what is seen, its dimensions and its labels.

    Parameters
    ----------
    view : View
        Scale and place.
    work : tuple of Primitive
        The stair and the guard [mm on paper].
    dimensions : tuple of Dimension
        As data.
    dimension_lines : tuple of Primitive
        The same drawn, with their lettering.
    labels : tuple of Primitive
        Leaders and their lettering.
    unplaced : tuple of str
        Lettering for which there was no free place on the view.
    area : tuple of float
        Left, bottom, right and top of its room [mm on paper].
    """

    view: View
    work: tuple[Primitive, ...]
    dimensions: tuple[Dimension, ...]
    dimension_lines: tuple[Primitive, ...]
    labels: tuple[Primitive, ...]
    unplaced: tuple[str, ...]
    area: tuple[float, float, float, float]


class Sheet(Struct, frozen=True):
    """One finished sheet.

    Parameters
    ----------
    paper : Paper
        Its size.
    scale : Scale
        Of the view.
    units : str
        Units of the work, ``"in"`` or ``"mm"``.
    title : str
        For the file's own title.
    description : str
        What is drawn, in words, for a reader that cannot see.
    date : str
        As the user gives it; empty where none is given.
    view : View
        Scale and place of the view.
    work, labels : tuple of Primitive
        The stair with the guard, and what is written beside it [mm on paper].
    dimensions : tuple of Dimension
        As data.
    dimension_lines : tuple of Primitive
        The same drawn.
    furniture : tuple of Primitive
        Border, title block, table and notes.
    area : tuple of float
        Left, bottom, right and top of the room that the view stands in [mm on paper].
    unplaced : tuple of str
        What the view had no room to letter; it is in the column instead.
    parts : tuple of DrawnView
        The parts of a view that is broken at match lines; empty for a whole one.
    whole : DrawnView or None
        The same view unbroken, for a file that is not bound to paper; None for a whole one.
    following : tuple of Sheet
        Further sheets, where the parts of one view need more than one.
    """

    paper: Paper
    scale: Scale
    units: str
    title: str
    description: str
    date: str
    view: View
    work: tuple[Primitive, ...]
    labels: tuple[Primitive, ...]
    dimensions: tuple[Dimension, ...]
    dimension_lines: tuple[Primitive, ...]
    furniture: tuple[Primitive, ...]
    area: tuple[float, float, float, float]
    unplaced: tuple[str, ...] = ()
    parts: tuple[DrawnView, ...] = ()
    whole: DrawnView | None = None
    following: tuple[Sheet, ...] = ()

    @property
    def primitives(self) -> tuple[Primitive, ...]:
        """Everything on the sheet, in the order in which it is drawn."""
        return self.work + self.dimension_lines + self.labels + self.furniture

    @property
    def border(self) -> tuple[float, float, float, float]:
        """Left, bottom, right and top of the border line's outer edge [mm on paper]."""
        half = HEAVY / 2
        return (
            BORDER - half,
            BORDER - half,
            float(self.paper.width) - BORDER + half,
            float(self.paper.height) - BORDER + half,
        )
