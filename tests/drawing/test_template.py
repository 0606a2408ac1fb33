"""Templates are true at full size, tile by tile, and say that they must be measured first."""

from __future__ import annotations

import io
import math
import re

import pdfplumber
import pypdf
import pytest

from stairs.drawing.files.pdf import book_bytes
from stairs.drawing.paper.primitives import Arc, Text
from stairs.drawing.placing.inspection import overlaps
from stairs.drawing.placing.windows import cut_to
from stairs.drawing.sets.shop.posts import poles
from stairs.drawing.sets.template.bevels import bevel_pages
from stairs.drawing.sets.template.seats import seats
from stairs.drawing.sets.template.template import template_book
from stairs.drawing.sets.template.tiles import OVERLAP, canvas_room, clipped
from stairs.drawing.sheets.page import millimetres, paper_for
from stairs.errors import SheetError
from stairs.job import job_from_text
from stairs.lengths.tape_marks import length_text
from stairs.lists.cut_list import cut_list
from stairs.solution import solution_for

POINT = 25.4 / 72


def words_of(sheet):
    return " ".join(one.content for one in sheet.primitives if isinstance(one, Text))


def test_nothing_overlaps_or_leaves_the_border(named, book):
    for sheet in book(template_book, named).sheets:
        assert not overlaps(sheet.primitives, sheet.paper.border)


@pytest.mark.parametrize(("rise", "depth"), [(100, 22), (155, 70)])
def test_the_angle_stands_clear_of_the_level_line_on_a_seat_cut_short(rise, depth, make_text):
    text = make_text(
        "mm", bracket="plumb-cut", parts={"top_rail": str(depth)}, unit_rise=f'"{rise}"',
        unit_run='"299"', treads="6",
    )  # fmt: skip
    for sheet in template_book(solution_for(job_from_text(text), for_sheets=True)).sheets:
        assert not overlaps(sheet.primitives, sheet.paper.border)


@pytest.mark.parametrize("paper", ["letter", "tabloid", "A4", "A3"])
def test_any_paper_holds_them(paper, solution):
    book = template_book(solution("two bays"), paper)
    names = {sheet.paper.name for sheet in book.sheets}
    assert names == {paper}
    for sheet in book.sheets:
        assert not overlaps(sheet.primitives, sheet.paper.border)


@pytest.mark.parametrize("paper", ["letter", "A4"])
@pytest.mark.parametrize("name", ["failing", "plain"])
def test_every_page_of_a_failing_guard_says_not_to_cut_by_it(name, paper, solution):
    one = solution(name)
    for sheet in template_book(one, paper).sheets:
        said = [words for words in words_of(sheet).split("  ") if "DO NOT CUT OR DRILL" in words]
        assert bool(said) == (not one.ok)
        assert not overlaps(sheet.primitives, sheet.paper.border)


def test_the_bevel_tells_its_legs_in_tape_lengths_of_the_slope_drawn(book):
    """7 in level at 7 1/4 in 10 1/2 are 4 5/6 in plumb, to the nearest 1/32."""
    words = words_of(book(template_book, "plain", "letter").sheets[0])
    assert 'LEVEL 7"' in words and 'PLUMB 4 27/32"' in words


@pytest.mark.parametrize("rise, run", [("189.5", "263"), ("181.3", "257.9"), ("175", "260")])
def test_the_pair_that_sets_the_bevel_holds_over_the_flight(rise, run, solution, make_text):
    job = make_text("mm", unit_rise=f'"{rise}"', unit_run=f'"{run}"', treads="12")
    page = bevel_pages(solution(job), None)[0]
    words = " ".join(one.content for one in page.content if isinstance(one, Text))
    up, along = map(float, re.search(r"Rise ([\d.]+) mm in a run of ([\d.]+) mm", words).groups())
    assert up == int(up) and along == int(along)
    slope, over = float(rise) / float(run), 12 * float(run)
    assert abs(up / along - slope) * over <= 0.5 + 1e-9


def test_every_page_says_to_measure_it_first(named, book):
    for sheet in book(template_book, named).sheets:
        assert "MEASURE THE BARS BEFORE USE" in words_of(sheet)
        assert "1:1, full size" in words_of(sheet)


