"""The window of the bottom rail: how low and how high it may sit under one rulebook.

The bottom gap is measured plumb from the nosing line (or the walking surface) to the underside of
the bottom rail.  Too high and a ball passes under the rail; too low and the guard, whose height
comes with the rail, is too short, or the rail lies on the nosings.  Between the two is the window.
It may be empty, and then what set its two ends says why.
"""

from __future__ import annotations

from collections.abc import Callable
from enum import Enum
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from stairs.checks.measure import known, rational
from stairs.guard.limits import over_landing
from stairs.guard.solving import Section
from stairs.job import Job
from stairs.numbers.root_finding import zero_between
from stairs.numbers.tolerances import ROUNDING, SAME
from stairs.openings.cube import corner_gap, is_cube_held, raised_for_cube
from stairs.openings.feature import RISER
from stairs.openings.opening import BELOW_RAIL, FOOT, HEAD, TRIANGLE, Opening
from stairs.openings.pocket import Pocket, PocketPost, slot_matters_to
from stairs.openings.rail_slots import UP_TO_POSTS
from stairs.openings.side_gap.ball import (
    compare_in_pocket,
    is_searched,
    plain_ball,
    surely_sticks,
)
from stairs.openings.side_gap.highest_rail import gap_for_ball_at_side
from stairs.openings.under_rail import largest_in_pocket, plain_form
from stairs.relations.exact import Amount, compare, derived
from stairs.rules import Rule

RuleFor = Callable[[str, Section], Rule | None]
"""The rule of a check for a section; None where the rulebook has none."""


_BEYOND_DOUBT = 1e-6


class Cause(Enum):
    """What sets an end of the window."""

    GUARD_HEIGHT = "guard height"
    HANDRAIL_HEIGHT = "handrail height"
    OPENING = "an opening under the rail"
    HEAD_OPENING = "the opening at the head"
    ROOM = "what the rail lies over, or is fixed to"

    @property
    def is_opening(self) -> bool:
        """Whether a ball or a cube would pass."""
        return self in (Cause.OPENING, Cause.HEAD_OPENING)


class Bound(Struct, frozen=True):
    """One end of the window; lengths in the job's unit."""

    value: Amount  # the bottom gap there; exact, unless a pocket is given
    set_by: str  # in words
    included: bool  # whether the end itself is allowed
    clause: str  # where the limit behind it is from
    # where no closed form gives the end: the opening that sets it, so that a gap within a hair of
    # the end can still be decided exactly, and the ball that must not pass there
    pocket: Pocket | None = None
    ball: Fraction | None = None
    filler: Fraction = Fraction(0)  # depth of the strip under the rail
    cause: Cause = Cause.ROOM

    def compare(self, gap: Amount) -> int:
        """-1, 0 or 1 as a bottom gap is below, at or above this end; decided exactly."""
        # Where a closed form is missing and the gap is nearer to the end than its float is to be
        # trusted, the opening is built for that gap and compared with the ball as the check does.
        near = abs(float(gap) - float(self.value)) <= 1e-7 * max(1.0, abs(float(self.value)))
        if self.pocket is None or not near or not isinstance(gap, Fraction):
            return 0 if gap == self.value else compare(gap, self.value)
        moved = replace(self.pocket, bottom_gap=gap - self.filler)
        return compare_in_pocket(moved, known(self.ball))


class Window(Struct, frozen=True):
    """The bottom gaps that pass."""

    low: Bound
    high: Bound | None  # None where nothing limits it
    # every end that was found, tightest first; of openings whose cube, or ball beside the stair, is
    # searched for only those tighter than the ones before
    lows: tuple[Bound, ...]
    highs: tuple[Bound, ...]

    @property
    def empty(self) -> bool:
        """Whether no gap at all passes; decided exactly."""
        if self.high is None:
            return False
        order = self.high.compare(self.low.value)
        return order > 0 or (order == 0 and not (self.low.included and self.high.included))

    def holds(self, gap: Fraction) -> bool:
        """Whether a bottom gap lies in the window; decided exactly."""
        low = self.low.compare(gap)
        if low < 0 or (low == 0 and not self.low.included):
            return False
        if self.high is None:
            return True
        high = self.high.compare(gap)
        return high < 0 or (high == 0 and self.high.included)

    def is_well_above(self, gap: float) -> bool:
        """Whether its upper end is above a gap beyond all rounding [job's unit of length].

        Then nothing that must not pass does so under the rail, which a lower one keeps too.
        """
        end = None if self.high is None else float(self.high.value)
        return end is None or end - gap > _BEYOND_DOUBT * max(1.0, abs(end))


