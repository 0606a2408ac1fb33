"""What a rulebook may rule on: the checks by name, the kinds of limit, and how a value was found.

Codes number and word their clauses each in their own way.  So that one solved guard can be held
against any of them, every value of every rulebook is filed under one of the names below.  A name
says what is measured and in which unit; the *kind* of limit says what happens at equality; the
*provenance* says whether anybody read the value, and where.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable

from msgspec import Struct

from stairs.errors import JobError

PROVENANCES = {
    "seen": "seen",
    "seen in a copy": "seen in a copy of the text",
    "seen second hand": "seen second hand, in a report of the clause",
    "interpretation": "a reading of the text, not its words: ask the official",
    "memory": "from memory, not seen: open the code before relying on it",
}
"""How a value was found, and how that is said wherever the value is shown."""

VERIFIED = frozenset({"seen", "seen in a copy", "seen second hand"})
"""The provenances where somebody read the value itself."""

KINDS = {
    "ball-smaller": "a ball of {limit} must not pass",
    "ball-at-most": "no ball over {limit} may pass",
    "cube-smaller": "a cube of {limit} must not pass",
    "maximum": "at most {limit}",
    "minimum": "at least {limit}",
    "needed-above": "needed above {limit}",
    "needed-from": "needed from {limit}",
    "needed-below": "needed below {limit}",
}
"""The kinds of limit in words.

