"""The ball between stair and guard, against a search for its centre's path that knows no formula.

The second route fills space with a grid of places for the centre: over the whole bay, from the
plane of the tread ends to the plane of the guard.  Each place holds the largest ball that touches
neither the stair (boxes), the guard (three half planes) nor the ground.  Then radii are tried, and
the places that hold the ball are joined with their neighbours: the ball passes where one patch
reaches from the one plane to the other.  Distances change no faster than the centre moves, so the
grid's answer is off by less than half a cell's diagonal.  A finer grid about the narrowest place
tells the rest.

Beside a rail's end that bound holds only if the centre may rise above the line of the rail's
underside, as a ball in a slot does: were all above that line solid, the room would jump at it.
Only a path that comes out below the line, in the guard's plane, counts; the line is moved by as
much as a place of the grid may be off.
"""

import random
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise
from math import ceil, hypot, sqrt

import numpy as np
import pytest
import sympy
from scipy import ndimage
from scipy.optimize import minimize_scalar

from stairs import closed_forms as form
from stairs.answer import answer_for
from stairs.as_cut import cut_bays, opening_as_cut
from stairs.checks import FAIL
from stairs.errors import NoSuchShape
from stairs.guard import solve_section
from stairs.job import Bracket, BracketBody, Flight, Job, Panel, PostKind
from stairs.openings import compare_opening
from stairs.passage import (
    CAREFUL,
    _between_planes,
    _channel,
    _searched,
    ball_in_pocket,
    compare_ball,
    compare_in_pocket,
    diameter_in_pocket,
)
from stairs.passage_gap import STEP, gap_for_ball_at_side
from stairs.passage_plain import Corner, largest_radius, taken
from stairs.passage_plane import largest_before_rail, largest_in_plane
from stairs.pockets import is_open, largest_in_pocket
from stairs.windows import Bound, Window, gap_for_ball

CASES, MANY = 40, 1500
CLOSE = Bracket(kind="plumb-cut")  # its rail goes up to the posts
FINER = 5  # places of the finer grid to one of the coarse
UNDER = ("triangle", "foot", "head")
DIAGONAL = sqrt(3) / 2  # of half a cell: how far a path may be from the grid


def inches(dice, low, high):
    return Fraction(dice.randint(round(16 * low), round(16 * high)), 16)


def job_of(flight, width=Fraction(3), bracket=CLOSE):
    return Job(
        units="in", rules="irc-2021", tape=Fraction(1, 16), measured_within=Fraction(0),
        panel=Panel(height=Fraction(32), top_rail=Fraction(7, 4), bottom_rail=Fraction(3, 2),
                    baluster=Fraction(3, 4), pitch=Fraction(9, 2)),
        bracket=bracket, post=PostKind(width=width), sections=(flight,),
    )  # fmt: skip


def pockets_of(flight, width=Fraction(3)):
    """The solved section's openings under the rail."""
    section = solve_section(job_of(flight, width), 0)
    return [opening for opening in section.openings if opening.kind in UNDER]


def random_flight(dice):
    """A flight with posts on landings and treads, its guard off to the side by up to 7 in."""
    risers = dice.randint(2, 4)
    rise, run = inches(dice, 4, 10), inches(dice, 7, 15)
    nosing = dice.choice([Fraction(0), inches(dice, 0, 1.5), inches(dice, 1, 3)])
    thickness = dice.choice([None, rise * Fraction(dice.randint(1, 12), 16)])
    gap = dice.choice([inches(dice, 0, 3), inches(dice, -5, 0), inches(dice, 3, 10)])
    width = dice.choice([Fraction(2), Fraction(4)])
    half = width / 2
    furthest = (rise + gap) * run / rise
    low = -min(half + inches(dice, 0, 8), half + furthest - Fraction(1, 4))
    high = (risers - 1) * run + half + inches(dice, 0, 12)
    posts = [low]
    if dice.random() < 0.5:
        tread = dice.randint(1, risers - 1)
        room = run - width
        posts.append((tread - 1) * run + half + room * Fraction(dice.randint(0, 16), 16))
    posts.append(high)
    posts = [posts[0]] + [b for a, b in pairwise(posts) if b - a >= width + 4]
    if len(posts) < 2:
        posts = [low, high]
    return Flight(
        unit_rise=rise, unit_run=run, risers=risers, nosing=nosing, tread_thickness=thickness,
        bottom_gap=gap, posts=tuple(posts), side_gap=inches(dice, 0.25, 7),
    ), width  # fmt: skip


