"""What fails is said wherever somebody could cut by the numbers without looking at the verdicts."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from stairs.cli.commands import main
from stairs.lengths.tape import parse

EXAMPLES = Path(__file__).parents[2] / "examples"


def run(*words: str):
    return CliRunner().invoke(main, list(words))


def flat(text: str) -> str:
    return " ".join(text.split())


def test_the_setting_out_of_a_failing_guard_says_so_first_and_last():
    text = flat(run("solve", str(EXAMPLES / "back-steps.toml")).output)
    warning = (
        'NOT READY TO BUILD: 1 check fails, at 3 places (tread opening, tread 1: 6 7/8", '
        'below 6"). See what to change with stairs check before anything is bought or cut.'
    )
    assert text.count(warning) == 2
    assert text.index(warning) < text.index("Flight 1") < text.rindex(warning)


def test_the_cut_list_of_a_failing_guard_says_so_before_the_first_cut():
    text = flat(run("cuts", str(EXAMPLES / "old-stair.toml")).output)
    assert "NOT READY TO BUILD: 3 checks fail, at 6 places (unit rise, riser 4:" in text
    assert text.index("NOT READY TO BUILD") < text.index("Rails")


def test_more_failures_than_can_be_named_are_counted():
    job = (EXAMPLES / "back-steps.toml").read_text(encoding="utf-8")
    for old, new in (("rise = ", 'rise = "45" # '), ("bottom_gap = ", 'bottom_gap = "5" # ')):
        assert old in job
        job = job.replace(old, new, 1)
    text = flat(CliRunner().invoke(main, ["solve", "-"], input=job).output)
    fails = int(re.search(r"NOT READY TO BUILD: (\d+) checks", text)[1])
    assert fails > 3
    assert f"and {fails - 3} more)" in text


def test_a_list_for_a_spreadsheet_stays_pure_and_the_warning_goes_beside_it():
    result = run("cuts", str(EXAMPLES / "back-steps.toml"), "--csv", "cut")
    assert result.exit_code == 0
    assert "NOT READY" not in result.stdout and result.stdout.startswith("piece,section,")
    assert result.stderr.startswith("stairs: NOT READY TO BUILD: 1 check fails")


@pytest.mark.parametrize("command", [("solve",), ("cuts",), ("cuts", "--csv", "cut")])
def test_a_guard_that_passes_is_not_warned_of(command):
    result = run(command[0], str(EXAMPLES / "porch.toml"), *command[1:])
    assert "NOT READY" not in result.stdout + result.stderr


@pytest.mark.parametrize("name", ["porch", "two-bays", "back-steps", "metric-deck", "old-stair"])
def test_a_rail_and_what_comes_off_it_add_up_to_the_stock(name):
    text = run("solve", str(EXAMPLES / f"{name}.toml")).output
    units = "mm" if "millimetres" in text else "in"
    tables = re.findall(r"Rails: two to a bay.*?\n\n", text, re.S)
    rows = re.findall(r"^ +\d+((?:  +[\d/ ]+(?:\"| mm)){5})$", "".join(tables), re.M)
    assert len(rows) >= len(tables) > 0
    for row in rows:
        cells = [parse(cell, units, "screen") for cell in re.split(r"  +", row.strip())]
        _, cut, stock, low, high = cells
        assert cut + low + high == stock


PORCH = (EXAMPLES / "porch.toml").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("handrail", "words"),
    [
        ("true", "from 4 needed R311.7.8 the top rail is to serve as the handrail"),
        (
            "false",
            'from 4 needed R311.7.8 this guard has none: fit a handrail of its own, 34" to 38" '
            "above the nosings, plumb, or",
        ),
    ],
)
def test_a_handrail_that_is_needed_is_said_to_be_there_or_missing(handrail, words):
    job = PORCH.replace("handrail = true", f"handrail = {handrail}")
    assert words in flat(CliRunner().invoke(main, ["check", "-"], input=job).output)


def test_a_low_flight_is_told_that_no_guard_and_no_handrail_are_needed():
    job = PORCH
    for old, new in (('rise = "43 1/2"', 'rise = "21 3/4"'), ('run = "52 1/2"', 'run = "21"'),
                     ("treads = 5", "treads = 2"), ("60 1/4", "28")):  # fmt: skip
        assert old in job
        job = job.replace(old, new)
    text = flat(CliRunner().invoke(main, ["check", "-"], input=job).output)
    assert 'guard, by drop 21 3/4" if over 30" not needed R312.1.1' in text
    assert "handrail, by risers 3 from 4 not needed R311.7.8" in text
    assert "this guard has none" not in text and "is to serve" not in text


def test_a_drop_of_just_the_limit_needs_no_guard():
    """The code asks for a guard where the drop is *more* than 30 in."""
    job = (EXAMPLES / "back-steps.toml").read_text(encoding="utf-8")
    text = flat(CliRunner().invoke(main, ["check", "-"], input=job).output)
    assert 'guard, by drop 30" if over 30" not needed' in text


def test_a_riser_between_two_marks_is_told_in_decimals_that_add_up():
    text = run("solve", str(EXAMPLES / "two-bays.toml")).output
    assert '10 risers of 7.2" (near 7 3/16"), 9 treads of 11"' in text  # 10 of 7 3/16 are 71 7/8
    assert "risers of 190 mm, " in run("solve", str(EXAMPLES / "metric-deck.toml")).output


def test_steps_that_were_measured_are_told_as_averages():
    text = run("solve", str(EXAMPLES / "old-stair.toml")).output
    assert '6 risers of 7 3/16" on average, 5 treads of 10 1/4" on average' in text


LOW_RAIL = """
units = "in"
rules = "irc-2021"
tape = "1/16"
measured_within = 0
bracket = { kind = "pivot", pivot_offset = "1 1/8", rail_setback = "3/8" }
post = { width = "3", base = "5", edge_distance = "2 3/4", reveal = "1" }

[panel]
height = "33 1/2"
top_rail = "1 3/4"
bottom_rail = "1 1/2"
baluster = "3/4"
pitch = "4 1/2"

[[section]]
kind = "level"
span = "65"
bays = 1
bottom_gap = "3 63/64"
drop = "40"
"""


def test_a_guard_that_only_rounding_makes_fail_does_not_pass():
    """3 63/64 in is below 4 in, but the nearest mark is 4 in, where the ball passes."""
    result = CliRunner().invoke(main, ["check", "-"], input=LOW_RAIL)
    text = flat(result.output)
    assert result.exit_code == 1
    assert "FAILS AS IT WILL BE CUT, on the tape's marks" in text
    assert 'under the bottom 4" below 4" 0 over R312.1.3 rail, bay 1' in text
    assert 'as drawn it is 3.98" and passes' in text
    assert "5 checks: 4 pass, 1 FAIL as cut" in text
    assert 'change: Cut and mark to 1/64" (now 1/16")' in text
    found = json.loads(CliRunner().invoke(main, ["check", "-", "--json"], input=LOW_RAIL).output)
    assert found["ok"] is False
    (check,) = [one for one in found["checks"] if one["as_cut"]["verdict"] == "fail"]
    assert check["verdict"] == "pass" and check["value"] == 3.984375
    finer = CliRunner().invoke(main, ["check", "-"], input=LOW_RAIL.replace('"1/16"', '"1/64"'))
    assert finer.exit_code == 0
