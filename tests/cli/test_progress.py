"""What is shown to who waits: one line on a terminal, nothing anywhere else, nothing left of it."""

import io
from pathlib import Path

import pytest

from stairs.job import read_job
from stairs.progress import PATIENCE, at_work, shown_on
from stairs.solution import solution_for

PORCH = Path(__file__).parents[2] / "examples" / "porch.toml"


class Terminal(io.StringIO):
    """A stream that says it is a terminal."""

    def isatty(self) -> bool:
        return True


@pytest.fixture
def at_once(monkeypatch):
    monkeypatch.setattr("stairs.progress.EVERY", 0.0)


def test_a_line_is_shown_and_wiped_off_on_a_terminal(at_once):
    screen = Terminal()
    with shown_on(screen, patience=0.0):
        at_work("post 1")
        at_work("one")
    assert screen.getvalue() == "\rworking: post 1\rworking: one   \r" + " " * 12 + "\r"


def test_nothing_is_shown_in_a_pipe_or_before_patience_ends():
    pipe, screen = io.StringIO(), Terminal()
    with shown_on(pipe, patience=0.0):
        at_work("post 1")
    with shown_on(screen, patience=1e6):
        at_work("post 1")
    at_work("nobody waits")
    assert pipe.getvalue() == screen.getvalue() == ""


def test_an_answer_says_that_measurements_are_moved(at_once):
    screen = Terminal()
    with shown_on(screen, patience=0.0):
        solution_for(read_job(str(PORCH)))
    lines = {line.strip() for line in screen.getvalue().split("\r")} - {""}
    assert any("section 1: every measurement a little off" in line for line in lines)
    assert max(map(len, lines)) < 80


@pytest.mark.parametrize(
    ("words", "stages"),
    [
        (["solve"], ["section 1: how low and how high its rail may sit"]),
        (["check"], ["section 1: its checks"]),
        (["cuts"], ["which stock rail each rail comes out of"]),
        (["draw", "-o", "one.pdf"], ["section 1: its elevation", "page 1 of 1"]),
        (["draw", "--view", "plan", "-o", "one.pdf"], ["where labels may stand"]),
        (["packet", "-o", "set.pdf"], ["section 1: its elevation", "section 1: its details",
                                       "schedules", "marks that lead", "page 2 of"]),
        (["shop", "-o", "set.pdf"], ["which stock rail", "page 2 of"]),
        (["template", "-o", "set.pdf"], ["section 1: ", "page 2 of"]),
    ],
    ids=lambda one: "-".join(one[:3:2]),
)  # fmt: skip
def test_every_command_on_a_job_tells_what_it_is_at(words, stages, run, monkeypatch):
    """Whatever the job, it is told from its first second on; nothing of it is left on the line."""
    screen = Terminal()
    monkeypatch.setattr("stairs.cli.group.shown_on", lambda _: shown_on(screen, patience=0.0))
    monkeypatch.setattr("stairs.progress.EVERY", 0.0)
    assert run(words[0], str(PORCH), *words[1:])[0] == 0
    for stage in stages:
        assert f"working: {stage}" in screen.getvalue()
    assert screen.getvalue().endswith(" \r")


def test_nobody_waits_longer_than_a_second_for_the_first_word():
    assert PATIENCE <= 1.0
