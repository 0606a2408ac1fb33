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

from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import ceil, hypot, sqrt

import numpy as np
from scipy import ndimage

from stairs.errors import NoSuchShape
from stairs.guard.solving import solve_section
from stairs.job import Bracket, BracketBody, Job, JobFlight, Panel, PostKind
from stairs.job.key_notes import record_of, with_values

CLOSE = Bracket(kind="plumb-cut")  # its rail goes up to the posts
FINER = 5  # places of the finer grid to one of the coarse
UNDER = ("triangle", "foot", "head", "under-rail")
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
    return record_of(
        JobFlight,
        unit_rise=rise,
        unit_run=run,
        risers=risers,
        nosing=nosing,
        tread_thickness=thickness,
        bottom_gap=gap,
        posts=tuple(posts),
        side_gap=inches(dice, 0.25, 7),
    ), width


def random_closed_flight(dice):
    """The same with a closed stringer, whose edge lies under the rail; posts on treads too."""
    flight, width = random_flight(dice)
    margin = inches(dice, 0.25, 3)
    gap = margin + inches(dice, 0.5, 6)
    half, run, last = (
        width / 2,
        flight.steps.unit_run,
        (flight.steps.risers - 1) * flight.steps.unit_run,
    )
    low = dice.choice([-half - inches(dice, 0, 5), half + inches(dice, 0, float(run) / 2)])
    high = dice.choice([last + half + inches(dice, 0, 8), last - half - inches(dice, 0, 3)])
    posts = (low, high) if high - low > width + 3 else (-half, last + half)
    return with_values(
        flight,
        nosing=Fraction(0),
        tread_thickness=None,
        stringer="closed",
        stringer_margin=margin,
        bottom_gap=gap,
        posts=posts,
    ), width


def random_bracket(dice):
    """A pin that stands 1 to 6 in off the post, with a body that leaves nearly all of the slot."""
    thin = BracketBody(height=Fraction(1, 1000), reach=Fraction(1, 1000))
    return Bracket(kind="pivot", pivot_offset=inches(dice, 1, 6), rail_setback=Fraction(1, 4),
                   body=thin)  # fmt: skip


def solved_flights(dice, slots=False, closed=False):
    """Random flights for ever, those left out whose rail ends in the ground."""
    while True:
        flight, width = random_closed_flight(dice) if closed else random_flight(dice)
        bracket = random_bracket(dice) if slots else CLOSE
        try:
            section = solve_section(job_of(flight, width, bracket), 0)
        except NoSuchShape:
            continue
        yield flight, width, section


@dataclass
class Bay:
    """One bay as the search sees it: boxes, half planes, ground."""

    flight: JobFlight
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
                flight.steps.unit_rise, flight.steps.unit_run, flight.build.nosing,
                flight.bottom_gap,
                flight.build.side_gap,
            )
        )  # fmt: skip
        thick = float(flight.build.tread_thickness or 0)
        far = 1e3

        def box(left, bottom, top):
            across = np.maximum(left - x, 0)
            up = np.maximum(np.maximum(bottom - y, y - top), 0)
            return np.hypot(across, up)

        stair = np.full(np.broadcast_shapes(x.shape, y.shape), np.inf)
        first = 1
        if flight.build.stringer == "closed":
            first, foot = flight.steps.risers, rise + float(flight.build.stringer_margin)
            last = (flight.steps.risers - 1) * run
            stair = under_slope(x, y, last, foot, foot + last * rise / run, far)
        for k in range(first, flight.steps.risers + 1):
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
        rise, run = float(flight.steps.unit_rise), float(flight.steps.unit_run)
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
        rise, run = float(self.flight.steps.unit_rise), float(self.flight.steps.unit_run)
        top = rise + max(float(self.flight.bottom_gap), 0) + self.high * rise / run
        top = max(top, self.flight.steps.risers * rise + most)  # a ball comes down from there
        side = float(self.flight.build.side_gap)
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
        grid = self.grid((*lows, 0), (*highs, float(self.flight.build.side_gap)), cell / FINER)
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
        low, high = 0.0, float(self.flight.build.side_gap)
        for _ in range(2):
            places = np.linspace(low, high, slices)
            found = [self.largest_in_slice(middle, reach, z, cell) for z in places]
            k = int(np.argmin(found))
            low, high = places[max(k - 1, 0)], places[min(k + 1, slices - 1)]
        return min(found)


def under_slope(x, y, end, low, high, far):
    """Distance to what is below a slope from ``(0, low)`` to ``(end, high)``."""
    solid = (x >= 0) & (x <= end) & (y <= low + (high - low) * x / end)
    least = np.full(np.broadcast_shapes(x.shape, y.shape), np.inf)
    corners = ((0, -far), (0, low), (end, high), (end, -far))
    for (ax, ay), (bx, by) in pairwise(corners):
        dx, dy = bx - ax, by - ay
        along = np.clip(((x - ax) * dx + (y - ay) * dy) / (dx * dx + dy * dy), 0, 1)
        least = np.minimum(least, np.hypot(x - ax - along * dx, y - ay - along * dy))
    return np.where(solid, 0.0, least)


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
    return (
        float(section.flight.unit_rise)
        + section.bottom_gap
        + x * float(section.flight.unit_rise) / float(section.flight.unit_run)
    )


def largest_of_bays(flights):
    """The bays of flights one by one, each with the largest of its openings."""
    for flight, width, section in flights:
        half = float(width) / 2
        for bay in section.bays:
            here = [o for o in section.openings if o.kind in UNDER and o.bay == bay.number]
            low, high = section.posts[bay.number - 1].x + half, section.posts[bay.number].x - half
            largest = max(here, key=lambda opening: opening.diameter)
            if (
                largest.ball is None or not largest.ball.flat
            ):  # the search knows posts that go on downward only
                rail = [x for x, y in bay.bottom_rail if abs(under(section, x) - y) < 1e-9]
                yield Bay(flight, low, high, (min(rail), max(rail)), 1.5), largest


def search_matches(dice, cases, cell, slots=False, closed=False):
    """Every bay of many flights; share of those that the finer grid has pinned down.

    No ball may be larger than either grid allows, nor smaller than the coarse one.  The finer grid
    sees only the neighbourhood of one narrow place: where a way needs room elsewhere it finds less
    than there is, so it cannot pin down every bay.
    """
    bays = largest_of_bays(solved_flights(dice, slots, closed))
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
            spot = opening.center
            if opening.ball is not None:
                step = (opening.pocket or opening.strip).front
                spot = [float(c) + v for c, v in zip(step, opening.ball.center, strict=True)]
            fine = max(fine, bay.largest_about(spot, coarse, cell))
        assert fine <= found + near, f"{about} and {fine}"
        pinned += fine >= found - near
    return pinned / cases
