"""Posts on a shop sheet, each standing like a story pole.

A story pole is a stick on which heights are marked once and then carried to the work.  Each post
stands here to scale on its surface, with the marks of its brackets up both faces as running
dimensions from the foot: the face towards the bay below on the left, towards the bay above on the
right.  A post that two sections share is there once, with the marks of both.  Where the job gives
the holes of the brackets, they are ticked on the face, and where to drill stands under it.  A post
with a mark below its surface goes on below it, broken off where the job knows no more of it.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from msgspec import Struct

from stairs.drawing.paper.lettering import PITCH, SMALL, USUAL, shortened, text_rows, wrapped
from stairs.drawing.paper.primitives import (
    DASHED,
    HAIR,
    THIN,
    Primitive,
    Text,
    break_line,
    line,
    rectangle,
    ring,
)
from stairs.drawing.paper.sheet_sizes import Paper, Scale, scales
from stairs.drawing.placing.dimensions import STYLE, arrowhead
from stairs.drawing.sheets.page import Page, box, room_on
from stairs.drawing.sheets.sheet_words import figure, on_tape
from stairs.job import Job
from stairs.lengths.tape_marks import Number
from stairs.lists.cut_list import CutList
from stairs.lists.post_cuts import FaceMarks, PostCut, both_names
from stairs.parts.bracket_holes import hole_heights
from stairs.report.cuts_text import stands_text
from stairs.report.holes_text import across_text
from stairs.solution import Solution

_STRIP = 60.0  # least width of a post's strip [mm]
_BESIDE = 27.0  # for figures beside a post [mm]
_HEAD = 30.0  # over the post [mm]
_FOOT = 14.0  # under its surface [mm]
_STUB = 4.0  # how far a post goes on below its lowest mark [mm]
_TO_END = PITCH + 1.6  # for the length of what goes on below, under its end [mm]
_LONGER = ("GOES ON BELOW THE SURFACE:", "THAT LENGTH IS NOT COUNTED")


class Pole(Struct, frozen=True):
    """One post or wall, with every mark on it."""

    cut: PostCut
    also: tuple[int, int] | None  # of a shared post, section and number in the other section
    left: FaceMarks | None  # the down-stair face
    right: FaceMarks | None  # the up-stair face
    surface: str  # what it stands on; of a level run the deck or the landing
    turn: float  # plan turn of the section that leaves by the right-hand face [degrees]
    count: int  # how many are made
    hand: str = ""  # "left" or "right" where the other hand's post is another

    @property
    def name(self) -> str:
        """Section and post, as on the lists: ``1.2``."""
        return f"{self.cut.section}.{self.cut.post}"

    @property
    def names(self) -> str:
        """The same with the other section's name of a shared post: ``1.2 = 2.1``."""
        return both_names(self.cut.section, self.cut.post, self.also)

    @property
    def stands_on(self) -> str:
        """Its surface."""
        return "wall" if self.cut.wall else self.surface

    @property
    def height(self) -> Fraction:
        """Surface to top; 0 for a wall."""
        return Fraction(0) if self.cut.wall else self.cut.height + self.cut.whole


def poles(solution: Solution, cuts: CutList) -> list[Pole]:
    """Every post of a job once, in order; one that two sections share with the first of them."""
    by_place: dict[tuple[int, int], PostCut] = {}
    for own in cuts.posts:
        by_place.setdefault((own.section, own.post), own)
    found = []
    for own in cuts.posts:
        if not own.wall and own.quantity == 0:
            continue  # stands with the section before
        section = solution.guard.sections[own.section - 1]
        other = section.posts[own.post - 1].shared_with
        alone = (
            section.sides == 2 and own.hand != "both" and own is not by_place[own.section, own.post]
        )
        faces = {face.side: face for face in own.faces}
        also, turn = None, 0.0
        if other is not None and other[0] > own.section and not alone:
            also = other
            turn = solution.guard.sections[other[0] - 1].turn
            for face in by_place[other].faces:
                faces.setdefault(face.side, face)
        found.append(
            Pole(
                own,
                also,
                faces.get("down"),
                faces.get("up"),
                stands_text(section, own),
                turn,
                section.sides if own.wall else own.quantity,
                own.hand if section.sides == 2 and own.hand != "both" else "",
            )
        )
    return found


