"""Exact numbers with square roots, their signs, and points at equal distances."""

import math
from fractions import Fraction

import mpmath
import pytest
import sympy
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from stairs.numbers import surd
from stairs.numbers.exact_sign import NotOfRoots, digits, exact_number, sign
from stairs.numbers.surd import Roots
from stairs.shapes.equidistant import CORNER, TRACK, WALL, centers

fractions = st.fractions(-9, 9, max_denominator=12)
expressions = st.recursive(
    fractions.map(lambda value: sympy.Rational(value.numerator, value.denominator)),
    lambda parts: st.one_of(
        st.tuples(parts, parts).map(lambda pair: pair[0] + pair[1]),
        st.tuples(parts, parts).map(lambda pair: pair[0] * pair[1]),
        parts.map(lambda part: sympy.sqrt(part * part + 1)),
        parts.map(lambda part: 1 / (part * part + 2)),
    ),
    max_leaves=6,
)


# ---- numbers of fractions and roots ---------------------------------------------------------


@given(expressions)
@settings(deadline=None)
def test_exact_number_is_as_large_as_its_expression(expression):
    number = exact_number(expression, Roots())
    assert float(number) == pytest.approx(float(expression), rel=1e-14, abs=1e-14)


@given(expressions, expressions, st.integers(1, 99))
@settings(deadline=None, max_examples=36)
def test_exact_numbers_add_multiply_and_divide(first, second, extra):
    roots = Roots()
    a, b = exact_number(first, roots), exact_number(second, roots)
    c = roots.sqrt(Fraction(extra))
    assert surd.sign((a + b) * c - (a * c + b * c)) == 0
    assert surd.sign((a - b) * (a + b) - (a * a - b * b)) == 0
    if surd.sign(b) != 0:
        assert surd.sign(a / b * b - a) == 0
    assert surd.sign(roots.sqrt(a * a) - (a if surd.sign(a) >= 0 else -a)) == 0


@given(expressions, expressions)
@settings(deadline=None, max_examples=36)
def test_exact_numbers_compare_like_their_digits(first, second):
    difference = first - second
    with mpmath.workdps(60):
        value = mpmath.mpf(difference.evalf(60))
        assume(abs(value) > mpmath.mpf(10) ** -40)
    order = 1 if value > 0 else -1
    roots = Roots()
    assert surd.sign(exact_number(first, roots) - exact_number(second, roots)) == order
    assert sign(difference) == order


def test_exact_order_operators():
    roots = Roots()
    two, three = roots.sqrt(Fraction(2)), roots.sqrt(Fraction(3))
    assert two < three <= three and three > two >= two
    assert two != three and two * two == 2 and two > 1
    assert 3 - two > 1 and 2 / two == two


@pytest.mark.parametrize("count", [60, 61, 300, 301, 700, 701])
def test_sign_far_below_any_fixed_number_of_digits(count):
    """``p² - 2 q² = ±1`` by turns: ``p - q √2`` changes sign at each step and shrinks."""
    p, q = 1, 1
    for _ in range(count):
        p, q = p + 2 * q, p + q
    number = p - q * Roots().sqrt(Fraction(2))
    assert surd.sign(number) == (1 if count % 2 else -1)
    assert sign(p - q * sympy.sqrt(2)) == (1 if count % 2 else -1)


TIES = [
    sympy.sqrt(5 + 2 * sympy.sqrt(6)) - sympy.sqrt(2) - sympy.sqrt(3),
    sympy.sqrt(sympy.sqrt(2) + 1) * sympy.sqrt(sympy.sqrt(2) - 1) - 1,
    1 / (sympy.sqrt(7) - sympy.sqrt(5)) - (sympy.sqrt(7) + sympy.sqrt(5)) / 2,
    sympy.tan(sympy.pi / 5) - sympy.sqrt(5 - 2 * sympy.sqrt(5)),
    sympy.sqrt(3 + 2 * sympy.sqrt(2)) - 1 - sympy.sqrt(2),
]


@pytest.mark.parametrize("tie", TIES)
def test_sign_of_what_is_zero_in_disguise(tie):
    assert sign(tie) == 0
    assert sign(tie + sympy.Rational(1, 10**70)) == 1
    assert sign(tie - sympy.Rational(1, 10**400)) == -1


def test_sign_of_angles():
    angle = sympy.Rational(37, 180) * sympy.pi
    tangent, sine, cosine = (f(angle, evaluate=False) for f in (sympy.tan, sympy.sin, sympy.cos))
    tie = tangent * cosine - sine
    assert sign(tie) == 0
    assert sign(tie + sympy.Rational(1, 10**100)) == 1
    assert sign(tie - sympy.Rational(1, 10**100)) == -1
    with pytest.raises(NotOfRoots):
        exact_number(tangent, Roots())


