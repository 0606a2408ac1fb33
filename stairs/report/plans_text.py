"""The cutting plan on screen: which rails come out of which stock rail, and what is left over.

Beside the plan stands what it would buy if every bay of the job were cut the other way, half a
pitch over instead of evenly or evenly instead, since the holes then fall elsewhere and the rails
may go together better or worse.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from stairs.job import Job
from stairs.lengths.tape_marks import floor_to_mark
from stairs.lists.cut_list import cut_list
from stairs.lists.cutting_plan import (
    HOLES_ELSEWHERE,
    NO_ROOM_TO_MOVE,
    NO_STOCK,
    TOO_SHORT,
    TOO_THIN,
    CuttingPlan,
)
from stairs.lists.rail_plans import RailPlan, rail_plans
from stairs.parts.panel import EVEN, HALF_PITCH
from stairs.report.columns import counted, length, remark, table, wrap
from stairs.solution import Solution

WHY_NOT = {
    NO_STOCK: "the job names no stock lengths",
    TOO_SHORT: "no stock length is long enough",
    TOO_THIN: "what comes off the longest stock is thinner than the saw's cut; take a longer "
    "stock, or set the posts a little closer",
    HOLES_ELSEWHERE: "no stock length has its holes where this rail needs them",
    NO_ROOM_TO_MOVE: "no stock length is long enough to move the pattern half a spacing",
}
"""Why a rail comes out of no stock rail, in words."""


def plan_text(job: Job, rail_plan: RailPlan, first: int = 1) -> str:
    """Stock rail by stock rail what is cut where, what is left over, and what is proved.

    ``first`` is the number of its first stock rail in the whole job.
    """
    plan = rail_plan.plan
    which = f"{' and '.join(rail_plan.rails)} rails"
    lines = [wrap(f"Cutting plan, {which}; saw kerf {_length_or_exact(job, plan.kerf)}")]
    rows = []
    for number, rail in enumerate(plan.rails, start=first):
        stock = [str(number), length(job, rail.stock.length)]
        for placed in rail.placed:
            holes = f"{placed.holes_from} to {placed.holes_to}" if placed.holes_from else "none"
            cuts = [length(job, place) for place in (placed.start, placed.end)]
            rows.append([*stock, placed.piece.name, *cuts, holes])
            stock = ["", ""]
    if rows:
        heads = ["stock", "length", "piece", "first cut", "last cut", "holes"]
        lines.append(table(heads, rows, (1, 3, 4)))
        lines.append(remark(_leftovers_text(job, plan, first)))
        lines.append(remark(_verdict_text(job, plan)))
    lines += [remark(f"not cut: {piece.name}: {WHY_NOT[why]}") for piece, why in plan.unplaced]
    return "\n".join(lines)


def _length_or_exact(job: Job, value: Fraction) -> str:
    """A length that need not be on the tape: as decimals where it is not."""
    if (value / job.tape).denominator == 1:
        return length(job, value)
    return f"{float(value):g}" + ('"' if job.units == "in" else " mm")


def _leftovers_text(job: Job, plan: CuttingPlan, first: int) -> str:
    """What is left of each stock rail, longest first and never more than there is."""
    parts = []
    for number, rail in enumerate(plan.rails, start=first):
        marks = [floor_to_mark(each, job.tape) for each in rail.leftovers]
        left = [length(job, each) for each in sorted(marks, reverse=True) if each > 0]
        parts.append(f"{number}: {', '.join(left) or 'nothing'}")
    return f"left over, by stock rail: {'; '.join(parts)}"


def bought_text(job: Job, size: Fraction) -> str:
    """A length to buy, in feet or in metres."""
    per, unit = (12, "ft") if job.units == "in" else (1000, "m")
    return f"{float(size / per):.4g} {unit}"


def _verdict_text(job: Job, plan: CuttingPlan) -> str:
    """How much is bought, how much of it is waste, and whether less would do."""
    text = (
        f"{counted(len(plan.rails), 'stock rail')}, {bought_text(job, plan.bought)} of rail, "
        f"{float(plan.waste / plan.bought):.0%} waste. "
    )
    if plan.proved:
        return text + "It cannot be done with less, all rails lying the same way round"
    if plan.gap == 0:
        return text + (
            "It cannot be done with less length, all rails lying the same way round; maybe with "
            "fewer stock rails"
        )
    least = bought_text(job, plan.bound)
    return text + f"The best found in the time; it cannot be done with less than {least}"


def other_way_text(
    solution: Solution, plans: Sequence[RailPlan], kerf: Fraction | None, apart: bool
) -> str:
    """What would be bought if every rail were cut the other way; empty without a plan.

    Parameters
    ----------
    kerf, apart
        As for :func:`stairs.lists.rail_plans.rail_plans`.
    """
    if not any(rail_plan.plan.rails for rail_plan in plans):
        return ""
    ways = {bay.trims.way for section in solution.guard.sections for bay in section.bays}
    start = "Every bay cut the other way"
    if len(ways) == 1:
        start = f'With trim = "{HALF_PITCH if ways == {EVEN} else EVEN}" throughout'
    others = rail_plans(cut_list(solution, other_way=True), solution.guard, kerf, apart)
    missing = sum(len(rail_plan.plan.unplaced) for rail_plan in others)
    if missing:
        fit = "fits" if missing == 1 else "fit"
        return wrap(f"{start}, {counted(missing, 'rail')} {fit} no stock length", "", "  ")
    (bought, count), (other, other_count) = (
        (sum(one.plan.bought for one in way), sum(len(one.plan.rails) for one in way))
        for way in (plans, others)
    )
    if (bought, count) == (other, other_count):
        told = "just as much rail would be bought"
    else:
        order = "less" if (other, other_count) < (bought, count) else "more"
        told = f"{order} rail would be bought: {counted(other_count, 'stock rail')}, "
        told += f"{bought_text(solution.job, Fraction(other))}, instead of {count} and "
        told += bought_text(solution.job, Fraction(bought))
    return wrap(f"{start}, {told}", "", "  ")
