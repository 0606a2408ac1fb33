"""Openers: what would open an empty window of the bottom rail, and by how much.

Where no bottom gap passes, something else has to give: a taller panel, deeper rails, a shorter
nosing, another rise or run, or a strip that fills in under the rail.  For each of these few the
least change is found that leaves a window with a mark of the tape inside it, and it is found by
trying: a change is named only after the window was solved again with it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from copy import copy
from fractions import Fraction
from functools import cache, partial
from itertools import islice, tee

from msgspec import Struct
from msgspec.structs import replace

from stairs.checks.cases import clash, own_handrail
from stairs.checks.gap_window import Cause, RuleFor, Window
from stairs.checks.measure import known
from stairs.checks.window_marks import choose_gap
from stairs.errors import StairsError
from stairs.guard.solving import Section
from stairs.job import Job, JobFlight
from stairs.lengths.tape_marks import true_text
from stairs.numbers.tolerances import SAME
from stairs.remedies.costs import NOTHING, Costs, costs_of
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

_TRIES = 10
_DEEPEST = Fraction(1, 4)  # of the panel's height: a rail deeper than this is no rail
_SHORTEST = Fraction(3, 4)  # of the run as it is
_MOST_RISERS = 3


class Opener(Struct, frozen=True):
    """One change that opens an empty window: what to do, in words and in the job file.

    ``then`` says where posts stand after it; ``costs`` what it makes worse, the rail set inside the
    window.
    """

    text: str
    changes: tuple[Change, ...]
    then: str = ""
    costs: Costs = NOTHING

    @property
    def told(self) -> str:
        """The text, with what it costs."""
        return f"{self.text}{self.then}{self.costs.told}"


class _Dial(Struct, frozen=True):
    """One measurement that may give, in steps of ``mark`` and up to ``most``.

    ``opener`` is the change by an amount from 0, None where it cannot be so much; ``gain`` how much
    wider the window gets for each unit, to begin with.
    """

    opener: Callable[[Fraction], Opener | None]
    mark: Fraction
    most: Fraction
    gain: float


def openers(section: Section, job: Job, window: Window, rule_for: RuleFor) -> Iterator[Opener]:
    """Every single change that opens an empty window, the smallest job first.

    Each amount is the least that can be bought or made (:mod:`stairs.remedies.sizes`): one size
    less leaves the window empty, or without a mark inside it.
    """
    if not window.empty:
        return
    causes = (window.low.cause, known(window.high).cause)
    apart = section.handrail and clash(section, rule_for) is not None
    if apart or section.handrail and Cause.HANDRAIL_HEIGHT in causes:
        yield from _with_own_handrail(section, job, rule_for, apart)
    if apart:
        return  # whatever else is done, one rail cannot be both
    for dial in _dials(section, job, window):
        opener = _least(dial, job, section.number - 1, rule_for)
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
        for more in islice(openers(without, changed, window, rule_for), 1):
            yield Opener(f"{text}. {more.text}", (*changes, *more.changes), more.then)


def openers_kept(
    bench: Bench, section: Section, window: Window, rule_for: RuleFor
) -> Iterator[Opener]:
    """The same one after the other, each looked for once in a job and only when asked for."""
    if section.number not in bench.openers:
        found = openers(section, bench.standing, window, rule_for)
        (bench.openers[section.number],) = tee(found, 1)
    return copy(bench.openers[section.number])


def with_costs(bench: Bench, opener: Opener, index: int) -> Opener:
    """An opener with what it makes worse in a job, of whose section ``index``, from 0, it is."""
    inside = Change("section", "bottom_gap", "auto")
    try:
        _, after = bench.tried((*opener.changes, inside), index)
        if shortfall(after.sections[index].window, bench.job.tape) is not None:
            opener = _left_standing(bench, opener, index)
            _, after = bench.tried((*opener.changes, inside), index)
    except StairsError as error:
        return replace(opener, costs=Costs(refused=error.found))
    return replace(opener, costs=costs_of(bench.before, after))


def _left_standing(bench: Bench, opener: Opener, index: int) -> Opener:
    """An opener that opens the window with the posts where they stand, and not placed anew."""
    record = bench.job.sections[index]
    if record.posts is not None or any(change.key == "posts" for change in opener.changes):
        return opener
    job, posts = bench.job, bench.posts_now(index)
    places = ", ".join(shown(x, job.units, job.tape) for x in posts)
    then = f"{opener.then}, the posts left at x = {places}"
    return Opener(opener.text, (*opener.changes, *post_changes(record, posts)), then)


def shortfall(window: Window, tape: Fraction) -> float | None:
    """By how much a window is too narrow to hold a mark of the tape [job's unit of length].

    Low end less high end of an empty window, 0 or more; 0 of one that only holds no mark; None
    where it holds one.
    """
    if window.empty:
        return float(window.low.value) - float(known(window.high).value)
    gap = choose_gap(window, tape)
    return None if gap % tape == 0 and window.holds(gap) else 0.0


def _least(dial: _Dial, job: Job, index: int, rule_for: RuleFor) -> Opener | None:
    """The least change of one measurement that opens the window, by secant steps in marks."""
    mark, most = dial.mark, int(dial.most / dial.mark)

    @cache
    def lacking(marks: int) -> float | None:
        opener = dial.opener(marks * mark)
        if opener is None:
            return math.inf
        try:
            changed = apply(job, opener.changes, index)
            return shortfall(window_at(changed, index, rule_for), job.tape)
        except StairsError:
            return math.inf

    before, marks, gain = lacking(0), 0, dial.gain
    lack = before
    for _ in range(_TRIES):
        if lack is None or lack == math.inf or gain <= 0:
            break
        further = max(1, math.ceil(lack / (gain * float(mark)) - SAME))
        further = min(further, most - marks)
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
    return dial.opener(marks * mark)


def _dials(section: Section, job: Job, window: Window) -> Iterator[_Dial]:
    """What may give, the smallest job first."""
    panel, units = job.panel, job.units
    record = job.sections[section.number - 1]
    low, high = window.low.cause, known(window.high).cause
    raised_by_height = low in (Cause.GUARD_HEIGHT, Cause.HANDRAIL_HEIGHT)
    set_to = partial(_set_to, job)

    def bought(
        what: str,
        table: str,
        key: str,
        now: Fraction,
        words: str,
        most: Fraction,
        gain: float = 1.0,
    ) -> _Dial:
        """A part of the next larger sizes."""
        step, least = STEPS[what][units], size_above(what, now + job.tape, units)
        return _Dial(
            lambda by: set_to(words, table, key, least + by - step if by else now), step, most, gain
        )

    if raised_by_height and high.is_opening:
        words = f"Use a panel at least {{}} tall (now {shown(panel.height, units, job.tape)})"
        yield bought("panel", "panel", "height", panel.height, words, panel.height)
    if high in (Cause.GUARD_HEIGHT, Cause.HANDRAIL_HEIGHT):
        yield _lower_panel(job)
    if not high.is_opening:
        return
    slope = section.rail_line.slope
    if isinstance(record, JobFlight) and section.side_gap > 0:
        words = "Stand the guard {} or less outside the tread ends (now {now})"
        yield _less(job, words, "side_gap", record.build.side_gap, record.build.side_gap, 1.0)
    if high is Cause.HEAD_OPENING:
        yield _nearer_post(section, job, slope)
    if raised_by_height or section.stringer_margin is None:
        words = "Screw a strip {} deep, plumb, under the bottom rail"
        yield bought("strip", "section", "filler", record.filler, words, panel.height / 2)
    if raised_by_height and section.rake > 0:
        secant = 1 / section.rail_line.cosine
        most = max(panel.height * _DEEPEST - panel.bottom_rail, Fraction(0))
        now = shown(panel.bottom_rail, units, job.tape)
        words = f"Take a bottom rail {{}} deep in the same panel (now {now})"
        gain = (secant - 1) / 2
        yield bought("rail depth", "panel", "bottom_rail", panel.bottom_rail, words, most, gain)
    if isinstance(record, JobFlight):
        if record.build.nosing > 0 and section.stringer_margin is None:
            words = "Make the nosing {} or less (now {now})"
            yield _less(job, words, "nosing", record.build.nosing, record.build.nosing, slope)
        yield _more_risers(section, job, record)
        run = section.exact["unit_run"]
        if isinstance(run, Fraction):
            shorter = partial(_shorter_run, section, job, record, run)
            yield _Dial(shorter, job.tape, run * (1 - _SHORTEST), slope / 2)


def _set_to(job: Job, words: str, table: str, key: str, size: Fraction) -> Opener:
    """A measurement brought to a size, which is ``{}`` in the words."""
    return Opener(words.format(shown(size, job.units, job.tape)), (Change(table, key, size),))


def _lower_panel(job: Job) -> _Dial:
    """A panel of the next smaller sizes."""
    now, step = job.panel.height, STEPS["panel"][job.units]
    least = size_below("panel", now - job.tape, job.units)
    words = f"Take a panel {{}} tall or less (now {shown(now, job.units, job.tape)})"
    return _Dial(
        lambda by: _set_to(job, words, "panel", "height", least + step - by if by else now),
        step,
        now / 2,
        1.0,
    )


def _less(job: Job, words: str, key: str, now: Fraction, most: Fraction, gain: float) -> _Dial:
    """A measurement of a section that gets smaller, mark by mark."""
    words = words.replace("{now}", shown(now, job.units, job.tape))
    return _Dial(lambda by: _set_to(job, words, "section", key, now - by), job.tape, most, gain)


def _nearer_post(section: Section, job: Job, slope: float) -> _Dial:
    """The upper post moved towards the top nosing."""
    record = job.sections[section.number - 1]
    *others, last = post_positions(section, record)
    room = float(last) - section.nosings[-1][0] - section.posts[-1].reach
    show = partial(shown, units=job.units, tape=job.tape)

    def moved(by: Fraction) -> Opener:
        text = f"Move the upper post {show(by)} nearer to the top nosing, to x = {show(last - by)}"
        return Opener(text, post_changes(record, (*others, last - by)))

    return _Dial(moved, job.tape, Fraction(max(room, 0.0)), slope)


def _more_risers(section: Section, job: Job, record: JobFlight) -> _Dial:
    """The rise divided into more risers."""
    show = partial(shown, units=job.units, tape=job.tape)
    about = partial(true_text, units=job.units, mark=job.tape)
    flight, total = known(section.flight), section.total_rise

    def divided(by: Fraction) -> Opener | None:
        risers = flight.risers + int(by)
        if total / risers < LOWEST_RISER[job.units]:
            return None
        changes = step_changes(section, record, risers, None)
        text = (
            f"Divide the rise of {about(total)} into {risers} risers of {show(total / risers)} "
            f"(now {flight.risers} of {about(float(flight.unit_rise))})"
        )
        return None if changes is None else Opener(text, changes, told_posts(changes, show))

    return _Dial(divided, Fraction(1), Fraction(_MOST_RISERS), math.inf)


def _shorter_run(
    section: Section, job: Job, record: JobFlight, run: Fraction, by: Fraction
) -> Opener | None:
    show = partial(shown, units=job.units, tape=job.tape)
    changes = step_changes(section, record, known(section.flight).risers, run - by)
    text = f"Make each run {show(run - by)} or less (now {show(run)})"
    return None if changes is None else Opener(text, changes, told_posts(changes, show))
