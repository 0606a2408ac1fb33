"""The closed forms, against a stair put together from points that knows no formula of theirs.

The second route of every form is :mod:`stair_of_points`: its arguments and its result are measured
off one figure.  Beside that stand tables worked out apart, limits and continuity.
"""

import inspect
from fractions import Fraction
from math import hypot

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Point
from stair_of_points import stairs
from stair_sizes import PROPERTY, close, offsets, widths

from stairs.relations import closed_forms as form
from stairs.relations.derivation import FORMS, derivation_of, flight_forms

EVERY_FORM = [*FORMS, *(item for item, _ in flight_forms())]


@pytest.mark.parametrize("flush", [0, 1], ids=["landing", "flush"])
@settings(deadline=None, derandomize=True, max_examples=15)
@given(data=st.data())
def test_forms_give_what_is_measured_off_a_stair_of_points(flush, data):
    """Every form at measured arguments, against its measured result.

    With a flush tread there are as many treads as risers, and the whole flight's slope tells no
    count.
    """
    values = data.draw(stairs(flush=flush))
    told = set()
    for item in EVERY_FORM:
        if flush and item.through == ("slope of the whole flight",):
            continue
        function = getattr(form, item.name)
        found = function(**{name: values[name] for name in inspect.signature(function).parameters})
        assert found == pytest.approx(values[item.target], rel=1e-8, abs=1e-7), item.name
        told.add(item.name)
    written = inspect.getmembers(form, inspect.isfunction)
    every = {name for name, one in written if one.__module__ == form.__name__}
    assert every - told == ({"risers_from_total_rise_and_total_run_and_rake"} if flush else set())


@pytest.mark.parametrize("item", FORMS, ids=lambda item: item.name)
def test_example_worked_on_paper(item):
    """The examples stand on 3-4-5 and 5-12-13 steps and are worked by hand."""
    arguments, result = item.example
    assert getattr(form, item.name)(*arguments) == pytest.approx(result, rel=1e-12, abs=1e-12)


# ------------------------------------------------------------------ the panel


@PROPERTY
@given(width=widths, wall=offsets, spare=st.floats(0.001, 1.5))
def test_max_rack_grows_with_the_hole_and_shrinks_with_the_wall(width, wall, spare):
    width, wall, hole = float(width), float(wall), float(width) * (1 + spare)
    limit = form.max_rack(hole, wall, width)
    assert 0 <= limit < 90
    assert form.max_rack(hole + 0.01, wall, width) > limit
    assert form.max_rack(hole, wall + 0.01, width) <= limit


# ------------------------------------------------------------------ openings

# the table of derived values for the plain corner, rail on the nosing line
ON_THE_LINE = [
    ("7 1/2", 10, 5.000, 0.0005), ("7 3/4", 10, 5.098, 0.0005), ("7", 11, 4.962, 0.0005),
    ("200", 255, 130.9, 0.05), ("220", 220, 128.9, 0.05), ("190", 240, 123.9, 0.05),
]  # fmt: skip


@pytest.mark.parametrize(("rise", "run", "diameter", "half"), ON_THE_LINE, ids=lambda v: str(v))
def test_corner_circle_on_the_nosing_line(rise, run, diameter, half):
    """Rail on the nosing line, no overhang: rise + run - hypotenuse."""
    rise = sum(map(Fraction, rise.split()))
    found = form.corner_circle(0, run, rise, run)
    assert found == pytest.approx(diameter, rel=0, abs=half)
    assert found == close(float(rise) + run - hypot(rise, run))


# rise, run, overhang; circle with the rail on the line; where a 6 in ball just passes
JUST_PASSES = [
    ("7 1/2", 10, "0", 5.000, 1.200, 1.500),
    ("7 3/4", 10, "0", 5.098, 1.083, 1.370),
    ("7", 11, "0", 4.962, 1.236, 1.465),
    ("7 1/2", 10, "1", 5.500, 0.600, 0.750),
    ("7 3/4", 10, "1", 5.608, 0.471, 0.595),
    ("7 3/4", 10, "1 1/4", 5.736, 0.318, 0.402),
    ("7", 11, "1", 5.413, 0.699, 0.829),
]


