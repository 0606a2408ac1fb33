"""The relations: what is derived from them holds for them, and every root let go is no stair."""

from fractions import Fraction
from functools import cache
from math import atan2, cos, hypot, sqrt

import pytest
import sympy
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from stair_sizes import PROPERTY, bays, close, depths, gaps, heights, offsets, rises, runs, widths

from stairs.relations import closed_forms as form
from stairs.relations.derivation import FORMS, derivation_of, exact_value, flight_forms
from stairs.relations.equations import RELATIONS, SYMBOLS, derive
from stairs.relations.exact import derived, expression
from stairs.relations.quantities import ANGLE, ANY, NOT_NEGATIVE, POSITIVE, QUANTITIES


@cache
def residual(index):
    """A relation's equations as numeric functions, left side less right side."""
    relation = RELATIONS[index]
    names = sorted(relation.quantities)
    symbols = [SYMBOLS[name] for name in names]
    return names, [
        sympy.lambdify(symbols, [equation.lhs, equation.rhs], "math")
        for equation in relation.equations
    ]


def whole_stair(draw, *, flush, plumb_cut):
    """Every quantity of one random stair, from the closed forms and nothing else."""
    v = {
        "unit_rise": draw(rises), "unit_run": draw(runs), "flush_tread": Fraction(flush),
        "risers": Fraction(draw(st.integers(2, 20))), "nosing": draw(offsets), "x": draw(bays),
        "panel_height": draw(heights), "top_rail": draw(depths), "bottom_rail": draw(depths),
        "depth": draw(depths), "baluster": draw(widths), "pitch": draw(widths) + 3,
        "wall": draw(offsets), "bottom_gap": draw(gaps), "clear": draw(bays),
        "pivot_offset": draw(offsets), "rail_setback": draw(offsets),
        "end_clearance": draw(offsets), "reveal": draw(offsets), "step": Fraction(3),
        "centre": draw(bays), "plate": draw(depths) + 2, "treads_in_front": Fraction(2),
        "skew": draw(st.fractions(0, 60, max_denominator=8)), "stock": draw(bays) + 60,
        "hole_in_stock": draw(bays) + 30, "corner_base": draw(runs), "stringer_margin": draw(gaps),
        "post_width": draw(depths) + 1, "rail_width": draw(widths), "stand_off": draw(offsets),
        "tread_thickness": draw(widths), "riser_slope": draw(st.integers(0, 30)),
        "low_reach": draw(offsets), "high_reach": draw(offsets),
    }  # fmt: skip
    v["centre_distance"] = v["clear"] + v["low_reach"] + v["high_reach"]
    step = {name: v[name] for name in ("unit_rise", "unit_run")}

    def put(name, function, *names, **renamed):
        v[name] = function(**{n: v[n] for n in names}, **{a: v[b] for a, b in renamed.items()})

    put("treads", form.treads_from_risers, "risers", "flush_tread")
    put("total_rise", form.total_rise_from_unit_rise_and_risers, "unit_rise", "risers")
    put("total_run", form.total_run_from_unit_run_and_treads, "unit_run", "treads")
    for name in ("rake", "unit_slope", "cosine", "sine", "step_sum", "swing", "angle_low",
                 "angle_high"):  # fmt: skip
        put(name, getattr(form, name), *step)
    put("tread_depth", form.tread_depth, "unit_run", "nosing")
    put("open_riser", form.open_riser, "unit_rise", "tread_thickness")
    put("riser_setback", form.riser_setback, "unit_rise", "tread_thickness", "riser_slope")
    put("nosing_line_height", form.nosing_line_height, "x", *step)
    rails = ("panel_height", "top_rail", "bottom_rail")
    put("rail_spacing_plumb", form.rail_spacing_plumb, *rails)
    put("rail_spacing", form.rail_spacing, *rails, *step)
    put("plumb_depth", form.plumb_depth, "depth", *step)
    put("top_plumb_depth", form.plumb_depth, *step, depth="top_rail")
    put("bottom_plumb_depth", form.plumb_depth, *step, depth="bottom_rail")
    put("racked_height", form.racked_height, *rails, *step)
    put("panel_inner", form.panel_inner, *rails, *step)
    put("baluster_clear", form.baluster_clear, "pitch", "baluster", *step)
    v["level_pitch"] = v["baluster_clear"] + v["baluster"]
    put("hole_needed", form.hole_needed, "baluster", "wall", *step)
    v["hole_length"] = v["hole_needed"]
    put("max_rack", form.max_rack, "hole_length", "wall", "baluster")
    put("guard_height", form.guard_height, "bottom_gap", *rails, *step)
    put("bottom_axis_height", form.bottom_axis_height, "x", "bottom_gap", "bottom_rail", *step)
    put("top_axis_height", form.top_axis_height, "x", "bottom_gap", *rails, *step)
    put("surface", form.step_surface, "step", "unit_rise")
    put("nosing_x", form.nosing_x, "treads_in_front", "unit_run")
    put("plate_edge", form.plate_edge, "centre", "plate", "nosing_x")
    put("plate_edge_askew", form.plate_edge_askew, "centre", "plate", "nosing_x", "skew")
    v["hole_reach"] = draw(offsets)
    put("bottom_hole_height", form.bottom_hole_height, "x", "bottom_gap", "bottom_rail",
        "hole_reach", "surface", *step)  # fmt: skip
    put("top_hole_height", form.top_hole_height, "x", "bottom_gap", *rails, "hole_reach",
        "surface", *step)  # fmt: skip
    put("post_height", form.post_height, "x", "reveal", "surface", "bottom_gap", *rails, *step)
    put("pin_slope", form.pin_slope, "clear", "pivot_offset", *step)
    put("rail_length", form.rail_length, "clear", "pivot_offset", "rail_setback", *step)
    put("plumb_cut_length", form.plumb_cut_length, "clear", "end_clearance", *step)
    put("stock_needed", form.stock_needed, "clear", "end_clearance", "depth", *step)
    put("corner_clearance", form.corner_clearance, "pivot_offset", "rail_setback", "depth", *step)
    put("underside_slot", form.underside_slot, "pivot_offset", "rail_setback", "depth", *step)
    put("end_back", form.end_back, "depth", *step)
    put("end_up", form.end_up, "depth", *step)
    length = v["plumb_cut_length"] if plumb_cut else v["rail_length"]
    v["hole_position"] = v["hole_in_stock"] - (v["stock"] - length) / 2
    put("end_gap", form.end_gap, "pivot_offset", "rail_setback", "hole_position", "baluster", *step)
    put("plumb_cut_end_gap", form.plumb_cut_end_gap, "end_clearance", "hole_position", "baluster",
        *step)  # fmt: skip
    put("true_angle", form.true_angle, "rake", "skew")
    put("half_along", form.half_along, "post_width", "skew")
    put("face_x", form.face_x, "centre", "low_reach")
    put("spacing_along", form.spacing_along, "centre_distance", *step)
    put("pin_x_up", form.pin_x_up, "face_x", "stand_off")
    put("pin_x_down", form.pin_x_down, "face_x", "stand_off")
    put("over_hole", form.over_hole, "post_height", "top_hole_height")
    v["post_below"] = draw(depths)
    put("post_length", form.post_length, "post_height", "post_below")
    put("under_hole", form.under_hole, "bottom_hole_height", "post_below")
    put("stand_off_along", form.stand_off_along, "stand_off", "skew")
    put("mean_stand_off", form.mean_stand_off, "stand_off", "skew")
    put("skewed_corner_clearance", form.skewed_corner_clearance, "stand_off", "rail_setback",
        "depth", "rail_width", "skew", *step)  # fmt: skip
    put("skewed_stock_needed", form.skewed_stock_needed, "plumb_cut_length", "depth",
        "rail_width", "skew", *step)  # fmt: skip
    put("saw_miter", form.saw_miter, "skew", *step)
    put("saw_bevel", form.saw_bevel, "skew", *step)
    v["side_miter"], v["side_bevel"] = v["rake"], v["skew"]
    put("corner_circle", form.corner_circle, "bottom_gap", "corner_base", *step)
    v["radius"] = v["corner_circle"] / 2
    v["circle_x"], v["circle_y"] = v["corner_base"] - v["radius"], v["radius"]
    put("corner_square", form.corner_square, "bottom_gap", "corner_base", *step)
    put("strip_opening", form.strip_opening, "bottom_gap", "stringer_margin", *step)
    passage(v, draw, step)
    v["filler"], v["front_lift"] = draw(depths), draw(offsets)
    v["clear_gap"] = v["bottom_gap"] - v["filler"]
    v["front_gap"] = v["bottom_gap"] + v["front_lift"]
    return v


