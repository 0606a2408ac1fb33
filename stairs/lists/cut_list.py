"""The cut list: every rail, post and bracket of a job as it is bought, sawn and marked.

A rail is cut from a stock rail that comes with its holes punched; the list says what comes off
either end, which holes are lost, and where the balusters fall, measured from the lower cut as one
running dimension, so that rounding never adds up along the rail.  Posts and brackets are in
:mod:`stairs.lists.post_cuts`.  Every length here is on the tape's marks, because that is all that
can be cut.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from fractions import Fraction
from math import ceil, cos, radians, tan

from msgspec import Struct
from msgspec.structs import replace

from stairs.guard.shared_posts import RailAtJoin
from stairs.guard.sides import LEFT, RIGHT
from stairs.guard.solving import Section
from stairs.job import Job
from stairs.lengths.tape_marks import floor_to_mark, round_to_mark
from stairs.lists.cutting_plan import Cut
from stairs.lists.post_cuts import BOTTOM, TOP, BracketPlace, PostCut, bracket_places, post_cuts
from stairs.numbers.tolerances import SAME
from stairs.parts.bays import Bay, BayRail, taped_cut
from stairs.parts.panel import KERF, hole_pattern
from stairs.relations.exact import derived
from stairs.remedies.as_built import rails_made
from stairs.solution import Solution

LOWER, UPPER = "lower", "upper"

TIP_OFF, SLIVER = "tip-off", "sliver"
HOLE_CUT, HOLE_NEAR, NO_HOLE = "hole-cut", "hole-near", "no-hole"


class Flaw(Struct, frozen=True):
    """What is wrong with an end of a rail; lengths in the job's unit."""

    # TIP_OFF: the slanted cut reaches out of its stock rail. SLIVER: less comes off than
    # the saw's cut is wide. HOLE_CUT: the cut goes through a hole. HOLE_NEAR: too little is
    # left between cut and hole. NO_HOLE: no whole hole is left in the rail.
    kind: str
    end: str = ""  # LOWER or UPPER; empty for the whole rail
    # what there is, and what there should be at least; of HOLE_CUT from the cut to the middle
    # of the hole
    found: Fraction = Fraction(0)
    wanted: Fraction = Fraction(0)

    @property
    def of_holes(self) -> bool:
        """Whether it holds wherever the rail is cut from, not from its own stock rail alone."""
        return self.kind in (HOLE_CUT, HOLE_NEAR, NO_HOLE)


class RailEnd(Struct, frozen=True):
    """One end of a rail; lengths in the job's unit."""

    cut: Cut  # the plane of the cut, exactly
    miter: float  # the saw's setting, the rail's underside on the table [degrees]
    bevel: float
    # what comes off the rail's own stock rail there; None where none is long enough
    trim: Fraction | None = None
    holes_lost: int = 0  # holes that go with it, cut into or cut away
    # exactly, from the cut to the edge of the nearest hole that it does not go through
    edge: Fraction | None = None


class RailCut(Struct, frozen=True):
    """One rail to be cut; lengths in the job's unit, on the tape's marks unless said otherwise."""

    section: int  # where it goes, both from 1
    bay: int
    rail: str  # "top" or "bottom"
    # how many are cut: 2 with a guard on both sides of the stair, one for either hand
    quantity: int
    length: Fraction  # along its axis, cut to cut
    # its own stock rail, the shortest that is long enough; what comes off its two ends and the
    # length add up to it. None where none is long enough.
    stock: Fraction | None
    low: RailEnd  # its ends
    high: RailEnd
    way: str  # "even" or "half-pitch"
    saw_angle: float  # degrees that the saw is turned from a square cut
    balusters: int  # whole holes that stay
    # exactly, from the lower cut to the first of them; None where none stays
    first_hole: Fraction | None
    running: tuple[Fraction, ...]  # all of them from the lower cut
    flaws: tuple[Flaw, ...] = ()  # what is wrong with its ends
    askew: RailAtJoin | None = None  # how a plumb-cut rail meets its lower post askew
    done: bool = False  # whether it is cut already, and stays as it was planned

    @property
    def name(self) -> str:
        """Section, bay and rail, as on the lists: ``1.2 top``."""
        return f"{self.section}.{self.bay} {self.rail}"

    @property
    def piece_names(self) -> tuple[str, ...]:
        """One name for each that is cut, with its hand where there are two."""
        if self.quantity == 1:
            return (self.name,)
        return tuple(f"{self.name} {hand}" for hand in (RIGHT, LEFT))


