"""Bounds against corners of the box and points inside it, and against propagation of errors.

What is worked out over enclosures is worked out here by other means: as arrays of floats through
the generated forms, at every corner and at very many points, and as first-order propagation of
errors by a general-purpose library of uncertainties.
"""

from __future__ import annotations

import operator
import random
from collections.abc import Iterator, Mapping
from fractions import Fraction
from functools import cache
from itertools import chain
from types import FunctionType
from typing import Any, NamedTuple

import numpy as np
import pytest
from guards import changed
from random_jobs import random_job, toml_text
from solved_again import certain
from uncertainties import umath

from stairs import array_forms
from stairs.certainty.bounds import Bounds, TracedSection
from stairs.certainty.enclosure import Unsure
from stairs.certainty.proving import Certainty
from stairs.certainty.traced import Traced
from stairs.checks.checked_values import measures_of
from stairs.checks.step_values import OF_STEPS
from stairs.errors import JobError
from stairs.job import job_from_text
from stairs.openings.opening import END
from stairs.relations import closed_forms
from stairs.relations.exact import Amount, Derived

SEEDS = [range(20), pytest.param(range(20, 200), marks=pytest.mark.fuzz)]
"""Guards at random: a tenth of them, and by hand the others."""

MOST_CORNERS = 2**16
"""Of one amount; by default a sixteenth of them."""
DOINGS = {
    "add": operator.add, "sub": operator.sub, "mul": operator.mul, "truediv": operator.truediv,
}  # fmt: skip
OF_SEVERAL = {
    "post-stock", "post-spacing", "rail-stock", "rail-corner", "post-edge-distance", "rack-limit",
    "bracket-holes-top", "bracket-holes-foot", "midrail-gap-max", "guard-height-max",
    "handrail-height-max", *OF_STEPS,
}  # fmt: skip
"""Checks of the greatest or the least of several amounts, which whole guards are solved for."""


BALL = 4.375
"""The ball that openings of a stair are tried with [in], IRC R312.1.3 exception 2."""


class Decided(NamedTuple):
    """What a check is decided on, its bounds, and the box of what it depends on."""

    amount: Amount
    bounds: Bounds
    box: Mapping[str, tuple[Fraction, Fraction]]


@cache
def guards(seed: int) -> list[list[Decided]]:
    """Of every section of a guard at random, what its checks are decided on."""
    try:
        found = certain(job_from_text(toml_text(random_job(seed))))
        traced = [TracedSection(one.job, one.index, one.readings) for one in found if one.readings]
    except (JobError, Unsure):
        return []
    return [list(decided(one)) for one in traced]


def decided(traced: TracedSection) -> Iterator[Decided]:
    bounds = traced.bounds()
    for measure in measures_of(traced.section, traced.job):
        if measure.amount is None or measure.check in OF_SEVERAL:
            continue
        if keys := sorted(read_in(measure.amount)):
            box = {one: traced.box[one] for one in keys}
            yield Decided(measure.amount, bounds[measure.keys[0]], box)


def read_in(amount: Any) -> set[str]:
    """The measurements that an amount depends on."""
    if isinstance(amount, Derived):
        return set().union(*(read_in(part) for _, part in amount.arguments))
    if not isinstance(amount, Traced):
        return set()
    name, *parts = amount.made
    return {parts[0]} if name == "read" else set().union(*map(read_in, parts))


def worked_out(amount: Any, values: Mapping[str, Any], form: Any, most: Any) -> Any:
    """An amount at other measurements, whatever kind of number these are."""
    if isinstance(amount, Derived):
        return form(
            amount.form,
            {name: worked_out(part, values, form, most) for name, part in amount.arguments},
        )
    if not isinstance(amount, Traced):
        return float(amount)
    name, *parts = amount.made
    if name == "read":
        return values[parts[0]]
    done = [worked_out(part, values, form, most) for part in parts]
    return most(done) if name == "greatest" else DOINGS[name](*done)


def over_arrays(amount: Amount, values: Mapping[str, np.ndarray]) -> np.ndarray:
    return worked_out(
        amount, values, lambda name, given: getattr(array_forms, name)(**given),
        lambda several: np.maximum.reduce(several),
    )  # fmt: skip


def corners(box: Mapping[str, tuple], seed: int, most: int = MOST_CORNERS) -> dict[str, np.ndarray]:
    """Every corner of a box, or as many at random as there may be."""
    count = min(2 ** len(box), most)
    pick = np.random.default_rng(seed)
    found = {}
    for place, (key, (low, high)) in enumerate(box.items()):
        if count < 2 ** len(box):
            is_high = pick.integers(0, 2, count).astype(bool)
        else:
            is_high = (np.arange(count) >> place & 1).astype(bool)
        found[key] = np.where(is_high, float(high), float(low))
    return found


