"""Passages: what a ball can do where the guard stands off to the side of the stair.

A guard may stand outside the tread ends, ``side_gap`` away from them.  What looks like one flat
opening in elevation is then a passage: a ball that is too large for the opening dips between tread
ends and rail, past the stair while it is still clear of the guard and past the guard when it has
left the stair behind.  So a larger ball passes than the elevation shows.

The model
---------
``x`` and ``y`` are those of the elevation, ``z`` points from the stair to the outside.

* The stair (treads, risers, nosings, the upper landing) fills its elevation for all ``z <= 0``.
* The guard fills its elevation in the plane ``z = w``, the side gap: the bottom rail and all above
  it, and the posts, which go on downward as they are fixed to the side of the stair.  It is a thin
  sheet; any thickness behind it changes nothing: a ball whose centre has come to ``z = w`` moves
  straight on.
* The lower landing is ground, under the stair and beyond it, for all ``z``.

A ball of radius ``r`` with its centre at ``z`` keeps off the stair exactly where its centre, in
elevation, keeps off the stair by its *reach* ``A = sqrt(r² - z²)``, and off the guard where it
keeps off the guard by ``B = sqrt(r² - (w - z)²)``; a reach of 0 is no obstacle at all.  It starts
over the treads and is through when ``z = w``.  On the way every ``z`` has to be passed, and the
places where the centre may be at one ``z`` within one opening are connected, so the largest ball is
the least, over ``z``, of the largest that fits at ``z``.  A path from one opening into the next on
the way gains nothing: at the neck between them the reaches ``A + B`` are least at both ends.

What follows
------------
* Two straight edges, ``d`` apart in elevation: the tightest place is half-way, and the squares add
  up, ``D² = d² + w²``.
* The corner of tread, riser and rail (:mod:`stairs.openings.side_gap.corner_ball`), with sides in
  the ratio ``R : G : L``: the ball passes while ``(R + G) A + L B <= (R + G + L) ρ`` for every
  ``z``, with ``ρ`` the radius of the flat circle.  Half-way this gives ``D² = d² + w²`` again.  But
  the tightest place is where ``(R + G) z / A = L (w - z) / B``, nearer to the stair as ``R + G >
  L``, and so ``D² < d² + w²`` in every stair.  Taking the squares errs on the careful side, by less
  than 0.4 % of ``D`` (most at a pitch of 45°).
* The corner of surface, post and rail: ``G A + (R + L) B`` takes the place of that sum, the
  tightest place is nearer to the guard, and the squares are too large by up to 2.3 % at 45°.
* The foot, where the ground goes on beneath the guard: ``G r + R A + L B``; less than the squares.
* A ball as thick as the side gap is wide drops straight down between stair and guard: no rail,
  however low, stops it.
* The flat circle sweeps a cylinder from the plane of the tread ends to the guard's.  The circle
  crosses nothing of the elevation, so the cylinder crosses neither stair nor guard, and the ball of
  its diameter rolls through it.  Therefore what passes is never smaller than the flat circle, and
  it never shrinks as the side gap grows: what fits at a gap fits at a wider one, as a centre may
  move on wherever both its reaches are no greater than at some place of the narrower way.

A post that stands on a tread ends there in elevation.  The model takes it downward, and that may
stop a ball in the recess under the nosing in front of it.  Whether the post that is built goes on
downward is not known, so the ball that is reported is never smaller than the flat circle: where
the circle is the larger, it is the answer.
"""

from __future__ import annotations

import math
from fractions import Fraction
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from msgspec import Struct
from msgspec.structs import replace

from stairs.numbers.tolerances import CAREFUL, ROUNDING
from stairs.openings.feature import BOTTOM_RAIL, POST, RISER, Feature, surface_of
from stairs.openings.pocket import Pocket, has_slot, is_open, moved_down
from stairs.openings.pocket_shape import pocket_shape
from stairs.openings.rail_slots import Numbers
from stairs.openings.side_gap.corner_ball import (
    PlainCorner,
    compare_corner,
    largest_radius,
    worst_reaches,
)
from stairs.openings.side_gap.guard_plane import (
    faces_of,
    most_behind_stair,
    most_in_plane,
    mosts_in_plane,
    open_rail_ends,
    slot_matters,
    with_bodies,
)
from stairs.openings.under_rail import corner_form, largest_in_pocket, plain_form
from stairs.relations.exact import Amount, compare, expression
from stairs.shapes.circle import Circle, Corner, compare_largest_circle

