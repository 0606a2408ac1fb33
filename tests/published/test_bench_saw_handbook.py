"""A bench-saw handbook's table of blade tilt and miter for pyramids with many sides, page 24.

The table goes by the slope of the sides in steps of 5 degrees and says of itself that it is printed
to the closest 0.005 degrees.  A pyramid of n sides is a chain of boards that meet at a plan turn of
``360 / n``; each is cut to the plane half-way, so the face is turned from the board by
``90 - 180 / n``, and the handbook counts its miter from the other side: 90 less ours.
"""

from fractions import Fraction
from math import cos, radians, sin

import numpy as np
import pytest
from backwards import read_back

from stairs.relations.closed_forms import saw_bevel, saw_miter

MITER = {
    5: "36.00 35.90 35.58 35.06 34.32 33.36 32.18 30.76 29.10 27.19 25.03 22.62",
    6: "30.00 29.91 29.62 29.15 28.48 27.62 26.57 25.31 23.86 22.21 20.36 18.32",
    8: "22.50 22.42 22.19 21.81 21.27 20.58 19.73 18.74 17.60 16.32 14.91 13.36",
}
BEVEL = {
    5: "0.00 2.94 5.86 8.75 11.60 14.38 17.09 19.70 22.20 24.56 26.76",
    6: "0.00 2.50 4.98 7.44 9.85 12.20 14.48 16.67 18.75 20.70 22.52",
    8: "0.00 1.91 3.81 5.68 7.52 9.31 11.03 12.68 14.24 15.70 17.05",
}
HALF_DIGIT = 0.005 + 1e-9
ROWS = [(n, 5 * k) for n in MITER for k in range(12)]


def rise_and_run(pitch):
    return sin(radians(pitch)), cos(radians(pitch))


@pytest.mark.parametrize(("sides", "pitch"), ROWS)
def test_miter_as_printed(sides, pitch):
    printed = float(MITER[sides].split()[pitch // 5])
    rise, run = rise_and_run(pitch)
    skew = 90 - 180 / sides
    assert 90 - saw_miter(unit_rise=rise, unit_run=run, skew=skew) == pytest.approx(
        printed, rel=0, abs=HALF_DIGIT
    )


@pytest.mark.parametrize(("sides", "pitch"), [row for row in ROWS if row[1] <= 50])
def test_bevel_as_printed(sides, pitch):
    printed = float(BEVEL[sides].split()[pitch // 5])
    rise, run = rise_and_run(pitch)
    skew = 90 - 180 / sides
    assert saw_bevel(unit_rise=rise, unit_run=run, skew=skew) == pytest.approx(
        printed, rel=0, abs=HALF_DIGIT
    )


@pytest.mark.parametrize("sides", MITER)
def test_the_table_is_that_of_a_pyramid(sides):
    """Built from points, sides at 40 degrees: where the planes of two neighbouring sides meet."""
    pitch, turn = radians(40), radians(360 / sides)
    along = np.array([cos(pitch), 0.0, sin(pitch)])  # up the middle of one side
    beside = np.array([cos(turn) * cos(pitch), sin(turn) * cos(pitch), sin(pitch)])
    planes = [np.cross(side, np.cross(side, [0.0, 0.0, 1.0])) for side in (along, beside)]
    edge = np.cross(*planes)
    miter = np.degrees(np.arctan2(abs(edge[1]), abs(edge @ along)))
    assert miter == pytest.approx(float(MITER[sides].split()[8]), rel=0, abs=HALF_DIGIT)


@pytest.mark.parametrize(("sides", "pitch"), ROWS)
def test_sides_and_pitch_from_the_printed_miter(sides, pitch):
    """The printed miter, back to the turn in plan, and to how steep the sides are."""
    rise, run = rise_and_run(pitch)
    miter = 90 - Fraction(MITER[sides].split()[pitch // 5])
    skew = 90 - Fraction(180, sides)
    low, high = read_back("skew", "saw_miter", miter, HALF_DIGIT, unit_rise=rise, unit_run=run)
    assert low <= skew <= high
    if pitch >= 5:
        low, high = read_back("unit_rise", "saw_miter", miter, HALF_DIGIT, skew=skew, unit_run=run)
        assert low <= rise <= high


@pytest.mark.parametrize(("sides", "pitch"), [row for row in ROWS if 5 <= row[1] <= 50])
def test_sides_and_pitch_from_the_printed_bevel(sides, pitch):
    """The same from the printed tilt of the blade."""
    rise, run = rise_and_run(pitch)
    bevel = Fraction(BEVEL[sides].split()[pitch // 5])
    skew = 90 - Fraction(180, sides)
    low, high = read_back("skew", "saw_bevel", bevel, HALF_DIGIT, unit_rise=rise, unit_run=run)
    assert low <= skew <= high
    low, high = read_back("unit_rise", "saw_bevel", bevel, HALF_DIGIT, skew=skew, unit_run=run)
    assert low <= rise <= high
