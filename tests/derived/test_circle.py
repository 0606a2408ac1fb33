"""The largest circle in an opening against shapely, against a search of its own, and by hand."""

import math
import random
from fractions import Fraction

import numpy as np
import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st

from stairs.errors import NoSuchShape
from stairs.shapes.circle import Corner, Edge, Shape, compare_largest_circle, largest_circle


def closed(points, names=None):
    """A shape whose every side is a wall."""
    count = len(points)
    names = names or [f"side {i}" for i in range(count)]
    return Shape(tuple(Edge(points[i], points[(i + 1) % count], names[i]) for i in range(count)))


# ---- shapes ---------------------------------------------------------------------------------


def star(rng):
    """A random polygon seen whole from its middle, with reflex corners."""
    count = rng.randint(3, 14)
    angles = sorted(rng.uniform(0, math.tau) for _ in range(count))
    radii = [rng.uniform(0.2, 1.0) for _ in angles]
    size = 10 ** rng.uniform(-2, 4)
    x0, y0 = rng.uniform(-5, 5) * size, rng.uniform(-5, 5) * size
    return [
        (x0 + size * r * math.cos(angle), y0 + size * r * math.sin(angle))
        for r, angle in zip(radii, angles, strict=True)
    ]


def pocket(rng):
    """The corners of a random opening over a tread, and which sides are open necks.

    From the left: the front edge of the tread, the riser (often raked back, with an overhanging
    nosing), the neck up to the rail, the rail, and the neck down to the front edge.
    """
    rise, run = rng.uniform(4, 9), rng.uniform(6, 14)
    nosing = rng.choice([0, rng.uniform(0.3, 1.5)])
    thick = rng.uniform(0.3, 0.8) * min(rise, 2)
    back = rng.choice([0, rng.uniform(0, 1.5)])
    gap = rng.uniform(0.05, 8)
    square = rise * rise + run * run
    lift = -gap * rise * run / square, gap * run * run / square
    right = [(run + nosing, 0.0)]
    if nosing:
        right += [(run + nosing + back, rise - thick), (run, rise - thick)]
    right.append((run, rise))
    points = [(0.0, 0.0), *right, (run + lift[0], rise + lift[1]), lift]
    turn = rng.choice([0, 0, rng.uniform(0, math.tau)])
    points = [
        (x * math.cos(turn) - y * math.sin(turn), x * math.sin(turn) + y * math.cos(turn))
        for x, y in points
    ]
    return points, {len(points) - 3, len(points) - 1}


def ell(rng):
    """A room with a corner cut out of it: two arms that narrow or widen, and a reflex corner."""
    a, b = rng.uniform(1, 10), rng.uniform(1, 10)
    c, d = rng.uniform(0.1, 0.95) * a, rng.uniform(0.1, 0.95) * b
    first, second = rng.choice((-1, 1)), rng.choice((-1, 1))
    low, high, left, right = (rng.uniform(0.02, 0.2) for _ in range(4))
    return [
        (0, 0),
        (a, -first * low * a),
        (a, d + first * high * (a - c)),
        (c, d),
        (c + second * right * (b - d), b),
        (-second * left * b, b),
    ]


def closed_polygons(seed, count):
    """Random polygons without crossings, of every kind in turn."""
    rng = random.Random(seed)
    made = 0
    while made < count:
        points = (star, lambda r: pocket(r)[0], ell)[made % 3](rng)
        polygon = shapely.Polygon(points)
        if polygon.is_valid and polygon.area > 1e-4 * size_of(points) ** 2:
            made += 1
            yield points, polygon


def size_of(points):
    xs, ys = zip(*points, strict=True)
    return max(max(xs) - min(xs), max(ys) - min(ys))


# ---- against shapely ------------------------------------------------------------------------


def assert_agrees_with_shapely(points, polygon, part):
    size = size_of(points)
    circle = largest_circle(closed(points))
    # arms with parallel sides are left out: there shapely stops before it is that accurate
    oracle = shapely.maximum_inscribed_circle(polygon, tolerance=part / 4 * size).length
    assert abs(circle.radius - oracle) <= part * size, points
    center = shapely.Point(circle.center)
    assert polygon.contains(center)
    assert abs(polygon.exterior.distance(center) - circle.radius) <= 1e-11 * (
        size + max(map(abs, circle.center))
    )