@pytest.mark.parametrize(
    ("number", "order"),
    [(0, 0), (3, 1), (-2.5, -1), (Fraction(-1, 9), -1), (sympy.Rational(1, 9), 1),
     (sympy.Integer(0), 0), (sympy.pi - 3, 1), (3 - sympy.pi, -1)],
)  # fmt: skip
def test_sign_of_plain_numbers(number, order):
    assert sign(number) == order


def test_sign_of_a_number_with_roots():
    assert sign(Roots().sqrt(Fraction(2)) - 2) == -1


def test_digits_of_fraction_and_float():
    assert float(digits(Fraction(1, 3), 30) - digits(0.25, 30)) == pytest.approx(1 / 12)


def test_root_of_a_negative_number_is_refused():
    with pytest.raises(ValueError, match="-4.0 is negative and has no square root"):
        Roots().sqrt(Fraction(-4))


def test_division_by_nothing_in_disguise_is_refused():
    roots = Roots()
    two, three = roots.sqrt(Fraction(2)), roots.sqrt(Fraction(3))
    zero = two * three - roots.sqrt(Fraction(6))
    with pytest.raises(ZeroDivisionError, match="division of an exact number by 0"):
        1 / zero


def test_number_that_is_not_real_is_refused():
    with pytest.raises(ValueError, match="is no real number"):
        digits(sympy.acos(2), 20)


# ---- points at equal distances --------------------------------------------------------------

coordinates = st.floats(-10, 10)
points = st.tuples(coordinates, coordinates)


def distance(thing, x, y):
    if thing[0] == CORNER:
        return math.dist(thing[1:], (x, y))
    return thing[1] * x + thing[2] * y - thing[3]


@st.composite
def things(draw):
    """Three walls or corners, or two and a track, all in reach of one another."""
    made = []
    for kind in draw(st.sampled_from([(0, 0, 0), (0, 0, 1), (0, 1, 1), (1, 1, 1), (2, 0, 0),
                                      (2, 0, 1), (2, 1, 1)])):  # fmt: skip
        x, y = draw(points)
        if kind == CORNER:
            made.append((CORNER, x, y))
        else:
            angle = draw(st.floats(-3.2, 3.2))
            nx, ny = math.cos(angle), math.sin(angle)
            made.append((kind, nx, ny, nx * x + ny * y))
    return tuple(made)


@given(things())
@example(((WALL, 1.0, 5e-15, 5e-15), (CORNER, 0.0, 0.0), (CORNER, 1.0, 0.0)))  # one double root
def test_centers_are_as_far_from_all_three(three):
    for x, y in centers(*three):
        assume(abs(x) + abs(y) < 1e3)
        away = [abs(distance(thing, x, y)) for thing in three if thing[0] != TRACK]
        assert max(away) - min(away) <= 1e-6 * (1 + max(away))
        for thing in three:
            if thing[0] == TRACK:
                assert distance(thing, x, y) == pytest.approx(0, abs=1e-6)


@given(points, st.floats(0.1, 5), st.lists(st.floats(0, 6.28), min_size=3, max_size=3),
       st.lists(st.sampled_from([WALL, CORNER]), min_size=3, max_size=3))  # fmt: skip
def test_centers_find_the_circle_that_three_things_were_laid_around(center, radius, turns, kinds):
    """Made backwards: a circle first, then walls and corners that touch it."""
    gaps = [abs(math.remainder(a - b, math.tau)) for a, b in zip(turns, turns[1:] + turns[:1],
                                                                 strict=True)]  # fmt: skip
    assume(min(gaps) > 0.2)
    three = []
    for kind, turn in zip(kinds, turns, strict=True):
        c, s = math.cos(turn), math.sin(turn)
        x, y = center[0] + radius * c, center[1] + radius * s
        three.append((CORNER, x, y) if kind == CORNER else (WALL, -c, -s, -c * x - s * y))
    found = centers(*three)
    assert min(math.dist(spot, center) for spot in found) <= 1e-6


def test_centers_of_parallel_walls_and_equal_corners():
    floor, higher = (WALL, 0.0, 1.0, 0.0), (WALL, 0.0, 1.0, 2.0)
    assert centers(floor, higher, (WALL, 0.0, -1.0, -4.0)) == []
    tip = (CORNER, 1.0, 1.0)
    assert centers(tip, tip, floor) == []
    assert centers((TRACK, 1.0, 0.0, 0.0), (TRACK, 0.0, 1.0, 0.0), floor) == []
