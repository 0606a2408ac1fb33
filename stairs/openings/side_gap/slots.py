"""Passages beside a rail's end: a ball between stair and guard where the rail stops short of posts.

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

Through the slot ---------------- The centre may also come down through a slot, from above the line
of the underside.  It has to be below the line when it goes out: what goes out above passes the
space beside the post, which is an opening of its own (:mod:`stairs.openings.panel_ends`).  Take a
place on that line ``g`` from the nearer of post and corner, and ``s`` from the stair.  A centre may
cross the line there at ``z`` where

    ``sqrt(r² - s²) <= z <= w - sqrt(r² - g²)``.

What counts is the way after the last place at which it can cross.  Before that the centre was above
the line, where nothing is in its way at the upper post: the slot is no narrower there.  At the
lower post a square-cut end leans toward the post.  Where the slot is narrower than ``2 B`` at its
top, the centre gets no higher than ``B`` from both its sides.  That place is the farthest left too:
of it and the places below it next to the post, one has to be ``A`` away from the stair.

The distance from the rail takes the place of the depth below its line.  The distance from a convex
thing is a convex function, and such a one too is greatest in a corner of the region.
"""

from __future__ import annotations

import math
from copy import copy

from stairs.numbers.root_finding import edge_between, least_between
from stairs.openings.side_gap.search import _NONE, STUCK, Channel
from stairs.openings.side_gap.steps import Steps
from stairs.openings.under_rail import Pocket, slots_of
from stairs.shapes.circle_search import distance

_LOW, _MAIN, _HIGH, _TOP = range(4)
_SAMPLES = 48  # places of a slot's mouth that are looked at
_FINE = 1e-12
_HALVINGS = 45


class SlottedChannel:
    """The chambers of a passage beside open rail ends, asked as one.

    Parameters
    ----------
    pocket : Pocket
        Whose rail ends short of a post.
    shape : stairs.shapes.circle.Shape
        Of the pocket, in floats.
    walls : tuple
        Rail, side gap, posts and ground as :class:`stairs.openings.side_gap.search.Channel` takes
        them.
    mosts : tuple of (float, float)
        Largest radius that gets through the guard's plane, were there no stair: under the rail
        or at its upper end, and before its lower end.
    """

    def __init__(self, pocket: Pocket, shape, walls, mosts) -> None:
        barriers = barriers_of(pocket)
        first = _Chamber(barriers, pocket, shape, walls, mosts)
        self.chambers = [first, *(copy(first).turned_to(which) for which in barriers)]
        self.room, self.gap, self.most = first.room, first.gap, first.most

    def largest(self, flat_radius: float) -> tuple[float, float, float, float]:
        """See :meth:`stairs.openings.side_gap.search.Channel.largest`; the best of all chambers.

        Parameters
        ----------
        flat_radius : float
            Of the largest circle in the elevation [parts of the scale].
        """
        best = self.chambers[0].largest(flat_radius)
        for chamber in self.chambers[1:]:
            more = best[0] * (1 + _FINE)
            if more < self.most and chamber.spare(more, 0.0, passing=True) > 0:
                best = max(best, chamber.largest(flat_radius))
        return best

    def spare(self, radius: float, roughly: bool = False) -> float:
        """See :meth:`.search.Channel.spare`; in the chamber where it is most.

        Parameters
        ----------
        radius : float
            Of the ball, above 0 [parts of the scale].
        roughly : bool
            Whether only the sign counts.
        """
        most = -math.inf
        for chamber in self.chambers:
            most = max(most, chamber.spare(radius, max(most, STUCK) if roughly else most, roughly))
            if roughly and most >= 0:
                break
        return most

    def touched(self, radius: float, x: float, y: float, z: float) -> tuple[str, ...]:
        """See :meth:`stairs.openings.side_gap.search.Channel.touched`."""
        return self.chambers[0].touched(radius, x, y, z)


def barriers_of(pocket: Pocket) -> dict:
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
    cut, origin, slope = pocket.cut, float(pocket.front[0]), None
    slope = float(pocket.line_rise) / float(pocket.line_run)
    rise, run = float(pocket.unit_rise), float(pocket.unit_run)
    closed = pocket.stringer_margin is not None
    margin = float(pocket.front_lift + pocket.stringer_margin) if closed else 0.0

    def corner(x: float) -> tuple[float, float]:
        return x, float(pocket.front_gap) + x * slope

    found = {}
    if low_slot:
        x, y = corner(float(pocket.low_post[1]) + float(cut.low_slot) - origin)
        under_lip = y < rise - float(pocket.tread_thickness)
        end = run + (float(pocket.nosing) if under_lip and not closed else 0.0)
        if x < 0 and pocket.step > pocket.low_step:
            found[_LOW] = (x, y), (0.0, margin)
        elif y > 0 and (x < end or pocket.high_step <= pocket.step):
            found[_LOW] = (x, y), (x, 0.0)
    if high_slot and pocket.high_step > pocket.step and (closed or pocket.bottom_gap >= 0):
        at = corner(float(pocket.high_post[1]) - float(cut.high_slot) - origin)
        found[_HIGH] = at, (run, margin + run * slope if closed else rise)
    if high_slot:
        face = float(pocket.high_post[1]) - origin
        at = corner(face - float(cut.high_slot))
        found[_TOP] = at, (face, at[1])
    return found


