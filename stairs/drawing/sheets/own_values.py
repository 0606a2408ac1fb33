"""Own values: limits that the user put over the rulebook, as every sheet shows them.

An own value counts in place of the rulebook's, so a sheet that leaves it out would mislead whoever
checks it.  The cover, the elevations and the strip of every other sheet tell them in the same
words: what is ruled on, by the name that the job file knows it by, the value, and the reason.
"""

from __future__ import annotations

from collections.abc import Sequence

from stairs.drawing.paper.lettering import SMALL, shortened, width_of, wrapped
from stairs.job import Job
from stairs.report.notices import own_value_texts
from stairs.rules import CHECKS

MOST_OWN = 8
"""So many lines at most are given to the user's own values; the cover has them all."""

_PREFIX = "own value: "
_MORE = " ... the rest is in the job file"


def own_values(job: Job) -> tuple[str, ...]:
    """Each value that the user put over the rulebook, with its reason, in words."""
    told = []
    for own, words in zip(job.local, own_value_texts(job), strict=True):
        check = CHECKS.get(own.check)
        words = words.removeprefix(_PREFIX)
        told.append(words if check is None else words.replace(
            own.check, f"{check.label} ({own.check})", 1))  # fmt: skip
    return tuple(told)


def own_rows(own: Sequence[str], room: float) -> list[str]:
    """The same line by line for the foot of a sheet, as far as so many lines go.

    >>> own_rows(['guard height (guard-height-min) 42": asked for by the office'], 200.0)
    ['own value: guard height (guard-height-min) 42": asked for by the office']
    """
    rows = [row for words in own for row in wrapped(_PREFIX + words, SMALL, room)]
    if len(rows) > MOST_OWN:
        cut = shortened(" ".join(rows[MOST_OWN - 1 :]), SMALL, room - width_of(_MORE, SMALL) - 1.0)
        rows = [*rows[: MOST_OWN - 1], cut.removesuffix("...").rstrip() + _MORE]
    return rows
