"""Openers: what would open an empty window of the bottom rail, and by how much.

Where no bottom gap passes, something else has to give: a taller panel, deeper rails, a shorter
nosing, another rise or run, or a strip that fills in under the rail.  For each of these few the
least change is found that leaves a window with a mark of the tape inside it, and it is found by
trying: a change is named only after the window was solved again with it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from fractions import Fraction
from functools import cache
from itertools import count, islice

from msgspec import Struct
from msgspec.structs import replace

from stairs.checks.cases import clash, own_handrail
from stairs.checks.gap_window import RuleFor, Window
from stairs.checks.window_marks import choose_gap
from stairs.errors import StairsError
from stairs.guard.solving import Section
from stairs.job import Job, JobFlight
from stairs.lengths.tape_marks import true_text
from stairs.remedies.job_changes import (
    Change,
    apply,
    post_changes,
    post_positions,
    step_changes,
    told_posts,
)
from stairs.remedies.sizes import LOWEST_RISER, STEPS, shown, size_above, size_below
from stairs.remedies.trial_solve import Bench, window_at

_SOLD_AS = {"height": "panel", "filler": "strip", "bottom_rail": "rail depth"}
_TRIES = 10
_DEEPEST = Fraction(1, 4)  # of the panel's height: a rail deeper than this is no rail
_SHORTEST = Fraction(3, 4)  # of the run as it is
_MOST_RISERS = 3


class Opener(Struct, frozen=True):
    """One change that opens an empty window.

    Parameters
    ----------
    text : str
        What to do, with numbers.
    changes : tuple of Change
        The same in the job file.
    costs : tuple of str
        What passes now and fails after it, the rail set inside the window.
    """

    text: str
    changes: tuple[Change, ...]
    costs: tuple[str, ...] = ()

    @property
    def told(self) -> str:
        """The text, with what it costs."""
        if not self.costs:
            return self.text
        return f"{self.text}; but then fails: {' and '.join(self.costs)}"


class _Parameter(Struct, frozen=True):
    """One measurement that may give: its changes and words for so much, steps, and the most."""

    changes: Callable[[Fraction], tuple[Change, ...] | None]
    words: Callable[[Fraction], str]
    mark: Fraction
    most: Fraction
    gain: float


def openers(section: Section, job: Job, window: Window, rule_for: RuleFor) -> tuple[Opener, ...]:
    """Every single change that opens an empty window.

    Parameters
    ----------
    section : Section
        Solved for any gap.
    job : stairs.job.Job
        As read.
    window : Window
        Of that section.
    rule_for : callable
        See :func:`stairs.checks.cases.rule_source`.

    Returns
    -------
    tuple of Opener
        Empty where the window is not; the smallest job first.

    Notes ----- Each amount is the least that can be bought or made (:mod:`stairs.remedies.sizes`):
    one size less leaves the window empty, or without a mark inside it.
    """
    return tuple(_search(section, job, window, rule_for))


def _search(section: Section, job: Job, window: Window, rule_for: RuleFor) -> Iterator[Opener]:
    if not window.empty:
        return
    ends = (window.low.set_by, window.high.set_by)
    apart = section.handrail and clash(section, rule_for) is not None
    if apart or section.handrail and any("handrail height" in end for end in ends):
        yield from _with_own_handrail(section, job, rule_for, apart)
    if apart:
        return  # whatever else is done, one rail cannot be both
    for parameter in _parameters(section, job, window):
        opener = _least(parameter, job, section.number - 1, rule_for)
        if opener is not None:
            yield opener


def _with_own_handrail(
    section: Section, job: Job, rule_for: RuleFor, apart: bool
) -> Iterator[Opener]:
    """A handrail of its own, and what else it takes where that alone does not do."""
    index = section.number - 1
    text = own_handrail(section, rule_for, job.units)
    text = text[0].upper() + text[1:]
    changes = (Change("section", "handrail", False),)
    changed = apply(job, changes, index)
    window = window_at(changed, index, rule_for)
    if shortfall(window, job.tape) is None:
        yield Opener(text, changes)
    elif apart:
        without = section.with_handrail(False)
        for opener in islice(_search(without, changed, window, rule_for), 1):
            yield Opener(f"{text}. {opener.text}", (*changes, *opener.changes))


def openers_kept(
    bench: Bench, section: Section, window: Window, rule_for: RuleFor
) -> Iterator[Opener]:
    """The same one after the other, each looked for once in a job, and only when it is asked for.

    Parameters
    ----------
    bench : Bench
        Of the job as read.
    section, window, rule_for
        See :func:`openers`.
    """
    key = ("openers", section.number)
    if key not in bench.memory:
        bench.memory[key] = [], _search(section, bench.standing, window, rule_for)
    found, rest = bench.memory[key]
    for place in count():
        if place == len(found):
            found += islice(rest, 1)
        if place == len(found):
            return
        yield found[place]


def with_costs(bench: Bench, opener: Opener, index: int) -> Opener:
    """An opener with what else it makes fail.

    Parameters
    ----------
    bench : Bench
        Of the job as read.
    opener : Opener
        Of one of its sections.
    index : int
        That section, from 0.
    """
    inside = Change("section", "bottom_gap", "auto")
    try:
        _, after = bench.tried((*opener.changes, inside), index)
        if shortfall(after.sections[index].window, bench.job.tape) is not None:
            opener = _left_standing(bench, opener, index)
            _, after = bench.tried((*opener.changes, inside), index)
    except StairsError as error:
        return replace(opener, costs=(error.found,))
    new = sorted(after.failing - bench.before.failing)
    return replace(opener, costs=tuple(dict.fromkeys(after.title(*one) for one in new)))


def _left_standing(bench: Bench, opener: Opener, index: int) -> Opener:
    """An opener that opens the window with the posts where they stand, and not placed anew."""
    record = bench.job.sections[index]
    if record.posts is not None or any(change.key == "posts" for change in opener.changes):
        return opener
    job, posts = bench.job, bench.posts_now(index)
    places = ", ".join(shown(x, job.units, job.tape) for x in posts)
    text = f"{opener.text}, the posts left at x = {places}"
    return Opener(text, (*opener.changes, *post_changes(record, posts)))


def shortfall(window: Window, tape: Fraction) -> float | None:
    """By how much a window is too narrow to hold a mark of the tape [job's unit of length].

    Parameters
    ----------
    window : Window
        Of a section's bottom gap.
    tape : Fraction
        Smallest mark [job's unit of length], above 0.

    Returns
    -------
    float or None
        Low end less high end of an empty window, 0 or more; 0 of one that only holds no mark.  None
        where it holds one.
    """
    if window.empty:
        return float(window.low.value) - float(window.high.value)
    gap = choose_gap(window, tape)
    return None if gap % tape == 0 and window.holds(gap) else 0.0


def _least(parameter: _Parameter, job: Job, index: int, rule_for: RuleFor) -> Opener | None:
    """The least change of one measurement that opens the window, by secant steps in marks."""
    mark, most = parameter.mark, int(parameter.most / parameter.mark)

    @cache
    def lacking(marks: int) -> float | None:
        changes = parameter.changes(marks * mark)
        if changes is None:
            return math.inf
        try:
            changed = apply(job, changes, index)
            return shortfall(window_at(changed, index, rule_for), job.tape)
        except StairsError:
            return math.inf

    before, marks, gain = lacking(0), 0, parameter.gain
    lack = before
    for _ in range(_TRIES):
        if lack is None or lack == math.inf or gain <= 0:
            break
        further = max(1, math.ceil(lack / (gain * float(mark)) - 1e-9))
        if marks + further > most:
            further = most - marks
        if further <= 0:
            return None
        marks += further
        lack = lacking(marks)
        if lack not in (None, math.inf) and before is not None:
            gain = (before - lack) / (marks * float(mark))
            if gain <= 0:  # nothing gained yet: look twice as far
                gain = max(lack, float(mark)) / (marks * float(mark))
    if lack is not None:
        return None
    for _ in range(_TRIES):
        if marks <= 1 or lacking(marks - 1) is not None:
            break
        marks -= 1
    amount = marks * mark
    return Opener(parameter.words(amount), parameter.changes(amount))


def _parameters(section: Section, job: Job, window: Window) -> Iterator[_Parameter]:
    panel, tape = job.panel, job.tape
    record = job.sections[section.number - 1]
    raised_by_height = "height" in window.low.set_by
    closed_by_ball = "opening" in window.high.set_by

    def show(value: Fraction) -> str:
        return shown(value, job.units, tape)

    def bought(table: str, key: str, now: Fraction, words: str, most: Fraction, gain: float):
        """A part of the next sizes; ``words`` has its size for ``{}``."""
        what = _SOLD_AS[key]
        least = size_above(what, now + tape, job.units)
        step = STEPS[what][job.units]

        def size(by: Fraction) -> Fraction:
            return now if by == 0 else least + by - step

        return _Parameter(
            lambda by: (Change(table, key, size(by)),),
            lambda by: words.format(show(size(by))),
            step,
            most,
            gain,
        )

    if raised_by_height and closed_by_ball:
        words = f"Take a panel {{}} tall or more (now {show(panel.height)})"
        yield bought("panel", "height", panel.height, words, panel.height, 1.0)
    if window.high.set_by.startswith("greatest"):
        highest = size_below("panel", panel.height - tape, job.units)
        step = STEPS["panel"][job.units]
        yield _Parameter(
            lambda by: (Change("panel", "height", highest + step - by if by else panel.height),),
            lambda by: (
                f"Take a panel {show(highest + step - by)} tall or less (now {show(panel.height)})"
            ),
            step,
            panel.height / 2,
            1.0,
        )
    if not closed_by_ball:
        return
    if section.side_gap > 0:
        yield _nearer_guard(record, job)
    if window.high.set_by == "opening at the head":
        yield _nearer_post(section, job)
    if raised_by_height or section.stringer_margin is None:
        words = "Close the underside of the rail with a strip {} deep, plumb"
        yield bought("section", "filler", record.filler, words, panel.height / 2, 1.0)
    if raised_by_height and section.rake > 0:
        secant = 1 / section.rail_line.cosine
        most = max(panel.height * _DEEPEST - panel.bottom_rail, Fraction(0))
        words = f"Take a bottom rail {{}} deep in the same panel (now {show(panel.bottom_rail)})"
        yield bought("panel", "bottom_rail", panel.bottom_rail, words, most, (secant - 1) / 2)
    if isinstance(record, JobFlight):
        yield from _of_the_steps(section, job, record)


def _nearer_guard(record: JobFlight, job: Job) -> _Parameter:
    """The guard moved towards the tread ends."""

    def show(value: Fraction) -> str:
        return shown(value, job.units, job.tape)

    return _Parameter(
        lambda by: (Change("section", "side_gap", record.build.side_gap - by),),
        lambda by: (
            f"Stand the guard {show(record.build.side_gap - by)} or less outside the tread ends "
            f"(now {show(record.build.side_gap)})"
        ),
        job.tape,
        record.build.side_gap,
        1.0,
    )


def _nearer_post(section: Section, job: Job) -> _Parameter:
    """The upper post moved towards the top nosing."""
    record = job.sections[section.number - 1]
    *others, last = post_positions(section, record)
    room = float(last) - section.nosings[-1][0] - section.posts[-1].reach

    def show(value: Fraction) -> str:
        return shown(value, job.units, job.tape)

    return _Parameter(
        lambda by: post_changes(record, (*others, last - by)),
        lambda by: (
            f"Move the upper post {show(by)} nearer to the top nosing, to x = {show(last - by)}"
        ),
        job.tape,
        Fraction(max(room, 0.0)),
        section.rail_line.slope,
    )


def _of_the_steps(section: Section, job: Job, record: JobFlight) -> Iterator[_Parameter]:
    tape = job.tape
    slope = section.rail_line.slope

    def show(value: Fraction) -> str:
        return shown(value, job.units, job.tape)

    if record.build.nosing > 0 and section.stringer_margin is None:
        yield _Parameter(
            lambda by: (Change("section", "nosing", record.build.nosing - by),),
            lambda by: (
                f"Make the nosing {show(record.build.nosing - by)} or less "
                f"(now {show(record.build.nosing)})"
            ),
            tape,
            record.build.nosing,
            slope,
        )
    total = section.total_rise

    def about(value: float) -> str:
        return true_text(value, job.units, tape)

    def divided(by: Fraction):
        risers = section.flight.risers + int(by)
        if total / risers < LOWEST_RISER[job.units]:
            return None
        return step_changes(section, record, risers, None)

    yield _Parameter(
        divided,
        lambda by: (
            f"Divide the rise of {about(total)} into {section.flight.risers + int(by)} risers of "
            f"{show(total / (section.flight.risers + int(by)))} (now {section.flight.risers} of "
            f"{about(float(section.flight.unit_rise))}){told_posts(divided(by), show)}"
        ),
        Fraction(1),
        Fraction(_MOST_RISERS),
        math.inf,
    )
    run = section.exact["unit_run"]
    if isinstance(run, Fraction):

        def shorter(by: Fraction):
            return step_changes(section, record, section.flight.risers, run - by)

        yield _Parameter(
            shorter,
            lambda by: (
                f"Make each run {show(run - by)} or less (now {show(run)})"
                f"{told_posts(shorter(by), show)}"
            ),
            tape,
            run * (1 - _SHORTEST),
            slope / 2,
        )
