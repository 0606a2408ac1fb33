"""Angles, polynomials and writing of exact numbers, against mpmath and against numpy."""

from fractions import Fraction

import mpmath
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from stair_sizes import PROPERTY

from stairs.numbers.angle import angle_of, angle_of_cosine, angle_of_tangent
from stairs.numbers.quadratic import zeros
from stairs.numbers.surd import Roots, Surd, copied, sign, written

whole = st.integers(-12, 12).map(Fraction)
sizes = st.fractions(Fraction(1, 16), 40, max_denominator=16)


# ------------------------------------------------------------------ angles


@PROPERTY
@given(degrees=st.one_of(
    st.integers(-800, 800).map(lambda n: Fraction(15 * n, 4)),
    st.fractions(-720, 720, max_denominator=60),
))  # fmt: skip
def test_angle_has_the_cosine_and_sine_of_its_degrees(degrees):
    """Against mpmath in seventy digits; and the squares add up to 1, exactly."""
    angle = angle_of(degrees, Roots())
    with mpmath.workdps(70):
        turn = mpmath.mpf(degrees.numerator) / degrees.denominator * mpmath.pi / 180
        for ours, theirs in ((angle.cos, mpmath.cos(turn)), (angle.sin, mpmath.sin(turn))):
            low, high = theirs - mpmath.mpf(10) ** -57, theirs + mpmath.mpf(10) ** -57
            ends = [Fraction(mpmath.nstr(end, 68)) for end in (low, high)]
            assert sign(ours - ends[0]) > 0 > sign(ours - ends[1])
    assert angle.cos * angle.cos + angle.sin * angle.sin == 1


@pytest.mark.parametrize(
    ("degrees", "exact"),
    [("30", True), ("45/8", True), ("75/2", True), ("360", True), ("35", False), ("36", False)],
)
def test_angle_is_exact_where_it_is_made_of_square_roots(degrees, exact):
    assert angle_of(Fraction(degrees), Roots()).exact is exact


def test_angle_known_from_tables():
    """tan 15° = 2 - √3, tan 22 1/2° = √2 - 1, cos 120° = -1/2, tan 90° is none."""
    roots = Roots()
    assert angle_of(Fraction(15), roots).tangent == 2 - roots.sqrt(Fraction(3))
    assert angle_of(Fraction(45, 2), roots).tangent == roots.sqrt(Fraction(2)) - 1
    assert angle_of(Fraction(120), roots).cos == Fraction(-1, 2)
    assert angle_of(Fraction(90), roots).tangent is None
    assert angle_of(Fraction(-60), roots).degrees == pytest.approx(-60, rel=1e-15)


@PROPERTY
@given(degrees=st.integers(-179, 180).map(Fraction))
def test_angle_turned_mirrored_doubled_and_halved(degrees):
    """Each leads to the degrees that it says; right angles are counted round the circle."""
    roots = Roots()
    angle = angle_of(degrees, roots)
    for found, wanted in (
        (angle.turned(1), degrees + 90), (angle.turned(-1), degrees - 90),
        (angle.mirrored(), -degrees), (angle.doubled(), 2 * degrees),
        (angle.halved(roots), degrees / 2),
    ):  # fmt: skip
        apart = (found.degrees - float(wanted) + 180) % 360 - 180
        assert apart == pytest.approx(0, abs=1e-12)


def test_angle_of_3_4_5():
    """Rise 3 over run 4 has the cosine 4/5 and the sine 3/5."""
    roots = Roots()
    for angle in (angle_of_tangent(Fraction(3, 4), roots), angle_of_cosine(Fraction(4, 5), roots)):
        assert (angle.cos, angle.sin) == (Fraction(4, 5), Fraction(3, 5))


# ------------------------------------------------------------------ polynomials


