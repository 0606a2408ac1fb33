"""Shop sheets hold what the cut list says, drawn true to scale, with nothing written over."""

from __future__ import annotations

import io

import pdfplumber
import pypdf
import pytest

from stairs.drawing.files.pdf import book_bytes
from stairs.drawing.paper.primitives import Arc, Stroke, Text
from stairs.drawing.paper.sheet_sizes import scale_named
from stairs.drawing.placing.inspection import overlaps
from stairs.drawing.sets.shop.posts import poles
from stairs.drawing.sets.shop.rails import spread
from stairs.drawing.sets.shop.shop import shop_book
from stairs.drawing.sheets.page import millimetres
from stairs.errors import SheetError
from stairs.job import job_from_text
from stairs.lengths.tape_marks import length_text
from stairs.lists.cut_list import cut_list
from stairs.lists.rail_plans import rail_plans
from stairs.solution import solution_for

JOBS = ("plain", "two bays", "fourteen risers", "plumb cut", "metric", "level", "failing")


def rails_of(book):
    return [one for one in book.sheets if one.name.startswith("Rails")]


def posts_of(book):
    return [one for one in book.sheets if one.name.startswith("Posts")]


def ratio(sheet, units):
    return float(scale_named(sheet.scale, units).ratio)


def texts(sheets):
    return [one.content for sheet in sheets for one in sheet.primitives if isinstance(one, Text)]


def test_nothing_overlaps_or_leaves_the_border(named, book):
    for sheet in book(shop_book, named).sheets:
        assert not overlaps(sheet.primitives, sheet.paper.border)


def test_a_long_heading_of_a_rail_does_not_run_into_its_boxes(make_text):
    text = make_text(
        bracket="plumb-cut", parts={"stock": '["12"]', "pitch": "3 3/4"}, hand='"both"'
    )
    book = shop_book(solution_for(job_from_text(text), for_sheets=True), "letter")
    assert "no stock length is long enough" in texts(rails_of(book))
    for sheet in book.sheets:
        assert not overlaps(sheet.primitives, sheet.paper.border)


def test_letters_are_never_too_small(named, book):
    for sheet in book(shop_book, named).sheets:
        assert min(one.height for one in sheet.primitives if isinstance(one, Text)) >= 2.5


def bars_on(book, units):
    """What is drawn: for each bar its length, and from its lower end the cuts and holes of each
    rail with its name; lengths in millimetres of the work."""
    bars = []
    for sheet in rails_of(book):
        scale = ratio(sheet, units)
        for part in sheet.primitives:
            if getattr(part, "group", "") == "stock":
                start = part.points[0][0]
                bars.append(((part.points[1][0] - start) / scale, []))
            elif getattr(part, "group", "") == "piece":
                foot_low, foot_high, top_high, top_low = (x for x, _ in part.points)
                cuts = (foot_low + top_low) / 2, (foot_high + top_high) / 2
                bars[-1][1].append((part.owner, *((x - start) / scale for x in cuts), []))
            elif getattr(part, "group", "") == "hole" and isinstance(part, Arc):
                bars[-1][1][-1][3].append((part.center[0] - start) / scale)
    return bars


@pytest.mark.parametrize("name", ["plain", "two bays", "fourteen risers", "plumb cut", "metric"])
def test_each_stock_rail_is_drawn_to_scale_with_what_is_cut_from_it(name, solution):
    """Every rail of the cut list comes from one stock rail that is bought, its holes where the
    list has them, and stock rails that are cut alike are drawn once."""
    one = solution(name)
    units, panel = one.job.units, one.job.panel
    cuts = {label: cut for cut in cut_list(one).rails for label in cut.piece_names}
    plans = rail_plans(cut_list(one), one.guard)
    alike = {}
    for each in plans:
        for rail in each.plan.rails:
            key = rail.stock.length, tuple((p.start, p.end) for p in rail.placed), each.rails
            alike.setdefault(key, []).append([p.piece.name for p in rail.placed])
    drawn = bars_on(shop_book(one), units)
    assert len(drawn) == len(alike)
    for (length, pieces), ((stock, places, _), names) in zip(drawn, alike.items(), strict=True):
        assert length == pytest.approx(millimetres(stock, units))
        assert [piece[0] for piece in pieces] == names[0]
        for (owner, low, high, holes), (start, end) in zip(pieces, places, strict=True):
            cut = cuts[owner]
            assert low == pytest.approx(millimetres(start, units), abs=0.05)
            assert high == pytest.approx(millimetres(end, units), abs=0.05)
            assert high - low == pytest.approx(millimetres(cut.length, units), abs=0.05)
            assert holes == pytest.approx([
                low + millimetres(cut.first_hole + k * panel.pitch, units)
                for k in range(cut.balusters)
            ], abs=0.05)  # fmt: skip
    told = sorted(name for names in alike.values() for each in names for name in each)
    assert told == sorted(cuts)


