"""Remedies: what to change, and by how much, where a check fails.

A remedy is a sentence with numbers in it and, where the job file can say it, the very changes to
make there.  Every such remedy has been tried before it is given: the changes were made, the whole
guard was solved again, and the check that failed then passed.  What else fails after it, or fails
by more, is said in the same breath.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterator
from functools import partial

from msgspec import Struct
from msgspec.structs import replace

from stairs.checks.finding import FAIL, Finding
from stairs.checks.measure import rational
from stairs.checks.window_marks import choose_gap
from stairs.errors import StairsError
from stairs.job import Job
from stairs.job.as_built import MOVED_CAUTION
from stairs.progress import at_work
from stairs.remedies.costs import NOTHING, Costs, costs_of
from stairs.remedies.failure import Failure, Growing, Ladder, Proposal
from stairs.remedies.job_changes import Change, post_changes
from stairs.remedies.job_changes import apply as apply_changes
from stairs.remedies.measured_steps import MEASURED
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

_MAKERS: dict[str, Callable[[Failure], Iterator[Ladder]]] = {**RAIL, **STEPS, **PARTS}


class Remedy(Struct, frozen=True):
    """One way to make a failing check pass: what to do, with numbers, and what it costs.

    The changes say the same in the job file; there are none where the job file cannot say it.
    """

    text: str
    changes: tuple[Change, ...] = ()
    costs: Costs = NOTHING


def apply(job: Job, remedy: Remedy, section_index: int) -> Job:
    """The job with a remedy's changes made in a section, from 0, read again as from its file."""
    return apply_changes(job, remedy.changes, section_index)


def remedies_for(
    finding: Finding, settled: Settled, bench: Bench, most: int = MOST
) -> tuple[Remedy, ...]:
    """Ways to make a failing check pass, the least work first; none for one that passes.

    Those that make another check fail, or fail by more, come last, and only where fewer than two do
    without.  After ``most`` that cost nothing the search ends; the first is the same whatever it
    is.
    """
    if not finding.fails:
        return ()
    at_work(f"section {finding.section}: what would mend {finding.title}")
    failure = Failure(finding, settled, bench)
    clean: list[Remedy] = []
    costly: list[Remedy] = []
    words: list[Remedy] = []
    for ladder in _ladders(failure):
        if ladder and not ladder[0].changes:
            words.append(Remedy(ladder[0].text))
            continue
        remedy = _first(failure, ladder)
        known = [other.changes for other in (*clean, *costly)]
        if remedy is not None and remedy.changes not in known:
            (costly if remedy.costs else clean).append(remedy)
        if len(clean) == most:
            break
    found = clean if len(clean) >= 2 else [*clean, *costly[: 3 - len(clean)]]
    if len(found) < 2:
        found = [*found, *words[: MOST - len(found)]]
    return tuple(found) or (Remedy(_plainly(failure)),)


def _ladders(failure: Failure) -> Iterator[Ladder]:
    """All that may mend a failing check; what only rounding undoes is marked finer first."""
    finding, now = failure.finding, failure.show(failure.tape)
    if finding.fails_only_as_cut:
        if depends_on_gap(finding):
            yield from set_gap(failure)
        tapes = finer_tapes(failure.tape, failure.job.units)
        yield failure.sized(f"Cut and mark to {{}} (now {now})", "job", "tape", tapes)
    maker = _MAKERS.get(finding.id)
    if failure.survey is not None:
        maker = MEASURED.get(finding.id, maker)
    if maker is not None:
        yield from maker(failure)


def _plainly(failure: Failure) -> str:
    """The limit said as what to do, where nothing better is known."""
    finding = failure.finding
    if finding.ruling.kind in ("ball-smaller", "cube-smaller"):
        return f"Bring {finding.title} below {failure.show(failure.limit)}"
    if finding.unit == "length":
        return f"Bring {finding.title} to {failure.kept(failure.limit)}"
    limit = f"{float(failure.limit):g}" + ("°" if finding.unit == "degrees" else "")
    return f"Bring {finding.title} to {limit} or {'more' if failure.is_short else 'less'}"


class _Trial(Struct, frozen=True):
    """A proposal that was tried: whether it mends, what it costs, and what it leaves."""

    proposal: Proposal
    mends: bool
    costs: Costs
    after: Outcome


def _first(failure: Failure, ladder: Ladder) -> Remedy | None:
    """The first proposal that mends and costs nothing, or else the one that costs the least."""
    found: list[_Trial] = []
    if isinstance(ladder, Growing):  # those before the first that mends need no trial each
        enough = partial(_far_enough, failure)
        ladder = ladder[bisect_left(ladder, True, key=enough) :] if enough(ladder[-1]) else []
    for proposal in ladder:
        trial = _tried(failure, proposal)
        if trial is not None:
            found.append(trial)
            if not trial.costs:
                break
    if not found:
        return None
    best = min(found, key=lambda trial: len(trial.costs))
    text = f"{best.proposal.text}{best.proposal.then}{best.costs.told}"
    if failure.record.as_built and any(each.key == "posts" for each in best.proposal.changes):
        text += f". The posts are set: {MOVED_CAUTION}"
    return Remedy(text, best.proposal.changes, best.costs)


