"""Where a job file tells of its posts as they stand: the ``[[section.as_built]]`` tables.

A table is made with the first thing that is told of a post, at the end of its section and before
what follows that.  A post of which nothing is told stands as planned; a comment says so, lest it is
asked about again.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from stairs.asking.walk import Place, built_at

_SECTION = re.compile(r"^[ \t]*\[\[[ \t]*section[ \t]*\]\]", re.MULTILINE)
_HEADER = re.compile(r"^[ \t]*\[\[?[ \t]*([A-Za-z_][\w. \t-]*)\]\]?[ \t]*(?:#.*)?$", re.MULTILINE)
_AS_PLANNED = "stands as planned"
_COMMENTED = re.compile(r"^[ \t]*#[ \t]*\[", re.MULTILINE)


def with_built(mapping: dict[str, Any], place: Place, value: Any) -> dict[str, Any]:
    """The same mapping with another answer about a post; without the key where it is None."""
    section = mapping["section"][place.number - 1]
    at, tables = built_at(section, place), section.setdefault("as_built", [])
    if at is None:
        at = len(tables)
        tables.append({"post": place.post, **({"hand": place.hand} if place.hand else {})})
    tables[at].pop(place.key, None)
    if value is not None:
        tables[at][place.key] = value
    elif not tables[at].keys() - {"post", "hand"}:
        del tables[at]
    if not tables:
        del section["as_built"]
    return mapping


def header_lines(place: Place) -> list[str]:
    """The first lines of a new table."""
    hand = [f'hand = "{place.hand}"'] if place.hand else []
    return ["[[section.as_built]]", f"post = {place.post}", *hand]


def planned_note(place: Place) -> str:
    """The comment that a post stands as planned, or that no piece of a section is cut already."""
    if not place.post:
        return "# nothing is cut already"
    return f"# post {place.post}{place.hand and f' {place.hand}'} {_AS_PLANNED}"


def is_noted(text: str, place: Place) -> bool:
    """Whether the section says so.

    >>> is_noted("[[section]]\\n\\n# post 2 stands as planned\\n", Place("section", "x", 1, 2))
    True
    """
    start, end = _span(text, place.number)
    return planned_note(place) in text[start:end].splitlines()


def without_note(text: str, place: Place) -> str:
    """The text without that comment, and without the blank line before it."""
    start, end = _span(text, place.number)
    note = re.escape(planned_note(place))
    inside = re.sub(rf"(?:\r?\n)?^{note}[ \t]*(?:\r?\n|\Z)", "", text[start:end], flags=re.M)
    return text[:start] + inside + text[end:]


def at_end_of_section(text: str, number: int, lines: Sequence[str], line_end: str) -> str:
    """The text with lines at the end of a section, from 1, a blank line before and after them."""
    _, end = _span(text, number)
    before, after = text[:end].rstrip(), text[end:].strip("\r\n")
    notes = lines[0].startswith("# ") and before.splitlines()[-1].endswith(_AS_PLANNED)
    before += line_end if notes else line_end * 2  # one note under the other
    parts = (before + line_end.join(lines), after.rstrip())
    return (line_end * 2).join(filter(None, parts)) + line_end


def _span(text: str, number: int) -> tuple[int, int]:
    """Where a section begins in the text and where it ends: before the remarks on what follows.

    Raises
    ------
    LookupError
        Where it has no header of its own.
    """
    start = [one.start() for one in _SECTION.finditer(text)][number - 1]
    inner = re.compile(r"section[ \t]*\.")
    others = [
        one
        for one in _HEADER.finditer(text, start + 1)
        if not inner.match(one[1]) and one.start() > start
    ]
    end = others[0].start() if others else len(text)
    kept = start
    for paragraph in re.finditer(r"(?:^[^\n]*\S[^\n]*(?:\n|\Z))+", text[start:end], re.MULTILINE):
        words, last = paragraph[0], start + paragraph.end() == end
        remarks = all(line.lstrip().startswith("#") for line in words.splitlines())
        if remarks and (_COMMENTED.search(words) or (last and others)):
            return start, start + paragraph.start()
        kept = start + paragraph.end()
    return start, kept
