"""The chain that fixes a flight: any sufficient set of measurements gives the same flight.

What is sufficient is found here without the chain: seven quantities are tied by four equations, and
a set fixes the flight where the equations' Jacobian, with the given columns taken out, has full
rank at a stair of no special shape.
"""

from fractions import Fraction
from itertools import combinations
from math import atan2, degrees

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stairs.errors import MeasurementMissing, MeasurementsContradict
from stairs.relations.measured_flight import FLIGHT, fix_flight
from stairs.relations.quantities import QUANTITIES

COUNTS, LENGTHS = ("risers", "treads"), ("total_rise", "total_run", "unit_rise", "unit_run")


def flight_values(risers, rise, run, top):
    """Every measurement of a flight, by adding up its steps."""
    treads = risers if top == "tread" else risers - 1
    return {
        "risers": Fraction(risers),
        "treads": Fraction(treads),
        "total_rise": sum([rise] * risers, Fraction(0)),
        "total_run": sum([run] * treads, Fraction(0)),
        "unit_rise": rise,
        "unit_run": run,
        "rake": Fraction(degrees(atan2(rise, run))),
    }


def jacobian(top):
    """Derivatives of the four equations by the seven quantities at a stair of no special shape."""
    flush = 1 if top == "tread" else 0
    n, R, G = 7.3, 6.9, 10.7
    T = n - 1 + flush
    # order: risers, treads, total_rise, total_run, unit_rise, unit_run, rake
    return np.array(
        [
            [1, -1, 0, 0, 0, 0, 0],  # T = n - 1 + flush
            [R, 0, -1, 0, n, 0, 0],  # H = n R
            [0, G, 0, -1, 0, T, 0],  # W = T G
            [0, 0, 0, 0, 1 / G, -R / G**2, -(1 + (R / G) ** 2)],  # tan rake = R / G
        ]
    )


def fixes(names, top):
    """Whether a set of measurements fixes the rest."""
    unknown = [index for index, name in enumerate(FLIGHT) if name not in names]
    if not unknown:
        return True
    return np.linalg.matrix_rank(jacobian(top)[:, unknown], tol=1e-9) == len(unknown)


SETS = [frozenset(names) for size in range(len(FLIGHT) + 1) for names in combinations(FLIGHT, size)]
# any three of these with another fixed by two of them are told apart by the rank alone
THREES = {
    top: [names for names in SETS if len(names) == 3 and fixes(names, top)]
    for top in ("landing", "tread")
}

lengths = st.fractions(min_value=4, max_value=16, max_denominator=32)
flights = st.tuples(st.integers(2, 20), lengths, lengths, st.sampled_from(["landing", "tread"]))


def test_there_are_sets_of_three_that_fix_a_flight():
    """The rank test is no empty one: it knows sets that do and sets that do not."""
    assert frozenset({"total_rise", "total_run", "treads"}) in THREES["landing"]
    assert frozenset({"total_rise", "total_run", "rake"}) in THREES["landing"]
    assert frozenset({"total_rise", "total_run", "rake"}) not in THREES["tread"]
    assert frozenset({"unit_rise", "unit_run", "rake"}) not in THREES["landing"]


@settings(deadline=None, derandomize=True, max_examples=36)
@given(flight=flights)
def test_every_set_of_three_gives_the_same_flight(flight):
    """All sufficient threes, same values; exact wherever no angle is among them."""
    top = flight[3]
    true = flight_values(*flight)
    for names in THREES[top]:
        if names == {"total_rise", "total_run", "rake"} and Fraction(true["rake"]).denominator == 1:
            continue  # typed as a whole degree it is good to half a degree: several counts agree
        fixed = fix_flight({name: true[name] for name in names}, top=top)
        assert set(fixed.values) == set(FLIGHT)
        for name in FLIGHT:
            if name == "rake" or "rake" in names:
                assert float(fixed.values[name]) == pytest.approx(float(true[name]), rel=1e-6), (
                    names,
                    name,
                )
            else:
                assert fixed.values[name] == true[name], (names, name)


