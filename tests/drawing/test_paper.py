"""Sheets and scales are standard ones, and the choice between them follows its rule."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest

from stairs.drawing import draw_elevation
from stairs.drawing.paper.lettering import SMALL
from stairs.drawing.paper.primitives import Text
from stairs.drawing.paper.sheet_sizes import (
    GOOD,
    INCH_SCALES,
    METRIC_SCALES,
    PAPERS,
    choose_sheet,
    paper_named,
    scale_named,
)
from stairs.drawing.placing.extents import box_of
from stairs.drawing.sheets.title_block import scale_bar
from stairs.errors import SheetError


@pytest.mark.parametrize(
    "name, width, height",
    [
        ("letter", "279.4", "215.9"),
        ("tabloid", "431.8", "279.4"),
        ("ANSI C", "558.8", "431.8"),
        ("ARCH C", "609.6", "457.2"),
        ("ARCH D", "914.4", "609.6"),
        ("A4", "297", "210"),
        ("A3", "420", "297"),
        ("A2", "594", "420"),
    ],
)
def test_sheet_sizes_are_those_of_the_standards(name, width, height):
    paper = paper_named(name)
    assert (paper.width, paper.height) == (Fraction(width), Fraction(height))


@pytest.mark.parametrize(
    "inches, over",
    [("3", 4), ("1 1/2", 8), ("1", 12), ("3/4", 16), ("1/2", 24), ("3/8", 32), ("1/4", 48),
     ("3/16", 64)],
)  # fmt: skip
def test_inches_to_the_foot_are_ratios(inches, over):
    assert scale_named(inches, "in").ratio == Fraction(1, over)


def test_scales_run_from_large_to_small():
    for scales in (INCH_SCALES, METRIC_SCALES):
        ratios = [scale.ratio for scale in scales]
        assert ratios == sorted(ratios, reverse=True)


def needs(width, height):
    """A view that takes so many millimetres of the work, and a column of 110 mm beside it."""

    def fits(paper, scale):
        unit = scale.paper_millimetres(scale.units)
        return width * unit <= paper.width - 130 and height * unit <= paper.height - 20

    return fits


@pytest.mark.parametrize("width", [10, 40, 90, 150, 240, 500])
def test_the_smallest_sheet_with_a_good_scale_is_taken(width):
    fits = needs(width, width / 2)
    paper, scale = choose_sheet(fits, "in")
    assert fits(paper, scale)
    sheets = [one for one in PAPERS if one.units == "in" and one.name != "ANSI C"]
    smaller = sheets[: sheets.index(paper)]
    if scale.ratio >= GOOD["in"]:
        assert not any(
            fits(one, other)
            for one in smaller
            for other in INCH_SCALES
            if other.ratio >= GOOD["in"]
        )
    larger = [one for one in INCH_SCALES if one.ratio > scale.ratio]
    assert not any(fits(paper, one) for one in larger)


def test_none_is_chosen_where_none_fits():
    assert choose_sheet(lambda *_: False, "mm") is None
    assert choose_sheet(lambda *_: False, "in", "letter", "3") is None


def test_a_sheet_that_is_asked_for_is_kept():
    assert choose_sheet(needs(100, 50), "mm", paper="A2")[0].name == "A2"


def test_a_scale_that_is_asked_for_takes_the_smallest_sheet_for_it():
    assert [choose_sheet(needs(width, 10), "in", scale="3")[0].name for width in (20, 40, 60)] == [
        "letter", "tabloid", "ARCH C",
    ]  # fmt: skip


@pytest.mark.parametrize(
    "call, words",
    [
        (lambda: paper_named("B5"), '"B5" is not a sheet size'),
        (lambda: scale_named("1:30", "mm"), '"1:30" is not a standard scale'),
    ],
)
def test_what_cannot_be_drawn_says_so(call, words):
    with pytest.raises(SheetError) as raised:
        call()
    assert words in str(raised.value)
    assert raised.value.allowed
    assert raised.value.remedy


@pytest.mark.parametrize("number", [0, 2, -1])
def test_a_section_that_is_not_there_is_refused(number, solution):
    with pytest.raises(SheetError, match=f"there is no section {number}. The job has one section"):
        draw_elevation(solution("plain"), section=number)


def test_the_sheet_of_a_job_follows_the_rule(named, sheet):
    drawn = sheet(named)
    assert drawn.paper.units == drawn.units == drawn.scale.units
    assert drawn.scale.ratio >= GOOD[drawn.units]


@pytest.mark.parametrize("scale", [*INCH_SCALES, *METRIC_SCALES], ids=lambda one: one.words)
def test_numbers_of_a_scale_bar_are_not_read_as_one(scale):
    """Between two of them is more than the space between the words of one."""
    texts = [one for one in scale_bar(scale, 0.0, 0.0, 90.0) if isinstance(one, Text)]
    assert len(texts) >= 2
    boxes = [box_of(one) for one in texts]
    for before, after in pairwise(boxes):
        gap = (after.center[0] - after.half_width) - (before.center[0] + before.half_width)
        assert gap >= SMALL * 0.9


@pytest.mark.parametrize(("words", "numbers"), [("1:25", 5), ("1:20", 6), ("3/4", 4)])
def test_of_bars_alike_in_length_the_one_whose_blocks_all_have_numbers_is_taken(words, numbers):
    scale = scale_named(words, "mm" if ":" in words else "in")
    bar = scale_bar(scale, 0.0, 0.0, 90.0)
    assert len([one for one in bar if isinstance(one, Text)]) == numbers
    assert len(bar) == 2 * numbers - 1