def random_bracket(dice):
    """A pin that stands 1 to 6 in off the post, with a body that leaves nearly all of the slot."""
    thin = BracketBody(height=Fraction(1, 1000), reach=Fraction(1, 1000))
    return Bracket(kind="pivot", pivot_offset=inches(dice, 1, 6), rail_setback=Fraction(1, 4),
                   body=thin)  # fmt: skip


def solved_flights(dice, slots=False):
    """Random flights for ever, those left out whose rail ends in the ground."""
    while True:
        flight, width = random_flight(dice)
        bracket = random_bracket(dice) if slots else CLOSE
        try:
            section = solve_section(job_of(flight, width, bracket), 0)
        except NoSuchShape:
            continue
        yield flight, width, section


# ------------------------------------------------------------------ the path search


@dataclass
class Bay:
    """One bay as the search sees it: boxes, half planes, ground."""

    flight: Flight
    low: float
    high: float
    ends: tuple[float, float]  # of the rail, at its underside
    depth: float  # of the rail, square to it

    def room(self, x, y, z):
        """Radius of the ball that just fits about each place."""
        flight = self.flight
        rise, run, nosing, gap, side = (
            float(value)
            for value in (
                flight.unit_rise, flight.unit_run, flight.nosing, flight.bottom_gap,
                flight.side_gap,
            )
        )  # fmt: skip
        thick = float(flight.tread_thickness or 0)
        far = 1e3

        def box(left, bottom, top):
            across = np.maximum(left - x, 0)
            up = np.maximum(np.maximum(bottom - y, y - top), 0)
            return np.hypot(across, up)

        stair = np.full(np.broadcast_shapes(x.shape, y.shape), np.inf)
        for k in range(1, flight.risers + 1):
            front, level = (k - 1) * run, k * rise
            stair = np.minimum(stair, box(front + nosing, -far, level))
            stair = np.minimum(stair, box(front, level - thick, level))
        below = self.below_line(x, y)
        along = (x * run + (y - rise - gap) * rise) / hypot(rise, run)
        low, high = ((end * run + end * rise / run * rise) / hypot(rise, run) for end in self.ends)
        past = np.maximum(np.maximum(low - along, along - high), 0)
        rail = np.hypot(past, np.maximum(np.maximum(below, -below - self.depth), 0))
        guard = np.minimum(np.minimum(rail, x - self.low), self.high - x)
        guard = np.maximum(guard, 0)
        return np.minimum(
            np.minimum(np.hypot(stair, z), np.hypot(guard, side - z)), np.broadcast_to(y, x.shape)
        )

    def below_line(self, x, y):
        """How far places are below the line of the rail's underside."""
        flight = self.flight
        rise, run = float(flight.unit_rise), float(flight.unit_run)
        return (rise + float(flight.bottom_gap) + x * rise / run - y) * run / hypot(rise, run)

    def comes_out(self, x, y, cell):
        """Which places in the guard's plane are under the rail, as far as the grid can tell."""
        return self.below_line(x[:, :, -1], y[:, :, -1]) >= -cell / sqrt(2)

    def grid(self, lows, highs, cell):
        axes = [
            np.linspace(low, high, max(ceil((high - low) / cell), 8) + 1)
            for low, high in zip(lows, highs, strict=True)
        ]
        return np.meshgrid(*axes, indexing="ij")

    def largest(self, cell, most):
        """Largest radius on a grid over the bay, and where it is narrowest."""
        rise, run = float(self.flight.unit_rise), float(self.flight.unit_run)
        top = rise + max(float(self.flight.bottom_gap), 0) + self.high * rise / run
        top = max(top, self.flight.risers * rise + most)  # a ball comes down from there
        side = float(self.flight.side_gap)
        # short of the guard's reach a ball also comes past in front of a post
        low, high = self.low - most, self.high + most
        x, y, z = self.grid((low, 0, 0), (high, top, side), cell)
        room = self.room(x, y, z)
        out = self.comes_out(x, y, cell)
        radius, behind, beyond = widest(room, out, 0.0, most, cell / 10)
        # where the patch that comes from the stair is nearest to the one that leads outside
        apart = ndimage.distance_transform_edt(~beyond)
        spot = np.unravel_index(np.where(behind, apart, np.inf).argmin(), room.shape)
        return radius, (x[spot], y[spot])

    def largest_about(self, middle, coarse, cell):
        """Largest radius on a finer grid about one place, whatever is outside it shut off."""
        reach = 0.8 * coarse + 2 * cell
        lows, highs = ([value + way * reach for value in middle] for way in (-1, 1))
        grid = self.grid((*lows, 0), (*highs, float(self.flight.side_gap)), cell / FINER)
        out = self.comes_out(*grid[:2], cell / FINER)
        return widest(self.room(*grid), out, coarse - cell / 5, coarse + 1.2 * cell, cell / 100)[0]

    def largest_in_slice(self, middle, reach, z, cell):
        """Largest radius about a place in one plane between the two, to a hundredth of a cell."""
        spots = [middle]
        for _ in range(3):
            steps = np.arange(-reach, reach + cell / 2, cell)
            x, y = np.meshgrid(steps, steps, indexing="ij")
            x = np.concatenate([(spot[0] + x).ravel() for spot in spots])
            y = np.concatenate([(spot[1] + y).ravel() for spot in spots])
            room = self.room(x, y, np.full(x.shape, z))
            best = room.max()
            near = room >= best - cell / sqrt(2)  # the largest may be next to any of these
            order = np.argsort(-room[near])[:400]
            spots = list(zip(x[near][order], y[near][order], strict=True))
            reach, cell = cell, cell / 10
        return best

    def least_of_slices(self, middle, reach, slices, cell):
        """The least, over planes between the two, of the largest ball about a place in each."""
        low, high = 0.0, float(self.flight.side_gap)
        for _ in range(2):
            places = np.linspace(low, high, slices)
            found = [self.largest_in_slice(middle, reach, z, cell) for z in places]
            k = int(np.argmin(found))
            low, high = places[max(k - 1, 0)], places[min(k + 1, slices - 1)]
        return min(found)


