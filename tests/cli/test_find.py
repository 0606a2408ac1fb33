"""The question turned round, as it is typed: answers, ranges, goals, and what cannot be asked."""

from __future__ import annotations

import json
import re

import pytest

GAP = ("find", "bottom_gap")


def test_it_tells_what_to_keep_to_first_and_what_fails_beside(run, job):
    code, out, err = run(*GAP, job(), "--section", "1")
    assert code == 0 and not err
    assert max(map(len, out.splitlines())) <= 80
    sure, drawn = out.index("wherever within"), out.index("As drawn")
    assert sure < drawn < out.index("Above ") < out.index("A guard keeps people from falling.")
    assert "R312.1" in out


def test_the_value_at_an_end_passes_when_it_is_put_into_the_job(run, job):
    path = job()
    _, out, _ = run(*GAP, path, "--section", "1", "--json")
    told = json.loads(out)
    (stretch,) = told["passes"]
    inside, outside = (stretch["low"], stretch["high"]), (stretch["low"] - 1 / 16, 0.8125)
    for gap in (*inside, *outside):
        path = job(('bottom_gap = "5/8"', f'bottom_gap = "{gap}"'), name="tried.toml")
        _, out, _ = run("check", path, "--json")
        rows = [row for row in json.loads(out)["checks"] if row["section"] == 1]
        failing = [row for row in rows if "fail" in (row["verdict"], row["as_cut"]["verdict"])]
        assert bool(failing) == (gap in outside)
    assert stretch["high"] + 1 / 16 == outside[1]


def test_json_holds_exact_brackets_and_what_was_asked(run, job):
    code, out, _ = run("find", "unit_rise", job(), "--for", "unit-rise-max", "--json")
    told = json.loads(out)
    assert code == 0 and told["key"] == "unit_rise" and told["for"] == "unit-rise-max"
    assert told["section"] == 1 and told["unit"] == "length" and told["now"] == 7.25
    (stretch,) = told["exactly"]
    assert stretch["high"]["value"] == 7.75 and stretch["high"]["included"] is True
    assert told["notes"] and told["proved"] in (True, False)


def test_whole_numbers_are_listed_one_by_one(run, job):
    code, out, _ = run("find", "bays", job(), "--section", "2", "--from", "1", "--to", "4")
    rows = re.findall(r"^  (\d+) ", out, re.MULTILINE)
    assert code == 0 and rows == ["1", "2", "3", "4"] * 2  # the guard height fails in any case


def test_a_quick_look_can_be_asked_too(run):
    code, out, _ = run(
        "find", "treads", "--rise", "42", "--run", "50", "--treads", "5", "--from", "4", "--to", "6"
    )
    assert code == 0 and "Treads of flight 1" in out


def test_a_name_of_several_tables_is_a_section_s_where_one_is_named(run, job):
    code, out, _ = run("find", "trim", job(), "--section", "1")
    assert code == 0 and out.startswith("Trim of flight 1")


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("find", "botom_gap", "job.toml"), "The nearest: bottom_gap"),
        (("find", "pickets", "job.toml"), "panel.baluster"),
        (("find", "posts", "job.toml"), "as in posts.1"),
        (("find", "posts.9", "job.toml", "--section", "1"), "there are 3"),
        (("find", "width", "job.toml"), "post.width"),
        (("find", "slot", "job.toml"), "holds measurements of its own"),
        (("find", "title", "job.toml"), "is nothing that is built"),
        (("find", "span", "job.toml", "--section", "1"), "which has no span"),
        (("find", "bottom_gap", "job.toml"), "--section 1"),
        (("find", "bottom_gap", "job.toml", "--section", "7"), "7 is no section"),
        (("find", "panel.height", "job.toml", "--from", "tall"), '"tall" is not a length'),
        (("find", "panel.height", "job.toml", "--from", "40", "--to", "30"), "no range"),
        (("find", "treads", "job.toml", "--from", "1/2"), "no whole number"),
        (("find", "handrail", "job.toml", "--section", "1", "--from", "1"), "is a choice"),
        (("find", "nosing", "job.toml", "--from", "20", "--to", "30"), "can be solved"),
        (("find", "panel.height", "job.toml", "--for", "opening-triangel"), "opening-triangle"),
        (("find", "panel.height", "job.toml", "--for", "guard_height"), "--at-least"),
        (("find", "panel.height", "job.toml", "--at-least", "3"), "Add --for"),
        (
            ("find", "panel.height", "job.toml", "--for", "guard_height", "--at-least", "x"),
            '"x" is not a length',
        ),
        (
            ("find", "panel.height", "job.toml", "--for", "guard_height", "--at-least", "1",
             "--at-most", "2"),
            "Give one of them",
        ),
        (("find", "panel.height", "job.toml", "--for", "rake-max"), "has no rule for rake-max"),
        (("find", "__import__('os')", "job.toml"), "is no key of a job file"),
        (("find", "panel.height", "job.toml", "--to", "2**9"), "is not a length"),
    ],
)  # fmt: skip
def test_what_cannot_be_asked_is_told_in_one_message(run, job, words, told):
    job()
    code, out, err = run(*words)
    assert (code, out) == (2, "") and told in err and err.startswith("stairs: ")
    assert "Traceback" not in err
