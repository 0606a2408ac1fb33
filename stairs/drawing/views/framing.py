"""The framing plan: where the posts of a level run come down on joists and boards.

Seen from above before the decking goes on: joists, the edge of the deck, the block between the
joists under every post, the base plates and their bolts.  What would have to be changed is flagged
at the post and told in words beside the list of blocks.
"""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from stairs.drawing.paper.lettering import SMALL, USUAL, shortened
from stairs.drawing.paper.primitives import (
    BLANK,
    DASH_DOT,
    DASH_DOT_DOT,
    DASHED,
    FINE,
    HAIR,
    HEAVY,
    MEDIUM,
    THICK,
    THIN,
    Arc,
    Primitive,
    Text,
    line,
    rectangle,
)
from stairs.drawing.paper.sheet_sizes import Paper, Scale, scale_named, scales
from stairs.drawing.paper.view import View
from stairs.drawing.placing.dimensions import LEVEL, PLUMB, ZERO, Dimension
from stairs.drawing.placing.labelled_view import Label, Stage
from stairs.drawing.placing.placement import Candidate
from stairs.drawing.sheets.page import Page, as_sheet, numbered, paper_for, room_on
from stairs.drawing.sheets.page_text import Column, Flow
from stairs.drawing.sheets.sheet import Sheet, drawn_on
from stairs.drawing.sheets.sheet_words import particulars_of
from stairs.drawing.sheets.title_block import scale_bar
from stairs.drawing.views.elevation.match_lines import STUB
from stairs.drawing.views.plan.parts import letter_of
from stairs.drawing.views.plan.surfaces import zigzag
from stairs.errors import JobError, SheetError
from stairs.lengths.tape_marks import length_text

_AROUND = (22.0, 26.0, 22.0, 20.0)
_FOOT = 17.5


class _Piece(Struct, frozen=True):
    """What of a run one view shows: its ends, and where it is cut, None at the run's own ends."""

    low: float
    high: float
    before: float | None = None
    after: float | None = None
    number: int = 1
    count: int = 1

    def holds(self, x: float) -> bool:
        """Whether a post stands in it."""
        low = self.before is None or x >= self.before
        return low and (self.after is None or x <= self.after)

    @property
    def words(self) -> str:
        """Its name under the view."""
        ends = [letter_of(self.number - 2)] if self.before is not None else []
        ends += [letter_of(self.number - 1)] if self.after is not None else []
        lines = "TO MATCH LINE" + ("S " if len(ends) > 1 else " ") + " AND ".join(ends)
        return f"PART {self.number} OF {self.count}, {lines}"


def _pieces(posts, low: float, high: float, unit: float, room: float) -> list[_Piece] | None:
    """The run in as few pieces as fit the room [mm], cut midway between posts, or None."""
    if (high - low) * unit <= room:
        return [_Piece(low, high)]
    stub = STUB / unit
    xs = sorted(post.x for post in posts)
    places = [(a + b) / 2 for a, b in zip(xs, xs[1:], strict=False)]

    def fits(start: float, end: float) -> bool:
        more = stub * ((start != low) + (end != high))
        return (end - start + more) * unit <= room

    cuts, start = [], low
    while not fits(start, high):
        reach = [at for at in places if at > start and fits(start, at)]
        if not reach:
            return None
        cuts.append(start := reach[-1])
    count = len(cuts) + 1
    even = [min(places, key=lambda at: abs(at - low - (high - low) * k / count))
            for k in range(1, count)]  # fmt: skip
    ends = [low, *even, high]
    if len(set(ends)) == count + 1 and all(map(fits, ends, ends[1:])):
        cuts = even
    ends = [low, *cuts, high]
    return [
        _Piece(one - stub if k > 1 else low, two + stub if k < count else high,
               one if k > 1 else None, two if k < count else None, k, count)
        for k, (one, two) in enumerate(zip(ends, ends[1:], strict=False), start=1)
    ]  # fmt: skip


def framing_pages(answer, sheet: Paper) -> list[Page]:
    """The framing under each level run where it is given, not yet numbered."""
    pages = []
    for part in answer.sections:
        if part.framing is not None:
            pages += [page for page, _ in _pages(answer, part, sheet)[0]]
    return pages


