"""The geometry of a stair guard, written once, as equations between named quantities.

A relation is one fact that can be seen in a sketch: the risers add up to the total rise, a racked
baluster binds in its hole, a circle touches tread, riser and rail.  Nothing here is solved by hand.
:func:`derive` chains the relations from what is given to what is wanted, and
:mod:`stairs.relations.derivation` writes the results out as plain numeric functions
(:mod:`stairs.relations.closed_forms`), so that the everyday commands need no computer algebra.  The
relations are asked again only where a float cannot decide, through
:func:`stairs.relations.derivation.exact_value`.

Where an equation has several roots, the one that can be a stair is kept: the one whose value lies
in the quantity's domain on sample stairs.  The ones let go are kept beside it with the reason.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

import sympy
from msgspec import Struct, field
from sympy import Eq, Matrix, Rational, cos, pi, sin, sqrt, tan

from stairs.relations.quantities import ANGLE, ANY, NOT_NEGATIVE, POSITIVE, QUANTITIES

SYMBOLS: dict[str, sympy.Symbol] = {
    name: sympy.Symbol(name, real=True, positive=True if quantity.domain == POSITIVE else None)
    for name, quantity in QUANTITIES.items()
}
"""The sympy symbol of every quantity; those that are above 0 in any stair say so."""

_COMMON = "plane trigonometry"
_DEFINITION = "definition of the terms"


class Relation(Struct, frozen=True):
    """One fact between named quantities: as many equations as it has unknowns of its own.

    Parameters
    ----------
    name : str
        What the fact is called in the working.
    equations : tuple of sympy.Eq
        Usually one; a circle that touches three sides is one fact of three equations.
    meaning : str
        The fact in words.
    source : str
        Where it is from: a definition, plane geometry, or the sketch it is read off.
    """

    name: str
    equations: tuple[Eq, ...]
    meaning: str
    source: str

    @property
    def quantities(self) -> frozenset[str]:
        """Names of all the quantities that the relation ties together."""
        return frozenset(
            symbol.name for equation in self.equations for symbol in equation.free_symbols
        )


def _relations() -> tuple[Relation, ...]:
    s = SYMBOLS
    degrees = pi / 180
    R, G, n, T = s["unit_rise"], s["unit_run"], s["risers"], s["treads"]
    H, W, rake, L = s["total_rise"], s["total_run"], s["rake"], s["unit_slope"]
    cosine, sine = s["cosine"], s["sine"]
    ht, hb, h, b = s["top_rail"], s["bottom_rail"], s["depth"], s["baluster"]
    v, r = s["bottom_gap"], s["radius"]
    # a raked rail and a plumb face turned in plan, as unit vectors: level along the rail, level
    # aside, plumb
    skew, w = s["skew"] * degrees, s["rail_width"]
    axis, upward = Matrix([cosine, 0, sine]), Matrix([-sine, 0, cosine])
    aside, face = Matrix([0, 1, 0]), Matrix([cos(skew), sin(skew), 0])

    def one(name: str, left, right, meaning: str, source: str) -> Relation:
        return Relation(name, (Eq(left, right, evaluate=False),), meaning, source)

    return (
        # ------------------------------------------------------------------ the flight
        one("risers add up", H, n * R, "the total rise is made of equal risers", _DEFINITION),
        one("treads add up", W, T * G, "the total run is made of equal runs", _DEFINITION),
        one(
            "treads between risers",
            T,
            n - 1 + s["flush_tread"],
            "there is one riser more than there are treads, unless the last tread is flush with "
            "the upper landing",
            _DEFINITION,
        ),
        one(
            "slope of the nosing line",
            tan(rake * degrees),
            R / G,
            "the nosing line rises one riser in one run",
            _DEFINITION,
        ),
        one(
            "hypotenuse of a step",
            L**2,
            R**2 + G**2,
            "riser and run are the legs, nosing to nosing is the long side",
            "Pythagoras",
        ),
        one("cosine of the rake", cosine * L, G, "level length per length on the rake", _COMMON),
        one("sine of the rake", sine * L, R, "rise per length on the rake", _COMMON),
        Relation(
            "slope of the whole flight",
            (
                Eq(tan(rake * degrees) * W * n, H * T, evaluate=False),
                Eq(T, n - 1 + s["flush_tread"], evaluate=False),
            ),
            "the slope read from both totals, with riser and run replaced by their shares",
            "risers add up, treads add up, treads between risers and slope, put together",
        ),
        one("step formula", s["step_sum"], 2 * R + G, "two risers and a run", _DEFINITION),
        one(
            "tread depth",
            s["tread_depth"],
            G + s["nosing"],
            "a tread reaches under the nosing above it",
            _DEFINITION,
        ),
        one(
            "raked-back riser",
            s["riser_setback"],
            (R - s["tread_thickness"]) * tan(s["riser_slope"] * degrees),
            "the face leans back below the underside of the tread above",
            _COMMON,
        ),
        one(
            "open riser",
            s["open_riser"],
            R - s["tread_thickness"],
            "the upper tread takes its thickness off the riser",
            _DEFINITION,
        ),
        one(
            "nosing line",
            s["nosing_line_height"] * G,
            R * G + s["x"] * R,
            "the straight line through the nosings, of which the first is one riser up",
            _DEFINITION,
        ),
        # ------------------------------------------------------------------ the panel
        one(
            "rail centre lines",
            s["rail_spacing_plumb"],
            s["panel_height"] - (ht + hb) / 2,
            "half a rail each lies outside the centre lines of a level panel",
            _DEFINITION,
        ),
        one(
            "racking keeps the plumb spacing",
            s["rail_spacing"],
            s["rail_spacing_plumb"] * cosine,
            "balusters stay plumb and keep their length between the pins, so the rails come "
            "closer square to themselves",
            "parallelogram linkage, from the sketch",
        ),
        one(
            "plumb depth of a rail",
            s["plumb_depth"] * cosine,
            h,
            "a plumb line crosses a raked rail at a slant",
            _COMMON,
        ),
        one(
            "plumb depth of the top rail",
            s["top_plumb_depth"] * cosine,
            ht,
            "a plumb line crosses a raked rail at a slant",
            _COMMON,
        ),
        one(
            "plumb depth of the bottom rail",
            s["bottom_plumb_depth"] * cosine,
            hb,
            "a plumb line crosses a raked rail at a slant",
            _COMMON,
        ),
        one(
            "racked height",
            s["racked_height"],
            s["rail_spacing_plumb"] + (s["top_plumb_depth"] + s["bottom_plumb_depth"]) / 2,
            "centre lines keep their plumb spacing, and half of each rail's plumb depth is outside",
            "parallelogram linkage, from the sketch",
        ),
        one(
            "level pitch",
            s["level_pitch"],
            s["pitch"] * cosine,
            "holes keep their pitch along the rail, which now leans",
            _COMMON,
        ),
        one(
            "clear between balusters",
            s["baluster_clear"],
            s["level_pitch"] - b,
            "a baluster's width is lost from each pitch",
            _DEFINITION,
        ),
        one(
            "hole that a racked baluster needs",
            s["hole_needed"] * cosine,
            b + s["wall"] * sine,
            "along the rail a plumb baluster is wider, and it shifts while it crosses the wall",
            "from the sketch: width over cosine plus wall times tangent",
        ),
        one(
            "baluster binds in its hole",
            s["hole_length"] * cos(s["max_rack"] * degrees)
            - s["wall"] * sin(s["max_rack"] * degrees),
            b,
            "the rake at which the hole that is there is just the hole that is needed",
            "from the sketch, both sides times the cosine",
        ),
        one(
            "guard height",
            s["guard_height"],
            v + s["racked_height"],
            "bottom gap and racked panel stand on each other",
            _DEFINITION,
        ),
        one(
            "bottom rail axis",
            s["bottom_axis_height"],
            s["nosing_line_height"] + v + s["bottom_plumb_depth"] / 2,
            "half the rail's plumb depth above its underside",
            _DEFINITION,
        ),
        one(
            "top rail axis",
            s["top_axis_height"],
            s["bottom_axis_height"] + s["rail_spacing_plumb"],
            "centre lines keep their plumb spacing",
            "parallelogram linkage, from the sketch",
        ),
        one(
            "surface of a step",
            s["surface"],
            s["step"] * R,
            "each step is one riser above the one before",
            _DEFINITION,
        ),
        one(
            "nosing of a step",
            s["nosing_x"],
            s["treads_in_front"] * G,
            "each nosing is one run behind the one before",
            _DEFINITION,
        ),
        one(
            "plate askew to an edge",
            s["plate_edge_askew"],
            s["centre"] - s["plate"] / 2 * (cos(skew) + sin(skew)) - s["nosing_x"],
            "half a square plate, seen along the edge, reaches as far as its corner",
            "vectors: to the corner",
        ),
        one(
            "plate and nosing",
            s["plate_edge"],
            s["centre"] - s["plate"] / 2 - s["nosing_x"],
            "the plate reaches half its side in front of the post's centre",
            _DEFINITION,
        ),
        one(
            "post height",
            s["post_height"],
            s["nosing_line_height"] + s["guard_height"] + s["reveal"] - s["surface"],
            "the top rail's upper edge at the post's face, less the post's own surface, and the "
            "part that stands above",
            _DEFINITION,
        ),
        one(
            "pin up-stair of a face",
            s["pin_x_up"],
            s["face_x"] + s["stand_off"],
            "the pin stands off the face that looks up the stair",
            _DEFINITION,
        ),
        one(
            "pin down-stair of a face",
            s["pin_x_down"],
            s["face_x"] - s["stand_off"],
            "and off the one that looks down",
            _DEFINITION,
        ),
        one(
            "hole of a bottom bracket",
            s["bottom_hole_height"],
            s["bottom_axis_height"] + s["hole_reach"] - s["surface"],
            "the pin is on the rail's axis; a hole is its own offset from it",
            _DEFINITION,
        ),
        one(
            "hole of a top bracket",
            s["top_hole_height"],
            s["top_axis_height"] + s["hole_reach"] - s["surface"],
            "the same at the top rail",
            _DEFINITION,
        ),
        one(
            "post over a hole",
            s["over_hole"],
            s["post_height"] - s["top_hole_height"],
            "both count from the post's surface",
            _DEFINITION,
        ),
        one(
            "length of a post",
            s["post_length"],
            s["post_height"] + s["post_below"],
            "the surface parts what stands over it from what goes below",
            _DEFINITION,
        ),
        one(
            "post under a hole",
            s["under_hole"],
            s["bottom_hole_height"] + s["post_below"],
            "the hole counts up from the surface, the post's foot down",
            _DEFINITION,
        ),
        # ------------------------------------------------------------------ rails and brackets
        one(
            "pin to pin",
            s["pin_slope"] * cosine,
            s["clear"] - 2 * s["pivot_offset"],
            "what both brackets leave of the bay, on the rake",
            _COMMON,
        ),
        one(
            "rail between pins",
            s["rail_length"],
            s["pin_slope"] - 2 * s["rail_setback"],
            "the rail stops short of both pins",
            _DEFINITION,
        ),
        one(
            "plumb-cut rail",
            s["plumb_cut_length"] * cosine,
            s["clear"] - 2 * s["end_clearance"],
            "along the axis, between two plumb faces",
            _COMMON,
        ),
        one(
            "stock for a plumb-cut rail",
            s["stock_needed"] * cosine,
            s["plumb_cut_length"] * cosine + h * sine,
            "the slanted cut reaches further at one corner of each end",
            _COMMON,
        ),
        one(
            "rail corner and post",
            s["corner_clearance"],
            s["pivot_offset"] + s["rail_setback"] * cosine - h / 2 * sine,
            "the corner of a square end leans back towards the post",
            "from the sketch",
        ),
        one(
            "end gap, square-cut rail",
            s["end_gap"],
            s["pivot_offset"] + (s["rail_setback"] + s["hole_position"]) * cosine - b / 2,
            "level distance from the post face to the first baluster",
            "from the sketch",
        ),
        one(
            "end gap, plumb-cut rail",
            s["plumb_cut_end_gap"],
            s["end_clearance"] + s["hole_position"] * cosine - b / 2,
            "level distance from the post face to the first baluster",
            "from the sketch",
        ),
        one(
            "even trim, square-cut rail",
            s["hole_position"],
            s["hole_in_stock"] - (s["stock"] - s["rail_length"]) / 2,
            "half of what comes off is lost before the first hole",
            _DEFINITION,
        ),
        one(
            "even trim, plumb-cut rail",
            s["hole_position"],
            s["hole_in_stock"] - (s["stock"] - s["plumb_cut_length"]) / 2,
            "half of what comes off is lost before the first hole",
            _DEFINITION,
        ),
        one(
            "bracket swing",
            s["swing"],
            rake,
            "a bracket turns from level onto the rake",
            _DEFINITION,
        ),
        one(
            "angle at the lower post",
            s["angle_low"],
            90 - s["swing"],
            "above the rail, between a plumb post and a rail that rises from it",
            _DEFINITION,
        ),
        one(
            "angle at the upper post",
            s["angle_high"],
            90 + s["swing"],
            "above the rail, between a plumb post and a rail that falls from it",
            _DEFINITION,
        ),
        one(
            "rail askew to the post",
            cos(s["true_angle"] * degrees),
            cos(rake * degrees) * cos(s["skew"] * degrees),
            "a rail that leans and is turned in plan",
            "scalar product of two unit vectors",
        ),
        # ------------------------------------------------------------------ rails askew
        one(
            "post askew to a rail",
            s["half_along"] * cos(skew),
            s["post_width"] / 2,
            "the rail leaves through a face that lies half a post square from the centre",
            _COMMON,
        ),
        one(
            "clear bay",
            s["clear"],
            s["centre_distance"] - s["low_reach"] - s["high_reach"],
            "what the posts leave of the distance between their centres",
            _DEFINITION,
        ),
        one(
            "posts along the rake",
            s["spacing_along"] * cosine,
            s["centre_distance"],
            "a level distance and the slope above it",
            "from the sketch",
        ),
        one(
            "post face",
            s["face_x"],
            s["centre"] + s["low_reach"],
            "the face that looks into the bay",
            _DEFINITION,
        ),
        one(
            "stand-off askew",
            s["stand_off_along"] * cos(skew),
            s["stand_off"],
            "the pin stands off square to the face, the rail leaves it at a slant",
            _COMMON,
        ),
        one(
            "mean stand-off",
            s["mean_stand_off"],
            (s["stand_off_along"] + s["stand_off"]) / 2,
            "askew at the lower post, square at the upper",
            _DEFINITION,
        ),
        one(
            "rail corner and post, askew",
            s["skewed_corner_clearance"],
            s["stand_off"] + (s["rail_setback"] * axis + h / 2 * upward - w / 2 * aside).dot(face),
            "the corner that is below, or above, and aside, measured square to the face",
            "vectors: along the rail, up, aside",
        ),
        one(
            "stock for a plumb-cut rail, askew",
            s["skewed_stock_needed"] * cosine,
            s["plumb_cut_length"] * cosine + h * sine + w / 2 * tan(skew),
            "the slanted cuts reach further at one corner of each end, and aside at the lower",
            "vectors: along the rail, up, aside",
        ),
        one(
            "saw miter, underside on the table",
            tan(s["saw_miter"] * degrees) * face.dot(axis),
            face.dot(aside),
            "where the face cuts the underside, against square across it",
            "vectors: along the rail, up, aside",
        ),
        one(
            "saw bevel, underside on the table",
            tan(s["saw_bevel"] * degrees) * sqrt(face.dot(axis) ** 2 + face.dot(aside) ** 2),
            -face.dot(upward),
            "how far the face leans from plumb on the table",
            "vectors: along the rail, up, aside",
        ),
        one(
            "saw miter, side on the table",
            tan(s["side_miter"] * degrees) * face.dot(axis),
            -face.dot(upward),
            "where the face cuts the side, against square across it",
            "vectors: along the rail, up, aside",
        ),
        one(
            "saw bevel, side on the table",
            tan(s["side_bevel"] * degrees) * sqrt(face.dot(axis) ** 2 + face.dot(upward) ** 2),
            face.dot(aside),
            "how far the face leans from plumb on the table",
            "vectors: along the rail, up, aside",
        ),
        # ------------------------------------------------------------------ openings
        Relation(
            "circle in the corner under the rail",
            (
                Eq(s["circle_y"], r, evaluate=False),
                Eq(s["circle_x"], s["corner_base"] - r, evaluate=False),
                Eq((v + s["circle_x"] * R / G - s["circle_y"]) * cosine, r, evaluate=False),
                Eq(s["corner_circle"], 2 * r, evaluate=False),
            ),
            "a circle that touches a level surface, the upright face at its end and the underside "
            "of the rail, each at one radius",
            "distance from a point to a line, three times",
        ),
        one(
            "square in the corner under the rail",
            s["corner_square"],
            v + (s["corner_base"] - s["corner_square"]) * R / G,
            "a square in the corner of a level surface and a plumb face; its free corner, an edge "
            "away from both, touches the rail",
            "from the sketch",
        ),
        one(
            "strip over a closed stringer",
            s["strip_opening"],
            (v - s["stringer_margin"]) * cosine,
            "rail and stringer edge are parallel; a ball is stopped by their square distance",
            _COMMON,
        ),
        one(
            "strip under the rail",
            v,
            s["clear_gap"] + s["filler"],
            "the gap is measured to the rail, and a strip under it takes its depth off",
            _DEFINITION,
        ),
        one(
            "front edge under its line",
            s["front_gap"],
            v + s["front_lift"],
            "a measured nosing lies below the nosing line, and the gap counts from the line",
            _DEFINITION,
        ),
        # ------------------------------------------------------------------ passages
        one(
            "gap of a strip",
            s["flat_gap"],
            s["strip_opening"],
            "what lies between a stringer's edge and the rail, seen in elevation",
            _DEFINITION,
        ),
        one(
            "ball between two edges",
            s["strip_ball"] ** 2,
            s["flat_gap"] ** 2 + s["side_gap"] ** 2,
            "parallel edges in two planes are as far apart as the long side of a triangle on their "
            "distance in elevation and the distance of the planes",
            "Pythagoras",
        ),
        one(
            "reach at the stair",
            s["ball_radius"] ** 2,
            s["stair_reach"] ** 2 + s["ball_out"] ** 2,
            "the stair ends in the plane of the tread ends; what of the ball is in that plane or "
            "behind it is no wider than its circle there",
            "Pythagoras",
        ),
        one(
            "reach at the guard",
            s["ball_radius"] ** 2,
            s["guard_reach"] ** 2 + (s["side_gap"] - s["ball_out"]) ** 2,
            "the guard's plane cuts the ball in a circle",
            "Pythagoras",
        ),
        Relation(
            "ball in the corner under the rail",
            (
                Eq(s["ball_y"], s["stair_reach"], evaluate=False),
                Eq(s["ball_x"], s["corner_base"] - s["stair_reach"], evaluate=False),
                Eq(
                    (v + s["ball_x"] * R / G - s["ball_y"]) * cosine,
                    s["guard_reach"],
                    evaluate=False,
                ),
            ),
            "a ball that touches tread and riser, which end in one plane, and the rail in another",
            "distance from a point to a line, three times, each at the ball's reach",
        ),
        # ------------------------------------------------------------------ slots at rail ends
        one(
            "between the rails",
            s["panel_inner"],
            s["rail_spacing_plumb"] - (s["top_plumb_depth"] + s["bottom_plumb_depth"]) / 2,
            "half of each rail's plumb depth lies between the centre lines",
            _COMMON,
        ),
        one(
            "slot under a square-cut rail",
            s["underside_slot"],
            s["pivot_offset"] + s["rail_setback"] * cosine + h / 2 * sine,
            "at the lower post the lower corner of a square end leans away from the post",
            "from the sketch",
        ),
        one(
            "square end leans back",
            s["end_back"],
            h * sine,
            "a rail end is square to the rail, so its top lies down-stair of its bottom",
            _COMMON,
        ),
        one(
            "square end rises", s["end_up"], h * cosine, "a rail end is square to the rail", _COMMON
        ),
    )


RELATIONS: tuple[Relation, ...] = _relations()
"""Every relation.  Their order is the order in which :func:`derive` tries them."""


class Derivation(Struct, frozen=True):
    """What :func:`derive` found: one closed form and how it was reached.

    ``let_go`` holds the roots that are no stair, as text, and ``reason`` why.
    """

    target: str
    given: tuple[str, ...]
    expression: sympy.Expr
    through: tuple[str, ...]
    let_go: tuple[str, ...] = ()
    reason: str = ""
    needs: frozenset[str] = field(default=frozenset())


def _sample(names: tuple[str, ...], turn: int) -> dict[sympy.Symbol, float]:
    """Plausible values for the given quantities: sizes of a real guard in inches."""
    base = {
        "unit_rise": 7.25, "unit_run": 10.5, "unit_slope": 12.76, "risers": 6, "treads": 5,
        "flush_tread": 0, "total_rise": 43.5, "total_run": 52.5, "rake": 34.6, "nosing": 1.0,
        "panel_height": 32.0, "top_rail": 1.75, "bottom_rail": 1.5, "depth": 1.5,
        "baluster": 0.75, "pitch": 4.5, "hole_length": 1.125, "wall": 0.0625, "bottom_gap": 0.6,
        "clear": 57.0, "pivot_offset": 1.125, "rail_setback": 0.375, "end_clearance": 0.125,
        "hole_position": 2.5, "corner_base": 11.5, "corner_square": 5.1, "corner_circle": 5.7,
        "stringer_margin": 0.25,
        "strip_opening": 3.0, "guard_height": 33.4, "skew": 22.0, "x": 12.0, "max_rack": 40.0,
        "corner_clearance": 0.9, "rail_length": 65.0, "stock": 72.0, "hole_in_stock": 6.75,
        "reveal": 1.0, "surface": 7.25, "step": 2, "centre": 27.0, "plate": 5.0, "nosing_x": 21.0,
        "riser_slope": 20.0, "tread_thickness": 1.25,
        "treads_in_front": 2,
        "side_gap": 3.0, "flat_gap": 4.1, "strip_ball": 5.2, "ball_radius": 3.1, "ball_out": 1.3,
        "stair_reach": 2.8, "guard_reach": 2.6, "filler": 0.75, "clear_gap": 0.4,
        "front_lift": 0.2, "front_gap": 0.8, "hole_reach": 0.9, "face_x": 24.0, "stand_off": 1.1,
        "post_height": 40.0, "top_hole_height": 38.0,
    }  # fmt: skip
    return {SYMBOLS[name]: base[name] * (1 + 0.01 * turn) for name in names}


def _in_domain(name: str, value: complex) -> bool:
    if abs(value.imag) > 1e-9:
        return False
    quantity = QUANTITIES[name]
    if quantity.unit == ANGLE and not -1e-9 <= value.real <= 180:
        return False
    if quantity.domain == POSITIVE:
        return value.real > 0
    if quantity.domain == NOT_NEGATIVE:
        return value.real > -1e-12
    return True


def _stair_root(
    name: str, roots: list[sympy.Expr], given: tuple[str, ...]
) -> tuple[sympy.Expr, tuple[str, ...], str]:
    """Pick the root that is a stair: in its domain on every sample where the other is not."""
    samples = [_sample(given, turn) for turn in (-2, 0, 3)]
    good = [
        root
        for root in roots
        if all(_in_domain(name, complex(root.subs(sample).evalf())) for sample in samples)
    ]
    if len(good) != 1:
        raise ArithmeticError(f"{len(good)} roots of {roots} can be the stair's {name}")
    others = tuple(str(root) for root in roots if root != good[0])
    reason = ""
    if others:
        domain = QUANTITIES[name].domain
        reason = f"{name} is {domain} in a stair" if domain != ANY else "only one root is real"
    return good[0], others, reason


def _solve(relation: Relation, unknown: list[str], known: Mapping[str, sympy.Expr]):
    """Solve one relation for all that is unknown in it, in terms of what is given."""
    # stand-ins without a sign, so that every root shows and none is dropped unseen
    symbols = [sympy.Dummy(name, real=True) for name in unknown]
    stand_ins = {SYMBOLS[name]: symbol for name, symbol in zip(unknown, symbols, strict=True)}
    residuals = [(eq.lhs - eq.rhs).subs(stand_ins) for eq in relation.equations]
    solutions = sympy.solve(residuals, symbols, dict=True)
    inputs = tuple(sorted(relation.quantities - set(unknown)))
    found, let_go, why = {}, (), ""
    for name, symbol in zip(unknown, symbols, strict=True):
        roots = list(dict.fromkeys(solution[symbol] for solution in solutions))
        if len(roots) > 1:
            root, others, reason = _stair_root(name, roots, inputs)
            let_go, why = let_go + others, why or reason
        else:
            root = roots[0]
        found[name] = root.subs({SYMBOLS[key]: value for key, value in known.items()})
    return found, let_go, why


@cache
def derive(target: str, given: tuple[str, ...], through: tuple[str, ...] = ()) -> Derivation:
    """One quantity as an expression in others, by chaining the relations.

    Parameters
    ----------
    target : str
        Name of the quantity wanted.
    given : tuple of str
        Names of the quantities that the expression may hold.
    through : tuple of str
        Names of the relations to use; all of them where left out.

    Returns
    -------
    Derivation
        The expression, simplified, with the relations it took and the roots let go.

    Raises
    ------
    LookupError
        The relations do not lead from ``given`` to ``target``.

    Notes
    -----
    Forward chaining: a relation that has as many unknowns as equations is solved for them.  Steps
    that turn out not to be needed for the target are left out of the answer.

    Examples
    --------
    >>> derive("unit_rise", ("total_rise", "risers")).expression
    total_rise/risers
    """
    known: dict[str, sympy.Expr] = {name: SYMBOLS[name] for name in given}
    steps: dict[str, tuple[Relation, tuple[str, ...], str]] = {}
    pool = [item for item in RELATIONS if not through or item.name in through]
    progress = True
    while target not in known and progress:
        progress = False
        for relation in pool:
            unknown = sorted(relation.quantities - set(known))
            if not unknown or len(unknown) != len(relation.equations):
                continue
            found, let_go, why = _solve(relation, unknown, known)
            known.update(found)
            steps.update(dict.fromkeys(found, (relation, let_go, why)))
            progress = True
            break
    if target not in known:
        raise LookupError(f"no way from {', '.join(given)} to {target}")
    needed, stack = [], [target]
    while stack:
        name = stack.pop()
        if name in steps and steps[name][0] not in [item[0] for item in needed]:
            needed.append(steps[name])
            stack.extend(sorted(steps[name][0].quantities))
    expression = _tidy(known[target])
    return Derivation(
        target,
        given,
        expression,
        tuple(item[0].name for item in reversed(needed)),
        tuple(root for item in needed for root in item[1]),
        "; ".join(dict.fromkeys(item[2] for item in needed if item[2])),
        frozenset(symbol.name for symbol in expression.free_symbols),
    )


def _tidy(expression: sympy.Expr) -> sympy.Expr:
    """The shortest of a few equivalent forms."""
    forms = [expression, sympy.simplify(expression), sympy.factor(expression),
             sympy.cancel(sympy.together(expression)), sympy.expand(expression)]  # fmt: skip
    return min(forms, key=lambda form: (sympy.count_ops(form), str(form)))


def exact_number(value) -> sympy.Rational:
    """A fraction as a sympy rational, exactly.

    Parameters
    ----------
    value : Fraction or int
        In any unit.

    Examples
    --------
    >>> from fractions import Fraction
    >>> exact_number(Fraction(29, 4))
    29/4
    """
    return Rational(value.numerator, value.denominator)
