"""The plan: the whole guard seen from above, set out post by post.

Every section lies where the turns put it (:mod:`stairs.guard.plan`).  On the side away from the
stair run the setting-out figures of its posts, from a small circle at its first nosing or first
post, and its bays from post to post; flights have an arrow that points up the stair; landings and
levels carry their heights over the lowest landing.

The plan is drawn at the largest standard scale at which the whole of it fits the sheet, turned if
that helps.  Where none does, or the user asks for a larger one, it is broken over several parts
with match lines, as few as will do (``broken``), and a key plan shows where
each lies.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from stairs.drawing.paper.lettering import SMALL, text_rows, wrapped
from stairs.drawing.paper.primitives import Area, Primitive, Text
from stairs.drawing.paper.sheet_sizes import (
    GOOD,
    Paper,
    Scale,
    misfit,
    papers_for,
    scale_named,
    scales,
)
from stairs.drawing.paper.view import View
from stairs.drawing.placing.dimensions import ALIGNED, Dimension
from stairs.drawing.placing.labelled_view import SetOut, Stage
from stairs.drawing.sheets.page import Page, as_sheet, numbered, room_on, with_strip
from stairs.drawing.sheets.sheet import DrawnView, Sheet, drawn_on, together
from stairs.drawing.sheets.sheet_words import particulars_of
from stairs.drawing.sheets.spoken import drawn_in_words
from stairs.drawing.sheets.title_block import scale_bar
from stairs.drawing.views.match_lines import FAR
from stairs.drawing.views.plan.broken import Drawn, Stack, draw_stack, parts_on, stacks_of
from stairs.drawing.views.plan.key_plan import NORTH, key_plan, north_arrow
from stairs.drawing.views.plan.lettering import (
    EVERYTHING,
    Frame,
    bay_name,
    figures_on,
    guard_points,
    holds,
    letter_on,
    set_out_name,
)
from stairs.drawing.views.plan.parts import PAD, Edges, Laid, PlanPart, in_work
from stairs.drawing.views.plan.surfaces import assumed_width, measured_edges
from stairs.drawing.views.plan.work import work_of
from stairs.guard.plan import Plan, PlanSection, plan_of
from stairs.lengths.tape_marks import length_text
from stairs.solution import Solution

MOST_SHEETS = 40
"""A plan that would take more sheets is not drawn."""
_FOOT = 14.0  # for the bar of the scale [mm]
_KEY = {True: 34.0, False: 42.0}  # for the key plan beside it, on small sheets or others [mm]
_SMALL_SHEET = 250.0  # a sheet that is less high [mm]
_BAR = 90.0  # for the bar alone, across [mm]
_DRAWER = 2  # so many sizes of sheet are in every office printer
NOTE = (
    "Heights are over the lowest landing. Turned figures run from 0 at the small circle: the "
    "first nosing of a flight, the first post of a level run."
)


class Choice(Struct, frozen=True):
    """How a plan is laid out: on which sheet, at which scale, whole or in parts."""

    paper: Paper  # lying
    laid: Laid  # the plan at a standard scale, perhaps turned
    stacks: tuple[Stack, ...] = ()  # the parts on each sheet; empty for a whole plan

    @property
    def scale(self) -> Scale:
        """Of the plan."""
        return self.laid.view.scale


class _Ways:
    """A plan as it lies and turned, at every scale that is asked for."""

    def __init__(self, solution: Solution) -> None:
        self.solution = solution
        plan = plan_of(solution.guard)
        self.plans = (plan, turned(plan))
        self._made: dict[tuple[int, Scale], Laid] = {}

    def at(self, scale: Scale) -> Iterator[Laid]:
        """Both ways to lay it at a scale, as it lies first."""
        for which, plan in enumerate(self.plans):
            if (which, scale) not in self._made:
                view = View(scale, self.solution.job.units)
                stage = _staged(self.solution, plan, view, (-FAR, -FAR, FAR, FAR))
                chains = (*stage.chains, *figures_on(stage, PAD - 1.5))
                self._made[which, scale] = Laid(
                    self.solution, plan, view, tuple(stage.work), chains, stage.set_out
                )
            yield self._made[which, scale]

    def whole(self, paper: Paper, scale: Scale) -> Choice | None:
        """The whole plan on a sheet, or None where it does not fit."""
        left, bottom, right, top = _area(paper, _FOOT)
        for laid in self.at(scale):
            x0, y0, x1, y1 = laid.extent
            if x1 - x0 + 2 * PAD <= right - left and y1 - y0 + 2 * PAD <= top - bottom:
                return Choice(paper, laid)
        return None

    def broken(self, paper: Paper, scale: Scale) -> Choice | None:
        """The plan in parts on as few of these sheets as can be; None where there would be too
        many.
        """
        left, bottom, right, top = _area(paper, _key_of(paper))
        best = None
        for laid in self.at(scale):
            stacks = stacks_of(laid, right - left, top - bottom)
            if stacks is None or len(stacks) > MOST_SHEETS:
                continue
            if best is None or _parts(stacks) < _parts(best.stacks):
                best = Choice(paper, laid, stacks)
        return best


def _staged(
    solution: Solution, plan: Plan, view: View, area: Area, set_out: Mapping[int, SetOut] = {}
) -> Stage:
    """The whole of a plan on a stage, not lettered."""
    stage = Stage(area, view, set_out=dict(set_out))
    stage.add(work_of(solution, plan, view))
    letter_on(stage, solution, plan)
    return stage


def _parts(stacks: tuple[Stack, ...]) -> tuple[int, int]:
    return len(stacks), sum(len(parts_on(one)) for one in stacks)


def _area(paper: Paper, foot: float) -> Edges:
    """Room for views over the foot [mm on paper]."""
    left, bottom, right, top = room_on(paper)
    return left, bottom + foot, right, top


def _key_of(paper: Paper) -> float:
    """Height of the foot under a broken plan [mm]."""
    return _KEY[float(paper.height) < _SMALL_SHEET]


def _order(
    units: str, papers: Sequence[Paper], asked: str | None, wanted: str | None
) -> list[tuple[Paper, Scale]]:
    """Sheets and scales in the order in which a whole plan is tried on them.

    A plan that reads well on a sheet of an office printer is not drawn on a larger one.
    """
    if wanted is not None:
        scale = scale_named(wanted, units)
        return [(paper, scale) for paper in papers]
    listed = scales(units)
    if asked is not None:
        return [(paper, scale) for paper in papers for scale in listed]
    good = [scale for scale in listed if scale.ratio >= GOOD[units]]
    small = [scale for scale in listed if scale not in good]
    drawer, larger = papers[:_DRAWER], papers[_DRAWER:]
    order = [(paper, scale) for paper in drawer for scale in good]
    order += [(paper, small[0]) for paper in drawer[::-1]]
    order += [(paper, scale) for paper in larger for scale in good]
    return order + [(paper, scale) for scale in small for paper in papers]


def _chosen(ways: _Ways, papers: Sequence[Paper], asked: str | None, scale: str | None) -> Choice:
    units = ways.solution.job.units
    order = _order(units, papers, asked, scale)
    for paper, at in order:
        found = ways.whole(paper, at)
        if found is not None:
            return found
    best = None
    at_last = list(dict.fromkeys(at for _, at in order))
    for number, paper in enumerate(papers):
        for at in sorted(at_last, key=lambda one: one.ratio):
            found = ways.broken(paper, at)
            if found is None:
                continue
            rank = (len(found.stacks), number, -at.ratio)
            if best is not None and rank[0] > best[0][0]:
                break  # a larger scale takes no fewer sheets
            if best is None or rank < best[0]:
                best = (rank, found)
    if best is None:
        on = f"on {papers[0].name}" if asked is not None else "on any sheet"
        words = max(at_last, key=lambda one: -one.ratio).words
        found_out = f"takes more than {MOST_SHEETS} sheets {on} at {words}"
        raise misfit("plan", found_out, units, "Take a larger sheet, or leave the scale out")
    return best[1]


def plan_pages(
    solution: Solution, sheet: Paper, first: int = 1
) -> list[tuple[Page, list[dict[int, tuple[float, float]]]]]:
    """The plan of a job on sheets of one size, not yet numbered. One page for a plan that fits the
    sheet at a standard scale; with each view on it, by section, a point of the guard there [mm
    on paper]."""
    choice = _chosen(_Ways(solution), [sheet], sheet.name, None)
    laid = choice.laid

    def frame(drawn: Drawn) -> Frame:
        return EVERYTHING if drawn.part is None else in_work(drawn.part.edges, laid.unit)

    return [
        (page, [guard_points(laid.plan, one.stage.view, frame(one)) for one in views])
        for page, views in _pages(choice, first)
    ]


@drawn_in_words
def draw_plan(solution: Solution, paper: str | None = None, scale: str | None = None) -> Sheet:
    """The plan on sheets of its own; those after the first follow it.

    Parameters
    ----------
    paper, scale : str, optional
        What the user asked for.

    Raises
    ------
    stairs.errors.SheetError
        There is no such sheet or scale, or the plan would take too many sheets.
    """
    job = solution.job
    whose = particulars_of(solution)
    asked = paper or job.sheet.paper
    papers = [with_strip(one, whose.own) for one in papers_for(job.units, asked)]
    choice = _chosen(_Ways(solution), papers, asked, scale)
    made = _pages(choice, 1)
    if not choice.stacks:
        ((page, (drawn,)),) = made
        stage = drawn.stage
        measured = _measured(stage, choice.laid)
        return as_sheet(numbered(page, whose, 1, 1), drawn_on(stage, measured), job.units)
    whole = _whole(choice.laid)
    sheets = [
        replace(_sheet(numbered(page, whose, k, len(made)), drawn, choice.laid), whole=whole)
        for k, (page, drawn) in enumerate(made, start=1)
    ]
    return replace(sheets[0], following=tuple(sheets[1:]))


def _pages(choice: Choice, first: int) -> list[tuple[Page, list[Drawn]]]:
    """Each page of a plan, with the views on it."""
    count = len(choice.laid.plan.sections)
    told = "1 section" if count == 1 else f"{count} sections"
    told = f"Plan of a stair guard: {told}, {len(choice.laid.plan.posts)} posts."
    if not choice.stacks:
        whole, shown = _one(choice)
        page = Page(choice.paper, "Plan", choice.scale.words, tuple(shown), description=told)
        return [(page, [whole])]
    sheets = {
        part.number: first + k for k, stack in enumerate(choice.stacks) for part in parts_on(stack)
    }
    parts = [part for stack in choice.stacks for part in parts_on(stack)]
    area = _area(choice.paper, _key_of(choice.paper))
    pages = []
    for k, stack in enumerate(choice.stacks, start=1):
        drawn = draw_stack(choice.laid, stack, area, sheets)
        content: list[Primitive] = []
        for one in drawn:
            content += [*one.stage.work, *one.stage.dimension_lines, *one.stage.lettering]
            content += one.furniture
        unplaced = [words for one in drawn for words in one.stage.unplaced]
        here = [part.number for part in parts_on(stack)]
        content += _foot(choice, unplaced, parts, here)
        many = len(choice.stacks) > 1
        which = ", ".join(f"part {number} of {len(parts)}" for number in here)
        page = Page(
            choice.paper, f"Plan, {k} of {len(choice.stacks)}" if many else "Plan",
            choice.scale.words, tuple(content), description=f"{told} Shown here: {which}.",
            group="Plan" if many else "",
        )  # fmt: skip
        pages.append((page, drawn))
    return pages


def _one(choice: Choice) -> tuple[Drawn, list[Primitive]]:
    """The whole plan on one sheet."""
    left, bottom, right, top = area = _area(choice.paper, _FOOT)
    laid = choice.laid
    x0, y0, x1, y1 = laid.extent
    origin = ((left + right - x0 - x1) / 2, (bottom + top - y0 - y1) / 2)
    view = replace(laid.view, origin=origin)
    stage = _staged(laid.solution, laid.plan, view, area, laid.set_out)
    content = stage.letter()
    content += _foot(choice, stage.unplaced)
    return Drawn(None, stage, ()), content


def _foot(
    choice: Choice,
    unplaced: Sequence[str],
    parts: Sequence[PlanPart] = (),
    here: Sequence[int] = (),
) -> list[Primitive]:
    """The bar of the scale under its name, north, the key plan of a broken one, and the notes."""
    left, bottom, right, _ = room_on(choice.paper)
    drawn: list[Primitive] = list(scale_bar(choice.scale, left + 2.0, bottom + 5.2, _BAR))
    drawn.append(
        Text(f"SCALE {choice.scale.words}", (left + 2.0, bottom + 8.4), SMALL, "scale-bar")
    )
    told, start, rows = (
        NOTE + measured_edges(choice.laid.solution) + assumed_width(choice.laid.solution),
        left + _BAR + 8.0,
        3,
    )
    middle = bottom + _FOOT / 2
    if parts:
        wide = min(120.0, (right - left) * 0.36)
        foot = _key_of(choice.paper)
        room = (left + _BAR * 0.85, bottom + 1.0, left + _BAR * 0.85 + wide, bottom + foot - 1.0)
        drawn += key_plan(choice.laid, parts, here, room)
        start, rows, middle = room[2] + 6.0, 8, bottom + foot / 2
        told += " Figures run on over match lines from the same small circle."
    north = choice.laid.solution.job.sheet.north
    if north is not None:
        heading = choice.laid.plan.sections[0].heading + float(north)
        drawn += north_arrow((start + NORTH / 2 - 2.0, middle), heading)
        start += NORTH
    if unplaced:
        told += f" Not lettered on the view: {'; '.join(unplaced)}."
    at = (start, bottom + (foot - 6.0 if parts else 6.8))
    return drawn + text_rows(wrapped(told, SMALL, right - start - 2.0, rows), at, "note", 4.0)


# --------------------------------------------------------------------------- for CAD


def _whole(laid: Laid) -> DrawnView:
    """The plan unbroken, for a file that is not bound to paper."""
    x0, y0, x1, y1 = laid.extent
    area = (x0 - 60.0, y0 - 60.0, x1 + 60.0, y1 + 60.0)
    stage = _staged(laid.solution, laid.plan, laid.view, area, laid.set_out)
    stage.letter()
    return drawn_on(stage, _measured(stage, laid))


def _sheet(page: Page, drawn: list[Drawn], laid: Laid) -> Sheet:
    """A numbered page of a broken plan as a sheet."""
    parts = tuple(
        drawn_on(
            part.stage,
            [one for one in _measured(part.stage, laid) if _within(one, part, laid.unit)],
        )
        for part in drawn
    )
    unplaced = [words for one in parts for words in one.unplaced]
    view = together(parts, _area(page.paper, _key_of(page.paper)), unplaced)
    return as_sheet(page, view, laid.solution.job.units, parts)


def _within(dimension: Dimension, drawn: Drawn, unit: float) -> bool:
    """Whether a part shows both ends of what is measured."""
    edges = in_work(drawn.part.edges, unit) if drawn.part else EVERYTHING
    return all(holds(edges, point) for point in dimension.points)


def _measured(stage: Stage, laid: Laid) -> list[Dimension]:
    """The setting-out as data, for CAD to measure."""
    return [
        one
        for place in laid.plan.sections
        if place.number in stage.set_out
        for one in _chain(stage, laid.solution, place)
    ]


def _chain(stage: Stage, solution: Solution, place: PlanSection) -> list[Dimension]:
    """A section's setting-out as data: from its origin to each post, and its bays."""
    section = solution.guard.sections[place.number - 1]
    side, chain, running = stage.set_out[place.number]
    spans = [
        (
            set_out_name(place.number, post.number),
            _span(post.x),
            post.x,
            running,
        )
        for post in section.posts
        if post.x
    ]
    spans += [
        (bay_name(place.number, k), (one.x, two.x), two.x - one.x, chain)
        for k, (one, two) in enumerate(pairwise(section.posts), start=1)
    ]
    return [
        Dimension(name, ALIGNED, tuple(map(place.at, ends)), ends[1] - ends[0],
                  length_text(told, solution.job.units, solution.job.tape), side * off)
        for name, ends, told, off in spans
    ]  # fmt: skip


def _span(x: float) -> tuple[float, float]:
    """From the origin to a post, from low to high."""
    return min(0.0, x), max(0.0, x)


def turned(plan: Plan) -> Plan:
    """The same plan, turned a quarter against the clock."""

    def round_by(one: Struct) -> Struct:
        made: dict[str, Any] = {}
        for field in one.__struct_fields__:
            value = getattr(one, field)
            if field == "heading":
                made[field] = value + 90.0
            elif field in ("origin", "start", "end", "centre", "point"):
                made[field] = (-value[1], value[0])
            elif field == "corners":
                made[field] = tuple((-y, x) for x, y in value)
        return replace(one, **made)

    x0, y0, x1, y1 = plan.bounds
    parts = ("sections", "posts", "walls", "rails", "nosings", "treads")
    return replace(
        plan,
        **{name: tuple(map(round_by, getattr(plan, name))) for name in parts},
        bounds=(-y1, x0, -y0, x1),
    )
