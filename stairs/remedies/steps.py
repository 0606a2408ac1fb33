"""Remedies for the steps: risers, runs, nosings, the rake and what codes ask of them together."""

from __future__ import annotations

from fractions import Fraction
from math import ceil, floor, radians, tan

from stairs.lengths.tape_marks import ceil_to_mark, floor_to_mark
from stairs.remedies.case import Case, Choice, Plan
from stairs.remedies.job_changes import Change, step_changes, told_posts
from stairs.remedies.measured_steps import is_measured, longer_nosing, rebuilt_to_rake
from stairs.remedies.sizes import LOWEST_RISER

_MORE = 4  # riser counts beside the nearest that are tried


def _divide(case: Case, counts, unit_run: Fraction | None = None) -> Choice:
    """Another number of risers, the total rise kept."""
    section = case.section
    total = section.total_rise
    plans = []
    for count in counts:
        if (
            count < 2
            or count == section.flight.risers
            or total / count < LOWEST_RISER[case.job.units]
        ):
            continue
        run = f", each run {case.show(unit_run)}" if unit_run is not None else ""
        text = (
            f"Divide the rise of {case.about(total)} into {count} risers of "
            f"{case.show(total / count)} (now {section.flight.risers} of "
            f"{case.about(float(section.flight.unit_rise), total / count)}){run}"
        )
        plans += _stepped(case, text, count, unit_run)
    return plans


def _stepped(case: Case, text: str, count: int, unit_run: Fraction | None) -> Choice:
    """A plan for other steps, which tells where listed posts go with them."""
    changes = step_changes(case.section, case.record, count, unit_run) or ()
    return [Plan(text + told_posts(changes, case.show), changes)]


def _same_total_run(case: Case, counts) -> Choice:
    """Another number of risers on the total run that there is."""
    run, treads = case.section.exact["total_run"], case.section.flight.treads
    risers = case.section.flight.risers
    plans: Choice = []
    for count in counts:
        now = treads + count - risers
        if isinstance(run, Fraction) and now >= 1 and run / now >= case.tape:
            plans += _divide(case, [count], floor_to_mark(run / now, case.tape))
    return plans


def _unit_rise(case: Case) -> list[Choice]:
    total, limit = case.section.total_rise, float(case.limit)
    if case.finding.ruling.kind == "maximum":
        first = ceil(total / limit - 1e-9)
        counts = range(first, first + _MORE)
    else:
        first = floor(total / limit + 1e-9)
        counts = range(first, max(first - _MORE, 1), -1)
    return [_divide(case, counts), _same_total_run(case, counts)]


def _runs(case: Case, marks, word: str) -> Choice:
    """Another run, the risers kept."""
    flight = case.section.flight
    unit_run, total_run = float(flight.unit_run), float(flight.total_run)
    plans = []
    for run in marks:
        if run <= 0:
            continue
        total = run * flight.treads
        text = (
            f"Make each run {case.show(run)} {word} (now {case.about(unit_run, run)}): a "
            f"total run of {case.about(total)} (now {case.about(total_run, total)})"
        )
        plans += _stepped(case, text, flight.risers, run)
    return plans


def _longer(case: Case, run: Fraction) -> Choice:
    return _runs(case, (run, run + case.tape), "or more")


def _shorter(case: Case, run: Fraction) -> Choice:
    return _runs(case, (run, run - case.tape), "or less")


def _unit_run(case: Case) -> list[Choice]:
    minimum = case.finding.ruling.kind == "minimum"
    if minimum:
        return [_longer(case, case.above(case.limit))]
    return [_shorter(case, case.below(case.limit))]


def _tread_depth(case: Case) -> list[Choice]:
    return [
        longer_nosing(case),
        _longer(case, case.above(case.limit - case.section.exact["nosing"])),
    ]


def _nosing(case: Case) -> list[Choice]:
    minimum = case.finding.ruling.kind == "minimum"
    mark = case.above(case.limit) if minimum else case.below(case.limit)
    text = (
        f"Make the nosing {'at least' if minimum else 'at most'} {case.show(mark)} (now "
        f"{case.about(float(case.section.flight.nosing), mark)})"
    )
    return [[Plan(text, (Change("section", "nosing", mark),))]]


def _rake(case: Case) -> list[Choice]:
    """Longer or shorter runs, or fewer or more risers."""
    return rake_to(case, float(case.limit), steeper=case.finding.ruling.kind == "minimum")


