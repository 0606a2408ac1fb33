"""Columns: text laid out for a plain screen or a printed page of 80 columns."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Collection, Sequence
from fractions import Fraction
from typing import TYPE_CHECKING

from stairs.lengths.tape_marks import length_text
from stairs.words.speech import local

if TYPE_CHECKING:  # the list of rulebooks is printed without a solver
    from stairs.guard.solving import Section
    from stairs.job import Job

WIDTH = 80
NAME = 60  # letters of a section's name that a heading shows
_LEAST = 10  # columns that a broken cell is left

_TOGETHER = re.compile(r"(?<=\d) (?=\d+/\d|(?:in|ft|m|mm|cm|lbf|kN)\b)")
KEPT = "\u00a0"
"""A space that no line is broken at; printed as a plain one."""


def length(job: Job, value: Fraction | float) -> str:
    """A length on the nearest mark of the job's tape, with its unit."""
    return length_text(value, job.units, job.tape)


def wrap(text: str, first: str = "", rest: str = "") -> str:
    """A paragraph broken into lines of at most 80 columns, but never within a length.

    Parameters
    ----------
    first, rest : str
        What stands before its first line, and before every other.

    Examples
    --------
    >>> print(wrap("x" * 75 + ' 22 5/16" off'))
    xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx
    22 5/16" off
    """
    filled = textwrap.fill(
        _TOGETHER.sub(KEPT, local(text)),
        WIDTH,
        initial_indent=first,
        subsequent_indent=rest,
        break_long_words=True,
        break_on_hyphens=False,
    )
    return filled.replace(KEPT, " ")


def remark(text: str, label: str = "", indent: int = 2) -> str:
    """A paragraph under a table: indented, its further lines two columns more."""
    return wrap(text, " " * indent + label, " " * (indent + 2))


def counted(number: int, noun: str) -> str:
    """How many of something, such as ``2 holes``."""
    return f"{number} {noun}{'' if number == 1 else 's'}"


def listed(names: Sequence[str]) -> str:
    """Names one after the other, the last one after ``and``."""
    *others, last = names or ("",)
    return f"{', '.join(others)} and {last}" if others else last


def numbered(noun: str, numbers: Sequence[int]) -> str:
    """A noun with growing numbers after it.

    Examples
    --------
    >>> numbered("tread", [1, 2, 3, 5]), numbered("bay", [2])
    ('treads 1 to 3, 5', 'bay 2')
    """
    return f"{noun}{'' if len(numbers) == 1 else 's'} {in_runs(numbers)}"


def section_name(section: Section) -> str:
    """Which section: its kind, its number and the name that the job gives it."""
    kind = "Flight" if section.kind == "flight" else "Level run"
    return f"{kind} {section.number}" + (f", {section.name[:NAME]}" if section.name else "")


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
    right : collection of int
        Columns from 0 that are set to the right.

    Examples
    --------
    >>> print(table(["bay", "cut"], [["1.1", "31"]], (1,)))
      bay  cut
      1.1   31
    """
    heads, rows = list(map(local, heads)), [list(map(local, row)) for row in rows]
    widths = [max(len(row[i]) for row in (heads, *rows)) for i in range(len(heads))]
    apart = "  " if sum(widths) + 2 * len(widths) <= WIDTH else " "
    over = 1 + sum(widths) + len(widths) - WIDTH
    words = set(range(len(heads))) - set(right)
    if over > 0 and words:  # the widest column of words goes on over several lines
        wide = max(words, key=lambda i: widths[i])
        if widths[wide] - over >= _LEAST:
            widths[wide] -= over
    return "\n".join(line for row in (heads, *rows) for line in cells(row, widths, right, apart))


def cells(
    row: Sequence[str], widths: Sequence[int], right: Collection[int] = (), apart: str = "  "
) -> list[str]:
    """One row of a table, every cell broken to its width, in as many lines as that takes."""
    columns = [
        [
            line
            for part in local(cell).split("\n")
            for line in ([part] if len(part) <= width else _broken(part, width))
        ]
        for cell, width in zip(row, widths, strict=True)
    ]
    lines = []
    for k in range(max(map(len, columns))):
        texts = [column[k].replace(KEPT, " ") if k < len(column) else "" for column in columns]
        padded = [
            text.rjust(width) if index in right else text.ljust(width)
            for index, (text, width) in enumerate(zip(texts, widths, strict=True))
        ]
        lines.append(("  " + apart.join(padded)).rstrip())
    return lines


def _broken(text: str, width: int) -> list[str]:
    return textwrap.wrap(_TOGETHER.sub(KEPT, text), width)
