"""Reads rulebook files and refuses one that is wrong or incomplete.

A rulebook file is TOML: a head (``id``, ``title``, ``edition``, ``jurisdiction``, ``units``), one
``[[rule]]`` table for each value and one ``[[load]]`` table for each load.  Limits are text, so
that ``"4 3/8"`` stays exact.  A file with an unknown word, a value without clause or provenance, or
two rules that answer the same question is not read at all: a rulebook is trusted whole or not.
"""

from __future__ import annotations

import functools
import tomllib
from collections.abc import Callable
from fractions import Fraction
from importlib import resources
from typing import Any, TypeVar

import msgspec
from msgspec.structs import asdict

from stairs.errors import FileError, JobError
from stairs.lengths import tape
from stairs.rules.conditions import SECTIONS, Condition
from stairs.rules.records import Load, Rule, Rulebook
from stairs.rules.vocabulary import (
    KINDS,
    LOAD_UNITS,
    LOADS,
    PROVENANCES,
    did_you_mean,
    known_check,
)

NEEDED = ("guard-height-min", "opening-baluster")
"""What a rulebook must rule on, for flights and for level runs; without it no guard is judged."""

_Record = TypeVar("_Record", bound=msgspec.Struct)


class _Head(msgspec.Struct):
    id: str
    title: str
    edition: str
    jurisdiction: str
    units: str
    rule: list[dict[str, Any]]
    note: str = ""
    also_asks: tuple[str, ...] = ()
    uses: tuple[str, ...] = ()
    default_use: str = ""
    load: list[dict[str, Any]] = []


class _Row(msgspec.Struct, kw_only=True):
    clause: str
    provenance: str
    source: str
    note: str = ""
    clause_provenance: str = ""
    when: dict[str, Any] = {}


class _RuleRow(_Row):
    check: str | list[str]
    limit: str
    kind: str


class _LoadRow(_Row):
    id: str
    value: str
    unit: str
    over: str = ""


def available() -> tuple[str, ...]:
    """The names of all rulebooks that come with the package, sorted.

    Examples
    --------
    >>> "irc-2021" in available()
    True
    """
    files = resources.files("stairs.rules").iterdir()
    return tuple(sorted(file.name[:-5] for file in files if file.name.endswith(".toml")))


@functools.cache
def load(rulebook_id: str) -> Rulebook:
    """The rulebook of that name, read from the package.

    Raises
    ------
    JobError
        For a name that there is not; it lists them and names the nearest.

    Examples
    --------
    >>> load("irc-2021").edition
    '2021'
    """
    names = available()
    if rulebook_id not in names:
        raise JobError(
            "rules",
            f"{tape.as_typed(rulebook_id)} is no rulebook",
            f"Rulebooks: {', '.join(names)}",
            did_you_mean(rulebook_id, names),
        )
    file = resources.files("stairs.rules") / f"{rulebook_id}.toml"
    return read(file.read_bytes(), file.name)


