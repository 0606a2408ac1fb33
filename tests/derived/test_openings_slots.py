"""Slots beside posts, and rails below the nosings, against the same step drawn point by point.

Plain coordinates, with the step's front edge at the origin; shapely cuts the free space out of
them.  Nothing here is read from what it checks.
"""

import random
from fractions import Fraction
from math import hypot

import pytest
from shapely.geometry import LineString, Polygon, box

from stairs.openings.feature import RAIL_END, TREAD, Feature
from stairs.openings.pocket import Pocket, PocketPost, StepForm, is_open, slots_of
from stairs.openings.pocket_shape import pocket_shape
from stairs.openings.rail_slots import RailCut

FAR = 60  # where a post stands that is nowhere near


def pocket(rise, run, gap, low, high, nosing=0, thick=1, slots=(0, 0), back=0, **steps):
    """The free space over tread 2 of 5, between a post face at ``low`` and one at ``high``."""
    rise, run, gap, nosing, thick = map(Fraction, (rise, run, gap, nosing, thick))
    at = {"low_step": 0, "high_step": 5} | steps
    posts = [
        PocketPost(number, Fraction(face) + run, at[step], at[step] * rise)
        for number, face, step in ((1, low, "low_step"), (2, high, "high_step"))
    ]
    cut = RailCut(
        low_slot=Fraction(slots[0]),
        high_slot=Fraction(slots[1]),
        back=Fraction(0),
        up=Fraction(1),
        plumb_depth=Fraction(1),
        pin_low=Fraction(slots[0]),
        pin_high=Fraction(slots[1]),
    )
    return Pocket(
        step=2,
        risers=5,
        front=(run, 2 * rise),
        form=StepForm(rise, run, nosing, thick, Fraction(back)),
        line_rise=rise,
        line_run=run,
        front_lift=Fraction(0),
        bottom_gap=gap,
        stringer_margin=None,
        low=posts[0],
        high=posts[1],
        side_gap=Fraction(3),
        cut=cut,
    )


def step_above(rise, run, nosing, thick, back):
    """Tread, nosing, underside and riser behind a step; the riser's foot lies ``back`` behind."""
    riser = run + nosing
    return Polygon([(run, rise), (FAR, rise), (FAR, 0), (riser + back, 0), (riser, rise - thick),
                    (run, rise - thick)])  # fmt: skip


def under_a_low_rail(rise, run, gap, nosing, thick, back=0, low=-FAR):
    """What the elevation leaves free over a tread where the rail lies below the nosing line."""
    slope = rise / run
    below = Polygon([(-gap / slope, 0), (FAR, 0), (FAR, gap + FAR * slope)])
    free = below.difference(step_above(rise, run, nosing, thick, back))
    free = free.intersection(box(low, -1, FAR, FAR))
    return min(getattr(free, "geoms", [free]), key=lambda part: part.bounds[0])


@pytest.mark.parametrize("seed", range(60))
def test_free_space_under_a_rail_below_the_nosings(seed):
    dice = random.Random(seed)
    rise, run = dice.randint(24, 32) / 4, dice.randint(36, 48) / 4
    nosing, back = (
        dice.choice([0, dice.randint(1, 8) / 4]),
        dice.choice([0, dice.randint(1, 6) / 4]),
    )
    thick = dice.randint(2, 12) / 4
    # not so low that nothing is left before the riser
    gap = -rise * nosing / run * dice.randint(0, 3) / 4 - dice.randint(1, 9) / 4
    low = dice.choice([-FAR, dice.randint(1, 24) / 8])
    drawn = under_a_low_rail(rise, run, gap, nosing, thick, back, low)
    made = pocket(rise, run, gap, low, FAR, nosing, thick, back=back, low_step=0 if low < 0 else 2)
    found = Polygon([edge.start for edge in pocket_shape(made).edges])
    assert found.symmetric_difference(drawn).area <= 1e-9 * run * run


