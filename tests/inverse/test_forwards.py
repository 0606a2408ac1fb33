"""Answers put back forwards: a value gives a result, and the result finds the value again.

Guards are drawn at random from all keys of the job file, a twentieth of them by default, all under
the marker ``fuzz``.  What a value gives is read off the guard solved with it; that it is found
again asks nothing of the search itself.
"""

from __future__ import annotations

import random
import sys
from fractions import Fraction
from pathlib import Path

import pytest

from stairs.errors import JobError
from stairs.inverse.found import find
from stairs.job import job_from_text
from stairs.solution import solution_for

sys.path.insert(0, str(Path(__file__).parents[1] / "cli"))

from random_jobs import random_job, toml_text  # noqa: E402

GUARDS, PLANTED, SHARE = 1000, 200, 20
BATCHES = 10
KEYS = ("bottom_gap", "panel.height", "panel.top_rail", "panel.bottom_rail")
HEIGHT = "guard_height"


def batches(count):
    """The whole run in batches: the first of a twentieth by default, all under the marker."""
    by_default = count // SHARE // BATCHES
    yield from (range(k * by_default, (k + 1) * by_default) for k in range(BATCHES))
    rest = range(count // SHARE, count, count // SHARE)
    yield from (
        pytest.param(range(one, one + count // SHARE), marks=pytest.mark.fuzz) for one in rest
    )


def guards(seeds):
    """A job that can be solved for each seed, and its dice; others are drawn where one cannot."""
    for seed in seeds:
        for another in range(20):
            dice = random.Random(1000 * another + seed)
            drawn = random_job(3 + seed + 5000 * another)
            drawn["section"] = drawn["section"][:1]  # one alone is as good, and sooner solved
            for section in drawn["section"]:
                section["bottom_gap"] = section.get("bottom_gap", 3)
                if section["bottom_gap"] == "auto":
                    section["bottom_gap"] = 4 if drawn["units"] == "in" else 100
            try:
                job = job_from_text(toml_text(drawn))
                solution = solution_for(job, with_remedies=False, for_sheets=True)
            except JobError:
                continue
            yield job, solution, dice
            break
        else:
            raise AssertionError(f"no guard for {seed}")


def value_now(job, key):
    """What the job has for a key."""
    table, _, name = key.rpartition(".")
    return getattr(job.panel if table else job.sections[0], name)


@pytest.mark.parametrize("seeds", list(batches(GUARDS)))
def test_a_value_is_found_again_by_the_height_that_it_gives(seeds):
    """The height of the guard grows with the gap, the panel and the depth of its rails.

    Of a level run the rails' depths are in the panel's height, and nothing changes with them.
    """
    done = 0
    for job, solution, dice in guards(seeds):
        section = solution.sections[0].section
        key = dice.choice(KEYS if section.rake > 0 else KEYS[:2])
        value = value_now(job, key)
        near = Fraction(1, 2) if job.units == "in" else Fraction(12)
        low, high = value - near, value + near  # not at an end, where a float may miss it
        if key != "bottom_gap":
            low = max(low, value * Fraction(9, 10))
        wanted = repr(section.guard_height)
        found = find(job, key, section=1, low=str(low), high=str(high), goal=HEIGHT, equal=wanted)
        (stretch,) = found.drawn
        # a float stands for the height, and rails move it by a fraction of their depth
        slack = 1e-9 if key in KEYS[:2] else 1e-7
        assert float(stretch.low.value) == pytest.approx(float(value), abs=slack), (key, job)
        done += 1
    assert done == len(seeds)


@pytest.mark.parametrize("seeds", list(batches(PLANTED)))
def test_a_planted_height_that_no_gap_gives_has_no_answer_and_one_that_does_has(seeds):
    """A rail set higher by so much makes the guard higher by just as much, at most."""
    done = 0
    for job, solution, dice in guards(seeds):
        section = solution.sections[0].section
        gap = value_now(job, "bottom_gap")
        most = Fraction(1, 2) if job.units == "in" else Fraction(12)
        range_told = {"section": 1, "low": str(gap), "high": str(gap + most)}
        off = dice.uniform(0.01, 0.9) * float(most)
        top = section.guard_height + float(most)
        none = find(job, "bottom_gap", goal=HEIGHT, at_least=repr(top + off), **range_told)
        assert not none.drawn and not none.marks, job
        assert none.nearest is not None and float(none.nearest.value) <= float(gap + most)
        assert none.way.proved or none.way.unbuilt is not None
        some = find(job, "bottom_gap", goal=HEIGHT, at_least=repr(top - off), **range_told)
        # unless a rail so high leaves no guard at all
        if some.way.unbuilt is None:
            assert float(some.drawn[0].low.value) == pytest.approx(
                float(gap + most) - off, abs=1e-9
            )
        done += 1
    assert done == len(seeds)
