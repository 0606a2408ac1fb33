"""Triangles whose sides and inscribed circle are whole numbers, as mathematics pages print them."""

from fractions import Fraction

import pytest

from stairs.relations.inverse import solve_for
from stairs.shapes.circle import Edge, Shape, compare_largest_circle, largest_circle

TRIANGLES = {
    (6, 8, 10): 2,
    (14, 48, 50): 6,
    (13, 14, 15): 4,
}


def triangle(sides) -> Shape:
    """With its second side level; the apex by the law of cosines."""
    a, b, c = map(Fraction, sides)
    x = (b * b + a * a - c * c) / (2 * b)
    height = {36: Fraction(6), 196: Fraction(14), 144: Fraction(12)}[a * a - x * x]
    corners = [(Fraction(0), Fraction(0)), (b, Fraction(0)), (x, height)]
    pairs = zip(corners, corners[1:] + corners[:1], strict=True)
    return Shape(tuple(Edge(start, end, f"side {k}") for k, (start, end) in enumerate(pairs, 1)))


@pytest.mark.parametrize(("sides", "radius"), TRIANGLES.items(), ids=str)
def test_inscribed_circle_as_printed(sides, radius):
    shape = triangle(sides)
    circle = largest_circle(shape)
    assert circle.radius == pytest.approx(radius, rel=1e-12)
    assert len(circle.leans_on) == 3
    assert compare_largest_circle(shape, Fraction(2 * radius)) == 0
    assert compare_largest_circle(shape, 2 * radius + Fraction(1, 10**15)) == -1


@pytest.mark.parametrize(("rise", "run", "radius"), [(6, 8, 2), (14, 48, 6)], ids=str)
def test_step_from_the_printed_radius(rise, run, radius):
    """Right triangles are steps with the rail on the nosing line: each leg from circle and leg."""
    line = {"bottom_gap": 0, "corner_base": run, "unit_run": run}
    (found,) = solve_for("unit_rise", "corner_circle", 2 * radius, line).taken
    assert found.exact == rise
    line = {"bottom_gap": 0, "unit_rise": rise, "unit_run": run}
    (found,) = solve_for("corner_base", "corner_circle", 2 * radius, line).taken
    assert found.exact == run
