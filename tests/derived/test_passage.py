"""The laws of the ball between stair and guard: derivation, limits, order, ties and windows."""

import random
from fractions import Fraction
from math import hypot, sqrt

import numpy as np
import pytest
import sympy
from msgspec.structs import replace
from path_search import UNDER, inches, job_of, pockets_of, solved_flights
from scipy.optimize import minimize_scalar

from stairs.checks.as_cut import cut_bays, opening_as_cut
from stairs.checks.finding import FAIL
from stairs.checks.gap_window import Bound, Window, gap_for_ball
from stairs.guard.solving import solve_section
from stairs.job import JobFlight
from stairs.job.key_notes import record_of
from stairs.openings.feature import RISER, Feature
from stairs.openings.opening import compare_opening
from stairs.openings.pocket import is_open
from stairs.openings.pocket_shape import pocket_shape
from stairs.openings.side_gap.ball import (
    CAREFUL,
    _between_planes,
    _channel,
    _searched,
    ball_in_pocket,
    compare_ball,
    compare_in_pocket,
    diameter_in_pocket,
)
from stairs.openings.side_gap.corner_ball import PlainCorner, largest_radius, taken
from stairs.openings.side_gap.highest_rail import STEP, gap_for_ball_at_side, gap_in_ground
from stairs.openings.under_rail import largest_in_pocket
from stairs.relations import closed_forms as form
from stairs.solution import solution_for

# ------------------------------------------------------------------ the derivation


def test_tightest_place_of_the_plain_corner_by_calculus():
    """From the relation of corner and rail: the gap that a ball needs is stationary in z there."""
    R, G, L, r, w, z, base = sympy.symbols("R G L r w z base", positive=True)
    near, far = sympy.sqrt(r**2 - z**2), sympy.sqrt(r**2 - (w - z) ** 2)
    # surface, face and rail touched at their reaches: a tread y = A, a riser x = base - A
    needed = near + far * L / G - (base - near) * R / G
    slope = sympy.simplify(sympy.diff(needed, z) * G)
    claimed = L * (w - z) / far - (R + G) * z / near
    assert sympy.simplify(slope - claimed) == 0
    bend = sympy.diff(needed, z, 2) * G
    assert sympy.simplify(bend + r**2 * ((R + G) / near**3 + L / far**3)) == 0  # one maximum
    # half-way the reaches are alike and the squares add up; it is not the tightest place
    halfway = sympy.simplify(claimed.subs(z, w / 2) * sympy.sqrt(r**2 - w**2 / 4))
    assert sympy.simplify(halfway - (L - R - G) * w / 2) == 0


@pytest.mark.parametrize(("rise", "run"), [(7.25, 10.5), (4, 15), (10, 10), (3, 4)])
@pytest.mark.parametrize("kind", ["tread", "post", "foot"])
def test_squares_never_add_up_in_a_corner_and_err_on_the_careful_side(rise, run, kind):
    """The sum of squares is too large, in the corner of tread and riser by less than 0.4 %."""
    slope = hypot(rise, run)
    shares = {
        "tread": (0, rise + run, slope), "post": (0, run, rise + slope), "foot": (run, rise, slope),
    }[kind]  # fmt: skip
    worst = 0.0
    for side_gap in np.geomspace(0.01, 50, 200):
        corner = PlainCorner(*shares, sum(shares))  # a flat circle of radius 1
        radius = largest_radius(corner, float(side_gap))
        excess = hypot(1, side_gap / 2) / radius - 1
        assert excess > 0
        worst = max(worst, excess)
    if kind == "tread":
        assert 1e-4 < worst < 0.00371
    elif kind == "post":
        assert 1e-3 < worst < 0.0222
    else:
        assert worst > 0.01  # the ground goes on beneath the guard and gives nothing


def test_squares_add_up_where_rise_and_run_are_as_long_as_the_slope():
    """No stair is like that, but the corner of equal weights is exact."""
    for side_gap in (0.5, 1.0, 1.9, 7.0):
        assert largest_radius(PlainCorner(0, 5, 5, 10), side_gap) == pytest.approx(
            hypot(1, side_gap / 2), rel=1e-14
        )