def draw_framing(
    answer, section: int | None = None, paper: str | None = None, scale: str | None = None
) -> Sheet:
    """The framing plan of one section on a sheet of its own.

    Parameters
    ----------
    answer : stairs.solution.Answer
        Of a job.
    section : int, optional
        From 1; the first one whose framing is given where it is left out.
    paper, scale : str, optional
        What the user asked for.

    Raises
    ------
    stairs.errors.JobError
        The job tells nothing of the framing there.
    stairs.errors.SheetError
        There is no such sheet or scale, or the view does not fit.
    """
    job = answer.job
    name = paper or job.sheet.paper or ("tabloid", "A3")[job.units == "mm"]
    sheet = paper_for(job.units, name, job=job)
    asked = None if scale is None else scale_named(scale, job.units)
    whose = particulars_of(answer)
    levels_first = sorted(answer.sections, key=lambda part: part.section.kind == "flight")
    for part in levels_first:
        if part.framing is None or section not in (None, part.section.number):
            continue
        made, whole = _pages(answer, part, sheet, asked)
        drawn = [
            as_sheet(
                numbered(page, whose, k, len(made)),
                drawn_on(stage or _blank(made[0][1])),
                job.units,
            )
            for k, (page, stage) in enumerate(made, start=1)
        ]
        if whole is not None:  # for CAD, which takes the run unbroken
            drawn = [replace(one, whole=drawn_on(whole)) for one in drawn]
        return replace(drawn[0], following=tuple(drawn[1:]))
    raise JobError(
        "framing",
        "the job says nothing of joists or boards"
        + ("" if section is None else f" under section {section}"),
        "A framing plan needs [framing], or [section.framing] under a level section",
        "Add it, with direction, joist_spacing, first_joist and joist_thickness",
    )


def _blank(stage: Stage) -> Stage:
    """A stage with nothing on it, for a page that has the rest of a list."""
    return Stage(stage.area, stage.view)


def _pages(answer, part, sheet: Paper, asked: Scale | None = None):
    """The framing under one section: each page with the stage of its view where it has one, and
    the stage of the whole run where it is broken."""
    job, section, plan = answer.job, part.section, part.framing
    left, bottom, right, top = room_on(sheet)
    name = section.name or f"section {section.number}"
    margin = 2.0 * float(job.post.base or job.post.width)
    spread = _inset_extent(plan, margin)
    ends = _length_extent(plan, _posts(part), margin)
    around = _AROUND
    room_x = right - left - around[0] - around[2]
    room_y = (top - bottom) * 0.62 - around[1] - around[3] - _FOOT
    offered = scales(job.units) if asked is None else (asked,)
    scale, pieces = None, None
    for one in offered:  # the fewest pieces, at the largest scale that takes no more
        unit = float(one.paper_millimetres(job.units))
        found = _pieces(_posts(part), *ends, unit, room_x)
        if found is None or (spread[1] - spread[0]) * unit > room_y:
            continue
        if pieces is None or len(found) < len(pieces):
            scale, pieces = one, found
    if pieces is None:
        raise SheetError(
            "framing",
            f"the framing under {name} does not fit {sheet.name} at {offered[-1].words}",
            "",
            "Take a larger sheet, or leave the scale out",
        )

    def text(length) -> str:
        return length_text(length, job.units, job.tape, feet=True, unit=job.units == "in")

    unit = float(scale.paper_millimetres(job.units))
    floor = top - around[3] - (spread[1] - spread[0]) * unit
    low_area = floor - around[1]
    bar = low_area - 13.0
    made: list[tuple[list[Primitive], Stage | None]] = []
    for piece in pieces:
        spare = (room_x - (piece.high - piece.low) * unit) / 2
        origin = (left + around[0] + spare - piece.low * unit, floor - spread[0] * unit)
        stage = Stage((left, low_area, right, top), View(scale, job.units, origin))
        _draw(stage, part, job, piece, spread, text)
        content = stage.letter()
        content += scale_bar(scale, left + 2.0, bar, 90.0)
        content.append(Text(f"SCALE {scale.words}", (left + 2.0, bar + 3.2), SMALL, "scale-bar"))
        title = shortened(f"Framing under {name}", USUAL, right - left - 4.0)
        content.append(Text(title, (left + 2.0, bar + 7.6), USUAL, "view-name"))
        if piece.count > 1:
            content.append(Text(piece.words, ((left + right) / 2, bar + 1.0), USUAL, "view-name",
                                "middle"))  # fmt: skip
        if stage.unplaced:
            content.append(Text(f"Not lettered: {'; '.join(stage.unplaced)}"[:110],
                                (left + 100.0, bar - 4.0), SMALL, "note"))  # fmt: skip
        made.append((content, stage))
    flow = Flow((left, bottom, right, bar - 11.0))
    _table(flow, part, text)
    made[0] = ([*made[0][0], *flow.pages[0]], made[0][1])
    made += [(list(one), None) for one in flow.pages[1:]]
    pages = [
        (Page(sheet, f"Framing under {name}" + (f", {k}" if k > 1 else ""),
              scale.words if stage else "", tuple(one), group="Framing",
              description=f"Framing plan under {name}: joists, blocks, base plates and bolts"),
         stage)
        for k, (one, stage) in enumerate(made, start=1)
    ]  # fmt: skip
    if len(pieces) == 1:
        return pages, None
    wide = (ends[1] - ends[0]) * unit
    whole = Stage((-60.0, low_area, wide + 60.0, top),
                  View(scale, job.units, (-ends[0] * unit, floor - spread[0] * unit)))  # fmt: skip
    _draw(whole, part, job, _Piece(*ends), spread, text)
    whole.letter()
    return pages, whole


