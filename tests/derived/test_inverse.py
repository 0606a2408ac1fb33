"""Closed forms the other way round, worked on paper, and what is said of each root."""

import ast
import inspect
import subprocess
import sys
from collections import Counter
from fractions import Fraction
from math import atan, degrees, hypot, isclose, radians, tan
from pathlib import Path

import pytest
import sympy

from stairs.errors import JobError
from stairs.numbers.surd import Roots, Surd, written
from stairs.relations import clearing, closed_forms, inverse_forms
from stairs.relations.chaining import Derivation
from stairs.relations.derivation import FORMS, flight_forms, inverse_text
from stairs.relations.equations import SYMBOLS
from stairs.relations.exact import Derived, derived
from stairs.relations.inverse import exact_number, solve_for
from stairs.relations.inverse_forms import EQUATIONS
from stairs.relations.quantities import ANGLE, POSITIVE, QUANTITIES

PAIRS = [(form, name) for form, equation in EQUATIONS.items() for name in equation.unknowns]


# ------------------------------------------------------------------ the written module


def test_module_is_what_the_relations_give():
    """Writing the module again changes nothing."""
    assert inverse_text() == Path(inverse_forms.__file__).read_text(encoding="utf-8")


def test_every_input_of_every_form_can_be_looked_for():
    """As many polynomials as the closed forms have inputs, of the first or the second degree."""
    for name, equation in EQUATIONS.items():
        assert tuple(equation.unknowns) == tuple(
            inspect.signature(vars(closed_forms)[name]).parameters
        )
    assert set(EQUATIONS) == {item.name for item in FORMS} | {
        item.name for item, _ in flight_forms()
    }
    degrees = Counter(degree for one in EQUATIONS.values() for degree, _ in one.unknowns.values())
    assert set(degrees) == {1, 2} and degrees[1] > 2 * degrees[2]


def test_a_form_of_a_higher_degree_is_refused_when_it_is_written():
    """The run-time solves two degrees, so nothing else gets by unseen."""
    rise, run = SYMBOLS["unit_rise"], SYMBOLS["unit_run"]

    def made_of(expression):
        needs = frozenset(symbol.name for symbol in expression.free_symbols)
        return Derivation("unit_slope", ("unit_rise", "unit_run"), expression, (), needs=needs)

    assert clearing.cleared(made_of(rise**2 * run)).unknowns == {
        "unit_rise": (2, ""), "unit_run": (1, ""),
    }  # fmt: skip
    with pytest.raises(ArithmeticError, match="unit_slope is of degree 3 in unit_rise"):
        clearing.cleared(made_of(rise**3 + run))
    for jump in (sympy.floor(rise), sympy.Max(rise, run), sympy.Abs(rise - run), sympy.exp(rise)):
        with pytest.raises(ArithmeticError, match="unit_slope is no polynomial"):
            clearing.cleared(made_of(jump * run))
    with pytest.raises(ArithmeticError, match="has several roots"):
        clearing.cleared(made_of((rise + 1) ** Fraction(1, 2) + (run + 1) ** Fraction(1, 2)))


