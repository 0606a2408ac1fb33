"""The lists on screen: rails, posts and brackets as they are cut, then setting-out and plan.

The cut list is taken to the saw, the buying list to the yard, the setting-out table to the stair.
All dimensions of one row run from one end, so that a slip of the pencil or of rounding does not
carry on to the next.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction

from stairs.guard.sides import BOTH, LEFT, RIGHT
from stairs.guard.solving import Section
from stairs.job import Job
from stairs.lists.cut_list import CutList, RailCut, cut_list
from stairs.lists.post_cuts import TOP, BracketPlace, FaceMarks, PostCut
from stairs.lists.rail_plans import PlacedRail, RailPlan, placed_rails, rail_plans
from stairs.parts.section_ends import RIGHT_ANGLE
from stairs.report.buying import buying_text
from stairs.report.columns import in_runs, length, numbered, remark, section_name, table, wrap
from stairs.report.cuts_text import (
    bracket_words,
    end_names,
    notes_on,
    rail_warnings,
    saw_setting,
    stands_text,
    way_texts,
)
from stairs.report.holes_text import holes_text
from stairs.report.joins_text import saw_text
from stairs.report.notices import own_value_texts, warning_text
from stairs.report.plans_text import other_way_text, plan_text
from stairs.report.setting_out_text import job_text, section_text
from stairs.report.spoken import in_words
from stairs.solution import Solution


@in_words
def cuts_text(solution: Solution, kerf: Fraction | None = None, apart: bool = False) -> str:
    """Cut list, cutting plan, buying list and setting-out table, in 80 columns.

    Parameters
    ----------
    kerf : Fraction, optional
        Of the saw [job's unit of length], 0 or more; left out, 1/8 in or 3 mm.
    apart : bool
        Whether top and bottom rails are different stock although they are equally deep.
    """
    cuts = cut_list(solution)
    plans = rail_plans(cuts, solution.guard, kerf, apart)
    planned = placed_rails(plans)
    job = solution.job
    head = [wrap(f"Cut list: {job.title}" if job.title else "Cut list")]
    head += [remark(text) for text in own_value_texts(job)]
    blocks = ["\n".join(head), warning_text(solution)]
    for section in solution.guard.sections:
        blocks += [
            _head(section),
            _rails_text(solution, cuts, planned, section),
            _posts_text(job, cuts, section),
            holes_text(job, section),
            _brackets_text(cuts, section),
            section_text(job, section),
        ]
    blocks.append(job_text(solution))
    first = 1
    for plan in plans:
        blocks.append(plan_text(job, plan, first))
        first += len(plan.plan.rails)
    blocks.append(other_way_text(solution, plans, kerf, apart))
    blocks.append(buying_text(job, cuts, plans))
    notes = (*notes_on(solution, cuts.posts), *_notes(job, cuts, plans))
    blocks += [wrap(note, "note: ", "      ") for note in notes]
    return "\n\n".join(block for block in blocks if block) + "\n"


def _head(section: Section) -> str:
    lines = [wrap(section_name(section))]
    if section.sides == 2:
        lines.append(
            "  guard on both sides: counts are of both, half right-hand and half left-hand"
        )
    return "\n".join(lines)


# --------------------------------------------------------------------------- rails


def _alike(cuts: Iterable[RailCut]) -> list[list[RailCut]]:
    """Rails of one section that are marked in the same way."""
    groups: dict[tuple[object, ...], list[RailCut]] = {}
    for cut in cuts:
        ends = cut.askew is None, cut.done
        key = (cut.length, cut.stock is None, cut.running, cut.way, cut.flaws, *ends)
        groups.setdefault(key, []).append(cut)
    return list(groups.values())


def _rails_text(
    solution: Solution, cuts: CutList, planned: Mapping[str, PlacedRail], section: Section
) -> str:
    own = [cut for cut in cuts.rails if cut.section == section.number]
    rows, remarks = [], []
    unlike = any(bay.second is not None for bay in section.bays) or any(cut.done for cut in own)
    for group in _alike(own):
        names = [name for cut in group for name in cut.piece_names]
        stocks = {planned[name].number for name in names if name in planned}
        bays = sorted({cut.bay for cut in group})
        rails = {cut.rail for cut in group}
        only = f" {group[0].rail}" if unlike and len(rails) == 1 else ""
        rows.append(
            [
                in_runs(bays) + only,
                str(len(names)),
                length(solution.job, group[0].length),
                "cut already" if group[0].done else in_runs(sorted(stocks)) or "none",
                str(group[0].balusters),
            ]
        )
        which = numbered("bay", bays) + only
        remarks += [remark(f"{which}, {text}") for text in _rail_remarks(solution, section, group)]
    heads = ["bay", "rails", "length", "from stock rail", "balusters"]
    low = end_names(section)[0]
    return "\n".join(
        [
            f"Rails, {saw_setting(own[0].saw_angle)}; {low} end at the lower-numbered post",
            table(heads, rows, (1, 2, 3, 4)),
            *dict.fromkeys(remarks),
        ]
    )


def _rail_remarks(solution: Solution, section: Section, group: Sequence[RailCut]) -> list[str]:
    """What to know of rails that are marked alike, one text for each."""
    job, cut = solution.job, group[0]
    low, high = end_names(section)
    texts = []
    if cut.askew is not None and cut.askew.saw is not None:
        longer = RIGHT if cut.askew.leans == LEFT else LEFT
        texts.append(
            f"{low} end askew, its {longer}-hand side the longer: {saw_text(cut.askew.saw)}"
        )
    if cut.running:
        places = ", ".join(length(job, place) for place in cut.running)
        texts.append(f"holes from the {low} cut: {places}")
    if cut.low.edge is not None and cut.high.edge is not None:
        gaps = [length(job, edge) for edge in (cut.low.edge, cut.high.edge)]
        one = f"{gaps[0]} from either cut" if gaps[0] == gaps[1] else ""
        each = f"{gaps[0]} from the {low} cut and {gaps[1]} from the {high} cut"
        texts.append(f"{one or each} to the edge of the next hole")
    if any(each.low.cut.tip for each in group):
        texts.append(_tips_text(job, section, group))
    if not cut.done:
        texts += [f"warning: {text}" for text in rail_warnings(solution, cut, by_plan=True)]
    return texts + way_texts(job, section.bays[cut.bay - 1])


def _tips_text(job: Job, section: Section, group: Sequence[RailCut]) -> str:
    """How far slanted cuts reach beyond the axis, by end where they are unlike."""
    parts = {}
    low, high = end_names(section)
    for cut in group:
        reach = [length(job, tip) for tip in dict.fromkeys((cut.low.cut.tip, cut.high.cut.tip))]
        both = len(reach) == 1
        parts[cut.rail] = (
            reach[0] if both else f"{reach[0]} at the {low} and {reach[1]} at the {high}"
        )
    reaches = [f"{rail} rail {reach}" for rail, reach in parts.items()]
    return f"slanted cuts reach beyond the axis: {', '.join(reaches)}"


# --------------------------------------------------------------------------- posts and brackets


def _posts_text(job: Job, cuts: CutList, section: Section) -> str:
    rows = []
    longer = job.post.below is not None
    for post in cuts.posts:
        if post.section != section.number:
            continue
        one_hand = section.sides == 2 and post.hand != BOTH
        name = f"{post.post} {post.hand}" if one_hand else str(post.post)
        first = [name, stands_text(section, post)]
        tall = [post.height, post.length] if longer else [post.height]
        first += ["-" if post.wall else length(job, one) for one in tall]
        first.append(_bought_text(job, post))
        off = "-" if post.cut_off is None else length(job, post.cut_off)
        first.append("whole" if post.whole else off)
        for index, face in enumerate(post.faces or (None,)):
            rows.append((first if index == 0 else [""] * len(first)) + _face_cells(job, face))
    heads = ["post", "stands on", "height", "buy", "cut off", "face", "bottom", "top"]
    if longer:
        heads[1:3] = ["beside", "height", "length"]
    over = "what is beside the post" if longer else "what the post stands on"
    right = [k for k in range(2, len(heads)) if heads[k] != "face"]
    return f"Posts, and bracket marks up each face from {over}\n" + table(heads, rows, right)


def _bought_text(job: Job, post: PostCut) -> str:
    """The stock to buy, or why none is bought for this place."""
    if post.wall:
        return "-"
    if post.done:
        return "cut already"
    if post.same_as is not None:
        return f"is {post.same_as[0]}.{post.same_as[1]}"
    return "none" if post.stock is None else length(job, post.stock)


def _face_cells(job: Job, face: FaceMarks | None) -> list[str]:
    if face is None:
        return ["-", "-", "-"]
    return [face.name, length(job, face.bottom), length(job, face.top)]


def _brackets_text(cuts: CutList, section: Section) -> str:
    groups: dict[tuple[object, ...], list[BracketPlace]] = {}
    for place in cuts.brackets:
        if place.section == section.number and place.rail == TOP:
            key = (bracket_words(place), round(abs(place.swing), 1), place.turn, place.quantity)
            groups.setdefault(key, []).append(place)
    lines = []
    for where in groups.values():
        first = where[0]
        told = [bracket_words(first)]
        if round(first.swing, 1):
            told.append(f"{abs(first.swing):.1f}° from level")
        if abs(first.turn) == RIGHT_ANGLE:  # square to another face, so an ordinary bracket
            told.append(f"on the {LEFT if first.turn > 0 else RIGHT}-hand face")
        elif first.turn:
            told.append(f"plan turn {first.turn:g}°")
        count = 2 * sum(place.quantity for place in where)
        post = "post" if first.quantity == 1 else "either hand's post"
        places = "; ".join(place.place for place in where)
        lines.append(remark(f"{', '.join(told)}: {count}, 2 (top and bottom) on {post} {places}"))
    return "\n".join(["Brackets", *lines])


# --------------------------------------------------------------------------- notes


def _notes(job: Job, cuts: CutList, plans: Sequence[RailPlan]) -> list[str]:
    notes = []
    if any(one.plan.rails for one in plans):
        notes.append(
            "Cut the rails from the marks of the cutting plan: count the holes of the stock, then "
            "saw. What stairs solve takes off a rail is from a stock rail of its own; here it may "
            "start at another hole, so the spacing comes out the same"
        )
    if len(plans) == 1:
        notes.append(
            "Top and bottom rails are equally deep and taken for one and the same stock; where "
            "they are not, plan them apart (--rails-apart)"
        )
    if any(cut.flaws or cut.stock is None for cut in cuts.rails):
        notes.append(
            f"A hole is wanted {length(job, cuts.least_edge)} clear of a cut, as wide as a "
            "baluster (common practice, no source)"
        )
    notes.append("Screws and anchors are the maker's and the designer's to name")
    return notes