def window_of(section: Section, job: Job, rule_for: RuleFor) -> Window:
    """The window of the bottom gap of a section that is solved for any gap."""
    lows, highs = _of_heights(section, job, rule_for)
    highs += _openings(section, _step(section), rule_for)
    # of two ends at one place the one that leaves the end out is the tighter
    highs.sort(key=lambda bound: (float(bound.value), bound.included))
    return Window(lows[0], highs[0] if highs else None, tuple(lows), tuple(highs))


def low_end_of(section: Section, job: Job, rule_for: RuleFor) -> Bound:
    """The lower end of the window alone, which takes no search."""
    return _of_heights(section, job, rule_for)[0][0]


def _of_heights(section: Section, job: Job, rule_for: RuleFor) -> tuple[list[Bound], list[Bound]]:
    """Every lower end, the tightest first, and the upper ends that are no opening's."""
    step = _step(section)
    panel = {
        "panel_height": job.panel.height,
        "top_rail": job.panel.top_rail,
        "bottom_rail": job.panel.bottom_rail,
        "unit_rise": step[0],
        "unit_run": step[1],
    }
    lows = [*_resting(section), *_reaching(section), *_bracketed(section)]
    highs = _passing(section)
    causes = {"guard-height": Cause.GUARD_HEIGHT}
    if section.handrail:
        causes["handrail-height"] = Cause.HANDRAIL_HEIGHT
    # over measured nosings the height is greatest at the lowest
    for end, word, bounds, lowest in (
        ("min", "least", lows, Fraction(0)),
        ("max", "greatest", highs, rational(section.exact["lowest_nosing"])),
    ):
        for what, cause in causes.items():
            rule = rule_for(f"{what}-{end}", section)
            if rule is not None:
                height = rule.limit - lowest
                gap = derived("bottom_gap_for_guard_height", guard_height=height, **panel)
                words = f"{word} {cause.value}"
                bounds.append(Bound(gap, words, True, rule.clause, cause=cause))
    rule = rule_for("midrail-gap-max", section)
    if rule is not None:
        gap = (
            rule.limit
            - rational(section.exact["lowest_nosing"])
            + rational(section.exact["filler"])
        )
        highs.append(Bound(gap, "gap under the lowest rail", True, rule.clause))
    lows.sort(key=lambda bound: (-float(bound.value), bound.included))
    return lows, highs


def _step(section: Section) -> tuple[Amount, Amount]:
    if section.flight is None:
        return Fraction(0), Fraction(1)
    return section.flight.line_rise, section.flight.line_run


def _resting(section: Section) -> list[Bound]:
    """How low the rail, or the strip under it, can lie over what it stands over."""
    filler = rational(section.exact["filler"])
    what = _lowest(section)
    if section.stringer_margin is not None:
        margin = rational(section.exact["stringer_margin"])
        return [Bound(margin + filler, f"{what} clears the stringer", False, "geometry")]
    if section.kind == "level":
        return [Bound(filler, f"{what} clears the {section.surface.kind}", True, "geometry")]
    if section.side_gap > 0:
        return []
    return [Bound(filler, f"{what} clears the nosings", True, "geometry")]


def _reaching(section: Section) -> list[Bound]:
    """How low the rail can lie and still come to the first post above the lower landing."""
    first = section.posts[0]
    if section.flight is None or (first.surface > 0 and section.side_gap == 0):
        return []
    place = "the wall" if first.wall else "post 1"
    what = f"{_lowest(section)} clears the lower landing at {place}"
    return [Bound(_in_ground(section), what, False, "geometry")]