def test_no_computer_algebra_is_loaded():
    """Solving a form, angles of odd degrees included, leaves sympy where it is."""
    code = (
        "import sys; from stairs.relations.inverse import solve_for;"
        "print([r.value for r in solve_for('skew', 'saw_miter', 40, "
        "{'unit_rise': 3, 'unit_run': 4}).taken], 'sympy' in sys.modules)"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    (skew,), loaded = ast.literal_eval(f"({run.stdout.replace('] ', '], ')})")
    # tan 40° = tan skew / cos rake, and the cosine is 4/5
    assert skew == pytest.approx(degrees(atan(0.8 * tan(radians(40)))), rel=1e-14)
    assert loaded is False


# ------------------------------------------------------------------ worked on paper


@pytest.mark.parametrize(("form", "unknown"), PAIRS, ids=[f"{f}-{u}" for f, u in PAIRS])
def test_example_worked_on_paper_backwards(form, unknown):
    """Each form's example on 3-4-5 and like steps, from its result back to each of its arguments.

    Where an example has 0 for what is above 0 in a stair, the root is there and let go for that.
    """
    examples = {item.name: item.example for item in FORMS} | FLIGHT_EXAMPLES
    arguments, result = examples[form]
    exact = dict(zip(EQUATIONS[form].unknowns, map(decimal, arguments), strict=True))
    planted = exact.pop(unknown)
    answer = solve_for(unknown, form, decimal(result), exact)
    if answer.any_value:
        # a width counts for nothing seen along a skew of 0, and at 45 degrees two halves cancel
        assert arguments[-1] == 45 or 0 in arguments
        return
    found = [root for root in answer.roots if isclose(root.value, planted, abs_tol=1e-12)]
    assert len(found) == 1, answer
    if QUANTITIES[unknown].unit != ANGLE:
        assert found[0].exact == planted
    if QUANTITIES[unknown].domain == POSITIVE and planted == 0:
        assert found[0].reason == f"{unknown} is above 0 in a stair"
    else:
        assert found[0].taken


FLIGHT_EXAMPLES = {
    "treads_from_risers": ((6, 0), 5),
    "risers_from_treads": ((5, 1), 5),
    "total_rise_from_unit_rise_and_risers": ((7, 6), 42),
    "risers_from_unit_rise_and_total_rise": ((7, 42), 6),
    "unit_rise_from_risers_and_total_rise": ((6, 42), 7),
    "total_run_from_unit_run_and_treads": ((10, 5), 50),
    "treads_from_unit_run_and_total_run": ((10, 50), 5),
    "unit_run_from_treads_and_total_run": ((5, 50), 10),
    "rake_from_unit_rise_and_unit_run": ((7, 7), 45),
    "unit_run_from_unit_rise_and_rake": ((7, 45), 7),
    "unit_rise_from_unit_run_and_rake": ((7, 45), 7),
    "risers_from_total_rise_and_total_run_and_rake": ((0, 42, 35, 45), 6),
}
"""A flight of six risers of 7 and treads of 7 or 10, so that its rake is 45 degrees or none."""


def decimal(number):
    """A number as it is written on paper."""
    return Fraction(str(number))


def test_porch_rail_backwards():
    """29/4 to 21/2 a step: its slope is √(841 + 1764)/4 = √2605/4, or √2605/42 to a unit of run.

    A rail of -3/4 + 59√2605/42 with 3/8 from pin to end on either side is 59 long, level, from pin
    to pin; 9/8 more at either post make a bay of 61 1/4.
    """
    length = 59 * Roots().sqrt(Fraction(2605)) / 42 - Fraction(3, 4)
    step = {"unit_rise": Fraction(29, 4), "unit_run": Fraction(21, 2)}
    known = {"pivot_offset": Fraction(9, 8), "rail_setback": Fraction(3, 8), **step}
    assert written(length) == "-3/4 + 59√2605/42"
    assert [root.exact for root in solve_for("clear", "rail_length", length, known).taken] == [
        Fraction(245, 4)
    ]
    bay = {**known, "clear": Fraction(245, 4)}
    for name in ("unit_rise", "unit_run", "rail_setback", "pivot_offset"):
        others = {key: size for key, size in bay.items() if key != name}
        taken = solve_for(name, "rail_length", length, others).taken
        assert [root.exact for root in taken] == [bay[name]]


def test_roots_are_written_as_on_paper():
    """A rise whose slope is 11 over a run of 10 is √21, and of 12 is 2√11."""
    for slope, text in ((11, "√21"), (12, "2√11")):
        fall, rise = solve_for("unit_rise", "unit_slope", slope, {"unit_run": 10}).roots
        assert (written(fall.exact), written(rise.exact)) == (f"-{text}", text)


def test_angles_come_with_their_exact_tangent():
    """A cosine of 1/3 has the tangent 2√2; cos 60° is a half, so 60° away from 60° is cos 1/4."""
    (root,) = solve_for("skew", "stand_off_along", 3, {"stand_off": 1}).taken
    assert written(root.tangent) == "2√2" and root.value == pytest.approx(70.528779, abs=5e-7)
    # where cos 60° = cos rake · cos 45°, the rake has a cosine of √2/2: it is 45°
    (root,) = solve_for("rake", "true_angle", 60, {"skew": 45}).taken
    assert (root.tangent, root.exact) == (1, None) and root.value == 45


# ------------------------------------------------------------------ every root accounted for


def test_root_let_go_is_no_stair():
    answer = solve_for("unit_run", "unit_slope", 13, {"unit_rise": 5})
    assert [(root.exact, root.taken, root.reason) for root in answer.roots] == [
        (-12, False, "unit_run is above 0 in a stair"),
        (12, True, ""),
    ]


def test_root_let_go_came_in_by_squaring():
    """A rail 1 long on a bay of -4 after the pins: squared, it is one of +4 and 5 on the rake.

    ``-1/√..`` cannot be: M + 2e is above 0 and D - 2q below.
    """
    known = {"clear": 4, "pivot_offset": 4, "rail_setback": 2, "unit_run": 4}
    answer = solve_for("unit_rise", "rail_length", 1, known)
    assert [(root.exact, root.reason) for root in answer.roots] == [
        (-3, "it came in by squaring: the form gives another value there"),
        (3, "it came in by squaring: the form gives another value there"),
    ]
    assert answer.reason == "it came in by squaring: the form gives another value there"


def test_roots_that_are_not_real_are_counted():
    answer = solve_for("unit_rise", "unit_slope", 5, {"unit_run": 6})
    assert (answer.roots, answer.imaginary, answer.taken) == ((), 2, ())
    assert answer.reason == "no real unit_rise gives it"


def test_double_root_is_counted_twice():
    (root,) = solve_for("unit_rise", "unit_slope", 6, {"unit_run": 6}).roots
    assert (root.exact, root.times, root.reason) == (0, 2, "unit_rise is above 0 in a stair")


def test_degree_that_drops_is_counted():
    """Ø (R + G + √(R² + G²)) = 2BR with Ø = B loses R² on both sides: R = G + .. is a line."""
    answer = solve_for("unit_rise", "corner_circle", 6, {
        "bottom_gap": 0, "corner_base": 6, "unit_run": 8,
    })  # fmt: skip
    assert sum(root.times for root in answer.roots) + answer.imaginary + answer.dropped == 2
    assert answer.dropped == 1 and answer.taken == ()


def test_any_value_does():
    """At the first nosing the nosing line is one riser up, however long the treads are."""
    answer = solve_for("unit_run", "nosing_line_height", 7, {"unit_rise": 7, "x": 0})
    assert answer.any_value and (answer.roots, answer.reason) == ((), "")
    answer = solve_for("unit_run", "nosing_line_height", 8, {"unit_rise": 7, "x": 0})
    # 7G = 8G leaves G = 0, where the line has no slope
    assert [root.reason for root in answer.roots] == ["the form divides by 0 there"]


def test_any_value_does_where_both_sides_are_squared():
    """A level run's cosine is 1 whatever its length, and never -1."""
    assert solve_for("unit_run", "cosine", 1, {"unit_rise": 0}).any_value
    answer = solve_for("unit_run", "cosine", -1, {"unit_rise": 0})
    assert not answer.any_value
    assert answer.reason == "it came in by squaring: the form gives another value there"


def test_no_value_makes_a_difference():
    answer = solve_for("skew", "true_angle", 80, {"rake": 90})
    assert (answer.roots, answer.any_value, answer.dropped) == ((), False, 1)
    assert answer.reason == "the form gives another value whatever skew is"


def test_counts_are_whole():
    answer = solve_for("risers", "total_rise_from_unit_rise_and_risers", 45, {"unit_rise": 7})
    assert [(root.exact, root.reason) for root in answer.roots] == [
        (Fraction(45, 7), "risers is a whole number")
    ]
    answer = solve_for("flush_tread", "treads_from_risers", 7, {"risers": 6})
    assert answer.reason == "flush_tread is 0 or 1 in a stair"


def test_value_that_is_in_no_stair():
    """A rail shorter than nothing is got by a short bay, yet it is no rail."""
    known = {"pivot_offset": 1, "rail_setback": 0, "unit_rise": 3, "unit_run": 4}
    answer = solve_for("clear", "rail_length", -5, known)
    assert [(root.exact, root.reason) for root in answer.roots] == [
        (-2, "clear is above 0 in a stair")
    ]
    answer = solve_for("pivot_offset", "rail_length", -5, {
        "clear": 40, "rail_setback": 0, "unit_rise": 3, "unit_run": 4,
    })  # fmt: skip
    assert [(root.exact, root.reason) for root in answer.roots] == [
        (22, "rail_length is above 0 in a stair")
    ]


def test_angle_that_a_form_cannot_give():
    answer = solve_for("unit_rise", "swing", 95, {"unit_run": 10})
    assert answer.reason == "the form gives angles between 0 and 90 degrees only"
    answer = solve_for("unit_rise", "angle_high", 80, {"unit_run": 10})
    assert [root.reason for root in answer.roots] == ["unit_rise is above 0 in a stair"]


def test_angle_of_90_degrees_is_no_skew():
    answer = solve_for("skew", "true_angle", 90, {"rake": 30})
    assert [(root.value, root.tangent, root.reason) for root in answer.roots] == [
        (90, None, "skew is from 0 to below 90 in a stair")
    ]
    answer = solve_for("skew", "stand_off_along", 1, {"stand_off": 2})
    assert [(root.value, root.reason) for root in answer.roots] == [
        (None, "no angle has a cosine beyond 1")
    ]


def test_inputs_for_which_the_form_has_no_value():
    answer = solve_for("pitch", "baluster_clear", 4, {
        "baluster": 1, "unit_rise": 0, "unit_run": 0,
    })  # fmt: skip
    assert (answer.any_value, answer.reason) == (False, "the form divides by 0 there")
    answer = solve_for("wall", "max_rack", 40, {"hole_length": 1, "baluster": -1})
    assert answer.reason == "the form divides by 0 there"


def test_what_cannot_be_looked_for():
    for call, text in (
        (("clear", "rail_lenght", 1, {}),
         'solve_for: "rail_lenght" is no closed form. Names are those of the functions in '
         'stairs.closed_forms. The nearest is "rail_length".'),
        (("nosing", "step_sum", 25, {"unit_run": 10, "unit_rise": 7}),
         'step_sum: "nosing" is no input of it. It has unit_rise, unit_run. Ask for one of those.'),
        (("unit_run", "step_sum", 25, {}),
         "step_sum: given are no inputs. To solve it for unit_run takes unit_rise. "
         "Give each of those, and no other."),
        (("skew", "true_angle", 30, {"rake": Roots().sqrt(Fraction(2))}),
         "solve_for: an angle is given by roots. A fraction of degrees, or an amount derived from "
         "lengths. Give it as one of those."),
    ):  # fmt: skip
        with pytest.raises(JobError) as caught:
            solve_for(*call)
        assert str(caught.value) == text


def test_derived_amounts_are_taken_as_they_are():
    """Another form's value goes in unrounded: a slope of √149 on which nothing is lost."""
    slope = derived("unit_slope", unit_rise=7, unit_run=10)
    assert isinstance(slope, Derived)
    assert [root.exact for root in solve_for("unit_rise", "unit_slope", slope, {
        "unit_run": 10}).taken] == [7]  # fmt: skip
    assert exact_number(slope, Roots()) ** 2 == 149
    lean = derived("rake", unit_rise=7, unit_run=10)
    for form, target in (("swing", lean), ("rake", lean)):
        assert [root.exact for root in solve_for("unit_rise", form, target, {
            "unit_run": 10}).taken] == [7]  # fmt: skip
    (run,) = solve_for(
        "unit_run", "unit_rise_from_unit_run_and_rake", Fraction(7), {"rake": lean}
    ).taken
    assert run.exact == 10 and hypot(7, run.value) == float(slope)


def test_root_of_a_root_is_none_where_a_sum_is_the_same():
    """√(5 + 2√6) = √2 + √3, and √(6 - 4√2) = 2 - √2."""
    roots = Roots()
    six, two = roots.sqrt(Fraction(6)), roots.sqrt(Fraction(2))
    found = roots.sqrt(5 + 2 * six)
    assert found == two + roots.sqrt(Fraction(3))
    assert not any(isinstance(root.square, Surd) for root in roots.made)
    assert written(roots.sqrt(6 - 4 * two)) == "2 - √2"


# rise, run, overhang; plumb over the nosing line where a 6 in ball just passes, worked out apart
JUST_PASSES = [
    ("7.5", 10, "0", "1.500"), ("7.75", 10, "0", "1.370"), ("7", 11, "0", "1.465"),
    ("7.5", 10, "1", "0.750"), ("7.75", 10, "1", "0.595"), ("7.75", 10, "1.25", "0.402"),
    ("7", 11, "1", "0.829"),
]  # fmt: skip


@pytest.mark.parametrize(("rise", "run", "overhang", "gap"), JUST_PASSES, ids=str)
def test_bottom_gap_at_which_a_ball_just_passes(rise, run, overhang, gap):
    """From the circle to the rail over it, and back to the rise, to half the last digit."""
    step = {"corner_base": run + Fraction(overhang), "unit_run": Fraction(run)}
    rise, gap, half = Fraction(rise), Fraction(gap), Fraction("0.0005")
    (found,) = solve_for("bottom_gap", "corner_circle", 6, {**step, "unit_rise": rise}).taken
    assert abs(found.value - gap) <= half
    low, high = (
        solve_for("unit_rise", "corner_circle", 6, {**step, "bottom_gap": gap + way}).taken[0].value
        for way in (half, -half)
    )
    assert low <= rise <= high


# form, input looked for, value, known, what is told
TOLD = [
    ("stand_off_along", "skew", 3, {"stand_off": 1}, ["skew = 70.5287794 degrees, of tangent 2√2"]),
    ("stand_off_along", "skew", 1, {"stand_off": 3}, ["let go - no angle has a cosine beyond 1"]),
    ("unit_slope", "unit_run", 12, {"unit_rise": 10},
     ["unit_run = 2√11", "let go - unit_run = -2√11: unit_run is above 0 in a stair"]),
    ("unit_slope", "unit_rise", 5, {"unit_run": 6}, ["let go twice - no real unit_rise gives it"]),
    ("unit_slope", "unit_rise", 6, {"unit_run": 6},
     ["let go twice - unit_rise = 0: unit_rise is above 0 in a stair"]),
    ("cosine", "unit_run", 1, {"unit_rise": 0}, ["any unit_run does"]),
    ("true_angle", "skew", 80, {"rake": 90},
     ["let go - the form gives another value whatever skew is"]),
    ("swing", "unit_rise", 95, {"unit_run": 10},
     ["the form gives angles between 0 and 90 degrees only"]),
    ("corner_circle", "unit_rise", 6, {"bottom_gap": 0, "corner_base": 6, "unit_run": 8},
     ["let go - unit_rise = 0: it came in by squaring: the form gives another value there",
      "let go - the equation is of a lower degree with these inputs"]),
]  # fmt: skip


@pytest.mark.parametrize(("form", "unknown", "value", "known", "lines"), TOLD)
def test_account_tells_each_root(form, unknown, value, known, lines):
    """Worked by hand: √(144 - 100) is 2√11, and a cosine of 1/3 leaves 2√2 over 1."""
    assert list(solve_for(unknown, form, value, known).account) == lines


def test_account_of_an_angle_that_is_known_to_many_digits():
    """Of 40 degrees nothing is a square root, so neither is what follows."""
    taken, other = solve_for("skew", "saw_miter", 40, {"unit_rise": 3, "unit_run": 4}).account
    skew = degrees(atan(0.8 * tan(radians(40))))
    assert taken == f"skew = {skew:.9g} degrees"
    assert other.startswith(f"let go - skew = {180 - skew:.9g} degrees: it came in by squaring")
