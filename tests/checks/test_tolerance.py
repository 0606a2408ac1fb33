"""Measuring error: what is marginal, and what stays decided while measurements are moved."""

from __future__ import annotations

from fractions import Fraction

import pytest
from guards import changed

from stairs.answer import answer_for
from stairs.as_cut import cut_bays
from stairs.panel import hole_pattern
from stairs.tolerance import moved_jobs, worst_values

TIE = {
    "section.rise": "45",
    "section.risers": 6,
    "section.unit_run": "10",
    "section.nosing": "0",
    "section.posts": ["-4", "58"],
    "panel.top_rail": "2",
    "panel.bottom_rail": "2",
}


def verdicts(changes: dict, units: str = "in") -> dict[str, str]:
    part = answer_for(changed(units, changes), with_remedies=False).sections[0]
    return {finding.id: finding.verdict for finding in part.findings}


def moves(job, index: int = 0) -> dict:
    """The two jobs that each measurement is moved to, by its key."""
    return {name: pair for name, *pair in moved_jobs(job, index)}


@pytest.mark.parametrize(("within", "verdict"), [("0", "pass"), ("1/64", "marginal")])
def test_a_plain_limit_that_is_just_kept_is_marginal_where_the_tape_may_err(within, verdict):
    # by 3-4-5 the guard is 33 + 1/2 + 1/2 = 34 in high, exactly the least
    changes = {**TIE, "panel.height": "33", "section.bottom_gap": "1/2"}
    found = verdicts({**changes, "top.measured_within": within})
    assert found["guard-height-min"] == verdict


@pytest.mark.parametrize("within", ["0", "1/64", "1/16"])
def test_a_ball_that_just_fits_fails_however_well_it_was_measured(within):
    # (2 * 10 * 3/2 + 2 * 10 * 7.5) / (7.5 + 10 + 12.5) = 6
    changes = {**TIE, "panel.height": "36", "section.bottom_gap": "3/2"}
    found = verdicts({**changes, "top.measured_within": within})
    assert found["opening-triangle"] == "fail"


def test_a_ball_that_just_does_not_fit_is_marginal():
    changes = {**TIE, "panel.height": "36", "section.bottom_gap": "1499/1000"}
    assert verdicts({**changes, "top.measured_within": "0"})["opening-triangle"] == "pass"
    assert verdicts({**changes, "top.measured_within": "1/64"})["opening-triangle"] == "marginal"


def test_with_a_tape_that_never_errs_nothing_is_marginal():
    for name in ("1/8", "7/16", "11/16"):
        found = verdicts({"section.bottom_gap": name, "top.measured_within": "0"})
        assert "marginal" not in found.values()


def test_the_worst_of_a_sum_is_the_sum_of_the_worst():
    # a level guard is gap and panel high: each may be 1/16 off, and both at once
    job = changed("in", {"level": 1, "panel.height": "36", "section.bottom_gap": "2"})
    nominal = {"height": 38.0}

    def values(moved):
        return {"height": float(moved.sections[0].bottom_gap + moved.panel.height)}

    low, high = worst_values(job, 0, nominal, values)["height"]
    assert (low, high) == (38 - 2 / 16, 38 + 2 / 16)


def test_each_typed_length_is_moved_once_by_the_same_amount():
    job = changed("in", {})
    names = [name for name, _, _ in moved_jobs(job, 0)]
    assert len(names) == len(set(names))
    assert {"panel: height", "panel: pitch", "post: width", "rise", "unit_run", "nosing"} <= {
        *names
    }
    assert {"posts: post 1", "posts: post 2", "bottom_gap"} <= {*names}
    assert "unit_rise" not in names
    for name, smaller, larger in moved_jobs(job, 0):
        if name == "panel: height":
            assert job.panel.height - smaller.panel.height == Fraction(1, 16)
            assert larger.panel.height - job.panel.height == Fraction(1, 16)


def test_the_datum_of_measured_nosings_is_not_moved():
    job = changed(
        "in",
        {
            "section.rise": None,
            "section.risers": None,
            "section.unit_run": None,
            "section.nosings": [["0", "7"], ["10", "14"], ["20", "21"]],
            "section.posts": ["-4", "28"],
        },
    )
    names = {name for name, _, _ in moved_jobs(job, 0)}
    assert "nosings: nosing 1: x" not in names
    assert {"nosings: nosing 1: y", "nosings: nosing 3: x"} <= names


@pytest.mark.parametrize("pitch", ["4 1/2", "4 3/8", "4 7/16"])
def test_a_panel_keeps_the_holes_it_was_sold_with(pitch):
    # 72 3/4 less a baluster is just 16 pitches of 4 1/2: a wider pitch would not fit 17 holes
    changes = {
        "panel.pitch": pitch,
        "panel.end_margin": None,
        "panel.stock": ["72 3/4"],
    }
    job = changed("in", changes)
    stock = job.panel.stock[0]
    sold = len(hole_pattern(job.panel, stock))
    jumps = 0
    for name, smaller, larger in moved_jobs(job, 0):
        for moved in (smaller, larger):
            assert len(hole_pattern(moved.panel, stock)) == sold, name
            if name == "panel: pitch":
                fresh = changed("in", {**changes, "panel.pitch": str(moved.panel.pitch)})
                jumps += len(hole_pattern(fresh.panel, stock)) != sold
    assert jumps == (1 if pitch == "4 1/2" else 0)


