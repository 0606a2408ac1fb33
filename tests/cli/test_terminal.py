"""What is printed on a full disk, into a closed pipe, and on screens that lack letters."""

from __future__ import annotations

import errno
import io
import json
import subprocess
import sys

import pytest

from stairs.cli.commands import main
from stairs.cli.terminal import fitted
from stairs.solution import solution_for

QUICK = ("--rise", "42", "--run", "50", "--treads", "5")
PRINTING = [
    ("solve", *QUICK), ("solve", *QUICK, "--json"), ("solve", *QUICK, "--working"),
    ("check", *QUICK), ("check", *QUICK, "--json"),
    ("cuts", *QUICK), ("cuts", *QUICK, "--loads"), ("cuts", *QUICK, "--csv", "cut"),
    ("cuts", *QUICK, "--csv", "buy"), ("cuts", *QUICK, "--csv", "set-out"),
    ("find", "handrail", *QUICK), ("find", "handrail", *QUICK, "--json"),
    ("rules",), ("rules", "din-18065-2015"), ("form",), ("form", "-o", "new.toml"),
    ("--help",), ("check", "--help"), ("--version",),
    ("draw", *QUICK, "-o", "one.svg"), ("packet", *QUICK, "-o", "set.pdf"),
    ("shop", *QUICK, "-o", "shop.pdf"), ("template", *QUICK, "-o", "template.pdf"),
]  # fmt: skip
TEXTS = PRINTING[:19]


class Broken(io.RawIOBase):
    """A stream that takes nothing."""

    def __init__(self, number):
        self.number = number

    def writable(self):
        return True

    def write(self, _):
        raise OSError(self.number, "No space left on device")


def typed(monkeypatch, words, stream):
    """Exit code and standard error of a command whose standard output is a stream of ours."""
    errors = io.StringIO()
    monkeypatch.setattr(sys, "stdout", stream)
    monkeypatch.setattr(sys, "stderr", errors)
    with pytest.raises(SystemExit) as caught:
        main(list(words), prog_name="stairs")
    monkeypatch.undo()
    return caught.value.code, errors.getvalue()


@pytest.fixture
def folder(tmp_path, monkeypatch):
    """An empty folder; each guard is solved once for all commands."""
    import stairs.solution

    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(stairs.solution, "solution_for", _answered)
    with pytest.MonkeyPatch.context() as patch:
        yield patch


_KNOWN: dict = {}


def _answered(job, *told, **how):
    key = (job, repr((told, how)))
    if key not in _KNOWN:
        _KNOWN[key] = solution_for(job, *told, **how)
    return _KNOWN[key]


@pytest.mark.parametrize("words", PRINTING, ids=" ".join)
def test_a_full_disk_ends_with_3_and_one_line(folder, words):
    stream = io.TextIOWrapper(io.BufferedWriter(Broken(errno.ENOSPC)), encoding="utf-8")
    code, told = typed(folder, words, stream)
    assert (code, told) == (
        3, "stairs: standard output cannot be written: No space left on device\n"
    )  # fmt: skip


@pytest.mark.parametrize("words", TEXTS, ids=" ".join)
def test_a_reader_that_went_away_ends_with_3_in_silence(folder, words):
    stream = io.TextIOWrapper(io.BufferedWriter(Broken(errno.EPIPE)), encoding="utf-8")
    assert typed(folder, words, stream) == (3, "")


@pytest.mark.parametrize("encoding", ["cp1252", "iso8859-2", "cp932", "ascii"])
def test_letters_that_a_screen_lacks_change_no_exit_code(folder, job, encoding):
    title = "Hof · 4½ · Übergang 階段"
    changes = (('title = "Back steps"', f'title = "{title}"'), ('bottom_gap = "5/8"',
                                                                'bottom_gap = "3"'))  # fmt: skip
    failing = [("check", job(*changes)), ("check", job(*changes), "--json")]
    for command in (*failing, *TEXTS) if encoding == "ascii" else failing:
        held = io.BytesIO()
        code, told = typed(folder, command, io.TextIOWrapper(held, encoding=encoding))
        assert (code, "Traceback" in told) == (int(command in failing), False), command
        text = held.getvalue().decode(encoding)
        if "--json" in command:
            assert json.loads(text)["key" if "find" in command else "sections"]
        elif command in failing:
            assert text.startswith(fitted(title, encoding) + "\n")


def test_the_nearest_letters_stand_in():
    assert fitted("4½ ½ · Übergang 階 36.2°", "ascii") == "4 1/2 1/2 - Ubergang ? 36.2d"
    assert fitted("4½ · Ü 階", "cp1252") == "4½ · Ü ?"
    assert fitted("ő ½", "iso8859-2") == "ő 1/2"
    assert fitted("a\x1b[2Jb\n", "utf-8") == "a\\x1b[2Jb\n"


def test_the_process_itself_is_quiet_about_what_it_could_not_write(tmp_path):
    command = [sys.executable, "-m", "stairs", "rules", "irc-2021"]
    with open("/dev/full", "w") as full:
        run = subprocess.run(command, stdout=full, stderr=subprocess.PIPE, text=True, timeout=60)
    assert (run.returncode, run.stderr.count("\n")) == (3, 1)
    closed = subprocess.run(["sh", "-c", f"{' '.join(command)} >&-"], stderr=subprocess.PIPE,
                            text=True, timeout=60)  # fmt: skip
    assert (closed.returncode, closed.stderr.count("\n")) == (3, 1)
