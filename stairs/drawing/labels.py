"""Labels of an elevation: what is written beside the parts, and where it may stand.

Circles are labelled where they are the largest of their kind; the clear gaps of the panel run along
the rake over the top rail; posts are named over their caps; failures are flagged where they are.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from stairs.drawing.chains import bounds_of
from stairs.drawing.dimensions import STYLE, ends_on_paper
from stairs.drawing.extents import box_of
from stairs.drawing.facts import Facts, Verdict
from stairs.drawing.lettering import SMALL
from stairs.drawing.placement import APART, LEADER, Board, Candidate, spread_places
from stairs.drawing.primitives import FINE, THICK, THIN, Point, Stroke, Text
from stairs.drawing.profile import line_height
from stairs.drawing.view import View

GROUP = "label"
GAP_AT = "gap at nosing"
"""How the names of an uneven flight's own gaps begin."""
_FAR = 34.0  # cost of a leader that is too long for one gap of many

_UNDER_RAIL = ("triangle", "foot", "head", "under-rail")


@dataclass(frozen=True, slots=True)
class Target:
    """Where a finding is on the view: a point, how far from it a leader stops, and the opening."""

    point: Point
    start: float = 0.0
    opening: object | None = None


def opening_labels(section, failing=(), seen=lambda opening: True) -> list:
    """The largest opening of each kind under the rail; of several alike the one that a failure
    points at, or the middle one."""
    found: dict[str, list] = {}
    for opening in section.openings:
        if opening.kind in _UNDER_RAIL and seen(opening):
            found.setdefault(opening.kind, []).append(opening)
    largest = []
    for openings in found.values():
        most = max(opening.diameter for opening in openings)
        alike = [opening for opening in openings if opening.diameter >= most - 1e-9 * most]
        flagged = [one for one in alike if any(one is other for other in failing)]
        largest.append((flagged or alike[len(alike) // 2 :])[0])
    return largest


def label_places(
    board: Board, section, facts: Facts, view: View, text, dimensions, seen=lambda point: True
) -> list:
    """Every label with the places where it may stand, most important first.

    Parameters
    ----------
    board : Board
        The view as it stands, with its dimensions.
    section : stairs.guard.Section
        Solved.
    facts : Facts
        For the failures.
    view : View
        Scale and place.
    text : callable
        Turns a length of the work into lettering.
    dimensions : sequence of Dimension
        Those that the view carries; a failure of one of them is flagged at its line.
    seen : callable
        Whether a point [mm on paper] is on the view, which may show a part of the section.

    Returns
    -------
    list of (str, list of Candidate)
        A name in parentheses marks a label that may be left out.
    """
    floor = view.origin[1] + 2.0 if section.kind == "flight" else None
    failing = [target_of(verdict, section, view, ()).opening for verdict in facts.failures]
    labels = _gaps(board, section, view, text, seen)
    labels += _slips(board, section, view, text, seen)
    labels += _failures(board, section, facts, view, text, dimensions, seen)
    for opening in opening_labels(section, failing, lambda one: seen(view.at(one.center))):
        if any(opening is other for other in failing):
            continue  # its flag says as much
        radius = view.length(opening.drawn_diameter / 2)
        rows = _opening_rows(opening, text)
        prefer = {"foot": -35.0, "head": -60.0}.get(opening.kind, -50.0)
        places = spread_places(
            board, rows, view.at(opening.center), SMALL, GROUP, f"{opening.kind} circle", FINE,
            prefer=prefer, start=radius, floor=floor,
        )  # fmt: skip
        labels.append((" ".join(rows), places))
    if _uneven(section):
        labels += _own_gaps(board, section, view, text, seen)
    elif section.kind == "flight":  # on a level run the circle under the rail says as much
        labels += _bottom_gap(board, section, view, text, seen)
    labels += [
        _post_name(board, section, post, view, text)
        for post in section.posts
        if seen(view.at((post.x, post.surface + post.height)))
    ]
    labels += _landings(section, view, seen)
    labels += _tread_numbers(section, view, seen)
    return labels


def _uneven(section) -> bool:
    """Whether the flight was measured nosing by nosing."""
    return section.flight is not None and section.flight.survey is not None


# --------------------------------------------------------------------------- pieces


def _bottom_gap(board: Board, section, view: View, text, seen):
    width = text(section.bottom_gap)
    ways = ((f"{width} BOTTOM", "GAP"), (width, "BOTTOM", "GAP"))
    gap = section.bottom_gap / 2
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
    middle = len(points) // 2
    center = points[middle][0]
    points.sort(key=lambda point: abs(point[0] - center))
    places = []
    for more, rows in enumerate(ways):
        x, y = points[0]
        found = spread_places(
            board, rows, view.at((x, y + gap)), SMALL, GROUP, "bottom gap", FINE,
            prefer=-60.0, floor=view.origin[1] + 2.0,
        )  # fmt: skip
        places += [replace(place, cost=place.cost + 3 * more) for place in found]
    for x, y in points[1:3]:
        found = spread_places(
            board, ways[0], view.at((x, y + gap)), SMALL, GROUP, "bottom gap", FINE,
            prefer=-60.0, floor=view.origin[1] + 2.0, most=20,
        )  # fmt: skip
        places += [replace(place, cost=place.cost + 2) for place in found]
    return [(f"{width} BOTTOM GAP", places)]


def _own_gaps(board: Board, section, view: View, text, seen):
    """The gap at every nosing of an uneven flight, plumb from the nosing to the rail."""
    labels = []
    for k, ((x, y), more) in enumerate(
        zip(section.nosings, section.flight.survey.line_gaps, strict=True), start=1
    ):
        gap = section.bottom_gap + float(more)
        under = any(bay.bottom_rail[0][0] <= x <= bay.bottom_rail[3][0] for bay in section.bays)
        target = view.at((x, y + gap / 2))
        if not under or not seen(target):
            continue
        words = f"{text(gap)} GAP"
        places = spread_places(
            board, (words,), target, SMALL, GROUP, f"gap at nosing {k}", FINE, prefer=-40.0,
            floor=view.origin[1] + 2.0,
        )  # fmt: skip
        near = [place for place in places if place.cost < _FAR]
        labels.append((f"{GAP_AT} {k} {text(gap)}", near))
    return labels


def _slips(board: Board, section, view: View, text, seen):
    """A boxed flag at every nosing whose reading looks like a slip of the tape."""
    if not _uneven(section):
        return []
    readings: dict[int, list[str]] = {}
    for slip in section.flight.survey.slips:
        way = "HEIGHT" if slip.axis == "y" else "RUN"
        readings.setdefault(slip.nosing, []).append(f"{way} READ {text(float(slip.read))}")
    labels = []
    for nosing, words in readings.items():
        point = view.at(section.nosings[nosing - 1])
        if not seen(point):
            continue
        rows = ("MEASURE AGAIN", *words)
        places = []
        for more, few in ((0.0, rows), (25.0, rows[:1])):
            places += _flags(board, few, point, "slip", view, 0.0, more)
        labels.append((" ".join(rows), places))
    return labels


def _gaps(board: Board, section, view: View, text, seen):
    """Clear gaps, lettered along the rake between the top rail and its dimension line.

    A width that comes again is lettered once."""
    labels = []
    told: set[str] = set()
    for bay in section.bays:
        low, high = bay.baluster_x[:1], bay.baluster_x[-1:]
        if not low:
            continue
        half = _half_baluster(section, bay)
        face_low = low[0] - half - bay.end_gap_low
        gaps = [
            ("low", face_low + bay.end_gap_low / 2, text(bay.end_gap_low), f"{bay.number} low"),
            ("high", high[0] + half + bay.end_gap_high / 2, text(bay.end_gap_high),
             f"{bay.number} high"),
        ]  # fmt: skip
        if gaps[0][2] == gaps[1][2]:
            gaps.pop()
        if len(bay.baluster_x) > 1:
            place = len(bay.baluster_x) // 2
            x = (bay.baluster_x[place - 1] + bay.baluster_x[place]) / 2
            gaps.insert(
                1, ("clear", x, f"{text(section.baluster_clear)} CLEAR", f"{bay.number} clear")
            )
        for which, x, words, name in gaps:
            if words in told or not seen(view.at((x, bay.top_rail[1][1]))):
                continue
            told.add(words)
            owner = f"gap bay {name}"
            kind = "clear between balusters" if which == "clear" else "end gap"
            name = f"{kind} {words.removesuffix(' CLEAR')}"
            labels.append((name, _on_the_rake(board, bay, view, x, words, owner, which)))
    return labels


def _half_baluster(section, bay) -> float:
    """Half a baluster's width, from the level clear gap and the level pitch."""
    if len(bay.baluster_x) > 1:
        return (bay.baluster_x[1] - bay.baluster_x[0] - section.baluster_clear) / 2
    return 0.0


def _on_the_rake(board: Board, bay, view: View, x: float, words: str, owner: str, which: str):
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
            leader = Stroke((target, knee, end), FINE, LEADER, owner=owner)
            places.append(Candidate((letters,), (leader,), cost + more))
    led = spread_places(board, (words,), target, SMALL, GROUP, owner, FINE, prefer=110.0)
    return places + [replace(place, cost=place.cost + 10) for place in led]


def _post_name(board: Board, section, post, view: View, text):
    over = section.guard_height if post.wall else post.height
    x, y = view.at((post.x, post.surface + over))
    rows = post_rows(section, post, text)
    places = _post_places(board, post, rows, x, y + (9.0 if post.wall else 0.0))
    if len(rows) > 1:  # its name alone; the rest goes into the schedule of posts
        alone = _post_places(board, post, rows[:1], x, y)
        places += [replace(place, cost=place.cost + 60) for place in alone]
    return " ".join(rows), places


def post_rows(section, post, text) -> tuple[str, ...]:
    """What is lettered at a post: its name, its height, and the other section that it serves."""
    if post.wall:
        return ("WALL",)
    inner = post is not section.posts[0] and post is not section.posts[-1]
    rows = [f"POST {post.number}"]
    if inner:
        rows.append(f"{text(post.height)} TALL")
    if post.shared_with is not None:
        other, number = post.shared_with
        rows += [f"ALSO POST {number}", f"OF SECTION {other}"]
    return tuple(rows)


def _post_places(board: Board, post, rows, x: float, y: float) -> list[Candidate]:
    owner = f"post {post.number}"
    places = []
    pitch = SMALL * 1.7
    for lift in (2.6, 4.0, 6.0, 9.0, 12.0, 16.0, 20.0):
        for aside in (0.0, -6.0, 6.0, -10.0, 10.0):
            texts = tuple(
                Text(row, (x + aside, y + lift + pitch * (len(rows) - 1 - k)), SMALL, GROUP,
                     "middle", owner=owner)
                for k, row in enumerate(rows)
            )  # fmt: skip
            places.append(Candidate(texts, (), lift + abs(aside), APART))
    led = spread_places(board, rows, (x, y), SMALL, GROUP, owner, FINE, prefer=105.0)
    return places + [replace(place, cost=place.cost + 40) for place in led]


def _landings(section, view: View, seen):
    labels = []
    if section.kind != "flight":
        return labels
    x, y = view.at((section.posts[0].x, 0.0))
    places = [
        Candidate((Text("LOWER LANDING", (x - back, y - down), SMALL, GROUP, "right",
                        owner="lower landing"),), (), down + back / 4, APART)
        for down in (6.6, 8.0, 11.0)
        for back in (4.0, 7.0, 10.0)
    ]  # fmt: skip
    if seen((x, y)):
        labels.append(("(lower landing)", places))
    x, y = view.at(section.nosings[-1])
    thick = view.length(section.tread_thickness)
    chain = view.at((bounds_of(section).right, 0.0))[0] + STYLE.first - x
    places = [
        Candidate((Text("UPPER LANDING", (x + along, y - thick - down), SMALL, GROUP, "left",
                        owner="upper landing"),), (), down + along / 4, APART)
        for down in (4.5, 6.0, 9.0)
        for along in (3.0, 6.0, 12.0, chain + 1.5, chain + 3.0)
    ]  # fmt: skip
    if seen((x, y)):
        labels.append(("(upper landing)", places))
    return labels


def _tread_numbers(section, view: View, seen):
    labels = []
    for k in range(1, section.treads + 1):
        start, y = section.nosings[k - 1]
        end = section.nosings[k][0] if k < section.risers else start + section.unit_run
        x = (start + end + section.nosing) / 2
        middle, y = view.at((x, y - section.tread_thickness))
        if not seen((middle, y)):
            continue
        places = [
            Candidate((Text(str(k), (middle + aside, y - down - SMALL), SMALL, "tread-number",
                            "middle", owner=f"tread {k}"),), (), down + abs(aside), 4.0)
            for down in (1.3, 2.0)
            for aside in (0.0, -2.5, 2.5)
        ]  # fmt: skip
        labels.append((f"(tread {k})", places))
    return labels


# --------------------------------------------------------------------------- failures

_OPENING_OF = {
    "opening-triangle": ("triangle", "foot"),
    "opening-under-rail": ("under-rail", "head", "triangle", "foot"),
    "opening-baluster": ("baluster", "end"),
}


_AT_DIMENSION = {
    "guard-height-min": ("guard height", 1.0),
    "guard-height-max": ("guard height", 1.0),
    "handrail-height-min": ("guard height", 1.0),
    "handrail-height-max": ("guard height", 1.0),
    "flight-rise-max": ("total rise", 0.5),
}
"""Checks of a quantity that the view dimensions: which dimension, and how far along its line the
flag points."""


def target_of(verdict: Verdict, section, view: View, dimensions) -> Target:
    """Where on the view a finding is [mm on paper]."""
    wanted, share = _AT_DIMENSION.get(verdict.id, ("", 0.0))
    for dimension in dimensions:
        if dimension.name == wanted:
            (x0, y0), (x1, y1) = ends_on_paper(dimension, view)
            return Target((x0 + (x1 - x0) * share, y0 + (y1 - y0) * share))
    words = verdict.where.split()
    number = int(words[1]) if len(words) > 1 and words[1].isdigit() else None
    if verdict.id.startswith("opening"):
        opening = _opening_meant(verdict, section)
        if opening is not None:
            drawn = opening.kind != "open-riser"  # seen from the front, not in this view
            radius = view.length(opening.drawn_diameter / 2) if drawn else 0.0
            return Target(view.at(opening.center), radius, opening if drawn else None)
    if words[:1] == ["post"] and number is not None and number <= len(section.posts):
        post = section.posts[number - 1]
        if "edge" in verdict.id:
            return Target(view.at((post.x, post.surface)))
        return Target(view.at((post.x, post.surface + post.height * 0.6)))
    if section.kind == "flight" and verdict.id.split("-")[0] in (
        "unit", "tread", "riser", "nosing", "step", "rake", "flight", "risers"
    ):  # fmt: skip
        k = min(number or (section.risers + 1) // 2, section.risers)
        x, y = section.nosings[k - 1]
        if words[:1] in (["tread"], ["treads"]) and k < section.risers:
            return Target(view.at((x + 0.4 * (section.nosings[k][0] - x), y)))
        below = section.nosings[k - 2][1] if k > 1 else 0.0
        return Target(view.at((x + section.nosing, y - 0.6 * (y - below))))
    bay = section.bays[(number or 1) - 1 if (number or 1) <= len(section.bays) else 0]
    share = 0.35 if "handrail" in verdict.id else 0.6
    (x0, y0), (x1, y1) = bay.top_rail[1], bay.top_rail[2]
    if "corner" in verdict.id or "swing" in verdict.id:
        share = 0.0
    return Target(view.at((x0 + (x1 - x0) * share, y0 + (y1 - y0) * share)))


def _opening_meant(verdict: Verdict, section):
    """The largest opening that a finding can mean by its words."""
    words = verdict.where.lower()
    found = [
        one
        for one in section.openings
        if (not words or one.place == words or one.kind == words or words in one.place)
    ]
    kinds = [one for one in found if one.kind in verdict.id] or found
    ruled = [one for one in kinds if _rules(verdict.id, one)] or kinds
    return max(ruled, key=lambda one: one.diameter, default=None)


def _rules(check: str, opening) -> bool:
    return any(kind in check for kind in (opening.kind,)) or opening.kind in _OPENING_OF.get(
        check, ()
    )


def _failures(board: Board, section, facts: Facts, view: View, text, dimensions, seen):
    """A boxed flag for every place where something fails, tied to it by a heavier leader."""
    by_place: dict[Point, list[Verdict]] = {}
    targets: dict[Point, Target] = {}
    for verdict in facts.failures:
        target = target_of(verdict, section, view, dimensions)
        if not seen(target.point):
            continue
        by_place.setdefault(target.point, []).append(verdict)
        targets[target.point] = target
    labels = []
    for point, verdicts in by_place.items():
        target = targets[point]
        numbers = ", ".join(str(one.mark) for one in verdicts)
        rows = (f"FAIL {numbers}", *_opening_rows(target.opening, text))
        places = _flags(board, rows, point, f"failure {numbers}", view, target.start)
        if len(rows) > 1:
            short = _flags(board, rows[:1], point, f"failure {numbers}", view, target.start, 60.0)
            places += short
        labels.append((" ".join(rows), places))
    return labels


def _flags(board: Board, rows, point: Point, owner: str, view: View, start: float, more=0.0):
    """Places for a label whose first line is framed."""
    places = []
    for place in spread_places(
        board, rows, point, SMALL, "failure", owner, THIN, prefer=-45.0,
        start=start, floor=view.origin[1] + 2.0, bold=True,
    ):  # fmt: skip
        flag = replace(place.texts[0], bold=True)
        frame = Stroke(box_of(flag, 1.0).corners(), THICK, "failure", closed=True, owner=flag.owner)
        texts = (flag, *place.texts[1:])
        places.append(Candidate(texts, (*place.lines, frame), place.cost + more, APART + 1.0))
    return places


def _opening_rows(opening, text) -> tuple[str, ...]:
    """Size and kind of an opening under the rail; nothing for the others."""
    if opening is None or opening.kind not in _UNDER_RAIL:
        return ()
    words = {"foot": "AT FOOT", "head": "AT HEAD", "under-rail": "UNDER RAIL"}
    place = words.get(opening.kind, f"AT TREAD {opening.tread}")
    if opening.flat_diameter is not None:  # the guard stands off, so that a ball passes beside
        return f"BALL Ø {text(opening.diameter)}", f"PASSES {place}"
    return f"Ø {text(opening.diameter)}", place
