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

_BALLS = ("ball-smaller", "ball-at-most", "cube-smaller")
_MAXIMUM = ("maximum",)
_MINIMUM = ("minimum",)


class Check(Struct, frozen=True):
    """One thing that a code may rule on.

    Parameters
    ----------
    id : str
        The name in rulebook files, job files and results.
    label : str
        A short name for lists.
    meaning : str
        What is measured, from where to where.
    unit : str
        ``"length"`` (in the rulebook's units), ``"degrees"``, ``"count"`` or ``"slope"`` (fall over
        level distance).
    kinds : tuple of str
        The kinds of limit it can carry; the first is taken where a user sets a limit on
        something that the rulebook is silent on.
    group : str
        The heading that it is listed under.
    """

    id: str
    label: str
    meaning: str
    unit: str
    kinds: tuple[str, ...]
    group: str


_STEPS = "Steps"
_FLIGHT = "Flight"
_GUARD = "Guard"
_HANDRAIL = "Handrail"
_OPENINGS = "Openings"

_TABLE = (
    Check(
        "unit-rise-max",
        "unit rise",
        "one riser, nosing to nosing, plumb",
        "length",
        _MAXIMUM,
        _STEPS,
    ),
    Check(
        "unit-rise-min",
        "unit rise",
        "one riser, nosing to nosing, plumb",
        "length",
        _MINIMUM,
        _STEPS,
    ),
    Check(
        "unit-run-max",
        "unit run",
        "one tread, nosing to nosing, level; many codes call it going or tread depth",
        "length",
        _MAXIMUM,
        _STEPS,
    ),
    Check(
        "unit-run-min",
        "unit run",
        "one tread, nosing to nosing, level; many codes call it going or tread depth",
        "length",
        _MINIMUM,
        _STEPS,
    ),
    Check(
        "tread-depth-min",
        "tread with nosing",
        "a whole tread with the part under the next nosing: unit run plus nosing projection",
        "length",
        _MINIMUM,
        _STEPS,
    ),
    Check(
        "riser-uniformity",
        "risers of a flight differ by",
        "the greatest riser of a flight less the smallest",
        "length",
        _MAXIMUM,
        _STEPS,
    ),
    Check(
        "riser-uniformity-adjacent",
        "neighbouring risers differ by",
        "the greatest difference between two risers that follow each other",
        "length",
        _MAXIMUM,
        _STEPS,
    ),
    Check(
        "tread-uniformity",
        "treads of a flight differ by",
        "the greatest unit run of a flight less the smallest",
        "length",
        _MAXIMUM,
        _STEPS,
    ),
    Check(
        "tread-uniformity-adjacent",
        "neighbouring treads differ by",
        "the greatest difference between two unit runs that follow each other",
        "length",
        _MAXIMUM,
        _STEPS,
    ),
    Check(
        "riser-slope-max",
        "riser out of plumb",
        "how far a riser is raked back under its nosing, from plumb",
        "degrees",
        _MAXIMUM,
        _STEPS,
    ),
    Check(
        "nosing-min",
        "nosing projection",
        "how far a nosing stands out over the riser below it, level",
        "length",
        _MINIMUM,
        _STEPS,
    ),
    Check(
        "nosing-max",
        "nosing projection",
        "how far a nosing stands out over the riser below it, level",
        "length",
        _MAXIMUM,
        _STEPS,
    ),
    Check(
        "nosing-not-needed-tread",
        "nosing projection, by unit run",
        "the unit run from which a flight may do without the least nosing projection",
        "length",
        ("needed-below",),
        _STEPS,
    ),
    Check("rake-max", "rake angle", "the angle of the nosing line", "degrees", _MAXIMUM, _FLIGHT),
    Check("rake-min", "rake angle", "the angle of the nosing line", "degrees", _MINIMUM, _FLIGHT),
    Check(
        "step-formula-max",
        "two rises and a run",
        "twice the unit rise plus the unit run",
        "length",
        _MAXIMUM,
        _FLIGHT,
    ),
    Check(
        "step-formula-min",
        "two rises and a run",
        "twice the unit rise plus the unit run",
        "length",
        _MINIMUM,
        _FLIGHT,
    ),
    Check(
        "flight-rise-max",
        "rise of a flight",
        "one flight, landing to landing, plumb",
        "length",
        _MAXIMUM,
        _FLIGHT,
    ),
    Check(
        "risers-per-flight-max",
        "risers in a flight",
        "the number of risers between two landings",
        "count",
        _MAXIMUM,
        _FLIGHT,
    ),
    Check(
        "risers-per-flight-min",
        "risers in a flight",
        "the number of risers between two landings",
        "count",
        _MINIMUM,
        _FLIGHT,
    ),
    Check(
        "guard-needed-drop",
        "guard, by drop",
        "the fall beside the walking surface at its deepest, plumb",
        "length",
        ("needed-above", "needed-from"),
        _GUARD,
    ),
    Check(
        "guard-needed-slope",
        "guard, by the ground",
        "how steeply the ground beside the walking surface falls: fall over level distance",
        "slope",
        ("needed-above",),
        _GUARD,
    ),
    Check(
        "guard-needed-risers",
        "guard, by risers",
        "the number of risers of a flight with an open side",
        "count",
        ("needed-from",),
        _GUARD,
    ),
    Check(
        "guard-height-min",
        "guard height",
        "nosing line or walking surface to the top of the top rail, plumb",
        "length",
        _MINIMUM,
        _GUARD,
    ),
    Check(
        "guard-height-max",
        "guard height",
        "nosing line or walking surface to the top of the top rail, plumb",
        "length",
        _MAXIMUM,
        _GUARD,
    ),
    Check(
        "midrail-gap-max",
        "gap under the lowest rail",
        "clear gap between the lowest rail, or a strip under it, and the nosing line or walking "
        "surface, plumb; between the rails of a panel stand balusters",
        "length",
        _MAXIMUM,
        _GUARD,
    ),
    Check(
        "side-gap-max",
        "guard beside the stair",
        "clear gap in plan between the tread ends or stringer and the guard",
        "length",
        _MAXIMUM,
        _GUARD,
    ),
    Check(
        "handrail-needed-risers",
        "handrail, by risers",
        "the number of risers of a flight",
        "count",
        ("needed-from",),
        _HANDRAIL,
    ),
    Check(
        "handrail-height-min",
        "handrail height",
        "nosing line or walking surface to the top of the handrail, plumb",
        "length",
        _MINIMUM,
        _HANDRAIL,
    ),
    Check(
        "handrail-height-max",
        "handrail height",
        "nosing line or walking surface to the top of the handrail, plumb",
        "length",
        _MAXIMUM,
        _HANDRAIL,
    ),
    Check(
        "opening-triangle",
        "tread opening",
        "the opening between a tread, the riser behind it and the bottom rail",
        "length",
        _BALLS,
        _OPENINGS,
    ),
    Check(
        "opening-foot",
        "opening at the foot",
        "the opening between lower landing, first riser, bottom rail and lower post",
        "length",
        _BALLS,
        _OPENINGS,
    ),
    Check(
        "opening-head",
        "opening at the head",
        "the opening between upper landing, bottom rail and upper post; no riser is part of it",
        "length",
        _BALLS,
        _OPENINGS,
    ),
    Check(
        "opening-baluster",
        "between balusters",
        "the opening between two balusters",
        "length",
        _BALLS,
        _OPENINGS,
    ),
    Check(
        "opening-end",
        "beside a post",
        "the opening between a post and what is next to it: baluster, rail ends, another post",
        "length",
        _BALLS,
        _OPENINGS,
    ),
    Check(
        "opening-under-rail",
        "under the bottom rail",
        "the strip under the rail of a level run, or between a rail and a closed stringer",
        "length",
        _BALLS,
        _OPENINGS,
    ),
    Check(
        "opening-open-riser",
        "between treads",
        "the opening between two treads where there is no riser",
        "length",
        _BALLS,
        _OPENINGS,
    ),
)

CHECKS: dict[str, Check] = {check.id: check for check in _TABLE}
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


def nearest(name: str, names: Iterable[str]) -> str | None:
    """The one of the names that is most like the given one; None where none is much like it.

    Parameters
    ----------
    name : str
        As a user types it.
    names : iterable of str
        Those that are known.

    Examples
    --------
    >>> nearest("unit-rise-maximum", CHECKS)
    'unit-rise-max'
    """
    found = difflib.get_close_matches(name, list(names), n=1, cutoff=0.5)
    return found[0] if found else None


def did_you_mean(name: str, names: Iterable[str]) -> str:
    """The remedy for a name that is not known: the nearest one, or nothing.

    Parameters
    ----------
    name : str
        As a user types it.
    names : iterable of str
        Those that are known.

    Examples
    --------
    >>> did_you_mean("clauze", ["check", "clause"])
    'The nearest is "clause"'
    """
    found = nearest(name, names)
    return f'The nearest is "{found}"' if found else ""


def known_check(name: str, where: str) -> Check:
    """The check of that name.

    Parameters
    ----------
    name : str
        One of :data:`CHECKS`.
    where : str
        What an error is to name.

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
