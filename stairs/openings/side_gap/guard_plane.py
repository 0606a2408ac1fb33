"""The guard's own plane: the largest ball that gets under a rail, were no stair in its way.

Beside the stair a ball may be stopped where it has left the stair behind: between the posts, by the
ground, by the rail.  Where the rail stops short of a post it may go out beside the rail's end, or
come down there; then the bracket's measured body matters, which fills the slot or leaves it open.

:mod:`stairs.openings.side_gap.ball` says what a passage is, :mod:`stairs.openings.side_gap.slots`
how slots change it.
"""

from __future__ import annotations

import math
from fractions import Fraction

from msgspec.structs import replace

from stairs.numbers.root_finding import least_between, zero_between
from stairs.numbers.tolerances import ROUNDING
from stairs.openings.pocket import Pocket, slots_of
from stairs.openings.rail_slots import UP_TO_POSTS

_SAMPLES = 48  # places of a slot's mouth that are looked at


def with_bodies(pocket: Pocket) -> Pocket:
    """The pocket as a passage sees it: a bracket's body fills the slot wholly or not at all.

    Parameters
    ----------
    pocket : Pocket
        With or without slots at the rail's ends.

    Returns
    -------
    Pocket
        Without slots where the bodies fill them, otherwise with slots and no bodies.
    """
    cut = pocket.cut
    if cut.body_reach == 0:
        return pocket
    return replace(pocket, cut=UP_TO_POSTS if cut.filled else replace(cut, body_reach=Fraction(0)))


def slot_matters(pocket: Pocket, reach: float) -> bool:
    """Whether a ball that keeps off the guard by a reach could rise into a slot at a rail's end.

    Parameters
    ----------
    pocket : Pocket
        As :func:`with_bodies` leaves it.
    reach : float
        ``B``, from the ball's centre to posts and rail [job's unit of length], 0 or more.

    Notes
    -----
    A centre below the rail's line, ``B`` off the post, is nearest to the rail at its lower corner
    only where ``B`` is less than the slot at the upper post, or, at the lower post, less than
    the slot over ``1 - sin θ``: it lies no deeper than ``B`` below the line.
    """
    cut = pocket.cut
    low, high = slots_of(pocket)
    if high and reach < float(cut.high_slot):
        return True
    rise, run = float(pocket.line_rise), float(pocket.line_run)
    share = 1 - rise / math.hypot(rise, run)
    return low and reach < float(cut.low_slot) / share


def most_in_plane(pocket: Pocket) -> float:
    """Radius of the largest ball through the guard's plane, were there no stair [job's unit].

    Returns
    -------
    float
        0 or more; the larger of :func:`mosts_in_plane`.
    """
    return max(mosts_in_plane(pocket))


def most_behind_stair(pocket: Pocket) -> float:
    """Radius of the largest ball that passes where nothing is open in elevation [job's unit].

    Parameters
    ----------
    pocket : Pocket
        With a side gap above 0, and no free space under the rail over its step.

    Returns
    -------
    float
        0 or more; half the side gap, unless the guard's plane stops that ball or an open slot at
        a rail's end lets a larger one down.
    """
    most = most_in_plane(pocket)
    if open_rail_ends(pocket) is None:
        return min(float(pocket.side_gap) / 2, most)
    return largest_behind_stair(with_bodies(pocket), most)


def mosts_in_plane(pocket: Pocket) -> tuple[float, float]:
    """Radii of the largest balls through the guard's plane, were there no stair [job's unit].

    Returns
    -------
    tuple of (float, float)
        Under the rail or at its upper end, and before its lower end; 0 where that is closed.
    """
    faces, ends, ground = faces_of(pocket), open_rail_ends(pocket), -float(pocket.front[1])
    rail = float(pocket.front_gap), pocket.slope
    low = 0.0 if ends is None else largest_before_rail(faces, ground, rail, ends[0])
    return largest_in_plane(faces, ground, rail, ends), low