@settings(deadline=None, derandomize=True, max_examples=36)
@given(flight=flights)
def test_all_measurements_together_agree_without_a_remark_on_lengths(flight):
    """A flight given seven times over is the same flight; only the angle's float can differ."""
    true = flight_values(*flight)
    fixed = fix_flight(true, top=flight[3])
    assert {name: fixed.values[name] for name in COUNTS + LENGTHS} == {
        name: true[name] for name in COUNTS + LENGTHS
    }
    assert all("rake" in remark for remark in fixed.remarks)


@pytest.mark.parametrize(
    "top",
    [
        "landing",
        pytest.param("tread"),
    ],
)
def test_too_few_measurements_name_exactly_those_that_would_do(top):
    """Every set that is too small, against trying each single addition."""
    true = flight_values(6, Fraction(29, 4), Fraction(21, 2), top)
    tried = 0
    for names in SETS:
        if fixes(names, top):
            continue
        with pytest.raises(MeasurementMissing) as caught:
            fix_flight({name: true[name] for name in names}, top=top)
        enough = {
            QUANTITIES[name].key
            for name in FLIGHT
            if name not in names and fixes(names | {name}, top)
        }
        assert set(caught.value.candidates) == enough, sorted(names)
        tried += 1
    assert tried > 29  # all sets of two and fewer, and the threes that say the same thing


def test_every_set_that_is_enough_is_taken():
    """Sufficient sets of any size solve."""
    true = flight_values(6, Fraction(29, 4), Fraction(21, 2), "landing")
    for names in SETS:
        if fixes(names, "landing"):
            fixed = fix_flight({name: true[name] for name in names})
            assert float(fixed.values["total_run"]) == pytest.approx(52.5, rel=1e-6), sorted(names)


def test_last_tread_flush_has_as_many_treads_as_risers():
    """top = "tread" counts the landing's edge as a tread."""
    given_ = {"total_rise": Fraction(42), "total_run": Fraction(60), "risers": Fraction(6)}
    assert fix_flight(given_, top="tread").values["treads"] == 6
    assert fix_flight(given_, top="tread").values["unit_run"] == 10
    assert fix_flight(given_, top="landing").values["treads"] == 5
    assert fix_flight(given_, top="landing").values["unit_run"] == 12


@settings(deadline=None, derandomize=True, max_examples=36)
@given(flight=flights, within=st.fractions(min_value=0, max_value=1, max_denominator=32),
       share=st.fractions(min_value=-1, max_value=1, max_denominator=16))  # fmt: skip
def test_surplus_unit_rise_within_the_tape_passes(flight, within, share):
    """Riser times count against the total: the tape may be off once on each.

    Riser count and total rise are kept; a typed riser may differ by ``within`` of its own and by
    what ``within`` on the total does to one riser.
    """
    risers, rise, run, top = flight
    room = within + within / risers
    true = flight_values(*flight)
    typed = {
        **{name: true[name] for name in ("risers", "total_rise", "unit_run")},
        "unit_rise": rise + share * room,
    }
    fixed = fix_flight(typed, top=top, within=within)
    assert fixed.values["unit_rise"] == rise
    assert bool(fixed.remarks) == (share * room != 0)
    typed["unit_rise"] = rise + room + Fraction(1, 1000)
    with pytest.raises(MeasurementsContradict) as caught:
        fix_flight(typed, top=top, within=within)
    assert caught.value.values == (float(typed["unit_rise"]), float(rise))
    assert caught.value.difference == pytest.approx(float(room) + 0.001, abs=1e-9)


def test_remark_says_what_was_kept():
    """A surplus that agrees within the tape leaves a line that names both values."""
    fixed = fix_flight(
        {
            "risers": Fraction(6),
            "total_rise": Fraction(42),
            "unit_rise": Fraction(113, 16),
            "unit_run": Fraction(10),
        },
        within=Fraction(1, 16),
    )
    assert fixed.remarks == (
        "unit_rise is given as 7.0625; risers and rise make it 7, which is within the measuring "
        "error, and is used",
    )


