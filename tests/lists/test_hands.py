"""A guard on both sides of the stair: everything twice, shared posts once on each side."""

import csv
import io
import re

import pytest

from stairs.drawing.paper.primitives import Text
from stairs.drawing.sets.shop.shop import shop_book
from stairs.drawing.sets.template.seats import seats
from stairs.drawing.sets.template.template import template_book
from stairs.guard.plan import plan_of
from stairs.lists.cut_list import cut_list
from stairs.lists.rail_plans import rail_plans
from stairs.report.buying import bracket_counts
from stairs.report.csv_lists import list_csv
from stairs.report.cuts_text import notes_on
from stairs.report.lists_text import cuts_text
from stairs.report.screen import solve_text

BOTH = 'hand = "both"\n'


def rows_of(text):
    return list(csv.DictReader(io.StringIO(text)))


def test_everything_is_counted_twice(answered, flight):
    one, two = cut_list(answered(flight())), cut_list(answered(flight() + BOTH))
    assert two.balusters == 2 * one.balusters
    assert two.base_plates == 2 * one.base_plates == 4
    assert two.posts_by_stock == tuple((length, 2 * n) for length, n in one.posts_by_stock)
    assert bracket_counts(two) == [(kind, 2 * n) for kind, n in bracket_counts(one)]
    assert [cut.quantity for cut in two.rails] == [2, 2]


def test_buying_list_holds_both(answered, flight):
    """Two rails of 53 3/4 or so are no one stock rail of 72: two of each."""
    rows = rows_of(list_csv(answered(flight() + BOTH), "buy"))
    counts = {row["item"]: int(row["quantity"]) for row in rows}
    assert (counts["top rail"], counts["bottom rail"]) == (2, 2)
    assert (counts["bracket, swing up"], counts["bracket, swing down"]) == (4, 4)


def test_each_rail_of_the_plan_is_named_by_its_hand(answered, flight):
    solution = answered(flight() + BOTH)
    plan = rail_plans(cut_list(solution), solution.guard)[0].plan
    names = [item.piece.name for rail in plan.rails for item in rail.placed]
    assert sorted(names) == ["1.1 top left", "1.1 top right"]


def test_rails_that_no_stock_holds_are_named_for_both_hands(answered, flight):
    text = cuts_text(answered(flight() + BOTH, stock='["30"]'))
    assert "not cut: 1.1 top right:" in text and "not cut: 1.1 top left:" in text


@pytest.mark.parametrize(
    ("first", "second", "bought"),
    [("right", "right", 3), ("both", "right", 5), ("right", "both", 5), ("both", "both", 6)],
)
def test_a_shared_post_is_shared_on_the_sides_that_both_have(
    answered, flight, level, first, second, bought
):
    """Two posts each, one of them shared on every side that both sections have a guard on."""
    solution = answered(flight() + f'hand = "{first}"\n', level() + f'hand = "{second}"\n')
    cuts = cut_list(solution)
    assert cuts.base_plates == sum(n for _, n in cuts.posts_by_stock) == bought
    assert sum(post.quantity for post in cuts.posts) == bought


def test_the_other_hands_post_stands_for_itself(answered, flight, level):
    """The level run, 36 tall, shares the flight's upper post; that of the left hand stays 36."""
    solution = answered(flight(), level() + BOTH)
    (join,) = solution.joins
    own = [post for post in cut_list(solution).posts if (post.section, post.post) == (2, 1)]
    assert [(post.hand, post.same_as, post.quantity) for post in own] == [
        ("right", (1, 2), 0), ("left", None, 1),
    ]  # fmt: skip
    assert own[1].height == 36 < join.height
    assert own[1].stock == 40


def test_walls_are_bought_on_neither_side(answered, level):
    cuts = cut_list(answered(level() + BOTH + 'end = "wall"\n'))
    assert cuts.base_plates == 2
    assert [post.quantity for post in cuts.posts] == [2, 0]


def test_text_says_what_is_left_and_what_is_right(answered, flight, level):
    text = cuts_text(answered(flight() + BOTH, level()))
    flat = " ".join(text.split())
    assert "guard on both sides: counts are of both, half right-hand and half left-hand" in flat
    assert "2 right upper landing" in flat and "2 left upper landing" in flat
    assert "2 (top and bottom) on either hand's post 1.1 toward 1.2" in flat
    assert "The left hand is the mirror image of the right" in flat
    assert max(len(line) for line in text.splitlines()) <= 80


def test_a_turn_with_both_hands_asks_for_the_other_line(answered, flight, level):
    """Where it cannot be worked out: one hand alone goes on, no width is given, or lines part."""

    def notes(*sections):
        solution = answered(*sections)
        notes = notes_on(solution, cut_list(solution).posts)
        return [note for note in notes if "Section 2" in note]

    (note,) = notes(flight(), level(turn=90) + BOTH)
    assert "turns with a guard on both hands, and only one of them goes on" in note
    (note,) = notes(flight() + BOTH, level(turn=90) + BOTH)
    assert "no width says how far apart they stand" in note
    (note,) = notes(level() + BOTH + 'width = "40"\n', level(turn=180) + BOTH)
    assert "turns back on itself, so that the left-hand lines do not meet" in note
    (note,) = notes(level() + BOTH + 'width = "40"\n', level() + BOTH + 'width = "50"\n')
    assert "is of another width than the section before" in note
    assert notes(flight(), level() + BOTH) == []
    assert notes(flight() + BOTH + 'width = "40"\n', level() + BOTH) == []


def test_cut_csv_says_how_many_and_which_hand(answered, flight):
    rows = rows_of(list_csv(answered(flight() + BOTH), "cut"))
    assert {(row["quantity"], row["hand"]) for row in rows} == {("2", "both")}
    rows = rows_of(list_csv(answered(flight() + 'hand = "left"\n'), "cut"))
    assert {(row["quantity"], row["hand"]) for row in rows} == {("1", "left")}


@pytest.mark.parametrize(
    ("first", "second", "drawn"),
    [("both", "right", 5), ("right", "both", 5), ("both", "both", 6)],
)
def test_the_plan_draws_as_many_posts_as_are_bought(answered, flight, level, first, second, drawn):
    solution = answered(flight() + f'hand = "{first}"\n', level() + f'hand = "{second}"\n')
    assert len(plan_of(solution.guard).posts) == drawn == cut_list(solution).base_plates


def lettering(book):
    return " ".join(
        one.content for sheet in book.sheets for one in sheet.primitives if isinstance(one, Text)
    )


def test_a_face_of_a_corner_post_has_one_name_everywhere(answered, flight, level):
    """Post 1.2 is 2.1: its face toward 2.2 is called that on every list, sheet and template."""
    solution = answered(flight(), level(turn=90))
    faces = {"1.1 toward 1.2", "1.2 toward 1.1", "1.2 toward 2.2", "2.2 toward 2.1"}
    seated = {place.rpartition(" ")[0] for where in seats(solution).values() for place in where}
    assert seated == faces
    template = lettering(template_book(solution))
    shop = lettering(shop_book(solution))
    for face in faces:
        assert face in template
        assert face.split(" ", 1)[1].upper() in shop
    for text in (solve_text(solution), cuts_text(solution)):
        told = set(re.findall(r"toward [0-9.]+[0-9]", text))
        assert told == {face.split(" ", 1)[1] for face in faces}