@pytest.mark.parametrize("seed", range(60))
def test_free_space_between_two_necks(seed):
    """The necks are square to the rail, so between them is a band of the plane."""
    dice = random.Random(seed)
    rise, run = dice.randint(24, 32) / 4, dice.randint(36, 48) / 4
    nosing, back = (
        dice.choice([0, dice.randint(1, 6) / 4]),
        dice.choice([0, dice.randint(1, 3) / 4]),
    )
    thick, gap = dice.randint(0, 12) / 4, dice.randint(0, 16) / 4
    low = dice.choice([-FAR, dice.randint(1, 24) / 8])
    high = dice.choice([FAR, dice.randint(28, 34) / 4])
    slope, away = rise / run, FAR * run / rise

    def before(x, y):  # the line square to the rail, downward to the right
        return Polygon([(x - away, y + away / slope), (x + away, y - away / slope),
                        (x + 9 * away, y), (x, y + 9 * away)])  # fmt: skip

    below = Polygon([(-9 * FAR, gap - 9 * FAR * slope), (FAR, gap + FAR * slope), (FAR, -9 * FAR)])
    free = below.intersection(before(0, 0)).intersection(box(low, 0, high, FAR))
    if high == FAR:  # else a post on the tread ends it, and no riser is near
        free = free.difference(step_above(rise, run, nosing, thick, back))
        free = free.difference(before(run, rise).intersection(box(-FAR, rise, FAR, FAR)))
    steps = {"low_step": 0 if low < 0 else 2, "high_step": 5 if high == FAR else 2}
    made = pocket(rise, run, gap, low, high, nosing, thick, back=back, **steps)
    found = Polygon([edge.start for edge in pocket_shape(made).edges])
    assert found.symmetric_difference(free).area <= 1e-7 * run * run


def test_posts_on_other_steps_stand_on_them():
    """From the surface that a post stands on up to the rail: 6 a step, 2 under the nosing line."""
    made = pocket(6, 8, 2, -5, 18, low_step=1, high_step=4)
    walls = {str(edge.name): (edge.start, edge.end) for edge in pocket_shape(made).beyond}
    assert walls["post 1"] == ((-5, -6), (-5, 2 - 5 * 0.75))
    assert walls["post 2"] == ((18, 12), (18, 2 + 18 * 0.75))


@pytest.mark.parametrize(
    ("gap", "nosing", "steps", "room"),
    [
        (-5, 1, {}, True),  # the rail comes to the tread 20/3 behind its edge, the riser is at 9
        (-7, 1, {}, False),  # 28/3
        (-7, 2, {}, True),
        (-5, 1, {"high_step": 2}, True),  # a post at 7
        (-6, 1, {"high_step": 2}, False),  # 8
        (0, 1, {"high_step": 2}, True),
    ],
)
def test_a_rail_below_the_nosings_leaves_room_where_it_is_over_the_tread(gap, nosing, steps, room):
    high = 7 if steps else FAR
    assert is_open(pocket(6, 8, gap, -FAR, high, nosing, **steps)) == room


def mouth(made, face, way, wide):
    """The piece of the rail's underside line that lies between a post's face and the rail's end."""
    slope = float(made.form.rise / made.form.run)
    ends = face, face + way * wide
    return LineString([(x, float(made.bottom_gap) + x * slope) for x in ends])


@pytest.mark.parametrize(
    ("high", "wide", "reaches"),
    [
        (12, 1.5, True),  # 10 1/2 of 11: the end is over the overhang's shadow
        (12, 0.5, False),  # 11 1/2: the rail itself comes to the riser
        (11.5, 1, True),
        (11.5, 0.25, False),
    ],
)
def test_a_slot_beyond_the_nosing_opens_as_far_as_the_riser(high, wide, reaches):
    """A rail 5 below the nosings of a 7 by 10 stair, whose riser stands 1 behind its nosing."""
    drawn = under_a_low_rail(7, 10, -5, 1, 1)
    made = pocket(7, 10, -5, -FAR, high, 1, 1, (0, wide), high_step=3)
    assert (mouth(made, high, -1, wide).intersection(drawn).length > 1e-6) == reaches
    assert slots_of(made) == (False, reaches)