def test_strip_over_a_closed_stringer_is_the_long_side():
    """Parallel edges: a 3-4-5 triangle of flat gap, side gap and ball, decided exactly."""
    flight = record_of(
        JobFlight, unit_rise=Fraction(9), unit_run=Fraction(12), risers=4, stringer="closed",
        stringer_margin=Fraction(1), bottom_gap=Fraction(6), side_gap=Fraction(3),
        posts=(Fraction(-4), Fraction(44)),
    )  # fmt: skip
    section = solve_section(job_of(flight), 0)
    strip = next(opening for opening in section.openings if opening.kind == "under-rail")
    assert (strip.flat_diameter, strip.diameter) == (4.0, 5.0)
    assert compare_opening(strip, Fraction(5)) == 0
    assert compare_opening(strip, Fraction(5) + Fraction(1, 10**15)) == -1
    cut = cut_bays(section, job_of(flight))
    gap = (cut[0].gap_high - 1) * 0.8
    assert opening_as_cut(strip, cut, section) == pytest.approx(hypot(gap, 3), rel=1e-12)


def test_corner_of_many_weights_by_looking_everywhere():
    """The tightest place by brute force on the reaches as circles cut by two planes."""
    dice = random.Random(3)
    for _ in range(60):
        shares = dice.choice([0, 3.0]), dice.uniform(1, 20), dice.uniform(1, 20)
        total, side_gap = dice.uniform(1, 200), dice.uniform(0.01, 20)
        corner = PlainCorner(*shares, total)
        radius = largest_radius(corner, side_gap)
        places = np.linspace(max(0, side_gap - radius), min(radius, side_gap), 200_001)
        near = np.sqrt(np.maximum(radius**2 - places**2, 0))
        far = np.sqrt(np.maximum(radius**2 - (side_gap - places) ** 2, 0))
        most = (shares[0] * radius + shares[1] * near + shares[2] * far).max()
        if 2 * radius > side_gap * (1 + 1e-12):
            assert most == pytest.approx(total, rel=1e-6)
        else:
            assert total <= shares[0] * radius


# ------------------------------------------------------------------ limits and order


def test_no_side_gap_is_the_flat_circle():
    """As the guard comes up to the tread ends the ball becomes the circle."""
    flights = solved_flights(random.Random(4))
    seen = 0
    for _ in range(12):
        _, _, section = next(flights)
        for opening in section.openings:
            if opening.kind in UNDER and is_open(opening.pocket):
                close = replace(opening.pocket, side_gap=Fraction(1, 10**7))
                circle, _, _ = largest_in_pocket(opening.pocket)
                assert ball_in_pocket(close).diameter == pytest.approx(circle.diameter, abs=2e-7)
                assert diameter_in_pocket(replace(close, side_gap=Fraction(0))) == (circle.diameter)
                seen += 1
    assert seen > 20


def test_outline_of_every_pocket_closes():
    """Also where rounding moves the place at which the rail comes down to a surface."""
    flights, dice, seen = solved_flights(random.Random(31)), random.Random(31), 0
    for _ in range(40):
        for opening in next(flights)[2].openings:
            if opening.kind not in UNDER:
                continue
            for _ in range(5):
                gap = Fraction(dice.uniform(-3, 1))
                pocket = replace(opening.pocket, bottom_gap=gap)
                if is_open(pocket):
                    edges = pocket_shape(pocket).edges
                    ends = [edge.end for edge in edges]
                    assert [edge.start for edge in edges] == [ends[-1], *ends[:-1]]
                    seen += 1
    assert seen > 300


def test_wide_side_gap_lets_its_own_width_drop():
    """However low the rail, a ball as thick as the side gap falls between stair and guard."""
    flight = record_of(
        JobFlight, unit_rise=Fraction(7), unit_run=Fraction(11), risers=5, nosing=Fraction(1),
        bottom_gap=Fraction(-11), side_gap=Fraction(7, 2), posts=(Fraction(6), Fraction(50)),
    )  # fmt: skip
    openings = [o for o in pockets_of(flight) if o.kind == "triangle"]
    assert openings
    for opening in openings:
        assert (opening.diameter, opening.flat_diameter) == (3.5, 0.0)
        assert compare_opening(opening, Fraction(7, 2)) == 0
        assert compare_opening(opening, Fraction(7, 2) + Fraction(1, 10**12)) == -1
        assert gap_for_ball_at_side(opening.pocket, Fraction(7, 2)) == gap_in_ground(opening.pocket)