def _draw(stage: Stage, part, job, piece: _Piece, spread, text) -> None:
    """Work, match lines and lettering of a piece of a run."""
    frame = (piece.low, spread[0], piece.high, spread[1])
    stage.add(_work(part, job, stage.view, frame, piece))
    for at, end, number, other in (
        (piece.before, piece.low, piece.number - 2, piece.number - 1),
        (piece.after, piece.high, piece.number - 1, piece.number + 1),
    ):
        if at is not None:
            _match_line(stage, at, end, frame, letter_of(number), other)
    _lettering(stage, part, job, stage.view, frame, text, piece)


def _match_line(stage: Stage, at: float, end: float, frame, letter: str, other: int) -> None:
    """A match line, the break line where its stub ends, and its name over it."""
    low, high = stage.view.at((at, frame[1])), stage.view.at((at, frame[3]))
    top = high[1] + 6.0
    stage.add([line((low[0], low[1] - 4.0), (low[0], top), THICK, "match-line", DASH_DOT_DOT,
                    letter)])  # fmt: skip
    foot = stage.view.at((end, 0.0))
    stage.add([zigzag((foot[0], foot[1] - 2.5), (foot[0], high[1] + 2.5))])
    where = "NEXT SHEET" if end > at else "SHEET BEFORE"
    rows = (f"MATCH LINE {letter}", f"SEE PART {other}, {where}")
    places = tuple(
        Candidate(
            (Text(rows[0], (low[0] + along, top + 5.6 + lift), SMALL, "match-line", anchor,
                  bold=True, owner=rows[0]),
             Text(rows[1], (low[0] + along, top + 1.6 + lift), SMALL, "match-line", anchor,
                  owner=rows[0])),
            (), lift + abs(along),
        )
        for lift in (0.0, 2.0, 4.0)
        for along, anchor in ((0.0, "middle"), (1.5, "left"), (-1.5, "right"))
    )  # fmt: skip
    stage.labels.append(Label(rows, (low[0], top), 90.0, places=places))


def _posts(part):
    """The posts that the view shows: the run's own, or those at the head of a stair."""
    return part.section.posts if part.section.kind == "level" else part.framing.posts


def _length_extent(plan, posts, margin: float) -> tuple[float, float]:
    """From end to end of the run, with the whole of the blocks under its end posts."""
    places = [min(one.x for one in posts) - margin, max(one.x for one in posts) + margin]
    half = plan.joist_thickness
    for one in plan.posts:
        for block in one.blocks:
            if plan.joist_axis == "x":
                places += [end for end in (block.low, block.high) if end is not None]
            else:
                places += [block.centre - block.thickness / 2, block.centre + block.thickness / 2]
    return min(places) - 1.5 * half, max(places) + 1.5 * half


def _inset_extent(plan, margin: float) -> tuple[float, float]:
    """From outside the deck's edge inwards, as far as there is something to show."""
    insets = [plan.edge_to_post + margin, *(one.inset + margin for one in plan.posts)]
    if plan.joist_axis == "inset":
        insets += [joist.centre + plan.joist_thickness for joist in plan.joists]
    return -margin * 0.4, max(insets)


