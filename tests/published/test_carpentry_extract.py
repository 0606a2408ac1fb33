"""A carpentry book's extract on stair framing (read at boulderlibrary.net, "Stair & Ramp Framing";
author and year are not on the extract): total rise 109 in, treads of 10 in.
"""

from fractions import Fraction

import pytest

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
