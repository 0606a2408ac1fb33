"""Measures: everything of a solved section that a rule or a part's own limit can be held against.

A measure is an exact amount (a height, an angle, a count) or an opening with its largest circle,
and where it is.  What limit it is held against is no matter of this page.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from stairs.checks.gap_window import check_of
from stairs.checks.measure import Measure, Place, known, rational
from stairs.checks.part_values import part_measures
from stairs.checks.step_values import step_meant
from stairs.guard.solving import Section
from stairs.job import Job
from stairs.relations.exact import Amount, derived

STRIP = "strip above the nosing line"
"""The key of what passes there, which no check has for its name."""

_OF_A_FLIGHT = {
    "unit-rise-max": "unit_rise",
    "unit-rise-min": "least_unit_rise",
    "unit-run-max": "greatest_unit_run",
    "unit-run-min": "unit_run",
    "tread-depth-min": "tread_depth",
    "nosing-min": "nosing",
    "nosing-max": "nosing",
    "step-formula-max": "step_sum",
    "step-formula-min": "least_step_sum",
    "flight-rise-max": "total_rise",
    "risers-per-flight-max": "risers",
    "risers-per-flight-min": "risers",
    "rake-max": "rake",
    "rake-min": "rake",
    "guard-needed-risers": "risers",
    "handrail-needed-risers": "risers",
    "riser-slope-max": "riser_slope",
    "side-gap-max": "side_gap",
    # the steps of a designed flight are all alike; a measured one has its own differences
    "riser-uniformity": "riser_spread",
    "riser-uniformity-adjacent": "riser_spread_adjacent",
    "tread-uniformity": "tread_spread",
    "tread-uniformity-adjacent": "tread_spread_adjacent",
}
"""The exact amount of a flight that each check is of."""


def measures_of(section: Section, job: Job) -> tuple[Measure, ...]:
    """Everything in a section that a rule or a part's own limit may be held against."""
    return (*_of_rules(section, job), *part_measures(section, job))


def _of_rules(section: Section, job: Job) -> Iterator[Measure]:
    exact, record = section.exact, job.sections[section.number - 1]
    drop: Amount | None = record.drop
    if section.flight is not None:
        for check, name in _OF_A_FLIGHT.items():
            if name in exact:
                yield Measure(check, exact[name], step_meant(check, section.flight.survey))
        drop = exact["total_rise"] if drop is None else drop
    if drop is not None:
        yield Measure("guard-needed-drop", drop)
    if record.ground_slope is not None:
        yield Measure("guard-needed-slope", record.ground_slope.fall / record.ground_slope.over)
    lowest = _lowest(section)  # over measured nosings the top rail is highest there
    for what in ("guard-height", "handrail-height") if section.handrail else ("guard-height",):
        yield Measure(f"{what}-min", exact["guard_height"])
        yield Measure(f"{what}-max", exact["greatest_guard_height"], lowest)
    clear = rational(exact["clear_gap"]) + rational(exact["lowest_nosing"])
    yield Measure("midrail-gap-max", clear, lowest)
    for opening in section.openings:
        yield Measure(check_of(opening), None, opening=opening)


def _lowest(section: Section) -> Place | None:
    """The nosing that lies farthest under the line, where they do not all lie on it."""
    survey = None if section.flight is None else section.flight.survey
    if survey is None or max(survey.line_gaps) == 0:
        return None
    return Place("nosing", (survey.line_gaps.index(max(survey.line_gaps)) + 1,))


def above_nosings(check: str, section: Section) -> Measure:
    """What is open under the rail of a flight above the nosing line alone, as some codes try it."""
    side_gap, gap = section.exact["side_gap"], rational(section.exact["clear_gap"])
    strip = {
        "bottom_gap": gap,
        "stringer_margin": Fraction(0),
        "unit_rise": known(section.flight).line_rise,
        "unit_run": known(section.flight).line_run,
    }
    if side_gap == 0:
        size = derived("strip_opening", **strip)
    elif gap > 0:
        size = derived("strip_ball", side_gap=side_gap, **strip)
    else:
        size = side_gap  # the rail covers the nosings; what is left drops past the tread ends
    return Measure(check, size)
