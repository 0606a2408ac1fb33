"""Remedies: what to change, and by how much, where a check fails.

A remedy is a sentence with numbers in it and, where the job file can say it, the very changes to
make there.  Every such remedy has been tried before it is given: the changes were made, the whole
guard was solved again, and the check that failed then passed.  What else fails after it is said in
the same breath.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterable, Iterator
from fractions import Fraction
from functools import partial

from msgspec import Struct
from msgspec.structs import replace

from stairs.checks.checking import FAIL, Finding
from stairs.checks.window_marks import choose_gap
from stairs.errors import StairsError
from stairs.job import Job
from stairs.progress import at_work
from stairs.remedies.case import Case, Choice, Growing, Plan
from stairs.remedies.job_changes import Change, post_changes
from stairs.remedies.job_changes import apply as apply_changes
from stairs.remedies.measured_steps import MEASURED, is_measured
from stairs.remedies.parts import PARTS
from stairs.remedies.rail import RAIL, set_gap
from stairs.remedies.sizes import finer_tapes
from stairs.remedies.steps import STEPS
from stairs.remedies.trial_solve import (
    Bench,
    Outcome,
    Settled,
    depends_on_gap,
    may_depend_on_gap,
    moves_posts,
)

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
    at_work(f"section {finding.section}: what would mend {finding.title}")
    case = Case(finding, settled, bench)
    clean, costly, words = [], [], []
    for choice in _choices(case):
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


def _choices(case: Case) -> Iterator[Choice]:
    """All that may mend a failing check; what only rounding undoes is marked finer first."""
    if case.finding.fails_only_as_cut:
        if depends_on_gap(case.finding):
            yield from set_gap(case)
        yield _finer(case)
    maker = _MAKERS.get(case.finding.id)
    if is_measured(case):
        maker = MEASURED.get(case.finding.id, maker)
    if maker is not None:
        yield from maker(case)


def _finer(case: Case) -> Choice:
    """A finer tape, for guards that pass as drawn."""
    return [
        Plan(
            f"Cut and mark to {case.show(mark)} (now {case.show(case.tape)})",
            (Change("job", "tape", mark),),
        )
        for mark in finer_tapes(case.tape, case.job.units)
    ]


def _plainly(case: Case) -> str:
    """The limit said as what to do, where nothing better is known."""
    finding = case.finding
    if finding.ruling.kind in ("ball-smaller", "cube-smaller"):
        return f"Bring {finding.title} below {case.show(case.limit)}"
    if finding.unit == "length":
        return f"Bring {finding.title} to {case.kept(case.limit)}"
    limit = f"{float(case.limit):g}" + ("°" if finding.unit == "degrees" else "")
    word = "more" if finding.ruling.kind == "minimum" else "less"
    return f"Bring {finding.title} to {limit} or {word}"


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


class _Trial(Struct, frozen=True):
    """A plan that was tried: whether it mends, what else then fails, and what it leaves."""

    plan: Plan
    mends: bool
    costs: tuple[tuple[str, str], ...]
    after: Outcome


def _tried(case: Case, plan: Plan) -> Remedy | None:
    """The plan as a remedy, if it mends; with the posts that it moves, where it needs them moved.

    Notes
    -----
    Posts that the job leaves open are placed anew in a changed job.  What a plan's text says is
    true of the posts where they stand; so a plan that mends only with others tells those.
    """
    trial = _with_gap(case, plan, held=False)
    moved = trial is None or _moved(case, trial)
    if moved and not any(each.key == "posts" and each.value for each in plan.changes):
        held = None if moves_posts(plan.changes) else _with_gap(case, plan, held=True)
        if trial is not None and trial.mends:
            if held is None or not held.mends or len(held.costs) > len(trial.costs):
                trial = _telling(case, trial)
        elif held is not None and held.mends:
            trial = _staying(case, held)
    if trial is None or not trial.mends:
        return None
    text, costs = trial.plan.text, trial.costs
    if costs:
        names = " and ".join(dict.fromkeys(title for _, title in costs))
        text += f"; but then fails: {names}"
    return Remedy(text, trial.plan.changes, tuple(dict.fromkeys(check for check, _ in costs)))


def _far_enough(case: Case, plan: Plan) -> bool:
    """Whether a plan mends the check, or is more than can be built."""
    trial = _outcome(case, plan, held=True)
    return trial is None or trial.mends


def _outcome(case: Case, plan: Plan, held: bool) -> _Trial | None:
    """The plan tried; None where it cannot be built or changes nothing."""
    bench = case.bench
    try:
        job, after = bench.tried(plan.changes, case.index, held)
    except StairsError:
        return None
    if job == case.job:
        return None
    new = sorted(after.failing - bench.before.failing)
    costs = tuple((check, after.title(index, check)) for index, check in new)
    return _Trial(plan, (case.index, case.finding.id) not in after.failing, costs, after)


def _with_gap(case: Case, plan: Plan, held: bool) -> _Trial | None:
    """The plan tried, with the bottom gap set inside the window that it leaves where that helps.

    Notes
    -----
    The window is asked for last: a gap at which no check of the rail fails is in it, and where
    nothing that fails has to do with the rail no other gap helps.
    """
    trial = _outcome(case, plan, held)
    stays = plan.keeps_gap or any(change.key == "bottom_gap" for change in plan.changes)
    if trial is None or stays or (trial.mends and not trial.costs):
        return trial
    failing = [check for check, _ in trial.costs] if trial.mends else [case.finding.id]
    settled, findings = trial.after.sections[case.index], trial.after.findings[case.index]
    if settled.chosen or not any(map(may_depend_on_gap, failing)):
        return trial
    if not any(found.verdict == FAIL and depends_on_gap(found) for found in findings):
        return trial
    window = settled.window
    if window.empty or window.holds(settled.section.exact["bottom_gap"]):
        return trial
    new = choose_gap(window, case.tape)
    if (new / case.tape).denominator != 1:
        return trial
    also = f", and set the bottom gap to {case.show(new)}"
    changes = (*plan.changes, Change("section", "bottom_gap", Fraction(new)))
    where_moved = f"{plan.where_moved}{also}" if plan.where_moved else ""
    what, then, posts = plan.text.partition("; posts then")
    text = f"{what}{also}{then}{posts}"
    again = _outcome(case, Plan(text, changes, where_moved=where_moved), held)
    if again is None or not again.mends or (trial.mends and len(again.costs) >= len(trial.costs)):
        return trial
    return again


def _moved(case: Case, trial: _Trial) -> list[int]:
    """Sections whose posts stand elsewhere after a trial."""
    return [
        index
        for index, part in enumerate(trial.after.sections[: len(case.job.sections)])
        if part.job.sections[index].posts != case.bench.posts_now(index)
    ]


def _telling(case: Case, trial: _Trial) -> _Trial:
    """The trial with the places of its posts in the text."""
    told = []
    for index in _moved(case, trial):
        places = map(case.show, trial.after.sections[index].job.sections[index].posts)
        of = "" if index == case.index else f" of section {index + 1}"
        told.append(f"posts{of} then at x = {', '.join(places)}")
    text = "; ".join((trial.plan.where_moved or trial.plan.text, *told))
    return replace(trial, plan=replace(trial.plan, text=text))


def _staying(case: Case, trial: _Trial) -> _Trial | None:
    """The trial with the posts written down as they stand, where it mends like that."""
    record = case.record
    if case.section.line.opposite_of or record.posts is not None:
        return None
    plan = trial.plan
    posts = case.bench.posts_now(case.index)
    text = f"{plan.text}, the posts left at x = {', '.join(map(case.show, posts))}"
    changes = (*plan.changes, *post_changes(record, posts))
    return _outcome(case, replace(plan, text=text, changes=changes), held=False)
