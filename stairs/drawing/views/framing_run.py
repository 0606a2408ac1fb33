"""What a framing plan shows of a run: joists, board gaps, blocks, base plates and bolts.

A run that is too long for its paper is shown in parts, which match lines join.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from msgspec import Struct

from stairs.drawing.paper.lettering import SMALL
from stairs.drawing.paper.primitives import (
    BLANK,
    HAIR,
    THICK,
    THIN,
    Area,
    Point,
    Primitive,
    break_line,
    line,
    rectangle,
    ring,
)
from stairs.drawing.paper.view import View
from stairs.drawing.placing.dimensions import LEVEL, PLUMB, RUNNING, ZERO, Dimension
from stairs.drawing.placing.labelled_view import Label, Stage
from stairs.drawing.placing.placement import places_at
from stairs.drawing.views.kinds import LengthText
from stairs.drawing.views.match_lines import STUB, Match, Part, cut_at, in_a_row, match_strokes
from stairs.guard.framing_plan import Block, FramingPlan, PostFraming
from stairs.guard.solving import Section
from stairs.job import Job
from stairs.parts.posts import Post


class Run(Struct, frozen=True):
    """A run over framing, and how its lengths are lettered."""

    job: Job
    section: Section
    plan: FramingPlan
    text: LengthText

    @property
    def posts(self) -> Sequence[Post | PostFraming]:
        """The posts that the view shows: the run's own, or those at the head of a stair."""
        return self.section.posts if self.section.kind == "level" else self.plan.posts

    def parts(self, unit: float, room: float) -> tuple[Part, ...] | None:
        """In as few parts as fit a room, cut midway between posts, or None [mm, mm to the unit]."""
        (low, high), stub = self.along, STUB / unit
        xs = sorted(post.x for post in self.posts)
        places = [(low, 0.0), *(((a + b) / 2, 0.0) for a, b in pairwise(xs)), (high, 0.0)]
        last = len(places) - 1
        cuts = cut_at(places, lambda j, k: room / unit - stub * ((j > 0) + (k < last)))
        return None if cuts is None else in_a_row((places[k][0], *self.inwards) for k in cuts)

    def frame(self, part: Part, unit: float) -> Area:
        """What a part shows, with a stub beyond each match line [units of the work]."""
        (start, end), (low, high), stub = self.along, self.inwards, STUB / unit
        before, _, after, _ = part.cut
        left, _, right, _ = part.edges
        return left - stub if before else start, low, right + stub if after else end, high

    @property
    def margin(self) -> float:
        """What is shown beyond its end posts [units of the work]."""
        return 2.0 * float(self.job.post.base or self.job.post.width)

    @property
    def along(self) -> tuple[float, float]:
        """From end to end, with the whole of the blocks under its end posts [units of the work]."""
        xs = [one.x for one in self.posts]
        places = [min(xs) - self.margin, max(xs) + self.margin]
        for one in self.plan.posts:
            for block in one.blocks:
                if self.plan.joist_axis == "x":
                    places += [end for end in (block.low, block.high) if end is not None]
                else:
                    half = block.thickness / 2
                    places += [block.centre - half, block.centre + half]
        beside = 1.5 * self.plan.joist_thickness
        return min(places) - beside, max(places) + beside

    @property
    def inwards(self) -> tuple[float, float]:
        """From outside the deck's edge inwards, as far as there is something to show."""
        plan, margin = self.plan, self.margin
        insets = [plan.edge_to_post + margin, *(one.inset + margin for one in plan.posts)]
        if plan.joist_axis == "inset":
            insets += [joist.centre + plan.joist_thickness for joist in plan.joists]
        return -margin * 0.4, max(insets)


def draw_run(stage: Stage, run: Run, part: Part) -> None:
    """Work, match lines and lettering of a part of a run."""
    frame = run.frame(part, stage.view.unit)
    stage.add(_work(run, stage.view, frame, part))
    for match in part.matches:
        _match_line(stage, match, part, frame)
    _set_out(stage, run, frame, part)
    _spacings(stage, run, frame, part)
    _names(stage, run, frame, part)


