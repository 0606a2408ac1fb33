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

from stairs.errors import JobError, MeasurementMissing
from stairs.job.key_notes import INNER, RECORDS, KeyOf, assumption, inner_record, keys_of
from stairs.job.tables import TABLES, places_called, places_named, plain_word
from stairs.job.values import READERS, Typed
from stairs.lengths.tape import as_typed

_ALMOST = 0.85  # how alike two words are of which one is surely the other, misspelt
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
            if key not in known:
                shown = as_typed(str(key))
                word = plain_word(str(key))
                meant = _meant(word, known, belongs)
                allowed = "" if meant and word not in belongs else f"Known keys: {', '.join(known)}"
                raise JobError(
                    self.at(shown[1:-1]),
                    f"{shown} is not a key of {self.header}",
                    allowed,
                    meant or "Use the one that is meant",
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

    def _missing(self, what: KeyOf) -> MeasurementMissing:
        place = f"under {self.header}" if "[" in self.header else f"to {self.header}"
        return MeasurementMissing(
            self.at(what.name),
            "is missing",
            f"It is {what.meaning}",
            f"{what.action} and add it {place}, as in {what.sample(self.units)}",
        )

    def _value(self, what: KeyOf) -> Any:
        value, where = self.values[what.name], self.at(what.name)
        if what.note.reads not in INNER:
            return READERS[what.note.reads](Typed(value, what, self.units, where))
        record = inner_record(what)
        if what.note.reads == RECORDS:
            header = f"[[section.{what.name}]]"
            parts = Typed(value, what, self.units, where).parts()
            return tuple(
                Table(one.value, self.units, one.where, header).read_whole(record) for one in parts
            )
        keys = ", ".join(f"{name} = ..." for name in keys_of(record))
        return Table(value, self.units, where, f"{what.name} = {{ ... }}", keys).read_whole(record)


def _meant(word: str, known: list[str], belongs: Mapping[str, str]) -> str:
    """What to do with a word that is no key here; empty where nothing comes near it."""
    called = places_called(word)
    here = {place.key.name: place.key for place in called if place.key.name in known}
    headers = [table.header for table in TABLES if word in table.called and table.name in known]
    parts = difflib.get_close_matches(word, known, n=1, cutoff=_ALMOST)
    parts = parts or [name for name in known if word in name.split("_")]
    if word not in known:
        if here:
            several = len(here) > 1
            names = [f"{name} ({key.meaning})" if several else name for name, key in here.items()]
            return f"Here it is called {_either(names)}"
        if headers:
            return f"Here it is called {headers[0]}"
        if there := [place.key.name for place in called if place.key.name in belongs]:
            return f"It is called {there[0]}. {belongs[there[0]]}"
        if word in belongs:
            return belongs[word]
    if not parts and (called or places_named(word)):
        named = _either([place.under for place in places_named(word)])
        other = _either([f"{place.key.name} {place.under}" for place in called])
        told = [f"It belongs {named}"] * bool(named) + [f"It is called {other}"] * bool(other)
        return ". Or: ".join(told)
    near = parts or difflib.get_close_matches(word, known, n=1)
    quoted = _either([f'"{name}"' for name in near])
    return f"The nearest known key is {quoted}" if near else ""


def _either(words: Iterable[str]) -> str:
    *others, last = dict.fromkeys(words) or ("",)
    return f"{', '.join(others)} or {last}" if others else last
