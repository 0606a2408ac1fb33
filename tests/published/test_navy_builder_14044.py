"""US Navy, *Builder*, NAVEDTRA 14044: stairway layout, and the slope of a rafter.

Read at constructionmanuals.tpub.com: the stairway example as far as its riser count (its later
steps were cut off), and Figure 2-17.
"""

from fractions import Fraction

import pytest
from backwards import read_back

from stairs.relations.closed_forms import unit_slope
from stairs.relations.measured_flight import fix_flight


def test_example_stairway_layout_riser_count():
    """Total rise 8 ft 11 in; dividing by 7 and dropping the fraction gives the printed 15.

    The chain takes the nearest whole count to 107 / 7 = 15.29, which is 15 as well.
    """
    rise = Fraction(8 * 12 + 11)
    assert rise // 7 == 15
    flight = fix_flight({"total_rise": rise, "unit_rise": Fraction(7), "unit_run": Fraction(11)},
                        within=Fraction(1, 2))  # fmt: skip
    assert flight.values["risers"] == 15
    assert flight.values["unit_rise"] == Fraction(107, 15)


def test_example_stairway_layout_unit_rise_is_not_seven():
    """15 risers of 7 in are 105 in, two short of the floor: the chain says what it kept."""
    flight = fix_flight(
        {"total_rise": Fraction(107), "unit_rise": Fraction(7), "unit_run": Fraction(11)},
        within=Fraction(1, 2),
    )
    assert len(flight.remarks) == 1
    assert "unit_rise is given as 7; " in flight.remarks[0]
    assert "7.13333" in flight.remarks[0]


def test_figure_2_17_seven_in_twelve():
    """A rafter that rises 7 in 12 is 13.89 in long per foot of run, printed to two decimals."""
    assert unit_slope(7, 12) == pytest.approx(13.89, rel=0, abs=0.005)


def test_figure_2_17_seven_in_twelve_backwards():
    """The printed 13.89 in of a rafter over 12 in of run rise 7 in."""
    low, high = read_back("unit_rise", "unit_slope", "13.89", "0.005", unit_run=12)
    assert low <= 7 <= high