def test_running_figures_are_all_there_in_order(solution):
    """Over a bar its cuts from the stock's lower end, under it holes and length of each rail."""
    one = solution("two bays")
    shown = [
        part.content for sheet in rails_of(shop_book(one)) for part in sheet.primitives
        if isinstance(part, Text) and part.owner == "running"
    ]  # fmt: skip
    job = one.job
    cuts = {cut.name: cut for cut in cut_list(one).rails}
    wanted, seen = [], set()
    for each in rail_plans(cut_list(one), one.guard):
        for rail in each.plan.rails:
            key = tuple((placed.start, placed.end) for placed in rail.placed), each.rails
            if key in seen:
                continue
            seen.add(key)
            wanted += [at for placed in rail.placed for at in (placed.start, placed.end)]
            for placed in rail.placed:
                cut = cuts[placed.piece.name]
                wanted += [*cut.running, cut.length]
    assert shown == [length_text(place, job.units, job.tape) for place in wanted]


@pytest.mark.parametrize("name", JOBS)
def test_marks_stand_on_the_posts_to_scale(name, solution):
    one = solution(name)
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


def test_every_stock_rail_and_post_has_its_boxes(solution):
    one = solution("two bays")
    cuts = cut_list(one)
    book = shop_book(one)
    boxes = [
        part for sheet in book.sheets for part in sheet.primitives
        if isinstance(part, Stroke) and part.group == "check-box"
    ]  # fmt: skip
    stock = sum(len(each.plan.rails) for each in rail_plans(cuts, one.guard))
    assert len(boxes) == 3 * stock + 2 * len(poles(one, cuts))


def test_a_slanted_cut_leans_as_the_saw_is_set(solution):
    import math

    one = solution("plumb cut")
    section = one.guard.sections[0]
    for sheet in rails_of(shop_book(one)):
        for part in sheet.primitives:
            if getattr(part, "group", "") == "saw-cut":
                (x0, y0), (x1, y1) = part.points
                lean = math.degrees(math.atan2(x1 - x0, y1 - y0))
                assert lean == pytest.approx(section.rake, abs=1e-6)


@pytest.mark.parametrize("name", ["failing", "plain", "metric", "level"])
def test_a_failing_guard_says_do_not_cut(name, solution):
    one = solution(name)
    said = [words for words in texts(shop_book(one).sheets) if words.startswith("DO NOT CUT")]
    assert len(said) == (0 if one.ok else 1)


def test_a_rail_that_no_stock_reaches_says_so(solution, make_text):
    text = make_text(treads="8", bays="1", parts={"stock": '["24"]'})
    words = " ".join(texts(shop_book(solution(text)).sheets))
    assert "no stock length is long enough" in words


def test_the_file_holds_the_figures(solution):
    one = solution("metric")
    data = book_bytes(shop_book(one))
    text = "".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(data)).pages)
    for cut in cut_list(one).rails:
        assert cut.name.upper() in text
        assert length_text(cut.length, "mm", one.job.tape, unit=False) in text
    with pdfplumber.open(io.BytesIO(data)) as file:
        for page in file.pages:
            for char in page.chars:
                assert char["x0"] > 28 and char["x1"] < float(page.width) - 28


def test_a_sheet_that_is_too_small_is_refused(solution, make_text):
    text = make_text(treads="40", bays="1", parts={"stock": '["1200 in"]'})
    with pytest.raises(SheetError, match="the longest rail or post does not fit on letter"):
        shop_book(solution(text), "letter")


def test_spread_keeps_order_and_distance():
    places = spread([0.0, 0.1, 0.2, 9.0], 2.0, 0.0, 20.0)
    assert places == pytest.approx([0.0, 2.0, 4.0, 9.0])
    assert spread([5.0, 5.0], 2.0, 0.0, 20.0) == pytest.approx([4.0, 6.0])


def test_what_is_left_of_each_stock_rail_is_lettered(solution):
    one = solution("two bays")
    words = texts(rails_of(shop_book(one)))
    for each in rail_plans(cut_list(one), one.guard):
        for length, count in each.plan.stock_counts:
            assert any(f"{count} of {length_text(length, 'in', one.job.tape)}" in row
                       for row in words)  # fmt: skip
    assert any(row.startswith("left over: ") for row in words)


