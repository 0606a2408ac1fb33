"""Plumb-cut rails that meet their lower post askew, against vectors."""

import csv
import io
import itertools
from fractions import Fraction

import numpy as np
import pytest

from stairs.job import job_from_text
from stairs.lists.cut_list import TIP_OFF, cut_list
from stairs.lists.rail_plans import rail_plans
from stairs.report.buying import bracket_counts
from stairs.report.csv_lists import list_csv
from stairs.report.cuts_text import saw_words
from stairs.report.lists_text import cuts_text
from stairs.solution import solution_for

WIDE = 'rail_width = "2"'


def corners_below(depth, width, rise, run, turn):
    """How far the corners of a rail's lower end lie before its axis point, along the axis.

    The rail's four long edges are followed to the plumb plane of the post's face.
    """
    length = np.hypot(rise, run)
    along = np.array([run, 0.0, rise]) / length
    upward = np.array([-rise, 0.0, run]) / length
    aside = np.array([0.0, 1.0, 0.0])
    angle = np.radians(turn)  # the face's normal lies that much to the right of the rail
    normal = np.array([np.cos(angle), -np.sin(angle), 0.0])
    reaches = []
    for up in (-depth / 2, depth / 2):
        for left in (-width / 2, width / 2):
            edge = up * upward + left * aside
            reaches.append((-(edge @ normal) / (along @ normal), left))
    return reaches


@pytest.mark.parametrize("turn", [30, -20, 45])
def test_tip_is_the_furthest_corner(answered, flight, level, plumb_cut, turn):
    solution = answered(level(), flight(turn=turn), bracket=plumb_cut, panel=WIDE)
    cut = next(cut for cut in cut_list(solution).rails if cut.name == "2.1 top")
    reaches = corners_below(2, 2, 3, 4, turn)
    furthest = max(-reach for reach, _ in reaches)
    assert float(cut.low.cut.tip) == pytest.approx(furthest, abs=1 / 1024)
    assert float(cut.high.cut.tip) == pytest.approx(0.75, abs=1e-12)
    longer = min(reaches)[1]
    assert cut.askew.leans == ("left" if turn > 0 else "right")
    assert (longer < 0) == (cut.askew.leans == "left")  # the right-hand side is the longer


def test_only_the_lower_end_of_the_first_bay_is_askew(answered, flight, level, plumb_cut):
    sections = level(), level(span="90", bays=2, turn=30), flight(turn=90)
    cuts = cut_list(answered(*sections, bracket=plumb_cut, panel=WIDE)).rails
    assert {cut.name for cut in cuts if cut.askew} == {"2.1 top", "2.1 bottom"}
    level_cut = next(cut for cut in cuts if cut.name == "2.1 top")
    assert saw_words(level_cut) == "square, lower end askew"
    assert (level_cut.low.miter, level_cut.low.bevel) == (pytest.approx(30), 0)
    assert (level_cut.high.miter, level_cut.high.bevel) == (0, 0)
    # 2 wide at 30°: a corner tan 30° beyond the axis
    assert float(level_cut.low.cut.tip) == pytest.approx(3**-0.5, abs=1 / 1024)


def test_a_pivot_bracket_asks_for_no_saw(answered, level):
    cuts = cut_list(answered(level(), level(turn=30), panel=WIDE)).rails
    assert not any(cut.askew or cut.low.cut.tip for cut in cuts)


def test_lists_give_miter_and_bevel_at_the_end_concerned(answered, flight, level, plumb_cut):
    """Rake 3 in 4 and 30° in plan: tan miter = tan 30° / 0.8, sin bevel = cos 30° times 0.6."""
    solution = answered(level(), flight(turn=30), bracket=plumb_cut, panel=WIDE)
    row = next(
        row
        for row in csv.DictReader(io.StringIO(list_csv(solution, "cut")))
        if (row["piece"], row["section"]) == ("top rail", "2")
    )
    assert float(row["low_miter_degrees"]) == pytest.approx(
        np.degrees(np.arctan(np.tan(np.radians(30)) / 0.8)), abs=1e-3
    )
    assert float(row["low_bevel_degrees"]) == pytest.approx(
        np.degrees(np.arcsin(np.cos(np.radians(30)) * 0.6)), abs=1e-3
    )
    assert (row["high_miter_degrees"], row["high_bevel_degrees"]) == ("0", "36.87")
    flat = " ".join(cuts_text(solution).split())
    assert "bottom end askew, its right-hand side the longer: saw, rail's underside on the" in flat
    assert "miter 35.8°, bevel 31.3°; or its side on the table: miter 36.9°, bevel 30.0°" in flat
    assert 'top rail 1 1/2" at the bottom and 3/4" at the top' in flat


