"""``stairs measure`` as a person types it, with answers sent to it, and broken off."""

import json
import os
import pty
import select
import signal
import subprocess
import sys
import time
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT / "tests" / "asking"))

from porch_talk import PORCH  # noqa: E402

COMMAND = [sys.executable, "-m", "stairs", "measure"]
PLAIN = {**os.environ, "PYTHONPATH": str(ROOT), "TERM": "dumb", "NO_COLOR": "1"}


def sent(folder, answers, *options):
    """The command with answers sent to it, one a line."""
    return subprocess.run(
        [*COMMAND, "job.toml", *options], input="".join(f"{one}\n" for one in answers),
        capture_output=True, text=True, cwd=folder, env=PLAIN, timeout=60,
    )  # fmt: skip


class Terminal:
    """The command at a terminal of Python's own."""

    def __init__(self, folder, env=PLAIN):
        self.ours, theirs = pty.openpty()
        self.process = subprocess.Popen(
            [*COMMAND, "job.toml"], stdin=theirs, stdout=theirs, stderr=theirs, cwd=folder,
            env=env, start_new_session=True,
        )  # fmt: skip
        os.close(theirs)
        self.seen = b""

    def wait_for(self, words, seconds=30):
        """Read until words are shown behind what was seen before."""
        at, ends = len(self.seen), time.monotonic() + seconds
        while words.encode() not in self.seen[at:]:
            assert time.monotonic() < ends, self.seen.decode()
            if not self.read():
                break
        assert words.encode() in self.seen[at:], self.seen.decode()

    def read(self):
        """What is shown by now; False where nothing can follow."""
        if select.select([self.ours], [], [], 1)[0]:
            try:
                data = os.read(self.ours, 4096)
            except OSError:  # the other side has gone
                return False
            self.seen += data
            return bool(data)
        return True

    def type(self, words):
        os.write(self.ours, f"{words}\n".encode())

    def ends(self):
        """The exit code, once all is shown."""
        while self.read():
            if self.process.poll() is not None and not select.select([self.ours], [], [], 0)[0]:
                break
        code = self.process.wait(30)
        os.close(self.ours)
        return code


def test_answers_that_are_sent_make_the_porch(tmp_path, run):
    done = sent(tmp_path, PORCH)
    assert (done.returncode, done.stderr) == (0, "")
    assert "\x1b" not in done.stdout
    assert "H  rise: the total rise, lower landing to upper landing" in done.stdout
    code, mine, _ = run("solve", "job.toml", "--json")
    other, example, _ = run("solve", str(ROOT / "examples" / "porch.toml"), "--json")
    mine, example = json.loads(mine), json.loads(example)
    for one in (mine, example):
        one["sections"][0].pop("name")
    assert (code, other) == (0, 0)
    assert mine["sections"] == example["sections"]


def test_the_end_of_the_answers_is_2_with_what_is_missing(tmp_path, run):
    done = sent(tmp_path, PORCH[:16])
    assert done.returncode == 2
    assert done.stderr.startswith("stairs: job.toml: still missing: panel: top_rail (ht)")
    assert done.stderr.count("\n") == 1
    code, _, err = run("solve", "job.toml")
    assert code == 2 and "top_rail: is missing" in err
    again = sent(tmp_path, PORCH[16:])
    assert (again.returncode, again.stderr) == (0, "")


def test_what_is_there_is_kept_and_asked_again_with_replace(tmp_path):
    sent(tmp_path, PORCH)
    before = (tmp_path / "job.toml").read_text()
    assert sent(tmp_path, []).returncode == 0
    assert (tmp_path / "job.toml").read_text() == before
    assert sent(tmp_path, ["", "44"], "--replace").returncode == 0
    assert (tmp_path / "job.toml").read_text() == before.replace("43 1/2", "44")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="there is no full disk to write to")
def test_a_full_disk_behind_the_questions_is_3(tmp_path):
    with open("/dev/full", "w") as full:
        done = subprocess.run(
            [*COMMAND, "job.toml"], input="in\nflight\n", stdout=full, stderr=subprocess.PIPE,
            text=True, cwd=tmp_path, env=PLAIN, timeout=60,
        )  # fmt: skip
    assert done.returncode == 3
    assert done.stderr.count("\n") == 1


def test_a_refused_answer_that_was_sent_ends_the_talk(tmp_path):
    done = sent(tmp_path, [*PORCH[:3], "rise", "6"])
    assert done.returncode == 2
    assert done.stderr.startswith('stairs: job.toml: section 1: rise: "rise" is not a length.')
    assert "rise" not in tomllib.loads((tmp_path / "job.toml").read_text())["section"][0]


def test_answers_typed_at_a_terminal(tmp_path):
    """A slip is asked about, nothing is coloured and no cursor moved."""
    screen = Terminal(tmp_path)
    screen.wait_for("in or mm?")
    for words, then in (
        ("in", "flight or level?"),
        ("flight", "rises:"),
        ("", "rise:"),
        ("3", "3 ft?"),
        ("30", "risers:"),
        ("8", "right?"),
        ("no", "risers:"),
        ("4", "run:"),
        ("back", "risers:"),
        ("?", "a whole number"),
    ):
        screen.type(words)
        screen.wait_for(then)
    screen.process.send_signal(signal.SIGINT)
    assert screen.ends() == 2
    assert b"still missing" in screen.seen
    assert b"\x1b" not in screen.seen and b"Traceback" not in screen.seen
    section = tomllib.loads((tmp_path / "job.toml").read_text())["section"][0]
    assert section == {"kind": "flight", "rise": "30", "risers": 4}


@pytest.mark.parametrize("asked", range(0, 8, 2))
def test_a_terminal_that_is_closed_loses_no_answer(asked, tmp_path):
    screen = Terminal(tmp_path, {**PLAIN, "TERM": "xterm"})
    screen.wait_for("in or mm?")
    for words in PORCH[:asked]:
        screen.type(words)
        screen.wait_for("? ")
    screen.type("\x04")  # the end of what is typed
    assert screen.ends() == 2
    told = tomllib.loads((tmp_path / "job.toml").read_text()) if asked else {}
    assert len(told.get("section", [{}])[0]) == sum(map(bool, PORCH[1:asked]))


def test_names_that_are_no_file_and_answers_that_are_none(tmp_path, run):
    for name, words in ((".", "is no file"), ("nowhere/job.toml", "folder that is not there")):
        code, out, err = run("measure", name)
        assert (code, out) == (2, "") and words in err
    done = subprocess.run(
        [*COMMAND, "job.toml"], input=b"in\n\xff\xfe\x00\n", capture_output=True, cwd=tmp_path,
        env=PLAIN, timeout=60,
    )  # fmt: skip
    assert done.returncode == 2 and b"Traceback" not in done.stderr
