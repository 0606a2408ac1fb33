"""Speed of closed forms solved for an input, as ratios to other ways of doing the same."""

from __future__ import annotations

import math
import subprocess
import sys
from fractions import Fraction

import pytest
import sympy
from scipy.optimize import brentq

from stairs.relations import closed_forms
from stairs.relations.equations import SYMBOLS
from stairs.relations.inverse import solve_for

KNOWN = {
    "clear": Fraction(245, 4), "pivot_offset": Fraction(9, 8), "rail_setback": Fraction(3, 8),
    "unit_run": Fraction(21, 2),
}  # fmt: skip
LENGTH = Fraction(569, 8)
# 59 level from pin to pin is 71 7/8 on the rake: the rise over 10 1/2 by Pythagoras
RISE = 10.5 * math.sqrt((71.875 / 59) ** 2 - 1)

GROUP = pytest.mark.benchmark(group="the rise of a step from a rail's length")


@GROUP
def test_exact_polynomial(benchmark):
    answer = benchmark(solve_for, "unit_rise", "rail_length", LENGTH, KNOWN)
    assert [root.value for root in answer.taken] == [pytest.approx(RISE, rel=1e-12)]


@GROUP
def test_bracketing_in_floats(benchmark):
    """One root in a bracket that has to be known beforehand, and not exact."""
    known = {name: float(size) for name, size in KNOWN.items()}

    def off(rise):
        return closed_forms.rail_length(unit_rise=rise, **known) - float(LENGTH)

    assert benchmark(brentq, off, 1.0, 20.0, xtol=1e-12) == pytest.approx(RISE, rel=1e-11)


@GROUP
def test_symbolic_solving(benchmark):
    known = {name: sympy.Rational(size.numerator, size.denominator) for name, size in KNOWN.items()}
    rise, run = SYMBOLS["unit_rise"], known["unit_run"]
    level = known["clear"] - 2 * known["pivot_offset"]
    form = level * sympy.sqrt(rise**2 + run**2) / run - 2 * known["rail_setback"]
    wanted = sympy.Rational(LENGTH.numerator, LENGTH.denominator)
    roots = benchmark.pedantic(sympy.solve, (form - wanted, rise), rounds=5, warmup_rounds=1)
    assert [float(root) for root in roots] == [pytest.approx(RISE, rel=1e-11)]


@pytest.mark.benchmark(group="solving forms as a whole process")
@pytest.mark.parametrize(
    "code",
    ["import stairs.relations.exact",
     "from stairs.relations.inverse import solve_for; "
     "print(solve_for('unit_rise', 'unit_slope', 5, {'unit_run': 4}).taken[0].value)",
     "import sympy"],
    ids=["closed forms alone", "solved for an input", "importing sympy alone"],
)  # fmt: skip
def test_process(benchmark, code):
    run = benchmark.pedantic(
        subprocess.run, ([sys.executable, "-c", code],), {"capture_output": True}, rounds=5
    )
    assert run.returncode == 0