def passage(v, draw, step):
    """A ball somewhere between the plane of the tread ends and that of the guard."""
    v["flat_gap"] = v["strip_opening"]
    v["ball_out"] = draw(offsets)
    # the ball in the corner: its reach at the guard is what the corner leaves
    v["stair_reach"] = v["corner_base"] / 4
    v["ball_x"], v["ball_y"] = v["corner_base"] - v["stair_reach"], v["stair_reach"]
    rake = atan2(float(step["unit_rise"]), float(step["unit_run"]))
    rail = v["bottom_gap"] + v["ball_x"] * step["unit_rise"] / step["unit_run"]
    v["guard_reach"] = float(rail - v["ball_y"]) * cos(rake)
    # two circles of one ball on two planes: the radius that both reaches share moves the planes
    v["ball_radius"] = hypot(v["stair_reach"], v["ball_out"])
    across = v["ball_radius"] ** 2 - v["guard_reach"] ** 2
    assume(across > 0)
    v["side_gap"] = v["ball_out"] + sqrt(across)
    v["strip_ball"] = hypot(v["flat_gap"], v["side_gap"])


@pytest.mark.parametrize("plumb_cut", [False, True], ids=["square cut", "plumb cut"])
@pytest.mark.parametrize("flush", [0, 1], ids=["landing", "flush"])
@settings(deadline=None, derandomize=True, max_examples=12)
@given(data=st.data())
def test_relations_hold_for_the_closed_forms(flush, plumb_cut, data):
    """Every equation of every relation, on stairs worked out by the closed forms."""
    values = whole_stair(data.draw, flush=flush, plumb_cut=plumb_cut)
    assert set(values) == set(QUANTITIES)
    skipped = "even trim, " + ("square-cut rail" if plumb_cut else "plumb-cut rail")
    for index, relation in enumerate(RELATIONS):
        if relation.name == skipped:
            continue
        names, sides = residual(index)
        for both in sides:
            left, right = both(*(float(values[name]) for name in names))
            assert left == pytest.approx(right, rel=1e-8, abs=1e-8), relation.name


