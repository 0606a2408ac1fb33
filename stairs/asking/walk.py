"""The walk: which key is asked after which, the stair first, the rail kit second, then the rest."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from typing import Any, NamedTuple

from msgspec import Struct

from stairs.job.key_notes import KeyOf, keys_of
from stairs.job.records import AsBuilt, JobFlight, JobLevel
from stairs.job.tables import TABLES, plain_word
from stairs.relations.quantities import FLIGHT_KEYS

Values = Mapping[str, Any]

NOT_ASKED = ("section", "measured", "local")
"""Tables with no keys of their own: of a section by its number, of another key, of a check."""
_RECORDS = {table.name: table.record for table in TABLES}
_KIT = ("panel", "bracket", "post")
_FIRST = (("", "units"),)
_REST = (("", "rules"), ("", "title"))
_KIT_KEYS = {
    "panel": ("height", "top_rail", "bottom_rail", "baluster", "pitch", "stock", "end_margin",
              "max_rack", "slot"),
    "bracket": ("kind", "pivot_offset", "rail_setback", "end_clearance", "max_swing"),
    "post": ("width", "base", "below", "edge_distance", "reveal", "stock", "max_spacing"),
}  # fmt: skip
_JOINS = ("turn", "start", "post_gap")
_FLIGHT = ("rises", "runs", "rise", "risers", "run", "treads", "unit_rise", "unit_run", "rake",
           "nosing", "tread_thickness", "open_risers", "stringer", "stringer_margin", "handrail",
           "posts", "bottom_gap")  # fmt: skip
_LEVEL = ("edge", "opening", "span", "posts", "surface", "drop", "bottom_gap")

ONLY_IF = {"rises": "only if the steps differ from each other, "}
"""What is said before a question that most jobs leave out."""

ASKED_IF: dict[str, Callable[[Values], bool]] = {
    "opening": lambda table: "edge" in table,
    "runs": lambda table: "rises" in table,
    "stringer_margin": lambda table: table.get("stringer") == "closed",
    "pivot_offset": lambda table: table.get("kind") == "pivot",
    "rail_setback": lambda table: table.get("kind") == "pivot",
    "max_swing": lambda table: table.get("kind") == "pivot",
    "end_clearance": lambda table: table.get("kind") == "plumb-cut",
    "below": lambda table: "base" not in table,
    "edge_distance": lambda table: "base" in table,
    "post_gap": lambda table: table.get("start") == "own",
}
"""What is asked only where another key of its table has an answer that calls for it."""


class Place(NamedTuple):
    """Where a key stands in the job file."""

    table: str  # empty above all tables
    key: str
    number: int = 0  # of the section, from 1
    post: int = 0  # of which it is told how it stands, from 1
    hand: str = ""  # on which that is told, where the section has a guard on both

    @property
    def spoken(self) -> str:
        """The place as messages name it."""
        number = f"section {self.number}" if self.number else self.table
        if self.post:
            number += f", post {self.post}" + (f" {self.hand}" if self.hand else "")
        return f"{number}: {self.key}" if number else self.key


OWN_VALUES = Place("local", "")
"""Where values over the rulebook's are asked for, one after the other."""


def is_table(name: str) -> bool:
    """Whether keys are asked of a table; empty stands for what is above all tables."""
    return name in _RECORDS


def sections_of(mapping: Values) -> list[Values]:
    """The sections of a job file that is not whole yet, foot of the stair first."""
    found = mapping.get("section", [])
    return [one for one in found if isinstance(one, dict)] if isinstance(found, list) else []


def table_of(mapping: Values, place: Place) -> Values:
    """The table that holds a key, empty where it is not there yet."""
    if not place.table:
        return mapping
    if place.number:
        sections = sections_of(mapping)
        section = sections[place.number - 1] if place.number <= len(sections) else {}
        if not place.post:
            return section
        at = built_at(section, place)
        return {} if at is None else section["as_built"][at]
    found = mapping.get(place.table, {})
    return found if isinstance(found, dict) else {}