def test_an_end_gap_does_not_leap_by_a_pitch_with_the_pitch():
    job = changed("in", {"panel.end_margin": None, "panel.stock": ["72 3/4"]})
    part = answer_for(job, with_remedies=False).sections[0]
    gap = next(found for found in part.findings if found.id == "opening-end")
    # sixteen pitches of 1/16 in too much, half at each end, and a few sixteenths of the rest
    assert gap.worst - gap.value < 1.25


@pytest.mark.parametrize(("gap", "lowest"), [("0", "0"), ("1/64", "0"), ("2", "31/16")])
@pytest.mark.parametrize("kind", ["flight", "level"])
def test_a_rail_is_not_moved_below_what_it_stands_over(gap, lowest, kind):
    changes = {"section.bottom_gap": gap, **({"level": 1} if kind == "level" else {})}
    smaller, larger = moves(changed("in", changes))["bottom_gap"]
    assert smaller.sections[0].bottom_gap == Fraction(lowest)
    assert larger.sections[0].bottom_gap == Fraction(gap) + Fraction(1, 16)


def test_a_strip_under_the_rail_is_measured_too_and_never_deeper_than_the_gap():
    moved = moves(changed("in", {"section.bottom_gap": "1/2", "section.filler": "1/2"}))
    assert moved["filler"][0].sections[0].filler == Fraction(7, 16)
    assert moved["bottom_gap"][0].sections[0].bottom_gap == Fraction(1, 2)


def test_a_guard_that_stands_off_may_have_its_rail_lower_and_its_side_gap_wrong():
    job = changed("in", {"section.bottom_gap": "-1", "section.side_gap": "1/32"})
    moved = moves(job)
    assert moved["bottom_gap"][0].sections[0].bottom_gap == Fraction(-17, 16)
    low, high = (one.sections[0].side_gap for one in moved["side_gap"])
    assert (low, high) == (Fraction(1, 64), Fraction(3, 32))  # never 0 with the rail so low
    assert (
        moves(changed("in", {"section.side_gap": "1/32"}))["side_gap"][0].sections[0].side_gap == 0
    )


def test_a_wider_side_gap_than_was_read_can_undo_a_pass():
    def head(within):
        changes = {"section.side_gap": "1", "top.measured_within": within}
        part = answer_for(changed("in", changes), with_remedies=False).sections[0]
        return next(one for one in part.findings if one.id == "opening-triangle")

    assert head("1/16").worst > head("1/16").value == head("0").worst


def test_an_angle_is_off_by_half_its_last_place():
    changes = {"section.unit_run": None, "section.rake": "34.6", "section.posts": ["-4", "60 1/4"]}
    low, high = (one.sections[0].rake for one in moves(changed("in", changes))["rake"])
    assert (low, high) == (Fraction("34.55"), Fraction("34.65"))
    assert "rake" not in moves(changed("in", {**changes, "top.measured_within": "0"}))


def test_a_hole_that_may_be_smaller_than_it_was_read_makes_a_pass_marginal():
    """At 3-4-5 a 3/4 in baluster and a wall of 1/16 in need 15/16 + 3/64 = 63/64 in exactly.

    A hole of 65/64 in is 1/32 longer than that: enough for a tape that may be 1/128 off in
    everything, but not for one that may be 1/16 off in the hole alone.
    """
    slot = {"length": "65/64", "wall": "1/16"}
    changes = {**TIE, "panel.slot": slot, "panel.max_rack": None, "section.bottom_gap": "1/2"}
    assert verdicts({**changes, "top.measured_within": "1/256"})["rack-limit"] == "pass"
    assert verdicts({**changes, "top.measured_within": "1/16"})["rack-limit"] == "marginal"
    rake_alone = {**changes, "panel.slot": None, "panel.max_rack": 39}
    assert verdicts({**rake_alone, "top.measured_within": "1/16"})["rack-limit"] == "pass"


def test_every_measured_length_of_a_part_is_moved():
    body = {"height": "1 1/2", "reach": "1 1/4"}
    moved = moves(changed("in", {"bracket.body": body, "panel.rail_width": "1 1/2"}))
    wanted = {"panel: slot: length", "panel: slot: wall", "panel: rail_width", "post: base",
              "bracket: body: height", "bracket: body: reach"}  # fmt: skip
    assert wanted <= moved.keys()
    low, high = (job.panel.slot for job in moved["panel: slot: wall"])
    assert (low.wall, high.wall) == (Fraction(1, 32), Fraction(1, 8))  # never of no size
    assert low.length == high.length == Fraction(9, 8)


def test_an_opening_that_counts_above_the_nosings_is_measured_and_cut_like_any_other():
    # a rake of 3 over 4: a gap of 156 mm leaves 124.8 square to the rail, one of 157 mm 125.6
    changes = {**TIE, "section.bottom_gap": "156/25"}
    for within, verdict in (("0", "pass"), ("1/16", "marginal")):  # in mm jobs 0 and 1
        job = changed("mm", {**changes, "top.measured_within": within}, "ncc-2022")
        section = answer_for(job, with_remedies=False).sections[0]
        (found,) = (one for one in section.findings if one.id == "opening-triangle")
        assert (found.value, found.verdict) == (pytest.approx(124.8), verdict)
        (bay,) = cut_bays(section.section, job)
        assert found.as_cut == pytest.approx(0.8 * bay.gap_high, abs=1e-9)
    assert found.worst > 124.8 + 0.8  # by the gap alone


def test_the_first_post_of_a_level_run_is_where_all_others_are_measured_from():
    level = {"kind": "level", "span": "100", "posts": ["0", "60", "100"], "bottom_gap": "2"}
    moved = moves(changed("in", {"top.section": [level]}))
    assert {name for name in moved if name.startswith("posts")} == {
        "posts: post 2",
        "posts: post 3",
    }
