"""Rulebooks as text for the screen: which there are, and what one of them says.

Every value is shown with its limit, its clause and how it was found, so that nobody takes a number
from memory for one that was read in the code.  Lines fit 80 columns and need no colour.
"""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable, Sequence
from fractions import Fraction

from stairs.lengths.tape_marks import exact_text, fall_text
from stairs.rules.conditions import Condition
from stairs.rules.loader import available, load
from stairs.rules.records import Load, Rule, Rulebook
from stairs.rules.vocabulary import ALSO_ASKS, CHECKS, LOADS

WIDTH = 80

_LIMITS = {
    "ball-smaller": "stops a {limit} ball",
    "ball-at-most": "no ball over {limit}",
    "cube-smaller": "stops a {limit} cube",
    "maximum": "at most {limit}",
    "minimum": "at least {limit}",
    "needed-above": "needed above {limit}",
    "needed-from": "needed from {limit}",
    "needed-below": "needed below {limit}",
}

_FOUND = {
    "seen": "seen",
    "seen in a copy": "in a copy",
    "seen second hand": "second hand",
    "interpretation": "A READING",
    "memory": "FROM MEMORY",
    "local": "OWN VALUE",
}

_LEGEND = (
    "Found: seen; in a copy of the text; second hand, in a report of the clause; A READING of the "
    "text, not its words, so ask the official; FROM MEMORY, seen by nobody, so open the code "
    "before relying on it. A ball or cube that has to be stopped must not pass even where the "
    "opening is exactly its size."
)

_TOGETHER = re.compile(r"(?<=\d) (?=\d+/\d|(?:in|ft|m|mm|cm|lbf|kN)\b)")

_UNITS = {"in": "inches", "mm": "millimetres"}

_COLUMNS = (22, 20, 18, 11, 3)


def list_text() -> str:
    """All rulebooks, one paragraph each, with how many of their values nobody saw.

    Examples
    --------
    >>> "irc-2021" in list_text()
    True
    """
    lines = []
    for name in available():
        book = load(name)
        entries = [*book.rules, *book.loads]
        unseen = sum(not entry.verified for entry in entries)
        lines.append(f"{book.id:<20}{_counted(len(entries), 'value')}, {unseen} not seen")
        lines += _wrapped(f"{book.title}, {book.edition}. {book.jurisdiction}.", 4)
        if book.uses:
            others = [use for use in book.uses if use != book.default_use]
            lines += _wrapped(f"Uses: {book.default_use} unless stated, {', '.join(others)}.", 4)
    lines += ["", "stairs rules ID prints one with the clause and source of every value."]
    return "\n".join(lines)


def rulebook_text(rulebook: Rulebook) -> str:
    """One rulebook in full: each value with limit, clause, how it was found, and where.

    Parameters
    ----------
    rulebook : Rulebook
        As loaded, or with a user's own values over it.

    Examples
    --------
    >>> from stairs.rules import load
    >>> print(rulebook_text(load("irc-2021")).splitlines()[0])
    irc-2021: International Residential Code, 2021
    """
    sources = _sources([*rulebook.rules, *rulebook.loads])
    lines = _wrapped(f"{rulebook.id}: {rulebook.title}, {rulebook.edition}", 0)
    lines += _wrapped(f"{rulebook.jurisdiction}. Lengths in {_UNITS[rulebook.units]}.", 0)
    if rulebook.uses:
        others = [use for use in rulebook.uses if use != rulebook.default_use]
        lines += _wrapped(f"Uses: {rulebook.default_use} unless stated, {', '.join(others)}.", 0)
    if rulebook.note:
        lines += ["", *_wrapped(rulebook.note, 0)]
    if rulebook.also_asks:
        lines += ["", f"{ALSO_ASKS}:"]
        for text in rulebook.also_asks:
            lines += _wrapped(f"- {text}", 2, hang=2)
    lines += ["", *_wrapped(_LEGEND, 0)]
    for group in dict.fromkeys(check.group for check in CHECKS.values()):
        entries = _grouped(rule for rule in rulebook.rules if rule.about.group == group)
        if entries:
            lines += ["", group.upper()]
        for entry in entries:
            lines += _rule_lines(entry, rulebook.units, sources)
    if rulebook.loads:
        lines += ["", "LOADS (demands to hand on, not a design)"]
        for each in rulebook.loads:
            lines += _load_lines(each, rulebook.units, sources)
    held = {rule.check for rule in rulebook.rules}
    names = [name for name in CHECKS if name in held]
    silent = [name for name in CHECKS if name not in held]
    lines += ["", *_wrapped(f"Names for [local], in the order above: {', '.join(names)}.", 0)]
    if silent:
        lines += _wrapped(f"No value here for: {', '.join(silent)}.", 0)
    lines += ["", "SOURCES"]
    for source, number in sources.items():
        mark = f"[{number}]"
        lines += _wrapped(f"{mark:<5}{source}", 2, hang=5)
    return "\n".join(lines)


def limit_text(rule: Rule, units: str, limit: Fraction | None = None) -> str:
    """The limit with its unit, as short as a list wants it.

    Parameters
    ----------
    rule : Rule
    units : str
        ``"in"`` or ``"mm"``: the unit of the rule's lengths.
    limit : Fraction, optional
        Another limit to be shown in its place.

    Examples
    --------
    >>> from stairs.rules import load
    >>> print(limit_text(load("irc-2021").rule("opening-baluster"), "in"))
    stops a 4" ball
    """
    value = rule.limit if limit is None else limit
    if rule.about.unit == "length":
        shown = exact_text(value, units)
    elif rule.about.unit == "degrees":
        shown = f"{exact_text(value, 'mm', unit=False)} degrees"
    elif rule.about.unit == "slope":
        shown = fall_text(value)
    else:
        shown = str(value)
    return _LIMITS[rule.limit_kind].format(limit=shown)


