"""Through the slot: a ball that comes down between a rail's end and its post.

The centre may come down through a slot, from above the line
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
"""

from __future__ import annotations

import math
from copy import copy

from stairs.numbers.root_finding import edge_between, least_between
from stairs.numbers.tolerances import ROUNDING, SAME
from stairs.openings.feature import Feature
from stairs.openings.pocket import Pocket, slots_of
from stairs.openings.side_gap.chamber import (
    HIGH,
    LOW,
    MAIN,
    TOP,
    Chamber,
    Point,
    Walls,
    barriers_of,
)
from stairs.openings.side_gap.channel import NONE, Spot
from stairs.openings.side_gap.search import STUCK, Tightest
from stairs.openings.side_gap.steps import Steps
from stairs.shapes.circle import Shape
from stairs.shapes.circle_search import distance

_SAMPLES = 48  # places of a slot's mouth that are looked at
_HALVINGS = 45

Mouth = tuple[int, Point, Point, bool]
"""The slot's side, two ends on the underside's line, and whether the stair may be behind it."""
Place = tuple[int, float, float, float, float]
"""In a mouth: chamber, ``x``, ``y``, off the guard, off the stair."""
Crossing = tuple[float, float]
"""How much is lacking to cross the line at a place, and the last ``z`` at which a ball may."""


