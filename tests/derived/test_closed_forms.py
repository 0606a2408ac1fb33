"""The closed forms, against points and polygons that know no formula of theirs.

The second route builds the parts: a rail is a rectangle turned onto the rake, a baluster a plumb
strip, a post face a plumb line, a hole what one strip cuts out of the other; lengths and angles are
then measured off the figure with a ruler (a distance between two points, the extent of a polygon
along an axis) or found as a root on it.
"""

from fractions import Fraction
from math import atan2, cos, degrees, hypot, radians, sin

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq
from shapely import affinity
from shapely.geometry import LineString, Point, Polygon, box
from stair_sizes import PROPERTY, bays, close, depths, gaps, heights, offsets, rises, runs, widths

from stairs.relations import closed_forms as form
from stairs.relations.derivation import FORMS, derivation_of

FAR = 1e4


# ------------------------------------------------------------------ the drawing board


def axis_of(rise, run):
    """Unit vector along the rake, up-stair."""
    step = np.array([float(run), float(rise)])
    return step / np.linalg.norm(step)


def bar(start, end, depth):
    """A straight rail as a rectangle of a depth between two points of its centre line."""
    start, end = np.asarray(start, float), np.asarray(end, float)
    flat = box(0, -float(depth) / 2, float(np.linalg.norm(end - start)), float(depth) / 2)
    turned = affinity.rotate(flat, atan2(*(end - start)[::-1]), origin=(0, 0), use_radians=True)
    return affinity.translate(turned, *start)


def plumb_line(x):
    return LineString([(float(x), -FAR), (float(x), FAR)])


def extent(shape, axis):
    """How long a polygon is along a direction."""
    along = np.asarray(shape.exterior.coords) @ axis
    return float(along.max() - along.min())


def angle_between(one, other):
    one, other = np.asarray(one, float), np.asarray(other, float)
    return degrees(np.arccos(one @ other / np.linalg.norm(one) / np.linalg.norm(other)))


# ------------------------------------------------------------------ the panel


@PROPERTY
@given(rise=rises, run=runs, depth=depths)
def test_plumb_depth_by_a_plumb_line_through_a_turned_rail(rise, run, depth):
    u = axis_of(rise, run)
    rail = bar(-50 * u, 50 * u, depth)
    assert form.plumb_depth(depth, rise, run) == close(rail.intersection(plumb_line(1)).length)


@PROPERTY
@given(rise=rises, run=runs, rails=st.tuples(heights, depths, depths), pitch=bays, width=widths)
def test_racking_by_an_explicit_linkage(rise, run, rails, pitch, width):
    """Pins of a level panel, moved so that rails keep their pitch and balusters their length."""
    height, top, bottom = map(float, rails)
    spacing = height - top / 2 - bottom / 2
    u, up = axis_of(rise, run), np.array([0.0, 1.0])
    low = [i * float(pitch) * u for i in range(4)]  # rigid rail: pins a pitch apart, on the rake
    high = [pin + spacing * up for pin in low]  # rigid, plumb baluster
    for one, other in zip(high, high[1:], strict=False):
        assert np.linalg.norm(other - one) == close(float(pitch))  # the top rail fits its own pins
    line = LineString([high[0], high[-1]])
    assert form.rail_spacing_plumb(*rails) == close(spacing)
    carried_on = LineString([high[0] - 100 * u, high[-1] + 100 * u])
    between = Point(*((low[1] + low[2]) / 2)).distance(carried_on)
    assert form.rail_spacing(*rails, rise, run) == close(between)
    assert line.length == close(3 * float(pitch))
    strips = [box(pin[0] - float(width) / 2, -FAR, pin[0] + float(width) / 2, FAR) for pin in low]
    if float(pitch) * u[0] > float(width):
        assert form.baluster_clear(pitch, width, rise, run) == close(strips[0].distance(strips[1]))
    cut = plumb_line(low[1][0])
    rail_low = bar(low[0] - 50 * u, low[-1] + 50 * u, bottom).intersection(cut)
    rail_high = bar(high[0] - 50 * u, high[-1] + 50 * u, top).intersection(cut)
    assert form.racked_height(*rails, rise, run) == close(rail_high.bounds[3] - rail_low.bounds[1])
    across = plumb_line((rail_low.bounds[0] + rail_low.bounds[2]) / 2)
    between = across.intersection(rail_high).bounds[1] - across.intersection(rail_low).bounds[3]
    assert form.panel_inner(*rails, rise, run) == close(between)


