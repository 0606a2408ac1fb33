"""Whether the largest circle is below, at or above a ball, where floats cannot tell."""

import math
import random
import subprocess
import sys
from fractions import Fraction

import mpmath
import pytest
import sympy
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from stairs.shapes.circle import Edge, Shape, compare_largest_circle, largest_circle

HAIR = Fraction(1, 10**12)


def closed(points, names=None, beyond=()):
    count = len(points)
    names = names or [f"side {i}" for i in range(count)]
    edges = (Edge(points[i], points[(i + 1) % count], names[i]) for i in range(count))
    return Shape(tuple(edges), beyond)


def assert_is_exactly(shape, diameter):
    """Equal to the limit; below one that is a hair more; above one that is a hair less."""
    assert compare_largest_circle(shape, diameter) == 0
    assert compare_largest_circle(shape, diameter + HAIR) == -1
    assert compare_largest_circle(shape, diameter - HAIR) == 1
    far = Fraction(1, 10**60)
    assert compare_largest_circle(shape, diameter + far) == -1
    assert compare_largest_circle(shape, diameter - far) == 1


# ---- Pythagorean stairs ---------------------------------------------------------------------

STEPS = [(3, 4, 5), (5, 12, 13), (8, 15, 17), (7, 24, 25)]


@pytest.mark.parametrize("step", STEPS)
@pytest.mark.parametrize("factor", [Fraction(1), Fraction(3), Fraction(7, 16), Fraction(254, 10)])
def test_circle_on_pythagorean_step_is_rise_plus_run_less_slope(step, factor):
    rise, run, slope = (side * factor for side in step)
    shape = closed([(Fraction(0), Fraction(0)), (run, Fraction(0)), (run, rise)])
    assert_is_exactly(shape, rise + run - slope)


def pocket(rise, run, gap, nosing=Fraction(0), thick=Fraction(1)):
    """Over a tread, with open necks square to the rail at both nosings; the rail goes on beyond."""
    square = rise * rise + run * run
    left, up = -gap * rise * run / square, gap * run * run / square
    zero = Fraction(0)
    points = [(zero, zero), (run + nosing, zero)]
    names = ["tread 1", "riser 2"]
    if nosing:
        points += [(run + nosing, rise - thick), (run, rise - thick)]
        names += ["underside", "nosing 2"]
    points += [(run, rise), (run + left, rise + up), (left, up)]
    names += [None, "bottom rail", None]
    rail = Edge((-3 * run, gap - 3 * rise), (4 * run, gap + 4 * rise), "bottom rail")
    return closed(points, names, (rail,))


@pytest.mark.parametrize("step", STEPS)
@pytest.mark.parametrize("gap", [Fraction(0), Fraction(1, 4), Fraction(1, 3)])
def test_circle_under_a_raised_rail(step, gap):
    """Center ``(G - r, r)``, and ``r`` from the rail ``y = v + x R / G``.

    ``(v + (G - r) R / G - r) G / slope = r`` gives ``r = G (v + R) / (R + G + slope)``.
    """
    rise, run, slope = (Fraction(side) for side in step)
    radius = run * (gap + rise) / (rise + run + slope)
    assert_is_exactly(pocket(rise, run, gap), 2 * radius)


def test_circle_with_an_overhang_that_ties():
    """9 in by 12 in, 1 in overhang: ``r = R (G + s) / (R + G + slope) = 117 / 36``."""
    shape = pocket(Fraction(9), Fraction(12), Fraction(0), Fraction(1), Fraction(1))
    assert_is_exactly(shape, 2 * Fraction(117, 36))


def test_circle_on_unit_stair_is_two_less_root_two():
    zero, one = sympy.Integer(0), sympy.Integer(1)
    shape = closed([(zero, zero), (one, zero), (one, one)])
    assert_is_exactly(shape, 2 - sympy.sqrt(2))


# ---- every kind of contact ------------------------------------------------------------------


def test_circle_on_two_walls_and_a_corner():
    """The ell of unit arms: ``r = 2 - √2``."""
    points = [(0, 0), (2, 0), (2, 1), (1, 1), (1, 2), (0, 2)]
    assert_is_exactly(closed(points), 4 - 2 * sympy.sqrt(2))


def test_circle_on_two_walls_and_a_corner_that_ties_in_fractions():
    """Arms 2 and 9/4 wide: ``r = c + d - √(2 c d) = 17 / 4 - 3``."""
    c, d = Fraction(2), Fraction(9, 4)
    far = Fraction(20)
    points = [(0, 0), (far, 0), (far, d), (c, d), (c, far), (0, far)]
    assert_is_exactly(closed(points), 2 * (c + d - 3))


def test_circle_on_a_wall_and_two_corners():
    """Floor y = 0, posts' tips at (±3, 9): ``9 + (9 - r)² = r²``, so ``r = 5``."""
    posts = (
        Edge((Fraction(-3), Fraction(9)), (Fraction(-9), Fraction(30)), "post 1"),
        Edge((Fraction(3), Fraction(9)), (Fraction(9), Fraction(30)), "post 2"),
    )
    points = [(Fraction(x), Fraction(y)) for x, y in ((-3, 0), (3, 0), (3, 9), (-3, 9))]
    assert_is_exactly(closed(points, ["floor", None, None, None], posts), Fraction(10))


