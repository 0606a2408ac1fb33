"""The framing of a job file, read: joists and deck boards under the level runs.

A table headed ``[framing]`` holds for every level run of the job; a level run's own table, headed
``[section.framing]``, stands over it key by key, since joists and first distances differ from one
side of a deck to the next.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from stairs.errors import JobError, MeasurementMissing, NoSuchShape
from stairs.job.key_notes import keys_of
from stairs.job.records import Framing
from stairs.job.table import Table, joined
from stairs.lengths.tape_marks import exact_text

HEADER = "[framing]"
OWN_HEADER = "[section.framing]"


class _Framing(Table):
    """The keys of the job and of one section together, each named where it was typed."""

    def __init__(self, base: Table | None, own: Table | None, units: str, where: str) -> None:
        values = {**(base.values if base else {}), **(own.values if own else {})}
        super().__init__(values, units, where, OWN_HEADER if own else HEADER)
        self.base, self.own = base, own

    def at(self, key: str) -> str:
        """The place of a key: the section's own table where it stands there."""
        name = key.split(":")[0]
        if self.own is None or (
            self.base and name in self.base.values and name not in self.own.values
        ):
            return self.base.at(key) if self.base else super().at(key)
        return self.own.at(key)


def base_framing(top: Table) -> Table | None:
    """The job's own ``[framing]`` table, its keys known and each value usable; None without one."""
    if "framing" not in top.values:
        return None
    table = Table(top.values["framing"], top.units, top.at("framing"), HEADER)
    table.refuse_unknown(keys_of(Framing))
    for key in table.values:
        table.read_one(Framing, key)
    return table


def read_framing(
    base: Table | None, section: Table, assumed: list[str], short: str
) -> Framing | None:
    """The framing of one level run, or None where the job tells nothing of it.

    ``base`` is the job's own, ``section`` the run with its own framing in it where it has one;
    ``assumed`` gets a line for each value left out that bears on the result, headed ``short``.
    """
    own = None
    if "framing" in section.values:
        own = Table(section.values["framing"], section.units, section.at("framing"), OWN_HEADER)
        own.refuse_unknown(keys_of(Framing))
    if base is None and own is None:
        return None
    table = _Framing(base, own, section.units, section.at("framing"))
    values = table.read(Framing, (), assumed, joined(short, "framing"))
    _check(table, values)
    return Framing(**values)


def _check(table: Table, values: Mapping[str, Any]) -> None:
    units = table.units
    if values["joist_thickness"] >= values["joist_spacing"]:
        raise NoSuchShape(
            table.at("joist_thickness"),
            f"{table.typed('joist_thickness')} leaves no room between joists "
            f"{exact_text(values['joist_spacing'], units)} apart, centre to centre",
            "A joist is thinner than their spacing",
            "Measure the spacing from centre to centre of neighbouring joists",
        )
    if values["direction"] == "along" and values["first_joist"] < 0:
        raise JobError(
            table.at("first_joist"),
            f"{table.typed('first_joist')} is negative",
            "Joists along the guard are measured from the deck edge inwards",
            "Give the distance from the deck edge to the first joist's centre",
        )
    for key, other in (("board_gap", "board_width"), ("board_width", "board_gap")):
        if values[key] is not None and values[other] is None:
            what = keys_of(Framing)[other]
            raise MeasurementMissing(
                table.at(other),
                f"is missing beside {key}",
                f"It is {what.meaning}; together they say where the gaps lie",
                f"Measure it and add it, as in {what.sample(units)}",
            )
    if values["first_board"] is not None and values["board_width"] is None:
        what = keys_of(Framing)["board_width"]
        raise JobError(
            table.at("first_board"),
            "stands without board_width and board_gap",
            "The first board alone does not say where the gaps lie",
            f"Add both, as in {what.sample(units)}, or leave first_board out",
        )
    if values["board_gap"] is not None and values["board_gap"] >= values["board_width"]:
        raise NoSuchShape(
            table.at("board_gap"),
            f"{table.typed('board_gap')} is not narrower than the boards, "
            f"{exact_text(values['board_width'], units)}",
            "A gap between boards is narrower than a board",
            "Measure the clear gap between two boards",
        )