def hole_by_clipping(width, wall, angle):
    """A plumb strip clipped by a wall on the rake: how long it is along the wall."""
    strip = box(-float(width) / 2, -FAR, float(width) / 2, FAR)
    u = np.array([cos(angle), sin(angle)])
    piece = strip.intersection(bar(-50 * u, 50 * u, max(float(wall), 1e-12)))
    return extent(piece, u)


@PROPERTY
@given(rise=rises, run=runs, width=widths, wall=offsets)
def test_hole_needed_by_clipping_a_baluster_with_a_wall(rise, run, width, wall):
    angle = atan2(rise, run)
    assert form.hole_needed(width, wall, rise, run) == pytest.approx(
        hole_by_clipping(width, wall, angle), rel=1e-8
    )


@PROPERTY
@given(width=widths, wall=offsets, spare=st.floats(0.02, 1.5))
def test_max_rack_by_root_finding_on_the_clipped_baluster(width, wall, spare):
    """The angle at which the clipped piece is as long as the hole that is there."""
    hole = float(width) * (1 + spare)
    angle = brentq(lambda a: hole_by_clipping(width, wall, a) - hole, 0, radians(89.5), xtol=1e-14)
    assert form.max_rack(hole, float(wall), float(width)) == pytest.approx(degrees(angle), abs=1e-6)


@PROPERTY
@given(width=widths, wall=offsets, spare=st.floats(0.001, 1.5))
def test_max_rack_grows_with_the_hole_and_shrinks_with_the_wall(width, wall, spare):
    width, wall, hole = float(width), float(wall), float(width) * (1 + spare)
    limit = form.max_rack(hole, wall, width)
    assert 0 <= limit < 90
    assert form.max_rack(hole + 0.01, wall, width) > limit
    assert form.max_rack(hole, wall + 0.01, width) <= limit


# ------------------------------------------------------------------ rails and brackets


def pins(clear, offset, rise, run):
    """Pins off two post faces, the lower face at x = 0, on a line on the rake."""
    low = np.array([float(offset), 0.0])
    reach = float(clear) - 2 * float(offset)
    return low, low + np.array([reach, reach * float(rise) / float(run)])


@PROPERTY
@given(rise=rises, run=runs, clear=bays, offset=offsets, setback=offsets, depth=depths)
def test_rail_between_pins_by_points(rise, run, clear, offset, setback, depth):
    """Length, corner clearance and end gap of a square-cut rail."""
    low, high = pins(clear, offset, rise, run)
    u = (high - low) / np.linalg.norm(high - low)
    ends = low + float(setback) * u, high - float(setback) * u
    assert form.pin_slope(clear, offset, rise, run) == close(np.linalg.norm(high - low))
    if (ends[1] - ends[0]) @ u <= 0:
        return
    length = form.rail_length(clear, offset, setback, rise, run)
    assert length == close(np.linalg.norm(ends[1] - ends[0]))
    corners = np.asarray(bar(*ends, depth).exterior.coords)
    corner = form.corner_clearance(offset, setback, depth, rise, run)
    if length > 2 * float(depth):
        assert corner == close(corners[:, 0].min())
        assert corner == close(float(clear) - corners[:, 0].max())
        lowest, highest = corners[corners[:, 1].argmin()], corners[corners[:, 1].argmax()]
        slot = form.underside_slot(offset, setback, depth, rise, run)
        assert slot == close(lowest[0])
        assert slot == close(float(clear) - highest[0])
        assert form.end_back(depth, rise, run) == close(lowest[0] - corners[:, 0].min())
        left = corners[corners[:, 0].argmin()]
        assert form.end_up(depth, rise, run) == close(left[1] - lowest[1])
    hole = ends[0] + length / 3 * u
    baluster = box(hole[0] - 0.375, -FAR, hole[0] + 0.375, FAR)
    if hole[0] > 0.375:
        gap = form.end_gap(offset, setback, length / 3, 0.75, rise, run)
        assert gap == close(baluster.distance(plumb_line(0)))


@PROPERTY
@given(inset=bays, plate=depths, skew=st.floats(0, 45))
def test_a_plate_askew_to_an_edge_by_its_corners(inset, plate, skew):
    """The edge is the line y = 0; the plate is turned about the post's centre."""
    half, turn = float(plate) / 2, radians(skew)
    about = np.array([[cos(turn), -sin(turn)], [sin(turn), cos(turn)]])
    corners = [about @ (a * half, b * half) + (0, float(inset)) for a in (-1, 1) for b in (-1, 1)]
    nearest = min(y for _, y in corners)
    assert form.plate_edge_askew(float(inset), float(plate), 0.0, skew) == close(nearest)