@pytest.mark.parametrize(
    ("rake", "agrees"),
    [("35", True), ("35.0", True), ("34.99", True), ("34.992", True), ("36", False),
     ("34.9", False), ("34.98", False), ("34.991", False)],
)  # fmt: skip
def test_rake_is_good_to_half_of_its_last_typed_digit(rake, agrees):
    """7 over 10 is 34.99202 degrees; a typed rake is believed to half its last digit.

    ``35.0`` and ``35`` are the same number and are read alike.
    """
    assert degrees(atan2(7, 10)) == pytest.approx(34.99202, abs=5e-6)
    typed = {
        "total_rise": Fraction(42),
        "risers": Fraction(6),
        "total_run": Fraction(50),
        "rake": Fraction(rake),
    }
    if agrees:
        fixed = fix_flight(typed)
        assert len(fixed.remarks) == 1
        assert float(fixed.values["rake"]) == pytest.approx(34.99202, abs=5e-6)
    else:
        with pytest.raises(MeasurementsContradict):
            fix_flight(typed)


@pytest.mark.parametrize("places", [1, 2, 3])
@pytest.mark.parametrize("risers", [3, 6, 11])
def test_rake_to_a_few_digits_still_counts_the_steps(risers, places):
    """Rise, run and a typed rake give a count that is not whole; the nearest whole one is meant."""
    true = flight_values(risers, Fraction(29, 4), Fraction(21, 2), "landing")
    rake = Fraction(round(float(true["rake"]), places)).limit_denominator(10**places)
    fixed = fix_flight(
        {"total_rise": true["total_rise"], "total_run": true["total_run"], "rake": rake}
    )
    assert fixed.values["risers"] == risers
    assert fixed.values["unit_rise"] == Fraction(29, 4)
    assert fixed.values["unit_run"] == Fraction(21, 2)


def test_count_of_steps_that_rise_run_and_a_rough_rake_leave_open_is_not_guessed():
    """20 risers, rake typed to a whole degree: 19 to 53 risers all agree with it."""
    rise, run, typed = 20 * Fraction(29, 4), 19 * Fraction(21, 2), Fraction(35)
    fitting = [
        n
        for n in range(2, 60)
        if abs(degrees(atan2(float(rise) / n, float(run) / (n - 1))) - float(typed)) <= 0.5
    ]
    assert fitting == list(range(19, 54))
    with pytest.raises(MeasurementMissing) as caught:
        fix_flight({"total_rise": rise, "total_run": run, "rake": typed})
    assert set(caught.value.candidates) == {"risers", "treads", "unit_rise", "unit_run"}


def test_rise_run_and_rake_do_not_fix_a_flight_whose_last_tread_is_flush():
    """With as many treads as risers the rake follows from the totals, whatever the count."""
    given_ = {"total_rise": Fraction(42), "total_run": Fraction(60), "rake": Fraction(35)}
    with pytest.raises(MeasurementMissing, match="not enough|do not fix"):
        fix_flight(given_, top="tread")


@settings(deadline=None, derandomize=True, max_examples=24)
@given(flight=flights, factor=st.fractions(min_value=Fraction(1, 50), max_value=50,
                                           max_denominator=100).filter(bool))  # fmt: skip
def test_scaling_a_flight_scales_its_lengths_only(flight, factor):
    """Counts and the rake do not know the unit."""
    true = flight_values(*flight)
    names = ("total_rise", "total_run", "unit_rise")
    plain = fix_flight({name: true[name] for name in names}, top=flight[3])
    scaled = fix_flight({name: factor * true[name] for name in names}, top=flight[3])
    for name in COUNTS:
        assert scaled.values[name] == plain.values[name]
    for name in LENGTHS:
        assert scaled.values[name] == factor * plain.values[name]
    assert float(scaled.values["rake"]) == pytest.approx(float(plain.values["rake"]), rel=1e-12)
