"""Loads on screen: what a rulebook asks of the posts and bays of a guard, to hand on.

Every load is printed with its clause and how it was found, every demand as a figure to carry and
never with a word on whether anything carries it.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from stairs.job import Job
from stairs.lengths.tape_marks import length_text
from stairs.lists.loads import (
    BOLT_EDGE,
    MILLIMETRES_PER_FOOT,
    NEWTONS_PER_POUND,
    TEST_FACTOR,
    Demands,
    PostDemand,
    demands,
    is_imperial,
    newtons,
)
from stairs.report.columns import table, wrap
from stairs.report.verdicts import own_value_texts
from stairs.rules import LOADS, Load
from stairs.solution import Answer

NOT_A_DESIGN = (
    "Demands only, for an engineer or the local official. This is no design: nothing here says "
    "that a post, a base plate, a bolt, a rail or the framing carries them."
)


def loads_text(answer: Answer, bolt_spacing: Fraction | None = None) -> str:
    """The loads to hand on, lines of at most 80 columns.

    Parameters
    ----------
    answer : Answer
        Of a job.
    bolt_spacing : Fraction, optional
        As for :func:`demands`.
    """
    job = answer.job
    found = demands(answer, bolt_spacing)
    head = [f"Loads to hand on ({answer.rulebook.id})"]
    head += [wrap(text, "  ", "    ") for text in own_value_texts(job)]
    blocks = ["\n".join(head), wrap(NOT_A_DESIGN)]
    if not found.loads:
        blocks.append(
            wrap(
                f"The rulebook {answer.rulebook.id} lists no loads. Ask the local official which "
                "loads hold"
            )
        )
        return "\n\n".join(blocks) + "\n"
    several = len(answer.sections) > 1
    blocks += [_load_text(load, sections if several else ()) for load, sections in found.loads]
    for name in LOADS:
        rows = [demand for demand in found.posts if demand.load == name]
        if rows:
            blocks.append(_posts_text(job, rows))
    if found.bays:
        blocks.append(_bays_text(job, found))
    blocks.append(_remarks(job, found))
    return "\n\n".join(blocks) + "\n"


def _length(job: Job, value: Fraction) -> str:
    return length_text(value, job.units, job.tape)


def amount_text(load: Load) -> str:
    """A load with its unit and the area that it is spread over.

    Parameters
    ----------
    load : Load
        Of a rulebook.
    """
    over = f" over {load.over}" if load.over else ""
    return f"{_number(load.value)} {load.unit.replace('m2', 'm²')}{over}"


def sections_text(sections: Sequence[int]) -> str:
    """The sections that a load is for, in words; empty where none are given.

    Parameters
    ----------
    sections : sequence of int
        From 1.

    Examples
    --------
    >>> sections_text((1, 3)), sections_text((2,)), sections_text(())
    ('sections 1 and 3', 'section 2', '')
    """
    *others, last = sections or ("",)
    if not others:
        return f"section {last}" if sections else ""
    return f"sections {', '.join(map(str, others))} and {last}"


def _load_text(load: Load, sections: Sequence[int]) -> str:
    first = f"{LOADS[load.id]}: {amount_text(load)}"
    if load.unit in ("lbf", "lbf/ft"):
        metric = newtons(load.value, load.unit)
        first += (
            f" ({float(metric):.0f} N)" if load.unit == "lbf" else f" ({float(metric):.2f} kN/m)"
        )
    if sections:
        first += f"; {sections_text(sections)}"
    lines = [wrap(_capital(first), "", "  ")]
    star = "" if load.verified else "* "
    lines.append(wrap(f"{star}{load.clause}; {load.provenance_text}", "  ", "  "))
    if load.note:
        lines.append(wrap(" ".join(load.note.split()), "  ", "  "))
    return "\n".join(lines)


def _capital(text: str) -> str:
    return text[0].upper() + text[1:]


def _number(value: Fraction) -> str:
    return f"{float(value):g}"


def _force(unit: str, force: Fraction) -> list[str]:
    if is_imperial(unit):
        return [f"{float(force / NEWTONS_PER_POUND):.0f} lbf", f"{float(force):.0f} N"]
    return [f"{float(force / 1000):.2f} kN"]


def _moment(unit: str, moment: Fraction) -> list[str]:
    if is_imperial(unit):
        pounds_foot = moment * 1000 / NEWTONS_PER_POUND / MILLIMETRES_PER_FOOT
        return [f"{float(pounds_foot):.0f} lbf·ft", f"{float(moment):.0f} N·m"]
    return [f"{float(moment / 1000):.2f} kN·m"]


def _posts_text(job: Job, rows: list[PostDemand]) -> str:
    unit = rows[0].unit
    each = 2 if is_imperial(unit) else 1
    more = [""] * (each - 1)
    parts = any(row.across for row in rows)
    heads = ["post", *["part"] * parts, "arm", "force", "moment", *more, "pull", *more]
    cells = []
    for row in rows:
        pull = ["-"] + [""] * (each - 1) if row.bolt_pull is None else _force(unit, row.bolt_pull)
        cells.append(
            [
                row.name.replace(" = ", "="),
                *[f"of {row.across}" if row.across else ""] * parts,
                _length(job, row.arm),
                _force(unit, row.force)[0],
                *_moment(unit, row.moment),
                *pull,
            ]
        )
    return f"From {LOADS[rows[0].load]}\n" + table(heads, cells, range(1 + parts, len(heads)))


def _bays_text(job: Job, found: Demands) -> str:
    unit = found.bays[0].unit
    force_heads = ["load on it"] + [""] * (len(_force(unit, Fraction(1))) - 1)
    heads = ["bay", "along the rail", *force_heads]
    cells = [
        [f"{bay.section}.{bay.bay}", _length(job, bay.length), *_force(unit, bay.force)]
        for bay in found.bays
    ]
    return f"{_capital(LOADS['guard-line'])}, per bay\n" + table(heads, cells, range(1, len(heads)))


def no_pull(job: Job) -> str:
    """Why no pull in bolts is given, for a job without a bolt spacing.

    Parameters
    ----------
    job : stairs.job.Job
        Without base plates, or with posts that go on below their surface.
    """
    if job.post.below is None:
        return "No pull in bolts: the job gives no base plate to take a bolt spacing from"
    return (
        "No pull in fixings: posts go on below the surface, and how deep their fixings are the job "
        "does not say. Deeper down the moment is larger, by the force times the depth below the "
        "surface"
    )


def _remarks(job: Job, found: Demands) -> str:
    lines = [
        wrap(
            "arm: from the surface that the post stands on to the top of the top rail at its "
            "higher face",
            "",
            "  ",
        )
    ]
    if found.bolt_spacing is None:
        lines.append(wrap(no_pull(job)))
    else:
        spacing = _length(job, found.bolt_spacing)
        how = (
            f"{spacing}, assumed as the base plate less twice "
            f"{_length(job, BOLT_EDGE[job.units])}: measure it"
            if found.bolt_spacing_assumed
            else f"{spacing} as given"
        )
        lines.append(
            wrap(
                "pull: moment over the spacing of the two pairs of bolts, on one pair together; "
                f"spacing {how}. Prying, which adds to it, is left to the designer",
                "",
                "  ",
            )
        )
    if found.bays:
        lines.append(
            wrap(
                "A load along the top is taken over the rail's own length, post centre to post "
                "centre; a post takes half of each bay beside it, in both of its sections",
                "",
                "  ",
            )
        )
    if any(row.across for row in found.posts):
        lines.append(
            wrap(
                "part: at a corner the load along the top has two parts, each square to its own "
                "section. Both are given; how they act together is the designer's to say",
                "",
                "  ",
            )
        )
    if any(row.hand for row in found.posts):
        lines.append(
            wrap(
                "both: the guard stands on both sides of the stair; the row holds for each of the "
                "two posts, and every bay of that section is there twice",
                "",
                "  ",
            )
        )
    point = next((load for load, _ in found.loads if load.id == "guard-point"), None)
    if point is not None and is_imperial(point.unit):
        test = point.value * TEST_FACTOR
        lines.append(
            wrap(
                f"Published tests of residential deck posts load them to {_number(TEST_FACTOR)} "
                f"times the code's load, here {_number(test)} lbf (Loferski, Albright and Woeste; "
                "excerpt seen)",
                "",
                "  ",
            )
        )
    if any(not load.verified for load, _ in found.loads):
        lines.append(wrap("* from memory: open the code before relying on it"))
    return "\n".join(lines)
