"""The job file that answers are written to: its comments, its order and its style stay.

Every answer is written at once, and the whole file takes its place in one step.  A key that is open
stands as a comment, which its answer takes the place of.  Before a text is written it is read back:
it has to hold what was there before and the answer, and nothing else.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from copy import deepcopy
from pathlib import Path
from typing import Any

import tomlkit
from tomlkit.container import Container
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AoT, Comment, Item, Table, Whitespace

from stairs.asking.built_tables import (
    at_end_of_section,
    header_lines,
    is_noted,
    planned_note,
    with_built,
    without_note,
)
from stairs.asking.walk import (
    ABOVE_SECTIONS,
    OWN_VALUES,
    Place,
    built_at,
    keys_at,
    sections_of,
    table_of,
    walked,
)
from stairs.errors import FileError
from stairs.files import put_in_place
from stairs.job.form import plainly
from stairs.job.key_notes import KeyOf, keys_of, toml_text
from stairs.job.reading import file_text, mapping_from_text, printable
from stairs.job.records import JobFlight, JobLevel
from stairs.job.tables import TABLES
from stairs.relations.quantities import AS_BUILT

_HEAD = """\
# A job file that "stairs measure" asks for. A line like "# key = value" is still open and shows an
# example: answer it there, or take the "# " in front away and write your own value over it.

