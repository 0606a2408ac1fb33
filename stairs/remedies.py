"""Remedies: what to change, and by how much, where a check fails.

A remedy is a sentence with numbers in it and, where the job file can say it, the very change to
make there.  Lengths to be set are on the tape's marks, rounded to the side that passes.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from stairs.checks import FAIL, Finding
from stairs.exact import compare, derived
from stairs.guard import Section
from stairs.job import Job
from stairs.marks import ceil_to_mark, exact_text, floor_to_mark, length_text
from stairs.openings import END, FOOT, HEAD, TRIANGLE
from stairs.windows import Window


@dataclass(frozen=True, slots=True)
class Change:
    """One value to write into the job file.

    Parameters
    ----------
    table : str
        ``"panel"``, ``"bracket"``, ``"post"`` or ``"section"``.
    key : str
        The key in that table.
    value : Fraction, int, str, tuple
        What to write.
    """

    table: str
    key: str
    value: object


@dataclass(frozen=True, slots=True)
class Remedy:
    """One way to make a failing check pass.

    Parameters
    ----------
    text : str
        What to do, with numbers.
    changes : tuple of Change
        The same in the job file; empty where the job file cannot say it.
    """

    text: str
    changes: tuple[Change, ...] = ()


@dataclass(frozen=True, slots=True)
class _Setting:
    """What a remedy is worked out from."""

    finding: Finding
    section: Section
    job: Job
    window: Window

    def show(self, value) -> str:
        return exact_text(Fraction(value), self.job.units)

    def about(self, value: float) -> str:
        return length_text(value, self.job.units, self.job.tape)

    @property
    def limit(self) -> Fraction:
        rule = self.finding.rule
        return rule.limit if rule is not None else Fraction(self.finding.limit)

    def below(self, value) -> Fraction:
        """The greatest mark below a value, or at it where equality passes."""
        mark = floor_to_mark(float(value), self.job.tape)
        strict = self.finding.kind in ("ball-smaller", "cube-smaller")
        order = (
            compare(value, mark)
            if not isinstance(value, float)
            else (value > mark) - (value < mark)
        )
        if order < 0 or (strict and order == 0):
            mark -= self.job.tape
        return mark

    def above(self, value) -> Fraction:
        """The least mark that is not below a value."""
        mark = ceil_to_mark(float(value), self.job.tape)
        return mark if compare(value, mark) <= 0 else mark + self.job.tape


def remedies_for(
    finding: Finding, section: Section, job: Job, window: Window
) -> tuple[Remedy, ...]:
    """Ways to make a failing check pass, the least work first.

    Parameters
    ----------
    finding : Finding
        Whose verdict is ``"fail"``; any other has no remedy.
    section : Section
        As solved.
    job : stairs.job.Job
        As read.
    window : Window
        Of the section's bottom gap.

    Returns
    -------
    tuple of Remedy
    """
    if finding.verdict != FAIL:
        return ()
    setting = _Setting(finding, section, job, window)
    maker = _MAKERS.get(finding.id)
    return tuple(maker(setting)) if maker else ()


# --------------------------------------------------------------------------- the bottom gap


def _gap_remedy(setting: _Setting) -> list[Remedy]:
    """Set the rail inside the window, where there is one."""
    from stairs.windows import choose_gap

    window, section = setting.window, setting.section
    now = section.exact["bottom_gap"]
    if window.empty:
        return []
    gap = choose_gap(window, setting.job.tape)
    if not window.holds(gap):
        return []
    move = gap - now
    word = "Raise" if move > 0 else "Lower"
    high = "" if window.high is None else f", below {setting.about(float(window.high.value))}"
    text = (
        f"{word} the bottom rail by {setting.show(abs(move))} to a gap of {setting.show(gap)} "
        f"(the window is {setting.about(float(window.low.value))} or more{high})"
    )
    return [Remedy(text, (Change("section", "bottom_gap", gap),))]


def _under_rail(setting: _Setting) -> list[Remedy]:
    """Tread openings, foot, head and strips: lower the rail, or fill in under it."""
    finding, section = setting.finding, setting.section
    opening = finding.measure.opening
    remedies = _gap_remedy(setting)
    bound = next((item for item in setting.window.highs if _same_place(item.set_by, opening)), None)
    if bound is None:
        return remedies
    now = section.exact["bottom_gap"]
    allowed = setting.below(bound.value)
    floor = section.exact.get("stringer_margin", Fraction(0))
    if setting.window.empty and allowed > floor:
        remedies.append(
            Remedy(
                f"Lower the bottom rail to a gap of {setting.show(allowed)} or less and take a "
                f"panel taller by "
                f"{setting.about(float(setting.window.low.value) - float(allowed))} or more",
            )
        )
    if now > allowed >= floor:
        strip = now - allowed
        remedies.append(
            Remedy(
                f"Keep the rail and close its underside with a strip {setting.show(strip)} deep, "
                f"plumb, so that a gap of {setting.show(allowed)} is left"
            )
        )
    if allowed < floor and section.kind == "flight" and opening.kind in (TRIANGLE, FOOT):
        remedies.append(
            Remedy(
                "Even a rail on the nosings lets the ball pass: close the stringer up to the rail, "
                "or set the guard outside the tread ends with its rail below the nosing line"
            )
        )
    if opening.kind == HEAD:
        remedies += _nearer_head(setting)
    return remedies


def _same_place(set_by: str, opening) -> bool:
    if opening.kind == FOOT:
        return set_by.endswith("foot")
    if opening.kind == HEAD:
        return set_by.endswith("head")
    return set_by.startswith(
        ("tread opening", "opening at tread", "opening under", "opening above")
    )


def _nearer_head(setting: _Setting) -> list[Remedy]:
    """Move the upper post nearer to the top nosing."""
    section, job = setting.section, setting.job
    opening = setting.finding.measure.opening
    if opening.pocket is None or opening.closed_form is None:
        return []
    pocket = opening.pocket
    R, G = float(pocket.line_rise), float(pocket.line_run)
    total = R + G + (R * R + G * G) ** 0.5
    base = (float(setting.limit) * total / 2 - float(pocket.front_gap) * G) / R
    face = float(pocket.high_post[1]) - float(pocket.front[0])
    if base <= 0 or base >= face:
        return []
    move = ceil_to_mark(face - base, job.tape)
    if face - float(move) >= base:
        move += job.tape
    centre = Fraction(section.posts[-1].x).limit_denominator(10**6) - move
    posts = tuple(Fraction(post.x).limit_denominator(10**6) for post in section.posts[:-1])
    return [
        Remedy(
            f"Move the upper post {setting.show(move)} nearer to the top nosing, to x = "
            f"{setting.show(centre)}",
            (Change("section", "posts", (*posts, centre)),),
        )
    ]


# --------------------------------------------------------------------------- heights


def _guard_height(setting: _Setting) -> list[Remedy]:
    remedies = _gap_remedy(setting)
    short = float(setting.limit) - setting.finding.value
    if setting.finding.kind == "minimum":
        height = setting.above(setting.job.panel.height + Fraction(short))
        remedies.append(
            Remedy(
                f"Take a panel {setting.show(height)} tall or more (now "
                f"{setting.show(setting.job.panel.height)})",
                (Change("panel", "height", height),),
            )
        )
    else:
        height = setting.below(float(setting.job.panel.height) + short)
        remedies.append(
            Remedy(
                f"Take a panel {setting.show(height)} tall or less (now "
                f"{setting.show(setting.job.panel.height)})",
                (Change("panel", "height", height),),
            )
        )
    return remedies


# --------------------------------------------------------------------------- panel and bays


def _baluster(setting: _Setting) -> list[Remedy]:
    panel, section = setting.job.panel, setting.section
    cosine = 1.0
    if section.flight is not None:
        cosine = float(
            derived("cosine", unit_rise=section.flight.line_rise, unit_run=section.flight.line_run)
        )
    pitch = setting.below((float(setting.limit) + float(panel.baluster)) / cosine - 1e-12)
    return [
        Remedy(
            f"Take a panel with balusters at {setting.show(pitch)} or closer along the rail (now "
            f"{setting.show(panel.pitch)})",
            (Change("panel", "pitch", pitch),),
        )
    ]


def _end(setting: _Setting) -> list[Remedy]:
    opening = setting.finding.measure.opening
    bay = setting.section.bays[opening.bay - 1]
    remedies = []
    other = bay.other_trim
    if other is not None:
        widest = max(float(other.end_gap_low), float(other.end_gap_high))
        if widest < float(setting.limit):
            remedies.append(
                Remedy(
                    f"Cut bay {bay.number} the other way ({other.way}): end gaps become "
                    f"{setting.about(float(other.end_gap_low))} and "
                    f"{setting.about(float(other.end_gap_high))}",
                    (Change("panel", "trim", other.way),),
                )
            )
    over = opening.diameter - float(setting.limit)
    move = ceil_to_mark(2 * over + 1e-12, setting.job.tape)
    remedies.append(
        Remedy(
            f"Narrow bay {bay.number} by {setting.show(move)} or a little more: both end gaps "
            f"shrink by half of it"
        )
    )
    return remedies


# --------------------------------------------------------------------------- steps


def _unit_rise(setting: _Setting) -> list[Remedy]:
    section = setting.section
    total = float(section.total_rise)
    if setting.finding.kind == "maximum":
        count = -(-total // float(setting.limit))
        if total / count > float(setting.limit):
            count += 1
    else:
        count = total // float(setting.limit)
    if count < 2:
        return []
    return [
        Remedy(
            f"Divide the rise of {setting.about(total)} into {int(count)} risers of "
            f"{setting.about(total / count)} (now {section.risers} of "
            f"{setting.about(section.unit_rise)})"
        )
    ]


def _unit_run(setting: _Setting) -> list[Remedy]:
    section = setting.section
    run = setting.limit
    total = run * section.treads
    word = "lengthen" if setting.finding.kind == "minimum" else "shorten"
    return [
        Remedy(
            f"Make each run {setting.show(run)}: {word} the total run to {setting.show(total)} "
            f"(now {setting.about(section.total_run)})"
        )
    ]


def _nosing(setting: _Setting) -> list[Remedy]:
    word = "at least" if setting.finding.kind == "minimum" else "at most"
    return [
        Remedy(
            f"Make the nosing {word} {setting.show(setting.limit)} (now "
            f"{setting.about(setting.section.nosing)})",
            (Change("section", "nosing", setting.limit),),
        )
    ]


def _rake(setting: _Setting) -> list[Remedy]:
    from math import radians, tan

    section = setting.section
    slope = tan(radians(float(setting.limit)))
    if setting.finding.kind == "maximum":
        run = ceil_to_mark(section.unit_rise / slope, setting.job.tape)
        return [Remedy(f"Make each run {setting.show(run)} or more at this riser")]
    run = floor_to_mark(section.unit_rise / slope, setting.job.tape)
    return [Remedy(f"Make each run {setting.show(run)} or less at this riser")]


# --------------------------------------------------------------------------- parts


def _rack(setting: _Setting) -> list[Remedy]:
    remedies = [
        Remedy(
            f"This panel racks to {setting.finding.limit:.1f}° and the stair is at "
            f"{setting.finding.value:.1f}°: take a panel that racks further"
        )
    ]
    if "hole_needed" in setting.section.exact and setting.section.max_rack_set_by == "slot":
        hole = setting.above(setting.section.exact["hole_needed"])
        slot = setting.job.panel.slot
        remedies.append(
            Remedy(
                f"Lengthen each hole along the rail to {setting.show(hole)} or more (now "
                f"{setting.show(slot.length)}), if the maker allows it"
            )
        )
    return remedies


def _swing(setting: _Setting) -> list[Remedy]:
    return [
        Remedy(
            f"Take brackets that swing {setting.finding.value:.1f}° or more (these reach "
            f"{setting.finding.limit:.1f}°)"
        )
    ]


def _corner(setting: _Setting) -> list[Remedy]:
    short = -setting.finding.value
    cosine = (
        setting.section.line_run
        / (setting.section.line_run**2 + setting.section.line_rise**2) ** 0.5
    )
    bracket = setting.job.bracket
    setback = setting.above(bracket.rail_setback + Fraction(short / cosine))
    return [
        Remedy(
            f"Cut the rails shorter: {setting.show(setback)} from pin to rail end (now "
            f"{setting.show(bracket.rail_setback)})",
            (Change("bracket", "rail_setback", setback),),
        ),
    ]


def _rail_stock(setting: _Setting) -> list[Remedy]:
    bays = len(setting.section.bays)
    over = setting.finding.value - float(setting.limit)
    return [
        Remedy(
            f"The longest rail is {setting.about(over)} longer than any stock: put in another post "
            f"({bays + 1} bays instead of {bays})"
        )
    ]


def _post_stock(setting: _Setting) -> list[Remedy]:
    return [
        Remedy(
            f"Buy posts {setting.show(setting.above(setting.finding.measure.amount))} long or more"
        )
    ]


def _plate(setting: _Setting) -> list[Remedy]:
    short = float(setting.limit) - setting.finding.value
    move = ceil_to_mark(short, setting.job.tape)
    return [Remedy(f"Move the post {setting.show(move)} back from the edge in front of it")]


def _side_gap(setting: _Setting) -> list[Remedy]:
    return [
        Remedy(
            f"Set the guard {setting.show(setting.limit)} or less outside the tread ends",
            (Change("section", "side_gap", setting.limit),),
        )
    ]


def _riser_count(setting: _Setting) -> list[Remedy]:
    if setting.finding.kind == "minimum":
        return []
    return [Remedy(f"Put a landing in: {setting.limit} risers or fewer in one flight")]


def _flight_rise(setting: _Setting) -> list[Remedy]:
    return [Remedy(f"Put a landing in: one flight may rise {setting.show(setting.limit)} or less")]


def _step_formula(setting: _Setting) -> list[Remedy]:
    run = setting.limit - 2 * Fraction(setting.section.unit_rise)
    word = "or more" if setting.finding.kind == "minimum" else "or less"
    return [Remedy(f"At this riser a run of {setting.about(float(run))} {word} meets the formula")]


def _open_riser(setting: _Setting) -> list[Remedy]:
    section = setting.section
    thick = setting.above(Fraction(section.unit_rise) - setting.limit)
    return [
        Remedy(
            f"Close the risers, or put a strip under each nosing that reaches more than "
            f"{setting.show(thick)} below the tread's surface"
        )
    ]


_MAKERS = {
    "opening-triangle": _under_rail,
    "opening-foot": _under_rail,
    "opening-head": _under_rail,
    "opening-under-rail": _under_rail,
    "opening-baluster": _baluster,
    f"opening-{END}": _end,
    "opening-open-riser": _open_riser,
    "guard-height-min": _guard_height,
    "guard-height-max": _guard_height,
    "handrail-height-min": _guard_height,
    "handrail-height-max": _guard_height,
    "unit-rise-max": _unit_rise,
    "unit-rise-min": _unit_rise,
    "unit-run-min": _unit_run,
    "unit-run-max": _unit_run,
    "nosing-min": _nosing,
    "nosing-max": _nosing,
    "rake-max": _rake,
    "rake-min": _rake,
    "flight-rise-max": _flight_rise,
    "risers-per-flight-max": _riser_count,
    "step-formula-max": _step_formula,
    "step-formula-min": _step_formula,
    "side-gap-max": _side_gap,
    "rack-limit": _rack,
    "bracket-swing": _swing,
    "rail-corner": _corner,
    "rail-stock": _rail_stock,
    "post-stock": _post_stock,
    "post-edge-distance": _plate,
}
