"""Shop sheets hold what the cut list says, drawn true to scale, with nothing written over."""

from __future__ import annotations

import io

import pdfplumber
import pypdf
import pytest

from stairs.answer import answer_for
from stairs.cuts import cut_list
from stairs.drawing.book import book_bytes
from stairs.drawing.inspection import overlaps
from stairs.drawing.page import millimetres
from stairs.drawing.paper import scale_named
from stairs.drawing.primitives import Arc, Stroke, Text
from stairs.drawing.shop import shop_book
from stairs.drawing.shop_posts import poles
from stairs.drawing.shop_rails import spread
from stairs.errors import SheetError
from stairs.job import job_from_text
from stairs.marks import length_text
from stairs.rail_plans import rail_plans

JOBS = ("plain", "two bays", "fourteen risers", "plumb cut", "metric", "level", "failing")


def rails_of(book):
    return [one for one in book.sheets if one.name.startswith("Rails")]


def posts_of(book):
    return [one for one in book.sheets if one.name.startswith("Posts")]


def ratio(sheet, units):
    return float(scale_named(sheet.scale, units).ratio)


def texts(sheets):
    return [one.content for sheet in sheets for one in sheet.primitives if isinstance(one, Text)]


def test_nothing_overlaps_or_leaves_the_border(named, answer):
    for sheet in shop_book(answer(named)).sheets:
        assert not overlaps(sheet.primitives, sheet.border)


def test_a_long_heading_of_a_rail_does_not_run_into_its_boxes(make_text):
    text = make_text(
        bracket="plumb-cut", parts={"stock": '["12"]', "pitch": "3 3/4"}, hand='"both"'
    )
    book = shop_book(answer_for(job_from_text(text), for_sheets=True), "letter")
    assert any("no stock length is long enough; saw" in one for one in texts(rails_of(book)))
    for sheet in book.sheets:
        assert not overlaps(sheet.primitives, sheet.border)


def test_letters_are_never_too_small(named, answer):
    for sheet in shop_book(answer(named)).sheets:
        assert min(one.height for one in sheet.primitives if isinstance(one, Text)) >= 2.5


@pytest.mark.parametrize("name", JOBS)
def test_every_rail_is_drawn_to_scale(name, answer):
    one = answer(name)
    cuts = cut_list(one).rails
    book = shop_book(one)
    drawn = [
        (part, sheet) for sheet in rails_of(book) for part in sheet.primitives
        if isinstance(part, Stroke) and part.group == "rail"
    ]  # fmt: skip
    assert len(drawn) == len(cuts)
    for (rail, sheet), cut in zip(drawn, cuts, strict=True):
        scale = ratio(sheet, one.job.units)
        low, high = rail.points[0][0], rail.points[1][0]
        assert (high - low) / scale == pytest.approx(
            millimetres(cut.length, one.job.units), abs=0.01 / scale
        )


@pytest.mark.parametrize("name", JOBS)
def test_every_hole_is_where_the_cut_list_has_it(name, answer):
    one = answer(name)
    cuts = cut_list(one).rails
    book = shop_book(one)
    found = []
    for sheet in rails_of(book):
        scale, low = ratio(sheet, one.job.units), None
        for part in sheet.primitives:
            if getattr(part, "group", "") == "rail":
                low = (part.points[0][0] + part.points[3][0]) / 2  # the cut on the axis
            elif isinstance(part, Arc) and part.group == "hole":
                found.append((part.center[0] - low) / scale)
    wanted = [
        millimetres(cut.first_hole + k * one.job.panel.pitch, one.job.units)
        for cut in cuts
        for k in range(cut.balusters)
    ]
    assert len(wanted) > 0
    assert found == pytest.approx(wanted, abs=0.05)


def test_running_figures_are_all_there_in_order(answer):
    one = answer("two bays")
    shown = [
        part.content for sheet in rails_of(shop_book(one)) for part in sheet.primitives
        if isinstance(part, Text) and part.owner == "running"
    ]  # fmt: skip
    job = one.job
    wanted = [
        length_text(place, job.units, job.tape)
        for cut in cut_list(one).rails
        for place in (*cut.running, cut.length)
    ]
    assert shown == wanted


@pytest.mark.parametrize("name", JOBS)
def test_marks_stand_on_the_posts_to_scale(name, answer):
    one = answer(name)
    book = shop_book(one)
    standing = poles(one, cut_list(one))
    found = []
    for sheet in posts_of(book):
        scale = ratio(sheet, one.job.units)
        grounds = [part for part in sheet.primitives if getattr(part, "group", "") == "ground"]
        marks = [
            part.center[1] for part in sheet.primitives
            if isinstance(part, Arc) and part.group == "bracket-mark"
        ]  # fmt: skip
        foot = grounds[0].points[0][1]
        found += [(mark - foot) / scale for mark in marks]
    wanted = [
        millimetres(height, one.job.units)
        for pole in standing
        for face in (pole.left, pole.right)
        if face is not None
        for height in (face.bottom, face.top)
    ]
    assert found == pytest.approx(wanted, abs=0.05)