"""
_LEFT_OUT = "left out: "
_NO_OWN = f"# {_LEFT_OUT}values over those of the rulebook, [local]"
_ENDS = "The guard ends here."
_OTHER_TABLE = re.compile(r"^(?:# [^\n]*\n)?\[(?!\[?section)", re.MULTILINE)
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
        self._parsed: tomlkit.TOMLDocument | None = None  # of the text, till it is changed
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
            self.text, self.mapping, self._parsed = "", {}, None
            return
        text = file_text(self.path)
        if text != self.text:
            self.mapping = mapping_from_text(text, self.shown)
            self.text, self._parsed = text, None

    def has(self, place: Place) -> bool:
        """Whether the file holds the key."""
        return place.key in table_of(self.mapping, place)

    def is_left_out(self, place: Place) -> bool:
        """Whether the key was left out on purpose, as its comment says."""
        if (place.post or place.key == "done") and is_noted(self.text, place):
            return True
        if place == OWN_VALUES:
            return _NO_OWN in self.text.splitlines()
        try:
            comments = _comments(place, self._document())
        except TOMLKitError:
            return False
        return any(mark in one.trivia.comment for one in comments for mark in (_LEFT_OUT, _ENDS))

    def with_value(self, place: Place, value: Any) -> dict[str, Any]:
        """What the file would hold with another answer; without the key where it is None."""
        mapping = deepcopy(self.mapping)
        table: Any = mapping
        if place.number:
            sections = mapping.setdefault("section", [])
            if place.number > len(sections):
                sections.append({})
            table = sections[place.number - 1]
            if place.post:
                return with_built(mapping, place, value)
        elif place.table:
            table = mapping.setdefault(place.table, {})
        if value is None:
            table.pop(place.key, None)
        else:
            table[place.key] = value
        return mapping

    def put(self, place: Place, value: Any, asked: Sequence[str] = ()) -> None:
        """Write one answer; None takes it away.

        ``asked`` are the keys of a new table about a post, those before this one already passed.

        Raises
        ------
        FileError
            Where the file cannot be written, or is written so that the answer has no place in it.
        """
        self._take_up()
        wanted = self.with_value(place, value)
        if not self.text:
            wanted = {**{name: {} for name in ABOVE_SECTIONS if name}, **wanted}
        ways = self._without(place) if value is None else self._ways(place, value, asked)
        for way in ways:
            try:
                text = way()
                self._parsed = None  # a way changes what it begins with
                document = tomlkit.parse(text)
                if mapping_from_text(text) == wanted and tomlkit.dumps(document) == text:
                    break
            except (TOMLKitError, FileError, LookupError, TypeError, AttributeError, ValueError):
                self._parsed = None
        else:
            line = place.key if value is None else f"{place.key} = {toml_text(value)}"
            self._refuse(
                f"is written so that {place.spoken} cannot be put into it",
                f"Write it by hand: {line}",
            )
        self._write(text)
        self._parsed = document

    def note_as_planned(self, place: Place) -> None:
        """Note that a post stands as planned, or that nothing of a section is cut already."""
        self._take_up()
        lines = [planned_note(place)]
        try:
            text = at_end_of_section(self.text, place.number, lines, self._line_end)
        except LookupError:  # a section within brackets, which has no end of its own
            return
        if mapping_from_text(text) == self.mapping:
            self._write(text)

    def leave_out(self, place: Place) -> None:
        """Note in the comment of an open key that it was left out on purpose."""
        self._take_up()
        document, self._parsed = self._document(), None
        if place == OWN_VALUES:
            lines = [item for name, item in document.body if name and not _is_table(item)]
            if lines:
                lines[-1].trivia.trail = f"{self._line_end}{_NO_OWN}{self._line_end}"
        elif place.number and place.key == "kind":
            _, body = _table_in(document, _before(place))
            blank = [n for n, (_, item) in enumerate(body) if isinstance(item, Whitespace)]
            own = body[: blank[-1]] if blank else body  # what follows is about the next table
            lines = [item for _, item in own if not isinstance(item, Whitespace | Table | AoT)]
            if lines and not _comments(place, document):
                lines[-1].trivia.trail = f"{self._line_end}# {_ENDS}{self._line_end}"
        else:
            for one in _comments(place, document):
                said = one.trivia.comment.removeprefix("# ").removeprefix(_LEFT_OUT)
                one.trivia.comment = f"# {_LEFT_OUT}{said}"
        text = tomlkit.dumps(document)
        if mapping_from_text(text) == self.mapping:
            self._write(text)

    def _write(self, text: str) -> None:
        try:
            put_in_place(text.encode("utf-8"), self.path, new=not self.path.exists())
        except FileExistsError:
            self._refuse("was made by somebody else just now", "Start again, and go on with it")
        self.text, self.mapping = text, mapping_from_text(text, self.shown)
        self._parsed = None

    def _document(self) -> tomlkit.TOMLDocument:
        """The text as the library reads it."""
        if self._parsed is None:
            self._parsed = tomlkit.parse(self.text)
        return self._parsed

    # ------------------------------------------------------------------ where a key goes

    def _ways(self, place: Place, value: Any, asked: Sequence[str]) -> Iterator[Callable[[], str]]:
        """The ways to put an answer in, the one that looks best first."""
        if not self.text:
            yield lambda: self._new(place, value)
        elif place.post and built_at(sections_of(self.mapping)[place.number - 1], place) is None:
            yield lambda: self._new_built(place, value, asked)
            yield lambda: self._one_more_built(place, value)
        elif place.number > len(self.mapping.get("section", [])) or (
            place.table and place.table not in self.mapping
        ):
            yield lambda: self._new_table(place, value, before_others=place.number > 0)
            yield lambda: self._new_table(place, value, before_others=False)
        else:
            yield lambda: self._in_its_place(place, value)
            yield lambda: self._plainly(place, value)

    def _in_its_place(self, place: Place, value: Any) -> str:
        """The text with the answer where the key or its comment stands, or below all others."""
        document = self._document()
        line = _line(place, keys_at(self.mapping, place)[place.key], value)
        for comment in _comments(place, document):
            comment.trivia.comment = line
            return tomlkit.dumps(document)
        table, body = _table_in(document, place)
        if place.key in table:
            return self._plainly(place, value)
        before = [item for name, item in body if name and not isinstance(item, Table | AoT)]
        if before:
            before[-1].trivia.trail = f"{self._line_end}{line}{self._line_end}"
            return tomlkit.dumps(document)
        return self._plainly(place, value) if place.table else line + self._line_end + self.text

    def _plainly(self, place: Place, value: Any) -> str:
        """The text with the answer wherever the library puts it, remarks beside it kept."""
        document = self._document()
        table, _ = _table_in(document, place)
        table[place.key] = tomlkit.parse(f"x = {toml_text(value)}")["x"]
        return tomlkit.dumps(document)

    def _without(self, place: Place) -> Iterator[Callable[[], str]]:
        def taken_away() -> str:
            document = self._document()
            _table_in(document, place)[0].remove(place.key)
            return tomlkit.dumps(document)

        def table_taken_away() -> str:
            document = self._document()
            section: Any = _table_in(document, place._replace(post=0, hand=""))[0]
            at = built_at(section, place)
            if len(section["as_built"]) == 1:
                section.remove("as_built")
            else:
                del section["as_built"][at]
            return tomlkit.dumps(document)

        yield taken_away
        if place.post:
            yield table_taken_away

    @property
    def _line_end(self) -> str:
        return "\r\n" if "\r\n" in self.text else "\n"

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

    def _new_table(self, place: Place, value: Any, before_others: bool) -> str:
        """The text with a table that is new, one key answered and the others open."""
        text, lines = self.text, self._table_lines(place, value)
        if place.number > 1:
            document = self._document()
            for comment in _comments(place, document):
                comment.trivia.comment = ""  # the guard goes on
            text = tomlkit.dumps(document)
        first = _OTHER_TABLE.search(text) if before_others else None
        at = first.start() if first else len(text)
        parts = (text[:at].rstrip(), self._line_end.join(lines), text[at:].rstrip())
        return (self._line_end * 2).join(filter(None, parts)) + self._line_end

    def _table_lines(self, place: Place, value: Any) -> list[str]:
        units = str(self.mapping.get("units", "in"))
        if place.table == OWN_VALUES.table:
            return [f"[{place.table}]", f"{place.key} = {toml_text(value)}"]
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

    def _new_built(self, place: Place, value: Any, asked: Sequence[str]) -> str:
        """The text with a table about a post that nothing was told of, its other keys open."""
        known, units = keys_at(self.mapping, place), str(self.mapping.get("units", "in"))
        lines, passed = header_lines(place), place.key in asked
        for key in asked or (place.key,):
            at = place._replace(key=key)
            if key == place.key:
                lines.append(_line(at, known[key], value))
                passed = False
                continue
            text = _open_line(at, known[key], units)
            lines.append(f"# {_LEFT_OUT}{text.removeprefix('# ')}" if passed else text)
        text = without_note(self.text, place)
        return at_end_of_section(text, place.number, lines, self._line_end)

    def _one_more_built(self, place: Place, value: Any) -> str:
        """The text with one more table within the brackets that the others stand in."""
        document = self._document()
        section, _ = _table_in(document, place._replace(post=0, hand=""))
        table = tomlkit.inline_table()
        told = sections_of(self.with_value(place, value))[place.number - 1]["as_built"][-1]
        table.update(told)
        section["as_built"].append(table)
        return tomlkit.dumps(document)


def _table_in(document: Container, place: Place) -> tuple[Any, list[tuple[Any, Item]]]:
    """A table of the file as the library holds it, and what stands in it in order."""
    if not place.table:
        return document, document.body
    table: Any = document[place.table]
    if place.number:
        table = table[place.number - 1]
    if place.post:
        table = table["as_built"][built_at(table, place)]
    return table, table.value.body if isinstance(table, Table) else []


def _is_table(item: Item) -> bool:
    return isinstance(item, Table | AoT)


def _before(place: Place) -> Place:
    return place._replace(number=place.number - 1)


def _comments(place: Place, document: Container) -> list[Comment]:
    """The comment of an open key; of a section's kind, the one that says that it is none."""
    pattern = rf"# (?:{_LEFT_OUT})?{place.key} = .*"
    if place.number and place.key == "kind":
        place, pattern = _before(place), f"# {_ENDS}"
    try:
        _, body = _table_in(document, place)
    except (LookupError, TypeError):
        return []
    items = [item for _, item in body if isinstance(item, Comment)]
    return [one for one in items if re.fullmatch(pattern, one.trivia.comment)][:1]


def _remark(place: Place, what: KeyOf) -> str:
    meaning = AS_BUILT[place.key].called if place.post else what.meaning
    return "  # " + ", ".join(filter(None, (what.letter, meaning)))


def _line(place: Place, what: KeyOf, value: Any) -> str:
    return f"{place.key} = {toml_text(value)}{_remark(place, what)}"


def _open_line(place: Place, what: KeyOf, units: str) -> str:
    value = plainly(what.written(units), units)
    return f"# {place.key} = {toml_text('' if value is None else value)}{_remark(place, what)}"
