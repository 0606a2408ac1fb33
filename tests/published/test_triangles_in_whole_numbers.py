"""Triangles whose sides and inscribed circle are whole numbers, as mathematics pages print them."""

from fractions import Fraction

import pytest

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
