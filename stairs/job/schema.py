"""The JSON Schema of a job file, for editors: they complete its keys and mark what cannot be read.

Made from the records and their notes, as the page of keys is.  What one key asks of another is left
to the reader; nothing that the reader takes is refused here.
"""

import typing
from collections.abc import Iterable
from typing import Any

import msgspec

from stairs.job.agreement import OF_A_KIND
from stairs.job.key_notes import INNER, RECORDS, KeyOf, Trim, inner_record, keys_of
from stairs.job.key_page import says
from stairs.job.measured import measured_places
from stairs.job.records import MOST_STEPS, Framing, JobFlight, JobLevel, LocalOverride
from stairs.job.tables import TABLES, all_places
from stairs.job.values import LONGEST_WORDS, MOST_HOLES, MOST_LINES
from stairs.lengths.tape import DEGREES_TEXT, LENGTH_TEXT, MINUS

Schema = dict[str, Any]

_DRAFT = "https://json-schema.org/draft/2020-12/schema"
_UNITS = ("in", "mm")
_NEEDED = ("panel", "bracket", "post", "section")
_LENGTH_OF_A_RUN = ("span", "edge", "posts")  # any of them tells it


def job_schema() -> Schema:
    """The schema of a whole job file, as JSON Schema of 2020-12.

    Examples
    --------
    >>> job_schema()["$defs"]["way_to_cut"]
    {'enum': ['auto', 'even', 'half-pitch']}
    """
    tables = {table.name: table for table in TABLES}
    top = _table(TABLES[0].own_keys.values())
    for name, table in tables.items():
        if name and name not in ("section", "measured", "local", "framing"):
            top["properties"][name] = {"description": table.about} | _table(table.own_keys.values())
    top["properties"]["bracket"]["allOf"] = [
        _if({"kind": {"const": kind}}, {"required": list(keys)}, "kind")
        for kind, keys in OF_A_KIND.items()
    ]
    top["properties"]["framing"] = {"description": tables["framing"].about} | _framing()
    top["properties"]["measured"] = {"description": tables["measured"].about} | _tolerances()
    top["properties"]["local"] = {
        "description": tables["local"].about,
        "type": "object",
        "additionalProperties": _table(keys_of(LocalOverride).values()),
    }
    top["properties"]["section"] = {"type": "array", "minItems": 1, "items": _section()}
    top["required"] += _NEEDED
    top["allOf"] = [
        _if({"units": {"const": units}}, {"properties": _believed(units)}, "units")
        for units in _UNITS
    ]
    return {"$schema": _DRAFT, "title": "Job file of a stair guard"} | top | {"$defs": _DEFS}


def _if(properties: Schema, then: Schema, *required: str) -> Schema:
    return {"if": {"properties": properties, "required": list(required)}, "then": then}


def _table(keys: Iterable[KeyOf]) -> Schema:
    """A table that holds these keys and no others."""
    keys = list(keys)
    return {
        "type": "object",
        "properties": {key.name: _key(key) for key in keys},
        "required": [key.name for key in keys if key.needed],
        "additionalProperties": False,
    }


def _framing() -> Schema:
    """Framing, of which each table tells a part."""
    return _table(keys_of(Framing).values()) | {"required": []}


def _tolerances() -> Schema:
    """How far off every key that is measured may be, by its path in one or table by table."""
    made: Schema = {"type": "object", "properties": {}, "additionalProperties": False}
    for path, key in measured_places().items():
        off = _ref("angle" if key.note.reads == "degrees" else "length")
        one = {"description": f"how far off this may be: {key.meaning}"} | off
        made["properties"][path] = one
        home, *parts = made, *path.split(".")
        for part in parts[:-1]:
            table = {"type": "object", "properties": {}, "additionalProperties": False}
            home = home["properties"].setdefault(part, table)
        home["properties"][parts[-1]] = one
    return made


def _section() -> Schema:
    """A section: the keys of both kinds, and which of them belong to the other kind."""
    flight, level = keys_of(JobFlight), keys_of(JobLevel)
    whole = _table({**level, **flight}.values()) | {"required": []}
    for name in flight.keys() & level.keys():
        if (other := says(level[name])) != says(flight[name]):
            both = f"{says(flight[name])}. On a level run: {other}"
            whole["properties"][name]["description"] = both
    whole["properties"]["kind"] = _key(flight["kind"]) | {"enum": ["flight", "level"]}
    of_level: Schema = {"properties": dict.fromkeys(sorted(flight.keys() - level.keys()), False)}
    of_level["anyOf"] = [{"required": [name]} for name in _LENGTH_OF_A_RUN if name in level]
    of_flight = {"properties": dict.fromkeys(sorted(level.keys() - flight.keys()), False)}
    whole["allOf"] = [
        _if({"kind": {"const": "level"}}, of_level, "kind"),
        _if({"kind": {"const": "flight"}}, of_flight, "kind"),
    ]
    return whole


