"""Which dimensions an elevation carries, and in which chains they stand.

Below the view: the unit run, the total run, the bays from post to post, and the posts as running
dimensions from the first nosing.  To the left: the unit rise and on it the guard's height over a
nosing, then the first post.  To the right: the total rise, the panel over a nosing, then the last
post.  Along the rake: the cut length of the rails.  Nothing is dimensioned twice but the posts, for
setting out.  Heights of guard, panel and post say which they are: a panel's height beside the upper
landing must not pass for the guard's.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

from msgspec import Struct
from msgspec.structs import replace

from stairs.drawing.paper.lettering import measure
from stairs.drawing.paper.view import View
from stairs.drawing.placing.dimensions import (
    ALIGNED,
    ANGLE,
    FOOT_OF_FIGURE,
    LEVEL,
    PLUMB,
    RUNNING,
    STYLE,
    ZERO,
    Dimension,
)
from stairs.drawing.views.elevation.profile import line_height, stringer_foot, upper_edge
from stairs.drawing.views.kinds import LengthText, lettering_of
from stairs.guard.solving import FlightSection, Section
from stairs.job import Job
from stairs.parts.posts import Post
from stairs.parts.survey import Survey

GUARD, PANEL, POST, RISER, BELOW = "GUARD", "PANEL", "POST", "RISER", "BELOW"
"""Words before the heights that stand beside each other, so that none is taken for another."""

UNDER_DECK = 2.0
"""More room under a level run, for what stands under a circle between two posts [mm on paper]."""
STEPS_APART = 6.0
"""Room beside the chain of an uneven flight's steps, for figures in two rows [mm on paper]."""


class Bounds(Struct, frozen=True):
    """Edges of the work itself, without dimensions [units of the work]."""

    left: float
    bottom: float
    right: float
    top: float


def bounds_of(section: Section) -> Bounds:
    """Edges of what is drawn of a section, posts and plates included [units of the work]."""
    first, last = section.posts[0], section.posts[-1]
    left = first.x - (first.base or first.width) / 2
    right = last.x + (last.base or last.width) / 2
    if section.ends.post_gap is not None:  # the post of the section before stands beside it
        side = max(first.base or 0.0, first.width)
        left = first.face("down") - float(section.ends.post_gap) - (first.width + side) / 2
    if section.kind == "flight":
        left = min(left, -float(section.flight.unit_run) / 2)
        right = max(
            right, section.nosings[-1][0] + float(section.flight.nosing), upper_edge(section)[0]
        )
    top = max(
        post.surface + (section.guard_height if post.wall else post.height)
        for post in section.posts
    )
    bottom = min(0.0, *(post.surface - post.below for post in section.posts))
    return Bounds(left, bottom, right, top)


def room_around(section: Section, job: Job) -> tuple[float, float, float, float]:
    """Paper that the chains take to the left, below, to the right and above [mm]."""
    levels_below = 3 if section.kind == "flight" else 1
    text = lettering_of(job, feet=True, capitals=True)
    figure = max(measure(text(post.x), STYLE.text).width for post in section.posts)
    wider = STEPS_APART if uneven(section) else 0.0
    lower = wider if section.kind == "flight" else UNDER_DECK
    beside = STYLE.first + 2 * STYLE.pitch + 8
    return (
        beside,
        level_of_chain(levels_below - 1) + lower + STYLE.under + FOOT_OF_FIGURE + figure + 1.0,
        beside + wider,
        20.0,
    )


def survey_of(section: Section) -> Survey | None:
    """How a flight was measured nosing by nosing, so that each step has its own figures; None
    where all are alike."""
    return section.flight.survey if section.flight is not None else None


def uneven(section: Section) -> bool:
    """Whether the steps of a flight are not alike."""
    return survey_of(section) is not None


def level_of_chain(step: int) -> float:
    """Distance of the chain from the work, nearest chain first [mm on paper]."""
    return STYLE.first + step * STYLE.pitch


def nosing_under_rail(section: Section, last: bool = False) -> int:
    """Number of the first (or last) nosing with a rail over it; nosing 1 where there is none."""
    found = [
        k
        for k, (x, _) in enumerate(section.nosings, start=1)
        if any(bay.bottom_rail[1][0] <= x <= bay.bottom_rail[3][0] for bay in section.bays)
    ]
    if not found:
        return 1
    return found[-1] if last else found[0]


