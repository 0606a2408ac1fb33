"""Files read back: page size, true distances on paper, complete text, nothing half-written."""

from __future__ import annotations

import io
import os
import re
import xml.etree.ElementTree as ElementTree
from base64 import b64decode

import pdfplumber
import pypdf
import pytest
from ezdxf import recover
from fontTools.ttLib import TTFont
from matplotlib.ft2font import FT2Font, LoadFlags
from msgspec.structs import replace

from stairs.drawing import draw_elevation, write
from stairs.drawing.files.dxf import dxf_bytes
from stairs.drawing.files.pdf import pdf_bytes
from stairs.drawing.files.png import png_bytes
from stairs.drawing.files.svg import svg_bytes
from stairs.drawing.paper.primitives import Stroke, Text
from stairs.drawing.paper.typeface import face_file
from stairs.drawing.placing.extents import box_of
from stairs.drawing.placing.inspection import overlaps
from stairs.errors import FileError, JobError

POINT = 25.4 / 72
SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def pdf(sheet):
    with pdfplumber.open(io.BytesIO(pdf_bytes(sheet("plain")))) as document:
        yield document.pages[0]


@pytest.fixture(scope="module")
def svg(sheet):
    return ElementTree.fromstring(svg_bytes(sheet("plain")))


def texts(drawn):
    return [one for one in drawn.primitives if isinstance(one, Text)]


# --------------------------------------------------------------------------- pdf


@pytest.mark.parametrize("job, paper", [("plain", None), ("metric", None), ("plain", "letter")])
def test_page_has_the_size_of_the_paper(job, paper, sheet):
    drawn = sheet(job, paper)
    page = pypdf.PdfReader(io.BytesIO(pdf_bytes(drawn))).pages[0]
    size = (float(page.mediabox.width) * POINT, float(page.mediabox.height) * POINT)
    assert size == pytest.approx((float(drawn.paper.width), float(drawn.paper.height)), abs=0.01)


def test_posts_are_true_to_scale_on_paper(pdf, sheet, solution):
    """Both posts of the plain job stand 60 in apart at a named scale."""
    drawn, section = sheet("plain"), solution("plain").sections[0].section
    unit = 25.4 * float(drawn.scale.ratio)
    width = section.posts[0].width * unit
    posts = sorted(
        one["x0"] * POINT
        for one in (*pdf.rects, *pdf.curves)
        if abs((one["x1"] - one["x0"]) * POINT - width) < 0.01
        and (one["bottom"] - one["top"]) * POINT > 30 * unit
    )
    assert len(posts) == 2
    assert posts[1] - posts[0] == pytest.approx(
        (section.posts[1].x - section.posts[0].x) * unit, abs=0.01
    )


def test_dimension_lines_are_true_to_scale_on_paper(pdf, sheet):
    drawn = sheet("plain")
    unit = 25.4 * float(drawn.scale.ratio)
    (total,) = [one for one in drawn.dimensions if one.name == "total run"]
    level = [
        abs(one["x1"] - one["x0"]) * POINT
        for one in pdf.lines
        if abs(one["y1"] - one["y0"]) < 1e-6 and abs(one["y0"] * POINT - total.place) < 0.01
    ]
    assert level == [pytest.approx(total.value * unit, abs=0.01)]


def test_all_lettering_is_text_in_the_file(named, sheet):
    drawn = sheet(named)
    with pdfplumber.open(io.BytesIO(pdf_bytes(drawn))) as document:
        found = "".join(char["text"] for char in document.pages[0].chars).replace(" ", "")
    wanted = "".join(one.content for one in texts(drawn)).replace(" ", "")
    assert found == wanted


