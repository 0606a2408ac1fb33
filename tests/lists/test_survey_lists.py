"""A measured old stair on every list: criterion, alternatives, worst step, and the slip by name."""

import csv
import io
import json
from fractions import Fraction
from pathlib import Path

import pytest
from click.testing import CliRunner

from stairs.cli.commands import main
from stairs.parts.survey import put_right, survey_of, worst_neighbours, worst_riser

OLD = Path(__file__).parents[2] / "examples" / "old-stair.toml"


@pytest.fixture(scope="module")
def text_of():
    """What a command prints for the old stair, or for it with a text replaced."""
    source = OLD.read_text(encoding="utf-8")
    known = {}

    def text(command, old="", new="", *options):
        key = (command, old, new, options)
        if key not in known:
            assert old in source
            job = source.replace(old, new) if old else source
            known[key] = CliRunner().invoke(main, [command, "-", *options], input=job).stdout
        return known[key]

    return text


def flat(text):
    return " ".join(text.split())


MENDED = ('["30 3/4", "29 3/4"]', '["30 3/4", "28 3/4"]')


def test_solve_states_the_criterion_and_the_other_lines(text_of):
    """Ends: from 7 1/8 to 43 1/4 over 51 1/4, at 30 3/4 it is 28 4/5: 19/20 under 29 3/4."""
    text = flat(text_of("solve"))
    assert "the rail follows the straight line that covers all nosings and lies least far" in text
    assert (
        'the line through the first nosing and the last would pass 15/16" under nosing 4: a rail '
        'along it is raised by as much, 1" above the lowest nosing (rail_line = "ends")'
    ) in text
    assert "the line of least squares would pass" in text


def test_another_line_can_be_followed(text_of):
    """Along the ends, raised 19/20: nosing 4 touches, the first and the last are that far under."""
    change = ("handrail = true", 'handrail = true\nrail_line = "ends"')
    text = flat(text_of("solve", *change))
    assert (
        "the rail runs parallel to the line through the first nosing and the last, raised until it "
        'clears every nosing (rail_line = "ends")'
    ) in text
    assert "instead: the line that covers all nosings would clear every nosing too" in text
    part = json.loads(text_of("solve", *change, "--json"))["sections"][0]
    assert part["rail_line"] == "ends" and set(part["other_lines"]) == {"cover", "mean"}
    gaps = [gap - part["bottom_gap"] for gap in part["nosing_gaps"]]
    assert gaps[0] == pytest.approx(gaps[-1]) and gaps[3] == pytest.approx(0)
    at_nosing_4 = Fraction("7.125") + Fraction("36.125") * Fraction("30.75") / Fraction("51.25")
    assert gaps[0] == pytest.approx(float(Fraction("29.75") - at_nosing_4))


def test_an_odd_first_riser_is_told_as_what_it_may_be(text_of):
    """8 1/8, then 7 1/4, 7 1/8, 7 1/4 and so on: the first riser alone is odd."""
    old = OLD.read_text(encoding="utf-8")
    start, end = old.index('["0", "7 1/8"]'), old.index('["51 1/4"')
    points = ("0", "8 1/8"), ("10 1/4", "15 3/8"), ("20 3/8", "22 1/2"), ("30 3/4", "29 3/4"), (
        "41", "36 7/8")  # fmt: skip
    rows = ",\n    ".join(f'["{x}", "{y}"]' for x, y in points) + ",\n    "
    change = (old[start:end], rows)
    last = ('["51 1/4", "43 1/4"]', '["51 1/4", "44 1/8"]')
    job = old.replace(*change).replace(*last)
    for command in ("solve", "check", "cuts"):
        text = flat(CliRunner().invoke(main, [command, "-"], input=job).output)
        assert (
            'MEASURE AGAIN before anything is cut: riser 1 is 8 1/8", all others are about 7 1/4": '
            "either the first riser is really uneven, as where a floor was laid later, or the "
            "heights were not taken from the lower landing"
        ) in text
    result = json.loads(CliRunner().invoke(main, ["solve", "-", "--json"], input=job).output)
    (doubt,) = result["sections"][0]["doubts"]
    assert doubt == {
        "step": 1, "axis": "rise", "read": 8.125, "usual": 7.25, "borne_out": False,
    }  # fmt: skip


def test_solve_names_the_worst_step_and_holds_differences_against_the_rule(text_of):
    """Rises of 7 1/8 to 8 1/4 and down to 6 1/4: 2 in all and between neighbours."""
    text = flat(text_of("solve"))
    assert 'worst step: riser 4, 8 1/4" against a mean of 7 3/16"' in text
    assert 'risers differ by 2" in the flight (max 3/8", R311.7.5.1: FAILS); neighbours by' in text
    assert '2" at most (risers 4 and 5)' in text
    assert 'treads differ by 1/4" in the flight (max 3/8", R311.7.5.2: marginal)' in text


