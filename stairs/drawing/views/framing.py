"""The framing plan: where the posts of a level run come down on joists and boards.

Seen from above before the decking goes on: joists, the edge of the deck, the block between the
joists under every post, the base plates and their bolts.  What would have to be changed is flagged
at the post and told in words beside the list of blocks.
"""

from __future__ import annotations

from msgspec.structs import replace

from stairs.drawing.paper.lettering import SMALL, USUAL, shortened
from stairs.drawing.paper.primitives import (
    Primitive,
    Text,
)
from stairs.drawing.paper.sheet_sizes import Paper, Scale, scale_named, scales
from stairs.drawing.paper.view import View
from stairs.drawing.placing.labelled_view import Stage
from stairs.drawing.sheets.page import Page, as_sheet, numbered, paper_for, room_on
from stairs.drawing.sheets.page_text import Column, Flow
from stairs.drawing.sheets.sheet import Sheet, drawn_on
from stairs.drawing.sheets.sheet_words import particulars_of
from stairs.drawing.sheets.spoken import drawn_in_words
from stairs.drawing.sheets.title_block import scale_bar
from stairs.drawing.views.framing_run import Run, draw_run
from stairs.drawing.views.kinds import lettering_of
from stairs.drawing.views.match_lines import Part, in_a_row
from stairs.errors import JobError, SheetError
from stairs.guard.framing_plan import FramingPlan
from stairs.report.layout_text import ASIDE, aside_text
from stairs.solution import SectionSolution, Solution

_AROUND = (22.0, 26.0, 22.0, 20.0)
_FOOT = 17.5


def framing_pages(solution: Solution, sheet: Paper) -> list[Page]:
    """The framing under each level run where it is given, not yet numbered."""
    pages = []
    for part in solution.sections:
        if part.framing is not None:
            pages += [page for page, _ in _pages(solution, part, part.framing, sheet)[0]]
    return pages


@drawn_in_words
def draw_framing(
    solution: Solution,
    section: int | None = None,
    paper: str | None = None,
    scale: str | None = None,
) -> Sheet:
    """The framing plan of one section on a sheet of its own.

    Parameters
    ----------
    section : int, optional
        From 1; the first one whose framing is given where it is left out.
    paper, scale : str, optional
        What the user asked for.

    Raises
    ------
    stairs.errors.JobError
        The job tells nothing of the framing there.
    stairs.errors.SheetError
        There is no such sheet or scale, or the view does not fit.
    """
    job = solution.job
    name = paper or job.sheet.paper or ("tabloid", "A3")[job.units == "mm"]
    sheet = paper_for(job.units, name, job=job)
    asked = None if scale is None else scale_named(scale, job.units)
    whose = particulars_of(solution)
    levels_first = sorted(solution.sections, key=lambda part: part.section.kind == "flight")
    for part in levels_first:
        if part.framing is None or section not in (None, part.section.number):
            continue
        made, whole = _pages(solution, part, part.framing, sheet, asked)
        drawn = [
            as_sheet(
                numbered(page, whose, k, len(made)),
                drawn_on(stage),
                job.units,
            )
            for k, (page, stage) in enumerate(made, start=1)
        ]
        if whole is not None:  # for CAD, which takes the run unbroken
            drawn = [replace(one, whole=drawn_on(whole)) for one in drawn]
        return replace(drawn[0], following=tuple(drawn[1:]))
    raise JobError(
        "framing",
        "the job says nothing of joists or boards"
        + ("" if section is None else f" under section {section}"),
        "A framing plan needs [framing], or [section.framing] under a level section",
        "Add it, with direction, joist_spacing, first_joist and joist_thickness",
    )


def _pages(
    solution: Solution,
    part: SectionSolution,
    plan: FramingPlan,
    sheet: Paper,
    asked: Scale | None = None,
) -> tuple[list[tuple[Page, Stage]], Stage | None]:
    """The framing under one section: each page with the stage of its view, a bare one where a list
    goes on, and the stage of the whole run where it is broken."""
    job, section = solution.job, part.section

    run = Run(job, section, plan, lettering_of(job, feet=True))
    left, bottom, right, top = room_on(sheet)
    name = section.title
    scale, parts = _broken(run, sheet, name, asked)
    unit = float(scale.paper_millimetres(job.units))
    low, high = run.inwards
    floor = top - _AROUND[3] - (high - low) * unit
    low_area = floor - _AROUND[1]
    bar = low_area - 13.0
    made: list[tuple[list[Primitive], Stage]] = []
    for piece in parts:
        start, _, end, _ = run.frame(piece, unit)
        spare = (_room_across(sheet) - (end - start) * unit) / 2
        origin = (left + _AROUND[0] + spare - start * unit, floor - low * unit)
        stage = Stage((left, low_area, right, top), View(scale, job.units, origin))
        draw_run(stage, run, piece)
        content = [*stage.letter(), *_under(stage, scale, name, piece, (left, right), bar)]
        made.append((content, stage))
    flow = Flow((left, bottom, right, bar - 11.0))
    _table(flow, run)
    content, first = made[0]
    made[0] = ([*content, *flow.pages[0]], first)
    made += [(list(one), Stage(first.area, first.view)) for one in flow.pages[1:]]
    pages = [
        (Page(sheet, f"Framing under {name}" + (f", {k}" if k > 1 else ""),
              scale.words if k <= len(parts) else "", tuple(one), group="Framing",
              description=f"Framing plan under {name}: joists, blocks, base plates and bolts"),
         stage)
        for k, (one, stage) in enumerate(made, start=1)
    ]  # fmt: skip
    if len(parts) == 1:
        return pages, None
    start, end = run.along
    whole = Stage((-60.0, low_area, (end - start) * unit + 60.0, top),
                  View(scale, job.units, (-start * unit, floor - low * unit)))  # fmt: skip
    draw_run(whole, run, *in_a_row(()))
    whole.letter()
    return pages, whole