if TYPE_CHECKING:
    from stairs.openings.side_gap.search import Passage
    from stairs.openings.side_gap.slots import SlottedChannel

_DIGITS = 200


class Ball(Struct, frozen=True):
    """The largest ball that passes an opening.

    Parameters
    ----------
    diameter : float
        [job's unit of length].
    center : tuple of float
        In elevation, in the pocket's coordinates, where the passage is tightest.
    out : float
        How far beyond the tread ends the centre is there, 0 to the side gap.
    corner : str
        ``RISER`` or ``POST`` where it leans on a surface, that upright face and the rail and
        nothing else comes near; empty otherwise.
    flat : bool
        Whether it is as large as the circle in the elevation, which is larger than what passes by
        posts that go on downward.
    """

    diameter: float
    center: tuple[float, float]
    out: float
    leans_on: tuple[Feature | Corner, ...]
    corner: str = ""
    flat: bool = False


def ball_in_pocket(pocket: Pocket, circle: Circle | None = None) -> Ball:
    """The largest ball that passes under the rail over one step, between stair and guard.

    Never smaller than the pocket's largest flat circle, which may be handed in.  The plain corner
    is solved by itself, anything else by :mod:`stairs.openings.side_gap.search`.
    """
    ball = _between_planes(pocket, circle)
    if not is_open(pocket):
        return ball
    circle = circle or largest_in_pocket(pocket)[0]
    if circle.diameter <= ball.diameter:
        return ball
    return Ball(circle.diameter, circle.center, 0.0, circle.leans_on, flat=True)


def _between_planes(pocket: Pocket, circle: Circle | None = None) -> Ball:
    """The largest ball that passes where all posts go on downward."""
    plain = plain_ball(pocket)
    if plain is not None:
        return plain
    if not is_open(pocket):
        return _dropping(pocket, most_behind_stair(pocket))
    return _searched(pocket, circle)


def _searched(pocket: Pocket, circle: Circle | None) -> Ball:
    """The ball of any pocket that is open in elevation."""
    alike = moved_down(pocket)
    if alike == pocket:
        return _found(pocket, circle)
    ball = _found(alike, None)
    posts = {alike.low.number: pocket.low.number, alike.high.number: pocket.high.number}

    def here(side: Feature | Corner) -> Feature | Corner:
        if isinstance(side, Corner):
            return side
        if side.kind == POST and side.number is not None:
            return Feature(POST, posts[side.number])
        return side.up_stair(pocket.step - alike.step)

    return replace(ball, leans_on=tuple(map(here, ball.leans_on)))


@lru_cache(maxsize=2048)
def _found(pocket: Pocket, circle: Circle | None) -> Ball:
    """The same, searched for."""
    circle = circle or largest_in_pocket(pocket)[0]  # which knows the brackets' bodies
    channel = _channel(with_bodies(pocket))
    radius, x, y, z = channel.largest(circle.radius / channel.room.scale)
    scale = channel.room.scale
    if radius <= channel.gap / 2 * (1 + ROUNDING):
        return _dropping(pocket, radius * scale)
    touched = channel.touched(radius, x, y, z)
    return Ball(2 * radius * scale, channel.room.outside(x, y), z * scale, touched)


@lru_cache(maxsize=64)
def _channel(pocket: Pocket) -> Passage | SlottedChannel:
    """The walls of a pocket that is open in elevation, as the search takes them."""
    from stairs.openings.side_gap.search import Passage
    from stairs.openings.side_gap.slots import SlottedChannel

    low, high = faces_of(pocket)
    posts = (pocket.low.number, low), (pocket.high.number, high)
    rail = float(pocket.front_gap), pocket.slope
    ground = -float(pocket.front[1])
    shape, gap = pocket_shape(pocket), float(pocket.side_gap)
    if open_rail_ends(pocket) is None:
        return Passage(shape, rail, gap, posts, ground, most_in_plane(pocket))
    return SlottedChannel(pocket, shape, (rail, gap, posts, ground), mosts_in_plane(pocket))


