"""Risers and treads measured singly: put together, held against totals, slips by name."""

from __future__ import annotations

import io
import json
from fractions import Fraction
from pathlib import Path

import pytest
from click.testing import CliRunner

from stairs.certainty.readings import job_with, readings_of
from stairs.cli.commands import main
from stairs.drawing import draw_elevation
from stairs.drawing.paper.primitives import Text
from stairs.errors import JobError, MeasurementsContradict
from stairs.job import job_from_mapping, job_to_mapping, read_job
from stairs.parts.survey import put_right
from stairs.remedies.job_changes import Change, apply
from stairs.report.survey_text import odd_readings
from stairs.solution import solution_for

OLD = (Path(__file__).parents[2] / "examples" / "old-stair.toml").read_text(encoding="utf-8")
HEAD, _, REST = OLD.partition("nosings = [")
TAIL = REST[REST.index("nosing = ") :]

RISES = 'rises = ["7 1/8", "7 1/4", "7 1/8", "7 1/4", "7 1/4", "7 1/4"]\n'
RUNS = 'runs = ["10 1/4", "10 1/8", "10 3/8", "10 1/4", "10 1/4"]\n'


def job_text(*lines):
    return HEAD + "".join(lines) + TAIL


def read(*lines):
    return read_job("-", io.StringIO(job_text(*lines)))


def test_steps_add_up_to_nosings():
    section = read(RISES, RUNS).sections[0]
    assert section.steps.nosings == tuple(
        (Fraction(x), Fraction(y))
        for x, y in (
            (0, "57/8"), ("41/4", "115/8"), ("163/8", "43/2"), ("123/4", "115/4"),
            (41, 36), ("205/4", "173/4"),
        )
    )  # fmt: skip


def test_the_answer_is_that_of_the_same_stair_measured_by_points():
    by_points = OLD.replace('"29 3/4"]', '"28 3/4"]')
    one = solution_for(read(RISES, RUNS)).guard.sections[0]
    other = solution_for(read_job("-", io.StringIO(by_points))).guard.sections[0]
    assert one.bays[0].rail_length == other.bays[0].rail_length
    assert [post.height for post in one.posts] == [post.height for post in other.posts]
    assert one.flight.survey.slips == other.flight.survey.slips == ()


def test_totals_beside_them_are_held_against_their_sums():
    """43 1/4 and 51 1/4; each of 7 and of 6 readings may be off by 1/8."""
    section = read(RISES, RUNS, 'rise = "44 1/8"\n', 'run = "50 1/2"\n').sections[0]
    assert (section.steps.rise, section.steps.run) == (None, None)


@pytest.mark.parametrize(
    ("lines", "place", "words"),
    [
        ((RISES, RUNS, 'rise = "45"\n'), "rises",
         'add up to 43 1/4", and rise is 45", which differs by 1 3/4". Single risers add up to '
         "the total rise. Measure the risers and the total rise again."),
        ((RISES.replace('"7 1/8", "7 1/4", "7 1/4"', '"7 1/8", "8 1/4", "7 1/4"'), RUNS,
          'rise = "43 1/4"\nmeasured\n'), "rises",
         'add up to 44 1/4", and rise is 43 1/4", which differs by 1". Single risers add up to the '
         'total rise. Measure riser 4 again: it reads 8 1/4" and alone differs from the others by '
         "about as much."),
        ((RISES, RUNS.replace("10 3/8", "12 3/8"), 'run = "51 1/4"\n'), "runs",
         'Measure tread 3 again: it reads 12 3/8" and alone differs'),
    ],
    ids=["total", "riser", "tread"],
)  # fmt: skip
def test_a_sum_that_is_off_names_the_reading(lines, place, words):
    within = "1/16" if "measured\n" in lines[-1] else "1/8"
    text = job_text(*(line.replace("measured\n", "") for line in lines))
    text = text.replace('measured_within = "1/8"', f'measured_within = "{within}"')
    with pytest.raises(MeasurementsContradict) as caught:
        read_job("-", io.StringIO(text))
    assert f"{place}: " in str(caught.value)
    assert words in str(caught.value)


@pytest.mark.parametrize(
    ("lines", "words"),
    [
        ((RISES,), "runs: is missing beside rises. A stair measured step by step has rises and "
                   "runs. Measure every tread (G in the picture that stairs form draws) and add "
                   'runs, as in runs = ["10 1/2"]'),
        ((RUNS,), "rises: is missing beside runs. A stair measured step by step has rises and "
                  "runs. Measure every riser (R in the picture that stairs form draws) and add "
                  'rises, as in rises = ["7 1/4"]'),
        ((RISES, 'runs = ["10"]\n'), "runs: is a list of 1 beside 6 rises. There is one tread "
         "fewer than risers: runs go from the first nosing to the last. Give 5 runs"),
        (('rises = ["7"]\n', "runs = []\n"), "rises: is a list of 1. A flight has 2 risers or "
         "more. Measure the other risers, the one up to the landing included"),
        ((RISES, RUNS, "risers = 6\n"), "risers: stands beside rises. Single risers and treads "
         "already say every rise and run; they stand instead of nosings, rake, risers, treads, "
         "unit_rise, unit_run. Leave out risers, or rises and runs"),
        ((RISES, RUNS, 'nosings = [["0", "7"], ["10", "14"]]\n'), "nosings: stands beside rises "
         "and runs and differs from what they add up to. Nosings are measured as points or step "
         "by step. Leave out nosings, or rises and runs"),
        ((RISES, 'runs = ["10", "-1"]\n'), 'runs 2: "-1" is negative. A length above 0 is needed. '
         "List every tread as measured singly, nosing to nosing, lowest first, as in"),
        ((RISES, 'runs = ["10", 0]\n'), "runs 2: is 0. A length above 0 is needed"),
    ],
)  # fmt: skip
def test_lists_that_do_not_go_together_are_refused(lines, words):
    with pytest.raises(JobError) as caught:
        read(*lines)
    assert words in str(caught.value)