def test_ball_grows_with_the_side_gap_without_a_jump():
    """In every bay never smaller further out, and never by more than the step."""
    flights = solved_flights(random.Random(6))
    for _ in range(8):
        _, _, section = next(flights)
        for bay in section.bays:
            pockets = [o.pocket for o in section.openings if o.bay == bay.number and o.pocket]
            before = None
            for step in range(1, 25):
                aside = [replace(pocket, side_gap=Fraction(step, 4)) for pocket in pockets]
                most = max(ball_in_pocket(pocket).diameter for pocket in aside)
                if before is not None:
                    assert before - 1e-9 <= most <= before + 0.25 + 1e-9
                before = most


def behind_a_post(side_gap, gap=Fraction(1)):
    """The opening over tread 2 of a deep overhang, a post's face flush with the nosing over it."""
    flight = record_of(
        JobFlight, unit_rise=Fraction(8), unit_run=Fraction(10), risers=4, nosing=Fraction(3),
        bottom_gap=gap, side_gap=Fraction(side_gap),
        posts=(Fraction(-5), Fraction(21), Fraction(40)),
    )  # fmt: skip
    openings = pockets_of(flight, Fraction(2))
    return next(o for o in openings if (o.bay, o.tread) == (1, 2))


def test_circle_behind_a_post_that_stands_on_the_tread_above_counts():
    """A post that goes on downward would stop the ball, but the circle passes behind its foot."""
    flat = form.corner_circle(1, 13, 8, 10)
    for side_gap, is_flat in ((Fraction(1, 4), True), (3, True), (5, False)):
        opening = behind_a_post(side_gap)
        between = _between_planes(opening.pocket)
        assert opening.flat_diameter == pytest.approx(flat, rel=1e-12)
        assert opening.ball.flat == is_flat == (between.diameter < flat - 0.1)
        assert opening.diameter == max(between.diameter, opening.flat_diameter)
        assert (Feature(RISER, 3) in opening.leans_on) == is_flat
        assert diameter_in_pocket(opening.pocket) == opening.diameter


def test_circle_behind_a_post_is_decided_exactly():
    """An 8-15-17 step, 15 + 3 deep: 2 (1 · 15 + 18 · 8) / (8 + 15 + 17) = 7.95 across."""
    flight = record_of(
        JobFlight, unit_rise=Fraction(8), unit_run=Fraction(15), risers=4, nosing=Fraction(3),
        bottom_gap=Fraction(1), side_gap=Fraction(1, 4),
        posts=(Fraction(-5), Fraction(31), Fraction(60)),
    )  # fmt: skip
    opening = next(o for o in pockets_of(flight, Fraction(2)) if (o.bay, o.tread) == (1, 2))
    assert opening.ball.flat
    circle, hair = Fraction(159, 20), Fraction(1, 10**15)
    assert compare_opening(opening, circle) == 0
    assert compare_opening(opening, circle + hair) == -1
    assert compare_opening(opening, circle - hair) == 1


def test_ball_is_never_smaller_than_the_circle_and_never_shrinks_outward():
    """Opening by opening, also behind the foot of a post near a nosing."""
    dice = random.Random(12)
    flights = solved_flights(dice)
    sections = [next(flights)[2] for _ in range(6)]
    found = [o.pocket for section in sections for o in section.openings if o.kind in UNDER]
    found += [behind_a_post(1, inches(dice, 0, 4)).pocket for _ in range(4)]
    assert len(found) > 30
    for pocket in found:
        circle = largest_in_pocket(pocket)[0].diameter if is_open(pocket) else 0.0
        before = circle
        for step in (Fraction(1, 8), Fraction(1, 2), 1, 2, 3, Fraction(9, 2), 7):
            ball = ball_in_pocket(replace(pocket, side_gap=Fraction(step))).diameter
            assert ball >= circle
            assert ball >= before - 1e-9
            before = ball


def test_ball_grows_with_the_bottom_gap_without_a_jump():
    """Across the nosing line too, where the elevation changes its shape."""
    base = record_of(
        JobFlight, unit_rise=Fraction(7), unit_run=Fraction(11), risers=4, nosing=Fraction(1),
        tread_thickness=Fraction(1), bottom_gap=Fraction(0), side_gap=Fraction(2),
        posts=(Fraction(-6), Fraction(40)),
    )  # fmt: skip
    for opening in pockets_of(base):
        before = None
        for step in range(-20, 40):
            pocket = replace(opening.pocket, bottom_gap=Fraction(step, 8))
            ball = ball_in_pocket(pocket)
            if before is not None:
                assert before - 1e-9 <= ball.diameter <= before + 0.25
            before = ball.diameter


