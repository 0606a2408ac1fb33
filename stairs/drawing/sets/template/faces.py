"""Every face of a post that takes brackets, at full size from its foot to its top.

Where a mark lies under the surface, the face begins below it.  It has the heights of the pins, of
the rails' edges and, where the job gives them, of the bracket's holes.  Faces that are alike are
there once.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from fractions import Fraction

from msgspec import Struct

from stairs.drawing.paper.lettering import SMALL, text_rows, width_of, wrapped
from stairs.drawing.paper.primitives import (
    DASHED,
    FINE,
    HAIR,
    MEDIUM,
    THIN,
    TOUCH,
    Primitive,
    Text,
    line,
    moved,
    ring,
)
from stairs.drawing.sets.shop.posts import Pole, poles
from stairs.drawing.sets.template.holes import (
    Hole,
    crosses,
    fits_inside,
    heights_beside,
    holes_on,
    places_across,
    right_of,
)
from stairs.drawing.sets.template.tiles import ROW, Canvas, canvas_room, tiles
from stairs.drawing.sheets.page import Page, millimetres, paper_for
from stairs.drawing.sheets.sheet_words import figure, on_tape
from stairs.errors import SheetError
from stairs.job import Job
from stairs.lengths.tape_marks import exact_text
from stairs.lists.cut_list import CutList
from stairs.lists.post_cuts import FaceMarks
from stairs.parts.bracket_holes import hole_heights
from stairs.solution import Solution

_PLAIN = frozenset(("post", "centre-line", "tape", "label"))
_GAP = 2.0  # between two faces [mm]
_GOES_ON = "SURFACE; POST GOES ON"
_UNDER = 12.0  # how far a face goes on below its lowest mark [mm]
_PINS = ("BOTTOM", "TOP RAIL")
_NAMED_EVERY = 240.0  # whose face it is stands there again and again, so far apart [mm]


class Face(Struct, frozen=True):
    """One face and what is marked on it; lengths over the post's surface."""

    pins: tuple[Fraction, Fraction]  # of the lower and of the upper bracket
    aside: Fraction  # from the centre line to both, right positive
    height: Fraction  # of the post, 0 for a wall
    wall: bool
    edges: tuple[float, ...]  # where the rails' edges, carried on, meet it, from the foot up [mm]
    below: Fraction  # how far its lowest mark lies below the surface
    foot: Fraction  # how far the post goes on below it, where that is known


class _Room(Struct, frozen=True):
    """How faces are set beside each other [mm]."""

    wide: float  # of a face
    outside: bool  # whether the lettering stands beside it, as on a narrow post
    strip: float  # of a face with its lettering

    @property
    def start(self) -> float:
        """Where the lettering begins."""
        return self.wide + 2.5 if self.outside else self.wide / 2 + 3.0


def face_pages(solution: Solution, cuts: CutList, paper: str | None) -> list[Page]:
    """Faces side by side on upright paper."""
    job = solution.job
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
    faces = _faces(solution, cuts)
    room = _room(job, faces, wide)
    strips = list(faces.items())
    each = max(1, int((across + _GAP) / (room.strip + _GAP)))
    pages = []
    for k in range(0, len(strips), each):
        drawn: list[Primitive] = []
        tall = 0.0
        foot = 6.0 + max(_below(job, face) for face, _ in strips[k : k + each])
        names = []
        for index, (face, where) in enumerate(strips[k : k + each]):
            x = index * (room.strip + _GAP)
            drawn += [moved(one, x, foot) for one in _face(job, face, where, room)]
            tall = max(tall, foot + _head(job, face) + 6.0)
            names.append(where[0] + (f" and {len(where) - 1} more" if len(where) > 1 else ""))
        name = "post face " + ", ".join(names)
        canvas = Canvas(name, tuple(drawn), across, tall, True)
        pages += tiles(canvas, sheet, job.units, name, _PLAIN)
    return pages


def _faces(solution: Solution, cuts: CutList) -> dict[Face, list[str]]:
    """Every kind of face with the places where it is."""
    found: dict[Face, list[str]] = {}
    for pole in poles(solution, cuts):
        for marks, way in ((pole.left, "down"), (pole.right, "up")):
            if marks is not None:
                face = Face(
                    pins=(marks.bottom, marks.top),
                    aside=marks.aside,
                    height=pole.height,
                    wall=pole.cut.wall,
                    edges=_rail_edges(solution, pole, marks, way),
                    below=pole.cut.below,
                    foot=pole.cut.foot,
                )
                found.setdefault(face, []).append(f"{pole.name} {marks.name}")
    return found