def test_adjacent_differences_go_against_their_own_rule(text_of):
    text = flat(text_of("solve", 'rules = "irc-2021"', 'rules = "nbc-2020"'))
    assert "in the flight (max" in text
    assert text.count("neighbours by") == 2
    assert "at most (risers 4 and 5) (max" in text


def test_each_tread_has_its_own_gap_and_ball(text_of):
    rows = [line.split() for line in text_of("solve").splitlines() if line.startswith("       ")]
    table = [row for row in rows if row and row[0] in "123456" and '"' in row[1] + row[2]]
    assert len(table) == 6
    text = text_of("solve")
    assert text.count("FAILS") >= 3  # risers, and the balls over the treads that are too large
    assert '6 1/8" FAILS' in text


@pytest.mark.parametrize("command", ["solve", "check", "cuts"])
def test_every_command_says_to_measure_the_slip_again(text_of, command):
    text = flat(text_of(command))
    assert (
        'MEASURE AGAIN before anything is cut: nosing 4, y reads 29 3/4", which looks like a slip '
        'of the tape; its neighbours and the other steps make it about 28 3/4"'
    ) in text


def test_check_says_so_again_after_its_verdicts(text_of):
    text = flat(text_of("check"))
    assert text.index("21 checks") < text.index("1 reading looks like a slip of the tape")
    assert "measure it again before anything is cut" in text


def test_nothing_of_it_once_the_reading_is_right(text_of):
    for command in ("solve", "check", "cuts"):
        assert "slip" not in text_of(command, *MENDED)
        assert "MEASURE AGAIN" not in text_of(command, *MENDED)


def test_what_the_stair_would_be_without_the_slip(text_of):
    """Rises of 7 1/8, 7 1/4, 7 1/8, 7 1/4, 7 1/4, 7 1/4."""
    assert 'if so, risers differ by 1/8", and the line over the nosings is 15/16" off' in flat(
        text_of("solve")
    )


def test_two_slips_are_counted(text_of):
    """The run to nosing 2 read an inch long as well."""
    text = flat(text_of("check", '["10 1/4", "14 3/8"]', '["11 1/4", "14 3/8"]'))
    assert "2 readings look like slips of the tape" in text
    assert 'nosing 2, x reads 11 1/4"' in text


def test_machine_readable_result_says_the_same(text_of):
    section = json.loads(text_of("solve", "", "", "--json"))["sections"][0]
    assert section["worst_riser"] == {"riser": 4, "rise": 8.25}
    assert section["uneven"] == {
        "rises": {"differ_by": 2.0, "neighbours_differ_by": 2.0},
        "runs": {"differ_by": 0.25, "neighbours_differ_by": 0.25},
    }
    assert section["slips"] == [{"nosing": 4, "axis": "y", "read": 29.75, "expected": 28.75}]
    assert section["nosing_line"]["least_gap"] == 0
    assert section["other_lines"]["ends"]["least_gap"] == pytest.approx(-0.95)
    assert section["other_lines"]["mean"]["least_gap"] < 0
    assert "covers all nosings" in section["nosing_line_criterion"]


def test_setting_out_of_a_measured_stair_runs_from_the_first_nosing(text_of):
    rows = list(csv.DictReader(io.StringIO(text_of("cuts", "", "", "--csv", "set-out"))))
    assert [(row["from"], row["centre_in"]) for row in rows] == [
        ("first nosing", "-4"), ("first nosing", "59"),
    ]  # fmt: skip


def test_worst_step_and_neighbours_by_hand():
    points = [(Fraction(10 * k), Fraction(y)) for k, y in enumerate((7, 14, 22, 28, 35))]
    survey = survey_of(points, "section 1")
    assert worst_riser(survey) == 3  # 8, a whole inch over the mean of 7
    assert worst_neighbours(survey.rises) == (3, 2)  # 8 and then 6
    assert put_right(points, survey.slips)[2] == (20, 21)


def test_a_marginal_finding_says_what_measuring_error_could_make_of_it(text_of):
    text = flat(text_of("check"))
    # the shortest tread is 10 1/8; both its nosings 1/8 off the wrong way leave 9 7/8
    assert 'unit run, tread 2 10 1/8" min 10" 1/8"' in text
    assert 'with each measurement 1/8" off the wrong way: 9 7/8"' in text
