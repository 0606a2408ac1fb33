"""Remedies for the parts: panels that rack too little, brackets, rails, posts and their plates."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from math import ceil

from msgspec.structs import replace

from stairs.checks.measure import known
from stairs.job import JobLevel
from stairs.lengths.tape_marks import ceil_to_mark
from stairs.numbers.tolerances import SAME
from stairs.remedies.failure import Failure, Ladder, Proposal
from stairs.remedies.job_changes import Change, post_changes, post_positions
from stairs.remedies.sizes import STEPS, size_above
from stairs.remedies.steps import rake_to

_TENTH = Fraction(1, 10)


def _degrees_above(value: float) -> Fraction:
    """The least tenth of a degree that is not below an angle."""
    return Fraction(ceil(value * 10 - SAME), 10)


def _to_rake(failure: Failure, words: str, table: str, key: str) -> Ladder:
    """A part that takes the rake, to a tenth of a degree; ``{}`` in the words is the angle."""
    least = _degrees_above(failure.value)
    return [
        Proposal(words.format(f"{float(angle):g}°"), (Change(table, key, angle),))
        for angle in (least, least + _TENTH)
    ]


def _rack(failure: Failure) -> Iterator[Ladder]:
    """Longer holes, another panel, or a flatter stair."""
    panel, rake, limit = failure.job.panel, failure.value, float(failure.limit)
    needed = failure.section.exact.get("hole_needed")
    if panel.slot is not None and needed is not None:
        slot = replace(panel.slot, length=max(failure.above(needed), panel.slot.length))
        text = (
            f"Lengthen each hole along the rail to {failure.show(slot.length)} or more (now "
            f"{failure.show(panel.slot.length)}), if the maker allows it"
        )
        changes = [Change("panel", "slot", slot)]
        if panel.max_rack is not None and panel.max_rack < rake:
            text += f", and have the panel rated for {float(_degrees_above(rake)):g}°"
            changes.append(Change("panel", "max_rack", _degrees_above(rake)))
        yield [Proposal(text, tuple(changes))]
    words = f"Take a panel that racks to {{}} or more (this one: {round(limit, 4):g}°)"
    yield _to_rake(failure, words, "panel", "max_rack")
    yield from rake_to(failure, limit)


def _swing(failure: Failure) -> Iterator[Ladder]:
    limit = float(failure.limit)
    words = f"Take brackets that swing {{}} or more (these reach {limit:g}°)"
    yield _to_rake(failure, words, "bracket", "max_swing")
    yield from rake_to(failure, limit)


def _corner(failure: Failure) -> Iterator[Ladder]:
    """Rails cut shorter, or pins that stand further off the post."""
    section, bracket = failure.section, failure.job.bracket
    back = failure.above(float(bracket.rail_setback) + failure.over / section.rail_line.cosine)
    now = failure.show(bracket.rail_setback)
    words = f"Cut the rails shorter: {{}} from pin to rail end (now {now})"
    yield failure.sized(words, "bracket", "rail_setback", failure.marks(back))
    off = failure.above(float(bracket.pivot_offset) + failure.over)
    now = failure.show(bracket.pivot_offset)
    words = f"Take brackets whose pin stands {{}} or more off the post (now {now})"
    yield failure.sized(words, "bracket", "pivot_offset", failure.marks(off))


def _rail_stock(failure: Failure) -> Iterator[Ladder]:
    """Another post, or longer stock."""
    stock, bays = failure.job.panel.stock, len(failure.section.bays)
    yield _split(failure)
    yield _more_bays(failure, bays + 1)
    longest = max(bay.stock_needed for bay in failure.section.bays)
    least = size_above("rail", longest, failure.job.units)
    yield [
        Proposal(
            f"Buy rails {failure.show(least)} long or more: the longest takes "
            f"{failure.about(longest)}",
            (Change("panel", "stock", (*stock, least)),),
        )
    ]
    yield [
        Proposal(
            f"The longest rail is {failure.about(failure.over)} longer than any stock: put in "
            f"another post ({bays + 1} bays instead of {bays})"
        )
    ]


def _spacing(failure: Failure) -> Iterator[Ladder]:
    """More posts; what the job allows is the maker's or the office's to change."""
    bays, most = failure.section.bays, failure.job.post.max_spacing
    along = sum(float(bay.spacing_along) for bay in bays)
    fewest = max(len(bays) + 1, ceil(along / float(known(most)) - SAME))
    yield _split(failure)
    yield _more_bays(failure, fewest)
    yield [
        Proposal(
            f"Posts stand up to {failure.about(failure.over)} too far apart: put in as many as it "
            f"takes ({fewest} bays or more instead of {len(bays)})"
        )
    ]


def _more_bays(failure: Failure, fewest: int) -> Ladder:
    """Posts placed anew for some more bays, where the job file can say so."""
    bays, record = len(failure.section.bays), failure.record
    if record.posts is not None and not isinstance(record, JobLevel):
        return []
    rungs = []
    for count in range(fewest, fewest + 3):
        more = "another post" if count == bays + 1 else f"{count - bays} more posts"
        changes = (Change("section", "posts", None), Change("section", "bays", count))
        rungs.append(Proposal(f"Put in {more}: {count} bays instead of {bays}", changes))
    return rungs


def _split(failure: Failure) -> Ladder:
    """A post on the tread nearest the middle of the longest bay of a flight with listed posts."""
    section, kind = failure.section, failure.job.post
    if section.flight is None or failure.record.posts is None:
        return []
    bay = max(section.bays, key=lambda bay: bay.rail_length)
    posts = post_positions(section, failure.record)
    low, high = posts[bay.number - 1], posts[bay.number]
    middle = float(low + high) / 2
    off = float((kind.base or kind.width) / 2 + (kind.edge or 0))
    rungs = []
    fronts = sorted(section.nosings[:-1], key=lambda point: abs(point[0] - middle))[:3]
    for front, _ in fronts:
        centre = ceil_to_mark(front + off, failure.tape)
        if low < centre < high:
            placed = (*posts[: bay.number], centre, *posts[bay.number :])
            rungs.append(
                Proposal(
                    f"Put in another post, at x = {failure.show(centre)}: {len(posts)} bays "
                    f"instead of {len(posts) - 1}",
                    post_changes(failure.record, placed),
                )
            )
    return rungs


def _post_stock(failure: Failure) -> Iterator[Ladder]:
    """Longer posts, less of them above the rail, or a lower rail."""
    job, tallest = failure.job, failure.value
    least = size_above("post", tallest, job.units)
    post = max((one for one in failure.section.posts if not one.wall), key=lambda one: one.height)
    why = f"the longest is {failure.about(tallest)}"
    if post.own_height is not None and post.own_height < post.height:
        why = f"the post shared with section {known(post.shared_with)[0]} is the longest"
    yield [
        Proposal(
            f"Buy posts {failure.show(mark)} long or more: {why}",
            (Change("post", "stock", (*job.post.stock, mark)),),
        )
        for mark in (least, least + STEPS["post"][job.units])
    ]
    over = failure.above(failure.over)
    if job.post.reveal >= over:
        words = f"Let the posts end {{}} above the rail (now {failure.show(job.post.reveal)})"
        yield failure.sized(words, "post", "reveal", [job.post.reveal - over])
    yield _other_gap(failure, "Lower", -over)


def _other_gap(failure: Failure, way: str, by: Fraction) -> Ladder:
    """The bottom rail raised or lowered, inside its window."""
    gap = failure.exact("bottom_gap") + by
    words = f"{way} the bottom rail by {failure.show(abs(by))} to a gap of {{}}"
    sizes = [gap] if failure.window.holds(gap) else []
    return failure.sized(words, "section", "bottom_gap", sizes)


def _plate(failure: Failure) -> Iterator[Ladder]:
    """Posts moved back from the edge that they are too near to, or smaller plates."""
    post, level = failure.job.post, isinstance(failure.record, JobLevel)
    yield [_in_from_edge(failure) if level else _back(failure)]
    if post.base is not None:
        bases = failure.sizes_below("plate", float(post.base) - 2 * failure.over)
        words = f"Take base plates {{}} square or less (now {failure.show(post.base)})"
        yield failure.sized(words, "post", "base", (base for base in bases if base >= post.width))


def _in_from_edge(failure: Failure) -> Proposal:
    """The whole of a level run set in from its outer edge."""
    framing = known(failure.record.framing)
    now = known(framing.edge_to_post)
    inset = now + failure.above(failure.over)
    return Proposal(
        f"Set the posts of this run {failure.show(inset)} in from the edge, to their middle (now "
        f"{failure.show(now)}), and measure the spans beside it again",
        (Change("section", "framing", replace(framing, edge_to_post=inset)),),
    )


def _back(failure: Failure) -> Proposal:
    """The posts of a flight that stand too near a nosing, moved back from it."""
    posts, told = list(post_positions(failure.section, failure.record)), []
    for place, post in enumerate(failure.section.posts):
        short = (
            0.0
            if post.plate_edge is None
            else float(known(failure.job.post.edge)) - post.plate_edge
        )
        if short > 0:
            posts[place] += ceil_to_mark(short - SAME, failure.tape)
            told.append(f"post {place + 1} to x = {failure.show(posts[place])}")
    by = failure.show(failure.above(failure.over))
    text = f"Move {' and '.join(told)}, {by} back from the edge"
    return Proposal(text, post_changes(failure.record, tuple(posts)))


def _holes_top(failure: Failure) -> Iterator[Ladder]:
    """Posts that end farther above the rail, or other brackets."""
    now = failure.job.post.reveal
    marks = failure.marks(failure.above(float(now) + failure.over))
    words = f"Let the posts end {{}} above the rail (now {failure.show(now)})"
    yield failure.sized(words, "post", "reveal", marks)
    lower = failure.show(failure.above(failure.over))
    yield [Proposal(f"Take brackets whose highest hole lies {lower} lower")]


def _holes_foot(failure: Failure) -> Iterator[Ladder]:
    """A rail that lies higher, or other brackets."""
    over = failure.above(failure.over)
    yield _other_gap(failure, "Raise", over)
    yield [Proposal(f"Take brackets whose lowest hole lies {failure.show(over)} higher")]


def _holes_side(failure: Failure) -> Iterator[Ladder]:
    """A post that is turned; no bracket reaches back onto a face that its pin has left."""
    yield [Proposal("Turn that post so that the rails of both sections meet its faces alike")]


PARTS = {
    "rack-limit": _rack,
    "bracket-swing": _swing,
    "rail-corner": _corner,
    "rail-stock": _rail_stock,
    "post-stock": _post_stock,
    "post-spacing": _spacing,
    "post-edge-distance": _plate,
    "bracket-holes-top": _holes_top,
    "bracket-holes-foot": _holes_foot,
    "bracket-holes-side": _holes_side,
}
"""Makers of remedies by the name of the check."""