class SlottedChannel:
    """The chambers of a passage beside open rail ends, asked as one.

    Parameters
    ----------
    pocket : Pocket
        Whose rail ends short of a post.
    mosts : tuple of (float, float)
        Largest radius that gets through the guard's plane, were there no stair: under the rail
        or at its upper end, and before its lower end.
    """

    def __init__(
        self, pocket: Pocket, shape: Shape, walls: Walls, mosts: tuple[float, float]
    ) -> None:
        barriers = barriers_of(pocket)
        first = _SlottedChamber(barriers, pocket, shape, walls, mosts)
        self.chambers = [first, *(copy(first).turned_to(which) for which in barriers)]
        self.room, self.gap, self.most = first.room, first.gap, first.most

    def largest(self, flat_radius: float) -> tuple[float, float, float, float]:
        """See :meth:`stairs.openings.side_gap.search.Passage.largest`; the best of all chambers.

        Parameters
        ----------
        flat_radius : float
            Of the largest circle in the elevation [parts of the scale].
        """
        best = self.chambers[0].largest(flat_radius)
        for chamber in self.chambers[1:]:
            more = best[0] * (1 + ROUNDING)
            if more < self.most and chamber.spare(more, 0.0, passing=True) > 0:
                best = max(best, chamber.largest(flat_radius))
        return best

    def spare(self, radius: float, roughly: bool = False) -> float:
        """See :meth:`stairs.openings.side_gap.search.Passage.spare`; in its best chamber.

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

    def touched(self, radius: float, x: float, y: float, z: float) -> tuple[Feature, ...]:
        """See :meth:`stairs.openings.side_gap.channel.Channel.touched`."""
        return self.chambers[0].touched(radius, x, y, z)


class _SlottedChamber(Chamber):
    """A chamber that a ball may also come down into through a slot."""

    def __init__(
        self,
        barriers: dict[int, tuple[Point, Point]],
        pocket: Pocket,
        shape: Shape,
        walls: Walls,
        mosts: tuple[float, float],
    ) -> None:
        super().__init__(barriers, pocket, shape, walls, mosts)
        self.mouths = self._mouths(pocket)
        self.steps = Steps(pocket, self.room.inside)

    def _mouths(self, pocket: Pocket) -> dict[int, list[tuple[Mouth, float, Place]]]:
        """Places on the underside's line that lie in a slot, by the slot's side.

        Notes
        -----
        Next to a post the whole slot counts, also where the stair is behind it.
        """
        found: dict[int, list[tuple[Mouth, float, Place]]] = {}
        parts = [k / _SAMPLES for k in range(_SAMPLES + 1)]

        def add(side: int, begin: Point, finish: Point, is_behind: bool) -> None:
            mouth = side, begin, finish, is_behind
            found.setdefault(side, []).extend(
                (mouth, part, self._at_mouth(mouth, part)) for part in parts
            )

        opens, steps = slots_of(pocket), (pocket.low.step, pocket.high.step)
        for side, face, end, opened, step in zip(
            (LOW, HIGH), (self.low, self.high), self.ends, opens, steps, strict=True
        ):
            if opened and step == pocket.step:
                height = (self.down[0] * face - self.rail) / -self.down[1]
                add(side, (face, height), end, True)
        for ax, ay, _, _, _, bx, by in self.room.opens:
            off = [self.down[0] * x + self.down[1] * y - self.rail for x, y in ((ax, ay), (bx, by))]
            if max(map(abs, off)) > ROUNDING:
                continue
            middle = (ax + bx) / 2
            if middle < self.ends[0][0]:
                add(LOW, (ax, ay), (bx, by), False)
            elif middle > self.ends[1][0]:
                add(HIGH, (ax, ay), (bx, by), False)
        return found

    def _at_mouth(self, mouth: Mouth, part: float) -> Place:
        side, (ax, ay), (bx, by), is_behind = mouth
        corner, face = (self.ends[0], self.low) if side == LOW else (self.ends[1], self.high)
        x, y = ax + part * (bx - ax), ay + part * (by - ay)
        guard = min(abs(x - face), math.dist((x, y), corner))
        if is_behind:
            side = TOP if side == HIGH else side
            return (side if side in self.barriers else MAIN), x, y, guard, 0.0
        off_stair = min((distance(x, y, line) for line in self.stair), default=math.inf)
        return self._side(x, y), x, y, guard, off_stair

    def _crossing(self, radius: float, place: Place) -> Crossing:
        chamber, _, y, guard, stair = place
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

        def lacks(mouth: Mouth, part: float) -> Crossing:
            return self._crossing(radius, self._at_mouth(mouth, part))

        found = min(
            ((*self._order(self._crossing(radius, place)), mouth, part)
             for mouth, part, place in self.mouths[side]),
            key=lambda entry: entry[:2],
        )  # fmt: skip
        lacking, after, mouth, part = found
        ends = max(part - 1 / _SAMPLES, 0.0), min(part + 1 / _SAMPLES, 1.0)
        if lacking > 0:
            lacking, part = least_between(
                lambda at: lacks(mouth, at)[0], *ends, (lacking, part), ROUNDING
            )
            if lacking > 0:
                return 0.0
            after = -lacks(mouth, part)[1]
        after, part = least_between(
            lambda at: self._order(lacks(mouth, at), math.inf)[1], *ends, (after, part), ROUNDING
        )
        last = -after
        if last <= low:
            return 0.0
        if last >= high:
            return 1.0
        return math.acos(1 - 2 * (last - low) / (high - low)) / math.pi

    @staticmethod
    def _order(crossing: Crossing, none: float = 0.0) -> tuple[float, float]:
        """What is least where the crossing is best."""
        lacking, last = crossing
        return (lacking, none) if lacking > 0 else (0.0, -last)

    # ---- the whole way -----------------------------------------------------------------------

    def tightest_after(
        self, radius: float, enough: float = -math.inf, passing: bool = False
    ) -> Tightest:
        """The least clearance on the way, where a ball may come down through a slot; its share."""
        lasts = [(side, self.last_crossing(radius, side)) for side in self.mouths]
        crossed = [(side, last) for side, last in lasts if last]
        if len(crossed) < len(lasts) or not lasts:  # without a crossing one side is like the other
            crossed = [(NONE, 0.0), *crossed]
        return max(self._after(radius, *way, enough, passing) for way in crossed)

    def _after(
        self, radius: float, side: int, last: float, enough: float, passing: bool
    ) -> Tightest:
        start = last
        for k in range(_SAMPLES):
            if last and self._in_slot(radius, last * k / _SAMPLES, side) < 0:
                start = last * max(k - 1, 0) / _SAMPLES
                break

        def place(share: float, like: int = NONE, enough: float = math.inf) -> Spot:
            found = spare, x, y, _ = self.clearance(radius, share, like, enough)
            if spare < 0 and share < last:
                spare = max(spare, self._in_slot(radius, share, side))
            elif share == last == 1.0 and radius < self.gap:
                spare = self.most  # it has left the stair behind
            return found if spare == found[0] else (spare, x, y, NONE)

        return self.tightest(radius, start, place, enough, passing)

    def _in_slot(self, radius: float, share: float, side: int) -> float:
        """What a centre has to spare above the line at one share of its way; below 0 it sticks."""
        near, far = self.reaches(radius, self.place(radius, share))
        if side == HIGH or self.lean == 0 or self.top_width >= 2 * far:
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
        more = radius * (1 + SAME)
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
