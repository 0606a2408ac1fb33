"""The form: a job file to fill in, with every key that it may hold and what each one measures.

Nobody should have to begin with an empty page.  The form is a whole job file, one to each kind of
job: its lines are those of a plain stair guard that can be bought and that passes, to be written
over with one's own measurements, and behind ``#`` stands every other key, with an example of how it
is written.  What a key measures is taken from the notes of the records, so that the form cannot
fall behind them, its letter from the names page.
"""

from __future__ import annotations

import textwrap
import tomllib
from collections.abc import Iterable, Iterator, Mapping
from itertools import chain
from pathlib import Path
from typing import Any, NamedTuple

import msgspec

from stairs.files import put_all_new
from stairs.job.agreement import job_from_mapping
from stairs.job.key_notes import INNER, RECORDS, KeyOf, inner_record, keys_of, toml_text, value_of
from stairs.job.quick_look import usual
from stairs.job.ranges import range_text
from stairs.job.records import (
    Bracket,
    Framing,
    Job,
    JobFlight,
    JobLevel,
    Panel,
    PostKind,
    SheetKeys,
)
from stairs.lengths.tape import parse
from stairs.relations.quantities import FLIGHT_KEYS, FURTHER, TYPED
from stairs.words.speech import country_of, local, speaking

_WIDTH = 100
_REMARK = 34  # column at which remarks begin

_CHOSEN = ("title", "units", "rules", "tape", "measured_within", "name", "kind", "stringer",
           "bottom_gap", "handrail")  # fmt: skip
"""What the form fills in and nobody measures."""

KINDS = {
    "stair": "a stair alone",
    "deck": "a stair and the deck that it leads to",
    "landing": "two flights that turn at a landing",
    "old": "an old, uneven stair, each step measured singly",
}
"""The kinds of job that there is a form for."""

_HEAD = """\
# A job file to fill in: {kind}.
# What is "made up" was measured on no stair: write your own measurements over all of it. A line
# like "# key = value" is optional; take the "# " in front away to use it. The letter before a
# measurement is that of the picture which stairs form draws. Behind it stands in which range a bare
# number is believed; write any other with its unit, as in "8 ft".
# Then: stairs solve FILE, stairs check FILE, stairs draw FILE -o FILE.pdf
"""

_FIRST = """\
# 1. THE STAIR: the guard from end to end, one [[section]] after the other, the foot of the stair
# first. A flight is fixed by any of `rise`, `unit_rise`, `risers`, `treads`, `run`, `unit_run` and
# `rake` that are enough; an old stair by `nosings`, or by `rises` and `runs`. Without `posts` they
# are placed.
"""
_KIT = "# 2. THE RAIL KIT: off the panel, the bracket and the post, or what their maker tells.\n"
_REST = "# 3. ONLY IF\n"
_ONLY_IF = "# Only if it is so with yours:"
_AS_ABOVE = "# The same keys go here as in the section of its kind above.\n"
_GROUPS = {
    "level": (
        "# Only if the guard goes on along a level run; its first post is the last one of the\n"
        "# section before. It goes below the flight, above [panel].\n"
    ),
    "framing": "# Only if you want blocks below the posts: what lies under the level runs.\n",
    "measured": "# Only if some measurements are surer than others, or less sure.\n",
    "local": (
        "# Only if the local office asks otherwise than the rulebook: by the check's name\n"
        "# (stairs rules ID).\n"
    ),
    "sheet": "# Only if the title block is to say more.\n",
}


def form(units: str, kind: str = "stair") -> str:
    """A job file to fill in, in which every key is explained; text in TOML.

    ``kind`` is one of :data:`KINDS`.

    Examples
    --------
    >>> print(form("in").splitlines()[7])
    title = "My stair"                # the job's title
    """
    with speaking(country_of(rules_of_form(units))):
        return "\n".join(_tables(units, kind))


def _tables(units: str, kind: str) -> list[str]:
    quick = usual(units)
    filled = quick["form"]
    return [
        local(_HEAD.format(kind=KINDS[kind])),
        _table("", Job, filled["top"], units),
        *_along_the_guard(units, kind),
        local(_KIT) + _table("[panel]", Panel, quick["panel"] | filled["panel"], units),
        _table("[bracket]", Bracket, quick["bracket"] | filled["bracket"], units),
        _table("[post]", PostKind, quick["post"], units),
        _REST + local(_GROUPS["framing"]) + _table("# [framing]", Framing, {}, units),
        local(_GROUPS["measured"]) + _measured(units),
        local(_GROUPS["local"]) + _local(units),
        local(_GROUPS["sheet"]) + _table("# [sheet]", SheetKeys, {}, units),
    ]


