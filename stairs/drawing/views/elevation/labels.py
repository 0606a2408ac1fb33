"""Labels of an elevation: what is written beside the parts, and where it may stand.

Circles are labelled where they are the largest of their kind; the clear gaps of the panel run along
the rake over the top rail; posts are named over their caps; failures are flagged where they are.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Sequence
from functools import partial
from itertools import pairwise

from stairs.drawing.paper.lettering import SMALL, text_rows
from stairs.drawing.paper.primitives import FINE, Point, Text, path
from stairs.drawing.paper.view import View
from stairs.drawing.placing.dimensions import Dimension
from stairs.drawing.placing.extents import box_of
from stairs.drawing.placing.leaders import spread_places
from stairs.drawing.placing.placement import (
    APART,
    LEADER,
    LEADER_GAP,
    Board,
    Candidate,
    dearer,
    places_at,
)
from stairs.drawing.sheets.sheet_words import Facts
from stairs.drawing.views.elevation.dimension_chains import survey_of
from stairs.drawing.views.elevation.failure_flags import (
    failure_places,
    flags,
    opening_rows,
    targets_of,
)
from stairs.drawing.views.elevation.post_labels import GROUP, landings, post_name, side_by_side
from stairs.drawing.views.elevation.profile import line_height
from stairs.drawing.views.kinds import Label, LengthText, Offer, Role, Shows, Told
from stairs.guard.solving import Section
from stairs.numbers.tolerances import SAME
from stairs.openings.opening import BELOW_RAIL, Opening
from stairs.parts.bays import Bay

_AWAY = 60.0  # cost of a leader so long that one without a level end is liked better
_FAR = 34.0  # cost of a leader that is too long for one gap of many


def opening_labels(
    section: Section,
    failing: Sequence[Opening] = (),
    seen: Callable[[Opening], bool] = lambda opening: True,
) -> list[Opening]:
    """The largest opening of each kind under the rail; of several alike the one that a failure
    points at, or the middle one.
    """
    found: dict[str, list[Opening]] = {}
    for opening in section.openings:
        if opening.kind in BELOW_RAIL and seen(opening):
            found.setdefault(opening.kind, []).append(opening)
    largest = []
    for openings in found.values():
        most = max(opening.diameter for opening in openings)
        alike = [opening for opening in openings if opening.diameter >= most - SAME * most]
        flagged = [one for one in alike if any(one is other for other in failing)]
        largest.append((flagged or alike[len(alike) // 2 :])[0])
    return largest


def label_places(
    board: Board, section: Section, facts: Facts, view: View, text: LengthText,
    dimensions: Sequence[Dimension], seen: Shows = lambda point: True,
    told: Collection[Told] = frozenset(),
) -> list[Offer]:  # fmt: skip
    """Every label with what looks for its places, most important first."""
    floor = view.origin[1] + 2.0 if section.kind == "flight" else None
    failing = [
        target.opening
        for verdict in facts.failures
        for target in targets_of(verdict, section, view, ())
        if target.opening is not None
    ]
    labels = _gaps(board, section, view, text, seen)
    labels += _slips(board, section, view, text, seen)
    failures, more = failure_places(board, section, facts, view, text, dimensions, seen)
    labels += failures
    for opening in opening_labels(section, failing, lambda one: seen(view.at(one.center))):
        if any(opening is other for other in failing):
            continue  # its flag says as much
        rows = opening_rows(opening, text)
        # of a ball that passes beside the stair each part tells its own
        once = "" if opening.flat_diameter is not None else f"{rows[0]} {opening.kind}"
        label = Label(" ".join(rows), once=once)
        if label.told in told:
            continue
        alike = [one for one in _alike(section, opening) if seen(view.at(one.center))]
        circles = [(one, opening_rows(one, text)) for one in (opening, *alike)]
        labels.append((label, partial(_opening_places, board, circles, view, floor)))
    if survey_of(section) is not None:
        labels += _own_gaps(board, section, view, text, seen)
    elif section.kind == "flight":  # on a level run the circle under the rail says as much
        labels += _bottom_gap(board, section, view, text, seen)
    if facts.beside is not None:
        labels += side_by_side(board, section, facts.beside, view, text, failing)
    labels += [
        post_name(board, section, post, view, text)
        for post in section.posts
        if seen(view.at((post.x, post.surface + post.height)))
    ]
    labels += landings(section, view, seen) + more
    return [(label, places) for label, places in labels if label.told not in told]


# --------------------------------------------------------------------------- pieces


def _opening_places(
    board: Board, circles: Sequence[tuple[Opening, Sequence[str]]], view: View, floor: float | None
) -> list[Candidate]:
    """Places at the first of several circles alike; at all where the first is far from any."""
    (opening, rows), *alike = circles
    places = _circle_places(board, opening, rows, view, floor)
    if min((place.cost for place in places), default=_FAR) >= _FAR:
        for other, words in alike:  # one that blank paper lies nearer to
            places += _circle_places(board, other, words, view, floor)
    return places


def _circle_places(
    board: Board, opening: Opening, rows: Sequence[str], view: View, floor: float | None
) -> list[Candidate]:
    """Places for the label of an opening's circle, in two lines or in one."""
    prefer = {"foot": -35.0, "head": -60.0}.get(opening.kind, -50.0)
    places = []
    for more, lines in ((0.0, rows), (3.0, (" ".join(rows),))):
        found = spread_places(
            board, lines, view.at(opening.center), SMALL, GROUP, f"{opening.kind} circle", FINE,
            prefer=prefer, start=view.length(opening.drawn_diameter / 2), floor=floor,
        )  # fmt: skip
        places += dearer(found, more)
        if min((place.cost for place in places), default=_FAR) < _FAR / 2:
            break
    if min((place.cost for place in places), default=_AWAY) >= _AWAY:
        places += _straight_under(rows, opening, view, floor)
    return places