def dimensions_of(
    section: Section,
    view: View,
    text: LengthText,
    edges: Bounds | None = None,
    shows: Callable[..., bool] = lambda x, y: True,
) -> tuple[Dimension, ...]:
    """All dimensions of a section's elevation, nearest chain first."""
    edges = edges or bounds_of(section)
    left, bottom = view.at((edges.left, edges.bottom))
    right = view.at((edges.right, edges.top))[0]
    if section.kind == "flight":
        dimensions = _flight(section, view, text, left, bottom, right)
    else:
        dimensions = _level(section, text, left, bottom, right)
    for bay in section.bays:
        (x0, y0), (x1, y1) = bay.top_rail[1], bay.top_rail[2]
        ends = ((x0, y0), (x1, y1))
        dimensions.append(
            Dimension(f"rail length bay {bay.number}", ALIGNED, ends, bay.rail_length,
                      text(bay.rail_length), STYLE.first)
        )  # fmt: skip
    return _shown(dimensions, shows)


def _shown(dimensions: list[Dimension], shows: Callable[..., bool]) -> tuple[Dimension, ...]:
    """Those dimensions whose ends are on the view; a chain of running ones starts on it."""
    shown = []
    for one in dimensions:
        ends = one.points[-1:] if one.kind == RUNNING else one.points
        if one.kind == ANGLE:
            ends = one.points[:1]
        if not all(shows(*point) for point in ends):
            continue
        if one.kind == RUNNING and one.after is not None and not shows(*one.after):
            one = replace(one, after=one.points[-1])
        shown.append(one)
    return tuple(shown)


def _flight(
    section: FlightSection, view: View, text: LengthText, left: float, bottom: float, right: float
) -> list[Dimension]:
    n, treads = section.flight.risers, section.flight.treads
    nosings = section.nosings
    end = upper_edge(section)
    chain = level_of_chain
    k, m = nosing_under_rail(section), nosing_under_rail(section, last=True)
    low = nosings[k - 1]
    below = nosings[k - 2][1] if k > 1 else 0.0
    on_line = (low[0], line_height(section, low[0]))
    high_x = nosings[m - 1][0]
    high = line_height(section, high_x)
    first, last = section.posts[0], section.posts[-1]
    guard = section.guard_height
    stepped = uneven(section)
    wider = STEPS_APART if stepped else 0.0
    dimensions = _steps(section, view, text, bottom - chain(0), right + chain(0)) if stepped else []
    if treads >= 2 and not stepped:
        run = nosings[1][0] - nosings[0][0]
        dimensions.append(
            Dimension(
                "unit run", LEVEL, (nosings[0], nosings[1]), run, text(run, True),
                bottom - chain(0),
            )
        )  # fmt: skip
    if not stepped:
        rise = low[1] - below
        dimensions.append(
            Dimension(
                "unit rise", PLUMB, ((low[0], below), low), rise, text(rise, True),
                left - chain(0), beyond=RISER,
            )
        )  # fmt: skip
    run = float(section.flight.total_run)
    run_text, rise_text = text(run), text(section.total_rise)
    each = "" if stepped else f" @ {text(float(section.flight.unit_rise), True)}"
    total = f"{treads} TREADS = {run_text}" if treads > 1 else run_text
    dimensions += [
        Dimension("total run", LEVEL, (nosings[0], end), run, total,
                  bottom - chain(1) - wider, short=run_text, broken=True),
        Dimension("guard height", PLUMB, (on_line, (low[0], on_line[1] + guard)), guard,
                  text(guard), left - chain(0), label=GUARD),
        Dimension("total rise", PLUMB, ((end[0], 0.0), end), section.total_rise,
                  f"{n} RISERS{each} = {rise_text}",
                  right + (chain(1) + wider if stepped else chain(0)), short=rise_text),
        Dimension("panel height", PLUMB,
                  ((high_x, high + section.bottom_gap), (high_x, high + guard)),
                  section.panel_height, text(section.panel_height), right + chain(0),
                  label=PANEL),
        *_post_height(first, text, left - chain(1)),
        *_post_height(last, text, right + chain(1) + wider),
    ]  # fmt: skip
    dimensions += post_chains(section, text, bottom - chain(2) - wider)
    foot = stringer_foot(section, view.units)
    reach = 15.0
    span = (section.nosings[-1][0] + float(section.flight.nosing) - foot[0]) * view.unit
    if span > reach + 4:
        leg = (foot[0] + 1.0, 0.0)
        rail = (foot[0] + section.rail_line.unit_run, section.rail_line.unit_rise)
        dimensions.append(
            Dimension("rake", ANGLE, (foot, leg, rail), section.rake, f"{section.rake:.1f}°", reach)
        )  # fmt: skip
    return dimensions


