"""The sheet: a view on paper with its border, title block, table of verdicts and notes.

A permit office reads the right-hand column first: whether everything passes, by which book, what
was checked and how it came out; then the notes, and at the foot the title block with its scale.
"""

from __future__ import annotations

from dataclasses import dataclass

from stairs.drawing.dimensions import Dimension
from stairs.drawing.elevation import elevation, room_needed
from stairs.drawing.facts import Facts, facts_of
from stairs.drawing.furniture import column, column_width, notes
from stairs.drawing.paper import BORDER, Paper, Scale, choose_sheet
from stairs.drawing.primitives import HEAVY, Primitive, rectangle
from stairs.drawing.view import View
from stairs.errors import SheetError


@dataclass(frozen=True, slots=True)
class Sheet:
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


def view_area(paper: Paper, foot: float = 0.0) -> tuple[float, float, float, float]:
    """Room for views beside the column: left, bottom, right and top [mm on paper].

    Parameters
    ----------
    paper : Paper
        The sheet.
    foot : float
        Height that notes take along the bottom [mm].
    """
    inset = BORDER + 1.5
    return (
        inset,
        inset + foot,
        float(paper.width) - BORDER - column_width(paper) - 1.5,
        float(paper.height) - inset,
    )


def draw_elevation(
    answer, section: int = 1, paper: str | None = None, scale: str | None = None
) -> Sheet:
    """The elevation of one section on a sheet of its own.

    Parameters
    ----------
    answer : stairs.answer.Answer
        The whole answer to a job.
    section : int
        From 1.
    paper : str, optional
        Name of a sheet size; the job's own, or the smallest that does, where it is left out.
    scale : str, optional
        A standard scale; the largest that fits where it is left out.

    Returns
    -------
    Sheet

    Raises
    ------
    stairs.errors.SheetError
        Nothing fits, or there is no such sheet or scale.
    """
    count = len(answer.sections)
    if not 1 <= section <= count:
        raise SheetError(
            "section",
            f"there is no section {section}",
            "The job has one section" if count == 1 else f"The job has sections 1 to {count}",
            "Count from 1, from the foot of the stair up",
        )
    facts = facts_of(answer, section)
    solved = answer.sections[section - 1].section
    return sheet_of_elevation(solved, answer.job, facts, paper or answer.job.sheet.paper, scale)


def sheet_of_elevation(
    solved, job, facts: Facts, paper: str | None = None, scale: str | None = None
) -> Sheet:
    """The same from a solved section and what is to be lettered beside it."""

    def foot_of(one: Paper):
        left, bottom, right, _ = view_area(one)
        return notes(facts, solved, job, left, right, bottom)

    def column_on(one: Paper, at: Scale, unplaced: tuple[str, ...] = ()):
        for compact in (0, 1, 2) if paper is not None else (0,):
            laid = column(one, at, facts, unplaced, compact)
            if laid is not None:
                return laid
        return None

    def fits(one: Paper, at: Scale) -> bool:
        left, bottom, right, top = view_area(one, foot_of(one)[1])
        width, height = room_needed(solved, at, job.units)
        if width > right - left or height > top - bottom:
            return False
        return column_on(one, at) is not None

    sheet, chosen = choose_sheet(fits, job.units, paper, scale)
    foot, foot_height = foot_of(sheet)
    area = view_area(sheet, foot_height)
    drawn = elevation(solved, job, facts, chosen, area)
    furniture = [*column_on(sheet, chosen, drawn.unplaced), *foot]
    border = rectangle(
        (BORDER, BORDER), (float(sheet.width) - BORDER, float(sheet.height) - BORDER), HEAVY,
        "border",
    )  # fmt: skip
    return Sheet(
        paper=sheet,
        scale=chosen,
        units=job.units,
        title=f"{facts.title}: {facts.view}",
        description=_description(facts, chosen, sheet, solved),
        date=facts.date,
        view=drawn.view,
        work=drawn.work,
        labels=drawn.labels,
        dimensions=drawn.dimensions,
        dimension_lines=drawn.dimension_lines,
        furniture=(border, *furniture),
        area=area,
        unplaced=drawn.unplaced,
    )


def _description(facts: Facts, scale: Scale, paper: Paper, solved) -> str:
    what = (
        f"{solved.risers} risers, {solved.treads} treads, rake {solved.rake:.1f} degrees"
        if solved.kind == "flight"
        else "level run"
    )
    failed = len(facts.failures)
    result = f"{failed} of {len(facts.verdicts)} checks fail" if failed else "no check fails"
    return (
        f"{facts.view} of a stair guard: {what}, {len(solved.posts)} posts, "
        f"{len(solved.bays)} bays. Scale {scale.words} on {paper.name}. By {facts.rules}, {result}."
    )
