"""The page of keys: every key that a job file may hold, made from the notes of the records.

``python -m stairs.job.key_page`` prints it; it is kept as ``examples/keys.md``.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator

from stairs.job.form import plainly
from stairs.job.key_notes import INNER, KeyOf, assumed_text, inner_record, keys_of, toml_text
from stairs.job.ranges import range_text
from stairs.job.tables import TABLES

_HEAD = """\
# Every key of a job file

Made from the program's own records: `python -m stairs.job.key_page > examples/keys.md`.

A key in bold is needed. The rest has a default, stands in for another, or is worked out; whatever
was assumed is listed with the result. A bare number is in the job's unit, an angle in degrees. A
length may be written as on a tape (`"7 3/4"`, `"5' 3 1/2\\""`, `"197 mm"`). With its unit written
out it is taken as meant; a bare number outside of the range told here is asked back.
`stairs form -o my-stair.toml` writes a file to fill in.
"""


def key_page() -> str:
    """The page in Markdown, a table for each table of the job file."""
    lines = [_HEAD]
    for table in TABLES:
        lines += [f"## {table.header}", "", *([table.about, ""] if table.about else [])]
        lines += ["| key | what it is | inches | millimetres |", "|---|---|---|---|"]
        lines += [row for key in table.own_keys.values() for row in _rows(key)]
        lines.append("")
    return "\n".join(lines)


def _rows(key: KeyOf, within: str = "") -> Iterator[str]:
    """The row of a key, and below it those of the keys in its braces."""
    name = f"`{within}{key.name}`"
    written = [
        f"`{toml_text(plainly(key.written(units), units))}`" + _range(key, units)
        for units in ("in", "mm")
    ]
    yield f"| {f'**{name}**' if key.needed else name} | {says(key)} | {' | '.join(written)} |"
    if key.note.reads in INNER:
        for one in keys_of(inner_record(key)).values():
            yield from _rows(one, f"{key.name}: ")


def says(key: KeyOf) -> str:
    """What a key measures, which values it takes, and what it is where it is left out."""
    parts = [key.meaning]
    if key.note.reads in ("plain", "trim"):
        parts.append(key.allowed)
    if key.note.more:
        parts.append(key.note.more)
    left_out = [key.left_out(units) for units in ("in", "mm")]
    if not key.needed and "left out" not in parts[-1] and "needed" not in parts[-1]:
        taken = [
            assumed_text(one, key, unit) for one, unit in zip(left_out, ("in", "mm"), strict=True)
        ]
        if any(taken):
            parts.append("left out: " + " or ".join(dict.fromkeys(taken)))
    return "; ".join(parts).replace("|", "\\|")


def _range(key: KeyOf, units: str) -> str:
    if key.range is None or key.note.reads == "degrees":
        return ""
    return f", {range_text(key.range[units], '').strip()}"


if __name__ == "__main__":
    sys.stdout.write(key_page())
