"""Leaders: lettering that stands where there is room, tied by a thin line to what it names.

A leader slopes from its arrowhead at the work to a knee and runs level to its lettering (ISO 128-2
has such reference lines; from memory).  It is short, crosses no dimension line and no other leader,
and crosses as little of the work as can be, least of all a post or a rail.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from msgspec.structs import replace

from stairs.drawing.paper.lettering import SMALL, measure, text_rows
from stairs.drawing.paper.primitives import FINE, Point, Stroke
from stairs.drawing.placing.placement import (
    APART,
    CLEARANCE,
    LEADER,
    LEADER_GAP,
    SHOULDER,
    Board,
    Candidate,
)

_BELOW = 15.0  # what lettering under the floor costs, in millimetres of leader
_LONG = 30.0  # a leader longer than this costs the double for what is over [mm]
_FAR = 90.0  # blank paper beyond is too far away to be liked where there is any nearer [mm]


def _with_leader(
    rows: Sequence[str],
    target: Point,
    knee: Point,
    side: int,
    style: tuple[str, str, float],
    start: float,
    cost: float,
) -> Candidate:
    """A label whose leader runs from the target to the knee and then level to the lettering."""
    group, owner, weight = style
    away = math.hypot(knee[0] - target[0], knee[1] - target[1]) or 1.0
    tip = (
        target[0] + (knee[0] - target[0]) * start / away,
        target[1] + (knee[1] - target[1]) * start / away,
    )
    end = (knee[0] + side * SHOULDER, knee[1])
    at, anchor = (end[0] + side * LEADER_GAP, knee[1] - SMALL / 2), "left" if side > 0 else "right"
    texts = text_rows(rows, at, group, SMALL * 1.7, anchor=anchor, owner=owner)
    leader = Stroke((tip, knee, end), weight, LEADER, owner=owner)
    return Candidate(tuple(texts), (leader,), cost, APART)


def leader_places(
    text: str,
    target: Point,
    group: str,
    owner: str,
    *,
    weight: float,
    angles: Sequence[float],
    distances: Sequence[float],
    prefer: float,
) -> list[Candidate]:
    """Places for a label that a leader ties to a point, at given angles and distances."""
    style = (group, owner, weight)
    places = []
    for angle in angles:
        turn = math.radians(angle)
        away = abs((angle - prefer + 180) % 360 - 180)
        side = 1 if math.cos(turn) >= 0 else -1
        for distance in distances:
            knee = (
                target[0] + distance * math.cos(turn),
                target[1] + distance * math.sin(turn),
            )
            cost = distance + away * 0.25
            places.append(_with_leader((text,), target, knee, side, style, 0.0, cost))
    return places


def spread_places(
    board: Board,
    rows: Sequence[str],
    target: Point,
    group: str,
    owner: str,
    *,
    prefer: float,
    weight: float = FINE,
    start: float = 0.0,
    floor: float | None = None,
    bold: bool = False,
    most: int = 40,
    through: bool = False,
) -> list[Candidate]:
    """Places for a label with a leader, wherever the view has blank paper for it."""
    # start: how far from the target the leader begins, as on the rim of a circle [mm]
    # floor: height under which the label stands only where nothing above is free [mm on paper]
    # through: whether the leader may cross dimension lines
    extents = [measure(row, SMALL, bold) for row in rows]
    wide = max(extent.width for extent in extents)
    over, under = extents[0].over, extents[-1].under + SMALL * 1.7 * (len(rows) - 1)
    style = (group, owner, weight)
    spots = board.blank(wide + 2 * CLEARANCE, over + under + 2 * CLEARANCE, target, _FAR)
    if not len(spots):
        return []
    left, base = spots[:, 0] + CLEARANCE, spots[:, 1] + CLEARANCE + under
    middle = base + SMALL / 2
    reach = SHOULDER + LEADER_GAP
    parts = []
    for side in (1, -1):
        knee_x = left - reach if side > 0 else left + wide + reach
        dx, dy = knee_x - target[0], middle - target[1]
        away = np.hypot(dx, dy)
        turn = np.degrees(np.arctan2(dy, dx))
        cost = away - start + np.maximum(away - start - _LONG, 0.0)
        cost = cost + 0.12 * np.abs((turn - prefer + 180) % 360 - 180)
        cost = cost + np.where(np.abs(dy) < 0.25 * np.abs(dx), 12.0, 0.0)
        cost = cost + np.where(np.abs(dx) < 0.25 * np.abs(dy), 6.0, 0.0)
        if floor is not None:
            cost = cost + np.where(base < floor, _BELOW, 0.0)
        fits = (side * dx > -1.0) & (away > start + 3.0)
        parts.append(np.column_stack([cost, np.full(len(cost), side), knee_x, middle])[fits])
    choices = board.leaders_clear(np.vstack(parts), target, start, through)
    places = [
        _with_leader(rows, target, (x, y), int(side), style, start, cost)
        for cost, side, x, y in choices[:most].tolist()
    ]
    return [replace(place, through=True) for place in places] if through else places