def test_lettering_takes_the_room_that_was_measured(pdf, sheet):
    """The font's own widths in the file, against the boxes that placement worked with."""
    chars = iter(pdf.chars)
    checked = 0
    for one in texts(sheet("plain")):
        own = []
        while sum(len(char["text"]) for char in own) < len(one.content):
            own.append(next(chars))  # "fi" may be one letter of the font
        if one.rotation or not own[0]["upright"]:
            continue
        box = box_of(one)
        left, right = box.center[0] - box.half_width, box.center[0] + box.half_width
        assert own[0]["x0"] * POINT == pytest.approx(left, abs=0.35)
        assert own[-1]["x1"] * POINT == pytest.approx(right, abs=0.35)
        checked += 1
    assert checked > 60


def test_nothing_is_printed_outside_the_border(pdf, sheet):
    left, bottom, right, top = sheet("plain").paper.border
    page = float(pdf.height) * POINT
    for one in (*pdf.chars, *pdf.lines, *pdf.curves):
        assert one["x0"] * POINT >= left - 0.01
        assert one["x1"] * POINT <= right + 0.01
        assert page - one["bottom"] * POINT >= bottom - 1.0  # font boxes reach under the ink
        assert page - one["top"] * POINT <= top + 1.0


def test_fonts_are_embedded(sheet):
    page = pypdf.PdfReader(io.BytesIO(pdf_bytes(sheet("plain")))).pages[0]
    fonts = page["/Resources"]["/Font"]
    assert fonts
    for font in fonts.values():
        inner = font.get_object()
        inner = inner.get("/DescendantFonts", [inner])[0].get_object()
        assert "/FontFile2" in inner["/FontDescriptor"]


def test_the_file_has_a_title_and_no_date_of_its_own(sheet):
    about = pypdf.PdfReader(io.BytesIO(pdf_bytes(sheet("plain")))).metadata
    assert about.title == "Garden stair: Elevation of garden flight"
    assert "/CreationDate" not in about


# --------------------------------------------------------------------------- svg and png


def test_svg_has_size_title_and_description(svg, sheet):
    drawn = sheet("plain")
    width = float(svg.get("width").removesuffix("pt")) * POINT
    assert width == pytest.approx(float(drawn.paper.width), abs=0.01)
    assert svg.find(f"{SVG}title").text == "Garden stair: Elevation of garden flight"
    assert "6 risers, 5 treads" in svg.find(f"{SVG}desc").text
    assert svg.get("role") == "img"


def test_svg_holds_real_text_in_groups_by_meaning(svg, sheet):
    written = [element.text for element in svg.iter(f"{SVG}text")]
    assert written == [one.content for one in texts(sheet("plain"))]
    groups = {re.sub(r"-\d+$", "", group.get("id")) for group in svg.iter(f"{SVG}g")}
    assert {"post", "rail", "baluster", "tread", "dimension", "label", "table"} <= groups


def test_svg_posts_are_true_to_scale(svg, sheet, solution):
    drawn, section = sheet("plain"), solution("plain").sections[0].section
    unit = 25.4 * float(drawn.scale.ratio)
    lefts = []
    for group in svg.iter(f"{SVG}g"):
        if not group.get("id", "").startswith("post-"):
            continue
        for path in group.iter(f"{SVG}path"):
            xs = [float(x) for x, _ in re.findall(r"[ML] (\S+) (\S+)", path.get("d"))]
            if len(xs) >= 4:
                lefts.append(min(xs) * POINT)
    assert len(lefts) == 2
    assert lefts[1] - lefts[0] == pytest.approx(
        (section.posts[1].x - section.posts[0].x) * unit, abs=0.01
    )


def test_png_has_the_pixels_of_the_paper(sheet):
    drawn = sheet("plain")
    data = png_bytes(drawn)
    assert data[:8] == b"\x89PNG\r\n\x1a\n"
    width, height = (int.from_bytes(data[k : k + 4]) for k in (16, 20))
    assert width == pytest.approx(float(drawn.paper.width) / 25.4 * 150, abs=1)
    assert height == pytest.approx(float(drawn.paper.height) / 25.4 * 150, abs=1)