def test_circle_on_three_corners():
    """Posts' corners at (0, 0), (8, 0), (4, 8): circumcircle of radius 5."""
    tips = ((0, 0), (-1, -3)), ((8, 0), (9, -3)), ((4, 8), (4, 11))
    posts = tuple(Edge(tip, foot, f"post {i}") for i, (tip, foot) in enumerate(tips, 1))
    assert_is_exactly(closed([(0, 0), (8, 0), (4, 8)], [None] * 3, posts), Fraction(10))


def test_circle_on_two_walls_with_its_center_on_an_open_edge():
    points = [(-1, 1), (0, 0), (1, 1)]
    assert_is_exactly(closed(points, ["left", "right", None]), sympy.sqrt(2))


def test_circle_on_a_wall_and_a_corner_with_its_center_on_an_open_edge():
    """On the open edge x = -1, as far from the floor as from (4, 8): ``25 + (y - 8)² = y²``."""
    post = Edge((Fraction(4), Fraction(8)), (Fraction(20), Fraction(9)), "post 1")
    floor = Edge((-20, 0), (20, 0), "floor")
    shape = closed([(0, 0), (0, 8), (-1, 8), (-1, 0)], [None] * 4, (post, floor))
    circle = largest_circle(shape)
    assert circle.center == pytest.approx((-1, 89 / 16))
    assert circle.leans_on == ("post 1", "floor")
    assert_is_exactly(shape, 2 * Fraction(89, 16))


def test_circle_where_two_open_edges_meet():
    points = [(Fraction(0), Fraction(4)), (Fraction(0), Fraction(0)), (Fraction(3), Fraction(2))]
    assert_is_exactly(closed(points, ["wall", None, None]), Fraction(6))


def test_circle_in_a_strip():
    points = [(0, 0), (40, 0), (40, 3), (0, 3)]
    assert_is_exactly(closed(points, ["floor", None, "rail", None]), Fraction(3))
    assert_is_exactly(closed(points), Fraction(3))


def test_circle_in_a_strip_along_the_rake():
    """Between lines 5/3 apart plumb at a rise of 3 in 4, ends cut square: 4/3 square."""
    left, up = Fraction(-4, 5), Fraction(16, 15)
    points = [(0, 0), (40, 30), (40 + left, 30 + up), (left, up)]
    assert_is_exactly(closed(points, ["stringer edge", None, "bottom rail", None]), Fraction(4, 3))


def test_circle_on_four_walls_at_once():
    assert_is_exactly(closed([(0, 0), (6, 0), (6, 6), (0, 6)]), Fraction(6))


def test_circle_of_two_that_tie():
    """Two equal rooms joined by a neck: whichever is taken, the answer is the same."""
    points = [(0, 0), (4, 0), (4, 1), (6, 1), (6, 0), (10, 0), (10, 4), (6, 4), (6, 3), (4, 3),
              (4, 4), (0, 4)]  # fmt: skip
    shape = closed([(Fraction(x), Fraction(y)) for x, y in points])
    # the neck between the rooms is 2 wide and the rooms are 4 by 4
    assert_is_exactly(shape, Fraction(4))
    wider = [(x + (Fraction(1, 10**13) if x == 10 else 0), y) for x, y in points]
    assert compare_largest_circle(closed(wider), Fraction(4)) == 0
    both = [(x, y + (Fraction(1, 10**13) if (y == 4 and x >= 6) else 0)) for x, y in wider]
    assert compare_largest_circle(closed(both), Fraction(4)) == 1


def test_wall_doubled_with_a_hair_between_still_counts():
    """A second rail, a hair below the first: the first one's circle does not fit any more."""
    rail = Edge((Fraction(12), Fraction(9) - HAIR / 10), (Fraction(0), -HAIR / 10), "side 2")
    points = [(Fraction(0), Fraction(0)), (Fraction(12), Fraction(0)), (Fraction(12), Fraction(9))]
    assert compare_largest_circle(closed(points), Fraction(6)) == 0
    assert compare_largest_circle(closed(points, beyond=(rail,)), Fraction(6)) == -1


# ---- angles ---------------------------------------------------------------------------------


@pytest.mark.parametrize("degrees", [30, 36, 37, 41, 45])
def test_circle_under_a_rail_at_an_angle_in_degrees(degrees):
    """Run 10, rise ``10 tan θ``: ``d = rise + run - run / cos θ``, compared as an exact number."""
    angle = sympy.Rational(degrees, 180) * sympy.pi
    run, rise = sympy.Integer(10), 10 * sympy.tan(angle)
    shape = closed([(sympy.Integer(0), sympy.Integer(0)), (run, sympy.Integer(0)), (run, rise)])
    diameter = rise + run - run / sympy.cos(angle)
    assert compare_largest_circle(shape, diameter) == 0
    assert compare_largest_circle(shape, diameter + sympy.Rational(1, 10**12)) == -1
    assert compare_largest_circle(shape, diameter - sympy.Rational(1, 10**60)) == 1


