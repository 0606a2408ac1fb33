"""A broken plan: parts of a plan on one sheet or more, joined by match lines.

Every part is set out as the whole plan would be; figures run on from the same small circle.  A
match line names the part that goes on beyond it, and the sheet where that is another one.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial

from msgspec import Struct
from msgspec.structs import replace

from stairs.drawing.paper.lettering import SMALL, USUAL, width_of
from stairs.drawing.paper.primitives import (
    Area,
    Primitive,
    Text,
    break_line,
)
from stairs.drawing.placing.labelled_view import Label, Stage
from stairs.drawing.placing.placement import APART, places_at
from stairs.drawing.placing.windows import through_window
from stairs.drawing.views.match_lines import (
    Match,
    Size,
    crossings_at,
    match_strokes,
    on_axis,
    on_sheets,
    rooms_in,
)
from stairs.drawing.views.plan.lettering import holds, letter_on
from stairs.drawing.views.plan.parts import (
    ACROSS,
    PAD,
    Laid,
    PlanPart,
    beyond,
    in_work,
    parts_of_plan,
    reach_of_post,
)
from stairs.drawing.views.plan.work import work_of

_HEAD = 11.0  # over a part, for the names of its upright match lines [mm]
_STUB_END = 2.5  # beyond the stub over a level match line [mm]
_NAME, _NAME_ROW = 7.5, 5.0  # for the name of a part under it, and for its second line [mm]
_BESIDE = 60.0  # beside a part, for the names of its level match lines and of its sections [mm]
_GROUPS = 12.0  # what is cut farther apart has break lines of its own [mm]


Stack = tuple[tuple[PlanPart, ...], ...]
"""The parts that stand on one sheet: rows from the top down, each from left to right."""


def parts_on(stack: Stack) -> list[PlanPart]:
    """All parts on a sheet, in order."""
    return [part for row in stack for part in row]


def stacks_of(laid: Laid, width: float, height: float) -> tuple[Stack, ...] | None:
    """The parts of a plan, as they stand on as few sheets as can be. None where the room is too
    small."""
    best = None
    for first in (0, 1):
        for less in (0.0, ACROSS, 2 * ACROSS):  # what match lines take over the work
            parts = parts_of_plan(laid, width, height - _NAME - less, first)
            made = None if parts is None else _stacked(parts, width, height)
            if parts is None or made is None:
                continue
            if best is None or (len(made), len(parts)) < best[0]:
                best = ((len(made), len(parts)), made)
            break
    return None if best is None else best[1]


def _size(part: PlanPart, width: float) -> Size:
    """The room that a part takes, its name included."""
    x0, y0, x1, y1 = part.shown
    beside = _BESIDE if any(match.axis == 1 for match in part.matches) else PAD
    name = max(width_of(row, USUAL) for row in _name_rows(part))
    wide = max(x1 - x0 + beside + PAD, name + 4.0)
    return min(wide, width), y1 - y0 + sum(_margins(part)) + _name_height(part)


def _margins(part: PlanPart) -> tuple[float, float]:
    """Blank paper under and over what a part shows [mm]."""
    level = {match.at for match in part.matches if match.axis == 1}
    upright = any(match.axis == 0 for match in part.matches)
    over = _HEAD if upright else PAD
    return (
        _STUB_END if part.edges[1] in level or upright else PAD,
        _STUB_END if part.edges[3] in level and not upright else over,
    )


def _name_height(part: PlanPart) -> float:
    return _NAME + _NAME_ROW * (len(_name_rows(part)) - 1)


def _name_rows(part: PlanPart) -> tuple[str, ...]:
    """The name of a part, in two lines where the part is narrow."""
    if width_of(part.words, USUAL) <= part.shown[2] - part.shown[0] + 2 * PAD or not part.ends:
        return (part.words,)
    return (f"PART {part.number} OF {part.count}", part.ends)


def _stacked(parts: Sequence[PlanPart], width: float, height: float) -> tuple[Stack, ...] | None:
    """The parts in rows, and the rows on sheets, in order; None where one is too large."""
    sizes = [_size(part, width) for part in parts]
    for part, (_, tall) in zip(parts, sizes, strict=True):
        if tall > height or part.shown[2] - part.shown[0] + 2 * _STUB_END > width:
            return None
    return tuple(
        tuple(tuple(parts[k] for k in row) for row in rows)
        for rows in on_sheets(sizes, width, height)
    )


class Drawn(Struct, frozen=True):
    """One part on its sheet."""

    part: PlanPart | None  # which; None for the whole
    stage: Stage  # with its work and lettering
    # match lines with their names, break lines and the part's own name [mm on paper]
    furniture: tuple[Primitive, ...]


def draw_stack(laid: Laid, stack: Stack, area: Area, sheets: Mapping[int, int]) -> list[Drawn]:
    """The parts of one sheet, one under the other."""
    width = area[2] - area[0]
    rooms = rooms_in(area, [[_size(part, width) for part in row] for row in stack])
    made = []
    for part, (left, floor, right, top) in zip(parts_on(stack), rooms, strict=True):
        room = (left, floor + _name_height(part), right, top)
        made.append(_draw(laid, part, room, sheets))
    return made


def _draw(laid: Laid, part: PlanPart, room: Area, sheets: Mapping[int, int]) -> Drawn:
    left, bottom, right, top = room
    x0, y0, x1, y1 = part.shown
    under, over = _margins(part)
    dx, dy = (left + right - x0 - x1) / 2, (bottom + under + top - over - y0 - y1) / 2
    view = replace(laid.view, origin=(dx, dy))
    frame = in_work(part.edges, laid.unit)
    stage = Stage(room, view, set_out=dict(laid.set_out))

    window = beyond(laid, part.edges, part.matches)
    on_paper = (window[0] + dx, window[1] + dy, window[2] + dx, window[3] + dy)
    whole = work_of(laid.solution, laid.plan, view, partial(holds, frame))
    stage.add(through_window(whole, on_paper))
    letter_on(stage, laid.solution, laid.plan, frame)
    stage.chains = through_window(stage.chains, on_paper)
    furniture: list[Primitive] = []
    names = []
    for match in part.matches:
        furniture += _match_line(match, laid, dx, dy)
        names.append(_name(match, part, sheets, dx, dy))
    for k, goes_on in enumerate(part.cut):
        if goes_on:
            furniture += _breaks(k % 2, on_paper[k], whole, on_paper)
    stage.chains += furniture  # lettering keeps off them too
    stage.labels = names + stage.labels
    stage.letter()
    held = {id(one) for one in furniture}
    stage.dimension_lines = [one for one in stage.dimension_lines if id(one) not in held]
    furniture += [one for one in stage.lettering if one.group == "match-line"]
    stage.lettering = [one for one in stage.lettering if one.group != "match-line"]
    rows = _name_rows(part)
    for k, row in enumerate(rows, start=1):
        foot = bottom - _name_height(part) + 2.0
        at = ((left + right) / 2, foot + (len(rows) - k) * _NAME_ROW)
        furniture.append(Text(row, at, USUAL, "view-name", "middle"))
    stage.area = (
        max(on_paper[0], left), max(on_paper[1], bottom), min(on_paper[2], right),
        min(on_paper[3], top),
    )  # fmt: skip
    return Drawn(part, stage, tuple(furniture))


def _match_line(match: Match, laid: Laid, dx: float, dy: float) -> list[Primitive]:
    """The line itself, left out where it would run through a post."""
    over = 1 - match.axis
    gaps = []
    for post in laid.plan.posts:
        away = abs(post.centre[match.axis] * laid.unit - match.at)
        reach = reach_of_post(post) * laid.unit + 0.6
        if away < reach:
            middle = post.centre[over] * laid.unit
            gaps.append((middle - reach, middle + reach))
    pieces, low = [], match.low
    for start, end in sorted(gaps):
        if start > low and low < match.high:
            pieces.append((low, min(start, match.high)))
        low = max(low, end)
    if low < match.high:
        pieces.append((low, match.high))
    shift = (dx, dy)
    at, along = match.at + shift[match.axis], shift[over]
    return match_strokes(
        match.letter, match.axis, at,
        ((start + along, end + along) for start, end in pieces if end - start >= 0.5),
    )  # fmt: skip


def _breaks(axis: int, at: float, whole: Sequence[Primitive], window: Area) -> list[Primitive]:
    """Break lines along one edge of the window, where the work that is shown ends."""
    over = 1 - axis
    met = sorted(y for y in crossings_at(whole, axis, at) if window[over] <= y <= window[over + 2])
    groups: list[list[float]] = []
    for y in met:
        if groups and y - groups[-1][-1] <= _GROUPS:
            groups[-1].append(y)
        else:
            groups.append([y])
    return [
        break_line(on_axis(axis, at, group[0] - 2.5), on_axis(axis, at, group[-1] + 2.5))
        for group in groups
    ]


def _name(match: Match, part: PlanPart, sheets: Mapping[int, int], dx: float, dy: float) -> Label:
    """The letter of a match line at one of its ends, and where the work goes on."""
    other = part.other(match)
    told = f"SEE PART {other}"
    if sheets[other] != sheets[part.number]:
        told += f", SHEET {sheets[other]}"
    rows = (f"MATCH LINE {match.letter}", told)
    shift = (dx, dy)
    at, low, high = (
        match.at + shift[match.axis],
        match.low + shift[1 - match.axis],
        match.high + shift[1 - match.axis],
    )
    spots = []
    if match.axis == 0:
        for up, more in ((True, 0.0), (False, 6.0)):
            for lift in (0.0, 4.0, 8.0):
                y = high + 5.9 + lift if up else low - 3.9 - lift
                spots += [(at, y, "middle", more + lift), (at - 1.5, y, "right", more + 1.0 + lift),
                          (at + 1.5, y, "left", more + 1.0 + lift)]  # fmt: skip
    else:
        side = -1.0 if part.begins_at(match) else 1.0
        for k in range(12):
            for along, anchor in ((low + k * 6.0, "left"), (high - k * 6.0, "right")):
                y = at + side * 1.8 + (SMALL * 1.7 if side > 0 else -SMALL)
                spots.append((along, y, anchor, float(k)))
        spots += [(low - 2.0, at + 1.0, "right", 2.0), (high + 2.0, at + 1.0, "left", 2.0)]
    places = places_at(rows, spots, "match-line", owner=rows[0], apart=APART, pitch=SMALL * 1.6,
                       headed=True)  # fmt: skip
    return Label(rows, on_axis(match.axis, at, high), 45.0, places=places)
