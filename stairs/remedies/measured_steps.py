"""Remedies for a measured flight: which of its steps to build anew, and to what size.

A flight that was measured nosing by nosing stands already.  No job file can move one of its steps,
so these remedies are words, and none is tried: rebuilt steps have to be measured again anyway.
Every step that breaks the rule is named, not only the worst, and so is what else a rebuilt step
breaks.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction

from stairs.parts.flight import steps_of
from stairs.relations.exact import compare
from stairs.remedies.case import Case, Choice, Plan
from stairs.remedies.job_changes import Change

_OF_THE_STEPS = {
    "unit-rise-max": (max, "rise"),
    "unit-rise-min": (min, "rise"),
    "unit-run-max": (max, "run"),
    "unit-run-min": (min, "run"),
    "tread-depth-min": (min, "tread depth"),
    "step-formula-max": (max, "step sum"),
    "step-formula-min": (min, "step sum"),
}
"""Which of the steps a check looks at, by its name; the sizes as in :func:`steps_of`."""


def is_measured(case: Case) -> bool:
    """Whether the failing check is of a flight that was measured step by step.

    Parameters
    ----------
    case : Case
        The failing check.
    """
    return case.section.flight is not None and case.section.flight.survey is not None


def _breaking(case: Case, sizes: Sequence[Fraction], limit: Fraction) -> list[int]:
    """Numbers, from 1, of the steps that break a limit; at least one, as the check fails by it."""
    least = case.finding.ruling.kind == "minimum"
    return [k for k, size in enumerate(sizes, 1) if (size < limit if least else size > limit)]


def _named(thing: str, numbers: Sequence[int], sizes: Sequence[str]) -> tuple[str, str]:
    """Some steps by their numbers, and their sizes in the same order."""
    if len(numbers) == 1:
        return f"{thing} {numbers[0]}", sizes[0]
    *most, last = map(str, numbers)
    *others, end = sizes
    return f"{thing}s {', '.join(most)} and {last}", f"{', '.join(others)} and {end}"


def _risers(case: Case) -> list[Choice]:
    rises = case.section.flight.survey.rises
    numbers = _breaking(case, rises, case.limit)
    names, sizes = _named("riser", numbers, [case.about(rises[k - 1], case.limit) for k in numbers])
    verb = "is" if len(numbers) == 1 else "are"
    text = f"Rebuild {names}, which {verb} {sizes}, to {case.kept(case.limit)}"
    rebuilt = _rebuilt(case, rises, numbers, case.limit)
    return [[Plan(text + _then_fails(case, rebuilt, case.section.flight.survey.runs))]]


def _runs(case: Case, limit: Fraction) -> Choice:
    runs = case.section.flight.survey.runs
    numbers = _breaking(case, runs, limit)
    names, sizes = _named("tread", numbers, [case.about(runs[k - 1], limit) for k in numbers])
    verb = "run is" if len(numbers) == 1 else "runs are"
    text = f"Rebuild {names}, whose {verb} {sizes}, to {case.kept(limit)}"
    rebuilt = _rebuilt(case, runs, numbers, limit)
    return [Plan(text + _then_fails(case, case.section.flight.survey.rises, rebuilt))]


def _rebuilt(case: Case, sizes, numbers: Sequence[int], limit) -> tuple[Fraction, ...]:
    """The steps with those that break a limit brought to the mark that keeps it."""
    kept = case.above(limit) if case.finding.ruling.kind == "minimum" else case.below(limit)
    return tuple(kept if k in numbers else size for k, size in enumerate(sizes, 1))


def _then_fails(case: Case, rises: Sequence[Fraction], runs: Sequence[Fraction]) -> str:
    """What passes of the steps now and fails of other ones, in words that follow a text."""
    steps = steps_of(rises, runs, case.section.flight)
    told = []
    for check, (which, of) in _OF_THE_STEPS.items():
        rule = case.rule_for(check, case.section)
        if rule is None or (case.index, check) in case.bench.before.failing:
            continue
        value = which(steps[of], key=float)
        if compare(value, rule.limit) * (1 if which is max else -1) > 0:
            title = case.bench.before.title(case.index, check)
            word = "most" if which is max else "least"
            told.append(f"{title} ({case.about(value)}, at {word} {case.show(rule.limit)})")
    return f"; but then fails: {' and '.join(told)}" if told else ""


def _treads(case: Case) -> list[Choice]:
    return [_runs(case, case.limit)]


def longer_nosing(case: Case) -> Choice:
    """Nosings that make every tread as deep as is asked, also of a stair that stands.

    Parameters
    ----------
    case : Case
        Treads that are not deep enough.
    """
    nosing = case.section.exact["nosing"]
    depth = case.above(case.over) + nosing
    text = f"Make the nosing {case.show(depth)} or more (now {case.show(nosing)})"
    return [Plan(text, (Change("section", "nosing", depth),))]


def _tread_depth(case: Case) -> list[Choice]:
    return [longer_nosing(case), _runs(case, case.limit - case.section.exact["nosing"])]


def _step_formula(case: Case) -> list[Choice]:
    """The riser over each tread counts with the tread's run, as in the check."""
    survey = case.section.flight.survey
    sums = [2 * rise + run for rise, run in zip(survey.rises[1:], survey.runs, strict=False)]
    numbers = _breaking(case, sums, case.limit)
    worst = min if case.finding.ruling.kind == "minimum" else max
    tread = worst(numbers, key=lambda k: sums[k - 1])
    rest = f", and {len(numbers) - 1} more" if len(numbers) > 1 else ""
    size = case.about(sums[tread - 1], case.limit)
    return [
        [
            Plan(
                f"Rebuild tread {tread} and riser {tread + 1}{rest}: two rises and a run make "
                f"{size} there, and have to make {case.kept(case.limit)}"
            )
        ]
    ]


def rebuilt_to_rake(case: Case, degrees: float, steeper: bool) -> list[Choice]:
    """A stair of another rake in the place of the one that stands.

    Parameters
    ----------
    case : Case
        The failing check, in a measured flight.
    degrees : float
        The rake that is wanted, from 0 to below 90.
    steeper : bool
        Whether the rake has to come up to it.

    Returns
    -------
    list of Choice
        In words, untried.
    """
    survey, word = case.section.flight.survey, "or more" if steeper else "or less"
    steps = (
        f"{len(survey.rises)} risers on {case.about(float(case.section.flight.total_run))} of run"
    )
    return [
        [
            Plan(
                f"Rebuild the steps so that the line over their nosings lies at {degrees:g}° "
                f"{word} (now {case.section.rake:.1f}°, {steps})"
            )
        ]
    ]


def _rake(case: Case) -> list[Choice]:
    return rebuilt_to_rake(case, float(case.limit), case.finding.ruling.kind == "minimum")


def _riser_count(case: Case) -> list[Choice]:
    limit = int(case.limit)
    if case.finding.ruling.kind == "minimum":
        return [[Plan(f"Rebuild the flight with {limit} risers or more")]]
    return [[Plan(f"Put a landing in: {limit} risers or fewer in one flight")]]


MEASURED: dict[str, Callable[[Case], list[Choice]]] = {
    "unit-rise-max": _risers,
    "unit-rise-min": _risers,
    "unit-run-min": _treads,
    "unit-run-max": _treads,
    "tread-depth-min": _tread_depth,
    "rake-max": _rake,
    "rake-min": _rake,
    "risers-per-flight-max": _riser_count,
    "risers-per-flight-min": _riser_count,
    "step-formula-max": _step_formula,
    "step-formula-min": _step_formula,
}
"""Makers of remedies by the name of the check, where they differ from those of a stair to be
built."""
