"""Remedies: what to change, and by how much, where a check fails.

A remedy is a sentence with numbers in it and, where the job file can say it, the very changes to
make there.  Every such remedy has been tried before it is given: the changes were made, the whole
guard was solved again, and the check that failed then passed.  What else fails after it is said in
the same breath.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterable
from fractions import Fraction
from functools import partial

from msgspec import Struct

from stairs.changes import Change
from stairs.changes import apply as apply_changes
from stairs.checks import FAIL, Finding
from stairs.errors import StairsError
from stairs.job import Job
from stairs.remedies_measured import MEASURED, is_measured
from stairs.remedies_parts import PARTS
from stairs.remedies_rail import RAIL, set_gap
from stairs.remedies_steps import STEPS
from stairs.remedy_case import Case, Choice, Growing, Plan
from stairs.trial import Bench, Outcome, Settled, depends_on_gap, may_depend_on_gap
from stairs.window_marks import choose_gap

MOST = 5
"""How many remedies are given for one failing check."""

Maker = Callable[[Case], Iterable[Choice]]
_MAKERS: dict[str, Maker] = {**RAIL, **STEPS, **PARTS}


class Remedy(Struct, frozen=True):
    """One way to make a failing check pass.

    Parameters
    ----------
    text : str
        What to do, with numbers.
    changes : tuple of Change
        The same in the job file; empty where the job file cannot say it.
    costs : tuple of str
        Names of the checks that pass now and fail after it; the text says so too.
    """

    text: str
    changes: tuple[Change, ...] = ()
    costs: tuple[str, ...] = ()


def apply(job: Job, remedy: Remedy, section_index: int) -> Job:
    """The job with a remedy's changes made, read again as from its file.

    Parameters
    ----------
    job : stairs.job.Job
        As read.
    remedy : Remedy
        With changes.
    section_index : int
        The section of the check that it mends, from 0.
    """
    return apply_changes(job, remedy.changes, section_index)


def remedies_for(
    finding: Finding, settled: Settled, bench: Bench, most: int = MOST
) -> tuple[Remedy, ...]:
    """Ways to make a failing check pass, the least work first.

    Parameters
    ----------
    finding : Finding
        That fails, as drawn or as it will be cut; any other has no remedy.
    settled : Settled
        Its section.
    bench : Bench
        Of the job as read.
    most : int
        After so many that cost nothing the search ends; the first is the same whatever it is.

    Returns
    -------
    tuple of Remedy
        At least one for a failing check.  Those that make another check fail come last, and only
        where fewer than two do without.
    """
    if not finding.fails:
        return ()
    case = Case(finding, settled, bench)
    if finding.fails_only_as_cut:
        return _off_the_limit(case)
    clean, costly, words = [], [], []
    maker = _MAKERS.get(finding.id)
    if is_measured(case):
        maker = MEASURED.get(finding.id, maker)
    for choice in maker(case) if maker else []:
        if not choice:
            continue
        if not choice[0].changes:
            words.append(Remedy(choice[0].text))
            continue
        remedy = _first(case, choice)
        if remedy is not None:
            same = [other.changes for other in (*clean, *costly)]
            if remedy.changes not in same:
                (costly if remedy.costs else clean).append(remedy)
        if len(clean) == most:
            break
    found = clean if len(clean) >= 2 else [*clean, *costly[: 3 - len(clean)]]
    if len(found) < 2:
        found = [*found, *words[: MOST - len(found)]]
    return tuple(found) or (Remedy(_plainly(case)),)


def _off_the_limit(case: Case) -> tuple[Remedy, ...]:
    """What to do where the guard passes as drawn, and rounding to the tape undoes it."""
    choices = set_gap(case) if depends_on_gap(case.finding) else []
    found = [remedy for choice in choices if (remedy := _first(case, choice)) is not None]
    return (*found, Remedy(f"Cut and mark finer than to {case.show(case.tape)}"))


def _plainly(case: Case) -> str:
    """The limit said as what to do, where nothing better is known."""
    finding = case.finding
    if finding.unit == "length":
        limit = case.show(case.limit)
    else:
        limit = f"{float(case.limit):g}" + ("°" if finding.unit == "degrees" else "")
    word = {"minimum": "or more", "ball-smaller": "at least a mark less than"}.get(finding.kind)
    if finding.kind in ("ball-smaller", "cube-smaller"):
        return f"Bring {finding.title} below {limit}"
    return f"Bring {finding.title} to {limit} {word or 'or less'}"


def _first(case: Case, choice: Choice) -> Remedy | None:
    """The first plan that mends without a new failure, or else the first that mends."""
    fallback = None
    if isinstance(choice, Growing):  # those before the first that mends need no trial each
        enough = partial(_far_enough, case)
        choice = choice[bisect_left(choice, True, key=enough) :] if enough(choice[-1]) else []
    for plan in choice:
        remedy = _tried(case, plan)
        if remedy is None:
            continue
        if not remedy.costs:
            return remedy
        if fallback is None or len(remedy.costs) < len(fallback.costs):
            fallback = remedy
    return fallback


def _tried(case: Case, plan: Plan) -> Remedy | None:
    """The plan as a remedy, if it mends; with the bottom gap set anew where that helps."""
    as_it_is = _outcome(case, plan)
    if as_it_is is None:
        return None
    mends, costs, after = as_it_is
    stays = plan.keeps_gap or any(change.key == "bottom_gap" for change in plan.changes)
    if (not mends or costs) and not stays:
        failing = [check for check, _ in costs] if mends else [case.finding.id]
        again = _with_gap(case, plan, after, failing)
        if again is not None:
            with_gap, outcome = again
            if outcome[0] and (not mends or len(outcome[1]) < len(costs)):
                plan, (mends, costs, _) = with_gap, outcome
    if not mends:
        return None
    text = plan.text
    if costs:
        names = " and ".join(dict.fromkeys(title for _, title in costs))
        text += f"; but then fails: {names}"
    return Remedy(text, plan.changes, tuple(dict.fromkeys(check for check, _ in costs)))


def _far_enough(case: Case, plan: Plan) -> bool:
    """Whether a plan mends the check, or is more than can be built."""
    outcome = _outcome(case, plan)
    return outcome is None or outcome[0]


def _outcome(case: Case, plan: Plan):
    """Whether a plan mends the check, what it costs, and the section that it leaves."""
    try:
        job, after = case.bench.tried(plan.changes, case.index)
    except StairsError:
        return None
    if job == case.job:
        return None
    before = case.bench.before.failing
    costs = [(check, after.title(index, check)) for index, check in sorted(after.failing - before)]
    mends = (case.index, case.finding.id) not in after.failing
    return mends, costs, after


def _with_gap(case: Case, plan: Plan, after: Outcome, failing: Iterable[str]):
    """The plan and a bottom gap inside the window that it leaves, where the job states a gap.

    Notes
    -----
    The window is asked for last: a gap at which no check of the rail fails is in it, and where
    nothing that fails has to do with the rail no other gap helps.
    """
    settled, findings = after.sections[case.index], after.findings[case.index]
    if settled.chosen or not any(map(may_depend_on_gap, failing)):
        return None
    if not any(found.verdict == FAIL and depends_on_gap(found) for found in findings):
        return None
    gap = settled.section.exact["bottom_gap"]
    window = settled.window
    if window.empty or window.holds(gap):
        return None
    new = choose_gap(window, case.tape)
    if (new / case.tape).denominator != 1:
        return None
    text = f"{plan.text}, and set the bottom gap to {case.show(new)}"
    with_gap = Plan(text, (*plan.changes, Change("section", "bottom_gap", Fraction(new))))
    outcome = _outcome(case, with_gap)
    return None if outcome is None else (with_gap, outcome)