def rake_to(case: Case, degrees: float, steeper: bool = False) -> list[Choice]:
    """Ways to bring the rake to an angle or below it, or up to it.

    Parameters
    ----------
    case : Case
        The failing check, in a flight.
    degrees : float
        The rake that is wanted, from 0 to below 90.
    steeper : bool
        Whether the rake has to come up to it, by shorter runs or fewer risers.

    Returns
    -------
    list of Choice
        Another run, then another number of risers; of a measured flight in words.  Empty at 0
        degrees.

    Notes
    -----
    At the angle ``θ`` the run is ``R / tan θ``, and the number of risers ``H / (G tan θ)``, with
    unit rise ``R``, unit run ``G`` and total rise ``H``.
    """
    section = case.section
    slope = tan(radians(degrees))
    if slope <= 0:
        return []
    if is_measured(case):
        return rebuilt_to_rake(case, degrees, steeper)
    run = float(section.flight.unit_rise) / slope
    if steeper:
        count = floor(section.total_rise / (float(section.flight.unit_run) * slope))
        counts = range(count, max(count - _MORE, 1), -1)
        return [_shorter(case, floor_to_mark(run + 1e-9, case.tape)), _divide(case, counts)]
    count = ceil(section.total_rise / (float(section.flight.unit_run) * slope) - 1e-9)
    counts = range(count, count + _MORE)
    return [_longer(case, ceil_to_mark(run - 1e-9, case.tape)), _divide(case, counts)]


def _step_formula(case: Case) -> list[Choice]:
    section = case.section
    rise = section.exact["unit_rise"]
    run = float(case.limit) - 2 * float(rise)
    near = sorted(
        (section.flight.risers + step for step in range(-_MORE, _MORE + 1) if step),
        key=lambda count: abs(count - section.flight.risers),
    )
    if case.finding.ruling.kind == "minimum":
        runs = _longer(case, ceil_to_mark(run - 1e-9, case.tape))
    else:
        runs = _shorter(case, floor_to_mark(run + 1e-9, case.tape))
    return [runs, _divide(case, near), _same_total_run(case, near)]


def _flight_rise(case: Case) -> list[Choice]:
    text = f"Put a landing in: one flight may rise {case.kept(case.limit)}"
    return [[Plan(text)]]


def _riser_count(case: Case) -> list[Choice]:
    limit = int(case.limit)
    if case.finding.ruling.kind == "minimum":
        counts = range(limit, limit + _MORE)
        return [_divide(case, counts), _same_total_run(case, counts)]
    choices = [_divide(case, range(limit, max(limit - _MORE, 1), -1))]
    return [*choices, [Plan(f"Put a landing in: {limit} risers or fewer in one flight")]]


def _riser_slope(case: Case) -> list[Choice]:
    text = f"Rake the risers back {float(case.limit):g}° or less (now {case.finding.value:g}°)"
    return [[Plan(text, (Change("section", "riser_slope", case.limit),))]]


def _uneven(case: Case) -> list[Choice]:
    """The step of a measured flight that is farthest from the others."""
    survey = case.section.flight.survey
    if survey is None:
        return []
    risers = case.finding.id.startswith("riser")
    steps = survey.rises if risers else survey.runs
    mean = sum(steps) / len(steps)
    worst = max(range(len(steps)), key=lambda place: abs(steps[place] - mean))
    name = f"riser {worst + 1}" if risers else f"the run of tread {worst + 1}"
    text = (
        f"Rebuild the steps to {case.about(mean)} each: {name} is "
        f"{case.about(steps[worst], mean)}, and they may differ by {case.show(case.limit)}"
    )
    return [[Plan(text)]]


def _open_riser(case: Case) -> list[Choice]:
    """Thicker treads or strips under the nosings, or closed risers."""
    section = case.section
    thickness = float(section.flight.tread_thickness)
    start = case.above(thickness + case.over)
    thicker = [
        Plan(
            f"Make the treads, or a strip under each nosing, reach {case.show(mark)} down (now "
            f"{case.about(thickness, mark)})",
            (Change("section", "tread_thickness", mark),),
        )
        for mark in (start, start + case.tape)
    ]
    closed = [Plan("Close the risers", (Change("section", "open_risers", False),))]
    return [thicker, closed]


def _side_gap(case: Case) -> list[Choice]:
    mark = case.below(case.limit)
    text = f"Set the guard {case.show(mark)} or less outside the tread ends"
    return [[Plan(text, (Change("section", "side_gap", mark),))]]


STEPS = {
    "unit-rise-max": _unit_rise,
    "unit-rise-min": _unit_rise,
    "unit-run-min": _unit_run,
    "unit-run-max": _unit_run,
    "tread-depth-min": _tread_depth,
    "riser-uniformity": _uneven,
    "riser-uniformity-adjacent": _uneven,
    "tread-uniformity": _uneven,
    "tread-uniformity-adjacent": _uneven,
    "nosing-min": _nosing,
    "nosing-max": _nosing,
    "rake-max": _rake,
    "rake-min": _rake,
    "flight-rise-max": _flight_rise,
    "risers-per-flight-max": _riser_count,
    "risers-per-flight-min": _riser_count,
    "step-formula-max": _step_formula,
    "step-formula-min": _step_formula,
    "riser-slope-max": _riser_slope,
    "side-gap-max": _side_gap,
    "opening-open-riser": _open_riser,
}
"""Makers of remedies by the name of the check."""