def test_no_rail_is_drawn_on_a_stock_rail_that_is_not_bought(solution, make_text):
    """Eight rails of 38 come from four of 96: four bars at most, and no other stock in any word."""
    level = (
        '\n[[section]]\nname = "edge"\nkind = "level"\nspan = "88"\nbays = 2\n'
        'bottom_gap = "2"\nturn = 90\n'
    )
    one = solution(make_text(treads="3", bays="1", parts={"stock": '["60", "96"]'}) + level)
    book = shop_book(one)
    bought = [rail for each in rail_plans(cut_list(one), one.guard) for rail in each.plan.rails]
    words = texts(rails_of(book))
    numbers = [
        int(number)
        for row in words if row.startswith("STOCK ")
        for number in row.removeprefix("STOCK ").split(":")[0].split(", ")
    ]  # fmt: skip
    assert sorted(numbers) == list(range(1, len(bought) + 1))
    assert not any(row.endswith(" OFF") for row in words)
    assert not any(sheet.name.startswith("Cutting") for sheet in book.sheets)


def test_a_rail_that_no_stock_holds_is_named_beside_the_plan(solution, make_text):
    level = (
        '\n[[section]]\nname = "edge"\nkind = "level"\nspan = "90"\nbays = 1\n'
        'bottom_gap = "2"\nturn = 90\n'
    )
    one = solution(make_text(treads="3", bays="1", parts={"stock": '["60"]'}) + level)
    words = texts(rails_of(shop_book(one)))
    assert [row for row in words if row.startswith("NOT CUT")] == [
        "NOT CUT: 2.1 TOP", "NOT CUT: 2.1 BOTTOM",
    ]  # fmt: skip
    assert words.count("no stock length is long enough") == 2


def test_posts_stand_on_the_paper_that_shows_them_largest(book):
    sheets = posts_of(book(shop_book, "plain"))
    assert all(sheet.paper.width < sheet.paper.height for sheet in sheets)
    assert {sheet.scale for sheet in sheets} == {'1 1/2" = 1\'-0"'}


def test_wide_posts_at_a_large_scale_keep_their_figures_in_their_strips(solution, make_text):
    text = make_text(posts='["-6", "62 3/16"]', parts={"width": "4", "base": "6"})
    book = shop_book(solution(text), "ARCH C")
    assert {sheet.scale for sheet in posts_of(book)} == {'3" = 1\'-0"'}
    for sheet in posts_of(book):
        assert not overlaps(sheet.primitives, sheet.paper.border)
        figures = [part.content for part in sheet.primitives if isinstance(part, Text)]
        assert any("/16" in figure and len(figure) >= 9 for figure in figures)


@pytest.mark.parametrize("name", ["plain", "two bays", "level", "metric", "to a wall", "plumb cut"])
def test_bracket_holes_are_ticked_on_the_posts_and_said_under_them(name, solution, with_plate):
    inch = name != "metric"
    holes = '[["1/2", "3/4"], ["0", "-3/4"]]' if inch else "[[15, 20], [0, -20]]"
    one = solution(with_plate(name, f"holes = {holes}"))
    job = one.job
    standing = poles(one, cut_list(one))
    found, words = [], []
    for sheet in posts_of(shop_book(one)):
        assert not overlaps(sheet.primitives, sheet.paper.border)
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
def test_a_post_with_a_mark_below_its_surface_goes_on_below_it(units, gap, solution, make_text):
    places = '["-4", "55"]' if units == "in" else '["-100", "1370"]'
    side = '"1 1/2"' if units == "in" else '"38"'
    one = solution(make_text(units, side_gap=side, bottom_gap=f'"{gap}"', posts=places))
    upper = poles(one, cut_list(one))[-1]
    assert upper.left.bottom < 0 and upper.cut.below == -upper.left.bottom
    for sheet in shop_book(one).sheets:
        assert not overlaps(sheet.primitives, sheet.paper.border)
    (sheet,) = posts_of(shop_book(one))
    foot = next(part for part in sheet.primitives if part.group == "ground").points[0][1]
    mark = foot - millimetres(upper.cut.below, units) * ratio(sheet, units)
    sides = [
        part for part in sheet.primitives
        if isinstance(part, Stroke) and part.group == "post" and part.points[-1][1] < mark
    ]  # fmt: skip
    assert len(sides) == 2
    words = {part.content: part.at for part in sheet.primitives if isinstance(part, Text)}
    figure = length_text(-upper.cut.below, units, one.job.tape, unit=units == "in")
    assert figure.startswith("-") and figure in words
    assert words["TOWARD 1.1"][1] < mark and words["GOES ON BELOW THE SURFACE:"][1] < mark
    assert words["BOTTOM"][1] != words["TOWARD 1.1"][1]
    assert [part.content for part in sheet.primitives if isinstance(part, Text)].count("OFF") == 1
