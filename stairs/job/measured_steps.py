"""Steps measured singly: every riser and every tread by itself, put together into nosings.

A tape that reaches from step to step measures one riser and one tread at a time.  Added up, lowest
first, these make the nosing points of the stair as it is.  Where the total rise or run was measured
too, the single readings have to add up to it; where they do not, one of them that differs from all
others by just that much is most likely the one to measure again.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import accumulate
from statistics import median
from typing import Any

from stairs.errors import JobError, MeasurementMissing, MeasurementsContradict
from stairs.job.key_notes import keys_of
from stairs.job.measured import tolerances_of
from stairs.job.records import JobFlight
from stairs.job.table import Table
from stairs.lengths.tape_marks import exact_text
from stairs.lengths.tolerances import Tolerances

SINGLE = ("rises", "runs")
INSTEAD_OF_STEPS = ("unit_rise", "unit_run", "risers", "treads", "rake")


def nosings_of_steps(top: Table, table: Table, section: dict[str, Any]) -> None:
    """Put nosings in the place of risers and treads that were measured singly.

    Of the section's values as read ``nosings`` is filled in, ``rise`` and ``run`` are used up, and
    ``totals`` names those of them that bore the single readings out.

    Raises
    ------
    JobError
        One of the two lists is missing, or they do not go together.
    MeasurementsContradict
        They do not add up to the total rise or run.
    """
    given = [key for key in SINGLE if section[key] is not None]
    if not given:
        return
    for key in INSTEAD_OF_STEPS:
        if key in table.values:
            raise JobError(
                table.at(key),
                f"stands beside {given[0]}",
                "Single risers and treads already say every rise and run; they stand instead of "
                + ", ".join(sorted(("nosings", *INSTEAD_OF_STEPS))),
                f"Leave out {key}, or {' and '.join(given)}",
            )
    if len(given) == 1:
        other = SINGLE[given[0] == "rises"]
        asked = keys_of(JobFlight)[other]
        each = "tread" if other == "runs" else "riser"
        raise MeasurementMissing(
            table.at(other),
            f"is missing beside {given[0]}",
            "A stair measured step by step has rises and runs",
            f"Measure every {each} ({asked.letter} in the picture that stairs form draws) and add "
            f"{other}, as in {other} = [{asked.example(table.units)}]",
        )
    rises, runs = section["rises"], section["runs"]
    if len(rises) < 2:
        raise JobError(
            table.at("rises"),
            f"is a list of {len(rises)}",
            "A flight has 2 risers or more",
            "Measure the other risers, the one up to the landing included",
        )
    if len(runs) != len(rises) - 1:
        raise JobError(
            table.at("runs"),
            f"is a list of {len(runs)} beside {len(rises)} rises",
            "There is one tread fewer than risers: runs go from the first nosing to the last",
            f"Give {len(rises) - 1} runs, nosing to nosing",
        )
    within = tolerances_of(top)
    borne_out = []
    for total, key, what in (("rise", "rises", "riser"), ("run", "runs", "tread")):
        if section[total] is not None:
            _held_against(table, section[key], section[total], total, key, what, within)
            borne_out.append(total)
        section[total] = None
    section["totals"] = tuple(borne_out)
    heights = accumulate(rises)
    places = accumulate(runs, initial=Fraction(0))
    nosings = tuple(zip(places, heights, strict=True))
    if section["nosings"] not in (None, nosings):
        raise JobError(
            table.at("nosings"),
            "stands beside rises and runs and differs from what they add up to",
            "Nosings are measured as points or step by step",
            "Leave out nosings, or rises and runs",
        )
    section["nosings"] = nosings


def _held_against(
    table: Table,
    steps: Sequence[Fraction],
    total: Fraction,
    total_key: str,
    key: str,
    what: str,
    within: Tolerances,
) -> None:
    """Single readings against their total: each may be off, and so may the total."""
    off = sum(steps) - total
    if abs(off) <= within.of(key) * len(steps) + within.of(total_key):
        return
    text = {
        name: exact_text(value, table.units)
        for name, value in (("sum", sum(steps)), ("total", total), ("off", abs(off)))
    }
    remedy = f"Measure the {what}s and the total {total_key} again"
    usual = median(steps)
    odd = [n for n, step in enumerate(steps, 1) if abs(step - usual - off) <= 2 * within.of(key)]
    if len(odd) == 1:
        read = exact_text(steps[odd[0] - 1], table.units)
        remedy = (
            f"Measure {what} {odd[0]} again: it reads {read} and alone differs from the others by "
            "about as much"
        )
    raise MeasurementsContradict(
        table.at(key),
        f"add up to {text['sum']}, and {total_key} is {text['total']}, which differs by "
        f"{text['off']}",
        f"Single {what}s add up to the total {total_key}",
        remedy,
        (float(sum(steps)), float(total)),
    )