def _work(part, job, view: View, frame, piece: _Piece) -> list[Primitive]:
    plan = part.framing
    posts = [one for one in plan.posts if piece.holds(one.x)]
    x0, y0, x1, y1 = frame
    half = plan.joist_thickness / 2
    drawn: list[Primitive] = []
    far = y1 if plan.joist_axis == "x" else plan.joists[-1].centre
    for gap in plan.gaps:
        ends = ((gap, 0.0), (gap, far)) if plan.gap_axis == "x" else ((x0, gap), (x1, gap))
        inside = x0 < gap < x1 if plan.gap_axis == "x" else 0 < gap < y1
        if inside:
            drawn.append(line(view.at(ends[0]), view.at(ends[1]), HAIR, "board-gap", DASHED))
    for joist in plan.joists:
        if plan.joist_axis == "x":
            if not x0 < joist.centre - half < joist.centre + half < x1:
                continue
            corners = ((joist.centre - half, 0.0), (joist.centre + half, y1))
        else:
            if joist.centre + half > y1:
                continue
            corners = ((x0, joist.centre - half), (x1, joist.centre + half))
        drawn.append(rectangle(view.at(corners[0]), view.at(corners[1]), MEDIUM, "joist", BLANK))
    drawn.append(line(view.at((x0, 0.0)), view.at((x1, 0.0)), HEAVY, "deck-edge"))
    for one in posts:
        for block in one.blocks:
            drawn += _block(plan, block, view, frame)
    side = float(job.post.width) / 2
    for one in posts:
        if job.post.base:
            reach = float(job.post.base) / 2
            low = view.at((one.x - reach, one.inset - reach))
            high = view.at((one.x + reach, one.inset + reach))
            drawn.append(rectangle(low, high, THIN, "base-plate"))
        low = view.at((one.x - side, one.inset - side))
        high = view.at((one.x + side, one.inset + side))
        drawn.append(rectangle(low, high, THICK, "post"))
        for bolt in one.bolts:
            drawn.append(Arc(view.at(bolt), max(view.length(plan.bolt_diameter / 2), 0.45), FINE,
                             "bolt", fill=BLANK))  # fmt: skip
    line_y = plan.edge_to_post
    drawn.append(line(view.at((x0, line_y)), view.at((x1, line_y)), FINE, "centre-line", DASH_DOT))
    return drawn


def _block(plan, block, view: View, frame) -> list[Primitive]:
    """A block, crossed as cut timber is."""
    x0, y0, x1, y1 = frame
    low = block.low if block.low is not None else (x0 if plan.joist_axis == "x" else 0.0)
    across = (block.centre - block.thickness / 2, block.centre + block.thickness / 2)
    if plan.joist_axis == "x":
        a, b = (low, across[0]), (block.high, across[1])
    else:
        a, b = (across[0], low), (across[1], min(block.high, y1))
    if a[0] < x0 or b[0] > x1:
        return []
    a, b = view.at(a), view.at(b)
    return [
        rectangle(a, b, MEDIUM, "block"),
        line(a, b, HAIR, "block"),
        line((a[0], b[1]), (b[0], a[1]), HAIR, "block"),
    ]


