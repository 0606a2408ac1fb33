"""The inspector: goes over a finished drawing and names every fault of its lettering.

Nothing is taken on trust from ``placement``: every piece of lettering is measured
again from the font and held against every line and every other piece on the sheet.
"""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct

from stairs.drawing.paper.primitives import TOUCH, Area, Point, Primitive, Stroke, Text
from stairs.drawing.placing.extents import Lines, box_of, boxes_meet, crossed_by, rows_of
from stairs.drawing.placing.placement import LEADER


class Overlap(Struct, frozen=True):
    """A fault of a finished drawing: ``kind`` is ``"text on text"``, ``"line through text"``,
    ``"leaders cross"`` or ``"outside"``; ``first`` and ``second`` say what met."""

    kind: str
    first: str
    second: str
    at: Point


def overlaps(
    primitives: Iterable[Primitive],
    area: Area | None = None,
) -> list[Overlap]:
    """Every piece of lettering that is written over or struck through, and leaders that cross."""
    texts, pieces, names, leaders = [], [], [], []
    faults = []
    for one in primitives:
        if isinstance(one, Text):
            if one.content.strip():
                texts.append((one, box_of(one)))
            continue
        segments = one.segments()
        if one.weight > 0:
            pieces += segments
            names += [f"{one.group} {one.owner}".strip()] * len(segments)
        if one.group == LEADER and isinstance(one, Stroke) and not one.closed:
            leaders.append((one, segments))
        if area is not None:
            outline = one.points if isinstance(one, Stroke) else one.points(72)
            half = one.weight / 2
            faults += [
                Overlap("outside", one.group, "sheet", point)
                for point in outline
                if not _within(point, area, half)
            ]
    lines = Lines(pieces)
    for index, (text, box) in enumerate(texts):
        for other, other_box in texts[index + 1 :]:
            if boxes_meet(box, other_box):
                faults.append(Overlap("text on text", text.content, other.content, text.at))
        for struck in lines.through(box):
            faults.append(Overlap("line through text", text.content, names[struck], text.at))
        if area is not None and not all(_within(corner, area, 0) for corner in box.corners()):
            faults.append(Overlap("outside", text.content, "sheet", text.at))
    for index, (one, segments) in enumerate(leaders):
        others = [piece for _, more in leaders[index + 1 :] for piece in more]
        if others and any(crossed_by(piece, rows_of(others)).any() for piece in segments):
            faults.append(Overlap("leaders cross", one.owner, "leader", one.points[0]))
    return faults


def _within(point: Point, area: Area, half: float) -> bool:
    left, bottom, right, top = area
    x, y = point
    return (
        left - TOUCH <= x - half and x + half <= right + TOUCH
        and bottom - TOUCH <= y - half and y + half <= top + TOUCH
    )  # fmt: skip
