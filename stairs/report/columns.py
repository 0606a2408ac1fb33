"""Columns: text laid out for a plain screen or a printed page of 80 columns."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Collection, Sequence

from stairs.guard.solving import Section
from stairs.job import Job
from stairs.lengths.tape_marks import length_text

WIDTH = 80
_LEAST = 10  # columns that a broken cell is left

_MIXED = re.compile(r"(?<=\d) (?=\d+/\d)|(?<=\d) (?=mm\b)")
KEPT = "\u00a0"
"""A space that no line is broken at; printed as a plain one."""


def length(job: Job, value: float) -> str:
    """A length on the nearest mark of the job's tape, with its unit.

    Parameters
    ----------
    job : stairs.job.Job
        For its units and tape.
    value : Fraction or float
        [job's unit of length].
    """
    return length_text(value, job.units, job.tape)


def wrap(text: str, first: str = "", rest: str = "") -> str:
    """A paragraph broken into lines of at most 80 columns, but never within a length.

    Parameters
    ----------
    text : str
        The paragraph.
    first, rest : str
        What stands before its first line, and before every other.

    Examples
    --------
    >>> print(wrap("x" * 75 + ' 22 5/16" off'))
    xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx
    22 5/16" off
    """
    filled = textwrap.fill(
        _MIXED.sub(KEPT, text),
        WIDTH,
        initial_indent=first,
        subsequent_indent=rest,
        break_long_words=True,
        break_on_hyphens=False,
    )
    return filled.replace(KEPT, " ")


def remark(text: str, label: str = "") -> str:
    """A paragraph under a table: indented, its further lines more so."""
    return wrap(text, f"  {label}", "    ")


def counted(number: int, noun: str) -> str:
    """How many of something, such as ``2 holes``."""
    return f"{number} {noun}{'' if number == 1 else 's'}"


def section_name(section: Section) -> str:
    """Which section: its kind, its number and the name that the job gives it."""
    kind = "Flight" if section.kind == "flight" else "Level run"
    return f"{kind} {section.number}" + (f", {section.name[:60]}" if section.name else "")


def in_a_row(places: Sequence[str]) -> str:
    """Places in words, each once, numbers after the same word put together.

    Parameters
    ----------
    places : sequence of str
        Such as ``"tread 2"`` or ``"foot"``.

    Examples
    --------
    >>> in_a_row(["tread 1", "tread 2", "tread 3", "tread 5", "foot"])
    'treads 1 to 3, 5, foot'
    """
    words: dict[str, list[str]] = {}
    for place in dict.fromkeys(places):
        name, _, rest = place.partition(" ")
        words.setdefault(name, []).append(rest)
    return ", ".join(_numbers(name, rest) for name, rest in words.items())


def _numbers(name: str, rest: list[str]) -> str:
    """A word with the numbers after it."""
    if not all(number.isdigit() for number in rest):
        return ", ".join(f"{name} {number}".strip() for number in rest)
    return f"{name}{'' if len(rest) == 1 else 's'} {in_runs(list(map(int, rest)))}"


def in_runs(numbers: Sequence[int]) -> str:
    """Growing numbers, three or more in a row from the first to the last.

    Examples
    --------
    >>> in_runs([1, 2, 4, 5, 6])
    '1, 2, 4 to 6'
    """
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    told = [f"{run[0]} to {run[-1]}" if len(run) > 2 else ", ".join(map(str, run)) for run in runs]
    return ", ".join(told)


def table(heads: Sequence[str], rows: Sequence[Sequence[str]], right: Collection[int] = ()) -> str:
    """Columns as wide as they must be, two spaces apart or one where that is too wide for a line.

    Where one space is too wide as well, the widest column of words is broken.

    Parameters
    ----------
    heads : sequence of str
        One per column.
    rows : sequence of sequence of str
        Each as long as the heads.
    right : collection of int
        Columns from 0 that are set to the right.

    Examples
    --------
    >>> print(table(["bay", "cut"], [["1.1", "31"]], (1,)))
      bay  cut
      1.1   31
    """
    widths = [max(len(row[i]) for row in (heads, *rows)) for i in range(len(heads))]
    apart = "  " if sum(widths) + 2 * len(widths) <= WIDTH else " "
    over = 1 + sum(widths) + len(widths) - WIDTH
    if over > 0:  # the widest column of words goes on over several lines
        wide = max(set(range(len(heads))) - set(right), key=lambda i: widths[i], default=None)
        if wide is not None and widths[wide] - over >= _LEAST:
            widths[wide] -= over
            rows = [part for row in rows for part in _broken(row, wide, widths[wide])]
    lines = []
    for row in (heads, *rows):
        cells = [
            cell.rjust(width) if index in right else cell.ljust(width)
            for index, (cell, width) in enumerate(zip(row, widths, strict=True))
        ]
        lines.append(("  " + apart.join(cells)).rstrip())
    return "\n".join(lines)


def _broken(row: Sequence[str], column: int, width: int) -> list[list[str]]:
    """A row over as many lines as one of its columns needs at a width."""
    parts = textwrap.wrap(_MIXED.sub(KEPT, row[column]), width) or [""]
    return [
        [
            part.replace(KEPT, " ") if index == column else cell if line == 0 else ""
            for index, cell in enumerate(row)
        ]
        for line, part in enumerate(parts)
    ]
