"""Enlarged details: the opening under the rail, the post's base, both rail ends, the panel.

What an inspector puts a ball or a tape to is drawn large: the opening with the largest circle that
fits it, the base plate and its edge, the bracket with its pin and the rail's end, and a piece of
the racked panel.  Sections that come out alike share one set.
"""

from __future__ import annotations

from fractions import Fraction

from stairs.drawing.details_parts import (
    Detail,
    base_detail,
    end_detail,
    opening_detail,
    panel_detail,
)
from stairs.drawing.lettering import SMALL, USUAL, shortened, wrapped
from stairs.drawing.page import Page, room_on
from stairs.drawing.paper import Paper, Scale, scales
from stairs.drawing.primitives import FINE, HAIR, Primitive, Text, line, rectangle
from stairs.drawing.stage import Stage, through_window
from stairs.drawing.view import View

ENLARGED = {
    "in": (Fraction(1, 4), Fraction(1, 8), Fraction(1, 12), Fraction(1, 16)),
    "mm": (Fraction(1, 5), Fraction(1, 10), Fraction(1, 20)),
}
"""Scales of details, largest first."""
_CAPTION = 12.0
_AROUND = (28.0, 20.0, 28.0, 12.0)  # beside the window for dimensions and labels [mm]


def detail_pages(answer, sheet: Paper) -> list[Page]:
    """Pages of details, not yet numbered.

    Parameters
    ----------
    answer : stairs.answer.Answer
        Of a job.
    sheet : Paper
        Lying.
    """
    job = answer.job
    pages = []
    alike: dict[tuple, list] = {}
    for part in answer.sections:
        alike.setdefault(_key(part.section), []).append(part)
    for parts in alike.values():
        part = parts[0]
        details = [
            opening_detail(answer, part),
            base_detail(answer, part),
            end_detail(answer, part, upper=False),
            end_detail(answer, part, upper=True),
            panel_detail(answer, part),
        ]
        details = [one for one in details if one is not None]
        pages += _laid_out(job, details, sheet, _names(parts))
    return pages


def _key(section) -> tuple:
    """What two sections have in common where one set of details serves both."""
    largest = max((round(one.diameter, 6) for one in section.openings), default=0.0)
    edges = [post.plate_edge for post in section.posts if post.plate_edge is not None]
    return (
        section.kind, round(section.rake, 6), round(section.bottom_gap, 6), section.nosing,
        section.tread_thickness, section.stringer, section.open_risers, section.filler,
        section.side_gap, round(min(edges, default=0.0), 6),
        largest if section.kind == "flight" else 0.0,
    )  # fmt: skip


def _names(parts) -> str:
    names = [part.section.name or f"section {part.section.number}" for part in parts]
    return names[0] + (f" and {len(names) - 1} more alike" if len(names) > 1 else "")


def _laid_out(job, details: list[Detail], sheet: Paper, names: str) -> list[Page]:
    """A wide sheet takes all of a section's details, a small one two at a time."""
    left, bottom, right, top = room_on(sheet)
    wide, high = right - left, top - bottom
    if wide > 330 and high > 200:
        one, two, half = left + wide * 0.37, left + wide * 0.63, bottom + high / 2
        cells = [
            (left, half, one, top),
            (left, bottom, one, half),
            (one, half, two, top),
            (one, bottom, two, half),
            (two, bottom, right, top),
        ]
        upright = [one for one in details if one.tall]
        small = [one for one in details if not one.tall]
        pairs = [*zip(small, cells[:4], strict=False), *zip(upright, cells[4:], strict=False)]
        groups = [pairs]
    else:
        middle = (left + right) / 2
        cells = [(left, bottom, middle, top), (middle, bottom, right, top)]
        groups = [
            list(zip(details[k : k + 2], cells, strict=False)) for k in range(0, len(details), 2)
        ]
    pages = []
    for number, group in enumerate(groups, start=1):
        content: list[Primitive] = []
        for one, cell in group:
            content += drawn_detail(job, one, cell)
        for _, cell in group:
            if cell[0] > left + 1:
                content.append(line((cell[0], cell[1]), (cell[0], cell[3]), HAIR, "table"))
            if cell[1] > bottom + 1:
                content.append(line((cell[0], cell[1]), (cell[2], cell[1]), HAIR, "table"))
        more = f", {number} of {len(groups)}" if len(groups) > 1 else ""
        pages.append(Page(sheet, f"Details of {names}{more}", "as shown", tuple(content),
                          description=f"Enlarged details of {names}", group="Details"))  # fmt: skip
    return pages


def _scale_for(job, one: Detail, cell) -> Scale:
    """The largest scale of a detail whose window and margins fit its cell."""
    left, bottom, right, top = cell
    x0, y0, x1, y1 = one.window
    around = one.around or _AROUND
    wide = right - left - around[0] - around[2]
    high = top - bottom - around[1] - around[3] - _CAPTION
    offered = [s for s in scales(job.units) if s.ratio in ENLARGED[job.units]]
    for scale in offered:
        unit = float(scale.paper_millimetres(job.units))
        if (x1 - x0) * unit <= wide and (y1 - y0) * unit <= high:
            return scale
    return offered[-1]


def drawn_detail(job, one: Detail, cell) -> list[Primitive]:
    """One detail in its cell, with its name and scale under it [mm on paper]."""
    left, bottom, right, top = cell
    scale = _scale_for(job, one, cell)
    unit = float(scale.paper_millimetres(job.units))
    around = one.around or _AROUND
    x0, y0, x1, y1 = one.window
    room_x = right - left - around[0] - around[2]
    room_y = top - bottom - around[1] - around[3] - _CAPTION
    wide, high = min((x1 - x0) * unit, room_x), min((y1 - y0) * unit, room_y)
    low_x = left + around[0] + (room_x - wide) / 2
    low_y = bottom + _CAPTION + around[1] + (room_y - high) / 2
    middle = ((x0 + x1) / 2, (y0 + y1) / 2)
    origin = (low_x + wide / 2 - middle[0] * unit, low_y + high / 2 - middle[1] * unit)
    view = View(scale, job.units, origin)
    window = (low_x, low_y, low_x + wide, low_y + high)
    area = (left + 1.5, bottom + _CAPTION, right - 1.5, top - 1.5)
    stage = Stage(area, view)
    stage.add(through_window(one.work(view), window))
    stage.add([rectangle(window[:2], window[2:], HAIR, "detail-frame")])
    stage.add(one.over(view) if one.over else [])
    stage.dimensions += one.dimensions(view, window)
    stage.labels += one.labels(view, window)
    drawn = stage.letter()
    return drawn + _caption(one.name, scale, left, bottom, right, "; ".join(stage.unplaced))


def _caption(
    name: str, scale: Scale, left: float, bottom: float, right: float, more: str
) -> list[Primitive]:
    """Name and scale, and whatever found no place on the detail itself."""
    rows = wrapped(name, USUAL, right - left - 8.0, 1)
    y = bottom + 6.4
    drawn: list[Primitive] = [Text(rows[0], (left + 4.0, y), USUAL, "caption")]
    drawn.append(line((left + 4.0, y - 1.6), (right - 4.0, y - 1.6), FINE, "caption"))
    told = f"SCALE {scale.words}" + (f". {more}" if more else "")
    words = shortened(told, SMALL, right - left - 8.0)
    drawn.append(Text(words, (left + 4.0, y - 5.2), SMALL, "caption"))
    return drawn