def _tried(failure: Failure, proposal: Proposal) -> _Trial | None:
    """The proposal tried, if it mends; with the posts that it moves, where it needs them moved."""
    # Posts that the job leaves open are placed anew in a changed job.  What the text says is true
    # of the posts where they stand; so one that mends only with others tells those.
    trial = _with_gap(failure, proposal, held=False)
    moved = trial is None or _moved(failure, trial)
    if moved and not any(each.key == "posts" and each.value for each in proposal.changes):
        held = None if moves_posts(proposal.changes) else _with_gap(failure, proposal, held=True)
        if trial is not None and trial.mends:
            if held is None or not held.mends or len(held.costs) > len(trial.costs):
                trial = _telling(failure, trial)
        elif held is not None and held.mends:
            trial = _staying(failure, held)
    return trial if trial is not None and trial.mends else None


def _far_enough(failure: Failure, proposal: Proposal) -> bool:
    """Whether a proposal mends the check, or is more than can be built."""
    trial = _outcome(failure, proposal, held=True)
    return trial is None or trial.mends


def _outcome(failure: Failure, proposal: Proposal, held: bool) -> _Trial | None:
    """The proposal tried; None where it cannot be built or changes nothing."""
    try:
        job, after = failure.bench.tried(proposal.changes, failure.index, held)
    except StairsError:
        return None
    if job == failure.job:
        return None
    mends = (failure.index, failure.finding.id) not in after.failing
    return _Trial(proposal, mends, costs_of(failure.bench.before, after), after)


def _with_gap(failure: Failure, proposal: Proposal, held: bool) -> _Trial | None:
    """The proposal tried, with the bottom gap set inside the window that it leaves if that helps.

    The window is asked for last: a gap at which no check of the rail fails is in it, and where
    nothing that fails has to do with the rail no other gap helps.
    """
    trial = _outcome(failure, proposal, held)
    stays = proposal.keeps_gap or any(each.key == "bottom_gap" for each in proposal.changes)
    if trial is None or stays or (trial.mends and not trial.costs):
        return trial
    costs = [check for check, _ in (*trial.costs.fails, *trial.costs.worse)]
    settled, findings = trial.after.sections[failure.index], trial.after.findings[failure.index]
    if settled.chosen or not any(
        map(may_depend_on_gap, costs if trial.mends else [failure.finding.id])
    ):
        return trial
    if not any(found.verdict == FAIL and depends_on_gap(found) for found in findings):
        return trial
    window = settled.window
    if window.empty or window.holds(rational(settled.section.exact["bottom_gap"])):
        return trial
    gap = choose_gap(window, failure.tape)
    if gap % failure.tape:
        return trial
    also = f", and set the bottom gap to {failure.show(gap)}"
    other = replace(
        proposal,
        text=f"{proposal.text}{also}",
        changes=(*proposal.changes, Change("section", "bottom_gap", gap)),
        where_moved=f"{proposal.where_moved}{also}" if proposal.where_moved else "",
    )
    again = _outcome(failure, other, held)
    if again is None or not again.mends or (trial.mends and len(again.costs) >= len(trial.costs)):
        return trial
    return again


def _moved(failure: Failure, trial: _Trial) -> list[int]:
    """Sections whose posts stand elsewhere after a trial."""
    return [
        index
        for index, part in enumerate(trial.after.sections[: len(failure.job.sections)])
        if part.job.sections[index].posts != failure.bench.posts_now(index)
    ]


def _telling(failure: Failure, trial: _Trial) -> _Trial:
    """The trial with the places of its posts in the text."""
    proposal, told = trial.proposal, []
    for index in _moved(failure, trial):
        posts = trial.after.sections[index].job.sections[index].posts or ()
        of = "" if index == failure.index else f" of section {index + 1}"
        told.append(f"; posts{of} then at x = {', '.join(map(failure.show, posts))}")
    text, then = proposal.where_moved or proposal.text, proposal.then + "".join(told)
    return replace(trial, proposal=replace(proposal, text=text, then=then))


def _staying(failure: Failure, trial: _Trial) -> _Trial | None:
    """The trial with the posts written down as they stand, where it mends like that."""
    record, proposal = failure.record, trial.proposal
    if failure.section.line.opposite_of or record.posts is not None:
        return None
    posts = failure.bench.posts_now(failure.index)
    then = f"{proposal.then}, the posts left at x = {', '.join(map(failure.show, posts))}"
    changes = (*proposal.changes, *post_changes(record, posts))
    return _outcome(failure, replace(proposal, then=then, changes=changes), held=False)