def _steps(
    section: Section, view: View, text: LengthText, below: float, beside: float
) -> list[Dimension]:
    """Every rise and every run of a flight whose steps are not alike."""
    heights = [y for _, y in section.nosings]
    across = any(
        measure(text(y - before), STYLE.text).width + 1.6 > view.length(y - before)
        for before, y in pairwise([0.0, *heights])
    )
    found = []
    before = (0.0, 0.0)
    for k, (x, y) in enumerate(section.nosings, start=1):
        rise, run = y - before[1], x - before[0]
        found.append(
            Dimension(f"rise {k}", PLUMB, ((x, before[1]), (x, y)), rise, text(rise),
                      beside, broken=True, across=across)
        )  # fmt: skip
        if k > 1:
            found.append(
                Dimension(f"run {k - 1}", LEVEL, (before, (x, y)), run, text(run),
                          below, broken=True, row=k % 2)
            )  # fmt: skip
        before = (x, y)
    return found


def _post_height(post: Post, text: LengthText, place: float) -> list[Dimension]:
    """The height of an end post, and how far it goes on below its surface; none where a wall
    carries the rails."""
    if post.wall:
        return []
    foot = (post.x, post.surface)
    top = (post.centre_at(post.height), post.surface + post.height)
    found = [Dimension(f"post {post.number} height", PLUMB, (foot, top), post.height,
                       text(post.height), place, label=POST)]  # fmt: skip
    if post.below:
        end = (post.x, post.surface - post.below)
        found.append(Dimension(f"post {post.number} below", PLUMB, (end, foot), post.below,
                               text(post.below), place, label=BELOW))  # fmt: skip
    return found


def post_chains(section: Section, text: LengthText, place: float) -> list[Dimension]:
    """Post centres: from each to the next, and under that from the section's origin to each. The
    bays come first, then the running dimensions, the post nearest to the origin first."""
    origin = (0.0, 0.0)
    marks = [(post.x, post.surface) for post in section.posts]
    found = [
        Dimension(f"bay {k}", LEVEL, ends, ends[1][0] - ends[0][0],
                  text(ends[1][0] - ends[0][0], True), place, bare=True)
        for k, ends in enumerate(pairwise(marks), start=1)
    ]  # fmt: skip
    place -= STYLE.under
    before: dict[bool, tuple[float, float]] = {True: origin, False: origin}
    ordered = sorted(section.posts, key=lambda post: abs(post.x))
    for post in ordered:
        mark = (post.x, post.surface)
        up = post.x >= 0
        found.append(
            Dimension(f"post {post.number} position", RUNNING, (origin, mark), post.x,
                      text(post.x) if post.x else ZERO, place,
                      after=before[up], broken=True)
        )  # fmt: skip
        before[up] = mark
    return found


def _level(
    section: Section, text: LengthText, left: float, bottom: float, right: float
) -> list[Dimension]:
    first, last = section.posts[0], section.posts[-1]
    told = first.wall or text(first.height) != text(last.height)
    chain = level_of_chain
    bay = section.bays[0]
    x = bay.bottom_rail[0][0]
    guard, gap = section.guard_height, section.bottom_gap
    x_last = section.bays[-1].bottom_rail[3][0]
    return [
        Dimension("guard height", PLUMB, ((x, 0.0), (x, guard)), guard, text(guard),
                  left - chain(0), label=GUARD),
        *_post_height(first, text, left - chain(1)),
        Dimension("panel height", PLUMB, ((x_last, gap), (x_last, guard)), section.panel_height,
                  text(section.panel_height), right + chain(0), label=PANEL),
        *(_post_height(last, text, right + chain(1)) if told else ()),
        *post_chains(section, text, bottom - chain(0) - UNDER_DECK),
    ]  # fmt: skip
