"""Who may know the plotting library: what letters and what writes, and no other."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import stairs.drawing

ROOM = Path(stairs.drawing.__file__).parent


MODULES = sorted(ROOM.rglob("*.py"))
PLOTTING = {"paper.typeface", "paper.lettering"}
PLOTTING |= {f"files.{name}" for name in ("painter", "pdf", "svg", "png")}


def named(path):
    """A module's name inside the room."""
    return path.relative_to(ROOM).with_suffix("").as_posix().replace("/", ".")


def imported(path):
    """Every module that a file imports, at the top or inside a function."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (name.name for name in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield node.module


@pytest.mark.parametrize("path", MODULES, ids=named)
def test_the_plotting_library_stays_where_one_letters_and_writes(path):
    outside = {module.split(".")[0] for module in imported(path)}
    assert ("matplotlib" in outside) == (named(path) in PLOTTING)
    assert ("ezdxf" in outside) == (named(path) == "files.dxf")


@pytest.mark.parametrize("path", MODULES, ids=named)
def test_no_room_knows_the_solver(path):
    """What things are called, and how near floats count as the same, any room may know."""
    solver = {"relations", "numbers", "shapes"}
    told = {"stairs.numbers.tolerances", "stairs.relations.quantities"}
    known = {module for module in imported(path) if module.startswith("stairs.")} - told
    assert not {module.split(".")[1] for module in known} & solver


def test_no_module_imports_itself_by_way_of_others():
    start = "stairs.drawing."
    known = {
        named(path): {
            module.removeprefix(start) for module in imported(path) if module.startswith(start)
        }
        for path in MODULES
        if path.stem != "__init__"
    }

    def reached(name):
        found, open_ = set(), [name]
        while open_:
            for other in known.get(open_.pop(), set()) - found:
                found.add(other)
                open_.append(other)
        return found

    assert len(known) > 30
    assert [name for name in known if name in reached(name)] == []
