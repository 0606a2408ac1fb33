"""The panel: its racking limit, its hole pattern, and the two ways to cut a rail from stock."""

from fractions import Fraction
from math import atan, degrees, tan

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from shapely import affinity
from shapely.geometry import Polygon, box

from stairs.guard.solving import solve_section
from stairs.job import Bracket, Job, JobFlight, Panel, PostKind, Slot
from stairs.job.key_notes import record_of
from stairs.parts.panel import better_trim, cut_rail, hole_pattern, rack

PROPERTY = settings(deadline=None, derandomize=True, max_examples=48)


def part(low, high):
    return st.fractions(min_value=low, max_value=high, max_denominator=16)


def panel(**more):
    parts = {"height": Fraction(32), "top_rail": Fraction(7, 4), "bottom_rail": Fraction(3, 2),
             "baluster": Fraction(3, 4), "pitch": Fraction(9, 2)}  # fmt: skip
    return Panel(**{**parts, **more})


STEP = (Fraction(15, 2), Fraction(10))  # 3-4-5


@pytest.mark.parametrize(
    ("slot", "stated", "limit", "set_by"),
    [
        (None, None, None, ""),
        (None, 38, 38.0, "stated"),
        # a hole twice the baluster's width in a wall without thickness: cosine one half
        ((Fraction(3, 2), Fraction(0)), None, 60.0, "slot"),
        ((Fraction(3, 2), Fraction(0)), 38, 38.0, "stated"),
        ((Fraction(3, 2), Fraction(0)), 61, 60.0, "slot"),
        ((Fraction(3, 4), Fraction(1, 16)), 38, 0.0, "slot"),
        ((Fraction(1, 2), Fraction(1, 16)), None, 0.0, "slot"),  # the baluster does not even pass
    ],
)
def test_racking_limit_is_the_smaller_of_slot_and_maker(slot, stated, limit, set_by):
    """Whichever binds first, and its name."""
    hole = None if slot is None else Slot(length=slot[0], wall=slot[1])
    racked = rack(panel(slot=hole, max_rack=None if stated is None else Fraction(stated)), *STEP)
    assert racked.max_rack == (None if limit is None else pytest.approx(limit, abs=1e-9))
    assert racked.max_rack_set_by == set_by
    assert (racked.hole_needed is None) == (slot is None)


def test_racked_panel_on_a_3_4_5_rake():
    """Worked on paper: cosine 4/5, so plumb depths are 5/4 and level pitches 4/5 of the square."""
    racked = rack(panel(slot=Slot(length=Fraction(9, 8), wall=Fraction(1, 2))), *STEP)
    assert racked.rail_spacing_plumb == Fraction(243, 8)
    assert float(racked.racked_height) == pytest.approx(30.375 + (1.75 + 1.5) / 2 * 1.25)
    assert float(racked.rail_spacing) == pytest.approx(30.375 * 0.8)
    assert float(racked.baluster_clear) == pytest.approx(4.5 * 0.8 - 0.75)
    assert float(racked.top_plumb_depth) == pytest.approx(1.75 * 1.25)
    assert float(racked.bottom_plumb_depth) == pytest.approx(1.5 * 1.25)
    assert float(racked.hole_needed) == pytest.approx(0.75 * 1.25 + 0.5 * 0.75)


@PROPERTY
@given(stock=part(1, 200), pitch=part(2, 8), width=part(Fraction(1, 4), 2),
       margin=st.one_of(st.none(), part(0, 6)))  # fmt: skip
def test_hole_pattern(stock, pitch, width, margin):
    """One pitch apart, whole balusters only, as many as fit; centred where no margin is given."""
    holes = hole_pattern(panel(pitch=pitch, baluster=width, end_margin=margin), stock)
    assert all(b - a == pitch for a, b in zip(holes, holes[1:], strict=False))
    if margin is None:
        assert bool(holes) == (stock >= width)
        if holes:
            assert holes[0] + holes[-1] == stock
            assert holes[0] >= width / 2
            assert len(holes) * pitch + width > stock
    elif holes:
        assert holes[0] == margin
        assert holes[-1] + width / 2 <= stock < holes[-1] + pitch + width / 2
    else:
        assert margin + width / 2 > stock


def trims(clear=42, length=50, stock=60, **more):
    """Both trims of a rail on a 3-4-5 rake, pins without an offset: clear 42 is 52 1/2 long."""
    job_panel = panel(**more)
    return [
        cut_rail(job_panel, Fraction(stock), way, Fraction(clear), Fraction(length), *STEP)
        for way in ("even", "half-pitch")
    ]


