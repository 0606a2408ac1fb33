"""The letters that sheets are set in are those of DejaVu Sans, as the plotting library ships it."""

from __future__ import annotations

from pathlib import Path

import msgspec
import pytest
from fontTools.ttLib import TTFont
from matplotlib.ft2font import FT2Font, Kerning, LoadFlags
from pypdf import PdfReader

from stairs.answer import answer_for
from stairs.drawing import draw_elevation, write
from stairs.drawing.lettering import cleaned, width_of
from stairs.drawing.make_typeface import make
from stairs.drawing.typeface import face_file, is_whole, letters
from stairs.job import read_job

PORCH = Path(__file__).parents[2] / "examples" / "porch.toml"
FACES = pytest.mark.parametrize("bold", [False, True], ids=["regular", "bold"])
WORDS = "AVATAR Tool To P. L'Étage, Wärme 3' 6 ½\" ~ Ølgårdsvej Йорк θ = 35.0° ✓"


def opened(bold, whole):
    font = FT2Font(face_file(bold, whole))
    font.set_size(2048, 72)  # the em of both files: nothing is rounded
    return font


@FACES
def test_every_letter_is_drawn_and_spaced_as_in_the_whole_face(bold):
    ours, theirs = opened(bold, False), opened(bold, True)
    charmap = ours.get_charmap()
    assert len(charmap) > 600
    for code in charmap:
        here, there = (
            font.load_char(code, flags=LoadFlags.NO_HINTING | LoadFlags.NO_SCALE)
            for font in (ours, theirs)
        )
        assert (here.bbox, here.horiAdvance) == (there.bbox, there.horiAdvance), chr(code)
        for drawn, meant in zip(outline(ours, code), outline(theirs, code), strict=True):
            assert (drawn == meant).all(), chr(code)


def outline(font, code):
    font.load_char(code, flags=LoadFlags.NO_HINTING | LoadFlags.NO_SCALE)
    return font.get_path()


@FACES
def test_pairs_are_kerned_as_in_the_whole_face(bold):
    ours, theirs = opened(bold, False), opened(bold, True)
    kerned = 0
    for left in map(chr, range(0x21, 0x7F)):
        for right in map(chr, range(0x21, 0x7F)):
            pulls = [
                font.get_kerning(
                    *(font.get_char_index(ord(one)) for one in (left, right)), Kerning.UNSCALED
                )
                for font in (ours, theirs)
            ]
            assert pulls[0] == pulls[1], left + right
            kerned += pulls[0] != 0
    assert kerned > 100


@FACES
def test_a_line_is_as_long_as_the_plotting_library_lays_it_out_in_the_whole_face(bold):
    face = opened(bold, True)
    face.set_text(WORDS, 0.0, flags=LoadFlags.NO_HINTING)
    capital = 1493 / 2048  # of the em
    laid_out = face.get_width_height()[0] / 64 / 2048 / capital
    assert width_of(WORDS, 1.0, bold) == pytest.approx(laid_out, abs=0.02)


@FACES
def test_making_the_faces_anew_gives_the_files_that_are_there(bold, tmp_path):
    make(tmp_path)
    place = Path(face_file(bold))
    with TTFont(tmp_path / place.name) as made, TTFont(place) as kept:
        assert made.keys() == kept.keys()
        assert made.getBestCmap() == kept.getBestCmap()
        for table in ("glyf", "hmtx", "kern"):
            assert made.reader[table] == kept.reader[table], table


@FACES
def test_the_licence_of_the_letters_is_kept(bold):
    with TTFont(face_file(bold)) as font:
        names = {record.nameID: record.toUnicode() for record in font["name"].names}
    assert "Bitstream" in names[0]  # who drew the letters
    assert all(word not in names[k] for k in (1, 3, 4, 6) for word in ("Bitstream", "Vera"))
    assert "Fonts are (c) Bitstream" in (Path(face_file(bold)).parent / "LICENSE").read_text()


@pytest.mark.parametrize("text", ["שער הגן", "درابزين", "a\u0327\u0301 heap"])
def test_a_line_with_other_letters_is_set_in_the_whole_face(text):
    assert is_whole(cleaned(text))
    assert letters(False, True).issuperset(cleaned(text).replace("□", ""))


@pytest.mark.parametrize("text", ["GUARD FOR A PORCH", "3' 6 ½\"", "Straße, Šibenik", "35.0°"])
def test_usual_lines_need_no_other_letters(text):
    assert not is_whole(text)


def test_only_the_faces_that_a_sheet_needs_are_embedded(tmp_path):
    def faces(title):
        job = msgspec.structs.replace(read_job(str(PORCH)), title=title)
        write(draw_elevation(answer_for(job)), tmp_path / "sheet.pdf")
        fonts = PdfReader(tmp_path / "sheet.pdf").pages[0]["/Resources"]["/Font"]
        return {font.get_object()["/BaseFont"].split("+")[1] for font in fonts.values()}

    usual = faces("Porch")
    assert {name.split("-")[0] for name in usual} == {"StairsSheet"}
    assert faces("שער") - usual == {"DejaVuSans"}
