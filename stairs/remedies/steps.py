"""Remedies for the steps: risers, runs, nosings, the rake and what codes ask of them together."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from math import ceil, floor, radians, tan

from stairs.lengths.tape_marks import ceil_to_mark, floor_to_mark
from stairs.numbers.tolerances import SAME
from stairs.remedies.failure import Failure, Ladder, Proposal
from stairs.remedies.job_changes import Change, step_changes, told_posts
from stairs.remedies.measured_steps import longer_nosing, rebuilt_to_rake
from stairs.remedies.sizes import LOWEST_RISER

_MORE = 4  # riser counts beside the nearest that are tried


def _divide(failure: Failure, counts: Iterable[int], unit_run: Fraction | None = None) -> Ladder:
    """Another number of risers, the total rise kept."""
    flight, total = failure.flight, failure.section.total_rise
    rungs = []
    for count in counts:
        lowest = LOWEST_RISER[failure.job.units]
        if count < 2 or count == flight.risers or total / count < lowest:
            continue
        run = f", each run {failure.show(unit_run)}" if unit_run is not None else ""
        text = (
            f"Divide the rise of {failure.about(total)} into {count} risers of "
            f"{failure.show(total / count)} (now {flight.risers} of "
            f"{failure.about(float(flight.unit_rise), total / count)}){run}"
        )
        rungs.append(_stepped(failure, text, count, unit_run))
    return rungs


def _stepped(failure: Failure, text: str, count: int, unit_run: Fraction | None) -> Proposal:
    """Other steps, and where listed posts go with them."""
    changes = step_changes(failure.section, failure.record, count, unit_run) or ()
    return Proposal(text, changes, told_posts(changes, failure.show))


def _same_total_run(failure: Failure, counts: Iterable[int]) -> Ladder:
    """Another number of risers on the total run that there is."""
    run, flight = failure.section.exact["total_run"], failure.flight
    rungs: Ladder = []
    for count in counts:
        treads = flight.treads + count - flight.risers
        if isinstance(run, Fraction) and treads >= 1 and run / treads >= failure.tape:
            rungs += _divide(failure, [count], floor_to_mark(run / treads, failure.tape))
    return rungs


def _unit_rise(failure: Failure) -> Iterator[Ladder]:
    risers = failure.section.total_rise / float(failure.limit)
    if failure.is_short:
        first = floor(risers + SAME)
        counts = range(first, max(first - _MORE, 1), -1)
    else:
        first = ceil(risers - SAME)
        counts = range(first, first + _MORE)
    yield _divide(failure, counts)
    yield _same_total_run(failure, counts)


def _runs(failure: Failure, run: Fraction, longer: bool) -> Ladder:
    """Another run or one a mark longer or shorter, the risers kept."""
    flight, word = failure.flight, "or more" if longer else "or less"
    unit_run, total_run = float(flight.unit_run), float(flight.total_run)
    rungs = []
    for mark in failure.marks(run, 2 if longer else -2):
        if mark > 0:
            total = mark * flight.treads
            text = (
                f"Make each run {failure.show(mark)} {word} (now "
                f"{failure.about(unit_run, mark)}): a total run of {failure.about(total)} "
                f"(now {failure.about(total_run, total)})"
            )
            rungs.append(_stepped(failure, text, flight.risers, mark))
    return rungs


def _run_kept(failure: Failure, run: float, longer: bool) -> Ladder:
    """The same from the mark that keeps a run which no tape shows."""
    if longer:
        return _runs(failure, ceil_to_mark(run - SAME, failure.tape), True)
    return _runs(failure, floor_to_mark(run + SAME, failure.tape), False)


def _unit_run(failure: Failure) -> Iterator[Ladder]:
    keeps = failure.above if failure.is_short else failure.below
    yield _runs(failure, keeps(failure.limit), failure.is_short)


def _tread_depth(failure: Failure) -> Iterator[Ladder]:
    yield longer_nosing(failure)
    yield _runs(failure, failure.above(failure.limit - failure.exact("nosing")), True)


def _nosing(failure: Failure) -> Iterator[Ladder]:
    short, now = failure.is_short, float(failure.flight.nosing)
    mark = failure.above(failure.limit) if short else failure.below(failure.limit)
    at = "at least" if short else "at most"
    words = f"Make the nosing {at} {{}} (now {failure.about(now, mark)})"
    yield failure.sized(words, "section", "nosing", [mark])


def _rake(failure: Failure) -> Iterator[Ladder]:
    yield from rake_to(failure, float(failure.limit), steeper=failure.is_short)


def rake_to(failure: Failure, degrees: float, steeper: bool = False) -> Iterator[Ladder]:
    """Another run or another number of risers, for a rake up to an angle, or down to it."""
    flight, slope = failure.flight, tan(radians(degrees))
    if slope <= 0:
        return
    if failure.survey is not None:
        yield rebuilt_to_rake(failure, degrees, steeper)
        return
    # at the angle the run is R / tan and there are H / (G tan) risers
    yield _run_kept(failure, float(flight.unit_rise) / slope, longer=not steeper)
    risers = float(flight.total_rise) / (float(flight.unit_run) * slope)
    if steeper:
        yield _divide(failure, range(floor(risers), max(floor(risers) - _MORE, 1), -1))
    else:
        fewest = ceil(risers - SAME)
        yield _divide(failure, range(fewest, fewest + _MORE))


def _step_formula(failure: Failure) -> Iterator[Ladder]:
    risers = failure.flight.risers
    run = float(failure.limit) - 2 * float(failure.section.exact["unit_rise"])
    yield _run_kept(failure, run, longer=failure.is_short)
    near = [risers + by * side for by in range(1, _MORE + 1) for side in (-1, 1)]
    yield _divide(failure, near)
    yield _same_total_run(failure, near)


def _flight_rise(failure: Failure) -> Iterator[Ladder]:
    yield [Proposal(f"Put a landing in: one flight may rise {failure.kept(failure.limit)}")]


def _riser_count(failure: Failure) -> Iterator[Ladder]:
    limit = int(failure.limit)
    if failure.is_short:
        counts = range(limit, limit + _MORE)
        yield _divide(failure, counts)
        yield _same_total_run(failure, counts)
        return
    yield _divide(failure, range(limit, max(limit - _MORE, 1), -1))
    yield [Proposal(f"Put a landing in: {limit} risers or fewer in one flight")]


def _riser_slope(failure: Failure) -> Iterator[Ladder]:
    words = f"Rake the risers back {float(failure.limit):g}° or less (now"
    words = f"{words} {failure.finding.value:g}°)"
    yield failure.sized(words, "section", "riser_slope", [failure.limit])


def _open_riser(failure: Failure) -> Iterator[Ladder]:
    """Thicker treads or strips under the nosings, or closed risers."""
    now = float(failure.flight.tread_thickness)
    least = failure.above(now + failure.over)
    text = "Make the treads, or a strip under each nosing, reach {} down"
    words = f"{text} (now {failure.about(now, least)})"
    yield failure.sized(words, "section", "tread_thickness", failure.marks(least))
    yield [Proposal("Close the risers", (Change("section", "open_risers", False),))]


def _side_gap(failure: Failure) -> Iterator[Ladder]:
    words = "Set the guard {} or less outside the tread ends"
    yield failure.sized(words, "section", "side_gap", [failure.below(failure.limit)])


STEPS = {
    "unit-rise-max": _unit_rise,
    "unit-rise-min": _unit_rise,
    "unit-run-min": _unit_run,
    "unit-run-max": _unit_run,
    "tread-depth-min": _tread_depth,
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
