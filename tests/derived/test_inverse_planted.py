"""Closed forms back to inputs that were planted, to none, and against other solvers."""

import random
from collections import Counter
from fractions import Fraction
from math import isclose, sqrt
from types import SimpleNamespace

import numpy as np
import pytest
import sympy
from hypothesis import given, settings
from hypothesis import strategies as st
from stair_of_points import stairs

from stairs.numbers.surd import sign
from stairs.relations import closed_forms
from stairs.relations.derivation import derivation_of
from stairs.relations.equations import SYMBOLS
from stairs.relations.exact import derived
from stairs.relations.inverse import solve_for
from stairs.relations.inverse_forms import EQUATIONS
from stairs.relations.quantities import ANGLE, ANY, COUNT, EITHER, QUANTITIES

PAIRS = [(form, name) for form, equation in EQUATIONS.items() for name in equation.unknowns]
PLANTED, NO_ANSWER, POLYNOMIALS = 1000, 200, 1000
SHARE = 10  # of each run by default; all of it under the marker ``fuzz``


def some_and_all(count):
    """Which tenth of a long run is always made, and the whole of it by hand."""
    return pytest.mark.parametrize(
        "numbers",
        [range(0, count, SHARE), pytest.param(range(count), marks=pytest.mark.fuzz)],
        ids=["a tenth", "all"],
    )


# ------------------------------------------------------------------ planted inputs


def random_size(name, luck):
    """An input that can be in a stair: sixteenths, and degrees whole, halved or odd."""
    quantity = QUANTITIES[name]
    if quantity.unit == ANGLE:
        return luck.choice([Fraction(luck.randint(1, 89)), Fraction(luck.randint(1, 8999), 100),
                            Fraction(luck.randint(1, 11) * 15, 2)])  # fmt: skip
    if quantity.domain == EITHER:
        return Fraction(luck.randint(0, 1))
    if quantity.unit == COUNT:
        return Fraction(luck.randint(1, 16))
    size = Fraction(luck.randint(1, 16 * luck.choice([1, 4, 12, 60])), 16)
    return -size if quantity.domain == ANY and luck.random() < 0.3 else size


def random_flight(luck):
    risers, flush = Fraction(luck.randint(2, 18)), Fraction(luck.randint(0, 1))
    rise, run = (Fraction(luck.randint(64, 240), 16) for _ in range(2))
    treads = risers - 1 + flush
    return {
        "risers": risers, "flush_tread": flush, "treads": treads, "unit_rise": rise,
        "unit_run": run, "total_rise": risers * rise, "total_run": treads * run,
        "rake": derived("rake", unit_rise=rise, unit_run=run),
    }  # fmt: skip


def planted(form, luck):
    """Inputs of a form at random, and what it gives, which can be in a stair."""
    equation = EQUATIONS[form]
    while True:
        pool = random_flight(luck) if "_from_" in form else {}
        sizes = {name: pool.get(name, random_size(name, luck)) for name in equation.unknowns}
        try:
            value = derived(form, **sizes)
        except (ValueError, ZeroDivisionError):  # a root of a negative number, a flat wall
            continue
        if QUANTITIES[equation.target].domain == ANY or float(value) > 0:
            return sizes, value


def degree_of(form, unknown):
    return EQUATIONS[form].unknowns[unknown][0]


@some_and_all(PLANTED)
def test_planted_input_is_always_among_those_taken(numbers):
    """Forward with an input, back to it: exact for lengths, and the tangent's root for angles."""
    missed, whole = [], 0
    for number in numbers:
        luck = random.Random(number)
        form, unknown = PAIRS[number * 7 % len(PAIRS)]
        sizes, value = planted(form, luck)
        hidden = sizes.pop(unknown)
        answer = solve_for(unknown, form, value, sizes)
        if answer.any_value:
            continue
        counted = sum(root.times for root in answer.roots) + answer.imaginary + answer.dropped
        assert counted == degree_of(form, unknown) == len(answer.polynomial) - 1
        assert all(root.taken != bool(root.reason) for root in answer.roots)
        if QUANTITIES[unknown].unit == ANGLE:
            found = any(
                isclose(root.value, hidden, rel_tol=0, abs_tol=1e-9) for root in answer.taken
            )
        else:
            found = any(
                isclose(root.value, hidden, rel_tol=1e-12) if root.exact is None
                else root.exact == hidden
                for root in answer.taken
            )  # fmt: skip
        exact = [root.exact if root.tangent is None else root.tangent for root in answer.taken]
        whole += any(one is not None for one in exact)
        if not found:
            missed.append((form, unknown, sizes, hidden, answer))
    assert missed == []
    assert whole > 0.8 * len(numbers)


