"""Sessions in the documents: what was typed, and what the command prints.

``python tests/sessions.py`` prints every session again where its output has changed.  A line
``...`` stands for lines that are left out.
"""

from __future__ import annotations

import re
import shlex
import sys
from pathlib import Path

from click.testing import CliRunner

from stairs.cli.commands import main

ROOT = Path(__file__).parent.parent
DOCUMENTS = ("README.md", "examples/README.md")
SESSION = re.compile(r"^```\n(\$ stairs [^\n]+)\n(.*?)^```", re.MULTILINE | re.DOTALL)
LEFT_OUT = "..."


def sessions(document: str) -> list[tuple[str, list[str]]]:
    """Every command of a document, and the lines that it is said to print."""
    text = (ROOT / document).read_text(encoding="utf-8")
    return [(command, _lines(printed)) for command, printed in SESSION.findall(text)]


def _lines(text: str) -> list[str]:
    return [line.rstrip() for line in text.strip("\n").splitlines()]


def output_of(command: str) -> list[str]:
    """What a command prints, line by line."""
    result = CliRunner().invoke(main, shlex.split(command)[2:])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return _lines(result.output)


def pieces(shown: list[str]) -> list[list[str]]:
    """The stretches of output between the lines that are left out; the first may be empty."""
    found: list[list[str]] = [[]]
    for line in shown:
        if line == LEFT_OUT:
            found.append([])
        else:
            found[-1].append(line)
    return found


def places(shown: list[str], got: list[str]) -> list[int]:
    """Where in the output each piece begins, by its first line."""
    parts, begins, after = pieces(shown), [], 0
    for number, piece in enumerate(parts):
        if number == 0 or not piece:
            begin = after
        elif number == len(parts) - 1:
            begin = len(got) - len(piece)
        else:
            begin = got.index(piece[0], after)
        begins.append(begin)
        after = begin + len(piece)
    return begins


def reprinted(command: str, shown: list[str]) -> list[str]:
    """The session as the command prints it now, as many lines of each piece as before."""
    got = output_of(command)
    parts, begins = pieces(shown), places(shown, got)
    lines: list[str] = []
    for number, (piece, begin) in enumerate(zip(parts, begins, strict=True)):
        lines += [LEFT_OUT] if number else []
        end = begin + len(piece) if len(parts) > 1 else len(got)
        lines += got[begin:end]
    return lines


def _print_again(document: str) -> None:
    path = ROOT / document
    text = path.read_text(encoding="utf-8")

    def session(match: re.Match[str]) -> str:
        lines = reprinted(match[1], _lines(match[2]))
        return "\n".join(["```", match[1], *lines, "```"])

    path.write_text(SESSION.sub(session, text), encoding="utf-8")


if __name__ == "__main__":
    for name in DOCUMENTS:
        _print_again(name)
        sys.stdout.write(f"{name}\n")
