"""What a person types, made into a value of a key as it stands in a job file.

Only the form is made here: brackets around a list, ``true`` for a yes, a number for a count.  What
the value may be is read, believed or refused by the job room's own readers.
"""

from __future__ import annotations

import re
import tomllib
import typing
from typing import Any

from stairs.errors import JobError
from stairs.job.key_notes import KeyOf, inner_record, keys_of
from stairs.lengths.tape import as_typed, parse, without_commas

LONGEST_ANSWER = 4000  # characters; a list of a hundred lengths is shorter
_YES, _NO = ("yes", "y", "true", "on"), ("no", "n", "false", "off")
_ELSE_CALLED = {
    "stair": "flight", "stairs": "flight", "steps": "flight",
    "deck": "level", "landing": "level", "porch": "level", "balcony": "level",
}  # fmt: skip
_LISTED = ("stock", "lengths", "posts", "lines", "done")
_QUOTES = "\"'“”„‟«»‘’"
_BETWEEN = re.compile(r"\s*;\s*|\s*,\s*|\s+and\s+|\s+x\s+|\s*×\s*")


def value_from(words: str, what: KeyOf, units: str) -> Any:
    """The value that was typed, in the form in which a job file holds it.

    Raises
    ------
    JobError
        For a list or a table in TOML that cannot be read, and for letters that are none.

    Examples
    --------
    >>> from stairs.job.records import Panel
    >>> panel = keys_of(Panel)
    >>> value_from("72, 8 ft", panel["stock"], "in"), value_from("36,25", panel["height"], "in")
    (['72', '8 ft'], '36.25')
    >>> value_from("1 1/8, 1/16", panel["slot"], "in")
    {'length': '1 1/8', 'wall': '1/16'}
    """
    _refuse_odd(words, what)
    if words[0] in "[{":
        return _literal(words, what)
    if what.note.reads == "inner":
        keys = keys_of(inner_record(what))
        parts = [_unquoted(part) for part in _BETWEEN.split(words)]
        if len(parts) != len(keys):
            meanings = ", then ".join(one.meaning for one in keys.values())
            example = ", ".join(str(one.written(units)) for one in keys.values())
            raise JobError(
                what.name, f"{as_typed(words)} is not {len(keys)} measurements",
                f"{meanings[:1].upper()}{meanings[1:]}", f"Write both, as in {example}",
            )  # fmt: skip
        made = zip(keys, parts, strict=True)
        return {name: value_from(part or " ", keys[name], units) for name, part in made}
    if what.note.reads in _LISTED:
        parts = [words] if what.note.reads == "lines" else _BETWEEN.split(words.rstrip(",; "))
        return [_number(_unquoted(part), units) for part in parts]
    words = _unquoted(words)
    if what.note.reads == "plain":
        return _choice(words, what)
    return words if what.note.reads in ("text", "date") else _number(words, units)


def _refuse_odd(words: str, what: KeyOf) -> None:
    odd = next((one for one in words if not one.isprintable() or one == "\ufffd"), None)
    if odd is not None or len(words) > LONGEST_ANSWER:
        found = f"has {len(words)} characters"
        if odd is not None:
            found = f"holds a character that cannot be read, U+{ord(odd):04X}"
        raise JobError(what.name, found, "Letters, figures and signs are read", "Type it again")


def _literal(words: str, what: KeyOf) -> Any:
    """A list, or a table in braces, as a job file holds it."""
    try:
        value: Any = tomllib.loads(f"x = {words}")["x"]
    except (ValueError, RecursionError):
        sample = what.sample("in").partition(" = ")[2]
        raise JobError(
            what.name, f"{as_typed(words)} cannot be read", "It is read as in a job file",
            f"Write it as in {sample}" if sample.startswith(words[0]) else "Leave the brackets off",
        ) from None  # fmt: skip
    return value


def _unquoted(words: str) -> str:
    """The words without quotes around all of them; an inch mark at the end stays."""
    words = words.strip()
    if len(words) > 1 and words[0] in _QUOTES and words[-1] in _QUOTES:
        words = words[1:-1].strip()
    return words


def _number(words: str, units: str) -> int | str:
    """A length or an angle: whole millimetres and degrees bare, the rest as it was typed."""
    words = without_commas(words.lower()) or words
    return int(words) if units == "mm" and re.fullmatch(r"-?[0-9]{1,9}", words) else words


def _choice(words: str, what: KeyOf) -> Any:
    """One of the key's words, a count, or a yes or no; other words as they are."""
    word = re.sub(r"[ _]+", "-", words.lower())
    if what.type is bool:
        return word in _YES if word in _YES + _NO else words
    if int in (what.type, *typing.get_args(what.type)):
        counted = re.fullmatch(r"([0-9]{1,6})( [a-z]+)?", words.lower())
        if counted:
            return int(counted[1])
    if what.name == "units":
        return _unit(words)
    choices = what.choices or (["flight", "level"] if what.name == "kind" else [])
    word = _ELSE_CALLED.get(word, word)
    begun = [one for one in choices if one.startswith(word)]
    return begun[0] if word not in choices and len(begun) == 1 else word


def _unit(words: str) -> str:
    """The unit that a word names, in the job file's word for it."""
    for unit in ("in", "mm"):
        try:
            if parse(f"1 {words}", unit) == 1:
                return unit
        except JobError:
            continue
    return words