def test_trim_relations_differ_only_in_the_rail_they_trim():
    """The two that were skipped in turn above are both there."""
    names = {relation.name for relation in RELATIONS}
    assert {"even trim, square-cut rail", "even trim, plumb-cut rail"} <= names


@PROPERTY
@given(rise=rises, run=runs, gap=gaps, base=runs, rails=st.tuples(heights, depths, depths))
def test_forms_that_go_backwards_undo_those_that_go_forwards(rise, run, gap, base, rails):
    """Bottom gap to circle, strip or guard height, and back."""
    assert form.bottom_gap_for_corner_circle(
        form.corner_circle(gap, base, rise, run), base, rise, run
    ) == close(float(gap))
    assert form.bottom_gap_for_strip(
        form.strip_opening(gap + 1, 1, rise, run), 1, rise, run
    ) == close(float(gap + 1))
    assert form.bottom_gap_for_guard_height(
        form.guard_height(gap, *rails, rise, run), *rails, rise, run
    ) == close(float(gap))


def every_derivation():
    return [(item.name, derivation_of(item.name)) for item in FORMS] + [
        (item.name, derivation) for item, derivation in flight_forms()
    ]


def test_roots_let_go_are_no_stair():
    """Each root that was dropped leaves its quantity's domain on every stair tried."""
    dropped = set()
    ball = {"strip_ball": 6, "flat_gap": 5, "side_gap": 3, "ball_radius": 4, "ball_out": 2}
    stairs = [
        {"unit_rise": 4, "unit_run": 15, "baluster": 0.5, "hole_length": 0.6, "wall": 0.05,
         "rake": 5.0, "skew": 3.0,
         **ball},
        {"unit_rise": 7.25, "unit_run": 10.5, "baluster": 0.75, "hole_length": 1.2,
         "wall": 1.5, "rake": 34.6, "skew": 40.0,
         **ball},
        {"unit_rise": 10, "unit_run": 7, "baluster": 2, "hole_length": 4.5, "wall": 0.0,
         "rake": 60.0, "skew": 75.0,
         **ball},
    ]  # fmt: skip
    for name, derivation in every_derivation():
        for text in derivation.let_go:
            quantity = QUANTITIES[derivation.reason.split(" ")[0]]
            root = sympy.parse_expr(text, local_dict=SYMBOLS)
            for stair in stairs:
                value = complex(root.subs({SYMBOLS[key]: size for key, size in stair.items()}))
                outside = (
                    abs(value.imag) > 1e-9
                    or (quantity.domain == POSITIVE and value.real <= 0)
                    or (quantity.domain == NOT_NEGATIVE and value.real < 0)
                    or (quantity.unit == ANGLE and value.real > 180)
                )
                assert outside, (name, text, stair)
            dropped.add((quantity.name, text))
    assert {name for name, _ in dropped} == {
        "unit_slope", "max_rack", "true_angle", "strip_ball", "flat_gap", "stair_reach",
        "guard_reach",
    }  # fmt: skip


