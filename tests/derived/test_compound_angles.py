"""Rails that meet a post askew, against boxes cut by planes in space.

The rail is built as a box of eight corners on the rake, the post face as a plumb plane turned in
plan; the box's long edges are cut by that plane and everything is measured off the corners.  The
second construction is the saw itself: a blade that is tilted and turned over a rail lying on the
table, which is then lifted into its place on the stair.
"""

from fractions import Fraction
from math import acos, atan2, cos, degrees, radians, sin

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity
from shapely.geometry import LineString, box

from stairs.guard.shared_posts import saw_setting
from stairs.job import Bracket, Panel
from stairs.parts.bracket import rail_ends
from stairs.relations import closed_forms as form

PROPERTY = settings(deadline=None, derandomize=True, max_examples=36)
LONG = 500.0

rises = st.fractions(min_value=0, max_value=10, max_denominator=16)
runs = st.fractions(min_value=7, max_value=15, max_denominator=16)
skews = st.fractions(min_value=Fraction(1, 2), max_value=45, max_denominator=4)
sizes = st.fractions(min_value=Fraction(1, 2), max_value=3, max_denominator=16)
offsets = st.fractions(min_value=0, max_value=2, max_denominator=16)


def close(value):
    return pytest.approx(value, rel=1e-9, abs=1e-7)


def frame(rise, run):
    """Along the rail, level aside, and square to both: the box's own directions."""
    along = np.array([float(run), 0.0, float(rise)])
    along /= np.linalg.norm(along)
    aside = np.array([0.0, 1.0, 0.0])
    return along, aside, np.cross(along, aside)


def face_normal(skew):
    return np.array([cos(radians(skew)), sin(radians(skew)), 0.0])


def long_edges(rise, run, width, depth):
    """A point on each of the box's four long edges: right and left below, right and left above."""
    _, aside, up = frame(rise, run)
    return [
        w * float(width) / 2 * aside + d * float(depth) / 2 * up for d in (-1, 1) for w in (-1, 1)
    ]


def cut_corners(rise, run, width, depth, normal, through):
    """Where a plane cuts the four long edges."""
    along, _, _ = frame(rise, run)
    through = np.asarray(through, float)
    return [
        edge + ((through - edge) @ normal) / (along @ normal) * along
        for edge in long_edges(rise, run, width, depth)
    ]


def angle(one, other):
    cosine = one @ other / np.linalg.norm(one) / np.linalg.norm(other)
    return degrees(acos(max(-1.0, min(1.0, cosine))))


def measured_on(corners, table, across):
    """Miter and bevel measured off a cut end that lies on a table.

    ``table`` are the two corners on the table's side, ``across`` the direction square across that
    side of the rail; the third corner of the cut tells how the blade leans.
    """
    here, there, third = corners[table[0]], corners[table[1]], corners[table[2]]
    line = there - here
    miter = angle(line, across)
    miter = min(miter, 180 - miter)
    blade = np.cross(line, third - here)
    return miter, blade


@PROPERTY
@given(rise=rises, run=runs, skew=skews, width=sizes, depth=sizes)
def test_miter_and_bevel_measured_on_a_cut_box(rise, run, skew, width, depth):
    """The cut's line on the underside and on the side, and the lean of the cut against either."""
    along, aside, up = frame(rise, run)
    corners = cut_corners(rise, run, width, depth, face_normal(skew), np.zeros(3))
    saw = saw_setting(rise, run, skew)
    # underside: corners 0 and 1 lie on it
    miter, blade = measured_on(corners, (0, 1, 2), aside)
    lean = angle(blade, up)
    assert saw.miter == close(miter)
    assert saw.bevel == close(abs(90 - lean))
    # right side: corners 0 and 2 lie on it
    miter, blade = measured_on(corners, (0, 2, 1), up)
    lean = angle(blade, aside)
    assert saw.side_miter == close(miter)
    assert saw.side_bevel == close(abs(90 - lean))


def turned(vector, axis, by):
    """A vector turned about an axis, by the right hand [degrees]."""
    axis = np.asarray(axis, float)
    a = radians(by)
    return vector * cos(a) + np.cross(axis, vector) * sin(a) + axis * (axis @ vector) * (1 - cos(a))


@PROPERTY
@given(rise=rises, run=runs, skew=skews)
def test_a_saw_set_so_cuts_a_face_that_stands_plumb_on_the_post(rise, run, skew):
    """Tilt the blade, turn the saw, cut the rail on the table, lift it onto the rake."""
    along, aside, up = frame(rise, run)
    saw = saw_setting(rise, run, skew)
    for miter, bevel, lying in (
        (saw.miter, saw.bevel, np.column_stack([along, aside, up])),
        # on its right side, the top of the rail turned away from the sawyer
        (-saw.side_miter, saw.side_bevel, np.column_stack([along, up, -aside])),
    ):
        # on the table: x along the rail, y across, z up; the blade starts square across
        blade = turned(np.array([1.0, 0, 0]), [0, 1, 0], bevel)
        blade = turned(blade, [0, 0, 1], miter)
        placed = lying @ blade
        assert placed[2] == close(0)  # plumb
        assert placed == pytest.approx(face_normal(skew), abs=1e-9)


