"""The setting-out table: where every post stands, each measured from one end.

Along one section all posts are measured from its first nosing or first post, so that a slip at one
of them does not carry on to the next.  Over the whole job the same is done once more, from the
first post of all: the running length along the guard's line, and the two distances at right angles
in plan that set out a corner without an angle.  A guard on both hands is two lines, each with its
own running length; both are tied to the one first post in plan.
"""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct

from stairs.guard.plan import plan_of
from stairs.guard.sides import LEFT, RIGHT
from stairs.guard.solving import Guard
from stairs.job import Job
from stairs.lengths.tape_marks import round_to_mark
from stairs.lists.post_cuts import both_names
from stairs.parts.posts import Post
from stairs.parts.section_ends import OWN, WALL


class Place(Struct, frozen=True):
    """One post in the whole job; lengths in the job's unit."""

    section: int  # which post, both from 1
    post: int
    hand: str  # "right" or "left": the side of the stair that its guard stands on
    also: tuple[int, int] | None  # section and post of the next section that are this same post
    running: float  # level, along the line of its guard, from the centre of that line's first post
    # in plan from the job's first post: along the first section, and to the left of it. None where
    # no width says how far the two hands are apart.
    x: float | None
    y: float | None
    surface: float  # height of what it stands on over the lowest landing
    top: float  # height of its top over the lowest landing; the surface's where it is a wall

    @property
    def name(self) -> str:
        """Both names of the post."""
        return both_names(self.section, self.post, self.also)

    @property
    def wall(self) -> bool:
        """Whether it is a wall, which has no top."""
        return self.top == self.surface


def lines(guard: Guard) -> tuple[tuple[Place, ...], ...]:
    """Every line of guard of a job, each from its foot up: posts once, and every wall.

    The right-hand lines come first.  A line ends where the next section has no guard on that hand.
    A post of its own stands its gap beyond the post before it, face to face.  Where a section ends
    at a wall, the next one goes on where it stopped.
    """
    plans = plan_of(guard).sections
    origin = plans[0].at(guard.sections[0].posts[0].x)
    found: list[tuple[Place, ...]] = []
    for hand in (RIGHT, LEFT):
        line: list[Place] = []
        end, last = 0.0, 0
        for section, plan in zip(guard.sections, plans, strict=True):
            if hand not in section.hands:
                continue
            begun = line and last == section.number - 1
            if not begun or section.line.begins is not None:
                found.append(tuple(line))
                line, end = [], 0.0
            elif section.ends.start == OWN:
                before = guard.sections[section.number - 2].ends.end
                posts = 1 if before == WALL else 2
                end += float(section.ends.post_gap or 0) + posts * float(guard.job.post.width) / 2
            last = section.number
            aside = section.line.apart if section.sides == 2 and hand == LEFT else 0
            begin = end - section.posts[0].x
            for post in section.posts:
                end = begin + post.x
                also, height = _also(guard, post, hand)
                if also is not None and also[0] < section.number:
                    continue
                x, y = (None, None)
                if aside is not None:
                    x, y = plan.at(post.x, float(aside))
                    x, y = x - origin[0], y - origin[1]
                surface = plan.datum + post.surface
                top = surface if post.wall else surface + height
                line.append(Place(section.number, post.number, hand, also, end, x, y, surface, top))
        found.append(tuple(line))
    return tuple(line for line in found if line)


def _also(guard: Guard, post: Post, hand: str) -> tuple[tuple[int, int] | None, float]:
    """The post of another section that is this one on a hand, and its height there."""
    other = post.shared_with
    if other is None or hand in guard.sections[other[0] - 1].hands:
        return other, post.height
    return None, post.height if post.own_height is None else post.own_height


def places(guard: Guard) -> tuple[Place, ...]:
    """Every post of a job once, and every wall, from the foot up, the right hand first."""
    return tuple(place for line in lines(guard) for place in line)


def faces(job: Job, post: Post) -> tuple[Fraction, ...]:
    """Lower face, centre and upper face along the rails, on the tape's marks, each by itself."""
    found = (post.face("down"), post.x, post.face("up"))
    return tuple(round_to_mark(place, job.tape) for place in found)
