"""The README tells the truth: its output is what the commands print, its figures are current."""

from __future__ import annotations

import importlib.util
import re
import shlex
import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree

import pytest
from click.testing import CliRunner

from stairs.cli.commands import main

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
SESSIONS = re.findall(r"^```\n(\$ stairs .+?)^```", README, re.MULTILINE | re.DOTALL)


def _figures():
    spec = importlib.util.spec_from_file_location("make_figures", ROOT / "figures" / "make.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_there_are_sessions_to_check():
    assert len(SESSIONS) >= 2


@pytest.mark.parametrize("session", SESSIONS, ids=lambda text: text.splitlines()[0][2:60])
def test_printed_output_is_true(session, monkeypatch):
    monkeypatch.chdir(ROOT)
    command, _, printed = session.partition("\n")
    result = CliRunner().invoke(main, shlex.split(command)[2:])
    assert result.exception is None or isinstance(result.exception, SystemExit)
    wanted = [line.rstrip() for line in printed.strip().splitlines()]
    got = [line.rstrip() for line in result.output.strip().splitlines()]
    if "..." in wanted:  # the README shows the beginning and says that it goes on
        end = wanted.index("...")
        wanted, got = wanted[:end], got[:end]
    assert got == wanted


def test_the_two_commands_need_nothing_but_python():
    commands = re.findall(r"^python3 .+$", README, re.MULTILINE)
    assert len(commands) == 2
    assert all(command.startswith("python3 -m venv .venv && ") for command in commands)


def test_the_continuous_run_calls_the_test_command():
    """`.ci/run` takes the command out of the README, so that the two cannot differ."""
    script = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    taken = re.search(r"^command=\$\((awk .+)\)$", script, re.MULTILINE)[1]
    found = subprocess.run(
        ["bash", "-c", taken], cwd=ROOT, capture_output=True, text=True, check=True
    ).stdout.strip()
    assert found in README
    assert found.endswith("-m pytest -n 2")
    assert script.splitlines()[-4:] == [
        'eval "$command"', ".venv/bin/ruff check", ".venv/bin/ruff format --check",
        ".venv/bin/mypy",
    ]  # fmt: skip


def _drawn(path: Path) -> tuple[list[str], list[str]]:
    """All lettering and all paths of a sheet, numbers rounded to a hundredth of a point."""
    root = ElementTree.parse(path).getroot()
    texts, paths = [], []
    for element in root.iter():
        if element.tag.endswith("}text"):
            texts.append("".join(element.itertext()))
        elif element.tag.endswith("}path") and element.get("d"):
            paths.append(
                re.sub(r"-?\d+\.?\d*(?:e-?\d+)?", lambda n: f"{float(n[0]):.1f}", element.get("d"))
            )
    return texts, paths


def test_figures_are_current(tmp_path):
    written = _figures().draw_all(tmp_path)
    assert written
    kept = {path.name for path in (ROOT / "figures").glob("*.svg")} - {"names.svg"}
    assert {path.name for path in written} == kept
    for path in written:
        assert _drawn(path) == _drawn(ROOT / "figures" / path.name), (
            f"figures/{path.name} is old: run {Path(sys.executable).name} figures/make.py"
        )
