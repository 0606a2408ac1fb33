"""Notes: what is told of each key of the job file, for its reading and for its messages.

A note says how a key is read (a length, an angle, a choice), what it measures in words, in which
range it is believed, and how an example looks in inches and in millimetres.  The notes stand in
``keys.json``, by record and field; the reader (:mod:`stairs.job.table`), the form
(:mod:`stairs.job.form`) and the page of keys (:mod:`stairs.job.key_page`) take all that they say
from there.

The keys of a table stand flat in the file.  A record that has many of them holds some in records of
its own, which are noted :data:`FLAT`; :func:`value_of`, :func:`with_values` and :func:`record_of`
go by the key, wherever the record holds it.
"""

import functools
import typing
from collections.abc import Mapping
from fractions import Fraction
from importlib import resources
from typing import Any, Literal

import msgspec

from stairs.job.ranges import Range, range_from
from stairs.lengths.tape_marks import exact_text
from stairs.relations.quantities import AS_BUILT, TYPED

_Record = typing.TypeVar("_Record", bound=msgspec.Struct)
_UNITS = ("in", "mm")

_TABLES = {
    "Job": "",
    "Panel": "panel",
    "Slot": "slot",
    "Bracket": "bracket",
    "BracketBody": "body",
    "PostKind": "post",
    "Framing": "framing",
    "GroundSlope": "ground_slope",
    "Tolerance": "measured",
    "LocalOverride": "local",
    "SheetKeys": "sheet",
    "AsBuilt": "as_built",
}
"""By record, the table of the names page in which its keys are typed; the others' is a section."""

FLAT = msgspec.Meta(extra={"flat": True})
"""Of a field that holds a record whose keys stand in the table itself."""

RECORDS = "records"
INNER = ("inner", RECORDS)
"""How keys are read that hold a record of their own, in braces, or a list of such records."""

Trim = Literal["even", "half-pitch", "auto"]
"""How a rail is cut from stock; ``"auto"`` takes, bay by bay, the one of the two that is better."""


