"""Details of a section: what each shows, measures and says.

A :class:`Detail` names a window of the work and knows how to draw what is seen through it, which
dimensions it carries and what is lettered beside it.  The window is the least that must be seen;
where its cell has room it is opened wider, and what depends on it is told the window that is seen.
The rails' ends are in :mod:`stairs.drawing.views.details.ends`, the panel in
:mod:`stairs.drawing.views.details.panel`.
"""

from __future__ import annotations

from collections.abc import Callable

from msgspec import Struct

from stairs.drawing.paper.lettering import SMALL
from stairs.drawing.paper.primitives import (
    DASH_DOT,
    FINE,
    Point,
    Primitive,
    Text,
    line,
)
from stairs.drawing.paper.view import View
from stairs.drawing.placing.dimensions import LEVEL, PLUMB, STYLE, Dimension
from stairs.drawing.placing.labelled_view import Label
from stairs.drawing.placing.placement import Candidate
from stairs.drawing.views.elevation.elements import (
    balusters,
    bolts,
    brackets,
    filler,
    post,
    rails,
    wall,
)
from stairs.drawing.views.elevation.profile import (
    deck,
    ground,
    nosing_line,
    stair,
    stringer,
    upper_landing,
)
from stairs.drawing.views.plan.work import bolts_of
from stairs.lengths.tape_marks import length_text, true_text

ROW = 4.15
"""From one line of lettering to the next [mm]."""
_UNDER_RAIL = ("triangle", "foot", "head", "under-rail")


class Fold(Struct, frozen=True):
    """A strip along a rake that a detail may leave out between two break lines."""

    slope: float  # of the strip, rise over run
    level: float  # height of its middle at the work's origin [units of the work]
    # least, most: the strip is at least so deep, where one is left out or what is measured needs
    # it, and at most so deep that enough is seen, plumb [units of the work]
    least: float
    most: float


class FoldedView(View, frozen=True):
    """A view that leaves out the strip of a fold: what lies over it is moved down.

    Points of the work keep their own coordinates, so dimensions across the break measure true.
    """

    fold: Fold | None = None  # where
    cut: float = 0.0  # how much is left out, plumb [units of the work]

    def at(self, point):
        """Where a point of the work lies [mm on paper]."""
        x, y = point
        if self.fold is not None and y > self.fold.level + self.fold.slope * x:
            y -= self.cut
        return (self.origin[0] + x * self.unit, self.origin[1] + y * self.unit)


def seen(view: View, frame) -> tuple[float, float, float, float]:
    """The window that is seen, left, bottom, right and top [units of the work]."""
    return (*view.back(frame[:2]), *view.back(frame[2:]))


class Detail(Struct, frozen=True):
    """One detail."""

    name: str  # lettered under it
    # left, bottom, right and top of what must be shown [units of the work]
    window: tuple[float, float, float, float]
    # from a view to primitives, in the order in which they are drawn
    work: Callable[[View], list[Primitive]]
    # dimensions, labels: from a view and the window on paper to what stands beside it
    dimensions: Callable
    labels: Callable
    over: Callable | None = None  # from a view to lines that are not cut off by the window
    tall: bool = False  # whether it wants a cell that is higher than wide
    # paper left beside the window for lettering [mm]
    around: tuple[float, float, float, float] | None = None
    # how many times wider and higher the window may be opened where there is room
    most: float = 1.0
    fold: Fold | None = None  # where a strip may be left out, so that a larger scale fits
    note: str = ""  # lettered under its scale
    spot: Point = (0.0, 0.0)  # what of it a mark on the elevation points at [units of the work]
    # what it stands for, in words that "of" and the sections' numbers follow; often empty
    stands: str = ""


def shown_as(job):
    """How lengths of a job are lettered on its details; with True those that the job gives, or that
    are laid off more than once."""

    def text(length, exactly: bool = False) -> str:
        shown = true_text if exactly else length_text
        return shown(length, job.units, job.tape, unit=job.units == "in")

    return text


def everything(answer, section, view: View) -> list[Primitive]:
    """The section as an elevation draws it, without lettering [mm on paper]."""
    job = answer.job
    far = view.length(20 * (float(section.flight.unit_run) if section.flight else 12.0)) + 400.0
    left, right = view.at((0.0, 0.0))[0] - far, view.at((section.posts[-1].x, 0.0))[0] + far
    drawn: list[Primitive] = []
    if section.kind == "flight":
        drawn += ground(view, left, right)
        drawn += stringer(section, view, job.units)
        drawn += stair(section, view, float(job.sections[section.number - 1].build.riser_slope))
        drawn += upper_landing(section, view, right)
        drawn += nosing_line(section, view, 5.0)
    else:
        drawn += deck(view, left, right)
    for bay in section.bays:
        drawn += balusters(bay, view, float(job.panel.baluster))
        drawn += filler(bay, view, section.filler)
        drawn += rails(bay, view)
    for one in section.posts:
        if one.wall:
            drawn += wall(one, view, section.guard_height, one.number > 1)
        else:
            drawn += post(one, view, job.units, float(job.post.reveal))
    drawn += brackets(section, job, view)
    return drawn