@pytest.mark.parametrize("seed", range(4))
def test_circle_agrees_with_shapely(seed):
    for points, polygon in closed_polygons(seed, 600):
        assert_agrees_with_shapely(points, polygon, 1e-8)


@pytest.mark.fuzz
@pytest.mark.parametrize("seed", range(100, 110))
def test_circle_agrees_with_shapely_to_nine_digits(seed):
    for points, polygon in closed_polygons(seed, 1000):
        assert_agrees_with_shapely(points, polygon, 1e-9)


# ---- open edges, against a search that knows no formulas ------------------------------------


def distances(where, ends):
    """Distance of each point to each segment, as an array."""
    start, end = ends[:, 0], ends[:, 1]
    along = end - start
    offset = where[:, None] - start
    share = (offset * along).sum(-1) / (along**2).sum(-1)
    nearest = start + np.clip(share, 0, 1)[..., None] * along
    return np.hypot(*np.moveaxis(where[:, None] - nearest, -1, 0))


def inside(where, loop):
    (ax, ay), (bx, by) = loop[:, 0].T, loop[:, 1].T
    x, y = where[:, :1], where[:, 1:]
    with np.errstate(divide="ignore", invalid="ignore"):
        crosses = ((ay > y) != (by > y)) & (x < ax + (y - ay) / (by - ay) * (bx - ax))
    return crosses.sum(-1) % 2 == 1


def highest_radius(shape, part):
    """A bound on the largest clearance, no more than a part of the size above it.

    Boxes are halved until they are small, and those dropped that cannot hold the best center: one
    with ``clear`` at its middle and corners ``reach`` away holds at most ``clear + reach``, and,
    where it meets the outline, at least ``clear - reach``.
    """
    loop = np.array([(edge.start, edge.end) for edge in shape.edges], float)
    walls = [edge for edge in shape.edges + shape.beyond if edge.name]
    walls = np.array([(edge.start, edge.end) for edge in walls], float)
    low, high = loop.min((0, 1)), loop.max((0, 1))
    size = (high - low).max()
    half = size / 16
    ticks = np.arange(8) * 2 * half + half
    boxes = low + np.stack(np.meshgrid(ticks, ticks), -1).reshape(-1, 2)
    while True:
        reach = half * math.sqrt(2)
        boxes = boxes[inside(boxes, loop) | (distances(boxes, loop).min(-1) <= reach)]
        clear = distances(boxes, walls).min(-1)
        boxes = boxes[clear + reach >= clear.max() - reach]
        if 2 * reach < part * size:
            return clear.max() + reach
        half /= 2
        steps = np.array([(i, k) for i in (-half, half) for k in (-half, half)])
        boxes = (boxes[:, None] + steps).reshape(-1, 2)


def open_shapes(seed, count):
    """Pockets with open necks and walls beyond them, and random polygons with open sides."""
    rng = random.Random(seed)
    for number in range(count):
        if number % 2:
            points, necks = pocket(rng)
        else:
            points = star(rng)
            necks = {i for i in range(len(points)) if rng.random() < 0.3}
            if len(necks) == len(points):
                necks.pop()
        if not shapely.Polygon(points).is_valid:
            continue
        names = [None if i in necks else f"side {i}" for i in range(len(points))]
        beyond = ()
        if number % 4 in (1, 2):
            size = size_of(points)
            x, y = points[rng.randrange(len(points))]
            x, y = x + rng.uniform(-1, 1) * size, y + rng.uniform(-1, 1) * size
            beyond = (Edge((x, y), (x + rng.uniform(-1, 1) * size, y + size), "post 1"),)
        yield Shape(closed(points, names).edges, beyond)