class Note(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What ``keys.json`` tells of one key; pairs are by unit, inches first.

    Ranges are judgement, no source: wide, so that no guard that can be built is refused.
    """

    meaning: str = msgspec.field(name="is")  # in words that follow "It is"
    reads: str = "plain"  # one of READERS of values.py; plain: a choice, a count, a yes or no
    example: tuple[str, str] | None = None  # how a length is typed
    sample: tuple[Any, Any] | None = None  # a whole value, where an example is not one
    # Believed from, usual from, usual to, believed to.  Outside of the first and the last a bare
    # number is asked about, outside of the middle two it is told.
    range: tuple[str, str] | None = None
    left_out: tuple[str, str] | None = None  # where the record has no default of its own
    says: str = ""  # its default in words, for the list of what was assumed
    allowed: str = ""  # which values there are, where the type does not say
    least: int = 0  # of a count, or degrees
    most: int = 0
    above: bool = False  # whether these two are none themselves
    measured: bool = False  # whether a check may hang on how far off it was measured
    quiet: bool = False  # whether its default is not listed
    filled: bool = False  # whether a text may not be blank
    said: dict[str, tuple[str, ...]] = {}  # by a value, what people say for it
    called: tuple[str, ...] = ()  # what people call it who have another word for it
    more: str = ""  # what else a user has to know, for the page of keys


class KeyOf(typing.NamedTuple):
    """One key of a table: its type, its note, what it is when left out, and its range by unit."""

    name: str
    type: Any
    note: Note
    default: Any  # msgspec.NODEFAULT where the key must be given
    range: dict[str, Range] | None
    letter: str = ""  # of the names page, where it is measured and has one

    @property
    def meaning(self) -> str:
        """What it measures, in words that follow "It is"."""
        return self.note.meaning

    @property
    def is_length(self) -> bool:
        """Whether it is a length of 0 or more."""
        return self.note.reads.startswith("length ")

    @property
    def needed(self) -> bool:
        """Whether the key must be given; what is assumed in its place by unit is no default."""
        return self.default is msgspec.NODEFAULT and self.note.left_out is None

    @property
    def action(self) -> str:
        """What to do where it is missing, as a message begins to ask for it."""
        asked = "Measure it" if self.is_length or self.letter else "Choose it"
        return asked + (
            f" ({self.letter} in the picture that stairs form draws)" if self.letter else ""
        )

    @property
    def choices(self) -> list[str]:
        """The words that the key may be."""
        return list(dict.fromkeys(_words(self.type)))

    def meant(self, word: object) -> str:
        """The value that some people call so, as it is typed; empty where there is none."""
        said = " ".join(str(word).lower().replace("-", " ").split())
        for value, others in self.note.said.items():
            if said in others:
                return value if value.lstrip("-").isdigit() else toml_text(value)
        return ""

    @property
    def allowed(self) -> str:
        """Which values a choice, a whole number or a yes or no may take, in words."""
        if self.type is bool:
            return "true or false, without quotes"
        *others, last = (f'"{word}"' for word in self.choices or ("",))
        return self.note.allowed or (f"{', '.join(others)} or {last}" if others else last)

    def example(self, units: str) -> str:
        """How a value of the key, or one of its list, is typed."""
        return toml_text((self.note.example or ("", ""))[_UNITS.index(units)])

    def written(self, units: str) -> Any:
        """A whole value, as it is written in a job file."""
        if by_unit := self.note.sample or self.note.example:
            return by_unit[_UNITS.index(units)]
        if self.default in (None, msgspec.NODEFAULT) and self.choices:
            return "auto" if "auto" in self.choices else self.choices[0]
        return self.left_out(units)

    def sample(self, units: str) -> str:
        """The key as one would type it in a job file."""
        return f"{self.name} = {toml_text(self.written(units))}"

    def left_out(self, units: str) -> Any:
        """What the key is where the job leaves it out: the same in any unit, or by unit."""
        if self.note.left_out is None:
            return self.default
        text = self.note.left_out[_UNITS.index(units)]
        return Fraction(text) if self.is_length else text


def toml_text(value: object) -> str:
    """A value as it is written in a job file; texts in it hold no control characters.

    Examples
    --------
    >>> print(toml_text(["72", 5, {"wall": "1/16"}]), toml_text(True))
    ["72", 5, { wall = "1/16" }] true
    """
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{key} = {toml_text(one)}" for key, one in value.items()) + " }"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(map(toml_text, value)) + "]"
    if isinstance(value, str):
        return '"' + value.replace("\\", "\\\\").replace('"', '\\"') + '"'
    return str(value)


@functools.cache
def _notes() -> dict[str, dict[str, Note]]:
    """Every note, by record and by field."""
    content = (resources.files("stairs.job") / "keys.json").read_bytes()
    return msgspec.json.decode(content, type=dict[str, dict[str, Note]])


def _words(annotation: Any) -> list[str]:
    """The words that an annotation allows, those inside a union or a list included."""
    if isinstance(annotation, str):
        return [annotation]
    return [word for part in typing.get_args(annotation) for word in _words(part)]


@functools.cache
def keys_of(record: type[msgspec.Struct]) -> dict[str, KeyOf]:
    """The keys of a record that a job file may hold: its own first, then those that it shares.

    Fields without a note are left out.

    Examples
    --------
    >>> from stairs.job.records import Slot
    >>> list(keys_of(Slot))
    ['length', 'wall']
    """
    hints = typing.get_type_hints(record, include_extras=True)
    notes: dict[str, Note] = {}
    for base in reversed(record.__mro__):
        notes |= _notes().get(base.__name__, {})
    keys: dict[str, KeyOf] = {}
    own = record.__annotations__
    for field in sorted(msgspec.structs.fields(record), key=lambda one: one.name not in own):
        kind = hints[field.name]
        if field.name in notes:
            note = notes[field.name]
            believed = None
            if note.range is not None:
                believed = dict(zip(_UNITS, map(range_from, note.range), strict=True))
            table = _TABLES.get(record.__name__, "section")
            own = AS_BUILT if table == "as_built" else {}
            typed = own.get(field.name) or TYPED.get((table, field.name))
            letter = typed.symbol if typed else ""
            keys[field.name] = KeyOf(field.name, kind, note, field.default, believed, letter)
        elif typing.get_origin(kind) is typing.Annotated:
            keys |= keys_of(kind.__origin__)
    return keys


@functools.cache
def _homes(record: type[msgspec.Struct]) -> dict[str, tuple[str, type[msgspec.Struct]]]:
    """By key: the field of the record, and the record in it, that the key's value is in."""
    hints = typing.get_type_hints(record, include_extras=True)
    return {
        key: (field, hint.__origin__)
        for field, hint in hints.items()
        if typing.get_origin(hint) is typing.Annotated and hint.__metadata__[0] is FLAT
        for key in hint.__origin__.__struct_fields__
    }


def value_of(record: msgspec.Struct, key: str) -> Any:
    """The value of a key of the job file, wherever the record holds it.

    None where the record has no such key.

    Examples
    --------
    >>> from stairs.job.records import JobLevel
    >>> [value_of(JobLevel(span=Fraction(96)), key) for key in ("start", "rise")]
    ['post', None]
    """
    homes = _homes(type(record))
    return getattr(getattr(record, homes[key][0]) if key in homes else record, key, None)


def with_values(record: _Record, **values: Any) -> _Record:
    """The record with other values of some of its keys, wherever it holds them.

    Examples
    --------
    >>> from stairs.job.records import JobLevel
    >>> with_values(JobLevel(span=Fraction(96)), start="wall", bays=2).ends.start
    'wall'
    """
    changes = _by_field(type(record), values)
    for field in {field for field, _ in _homes(type(record)).values()} & changes.keys():
        changes[field] = msgspec.structs.replace(getattr(record, field), **changes[field])
    return msgspec.structs.replace(record, **changes)


def record_of(record: type[_Record], **values: Any) -> _Record:
    """A record made of the values of its keys, as flat as the job file has them."""
    changes = _by_field(record, values)
    for field, inner in dict(_homes(record).values()).items():
        if field in changes:
            changes[field] = inner(**changes[field])
    return record(**changes)


def _by_field(record: type[msgspec.Struct], values: Mapping[str, Any]) -> dict[str, Any]:
    """The values by the record's own fields; those of a record in it as a dict of theirs."""
    homes = _homes(record)
    changes: dict[str, Any] = {}
    for key, value in values.items():
        if key in homes:
            changes.setdefault(homes[key][0], {})[key] = value
        else:
            changes[key] = value
    return changes


def inner_record(what: KeyOf) -> type[msgspec.Struct]:
    """The record whose keys a key holds that is read as one of :data:`INNER`."""
    record: type[msgspec.Struct] = typing.get_args(what.type)[0]
    return record


def assumed_text(value: Any, what: KeyOf, units: str) -> str:
    """The value of a key that was left out, in words; empty where nothing is assumed."""
    if value is None or value == ():
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, Fraction):
        return f"{value} degrees" if what.note.reads == "degrees" else exact_text(value, units)
    return str(value)


def assumption(value: Any, what: KeyOf, units: str) -> str:
    """What was assumed of a key that was left out, in words, and how the job file would say it.

    Empty where nothing was assumed.

    Examples
    --------
    >>> from stairs.job.records import JobFlight
    >>> print(assumption(False, keys_of(JobFlight)["open_risers"], "in"))
    risers are closed (open_risers = false)
    """
    text = assumed_text(value, what, units)
    if not text or not what.note.says:
        return f"{what.name} {text}" if text else ""
    typed = f'"{text}"' if isinstance(value, str) else f"{value}".lower()
    return f"{what.note.says} ({what.name} = {typed})"
