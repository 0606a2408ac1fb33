"""The sheet of an elevation: the view with border, title strip, table of verdicts and notes.

A permit office reads the right-hand column first: whether everything passes, by which book, what
was checked and how it came out; then the notes, and at the foot the scale with its bar.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence

from msgspec.structs import asdict, replace

from stairs.drawing.paper.lettering import USUAL
from stairs.drawing.paper.primitives import Area, Primitive, Text
from stairs.drawing.paper.sheet_sizes import (
    GOOD,
    Paper,
    Scale,
    choose_sheet,
    misfit,
    paper_named,
    papers_for,
    scale_named,
    scales,
)
from stairs.drawing.sheets.page import numbered_sheet
from stairs.drawing.sheets.sheet import Sheet, together
from stairs.drawing.sheets.sheet_words import Facts, facts_of
from stairs.drawing.sheets.side_column import (
    OWN_VALUES,
    Blocks,
    column,
    gaps_in_words,
    note_blocks,
    notes,
    posts_in_words,
    view_area,
)
from stairs.drawing.sheets.spoken import drawn_in_words
from stairs.drawing.sheets.title_block import TitleBlock
from stairs.drawing.views.elevation.elevation import Elevation, elevation, room_needed
from stairs.drawing.views.elevation.match_lines import parts_of
from stairs.drawing.views.kinds import Role, Told, lettering_of
from stairs.drawing.views.match_lines import Part, on_sheets, rooms_in
from stairs.errors import SheetError
from stairs.guard.solving import Section
from stairs.job import Job
from stairs.solution import Solution

_FOR_LISTS = 20.0  # room in a column for what a crowded view leaves to it [mm]
_LARGE = 400  # width of a sheet on which every check has room as a rule [mm]
PART_NAME = 9.0
"""Height that the name of a part of a broken view takes [mm]."""


@drawn_in_words
def draw_elevation(
    solution: Solution, section: int = 1, paper: str | None = None, scale: str | None = None
) -> Sheet:
    """The elevation of one section on a sheet of its own.

    Parameters
    ----------
    solution : stairs.solution.Solution
        The whole answer to a job.
    section : int
        From 1.
    paper : str, optional
        Name of a sheet size; the job's own, or the smallest that does, where it is left out.
    scale : str, optional
        A standard scale; the largest that fits where it is left out.

    Raises
    ------
    stairs.errors.SheetError
        Nothing fits, or there is no such sheet or scale.
    """
    count = len(solution.sections)
    if not 1 <= section <= count:
        raise SheetError(
            "section",
            f"there is no section {section}",
            "The job has one section" if count == 1 else f"The job has sections 1 to {count}",
            "Count from 1, from the foot of the stair up",
        )
    facts = facts_of(solution, section)
    solved = solution.sections[section - 1].section
    sheet = sheet_of_elevation(
        solved, solution.job, facts, paper or solution.job.sheet.paper, scale
    )
    count = 1 + len(sheet.following)
    later = tuple(numbered_sheet(one, k, count) for k, one in enumerate(sheet.following, start=2))
    return replace(numbered_sheet(sheet, 1, count), following=later)


def sheet_of_elevation(
    solved: Section, job: Job, facts: Facts, paper: str | None = None, scale: str | None = None
) -> Sheet:
    """The same without its strip, from a solved section and what is to be lettered beside it."""
    draft = _Draft(solved, job, facts, paper)
    units = job.units
    found = choose_sheet(draft.fits, units, paper, scale)
    if found is not None and (scale is not None or found[1].ratio >= GOOD[units]):
        return draft.roomy(*found)
    broken = draft.broken(scale, stacked=True)
    if found is not None and (broken is None or broken[1].ratio <= found[1].ratio):
        return draft.roomy(*found)
    broken = broken or draft.broken(scale, stacked=False)
    for stacked in (True, False):  # a bay that is wider than the paper
        broken = broken or draft.broken(scale, stacked, within=True)
    if broken is None:
        on = "any sheet" if paper is None else paper_named(paper).name
        at = "any standard scale" if scale is None else scale_named(scale, units).words
        found_out = f"the view does not fit on {on} at {at}"
        raise misfit("sheet", found_out, units, "Leave paper and scale out, or divide the section")
    return draft.sheets(*broken)


class _Draft:
    """One section's elevation on its way to a sheet."""

    def __init__(self, solved: Section, job: Job, facts: Facts, paper: str | None) -> None:
        self.solved, self.job, self.facts, self.asked = solved, job, facts, paper
        self._feet: dict[str, tuple[list[Primitive], float]] = {}
        self._columns: dict[str, bool] = {}
        self._beside: dict[tuple[str, bool], bool] = {}
        self.blocks = note_blocks(facts, solved, job)

    def foot(self, paper: Paper) -> tuple[list[Primitive], float]:
        """The notes along the foot and how high they are; none where the column has room."""
        if paper.name not in self._feet:
            left, bottom, right, _ = view_area(paper)
            blocks = () if self.notes_beside(paper) else self.blocks
            own = () if self.own_beside(paper) else self.facts.whose.own
            self._feet[paper.name] = notes(blocks, own, left, right, bottom)
        return self._feet[paper.name]

    def own_beside(self, paper: Paper) -> bool:
        """Whether the column has room for the user's own values beside all the checks."""
        return bool(self.facts.whose.own) and self._has_room(paper, ())

    def notes_beside(self, paper: Paper) -> bool:
        """Whether it has room for the notes too, and for what a crowded view may leave to it."""
        return self._has_room(paper, self.blocks, _FOR_LISTS)

    def _has_room(self, paper: Paper, blocks: Blocks, spare: float = 0.0) -> bool:
        """Whether there is room in the column; on a small sheet the checks make way for notes."""
        key = (paper.name, bool(blocks))
        if key not in self._beside:
            own = not blocks or self.own_beside(paper)
            brief = 2 if blocks and self.asked is not None and paper.width < _LARGE else 0
            lists = [*(self._own() if own else ()), *blocks]
            laid = column(paper, scales(self.job.units)[0], self.facts, lists, brief, 0, spare)
            self._beside[key] = laid is not None
        return self._beside[key]

    def area(self, paper: Paper) -> Area:
        """Room for the view."""
        return view_area(paper, self.foot(paper)[1])

    def _own(self) -> Blocks:
        own = self.facts.whose.own
        return [(OWN_VALUES, own)] if own else []

    def column(self, paper: Paper, at: Scale, lists: Blocks = ()) -> list[Primitive] | None:
        """The column, as full as there is room for; None where there is none.

        A sheet that nobody asked for has to have room for every check.
        """
        most = 4 if self.asked is not None or lists else 1
        own = self._own() if self.own_beside(paper) else ()
        lists = [*own, *lists, *(self.blocks if self.notes_beside(paper) else ())]
        for compact in range(most):
            laid = column(paper, at, self.facts, lists, compact)
            if laid is None:
                continue
            more = 1
            while compact == 1:  # as many of the other checks as there is room for
                fuller = column(paper, at, self.facts, lists, compact, more)
                if fuller is None or more > len(self.facts.verdicts):
                    break
                laid, more = fuller, more + 1
            return laid
        return None

    def has_column(self, paper: Paper, at: Scale) -> bool:
        """Whether there is room for the column, which no scale changes."""
        if paper.name not in self._columns:
            self._columns[paper.name] = self.column(paper, at) is not None
        return self._columns[paper.name]

    def fits(self, paper: Paper, at: Scale) -> bool:
        """Whether the whole view fits a sheet at a scale."""
        left, bottom, right, top = self.area(paper)
        width, height = room_needed(self.solved, at, self.job)
        if width > right - left or height > top - bottom:
            return False
        return self.has_column(paper, at)

    def broken(
        self, scale: str | None, stacked: bool, within: bool = False
    ) -> tuple[Paper, Scale, list[list[Part]]] | None:
        """Paper, scale and the parts on each sheet of a view broken at match lines."""
        units = self.job.units
        papers = papers_for(units, self.asked)
        wanted = [scale_named(scale, units)] if scale is not None else scales(units)
        good = [at for at in wanted if at.ratio >= GOOD[units]]
        small = [at for at in wanted if at.ratio < GOOD[units]]
        if stacked:  # the smallest sheet for a good scale, or else the largest scale at all
            order = [(paper, at) for paper in papers for at in good]
            order += [(paper, at) for at in small for paper in papers]
        else:
            order = [(paper, at) for at in (*good[-1:], *small) for paper in papers[::-1]]
        for paper, at in order:
            rows = self._stacks(paper, at, within) if self.has_column(paper, at) else None
            if rows and (len(rows) == 1 or not stacked):
                return paper, at, rows
        return None

    def _stacks(self, paper: Paper, at: Scale, within: bool) -> list[list[Part]] | None:
        """The parts that stand on each sheet, or None where one part is too large."""
        left, bottom, right, top = self.area(paper)

        def fits(part: Part) -> bool:
            width, height = room_needed(self.solved, at, self.job, part)
            return width <= right - left and height + PART_NAME <= top - bottom

        parts = parts_of(self.solved, fits, within)
        if parts is None or len(parts) < 2:
            return None
        sizes = [(right - left, self._height(part, at)) for part in parts]
        sheets = on_sheets(sizes, right - left, top - bottom)
        return [[parts[k] for row in rows for k in row] for rows in sheets]

    def _height(self, part: Part, at: Scale) -> float:
        """Of a part with its name [mm]."""
        return room_needed(self.solved, at, self.job, part)[1] + PART_NAME

    def roomy(self, paper: Paper, at: Scale) -> Sheet:
        """The whole view on that sheet, or on the next larger ones where lettering lacks room."""
        best = self.sheet(paper, at)
        if self.asked is not None:
            return best
        units = self.job.units
        offered = papers_for(units)
        for larger in offered[offered.index(paper) + 1 :][:2]:
            largest = next((one for one in scales(units) if self.fits(larger, one)), at)
            for scale in dict.fromkeys((largest, at)):
                if best.unplaced and self.fits(larger, scale):
                    other = self.sheet(larger, scale)
                    if len(other.unplaced) < len(best.unplaced):
                        best = other
        return best

    def sheet(self, paper: Paper, at: Scale) -> Sheet:
        """The whole view on one sheet."""
        drawn = elevation(self.solved, self.job, self.facts, at, self.area(paper))
        return self._laid(paper, at, [drawn])

    def sheets(self, paper: Paper, at: Scale, rows: list[list[Part]]) -> Sheet:
        """A broken view on one sheet or more; the later ones follow the first."""
        area = self.area(paper)
        wide, high = room_needed(self.solved, at, self.job)
        whole = elevation(self.solved, self.job, self.facts, at, (0.0, 0.0, wide, high))
        laid: list[tuple[list[Elevation], list[Text]]] = []
        flagged: frozenset[Told] = frozenset()
        for row in rows:
            laid.append(self._stack(row, at, area, flagged))
            told = frozenset().union(*(one.told for one in laid[-1][0]))
            flagged |= {one for one in told if one[0] == Role.FAILURE}
        made = []
        for number, (drawn, names) in enumerate(laid):
            elsewhere = {
                one.name
                for k, (views, _) in enumerate(laid)
                if k != number
                for part in views
                for one in part.dimensions
            }
            one = self._laid(paper, at, drawn, names, whole, elsewhere)
            made.append(replace(one, parts=tuple(drawn), whole=whole))
        return replace(made[0], following=tuple(made[1:]))

    def _stack(
        self, row: Sequence[Part], at: Scale, area: Area, flagged: frozenset[Told]
    ) -> tuple[list[Elevation], list[Text]]:
        """Parts of a broken view under each other, and their names."""
        rooms = rooms_in(area, [[(area[2] - area[0], self._height(part, at))] for part in row])
        drawn: list[Elevation] = []
        names: list[Text] = []
        for part, (left, foot, right, top) in zip(row, rooms, strict=True):
            room = (left, foot + PART_NAME, right, top)
            told = flagged.union(*(one.told for one in drawn))
            drawn.append(elevation(self.solved, self.job, self.facts, at, room, part, told))
            middle = ((left + right) / 2, foot + 2.5)
            names.append(Text(part.words, middle, USUAL, "view-name", "middle"))
        return drawn, names

    def _laid(
        self,
        paper: Paper,
        at: Scale,
        views: Sequence[Elevation],
        names: Sequence[Text] = (),
        whole: Elevation | None = None,
        told: Collection[str] = (),
    ) -> Sheet:
        """Views with everything around them."""
        facts, solved, job = self.facts, self.solved, self.job
        drawn = frozenset().union(*(one.told for one in views))
        missing = [label for one in views for label in one.missing if label.told not in drawn]
        lists: list[tuple[str, tuple[str, ...]]] = []

        text = lettering_of(job, feet=True)
        if any(one.scheduled for one in views):
            lists.append(("POSTS", posts_in_words(solved, text)))
        if any(label.role is Role.GAP for label in missing):
            lists.append(("GAP UNDER THE RAIL, PLUMB", gaps_in_words(solved, text)))
        unplaced = tuple(label.name for label in missing if label.role is not Role.GAP)
        if whole is not None:
            on_parts = {one.name for part in views for one in part.dimensions} | set(told)
            rest = [one for one in whole.dimensions if one.name not in on_parts]
            if rest:
                rows = tuple(f"{one.name}: {one.text}" for one in rest)
                lists.append(("OF THE WHOLE VIEW", rows))
        laid = self.column(paper, at, [*lists, *_unlettered(unplaced)])
        if laid is None:
            unplaced += tuple(heading for heading, _ in lists)
            laid = self.column(paper, at, _unlettered(unplaced)) or self.column(paper, at)
        furniture = [*(laid or ()), *self.foot(paper)[0], *names]
        return Sheet(
            **asdict(together(views, self.area(paper), unplaced)),
            paper=paper,
            units=job.units,
            block=TitleBlock(facts.whose, facts.view, at.words),
            description=_description(facts, at, paper, solved),
            furniture=tuple(furniture),
        )


def _unlettered(unplaced: Sequence[str]) -> Blocks:
    return [("NOT LETTERED ON THE VIEW", ["; ".join(unplaced) + "."])] if unplaced else []


def _description(facts: Facts, scale: Scale, paper: Paper, solved: Section) -> str:
    what = (
        f"{solved.flight.risers} risers, {solved.flight.treads} treads, "
        f"rake {solved.rake:.1f} degrees"
        if solved.kind == "flight"
        else "level run"
    )
    result = facts.failing or "no check fails"
    return (
        f"{facts.view} of a stair guard: {what}, {len(solved.posts)} posts, "
        f"{len(solved.bays)} bays. Scale {scale.words} on {paper.name}. "
        f"By {facts.whose.code}, {result}."
    )
