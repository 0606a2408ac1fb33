"""Bracket holes on the post faces: at full size in the file, where the lists have them."""

from __future__ import annotations

import io
import math
from fractions import Fraction
from pathlib import Path

import pdfplumber
import pytest

from stairs.drawing.files.pdf import book_bytes
from stairs.drawing.paper.primitives import Arc, Stroke, Text
from stairs.drawing.placing.inspection import overlaps
from stairs.drawing.sets.shop.posts import poles
from stairs.drawing.sets.template.holes import holes_on
from stairs.drawing.sets.template.template import template_book
from stairs.drawing.sets.template.tiles import OVERLAP, canvas_room
from stairs.drawing.sheets.page import millimetres, paper_for
from stairs.lists.cut_list import cut_list

POINT = 25.4 / 72
PORCH = Path(__file__).parents[2] / "examples" / "porch.toml"
HOLES = 'holes = [["-1/2", "3/4"], ["1/2", "3/4"], ["0", "-3/4"]]\nhole_diameter = "1/4"\n'
METRIC = "holes = [[-15, 20], [15, 20], [-15, -20], [15, -20]]\nhole_diameter = 6\n"


@pytest.fixture
def porch(solution, with_plate):
    """The answer to the porch with a plate's holes."""
    text = PORCH.read_text(encoding="utf-8")
    return lambda holes=HOLES: solution(with_plate(text, holes))


def faces_of(book, units):
    """Every post face of a book: its parts with the foot of the canvas at 0, tile by tile."""
    each, _ = canvas_room(paper_for(units, upright=True), True)
    for number, sheet in enumerate(book.sheets):
        if "post face" not in sheet.name:
            continue
        tile = int(sheet.name.split()[1]) - 1 if sheet.name.startswith("Tile") else 0
        yield number, sheet, 31.0 - tile * (each - OVERLAP) + 6.0


def words_of(sheet):
    return [one.content for one in sheet.primitives if isinstance(one, Text)]


def test_porch_heights_by_hand_stand_on_the_template_at_full_size(porch):
    """Post 1 of the porch: pins at 7 5/8 and 39 1/2; two holes 3/4 over each and one 3/4 under it
    are drilled at 8 3/8, 6 7/8, 40 1/4 and 38 3/4.  Post 2, pins at 4 7/8 and 36 3/4: 5 5/8, 4 1/8,
    37 1/2 and 36."""
    one = porch()
    book = template_book(one, "letter")
    shown = {words for _, sheet, _ in faces_of(book, "in") for words in words_of(sheet)}
    by_hand = {'8 3/8"', '6 7/8"', '40 1/4"', '38 3/4"', '5 5/8"', '4 1/8"', '37 1/2"', '36"'}
    assert by_hand <= shown
    assert '1/2"' in shown  # across
    heights = [8.375, 6.875, 40.25, 38.75, 5.625, 4.125, 37.5, 36.0]
    found = set()
    with pdfplumber.open(io.BytesIO(book_bytes(book))) as file:
        for number, sheet, foot in faces_of(book, "in"):
            page = file.pages[number]
            rings = [
                ((ring["x0"] + ring["x1"]) / 2 * POINT,
                 (float(page.height) - (ring["top"] + ring["bottom"]) / 2) * POINT,
                 (ring["x1"] - ring["x0"]) * POINT)
                for ring in page.curves
            ]  # fmt: skip
            for part in sheet.primitives:
                if isinstance(part, Arc) and part.group == "hole":
                    near = min(rings, key=lambda at: math.dist(at[:2], part.center))
                    assert math.dist(near[:2], part.center) < 0.01
                    assert near[2] == pytest.approx(6.35, abs=0.01)
                    found.add(round((near[1] - foot) / 25.4, 3))
    assert found == set(heights)


def test_crosses_lie_across_the_face_as_measured(porch):
    """In the file, the two upper holes are 1 in apart and the lower one half way between."""
    book = template_book(porch(), "letter")
    seen = 0
    with pdfplumber.open(io.BytesIO(book_bytes(book))) as file:
        for number, sheet, _ in faces_of(book, "in"):
            page = file.pages[number]
            upright = [
                (one["x0"] * POINT, (float(page.height) - one["bottom"]) * POINT)
                for one in page.lines if abs(one["x0"] - one["x1"]) < 0.001
            ]  # fmt: skip
            rows = {}
            for part in sheet.primitives:
                if part.group == "hole-centre" and part.points[0][0] == part.points[1][0]:
                    near = min(upright, key=lambda at, p=part: math.dist(at, p.points[0]))
                    assert math.dist(near, part.points[0]) < 0.01
                    rows.setdefault(round(part.points[0][1], 3), []).append(near[0])
            middles = [one.points[0][0] for one in sheet.primitives if one.group == "centre-line"]
            for row in rows.values():
                offsets = sorted(min((x - m for m in middles), key=abs) for x in row)
                faces = len(offsets) // 2 if len(offsets) > 1 else 1
                wanted = [-12.7] * faces + [12.7] * faces if len(offsets) > 1 else [0.0]
                assert offsets == pytest.approx(wanted, abs=0.01)
                seen += len(row)
    assert seen >= 12  # three holes for each of two rails on two posts


