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
from stairs.drawing.paper.primitives import Point, Text, path
from stairs.drawing.placing.extents import box_of
from stairs.drawing.placing.placement import (
    APART,
    LEADER,
    LEADER_GAP,
    Candidate,
    dearer,
    places_at,
)
from stairs.drawing.views.elevation.dimension_chains import survey_of
from stairs.drawing.views.elevation.failure_flags import (
    failure_places,
    flags,
    opening_rows,
    targets_of,
)
from stairs.drawing.views.elevation.post_labels import GROUP, landings, post_name, side_by_side
from stairs.drawing.views.elevation.profile import line_height
from stairs.drawing.views.kinds import Label, LengthText, Lettered, Offer, Role, Told
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
    on: Lettered, told: Collection[Told] = frozenset(),
) -> list[Offer]:  # fmt: skip
    """Every label with what looks for its places, most important first."""
    floor = on.floor if on.section.kind == "flight" else None
    failing = [
        target.opening
        for verdict in on.facts.failures
        for target in targets_of(verdict, on.section, on.view, ())
        if target.opening is not None
    ]
    labels = _gaps(on)
    labels += _slips(on)
    failures, more = failure_places(on)
    labels += failures
    for opening in opening_labels(on.section, failing, lambda one: on.seen(on.view.at(one.center))):
        if any(opening is other for other in failing):
            continue  # its flag says as much
        rows = opening_rows(opening, on.text)
        # of a ball that passes beside the stair each part tells its own
        once = "" if opening.flat_diameter is not None else f"{rows[0]} {opening.kind}"
        label = Label(" ".join(rows), once=once)
        if label.told in told:
            continue
        alike = [one for one in _alike(on.section, opening) if on.seen(on.view.at(one.center))]
        circles = [(one, opening_rows(one, on.text)) for one in (opening, *alike)]
        labels.append((label, partial(_opening_places, on, circles, floor)))
    if survey_of(on.section) is not None:
        labels += _own_gaps(on)
    elif on.section.kind == "flight":  # on a level run the circle under the rail says as much
        labels += _bottom_gap(on)
    if on.facts.beside is not None:
        labels += side_by_side(on, on.facts.beside, failing)
    labels += [
        post_name(on, post)
        for post in on.section.posts
        if on.seen(on.view.at((post.x, post.surface + post.height)))
    ]
    labels += landings(on) + more
    return [(label, places) for label, places in labels if label.told not in told]


# --------------------------------------------------------------------------- pieces


def _opening_places(
    on: Lettered, circles: Sequence[tuple[Opening, Sequence[str]]], floor: float | None
) -> list[Candidate]:
    """Places at the first of several circles alike; at all where the first is far from any."""
    (opening, rows), *alike = circles
    places = _circle_places(on, opening, rows, floor)
    if min((place.cost for place in places), default=_FAR) >= _FAR:
        for other, words in alike:  # one that blank paper lies nearer to
            places += _circle_places(on, other, words, floor)
    return places


def _circle_places(
    on: Lettered, opening: Opening, rows: Sequence[str], floor: float | None
) -> list[Candidate]:
    """Places for the label of an opening's circle, in two lines or in one."""
    prefer = {"foot": -35.0, "head": -60.0}.get(opening.kind, -50.0)
    places = []
    for more, lines in ((0.0, rows), (3.0, (" ".join(rows),))):
        radius = on.view.length(opening.drawn_diameter / 2)
        owner = f"{opening.kind} circle"
        found = on.led(lines, on.view.at(opening.center), owner, prefer, radius, floor)
        places += dearer(found, more)
        if min((place.cost for place in places), default=_FAR) < _FAR / 2:
            break
    if min((place.cost for place in places), default=_AWAY) >= _AWAY:
        places += _straight_under(on, rows, opening, floor)
    return places


