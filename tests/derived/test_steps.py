"""The steps of the closed forms are current, lead to them, and their short forms are proved.

The stair of points measures every quantity off one figure without any of our formulas; each step
is held against it.  The elimination is repeated here with polynomials written out anew.
"""

from math import atan2, hypot, tan
from pathlib import Path

import pytest
import sympy
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog
from stair_of_points import stairs

from stairs.numbers.surd import Roots
from stairs.relations import steps as steps_module
from stairs.relations.derivation import every_derivation
from stairs.relations.equations import RELATIONS, SYMBOLS
from stairs.relations.short_forms import HALF, eliminated
from stairs.relations.steps import steps
from stairs.relations.steps_writing import steps_text
from stairs.working.formula import value_of_tree


def test_steps_are_what_the_relations_give():
    """Writing the file again changes nothing."""
    committed = Path(steps_module.__file__).with_name("steps.json").read_text(encoding="utf-8")
    assert steps_text(every_derivation()) == committed


def test_every_step_names_its_relations_and_these_say_what_they_mean():
    known = {one.name: (one.meaning, one.source) for one in RELATIONS}
    told = steps().relations
    assert {name: (fact.meaning, fact.source) for name, fact in told.items()} == known
    for chain in (*steps().forms.values(), *steps().short.values()):
        for step in chain:
            assert step.relations and set(step.relations) <= set(known)


def walked(chain, values):
    """What the last step comes to, from measured values, each step from those before it."""
    scope = dict(values)
    for step in chain:
        scope[step.quantity] = value_of_tree(step.formula, lambda name: float(scope[name]), Roots())
    return scope[chain[-1].quantity]


@settings(deadline=None, derandomize=True, max_examples=15)
@given(data=st.data())
def test_every_step_and_every_short_form_gives_what_is_measured(data):
    """At each step alone, from measured values, and for short forms at their end."""
    values = data.draw(stairs())
    for name, chain in steps().forms.items():
        for step in chain:
            found = value_of_tree(step.formula, lambda one: float(values[one]), Roots())
            assert found == pytest.approx(values[step.quantity], rel=1e-8, abs=1e-7), name
    for name, chain in steps().short.items():
        found = walked(chain, values)
        assert found == pytest.approx(values[chain[-1].quantity], rel=1e-8, abs=1e-7), name


def test_short_form_of_the_circle_comes_out_of_its_tangency_by_elimination():
    """Distances from a center to three lines, over the rationals with t = tan(θ/2).

    The rail y = v + x 2t/(1 - t²) is at (1 - t²)/(1 + t²) of its plumb distance.
    """
    t, x, y, r, gap, base, ball = sympy.symbols("t x y r v B d")
    tangency = [
        y - r,  # the walking surface
        x - (base - r),  # the upright face
        (gap * (1 - t**2) + 2 * t * x - (1 - t**2) * y) - (1 + t**2) * r,  # the rail
        ball - 2 * r,
    ]
    basis = sympy.groebner(tangency, x, y, r, ball, order="lex",
                           domain=sympy.QQ.frac_field(t, gap, base))  # fmt: skip
    (value,) = sympy.solve(basis.exprs[-1], ball)
    height = gap + base * 2 * t / (1 - t**2)
    assert sympy.simplify(value - height * (1 - t)) == 0
    # and it is the one that is printed
    last = steps().forms["corner_circle"][-1]
    half = ["+", 1, ["neg", ["tan", ["/", "rake", 2]]]]
    assert last.formula == ["*", "corner_height", half]


def test_elimination_of_every_form_agrees_with_its_chain():
    """The two ways to a closed form, at numbers: t = 1/2 is a step of 4 to 3."""
    checked = 0
    for name, derivation in every_derivation():
        found = eliminated(derivation)
        if found is None or HALF not in found.free_symbols:
            continue
        free = derivation.expression.free_symbols | found.free_symbols - {HALF}
        letters = sorted(free, key=str)
        values = {one: sympy.Rational(7 + 3 * place, 4) for place, one in enumerate(letters)}
        values |= {SYMBOLS["unit_rise"]: 4, SYMBOLS["unit_run"]: 3, HALF: sympy.Rational(1, 2)}
        assert (derivation.expression - found).subs(values) == 0, name
        checked += 1
    assert checked > 25


@pytest.mark.parametrize(("rise", "run"), [(7.25, 10.5), (6, 12), (8, 9), (5, 15)])
@pytest.mark.parametrize(("gap", "base"), [(0.5, 11.5), (0, 10), (-1, 12), (3, 9)])
def test_short_form_of_the_circle_against_the_largest_in_the_triangle(rise, run, gap, base):
    """The center as far as can be from three lines: a linear program, no formula of a circle."""
    slope, norm = rise / run, hypot(rise, run)
    # y >= r, x <= B - r, and below the rail by r square to it
    rows = [[0, -1, 1], [1, 0, 1], [-rise / norm, run / norm, 1]]
    best = linprog([0, 0, -1], A_ub=rows, b_ub=[0, base, gap * run / norm],
                   bounds=[(None, None)] * 3)  # fmt: skip
    chain = steps().forms["corner_circle"]
    found = walked(
        chain, {"unit_rise": rise, "unit_run": run, "bottom_gap": gap, "corner_base": base}
    )
    assert found == pytest.approx(2 * best.x[2], rel=1e-9)
    height = gap + base * slope
    assert found == pytest.approx(height * (1 - tan(atan2(rise, run) / 2)), rel=1e-12)