def _bracketed(section: Section) -> list[Bound]:
    """How low the rail can lie and still have its brackets over the ends of the posts."""
    bounds = []
    for post in section.posts:
        if post.below:
            lowest = min(mark.height for mark in post.marks)
            gap = Fraction(section.bottom_gap - lowest - post.below)
            bounds.append(
                Bound(gap, f"the lowest bracket of post {post.number}", False, "geometry")
            )
    return bounds


def _passing(section: Section) -> list[Bound]:
    """How high the rail can lie and still come to the last post on the upper landing."""
    last = section.posts[-1]
    if section.flight is None or last.surface < section.nosings[-1][1]:
        return []
    lift = max(over_landing(section.flight, last.x - float(section.ends.high_reach)))
    gap = Fraction(section.panel_height - lift)
    place = "the wall" if last.wall else f"post {last.number}"
    return [Bound(gap, f"the panel comes to {place}", False, "geometry")]


def _in_ground(section: Section) -> Fraction:
    """The gap at which the rail, or the strip under it, meets the lower landing at post 1."""
    line = section.exact["line_at_first_post"]
    line = line if isinstance(line, Fraction) else Fraction(float(line))
    return rational(section.exact["filler"]) - line


def _lowest(section: Section) -> str:
    return "the strip under the rail" if section.exact["filler"] else "the rail"


def _openings(section: Section, step: tuple[Amount, Amount], rule_for: RuleFor) -> list[Bound]:
    """The upper ends that a ball or a cube under the rail sets."""
    bounds: list[Bound] = []
    cubes: list[Bound] = []
    beside: list[Bound] = []
    seen: set[object] = set()
    filler = rational(section.exact["filler"])
    for opening in section.openings:
        if opening.kind not in BELOW_RAIL:
            continue
        rule = rule_for(check_of(opening), section)
        if rule is None:
            continue
        pocket = opening.pocket
        end = Bound(
            value=filler,
            set_by="" if pocket is None else _label(section, opening, pocket),
            included=rule.limit_kind == "ball-at-most",
            clause=rule.clause,
            pocket=pocket,
            ball=rule.limit,
            filler=filler,
            cause=Cause.HEAD_OPENING if opening.kind == HEAD else Cause.OPENING,
        )
        if opening.strip is not None:
            apart = compare(opening.strip.clear, rule.limit)
            if apart < 0 or (apart == 0 and end.included):
                continue  # the posts stand closer together, whatever the gap
            # the higher the rail, the further a slot opens: asked where the strip alone would end
            ends = _over_strip(section, step, end, _margin(section)).value
            there = Fraction(float(ends)) - filler
            if slot_matters_to(replace(opening.strip, bottom_gap=there), float(rule.limit)):
                end = replace(end, set_by="opening under the rail's end", pocket=opening.strip)
                if rule.limit_kind == "cube-smaller" and opening.strip.side_gap == 0:
                    cubes.append(end)
                else:
                    bounds += _found(end, keeps=True)
                continue
        above_nosings = rule.when.above_nosing_line and opening.kind in (TRIANGLE, FOOT)
        if above_nosings or pocket is None:
            margin, label = _margin(section), "opening under the rail"
            if above_nosings:
                margin, label = Fraction(0), "opening above the nosing line"
            if (rule.limit, label) not in seen:
                seen.add((rule.limit, label))
                bounds.append(_over_strip(section, step, replace(end, set_by=label), margin))
            continue
        key = _alike(opening, pocket, rule.limit)
        if key in seen:
            continue
        seen.add(key)
        if pocket.side_gap > 0:
            beside.append(end)
        elif rule.limit_kind == "cube-smaller":
            gap = corner_gap(pocket, rule.limit)
            cubes.append(end)
            if gap is not None:
                bounds.append(replace(end, value=over_filler(gap, filler), pocket=None))
        else:
            bounds += _found(end)
    bounds += _of_balls_beside(bounds, beside)
    return bounds + _of_cubes(bounds, cubes)