def widest(room, out, low, high, within):
    """Largest radius at which a patch joins both planes; the patches at a little more."""
    block = np.ones((3, 3, 3))

    def patches(radius):
        labels, _ = ndimage.label(room >= radius, structure=block)
        first, last = np.unique(labels[:, :, 0]), np.unique(labels[:, :, -1][out])
        return labels, first[first > 0], last[last > 0]

    while high - low > within:
        middle = (low + high) / 2
        _, first, last = patches(middle)
        if np.intersect1d(first, last).size:
            low = middle
        else:
            high = middle
    labels, first, last = patches(high)
    return low, np.isin(labels, first), np.isin(labels, last)


def under(section, x):
    """Height of the rail's underside."""
    return section.unit_rise + section.bottom_gap + x * section.unit_rise / section.unit_run


def largest_of_bays(flights):
    """The bays of flights one by one, each with the largest of its openings."""
    for flight, width, section in flights:
        half = float(width) / 2
        for bay in section.bays:
            here = [o for o in section.openings if o.kind in UNDER and o.bay == bay.number]
            low, high = section.posts[bay.number - 1].x + half, section.posts[bay.number].x - half
            largest = max(here, key=lambda opening: opening.diameter)
            if not largest.ball.flat:  # the search knows posts that go on downward only
                rail = [x for x, y in bay.bottom_rail if abs(under(section, x) - y) < 1e-9]
                yield Bay(flight, low, high, (min(rail), max(rail)), 1.5), largest


