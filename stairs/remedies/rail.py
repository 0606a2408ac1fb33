"""Remedies for the rail: openings under it, heights over it, gaps between balusters."""

from __future__ import annotations

from collections.abc import Iterator

from stairs.checks.cases import clash, own_handrail
from stairs.checks.measure import known
from stairs.checks.window_marks import choose_gap, marks_inside
from stairs.lengths.tape_marks import ceil_to_mark, floor_to_mark
from stairs.numbers.tolerances import ROUNDING, SAME
from stairs.openings.opening import END, FOOT, HEAD, TRIANGLE
from stairs.parts.bays import Bay
from stairs.remedies.empty_window import openers_kept
from stairs.remedies.failure import Failure, Growing, Ladder, Proposal
from stairs.remedies.job_changes import Change, post_changes, post_positions
from stairs.remedies.sizes import STEPS, size_above
from stairs.remedies.trial_solve import marks_that_pass
from stairs.rules import Rule

_MARKS = 12  # neighbouring marks that are tried for a pitch


def set_gap(failure: Failure) -> Iterator[Ladder]:
    """Set the rail inside the window, where there is one that holds a mark of the tape."""
    window = failure.window
    gap = None if window.empty else choose_gap(window, failure.tape)
    if gap is None or gap % failure.tape or not window.holds(gap):
        return
    move = gap - failure.exact("bottom_gap")
    marks = marks_that_pass(failure.settled.job, failure.index, window, failure.rule_for)
    low, high = marks or known(marks_inside(window, failure.tape))
    may = failure.show(low) + (" or more" if high is None else f" to {failure.show(high)}")
    way = "Raise" if move > 0 else "Lower"
    words = f"{way} the bottom rail by {failure.show(abs(move))} to a gap of {{}} (it may be {may})"
    yield failure.sized(words, "section", "bottom_gap", [gap])


def _open_window(failure: Failure) -> Iterator[Ladder]:
    found = openers_kept(failure.bench, failure.section, failure.window, failure.rule_for)
    for opener in found:
        yield [Proposal(opener.text, opener.changes, opener.then)]


def _under_rail(failure: Failure) -> Iterator[Ladder]:
    """Foot, head and strips: set the rail anew, or fill in under it."""
    opening = failure.opening
    if failure.finding.flat is not None:  # the rail is low enough, but the guard stands off
        yield _nearer_guard(failure, failure.finding.flat)
        yield from set_gap(failure)
    else:
        if opening is not None and opening.kind == HEAD:
            yield _nearer_head(failure)
        yield from set_gap(failure)
        yield from _open_window(failure)
        yield _strip(failure)


def _over_treads(failure: Failure) -> Iterator[Ladder]:
    """Tread openings and the foot, which a closed stringer does away with too."""
    yield from _under_rail(failure)
    yield _closed_stringer(failure)


def _nearer_guard(failure: Failure, flat: float) -> Ladder:
    """The guard nearer to the tread ends, so that no larger ball gets through beside them."""
    # such a ball is never larger than the root of the squares of flat circle and side gap
    limit, now = float(failure.limit), failure.exact("side_gap")
    first = floor_to_mark((limit * limit - flat * flat) ** 0.5, failure.tape)
    marks = failure.marks(min(first, now - failure.tape), -_MARKS)
    words = f"Stand the guard {{}} or less outside the tread ends (now {failure.show(now)})"
    return failure.sized(words, "section", "side_gap", (mark for mark in marks if mark > 0))


def _strip(failure: Failure) -> Ladder:
    """A strip under the rail, the rail left where it is."""
    filler, gap = failure.exact("filler"), failure.exact("bottom_gap")
    units = failure.job.units
    start = size_above("strip", filler + (failure.above(failure.over) or failure.tape), units)
    rungs = Growing()
    for deep in (start + step * STEPS["strip"][units] for step in range(_MARKS)):
        leaves = f"so that a gap of {failure.show(gap - deep)} is left"
        if deep > gap:
            leaves = f"so that it reaches {failure.show(deep - gap)} below the nosing line"
        text = f"Keep the rail and screw a strip {failure.show(deep)} deep under it"
        change = Change("section", "filler", deep)
        rungs.append(Proposal(f"{text}, plumb, {leaves}", (change,), keeps_gap=True))
    return rungs


