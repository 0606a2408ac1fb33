"""The loads page of a packet: what the code asks the posts and bays to carry, and no more.

Demands only, for who designs posts, anchors and framing.  The words that say so stand first.
"""

from __future__ import annotations

from collections.abc import Sequence

from stairs.drawing.paper.primitives import Area, Primitive
from stairs.drawing.sheets.page_text import Column, Flow, largest
from stairs.drawing.sheets.sheet_words import on_tape
from stairs.job import Job
from stairs.lists.loads import Demands, demands
from stairs.report.loads_text import NOT_A_DESIGN, force_texts, moment_texts, no_pull
from stairs.report.rulebook_listing import amount_text
from stairs.rules import LOADS
from stairs.solution import Solution


def loads_pages(solution: Solution, area: Area) -> list[list[Primitive]]:
    """The loads of a job, page after page, as primitives."""
    found = demands(solution)
    if not found.loads:
        return []
    return largest((lambda flow: _set(flow, solution, found),), area)


def without_loads(flow: Flow, solution: Solution) -> None:
    """Say so where the rulebook lists no loads, and nothing otherwise."""
    if not demands(solution).loads:
        _head(flow, solution)
        flow.paragraph("This rulebook lists no loads. Ask the local official which loads hold.")


def _head(flow: Flow, solution: Solution) -> None:
    flow.heading(
        f"Loads to hand on, by {solution.rulebook.title} {solution.rulebook.edition}".rstrip()
    )
    flow.paragraph(NOT_A_DESIGN, bold=True)


def _set(flow: Flow, solution: Solution, found: Demands) -> None:
    _head(flow, solution)
    flow.skip(2.0)
    rows = [
        (
            LOADS[load.id],
            amount_text(load),
            ", ".join(map(str, sections)),
            load.clause + ("" if load.verified else "*"),
            " ".join(load.note.split()) if load.note else "",
        )
        for load, sections in found.loads
    ]
    flow.table(
        (Column("LOAD", least=34.0), Column("AMOUNT", least=22.0), Column("SECTION"),
         Column("CLAUSE", least=26.0), Column("NOTE", least=38.0)),
        rows,
    )  # fmt: skip
    if any(not load.verified for load, _ in found.loads):
        flow.paragraph("* from memory: open the code before relying on it")
    for name in LOADS:
        _posts(flow, solution, found, name)
    _bays(flow, solution.job, found)
    _remarks(flow, solution.job, found)
    if any(row.across for row in found.posts):
        flow.paragraph(
            "Part: at a corner the load along the top has two parts, each square to its own "
            "section. Both are given; how they act together is the designer's to say."
        )


def _told(texts: Sequence[str]) -> str:
    """An amount as it is lettered, the same in other units after it.

    >>> _told(["200 lbf", "890 N"]), _told(["1.50 kN"])
    ('200 lbf (890 N)', '1.50 kN')
    """
    first, *others = texts
    return " ".join((first, *(f"({one})" for one in others)))


def _posts(flow: Flow, solution: Solution, found: Demands, name: str) -> None:
    job = solution.job
    rows = [row for row in found.posts if row.load == name]
    if not rows:
        return
    flow.heading(f"At the posts, from {LOADS[name]}")
    flow.table(
        (
            Column("POST"), Column("ARM", True), Column("FORCE", True), Column("MOMENT", True),
            Column("PULL ON TWO BOLTS", True),
        ),
        [
            (
                row.name + (f", part of {row.across}" if row.across else ""),
                on_tape(job, row.arm),
                _told(force_texts(row.force, row.unit)),
                _told(moment_texts(row.moment, row.unit)),
                "" if row.bolt_pull is None else _told(force_texts(row.bolt_pull, row.unit)),
            )
            for row in rows
        ],
    )  # fmt: skip


def _bays(flow: Flow, job: Job, found: Demands) -> None:
    if not found.bays:
        return
    flow.heading(f"Along the bays, from {LOADS['guard-line']}")
    flow.table(
        (Column("BAY"), Column("ALONG THE RAIL", True), Column("LOAD ON IT", True)),
        [
            (
                f"{bay.section}.{bay.bay}",
                on_tape(job, bay.length),
                _told(force_texts(bay.force, bay.unit)),
            )
            for bay in found.bays
        ],
    )


def _remarks(flow: Flow, job: Job, found: Demands) -> None:
    flow.skip(2.0)
    flow.paragraph(
        "Arm: from the surface that the post stands on to the top of the top rail at its higher "
        "face."
    )
    if found.bolt_spacing is None:
        flow.paragraph(f"{no_pull(job)}.")
    else:
        spacing = on_tape(job, found.bolt_spacing)
        how = "as given"
        if found.bolt_spacing_assumed:
            how = "assumed from the base plate: measure it"
        flow.paragraph(
            f"Pull: moment over the spacing of the two pairs of bolts, {spacing}, {how}; on one "
            "pair together. Prying, which adds to it, is left to the designer."
        )
