"""Cutting plans over the rails of a job: which stock, and where on its holes."""

import csv
import io
import re
from fractions import Fraction

from stairs.drawing.paper.primitives import Text
from stairs.drawing.sets.shop.shop import shop_book
from stairs.lists.cut_list import cut_list
from stairs.lists.cutting_plan import NO_ROOM_TO_MOVE, TOO_SHORT
from stairs.lists.rail_plans import rail_plans
from stairs.parts.panel import KERF, hole_pattern
from stairs.report.csv_lists import list_csv
from stairs.report.lists_text import cuts_text


def plans_of(solution, **options):
    return rail_plans(cut_list(solution), solution.guard, **options)


def test_unlike_rails_are_planned_apart(answered, level):
    """2 and 1 1/2 deep: a top rail is not cut from a bottom rail's stock."""
    plans = plans_of(answered(level(span="90", bays=2)))
    assert [plan.rails for plan in plans] == [("top",), ("bottom",)]
    names = [item.piece.name for rail in plans[0].plan.rails for item in rail.placed]
    assert sorted(names) == ["1.1 top", "1.2 top"]


def test_equally_deep_rails_share_the_stock_unless_told_otherwise(answered, level):
    """Two rails of 25 and the kerf come from one 72 when they may."""
    solution = answered(level(span="31"), bottom_rail="2")
    together = plans_of(solution)
    assert [plan.rails for plan in together] == [("top", "bottom")]
    assert together[0].plan.stock_counts == ((72, 1),)
    apart = plans_of(solution, apart=True)
    assert [plan.plan.stock_counts for plan in apart] == [((72, 1),)] * 2


def test_kerf_is_an_eighth_or_three_millimetres(answered, level):
    assert {"in": Fraction(1, 8), "mm": 3} == KERF
    solution = answered(level())
    assert plans_of(solution)[0].plan.kerf == Fraction(1, 8)
    assert plans_of(solution, kerf=Fraction(1, 4))[0].plan.kerf == Fraction(1, 4)


def test_every_piece_keeps_its_own_holes(answered, flight, level):
    """In a stock rail cut up, the holes fall in each rail where the cut list marks them."""
    solution = answered(flight(), level(span="90", bays=3), stock='["72", "96"]', trim="half-pitch")
    cuts = {cut.name: cut for cut in cut_list(solution).rails}
    seen = 0
    for rail_plan in plans_of(solution):
        for rail in rail_plan.plan.rails:
            punched = hole_pattern(solution.job.panel, rail.stock.length)
            for item in rail.placed:
                cut = cuts[item.piece.name]
                inside = [x - item.start for x in punched if item.start <= x <= item.end]
                whole = [x for x in inside if Fraction(1, 2) <= x <= cut.length - Fraction(1, 2)]
                kept = [cut.first_hole + 5 * index for index in range(cut.balusters)]
                assert [x for x in whole if x in kept] == kept
                seen += 1
    assert seen == len(cuts) == 8


def test_blank_end_of_the_stock_is_had_once_per_rail(answered, level):
    """With the first hole 12 from the end, a rail that keeps the blank end starts at the end."""
    margin = 'end_margin = "12"'
    solution = answered(level(span="34"), stock='["30", "96"]', panel=margin, bottom_rail="2")
    cuts = cut_list(solution)
    assert cuts.rails[0].stock == 30
    assert cuts.rails[0].first_hole == 11
    plan = plans_of(solution)[0].plan
    assert all(rail.placed[0].holes_from == 1 for rail in plan.rails)
    assert all(len(rail.placed) == 1 for rail in plan.rails)


def test_no_stock_long_enough_is_a_note_and_no_crash(answered, level):
    solution = answered(level(), stock='["30"]')
    plan = plans_of(solution)[0].plan
    assert plan.rails == ()
    assert [(piece.name, why) for piece, why in plan.unplaced] == [("1.1 top", TOO_SHORT)]
    assert "not cut: 1.1 top: no stock length is long enough" in cuts_text(solution)


def test_no_room_to_move_the_pattern_is_said(answered, level):
    """A rail of 68 leaves 2 at either end of 72, less than half a pitch of 5."""
    solution = answered(level(span="74"), trim="half-pitch")
    assert plans_of(solution)[0].plan.unplaced[0][1] == NO_ROOM_TO_MOVE
    assert "long enough to move the pattern half a spacing" in " ".join(cuts_text(solution).split())


def test_slanted_rails_nest_in_the_stock(answered, flight, plumb_cut):
    """Two plumb-cut rails of one rake lie a kerf apart along the axis: 1/8 over 4/5 is 5/32."""
    solution = answered(
        flight(places='["-4", "24"]'), bracket=plumb_cut, stock='["96"]', bottom_rail="2"
    )
    rail = plans_of(solution)[0].plan.rails[0]
    first, second = rail.placed
    assert second.start - first.end >= Fraction(5, 32)
    assert first.start >= first.piece.low.tip
    assert second.piece.low.kerf_factor == Fraction(5, 4)


def test_stock_rails_are_numbered_through_on_list_and_sheet(answered, level):
    """Top rails from stock 1 and 2, bottom rails from 3 and 4, wherever a stock rail is named."""
    solution = answered(level(span="90", bays=2))
    plans = plans_of(solution)
    assert [len(each.plan.rails) for each in plans] == [2, 2]
    rows = cuts_text(solution).split("Cutting plan, bottom rails")[1].split("Buying list")[0]
    assert re.findall(r"^  (\d+) +72\"", rows, re.M) == ["3", "4"]
    numbers = [
        number
        for sheet in shop_book(solution).sheets
        for one in sheet.primitives
        if isinstance(one, Text) and one.content.startswith("STOCK ")
        for number in re.findall(r"\d+", one.content.split(":")[0])
    ]
    assert sorted(numbers) == ["1", "2", "3", "4"]


def test_the_list_for_a_spreadsheet_tells_where_the_plan_cuts_each_rail(answered, level):
    """Each rail in the stock rail that the plan has it in, and its lower cut at that place."""
    solution = answered(level(span="70", bays=2) + 'hand = "both"\n', stock='["96"]')
    bought = [rail for one in plans_of(solution) for rail in one.plan.rails]
    rows = list(csv.DictReader(io.StringIO(list_csv(solution, "cut"))))
    rails = [row for row in rows if row["piece"].endswith("rail")]
    told = sorted(
        (int(number), Fraction(start))
        for row in rails
        for number, start in zip(
            row["plan_stock_rail"].split("; "), row["plan_low_cut_in"].split("; "), strict=True
        )
    )
    assert [row["quantity"] for row in rails] == ["2"] * 4 and len(told) == 8
    assert any(len(rail.placed) > 1 for rail in bought)
    assert told == [
        (number, placed.start) for number, rail in enumerate(bought, 1) for placed in rail.placed
    ]