CASES = [
    ("plain", HOLES), ("two bays", HOLES), ("steep", HOLES), ("plumb cut", HOLES),
    ("level", HOLES), ("to a wall", HOLES), ("metric", METRIC), ("closed stringer", METRIC),
    # in the way of the pin's lettering, near each other, and without a size
    ("plain", 'holes = [["3/4", "1/8"], ["-3/4", "1/8"]]\nhole_diameter = "1/4"\n'),
    ("plain", 'holes = [["1 1/4", "1/16"], ["-1 1/4", "0"], ["1/4", "3/4"], ["0", "-3/4"]]\n'),
    ("metric", "holes = [[-10, 12], [10, 10], [0, -12]]\nhole_diameter = 5\n"),
    ("plain", 'holes = [["0", "1"], ["0", "-1"]]\nhole_diameter = "5/16"\n'),
    # at the edge of the face, all to one side, over the post's end, and more than can be lettered
    ("two bays", 'holes = [["5/16", "37/16"], ["-22/16", "17/16"]]'),
    ("plain", 'holes = [["-22/16", "10/16"]]\nhole_diameter = "1/4"\n'),
    ("plain", 'holes = [["1", "1 7/16"], ["-1", "-1"]]\nhole_diameter = "1/4"\n'),
    ("plain", f"holes = {[[f'{x}/16', f'{y}/16'] for x in (-20, -3, 4, 11) for y in range(5)]}"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "holes"), CASES)
def test_every_hole_is_whole_on_some_tile_and_no_lettering_is_struck(
    name, holes, solution, with_plate
):
    one = solution(with_plate(name, holes))
    job = one.job
    book = template_book(one)
    for sheet in book.sheets:
        assert not overlaps(sheet.primitives, sheet.paper.border)
    wanted = {
        round(millimetres(mark + up, job.units), 6)
        for pole in poles(one, cut_list(one))
        for face in (pole.left, pole.right) if face is not None
        for mark in (face.bottom, face.top)
        for _, up in job.bracket.holes
    }  # fmt: skip
    found = set()
    for _, sheet, foot in faces_of(book, job.units):
        for part in sheet.primitives:
            if isinstance(part, Stroke) and part.group == "hole-centre":
                (x0, y0), (x1, y1) = part.points
                if y0 == y1:
                    found.add(round(y0 - foot, 6))
    assert sorted(found) == pytest.approx(sorted(wanted), abs=1e-5)
    words = " ".join(word for _, sheet, _ in faces_of(book, job.units) for word in words_of(sheet))
    assert "bracket" in words and "Crosses:" in words


def test_a_hole_is_ringed_only_where_its_size_is_known(porch):
    book = template_book(porch('holes = [["0", "3/4"]]'))
    groups = [part.group for sheet in book.sheets for part in sheet.primitives]
    assert "hole-centre" in groups
    rings = [part for _, sheet, _ in faces_of(book, "in") for part in sheet.primitives
             if isinstance(part, Arc) and part.group == "hole"]  # fmt: skip
    assert not rings


def test_holes_lie_at_the_pins_mark_and_their_own_offset(solution, porch):
    one = porch()
    (low, right, under) = holes_on(one.job, [Fraction(79, 2)], Fraction(0), 76.2)
    assert (low.x, low.y) == (pytest.approx(38.1 - 12.7), pytest.approx(40.25 * 25.4))
    assert (right.x, right.height) == (pytest.approx(50.8), Fraction(161, 4))
    assert (under.x, under.height) == (pytest.approx(38.1), Fraction(155, 4))
    assert holes_on(solution("plain").job, [Fraction(10)], Fraction(0), 76.2) == []


def test_seats_tick_the_heights_of_the_holes(porch):
    book = template_book(porch())
    sheets = [sheet for sheet in book.sheets if sheet.name.startswith("Where each bracket sits")]
    ticks = pins = 0
    for sheet in sheets:
        rings = [part.center for part in sheet.primitives
                 if isinstance(part, Arc) and part.group == "pin"]  # fmt: skip
        pins += len(rings)
        for part in sheet.primitives:
            if part.group == "hole-height":
                x, y = part.points[0]
                pin = min(rings, key=lambda at, x=x: abs(at[0] - x))
                assert abs(y - pin[1]) == pytest.approx(0.75 * 25.4, abs=1e-6)
                ticks += 1
    assert ticks == 2 * pins > 0
    said = " ".join(" ".join(words_of(sheet)) for sheet in sheets)
    assert "level with the ticks" in said and "no bracket holes are given" not in said


def test_places_that_cannot_be_lettered_are_sent_to_the_cut_list(porch):
    crowd = [[f"{x}/32", "0"] for x in range(20, 40)]
    few = " ".join(" ".join(words_of(sheet)) for _, sheet, _ in
                   faces_of(template_book(porch(), "letter"), "in"))  # fmt: skip
    many = " ".join(" ".join(words_of(sheet)) for _, sheet, _ in
                    faces_of(template_book(porch(f"holes = {crowd}"), "letter"), "in"))  # fmt: skip
    assert "see the cut" in many and "see the cut" not in few