def _room(job: Job, faces: Iterable[Face], wide: float) -> _Room:
    longest = max(
        *(width_of(f"TOP RAIL {figure(job, face.pins[1])}", SMALL) for face in faces),
        *(width_of(_at_foot(job, face), SMALL) for face in faces),
    )
    outside = longest + 5.0 > wide / 2 or _holes_in_the_way(job, faces, wide)
    return _Room(wide, outside, wide + (longest + 6.0 if outside else 0.0))


def _rail_edges(solution: Solution, pole: Pole, face: FaceMarks, way: str) -> tuple[float, ...]:
    """Heights at which the edges of both rails, carried on, meet the post's face, from the foot up.

    Those of the solved guard [mm], moved with the marks to where the tape has them.
    """
    job = solution.job
    own = pole.cut.section, pole.cut.post
    number, which = pole.also if way == "up" and pole.also else own
    section = solution.guard.sections[number - 1]
    post = section.posts[which - 1]
    turn = math.radians(section.rake + post.out_of_plumb)  # of the rails, from square to the post
    found = []
    for mark in post.marks:
        if mark.side != way:
            continue
        marked = face.top if mark.rail == "top" else face.bottom
        depth = job.panel.top_rail if mark.rail == "top" else job.panel.bottom_rail
        half = float(depth) / 2 / math.cos(turn)
        axis = float(marked) + (-1 if way == "up" else 1) * post.off_face(mark) * math.tan(turn)
        found += [axis - half, axis + half]
    return tuple(round(millimetres(one, job.units), 6) for one in sorted(found))


def _holes_in_the_way(job: Job, faces: Iterable[Face], wide: float) -> bool:
    """Whether bracket holes leave too little room for lettering on any face."""
    if not job.bracket.holes:
        return False
    for face in faces:
        to_head = _head(job, face)
        others: list[Primitive] = [
            *_labels(job, face, wide / 2 + 3.0),
            line((0.0, to_head), (wide, to_head), "saw-cut"),
        ]
        holes = holes_on(job, face.pins, face.aside, wide)
        if holes and not fits_inside(job, holes, others, wide):
            return True
    return False


def _head(job: Job, face: Face) -> float:
    """How high a face is drawn [mm]."""
    return millimetres(face.height, job.units) or millimetres(face.pins[1], job.units) + 25.0


def _below(job: Job, face: Face) -> float:
    """How far a face is drawn on below the surface that its post stands on [mm]."""
    bottom = face.pins[0]
    lowest = min([bottom, *(over for _, over in hole_heights(job.bracket, bottom))])
    if face.below == 0 and face.foot == 0 and lowest >= 0:
        return 0.0
    deepest = millimetres(max(face.below, -lowest), job.units) + _UNDER
    return min(deepest, millimetres(face.foot, job.units)) if face.foot else deepest


def _at_foot(job: Job, face: Face) -> str:
    """What the line is that a face's heights count from."""
    if face.foot:
        return f"SURFACE, {figure(job, face.foot)} OVER END"
    return _GOES_ON if face.below else "FOOT"


def _labels(job: Job, face: Face, start: float) -> list[Text]:
    """What a face's own marks are called, with their heights."""
    to_head = _head(job, face)
    low, high = (millimetres(pin, job.units) for pin in face.pins)
    at_foot = -1.2 - SMALL if 0.0 <= low < 2.0 + SMALL + 1.0 else 2.0
    found = [Text(_at_foot(job, face), (start, at_foot), SMALL, "label")]
    at_head = to_head - ROW
    if not face.wall:
        if at_head - 0.6 < high < to_head:  # a line through it
            at_head = min(at_head, high - 1.2 - SMALL)
        found.append(Text(f"TOP {figure(job, face.height)}", (start, at_head), SMALL, "label"))
    for name, mark, y in zip(_PINS, face.pins, (low, high), strict=True):
        base = y + 1.2
        if -1.2 - SMALL - 0.6 < y < 0.0:
            base = y - 1.2 - SMALL
        elif abs(to_head - ROW - y) < 6.0 and not face.wall:
            base = min(y - 1.2 - SMALL, at_head - ROW)
        found.append(Text(f"{name} {figure(job, mark)}", (start, base), SMALL, "label"))
    return found


