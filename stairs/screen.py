"""The screen: 80 columns, no colour, lengths on the tape's marks.

Every text that a person reads on screen is put together from these few pieces.
"""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from stairs.job import Job
from stairs.marks import length_text

WIDTH = 80


def length(job: Job, value: float) -> str:
    """A length on the nearest mark of the job's tape."""
    return length_text(value, job.units, job.tape)


def wrap(text: str, first: str = "", rest: str = "") -> str:
    """Text in lines of at most ``WIDTH`` columns, with what the first and the others begin with."""
    return textwrap.fill(
        text,
        WIDTH,
        initial_indent=first,
        subsequent_indent=rest,
        break_long_words=True,
        break_on_hyphens=False,
    )


def table(heads: Sequence[str], rows: Sequence[Sequence[str]], right: Sequence[int] = ()) -> str:
    """Columns as wide as they must be, two spaces apart, indented by two."""
    widths = [max(len(row[i]) for row in (heads, *rows)) for i in range(len(heads))]
    lines = []
    for row in (heads, *rows):
        cells = [
            cell.rjust(width) if index in right else cell.ljust(width)
            for index, (cell, width) in enumerate(zip(row, widths, strict=True))
        ]
        lines.append(("  " + "  ".join(cells)).rstrip())
    return "\n".join(lines)