# --------------------------------------------------------------------------- post base


def base_detail(answer, part) -> Detail | None:
    """The base of the post whose plate is nearest to an edge, of those that stand square."""
    section, job = part.section, answer.job
    text = shown_as(job)
    posts = [one for one in section.posts if not (one.wall or one.askew)]
    if not posts:
        return None
    one = min(posts, key=lambda p: (p.plate_edge is None, p.plate_edge or 0.0))
    plate = one.base or one.width
    in_front = one.plate_edge if section.kind == "flight" else None  # seen in elevation
    back = max(plate * 1.1, (in_front or 0.0) + plate * 0.8)
    reach, high = plate * 1.1, plate * 1.7
    foot = max(high * 0.42, one.below + plate * 0.4 if one.below else 0.0)
    window = (one.x - back, one.surface - foot, one.x + reach, one.surface + high * 0.58)

    def work(view):
        return everything(answer, section, view)

    bolted = bolts_of(part.framing, one.number)

    def over(view):
        x, y = view.at((one.x, one.surface - high * 0.3))
        drawn = [line((x, y), (x, view.at((0.0, one.surface + high * 0.55))[1]), FINE,
                      "centre-line", DASH_DOT)]  # fmt: skip
        return drawn + bolts(one, view, bolted)

    def dimensions(view, frame):
        y = one.surface
        half = one.width / 2
        above = frame[3] + 6.0
        top = min(seen(view, frame)[3], y + one.height)
        made = [
            Dimension("post width", LEVEL, ((one.x - half, top), (one.x + half, top)), one.width,
                      text(one.width, True), "above", above)
        ]  # fmt: skip
        below = frame[1] - 9.0
        if one.below:
            ends = ((one.x - half, y - one.below), (one.x - half, y))
            made.append(Dimension("below", PLUMB, ends, one.below, text(one.below), "left",
                                  frame[0] - 6.0))  # fmt: skip
        if one.base:
            if bolted is not None:
                ends = ((one.x - bolted, y), (one.x + bolted, y))
                made.append(Dimension("bolts", LEVEL, ends, 2 * bolted, text(2 * bolted, True),
                                      "below 1", below))  # fmt: skip
                below -= STYLE.pitch
            low, high_x = one.x - one.base / 2, one.x + one.base / 2
            made.append(Dimension("base plate", LEVEL, ((low, y), (high_x, y)), one.base,
                                  text(one.base, True), "below", below))  # fmt: skip
            if in_front is not None:
                ends = ((low - in_front, y), (low, y))
                made.append(Dimension("edge distance", LEVEL, ends, in_front, text(in_front),
                                      "below", below))  # fmt: skip
        return made

    edged = one.base is not None and one.plate_edge is not None
    fails = edged and any(
        finding.id == "post-edge-distance" and finding.fails for finding in part.findings
    )

    def labels(view, frame):
        on = one.stands_on.upper()
        at = view.at((one.x + reach * 0.7, one.surface))
        made = [Label((on,), at, -60.0, places=_under_surface(on, frame[2], at[1]))]
        if fails:
            at = view.at((one.x - plate / 2 - (in_front or 0.0) / 2, one.surface))
            made.append(Label(("FAIL", "EDGE DISTANCE"), at, 120.0, 0.0, True))
        if one.below:
            at = view.at((one.x + one.width / 2, one.surface - one.below * 0.7))
            made.append(Label(("FIXINGS", "BY OTHERS"), at, -45.0))
        if one.base:
            at = view.at((one.x + one.base * 0.4, one.surface))
            rows = ("BASE PLATE; ANCHORS", "BY OTHERS")
            if bolted is not None:
                rows = ("BASE PLATE", f"4 BOLTS Ø {text(part.framing.bolt_diameter, True)}")
            made.append(Label(rows, at, 60.0))
        return made

    note = ""
    if edged and job.post.edge_distance > 0:
        note = f"Plate to edge: at least {text(job.post.edge_distance)}"
        if in_front is None:
            note += f"; to the outer edge, square to this view: {text(one.plate_edge)}"
    name = "Foot" if one.below else "Base"
    return Detail(f"{name} of post {section.number}.{one.number}", window, work, dimensions, labels,
                  over, around=(23.0, 20.0 if bolted is None else 27.0, 23.0, 16.0), most=1.5,
                  note=note, spot=(one.x, one.surface), stands="Stands for all posts")  # fmt: skip


def _under_surface(words: str, right: float, y: float) -> tuple[Candidate, ...]:
    """Places for a surface's name under it, at the window's right-hand side."""
    return tuple(
        Candidate(
            tuple(
                Text(row, (right - 2.5, y - down - k * ROW), SMALL, "label", "right", owner=words)
                for k, row in enumerate(rows)
            )
        )
        for rows in ((words,), tuple(words.split()))
        for down in (4.6, 6.4, 8.4, 10.4, 12.4)
    )