def _key(key: KeyOf) -> Schema:
    """A key: what it means, how it is written, what it may be."""
    examples = [key.written(units) for units in _UNITS]
    plain = examples[:1] if examples[0] == examples[1] else examples
    shown = [one for one in plain if one not in (None, (), "", [""])]
    return {"description": says(key)} | ({"examples": shown} if shown else {}) | _value(key)


def _value(key: KeyOf) -> Schema:
    reads = key.note.reads
    if reads in INNER:
        table = _table(keys_of(inner_record(key)).values())
        return _list(table, most=2 * MOST_STEPS) if reads == RECORDS else table
    if reads == "framing":
        return _framing()
    if reads == "plain":
        return _plain(key)
    if reads == "text" and key.note.filled:
        return _TEXT | {"pattern": r"\S"}
    if reads == "degrees":
        least, most = ("exclusiveMinimum", "exclusiveMaximum") if key.note.above else _CLOSED
        return _ref("angle") | {least: key.note.least, most: key.note.most}
    return _BY_READING.get(reads, {})


_CLOSED = ("minimum", "maximum")


def _plain(key: KeyOf) -> Schema:
    """A choice, a count, a yes or no."""
    made = msgspec.json.schema(key.type)
    for one in (made, *made.get("anyOf", ())):
        if one.get("type") == "integer":
            one |= {"minimum": key.note.least, "maximum": MOST_STEPS}
    if "anyOf" in made:  # what is left out has no word of its own
        made["anyOf"] = [one for one in made["anyOf"] if one != {"type": "null"}]
    if None in made.get("enum", ()):
        made["enum"] = [one for one in made["enum"] if one is not None]
    return made


def _ref(name: str) -> Schema:
    return {"$ref": f"#/$defs/{name}"}


def _list(items: Schema, least: int = 0, most: int = MOST_STEPS) -> Schema:
    return {"type": "array", "items": items, "minItems": least, "maxItems": most}


def _measured(pattern: str, **bounds: int) -> Schema:
    return {"type": ["number", "string"], "pattern": pattern} | bounds


_NO_MINUS = rf"^(?!\s*[{MINUS}])"
_DEFS: Schema = {
    "place": _measured(LENGTH_TEXT),
    "length": _measured(_NO_MINUS + LENGTH_TEXT[1:], minimum=0),
    "above_zero": _measured(rf"{_NO_MINUS}(?=.*[1-9½¼¾⅛⅜⅝⅞]){LENGTH_TEXT[1:]}", exclusiveMinimum=0),
    "angle": _measured(DEGREES_TEXT),
    "text": {"type": "string", "maxLength": LONGEST_WORDS},
    "way_to_cut": {"enum": sorted(typing.get_args(Trim))},
}
_PLACE, _ABOVE_ZERO, _TEXT, _WAY = map(_ref, ("place", "above_zero", "text", "way_to_cut"))
_BY_READING: dict[str, Schema] = {
    "length above 0": _ABOVE_ZERO,
    "length of 0 or more": _ref("length"),
    "place": _PLACE,
    "gap": {"anyOf": [{"const": "auto"}, _PLACE]},
    "trim": {"anyOf": [_WAY, _list(_WAY)]},
    "text": _TEXT,
    "date": _TEXT,
    "lines": {"anyOf": [_TEXT, _list(_TEXT, most=MOST_LINES)]},
    "done": _list(_TEXT),
    "stock": _list(_ABOVE_ZERO, 1),
    "lengths": _list(_ABOVE_ZERO),
    "posts": _list(_PLACE, 2),
    "points": _list(_list(_PLACE, 2, 2), 2),
    "holes": _list(_list(_PLACE, 2, 2), 1, MOST_HOLES),
}
"""What a value may be, by how it is read; what is not here is left to the reader."""


def _believed(units: str) -> Schema:
    """In which range every bare number is believed, in one unit, by table and key."""
    made: Schema = {}
    for place in all_places():
        if bounds := _bounds(place.key, units):
            home = made
            for part, listed in ((place.table.name, False), (place.within, place.listed)):
                if part:
                    home = home.setdefault(part, {})
                    home = home.setdefault("items", {}) if listed or part == "section" else home
                    home = home.setdefault("properties", {})
            home[place.key.name] = bounds
    return made


def _bounds(key: KeyOf, units: str) -> Schema:
    if key.range is None or key.note.reads not in _BELIEVED_ONE_BY_ONE:
        return {}
    found = key.range[units]
    one: Schema = {"minimum": float(found.least), "maximum": float(found.most)}
    return {"items": one} if key.note.reads == "stock" else one


_BELIEVED_ONE_BY_ONE = (
    "length above 0", "length of 0 or more", "place", "gap", "stock", "degrees",
)  # fmt: skip
