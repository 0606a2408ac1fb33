"""The elevation: one section of the guard seen square on, with its dimensions and labels.

The view is put together in the order of work on a drawing board: the stair, the guard on it, the
dimension lines, and last the lettering, which goes wherever it touches nothing.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from msgspec.structs import replace

from stairs.drawing.paper.primitives import (
    FINE,
    GRADE,
    MEDIUM,
    THICK,
    Arc,
    Area,
    Point,
    Primitive,
    line,
    path,
)
from stairs.drawing.paper.sheet_sizes import Scale
from stairs.drawing.paper.view import View
from stairs.drawing.placing.dimensions import (
    ANGLE,
    RUNNING,
    STYLE,
    ZERO,
    Dimension,
    ends_on_paper,
    places_of,
)
from stairs.drawing.placing.labelled_view import dimension_lines, parts_of
from stairs.drawing.placing.leaders import spread_places
from stairs.drawing.placing.placement import Board, Candidate, places_at
from stairs.drawing.sheets.sheet import DrawnView
from stairs.drawing.sheets.sheet_words import Facts
from stairs.drawing.views.elevation.dimension_chains import (
    STEPS_APART,
    bounds_of,
    dimensions_of,
    uneven,
)
from stairs.drawing.views.elevation.elements import (
    WALL_DEPTH,
    bolts,
    circle,
)
from stairs.drawing.views.elevation.failure_flags import targets_of
from stairs.drawing.views.elevation.labels import (
    label_places,
    opening_labels,
    tread_numbers,
)
from stairs.drawing.views.elevation.match_lines import (
    cut_work,
    edges_of,
    holds,
    match_labels,
    room_beside,
)
from stairs.drawing.views.elevation.profile import (
    DROP,
    grade,
)
from stairs.drawing.views.elevation.section_work import section_work
from stairs.drawing.views.kinds import (
    Label,
    LengthText,
    Lettered,
    Offer,
    Role,
    Shows,
    Told,
    lettering_of,
)
from stairs.drawing.views.match_lines import Part
from stairs.drawing.views.plan.work import bolts_of, mean_of
from stairs.guard.solving import Section
from stairs.job import Job
from stairs.openings.opening import BELOW_RAIL
from stairs.progress import at_work

_DECK = STYLE.first + 2 * STYLE.pitch + 6.0
"""How far the surface is shown beyond the last post [mm on paper]."""
Placed = tuple[Label, Candidate | None]
"""A label with the place that it got; None where it found none."""
_ENOUGH = 3
"""So many free places on its own line, and a dimension is offered no leader."""


class Elevation(DrawnView, frozen=True):
    """The drawn elevation of a section or of a part of one."""

    # whether some post is only named on the view, so that a schedule has to tell the rest
    scheduled: bool = False
    # what its labels tell that need not be told again on the same sheet
    told: frozenset[Told] = frozenset()
    # the labels that found no place, whose names are those of ``unplaced``
    missing: tuple[Label, ...] = ()


def room_needed(
    section: Section, scale: Scale, job: Job, part: Part | None = None
) -> tuple[float, float]:
    """Width and height that the view takes with its dimensions [mm on paper]."""
    unit = float(scale.paper_millimetres(job.units))
    edges = edges_of(section, part, unit)
    left, below, right, above = room_beside(section, part, job)
    return (
        (edges.right - edges.left) * unit + left + right,
        (edges.top - edges.bottom) * unit + below + above,
    )


def _origin(section: Section, scale: Scale, job: Job, area: Area, part: Part | None) -> Point:
    """The work's origin, so that view and chains stand in the middle of their area [mm]."""
    unit = float(scale.paper_millimetres(job.units))
    edges = edges_of(section, part, unit)
    left, below, _, _ = room_beside(section, part, job)
    width, height = room_needed(section, scale, job, part)
    x = area[0] + (area[2] - area[0] - width) / 2 + left - edges.left * unit
    y = area[1] + (area[3] - area[1] - height) / 2 + below - edges.bottom * unit
    return x, y