class CutList(Struct, frozen=True):
    """Everything that is bought, cut and marked for one job."""

    # two per bay, top rail first; each stands for as many as its quantity says
    rails: tuple[RailCut, ...]
    posts: tuple[PostCut, ...]  # all posts; one that two sections share is listed with both
    brackets: tuple[BracketPlace, ...]  # four per bay; each stands for as many as its quantity says
    base_plates: int  # one per post where the job gives a base plate
    least_edge: Fraction  # least stuff wanted between a hole and a cut [job's unit of length]

    @property
    def balusters(self) -> int:
        """How many balusters the job takes; a baluster passes both rails of its bay."""
        return sum(rail.balusters * rail.quantity for rail in self.rails if rail.rail == TOP)

    @property
    def posts_by_stock(self) -> tuple[tuple[Fraction | None, int], ...]:
        """Posts to buy by length, shortest first; None last, for those that no length allows."""
        counts: Counter[Fraction | None] = Counter()
        for post in self.posts:
            if post.bought:
                counts[post.stock] += post.quantity
        return tuple(sorted(counts.items(), key=lambda item: (item[0] is None, item[0] or 0)))


def cut_list(
    solution: Solution, least_edge: Fraction | None = None, other_way: bool = False
) -> CutList:
    """Every piece of a job.

    Parameters
    ----------
    least_edge : Fraction, optional
        Least stuff wanted between the edge of a hole and a cut [job's unit of length], 0 or more;
        left out, the baluster's width (common practice, no source).
    other_way : bool
        Whether every rail is cut the other way than the job says: half a pitch over instead of
        evenly, or evenly instead.
    """
    job = solution.job
    edge = job.panel.baluster if least_edge is None else least_edge
    askew = {
        join.upper: join.above for join in solution.joins if join.above.skew and join.above.saw
    }
    rails: list[RailCut] = []
    brackets: list[BracketPlace] = []
    for part, section in zip(solution.sections, solution.guard.sections, strict=True):
        for bay in section.bays:
            leaves = askew.get(section.number) if bay.number == 1 else None
            for rail, done in rails_made(bay, part.standing):
                made = rail if done else bay.cut(other_way)[rail.name == BOTTOM]
                cut = _rail(job, section, bay, made, edge, leaves)
                rails.append(replace(cut, done=True) if done else cut)
        brackets += bracket_places(job, section)
    posts = post_cuts(solution)
    return CutList(
        rails=tuple(rails),
        posts=tuple(posts),
        brackets=tuple(brackets),
        base_plates=sum(post.quantity for post in posts) if job.post.base is not None else 0,
        least_edge=edge,
    )


# --------------------------------------------------------------------------- rails


def _rail(
    job: Job,
    section: Section,
    bay: Bay,
    rail: BayRail,
    least_edge: Fraction,
    askew: RailAtJoin | None,
) -> RailCut:
    trim = rail.cut
    planes = _planes(job, section, bay, rail.name, askew)
    saws = [(0.0, bay.ends.saw_angle)] * 2
    if askew is not None and askew.saw is not None:
        saws[0] = askew.saw.miter, askew.saw.bevel
    stock: Fraction | None = None
    flaws: list[Flaw] = []
    if trim is None:
        places = tuple(map(Fraction, bay.made.along_rail))
        length = round_to_mark(rail.length, job.tape)
        ends = [RailEnd(plane, *saw) for plane, saw in zip(planes, saws, strict=True)]
    else:
        stock = trim.stock
        length, *off = taped_cut(trim.stock, rail.length, trim.low, job.tape)
        lost = trim.holes_lost_low, trim.holes_lost_high
        punched = [hole - off[0] for hole in hole_pattern(job.panel, trim.stock)]
        kept = slice(lost[0], len(punched) - lost[1])
        places = tuple(punched[kept])
        half = hole_half(job, section)
        flaws = off_flaws(job, (planes[0].tip, planes[1].tip), (off[0], off[1]))
        ends = []
        for k, name in enumerate((LOWER, UPPER)):
            holes = punched if k == 0 else [length - hole for hole in reversed(punched)]
            inside = holes[lost[k] : len(holes) - lost[1 - k]]
            edge = next((hole - half for hole in inside if hole >= half), None)
            ends.append(RailEnd(planes[k], *saws[k], off[k], lost[k], edge))
            flaws += _hole_flaws(name, holes, inside, half, least_edge)
        if not places:
            flaws.append(Flaw(NO_HOLE))
    return RailCut(
        section=section.number,
        bay=bay.number,
        rail=rail.name,
        quantity=section.sides,
        length=length,
        stock=stock,
        low=ends[0],
        high=ends[1],
        way=bay.trims.way if trim is None else trim.way,
        saw_angle=bay.ends.saw_angle,
        balusters=bay.balusters if trim is None else len(places),
        first_hole=places[0] if places else None,
        running=tuple(round_to_mark(place, job.tape) for place in places),
        flaws=tuple(flaws),
        askew=askew,
    )


