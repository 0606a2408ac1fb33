"""What is said in a talk: the prompts, the help, the headings, in the words of the job's country.

Keys keep their names everywhere; what stands around them is told as the rulebook's country calls
it.  What was typed is shown as it was typed.
"""

from __future__ import annotations

import textwrap
from collections.abc import Mapping
from typing import Any

from stairs.asking.walk import (
    NOT_ASKED,
    ONLY_IF,
    OWN_VALUES,
    Place,
    keys_at,
    kind_of,
    sections_of,
    table_of,
)
from stairs.job.form import rules_of_form
from stairs.job.key_notes import KeyOf, assumed_text, inner_record, keys_of, toml_text
from stairs.job.ranges import range_text
from stairs.job.tables import TABLES
from stairs.rules import available
from stairs.words.speech import countries, country_of, finished, speaking

Values = Mapping[str, Any]

WIDTH = 80
USUAL = """\
  ?        what to measure, and an example      back     the question before
  missing  what is still needed                 none     take an answer away
  NAME = ANSWER  answers any other key          Ctrl-C   leave; all is kept"""
_ABOUT = {table.name: table.about for table in TABLES}


def in_words(mapping: Values, text: str) -> str:
    """A text of the program in the words of the job's country, as far as it is answered.

    >>> in_words({"rules": "england-ad-k-2013"}, "width of a baluster"), in_words({}, "a baluster")
    ('width of a spindle', 'a baluster')
    """
    units, rules = mapping.get("units"), mapping.get("rules")
    if rules not in available():
        rules = rules_of_form("mm" if units == "mm" else "in")
    asked = mapping.get("words")
    with speaking(asked if asked in countries() else country_of(str(rules))):
        return finished(text)


def units_of(mapping: Values) -> str:
    """The units of a job that is not whole yet."""
    return str(mapping.get("units", "in"))


def named(place: Place, what: KeyOf) -> str:
    """A key with its table, and its letter where it has one."""
    return f"{place.spoken} ({what.letter})" if what.letter else place.spoken


def heading(mapping: Values, place: Place) -> str:
    """What part of the guard a question is about; empty where that is asked itself."""
    if place.number > len(sections_of(mapping)) or place == OWN_VALUES:
        return ""
    if place.number:
        kind = kind_of(table_of(mapping, place))
        return f"Section {place.number}, a {'level run' if kind == 'level' else 'flight'}."
    return in_words(mapping, _ABOUT[place.table])


def prompt(mapping: Values, place: Place, there: bool, needed: bool) -> str:
    """One question on one line: letter, key, what it is, what Enter does.

    ``there`` is whether it is answered, ``needed`` whether the job cannot be solved without it.
    """
    if place.key == "kind" and place.number:
        asked = "What does the guard go on along" if place.number > 1 else ""
        if asked and not there:
            return f"{in_words(mapping, asked)}: flight or level? (Enter: it ends here)"
        kept = f" (Enter: {kind_of(table_of(mapping, place))})" if there else ""
        return f"What comes first, from the foot up: flight or level?{kept}"
    if place == OWN_VALUES:
        if mapping.get(place.table):
            return "local: another one? (Enter: no more)"
        return (
            "local: only if the local office asks otherwise than the rulebook, which check, what "
            f"limit and why, as in {own_sample(mapping)}? (Enter: it does not)"
        )
    what = keys_at(mapping, place)[place.key]
    said = ONLY_IF.get(place.key, "") + what.meaning
    if what.type is bool:
        said += ": yes or no"
    elif what.note.reads == "plain" and what.choices:
        said += f": {' or '.join(what.choices)}"
    elif what.note.reads == "inner":
        said += ": " + ", ".join(
            f"{key.meaning} ({key.letter})" if key.letter else key.meaning
            for key in keys_of(inner_record(what)).values()
        )
    letter = what.letter and f"{what.letter}  "
    return f"{letter}{place.key}: {in_words(mapping, said)}?{entered(mapping, place, what, needed)}"


def entered(mapping: Values, place: Place, what: KeyOf, needed: bool) -> str:
    """What Enter does, in brackets."""
    table, units = table_of(mapping, place), units_of(mapping)
    if place.key in table:
        value = table[place.key]
        return f" (Enter: {value if isinstance(value, str) else toml_text(value)})"
    if needed:
        return ""
    if what.type is bool:
        return f" (Enter: {'yes' if what.left_out(units) else 'no'})"
    return f" (Enter: {assumed_text(what.left_out(units), what, units) or 'leave it out'})"


def help_text(mapping: Values, place: Place) -> str:
    """What to measure, where, and how it is typed."""
    units = units_of(mapping)
    if place.key == "kind" and place.number:
        return in_words(
            mapping,
            "A flight is a stair; a level run is on a deck, a porch or a landing. Tell\n"
            "the guard from the foot of the stair up, one straight stretch after the other.\n"
        ) + USUAL  # fmt: skip
    if place == OWN_VALUES:
        told = (
            "A limit of your own over the rulebook's, with who agreed to it. Every sheet shows "
            f"both. For example {own_sample(mapping)}. stairs rules prints each limit of a "
            "rulebook by the name of its check."
        )
        return f"{textwrap.fill(told, WIDTH)}\n{USUAL}"
    what = keys_at(mapping, place)[place.key]
    lines = [f"{named(place, what)}: {in_words(mapping, what.meaning)}."]
    if what.note.more:
        more = in_words(mapping, what.note.more)
        lines.append(f"{more[:1].upper()}{more[1:]}.".replace("`", ""))
    sample = what.written(units)
    if what.note.reads == "plain":
        lines.append(f"It is {what.allowed}.")
    elif place == Place("", "rules"):
        lines.append(f"There are {', '.join(available())}.")
    elif sample not in (None, "", ()):
        parts = sample.values() if isinstance(sample, dict) else sample
        listed = ", ".join(map(str, parts)) if isinstance(sample, dict | list) else str(sample)
        lines.append(f"For example {listed}.")
    if what.range is not None:
        unit = "degrees" if what.note.reads == "degrees" else units
        more = "" if unit == "degrees" else "; write any other with its unit, as in 8 ft or 2.4 m"
        lines.append(f"A bare number here is {range_text(what.range[units], unit)}{more}.")
    return f"{textwrap.fill(' '.join(lines), WIDTH)}\n{USUAL}"


def own_sample(mapping: Values) -> str:
    """How a value over the rulebook's is typed."""
    limit = "1000" if units_of(mapping) == "mm" else "36"
    return f"guard-height-min, {limit}, as the local office asks"


def keys_text(mapping: Values) -> str:
    """Every key that can be named, table by table."""
    rows = []
    for table in all_tables(mapping):
        place = next(iter(table.values()))
        here = f"section {place.number}" if place.number else place.table or "the job"
        rows.append(textwrap.fill(f"{here}: {', '.join(table)}", WIDTH))
    return "\n".join(rows)


def all_tables(mapping: Values) -> list[dict[str, Place]]:
    """Every key that can be named, by table."""
    tables = [Place("section", "", n) for n in range(1, len(sections_of(mapping)) + 1)]
    tables += [Place(table.name, "") for table in TABLES if table.name not in NOT_ASKED]
    return [
        {key: table._replace(key=key) for key in keys_at(mapping, table)}
        for table in dict.fromkeys(tables)
    ]
