"""A sheet that several short sections share: their elevations at one scale, each with its name.

Only sections that pass every check share a sheet, so that a failure is counted, numbered and
pointed at on a sheet of its own; and only where every label has its place and every check its line.
"""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import asdict

from stairs.drawing.paper.lettering import USUAL
from stairs.drawing.paper.primitives import Area, Text
from stairs.drawing.paper.sheet_sizes import GOOD, Paper, Scale, paper_named, scales
from stairs.drawing.sheets.sheet import Sheet, together
from stairs.drawing.sheets.sheet_words import Facts
from stairs.drawing.sheets.side_column import Blocks, note_blocks, shared_column, view_area
from stairs.drawing.sheets.title_block import TitleBlock
from stairs.drawing.views.elevation.elevation import elevation, room_needed
from stairs.drawing.views.elevation.sheet import PART_NAME
from stairs.drawing.views.match_lines import on_sheets, rooms_in
from stairs.guard.solving import Section
from stairs.job import Job

_APART = 8.0
"""Blank paper between two views beside each other [mm]."""
_LABELS = 12.0
"""Blank paper for labels over and under a view [mm]."""


def shared_sheet(
    sections: Sequence[Section], job: Job, told: Sequence[Facts], name: str
) -> Sheet | None:
    """The elevations of several sections on one sheet, or None where they do not fit it."""
    paper = paper_named(name)
    if any(facts.failures or facts.whose.own for facts in told):
        return None
    blocks = _blocks(sections, job, told)
    if shared_column(paper, scales(job.units)[0], told, blocks) is None:
        return None
    for scale in scales(job.units):
        if scale.ratio < GOOD[job.units]:
            return None
        areas = _areas(sections, job, paper, scale)
        if areas is not None:
            return _drawn(sections, job, told, paper, scale, areas, blocks)
    return None


def _blocks(sections: Sequence[Section], job: Job, told: Sequence[Facts]) -> Blocks:
    """The notes of all sections, what is alike once."""
    found: dict[str, list[str]] = {}
    for section, facts in zip(sections, told, strict=True):
        for name, paragraphs in note_blocks(facts, section, job):
            held = found.setdefault(name, [])
            if name == "PARTS":
                paragraphs = [f"{facts.title}: {paragraphs[0]}", *paragraphs[1:]]
            held += [words for words in paragraphs if words not in held]
    parts = found["PARTS"]
    parts.append(parts.pop(1))  # what is filled in by hand stands last
    return list(found.items())


def _areas(sections: Sequence[Section], job: Job, paper: Paper, scale: Scale) -> list[Area] | None:
    """Where each view stands, in rows from the top down, or None where they have no room."""
    area = view_area(paper)
    needed = [room_needed(section, scale, job) for section in sections]
    sizes = [(wide, high + PART_NAME) for wide, high in needed]
    width, height = area[2] - area[0], area[3] - area[1]
    if any(wide > width or high > height for wide, high in sizes):
        return None
    rows, *more = on_sheets(sizes, width, height, _APART)
    if more:
        return None
    areas = []
    rooms = rooms_in(area, [[sizes[k] for k in row] for row in rows])
    for (left, floor, right, ceiling), (_, tall) in zip(rooms, sizes, strict=True):
        # not much higher than the view: its name stands close under it
        middle, half = (floor + ceiling) / 2, min(tall / 2 + _LABELS, (ceiling - floor) / 2)
        areas.append((left, middle - half, right, middle + half))
    return areas


def _drawn(
    sections: Sequence[Section],
    job: Job,
    told: Sequence[Facts],
    paper: Paper,
    scale: Scale,
    areas: Sequence[Area],
    blocks: Blocks,
) -> Sheet | None:
    views, names = [], []
    for section, facts, (left, bottom, right, top) in zip(sections, told, areas, strict=True):
        view = elevation(section, job, facts, scale, (left, bottom + PART_NAME, right, top))
        if view.unplaced or view.scheduled:
            return None
        views.append(view)
        middle = ((left + right) / 2, bottom + 2.5)
        names.append(Text(facts.view, middle, USUAL, "view-name", "middle"))
    first = told[0]
    name = f"Elevations of {'; '.join(facts.title for facts in told)}"
    column = shared_column(paper, scale, told, blocks)
    return Sheet(
        **asdict(together(views, view_area(paper), ())),
        paper=paper,
        units=job.units,
        block=TitleBlock(first.whose, name, scale.words),
        description=f"{name} of a stair guard. Scale {scale.words} on {paper.name}. "
        f"By {first.whose.code}, no check fails.",
        furniture=(*(column or ()), *names),
        parts=tuple(views),
    )