def _closed_stringer(failure: Failure) -> Ladder:
    """A closed stringer in place of a cut one, as high as the strip over it allows."""
    section = failure.section
    rule = failure.rule_for("opening-under-rail", section)
    if section.stringer_margin is not None or rule is None:
        return []
    strip = float(rule.limit) / section.rail_line.cosine
    least = max(section.bottom_gap - section.filler - strip, 0.0)
    return [
        Proposal(
            f"Close the stringer, its edge {failure.show(margin)} or more above the nosing line, "
            "plumb",
            (Change("section", "stringer", "closed"), Change("section", "stringer_margin", margin)),
        )
        for margin in failure.marks(ceil_to_mark(least, failure.tape))
    ]


def _nearer_head(failure: Failure) -> Ladder:
    """Move the post that closes the opening nearer to the nosing in front of it."""
    opening = failure.opening
    if opening is None or opening.pocket is None or opening.bay is None:
        return []
    pocket, place = opening.pocket, opening.bay
    rise, run = float(pocket.line_rise), float(pocket.line_run)
    total = rise + run + (rise * rise + run * run) ** 0.5
    base = (float(failure.limit) * total / 2 - float(pocket.front_gap) * run) / rise
    face = float(pocket.high.face) - float(pocket.front[0])
    if base <= 0 or base >= face:
        return []
    posts = post_positions(failure.section, failure.record)
    rungs = []
    for move in failure.marks(ceil_to_mark(face - base, failure.tape)):
        to = posts[place] - move
        rungs.append(
            Proposal(
                f"Move post {place + 1} {failure.show(move)} nearer to the nosing, to x = "
                f"{failure.show(to)}",
                post_changes(failure.record, (*posts[:place], to, *posts[place + 1 :])),
            )
        )
    return rungs


def _guard_height(failure: Failure) -> Iterator[Ladder]:
    yield from set_gap(failure)
    apart = clash(failure.section, failure.rule_for) if failure.section.handrail else None
    if apart is None:
        yield _panel(failure)
    else:
        own = _own_handrail(failure, apart)
        yield [own]
        yield [
            Proposal(f"{own.text}. {rung.text}", own.changes + rung.changes)
            for rung in _panel(failure)
        ]
    yield from _open_window(failure)


def _handrail_height(failure: Failure) -> Iterator[Ladder]:
    yield from set_gap(failure)
    apart = clash(failure.section, failure.rule_for)
    yield [_own_handrail(failure, apart)]
    if apart is None:
        yield _panel(failure)
        yield from _open_window(failure)


def _own_handrail(failure: Failure, apart: tuple[Rule, Rule] | None) -> Proposal:
    """A handrail of its own beside the guard; why, where one rail can never be both."""
    text = own_handrail(failure.section, failure.rule_for, failure.job.units)
    text = f"{text[0].upper()}{text[1:]}"
    if apart is not None:
        guard, rail = (failure.show(rule.limit) for rule in apart)
        text = f"One rail cannot be both: guard at least {guard}, handrail at most {rail}. {text}"
    return Proposal(text, (Change("section", "handrail", False),))


def _panel(failure: Failure) -> Ladder:
    """A taller or a lower panel."""
    now = failure.job.panel.height
    if failure.is_short:
        sizes, word = failure.sizes_above("panel", float(now) + failure.over), "or more"
    else:
        sizes, word = failure.sizes_below("panel", float(now) - failure.over), "or less"
    words = f"Take a panel {{}} tall {word} (now {failure.show(now)})"
    return failure.sized(words, "panel", "height", sizes)


# --------------------------------------------------------------------------- balusters


def _baluster(failure: Failure) -> Iterator[Ladder]:
    """Closer balusters, or wider ones."""
    panel, cosine = failure.job.panel, failure.section.rail_line.cosine
    pitch = failure.below((float(failure.limit) + float(panel.baluster)) / cosine - ROUNDING)
    sizes = (mark for mark in failure.sizes_below("pitch", pitch) if mark > panel.baluster)
    now = failure.show(panel.pitch)
    words = f"Take a panel with balusters at {{}} or closer along the rail (now {now})"
    yield failure.sized(words, "panel", "pitch", sizes)
    width = failure.above(float(panel.pitch) * cosine - float(failure.limit))
    sizes = (mark for mark in failure.sizes_above("baluster", width) if mark < panel.pitch)
    words = f"Take balusters {{}} wide or more (now {failure.show(panel.baluster)})"
    yield failure.sized(words, "panel", "baluster", sizes)


