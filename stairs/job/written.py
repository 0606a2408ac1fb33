"""A job as the text of its file."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from stairs.job.key_notes import toml_text


def text_of_job(mapping: Mapping[str, Any]) -> str:
    """The text of a job file, from the mapping that reads back as the job.

    Examples
    --------
    >>> print(text_of_job({"units": "in", "panel": {"height": "32 in"}}), end="")
    units = "in"
    <BLANKLINE>
    [panel]
    height = "32 in"
    """
    tables = {key: one for key, one in mapping.items() if isinstance(one, Mapping)}
    sections = mapping.get("section", ())
    lines = _lines({k: v for k, v in mapping.items() if k not in tables and k != "section"})
    for key, table in tables.items():
        lines += ["", f"[{key}]", *_lines(table)]
    for section in sections:
        lines += ["", "[[section]]", *_lines(section)]
    return "\n".join(lines) + "\n"


def _lines(table: Mapping[str, Any]) -> list[str]:
    return [f"{key} = {toml_text(value)}" for key, value in table.items()]