def _face(job: Job, face: Face, where: list[str], room: _Room) -> list[Primitive]:
    """One face with its foot at the origin [mm]."""
    wide, middle, to_head = room.wide, room.wide / 2, _head(job, face)
    under = _below(job, face)
    holes = holes_on(job, face.pins, face.aside, wide)
    drawn = _outline(face, wide, to_head, under)
    marks = [millimetres(one, job.units) for one in face.pins]
    pin_x = middle + millimetres(face.aside, job.units)
    beside = [*marks, *(hole.y for hole in holes), *(face.edges if holes else ())]
    reaches = [hole.y + hole.arm * share for hole in holes for share in (-1.0, -0.5, 0.5, 1.0)]
    drawn += _ticks(job, to_head, [*beside, *reaches])
    labels = _labels(job, face, room.start)
    for name, y in zip(_PINS, marks, strict=True):
        drawn.append(line((0.0, y), (wide, y), "pin", MEDIUM, owner=name))
        if 0.0 < pin_x < wide:
            drawn.append(ring((pin_x, y), 2.0, "pin"))
    drawn += labels
    low, reach = 14.0, wide - 2.0 if room.outside else middle
    if holes:  # short, since the crosses stand further in
        low, reach = 5.5, min(12.5, reach)
    for y in face.edges:
        if reach > low and -under < y < to_head and abs(y) > TOUCH:
            drawn.append(line((low, y), (reach, y), "rail-edge"))
    everywhere = not holes or _put_holes(drawn, job, face, holes, labels, room)
    words = "; ".join(where) + ". Dashed: edges of the rails" + _hole_words(job, everywhere)
    return drawn + _names(words, room, to_head, [*beside, to_head - 3.0])


def _outline(face: Face, wide: float, to_head: float, under: float) -> list[Primitive]:
    """Foot, sides, centre line and saw cut."""
    kind, middle = DASHED if face.wall else "continuous", wide / 2
    drawn: list[Primitive] = [
        line((0.0, 0.0), (wide, 0.0), "foot"),
        line((0.0, 0.0), (0.0, to_head), "post", THIN, kind),
        line((wide, 0.0), (wide, to_head), "post", THIN, kind),
        line((middle, 0.0), (middle, to_head), "centre-line", HAIR),
    ]
    if not face.wall:
        drawn.append(line((0.0, to_head), (wide, to_head), "saw-cut"))
    if under:
        for x in (0.0, wide):
            drawn.append(line((x, -0.5), (x, -under), "post", THIN, DASHED))
        drawn.append(line((middle, -0.5), (middle, -under), "centre-line", HAIR))
    return drawn


def _put_holes(
    drawn: list[Primitive],
    job: Job,
    face: Face,
    holes: list[Hole],
    labels: list[Text],
    room: _Room,
) -> bool:
    """Draw the bracket's holes with their figures, and tell whether all of these had room."""
    drawn += crosses(holes)
    at = room.start if room.outside else right_of(holes, room.wide)
    drawn += heights_beside(job, holes, at, room.wide, room.outside, labels if room.outside else ())
    told = sum(across != 0 for across in {hole.across for hole in holes})
    everywhere = True
    for pin in face.pins:
        found = places_across(job, holes_on(job, (pin,), face.aside, room.wide), drawn, room.wide)
        everywhere = everywhere and len(found) == told
        drawn += found
    return everywhere


def _names(words: str, room: _Room, to_head: float, marks: list[float]) -> list[Primitive]:
    """Whose face it is, again and again up the face, clear of the marks."""
    drawn: list[Primitive] = []
    wide = (room.strip if room.outside else room.wide) - room.start - 2.0
    rows = wrapped(words, SMALL, wide, 9)
    tall = ROW * len(rows)
    y = 34.0
    while y + 6.0 < to_head:
        if any(y - 8.0 < mark < y + tall + 8.0 for mark in marks):
            y += 10.0
            continue
        drawn += text_rows(rows, (room.start, y + tall - ROW), "label", ROW)
        y += _NAMED_EVERY
    return drawn


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
        drawn.append(line((0.0, y), (4.0 if main else 2.5, y), "tape", FINE if main else HAIR))
        if main and all(abs(y - mark) > SMALL for mark in marks) and height - y > SMALL:
            words = str(k) if job.units == "in" else str(k * 10)
            drawn.append(Text(words, (5.2, y - SMALL / 2), SMALL, "tape"))
        k += 1
    return drawn
