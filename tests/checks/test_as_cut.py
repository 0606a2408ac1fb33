"""The guard as it will be cut, against one built from the printed numbers, point by point."""

from __future__ import annotations

import json
from fractions import Fraction
from math import hypot

import pytest
from guards import FAILING, changed
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from stairs.checks.as_cut import cut_bays, opening_as_cut
from stairs.checks.finding import FAIL
from stairs.lengths.tape import parse
from stairs.report.findings import value_texts
from stairs.report.result import result_of
from stairs.solution import solution_for

TWO_BAYS = {
    "section.rise": "72",
    "section.risers": 10,
    "section.unit_run": "11",
    "section.posts": ["-3 3/4", "51 1/4", "106 1/4"],
}


def on_tape(value: float, tape: Fraction) -> float:
    """The nearest mark, worked out in floats."""
    return int(value / float(tape) + 0.5) * float(tape)


def built(section, job, number: int) -> dict[str, float]:
    """One bay put together from nothing but its printed marks, rail length and trim."""
    bay = section.bays[number]
    tape, panel = job.tape, job.panel
    low, high = section.posts[number], section.posts[number + 1]
    pins = {}
    for end, post, side in (("low", low, "up"), ("high", high, "down")):
        sign = 1 if side == "up" else -1
        x = post.x + sign * (post.width / 2 + float(job.bracket.pivot_offset))
        for mark in post.marks:
            if mark.side == side:
                pins[end, mark.rail] = (x, post.surface + on_tape(mark.height, tape))

    def line(x: float) -> float:
        return section.nosings[0][1] + x * float(section.flight.unit_rise) / float(
            section.flight.unit_run
        )

    result = {}
    for rail, depth, sign in (("bottom", panel.bottom_rail, -1), ("top", panel.top_rail, 1)):
        (x0, y0), (x1, y1) = pins["low", rail], pins["high", rail]
        length = hypot(x1 - x0, y1 - y0)
        # the rail's edge is half its depth off the axis, square to it
        square = (-(y1 - y0) / length, (x1 - x0) / length)
        edge = [(x + sign * square[0] * float(depth) / 2, y + sign * square[1] * float(depth) / 2)
                for x, y in ((x0, y0), (x1, y1))]  # fmt: skip
        slope = (edge[1][1] - edge[0][1]) / (edge[1][0] - edge[0][0])
        heights = [edge[0][1] + (x - edge[0][0]) * slope - line(x) for x in (x0, x1)]
        result[rail] = heights
        if rail == "bottom":
            along = ((x1 - x0) / length, (y1 - y0) / length)
            cut = on_tape(bay.rail_length, tape)
            start = x0 + (length - cut) / 2 * along[0]
            trim = on_tape(bay.trims.used.low, tape)
            pitch, margin = float(panel.pitch), float(panel.end_margin)
            half = float(panel.baluster) / 2
            places = [margin + step * pitch - trim for step in range(40)]
            last = float(bay.trims.used.stock) - half - trim
            seen = half / along[0]
            shown = [start + u * along[0] for u in places
                     if seen - 1e-3 <= u <= min(cut - seen + 1e-3, last + 1e-9)]  # fmt: skip
            result["between"] = shown[1] - shown[0] - 2 * half
            result["first"] = shown[0] - half - (low.x + low.width / 2)
            result["last"] = high.x - high.width / 2 - shown[-1] - half
    return result


@pytest.mark.parametrize("changes", [{}, TWO_BAYS, {"top.tape": "1/4"}, {"top.tape": "1/2"}])
def test_each_bay_is_that_of_its_printed_numbers(changes):
    job = changed("in", changes)
    section = solution_for(job, with_remedies=False).sections[0].section
    for number, cut in enumerate(cut_bays(section, job)):
        points = built(section, job, number)
        assert cut.gap_low == pytest.approx(min(points["bottom"]), abs=1e-9)
        assert cut.gap_high == pytest.approx(max(points["bottom"]), abs=1e-9)
        assert cut.height_low == pytest.approx(min(points["top"]), abs=1e-9)
        assert cut.height_high == pytest.approx(max(points["top"]), abs=1e-9)
        assert cut.end_gap_low == pytest.approx(points["first"], abs=1e-9)
        assert cut.end_gap_high == pytest.approx(points["last"], abs=1e-9)
        assert cut.baluster_clear == pytest.approx(points["between"], abs=1e-9)


