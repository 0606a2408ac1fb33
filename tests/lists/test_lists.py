"""What the lists print: width, columns, CSV, and the command that prints them."""

import csv
import io
import math
import re
from collections import Counter
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import pytest
from click.testing import CliRunner

from stairs.cli.commands import main
from stairs.job import read_job
from stairs.report.columns import table
from stairs.report.csv_lists import list_csv
from stairs.report.lists_text import cuts_text
from stairs.report.screen import solve_text
from stairs.solution import solution_for

EXAMPLES = Path(__file__).parents[2] / "examples"


def rows_of(text):
    return list(csv.DictReader(io.StringIO(text)))


@pytest.fixture
def three(flight, level):
    """A flight, a landing and another flight."""
    return flight(), level(span="90", bays=2, turn=90), flight(turn=90)


def test_lines_fit_80_columns(answered, three, level, flight, plumb_cut):
    for solution in (
        answered(*three, stock='["72", "96"]'),
        answered(*three, bracket=plumb_cut, bottom_rail="2"),
        answered(*three, trim="half-pitch", rules="ibc-2021"),
        answered(level(), stock='["30"]', posts='["30"]'),
    ):
        text = cuts_text(solution)
        assert max(len(line) for line in text.splitlines()) <= 80
        assert text.endswith("\n") and not text.endswith("\n\n")


def test_text_names_the_other_way_to_cut_where_it_is_better(answered, level):
    """A rail of 39 with a hole in its middle has 7, and 4 1/2 beside the outer ones; moved, 8."""
    better = 'bay 1, trim = "half-pitch" is better (a space in the middle, end gaps 3"): the even'
    for text in (cuts_text, solve_text):
        flat = " ".join(text(answered(level())).split())
        assert better in flat.replace("bay 1: ", "bay 1, ")
        assert "is better" not in text(answered(level(), trim="half-pitch"))


def test_text_runs_from_one_end(answered, level):
    text = " ".join(cuts_text(answered(level())).split())
    assert 'holes from the left cut: 4 1/2", 9 1/2", 14 1/2", 19 1/2", 24 1/2"' in text


def test_no_length_is_broken_over_two_lines(answered, three):
    lines = cuts_text(answered(*three, tape="1/16", pitch="13/3")).splitlines()
    for before, line in pairwise(lines):
        assert not (re.search(r" \d+$", before) and re.match(r" *\d+/\d+", line)), (before, line)


def test_plan_says_that_it_is_proved(answered, level):
    flat = " ".join(cuts_text(answered(level(span="90", bays=2))).split())
    assert (
        "2 stock rails, 12 ft of rail, 46% waste. It cannot be done with less, all rails lying the "
        "same way round"
    ) in flat


def test_plan_is_held_against_the_other_way_to_cut(answered, level):
    """A rail of 39 takes a 72 either way; one of 67 leaves no room to move half a pitch of 5."""
    flat = " ".join(cuts_text(answered(level())).split())
    assert 'With trim = "half-pitch" throughout, just as much rail would be bought' in flat
    flat = " ".join(cuts_text(answered(level(), trim="half-pitch")).split())
    assert 'With trim = "even" throughout, just as much rail' in flat
    flat = " ".join(cuts_text(answered(level(span="74"))).split())
    assert 'trim = "half-pitch" throughout, 2 rails fit no stock length' in flat


def test_the_other_way_may_take_more_or_less():
    """The porch's rails leave less than half a pitch of 72 to move: the other way takes a 96."""
    text = (EXAMPLES / "porch.toml").read_text(encoding="utf-8")
    rail = solution_for(read_job("-", io.StringIO(text))).guard.sections[0].bays[0].rail_length
    assert 72 - rail < 4.5
    even = " ".join(run(text).output.split())
    assert "more rail would be bought: 2 stock rails, 16 ft, instead of 2 and 12 ft" in even
    moved = text.replace("[panel]", '[panel]\ntrim = "half-pitch"')
    half = " ".join(run(moved).output.split())
    assert "less rail would be bought: 2 stock rails, 12 ft, instead of 2 and 16 ft" in half


def test_text_says_what_cannot_be_cut(answered, level):
    text = cuts_text(answered(level(), stock='["30"]'))
    assert "not cut: 1.1 top: no stock length is long enough" in text
    assert "no stock length serves" in text


def test_text_says_that_alike_rails_are_pooled(answered, level):
    solution = answered(level(), bottom_rail="2")
    assert "plan them apart (--rails-apart)" in " ".join(cuts_text(solution).split())
    assert "--rails-apart" not in cuts_text(solution, apart=True)


def test_odd_kerf_is_not_rounded_to_the_tape(answered, level):
    text = cuts_text(answered(level()), Fraction(3, 32))
    assert 'saw kerf 0.09375"' in text
    assert 'saw kerf 1/8"' in cuts_text(answered(level()))


def test_cut_csv_adds_up_to_the_stock(answered, three):
    rows = rows_of(list_csv(answered(*three), "cut"))
    assert Counter(row["piece"] for row in rows) == {"top rail": 4, "bottom rail": 4, "post": 7}
    for row in rows:
        if row["piece"] == "post":
            continue
        parts = [Fraction(row[name]) for name in ("off_low_in", "cut_length_in", "off_high_in")]
        assert sum(parts) == Fraction(row["stock_in"])
        assert len(row["running_marks_in"].split()) == int(row["balusters"])