def test_plain_corner_is_what_the_general_search_finds():
    """Wherever the plain corner is claimed, the search that knows all walls agrees."""
    flights = solved_flights(random.Random(8))
    kinds = {}
    for _ in range(40):
        _, _, section = next(flights)
        for opening in section.openings:
            if opening.kind in UNDER and opening.ball.corner and is_open(opening.pocket):
                searched = _searched(opening.pocket, None)
                size = float(opening.pocket.line_run)
                assert searched.diameter == pytest.approx(opening.diameter, abs=1e-10 * size)
                kinds[opening.ball.corner, opening.kind] = True
    assert len(kinds) >= 4


def test_ball_is_the_least_of_those_at_every_place_on_its_way():
    """Heads, feet and places by a post, where the clearance may jump: no place stops it sooner."""
    flights = solved_flights(random.Random(9))
    shares = [k / 150 for k in range(151)]
    seen = 0
    while seen < 30:
        for opening in next(flights)[2].openings:
            pocket = opening.pocket
            if opening.kind not in UNDER or not is_open(pocket) or opening.ball.corner:
                continue
            channel = _channel(pocket)
            radius = _between_planes(pocket).diameter / 2 / channel.room.scale
            least = channel.gap / 2
            if radius <= least * (1 + 1e-9):
                continue
            stopped = min(channel.most, 2 * radius)
            for share in shares:
                stopped = channel.largest_at(share, least, stopped)
            assert radius == pytest.approx(stopped, abs=0.01 * channel.gap)
            assert radius <= stopped + 1e-10
            seen += 1


# ------------------------------------------------------------------ decided


def pythagorean_tread(shift=Fraction(0)):
    """A 9-12-15 step and a side gap where a ball of exactly 10 in touches at a rational place.

    With the tangents 20/21 and 4/3 of the angles at which stair and guard touch the ball,
    ``(9 + 12) 20/21 = 15 · 4/3``, so this is the tightest place; sines 20/29 and 4/5 give the side
    gap, cosines 21/29 and 3/5 the reaches.
    """
    radius = Fraction(5)
    side_gap = radius * (Fraction(20, 29) + Fraction(4, 5))
    room = radius * (21 * Fraction(21, 29) + 15 * Fraction(3, 5))
    gap = (room - 12 * 9) / 12
    flight = record_of(
        JobFlight, unit_rise=Fraction(9), unit_run=Fraction(12), risers=4, bottom_gap=gap + shift,
        side_gap=side_gap, posts=(Fraction(-12), Fraction(52)),
    )  # fmt: skip
    return next(o for o in pockets_of(flight) if o.tread == 2)


def test_tie_is_a_tie():
    """Exactly the ball's size, and a billionth of a billionth to either side."""
    assert Fraction(20, 29) ** 2 + Fraction(21, 29) ** 2 == 1
    opening = pythagorean_tread()
    assert opening.ball.corner == "riser"
    assert opening.diameter == pytest.approx(10, rel=1e-14)
    assert compare_opening(opening, Fraction(10)) == 0
    hair = Fraction(1, 10**18)
    assert compare_opening(opening, Fraction(10) + hair) == -1
    assert compare_opening(opening, Fraction(10) - hair) == 1
    assert compare_opening(pythagorean_tread(hair), Fraction(10)) == 1
    assert compare_opening(pythagorean_tread(-hair), Fraction(10)) == -1


def test_what_is_not_plain_counts_as_larger_within_a_billionth():
    """A ball that leans on a nosing is never let off by a rounding."""
    flight = record_of(
        JobFlight, unit_rise=Fraction(5), unit_run=Fraction(11), risers=4, nosing=Fraction(5, 2),
        bottom_gap=Fraction(1), side_gap=Fraction(3), posts=(Fraction(-8), Fraction(50)),
    )  # fmt: skip
    opening = next(o for o in pockets_of(flight) if o.tread == 2)
    assert not opening.ball.corner
    size = Fraction(opening.diameter)
    for factor, order in ((-2, 1), (-0.5, 1), (0, 1), (0.5, 1), (2, -1)):
        ball = size * (1 + Fraction(factor) * Fraction(CAREFUL))
        assert compare_ball(opening.pocket, opening.ball, ball) == order


