"""Measuring error: what is marginal, and what stays decided while measurements are moved."""

from __future__ import annotations

import random
from fractions import Fraction
from itertools import accumulate, pairwise, product
from operator import add

import pytest
from guards import changed

from stairs.certainty.proving import Certainty
from stairs.certainty.readings import job_with, readings_of
from stairs.checks.as_cut import cut_bays
from stairs.checks.cases import rule_source
from stairs.checks.checked_values import measures_of
from stairs.checks.checking import findings_of
from stairs.errors import JobError
from stairs.guard.solving import solve_section
from stairs.job import Job
from stairs.parts.panel import hole_pattern
from stairs.report.result import result_of
from stairs.report.screen import check_text
from stairs.rules import load
from stairs.solution import solution_for

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
    part = solution_for(changed(units, changes), with_remedies=False).sections[0]
    return {finding.id: finding.verdict for finding in part.findings}


def moves(job, index: int = 0) -> dict:
    """The two jobs that each measurement is moved to, by its key."""
    readings = readings_of(job, index)
    return {
        one.key: [job_with(job, readings, {one.key: end}) for end in (one.low, one.high)]
        for one in readings
    }


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
    part = solution_for(job, with_remedies=False).sections[0]
    (height,) = (one for one in part.findings if one.id == "guard-height-min")
    assert height.measured.bounds == pytest.approx((38 - 2 / 16, 38 + 2 / 16), abs=1e-12)


def test_each_typed_length_is_moved_once_by_the_same_amount():
    job = changed("in", {})
    names = [one.key for one in readings_of(job, 0)]
    assert len(names) == len(set(names))
    assert {"panel: height", "panel: pitch", "post: width", "rise", "unit_run", "nosing"} <= {
        *names
    }
    assert {"posts: post 1", "posts: post 2", "bottom_gap"} <= {*names}
    assert "unit_rise" not in names
    for one in readings_of(job, 0):
        less, more = one.low - one.value, one.high - one.value
        assert -more <= less <= 0 < more == Fraction(1, 16), one.key
        if one.key == "panel: height":
            smaller, larger = moves(job)[one.key]
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
    names = {one.key for one in readings_of(job, 0)}
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
    for name, pair in moves(job).items():
        for moved in pair:
            assert len(hole_pattern(moved.panel, stock)) == sold, name
            if name == "panel: pitch":
                fresh = changed("in", {**changes, "panel.pitch": str(moved.panel.pitch)})
                jumps += len(hole_pattern(fresh.panel, stock)) != sold
    assert jumps == (1 if pitch == "4 1/2" else 0)


def test_an_end_gap_does_not_leap_by_a_pitch_with_the_pitch():
    job = changed("in", {"panel.end_margin": None, "panel.stock": ["72 3/4"]})
    part = solution_for(job, with_remedies=False).sections[0]
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
    low, high = (one.sections[0].build.side_gap for one in moved["side_gap"])
    assert (low, high) == (Fraction(1, 64), Fraction(3, 32))  # never 0 with the rail so low
    assert (
        moves(changed("in", {"section.side_gap": "1/32"}))["side_gap"][0].sections[0].build.side_gap
        == 0
    )


def test_a_wider_side_gap_than_was_read_can_undo_a_pass():
    def head(within):
        changes = {"section.side_gap": "1", "top.measured_within": within}
        part = solution_for(changed("in", changes), with_remedies=False).sections[0]
        return next(one for one in part.findings if one.id == "opening-triangle")

    assert head("1/16").worst > head("1/16").value == head("0").worst


def test_an_angle_is_off_by_half_its_last_place():
    changes = {"section.unit_run": None, "section.rake": "34.6", "section.posts": ["-4", "60 1/4"]}
    low, high = (one.sections[0].steps.rake for one in moves(changed("in", changes))["rake"])
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
        section = solution_for(job, with_remedies=False).sections[0]
        (found,) = (one for one in section.findings if one.id == "opening-triangle")
        assert (found.value, found.verdict) == (pytest.approx(124.8), verdict)
        (bay,) = cut_bays(section.section, job)
        assert found.cut.value == pytest.approx(0.8 * bay.gap_high, abs=1e-9)
    assert found.worst > 124.8 + 0.8  # by the gap alone


