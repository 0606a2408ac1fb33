"""Rulebooks as text for the screen: which there are, and what one of them says.

Every value is shown with its limit, its clause and how it was found, so that nobody takes a number
from memory for one that was read in the code.  Lines fit 80 columns and need no colour.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction

from stairs.lengths.tape_marks import exact_text, fall_text
from stairs.report.columns import cells, counted, wrap
from stairs.rules.conditions import Condition
from stairs.rules.loader import available, load
from stairs.rules.records import Load, Rule, Rulebook
from stairs.rules.vocabulary import ALSO_ASKS, CHECKS, LOADS

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

_UNITS = {"in": "inches", "mm": "millimetres"}

_CLAUSE_NOTES = {
    "memory": "CLAUSE NUMBER FROM MEMORY.",
    "interpretation": "CLAUSE NUMBER INFERRED.",
}

_COLUMNS = (22, 20, 18, 11, 3)
_INDENT = " " * 4


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
        entries: list[Rule | Load] = [*book.rules, *book.loads]
        unseen = sum(not entry.verified for entry in entries)
        lines.append(f"{book.id:<20}{counted(len(entries), 'value')}, {unseen} not seen")
        title = f"{book.title}, {book.edition}. {book.jurisdiction}."
        lines += [wrap(text, _INDENT, _INDENT) for text in (title, *_uses(book))]
    lines += ["", "stairs rules ID prints one with the clause and source of every value."]
    return "\n".join(lines)


def _uses(book: Rulebook) -> list[str]:
    """Which uses it tells apart, in words; nothing where it tells none."""
    others = [use for use in book.uses if use != book.default_use]
    return [f"Uses: {', '.join([f'{book.default_use} unless stated', *others])}."] * bool(book.uses)


def rulebook_text(rulebook: Rulebook) -> str:
    """One rulebook in full: each value with limit, clause, how it was found, and where.

    Examples
    --------
    >>> from stairs.rules import load
    >>> print(rulebook_text(load("irc-2021")).splitlines()[0])
    irc-2021: International Residential Code, 2021
    """
    sources = _sources([*rulebook.rules, *rulebook.loads])
    lines = [
        wrap(f"{rulebook.id}: {rulebook.title}, {rulebook.edition}"),
        wrap(f"{rulebook.jurisdiction}. Lengths in {_UNITS[rulebook.units]}."),
        *map(wrap, _uses(rulebook)),
    ]
    if rulebook.note:
        lines += ["", wrap(rulebook.note)]
    if rulebook.also_asks:
        lines += ["", f"{ALSO_ASKS}:"]
        lines += [wrap(f"- {text}", "  ", _INDENT) for text in rulebook.also_asks]
    lines += ["", wrap(_LEGEND)]
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
    lines += ["", wrap(f"Names for [local], in the order above: {', '.join(names)}.")]
    if silent:
        lines.append(wrap(f"No value here for: {', '.join(silent)}."))
    lines += ["", "SOURCES"]
    for source, number in sources.items():
        mark = f"[{number}]"
        lines.append(wrap(f"{mark:<5}{source}", "  ", " " * 7))
    return "\n".join(lines)


def limit_text(rule: Rule, units: str, limit: Fraction | None = None) -> str:
    """The limit with its unit, as short as a list wants it, or another one in its place.

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


def _rule_lines(rules: Sequence[Rule], units: str, sources: Mapping[str, int]) -> list[str]:
    rule, notes = rules[0], []
    if rule.local_reason:
        notes.append(f"Own value, because: {rule.local_reason.rstrip('.')}.")
        if rule.published is not None:
            notes.append(f"The rulebook says: {limit_text(rule, units, rule.published)}.")
    labels = [each.about.label for each in rules]
    return _entry_lines(rule, labels, limit_text(rule, units), notes, units, sources)


def _load_lines(entry: Load, units: str, sources: Mapping[str, int]) -> list[str]:
    return _entry_lines(entry, [LOADS[entry.id]], amount_text(entry), [], units, sources)


def amount_text(load: Load) -> str:
    """A load with its unit and the area that it is spread over."""
    over = f" over {load.over}" if load.over else ""
    return f"{exact_text(load.value, 'mm', unit=False)} {load.unit.replace('m2', 'm²')}{over}"


def _entry_lines(
    entry: Rule | Load,
    labels: list[str],
    limit: str,
    notes: list[str],
    units: str,
    sources: Mapping[str, int],
) -> list[str]:
    """One value over five columns, and what to know of it below."""
    where = condition_text(entry.when, units)
    row = (
        "\n".join([*labels, *([f"({where})"] if where else [])]),
        limit,
        entry.clause,
        _FOUND[entry.provenance],
        f"[{sources[entry.source]}]",
    )
    if entry.clause_provenance != entry.provenance:
        notes.append(_CLAUSE_NOTES.get(entry.clause_provenance, ""))
    text = " ".join(filter(None, [*notes, entry.note]))
    return cells(row, _COLUMNS, apart=" ") + ([wrap(text, " " * 6, " " * 6)] if text else [])


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
