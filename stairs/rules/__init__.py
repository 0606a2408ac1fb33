"""Rulebooks: what codes ask of a stair guard, kept as data, one file per code and edition.

A code is a text that a state or a city has made law; editions follow each other and differ, and so
do countries.  A guard is therefore never "to code" as such but to one code in one edition, and each
value here carries its clause, the kind of limit it is, and how it was found.  Nobody should rely on
a value that is marked as not seen before the code itself has been opened.

- :func:`available` names the rulebooks, :func:`load` reads one, :meth:`Rulebook.rule` answers what
  it asks in one place; :func:`overridden` puts a user's own values over it.
- :data:`CHECKS` is the table of everything that may be ruled on: id, meaning, unit, allowed kinds
  of limit.  :data:`KINDS` says what each kind does at equality, :data:`PROVENANCES` how a value
  may have been found, :data:`LOADS` which loads may be listed.

No code text is copied anywhere; titles, notes and meanings are in words of our own.
"""

from stairs.rules.conditions import Condition, RuledPlace
from stairs.rules.loader import available, load, read
from stairs.rules.overrides import overridden, refuse_far
from stairs.rules.records import Load, Rule, Rulebook
from stairs.rules.vocabulary import (
    ALSO_ASKS,
    CHECKS,
    KINDS,
    LOAD_UNITS,
    LOADS,
    PROVENANCES,
    VERIFIED,
    Check,
    known_check,
)

__all__ = [
    "ALSO_ASKS",
    "CHECKS",
    "Check",
    "Condition",
    "KINDS",
    "LOADS",
    "LOAD_UNITS",
    "Load",
    "PROVENANCES",
    "RuledPlace",
    "Rule",
    "Rulebook",
    "VERIFIED",
    "available",
    "known_check",
    "load",
    "overridden",
    "read",
    "refuse_far",
]
