"""The table of measurements that are surer than others, or less sure: as read, and as refused."""

from __future__ import annotations

import json
from fractions import Fraction

import pytest
from click.testing import CliRunner
from jsonschema import Draft202012Validator

from stairs.certainty.readings import readings_of
from stairs.cli.commands import main
from stairs.errors import JobError, MeasurementsContradict
from stairs.job import job_from_text, job_to_mapping
from stairs.job.schema import job_schema
from stairs.job.written import text_of_job

JOB = """
units = "in"
rules = "irc-2021"
measured_within = "1/16"
[panel]
height = "33 1/2"
top_rail = "1 3/4"
bottom_rail = "1 1/2"
baluster = "3/4"
pitch = "4 1/2"
slot = { length = "1 1/8", wall = "1/16" }
[bracket]
kind = "pivot"
pivot_offset = "1 1/8"
rail_setback = "3/8"
[post]
width = "3"
[[section]]
kind = "flight"
rise = "43 1/2"
run = "52 1/2"
treads = 5
rake = "34.6"
nosing = "1"
side_gap = "1/2"
bottom_gap = "1"
posts = ["-4", "60"]
[measured]
"""


def off(text: str) -> dict[str, Fraction]:
    """How far off each measurement may be."""
    job = job_from_text(JOB + text)
    return {one.key: one.high - one.value for one in readings_of(job, 0)}


@pytest.mark.parametrize(
    "text",
    [
        'side_gap = "1/8"\n"panel.pitch" = "1/32"\n"panel.slot.wall" = "1/64"',
        'side_gap = 0.125\npanel.pitch = "1/32"\npanel.slot.wall = "1/64"',
        'side_gap = "1/8 in"\n[measured.panel]\npitch = "1/32"\n'
        '[measured.panel.slot]\nwall = "1/64"',
        '"section.side_gap" = "1/8"\n[measured.panel]\npitch = "1/32"\nslot = { wall = "1/64" }',
    ],
    ids=["in quotes", "with points", "in tables", "in braces"],
)
def test_a_measurement_has_its_own_and_all_others_the_usual_one(text):
    found = off(text)
    assert found.pop("side_gap") == Fraction(1, 8)
    assert found.pop("panel: pitch") == Fraction(1, 32)
    assert found.pop("panel: slot: wall") == Fraction(1, 64)
    assert found.pop("rake") == Fraction(1, 20)  # half of its last decimal place
    assert set(found.values()) == {Fraction(1, 16)}


def test_nought_switches_one_off_and_an_angle_is_off_by_degrees():
    found = off('rise = 0\nposts = "0"\nrake = 0.5')
    assert "rise" not in found and not any(key.startswith("posts") for key in found)
    assert found["rake"] == Fraction(1, 2) and found["run"] == Fraction(1, 16)


def test_one_may_be_off_where_all_others_are_sure():
    job = job_from_text(JOB.replace('measured_within = "1/16"', "measured_within = 0") + "run = 1")
    assert [(one.key, one.low, one.high) for one in readings_of(job, 0)] == [
        ("run", Fraction("51.5"), Fraction("53.5"))
    ]


def test_it_is_written_as_it_was_read():
    job = job_from_text(JOB + '"panel.pitch" = "1/32"\nrake = "1/4"\nside_gap = "3 mm"')
    mapping = job_to_mapping(job)
    assert mapping["measured"] == {
        "panel.pitch": "1/32 in", "rake": "1/4", "side_gap": "15/127 in",
    }  # fmt: skip
    assert job_from_text(text_of_job(mapping)).measured == job.measured


