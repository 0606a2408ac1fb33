"""No lettering is written over or struck through, and nothing leaves the border."""

from __future__ import annotations

import pytest

from stairs.drawing import draw_elevation
from stairs.drawing.paper.lettering import SMALL
from stairs.drawing.paper.primitives import Arc, Stroke, Text, line, rectangle
from stairs.drawing.placing.extents import box_of, boxes_meet
from stairs.drawing.placing.inspection import overlaps
from stairs.drawing.placing.leaders import spread_places
from stairs.drawing.placing.placement import LEADER, Board, Candidate
from stairs.drawing.views.elevation.failure_flags import flags


def faults(sheet):
    return overlaps(sheet.primitives, sheet.paper.border)


def test_named_jobs_have_no_overlap(named, sheet):
    assert faults(sheet(named)) == []


@pytest.mark.parametrize("job, paper", [("plain", "letter"), ("metric", "A4"), ("level", "ARCH C")])
def test_named_jobs_on_other_sheets_have_no_overlap(job, paper, sheet):
    assert faults(sheet(job, paper)) == []


def lettering_for(sheets):
    return sum(len(one.unplaced) for one in sheets) / max(len(sheets), 1)


def test_random_jobs_have_no_overlap_and_lack_no_lettering(random_answers):
    sheets = []
    for seed, solution in random_answers(8):
        sheets.append(draw_elevation(solution))
        assert faults(sheets[-1]) == [], seed
    assert lettering_for(sheets) == 0


@pytest.mark.fuzz
def test_300_random_jobs_have_no_overlap(random_answers):
    sheets = []
    for seed, solution in random_answers(300, 10_000):
        sheets.append(draw_elevation(solution))
        assert faults(sheets[-1]) == [], seed
    assert lettering_for(sheets) < 0.01


# --------------------------------------------------------------------------- the inspector itself


def label(content, x, y, turn=0.0):
    return Text(content, (x, y), SMALL, "label", rotation=turn, owner=content)


def test_lettering_over_lettering_is_found():
    found = overlaps([label("one", 10, 10), label("two", 12, 11)])
    assert [(one.kind, one.first, one.second) for one in found] == [("text on text", "one", "two")]


def test_lettering_side_by_side_is_no_fault():
    assert overlaps([label("one", 10, 10), label("two", 10, 14)]) == []


def test_a_line_through_lettering_is_found():
    found = overlaps([label("word", 10, 10), line((0, 11), (50, 11), "rail", 0.25)])
    assert [(one.kind, one.first, one.second) for one in found] == [
        ("line through text", "word", "rail")
    ]


def test_a_line_under_lettering_is_no_fault():
    assert overlaps([label("word", 10, 10), line((0, 9), (50, 9), "rail", 0.25)]) == []


def test_a_circle_through_lettering_is_found():
    found = overlaps([label("word", 10, 10), Arc((14, 5), 6.0, 0.25, "opening")])
    assert [one.second for one in found][:1] == ["opening"]


def test_turned_lettering_is_measured_as_turned():
    upright = label("a long label", 10, 10, 90.0)
    assert overlaps([upright, line((0, 15), (20, 15), "rail", 0.25)])
    assert not overlaps([upright, line((11, 0), (30, 15), "rail", 0.25)])


def test_leaders_that_cross_are_found():
    one = Stroke(((0, 0), (20, 20)), 0.18, LEADER, owner="one")
    two = Stroke(((0, 20), (20, 0)), 0.18, LEADER, owner="two")
    assert [fault.kind for fault in overlaps([one, two])] == ["leaders cross"]


@pytest.mark.parametrize("outsider", [label("word", 98, 10), line((10, 10), (101, 10), "x", 0.2)])
def test_what_leaves_the_area_is_found(outsider):
    assert [one.kind for one in overlaps([outsider], (0, 0, 100, 100))][:1] == ["outside"]


def test_boxes_that_share_an_edge_do_not_meet():
    one = box_of(label("x", 10, 10))
    right = 2 * one.half_width
    assert not boxes_meet(one, box_of(label("x", 10 + right + 1e-6, 10)))
    assert boxes_meet(one, box_of(label("x", 10 + right - 0.05, 10)))


# --------------------------------------------------------------------------- the board


def test_the_cheapest_free_place_is_taken():
    board = Board((0, 0, 100, 100))
    board.add([line((0, 51), (100, 51), "rail", 0.25)])
    offered = [
        Candidate((label("word", 10, y),), (), cost) for y, cost in ((50, 0), (60, 2), (70, 1))
    ]
    (taken,) = board.place_all([offered])
    assert taken.texts[0].at == (10, 70)


def test_an_earlier_choice_is_taken_back_for_a_later_label():
    board = Board((0, 0, 100, 100))
    first = [Candidate((label("first", 10, y),), (), cost) for y, cost in ((10, 0), (20, 1))]
    second = [Candidate((label("second", 10, 10),), (), 0)]
    taken = board.place_all([first, second])
    assert [one.texts[0].at for one in taken] == [(10, 20), (10, 10)]


def test_a_label_without_a_place_is_left_out_and_the_others_stay():
    board = Board((0, 0, 100, 100))
    board.add([line((0, 11), (100, 11), "rail", 0.25)])
    blocked = [Candidate((label("blocked", 10, 10),), (), 0)]
    open_place = [Candidate((label("free", 10, 40),), (), 0)]
    taken = board.place_all([blocked, open_place])
    assert taken[0] is None
    assert taken[1].texts[0].content == "free"


def test_blank_paper_holds_no_line():
    board = Board((0, 0, 60, 60))
    board.add([rectangle((20, 20), (40, 40), "post", 0.5)])
    spots = board.blank(10, 5)
    assert len(spots) > 20
    for x, y in spots:
        hit = x < 40 and x + 10 > 20 and y < 40 and y + 5 > 20
        inside = x > 20 and x + 10 < 40 and y > 20 and y + 5 < 40
        assert inside or not hit


def test_leaders_stay_clear_of_guarded_lines():
    board = Board((0, 0, 100, 100))
    board.add([line((50, 0), (50, 100), "dimension", 0.25)], guarded=True)
    places = spread_places(board, ("word",), (30.0, 50.0), "label", "word", prefer=0.0, most=200)
    assert places
    assert all(place.lines[0].points[-1][0] < 50 for place in places)


def test_what_fails_is_flagged_even_where_dimension_lines_shut_it_in():
    board = Board((0, 0, 100, 100))
    ring = ((40, 40), (60, 40), (60, 60), (40, 60))
    for start, end in zip(ring, ring[1:] + ring[:1], strict=True):
        board.add([line(start, end, "dimension", 0.18)], guarded=True)
    shut_in = spread_places(board, ("FAIL 1",), (50.0, 50.0), "failure", "x", prefer=0)
    assert not any(board.all_free(shut_in))
    places = flags(board, ("FAIL 1",), (50.0, 50.0), "failure 1", 2.0)
    free = [place for place, good in zip(places, board.all_free(places), strict=True) if good]
    assert free
    board.add(free[0].lines)
    board.add(free[0].texts)
    again = flags(board, ("FAIL 2",), (50.0, 50.0), "failure 2", 2.0)
    (taken,) = board.place_all([again])
    leaders = [stroke for place in (free[0], taken) for stroke in place.lines if not stroke.closed]
    assert overlaps(leaders) == []  # other leaders are crossed by none
