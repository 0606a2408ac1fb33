"""Setting out the whole job from one post, by hand on right angles and halves."""

import csv
import io

import pytest

from stairs.lists import cuts_text, list_csv
from stairs.setting_out import places


def rows_of(text):
    return list(csv.DictReader(io.StringIO(text)))


def test_running_length_and_plan_go_round_corners(answered, flight, level):
    """48 along the flight, 45 to the left, 90 back: 48, 93 and 183 along; a rise of 37 1/2."""
    answer = answered(flight(), level(turn=90), level(span="90", bays=2, turn=90))
    found = {(p.section, p.post): p for p in places(answer.guard)}
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
    answer = answered(level() + 'end = "wall"\n', level() + 'start = "wall"\n')
    found = places(answer.guard)
    wall = found[1]
    assert wall.top == wall.surface == 0
    assert found[2].running == wall.running
    assert found[3].running == pytest.approx(wall.running + 45)


def test_text_has_the_table_only_with_more_than_one_section(answered, flight, level):
    assert "Setting out the whole job" not in cuts_text(answered(level()))
    text = cuts_text(answered(flight(), level(turn=90)))
    assert "Setting out the whole job: all from the centre of post 1.1" in text
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
    answer = answered(*(level(span="100/3") for _ in range(3)))
    rows = rows_of(list_csv(answer, "set-out"))
    assert [row["along_the_job_in"] for row in rows][1::2] == ["33.3125", "66.6875", "100"]
    assert {row["centre_in"] for row in rows} == {"0", "33.3125"}
