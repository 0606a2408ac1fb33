"""Every circle under the rail against an outside program, on thousands of random stairs.

The free space of a whole bay is built here from the parts as one would draw them: landings, treads
with their overhang, risers, the plumb faces of the two posts and the straight underside of the
rail.  Every opening's circle must fit there by shapely's distances, its radius and no less from the
walls.  That no larger one fits between the opening's two necks is proved with shapely's distances
too: no center in a box can be farther from the walls than the box's middle and its half diagonal
together, and boxes that could hold a better one are cut in four until none is left.  Shapely's own
largest circle, which is found to a tolerance and from below, may not be larger either.
"""

import random
from fractions import Fraction
from itertools import pairwise
from math import hypot

import numpy as np
import pytest
import shapely
from shapely.geometry import LineString, Point, Polygon

from stairs.guard.solving import solve_section
from stairs.job import Bracket, Job, JobFlight, Panel, PostKind
from stairs.job.key_notes import record_of

STAIRS = 300
MANY = 10_000
ACCURACY = 1e-9  # of the size of the opening's surroundings: one step along the rake
ROUGH = 1e-3  # the same for shapely's own largest circle
THIN = 1e-11  # a tread without a thickness still has two sides, a rail on the nosings two edges
MOST = 20_000  # boxes that may be open at once

UNDER = ("triangle", "foot", "head")


def sixteenths(dice, low, high):
    return Fraction(dice.randint(round(16 * low), round(16 * high)), 16)


def random_flight(dice):
    """One flight with its posts: pitch, overhang, tread thickness, gap and posts all vary."""
    risers = dice.randint(2, 6)
    rise, run = sixteenths(dice, 4, 10), sixteenths(dice, 7, 15)
    nosing = dice.choice([Fraction(0), sixteenths(dice, 0, 1.5), sixteenths(dice, 1, 4)])
    nosing = min(nosing, run - Fraction(1, 16))
    thickness = dice.choice(
        [None, sixteenths(dice, 0.5, 2), rise * Fraction(dice.randint(1, 15), 16)]
    )
    width = dice.choice([Fraction(2), Fraction(3), Fraction(4)])
    gap = dice.choice(
        [Fraction(0), sixteenths(dice, 0, 2), sixteenths(dice, 0, 6), sixteenths(dice, 4, 16)]
    )
    half = width / 2
    # the rail must still be above the lower landing at the post's face
    furthest = (rise + gap) * run / rise
    low = -min(half + sixteenths(dice, 0.0625, 9), half + furthest - Fraction(1, 4))
    low = min(low, -half - Fraction(1, 16))
    top = (risers - 1) * run
    high = top + half + sixteenths(dice, 0.0625, 14)
    treads = list(range(1, risers))
    dice.shuffle(treads)
    between = []
    for tread in sorted(treads[: dice.randint(0, min(2, len(treads)))]):
        room = run - width  # the post stands clear of the nosing above
        between.append((tread - 1) * run + half + room * Fraction(dice.randint(1, 15), 16))
    posts = [low, *between, high]
    if between and dice.random() < 0.15:
        posts = posts[1:] if dice.random() < 0.5 else posts[:-1]
    posts = [posts[0]] + [b for a, b in pairwise(posts) if b - a >= width + 4]
    if len(posts) < 2:
        posts = [low, high]
    return record_of(
        JobFlight,
        unit_rise=rise,
        unit_run=run,
        risers=risers,
        nosing=nosing,
        tread_thickness=thickness,
        bottom_gap=gap,
        posts=tuple(posts),
    ), width


def job_of(flight, width):
    return Job(
        units="in", rules="irc-2021", tape=Fraction(1, 16), measured_within=Fraction(0),
        panel=Panel(height=Fraction(32), top_rail=Fraction(7, 4), bottom_rail=Fraction(3, 2),
                    baluster=Fraction(3, 4), pitch=Fraction(9, 2)),
        bracket=Bracket(kind="plumb-cut"), post=PostKind(width=width), sections=(flight,),
    )  # fmt: skip


