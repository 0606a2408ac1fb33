"""Measuring error: what it may make of the results of a section, as checks are told it.

How the bounds are found the room of certainty knows, which stands above the checks.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from msgspec import Struct

from stairs.rules import Rule

Bounds = tuple[float, float]
"""The least and the greatest that a result may really be, in its unit."""


Witness = tuple[tuple[str, Fraction], ...]
"""Measurements by their keys, each with a value within its own tolerance."""


class Refused(Struct, frozen=True):
    """Measuring errors with which the guard cannot be built at all, all of them together.

    ``off`` is how far each measurement is off, by its key [job's unit of length; of a rake
    degrees]; ``because`` what then cannot be built, and where in the section; ``witness`` what the
    measurements are then.
    """

    off: tuple[tuple[str, Fraction], ...]
    because: str
    witness: Witness


class Spread(Struct, frozen=True):
    """The bounds of each result, None where there are none, and errors that leave no guard.

    ``bounds`` is None where nothing is off and each result is what it is; ``other_rules`` are those
    that may hold in place of the one that rules as measured, by check.
    """

    bounds: Mapping[object, Bounds | None] | None
    refused: tuple[Refused, ...] = ()
    other_rules: Mapping[str, tuple[Rule, ...]] = {}


class Measured(Struct, frozen=True):
    """What measuring error may make of a finding.

    ``bounds`` hold its value whatever was measured; None where that could not be told.
    ``everywhere`` tells whether it passes whatever was measured, None where neither that nor the
    opposite was found; ``witness`` has measurements, each within its own tolerance, with which it
    fails, by their keys: none of them where it fails as they were read.  ``other_rule`` is one that
    may hold instead and is not proven to be kept.
    """

    bounds: Bounds | None = None
    everywhere: bool | None = None
    witness: Witness | None = None
    refused: tuple[Refused, ...] = ()
    other_rule: Rule | None = None
