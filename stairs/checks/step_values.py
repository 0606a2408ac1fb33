"""What rules ask of the steps of a flight: the greatest, the least, or the difference of two."""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum
from fractions import Fraction
from itertools import pairwise

from stairs.checks.measure import Place, rational
from stairs.parts.survey import Survey
from stairs.relations.exact import Amount


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


def step_meant(check: str, survey: Survey | None) -> Place | None:
    """The riser or tread that a check is about, or two; None where all steps are alike."""
    sizes_name, taken = OF_STEPS.get(check, ("", Taken.ADJACENT))
    if (
        survey is None
        or taken is Taken.ADJACENT
        or sizes_name not in ("rise", "run", "tread depth")
    ):
        return None
    step, sizes = ("riser", survey.rises) if sizes_name == "rise" else ("tread", survey.runs)
    if taken is Taken.SPREAD:
        low, high = sorted((sizes.index(min(sizes)) + 1, sizes.index(max(sizes)) + 1))
        return Place(step, (low, high)) if low < high else None
    reached = taken.of(sizes)
    return Place(step, (sizes.index(reached) + 1,)) if sizes.count(reached) < len(sizes) else None
