"""Slots between rail ends and posts, held against the true outline of rail and posts."""

import random
from fractions import Fraction
from math import hypot, sqrt

import msgspec
import pytest
import shapely
from shapely.geometry import LineString, Point, Polygon

from stairs.guard.solving import solve_section
from stairs.job import Bracket, BracketBody, Job, JobFlight, JobLevel, Panel, PostKind
from stairs.job.key_notes import record_of
from stairs.openings.feature import POST, RAIL_END, WALKING_SURFACE, Feature
from stairs.openings.opening import compare_opening
from stairs.openings.pocket import has_slot
from stairs.openings.pocket_shape import pocket_shape
from stairs.relations.exact import expression

# a body that is measured opens the slot; this one leaves all of it but a thousandth
SMALL = BracketBody(height=Fraction(1, 1000), reach=Fraction(1, 1000))
PIVOT = Bracket(kind="pivot", pivot_offset=Fraction(9, 8), rail_setback=Fraction(3, 8), body=SMALL)
WIDE = Bracket(kind="pivot", pivot_offset=Fraction(3), rail_setback=Fraction(1), body=SMALL)


def job_of(section, bracket=PIVOT, **panel):
    sizes = {"height": 32, "top_rail": Fraction(7, 4), "bottom_rail": Fraction(3, 2),
             "baluster": Fraction(3, 4), "pitch": Fraction(9, 2), **panel}  # fmt: skip
    return Job(
        units="in", rules="irc-2021", tape=Fraction(1, 16), measured_within=Fraction(0),
        panel=Panel(**{key: Fraction(value) for key, value in sizes.items()}), bracket=bracket,
        post=PostKind(width=Fraction(3)), sections=(section,),
    )  # fmt: skip


def flight(gap, posts=(-4, 34)):
    return record_of(
        JobFlight,
        unit_rise=Fraction(7),
        unit_run=Fraction(10),
        risers=4,
        nosing=Fraction(1),
        tread_thickness=Fraction(1),
        bottom_gap=Fraction(gap),
        posts=tuple(map(Fraction, posts)),
    )


def test_slot_lets_a_foot_circle_rise():
    """Between post and riser, 9 high under the rail at 3 : 4, the circle grows by the slot."""
    step = record_of(
        JobFlight,
        unit_rise=Fraction(9),
        unit_run=Fraction(12),
        risers=5,
        bottom_gap=Fraction(6),
        posts=(Fraction(-15, 2), Fraction(52)),
    )
    found = {}
    whole = BracketBody(height=Fraction(3), reach=Fraction(9, 4))
    bodies = {"open": SMALL, "not measured": None, "filled": whole}
    for name, body in bodies.items():
        bracket = msgspec.structs.replace(PIVOT, body=body)
        section = solve_section(job_of(step, bracket), 0)
        found[name] = next(o for o in section.openings if o.kind == "foot")
    # centre r off the post at x = -6, r from the nosing at (0, 9) and from the rail's lower corner
    corner = (-6 + 1.125 + 0.375 * 0.8 + 0.75 * 0.6, None)
    corner = (corner[0], 15 + 0.75 * corner[0])
    opening = found["open"]
    x, y = opening.center
    radius = opening.diameter / 2
    for away in (x + 6, hypot(x, y - 9), hypot(x - corner[0], y - corner[1])):
        assert away == pytest.approx(radius, rel=1e-9)
    assert opening.diameter > 6 > 0
    assert compare_opening(opening, Fraction(opening.diameter) + Fraction(1, 10**10)) == -1
    assert compare_opening(opening, Fraction(opening.diameter) - Fraction(1, 10**10)) == 1
    assert found["filled"].diameter == pytest.approx(6, abs=1e-9)
    assert found["not measured"].diameter == pytest.approx(6, abs=1e-9)


@pytest.mark.parametrize("bracket", [PIVOT, WIDE, Bracket(kind="plumb-cut", body=SMALL,
                                                          end_clearance=Fraction(2))])  # fmt: skip
