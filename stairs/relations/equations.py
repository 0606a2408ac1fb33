"""The geometry of a stair guard, written once, as equations between named quantities.

A relation is one fact that can be seen in a sketch: the risers add up to the total rise, a racked
baluster binds in its hole, a circle touches tread, riser and rail.  Nothing here is solved by hand:
:mod:`stairs.relations.chaining` leads from what is given to what is wanted.
"""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import sympy
from msgspec import Struct
from sympy import Eq, Matrix, cos, pi, sin, sqrt, tan

from stairs.relations.quantities import POSITIVE, QUANTITIES

SYMBOLS: dict[str, sympy.Symbol] = {
    name: sympy.Symbol(name, real=True, positive=True if quantity.domain == POSITIVE else None)
    for name, quantity in QUANTITIES.items()
}
"""The sympy symbol of every quantity; those that are above 0 in any stair say so."""


class Relation(Struct, frozen=True):
    """One fact between named quantities: as many equations as it has unknowns of its own."""

    name: str
    equations: tuple[sympy.Eq, ...]
    meaning: str
    source: str

    @property
    def quantities(self) -> frozenset[str]:
        """Names of all the quantities that the relation ties together."""
        return frozenset(
            symbol.name for equation in self.equations for symbol in equation.free_symbols
        )


def _fact(name: str, left: Any, right: Any, meaning: str, source: str) -> Relation:
    return Relation(name, (_equal(left, right),), meaning, source)


def _equal(left: Any, right: Any) -> sympy.Eq:
    return Eq(left, right, evaluate=False)


_DEFINITION, _COMMON = "definition of the terms", "plane trigonometry"
_VECTORS = "vectors: along the rail, up, aside"

q = SimpleNamespace(**SYMBOLS)
R, G = q.unit_rise, q.unit_run
_DEGREE = pi / 180
_SKEW = q.skew * _DEGREE
# a raked rail and a plumb face turned in plan, as unit vectors: level along the rail, level aside,
# plumb
_ALONG, _UPWARD = Matrix([q.cosine, 0, q.sine]), Matrix([-q.sine, 0, q.cosine])
_ASIDE, _FACE = Matrix([0, 1, 0]), Matrix([cos(_SKEW), sin(_SKEW), 0])

_FLIGHT = (
    _fact("risers add up", q.total_rise, q.risers * R,
        "the total rise is made of equal risers", _DEFINITION),
    _fact("treads add up", q.total_run, q.treads * G,
        "the total run is made of equal runs", _DEFINITION),
    _fact("treads between risers", q.treads, q.risers - 1 + q.flush_tread,
        "there is one riser more than there are treads, unless the last tread is flush with "
        "the upper landing", _DEFINITION),
    _fact("slope of the nosing line", tan(q.rake * _DEGREE), R / G,
        "the nosing line rises one riser in one run", _DEFINITION),
    _fact("hypotenuse of a step", q.unit_slope**2, R**2 + G**2,
        "riser and run are the legs, nosing to nosing is the long side", "Pythagoras"),
    _fact("cosine of the rake", q.cosine * q.unit_slope, G,
        "level length per length on the rake", _COMMON),
    _fact("sine of the rake", q.sine * q.unit_slope, R, "rise per length on the rake", _COMMON),
    Relation(
        "slope of the whole flight",
        (
            _equal(tan(q.rake * _DEGREE) * q.total_run * q.risers, q.total_rise * q.treads),
            _equal(q.treads, q.risers - 1 + q.flush_tread),
        ),
        "the slope read from both totals, with riser and run replaced by their shares",
        "risers add up, treads add up, treads between risers and slope, put together",
    ),
    _fact("step formula", q.step_sum, 2 * R + G, "two risers and a run", _DEFINITION),
    _fact("tread depth", q.tread_depth, G + q.nosing,
        "a tread reaches under the nosing above it", _DEFINITION),
    _fact("raked-back riser", q.riser_setback,
        (R - q.tread_thickness) * tan(q.riser_slope * _DEGREE),
        "the face leans back below the underside of the tread above", _COMMON),
    _fact("open riser", q.open_riser, R - q.tread_thickness,
        "the upper tread takes its thickness off the riser", _DEFINITION),
    _fact("nosing line", q.nosing_line_height * G, R * G + q.x * R,
        "the straight line through the nosings, of which the first is one riser up",
        _DEFINITION),
)  # fmt: skip

