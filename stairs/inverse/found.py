"""Found: a job, a key and a goal, and the whole answer."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Any

from msgspec.structs import replace

from stairs.errors import JobError, StairsError
from stairs.inverse.answer import Found, Nearest, Run, Stretch, Tried, Way
from stairs.inverse.asked import CHOICE, COUNT, Asked, asked_for
from stairs.inverse.certain import Certain
from stairs.inverse.goal import Miss, Side, goal_of
from stairs.inverse.leaps import contacts, leaps
from stairs.inverse.proofs import Keys, decided
from stairs.inverse.search import MOST_LAID_OUT, Search, both, marks_in
from stairs.inverse.span import Span, span_of
from stairs.inverse.trials import Trial, Trials
from stairs.job import Job
from stairs.lengths.tape_marks import ceil_to_mark, floor_to_mark
from stairs.parts.panel import AUTO
from stairs.remedies.trial_solve import Bench, depends_on
from stairs.solution import bench_for

_ANEW = 2  # runs whose ends are tried with posts laid out anew
_NEARER = 16  # values from which it is gone on to the one that comes nearest


def find(
    job: Job,
    key: str,
    *,
    section: int | None = None,
    low: str | None = None,
    high: str | None = None,
    goal: str | None = None,
    at_least: str | None = None,
    at_most: str | None = None,
    equal: str | None = None,
    posts_anew: bool = False,
) -> Found:
    """For which values of a key of the job everything passes, or one goal is reached.

    Parameters
    ----------
    job : stairs.job.Job
        As read; it has to be one that can be solved.
    key : str
        As in the job file: ``"bottom_gap"``, ``"panel.pitch"``, ``"posts.2"``.
    section : int, optional
        From 1: whose key it is, or for a key of the parts the only one that has to pass.
    low, high : str, optional
        The range, as typed; what is usual for the key where they are left out.
    goal : str, optional
        One check, or a number of the result, that alone counts.
    at_least, at_most, equal : str, optional
        How much that is to be, as typed.
    posts_anew : bool
        Whether posts that the job leaves open are laid out anew for each value, which takes many
        times as long; else they stay where they stand now.

    Raises
    ------
    stairs.errors.JobError
        What is asked for is not there, or no guard can be solved anywhere in the range.
    """
    bench = bench_for(job)
    limits: dict[Side, str | None] = {"at least": at_least, "at most": at_most, "equal": equal}
    asked = asked_for(key, bench, section)
    wanted = goal_of(goal, limits, bench.rulebook, job.units, _only(asked, goal, section))
    bench.with_balls = wanted.is_of_openings
    span = span_of(asked, bench, low, high)
    trials = Trials(bench, asked, wanted, anew=posts_anew or not _stays(bench))
    if trials.lays_out:
        span = replace(span, most=MOST_LAID_OUT)
    elsewhere = _elsewhere(trials, span)
    if elsewhere:
        trials = trials.for_goal(wanted.without(frozenset(miss.key for miss in elsewhere)))
    if asked.kind in (COUNT, CHOICE):
        found = _counted(trials, span)
    elif wanted.target is not None and wanted.target.side == "equal":
        found = _equal(trials, span)
    else:
        found = _measured(trials, span)
    return replace(found, elsewhere=elsewhere)


def _stays(bench: Bench) -> bool:
    """Whether the job can be solved with its posts listed where they stand now."""
    try:
        bench.tried((), 0, held=True)
    except StairsError:
        return False
    return True


def _elsewhere(trials: Trials, span: Span) -> tuple[Miss, ...]:
    """What fails in sections on which the key has no influence, all checks being asked for."""
    if trials.asked.index is None or trials.goal.check or trials.goal.target:
        return ()
    middle = marks_in(span, (span.low + span.high) / 2, span.high)
    places = span.values or (trials.asked.now, span.low, next(middle, span.high), span.high)
    kinds = [int(place) if trials.asked.kind == COUNT and place is not None else place
             for place in places]  # fmt: skip
    tried = [
        one for one in (trials.at(place) for place in kinds if place is not None) if one.outcome
    ]
    return tuple(
        miss
        for miss in (tried[0].misses if len(tried) > 1 else ())
        if miss.section != trials.asked.index + 1
        and len({depends_on(decided(one), miss.section - 1) for one in tried}) == 1
    )


def _only(asked: Asked, goal: str | None, section: int | None) -> int | None:
    """The only section that counts; one check or number of a section's key is that section's."""
    if section is not None and asked.index is None:
        return section
    return asked.index + 1 if goal is not None and asked.index is not None else None


# --------------------------------------------------------------------------- counts and choices


def _counted(trials: Trials, span: Span) -> Found:
    """Every value by itself, and what fails at it."""
    values: Sequence[Any] = span.values
    if not values:
        values = [int(mark) for mark in marks_in(span, span.low, span.high)]
    tried = [trials.at(value) for value in values]
    _refuse_unbuilt(trials, span, tried)
    _refuse_idle(trials, tried)
    certain = Certain(trials)
    passing = [trial.value for trial in tried if trial.passes]
    aside, sure = _sure_of(certain, [[value] for value in passing])
    told = tuple(
        Tried(
            one.value, trials.told(one.value), certain.marginal_at(one.value) if one.passes else ()
        )
        for one in tried
    )
    found = Found(
        trials.asked,
        trials.goal,
        trials.bench.job.units,
        trials.bench.job.tape,
        trials.bench.job.measured_within,
        span,
        Way(True, Fraction(0), None, len(values), trials.lays_out),
        marks=_in_runs(passing, values),
        sure=_in_runs([run.low for run in sure], values),
        aside=aside,
        tried=told,
        notes=_notes(trials, tried),
    )
    return found if passing else _without_answer(found, trials, tried, span)


def _in_runs(values: Sequence[Any], among: Sequence[Any]) -> tuple[Run, ...]:
    """Values that lie next to each other put together."""
    runs: list[Run] = []
    places = {value: place for place, value in enumerate(among)}
    for value in values:
        if runs and places[value] == places[runs[-1].high] + 1:
            runs[-1] = Run(runs[-1].low, value)
        else:
            runs.append(Run(value, value))
    return tuple(runs)


# --------------------------------------------------------------------------- lengths and angles


def _measured(trials: Trials, span: Span) -> Found:
    search = Search(trials, span)
    search.run()
    tried = [trials.at(value) for value in trials.solved if span.low <= value <= span.high]
    _refuse_unbuilt(trials, span, tried)
    _refuse_idle(trials, tried)
    stretches = search.stretches()
    rows = [row for stretch in stretches for row in _rows(trials, span, stretch)]
    certain = Certain(trials)
    runs = tuple(_run(trials, span, row) for row in rows)
    aside, sure = _sure_of(certain, rows)
    ends = dict.fromkeys(end for run in (*sure, *runs) for end in (run.low, run.high))
    first = [end for run in (sure or runs)[:_ANEW] for end in (run.low, run.high)]
    found = Found(
        trials.asked,
        trials.goal,
        trials.bench.job.units,
        trials.bench.job.tape,
        trials.bench.job.measured_within,
        span,
        search.way(),
        drawn=stretches,
        marks=runs,
        sure=sure,
        sure_every=max(certain.every.values(), default=1),
        aside=aside,
        fails=search.failing(),
        tried=tuple(
            Tried(
                end,
                trials.told(end),
                certain.marginal_at(end),
                trials.told_anew(end) if end in first else None,
            )
            for end in ends
        ),
        changes=tuple(leaps(trials, rows)),
        contacts=tuple(contacts(trials, span)),
        notes=_notes(trials, [trials.at(row[0]) for row in rows] or tried),
    )
    return found if stretches else _without_answer(found, trials, tried, span)


def _equal(trials: Trials, span: Span) -> Found:
    """Where a number is just so much: where it is both at least and at most that."""
    target = trials.goal.target
    assert target is not None
    sides: tuple[Side, Side] = ("at least", "at most")
    searches = [
        Search(trials.for_goal(replace(trials.goal, target=replace(target, side=side))), span)
        for side in sides
    ]
    for search in searches:
        search.run()
    tried = [trials.at(value) for value in trials.solved if span.low <= value <= span.high]
    _refuse_unbuilt(trials, span, tried)
    _refuse_idle(trials, tried)
    stretches = tuple(both(*(search.stretches() for search in searches)))
    rows = [
        row
        for one in stretches
        for row in _rows(trials, span, one)
    ]  # fmt: skip
    beside = dict.fromkeys(
        mark
        for one in stretches
        for mark in (
            floor_to_mark(one.low.value, span.step),
            ceil_to_mark(one.high.value, span.step),
        )
        if span.low <= mark <= span.high
    )
    found = Found(
        trials.asked,
        trials.goal,
        trials.bench.job.units,
        trials.bench.job.tape,
        trials.bench.job.measured_within,
        span,
        searches[1].way(),
        drawn=stretches,
        marks=tuple(Run(row[0], row[-1]) for row in rows),
        tried=tuple(Tried(mark, trials.told(mark)) for mark in beside),
        notes=_notes(trials, tried),
    )
    return found if stretches else replace(found, nearest=_nearest(trials, tried, span))


def _run(trials: Trials, span: Span, row: Sequence[Fraction]) -> Run:
    """A row, with what is missed beside it."""
    low, high = row[0] - span.step, row[-1] + span.step
    return Run(
        row[0],
        row[-1],
        trials.told(low) if low >= span.low else (),
        trials.told(high) if high <= span.high else (),
    )


def _rows(trials: Trials, span: Span, stretch: Stretch) -> Iterator[list[Fraction]]:
    """The values of a stretch that can be set and pass as cut too, in rows without a gap."""
    low, high = stretch.low.value, stretch.high.value
    marks = [mark for mark in marks_in(span, low, high) if trials.at(mark).as_drawn]
    row: list[Fraction] = []
    for mark in marks:
        if trials.at(mark).passes:
            row.append(mark)
        elif row:
            yield row
            row = []
    if row:
        yield row


def _sure_of(
    certain: Certain, rows: Sequence[Sequence[Any]]
) -> tuple[tuple[Miss, ...], tuple[Run, ...]]:
    """What is left aside, and which of the values then pass wherever measured.

    Where nothing passes so, what is marginal at every value is left aside, or what is marginal at
    the value that the job has now.
    """
    aside: tuple[Miss, ...] = ()
    goal = certain.trials.goal
    one_thing = goal.check is not None or goal.target is not None
    for aside in [()] if one_thing else _asides(certain, rows):
        keys = frozenset(miss.key for miss in aside)
        sure = tuple(run for row in rows for run in certain.sure_runs(row, keys))
        if sure:
            return aside, sure
    return (), ()


def _asides(certain: Certain, rows: Sequence[Sequence[Any]]) -> Iterator[tuple[Miss, ...]]:
    """What may be left aside: what is marginal at each of some values, then at the present one."""
    places = dict.fromkeys(row[k] for row in rows for k in (0, len(row) // 2, -1))
    told = [certain.marginal_at(value) for value in places]
    if not told:
        return
    keys = frozenset.intersection(*(frozenset(miss.key for miss in one) for one in told))
    alike = tuple(miss for miss in told[0] if miss.key in keys)
    yield alike
    now = certain.trials.asked.now
    if any(now in row for row in rows) and certain.marginal_at(now) != alike:
        yield certain.marginal_at(now)


# --------------------------------------------------------------------------- no answer


def _without_answer(found: Found, trials: Trials, tried: Sequence[Trial], span: Span) -> Found:
    """The answer where nothing passes: what fails whatever the value, and what comes nearest."""
    constant = _constant(trials, tried)
    without = None
    if constant and trials.goal.target is None and trials.goal.check is None:
        keys: Keys = frozenset(miss.key for miss in constant)
        others = trials.for_goal(trials.goal.without(keys))
        if found.asked.kind in (COUNT, CHOICE):
            without = _counted(others, span)
        else:
            without = _measured(others, span)
    nearest = None if without is not None else _nearest(trials, tried, span)
    return replace(found, constant=constant, without=without, nearest=nearest)


def _constant(trials: Trials, tried: Sequence[Trial]) -> tuple[Miss, ...]:
    """What is missed by just as much at every value."""
    built = [trial for trial in tried if trial.outcome is not None]
    told = [{(miss.key, miss.where, miss.value) for miss in trial.misses} for trial in built]
    alike = set.intersection(*told) if len(told) > 1 else set()
    return (
        tuple(miss for miss in built[0].misses if (miss.key, miss.where, miss.value) in alike)
        if built
        else ()
    )


def _nearest(trials: Trials, tried: Sequence[Trial], span: Span) -> Nearest | None:
    """The value at which the fewest checks fail, and of those by the least, measured by limits."""

    def short(trial: Trial) -> tuple[int, float]:
        shares = [miss.over / max(abs(miss.limit or 0.0), 1.0) for miss in trial.misses]
        return (len(trial.misses) if trial.outcome else 10**6), sum(shares)

    if not any(trial.outcome for trial in tried):
        return None
    if trials.asked.kind not in (COUNT, CHOICE):
        marks = list(marks_in(span, span.low, span.high))
        every = max(1, len(marks) // _NEARER)
        best = min(map(trials.at, [*marks[::every], *(one.value for one in tried)]), key=short)
        apart = every * span.stride
        while apart > span.step:
            apart = max(floor_to_mark(apart / 2, span.step), span.step)
            around = (best.value + by * apart for by in (-1, 0, 1))
            best = min(
                (trials.at(one) for one in around if span.low <= one <= span.high), key=short
            )
    else:
        best = min(tried, key=short)
    return Nearest(best.value, trials.told(best.value))


def _refuse_unbuilt(trials: Trials, span: Span, tried: Sequence[Trial]) -> None:
    """Raise where no guard can be solved at any value."""
    if any(trial.outcome is not None for trial in tried):
        return
    error = tried[0].error
    assert error is not None
    low, high = (float(one) for one in (span.low, span.high))
    told = "none of its values" if span.values else f"no value from {low:g} to {high:g}"
    raise JobError(
        trials.asked.place_in_file,
        f"{told} makes a guard that can be solved",
        f"At the first of them, {error.where}: {error.found}",
        "Give another range with --from and --to",
    )


def _refuse_idle(trials: Trials, tried: Sequence[Trial]) -> None:
    """Raise where the job stays as it is whatever value the key is given."""
    built = [trial for trial in tried if trial.job is not None]
    if len(built) > 1 and all(trial.job == built[0].job for trial in built[1:]):
        raise JobError(
            trials.asked.place_in_file,
            "follows from other keys of the job, and a value of its own changes nothing",
            "",
            "Ask for what it follows from",
        )


def _notes(trials: Trials, tried: Sequence[Trial]) -> tuple[str, ...]:
    """What else follows where the key takes another value."""
    asked, notes = trials.asked, []
    if asked.gives_way:
        gone = " and ".join(key.replace("_", " ") for key in asked.gives_way)
        notes.append(f"{gone} {'follow' if len(asked.gives_way) > 1 else 'follows'} from it")
    record = trials.bench.in_file.sections[trials.index]
    moved = [
        trial
        for trial in tried
        if trial.job is not None and trial.job.sections[trials.index].posts != record.posts
    ]
    if asked.is_step and record.posts is not None and moved:
        notes.append("listed posts move along with the step or the landing that they stand on")
    if trials.lays_out:
        of = "" if trials.anew else " of this section"
        notes.append(f"posts{of} that are not listed are laid out anew for each value")
    elif trials.left_open:
        notes.append("posts that the job leaves open stay where they are laid out now")
    if asked.key.name != "bottom_gap" and any(
        section.bottom_gap == AUTO for section in trials.bench.in_file.sections
    ):
        notes.append("a bottom gap that the job leaves open is chosen anew for each value")
    return tuple(notes)
