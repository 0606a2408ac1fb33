"""How far apart posts stand: told for every bay, judged only where the job says how far they may.

A 3-4-5 stair: 4 risers of 6 on treads of 8.  Posts at -3 and 29 stand 32 apart level, and a
carpenter who lays the tape along the rail reads 32 x 5/4 = 40.
"""

from __future__ import annotations

from math import hypot

import msgspec
import pytest
from guards import base

from stairs.job import job_from_mapping
from stairs.remedies.remedies import apply
from stairs.report.result import result_of
from stairs.report.screen import check_text
from stairs.solution import solution_for

FLIGHT = {"kind": "flight", "rise": "24", "risers": 4, "unit_run": "8", "nosing": "1",
          "tread_thickness": "1", "bottom_gap": "1", "posts": ["-3", "29"]}  # fmt: skip
RUN = {"kind": "level", "span": "120", "bays": 1, "bottom_gap": "2", "drop": "36"}


def job_with(section, spacing=None):
    mapping = base("in") | {"section": [section]}
    mapping["post"] |= {"edge_distance": "0"} | ({"max_spacing": spacing} if spacing else {})
    return job_from_mapping(mapping)


def spacing_of(job):
    return next(
        one for one in result_of(solution_for(job))["checks"] if one["id"] == "post-spacing"
    )


@pytest.mark.parametrize("posts", [{"bays": 1}, {"posts": ["0", "120"]}])
def test_bays_and_posts_do_not_switch_the_greatest_spacing_off(posts):
    section = {key: value for key, value in RUN.items() if key != "bays"} | posts
    told = spacing_of(job_with(section, "72"))
    assert (told["value"], told["limit"], told["verdict"]) == (120, 72, "fail")
    assert told["clause"] == "post: max_spacing"


@pytest.mark.parametrize(("spacing", "verdict"), [("39 15/16", "fail"), ("41", "pass")])
def test_on_a_flight_the_spacing_is_that_along_the_rake(spacing, verdict):
    job = job_with(FLIGHT, spacing)
    told = spacing_of(job)
    assert told["value"] == pytest.approx(hypot(32, 32 * 6 / 8), abs=1e-12) == 40
    assert told["verdict"] == verdict
    assert (told["where"], told["level"]) == ("bay 1", 32)
    assert 'along the rake, 32"' in check_text(solution_for(job))


def test_a_spacing_right_at_what_is_allowed_passes_until_a_tape_is_misread():
    assert spacing_of(job_with(FLIGHT, "40"))["verdict"] == "marginal"
    exact = msgspec.structs.replace(job_with(FLIGHT, "40"), measured_within=0)
    assert spacing_of(exact)["verdict"] == "pass"


def test_without_a_greatest_spacing_it_is_told_and_judges_nothing():
    job = job_with(RUN)
    told = spacing_of(job)
    assert (told["value"], told["limit"], told["verdict"]) == (120, 72, "n/a")
    assert told["clause"] == "common practice, no source"
    text = check_text(solution_for(job))
    assert "post spacing" in text.split("For information")[1]


def test_every_bay_says_how_far_its_posts_stand_apart():
    run = {key: value for key, value in RUN.items() if key != "bays"} | {"posts": [0, 50, 120]}
    (section,) = result_of(solution_for(job_with(run, "60")))["sections"]
    assert [bay["spacing"] for bay in section["bays"]] == [50, 70]
    told = spacing_of(job_with(run, "60"))
    assert (told["value"], told["where"], told["verdict"]) == (70, "bay 2", "fail")
    (flight,) = result_of(solution_for(job_with(FLIGHT)))["sections"]
    assert [(bay["spacing"], bay["spacing_along"]) for bay in flight["bays"]] == [(32, 40)]


def test_the_height_of_the_panel_in_the_result_is_that_of_the_racked_one():
    """33 1/2 level with rails of 1 3/4 and 1 1/2: between the axes it stays 31 7/8 plumb, and half
    of either rail, plumb, is 5/4 as much: 31.875 + 1.625 x 5/4."""
    (flight,) = result_of(solution_for(job_with(FLIGHT)))["sections"]
    (run,) = result_of(solution_for(job_with(RUN)))["sections"]
    assert flight["panel_height"] == pytest.approx(31.875 + 1.625 * 5 / 4, abs=1e-12)
    assert run["panel_height"] == 33.5


def test_a_run_too_far_apart_is_mended_by_the_posts_that_it_takes():
    job = job_with(RUN, "36")
    (part,) = solution_for(job).sections
    remedy = part.remedies["post-spacing"][0]
    assert remedy.text.startswith("Put in 3 more posts: 4 bays instead of 1")  # 120 / 36 = 3 1/3
    assert spacing_of(apply(job, remedy, 0))["value"] == 30


def test_posts_left_to_the_tool_keep_the_spacing_along_the_rake():
    section = {key: value for key, value in FLIGHT.items() if key != "posts"}
    section |= {"rise": "48", "risers": 8, "unit_run": "10"}  # too long for one bay
    job = job_with(section | {"bays": "auto"}, "60")
    (told,) = result_of(solution_for(job))["sections"]
    xs = [post["x"] for post in told["posts"]]
    assert len(xs) > 2
    for low, high in zip(xs, xs[1:], strict=False):
        assert hypot(high - low, (high - low) * 6 / 10) <= 60
    assert spacing_of(job)["verdict"] in ("pass", "marginal")
