"""The window as it is printed: each end is a mark that passes, and the next mark out fails."""

from __future__ import annotations

import re
from fractions import Fraction
from pathlib import Path

import pytest
from guards import changed

from stairs.checks.window_marks import marks_inside
from stairs.job import job_from_text
from stairs.lengths.tape import parse
from stairs.lengths.tape_marks import exact_text
from stairs.report.screen import solve_text
from stairs.solution import solution_for

RULES_OF_THE_WINDOW = ("guard-height", "handrail-height", "opening")
NARROW = {"panel.height": "3289/100", "top.tape": "1/4"}
ROUNDED_OUT = {"panel.height": "3291/100", "top.tape": "1/4"}
TAPES = ("1/4", "1/8", "1/16", "1/32", "1/64")


def failing(changes: dict, gap: Fraction, as_cut: bool = False) -> set[str]:
    """The checks that a gap makes fail, as drawn or as cut too."""
    job = changed("in", {**changes, "section.bottom_gap": str(gap)})
    findings = solution_for(job, with_remedies=False).sections[0].findings
    return {
        one.id
        for one in findings
        if (one.fails if as_cut else one.verdict == "fail")
        and one.id.startswith(RULES_OF_THE_WINDOW)
    }


def printed_ends(changes: dict) -> list[Fraction]:
    """The lengths in the line of the screen that tells the window."""
    text = " ".join(solve_text(solution_for(changed("in", changes), with_remedies=False)).split())
    start = text.index("Bottom gap may be ") + len("Bottom gap may be ")
    told = text[start:].split(" Assumed")[0].split("A guard keeps")[0]
    words = told.split(" to ", 1) if " to " in told else [told]
    return [parse(part.split(" (")[0].split(" only")[0], "in", "screen") for part in words]


@pytest.mark.parametrize("tape", TAPES)
@pytest.mark.parametrize("height", ["33 3/8", "33 1/2", "33 9/16", "34"])
def test_printed_ends_pass_and_the_next_mark_out_fails(tape, height):
    changes = {"panel.height": height, "top.tape": tape}
    part = solution_for(changed("in", changes), with_remedies=False).sections[0]
    inside = part.marks
    if inside is None:
        low = float(part.window.low.value)
        assert part.window.empty or float(part.window.high.value) - low < Fraction(tape)
        return
    low, high = inside
    assert printed_ends(changes) == sorted({low, high})
    assert failing(changes, low, True) == failing(changes, high, True) == set()
    assert failing(changes, high + Fraction(tape), True) != set()
    if low >= Fraction(tape):
        assert failing(changes, low - Fraction(tape), True) != set()


def test_an_end_that_fails_as_it_will_be_cut_is_not_printed():
    changes = {
        "section.rise": "72",
        "section.risers": 10,
        "section.unit_run": "11",
        "section.posts": ["-3 3/4", "51 1/4", "106 1/4"],
        "panel.trim": "half-pitch",
        "panel.end_margin": None,
        "section.tread_thickness": "1 1/2",
    }
    part = solution_for(changed("in", changes), with_remedies=False).sections[0]
    last = Fraction(11, 16)  # passes by 0.002, and its marks round up by more
    assert marks_inside(part.window, Fraction(1, 16))[1] == last
    assert failing(changes, last) == set()
    assert failing(changes, last, True) == {"opening-triangle"}
    assert printed_ends(changes) == [Fraction(3, 16), Fraction(5, 8)]


def test_a_window_of_which_no_mark_passes_as_cut_says_so():
    part = solution_for(changed("in", ROUNDED_OUT), with_remedies=False).sections[0]
    low, high = marks_inside(part.window, Fraction(1, 4))
    assert low == high and failing(ROUNDED_OUT, low) == set() and part.marks is None
    assert failing(ROUNDED_OUT, low, True) != set()
    text = solve_text(solution_for(changed("in", ROUNDED_OUT), with_remedies=False))
    told = "No mark of the tape is a bottom gap that passes as it will be cut; as drawn it may be"
    assert told in " ".join(text.split())


def test_a_window_between_two_marks_says_that_none_is_in_it():
    # the lower end rises as the panel shrinks: 0.15 + 0.61 = 0.76, under a ball's 0.79
    part = solution_for(changed("in", NARROW), with_remedies=False).sections[0]
    assert 0.75 < float(part.window.low.value) < float(part.window.high.value) < 0.79
    assert not part.window.empty
    text = " ".join(solve_text(solution_for(changed("in", NARROW), with_remedies=False)).split())
    assert "No mark of the tape is a bottom gap that passes: between 0.7603 in" in text


def test_a_window_with_one_mark_in_it_says_so():
    changes = {**NARROW, "top.tape": "1/64"}  # 49/64 = 0.7656, 50/64 = 0.7813
    text = " ".join(solve_text(solution_for(changed("in", changes), with_remedies=False)).split())
    assert 'Bottom gap may be 49/64" only: less, least guard height; more, tread opening' in text
    assert failing(changes, Fraction(49, 64)) == set()


def test_an_empty_window_is_told_by_marks_on_the_safe_side_of_both_ends():
    changes = {"panel.height": "32"}
    text = " ".join(solve_text(solution_for(changed("in", changes), with_remedies=False)).split())
    # low 1.65 and high 0.79, to sixteenths
    assert 'at least 1 11/16" (least guard height), yet at most 3/4" (tread opening)' in text


def test_an_end_between_two_marks_is_not_printed_on_the_one_outside():
    # 34 less the racked height of a 33 1/2 in panel leaves 0.150 in: 1/8 is nearest, and too low
    assert printed_ends({})[0] == Fraction(3, 16)
    assert failing({}, Fraction(1, 8)) == {"guard-height-min", "handrail-height-min"}
    assert failing({}, Fraction(3, 16)) == set()


def test_the_remedy_names_marks_that_pass_as_cut_too():
    """Of the flight of two bays 11/16 in passes as drawn and fails as cut."""
    text = (Path(__file__).parents[2] / "examples" / "two-bays.toml").read_text(encoding="utf-8")
    high = re.sub(r"bottom_gap = .*", 'bottom_gap = "1"', text)
    solution = solution_for(job_from_text(high))
    (remedy, *_) = solution.sections[0].remedies["opening-triangle"]
    low, most = solution.sections[0].marks
    assert remedy.text.endswith(f"(it may be {exact_text(low, 'in')} to {exact_text(most, 'in')})")
    assert most < Fraction(11, 16)
