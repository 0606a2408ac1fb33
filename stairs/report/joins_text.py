"""The joins between sections as a person on site reads them.

One block for the whole job: which post serves which two sections, how tall it is and why, by how
much the rails step there, and how the brackets turn and the saw is set where rails meet it askew.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import radians, tan

from stairs.guard.shared_posts import Join, RailAtJoin, SawSetting
from stairs.job import Job
from stairs.lists.post_cuts import both_names
from stairs.report.columns import length, remark, table


def joins_text(job: Job, joins: Sequence[Join]) -> str:
    """Every join of a job, in lines of at most 80 columns; empty where there is none."""
    if not joins:
        return ""
    rows = [
        [
            both_names(join.lower, join.below.post, (join.upper, join.above.post)),
            _turn(join.turn),
            length(job, join.height),
            "both alike" if join.governed_by is None else f"section {join.governed_by}",
            _step(job, join.top_step),
            _step(job, join.bottom_step),
        ]
        for join in joins
    ]
    heads = ["post", "turn", "height", "taller in", "top rails", "bottom rails"]
    lines = [
        "Posts that serve two sections: the taller of the two rules. Rails step from the",
        "lower section's to the upper's, plumb, at the faces where they end",
        table(heads, rows, (1, 2, 4, 5)),
    ]
    for join in joins:
        name = f"post {join.lower}.{join.below.post}: "
        texts = [_askew(job, rails) for rails in (join.below, join.above) if rails.skew]
        lines += [remark(f"{name}{text}") for text in (*texts, join.remark) if text]
    return "\n".join(lines)


def _turn(turn: float) -> str:
    if turn == 0:
        return "straight"
    return f"{abs(turn):.4g}° {'left' if turn > 0 else 'right'}"


def _step(job: Job, step: float) -> str:
    text = length(job, abs(step))
    if text == length(job, 0.0):
        return "none"
    return f"{text} {'up' if step > 0 else 'down'}"


def _askew(job: Job, rails: RailAtJoin) -> str:
    """How rails leave their post askew, and how a saw is set for them."""
    aside = float(job.post.width) / 2 * tan(radians(abs(rails.skew)))
    text = (
        f"the rails of section {rails.section} leave {length(job, aside)} to the {rails.leans} of "
        f"the middle of the face, seen as they go, and swing {abs(rails.skew):.4g}° to the "
        f"{rails.leans} in plan"
    )
    if rails.swing:
        text += (
            f" and {abs(rails.swing):.1f}° {'up' if rails.swing > 0 else 'down'} from level, "
            f"{rails.true_angle:.1f}° in all from square to the face"
        )
    return text if rails.saw is None else f"{text}; {saw_text(rails.saw)}"


def saw_text(saw: SawSetting) -> str:
    """How the saw is set for a cut askew, either way that the rail may lie."""
    return (
        f"saw, rail's underside on the table: miter {saw.miter:.1f}°, bevel {saw.bevel:.1f}°; "
        f"or its side on the table: miter {saw.side_miter:.1f}°, bevel {saw.side_bevel:.1f}°"
    )
