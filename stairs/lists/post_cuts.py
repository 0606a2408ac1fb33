"""Posts and brackets to be bought, cut and marked.

A post is cut to its height over the surface it stands on and marked up each face from its foot, on
the tape's marks.  Each bay takes four brackets, and which kind goes where follows from how its
rails leave the post: up, down, level, round a corner, or askew.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from stairs.guard.sides import Standing, standings
from stairs.guard.solving import Section
from stairs.job import Job
from stairs.lengths.tape_marks import round_to_mark
from stairs.numbers.tolerances import SAME
from stairs.parts.bracket import PLUMB_CUT
from stairs.parts.panel import KERF
from stairs.parts.posts import Mark, face_name
from stairs.solution import Solution

TOP, BOTTOM = "top", "bottom"


class FaceMarks(Struct, frozen=True):
    """Bracket marks up one face of a post, from its foot."""

    side: str  # "up" or "down": which way the bay lies
    name: str  # as every list and drawing calls it; see :func:`stairs.parts.posts.face_name`
    bay: int  # the bay whose rails go there
    bottom: Fraction  # heights over the post's own surface
    top: Fraction
    # from the face's center line to both, right positive seen square on the face; 0 where no holes
    # are drilled there
    aside: Fraction


class PostCut(Struct, frozen=True):
    """One post to be cut and marked; lengths in the job's unit, on the tape's marks."""

    section: int  # where it stands, both from 1
    post: int
    stands_on: str  # its surface
    height: Fraction  # surface to top
    stock: Fraction | None  # the post to buy; None where none is long enough or none is given
    # what comes off it; None too where the post goes on below its surface and the job does not say
    # how far; 0 where that is less than a saw's cut, so that it is left whole
    cut_off: Fraction | None
    faces: tuple[FaceMarks, ...]  # down-stair face first
    # section and post that were listed before and are this same post
    same_as: tuple[int, int] | None = None
    wall: bool = False  # whether it is the face of a wall, with brackets and no post
    # how many are bought: 2 with a guard on both sides, 0 for a wall and for a post that was listed
    # before
    quantity: int = 1
    # "right", "left" or "both": the sides of the stair that it stands on
    hand: str = "right"
    # how far its lowest bracket mark lies below its surface, of all sections that it serves; 0
    # where none does, and for a wall
    below: Fraction = Fraction(0)
    # how far it goes on below its surface, fixed to the side; 0 where it stands on it, or where the
    # job does not say
    foot: Fraction = Fraction(0)
    # how much higher than wanted it stands where it is left whole; else 0
    whole: Fraction = Fraction(0)
    done: bool = False  # whether it is cut already, and stays as it was planned

    @property
    def length(self) -> Fraction:
        """From end to end, as cut."""
        return self.height + self.whole + self.foot

    @property
    def is_longer(self) -> bool:
        """Whether it goes on below its surface, and the job does not say how far."""
        return self.below > 0 and self.foot == 0

    @property
    def bought(self) -> bool:
        """Whether a post is bought for it: not for a wall, nor what is shared or cut already."""
        return self.quantity > 0 and not self.done


class BracketPlace(Struct, frozen=True):
    """One bracket and where it goes; one on either side where the guard is on both."""

    section: int  # where it goes, all from 1
    post: int
    bay: int
    side: str  # "up" or "down" face; "top" or "bottom" rail
    rail: str
    kind: str  # "swing up", "swing down", "level" or "plumb-cut socket"
    # how far it swings to the left in plan, where the rails leave a corner post askew [degrees]
    skew: float
    swing: float  # turn from level in degrees; below 0 where the rail falls away from the post
    turn: float  # plan turn at this post in degrees; 0 where the guard goes straight on
    quantity: int = 1  # how many: 2 with a guard on both sides

    @property
    def place(self) -> str:
        """The post and its face."""
        return f"{self.section}.{self.post} {face_name(self.section, self.post, self.side)}"


def both_names(section: int, post: int, also: tuple[int, int] | None) -> str:
    """A post by its section and number, and by those of the next section that it serves too.

    Examples
    --------
    >>> both_names(1, 3, (2, 1)), both_names(1, 2, None)
    ('1.3 = 2.1', '1.2')
    """
    return f"{section}.{post}" + (f" = {also[0]}.{also[1]}" if also else "")


def post_cuts(solution: Solution) -> list[PostCut]:
    """Every post of a job, those of one section together, from its foot up."""
    sections = solution.guard.sections
    told = {part.section.number: part.standing for part in solution.sections}
    cuts = []
    for standing in standings(sections):
        built, number = told[standing.section.number], standing.post.number
        done = built is not None and ("post", number) in built.done
        if built is not None and done and standing.shared_with is None:
            post = built.plan.posts[number - 1]  # it was cut for where it was planned
            standing = replace(standing, post=post, height=post.height)
        cut = _post(solution.job, sections, standing)
        cuts.append(replace(cut, done=True) if done else cut)
    return cuts


def _post(job: Job, sections: Sequence[Section], standing: Standing) -> PostCut:
    section, post = standing.section, standing.post
    height = round_to_mark(standing.height, job.tape)
    lengths = sorted(job.post.stock)
    if standing.height == post.height:
        stock = next((length for length in lengths if float(length) == post.stock), None)
    else:
        needed = standing.height + post.below
        stock = next((length for length in lengths if length >= needed - SAME), None)
    shared = standing.shared_with
    faces, drilled = [], bool(job.bracket.holes)
    for side in ("down", "up"):
        marks = {mark.rail: mark for mark in post.marks if mark.side == side}
        if marks:
            faces.append(
                FaceMarks(
                    side,
                    face_name(section.number, post.number, side),
                    marks[BOTTOM].bay,
                    round_to_mark(marks[BOTTOM].height, job.tape),
                    round_to_mark(marks[TOP].height, job.tape),
                    round_to_mark(marks[TOP].aside, job.tape) if drilled else Fraction(0),
                )
            )
    below = zero = Fraction(0)
    if not post.wall:
        lowest = min(mark.height for mark in _all_marks(sections, standing))
        below = max(-round_to_mark(lowest, job.tape), below)
    foot = zero if post.wall else job.post.below or zero
    cut_off = None
    if stock is not None and (foot or not below):
        cut_off = max(stock - height - foot, zero)
    whole = cut_off if cut_off and cut_off < KERF[job.units] else zero
    return PostCut(
        section=section.number,
        post=post.number,
        stands_on=post.stands_on,
        height=height,
        stock=stock,
        cut_off=zero if whole else cut_off,
        faces=tuple(faces),
        same_as=shared if shared is not None and shared[0] < section.number else None,
        wall=post.wall,
        quantity=standing.quantity,
        hand=standing.hand,
        below=below,
        foot=foot,
        whole=whole,
    )


def _all_marks(sections: Sequence[Section], standing: Standing) -> tuple[Mark, ...]:
    """The marks of a post, with those of the other section where two share it."""
    if standing.shared_with is None:
        return standing.post.marks
    number, post = standing.shared_with
    return (*standing.post.marks, *sections[number - 1].posts[post - 1].marks)


def bracket_places(job: Job, section: Section) -> list[BracketPlace]:
    """Every bracket of one section, bay by bay."""
    return [
        BracketPlace(
            section=section.number,
            post=post,
            bay=bay.number,
            side=side,
            rail=rail,
            kind=_bracket_kind(job, section, side),
            skew=float(section.ends.skew) if corner else 0.0,
            swing=bay.ends.swing if side == "up" else -bay.ends.swing,
            turn=corner,
            quantity=section.sides,
        )
        for bay in section.bays
        for side, post in (("up", bay.number), ("down", bay.number + 1))
        for corner in (section.turn if section.number > 1 and post == 1 else 0.0,)
        for rail in (TOP, BOTTOM)
    ]


def _bracket_kind(job: Job, section: Section, side: str) -> str:
    if section.flight is None:
        return "level"
    if job.bracket.kind == PLUMB_CUT:
        return "plumb-cut socket"
    return "swing up" if side == "up" else "swing down"
