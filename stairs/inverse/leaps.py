"""Leaps: where what a guard is made of changes, or what the ball in its opening touches.

Between values next to each other that were solved; what comes and goes between two of them is not
seen.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from fractions import Fraction
from functools import partial
from itertools import pairwise

from stairs.inverse.answer import Change, Contact, Rails
from stairs.inverse.search import closed_in_leap, marks_in
from stairs.inverse.span import Span
from stairs.inverse.trials import Trial, Trials

MOST_LEAPS = 8  # that are told of one answer
_LOOKED_AT = 64  # values at which it is looked what a ball touches


def leaps(trials: Trials, rows: Sequence[Sequence[Fraction]]) -> Iterator[Change]:
    """Where inside what passes a rail comes out otherwise, all checks being asked for."""
    told = 0
    if trials.goal.target is not None or trials.goal.check is not None:
        return
    for row in rows:
        for low, high in pairwise(row):
            before, after = rails_of(trials.at(low)), rails_of(trials.at(high))
            for place, (one, other) in enumerate(zip(before, after, strict=False)):
                if one != other:
                    if told == MOST_LEAPS:
                        return
                    told += 1
                    ends = closed_in_leap(trials, low, high, partial(_rail, place))
                    yield Change(*ends, one, other)


def rails_of(trial: Trial) -> tuple[Rails, ...]:
    """How the rails of a guard are made, bay by bay."""
    if trial.outcome is None:
        return ()
    return tuple(
        Rails(
            part.section.number,
            bay.number,
            bay.balusters,
            None if bay.trims.used is None else bay.trims.used.stock,
        )
        for part in trial.outcome.sections
        for bay in part.section.bays
    )


def _rail(place: int, trial: Trial) -> Rails | None:
    rails = rails_of(trial)
    return rails[place] if place < len(rails) else None


def contacts(trials: Trials, span: Span) -> Iterator[Contact]:
    """Where what the ball touches changes, one check of openings being asked for."""
    if not (trials.goal.check or "").startswith("opening-"):
        return
    marks = list(marks_in(span, span.low, span.high))
    step = max(1, len(marks) // _LOOKED_AT)
    inside = (one for one in trials.solved if span.low <= one <= span.high)
    values, told = sorted({*marks[::step], *inside}), 0
    for low, high in pairwise(values):
        if told == MOST_LEAPS:
            return
        before, after = touched(trials, trials.at(low)), touched(trials, trials.at(high))
        if before and after and _kinds(before) != _kinds(after):
            told += 1
            ends = closed_in_leap(trials, low, high, lambda one: _kinds(touched(trials, one)))
            yield Contact(*ends, before, after)


def touched(trials: Trials, trial: Trial) -> str:
    """Where the opening is that is told of the check, and what its ball touches."""
    if trial.outcome is None:
        return ""
    for findings in trial.outcome.findings:
        for one in findings:
            opening = None if one.measure is None else one.measure.opening
            if one.id == trials.goal.check and trials.goal.asks(one) and opening is not None:
                return f"{one.where}: {', '.join(map(str, opening.leans_on))}"
    return ""


def _kinds(text: str) -> str:
    """The same whichever of openings that are alike is told."""
    return re.sub("[0-9]+", "", text)
