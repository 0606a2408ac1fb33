"""29 CFR 1910.24(e), Table D-1: angle, rise and tread run of fixed stairs, to January 2017.

Read in: Washington WAC 296-24-76511 (apps.leg.wa.gov, effective to 1 October 2020), which reprints
all 13 rows; an OSHA letter of 6 June 2012 quotes 1910.24(e).  The table was printed as "not limited
to" these pairs, so the rows are examples of one formula: angle from rise and run.  Angles are
printed in degrees and minutes, so half a minute is the tolerance.
"""

from fractions import Fraction

import pytest
from backwards import read_back

from stairs.relations.closed_forms import rake, unit_slope
from stairs.relations.inverse import solve_for
from stairs.relations.measured_flight import fix_flight
from stairs.rules import load

# printed angle, rise, run, tolerance in minutes of arc
ROWS = [
    ("30°35'", "6 1/2", "11", 0.5),
    ("32°08'", "6 3/4", "10 3/4", 0.5001),  # 32°07.49991', printed as if it were the half minute
    ("33°41'", "7", "10 1/2", 0.5),
    ("35°16'", "7 1/4", "10 1/4", 0.5),
    ("36°52'", "7 1/2", "10", 0.5),
    ("38°29'", "7 3/4", "9 3/4", 0.5),
    ("40°08'", "8", "9 1/2", 2.0),  # the one copy seen prints 2' more than 8 over 9 1/2 gives
    ("41°44'", "8 1/4", "9 1/4", 0.5),
    ("43°22'", "8 1/2", "9", 0.5),
    ("45°00'", "8 3/4", "8 3/4", 0.5),
    ("46°38'", "9", "8 1/2", 0.5),
    ("48°16'", "9 1/4", "8 1/4", 0.5),
    ("49°54'", "9 1/2", "8", 0.5),
]
BY_ROW = pytest.mark.parametrize(
    ("printed", "rise", "run", "minutes"), ROWS, ids=[f"{r} by {g}" for _, r, g, _ in ROWS]
)


def inches(text):
    """A printed mixed number, exactly."""
    return sum((Fraction(part) for part in text.split()), Fraction(0))


def degrees(text):
    """A printed angle in degrees and minutes, in degrees."""
    whole, minutes = text.rstrip("'").split("°")
    return int(whole) + int(minutes) / 60


@BY_ROW
def test_table_d1_angle(printed, rise, run, minutes):
    """The angle follows from rise and run."""
    angle = rake(inches(rise), inches(run))
    assert angle == pytest.approx(degrees(printed), rel=0, abs=minutes / 60)


@BY_ROW
def test_table_d1_angle_of_a_whole_flight(printed, rise, run, minutes):
    """The same angle when the row is one step of a flight known only by its totals."""
    flight = fix_flight(
        {
            "total_rise": 9 * inches(rise),
            "total_run": 8 * inches(run),
            "treads": Fraction(8),
        }
    )
    assert flight.values["unit_rise"] == inches(rise)
    assert flight.values["unit_run"] == inches(run)
    assert float(flight.values["rake"]) == pytest.approx(degrees(printed), rel=0, abs=minutes / 60)


@BY_ROW
def test_table_d1_run_from_printed_angle(printed, rise, run, minutes):
    """Rise and the printed angle give the printed run, to what the angle's last digit is worth."""
    flight = fix_flight(
        {
            "unit_rise": inches(rise),
            "rake": Fraction(degrees(printed)).limit_denominator(60),
            "treads": Fraction(8),
        }
    )
    # d run / d angle = (rise squared + run squared) / rise, per radian
    step = unit_slope(inches(rise), inches(run)) ** 2 / float(inches(rise))
    worth = step * (minutes / 60) * 3.14159265 / 180
    assert float(flight.values["unit_run"]) == pytest.approx(
        float(inches(run)), rel=0, abs=1.01 * worth
    )


def test_table_d1_row_8_by_9_1_2_differs_from_print():
    """The printed 40°08' is two minutes above what 8 over 9 1/2 gives; all other rows agree to
    half a minute, so the print (of the one copy seen) is thought to be wrong."""
    ours = rake(8, Fraction(19, 2))
    assert ours == pytest.approx(40 + 6.05 / 60, rel=0, abs=0.005 / 60)
    assert degrees("40°08'") - ours > 1.5 / 60


def test_table_d1_rise_and_run_add_up():
    """Rise and run are 17 1/2 in together in every row."""
    assert {inches(rise) + inches(run) for _, rise, run, _ in ROWS} == {Fraction(35, 2)}


@BY_ROW
def test_table_d1_rows_lie_within_1910_25_c1(printed, rise, run, minutes):
    """All rows lie in the 30 to 50 degrees that the present 1910.25(c)(1) gives too."""
    book = load("osha-1910-2016")
    angle = rake(inches(rise), inches(run))
    assert book.rule("rake-min").allows(Fraction(angle))
    assert book.rule("rake-max").allows(Fraction(angle))


def test_letter_2025_angle_of_9_1_2_by_8():
    """OSHA letter of 17 June 2025: a 9.5 in rise at 49 to 50 degrees gives an 8 in run."""
    flight = fix_flight(
        {"unit_rise": Fraction(19, 2), "unit_run": Fraction(8), "treads": Fraction(8)}
    )
    assert 49 < float(flight.values["rake"]) < 50
    for angle, low, high in ((49, 8.0, 8.5), (50, 7.5, 8.0)):
        steep = fix_flight(
            {"unit_rise": Fraction(19, 2), "rake": Fraction(angle), "treads": Fraction(8)}
        )
        assert low < float(steep.values["unit_run"]) < high


def test_letter_2025_angle_of_9_1_2_by_9_1_2():
    """OSHA letter of 17 June 2025: 9.5 in rise with 9.5 in run gives 45 degrees."""
    assert rake(Fraction(19, 2), Fraction(19, 2)) == pytest.approx(45, rel=0, abs=1e-12)


@BY_ROW
def test_table_d1_rise_and_run_from_the_printed_angle(printed, rise, run, minutes):
    """The printed angle and either size of the step, back to the other one."""
    whole, after = printed.rstrip("'").split("°")
    angle, half = int(whole) + Fraction(int(after), 60), Fraction(str(minutes)) / 60
    low, high = read_back("unit_rise", "rake", angle, half, unit_run=inches(run))
    assert low <= inches(rise) <= high
    low, high = read_back("unit_run", "rake", angle, half, unit_rise=inches(rise))
    assert low <= inches(run) <= high


def test_letter_2025_angle_of_9_1_2_by_9_1_2_backwards():
    """45 degrees over 9.5 in rise 9.5 in, exactly."""
    (rise,) = solve_for("unit_rise", "rake", 45, {"unit_run": Fraction(19, 2)}).taken
    assert rise.exact == Fraction(19, 2)
