"""A carpentry book's extract on stair framing (read at boulderlibrary.net, "Stair & Ramp Framing";
author and year are not on the extract): total rise 109 in, treads of 10 in.
"""

from fractions import Fraction

import pytest
from backwards import read_back

from stairs.relations.inverse import solve_for
from stairs.relations.measured_flight import fix_flight

RISE, TREAD = Fraction(109), Fraction(10)


def test_example_109_quotient():
    """109 / 7 is printed as 15.57, so either 15 or 16 risers."""
    assert float(RISE / 7) == pytest.approx(15.57, rel=0, abs=0.005)


@pytest.mark.parametrize(
    ("risers", "printed", "tolerance"),
    [
        (15, 7.26, 0.01),  # 109/15 = 7.2667: the print drops the third decimal, as tape work does
        (16, 6.81, 0.005),
    ],
    ids=["15 risers", "16 risers"],
)
def test_example_109_unit_rise(risers, printed, tolerance):
    """15 risers at 7.26 in (7 1/4 on the tape), or 16 at 6.81 in."""
    flight = fix_flight({"total_rise": RISE, "risers": Fraction(risers), "unit_run": TREAD})
    assert float(flight.values["unit_rise"]) == pytest.approx(printed, rel=0, abs=tolerance)


def test_example_109_unit_rise_15_differs_from_print():
    """Rounded, 109/15 is 7.27 and not the printed 7.26; 7 1/4 is indeed its nearest quarter."""
    ours = fix_flight({"total_rise": RISE, "risers": Fraction(15), "unit_run": TREAD})
    assert round(float(ours.values["unit_rise"]), 2) == 7.27 != 7.26
    assert round(4 * ours.values["unit_rise"]) == 29


def test_example_109_total_run():
    """14 treads of 10 in come to 140 in."""
    flight = fix_flight({"total_rise": RISE, "risers": Fraction(15), "unit_run": TREAD})
    assert flight.values["treads"] == 14
    assert flight.values["total_run"] == 140


def test_example_109_backwards():
    """16 risers of the printed 6.81 in come to 109 in, and 140 in are 14 treads of 10 in."""
    form = "unit_rise_from_risers_and_total_rise"
    low, high = read_back("total_rise", form, "6.81", "0.005", risers=16)
    assert low <= RISE <= high
    form = "total_run_from_unit_run_and_treads"
    (treads,) = solve_for("treads", form, 140, {"unit_run": TREAD}).taken
    (tread,) = solve_for("unit_run", form, 140, {"treads": 14}).taken
    assert (treads.exact, tread.exact) == (14, TREAD)
