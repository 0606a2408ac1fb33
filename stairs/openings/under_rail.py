"""Pockets: the free space under the bottom rail of a flight, step by step.

Under a flight's bottom rail the free space is a chain of pockets, one over each step: bounded by
the step's surface, the riser behind it with the nosing above, and the rail, joined to its
neighbours by the neck between nosing and rail.  The first pocket (the foot) is closed by the lower
post, the last (the head) by the upper post, and a post that stands on a tread splits the pocket
there in two.

Each pocket's largest circle is found from the walls themselves (:mod:`stairs.shapes.circle`); the
line square to the rail through a nosing only decides to which pocket a circle belongs.

Coordinates inside a pocket start at the front edge of its step, so that all plain pockets of a
flight are the same shape.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise

from msgspec import Struct
from msgspec.structs import replace

from stairs.openings.rail_slots import RAIL_END, RailCut, Underside
from stairs.relations.exact import Amount, derived
from stairs.shapes.circle import Circle, Edge, Shape, largest_circle

Point = tuple[float, float]
_STEPS_UP = 4  # as many as a ball that comes down a slot beside a post could touch


class Pocket(Struct, frozen=True, cache_hash=True):
    """The free space over one step under the rail, in exact measurements.

    Parameters
    ----------
    step : int
        0 for the lower landing, then treads, ``risers`` for the upper landing.
    risers : int
        Of the flight.
    front : tuple of (Fraction or Derived, Fraction or Derived)
        The front edge of the step: its nosing; of the lower landing the point where the nosing
        line comes down to it.
    unit_rise, unit_run : Fraction or Derived
        From there to the next nosing.
    line_rise, line_run : Fraction or Derived
        Slope of the nosing line, which the rail follows.
    front_lift : Fraction
        Plumb, from the front edge up to the nosing line; 0 in a designed flight.
    nosing, tread_thickness : Fraction
        Overhang over the riser, and how far its front face reaches down.
    riser_setback : Fraction or Derived
        How far the foot of a raked-back riser lies behind its top; 0 for a plumb one.
    bottom_gap : Fraction
        Plumb, nosing line to the rail's underside.
    stringer_margin : Fraction or None
        Closed stringer's edge over the nosing line; None for a cut stringer.
    low_post, high_post : (int, Fraction)
        The posts of the bay: number and the ``x`` of the face that looks into the bay.
    low_step, high_step : int
        The steps that those two posts stand on.
    low_surface, high_surface : Fraction or Derived
        Heights of those steps.
    side_gap : Fraction
        From the tread ends out to the guard's plane; above 0 the elevation is not the whole story,
        see :mod:`stairs.openings.side_gap.ball`.
    cut : RailCut or None
        How the rail ends at the posts; None where it goes up to their faces.
    straight : bool
        Whether what is below runs straight along the rail: the walking surface of a level run, or
        a closed stringer's edge, which then stands for one long step from first to last nosing.
    """

    step: int
    risers: int
    front: tuple[Amount, Amount]
    unit_rise: Amount
    unit_run: Amount
    line_rise: Amount
    line_run: Amount
    front_lift: Fraction
    nosing: Fraction
    tread_thickness: Fraction
    riser_setback: Amount
    bottom_gap: Fraction
    stringer_margin: Fraction | None
    low_post: tuple[int, Fraction]
    high_post: tuple[int, Fraction]
    low_step: int
    high_step: int
    low_surface: Amount
    high_surface: Amount
    side_gap: Fraction = Fraction(0)
    cut: RailCut | None = None
    straight: bool = False

    @property
    def front_gap(self) -> Fraction:
        """Plumb, from the step's front edge to the rail's underside [job's unit of length]."""
        return self.bottom_gap + self.front_lift

    @property
    def clear(self) -> Amount:
        """Level, from post face to post face [job's unit of length]."""
        faces = {"low_reach": self.low_post[1], "centre_distance": self.high_post[1]}
        return derived("bay_clear", **faces, high_reach=Fraction(0))


def pocket_shape(pocket: Pocket, number: Callable[[Amount], object] = float) -> Shape:
    """The walls of a pocket and where a circle's centre may be.

    Parameters
    ----------
    pocket : Pocket
        Exact measurements.
    number : callable
        Turns an exact measurement into the kind of number to compute with: ``float``, or
        :func:`stairs.relations.exact.expression` for exact ones.

    Returns
    -------
    stairs.shapes.circle.Shape
        Counter-clockwise, from the left end of the step's surface; edges without a name are no
        walls.

    Notes
    -----
    With the step's front edge at the origin the next nosing is ``(G, R)`` and the rail's underside
    is ``y = v + x m`` with the slope ``m``.  The neck at a nosing that lies ``v`` below the rail
    runs square to it and meets it at ``(-v m / (1 + m²), v / (1 + m²))`` from the nosing.
    """
    if pocket.straight:
        return _over_straight_edge(pocket, number)
    R, G = number(pocket.unit_rise), number(pocket.unit_run)
    s, t = number(pocket.nosing), number(pocket.tread_thickness)
    back = number(pocket.riser_setback)
    lift, v = number(pocket.front_lift), number(pocket.front_gap)
    slope = number(pocket.line_rise) / number(pocket.line_run)
    k, n = pocket.step, pocket.risers
    closed = pocket.stringer_margin is not None
    margin = number(pocket.stringer_margin) if closed else number(Fraction(0))
    zero = number(Fraction(0))
    origin, floor = number(pocket.front[0]), number(pocket.front[1])
    low_face = number(pocket.low_post[1]) - origin
    high_face = number(pocket.high_post[1]) - origin
    low_name, high_name = f"post {pocket.low_post[0]}", f"post {pocket.high_post[0]}"
    surface = "lower landing" if k == 0 else "upper landing" if k == n else f"tread {k}"

    def rail(x):
        return v + x * slope

    def neck_top(corner):
        neck = rail(corner[0]) - corner[1]
        square = 1 + slope * slope
        return (corner[0] - neck * slope / square, corner[1] + neck / square)

    def on_neck(corner, x):
        return (x, corner[1] + (corner[0] - x) / slope)

    under = Underside(pocket.cut, number, rail, low_face, high_face)
    edge = lift + G * slope + margin if closed else R  # the corner at the next nosing
    if not closed and pocket.bottom_gap < 0:
        return _below_nosings(
            pocket,
            (R, G, s, t, back, slope),
            (low_face, high_face),
            (low_name, surface, high_name),
            under,
        )
    right = (
        _right_side(pocket, G, R, s, t, back, edge, zero)
        if pocket.high_step > k
        else [((high_face, zero), surface), ((high_face, rail(high_face)), high_name)]
    )
    # walk: left end of the surface, right side up to the rail, back along the rail, left side down
    path = list(right)
    if pocket.high_step > k:
        corner = path[-1][0]
        top = neck_top(corner)
        if rail(corner[0]) != corner[1]:
            if pocket.low_step <= k and low_face > top[0]:
                path.append((on_neck(corner, low_face), None))
            else:
                path.append((top, None))
    if pocket.low_step == k:
        under.walk(path, low_face)
        start = (low_face, zero)
        path.append((start, low_name))
    else:
        corner = (zero, lift + margin if closed else zero)
        top = neck_top(corner)
        if low_face > top[0] and rail(zero) != corner[1]:
            under.walk(path, low_face)
            path.append((on_neck(corner, low_face), low_name))
        else:
            under.walk(path, top[0])
        start = (zero, zero)
        path.append((corner, None))
        if closed:
            path.append((start, "stringer end"))
    edges = []
    here = start
    for point, name in path:
        if point != here:
            edges.append(Edge(here, point, name))
        here = point
    beyond = []
    if pocket.low_step != k:
        bottom = number(pocket.low_surface) - floor
        beyond.append(Edge((low_face, bottom), (low_face, rail(low_face)), low_name))
    if pocket.high_step != k:
        bottom = number(pocket.high_surface) - floor
        beyond.append(Edge((high_face, bottom), (high_face, rail(high_face)), high_name))
    beyond += under.beyond(low_name, high_name, zero)
    corners = _rail_corners(under)
    if pocket.low_step < k:
        corners.append(((zero, zero), f"nosing {k}"))
    if pocket.high_step > k and not closed:
        corners.append(((G, R), f"nosing {k + 1}"))
        if t > 0:
            corners.append(((G, R - t), f"nosing {k + 1}, lower edge"))
    return Shape(tuple(edges), tuple(beyond), tuple(corners))


def _over_straight_edge(pocket: Pocket, number) -> Shape:
    """The strip between the rail and a straight edge parallel to it.

    A post that stands between its ends closes it; elsewhere it ends at an open neck, square to the
    rail, where the space over a landing begins.
    """
    slope = number(pocket.line_rise) / number(pocket.line_run)
    level = pocket.stringer_margin is None
    margin = number(Fraction(0) if level else pocket.front_lift + pocket.stringer_margin)
    v, origin = number(pocket.front_gap), number(pocket.front[0])
    low, high = number(pocket.low_post[1]) - origin, number(pocket.high_post[1]) - origin
    low_name, high_name = f"post {pocket.low_post[0]}", f"post {pocket.high_post[0]}"
    surface, end = "walking surface" if level else "stringer edge", number(pocket.unit_run)
    square = 1 + slope * slope

    def edge(x):
        return (x, margin + x * slope)

    def rail(x):
        return v + x * slope

    def neck(x):
        """Where the neck from the edge's end at ``x`` comes to the rail, or to the lower post."""
        top = x - (v - margin) * slope / square
        return (top, rail(top)) if top > low else (low, edge(x)[1] + (x - low) / slope)

    under = Underside(pocket.cut, number, rail, low, high)
    closed_low, closed_high = pocket.low_step >= pocket.step, pocket.high_step < pocket.risers
    start = edge(low if closed_low else end * 0)
    if closed_high:
        path = [(start, None), (edge(high), surface), ((high, rail(high)), high_name)]
    else:
        path = [(start, None), (edge(end), surface), (neck(end), None)]
    if closed_low:
        under.walk(path, low)
        path.append((start, low_name))
    else:
        top = neck(start[0])
        under.walk(path, top[0])
        if top[1] != rail(top[0]):
            path.append((top, low_name))
        path.append((start, None))
    edges = tuple(
        Edge(here, there, name) for (here, _), (there, name) in pairwise(path) if here != there
    )
    beyond = under.beyond(low_name, high_name, edge(low)[1])
    bottom = number(pocket.front[1])
    for closed, x, surface, name in (
        (closed_low, low, pocket.low_surface, low_name),
        (closed_high, high, pocket.high_surface, high_name),
    ):
        if not closed:
            beyond.append(Edge((x, number(surface) - bottom), (x, rail(x)), name))
    return Shape(edges, tuple(beyond), tuple(_rail_corners(under)))


def _rail_corners(under: Underside) -> list:
    """The names of the rail's lower corners where there are slots beyond them."""
    cut = under.cut
    ends = () if cut is None else ((cut.low_slot, under.low), (cut.high_slot, under.high))
    return [((x, under.rail(x)), RAIL_END) for slot, x in ends if slot != 0]


def _below_nosings(pocket: Pocket, step, faces, names, under) -> Shape:
    """The flat picture where the rail lies below the nosing line, outside the tread ends.

    The rail then crosses tread and riser in elevation, and what is left is the corner under it.
    """
    R, G, s, t, back, slope = step
    low_face, high_face = faces
    low_name, surface, high_name = names
    zero, rail = R - R, under.rail
    meets_surface = -rail(zero) / slope
    at_post = pocket.low_step == pocket.step and low_face > meets_surface
    start = (low_face if at_post else meets_surface, zero)
    path = []
    if pocket.high_step > pocket.step:
        riser = f"riser {pocket.step + 1}"
        path.append(((G + s + back, zero), surface))
        # where the rail crosses the riser, whose face leans back by ``back`` over its height
        height = R - t
        crossing = (rail(G + s + back)) / (1 + slope * back / height)
        if crossing <= height or (s == 0 and back == 0):
            path.append(((G + s + back * (1 - crossing / height), crossing), riser))
        else:
            path.append(((G + s, height), riser))
            lip = (R - t - rail(zero)) / slope
            below = f"nosing {pocket.step + 1}, underside"
            path.append(((lip if lip > G else G, R - t), below))
            if lip < G:
                path.append(((G, rail(G)), f"nosing {pocket.step + 1}"))
    else:
        path.append(((high_face, zero), surface))
        path.append(((high_face, rail(high_face)), high_name))
    under.walk(path, start[0])
    if at_post:
        path.append((start, low_name))
    else:  # the rail comes down to the surface there, but for rounding
        path[-1] = (start, path[-1][1])
    edges, here = [], start
    for point, name in path:
        if point != here:
            edges.append(Edge(here, point, name))
        here = point
    beyond = under.beyond(low_name, high_name, zero, whole=False)
    if pocket.high_step > pocket.step and _rail_corners(under):
        # where the rail ends in front of the next step, that shows above the line of the rail
        outline = _right_side(pocket, G, R, s, t, back, R, zero)
        surface = (
            "upper landing" if pocket.step + 1 == pocket.risers else f"tread {pocket.step + 1}"
        )
        outline.append(((G + G, R), surface))
        for (begin, _), (finish, name) in zip(outline, outline[1:], strict=False):
            beyond.append(Edge(begin, finish, name))
    return Shape(tuple(edges), tuple(beyond), tuple(_rail_corners(under)))


def is_open(pocket: Pocket) -> bool:
    """Whether there is any free space under the rail over the pocket's step.

    Parameters
    ----------
    pocket : Pocket
        Exact measurements.

    Notes
    -----
    There is none where a post's face is flush with the edge in front of it or with the riser
    behind it.  Nor is there any where a rail below the nosing line stays below the step's surface
    as far as the riser, or the upper post, behind it.
    """
    # a post whose face is flush with the edge in front of it or the riser behind leaves no room
    hair = 1e-9 * float(pocket.line_run)
    front = float(pocket.front[0])
    if pocket.high_step == pocket.step > 0 and float(pocket.high_post[1]) - front <= hair:
        return False
    back = front + float(pocket.unit_run) + float(pocket.nosing) + float(pocket.riser_setback)
    if pocket.low_step == pocket.step < pocket.high_step and back - float(pocket.low_post[1]) <= (
        hair
    ):
        return False
    if pocket.stringer_margin is not None or pocket.bottom_gap >= 0:
        return True
    slope = float(pocket.line_rise) / float(pocket.line_run)
    end = float(pocket.unit_run) + float(pocket.nosing)
    if pocket.high_step == pocket.step:
        end = float(pocket.high_post[1]) - float(pocket.front[0])
    return float(pocket.front_gap) + end * slope > 1e-9 * float(pocket.line_rise)


def _right_side(pocket, G, R, s, t, back, edge, zero):
    """Surface, riser, underside of the overhang and nosing face, up to the corner of the neck."""
    k = pocket.step
    surface = "lower landing" if k == 0 else f"tread {k}"
    if pocket.stringer_margin is not None:
        return [((G, zero), surface), ((G, edge), "stringer end")]
    side = [((G + s + back, zero), surface)]
    if s > 0 or back > 0:
        side.append(((G + s, R - t), f"riser {k + 1}"))
        if s > 0:
            side.append(((G, R - t), f"nosing {k + 1}, underside"))
        if t > 0:
            side.append(((G, R), f"nosing {k + 1}"))
        elif s > 0:
            side[-1] = ((G, R), f"nosing {k + 1}, underside")
    else:
        side.append(((G, R), f"riser {k + 1}"))
    return side


# a guard is solved again many times with one measurement moved, which leaves most pockets alike
_largest = lru_cache(maxsize=2048)(largest_circle)


def largest_in_pocket(pocket: Pocket) -> tuple[Circle, Shape, Point]:
    """The largest circle of a pocket, its shape, and the pocket's origin.

    Circle and shape are in the pocket's own coordinates [job's unit of length].
    """
    shape = pocket_shape(pocket)
    return _largest(shape), shape, (float(pocket.front[0]), float(pocket.front[1]))


def moved_down(pocket: Pocket) -> Pocket:
    """The same pocket for every tread that has its posts at the same places, or none near.

    Parameters
    ----------
    pocket : Pocket
        Exact measurements.

    Returns
    -------
    Pocket
        Over tread 1, between posts 1 and 2, in the same coordinates and far above the ground, so
        that one search does for all.  The one that was given where it is over a landing, or where
        the ground is near and a ball comes past beside the stair.
    """
    (front, level), (low, high) = pocket.front, (pocket.low_post[1], pocket.high_post[1])
    # no ball, and no cube, is larger than from the inner corner square to the rail and out beside
    end = float(pocket.unit_run) + float(pocket.nosing) + float(pocket.riser_setback)
    rise, run = float(pocket.line_rise), float(pocket.line_run)
    corner = float(pocket.front_gap) + end * rise / run
    size = max(corner, 0.0) * run / math.hypot(rise, run) + float(pocket.side_gap)
    on_landing = pocket.straight or not 0 < pocket.step < pocket.risers
    if on_landing or (pocket.side_gap > 0 and float(level) < 2 * size):
        return pocket
    zero, far = Fraction(0), 10 * Fraction(size + end)
    near = float(low) > float(front) - size or float(high) < float(front) + end + size
    if not (near or has_slot(pocket)) and pocket.low_step < pocket.step < pocket.high_step:
        return replace(
            pocket, step=1, risers=3, front=(zero, far), low_post=(1, -far), high_post=(2, far),
            low_step=0, high_step=2, low_surface=zero, high_surface=2 * far, cut=None,
        )  # fmt: skip
    exact = (front, level, low, high, pocket.low_surface, pocket.high_surface)
    if not all(isinstance(value, Fraction) for value in exact):
        return pocket
    return replace(
        pocket,
        step=1,
        risers=1 + min(pocket.risers - pocket.step, _STEPS_UP),
        front=(zero, far),
        low_post=(1, low - front),
        high_post=(2, high - front),
        low_step=1 - min(pocket.step - pocket.low_step, 1),
        high_step=1 + min(pocket.high_step - pocket.step, 1),
        low_surface=pocket.low_surface - level + far,
        high_surface=pocket.high_surface - level + far,
    )


def has_slot(pocket: Pocket) -> bool:
    """Whether a slot between rail end and post opens into the space over the pocket's step.

    Parameters
    ----------
    pocket : Pocket
        Exact measurements.
    """
    return any(slots_of(pocket))


def slots_of(pocket: Pocket) -> tuple[bool, bool]:
    """Whether the slots at the lower and at the upper post open into the space over the step.

    Parameters
    ----------
    pocket : Pocket
        Exact measurements.

    Notes
    -----
    The space ends at the neck, which comes to the rail ``v m / (1 + m²)`` in front of a nosing that
    lies ``v`` below it.
    """
    cut = pocket.cut
    if cut is None or (cut.low_slot == 0 and cut.high_slot == 0):
        return False, False
    slope = float(pocket.line_rise) / float(pocket.line_run)
    share = slope / (1 + slope * slope)
    margin = float(pocket.stringer_margin or 0)
    front = float(pocket.front[0])
    run = float(pocket.unit_run)
    left = front - max(float(pocket.front_gap) - margin, 0.0) * share
    neck = float(pocket.front_gap) + run * slope
    neck -= run * slope + margin if pocket.stringer_margin is not None else float(pocket.unit_rise)
    right = front + run - max(neck, 0.0) * share
    if pocket.bottom_gap < 0 and pocket.stringer_margin is None:
        left = front - (float(pocket.front_gap) / slope if slope else 0.0)
        right = front + run + float(pocket.nosing) + float(pocket.riser_setback)
    low = float(pocket.low_post[1]) + float(cut.low_slot)
    high = float(pocket.high_post[1]) - float(cut.high_slot)
    return (
        cut.low_slot != 0 and (pocket.low_step >= pocket.step or low > left),
        cut.high_slot != 0 and (pocket.high_step <= pocket.step or high < right),
    )


def strip_width(pocket: Pocket) -> Amount:
    """What passes between a straight edge and the rail parallel to it, far from all posts.

    Parameters
    ----------
    pocket : Pocket
        Whose ``straight`` is set.

    Returns
    -------
    Fraction or Derived
        Diameter [job's unit of length].  With a side gap the squares of both add up, as the two
        edges lie in two planes; where the rail covers the edge it is the side gap.
    """
    if pocket.stringer_margin is None:
        return pocket.bottom_gap
    strip = {
        "bottom_gap": max(pocket.bottom_gap, pocket.stringer_margin),
        "stringer_margin": pocket.stringer_margin,
        "unit_rise": pocket.line_rise,
        "unit_run": pocket.line_run,
    }
    if pocket.side_gap > 0:
        return derived("strip_ball", side_gap=pocket.side_gap, **strip)
    return derived("strip_opening", **strip)


def slot_matters_to(pocket: Pocket, size: float) -> bool:
    """Whether a slot beside a post could let more through than a strip does far from all posts.

    Parameters
    ----------
    pocket : Pocket
        Whose ``straight`` is set.
    size : float
        Diameter of what passes far from all posts [job's unit of length].

    Notes
    -----
    A circle that touches the lower post touches the rail ``r (1 - sin θ)`` from it, one that
    touches the upper post ``r (1 + sin θ)``; where that is on the rail, the slot is out of reach.
    Beside the stair the reach to the guard is anything from 0 to ``r``.
    """
    if pocket.cut is None or pocket.cut.filled or not has_slot(pocket):
        return False
    if pocket.side_gap > 0:
        return True
    rise, run = float(pocket.line_rise), float(pocket.line_run)
    sine = rise / math.hypot(rise, run)
    low, high = slots_of(pocket)
    reaches = (low, pocket.cut.low_slot, 1 - sine), (high, pocket.cut.high_slot, 1 + sine)
    return any(is_open and 2 * float(slot) > size * share for is_open, slot, share in reaches)


def plain_form(pocket: Pocket, circle: Circle) -> Amount | None:
    """The closed form of a pocket's circle where it leans on surface, upright face and rail.

    Parameters
    ----------
    pocket : Pocket
        Exact measurements.
    circle : Circle
        Its largest circle.

    Returns
    -------
    Fraction, Derived or None
        The diameter; None where the circle leans on other features.
    """
    sides = {name.split(" ")[0] for name in circle.leans_on}
    surfaces = {"tread", "lower", "upper"}
    if not ("bottom rail" in circle.leans_on and sides & surfaces and len(sides) == 3):
        return None
    at_post = pocket.high_step == pocket.step and isinstance(pocket.front[0], Fraction)
    if not ("riser" in sides or ("post" in sides and at_post)):
        return None
    form = corner_form(pocket, "riser" not in sides)
    return form if abs(float(form) - circle.diameter) <= 1e-9 * max(1.0, circle.diameter) else None


def corner_form(pocket: Pocket, at_post: bool = False) -> Amount:
    """Diameter of the circle on surface, rail, and riser or upper post [job's unit of length]."""
    base = (
        pocket.high_post[1] - pocket.front[0]
        if at_post
        else derived("tread_depth", unit_run=pocket.unit_run, nosing=pocket.nosing)
    )
    step = {"unit_rise": pocket.line_rise, "unit_run": pocket.line_run}
    return derived("corner_circle", bottom_gap=pocket.front_gap, corner_base=base, **step)
