"""What opens an empty window, as the screen and the result tell it; the guard brought nearer."""

from __future__ import annotations

from fractions import Fraction

import pytest
from guards import changed

from stairs.remedies.job_changes import Change, apply
from stairs.report.result import result_of
from stairs.report.screen import check_text
from stairs.solution import solution_for

LOW = {"panel.height": "32"}  # too low by more than a ball leaves room for


def flat(text: str) -> str:
    return " ".join(text.split())


def test_every_opener_is_told_and_leaves_room_when_it_is_made():
    job = changed("in", LOW)
    solution = solution_for(job)
    (part,) = solution.sections
    assert part.window.empty and part.openers
    text = flat(check_text(solution))
    assert "Any one of these makes room for one: - Use a panel at least" in text
    for opener in part.openers:
        assert opener.told in text
        mended = apply(job, opener.changes, 0)
        assert not solution_for(mended, with_remedies=False).sections[0].window.empty
    told = result_of(solution)["sections"][0]["bottom_gap_window"]["openers"]
    assert told == [opener.told for opener in part.openers]


def test_an_opener_says_what_it_makes_fail():
    """A run of some 8 in opens the window, and is shorter than any stair may have."""
    job = changed("in", LOW)
    solution = solution_for(job)
    costly = [dict(one.costs.fails).values() for one in solution.sections[0].openers]
    assert any("unit run" in one for one in costly)
    before = {one.title for one in solution.sections[0].findings if one.fails}
    for opener in solution.sections[0].openers:
        inside = (*opener.changes, Change("section", "bottom_gap", "auto"))
        after = solution_for(apply(job, inside, 0), with_remedies=False).sections[0].findings
        new = {one.title for one in after if one.fails} - before
        assert set(dict(opener.costs.fails).values()) == new


def test_a_window_that_is_open_tells_no_openers():
    solution = solution_for(changed("in", {}))
    assert solution.sections[0].openers is None
    assert result_of(solution)["sections"][0]["bottom_gap_window"]["openers"] is None
    assert "makes room" not in check_text(solution)


def test_where_nothing_opens_it_the_text_says_so():
    """A code without an allowance for the triangle wants the rail below the nosings."""
    solution = solution_for(changed("in", {}, rules="nbc-2020"))
    assert solution.sections[0].openers == ()
    assert (
        "No other panel, rail, strip, nosing, rise or run within reason makes room for one: close "
        "the stringer, or stand the guard outside the tread ends with its rail below the nosings"
    ) in flat(check_text(solution))


@pytest.mark.parametrize("gap", ["3", "5", "9"])
def test_a_guard_that_stands_off_is_told_how_near_it_has_to_come(gap):
    job = changed("in", {"section.side_gap": gap})
    solution = solution_for(job)
    (part,) = solution.sections
    told = [one for one in part.findings if one.flat is not None and one.id == "opening-triangle"]
    assert told
    remedy = part.remedies["opening-triangle"][0]
    assert remedy.text.startswith("Stand the guard ") and f'(now {gap}")' in remedy.text
    (change,) = remedy.changes
    assert change.key == "side_gap" and 0 < change.value < Fraction(gap)
    mended = solution_for(apply(job, remedy.changes, 0), with_remedies=False).sections[0]
    assert not [one for one in mended.findings if one.id == "opening-triangle" and one.fails]


def test_a_strip_deeper_than_the_gap_is_told_as_what_it_is():
    job = changed("in", {"section.side_gap": "1/2", "section.bottom_gap": "4"})
    texts = [one.text for found in solution_for(job).sections[0].remedies.values() for one in found]
    strips = [text for text in texts if text.startswith("Keep the rail and screw a strip")]
    assert strips
    assert not any("a gap of -" in text for text in strips)
