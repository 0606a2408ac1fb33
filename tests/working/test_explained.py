"""Every line that is printed of a result holds, worked again from its printed numbers alone.

What a line says is worked by an evaluator of the tests' own, which knows nothing of how it was
made; the letters are those that the block before it gives numbers to.
"""

from functools import cache
from pathlib import Path

import pytest
from random_jobs import random_job, toml_text
from worked_again import Formula, number, parts, work_again

from stairs.errors import StairsError
from stairs.job import job_from_text, read_job
from stairs.report.working_text import explained_text, working_text
from stairs.solution import solution_for
from stairs.working.results import results_of

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))


@cache
def solved(path):
    return solution_for(read_job(str(path)), with_remedies=False)


def every_result(solution):
    return [one for part in solution.sections for one in results_of(solution, part.section.number)]


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_line_of_every_result_holds_as_printed(path):
    """Half of the last place of what it prints, for the letters and for the numbers put in."""
    results, lines = all_hold(solved(path))
    assert results > 20 and lines > 100


@pytest.mark.parametrize(
    "seed", [3, 19, 26, *(pytest.param(k, marks=pytest.mark.fuzz) for k in range(60, 300))]
)
def test_every_line_holds_for_jobs_at_random(seed):
    """Jobs that mix every key: plumb cuts, corners, closed stringers, guards beside the stair."""
    try:
        job = job_from_text(toml_text(random_job(seed)))
        solution = solution_for(job, with_remedies=False)
    except StairsError:
        pytest.skip("its measurements leave no room, which a message says")
    assert all_hold(solution)[0] > 10
    assert "how the flight is fixed" in working_text(solution) or not any(
        part.section.flight for part in solution.sections
    )


def all_hold(solution):
    """Every line of every result worked again; how many results and lines there were."""
    lines, results = 0, every_result(solution)
    for one in results:
        text = explained_text(solution, one)
        assert max(map(len, text.splitlines())) <= 80
        worked, last = work_again(text)
        lines += worked
        place = 1e-4 if one.unit != "length" or solution.job.units == "in" else 1e-2
        if one.unit == "degrees":
            place = 1e-3
        if last is not None:
            assert last == pytest.approx(one.value, abs=0.51 * place), one.kind.name
    return len(results), lines


def test_the_ball_beside_the_stair_keeps_within_its_corner_all_the_way():
    """(R + G) √(r² - z²) + L √(r² - (w - z)²) <= (R + G + L) d/2 at every z from 0 to w, with the
    numbers that are printed; and squares that add up would say a little more."""
    solution = solved(next(path for path in EXAMPLES if path.stem == "side-stair"))
    ball = next(one for one in every_result(solution) if one.kind.name == "tread_opening")
    given, long, _ = parts(explained_text(solution, ball))
    value = {symbol: number(told)[0] for symbol, told in given.items()}
    value |= {line[0]: number(line[-1])[0] for line in long}
    rise, run, slope, flat = (value[one] for one in ("R", "G", "L", "Ø"))
    radius, gap = value["r"], value["wg"]

    def taken(z):
        near, far = (max(radius**2 - one**2, 0.0) ** 0.5 for one in (z, gap - z))
        return (rise + run) * near + slope * far

    room = (rise + run + slope) * flat / 2
    most = max(taken(gap * k / 1000) for k in range(1001))
    assert most == pytest.approx(room, rel=1e-6)
    assert taken(value["z"]) == pytest.approx(most, rel=1e-6)
    squares = (flat**2 + gap**2) ** 0.5
    assert flat < 2 * radius < squares and squares - 2 * radius < 0.004 * squares


@pytest.mark.parametrize(
    ("told", "value"),
    [('(7 1/4")²', 52.5625), ('43 1/2"/6', 7.25), ("√((3\")² + (4\")²)", 5),
     ('60 1/4" − (-4")', 64.25), ("90° − 34.6°", 55.4), ("(1/2)/(1/4)", 2),
     ("2 ⋅ (3/8\")", 0.75), ("arctan((7 1/4\")/(10 1/2\"))", 34.624155)],
)  # fmt: skip
def test_the_evaluator_reads_mixed_numbers_as_a_carpenter_does(told, value):
    """Worked on paper."""
    assert Formula(told).value() == pytest.approx(value, abs=1e-6)


def test_a_printed_number_is_known_to_half_of_its_last_place():
    assert number('70 15/16"') == (70.9375, 0.0)
    assert number("-1.25 mm") == (-1.25, 0.005)


def test_a_line_that_is_one_off_in_its_last_place_is_found_out():
    """What the evaluator is worth: every decimal result, made one larger, fails."""
    solution = solved(next(path for path in EXAMPLES if path.stem == "porch"))
    rail = next(one for one in every_result(solution) if one.kind.name == "rail_length")
    text = explained_text(solution, rail)
    told = ["12.75980", "71.69792", "70.9479"]
    assert all(f'= {one}"' in text for one in told)
    for one in told:
        other = one[:-1] + str((int(one[-1]) + 1) % 10)
        with pytest.raises(AssertionError):
            work_again(text.replace(f'= {one}"', f'= {other}"'))
