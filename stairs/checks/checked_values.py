"""Measures: everything of a solved section that a rule or a part's own limit can be held against.

A measure is an exact amount (a height, an angle, a count) or an opening with its largest circle,
and where it is.  What limit it is held against is no matter of this page.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from itertools import pairwise

from msgspec import Struct

from stairs.checks.gap_window import check_of
from stairs.checks.tolerance import Result
from stairs.guard.solving import Section
from stairs.job import Job
from stairs.job.records import USUAL_SPACING
from stairs.openings.opening import END, OPEN_RISER, Opening, compare_opening
from stairs.parts.flight import step_sizes
from stairs.parts.posts import Post, length_of
from stairs.relations.exact import Amount, compare, derived

PLATE_EDGE = "post-edge-distance"
"""The check of base plates against the edges of what they stand on."""

PRACTICE = {
    "rack-limit": ("rake of the racked panel", "maximum", "degrees"),
    "bracket-swing": ("swing of the brackets", "maximum", "degrees"),
    "rail-corner": ("rail corner to post face", "minimum", "length"),
    "rail-stock": ("stock for the longest rail", "maximum", "length"),
    "post-stock": ("longest post", "maximum", "length"),
    "post-spacing": ("post spacing", "maximum", "length"),
    PLATE_EDGE: ("base plate to nearest edge", "minimum", "length"),
    "bracket-holes-top": ("post over its highest bracket hole", "minimum", "length"),
    "bracket-holes-foot": ("post under its lowest bracket hole", "minimum", "length"),
    "buildable": ("room to build it", "maximum", "count"),
}
"""What is checked against the parts themselves: title, kind of limit, unit."""

PRACTICE_ONLY = "common practice, no source"
"""What sets a limit that nobody asks for: its check is told and judges nothing."""

BUILDABLE = "buildable"
"""The check for measuring errors with which there is no guard at all; of those the count."""

STRIP = "strip above the nosing line"
"""The key of what passes there, which no check has for its name."""


class Measure(Struct, frozen=True):
    """One thing that can be checked: an exact amount, or an opening, and where it is.

    Parameters
    ----------
    check : str
        Name of the check.
    amount : Fraction or Derived or None
        The value; None where ``opening`` holds it.
    where : str
        In words, empty where the section as a whole is meant.
    opening : Opening or None
        The opening whose largest circle is the value.
    level : Fraction or None
        Of a length along the rake, the same measured level.
    """

    check: str
    amount: Amount | None
    where: str = ""
    opening: Opening | None = None
    level: Fraction | None = None

    @property
    def value(self) -> float:
        """The value as a float, in the unit of the check."""
        return float(self.amount) if self.opening is None else self.opening.diameter

    @property
    def keys(self) -> tuple[str, ...]:
        """The names under which its value counts in a re-solved guard; the first is its own.

        An amount is known by its check alone: which riser is the highest, or which post the
        tallest, may change with the measurements.
        """
        return (self.check,) if self.opening is None else self.opening.keys

    def compare(self, limit: Amount) -> int:
        """-1, 0 or 1 as the value is below, at or above the limit, decided exactly.

        Parameters
        ----------
        limit : Fraction or Derived
            In the unit of the check; of an opening a diameter [job's unit of length].
        """
        if self.opening is None:
            return compare(self.amount, limit)
        return compare_opening(self.opening, limit)


def measures_of(section: Section, job: Job) -> tuple[Measure, ...]:
    """Everything in a section that a rule or a part's own limit may be held against.

    Parameters
    ----------
    section : Section
        Solved.
    job : stairs.job.Job
        The job it was solved from.

    Returns
    -------
    tuple of Measure
    """
    exact = section.exact
    found: list[Measure] = []
    if section.kind == "flight":
        for check, name in (
            ("unit-rise-max", "unit_rise"),
            ("unit-rise-min", "least_unit_rise"),
            ("unit-run-max", "greatest_unit_run"),
            ("unit-run-min", "unit_run"),
            ("tread-depth-min", "tread_depth"),
            ("nosing-min", "nosing"),
            ("nosing-max", "nosing"),
            ("step-formula-max", "step_sum"),
            ("step-formula-min", "least_step_sum"),
            ("flight-rise-max", "total_rise"),
            ("risers-per-flight-max", "risers"),
            ("risers-per-flight-min", "risers"),
            ("rake-max", "rake"),
            ("rake-min", "rake"),
            ("guard-needed-risers", "risers"),
            ("handrail-needed-risers", "risers"),
            ("riser-slope-max", "riser_slope"),
            ("side-gap-max", "side_gap"),
        ):
            found.append(Measure(check, exact[name], _step_meant(section, name)))
        # the steps of a designed flight are all alike; a measured one has its own differences
        for check, name in (
            ("riser-uniformity", "riser_spread"),
            ("riser-uniformity-adjacent", "riser_spread_adjacent"),
            ("tread-uniformity", "tread_spread"),
            ("tread-uniformity-adjacent", "tread_spread_adjacent"),
        ):
            if name in exact:
                found.append(Measure(check, exact[name], _step_meant(section, name)))
    drop = job.sections[section.number - 1].drop
    if drop is None and section.kind == "flight":
        drop = exact["total_rise"]
    if drop is not None:
        found.append(Measure("guard-needed-drop", drop))
    ground = job.sections[section.number - 1].ground_slope
    if ground is not None:
        found.append(Measure("guard-needed-slope", ground.fall / ground.over))
    for what in ("guard-height", "handrail-height") if section.handrail else ("guard-height",):
        found.append(Measure(f"{what}-min", exact["guard_height"]))
        # over measured nosings the top rail is highest where they lie lowest
        found.append(Measure(f"{what}-max", exact["greatest_guard_height"], _lowest(section)))
    clear = exact["clear_gap"] + exact["lowest_nosing"]
    found.append(Measure("midrail-gap-max", clear, _lowest(section)))
    found += [
        Measure(check_of(opening), None, opening.place, opening) for opening in section.openings
    ]
    return tuple(found) + _part_measures(section, job)


def above_nosings(measure: Measure, section: Section) -> Measure:
    """The same opening, tried only above the nosing line, as some codes do.

    Parameters
    ----------
    measure : Measure
        Of an opening under the rail.
    section : Section
        A flight, solved.
    """
    side_gap, gap = section.exact["side_gap"], section.exact["clear_gap"]
    strip = {
        "bottom_gap": gap,
        "stringer_margin": Fraction(0),
        "unit_rise": section.flight.line_rise,
        "unit_run": section.flight.line_run,
    }
    if side_gap == 0:
        size = derived("strip_opening", **strip)
    elif gap > 0:
        size = derived("strip_ball", side_gap=side_gap, **strip)
    else:
        size = side_gap  # the rail covers the nosings; what is left drops past the tread ends
    return Measure(measure.check, size, measure.where)


MOST, LEAST, SPREAD, ADJACENT = "most", "least", "spread", "adjacent"
_OF_STEPS = {
    "unit-rise-max": ("rise", MOST),
    "unit-rise-min": ("rise", LEAST),
    "unit-run-max": ("run", MOST),
    "unit-run-min": ("run", LEAST),
    "tread-depth-min": ("tread depth", LEAST),
    "step-formula-max": ("step sum", MOST),
    "step-formula-min": ("step sum", LEAST),
    "riser-uniformity": ("rise", SPREAD),
    "riser-uniformity-adjacent": ("rise", ADJACENT),
    "tread-uniformity": ("run", SPREAD),
    "tread-uniformity-adjacent": ("run", ADJACENT),
    OPEN_RISER: ("open riser", MOST),
}
"""What of which sizes of its steps each result of a measured flight is."""

_EXTREMES = {
    "unit_rise": ("riser", "rises", max),
    "least_unit_rise": ("riser", "rises", min),
    "unit_run": ("tread", "runs", min),
    "greatest_unit_run": ("tread", "runs", max),
    "tread_depth": ("tread", "runs", min),
}
"""Which step of a measured flight each of its measures is taken at."""


def _lowest(section: Section) -> str:
    """The nosing that lies farthest under the line, where they do not all lie on it."""
    survey = None if section.flight is None else section.flight.survey
    if survey is None or max(survey.line_gaps) == 0:
        return ""
    return f"nosing {survey.line_gaps.index(max(survey.line_gaps)) + 1}"


_SPREADS = {"riser_spread": ("risers", "rises"), "tread_spread": ("treads", "runs")}
"""Differences between the largest and the smallest step of a measured flight."""


def _step_meant(section: Section, name: str) -> str:
    """The riser or tread that a measure is of, or two; empty where all steps are alike."""
    survey = section.flight.survey
    if survey is None:
        return ""
    if name in _SPREADS:
        steps, of = _SPREADS[name]
        sizes = getattr(survey, of)
        low, high = sorted((sizes.index(min(sizes)) + 1, sizes.index(max(sizes)) + 1))
        return f"{steps} {low} and {high}" if low < high else ""
    if name not in _EXTREMES:
        return ""
    step, of, extreme = _EXTREMES[name]
    sizes = getattr(survey, of)
    reached = extreme(sizes)
    at = [number for number, size in enumerate(sizes, 1) if size == reached]
    return f"{step} {at[0]}" if len(at) < len(sizes) else ""


def _part_measures(section: Section, job: Job) -> tuple[Measure, ...]:
    step = (
        (Fraction(0), Fraction(1))
        if section.flight is None
        else (section.flight.line_rise, section.flight.line_run)
    )
    rake = derived("rake", unit_rise=step[0], unit_run=step[1])
    found = []
    if section.racked.max_rack is not None and section.kind == "flight":
        found.append(Measure("rack-limit", rake))
    if job.bracket.max_swing is not None and section.kind == "flight":
        found.append(Measure("bracket-swing", rake))
    if job.bracket.kind == "pivot":
        found.append(Measure("rail-corner", section.bays[0].exact.corner_clearance))
    if job.panel.stock:
        bay = max(section.bays, key=lambda bay: bay.stock_needed)
        found.append(Measure("rail-stock", bay.exact.stock_needed, f"bay {bay.number}"))
    posts = [post for post in section.posts if not post.wall]
    if job.post.stock and posts:
        post = max(posts, key=lambda post: post.height)
        tallest = length_of(job.post, post.exact_height)
        found.append(Measure("post-stock", tallest, f"post {post.number}"))
    widest = max(section.bays, key=lambda bay: bay.spacing)
    level = widest.spacing if section.kind == "flight" else None
    where = f"bay {widest.number}"
    found.append(Measure("post-spacing", widest.spacing_along, where, level=level))
    plated = [post for post in section.posts if post.plate_edge is not None]
    if plated:
        post = min(plated, key=lambda post: float(post.plate_edge))
        found.append(Measure(PLATE_EDGE, post.exact_plate_edge, f"post {post.number}"))
    if job.bracket.holes:
        if posts:
            found.append(over_holes(posts))
        post = min(section.posts, key=lambda post: float(post.hole_foot) + post.below)
        foot = post.hole_foot
        if post.below:
            foot = derived("under_hole", bottom_hole_height=foot, post_below=job.post.below)
        found.append(Measure("bracket-holes-foot", foot, f"post {post.number}"))
    return tuple(found)


def edge_not_given(section: Section, job: Job) -> str:
    """What to measure where posts keep from an edge and the job tells none; empty elsewhere.

    Parameters
    ----------
    section : Section
        Solved.
    job : stairs.job.Job
        The job it was solved from.
    """
    posts = [post for post in section.posts if not post.wall]
    if job.post.edge is None or not posts or any(post.plate_edge is not None for post in posts):
        return ""
    if section.kind == "level":
        return "edge not given: measure edge to middle of post"
    return "edge not given: measure landing's edge to middle of post"


def over_holes(posts: Sequence[Post]) -> Measure:
    """What is left of a post over the highest screw hole of its brackets, where that is least.

    Parameters
    ----------
    posts : sequence of stairs.parts.posts.Post
        That are no walls, one or more, of a job that gives the holes.
    """
    post = min(posts, key=lambda post: post.height - float(post.hole_top))
    left = derived("over_hole", post_height=post.exact_height, top_hole_height=post.hole_top)
    return Measure("bracket-holes-top", left, f"post {post.number}")


def part_limit(check: str, section: Section, job: Job) -> tuple[Amount, str]:
    """The limit of a part's own check, and who sets it [unit of the check].

    Parameters
    ----------
    check : str
        One of the keys of ``PRACTICE`` that the section has a measure for.
    section : Section
        Solved.
    job : stairs.job.Job
        The job it was solved from.

    Returns
    -------
    tuple of (Fraction or Derived, str)
        Length in the job's unit, or degrees; table and key of the job file, or ``"geometry"``.
    """
    if check == "rack-limit":
        if section.racked.max_rack_set_by == "slot":
            slot = job.panel.slot
            limit = (
                derived(
                    "max_rack", hole_length=slot.length, wall=slot.wall, baluster=job.panel.baluster
                )
                if (slot.length >= job.panel.baluster)
                else Fraction(0)
            )
            return limit, "panel: slot"
        return job.panel.max_rack, "panel: max_rack"
    if check == "bracket-swing":
        return job.bracket.max_swing, "bracket: max_swing"
    if check == "rail-corner":
        return Fraction(0), "geometry"
    if check == "rail-stock":
        return max(job.panel.stock), "panel: stock"
    if check == "post-stock":
        return max(job.post.stock), "post: stock"
    if check == "post-spacing":
        if job.post.max_spacing is None:
            return USUAL_SPACING[job.units], PRACTICE_ONLY
        return job.post.max_spacing, "post: max_spacing"
    if check in ("bracket-holes-top", "bracket-holes-foot"):
        return Fraction(0), "bracket: holes"
    return job.post.edge_distance, "post: edge_distance"


def part_limits(section: Section, job: Job) -> dict[str, float]:
    """The limit of each part's own check that the section has, by the check's name.

    Parameters
    ----------
    section : Section
        Solved.
    job : stairs.job.Job
        The job it was solved from.

    Returns
    -------
    dict of str to float
        Each in the unit of its check.
    """
    checks = {measure.check for measure in measures_of(section, job)} & PRACTICE.keys()
    return {check: float(part_limit(check, section, job)[0]) for check in checks}


def results_of(
    measures: Sequence[Measure], section: Section, job: Job, limits: Mapping[str, float]
) -> dict[str, Result]:
    """Every measure's value by its keys, as it stands against limits of another job.

    Parameters
    ----------
    measures : sequence of Measure
        :func:`measures_of` the section.
    section : Section
        Solved, perhaps from measurements that are a little off.
    job : stairs.job.Job
        The job it was solved from.
    limits : mapping of str to float
        :func:`part_limits` of the job as it was read.

    Returns
    -------
    dict of str to stairs.checks.tolerance.Result
        In the unit of each check; ``STRIP`` is a diameter [job's unit of length].  Of a measured
        flight each size of each step as well, by its name and its number from 0.

    Notes
    -----
    A part's own limit moves with its measurements: a hole read too long lets a panel rack less far.
    So much nearer to the limit as it was read is the value then taken to be.
    """
    results = {}
    if section.flight is not None:
        results[STRIP] = Result(above_nosings(Measure(STRIP, None), section).value)
    for measure in measures:
        moved = 0.0
        if measure.check in limits:
            moved = limits[measure.check] - float(part_limit(measure.check, section, job)[0])
        result = Result(measure.value + moved, _shape(measure.opening, section))
        results |= dict.fromkeys(measure.keys, result)
    if section.flight is not None and section.flight.survey is not None:
        for name, sizes in step_sizes(section.flight).items():
            results |= {(name, number): Result(float(size)) for number, size in enumerate(sizes)}
    return results


def bounds_of_steps(bounds: Mapping[object, tuple[float, float]]) -> dict[str, tuple[float, float]]:
    """How far off what is taken of all steps may be, from how far off each of them may be.

    Parameters
    ----------
    bounds : mapping
        Lowest and highest value of each result of :func:`results_of` a measured flight; of any
        other section nothing comes out.

    Returns
    -------
    dict of str to (float, float)
        Of the results that are the greatest or least step, or the difference of two.

    Notes
    -----
    Errors do not add up over steps: the greatest riser is one of them, and two make a difference.
    Where two neighbours share a reading, it moves them against each other as much as two would.

    Examples
    --------
    >>> bounds_of_steps({("rise", 0): (6, 8), ("rise", 1): (5, 9)})["riser-uniformity"]
    (0.0, 3)
    """
    found = {}
    for key, (name, extreme) in _OF_STEPS.items():
        steps = []
        while (name, len(steps)) in bounds:
            steps.append(bounds[name, len(steps)])
        if not steps:
            continue
        lows, highs = zip(*steps, strict=True)
        if extreme == MOST:
            found[key] = max(lows), max(highs)
        elif extreme == LEAST:
            found[key] = min(lows), min(highs)
        else:
            apart = pairwise(range(len(steps)))
            if extreme == SPREAD:
                top, least = _two(highs, max), _two(lows, min)
                apart = ((one, other) for one in top for other in least)
            found[key] = (
                0.0,
                max(
                    (
                        max(highs[one] - lows[other], highs[other] - lows[one])
                        for one, other in apart
                        if one != other
                    ),
                    default=0.0,
                ),
            )
    return found


def _two(values: Sequence[float], extreme) -> list[int]:
    """Where the greatest or least two of some values are, so that one is not another's."""
    order = sorted(range(len(values)), key=values.__getitem__, reverse=extreme is max)
    return order[:2]


def _shape(opening: Opening | None, section: Section) -> object:
    """What an opening lies between, where measuring error may change that."""
    if opening is not None and opening.kind == END and opening.bay is not None:
        bay = section.bays[opening.bay - 1]
        return bay.balusters, bay.stock
    if opening is not None and opening.pocket is not None:
        return opening.pocket.low_step, opening.pocket.high_step
    return None