def search_matches(dice, cases, cell, slots=False):
    """Every bay of many flights; share of those that the finer grid has pinned down.

    No ball may be larger than either grid allows, nor smaller than the coarse one.  The finer grid
    sees only the neighbourhood of one narrow place: where a way needs room elsewhere it finds less
    than there is, so it cannot pin down every bay.
    """
    bays = largest_of_bays(solved_flights(dice, slots))
    pinned = 0
    near = (DIAGONAL + 0.01) * cell / FINER
    for _ in range(cases):
        bay, opening = next(bays)
        found = opening.diameter / 2
        coarse, spot = bay.largest(cell, found * 1.2 + 2 * cell)
        about = f"{bay}: {found} against {coarse}"
        assert abs(coarse - found) <= (DIAGONAL + 0.1) * cell, about
        fine = bay.largest_about(spot, coarse, cell)
        if fine < found - near:  # openings that are nearly alike: look at the one that was named
            step = opening.pocket.front
            spot = [float(c) + value for c, value in zip(step, opening.ball.center, strict=True)]
            fine = max(fine, bay.largest_about(spot, coarse, cell))
        assert fine <= found + near, f"{about} and {fine}"
        pinned += fine >= found - near
    return pinned / cases


def test_ball_against_a_path_search():
    """The largest of a bay's openings is the largest ball whose centre finds a way."""
    assert search_matches(random.Random(20), CASES, 0.35) >= 0.975  # all but 1


def test_ball_beside_rail_ends_against_a_path_search():
    """The same where the rail ends well short of the posts, and a ball may rise into the slots."""
    assert search_matches(random.Random(23), CASES, 0.35, slots=True) >= 0.925  # all but 3


def beside_a_long_slot(side_gap):
    """A foot whose post stands 5 5/8 in off the rail's end, the rail below the nosing line."""
    flight = Flight(
        unit_rise=Fraction(31, 4), unit_run=Fraction(155, 16), risers=4,
        bottom_gap=Fraction(-37, 16), side_gap=side_gap,
        posts=(Fraction(-483, 64), Fraction(4335, 256), Fraction(651, 16)),
    )  # fmt: skip
    thin = BracketBody(height=Fraction(1, 1000), reach=Fraction(1, 1000))
    bracket = Bracket(
        kind="pivot", pivot_offset=Fraction(81, 16), rail_setback=Fraction(1, 4), body=thin
    )
    section = solve_section(job_of(flight, Fraction(2), bracket), 0)
    bays = largest_of_bays(iter([(flight, Fraction(2), section)]))
    return next(bays)


def test_places_on_both_sides_of_a_rails_corner_are_no_way_through():
    """A ball that fits on either side of the neck below the corner has not come by it."""
    bay, opening = beside_a_long_slot(Fraction(19, 4))
    cell = 0.1
    coarse, _ = bay.largest(cell, opening.diameter)
    assert abs(coarse - opening.diameter / 2) <= (DIAGONAL + 0.1) * cell


