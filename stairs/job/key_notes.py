"""Notes: what stands beside a key of the job file, for its reading and for its messages.

A note says how a key is read (a length, an angle, a choice), what it measures in words, which
values it may take, and how an example looks in inches and in millimetres.  The records carry their
notes as annotations; the reader (:mod:`stairs.job.table`) and the form (:mod:`stairs.job.form`)
take all that they say from them.
"""

import functools
import typing
from collections.abc import Mapping
from fractions import Fraction
from typing import Any, Literal

import msgspec

from stairs.job.ranges import Range, range_of
from stairs.lengths.tape import exact_text

_Record = typing.TypeVar("_Record", bound=msgspec.Struct)


def note(reads: str, meaning: str, **extra: Any) -> msgspec.Meta:
    """Any note: how the key is read, and what it measures.

    Parameters
    ----------
    reads : str
        Which of the readings of :class:`stairs.job.table.Table` takes it, such as ``"length"``.
    meaning : str
        What it measures, in words that follow "It is".
    **extra
        Whatever else the reading or the form has to know.
    """
    return msgspec.Meta(description=meaning, extra={"reads": reads, **extra})


def above_zero(meaning: str, inch: str, metric: str, **extra: Any) -> msgspec.Meta:
    """The note of a length above 0.

    Parameters
    ----------
    meaning : str
        What it measures, in words that follow "It is".
    inch, metric : str
        An example as one types it, in inches and in millimetres.
    **extra
        As for :func:`note`.
    """
    return note("length", meaning, least=0, above=True, example=(inch, metric), **extra)


def from_zero(meaning: str, inch: str, metric: str, **extra: Any) -> msgspec.Meta:
    """The note of a length that may be 0.

    Parameters
    ----------
    meaning, inch, metric, **extra
        As for :func:`above_zero`.
    """
    return note("length", meaning, least=0, above=False, example=(inch, metric), **extra)


def degrees(meaning: str, **extra: Any) -> msgspec.Meta:
    """The note of an angle [degrees].

    Parameters
    ----------
    meaning, **extra
        As for :func:`note`; ``least``, ``most`` and ``above`` bound the angle.
    """
    return note("degrees", meaning, **extra)


def plain(meaning: str, allowed: str, **extra: Any) -> msgspec.Meta:
    """The note of a choice, a whole number, a text or a yes or no.

    Parameters
    ----------
    meaning : str
        What it is, in words that follow "It is".
    allowed : str
        The values that it may take, in words.
    **extra
        As for :func:`note`.
    """
    return note("plain", meaning, allowed=allowed, **extra)


FLAT = msgspec.Meta(extra={"reads": "flat"})
"""Of a field that holds a record whose keys stand in the table itself."""

YES_OR_NO = "true or false, without quotes"

TRIM_WORDS = '"even", "half-pitch" or "auto"'
TRIM_ASSUMED = "rails are cut whichever way is better, bay by bay"
Trim = Literal["even", "half-pitch", "auto"]
"""How a rail is cut from stock; ``"auto"`` takes, bay by bay, the one of the two that is better."""


class KeyOf(typing.NamedTuple):
    """One key of a table: its type, its note, what it is when left out, and its range by unit."""

    type: Any
    note: dict[str, Any]
    meaning: str
    default: Any  # msgspec.NODEFAULT where the key must be given
    range: dict[str, Range] | None


@functools.cache
def keys_of(record: type[msgspec.Struct]) -> dict[str, KeyOf]:
    """The keys of a record that a job file may hold: its own first, then those that it shares.

    Parameters
    ----------
    record : type
        One of the records of :mod:`stairs.job.records`.

    Returns
    -------
    dict of str to KeyOf
        By key; fields without a note are left out.

    Examples
    --------
    >>> from stairs.job.records import Slot
    >>> list(keys_of(Slot))
    ['length', 'wall']
    """
    hints = typing.get_type_hints(record, include_extras=True)
    keys = {}
    own = record.__annotations__
    for field in sorted(msgspec.structs.fields(record), key=lambda one: one.name not in own):
        annotation = hints[field.name]
        if typing.get_origin(annotation) is not typing.Annotated:
            continue
        meta = annotation.__metadata__[0]
        if meta is FLAT:
            keys |= keys_of(annotation.__origin__)
            continue
        keys[field.name] = KeyOf(
            annotation.__origin__,
            meta.extra,
            meta.description,
            field.default,
            range_of(record.__name__, field.name),
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
    >>> from stairs.job.records import JobLevel
    >>> [value_of(JobLevel(span=Fraction(96)), key) for key in ("start", "rise")]
    ['post', None]
    """
    home, _ = _homes(type(record)).get(key, ("", None))
    return getattr(getattr(record, home) if home else record, key, None)


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
    homes = dict(_homes(record).values())
    changes = _by_field(record, values)
    for field, inner in homes.items():
        if field in changes:
            changes[field] = inner(**changes[field])
    return record(**changes)


def _by_field(record: type[msgspec.Struct], values: Mapping[str, Any]) -> dict[str, Any]:
    """The values by the record's own fields; those of a record in it as a dict of theirs."""
    homes, changes = _homes(record), {}
    for key, value in values.items():
        field, _ = homes.get(key, ("", None))
        if field:
            changes.setdefault(field, {})[key] = value
        else:
            changes[key] = value
    return changes


def inner_record(what: KeyOf) -> type[msgspec.Struct]:
    """The record whose keys stand in braces behind a key.

    Parameters
    ----------
    what : KeyOf
        Of a key that is read as ``"inner"``.
    """
    return next(one for one in typing.get_args(what.type) if one is not type(None))


def assumed_text(value: Any, what: KeyOf, units: str) -> str:
    """The value of a key that was left out, in words; empty where nothing is assumed.

    Parameters
    ----------
    value : object
        What it was taken as; a length in the job's unit, an angle in degrees.
    what : KeyOf
        The key.
    units : str
        ``"in"`` or ``"mm"``.

    Examples
    --------
    >>> from stairs.job.records import JobFlight
    >>> assumed_text(False, keys_of(JobFlight)["handrail"], "in")
    'false'
    """
    if value is None or value == ():
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, Fraction):
        return f"{value} degrees" if what.note["reads"] == "degrees" else exact_text(value, units)
    return str(value)


def assumption(key: str, value: Any, what: KeyOf, units: str) -> str:
    """What was assumed of a key that was left out, in words, and how the job file would say it.

    Empty where nothing was assumed.

    Parameters
    ----------
    key : str
        As the job file has it.
    value, what, units
        As for :func:`assumed_text`.

    Examples
    --------
    >>> from stairs.job.records import JobFlight
    >>> print(assumption("open_risers", False, keys_of(JobFlight)["open_risers"], "in"))
    risers are closed (open_risers = false)
    """
    text = assumed_text(value, what, units)
    says = what.note.get("says", {}).get(value)
    if not text or says is None:
        return f"{key} {text}" if text else ""
    typed = f'"{text}"' if isinstance(value, str) else f"{value}".lower()
    return f"{says} ({key} = {typed})"