def _straight_under(
    rows: Sequence[str], opening: Opening, view: View, floor: float | None
) -> list[Candidate]:
    """Places straight under a circle, where paper is too narrow for a leader's level end."""
    x, y = view.at(opening.center)
    owner, tip = f"{opening.kind} circle", y - view.length(opening.drawn_diameter / 2)
    places = []
    for more, lines in ((0.0, rows), (3.0, (" ".join(rows),))):
        for down in (*(0.5 * k for k in range(7, 20)), *range(10, 42, 2)):
            top = tip - down
            if floor is not None and top - SMALL * (1 + 1.7 * (len(lines) - 1)) < floor:
                break
            for aside in (0.0, 2.0, -2.0, 4.0, -4.0, 6.0, 8.0, 10.0):
                texts = text_rows(lines, (x + aside, top - SMALL), GROUP, 1.7 * SMALL,
                                  anchor="middle", owner=owner)  # fmt: skip
                led = path(((x, tip), (x + aside, top + LEADER_GAP)), LEADER, owner=owner)
                cost = down + 1.5 * abs(aside) + more + _FAR
                places.append(Candidate(tuple(texts), (led,), cost, APART))
    return places


def _alike(section: Section, opening: Opening) -> list[Opening]:
    """Other openings of the same kind and size, the first and the last of them."""
    same = [
        one
        for one in section.openings
        if one.kind == opening.kind
        and one is not opening
        and abs(one.diameter - opening.diameter) <= SAME * opening.diameter
    ]
    return same if len(same) < 3 else [same[0], same[-1]]


