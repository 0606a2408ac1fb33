"""Lists: the cut list, the buying list and the setting-out table, on screen and as CSV.

The cut list is taken to the saw, the buying list to the yard, the setting-out table to the stair.
All dimensions of one row run from one end, so that a slip of the pencil or of rounding does not
carry on to the next.  On screen everything fits 80 columns; CSV holds plain decimal numbers in the
job's unit, which the head of each column names.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from fractions import Fraction

from stairs.guard.sides import LEFT, RIGHT
from stairs.guard.solving import Section
from stairs.job import Job
from stairs.lengths.tape_marks import length_text
from stairs.lists.cut_list import TOP, CutList, FaceMarks, PostCut, RailCut, TrimChoice, cut_list
from stairs.lists.rail_plans import RailPlan, rail_plans
from stairs.lists.setting_out import (
    decimal,
    holes_text_of,
    job_text,
    marks_text,
    section_text,
    set_out_rows,
)
from stairs.parts.panel import Trim
from stairs.parts.section_ends import RIGHT_ANGLE
from stairs.report.columns import WIDTH, table, wrap
from stairs.report.holes_text import holes_text
from stairs.report.joins_text import saw_text
from stairs.report.plans_text import other_way_text, plan_text
from stairs.report.verdicts import own_value_texts, warning_text
from stairs.solution import Answer

CSV_LISTS = ("cut", "buy", "set-out")


def cuts_text(answer: Answer, kerf: Fraction | None = None, apart: bool = False) -> str:
    """Cut list, cutting plan, buying list and setting-out table, in 80 columns.

    Parameters
    ----------
    answer : Answer
        Of a job.
    kerf : Fraction, optional
        Of the saw [job's unit of length], 0 or more; left out, 1/8 in or 3 mm.
    apart : bool
        Whether top and bottom rails are different stock although they are equally deep.
    """
    cuts = cut_list(answer)
    plans = rail_plans(cuts, answer.guard, kerf, apart)
    job = answer.job
    head = [wrap(f"Cut list: {job.title}" if job.title else "Cut list")]
    head += [wrap(text, "  ", "    ") for text in own_value_texts(job)]
    blocks = ["\n".join(head), warning_text(answer)]
    for section in answer.guard.sections:
        blocks += [
            _name(section),
            _rails_text(job, cuts, section),
            _posts_text(job, cuts, section),
            holes_text(job, section),
            _brackets_text(cuts, section),
            section_text(job, section),
        ]
    blocks.append(job_text(answer))
    first = 1
    for plan in plans:
        blocks.append(plan_text(job, plan, first))
        first += len(plan.plan.rails)
    blocks.append(other_way_text(answer, plans, kerf, apart))
    blocks.append(_buying_text(job, cuts, plans))
    blocks += [wrap(note, "note: ", "      ") for note in (*cuts.notes, *_notes(job, cuts, plans))]
    return "\n\n".join(block for block in blocks if block) + "\n"


def list_csv(answer: Answer, which: str, kerf: Fraction | None = None, apart: bool = False) -> str:
    """One list as CSV, with a head line.

    Parameters
    ----------
    answer : Answer
        Of a job.
    which : str
        ``"cut"``, ``"buy"`` or ``"set-out"``.
    kerf, apart
        As for :func:`cuts_text`.

    Raises
    ------
    ValueError
        For another list.
    """
    cuts = cut_list(answer)
    if which == "cut":
        rows = _cut_rows(answer, cuts)
    elif which == "buy":
        rows = _buy_rows(answer.job, cuts, rail_plans(cuts, answer.guard, kerf, apart))
    elif which == "set-out":
        rows = set_out_rows(answer, cuts)
    else:
        raise ValueError(f'there is no list "{which}"; there are {", ".join(CSV_LISTS)}')
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerows(rows)
    return out.getvalue()


# --------------------------------------------------------------------------- screen


def _length(job: Job, value: Fraction | float) -> str:
    return length_text(value, job.units, job.tape)


def _name(section: Section) -> str:
    kind = "Flight" if section.kind == "flight" else "Level run"
    name = f"{kind} {section.number}" + (f", {section.name}" if section.name else "")
    if section.sides == 1:
        return wrap(name)
    return wrap(name) + (
        "\n  guard on both sides: counts are of both, half right-hand and half left-hand"
    )


def _running(job: Job, places: Iterable[Fraction]) -> str:
    return ", ".join(_length(job, place) for place in places)


def _alike(cuts: Sequence[RailCut]) -> list[list[RailCut]]:
    """Rails of one section that are cut and marked in the same way."""
    groups: dict[tuple, list[RailCut]] = {}
    for cut in cuts:
        key = (
            cut.length,
            cut.stock,
            cut.trim_low,
            cut.running,
            cut.way,
            cut.warnings,
            cut.askew is None,
        )
        groups.setdefault(key, []).append(cut)
    return list(groups.values())


def _bays(cuts: Iterable[RailCut]) -> str:
    return ", ".join(str(bay) for bay in dict.fromkeys(cut.bay for cut in cuts))


def _which(cuts: Iterable[RailCut]) -> str:
    bays = _bays(cuts)
    return f"{'bays' if ',' in bays else 'bay'} {bays}"


def _rails_text(job: Job, cuts: CutList, section: Section) -> str:
    own = [cut for cut in cuts.rails if cut.section == section.number]
    rows, remarks = [], []
    for group in _alike(own):
        cut = group[0]
        none = cut.stock is None
        rows.append(
            [
                _short(_bays(group)),
                str(sum(each.quantity for each in group)),
                _length(job, cut.length),
                "none" if none else _length(job, cut.stock),
                "-" if none else f"{_length(job, cut.trim_low)} / {_length(job, cut.trim_high)}",
                str(cut.balusters),
            ]
        )
        start = f"{_which(group)}, "
        if cut.askew is not None:
            longer = "right" if cut.askew.leans == "left" else "left"
            text = f"lower end askew, its {longer}-hand side the longer: {saw_text(cut.askew.saw)}"
            remarks.append(wrap(f"{start}{text}", "  ", "    "))
        if cut.running:
            text = f"{start}holes from the lower cut: {_running(job, cut.running)}"
            remarks.append(wrap(text, "  ", "    "))
        if not none and cut.running:
            text = f"{start}holes lost: {cut.holes_lost_low} low, {cut.holes_lost_high} high"
            if cut.edge_low is not None and cut.edge_high is not None:
                text += (
                    f"; left between cut and nearest whole hole: {_length(job, cut.edge_low)} low, "
                    f"{_length(job, cut.edge_high)} high"
                )
            remarks.append(wrap(text, "  ", "    "))
        if any(each.low.tip for each in group):
            remarks.append(wrap(f"{start}{_tips_text(job, group)}", "  ", "    "))
        remarks += [wrap(f"{start}warning: {text}", "  ", "    ") for text in cut.warnings]
        bays = {cut.bay for cut in group}
        choice = next(
            choice
            for choice in cuts.choices
            if choice.section == section.number and choice.bay in bays
        )
        remarks.append(wrap(f"{start}{_choice_text(job, choice)}", "  ", "    "))
    heads = ["bay", "rails", "cut", "from", "off low / high", "balusters"]
    return "\n".join(
        [
            f"Rails, {_saw_text(own[0])}; low is the end at the lower or first post",
            table(heads, rows, (1, 2, 3, 4, 5)),
            *dict.fromkeys(remarks),
        ]
    )


def _short(bays: str) -> str:
    """A list of bays for a narrow column; in full it stands in the lines below."""
    return bays if len(bays) <= 10 else f"{bays.split(',')[0]} etc."


def _saw_text(cut: RailCut) -> str:
    return "square cuts" if cut.saw_angle == 0 else f"saw turned {cut.saw_angle:.1f}° from square"


def _tips_text(job: Job, group: Sequence[RailCut]) -> str:
    """How far slanted cuts reach beyond the axis, by end where they are unlike."""
    parts = {}
    for cut in group:
        reach = [_length(job, tip) for tip in dict.fromkeys((cut.low.tip, cut.high.tip))]
        parts[cut.rail] = reach[0] if len(reach) == 1 else f"{reach[0]} low and {reach[1]} high"
    reaches = [f"{rail} rail {reach}" for rail, reach in parts.items()]
    return f"slanted cuts reach beyond the axis: {', '.join(reaches)}"


def _choice_text(job: Job, choice: TrimChoice) -> str:
    """What the two ways of cutting come to, and which is advised."""
    ways = {choice.used: choice.trim}
    other = "half-pitch" if choice.used == "even" else "even"
    ways[other] = choice.other
    parts = [f"{way} ({_trim_text(job, trim)})" for way, trim in ways.items()]
    text = f"taken: {parts[0]}; other: {parts[1]}"
    return f"{text}. Advised: {choice.better}, because {choice.because}"


def _trim_text(job: Job, trim: Trim | None) -> str:
    if trim is None:
        return "no stock is long enough"
    low, high = (_length(job, float(gap)) for gap in (trim.end_gap_low, trim.end_gap_high))
    gaps = low if low == high else f"{low} low and {high} high"
    balusters = "1 baluster" if trim.balusters == 1 else f"{trim.balusters} balusters"
    return f"{_length(job, trim.stock)} stock, {balusters}, end gaps {gaps}"


def _posts_text(job: Job, cuts: CutList, section: Section) -> str:
    rows = []
    longer = job.post.below is not None
    for post in cuts.posts:
        if post.section != section.number:
            continue
        name = f"{post.post} {post.hand}" if section.sides == 2 else str(post.post)
        first = [name.removesuffix(" both"), post.stands_on]
        tall = [post.height, post.length] if longer else [post.height]
        first += ["-" if post.wall else _length(job, one) for one in tall]
        first.append(_bought_text(job, post))
        off = "-" if post.cut_off is None else _length(job, post.cut_off)
        first.append("whole" if post.whole else off)
        for index, face in enumerate(post.faces or (None,)):
            rows.append((first if index == 0 else [""] * len(first)) + _face_cells(job, face))
    heads = ["post", "stands on", "height", "buy", "cut off", "face", "bottom", "top"]
    if longer:
        heads[1:3] = ["beside", "height", "length"]
    over = "from the surface beside the post" if longer else "from the surface the post stands on"
    right = range(2, len(heads) + 1)
    return f"Posts, and bracket marks up each face {over}\n" + table(
        heads, rows, tuple(k for k in right if k != heads.index("face"))
    )


def _bought_text(job: Job, post: PostCut) -> str:
    """The stock to buy, or why none is bought for this place."""
    if post.wall:
        return "-"
    if post.same_as is not None:
        return f"is {post.same_as[0]}.{post.same_as[1]}"
    return "none" if post.stock is None else _length(job, post.stock)


def _face_cells(job: Job, face: FaceMarks | None) -> list[str]:
    if face is None:
        return ["-", "-", "-"]
    return [face.name, _length(job, face.bottom), _length(job, face.top)]


def _brackets_text(cuts: CutList, section: Section) -> str:
    places: dict[tuple, list[str]] = {}
    for place in cuts.brackets:
        if place.section == section.number and place.rail == TOP:
            key = (place.kind, round(abs(place.swing), 1), place.turn, place.quantity)
            places.setdefault(key, []).append(place.place)
    lines = []
    for (kind, swing, turn, hands), where in places.items():
        angle = f", {swing:.1f}° from level" if swing else ""
        plan = f", plan turn {turn:g}°" if turn else ""
        if abs(turn) == RIGHT_ANGLE:  # square to another face, so an ordinary bracket
            plan = f", on the {LEFT if turn > 0 else RIGHT}-hand face"
        count = 2 * len(where) * hands
        each = "two each on post" if hands == 1 else "two each on either hand's post"
        text = f"{kind}{angle}{plan}: {count}, {each} {'; '.join(where)}"
        lines.append(wrap(text, "  ", "    "))
    return "\n".join(["Brackets", *lines])


def _buying_text(job: Job, cuts: CutList, plans: Sequence[RailPlan]) -> str:
    items = list(_buy_items(job, cuts, plans))
    rows = [
        [str(quantity), item, "" if length is None else _length(job, length)]
        for item, length, quantity, _ in items
    ]
    lines = table(["quantity", "item", "length"], rows, (0, 2)).splitlines()
    wide = max(map(len, lines))
    for number, (_, _, _, note) in enumerate(items, start=1):
        if note and wide + 2 + len(note) <= WIDTH:
            lines[number] = f"{lines[number].ljust(wide)}  {note}"
        elif note:
            lines[number] += "\n" + wrap(note, " " * 12, " " * 12)
    return "\n".join(["Buying list", *lines])


def _notes(job: Job, cuts: CutList, plans: Sequence[RailPlan]) -> list[str]:
    notes = []
    if any(rail.plan.rails for rail in plans):
        notes.append(
            "Saw by the cutting plan. A rail may start at another hole of the stock there than in "
            "the cut list, and its spacing comes out the same. Count the holes, then cut"
        )
    if len(plans) == 1:
        notes.append(
            "Top and bottom rails are equally deep and taken for one and the same stock; where "
            "they are not, plan them apart (--rails-apart)"
        )
    if any(cut.warnings for cut in cuts.rails):
        notes.append(
            f"A hole is wanted {_length(job, cuts.least_edge)} clear of a cut, as wide as a "
            "baluster (common practice, no source)"
        )
    notes.append("Screws and anchors are the maker's and the designer's to name")
    return notes


# --------------------------------------------------------------------------- buying


def _buy_items(
    job: Job, cuts: CutList, plans: Sequence[RailPlan]
) -> list[tuple[str, Fraction | None, int, str]]:
    """Item, length where it has one, how many, and what else to know."""
    items: list[tuple[str, Fraction | None, int, str]] = []
    for rail_plan in plans:
        name = "rail" if len(rail_plan.rails) == 2 else f"{rail_plan.rails[0]} rail"
        items += [(name, length, count, "") for length, count in rail_plan.plan.stock_counts]
        if rail_plan.plan.unplaced:
            items.append((name, None, len(rail_plan.plan.unplaced), "no stock length serves"))
    for stock, count in cuts.posts_by_stock:
        if stock is not None:
            items.append(("post", stock, count, _longer(cuts, stock)))
            continue
        missing = [post for post in cuts.posts if post.stock is None and post.bought]
        note = "no stock length serves" if job.post.stock else "no stock lengths in the job"
        note = f"at least; {note}" + (f"; {more}" if (more := _longer(cuts, None)) else "")
        items.append(("post", max(post.length for post in missing), count, note))
    if cuts.base_plates:
        items.append(("base plate", job.post.base, cuts.base_plates, "square"))
    items += [(f"bracket, {kind}", None, count, "") for kind, count in cuts.brackets_by_kind]
    items.append(("baluster", None, cuts.balusters, ""))
    return items


def _longer(cuts: CutList, stock: Fraction | None) -> str:
    """How many posts from a stock go on below their surface, and what that asks for."""
    low = sum(post.quantity for post in cuts.posts if post.is_longer and post.stock == stock)
    return f"{low} of them longer: goes on below the surface" if low else ""


# --------------------------------------------------------------------------- CSV


def _post_warning(job: Job, post: PostCut) -> str:
    if post.same_as is not None:
        return f"same post as {post.same_as[0]}.{post.same_as[1]}; bought once"
    if post.is_longer:
        none = "" if post.stock is not None or not job.post.stock else "no stock length serves; "
        return f"{none}goes on below its surface: add that length"
    if post.wall or post.stock is not None or not job.post.stock:
        return ""
    return "no stock length serves"


def _cut_rows(answer: Answer, cuts: CutList) -> list[list[str]]:
    job, unit = answer.job, answer.job.units
    hands = {section.number: section.hand for section in answer.guard.sections}
    rows = [
        [
            "piece",
            "section",
            "bay_or_post",
            f"cut_length_{unit}",
            f"stock_{unit}",
            f"off_low_{unit}",
            f"off_high_{unit}",
            "holes_lost_low",
            "holes_lost_high",
            "balusters",
            "saw_degrees_from_square",
            f"running_marks_{unit}",
            "warnings",
            "quantity",
            "hand",
            "low_miter_degrees",
            "low_bevel_degrees",
            "high_miter_degrees",
            "high_bevel_degrees",
            f"bracket_holes_{unit}",
        ]
    ]
    for cut in cuts.rails:
        rows.append(
            [
                f"{cut.rail} rail",
                str(cut.section),
                str(cut.bay),
                decimal(cut.length),
                decimal(cut.stock),
                decimal(cut.trim_low),
                decimal(cut.trim_high),
                str(cut.holes_lost_low),
                str(cut.holes_lost_high),
                str(cut.balusters),
                decimal(round(cut.saw_angle, 3)),
                " ".join(decimal(place) for place in cut.running),
                "; ".join(cut.warnings),
                str(cut.quantity),
                hands[cut.section],
                *(decimal(round(angle, 3)) for angle in (*cut.saw_low, *cut.saw_high)),
                "",
            ]
        )
    for post in cuts.posts:
        rows.append(
            [
                "wall" if post.wall else "post",
                str(post.section),
                str(post.post),
                "" if post.wall else decimal(post.length),
                decimal(post.stock),
                "",
                decimal(post.cut_off),
                *[""] * 4,
                marks_text(post),
                _post_warning(job, post),
                str(post.quantity),
                post.hand,
                *[""] * 4,
                holes_text_of(job, post),
            ]
        )
    return rows


def _buy_rows(job: Job, cuts: CutList, plans: Sequence[RailPlan]) -> list[list[str]]:
    rows = [["quantity", "item", f"length_{job.units}", "note"]]
    for item, length, quantity, note in _buy_items(job, cuts, plans):
        rows.append([str(quantity), item, decimal(length), note])
    return rows
