"""Whatever a user types into a job, the sets show it as text, on the sheet, or plainly replaced."""

from __future__ import annotations

import io
from functools import cache

import pypdf
import pytest

from stairs.drawing.files.pdf import book_bytes
from stairs.drawing.paper.lettering import cleaned
from stairs.drawing.paper.primitives import Text
from stairs.drawing.placing.inspection import overlaps
from stairs.drawing.sets.packet.packet import packet_book
from stairs.drawing.sets.shop.shop import shop_book
from stairs.drawing.sets.template.template import template_book
from stairs.job import job_from_text
from stairs.solution import solution_for

MAKERS = {"packet": packet_book, "shop": shop_book, "template": template_book}
TEXTS = {
    "markup": "$x_2^3$ \\alpha <script>alert(1)</script> & %s {} `rm`",
    "accents": "Ébène à l'étage, Grüße, Øster, naïve Ǆ",
    "right to left": "שלום עולם, مرحبا \u202egnp.exe",
    "emoji": "\U0001f6e0\ufe0f porch \U0001f468\u200d\U0001f469\u200d\U0001f467 tail",
    "long": "the long word of a builder " * 19,
    "one word": "x" * 500,
    "lines": "one\ntwo\r\nthree\tfour",
}


def quoted(text: str) -> str:
    """A text as TOML takes it, with every letter that it may not hold spelt out."""
    return '"' + "".join(
        f"\\U{ord(one):08x}" if ord(one) < 0x20 or one in '"\\\x7f' else one for one in text
    ) + '"'  # fmt: skip


def job_of(make_text, text: str) -> str:
    value = quoted(text)
    sheet = (
        f"[sheet]\naddress = [{value}, {value}]\ndrawn_by = {value}\nrevision = {value}\n"
        'date = "2026-03-04"\n'
        f'[local]\nguard-height-min = {{ limit = "34", reason = {value} }}\n'
        f'opening-triangle = {{ limit = "5", reason = {value} }}\n'
    )
    made = make_text(sheet=sheet, name=value, treads="4", posts='["-4", "45 1/2"]')
    return made.replace("title = '''Garden stair'''", f"title = {value}")


@pytest.fixture(scope="module")
def book_of(make_text):
    """A set of the job that holds a text wherever one may be typed, made once."""
    answer_to = cache(lambda text: solution_for(job_from_text(job_of(make_text, text)), False))
    return cache(lambda kind, text, paper: MAKERS[kind](answer_to(text), paper))


def words_on(sheet):
    return [one.content for one in sheet.primitives if isinstance(one, Text)]


@pytest.mark.parametrize("paper", ["letter", pytest.param("tabloid", marks=pytest.mark.fuzz)])
@pytest.mark.parametrize("kind", MAKERS)
@pytest.mark.parametrize("text", TEXTS.values(), ids=[name.replace(" ", "-") for name in TEXTS])
def test_no_text_leaves_its_sheet_or_writes_over_another(text, kind, paper, book_of):
    for sheet in book_of(kind, text, paper).sheets:
        assert not overlaps(sheet.primitives, sheet.paper.border), sheet.title


@pytest.mark.parametrize("kind", MAKERS)
@pytest.mark.parametrize("name", ["markup", "accents", "emoji", "lines"])
def test_it_is_shown_letter_by_letter_with_boxes_for_what_the_face_has_not(name, kind, book_of):
    shown = cleaned(TEXTS[name])
    book = book_of(kind, TEXTS[name], "tabloid")
    for sheet in book.sheets:
        lettered = " ".join(words_on(sheet))
        assert shown in lettered, sheet.title
    if name == "emoji":
        assert "□" in shown and "\U0001f6e0" not in shown
    file = pypdf.PdfReader(io.BytesIO(book_bytes(book)))
    assert shown in file.metadata.title
    for page in file.pages:
        read = " ".join(page.extract_text().split())
        assert shown[:20] in read


@pytest.mark.parametrize("kind", MAKERS)
def test_reasons_are_on_every_page_and_whole_where_there_is_room(kind, book_of):
    reason = "as the office reads it in its letter " + "of the fourth of March " * 8
    whole = 'guard height (guard-height-min) 34": ' + cleaned(reason)
    for sheet in book_of(kind, reason, "tabloid").sheets:
        assert whole in " ".join(words_on(sheet)), sheet.title


def test_more_reasons_than_a_strip_holds_say_where_the_rest_is(book_of):
    book = book_of("template", TEXTS["long"], "letter")
    for sheet in book.sheets:
        cut = [row for row in words_on(sheet) if row.endswith("the rest is in the job file")]
        assert len(cut) == (1 if sheet.paper.width < 230 else 0)
    cover = " ".join(
        row for sheet in book_of("packet", TEXTS["long"], "letter").sheets[:2]
        for row in words_on(sheet)
    )  # fmt: skip
    told = '(guard-height-min) 34": ' + cleaned(TEXTS["long"])[:60]
    assert told in cover
    assert cover.count(": " + cleaned(TEXTS["long"])[:60]) >= 2
