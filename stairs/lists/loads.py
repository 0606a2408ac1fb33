"""Loads: what the code asks each post, bay and panel of a guard to carry.

A guard is leant on and fallen against.  Codes name a load at one point of the top rail, some a load
along it, and one on the infill.  What these mean at the foot of a post is a matter of levers: the
load times its height over the base is a moment, and the moment over the distance between the bolts
is a pull on them.  These are demands to hand to an engineer or an official.  Nothing here is a
design, and nothing says that a post, an anchor or a frame is adequate.
"""

from __future__ import annotations

from fractions import Fraction

import msgspec
from msgspec import Struct

from stairs.checks.cases import case_of
from stairs.errors import JobError
from stairs.guard.sides import BOTH, Standing, standings
from stairs.guard.solving import Section
from stairs.job import Job
from stairs.lengths.tape import MILLIMETRES_PER_INCH
from stairs.lengths.tape_marks import length_text
from stairs.lists.post_cuts import both_names
from stairs.relations.exact import Amount, derived
from stairs.rules import LOADS, Load
from stairs.solution import Solution

NEWTONS_PER_POUND = Fraction("4.4482216152605")
"""Exact: 0.45359237 kg times 9.80665 m/s2."""

MILLIMETRES_PER_FOOT = 12 * MILLIMETRES_PER_INCH
BOLT_EDGE = {"in": Fraction(3, 4), "mm": Fraction(20)}
"""Base plate's edge to the middle of a bolt where the job does not say; assumed, no source."""

TEST_FACTOR = Fraction(5, 2)
"""Test load over the code's load in tests of residential posts: 500 lbf for 200 lbf (Loferski,
Albright and Woeste, "Tested Guardrail Post Connections for Residential Decks"; excerpt seen)."""


class PostDemand(Struct, frozen=True):
    """What the load at the top asks of one post."""

    section: int  # which post, both from 1
    post: int
    # top of the top rail at the post's higher face over the surface it stands on [job's unit of
    # length]
    arm: Fraction
    force: Fraction  # at the top [N]
    moment: Fraction  # at the base [N m]
    # in the two bolts of one side of the base plate together [N]; None where no base plate and no
    # bolt spacing is given
    bolt_pull: Fraction | None
    load: str  # "guard-point" or "guard-line": the load that it comes from
    unit: str  # of that load, in which the demand is told too
    # section and post of the next section that are this same post
    also: tuple[int, int] | None = None
    # at a corner under a load along the top: the section that this part of it acts square to. The
    # other section's part is another row; how they combine is the designer's.
    across: int | None = None
    # "both", or the side of the stair, where the guard stands on both sides; else empty
    hand: str = ""

    @property
    def name(self) -> str:
        """Both names of the post, and its hand."""
        text = both_names(self.section, self.post, self.also)
        return text + (f" {self.hand}" if self.hand else "")


class BayDemand(Struct, frozen=True):
    """What the load along the top asks of one bay."""

    section: int  # which bay, both from 1
    bay: int
    length: Fraction  # post centre to post centre along the rail [job's unit of length]
    force: Fraction  # the whole load on it [N]
    unit: str  # of the load along the top


class Demands(Struct, frozen=True):
    """The loads of one job."""

    # as the rulebook gives them, each with the sections, from 1, that it is for
    loads: tuple[tuple[Load, tuple[int, ...]], ...]
    # per load and post, each post once; at a corner two parts of a load along the top
    posts: tuple[PostDemand, ...]
    bays: tuple[BayDemand, ...]  # where the rulebook has a load along the top
    # between the two pairs of bolts of a base plate [job's unit of length]
    bolt_spacing: Fraction | None
    bolt_spacing_assumed: bool  # whether it was assumed and has to be measured


def newtons(value: Fraction, unit: str) -> Fraction:
    """A force [N], or a load along a line [N/mm], from the unit that a code gives it in.

    Examples
    --------
    >>> float(newtons(Fraction(200), "lbf")), float(newtons(Fraction(1, 2), "kN/m"))
    (889.6443230521, 0.5)
    """
    return {
        "lbf": NEWTONS_PER_POUND,
        "kN": Fraction(1000),
        "lbf/ft": NEWTONS_PER_POUND / MILLIMETRES_PER_FOOT,
        "kN/m": Fraction(1),
    }[unit] * value


