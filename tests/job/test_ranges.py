"""Ranges: what is asked back, what is taken as meant, and what is only to be measured again."""

import re
import tomllib
from fractions import Fraction

import pytest
from job_tables import GOOD, LEVEL, METRIC, refusal, text_of

from stairs.job import job_from_mapping, job_from_text
from stairs.job.form import form
from stairs.job.key_notes import keys_of
from stairs.job.records import (
    Bracket,
    BracketBody,
    Framing,
    GroundSlope,
    JobFlight,
    JobLevel,
    Panel,
    PostKind,
    Slot,
)
from stairs.report.notices import unusual_texts
from stairs.report.result import result_of
from stairs.report.screen import check_text, solve_text
from stairs.solution import solution_for

RECORDS = (Panel, Slot, Bracket, BracketBody, PostKind, JobFlight, GroundSlope, JobLevel, Framing)
LENGTHS = ("stock", "place", "gap", "posts", "holes")


@pytest.mark.parametrize("record", RECORDS, ids=lambda record: record.__name__)
def test_every_length_of_a_job_has_its_range_and_its_example_is_usual(record):
    for key, what in keys_of(record).items():
        if not what.is_length and what.note.reads not in LENGTHS:
            continue
        assert what.range is not None, key
        for units, example in zip(("in", "mm"), what.note.example or (), strict=False):
            size = sum(map(Fraction, example.split(" ")))
            assert what.range[units].expects(size), (key, units)


def test_the_two_units_of_a_range_are_about_as_long():
    found = {key: what.range for record in RECORDS for key, what in keys_of(record).items()}
    for name, by_unit in ((key, one) for key, one in found.items() if one is not None):
        inch, metric = by_unit["in"], by_unit["mm"]
        assert inch.least <= inch.low <= inch.high <= inch.most
        for end in ("least", "low", "high", "most"):
            one, other = getattr(inch, end) * Fraction("25.4"), getattr(metric, end)
            if name != "rake":
                assert one == other == 0 or Fraction(5, 8) < one / other < Fraction(8, 5), name


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"panel.stock": '["6 in", "72"]'}, ["panel: stock is 6 in; 24 to 300 in is usual"]),
        ({"panel.height": '"20"'}, ["panel: height is 20 in; 24 to 60 in is usual"]),
        ({"section.width": '"4 in"'}, ["section 1: width is 4 in; 24 to 144 in is usual"]),
        ({"section.drop": '"3 in"'}, ["section 1: drop is 3 in; 12 to 400 in is usual"]),
        ({"section.treads": "11", "section.run": '"110"'},
         ["section 1: unit_rise is 3 5/8 in; 4 to 9 1/2 in is usual"]),
        ({"section.posts": '["-4", "4 in", "60"]'},
         ["section 1: posts is 8 in; 12 to 144 in is usual"]),
        ({"panel.slot": '{ length = "5", wall = "1/16" }'},
         ["panel: slot: length is 5 in; 1/4 to 4 in is usual"]),
        ({"bracket.rail_setback": "1e-17"}, ["bracket: rail_setback is 1e-17 in; 1/32 to 4 in is "
                                             "usual"]),
        ({"bracket.rail_setback": "0", "section.nosing": "0"}, []),
    ],
)  # fmt: skip
def test_what_is_meant_is_read_and_told_where_it_is_unusual(changes, told):
    job = job_from_text(text_of(GOOD, {"post.base": '"5"', **changes}))
    assert list(unusual_texts(solution_for(job, False, judged=()))) == told


def test_a_drop_is_held_against_the_stair_up_to_it():
    text = text_of(GOOD) + "\n[[section]]\nspan = '96'\ndrop = {drop}"
    error = refusal(text.replace("{drop}", "8").replace('"43 1/2"', '"96"').replace("= 5", "= 13"))
    assert error.where == "stair.toml: section 2: drop"
    assert "8 is read as 8 in, and the stair climbs 96 in to this surface" in str(error)
    assert '8 in or 8 ft? Write "8 in" or "8 ft"' in str(error)
    for drop in ('"8 in"', "12", "43.5", "100"):  # a slope up beside the deck, or down
        assert job_from_text(text.replace("{drop}", drop)).sections[1].drop
    alone = text_of(GOOD, {"section.drop": "8"}, LEVEL)
    assert job_from_text(alone).sections[0].drop == 8


def test_measured_steps_are_held_against_the_ranges_together():
    error = refusal(text_of(METRIC, section={"nosings": "[[0, 7.25], [10.5, 14.5], [21, 22]]"}))
    assert error.where == "stair.toml: section 1: nosings"
    assert "makes 3 risers of 7.333 mm each. Risers are 60 to 400 mm" in str(error)
    error = refusal(text_of(GOOD, section={"rises": "[7, 7, 7]", "runs": "[1, 1]"}))
    assert error.where == "stair.toml: section 1: runs"
    odd = {"rises": '["1 1/2", "7", "7"]', "runs": "[10, 10]"}  # paving laid against the first
    assert job_from_text(text_of(GOOD, section=odd)).sections[0].steps.nosings[0][1] == Fraction(
        3, 2
    )


@pytest.mark.parametrize("units", ["in", "mm"])
def test_the_form_marks_what_is_made_up_and_its_job_says_so(units):
    text = form(units)
    assert '"made up" was measured on no stair' in text
    marked = re.findall(r"^(\w+) = .*# (?:\w+, )?made up: ", text, re.MULTILINE)
    assert {"height", "rise", "run", "treads", "width", "max_swing"} <= set(marked)
    assert not {"title", "units", "rules", "kind"} & set(marked)
    assert ("8 to 120 in" if units == "in" else "200 to 3000 mm") in text
    mapping = tomllib.loads(text)
    solution = solution_for(job_from_mapping(mapping, "form"))
    for said in (solve_text(solution), check_text(solution)):
        assert "Every measurement is still the one made up for the form" in said
    assert result_of(solution)["unusual"][0].startswith("Every measurement is still")
    mapping["section"][0]["run"] = "53 in"
    mapping["title"] = "Mine"
    mine = solution_for(job_from_mapping(mapping, "form"), False, judged=())
    assert not any("made up" in line for line in unusual_texts(mine))
