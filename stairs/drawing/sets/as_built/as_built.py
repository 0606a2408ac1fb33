"""Posts as they stand: a page to each section, to take along once the posts are set.

Over a table of the posts, each with its planned place beside blanks, stands the section's own
elevation with its posts named, and an invented pair of posts that is lettered as the names page
letters them.  The blanks are what ``stairs measure --as-built`` asks for.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from fractions import Fraction
from typing import NamedTuple

from stairs.drawing.files.pdf import Book, bound
from stairs.drawing.paper.lettering import PITCH, SMALL, wrapped
from stairs.drawing.paper.primitives import MEDIUM, Area, Primitive, Text, line, moved, ring
from stairs.drawing.paper.sheet_sizes import Paper, Scale
from stairs.drawing.paper.view import View
from stairs.drawing.placing.dimensions import RUNNING, STYLE, Dimension
from stairs.drawing.placing.labelled_view import Label, Stage
from stairs.drawing.sheets.page import Page, box, paper_for, room_on
from stairs.drawing.sheets.sheet_words import figure, particulars_of
from stairs.drawing.sheets.spoken import drawn_in_words
from stairs.drawing.views.elevation.dimension_chains import bounds_of
from stairs.drawing.views.elevation.section_work import section_work
from stairs.drawing.views.lettered.parts import standing_cell
from stairs.drawing.views.lettered.samples import STANDING, solved
from stairs.guard.solving import Section
from stairs.job import Job
from stairs.job.as_built import LOOSE_CAUTION, SHIMS_CAUTION, WALL, PlannedPost
from stairs.lists.planned_posts import planned_posts, sections_of_the_file
from stairs.relations.quantities import AS_BUILT
from stairs.solution import Solution

GROUP = "blank"
_CUT = "CUT ALREADY: the post, rails to the next"
_ROW = 8.0  # from one post to the next, for a pencil [mm]
_HEAD = 5 * PITCH + 1.0  # of the table [mm]
_LETTERED = 54.0  # room of the lettered pair of posts beside the elevation [mm]
_BESIDE, _UNDER, _OVER = 8.0, 16.0, 8.0  # paper round the elevation [mm]
_LARGEST = 3.0  # of the elevation: millimetres of paper to a unit of the work
_LEAST = 62.0  # height of the pictures that is left whatever the table takes [mm]


class _Column(NamedTuple):
    """A column of the table: what is over it, and how wide it is [mm]."""

    key: str  # of what is measured; empty of what is told
    head: str
    wide: float


def _columns(section: Section) -> tuple[_Column, ...]:
    zero = "the first nosing" if section.kind == "flight" else "the first post"
    datum = "lower landing" if section.kind == "flight" else "the run's own surface"
    return (
        _Column("", "POST", 15.0),
        _Column("", "STANDS ON", 24.0),
        _Column("", "PLANNED", 18.0),
        _Column("x", f"its middle, level from {zero}", 25.0),
        _Column("", "PLANNED", 18.0),
        _Column("surface", f"its surface over {datum}, dips and shims in", 27.0),
        _Column("lean", "its top out of plumb, + toward the next", 25.0),
        _Column("", "CLEAR TO THE NEXT", 19.0),
        _Column("clear_low", "at the bottom rail", 21.0),
        _Column("clear_high", "at the top rail", 21.0),
        _Column("", _CUT, 39.0),
    )


@drawn_in_words
def as_built_book(solution: Solution, paper: str | None = None) -> Book:
    """A page to each section of a job as it was planned, more where it has many posts."""
    sheet = paper_for(solution.job.units, paper, job=solution.job)
    posts = planned_posts(solution)
    pages = [
        page
        for section, number in sections_of_the_file(solution)
        for page in _pages(solution, section, number, posts, sheet)
    ]
    return bound(pages, particulars_of(solution), "Posts as they stand")


def _pages(
    solution: Solution,
    section: Section,
    number: int,
    posts: Sequence[PlannedPost],
    sheet: Paper,
) -> list[Page]:
    left, bottom, right, top = room_on(sheet)
    asked = [
        one for one in posts if one.section == number and one.hand in section.hands and one.asked
    ]
    notes = _notes(section, right - left)
    foot = bottom + PITCH * len(notes) + 1.5
    room = int((top - foot - _LEAST - _HEAD) / _ROW)
    first, rest = asked[:room], asked[room:]
    each = int((top - foot - _HEAD) / _ROW)
    groups = [first, *(rest[k : k + each] for k in range(0, len(rest), each))]
    pages = []
    for k, group in enumerate(groups, start=1):
        table = _HEAD + _ROW * len(group)
        drawn = _written(notes, left, bottom)
        upper = foot + table if k == 1 else top
        drawn += _table(solution.job, section, group, left, upper)
        if k == 1:
            numbers = {one.post for one in asked if "x" in one.asked}
            drawn += _pictures(solution, section, numbers, (left, upper + 2.0, right, top))
        name = f"Posts as they stand, {section.where}"
        if section.sides == 1 and section.line.opposite_of:
            name = f"Posts as they stand, section {number}, left hand"
        pages.append(
            Page(
                sheet,
                name + (f", {k} of {len(groups)}" if len(groups) > 1 else ""),
                "",
                tuple(drawn),
                "The section with its posts named, and for each the planned place beside blanks "
                "for where it stands.",
            )
        )
    return pages


def _notes(section: Section, width: float) -> list[str]:
    """What to know before one measures, line by line."""
    texts = [f"{SHIMS_CAUTION}. {LOOSE_CAUTION}."]
    if section.posts[0].shared_with is not None and section.number > 1:
        texts.append(
            "The first post is the last one of the section before: a dash says that it is told "
            "there."
        )
    texts.append(
        "Write nothing where a post stands as planned. Then: stairs measure FILE --as-built"
    )
    return [row for text in texts for row in wrapped(text, SMALL, width)]


def _written(rows: Sequence[str], left: float, bottom: float) -> list[Primitive]:
    return [
        Text(row, (left, bottom + PITCH * (len(rows) - 1 - k) + 0.8), SMALL, "note")
        for k, row in enumerate(rows)
    ]


def _table(
    job: Job, section: Section, posts: Sequence[PlannedPost], left: float, top: float
) -> list[Primitive]:
    columns = _columns(section)
    end = left + sum(one.wide for one in columns)
    drawn: list[Primitive] = [line((left, top - _HEAD), (end, top - _HEAD), "table", MEDIUM)]
    x = left
    for column in columns:
        rows = wrapped(column.head, SMALL, column.wide - 2.0)
        y = top - _HEAD + 1.6 + PITCH * len(rows)
        if column.key:
            drawn.append(Text(AS_BUILT[column.key].symbol, (x, y), SMALL, "table", bold=True))
        for k, row in enumerate(rows, start=1):
            drawn.append(Text(row, (x, y - PITCH * k), SMALL, "table"))
        x += column.wide
    for number, one in enumerate(posts, start=1):
        y = top - _HEAD - _ROW * number
        drawn += _row(job, one, columns, section.sides == 2, (left, y))
        drawn.append(line((left, y), (end, y), "table"))
    return drawn


def _row(
    job: Job, one: PlannedPost, columns: Sequence[_Column], both: bool, at: tuple[float, float]
) -> list[Primitive]:
    """One post: what was planned, and a blank for each thing that is measured of it."""
    wall, last = one.stands_on == WALL, one.clear is None
    name = "wall" if wall else f"{one.post}" + (f" {one.hand}" if both else "")
    planned = iter(
        (
            name,
            one.stands_on,
            "" if "x" not in one.asked else figure(job, one.x),
            "" if "surface" not in one.asked else figure(job, one.surface),
            "" if one.clear is None else figure(job, one.clear),
        )
    )
    x, y = at[0], at[1] + 1.6
    drawn: list[Primitive] = []
    for column in columns:
        if column.key in one.asked:
            ends = (x, y - 0.4), (x + column.wide - 4.0, y - 0.4)
            owner = f"{column.key} of post {one.post} {one.hand}"
            drawn.append(line(*ends, GROUP, owner=owner))
        elif column.key:
            if not (wall or (last and column.key.startswith("clear"))):
                drawn.append(Text("-", (x, y), SMALL, GROUP))
        elif column.head == _CUT:
            along = x
            pieces = (*(() if wall else ("post",)), *(() if last else ("top", "bottom")))
            for words in pieces:
                made, wide = box(along, y, words)
                drawn += made
                along += wide + 1.5
        else:
            drawn.append(Text(next(planned), (x, y), SMALL, GROUP, bold=x == at[0]))
        x += column.wide
    return drawn


def _pictures(
    solution: Solution, section: Section, asked: Collection[int], room: Area
) -> list[Primitive]:
    """The section with its posts named, and a pair of posts lettered, beside each other."""
    left, bottom, right, top = room
    pair = standing_cell(solved(STANDING), _over(Fraction(1, 22)))
    parts = pair.drawn()
    low, foot, end, _ = pair.stage.area
    x = right - (end - low) - low
    drawn = [moved(one, x, bottom + 5.0 - foot) for one in parts]
    room = (left, bottom, right - _LETTERED, top)
    return drawn + _elevation(solution.job, section, asked, room)


def _elevation(job: Job, section: Section, asked: Collection[int], room: Area) -> list[Primitive]:
    """The section as planned, as large as there is room for, its posts named and lettered."""
    left, bottom, right, top = room
    edges = bounds_of(section)
    wide, high = edges.right - edges.left, edges.top - edges.bottom
    unit = min(
        (right - left - 2 * _BESIDE) / wide, (top - bottom - _UNDER - _OVER) / high, _LARGEST
    )  # millimetres of paper to a unit of the work
    scale = Scale(Fraction(unit).limit_denominator(10**6), "", "mm")
    flat = View(scale, "mm")
    middle = (left + right - unit * (edges.left + edges.right)) / 2
    view = View(scale, "mm", (middle, bottom + _UNDER - flat.length(edges.bottom)))
    stage = Stage(room, view)
    low, end = view.at((edges.left, 0.0))[0], view.at((edges.right, 0.0))[0]
    stage.add(section_work(section, job, view, low - _BESIDE, end + _BESIDE))
    letter, line_at = AS_BUILT["x"].symbol, bottom + _UNDER - 7.0
    before = {True: (0.0, 0.0), False: (0.0, 0.0)}
    zero = view.at((0.0, 0.0))  # the small circle from which running dimensions start
    stage.add([
        ring((zero[0], line_at), 0.9, "dimension", owner="origin"),
        line((zero[0], zero[1] - STYLE.gap), (zero[0], line_at - STYLE.overrun), "dimension"),
    ])  # fmt: skip
    for post in sorted(section.posts, key=lambda one: abs(one.x)):
        mark, up = (post.x, post.surface), post.x >= 0
        if post.number in asked:
            text, ends = f"{letter}{post.number}", ((0.0, 0.0), mark)
            stage.dimensions.append(
                Dimension(text, RUNNING, ends, post.x, text, line_at, after=before[up])
            )
            before[up] = mark
        over = section.guard_height if post.wall else post.height
        head = view.at((post.x, post.surface + over))
        name = "WALL" if post.wall else f"POST {post.number}"
        stage.labels.append(Label((name,), head, 90.0))
    return stage.letter()


def _over(ratio: Fraction) -> Scale:
    """A scale that no one is to measure by."""
    return Scale(ratio, "", "mm")
