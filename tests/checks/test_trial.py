"""Trials come to what the answer comes to, and keep only what a change cannot have touched."""

from __future__ import annotations

import copy
from fractions import Fraction

import pytest
from guards import base

from stairs.checks.finding import FAIL
from stairs.job import job_from_mapping
from stairs.remedies.job_changes import Change
from stairs.remedies.remedies import apply
from stairs.remedies.trial_solve import Bench, depends_on
from stairs.rules import load
from stairs.solution import solution_for


def deck(units: str = "in", **changes):
    """Two flights with a landing run between them, posts and gaps left open."""
    mapping = base("in")
    flight = mapping["section"][0]
    flight.pop("posts")
    flight |= {"bays": 1, "bottom_gap": "auto"}
    level = {"kind": "level", "span": "72", "bays": 1, "bottom_gap": "auto", "turn": "90"}
    upper = copy.deepcopy(flight) | {"turn": "90"}
    mapping |= {"section": [flight, level, upper], "measured_within": "0"}
    for place, value in changes.items():
        table, key = place.split("__")
        mapping[table][key] = value
    return job_from_mapping(mapping)


def bench_of(job):
    return Bench(job, load(job.rules).in_units(job.units))


def failing(solution):
    return {
        (finding.section - 1, finding.id)
        for part in solution.sections
        for finding in part.findings
        if finding.verdict == FAIL
    }


@pytest.mark.parametrize(
    "changes", [{}, {"post__stock": ["39"]}, {"panel__height": "30"}, {"panel__stock": ["48"]}]
)
def test_a_trial_fails_what_the_answer_fails(changes):
    job = deck(**changes)
    assert bench_of(job).before.failing == failing(solution_for(job, with_remedies=False))


def test_a_shared_post_is_judged_at_its_one_height_in_a_trial():
    """The run alone could do with 40; its first post is the last one of the flight below."""
    job = deck(post__stock=["40"])
    assert (1, "post-stock") in bench_of(job).before.failing
    alone = bench_of(job_from_mapping(_only_level(job))).before.failing
    assert (0, "post-stock") not in alone


def _only_level(job):
    mapping = base("in")
    level = {"kind": "level", "span": "72", "bays": 1, "bottom_gap": "auto"}
    mapping |= {"section": [level], "measured_within": "0"}
    mapping["post"]["stock"] = ["40"]
    return mapping


def test_what_is_kept_is_what_a_fresh_bench_finds():
    job = deck(panel__height="31")
    bench = bench_of(job)
    for index, value in ((0, Fraction(3, 2)), (2, Fraction(1)), (1, Fraction(3))):
        changed, outcome = bench.tried((Change("section", "bottom_gap", value),), index)
        fresh = bench_of(changed).before
        assert outcome.failing == fresh.failing
        assert [part.section for part in outcome.sections] == [
            part.section for part in fresh.sections
        ]


def test_a_section_hangs_on_its_own_record_and_the_ends_of_the_others():
    job = deck()
    moved = apply(job, type("R", (), {"changes": (Change("section", "span", Fraction(80)),)})(), 1)
    assert depends_on(job, 0) == depends_on(moved, 0)
    assert depends_on(job, 1) != depends_on(moved, 1)
    ended = apply(job, type("R", (), {"changes": (Change("section", "end", "wall"),)})(), 1)
    assert depends_on(job, 2) != depends_on(ended, 2)
    taller = apply(job, type("R", (), {"changes": (Change("panel", "height", Fraction(34)),)})(), 0)
    assert all(depends_on(job, index) != depends_on(taller, index) for index in range(3))
