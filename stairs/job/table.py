"""Reading one table of a job file into one record, key by key.

A table is what stands under ``[panel]`` or ``[[section]]``.  What each key may hold is noted beside
the record's field (:mod:`stairs.job.records`); here the keys are looked up, those that are not
known or missing are told, and file, section and key are named in every message.  The values
themselves are read in :mod:`stairs.job.values`.
"""

import difflib
from collections.abc import Collection, Iterable, Mapping
from typing import Any, TypeVar

import msgspec

from stairs.errors import JobError
from stairs.job.key_notes import KeyOf, assumption, inner_record, keys_of
from stairs.job.values import READERS, Typed
from stairs.lengths.tape import as_typed

_ELSE_CALLED = {
    "going": ("unit_run",), "tread_depth": ("unit_run",), "riser": ("unit_rise",),
    "total_rise": ("rise",), "total_run": ("run",), "steps": ("risers",), "slope": ("rake",),
    "angle": ("rake",), "tread": ("tread_thickness",), "picket": ("baluster",),
    "spindle": ("baluster",), "pitch": ("rake",), "spacing": ("pitch", "max_spacing"),
    "on_center": ("pitch", "max_spacing"), "on_centre": ("pitch", "max_spacing"),
    "cap": ("reveal",), "base_plate": ("base",), "length": ("span",),
}  # fmt: skip
"""What people call some keys, and the key that is meant, where the table has it."""


_Record = TypeVar("_Record", bound=msgspec.Struct)


def joined(*parts: str) -> str:
    """The parts of a place, outermost first, without the empty ones.

    Examples
    --------
    >>> joined("stair.toml", "", "panel", "pitch")
    'stair.toml: panel: pitch'
    """
    return ": ".join(part for part in parts if part)


class Table:
    """One table of a job file with its place, ready to be read key by key.

    ``where`` is file and section, for messages; ``header`` how the table is headed in a job file,
    e.g. ``[panel]``; ``keys``, of a table in braces, how its keys are written.
    """

    def __init__(self, values: object, units: str, where: str, header: str, keys: str = "") -> None:
        if not isinstance(values, Mapping):
            raise JobError(
                where,
                f"{as_typed(values)} is not a table",
                "Its keys stand beside each other in braces"
                if keys
                else f"Its keys stand on lines of their own under {header}",
                f"Write {header.replace('...', keys)}"
                if keys
                else f"Write {header} on a line of its own and the keys below it",
            )
        self.values: Mapping[str, Any] = values
        self.units = units
        self.where = where
        self.header = header

    def at(self, key: str) -> str:
        """The place of a key, for a message."""
        return joined(self.where, key)

    def typed(self, key: str) -> str:
        """The value of a key in the words of the file."""
        return as_typed(self.values[key])

    def with_(self, changes: Mapping[str, Any], without: Collection[str] = ()) -> "Table":
        """The same table with other values of some keys, and without some."""
        kept = {key: value for key, value in self.values.items() if key not in without}
        return Table({**kept, **changes}, self.units, self.where, self.header)

    def refuse_unknown(self, known: Iterable[str], belongs: Mapping[str, str] = {}) -> None:  # noqa: B006
        """Raise for the first key that is not known; ``belongs`` says where such a key goes."""
        known = sorted(known)
        for key in self.values:
            if key in known:
                continue
            shown = as_typed(str(key))
            near = difflib.get_close_matches(str(key).lower(), known, n=1)
            called = _ELSE_CALLED.get(str(key).lower(), ())
            here = [name for name in called if name in known]
            there = [name for name in called if name in belongs]
            allowed = f"Known keys: {', '.join(known)}"
            if here:
                remedy, allowed = f"Here it is called {here[0]}", ""
            elif there:
                remedy, allowed = f"It is called {there[0]}. {belongs[there[0]]}", ""
            elif key in belongs:
                remedy = belongs[key]
            elif near:
                remedy, allowed = f'The nearest known key is "{near[0]}"', ""
            else:
                remedy = "Use the one that is meant"
            raise JobError(
                self.at(shown[1:-1]), f"{shown} is not a key of {self.header}", allowed, remedy
            )

    def read(
        self,
        record: type[msgspec.Struct],
        needs: Collection[str] = (),
        assumed: list[str] | None = None,
        short: str = "",
    ) -> dict[str, Any]:
        """The values of a record's keys, each read and within its own bounds, by key.

        ``needs`` are keys that must be there although the record has a default for them.
        ``assumed`` gets one line for each key left out whose default bears on the result; in these
        lines ``short`` is the table's place without the file.
        """
        values = {}
        for key, what in keys_of(record).items():
            if key in self.values:
                values[key] = self._value(what)
                continue
            if what.needed or key in needs:
                raise self._missing(what)
            values[key] = what.left_out(self.units)
            text = "" if what.note.quiet else assumption(values[key], what, self.units)
            if text and assumed is not None:
                assumed.append(joined(short, text))
        return values

    def read_one(self, record: type[msgspec.Struct], key: str) -> Any:
        """The value of a single key of a record."""
        what = keys_of(record)[key]
        if key in self.values:
            return self._value(what)
        if what.needed:
            raise self._missing(what)
        return what.left_out(self.units)

    def read_whole(
        self,
        record: type[_Record],
        needs: Collection[str] = (),
        assumed: list[str] | None = None,
        short: str = "",
    ) -> _Record:
        """The record that the table holds, and nothing else; see :meth:`read`."""
        self.refuse_unknown(keys_of(record))
        return record(**self.read(record, needs, assumed, short))

    def _missing(self, what: KeyOf) -> JobError:
        action = "Measure it" if what.is_length else "Choose it"
        place = f"under {self.header}" if "[" in self.header else f"to {self.header}"
        return JobError(
            self.at(what.name),
            "is missing",
            f"It is {what.meaning}",
            f"{action} and add it {place}, as in {what.sample(self.units)}",
        )

    def _value(self, what: KeyOf) -> Any:
        value, where = self.values[what.name], self.at(what.name)
        if what.note.reads != "inner":
            return READERS[what.note.reads](Typed(value, what, self.units, where))
        record = inner_record(what)
        keys = ", ".join(f"{name} = ..." for name in keys_of(record))
        return Table(value, self.units, where, f"{what.name} = {{ ... }}", keys).read_whole(record)