def test_roots_kept_say_why():
    """Where a root was let go the reason names the quantity and what it may be."""
    for name, derivation in every_derivation():
        assert bool(derivation.let_go) == bool(derivation.reason), name
        if derivation.reason:
            quantity = derivation.reason.split(" ")[0]
            assert QUANTITIES[quantity].domain in derivation.reason
            assert QUANTITIES[quantity].domain != ANY


@pytest.mark.parametrize(
    ("target", "given_names"),
    [
        ("total_rise", ("unit_rise",)),
        ("rake", ("unit_run", "nosing")),
        ("max_rack", ("baluster", "wall")),
        ("post_height", ("x", "reveal")),
    ],
)
def test_derive_says_where_no_way_leads(target, given_names):
    """Too little given is a LookupError that names both ends."""
    with pytest.raises(LookupError) as caught:
        derive(target, given_names)
    assert caught.value.args[0] == f"no way from {', '.join(given_names)} to {target}"


def test_derive_keeps_to_the_relations_it_may_use():
    """The rake is two relations away from the slope; without them there is no way."""
    assert derive("cosine", ("unit_rise", "unit_run")).through == (
        "hypotenuse of a step", "cosine of the rake",
    )  # fmt: skip
    with pytest.raises(LookupError, match="no way from unit_rise, unit_run to cosine"):
        derive("cosine", ("unit_rise", "unit_run"), ("cosine of the rake",))


@PROPERTY
@given(rise=rises, run=runs, gap=gaps, base=runs)
def test_exact_values_are_what_the_floats_say(rise, run, gap, base):
    """The symbolic value and the numeric function are one formula."""
    for name, arguments in (
        ("unit_slope", {}), ("cosine", {}), ("corner_circle", {"bottom_gap": gap,
                                                               "corner_base": base}),
        ("strip_opening", {"bottom_gap": gap, "stringer_margin": Fraction(0)}),
    ):  # fmt: skip
        amount = derived(name, unit_rise=rise, unit_run=run, **arguments)
        assert float(expression(amount)) == close(float(amount))


def test_exact_value_of_a_pythagorean_step_is_a_whole_number():
    """Nothing is rounded: 5 by 12 is 13."""
    value = exact_value(
        "unit_slope", {"unit_rise": sympy.Integer(5), "unit_run": sympy.Integer(12)}
    )
    assert value == 13 and value.is_Integer
