"""What is shown to who waits: one line on a terminal, nothing anywhere else, nothing left of it."""

import io
from pathlib import Path

import pytest

from stairs.job import read_job
from stairs.progress import at_work, shown_on
from stairs.solution import answer_for

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


def test_an_answer_says_which_measurement_it_is_at(at_once):
    screen = Terminal()
    with shown_on(screen, patience=0.0):
        answer_for(read_job(str(PORCH)))
    lines = {line.strip() for line in screen.getvalue().split("\r")} - {""}
    assert any("panel: height read a little off" in line for line in lines)
    assert max(map(len, lines)) < 80
