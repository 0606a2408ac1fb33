"""The commands that write sets of sheets: what they say, and what they refuse."""

from __future__ import annotations

import pypdf
import pytest
from click.testing import CliRunner

from stairs.cli.commands import main

JOB = """
title = "Garden stair"
units = "in"
rules = "irc-2021"
[panel]
height = "33 1/2"
top_rail = "1 3/4"
bottom_rail = "1 1/2"
baluster = "3/4"
pitch = "4 1/2"
stock = ["72", "96"]
[bracket]
kind = "pivot"
pivot_offset = "1 1/8"
rail_setback = "3/8"
[post]
width = "3"
base = "5"
stock = ["45", "54"]
[[section]]
kind = "flight"
unit_rise = "7 1/4"
unit_run = "10 1/2"
treads = 5
nosing = "1"
tread_thickness = "1 1/4"
posts = ["-4", "56"]
bottom_gap = "5/8"
"""


@pytest.fixture
def job(tmp_path):
    path = tmp_path / "job.toml"
    path.write_text(JOB, encoding="utf-8")
    return path


def run(*arguments, given=None):
    return CliRunner().invoke(main, [str(one) for one in arguments], input=given)


@pytest.mark.parametrize("command", ["packet", "shop", "template"])
def test_a_set_is_written_and_counted(command, job, tmp_path):
    target = tmp_path / "set.pdf"
    result = run(command, job, "-o", target)
    assert result.exit_code == 0, result.output
    count = len(pypdf.PdfReader(target).pages)
    assert f"{target}: {count} sheet" in result.output


@pytest.mark.parametrize("command", ["packet", "shop", "template"])
def test_a_set_comes_from_standard_input_too(command, tmp_path):
    target = tmp_path / "set.pdf"
    result = run(command, "-", "-o", target, "--paper", "tabloid", given=JOB)
    assert result.exit_code == 0, result.output
    assert "tabloid" in result.output
    assert target.exists()


@pytest.mark.parametrize("command", ["packet", "shop", "template"])
@pytest.mark.parametrize(
    "more, words",
    [
        (("-o", "set.svg"), "A set of sheets is one .pdf"),
        (("-o", "missing/set.pdf"), "cannot be written"),
        (("-o", "set.pdf", "--paper", "napkin"), '"napkin" is not a sheet size'),
    ],
    ids=("ending", "folder", "paper"),
)
def test_what_cannot_be_is_refused_with_2(command, more, words, job, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    result = run(command, job, *more)
    assert result.exit_code == 2
    assert words in result.output
    assert "Traceback" not in result.output
    assert list(tmp_path.iterdir()) == [job]


def test_the_plan_is_a_view(job, tmp_path):
    target = tmp_path / "plan.svg"
    result = run("draw", job, "--view", "plan", "-o", target)
    assert result.exit_code == 0, result.output
    assert "<title" in target.read_text(encoding="utf-8")


def test_a_framing_plan_wants_framing(job, tmp_path):
    result = run("draw", job, "--view", "framing", "-o", tmp_path / "framing.pdf")
    assert result.exit_code == 2
    assert "the job says nothing of joists or boards" in result.output
    assert not (tmp_path / "framing.pdf").exists()