def floor_line(flight, low, high):
    """What one walks on from x = low to x = high, front edges and undersides included."""
    rise, run, s = (
        float(flight.steps.unit_rise),
        float(flight.steps.unit_run),
        float(flight.build.nosing),
    )
    t = max(float(flight.build.tread_thickness or 0), THIN)
    n = flight.steps.risers
    points, y = [], 0.0
    x = low
    step = 0 if low < 0 else min(int(low / run + 1e-9) + 1, n)
    y = step * rise
    points.append((x, y))
    for k in range(step + 1, n + 1):  # climb riser k
        edge = (k - 1) * run
        if edge > high + 1e-9:
            break
        if s:
            points += [(edge + s, y), (edge + s, y + rise - t), (edge, y + rise - t)]
        else:
            points.append((edge, y))
        y += rise
        points.append((edge, y))
    points.append((high, y))
    return points


def free_space(flight, low, high):
    """The bay under the rail: floor, both post faces, rail."""
    rise, run = float(flight.steps.unit_rise), float(flight.steps.unit_run)

    def rail(x):
        return rise + max(float(flight.bottom_gap), THIN) + x * rise / run

    return Polygon([*floor_line(flight, low, high), (high, rail(high)), (low, rail(low))])


def cell_of(flight, step, polygon):
    """The part of the bay that lies over one step: between the necks at the nosings next to it."""
    rise, run = float(flight.steps.unit_rise), float(flight.steps.unit_run)
    reach = 40 * run

    def half_plane(nosing, sign):
        across = np.array([-rise, run]) / hypot(rise, run)
        along = np.array([run, rise]) / hypot(rise, run) * sign
        corner = np.array(nosing)
        return Polygon([corner - reach * across, corner + reach * across,
                        corner + reach * across + 2 * reach * along,
                        corner - reach * across + 2 * reach * along])  # fmt: skip

    above = Polygon([(-reach, step * rise), (reach, step * rise), (reach, reach), (-reach, reach)])
    cell = shapely.intersection(polygon, above)
    if step >= 1:
        cell = shapely.intersection(cell, half_plane(((step - 1) * run, step * rise), 1))
    if step < flight.steps.risers:
        top = (step + 1) * rise
        # under the nosing everything up to the riser is the step's own
        under = shapely.box(-reach, -reach, reach, top)
        own = shapely.union(half_plane((step * run, top), -1), under)
        cell = shapely.intersection(cell, own)
    return cell


def straight_sides(polygon):
    """Plumb and level walls, as (place, from, to)."""
    plumb, level = [], []
    for (ax, ay), (bx, by) in pairwise(polygon.exterior.coords):
        if ax == bx:
            plumb.append((ax, min(ay, by), max(ay, by)))
        if ay == by:
            level.append((ay, min(ax, bx), max(ax, bx)))
    return plumb, level


def between_two(across, along, half, sides):
    """Half the distance of two parallel walls that a whole box lies between; else infinite."""
    below, above = np.full(across.shape, -np.inf), np.full(across.shape, np.inf)
    for place, start, end in sides:
        beside = (along - half >= start) & (along + half <= end)
        below = np.where(beside & (across - half >= place), np.maximum(below, place), below)
        above = np.where(beside & (across + half <= place), np.minimum(above, place), above)
    return (above - below) / 2


def has_room_for(polygon, cell, radius, hair):
    """Whether a circle larger than a radius by more than a hair has its center in the cell.

    The answer no is proved; yes is said where a box smaller than the hair could not be ruled out.
    """
    plumb, level = straight_sides(polygon)
    walls = polygon.exterior
    shapely.prepare(cell)
    shapely.prepare(walls)
    low_x, low_y, high_x, high_y = cell.bounds
    half = max(high_x - low_x, high_y - low_y) / 2 + hair
    x, y = np.array([(low_x + high_x) / 2]), np.array([(low_y + high_y) / 2])
    while len(x):
        reach = half * np.sqrt(2)
        room = shapely.distance(shapely.points(x, y), walls) + reach
        for across, along, sides in ((x, y, plumb), (y, x, level)):
            room = np.minimum(room, between_two(across, along, half, sides))
        left = room > radius + hair
        x, y = x[left], y[left]
        left = shapely.intersects(cell, shapely.box(x - half, y - half, x + half, y + half))
        x, y = x[left], y[left]
        if len(x) and (reach < hair / 4 or len(x) > MOST):
            return True
        half /= 2
        x, y = (
            np.concatenate([x - half, x + half, x - half, x + half]),
            np.concatenate([y - half, y - half, y + half, y + half]),
        )
    return False