def condition_text(when: Condition, units: str) -> str:
    """Where a rule applies, in a few words; empty where it applies everywhere.

    Parameters
    ----------
    when : Condition
        Of the rule.
    units : str
        Units that the rulebook's lengths are in, ``"in"`` or ``"mm"``.

    Examples
    --------
    >>> print(condition_text(Condition(section="flight", handrail=True), "in"))
    flight, top rail is the handrail
    """
    parts = [when.section] if when.section else []
    if when.use:
        parts.append(" or ".join(when.use))
    for value, yes, no in (
        (when.handrail, "top rail is the handrail", "top rail is no handrail"),
        (when.open_risers, "open risers", "closed risers"),
        (when.single_flight, "one flight alone", "several flights"),
    ):
        if value is not None:
            parts.append(yes if value else no)
    if when.drop_over is not None:
        parts.append(f"drop over {exact_text(when.drop_over, units)}")
    if when.width_to is not None:
        parts.append(f"at most {exact_text(when.width_to, units)} wide")
    if when.from_height is not None or when.to_height is not None:
        low = exact_text(when.from_height or 0, units)
        high = "up" if when.to_height is None else f"to {exact_text(when.to_height, units)} up"
        parts.append(f"from {low} {high}")
    if when.above_nosing_line:
        parts.append("above the nosing line")
    return ", ".join(parts)


# ------------------------------------------------------------------ lines


def _rule_lines(rules: Sequence[Rule], units: str, sources: dict[str, int]) -> list[str]:
    rule = rules[0]
    where = condition_text(rule.when, units)
    cells = (
        [*(each.about.label for each in rules), *([f"({where})"] if where else [])],
        [limit_text(rule, units)],
        [rule.clause],
        [_FOUND[rule.provenance]],
        [f"[{sources[rule.source]}]"],
    )
    notes = [_clause_note(rule.clause_provenance, rule.provenance), rule.note.replace("\n", " ")]
    if rule.local_reason:
        own = f"Own value, because: {rule.local_reason.rstrip('.')}."
        if rule.published is not None:
            own += f" The rulebook says: {limit_text(rule, units, rule.published)}."
        notes.insert(0, own)
    return [*_row(cells), *_wrapped(" ".join(filter(None, notes)), 6)]


def _load_lines(entry: Load, units: str, sources: dict[str, int]) -> list[str]:
    where = condition_text(entry.when, units)
    value = f"{exact_text(entry.value, 'mm', unit=False)} {entry.unit.replace('m2', 'm²')}"
    cells = (
        [LOADS[entry.id], *([f"({where})"] if where else [])],
        [value + (f" over {entry.over}" if entry.over else "")],
        [entry.clause],
        [_FOUND[entry.provenance]],
        [f"[{sources[entry.source]}]"],
    )
    notes = [_clause_note(entry.clause_provenance, entry.provenance), entry.note.replace("\n", " ")]
    return [*_row(cells), *_wrapped(" ".join(filter(None, notes)), 6)]


def _clause_note(clause_provenance: str, provenance: str) -> str:
    if clause_provenance == provenance:
        return ""
    return {
        "memory": "CLAUSE NUMBER FROM MEMORY.",
        "interpretation": "CLAUSE NUMBER INFERRED.",
    }.get(clause_provenance, "")


def _grouped(rules: Iterable[Rule]) -> list[list[Rule]]:
    """The rules that differ in nothing but what they check, together."""
    groups: dict[tuple[object, ...], list[Rule]] = {}
    order = list(CHECKS)
    for rule in sorted(rules, key=lambda rule: (order.index(rule.check), rule.when.rank)):
        key = (rule.limit, rule.limit_kind, rule.clause, rule.when, rule.note, rule.published)
        groups.setdefault(key + (rule.source, rule.provenance, rule.about.unit), []).append(rule)
    return list(groups.values())


def _sources(entries: Iterable[Rule | Load]) -> dict[str, int]:
    names = dict.fromkeys(entry.source for entry in entries)
    return {name: number for number, name in enumerate(names, 1)}


def _row(cells: Sequence[Sequence[str]]) -> list[str]:
    columns = []
    for parts, width in zip(cells, _COLUMNS, strict=True):
        column: list[str] = []
        for part in parts:
            column += textwrap.wrap(part, width)
        columns.append(column)
    height = max(len(column) for column in columns)
    lines = []
    for number in range(height):
        shown = [column[number] if number < len(column) else "" for column in columns]
        padded = (f"{text:<{width}}" for text, width in zip(shown, _COLUMNS, strict=True))
        lines.append(("  " + " ".join(padded)).rstrip())
    return lines


def _wrapped(text: str, indent: int, hang: int = 0) -> list[str]:
    """The text in lines; a number stays with its fraction and its unit."""
    kept = _TOGETHER.sub("\u00a0", text.replace("\n", " "))
    lines = textwrap.wrap(
        kept,
        WIDTH,
        initial_indent=" " * indent,
        subsequent_indent=" " * (indent + hang),
        break_on_hyphens=False,
    )
    return [line.replace("\u00a0", " ") for line in lines]


def _counted(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"