def _holds(part: Part, x: float) -> bool:
    """Whether a post stands in a part."""
    return part.edges[0] <= x <= part.edges[2]


def _match_line(stage: Stage, match: Match, part: Part, frame: Area) -> None:
    """A match line, the break line where its stub ends, and its name over it."""
    (x, foot), (_, head) = (stage.view.at((match.at, y)) for y in (match.low, match.high))
    top, starts = head + 6.0, part.begins_at(match)
    stage.add(match_strokes(match.letter, 0, x, [(foot - 4.0, top)]))
    end, edge = stage.view.at((frame[0 if starts else 2], 0.0))
    stage.add([break_line((end, edge - 2.5), (end, head + 2.5))])
    where = "SHEET BEFORE" if starts else "NEXT SHEET"
    rows = (f"MATCH LINE {match.letter}", f"SEE PART {part.other(match)}, {where}")
    spots = [
        (x + along, top + 5.6 + lift, anchor, lift + abs(along))
        for lift in (0.0, 2.0, 4.0)
        for along, anchor in ((0.0, "middle"), (1.5, "left"), (-1.5, "right"))
    ]
    places = places_at(rows, spots, "match-line", owner=rows[0], pitch=4.0, headed=True)
    stage.labels.append(Label(rows, (x, top), 90.0, places=places))


def _work(run: Run, view: View, frame: Area, part: Part) -> list[Primitive]:
    plan = run.plan
    posts = [one for one in plan.posts if _holds(part, one.x)]
    x0, y0, x1, y1 = frame
    half = plan.joist_thickness / 2
    drawn: list[Primitive] = []
    far = y1 if plan.joist_axis == "x" else plan.joists[-1].centre
    for gap in plan.gaps:
        ends = ((gap, 0.0), (gap, far)) if plan.gap_axis == "x" else ((x0, gap), (x1, gap))
        inside = x0 < gap < x1 if plan.gap_axis == "x" else 0 < gap < y1
        if inside:
            drawn.append(line(view.at(ends[0]), view.at(ends[1]), "board-gap"))
    for joist in plan.joists:
        if plan.joist_axis == "x":
            if not x0 < joist.centre - half < joist.centre + half < x1:
                continue
            corners = ((joist.centre - half, 0.0), (joist.centre + half, y1))
        else:
            if joist.centre + half > y1:
                continue
            corners = ((x0, joist.centre - half), (x1, joist.centre + half))
        drawn.append(rectangle(view.at(corners[0]), view.at(corners[1]), "joist", fill=BLANK))
    drawn.append(line(view.at((x0, 0.0)), view.at((x1, 0.0)), "deck-edge"))
    for one in posts:
        for block in one.blocks:
            drawn += _block(plan, block, view, frame)
    for one in posts:
        drawn += _post(run, view, one)
    line_y = plan.edge_to_post
    drawn.append(line(view.at((x0, line_y)), view.at((x1, line_y)), "centre-line"))
    return drawn


def _post(run: Run, view: View, one: PostFraming) -> list[Primitive]:
    """A post with its base plate and the bolts of that."""
    drawn: list[Primitive] = []
    kind = run.job.post
    for wide, weight, group in ((kind.base, THIN, "base-plate"), (kind.width, THICK, "post")):
        if wide:
            half = float(wide) / 2
            low = view.at((one.x - half, one.inset - half))
            high = view.at((one.x + half, one.inset + half))
            drawn.append(rectangle(low, high, group, weight))
    radius = max(view.length(run.plan.bolt_diameter / 2), 0.45)
    drawn += [ring(view.at(bolt), radius, "bolt", fill=BLANK) for bolt in one.bolts]
    return drawn


def _block(plan: FramingPlan, block: Block, view: View, frame: Area) -> list[Primitive]:
    """A block, crossed as cut timber is."""
    x0, _, x1, y1 = frame
    across = (block.centre - block.thickness / 2, block.centre + block.thickness / 2)
    if plan.joist_axis == "x":
        low = block.low if block.low is not None else x0
        corners = (low, across[0]), (block.high, across[1])
    else:
        low = block.low if block.low is not None else 0.0
        corners = (across[0], low), (across[1], min(block.high, y1))
    if corners[0][0] < x0 or corners[1][0] > x1:
        return []
    a, b = view.at(corners[0]), view.at(corners[1])
    return [
        rectangle(a, b, "block"),
        line(a, b, "block", HAIR),
        line((a[0], b[1]), (b[0], a[1]), "block", HAIR),
    ]


