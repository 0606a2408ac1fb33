"""The README tells the truth: its output is what the commands print, its figures are current."""

from __future__ import annotations

import importlib.util
import re
import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree

import pytest
from sessions import DOCUMENTS, output_of, pieces, places, sessions

from stairs import __version__

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
SESSIONS = [
    pytest.param(command, shown, id=f"{document}: {command[2:]} {number}")
    for document in DOCUMENTS
    for number, (command, shown) in enumerate(sessions(document))
]
PAGES = [ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted((ROOT / "examples").glob("*.md"))]


def _figures():
    spec = importlib.util.spec_from_file_location("make_figures", ROOT / "figures" / "make.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_there_are_sessions_to_check():
    assert all(sessions(document) for document in DOCUMENTS)


@pytest.mark.parametrize(("command", "shown"), SESSIONS)
def test_printed_output_is_true(command, shown, monkeypatch):
    """Every line that is shown is printed, in its order, with nothing between but what is told."""
    monkeypatch.chdir(ROOT)
    got, parts = output_of(command), pieces(shown)
    for piece, begin in zip(parts, places(shown, got), strict=True):
        assert got[begin : begin + len(piece)] == piece
    assert len(parts) > 1 or got == shown


def test_the_job_told_of_is_the_example():
    """The job file that the tale shows stands so in the example."""
    tale = (ROOT / "examples" / "README.md").read_text(encoding="utf-8")
    shown = re.findall(r"^```toml\n(.+?)^```", tale, re.MULTILINE | re.DOTALL)
    assert shown
    porch = (ROOT / "examples" / "porch.toml").read_text(encoding="utf-8")
    assert all(block in porch for block in shown)


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_links_lead_somewhere(page):
    text = page.read_text(encoding="utf-8")
    for link in re.findall(r"\]\(([\w./-]+\.(?:md|toml|svg))\)", text):
        assert (page.parent / link).exists(), link


def test_every_example_is_told_of():
    tale = (ROOT / "examples" / "README.md").read_text(encoding="utf-8")
    for path in (ROOT / "examples").iterdir():
        assert path.suffix == ".md" or f"({path.name})" in tale, path.name


def test_the_two_commands_need_nothing_but_python():
    commands = re.findall(r"^python3 .+$", README, re.MULTILINE)
    assert len(commands) == 2
    assert all(command.startswith("python3 -m venv .venv && ") for command in commands)


def test_the_wheel_is_named_by_its_version():
    assert f"stairs-{__version__}-py3-none-any.whl" in README


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
    kept = {path.name for path in (ROOT / "figures").glob("*.svg")} - {"names.svg", "names-2.svg"}
    assert {path.name for path in written} == kept
    for path in written:
        assert _drawn(path) == _drawn(ROOT / "figures" / path.name), (
            f"figures/{path.name} is old: run {Path(sys.executable).name} figures/make.py"
        )
