"""The window of the bottom gap: inside it all under the rail passes, outside something fails."""

from __future__ import annotations

from fractions import Fraction
from math import hypot

import pytest
from guards import FAILING, changed
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from stairs.checks.cases import rule_source
from stairs.checks.checking import findings_of
from stairs.checks.finding import FAIL
from stairs.checks.gap_window import Bound, Window, window_of
from stairs.checks.window_marks import choose_gap
from stairs.errors import JobError, NoSuchShape, StairsError
from stairs.guard.solving import solve_section
from stairs.job import Job, job_from_text
from stairs.job.key_notes import value_of
from stairs.remedies.empty_window import openers, shortfall
from stairs.remedies.trial_solve import apply, depends_on_gap, window_at, with_gap
from stairs.rules import load
from stairs.solution import solution_for

HAIR = Fraction(1, 10**9)


def window_and_rules(job):
    rule_for = rule_source(load(job.rules).in_units(job.units), job)
    return window_at(job, 0, rule_for), rule_for


def failing_with(job, gap: Fraction, rule_for) -> set[str]:
    """Checks that hang on the gap and fail at one."""
    settled = with_gap(job, 0, gap)
    section = solve_section(settled, 0)
    findings, _ = findings_of(section, settled, rule_for)
    return {found.id for found in findings if found.verdict == FAIL and depends_on_gap(found)}


def sixteenths(low: float, high: float):
    return st.integers(round(low * 16), round(high * 16)).map(lambda n: Fraction(n, 16))


@st.composite
def flights(draw):
    rise, run = draw(sixteenths(5, 9)), draw(sixteenths(8, 14))
    risers = draw(st.integers(3, 5))
    top = (risers - 1) * run
    posts = [f"-{draw(sixteenths(3, 6))}", str(top + draw(sixteenths(4, 9)))]
    changes = {
        "section.rise": str(rise * risers),
        "section.risers": risers,
        "section.unit_run": str(run),
        "section.nosing": str(draw(sixteenths(0, 1.5))),
        "section.tread_thickness": str(draw(sixteenths(0.5, 3))),
        "section.posts": posts,
        "section.handrail": draw(st.booleans()),
        "section.filler": str(draw(st.sampled_from([Fraction(0), Fraction(3, 4)]))),
        "section.bottom_gap": "auto",
        "post.edge_distance": "0",
        "panel.height": str(draw(sixteenths(31, 38))),
        "top.measured_within": "0",
    }
    if draw(st.booleans()):
        changes |= {
            "section.stringer": "closed",
            "section.stringer_margin": str(draw(sixteenths(0, 2))),
        }
    elif draw(st.booleans()):
        tread = draw(st.integers(0, risers - 2))  # 0: on the landing, as before
        changes |= {
            "section.side_gap": str(draw(sixteenths(0, 4))),
            "section.bottom_gap": "0",
            "panel.height": str(draw(sixteenths(36, 60))),
        }
        if tread:
            changes["section.posts"] = [str((tread - 1) * run + 3), posts[1]]
    if draw(st.booleans()):
        body = {"height": "3/4", "reach": "1/2"}
        changes |= {"bracket.body": body, "bracket.pivot_offset": str(draw(sixteenths(0.75, 2)))}
    rules = draw(
        st.sampled_from(["irc-2021", "ibc-2021", "nbc-2020", "ncc-2022", "din-18065-2015"])
    )
    try:
        return changed("in", changes, rules)
    except StairsError:
        assume(False)


PARTS = st.lists(st.fractions(0, 1), min_size=2, max_size=2)


@settings(max_examples=20, deadline=None)
@given(flights(), PARTS)
def test_inside_the_window_all_passes_and_outside_something_fails(job, parts):
    hold_against_window(job, parts)


@pytest.mark.fuzz
@settings(max_examples=5000, deadline=None)
@given(flights(), PARTS)
def test_inside_and_outside_the_window_many_times(job, parts):
    hold_against_window(job, parts)