@pytest.mark.parametrize(("rise", "run", "nosing", "on_line", "square", "plumb"), JUST_PASSES)
def test_gap_at_which_a_six_inch_ball_just_passes(rise, run, nosing, on_line, square, plumb):
    """The circle at the line, and how far the rail may rise, square to the rake and plumb."""
    rise, nosing = (sum(map(Fraction, text.split())) for text in (rise, nosing))
    depth = form.tread_depth(run, nosing)
    assert form.corner_circle(0, depth, rise, run) == pytest.approx(on_line, rel=0, abs=0.0005)
    gap = form.bottom_gap_for_corner_circle(6, depth, rise, run)
    assert gap == pytest.approx(plumb, rel=0, abs=0.0005)
    assert form.strip_opening(gap, 0, rise, run) == pytest.approx(square, rel=0, abs=0.0005)
    # the lip of the tread above, up to 1 1/2 in thick, clears the ball
    ball = Point(float(depth) - 3, 3)
    lip = LineString(
        [(run, float(rise)), (run, float(rise) - 1.5), (float(depth), float(rise) - 1.5)]
    )
    if nosing:
        assert ball.distance(lip) > 3
    # grown in the ratio of tread depth to run
    assert form.corner_circle(0, depth, rise, run) == close(
        form.corner_circle(0, run, rise, run) * float(depth) / run
    )


def test_rise_and_run_shortcut_understates_an_overhanging_tread():
    """7 3/4 by 10 with 1 in of overhang: 5.098 by the shortcut, 5.608 in truth."""
    shortcut = 7.75 + 10 - hypot(7.75, 10)
    assert shortcut == pytest.approx(5.098, rel=0, abs=0.0005)
    assert form.corner_circle(0, 11, Fraction(31, 4), 10) > shortcut + 0.5


@pytest.mark.parametrize(("rise", "run", "diameter", "half"), ON_THE_LINE, ids=lambda v: str(v))
def test_small_ball_passes_wherever_the_rail_is_on_the_nosings(rise, run, diameter, half):
    """4 in or 100 mm passes every one of these, so a code without an allowance wants the rail
    lower or the stringer closed."""
    rise = sum(map(Fraction, rise.split()))
    assert form.corner_circle(0, run, rise, run) > (4 if run < 100 else 100)


def test_pitch_of_42_degrees_between_220_and_220():
    """Derived from Table 1.1's note: rise 220 needs going 244.3, going 220 allows rise 198.1."""
    assert form.unit_run_from_unit_rise_and_rake(220, 42) == pytest.approx(244.3, rel=0, abs=0.05)
    assert form.unit_rise_from_unit_run_and_rake(220, 42) == pytest.approx(198.1, rel=0, abs=0.05)
    assert form.rake(200, 255) == pytest.approx(38.108, rel=0, abs=0.0005)


# ------------------------------------------------------------------ limits and continuity


def test_no_rise_gives_the_level_panel():
    """Rake 0: nothing is racked, cut aslant or turned."""
    level = {"unit_rise": Fraction(0), "unit_run": Fraction(1)}
    assert form.rake(**level) == 0 and form.swing(**level) == 0
    assert form.angle_low(**level) == form.angle_high(**level) == 90
    assert form.racked_height(Fraction(32), 2, 1, **level) == 32
    assert form.rail_spacing(Fraction(32), 2, 1, **level) == form.rail_spacing_plumb(32, 2, 1)
    assert form.plumb_depth(2, **level) == 2
    assert form.baluster_clear(Fraction(9, 2), Fraction(3, 4), **level) == 3.75
    assert form.hole_needed(Fraction(3, 4), 5, **level) == 0.75
    assert form.rail_length(42, 1, Fraction(1, 2), **level) == 39
    assert form.plumb_cut_length(42, 1, **level) == form.stock_needed(42, 1, 2, **level) == 40
    assert form.corner_clearance(1, Fraction(1, 2), 2, **level) == 1.5
    assert form.strip_opening(3, 1, **level) == 2


@pytest.mark.parametrize("item", [item for item in FORMS if "unit_rise" in item.given],
                         ids=lambda item: item.name)  # fmt: skip
def test_forms_are_continuous_in_the_rise(item):
    """A hair more rise changes a result by a hair, from nearly level to steep."""
    wanted = derivation_of(item.name).needs
    names = [name for name in item.given if name in wanted]
    base = dict(zip(names, item.example[0], strict=True))
    function = getattr(form, item.name)
    slack = 2000 if item.target == "bottom_gap" else 400
    for rise in (1e-3, 0.5, 3, 7, 12):
        low = function(**{**base, "unit_rise": rise})
        high = function(**{**base, "unit_rise": rise * (1 + 1e-9)})
        assert abs(high - low) < slack * 1e-9 * max(1, abs(low))


def test_max_rack_of_a_hole_as_wide_as_its_baluster_is_none():
    """No play, no racking; more play, more racking, without a jump."""
    assert form.max_rack(Fraction(3, 4), Fraction(1, 16), Fraction(3, 4)) == 0
    assert form.max_rack(0.75 + 1e-9, 0.0625, 0.75) == pytest.approx(0, abs=1e-5)
