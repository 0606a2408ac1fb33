"""Bracket seats at full size: a post's face, the pin and the rail that swings on it, from the side.

What is known of a bracket is where it has to be: its plate on the post's face, its pin at a height,
the rail's axis through the pin at the swing.  That is drawn here at 1:1.  A maker's bracket brings
its own screw holes.  Where the job says where they are, their heights are ticked on the face, and
the post's face template has them all.  Where it does not, the bracket itself is laid on the print
with its pin over the ring and its holes are pricked through; the post's face template then says at
what height it all stands.
"""

from __future__ import annotations

import math

from msgspec import Struct

from stairs.drawing.paper.lettering import SMALL, USUAL, text_rows, width_of, wrapped
from stairs.drawing.paper.primitives import (
    HAIR,
    MEDIUM,
    Point,
    Primitive,
    Text,
    extent_of_lines,
    line,
    moved,
    path,
    ring,
)
from stairs.drawing.sets.template.tiles import ROW, Canvas, canvas_room, tiles
from stairs.drawing.sheets.page import Page, millimetres, paper_for
from stairs.drawing.sheets.sheet_words import on_tape
from stairs.job import Job
from stairs.parts.posts import face_name, post_name
from stairs.solution import Solution

ADVICE = (
    "Lay the maker's bracket on with its pin over the ring and its plate on the post's face, turn "
    "it until it lies along the rail, and prick its holes through: no bracket holes are given."
)
ADVICE_WITH_HOLES = (
    "Lay the maker's bracket on with its pin over the ring and its plate on the post's face, and "
    "turn it until it lies along the rail: its holes come level with the ticks on the face. The "
    "post faces have them to be pricked through."
)
_LENGTH = 64.0  # of rail shown [mm]
_TICKED = 45.0  # over or under the pin, as far as the face is shown [mm]
_BEHIND = 7.0  # of post shown behind its face [mm]
_HEAD = 19.0  # for three rows of words over a seat [mm]
_LEAST = 30.0  # of rail shown past its end [mm]


class Seat(Struct, frozen=True):
    """One kind of rail end as it meets a post."""

    side: int  # 1 where the rail leaves to the right, up-stair of the post; -1 to the left
    # of the rail from square to the post, as from level where that is plumb [degrees], rising to
    # the right
    turn: float
    # depth, offset, setback: rail's depth; post's face to pin or cut, level; pin to the rail's end,
    # along the rail [mm]
    depth: float
    offset: float
    setback: float
    plumb: bool  # whether the rail is cut plumb
    skew: float  # in plan from square to the face, either way [degrees]


def seats(solution: Solution) -> dict[Seat, list[str]]:
    """Every kind of rail end once, with the places where it is."""
    job = solution.job
    pivot = job.bracket.kind == "pivot"
    found: dict[Seat, list[str]] = {}
    for section in solution.guard.sections:
        for post in section.posts:
            for mark in post.marks:
                depth = job.panel.top_rail if mark.rail == "top" else job.panel.bottom_rail
                side = 1 if mark.side == "up" else -1
                turn = section.rake + (post.out_of_plumb if pivot else 0.0)
                seat = Seat(
                    side if turn else 1,  # level ones are alike both ways
                    round(turn, 6),
                    millimetres(depth, job.units),
                    round(millimetres(post.off_face(mark), job.units), 6),
                    millimetres(job.bracket.rail_setback, job.units) if pivot else 0.0,
                    not pivot,
                    abs(float(section.ends.skew)) if post.askew else 0.0,
                )
                face_at = face_name(section.number, post.number, mark.side)
                place = f"{post_name(section.number, post)} {face_at}"
                found.setdefault(seat, []).append(f"{place} {mark.rail}")
    return found


def seat_pages(solution: Solution, paper: str | None) -> list[Page]:
    """Seats side by side on the printer's paper, not yet numbered."""
    job = solution.job
    sheet = paper_for(job.units, paper, job=job)
    wide, high = canvas_room(sheet, False)
    shelves: list[list[Primitive]] = []
    x = y = tall = 0.0
    drawn: list[Primitive] = []
    advised = ADVICE_WITH_HOLES if job.bracket.holes else ADVICE
    rows = wrapped(advised, SMALL, wide - 10.0)
    start = high - ROW * len(rows) - 2.0
    for seat, where in seats(solution).items():
        made, width, height = _seat(job, seat, where, start)
        if x and x + width > wide:
            x, y, tall = 0.0, y + tall, 0.0
        if drawn and y + height > start:
            shelves.append(drawn)
            drawn, x, y, tall = [], 0.0, 0.0, 0.0
        drawn += [moved(one, x, start - y - height) for one in made]
        x, tall = x + width, max(tall, height)
    shelves.append(drawn)
    pages = []
    for k, content in enumerate(shelves, start=1):
        advice = text_rows(rows, (2.0, high - ROW), "note", ROW)
        name = "Where each bracket sits" + (f", {k} of {len(shelves)}" if len(shelves) > 1 else "")
        canvas = Canvas(name, (*advice, *content), wide, high, False)
        pages += tiles(canvas, sheet, job.units)
    return pages


