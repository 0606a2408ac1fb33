"""Lists as CSV: the cut list, the buying list and the setting-out table for other people's scripts.

Plain decimal numbers in the job's unit, which the head of each column names.  The heads are a
contract.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from fractions import Fraction

from stairs.guard.sides import BOTH, LEFT, RIGHT
from stairs.job import Job
from stairs.lengths.tape_marks import round_to_mark
from stairs.lists.cut_list import CutList, cut_list
from stairs.lists.post_cuts import BOTTOM, TOP, PostCut
from stairs.lists.rail_plans import RailPlan, placed_rails, rail_plans
from stairs.lists.setting_out import Place, faces, places
from stairs.parts.bracket_holes import hole_heights
from stairs.report.buying import buy_items
from stairs.report.cuts_text import rail_warnings
from stairs.solution import Solution

CSV_LISTS = ("cut", "buy", "set-out")


def list_csv(
    solution: Solution, which: str, kerf: Fraction | None = None, apart: bool = False
) -> str:
    """One list as CSV, with a head line.

    Parameters
    ----------
    which : str
        ``"cut"``, ``"buy"`` or ``"set-out"``.
    kerf, apart
        As for :func:`stairs.lists.rail_plans.rail_plans`.

    Raises
    ------
    ValueError
        For another list.
    """
    if which not in CSV_LISTS:
        raise ValueError(f'there is no list "{which}"; there are {", ".join(CSV_LISTS)}')
    cuts = cut_list(solution)
    if which == "set-out":
        rows = _set_out_rows(solution, cuts)
    else:
        plans = rail_plans(cuts, solution.guard, kerf, apart)
        rows = (_cut_rows if which == "cut" else _buy_rows)(solution, cuts, plans)
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerows(rows)
    return out.getvalue()


def decimal(value: Fraction | float | None) -> str:
    """A number as CSV holds it, at most six decimals; empty for None.

    Examples
    --------
    >>> decimal(Fraction(59, 16)), decimal(None)
    ('3.6875', '')
    """
    if value is None:
        return ""
    return f"{float(value):.6f}".rstrip("0").rstrip(".")


# --------------------------------------------------------------------------- cut


def _cut_rows(solution: Solution, cuts: CutList, plans: Sequence[RailPlan]) -> list[list[str]]:
    unit = solution.job.units
    head = [
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
        "plan_stock_rail",
        f"plan_low_cut_{unit}",
    ]
    return [head, *_rail_rows(solution, cuts, plans), *_post_rows(solution.job, cuts)]


def _rail_rows(solution: Solution, cuts: CutList, plans: Sequence[RailPlan]) -> list[list[str]]:
    hands = {section.number: section.hand for section in solution.guard.sections}
    planned = placed_rails(plans)
    rows = []
    for cut in cuts.rails:
        found = [planned[name] for name in cut.piece_names if name in planned]
        low, high = cut.low, cut.high
        starts = (decimal(round_to_mark(one.placed.start, solution.job.tape)) for one in found)
        rows.append(
            [
                f"{cut.rail} rail",
                str(cut.section),
                str(cut.bay),
                *map(decimal, (cut.length, cut.stock, low.trim, high.trim)),
                *map(str, (low.holes_lost, high.holes_lost, cut.balusters)),
                decimal(round(cut.saw_angle, 3)),
                " ".join(map(decimal, cut.running)),
                "; ".join(rail_warnings(solution, cut)),
                str(cut.quantity),
                hands[cut.section],
                *(
                    decimal(round(angle, 3))
                    for angle in (low.miter, low.bevel, high.miter, high.bevel)
                ),
                "",
                "; ".join(str(one.number) for one in found),
                "; ".join(starts),
            ]
        )
    return rows


def _post_rows(job: Job, cuts: CutList) -> list[list[str]]:
    return [
        [
            "wall" if post.wall else "post",
            str(post.section),
            str(post.post),
            "" if post.wall else decimal(post.length),
            decimal(post.stock),
            "",
            decimal(post.cut_off),
            *[""] * 4,
            _marks(post),
            _post_warning(job, post),
            str(post.quantity),
            post.hand,
            *[""] * 4,
            _holes(job, post),
            "",
            "",
        ]
        for post in cuts.posts
    ]


def _post_warning(job: Job, post: PostCut) -> str:
    if post.same_as is not None:
        return f"same post as {post.same_as[0]}.{post.same_as[1]}; bought once"
    if post.done:
        return "cut already"
    lacking = job.post.stock and post.stock is None and not post.wall
    texts = ["no stock length serves"] if lacking else []
    if post.is_longer:
        texts.append("goes on below its surface: add that length")
    return "; ".join(texts)


def _marks(post: PostCut) -> str:
    """Bracket marks of one post."""
    return "; ".join(
        f"{face.side} {rail} {decimal(height)}"
        for face in post.faces
        for rail, height in ((BOTTOM, face.bottom), (TOP, face.top))
    )


def _holes(job: Job, post: PostCut) -> str:
    """Heights at which the faces of one post are drilled; empty without holes."""
    if not job.bracket.holes:
        return ""
    told = []
    for face in post.faces:
        for rail, pin in ((BOTTOM, face.bottom), (TOP, face.top)):
            heights = sorted({height for _, height in hole_heights(job.bracket, pin)})
            told.append(f"{face.side} {rail} {' '.join(map(decimal, heights))}")
    return "; ".join(told)


# --------------------------------------------------------------------------- buy, set out


def _buy_rows(solution: Solution, cuts: CutList, plans: Sequence[RailPlan]) -> list[list[str]]:
    rows = [["quantity", "item", f"length_{solution.job.units}", "note"]]
    for item in buy_items(solution.job, cuts, plans):
        rows.append([str(item.quantity), item.name, decimal(item.length), item.note])
    return rows


def _set_out_rows(solution: Solution, cuts: CutList) -> list[list[str]]:
    """One row for each post of each section on each hand."""
    job = solution.job
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
            f"along_the_job_{unit}",
            f"plan_x_{unit}",
            f"plan_y_{unit}",
            f"surface_level_{unit}",
            "hand",
        ]
    ]
    by_place: dict[tuple[int, int, str], PostCut] = {}
    for cut in cuts.posts:
        for hand in (RIGHT, LEFT) if cut.hand == BOTH else (cut.hand,):
            by_place[cut.section, cut.post, hand] = cut
    whole: dict[tuple[int, int, str], Place] = {}
    for place in places(solution.guard):
        whole[place.section, place.post, place.hand] = place
        if place.also is not None:
            whole[*place.also, place.hand] = place
    for section in solution.guard.sections:
        for post, hand in ((post, hand) for hand in section.hands for post in section.posts):
            cut = by_place[section.number, post.number, hand]
            place = whole[section.number, post.number, hand]
            figures = (place.running, place.x, place.y, place.surface)
            rows.append(
                [
                    str(section.number),
                    str(post.number),
                    "first nosing" if section.kind == "flight" else "first post",
                    *map(decimal, faces(job, post)),
                    post.stands_on,
                    decimal(cut.height),
                    _marks(cut),
                    *(
                        "" if figure is None else decimal(round_to_mark(figure, job.tape))
                        for figure in figures
                    ),
                    hand,
                ]
            )
    return rows