def test_even_and_half_pitch_trim_worked_on_paper():
    """Stock 60, rail 50: 5 off either end, or 2 3/4 and 7 1/4 with a pitch of 4 1/2."""
    even, half = trims()
    assert (even.low, even.high) == (5.0, 5.0)
    assert (half.low, half.high) == (2.75, 7.25)
    assert even.stock == half.stock == 60
    # 14 holes from 3/4 on (59 1/4 / 4 1/2 = 13.2): 3/4, 5 1/4, 9 3/4 ... 59 1/4
    assert hole_pattern(panel(), Fraction(60))[:3] == (
        Fraction(3, 4), Fraction(21, 4), Fraction(39, 4),
    )  # fmt: skip
    # the even cut at 5 cuts into the hole at 5 1/4, so the first one left is 9 3/4
    assert even.along_rail[0] == pytest.approx(4.75)
    assert (even.holes_lost_low, even.holes_lost_high) == (2, 2)
    assert even.balusters == 10
    assert half.along_rail[0] == pytest.approx(2.5)
    assert half.balusters + half.holes_lost_low + half.holes_lost_high == 14


def test_cuts_through_holes_are_counted():
    """Even: 5 comes off, and the hole at 5 1/4 is 5/8 long at 3 in 4, so that the cut is in it."""
    even, half = trims(stock=60, end_margin=Fraction(3, 4))
    assert (even.sawn_holes, half.sawn_holes) == (2, 0)


def test_stock_too_short_to_move_the_pattern():
    """5 in spare, 2 1/2 at either end: a half pitch of 2 1/4 fits, one of 2 3/4 does not."""
    assert trims(stock=55)[1].low == pytest.approx(0.25)
    even, half = trims(stock=55, pitch=Fraction(11, 2))
    assert even is not None and half is None
    assert trims(stock=49) == [None, None]


@PROPERTY
@given(spare=part(0, 20), clear=part(30, 60), pitch=part(2, 6))
def test_both_ways_take_the_same_off_in_all(spare, clear, pitch):
    """What is cut off in all does not depend on where."""
    length = clear * Fraction(5, 4)
    for trim in trims(clear, length, length + spare, pitch=pitch):
        if trim is not None:
            assert trim.low + trim.high == pytest.approx(float(spare), abs=1e-9)
            assert trim.low >= 0 and trim.high >= 0
            assert len(trim.along_rail) == trim.balusters


BASE = trims()[0]


def trim_with(low, high, stock=60, sawn=0):
    return replace(BASE, end_gap_low=Fraction(low), end_gap_high=Fraction(high),
                   stock=Fraction(stock), sawn_holes=sawn)  # fmt: skip


BETTER = [
    (None, None, 4, "even", "no stock length is long enough"),
    (trim_with(2, 2), None, 4, "even", "no stock length is long enough to move the pattern"),
    (None, trim_with(2, 2), 4, "half-pitch", "only the moved pattern fits"),
    (trim_with(3, 3), trim_with(5, 5), 4, "even",
     "its end gaps are no wider than the gaps between balusters"),
    (trim_with(5, 5), trim_with(3, 3), 4, "half-pitch",
     "the even trim leaves an end gap wider than those between balusters"),
    (trim_with(3, 3, 60), trim_with(3, 3, 72), 4, "even", "it takes the shorter stock"),
    (trim_with(3, 3, 72), trim_with(3, 3, 60), 4, "half-pitch", "it takes the shorter stock"),
    (trim_with(3, 3, sawn=2), trim_with(2, 2, 72), 4, "half-pitch",
     "the even trim would saw through a hole"),
    (trim_with(2, 2), trim_with(3, 3, sawn=1), 4, "even",
     "the half-pitch trim would saw through a hole"),
    (trim_with(3, 3, sawn=2), trim_with(5, 5), 4, "even",
     "its end gaps are no wider than the gaps between balusters"),
    (trim_with(5, 5, sawn=1), trim_with(5, 5), 4, "half-pitch",
     "the even trim would saw through a hole"),
    (trim_with(3, 3, sawn=2), trim_with(2, 2, sawn=2), 4, "even",
     "its narrowest end gap is the wider of the two"),
    (trim_with(3, 3), trim_with(2, 2), 4, "even", "its narrowest end gap is the wider of the two"),
    (trim_with(1, 1), trim_with(2, 2), 4, "half-pitch",
     "the even trim leaves a baluster close to the post"),
    (trim_with(5, 1), trim_with(3, 3), 4, "half-pitch",
     "the even trim leaves an end gap wider than those between balusters"),
    (trim_with(1, 3), trim_with(2, 2), 4, "half-pitch",
     "the even trim leaves a baluster close to the post"),
    (trim_with(5, 5), trim_with(6, 6), 4, "even", "its widest end gap is the narrower of the two"),
    (trim_with(6, 6), trim_with(5, 5), 4, "half-pitch",
     "its widest end gap is the narrower of the two"),
    (trim_with(5, 5, 60), trim_with(5, 5, 72), 4, "even", "it takes the shorter stock"),
    (trim_with(5, 5, 72), trim_with(5, 5, 60), 4, "half-pitch", "it takes the shorter stock"),
    (trim_with(3, 3), trim_with(3, 3), 4, "even", "the two come out alike"),
    (trim_with(5, 5), trim_with(5, 5), 4, "even", "the two come out alike"),
    (trim_with(5, 2), trim_with(5, 3), None, "half-pitch",
     "the even trim leaves a baluster close to the post"),
    (trim_with(6, 6), trim_with(5, 5), None, "half-pitch",
     "its widest end gap is the narrower of the two"),
]  # fmt: skip


