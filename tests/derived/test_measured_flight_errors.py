"""What the chain says where measurements are missing, contradict each other or make no flight."""

from fractions import Fraction

import pytest

from stairs.errors import JobError, MeasurementMissing, MeasurementsContradict, NoSuchShape
from stairs.job import JobFlight
from stairs.job.key_notes import record_of
from stairs.parts.flight import flight_of
from stairs.relations.measured_flight import fix_flight


def number(text):
    return Fraction(text)


def taken(**typed):
    return {name: number(value) for name, value in typed.items()}


MISSING = [
    (
        {},
        "section 1: nothing given, which is not enough to work the stair out. Three measurements "
        "are needed, for example rise (H), run (W) and treads (T).",
        (),
    ),
    (
        {"total_rise": 42},
        "section 1: rise given, which is not enough to work the stair out. Two more measurements "
        "are needed, for example risers (n) with run (W) or risers (n) with unit_run (G) or "
        "risers (n) with rake (θ).",
        (),
    ),
    (
        {"total_rise": 42, "total_run": 50},
        "section 1: rise, run given, which is not enough to work the stair out. Add any one of: "
        "risers (n), treads (T), unit_rise (R), unit_run (G), rake (θ).",
        ("risers", "treads", "unit_rise", "unit_run", "rake"),
    ),
    (
        {"total_rise": 42, "risers": 6, "unit_rise": 7, "treads": 5},
        "section 1: risers, treads, rise, unit_rise given, which is not enough to work the stair "
        "out. Add any one of: run (W), unit_run (G), rake (θ).",
        ("run", "unit_run", "rake"),
    ),
    (
        {"unit_rise": 7, "unit_run": 10, "rake": 35},
        "section 1: unit_rise, unit_run, rake given, which is not enough to work the stair out. "
        "Add any one of: risers (n), treads (T), rise (H), run (W).",
        ("risers", "treads", "rise", "run"),
    ),
]


@pytest.mark.parametrize(("typed", "text", "candidates"), MISSING, ids=lambda v: str(v)[:40])
def test_missing_measurement_says_which_would_do(typed, text, candidates):
    """The message lists what is there and what would be enough, in the job file's words."""
    with pytest.raises(MeasurementMissing) as caught:
        fix_flight({name: Fraction(value) for name, value in typed.items()}, where="section 1")
    assert str(caught.value) == text
    assert caught.value.candidates == candidates
    assert caught.value.where == "section 1"
    assert isinstance(caught.value, ValueError)


def test_rake_that_only_repeats_the_totals_is_not_enough():
    """Where the rake is that of the totals themselves, no count follows from it."""
    with pytest.raises(MeasurementMissing) as caught:
        fix_flight(taken(total_rise="60", total_run="60", rake="45"), where="section 2")
    assert str(caught.value) == (
        "section 2: rise, run and rake do not fix the number of steps: 58 to 1000 risers all agree "
        "with this rake. Add any one of: risers (n), treads (T), unit_rise (R), unit_run "
        "(G)."
    )
    assert caught.value.candidates == ("risers", "treads", "unit_rise", "unit_run")


CONTRADICT = [
    pytest.param(
        taken(risers="6", total_rise="42", unit_rise="8", unit_run="10"),
        "0",
        "unit_rise is given as 8, but risers and rise make it 7: they differ by 1. No measuring "
        "error is allowed for (measured_within is 0). Measure again, or leave out the one that is "
        "in doubt.",
        (8.0, 7.0),
        1.0,
    ),
    (
        taken(risers="6", treads="6", total_rise="42", unit_run="10"),
        "0",
        "treads is given as 6, but risers make it 5: they differ by 1. They are counted and not "
        "measured, so that no error is allowed for. Measure again, or leave out the one that is "
        "in doubt.",
        (6.0, 5.0),
        1.0,
    ),
    pytest.param(
        taken(total_rise="42", unit_rise="7", total_run="55", unit_run="10"),
        "1/16",
        "unit_run is given as 10, but rise and run and unit_rise make it 11: they differ by 1. Up "
        "to 0.075 would pass as measuring error. Measure again, or leave out the one that is in "
        "doubt.",
        (10.0, 11.0),
        1.0,
    ),
    (
        taken(risers="6", total_rise="42", total_run="50", rake="36"),
        "0",
        "rake is given as 36, but risers and rise and run make it 34.992: they differ by 1.00798. "
        "Up to 0.5 would pass as measuring error. Measure again, or leave out the one that is in "
        "doubt.",
        (36.0, 34.992020198558656),
        1.007979801441344,
    ),
]


