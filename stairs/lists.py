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

from stairs.answer import Answer
from stairs.columns import table, wrap
from stairs.cuts import BOTTOM, TOP, CutList, FaceMarks, PostCut, RailCut, TrimChoice, cut_list
from stairs.cutting_network import ONE_EACH
from stairs.cutting_plan import CuttingPlan
from stairs.guard import Section
from stairs.job import Job
from stairs.marks import floor_to_mark, length_text, round_to_mark
from stairs.panel import Trim
from stairs.rail_plans import RailPlan, rail_plans

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
    blocks = [wrap(f"Cut list: {job.title}" if job.title else "Cut list")]
    for section in answer.guard.sections:
        blocks += [
            _name(section),
            _rails_text(job, cuts, section),
            _posts_text(job, cuts, section),
            _brackets_text(cuts, section),
            _set_out_text(job, section),
        ]
    blocks += [_plan_text(job, plan) for plan in plans]
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
        rows = _cut_rows(answer.job, cuts)
    elif which == "buy":
        rows = _buy_rows(answer.job, cuts, rail_plans(cuts, answer.guard, kerf, apart))
    elif which == "set-out":
        rows = _set_out_rows(answer, cuts)
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
    return wrap(f"{kind} {section.number}" + (f", {section.name}" if section.name else ""))


def _running(job: Job, places: Iterable[Fraction]) -> str:
    return ", ".join(_length(job, place) for place in places)


def _alike(cuts: Sequence[RailCut]) -> list[list[RailCut]]:
    """Rails of one section that are cut and marked in the same way."""
    groups: dict[tuple, list[RailCut]] = {}
    for cut in cuts:
        key = (cut.length, cut.stock, cut.trim_low, cut.running, cut.way, cut.warnings)
        groups.setdefault(key, []).append(cut)
    return list(groups.values())


def _bays(cuts: Iterable[RailCut]) -> str:
    return ", ".join(str(bay) for bay in dict.fromkeys(cut.bay for cut in cuts))


def _rails_text(job: Job, cuts: CutList, section: Section) -> str:
    own = [cut for cut in cuts.rails if cut.section == section.number]
    rows, remarks = [], []
    for group in _alike(own):
        cut = group[0]
        none = cut.stock is None
        rows.append(
            [
                _short(_bays(group)),
                str(len(group)),
                _length(job, cut.length),
                "none" if none else _length(job, cut.stock),
                "-" if none else f"{_length(job, cut.trim_low)} / {_length(job, cut.trim_high)}",
                str(cut.balusters),
            ]
        )
        start = f"bay {_bays(group)}, "
        if cut.running:
            text = f"{start}holes from the lower cut: {_running(job, cut.running)}"
            remarks.append(wrap(text, "  ", "    "))
        if not none and cut.running:
            text = (
                f"{start}holes lost: {cut.holes_lost_low} low, {cut.holes_lost_high} high; left "
                f"between cut and nearest whole hole: {_length(job, cut.edge_low)} low, "
                f"{_length(job, cut.edge_high)} high"
            )
            remarks.append(wrap(text, "  ", "    "))
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
    return "square cuts" if cut.saw_angle == 0 else f"saw turned {cut.saw} from square"


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
    gaps = sorted({_length(job, float(trim.end_gap_low)), _length(job, float(trim.end_gap_high))})
    balusters = "1 baluster" if trim.balusters == 1 else f"{trim.balusters} balusters"
    return f"{_length(job, trim.stock)} stock, {balusters}, end gaps {' and '.join(gaps)}"