def assert_agrees_with_search(shape, part):
    """The circle fits, and no other can be larger by more than a part of the size."""
    size = size_of([edge.start for edge in shape.edges])
    circle = largest_circle(shape)
    center = np.array([circle.center])
    near = 1e-11 * (size + max(map(abs, circle.center)))
    loop = np.array([(edge.start, edge.end) for edge in shape.edges])
    walls = [edge for edge in shape.edges + shape.beyond if edge.name]
    walls = np.array([(edge.start, edge.end) for edge in walls])
    assert inside(center, loop)[0] or distances(center, loop).min() <= near
    assert abs(distances(center, walls).min() - circle.radius) <= near
    assert circle.radius >= highest_radius(shape, part / 2) - part * size, shape


@pytest.mark.parametrize("seed", range(4))
def test_circle_with_open_edges_agrees_with_search(seed):
    for shape in open_shapes(seed, 150):
        assert_agrees_with_search(shape, 1e-6)


@pytest.mark.fuzz
@pytest.mark.parametrize("seed", range(100, 110))
def test_circle_with_open_edges_agrees_with_finer_search(seed):
    for shape in open_shapes(seed, 300):
        assert_agrees_with_search(shape, 1e-9)


def tiled_rooms(seed, count):
    """Rooms of unit squares, some turned by 45 degrees: many walls in line, parallel or tied."""
    rng = random.Random(seed)
    while count:
        k = rng.randint(2, 5)
        tiles = [(i, j) for i in range(k) for j in range(k) if rng.random() < 0.75]
        room = shapely.union_all([shapely.box(i, j, i + 1, j + 1) for i, j in tiles])
        if room.geom_type != "Polygon" or room.interiors or room.is_empty:
            continue
        points = list(room.exterior.coords)[:-1]
        if rng.random() < 0.3:
            points = [(x + y, y - x) for x, y in points]
        names = [None if rng.random() < 0.2 else f"side {i}" for i in range(len(points))]
        if any(names):
            count -= 1
            yield closed(points, names)


@pytest.mark.parametrize("seed", range(2))
def test_circle_in_rooms_of_tiles_agrees_with_search(seed):
    for shape in tiled_rooms(seed, 75):
        assert_agrees_with_search(shape, 2e-3)
        diameter = largest_circle(shape).diameter
        hair = Fraction(1, 10**11)
        assert compare_largest_circle(shape, Fraction(diameter) + hair) == -1
        assert compare_largest_circle(shape, Fraction(diameter) - hair) == 1
        half = Fraction(round(2 * diameter), 2)
        if abs(half - Fraction(diameter)) < hair:
            assert compare_largest_circle(shape, half) == 0


# ---- by hand --------------------------------------------------------------------------------


@pytest.mark.parametrize("sides", [(3, 4, 5), (5, 12, 13), (8, 15, 17), (7, 24, 25)])
@pytest.mark.parametrize("factor", [1, 1.5, 25.4])
def test_circle_in_right_triangle_is_rise_plus_run_less_hypotenuse(sides, factor):
    rise, run, slope = (factor * side for side in sides)
    circle = largest_circle(closed([(0, 0), (run, 0), (run, rise)]))
    assert circle.diameter == pytest.approx(rise + run - slope, rel=1e-14)
    assert len(circle.leans_on) == 3


@given(*[st.floats(-10, 10)] * 6)
def test_circle_in_triangle_is_area_over_half_the_perimeter(ax, ay, bx, by, cx, cy):
    points = (ax, ay), (bx, by), (cx, cy)
    area = abs((bx - ax) * (cy - ay) - (cx - ax) * (by - ay)) / 2
    sides = [math.dist(points[i], points[i - 1]) for i in range(3)]
    assume(area > 1e-3)
    circle = largest_circle(closed(points))
    assert circle.radius == pytest.approx(area / (sum(sides) / 2), rel=1e-10)


def test_circle_in_strip_is_as_wide_as_the_strip():
    floor, ceiling = Edge((0, 0), (40, 0), "floor"), Edge((40, 3), (0, 3), "rail")
    ends = Edge((40, 0), (40, 3), None), Edge((0, 3), (0, 0), None)
    circle = largest_circle(Shape((floor, ends[0], ceiling, ends[1])))
    assert circle.diameter == pytest.approx(3, rel=1e-15)
    assert circle.leans_on == ("floor", "rail")