def _room_across(sheet: Paper) -> float:
    """Width of the room for a view [mm]."""
    left, _, right, _ = room_on(sheet)
    return right - left - _AROUND[0] - _AROUND[2]


def _broken(
    run: Run, sheet: Paper, name: str, asked: Scale | None
) -> tuple[Scale, tuple[Part, ...]]:
    """The fewest parts of a run, at the largest scale that takes no more."""
    job = run.job
    _, bottom, _, top = room_on(sheet)
    room = (top - bottom) * 0.62 - _AROUND[1] - _AROUND[3] - _FOOT
    low, high = run.inwards
    offered = scales(job.units) if asked is None else (asked,)
    best: tuple[Scale, tuple[Part, ...]] | None = None
    for one in offered:
        unit = float(one.paper_millimetres(job.units))
        found = run.parts(unit, _room_across(sheet))
        if found is None or (high - low) * unit > room:
            continue
        if best is None or len(found) < len(best[1]):
            best = one, found
    if best is None:
        raise SheetError(
            "framing",
            f"the framing under {name} does not fit {sheet.name} at {offered[-1].words}",
            "",
            "Take a larger sheet, or leave the scale out",
        )
    return best


def _under(
    stage: Stage, scale: Scale, name: str, part: Part, ends: tuple[float, float], bar: float
) -> list[Primitive]:
    """Under a view its title, its scale with a bar, its part, and what found no place on it."""
    left, right = ends
    drawn = list(scale_bar(scale, left + 2.0, bar, 90.0))
    drawn.append(Text(f"SCALE {scale.words}", (left + 2.0, bar + 3.2), SMALL, "scale-bar"))
    title = shortened(f"Framing under {name}", USUAL, right - left - 4.0)
    drawn.append(Text(title, (left + 2.0, bar + 7.6), USUAL, "view-name"))
    if part.count > 1:
        middle = ((left + right) / 2, bar + 1.0)
        drawn.append(Text(part.words, middle, USUAL, "view-name", "middle"))
    if stage.unplaced:
        told = f"Not lettered: {'; '.join(stage.unplaced)}"[:110]
        drawn.append(Text(told, (left + 100.0, bar - 4.0), SMALL, "note"))
    return drawn


def _table(flow: Flow, run: Run) -> None:
    plan, text = run.plan, run.text
    flow.y -= USUAL
    flow.words("Blocks under the posts", height=USUAL, group="heading")
    flow.y -= 2.0
    rows = []
    for one in plan.posts:
        lengths = ", ".join(
            text(block.length) if block.length is not None else "no joist on one side"
            for block in one.blocks
        )
        name = f"{run.section.number}.{one.post} {one.hand}".strip()
        if one.same_as is not None:
            rows.append((name, text(one.x), "is post {}.{}".format(*one.same_as), *[""] * 4))
            continue
        rows.append(
            (
                name,
                text(one.x),
                one.lands,
                lengths or "none",
                f"J{one.nearest_joist}, {aside_text(run.job, one.to_joist, text)}",
                "" if one.to_gap is None else aside_text(run.job, one.to_gap, text),
                "; ".join(one.warnings),
            )
        )
    flow.table(
        (
            Column("POST"), Column("FROM FIRST POST", True), Column("LANDS", least=30.0),
            Column("BLOCK LENGTHS", least=24.0), Column("NEAREST JOIST", least=24.0),
            Column("TO BOARD GAP", True), Column("WHAT TO CHANGE", least=50.0),
        ),
        rows,
    )  # fmt: skip
    flow.paragraph(f"{ASIDE[0].upper()}{ASIDE[1:]}.")
    for note in plan.notes:
        flow.paragraph(note[0].upper() + note[1:])
    flow.paragraph(
        "Blocks are two boards fastened face to face (common practice, no source). Fasteners, "
        "bolts and framing are the designer's to name."
    )
