"""Layout and framing as a person on site reads them: two short blocks of plain text.

The first says where the posts were put and why there; the second what lies under them, post by
post, and which blocks to cut before the decking goes on.
"""

from __future__ import annotations

from collections import Counter

from stairs.guard.framing_plan import FramingPlan
from stairs.job import Job
from stairs.layout.search import LayoutChoice
from stairs.report.columns import length, table, wrap


def layout_text(job: Job, choice: LayoutChoice | None) -> str:
    """Why the posts stand where they do; empty where the job says so itself.

    Parameters
    ----------
    job : stairs.job.Job
        For units and tape.
    choice : LayoutChoice or None
        Of one section.

    Returns
    -------
    str
        Lines of at most 80 columns.
    """
    if choice is None:
        return ""
    lines = ["Layout: the posts were placed"]
    for text in choice.score:
        lines += wrap(text, "  ", "    ").splitlines()
    if choice.runner_up is not None:
        places = ", ".join(length(job, float(x)) for x in choice.runner_up)
        text = f"next best: posts at {places}; {choice.why_it_lost}"
        lines += wrap(text, "  ", "    ").splitlines()
    for text in choice.notes:
        lines += wrap(text, "  note: ", "    ").splitlines()
    return "\n".join(lines)


def framing_text(job: Job, plan: FramingPlan | None) -> str:
    """What lies under the posts of a level run; empty where the job tells nothing of it.

    Parameters
    ----------
    job : stairs.job.Job
        For units and tape.
    plan : FramingPlan or None
        Of one section.

    Returns
    -------
    str
        Lines of at most 80 columns.
    """
    if plan is None:
        return ""
    head = (
        f"Framing: joists {length(job, plan.joist_thickness)} thick, "
        f"{length(job, plan.joist_spacing)} on centre, {plan.direction} "
        + ("the deck edge" if any(post.hand for post in plan.posts) else "the guard")
    )
    lines = wrap(head, "", "  ").splitlines()
    rows = []
    for post in plan.posts:
        cuts = Counter(
            "?" if block.length is None else length(job, block.length) for block in post.blocks
        )
        number = f"{post.post} {post.hand}".strip()
        if post.same_as is not None:
            told = "is post {}.{}".format(*post.same_as)
            rows.append([number, length(job, post.x), told, "-", "-", "-"])
            continue
        rows.append(
            [
                number,
                length(job, post.x),
                post.lands,
                _signed(job, post.to_joist),
                "-" if post.to_gap is None else _signed(job, post.to_gap),
                ", ".join(f"{n} of {cut}" for cut, n in cuts.items()) or "-",
            ]
        )
    heads = ["post", "x", "lands", "to joist", "to gap", "blocks"]
    lines.append(table(heads, rows, (0, 1, 3, 4, 5)))
    blocks = [block for post in plan.posts for block in post.blocks]
    if blocks:
        text = (
            f"each block is two framing boards face to face, {length(job, blocks[0].thickness)} "
            "thick, fitted between the joists before the decking goes on (common practice)"
        )
        lines += wrap(text, "  ", "    ").splitlines()
    for post in plan.posts:
        for text in post.warnings:
            lines += wrap(f"post {post.post}: {text}", "  warning: ", "    ").splitlines()
    for text in plan.notes:
        lines += wrap(text, "  note: ", "    ").splitlines()
    return "\n".join(lines)


def _signed(job: Job, value: float) -> str:
    text = length(job, abs(value))
    return text if abs(value) < float(job.tape) / 2 else f"{'+' if value > 0 else '-'}{text}"