def is_imperial(unit: str) -> bool:
    """Whether a load's unit is one of pounds."""
    return unit in ("lbf", "lbf/ft")


def base_moment(force: Fraction, arm: Fraction, units: str) -> Fraction:
    """The moment at a post's base from a level force at its top [N m]: ``M = F h``.

    Parameters
    ----------
    force : Fraction
        Level [N].
    arm : Fraction
        Its height over the base [units].
    units : str
        Of the arm, ``"in"`` or ``"mm"``.

    Examples
    --------
    >>> force = newtons(Fraction(200), "lbf")
    >>> pounds_foot = NEWTONS_PER_POUND * MILLIMETRES_PER_FOOT / 1000
    >>> str(base_moment(force, Fraction(36), "in") / pounds_foot)
    '600'
    """
    return force * _millimetres(arm, units) / 1000


def bolt_pull(moment: Fraction, spacing: Fraction, units: str) -> Fraction:
    """The pull that a moment asks of the bolts on one side of a base plate [N].

    Parameters
    ----------
    moment : Fraction
        At the base [N m].
    spacing : Fraction
        Between the two pairs of bolts [units], above 0.
    units : str
        Of the spacing, ``"in"`` or ``"mm"``.

    Notes
    -----
    ``T = M / s``: the plate is taken to turn about the other pair.  Prying, which adds to the pull,
    and how the two bolts share it are left to the designer.

    Examples
    --------
    >>> str(bolt_pull(Fraction(90), Fraction(100), "mm"))
    '900'
    """
    return moment * 1000 / _millimetres(spacing, units)


def _fraction(amount: Amount) -> Fraction:
    return amount if isinstance(amount, Fraction) else Fraction(float(amount))


def _millimetres(length: Fraction, units: str) -> Fraction:
    return length * MILLIMETRES_PER_INCH if units == "in" else length


def demands(solution: Solution, bolt_spacing: Fraction | None = None) -> Demands:
    """The loads that a job's rulebook asks of its guard; none where it lists none.

    Parameters
    ----------
    bolt_spacing : Fraction, optional
        Between the two pairs of bolts of a base plate, measured [job's unit of length], above 0.
        Left out, the base plate less twice 3/4 in or 20 mm, and marked as assumed.

    Raises
    ------
    JobError
        The spacing is 0 or less, or more than the base plate.

    Notes
    -----
    A load along the top is taken over the rail's own length, post centre to post centre, and a
    post takes half of each bay beside it.  A post that two sections share takes half of a bay from
    either, each under its own section's load: added up where the guard goes straight on, as two
    parts at right angles to their own sections where it turns.  Of two loads at one point it takes
    the greater.  A wall takes what it takes, and is not listed.
    """
    job, sections = solution.job, solution.guard.sections
    spacing, assumed = _spacing(job, bolt_spacing)
    at = {section.number: _loads_at(solution, section) for section in sections}
    bays = {
        section.number: [
            _bay_demand(job, section, index, line) for index in range(len(section.bays))
        ]
        for section in sections
        if (line := at[section.number].get("guard-line")) is not None
    }
    standing = [each for each in standings(sections) if each.quantity]
    posts: list[PostDemand] = []
    for each in standing:
        shared = each.shared_with[:1] if each.shared_with else ()
        numbers = (each.section.number, *shared)
        points = [at[one]["guard-point"] for one in numbers if "guard-point" in at[one]]
        if points:
            point = max(points, key=lambda load: newtons(load.value, load.unit))
            arm = _fraction(_height(each)) - job.post.reveal
            force = newtons(point.value, point.unit)
            posts.append(_post_demand(job, each, arm, force, spacing, point))
    for each in standing:
        posts += _line_demands(solution, each, bays, at, spacing)
    return Demands(
        loads_of(solution),
        tuple(posts),
        tuple(bay for own in bays.values() for bay in own),
        spacing,
        assumed,
    )


def _loads_at(solution: Solution, section: Section) -> dict[str, Load]:
    case = msgspec.structs.asdict(case_of(solution.job, section))
    found = {name: solution.rulebook.load(name, **case) for name in LOADS}
    return {name: load for name, load in found.items() if load is not None}