@pytest.mark.parametrize("name", ["plain", "metric"])
def test_check_bars_are_exactly_as_long_as_they_say(name, book):
    data = book_bytes(book(template_book, name))
    with pdfplumber.open(io.BytesIO(data)) as file:
        for page in file.pages:
            lines = [one for one in page.lines if abs(one["top"] - one["bottom"]) < 0.01]
            lengths = [(one["x1"] - one["x0"]) * POINT for one in lines]
            assert sum(abs(length - 101.6) < 0.01 for length in lengths) == 1
            assert sum(abs(length - 100.0) < 0.01 for length in lengths) == 1
            upright = [
                (one["bottom"] - one["top"]) * POINT for one in page.lines
                if abs(one["x0"] - one["x1"]) < 0.01
            ]  # fmt: skip
            wanted = 101.6 if name == "plain" else 100.0
            assert sum(abs(length - wanted) < 0.01 for length in upright) == 1


@pytest.mark.parametrize("name", ["plain", "metric", "two bays"])
def test_hole_pitch_is_true_in_the_file(name, solution):
    one = solution(name)
    pitch = millimetres(one.job.panel.pitch, one.job.units)
    book = template_book(one)
    data = book_bytes(book)
    pitches = 0
    with pdfplumber.open(io.BytesIO(data)) as file:
        for sheet, page in zip(book.sheets, file.pages, strict=True):
            upright = [
                (line["x0"] * POINT, (float(page.height) - line["bottom"]) * POINT)
                for line in page.lines if abs(line["x0"] - line["x1"]) < 0.001
            ]  # fmt: skip
            rows = {}
            for part in sheet.primitives:
                if getattr(part, "group", "") == "hole-centre":
                    x, y = part.points[0]
                    nearest = min(upright, key=lambda at: math.dist(at, (x, y)))
                    assert math.dist(nearest, (x, y)) < 0.01
                    rows.setdefault(round(y, 3), []).append(nearest[0])
            for row in rows.values():
                steps = [b - a for a, b in zip(row, row[1:], strict=False)]
                assert steps == pytest.approx([pitch] * len(steps), abs=0.01)
                pitches += len(steps)
    assert pitches >= 2


def test_holes_lie_where_the_cut_list_has_them(solution):
    one = solution("plain")
    sheets = [sheet for sheet in template_book(one).sheets if "baluster holes" in sheet.name]
    sheet = sheets[0]
    cut = next(part for part in sheet.primitives if getattr(part, "group", "") == "saw-cut")
    holes = sorted(
        part.points[0][0] - cut.points[0][0] for part in sheet.primitives
        if getattr(part, "group", "") == "hole-centre"
    )  # fmt: skip
    rail = cut_list(one).rails[0]
    wanted = [
        millimetres(rail.first_hole + k * one.job.panel.pitch, one.job.units)
        for k in range(len(holes))
    ]
    assert holes == pytest.approx(wanted, abs=1e-6)


@pytest.mark.parametrize("name", ["plain", "metric", "fourteen risers"])
def test_every_bracket_mark_is_whole_on_some_tile_at_its_height(name, solution):
    one = solution(name)
    book = template_book(one)
    wanted = set()
    for pole in poles(one, cut_list(one)):
        for face in (pole.left, pole.right):
            if face is not None:
                wanted |= {
                    round(millimetres(mark, one.job.units), 4) for mark in (face.bottom, face.top)
                }
    each, _ = canvas_room(paper_for(one.job.units, upright=True), True)
    found = set()
    for sheet in book.sheets:
        if "post face" not in sheet.name:
            continue
        tile = int(sheet.name.split()[1]) - 1
        bottom = 31.0 - tile * (each - OVERLAP) + 6.0  # the foot of the canvas on this tile
        found |= {
            round(part.center[1] - bottom, 4) for part in sheet.primitives
            if isinstance(part, Arc) and part.group == "pin"
        }  # fmt: skip
    assert {round(value, 3) for value in found} == {round(value, 3) for value in wanted}


def test_register_marks_of_neighbours_are_one_place(solution):
    one = solution("fourteen risers")
    book = template_book(one)
    each, _ = canvas_room(paper_for("in", upright=True), True)
    step = each - OVERLAP
    places = {}
    group = next(sheet.group for sheet in book.sheets if "post face" in sheet.name)
    for sheet in book.sheets:
        if sheet.group != group:
            continue
        tile = int(sheet.name.split()[1]) - 1
        marks = [
            part for part in sheet.primitives if isinstance(part, Arc) and part.group == "register"
        ]
        for mark in marks:
            x, y = mark.center
            places.setdefault((round(x, 6), round(y + tile * step, 6)), []).append(tile)
    assert places
    for tiles in places.values():
        assert len(tiles) == 2 and tiles[1] == tiles[0] + 1


