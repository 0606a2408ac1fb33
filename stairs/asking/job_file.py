"""The job file that answers are written to: its comments, its order and its style stay.

Every answer is written at once, and the whole file takes its place in one step.  A key that is open
stands as a comment, which its answer takes the place of.  Before a text is written it is read back:
it has to hold what was there before and the answer, and nothing else.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from copy import deepcopy
from pathlib import Path
from typing import Any

import tomlkit
from tomlkit.container import Container
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AoT, Comment, Item, Table

from stairs.asking.walk import ABOVE_SECTIONS, Place, Values, keys_at, letter_of, table_of, walked
from stairs.errors import FileError
from stairs.files import put_in_place
from stairs.job.form import plainly
from stairs.job.key_notes import KeyOf, keys_of, toml_text
from stairs.job.reading import file_text, mapping_from_text, printable
from stairs.job.records import JobFlight, JobLevel
from stairs.job.tables import TABLES

_HEAD = """\
# A job file that "stairs measure" asks for. A line like "# key = value" is still open and shows an
# example: answer it there, or take the "# " in front away and write your own value over it.

"""
_LEFT_OUT = "left out: "
_ABOUT = {table.name: table.about for table in TABLES}


class JobFile:
    """A job file that may not be there yet, and may not be whole.

    Raises
    ------
    FileError
        Where the file cannot be read, is not TOML, or is no file.
    """

    def __init__(self, path: str | Path) -> None:
        self.path = Path(path)
        self.shown = printable(str(path))
        self.text = ""
        self.mapping: dict[str, Any] = {}
        if self.path.exists() and not self.path.is_file():
            self._refuse("is no file", "Name a file")
        if not self.path.parent.is_dir():
            self._refuse("lies in a folder that is not there", "Make the folder first")
        self._take_up()

    def _refuse(self, found: str, remedy: str) -> None:
        raise FileError(self.shown, found, "Answers are written to a job file", remedy)

    def _take_up(self) -> None:
        """The file as it is now; somebody may have it open in an editor."""
        if not self.path.exists() or not self.path.stat().st_size:
            self.text, self.mapping = "", {}
            return
        text = file_text(self.path)
        self.mapping = mapping_from_text(text, self.shown)
        self.text = text

    def has(self, place: Place) -> bool:
        """Whether the file holds the key."""
        return place.key in table_of(self.mapping, place)

    def is_left_out(self, place: Place) -> bool:
        """Whether the key was left out on purpose, as its comment says."""
        return any(_LEFT_OUT in one.trivia.comment for one in self._comments(place))

    def with_value(self, place: Place, value: Any) -> dict[str, Any]:
        """What the file would hold with another answer; without the key where it is None."""
        mapping = deepcopy(self.mapping)
        table: Any = mapping
        if place.number:
            sections = mapping.setdefault("section", [])
            if place.number > len(sections):
                sections.append({})
            table = sections[place.number - 1]
        elif place.table:
            table = mapping.setdefault(place.table, {})
        if value is None:
            table.pop(place.key, None)
        else:
            table[place.key] = value
        return mapping

    def put(self, place: Place, value: Any) -> None:
        """Write one answer; None takes it away.

        Raises
        ------
        FileError
            Where the file cannot be written, or is written so that the answer has no place in it.
        """
        self._take_up()
        wanted = self.with_value(place, value)
        if not self.text:
            wanted = {**{name: {} for name in ABOVE_SECTIONS if name}, **wanted}
        ways = [self._without] if value is None else [self._in_its_place, self._plainly]
        for way in ways:
            try:
                text = way(place, value)
                if mapping_from_text(text) == wanted:
                    break
            except (TOMLKitError, FileError, KeyError, TypeError, AttributeError, ValueError):
                continue
        else:
            line = place.key if value is None else f"{place.key} = {toml_text(value)}"
            self._refuse(
                f"is written so that {place.spoken} cannot be put into it",
                f"Write it by hand: {line}",
            )
        self._write(text)

    def leave_out(self, place: Place) -> None:
        """Note in the comment of an open key that it was left out on purpose."""
        self._take_up()
        comments = list(self._comments(place))
        if not comments or _LEFT_OUT in comments[0].trivia.comment:
            return
        document = self._document()
        for comment in self._comments(place, document):
            comment.trivia.comment = comment.trivia.comment.replace("# ", f"# {_LEFT_OUT}", 1)
        text = tomlkit.dumps(document)
        if mapping_from_text(text) == self.mapping:
            self._write(text)

    def _write(self, text: str) -> None:
        put_in_place(text.encode("utf-8"), self.path, new=not self.path.exists())
        self.text, self.mapping = text, mapping_from_text(text, self.shown)

    # ------------------------------------------------------------------ where a key goes

    def _document(self) -> tomlkit.TOMLDocument:
        document = tomlkit.parse(self.text)
        if tomlkit.dumps(document) != self.text:
            self._refuse(
                "has tables of one list in several places",
                "Put all [[section]] tables below each other",
            )
        return document

    def _comments(self, place: Place, document: Container | None = None) -> Iterator[Comment]:
        """The comment of an open key."""
        try:
            _, body = _table_in(self._document() if document is None else document, place)
        except (TOMLKitError, FileError, KeyError, IndexError, TypeError):
            return
        for _, item in body:
            open_key = rf"# (?:{_LEFT_OUT})?{place.key} = .*"
            if isinstance(item, Comment) and re.fullmatch(open_key, item.trivia.comment):
                yield item
                return

    def _in_its_place(self, place: Place, value: Any) -> str:
        """The text with the answer where the key, or its comment, or its table stands."""
        if not self.text:
            return self._new(place, value)
        line_end = "\r\n" if "\r\n" in self.text else "\n"
        new_section = place.number > len(self.mapping.get("section", []))
        if place.table and (new_section or place.table not in self.mapping):
            lines = self._table_lines(place, value)
            return self.text.rstrip() + line_end * 2 + line_end.join(lines) + line_end
        document = self._document()
        what = keys_at(self.mapping, place)[place.key]
        for comment in self._comments(place, document):
            comment.trivia.comment = _line(place, what, value)
            return tomlkit.dumps(document)
        table, body = _table_in(document, place)
        if place.key in table:
            return self._plainly(place, value)
        before = [item for name, item in body if name is not None and not _is_table(item)]
        if before:
            item = before[-1]
            item.trivia.trail = f"{line_end}{_line(place, what, value)}{line_end}"
            return tomlkit.dumps(document)
        if not place.table:
            return _line(place, what, value) + line_end + self.text
        return self._plainly(place, value)

    def _plainly(self, place: Place, value: Any) -> str:
        """The text with the answer wherever the library puts it, remarks beside it kept."""
        document = self._document()
        table, _ = _table_in(document, place)
        table[place.key] = tomlkit.parse(f"x = {toml_text(value)}")["x"]
        return tomlkit.dumps(document)

    def _without(self, place: Place, value: None) -> str:
        document = self._document()
        table, _ = _table_in(document, place)
        table.remove(place.key)
        return tomlkit.dumps(document)

    # ------------------------------------------------------------------ what is new

    def _new(self, place: Place, value: Any) -> str:
        """A whole new file, every key that is asked in it open but one."""
        units = str(value if place.key == "units" else "in")
        tables = []
        for name, keys in ABOVE_SECTIONS.items():
            known = keys_at({}, Place(name, ""))
            lines = [f"# {_ABOUT[name]}", f"[{name}]"] if name else []
            for key in keys:
                at = Place(name, key)
                lines.append(_line(at, known[key], value) if at == place
                             else _open_line(at, known[key], units))  # fmt: skip
            tables.append("\n".join(lines) + "\n")
        return _HEAD + "\n".join(tables)

    def _table_lines(self, place: Place, value: Any) -> list[str]:
        """A table that is not there yet, with one answer and every other key open."""
        units = str(self.mapping.get("units", "in"))
        if place.number:
            kind = str(value) if place.key == "kind" else "flight"
            known = keys_of(JobLevel if kind == "level" else JobFlight)
            keys, header = ("kind", *walked(kind, place.number)), "[[section]]"
        else:
            known = keys_at(self.mapping, place)
            keys, header = ABOVE_SECTIONS.get(place.table, tuple(known)), f"[{place.table}]"
        if place.key not in keys:
            keys = (*keys, place.key)
        lines = [header]
        for key in keys:
            at = place._replace(key=key)
            lines.append(_line(at, known[key], value) if at == place
                         else _open_line(at, known[key], units))  # fmt: skip
        return lines


def _table_in(document: Container, place: Place) -> tuple[Any, list[tuple[Any, Item]]]:
    """A table of the file as the library holds it, and what stands in it in order."""
    if not place.table:
        return document, document.body
    table: Any = document[place.table]
    if place.number:
        table = table[place.number - 1]
    return table, table.value.body if isinstance(table, Table) else []


def _is_table(item: Item) -> bool:
    return isinstance(item, Table | AoT)


def _remark(place: Place, what: KeyOf) -> str:
    letter = letter_of(place.table, place.key)
    return f"  # {letter}: {what.meaning}" if letter else f"  # {what.meaning}"


def _line(place: Place, what: KeyOf, value: Any) -> str:
    return f"{place.key} = {toml_text(value)}{_remark(place, what)}"


def _open_line(place: Place, what: KeyOf, units: str) -> str:
    value = plainly(what.written(units), units)
    return f"# {place.key} = {toml_text('' if value is None else value)}{_remark(place, what)}"