@pytest.mark.parametrize(
    ("low", "wide", "reaches"), [(-3, 1, False), (-3, 2.25, True), (-2, 0.5, False), (-2, 2, True)]
)
def test_a_slot_below_the_step_opens_past_its_neck(low, wide, reaches):
    """The neck at a nosing 2 below the rail of a 3 by 4 stair comes to the rail 0.96 before it."""
    neck = -2 * 0.75 / (1 + 0.75**2)
    assert (low + wide > neck) == reaches
    made = pocket(6, 8, 2, low, FAR, slots=(wide, 0), low_step=1)
    assert slots_of(made) == (reaches, False)


@pytest.mark.parametrize(("high", "wide", "reaches"), [(9, 1, False), (9, 2.5, True)])
def test_a_slot_over_the_next_step_opens_short_of_its_neck(high, wide, reaches):
    neck = 8 - 2 * 0.75 / (1 + 0.75**2)
    assert (high - wide < neck) == reaches
    made = pocket(6, 8, 2, -FAR, high, slots=(0, wide), high_step=3)
    assert slots_of(made) == (False, reaches)


def test_a_slot_beside_a_post_on_the_step_is_open_wherever_its_end_lies():
    """Also where a rail below the nosings meets the tread beyond the slot, 20/3 from the edge."""
    made = pocket(6, 8, -5, 1, 7, nosing=1, slots=(1, 1), low_step=2, high_step=2)
    assert slots_of(made) == (True, True)
    assert slots_of(pocket(6, 8, 2, 1, 7, low_step=2, high_step=2)) == (False, False)


@pytest.mark.parametrize("seed", range(30))
def test_corners_of_a_rail_with_slots_lie_on_its_line(seed):
    dice = random.Random(seed)
    rise, run = Fraction(dice.randint(24, 32), 4), Fraction(dice.randint(36, 48), 4)
    wide = Fraction(dice.randint(1, 6), 4), Fraction(dice.randint(1, 6), 4)
    made = pocket(rise, run, Fraction(dice.randint(0, 8), 4), 1, run - 1, 1, 1, wide,
                  low_step=2, high_step=2)  # fmt: skip
    slope, gap = float(rise / run), float(made.bottom_gap)
    ends = 1 + float(wide[0]), float(run) - 1 - float(wide[1])
    if ends[0] >= ends[1]:
        return
    corners = [spot for spot, name in pocket_shape(made).corners if name == RAIL_END]
    for x, spot in zip(ends, corners, strict=True):
        assert hypot(spot[0] - x, spot[1] - gap - x * slope) < 1e-12


@pytest.mark.parametrize(("wide", "reaches"), [(4, False), (6, True)])
def test_a_slot_under_a_low_rail_opens_where_the_rail_is_over_the_tread(wide, reaches):
    """A rail 3 below the nosings of a 3 by 4 stair comes to the tread 4 behind its edge."""
    assert slots_of(pocket(6, 8, -3, -1, FAR, slots=(wide, 0), low_step=1)) == (reaches, False)


@pytest.mark.parametrize(("wide", "reaches"), [(1.5, True), (0.5, False)])
def test_a_slot_opens_as_far_as_the_foot_of_a_raked_riser(wide, reaches):
    """From a post at 11: the nosing is at 8, the riser's top at 9, its foot at 10."""
    made = pocket(6, 8, -6, -FAR, 11, 1, slots=(0, wide), back=1, high_step=3)
    assert slots_of(made) == (False, reaches)


def test_the_next_step_shows_beyond_the_end_of_a_low_rail():
    """Its tread runs from its nosing to the one after, 8 farther."""
    made = pocket(6, 8, -3, -FAR, 12, 1, slots=(0, 2), high_step=3)
    treads = [edge for edge in pocket_shape(made).beyond if edge.name == Feature(TREAD, 3)]
    assert [(edge.start, edge.end) for edge in treads] == [((8, 6), (16, 6))]
