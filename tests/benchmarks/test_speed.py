"""Speed, as ratios within a group: run with ``--benchmark-enable --benchmark-only``.

pytest-benchmark prints each row of a group against the fastest, so what is read is how many times
slower one way is than another on the same machine in the same minute, not a time.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
import shapely

from stairs.guard.solving import solve_section
from stairs.job import read_job
from stairs.openings.opening import TRIANGLE
from stairs.openings.pocket_shape import pocket_shape
from stairs.shapes.circle import largest_circle
from stairs.solution import solution_for

EXAMPLES = Path(__file__).parents[2] / "examples"
PORCH = EXAMPLES / "porch.toml"


@pytest.fixture(scope="module")
def pocket():
    section = solution_for(read_job(str(PORCH))).guard.sections[0]
    return next(item.pocket for item in section.openings if item.kind == TRIANGLE)


@pytest.mark.benchmark(group="largest circle of one tread opening")
def test_circle_by_our_own_search(benchmark, pocket):
    shape = pocket_shape(pocket)
    assert benchmark(largest_circle, shape).diameter > 0


@pytest.mark.benchmark(group="largest circle of one tread opening")
def test_circle_by_shapely_to_a_millionth(benchmark, pocket):
    polygon = shapely.Polygon([edge.start for edge in pocket_shape(pocket).edges])
    line = benchmark(shapely.maximum_inscribed_circle, polygon, 1e-5)
    assert line.length > 0


@pytest.mark.benchmark(group="one flight")
def test_flight_solved(benchmark):
    job = read_job(str(PORCH))
    assert benchmark(solve_section, job, 0).bays


@pytest.mark.benchmark(group="one flight")
def test_flight_solved_and_checked_with_tolerance(benchmark):
    job = read_job(str(PORCH))
    assert benchmark(solution_for, job).ok


@pytest.mark.benchmark(group="one command as a whole process")
@pytest.mark.parametrize(
    "words",
    [["-c", "import sympy"], ["-m", "stairs", "check", str(PORCH)]],
    ids=["importing sympy alone", "check"],
)
def test_process(benchmark, words):
    run = benchmark.pedantic(
        subprocess.run, ([sys.executable, *words],), {"capture_output": True}, rounds=3
    )
    assert run.returncode == 0
