"""The cut list: every rail, post and bracket of a job as it is bought, sawn and marked.

A rail is cut from a stock rail that comes with its holes punched; the list says what comes off
either end, which holes are lost, and where the balusters fall, measured from the lower cut as one
running dimension, so that rounding never adds up along the rail.  A post is cut to its height over
the surface it stands on and marked up each face from its foot.  Every length here is on the tape's
marks, because that is all that can be cut.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from fractions import Fraction

from stairs.answer import Answer
from stairs.bays import Bay
from stairs.exact import derived
from stairs.guard import Section
from stairs.job import Job
from stairs.marks import floor_to_mark, length_text, round_to_mark
from stairs.panel import Trim, hole_pattern
from stairs.posts import Post

TOP, BOTTOM = "top", "bottom"


@dataclass(frozen=True, slots=True)
class RailCut:
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
        Exactly, from either cut to the edge of the nearest hole that stays; below 0 where it is cut
        into.
    saw_angle : float
        Degrees that the saw is turned from a square cut.
    tip : Fraction
        How far a slanted cut reaches beyond the axis at either end, rounded up to a sixty-fourth of
        a mark.
    way : str
        ``"even"`` or ``"half-pitch"``; empty where no stock is long enough.
    warnings : tuple of str
        What is wrong with its ends.
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
    tip: Fraction
    way: str
    warnings: tuple[str, ...]

    @property
    def name(self) -> str:
        """Section, bay and rail, as on the lists: ``1.2 top``."""
        return f"{self.section}.{self.bay} {self.rail}"

    @property
    def saw(self) -> str:
        """The saw's setting in words."""
        return "square" if self.saw_angle == 0 else f"{self.saw_angle:.1f}°"


@dataclass(frozen=True, slots=True)
class TrimChoice:
    """The two ways to cut the rails of one bay.

    Parameters
    ----------
    section, bay : int
        Which bay.
    used : str
        The way the job asks for.
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


@dataclass(frozen=True, slots=True)
class FaceMarks:
    """Bracket marks up one face of a post, from its foot.

    Parameters
    ----------
    side : str
        ``"up"`` or ``"down"``: which way the bay lies.
    bay : int
        The bay whose rails go there.
    bottom, top : Fraction
        Heights over the post's own surface.
    """

    side: str
    bay: int
    bottom: Fraction
    top: Fraction


@dataclass(frozen=True, slots=True)
class PostCut:
    """One post to be cut and marked; lengths in the job's unit, on the tape's marks.

    Parameters
    ----------
    section, post : int
        Where it stands, both from 1.
    stands_on : str
        Its surface.
    height : Fraction
        Surface to top.
    stock : Fraction or None
        The post to buy; None where none is long enough or none is given.
    cut_off : Fraction or None
        What comes off it.
    faces : tuple of FaceMarks
        Down-stair face first.
    same_as : tuple of (int, int) or None
        Section and post that were listed before and are this same post.
    wall : bool
        Whether it is the face of a wall, with brackets and no post.
    """

    section: int
    post: int
    stands_on: str
    height: Fraction
    stock: Fraction | None
    cut_off: Fraction | None
    faces: tuple[FaceMarks, ...]
    same_as: tuple[int, int] | None = None
    wall: bool = False

    @property
    def bought(self) -> bool:
        """Whether a post is bought for it: neither for a wall nor twice for a shared one."""
        return self.same_as is None and not self.wall


@dataclass(frozen=True, slots=True)
class BracketPlace:
    """One bracket and where it goes.

    Parameters
    ----------
    section, post, bay : int
        Where it goes, all from 1.
    side, rail : str
        ``"up"`` or ``"down"`` face; ``"top"`` or ``"bottom"`` rail.
    kind : str
        ``"swing up"``, ``"swing down"``, ``"level"`` or ``"plumb-cut socket"``, with ``"corner, "``
        before it where the section turns from the one before.
    swing : float
        Turn from level in degrees; below 0 where the rail falls away from the post.
    turn : float
        Plan turn at this post in degrees; 0 where the guard goes straight on.
    """

    section: int
    post: int
    bay: int
    side: str
    rail: str
    kind: str
    swing: float
    turn: float


@dataclass(frozen=True, slots=True)
class CutList:
    """Everything that is bought, cut and marked for one job.

    Parameters
    ----------
    rails : tuple of RailCut
        Two per bay, top rail first.
    choices : tuple of TrimChoice
        One per bay.
    posts : tuple of PostCut
        All posts; one that two sections share is listed with both.
    brackets : tuple of BracketPlace
        Four per bay.
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
        return sum(rail.balusters for rail in self.rails if rail.rail == TOP)

    @property
    def posts_by_stock(self) -> tuple[tuple[Fraction | None, int], ...]:
        """Posts to buy by length, shortest first; None last, for those that no length allows."""
        counts = Counter(post.stock for post in self.posts if post.bought)
        return tuple(sorted(counts.items(), key=lambda item: (item[0] is None, item[0] or 0)))

    @property
    def brackets_by_kind(self) -> tuple[tuple[str, int], ...]:
        """Brackets by kind, in the order of the alphabet."""
        return tuple(sorted(Counter(place.kind for place in self.brackets).items()))