def _margin(section: Section) -> Fraction:
    """Of a closed stringer over the nosing line, 0 of a cut one."""
    return rational(section.exact.get("stringer_margin", Fraction(0)))


def _found(end: Bound, keeps: bool = False) -> list[Bound]:
    """The end of a pocket whose ball is known, where any rail lets the ball pass."""
    gap, exact = gap_for_ball(known(end.pocket), known(end.ball), end.included)
    if gap is None:
        return []
    pocket = None if exact and not keeps else end.pocket
    return [replace(end, value=over_filler(gap, end.filler), pocket=pocket)]


def _over_strip(
    section: Section, step: tuple[Amount, Amount], end: Bound, margin: Fraction
) -> Bound:
    """The end where what is open is a strip between the rail and a straight line under it."""
    ball, filler, end = known(end.ball), end.filler, replace(end, pocket=None)
    if section.flight is None:
        return replace(end, value=ball + filler)
    side_gap = rational(section.exact["side_gap"])
    if side_gap > 0 and ball <= side_gap:
        # it drops between stair and guard, however low the rail is
        return replace(end, value=_in_ground(section), included=False)
    flat: Amount = ball
    if side_gap > 0:
        flat = derived("flat_gap_for_ball", strip_ball=ball, side_gap=side_gap)
    gap = derived(
        "bottom_gap_for_strip",
        strip_opening=flat,
        stringer_margin=margin + filler,
        unit_rise=step[0],
        unit_run=step[1],
    )
    return replace(end, value=gap)


def _below_all(bounds: list[Bound], found: list[Bound], ball: Fraction) -> Fraction | None:
    """A gap just under the lowest end so far, without the strip; None where there is no end."""
    ends = [*bounds, *found]
    if not ends:
        return None
    return Fraction(min(float(end.value) for end in ends)) - ends[0].filler - ball / 10**9


def _of_balls_beside(bounds: list[Bound], beside: list[Bound]) -> list[Bound]:
    """Ends below all others, where a ball gets through beside the stair."""
    found: list[Bound] = []
    # between treads that no post stands on the end is soon found, and mostly the lowest
    for end in sorted(beside, key=lambda end: not _is_plain(known(end.pocket))):
        pocket, ball = known(end.pocket), known(end.ball)
        floor, gap = pocket.stringer_margin, _below_all(bounds, found, ball)
        if gap is not None and (floor is None or gap > floor):
            below = replace(pocket, bottom_gap=gap)
            # of a ball that is searched for it is soon told whether it sticks just below the least
            if is_searched(below, ball) and surely_sticks(below, ball):
                continue
        found += _found(end)
    return found


def _of_cubes(bounds: list[Bound], cubes: list[Bound]) -> list[Bound]:
    """Ends below all others, where a cube gets through that lies in no plain corner."""
    found: list[Bound] = []
    for end in cubes:
        # just below the end that the plain corner gives
        pocket, edge = known(end.pocket), known(end.ball)
        gap = _below_all(bounds, found, edge)
        if gap is not None and is_cube_held(pocket, edge, gap):
            continue
        low, _ = gap_for_ball(pocket, edge)
        if low is not None:
            gap = raised_for_cube(pocket, edge, Fraction(float(low)))
            found.append(replace(end, value=gap + end.filler, pocket=None))
    return found


def _label(section: Section, opening: Opening, pocket: Pocket) -> str:
    if opening.kind == TRIANGLE:
        even = section.flight is not None and section.flight.survey is None
        plain = even and _is_plain(pocket)
        return "tread opening" if plain else f"opening at {opening.place}"
    return f"opening at the {opening.kind}"


def _is_plain(pocket: Pocket) -> bool:
    """Whether no post stands on the pocket's step."""
    return pocket.low.step < pocket.step < pocket.high.step