@pytest.mark.parametrize("maker", [pdf_bytes, svg_bytes, png_bytes])
def test_the_same_sheet_is_the_same_file(maker, solution):
    first = maker(draw_elevation(solution("plain")))
    assert maker(draw_elevation(solution("plain"))) == first


# --------------------------------------------------------------------------- hostile text

HOSTILE = (
    "$x_1^2$ \\frac{1}{2} <script>alert(1)</script> & ]]> \\u0041 %d {0} naïve Ünïcode שלום "
    "\U0001f528 " + "word " * 90
)


@pytest.fixture(scope="module")
def hostile(solution, make_text):
    sheet_table = (
        "[sheet]\naddress = ['12 <b>Row</b> $5', '\\LaTeX', 'third & last', 'fourth']\n"
        "drawn_by = 'A & B <c>'\nrevision = '%%c \"quoted\"'\ndate = '2024-05-01'"
    )
    text = make_text(title=HOSTILE, name="'a$b \\\\alpha <g>'", sheet=sheet_table)
    return draw_elevation(solution(text))


PLACES = ("address", "name", "reason")


@pytest.fixture(scope="module", params=PLACES)
def hostile_place(request, solution, make_text):
    """The same hostile text in an address line, a section's name, and a local value's reason."""
    quoted = "'" + HOSTILE.replace("'", "") + "'"
    parts = {"name": "'plain'", "sheet": ""}
    if request.param == "address":
        parts["sheet"] = f"[sheet]\naddress = [{quoted}, {quoted}]\ndrawn_by = {quoted}"
    elif request.param == "name":
        parts["name"] = quoted
    else:
        parts["sheet"] = f"[local]\nguard-height-min = {{ limit = '30', reason = {quoted} }}"
    return draw_elevation(solution(make_text(**parts)))


def test_hostile_text_in_any_place_is_shown_and_stays_on_the_sheet(hostile_place):
    assert overlaps(hostile_place.primitives, hostile_place.paper.border) == []
    shown = " ".join(one.content for one in texts(hostile_place))
    assert "$x_1^2$" in shown
    assert "\U0001f528" not in shown
    root = ElementTree.fromstring(svg_bytes(hostile_place))
    assert not list(root.iter(f"{SVG}script"))
    document, auditor = recover.read(io.BytesIO(dxf_bytes(hostile_place)))
    assert not auditor.has_errors
    with pdfplumber.open(io.BytesIO(pdf_bytes(hostile_place))) as pages:
        found = "".join(char["text"] for char in pages.pages[0].chars)
    assert "$x_1^2$" in found


def test_hostile_text_is_shown_letter_by_letter(hostile):
    shown = " ".join(one.content for one in texts(hostile))
    assert "$x_1^2$ \\frac{1}{2} <script>alert(1)</script>" in shown
    assert "12 <b>Row</b> $5" in shown
    assert "\\LaTeX" in shown
    assert "A & B <c>" in shown
    assert "\U0001f528" not in shown


def test_hostile_text_stays_text_in_files(hostile):
    root = ElementTree.fromstring(svg_bytes(hostile))
    assert not list(root.iter(f"{SVG}script"))
    written = [element.text for element in root.iter(f"{SVG}text")]
    assert written == [one.content for one in texts(hostile)]
    with pdfplumber.open(io.BytesIO(pdf_bytes(hostile))) as document:
        found = "".join(char["text"] for char in document.pages[0].chars)
    assert "<script>alert(1)</script>" in found


@pytest.mark.parametrize("sign", ["\x00", "\x1b[31m", "\ufffe", "\x0b", "]]>", "--"])
def test_an_svg_can_be_read_whatever_its_title_holds(sheet, sign):
    plain = sheet("plain")
    block = replace(plain.block, name=f"Stair {sign} <b>")
    named = replace(plain, block=block, description=f"{sign} & more")
    root = ElementTree.fromstring(svg_bytes(named))
    assert root.find(f"{SVG}title").text.endswith(" <b>")