def test_the_first_post_of_a_level_run_is_where_all_others_are_measured_from():
    level = {"kind": "level", "span": "100", "posts": ["0", "60", "100"], "bottom_gap": "2"}
    moved = moves(changed("in", {"top.section": [level]}))
    assert {name for name in moved if name.startswith("posts")} == {
        "posts: post 2",
        "posts: post 3",
    }


# ------------------------------------------------------------- which result is which


def end_gaps(margin, pitch, span, width, baluster) -> tuple[float, float]:
    """Of one level bay cut evenly from 72 in, holes 2 to 13 of the pattern left: by hand.

    The rail lies in the middle of the bay, and its stock in the middle of the rail; so a hole is
    as far from the middle of the bay as from the middle of the stock.
    """
    low = span / 2 - (36 - (margin + 2 * pitch)) - (width + baluster) / 2
    high = span / 2 - (margin + 13 * pitch - 36) - (width + baluster) / 2
    return low, high


def test_each_of_two_unlike_end_gaps_has_its_own_worst():
    sizes = {"margin": 2.75, "pitch": 4.5, "span": 60.0, "width": 3.0, "baluster": 0.75}
    changes = {
        "level": 1, "section.span": "60", "section.bays": 1, "panel.height": "36",
        "panel.end_margin": "2 3/4", "panel.trim": "even",
    }  # fmt: skip
    part = solution_for(changed("in", changes), with_remedies=False).sections[0]
    found = [one for one in part.openings if one.id == "opening-end"]
    drawn = end_gaps(**sizes)
    assert [one.value for one in found] == pytest.approx(drawn)
    for place, one in enumerate(found):
        off = (
            max(end_gaps(**{**sizes, name: size + shift})[place] for shift in (-1 / 16, 1 / 16))
            for name, size in sizes.items()
        )
        assert one.worst == pytest.approx(drawn[place] + sum(gap - drawn[place] for gap in off))
    assert [one.verdict for one in found] == ["marginal", "pass"]  # 4 5/32 and 3 27/32, below 4


def test_the_greatest_open_riser_keeps_its_worst_though_another_becomes_the_greatest():
    """Risers of 5, 5 1/16 and 5 in under treads 1 in thick: with 1/16 in more each is first."""
    changes = {
        "section.rise": None, "section.risers": None, "section.unit_run": None,
        "section.rises": ["5", "5 1/16", "5"], "section.runs": ["11", "11"],
        "section.posts": ["-4", "27"], "section.tread_thickness": "1",
        "section.open_risers": True, "section.bottom_gap": "1", "section.drop": "40",
    }  # fmt: skip
    part = solution_for(changed("in", changes), with_remedies=False).sections[0]
    (found,) = (one for one in part.findings if one.id == "opening-open-riser")
    assert found.value == 4 + 1 / 16
    # the tread's thickness and riser 2 by themselves; riser 1 or 3 only comes level with it
    assert found.worst == pytest.approx(found.value + 2 / 16, abs=1e-12)


def test_a_bay_that_may_lose_its_only_baluster_is_judged_as_one_opening():
    """The one baluster stands 1/32 in inside the end of a rail of 4 1/2 in, cut from 9 in."""
    changes = {
        "level": 1, "section.span": "10 1/2 in", "section.bays": 1, "panel.height": "36",
        "panel.stock": ["9 in"], "panel.end_margin": "2 21/32", "panel.pitch": "9 in",
    }  # fmt: skip
    part = solution_for(changed("in", changes), with_remedies=False).sections[0]
    assert [bay.balusters for bay in part.section.bays] == [1]
    (found, *_) = (one for one in part.findings if one.id == "opening-end")
    # post face to post face, the span 1/16 in longer and the posts 1/16 in less; no more than once
    assert found.worst == pytest.approx(7.5 + 2 / 16, abs=1 / 16)


# ------------------------------------------------------------- measured steps