def _top(pole: Pole) -> Fraction:
    marks = [face.top for face in (pole.left, pole.right) if face is not None]
    stock = (
        pole.cut.stock - pole.cut.foot
        if pole.cut.stock is not None and pole.cut.cut_off
        else Fraction(0)
    )
    return max([pole.height, stock, *marks])


def post_pages(solution: Solution, cuts: CutList, papers: Sequence[Paper]) -> list[Page] | None:
    """Pages of posts side by side, not yet numbered; None where every paper is too low."""
    standing = poles(solution, cuts)
    offered = [(paper, _scale_on(solution.job, standing, paper)) for paper in papers]
    found = [(paper, scale) for paper, scale in offered if scale is not None]
    if not found:
        return None
    return _pages(solution.job, standing, *max(found, key=lambda pair: pair[1].ratio))


def _scale_on(job: Job, standing: list[Pole], paper: Paper) -> Scale | None:
    """The largest scale at which the tallest post stands on the paper."""
    left, bottom, right, top = room_on(paper)
    room = top - bottom - _HEAD
    tallest = max(map(_top, standing))
    return next(
        (s for s in scales(job.units)
         if float(tallest * s.paper_millimetres(job.units)) + _foot(job, standing, s) <= room
         and _strip(job, s) <= right - left),
        None,
    )  # fmt: skip


def _foot(job: Job, standing: list[Pole], scale: Scale) -> float:
    """Paper under the surface, for what stands under the faces [mm]."""
    unit = float(scale.paper_millimetres(job.units))
    found = []
    for pole in standing:
        rows = max(len(_drill_rows(job, face)) for face in _faces(pole))
        rows += len(_LONGER) if pole.cut.is_longer else 0
        found.append(_FOOT + _under(job, pole, unit) + PITCH * rows)
    return max(found)


def _faces(pole: Pole) -> list[FaceMarks]:
    return [face for face in (pole.left, pole.right) if face is not None]


def _under(job: Job, pole: Pole, unit: float) -> float:
    """How far marks, their figures and the post itself go below the surface [mm]; mostly 0."""
    reach = float(pole.cut.foot) * unit + (_TO_END if pole.cut.foot else 0.0)
    for face in _faces(pole):
        depth = -float(face.bottom) * unit
        if depth > 0:
            lift = min(lift for _, _, lift in _figures("", "", -depth))
            reach = max(reach, depth + _STUB, depth - lift, -lift + 0.6)
        for _, over in hole_heights(job.bracket, face.bottom):
            reach = max(reach, -float(over) * unit)
    return reach


def _drill_rows(job: Job, face: FaceMarks) -> list[str]:
    """Where a face is drilled: heights over the surface, and how far off its centre line."""
    by_height: dict[Number, list[Fraction]] = {}
    for pin in (face.bottom, face.top):
        for across, height in hole_heights(job.bracket, pin, face.aside):
            by_height.setdefault(height, []).append(across)
    alike: dict[tuple[Fraction, ...], list[str]] = {}
    for height, found in sorted(by_height.items()):
        alike.setdefault(tuple(sorted(found)), []).append(figure(job, height))
    rows: list[str] = []
    for places, heights in alike.items():
        words = f"DRILL AT {', '.join(heights)}: {across_text(job, list(places)).upper()}"
        rows += wrapped(words, SMALL, _BESIDE - 4.0)
    if face.aside or any(across for across, _ in job.bracket.holes):
        rows.append("(FACING IT)")
    return rows


def _strip(job: Job, scale: Scale) -> float:
    """Width of a strip that holds a post and the figures on both its sides [mm]."""
    return max(_STRIP, float(job.post.width * scale.paper_millimetres(job.units)) + 2 * _BESIDE)


def _pages(job: Job, standing: list[Pole], paper: Paper, scale: Scale) -> list[Page]:
    left, bottom, right, top = room_on(paper)
    each = int((right - left) / _strip(job, scale))
    groups = [standing[k : k + each] for k in range(0, len(standing), each)]
    under = _foot(job, standing, scale)
    pages = []
    for number, group in enumerate(groups, start=1):
        drawn: list[Primitive] = []
        wide = (right - left) / each
        for k, pole in enumerate(group):
            x = left + k * wide
            drawn += _pole(job, pole, scale, x, wide, bottom + under, top)
            if k:
                drawn.append(line((x, bottom), (x, top), "table"))
        name = f"Posts to cut and mark, {number} of {len(groups)}"
        pages.append(Page(paper, name, scale.words, tuple(drawn),
                          description="Posts with their bracket marks, to scale"))  # fmt: skip
    return pages