@pytest.mark.parametrize("name", ["plain", "metric", "steep"])
def test_the_bevel_is_the_rake(name, solution):
    one = solution(name)
    sheet = template_book(one).sheets[0]
    line = next(part for part in sheet.primitives if getattr(part, "group", "") == "rake")
    (x0, y0), (x1, y1) = line.points
    rake = one.guard.sections[0].rake
    assert math.degrees(math.atan2(y1 - y0, x1 - x0)) == pytest.approx(rake, abs=1e-9)
    assert f"{rake:.2f}°" in words_of(sheet)


def test_pages_are_the_papers_own_size(book):
    file = pypdf.PdfReader(io.BytesIO(book_bytes(book(template_book, "plain", "A4"))))
    for page in file.pages:
        size = sorted((float(page.mediabox.width) * POINT, float(page.mediabox.height) * POINT))
        assert size == pytest.approx([210, 297], abs=0.01)


def test_a_post_wider_than_the_paper_is_refused(solution, make_text):
    text = make_text(posts='["-6", "60"]', parts={"width": "8", "base": "9"})
    with pytest.raises(SheetError, match="is wider than letter has room for"):
        template_book(solution(text), "letter")


def test_a_paper_of_no_size_is_refused(solution):
    with pytest.raises(SheetError, match='"napkin" is not a sheet size'):
        template_book(solution("plain"), "napkin")


def test_lines_are_cut_at_the_tile_and_rings_are_whole_or_gone():
    room = (0.0, 0.0, 10.0, 10.0)
    assert cut_to((-5.0, 5.0), (15.0, 5.0), room) == ((0.0, 5.0), (10.0, 5.0))
    assert cut_to((11.0, 0.0), (11.0, 9.0), room) is None
    rings = [Arc((5.0, 5.0), 2.0, 0.1, "pin"), Arc((9.0, 5.0), 2.0, 0.1, "pin")]
    assert clipped(rings, (0.0, 0.0), room) == [rings[0]]


@pytest.mark.parametrize("name", ["plain", "metric", "level", "plumb cut", "steep"])
def test_seats_hold_face_pin_and_rail_at_full_size(name, solution):
    one = solution(name)
    job = one.job
    found = seats(one)
    sheets = [s for s in template_book(one).sheets if s.name.startswith("Where each bracket sits")]
    groups = {}
    for sheet in sheets:
        for part in sheet.primitives:
            groups.setdefault(part.group, []).append(part)
    pins = [part for part in groups["pin"] if isinstance(part, Arc)]
    faces, axes, rails = groups["post-face"], groups["rail-axis"], groups["rail"]
    assert len(pins) == len(faces) == len(axes) == len(found)
    for seat, pin, face, axis in zip(found, pins, faces, axes, strict=True):
        assert face.points[0][0] == pytest.approx(face.points[1][0])
        off = (pin.center[0] - face.points[0][0]) * seat.side
        assert off == pytest.approx(seat.offset, abs=1e-6)
        (x0, y0), (x1, y1) = axis.points
        turn = math.degrees(math.atan((y1 - y0) / (x1 - x0)))
        assert turn == pytest.approx(one.guard.sections[0].rake, abs=1e-5)
        aside = (pin.center[0] - x0) * (y1 - y0) - (pin.center[1] - y0) * (x1 - x0)
        assert aside == pytest.approx(0.0, abs=1e-6)  # the axis goes through the pin
    depths = {seat.depth for seat in found}
    assert depths == {millimetres(job.panel.top_rail, job.units),
                      millimetres(job.panel.bottom_rail, job.units)}  # fmt: skip
    assert rails
    places = [place for where in found.values() for place in where]
    assert len(places) == sum(len(post.marks) for post in one.guard.sections[0].posts)


@pytest.mark.parametrize("name", ["plain", "metric", "two bays"])
def test_rail_edges_meet_the_face_where_the_rail_is_carried_on_to_it(name, solution):
    one = solution(name)
    job, section = one.job, one.guard.sections[0]
    slope = section.rail_line.slope
    sheets = [s for s in template_book(one, "A3").sheets if "post face" in s.name]
    shown = []
    for sheet in sheets:
        feet = [part.points[0][1] for part in sheet.primitives if part.group == "foot"]
        if feet:
            shown += [
                part.points[0][1] - feet[0] for part in sheet.primitives
                if part.group == "rail-edge"
            ]  # fmt: skip
    post, bay = section.posts[0], section.bays[0]
    face = post.x + post.width / 2
    for over in (False, True):
        (a, b), (c, d) = (
            (bay.bottom_rail[1], bay.bottom_rail[2]) if over
            else (bay.bottom_rail[0], bay.bottom_rail[3])
        )  # fmt: skip
        assert (d - b) / (c - a) == pytest.approx(slope)
        height = b + (face - a) * slope - post.surface
        near = min(shown, key=lambda y, h=height: abs(y - millimetres(h, job.units)))
        mark = millimetres(job.tape, job.units)
        assert near == pytest.approx(millimetres(height, job.units), abs=mark)