def elevation(
    section: Section, job: Job, facts: Facts, scale: Scale, area: Area,
    part: Part | None = None, told: frozenset[Told] = frozenset(),
) -> Elevation:  # fmt: skip
    """The elevation of one section, or of the part of it that is given, in an area on paper.

    What parts on the same sheet tell already is not told again.
    """
    at_work(f"section {section.number}: its elevation")
    view = View(scale, job.units, _origin(section, scale, job, area, part))
    edges = edges_of(section, part, view.unit)

    def shows(x: float, y: float = math.inf) -> bool:
        return part is None or (holds(part, x) and y >= edges.bottom)

    def seen(point: Point) -> bool:
        return shows(*view.back(point))

    text = lettering_of(job, feet=True, capitals=True)
    work = _work(section, job, view, facts)
    if part is not None:
        work = cut_work(work, section, part, view)
    below, told_below = _grade(section, job, view, text, seen)
    work += below
    dimensions = dimensions_of(section, view, text, edges, shows)
    board = Board(area)
    board.add(work)
    named = match_labels(part, view) if part is not None else []
    drawn, placed = _dimensioned(board, dimensions, view, named, shows(0.0))
    if told_below:
        placed += _placed(board, [(told_below[0].texts[0].owner, told_below)])

    on = Lettered(section, facts, view, text, dimensions, seen, board)

    def offers(free: Board) -> list[Offer]:
        return label_places(replace(on, board=free), told)

    lettered, numbers = _with_numbers(board, tread_numbers(on), offers)
    missing = [label for label, got in placed + lettered if got is None and label.needed]
    drawn += [stroke for _, got in placed if got for stroke in parts_of(got)]
    labels = [stroke for got in numbers if got for stroke in parts_of(got)]
    labels += [stroke for _, got in lettered if got for stroke in parts_of(got)]
    scheduled = any(
        got is not None
        and label.role is Role.POST
        and " ".join(one.content for one in got.texts) != label.name
        for label, got in lettered
    )
    told_here = frozenset(
        label.told for label, got in lettered if got is not None and label.told is not None
    )
    return Elevation(
        view, tuple(work), dimensions, tuple(drawn), tuple(labels),
        tuple(label.name for label in missing), area, scheduled, told_here, tuple(missing),
    )  # fmt: skip


def _dimensioned(
    board: Board,
    dimensions: tuple[Dimension, ...],
    view: View,
    named: Sequence[tuple[str, Sequence[Candidate]]],
    with_origin: bool,
) -> tuple[list[Primitive], list[Placed]]:
    """Dimension lines on a board, and their figures and other names with the places they got."""
    drawn = dimension_lines(board, dimensions, view)
    lettered = list(dimensions)
    if with_origin:
        drawn += _running_origin(dimensions, view, board)
        lettered += _zero(dimensions)
    placed = _placed(
        board, [(f"{one.name} {one.text}", _places(one, view, board)) for one in lettered]
    )
    for k, (name, got) in enumerate(placed):
        if got is None:  # anywhere on blank paper, with a leader from the line
            placed[k] = name, board.place_all([_led(lettered[k], view, board)])[0]
    return drawn, placed + _placed(board, named)


def _placed(board: Board, named: Sequence[tuple[str, Sequence[Candidate]]]) -> list[Placed]:
    """Lettering by name, each with the place that it got, the names weighed against each other."""
    got = board.place_all([places for _, places in named])
    return [(Label(name), one) for (name, _), one in zip(named, got, strict=True)]


def _with_numbers(
    board: Board,
    offered: Sequence[Sequence[Candidate]],
    offers: Callable[[Board], list[Offer]],
) -> tuple[list[Placed], list[Candidate | None]]:
    """Labels and numbers of the treads, where all of these have a place beside the labels.

    Numbers go first: they have few places, all alike, and leave the labels many.  Where a label
    then finds none, the labels go first, and the numbers take what is left or are left out.  A gap
    at a nosing may go: it is then told in a list, by the number of its nosing.
    """
    bare = board.copy()
    numbers = board.place_all(offered)
    if None not in numbers:
        lettered = _lettered(board, offers)
        if not _lacking(lettered):
            return lettered, numbers
    lettered = _lettered(bare, offers)
    numbers = bare.place_all(offered)
    return lettered, [] if None in numbers else numbers


def _lettered(board: Board, offers: Callable[[Board], list[Offer]]) -> list[Placed]:
    """Every label with the place that it got, or None."""
    labels = offers(board)
    got = board.place_all([places() for _, places in labels])
    for k, (_, places) in enumerate(labels):
        if got[k] is None:
            # a second look at what is blank now that the others have their places
            got[k] = board.place_all([places()])[0]
    return [(label, one) for (label, _), one in zip(labels, got, strict=True)]


def _places(dimension: Dimension, view: View, board: Board) -> list[Candidate]:
    """Where a dimension's text may stand; with a leader where its own line has hardly a place."""
    near = places_of(dimension, view, far=False)
    if sum(board.all_free(near)) >= _ENOUGH:
        return near
    return places_of(dimension, view)


