"""A job file opened, decoded and parsed; what is no TOML is told by line, with the line mended."""

from __future__ import annotations

import difflib
import re
import sys
import tomllib
from decimal import Decimal
from pathlib import Path
from typing import IO, Any

from stairs.errors import FileError
from stairs.job.agreement import job_from_mapping
from stairs.job.mended import is_line, mended_line
from stairs.job.records import Job
from stairs.job.table import joined
from stairs.lengths.tape import MOST_DIGITS, as_typed

LARGEST_FILE = 1_000_000  # bytes
BYTE_ORDER_MARK = b"\xef\xbb\xbf"


def read_job(path: str | Path, stdin: IO[Any] | None = None) -> Job:
    """The job that a file holds, complete and frozen.

    ``path`` names a TOML file of at most 1 MB in UTF-8, or is ``"-"`` for standard input:
    ``stdin``, bytes or text, or the process's own where that is left out.

    Raises
    ------
    FileError
        Where the file cannot be read or is not TOML.
    JobError
        Where a key or a value cannot be used; the message names file, section and key.

    Examples
    --------
    >>> read_job("no such folder/stair.toml")
    Traceback (most recent call last):
    ...
    stairs.errors.FileError: no such folder/stair.toml: there is no such file. Check the path.
    """
    where = "standard input" if str(path) == "-" else printable(str(path))
    if str(path) == "-":
        data = _stream_bytes(sys.stdin if stdin is None else stdin, where)
    else:
        data = _file_bytes(path, where)
    return job_from_text(_decoded(data, where), where)


def file_text(path: str | Path) -> str:
    """The text of a job file, with the line ends that it has; raises as :func:`read_job`."""
    where = printable(str(path))
    return _decoded(_file_bytes(path, where), where)


def printable(text: str) -> str:
    """A file's name as it can stand in a message."""
    return as_typed(text)[1:-1] if not text.isprintable() else text


def _stream_bytes(stream: IO[Any] | None, where: str) -> bytes:
    try:
        bare: Any = getattr(stream, "buffer", stream)
        data: str | bytes = bare.read(LARGEST_FILE + 1)
    except (AttributeError, OSError, ValueError) as error:
        raise FileError(
            where,
            "cannot be read",
            "A job file is read from it where the job is named -",
            "Send a job file to it, or name a file",
        ) from error
    return data.encode("utf-8", "surrogateescape") if isinstance(data, str) else data


def _file_bytes(path: str | Path, where: str) -> bytes:
    try:
        with open(path, "rb") as file:
            return file.read(LARGEST_FILE + 1)
    except FileNotFoundError as error:
        folder = Path(path).parent
        names = sorted(p.stem for p in folder.glob("*.toml")) if folder.is_dir() else []
        near = difflib.get_close_matches(Path(path).stem, names, n=1)
        remedy = "Check the path"
        if near:
            remedy = f"The nearest file there is {printable(near[0])}.toml"
        raise FileError(where, "there is no such file", "", remedy) from error
    except IsADirectoryError as error:
        raise FileError(
            where, "is a directory", "A job is one TOML file", "Name the file in it"
        ) from error
    except PermissionError as error:
        raise FileError(
            where, "may not be read", "", "Give yourself the right to read the file"
        ) from error
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise FileError(where, f"cannot be read ({reason})", "", "Check the path") from error


def _decoded(data: bytes, where: str) -> str:
    if len(data) > LARGEST_FILE:
        raise FileError(
            where, "has more than 1 MB", "A job file has a few kilobytes", "Check the path"
        )
    if not data.removeprefix(BYTE_ORDER_MARK).strip():
        raise FileError(
            where,
            "is empty",
            "A job file holds units, [panel], [bracket], [post] and one [[section]] or more",
            "Start from one of the examples",
        )
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        kind = "is not text" if b"\0" in data else "is not text in UTF-8"
        raise FileError(
            where,
            f"{kind}: the byte at offset {_offset(data, error)} does not read as any character",
            "A job file is text in UTF-8",
            "Save it again as UTF-8",
        ) from error
    if "\0" in text:
        raise FileError(
            where,
            f"is not text: the byte at offset {data.index(0)} is zero",
            "A job file is text in UTF-8",
            "Check the path, or save it again as UTF-8",
        )
    return text


def _offset(data: bytes, error: UnicodeDecodeError) -> int:
    return error.start + (len(BYTE_ORDER_MARK) if data.startswith(BYTE_ORDER_MARK) else 0)


