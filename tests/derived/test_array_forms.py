"""Closed forms over arrays: against stairs of points, against exact numbers, and used wrongly."""

import inspect
import warnings
from fractions import Fraction
from types import FunctionType

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from mpmath import mp
from stair_of_points import stairs

from stairs import StairsError, array_forms, closed_forms

NAMES = array_forms.__all__
ULP = np.finfo(float).eps


def names_of(function):
    return list(inspect.signature(function).parameters)


def test_every_closed_form_is_there_with_its_name_and_its_parameters():
    written = inspect.getmembers(closed_forms, inspect.isfunction)
    forms = {name: one for name, one in written if one.__module__ == closed_forms.__name__}
    assert set(NAMES) == set(forms)
    for name, scalar in forms.items():
        over = getattr(array_forms, name)
        assert (over.__name__, over.__doc__) == (name, scalar.__doc__)
        assert names_of(over) == names_of(scalar)


@settings(
    deadline=None, derandomize=True, max_examples=5,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.large_base_example],
)  # fmt: skip
@given(several=st.lists(stairs(flush=0), min_size=3, max_size=3))
def test_arrays_give_what_is_measured_off_stairs_of_points(several):
    """Each argument and each result an array of what is measured off three stairs."""
    from stairs.relations.derivation import FORMS, flight_forms

    for item in (*FORMS, *(form for form, _ in flight_forms())):
        over = getattr(array_forms, item.name)
        arrays = {name: [float(one[name]) for one in several] for name in names_of(over)}
        found = over(**arrays)
        assert found.shape == (3,)
        wanted = [float(one[item.target]) for one in several]
        assert found == pytest.approx(wanted, rel=1e-8, abs=1e-7), item.name


class _Precise:
    """The functions of an angle with fifty digits."""

    pi = mp.mpf(0)
    sin, cos, tan, acos, atan = mp.sin, mp.cos, mp.tan, mp.acos, mp.atan


SIZES = {
    "unit_rise": (6, 8.5), "unit_run": (9, 13), "panel_height": (30, 42), "clear": (30, 80),
    "stock": (84, 96), "rail_length": (40, 80), "hole_in_stock": (8, 20), "hole_length": (1.3, 2),
    "baluster": (0.5, 1.2), "wall": (0.05, 0.2), "corner_base": (9, 14), "strip_ball": (4, 6),
    "side_gap": (0.5, 2), "skew": (1, 40), "rake": (20, 40), "riser_slope": (1, 15),
    "total_rise": (40, 90), "total_run": (50, 120), "risers": (5, 12), "treads": (5, 12),
    "guard_height": (36, 44), "flush_tread": (1, 1), "stock_needed": (40, 80),
}  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
def test_twins_agree_with_the_exact_value_but_for_the_last_digits(name):
    """Fifty digits of the same expression; what cancels is measured by the largest part of it."""
    pick = np.random.default_rng(len(name))
    over, scalar = getattr(array_forms, name), getattr(closed_forms, name)
    given_arrays = {one: pick.uniform(*SIZES.get(one, (0.5, 3)), 200) for one in names_of(over)}
    found = over(**given_arrays)
    largest = max(float(np.abs(values).max()) for values in given_arrays.values())
    with mp.workdps(50):
        _Precise.pi = +mp.pi
        precise = FunctionType(scalar.__code__, {"math": _Precise, "sqrt": mp.sqrt})
        for place in range(200):
            numbers = {one: float(values[place]) for one, values in given_arrays.items()}
            value = found[place]
            exact = precise(**{one: mp.mpf(number) for one, number in numbers.items()})
            room = 16 * ULP * max(abs(float(exact)), largest)
            assert abs(value - float(exact)) <= room
            assert abs(value - scalar(**numbers)) <= room


def test_fractions_and_whole_numbers_are_taken_as_they_are():
    """A 3-4-5 step and a bay of 42: (42 - 2) / 0.8 - 1 is 49 by hand; of 21 it is 22 3/4."""
    found = array_forms.rail_length([Fraction(42), 21], 1, Fraction(1, 2), 3, 4)
    assert found.dtype == np.float64 and found == pytest.approx([49, 22.75], abs=1e-12)
    assert float(array_forms.rail_length(42, 1, 0.5, 3, 4)) == pytest.approx(49, abs=1e-12)


def test_arrays_are_broadcast_against_each_other():
    """Pythagoras along rows and columns: 3-4-5, 6-8-10, 5-12-13."""
    found = array_forms.unit_slope(np.array([[3], [5], [9]]), np.array([4, 12]))
    assert found == pytest.approx(np.sqrt([[25, 153], [41, 169], [97, 225]]), rel=1e-15)


def test_where_there_is_no_shape_the_result_is_not_a_number_and_nothing_is_said():
    """A hole narrower than its baluster racks at no angle, one as wide, through no wall, at 0."""
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        found = array_forms.max_rack(hole_length=[0.5, 1, 2], wall=0, baluster=1)
    assert np.isnan(found[0]) and found[1:] == pytest.approx([0, 60], abs=1e-12)


@pytest.mark.parametrize(
    ("values", "where", "found"),
    [
        (([1, 2, 3], [1, 2]), "unit_slope", "unit_rise (3,), unit_run (2,)"),
        ((np.ones((2, 3)), np.ones((3, 2))), "unit_slope", "unit_rise (2, 3), unit_run (3, 2)"),
        (([[1, 2], [3]], 1), "unit_slope: unit_rise", "[[1, 2], [3]] is no number"),
        ((1, "7 3/4"), "unit_slope: unit_run", "'7 3/4' is no number"),
        ((1, [7, None]), "unit_slope: unit_run", "[7, None] is no number"),
        ((None, 1), "unit_slope: unit_rise", "None is no number"),
        ((1, 1j), "unit_slope: unit_run", "1j is no number"),
    ],
)
def test_what_cannot_be_reckoned_with_is_refused_in_four_parts(values, where, found):
    with pytest.raises(StairsError) as raised:
        array_forms.unit_slope(*values)
    error = raised.value
    assert error.where == where and found in error.found
    assert error.allowed and error.remedy


def test_a_missing_argument_and_a_misspelled_form_are_python_errors():
    with pytest.raises(TypeError, match="unit_run"):
        array_forms.unit_slope(3)
    with pytest.raises(AttributeError, match="the nearest is rail_length"):
        _ = array_forms.rail_lenght
