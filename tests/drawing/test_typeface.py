"""The letters of sheets: that they read apart, and are as long as they are measured."""

from __future__ import annotations

from itertools import combinations
from pathlib import Path

import msgspec
import numpy as np
import pytest
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont
from matplotlib.ft2font import FT2Font, Kerning, LoadFlags
from pypdf import PdfReader

from stairs.drawing import draw_elevation, write
from stairs.drawing.paper.lettering import cleaned, width_of
from stairs.drawing.paper.typeface import face_file, is_whole, letters, web_file
from stairs.job import read_job
from stairs.solution import solution_for

PORCH = Path(__file__).parents[2] / "examples" / "porch.toml"
FACES = pytest.mark.parametrize("bold", [False, True], ids=["regular", "bold"])
WORDS = "AVATAR Tool To P. L'Étage, Wärme 3' 6 ½\" ~ Ølgårdsvej 2 1/2\" = 35.0° ✓"


def opened(file):
    font = FT2Font(file)
    font.set_size(1000, 72)
    return font


@FACES
@pytest.mark.parametrize("whole, text", [(False, WORDS), (True, "Йорк AVATAR θ = 35.0°")])
def test_a_line_is_as_long_as_the_plotting_library_lays_it_out(bold, whole, text):
    face = opened(face_file(bold, whole))
    face.set_text(text, 0.0, flags=LoadFlags.NO_HINTING)
    capital = (1493 / 2048) if whole else 0.698  # of the em, as those who drew them publish it
    laid_out = face.get_width_height()[0] / 64 / 1000 / capital
    assert is_whole(text, bold) == whole
    assert width_of(text, 1.0, bold) == pytest.approx(laid_out, abs=0.02)


@FACES
def test_letters_are_narrower_than_those_that_come_with_the_plotting_library(bold):
    text = 'GUARD 2\'-10 5/16" between balusters, bay 1 below 4 3/8"'
    theirs = opened(face_file(bold, whole=True))
    theirs.set_text(text, 0.0, flags=LoadFlags.NO_HINTING)
    assert width_of(text, 1.0, bold) < 0.92 * theirs.get_width_height()[0] / 64000 * 2048 / 1493


@FACES
def test_figures_stand_under_each_other(bold):
    with TTFont(face_file(bold)) as font:
        widths = {font["hmtx"][font.getBestCmap()[ord(one)]][0] for one in "0123456789"}
    assert len(widths) == 1


@FACES
def test_a_mixed_number_is_not_read_as_one(bold):
    """A space beside a figure is at least as wide as the stem of the 1 is tall over four."""
    font = opened(face_file(bold))
    for left in "0123456789 ":
        for right in "0123456789/ ":
            pair = [font.get_char_index(ord(one)) for one in (left, right)]
            assert font.get_kerning(*pair, Kerning.UNSCALED) == 0
    with TTFont(face_file(bold)) as read:
        assert read["hmtx"][read.getBestCmap()[0x20]][0] >= 0.698 / 4 * read["head"].unitsPerEm


@FACES
@pytest.mark.parametrize("alike", ["1Il|", "0O", "68B", "5S", "2Z", "'\"′″"])
def test_letters_that_are_mistaken_for_each_other_are_drawn_apart(bold, alike):
    """A sixth of the ink of two letters, set over each other, is not common to both."""
    font = opened(face_file(bold))
    font.set_size(60, 72)
    shapes = {}
    for one in alike:
        font.set_text(one, 0.0)
        font.draw_glyphs_to_bitmap()
        ink = font.get_image() > 127
        shapes[one] = np.zeros((90, 90), bool)
        shapes[one][: ink.shape[0], : ink.shape[1]] = ink
    for a, b in combinations(alike, 2):
        apart = (shapes[a] ^ shapes[b]).sum() / (shapes[a] | shapes[b]).sum()
        assert apart > 1 / 6, (a, b)


@FACES
def test_letters_are_kerned_in_the_way_that_the_plotting_library_reads(bold):
    font = opened(face_file(bold))

    def pull(left, right):
        pair = (font.get_char_index(ord(one)) for one in (left, right))
        return font.get_kerning(*pair, Kerning.UNSCALED)

    assert pull("A", "V") < -10 and pull("T", "o") < -10 and pull("L", "T") < -10
    assert pull("H", "H") == 0


@FACES
def test_the_licence_of_the_letters_is_kept(bold):
    with TTFont(face_file(bold)) as font, TTFont(web_file(bold)) as web:
        for one in (font, web):
            names = {record.nameID: record.toUnicode() for record in one["name"].names}
            assert "IBM" in names[0]  # who drew the letters
            assert "Open Font License" in names[13]
            # a reserved name, which no face that was altered may bear
            assert all(word not in names[k] for k in (1, 3, 4, 6) for word in ("IBM", "Plex"))
    kept = (Path(face_file(bold)).parent / "LICENSE").read_text()
    assert "SIL OPEN FONT LICENSE Version 1.1" in kept


@FACES
def test_what_an_svg_embeds_is_drawn_and_spaced_alike(bold):
    with TTFont(face_file(bold)) as font, TTFont(web_file(bold)) as web:
        ours, theirs = font.getBestCmap(), web.getBestCmap()
        assert len(theirs) > 190 and ours.items() >= {k: ours[k] for k in theirs}.items()
        for code in theirs:
            here, there = BoundsPen(font.getGlyphSet()), BoundsPen(web.getGlyphSet())
            font.getGlyphSet()[ours[code]].draw(here)
            web.getGlyphSet()[theirs[code]].draw(there)
            assert here.bounds == there.bounds, chr(code)
            assert font["hmtx"][ours[code]] == web["hmtx"][theirs[code]], chr(code)


@pytest.mark.parametrize("text", ["שער הגן", "درابزين", "a\u0327\u0301 heap", "Йорк", "θ"])
def test_a_line_with_other_letters_is_set_in_the_fuller_face(text):
    assert is_whole(cleaned(text))
    assert letters(False, True).issuperset(cleaned(text).replace("□", ""))


@pytest.mark.parametrize("text", ["GUARD FOR A PORCH", "3' 6 ½\"", "Straße, Šibenik", "35.0° Ø"])
def test_usual_lines_need_no_other_letters(text):
    assert not is_whole(text)


def test_only_the_faces_that_a_sheet_needs_are_embedded(tmp_path):
    def faces(title):
        job = msgspec.structs.replace(read_job(str(PORCH)), title=title)
        write(draw_elevation(solution_for(job)), tmp_path / "sheet.pdf")
        fonts = PdfReader(tmp_path / "sheet.pdf").pages[0]["/Resources"]["/Font"]
        return {font.get_object()["/BaseFont"].split("+")[1] for font in fonts.values()}

    usual = faces("Porch")
    assert {name.split("-")[0] for name in usual} == {"StairsSheet"}
    assert faces("שער") - usual == {"DejaVuSans"}
