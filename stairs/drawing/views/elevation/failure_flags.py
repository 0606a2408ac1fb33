"""Flags: where on the view something fails, and the boxed label that points at it.

A failure is numbered in the table of verdicts, and its flag on the view carries the same number,
tied by a leader to the opening, the post, the step or the dimension line that is meant.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from msgspec import Struct

from stairs.drawing.paper.primitives import THIN, Point
from stairs.drawing.paper.view import View
from stairs.drawing.placing.dimensions import Dimension, ends_on_paper
from stairs.drawing.placing.labelled_view import flagged
from stairs.drawing.placing.leaders import spread_places
from stairs.drawing.placing.placement import Board, Candidate, dearer
from stairs.drawing.sheets.sheet_words import Verdict
from stairs.drawing.views.kinds import Label, LengthText, Lettered, Offer, Role
from stairs.guard.solving import Section
from stairs.openings.opening import BELOW_RAIL, Opening
from stairs.parts.bays import Bay

_TOO_LONG = 60.0  # cost of a leader that is too long for one failing opening of several


class Target(Struct, frozen=True):
    """Where a finding is on the view: a point, how far from it a leader stops, and the opening."""

    point: Point
    start: float = 0.0
    opening: Opening | None = None


_AT_DIMENSION = {
    "guard-height-min": ("guard height", 1.0),
    "guard-height-max": ("guard height", 1.0),
    "handrail-height-min": ("guard height", 1.0),
    "handrail-height-max": ("guard height", 1.0),
    "flight-rise-max": ("total rise", 0.5),
}
"""Checks of a quantity that the view dimensions: which dimension, and how far along its line the
flag points."""


def targets_of(
    verdict: Verdict, section: Section, view: View, dimensions: Sequence[Dimension]
) -> list[Target]:
    """Everywhere on the view that a finding is, the place that it tells first [mm on paper]."""
    wanted, share = _AT_DIMENSION.get(verdict.id, ("", 0.0))
    for dimension in dimensions:
        if dimension.name == wanted:
            (x0, y0), (x1, y1) = ends_on_paper(dimension, view)
            return [Target((x0 + (x1 - x0) * share, y0 + (y1 - y0) * share))]
    if verdict.openings:
        return [_at_opening(section.openings[k], view) for k in verdict.openings]
    return [_at_part(verdict, section, view)]


def _at_opening(opening: Opening, view: View) -> Target:
    """An opening, whose circle the view shows unless it is seen from the front only."""
    drawn = opening.kind != "open-riser"
    radius = view.length(opening.drawn_diameter / 2) if drawn else 0.0
    return Target(view.at(opening.center), radius, opening if drawn else None)


def _at_part(verdict: Verdict, section: Section, view: View) -> Target:
    """The post, the step or the rail that a finding names."""
    kind, number = (verdict.at.kind, verdict.at.numbers[0]) if verdict.at else ("", None)
    if kind == "post" and number is not None:
        post = section.posts[number - 1]
        if "edge" in verdict.id:
            return Target(view.at((post.x, post.surface)))
        return Target(
            view.at((post.centre_at(post.height * 0.6), post.surface + post.height * 0.6))
        )
    if section.kind == "flight" and verdict.id.split("-")[0] in (
        "unit", "tread", "riser", "nosing", "step", "rake", "flight", "risers"
    ):  # fmt: skip
        k = min(number or (section.flight.risers + 1) // 2, section.flight.risers)
        x, y = section.nosings[k - 1]
        if kind == "tread" and k < section.flight.risers:
            return Target(view.at((x + 0.4 * (section.nosings[k][0] - x), y)))
        below = section.nosings[k - 2][1] if k > 1 else 0.0
        return Target(view.at((x + float(section.flight.nosing), y - 0.6 * (y - below))))
    bay = _bay_meant(section, kind, number)
    share = 0.35 if "handrail" in verdict.id else 0.6
    (x0, y0), (x1, y1) = bay.top_rail[1], bay.top_rail[2]
    if "corner" in verdict.id or "swing" in verdict.id:
        share = 0.0
    return Target(view.at((x0 + (x1 - x0) * share, y0 + (y1 - y0) * share)))


def _bay_meant(section: Section, kind: str, number: int | None) -> Bay:
    """The bay that a finding names, or whose rails run over the nosing that it names."""
    if kind == "bay" and number is not None:
        return section.bays[number - 1]
    if kind == "nosing" and number is not None:
        x = section.nosings[number - 1][0]
        for bay in section.bays:
            if x <= bay.top_rail[2][0]:
                return bay
        return section.bays[-1]
    return section.bays[0]


def failure_places(
    on: Lettered,
) -> tuple[list[Offer], list[Offer]]:
    """A boxed flag for every place where something fails, tied to it by a heavier leader: its name,
    and what looks for its places (``label_places``).  Apart from these
    the flags of further openings that fail in the same way.
    """
    by_place: dict[Point, list[Verdict]] = {}
    targets: dict[Point, Target] = {}
    in_full: set[Point] = set()
    for verdict in on.facts.failures:
        for k, target in enumerate(targets_of(verdict, on.section, on.view, on.dimensions)):
            if on.seen(target.point):
                by_place.setdefault(target.point, []).append(verdict)
                targets[target.point] = target
                in_full |= {target.point} if k == 0 else set()
    labels: list[Offer] = []
    more: list[Offer] = []
    for point, verdicts in by_place.items():
        target = targets[point]
        numbers = ", ".join(str(one.mark) for one in verdicts)
        rows = (f"FAIL {numbers}", *opening_rows(target.opening, on.text))
        if target.opening is not None and point not in in_full:  # told in full where it is worst
            at = f"{numbers} at {target.opening.place}"
            near = partial(_near_places, on, rows[:1], point, f"failure {at}", target.start)
            more.append((Label(f"FAIL {at}", Role.FAILURE, needed=False), near))
            continue
        places = partial(_flag_places, on, rows, point, f"failure {numbers}", target.start)
        labels.append((Label(" ".join(rows), Role.FAILURE, once=rows[0]), places))
    return labels, more


def _near_places(
    on: Lettered, rows: Sequence[str], point: Point, owner: str, start: float
) -> list[Candidate]:
    """Places near an opening that fails like another: the table names it, its circle is heavier."""
    found = _framed(on.board, rows, point, owner, on.floor, start, through=False)
    return [place for place in found if place.cost < _TOO_LONG]


def _flag_places(
    on: Lettered, rows: Sequence[str], point: Point, owner: str, start: float
) -> list[Candidate]:
    places = flags(on.board, rows, point, owner, on.floor, start)
    if len(rows) > 1:
        places += flags(on.board, rows[:1], point, owner, on.floor, start, 60.0)
    return places


def flags(
    board: Board, rows: Sequence[str], point: Point, owner: str, floor: float, start: float = 0.0,
    more: float = 0.0,
) -> list[Candidate]:  # fmt: skip
    """Places for a label whose first line is framed, so much dearer than others.

    What fails has to be on the view: where dimension lines shut a place in, its leader crosses
    them.
    """
    places = _framed(board, rows, point, owner, floor, start, through=False)
    if not board.any_free(places):
        places = _framed(board, rows, point, owner, floor, start, through=True)
    return dearer(places, more)


def _framed(
    board: Board, rows: Sequence[str], point: Point, owner: str, floor: float, start: float,
    through: bool,
) -> list[Candidate]:  # fmt: skip
    spread = spread_places(
        board, rows, point, "failure", owner, prefer=-45.0, weight=THIN,
        start=start, floor=floor, bold=True, through=through,
    )  # fmt: skip
    return [flagged(place) for place in spread]


def opening_rows(opening: Opening | None, text: LengthText) -> tuple[str, ...]:
    """Size and kind of an opening under the rail or between two posts, in two lines; nothing for
    the others.
    """
    if opening is None:
        return ()
    if opening.kind == "end" and opening.bay is None:
        return text(opening.diameter), "BETWEEN POSTS"
    if opening.kind not in BELOW_RAIL:
        return ()
    words = {"foot": "AT FOOT", "head": "AT HEAD", "under-rail": "UNDER RAIL"}
    place = words.get(opening.kind, f"AT TREAD {opening.tread}")
    if opening.flat_diameter is not None:  # the guard stands off, so that a ball passes beside
        return f"BALL Ø {text(opening.diameter)}", f"PASSES {place}"
    return f"Ø {text(opening.diameter)}", place