def check_flight(flight, width):
    """Hold every opening of a flight against its free space; gives how many there are."""
    section = solve_section(job_of(flight, width), 0)
    size = hypot(float(flight.steps.unit_rise), float(flight.steps.unit_run))
    hair = ACCURACY * size
    half = float(width) / 2
    count = 0
    for bay, (low, high) in enumerate(pairwise(float(x) for x in flight.posts), start=1):
        polygon = free_space(flight, low + half, high - half)
        assert polygon.is_valid
        walls = polygon.exterior
        openings = [o for o in section.openings if o.kind in UNDER and o.bay == bay]
        largest = shapely.maximum_inscribed_circle(polygon, tolerance=ROUGH * size).length
        assert largest < max(opening.diameter for opening in openings) / 2 + hair
        for opening in openings:
            count += 1
            center, radius = Point(opening.center), opening.diameter / 2
            assert polygon.distance(center) < hair
            assert walls.distance(center) == pytest.approx(radius, rel=0, abs=hair)
            step = {"foot": 0, "head": flight.steps.risers}.get(opening.kind, opening.tread)
            cell = cell_of(flight, step, polygon)
            assert cell.distance(center) < hair, opening.kind
            assert not has_room_for(polygon, cell, radius, hair), opening
            assert len(opening.leans_on) >= 1
    return count


def check_flights(dice, count):
    """Hold so many random flights against their free spaces; gives the number of openings."""
    openings = 0
    for _ in range(count):
        flight, width = random_flight(dice)
        try:
            openings += check_flight(flight, width)
        except AssertionError as error:
            raise AssertionError(f"{flight!r}, posts {width} wide") from error
    return openings