_PANEL = (
    _fact("rail centre lines", q.rail_spacing_plumb,
        q.panel_height - (q.top_rail + q.bottom_rail) / 2,
        "half a rail each lies outside the centre lines of a level panel", _DEFINITION),
    _fact("racking keeps the plumb spacing", q.rail_spacing,
        q.rail_spacing_plumb * q.cosine,
        "balusters stay plumb and keep their length between the pins, so the rails come "
        "closer square to themselves", "parallelogram linkage, from the sketch"),
    _fact("plumb depth of a rail", q.plumb_depth * q.cosine, q.depth,
        "a plumb line crosses a raked rail at a slant", _COMMON),
    _fact("plumb depth of the top rail", q.top_plumb_depth * q.cosine, q.top_rail,
        "a plumb line crosses a raked rail at a slant", _COMMON),
    _fact("plumb depth of the bottom rail", q.bottom_plumb_depth * q.cosine, q.bottom_rail,
        "a plumb line crosses a raked rail at a slant", _COMMON),
    _fact("racked height", q.racked_height,
        q.rail_spacing_plumb + (q.top_plumb_depth + q.bottom_plumb_depth) / 2,
        "centre lines keep their plumb spacing, and half of each rail's plumb depth is outside",
        "parallelogram linkage, from the sketch"),
    _fact("level pitch", q.level_pitch, q.pitch * q.cosine,
        "holes keep their pitch along the rail, which now leans", _COMMON),
    _fact("clear between balusters", q.baluster_clear, q.level_pitch - q.baluster,
        "a baluster's width is lost from each pitch", _DEFINITION),
    _fact("hole that a racked baluster needs", q.hole_needed * q.cosine,
        q.baluster + q.wall * q.sine,
        "along the rail a plumb baluster is wider, and it shifts while it crosses the wall",
        "from the sketch: width over cosine plus wall times tangent"),
    _fact("baluster binds in its hole",
        q.hole_length * cos(q.max_rack * _DEGREE)
        - q.wall * sin(q.max_rack * _DEGREE), q.baluster,
        "the rake at which the hole that is there is just the hole that is needed",
        "from the sketch, both sides times the cosine"),
    _fact("guard height", q.guard_height, q.bottom_gap + q.racked_height,
        "bottom gap and racked panel stand on each other", _DEFINITION),
    _fact("bottom rail axis", q.bottom_axis_height,
        q.nosing_line_height + q.bottom_gap + q.bottom_plumb_depth / 2,
        "half the rail's plumb depth above its underside", _DEFINITION),
    _fact("top rail axis", q.top_axis_height,
        q.bottom_axis_height + q.rail_spacing_plumb,
        "centre lines keep their plumb spacing", "parallelogram linkage, from the sketch"),
)  # fmt: skip

_POSTS = (
    _fact("surface of a step", q.surface, q.step * R,
        "each step is one riser above the one before", _DEFINITION),
    _fact("nosing of a step", q.nosing_x, q.treads_in_front * G,
        "each nosing is one run behind the one before", _DEFINITION),
    _fact("plate askew to an edge", q.plate_edge_askew,
        q.centre - q.plate / 2 * (cos(_SKEW) + sin(_SKEW)) - q.nosing_x,
        "half a square plate, seen along the edge, reaches as far as its corner",
        "vectors: to the corner"),
    _fact("plate and nosing", q.plate_edge,
        q.centre - q.plate / 2 - q.nosing_x,
        "the plate reaches half its side in front of the post's centre", _DEFINITION),
    _fact("post height", q.post_height,
        q.nosing_line_height + q.guard_height + q.reveal - q.surface,
        "the top rail's upper edge at the post's face, less the post's own surface, and the "
        "part that stands above", _DEFINITION),
    _fact("pin up-stair of a face", q.pin_x_up, q.face_x + q.stand_off,
        "the pin stands off the face that looks up the stair", _DEFINITION),
    _fact("pin down-stair of a face", q.pin_x_down, q.face_x - q.stand_off,
        "and off the one that looks down", _DEFINITION),
    _fact("pin of a bottom bracket", q.bottom_pin_height, q.bottom_axis_height - q.surface,
        "the pin is on the rail's axis, and its mark counts up from the post's surface",
        _DEFINITION),
    _fact("pin of a top bracket", q.top_pin_height, q.top_axis_height - q.surface,
        "the same at the top rail", _DEFINITION),
    _fact("hole of a bottom bracket", q.bottom_hole_height,
        q.bottom_axis_height + q.hole_reach - q.surface,
        "the pin is on the rail's axis; a hole is its own offset from it", _DEFINITION),
    _fact("hole of a top bracket", q.top_hole_height,
        q.top_axis_height + q.hole_reach - q.surface,
        "the same at the top rail", _DEFINITION),
    _fact("post over a hole", q.over_hole, q.post_height - q.top_hole_height,
        "both count from the post's surface", _DEFINITION),
    _fact("length of a post", q.post_length, q.post_height + q.post_below,
        "the surface parts what stands over it from what goes below", _DEFINITION),
    _fact("post under a hole", q.under_hole, q.bottom_hole_height + q.post_below,
        "the hole counts up from the surface, the post's foot down", _DEFINITION),
)  # fmt: skip