def open_rail_ends(pocket: Pocket) -> tuple[float, float] | None:
    """``x`` of the rail's lower corners, where it ends short of a post and the slot is open.

    Returns
    -------
    tuple of (float, float) or None
        Lower and upper end, in the pocket's coordinates [job's unit of length]; where only one of
        them is open, the other is its post's face.  None where both are closed.
    """
    cut = with_bodies(pocket).cut
    if cut.low_slot == 0 and cut.high_slot == 0:
        return None
    low, high = faces_of(pocket)
    return low + float(cut.low_slot), high - float(cut.high_slot)


def faces_of(pocket: Pocket) -> tuple[float, float]:
    """``x`` of the faces of both posts, in the pocket's coordinates [job's unit of length].

    Returns
    -------
    tuple of (float, float)
        Of the lower post and of the upper one, the faces that look into the bay.
    """
    origin = float(pocket.front[0])
    return float(pocket.low.face) - origin, float(pocket.high.face) - origin


def largest_in_plane(
    faces: tuple[float, float],
    ground: float,
    rail: tuple[float, float],
    ends: tuple[float, float] | None = None,
) -> float:
    """Radius of the largest ball that gets under the rail in the guard's plane, without a stair.

    Parameters
    ----------
    faces : tuple of (float, float)
        ``x`` of the faces of the two posts [any unit of length].
    ground : float
        Level of the lower landing.
    rail : tuple of (float, float)
        The underside's height at ``x = 0``, and what it rises per unit of ``x``.
    ends : tuple of (float, float), optional
        ``x`` of the rail's lower corners, where it ends short of the posts.

    Returns
    -------
    float
        0 or more; its centre does not come above the line of the rail's underside.

    Notes
    -----
    Between the posts, or in the corner of ground, upper post and rail: with the depth ``d`` of that
    corner below a rail of the slope ``m`` the centre ``(x1 - r, y0 + r)`` touches it where
    ``d = r (1 + m + sqrt(1 + m²))``.  Beside a rail's end the ball may rise into the slot, until it
    touches the rail's lower corner or its centre is on the line.

    Examples
    --------
    A rail at 3 : 4, 9 above the ground at the upper post; and one that ends 10 short of it, so that
    a centre comes up to the line, ``r = (12 - r) 3/4``:

    >>> largest_in_plane((0.0, 12.0), 0.0, (0.0, 0.75))
    3.0
    >>> round(largest_in_plane((0.0, 12.0), 0.0, (0.0, 0.75), (0.0, 2.0)), 6)
    5.142857
    """
    low, high = faces
    height, slope = rail
    length = math.hypot(1.0, slope)
    depth = height + high * slope - ground
    widest = max((high - low) / 2, 0.0)
    most = max(min(widest, depth / (1 + slope + length)), 0.0)
    if ends is None:
        return most
    corners = [(end, height + end * slope) for end in ends]

    def spare(radius: float) -> float:
        x, y = high - radius, ground + radius
        below = (height + x * slope - y) / length
        along = [(x - corner) + (y - top) * slope for corner, top in corners]
        if below < 0 or along[0] >= 0 >= along[1]:
            return below - radius
        return math.dist((x, y), corners[0] if along[0] < 0 else corners[1]) - radius

    values = spare(0.0), spare(widest)
    if values[1] >= 0:
        return widest
    if values[0] <= 0:
        return most
    return max(most, zero_between(spare, 0.0, widest, values, 1e-15 * widest)[0])


