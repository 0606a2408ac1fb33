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
from stairs.lists.cutting_plan import CuttingPlan
from stairs.lists.rail_plans import RailPlan, rail_plans
from stairs.parts.panel import EVEN, HALF_PITCH
from stairs.report.columns import length, table, wrap
from stairs.solution import Answer


def plan_text(job: Job, rail_plan: RailPlan, first: int = 1) -> str:
    """Stock rail by stock rail what is cut where, what is left over, and what is proved.

    Parameters
    ----------
    job : stairs.job.Job
        For units and tape.
    rail_plan : RailPlan
        Of one kind of stock.
    first : int
        The number of its first stock rail in the whole job.
    """
    plan = rail_plan.plan
    which = f"{' and '.join(rail_plan.rails)} rails"
    lines = [wrap(f"Cutting plan, {which}; saw kerf {_length_or_exact(job, plan.kerf)}")]
    rows = []
    for number, rail in enumerate(plan.rails, start=first):
        for index, placed in enumerate(rail.placed):
            holes = f"{placed.holes_from} to {placed.holes_to}" if placed.holes_from else "none"
            rows.append(
                [
                    str(number) if index == 0 else "",
                    length(job, rail.stock.length) if index == 0 else "",
                    placed.piece.name,
                    length(job, placed.start),
                    length(job, placed.end),
                    holes,
                ]
            )
    if rows:
        heads = ["stock", "length", "piece", "low cut", "high cut", "holes"]
        lines.append(table(heads, rows, (1, 3, 4)))
        lines.append(_leftovers_text(job, plan, first))
        lines.append(_verdict_text(job, plan))
    lines += [wrap(f"not cut: {piece.name}: {why}", "  ", "    ") for piece, why in plan.unplaced]
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
    return wrap(f"left over, by stock rail: {'; '.join(parts)}", "  ", "    ")


def _verdict_text(job: Job, plan: CuttingPlan) -> str:
    count = len(plan.rails)
    rails = "1 stock rail" if count == 1 else f"{count} stock rails"
    share = float(plan.waste / plan.bought)
    text = f"{rails}, {length(job, plan.bought)} in all, of which {share:.0%} is in no rail. "
    way = "with all rails lying the same way round"
    if plan.proved:
        text += f"Proved: no plan buys less {way}, and none that buys as little takes fewer"
    elif plan.gap == 0:
        text += f"Proved: no plan buys less {way}; one with fewer stock rails may exist"
    else:
        least = length(job, plan.bound)
        text += f"Not proved: the best found in the time. No plan buys less than {least}"
    return wrap(text, "  ", "  ")


def other_way_text(
    answer: Answer, plans: Sequence[RailPlan], kerf: Fraction | None, apart: bool
) -> str:
    """What would be bought if every rail were cut the other way; empty without a plan.

    Parameters
    ----------
    answer : Answer
        Of a job.
    plans : sequence of RailPlan
        As the job has it.
    kerf, apart
        As for :func:`stairs.lists.rail_plans.rail_plans`.
    """
    if not any(rail_plan.plan.rails for rail_plan in plans):
        return ""
    job = answer.job
    ways = {bay.way for section in answer.guard.sections for bay in section.bays}
    others = rail_plans(cut_list(answer, other_way=True), answer.guard, kerf, apart)
    start = "Every bay cut the other way"
    if len(ways) == 1:
        way = HALF_PITCH if ways == {EVEN} else EVEN
        start = f'Cut the other way throughout (trim = "{way}")'
    missing = sum(len(rail_plan.plan.unplaced) for rail_plan in others)
    if missing:
        rails = "1 rail fits" if missing == 1 else f"{missing} rails fit"
        return wrap(f"{start}, {rails} no stock length", "", "  ")
    bought, other = (sum(each.plan.bought for each in each_way) for each_way in (plans, others))
    count, other_count = (
        sum(len(each.plan.rails) for each in each_way) for each_way in (plans, others)
    )
    if (bought, count) == (other, other_count):
        order = "just as much"
    else:
        order = "less" if (other, other_count) < (bought, count) else "more"
    return wrap(
        f"{start}, the job would take {other_count} stock rails, {length(job, other)} in all: "
        f"{order}; as listed it takes {count} and {length(job, bought)}",
        "",
        "  ",
    )