def rules_of_form(units: str) -> str:
    """The rulebook that the form names.

    >>> rules_of_form("in")
    'irc-2021'
    """
    rules: str = usual(units)["form"]["top"]["rules"]
    return rules


def _along_the_guard(units: str, kind: str) -> Iterator[str]:
    """The sections; every key stands in the first one of its kind."""
    shown: set[type[msgspec.Struct]] = set()
    heading = local(_FIRST)
    for filled in _sections(units, kind):
        record = JobLevel if filled["kind"] == "level" else JobFlight
        if record in shown:
            yield local(_AS_ABOVE) + _table("[[section]]", record, filled, units, only_filled=True)
        else:
            yield heading + _table("[[section]]", record, filled, units)
        shown.add(record)
        heading = ""
    if JobLevel not in shown:
        yield local(_GROUPS["level"]) + _table("# [[section]]", JobLevel, {}, units)


def _sections(units: str, kind: str) -> list[dict[str, Any]]:
    """What the form of a kind of job fills in along the guard, section by section."""
    filled = usual(units)["form"]
    first: dict[str, Any] = filled["section"]
    if kind == "old":
        plain = {key: value for key, value in first.items() if key not in FLIGHT_KEYS}
        singly = filled["singly"]
        first = {**dict(list(plain.items())[:2]), **singly, **plain, **singly}
    return [first, *filled["after"].get(kind, ())]


class Blank(NamedTuple):
    """A line of the page to take along, on which one measurement is written."""

    letter: str  # of the names page, numbered where each is measured singly; or empty
    called: str  # what a carpenter calls it; empty where it stands beside others of its kind


_ALIKE = ("nosing", "tread_thickness", "stringer_margin", "drop")
"""What is measured once, since it is the same all along the guard."""

_NO_LETTER = {
    ("panel", "max_rack"): "steepest stair, degrees",
    ("bracket", "max_swing"): "most bracket swing, degrees",
    ("post", "edge_distance"): "plate to tread edge, least",
    ("post", "stock"): "post lengths sold",
}
"""What the maker tells and nobody measures, by table and key."""

_FURTHER_TABLES = {
    "Joists, boards and bolts": ("framing",),
    "The bracket's plate and body": ("bracket", "body"),
    "Posts and ground": ("post", "section", "ground_slope"),
}
"""Headings of what few jobs have, and the tables where it is typed."""

_MORE_STEPS = 5  # blanks for more risers and treads than the form fills in


def blanks(units: str, kind: str) -> dict[str, list[Blank]]:
    """What the form of a kind of job asks for, under headings, in the order of the form."""
    quick = usual(units)
    asked: dict[str, list[Blank]] = {}
    seen: set[tuple[str, str]] = set()
    for number, section in enumerate(_sections(units, kind)):
        heading = f"1. The {section['name']}" if number == 0 else section["name"].capitalize()
        again = _ALIKE if number else ()
        keys = [key for key in section if key not in (*_CHOSEN, *again)]
        asked[heading] = [one for key in keys for one in _blanks_of("section", key, section[key])]
        seen |= {("section", key) for key in keys}
    kit = [
        (table, key)
        for table in ("panel", "bracket", "post")
        for key in quick[table] | quick["form"].get(table, {})
        if key not in _CHOSEN
    ]
    asked["2. The rail kit"] = [one for place in kit for one in _blanks_of(*place)]
    rest = [place for place in TYPED if place not in seen and place not in (*kit, *FURTHER)]
    asked["3. Only if you have it"] = [
        one for place in rest if place[1] == TYPED[place].key for one in _blanks_of(*place)
    ]
    return asked


def further_blanks() -> dict[str, list[Blank]]:
    """What few jobs ask for, in the same way."""
    found: dict[str, list[Blank]] = {}
    for heading, tables in _FURTHER_TABLES.items():
        found[heading] = [
            Blank(one.symbol, one.called) for (table, _), one in FURTHER.items() if table in tables
        ]
    return found


def _blanks_of(table: str, key: str, value: object = None) -> list[Blank]:
    if (table, key) in _NO_LETTER:
        return [Blank("", _NO_LETTER[table, key])]
    quantity = TYPED[table, key]
    if key == quantity.each and isinstance(value, list):
        return [Blank(f"{quantity.symbol}{k + 1}", "") for k in range(len(value) + _MORE_STEPS)]
    return [Blank(quantity.symbol, quantity.called)]


