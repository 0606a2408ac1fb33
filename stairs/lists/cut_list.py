"""The cut list: every rail, post and bracket of a job as it is bought, sawn and marked.

A rail is cut from a stock rail that comes with its holes punched; the list says what comes off
either end, which holes are lost, and where the balusters fall, measured from the lower cut as one
running dimension, so that rounding never adds up along the rail.  Posts and brackets are in
:mod:`stairs.lists.post_cuts`.  Every length here is on the tape's marks, because that is all that
can be cut.
"""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from math import ceil, cos, radians, tan

from msgspec import Struct

from stairs.guard.shared_posts import RailAtJoin
from stairs.guard.sides import LEFT, RIGHT
from stairs.guard.solving import Section
from stairs.job import Job
from stairs.lengths.tape_marks import round_to_mark
from stairs.lists.cutting_plan import Cut
from stairs.lists.post_cuts import (
    BOTTOM,
    TOP,
    BracketPlace,
    FaceMarks,
    PostCut,
    bracket_places,
    post_cuts,
)
from stairs.parts.bays import Bay, taped_cut
from stairs.parts.panel import Trim, hole_pattern
from stairs.relations.exact import derived
from stairs.report.cuts_text import hole_warnings, notes_on, off_warnings
from stairs.solution import Answer

__all__ = [
    "BOTTOM",
    "TOP",
    "BracketPlace",
    "CutList",
    "FaceMarks",
    "PostCut",
    "RailCut",
    "TrimChoice",
    "cut_list",
    "hole_half",
]


class RailCut(Struct, frozen=True):
    """One rail to be cut; lengths in the job's unit, on the tape's marks unless said otherwise.

    Parameters
    ----------
    section, bay : int
        Where it goes, both from 1.
    rail : str
        ``"top"`` or ``"bottom"``.
    length : Fraction
        Along its axis, cut to cut.
    stock : Fraction or None
        The stock rail that the trim is measured on; None where none is long enough.
    trim_low, trim_high : Fraction or None
        What comes off either end of that stock rail; with the length they add up to it.
    holes_lost_low, holes_lost_high : int
        Holes that go with the trim, cut into or cut away.
    balusters : int
        Whole holes that stay.
    first_hole : Fraction or None
        Exactly, from the lower cut to the first of them; None where none stays.
    running : tuple of Fraction
        All of them from the lower cut.
    edge_low, edge_high : Fraction or None
        Exactly, from either cut to the edge of the nearest hole that it does not go through; None
        where there is none.
    saw_angle : float
        Degrees that the saw is turned from a square cut.
    low, high : Cut
        The planes of its lower and its upper cut, exactly.
    way : str
        ``"even"`` or ``"half-pitch"``; empty where no stock is long enough.
    warnings : tuple of str
        What is wrong with its ends.
    askew : RailAtJoin or None
        How a plumb-cut rail meets its lower post askew, with the saw's setting there.
    quantity : int
        How many are cut: 2 with a guard on both sides of the stair, one for either hand.
    """

    section: int
    bay: int
    rail: str
    length: Fraction
    stock: Fraction | None
    trim_low: Fraction | None
    trim_high: Fraction | None
    holes_lost_low: int
    holes_lost_high: int
    balusters: int
    first_hole: Fraction | None
    running: tuple[Fraction, ...]
    edge_low: Fraction | None
    edge_high: Fraction | None
    saw_angle: float
    low: Cut
    high: Cut
    way: str
    warnings: tuple[str, ...]
    askew: RailAtJoin | None = None
    quantity: int = 1

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

    @property
    def saw_low(self) -> tuple[float, float]:
        """Miter and bevel at the lower end, the rail's underside on the table [degrees]."""
        if self.askew is not None and self.askew.saw is not None:
            return self.askew.saw.miter, self.askew.saw.bevel
        return self.saw_high

    @property
    def saw_high(self) -> tuple[float, float]:
        """Miter and bevel at the upper end, the rail's underside on the table [degrees]."""
        return 0.0, self.saw_angle

    @property
    def saw(self) -> str:
        """The saw's setting in words."""
        plain = "square" if self.saw_angle == 0 else f"{self.saw_angle:.1f}°"
        return plain if self.askew is None else f"{plain}, lower end askew"


class TrimChoice(Struct, frozen=True):
    """The two ways to cut the rails of one bay.

    Parameters
    ----------
    section, bay : int
        Which bay.
    used : str
        The way the job asks for, or the better one where it leaves that open.
    trim, other : Trim or None
        That way and the other one; None where no stock is long enough for it.
    better, because : str
        Which of the two is advised, and why.
    """

    section: int
    bay: int
    used: str
    trim: Trim | None
    other: Trim | None
    better: str
    because: str


class CutList(Struct, frozen=True):
    """Everything that is bought, cut and marked for one job.

    Parameters
    ----------
    rails : tuple of RailCut
        Two per bay, top rail first; each stands for as many as its quantity says.
    choices : tuple of TrimChoice
        One per bay.
    posts : tuple of PostCut
        All posts; one that two sections share is listed with both.
    brackets : tuple of BracketPlace
        Four per bay; each stands for as many as its quantity says.
    base_plates : int
        One per post where the job gives a base plate.
    least_edge : Fraction
        Least stuff wanted between a hole and a cut [job's unit of length].
    notes : tuple of str
        What a reader has to know of the whole.
    """

    rails: tuple[RailCut, ...]
    choices: tuple[TrimChoice, ...]
    posts: tuple[PostCut, ...]
    brackets: tuple[BracketPlace, ...]
    base_plates: int
    least_edge: Fraction
    notes: tuple[str, ...]

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

    @property
    def brackets_by_kind(self) -> tuple[tuple[str, int], ...]:
        """Brackets by kind, in the order of the alphabet."""
        counts: Counter[str] = Counter()
        for place in self.brackets:
            counts[place.kind] += place.quantity
        return tuple(sorted(counts.items()))