def largest_before_rail(
    faces: tuple[float, float], ground: float, rail: tuple[float, float], end: float
) -> float:
    """Radius of the largest ball that gets through between the lower post and the rail's end.

    Parameters
    ----------
    faces : tuple of (float, float)
        ``x`` of the faces of the two posts [any unit of length].
    ground : float
        Level of the lower landing.
    rail : tuple of (float, float)
        See :func:`largest_in_plane`.
    end : float
        ``x`` of the rail's lower corner.

    Returns
    -------
    float
        0 or more; its centre is neither above the line of the underside nor beyond the corner.

    Notes
    -----
    The place farthest from the corner is on the ground, next to the post or, where that is above
    the line, on the line.

    Examples
    --------
    A rail at 3 : 4 whose corner is 6 above the ground: far from a post, where a centre is on the
    line, ``(8 - 4/3 r) 5/4 = r``, and 4 from one, ``(4 - r)² + (6 - r)² = r²``:

    >>> round(largest_before_rail((-10.0, 9.0), 0.0, (6.0, 0.75), 0.0), 9)
    3.75
    >>> round(largest_before_rail((-4.0, 9.0), 0.0, (6.0, 0.75), 0.0), 6)  # 10 - sqrt(48)
    3.071797
    """
    face, (height, slope) = faces[0], rail
    top = height + end * slope

    def spare(radius: float) -> float:
        y = ground + radius
        x = max(face + radius, (y - height) / slope if slope else face)
        if x >= end or y > top:
            return -radius
        return math.hypot(x - end, y - top) - radius

    widest = max(min(end - face, (faces[1] - face) / 2), 0.0)
    values = spare(0.0), spare(widest)
    if values[0] <= 0:
        return 0.0
    if values[1] >= 0:
        return widest
    return zero_between(spare, 0.0, widest, values, 1e-15 * widest)[0]


def largest_behind_stair(pocket: Pocket, most: float) -> float:
    """Radius of the largest ball that comes down a slot wholly beside the stair [job's unit].

    Parameters
    ----------
    pocket : Pocket
        Next to a post; its rail ends short of one.
    most : float
        The largest radius that gets through the guard's plane, were there no stair.

    Returns
    -------
    float
        At least that of the ball that drops anywhere, half the side gap, where ``most`` allows it.

    Notes
    -----
    Where nothing is open in elevation under the rail, a ball that is larger than the side gap is
    wide comes down at ``z >= r`` only, beyond the stair.  There ``r + sqrt(r² - g²) <= w`` is
    ``r <= (w² + g²) / (2 w)``, and the ground is ``r`` below the line.  At the upper post ``g`` is
    half the slot, or the ball stays above the neck.  At the lower post it is half of what the end
    leaves of the slot at the surface.
    """
    gap, slope = float(pocket.side_gap), pocket.slope
    origin, ground = float(pocket.front[0]), -float(pocket.front[1])
    length = math.hypot(1.0, slope)
    best = min(gap / 2, most)
    cut = pocket.cut
    for post, slot, way in ((pocket.low, cut.low_slot, 1), (pocket.high, cut.high_slot, -1)):
        wide, face = float(slot), float(post.face) - origin
        if wide == 0 or post.step != pocket.step:
            continue
        top = float(pocket.front_gap) + (face + way * wide) * slope

        def lacks(
            off: float, wide: float = wide, face: float = face, way: int = way, top: float = top
        ) -> float:
            height = float(pocket.front_gap) + (face + way * off) * slope - ground
            guard = min(off, (wide - off) * length, gap)
            radius = (gap * gap + guard * guard) / (2 * gap)
            if way < 0:  # and by the neck, or as large as the chamber above it
                falls = (gap * gap + min(guard, wide / 2) ** 2) / (2 * gap)
                radius = max(falls, min(radius, guard))
            elif top < 0:  # the end leans over the way as far up as the surface
                over = min(-top, float(cut.up)) / float(cut.up)
                guard = min(guard, (wide - over * float(cut.back)) / 2)
                radius = (gap * gap + guard * guard) / (2 * gap)
            return -min(radius, height)

        off = min((wide * k / _SAMPLES for k in range(_SAMPLES + 1)), key=lacks)
        ends = max(off - wide / _SAMPLES, 0.0), min(off + wide / _SAMPLES, wide)
        best = max(best, -least_between(lacks, *ends, (lacks(off), off), ROUNDING * wide)[0])
    return min(best, most)