def sizes_of(readings, datum: bool) -> list[Fraction]:
    """Steps between readings; heights start at the landing, which is 0."""
    places = [Fraction(0), *readings] if datum else list(readings)
    return [high - low for low, high in pairwise(places)]


def at_all_corners(exact, moved, sizes) -> dict[str, Fraction]:
    """The worst of each rule with every reading as far off as it may be, either way: 2**n stairs.

    Greatest steps and differences are convex in the readings and least ones concave, so their
    worst lies at a corner of the box that all readings together may lie in.
    """
    within = Fraction(1, 16)
    worst = {"most": Fraction(0), "least": Fraction(100), "spread": Fraction(0)}
    worst["adjacent"] = Fraction(0)
    for signs in product((-within, within), repeat=moved):
        steps = sizes([*exact[: len(exact) - moved],
                       *map(add, exact[len(exact) - moved :], signs)])  # fmt: skip
        worst["most"] = max(worst["most"], *steps)
        worst["least"] = min(worst["least"], *steps)
        worst["spread"] = max(worst["spread"], max(steps) - min(steps))
        apart = max(abs(high - low) for low, high in pairwise(steps))
        worst["adjacent"] = max(worst["adjacent"], apart)
    return worst


@pytest.mark.parametrize("seed", range(3))
@pytest.mark.parametrize("single", [True, False])
def test_the_worst_of_measured_steps_is_that_of_the_worst_stair_there_may_be(seed, single):
    pick = random.Random(seed)
    count = pick.randint(3, 5)
    rises = [Fraction(29, 4) + Fraction(pick.randint(0, 2), 16) for _ in range(count)]
    runs = [Fraction(81, 8) + Fraction(pick.randint(0, 2), 16) for _ in range(count - 1)]
    up, along = list(accumulate(rises)), [Fraction(0), *accumulate(runs)]
    changes = {"section.rise": None, "section.risers": None, "section.unit_run": None}
    if single:
        changes |= {"section.rises": [*map(str, rises)], "section.runs": [*map(str, runs)]}
        worst = at_all_corners(rises, count, list), at_all_corners(runs, count - 1, list)
    else:
        changes["section.nosings"] = [[str(x), str(y)] for x, y in zip(along, up, strict=True)]
        worst = (
            at_all_corners(up, count, lambda readings: sizes_of(readings, True)),
            at_all_corners(along, count - 1, lambda readings: sizes_of(readings, False)),
        )
    changes["section.posts"] = ["-4", str(along[-1] + 6)]
    for rules in ("irc-2021", "nbc-2020"):
        job = changed("in", changes, rules)
        part = solution_for(job, with_remedies=False).sections[0]
        found = {one.id: one.worst for one in part.findings}
        for name, sizes in zip(("rise", "run"), worst, strict=True):
            uneven = {"rise": "riser", "run": "tread"}[name]
            for check, kind in (
                (f"unit-{name}-max", "most"), (f"unit-{name}-min", "least"),
                (f"{uneven}-uniformity", "spread"), (f"{uneven}-uniformity-adjacent", "adjacent"),
            ):  # fmt: skip
                if check in found:
                    assert found[check] == pytest.approx(float(sizes[kind]), abs=1e-12), check
        assert len(found) > 8


# ------------------------------------------------------------- what cannot be built at all

GROUND = {"section.posts": ["-12 9/16", "60 1/4"]}


def test_an_error_with_which_the_rail_runs_into_the_ground_makes_the_guard_marginal():
    # at the face of post 1 the nosing line is this high: the rail clears the ground by 3/64 in
    line = 7.25 + (-12.5625 + 1.5) * 7.25 / 10.5
    assert 0 < line + 7 / 16 < 1 / 16
    solution = solution_for(changed("in", GROUND), with_remedies=False)
    (found,) = (one for one in solution.sections[0].findings if one.id == "buildable")
    assert found.verdict == "marginal" and not found.fails and solution.ok
    assert [one.off for one in found.measured.refused] == [(("bottom_gap", Fraction(-1, 16)),)]
    screen = " ".join(check_text(solution).split())
    assert 'cannot be built with bottom gap 1/16" less' in screen
    assert "the bottom rail would run into the lower landing" in screen
    (row,) = (one for one in result_of(solution)["checks"] if one["id"] == "buildable")
    assert (row["verdict"], row["value"], row["worst"]) == ("marginal", 0.0, 1.0)
    (told,) = row["unbuildable"]
    assert (told["measurement"], told["off_by"]) == ("bottom_gap", -0.0625)
    assert told["because"].startswith('posts: post 1 at -12 9/16"')


