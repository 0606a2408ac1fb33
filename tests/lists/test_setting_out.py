"""Setting out the whole job from one post, by hand on right angles and halves."""

import csv
import io

import pytest

from stairs.lists.setting_out import lines, places
from stairs.report.csv_lists import list_csv
from stairs.report.lists_text import cuts_text


def rows_of(text):
    return list(csv.DictReader(io.StringIO(text)))


def test_running_length_and_plan_go_round_corners(answered, flight, level):
    """48 along the flight, 45 to the left, 90 back: 48, 93 and 183 along; a rise of 37 1/2."""
    solution = answered(flight(), level(turn=90), level(posts='["0", "45", "90"]', turn=90))
    found = {(p.section, p.post): p for p in places(solution.guard)}
    assert {key: round(p.running, 9) for key, p in found.items()} == {
        (1, 1): 0, (1, 2): 48, (2, 2): 93, (3, 2): 138, (3, 3): 183,
    }  # fmt: skip
    assert [(round(p.x, 9) + 0, round(p.y, 9) + 0) for p in found.values()] == [
        (0, 0), (48, 0), (48, 45), (3, 45), (-42, 45),
    ]  # fmt: skip
    assert [round(p.surface, 9) for p in found.values()] == [0, 37.5, 37.5, 37.5, 37.5]
    assert found[1, 2].also == (2, 1)


def test_post_of_its_own_stands_a_gap_and_a_post_further(answered, level):
    """A gap of 2 between two posts of 3: 5 from centre to centre."""
    own = level() + 'start = "own"\npost_gap = "2"\n'
    assert [p.running for p in places(answered(level(), own).guard)] == [0, 45, 50, 95]


def test_after_a_wall_the_line_goes_on(answered, level):
    """The wall's face is half a post before where a post's centre would be."""
    solution = answered(level() + 'end = "wall"\n', level() + 'start = "wall"\n')
    found = places(solution.guard)
    wall = found[1]
    assert wall.top == wall.surface == 0
    assert found[2].running == wall.running
    assert found[3].running == pytest.approx(wall.running + 45)


def test_text_has_the_table_only_with_more_than_one_section(answered, flight, level):
    assert "Setting out the whole job" not in cuts_text(answered(level()))
    text = cuts_text(answered(flight(), level(turn=90)))
    assert "Setting out the whole job: along the guard's line from the center of post 1.1" in text
    row = next(line for line in text.splitlines() if line.startswith("  2.2 "))
    assert row.split() == ["2.2", '93"', '48"', '45"', "37", '1/2"', "73", '1/2"']


def test_csv_has_the_whole_job_too(answered, flight, level):
    rows = rows_of(list_csv(answered(flight(), level(turn=90)), "set-out"))
    assert [row["along_the_job_in"] for row in rows] == ["0", "48", "48", "93"]
    assert rows[2]["plan_x_in"] == rows[1]["plan_x_in"] == "48"
    assert rows[3]["plan_y_in"] == "45"
    assert [row["surface_level_in"] for row in rows] == ["0", "37.5", "37.5", "37.5"]


def test_running_lengths_do_not_add_up_rounding(answered, level):
    """Three runs of 33 1/3 are 100, though each alone is rounded to 33 5/16."""
    solution = answered(*(level(span="100/3") for _ in range(3)))
    rows = rows_of(list_csv(solution, "set-out"))
    assert [row["along_the_job_in"] for row in rows][1::2] == ["33.3125", "66.6875", "100"]
    assert {row["centre_in"] for row in rows} == {"0", "33.3125"}


def flat(text):
    return " ".join(text.split())


def test_each_hand_has_its_own_line(answered, flight, level):
    """40 wide: 48 along the flight; the level run of 96 is 56 on the inside, the last one 50."""
    both = 'hand = "both"\n'
    width = "width = 40\n"
    sections = flight() + both + width, level(span="96") + both, level(span="90", turn=90) + both
    right, left = lines(answered(*sections).guard)
    assert [(p.section, p.post, p.hand) for p in right] == [
        (1, 1, "right"), (1, 2, "right"), (2, 2, "right"), *((3, n, "right") for n in (2,)),
    ]  # fmt: skip
    assert {p.hand for p in left} == {"left"}
    corner = next(p for p in left if p.also and p.also[0] == 6)
    assert corner.running == pytest.approx(48 + 56)
    assert (corner.x, corner.y) == pytest.approx((48 + 56, 40))
    assert left[-1].running == pytest.approx(48 + 56 + 50)
    assert (left[-1].x, left[-1].y) == pytest.approx((48 + 56, 90))
    assert (right[-1].x, right[-1].y) == pytest.approx((48 + 96, 90))
    text = flat(cuts_text(answered(*sections)))
    assert "Setting out the whole job, right hand: along the guard's line from the center" in text
    assert (
        "left hand: along the guard's line from the center of post 4.1, level; in plan from the "
        "right-hand post 1.1" in text
    )


def test_straight_guard_on_both_hands_is_set_out_on_both(answered, flight, level):
    """The left-hand post of the level run is not the flight's: it stands at its own height."""
    solution = answered(flight() + "width = 40\n", level() + 'hand = "both"\n')
    right, left = lines(solution.guard)
    assert [(p.section, p.post, p.also, p.running) for p in left] == [
        (2, 1, None, 0), (2, 2, None, 45),
    ]  # fmt: skip
    assert [(p.x, p.y) for p in left] == [(48, 40), (93, 40)]
    assert left[0].top == 37.5 + 36 < right[1].top
    rows = rows_of(list_csv(solution, "set-out"))
    assert [(row["section"], row["post"], row["hand"]) for row in rows] == [
        ("1", "1", "right"), ("1", "2", "right"), ("2", "1", "right"), ("2", "2", "right"),
        ("2", "1", "left"), ("2", "2", "left"),
    ]  # fmt: skip
    assert [row["plan_y_in"] for row in rows] == ["0"] * 4 + ["40"] * 2
    assert rows[4]["post_height_in"] == "36"


def test_unknown_width_leaves_the_other_hand_without_a_plan(answered, flight, level):
    solution = answered(flight() + 'hand = "both"\n', level() + 'hand = "both"\n')
    right, left = lines(solution.guard)
    assert [(p.running, p.x, p.y) for p in left] == [
        (0, None, None), (48, None, None), (93, None, None),
    ]  # fmt: skip
    assert all(p.x is not None for p in right)
    assert "no x and y: no width says how far the two hands stand apart" in cuts_text(solution)
    rows = rows_of(list_csv(solution, "set-out"))
    assert {row["plan_x_in"] for row in rows if row["hand"] == "left"} == {""}


def test_a_hand_that_stops_and_begins_again_is_two_lines(answered, level):
    solution = answered(
        level() + 'hand = "both"\n', level(), level() + 'hand = "both"\nwidth = 40\n'
    )
    found = lines(solution.guard)
    assert [(line[0].hand, [p.section for p in line]) for line in found] == [
        ("right", [1, 1, 2, 3]), ("left", [1, 1]), ("left", [3, 3]),
    ]  # fmt: skip
    assert [p.running for p in found[2]] == [0, 45]
    assert (found[2][0].x, found[2][0].y) == (90, 40)
