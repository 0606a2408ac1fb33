"""Templates at full size: printed, measured, cut out and laid on the work.

Four kinds: the bevel of each rake, to set a sliding bevel or a saw by; the seat of each bracket
from the side (``seats``); every face of a post that takes brackets, from
its foot to its top (or from below its lowest mark, where that lies under the surface), with the
heights of the pins, of the rail's edges and, where the job gives them, of the bracket's holes
(``holes``); and the holes at the lower end of a rail.  They are drawn at
1:1 and cut into tiles where the paper is smaller (``tiles``).  A template is a
second pair of eyes, not the measure: the figures on it rule, and the print has to be measured
before it is used.
"""

from __future__ import annotations

import math
from fractions import Fraction

from msgspec.structs import replace

from stairs.drawing.files.pdf import Book, bound
from stairs.drawing.paper.lettering import SMALL, USUAL, width_of, wrapped
from stairs.drawing.paper.primitives import (
    DASH_DOT,
    DASHED,
    FINE,
    HAIR,
    HEAVY,
    MEDIUM,
    THICK,
    THIN,
    TOUCH,
    Arc,
    Primitive,
    Stroke,
    Text,
    line,
    moved,
)
from stairs.drawing.sets.shop.posts import Pole, poles
from stairs.drawing.sets.template.holes import (
    crosses,
    fits_inside,
    heights_beside,
    holes_on,
    places_across,
    right_of,
)
from stairs.drawing.sets.template.seats import seat_pages
from stairs.drawing.sets.template.tiles import (
    FULL_SIZE,
    OVERLAP,
    UNDER_BARS,
    Canvas,
    canvas_room,
    check_bars,
    tile_room,
    tiles,
)
from stairs.drawing.sheets.page import (
    Page,
    checks_failing,
    millimetres,
    paper_for,
    room_on,
)
from stairs.drawing.sheets.sheet_words import figure, on_tape, particulars_of
from stairs.errors import SheetError
from stairs.job import Job
from stairs.lengths.tape_marks import exact_text, length_text, slope_text
from stairs.lists.cut_list import CutList, cut_list, hole_half
from stairs.parts.bracket_holes import hole_heights
from stairs.solution import Answer

_STRETCH_TILES = 2
_FINE_MARK = Fraction(1, 32)  # a bevel is set finer than a rail is cut [in]
_PLAIN = frozenset(("post", "centre-line", "tape", "label"))
_GAP = 2.0
_ROW = 34.0
_GOES_ON = "SURFACE; POST GOES ON"
_UNDER = 12.0  # how far a face goes on below its lowest mark [mm]


def template_book(answer: Answer, paper: str | None = None) -> Book:
    """The templates of a job."""
    cuts = cut_list(answer)
    pages = [
        *_bevels(answer, paper),
        *seat_pages(answer, paper),
        *_post_faces(answer, cuts, paper),
        *_rail_holes(answer, cuts, paper),
    ]
    failing = checks_failing(answer)
    if failing:
        pages = [
            _warned(page, f"DO NOT CUT OR DRILL: {failing}, SEE THE ELEVATION") for page in pages
        ]
    return bound(pages, particulars_of(answer), "Full-size templates")


def _warned(page: Page, words: str) -> Page:
    """The page with words of warning in the blank line under the check bars."""
    left, _, _, top = room_on(page.paper)
    warning = Text(words, (left, top - UNDER_BARS), SMALL, "warning", bold=True)
    return replace(page, content=(*page.content, warning))


def _show(job: Job):
    def text(length) -> str:
        return on_tape(job, length)

    return text


def _figure(job: Job):
    """Figures on a post's face, where metric ones need no unit."""

    def text(length) -> str:
        return figure(job, length)

    return text


# --------------------------------------------------------------------------- bevels


def _bevels(answer: Answer, paper: str | None) -> list[Page]:
    """One page for each rake of the job."""
    job = answer.job
    sheet = paper_for(job.units, paper, job=job)
    rakes: dict[str, tuple] = {}
    for section in answer.guard.sections:
        if section.kind == "flight":
            rakes.setdefault(f"{section.rake:.6f}", (section, []))[1].append(section.number)
    return [
        _bevel(job, section, numbers, sheet, len(rakes) > 1) for section, numbers in rakes.values()
    ]


