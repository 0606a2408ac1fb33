"""A folder to type commands in and a job file to type, for all tests in this folder."""

import sys
from pathlib import Path

import pytest

from stairs.cli.commands import main

sys.path.insert(0, str(Path(__file__).parent))

from job_text import JOB  # noqa: E402


@pytest.fixture
def run(capsys, tmp_path, monkeypatch):
    """Type a command in an empty folder; gives exit code, standard output and standard error."""
    monkeypatch.chdir(tmp_path)

    def type_command(*words):
        with pytest.raises(SystemExit) as caught:
            main(list(words))
        out, err = capsys.readouterr()
        return caught.value.code or 0, out, err

    return type_command


@pytest.fixture
def job(tmp_path):
    """The path of a job file, from a text with some words exchanged."""

    def write(*changes, name="job.toml"):
        text = JOB
        for old, new in changes:
            assert old in text
            text = text.replace(old, new, 1)
        (tmp_path / name).write_text(text, encoding="utf-8")
        return name

    return write
