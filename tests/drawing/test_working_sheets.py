"""What stands on the sheets of working: formulas that cannot be misread, nothing over another."""

from __future__ import annotations

from pathlib import Path

import pytest

from stairs.drawing.paper.lettering import measure
from stairs.drawing.paper.primitives import Stroke, Text
from stairs.drawing.sets.packet.packet import packet_book
from stairs.drawing.sets.working.working import working_book
from stairs.drawing.sheets.formula import formula, word
from stairs.drawing.sheets.page import room_on
from stairs.job import read_job
from stairs.solution import solution_for
from stairs.working.formula import ATOM, FRACTION
from stairs.working.results import Asked, found

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module")
def solutions():
    return {
        name: solution_for(read_job(str(EXAMPLES / f"{name}.toml")), for_sheets=True)
        for name in ("porch", "side-stair")
    }


def texts(drawn):
    return [one for one in drawn if isinstance(one, Text)]


def bars(drawn):
    """Level strokes of a formula."""
    return [
        one
        for one in drawn
        if isinstance(one, Stroke) and len(one.points) == 2 and one.points[0][1] == one.points[1][1]
    ]


def test_a_mixed_number_is_set_with_a_bar_between_its_parts():
    """7 1/4 in: the 1 stands over the bar and the 4 under it, both beside the 7."""
    laid = word('7 1/4"', 3.5)
    whole, above, below, unit = texts(laid.drawn)
    assert [one.content for one in (whole, above, below, unit)] == ["7", "1", "4", '"']
    (bar,) = bars(laid.drawn)
    (x0, y), (x1, _) = bar.points
    assert whole.at[0] + measure("7", 3.5).width <= x0 < x1 <= unit.at[0]
    assert below.at[1] + measure("4", below.height).over < y < above.at[1]
    for part in (above, below):
        assert x0 <= part.at[0] and part.at[0] + measure(part.content, part.height).width <= x1


def test_a_mixed_number_stands_in_brackets_before_its_square():
    """Plain letters would make 7 1/4² of it."""
    numbers = {"rise": ('7 1/4"', FRACTION), "run": ('10"', ATOM)}
    laid = formula(["^", "rise", 2], numbers.get, 3.5)
    curves = [one for one in laid.drawn if isinstance(one, Stroke) and len(one.points) > 4]
    assert len(curves) == 2  # as tall as the fraction
    power = texts(laid.drawn)[-1]
    assert power.content == "2" and power.at[0] > max(x for one in curves for x, _ in one.points)
    plain = formula(["^", "run", 2], numbers.get, 3.5)
    assert [one.content for one in texts(plain.drawn)] == ['10"', "2"]


def test_a_quotient_is_a_bar_as_wide_as_both_its_sides():
    laid = formula(["/", ["+", "a", "b"], "c"], {k: (k, ATOM) for k in "abc"}.get, 3.5)
    (bar,) = bars(laid.drawn)
    (x0, y), (x1, _) = bar.points
    for one in texts(laid.drawn):
        assert x0 <= one.at[0] < x1
        assert (one.at[1] > y) == (one.content in "a+b")


def boxes(page):
    for one in texts(page.content):
        room = measure(one.content, one.height, one.bold)
        x = one.at[0] - {"left": 0.0, "middle": 0.5, "right": 1.0}[one.anchor] * room.width
        yield one.content, (x, one.at[1] - room.under, x + room.width, one.at[1] + room.over)


def assert_clear(page):
    """Nothing leaves the room of the page, and no two pieces of lettering touch."""
    left, bottom, right, top = room_on(page.paper)
    found_boxes = list(boxes(page))
    for content, (x0, y0, x1, y1) in found_boxes:
        assert left - 0.1 <= x0 and x1 <= right + 0.6, content
        assert bottom - 0.6 <= y0 and y1 <= top + 0.6, content
    for place, (one, (a0, b0, a1, b1)) in enumerate(found_boxes):
        for other, (c0, d0, c1, d1) in found_boxes[place + 1 :]:
            apart = a1 <= c0 + 0.05 or c1 <= a0 + 0.05 or b1 <= d0 + 0.05 or d1 <= b0 + 0.05
            assert apart, (one, other)


@pytest.mark.parametrize(
    ("job", "name"),
    [("porch", "rail_length"), ("porch", "post_height"), ("side-stair", "tread_opening"),
     ("side-stair", "end_gap_low"), ("porch", "max_rack"), ("porch", "foot_opening")],
)  # fmt: skip
def test_a_result_is_set_without_lettering_over_other(solutions, job, name):
    solution = solutions[job]
    if name == "max_rack":
        name = "window_high"
    told, _ = found(solution, name, Asked())
    book = working_book(solution, [told])
    said = " ".join(one.content for page in book.sheets for one in texts(page.content))
    assert name in said and "rounded in their last place" in said
    for page in book.sheets:
        assert_clear(page)


def test_the_packet_has_a_chapter_of_working_where_it_is_asked_for(solutions):
    plain = packet_book(solutions["porch"])
    more = packet_book(solutions["porch"], with_working=True)
    added = more.sheets[len(plain.sheets) :]
    assert added and not any("Working" in mark[1] for mark in plain.bookmarks)
    assert all("Working" in mark[1] for mark in more.bookmarks[len(plain.sheets) :])
    said = " ".join(one.content for page in added for one in texts(page.content))
    for name in ("rail_length", "guard_height", "tread_opening", "foot_opening", "window_high"):
        assert f"{name}:" in said
    for page in added:
        assert_clear(page)
