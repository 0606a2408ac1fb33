"""Bounds of every result of a section over all that its measurements may really be.

The section is solved once more with traced measurements, and each amount that a check is decided
on is worked out over the whole box of them.  Where a check takes the greatest or the least of
several parts, all of them count, since which one it is may change with the measurements.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Container, Iterable, Mapping, Sequence
from fractions import Fraction
from functools import partial

from msgspec import Struct
from msgspec.structs import replace

from stairs.certainty.enclosure import Enclosure, Unsure, greatest
from stairs.certainty.end_gaps import BayCases, Gap
from stairs.certainty.measured_line import STRIP_DEPTH, on_line
from stairs.certainty.pockets import nested, nested_size
from stairs.certainty.readings import Reading, job_with, ranges_of
from stairs.certainty.sharing import Beside
from stairs.certainty.traced import (
    Box,
    Result,
    Traced,
    Worked,
    end_of,
    greatest_of,
    least_of,
)
from stairs.checks.checked_values import STRIP, above_nosings, measures_of
from stairs.checks.checking import OF_SHARED_POSTS, cube_key
from stairs.checks.measure import Measure, known, known_amount
from stairs.checks.part_values import PLATE_EDGE, PRACTICE, RACKING
from stairs.checks.step_values import OF_STEPS, Taken
from stairs.guard.as_built import by_post
from stairs.guard.solving import Section, solve_section
from stairs.job import Job, JobFlight
from stairs.openings.cube import cube_in_pocket
from stairs.openings.opening import BALUSTER, END, HIGH, OPEN_RISER, Opening
from stairs.openings.pocket import Pocket, strip_width
from stairs.openings.under_rail import largest_in_pocket
from stairs.parts.bracket import PIVOT
from stairs.parts.flight import step_sizes
from stairs.parts.posts import Post, length_of
from stairs.relations.exact import Amount, Derived, derived
from stairs.shapes.square import CERTAIN

Corner = dict[str, Fraction]


class Bounds(Struct, frozen=True):
    """The least and the greatest of a result [its unit], and where in the box to look for them.

    The corners name measurements, each with a value within its range; those that are not named
    make no difference, as far as is known.
    """

    low: float
    high: float
    low_corners: tuple[Corner, ...] = ()
    high_corners: tuple[Corner, ...] = ()

    def at(self, corner: Corner) -> Bounds:
        """The same, looked for where measurements that make no difference are as told."""
        low, high = (
            tuple({**corner, **one} for one in corners)
            for corners in (self.low_corners, self.high_corners)
        )
        return replace(self, low_corners=low, high_corners=high)


_OVER_LOWEST = {
    "guard-height-max": "guard_height",
    "handrail-height-max": "guard_height",
    "midrail-gap-max": "clear_gap",
}
"""What is greatest over the lowest of measured nosings: the amount over all of them."""

_OF_PINS = ("rail-stock", "bracket-holes-top", "bracket-holes-foot")
"""What changes with where pins are along a rail, as it does where posts lean."""

CubeOf = Callable[[Opening], Fraction | None]
"""The edge of the cube that an opening is tried with; None where it is tried with none."""

UNKNOWN = Bounds(-math.inf, math.inf)


class TracedSection:
    """A section solved with traced measurements, and the box that they lie in."""

    def __init__(
        self,
        job: Job,
        index: int,
        readings: Sequence[Reading],
        beside: Sequence[Beside] = (),
    ) -> None:
        self.job, self.section, self.box = _traced(job, index, readings)
        self._gaps: dict[int, tuple[Gap, Gap]] = {}
        self._shared: dict[int, Amount | None] = {}
        """What the sections beside it need of the heights of its posts; None where unsure."""
        for one in beside:
            post = self.section.posts[one.post].number
            try:
                _, other, box = _traced(job, one.index, one.readings)
            except Unsure:
                self._shared[post] = None
                continue
            theirs = {key: ends for key, ends in box.items() if key != STRIP_DEPTH}
            self.box = {**theirs, **self.box}
            self._shared[post] = other.posts[one.their_post].exact_height

    def bounds(
        self, checks: Container[str] | None = None, cube_of: CubeOf | None = None
    ) -> dict[object, Bounds]:
        """Those of every result, by the keys of :attr:`stairs.checks.measure.Measure.keys`.

        Only of what some checks measure, by their names, where ``checks`` are given.  Those of the
        largest cube in an opening stand beside it under :func:`stairs.checks.checking.cube_key`,
        nearer where ``cube_of`` tells that one is held against it.
        """
        section = self.section
        found: dict[object, Bounds] = {}
        if section.flight is not None:
            strip = above_nosings(STRIP, section)
            found[STRIP] = self._of(lambda worked: worked(known_amount(strip.amount)))
        for measure in measures_of(section, self.job):
            if checks is not None and measure.check not in checks:
                continue
            if measure.opening is not None:
                bounds = self._of_opening(measure.opening)
                cube = None if cube_of is None else cube_of(measure.opening)
                found[cube_key(measure)] = self._of_cube(measure.opening, bounds, cube)
            else:
                bounds = self._of_measure(measure)
            for key in measure.keys:
                found[key] = bounds
        return found

    def told(self, amount: Amount | None) -> Bounds | None:
        """Those of a measurement or of what follows from some; None where it is not told."""
        return None if amount is None else self._of_amount(amount)

    def _of(self, result: Result) -> Bounds:
        low, high = end_of(result, self.box, -1), end_of(result, self.box, 1)
        return Bounds(low.value, high.value, (low.corner,), (high.corner,))

    def _of_measure(self, measure: Measure) -> Bounds:
        if measure.check in _OF_PINS and any(map(self._is_leaning, range(len(self.section.bays)))):
            return UNKNOWN
        if measure.check in OF_SHARED_POSTS and None in self._shared.values():
            return UNKNOWN
        if measure.check == RACKING:
            return self._of_racking(measure)
        if measure.check in OF_STEPS and self.section.flight is not None:
            name, taken = OF_STEPS[measure.check]
            every = self._of(_of_steps(step_sizes(self.section.flight)[name], taken))
            drawn = self._of_amount(known_amount(measure.amount))  # of the steps that it is of
            return replace(
                every,
                low_corners=(*every.low_corners, *drawn.low_corners),
                high_corners=(*every.high_corners, *drawn.high_corners),
            )
        survey = None if self.section.flight is None else self.section.flight.survey
        if survey is not None and measure.check in _OVER_LOWEST:
            name = _OVER_LOWEST[measure.check]
            return self._of(
                lambda worked: (
                    worked(self.section.exact[name])
                    + greatest([worked(gap) for gap in survey.line_gaps])
                )
            )
        alike = self._alike(measure.check)
        return self._of_amount(known_amount(measure.amount)) if alike is None else alike

    def _of_amount(self, amount: Amount) -> Bounds:
        return self._of(lambda worked: worked(amount))

    def _alike(self, check: str) -> Bounds | None:
        """Of all parts that a check takes the greatest or the least of."""
        bays, job, of = self.section.bays, self.job, self._of_amount
        posts = [post for post in self.section.posts if not post.wall]
        if check == "rail-corner":
            return self._of(partial(self._deeper, bays[0].ends.corner_clearance))
        if check == "rail-stock":
            needed = [partial(self._deeper, bay.ends.stock_needed) for bay in bays]
            return _greatest_bounds(map(self._of, needed))
        if check == "post-stock":
            heights = [height for post in posts for height in self._heights(post)]
            return _greatest_bounds(of(length_of(job.post, height)) for height in heights)
        if check == "post-spacing":
            return _greatest_bounds(of(bay.spacing_along) for bay in bays)
        if check == PLATE_EDGE:
            edges = [post.stand.plate_edge for post in self.section.posts]
            return _least_bounds(of(edge) for edge in edges if edge is not None)
        if check == "bracket-holes-top":
            over = [map(of, self._over_holes(post)) for post in posts]
            return _least_bounds(map(_greatest_bounds, over))
        if check == "bracket-holes-foot":
            return _least_bounds(of(self._under_holes(post)) for post in self.section.posts)
        return None

    def _heights(self, post: Post) -> list[Amount]:
        """What each section that a post belongs to needs of its height; the greatest is taken."""
        other = self._shared.get(post.number)
        return [post.exact_height] if other is None else [post.exact_height, other]

    def _over_holes(self, post: Post) -> list[Amount]:
        top = known(post.holes).top
        return [
            derived("over_hole", post_height=height, top_hole_height=top)
            for height in self._heights(post)
        ]

    def _under_holes(self, post: Post) -> Amount:
        foot = known(post.holes).foot
        if not post.below:
            return foot
        return derived("under_hole", bottom_hole_height=foot, post_below=known(self.job.post.below))

    def _deeper(self, amount: Amount, worked: Worked) -> Enclosure:
        """An amount of the deeper of the two rails, whichever that is."""
        panel = self.job.panel
        depth = greatest([worked(panel.top_rail), worked(panel.bottom_rail)])
        return _with_depth(amount, depth, worked)

    def _of_racking(self, measure: Measure) -> Bounds:
        """How far the rake is over what the panel racks, as if that were as it was read."""
        limit, _ = PRACTICE[RACKING].limit(self.section, self.job)
        slot, stated = self.job.panel.slot, self.job.panel.max_rack
        rake, found = known_amount(measure.amount), []
        if stated is not None:
            found.append(self._of(lambda worked: worked(rake) - stated))
        if slot is not None:
            hole = {"hole_length": slot.length, "wall": slot.wall}
            found.append(
                self._of(
                    lambda worked: (
                        worked(rake)
                        - worked.form("max_rack", **hole, baluster=self.job.panel.baluster)
                    )
                )
            )
        low, high = max(one.low for one in found), max(one.high for one in found)
        corners = tuple(corner for one in found for corner in one.high_corners)
        return Bounds(float(limit) + low, float(limit) + high, (), corners)

    def _is_leaning(self, bay: int) -> bool:
        """Whether a bay's posts lean or its clear width was measured, which is not looked into."""
        told = by_post(self.section.record)
        between = told.get(bay)
        clear = between is not None and (between.clear_low or between.clear_high)
        return bool(clear or any(told[one].lean for one in (bay, bay + 1) if one in told))

    # ------------------------------------------------------------------ openings

    def _of_opening(self, opening: Opening) -> Bounds:
        # between post and baluster, or in the slot beside a rail's end
        of_pins = opening.kind == END or self.job.bracket.body is not None
        if of_pins and opening.bay is not None and self._is_leaning(opening.bay - 1):
            return UNKNOWN
        if opening.kind == OPEN_RISER and self.section.flight is not None:
            return self._of(greatest_of(step_sizes(self.section.flight)["open riser"]))
        if opening.kind == END:
            return self._of_end(opening)
        if opening.kind == BALUSTER:
            wide = self._of(lambda worked: worked(self.section.racked.baluster_clear))
            between = self._of(self._between_rails)
            return Bounds(
                min(wide.low, between.low),
                min(wide.high, between.high),
                wide.low_corners,
                (*wide.high_corners, *between.high_corners),
            )
        if opening.strip is not None:
            return self._of_strip(opening.strip)
        try:
            least, most = (nested_size(opening, self.box, side) for side in (-1, 1))
            return Bounds(least, self._past_tread_ends(most))
        except Unsure:
            return UNKNOWN

    def _of_cube(self, opening: Opening, ball: Bounds, limit: Fraction | None) -> Bounds:
        """Of the largest cube in an opening, whose balls have these bounds.

        A cube is no larger than the ball in it, and as large as what is cut out of such a ball.
        Beside the stair the ball stands for it, and between parallel faces they are alike; under
        the rail it is searched for among the outermost walls, unless that ball is held back.
        """
        if opening.is_beside_stair or opening.closed_form is not None and opening.pocket is None:
            return ball
        least = ball.low / math.sqrt(2)
        if limit is None or opening.pocket is None or ball.high < limit or math.isinf(ball.high):
            return replace(ball, low=least)
        most = (
            max(cube_in_pocket(nested(opening.pocket, self.box, 1, way)).bound for way in (1, -1))
            * (1 + CERTAIN) ** 2
        )
        return replace(ball, low=least, high=min(ball.high, most))

    def _past_tread_ends(self, flat: float) -> float:
        """A bound of the ball that passes an opening whose flat circle is no larger than told.

        On its way through the opening the ball's middle comes half-way between tread ends and
        guard.  There it is as wide in the one plane as in the other, and a circle of that width
        fits the elevation: so of a ball with the diameter d beside a gap g it is √(d² - g²).
        """
        side_gap = self.section.exact.get("side_gap", Fraction(0))
        gap = end_of(lambda worked: worked(side_gap), self.box, 1).value
        return flat if gap <= 0 else math.hypot(flat, gap) * (1 + 1e-9)

    def _of_strip(self, strip: Pocket) -> Bounds:
        """Between a straight edge and the rail, or between the posts where those are nearer."""
        plain = self._of(least_of([strip_width(strip), strip.clear]))
        if self.job.bracket.body is None:
            return plain
        if strip.stringer_margin is not None:
            return UNKNOWN
        try:  # a larger ball may rise into the slot beside a rail's end
            most = largest_in_pocket(nested(strip, self.box))[0].diameter * (1 + 1e-9)
        except Unsure:
            return UNKNOWN
        return replace(plain, high=max(plain.high, most))

    @property
    def _step(self) -> dict[str, Amount]:
        """Rise and run of the line that the rails follow."""
        flight = self.section.flight
        if flight is None:
            return {"unit_rise": Fraction(0), "unit_run": Fraction(1)}
        return {"unit_rise": flight.line_rise, "unit_run": flight.line_run}

    def _between_rails(self, worked: Worked) -> Enclosure:
        """What fits between the rails, square to them."""
        panel, step = self.job.panel, self._step
        rails = {"top_rail": panel.top_rail, "bottom_rail": panel.bottom_rail}
        inner = worked.form("panel_inner", panel_height=panel.height, **rails, **step)
        return inner * worked.form("cosine", **step)

    def _of_end(self, opening: Opening) -> Bounds:
        if opening.bay is None:  # beside a post of the section's own
            return self._of(lambda worked: worked(known(self.section.ends.post_gap)))
        index = opening.bay - 1
        if index not in self._gaps:
            self._gaps[index] = BayCases(self.section, self.job, index, self.box).gaps()
        low_gap, high_gap = self._gaps[index]
        taken = [high_gap if opening.end == HIGH else low_gap]
        if not opening.end:
            taken = [low_gap, high_gap]
        low, high = min(gap.low for gap in taken), max(gap.high for gap in taken)
        body = self.job.bracket.body
        if body is not None:  # beside a rail's end a ball may rise into the slot
            high = max(high, self._widest_slot(index))
        low = min(low, self._of(self._between_rails).low)
        corners = tuple(corner for gap in taken for corner in gap.corners)
        return Bounds(low, high, (), corners)

    def _widest_slot(self, index: int) -> float:
        """A bound of the slots beside the rails' ends, at either post."""
        ends, panel, bracket = self.section.bays[index].ends, self.job.panel, self.job.bracket

        def widest(worked: Worked) -> Enclosure:
            if bracket.kind != PIVOT:
                return greatest([worked(ends.stand_off_low), worked(ends.stand_off)])
            depth = greatest([worked(panel.top_rail), worked(panel.bottom_rail)])
            off = {"pivot_offset": ends.stand_off_low, "rail_setback": bracket.rail_setback}
            return worked.form("underside_slot", **off, depth=depth, **self._step)

        return end_of(widest, self.box, 1).value


