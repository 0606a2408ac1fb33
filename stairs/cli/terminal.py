"""The terminal: what the command line prints, on whatever standard output it is given.

Standard output may be a full disk, a reader that closed the pipe, or a screen whose letters hold no
½.  None of these is a traceback, and none looks like a verdict: what cannot be written ends with
exit code 3, and a letter that is not there is replaced by the nearest plain one.
"""

from __future__ import annotations

import codecs
import errno
import os
import re
import sys
import unicodedata
from typing import Any

NOT_WRITTEN = 3
"""The exit code where the output cannot be written."""

_LONGEST_LINE = 1_000_000  # bytes of an answer

_NEAREST = {
    "½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
    "·": "-", "•": "-", "–": "-", "—": "-", "‐": "-", "−": "-", "×": "x", "°": "d", "⌀": "dia.",
    "Ø": "O", "ø": "o", "ß": "ss", "æ": "ae", "Æ": "AE", "ł": "l", "Ł": "L", "≤": "<=", "≥": ">=",
    "√": "sqrt", "²": "^2", "⋅": "*", "θ": "theta", "φ": "phi", "ψ": "psi", "σ": "sigma",
    "α": "alpha", "β": "beta", "τ": "tau", "μ": "mu", "λ": "lambda",
    "‘": "'", "’": "'", "′": "'", "“": '"', "”": '"', "″": '"', "„": '"', "…": "...", "→": "->",
}  # fmt: skip
_CONTROL = re.compile(r"[\x00-\x09\x0b-\x1f\x7f-\x9f\u2028\u2029]")


class NotWritten(Exception):
    """Standard output cannot be written; ``reason`` is empty where its reader has gone."""

    def __init__(self, reason: str) -> None:
        self.reason = reason
        super().__init__(reason)


def say(text: str, end: str = "\n", error: bool = False) -> None:
    """Print text, in letters that the stream has, without control characters.

    With ``error`` it goes to standard error, where what cannot be written is let go.

    Raises
    ------
    NotWritten
        Where standard output cannot be written.
    """
    stream = sys.stderr if error else sys.stdout
    try:
        if stream is None:
            raise OSError(errno.EBADF, os.strerror(errno.EBADF))
        stream.write(fitted(text + end, getattr(stream, "encoding", None) or "utf-8"))
        stream.flush()
    except (OSError, ValueError) as problem:
        let_go(stream)
        if not error:
            raise NotWritten(reason_of(problem)) from problem


def is_typed(stream: Any) -> bool:
    """Whether somebody types at a terminal what a stream reads."""
    try:
        return bool(stream.isatty())
    except (AttributeError, ValueError):
        return False


def answer_to(question: str) -> str | None:
    """What is typed behind a question, or read where answers are sent; None at their end.

    No cursor is moved and nothing coloured.  Answers that are not typed are shown, so that what is
    printed reads as it would on a screen.
    """
    typed = is_typed(sys.stdin)
    if typed:
        say(question, end=" ")
    try:
        words = sys.stdin.buffer.readline(_LONGEST_LINE).decode("utf-8", "replace")
    except (AttributeError, OSError, ValueError):  # closed, or none
        words = ""
    if not typed:
        say(f"{question} {words.strip()}".rstrip())
    return words.rstrip("\r\n") if words else None


def reason_of(problem: Exception) -> str:
    """Why a stream cannot be written, in words; empty where its reader has gone."""
    if getattr(problem, "errno", None) in (errno.EPIPE, errno.ESHUTDOWN):
        return ""
    return getattr(problem, "strerror", None) or str(problem)


def let_go(stream: Any) -> None:
    """Send what a broken stream still holds nowhere, so that the end of the process is quiet."""
    try:
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, stream.fileno())
        os.close(nowhere)
    except (AttributeError, OSError, ValueError):
        return


def fitted(text: str, encoding: str) -> str:
    """The text in letters that an encoding has; control characters are shown escaped.

    Examples
    --------
    >>> fitted("7½ · Tür 階", "ascii")
    '7 1/2 - Tur ?'
    """
    shown = _CONTROL.sub(lambda found: found[0].encode("unicode_escape").decode("ascii"), text)
    return shown.encode(encoding, _PLAINLY).decode(encoding)


def fits(text: str, encoding: str | None) -> bool:
    """Whether an encoding has every letter of a text."""
    try:
        text.encode(encoding or "utf-8")
    except UnicodeEncodeError:
        return False
    return True


def _nearest(problem: UnicodeError) -> tuple[str | bytes, int]:
    """The codecs' way to ask for what stands in for letters that an encoding has not."""
    if not isinstance(problem, UnicodeEncodeError):
        raise problem
    text, plain = problem.object, []
    for place in range(problem.start, problem.end):
        letter = text[place]
        found = _NEAREST.get(letter) or "".join(
            part
            for part in unicodedata.normalize("NFKD", letter)
            if not unicodedata.combining(part)
        )
        if found[:1].isdigit() and "/" in found and text[place - 1 : place].isdigit():
            found = f" {found}"
        plain.append(found if found != letter and fits(found, problem.encoding) else "?")
    return "".join(plain), problem.end


_PLAINLY = "stairs.plainly"
codecs.register_error(_PLAINLY, _nearest)