@pytest.mark.parametrize("gap", ["plain", "nosing", "foot"])
def test_gap_for_a_ball_is_just_low_enough(gap):
    """At the gap that is found the ball is kept; a hair higher it passes."""
    flight = record_of(
        JobFlight, unit_rise=Fraction(7), unit_run=Fraction(11), risers=4,
        nosing=Fraction(3) if gap == "nosing" else Fraction(1),
        tread_thickness=Fraction(1), bottom_gap=Fraction(1), side_gap=Fraction(2),
        posts=(Fraction(-4) if gap == "foot" else Fraction(-9), Fraction(50)),
    )  # fmt: skip
    wanted = {"foot": "foot"}.get(gap, "triangle")
    pocket = next(o for o in pockets_of(flight) if o.kind == wanted).pocket
    for limit in (Fraction(5), Fraction(6), Fraction(8)):
        found, exact = gap_for_ball(pocket, limit)
        assert not exact and found == gap_for_ball_at_side(pocket, limit)
        if found is None:  # between post and riser it passes under no rail at all
            storey = replace(pocket, bottom_gap=Fraction(30))
            assert gap == "foot" and ball_in_pocket(storey).diameter < limit
            continue
        if found == -2 * flight.steps.unit_rise:
            lowest = replace(pocket, bottom_gap=-flight.steps.unit_rise)
            assert ball_in_pocket(lowest).diameter >= limit
            continue
        assert decided_at(pocket, limit, found) == (-1, 1)
        # the gap that the pocket has at first is of no account
        lower = replace(pocket, bottom_gap=Fraction(1, 3))
        assert gap_for_ball_at_side(lower, limit) == found


def decided_at(pocket, limit, gap):
    """How the ball that passes compares with a limit at a gap, and a step of the search higher."""
    base = pocket.form.run + pocket.form.nosing
    if pocket.high.step <= pocket.step:
        base = abs(pocket.high.face - pocket.front[0])
    step = Fraction(STEP) * (limit + base * pocket.line_rise / pocket.line_run)
    return tuple(
        compare_in_pocket(replace(pocket, bottom_gap=rail), limit)
        for rail in (gap, gap + step * Fraction(101, 100))
    )


def test_both_sides_of_every_end_are_proved():
    """Plain corners, nosings, posts, feet: kept at the end, and let through a step above it."""
    dice = random.Random(30)
    flights = solved_flights(dice)
    ends = {True: 0, False: 0}
    for _ in range(20):
        for opening in next(flights)[2].openings:
            if opening.kind not in UNDER:
                continue
            pocket, limit = opening.pocket, dice.choice([4, Fraction(35, 8), 6, 8])
            found = gap_for_ball_at_side(pocket, Fraction(limit))
            if found is None or found == gap_in_ground(pocket):
                continue
            assert decided_at(pocket, Fraction(limit), found) == (-1, 1)
            ball = ball_in_pocket(replace(pocket, bottom_gap=found))
            ends[bool(ball.corner)] += 1
    assert ends[True] > 10 and ends[False] > 10


def test_end_in_the_plain_corner_is_a_root_and_decided_as_one():
    """The rail at which a 10 in ball just touches is known exactly: the end is next to it."""
    opening = pythagorean_tread()
    exact = opening.pocket.bottom_gap
    found = gap_for_ball_at_side(opening.pocket, Fraction(10))
    assert 0 < exact - found < Fraction(STEP) * 19
    end = Bound(found, "opening", False, "", opening.pocket, Fraction(10))
    hair = Fraction(1, 10**30)
    assert [end.compare(exact + shift) for shift in (-hair, 0, hair)] == [-1, 0, 1]
    window = Window(end, end, (end,), (end,))
    assert window.high.compare(found) == -1


def test_ball_as_thick_as_the_side_gap_may_touch_where_a_rule_allows_it():
    """On the landing it drops under every low rail; the end is where a larger one passes too."""
    flight = record_of(
        JobFlight, unit_rise=Fraction(7), unit_run=Fraction(11), risers=4, nosing=Fraction(1),
        bottom_gap=Fraction(-3), side_gap=Fraction(4), posts=(Fraction(-5), Fraction(50)),
    )  # fmt: skip
    pocket = next(o for o in pockets_of(flight) if o.kind == "foot").pocket
    limit = Fraction(4)
    assert gap_for_ball_at_side(pocket, limit) == gap_in_ground(pocket)
    found = gap_for_ball_at_side(pocket, limit, may_touch=True)
    assert -flight.steps.unit_rise < found < 2
    assert compare_in_pocket(replace(pocket, bottom_gap=found), limit) == 0
    higher = replace(pocket, bottom_gap=found + Fraction(1, 10**6))
    assert ball_in_pocket(higher).diameter > limit
    assert compare_in_pocket(higher, limit) == 1
    # any other ball is kept or not, whether it may touch or not
    assert gap_for_ball_at_side(pocket, Fraction(5)) == gap_for_ball_at_side(
        pocket, Fraction(5), may_touch=True
    )