def _traced(job: Job, index: int, readings: Sequence[Reading]) -> tuple[Job, Section, Box]:
    """A job with traced measurements, its section solved with them, and the box they lie in."""
    box = ranges_of(readings)
    traced = {one.key: Traced.read(one.key, one.value) for one in readings}
    job = job_with(job, readings, traced)
    section = job.sections[index]
    if isinstance(section, JobFlight) and section.steps.nosings is not None:
        section, more = on_line(section, box, f"section {index + 1}: slope of the line")
        box |= more
        job = replace(job, sections=(*job.sections[:index], section, *job.sections[index + 1 :]))
    return job, solve_section(job, index, only_walls=True), box


def either_bounds(
    one: Mapping[object, Bounds], other: Mapping[object, Bounds]
) -> dict[object, Bounds]:
    """Those of every result where it may be either of two guards; of one without the other none."""
    found: dict[object, Bounds] = dict.fromkeys((*one, *other), UNKNOWN)
    for key in one.keys() & other.keys():
        parts = one[key], other[key]
        found[key] = Bounds(
            min(part.low for part in parts),
            max(part.high for part in parts),
            tuple(corner for part in parts for corner in part.low_corners),
            tuple(corner for part in parts for corner in part.high_corners),
        )
    return found


def _greatest_bounds(parts: Iterable[Bounds]) -> Bounds:
    """Of the greatest of some results, one or more, whichever of them that is."""
    highest = sorted(parts, key=lambda one: one.high, reverse=True)
    low = max(one.low for one in highest)
    return Bounds(
        low,
        highest[0].high,
        tuple(corner for one in highest for corner in one.low_corners if one.low == low),
        tuple(corner for one in highest for corner in one.high_corners if one.high > low),
    )