def _alike(opening: Opening, pocket: Pocket, ball: Fraction) -> object:
    """What two openings have in common that have the same window end."""
    room = 2 * ball + pocket.form.nosing
    front = float(pocket.front[0])
    low, high = float(pocket.cut.low_slot), float(pocket.cut.high_slot)  # where the rail ends
    far = float(pocket.low.face) + low < front - room
    far = far and float(pocket.high.face) - high > front + float(pocket.form.run) + room
    if not (_is_plain(pocket) and far):
        return opening.kind, opening.bay, opening.tread
    return replace(
        pocket,
        step=1,
        front=(Fraction(0), Fraction(0)),
        low=PocketPost(0, Fraction(0), 0, Fraction(0)),
        high=PocketPost(0, Fraction(0), 2, Fraction(0)),
        cut=UP_TO_POSTS,
    ), ball


def check_of(opening: Opening) -> str:
    """The name of the check that rules on an opening."""
    # In front of a post that stands on the tread there is no riser, so it is no triangle of riser,
    # tread and rail; it is held against the ball for the head.
    if opening.kind == TRIANGLE and not opening.has_riser:
        return "opening-head"
    return f"opening-{opening.kind}"


def over_filler(gap: Amount, filler: Fraction) -> Amount:
    """The bottom gap of a rail over a strip that leaves a gap [job's unit of length]."""
    return derived("bottom_gap_over_filler", clear_gap=gap, filler=filler) if filler else gap


def gap_for_ball(
    pocket: Pocket, ball: Fraction, may_touch: bool = False
) -> tuple[Amount | None, bool]:
    """The bottom gap at which a pocket's largest circle is just the ball, and whether it is exact.

    The gap is that under any strip [job's unit of length]; None where no rail below the height of a
    storey lets the ball pass.  Where even the lowest rail does, it is where the closed form would
    put it, below that, or that lowest gap itself.  One that is not exact is a float next to the
    end; :meth:`Bound.compare` decides on which side of the end a gap lies.
    """
    if pocket.side_gap > 0:
        return gap_for_ball_at_side(pocket, ball, may_touch), False
    size = float(ball)
    floor = pocket.stringer_margin or Fraction(0)
    guess = _closed_gap(pocket, ball)
    if guess is not None:
        if float(guess) <= float(floor) and pocket.stringer_margin is None:
            at_floor = replace(pocket, bottom_gap=floor)
            if largest_in_pocket(at_floor)[0].diameter >= size * (1 - ROUNDING):
                return guess, True
        elif float(guess) > float(floor):
            at_guess = replace(pocket, bottom_gap=Fraction(float(guess)))
            plain = plain_ball(at_guess)
            if plain is not None and plain.corner == RISER:
                return guess, True
            circle, _, _ = largest_in_pocket(at_guess)
            form = plain_form(at_guess, circle)
            if form is not None and abs(circle.diameter - size) <= SAME * size:
                return guess, True

    def excess(gap: float) -> float:
        circle, _, _ = largest_in_pocket(replace(pocket, bottom_gap=Fraction(gap)))
        return circle.diameter - size

    low, high = float(floor) + SAME * size, float(floor) + 4 * size + float(pocket.form.rise)
    at_low, at_high = excess(low), excess(high)
    if at_high < 0:
        return None, True
    if at_low >= 0:
        return floor, True
    # a higher rail never makes the circle smaller
    near = 1e-13 * size
    ends = zero_between(excess, low, high, (at_low, at_high), near, near)
    return Fraction(ends[0]), False


def _closed_gap(pocket: Pocket, ball: Fraction) -> Amount | None:
    """Where the gap would be if the circle leans on surface, upright face and rail."""
    if pocket.high.step > pocket.step:
        base = derived("tread_depth", unit_run=pocket.form.run, nosing=pocket.form.nosing)
    elif isinstance(pocket.front[0], Fraction):
        base = pocket.depth_to_post
    else:
        return None
    gap = derived(
        "bottom_gap_for_corner_circle",
        corner_circle=ball,
        corner_base=base,
        unit_rise=pocket.line_rise,
        unit_run=pocket.line_run,
    )
    if pocket.front_lift == 0:
        return gap
    return derived("bottom_gap_over_front", front_gap=gap, front_lift=pocket.front_lift)
