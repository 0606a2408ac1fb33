"""The page of keys names every key of a job file, and the contributor's guide every room."""

from __future__ import annotations

import ast
import json
import re
import typing
from pathlib import Path

import msgspec

from stairs.job.key_notes import keys_of
from stairs.job.key_page import key_page
from stairs.job.records import Guarded, Job

ROOT = Path(__file__).parent.parent
KEYS = (ROOT / "examples" / "keys.md").read_text(encoding="utf-8")
GUIDE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


def rows(text, columns):
    """Cells of every table row with so many columns, the first one carried down where empty."""
    first = ""
    for line in text.splitlines():
        cells = [cell.strip() for cell in line.strip().strip("|").split("|")]
        if not line.startswith("|") or len(cells) != columns:
            continue
        first = cells[0] or first
        yield first, *cells[1:]


def records_in(annotation: object) -> set[type[msgspec.Struct]]:
    """The records that an annotation holds, and those within them."""
    if isinstance(annotation, type) and issubclass(annotation, msgspec.Struct):
        hints = typing.get_type_hints(annotation).values()
        return {annotation}.union(*(records_in(hint) for hint in hints))
    return set().union(*(records_in(part) for part in typing.get_args(annotation)))


RECORDS = sorted(records_in(Job), key=lambda record: record.__name__)


def test_the_page_of_keys_is_current():
    assert key_page() == KEYS, "run python -m stairs.job.key_page > examples/keys.md"


def test_every_note_is_of_a_field():
    """No note is left behind by a key that is gone, or misspelt."""
    fields = {record.__name__: set(record.__struct_fields__) for record in (*RECORDS, Guarded)}
    noted = json.loads((ROOT / "stairs" / "job" / "keys.json").read_text(encoding="utf-8"))
    for record, notes in noted.items():
        assert set(notes) <= fields[record], record


ROW = r"^\| {}`(?:[a-z_]+: )?([a-z_]+)`"


def test_the_page_names_the_keys_of_every_record_and_no_other():
    named = set(re.findall(ROW.format(r"(?:\*\*)?"), KEYS, re.MULTILINE))
    assert len(RECORDS) > 12
    assert named == set().union(*(keys_of(record) for record in RECORDS))


def test_keys_that_are_needed_are_bold():
    """What a record cannot be made without, but for what is assumed by unit, stands in bold."""
    bold = set(re.findall(ROW.format(r"\*\*"), KEYS, re.MULTILINE))
    assert bold == {
        field.name
        for record in RECORDS
        for field in msgspec.structs.fields(record)
        if field.required and field.name in keys_of(record)
    } - {"rules", "tape", "measured_within"}


def rooms_of_the_guide() -> list[str]:
    start = GUIDE.index("| room | holds | may know |")
    first = [room for room, _, _ in rows(GUIDE[start:].split("\n\n")[0], 3)]
    return [name for room in first for name in re.findall(r"`([^`]+)`", room)]


def test_every_room_is_in_the_guide():
    """Each folder and each module at the top of the package is named in the table of rooms."""
    package = ROOT / "stairs"
    there = {f"{path.name}/" for path in package.iterdir() if list(path.glob("*.py"))}
    there |= {path.name for path in package.glob("*.py") if not path.name.startswith("__")}
    assert there == set(rooms_of_the_guide())


def test_rooms_know_only_rooms_above_them():
    """No module imports from a room further down the table, at the top or inside a function."""
    order = [room.rstrip("/").removesuffix(".py") for room in rooms_of_the_guide()]
    package = ROOT / "stairs"
    upward = set()
    for path in package.rglob("*.py"):
        name = path.relative_to(package).as_posix()
        if name in ("__init__.py", "__main__.py"):
            continue
        own = order.index(name.split("/")[0].removesuffix(".py"))
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ImportFrom) and (node.module or "").split(".")[0] == "stairs":
                base = node.module.split(".")[1:2] or [one.name for one in node.names]
                upward |= {(name, one) for one in base if one in order[own + 1 :]}
    assert upward == set()


def test_drawing_folders_know_only_what_their_table_allows():
    """What a folder of ``drawing/`` may know is what its row names, and what those may know."""
    start = GUIDE.index("| in `drawing/` |")
    may_know: dict[str, set[str]] = {}
    for folder, _, known in rows(GUIDE[start:].split("\n\n")[0], 3):
        if folder.startswith("`") and folder.endswith("/`"):
            named = {one for one in re.findall(r"\w+", known) if one in may_know}
            own = folder.strip("`/")
            may_know[own] = {own} | named | set().union(*(may_know[one] for one in named))
    folders = ROOT / "stairs" / "drawing"
    assert set(may_know) == {one.name for one in folders.iterdir() if list(one.glob("*.py"))}
    wrong = set()
    for path in folders.rglob("*/*.py"):
        own = path.relative_to(folders).parts[0]
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ImportFrom):
                inside = (node.module or "").split(".")
                if inside[:2] == ["stairs", "drawing"] and set(inside[2:3]) - may_know[own]:
                    wrong.add((path.relative_to(folders).as_posix(), node.module))
    assert wrong == set()


def test_every_room_says_what_it_holds():
    """The first paragraph of each folder is there for a newcomer."""
    for init in (ROOT / "stairs").rglob("__init__.py"):
        text = ast.get_docstring(ast.parse(init.read_text(encoding="utf-8"))) or ""
        assert len(text.split()) >= 20, init