def _led(dimension: Dimension, view: View, board: Board) -> list[Candidate]:
    """Places for the text of a dimension wherever there is blank paper."""
    if dimension.kind == ANGLE:
        (x, y), turn = view.at(dimension.points[0]), math.radians(dimension.value / 2)
        target = (x + dimension.place * math.cos(turn), y + dimension.place * math.sin(turn))
    else:
        ends = ends_on_paper(dimension, view)
        target = ends[1] if dimension.kind == RUNNING else mean_of(ends)
    text = dimension.short or dimension.lettered
    return spread_places(board, (text,), target, "dimension", dimension.name, prefer=-45.0)


def _lacking(lettered: list[Placed]) -> bool:
    """Whether a label that has to be on the view found no place."""
    return any(
        got is None and label.needed and label.role is not Role.GAP for label, got in lettered
    )


def _running_origin(dimensions: Sequence[Dimension], view: View, board: Board) -> list[Primitive]:
    """The small circle from which running dimensions start, and its line to the work."""
    running = [one for one in dimensions if one.kind == RUNNING]
    if not running:
        return []
    x, y = view.at(running[0].points[0])
    place = running[0].place
    drawn: list[Primitive] = [Arc((x, place), 0.9, STYLE.line, "dimension", owner="origin")]
    if not any(one.text == ZERO for one in running):  # else it has that post's line
        end = (x, place - STYLE.overrun)
        drawn.append(line((x, y - STYLE.gap), end, "dimension", STYLE.line, owner="origin"))
    board.add(drawn, guarded=True)
    return drawn


def _grade(
    section: Section, job: Job, view: View, text: LengthText, seen: Shows
) -> tuple[list[Primitive], list[Candidate]]:
    """The ground beside a level run under its end, and places for how far it drops; nothing where
    the job does not tell, or the view ends at a cut."""
    drop = job.sections[section.number - 1].drop
    walls = [section.posts[k].wall for k in (-1, 0)]
    if section.kind == "flight" or drop is None or all(walls):
        return [], []
    side = -1.0 if walls[0] else 1.0
    edges = bounds_of(section)
    edge = view.at((edges.right if side > 0 else edges.left, 0.0))
    if not seen(edge):
        return [], []
    x, ends = edge[0] + side * STYLE.first, sorted((edge[0] + side * 3.0, edge[0] + side * _DECK))
    words, y = f"DROP {text(drop)}", edge[1] - DROP / 2 - STYLE.text / 2
    spots = [
        (x + out * far, y + lift, anchor, far + abs(lift))
        for far in (1.8, 3.0, 5.0, 9.0)
        for lift in (0.0, 2.0, -2.5)
        for out, anchor in ((1.0, "left"), (-1.0, "right"))
    ]
    return grade(view, x, *ends), list(places_at((words,), spots, GRADE, owner=words))


def _zero(dimensions: Sequence[Dimension]) -> list[Dimension]:
    """The 0 at the small circle, where no post stands there that is lettered so."""
    running = [one for one in dimensions if one.kind == RUNNING]
    if not running or any(one.text == ZERO for one in running):
        return []
    one = running[0]
    return [replace(one, name="origin", points=one.points[:1] * 2, value=0.0, text=ZERO)]


def _work(section: Section, job: Job, view: View, facts: Facts) -> list[Primitive]:
    edges = bounds_of(section)
    wider = STEPS_APART if uneven(section) else 0.0
    left = view.at((edges.left, 0.0))[0] - _DECK
    right = view.at((edges.right, 0.0))[0] + _DECK + wider
    if section.kind != "flight":
        walls = [view.at((one.x, 0.0))[0] if one.wall else None for one in section.posts]
        left = left if walls[0] is None else walls[0] - WALL_DEPTH
        right = right if walls[-1] is None else walls[-1] + WALL_DEPTH
    beside = [facts.beside] if facts.beside else []
    drawn = section_work(section, job, view, left, right, beside)
    failing = {
        id(target.opening)
        for verdict in facts.failures
        for target in targets_of(verdict, section, view, ())
    }
    at_fault = [one for one in section.openings if id(one) in failing]
    ruling = set(map(id, opening_labels(section, at_fault)))  # those that labels tell first
    for opening in section.openings:
        if opening.kind in BELOW_RAIL or id(opening) in failing:
            heavy = id(opening) in failing and opening.flat_diameter is None
            weight = THICK if heavy else MEDIUM if id(opening) in ruling else FINE
            drawn.append(circle(opening, view, weight))
    for one in section.posts:
        if one.wall:
            continue
        over = one.height + 1.5 / view.unit
        ends = (one.x, one.surface), (one.centre_at(over), one.surface + over)
        drawn.append(path(view.all_at(ends), "centre-line"))
        drawn += bolts(one, view, bolts_of(facts.framing, one.number))
    return drawn