@pytest.mark.parametrize("flush", [0, 1], ids=["landing", "flush"])
@settings(deadline=None, derandomize=True, max_examples=5)
@given(data=st.data())
def test_inputs_measured_off_a_stair_of_points(flush, data):
    """Every input from the other measurements of one figure that knows no formula.

    A measurement is off by some 1e-8, so the input is by that over the slope of the form: two
    inputs a little apart are tried to see it.  Where the form is flat, as the blade's tilt is over
    a skew near 0, nothing can be read off it.
    """
    values = data.draw(stairs(flush=flush))
    looked_at = 0
    for form, unknown in PAIRS:
        if flush and form == "risers_from_total_rise_and_total_run_and_rake":
            continue
        function, equation = vars(closed_forms)[form], EQUATIONS[form]
        given_sizes = {name: values[name] for name in equation.unknowns}
        if QUANTITIES[unknown].unit == COUNT or QUANTITIES[equation.target].unit == COUNT:
            continue  # measured, they are not quite whole
        size = given_sizes[unknown]
        step = 1e-3 * max(1.0, abs(size))
        try:
            apart = [function(**{**given_sizes, unknown: size + way * step}) for way in (-1, 1)]
        except (ValueError, ZeroDivisionError):
            continue
        slope = abs(apart[1] - apart[0]) / (2 * step)
        if slope < 1e-2 or not abs(size) > 1e-6 or values[equation.target] < 1e-6:
            continue
        known = {name: Fraction(size) for name, size in given_sizes.items() if name != unknown}
        answer = solve_for(unknown, form, Fraction(values[equation.target]), known)
        near = 1e-5 * max(1.0, abs(size))
        assert any(abs(root.value - size) < near for root in answer.taken), (form, unknown, answer)
        looked_at += 1
    assert looked_at > 150


# ------------------------------------------------------------------ planted without an answer


def no_answers(luck):
    """Forms and values that no stair gives, each for a reason that is seen in a sketch."""
    a, b, c, d = (Fraction(luck.randint(16, 320), 16) for _ in range(4))
    more = 1 + Fraction(luck.randint(1, 64), 64)
    acute = Fraction(luck.randint(5, 80))
    steps = {"unit_rise": a, "unit_run": b}
    return luck.choice([
        # nothing on the rake is shorter than it is level
        ("unit_rise", "unit_slope", a / more, {"unit_run": a}),
        ("unit_rise", "spacing_along", a / more, {"centre_distance": a, "unit_run": b}),
        ("unit_run", "plumb_depth", a / more, {"depth": a, "unit_rise": b}),
        ("unit_rise", "rail_length", a, {
            "clear": a * more + 2 * c, "pivot_offset": c, "rail_setback": Fraction(0),
            "unit_run": b}),
        ("unit_run", "plumb_cut_length", a, {
            "clear": a * more + 2 * c, "end_clearance": c, "unit_rise": b}),
        # nothing measured level, or square, is longer than on the rake
        ("unit_rise", "cosine", more, {"unit_run": a}),
        ("unit_run", "end_up", a * more, {"depth": a, "unit_rise": b}),
        ("unit_rise", "end_back", a * more, {"depth": a, "unit_run": b}),
        ("unit_run", "strip_opening", a * more, {
            "bottom_gap": a + c, "stringer_margin": c, "unit_rise": b}),
        ("unit_rise", "baluster_clear", a * more - c, {
            "pitch": a, "baluster": c, "unit_run": b}),
        ("unit_rise", "rail_spacing", a * more, {
            "panel_height": a + c + d, "top_rail": 2 * c, "bottom_rail": 2 * d, "unit_run": b}),
        # racking never makes a panel lower
        ("unit_rise", "racked_height", a / more, {
            "panel_height": a, "top_rail": c, "bottom_rail": d, "unit_run": b}),
        # a slant never comes out shorter than the square way, nor an angle in space than its own
        ("skew", "half_along", a / more / 2, {"post_width": a}),
        ("skew", "stand_off_along", a / more, {"stand_off": a}),
        ("skew", "true_angle", acute / more, {"rake": acute}),
        ("rake", "true_angle", acute / more, {"skew": acute}),
        # a ball beside the stair is no smaller than the gap, and a circle no larger than its corner
        ("unit_rise", "strip_ball", a / more, {
            "bottom_gap": b, "stringer_margin": c, "side_gap": a, "unit_run": d}),
        ("bottom_gap", "strip_ball", a / more, {
            "stringer_margin": c, "side_gap": a, **steps}),
        ("unit_rise", "corner_circle", 2 * a * more, {
            "bottom_gap": Fraction(0), "corner_base": a, "unit_run": b}),
        # sizes that would have to be negative
        ("nosing", "tread_depth", a / more, {"unit_run": a}),
        ("unit_run", "step_sum", 2 * a / more, {"unit_rise": a}),
        ("baluster", "hole_needed", a / more * c / b, {"wall": c, "unit_rise": a, "unit_run": b}),
        ("clear", "trimmed_end_gap", -a * more, {
            "hole_in_stock": b, "stock": 2 * b, "baluster": 2 * a, **steps}),
        # a blade leans no more than the rake, wherever the face is turned to
        ("skew", "saw_bevel", Fraction(45), {"unit_rise": a / more, "unit_run": a}),
        # half a riser is none
        ("risers", "total_rise_from_unit_rise_and_risers", a * (c.numerator + Fraction(1, 2)),
         {"unit_rise": a}),
    ])  # fmt: skip