def test_seats_say_that_the_job_gives_no_holes(book):
    sheets = [
        s for s in book(template_book, "plain").sheets if s.name.startswith("Where each bracket")
    ]
    assert sheets
    for sheet in sheets:
        assert "no bracket holes are given" in words_of(sheet)


@pytest.mark.parametrize("gap", ["-1 1/2", "-2", "-3 7/8"])
def test_a_mark_below_the_surface_is_on_the_template(gap, solution, make_text):
    one = solution(make_text(side_gap='"1 1/2"', bottom_gap=f'"{gap}"', posts='["-4", "55"]'))
    upper = poles(one, cut_list(one))[-1].left
    assert upper.bottom < 0
    book = template_book(one)
    for sheet in book.sheets:
        assert not overlaps(sheet.primitives, sheet.paper.border)
    tile = next(
        sheet for sheet in book.sheets
        if sheet.name.startswith("Tile 1") and "1.2 toward 1.1" in sheet.name
    )  # fmt: skip
    surface = {part.points[0][1] for part in tile.primitives if part.group == "foot"}
    pins = [
        part.center[1] for part in tile.primitives if isinstance(part, Arc) and part.group == "pin"
    ]
    assert len(surface) == 1
    wanted = surface.pop() + millimetres(upper.bottom, "in")
    assert any(pin == pytest.approx(wanted) for pin in pins)
    assert "SURFACE; POST GOES ON" in words_of(tile)
    text = length_text(upper.bottom, "in", one.job.tape)
    assert text.startswith("-") and f"BOTTOM {text}" in words_of(tile)


def test_foot_is_lettered_clear_of_a_mark_close_over_it(solution, make_text):
    one = solution(
        make_text("mm", side_gap='"38"', bottom_gap='"-60"', posts='["-100", "1370"]')
    )  # fmt: skip
    assert 0 < poles(one, cut_list(one))[-1].left.bottom < 5
    for sheet in template_book(one).sheets:
        assert not overlaps(sheet.primitives, sheet.paper.border)


def test_the_top_is_lettered_clear_of_a_pin_close_under_it(solution, make_text):
    text = make_text(
        side_gap='"1 1/2"', bottom_gap='"-2 7/8"', unit_rise='"8 3/8"', unit_run='"11 7/8"',
        parts={"width": "2 1/2", "reveal": "1/8", "top_rail": "2 1/4", "pivot": '"2"'},
    )  # fmt: skip
    one = solution(text)
    lower = poles(one, cut_list(one))[0]
    assert 0 < lower.height - lower.right.top < 0.2
    for sheet in template_book(one).sheets:
        assert not overlaps(sheet.primitives, sheet.paper.border)


def test_tiles_with_nothing_but_edges_are_left_out(book):
    """A post 40 high with its brackets near foot and head: between them there is nothing to mark.
    Every mark is on a tile that is there, and the tile after a gap says how it is set."""
    canvases = {}
    for sheet in book(template_book, "plain").sheets:
        if "post face" in sheet.name:
            canvases.setdefault(sheet.name.split(", ", 1)[1], []).append(sheet)
    for faces in canvases.values():
        numbers = [int(sheet.name.split()[1]) for sheet in faces]
        total = int(faces[0].name.split()[3].rstrip(","))
        missing = sorted(set(range(1, total + 1)) - set(numbers))
        assert missing
        for sheet in faces:
            marked = {"pin", "foot", "saw-cut", "rail-edge"}
            assert any(one.group in marked for one in sheet.primitives)
        after = faces[numbers.index(missing[-1] + 1)]
        said = " ".join(one.content for one in after.primitives if isinstance(one, Text))
        which = f"Tile {missing[0]} is"
        if len(missing) > 1:
            which = f"Tiles {missing[0]} to {missing[-1]} are"
        assert f"{which} left out" in said and "set this one by its figures" in said
        assert any(one.group == "tape" for one in after.primitives if isinstance(one, Text))