def built_at(section: Values, place: Place) -> int | None:
    """Which of a section's ``as_built`` tables tells of a post, from 0; None where none does.

    One without a hand tells of both, and goes behind one that has it.
    """
    found = section.get("as_built", [])
    tables = found if isinstance(found, list) else []
    for hand in dict.fromkeys((place.hand or "both", *(() if place.hand else ("right", "left")))):
        for at, one in enumerate(tables):
            is_dict = isinstance(one, dict)
            if is_dict and (one.get("post"), one.get("hand", "both")) == (place.post, hand):
                return at
    return None


def kind_of(section: Values) -> str:
    """What kind a section is, as the job room takes it."""
    told = section.get("kind", "level" if {"span", "edge"} & section.keys() else "flight")
    return "level" if told == "level" else "flight"


def record_at(mapping: Values, place: Place) -> type[Struct]:
    """The record that holds the keys of the table in which a place is."""
    if place.post:
        return AsBuilt
    if place.number:
        return JobLevel if kind_of(table_of(mapping, place)) == "level" else JobFlight
    return _RECORDS[place.table]


def keys_at(mapping: Values, place: Place) -> dict[str, KeyOf]:
    """The keys of the table in which a place is."""
    return keys_of(record_at(mapping, place))


def walked(kind: str, number: int) -> tuple[str, ...]:
    """The keys that are asked of a section, in order; ``number`` from 1."""
    return (_JOINS if number > 1 else ()) + (_LEVEL if kind == "level" else _FLIGHT)


def walk(mapping: Values) -> Iterator[Place]:
    """Every question that may come up, in order; the section that is not there yet last of them."""
    yield from (Place(*one) for one in _FIRST)
    sections = sections_of(mapping)
    for number, section in enumerate(sections, 1):
        yield from (Place("section", key, number) for key in walked(kind_of(section), number))
    yield Place("section", "kind", len(sections) + 1)
    for table in _KIT:
        yield from (Place(table, key) for key in _KIT_KEYS[table])
    yield from (Place(*one) for one in _REST)
    yield OWN_VALUES


def is_called_for(mapping: Values, place: Place, fixed: bool) -> bool:
    """Whether a question comes up, by what was answered; ``fixed`` where its steps are known."""
    table = table_of(mapping, place)
    if place.key in ASKED_IF and not ASKED_IF[place.key](table):
        return False
    if place.number and place.key == "kind":  # one more section, before the rail kit was begun
        return place.number == 1 or not any(mapping.get(name) for name in _KIT)
    if place.table == "section" and place.key in (*FLIGHT_KEYS, "rises"):
        if place.key == "rises" and any(key in table for key in FLIGHT_KEYS):
            return False
        return not fixed and "nosings" not in table and "rises" not in table
    return not (place.key == "span" and ("posts" in table or "edge" in table))


ABOVE_SECTIONS = {"": tuple(key for _, key in (*_FIRST, *_REST)), **_KIT_KEYS}
"""What is asked of the tables that are no sections, by table, as a new file holds them."""


def named(mapping: Values, words: str, near: Place | None = None) -> list[Place]:
    """The places that words can mean: a key or its letter, behind its table where that is said.

    Examples
    --------
    >>> [one.spoken for one in named({"section": [{"rise": 4}]}, "H") + named({}, "post width")]
    ['section 1: rise', 'post: width']
    """
    match = re.fullmatch(r"(?:([A-Za-z]+)?[ .:]*([0-9]+)?[ .:]+)?([\w ]*?\S)", words.strip())
    if match is None:
        return []
    said, number, name = match.groups()
    found = []
    tables = [Place(table, "") for table in _RECORDS if table not in NOT_ASKED]
    tables += [Place("section", "", n) for n in range(1, len(sections_of(mapping)) + 1)]
    if near and near.post:
        tables.insert(0, near)
    for table in tables:
        if said and said.lower() not in (table.table, f"{table.table}s"):
            continue
        if number and int(number) != table.number:
            continue
        for key, what in keys_at(mapping, table).items():
            lettered = name == what.letter and what.note.reads != "lengths"  # one, not a list
            if lettered or plain_word(name) == key:
                found.append(table._replace(key=key))
    here = [one for one in found if near and one._replace(key=near.key) == near]
    return here or found
