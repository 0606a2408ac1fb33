"""The relations: what is derived from them holds for them, and every root let go is no stair."""

import inspect
from fractions import Fraction
from functools import cache

import pytest
import sympy
from hypothesis import given, settings
from hypothesis import strategies as st
from stair_of_points import stairs
from stair_sizes import PROPERTY, close, depths, gaps, heights, rises, runs

from stairs.relations import closed_forms as form
from stairs.relations.chaining import derive
from stairs.relations.derivation import FORMS, derivation_of, exact_value, flight_forms
from stairs.relations.equations import RELATIONS, SYMBOLS
from stairs.relations.exact import _KNOWN, Derived, derived, expression
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


@pytest.mark.parametrize("plumb_cut", [False, True], ids=["square cut", "plumb cut"])
@pytest.mark.parametrize("flush", [0, 1], ids=["landing", "flush"])
@settings(deadline=None, derandomize=True, max_examples=15)
@given(data=st.data())
def test_relations_hold_for_a_stair_of_points(flush, plumb_cut, data):
    """Every equation of every relation, on what is measured off a stair that knows none."""
    values = data.draw(stairs(flush=flush, plumb_cut=plumb_cut))
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
    ball = {"strip_ball": 6, "flat_gap": 5, "side_gap": 3}
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
        "unit_slope", "max_rack", "true_angle", "strip_ball", "flat_gap",
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


@pytest.mark.parametrize("item", FORMS, ids=lambda item: item.name)
def test_derived_does_not_depend_on_what_was_asked_before(item):
    """The same call gives the same, be it asked first or after one whose roots are uneven."""
    needs = inspect.signature(getattr(form, item.name)).parameters
    even = dict(zip(needs, map(Fraction, item.example[0]), strict=True))
    uneven = {name: value + Fraction(1, 7) for name, value in even.items()}
    _KNOWN.clear()
    first = [derived(item.name, **even), derived(item.name, **uneven)]
    _KNOWN.clear()
    then = [derived(item.name, **uneven), derived(item.name, **even)]
    assert then[::-1] == first
    assert [type(one) for one in then[::-1]] == [type(one) for one in first]


def test_even_roots_stay_fractions_after_uneven_ones():
    """3-4-5 in space: the ball between two edges is a whole number, whatever came before."""
    edges = {"bottom_gap": 5, "stringer_margin": 0, "unit_rise": 3, "unit_run": 4}
    assert isinstance(derived("strip_ball", **edges, side_gap=2), Derived)
    assert derived("strip_ball", **edges, side_gap=3) == Fraction(5)
