"""Remedies for the parts: panels that rack too little, brackets, rails, posts and their plates."""

from __future__ import annotations

from fractions import Fraction
from math import ceil

import msgspec

from stairs.job import JobLevel
from stairs.lengths.tape_marks import ceil_to_mark
from stairs.remedies.case import Case, Choice, Plan
from stairs.remedies.job_changes import Change, post_changes, post_positions
from stairs.remedies.sizes import STEPS, size_above
from stairs.remedies.steps import rake_to

_TENTH = Fraction(1, 10)


def _degrees_above(value: float) -> Fraction:
    """The least tenth of a degree that is not below an angle."""
    return Fraction(ceil(value * 10 - 1e-9), 10)


def _rack(case: Case) -> list[Choice]:
    """Longer holes, another panel, or a flatter stair."""
    panel, rake = case.job.panel, case.finding.value
    least = _degrees_above(rake)
    stated = panel.max_rack is not None and panel.max_rack < rake
    better = [
        Plan(
            f"Take a panel that racks to {float(least + step * _TENTH):g}° or more (this one: "
            f"{round(case.finding.ruling.limit, 4):g}°)",
            (Change("panel", "max_rack", least + step * _TENTH),),
        )
        for step in range(2)
    ]
    if panel.slot is None or "hole_needed" not in case.section.exact:
        return [better, *rake_to(case, case.finding.ruling.limit)]
    hole = case.above(case.section.exact["hole_needed"])
    slot = msgspec.structs.replace(panel.slot, length=max(hole, panel.slot.length))
    text = (
        f"Lengthen each hole along the rail to {case.show(slot.length)} or more (now "
        f"{case.show(panel.slot.length)}), if the maker allows it"
    )
    changes = [Change("panel", "slot", slot)]
    if stated:
        text += f", and have the panel rated for {float(least):g}°"
        changes.append(Change("panel", "max_rack", least))
    return [[Plan(text, tuple(changes))], better, *rake_to(case, case.finding.ruling.limit)]


def _swing(case: Case) -> list[Choice]:
    least = _degrees_above(case.finding.value)
    better = [
        Plan(
            f"Take brackets that swing {float(least + step * _TENTH):g}° or more (these reach "
            f"{case.finding.ruling.limit:g}°)",
            (Change("bracket", "max_swing", least + step * _TENTH),),
        )
        for step in range(2)
    ]
    return [better, *rake_to(case, case.finding.ruling.limit)]


def _corner(case: Case) -> list[Choice]:
    """Rails cut shorter, or pins that stand further off the post."""
    section, bracket = case.section, case.job.bracket
    cosine = section.rail_line.cosine
    back = case.above(float(bracket.rail_setback) + case.over / cosine)
    off = case.above(float(bracket.pivot_offset) + case.over)
    shorter = [
        Plan(
            f"Cut the rails shorter: {case.show(mark)} from pin to rail end (now "
            f"{case.show(bracket.rail_setback)})",
            (Change("bracket", "rail_setback", mark),),
        )
        for mark in (back, back + case.tape)
    ]
    farther = [
        Plan(
            f"Take brackets whose pin stands {case.show(mark)} or more off the post (now "
            f"{case.show(bracket.pivot_offset)})",
            (Change("bracket", "pivot_offset", mark),),
        )
        for mark in (off, off + case.tape)
    ]
    return [shorter, farther]


def _rail_stock(case: Case) -> list[Choice]:
    """Another post, or longer stock."""
    job, section = case.job, case.section
    bays = len(section.bays)
    longest = max(bay.stock_needed for bay in section.bays)
    sold = size_above("rail", longest, job.units)
    longer = [
        Plan(
            f"Buy rails {case.show(sold)} long or more: the longest takes {case.about(longest)}",
            (Change("panel", "stock", (*job.panel.stock, sold)),),
        )
    ]
    over = f"The longest rail is {case.about(case.over)} longer than any stock: put in another post"
    words = Plan(f"{over} ({bays + 1} bays instead of {bays})")
    return [_split(case), _more_bays(case, bays + 1), longer, [words]]


def _spacing(case: Case) -> list[Choice]:
    """More posts; what the job allows is the maker's or the office's to change."""
    section, most = case.section, case.job.post.max_spacing
    bays = len(section.bays)
    along = sum(float(bay.spacing_along) for bay in section.bays)
    fewest = max(bays + 1, ceil(along / float(most) - 1e-9))
    words = (
        f"Posts stand up to {case.about(case.over)} too far apart: put in as many as it takes "
        f"({fewest} bays or more instead of {bays})"
    )
    return [_split(case), _more_bays(case, fewest), [Plan(words)]]


def _more_bays(case: Case, fewest: int) -> Choice:
    """Posts placed anew for some more bays, where the job file can say so."""
    bays = len(case.section.bays)
    more: Choice = []
    for count in range(fewest, fewest + 3):
        text = f"Put in another post: {count} bays instead of {bays}"
        if count > bays + 1:
            text = f"Put in {count - bays} more posts: {count} bays instead of {bays}"
        if isinstance(case.record, JobLevel) or case.record.posts is None:
            changes = (Change("section", "posts", None), Change("section", "bays", count))
            more.append(Plan(text, changes))
    return more


