"""Loads on screen: what a rulebook asks of the posts and bays of a guard, to hand on.

Every load is printed with its clause and how it was found, every demand as a figure to carry and
never with a word on whether anything carries it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from stairs.job import Job
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
from stairs.report.columns import length, listed, remark, table, wrap
from stairs.report.notices import own_value_texts
from stairs.report.rulebook_listing import amount_text
from stairs.report.spoken import in_words
from stairs.rules import LOADS, Load
from stairs.solution import Solution

NOT_A_DESIGN = (
    "Demands only, for an engineer or the local official. This is no design: nothing here says "
    "that a post, a base plate, a bolt, a rail or the framing carries them."
)


@in_words
def loads_text(solution: Solution, bolt_spacing: Fraction | None = None) -> str:
    """The loads to hand on, lines of at most 80 columns.

    Parameters
    ----------
    bolt_spacing : Fraction, optional
        As for :func:`stairs.lists.loads.demands`.
    """
    job = solution.job
    found = demands(solution, bolt_spacing)
    head = [f"Loads to hand on ({solution.rulebook.id})"]
    head += [remark(text) for text in own_value_texts(job)]
    blocks = ["\n".join(head), wrap(NOT_A_DESIGN)]
    if not found.loads:
        blocks.append(
            wrap(
                f"The rulebook {solution.rulebook.id} lists no loads. Ask the local official which "
                "loads hold"
            )
        )
        return "\n\n".join(blocks) + "\n"
    several = len(solution.sections) > 1
    blocks += [_load_text(load, sections if several else ()) for load, sections in found.loads]
    for name in LOADS:
        rows = [demand for demand in found.posts if demand.load == name]
        if rows:
            blocks.append(_posts_text(job, rows))
    if found.bays:
        blocks.append(_bays_text(job, found))
    blocks.append("\n".join(wrap(text, "", "  ") for text in _remarks(job, found)))
    return "\n\n".join(blocks) + "\n"


def sections_text(sections: Sequence[int]) -> str:
    """The sections that a load is for, in words; empty where none are given.

    Examples
    --------
    >>> sections_text((1, 3)), sections_text((2,)), sections_text(())
    ('sections 1 and 3', 'section 2', '')
    """
    word = "section" if len(sections) == 1 else "sections"
    return f"{word} {listed(list(map(str, sections)))}" if sections else ""


def _load_text(load: Load, sections: Sequence[int]) -> str:
    first = f"{LOADS[load.id]}: {amount_text(load)}"
    if load.unit == "lbf":
        first += f" ({float(newtons(load.value, load.unit)):.0f} N)"
    elif load.unit == "lbf/ft":
        first += f" ({float(newtons(load.value, load.unit)):.2f} kN/m)"
    if sections:
        first += f"; {sections_text(sections)}"
    star = "" if load.verified else "* "
    lines = [
        wrap(_capital(first), "", "  "),
        wrap(f"{star}{load.clause}; {load.provenance_text}", "  ", "  "),
    ]
    if load.note:
        lines.append(wrap(load.note, "  ", "  "))
    return "\n".join(lines)


def _capital(text: str) -> str:
    return text[0].upper() + text[1:]


def force_texts(force: Fraction, unit: str) -> list[str]:
    """A force as its load's unit has it: in pounds and in newtons, or in kilonewtons.

    Examples
    --------
    >>> force_texts(200 * NEWTONS_PER_POUND, "lbf"), force_texts(Fraction(1500), "kN")
    (['200 lbf', '890 N'], ['1.50 kN'])
    """
    if is_imperial(unit):
        return [f"{float(force / NEWTONS_PER_POUND):.0f} lbf", f"{float(force):.0f} N"]
    return [f"{float(force / 1000):.2f} kN"]


def moment_texts(moment: Fraction, unit: str) -> list[str]:
    """A moment as its load's unit has it: in pound-feet and newton-metres, or kilonewton-metres.

    Examples
    --------
    >>> moment_texts(Fraction(1500), "kN")
    ['1.50 kN·m']
    """
    if is_imperial(unit):
        pounds_foot = moment * 1000 / NEWTONS_PER_POUND / MILLIMETRES_PER_FOOT
        return [f"{float(pounds_foot):.0f} lbf·ft", f"{float(moment):.0f} N·m"]
    return [f"{float(moment / 1000):.2f} kN·m"]


def _posts_text(job: Job, rows: list[PostDemand]) -> str:
    unit = rows[0].unit
    more = [""] * is_imperial(unit)
    parts = any(row.across for row in rows)
    heads = ["post", *["part"] * parts, "arm", "force", "moment", *more, "pull", *more]
    cells = []
    for row in rows:
        cells.append(
            [
                row.name.replace(" = ", "="),
                *[f"of {row.across}" if row.across else ""] * parts,
                length(job, row.arm),
                force_texts(row.force, unit)[0],
                *moment_texts(row.moment, unit),
                *(["-", *more] if row.bolt_pull is None else force_texts(row.bolt_pull, unit)),
            ]
        )
    return f"From {LOADS[rows[0].load]}\n" + table(heads, cells, range(1 + parts, len(heads)))


def _bays_text(job: Job, found: Demands) -> str:
    unit = found.bays[0].unit
    heads = ["bay", "along the rail", "load on it", *[""] * is_imperial(unit)]
    cells = [
        [f"{bay.section}.{bay.bay}", length(job, bay.length), *force_texts(bay.force, unit)]
        for bay in found.bays
    ]
    return f"{_capital(LOADS['guard-line'])}, per bay\n" + table(heads, cells, range(1, len(heads)))


def no_pull(job: Job) -> str:
    """Why no pull in bolts is given: no base plate, or posts that go on below their surface."""
    if job.post.below is None:
        return "No pull in bolts: the job gives no base plate to take a bolt spacing from"
    return (
        "No pull in fixings: posts go on below the surface, and how deep their fixings are the job "
        "does not say. Deeper down the moment is larger, by the force times the depth below the "
        "surface"
    )


def _remarks(job: Job, found: Demands) -> Iterator[str]:
    yield (
        "arm: from the surface that the post stands on to the top of the top rail at its higher "
        "face"
    )
    if found.bolt_spacing is None:
        yield no_pull(job)
    else:
        how = f"{length(job, found.bolt_spacing)} as given"
        if found.bolt_spacing_assumed:
            how = (
                f"{length(job, found.bolt_spacing)}, assumed as the base plate less twice "
                f"{length(job, BOLT_EDGE[job.units])}: measure it"
            )
        yield (
            "pull: moment over the spacing of the two pairs of bolts, on one pair together; "
            f"spacing {how}. Prying, which adds to it, is left to the designer"
        )
    if found.bays:
        yield (
            "A load along the top is taken over the rail's own length, post center to post center; "
            "a post takes half of each bay beside it, in both of its sections"
        )
    if any(row.across for row in found.posts):
        yield (
            "part: at a corner the load along the top has two parts, each square to its own "
            "section. Both are given; how they act together is the designer's to say"
        )
    if any(row.hand for row in found.posts):
        yield (
            "both: the guard stands on both sides of the stair; the row holds for each of the two "
            "posts, and every bay of that section is there twice"
        )
    point = next((load for load, _ in found.loads if load.id == "guard-point"), None)
    if point is not None and is_imperial(point.unit):
        yield (
            f"Published tests of residential deck posts load them to {float(TEST_FACTOR):g} times "
            f"the code's load, here {float(point.value * TEST_FACTOR):g} lbf (Loferski, Albright "
            "and Woeste; excerpt seen)"
        )
    if any(not load.verified for load, _ in found.loads):
        yield "* from memory: open the code before relying on it"
