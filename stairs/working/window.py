"""What sets the ends of the window of the bottom gap, with told numbers."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from stairs.checks.gap_window import Bound, RuleFor
from stairs.guard.solving import Section
from stairs.job import Job
from stairs.numbers.tolerances import SAME
from stairs.openings.opening import Opening
from stairs.openings.pocket import Pocket
from stairs.relations.exact import Amount, derived
from stairs.relations.quantities import LENGTH, QUANTITIES
from stairs.working.told_job import Reading, Told

_HEIGHTS = ("guard-height-min", "handrail-height-min", "guard-height-max", "handrail-height-max")


def told_end(bound: Bound, section: Section, job: Job, rule_for: RuleFor) -> Amount | None:
    """An end of the window by the closed form that it is from; None where it was searched for.

    The section and the job are those with told numbers.
    """
    if bound.pocket is not None:
        return None
    filler: Any = section.record.filler
    close = SAME * max(1.0, abs(float(bound.value)))
    for amount in (*_of_heights(section, job, rule_for), *_of_balls(bound, section)):
        for over in (amount, _over(amount, filler)):
            if abs(float(over) - float(bound.value)) <= close:
                return over
    return None


def _over(amount: Amount, filler: Fraction) -> Amount:
    if not filler:
        return amount
    return derived("bottom_gap_over_filler", clear_gap=amount, filler=filler)


def _limit(name: str, value: Fraction, what: str, clause: str) -> Told:
    return Told.read(Reading(QUANTITIES[name].symbol, what, LENGTH, clause), value)


def _line(section: Section) -> dict[str, Amount]:
    if section.flight is None:
        return {"unit_rise": Fraction(0), "unit_run": Fraction(1)}
    return {"unit_rise": section.flight.line_rise, "unit_run": section.flight.line_run}


def _of_heights(section: Section, job: Job, rule_for: RuleFor) -> Iterator[Amount]:
    panel = {
        "panel_height": job.panel.height,
        "top_rail": job.panel.top_rail,
        "bottom_rail": job.panel.bottom_rail,
    }
    for check in _HEIGHTS:
        rule = rule_for(check, section)
        if rule is None:
            continue
        word = "least" if check.endswith("-min") else "greatest"
        what = f"{word} {check.rsplit('-', 1)[0].replace('-', ' ')}"
        height: Amount = _limit("guard_height", rule.limit, what, rule.clause)
        if check.endswith("-max") and section.flight is not None:
            lowest = section.flight.lowest_nosing
            height = height - lowest if lowest else height  # type: ignore[operator]
        yield derived("bottom_gap_for_guard_height", guard_height=height, **panel, **_line(section))


def _of_balls(bound: Bound, section: Section) -> Iterator[Amount]:
    if bound.ball is None:
        return
    for opening in section.openings:
        yield from _of_ball(bound, opening, bound.ball)


def _of_ball(bound: Bound, opening: Opening, size: Fraction) -> Iterator[Amount]:
    what, clause = "ball or cube that sets it", bound.clause
    pocket = opening.pocket
    if opening.strip is not None:
        yield from _of_strip(opening.strip, _limit("strip_opening", size, what, clause), size)
    if pocket is None:
        return
    line = {"unit_rise": pocket.line_rise, "unit_run": pocket.line_run}
    for base in _bases(pocket):
        for form, name in (
            ("bottom_gap_for_corner_circle", "corner_circle"),
            ("bottom_gap_for_corner_square", "corner_square"),
        ):
            ball = {name: _limit(name, size, what, clause)}
            gap = derived(form, corner_base=base, **ball, **line)
            if pocket.front_lift:
                gap = derived("bottom_gap_over_front", front_gap=gap, front_lift=pocket.front_lift)
            yield gap
    yield from _of_strip(pocket, _limit("strip_opening", size, what, clause), size)


def _of_strip(pocket: Pocket, ball: Told, size: Fraction) -> Iterator[Amount]:
    """Over a straight edge: the surface of a level run, a closed stringer, or the nosing line."""
    line = {"unit_rise": pocket.line_rise, "unit_run": pocket.line_run}
    if line["unit_rise"] == 0:
        yield ball
        return
    flat: Amount = ball
    if 0 < pocket.side_gap < size:
        again = Told.read(Reading("Øs", ball.made[1].meaning, LENGTH, ball.made[1].key), size)
        flat = derived("flat_gap_for_ball", strip_ball=again, side_gap=pocket.side_gap)
    for margin in {pocket.margin, Fraction(0)}:
        yield derived("bottom_gap_for_strip", strip_opening=flat, stringer_margin=margin, **line)


def _bases(pocket: Pocket) -> Iterator[Amount]:
    if pocket.high.step > pocket.step:
        yield derived("tread_depth", unit_run=pocket.form.run, nosing=pocket.form.nosing)
    else:
        yield base_at_post(pocket)


def base_at_post(pocket: Pocket) -> Amount:
    """Level, from the front edge of a step to the face of the post behind it."""
    face, front = pocket.high.face, pocket.front[0]
    if isinstance(face, Fraction) and isinstance(front, Fraction):
        return face - front
    return pocket.depth_to_post
