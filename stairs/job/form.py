"""The form: a job file to fill in, with every key that it may hold and what each one measures.

Nobody should have to begin with an empty page.  The form is a whole job file: its lines are those
of a plain stair guard that can be bought and that passes, to be written over with one's own
measurements, and behind ``#`` stands every other key, with an example of how it is written.  What a
key measures is taken from the notes of the records, so that the form cannot fall behind them.
"""

from __future__ import annotations

import textwrap
import tomllib
from collections.abc import Iterator, Mapping
from pathlib import Path

import msgspec

from stairs.errors import FileError
from stairs.files import put_in_place
from stairs.job.agreement import job_from_mapping
from stairs.job.key_notes import INNER, KeyOf, inner_record, keys_of, toml_text, value_of
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

_WIDTH = 100
_REMARK = 34  # column at which remarks begin

_CHOSEN = ("title", "units", "rules", "tape", "measured_within", "name", "kind", "stringer",
           "bottom_gap", "handrail")  # fmt: skip
"""What the form fills in and nobody measures."""

_HEAD = """\
# A job file to fill in. What is "made up" was measured on no stair: write your own measurements
# over all of it. A line like "# key = value" is optional; take the "# " in front away to use it.
# Behind a measurement stands in which range a bare number is believed; write any other with its
# unit, as in "8 ft". Then: stairs solve FILE, stairs check FILE, stairs draw FILE -o FILE.pdf
"""

_GROUPS = {
    "flight": """\
# Along the guard, one [[section]] after the other, the foot of the stair first.
# A flight is fixed by any of rise, unit_rise, risers, treads, run, unit_run and rake that are
# enough; an old stair by nosings, or by rises and runs. Without posts they are placed.
""",
    "level": "# A level run; its first post is the last one of the section before.\n",
    "framing": "# What lies under the level runs, for the blocks below their posts.\n",
    "local": "# A value of your own over the rulebook's, by its check's name (stairs rules ID).\n",
    "sheet": "# For the title block.\n",
}


def form(units: str) -> str:
    """A job file to fill in, in which every key is explained; text in TOML.

    Examples
    --------
    >>> print(form("in").splitlines()[5])
    title = "My stair"                # the job's title
    """
    quick = usual(units)
    filled = quick["form"]
    tables = [
        _HEAD,
        _table("", Job, filled["top"], units, ()),
        _table("[panel]", Panel, quick["panel"] | filled["panel"], units, ()),
        _table("[bracket]", Bracket, quick["bracket"] | filled["bracket"], units, ()),
        _table("[post]", PostKind, quick["post"], units, ()),
        _GROUPS["flight"]
        + _table("[[section]]", JobFlight, filled["section"], units, ("framing",)),
        _GROUPS["level"] + _table("# [[section]]", JobLevel, {}, units, ("framing",)),
        _GROUPS["framing"] + _table("# [framing]", Framing, {}, units, ()),
        _GROUPS["local"] + _local(units),
        _GROUPS["sheet"] + _table("# [sheet]", SheetKeys, {}, units, ()),
    ]
    return "\n".join(tables)


def is_made_up(job: Job) -> bool:
    """Whether a job still holds every measurement that was made up for the form.

    What it says of title, rulebook and tape does not count, nor what follows the first section.
    """
    section, rise = job.sections[0], parse(usual(job.units)["form"]["section"]["rise"], job.units)
    if value_of(section, "rise") != rise:
        return False
    sample = job_from_mapping(tomllib.loads(form(job.units)))
    return (job.panel, job.bracket, job.post) == (sample.panel, sample.bracket, sample.post) and (
        msgspec.structs.replace(section, name="")
        == msgspec.structs.replace(sample.sections[0], name="")
    )


def write_form(units: str, path: str | Path) -> None:
    """Write the form to a new file; a file that is there already is left alone.

    Raises
    ------
    FileError
        Where there is such a file, or it cannot be written.
    """
    try:
        put_in_place(form(units).encode(), Path(path), new=True)
    except FileExistsError:
        raise FileError(
            str(path),
            "there is such a file, and it may be a job of yours",
            "A form is written to a new file",
            "Give another name",
        ) from None


def _table(
    header: str,
    record: type[msgspec.Struct],
    filled: Mapping[str, object],
    units: str,
    without: tuple[str, ...],
) -> str:
    """One table, the keys that are filled in first, then the others as remarks."""
    keys = {name: key for name, key in keys_of(record).items() if name not in without}
    lines = [header] if header else []
    for name in filled:
        lines += _line("", name, plainly(filled[name], units), keys[name], units)
    for name, key in keys.items():
        if name not in filled:
            lines += _line("# ", name, plainly(key.written(units), units), key, units)
    return "\n".join(lines) + "\n"


def _line(mark: str, name: str, value: object, key: KeyOf, units: str) -> Iterator[str]:
    """A key with its value and, beside it, what it measures and what it may be."""
    says = key.meaning
    if key.note.reads == "plain":
        says += f": {key.allowed}"
    if key.range is not None:
        unit = "degrees" if key.note.reads == "degrees" else units
        says += f"; {range_text(key.range[units], unit)}"
    if key.note.reads in INNER:
        for inner, one in keys_of(inner_record(key)).items():
            if one.range is not None:
                says += f"; {inner} {range_text(one.range[units], units)}"
    if not mark and name not in _CHOSEN:
        says = f"made up: {says}"
    text = f"{mark}{name} = {toml_text(value)}"
    over = " " * max(len(text) - (_REMARK - 1), 0)  # what a long value takes of the first remark
    for part in textwrap.wrap(says, _WIDTH - _REMARK - 2, initial_indent=over):
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


def _local(units: str) -> str:
    limit = '"36"' if units == "in" else "1000"
    return (
        "# [local]\n"
        f'# guard-height-min = {{ limit = {limit}, reason = "as the local office asks" }}\n'
    )