def test_ball_through_the_guards_plane_by_looking_everywhere():
    """Where no stair is near, beside an open rail end or a closed one."""
    dice, decided = random.Random(24), 0
    for _ in range(40):
        high, height, slope = dice.uniform(2, 40), dice.uniform(0.5, 8), dice.uniform(0.2, 1.1)
        low = -height / slope * dice.uniform(0.2, 1.2)
        ends = (
            low + dice.uniform(0, (high - low) * 0.8),
            high - dice.uniform(0, (high - low) * 0.15),
        )
        x, y = np.meshgrid(np.linspace(low, high, 1200),
                           np.linspace(0, height + slope * high, 1200))  # fmt: skip
        below = (height + slope * x - y) / hypot(1, slope)
        room = np.minimum(np.minimum(x - low, high - x), y)
        for corners in (None, ends):
            keeps = below
            for end, way in zip(corners or (), (-1, 1), strict=False):
                top = height + slope * end
                past = ((x - end) + (y - top) * slope) * way > 0
                keeps = np.where(past, np.hypot(x - end, y - top), keeps)
            best = np.where(below >= 0, np.minimum(room, keeps), 0).max()
            rail = height, slope
            found = largest_in_plane((low, high), 0.0, rail, corners)
            if corners:
                before = largest_before_rail((low, high), 0.0, rail, corners[0])
                decided += before > found
                found = max(found, before)
            assert best - 1e-9 <= found <= best + 0.05
    assert decided > 2  # before the lower end is the most room


def test_ball_against_slices():
    """In each plane on the way the largest ball that fits; the least of them is what passes.

    The squares of flat circle and side gap are off by up to 0.4 %: the planes tell them apart.
    """
    bays = largest_of_bays(solved_flights(random.Random(21)))
    seen = told_apart = 0
    while seen < 6:
        bay, opening = next(bays)
        found = opening.diameter / 2
        if opening.diameter <= float(bay.flight.side_gap):
            continue
        step = opening.pocket.front
        middle = [float(c) + value for c, value in zip(step, opening.ball.center, strict=True)]
        least = bay.least_of_slices(middle, found, 25, 0.05)
        assert least == pytest.approx(found, abs=2e-3)
        squares = hypot(opening.flat_diameter, float(bay.flight.side_gap)) / 2
        told_apart += abs(squares - least) > 4e-3
        seen += 1
    assert told_apart >= 2