def _bottom_gap(
    board: Board, section: Section, view: View, text: LengthText, seen: Shows
) -> list[Offer]:
    width = text(section.bottom_gap)
    taken = {opening.tread for opening in opening_labels(section)}
    points = [
        (x, line_height(section, x))
        for k, (x, _) in enumerate(section.nosings, start=1)
        if k - 1 not in taken
        and any(bay.bottom_rail[0][0] <= x <= bay.bottom_rail[3][0] for bay in section.bays)
    ] or list(section.nosings[:1])
    points = [point for point in points if seen(view.at(point))]
    if not points:
        return []
    center = points[(len(points) - 1) // 2][0]
    points.sort(key=lambda point: abs(point[0] - center))
    targets = [view.at((x, y + section.bottom_gap / 2)) for x, y in points[:3]]
    places = partial(_bottom_gap_places, board, width, targets, view)
    name = f"{width} BOTTOM GAP"
    return [(Label(name, once=name), places)]


def _bottom_gap_places(
    board: Board, width: str, targets: Sequence[Point], view: View
) -> list[Candidate]:
    ways = ((f"{width} BOTTOM", "GAP"), (width, "BOTTOM", "GAP"))
    places = []
    for k, target in enumerate(targets):
        for more, rows in enumerate(ways if k == 0 else ways[:1]):
            found = spread_places(
                board, rows, target, SMALL, GROUP, "bottom gap", FINE,
                prefer=-60.0, floor=view.origin[1] + 2.0, most=20 if k else 40,
            )  # fmt: skip
            places += dearer(found, 3 * more + 2 * (k > 0))
    return places


def _own_gaps(
    board: Board, section: Section, view: View, text: LengthText, seen: Shows
) -> list[Offer]:
    """The gap at every nosing of an uneven flight, plumb from the nosing to the rail."""
    labels: list[Offer] = []
    survey = survey_of(section)
    if survey is None:
        return labels
    for k, ((x, y), more) in enumerate(
        zip(section.nosings, survey.line_gaps, strict=True), start=1
    ):
        gap = section.bottom_gap + float(more)
        under = any(bay.bottom_rail[0][0] <= x <= bay.bottom_rail[3][0] for bay in section.bays)
        target = view.at((x, y + gap / 2))
        if not under or not seen(target):
            continue
        places = partial(_own_gap_places, board, section, k, f"{text(gap)} GAP", target, view)
        labels.append((Label(f"gap at nosing {k} {text(gap)}", Role.GAP), places))
    return labels


def _own_gap_places(
    board: Board, section: Section, nosing: int, words: str, target: Point, view: View
) -> list[Candidate]:
    """Places near the nosing, but in no circle under the rail, whose size it would seem to be."""
    circles = [
        (view.at(one.center), view.length(one.drawn_diameter / 2))
        for one in section.openings
        if one.kind in BELOW_RAIL
    ]
    places = spread_places(
        board, (words,), target, SMALL, GROUP, f"gap at nosing {nosing}", FINE, prefer=-40.0,
        floor=view.origin[1] + 2.0,
    )  # fmt: skip
    return [
        place
        for place in places
        if place.cost < _FAR
        and not any(
            math.dist(box_of(place.texts[0]).center, middle) < radius for middle, radius in circles
        )
    ]


def _slips(
    board: Board, section: Section, view: View, text: LengthText, seen: Shows
) -> list[Offer]:
    """A boxed flag at every nosing whose reading looks like a slip of the tape, or may be one."""
    survey = survey_of(section)
    if survey is None:
        return []
    readings: dict[int, list[str]] = {}
    for slip in survey.slips:
        way = "HEIGHT" if slip.axis == "y" else "RUN"
        readings.setdefault(slip.nosing, []).append(f"{way} READ {text(float(slip.read))}")
    for doubt in survey.doubts:
        if not doubt.borne_out:
            rise = doubt.axis == "rise"
            told = f"{'RISER' if rise else 'TREAD'} {doubt.step} IS {text(float(doubt.read))}"
            readings.setdefault(doubt.step + (not rise), []).append(told)
    labels: list[Offer] = []
    for nosing, words in readings.items():
        point = view.at(section.nosings[nosing - 1])
        if not seen(point):
            continue
        rows = ("MEASURE AGAIN", *words)
        places = partial(_slip_places, board, rows, point, view)
        labels.append((Label(" ".join(rows)), places))
    return labels


def _slip_places(board: Board, rows: Sequence[str], point: Point, view: View) -> list[Candidate]:
    places = []
    for more, few in ((0.0, rows), (25.0, rows[:1])):
        places += flags(board, few, point, "slip", view, 0.0, more)
    return places


def _gaps(board: Board, section: Section, view: View, text: LengthText, seen: Shows) -> list[Offer]:
    """Clear gaps, lettered along the rake between the top rail and its dimension line.

    A width that comes again is lettered once."""
    labels: list[Offer] = []
    told: set[str] = set()
    for bay in section.bays:
        for which, at, words in _gaps_of(section, bay, text):
            xs = tuple(x for x in at if seen(view.at((x, bay.top_rail[1][1]))))
            if words in told or not xs:
                continue
            told.add(words)
            owner = f"gap bay {bay.number} {which}"
            kind = "clear between balusters" if which == "clear" else "end gap"
            name = f"{kind} {words.removesuffix(' CLEAR')}"
            places = partial(_gap_places, board, bay, view, xs, words, owner, which)
            labels.append((Label(name, once=name), places))
    return labels


def _gaps_of(
    section: Section, bay: Bay, text: LengthText
) -> list[tuple[str, tuple[float, ...], str]]:
    """The clear gaps of a bay: which, where along it one may be pointed at, and its width."""
    at = bay.baluster_x
    if not at:
        return []
    half = _half_baluster(section, bay)
    low = (at[0] - half - bay.end_gap_low / 2,)
    gaps: list[tuple[str, tuple[float, ...], str]] = [("low", low, text(bay.end_gap_low))]
    if len(at) > 1:
        spaces = list(pairwise(at))
        count = len(spaces)
        picked = dict.fromkeys((count // 2, count // 4, 3 * count // 4, count // 8))
        xs = tuple(sum(spaces[k]) / 2 for k in picked)
        gaps.append(("clear", xs, f"{text(float(section.racked.baluster_clear))} CLEAR"))
    if text(bay.end_gap_high) != gaps[0][2]:
        gaps.append(("high", (at[-1] + half + bay.end_gap_high / 2,), text(bay.end_gap_high)))
    return gaps


def _gap_places(
    board: Board, bay: Bay, view: View, xs: Sequence[float], words: str, owner: str, which: str
) -> list[Candidate]:
    places = []
    for more, x in enumerate(xs):
        found = _on_the_rake(board, bay, view, x, words, owner, which, led=not more)
        places += dearer(found, more)
    return places


def _half_baluster(section: Section, bay: Bay) -> float:
    """Half a baluster's width, from the level clear gap and the level pitch."""
    if len(bay.baluster_x) > 1:
        return (bay.baluster_x[1] - bay.baluster_x[0] - float(section.racked.baluster_clear)) / 2
    return 0.0


def _on_the_rake(
    board: Board, bay: Bay, view: View, x: float, words: str, owner: str, which: str, led: bool
) -> list[Candidate]:
    """Places along the rake, and where it may have a leader those on blank paper."""
    (x0, y0), (x1, y1) = bay.top_rail[1], bay.top_rail[2]
    slope = (y1 - y0) / (x1 - x0)
    turn = math.degrees(math.atan(slope))
    cosine, sine = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    _, under = bay.top_rail[0], bay.top_rail[3]
    inside = view.at((x, under[1] + (x - under[0]) * slope))
    target = (inside[0], inside[1] - 3.0)
    over = view.at((x, y0 + (x - x0) * slope))
    places = []
    for lift, cost in ((3.0, 0.0), (4.0, 1.0), (5.0, 2.0)):
        knee = (over[0], over[1] + (lift + SMALL / 2) / cosine)
        for side, more in ((1, 0.0), (-1, 0.5)):
            if which == "high":
                more = 0.5 - more
            end = (knee[0] + side * 1.5 * cosine, knee[1] + side * 1.5 * sine)
            start = (end[0] + side * 0.9 * cosine, end[1] + side * 0.9 * sine)
            at = (start[0] + sine * SMALL / 2, start[1] - cosine * SMALL / 2)
            letters = Text(words, at, SMALL, GROUP, "left" if side > 0 else "right", turn,
                           owner=owner)  # fmt: skip
            leader = path((target, knee, end), LEADER, owner=owner)
            places.append(Candidate((letters,), (leader,), cost + more))
    if led and not board.any_free(places):
        far = spread_places(board, (words,), target, SMALL, GROUP, owner, FINE, prefer=110.0)
        places += dearer(far, 10)
    return places


def tread_numbers(section: Section, view: View, seen: Shows) -> list[tuple[Candidate, ...]]:
    """Of the number of every tread the places under it where it may stand."""
    numbers: list[tuple[Candidate, ...]] = []
    flight = section.flight
    if flight is None:
        return numbers
    for k in range(1, flight.treads + 1):
        start, y = section.nosings[k - 1]
        end = section.nosings[k][0] if k < flight.risers else start + float(flight.unit_run)
        x = (start + end + float(flight.nosing)) / 2
        middle, y = view.at((x, y - float(flight.tread_thickness)))
        if not seen((middle, y)):
            continue
        spots = [
            (middle + aside, y - down - SMALL, "middle", down + abs(aside) / 2)
            for down in (1.3, 2.0, 3.0)
            for aside in (0.0, -2.5, 2.5, -5.0, 5.0, -7.5, 7.5, -10.0, 10.0)
            if abs(aside) < view.length(end - start) / 2 - SMALL / 2
        ]
        numbers.append(places_at((str(k),), spots, "tread-number", owner=f"tread {k}", apart=2.0))
    return numbers