@PROPERTY
@given(rise=rises, run=runs, clear=bays, off=offsets, depth=depths)
def test_plumb_cut_rail_by_clipping_a_strip(rise, run, clear, off, depth):
    """A raked strip cut off by two plumb planes."""
    u = axis_of(rise, run)
    slab = box(float(off), -FAR, float(clear) - float(off), FAR)
    axis = LineString([-200 * u, 200 * u]).intersection(slab)
    piece = bar(-200 * u, 200 * u, depth).intersection(slab)
    assert form.plumb_cut_length(clear, off, rise, run) == close(axis.length)
    between = LineString([-200 * u, 200 * u]).intersection(box(0, -FAR, float(clear), FAR))
    assert float(form.spacing_along(clear, rise, run)) == close(between.length)
    assert form.stock_needed(clear, off, depth, rise, run) == close(extent(piece, u))
    start = np.asarray(axis.coords[0])
    hole = start + axis.length / 2 * u
    gap = form.plumb_cut_end_gap(off, axis.length / 2, 0.75, rise, run)
    assert gap == close(box(hole[0] - 0.375, -FAR, hole[0] + 0.375, FAR).distance(plumb_line(0)))


@PROPERTY
@given(rise=rises, run=runs, clear=bays, offset=offsets, spare=offsets, hole=bays)
def test_even_trim_keeps_the_middle_of_the_stock_in_the_middle_of_the_bay(
    rise, run, clear, offset, spare, hole
):
    """Lay the stock rail's middle on the bay's middle and look where a hole comes to lie."""
    low, high = pins(clear, offset, rise, run)
    u = axis_of(rise, run)
    stock = float(np.linalg.norm(high - low)) + float(spare)
    centre = (low + high) / 2 + (float(hole) - stock / 2) * u
    gap = form.trimmed_end_gap(float(hole), stock, float(clear), 0.75, float(rise), float(run))
    assert gap == close(centre[0] - 0.375)


@PROPERTY
@given(rise=rises, run=runs)
def test_bracket_angles_by_vectors(rise, run):
    up, rail = (0, 1), (float(run), float(rise))
    assert form.rake(rise, run) == close(angle_between(rail, (1, 0)))
    assert form.swing(rise, run) == close(angle_between(rail, (1, 0)))
    assert form.angle_low(rise, run) == close(angle_between(up, rail))
    assert form.angle_high(rise, run) == close(angle_between(up, (-rail[0], -rail[1])))


@PROPERTY
@given(rake=st.floats(0.5, 60), skew=st.floats(0.5, 80))
def test_true_angle_by_turning_a_vector_twice(rake, skew):
    """A level rail square to a face, tipped onto the rake, then turned in plan."""
    a, b = radians(rake), radians(skew)
    tip = np.array([[cos(a), 0, -sin(a)], [0, 1, 0], [sin(a), 0, cos(a)]])
    turn = np.array([[cos(b), -sin(b), 0], [sin(b), cos(b), 0], [0, 0, 1]])
    rail = turn @ tip @ np.array([1.0, 0, 0])
    assert form.true_angle(rake, skew) == pytest.approx(angle_between(rail, (1, 0, 0)), abs=1e-7)


@PROPERTY
@given(rise=rises, run=runs, gap=gaps, rails=st.tuples(heights, depths, depths), at=bays,
       reveal=offsets, step=st.integers(0, 8))  # fmt: skip
def test_heights_by_stacking_a_panel_on_the_nosings(rise, run, gap, rails, at, reveal, step):
    """Two nosings give the line; the panel is stacked on it, plumb, part by part."""
    height, top, bottom = map(float, rails)
    nosing = np.array([0.0, float(rise)])
    following = np.array([float(run), 2 * float(rise)])
    along = LineString([nosing - 99 * (following - nosing), nosing + 99 * (following - nosing)])
    line = along.intersection(plumb_line(at)).y
    u = axis_of(rise, run)
    thick = [bar(-50 * u, 50 * u, d).intersection(plumb_line(0)).length for d in (bottom, top)]
    low_axis = line + float(gap) + thick[0] / 2
    high_axis = low_axis + height - top / 2 - bottom / 2
    crown = high_axis + thick[1] / 2
    assert float(form.nosing_line_height(rise, run, at)) == close(line)
    assert form.bottom_axis_height(at, gap, rails[2], rise, run) == close(low_axis)
    assert form.top_axis_height(at, gap, *rails, rise, run) == close(high_axis)
    assert form.guard_height(gap, *rails, rise, run) == close(crown - line)
    surface = form.step_surface(step, rise)
    assert surface == sum([rise] * step, Fraction(0))
    assert form.post_height(at, reveal, surface, gap, *rails, rise, run) == close(
        crown + float(reveal) - float(surface)
    )


