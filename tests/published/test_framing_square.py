"""The framing square's table: length of common rafter per foot run, which is the rake of one step.

Whole row of 17 lengths read in a how-to article that lists a square's table.  Single values
read in: US Navy Builder manual NAVEDTRA 14044, Figure 2-17 (13.89 for 7 in 12); US Army carpentry
texts EN5156, Figure 3-13, and en0069a, Figure 2-17 (17.69 for 13 in 12); Ira S. Griffith,
*Carpentry* (13.42 for 6 in 12).  All are printed to two decimals, in inches.
"""

from fractions import Fraction

import pytest
from backwards import read_back

from stairs.relations.chaining import derive
from stairs.relations.closed_forms import cosine, unit_slope
from stairs.relations.equations import SYMBOLS
from stairs.relations.measured_flight import fix_flight

HALF_LAST_DIGIT = 0.005

TABLE = {
    2: "12.17", 3: "12.37", 4: "12.65", 5: "13.00", 6: "13.42", 7: "13.89", 8: "14.42",
    9: "15.00", 10: "15.62", 11: "16.28", 12: "16.97", 13: "17.69", 14: "18.44", 15: "19.21",
    16: "20.00", 17: "20.81", 18: "21.63",
}  # fmt: skip
ROWS = pytest.mark.parametrize(
    ("rise", "printed"), TABLE.items(), ids=[f"{rise} in 12" for rise in TABLE]
)


@ROWS
def test_table_length_per_foot_run(rise, printed):
    """Length on the slope over 12 in of run."""
    assert unit_slope(rise, 12) == pytest.approx(float(printed), rel=0, abs=HALF_LAST_DIGIT)


@ROWS
def test_table_length_read_as_twelve_over_the_cosine(rise, printed):
    """The same length from the cosine of the rake, and the rise from its sine."""
    assert 12 / cosine(rise, 12) == pytest.approx(float(printed), rel=0, abs=HALF_LAST_DIGIT)
    sine = derive("sine", ("unit_rise", "unit_run")).expression
    sine = float(sine.subs({SYMBOLS["unit_rise"]: rise, SYMBOLS["unit_run"]: 12}))
    assert float(printed) * sine == pytest.approx(rise, rel=0, abs=HALF_LAST_DIGIT)


@ROWS
def test_table_length_as_one_step_of_a_flight(rise, printed):
    """A flight of one tread and two risers in which 12 in of run climbs the row's rise."""
    flight = fix_flight(
        {"unit_rise": Fraction(rise), "total_run": Fraction(12), "treads": Fraction(1)}
    )
    step = unit_slope(flight.values["unit_rise"], flight.values["unit_run"])
    assert step == pytest.approx(float(printed), rel=0, abs=HALF_LAST_DIGIT)


@pytest.mark.parametrize("rise", [5, 9, 16])
def test_table_rows_that_are_whole(rise):
    """5, 9 and 16 in 12 are Pythagorean: the printed 13.00, 15.00 and 20.00 are exact."""
    assert unit_slope(rise, 12) == float(TABLE[rise])


@ROWS
def test_table_rise_and_run_from_the_printed_length(rise, printed):
    """Half a hundredth below and above the printed length lie two rises, the row's between them."""
    low, high = read_back("unit_rise", "unit_slope", printed, "0.005", unit_run=12)
    assert low <= rise <= high
    low, high = read_back("unit_run", "unit_slope", printed, "0.005", unit_rise=rise)
    assert low <= 12 <= high