def off_flaws(
    job: Job, tips: tuple[Fraction, Fraction], off: tuple[Fraction, Fraction]
) -> list[Flaw]:
    """Whether a cut leaves the stock rail at an end, or takes off less than it is wide.

    ``tips`` is how far the lower and the upper cut reach beyond the axis, ``off`` what comes off.
    """
    flaws, kerf = [], KERF[job.units]
    for end, tip, one in zip((LOWER, UPPER), tips, off, strict=True):
        if one < floor_to_mark(tip, job.tape):
            flaws.append(Flaw(TIP_OFF, end, one, tip))
        elif 0 < one + tip < kerf:
            flaws.append(Flaw(SLIVER, end, one, kerf))
    return flaws


def _hole_flaws(
    end: str, holes: Sequence[Fraction], inside: Sequence[Fraction], half: Fraction, least: Fraction
) -> list[Flaw]:
    """What is wrong with the holes next to a cut; all holes, and those kept, measured from it."""
    cut_into = [abs(hole) for hole in holes if abs(hole) < half]
    if cut_into:
        return [Flaw(HOLE_CUT, end, min(cut_into))]
    if inside and inside[0] - half < least:
        return [Flaw(HOLE_NEAR, end, inside[0] - half, least)]
    return []


def hole_half(job: Job, section: Section) -> Fraction:
    """Half the length of a hole along the rail [job's unit of length].

    The slot where the job gives one; without, the baluster as the rail at this rake sees it: its
    width over the cosine.
    """
    if job.panel.slot is not None:
        return job.panel.slot.length / 2
    return Fraction(float(job.panel.baluster) / 2 / _cosine(section))


def _cosine(section: Section) -> float:
    if section.flight is None:
        return 1.0
    step = section.flight
    return float(derived("cosine", unit_rise=step.line_rise, unit_run=step.line_run))


def _planes(
    job: Job, section: Section, bay: Bay, rail: str, askew: RailAtJoin | None
) -> tuple[Cut, Cut]:
    """The lower and the upper cut, as planes.

    With the rail along ``u``, its upper face towards ``v`` and its left one towards ``z``, a plumb
    cut is ``u = v tan θ``, and ``z tan φ / cos θ`` more where the rail leaves its post ``φ`` to the
    left of the face's normal.
    """
    up = Fraction(0)
    cosine = 1.0
    if bay.ends.saw_angle and section.flight is not None:
        depth = job.panel.top_rail if rail == TOP else job.panel.bottom_rail
        up = (
            depth / 2 * Fraction(section.rail_line.unit_rise) / Fraction(section.rail_line.unit_run)
        )
        cosine = _cosine(section)
    high = Cut(up, Fraction(0), _factor(cosine))
    if askew is None:
        return high, high
    skew = radians(askew.skew)
    left = Fraction(float(job.panel.rail_width or 0) / 2 * tan(skew) / cosine)
    return Cut(up, left, _factor(cosine * cos(skew))), high


def _factor(cosine: float) -> Fraction:
    """Kerf along the axis over kerf square to the blade, rounded up to a ten-thousandth."""
    return Fraction(ceil(10_000 / cosine - SAME), 10_000)
