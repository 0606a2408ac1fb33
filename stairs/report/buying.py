"""The buying list: how many of what, at which length, and what else to know of it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from fractions import Fraction

from msgspec import Struct

from stairs.job import Job
from stairs.lists.cut_list import CutList
from stairs.lists.rail_plans import RailPlan
from stairs.report.columns import WIDTH, length, table, wrap
from stairs.report.cuts_text import bracket_words


class BuyItem(Struct, frozen=True):
    """One line of the list; the length where it has one, in the job's unit."""

    name: str
    length: Fraction | None
    quantity: int
    note: str = ""


def buy_items(job: Job, cuts: CutList, plans: Sequence[RailPlan]) -> list[BuyItem]:
    """Everything that is bought for a job: rails, posts, base plates, brackets, balusters."""
    items = []
    for one in plans:
        name = "rail" if len(one.rails) == 2 else f"{one.rails[0]} rail"
        items += [BuyItem(name, size, count) for size, count in one.plan.stock_counts]
        if one.plan.unplaced:
            items.append(BuyItem(name, None, len(one.plan.unplaced), "no stock length serves"))
    for stock, count in cuts.posts_by_stock:
        if stock is not None:
            items.append(BuyItem("post", stock, count, _longer(cuts, stock)))
            continue
        lacking = "no stock length serves" if job.post.stock else "no stock lengths in the job"
        note = "; ".join(filter(None, ("at least", lacking, _longer(cuts, None))))
        missing = (post.length for post in cuts.posts if post.stock is None and post.bought)
        items.append(BuyItem("post", max(missing), count, note))
    if cuts.base_plates:
        items.append(BuyItem("base plate", job.post.base, cuts.base_plates, "square"))
    items += [BuyItem(f"bracket, {kind}", None, count) for kind, count in bracket_counts(cuts)]
    items.append(BuyItem("baluster", None, cuts.balusters))
    return items


def bracket_counts(cuts: CutList) -> list[tuple[str, int]]:
    """Brackets by kind, in the order of the alphabet."""
    counts: Counter[str] = Counter()
    for place in cuts.brackets:
        counts[bracket_words(place)] += place.quantity
    return sorted(counts.items())


def _longer(cuts: CutList, stock: Fraction | None) -> str:
    """How many posts from a stock go on below their surface, and what that asks for."""
    low = sum(post.quantity for post in cuts.posts if post.is_longer and post.stock == stock)
    return f"{low} of them longer: goes on below the surface" if low else ""


def buying_text(job: Job, cuts: CutList, plans: Sequence[RailPlan]) -> str:
    """The list on screen, notes beside it where they have room."""
    items = buy_items(job, cuts, plans)
    rows = [
        [str(item.quantity), item.name, "" if item.length is None else length(job, item.length)]
        for item in items
    ]
    lines = table(["quantity", "item", "length"], rows, (0, 2)).splitlines()
    wide = max(map(len, lines))
    for number, item in enumerate(items, start=1):
        if item.note and wide + 2 + len(item.note) <= WIDTH:
            lines[number] = f"{lines[number].ljust(wide)}  {item.note}"
        elif item.note:
            lines[number] += "\n" + wrap(item.note, " " * 12, " " * 12)
    return "\n".join(["Buying list", *lines])