def _split(case: Case) -> Choice:
    """A post on the tread nearest the middle of the longest bay of a flight with listed posts."""
    section, job = case.section, case.job
    if section.flight is None or case.record.posts is None:
        return []
    bay = max(section.bays, key=lambda bay: bay.rail_length)
    posts = post_positions(section, case.record)
    low, high = posts[bay.number - 1], posts[bay.number]
    middle = float(low + high) / 2
    plate = job.post.base or job.post.width
    plans = []
    fronts = sorted(section.nosings[:-1], key=lambda point: abs(point[0] - middle))[:3]
    for front, _ in fronts:
        centre = ceil_to_mark(front + float(plate / 2 + (job.post.edge or 0)), case.tape)
        if low < centre < high:
            placed = (*posts[: bay.number], centre, *posts[bay.number :])
            plans.append(
                Plan(
                    f"Put in another post, at x = {case.show(centre)}: {len(posts)} bays instead "
                    f"of {len(posts) - 1}",
                    post_changes(case.record, placed),
                )
            )
    return plans


def _post_stock(case: Case) -> list[Choice]:
    """Longer posts, less of them above the rail, or a lower rail."""
    job, section = case.job, case.section
    tallest = case.finding.value
    sold = size_above("post", tallest, job.units)
    post = max((post for post in section.posts if not post.wall), key=lambda post: post.height)
    why = f"the longest is {case.about(tallest)}"
    if post.own_height is not None and post.own_height < post.height:
        why = f"the post shared with section {post.shared_with[0]} is the longest"
    choices = [
        [
            Plan(
                f"Buy posts {case.show(mark)} long or more: {why}",
                (Change("post", "stock", (*job.post.stock, mark)),),
            )
            for mark in (sold, sold + STEPS["post"][job.units])
        ]
    ]
    over = case.above(case.over)
    reveal = job.post.reveal - over
    if reveal >= 0:
        choices.append(
            [
                Plan(
                    f"Let the posts end {case.show(reveal)} above the rail (now "
                    f"{case.show(job.post.reveal)})",
                    (Change("post", "reveal", reveal),),
                )
            ]
        )
    gap = section.exact["bottom_gap"] - over
    if case.window.holds(gap):
        choices.append(
            [
                Plan(
                    f"Lower the bottom rail by {case.show(over)} to a gap of {case.show(gap)}",
                    (Change("section", "bottom_gap", gap),),
                )
            ]
        )
    return choices


def _plate(case: Case) -> list[Choice]:
    """Posts moved back from the edge that they are too near to, or smaller plates."""
    job = case.job
    choices = [[_in_from_edge(case)]] if isinstance(case.record, JobLevel) else [_back(case)]
    if job.post.base is not None:
        choices.append(
            [
                Plan(
                    f"Take base plates {case.show(base)} square or less (now "
                    f"{case.show(job.post.base)})",
                    (Change("post", "base", base),),
                )
                for base in case.sizes_below("plate", float(job.post.base) - 2 * case.over)
                if base >= job.post.width
            ]
        )
    return choices


def _in_from_edge(case: Case) -> Plan:
    """The whole of a level run set in from its outer edge."""
    framing = case.record.framing
    inset = framing.edge_to_post + case.above(case.over)
    return Plan(
        f"Set the posts of this run {case.show(inset)} in from the edge, to their middle (now "
        f"{case.show(framing.edge_to_post)}), and measure the spans beside it again",
        (Change("section", "framing", msgspec.structs.replace(framing, edge_to_post=inset)),),
    )


def _back(case: Case) -> Choice:
    """The posts of a flight that stand too near a nosing, moved back from it."""
    job, section = case.job, case.section
    posts = list(post_positions(section, case.record))
    moved = list(posts)
    told = []
    for place, post in enumerate(section.posts):
        if post.exact_plate_edge is None:
            continue
        short = float(job.post.edge) - post.plate_edge
        if short > 0:
            moved[place] += ceil_to_mark(short - 1e-9, case.tape)
            told.append(f"post {place + 1} to x = {case.show(moved[place])}")
    back = f"Move {' and '.join(told)}, {case.show(case.above(case.over))} back from the edge"
    return [Plan(back, post_changes(case.record, tuple(moved)))]


def _holes_top(case: Case) -> list[Choice]:
    """Posts that end farther above the rail, or other brackets."""
    reveal = case.above(float(case.job.post.reveal) + case.over)
    taller = [
        Plan(
            f"Let the posts end {case.show(mark)} above the rail (now "
            f"{case.show(case.job.post.reveal)})",
            (Change("post", "reveal", mark),),
        )
        for mark in (reveal, reveal + case.tape)
    ]
    lower = f"Take brackets whose highest hole lies {case.show(case.above(case.over))} lower"
    return [taller, [Plan(lower)]]


def _holes_foot(case: Case) -> list[Choice]:
    """A rail that lies higher, or other brackets."""
    over = case.above(case.over)
    gap = case.section.exact["bottom_gap"] + over
    higher = []
    if case.window.holds(gap):
        higher.append(
            Plan(
                f"Raise the bottom rail by {case.show(over)} to a gap of {case.show(gap)}",
                (Change("section", "bottom_gap", gap),),
            )
        )
    return [higher, [Plan(f"Take brackets whose lowest hole lies {case.show(over)} higher")]]


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
}
"""Makers of remedies by the name of the check."""