@pytest.mark.parametrize("part", range(4))
def test_openings_are_the_largest_circles_of_the_free_space(part):
    """Random stairs, in four parts."""
    assert check_flights(random.Random(20_000 + part), STAIRS // 4) > 3 * STAIRS // 4


@pytest.mark.fuzz
@pytest.mark.parametrize("part", range(20))
def test_openings_are_the_largest_circles_of_ten_thousand_stairs(part):
    """The same on ten thousand other stairs, in twenty parts."""
    assert check_flights(random.Random(40_000 + part), MANY // 20) > 3 * MANY // 20


def test_room_is_seen_and_ruled_out():
    """A square of 2: its circle of 1 fits and none larger, also where it may slide in a strip."""
    for across in (2.0, 7.0):
        strip = shapely.box(0.0, 0.0, across, 2.0)
        assert not has_room_for(strip, strip, 1.0, 1e-9)
        assert has_room_for(strip, strip, 1.0 - 1e-6, 1e-9)


def test_random_stairs_hold_what_they_are_to_hold():
    """The random stairs have overhangs, thick treads, posts on treads and large gaps among them."""
    dice = random.Random(20_000)
    flights = [random_flight(dice)[0] for _ in range(300)]
    assert sum(flight.build.nosing > 0 for flight in flights) > 100
    assert (
        sum((flight.build.tread_thickness or 0) > flight.steps.unit_rise / 2 for flight in flights)
        > 20
    )
    assert sum(len(flight.posts) > 2 for flight in flights) > 60
    assert sum(flight.bottom_gap > flight.steps.unit_rise for flight in flights) > 20
    assert sum(flight.bottom_gap == 0 for flight in flights) > 40


SHAPES = {
    "plain, rail on the nosings": ({}, 0),
    "overhang": ({"nosing": Fraction(1), "tread_thickness": Fraction(5, 4)}, 1),
    "thin overhang": ({"nosing": Fraction(1)}, 1),
    "overhang and a tread almost as thick as the riser": (
        {"nosing": Fraction(3, 2), "tread_thickness": Fraction(7)}, Fraction(1, 2)),
    "gap larger than a riser": ({"nosing": Fraction(1), "tread_thickness": Fraction(1)}, 12),
    "gap larger than a riser, no overhang": ({}, 20),
    "steep": ({"unit_rise": Fraction(12), "unit_run": Fraction(6)}, 2),
    "shallow": ({"unit_rise": Fraction(3), "unit_run": Fraction(18)}, 2),
}  # fmt: skip
POSTS = {
    "on the landings": (Fraction(-4), Fraction(46)),
    "post on tread 2": (Fraction(-4), Fraction(13), Fraction(46)),
    "post near the first riser": (Fraction(-13, 8), Fraction(46)),
    "post at the edge of tread 2": (Fraction(-4), Fraction(23, 2) + Fraction(1, 16), Fraction(46)),
    "post right before riser 3": (Fraction(-4), Fraction(147, 8), Fraction(46)),
    "from tread to tread": (Fraction(5), Fraction(35)),
}


@pytest.mark.parametrize("posts", POSTS.values(), ids=POSTS)
@pytest.mark.parametrize(("changes", "gap"), SHAPES.values(), ids=SHAPES)
def test_openings_of_shapes_with_a_name(changes, gap, posts):
    """Foot, head, posts on treads, overhangs, large gaps: each with every place of the posts."""
    step = {"unit_rise": Fraction(15, 2), "unit_run": Fraction(10), **changes}
    stretch = step["unit_run"] / 10
    flight = record_of(
        JobFlight,
        risers=5,
        bottom_gap=Fraction(gap),
        posts=tuple(x * stretch if x > 0 else x for x in posts),
        **step,
    )
    if (
        flight.bottom_gap + flight.steps.unit_rise
        <= Fraction(5, 2) * flight.steps.unit_rise / flight.steps.unit_run
    ):
        pytest.skip("the rail would meet the landing before the post")
    assert check_flight(flight, Fraction(3) * min(stretch, 1)) >= 3


def test_walls_named_are_the_walls_touched():
    """What a circle leans on is as far from its center as it is large."""
    flight = record_of(
        JobFlight,
        unit_rise=Fraction(29, 4),
        unit_run=Fraction(21, 2),
        risers=6,
        nosing=Fraction(1),
        tread_thickness=Fraction(5, 4),
        bottom_gap=Fraction(5, 8),
        posts=(Fraction(-4), Fraction(57)),
    )
    section = solve_section(job_of(flight, Fraction(3)), 0)
    rail = LineString(
        [(-99, 7.25 + 0.625 - 99 * 7.25 / 10.5), (99, 7.25 + 0.625 + 99 * 7.25 / 10.5)]
    )
    parts = {
        "bottom rail": rail,
        "lower landing": LineString([(-99, 0), (1, 0)]),
        "upper landing": LineString([(52.5, 43.5), (99, 43.5)]),
        "post 1": LineString([(-2.5, -99), (-2.5, 99)]),
        "post 2": LineString([(55.5, -99), (55.5, 99)]),
    }
    for k in range(1, 7):
        edge, top = (k - 1) * 10.5, k * 7.25
        parts[f"tread {k}"] = LineString([(edge, top), (edge + 11.5, top)])
        parts[f"riser {k}"] = LineString([(edge + 1, top - 7.25), (edge + 1, top)])
    seen = 0
    for opening in section.openings:
        if opening.kind not in UNDER:
            continue
        assert len(opening.leans_on) == 3
        for name in opening.leans_on:
            away = parts[str(name)].distance(Point(opening.center))
            assert away == pytest.approx(opening.diameter / 2, rel=1e-9), (opening.kind, name)
            seen += 1
    assert seen == 21


def flush(nosing, gap, posts):
    return record_of(
        JobFlight, unit_rise=Fraction(7), unit_run=Fraction(10), risers=4, nosing=Fraction(nosing),
        tread_thickness=Fraction(5, 4), bottom_gap=Fraction(gap), posts=tuple(map(Fraction, posts)),
    )  # fmt: skip


EDGES = {
    "front edge of a tread": (["-4", "23/2", "35"], "triangle"),
    "edge of the landing": (["-4", "63/2"], "head"),
    "first nosing": (["-3/2", "35"], "foot"),
    "nosing above": (["-4", "37/2", "35"], "triangle"),
}


@pytest.mark.parametrize("nosing", [0, 1])
@pytest.mark.parametrize(
    ("place", "gap"),
    [
        *((place, 1) for place in EDGES),
        *((place, 0) for place in EDGES),
    ],
)
def test_post_face_flush_with_a_nosing(place, gap, nosing):
    """Nothing, or next to nothing, is left between such a post and the nosing."""
    posts, kind = EDGES[place]
    section = solve_section(job_of(flush(nosing, gap, posts), Fraction(3)), 0)
    plain = solve_section(job_of(flush(nosing, gap, ["-4", "35"]), Fraction(3)), 0)
    whole = [o.diameter for o in plain.openings if o.kind == "triangle"]
    found = [o.diameter for o in section.openings if o.kind == kind]
    assert all(diameter >= 0 for diameter in found)
    if kind == "triangle":
        assert max(found) == pytest.approx(max(whole), rel=1e-9)
        assert len(found) in (len(whole), len(whole) + 1)
    else:
        assert found == [] or max(found) < 2


@pytest.mark.parametrize("part", range(2))
def test_openings_over_a_closed_stringer(part):
    """Foot, strip and head between a straight stringer edge and the rail, on 200 random stairs.

    The stringer stands plumb at the first and the last nosing, its edge parallel to the rail.
    """
    dice = random.Random(30_000 + part)
    for _ in range(100):
        flight, width = random_flight(dice)
        margin = sixteenths(dice, 0, 4)
        gap = margin + sixteenths(dice, 0.0625, 6)
        posts = (min(flight.posts[0], -width / 2 - Fraction(1, 8)), flight.posts[-1])
        rise, run, n = (
            float(flight.steps.unit_rise),
            float(flight.steps.unit_run),
            flight.steps.risers,
        )
        top = (n - 1) * run
        low, high = float(posts[0] + width / 2), float(posts[1] - width / 2)
        if high <= top:
            continue
        closed = record_of(
            JobFlight, unit_rise=flight.steps.unit_rise, unit_run=flight.steps.unit_run, risers=n,
            posts=posts, bottom_gap=gap, stringer="closed", stringer_margin=margin,
        )  # fmt: skip
        section = solve_section(job_of(closed, width), 0)
        size, m, v = hypot(rise, run), float(margin), float(gap)
        polygon = Polygon(
            [(low, 0), (0, 0), (0, rise + m), (top, n * rise + m), (top, n * rise),
             (high, n * rise), (high, rise + v + high * rise / run),
             (low, rise + v + low * rise / run)]
        )  # fmt: skip
        found = {o.kind: o for o in section.openings if o.kind in (*UNDER, "under-rail")}
        assert set(found) == {"foot", "head", "under-rail"}
        largest = shapely.maximum_inscribed_circle(polygon, tolerance=ROUGH * size).length
        ours = max(opening.diameter for opening in found.values()) / 2
        assert largest - ACCURACY * size < ours < largest + 2 * ROUGH * size, (closed, width)
        for kind in ("foot", "head"):
            center, radius = Point(found[kind].center), found[kind].diameter / 2
            away = polygon.exterior.distance(center)
            assert away == pytest.approx(radius, rel=0, abs=ACCURACY * size), (closed, width)
        edge = LineString([(0, rise + m), (top, n * rise + m)])
        rail = LineString([(-99, rise + v - 99 * rise / run), (999, rise + v + 999 * rise / run)])
        assert found["under-rail"].diameter == pytest.approx(edge.distance(rail), rel=1e-9)
