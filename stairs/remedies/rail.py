"""Remedies for the rail: openings under it, heights over it, gaps between balusters."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from stairs.checks.cases import clash, own_handrail
from stairs.checks.window_marks import choose_gap, marks_inside
from stairs.lengths.tape_marks import ceil_to_mark, floor_to_mark
from stairs.openings.opening import END, FOOT, HEAD, TRIANGLE
from stairs.relations.exact import derived
from stairs.remedies.case import Case, Choice, Growing, Plan
from stairs.remedies.empty_window import openers_kept
from stairs.remedies.job_changes import Change, post_changes, post_positions
from stairs.remedies.sizes import STEPS, size_above
from stairs.remedies.trial_solve import marks_that_pass
from stairs.rules import Rule

_MARKS = 12  # neighbouring marks that are tried for a pitch


def set_gap(case: Case) -> list[Choice]:
    """Set the rail inside the window, where there is one.

    Parameters
    ----------
    case : Case
        A check that fails for the bottom gap as it is.

    Returns
    -------
    list of Choice
        One plan; empty where the window is empty or holds no mark of the tape.
    """
    window = case.window
    if window.empty:
        return []
    gap = choose_gap(window, case.tape)
    if (gap / case.tape).denominator != 1 or not window.holds(gap):
        return []
    move = gap - case.section.exact["bottom_gap"]
    marks = marks_that_pass(case.settled.job, case.index, window, case.rule_for)
    low, high = marks or marks_inside(window, case.tape)
    may = f"{case.show(low)} or more" if high is None else f"{case.show(low)} to {case.show(high)}"
    text = (
        f"{'Raise' if move > 0 else 'Lower'} the bottom rail by {case.show(abs(move))} to a gap of "
        f"{case.show(gap)} (it may be {may})"
    )
    return [[Plan(text, (Change("section", "bottom_gap", gap),))]]


def _open_window(case: Case) -> Iterator[Choice]:
    for opener in openers_kept(case.bench, case.section, case.window, case.rule_for):
        yield [Plan(opener.text, opener.changes)]


def _under_rail(case: Case) -> Iterator[Choice]:
    """Tread openings, foot, head and strips: set the rail anew, or fill in under it."""
    opening = case.finding.measure.opening
    if case.finding.flat is not None:  # the rail is low enough, but the guard stands off
        yield _nearer_guard(case)
        yield from set_gap(case)
    else:
        if opening is not None and opening.kind == HEAD:
            yield _nearer_head(case)
        yield from set_gap(case)
        yield from _open_window(case)
        yield _strip(case)
    yield _closed_stringer(case)


def _nearer_guard(case: Case) -> Choice:
    """The guard nearer to the tread ends, so that no larger ball gets through beside them.

    Notes
    -----
    A ball beside the stair is never larger than the root of the squares of flat circle and side
    gap, which gives the first mark to try.
    """
    flat, limit = case.finding.flat, float(case.limit)
    now = case.section.exact["side_gap"]
    start = min(floor_to_mark((limit * limit - flat * flat) ** 0.5, case.tape), now - case.tape)
    marks = [start - step * case.tape for step in range(_MARKS)]
    return [
        Plan(
            f"Stand the guard {case.show(mark)} or less outside the tread ends (now "
            f"{case.show(now)})",
            (Change("section", "side_gap", mark),),
        )
        for mark in marks
        if mark > 0
    ]


def _strip(case: Case) -> Choice:
    """A strip under the rail, the rail left where it is."""
    filler = case.section.exact["filler"]
    units = case.job.units
    start = size_above("strip", filler + (case.above(case.over) or case.tape), units)
    plans = Growing()
    for step in range(_MARKS):
        deep = start + step * STEPS["strip"][units]
        left = case.section.exact["bottom_gap"] - deep
        leaves = f"so that a gap of {case.show(left)} is left"
        if left < 0:
            leaves = f"so that it reaches {case.show(-left)} below the nosing line"
        plans.append(
            Plan(
                f"Keep the rail and close its underside with a strip {case.show(deep)} deep, "
                f"plumb, {leaves}",
                (Change("section", "filler", deep),),
                keeps_gap=True,
            )
        )
    return plans


def _closed_stringer(case: Case) -> Choice:
    """A closed stringer in place of a cut one, as high as the strip over it allows."""
    section = case.section
    if section.kind != "flight" or section.stringer_margin is not None:
        return []
    rule = case.rule_for("opening-under-rail", section)
    if rule is None or case.finding.id not in ("opening-triangle", "opening-foot"):
        return []
    secant = 1 / float(
        derived("cosine", unit_rise=section.flight.line_rise, unit_run=section.flight.line_run)
    )
    strip = float(rule.limit) * secant
    margin = ceil_to_mark(max(section.bottom_gap - section.filler - strip, 0.0), case.tape)
    return [
        Plan(
            f"Close the stringer, its edge {case.show(margin + step * case.tape)} or more above "
            "the nosing line, plumb",
            (
                Change("section", "stringer", "closed"),
                Change("section", "stringer_margin", margin + step * case.tape),
            ),
        )
        for step in range(2)
    ]


def _nearer_head(case: Case) -> Choice:
    """Move the post that closes the opening nearer to the nosing in front of it."""
    opening = case.finding.measure.opening
    if opening.pocket is None or opening.bay is None:
        return []
    pocket = opening.pocket
    rise, run = float(pocket.line_rise), float(pocket.line_run)
    total = rise + run + (rise * rise + run * run) ** 0.5
    base = (float(case.limit) * total / 2 - float(pocket.front_gap) * run) / rise
    face = float(pocket.high_post[1]) - float(pocket.front[0])
    if base <= 0 or base >= face:
        return []
    posts = post_positions(case.section, case.record)
    place = opening.bay
    plans = []
    for step in range(2):
        move = ceil_to_mark(face - base, case.tape) + step * case.tape
        moved = (*posts[:place], posts[place] - move, *posts[place + 1 :])
        plans.append(
            Plan(
                f"Move post {place + 1} {case.show(move)} nearer to the nosing, to x = "
                f"{case.show(moved[place])}",
                post_changes(case.record, moved),
            )
        )
    return plans


def _height(case: Case) -> Iterator[Choice]:
    yield from set_gap(case)
    of_handrail = case.finding.id.startswith("handrail")
    apart = clash(case.section, case.rule_for) if case.section.handrail else None
    if of_handrail or apart:
        yield [_own_handrail(case, apart)]
    if apart is None:
        yield _panel(case)
    elif not of_handrail:
        own = _own_handrail(case, apart)
        yield [
            Plan(f"{own.text}. {plan.text}", own.changes + plan.changes) for plan in _panel(case)
        ]
    if not (apart and of_handrail):
        yield from _open_window(case)


def _own_handrail(case: Case, apart: tuple[Rule, Rule] | None) -> Plan:
    """A handrail of its own beside the guard; why, where one rail can never be both."""
    text = own_handrail(case.section, case.rule_for, case.job.units)
    text = f"{text[0].upper()}{text[1:]}"
    if apart is not None:
        guard, rail = (case.show(rule.limit) for rule in apart)
        text = f"One rail cannot be both: guard at least {guard}, handrail at most {rail}. {text}"
    return Plan(text, (Change("section", "handrail", False),))


def _panel(case: Case) -> Choice:
    """A taller or a lower panel."""
    now = case.job.panel.height
    short = case.finding.ruling.kind == "minimum"
    if short:
        sizes, word = case.sizes_above("panel", float(now) + case.over), "or more"
    else:
        sizes, word = case.sizes_below("panel", float(now) - case.over), "or less"
    choice = []
    for height in sizes:
        text = f"Take a panel {case.show(height)} tall {word} (now {case.show(now)})"
        choice.append(Plan(text, (Change("panel", "height", height),)))
    return choice


# --------------------------------------------------------------------------- balusters


def _baluster(case: Case) -> list[Choice]:
    """Closer balusters, or wider ones."""
    panel = case.job.panel
    cosine = _cosine(case)
    pitch = case.below((float(case.limit) + float(panel.baluster)) / cosine - 1e-12)
    closer = [
        Plan(
            f"Take a panel with balusters at {case.show(mark)} or closer along the rail (now "
            f"{case.show(panel.pitch)})",
            (Change("panel", "pitch", mark),),
        )
        for mark in case.sizes_below("pitch", pitch)
        if mark > panel.baluster
    ]
    width = case.above(float(panel.pitch) * cosine - float(case.limit))
    wider = [
        Plan(
            f"Take balusters {case.show(mark)} wide or more (now {case.show(panel.baluster)})",
            (Change("panel", "baluster", mark),),
        )
        for mark in case.sizes_above("baluster", width)
        if mark < panel.pitch
    ]
    return [closer, wider]


def _cosine(case: Case) -> float:
    flight = case.section.flight
    if flight is None:
        return 1.0
    return float(derived("cosine", unit_rise=flight.line_rise, unit_run=flight.line_run))


def _end(case: Case) -> list[Choice]:
    """The other trim, another pitch, or a narrower bay; two posts side by side closer together."""
    opening = case.finding.measure.opening
    if opening.bay is None:
        most = floor_to_mark(Fraction(case.finding.ruling.limit), case.tape)
        return [
            [
                Plan(
                    f"Stand post 1 {case.show(mark)} from the post beside it",
                    (Change("section", "post_gap", mark),),
                )
                for step in range(4)
                if (mark := most - step * case.tape) > 0
            ]
        ]
    bay = case.section.bays[opening.bay - 1]
    panel = case.job.panel
    choices: list[Choice] = []
    other = bay.other_trim
    if other is not None:
        gaps = (
            f"the end gaps of bay {bay.number} become {case.about(other.end_gap_low)} and "
            f"{case.about(other.end_gap_high)}"
        )
        choices.append(
            [
                Plan(f"{way}: {gaps}", (Change("section", "trim", trim),), where_moved=way)
                for names, trim in _other_trims(case, bay)
                for way in [f"Cut the rails of {names} the other way ({other.way})"]
            ]
        )
    choices.append(_narrower(case, bay))
    each, closest = STEPS["pitch"][case.job.units], case.sizes_below("pitch", panel.pitch)[0]
    choices.append(
        [
            Plan(
                f"Take a panel with balusters at {case.show(mark)} along the rail (now "
                f"{case.show(panel.pitch)})",
                (Change("panel", "pitch", mark),),
            )
            for step in range(_MARKS)
            if panel.pitch > (mark := closest - step * each) > panel.baluster
        ]
    )
    move = ceil_to_mark(2 * case.over + 1e-9, case.tape)
    choices.append(
        [
            Plan(
                f"Narrow bay {bay.number} by {case.show(move)} or a little more: both end gaps "
                "shrink by half of it"
            )
        ]
    )
    return choices


def _other_trims(case: Case, bay) -> list[tuple[str, str | tuple[str, ...]]]:
    """One bay cut the other way, or all of them whose end gaps are too wide: which, and the key."""
    bays = case.section.bays
    if len(bays) > 1 and case.record.posts is None and not isinstance(case.record.bays, int):
        return [("every bay", bay.other_trim.way)]  # how many there are is open: one word for all
    limit = float(case.finding.ruling.limit)
    wide = [
        each.number
        for each in bays
        if each.number == bay.number
        or (each.other_trim is not None and max(each.end_gap_low, each.end_gap_high) >= limit)
    ]
    found = []
    for numbers in ([bay.number], wide) if len(wide) > 1 else ([bay.number],):
        ways = tuple(each.other_trim.way if each.number in numbers else each.way for each in bays)
        names = f"bay{'s' if len(numbers) > 1 else ''} {' and '.join(map(str, numbers))}"
        found.append((names, ways[0] if len(set(ways)) == 1 else ways))
    return found


def _narrower(case: Case, bay) -> Choice:
    """Every bay whose end gaps are too wide, narrowed by moving its upper post down."""
    posts = list(post_positions(case.section, case.record))
    need = ceil_to_mark(2 * case.over - 1e-9, case.tape)
    plans = []
    for step in range(3):
        move = need + step * case.tape
        for place, sign in ((bay.number, -1), (bay.number - 1, 1)):
            if 0 < place < len(posts) - 1:
                continue  # its neighbour would grow by as much
            moved = list(posts)
            moved[place] += sign * move
            if isinstance(moved[place], Fraction):
                plans.append(
                    Plan(
                        f"Narrow bay {bay.number} by {case.show(move)}: post {place + 1} at x = "
                        f"{case.show(moved[place])}",
                        post_changes(case.record, tuple(moved)),
                    )
                )
    return plans


RAIL = {
    f"opening-{TRIANGLE}": _under_rail,
    f"opening-{FOOT}": _under_rail,
    f"opening-{HEAD}": _under_rail,
    "opening-under-rail": _under_rail,
    "opening-baluster": _baluster,
    f"opening-{END}": _end,
    "midrail-gap-max": _under_rail,
    "guard-height-min": _height,
    "guard-height-max": _height,
    "handrail-height-min": _height,
    "handrail-height-max": _height,
}
"""Makers of remedies by the name of the check."""