def _least_bounds(parts: Iterable[Bounds]) -> Bounds:
    """Of the least of some results, one or more."""
    return _turned(_greatest_bounds(map(_turned, parts)))


def _turned(one: Bounds) -> Bounds:
    return Bounds(-one.high, -one.low, one.high_corners, one.low_corners)


def _with_depth(amount: Amount, depth: Enclosure, worked: Worked) -> Enclosure:
    """A closed form of the deeper rail, where there is one, with that rail's depth."""
    if isinstance(amount, Derived) and "depth" in dict(amount.arguments):
        return worked.form(amount.form, **{**dict(amount.arguments), "depth": depth})
    return worked(amount)


def _of_steps(sizes: Sequence[Amount], taken: Taken) -> Result:
    """The greatest, the least or a difference of the sizes of all steps."""
    if taken in (Taken.MOST, Taken.LEAST):
        return (greatest_of if taken is Taken.MOST else least_of)(sizes)
    places = range(len(sizes))
    pairs = [
        (one, other)
        for one in places
        for other in places
        if one != other and (taken is Taken.SPREAD or abs(one - other) == 1)
    ]

    def spread(worked: Worked) -> Enclosure:
        zero = Enclosure(0.0, 0.0)
        # each difference by itself, so that a reading that two steps share counts once
        return greatest(
            [zero, *(worked(sizes[one]) - worked(sizes[other]) for one, other in pairs)]
        )

    return spread