def _pole(
    job: Job, pole: Pole, scale: Scale, left: float, wide: float, foot: float, top: float
) -> list[Primitive]:
    unit = float(scale.paper_millimetres(job.units))
    middle = left + wide / 2
    half = max(float(job.post.width) * unit / 2, 1.5)
    drawn = _names(job, pole, left, wide, top)
    drawn += [line((left + 5.0, foot), (left + wide - 5.0, foot), "ground")]
    low, high = middle - half, middle + half
    if pole.cut.wall:
        ends = foot + float(_top(pole)) * unit + 5.0
        for x in (low, high):
            drawn.append(line((x, foot), (x, ends), "wall", THIN, DASHED))
    else:
        head = foot + float(pole.height) * unit
        if pole.cut.stock is not None and pole.cut.cut_off:
            end = foot + float(pole.cut.stock - pole.cut.foot) * unit
            drawn.append(rectangle((low, head), (high, end), "offcut"))
            drawn.append(line((low, head), (high, end), "offcut", HAIR))
            beside = _clear_of(pole.right, foot, unit, (head + end - SMALL) / 2)
            for words, y in ((figure(job, pole.cut.cut_off), beside + PITCH), ("OFF", beside)):
                drawn.append(Text(words, (high + 2.8, y), SMALL, "dimension"))
        end = foot - float(pole.cut.foot) * unit
        drawn.append(rectangle((low, end), (high, head), "post"))
        if pole.cut.foot:
            below, at = f"{figure(job, pole.cut.foot)} BELOW", (middle, end - 1.2 - SMALL)
            drawn.append(Text(below, at, SMALL, "dimension", "middle"))
        if pole.cut.is_longer:
            drawn += _stub(low, high, foot, foot - float(pole.cut.below) * unit - _STUB)
        if not pole.cut.whole:
            drawn.append(line((low - 2.0, head), (high + 2.0, head), "saw-cut"))
    for face, side, edge in ((pole.left, -1, low), (pole.right, 1, high)):
        if face is not None:
            drawn += _face(job, face, side, edge, foot, unit)
    if not pole.cut.wall:
        head = foot + float(pole.height) * unit
        beside = _clear_of(pole.left, foot, unit, head - SMALL / 2)
        drawn.append(Text(figure(job, pole.height), (low - 2.8, beside), SMALL, "dimension",
                          "right"))  # fmt: skip
    words_at = foot - _under(job, pole, unit) - 4.6
    rows_under = 0
    for face, x, anchor in (
        (pole.left, middle - half - 3.0, "right"), (pole.right, middle + half + 3.0, "left"),
    ):  # fmt: skip
        if face is not None:
            rows = [*_face_words(pole, face), *_drill_rows(job, face)]
            rows_under = max(rows_under, len(rows))
            drawn += text_rows(rows, (x, words_at), "label", anchor=anchor)
    if pole.cut.is_longer:
        at = (middle, words_at - rows_under * PITCH)
        drawn += text_rows(_LONGER, at, "label", anchor="middle")
    return drawn


def _stub(low: float, high: float, foot: float, end: float) -> list[Primitive]:
    """A post below its surface, broken off where it is not known how far it goes [mm]."""
    drawn: list[Primitive] = [
        line((x, foot - 0.6), (x, end), "post", THIN, DASHED) for x in (low, high)
    ]
    half = (high - low) / 6
    return [*drawn, break_line((low - 1.0, end), (high + 1.0, end), half, half / 3, 1.0)]


def _face_words(pole: Pole, face: FaceMarks) -> list[str]:
    """The face's name, and to which side it looks where the guard turns."""
    rows = [face.name.upper()]
    if face is pole.right and pole.turn:
        rows.append(f"{abs(pole.turn):g}° {'LEFT' if pole.turn > 0 else 'RIGHT'}")
    return rows