def hold_against_window(job, parts):
    """Gaps at parts of the window, and next to its ends on both sides."""
    try:
        window, rule_for = window_and_rules(job)
    except StairsError:
        assume(False)
    low = Fraction(float(window.low.value))
    high = low + 8 if window.high is None else Fraction(float(window.high.value))
    if window.empty:
        # the ends come from different rules: at any gap between them both must fail
        for part in parts:
            gap = high + part * (low - high)
            if gap - job.sections[0].filler > (job.sections[0].build.stringer_margin or 0):
                assert failing_with(job, gap, rule_for)
        return
    inside = [low + (high - low) * part for part in (*parts, HAIR, 1 - HAIR)]
    for gap in inside:
        if window.holds(gap):
            assert failing_with(job, gap, rule_for) == set()
    if window.high is not None:
        assert failing_with(job, high + HAIR * 1000, rule_for)
    if "clears the nosings" in window.low.set_by:
        return  # a job file that says so is refused when it is read
    try:
        assert failing_with(job, low - HAIR * 1000, rule_for)
    except NoSuchShape:
        assert "clears" in window.low.set_by


@pytest.mark.parametrize("rules", ["din-18065-2015", "irc-2021"])
@pytest.mark.parametrize(
    ("rise", "post"),
    [("15", "-3"), ("15", "-3 7/16"), pytest.param("129/8", "-3", marks=pytest.mark.fuzz)],
)
def test_the_end_at_a_slot_that_opens_as_the_rail_goes_up(rise, post, rules):
    """A cube of 150 mm, or a ball, rises into the slot beside the rail's end."""
    job = changed(
        "in",
        {
            "section.rise": rise, "section.risers": 3, "section.unit_run": "8",
            "section.nosing": "0", "section.tread_thickness": "1/2",
            "section.posts": [post, "20"], "section.bottom_gap": "auto",
            "section.stringer": "closed", "section.stringer_margin": "0",
            "post.edge_distance": "0", "panel.height": "31", "top.measured_within": "0",
            "bracket.body": {"height": "3/4", "reach": "1/2"}, "bracket.pivot_offset": "3/4",
        },
        rules,
    )  # fmt: skip
    hold_against_window(job, [Fraction(0), Fraction(1, 2)])


def pythagorean(**changes):
    """Risers and runs in the ratio 3 to 4, so that every length of the guard is a fraction."""
    return changed(
        "in",
        {
            "section.rise": "45",
            "section.risers": 6,
            "section.unit_run": "10",
            "section.nosing": "0",
            "section.posts": ["-4", "58"],
            "panel.top_rail": "2",
            "panel.bottom_rail": "2",
            "top.measured_within": "0",
            **{key.replace("__", "."): value for key, value in changes.items()},
        },
    )


def test_the_upper_end_is_where_the_circle_is_the_ball_exactly():
    # v = (D (R + G + L) - 2 G R) / (2 G) with D = 6 and 7.5, 10, 12.5: 30/20
    window, rule_for = window_and_rules(pythagorean(panel__height="36"))
    assert (float(window.high.value), window.high.set_by) == (1.5, "tread opening")
    assert not window.high.included
    assert not window.holds(Fraction(3, 2))
    assert window.holds(Fraction(3, 2) - Fraction(1, 10**15))
    assert failing_with(pythagorean(panel__height="36"), Fraction(3, 2), rule_for) == {
        "opening-triangle",
    }


@pytest.mark.parametrize("stringer", ["cut", "closed"])
def test_the_end_for_a_cube_that_is_searched_for_keeps_it_back(stringer):
    """In the recess a turned square comes within a millionth of the ball; so the check counts it.

    Where the stringer is closed the square at the head is the first to get through.
    """
    changes = {
        "section.rise": "15",
        "section.risers": 3,
        "section.unit_run": "13 5/16",
        "section.nosing": "1 1/8",
        "section.tread_thickness": "1/2",
        "section.posts": ["-3", "30 5/8"],
        "section.handrail": False,
        "section.filler": "3/4",
        "section.bottom_gap": "auto",
        "post.edge_distance": "0",
        "top.measured_within": "0",
    }
    if stringer == "closed":
        changes |= {
            "section.unit_run": "9 7/16", "section.nosing": "0", "section.filler": "0",
            "section.posts": ["-3", "24 13/16"], "section.stringer": "closed",
            "section.stringer_margin": "0",
        }  # fmt: skip
    job = changed("in", changes, "din-18065-2015")
    window, rule_for = window_and_rules(job)
    end = Fraction(float(window.high.value))
    assert window.holds(end - HAIR)
    failing = failing_with(job, end - HAIR, rule_for) | failing_with(job, end, rule_for)
    assert not {name for name in failing if name.startswith("opening")}
    failing = failing_with(job, end + HAIR * 1000, rule_for)
    assert failing & {"opening-triangle", "opening-head"}


