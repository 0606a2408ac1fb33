"""Ends of what passes, against coordinates and plain trigonometry of these tests' own."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from msgspec.structs import replace

from stairs.inverse.found import find
from stairs.solution import solution_for

RISE, RUN, NOSING = 7.25, 10.5, 1.0
SLOPE_LENGTH = math.hypot(RISE, RUN)
COSINE = RUN / SLOPE_LENGTH


def ends(found):
    """The exact ends of every stretch that passes as drawn."""
    return [(float(one.low.value), float(one.high.value)) for one in found.drawn]


def bracketed(end):
    """An end's bracket is narrow and its two sides were told apart."""
    assert abs(end.inside - end.outside) <= Fraction(1, 10**12)
    assert end.inside != end.outside
    return end


def distance_under_rail(x, y):
    """From a point square to the line through the nosings, below 0 where it lies under that.

    The line goes through (0, RISE) in the direction (RUN, RISE).
    """
    return ((y - RISE) * RUN - x * RISE) / SLOPE_LENGTH


def test_the_highest_bottom_gap_is_where_the_ball_touches_tread_riser_and_rail(porch):
    """The ball lies in the corner of tread 1 and riser 2; its centre is a radius off both."""
    found = find(porch(), "bottom_gap")
    (stretch,) = found.drawn
    high = bracketed(stretch.high)
    radius = 6 / 2  # IRC 2021 R312.1.3 exception 1: a 6 in sphere must not pass
    centre = RUN + NOSING - radius, RISE + radius
    # the rail lies over the centre by this much square to it, and by the cosine more with a gap
    gap = (radius + distance_under_rail(*centre)) / COSINE
    assert float(high.value) == pytest.approx(gap, abs=1e-9)
    assert not high.included  # a ball of just that size passes
    assert {miss.id for miss in high.misses} == {"opening-triangle"}
    assert "riser 2" in high.leans[0] and "bottom rail" in high.leans[0]
    # the least guard height, 34 in (R312.1.2 exception 1), over the nosings: the racked panel is as
    # tall as the level one between its rails' middles, and half of both rails more by the secant
    rails = (1.75 + 1.5) / 2
    racked = 33.5 - rails + rails / COSINE
    assert float(stretch.low.value) == pytest.approx(34 - racked, abs=1e-9)
    assert stretch.low.included
    assert found.way.proved


def test_the_marks_are_inside_the_ends_and_the_sure_ones_inside_those(porch):
    found = find(porch(), "bottom_gap")
    (low, high), (run,) = ends(found)[0], found.marks
    assert low <= run.low and run.high < high
    assert run.low - low < 1 / 16 and high - run.high < 1 / 16
    (sure,) = found.sure
    assert run.low <= sure.low <= sure.high <= run.high
    # every measurement 1/16 in off: the gap alone takes that much at either end
    assert sure.low - low >= 1 / 16 and high - sure.high >= 1 / 16


def test_the_greatest_unit_rise_is_the_code_s(porch):
    """IRC 2021, R311.7.5.1: the riser height shall be not more than 7 3/4 in."""
    found = find(porch(), "unit_rise", goal="unit-rise-max")
    (stretch,) = found.drawn
    assert stretch.high.value == Fraction(31, 4) and stretch.high.included
    assert found.asked.gives_way == ("rise",)


def test_the_longest_bay_from_a_72_in_rail_by_trigonometry(porch):
    """Both pins stand off their posts, and the rail's ends a little off the pins."""
    found = find(
        porch(), "posts.2", goal="rail_length", at_most="72", low="56", high="70", section=1
    )
    between_pins = (72 + 2 * 0.375) * COSINE
    clear = between_pins + 2 * 1.125
    assert ends(found)[0][1] == pytest.approx(-4 + 3 + clear, abs=1e-9)
    assert found.drawn[0].high.included


def test_the_rake_at_which_the_panel_binds(porch):
    """A baluster 3/4 in wide through a hole 1 1/8 in long, in a wall of 1/16 in."""
    job = porch(("max_rack = 38\n", ""), ("max_swing = 40\n", ""))
    found = find(job, "rake", goal="rack-limit", low="20", high="60")
    low, high = 20.0, 60.0
    for _ in range(80):
        middle = (low + high) / 2
        angle = math.radians(middle)
        fits = 0.75 / math.cos(angle) + math.tan(angle) / 16 <= 1.125
        low, high = (middle, high) if fits else (low, middle)
    assert ends(found)[0][1] == pytest.approx(low, abs=1e-7)


def test_the_side_gap_that_still_passes_over_a_closed_stringer(porch):
    """Between the rail and a straight edge a ball of 4 3/8 in passes beside the stair from
    d² + g² = (4 3/8)² on, with d the strip square to the rail (IRC 2021 R312.1.3 exc. 2)."""
    job = porch(
        ("nosing = ", 'stringer = "closed"\nstringer_margin = "2"\nnosing = '),
        ('bottom_gap = "7/16"', 'bottom_gap = "6"'),
    )
    found = find(job, "side_gap", goal="opening-under-rail", low="0", high="4")
    strip = (6 - 2) * COSINE
    (first, *_) = found.drawn
    limit = first.high.misses[0].limit
    assert float(first.high.value) == pytest.approx(math.sqrt(limit**2 - strip**2), abs=1e-7)


