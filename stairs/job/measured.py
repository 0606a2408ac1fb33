"""The table ``[measured]``: how far off single measurements may be, over ``measured_within``.

A measurement of a section goes by its key, one of another table by both: ``"panel.pitch"`` in
quotes, or ``pitch`` under ``[measured.panel]``.
"""

import difflib
from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Any, NoReturn

from stairs.errors import JobError
from stairs.job.key_notes import KeyOf, keys_of
from stairs.job.records import Job, Tolerance
from stairs.job.table import Table
from stairs.job.tables import Place, all_places, places_called, plain_word
from stairs.job.values import READERS, Typed
from stairs.lengths.tape import as_typed, parse_degrees
from stairs.lengths.tape_marks import exact_text
from stairs.lengths.tolerances import Tolerances

_COARSEST = {"in": Fraction(6), "mm": Fraction(150)}
_STEEPEST = 45  # degrees that an angle may be off
_CHOSEN = ("plain", "trim", "text", "date", "lines", "done")


def path_of(place: Place) -> str:
    """What a key is called in the table: a section's by itself, another with its table."""
    return place.path.removeprefix("section.")


def measured_places() -> dict[str, KeyOf]:
    """Every key that is measured, by what it is called in the table.

    Examples
    --------
    >>> [name in measured_places() for name in ("side_gap", "panel.slot.wall", "reveal")]
    [True, True, False]
    """
    return {path_of(one): one.key for one in all_places() if one.key.note.measured}


def read_measured(top: Table) -> tuple[Tolerance, ...]:
    """What the table of a job file says; empty where there is none."""
    if "measured" not in top.values:
        return ()
    table = Table(top.values["measured"], top.units, top.at("measured"), "[measured]")
    found: dict[str, Fraction] = {}
    for path, value in _flat(table.values):
        if path in found:
            raise JobError(
                table.at(path), "is given twice", "A key stands there once", "Keep one of the two"
            )
        found[path] = _within(table, path, value)
    return tuple(Tolerance(key=path, within=within) for path, within in found.items())


def tolerances_of(top: Table) -> Tolerances:
    """How far off every measurement of a job file may be."""
    own = tuple((one.key, one.within) for one in read_measured(top))
    return Tolerances(top.read_one(Job, "measured_within"), own)


def _flat(values: Mapping[str, Any], before: str = "") -> Iterator[tuple[str, Any]]:
    """The keys of a table with all that they stand in, and their values."""
    for key, value in values.items():
        path = f"{before}{key}".removeprefix("section.")
        if isinstance(value, Mapping):
            yield from _flat(value, f"{path}.")
        else:
            yield path, value


def _within(table: Table, path: str, value: Any) -> Fraction:
    shown, places = as_typed(path)[1:-1], measured_places()
    where = table.at(shown)
    if path not in places:
        _refuse(path, where)
    if places[path].note.reads == "degrees":
        return _angle(value, where, places[path].meaning)
    what = keys_of(Tolerance)["within"]
    off: Fraction = READERS[what.note.reads](Typed(value, what, table.units, where))
    if off > _COARSEST[table.units]:
        raise JobError(
            where,
            f"{as_typed(value)} is read as {exact_text(off, table.units, unit=False)} "
            f"{table.units}",
            f"A measurement is at most {exact_text(_COARSEST[table.units], table.units)} off",
            "Say how far off it may be either way",
        )
    return off


def _angle(value: Any, where: str, meaning: str) -> Fraction:
    off = parse_degrees(value, where)
    if 0 <= off <= _STEEPEST:
        return off
    raise JobError(
        where,
        f"{as_typed(value)} degrees is no measuring error",
        f"An angle from 0 to {_STEEPEST} degrees is read",
        f"Say how far off {meaning} may be",
    )


def _refuse(path: str, where: str) -> NoReturn:
    """Say why a key has no measuring error of its own, or which one was meant."""
    named = plain_word(path).removeprefix("section.")
    places = {path_of(one): one for one in all_places() if one.table.name not in ("", "measured")}
    same = [one for one in places if f".{one}".endswith(f".{named}")]
    meant = [one for one in same if places[one].key.note.measured]
    within = [one for one in measured_places() if one.startswith(f"{named}.")][:1]
    shown = as_typed(path)
    if same and not meant and not within:
        chosen = places[same[0]].key.note.reads in _CHOSEN
        raise JobError(
            where,
            f"{shown} is a choice, not a measurement"
            if chosen
            else f"{shown} is chosen, or no check hangs on how it was measured",
            "Under [measured] stands how far off a measurement may be",
            "Leave it out",
        )
    called = [path_of(one) for one in places_called(named) if one.key.note.measured]
    near = meant or called or within or difflib.get_close_matches(named, measured_places(), n=1)
    raise JobError(
        where,
        f"{shown} is not a key of [measured]",
        'A key of a section stands there by itself, another with its table, as in "panel.pitch"',
        f"The nearest is {' or '.join(map(as_typed, near))}"
        if near
        else "Use a key of the job file that is measured",
    )