@PROPERTY
@given(rise=rises, run=runs, skew=skews, width=sizes, depth=sizes, length=st.integers(20, 90))
def test_stock_for_a_plumb_cut_rail_is_the_extent_of_the_cut_box(
    rise, run, skew, width, depth, length
):
    """Lower end cut askew, upper end square in plan; the axis between them is the cut length."""
    along, _, _ = frame(rise, run)
    low = cut_corners(rise, run, width, depth, face_normal(skew), np.zeros(3))
    high = cut_corners(rise, run, width, depth, face_normal(0), length * along)
    reach = [corner @ along for corner in low + high]
    needed = form.skewed_stock_needed(
        length, float(depth), float(width), float(skew), float(rise), float(run)
    )
    assert needed == close(max(reach) - min(reach))


@PROPERTY
@given(rise=rises, run=runs, skew=skews, width=sizes, depth=sizes, off=offsets, back=offsets)
def test_corner_clearance_of_a_square_end_askew(rise, run, skew, width, depth, off, back):
    """The nearest of the square end's corners to the plane of the post's face."""
    along, _, _ = frame(rise, run)
    normal = face_normal(skew)
    pin = np.array([float(off) / cos(radians(skew)), 0.0, 0.0])  # face through the origin
    end = [pin + float(back) * along + edge for edge in long_edges(rise, run, width, depth)]
    nearest = min(corner @ normal for corner in end)
    clearance = form.skewed_corner_clearance(off, back, depth, width, skew, rise, run)
    assert clearance == close(nearest)


@PROPERTY
@given(rise=rises, run=runs, skew=skews)
def test_swing_in_both_planes_makes_the_true_angle(rise, run, skew):
    """A bracket that first turns in plan by the skew and then up by the rake."""
    rake = degrees(atan2(rise, run))
    rail = turned(np.array([1.0, 0, 0]), [0, -1, 0], rake)  # up
    rail = turned(rail, [0, 0, 1], -float(skew))  # aside
    assert form.true_angle(rake, float(skew)) == pytest.approx(
        angle(rail, np.array([1.0, 0, 0])), abs=1e-6
    )


@PROPERTY
@given(skew=skews, width=sizes)
def test_half_a_post_along_a_rail_by_clipping_a_line_with_the_square(skew, width):
    square = affinity.rotate(box(-width / 2, -width / 2, width / 2, width / 2), float(skew))
    inside = LineString([(0, 0), (LONG, 0)]).intersection(square)
    assert form.half_along(float(width), float(skew)) == close(inside.length)


@PROPERTY
@given(
    rise=rises, run=runs, skew=skews, width=sizes, off=offsets, back=offsets,
    kind=st.sampled_from(["pivot", "plumb-cut"]),
)  # fmt: skip
def test_rail_of_a_bay_that_starts_askew(rise, run, skew, width, off, back, kind):
    """Planes stand off both faces; the axis between them, less the setbacks, is the rail."""
    panel = Panel(height=Fraction(32), top_rail=width, bottom_rail=width, rail_width=width,
                  baluster=Fraction(3, 4), pitch=Fraction(9, 2))  # fmt: skip
    bracket = (
        Bracket(kind=kind, pivot_offset=off, rail_setback=back)
        if kind == "pivot"
        else Bracket(kind=kind, end_clearance=off)
    )
    clear = Fraction(50)
    ends = rail_ends(bracket, panel, clear, rise, run, "", skew)
    along, _, _ = frame(rise, run)
    normal = face_normal(skew)
    start = (normal * float(off)) @ normal / (along @ normal) * along
    top = np.array([float(clear - off), 0, 0])
    end = top[0] / along[0] * along
    setback = float(back) if kind == "pivot" else 0.0
    assert float(ends.rail_length) == close(np.linalg.norm(end - start) - 2 * setback)
    assert float(ends.stand_off_low) == close(start[0])
    assert ends.stand_off == off


def test_saw_setting_limits():
    """No skew: the plain plumb cut.  No rake: the plain miter.  Both at 45 and 3-4-5 on paper."""
    plain = saw_setting(Fraction(7), Fraction(11))
    assert (plain.miter, plain.side_bevel) == (0, 0)
    assert plain.bevel == pytest.approx(form.rake(7, 11), abs=1e-12) == plain.side_miter
    level = saw_setting(Fraction(0), Fraction(1), Fraction(45))
    assert (level.bevel, level.side_miter, level.side_bevel) == (0, 0, 45)
    assert level.miter == pytest.approx(45)
    both = saw_setting(Fraction(3), Fraction(4), Fraction(45))
    assert both.miter == pytest.approx(degrees(atan2(5, 4)))
    assert both.bevel == pytest.approx(degrees(np.arcsin(0.6 / 2**0.5)))


@PROPERTY
@given(rise=rises, run=runs, skew=skews)
def test_symbols_by_vectors_say_the_same_as_the_textbook_products(rise, run, skew):
    """``tan μ = tan φ / cos θ`` and ``sin λ = cos φ sin θ``."""
    theta, phi = atan2(rise, run), radians(skew)
    saw = saw_setting(rise, run, skew)
    assert np.tan(radians(saw.miter)) == close(np.tan(phi) / cos(theta))
    assert sin(radians(saw.bevel)) == close(cos(phi) * sin(theta))
