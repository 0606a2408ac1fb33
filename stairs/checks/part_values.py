"""What the parts themselves allow: a panel's racking, a bracket's swing, stock, edges, holes."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction

from msgspec import Struct

from stairs.checks.measure import Measure, Place, known
from stairs.guard.solving import Section
from stairs.job import Job, JobLevel
from stairs.job.records import USUAL_SPACING
from stairs.parts.bracket_holes import beside_holes
from stairs.parts.posts import Post, length_of
from stairs.relations.exact import Amount, derived

RACKING = "rack-limit"
"""The check of how far the panel racks, whose limit may be worked out of measurements."""

PLATE_EDGE = "post-edge-distance"
"""The check of base plates against the edges of what they stand on."""

BUILDABLE = "buildable"
"""The check for measuring errors with which there is no guard at all; of those the count."""

PRACTICE_ONLY = "common practice, no source"
"""What sets a limit that nobody asks for: its check is told and judges nothing."""

SLOT = "panel: slot"
"""What sets the limit of racking where the holes of the rails do."""

Limit = tuple[Amount, str]
"""A limit in the unit of its check, and who sets it: table and key of the job file."""


def _rack_limit(section: Section, job: Job) -> Limit:
    slot, baluster = job.panel.slot, job.panel.baluster
    if slot is None or section.racked.max_rack_set_by != "slot":
        return known(job.panel.max_rack), "panel: max_rack"
    if slot.length < baluster:
        return Fraction(0), SLOT
    hole = {"hole_length": slot.length, "wall": slot.wall, "baluster": baluster}
    return derived("max_rack", **hole), SLOT


def _spacing_limit(section: Section, job: Job) -> Limit:
    if job.post.max_spacing is None:
        return USUAL_SPACING[job.units], PRACTICE_ONLY
    return job.post.max_spacing, "post: max_spacing"


def _holes_limit(section: Section, job: Job) -> Limit:
    return Fraction(0), "bracket: holes"


def _beside_limit(section: Section, job: Job) -> Limit:
    return Fraction(0), "bracket: holes" if job.bracket.holes else PRACTICE_ONLY


class PartCheck(Struct, frozen=True):
    """A check of the parts themselves: its title, kind of limit, unit, and limit in a section."""

    title: str
    kind: str
    unit: str
    limit: Callable[[Section, Job], Limit]


PRACTICE = {
    RACKING: PartCheck("rake of the racked panel", "maximum", "degrees", _rack_limit),
    "bracket-swing": PartCheck(
        "swing of the brackets",
        "maximum",
        "degrees",
        lambda _, job: (known(job.bracket.max_swing), "bracket: max_swing"),
    ),
    "rail-corner": PartCheck(
        "rail corner to post face", "minimum", "length", lambda *_: (Fraction(0), "geometry")
    ),
    "rail-stock": PartCheck(
        "stock for the longest rail",
        "maximum",
        "length",
        lambda _, job: (max(job.panel.stock), "panel: stock"),
    ),
    "post-stock": PartCheck(
        "longest post", "maximum", "length", lambda _, job: (max(job.post.stock), "post: stock")
    ),
    "post-spacing": PartCheck("post spacing", "maximum", "length", _spacing_limit),
    PLATE_EDGE: PartCheck(
        "base plate to nearest edge",
        "minimum",
        "length",
        lambda _, job: (job.post.edge_distance, "post: edge_distance"),
    ),
    "bracket-holes-top": PartCheck(
        "post over its highest bracket hole", "minimum", "length", _holes_limit
    ),
    "bracket-holes-foot": PartCheck(
        "post under its lowest bracket hole", "minimum", "length", _holes_limit
    ),
    "bracket-holes-side": PartCheck(
        "askew post's face beside the bracket", "minimum", "length", _beside_limit
    ),
    BUILDABLE: PartCheck(
        "room to build it", "maximum", "count", lambda *_: (Fraction(0), "geometry")
    ),
}
"""What is checked against the parts themselves."""


def part_measures(section: Section, job: Job) -> Iterator[Measure]:
    """Everything in a section that a part's own limit is held against."""
    flight = section.flight
    if flight is not None:
        rake = derived("rake", unit_rise=flight.line_rise, unit_run=flight.line_run)
        if section.racked.max_rack is not None:
            yield Measure(RACKING, rake)
        if job.bracket.max_swing is not None:
            yield Measure("bracket-swing", rake)
    if job.bracket.kind == "pivot":
        yield Measure("rail-corner", section.bays[0].ends.corner_clearance)
    if job.panel.stock:
        bay = max(section.bays, key=lambda bay: bay.stock_needed)
        yield Measure("rail-stock", bay.ends.stock_needed, Place("bay", (bay.number,)))
    posts = [post for post in section.posts if not post.wall]
    if job.post.stock and posts:
        yield longest(posts, job)
    widest = max(section.bays, key=lambda bay: bay.spacing)
    level = None if flight is None else widest.spacing
    at = Place("bay", (widest.number,))
    yield Measure("post-spacing", widest.spacing_along, at, level=level)
    plated = [(post.plate_edge, post) for post in section.posts if post.plate_edge is not None]
    if plated:
        _, post = min(plated, key=lambda pair: pair[0])
        yield Measure(PLATE_EDGE, post.stand.plate_edge, Place("post", (post.number,)))
    if job.bracket.holes:
        if posts:
            yield over_holes(posts)
        post = min(section.posts, key=lambda post: float(known(post.holes).foot) + post.below)
        foot = known(post.holes).foot
        if post.below:
            foot = derived("under_hole", bottom_hole_height=foot, post_below=known(job.post.below))
        yield Measure("bracket-holes-foot", foot, Place("post", (post.number,)))
    first = section.posts[0]
    if first.askew and not first.wall:
        size = 2 * section.ends.half, section.bays[0].ends.stand_off, section.ends.skew
        yield Measure("bracket-holes-side", beside_holes(job.bracket, *size), Place("post", (1,)))


def longest(posts: Sequence[Post], job: Job) -> Measure:
    """The longest of some posts, one or more, from end to end [job's unit of length]."""
    post = max(posts, key=lambda post: post.height)
    return Measure(
        "post-stock", length_of(job.post, post.exact_height), Place("post", (post.number,))
    )


def over_holes(posts: Sequence[Post]) -> Measure:
    """What is left of a post over its brackets' highest screw hole, where that is least [length].

    The posts, one or more, are no walls and of a job that gives the holes.
    """
    post = min(posts, key=lambda post: post.height - float(known(post.holes).top))
    top = known(post.holes).top
    left = derived("over_hole", post_height=post.exact_height, top_hole_height=top)
    return Measure("bracket-holes-top", left, Place("post", (post.number,)))


def edge_not_given(section: Section, job: Job) -> str:
    """What to measure where posts keep from an edge and the job tells none; empty elsewhere."""
    posts = [post for post in section.posts if not post.wall]
    if job.post.edge is None or not posts or any(post.plate_edge is not None for post in posts):
        return ""
    run = job.sections[section.number - 1]
    if isinstance(run, JobLevel) and run.measured.edge is not None:
        return ""  # set in from it by the rule
    whose = "" if section.flight is None else "landing's "
    return f"edge not given: measure {whose}edge to middle of post"