@pytest.mark.parametrize("gap", [1, 4, 8])
def test_circles_keep_off_the_drawn_rail(bracket, gap):
    """Every circle touches nothing of the rail as it is drawn, nor a post, and is no smaller than
    beside a rail that goes up to the posts."""
    solved = solve_section(job_of(flight(gap), bracket), 0)
    shut = solve_section(job_of(flight(gap), Bracket(kind="plumb-cut")), 0)
    rail = Polygon(solved.bays[0].bottom_rail)
    posts = [LineString([(x, -99), (x, 99)]) for x in (-2.5, 32.5)]
    slots = 0
    for opening, plain in zip(solved.openings, shut.openings, strict=True):
        if opening.pocket is None:
            continue
        slots += has_slot(opening.pocket)
        center, radius = Point(opening.center), opening.diameter / 2
        assert rail.distance(center) >= radius - 1e-9
        assert min(post.distance(center) for post in posts) >= radius - 1e-9
        assert opening.diameter >= plain.diameter - 1e-9
        assert len(pocket_shape(opening.pocket, expression).edges) >= 3
    assert slots >= 2


def test_level_rail_end_by_its_formula():
    """Floor, post and the rail's lower corner at (c, g): r = c + g - sqrt(2 c g)."""
    section = record_of(JobLevel, span=Fraction(60), bays=1, bottom_gap=Fraction(2))
    opening = next(o for o in solve_section(job_of(section), 0).openings if o.kind == "under-rail")
    c = 1.125 + 0.375
    assert opening.diameter == pytest.approx(2 * (c + 2 - sqrt(2 * c * 2)), rel=1e-12)
    assert set(opening.leans_on) >= {WALKING_SURFACE, RAIL_END}
    high = record_of(JobLevel, span=Fraction(60), bays=1, bottom_gap=Fraction(4))
    opening = next(o for o in solve_section(job_of(high), 0).openings if o.kind == "under-rail")
    assert opening.closed_form == Fraction(4)


@pytest.mark.parametrize("seed", range(20))
def test_free_space_beside_a_post_by_shapely(seed):
    """With both rail ends, wedges and slots: the closed form where it is used, else the walls."""
    dice = random.Random(seed)
    bracket = Bracket(
        kind="pivot",
        pivot_offset=Fraction(dice.randint(8, 40), 16),
        rail_setback=Fraction(1, 4),
        body=SMALL,
    )
    posts = (-4 - Fraction(dice.randint(0, 16), 16), 34 + Fraction(dice.randint(0, 32), 16))
    height = dice.choice([8, 12, 32])
    job = job_of(flight(dice.randint(1, 3), posts), bracket, height=height,
                 pitch=Fraction(dice.randint(48, 110), 16))  # fmt: skip
    section = solve_section(job, 0)
    for opening in section.openings:
        if opening.kind != "end" or not section.bays[0].baluster_x:
            continue
        end = opening.panel_end
        if end is None:
            low = opening.leans_on[0].kind == POST
            gap = section.bays[0].end_gap_low if low else section.bays[0].end_gap_high
            assert opening.diameter == pytest.approx(gap, rel=1e-12)
            bay = section.bays[0]
            assert gap <= Polygon(bay.bottom_rail).distance(Polygon(bay.top_rail)) + 1e-9
            continue
        shape = end.shape()
        outline = Polygon([edge.start for edge in shape.edges])
        assert outline.is_valid
        solid = shapely.union_all(
            [LineString([edge.start, edge.end]) for edge in shape.edges if edge.name]
        )
        # the best centre on a fine grid, with what the grid can miss
        minx, miny, maxx, maxy = outline.bounds
        step = 0.04
        best = 0.0
        xs = [minx + step * k for k in range(int((maxx - minx) / step) + 1)]
        ys = [miny + step * k for k in range(int((maxy - miny) / step) + 1)]
        points = shapely.points([(x, y) for x in xs for y in ys])
        inside = points[shapely.covers(outline, points)]
        best = float(shapely.distance(inside, solid).max())
        assert best <= opening.diameter / 2 + 1e-9
        assert opening.diameter / 2 <= best + step