@some_and_all(NO_ANSWER)
def test_planted_without_an_answer_never_has_one(numbers):
    told = Counter()
    for number in numbers:
        unknown, form, value, known = no_answers(random.Random(number))
        answer = solve_for(unknown, form, value, known)
        assert answer.taken == () and not answer.any_value, (form, unknown, value, known, answer)
        assert answer.reason
        told[form] += 1
    assert len(told) > 10


# ------------------------------------------------------------------ against another solver


@some_and_all(POLYNOMIALS)
def test_roots_are_those_of_another_solver(numbers):
    """Polynomials as random stairs make them, against the eigenvalues that numpy takes for roots.

    Each real root of ours is shut in between two fractions at which the polynomial, worked out
    here, has unlike signs, or is proved double; there are as many as numpy finds.
    """
    kinds = Counter()
    for number in numbers:
        luck = random.Random(-number)
        form, unknown = luck.choice(PAIRS)
        sizes, _ = planted(form, luck)
        _, value = planted(form, luck)  # of another stair, so that there need not be an answer
        sizes.pop(unknown)
        answer = solve_for(unknown, form, value, sizes)
        polynomial = answer.polynomial
        if not polynomial or answer.any_value:
            continue
        numpy_roots = np.roots([float(one) for one in reversed(polynomial)])
        degree = len(polynomial) - 1
        kinds[degree, len(answer.roots), answer.imaginary] += 1
        assert len(numpy_roots) == degree - answer.dropped
        real = [
            (root.value, root.times) for root in answer.roots
            if QUANTITIES[unknown].unit != ANGLE
        ]  # fmt: skip
        if QUANTITIES[unknown].unit == ANGLE:
            continue
        for place, times in real:
            near = 1e-7 * max(1.0, abs(place))
            assert sum(abs(one - place) < sqrt(near) for one in numpy_roots) >= times
            low, high = Fraction(place) - Fraction(near), Fraction(place) + Fraction(near)
            ends = [sign(at(polynomial, end)) for end in (low, high)]
            assert ends[0] * ends[1] == (-1 if times == 1 else 1)
        assert sum(times for _, times in real) == degree - answer.dropped - answer.imaginary
        if answer.imaginary:
            assert all(abs(one.imag) > 0 for one in numpy_roots)
    assert len(kinds) >= 3


def at(polynomial, place):
    """Horner's rule."""
    total = Fraction(0)
    for coefficient in reversed(polynomial):
        total = total * place + coefficient
    return total


@pytest.mark.parametrize("form", EQUATIONS)
def test_residual_is_0_where_the_expression_has_its_value(form):
    """The form before it was cleared, worked out by sympy in thirty digits, put in its place."""
    luck, equation, derivation = random.Random(form), EQUATIONS[form], derivation_of(form)
    assert derivation.target == equation.target
    sizes, _ = planted(form, luck)
    numbers = {name: sympy.N(sympy.Rational(str(float(size))), 30) for name, size in sizes.items()}
    value = derivation.expression.subs({SYMBOLS[name]: one for name, one in numbers.items()})
    if equation.arc:
        kind, scale, offset = equation.arc
        value = getattr(sympy, kind)((value - offset) / scale * sympy.pi / 180)
    q = SimpleNamespace(value=sympy.N(value, 30))
    for name, one in numbers.items():
        turn = one * sympy.pi / 180
        angle = SimpleNamespace(cos=sympy.N(sympy.cos(turn), 30), sin=sympy.N(sympy.sin(turn), 30))
        setattr(q, name, angle if QUANTITIES[name].unit == ANGLE else one)
    if equation.square:
        above, below = equation.square(q)
        q.root = sympy.sqrt(above / below)
    size = max(1, *(abs(one) for one in numbers.values())) ** 3
    assert abs(equation.residual(q)) < 1e-20 * size
    q.value += 1
    assert abs(equation.residual(q)) > 1e-6
