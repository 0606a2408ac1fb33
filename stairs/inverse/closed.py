"""Closed forms turned round: the value of a key at which what is wanted comes out, told at once.

Where what decides is a closed form with the key in one of its inputs, the form is solved for that
input (:mod:`stairs.relations.inverse`).  What comes of it is tried like any other value.
"""

from __future__ import annotations

from fractions import Fraction

from stairs.inverse.goal import Goal, Miss
from stairs.inverse.trials import Trial
from stairs.relations.exact import Amount, Derived
from stairs.relations.inverse import solve_for


def in_closed_form(goal: Goal, ends: tuple[Trial, Trial], miss: Miss) -> Fraction | None:
    """The only value between two at which a number crosses its limit; None where no form tells.

    ``miss`` is what is missed at one of the two and not at the other.
    """
    amounts = [amount_of_miss(goal, trial, miss) for trial in ends]
    first, last = amounts
    limit = goal.target.value if goal.target is not None else None
    if limit is None and miss.finding is not None:
        limit = miss.finding.ruling.exact_limit
    if limit is None or not (isinstance(first, Derived) and isinstance(last, Derived)):
        return None
    given, others = dict(first.arguments), dict(last.arguments)
    moved = [name for name in given if given[name] != others.get(name)]
    if first.form != last.form or len(moved) != 1:
        return None
    at = given.pop(moved[0]), others[moved[0]]
    if not (isinstance(at[0], Fraction) and isinstance(at[1], Fraction)):
        return None
    found = []
    for root in solve_for(moved[0], first.form, limit, given).taken:
        input_there = root.exact if isinstance(root.exact, Fraction) else root.value
        if input_there is None:
            continue
        # of most keys the input is a multiple, and something more
        share = (Fraction(input_there) - at[0]) / (at[1] - at[0])
        if 0 <= share <= 1:
            found.append(ends[0].value + share * (ends[1].value - ends[0].value))
    return found[0] if len(found) == 1 else None


def amount_of_miss(goal: Goal, trial: Trial, miss: Miss) -> Amount | None:
    """What is told of a miss, exactly, in a guard that may keep it; None where it is no amount."""
    if trial.outcome is None or not miss.section:
        return None
    if goal.target is not None and goal.target.result is not None:
        section = trial.outcome.sections[miss.section - 1].section
        for where, number in goal.target.result.read_off(section, goal.target.nth):
            if where == miss.where:
                return number if isinstance(number, Fraction | Derived) else None
        return None
    for one in trial.outcome.findings[miss.section - 1]:
        if one.id == miss.id and one.measure is not None:
            opening = one.measure.opening
            return one.measure.amount if opening is None else opening.closed_form
    return None