def test_every_piece_has_its_boxes(answer):
    one = answer("two bays")
    cuts = cut_list(one)
    book = shop_book(one)
    words = texts(book.sheets)
    assert words.count("CHECKED") == len(cuts.rails)
    assert words.count("MARKED") == len(cuts.rails) + len(poles(one, cuts))
    boxes = [
        part for sheet in book.sheets for part in sheet.primitives
        if isinstance(part, Stroke) and part.group == "check-box"
    ]  # fmt: skip
    stock = sum(len(each.plan.rails) for each in rail_plans(cuts, one.guard))
    assert words.count("CUT") == len(cuts.rails) + len(poles(one, cuts)) + stock
    assert len(boxes) == 3 * len(cuts.rails) + 2 * len(poles(one, cuts)) + stock


def test_a_slanted_cut_leans_as_the_saw_is_set(answer):
    import math

    one = answer("plumb cut")
    section = one.guard.sections[0]
    for sheet in rails_of(shop_book(one)):
        for part in sheet.primitives:
            if getattr(part, "group", "") == "saw-cut":
                (x0, y0), (x1, y1) = part.points
                lean = math.degrees(math.atan2(x1 - x0, y1 - y0))
                assert lean == pytest.approx(section.rake, abs=1e-6)


@pytest.mark.parametrize("name", ["failing", "plain", "metric", "level"])
def test_a_failing_guard_says_do_not_cut(name, answer):
    one = answer(name)
    said = [words for words in texts(shop_book(one).sheets) if words.startswith("DO NOT CUT")]
    assert len(said) == (0 if one.ok else 1)


def test_a_rail_that_no_stock_reaches_says_so(answer, make_text):
    text = make_text(treads="8", bays="1", parts={"stock": '["24"]'})
    words = " ".join(texts(shop_book(answer(text)).sheets))
    assert "no stock length is long enough" in words


def test_the_file_holds_the_figures(answer):
    one = answer("metric")
    data = book_bytes(shop_book(one))
    text = "".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(data)).pages)
    for cut in cut_list(one).rails:
        assert f"RAIL {cut.name.upper()}" in text
        assert length_text(cut.length, "mm", one.job.tape, unit=False) in text
    with pdfplumber.open(io.BytesIO(data)) as file:
        for page in file.pages:
            for char in page.chars:
                assert char["x0"] > 28 and char["x1"] < float(page.width) - 28


def test_a_sheet_that_is_too_small_is_refused(answer, make_text):
    text = make_text(treads="40", bays="1", parts={"stock": '["1200 in"]'})
    with pytest.raises(SheetError, match="the longest rail or post does not fit on letter"):
        shop_book(answer(text), "letter")


def test_spread_keeps_order_and_distance():
    places = spread([0.0, 0.1, 0.2, 9.0], 2.0, 0.0, 20.0)
    assert places == pytest.approx([0.0, 2.0, 4.0, 9.0])
    assert spread([5.0, 5.0], 2.0, 0.0, 20.0) == pytest.approx([4.0, 6.0])


def stock_of(book):
    return [one for one in book.sheets if one.name.startswith("Cutting from stock")]


@pytest.mark.parametrize("name", ["plain", "two bays", "fourteen risers", "plumb cut", "metric"])
def test_the_cutting_plan_is_drawn_piece_by_piece_to_scale(name, answer):
    one = answer(name)
    plans = rail_plans(cut_list(one), one.guard)
    book = shop_book(one)
    found, bars = [], []
    for sheet in stock_of(book):
        scale = ratio(sheet, one.job.units)
        for part in sheet.primitives:
            if getattr(part, "group", "") == "stock":
                bars.append((part.points[1][0] - part.points[0][0]) / scale)
                start = part.points[0][0]
            elif getattr(part, "group", "") == "piece":
                (low, _), (high, _), (over, _) = part.points[0], part.points[1], part.points[2]
                lean = (over - high) / 2
                found.append((part.owner, (low + lean - start) / scale,
                              (high + lean - start) / scale))  # fmt: skip
    rails = [rail for each in plans for rail in each.plan.rails]
    assert bars == pytest.approx([millimetres(rail.stock.length, one.job.units) for rail in rails])
    wanted = [
        (placed.piece.name, *(millimetres(at, one.job.units) for at in (placed.start, placed.end)))
        for rail in rails for placed in rail.placed
    ]  # fmt: skip
    assert len(wanted) == len(cut_list(one).rails)
    assert [row[0] for row in found] == [row[0] for row in wanted]
    for shown, true in zip(found, wanted, strict=True):
        assert shown[1:] == pytest.approx(true[1:], abs=0.05)


def test_what_is_left_of_each_stock_rail_is_lettered(answer):
    one = answer("two bays")
    words = texts(stock_of(shop_book(one)))
    for each in rail_plans(cut_list(one), one.guard):
        for length, count in each.plan.stock_counts:
            assert any(f"{count} of {length_text(length, 'in', one.job.tape)}" in row
                       for row in words)  # fmt: skip
    assert sum(row.startswith("left over: ") for row in words) == sum(
        len(each.plan.rails) for each in rail_plans(cut_list(one), one.guard)
    )