@pytest.mark.parametrize("tape", ["1/64", "1/16", "1/8", "1/4"])
def test_a_finer_tape_comes_nearer_to_what_was_solved(tape):
    job = changed("in", {**TWO_BAYS, "top.tape": tape})
    section = solution_for(job, with_remedies=False).sections[0].section
    for bay, cut in zip(section.bays, cut_bays(section, job), strict=True):
        mark = float(Fraction(tape))
        assert abs(cut.gap_high - section.bottom_gap) <= mark / 2 + 1e-9
        assert abs(cut.height_low - section.guard_height) <= 0.51 * mark + 1e-9
        assert abs(float(cut.rail_length) - bay.rail_length) <= mark / 2 + 1e-9


ALL_NAMES = st.sampled_from(sorted(FAILING))


@settings(max_examples=15, deadline=None)
@given(ALL_NAMES, st.sampled_from(["in", "mm"]), st.sampled_from(["1/16", "1/4", "1"]))
def test_rounding_never_makes_a_fail_a_pass(name, units, tape):
    changes = {**FAILING[name], "top.measured_within": "0"}
    if units == "in":
        changes["top.tape"] = tape
    job = changed(units, changes)
    solution = solution_for(job, with_remedies=False)
    printed = json.loads(json.dumps(result_of(solution)))["checks"]
    findings = [finding for part in solution.sections for finding in part.findings]
    assert len(printed) == len(findings)
    for finding, row in zip(findings, printed, strict=True):
        assert row["verdict"] == finding.verdict
        if finding.verdict == FAIL:
            assert finding.cut.verdict == row["as_cut"]["verdict"] == FAIL
            if finding.order and finding.unit == "length":
                shown, _, _ = value_texts(job, finding)
                side = parse(shown, units) - Fraction(finding.ruling.exact_limit)
                assert side * finding.order > 0, shown


def test_a_guard_that_fails_only_as_cut_says_so():
    # the guard is a little taller than it must be; the marks of a coarse tape take that away
    found = set()
    for step in range(9):
        gap = Fraction(1, 8) + Fraction(step, 64)
        changes = {"top.tape": "1/4", "section.posts": ["-3 7/8", "60 1/4"]}
        job = changed("in", {**changes, "section.bottom_gap": str(gap)})
        for finding in solution_for(job, with_remedies=False).sections[0].findings:
            found.add((finding.id, finding.verdict, finding.cut.verdict))
    assert ("guard-height-min", "marginal", "fail") in found


def test_a_gap_left_open_is_chosen_so_that_the_cut_guard_passes_too():
    for tape in ("1/16", "1/8"):
        job = changed("in", {"top.tape": tape, "section.bottom_gap": "auto",
                             "top.measured_within": "0"})  # fmt: skip
        part = solution_for(job, with_remedies=False).sections[0]
        assert part.gap_chosen and not part.window.empty
        heights = [f for f in part.findings if f.id.startswith(("guard-height", "opening-tri"))]
        assert heights and all(f.cut.verdict != FAIL for f in heights)


def test_a_rail_that_lies_on_a_level_surface_is_not_cut_into_it():
    # rounded, its marks would put the underside a little under the surface
    level = {"kind": "level", "span": "70", "bays": 1, "drop": "29", "bottom_gap": "0"}
    job = changed("in", {"panel.bottom_rail": "1 9/16", "top.section": [level]})
    section = solution_for(job, with_remedies=False).sections[0].section
    (cut,) = cut_bays(section, job)
    (under,) = (opening for opening in section.openings if opening.kind == "under-rail")
    assert opening_as_cut(under, (replace(cut, gap_high=-0.03),), section) == 0.0