def _posts_text(job: Job, cuts: CutList, section: Section) -> str:
    rows = []
    for post in cuts.posts:
        if post.section != section.number:
            continue
        first = [str(post.post), post.stands_on]
        first += ["-" if post.wall else _length(job, post.height), _bought_text(job, post)]
        first += ["-" if post.cut_off is None else _length(job, post.cut_off)]
        for index, face in enumerate(post.faces or (None,)):
            rows.append((first if index == 0 else [""] * len(first)) + _face_cells(job, face))
    heads = ["post", "stands on", "height", "buy", "cut off", "bay", "bottom", "top"]
    return "Posts, and bracket marks up each face from the surface the post stands on\n" + table(
        heads, rows, (2, 3, 4, 6, 7, 8)
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
    return [f"{face.side} {face.bay}", _length(job, face.bottom), _length(job, face.top)]


def _brackets_text(cuts: CutList, section: Section) -> str:
    places: dict[tuple, list[str]] = {}
    for place in cuts.brackets:
        if place.section == section.number and place.rail == TOP:
            key = (place.kind, round(abs(place.swing), 1), place.turn)
            places.setdefault(key, []).append(f"{place.post} ({place.side})")
    lines = []
    for (kind, swing, turn), where in places.items():
        angle = f", {swing:.1f}° from level" if swing else ""
        plan = f", plan turn {turn:g}°" if turn else ""
        text = f"{kind}{angle}{plan}: {2 * len(where)}, two each on post {', '.join(where)}"
        lines.append(wrap(text, "  ", "    "))
    return "\n".join(["Brackets", *lines])


def _set_out_text(job: Job, section: Section) -> str:
    datum = "nosing" if section.kind == "flight" else "post's centre"
    rows = [
        [str(post.number), *(_length(job, place) for place in _post_places(job, post))]
        for post in section.posts
    ]
    return f"Setting out: all from the first {datum}, level, never from post to post\n" + table(
        ["post", "lower face", "centre", "upper face"], rows, (1, 2, 3)
    )


def _post_places(job: Job, post) -> tuple[Fraction, Fraction, Fraction]:
    """Lower face, centre and upper face on the tape's marks, each rounded by itself."""
    centre, half = Fraction(post.x), Fraction(post.width) / 2
    return tuple(round_to_mark(place, job.tape) for place in (centre - half, centre, centre + half))


def _plan_text(job: Job, rail_plan: RailPlan) -> str:
    plan = rail_plan.plan
    which = f"{' and '.join(rail_plan.rails)} rails"
    lines = [wrap(f"Cutting plan, {which}; saw kerf {_length_or_exact(job, plan.kerf)}")]
    rows = []
    for number, rail in enumerate(plan.rails, start=1):
        for index, placed in enumerate(rail.placed):
            holes = f"{placed.holes_from} to {placed.holes_to}" if placed.holes_from else "none"
            rows.append(
                [
                    str(number) if index == 0 else "",
                    _length(job, rail.stock.length) if index == 0 else "",
                    placed.piece.name,
                    _length(job, placed.start),
                    _length(job, placed.end),
                    holes,
                ]
            )
    if rows:
        heads = ["stock", "length", "piece", "low cut", "high cut", "holes"]
        lines.append(table(heads, rows, (1, 3, 4)))
        lines.append(_leftovers_text(job, plan))
        lines.append(_verdict_text(job, plan))
    lines += [wrap(f"not cut: {piece.name}: {why}", "  ", "    ") for piece, why in plan.unplaced]
    return "\n".join(lines)


def _length_or_exact(job: Job, value: Fraction) -> str:
    """A length that need not be on the tape: as decimals where it is not."""
    if (value / job.tape).denominator == 1:
        return _length(job, value)
    return f"{float(value):g}" + ('"' if job.units == "in" else " mm")


def _leftovers_text(job: Job, plan: CuttingPlan) -> str:
    """What is left of each stock rail, longest first and never more than there is."""
    parts = []
    for number, rail in enumerate(plan.rails, start=1):
        marks = [floor_to_mark(length, job.tape) for length in rail.leftovers]
        left = [_length(job, length) for length in sorted(marks, reverse=True) if length > 0]
        parts.append(f"{number}: {', '.join(left) or 'nothing'}")
    return wrap(f"left over, by stock rail: {'; '.join(parts)}", "  ", "    ")


def _verdict_text(job: Job, plan: CuttingPlan) -> str:
    count = len(plan.rails)
    rails = "1 stock rail" if count == 1 else f"{count} stock rails"
    share = float(plan.waste / plan.bought)
    text = f"{rails}, {_length(job, plan.bought)} in all, of which {share:.0%} is in no rail. "
    if plan.proved:
        text += "Proved: no plan buys less, and none that buys as little takes fewer"
    elif plan.method == ONE_EACH:
        text += "Not proved: one stock rail for each piece; a better plan may exist"
    elif plan.gap == 0:
        text += "Proved: no plan buys less; one with fewer stock rails may exist"
    else:
        text += f"Not proved: a plan may exist that buys as little as {_length(job, plan.bound)}"
    return wrap(text, "  ", "  ")


def _buying_text(job: Job, cuts: CutList, plans: Sequence[RailPlan]) -> str:
    rows = []
    for item, length, quantity, note in _buy_items(job, cuts, plans):
        size = "" if length is None else _length(job, length)
        rows.append([str(quantity), item, size, note])
    return "Buying list\n" + table(["quantity", "item", "length", "note"], rows, (0, 2))


def _notes(job: Job, cuts: CutList, plans: Sequence[RailPlan]) -> list[str]:
    notes = []
    if any(rail.plan.rails for rail in plans):
        notes.append(
            "In the cutting plan a rail may lie whole pitches away from its trim in the cut list: "
            "its holes fall at the same places. Count the holes, then cut"
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
            items.append(("post", stock, count, ""))
            continue
        missing = [post for post in cuts.posts if post.stock is None and post.bought]
        note = "no stock length serves" if job.post.stock else "no stock lengths in the job"
        items.append(("post", max(post.height for post in missing), count, f"at least; {note}"))
    if cuts.base_plates:
        items.append(("base plate", job.post.base, cuts.base_plates, "square"))
    items += [(f"bracket, {kind}", None, count, "") for kind, count in cuts.brackets_by_kind]
    items.append(("baluster", None, cuts.balusters, ""))
    return items


# --------------------------------------------------------------------------- CSV


def _decimal(value: Fraction | float | None) -> str:
    if value is None:
        return ""
    return f"{float(value):.6f}".rstrip("0").rstrip(".")


def _post_warning(job: Job, post: PostCut) -> str:
    if post.same_as is not None:
        return f"same post as {post.same_as[0]}.{post.same_as[1]}; bought once"
    if post.wall or post.stock is not None or not job.post.stock:
        return ""
    return "no stock length serves"


def _cut_rows(job: Job, cuts: CutList) -> list[list[str]]:
    unit = job.units
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
        ]
    ]
    for cut in cuts.rails:
        rows.append(
            [
                f"{cut.rail} rail",
                str(cut.section),
                str(cut.bay),
                _decimal(cut.length),
                _decimal(cut.stock),
                _decimal(cut.trim_low),
                _decimal(cut.trim_high),
                str(cut.holes_lost_low),
                str(cut.holes_lost_high),
                str(cut.balusters),
                _decimal(round(cut.saw_angle, 3)),
                " ".join(_decimal(place) for place in cut.running),
                "; ".join(cut.warnings),
            ]
        )
    for post in cuts.posts:
        rows.append(
            [
                "wall" if post.wall else "post",
                str(post.section),
                str(post.post),
                "" if post.wall else _decimal(post.height),
                _decimal(post.stock),
                "",
                _decimal(post.cut_off),
                *[""] * 4,
                _post_marks(post),
                _post_warning(job, post),
            ]
        )
    return rows


