"""The largest square in a polygon, against formulas, dense sampling and its own symmetries."""

import math
import random

import pytest
from shapely import affinity
from shapely.geometry import Polygon, box

from stairs.relations import closed_forms as form
from stairs.shapes.circle import Edge, Shape, largest_circle
from stairs.shapes.square import CERTAIN, edge_at, is_smaller, largest_square


def shape_of(points):
    return Shape(
        tuple(
            Edge(a, b, f"side {k}")
            for k, (a, b) in enumerate(zip(points, points[1:] + points[:1], strict=True))
        )
    )


def star(dice):
    """A polygon about the origin, with corners that stick in."""
    count = dice.randint(4, 9)
    return [
        (r * math.cos(2 * math.pi * k / count), r * math.sin(2 * math.pi * k / count))
        for k, r in enumerate(dice.uniform(1, 5) for _ in range(count))
    ]


@pytest.mark.parametrize(("p", "q"), [(12, 9), (10, 7), (15, 8), (4, 40), (5, 5)])
def test_right_angled_triangle(p, q):
    """The square sits in the right angle: p q / (p + q), larger than one on the long side."""
    square = largest_square(shape_of([(0, 0), (p, 0), (p, q)]))
    assert square.edge <= p * q / (p + q) * (1 + 1e-12) <= square.bound * (1 + 1e-12)
    assert square.bound <= square.edge * (1 + CERTAIN)
    assert form.corner_square(0, p, q, p) == pytest.approx(p * q / (p + q))
    c = math.hypot(p, q)
    assert p * q * c / (p * q + c * c) < square.edge


def test_equilateral_triangle():
    """On a side of length 1: 2 √3 - 3."""
    square = largest_square(shape_of([(0, 0), (1, 0), (0.5, math.sqrt(3) / 2)]))
    assert square.edge == pytest.approx(2 * math.sqrt(3) - 3, rel=CERTAIN)


def test_strip_is_as_large_as_it_is_high():
    turned = [(x * 0.8 - y * 0.6, x * 0.6 + y * 0.8) for x, y in [(0, 0), (9, 0), (9, 2), (0, 2)]]
    assert largest_square(shape_of(turned)).edge == pytest.approx(2, rel=CERTAIN)


@pytest.mark.parametrize("seed", range(12))
def test_random_polygons(seed):
    """It fits, no sampled square is larger, and it lies between D / √2 and D."""
    dice = random.Random(seed)
    points = star(dice)
    polygon, square = Polygon(points), largest_square(shape_of(points))
    unit = box(-0.5, -0.5, 0.5, 0.5)

    def placed(x, y, angle, edge):
        turned = affinity.rotate(affinity.scale(unit, edge, edge), angle, origin=(0, 0))
        return affinity.translate(turned, x, y)

    ours = placed(*square.center, square.angle, square.edge * (1 - 1e-9))
    assert polygon.buffer(1e-9).covers(ours)
    diameter = largest_circle(shape_of(points)).diameter
    assert diameter / math.sqrt(2) * (1 - CERTAIN) <= square.edge <= diameter * (1 + CERTAIN)
    assert square.edge <= square.bound <= square.edge * 1.02  # wide only where many are alike
    reach = 0.3 * square.edge
    for turn in range(1500):  # half of them everywhere, half near the answer
        x, y = (value + dice.uniform(-reach, reach) for value in square.center)
        angle = square.angle + dice.uniform(-20, 20)
        if turn % 2:
            x, y, angle = dice.uniform(-5, 5), dice.uniform(-5, 5), dice.uniform(0, 90)
        assert not polygon.contains(placed(x, y, angle, square.bound * (1 + 1e-9)))


def test_bound_is_tight_for_nearly_all():
    squares = [largest_square(shape_of(star(random.Random(seed)))) for seed in range(12)]
    assert sum(square.bound <= square.edge * (1 + CERTAIN) for square in squares) >= 10


@pytest.mark.parametrize("seed", range(4))
def test_scaled_and_mirrored(seed):
    points = star(random.Random(100 + seed))
    edge = largest_square(shape_of(points)).edge
    mirrored = [(-x, y) for x, y in reversed(points)]
    assert largest_square(shape_of(mirrored)).edge == pytest.approx(edge, rel=2 * CERTAIN)
    larger = [(x * 1000 + 70, y * 1000 - 3) for x, y in points]
    assert largest_square(shape_of(larger)).edge == pytest.approx(1000 * edge, rel=2 * CERTAIN)


def test_open_edge_bounds_the_centre_only():
    """A square may stick out over an open edge by half its own size."""
    edges = (
        Edge((0, 0), (4, 0), "floor"),
        Edge((4, 0), (4, 9), "post"),
        Edge((4, 9), (0, 9), "top"),
    )
    room = Shape((*edges, Edge((0, 9), (0, 0), None)))
    assert largest_square(room).edge == pytest.approx(8, rel=CERTAIN)


@pytest.mark.parametrize("seed", range(8))
def test_smaller_is_decided_as_the_largest_square_measures(seed):
    """On either side of the largest square, and never "smaller" where it is as large."""
    shape = shape_of(star(random.Random(300 + seed)))
    square = largest_square(shape)
    for part in (0.5, 0.8, 0.99, 1 - 1e-5, 1.0):
        assert not is_smaller(shape, square.edge * part)
    for part in (1.5, 1.2, 1.01, 1 + 1e-4):
        assert is_smaller(shape, square.bound * part)


def test_a_square_stands_against_the_nosing_where_the_riser_is_too_low_for_it():
    """Run 10, nosing 1 with a thick lip: the square beside the lip has the run as its base."""
    corners = [(0, 0), (11, 0), (11, 3), (10, 3), (10, 14), (-3, 4.9)]
    square = largest_square(shape_of(corners))
    # its upper left corner, at x = 10 - a, lies on the rail y = 7 + 0.7 x
    edge = (7 + 0.7 * 10) / 1.7
    assert square.edge >= edge * (1 - CERTAIN)
    assert edge_at(shape_of(corners), 10 - edge / 2, edge / 2, 0) == pytest.approx(edge)