def test_strip_over_a_closed_stringer_knows_the_slot_beside_the_post():
    """At the lower post a circle leans on the stringer's edge, the post and the rail's corner."""
    stair = record_of(
        JobFlight,
        unit_rise=Fraction(15, 2),
        unit_run=Fraction(10),
        risers=6,
        nosing=Fraction(1),
        stringer="closed",
        stringer_margin=Fraction(1),
        bottom_gap=Fraction(25, 4),
        posts=(Fraction(3), Fraction(33)),
    )
    bracket = msgspec.structs.replace(
        PIVOT, body=BracketBody(height=Fraction(1), reach=Fraction(9, 8))
    )
    section = solve_section(job_of(stair, bracket), 0)
    opening = next(o for o in section.openings if o.kind == "under-rail")
    corner = 4.5 + 1.125 + 0.375 * 0.8 + 0.75 * 0.6
    corner = (corner, 7.5 + 6.25 + 0.75 * corner)
    (x, y), radius = opening.center, opening.diameter / 2
    edge = (y - (7.5 + 1 + 0.75 * x)) * 0.8
    for away in (edge, x - 4.5, hypot(x - corner[0], y - corner[1])):
        assert away == pytest.approx(radius, rel=1e-9)
    assert opening.diameter > 4.45 > 5.25 * 0.8  # which is what edge and rail are apart
    assert compare_opening(opening, Fraction(opening.diameter) + Fraction(1, 10**10)) == -1
    assert compare_opening(opening, Fraction(opening.diameter) - Fraction(1, 10**10)) == 1


@pytest.mark.parametrize("seed", range(12))
def test_strip_over_a_closed_stringer_by_a_grid(seed):
    """The best centre between stringer, rail and posts, looked for everywhere."""
    dice = random.Random(seed)
    bracket = dice.choice([PIVOT, WIDE, Bracket(kind="plumb-cut", body=SMALL,
                                                end_clearance=Fraction(2))])  # fmt: skip
    margin = Fraction(dice.randint(4, 40), 16)
    gap = margin + Fraction(dice.randint(16, 90), 16)
    low = Fraction(dice.randint(2, 8))
    posts = (low, 10 * dice.randint(2, 3) + Fraction(dice.randint(32, 128), 16))
    stair = record_of(
        JobFlight,
        unit_rise=Fraction(7),
        unit_run=Fraction(10),
        risers=5,
        bottom_gap=gap,
        stringer="closed",
        stringer_margin=margin,
        posts=posts,
    )
    section = solve_section(job_of(stair, bracket), 0)
    opening = next(o for o in section.openings if o.kind == "under-rail")
    left, right = float(posts[0]) + 1.5, float(posts[1]) - 1.5
    step = 0.02
    xs = [left + step * k for k in range(int((right - left) / step) + 1)]
    height = [step * k for k in range(int(float(gap - margin) / step) + 1)]
    points = shapely.points([(x, 7 + float(margin) + 0.7 * x + y) for x in xs for y in height])
    edge = LineString([(0, 7 + float(margin)), (40, 35 + float(margin))])
    solid = [edge, Polygon(section.bays[0].bottom_rail)]
    solid += [LineString([(x, -99), (x, 99)]) for x in (left, right)]
    best = float(shapely.distance(points, shapely.union_all(solid)).max())
    assert best <= opening.diameter / 2 + 1e-9
    assert opening.diameter / 2 <= best + step


def test_strip_in_a_narrow_bay_is_no_wider_than_the_posts_stand_apart():
    """Also beside the stair: in the guard's own plane a ball has to pass between the posts."""
    for side_gap in (Fraction(0), Fraction(3)):
        stair = record_of(JobFlight, unit_rise=Fraction(7), unit_run=Fraction(10), risers=5,
                       stringer="closed", stringer_margin=Fraction(1), bottom_gap=Fraction(8),
                       posts=(Fraction(6), Fraction(13), Fraction(35)),
                       side_gap=side_gap)  # fmt: skip
        bracket = Bracket(kind="plumb-cut")
        section = solve_section(job_of(stair, bracket), 0)
        narrow, wide = (o for o in section.openings if o.kind == "under-rail")
        assert narrow.closed_form == 4
        assert narrow.leans_on == (Feature(POST, 1), Feature(POST, 2))
        flat = 7 * 10 / hypot(7, 10)
        assert wide.diameter == pytest.approx(hypot(flat, side_gap), rel=1e-12)