def test_an_svg_brings_its_letters_and_holds_each_line_to_its_length(sheet):
    """So that another face in their place runs into nothing."""
    plain = sheet("plain")
    root = ElementTree.fromstring(svg_bytes(plain))
    styles = [one.text for one in root.iter(f"{SVG}style") if "@font-face" in one.text]
    held = [b64decode(re.search("base64,(.*?)\\)", one)[1]) for one in styles]
    assert held and all(TTFont(io.BytesIO(one)).flavor == "woff" for one in held)
    for one, text in zip(texts(plain), root.iter(f"{SVG}text"), strict=True):
        face = FT2Font(face_file(one.bold))
        face.set_size(1000, 72)
        face.set_text(one.content, 0.0, flags=LoadFlags.NO_HINTING)
        size = float(re.search("font-size: ([0-9.]+)px", text.get("style"))[1])
        laid_out = face.get_width_height()[0] / 64000 * size
        assert float(text.get("textLength")) == pytest.approx(laid_out, abs=0.2), one.content


def test_hostile_text_stays_on_the_sheet(hostile):
    left, bottom, right, top = hostile.paper.border
    for one in texts(hostile):
        for x, y in box_of(one).corners():
            assert left <= x <= right, one.content
            assert bottom <= y <= top, one.content


# --------------------------------------------------------------------------- writing


@pytest.mark.parametrize("ending", [".pdf", ".svg", ".png", ".dxf", ".PDF"])
def test_each_ending_writes_its_kind(ending, sheet, tmp_path):
    target = tmp_path / f"sheet{ending}"
    write(sheet("plain"), target)
    start = {".pdf": b"%PDF", ".svg": b"<?xml", ".png": b"\x89PNG", ".dxf": b"  0\nSECTION"}
    assert target.read_bytes().startswith(start[ending.lower()])
    assert list(tmp_path.iterdir()) == [target]


@pytest.mark.parametrize("name", ["sheet.jpg", "sheet", "sheet.pdf.txt"])
def test_an_unknown_ending_lists_the_known_ones(name, sheet, tmp_path):
    with pytest.raises(JobError, match=re.escape("Endings: .pdf, .svg, .png, .dxf")):
        write(sheet("plain"), tmp_path / name)
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_is_missing_is_named(sheet, tmp_path):
    with pytest.raises(FileError, match="cannot be written: No such file or directory"):
        write(sheet("plain"), tmp_path / "missing" / "sheet.pdf")


def test_a_folder_in_the_place_of_the_file_is_refused(sheet, tmp_path):
    (tmp_path / "sheet.pdf").mkdir()
    with pytest.raises(FileError, match="cannot be written: Is a directory"):
        write(sheet("plain"), tmp_path / "sheet.pdf")


def test_an_old_file_stays_whole_when_the_new_one_cannot_take_its_place(
    sheet, tmp_path, monkeypatch
):
    target = tmp_path / "sheet.svg"
    target.write_text("the old one")

    def refuse(*_):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(os, "replace", refuse)
    with pytest.raises(FileError, match="Permission denied"):
        write(sheet("plain"), target)
    assert target.read_text() == "the old one"
    assert list(tmp_path.iterdir()) == [target]


def test_an_old_file_is_replaced(sheet, tmp_path):
    target = tmp_path / "sheet.svg"
    target.write_text("the old one")
    write(sheet("plain"), target)
    assert target.read_bytes() == svg_bytes(sheet("plain"))


def test_outlines_hide_what_lies_behind_them(sheet):
    """Filled outlines come after what they cover, in the order in which a file is drawn."""
    order = [one.group for one in sheet("plain").primitives if isinstance(one, Stroke)]
    assert order.index("baluster") < order.index("rail") < order.index("post")
