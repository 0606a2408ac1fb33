"""Chambers of a passage: where the ball may be beside the end of a rail that stops short of posts.

A rail that is held by brackets leaves a slot between its end and the post, and where the bracket's
body is thin a ball may rise into it.  In elevation the place where the rail's underside meets its
end is then a corner that sticks into the free space, and two things change.

Chambers
--------
The rail's lower corner and the step below it may shut the space between them: the corner keeps the
centre off by its reach ``B``, the surface by ``A``, and where ``A + B`` is more than they are apart
the places to the left and to the right of that *neck* are two *chambers*.  A ball that fits in one
chamber here and in the other there has still found no way.

``A + B`` is concave along the way.  So a neck that is open anywhere is open from there to one of
the ends of the way, and a ball that changes chambers does so where it starts, or for good.  On the
ground the neck needs ``r + B``, which grows on the way out, and is open at first or not at all.
Therefore it is enough to follow each chamber for itself, and to count the neighbour's places as its
own wherever the neck is open.  At the upper end of the rail the space widens toward the post, and
there is such a neck only where the corner lies in front of the nosing above.  But from the corner
level across to the post is another one, ``2 B`` wide, with a last chamber in the slot above it.

A ball that has left the stair behind before it comes to the guard (``r < w``) may still roam along
the ground.  The corner at height ``h`` lets it by where ``r + sqrt(r² - (w - r)²) <= h``, which is
``r <= h + w - sqrt(2 h w)``.

The distance from the rail takes the place of the depth below its line.  The distance from a convex
thing is a convex function, and such a one too is greatest in a corner of the region.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Self

from stairs.openings.pocket import Pocket, slots_of
from stairs.openings.side_gap.channel import NONE, Spot
from stairs.openings.side_gap.held_ball import GUARD, Contact
from stairs.openings.side_gap.search import Passage
from stairs.shapes.circle import Shape

LOW, MAIN, HIGH, TOP = range(4)

Point = tuple[float, float]
Walls = tuple[tuple[float, float], float, tuple[tuple[int, float], ...], float]
"""Rail, side gap, posts and ground, as :class:`stairs.openings.side_gap.channel.Channel` takes
them."""


def barriers_of(pocket: Pocket) -> dict[int, tuple[Point, Point]]:
    """The necks between a rail's lower corners and what is below them, where there are any.

    Parameters
    ----------
    pocket : Pocket
        Whose rail ends short of a post.

    Returns
    -------
    dict
        By the chamber behind the neck: ends at the rail and at the stair, in the pocket's
        coordinates.

    Notes
    -----
    The lower corner stands over the surface, or before its front edge.  One that stands over the
    next step leaves the whole pocket in one chamber.
    """
    low_slot, high_slot = slots_of(pocket)
    cut, origin = pocket.cut, float(pocket.front[0])
    slope = pocket.slope
    rise, run = float(pocket.form.rise), float(pocket.form.run)
    closed = pocket.stringer_margin is not None
    margin = float(pocket.front_lift + pocket.margin) if closed else 0.0

    def corner(x: float) -> tuple[float, float]:
        return x, float(pocket.front_gap) + x * slope

    found: dict[int, tuple[Point, Point]] = {}
    if low_slot:
        x, y = corner(float(pocket.low.face) + float(cut.low_slot) - origin)
        under_lip = y < rise - float(pocket.form.thickness)
        end = run + (float(pocket.form.nosing) if under_lip and not closed else 0.0)
        if x < 0 and pocket.step > pocket.low.step:
            found[LOW] = (x, y), (0.0, margin)
        elif y > 0 and (x < end or pocket.high.step <= pocket.step):
            found[LOW] = (x, y), (x, 0.0)
    if high_slot and pocket.high.step > pocket.step and (closed or pocket.bottom_gap >= 0):
        at = corner(float(pocket.high.face) - float(cut.high_slot) - origin)
        found[HIGH] = at, (run, margin + run * slope if closed else rise)
    if high_slot:
        face = float(pocket.high.face) - origin
        at = corner(face - float(cut.high_slot))
        found[TOP] = at, (face, at[1])
    return found


class Chamber(Passage):
    """One of the chambers, with its neighbours wherever the neck between them is open."""

    def __init__(
        self,
        barriers: dict[int, tuple[Point, Point]],
        pocket: Pocket,
        shape: Shape,
        walls: Walls,
        mosts: tuple[float, float],
    ) -> None:
        super().__init__(shape, *walls, max(mosts))
        inside, scale = self.room.inside, self.room.scale
        self.barriers = {side: (inside(*a), inside(*b)) for side, (a, b) in barriers.items()}
        slope = pocket.slope
        cut, origin = pocket.cut, float(pocket.front[0])
        ends = []
        for post, slot, way in ((pocket.low, cut.low_slot, 1), (pocket.high, cut.high_slot, -1)):
            x = float(post.face) + way * float(slot) - origin
            ends.append(inside(x, float(pocket.front_gap) + x * slope))
        self.ends = ends
        self.along = tuple(self.down[0] * y - self.down[1] * x for x, y in ends)
        beside_top = HIGH if HIGH in self.barriers else MAIN
        self.necks = [
            (which, {which, beside_top if which == TOP else MAIN}, math.dist(*ends), ends[0][1])
            for which, ends in self.barriers.items()
        ]
        # the slot at the lower post: slope of its side, and how wide it is at its top
        self.lean = float(cut.back) / float(cut.up) if float(cut.up) > 0 else 0.0
        self.top_width = (float(cut.low_slot) - float(cut.back)) / scale
        self.mosts = tuple(most / scale for most in mosts)
        self.high_slot, self.length = float(cut.high_slot) / scale, math.hypot(1.0, slope)
        # a corner over the next step has the whole pocket down-stair of it
        behind = LOW not in barriers and slots_of(pocket)[0]
        self.is_all_below = behind and ends[0][1] > inside(0.0, 0.0)[1]
        self.turned_to(MAIN)

    def turned_to(self, which: int) -> Self:
        """The same passage, seen from one of its chambers.

        Parameters
        ----------
        which : int
            ``MAIN`` or one of the keys of ``barriers``.
        """
        self.which = which
        # how large a ball may be that has left the stair behind before it comes to the guard
        height, gap = self.ends[0][1] - self.floor, self.gap
        roams = height + gap - math.sqrt(2 * height * gap) if height > gap / 2 else gap / 2
        roams = self.most if height > 2 * gap else roams
        main, low = self.mosts
        is_below = which == LOW or (which == MAIN and self.is_all_below)
        own, other = (low, main) if is_below else (main, low)
        self.free_most = max(own, min(other, roams), min(gap / 2, self.most))
        if which == TOP:
            wide, length = self.high_slot, self.length
            falls = (gap * gap + wide * wide / 4) / (2 * gap)
            own = min(wide * length / (1 + length), (self.high - self.low) / 2)
            self.free_most = max(own, min(self.most, max(falls, gap / 2)))
        elif LOW not in self.barriers and not is_below:
            self.free_most = self.most
        return self

    # ---- one place ---------------------------------------------------------------------------

    def below_rail(self, x: float, y: float) -> float:
        """How far a place is from the rail, whose ends are square to it or lean away."""
        down_x, down_y = self.down
        along = down_x * y - down_y * x
        if along < self.along[0]:
            return math.dist((x, y), self.ends[0])
        if along > self.along[1]:
            return math.dist((x, y), self.ends[1])
        return down_x * x + down_y * y - self.rail

    def rail_contact(self, x: float, y: float) -> Contact:
        """What of the rail is nearest to a place: its underside, or the corner at an end."""
        along = self.down[0] * y - self.down[1] * x
        for end, is_past in ((0, along < self.along[0]), (1, along > self.along[1])):
            if is_past:
                return GUARD, *self.ends[end], None
        return super().rail_contact(x, y)

    def clearance(
        self, radius: float, share: float, like: int = NONE, enough: float = math.inf
    ) -> Spot:
        """What a ball has to spare at one share of its way, and where [parts of the scale].

        Parameters
        ----------
        radius, share : float
            Of the ball, above 0 [parts of the scale]; of its way, from 0 to 1.
        like, enough : int, float
            See :meth:`stairs.openings.side_gap.channel.Channel.clearance`.

        Returns
        -------
        tuple of (float, float, float, int)
            The clearance, below 0 where the ball sticks, ``x`` and ``y`` of the centre, and the
            number of its spot.
        """
        near, far = self.reaches(radius, self.place(radius, share))
        found = self._at_spot(like, radius, near, far, enough)
        if found is not None:
            return found
        joined = self._joined(radius, near, far)
        spots = self.spots(radius, near, far)
        free = self.off_ground_and_posts(spots, radius, far)
        for depth, x, y, which in sorted(self._with_room(free), reverse=True):
            if joined is not None and self._side(x, y) not in joined:
                continue
            if self._is_off_stair(x, y, near) and self._is_inside(x, y):
                return depth - self.rail - far, x, y, which
        if joined is not None:
            spots = [spot for spot in spots if self._side(spot[1], spot[2]) in joined]
        return self._lacking(self._with_room(spots), radius, near, far)

    def _with_room(self, spots: Iterable[Spot]) -> list[Spot]:
        """Places with their distance from the rail for their depth."""
        return [(self.rail + self.below_rail(x, y), x, y, which) for _, x, y, which in spots]

    def _side(self, x: float, y: float) -> int:
        """The chamber that a place is in."""
        for which, ((ax, ay), (bx, by)) in self.barriers.items():
            if which == TOP:
                if x > ax and y > ay:
                    return which
                continue
            turn = (bx - ax) * (y - ay) - (by - ay) * (x - ax)
            if (turn < 0) if which == LOW else (turn > 0):
                return which
        return MAIN

    def _joined(self, radius: float, near: float, far: float) -> set[int] | None:
        """The chambers a ball can change to and from where it has these reaches; None for all."""
        joined, ways = {self.which}, []
        for which, way, wide, height in self.necks:
            if which == TOP:
                is_open = wide >= 2 * far
            else:
                is_open = wide >= near + far and height - self.floor >= radius + far
            if is_open:
                ways.append(way)
        for _ in ways:  # also by way of others
            for way in ways:
                if joined & way:
                    joined |= way
        return joined if len(joined) <= len(self.necks) else None