def job_from_text(text: str, where: str = "") -> Job:
    """The job that a text in TOML holds; ``where`` is the file's name, for messages.

    Raises
    ------
    FileError
        Where the text is not TOML; the message gives line, column and the line as typed.
    JobError
        Where a key or a value cannot be used.

    Examples
    --------
    >>> job_from_text("units = 'in'")  # doctest: +ELLIPSIS
    Traceback (most recent call last):
    ...
    stairs.errors.JobError: panel: is missing. It says what the panel measures. ...
    """
    return job_from_mapping(mapping_from_text(text, where), where)


def mapping_from_text(text: str, where: str = "") -> dict[str, Any]:
    """The keys and values of a text in TOML; numbers with a point stay as they were typed.

    Raises
    ------
    FileError
        Where the text is not TOML; the message gives line, column and the line as typed.
    """
    try:
        return tomllib.loads(text, parse_float=Decimal)
    except tomllib.TOMLDecodeError as error:
        raise _syntax_error(text, str(error), where) from error
    except RecursionError as error:
        raise FileError(
            where,
            "nests lists or tables too deeply to be read",
            "A job file nests three deep at most",
            "Take out the brackets that are too many",
        ) from error
    except (ValueError, ArithmeticError) as error:  # numbers of thousands of digits
        raise FileError(
            joined(where, *_long_number(text)),
            "holds a number that is too long to be read",
            f"Numbers have at most {MOST_DIGITS} digits",
            "Write numbers as they were measured",
        ) from error


def _long_number(text: str) -> tuple[str, ...]:
    """The line, and its key, where the first number stands that no tape has."""
    for number, line in enumerate(text.splitlines(), 1):
        if re.search(rf"[0-9_.]{{{MOST_DIGITS + 1},}}|[0-9][eE][-+]?[0-9_]{{4,}}", line):
            key = re.match(r" *([A-Za-z_]+) *=", line)
            return (f"line {number}", key[1]) if key else (f"line {number}",)
    return ()


def _syntax_error(text: str, message: str, where: str) -> FileError:
    match = re.search(r"\(at line (\d+), column (\d+)\)$", message)
    lines = text.replace("\r\n", "\n").split("\n")
    if match:
        line, column = int(match[1]), int(match[2])
    else:
        line = max((n for n, words in enumerate(lines, 1) if words.strip()), default=1)
        column = len(lines[line - 1]) + 1
    reason = message.split(" (at ")[0]
    reason = reason[:1].lower() + reason[1:]
    typed = lines[line - 1].strip() if line <= len(lines) else ""
    if any(word in reason for word in ("overwrite", "declare", "duplicate", "mutate")):
        place = joined(where, f"line {line}, column {column}")
        found = f"the key or table was given before, at {as_typed(typed)}"
        return FileError(place, found, _TOML, _twice(lines, line))
    mended = mended_line(typed)
    if not mended and (reason.startswith("unclosed array") or is_line(typed)):
        reason = reason if (opened := _opened(lines, line)) == line else "unclosed array"
        line = opened
        column, typed = min(column, len(lines[line - 1]) + 1), lines[line - 1].strip()
        mended = mended_line(typed)
    found = f"{as_typed(typed)} cannot be read"
    told = next((words for begins, words in _REASONS.items() if reason.startswith(begins)), "")
    return FileError(
        joined(where, f"line {line}, column {column}"),
        found if mended or not told else f"{found}: {told}",
        "" if mended else _TOML,
        mended or "Mend that line",
    )


_TOML = "A job file is TOML: key = value, text in quotes"
_REASONS = {
    "unclosed array": "no ] closes its list",
    "unterminated string": "no quote closes its text",
    "invalid date": "it is an invalid date or time",
    "unclosed inline table": "no } closes it",
}
"""What the reader of TOML says, where that helps, in plain words."""


def _twice(lines: list[str], line: int) -> str:
    """What to do about a key or a header that was given before; where that was, if it is seen."""
    bare = lines[line - 1].strip()
    name = re.match(r"[A-Za-z_]+(?= *=)", bare)
    first, header = 0, ""
    for number in range(line - 1, 0, -1):
        above = lines[number - 1].strip()
        if name is None and above == bare or name and re.match(rf"{name[0]} *=", above):
            first = number
        if name and above.startswith("[") and "=" not in above:
            header = above
            break
    keep = f"Line {first} has it too: keep one of the two" if first else "Keep one of the two"
    if header.startswith("[["):
        keep += f", or write {header} above this line where another one begins"
    return keep


def _opened(lines: list[str], line: int) -> int:
    """The line, from 1, of the list that is still open at a line."""
    for number in range(min(line, len(lines)), 0, -1):
        if re.match(r"[^#\"']*=\s*\[", lines[number - 1]):
            return number
    return line