def room_to_spare(pocket: Pocket, size: float, roughly: bool = False) -> float:
    """What a ball has to spare where it passes posts that go on downward [job's unit of length].

    Parameters
    ----------
    pocket : Pocket
        With a side gap above 0.
    size : float
        Diameter of the ball, above 0.
    roughly : bool
        Whether only the sign counts, which is sooner told.

    Returns
    -------
    float
        At the tightest place, below 0 where it sticks; above 0 anything, where it passes.
    """
    plain = plain_ball(pocket)
    if plain is not None:
        return plain.diameter - size
    if not is_open(pocket):
        return _dropping(pocket, most_behind_stair(pocket)).diameter - size
    alike = moved_down(with_bodies(pocket))
    channel = _channel(alike)
    radius = size / 2 / channel.room.scale
    free = min(channel.gap / 2, channel.most) if radius <= channel.gap / 2 else channel.most
    if radius <= channel.gap / 2 or radius > free:
        return (free - radius) * channel.room.scale
    spare = _spare(alike, radius, roughly) * channel.room.scale
    if spare > 0 and pocket != with_bodies(pocket):
        # half-way between the planes a ball is no larger than bodies let the flat circle be
        flat = flat_diameter(pocket)
        spare = min(spare, math.hypot(flat, float(pocket.side_gap)) - size)
    return spare


@lru_cache(maxsize=4096)
def _spare(pocket: Pocket, radius: float, roughly: bool) -> float:
    """What a ball has to spare in a pocket's channel [parts of its scale]."""
    return _channel(pocket).spare(radius, roughly)


def surely_sticks(pocket: Pocket, limit: Fraction) -> bool:
    """Whether a ball that is searched for sticks, and its circle in the elevation, as floats tell.

    Parameters
    ----------
    pocket : Pocket
        With a side gap above 0.
    limit : Fraction
        Diameter of the ball [job's unit of length].
    """
    size = float(limit)
    if room_to_spare(pocket, size * (1 - CAREFUL), roughly=True) >= 0:
        return False
    return not may_pass_behind(pocket) or flat_diameter(pocket) < size


def may_pass_behind(pocket: Pocket) -> bool:
    """Whether the circle in the elevation may be larger than what passes posts that go downward.

    Parameters
    ----------
    pocket : Pocket
        With a side gap, open in elevation.

    Notes
    -----
    The circle's cylinder crosses neither stair nor guard.  A post that goes on downward is in its
    way only in the recess under the nosing that it stands over, or below a slot at a rail's end.
    """
    over = float(pocket.front[0]) + float(pocket.form.run)
    recess = over + float(pocket.form.nosing) + float(pocket.form.setback)
    behind = pocket.high.step > pocket.step and float(pocket.high.face) < recess
    return behind or has_slot(pocket)


def compare_ball(pocket: Pocket, ball: Ball, limit: Fraction) -> int:
    """-1, 0 or 1 as the largest ball that passes is smaller than, equal to or larger than a limit.

    Floats decide where diameter and limit differ by more than ``CAREFUL`` of the limit.  Nearer
    than that the plain corner is decided to 150 digits; a difference that is still none counts as
    equal, the ball touches.  A ball that drops between the planes is as thick as the side gap,
    exactly.  Everything else counts as larger than the limit, the careful side for every rule that
    keeps balls out.  The flat circle is compared for itself, exactly, from the walls.
    """
    difference = ball.diameter - float(limit)
    if abs(difference) > CAREFUL * float(limit):
        return 1 if difference > 0 else -1
    between = _between_planes(pocket) if ball.flat else ball
    order = _compare_between_planes(pocket, between, limit)
    return order if order == 1 or not is_open(pocket) else _compare_flat(pocket, limit, order)


def _compare_flat(pocket: Pocket, limit: Fraction, order: int) -> int:
    """The same of a ball and the flat circle, of which the larger counts."""
    if not may_pass_behind(pocket) or flat_diameter(pocket) - float(limit) < -CAREFUL * float(
        limit
    ):
        return order
    return max(order, compare_largest_circle(pocket_shape(pocket, expression), limit))