def _post_marks(post: PostCut) -> str:
    return "; ".join(
        f"{face.side} {rail} {_decimal(height)}"
        for face in post.faces
        for rail, height in ((BOTTOM, face.bottom), (TOP, face.top))
    )


def _buy_rows(job: Job, cuts: CutList, plans: Sequence[RailPlan]) -> list[list[str]]:
    rows = [["quantity", "item", f"length_{job.units}", "note"]]
    for item, length, quantity, note in _buy_items(job, cuts, plans):
        rows.append([str(quantity), item, _decimal(length), note])
    return rows


def _set_out_rows(answer: Answer, cuts: CutList) -> list[list[str]]:
    job = answer.job
    unit = job.units
    rows = [
        [
            "section",
            "post",
            "from",
            f"lower_face_{unit}",
            f"centre_{unit}",
            f"upper_face_{unit}",
            "stands_on",
            f"post_height_{unit}",
            f"marks_above_surface_{unit}",
        ]
    ]
    by_place = {(post.section, post.post): post for post in cuts.posts}
    for section in answer.guard.sections:
        for post in section.posts:
            cut = by_place[section.number, post.number]
            rows.append(
                [
                    str(section.number),
                    str(post.number),
                    "first nosing" if section.kind == "flight" else "first post",
                    *(_decimal(place) for place in _post_places(job, post)),
                    post.stands_on,
                    _decimal(cut.height),
                    _post_marks(cut),
                ]
            )
    return rows