@PROPERTY
@given(rise=rises, run=runs, gap=gaps, rails=st.tuples(heights, depths, depths), off=offsets,
       reach=offsets, filler=depths)  # fmt: skip
def test_bracket_holes_by_points_on_the_rails_axes(rise, run, gap, rails, off, reach, filler):
    """A strip, a rail and its axis, plumb above each other over a pin in front of a post."""
    height, top, bottom = map(float, rails)
    centre, half = Point(30.0, 0.0), 1.5
    sides = {"up": centre.x + half + float(off), "down": centre.x - half - float(off)}
    assert float(form.pin_x_up(Fraction(63, 2), off)) == close(sides["up"])
    assert float(form.pin_x_down(Fraction(57, 2), off)) == close(sides["down"])
    u = axis_of(rise, run)
    surface = form.step_surface(2, rise)
    for x in sides.values():
        foot = np.array([x, float(rise) + x * float(rise / run)])
        strip = LineString([foot, foot + [0.0, float(gap)]])
        over_filler = form.bottom_gap_over_filler(gap, filler)
        assert float(over_filler) == close(strip.length + float(filler))
        rail = bar(-50 * u, 50 * u, bottom).intersection(plumb_line(0)).length
        pin = foot + [0.0, float(over_filler) + rail / 2]
        hole = pin[1] - float(reach) - float(surface)
        assert float(
            form.bottom_hole_height(x, over_filler, rails[2], -reach, surface, rise, run)
        ) == close(hole)
        upper = pin[1] + height - top / 2 - bottom / 2 + float(reach) - float(surface)
        found = form.top_hole_height(x, over_filler, *rails, reach, surface, rise, run)
        assert float(found) == close(upper)
        tall = form.post_height(x, reach, surface, over_filler, *rails, rise, run)
        thick = bar(-50 * u, 50 * u, top).intersection(plumb_line(0)).length
        assert float(form.over_hole(tall, found)) == close(thick / 2)


def test_gap_over_a_front_edge_that_lies_low():
    """An edge 1/4 in under its line, and the rail 1 in over the edge: 3/4 in over the line."""
    assert form.bottom_gap_over_front(Fraction(1), Fraction(1, 4)) == Fraction(3, 4)


# ------------------------------------------------------------------ openings


def corner(gap, base, rise, run):
    """The triangle of surface, upright and rail, carried on to where rail and surface meet."""
    slope = float(rise) / float(run)
    tip = -float(gap) / slope
    return Polygon([(tip, 0), (float(base), 0), (float(base), float(gap) + float(base) * slope)])


@PROPERTY
@given(rise=rises, run=runs, gap=gaps, base=runs)
def test_corner_circle_by_area_over_half_perimeter(rise, run, gap, base):
    """The inscribed circle of any triangle has radius area over half the perimeter."""
    triangle = corner(gap, base, rise, run)
    diameter = 4 * triangle.area / triangle.length
    assert form.corner_circle(gap, base, rise, run) == close(diameter)


@PROPERTY
@given(rise=rises, run=runs, gap=gaps, margin=gaps)
def test_strip_opening_by_distance(rise, run, gap, margin):
    u = axis_of(rise, run)
    low, high = sorted((float(gap), float(margin)))
    lower = LineString([(0, low) - 99 * u, (0, low) + 99 * u])
    across = Point(0, high).distance(lower)
    assert abs(form.strip_opening(gap, margin, rise, run)) == close(across)


@PROPERTY
@given(rise=rises, run=runs, gap=gaps, base=runs)
def test_corner_square_by_its_diagonal(rise, run, gap, base):
    """The diagonal from the corner of tread and riser, down-stair at 45°, meets the rail."""
    slope = float(rise) / float(run)
    rail = LineString([(x, float(gap) + x * slope) for x in (-FAR, FAR)])
    diagonal = LineString([(float(base), 0), (float(base) - FAR, FAR)])
    edge = rail.intersection(diagonal).y
    assert form.corner_square(gap, base, rise, run) == close(edge)
    assert form.bottom_gap_for_corner_square(edge, base, rise, run) == close(float(gap))


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
