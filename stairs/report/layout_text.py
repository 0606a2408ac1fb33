"""Layout and framing as a person on site reads them: two short blocks of plain text.

The first says where the posts were put and why there; the second what lies under them, post by
post, and which blocks to cut before the decking goes on.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from functools import partial

from stairs.guard.framing_plan import FramingPlan, PostFraming
from stairs.job import Job
from stairs.layout.search import LayoutChoice
from stairs.report.columns import length, remark, table, wrap

ASIDE = "past, before: of the joist or the gap, from the center of the post"
"""What :func:`aside_text` means by its words."""


def layout_text(job: Job, choice: LayoutChoice | None) -> str:
    """Why the posts stand where they do; empty where the job says so itself."""
    if choice is None:
        return ""
    lines = ["Layout: the posts were placed", *map(remark, choice.score)]
    if choice.runner_up is not None:
        places = ", ".join(length(job, float(x)) for x in choice.runner_up)
        lines.append(remark(f"next best: posts at {places}; {choice.why_it_lost}"))
    return "\n".join([*lines, *(remark(text, "note: ") for text in choice.notes)])


def framing_text(job: Job, plan: FramingPlan | None) -> str:
    """What lies under the posts of a level run; empty where the job tells nothing of it."""
    if plan is None:
        return ""
    head = (
        f"Framing: joists {length(job, plan.joist_thickness)} thick, "
        f"{length(job, plan.joist_spacing)} on center, {plan.direction} "
        + ("the deck edge" if any(post.hand for post in plan.posts) else "the guard")
    )
    heads = ["post", "x", "lands", "nearest joist", "board gap", "blocks"]
    lines = [
        wrap(head, "", "  "),
        table(heads, [_post_row(job, post) for post in plan.posts], (0, 1, 3, 4, 5)),
        remark(ASIDE),
    ]
    blocks = [block for post in plan.posts for block in post.blocks]
    if blocks:
        lines.append(
            remark(
                "each block is two framing boards face to face, "
                f"{length(job, blocks[0].thickness)} thick, fitted between the joists before the "
                "decking goes on (common practice)"
            )
        )
    for post in plan.posts:
        lines += [remark(f"post {post.post}: {text}", "warning: ") for text in post.warnings]
    return "\n".join([*lines, *(remark(text, "note: ") for text in plan.notes)])


def _post_row(job: Job, post: PostFraming) -> list[str]:
    shown = partial(length, job)
    first = [f"{post.post} {post.hand}".strip(), shown(post.x)]
    if post.same_as is not None:
        return [*first, "is post {}.{}".format(*post.same_as), "-", "-", "-"]
    cuts = Counter(
        "?" if block.length is None else length(job, block.length) for block in post.blocks
    )
    return [
        *first,
        post.lands,
        f"{post.nearest_joist}, {aside_text(job, post.to_joist, shown)}",
        "-" if post.to_gap is None else aside_text(job, post.to_gap, shown),
        ", ".join(f"{n} of {cut}" for cut, n in cuts.items()) or "-",
    ]


def aside_text(job: Job, value: float, shown: Callable[[float], str]) -> str:
    """How far past the post's center something lies, or before it; ``shown`` letters a length."""
    if abs(value) < float(job.tape) / 2:
        return "at it"
    return f"{shown(abs(value))} {'past' if value > 0 else 'before'}"