def cut_list(answer: Answer, least_edge: Fraction | None = None) -> CutList:
    """Every piece of a job.

    Parameters
    ----------
    answer : Answer
        Of a job.
    least_edge : Fraction, optional
        Least stuff wanted between the edge of a hole and a cut [job's unit of length], 0 or more;
        left out, the baluster's width (common practice, no source).

    Returns
    -------
    CutList
    """
    job = answer.job
    edge = job.panel.baluster if least_edge is None else least_edge
    rails, choices, posts, brackets = [], [], [], []
    for section in answer.guard.sections:
        for bay in section.bays:
            rails += [_rail(job, section, bay, rail, edge) for rail in (TOP, BOTTOM)]
            choices.append(
                TrimChoice(
                    section.number,
                    bay.number,
                    job.panel.trim,
                    bay.trim,
                    bay.other_trim,
                    bay.better,
                    bay.better_because,
                )
            )
        posts += [_post(job, section, post) for post in section.posts]
        brackets += _brackets(job, section)
    return CutList(
        rails=tuple(rails),
        choices=tuple(choices),
        posts=tuple(posts),
        brackets=tuple(brackets),
        base_plates=sum(post.bought for post in posts) if job.post.base is not None else 0,
        least_edge=edge,
        notes=_notes(answer),
    )


def _notes(answer: Answer) -> tuple[str, ...]:
    notes = []
    if answer.joins:
        notes.append(
            "Where one post serves two sections it is listed with both and bought once: it is cut "
            "to the greater height over its surface and takes the marks of both"
        )
    if any(join.above.skew for join in answer.joins):
        notes.append(
            "A section that turns by another angle than 90° meets its corner post askew: its "
            "brackets there swing in plan too, and a plumb-cut rail is sawn there with the miter "
            "and bevel that stairs solve gives for the join"
        )
    both = [str(section.number) for section in answer.guard.sections if section.sides == 2]
    if both:
        notes.append(
            f"The guard of section {', '.join(both)} stands on both sides of the stair: what is "
            "listed for one side is needed twice"
        )
    return tuple(notes)


# --------------------------------------------------------------------------- rails