def _bevel(job: Job, section, numbers: list[int], sheet, several: bool) -> Page:
    left, bottom, right, top = tile_room(sheet)
    slope = section.rail_line.slope
    x0, y0 = left + 8.0, bottom + 14.0
    unit = 25.4 if job.units == "in" else 50.0
    most = min(right - x0 - 6.0, (top - y0 - 8.0) / slope)
    run = math.floor(most / unit) * unit
    rise = run * slope
    corner, far, high = (x0, y0), (x0 + run, y0), (x0 + run, y0 + rise)
    turn = math.degrees(math.atan(slope))
    radius = min(38.0, run / 2)
    drawn: list[Primitive] = [
        Stroke((corner, far, high), THIN, "level-and-plumb"),
        Stroke((corner, high), THICK, "rake", owner="rake"),
        Arc(corner, radius, FINE, "dimension", 0.0, turn),
    ]
    half = math.radians(turn / 2)
    reach = radius + 3.0
    at = (corner[0] + reach * math.cos(half), corner[1] + reach * math.sin(half) - SMALL)
    drawn.append(Text(f"{section.rake:.2f}°", at, USUAL, "label"))
    level, plumb = (value / (25.4 if job.units == "in" else 1.0) for value in (run, rise))
    text = _show(job)
    drawn.append(Text(f"LEVEL {text(level)}", (x0 + run / 2, y0 - 5.0), SMALL, "label", "middle"))
    fine = length_text(plumb, job.units, _FINE_MARK) if job.units == "in" else f"{plumb:.1f} mm"
    drawn.append(
        Text(f"PLUMB {fine}", (x0 + run - 2.0, y0 + rise / 2), SMALL, "label", "middle", 90.0)
    )
    which = "section " if len(numbers) == 1 else "sections "
    names = which + ", ".join(map(str, numbers))
    told = f"Bevel of the rake, {names}" if several else "Bevel of the rake"
    pair = slope_text(
        section.rail_line.unit_rise,
        section.rail_line.unit_run,
        job.units,
        job.tape,
        float(section.flight.total_run),
    )
    note = (
        f"Rise {pair}, true over the whole flight. Set the stock of the "
        "bevel on the level line for a level cut, on the plumb line for a plumb cut."
    )
    for k, row in enumerate(wrapped(note, SMALL, right - left - 8.0)):
        drawn.append(Text(row, (x0, bottom + 4.3 - k * 4.2), SMALL, "note"))
    drawn += check_bars(sheet, job.units)
    return Page(sheet, told, FULL_SIZE, tuple(drawn), description=f"{told}, full size")


# --------------------------------------------------------------------------- post faces


def _post_faces(answer: Answer, cuts: CutList, paper: str | None) -> list[Page]:
    """Faces side by side on upright paper; faces that are alike are there once."""
    job = answer.job
    sheet = paper_for(job.units, paper, upright=True, job=job)
    _, across = canvas_room(sheet, True)
    wide = millimetres(job.post.width, job.units)
    if wide > across:
        raise SheetError(
            "template",
            f"a post {on_tape(job, job.post.width)} wide is wider than {sheet.name} has room for",
            f"Room: {across:.0f} mm",
            "Name a larger paper",
        )
    faces: dict[tuple, list[str]] = {}
    for pole in poles(answer, cuts):
        for face, way in ((pole.left, "down"), (pole.right, "up")):
            if face is not None:
                edges = _rail_edges(answer, pole, face, way)
                key = (
                    face.bottom,
                    face.top,
                    pole.height,
                    pole.cut.wall,
                    edges,
                    pole.cut.below,
                    pole.cut.foot,
                )
                faces.setdefault(key, []).append(f"{pole.name} {face.name}")
    strips = list(faces.items())
    text = _figure(job)
    longest = max(width_of(f"TOP RAIL {text(key[1])}", SMALL) for key in faces)
    longest = max(longest, *(width_of(_at_foot(job, *key[-2:]), SMALL) for key in faces))
    outside = longest + 5.0 > wide / 2 or _holes_in_the_way(job, faces, wide)
    strip = wide + (longest + 6.0 if outside else 0.0)
    each = max(1, int((across + _GAP) / (strip + _GAP)))
    pages = []
    for k in range(0, len(strips), each):
        drawn: list[Primitive] = []
        tall = 0.0
        foot = 6.0 + max(_below(job, key) for key, _ in strips[k : k + each])
        names = []
        for index, (key, where) in enumerate(strips[k : k + each]):
            x = index * (strip + _GAP)
            made, height = _face(job, key, where, wide, outside, strip)
            drawn += [moved(one, x, foot) for one in made]
            tall = max(tall, foot + height + 6.0)
            names.append(where[0] + (f" and {len(where) - 1} more" if len(where) > 1 else ""))
        name = "post face " + ", ".join(names)
        canvas = Canvas(name, tuple(drawn), across, tall, True)
        pages += tiles(canvas, sheet, job.units, name, _PLAIN)
    return pages