def is_made_up(job: Job) -> bool:
    """Whether a job still holds every measurement that was made up for the form of some kind.

    What it says of title, rulebook and tape does not count, nor what follows the first section.
    """
    first = job.sections[0]
    steps = value_of(first, "rises") or (value_of(first, "rise"),)

    def has_its_steps(kind: str) -> bool:
        made_up = _sections(job.units, kind)[0]
        typed = made_up.get("rises") or [made_up["rise"]]
        return tuple(parse(one, job.units) for one in typed) == steps

    def is_its_sample(kind: str) -> bool:
        sample = job_from_mapping(tomllib.loads(form(job.units, kind)))
        kit, its_kit = ((one.panel, one.bracket, one.post) for one in (job, sample))
        its_first = msgspec.structs.replace(sample.sections[0], name=first.name)
        return kit == its_kit and first == its_first

    return any(has_its_steps(kind) and is_its_sample(kind) for kind in KINDS)


def write_form(
    units: str,
    path: str | Path,
    kind: str = "stair",
    beside: Iterable[tuple[bytes, Path]] = (),
) -> None:
    """Write the form to a new file, and its picture ``beside`` it; both, or neither.

    A file that is there already is left alone.

    Raises
    ------
    FileError
        Where there is such a file, or it cannot be written.
    """
    put_all_new(chain([(form(units, kind).encode(), Path(path))], beside), "A form")


def _table(
    header: str,
    record: type[msgspec.Struct],
    filled: Mapping[str, object],
    units: str,
    only_filled: bool = False,
) -> str:
    """One table, the keys that are filled in first, then the others as remarks."""
    keys = {name: key for name, key in keys_of(record).items() if key.note.reads != "framing"}
    lines = [header] if header else []
    for name in filled:
        lines += _line("", name, plainly(filled[name], units), keys[name], units)
    rest = {} if only_filled else {name: key for name, key in keys.items() if name not in filled}
    if filled and rest:
        lines.append(_ONLY_IF)
    for name, key in rest.items():
        lines += _line("# ", name, plainly(key.written(units), units), key, units)
    return "\n".join(lines) + "\n"


def _line(mark: str, name: str, value: object, key: KeyOf, units: str) -> Iterator[str]:
    """A key with its value and, beside it, its letter, what it measures and what it may be."""
    says = key.meaning
    if key.note.reads == "plain":
        says += ": true or false" if key.type is bool else f": {key.allowed}"
    if key.note.reads == "degrees" and key.range is None:
        says += ", degrees"
    if key.range is not None:
        unit = "degrees" if key.note.reads == "degrees" else units
        says += f"; {range_text(key.range[units], unit)}"
    if key.note.reads in INNER:
        for inner, one in keys_of(inner_record(key)).items():
            if one.letter and key.note.reads != RECORDS:  # no post stands yet
                says += f"; {inner} is {one.letter}"
            if one.range is not None:
                says += f"; {inner} {range_text(one.range[units], units)}"
    if not mark and name not in _CHOSEN:
        says = f"made up: {says}"
    if key.letter:
        says = f"{key.letter}, {says}"
    text = f"{mark}{name} = {toml_text(value)}"
    over = " " * max(len(text) - (_REMARK - 1), 0)  # what a long value takes of the first remark
    for part in textwrap.wrap(local(says), _WIDTH - _REMARK - 2, initial_indent=over):
        yield f"{text.ljust(_REMARK - 1)} # {part.strip()}"
        text = ""


def plainly(value: object, units: str) -> object:
    """The value with whole millimetres as bare numbers; inches stay texts, as on a tape."""
    if isinstance(value, Mapping):
        return {key: plainly(one, units) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [plainly(one, units) for one in value]
    if units == "mm" and isinstance(value, str) and value.lstrip("-").isdigit():
        return int(value)
    return value


def _measured(units: str) -> str:
    gap, pitch = ('"1/8"', '"1/32"') if units == "in" else ("3", "0.5")
    return f'# [measured]\n# side_gap = {gap}\n# "panel.pitch" = {pitch}\n'


def _local(units: str) -> str:
    limit = '"36"' if units == "in" else "1000"
    return (
        "# [local]\n"
        f'# guard-height-min = {{ limit = {limit}, reason = "as the local office asks" }}\n'
    )