def _rail(job: Job, section: Section, bay: Bay, rail: str, least_edge: Fraction) -> RailCut:
    length = round_to_mark(bay.rail_length, job.tape)
    common = {
        "section": section.number,
        "bay": bay.number,
        "rail": rail,
        "length": length,
        "saw_angle": bay.saw_angle,
        "tip": _tip(job, section, bay, rail),
    }
    trim = bay.trim
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
            warnings=("no stock length is long enough",),
        )
    if length > trim.stock:  # rounded up past a stock length that is on no mark
        common["length"] = length = floor_to_mark(trim.stock, job.tape)
    low = min(round_to_mark(trim.low, job.tape), trim.stock - length)
    punched = hole_pattern(job.panel, trim.stock)
    kept = punched[trim.holes_lost_low : len(punched) - trim.holes_lost_high]
    places = tuple(hole - low for hole in kept)
    half = hole_half(job, section)
    edge_low = places[0] - half if places else None
    edge_high = length - places[-1] - half if places else None
    return RailCut(
        **common,
        stock=trim.stock,
        trim_low=low,
        trim_high=trim.stock - low - length,
        holes_lost_low=trim.holes_lost_low,
        holes_lost_high=trim.holes_lost_high,
        balusters=len(places),
        first_hole=places[0] if places else None,
        running=tuple(round_to_mark(place, job.tape) for place in places),
        edge_low=edge_low,
        edge_high=edge_high,
        way=trim.way,
        warnings=(
            *tip_warnings(job, common["tip"], low, trim.stock - low - length),
            *_end_warnings(job, punched, trim, low, length, half, least_edge),
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
    return float(derived("cosine", unit_rise=step.unit_rise, unit_run=step.unit_run))


def _tip(job: Job, section: Section, bay: Bay, rail: str) -> Fraction:
    """``depth / 2 * tan θ`` of a plumb-cut rail, rounded up."""
    if bay.saw_angle == 0 or section.flight is None:
        return Fraction(0)
    depth = job.panel.top_rail if rail == TOP else job.panel.bottom_rail
    slope = Fraction(float(section.flight.unit_rise)) / Fraction(float(section.flight.unit_run))
    fine = job.tape / 64
    return -(-depth / 2 * slope // fine) * fine


def tip_warnings(job: Job, tip: Fraction, low: Fraction, high: Fraction) -> tuple[str, ...]:
    """Whether the slanted cuts leave the stock rail at an end."""
    return tuple(
        f"the slanted {end} cut reaches {length_text(tip, job.units, job.tape)} beyond the axis, "
        f"and only {length_text(off, job.units, job.tape)} comes off there"
        for end, off in (("lower", low), ("upper", high))
        if off < floor_to_mark(tip, job.tape)
    )


def _end_warnings(job, punched, trim: Trim, low, length, half, least_edge) -> tuple[str, ...]:
    """What is wrong with the holes next to either cut."""
    warnings = []

    def text(value: Fraction) -> str:
        return length_text(value, job.units, job.tape)

    kept = range(trim.holes_lost_low, len(punched) - trim.holes_lost_high)
    ends = (
        ("lower", [hole - low for hole in punched], kept[0] if kept else None),
        ("upper", [low + length - hole for hole in punched], kept[-1] if kept else None),
    )
    for end, places, nearest in ends:
        cut_into = [place for place in places if abs(place) < half]
        if cut_into:
            warnings.append(
                f"the {end} cut goes through a hole: its middle is {text(abs(cut_into[0]))} from "
                "the cut"
            )
        elif nearest is not None and places[nearest] - half < least_edge:
            warnings.append(
                f"only {text(places[nearest] - half)} is left between the {end} cut and the "
                f"nearest hole, less than {text(least_edge)}"
            )
    if not kept:
        warnings.append("no whole hole is left in it")
    return tuple(warnings)


# --------------------------------------------------------------------------- posts and brackets


def _post(job: Job, section: Section, post: Post) -> PostCut:
    height = round_to_mark(post.height, job.tape)
    stock = next((length for length in sorted(job.post.stock) if float(length) == post.stock), None)
    shared = post.shared_with
    faces = []
    for side in ("down", "up"):
        marks = {mark.rail: mark for mark in post.marks if mark.side == side}
        if marks:
            faces.append(
                FaceMarks(
                    side,
                    marks[BOTTOM].bay,
                    round_to_mark(marks[BOTTOM].height, job.tape),
                    round_to_mark(marks[TOP].height, job.tape),
                )
            )
    return PostCut(
        section=section.number,
        post=post.number,
        stands_on=post.stands_on,
        height=height,
        stock=stock,
        cut_off=None if stock is None else max(stock - height, Fraction(0)),
        faces=tuple(faces),
        same_as=shared if shared is not None and shared[0] < section.number else None,
        wall=post.wall,
    )


def _brackets(job: Job, section: Section) -> list[BracketPlace]:
    places = []
    for bay in section.bays:
        for side, post in (("up", bay.number), ("down", bay.number + 1)):
            corner = section.turn if section.number > 1 and post == 1 else 0.0
            kind = _bracket_kind(job, section, side)
            swing = bay.swing if side == "up" else -bay.swing
            places += [
                BracketPlace(
                    section=section.number,
                    post=post,
                    bay=bay.number,
                    side=side,
                    rail=rail,
                    kind=f"corner, {kind}" if corner else kind,
                    swing=swing,
                    turn=corner,
                )
                for rail in (TOP, BOTTOM)
            ]
    return places


def _bracket_kind(job: Job, section: Section, side: str) -> str:
    if section.flight is None:
        return "level"
    if job.bracket.kind == "plumb-cut":
        return "plumb-cut socket"
    return "swing up" if side == "up" else "swing down"