def loads_of(solution: Solution) -> tuple[tuple[Load, tuple[int, ...]], ...]:
    """Each load that the rulebook asks of a guard, once, with the sections, from 1, it is for."""
    at = {section.number: _loads_at(solution, section) for section in solution.guard.sections}
    loads: dict[Load, list[int]] = {}
    for name in LOADS:
        for number, here in at.items():
            if name in here:
                loads.setdefault(here[name], []).append(number)
    return tuple((load, tuple(numbers)) for load, numbers in loads.items())


def _height(standing: Standing) -> Amount:
    """Exactly, where the post is as tall as solved."""
    post = standing.post
    return post.exact_height if standing.height == post.height else Fraction(standing.height)


def _post_demand(
    job: Job,
    standing: Standing,
    arm: Fraction,
    force: Fraction,
    spacing: Fraction | None,
    load: Load,
    across: int | None = None,
) -> PostDemand:
    moment = base_moment(force, arm, job.units)
    section = standing.section
    return PostDemand(
        section=section.number,
        post=standing.post.number,
        arm=arm,
        force=force,
        moment=moment,
        bolt_pull=None if spacing is None else bolt_pull(moment, spacing, job.units),
        load=load.id,
        unit=load.unit,
        also=standing.shared_with,
        across=across,
        hand=standing.hand if section.sides == 2 or standing.hand == BOTH else "",
    )


def _line_demands(
    solution: Solution,
    standing: Standing,
    bays: dict[int, list[BayDemand]],
    at: dict[int, dict[str, Load]],
    spacing: Fraction | None,
) -> list[PostDemand]:
    """Half of every bay beside a post; two parts where it stands at a corner."""
    job, number = solution.job, standing.section.number
    index = standing.post.number - 1
    beside = {number: bays.get(number, [])[max(index - 1, 0) : index + 1]}
    turn = 0.0
    if standing.shared_with is not None:
        upper = standing.shared_with[0]
        turn = solution.guard.sections[upper - 1].turn
        beside[upper] = bays.get(upper, [])[:1]
    forces = {
        place: sum((bay.force / 2 for bay in own), Fraction(0))
        for place, own in beside.items()
        if own
    }
    if not forces:
        return []
    arm = _fraction(_height(standing)) - job.post.reveal
    lines = {place: at[place]["guard-line"] for place in forces}
    if turn == 0:
        force = sum(forces.values(), Fraction(0))
        return [_post_demand(job, standing, arm, force, spacing, next(iter(lines.values())))]
    return [
        _post_demand(job, standing, arm, force, spacing, lines[place], across=place)
        for place, force in forces.items()
    ]


def _spacing(job: Job, given: Fraction | None) -> tuple[Fraction | None, bool]:
    base = job.post.base
    told = "" if given is None else length_text(given, job.units, job.tape)
    if job.post.below is not None:
        if given is not None:
            raise JobError(
                "bolt spacing",
                f"is {told}, and posts go on below the surface (post: below)",
                "A bolt spacing is that of a base plate, over which the post stands",
                "Leave it out, and hand on how deep the fixings are",
            )
        return None, False
    if given is None:
        if base is None or base <= 2 * BOLT_EDGE[job.units]:
            return None, False
        return base - 2 * BOLT_EDGE[job.units], True
    if given <= 0 or (base is not None and given >= base):
        limit = (
            ""
            if base is None
            else f" and below the base plate's {length_text(base, job.units, job.tape)}"
        )
        raise JobError(
            "bolt spacing",
            f"is {told}",
            f"A bolt spacing is above 0{limit}",
            "Measure it between the middles of the bolts",
        )
    return given, False


def _bay_demand(job: Job, section: Section, index: int, load: Load) -> BayDemand:
    low, high = section.posts[index].x, section.posts[index + 1].x
    slope = 1.0
    if section.flight is not None:
        step = section.flight
        slope = 1 / float(derived("cosine", unit_rise=step.line_rise, unit_run=step.line_run))
    length = Fraction((high - low) * slope)
    force = newtons(load.value, load.unit) * _millimetres(length, job.units)
    return BayDemand(section.number, section.bays[index].number, length, force, load.unit)