def _seat(
    job: Job, seat: Seat, where: list[str], most: float
) -> tuple[list[Primitive], float, float]:
    """One seat with its lower left corner at the origin, and the room that it takes [mm]."""
    length, offsets = _LENGTH, _offsets(job, seat)
    while True:
        drawn = _outline(job, seat, length)
        left, bottom, right, top = extent_of_lines(drawn)
        wide = max(right - left, 92.0, *(width_of(row, SMALL) for row in offsets)) + 10.0
        rows = [*wrapped(_faces(where), SMALL, wide - 8.0), *offsets]
        height = top - bottom + _HEAD + ROW * (len(rows) - 3)
        if height <= most or length <= seat.setback + _LEAST:
            break
        length -= 6.0
    made = [moved(one, 4.0 - left, -bottom + 2.0) for one in drawn]
    return made + text_rows(rows, (4.0, height - ROW), "label", ROW), wide, height


def _faces(where: list[str]) -> str:
    """The faces that a seat is for, each post once for a rail."""
    found: dict[str, dict[str, list[str]]] = {}
    for place in where:
        post, _, faced = place.partition(" toward ")
        other, rail = faced.rsplit(" ", 1)
        found.setdefault(rail, {}).setdefault(post, []).append(other)
    return ". ".join(
        f"{rail}: "
        + "; ".join(f"{post} toward {' and '.join(others)}" for post, others in posts.items())
        for rail, posts in found.items()
    )


def _offsets(job: Job, seat: Seat) -> list[str]:
    """How the pin and the rail's end lie, in rows of words."""

    def text(millimetre: float) -> str:
        length = millimetre / 25.4 if job.units == "in" else millimetre
        return on_tape(job, length)

    off = f"{text(seat.offset * math.cos(math.radians(seat.skew)))} off the face"
    off = f"plumb cut {off}" if seat.plumb else f"pin {off}"
    ends = "" if seat.plumb else f"rail ends {text(seat.setback)} past the pin"
    if seat.skew:
        along = f"{text(seat.offset)} along the rail, which is turned {seat.skew:.4g}° in plan"
        return [f"{off}, {along}", *([ends] if ends else [])]
    return [f"{off}; {ends}" if ends else off]


def _outline(job: Job, seat: Seat, length: float) -> list[Primitive]:
    """Face, pin and rail, the pin at the origin [mm]."""
    turn = math.radians(seat.turn) if seat.side > 0 else math.radians(180.0 + seat.turn)
    along = (math.cos(turn), math.sin(turn))
    half = seat.depth / 2
    up = (-math.sin(math.radians(seat.turn)), math.cos(math.radians(seat.turn)))
    face = -seat.side * seat.offset

    def at(far: float, over: float) -> Point:
        return (along[0] * far + up[0] * over, along[1] * far + up[1] * over)

    def plumb(over: float) -> Point:
        """On the rail's edge, plumb over or under the pin."""
        return (0.0, over / math.cos(math.radians(seat.turn)))

    ends = [plumb(half), plumb(-half)] if seat.plumb else [at(seat.setback, half),
                                                           at(seat.setback, -half)]  # fmt: skip
    heights = {millimetres(up, job.units) for _, up in job.bracket.holes}
    levels = sorted(y for y in heights if abs(y) <= _TICKED)
    reach = max(abs(ends[0][1]), abs(ends[1][1]), half, *(abs(y) - 3.0 for y in levels)) + 9.0
    upper, lower = at(length, half), at(length, -half)
    low = min(-reach, lower[1] if seat.side < 0 else -reach)
    high = max(reach, upper[1] if seat.side > 0 else reach)
    behind = face - seat.side * _BEHIND
    drawn: list[Primitive] = [
        line((face, low), (face, high), "post-face"),
        line((face - seat.side * 2.0, 0.0), (seat.side * 16.0, 0.0), "level"),
        line(at(-8.0, 0.0), at(length + 4.0, 0.0), "rail-axis"),
        path((upper, *ends, lower), "rail"),
        ring((0.0, 0.0), 2.0, "pin"),
        line((0.0, -4.0), (0.0, 4.0), "pin", HAIR),
        line((face, 0.0), (0.0, 0.0), "pin-offset"),
        line(upper, lower, "break", HAIR),
    ]
    for y in levels:
        ends_x = (face + seat.side * 2.5, face - seat.side * 4.0)
        drawn.append(line((ends_x[0], y), (ends_x[1], y), "hole-height", MEDIUM))
    y = low + 1.0
    while y + 6.0 < high:
        drawn.append(line((behind, y), (behind + seat.side * 6.0, y + 6.0), "post-hatch"))
        y += 9.0
    words = f"{abs(seat.turn):.2f}°" if seat.turn else "LEVEL"
    over = 1.6 if half >= USUAL + 2.5 else half + 1.6  # off a rail that is too thin
    if seat.side * seat.turn < 0:  # the level line lies over the axis
        over = -over - USUAL
    middle = at((seat.setback + length) / 2 + 4.0, over)
    return [*drawn, Text(words, middle, USUAL, "label", "middle", seat.turn)]