def cut_list(
    answer: Answer, least_edge: Fraction | None = None, other_way: bool = False
) -> CutList:
    """Every piece of a job.

    Parameters
    ----------
    answer : Answer
        Of a job.
    least_edge : Fraction, optional
        Least stuff wanted between the edge of a hole and a cut [job's unit of length], 0 or more;
        left out, the baluster's width (common practice, no source).
    other_way : bool
        Whether every rail is cut the other way than the job says: half a pitch over instead of
        evenly, or evenly instead.

    Returns
    -------
    CutList
    """
    job = answer.job
    edge = job.panel.baluster if least_edge is None else least_edge
    rails, choices, brackets = [], [], []
    askew = {join.upper: join.above for join in answer.joins if join.above.skew and join.above.saw}
    for section in answer.guard.sections:
        for bay in section.bays:
            trim = bay.other_trim if other_way else bay.trim
            leaves = askew.get(section.number) if bay.number == 1 else None
            rails += [_rail(job, section, bay, rail, edge, trim, leaves) for rail in (TOP, BOTTOM)]
            choices.append(
                TrimChoice(
                    section.number,
                    bay.number,
                    bay.way,
                    bay.trim,
                    bay.other_trim,
                    bay.better,
                    bay.better_because,
                )
            )
        brackets += bracket_places(job, section)
    posts = post_cuts(answer)
    return CutList(
        rails=tuple(rails),
        choices=tuple(choices),
        posts=tuple(posts),
        brackets=tuple(brackets),
        base_plates=sum(post.quantity for post in posts) if job.post.base is not None else 0,
        least_edge=edge,
        notes=notes_on(answer, posts),
    )


# --------------------------------------------------------------------------- rails


def _rail(
    job: Job,
    section: Section,
    bay: Bay,
    rail: str,
    least_edge: Fraction,
    trim: Trim | None,
    askew: RailAtJoin | None,
) -> RailCut:
    length = round_to_mark(bay.rail_length, job.tape)
    low_cut, high_cut = _planes(job, section, bay, rail, askew)
    common = {
        "section": section.number,
        "bay": bay.number,
        "rail": rail,
        "length": length,
        "saw_angle": bay.saw_angle,
        "low": low_cut,
        "high": high_cut,
        "askew": askew,
        "quantity": section.sides,
    }
    if trim is None:
        running = tuple(round_to_mark(place, job.tape) for place in bay.hole_along_rail)
        return RailCut(
            **common,
            stock=None,
            trim_low=None,
            trim_high=None,
            holes_lost_low=0,
            holes_lost_high=0,
            balusters=bay.balusters,
            first_hole=Fraction(bay.hole_along_rail[0]) if bay.hole_along_rail else None,
            running=running,
            edge_low=None,
            edge_high=None,
            way="",
            warnings=(bay.better_because,),
        )
    length, low, high = taped_cut(trim.stock, bay.rail_length, trim.low, job.tape)
    common["length"] = length
    punched = hole_pattern(job.panel, trim.stock)
    kept = punched[trim.holes_lost_low : len(punched) - trim.holes_lost_high]
    places = tuple(hole - low for hole in kept)
    half = hole_half(job, section)
    edge_low = next((place - half for place in places if place >= half), None)
    from_high = (length - place for place in reversed(places))
    edge_high = next((place - half for place in from_high if place >= half), None)
    return RailCut(
        **common,
        stock=trim.stock,
        trim_low=low,
        trim_high=high,
        holes_lost_low=trim.holes_lost_low,
        holes_lost_high=trim.holes_lost_high,
        balusters=len(places),
        first_hole=places[0] if places else None,
        running=tuple(round_to_mark(place, job.tape) for place in places),
        edge_low=edge_low,
        edge_high=edge_high,
        way=trim.way,
        warnings=(
            *off_warnings(job, (low_cut.tip, high_cut.tip), (low, trim.stock - low - length)),
            *hole_warnings(job, punched, trim, low, length, half, least_edge),
        ),
    )


def hole_half(job: Job, section: Section) -> Fraction:
    """Half the length of a hole along the rail [job's unit of length].

    Parameters
    ----------
    job : stairs.job.Job
        The slot is taken where one is given.
    section : Section
        Without a slot, the baluster as the rail at this rake sees it: its width over the cosine.
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
    if bay.saw_angle and section.flight is not None:
        depth = job.panel.top_rail if rail == TOP else job.panel.bottom_rail
        up = depth / 2 * Fraction(section.line_rise) / Fraction(section.line_run)
        cosine = _cosine(section)
    high = Cut(up, Fraction(0), _factor(cosine))
    if askew is None:
        return high, high
    skew = radians(askew.skew)
    left = Fraction(float(job.panel.rail_width or 0) / 2 * tan(skew) / cosine)
    return Cut(up, left, _factor(cosine * cos(skew))), high


def _factor(cosine: float) -> Fraction:
    """Kerf along the axis over kerf square to the blade, rounded up to a ten-thousandth."""
    return Fraction(ceil(10_000 / cosine - 1e-9), 10_000)
