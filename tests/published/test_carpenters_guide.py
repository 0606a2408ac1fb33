"""*Carpenter's Guide*, Stairs (read at chestofbooks.com; the copy gives no year)."""

from fractions import Fraction

from stairs.relations.inverse import solve_for
from stairs.relations.measured_flight import fix_flight


def test_example_sixteen_rises():
    """9 ft 4 in divided into 16 rises makes each 7 in, exactly."""
    flight = fix_flight(
        {"total_rise": Fraction(9 * 12 + 4), "risers": Fraction(16), "unit_run": Fraction(10)}
    )
    assert flight.values["unit_rise"] == 7
    assert flight.values["treads"] == 15


def test_example_sixteen_rises_from_their_height():
    """The other way about: 112 in in rises of 7 in are 16 of them, with nothing left over."""
    flight = fix_flight(
        {"total_rise": Fraction(112), "unit_rise": Fraction(7), "unit_run": Fraction(10)}
    )
    assert flight.values["risers"] == 16
    assert flight.remarks == ()


def test_example_sixteen_rises_backwards():
    """The printed 7 in of one rise, and 16 of them, come to the 112 in that were divided."""
    form = "unit_rise_from_risers_and_total_rise"
    (total,) = solve_for("total_rise", form, 7, {"risers": 16}).taken
    (risers,) = solve_for("risers", form, 7, {"total_rise": 112}).taken
    assert (total.exact, risers.exact) == (112, 16)