def test_the_lower_end_is_where_the_guard_is_as_high_as_it_must_be():
    # racking by 3-4-5 adds a quarter of half of both rails' depths: 33 + 1/2 + gap = 34
    job = pythagorean(panel__height="33")
    window, rule_for = window_and_rules(job)
    assert (float(window.low.value), window.low.set_by) == (0.5, "least guard height")
    assert window.low.included
    assert window.holds(Fraction(1, 2))
    assert not window.holds(Fraction(1, 2) - Fraction(1, 10**15))
    assert failing_with(job, Fraction(1, 2), rule_for) == set()


def test_a_window_of_one_gap_that_the_ball_takes_is_empty():
    # from 3/2 for the height, below 3/2 for the ball
    job = pythagorean(panel__height="32")
    window, _ = window_and_rules(job)
    assert float(window.low.value) == float(window.high.value) == 1.5
    assert window.empty


def test_a_level_run_is_open_to_the_ball_itself():
    job = changed("in", {"level": 1, "panel.height": "37", "section.bottom_gap": "2"})
    window, _ = window_and_rules(job)
    assert (window.low.value, window.high.value) == (0, 4)
    assert window.low.set_by == "the rail clears the deck"
    assert window.high.set_by == "opening under the rail"
    assert window.holds(Fraction(0)) and not window.holds(Fraction(4))


def test_a_filler_moves_both_ends_that_hang_on_what_the_ball_meets():
    tall = {"panel.height": "38", "section.handrail": False}
    bare, _ = window_and_rules(changed("in", tall))
    filled, _ = window_and_rules(changed("in", {**tall, "section.filler": "3/8"}))
    assert float(filled.high.value) - float(bare.high.value) == pytest.approx(0.375, abs=1e-12)
    assert filled.low.value == Fraction(3, 8)
    assert filled.low.set_by == "the strip under the rail clears the nosings"


def test_a_filler_deeper_than_the_gap_is_refused():
    with pytest.raises(NoSuchShape, match="is no deeper than the gap. Give a filler of 7/16"):
        changed("in", {"section.filler": "1/2"})


def test_a_filler_on_a_closed_stringer_is_refused():
    changes = {"section.stringer": "closed", "section.stringer_margin": "1/4"}
    job = changed("in", {**changes, "section.filler": "3/8"})
    with pytest.raises(NoSuchShape, match='the filler under the rail is 1/16" above') as caught:
        solve_section(job, 0)
    assert 'Give a bottom_gap above 5/8"' in str(caught.value)


def test_thick_treads_have_no_closed_form_yet_an_end_that_decides():
    job = changed("in", {"section.tread_thickness": "4", "section.bottom_gap": "1"})
    window, rule_for = window_and_rules(job)
    assert window.high.pocket is not None
    end = Fraction(float(window.high.value))
    for step in (-1, 1):
        gap = end + step * Fraction(1, 10**8)
        assert window.holds(gap) == (step < 0)
        assert bool(failing_with(job, gap, rule_for)) == (step > 0)


@pytest.mark.parametrize(
    ("low", "high", "expected"),
    [("1/8", "5/8", "3/8"), ("1/10", "1/8", "9/80"), ("0", None, "0"), ("1", "1/2", "1")],
)
def test_the_gap_that_is_chosen(low, high, expected):
    low_end = Bound(Fraction(low), "", True, "")
    high_end = None if high is None else Bound(Fraction(high), "", False, "")
    window = Window(low_end, high_end, (low_end,), (high_end,) if high_end else ())
    chosen = choose_gap(window, Fraction(1, 16))
    assert float(chosen) == pytest.approx(float(Fraction(expected)), abs=1e-15)