def _compare_between_planes(pocket: Pocket, ball: Ball, limit: Fraction) -> int:
    """The same for the ball that passes where all posts go on downward."""
    difference = ball.diameter - float(limit)
    if abs(difference) > CAREFUL * float(limit):
        return 1 if difference > 0 else -1
    if ball.corner:
        return _compare_plain(pocket, ball.corner, limit)
    if ball.diameter == float(pocket.side_gap):
        return compare(pocket.side_gap, limit)
    return 1


def diameter_in_pocket(pocket: Pocket) -> float:
    """Diameter of what passes under the rail over one step: a circle, or with a side gap a ball."""
    if pocket.side_gap > 0:
        return ball_in_pocket(pocket).diameter
    return largest_in_pocket(pocket)[0].diameter


def flat_diameter(pocket: Pocket) -> float:
    """Diameter of a pocket's largest circle in elevation, to rounding [job's unit of length].

    Where the circle on surface, riser and rail touches nothing else, it is the largest: weighed
    with the sides of its triangle the distances from the three add up to the same at every centre,
    so that another one is nearer to one of them.  What tells that no more comes near is what tells
    it of a ball, and a side gap of 0 makes a circle of it.
    """
    plain = plain_ball(pocket if pocket.side_gap == 0 else replace(pocket, side_gap=Fraction(0)))
    if plain is not None and plain.corner == RISER:
        return plain.diameter
    return largest_in_pocket(pocket)[0].diameter


def size_in_pocket(pocket: Pocket) -> float:
    """What an opening's diameter is where a guard is only measured: that of its circle or ball.

    The same to the last digit as with everything else that is known of an opening.
    """
    if not is_open(pocket) or (plain := plain_ball(pocket)) is None or plain.corner != RISER:
        if pocket.side_gap > 0:
            return ball_in_pocket(pocket).diameter
        circle = largest_in_pocket(pocket)[0]
        form = plain_form(pocket, circle)
        return circle.diameter if form is None else float(form)
    if pocket.side_gap > 0:
        return plain.diameter  # which no flat circle exceeds where no post is near
    return float(corner_form(pocket))


def compare_in_pocket(pocket: Pocket, limit: Fraction) -> int:
    """-1, 0 or 1 as what passes under the rail over one step is below, at or above a limit.

    Without a side gap decided exactly from the walls, with one as :func:`compare_ball` says; of a
    ball that has no closed form only whether one ``CAREFUL`` smaller than the limit sticks.
    """
    if pocket.side_gap == 0:
        return compare_largest_circle(pocket_shape(pocket, expression), limit)
    if not is_searched(pocket, limit):
        return compare_ball(pocket, ball_in_pocket(pocket), limit)
    if room_to_spare(pocket, float(limit) * (1 - CAREFUL), roughly=True) >= 0:
        return 1
    return _compare_flat(pocket, limit, -1)


def is_searched(pocket: Pocket, limit: Fraction) -> bool:
    """Whether nothing but the search tells if a ball of a size passes beside the stair.

    Parameters
    ----------
    pocket : Pocket
        With a side gap above 0.
    limit : Fraction
        Diameter of the ball [job's unit of length].
    """
    drops = abs(pocket.side_gap - limit) <= 2 * CAREFUL * limit
    return not drops and is_open(pocket) and plain_ball(pocket) is None


# --------------------------------------------------------------------------- the plain corner


