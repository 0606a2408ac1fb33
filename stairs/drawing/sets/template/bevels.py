"""The bevel of each rake at full size, to set a sliding bevel or a saw by."""

from __future__ import annotations

import math
from fractions import Fraction

from stairs.drawing.paper.lettering import SMALL, USUAL, text_rows, wrapped
from stairs.drawing.paper.primitives import (
    Primitive,
    Text,
    path,
    ring,
)
from stairs.drawing.paper.sheet_sizes import Paper
from stairs.drawing.sets.template.tiles import FULL_SIZE, ROW, check_bars, tile_room
from stairs.drawing.sheets.page import Page, millimetres, paper_for
from stairs.drawing.sheets.sheet_words import on_tape
from stairs.guard.solving import FlightSection
from stairs.job import Job
from stairs.lengths.tape_marks import length_text, slope_text
from stairs.solution import Solution

_FINE_MARK = Fraction(1, 32)  # a bevel is set finer than a rail is cut [in]


def bevel_pages(solution: Solution, paper: str | None) -> list[Page]:
    """One page for each rake of the job."""
    job = solution.job
    sheet = paper_for(job.units, paper, job=job)
    rakes: dict[str, tuple[FlightSection, list[int]]] = {}
    for section in solution.guard.sections:
        if isinstance(section, FlightSection):
            rakes.setdefault(f"{section.rake:.6f}", (section, []))[1].append(section.number)
    return [
        _bevel(job, section, numbers, sheet, len(rakes) > 1) for section, numbers in rakes.values()
    ]


def _bevel(
    job: Job, section: FlightSection, numbers: list[int], sheet: Paper, several: bool
) -> Page:
    left, bottom, right, top = tile_room(sheet)
    slope = section.rail_line.slope
    x0, y0 = left + 8.0, bottom + 14.0
    unit = 25.4 if job.units == "in" else 50.0
    most = min(right - x0 - 6.0, (top - y0 - 8.0) / slope)
    run = math.floor(most / unit) * unit
    rise = run * slope
    corner, far, high = (x0, y0), (x0 + run, y0), (x0 + run, y0 + rise)
    turn = math.degrees(math.atan(slope))
    radius = min(38.0, run / 2)
    drawn: list[Primitive] = [
        path((corner, far, high), "level-and-plumb"),
        path((corner, high), "rake", owner="rake"),
        ring(corner, radius, "dimension", start=0.0, end=turn),
    ]
    half = math.radians(turn / 2)
    reach = radius + 3.0
    at = (corner[0] + reach * math.cos(half), corner[1] + reach * math.sin(half) - SMALL)
    drawn.append(Text(f"{section.rake:.2f}°", at, USUAL, "label"))
    level, plumb = (value / millimetres(1, job.units) for value in (run, rise))
    drawn.append(
        Text(f"LEVEL {on_tape(job, level)}", (x0 + run / 2, y0 - 5.0), SMALL, "label", "middle")
    )
    fine = length_text(plumb, job.units, _FINE_MARK) if job.units == "in" else f"{plumb:.1f} mm"
    drawn.append(
        Text(f"PLUMB {fine}", (x0 + run - 2.0, y0 + rise / 2), SMALL, "label", "middle", 90.0)
    )
    which = "section " if len(numbers) == 1 else "sections "
    names = which + ", ".join(map(str, numbers))
    told = "Stair angle for your bevel gauge" + (f", {names}" if several else "")
    pair = slope_text(
        section.rail_line.unit_rise,
        section.rail_line.unit_run,
        job.units,
        job.tape,
        float(section.flight.total_run),
    )
    note = (
        f"Rise {pair}, true over the whole flight. Set the stock of the "
        "bevel gauge on the level line for a level cut, on the plumb line for a plumb cut."
    )
    drawn += text_rows(wrapped(note, SMALL, right - left - 8.0), (x0, bottom + 4.3), "note", ROW)
    drawn += check_bars(sheet, job.units)
    return Page(sheet, told, FULL_SIZE, tuple(drawn), description=f"{told}, full size")