_RAILS = (
    _fact("pin to pin", q.pin_slope * q.cosine, q.clear - 2 * q.pivot_offset,
        "what both brackets leave of the bay, on the rake", _COMMON),
    _fact("rail between pins", q.rail_length, q.pin_slope - 2 * q.rail_setback,
        "the rail stops short of both pins", _DEFINITION),
    _fact("plumb-cut rail", q.plumb_cut_length * q.cosine,
        q.clear - 2 * q.end_clearance,
        "along the axis, between two plumb faces", _COMMON),
    _fact("stock for a plumb-cut rail", q.stock_needed * q.cosine,
        q.plumb_cut_length * q.cosine + q.depth * q.sine,
        "the slanted cut reaches further at one corner of each end", _COMMON),
    _fact("rail corner and post", q.corner_clearance,
        q.pivot_offset + q.rail_setback * q.cosine - q.depth / 2 * q.sine,
        "the corner of a square end leans back towards the post", "from the sketch"),
    _fact("end gap, square-cut rail", q.end_gap,
        q.pivot_offset + (q.rail_setback + q.hole_position) * q.cosine - q.baluster / 2,
        "level distance from the post face to the first baluster", "from the sketch"),
    _fact("end gap, plumb-cut rail", q.plumb_cut_end_gap,
        q.end_clearance + q.hole_position * q.cosine - q.baluster / 2,
        "level distance from the post face to the first baluster", "from the sketch"),
    _fact("even trim, square-cut rail", q.hole_position,
        q.hole_in_stock - (q.stock - q.rail_length) / 2,
        "half of what comes off is lost before the first hole", _DEFINITION),
    _fact("even trim, plumb-cut rail", q.hole_position,
        q.hole_in_stock - (q.stock - q.plumb_cut_length) / 2,
        "half of what comes off is lost before the first hole", _DEFINITION),
    _fact("cut off the lower end", q.trim_low, (q.stock - q.rail_length) / 2 - q.pattern_shift,
        "half of what comes off, less as far as the holes are moved up", _DEFINITION),
    _fact("cut off the upper end", q.trim_high, (q.stock - q.rail_length) / 2 + q.pattern_shift,
        "half of what comes off, and as much more as the holes are moved up", _DEFINITION),
    _fact("bracket swing", q.swing, q.rake, "a bracket turns from level onto the rake",
        _DEFINITION),
    _fact("angle at the lower post", q.angle_low, 90 - q.swing,
        "above the rail, between a plumb post and a rail that rises from it", _DEFINITION),
    _fact("angle at the upper post", q.angle_high, 90 + q.swing,
        "above the rail, between a plumb post and a rail that falls from it", _DEFINITION),
    _fact("rail askew to the post", cos(q.true_angle * _DEGREE),
        cos(q.rake * _DEGREE) * cos(_SKEW),
        "a rail that leans and is turned in plan", "scalar product of two unit vectors"),
)  # fmt: skip

