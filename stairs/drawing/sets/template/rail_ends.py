"""The holes at the lower end of a rail, at full size, from its lower cut."""

from __future__ import annotations

from fractions import Fraction

from stairs.drawing.paper.lettering import SMALL, text_rows, wrapped
from stairs.drawing.paper.primitives import (
    DASHED,
    HAIR,
    THIN,
    Primitive,
    Stroke,
    Text,
    line,
    moved,
    path,
)
from stairs.drawing.sets.template.tiles import OVERLAP, Canvas, canvas_room, tiles
from stairs.drawing.sheets.page import Page, millimetres, paper_for
from stairs.drawing.sheets.sheet_words import on_tape
from stairs.job import Job
from stairs.lists.cut_list import CutList, RailCut, hole_half
from stairs.solution import Solution

_STRETCH_TILES = 2  # so many tiles of a rail's end at most
_APART = 34.0  # from one rail's axis to the next [mm]


def rail_end_pages(solution: Solution, cuts: CutList, paper: str | None) -> list[Page]:
    """The lower ends of the rails, one under the other; those that are alike are there once."""
    job = solution.job
    sheet = paper_for(job.units, paper, job=job)
    each, across = canvas_room(sheet, False)
    length = each + (_STRETCH_TILES - 1) * (each - OVERLAP)
    groups: dict[tuple[Fraction, Fraction, Fraction], list[RailCut]] = {}
    for cut in cuts.rails:
        if cut.first_hole is None:
            continue
        half = hole_half(job, solution.guard.sections[cut.section - 1])
        groups.setdefault((cut.first_hole, cut.length, half), []).append(cut)
    strips = list(groups.items())
    many = max(1, int(across / _APART))
    pages = []
    for k in range(0, len(strips), many):
        drawn: list[Primitive] = []
        group = strips[k : k + many]
        for index, ((first_hole, _, half), own) in enumerate(group):
            y = across - (index + 0.5) * (across / many)
            drawn += [moved(one, 6.0, y) for one in _end(job, own, first_hole, half, length - 12.0)]
        longest = max(_reach(one) for one in drawn) + 6.0
        name = "baluster holes, rails " + "; ".join(own[0].name for _, own in group)
        canvas = Canvas(name, tuple(drawn), min(length, longest), across, False)
        pages += tiles(canvas, sheet, job.units, name)
    return pages


def _reach(one: Primitive) -> float:
    if isinstance(one, Text):
        return one.at[0]
    points = one.points if isinstance(one, Stroke) else one.points(4)
    return max(x for x, _ in points)


def _end(
    job: Job, own: list[RailCut], first_hole: Fraction, half: Fraction, room: float
) -> list[Primitive]:
    """The lower end of one rail seen on the side that is pierced, its cut at the origin [mm]."""
    cut = own[0]
    pitch = millimetres(job.panel.pitch, job.units)
    first = millimetres(first_hole, job.units)
    whole = millimetres(cut.length, job.units)
    count = min(len(cut.running), 1 + max(0, int((room - 8.0 - first) / pitch)))
    end = min(first + (count - 1) * pitch + max(pitch / 2, 8.0), room, whole)
    width = job.panel.rail_width
    wide = job.panel.baluster * 2 if width is None else width
    edge = min(millimetres(wide, job.units) / 2, 11.0)
    kind = DASHED if width is None else "continuous"
    drawn: list[Primitive] = [
        line((0.0, -edge - 2.0), (0.0, edge + 2.0), "saw-cut"),
        line((0.0, edge), (end, edge), "rail", THIN, kind),
        line((0.0, -edge), (end, -edge), "rail", THIN, kind),
        line((0.0, 0.0), (end, 0.0), "centre-line", HAIR),
    ]
    if end == whole:
        drawn.append(line((end, -edge - 2.0), (end, edge + 2.0), "saw-cut"))
    along = millimetres(half, job.units)
    aside = min(millimetres(job.panel.baluster, job.units) / 2, edge)
    for k in range(count):
        x = first + k * pitch
        corners = ((x - along, -aside), (x + along, -aside), (x + along, aside), (x - along, aside))
        drawn.append(path(corners, "hole", closed=True))
        drawn.append(line((x, -edge - 1.5), (x, edge + 1.5), "hole-centre"))
        at = (x, -edge - 2.6 - SMALL)
        drawn.append(Text(on_tape(job, cut.running[k]), at, SMALL, "dimension", "middle"))
    names = "; ".join(one.name for one in own)
    told = wrapped(f"LOWER CUT OF {names}", SMALL, room - 10.0, 1)
    return drawn + text_rows(told, (2.0, edge + 3.2), "label")