def test_a_rail_that_no_stock_holds_is_named_beside_the_plan(answer, make_text):
    level = (
        '\n[[section]]\nname = "edge"\nkind = "level"\nspan = "90"\nbays = 1\n'
        'bottom_gap = "2"\nturn = 90\n'
    )
    one = answer(make_text(treads="3", bays="1", parts={"stock": '["60"]'}) + level)
    rows = [row for row in texts(stock_of(shop_book(one))) if row.startswith("Not cut: ")]
    assert rows == [f"Not cut: 2.1 {rail}: no stock length is long enough."
                    for rail in ("top", "bottom")]  # fmt: skip


def test_posts_stand_on_the_paper_that_shows_them_largest(answer):
    sheets = posts_of(shop_book(answer("plain")))
    assert all(sheet.paper.width < sheet.paper.height for sheet in sheets)
    assert {sheet.scale for sheet in sheets} == {'1 1/2" = 1\'-0"'}


def test_wide_posts_at_a_large_scale_keep_their_figures_in_their_strips(answer, make_text):
    text = make_text(posts='["-6", "62 3/16"]', parts={"width": "4", "base": "6"})
    book = shop_book(answer(text), "ARCH C")
    assert {sheet.scale for sheet in posts_of(book)} == {'3" = 1\'-0"'}
    for sheet in posts_of(book):
        assert not overlaps(sheet.primitives, sheet.border)
        figures = [part.content for part in sheet.primitives if isinstance(part, Text)]
        assert any("/16" in figure and len(figure) >= 9 for figure in figures)


@pytest.mark.parametrize("name", ["plain", "two bays", "level", "metric", "to a wall", "plumb cut"])
def test_bracket_holes_are_ticked_on_the_posts_and_said_under_them(name, answer, with_plate):
    inch = name != "metric"
    holes = '[["1/2", "3/4"], ["0", "-3/4"]]' if inch else "[[15, 20], [0, -20]]"
    one = answer(with_plate(name, f"holes = {holes}"))
    job = one.job
    standing = poles(one, cut_list(one))
    found, words = [], []
    for sheet in posts_of(shop_book(one)):
        assert not overlaps(sheet.primitives, sheet.border)
        scale = ratio(sheet, job.units)
        foot = next(part for part in sheet.primitives if part.group == "ground").points[0][1]
        found += [
            (part.points[0][1] - foot) / scale
            for part in sheet.primitives
            if part.group == "hole-mark"
        ]
        words += [part.content for part in sheet.primitives if isinstance(part, Text)]
    drilled = [
        mark + up
        for pole in standing
        for face in (pole.left, pole.right)
        if face is not None
        for mark in (face.bottom, face.top)
        for _, up in job.bracket.holes
    ]
    wanted = [millimetres(height, job.units) for height in drilled]
    assert found == pytest.approx(wanted, abs=0.05)
    said = " ".join(words).replace(",", "").replace(":", "").split("DRILL AT")
    assert len(said) > 1
    for height in drilled:
        assert length_text(height, job.units, job.tape, unit=inch) in " ".join(said[1:])


@pytest.mark.parametrize("units, gap", [
    ("in", "-1 1/2"), ("in", "-2"), ("in", "-3 7/8"), ("mm", "-64"), ("mm", "-76"),
])  # fmt: skip
def test_a_post_with_a_mark_below_its_surface_goes_on_below_it(units, gap, answer, make_text):
    places = '["-4", "55"]' if units == "in" else '["-100", "1370"]'
    side = '"1 1/2"' if units == "in" else '"38"'
    one = answer(make_text(units, side_gap=side, bottom_gap=f'"{gap}"', posts=places))
    upper = poles(one, cut_list(one))[-1]
    assert upper.left.bottom < 0 and upper.below == -upper.left.bottom
    for sheet in shop_book(one).sheets:
        assert not overlaps(sheet.primitives, sheet.border)
    (sheet,) = posts_of(shop_book(one))
    foot = next(part for part in sheet.primitives if part.group == "ground").points[0][1]
    mark = foot - millimetres(upper.below, units) * ratio(sheet, units)
    sides = [
        part for part in sheet.primitives
        if isinstance(part, Stroke) and part.group == "post" and part.points[-1][1] < mark
    ]  # fmt: skip
    assert len(sides) == 2
    words = {part.content: part.at for part in sheet.primitives if isinstance(part, Text)}
    figure = length_text(-upper.below, units, one.job.tape, unit=units == "in")
    assert figure.startswith("-") and figure in words
    assert words["TOWARD 1.1"][1] < mark and words["GOES ON BELOW THE SURFACE:"][1] < mark
    assert words["BOTTOM"][1] != words["TOWARD 1.1"][1]
    assert [part.content for part in sheet.primitives if isinstance(part, Text)].count("OFF") == 1
