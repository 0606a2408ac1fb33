"""Bracket holes on a post's face at full size: each a cross, its height and its place across.

Where the job gives the holes of the bracket's plate, they are drawn where they are drilled.  Their
heights run from the post's foot like those of the pins, and are lettered beside them; how far a
hole lies to the side of the face's centre line stands under it.  On a narrow post, or where a hole
lies in the way, all lettering stands beside the face.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from msgspec import Struct

from stairs.drawing.paper.lettering import SMALL, width_of
from stairs.drawing.paper.primitives import (
    TOUCH,
    Primitive,
    Stroke,
    Text,
    line,
    path,
    ring,
)
from stairs.drawing.placing.extents import box_of
from stairs.drawing.placing.inspection import overlaps
from stairs.drawing.sets.template.tiles import ROW
from stairs.drawing.sheets.page import millimetres
from stairs.drawing.sheets.sheet_words import figure
from stairs.job import Job
from stairs.lengths.tape_marks import Number
from stairs.parts.bracket_holes import hole_heights

ARM = 1.5
"""How far a cross reaches out of its hole [mm]."""
LEAST_ARM = 2.5
"""How far it reaches from its middle where the hole's size is not known [mm]."""


class Hole(Struct, frozen=True):
    """One hole on a face."""

    # x, y: of its centre, the face's foot on its left edge at the origin [mm]
    x: float
    y: float
    radius: float  # 0 where the job does not give the hole's size [mm]
    # across, height: from the face's centre line, right positive, and over the foot [job's unit of
    # length]
    across: Fraction
    height: Number

    @property
    def arm(self) -> float:
        """How far its cross reaches from its middle [mm]."""
        return max(self.radius + ARM, LEAST_ARM)


def holes_on(job: Job, pins: Sequence[Fraction], aside: Fraction, wide: float) -> list[Hole]:
    """Every bracket hole on a face, whose brackets are so far right of its centre line; empty where
    the job gives none."""
    radius = millimetres(job.bracket.hole_diameter or Fraction(0), job.units) / 2
    found = [
        Hole(
            wide / 2 + millimetres(across, job.units),
            millimetres(height, job.units),
            radius,
            across,
            height,
        )
        for pin in pins
        for across, height in hole_heights(job.bracket, pin, aside)
    ]
    return [hole for hole in found if 0.0 < hole.x < wide]


def crosses(holes: Sequence[Hole]) -> list[Primitive]:
    """The holes, each with a cross through its middle [mm]."""
    drawn: list[Primitive] = []
    for hole in holes:
        if hole.radius:
            drawn.append(ring((hole.x, hole.y), hole.radius, "hole"))
        for dx, dy in ((hole.arm, 0.0), (0.0, hole.arm)):
            drawn.append(
                line((hole.x - dx, hole.y - dy), (hole.x + dx, hole.y + dy), "hole-centre")
            )
    return drawn


def fits_inside(job: Job, holes: Sequence[Hole], others: Sequence[Primitive], wide: float) -> bool:
    """Whether the holes leave room for the lettering on the right half of the face."""
    figures = heights_beside(job, holes, right_of(holes, wide), wide, False)
    if any(width_of(one.content, SMALL) > wide - one.at[0] - 1.0 for one in _texts(figures)):
        return False
    return not overlaps([*crosses(holes), *figures, *others])


def right_of(holes: Sequence[Hole], wide: float) -> float:
    """Where figures beside the holes begin, right of the face's centre line too [mm]."""
    return max(*(hole.x + hole.arm + 1.8 for hole in holes), wide / 2 + 3.0)


def heights_beside(
    job: Job,
    holes: Sequence[Hole],
    start: float,
    wide: float,
    named: bool,
    labels: Sequence[Text] = (),
) -> list[Primitive]:
    """Height of every row of holes over the foot, with a line to it [mm]."""
    drawn: list[Primitive] = []
    taken = [one.at[1] for one in labels]
    rows: dict[Number, list[Hole]] = {}
    for hole in holes:
        rows.setdefault(hole.height, []).append(hole)
    for height, row in sorted(rows.items()):
        words = figure(job, height)
        if named:
            words = f"{'HOLE' if len(row) == 1 else 'HOLES'} {words}"
        y = row[0].y
        base = _free(y - SMALL / 2, taken) if labels else y - SMALL / 2
        taken.append(base)
        last = max(row, key=lambda hole: hole.x)
        ends = [(last.x + last.arm, y), (start - 0.8, base + SMALL / 2)]
        if named:  # level as far as the face's edge
            ends.insert(1, (max(wide, ends[0][0]), y))
        if ends[-1][0] - ends[0][0] > TOUCH:
            drawn.append(path(tuple(ends), "hole-height"))
        drawn.append(Text(words, (start, base), SMALL, "dimension", owner="hole"))
    return drawn


def _free(wanted: float, taken: Sequence[float]) -> float:
    """The base line nearest to a wanted one at which no other lettering stands [mm]."""
    spots = [wanted]
    for other in taken:
        spots += [other + ROW, other - ROW]
    free = [spot for spot in spots if all(abs(spot - other) > ROW - TOUCH for other in taken)]
    return min(free, key=lambda spot: (abs(spot - wanted), spot))


def places_across(
    job: Job, holes: Sequence[Hole], drawn: Sequence[Primitive], wide: float
) -> list[Primitive]:
    """How far each column of one bracket's holes lies from the face's centre line, under, over or
    beside it; without those for which there is no room: their places are in the lists."""
    low, high = min(hole.y for hole in holes) - 40.0, max(hole.y for hole in holes) + 40.0
    around = [one for one in drawn if _reaches(one, low, high)]
    faults = len(overlaps(around))
    made: list[Primitive] = []
    columns: dict[Fraction, list[Hole]] = {}
    for hole in holes:
        columns.setdefault(hole.across, []).append(hole)
    for across, column in sorted(columns.items()):
        if across == 0:
            continue
        words = figure(job, abs(across))
        for x, y, anchor in _spots(column):
            text = Text(words, (x, y), SMALL, "dimension", anchor, owner="across")
            within = all(0.5 < at < wide - 0.5 for at, _ in box_of(text).corners())
            if within and len(overlaps([*around, text])) == faults:
                made.append(text)
                around.append(text)
                break
    return made


def _reaches(one: Primitive, low: float, high: float) -> bool:
    """Whether a part of a drawing comes between two heights [mm]."""
    if isinstance(one, Text):
        return low < one.at[1] < high
    ys = [y for _, y in (one.points if isinstance(one, Stroke) else one.points(4))]
    return min(ys) < high and max(ys) > low


def _spots(column: Sequence[Hole]) -> list[tuple[float, float, str]]:
    """Where the figure of a column may stand: place and anchor, the best first [mm]."""
    x, arm = column[0].x, column[0].arm
    low, high = min(hole.y for hole in column), max(hole.y for hole in column)
    over, under = high + arm + 1.0, low - arm - 1.0 - SMALL
    found = [(x, under, "middle"), (x, over, "middle")]
    for hole in column:
        found += [(x + arm + 1.0, hole.y - SMALL / 2, "left"),
                  (x - arm - 1.0, hole.y - SMALL / 2, "right")]  # fmt: skip
    for step in range(6):
        for y in (under - step * ROW / 2, over + step * ROW / 2):
            found += [(x - 1.0, y, "left"), (x + 1.0, y, "right"), (x, y, "middle")]
    return found


def _texts(drawn: Sequence[Primitive]) -> list[Text]:
    return [one for one in drawn if isinstance(one, Text)]