def _rail_edges(answer: Answer, pole: Pole, face, way: str) -> tuple[float, ...]:
    """Heights at which the edges of both rails, carried on, meet the post's face, from the foot up.

    Those of the solved guard [mm], moved with the marks to where the tape has them.
    """
    job = answer.job
    number = pole.also if way == "up" and pole.also else pole.name
    section = answer.guard.sections[int(number.split(".")[0]) - 1]
    post = section.posts[int(number.split(".")[1]) - 1]
    slope = math.tan(math.radians(section.rake))
    found = []
    for mark in post.marks:
        if mark.side != way:
            continue
        on_tape = face.top if mark.rail == "top" else face.bottom
        depth = job.panel.top_rail if mark.rail == "top" else job.panel.bottom_rail
        half = float(depth) / 2 / math.cos(math.radians(section.rake))
        axis = float(on_tape) + (post.face(way) - mark.pin[0]) * slope
        found += [axis - half, axis + half]
    return tuple(round(millimetres(one, job.units), 6) for one in sorted(found))


def _holes_in_the_way(job: Job, faces, wide: float) -> bool:
    """Whether bracket holes leave too little room for lettering on any face."""
    if not job.bracket.holes:
        return False
    for bottom, top, height, wall, _, below, end in faces:
        to_head = _head(job, height, top)
        others = [
            *_labels(job, (bottom, top), height, wall, wide / 2 + 3.0, _at_foot(job, below, end)),
            line((0.0, to_head), (wide, to_head), HEAVY, "saw-cut"),
        ]
        if not fits_inside(job, holes_on(job, (bottom, top), wide), others, wide):
            return True
    return False


def _head(job: Job, height, top) -> float:
    """How high a face is drawn [mm]."""
    return millimetres(height, job.units) or millimetres(top, job.units) + 25.0


def _below(job: Job, key) -> float:
    """How far a face is drawn on below the surface that its post stands on [mm]."""
    bottom, below, end = key[0], *key[-2:]
    lowest = min([bottom, *(over for _, over in hole_heights(job.bracket, bottom))])
    if below == 0 and end == 0 and lowest >= 0:
        return 0.0
    deepest = millimetres(max(below, -lowest), job.units) + _UNDER
    return min(deepest, millimetres(end, job.units)) if end else deepest


def _at_foot(job: Job, below, end) -> str:
    """What the line is that a face's heights count from."""
    if end:
        return f"SURFACE, {_figure(job)(end)} OVER END"
    return _GOES_ON if below else "FOOT"


def _labels(job: Job, pins, height, wall: bool, start: float, foot: str) -> list[Text]:
    """What a face's own marks are called, with their heights [mm]."""
    text = _figure(job)
    to_head = _head(job, height, pins[1])
    near = 0.0 <= millimetres(pins[0], job.units) < 2.0 + SMALL + 1.0
    at_foot = -1.2 - SMALL if near else 2.0
    found = [Text(foot, (start, at_foot), SMALL, "label")]
    at_head = to_head - 4.2
    if not wall:
        pin = millimetres(pins[1], job.units)
        if at_head - 0.6 < pin < to_head:  # a line through it
            at_head = min(at_head, pin - 1.2 - SMALL)
        found.append(Text(f"TOP {text(height)}", (start, at_head), SMALL, "label"))
    for name, mark in zip(("BOTTOM", "TOP RAIL"), pins, strict=True):
        y = millimetres(mark, job.units)
        base = y + 1.2
        if -1.2 - SMALL - 0.6 < y < 0.0:
            base = y - 1.2 - SMALL
        elif abs(to_head - 4.2 - y) < 6.0 and not wall:
            base = min(y - 1.2 - SMALL, at_head - 4.2)
        found.append(Text(f"{name} {text(mark)}", (start, base), SMALL, "label"))
    return found


