"""How a flight is fixed: every size of its steps and its slope, in one chain."""

from __future__ import annotations

from stairs.relations.quantities import LENGTH
from stairs.working.chain import Builder, Chain
from stairs.working.results import Result, ToldSection, of_section

_SIZES = ("risers", "treads", "total_rise", "total_run", "unit_rise", "unit_run", "rake")


def flight_chain(told: ToldSection) -> Chain | None:
    """The chain to all that fixes the flight of a section; None of a level run."""
    flight = told.section.flight
    if flight is None:
        return None
    builder = Builder()
    if flight.survey is not None:
        for letter, word, sizes in (
            ("R", "riser", flight.survey.rises),
            ("G", "tread", flight.survey.runs),
        ):
            for number, size in enumerate(sizes, 1):
                tree = builder.operation(size)
                builder.line(f"{letter}{number}", LENGTH, tree, f"{word} {number} as measured")
    found: dict[str, Result] = {one.kind.name: one for one in of_section(told)}
    leaves = []
    for name in _SIZES:
        if name in found and found[name].amount is not None:
            leaves.append(builder.leaf(found[name].amount or 0, found[name].kind.quantity))
    return Chain(tuple(builder.givens), tuple(builder.lines), leaves[-1])