@pytest.mark.parametrize("seeds", SEEDS)
def test_no_corner_and_no_point_inside_is_outside_the_bounds_of_an_amount(seeds):
    """At up to 65 536 corners of each amount, and at a million points inside the box of a guard.

    Bounds are no more than a thousandth wider than what all corners come to, where these are all
    looked at.
    """
    is_default = seeds.start == 0
    inside = 10**4 if is_default else 10**6
    most = MOST_CORNERS // 16 if is_default else MOST_CORNERS
    held, widest = 0, 0.0
    for number, several in enumerate(chain.from_iterable(map(guards, seeds))):
        pick = np.random.default_rng(number)
        for amount, bounds, box in several:
            at_corners = over_arrays(amount, corners(box, number, most))
            points = max(inside // len(several), 1)
            at_points = over_arrays(
                amount,
                {key: pick.uniform(float(low), float(high), points)
                 for key, (low, high) in box.items()},
            )  # fmt: skip
            hair = 1e-12 * max(abs(bounds.low), abs(bounds.high), 1.0)
            for found in (at_corners, at_points):
                assert bounds.low - hair <= found.min() and found.max() <= bounds.high + hair
            held += 1
            if 2 ** len(box) <= most:
                apart = at_corners.max() - at_corners.min()
                wide = bounds.high - bounds.low
                assert wide <= 1.001 * apart + 1e-9, amount
                widest = max(widest, wide / apart if apart else 1.0)
    assert held > 3 * len(seeds) and 1 <= widest < 1.001


@pytest.mark.parametrize("seeds", SEEDS)
def test_bounds_are_what_the_propagation_of_errors_comes_to(seeds):
    """To the first order the library has the sum of each slope times what its measurement is off.

    What bounds add are the squares of errors: less than a twentieth, where a rake may be 2° off.
    """
    held = 0
    for several in chain.from_iterable(map(guards, seeds)):
        for amount, bounds, box in several:
            values = {
                key: ufloat_of(float(low + high) / 2, float(high - low) / 2)
                for key, (low, high) in box.items()
            }
            found = worked_out(amount, values, by_library, greatest_of)
            off = sum(abs(slope) * one.std_dev for one, slope in found.derivatives.items())
            for end, side in ((bounds.low, -1), (bounds.high, 1)):
                assert end == pytest.approx(found.n + side * off, abs=0.05 * off + 1e-9)
            held += 1
    assert held > 3 * len(seeds)


def greatest_of(several: list[Any]) -> Any:
    return max(several, key=lambda each: each.n)


def ufloat_of(middle: float, off: float) -> Any:
    from uncertainties import ufloat

    return ufloat(middle, off)


class _Of:
    """The names that closed forms ask of ``math``, as the library has them."""

    pi = np.pi
    sin, cos, tan = umath.sin, umath.cos, umath.tan
    atan, acos, asin = umath.atan, umath.acos, umath.asin


def by_library(name: str, given: Mapping[str, Any]) -> Any:
    form = getattr(closed_forms, name)
    return FunctionType(form.__code__, {"math": _Of, "sqrt": umath.sqrt})(**given)


@pytest.mark.parametrize("seeds", SEEDS)
def test_openings_are_bounded_to_a_tenth_of_what_a_corner_comes_to(seeds):
    """Of itself, or of the ball; at the corner to which it grows, one move at a time.

    The flight was designed.

    A measured flight's rails follow a line that may turn, and a ball beside the stair or a bay
    that may lose a baluster is bounded otherwise: those are held against whole guards alone.
    """
    held = 0
    for seed in seeds:
        pick = random.Random(seed)
        changes = {
            "section.bottom_gap": str(Fraction(pick.randint(4, 32), 16)),
            "section.nosing": pick.choice(["0", "1", "1 1/2"]),
            "section.rise": str(Fraction(pick.randint(40 * 8, 48 * 8), 8)),
            "section.unit_run": str(Fraction(pick.randint(9 * 8, 12 * 8), 8)),
        }  # fmt: skip
        try:
            (sure,) = certain(changed("in", changes))
        except JobError:
            continue
        for measure in measures_of(sure.section, sure.job):
            opening = measure.opening
            if opening is None or opening.pocket is None or opening.kind == END:
                continue
            bounds = sure.spread.bounds.get(measure.keys[0])
            if bounds is None:
                continue
            _, corner = sure._moves.towards(measure)
            found = value_at(sure, corner, measure.keys[0])
            if found:
                assert found <= bounds[1] * (1 + 1e-9)
                assert bounds[1] <= found + max(found, BALL) / 10, (seed, opening.kind)
                held += 1
    assert held > len(seeds)


def value_at(sure: Certainty, corner: Mapping[str, Fraction], key: str) -> float | None:
    from stairs.certainty.readings import job_with
    from stairs.guard.solving import solve_section

    job = job_with(sure.job, sure.readings, corner)
    try:
        section = solve_section(job, sure.index)
    except JobError:
        return None
    return next((one.value for one in measures_of(section, job) if one.keys[0] == key), None)