An opening under ``ball-smaller`` or ``cube-smaller`` has to be smaller than the limit; an opening
of exactly the limit fails.  ``ball-at-most``, ``maximum`` and ``minimum`` include equality.  The
three ``needed`` kinds ask nothing of the stair; they say when something else is asked: above the
limit (not at it), from the limit on (at it too), or below it (not at it).
"""


class Check(Struct, frozen=True):
    """One thing that a code may rule on."""

    id: str  # the name in rulebook files, job files and results
    label: str
    meaning: str  # what is measured, from where to where
    unit: str  # "length" (rulebook's units), "degrees", "count" or "slope" (fall over distance)
    kinds: tuple[str, ...]  # of limit; the first is for a user's own where the rulebook is silent
    group: str  # the heading that it is listed under


_TABLE = {
    "Steps": (
        ("unit-rise-max unit-rise-min", "unit rise", "one riser, nosing to nosing, plumb"),
        (
            "unit-run-max unit-run-min",
            "unit run",
            "one tread, nosing to nosing, level; many codes call it going or tread depth",
        ),
        (
            "tread-depth-min",
            "tread with nosing",
            "a whole tread with the part under the next nosing: unit run plus nosing projection",
        ),
        (
            "riser-uniformity",
            "risers of a flight differ by",
            "the greatest riser of a flight less the smallest",
        ),
        (
            "riser-uniformity-adjacent",
            "neighbouring risers differ by",
            "the greatest difference between two risers that follow each other",
        ),
        (
            "tread-uniformity",
            "treads of a flight differ by",
            "the greatest unit run of a flight less the smallest",
        ),
        (
            "tread-uniformity-adjacent",
            "neighbouring treads differ by",
            "the greatest difference between two unit runs that follow each other",
        ),
        (
            "riser-slope-max",
            "riser out of plumb",
            "how far a riser is raked back under its nosing, from plumb",
            "degrees",
        ),
        (
            "nosing-min nosing-max",
            "nosing projection",
            "how far a nosing stands out over the riser below it, level",
        ),
        (
            "nosing-not-needed-tread",
            "nosing projection, by unit run",
            "the unit run from which a flight may do without the least nosing projection",
        ),
    ),
    "Flight": (
        ("rake-max rake-min", "rake angle", "the angle of the nosing line", "degrees"),
        (
            "step-formula-max step-formula-min",
            "two rises and a run",
            "twice the unit rise plus the unit run",
        ),
        ("flight-rise-max", "rise of a flight", "one flight, landing to landing, plumb"),
        (
            "risers-per-flight-max risers-per-flight-min",
            "risers in a flight",
            "the number of risers between two landings",
            "count",
        ),
    ),
    "Guard": (
        (
            "guard-needed-drop",
            "guard, by drop",
            "the fall beside the walking surface at its deepest, plumb",
        ),
        (
            "guard-needed-slope",
            "guard, by the ground",
            "how steeply the ground beside the walking surface falls: fall over level distance",
            "slope",
        ),
        (
            "guard-needed-risers",
            "guard, by risers",
            "the number of risers of a flight with an open side",
            "count",
        ),
        (
            "guard-height-min guard-height-max",
            "guard height",
            "nosing line or walking surface to the top of the top rail, plumb",
        ),
        (
            "midrail-gap-max",
            "gap under the lowest rail",
            "clear gap between the lowest rail, or a strip under it, and the nosing line or "
            "walking surface, plumb; between the rails of a panel stand balusters",
        ),
        (
            "side-gap-max",
            "guard beside the stair",
            "clear gap in plan between the tread ends or stringer and the guard",
        ),
    ),
    "Handrail": (
        (
            "handrail-needed-risers",
            "handrail, by risers",
            "the number of risers of a flight",
            "count",
        ),
        (
            "handrail-height-min handrail-height-max",
            "handrail height",
            "nosing line or walking surface to the top of the handrail, plumb",
        ),
    ),
    "Openings": (
        (
            "opening-triangle",
            "tread opening",
            "the opening between a tread, the riser behind it and the bottom rail",
        ),
        (
            "opening-foot",
            "opening at the foot",
            "the opening between lower landing, first riser, bottom rail and lower post",
        ),
        (
            "opening-head",
            "opening at the head",
            "the opening between upper landing, bottom rail and upper post; no riser is part of it",
        ),
        ("opening-baluster", "between balusters", "the opening between two balusters"),
        (
            "opening-end",
            "beside a post",
            "the opening between a post and what is next to it: baluster, rail ends, another post",
        ),
        (
            "opening-under-rail",
            "under the bottom rail",
            "the strip under the rail of a level run, or between a rail and a closed stringer",
        ),
        (
            "opening-open-riser",
            "between treads",
            "the opening between two treads where there is no riser",
        ),
    ),
}
"""By group: names that share a meaning, label, meaning, and the unit where it is no length."""

_NEEDED = {
    "nosing-not-needed-tread": ("needed-below",),
    "guard-needed-drop": ("needed-above", "needed-from"),
    "guard-needed-slope": ("needed-above",),
    "guard-needed-risers": ("needed-from",),
    "handrail-needed-risers": ("needed-from",),
}


def _kinds(name: str) -> tuple[str, ...]:
    """The kinds of limit that a check can carry, which its name says for most."""
    if name.startswith("opening-"):
        return ("ball-smaller", "ball-at-most", "cube-smaller")
    return _NEEDED.get(name, ("minimum",) if name.endswith("-min") else ("maximum",))


CHECKS: dict[str, Check] = {
    name: Check(name, label, meaning, unit[0] if unit else "length", _kinds(name), group)
    for group, rows in _TABLE.items()
    for names, label, meaning, *unit in rows
    for name in names.split()
}
"""Every check by its name, in the order in which lists show them."""

LOADS = {
    "guard-point": "one load at any point of the top rail",
    "guard-line": "a load along the top rail",
    "guard-down": "a load along the top rail, straight down",
    "infill": "a load on balusters and panels, square to the guard",
    "infill-point": "one load on a small part of the infill, square to the guard",
}
"""The loads a code may ask a guard to carry.  They are handed on, never used for a design."""

ALSO_ASKS = "This code also asks for these, which are not looked at here"
"""The heading of a rulebook's ``also_asks``."""

LOAD_UNITS = ("lbf", "lbf/ft", "kN", "kN/m", "kN/m2")


def did_you_mean(name: str, names: Iterable[str]) -> str:
    """The remedy for a name that is not known: the nearest one, or nothing.

    Examples
    --------
    >>> did_you_mean("clauze", ["check", "clause"])
    'The nearest is "clause"'
    """
    names, begun = list(names), name.strip().lower()
    found = difflib.get_close_matches(name, names, n=1, cutoff=0.5)
    if not found and begun:
        found = [one for one in names if one.startswith(begun)]
    quoted = " or ".join(f'"{one}"' for one in found)
    return f"The nearest is {quoted}" if found else ""


def known_check(name: str, where: str) -> Check:
    """The check of that name.

    Raises
    ------
    JobError
        Where there is no such check; it lists them all and names the nearest.

    Examples
    --------
    >>> known_check("rake-max", "local").unit
    'degrees'
    """
    if name not in CHECKS:
        raise JobError(
            where,
            f'"{name}" is no check',
            did_you_mean(name, CHECKS),
            f"All checks: {', '.join(sorted(CHECKS))}",
        )
    return CHECKS[name]