def test_the_job_reads_back():
    job = read(RISES, RUNS)
    assert job_from_mapping(job_to_mapping(job)).sections == job.sections


def test_one_odd_riser_is_named_as_a_slip_of_its_own():
    """8 1/4 among risers of 7 1/8 and 7 1/4: all nosings above it are an inch too high."""
    rises = RISES.replace('"7 1/8", "7 1/4", "7 1/4"', '"7 1/8", "8 1/4", "7 1/4"')
    survey = solution_for(read(rises, RUNS)).guard.sections[0].flight.survey
    (slip,) = survey.slips
    assert (slip.nosing, slip.axis, slip.read, slip.expected) == (
        4, "rise", Fraction(33, 4), Fraction(29, 4),
    )  # fmt: skip
    text = job_text(rises, RUNS)
    output = CliRunner().invoke(main, ["check", "-"], input=text).output
    assert (
        'MEASURE AGAIN before anything is cut: riser 4 reads 8 1/4", which looks like a slip of '
        'the tape; the other steps make it about 7 1/4"'
    ) in " ".join(output.split())
    section = json.loads(CliRunner().invoke(main, ["solve", "-", "--json"], input=text).output)
    assert section["sections"][0]["slips"][0]["axis"] == "rise"


def test_one_odd_tread_is_named_and_put_right():
    runs = RUNS.replace("10 3/8", "11 3/8")
    section = solution_for(read(RISES, runs)).guard.sections[0]
    (slip,) = section.flight.survey.slips
    assert (slip.nosing, slip.axis) == (3, "run")
    points = put_right(section.flight.points, (slip,))
    assert points[2] == section.flight.points[2]
    assert points[3][0] - points[2][0] == slip.expected == Fraction(41, 4)
    assert points[5][0] == section.flight.points[5][0] + slip.expected - slip.read


@pytest.mark.parametrize("place", [0, 5])
def test_an_odd_first_or_last_riser_may_well_be_true(place):
    """Floors are laid later: the end risers of old stairs are often odd."""
    rises = ["7 1/4"] * 6
    rises[place] = "6"
    line = f"rises = {json.dumps(rises)}\n"
    assert solution_for(read(line, RUNS)).guard.sections[0].flight.survey.slips == ()


def test_a_single_step_read_wrong_carries_all_above_along():
    job = read(RISES, RUNS)
    readings = readings_of(job, 0)
    moved = {one.key: job_with(job, readings, {one.key: one.high}) for one in readings}
    was = job.sections[0].steps.nosings
    now = moved["rises: riser 3"].sections[0].steps.nosings
    assert [b[1] - a[1] for a, b in zip(was, now, strict=True)] == [0, 0, *[Fraction(1, 8)] * 4]
    now = moved["runs: tread 2"].sections[0].steps.nosings
    assert [b[0] - a[0] for a, b in zip(was, now, strict=True)] == [0, 0, *[Fraction(1, 8)] * 4]


def test_a_total_that_agrees_bears_an_odd_riser_out():
    """44 1/4 in all, and 44 1/4 measured: riser 3 is an inch higher, and no slip."""
    rises = RISES.replace('"7 1/8", "7 1/4", "7 1/8"', '"7 1/8", "7 1/4", "8 1/8"')
    alone = solution_for(read(rises, RUNS), with_remedies=False)
    survey = alone.sections[0].section.flight.survey
    assert [(slip.nosing, slip.axis) for slip in survey.slips] == [(3, "rise")]
    held = read(rises, RUNS, 'rise = "44 1/4"\n')
    assert held.sections[0].steps.totals == ("rise",)
    solution = solution_for(held, with_remedies=False)
    assert solution.sections[0].section.flight.survey.slips == ()
    (text,) = odd_readings(solution.job, solution.sections[0])
    assert text == (
        'riser 3 is 8 1/8", all others are about 7 1/4"; the measured total rise bears it out: the '
        "step is uneven"
    )
    changed = apply(held, [Change("panel", "height", Fraction(35))], 0)
    assert changed.sections[0].steps.totals == ("rise",)


def lettered(*lines) -> list[str]:
    """All that stands in the view of the elevation of a measured stair."""
    drawn = draw_elevation(solution_for(read(*lines), with_remedies=False))
    return [one.content for one in drawn.labels if isinstance(one, Text)]


def test_a_step_that_may_be_misread_is_flagged_on_the_elevation():
    odd = RISES.replace('["7 1/8"', '["6"')
    words = lettered(odd, RUNS)
    assert "MEASURE AGAIN" in words and 'RISER 1 IS 6"' in words
    # a measured total that agrees bears it out: then it is uneven, and measured well enough
    assert "MEASURE AGAIN" not in lettered(odd, RUNS, 'rise = "42 1/8"\n')