def _set_out(stage: Stage, run: Run, frame: Area, part: Part) -> None:
    """The running dimensions of the posts, on from the piece before."""
    view = stage.view
    x0, y0, x1, _ = frame
    under = view.at((0.0, y0))[1] - 10.0
    posts = run.posts
    if run.section.kind == "flight" and len(posts) == 1:
        posts = ()  # its place counts from a post of the next run; the table tells it
    origin = (posts[0].x if posts else x0, 0.0)
    before = origin if not part.cut[0] else (x0, 0.0)
    for one in posts:
        if not _holds(part, one.x):
            continue
        mark = (one.x, 0.0)
        told = run.text(one.x) if one.x != origin[0] else ZERO
        stage.dimensions.append(
            Dimension(f"post {_number_of(one)} position", RUNNING, (origin, mark), one.x, told,
                      under, after=before)
        )  # fmt: skip
        before = mark
    if not part.cut[0] and posts:
        stage.add([ring((view.at(origin)[0], under), 0.9, "dimension")])
    if part.cut[2]:
        start, end = ((view.at((x, 0.0))[0], under) for x in (before[0], x1))
        stage.add([line(start, end, "dimension")])


def _spacings(stage: Stage, run: Run, frame: Area, part: Part) -> None:
    """The spacing of the joists, and how far the posts stand from the deck's edge."""
    view, plan, text = stage.view, run.plan, run.text
    x0, _, x1, y1 = frame
    on_x = plan.joist_axis == "x"
    seen = [
        joist.centre for joist in plan.joists
        if (x0 < joist.centre < x1 if on_x else joist.centre < y1)
    ]  # fmt: skip
    if len(seen) > 1 and not part.cut[0]:
        one, two = seen[:2]
        ends = ((one, y1), (two, y1)) if on_x else ((x0, one), (x0, two))
        kind, side = (LEVEL, "above") if on_x else (PLUMB, "left")
        place = view.at((0.0, y1))[1] + 8.0 if on_x else view.at((x0, 0.0))[0] - 9.0
        stage.dimensions.append(
            Dimension("joist spacing", kind, ends, plan.joist_spacing, text(plan.joist_spacing),
                      place)
        )  # fmt: skip
    if not part.cut[2]:
        stage.dimensions.append(
            Dimension("edge to post", PLUMB, ((x1, 0.0), (x1, plan.edge_to_post)),
                      plan.edge_to_post, text(plan.edge_to_post),
                      view.at((x1, 0.0))[0] + 8.0)
        )  # fmt: skip


def _names(stage: Stage, run: Run, frame: Area, part: Part) -> None:
    """The names of posts and joists and of the deck's edge."""
    view, plan = stage.view, run.plan
    x0, _, x1, y1 = frame
    half = plan.joist_thickness / 2
    for one in plan.posts:
        if _holds(part, one.x):
            name = f"POST {run.section.number}.{one.post} {one.hand.upper()}".strip()
            reach = view.length(float(run.job.post.width) / 2)
            at = view.at((one.x, one.inset))
            stage.labels.append(Label((name,), at, 60.0, reach, bool(one.warnings)))
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


def _number_of(post: Post | PostFraming) -> str:
    if isinstance(post, Post):
        return str(post.number)
    return f"{post.post} {post.hand}".strip()


def _number(number: int, spots: Sequence[tuple[float, float, str]], joist: Point) -> Label:
    """A joist's number beside its end; with a leader to the joist where no spot is free."""
    liked = [(*spot, float(k)) for k, spot in enumerate(spots)]
    places = places_at((f"J{number}",), liked, "label", owner=f"joist {number}")
    return Label((f"J{number}",), joist, 45.0, places=places)