def test_circle_in_square_leans_on_four_sides():
    circle = largest_circle(closed([(0, 0), (2, 0), (2, 2), (0, 2)]))
    assert (circle.center, circle.diameter) == ((1, 1), 2)
    assert circle.leans_on == ("side 0", "side 1", "side 2", "side 3")
    assert not circle.on_open_edge


def test_circle_in_ell_leans_on_two_walls_and_the_reflex_corner():
    """Square to both outer walls ``r``, and ``√2 (1 - r) = r`` from the corner: ``r = 2 - √2``."""
    points = [(0, 0), (2, 0), (2, 1), (1, 1), (1, 2), (0, 2)]
    circle = largest_circle(closed(points))
    assert circle.radius == pytest.approx(2 - math.sqrt(2), rel=1e-14)
    assert circle.leans_on == ("side 0", Corner("side 2", "side 3"), "side 5")
    named = Shape(closed(points).edges, corners=(((1, 1), "nosing 3"),))
    assert largest_circle(named).leans_on == ("side 0", "nosing 3", "side 5")


@given(st.floats(0.1, 10), st.floats(0.1, 10))
def test_circle_in_ell_of_long_arms(c, d):
    """Arms ``c`` and ``d`` wide.

    Leaning on the reflex corner ``(c, d)`` and both outer walls: ``(c - r)² + (d - r)² = r²``, so
    ``r = c + d - √(2 c d)``, as long as the corner is met from within both arms, ``r <= c, d``:
    that is ``c <= 2 d`` and ``d <= 2 c``.  Otherwise the wider arm holds the largest.
    """
    far = 4 * max(c, d)
    circle = largest_circle(closed([(0, 0), (far, 0), (far, d), (c, d), (c, far), (0, far)]))
    both = c / 2 <= d <= 2 * c
    assert circle.radius == pytest.approx(
        c + d - math.sqrt(2 * c * d) if both else max(c, d) / 2, rel=1e-11
    )


def test_circle_between_three_corners_is_their_circumcircle():
    """Three posts' corners at (0, 0), (8, 0) and (4, 8): the center is 5 from all of them."""
    tips = ((0, 0), (-1, -3)), ((8, 0), (9, -3)), ((4, 8), (4, 11))
    posts = tuple(Edge(tip, foot, f"post {i}") for i, (tip, foot) in enumerate(tips, 1))
    loop = closed([(0, 0), (8, 0), (4, 8)], [None] * 3).edges
    circle = largest_circle(Shape(loop, posts))
    assert circle.center == pytest.approx((4, 3), rel=1e-14)
    assert circle.radius == pytest.approx(5, rel=1e-14)
    assert circle.leans_on == ("post 1", "post 2", "post 3")


def test_circle_held_by_an_open_edge_says_so():
    """In a notch of two walls at 45 degrees the center stays on the open top, 1/√2 from both."""
    names = ["left", "right", None]
    notch = closed([(-1, 1), (0, 0), (1, 1)], names)
    circle = largest_circle(notch)
    assert circle.center == pytest.approx((0, 1), abs=1e-14)
    assert circle.radius == pytest.approx(math.sqrt(0.5), rel=1e-14)
    assert circle.leans_on == ("left", "right")
    assert circle.on_open_edge


def test_circle_where_two_open_edges_meet():
    circle = largest_circle(closed([(0, 4), (0, 0), (3, 2)], ["wall", None, None]))
    assert circle.center == pytest.approx((3, 2))
    assert circle.radius == pytest.approx(3)
    assert (circle.leans_on, circle.on_open_edge) == (("wall",), True)