REFUSED = [
    ("handrail = 1", "handrail", "is a choice, not a measurement", "Leave it out"),
    ("kind = 1", "kind", "is a choice, not a measurement", "Leave it out"),
    ('"panel.trim" = 1', "panel.trim", "is a choice, not a measurement", "Leave it out"),
    ("reveal = 1", "reveal", "is chosen, or no check hangs on", "Leave it out"),
    ("panel.stock = 1", "panel.stock", "is chosen, or no check hangs on", "Leave it out"),
    ("pitch = 1", "pitch", "is not a key of [measured]", 'The nearest is "panel.pitch"'),
    ("height = 1", "height", "is not a key", '"panel.height" or "bracket.body.height"'),
    ("side_gab = 1", "side_gab", "is not a key", 'The nearest is "side_gap"'),
    ("panel.pich = 1", "panel.pich", "is not a key", 'The nearest is "panel.pitch"'),
    ("picket = 1", "picket", "is not a key", 'The nearest is "panel.baluster"'),
    ("post = 1", "post", "is not a key", 'The nearest is "post.width"'),
    ("zzz = 1", "zzz", "is not a key", "Use a key of the job file that is measured"),
    ('"panel.pitch" = 1\npanel.pitch = 1', "panel.pitch", "is given twice", "Keep one"),
    ('run = "-1/8"', "run", "is negative", "how far off that measurement may be"),
    ('run = "8"', "run", "is read as 8 in", "how far off it may be either way"),
    ("run = true", "run", "is not a length", "Write a number"),
    ("rake = 60", "rake", "degrees is no measuring error", "how far off the angle"),
    ('rake = "steep"', "rake", "is not an angle", ""),
]


@pytest.mark.parametrize(("text", "where", "found", "remedy"), REFUSED, ids=lambda v: str(v)[:20])
def test_what_cannot_be_meant_is_refused_in_words(text, where, found, remedy):
    with pytest.raises(JobError) as raised:
        job_from_text(JOB + text)
    assert raised.value.where == f"measured: {where}"
    assert found in str(raised.value) and remedy in str(raised.value)


def test_it_is_a_table():
    with pytest.raises(JobError, match="is not a table"):
        job_from_text('measured = "1/8"\n' + JOB.replace("[measured]", ""))


def test_measurements_may_differ_by_as_much_as_they_may_be_off():
    """A rise of 43 1/2 and six risers of 7 3/8, which make 44 1/4: they differ by 3/4."""
    steps = 'unit_rise = "7 3/8"\nrise = "43 1/2"'
    text = JOB.replace('rake = "34.6"\n', "").replace('rise = "43 1/2"', steps)
    with pytest.raises(MeasurementsContradict, match="unit_rise is given"):
        read_and_solve(text)
    read_and_solve(text + 'rise = "3/4"')
    with pytest.raises(MeasurementsContradict):
        read_and_solve(text + 'rise = "5/8"\nunit_rise = 0')


def read_and_solve(text: str):
    from stairs.guard.solving import solve_section

    return solve_section(job_from_text(text), 0)


def test_editors_know_what_may_stand_in_it():
    checker = Draft202012Validator(job_schema()["properties"]["measured"] | {
        "$defs": job_schema()["$defs"]
    })  # fmt: skip
    for right in ({"side_gap": "1/8", "panel.pitch": 0.5}, {"panel": {"slot": {"wall": 1}}}):
        assert checker.is_valid(right)
    for wrong in ({"reveal": 1}, {"pitch": 1}, {"panel": {"stock": 1}}, {"run": -1}):
        assert not checker.is_valid(wrong)


def test_programs_and_the_screen_are_told(tmp_path):
    path = tmp_path / "stair.toml"
    path.write_text(JOB + '"panel.height" = "1/4"\nnosing = 0\nrake = 0.5\n', encoding="utf-8")
    told = json.loads(CliRunner().invoke(main, ["check", str(path), "--json"]).output)
    assert told["measured"] == {"panel.height": 0.25, "nosing": 0, "rake": 0.5}
    assert told["measured_within"] == 1 / 16
    screen = " ".join(CliRunner().invoke(main, ["bounds", str(path)]).output.split())
    assert 'of its own: panel height 1/4", nosing 0", rake 0.5°.' in screen
