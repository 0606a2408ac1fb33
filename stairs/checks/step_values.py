"""What rules ask of the steps of a flight: the greatest, the least, or the difference of two."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from enum import Enum
from fractions import Fraction
from itertools import pairwise

from stairs.checks.measure import rational
from stairs.openings.opening import OPEN_RISER
from stairs.parts.survey import Survey
from stairs.relations.exact import Amount

Bounds = tuple[float, float]
"""The lowest and the highest that measuring error may make of a result, in its unit."""


class Taken(Enum):
    """What is taken of the sizes of all steps."""

    MOST = "most"
    LEAST = "least"
    SPREAD = "spread"
    ADJACENT = "adjacent"

    def of(self, sizes: Sequence[Amount]) -> Amount:
        """It, of one size or more, in their unit.

        Examples
        --------
        >>> sizes = [Fraction(7), Fraction(8), Fraction(10)]
        >>> print(Taken.SPREAD.of(sizes), Taken.ADJACENT.of(sizes))
        3 2
        """
        if self is Taken.ADJACENT:
            pairs = pairwise(map(rational, sizes))
            return max((abs(one - other) for one, other in pairs), default=Fraction(0))
        most, least = max(sizes, key=float), min(sizes, key=float)
        if self is Taken.SPREAD:
            return rational(most) - rational(least)
        return most if self is Taken.MOST else least

    def within(self, bounds: Sequence[Bounds]) -> Bounds:
        """Its bounds, from those of each step."""
        lows, highs = zip(*bounds, strict=True)
        if self is Taken.MOST:
            return max(lows), max(highs)
        if self is Taken.LEAST:
            return min(lows), min(highs)
        # errors do not add up over steps: two of them make a difference; where two neighbours
        # share a reading, it moves them against each other as much as two would
        places = range(len(bounds))
        pairs: Iterable[tuple[int, int]] = pairwise(places)
        if self is Taken.SPREAD:
            # the extreme two, so that one of each is not the other's
            top = sorted(places, key=highs.__getitem__, reverse=True)[:2]
            pairs = (
                (one, other) for one in top for other in sorted(places, key=lows.__getitem__)[:2]
            )
        apart = [
            max(highs[one] - lows[other], highs[other] - lows[one])
            for one, other in pairs
            if one != other
        ]
        return 0.0, max(apart, default=0.0)


OF_STEPS = {
    "unit-rise-max": ("rise", Taken.MOST),
    "unit-rise-min": ("rise", Taken.LEAST),
    "unit-run-max": ("run", Taken.MOST),
    "unit-run-min": ("run", Taken.LEAST),
    "tread-depth-min": ("tread depth", Taken.LEAST),
    "step-formula-max": ("step sum", Taken.MOST),
    "step-formula-min": ("step sum", Taken.LEAST),
    "riser-uniformity": ("rise", Taken.SPREAD),
    "riser-uniformity-adjacent": ("rise", Taken.ADJACENT),
    "tread-uniformity": ("run", Taken.SPREAD),
    "tread-uniformity-adjacent": ("run", Taken.ADJACENT),
}
"""Which of :func:`stairs.parts.flight.steps_of` a check is of, and what of these sizes."""

_RESULTS = {**OF_STEPS, OPEN_RISER: ("open riser", Taken.MOST)}
"""The same of every result that is taken of the steps: the opening has its kind for a key."""


def step_meant(check: str, survey: Survey | None) -> str:
    """The riser or tread that a check is about, or two; empty where all steps are alike."""
    sizes_name, taken = OF_STEPS.get(check, ("", Taken.ADJACENT))
    if (
        survey is None
        or taken is Taken.ADJACENT
        or sizes_name not in ("rise", "run", "tread depth")
    ):
        return ""
    step, sizes = ("riser", survey.rises) if sizes_name == "rise" else ("tread", survey.runs)
    if taken is Taken.SPREAD:
        low, high = sorted((sizes.index(min(sizes)) + 1, sizes.index(max(sizes)) + 1))
        return f"{step}s {low} and {high}" if low < high else ""
    reached = taken.of(sizes)
    return f"{step} {sizes.index(reached) + 1}" if sizes.count(reached) < len(sizes) else ""


def bounds_of_steps(bounds: Mapping[object, Bounds]) -> dict[str, Bounds]:
    """How far off what is taken of all steps may be, from how far off each of them may be.

    ``bounds`` are those of the results of a measured flight, in which each size of each step stands
    by its name and its number from 0; of any other section nothing comes out.

    Examples
    --------
    >>> bounds_of_steps({("rise", 0): (6, 8), ("rise", 1): (5, 9)})["riser-uniformity"]
    (0.0, 3)
    """
    found = {}
    for check, (name, taken) in _RESULTS.items():
        steps: list[Bounds] = []
        while (name, len(steps)) in bounds:
            steps.append(bounds[name, len(steps)])
        if steps:
            found[check] = taken.within(steps)
    return found