@pytest.mark.parametrize(("even", "half", "widest", "way", "why"), BETTER)
def test_better_trim_says_which_and_why(even, half, widest, way, why):
    """Each way of choosing, with its words."""
    assert better_trim(even, half, widest) == (way, why)


def cut_bays(trim, rise, run, spare, depth):
    """Bays of plumb-cut rails from one stock length, ``spare`` longer than needed; and the rake."""
    slope = rise / run
    clear = Fraction(60)
    length = float(clear) / (1 / (1 + float(slope) ** 2) ** 0.5)
    needed = length + float(depth) * tan(atan(float(slope)))
    stock = Fraction(needed).limit_denominator(64) + spare
    risers = int(clear / run) + 2
    posts = (Fraction(-5, 2), Fraction(-5, 2) + clear + 3)
    section = record_of(JobFlight, unit_rise=rise, unit_run=run, risers=risers, posts=posts,
                     bottom_gap=Fraction(1))  # fmt: skip
    job = Job(
        units="in", rules="irc-2021", tape=Fraction(1, 16), measured_within=Fraction(0),
        panel=panel(trim=trim, stock=(stock,), bottom_rail=depth, top_rail=depth),
        bracket=Bracket(kind="plumb-cut"), post=PostKind(width=Fraction(3)), sections=(section,),
    )  # fmt: skip
    return solve_section(job, 0).bays, degrees(atan(float(slope)))


@pytest.mark.parametrize("trim", ["even", "half-pitch"])
@settings(deadline=None, derandomize=True, max_examples=18)
@given(spare=part(Fraction(1, 16), 8), depth=part(1, 3))
@example(spare=Fraction(13, 5), depth=Fraction(3))
def test_plumb_cut_rail_lies_inside_the_stock_it_is_cut_from(trim, spare, depth):
    """Lay the stock on the rail's axis with its low end ``trim_low`` before the cut face."""
    bays, rake = cut_bays(trim, Fraction(7), Fraction(11), spare, depth)
    for bay in bays:
        if bay.trims.used is None:
            continue
        outline = Polygon(bay.bottom_rail)
        corners = bay.bottom_rail
        start = [(corners[0][i] + corners[1][i]) / 2 for i in (0, 1)]
        half = float(depth) / 2
        used = bay.trims.used
        raw = box(-used.low, -half, float(used.stock) - used.low, half)
        raw = affinity.translate(affinity.rotate(raw, rake, (0, 0)), *start)
        assert outline.difference(raw.buffer(1e-6)).area < 1e-9


@pytest.mark.parametrize("way", ["even", "half-pitch"])
def test_ends_that_are_told_apart_come_to_the_same_where_they_are_alike(way):
    """By each end's own stand-off and setback, or from the middle of the bay."""
    alike = (Fraction(1), Fraction(1), Fraction(1, 2))
    step = (Fraction(6), Fraction(8))
    told = (panel(), Fraction(72), way, Fraction(42), Fraction(49), *step)
    middle, apart = cut_rail(*told), cut_rail(*told, ends=alike)
    assert float(apart.end_gap_low) == pytest.approx(float(middle.end_gap_low))
    assert float(apart.end_gap_high) == pytest.approx(float(middle.end_gap_high))
    # the upper post's bracket alone stands 1 farther off: so does the last baluster
    unlike = cut_rail(*told, ends=(Fraction(1), Fraction(2), Fraction(1, 2)))
    assert float(unlike.end_gap_low) == pytest.approx(float(middle.end_gap_low))
    assert float(unlike.end_gap_high) == pytest.approx(float(middle.end_gap_high) + 1)