@pytest.mark.parametrize("changes", [{}, {**GROUND, "top.measured_within": "1/64"}])
def test_a_guard_that_every_error_leaves_standing_says_nothing_of_it(changes):
    assert "buildable" not in verdicts(changes)


def test_a_move_that_leaves_no_guard_counts_as_far_as_the_opposite_one():
    """The guard is 1/16 in lower with the gap 1/16 in less, whatever else that would do."""

    def height(changes):
        part = solution_for(changed("in", changes), with_remedies=False).sections[0]
        return next(one for one in part.findings if one.id == "guard-height-min")

    assert height(GROUND).worst == pytest.approx(height({}).worst, abs=1e-12)


def test_a_measurement_that_the_others_contradict_is_no_reason_for_it():
    surplus = {"section.unit_rise": "7 1/4", "section.run": "52 1/2"}
    assert "buildable" not in verdicts(surplus)


def some_guard(seed: int) -> Job:
    """A plain guard with its posts and its gap at random; not always one that can be built."""
    pick = random.Random(seed)

    def inches(low: float, high: float) -> str:
        return str(Fraction(pick.randint(round(low * 16), round(high * 16)), 16))

    changes = {
        "panel.height": inches(31, 40), "panel.pitch": inches(3.5, 5),
        "panel.baluster": inches(0.5, 1.25), "panel.end_margin": inches(1.5, 4),
        "post.width": inches(2, 5), "top.measured_within": pick.choice(["1/32", "1/16", "1/8"]),
        "panel.trim": pick.choice(["even", "half-pitch"]), "panel.slot": None,
    }  # fmt: skip
    if pick.random() < 0.5:
        changes |= {"level": 1, "section.span": inches(30, 150), "section.bottom_gap": inches(0, 4)}
        changes["section.bays"] = pick.choice([1, 2])
        return changed("in", changes)
    risers = pick.randint(2, 6)
    rise, run = inches(6, 8), inches(9, 12)
    last = float(Fraction(run)) * (risers - 1)
    changes |= {
        "section.rise": None, "section.risers": risers, "section.unit_rise": rise,
        "section.unit_run": run, "section.nosing": inches(0, 1.25),
        "section.bottom_gap": inches(0, 3),
        "section.posts": [inches(-9, -4), inches(last + 3, last + 9)],
    }  # fmt: skip
    if pick.random() < 0.1:
        changes["section.side_gap"] = inches(0.25, 2)
    elif pick.random() < 0.3:
        changes |= {"section.stringer": "closed", "section.stringer_margin": inches(0, 2)}
        changes["section.bottom_gap"] = inches(2.5, 6)
    return changed("in", changes, pick.choice(["irc-2021", "nbc-2020", "ncc-2022"]))


@pytest.mark.parametrize("seeds", [range(50), pytest.param(range(50, 500), marks=pytest.mark.fuzz)])
def test_the_worst_of_a_finding_is_never_better_than_the_finding(seeds):
    judged = 0
    for seed in seeds:
        job = some_guard(seed)
        try:
            section = solve_section(job, 0)
        except JobError:
            continue
        names = [measure.keys[0] for measure in measures_of(section, job)]
        assert len(names) == len(set(names)), seed
        rulebook = load(job.rules).in_units(job.units)
        spread = Certainty(job, section, 0, rulebook).spread
        for found in sum(findings_of(section, job, rule_source(rulebook, job), spread), ()):
            if None in (found.value, found.ruling.limit) or found.ruling.kind.startswith("needed"):
                continue
            off = found.worst - found.value
            assert (-off if found.ruling.kind == "minimum" else off) >= 0, (seed, found.id)
            judged += 1
    assert judged > 10 * len(seeds)