def read(content: bytes, file: str) -> Rulebook:
    """The rulebook that a file holds, which has to be named for the rulebook's id.

    Raises
    ------
    FileError
        For bytes that are not TOML in UTF-8.
    JobError
        For a file that is wrong or incomplete; it names the file, the rule and the key.
    """
    try:
        table = tomllib.loads(content.decode())
    except (UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise FileError(file, f"is not TOML ({error})", "A rulebook is TOML in UTF-8") from error
    head = _row(table, _Head, file)
    for key in ("id", "title", "edition", "jurisdiction"):
        _filled(getattr(head, key), f"{file}: {key}")
    if f"{head.id}.toml" != file:
        raise JobError(
            f"{file}: id", f'is "{head.id}"', "The file is named for the id", "Rename one of them"
        )
    _one_of(head.units, ("in", "mm"), "unit of length", f"{file}: units")
    if bool(head.uses) != bool(head.default_use):
        raise JobError(
            f"{file}: default_use",
            "comes together with uses",
            "Both are there, or neither",
            "Add the one that is missing",
        )
    if head.uses:
        _one_of(head.default_use, head.uses, "use of this rulebook", f"{file}: default_use")
    rules = tuple(
        rule for number, row in enumerate(head.rule, 1) for rule in _rules(row, number, head, file)
    )
    _refuse_ambiguity("rules", [(rule.check, rule) for rule in rules], file)
    loads = tuple(_load(row, number, head, file) for number, row in enumerate(head.load, 1))
    _refuse_ambiguity("loads", [(load.id, load) for load in loads], file)
    told = {name: value for name, value in asdict(head).items() if name not in ("rule", "load")}
    book = Rulebook(**told, rules=rules, loads=loads)
    _refuse_incomplete(book, file)
    return book


# ------------------------------------------------------------------ tables of a file


def _row(
    table: dict[str, Any],
    record: type[_Record],
    where: str,
    read: Callable[[Any, Any], Any] | None = None,
) -> _Record:
    known = record.__struct_fields__
    for key in table:
        if key not in known:
            raise JobError(
                where,
                f'"{key}" is no key here',
                f"Keys: {', '.join(sorted(known))}",
                did_you_mean(key, known),
            )
    for field in msgspec.structs.fields(record):
        if field.required and field.name not in table:
            raise JobError(where, f'"{field.name}" is missing', "Every value needs it", "Add it")
    try:
        return msgspec.convert(table, record, dec_hook=read)
    except msgspec.ValidationError as error:
        what, _, place = str(error).partition(" - at `$.")
        where, cause = f"{where}: {place.rstrip('`')}", error.__cause__
        if isinstance(cause, JobError):
            raise JobError(where, cause.found, cause.allowed, cause.remedy) from error
        raise JobError(where, f"is of the wrong type: {what}") from error


def _filled(text: str, where: str) -> None:
    if not text.strip():
        raise JobError(where, "is empty", "Every value needs it", "Fill it in")


def _one_of(name: str, names: tuple[str, ...], what: str, where: str) -> None:
    if name not in names:
        raise JobError(
            where,
            f'"{name}" is no {what}',
            f"Allowed: {', '.join(sorted(names))}",
            did_you_mean(name, names),
        )


def _shared(row: _Row, head: _Head, where: str) -> dict[str, Any]:
    """What rules and loads have alike."""
    for key in ("clause", "source"):
        _filled(getattr(row, key), f"{where}: {key}")
    words = tuple(PROVENANCES)
    _one_of(row.provenance, words, "provenance", f"{where}: provenance")
    if row.clause_provenance:
        _one_of(row.clause_provenance, words, "provenance", f"{where}: clause_provenance")
    return {
        "clause": row.clause,
        "provenance": row.provenance,
        "source": row.source,
        "note": row.note,
        "when": _condition(row.when, head, f"{where}: when"),
        "clause_provenance": row.clause_provenance or row.provenance,
    }


def _rules(table: dict[str, Any], number: int, head: _Head, file: str) -> list[Rule]:
    where = f"{file}: rule {number}"
    if isinstance(table.get("check"), str):
        where += f" ({table['check']})"
    row = _row(table, _RuleRow, where)
    shared = _shared(row, head, where)
    names = [row.check] if isinstance(row.check, str) else row.check
    if not names:
        raise JobError(f"{where}: check", "is empty", "A rule is about something", "Name a check")
    rules = []
    for name in names:
        check = known_check(name, f"{where}: check")
        _one_of(row.kind, tuple(KINDS), "kind of limit", f"{where}: kind")
        _one_of(row.kind, check.kinds, f"kind of limit for {name}", f"{where}: kind")
        zero = row.kind == "needed-above"
        limit = _limit(row.limit, check.unit, head.units, f"{where}: limit", zero)
        rules.append(Rule(name, limit, row.kind, **shared))
    return rules


def _number(text: str, where: str, allowed: str) -> Fraction:
    try:
        return Fraction(text)
    except (ValueError, ZeroDivisionError) as error:
        raise JobError(where, f"{tape.as_typed(text)} is no number", allowed) from error


def _limit(text: str, unit: str, units: str, where: str, zero: bool = False) -> Fraction:
    if unit == "degrees":
        limit = tape.parse_degrees(text, where)
    elif unit == "count":
        if not (text.isascii() and text.isdigit()):
            raise JobError(where, f"{tape.as_typed(text)} is no count", "A count is a whole number")
        limit = Fraction(int(text))
    elif unit == "slope":
        limit = _number(text, where, "A slope is fall over level distance, as in 1/2")
    else:
        limit = tape.parse(text, units, where)
    if limit < 0 or limit == 0 and not zero:
        raise JobError(where, f"is {tape.as_typed(text)}", "A limit is above 0")
    return limit


def _condition(table: dict[str, Any], head: _Head, where: str) -> Condition:
    def length(_: Any, typed: Any) -> Fraction:
        if not isinstance(typed, str):
            raise TypeError(f"Expected `str | null`, got `{type(typed).__name__}`")
        return _limit(typed, "length", head.units, "")

    when = _row(table, Condition, where, length)
    if when.section is not None:
        _one_of(when.section, SECTIONS, "section", f"{where}: section")
    for use in when.use:
        _one_of(use, head.uses, "use of this rulebook", f"{where}: use")
    low, high = when.from_height, when.to_height
    if low is not None and high is not None and low >= high:
        raise JobError(
            f"{where}: to_height", "is not above from_height", "A band runs upwards", "Mend one"
        )
    return when


def _load(table: dict[str, Any], number: int, head: _Head, file: str) -> Load:
    where = f"{file}: load {number}"
    row = _row(table, _LoadRow, where)
    _one_of(row.id, tuple(LOADS), "load", f"{where}: id")
    where += f" ({row.id})"
    _one_of(row.unit, LOAD_UNITS, "unit of load", f"{where}: unit")
    shared = _shared(row, head, where)
    value = _number(row.value, f"{where}: value", "A load is a number, without its unit")
    if value <= 0:
        raise JobError(f"{where}: value", f"is {tape.as_typed(row.value)}", "A load is above 0")
    return Load(row.id, value, row.unit, row.over, **shared)


# ------------------------------------------------------------------ the file as a whole


def _can_meet(one: Condition, other: Condition) -> bool:
    """Whether there is a case in which both apply."""
    sections = {one.section, other.section} - {None}
    if "flight" in sections and len(sections) > 1:
        return False
    for key in ("handrail", "open_risers", "single_flight"):
        if {getattr(one, key), getattr(other, key)} == {True, False}:
            return False
    if one.use and other.use and not set(one.use) & set(other.use):
        return False
    for lower, upper in ((one, other), (other, one)):
        if lower.to_height is not None and lower.to_height <= (upper.from_height or 0):
            return False
    return True


def _refuse_ambiguity(what: str, entries: list[tuple[str, Rule | Load]], file: str) -> None:
    """Refuse two rules for one check, or two loads of one name, that answer the same case."""
    for index, (name, entry) in enumerate(entries):
        for other_name, other in entries[index + 1 :]:
            if name != other_name or entry.when.rank != other.when.rank:
                continue
            if _can_meet(entry.when, other.when):
                raise JobError(
                    f"{file}: {name}",
                    f"two {what} answer the same case ({entry.clause} and {other.clause})",
                    "One of a name under the same conditions",
                    "Drop one, or state what sets them apart",
                )


def _refuse_incomplete(book: Rulebook, file: str) -> None:
    for check in NEEDED:
        for section in ("flight", "level"):
            if book.rule(check, section=section) is None:
                raise JobError(
                    file,
                    f"rules nothing on {check} of a {section} section",
                    "A rulebook rules at least on the guard's height and on the balusters",
                    "Add the rule",
                )
