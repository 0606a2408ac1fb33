"""Enclosures against an interval library of its own, and against exact fractions."""

from __future__ import annotations

import inspect
import random
from fractions import Fraction
from types import FunctionType

import pytest
from mpmath import iv

from stairs.certainty.enclosure import Enclosure, form_of
from stairs.certainty.traced import _OF_ONE_STEP, Traced, end_of
from stairs.relations import closed_forms
from stairs.relations.exact import derived

SIZES = {
    "bottom_gap": (0.25, 1), "panel_height": (32, 33), "top_rail": (1.5, 2), "bottom_rail": (1, 2),
    "unit_rise": (7, 7.5), "unit_run": (10, 10.5), "clear": (60, 61), "pivot_offset": (1, 1.25),
    "rail_setback": (0.25, 0.5), "depth": (1, 2), "hole_length": (1.125, 1.25),
    "wall": (0.0625, 0.125), "baluster": (0.75, 0.8125), "corner_base": (11, 11.5),
    "pitch": (4, 4.5), "stringer_margin": (0, 0.125),
}  # fmt: skip


class _Of:
    """The names that closed forms ask of ``math``, as the interval library has them."""

    pi = iv.pi

    @staticmethod
    def atan(value):
        # iv has no arc tangent: it is monotone, so that of both ends, worked to many digits
        from mpmath import mp

        with mp.workdps(40):
            return iv.mpf([mp.atan(value.a), mp.atan(value.b)])


@pytest.mark.parametrize(
    "name",
    ["guard_height", "rail_length", "corner_clearance", "rake", "hole_needed", "max_rack",
     "corner_circle", "baluster_clear", "strip_opening", "stock_needed", "panel_inner"],
)  # fmt: skip
def test_enclosures_are_those_of_an_interval_library(name):
    """Of the same expression the library has the same two ends, but for the last digits."""
    form = getattr(closed_forms, name)
    names = form.__code__.co_varnames[: form.__code__.co_argcount]
    sizes = {one: SIZES.get(one, (0.125, 0.25)) for one in names}
    iv.dps = 30
    by_library = FunctionType(form.__code__, {"math": _Of, "sqrt": iv.sqrt})
    theirs = by_library(**{key: iv.mpf(list(ends)) for key, ends in sizes.items()})
    ours = form_of(name)(**{key: Enclosure(*ends) for key, ends in sizes.items()})
    assert ours.low == pytest.approx(float(theirs.a), rel=1e-12, abs=1e-12)
    assert ours.high == pytest.approx(float(theirs.b), rel=1e-12, abs=1e-12)
    assert ours.low <= float(theirs.a) * (1 + 1e-15) and float(theirs.b) <= ours.high + 1e-15


@pytest.mark.parametrize("seed", range(5))
def test_sums_and_products_hold_what_fractions_come_to_exactly(seed):
    pick = random.Random(seed)
    for _ in range(200):
        one, other = (Fraction(pick.randint(1, 999), pick.randint(1, 999)) for _ in range(2))
        a, b = Enclosure.of(one), Enclosure.of(other)
        for exact, found in (
            (one + other, a + b), (one - other, a - b), (one * other, a * b),
            (one / other, a / b), (one * one, a**2),
        ):  # fmt: skip
            assert Fraction(found.low) <= exact <= Fraction(found.high)
            assert found.high - found.low <= 1e-14 * max(1.0, abs(found.high)) * 10


def test_bounds_lie_at_the_corners_where_the_signs_are_sure():
    """A clear width less twice an offset, by hand: 60 +- 1/8 less 2 (1 +- 1/16) is 58 +- 1/4."""
    clear, off = Traced.read("clear", Fraction(60)), Traced.read("off", Fraction(1))
    eighth, part = Fraction(1, 8), Fraction(1, 16)
    box = {"clear": (60 - eighth, 60 + eighth), "off": (1 - part, 1 + part)}
    length = derived(
        "rail_length", clear=clear, pivot_offset=off, rail_setback=Fraction(0),
        unit_rise=Fraction(0), unit_run=Fraction(1),
    )  # fmt: skip
    low, high = (end_of(lambda worked: worked(length), box, side) for side in (-1, 1))
    assert (low.value, high.value) == pytest.approx((57.75, 58.25), abs=1e-12)
    assert high.corner == {"clear": 60 + eighth, "off": 1 - part} and high.sure


def test_what_steps_add_up_to_counts_each_of_them_once():
    one, other = Traced.read("one", Fraction(7)), Traced.read("other", Fraction(8))
    assert (one + other) - one is other


def test_closed_forms_of_a_step_go_by_its_slope_but_for_two():
    """A step twice as large gives what the step gives, but for its own size and where it begins."""
    told = set()
    for name, form in inspect.getmembers(closed_forms, inspect.isfunction):
        names = list(inspect.signature(form).parameters)
        if not {"unit_rise", "unit_run"} <= set(names):
            continue
        sizes = {one: 0.5 + 0.25 * place for place, one in enumerate(names)}
        step, double = ({"unit_rise": 7.0 * k, "unit_run": 10.0 * k} for k in (1, 2))
        if "x" in names:  # of a line through the first nosing: the same line
            double["x"] = sizes["x"] + 10 - 20
        if form(**{**sizes, **step}) != pytest.approx(form(**{**sizes, **double}), abs=1e-9):
            told.add(name)
    assert told == set(_OF_ONE_STEP)