def _face(
    job: Job, key, where: list[str], wide: float, outside: bool, strip: float
) -> tuple[list[Primitive], float]:
    """One face with its foot at the origin, and how high it goes [mm]; on a narrow post the
    lettering stands outside."""
    bottom, top, height, wall, edges, below, end = key
    under = _below(job, key)
    start = wide + 2.5 if outside else wide / 2 + 3.0
    to_head, middle = _head(job, height, top), wide / 2
    holes = holes_on(job, (bottom, top), wide)
    drawn: list[Primitive] = [
        line((0.0, 0.0), (wide, 0.0), HEAVY, "foot"),
        line((0.0, 0.0), (0.0, to_head), THIN, "post", DASHED if wall else "continuous"),
        line((wide, 0.0), (wide, to_head), THIN, "post", DASHED if wall else "continuous"),
        line((middle, 0.0), (middle, to_head), HAIR, "centre-line", DASH_DOT),
    ]
    if not wall:
        drawn.append(line((0.0, to_head), (wide, to_head), HEAVY, "saw-cut"))
    if under:
        for x in (0.0, wide):
            drawn.append(line((x, -0.5), (x, -under), THIN, "post", DASHED))
        drawn.append(line((middle, -0.5), (middle, -under), HAIR, "centre-line", DASH_DOT))
    marks = [millimetres(one, job.units) for one in (bottom, top)]
    beside = [*marks, *(hole.y for hole in holes), *(edges if holes else ())]
    reaches = [hole.y + hole.arm * share for hole in holes for share in (-1.0, -0.5, 0.5, 1.0)]
    drawn += _ticks(job, to_head, [*beside, *reaches])
    labels = _labels(job, (bottom, top), height, wall, start, _at_foot(job, below, end))
    for name, y in zip(("BOTTOM", "TOP RAIL"), marks, strict=True):
        drawn.append(line((0.0, y), (wide, y), MEDIUM, "pin", owner=name))
        drawn.append(Arc((middle, y), 2.0, FINE, "pin"))
    drawn += labels
    low, reach = 14.0, wide - 2.0 if outside else middle
    if holes:  # short, since the crosses stand further in
        low, reach = 5.5, min(12.5, reach)
    for y in edges:
        if reach > low and -under < y < to_head and abs(y) > TOUCH:
            drawn.append(line((low, y), (reach, y), FINE, "rail-edge", DASHED))
    everywhere = True
    if holes:
        drawn += crosses(holes)
        at = start if outside else right_of(holes, wide)
        drawn += heights_beside(job, holes, at, wide, outside, labels if outside else ())
        told = sum(across != 0 for across in {across for across, _ in job.bracket.holes})
        for pin in (bottom, top):
            found = places_across(job, holes_on(job, (pin,), wide), drawn, wide)
            everywhere = everywhere and len(found) == told
            drawn += found
    spacing = 240.0
    y = 34.0
    words = "; ".join(where) + ". Dashed: edges of the rails" + _hole_words(job, everywhere)
    while y + 6.0 < to_head:  # whose face it is, again and again, clear of the marks
        rows = wrapped(words, SMALL, (strip if outside else wide) - start - 2.0, 9)
        span = (y - 3.0, y + 4.2 * len(rows) + 3.0)
        if not any(span[0] - 5.0 < mark < span[1] + 5.0 for mark in (*beside, to_head - 3.0)):
            for k, row in enumerate(rows):
                at = (start, y + 4.2 * (len(rows) - 1 - k))
                drawn.append(Text(row, at, SMALL, "label"))
            y += spacing
        else:
            y += 10.0
    return drawn, to_head


def _hole_words(job: Job, everywhere: bool) -> str:
    """What the crosses on a face are, and where to look for what there was no room for."""
    if not job.bracket.holes:
        return ""
    wide = job.bracket.hole_diameter
    size = f", {exact_text(wide, job.units)} wide" if wide is not None else ""
    rest = "" if everywhere else ". Across: see the cut list"
    return f". Crosses: bracket holes{size}{rest}"