def test_a_gap_that_also_passes_as_cut_is_preferred():
    end = Bound(Fraction(0), "", True, ""), Bound(Fraction(1), "", True, "")
    window = Window(*end, (end[0],), (end[1],))
    assert choose_gap(window, Fraction(1, 4), lambda gap: gap <= Fraction(1, 4)) == Fraction(1, 4)
    assert choose_gap(window, Fraction(1, 4), lambda gap: False) == Fraction(1, 2)


EMPTY = (
    "low panel",
    "steep",
    "level, panel low",
)


@pytest.mark.parametrize("name", EMPTY)
def test_each_opener_opens_the_window(name):
    check_openers(changed("in", FAILING[name]))


def test_each_opener_opens_the_window_in_millimetres():
    check_openers(changed("mm", FAILING["low panel"]))
    check_openers(changed("mm", FAILING["level, panel low"]))


def check_openers(job):
    window, rule_for = window_and_rules(job)
    assert window.empty
    section = solve_section(with_gap(job, 0, _some_gap(job)), 0)
    found = list(openers(section, job, window, rule_for))
    assert found
    for opener in found:
        opened = window_at(apply(job, opener.changes, 0), 0, rule_for)
        assert not opened.empty, opener.text
        assert shortfall(opened, job.tape) is None
        gap = choose_gap(opened, job.tape)
        assert failing_with(apply(job, opener.changes, 0), gap, rule_for) == set(), opener.text


def _some_gap(job) -> Fraction:
    return (value_of(job.sections[0], "stringer_margin") or 0) + Fraction(1)


def test_a_panel_a_size_shorter_would_not_do():
    """Panels come in whole inches."""
    job = changed("in", FAILING["low panel"])
    window, rule_for = window_and_rules(job)
    section = solve_section(job, 0)
    panel = next(
        opener
        for opener in openers(section, job, window, rule_for)
        if opener.changes[0].key == "height"
    )
    shorter = changed(
        "in",
        {**FAILING["low panel"], "panel.height": None}
        | {"panel.height": str(panel.changes[0].value - 1)},
    )
    assert panel.changes[0].value % 1 == 0
    assert shortfall(window_at(shorter, 0, rule_for), job.tape) is not None


def test_an_open_window_needs_no_opener():
    job = changed("in", {})
    window, rule_for = window_and_rules(job)
    assert list(openers(solve_section(job, 0), job, window, rule_for)) == []


@pytest.mark.parametrize("rules", ["irc-2021", "din-18065-2015"])
@pytest.mark.parametrize("thickness", ["1", "4"])
def test_an_end_beside_the_stair_decides_as_the_check_does(rules, thickness):
    """A ball, or a cube held as one, in the plain corner and on a nosing: just below and above."""
    changes = {
        "section.side_gap": "1",
        "section.bottom_gap": "1/4",
        "section.tread_thickness": thickness,
        "section.nosing": "1" if thickness == "1" else "3",
        "post.edge_distance": "0",
    }
    job = changed("in", changes, rules)
    window, rule_for = window_and_rules(job)
    end = window.high
    assert end.pocket is not None and end.pocket.side_gap == 1
    assert end.compare(end.value) == -1
    assert window.holds(end.value) or window.empty
    check = {"tread opening": "opening-triangle"}.get(end.set_by, "opening-foot")
    assert check not in failing_with(job, end.value, rule_for)
    assert check in failing_with(job, end.value + HAIR, rule_for)


def test_a_rail_hung_outside_the_treads_still_comes_to_the_first_post():
    # 7 1/4 high, 10 1/2 deep: in front of the post's face at -2 1/2 the rail is 7 1/4 - 2 1/2 tan
    changes = {
        "section.side_gap": "1",
        "section.posts": ["-4", "60 1/4"],
        "section.bottom_gap": "-1",
        "panel.height": "60",
    }
    job = changed("in", changes)
    window, _ = window_and_rules(job)
    low = -(Fraction(29, 4) - Fraction(5, 2) * Fraction(29, 42))
    assert float(window.low.value) == pytest.approx(float(low), abs=1e-12)
    assert window.low.set_by == "the rail clears the lower landing at post 1"
    solve_section(with_gap(job, 0, low + HAIR), 0)
    with pytest.raises(NoSuchShape, match="run into the lower landing"):
        solve_section(with_gap(job, 0, low - HAIR), 0)


