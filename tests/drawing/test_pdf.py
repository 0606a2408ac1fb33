"""A PDF file holds what is on its sheets: true places, letters that can be read, valid fonts."""

from __future__ import annotations

import io

import pdfplumber
import pypdf
import pytest

from stairs.drawing.files.pdf import Book, book_bytes, pdf_bytes
from stairs.drawing.paper.lettering import cleaned, width_of
from stairs.drawing.paper.primitives import DASHED, Arc, Stroke, Text, line
from stairs.drawing.sheets.page import Page, paper_for

POINT = 25.4 / 72
LINES = (
    "AVA To Type, WAY LT. 5'-3 1/2\"", "office fjord fluff ffi", "éßü Ø ≥ ° VERIFY",
    "R312.1.3 exc. 1* (\\alpha) $x_2$ <b>",
)  # fmt: skip


def page_of(*primitives):
    return Page(paper_for("mm"), "one", "", primitives)


def file_of(*primitives):
    return pdf_bytes(page_of(*primitives))


def plumbed(data):
    return pdfplumber.open(io.BytesIO(data)).pages[0]


@pytest.mark.parametrize("content", LINES)
def test_letters_come_out_of_the_file_as_they_went_in(content):
    data = file_of(Text(content, (40.0, 60.0), 3.5, "note"))
    assert pypdf.PdfReader(io.BytesIO(data)).pages[0].extract_text().strip() == content
    chars = plumbed(data).chars
    assert chars[0]["x0"] * POINT == pytest.approx(40.0, abs=0.01)
    end = (chars[-1]["x1"] - chars[0]["x0"]) * POINT
    assert end == pytest.approx(width_of(content, 3.5), abs=0.4)


def test_anchors_and_turns_place_the_first_letter():
    wide = width_of("HOUSE", 5.0)
    data = file_of(
        Text("HOUSE", (100.0, 50.0), 5.0, "note", "right"),
        Text("HOUSE", (100.0, 90.0), 5.0, "note", "middle", 90.0),
    )
    chars = plumbed(data).chars
    assert chars[0]["x0"] * POINT == pytest.approx(100.0 - wide, abs=0.01)
    height = float(paper_for("mm").height)
    foot = height - chars[5]["bottom"] * POINT
    assert foot == pytest.approx(90.0 - wide / 2, abs=0.01)


def test_strokes_and_circles_are_where_they_were_drawn():
    data = file_of(
        line((20.0, 30.0), (120.0, 30.0), "rail", 0.5),
        Arc((150.0, 100.0), 40.0, 0.25, "opening"),
        Arc((150.0, 100.0), 40.0, 0.25, "dimension", 0.0, 30.0),
        Stroke(((10.0, 10.0), (20.0, 10.0), (15.0, 20.0)), 0.35, "post", DASHED, closed=True),
    )
    page = plumbed(data)
    (stroke,) = page.lines
    assert (stroke["x1"] - stroke["x0"]) * POINT == pytest.approx(100.0, abs=0.001)
    assert stroke["linewidth"] * POINT == pytest.approx(0.5, abs=1e-4)
    whole = max(page.curves, key=lambda one: one["x1"] - one["x0"])
    assert (whole["x1"] - whole["x0"]) * POINT == pytest.approx(80.0, abs=0.002)
    assert (whole["bottom"] - whole["top"]) * POINT == pytest.approx(80.0, abs=0.002)


def test_only_faces_that_are_used_are_embedded():
    plain = file_of(Text("plain", (40.0, 60.0), 3.5, "note"))
    both = file_of(Text("plain", (40.0, 60.0), 3.5, "note"),
                   Text("bold", (40.0, 70.0), 3.5, "note", bold=True))  # fmt: skip
    counts = [
        len(pypdf.PdfReader(io.BytesIO(data)).pages[0]["/Resources"]["/Font"])
        for data in (plain, both)
    ]
    assert counts == [1, 2]


@pytest.mark.parametrize("title", ["Mill (lane) \\ 1", "Grüße \u05e9\u05dc\u05d5\u05dd", "$x$ <b>"])
def test_titles_are_shown_by_readers_as_they_are(title):
    book = Book(title, "", (page_of(),), ((title, "under " + title),))
    file = pypdf.PdfReader(io.BytesIO(book_bytes(book)))
    assert file.metadata.title == cleaned(title)
    assert file.outline[0].title == cleaned(title)
    assert file.outline[1][0].title == cleaned("under " + title)


def test_lettering_from_right_to_left_stands_from_right_to_left():
    word = "\u05e9\u05dc\u05d5\u05dd"
    chars = plumbed(file_of(Text(word, (40.0, 60.0), 3.5, "note"))).chars
    placed = sorted(chars, key=lambda one: one["x0"])
    assert "".join(one["text"] for one in placed) == word[::-1]


def test_blank_lettering_is_white_on_its_ground_and_black_after_it():
    data = file_of(Text("one", (40.0, 60.0), 3.5, "note", blank=True),
                   Text("two", (40.0, 70.0), 3.5, "note"))  # fmt: skip
    colours = [one["non_stroking_color"] for one in plumbed(data).chars]
    assert colours == [(1,)] * 3 + [(0,)] * 3