def test_cut_csv_has_marks_of_posts(answered, level):
    post = next(r for r in rows_of(list_csv(answered(level()), "cut")) if r["piece"] == "post")
    assert post["running_marks_in"] == "up bottom 2.75; up top 34"
    assert (post["cut_length_in"], post["stock_in"], post["off_high_in"]) == ("36", "40", "4")


def test_buy_csv_counts_everything(answered, level):
    three = level(posts='["0", "45", "90"]')
    rows = rows_of(list_csv(answered(three), "buy"))
    counts = {(row["item"], row["length_in"]): int(row["quantity"]) for row in rows}
    assert counts == {
        ("top rail", "72"): 2,
        ("bottom rail", "72"): 2,
        ("post", "40"): 3,
        ("base plate", "5"): 3,
        ("bracket, level", ""): 8,
        ("baluster", ""): 14,
    }


def test_buy_csv_takes_the_kerf(answered, level):
    """Three rails of 23 and two kerfs of 1 1/2 make 72 just; wider ones do not."""
    solution = answered(
        level(span="87", bays=3), pitch="1/2 in", baluster="1/4", bottom_rail="1 1/2"
    )
    for kerf, quantity in ((Fraction(3, 2), 1), (Fraction(13, 8), 2)):
        rows = rows_of(list_csv(solution, "buy", kerf))
        top = [int(row["quantity"]) for row in rows if row["item"] == "top rail"]
        assert top == [quantity]


def test_set_out_csv_runs_from_the_first_post(answered, level):
    """Thirds of 100 on sixteenths: every centre is rounded by itself."""
    rows = rows_of(list_csv(answered(level(span="100", bays=3), pitch="2"), "set-out"))
    assert [row["centre_in"] for row in rows] == ["0", "33.3125", "66.6875", "100"]
    assert rows[1]["lower_face_in"] == "31.8125"
    assert {row["from"] for row in rows} == {"first post"}


def test_unknown_list_is_refused(answered, level):
    with pytest.raises(ValueError, match='there is no list "sell"; there are cut, buy, set-out'):
        list_csv(answered(level()), "sell")


# --------------------------------------------------------------------------- command


def run(text, *options):
    return CliRunner().invoke(main, ["cuts", "-", *options], input=text)


def test_command_prints_lists_and_loads(job_text, level):
    text = job_text(level())
    plain, loaded = run(text), run(text, "--loads", "--bolt-spacing", "4")
    assert plain.exit_code == loaded.exit_code == 0
    assert plain.output.startswith("Cut list: three, four, five")
    assert "Loads to hand on" not in plain.output
    assert loaded.output.startswith(plain.output)
    assert 'spacing 4" as given' in loaded.output


@pytest.mark.parametrize("which", ["cut", "buy", "set-out"])
def test_command_prints_csv_and_nothing_else(job_text, answered, level, which):
    result = run(job_text(level()), "--csv", which)
    assert result.exit_code == 0
    assert result.stdout == list_csv(answered(level()), which)


def test_command_takes_the_kerf_as_written(job_text, level):
    assert 'saw kerf 1/4"' in run(job_text(level()), "--kerf", "1/4").output


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (
            ("--kerf", "3"),
            'kerf: is 3". A saw\'s kerf is at most 2". Measure the cut that the blade '
            'leaves, and give "3 mm"',
        ),
        (("--kerf", "-1/8"), "kerf: -1/8 is below 0. A saw's kerf is 0 or more. Measure it."),
        (("--kerf", "thin"), '--kerf: "thin" is not a length'),
        (("--bolt-spacing", "4"), "--bolt-spacing: is given without --loads. Add --loads."),
        (("--csv", "cut", "--loads"), "--csv: is given with --loads. One or the other"),
        (("--loads", "--bolt-spacing", "9"), '--bolt-spacing: is 9"'),
    ],
)
def test_command_refuses(job_text, level, options, words):
    result = run(job_text(level()), *options)
    assert result.exit_code == 2
    assert words in result.output
    assert "Traceback" not in result.output


def test_a_table_too_wide_for_a_line_stands_closer():
    """Nine columns of 68 letters: 86 with two spaces before each, 78 with one between them."""
    heads = ["a" * 8] * 8 + ["b" * 4]
    assert max(len(line) for line in table(heads, [["1"] * 9]).splitlines()) == 78
    fits = table(heads[1:], [["1"] * 8])
    assert max(len(line) for line in fits.splitlines()) == 60 + 2 * 8


def test_a_table_that_is_still_too_wide_breaks_its_widest_column_of_words():
    """15 + 70 letters and two spaces: the words keep 80 - 2 - 15 - 1, and no length is broken."""
    words = 'between joists 12 and 13 and beside the stair, at 13 3/4" from joist 14, on 7'
    text = table(["lands", "x"], [[words, "9" * 15]], (1,))
    first, second, third = text.splitlines()
    assert max(map(len, (first, second, third))) == 80
    assert (
        second.endswith("9" * 15) and third.strip() == words.split(second[2:64].strip())[1].strip()
    )
    assert '13 3/4"' in text


def test_a_window_that_ends_below_the_nosings_says_how_far_below():
    """The highest mark of a sixteenth that is no higher than the end, turned round."""
    text = (EXAMPLES / "old-stair.toml").read_text(encoding="utf-8")
    solution = solution_for(read_job("-", io.StringIO(text)))
    high = float(solution.sections[0].window.high.value)
    assert solution.sections[0].window.empty and high < 0
    below = math.ceil(-high * 16)
    assert below < 16
    told = " ".join(solve_text(solution).split())
    size = Fraction(below, 16)
    assert f'the bottom rail would have to sit {size}" below the nosings' in told
