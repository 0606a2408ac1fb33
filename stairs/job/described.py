"""A key of the job file told in full, or all keys of a table, as ``stairs describe`` prints it."""

import difflib
import textwrap
from collections.abc import Iterator

from stairs.errors import JobError
from stairs.job.form import plainly
from stairs.job.key_notes import INNER, KeyOf, assumed_text, toml_text
from stairs.job.ranges import Range, range_text
from stairs.job.tables import (
    TABLES,
    JobTable,
    Place,
    all_places,
    places_called,
    places_named,
    plain_word,
)
from stairs.lengths.tape import as_typed
from stairs.lengths.tape_marks import exact_text

_WIDE, _COLUMN = 80, 11
_UNITS = ("in", "mm")
_KINDS = {"degrees": "degrees", "trim": "a word", "text": "text", "date": "a date", "lines": "text",
          "done": "text, in a list"}  # fmt: skip


def described(word: str) -> str:
    """All that is known of a key, by its name or by another word for it; or of a table's keys.

    Raises
    ------
    JobError
        Where there is no such key; the nearest are named.

    Examples
    --------
    >>> print(described("slot.wall"))
    slot: wall, in slot = { ... } under [panel]
      meaning  the thickness that the hole goes through
      letter   w, on the page of names
      unit     the job's: a bare number, or text as on a tape
      default  none: it is needed where slot is given
      range    1/64 to 4 in; 0.4 to 100 mm (a bare number)
      usual    1/32 to 1/2 in; 1 to 12 mm
      written  wall = "1/16"; in millimetres wall = 2
      called   thickness, wall_thickness
    """
    tables = [one for one in TABLES if one.name and one.name == plain_word(word.strip("[] "))]
    named, called = places_named(word), places_called(word)
    if tables:
        named = [place for place in named if not place.table.name]
    parts = [_table_text(table) for table in tables] + [_place_text(place) for place in named]
    if called and not parts:
        word_typed = as_typed(word)[1:-1]
        parts = [f"{word_typed} is no key; it is mostly called so:"]
        parts += [_place_text(place) for place in called]
    elif called and not tables:
        also = ", ".join(f"{place.key.name} {place.under}" for place in called)
        parts.append(textwrap.fill(f"Some call so: {also}.", _WIDE))
    if not parts:
        raise _unknown(word)
    return "\n\n".join(parts)


def key_words() -> list[str]:
    """Every key and table by its name, for completing what is typed."""
    named = {place.key.name for place in all_places()} | {table.name for table in TABLES}
    return sorted(named - {""})


def _unknown(word: str) -> JobError:
    names = key_words()
    near = difflib.get_close_matches(plain_word(word), names, n=3)
    return JobError(
        "KEY",
        f"{as_typed(word)} is no key of a job file",
        ""
        if near
        else f"Tables: {', '.join(dict.fromkeys(one.name for one in TABLES if one.name))}",
        f"The nearest: {', '.join(near)}" if near else "Describe one of them to see its keys",
    )


def _table_text(table: JobTable) -> str:
    keys = list(table.own_keys.values())
    wide = max(len(key.name) for key in keys) + 2
    lines = [f"{table.header}: {table.about}"]
    for key in keys:
        lines += textwrap.wrap(
            f"  {key.name.ljust(wide)}{key.meaning}", _WIDE, subsequent_indent=" " * (wide + 2)
        )
    return "\n".join(lines)


def _place_text(place: Place) -> str:
    head = f"{place.within}: {place.key.name}" if place.within else place.key.name
    lines = [f"{head}, {place.under}"]
    for label, text in _told(place):
        lines += textwrap.wrap(
            f"  {label.ljust(_COLUMN - 2)}{text}", _WIDE, subsequent_indent=" " * _COLUMN
        )
    return "\n".join(lines)


def _told(place: Place) -> Iterator[tuple[str, str]]:
    """What is told of a key, line by line."""
    key = place.key
    yield "meaning", key.meaning
    if key.note.more:
        yield "", key.note.more
    if key.letter:
        yield "letter", f"{key.letter}, on the page of names"
    yield "unit", _unit(key)
    yield "default", _default(place)
    if key.range is not None:
        if key.note.reads == "degrees":
            yield "range", range_text(key.range["in"], "degrees")
        else:
            yield (
                "range",
                "; ".join(range_text(key.range[u], u) for u in _UNITS) + " (a bare number)",
            )
            usual = [f"{_usual(key.range[units], units)} {units}" for units in _UNITS]
            yield "usual", "; ".join(usual)
    written = [f"{key.name} = {toml_text(plainly(key.written(units), units))}" for units in _UNITS]
    if written[0] == written[1]:
        yield "written", written[0]
    else:
        yield "written", f"{written[0]}; in millimetres {written[1]}"
    for value, others in key.note.said.items():
        yield "", f"for {value} some say {', '.join(others)}: it is asked back"
    if key.note.called:
        yield "called", ", ".join(sorted(key.note.called))


def _unit(key: KeyOf) -> str:
    if key.note.reads == "plain":
        return f"none: {key.allowed}"
    if key.note.reads in _KINDS:
        return _KINDS[key.note.reads] + (f": {key.allowed}" if key.note.reads == "trim" else "")
    if key.note.reads in (*INNER, "framing"):
        return "none: keys of its own"
    return "the job's: a bare number, or text as on a tape"


def _default(place: Place) -> str:
    key = place.key
    if key.needed and "left out" in key.note.more:
        return "none: others may stand in for it"
    if key.needed:
        return f"none: it is needed{f' where {place.within} is given' if place.within else ''}"
    taken = [assumed_text(key.left_out(units), key, units) for units in _UNITS]
    return " or ".join(dict.fromkeys(filter(None, taken))) or "none: it may be left out"


def _usual(found: Range, units: str) -> str:
    low, high = (exact_text(end, units, unit=False) for end in (found.low, found.high))
    return f"{low} to {high}"
