"""The README lists every key of a job file, and the contributor's guide every room."""

from __future__ import annotations

import ast
import re
from fnmatch import fnmatch
from pathlib import Path

import msgspec
import pytest

from stairs import job_records

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
GUIDE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")

NO_KEYS = {"panel", "bracket", "post", "sections", "local", "sheet", "assumed", "where", "check"}
NO_KEYS |= {"left_of", "apart", "totals"}
"""Fields that are tables of their own, or that the reader fills in."""

TABLES = {
    "Job": ("top",),
    "Panel": ("`[panel]`",),
    "Slot": ("`[panel]`",),
    "Bracket": ("`[bracket]`",),
    "BracketBody": ("`[bracket]`",),
    "PostKind": ("`[post]`",),
    "GroundSlope": ("`[[section]]`",),
    "Flight": ("`[[section]]`", "flight"),
    "Level": ("`[[section]]`", "level"),
    "Framing": ("`[framing]`",),
    "LocalOverride": ("`[local]`",),
    "Sheet": ("`[sheet]`",),
}


def rows(text, columns):
    """Cells of every table row with so many columns, the first one carried down where empty."""
    first = ""
    for line in text.splitlines():
        cells = [cell.strip() for cell in line.strip().strip("|").split("|")]
        if not line.startswith("|") or len(cells) != columns:
            continue
        first = cells[0] or first
        yield first, *cells[1:]


def listed():
    """Keys that the README names, by table."""
    found: dict[str, set[str]] = {}
    start = README.index("### Every key")
    for table, key, says in rows(README[start:], 3):
        names = re.findall(r"`([a-z_]+)`", f"{key} {says if table != 'top' else ''}")
        found.setdefault(table, set()).update(names)
    return found


RECORDS = [
    record
    for record in vars(job_records).values()
    if isinstance(record, type)
    and issubclass(record, msgspec.Struct)
    and record.__module__ == job_records.__name__
]


def test_every_record_has_its_table():
    assert {record.__name__ for record in RECORDS} <= set(TABLES)


@pytest.mark.parametrize("record", RECORDS, ids=lambda record: record.__name__)
def test_every_key_is_in_the_readme(record):
    known = listed()
    names = set().union(*(known[table] for table in TABLES[record.__name__]))
    keys = set(record.__struct_fields__) - NO_KEYS
    assert keys
    assert keys <= names, f"not in README.md: {sorted(keys - names)}"


@pytest.mark.parametrize("record", RECORDS, ids=lambda record: record.__name__)
def test_keys_that_are_needed_are_bold(record):
    """What has no default is needed: those stand in bold, and only those."""
    if record.__name__ in ("Slot", "BracketBody", "LocalOverride"):
        return  # written in one line with the table that holds them
    start = README.index("### Every key")
    bold = {
        name
        for table, key, _ in rows(README[start:], 3)
        if table in TABLES[record.__name__]
        for name in re.findall(r"\*\*`([a-z_]+)`\*\*", key)
    }
    needed = {
        field.name
        for field in msgspec.structs.fields(record)
        if field.required and field.name not in NO_KEYS
    }
    assumed = {"tape", "measured_within"}
    assert bold == needed - assumed


def test_every_room_is_in_the_guide():
    """Each module of the package is named in the table of rooms, by itself or by a pattern."""
    start = GUIDE.index("| room | holds | knows |")
    patterns = {
        name for room, _, _ in rows(GUIDE[start:], 3) for name in re.findall(r"`([^`]+)`", room)
    }
    package = ROOT / "stairs"
    missing = []
    for path in sorted(package.rglob("*.py")):
        name = path.relative_to(package).as_posix()
        if path.name in ("__init__.py", "__main__.py"):
            continue
        folder = f"{name.split('/')[0]}/"
        if folder not in patterns and not any(fnmatch(name, pattern) for pattern in patterns):
            missing.append(name)
    assert not missing, f"not among the rooms of DEVELOPERS.md: {', '.join(missing)}"
    unused = [
        pattern
        for pattern in patterns
        if not pattern.endswith("/") and not list(package.glob(pattern))
    ]
    assert not unused, f"rooms of DEVELOPERS.md that are not there: {', '.join(unused)}"


def test_rooms_know_only_rooms_above_them():
    """Each module stands in one row of the table, and imports from no row further down."""
    start = GUIDE.index("| room | holds | knows |")
    rooms = [re.findall(r"`([^`]+)`", room) for room, _, _ in rows(GUIDE[start:], 3)]
    rooms = [patterns for patterns in rooms if patterns]
    package = ROOT / "stairs"
    row = {}
    for path in package.rglob("*.py"):
        name = path.relative_to(package).as_posix()
        if name in ("__init__.py", "__main__.py"):
            continue
        found = [
            k
            for k, patterns in enumerate(rooms)
            if any(fnmatch(name, pattern + "*" * pattern.endswith("/")) for pattern in patterns)
        ]
        assert len(found) == 1, f"{name} stands in {len(found)} rows of rooms"
        row[name] = found[0]
    upward = []
    for name, own in row.items():
        for node in ast.walk(ast.parse((package / name).read_text(encoding="utf-8"))):
            if not isinstance(node, ast.ImportFrom) or not (node.module or "").startswith("stairs"):
                continue
            base = "/".join(node.module.split(".")[1:])
            for other in (f"{base}.py", *(f"{base}/{one.name}.py" for one in node.names)):
                if row.get(other.lstrip("/"), own) > own:
                    upward.append(f"{name} from {other}")
    assert not upward, f"imports from a room further down: {', '.join(upward)}"