@PROPERTY
@given(coefficients=st.tuples(whole, whole, whole))
def test_zeros_are_those_of_numpy(coefficients):
    """As many, as large; the exact polynomial is 0 at each, and every one is counted."""
    found = zeros(coefficients, Roots())
    expected = np.roots([float(one) for one in reversed(coefficients)])
    if not any(coefficients):
        assert found.everywhere and found.real == ()
        return
    assert sum(times for _, times in found.real) + found.imaginary + found.dropped == 2
    assert len(expected) == 2 - found.dropped
    ours = sorted(float(root) for root, times in found.real for _ in range(times))
    theirs = sorted(one.real for one in expected) if not found.imaginary else []
    assert ours == pytest.approx(theirs, rel=1e-6, abs=1e-6)
    for root, _ in found.real:
        c0, c1, c2 = coefficients
        assert c0 + root * (c1 + root * c2) == 0


@PROPERTY
@given(first=sizes, second=sizes, under=st.integers(2, 60))
def test_zeros_of_a_polynomial_with_roots_in_it(first, second, under):
    """Multiplied out of two known ones, a fraction and a surd: (x - a)(x - b√d)."""
    roots = Roots()
    other = second * roots.sqrt(Fraction(under))
    found = zeros((first * other, -first - other, Fraction(1)), roots)
    wanted = [first] * 2 if other == first else sorted((first, other))
    assert [root for root, times in found.real for _ in range(times)] == wanted


def test_zeros_of_other_degrees_are_refused():
    for coefficients in ((Fraction(1),), (Fraction(1),) * 4):
        with pytest.raises(ValueError, match="a polynomial of degree 1 or 2 is solved, not of"):
            zeros(coefficients, Roots())


# ------------------------------------------------------------------ roots of roots, and on paper


@PROPERTY
@given(first=st.integers(1, 40), second=st.integers(1, 40), minus=st.booleans())
def test_root_of_a_square_is_what_was_squared(first, second, minus):
    """(√a ± √b)² multiplied out, and its root taken again: no root of a root is made."""
    roots = Roots()
    one, other = roots.sqrt(Fraction(first)), roots.sqrt(Fraction(second))
    number = one - other if minus else one + other
    found = roots.sqrt(number * number)
    assert found == (number if sign(number) >= 0 else -number)
    assert not any(isinstance(root.square, Surd) for root in roots.made)


@pytest.mark.parametrize(
    ("make", "text"),
    [
        (lambda r: Fraction(-3, 4) + Fraction(59, 42) * r(2605), "-3/4 + 59√2605/42"),
        (lambda r: 1 - r(Fraction(1, 2)), "1 - √2/2"),
        (lambda r: -r(72), "-6√2"),
        (lambda r: r(2) + r(3) - 5, "-5 + √2 + √3"),
        (lambda r: 1 - r(2) * r(3) * r(5) / 7, "1 - √30/7"),
        (lambda r: 1 + r(2) * r(3) * r(6), "1 + 6"),
        (lambda r: (1 + r(2)) * r(3), "(1 + √2)·√3"),
        (lambda r: 2 * r(1 + r(5)) / 3, "2√(1 + √5)/3"),
        (lambda r: r(9) / 6, "1/2"),
        (lambda r: 7, "7"),
    ],
)  # fmt: skip
def test_numbers_are_written_as_on_paper(make, text):
    roots = Roots()
    number = make(lambda size: roots.sqrt(size if isinstance(size, Surd) else Fraction(size)))
    assert written(number) == text


def test_power_of_a_number_with_roots():
    """(1 + √2)³ = 7 + 5√2, and to the power of -1 it is √2 - 1."""
    two = Roots().sqrt(Fraction(2))
    assert (1 + two) ** 3 == 7 + 5 * two
    assert ((1 + two) ** 0, (1 + two) ** -1) == (1, two - 1)


def test_copy_goes_with_the_roots_of_another_maker():
    """√2 + √(3 + √5) of one maker, less the same of another, is nothing."""
    numbers = []
    for first in (2, 5):  # made in unlike order
        roots = Roots()
        roots.sqrt(Fraction(first))
        five = roots.sqrt(Fraction(5))
        numbers.append((roots.sqrt(Fraction(2)) + roots.sqrt(3 + five), roots))
    (number, roots), (other, _) = numbers
    assert sign(copied(other, roots) - number) == 0
    assert copied(7, roots) == 7
