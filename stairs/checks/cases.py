"""Cases: what each section of a job is to a rulebook, and the rules that hold there.

A code asks one thing on a flight and another beside a landing or a deck, and more over a deeper
drop.  What a section is follows from the whole job, so it is worked out here, once.
"""

from __future__ import annotations

from fractions import Fraction

import msgspec

from stairs.checks.gap_window import RuleFor
from stairs.guard.lines import line_of
from stairs.guard.solving import FlightSection, Section
from stairs.job import Job
from stairs.lengths.tape_marks import exact_text
from stairs.parts.section_ends import LANDING
from stairs.rules import Rule, Rulebook, RuledPlace


def case_of(job: Job, section: Section) -> RuledPlace:
    """What is known of a solved section that rules and loads may depend on.

    Lengths in the job's units; the drop of a flight is its own rise where the job tells none.
    """
    record = job.sections[section.number - 1]
    flights = sum(
        other.kind == "flight" and not line_of(job, index).opposite_of
        for index, other in enumerate(job.sections)
    )
    if not isinstance(section, FlightSection):
        kind = LANDING if section.surface.kind == LANDING else section.kind
        return RuledPlace(kind, handrail=section.handrail, use=job.use, drop=record.drop)
    drop = section.exact["total_rise"] if record.drop is None else record.drop
    return RuledPlace(
        section=section.kind,
        handrail=section.handrail,
        open_risers=section.record.build.open_risers,
        single_flight=flights == 1,
        use=job.use,
        drop=drop if isinstance(drop, Fraction) else float(drop),
        width=section.record.width,
    )


def rule_source(rulebook: Rulebook, job: Job) -> RuleFor:
    """A function that finds the rule for a check in a section of a job, None where there is none.

    The rulebook is in the job's units, with the job's own values over it.
    """
    memory: dict[tuple[object, ...], Rule | None] = {}

    def rule_for(check: str, section: Section) -> Rule | None:
        key: tuple[object, ...] = (check, section.number, section.handrail)
        if isinstance(section, FlightSection):
            key += (section.record.build.open_risers, str(section.exact["total_rise"]))
        if key not in memory:
            memory[key] = rulebook.rule(check, **msgspec.structs.asdict(case_of(job, section)))
        return memory[key]

    return rule_for


def clash(section: Section, rule_for: RuleFor) -> tuple[Rule, Rule] | None:
    """The guard's least height and the handrail's greatest, where one rail cannot keep both."""
    as_handrail = section.with_handrail(True)
    guard = rule_for("guard-height-min", as_handrail)
    rail = rule_for("handrail-height-max", as_handrail)
    return (guard, rail) if guard and rail and guard.limit > rail.limit else None


def own_handrail(section: Section, rule_for: RuleFor, units: str) -> str:
    """What to do where the top rail is not to be the handrail, with the heights one may have."""
    heights = []
    for end in ("min", "max"):
        for handrail in (False, True):  # asked of any handrail where none is told by itself
            place = section.with_handrail(handrail)
            rule = rule_for(f"handrail-height-{end}", place)
            if rule is not None:
                heights.append((end, exact_text(rule.limit, units)))
                break
    text = "fit a handrail of its own"
    if heights:
        over = "nosings" if section.surface is None else section.surface.kind
        span = " to ".join(height for _, height in heights)
        if len(heights) == 1:
            span = f"at {'least' if heights[0][0] == 'min' else 'most'} {span}"
        text += f", {span} above the {over}, plumb"
    return text


def handrail_advice(section: Section, rule_for: RuleFor, units: str) -> str:
    """What stands beside the finding that a flight needs a handrail."""
    own = own_handrail(section, rule_for, units)
    if clash(section, rule_for) is not None:
        return f"the top rail of such a guard is too high to serve as one: {own}"
    if section.handrail:
        return "the top rail is to serve as the handrail"
    return (
        f"this guard has none: {own}, or write handrail = true where the top rail is to serve as "
        "one"
    )
