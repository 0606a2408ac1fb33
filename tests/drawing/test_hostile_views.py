"""Whatever a user types, every view shows it as text on every sheet, or plainly replaced."""

from __future__ import annotations

import json
import warnings

import pytest

from stairs.drawing import draw_elevation
from stairs.drawing.files.pdf import pdf_bytes
from stairs.drawing.files.svg import svg_bytes
from stairs.drawing.paper.lettering import MISSING, cleaned, measure
from stairs.drawing.paper.primitives import Text
from stairs.drawing.paper.sheet_sizes import PAPERS
from stairs.drawing.placing.inspection import overlaps
from stairs.drawing.views.framing import draw_framing
from stairs.drawing.views.plan.plan import draw_plan
from stairs.job import job_from_text
from stairs.solution import solution_for

TEXTS = {
    "markup": '$x_1^2$ \\frac{1}{2} <script>alert("1")</script> & ]]> %%c {0}',
    "accents": "Ünïcödé façade ñ ő ẞ ø",
    "heaped marks": "a\u0301\u0302\u0303\u0304 e\u0301\u0302 " * 8,
    "right to left": "שלום עולם مرحبا \u202eabc\u202c",
    "no glyphs": "\U0001f528 house \U0001f3e0 階段の手すり",
    "500 letters": "five hundred characters " * 21,
    "one long word": "W" * 500,
}
FRAMING = """
[framing]
direction = "across"
first_joist = "{}"
joist_spacing = "{}"
joist_thickness = "{}"
"""
RUN = {
    "in": {"kind": '"level"', "span": '"132"', "bays": "2", "bottom_gap": '"2"'},
    "mm": {"kind": '"level"', "span": '"3300"', "bays": "2", "bottom_gap": '"60"'},
}


@pytest.fixture(scope="module")
def hostile(make_text):
    known = {}

    def one(units, text, shape):
        key = units, text, shape
        if key not in known:
            word = json.dumps(text, ensure_ascii=False)
            limit = "30" if units == "in" else "800"
            sheet = (
                f"[sheet]\naddress = [{word}, {word}, {word}, {word}]\ndrawn_by = {word}\n"
                f"revision = {word}\n"
                f"[local]\nguard-height-min = {{ limit = '{limit}', reason = {word} }}\n"
            )
            sheet += FRAMING.format(*(("4", "16", "1 1/2") if units == "in" else (100, 400, 45)))
            keys = RUN[units] if shape == "run" else {}
            made = make_text(units, title="T", sheet=sheet, name=word, **keys)
            made = made.replace("title = '''T'''", f"title = {word}")
            known[key] = solution_for(job_from_text(made), False)
        return known[key]

    return one


def views(solution, shape, paper):
    yield draw_elevation(solution, paper=paper)
    yield draw_plan(solution, paper)
    if shape == "run":
        yield draw_framing(solution, None, paper)


# the smallest of either kind and the largest by default; the others by hand
TRIED = [
    pytest.param(one, id=one.name, marks=() if one.name in ("letter",) else pytest.mark.fuzz)
    for one in PAPERS
]


@pytest.mark.parametrize("paper", TRIED)
@pytest.mark.parametrize("shape", ["flight", "run"])
@pytest.mark.parametrize("name", list(TEXTS))
def test_no_text_leaves_its_sheet_or_writes_over_another(name, shape, paper, hostile):
    solution = hostile(paper.units, TEXTS[name], shape)
    for view in views(solution, shape, paper.name):
        for sheet in (view, *view.following):
            assert overlaps(sheet.primitives, sheet.paper.border) == []


@pytest.mark.parametrize("name", [name for name in TEXTS if name != "one long word"])
def test_every_view_letters_only_what_the_face_holds(name, hostile):
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        for view in views(hostile("in", TEXTS[name], "run"), "run", "tabloid"):
            contents = [one.content for one in view.primitives if isinstance(one, Text)]
            assert all(cleaned(content) == content.strip() for content in contents)
            assert pdf_bytes(view).startswith(b"%PDF")
            assert b"<script" not in svg_bytes(view)


def test_a_letter_keeps_one_mark_beside_its_own():
    assert cleaned("a\u0301\u0302\u0303b") == "\u00e1\u0302b"
    assert measure(cleaned("e" + "\u0301" * 40), 2.5).over < 3.3


def test_letters_without_a_shape_are_boxes_and_directions_are_dropped():
    assert cleaned("\U0001f528 階") == f"{MISSING} {MISSING}"
    assert cleaned("\u202eabc\u202c") == "abc"