_ASKEW = (
    _fact("post askew to a rail", q.half_along * cos(_SKEW), q.post_width / 2,
        "the rail leaves through a face that lies half a post square from the centre", _COMMON),
    _fact("clear bay", q.clear, q.centre_distance - q.low_reach - q.high_reach,
        "what the posts leave of the distance between their centres", _DEFINITION),
    _fact("posts along the rake", q.spacing_along * q.cosine, q.centre_distance,
        "a level distance and the slope above it", "from the sketch"),
    _fact("post face", q.face_x, q.centre + q.low_reach,
        "the face that looks into the bay", _DEFINITION),
    _fact("stand-off askew", q.stand_off_along * cos(_SKEW), q.stand_off,
        "the pin stands off square to the face, the rail leaves it at a slant", _COMMON),
    _fact("pin beside the middle of a face", q.pin_aside * cos(_SKEW),
        (q.post_width / 2 + q.stand_off) * sin(_SKEW),
        "the rail's axis, carried on, passes through the post's centre",
        "vectors: along the face"),
    _fact("face beside a hole", q.beside_hole,
        q.post_width / 2 - q.pin_aside - q.hole_beside,
        "half the face, less the pin's way from its middle and the hole's from the pin",
        _DEFINITION),
    _fact("mean stand-off", q.mean_stand_off, (q.stand_off_along + q.stand_off) / 2,
        "askew at the lower post, square at the upper", _DEFINITION),
    _fact("rail corner and post, askew", q.skewed_corner_clearance,
        q.stand_off + _FACE.dot(
            q.rail_setback * _ALONG + q.depth / 2 * _UPWARD - q.rail_width / 2 * _ASIDE),
        "the corner that is below, or above, and aside, measured square to the face",
        _VECTORS),
    _fact("stock for a plumb-cut rail, askew", q.skewed_stock_needed * q.cosine,
        q.plumb_cut_length * q.cosine + q.depth * q.sine + q.rail_width / 2 * tan(_SKEW),
        "the slanted cuts reach further at one corner of each end, and aside at the lower",
        _VECTORS),
    _fact("saw miter, underside on the table", tan(q.saw_miter * _DEGREE) * _FACE.dot(_ALONG),
        _FACE.dot(_ASIDE),
        "where the face cuts the underside, against square across it",
        _VECTORS),
    _fact("saw bevel, underside on the table",
        tan(q.saw_bevel * _DEGREE) * sqrt(_FACE.dot(_ALONG) ** 2 + _FACE.dot(_ASIDE) ** 2),
        -_FACE.dot(_UPWARD),
        "how far the face leans from plumb on the table", _VECTORS),
    _fact("saw miter, side on the table", tan(q.side_miter * _DEGREE) * _FACE.dot(_ALONG),
        -_FACE.dot(_UPWARD),
        "where the face cuts the side, against square across it",
        _VECTORS),
    _fact("saw bevel, side on the table",
        tan(q.side_bevel * _DEGREE) * sqrt(_FACE.dot(_ALONG) ** 2 + _FACE.dot(_UPWARD) ** 2),
        _FACE.dot(_ASIDE),
        "how far the face leans from plumb on the table", _VECTORS),
)  # fmt: skip

_OPENINGS = (
    _fact("height over the corner", q.corner_height * G, q.bottom_gap * G + q.corner_base * R,
        "the rail climbs as it goes over the surface to the upright face", "from the sketch"),
    Relation(
        "circle in the corner under the rail",
        (
            _equal(q.circle_y, q.radius),
            _equal(q.circle_x, q.corner_base - q.radius),
            _equal((q.bottom_gap + q.circle_x * R / G - q.circle_y) * q.cosine, q.radius),
            _equal(q.corner_circle, 2 * q.radius),
        ),
        "a circle that touches a level surface, the upright face at its end and the underside "
        "of the rail, each at one radius",
        "distance from a point to a line, three times",
    ),
    _fact("square in the corner under the rail", q.corner_square,
        q.bottom_gap + (q.corner_base - q.corner_square) * R / G,
        "a square in the corner of a level surface and a plumb face; its free corner, an edge "
        "away from both, touches the rail", "from the sketch"),
    _fact("strip over a closed stringer", q.strip_opening,
        (q.bottom_gap - q.stringer_margin) * q.cosine,
        "rail and stringer edge are parallel; a ball is stopped by their square distance",
        _COMMON),
    _fact("strip under the rail", q.bottom_gap, q.clear_gap + q.filler,
        "the gap is measured to the rail, and a strip under it takes its depth off",
        _DEFINITION),
    _fact("front edge under its line", q.front_gap, q.bottom_gap + q.front_lift,
        "a measured nosing lies below the nosing line, and the gap counts from the line",
        _DEFINITION),
    _fact("gap of a strip", q.flat_gap, q.strip_opening,
        "what lies between a stringer's edge and the rail, seen in elevation", _DEFINITION),
    _fact("ball between two edges", q.strip_ball**2, q.flat_gap**2 + q.side_gap**2,
        "parallel edges in two planes are as far apart as the long side of a triangle on their "
        "distance in elevation and the distance of the planes", "Pythagoras"),
)  # fmt: skip

_ENDS = (
    _fact("between the rails", q.panel_inner,
        q.rail_spacing_plumb - (q.top_plumb_depth + q.bottom_plumb_depth) / 2,
        "half of each rail's plumb depth lies between the centre lines", _COMMON),
    _fact("slot under a square-cut rail", q.underside_slot,
        q.pivot_offset + q.rail_setback * q.cosine + q.depth / 2 * q.sine,
        "at the lower post the lower corner of a square end leans away from the post",
        "from the sketch"),
    _fact("square end leans back", q.end_back, q.depth * q.sine,
        "a rail end is square to the rail, so its top lies down-stair of its bottom", _COMMON),
    _fact("square end rises", q.end_up, q.depth * q.cosine,
        "a rail end is square to the rail", _COMMON),
)  # fmt: skip

RELATIONS: tuple[Relation, ...] = (
    *_FLIGHT, *_PANEL, *_POSTS, *_RAILS, *_ASKEW, *_OPENINGS, *_ENDS,
)  # fmt: skip
"""Every relation.  Their order is the order in which they are tried."""