def test_counts_are_listed_one_by_one(porch):
    """43 1/2 in in n risers, 52 1/2 in in n - 1 runs: 7 3/4 in and 10 in are the code's limits."""
    found = find(porch(), "treads")
    told = {one.value: {miss.id for miss in one.misses} for one in found.tried}
    assert set(told) == set(range(1, 13))
    for treads in range(2, 13):
        assert ("unit-rise-max" in told[treads]) == (43.5 / (treads + 1) > 7.75)
        assert ("unit-run-min" in told[treads]) == (52.5 / treads < 10)
    assert [(run.low, run.high) for run in found.marks] == [(5, 5)]


def test_no_answer_is_proved_and_the_nearest_told(porch):
    """A panel 31 in tall stands under 34 in at any gap at which the 6 in ball sticks."""
    found = find(porch(('height = "33 1/2"', 'height = "31"')), "bottom_gap")
    assert not found.drawn and not found.marks and found.way.proved
    failing = {miss.id for part in found.fails for miss in part.misses}
    assert {"guard-height-min", "opening-triangle"} <= failing
    assert found.fails[0].low == found.span.low and found.fails[-1].high == found.span.high
    assert found.nearest is not None and found.nearest.misses


def test_what_fails_whatever_the_key_is_is_told_and_left_aside(porch):
    found = find(porch(("max_swing = 40", "max_swing = 30")), "bottom_gap")
    assert not found.marks and {miss.id for miss in found.constant} == {"bracket-swing"}
    assert found.without is not None
    assert ends(found.without) == ends(find(porch(), "bottom_gap"))


def test_a_number_that_is_to_be_just_so_much(porch):
    """A guard 36 in tall over the nosings: the racked panel and what is under it."""
    found = find(porch(), "bottom_gap", goal="guard_height", equal="36")
    rails = (1.75 + 1.5) / 2
    (stretch,) = found.drawn
    assert float(stretch.low.value) == pytest.approx(36 - (33.5 - rails + rails / COSINE), abs=1e-9)
    assert stretch.low.value == stretch.high.value and not found.marks
    assert [float(one.value) for one in found.tried] == [2.125, 2.1875]


def test_a_count_that_leaps_over_what_is_wanted_has_no_answer(porch):
    """Five runs of 10 1/2 in need no rail of 0 balusters, and 1000 do not fit."""
    found = find(porch(), "panel.pitch", goal="balusters", equal="1000", low="4", high="5")
    assert not found.drawn and found.nearest is not None


def test_the_window_of_the_gap_and_the_answer_agree(porch):
    """Two routes: the window asks each opening for its gap, the search tries gaps."""
    job = porch()
    window = solution_for(job, with_remedies=False).sections[0].window
    ((low, high),) = ends(find(job, "bottom_gap"))
    assert low == pytest.approx(float(window.low.value), abs=1e-9)
    assert high == pytest.approx(float(window.high.value), abs=1e-9)


def test_where_the_ball_comes_to_touch_the_nosing_is_named(porch):
    """A ball in the corner of tread 1 and riser 2 has its centre at (RUN + NOSING - r, RISE + r);
    it comes to touch the lower edge of nosing 2, at (RUN, 2 RISE - 1 1/4), where that is r off:
    (r - NOSING)² + (RISE - 1 1/4 - r)² = r².
    """
    found = find(porch(), "bottom_gap", goal="opening-triangle", low="0", high="4")
    under = RISE - 1.25
    half = NOSING + under
    radius = half - math.sqrt(half**2 - NOSING**2 - under**2)
    # square to the rail: what is under it at the centre is the radius
    gap = (radius + distance_under_rail(RUN + NOSING - radius, RISE + radius)) / COSINE
    (change,) = found.contacts
    assert change.high - change.low <= Fraction(1, 10**6)
    assert float(change.low) == pytest.approx(gap, abs=2e-6)
    assert "riser 2" in change.below and "lower edge" not in change.below
    assert "nosing 2, lower edge" in change.above and "riser 2" not in change.above


def test_what_leaps_at_an_end_is_told_with_its_value_on_either_side(porch):
    """A baluster is lost beside a post: solved at both sides of the end, the gap is as told."""
    found = find(porch(), "panel.pitch", goal="opening-end", low="4 1/2", high="4 3/4")
    leaping = [end for one in found.drawn for end in (one.low, one.high) if end.jumps]
    assert leaping
    for end in leaping:
        (miss,) = end.misses
        assert abs(end.inside - end.outside) <= Fraction(1, 10**12)
        for pitch, told in ((end.inside, end.held), (end.outside, miss.value)):
            job = porch()
            job = replace(job, panel=replace(job.panel, pitch=pitch))
            section = solution_for(job, with_remedies=False).sections[0].section
            widest = max(one.diameter for one in section.openings if one.kind == "end")
            assert widest == pytest.approx(told, abs=1e-9)