def test_plan_gives_each_end_its_own_tip(answered, flight, level, plumb_cut):
    solution = answered(level(), flight(turn=30), bracket=plumb_cut, panel=WIDE)
    plan = rail_plans(cut_list(solution), solution.guard)[0].plan
    item = next(i for rail in plan.rails for i in rail.placed if i.piece.name == "2.1 top")
    assert item.piece.low.tip > item.piece.high.tip == Fraction(3, 4)
    assert item.start >= item.piece.low.tip
    # kerf along the axis: over cos 36.87° and cos 30°
    assert float(item.piece.low.kerf_factor) == pytest.approx(1 / (0.8 * 3**0.5 / 2), abs=1e-4)


def test_stock_for_the_tips_is_what_the_bay_asks_for(answered, flight, level, plumb_cut):
    """Both tips and the axis make the length that the check holds against the stock."""
    solution = answered(level(), flight(turn=45), bracket=plumb_cut, panel=WIDE)
    cut = next(cut for cut in cut_list(solution).rails if cut.name == "2.1 top")
    bay = solution.guard.sections[1].bays[0]
    assert float(cut.low.cut.tip + cut.high.cut.tip) + bay.rail_length == pytest.approx(
        bay.stock_needed, abs=1 / 256
    )


def test_an_even_trim_leaves_the_longer_tip_its_stock(answered, flight, level, plumb_cut):
    """A stock just as long as the rail and both tips: half the spare is less than the longer."""

    def first_rail(stock):
        sections = level(), flight(turn=45)
        stock = f'["{stock}", "300"]'
        solution = answered(*sections, bracket=plumb_cut, panel=WIDE, stock=stock)
        return next(cut for cut in cut_list(solution).rails if cut.name == "2.1 top")

    cut = first_rail("299")
    needed = cut.length + cut.low.cut.tip + cut.high.cut.tip
    just = Fraction(int(needed * 16) + 1, 16)
    assert (just - cut.length) / 2 < cut.low.cut.tip  # so that the even trim would run into the cut
    assert first_rail(just).stock == 300
    enough = Fraction(int((cut.length + 2 * cut.low.cut.tip) * 16) + 2, 16)
    taken = first_rail(enough)
    assert taken.stock == enough and taken.low.trim >= taken.low.cut.tip
    assert not [flaw for flaw in taken.flaws if flaw.kind == TIP_OFF]


def test_bracket_askew_is_a_kind_of_its_own(answered, level):
    """135° left leaves the side face 45° to the right."""
    kinds = dict(bracket_counts(cut_list(answered(level(), level(turn=45), level(turn=135)))))
    assert kinds["corner askew 45° left, level"] == 2
    assert kinds["corner askew 45° right, level"] == 2
    assert kinds["level"] == 8


def test_buying_list_fits_80_columns_with_long_names_and_notes(answered, flight, level, plumb_cut):
    """What does not fit beside an item stands under it."""
    for posts in ('["30"]', '["31"]'):
        solution = answered(level(), flight(turn=30), bracket=plumb_cut, panel=WIDE, posts=posts)
        text = cuts_text(solution)
        assert max(len(line) for line in text.splitlines()) <= 80
        assert "corner askew 30° left, plumb-cut socket" in text
        assert "            at least; no stock length" in text


NEIGHBOURS = """
units = "in"
rules = "irc-2021"
tape = "1/16"
[panel]
height = 34
top_rail = "7/4"
bottom_rail = "3/2"
rail_width = "7/4"
baluster = "3/4"
pitch = "9/2"
stock = [108]
trim = "even"
[bracket]
kind = "plumb-cut"
end_clearance = "1/8"
[post]
width = 3
reveal = 1
stock = [39, 45]
[[section]]
kind = "flight"
unit_rise = "15/2"
unit_run = 10
risers = 5
width = 40
posts = [-3, 43]
bottom_gap = 1
[[section]]
kind = "level"
span = "SPAN"
bays = 1
bottom_gap = 3
turn = 45
"""


@pytest.mark.parametrize("span", ["48 3/8", "48 1/2", "46"])
def test_neighbours_in_one_stock_rail_stay_a_kerf_apart(span):
    """Corner by corner, where a plumb cut is next to one askew."""
    solution = solution_for(job_from_text(NEIGHBOURS.replace("SPAN", span)))
    low_ends = {"1.1 top": (3, 4, 0), "2.1 top": (0, 1, 45)}
    high_ends = {"1.1 top": (3, 4, 0), "2.1 top": (0, 1, 0)}
    pairs = 0
    for rail in rail_plans(cut_list(solution), solution.guard)[0].plan.rails:
        for one, other in itertools.pairwise(rail.placed):
            ends = [reach for reach, _ in corners_below(1.75, 1.75, *high_ends[one.piece.name])]
            starts = [reach for reach, _ in corners_below(1.75, 1.75, *low_ends[other.piece.name])]
            apart = float(other.start - one.end)
            assert min(b - a for a, b in zip(ends, starts, strict=True)) + apart >= 0.125
            pairs += 1
    assert pairs == 1