def test_of_equal_openings_the_one_that_fails_as_cut_is_told():
    # the marks of the upper bay round up, those of the lower one do not
    changes = {
        **TWO_BAYS,
        "section.tread_thickness": "1 1/2",
        "section.posts": ["-3 3/4", "51 1/8", "106"],
        "section.bottom_gap": "11/16",
        "top.tape": "1/8",
    }
    part = solution_for(changed("in", changes), with_remedies=False).sections[0]
    each = [one for one in part.openings if one.id == "opening-triangle"]
    assert {one.measure.opening.bay for one in each if one.value == each[0].value} == {1, 2}
    assert {one.measure.opening.bay for one in each if one.fails} == {2}
    (told,) = (one for one in part.findings if one.id == "opening-triangle")
    assert told.fails_only_as_cut and told.measure.opening.bay == 2


def test_the_value_as_cut_is_that_of_the_widest_opening_as_cut():
    """Three bays of a deck; drawn, the two ends of a bay are alike, but cut on marks they are not.

    Bays 1 and 2 are 48 3/16 in clear: the rail of 45 3/16 in leaves 26 13/16 in of its stock, of
    which 13 7/16 in come off the lower end and 13 3/8 in off the upper one.  From the stock's ends
    to the holes that are left it is 15 3/4 in, and 1 1/2 in from post to rail end.
    """
    changes = {
        "level": 1, "section.span": 153.531, "section.bays": 3, "panel.stock": ["72", "96"],
        "panel.end_margin": None, "panel.height": "34", "section.bottom_gap": "3",
    }  # fmt: skip
    part = solution_for(changed("in", changes), with_remedies=False).sections[0]
    assert [bay.clear for bay in part.section.bays] == pytest.approx([48.1875, 48.1875, 48.156])
    (found,) = (one for one in part.findings if one.id == "opening-end")
    assert found.value == pytest.approx(15.75 - 13.40625 + 1.5 - 0.375)
    assert found.cut.value == pytest.approx(15.75 - 13.375 + 1.5 - 0.375)


def test_what_is_printed_of_a_rail_is_what_it_is_judged_by():
    """Stock of 45 2/5 in is on no mark: a rail of all of it is cut to the mark below."""
    changes = {
        "level": 1, "section.span": "51 2/5", "section.bays": 1, "panel.stock": ["45 2/5"],
        "panel.end_margin": None, "section.bottom_gap": "3", "top.tape": "1/2",
    }  # fmt: skip
    job = changed("in", changes)
    section = solution_for(job, with_remedies=False).sections[0].section
    assert section.bays[0].rail_length == pytest.approx(45.4)
    (cut,) = cut_bays(section, job)
    assert cut.rail_length == 45


def test_an_end_of_the_cubes_window_passes_its_own_check():
    """A closed stringer at 207 over 285 mm: a cube of 150 mm just does not pass at the head.

    Under the rail the space is a strip as wide as the gap over the stringer, square to the rake:
    150 mm square are 150 mm of gap at most, whatever the search for more can prove.
    """
    changes = {
        "section.rise": "1656 mm", "section.risers": 8, "section.unit_run": "285 mm",
        "section.nosing": "0", "section.tread_thickness": "24 mm", "section.stringer": "closed",
        "section.stringer_margin": "44 mm", "section.bottom_gap": "229.38 mm",
        "section.posts": ["-79.5 mm", "2097.5 mm"], "post.width": "75 mm",
    }  # fmt: skip
    strip = (229.38 - 44) * 285 / hypot(207, 285)
    assert 149.99 < strip < 150
    part = solution_for(changed("in", changes, "din-18065-2015"), with_remedies=False).sections[0]
    for one in part.findings:
        if one.id in ("opening-head", "opening-under-rail"):
            assert 25.4 * one.value == pytest.approx(strip, abs=1e-3)
            assert (one.verdict, one.cut.verdict) != ("fail", "fail"), one.id
            assert (one.cut.value < one.ruling.limit) == (one.cut.verdict == "pass")
    high = part.window.high
    assert 25.4 * float(high.value) > 229.38