@pytest.mark.parametrize(
    ("typed", "within", "text", "values", "difference"),
    CONTRADICT,
    ids=["plain", "count", "length", "rake"],
)
def test_contradiction_shows_both_values_and_the_difference(
    typed, within, text, values, difference
):
    """Both values and their difference stand in the message and as attributes."""
    with pytest.raises(MeasurementsContradict) as caught:
        fix_flight(typed, within=Fraction(within))
    assert str(caught.value) == text
    assert caught.value.values == pytest.approx(values, rel=1e-12)
    assert caught.value.difference == pytest.approx(difference, rel=1e-9)


NO_FLIGHT = [
    (
        taken(total_rise="10", unit_rise="8", unit_run="10"),
        "landing",
        "these measurements come to 1.25 risers. A flight has 2 risers or more, and "
        "1000 at most. Check rise and "
        "unit_rise, or run and unit_run, against each other.",
    ),
    (
        taken(total_rise="7007", unit_rise="7", unit_run="10"),
        "landing",
        "these measurements come to 1001 risers. A flight has 2 risers or more, and "
        "1000 at most. Check rise and "
        "unit_rise, or run and unit_run, against each other.",
    ),
    (
        taken(risers="1", total_rise="7", unit_run="10"),
        "landing",
        "1 riser. A flight has 2 risers or more. A single step has no rake: give it as a level "
        "section on either side.",
    ),
    (
        taken(treads="1", total_rise="7", unit_run="10"),
        "tread",
        "1 riser. A flight has 2 risers or more. A single step has no rake: give it as a level "
        "section on either side.",
    ),
    (
        taken(treads="0", total_rise="7", total_run="10"),
        "landing",
        "1 riser. A flight has 2 risers or more. A single step has no rake: give it as a level "
        "section on either side.",
    ),
    (
        taken(treads="0", unit_rise="7", unit_run="10"),
        "tread",
        "0 riser. A flight has 2 risers or more. A single step has no rake: give it as a level "
        "section on either side.",
    ),
    (
        taken(risers="0", total_rise="7", total_run="10"),
        "landing",
        "0 riser. A flight has 2 risers or more. A single step has no rake: give it as a level "
        "section on either side.",
    ),
]


@pytest.mark.parametrize(
    ("typed", "top", "text"),
    NO_FLIGHT,
    ids=["few", "many", "one", "flush", "no treads", "none flush", "no risers"],
)
def test_measurements_that_make_no_flight(typed, top, text):
    """Fewer than two risers are no flight."""
    with pytest.raises(NoSuchShape) as caught:
        fix_flight(typed, top=top)
    assert str(caught.value) == text


def test_too_many_risers_are_told_the_upper_limit():
    """1000 risers and more are refused, so the upper end belongs in what is allowed."""
    with pytest.raises(NoSuchShape) as caught:
        fix_flight(taken(total_rise="14000", unit_rise="7", unit_run="10"))
    assert "2000 risers" in str(caught.value)
    assert "1000" in caught.value.allowed


def test_rake_that_no_count_of_steps_can_have_contradicts_the_totals():
    """Riser over run is less than rise over run only downwards: 45 degrees cannot come of 42 by 60.

    With n risers the slope is rise / run times (n - 1) / n, always below the 34.99 degrees of the
    totals.
    """
    with pytest.raises(JobError) as caught:
        fix_flight(taken(total_rise="42", total_run="60", rake="45"))
    assert "rake" in str(caught.value)


def test_values_are_shown_by_the_callers_own_words():
    """Errors print lengths as the caller prints them."""
    with pytest.raises(MeasurementsContradict, match="unit_run is given as <10>, but .* <11>"):
        fix_flight(
            taken(total_rise="42", unit_rise="7", total_run="55", unit_run="10"),
            show=lambda name, value: f"<{float(value):g}>",
        )


def test_flight_refuses_a_tread_as_thick_as_its_riser():
    """A tread's front edge cannot reach below the tread under it."""
    section = record_of(
        JobFlight, rise=Fraction(42), run=Fraction(50), treads=5, tread_thickness=Fraction(7)
    )
    with pytest.raises(NoSuchShape) as caught:
        flight_of(section, Fraction(0), "section 1")
    assert str(caught.value) == (
        "section 1: tread_thickness: a tread 7 thick under riser 1, which is 7 high. A tread is "
        "thinner than a riser is high. Measure the tread's front edge, top to bottom."
    )


def test_flight_refuses_a_nosing_as_long_as_its_run():
    """A nosing that long covers the whole tread below."""
    section = record_of(
        JobFlight, rise=Fraction(42), run=Fraction(50), treads=5, nosing=Fraction(10)
    )
    with pytest.raises(NoSuchShape) as caught:
        flight_of(section, Fraction(0), "section 1")
    assert str(caught.value) == (
        "section 1: nosing: a nosing of 10 over a run of 10. A nosing is shorter than the run. "
        "Measure how far the tread stands out over the riser below it."
    )
