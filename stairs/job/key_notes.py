"""Notes: what stands beside a key of the job file, for its reading and for its messages.

A note says how a key is read (a length, an angle, a choice), what it measures in words, which
values it may take, and how an example looks in inches and in millimetres.  The records carry their
notes as annotations; the reader (:mod:`stairs.job.table`), the form (:mod:`stairs.job.form`) and
the page of keys (:mod:`stairs.job.key_page`) take all that they say from them.

The keys of a table stand flat in the file.  A record that has many of them holds some in records of
its own, which are noted :data:`FLAT`; :func:`value_of`, :func:`with_values` and :func:`record_of`
go by the key, wherever the record holds it.
"""

import functools
import typing
from collections.abc import Mapping
from fractions import Fraction
from typing import Any, Literal

import msgspec

from stairs.job.ranges import Range, range_of
from stairs.lengths.tape_marks import exact_text

_Record = typing.TypeVar("_Record", bound=msgspec.Struct)


def note(reads: str, meaning: str, **extra: Any) -> msgspec.Meta:
    """Any note: how the key is read, what it measures (in words that follow "It is"), and more.

    ``reads`` is one of :data:`stairs.job.values.READERS`.
    """
    return msgspec.Meta(description=meaning, extra={"reads": reads, **extra})


def above_zero(meaning: str, inch: str, metric: str, **extra: Any) -> msgspec.Meta:
    """The note of a length above 0, with an example in inches and one in millimetres."""
    return note("length", meaning, least=0, above=True, example=(inch, metric), **extra)


def from_zero(meaning: str, inch: str, metric: str, **extra: Any) -> msgspec.Meta:
    """The note of a length that may be 0, with an example in inches and one in millimetres."""
    return note("length", meaning, least=0, above=False, example=(inch, metric), **extra)


def degrees(meaning: str, **extra: Any) -> msgspec.Meta:
    """The note of an angle [degrees]; ``least``, ``most`` and ``above`` bound it."""
    return note("degrees", meaning, **extra)


def plain(meaning: str, allowed: str = "", **extra: Any) -> msgspec.Meta:
    """The note of a choice, a whole number or a yes or no.

    ``allowed`` says in words which values there are, where the type does not.
    """
    return note("plain", meaning, allowed=allowed, **extra)


FLAT = msgspec.Meta(extra={"reads": "flat"})
"""Of a field that holds a record whose keys stand in the table itself."""

TRIM_ASSUMED = "rails are cut whichever way is better, bay by bay"
Trim = Literal["even", "half-pitch", "auto"]
"""How a rail is cut from stock; ``"auto"`` takes, bay by bay, the one of the two that is better."""


class KeyOf(typing.NamedTuple):
    """One key of a table: its type, its note, what it is when left out, and its range by unit."""

    name: str
    type: Any
    note: dict[str, Any]
    meaning: str
    default: Any  # msgspec.NODEFAULT where the key must be given
    range: dict[str, Range] | None

    @property
    def needed(self) -> bool:
        """Whether the key must be given; what is assumed in its place by unit is no default."""
        return self.default is msgspec.NODEFAULT and "assumed" not in self.note

    @property
    def choices(self) -> list[str]:
        """The words that the key may be."""
        return list(dict.fromkeys(_words(self.type)))

    @property
    def allowed(self) -> str:
        """Which values a choice, a whole number or a yes or no may take, in words."""
        if self.type is bool:
            return "true or false, without quotes"
        *others, last = (f'"{word}"' for word in self.choices or ("",))
        words = f"{', '.join(others)} or {last}" if others else last
        return self.note.get("allowed") or words

    def example(self, units: str) -> str:
        """How a value of the key is typed, without quotes."""
        return str(self.note["example"][units == "mm"])

    def sample(self, units: str) -> str:
        """The key as one would type it in a job file."""
        choice = self.choices[0] if self.choices else ""
        value = self.note.get("sample") or f'"{choice or self.example(units)}"'
        return f"{self.name} = {value}"

    def left_out(self, units: str) -> Any:
        """What the key is where the job leaves it out: the same in any unit, or by unit."""
        assumed = self.note.get("assumed")
        return assumed[units == "mm"] if assumed else self.default


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
    keys: dict[str, KeyOf] = {}
    own = record.__annotations__
    for field in sorted(msgspec.structs.fields(record), key=lambda one: one.name not in own):
        annotation = hints[field.name]
        if typing.get_origin(annotation) is not typing.Annotated:
            continue
        meta, kind = annotation.__metadata__[0], annotation.__origin__
        if meta is FLAT:
            keys |= keys_of(kind)
            continue
        believed = range_of(record.__name__, field.name)
        keys[field.name] = KeyOf(
            field.name, kind, meta.extra, meta.description, field.default, believed
        )
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
    >>> from stairs.job.section_records import JobLevel
    >>> [value_of(JobLevel(span=Fraction(96)), key) for key in ("start", "rise")]
    ['post', None]
    """
    homes = _homes(type(record))
    return getattr(getattr(record, homes[key][0]) if key in homes else record, key, None)


def with_values(record: _Record, **values: Any) -> _Record:
    """The record with other values of some of its keys, wherever it holds them.

    Examples
    --------
    >>> from stairs.job.section_records import JobLevel
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
    """The record whose keys stand in braces behind a key that is read as ``"inner"``."""
    record: type[msgspec.Struct] = typing.get_args(what.type)[0]
    return record


def assumed_text(value: Any, what: KeyOf, units: str) -> str:
    """The value of a key that was left out, in words; empty where nothing is assumed."""
    if value is None or value == ():
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, Fraction):
        return f"{value} degrees" if what.note["reads"] == "degrees" else exact_text(value, units)
    return str(value)


def assumption(value: Any, what: KeyOf, units: str) -> str:
    """What was assumed of a key that was left out, in words, and how the job file would say it.

    Empty where nothing was assumed.

    Examples
    --------
    >>> from stairs.job.section_records import JobFlight
    >>> print(assumption(False, keys_of(JobFlight)["open_risers"], "in"))
    risers are closed (open_risers = false)
    """
    text = assumed_text(value, what, units)
    says = what.note.get("says", {}).get(value)
    if not text or says is None:
        return f"{what.name} {text}" if text else ""
    typed = f'"{text}"' if isinstance(value, str) else f"{value}".lower()
    return f"{says} ({what.name} = {typed})"
