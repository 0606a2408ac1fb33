"""Remedies for a measured flight: which of its steps to build anew, and to what size.

A flight that was measured nosing by nosing stands already, and so do the floors below and above it:
whatever is rebuilt, the risers add up to the same rise.  No job file can move one of its steps, so
these remedies are words, and none is tried: rebuilt steps have to be measured again anyway.  Every
step that breaks the rule is named, not only the worst, and so is what else a rebuilt step breaks.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from functools import partial
from itertools import accumulate, pairwise

from stairs.checks.step_values import OF_STEPS
from stairs.lengths.tape_marks import ceil_to_mark
from stairs.parts.flight import steps_of
from stairs.relations.exact import compare
from stairs.remedies.failure import Failure, Ladder, Proposal

Sizes = Sequence[Fraction]


def _breaking(failure: Failure, sizes: Sizes, limit: Fraction) -> list[int]:
    """Numbers, from 1, of the steps that break a limit; at least one, as the check fails by it."""
    short = failure.is_short
    return [k for k, size in enumerate(sizes, 1) if (size < limit if short else size > limit)]


def _in_a_row(words: Sequence[str]) -> str:
    return " and ".join(filter(None, [", ".join(words[:-1]), words[-1]]))


def _named(thing: str, numbers: Sequence[int]) -> str:
    """Some steps by their numbers."""
    return f"{thing}{'s' if len(numbers) > 1 else ''} {_in_a_row([str(k) for k in numbers])}"


def even(total: Fraction, count: int, tape: Fraction) -> tuple[Fraction, ...]:
    """A rise in so many risers, on the marks of a tape and at most one mark apart, as it can be.

    Examples
    --------
    >>> [str(riser) for riser in even(Fraction(23), 3, Fraction(1))]
    ['8', '8', '7']
    """
    heights = [ceil_to_mark(total * below / count, tape) for below in range(count)]
    return tuple(high - low for low, high in pairwise([*heights, total]))


def rebuilt_risers(
    rises: Sizes, least: Fraction, most: Fraction, tape: Fraction
) -> tuple[Fraction, ...] | None:
    """Risers between two limits that add up to the same rise, the fewest treads moved.

    All in one unit; None where so many risers cannot be made of the rise.  Between two treads that
    stay as they are, the rise is divided evenly.  Which stay is the shortest path from floor to
    floor; of equally short ones the most even.

    Examples
    --------
    The riser of 140 and the one above it share their rise, so that one tread is moved:

    >>> found = rebuilt_risers([160, 140, 165, 160], Fraction(150), Fraction(170), Fraction(1))
    >>> [str(riser) for riser in found], 160 + 140 + 165 + 160
    (['160', '153', '152', '160'], 625)
    """
    heights = list(accumulate(rises, initial=Fraction(0)))
    best: list[tuple[int, Fraction, tuple[Fraction, ...]] | None] = [(0, Fraction(0), ())]
    for end in range(1, len(heights)):
        found = []
        for start in range(end):
            before, count = best[start], end - start
            rise = heights[end] - heights[start]
            if before is None or not least * count <= rise <= most * count:
                continue
            new = even(rise, count, tape) if count > 1 else (rise,)
            if not all(least <= riser <= most for riser in new):
                new = (rise / count,) * count  # the marks are too coarse for these limits
            squares = sum((riser * riser for riser in new), before[1])
            found.append((before[0] + count - 1, squares, (*before[2], *new)))
        best.append(min(found, default=None))
    last = best[-1]
    return None if last is None else last[2]


def _limits(failure: Failure, total: Fraction) -> tuple[Fraction, Fraction]:
    """The least and the greatest that the rules allow of a riser; no more than the whole rise."""
    least = failure.rule_for("unit-rise-min", failure.section)
    most = failure.rule_for("unit-rise-max", failure.section)
    return least.limit if least else Fraction(0), most.limit if most else total


def _risers(failure: Failure) -> Iterator[Ladder]:
    survey = failure.measured
    numbers = _breaking(failure, survey.rises, failure.limit)
    sizes = _in_a_row([failure.about(survey.rises[k - 1], failure.limit) for k in numbers])
    verb = "is" if len(numbers) == 1 else "are"
    text = f"Rebuild {_named('riser', numbers)}, which {verb} {sizes}, to"
    text = f"{text} {failure.kept(failure.limit)}"
    total, count = sum(survey.rises, Fraction(0)), len(survey.rises)
    least, most = _limits(failure, total)
    fewest = rebuilt_risers(survey.rises, least, most, failure.tape)
    if fewest is None:
        yield [Proposal(_divided_anew(failure, total, count, least, most))]
        return
    for rises in dict.fromkeys((fewest, even(total, count, failure.tape))):
        if not all(least <= rise <= most for rise in rises):
            continue
        moved = [k for k, pair in enumerate(zip(rises, survey.rises, strict=True), 1)
                 if pair[0] != pair[1]]  # fmt: skip
        news = _in_a_row([failure.show(rises[k - 1]) for k in moved])
        if len({rises[k - 1] for k in moved}) == 1:
            news = f"{failure.show(rises[moved[0] - 1])} each"
        floors = f"with the floors where they are, {_named('riser', moved)} become {news}"
        costs = _costs(failure, rises, survey.runs)
        yield [Proposal(f"{text}: {floors}{costs}")]
        if not costs:
            return


def _divided_anew(
    failure: Failure, total: Fraction, count: int, least: Fraction, most: Fraction
) -> str:
    """Other risers of the same rise, where so many cannot be kept within the limits."""
    rise = failure.about(total)
    for risers in sorted(range(2, 4 * count), key=lambda other: abs(other - count)):
        if least <= total / risers <= most:
            return (
                f"Rebuild the flight with {risers} risers of {failure.show(total / risers)}: the "
                f"rise of {rise} cannot be made of {count} that are {failure.kept(failure.limit)}"
            )
    return f"Rebuild the flight: no risers of one size keep the rules on a rise of {rise}"


def _runs(failure: Failure, limit: Fraction) -> Ladder:
    survey = failure.measured
    numbers = _breaking(failure, survey.runs, limit)
    sizes = _in_a_row([failure.about(survey.runs[k - 1], limit) for k in numbers])
    verb = "run is" if len(numbers) == 1 else "runs are"
    text = f"Rebuild {_named('tread', numbers)}, whose {verb} {sizes}, to {failure.kept(limit)}"
    kept = failure.above(limit) if failure.is_short else failure.below(limit)
    runs = tuple(kept if k in numbers else run for k, run in enumerate(survey.runs, 1))
    return [Proposal(text + _costs(failure, survey.rises, runs))]


def _costs(failure: Failure, rises: Sizes, runs: Sizes) -> str:
    """What of other steps fails that passes now, or by more than now, in words after a text."""
    survey, flight = failure.measured, failure.flight
    now = steps_of(survey.rises, survey.runs, flight)
    then = steps_of(rises, runs, flight)
    new: list[str] = []
    more: list[str] = []
    for check, (sizes, taken) in OF_STEPS.items():
        rule = failure.rule_for(check, failure.section)
        if rule is None or check == failure.finding.id or not then[sizes]:
            continue
        side = -1 if rule.limit_kind == "minimum" else 1
        value, before = taken.of(then[sizes]), taken.of(now[sizes])
        if compare(value, rule.limit) * side <= 0 or compare(value, before) * side <= 0:
            continue
        word = "most" if side > 0 else "least"
        words = f"{rule.about.label} ({failure.about(value)}, at {word} {failure.show(rule.limit)})"
        (new if compare(before, rule.limit) * side <= 0 else more).append(words)
    text = f"; but then fails: {' and '.join(new)}" if new else ""
    return text + (f"; then fails by more: {' and '.join(more)}" if more else "")


def _treads(failure: Failure) -> Iterator[Ladder]:
    yield _runs(failure, failure.limit)


def longer_nosing(failure: Failure) -> Ladder:
    """Nosings that make every tread as deep as is asked, also of a stair that stands."""
    nosing = failure.exact("nosing")
    words = f"Make the nosing {{}} or more (now {failure.show(nosing)})"
    return failure.sized(words, "section", "nosing", [failure.above(failure.over) + nosing])


def _tread_depth(failure: Failure) -> Iterator[Ladder]:
    yield longer_nosing(failure)
    yield _runs(failure, failure.limit - failure.exact("nosing"))


def _step_formula(failure: Failure) -> Iterator[Ladder]:
    """Risers alike, as the floors stay, on runs that go with them."""
    # the riser over each tread counts with the tread's run, as in the check
    survey = failure.measured
    sums = [2 * rise + run for rise, run in zip(survey.rises[1:], survey.runs, strict=False)]
    numbers = _breaking(failure, sums, failure.limit)
    worst = min if failure.is_short else max
    tread = worst(numbers, key=lambda k: sums[k - 1])
    rest = f", and {len(numbers) - 1} more" if len(numbers) > 1 else ""
    size = failure.about(sums[tread - 1], failure.limit)
    rise = sum(survey.rises, Fraction(0)) / len(survey.rises)
    run = failure.limit - 2 * rise
    kept = failure.above(run) if failure.is_short else failure.below(run)
    runs = tuple((max if failure.is_short else min)(kept, now) for now in survey.runs)
    yield [
        Proposal(
            f"Rebuild tread {tread} and riser {tread + 1}{rest}: two rises and a run make {size} "
            f"there, and have to make {failure.kept(failure.limit)}; with the floors where they "
            f"are, that takes risers of {failure.show(rise)} and runs of {failure.kept(run)}"
            + _costs(failure, (rise,) * len(survey.rises), runs)
        )
    ]


def rebuilt_to_rake(failure: Failure, degrees: float, steeper: bool) -> Ladder:
    """A stair of another rake in the place of the one that stands, in words."""
    survey, word = failure.measured, "or more" if steeper else "or less"
    run = failure.about(float(failure.flight.total_run))
    steps = f"{len(survey.rises)} risers on {run} of run"
    return [
        Proposal(
            f"Rebuild the steps so that the line over their nosings lies at {degrees:g}° "
            f"{word} (now {failure.section.rake:.1f}°, {steps})"
        )
    ]


def _rake(failure: Failure) -> Iterator[Ladder]:
    yield rebuilt_to_rake(failure, float(failure.limit), failure.is_short)


def _riser_count(failure: Failure) -> Iterator[Ladder]:
    limit = int(failure.limit)
    text = f"Put a landing in: {limit} risers or fewer in one flight"
    if failure.is_short:
        text = f"Rebuild the flight with {limit} risers or more"
    yield [Proposal(text)]


def _uneven(failure: Failure, risers: bool) -> Iterator[Ladder]:
    """The step that is farthest from the others, which are all to be as they are on average."""
    steps = failure.measured.rises if risers else failure.measured.runs
    mean = sum(steps, Fraction(0)) / len(steps)
    worst = max(range(len(steps)), key=lambda place: abs(steps[place] - mean))
    name = f"riser {worst + 1}" if risers else f"the run of tread {worst + 1}"
    yield [
        Proposal(
            f"Rebuild the steps to {failure.about(mean)} each: {name} is "
            f"{failure.about(steps[worst], mean)}, and they may differ by "
            f"{failure.show(failure.limit)}"
        )
    ]


MEASURED: dict[str, Callable[[Failure], Iterator[Ladder]]] = {
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
    "riser-uniformity": partial(_uneven, risers=True),
    "riser-uniformity-adjacent": partial(_uneven, risers=True),
    "tread-uniformity": partial(_uneven, risers=False),
    "tread-uniformity-adjacent": partial(_uneven, risers=False),
}
"""Makers of remedies by the name of the check, where they differ from those of a stair to be
built."""