def test_end_with_a_circle_behind_a_post_is_that_of_the_circle():
    """There the window beside the stair ends where the flat one does."""
    pocket = behind_a_post(Fraction(1, 4)).pocket
    found = gap_for_ball_at_side(pocket, Fraction(6))
    flat, _ = gap_for_ball(replace(pocket, side_gap=Fraction(0)), Fraction(6))
    assert float(found) == pytest.approx(float(flat), abs=1e-10)
    assert decided_at(pocket, Fraction(6), found) == (-1, 1)


def test_gap_for_a_ball_in_the_plain_corner_by_its_circles_in_two_planes():
    """The greatest of the gaps that let the ball be at each place on the way.

    The plane of the tread ends and that of the guard each cut the ball in a circle; the first lies
    in the corner of tread and riser, and the rail's line touches the second from above.
    """
    flight = record_of(
        JobFlight, unit_rise=Fraction(7), unit_run=Fraction(11), risers=4, nosing=Fraction(1),
        bottom_gap=Fraction(1, 2), side_gap=Fraction(2), posts=(Fraction(-9), Fraction(50)),
    )  # fmt: skip
    pocket = next(o for o in pockets_of(flight) if o.tread == 2).pocket

    def gap_at(out):
        near, far = sqrt(9 - out**2), sqrt(9 - (2 - out) ** 2)
        touched = np.array([12 - near, near]) + far * np.array([-7, 11]) / hypot(7, 11)
        return touched[1] - touched[0] * 7 / 11  # where that line is plumb above the nosing

    best = minimize_scalar(lambda out: -gap_at(out), bounds=(0, 2), method="bounded",
                           options={"xatol": 1e-10})  # fmt: skip
    assert 0 < best.x < 1  # nearer to the stair
    found = float(gap_for_ball_at_side(pocket, Fraction(6)))
    assert found == pytest.approx(-best.fun, abs=1e-7)
    corner = PlainCorner(0, 18, hypot(7, 11), 0)
    assert taken(corner, 3.0, 2.0) == pytest.approx(-best.fun * 11 + 12 * 7, rel=1e-12)


# ------------------------------------------------------------------ what the user gets


def flight_at_side(side_gap):
    return record_of(
        JobFlight,
        unit_rise=Fraction(29, 4),
        unit_run=Fraction(21, 2),
        risers=6,
        nosing=Fraction(1),
        tread_thickness=Fraction(5, 4),
        bottom_gap=Fraction(1, 4),
        side_gap=side_gap,
        posts=(Fraction(-4), Fraction(241, 4)),
        handrail=True,
    )


def test_flat_answer_that_would_have_been_wrong_shows():
    """In elevation a 6 in ball is kept; 2 1/2 in off to the side it passes, and a note says so."""
    near, far = (solution_for(job_of(flight_at_side(gap))) for gap in (Fraction(0), Fraction(5, 2)))
    for solution, passes in ((near, True), (far, False)):
        finding = next(f for f in solution.sections[0].findings if f.id == "opening-triangle")
        assert (finding.verdict != FAIL) == passes
        assert (finding.flat is None) == passes
        assert ("the elevation alone would pass" in finding.note) == (not passes)
        opening = finding.measure.opening
        flat = form.corner_circle(0.25, 11.5, 7.25, 10.5)
        assert opening.drawn_diameter == pytest.approx(flat, rel=1e-12)
        if not passes:
            assert finding.flat == opening.flat_diameter < 6 < finding.value
            window = solution.sections[0].window
            assert not window.holds(Fraction(1, 4))


def test_opening_as_cut_is_a_ball_too():
    """Cut to the tape the guard is solved as a passage again, not as a flat opening."""
    job = job_of(flight_at_side(Fraction(5, 2)))
    section = solve_section(job, 0)
    cut = cut_bays(section, job)
    opening = next(o for o in section.openings if o.tread == 2)
    tape = float(job.tape)
    assert opening_as_cut(opening, cut, section) == pytest.approx(opening.diameter, abs=2 * tape)
    assert opening_as_cut(opening, cut, section) > opening.flat_diameter + 2 * tape