class _Chamber(Channel):
    """One of the chambers, with its neighbours wherever the neck between them is open."""

    def __init__(self, barriers: dict, pocket: Pocket, shape, walls, mosts) -> None:
        super().__init__(shape, *walls, max(mosts))
        inside, scale = self.room.inside, self.room.scale
        self.barriers = {side: (inside(*a), inside(*b)) for side, (a, b) in barriers.items()}
        slope = float(pocket.line_rise) / float(pocket.line_run)
        cut, origin = pocket.cut, float(pocket.front[0])
        ends = []
        for post, slot, way in ((pocket.low_post, cut.low_slot, 1),
                                (pocket.high_post, cut.high_slot, -1)):  # fmt: skip
            x = float(post[1]) + way * float(slot) - origin
            ends.append(inside(x, float(pocket.front_gap) + x * slope))
        self.ends = ends
        self.along = tuple(self.down[0] * y - self.down[1] * x for x, y in ends)
        beside_top = _HIGH if _HIGH in self.barriers else _MAIN
        self.necks = [
            (which, {which, beside_top if which == _TOP else _MAIN}, math.dist(*ends), ends[0][1])
            for which, ends in self.barriers.items()
        ]
        self.mouths = self._mouths(pocket)
        self.steps = Steps(pocket, inside)
        # the slot at the lower post: slope of its side, and how wide it is at its top
        self.lean = float(cut.back) / float(cut.up) if float(cut.up) > 0 else 0.0
        self.top_width = (float(cut.low_slot) - float(cut.back)) / scale
        self.mosts = tuple(most / scale for most in mosts)
        self.high_slot, self.length = float(cut.high_slot) / scale, math.hypot(1.0, slope)
        # a corner over the next step has the whole pocket down-stair of it
        behind = _LOW not in barriers and slots_of(pocket)[0]
        self.is_all_below = behind and ends[0][1] > inside(0.0, 0.0)[1]
        self.turned_to(_MAIN)

    def turned_to(self, which: int) -> _Chamber:
        """The same passage, seen from one of its chambers.

        Parameters
        ----------
        which : int
            ``_MAIN`` or one of the keys of ``barriers``.
        """
        self.which = which
        # how large a ball may be that has left the stair behind before it comes to the guard
        height, gap = self.ends[0][1] - self.floor, self.gap
        roams = height + gap - math.sqrt(2 * height * gap) if height > gap / 2 else gap / 2
        roams = self.most if height > 2 * gap else roams
        main, low = self.mosts
        is_below = which == _LOW or (which == _MAIN and self.is_all_below)
        own, other = (low, main) if is_below else (main, low)
        self.free_most = max(own, min(other, roams), min(gap / 2, self.most))
        if which == _TOP:
            wide, length = self.high_slot, self.length
            falls = (gap * gap + wide * wide / 4) / (2 * gap)
            own = min(wide * length / (1 + length), (self.high - self.low) / 2)
            self.free_most = max(own, min(self.most, max(falls, gap / 2)))
        elif _LOW not in self.barriers and not is_below:
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

    def clearance(
        self, radius: float, share: float, like: int = _NONE, enough: float = math.inf
    ) -> tuple[float, float, float, int]:
        """What a ball has to spare at one share of its way, and where [parts of the scale].

        Parameters
        ----------
        radius, share : float
            Of the ball, above 0 [parts of the scale]; of its way, from 0 to 1.
        like, enough : int, float
            See :meth:`stairs.openings.side_gap.search.Channel.clearance`.

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

    def _with_room(self, spots) -> list[tuple[float, float, float, int]]:
        """Places with their distance from the rail for their depth."""
        return [(self.rail + self.below_rail(x, y), x, y, which) for _, x, y, which in spots]

    def _side(self, x: float, y: float) -> int:
        """The chamber that a place is in."""
        for which, ((ax, ay), (bx, by)) in self.barriers.items():
            if which == _TOP:
                if x > ax and y > ay:
                    return which
                continue
            turn = (bx - ax) * (y - ay) - (by - ay) * (x - ax)
            if (turn < 0) if which == _LOW else (turn > 0):
                return which
        return _MAIN

    def _joined(self, radius: float, near: float, far: float) -> set | None:
        """The chambers a ball can change to and from where it has these reaches; None for all."""
        joined, ways = {self.which}, []
        for which, way, wide, height in self.necks:
            if which == _TOP:
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

    # ---- through the slot --------------------------------------------------------------------

    def _mouths(self, pocket: Pocket) -> dict:
        """Places on the underside's line that lie in a slot, by the slot's side.

        Notes
        -----
        Next to a post the whole slot counts, also where the stair is behind it.
        """
        found: dict = {}
        parts = [k / _SAMPLES for k in range(_SAMPLES + 1)]

        def add(side: int, begin, finish, is_behind: bool) -> None:
            mouth = side, begin, finish, is_behind
            found.setdefault(side, []).extend(
                (mouth, part, *self._at_mouth(mouth, part)) for part in parts
            )

        opens, steps = slots_of(pocket), (pocket.low_step, pocket.high_step)
        for side, face, end, opened, step in zip(
            (_LOW, _HIGH), (self.low, self.high), self.ends, opens, steps, strict=True
        ):
            if opened and step == pocket.step:
                height = (self.down[0] * face - self.rail) / -self.down[1]
                add(side, (face, height), end, True)
        for ax, ay, _, _, _, bx, by in self.room.opens:
            off = [self.down[0] * x + self.down[1] * y - self.rail for x, y in ((ax, ay), (bx, by))]
            if max(map(abs, off)) > 1e-12:
                continue
            middle = (ax + bx) / 2
            if middle < self.ends[0][0]:
                add(_LOW, (ax, ay), (bx, by), False)
            elif middle > self.ends[1][0]:
                add(_HIGH, (ax, ay), (bx, by), False)
        return found

    def _at_mouth(self, mouth, part: float) -> tuple[int, float, float, float, float]:
        """A place in a slot's mouth: chamber, ``x``, ``y``, off the guard, off the stair."""
        side, (ax, ay), (bx, by), is_behind = mouth
        corner, face = (self.ends[0], self.low) if side == _LOW else (self.ends[1], self.high)
        x, y = ax + part * (bx - ax), ay + part * (by - ay)
        guard = min(abs(x - face), math.dist((x, y), corner))
        if is_behind:
            side = _TOP if side == _HIGH else side
            return (side if side in self.barriers else _MAIN), x, y, guard, 0.0
        off_stair = min((distance(x, y, line) for line in self.stair), default=math.inf)
        return self._side(x, y), x, y, guard, off_stair

    def _crossing(self, radius: float, chamber: int, x, y, guard: float, stair: float):
        """How much is lacking to cross the line at a place, and the last ``z`` at which it may."""
        lacking = max(self.floor + radius - y, 0.0)
        first = math.sqrt(max(radius * radius - stair * stair, 0.0))
        last = self.gap - math.sqrt(max(radius * radius - guard * guard, 0.0))
        lacking = max(lacking, first - last)
        if lacking > 0 or chamber == self.which or self._is_joined_at(radius, last, chamber):
            return lacking, last
        if not self._is_joined_at(radius, first, chamber):
            return math.inf, last
        low, high = first, last
        for _ in range(_HALVINGS):
            middle = (low + high) / 2
            if self._is_joined_at(radius, middle, chamber):
                low = middle
            else:
                high = middle
        return lacking, low

    def _is_joined_at(self, radius: float, z: float, chamber: int) -> bool:
        joined = self._joined(radius, *self.reaches(radius, z))
        return joined is None or chamber in joined

    def last_crossing(self, radius: float, side: int) -> float:
        """The share of the way after which a ball cannot come down through a slot; 0 without one.

        Parameters
        ----------
        radius : float
            Of the ball, above 0 [parts of the scale].
        side : int
            The end of the rail, one of the keys of ``mouths``.

        Returns
        -------
        float
            From 0 to 1.

        Notes
        -----
        The places of a mouth are tried one by one; the best of them is closed in on.
        """
        low, high = max(0.0, self.gap - radius), min(self.gap, radius)

        def lacks(mouth, part):
            return self._crossing(radius, *self._at_mouth(mouth, part))

        found = min(
            ((*self._order(self._crossing(radius, *rest)), mouth, part)
             for mouth, part, *rest in self.mouths[side]),
            key=lambda entry: entry[:2],
        )  # fmt: skip
        lacking, after, mouth, part = found
        ends = max(part - 1 / _SAMPLES, 0.0), min(part + 1 / _SAMPLES, 1.0)
        if lacking > 0:
            lacking, part = least_between(
                lambda at: lacks(mouth, at)[0], *ends, (lacking, part), _FINE
            )
            if lacking > 0:
                return 0.0
            after = -lacks(mouth, part)[1]
        after, part = least_between(
            lambda at: self._order(lacks(mouth, at), math.inf)[1], *ends, (after, part), _FINE
        )
        last = -after
        if last <= low:
            return 0.0
        if last >= high:
            return 1.0
        return math.acos(1 - 2 * (last - low) / (high - low)) / math.pi

    @staticmethod
    def _order(crossing, none: float = 0.0) -> tuple[float, float]:
        """What is least where the crossing is best."""
        lacking, last = crossing
        return (lacking, none) if lacking > 0 else (0.0, -last)

    # ---- the whole way -----------------------------------------------------------------------

    def tightest_after(
        self, radius: float, enough: float = -math.inf, passing: bool = False
    ) -> tuple:
        """The least clearance on the way, where a ball may come down through a slot; its share."""
        lasts = {side: self.last_crossing(radius, side) for side in self.mouths}
        if not all(lasts.values()) or not lasts:  # without a crossing one side is like the other
            lasts = {None: 0.0} | {side: last for side, last in lasts.items() if last}
        ways = ((radius, side, last, enough, passing) for side, last in lasts.items())
        return max(self._after(*way) for way in ways)

    def _after(
        self, radius: float, side: int | None, last: float, enough: float, passing: bool
    ) -> tuple:
        start = last
        for k in range(_SAMPLES):
            if last and self._in_slot(radius, last * k / _SAMPLES, side) < 0:
                start = last * max(k - 1, 0) / _SAMPLES
                break

        def place(share: float, *like) -> tuple[float, float, float, int]:
            found = spare, x, y, _ = self.clearance(radius, share, *like)
            if spare < 0 and share < last:
                spare = max(spare, self._in_slot(radius, share, side))
            elif share == last == 1.0 and radius < self.gap:
                spare = self.most  # it has left the stair behind
            return found if spare == found[0] else (spare, x, y, _NONE)

        return self.tightest(radius, start, place, enough, passing)

    def _in_slot(self, radius: float, share: float, side: int) -> float:
        """What a centre has to spare above the line at one share of its way; below 0 it sticks."""
        near, far = self.reaches(radius, self.place(radius, share))
        if side == _HIGH or self.lean == 0 or self.top_width >= 2 * far:
            return math.inf
        corner, x = self.ends[0], self.low + far
        wide, line = corner[0] - self.low, (self.rail - self.down[0] * x) / self.down[1]
        if wide < 2 * far:  # no higher than the corner lets it
            off = wide - far
            y = corner[1] - math.sqrt(max(far * far - off * off, 0.0))
            return self.steps.most_off(x, line, y, near) - near
        # the end's line: x = corner - lean (y - corner); a place off it by B, and off the post
        across = far * math.hypot(1.0, self.lean)
        y = corner[1] + (corner[0] - across - x) / self.lean
        return self.steps.most_off(x, line, y, near) - near

    def spare(self, radius: float, enough: float = -math.inf, passing: bool = False) -> float:
        """What a ball has to spare at the tightest place on its way; below 0 where it sticks.

        Parameters
        ----------
        radius : float
            Of the ball, above 0 [parts of the scale].
        enough : float
            A clearance this small or smaller ends the search [parts of the scale]; there may be
            still less elsewhere.
        passing : bool
            Where the ball passes, how much it has to spare does not matter.
        """
        free = self.free_most - radius if radius < self.gap else math.inf
        if free <= enough:
            return free
        return min(self.tightest_after(radius, enough, passing)[0], free)

    def largest(self, flat_radius: float) -> tuple[float, float, float, float]:
        """Radius of the largest ball that passes in this chamber, and its centre.

        Parameters
        ----------
        flat_radius : float
            Of the largest circle in the elevation [parts of the scale].

        Notes
        -----
        The ball that does without the slots is found first.  A larger one is looked for where it
        could come down through a slot after the place where that one sticks.
        """
        radius, x, y, z = super().largest(flat_radius)
        more = radius * (1 + 1e-9)
        if more < self.most and any(self.last_crossing(more, side) for side in self.mouths):
            at_more = self.spare(more, 0.0)
            if at_more > 0:
                at_most = self.spare(self.most)
                radius = self.most
                if at_most < 0:
                    radius, _ = edge_between(self.spare, more, radius, at_most, 1e-13 * radius)
                share = self.tightest_after(radius)[1]
                (_, x, y, _), z = self.clearance(radius, share), self.place(radius, share)
        if self.free_most < radius < self.gap:
            radius = self.free_most
            (_, x, y, _), z = self.clearance(radius, 1.0), self.place(radius, 1.0)
        return radius, x, y, z
