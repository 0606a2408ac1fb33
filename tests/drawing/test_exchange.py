"""DXF files pass the library's audit and measure as the guard does."""

from __future__ import annotations

import io
import math

import ezdxf
import pytest
from ezdxf import recover

from stairs.drawing import draw_elevation
from stairs.drawing.dimensions import ANGLE, RUNNING
from stairs.drawing.exchange import dxf_bytes, layer_names
from stairs.drawing.plan_view import draw_plan
from stairs.drawing.primitives import Text


def read(sheet):
    document, auditor = recover.read(io.BytesIO(dxf_bytes(sheet)))
    assert not auditor.has_errors
    assert not auditor.has_fixes
    return document


def test_passes_the_audit(named, sheet):
    auditor = read(sheet(named)).audit()
    assert not auditor.errors
    assert not auditor.fixes


def test_units_are_those_of_the_job(sheet):
    assert read(sheet("plain")).units == ezdxf.units.IN
    assert read(sheet("metric")).units == ezdxf.units.MM


def test_dimensions_are_entities_that_measure_for_themselves(named, sheet):
    drawn = sheet(named)
    entities = list(read(drawn).modelspace().query("DIMENSION"))
    assert len(entities) == len(drawn.dimensions)
    for entity, dimension in zip(entities, drawn.dimensions, strict=True):
        measured = entity.get_measurement()
        if dimension.kind == RUNNING:
            measured = measured.x
        assert measured == pytest.approx(dimension.value, rel=1e-9, abs=1e-9)
        if dimension.kind != ANGLE:
            assert entity.dxf.text == dimension.lettered


def test_the_work_is_at_full_size(named, sheet, answer):
    section = answer(named).sections[0].section
    posts = [
        [(x, y) for x, y, *_ in entity.get_points()]
        for entity in read(sheet(named)).modelspace().query('LWPOLYLINE[layer=="GUARD-POST"]')
        if entity.closed
    ]
    for post in section.posts:
        if post.wall:
            continue
        wanted = (post.x - post.width / 2, post.x + post.width / 2, post.surface + post.height)
        assert any(
            (min(x for x, _ in one), max(x for x, _ in one), max(y for _, y in one))
            == pytest.approx(wanted)
            for one in posts
        ), post


def test_rails_are_as_long_as_they_are_cut(sheet, answer):
    section = answer("two bays").sections[0].section
    rails = read(sheet("two bays")).modelspace().query('LWPOLYLINE[layer=="GUARD-RAIL"]')
    lengths = []
    for rail in rails:
        points = [(x, y) for x, y, *_ in rail.get_points()]
        lengths.append(math.dist(points[1], points[2]))
    assert lengths == [
        pytest.approx(bay.rail_length) for bay in section.bays for _ in ("bottom", "top")
    ]


def test_layers_are_by_trade_and_all_of_them_are_known(sheet):
    document = read(sheet("failing"))
    used = {entity.dxf.layer for entity in document.modelspace()}
    assert {"GUARD-POST", "GUARD-RAIL", "STAIR-TREAD", "DIMENSIONS", "FAILURES"} <= used
    assert used <= set(layer_names())


def test_the_sheet_is_a_layout_with_a_viewport_at_scale(sheet):
    drawn = sheet("plain")
    layout = read(drawn).layouts.get("Sheet")
    (viewport,) = [one for one in layout.query("VIEWPORT") if one.dxf.id != 1]
    assert viewport.dxf.height / viewport.dxf.view_height == pytest.approx(drawn.view.unit)
    written = [one.dxf.text for one in layout.query("TEXT")]
    assert written == [one.content for one in drawn.furniture if isinstance(one, Text)]


def test_the_same_sheet_is_the_same_file(answer):
    first = dxf_bytes(draw_elevation(answer("plain")))
    assert dxf_bytes(draw_elevation(answer("plain"))) == first


def test_percent_signs_are_no_commands(answer, make_text):
    drawn = draw_elevation(answer(make_text(title="%%c of 100%")))
    layout = read(drawn).layouts.get("Sheet")
    written = [one.dxf.text for one in layout.query("TEXT")]
    assert "%%%%%%c of 100%" in written
    assert not any(text.startswith("%%c") for text in written)


# --------------------------------------------------------------------------- the plan

SIDE = """
[[section]]
name = "side"
kind = "level"
span = "48"
bays = 1
bottom_gap = "2"
turn = 90
"""


@pytest.fixture(scope="module")
def turned_plan(answer, make_text):
    one = answer(make_text(posts='["-4", "56"]') + SIDE)
    return one, draw_plan(one)


def test_a_plan_passes_the_audit_and_has_the_units_of_the_job(turned_plan):
    _, drawn = turned_plan
    document = read(drawn)
    assert document.units == ezdxf.units.IN
    auditor = document.audit()
    assert not auditor.errors
    assert not auditor.fixes


def test_a_plan_measures_from_post_to_post_along_each_section(turned_plan):
    answer, drawn = turned_plan
    entities = list(read(drawn).modelspace().query("DIMENSION"))
    wanted = []
    for part in answer.sections:
        marks = sorted({0.0, *(post.x for post in part.section.posts)})
        wanted += [high - low for low, high in zip(marks, marks[1:], strict=False)]
    assert len(wanted) == 3  # first post, nosing, second post; then the level run
    measured = [entity.get_measurement() for entity in entities]
    assert measured == [pytest.approx(length) for length in wanted]
    for entity, dimension in zip(entities, drawn.dimensions, strict=True):
        assert entity.dxf.text == dimension.lettered
        points = entity.dxf.defpoint2, entity.dxf.defpoint3
        assert math.dist(*((point.x, point.y) for point in points)) == pytest.approx(
            dimension.value
        )


def test_posts_and_treads_of_a_plan_are_at_full_size(turned_plan):
    answer, drawn = turned_plan
    model = read(drawn).modelspace()

    def sides(layer):
        for entity in model.query(f'LWPOLYLINE[layer=="{layer}"]'):
            points = [(x, y) for x, y, *_ in entity.get_points()]
            if entity.closed and len(points) == 4:
                yield sorted((math.dist(points[0], points[1]), math.dist(points[1], points[2])))

    post = answer.sections[0].section.posts[0]
    squares = list(sides("GUARD-POST"))
    distinct = sum(len(part.section.posts) for part in answer.sections) - 1  # one is shared
    for side in (post.width, post.base):
        assert sum(one == pytest.approx([side, side]) for one in squares) == distinct
    treads = list(sides("STAIR-TREAD"))
    assert len(treads) == answer.sections[0].section.treads
    run = answer.sections[0].section.unit_run
    assert all(one[0] == pytest.approx(run) for one in treads)  # the shorter side


def test_a_plan_has_a_viewport_at_its_scale(turned_plan):
    _, drawn = turned_plan
    layout = read(drawn).layouts.get("Sheet")
    (viewport,) = [one for one in layout.query("VIEWPORT") if one.dxf.id != 1]
    assert viewport.dxf.height / viewport.dxf.view_height == pytest.approx(drawn.view.unit)
