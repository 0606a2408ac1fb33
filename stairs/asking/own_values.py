"""A value of one's own over the rulebook's, as it is typed in a talk: check, limit and reason."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from stairs.asking.prompts import own_sample, units_of
from stairs.errors import JobError
from stairs.job.form import rules_of_form
from stairs.job.records import LocalOverride
from stairs.job.table import Table
from stairs.lengths.tape import as_typed
from stairs.rules import load
from stairs.rules.overrides import overridden, refuse_far
from stairs.rules.vocabulary import known_check

LOCAL = "local"
_MEANT = "A check, its limit and the reason are read, with commas between"


def own_value(words: str, mapping: Mapping[str, Any]) -> tuple[str, dict[str, Any]]:
    """The check that is named, and what the job file holds under its name.

    Raises
    ------
    JobError
        Where there is no such check, no reason, or a limit that cannot be meant.

    Examples
    --------
    >>> own_value("guard-height-min, 42, as the county asks", {})
    ('guard-height-min', {'limit': '42', 'reason': 'as the county asks'})
    """
    parts = [part.strip().strip('"') for part in words.split(",", 2)]
    if len(parts) < 3 or not all(parts):
        raise JobError(
            LOCAL, f"{as_typed(words)} is not all three", _MEANT, f"Write {own_sample(mapping)}"
        )
    check, limit, reason = parts
    units = units_of(mapping)
    known_check(check, LOCAL)
    value = {"limit": int(limit) if units == "mm" and limit.isdecimal() else limit}
    table = Table({**value, "reason": reason}, units, f"{LOCAL}: {check}", check)
    own = LocalOverride(check=check, **table.read(LocalOverride))
    book = load(str(mapping.get("rules", rules_of_form(units)))).in_units(units)
    overridden(book, [own])
    refuse_far(book, [own])
    return check, {**value, "reason": reason}