@pytest.mark.fuzz
@pytest.mark.parametrize("seed", range(6))
def test_ball_against_a_path_search_many_times(seed):
    """The same, on many more stairs and a finer grid."""
    assert search_matches(random.Random(seed), MANY // 6, 0.25) > 0.9


@pytest.mark.fuzz
@pytest.mark.parametrize("seed", range(3))
def test_ball_beside_rail_ends_against_a_path_search_many_times(seed):
    """The same beside open rail ends."""
    assert search_matches(random.Random(seed), 150, 0.25, slots=True) > 0.85


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
        corner = Corner(*shares, sum(shares))  # a flat circle of radius 1
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
        assert largest_radius(Corner(0, 5, 5, 10), side_gap) == pytest.approx(
            hypot(1, side_gap / 2), rel=1e-14
        )


def test_strip_over_a_closed_stringer_is_the_long_side():
    """Parallel edges: a 3-4-5 triangle of flat gap, side gap and ball, decided exactly."""
    flight = Flight(
        unit_rise=Fraction(9), unit_run=Fraction(12), risers=4, stringer="closed",
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
        corner = Corner(*shares, total)
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
                circle, _, _ = largest_in_pocket(opening.pocket, {})
                assert ball_in_pocket(close, {}).diameter == pytest.approx(
                    circle.diameter, abs=2e-7
                )
                assert diameter_in_pocket(replace(close, side_gap=Fraction(0)), {}) == (
                    circle.diameter
                )
                seen += 1
    assert seen > 20


def test_wide_side_gap_lets_its_own_width_drop():
    """However low the rail, a ball as thick as the side gap falls between stair and guard."""
    flight = Flight(
        unit_rise=Fraction(7), unit_run=Fraction(11), risers=5, nosing=Fraction(1),
        bottom_gap=Fraction(-13), side_gap=Fraction(7, 2), posts=(Fraction(6), Fraction(50)),
    )  # fmt: skip
    openings = [o for o in pockets_of(flight) if o.kind == "triangle"]
    assert openings
    for opening in openings:
        assert (opening.diameter, opening.flat_diameter) == (3.5, 0.0)
        assert compare_opening(opening, Fraction(7, 2)) == 0
        assert compare_opening(opening, Fraction(7, 2) + Fraction(1, 10**12)) == -1
        assert gap_for_ball_at_side(opening.pocket, Fraction(7, 2)) < -flight.unit_rise


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
                most = max(ball_in_pocket(pocket, {}).diameter for pocket in aside)
                if before is not None:
                    assert before - 1e-9 <= most <= before + 0.25 + 1e-9
                before = most


def behind_a_post(side_gap, gap=Fraction(1)):
    """The opening over tread 2 of a deep overhang, a post's face flush with the nosing over it."""
    flight = Flight(
        unit_rise=Fraction(8), unit_run=Fraction(10), risers=4, nosing=Fraction(3),
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
        between = _between_planes(opening.pocket, {})
        assert opening.flat_diameter == pytest.approx(flat, rel=1e-12)
        assert opening.ball.flat == is_flat == (between.diameter < flat - 0.1)
        assert opening.diameter == max(between.diameter, opening.flat_diameter)
        assert ("riser 3" in opening.leans_on) == is_flat
        assert diameter_in_pocket(opening.pocket, {}) == opening.diameter


def test_circle_behind_a_post_is_decided_exactly():
    """An 8-15-17 step, 15 + 3 deep: 2 (1 · 15 + 18 · 8) / (8 + 15 + 17) = 7.95 across."""
    flight = Flight(
        unit_rise=Fraction(8), unit_run=Fraction(15), risers=4, nosing=Fraction(3),
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
        circle = largest_in_pocket(pocket, {})[0].diameter if is_open(pocket) else 0.0
        before = circle
        for step in (Fraction(1, 8), Fraction(1, 2), 1, 2, 3, Fraction(9, 2), 7):
            ball = ball_in_pocket(replace(pocket, side_gap=Fraction(step)), {}).diameter
            assert ball >= circle
            assert ball >= before - 1e-9
            before = ball


def test_ball_grows_with_the_bottom_gap_without_a_jump():
    """Across the nosing line too, where the elevation changes its shape."""
    base = Flight(
        unit_rise=Fraction(7), unit_run=Fraction(11), risers=4, nosing=Fraction(1),
        tread_thickness=Fraction(1), bottom_gap=Fraction(0), side_gap=Fraction(2),
        posts=(Fraction(-6), Fraction(40)),
    )  # fmt: skip
    for opening in pockets_of(base):
        before = None
        for step in range(-20, 40):
            pocket = replace(opening.pocket, bottom_gap=Fraction(step, 8))
            ball = ball_in_pocket(pocket, {})
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
    while seen < 60:
        for opening in next(flights)[2].openings:
            pocket = opening.pocket
            if opening.kind not in UNDER or not is_open(pocket) or opening.ball.corner:
                continue
            channel = _channel(pocket)
            radius = _between_planes(pocket, {}).diameter / 2 / channel.room.scale
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
    flight = Flight(
        unit_rise=Fraction(9), unit_run=Fraction(12), risers=4, bottom_gap=gap + shift,
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
    flight = Flight(
        unit_rise=Fraction(5), unit_run=Fraction(11), risers=4, nosing=Fraction(5, 2),
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
    flight = Flight(
        unit_rise=Fraction(7), unit_run=Fraction(11), risers=4,
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
            assert gap == "foot" and ball_in_pocket(storey, {}).diameter < limit
            continue
        if found == -2 * flight.unit_rise:
            lowest = replace(pocket, bottom_gap=-flight.unit_rise)
            assert ball_in_pocket(lowest, {}).diameter >= limit
            continue
        assert decided_at(pocket, limit, found) == (-1, 1)
        # the gap that the pocket has at first is of no account
        lower = replace(pocket, bottom_gap=Fraction(1, 3))
        assert gap_for_ball_at_side(lower, limit) == found


def decided_at(pocket, limit, gap):
    """How the ball that passes compares with a limit at a gap, and a step of the search higher."""
    base = pocket.unit_run + pocket.nosing
    if pocket.high_step <= pocket.step:
        base = abs(pocket.high_post[1] - pocket.front[0])
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
            if found is None or found == -2 * pocket.unit_rise:
                continue
            assert decided_at(pocket, Fraction(limit), found) == (-1, 1)
            ball = ball_in_pocket(replace(pocket, bottom_gap=found), {})
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
    flight = Flight(
        unit_rise=Fraction(7), unit_run=Fraction(11), risers=4, nosing=Fraction(1),
        bottom_gap=Fraction(-3), side_gap=Fraction(4), posts=(Fraction(-5), Fraction(50)),
    )  # fmt: skip
    pocket = next(o for o in pockets_of(flight) if o.kind == "foot").pocket
    limit = Fraction(4)
    assert gap_for_ball_at_side(pocket, limit) == -2 * flight.unit_rise
    found = gap_for_ball_at_side(pocket, limit, may_touch=True)
    assert -flight.unit_rise < found < 2
    assert compare_in_pocket(replace(pocket, bottom_gap=found), limit) == 0
    higher = replace(pocket, bottom_gap=found + Fraction(1, 10**6))
    assert ball_in_pocket(higher, {}).diameter > limit
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


def test_gap_for_a_ball_in_the_plain_corner_by_the_closed_form():
    """The greatest of the gaps that the closed form gives for each place on the way."""
    flight = Flight(
        unit_rise=Fraction(7), unit_run=Fraction(11), risers=4, nosing=Fraction(1),
        bottom_gap=Fraction(1, 2), side_gap=Fraction(2), posts=(Fraction(-9), Fraction(50)),
    )  # fmt: skip
    pocket = next(o for o in pockets_of(flight) if o.tread == 2).pocket

    def gap_at(out):
        near, far = form.stair_reach(3.0, out), form.guard_reach(3.0, 2.0, out)
        return form.bottom_gap_for_corner_ball(near, far, 12, 7, 11)

    best = minimize_scalar(lambda out: -gap_at(out), bounds=(0, 2), method="bounded",
                           options={"xatol": 1e-10})  # fmt: skip
    assert 0 < best.x < 1  # nearer to the stair
    found = float(gap_for_ball_at_side(pocket, Fraction(6)))
    assert found == pytest.approx(-best.fun, abs=1e-7)
    corner = Corner(0, 18, hypot(7, 11), 0)
    assert taken(corner, 3.0, 2.0) == pytest.approx(-best.fun * 11 + 12 * 7, rel=1e-12)


# ------------------------------------------------------------------ what the user gets


def flight_at_side(side_gap):
    return Flight(
        unit_rise=Fraction(29, 4), unit_run=Fraction(21, 2), risers=6, nosing=Fraction(1),
        tread_thickness=Fraction(5, 4), bottom_gap=Fraction(1, 4), side_gap=side_gap,
        posts=(Fraction(-4), Fraction(241, 4)), handrail=True,
    )  # fmt: skip


def test_flat_answer_that_would_have_been_wrong_shows():
    """In elevation a 6 in ball is kept; 2 1/2 in off to the side it passes, and a note says so."""
    near, far = (answer_for(job_of(flight_at_side(gap))) for gap in (Fraction(0), Fraction(5, 2)))
    for answer, passes in ((near, True), (far, False)):
        finding = next(f for f in answer.sections[0].findings if f.id == "opening-triangle")
        assert (finding.verdict != FAIL) == passes
        assert (finding.flat is None) == passes
        assert ("the elevation alone would pass" in finding.note) == (not passes)
        opening = finding.measure.opening
        flat = form.corner_circle(0.25, 11.5, 7.25, 10.5)
        assert opening.drawn_diameter == pytest.approx(flat, rel=1e-12)
        if not passes:
            assert finding.flat == opening.flat_diameter < 6 < finding.value
            window = answer.sections[0].window
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