def test_circle_leans_on_the_end_of_a_wall_where_the_outline_is_convex():
    """A nosing at the origin is 5 from (3, 4), and so are a rail at y = 9 and a post at x = 8."""
    points = [(-6, 0), (0, 0), (8, 1), (8, 9), (-6, 9)]
    circle = largest_circle(closed(points, ["tread", None, "post", "rail", None]))
    assert circle.center == pytest.approx((3, 4))
    assert circle.radius == pytest.approx(5)
    assert circle.leans_on == ("tread", "post", "rail")
    assert circle.contacts[0] == pytest.approx((0, 0), abs=1e-12)


def test_circle_is_not_counted_twice_on_a_wall_given_twice():
    triangle = closed([(0, 0), (12, 0), (12, 9)], ["tread 1", "riser 2", "bottom rail"])
    rail = Edge((-12, -9), (24, 18), "bottom rail")
    circle = largest_circle(Shape(triangle.edges, (rail,)))
    assert circle.leans_on == ("tread 1", "riser 2", "bottom rail")
    assert circle.diameter == pytest.approx(6, rel=1e-14)


def test_circle_of_many_equal_sides():
    points = [(math.cos(k * math.tau / 24), math.sin(k * math.tau / 24)) for k in range(24)]
    circle = largest_circle(closed(points))
    assert circle.radius == pytest.approx(math.cos(math.pi / 24), rel=1e-12)
    assert len(circle.leans_on) == 24


@pytest.mark.parametrize("width", [1e-3, 1e-6, 1e-9])
def test_circle_in_sliver(width):
    circle = largest_circle(closed([(0, 0), (1, 0), (1, width), (0, width)]))
    assert circle.diameter == pytest.approx(width, rel=1e-5)


def test_circle_without_room_has_no_size():
    circle = largest_circle(closed([(0, 0), (4, 0), (4, 0), (1, 0)]))
    assert circle.radius == 0


def test_circle_far_from_the_origin_loses_nothing_but_the_digits_of_the_coordinates():
    far = 2.0**30
    points = [(far, far), (far + 12, far), (far + 12, far + 9)]
    assert largest_circle(closed(points)).diameter == pytest.approx(6, rel=1e-14)


# ---- properties -----------------------------------------------------------------------------


@st.composite
def polygons(draw):
    rng = random.Random(draw(st.integers(0, 2**32)))
    points = draw(st.sampled_from([star, ell, lambda r: pocket(r)[0]]))(rng)
    assume(shapely.Polygon(points).is_valid)
    size = size_of(points)
    return [(x / size, y / size) for x, y in points]


def radius(points):
    return largest_circle(closed(points)).radius


@given(polygons(), st.floats(-100, 100), st.floats(-100, 100))
def test_circle_does_not_change_when_moved(points, right, up):
    moved = [(x + right, y + up) for x, y in points]
    assert radius(moved) == pytest.approx(radius(points), abs=1e-12)


@given(polygons())
def test_circle_does_not_change_in_a_mirror(points):
    mirrored = [(-x, y) for x, y in reversed(points)]
    assert radius(mirrored) == pytest.approx(radius(points), abs=1e-13)


@given(polygons(), st.floats(1e-6, 1e6))
def test_circle_grows_with_the_opening(points, factor):
    scaled = [(factor * x, factor * y) for x, y in points]
    assert radius(scaled) == pytest.approx(factor * radius(points), rel=1e-11)


@given(polygons(), st.floats(-3.2, 3.2))
def test_circle_turns_with_the_opening(points, angle):
    c, s = math.cos(angle), math.sin(angle)
    turned = [(c * x - s * y, s * x + c * y) for x, y in points]
    assert radius(turned) == pytest.approx(radius(points), abs=1e-12)


@given(polygons(), st.integers(0, 20))
def test_circle_does_not_depend_on_where_the_outline_starts(points, shift):
    shift %= len(points)
    assert radius(points[shift:] + points[:shift]) == pytest.approx(radius(points), abs=1e-13)