def _lettering(stage: Stage, part, job, view: View, frame, text, piece: _Piece) -> None:
    plan = part.framing
    x0, y0, x1, y1 = frame
    below = view.at((0.0, y0))[1]
    posts = _posts(part)
    if part.section.kind == "flight" and len(posts) == 1:
        posts = ()  # its place counts from a post of the next run; the table tells it
    origin = (posts[0].x if posts else x0, 0.0)
    before = origin if piece.before is None else (x0, 0.0)
    for one in posts:
        if not piece.holds(one.x):
            continue
        mark = (one.x, 0.0)
        stage.dimensions.append(
            Dimension(f"post {_number_of(one)} position", "running", (origin, mark), one.x,
                      text(one.x) if one.x != origin[0] else ZERO, "below 2", below - 10.0,
                      after=before)
        )  # fmt: skip
        before = mark
    if piece.before is None and posts:
        stage.add([Arc((view.at(origin)[0], below - 10.0), 0.9, FINE, "dimension")])
    if piece.after is not None:
        ends = [(view.at((x, 0.0))[0], below - 10.0) for x in (before[0], x1)]
        stage.add([line(*ends, FINE, "dimension")])
    half = plan.joist_thickness / 2
    on_x = plan.joist_axis == "x"
    seen = [
        joist.centre for joist in plan.joists
        if (x0 < joist.centre < x1 if on_x else joist.centre < y1)
    ]  # fmt: skip
    if len(seen) > 1 and piece.before is None:
        pair = (seen[0], seen[1])
        if on_x:
            ends = ((pair[0], y1), (pair[1], y1))
            stage.dimensions.append(
                Dimension("joist spacing", LEVEL, ends, plan.joist_spacing,
                          text(plan.joist_spacing), "above", view.at((0.0, y1))[1] + 8.0)
            )  # fmt: skip
        else:
            ends = ((x0, pair[0]), (x0, pair[1]))
            stage.dimensions.append(
                Dimension("joist spacing", PLUMB, ends, plan.joist_spacing,
                          text(plan.joist_spacing), "left", view.at((x0, 0.0))[0] - 9.0)
            )  # fmt: skip
    if piece.after is None:
        ends = ((x1, 0.0), (x1, plan.edge_to_post))
        stage.dimensions.append(
            Dimension("edge to post", PLUMB, ends, plan.edge_to_post, text(plan.edge_to_post),
                      "right", view.at((x1, 0.0))[0] + 8.0)
        )  # fmt: skip
    for one in plan.posts:
        if not piece.holds(one.x):
            continue
        at = view.at((one.x, one.inset))
        flag = bool(one.warnings)
        name = f"POST {part.section.number}.{one.post} {one.hand.upper()}".strip()
        stage.labels.append(Label((name,), at, 60.0, view.length(float(job.post.width) / 2), flag))
    for joist in plan.joists:
        if plan.joist_axis == "x" and x0 < joist.centre - half and joist.centre + half < x1:
            left, right = (view.at((joist.centre + k * half, y1)) for k in (-1, 1))
            spots = [
                (x, right[1] - SMALL - 0.9 - down, anchor)
                for down in (0.0, 2.0, 4.0, 6.0, 9.0, 12.0)
                for x, anchor in ((right[0] + 1.0, "left"), (left[0] - 1.0, "right"))
            ]
            stage.labels.append(_number(joist.number, spots, right))
        elif plan.joist_axis == "inset" and joist.centre + half <= y1:
            end = view.at((x1, joist.centre))
            over = view.at((x1, joist.centre + half))[1] + 1.2
            spots = [(end[0] + 1.2, end[1] - SMALL / 2, "left")]
            spots += [(end[0] - 8.0 - far, over, "left") for far in (0.0, 4.0, 8.0, 12.0)]
            stage.labels.append(_number(joist.number, spots, (end[0] - 2.0, end[1])))
    stage.labels.append(Label(("DECK EDGE",), view.at((x0 + (x1 - x0) * 0.04, 0.0)), -80.0))


def _number_of(post) -> str:
    return f"{post.post} {post.hand}".strip() if hasattr(post, "post") else str(post.number)


def _number(number: int, spots, joist: tuple[float, float]) -> Label:
    """A joist's number beside its end; with a leader to the joist where no spot is free."""
    places = tuple(
        Candidate(
            (Text(f"J{number}", (x, y), SMALL, "label", anchor, owner=f"joist {number}"),), (),
            float(k),
        )
        for k, (x, y, anchor) in enumerate(spots)
    )  # fmt: skip
    return Label((f"J{number}",), joist, 45.0, places=places)


def _table(flow: Flow, part, text) -> None:
    plan = part.framing
    flow.y -= USUAL
    flow.words("Blocks under the posts", height=USUAL, group="heading")
    flow.y -= 2.0
    rows = []
    for one in plan.posts:
        lengths = ", ".join(
            text(block.length) if block.length is not None else "no joist on one side"
            for block in one.blocks
        )
        name = f"{part.section.number}.{one.post} {one.hand}".strip()
        if one.same_as is not None:
            rows.append((name, text(one.x), "is post {}.{}".format(*one.same_as), *[""] * 4))
            continue
        rows.append(
            (
                name,
                text(one.x),
                one.lands,
                lengths or "none",
                f"J{one.nearest_joist}, {text(one.to_joist)}",
                "" if one.to_gap is None else text(one.to_gap),
                "; ".join(one.warnings),
            )
        )
    flow.table(
        (
            Column("POST"), Column("FROM FIRST POST", True), Column("LANDS", least=30.0),
            Column("BLOCK LENGTHS", least=24.0), Column("NEAREST JOIST", least=24.0),
            Column("TO BOARD GAP", True), Column("WHAT TO CHANGE", least=50.0),
        ),
        rows,
    )  # fmt: skip
    for note in plan.notes:
        flow.paragraph(note[0].upper() + note[1:])
    flow.paragraph(
        "Blocks are two boards fastened face to face (common practice, no source). Fasteners, "
        "bolts and framing are the designer's to name."
    )