def _end(failure: Failure) -> Iterator[Ladder]:
    """The other trim, another pitch, or a narrower bay; two posts side by side closer together."""
    opening, panel = known(failure.opening), failure.job.panel
    if opening.bay is None:
        most = floor_to_mark(failure.limit, failure.tape)
        marks = (mark for mark in failure.marks(most, -4) if mark > 0)
        words = "Stand post 1 {} from the post beside it"
        yield failure.sized(words, "section", "post_gap", marks)
        return
    bay = failure.section.bays[opening.bay - 1]
    if bay.trims.other is not None:
        yield _cut_other_way(failure, bay)
    yield _narrower(failure, bay)
    each = STEPS["pitch"][failure.job.units]
    closest = failure.sizes_below("pitch", panel.pitch)[0]
    pitches = (closest - step * each for step in range(_MARKS))
    sizes = (mark for mark in pitches if panel.pitch > mark > panel.baluster)
    words = f"Take a panel with balusters at {{}} along the rail (now {failure.show(panel.pitch)})"
    yield failure.sized(words, "panel", "pitch", sizes)
    move = failure.show(ceil_to_mark(2 * failure.over + SAME, failure.tape))
    words = f"Narrow bay {bay.number} by {move} or a little more: both end gaps shrink by half of"
    yield [Proposal(f"{words} it")]


def _cut_other_way(failure: Failure, bay: Bay) -> Ladder:
    """One bay cut the other way, or all of them whose end gaps are too wide."""
    other, bays, record = known(bay.trims.other), failure.section.bays, failure.record
    gaps = (
        f"the end gaps of bay {bay.number} become {failure.about(other.end_gap_low)} and "
        f"{failure.about(other.end_gap_high)}"
    )
    trims: list[tuple[str, str | tuple[str, ...]]] = []
    if len(bays) > 1 and record.posts is None and not isinstance(record.bays, int):
        trims = [("every bay", other.way)]  # how many there are is open: one word for all
    else:
        others = {each.number: each.trims.other for each in bays if each.trims.other is not None}
        wide = [
            each.number
            for each in bays
            if each.number == bay.number
            or (each.number in others and max(each.end_gap_low, each.end_gap_high) >= failure.limit)
        ]
        for turned in ([bay.number], wide)[: len(wide)]:
            ways = tuple(
                others[each.number].way if each.number in turned else each.trims.way
                for each in bays
            )
            name = f"bay{'s' if len(turned) > 1 else ''} {' and '.join(map(str, turned))}"
            trims.append((name, ways[0] if len(set(ways)) == 1 else ways))
    rungs = []
    for name, trim in trims:
        way = f"Cut the rails of {name} the other way ({other.way})"
        change = Change("section", "trim", trim)
        rungs.append(Proposal(f"{way}: {gaps}", (change,), where_moved=way))
    return rungs


def _narrower(failure: Failure, bay: Bay) -> Ladder:
    """A bay whose end gaps are too wide, narrowed by moving the section's end post."""
    posts = post_positions(failure.section, failure.record)
    need = ceil_to_mark(2 * failure.over - SAME, failure.tape)
    rungs = []
    for move in failure.marks(need, 3):
        for place, sign in ((bay.number, -1), (bay.number - 1, 1)):
            if 0 < place < len(posts) - 1:
                continue  # its neighbour would grow by as much
            to = posts[place] + sign * move
            moved = (*posts[:place], to, *posts[place + 1 :])
            rungs.append(
                Proposal(
                    f"Narrow bay {bay.number} by {failure.show(move)}: post {place + 1} at x = "
                    f"{failure.show(to)}",
                    post_changes(failure.record, moved),
                )
            )
    return rungs


RAIL = {
    f"opening-{TRIANGLE}": _over_treads,
    f"opening-{FOOT}": _over_treads,
    f"opening-{HEAD}": _under_rail,
    "opening-under-rail": _under_rail,
    "opening-baluster": _baluster,
    f"opening-{END}": _end,
    "midrail-gap-max": _under_rail,
    "guard-height-min": _guard_height,
    "guard-height-max": _guard_height,
    "handrail-height-min": _handrail_height,
    "handrail-height-max": _handrail_height,
}
"""Makers of remedies by the name of the check."""
