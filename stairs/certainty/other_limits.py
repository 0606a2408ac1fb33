"""Limits that rule instead where the drop or the width is a little off what was measured.

A code asks more over a deeper drop, and less of a narrow stair.  A section that lies about at such
a boundary is held against the rules on both sides of it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from itertools import product

import msgspec

from stairs.certainty.bounds import Bounds, TracedSection
from stairs.checks.cases import case_of
from stairs.guard.solving import Section
from stairs.job import Job
from stairs.rules import CHECKS, Rule, Rulebook


def rules_over(
    rulebook: Rulebook, traced: TracedSection, section: Section
) -> Mapping[str, tuple[Rule, ...]]:
    """The same for a section with the drop and the width anywhere in a box."""
    drop, width = drop_and_width(traced)
    return other_rules(rulebook, traced.job, section, drop, width)


def drop_and_width(traced: TracedSection) -> tuple[Bounds | None, Bounds | None]:
    """Between what the drop and the width of a section lie; None where they are not told."""
    record, exact = traced.job.sections[traced.section.number - 1], traced.section.exact
    drop = traced.told(exact.get("total_rise") if record.drop is None else record.drop)
    return drop, traced.told(record.width)


def other_rules(
    rulebook: Rulebook, job: Job, section: Section, drop: Bounds | None, width: Bounds | None
) -> Mapping[str, tuple[Rule, ...]]:
    """The rules that may hold in a section beside those that hold as it was measured, by check.

    ``drop`` and ``width`` are between what these lie, None where they are not told or exact.
    """
    drops = _either_side("drop", drop, (rule.when.drop_over for rule in rulebook.rules))
    widths = _either_side("width", width, (rule.when.width_to for rule in rulebook.rules))
    if len(drops) == len(widths) == 1:
        return {}
    place = msgspec.structs.asdict(case_of(job, section))
    found = {}
    for check in CHECKS:
        rules = {
            rulebook.rule(check, **place | one | other) for one, other in product(drops, widths)
        }
        others = rules - {rulebook.rule(check, **place), None}
        if others:
            found[check] = tuple(sorted(filter(None, others), key=lambda rule: rule.limit))
    return found


def _either_side(
    name: str, bounds: Bounds | None, boundaries: Iterable[Fraction | None]
) -> list[dict[str, float]]:
    """A length as it was measured, and one on either side of each boundary that it may be past."""
    if bounds is None:
        return [{}]
    low, high = bounds.low, bounds.high
    inside = {float(one) for one in boundaries if one is not None and low <= one <= high}
    return [{}, *({name: one} for one in (low, *inside, high) if inside)]
