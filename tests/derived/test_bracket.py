"""Brackets and rail ends, worked on paper on 3-4-5 and level rakes."""

from fractions import Fraction

import pytest
from msgspec.structs import replace as replace_struct

from stairs.errors import NoSuchShape
from stairs.job import Bracket, Panel
from stairs.parts.bracket import rail_ends

PANEL = Panel(height=Fraction(32), top_rail=Fraction(2), bottom_rail=Fraction(1),
              baluster=Fraction(3, 4), pitch=Fraction(9, 2))  # fmt: skip
STEP, LEVEL = (Fraction(6), Fraction(8)), (Fraction(0), Fraction(1))


def pivot(offset, setback):
    return Bracket(kind="pivot", pivot_offset=Fraction(offset), rail_setback=Fraction(setback))


def plumb(clearance):
    return Bracket(kind="plumb-cut", end_clearance=Fraction(clearance))


def test_pivot_on_a_rake():
    """42 clear, pins 1 off each face: 40 level, 50 on the rake, less 1/2 twice."""
    ends = rail_ends(pivot(1, Fraction(1, 2)), PANEL, Fraction(42), *STEP, "")
    assert ends.stand_off == 1
    assert float(ends.rail_length) == float(ends.stock_needed) == pytest.approx(49)
    # 1 + 1/2 x 4/5 to the end's middle, less half the deeper rail's 2 x 3/5
    assert float(ends.corner_clearance) == pytest.approx(0.8)
    assert ends.swing == pytest.approx(36.8698976458)
    assert ends.angle_low == pytest.approx(53.1301023542)
    assert ends.angle_high == pytest.approx(126.8698976458)
    assert ends.saw_angle == 0


def test_plumb_cut_on_a_rake():
    """41 clear, 1/2 off each face: 40 level, 50 on the axis, 2 x 3/4 more for the slant."""
    ends = rail_ends(plumb(Fraction(1, 2)), PANEL, Fraction(41), *STEP, "")
    assert ends.stand_off == Fraction(1, 2)
    assert float(ends.rail_length) == pytest.approx(50)
    assert float(ends.stock_needed) == pytest.approx(51.5)
    assert ends.corner_clearance == Fraction(1, 2)
    assert ends.saw_angle == ends.swing == pytest.approx(36.8698976458)


@pytest.mark.parametrize("bracket", [pivot(1, Fraction(1, 2)), plumb(Fraction(3, 2))])
def test_level_rail_is_cut_square_by_either_bracket(bracket):
    """Without a rake both come to the bay less 1 1/2 at either end."""
    ends = rail_ends(bracket, PANEL, Fraction(42), *LEVEL, "")
    assert float(ends.rail_length) == float(ends.stock_needed) == 39
    assert float(ends.corner_clearance) == 1.5
    assert (ends.swing, ends.saw_angle, ends.angle_low, ends.angle_high) == (0, 0, 90, 90)


def test_rail_corner_may_run_into_the_post_and_still_solves():
    """A pin close to the face: the clearance comes out below 0, a finding and no error."""
    ends = rail_ends(pivot(Fraction(1, 4), 0), PANEL, Fraction(42), *STEP, "")
    assert float(ends.corner_clearance) == pytest.approx(-0.35)


@pytest.mark.parametrize(
    ("bracket", "clear"),
    [(pivot(2, 3), 8), (plumb(4), 8), (pivot(4, 0), 8)],
)
def test_bay_that_its_brackets_fill_is_refused(bracket, clear):
    """On the rake 8 less 4 is 5 long and the setbacks take 6; plumb cut, 8 less 8 is nothing."""
    with pytest.raises(NoSuchShape) as caught:
        rail_ends(bracket, PANEL, Fraction(clear), *STEP, "section 1: bay 2")
    error = caught.value
    assert error.where == "section 1: bay 2"
    assert "the clear bay of 8 is too short for its two brackets" in error.found
    assert error.allowed == "A bay is longer than its brackets"
    assert (
        error.remedy
        == "Move the posts apart, leave one out, or look again at the keys of [bracket]"
    )


def test_what_the_brackets_take_is_measured_level_as_the_bay_is():
    """Pins 2 off either face and 3 back along the rake, 4/5 of it level: 2 (2 + 2.4) = 8.8."""
    with pytest.raises(NoSuchShape) as caught:
        rail_ends(pivot(2, 3), PANEL, Fraction(8), *STEP, "")
    assert "which take 8.8" in caught.value.found


def test_error_of_a_short_bay_in_full():
    with pytest.raises(NoSuchShape) as caught:
        rail_ends(plumb(4), PANEL, Fraction(8), *LEVEL, "section 1: bay 2")
    assert str(caught.value) == (
        "section 1: bay 2: the clear bay of 8 is too short for its two brackets, which take 8. A "
        "bay is longer than its brackets. Move the posts apart, leave one out, or look again at "
        "the keys of [bracket]."
    )


def test_a_wide_rail_that_leaves_askew_comes_nearer_and_takes_more_stock():
    """Level and 45 degrees askew, 3 wide: half the width, times the sine, back towards the post;
    sawn, half the width times the tangent more at that end."""
    wide = replace_struct(PANEL, rail_width=Fraction(3))
    root = 2**-0.5
    for panel, width in ((PANEL, 0.0), (wide, 3.0)):
        turned = rail_ends(pivot(2, 1), panel, Fraction(42), *LEVEL, "", skew=Fraction(45))
        nearest = 2 + root - width / 2 * root
        assert float(turned.corner_clearance) == pytest.approx(nearest)
        sawn = rail_ends(plumb(1), panel, Fraction(42), *LEVEL, "", skew=Fraction(45))
        assert float(sawn.stock_needed) - float(sawn.rail_length) == pytest.approx(width / 2)
