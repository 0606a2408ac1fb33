"""The window of the bottom rail: how low and how high it may sit under one rulebook.

The bottom gap is measured plumb from the nosing line (or the walking surface) to the underside of
the bottom rail.  Too high and a ball passes under the rail; too low and the guard, whose height
comes with the rail, is too short, or the rail lies on the nosings.  Between the two is the window.
It may be empty, and then what set its two ends says why.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction

from stairs.exact import Amount, compare, derived
from stairs.guard import Section
from stairs.job import Job
from stairs.marks import ceil_to_mark, floor_to_mark, round_to_mark
from stairs.openings import FOOT, HEAD, TRIANGLE, UNDER_RAIL
from stairs.pockets import Pocket, largest_in_pocket, plain_form
from stairs.rules import Rule

RuleFor = Callable[[str, Section], Rule | None]


@dataclass(frozen=True, slots=True)
class Bound:
    """One end of the window: where, what sets it, and whether the end itself is allowed."""

    value: Amount
    set_by: str
    included: bool
    clause: str


@dataclass(frozen=True, slots=True)
class Window:
    """The bottom gaps that pass; lengths in the job's unit.

    Parameters
    ----------
    low, high : Bound
        The ends; ``high`` is None where nothing limits it.
    bounds : tuple of Bound
        Every lower bound and every upper bound that was found, tightest first.
    """

    low: Bound
    high: Bound | None
    lows: tuple[Bound, ...]
    highs: tuple[Bound, ...]

    @property
    def empty(self) -> bool:
        """Whether no gap at all passes; decided exactly."""
        if self.high is None:
            return False
        order = compare(self.low.value, self.high.value)
        return order > 0 or (order == 0 and not (self.low.included and self.high.included))

    def holds(self, gap: Fraction) -> bool:
        """Whether a gap lies in the window; decided exactly."""
        low = compare(gap, self.low.value)
        if low < 0 or (low == 0 and not self.low.included):
            return False
        if self.high is None:
            return True
        high = compare(gap, self.high.value)
        return high < 0 or (high == 0 and self.high.included)


def window_of(section: Section, job: Job, rule_for: RuleFor) -> Window:
    """The window of a section's bottom gap.

    Parameters
    ----------
    section : Section
        Solved for any gap.
    job : stairs.job.Job
        For the panel.
    rule_for : callable
        Gives the rule for a check in a section, or None.

    Returns
    -------
    Window
    """
    step = _step(section)
    panel = {
        "panel_height": job.panel.height,
        "top_rail": job.panel.top_rail,
        "bottom_rail": job.panel.bottom_rail,
        "unit_rise": step[0],
        "unit_run": step[1],
    }
    lows = [_resting(section)]
    highs = []
    checks = [("guard-height-min", "guard height")]
    if section.handrail:
        checks += [
            ("handrail-height-min", "handrail height"),
            ("handrail-height-max", "handrail height"),
        ]
    checks.append(("guard-height-max", "guard height"))
    for check, name in checks:
        rule = rule_for(check, section)
        if rule is None:
            continue
        gap = derived("bottom_gap_for_guard_height", guard_height=rule.limit, **panel)
        word = "greatest" if check.endswith("max") else "least"
        bound = Bound(gap, f"{word} {name}", True, rule.clause)
        (highs if check.endswith("max") else lows).append(bound)
    highs += _openings(section, step, rule_for)
    lows.sort(key=lambda bound: -float(bound.value))
    highs.sort(key=lambda bound: float(bound.value))
    return Window(lows[0], highs[0] if highs else None, tuple(lows), tuple(highs))


def _step(section: Section) -> tuple[Amount, Amount]:
    if section.flight is None:
        return Fraction(0), Fraction(1)
    return section.flight.line_rise, section.flight.line_run


def _resting(section: Section) -> Bound:
    if section.stringer_margin is not None:
        margin = section.exact["stringer_margin"]
        return Bound(margin, "the rail clears the stringer", False, "geometry")
    if section.kind == "level":
        return Bound(Fraction(0), "the rail clears the walking surface", True, "geometry")
    if section.side_gap > 0:
        lowest = -Fraction(section.unit_rise)
        return Bound(lowest, "the rail stays above the treads below", True, "geometry")
    return Bound(Fraction(0), "the rail clears the nosings", True, "geometry")


def _openings(section: Section, step, rule_for: RuleFor) -> list[Bound]:
    bounds: list[Bound] = []
    seen: set[str] = set()
    for opening in section.openings:
        if opening.kind not in (TRIANGLE, FOOT, HEAD, UNDER_RAIL):
            continue
        check = check_of(opening)
        rule = rule_for(check, section)
        if rule is None:
            continue
        included = rule.limit_kind == "ball-at-most"
        if rule.when.above_nosing_line and opening.kind in (TRIANGLE, FOOT):
            gap = derived(
                "bottom_gap_for_strip",
                strip_opening=rule.limit,
                stringer_margin=Fraction(0),
                unit_rise=step[0],
                unit_run=step[1],
            )
            label = "opening above the nosing line"
        elif opening.pocket is None:
            if section.kind == "level":
                gap = rule.limit
            else:
                gap = derived(
                    "bottom_gap_for_strip",
                    strip_opening=rule.limit,
                    stringer_margin=section.exact["stringer_margin"],
                    unit_rise=step[0],
                    unit_run=step[1],
                )
            label = "opening under the rail"
        else:
            plain = (
                opening.kind == TRIANGLE
                and section.flight.survey is None
                and (opening.pocket.low_step < opening.pocket.step < opening.pocket.high_step)
            )
            key = f"{opening.kind} {plain or opening.place} {opening.bay if not plain else ''}"
            if key in seen:
                continue
            seen.add(key)
            found = gap_for_ball(opening.pocket, rule.limit)
            if found is None:
                continue
            gap = found
            label = {
                TRIANGLE: f"opening at {opening.place}" if not plain else "tread opening",
                FOOT: "opening at the foot",
                HEAD: "opening at the head",
            }[opening.kind]
        bounds.append(Bound(gap, label, included, rule.clause))
    return bounds


def check_of(opening) -> str:
    """The name of the check that rules on an opening.

    A tread opening without a riser (in front of a post that stands on the tread) is no triangle of
    riser, tread and rail; it is held against the ball for the head.
    """
    if opening.kind == TRIANGLE and not opening.has_riser:
        return "opening-head"
    return f"opening-{opening.kind}"


def gap_for_ball(pocket: Pocket, ball: Fraction) -> Amount | None:
    """The bottom gap at which a pocket's largest circle is just the ball [job's unit of length].

    Parameters
    ----------
    pocket : Pocket
        Of a cut or closed stringer.
    ball : Fraction
        Diameter, above 0.

    Returns
    -------
    Fraction, Derived or None
        Exact where the circle leans on surface, riser and rail; None where no rail below the
        height of a storey lets the ball pass.

    Notes
    -----
    A higher rail never makes the circle smaller, so the gap is found by the method of false
    position (the Illinois variant) between a gap that is too low and one that is too high, after
    the closed form has been tried.
    """
    depth = derived("tread_depth", unit_run=pocket.unit_run, nosing=pocket.nosing)
    guess = derived(
        "bottom_gap_for_corner_circle",
        corner_circle=ball,
        corner_base=depth,
        unit_rise=pocket.line_rise,
        unit_run=pocket.line_run,
    )
    if pocket.front_lift:
        guess = Fraction(float(guess)) - pocket.front_lift
    size = float(ball)
    at_guess = replace(pocket, bottom_gap=Fraction(float(guess)))
    floor = pocket.stringer_margin or Fraction(0)
    if compare(guess, floor) > 0 and pocket.stringer_margin is None:
        circle, _, _ = largest_in_pocket(at_guess, {})
        form = plain_form(at_guess, circle)
        if form is not None and abs(circle.diameter - size) <= 1e-9 * size:
            return guess

    def excess(gap: float) -> float:
        circle, _, _ = largest_in_pocket(replace(pocket, bottom_gap=Fraction(gap)), {})
        return circle.diameter - size

    low, high = float(floor) + 1e-6 * size, float(floor) + 4 * size + float(pocket.unit_rise)
    at_low, at_high = excess(low), excess(high)
    if at_high < 0:
        return None
    if at_low >= 0:
        return Fraction(low) if pocket.stringer_margin is not None else _below_zero(guess, floor)
    side = 0
    for _ in range(100):
        middle = (low * at_high - high * at_low) / (at_high - at_low)
        if not low < middle < high:
            middle = (low + high) / 2
        value = excess(middle)
        if abs(value) <= 1e-13 * size or high - low <= 1e-13 * size:
            break
        if value < 0:
            low, at_low = middle, value
            if side == -1:
                at_high /= 2
            side = -1
        else:
            high, at_high = middle, value
            if side == 1:
                at_low /= 2
            side = 1
    return Fraction(middle)


def _below_zero(guess: Amount, floor: Fraction) -> Amount:
    """How far below the nosings the rail would have to be, where it passes on them already."""
    return guess if compare(guess, floor) <= 0 else floor


def choose_gap(window: Window, tape: Fraction) -> Fraction:
    """The gap to set where the job leaves it open: the mark nearest the middle of the window.

    Parameters
    ----------
    window : Window
        Of the section.
    tape : Fraction
        The smallest mark, above 0.

    Returns
    -------
    Fraction
        A mark inside the window where there is one; the exact middle where the window lies
        between two marks; its lower end, on the mark above, where it is empty.
    """
    low = window.low.value
    if window.empty:
        return ceil_to_mark(max(float(low), 0.0), tape)
    if window.high is None:
        mark = ceil_to_mark(float(low), tape)
        return mark if window.holds(mark) else mark + tape
    middle = (float(low) + float(window.high.value)) / 2
    nearest = (round_to_mark(middle, tape), floor_to_mark(middle, tape), ceil_to_mark(middle, tape))
    for mark in nearest:
        if window.holds(mark):
            return mark
    return Fraction(middle)