def _clear_of(face: FaceMarks | None, foot: float, unit: float, wanted: float) -> float:
    """A base line beside the post's head that keeps clear of the figures of the top mark [mm]."""
    if face is None:
        return wanted
    return max(wanted, foot + float(face.top) * unit + SMALL + 1.6)


def _names(job: Job, pole: Pole, left: float, wide: float, top: float) -> list[Primitive]:
    kind = "WALL" if pole.cut.wall else "POST"
    name = f"{kind} {pole.names}"
    if pole.hand:
        name += f" {pole.hand.upper()}"
    x, y = left + 2.5, top - USUAL - 0.5
    drawn: list[Primitive] = [Text(name, (x, y), USUAL, "post-name")]
    where = "beside" if pole.cut.foot else "on"
    rows = [
        f"{where} {pole.stands_on}" if not pole.cut.wall else "marks over the surface before it"
    ]
    if not pole.cut.wall:
        stock = "no stock long enough"
        if pole.cut.stock is not None:
            stock = f"from {on_tape(job, pole.cut.stock)}"
        cut = "over it" if pole.cut.is_longer else "cut"
        if pole.cut.done:
            cut, stock = "cut already,", ""
        rows.append(f"{cut} {on_tape(job, pole.height + pole.cut.foot)} {stock}".rstrip())
        if pole.cut.whole and pole.cut.stock is not None:
            reveal = on_tape(job, job.post.reveal + pole.cut.whole)
            rows[-1] = f"leave whole, {on_tape(job, pole.cut.stock)}; reveal {reveal}"
    if pole.count == 2:
        rows[-1] += "; make 2"
    for row in rows:
        y -= PITCH + 0.2
        drawn.append(Text(shortened(row, SMALL, wide - 4.0), (x, y), SMALL, "post-name"))
    y = top - 20.0
    for label in ("MARKED",) if pole.cut.wall or pole.cut.whole else ("MARKED", "CUT"):
        for k in range(pole.count):
            more, step = box(x, y, label if k == pole.count - 1 else "")
            drawn += more
            x += step if k == pole.count - 1 else 3.8
        x += 3.0
    return drawn


def _face(
    job: Job, face: FaceMarks, side: int, edge: float, foot: float, unit: float
) -> list[Primitive]:
    """Bracket marks up one face: a line across the edge, a ring, and the height from the foot."""
    drawn: list[Primitive] = []
    x = edge + side * 5.0
    drawn.append(ring((x, foot), 0.9, "dimension", owner="origin"))
    before = foot + 0.9
    for words, height in (("BOTTOM", face.bottom), ("TOP", face.top)):
        y = foot + float(height) * unit
        drawn.append(line((edge - side * 1.6, y), (x + side * 1.0, y), "bracket-mark"))
        drawn.append(ring((edge, y), 0.8, "bracket-mark", THIN))
        for _, over in hole_heights(job.bracket, height):
            at = foot + float(over) * unit
            drawn.append(line((edge - side * 1.0, at), (edge + side * 1.0, at), "hole-mark"))
        way = 1 if height >= 0 else -1
        start = before if way > 0 else foot - 0.9
        if (y - start) * way > 0.2:
            drawn.append(line((x, start), (x, y), "dimension"))
            if (y - start) * way > STYLE.arrow + 0.5:
                drawn.append(arrowhead((x, y), way * 90.0, "running"))
        before = max(y, before)
        anchor = "left" if side > 0 else "right"
        base = max(y, foot + 0.6) if way > 0 else min(y, foot - 0.6)
        for content, group, lift in _figures(figure(job, height), words, y - foot):
            place = (x + side * 2.2, base + lift)
            drawn.append(Text(content, place, SMALL, group, anchor, owner="mark"))
    return drawn


def _figures(height: str, words: str, over: float) -> tuple[tuple[str, str, float], ...]:
    """A mark's figure and name with how far each stands over the mark, which lies so far over the
    ground [mm]: one on either side of it, or both away from the ground where they would meet it."""
    if over < 0 and -over < SMALL + 1.7:
        return (height, "dimension", -SMALL - 0.6), (words, "label", -SMALL - 0.6 - PITCH)
    if 0 <= over < SMALL + 1.7:
        return (words, "label", 0.6), (height, "dimension", 0.6 + PITCH)
    return (height, "dimension", 0.5), (words, "label", -SMALL - 0.5)