def _ticks(job: Job, height: float, marks: list[float]) -> list[Primitive]:
    """A tape up the left edge: ticks at every inch or centimetre, figures at every fourth or tenth;
    none where a mark lies."""
    step, every = (25.4, 4) if job.units == "in" else (10.0, 10)
    drawn: list[Primitive] = []
    k = 1
    while k * step < height - 1.0:
        y = k * step
        main = k % every == 0
        drawn.append(line((0.0, y), (4.0 if main else 2.5, y), FINE if main else HAIR, "tape"))
        if main and all(abs(y - mark) > SMALL for mark in marks) and height - y > SMALL:
            words = str(k) if job.units == "in" else str(k * 10)
            drawn.append(Text(words, (5.2, y - SMALL / 2), SMALL, "tape"))
        k += 1
    return drawn


# --------------------------------------------------------------------------- rails


def _rail_holes(answer: Answer, cuts: CutList, paper: str | None) -> list[Page]:
    """The lower ends of the rails, one under the other; those that are alike are there once."""
    job = answer.job
    sheet = paper_for(job.units, paper, job=job)
    each, across = canvas_room(sheet, False)
    length = each + (_STRETCH_TILES - 1) * (each - OVERLAP)
    groups: dict[tuple, list] = {}
    for cut in cuts.rails:
        if cut.first_hole is None:
            continue
        half = hole_half(job, answer.guard.sections[cut.section - 1])
        groups.setdefault((cut.first_hole, cut.length, half), []).append(cut)
    strips = list(groups.items())
    many = max(1, int(across / _ROW))
    pages = []
    for k in range(0, len(strips), many):
        drawn: list[Primitive] = []
        group = strips[k : k + many]
        for index, (key, own) in enumerate(group):
            y = across - (index + 0.5) * (across / many)
            drawn += [moved(one, 6.0, y) for one in _holes(job, key, own, length - 12.0)]
        longest = max(_reach(one) for one in drawn) + 6.0
        name = "baluster holes, rails " + "; ".join(own[0].name for _, own in group)
        canvas = Canvas(name, tuple(drawn), min(length, longest), across, False)
        pages += tiles(canvas, sheet, job.units, name)
    return pages


def _reach(one: Primitive) -> float:
    if isinstance(one, Text):
        return one.at[0]
    points = one.points if isinstance(one, Stroke) else one.points(4)
    return max(x for x, _ in points)


def _holes(job: Job, key, own, room: float) -> list[Primitive]:
    """The lower end of one rail seen on the side that is pierced, its cut at the origin [mm]."""
    first_hole, rail_length, half = key
    cut = own[0]
    text = _show(job)
    pitch = millimetres(job.panel.pitch, job.units)
    first = millimetres(first_hole, job.units)
    whole = millimetres(rail_length, job.units)
    count = min(len(cut.running), 1 + max(0, int((room - 8.0 - first) / pitch)))
    end = min(first + (count - 1) * pitch + max(pitch / 2, 8.0), room, whole)
    known = job.panel.rail_width is not None
    wide = job.panel.rail_width if known else job.panel.baluster * 2
    edge = min(millimetres(wide, job.units) / 2, 11.0)
    kind = "continuous" if known else DASHED
    drawn: list[Primitive] = [
        line((0.0, -edge - 2.0), (0.0, edge + 2.0), HEAVY, "saw-cut"),
        line((0.0, edge), (end, edge), THIN, "rail", kind),
        line((0.0, -edge), (end, -edge), THIN, "rail", kind),
        line((0.0, 0.0), (end, 0.0), HAIR, "centre-line", DASH_DOT),
    ]
    if end == whole:
        drawn.append(line((end, -edge - 2.0), (end, edge + 2.0), HEAVY, "saw-cut"))
    along = millimetres(half, job.units)
    aside = min(millimetres(job.panel.baluster, job.units) / 2, edge)
    for k in range(count):
        x = first + k * pitch
        corners = ((x - along, -aside), (x + along, -aside), (x + along, aside), (x - along, aside))
        drawn.append(Stroke(corners, MEDIUM, "hole", closed=True))
        drawn.append(line((x, -edge - 1.5), (x, edge + 1.5), FINE, "hole-centre"))
        drawn.append(Text(text(cut.running[k]), (x, -edge - 2.6 - SMALL), SMALL, "dimension",
                          "middle"))  # fmt: skip
    names = "; ".join(one.name for one in own)
    for k, row in enumerate(wrapped(f"LOWER CUT OF {names}", SMALL, room - 10.0, 1)):
        drawn.append(Text(row, (2.0, edge + 3.2 + 4.2 * k), SMALL, "label"))
    return drawn
