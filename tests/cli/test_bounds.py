"""Bounds and witnesses as they are asked for."""

from __future__ import annotations

import json

import pytest

SLOT = ('slot = { length = "1 1/8", wall = "1/16" }', 'slot = { length = "1 1/8", wall = "1/16" }')


def test_a_witness_is_a_job_that_fails_where_the_check_was_marginal(run, job):
    path = job(SLOT)
    as_read, out, _ = run("check", path, "--json")
    rows = [row for row in json.loads(out)["checks"] if row["everywhere"] is False]
    first = next(row for row in rows if row["witness"])
    code, _, err = run("check", path, "--witness", "worse.toml")
    assert code == as_read and err.startswith("worse.toml: ") and "fails with these" in err
    code, out, _ = run("check", "worse.toml", "--json")
    again = json.loads(out)["checks"]
    failing = {(row["id"], row["section"]) for row in again if row["verdict"] == "fail"}
    assert code == 1 and (first["id"], first["section"]) in failing


def test_a_witness_is_written_to_a_new_file_only(run, job, tmp_path):
    (tmp_path / "worse.toml").write_text("mine", encoding="utf-8")
    code, _, err = run("check", job(SLOT), "--witness", "worse.toml")
    assert code == 2 and "worse.toml" in err
    assert (tmp_path / "worse.toml").read_text(encoding="utf-8") == "mine"


def test_without_measuring_error_there_is_no_witness(run, job, tmp_path):
    path = job(('measured_within = "1/16"', "measured_within = 0"))
    _, _, err = run("check", path, "--witness", "worse.toml")
    assert "no measurements were found" in err and not (tmp_path / "worse.toml").exists()


def test_bounds_are_printed_outward_with_what_to_measure_again(run, job):
    path = job(SLOT)
    code, out, _ = run("bounds", path)
    assert code == 0 and max(map(len, out.splitlines())) <= 80
    assert "measure again first" in out
    # 43 1/2 in of rise is read by itself, and nothing else is in it
    row = next(line for line in out.splitlines() if line.strip().startswith("rise of a flight"))
    assert row.split() == [
        "rise", "of", "a", "flight", "43", '1/2"', "43", '7/16"', "43", '9/16"', "rise", "(100%)",
    ]  # fmt: skip


def test_bounds_for_programs_hold_the_value_and_shares_that_add_up(run, job):
    code, out, _ = run("bounds", job(SLOT), "--json")
    rows = json.loads(out)
    assert code == 0 and len(rows) > 10
    for row in rows:
        low, high = row["bounds"]
        assert low <= row["value"] <= high
        if row["shares"]:
            assert sum(row["shares"].values()) == pytest.approx(1)
    rise = next(row for row in rows if row["id"] == "flight-rise-max")
    assert rise["shares"] == {"rise": 1.0}