CLOSED = """
units = "in"
rules = "irc-2021"
measured_within = 0
[panel]
height = "32"
top_rail = "1 3/4"
bottom_rail = "1 1/2"
baluster = "3/4"
pitch = "4 1/2"
[bracket]
kind = "pivot"
pivot_offset = "2 1/2"
rail_setback = "3/8"
body = {{ height = "1", reach = "1 1/8" }}
[post]
width = "3"
[[section]]
kind = "flight"
unit_rise = "7 1/2"
unit_run = "10"
risers = 6
stringer = "closed"
stringer_margin = "1"
posts = ["3", "33"]
side_gap = "{side_gap}"
bottom_gap = "{gap}"
"""


@pytest.mark.parametrize("side_gap", ["0", "1/2"])
def test_over_a_closed_stringer_the_window_ends_where_the_slot_lets_the_ball_pass(side_gap):
    """The strip alone would keep the ball much longer: 4 3/8 square to the rake is a gap of 6.5."""

    def failing(gap):
        text = CLOSED.format(side_gap=side_gap, gap=gap)
        part = solution_for(job_from_text(text), with_remedies=False).sections[0]
        under = [one for one in part.findings if one.id == "opening-under-rail"]
        return part.window.high, [one.verdict for one in under]

    high, _ = failing("3")
    assert high.set_by == "opening under the rail's end"
    assert float(high.value) < 4.375 / 0.8
    for gap, verdict in ((-1, "pass"), (1, "fail")):
        assert failing(Fraction(round(float(high.value) * 10**4) + gap, 10**4))[1] == [verdict]


# ------------------------------------------------------------- what the posts themselves refuse


def refused(job: Job, gap: Fraction) -> bool:
    try:
        solve_section(job, 0, gap)
    except JobError:
        return True
    return False


def window_for(changes: dict):
    job = changed("in", {**changes, "section.handrail": False})
    section = solve_section(job, 0, Fraction(1))
    return job, window_of(section, job, lambda check, section: None)


@pytest.mark.parametrize("far", [60, 75, 90])
def test_no_rail_of_the_window_passes_over_the_last_post(far):
    """From the top nosing the rail climbs 29 in 42, and the panel is 33 1/2 in plumb less rails."""
    job, window = window_for({"section.posts": ["-4", str(far)]})
    over = (far - 1.5 - 52.5) * 7.25 / 10.5  # at the face of the post, the rail on the nosing line
    slope = hypot(7.25, 10.5) / 10.5
    tall = 33.5 - (1.75 + 1.5) / 2 + (1.75 + 1.5) / 2 * slope
    assert window.high.set_by == "the panel comes to post 2"
    assert float(window.high.value) == pytest.approx(tall - over)
    assert not refused(job, Fraction(tall - over) - Fraction(1, 1000))
    assert refused(job, Fraction(tall - over) + Fraction(1, 1000))


def test_no_rail_of_the_window_has_a_bracket_under_the_end_of_a_post():
    """A guard outside the tread ends; post 2, on tread 3, goes on 2 in below its surface.

    Its lower pin is 2 5/8 in before its centre, where the nosing line is 1 13/16 in over tread 3.
    """
    job, window = window_for({
        "section.side_gap": "2", "section.posts": ["-4", "26 1/4", "60 1/4"],
        "post.below": "2", "post.base": None, "post.edge_distance": None,
    })  # fmt: skip
    axis = 1.5 / 2 * hypot(7.25, 10.5) / 10.5  # over the rail's underside
    low = -2 - (7.25 + (26.25 - 2.625) * 7.25 / 10.5 - 3 * 7.25) - axis
    assert window.low.set_by == "the lowest bracket of post 2"
    assert float(window.low.value) == pytest.approx(low)
    assert not refused(job, Fraction(low) + Fraction(1, 1000))
    assert refused(job, Fraction(low) - Fraction(1, 1000))
