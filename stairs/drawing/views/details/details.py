"""Enlarged details: the opening under the rail, the post's base, both rail ends, the panel.

What an inspector puts a ball or a tape to is drawn large: the opening with the largest circle that
fits it, the base plate and its edge, the bracket with its pin and the rail's end, and a piece of
the racked panel.  Sections that come out alike share one set.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from stairs.drawing.paper.lettering import SMALL, USUAL, text_rows, wrapped
from stairs.drawing.paper.primitives import Area, Primitive, Text, line, rectangle
from stairs.drawing.paper.sheet_sizes import Paper, Scale, scales
from stairs.drawing.placing.labelled_view import Stage
from stairs.drawing.placing.windows import through_window
from stairs.drawing.sheets.page import Page, room_on
from stairs.drawing.sheets.references import RADIUS, Reference, mark_at
from stairs.drawing.views.details.base import base_detail
from stairs.drawing.views.details.ends import end_detail
from stairs.drawing.views.details.opening import opening_detail
from stairs.drawing.views.details.panel import break_lines, panel_detail
from stairs.drawing.views.details.parts import Detail, FoldedView
from stairs.guard.solving import Section
from stairs.job import Job
from stairs.progress import at_work
from stairs.report.loads_text import sections_text
from stairs.solution import SectionSolution, Solution

ENLARGED = {
    "in": (Fraction(1, 4), Fraction(1, 8), Fraction(1, 12), Fraction(1, 16)),
    "mm": (Fraction(1, 5), Fraction(1, 10), Fraction(1, 20)),
}
"""Scales of details, largest first."""
_CAPTION = 20.0
_KEPT = 8.0  # paper that an opened window still leaves for labels [mm]


def referred_details(solution: Solution, sheet: Paper) -> tuple[list[Page], list[Reference]]:
    """Pages of details, and every place of the guard that one of them shows."""
    pages: list[Page] = []
    references: list[Reference] = []
    alike: dict[tuple[object, ...], list[SectionSolution]] = {}
    for part in solution.sections:
        alike.setdefault(_key(part.section), []).append(part)
    count = 0
    for parts in alike.values():
        own = [_details(solution, part) for part in parts]
        shown = {count + k: one for k, one in enumerate(filter(None, own[0]), start=1)}
        made, places = _laid_out(solution.job, shown, sheet, parts)
        number = count
        for kind, detail in enumerate(own[0]):
            if detail is None:
                continue
            number += 1
            for part, found in zip(parts, own, strict=True):
                if (like := found[kind]) is not None:
                    page = len(pages) + places[number]
                    references.append(Reference(number, page, part.section.number, like.spot))
        count = number
        pages += made
    return pages, references


def _details(solution: Solution, part: SectionSolution) -> list[Detail | None]:
    """The details of a section, in the same order for each, None for one that it has not."""
    at_work(f"section {part.section.number}: its details")
    return [
        opening_detail(solution, part),
        base_detail(solution, part),
        end_detail(solution, part, upper=False),
        end_detail(solution, part, upper=True),
        panel_detail(solution, part),
    ]


def _key(section: Section) -> tuple[object, ...]:
    """What two sections have in common where one set of details serves both."""
    largest = max((round(one.diameter, 6) for one in section.openings), default=0.0)
    edges = [post.plate_edge for post in section.posts if post.plate_edge is not None]
    steps = section.flight and (
        section.flight.nosing, section.flight.tread_thickness, section.record.build.stringer,
        section.record.build.open_risers,
    )  # fmt: skip
    return (
        section.kind, round(section.rake, 6), round(section.bottom_gap, 6), steps, section.filler,
        section.side_gap, round(min(edges, default=0.0), 6),
        largest if section.kind == "flight" else 0.0,
    )  # fmt: skip


def _laid_out(
    job: Job, details: dict[int, Detail], sheet: Paper, parts: Sequence[SectionSolution]
) -> tuple[list[Page], dict[int, int]]:
    """A wide sheet takes all of a section's details, a small one two at a time.

    The pages, and by the number of each detail which of them it is on, from 0.
    """
    numbers = sections_text([part.section.number for part in parts])
    names = parts[0].section.title if len(parts) == 1 else numbers
    left, bottom, right, top = room_on(sheet)
    wide, high = right - left, top - bottom
    upright = [number for number, one in details.items() if one.tall]
    small = [number for number, one in details.items() if not one.tall]
    if wide > 330 and high > 200:
        one, two, half = left + wide * 0.39, left + wide * 0.65, bottom + high / 2
        cells = [
            (left, half, one, top),
            (left, bottom, one, half),
            (one, half, two, top),
            (one, bottom, two, half),
            (two, bottom, right, top),
        ]
        groups = [[*zip(small, cells, strict=False), *zip(upright, cells[4:], strict=False)]]
    else:
        middle = left + wide * 0.58
        cells = [(left, bottom, middle, top), (middle, bottom, right, top)]
        pairs = [small[k::2] for k in range(2)]  # a wide one, then a narrow one
        if len(small) == 4:
            pairs = [[small[0], small[2]], [small[1], small[3]]]
        groups = [list(zip(pair, cells, strict=False)) for pair in pairs if pair]
        groups += [[(one, (left, bottom, right, top))] for one in upright]
    pages, places = [], {}
    for number, group in enumerate(groups, start=1):
        content: list[Primitive] = []
        for one, cell in group:
            stands = details[one].stands
            stands = f"{stands} of {numbers}" if stands else ""
            content += drawn_detail(job, details[one], cell, one, stands)
            places[one] = number - 1
        for _, cell in group:
            if cell[0] > left + 1:
                content.append(line((cell[0], cell[1]), (cell[0], cell[3]), "table"))
            if cell[1] > bottom + 1:
                content.append(line((cell[0], cell[1]), (cell[2], cell[1]), "table"))
        more = f", {number} of {len(groups)}" if len(groups) > 1 else ""
        pages.append(Page(sheet, f"Details of {names}{more}", "as shown", tuple(content),
                          description=f"Enlarged details of {names}", group="Details"))  # fmt: skip
    return pages, places


def _scale_for(job: Job, one: Detail, wide: float, high: float) -> tuple[Scale, float]:
    """The largest scale at which a window fits, and how much of it is left out for that."""
    x0, y0, x1, y1 = one.window
    offered = [s for s in scales(job.units) if s.ratio in ENLARGED[job.units]]
    for scale in offered:
        unit = float(scale.paper_millimetres(job.units))
        if (x1 - x0) * unit > wide:
            continue
        over = (y1 - y0) - high / unit
        if one.fold is not None and over <= one.fold.most:
            return scale, max(over, one.fold.least, 0.0)
        if over <= 0:
            return scale, 0.0
    return offered[-1], 0.0


def _opened(least: float, most: float, room: float) -> float:
    """How wide or high a window is drawn: opened where there is room, but for that of a label."""
    return min(max(least, min(least * most, room - _KEPT)), room)


def drawn_detail(job: Job, one: Detail, cell: Area, number: int, stands: str) -> list[Primitive]:
    """One detail in its cell, with its number, name and scale under it [mm on paper]."""
    left, bottom, right, top = cell
    around = one.around
    room_x = right - left - around[0] - around[2]
    room_y = top - bottom - around[1] - around[3] - _CAPTION
    scale, cut = _scale_for(job, one, room_x, room_y)
    unit = float(scale.paper_millimetres(job.units))
    x0, y0, x1, y1 = one.window
    wide = _opened((x1 - x0) * unit, one.most, room_x)
    high = _opened((y1 - y0 - cut) * unit, one.most, room_y)
    low_x = left + around[0] + (room_x - wide) / 2
    low_y = bottom + _CAPTION + around[1] + (room_y - high) / 2
    middle = ((x0 + x1) / 2, (y0 + y1 - cut) / 2)
    origin = (low_x + wide / 2 - middle[0] * unit, low_y + high / 2 - middle[1] * unit)
    view = FoldedView(scale, job.units, origin, one.fold, cut)
    window = (low_x, low_y, low_x + wide, low_y + high)
    area = (left + 1.5, bottom + _CAPTION, right - 1.5, top - 1.5)
    stage = Stage(area, view)
    stage.add(through_window(one.work(view), window))
    if cut and one.fold is not None:
        stage.add(break_lines(view, one.fold, window))
    stage.add([rectangle(window[:2], window[2:], "detail-frame")])
    stage.add(one.over(view))
    stage.dimensions += one.dimensions(view, window)
    stage.labels += one.labels(view, window)
    drawn = stage.letter()
    told = ["Broken; dimensions as lettered"] if cut else []
    told += [one.note] if one.note else []
    caption = _caption(one.name, scale, left + 2 * RADIUS + 3.0, bottom, right,
                       [stands, *told, *stage.unplaced])  # fmt: skip
    return drawn + mark_at((left + RADIUS + 3.0, bottom + 11.0), str(number), "00") + caption


def _caption(
    name: str, scale: Scale, left: float, bottom: float, right: float, more: list[str]
) -> list[Primitive]:
    """Name, scale and note, and whatever found no place on the detail itself."""
    room = right - left - 8.0
    rows = wrapped(name, USUAL, room, 1)
    y = bottom + 14.7
    drawn: list[Primitive] = [Text(rows[0], (left + 4.0, y), USUAL, "caption")]
    drawn.append(line((left + 4.0, y - 1.6), (right - 4.0, y - 1.6), "caption"))
    told = ". ".join(filter(None, [f"SCALE {scale.words}", *more]))
    return drawn + text_rows(wrapped(told, SMALL, room, 3), (left + 4.0, y - 5.2), "caption")