# ---- at random ------------------------------------------------------------------------------

lengths = st.fractions(-20, 20, max_denominator=32)


@given(*[lengths] * 6)
@settings(max_examples=36, deadline=None)
def test_circle_in_triangle_against_fifty_digits(ax, ay, bx, by, cx, cy):
    """``2 r = 4 area / perimeter`` in 80 digits by another route; 10**-50 either side decides."""
    area = abs((bx - ax) * (cy - ay) - (cx - ax) * (by - ay)) / 2
    assume(area > Fraction(1, 10))
    with mpmath.workdps(80):
        corners = [
            tuple(mpmath.mpf(value.numerator) / value.denominator for value in corner)
            for corner in ((ax, ay), (bx, by), (cx, cy))
        ]
        around = sum(
            mpmath.hypot(p[0] - q[0], p[1] - q[1])
            for p, q in zip(corners, corners[1:] + corners[:1], strict=True)
        )
        diameter = 4 * mpmath.mpf(area.numerator) / area.denominator / around
        near = Fraction(int(mpmath.floor(diameter * mpmath.mpf(10) ** 55)), 10**55)
    shape = closed([(ax, ay), (bx, by), (cx, cy)])
    step = Fraction(1, 10**50)
    assert compare_largest_circle(shape, near + step) == -1
    assert compare_largest_circle(shape, near - step) == 1


def _random_shape(rng):
    count = rng.randint(3, 8)
    angles = sorted(rng.uniform(0, math.tau) for _ in range(count))
    points = []
    for angle in angles:
        r = rng.uniform(3, 10)
        points.append(
            (
                Fraction(round(32 * r * math.cos(angle)), 32),
                Fraction(round(32 * r * math.sin(angle)), 32),
            )
        )
    names = [None if rng.random() < 0.25 else f"side {i}" for i in range(count)]
    return points, names


@pytest.mark.parametrize("seed", range(60))
def test_exact_comparison_is_where_the_float_is(seed):
    """Bisected by exact comparisons alone, the limit converges to the float's diameter."""
    rng = random.Random(seed)
    points, names = _random_shape(rng)
    if not any(names):
        names[0] = "side 0"
    shape = closed(points, names)
    diameter = largest_circle(shape).diameter
    low, high = Fraction(diameter) - Fraction(1, 10**10), Fraction(diameter) + Fraction(1, 10**10)
    assert compare_largest_circle(shape, low) == 1
    assert compare_largest_circle(shape, high) == -1
    for _ in range(14):
        middle = (low + high) / 2
        order = compare_largest_circle(shape, middle)
        low, high = (middle if order >= 0 else low), (middle if order <= 0 else high)
    assert float(low) == pytest.approx(diameter, abs=2e-14)


@given(st.integers(0, 10**6), st.fractions(Fraction(1, 8), 8, max_denominator=64))
@settings(max_examples=24, deadline=None)
def test_exact_comparison_scales(seed, factor):
    """A tie stays a tie in another unit, and so do a hair more and a hair less."""
    step = STEPS[seed % 4]
    rise, run, slope = (side * factor for side in step)
    turn = Fraction(3, 5), Fraction(4, 5)
    points = [(Fraction(0), Fraction(0)), (run, Fraction(0)), (run, rise)]
    turned = [(turn[0] * x - turn[1] * y + seed, turn[1] * x + turn[0] * y - 7) for x, y in points]
    assert_is_exactly(closed(turned), rise + run - slope)


def test_more_walls_than_can_be_taken_by_threes():
    """A regular 24-gon: all sides are touched at once."""
    points = [
        (Fraction(math.cos(k * math.tau / 24)), Fraction(math.sin(k * math.tau / 24)))
        for k in range(24)
    ]
    shape, diameter = closed(points), Fraction(2 * math.cos(math.pi / 24))
    assert compare_largest_circle(shape, diameter + Fraction(1, 10**10)) == -1
    assert compare_largest_circle(shape, diameter - Fraction(1, 10**10)) == 1


def test_exact_comparison_of_fractions_loads_no_computer_algebra():
    code = (
        "import sys\n"
        "from fractions import Fraction as F\n"
        "from stairs.shapes.circle import Edge, Shape, compare_largest_circle, largest_circle\n"
        "a, b, c = (F(0), F(0)), (F(12), F(0)), (F(12), F(7))\n"
        "edges = Edge(a, b, 'tread'), Edge(b, c, 'riser'), Edge(c, a, 'rail')\n"
        "shape = Shape(edges)\n"
        "circle = largest_circle(shape)\n"
        "assert compare_largest_circle(shape, F(circle.diameter) + F(1, 10**11)) == -1\n"
        "heavy = 'sympy', 'mpmath', 'numpy', 'matplotlib'\n"
        "print([name for name in heavy if name in sys.modules])"
    )
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert out.stdout.strip() == "[]"
