"""Lists run over pages as they need: heads stay with rows, tables keep within the room."""

from __future__ import annotations

import pytest

from stairs.drawing.paper.lettering import SMALL, USUAL
from stairs.drawing.paper.primitives import Text
from stairs.drawing.placing.extents import box_of
from stairs.drawing.placing.inspection import overlaps
from stairs.drawing.sheets.page_text import Column, Flow, largest

AREA = (10.0, 10.0, 110.0, 90.0)
HEADS = (Column("POST", True), Column("STANDS", least=20.0), Column("VERDICT", verdict=True))


def words(page):
    return [one.content for one in page if isinstance(one, Text)]


def rows_of(count):
    return [(f"{k}.1", f"on row {k}", "pass") for k in range(count)]


def test_a_head_is_lettered_again_on_every_page_and_never_alone():
    flow = Flow(AREA)
    flow.table(HEADS, rows_of(40))
    assert len(flow.pages) > 1
    for page in flow.pages:
        assert words(page)[:3] == ["POST", "STANDS", "VERDICT"]
        assert len(words(page)) > 3
    shown = [word for page in flow.pages for word in words(page) if word.startswith("on row")]
    assert shown == [f"on row {k}" for k in range(40)]


@pytest.mark.parametrize("left", [6.0, 9.0, 12.0, 15.0, 18.0, 21.0])
def test_neither_heading_nor_head_is_left_at_the_foot(left):
    flow = Flow(AREA)
    flow.paragraph("above")
    flow.y = AREA[1] + left
    flow.heading("Posts")
    flow.table(HEADS, rows_of(2))
    (page,) = (page for page in flow.pages if "Posts" in words(page))
    assert "on row 0" in words(page)


@pytest.mark.parametrize("width", [37.0, 45.0, 60.0, 100.0])
def test_a_table_never_leaves_its_room(width):
    flow = Flow((10.0, 10.0, 10.0 + width, 200.0))
    rows = [("1.1", "onewordthatislongerthanthewholeroom and more", "fail"), *rows_of(3)]
    flow.table(HEADS, rows)
    for page in flow.pages:
        assert not overlaps(page, (9.8, 10.0, 10.0 + width + 0.7, 200.0))


def test_a_cell_without_end_is_cut_short():
    flow = Flow(AREA)
    flow.table((Column("NAME"), Column("WHAT", least=10.0)), [("one", "word " * 500)])
    assert len(flow.pages) == 1
    assert words(flow.pages[0])[-1].endswith("...")


def heights(pages):
    return {one.height for page in pages for one in page if isinstance(one, Text)}


def test_lettering_is_as_large_as_costs_no_sheet():
    def few(flow):
        flow.table(HEADS, rows_of(4))

    def many(flow):
        flow.table(HEADS, rows_of(14))

    assert heights(largest((few,), AREA)) == {USUAL}
    assert heights(largest((many,), AREA)) == {SMALL}
    assert len(largest((many,), AREA)) == 1


def test_the_order_that_takes_fewer_sheets_is_taken():
    def one_way(flow):
        flow.fresh()
        flow.paragraph("late")

    def other_way(flow):
        flow.paragraph("early")

    pages = largest((one_way, other_way), AREA)
    assert [words(page) for page in pages] == [["early"]]


def test_columns_stand_side_by_side_under_what_lowers_the_first_page():
    def build(flow):
        for k in range(60):
            flow.paragraph(f"line {k}")

    pages = largest((build,), AREA, (2,), lowered=30.0)
    tops = [max(box_of(one).center[1] for one in page) for page in pages]
    assert tops[0] < AREA[3] - 30.0 < tops[1]
    lefts = sorted({round(one.at[0], 3) for one in pages[0]})
    assert lefts == pytest.approx([10.0, 66.0])


def test_where_words_must_be_broken_the_smaller_lettering_is_taken():
    def wide(flow):
        flow.table((Column("NAME", True), Column("OTHER", True)), [("x" * 40, "y" * 40)])

    assert heights(largest((wide,), AREA)) == {SMALL}
