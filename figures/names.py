"""Draws the pictures of the names page, and writes the page: ``python figures/names.py``.

A small invented guard is solved, and every quantity that somebody measures for a job file is
lettered on it in the letters of the names page (:mod:`stairs.relations.quantities`).  The picture
becomes ``figures/names.svg``, that of what few jobs ask for ``names-2.svg``, and the page
``examples/names.md``.
"""

from __future__ import annotations

import sys
from pathlib import Path

from stairs.drawing.files.svg import svg_bytes
from stairs.drawing.paper.sheet_sizes import Scale, paper_named, scale_named
from stairs.drawing.sheets.page import Page, numbered
from stairs.drawing.sheets.title_block import Particulars
from stairs.drawing.views.lettered.measured import further_views, laid_out
from stairs.drawing.views.lettered.parts import (
    across_cell,
    deck_cell,
    flight_cell,
    hole_cell,
    panel_cell,
    pivot_cell,
    socket_cell,
    standing_cell,
    step_cell,
    stringer_cell,
)
from stairs.drawing.views.lettered.samples import BESIDE, CLOSED, LEVEL_RUN, STANDING, STEPS, solved
from stairs.files import put_in_place
from stairs.relations.quantities import NAMES_PAGE, Quantity

HERE = Path(__file__).parent
PAGE = HERE.parent / "examples" / "names.md"


def inches(to_the_foot: str) -> Scale:
    """The standard scale of so many inches to the foot."""
    return scale_named(to_the_foot, "in")


WHOSE = Particulars("Names of a stair guard", ("Letters as on the names page",))


def picture() -> Page:
    """The whole picture on a sheet of letter size."""
    flight, beside = solved(STEPS), solved(CLOSED, BESIDE)
    cells = [
        flight_cell(flight, inches("1"), (22.0, 55.0)),
        panel_cell(solved(LEVEL_RUN), inches("3/4"), (156.0, 154.0)),
        hole_cell(flight, inches("3"), (234.0, 168.0)),
        pivot_cell(flight, inches("3"), (154.0, 99.0)),
        step_cell(flight, inches("1 1/2"), (207.0, 99.0)),
        socket_cell(beside, inches("1"), (156.0, 37.0)),
        stringer_cell(beside, inches("1 1/2"), (194.0, 41.0)),
        across_cell(beside, inches("1"), (239.0, 45.0)),
        deck_cell(inches("1/4"), (22.0, 154.5)),
        standing_cell(solved(STANDING), inches("1/2"), (118.5, 78.0)),
    ]
    page = Page(
        paper_named("letter"),
        "Letters of what is measured",
        "",
        tuple(one for each in cells for one in each.drawn()),
        "A flight of stairs, a panel, brackets and posts, every measured quantity lettered.",
    )
    return numbered(page, WHOSE, 1, 2)


def further_picture() -> Page:
    """What few jobs ask for, on a sheet of its own."""
    page = Page(
        paper_named("letter"),
        "Letters of what few jobs ask for",
        "",
        tuple(laid_out(further_views(), (13.0, 55.0))),
        "Joists, boards, bracket plates, posts beside each other and ground, lettered.",
    )
    return numbered(page, WHOSE, 2, 2)


HEAD = """# Letters and names

Every quantity of a stair guard has one name and one letter: in the relations, in the working of
`stairs explain`, in the formulas of the [Python tour](python.md) and here. What the job
file takes is lettered in the picture and has its key in the last column. Lengths are in the job's
unit; what is called a gap or clear is face to face, what is called a pitch or spacing centre to
centre.

![A guard and its parts, all that is measured lettered](../figures/names.svg)

![What few jobs ask for, lettered: framing, bracket plates, ground](../figures/names-2.svg)

`panel_height` is the panel as it is bought, measured level. In the result for scripts (`--json`)
the key of that name is the panel as it stands, racked and measured plumb: `racked_height` here.
"""


TABLES = {
    "section": "`[[section]]`",
    "panel": "`[panel]`",
    "slot": "`slot`",
    "bracket": "`[bracket]`",
    "post": "`[post]`",
    "framing": "`[framing]`",
    "body": "`body`",
    "ground_slope": "`ground_slope`",
}


def place_of(one: Quantity) -> str:
    """The keys of the job file where it is typed, and their table; empty where it never is."""
    keys = " or ".join(f"`{key}`" for key in (one.key, one.each) if key)
    planned = [f"{keys} of {TABLES[one.table]}"] * bool(keys)
    built = [f"`{one.as_built}` of `[[section.as_built]]`"] * bool(one.as_built)
    return ", ".join(planned + built)


def page_text() -> str:
    """The names page: the picture, and a table to each part of the guard."""
    parts = [HEAD]
    for group, quantities in NAMES_PAGE.items():
        rows = [
            f"| {one.symbol} | `{one.name}` | {one.unit} | {one.meaning} | {place_of(one)} |"
            for one in quantities
        ]
        head = "| letter | name | unit | what it measures | key |\n|---|---|---|---|---|"
        parts.append("\n".join([f"## {group}\n", head, *rows]) + "\n")
    return "\n".join(parts)


def draw_names(folder: Path) -> list[Path]:
    """Draw the pictures into a folder."""
    targets = [folder / "names.svg", folder / "names-2.svg"]
    for page, target in zip((picture(), further_picture()), targets, strict=True):
        put_in_place(svg_bytes(page), target)
    return targets


if __name__ == "__main__":
    PAGE.write_text(page_text(), encoding="utf-8")
    for path in (*draw_names(HERE), PAGE):
        sys.stdout.write(f"{path}\n")
