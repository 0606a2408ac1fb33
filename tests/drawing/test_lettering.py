"""Lettering is measured as the font has it, and user text is shown and never interpreted."""

from __future__ import annotations

import pytest

from stairs.drawing.paper.lettering import (
    MISSING,
    SMALL,
    cleaned,
    font_size,
    measure,
    shortened,
    width_of,
    wrapped,
)
from stairs.drawing.paper.primitives import Text


@pytest.mark.parametrize("height", [2.5, 3.5, 5.0])
def test_height_is_that_of_a_capital(height):
    assert measure("H", height).over == pytest.approx(height, abs=0.02)
    assert measure("H", height).under == pytest.approx(0, abs=0.01)


def test_room_grows_with_the_height():
    assert width_of("stair", 5.0) == pytest.approx(2 * width_of("stair", 2.5), rel=1e-3)


def test_letters_below_the_line_are_measured():
    assert measure("g", SMALL).under > 0.4


def test_type_size_gives_the_height():
    # a capital is 698 of 1000 units tall, one of DejaVu Sans 1493 of 2048
    assert font_size(0.698 * 25.4) == pytest.approx(72)
    assert font_size(1493 / 2048 * 25.4, whole=True) == pytest.approx(72)


def test_a_capital_is_as_tall_in_either_face():
    assert measure("H", 3.5).over == pytest.approx(measure("Hש", 3.5).over, rel=0.03)


@pytest.mark.parametrize("width", range(40, 90, 7))
def test_lines_with_letters_of_the_fuller_face_fit_too(width):
    for line in wrapped("so many plain words beside one that is שער or Йорк here " * 2, 2.5, width):
        assert width_of(line, 2.5) <= width


@pytest.mark.parametrize(
    "typed, shown",
    [
        ("$x_1$ and \\alpha", "$x_1$ and \\alpha"),
        ("<script>alert(1)</script>", "<script>alert(1)</script>"),
        ("two\nlines\tand\r\nmore", "two lines and more"),
        ("Cafe\u0301", "Caf\u00e9"),
        ("hammer \U0001f528", f"hammer {MISSING}"),
        ("\u202eturned\u202c", "turned"),
        ("a\u0000b", "ab"),
        ("   ", ""),
    ],
)
def test_any_text_can_be_lettered(typed, shown):
    assert cleaned(typed) == shown


@pytest.mark.parametrize("text", ["word " * 100, "x" * 500, "", "short"])
def test_shortened_text_fits(text):
    short = shortened(text, SMALL, 40.0)
    assert width_of(short, SMALL) <= 40.0
    assert short == cleaned(text) or short.endswith("...")


@pytest.mark.parametrize("text", ["one two three " * 20, "x" * 300, "a " + "y" * 90 + " b"])
def test_wrapped_lines_fit_and_lose_nothing(text):
    lines = wrapped(text, SMALL, 45.0)
    assert all(width_of(line, SMALL) <= 45.0 for line in lines)
    assert "".join(lines).replace(" ", "") == cleaned(text).replace(" ", "")


def test_wrapped_text_stops_at_its_last_line():
    lines = wrapped("one two three " * 20, SMALL, 45.0, 2)
    assert len(lines) == 2
    assert lines[1].endswith("...")


@pytest.mark.parametrize("kept", ['5 3/16"', "100 mm", "bay 1", "post 12", "tread 3"])
def test_a_number_stays_with_what_belongs_to_it(kept):
    for width in range(12, 60, 2):
        lines = wrapped(f"so many words and {kept} more words", SMALL, max(width, 18))
        assert any(kept in line for line in lines)


def test_nothing_on_a_sheet_is_lettered_small(named, sheet):
    texts = [one for one in sheet(named).primitives if isinstance(one, Text)]
    assert len(texts) > 50
    assert min(one.height for one in texts) >= 2.5
    assert len({one.height for one in texts}) <= 3
