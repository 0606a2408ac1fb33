"""How long jobs take beside the porch: processor time of whole commands, as ratios.

The porch is the plainest stair with everything measured.  A guard that stands beside its stair, or
old steps that are all unlike, take more work; nobody should wait for either.
"""

from __future__ import annotations

import os
import random
import resource
import subprocess
import sys
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from stairs.errors import StairsError
from stairs.job import read_job
from stairs.solution import solution_for

sys.path.append(str(Path(__file__).parents[1] / "cli"))
from random_jobs import random_job, toml_text  # noqa: E402

PORCH = Path(__file__).parents[2] / "examples" / "porch.toml"
SOLVE, CHECK = 8, 25  # porches

PARTS = """
units = "in"
rules = "irc-2021"
[panel]
height = 33
top_rail = "1 3/4"
bottom_rail = "1 1/2"
baluster = "3/4"
pitch = "4 1/2"
stock = [72, 96]
[post]
width = 3
[bracket]
kind = "pivot"
pivot_offset = "1 1/8"
rail_setback = "3/8"
{bracket}
[[section]]
kind = "flight"
tread_thickness = "1 1/2"
bottom_gap = "auto"
bays = "auto"
{section}
"""
BODY = 'body = { height = "1", reach = "3/4" }'
BESIDE = 'side_gap = "1 1/2"'


def alike(risers: int) -> str:
    return f'unit_rise = "7 1/2"\nunit_run = "10 1/4"\nnosing = "1 1/4"\nrisers = {risers}'


def measured(count: int) -> str:
    dice, x, y, points = random.Random(count), 0.0, 0.0, []
    for _ in range(count):
        y += 7.25 + dice.randint(-2, 2) / 16
        points.append(f'["{x}", "{y}"]')
        x += 10.25 + dice.randint(-2, 2) / 16
    return f'nosing = "1 1/8"\nnosings = [{", ".join(points)}]'


@cache
def kept() -> TemporaryDirectory[str]:
    return TemporaryDirectory()


def compiled() -> dict[str, str]:
    """Where the program is compiled once, as where it is installed, and not at each start."""
    env = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}
    return env | {"PYTHONPYCACHEPREFIX": kept().name}


def seconds(command: str, job: Path) -> float:
    """Processor time of a command, user and system; the first to load a module compiles it."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    words = [sys.executable, "-m", "stairs", command, str(job)]
    run = subprocess.run(words, capture_output=True, env=compiled())
    assert run.returncode in (0, 1), run.stderr
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def porches(command: str, job: Path) -> float:
    """How many times as long as the porch a command takes with a job."""
    alone = min(seconds(command, PORCH) for _ in range(3))
    return min(seconds(command, job) for _ in range(2)) / alone


def job_of(folder: Path, section: str, bracket: str = "") -> Path:
    path = folder / "job.toml"
    path.write_text(PARTS.format(section=section, bracket=bracket))
    return path


def test_a_guard_beside_a_plain_stair_is_soon_solved(tmp_path):
    job = job_of(tmp_path, f"{alike(5)}\n{BESIDE}", BODY)
    assert porches("solve", job) < SOLVE


@pytest.mark.fuzz
@pytest.mark.parametrize(
    ("section", "bracket"),
    [
        (alike(15) + "\n" + BESIDE, BODY),
        (alike(15) + '\nriser_slope = 10\nside_gap = "2 1/2"', ""),
        (alike(30), ""),
        (alike(30) + "\n" + BESIDE, BODY),
        (alike(30) + "\nriser_slope = 10\n" + BESIDE, BODY),
        (measured(12) + "\n" + BESIDE, ""),
        (measured(30), ""),
        (measured(30) + "\n" + BESIDE, BODY),
    ],
    ids=["15 beside", "15 beside, risers raked back", "30", "30 beside",
         "30 beside, risers raked back", "12 measured, beside", "30 measured",
         "30 measured, beside"],
)  # fmt: skip
def test_no_flight_keeps_anyone_waiting(section, bracket, tmp_path):
    job = job_of(tmp_path, section, bracket)
    assert porches("solve", job) < SOLVE
    assert porches("check", job) < CHECK


@pytest.mark.fuzz
def test_a_flight_of_as_many_steps_as_are_read_ends(tmp_path):
    assert porches("solve", job_of(tmp_path, measured(100))) < 75


@pytest.mark.fuzz
def test_random_guards_beside_a_stair_keep_nobody_waiting(tmp_path):
    """Jobs that mix all keys keep to so many porches."""
    times = []
    for seed in range(1000, 1150):
        job = random_job(seed)
        if not any("side_gap" in section for section in job["section"]):
            continue
        path = tmp_path / f"{seed}.toml"
        path.write_text(toml_text({key: value for key, value in job.items() if value != ""}))
        try:
            read_job(str(path))
            solution_for(read_job(str(path)), with_remedies=False, judged=())
        except StairsError:
            continue
        times.append((porches("solve", path) / SOLVE, porches("check", path) / CHECK))
    assert len(times) > 10
    assert max(max(both) for both in times) < 1, sorted(times)