def _straight_under(
    on: Lettered, rows: Sequence[str], opening: Opening, floor: float | None
) -> list[Candidate]:
    """Places straight under a circle, where paper is too narrow for a leader's level end."""
    x, y = on.view.at(opening.center)
    owner, tip = f"{opening.kind} circle", y - on.view.length(opening.drawn_diameter / 2)
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


def _bottom_gap(on: Lettered) -> list[Offer]:
    width = on.text(on.section.bottom_gap)
    taken = {opening.tread for opening in opening_labels(on.section)}
    points = [
        (x, line_height(on.section, x))
        for k, (x, _) in enumerate(on.section.nosings, start=1)
        if k - 1 not in taken
        and any(bay.bottom_rail[0][0] <= x <= bay.bottom_rail[3][0] for bay in on.section.bays)
    ] or list(on.section.nosings[:1])
    points = [point for point in points if on.seen(on.view.at(point))]
    if not points:
        return []
    center = points[(len(points) - 1) // 2][0]
    points.sort(key=lambda point: abs(point[0] - center))
    targets = [on.view.at((x, y + on.section.bottom_gap / 2)) for x, y in points[:3]]
    places = partial(_bottom_gap_places, on, width, targets)
    name = f"{width} BOTTOM GAP"
    return [(Label(name, once=name), places)]


def _bottom_gap_places(on: Lettered, width: str, targets: Sequence[Point]) -> list[Candidate]:
    ways = ((f"{width} BOTTOM", "GAP"), (width, "BOTTOM", "GAP"))
    places = []
    for k, target in enumerate(targets):
        for more, rows in enumerate(ways if k == 0 else ways[:1]):
            most = 20 if k else 40
            found = on.led(rows, target, "bottom gap", -60.0, floor=on.floor, most=most)
            places += dearer(found, 3 * more + 2 * (k > 0))
    return places


def _own_gaps(on: Lettered) -> list[Offer]:
    """The gap at every nosing of an uneven flight, plumb from the nosing to the rail."""
    labels: list[Offer] = []
    survey = survey_of(on.section)
    if survey is None:
        return labels
    for k, ((x, y), more) in enumerate(
        zip(on.section.nosings, survey.line_gaps, strict=True), start=1
    ):
        gap = on.section.bottom_gap + float(more)
        under = any(bay.bottom_rail[0][0] <= x <= bay.bottom_rail[3][0] for bay in on.section.bays)
        target = on.view.at((x, y + gap / 2))
        if not under or not on.seen(target):
            continue
        places = partial(_own_gap_places, on, k, f"{on.text(gap)} GAP", target)
        labels.append((Label(f"gap at nosing {k} {on.text(gap)}", Role.GAP), places))
    return labels


def _own_gap_places(on: Lettered, nosing: int, words: str, target: Point) -> list[Candidate]:
    """Places near the nosing, but in no circle under the rail, whose size it would seem to be."""
    circles = [
        (on.view.at(one.center), on.view.length(one.drawn_diameter / 2))
        for one in on.section.openings
        if one.kind in BELOW_RAIL
    ]
    places = on.led((words,), target, f"gap at nosing {nosing}", -40.0, floor=on.floor)
    return [
        place
        for place in places
        if place.cost < _FAR
        and not any(
            math.dist(box_of(place.texts[0]).center, middle) < radius for middle, radius in circles
        )
    ]


def _slips(on: Lettered) -> list[Offer]:
    """A boxed flag at every nosing whose reading looks like a slip of the tape, or may be one."""
    survey = survey_of(on.section)
    if survey is None:
        return []
    readings: dict[int, list[str]] = {}
    for slip in survey.slips:
        way = "HEIGHT" if slip.axis == "y" else "RUN"
        readings.setdefault(slip.nosing, []).append(f"{way} READ {on.text(float(slip.read))}")
    for doubt in survey.doubts:
        if not doubt.borne_out:
            rise = doubt.axis == "rise"
            told = f"{'RISER' if rise else 'TREAD'} {doubt.step} IS {on.text(float(doubt.read))}"
            readings.setdefault(doubt.step + (not rise), []).append(told)
    labels: list[Offer] = []
    for nosing, words in readings.items():
        point = on.view.at(on.section.nosings[nosing - 1])
        if not on.seen(point):
            continue
        rows = ("MEASURE AGAIN", *words)
        places = partial(_slip_places, on, rows, point)
        labels.append((Label(" ".join(rows)), places))
    return labels


def _slip_places(on: Lettered, rows: Sequence[str], point: Point) -> list[Candidate]:
    places = []
    for more, few in ((0.0, rows), (25.0, rows[:1])):
        places += flags(on.board, few, point, "slip", on.floor, more=more)
    return places


def _gaps(on: Lettered) -> list[Offer]:
    """Clear gaps, lettered along the rake between the top rail and its dimension line.

    A width that comes again is lettered once."""
    labels: list[Offer] = []
    told: set[str] = set()
    for bay in on.section.bays:
        for which, at, words in _gaps_of(on.section, bay, on.text):
            xs = tuple(x for x in at if on.seen(on.view.at((x, bay.top_rail[1][1]))))
            if words in told or not xs:
                continue
            told.add(words)
            owner = f"gap bay {bay.number} {which}"
            kind = "clear between balusters" if which == "clear" else "end gap"
            name = f"{kind} {words.removesuffix(' CLEAR')}"
            places = partial(_gap_places, on, bay, xs, words, owner, which)
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
    on: Lettered, bay: Bay, xs: Sequence[float], words: str, owner: str, which: str
) -> list[Candidate]:
    places = []
    for more, x in enumerate(xs):
        found = _on_the_rake(on, bay, x, words, owner, which, led=not more)
        places += dearer(found, more)
    return places


