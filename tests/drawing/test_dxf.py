"""DXF files pass the library's audit and measure as the guard does."""

from __future__ import annotations

import io
import math
from collections import Counter
from itertools import pairwise

import ezdxf
import pytest
from ezdxf import recover

from stairs.drawing import draw_elevation
from stairs.drawing.files.dxf import dxf_bytes, layer_names
from stairs.drawing.paper.primitives import Text
from stairs.drawing.placing.dimensions import RUNNING
from stairs.drawing.placing.extents import box_of
from stairs.drawing.views.plan.plan import draw_plan


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
        wanted = abs(dimension.value) if dimension.kind == RUNNING else dimension.value
        assert entity.get_measurement() == pytest.approx(wanted, rel=1e-9, abs=1e-9)


def test_the_work_is_at_full_size(named, sheet, solution):
    section = solution(named).sections[0].section
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


def test_rails_are_as_long_as_they_are_cut(sheet, solution):
    section = solution("two bays").sections[0].section
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


def test_the_same_sheet_is_the_same_file(solution):
    first = dxf_bytes(draw_elevation(solution("plain")))
    assert dxf_bytes(draw_elevation(solution("plain"))) == first


def test_percent_signs_are_no_commands(solution, make_text):
    drawn = draw_elevation(solution(make_text(title="%%c of 100%")))
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
def turned_plan(solution, make_text):
    one = solution(make_text(posts='["-4", "56"]') + SIDE)
    return one, draw_plan(one)


def test_a_plan_passes_the_audit_and_has_the_units_of_the_job(turned_plan):
    _, drawn = turned_plan
    document = read(drawn)
    assert document.units == ezdxf.units.IN
    auditor = document.audit()
    assert not auditor.errors
    assert not auditor.fixes


def test_a_plan_measures_from_each_sections_origin_to_its_posts(turned_plan):
    solution, drawn = turned_plan
    entities = list(read(drawn).modelspace().query("DIMENSION"))
    wanted = []
    for part in solution.sections:
        xs = [post.x for post in part.section.posts]
        wanted += [abs(x) for x in xs if x] + [b - a for a, b in pairwise(xs)]
    assert len(wanted) == 5  # two posts from the first nosing, one bay; then the level run
    measured = [entity.get_measurement() for entity in entities]
    assert measured == [pytest.approx(length) for length in wanted]
    for entity, dimension in zip(entities, drawn.dimensions, strict=True):
        assert entity.dxf.text == dimension.lettered or "'" in entity.dxf.text
        points = entity.dxf.defpoint2, entity.dxf.defpoint3
        assert math.dist(*((point.x, point.y) for point in points)) == pytest.approx(
            dimension.value
        )


def test_a_plan_letters_every_length_once_and_no_figure_upside_down(turned_plan):
    _, drawn = turned_plan
    model = read(drawn).modelspace()
    figures = [entity.dxf.text for entity in model.query("DIMENSION")]
    texts = [entity.dxf.text for entity in model.query("TEXT")]
    assert len(figures) == 5 and not set(figures) & set(texts)
    for entity in model.query("DIMENSION"):
        assert -90 < entity.dxf.text_rotation % 360 <= 90


def lettering(sheet):
    """Content, middle on paper and turn of every line of lettering on the view."""
    return sorted(
        (one.content, *(round(at, 6) for at in box_of(one).center), round(one.rotation % 360, 6))
        for one in (*sheet.labels, *sheet.dimension_lines) if isinstance(one, Text)
    )  # fmt: skip


@pytest.mark.parametrize("name", ["plain", "metric", "level", "turned plan"])
def test_every_figure_stands_where_the_sheet_has_it(name, sheet, turned_plan):
    drawn = turned_plan[1] if name == "turned plan" else sheet(name)
    document = read(drawn)
    wanted = [one for one in lettering(drawn) if not one[0].endswith("°")]
    found = []
    for entity in document.modelspace().query("DIMENSION"):
        for text in document.blocks.get(entity.dxf.geometry).query("MTEXT"):
            x, y = drawn.view.at((text.dxf.insert.x, text.dxf.insert.y))
            found.append((entity.dxf.text, x, y, text.dxf.rotation % 360))
    for words, x, y, turn in found:
        if words.endswith("°"):
            continue
        near = min((one for one in wanted if one[0] == words),
                   key=lambda one, at=(x, y): math.dist(one[1:3], at))  # fmt: skip
        assert math.dist(near[1:3], (x, y)) < 0.01 and near[3] == pytest.approx(turn)
    counts = Counter(one[0] for one in found) + Counter(
        entity.dxf.text for entity in document.modelspace().query("TEXT")
    )
    numbers = Counter(one.content for one in drawn.work if isinstance(one, Text))
    assert counts - numbers == Counter(one[0] for one in lettering(drawn)) - numbers


@pytest.mark.parametrize("name", ["plain", "turned plan"])
def test_the_layout_shows_all_lettering_and_extents_are_set(name, sheet, turned_plan):
    drawn = turned_plan[1] if name == "turned plan" else sheet(name)
    document = read(drawn)
    (viewport,) = [
        one for one in document.layouts.get("Sheet").query("VIEWPORT") if one.dxf.id != 1
    ]
    scale = viewport.dxf.view_height / viewport.dxf.height
    x, y = viewport.dxf.view_center_point.x, viewport.dxf.view_center_point.y
    wide, high = viewport.dxf.width * scale / 2, viewport.dxf.height * scale / 2
    low, top = document.header["$EXTMIN"], document.header["$EXTMAX"]
    for entity in document.modelspace().query("TEXT"):
        at = entity.get_placement()[1]
        assert abs(at.x - x) < wide and abs(at.y - y) < high
        assert low[0] <= at.x <= top[0] and low[1] <= at.y <= top[1]
    for entity in document.modelspace().query("DIMENSION"):
        at = entity.dxf.text_midpoint
        assert abs(at.x - x) < wide and abs(at.y - y) < high
        assert low[0] <= at.x <= top[0] and low[1] <= at.y <= top[1]


def test_posts_and_treads_of_a_plan_are_at_full_size(turned_plan):
    solution, drawn = turned_plan
    model = read(drawn).modelspace()

    def sides(layer):
        for entity in model.query(f'LWPOLYLINE[layer=="{layer}"]'):
            points = [(x, y) for x, y, *_ in entity.get_points()]
            if entity.closed and len(points) == 4:
                yield sorted((math.dist(points[0], points[1]), math.dist(points[1], points[2])))

    post = solution.sections[0].section.posts[0]
    squares = list(sides("GUARD-POST"))
    distinct = sum(len(part.section.posts) for part in solution.sections) - 1  # one is shared
    for side in (post.width, post.base):
        assert sum(one == pytest.approx([side, side]) for one in squares) == distinct
    treads = list(sides("STAIR-TREAD"))
    assert len(treads) == solution.sections[0].section.flight.treads
    run = float(solution.sections[0].section.flight.unit_run)
    assert all(one[0] == pytest.approx(run) for one in treads)  # the shorter side


def test_a_plan_has_a_viewport_at_its_scale(turned_plan):
    _, drawn = turned_plan
    layout = read(drawn).layouts.get("Sheet")
    (viewport,) = [one for one in layout.query("VIEWPORT") if one.dxf.id != 1]
    assert viewport.dxf.height / viewport.dxf.view_height == pytest.approx(drawn.view.unit)