def plain_corner(pocket: Pocket, kind: str, number: Numbers) -> tuple[PlainCorner, Any]:
    """The plain corner of a pocket, and its base, in one kind of number.

    Parameters
    ----------
    pocket : Pocket
        Without a closed stringer.
    kind : str
        ``RISER`` or ``POST``: the upright face.
    number : callable
        Makes numbers of exact amounts.

    Returns
    -------
    tuple of (PlainCorner, number)
        The base is level, from the step's front edge to the upright face.

    Notes
    -----
    With the centre ``A`` (or ``r``) over the surface and ``A`` (or ``B``) before the upright face,
    ``(v + x R / G - y) G / L = B`` becomes ``g r + a A + b B = v G + base R``.
    """
    rise, run = number(pocket.line_rise), number(pocket.line_run)
    square = rise * rise + run * run
    slope = math.sqrt(square) if isinstance(square, float) else square.context.sqrt(square)
    zero = rise * 0
    gap = number(pocket.bottom_gap) + number(pocket.front_lift)
    if kind == RISER:
        base = number(pocket.form.run) + number(pocket.form.nosing)
        shares = (run, rise, slope) if pocket.step == 0 else (zero, rise + run, slope)
    else:
        base = number(pocket.high.face) - number(pocket.front[0])
        shares = (zero, run, rise + slope)
    return PlainCorner(*shares, gap * run + base * rise), base


def plain_ball(pocket: Pocket) -> Ball | None:
    """The ball of a pocket where nothing but surface, upright face and rail comes near it.

    Every condition is checked for the largest or smallest reach on the way, so it holds all along.
    """
    if pocket.stringer_margin is not None or pocket.form.setback != 0:
        return None
    kind = RISER if pocket.high.step > pocket.step else POST
    if kind == POST and pocket.step == 0:
        return None
    gap = float(pocket.side_gap)
    corner, base = plain_corner(pocket, kind, float)
    radius = largest_radius(corner, gap)
    low, high = faces_of(pocket)
    least = math.sqrt(max(radius * radius - gap * gap, 0.0))  # of both reaches
    both = 2 * math.sqrt(max(radius * radius - gap * gap / 4, 0.0))  # most of their sum
    if radius > most_in_plane(pocket):
        return None
    if pocket.step > 0 and float(pocket.front[1]) + least < radius:
        return None  # the ground below would come first
    if kind == RISER:
        lip = float(pocket.form.rise) - float(pocket.form.thickness)
        overhang = float(pocket.form.nosing)
        clear = lip - radius if radius <= overhang else math.hypot(radius - overhang, lip - radius)
        free = (
            radius <= lip
            and (overhang == 0 or clear >= radius)
            and base - low >= both
            and base - least + radius <= high
            and radius <= base
        )
        upright = Feature(RISER, pocket.step + 1)
    else:
        free = 2 * radius <= high - low and high >= radius
        upright = Feature(POST, pocket.high.number)
    if not free:
        return None
    if 2 * radius <= gap:
        slotted = has_slot(with_bodies(pocket))
        return None if slotted else _dropping(pocket, gap / 2, kind)
    near, far = worst_reaches(corner.stair, corner.guard, radius, gap)
    if slot_matters(with_bodies(pocket), far):
        return None
    x = base - near if kind == RISER else base - far
    y = radius if pocket.step == 0 else near
    out = math.sqrt(max(radius * radius - near * near, 0.0))
    sides = (surface_of(pocket.step, pocket.risers), upright, BOTTOM_RAIL)
    return Ball(2 * radius, (x, y), out, sides, kind)


def _compare_plain(pocket: Pocket, kind: str, limit: Fraction) -> int:
    """A plain corner's ball against a limit, to many digits."""
    from stairs.numbers.exact_sign import digits, digits_of

    context = digits_of(_DIGITS + 20)

    def number(amount: Amount) -> Any:
        exact = amount if isinstance(amount, Fraction) else expression(amount)
        return context.mpf(digits(exact, _DIGITS))

    corner, _ = plain_corner(pocket, kind, number)
    least = context.mpf(10) ** -150 * max(1, abs(corner.total))
    return compare_corner(corner, number(pocket.side_gap), number(limit) / 2, context.sqrt, least)


# --------------------------------------------------------------------------- small things


def _dropping(pocket: Pocket, radius: float, kind: str = "") -> Ball:
    """The ball that drops straight down between the planes."""
    gap = float(pocket.side_gap)
    radius = max(radius, 0.0)
    low, high = faces_of(pocket)
    middle = min(max(float(pocket.form.run) / 2, low + radius), high - radius)
    surface = surface_of(pocket.step, pocket.risers)
    sides = (replace(surface, side="end"), BOTTOM_RAIL)
    return Ball(2 * radius, (middle, radius), gap / 2, sides, kind)