@given(polygons(), st.floats(-3.2, 3.2), st.floats(0.1, 0.9))
def test_circle_never_grows_when_a_wall_cuts_the_opening(points, angle, share):
    """A straight wall across the opening leaves pieces, none with a larger circle."""
    c, s = math.cos(angle), math.sin(angle)
    across = [c * x + s * y for x, y in points]
    at = min(across) + share * (max(across) - min(across))
    far = 1e3
    half_plane = shapely.Polygon(
        [(c * at + k * s + d * c, s * at - k * c + d * s)
         for k, d in ((-far, 0), (far, 0), (far, far), (-far, far))]
    )  # fmt: skip
    whole = radius(points)
    pieces = shapely.get_parts(shapely.Polygon(points).intersection(half_plane))
    for piece in pieces:
        if piece.geom_type == "Polygon" and piece.area > 1e-9:
            assert radius(list(piece.exterior.coords)[:-1]) <= whole + 1e-11


@given(polygons(), st.randoms(use_true_random=False), st.floats(1e-9, 1e-2))
def test_circle_changes_no_more_than_the_corners_move(points, rng, most):
    """So it is continuous wherever it changes what it leans on."""
    moved = [
        (x + most * math.cos(turn), y + most * math.sin(turn))
        for (x, y), turn in ((point, rng.uniform(0, math.tau)) for point in points)
    ]
    assume(shapely.Polygon(moved).is_valid)
    assert abs(radius(moved) - radius(points)) <= most + 1e-12


@given(polygons())
def test_circle_touches_all_it_leans_on_and_nothing_cuts_it(points):
    shape = closed(points)
    circle = largest_circle(shape)
    assert len(circle.leans_on) == len(circle.contacts) >= 2
    for contact in circle.contacts:
        assert math.dist(contact, circle.center) == pytest.approx(circle.radius, abs=2e-9)
    ends = np.array([(edge.start, edge.end) for edge in shape.edges])
    away = distances(np.array([circle.center]), ends)[0]
    assert away.min() == pytest.approx(circle.radius, abs=1e-13)
    touching = {f"side {i}" for i in np.flatnonzero(away <= circle.radius + 1e-10)}
    named = {
        name
        for side in circle.leans_on
        for name in ((side.first, side.second) if isinstance(side, Corner) else (side,))
    }
    assert touching <= named


# ---- errors ---------------------------------------------------------------------------------


def test_shape_that_is_not_closed_is_refused():
    edges = Edge((0, 0), (4, 0), "tread"), Edge((4, 0), (4, 3), "riser")
    message = (
        r"opening: the outline is open by 5 after \(4, 3\)\. "
        r"Every edge starts where the one before it ends\."
    )
    with pytest.raises(NoSuchShape, match=message):
        largest_circle(Shape(edges))


def test_shape_without_walls_is_refused():
    shape = closed([(0, 0), (4, 0), (4, 3)], [None] * 3)
    with pytest.raises(NoSuchShape, match="has 3 edges and no wall. At least one edge with a name"):
        largest_circle(shape)


def test_shape_without_outline_is_refused():
    with pytest.raises(NoSuchShape, match="has no outline. A closed loop of edges"):
        largest_circle(Shape((), (Edge((0, 0), (1, 0), "post 1"),)))


@pytest.mark.parametrize("value", [math.inf, -math.inf, math.nan])
def test_shape_with_a_coordinate_that_is_no_number_is_refused(value):
    shape = closed([(0, 0), (4, 0), (4, value)], ["tread", "riser", "rail"])
    with pytest.raises(NoSuchShape, match="riser: runs from .* Coordinates are finite numbers"):
        largest_circle(shape)


@pytest.mark.parametrize("corners", [
    [(2, 0), (9, 0), (9, 0), (2, 0)], [(9, 4), (2, 1), (2, 1)], [(3, 5), (3, 1), (3, 5)],
])  # fmt: skip
def test_where_there_is_no_room_the_place_farthest_left_is_told(corners):
    """Of those the lowest, as of circles that are equally large."""
    points = [(float(x), float(y)) for x, y in corners]
    edges = [
        Edge(a, b, f"wall {k}")
        for k, (a, b) in enumerate(zip(points, [*points[1:], points[0]], strict=True))
        if a != b
    ]
    circle = largest_circle(Shape(tuple(edges)))
    assert circle.radius == 0
    assert circle.center == pytest.approx(min(points), abs=1e-9)