def _half_baluster(section: Section, bay: Bay) -> float:
    """Half a baluster's width, from the level clear gap and the level pitch."""
    if len(bay.baluster_x) > 1:
        return (bay.baluster_x[1] - bay.baluster_x[0] - float(section.racked.baluster_clear)) / 2
    return 0.0


def _on_the_rake(
    on: Lettered, bay: Bay, x: float, words: str, owner: str, which: str, led: bool
) -> list[Candidate]:
    """Places along the rake, and where it may have a leader those on blank paper."""
    (x0, y0), (x1, y1) = bay.top_rail[1], bay.top_rail[2]
    slope = (y1 - y0) / (x1 - x0)
    turn = math.degrees(math.atan(slope))
    cosine, sine = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    _, under = bay.top_rail[0], bay.top_rail[3]
    inside = on.view.at((x, under[1] + (x - under[0]) * slope))
    target = (inside[0], inside[1] - 3.0)
    over = on.view.at((x, y0 + (x - x0) * slope))
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
    if led and not on.board.any_free(places):
        far = on.led((words,), target, owner, 110.0)
        places += dearer(far, 10)
    return places


def tread_numbers(on: Lettered) -> list[tuple[Candidate, ...]]:
    """Of the number of every tread the places under it where it may stand."""
    numbers: list[tuple[Candidate, ...]] = []
    flight = on.section.flight
    if flight is None:
        return numbers
    for k in range(1, flight.treads + 1):
        start, y = on.section.nosings[k - 1]
        end = on.section.nosings[k][0] if k < flight.risers else start + float(flight.unit_run)
        x = (start + end + float(flight.nosing)) / 2
        middle, y = on.view.at((x, y - float(flight.tread_thickness)))
        if not on.seen((middle, y)):
            continue
        spots = [
            (middle + aside, y - down - SMALL, "middle", down + abs(aside) / 2)
            for down in (1.3, 2.0, 3.0)
            for aside in (0.0, -2.5, 2.5, -5.0, 5.0, -7.5, 7.5, -10.0, 10.0)
            if abs(aside) < on.view.length(end - start) / 2 - SMALL / 2
        ]
        numbers.append(places_at((str(k),), spots, "tread-number", owner=f"tread {k}", apart=2.0))
    return numbers
