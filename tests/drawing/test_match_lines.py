"""Views too long for a sheet are cut at posts, and nothing is lost or told twice."""

from __future__ import annotations

import io

import ezdxf
import pypdf
import pytest
from click.testing import CliRunner
from ezdxf import recover

from stairs.cli.commands import main
from stairs.drawing import draw_elevation, write
from stairs.drawing.files.dxf import dxf_bytes
from stairs.drawing.paper.primitives import Stroke, Text
from stairs.drawing.placing.inspection import overlaps
from stairs.drawing.views.elevation.match_lines import parts_of
from stairs.errors import SheetError


@pytest.fixture(scope="module")
def long(solution, make_text):
    text = make_text(kind='"level"', span='"600"', bays="8", bottom_gap='"2"')
    return solution(text), draw_elevation(solution(text), paper="tabloid")


@pytest.fixture(scope="module")
def longer(solution, make_text):
    text = make_text(kind='"level"', span='"600"', bays="8", bottom_gap='"2"')
    return solution(text), draw_elevation(solution(text), paper="letter", scale="1/2")


@pytest.fixture(scope="module")
def flight(solution, make_text):
    text = make_text(treads="16", bays="4")
    return solution(text), draw_elevation(solution(text), paper="tabloid", scale="1/2")


def sheets_of(drawn):
    return (drawn, *drawn.following)


def words(primitives):
    return [one.content for one in primitives if isinstance(one, Text)]


@pytest.mark.parametrize("name", ["long", "longer", "flight"])
def test_every_bay_and_post_is_on_one_part(name, request):
    solution, drawn = request.getfixturevalue(name)
    section = solution.sections[0].section
    parts = [part for one in sheets_of(drawn) for part in one.parts]
    assert len(parts) > 1
    rails = [one.name for part in parts for one in part.dimensions if one.name.startswith("rail")]
    assert sorted(rails) == sorted(f"rail length bay {bay.number}" for bay in section.bays)
    named = {one for sheet in sheets_of(drawn) for one in words(sheet.labels)}
    assert {f"POST {post.number}" for post in section.posts} <= named


@pytest.mark.parametrize("name", ["long", "longer", "flight"])
def test_all_parts_have_one_scale_and_no_fault(name, request):
    _, drawn = request.getfixturevalue(name)
    for one in sheets_of(drawn):
        assert one.scale == drawn.scale
        assert overlaps(one.primitives, one.paper.border) == []
        # on a sheet and at a scale that were asked for, a label may find no room; the column has it
        assert len(one.unplaced) <= 1
        column = " ".join(item.content for item in one.furniture if hasattr(item, "content"))
        assert all(word in column for label in one.unplaced for word in label.split())


def test_parts_stand_on_one_sheet_where_there_is_room(long):
    _, drawn = long
    assert drawn.following == ()
    assert len(drawn.parts) == 2
    assert words(drawn.primitives).count("MATCH LINE A") == 2


def test_both_sides_of_a_match_line_lie_at_the_same_post(long):
    solution, drawn = long
    section = solution.sections[0].section
    posts = [post.x for post in section.posts]
    places: dict[str, set] = {}
    for part in drawn.parts:
        for one in part.work:
            if isinstance(one, Stroke) and one.group == "match-line":
                places.setdefault(one.owner, set()).add(round(part.view.back(one.points[0])[0], 6))
    assert set(places) == {"A"}
    for found in places.values():
        (x,) = found
        assert any(abs(x - post) < 1e-6 for post in posts)


def test_running_dimensions_go_on_from_the_same_origin(long):
    solution, drawn = long
    found = {one.name: one.value for part in drawn.parts for one in part.dimensions}
    for post in solution.sections[0].section.posts:
        assert found[f"post {post.number} position"] == pytest.approx(post.x)


def test_what_spans_parts_is_told_in_the_column(flight):
    _, drawn = flight
    told = " ".join(word for one in sheets_of(drawn) for word in words(one.furniture))
    assert "OF THE WHOLE VIEW" in told
    assert "total run: 16 TREADS" in told


def test_sheets_are_numbered(longer):
    _, drawn = longer
    count = len(sheets_of(drawn))
    assert count > 1
    for number, one in enumerate(sheets_of(drawn), start=1):
        assert f"{number} OF {count}" in words(one.furniture)


def test_a_pdf_has_a_page_for_each_and_pictures_are_numbered(longer, tmp_path):
    _, drawn = longer
    write(drawn, tmp_path / "run.pdf")
    assert len(pypdf.PdfReader(tmp_path / "run.pdf").pages) == len(sheets_of(drawn))
    write(drawn, tmp_path / "run.svg")
    found = sorted(path.name for path in tmp_path.glob("*.svg"))
    wanted = ["run.svg", *(f"run-{k}.svg" for k in range(2, len(sheets_of(drawn)) + 1))]
    assert found == sorted(wanted)


def test_the_command_names_every_file_that_it_writes(make_text, tmp_path):
    job = tmp_path / "run.toml"
    job.write_text(make_text(kind='"level"', span='"600"', bays="8", bottom_gap='"2"'))
    words = ["draw", str(job), "-o", str(tmp_path / "run.svg"), "--paper", "letter"]
    told = CliRunner().invoke(main, [*words, "--scale", "1/2"])
    assert told.exit_code == 0
    written = sorted(tmp_path.glob("*.svg"))
    assert len(written) > 1
    named = [row.removesuffix(': 1/2" = 1\'-0" on letter') for row in told.output.splitlines()]
    assert sorted(named) == sorted(map(str, written))


def test_a_dxf_file_has_the_whole_run_once(longer):
    solution, drawn = longer
    document, auditor = recover.read(io.BytesIO(dxf_bytes(drawn)))
    assert not auditor.has_errors
    section = solution.sections[0].section
    names = [f"Sheet {k}" for k in range(2, len(sheets_of(drawn)) + 1)]
    assert {"Sheet", *names} <= set(document.layouts.names())
    rails = document.modelspace().query('LWPOLYLINE[layer=="GUARD-RAIL"]')
    assert len(rails) == 2 * len(section.bays)
    reach = [x for rail in rails for x, *_ in rail.get_points()]
    assert max(reach) > section.posts[-2].x
    assert document.units == ezdxf.units.IN


def test_a_run_that_fits_is_not_cut(solution, make_text):
    text = make_text(kind='"level"', span='"132"', bays="3", bottom_gap='"2"')
    drawn = draw_elevation(solution(text))
    assert drawn.parts == ()
    assert drawn.whole is None


def test_a_guard_taller_than_the_paper_is_refused(solution, make_text):
    text = make_text(
        kind='"level"', span='"110"', bays="1", bottom_gap='"2"', parts={"stock": '["120"]'}
    )
    with pytest.raises(SheetError, match="the view does not fit on letter at 3"):
        draw_elevation(solution(text), paper="letter", scale="3")


def test_parts_are_as_few_as_can_be(solution, make_text):
    section = (
        solution(make_text(kind='"level"', span='"600"', bays="8", bottom_gap='"2"'))
        .sections[0]
        .section
    )
    xs = [post.x for post in section.posts]

    def holds_three_bays_at_most(part):
        low, _, high, _ = part.edges
        return sum(low <= x <= high for x in xs) <= 4

    parts = parts_of(section, holds_three_bays_at_most)
    assert [part.edges[2] for part in parts[:-1]] == [xs[3], xs[6]]
    assert parts_of(section, lambda part: False) is None
    assert parts_of(section, lambda part: False, within=True) is None
    assert [part.words for part in parts] == [
        "PART 1 OF 3, TO MATCH LINE A",
        "PART 2 OF 3, TO MATCH LINES A AND B",
        "PART 3 OF 3, TO MATCH LINE B",
    ]


# --------------------------------------------------------------------------- cuts within a bay


@pytest.fixture(scope="module")
def wide(solution, make_text):
    parts = {"stock": '["240"]'}
    text = make_text(kind='"level"', span='"216"', bays="1", bottom_gap='"2"', parts=parts)
    return solution(text), draw_elevation(solution(text), paper="letter", scale="1/2")


@pytest.fixture(scope="module")
def steep(solution, make_text):
    text = make_text(treads="14", bays="1", parts={"stock": '["240"]'})
    return solution(text), draw_elevation(solution(text), paper="tabloid", scale="1")


@pytest.mark.parametrize("name", ["wide", "steep"])
def test_a_bay_wider_than_the_paper_is_cut_between_balusters(name, request):
    solution, drawn = request.getfixturevalue(name)
    xs = solution.sections[0].section.bays[0].baluster_x
    gaps = [(a + b) / 2 for a, b in zip(xs, xs[1:], strict=False)]
    parts = [part for one in sheets_of(drawn) for part in one.parts]
    assert len(parts) > 2
    cuts: dict[str, set] = {}
    for part in parts:
        for one in part.work:
            if isinstance(one, Stroke) and one.group == "match-line":
                cuts.setdefault(one.owner, set()).add(round(part.view.back(one.points[0])[0], 6))
    assert len(cuts) == len(parts) - 1
    for found in cuts.values():
        (x,) = found  # the same on both sides
        assert any(abs(x - gap) < 1e-6 for gap in gaps)
    for one in sheets_of(drawn):
        assert overlaps(one.primitives, one.paper.border) == []
        assert one.unplaced == ()
        lettered = words(one.primitives)
        letters = [letter for part in one.parts for letter in _cut_letters(part)]
        assert sorted(w for w in lettered if w.startswith("MATCH LINE")) == sorted(
            f"MATCH LINE {letter}" for letter in letters
        )


def _cut_letters(part):
    return {one.owner for one in part.work if isinstance(one, Stroke) and one.group == "match-line"}


@pytest.mark.parametrize("name", ["wide", "steep"])
def test_every_baluster_of_a_cut_bay_is_on_some_part(name, request):
    solution, drawn = request.getfixturevalue(name)
    xs = solution.sections[0].section.bays[0].baluster_x
    seen = set()
    for sheet in sheets_of(drawn):
        for part in sheet.parts:
            for one in part.work:
                if one.group == "baluster" and isinstance(one, Stroke) and one.closed:
                    middles = [part.view.back(point)[0] for point in one.points]
                    seen.add(round((min(middles) + max(middles)) / 2, 6))
    assert {round(x, 6) for x in xs} <= seen


def test_the_length_of_a_cut_rail_stands_in_the_column(wide):
    _, drawn = wide
    for one in sheets_of(drawn):
        column = words(one.furniture)
        assert "OF THE WHOLE VIEW" in column
        assert "rail length bay 1: 17'-6\"" in column


def test_a_failure_is_flagged_once_in_a_broken_view(wide):
    _, drawn = wide
    flags = [
        part.owner for one in sheets_of(drawn) for part in one.labels
        if isinstance(part, Text) and part.content.startswith("FAIL")
    ]  # fmt: skip
    assert flags
    assert len(flags) == len(set(flags))


def test_break_lines_reach_a_little_past_what_they_break(steep):
    solution, drawn = steep
    (x0, y0), (x1, y1) = solution.sections[0].section.bays[0].top_rail[1:3]
    found = 0
    for part in (part for sheet in sheets_of(drawn) for part in sheet.parts):
        for one in (one for one in part.work if one.group == "break"):
            low, high = sorted((one.points[0], one.points[-1]), key=lambda point: point[1])
            x = part.view.back(high)[0]
            if low[0] != high[0] or not x0 < x < x1:
                continue  # no cut of the bay: the landing's own break line
            rail = part.view.at((x, y0 + (y1 - y0) * (x - x0) / (x1 - x0)))
            assert high[1] == pytest.approx(rail[1] + 2.0, abs=0.5)
            found += 1
    assert found == 2 * (sum(len(one.parts) for one in sheets_of(drawn)) - 1)


@pytest.mark.parametrize("name", ["long", "longer", "flight"])
def test_what_is_alike_on_all_parts_is_lettered_once_a_sheet(name, request):
    _, drawn = request.getfixturevalue(name)
    for one in sheets_of(drawn):
        told = words(one.labels)
        assert sum(word.endswith(" CLEAR") for word in told) == 1
        rows = [f"{row} {after}" for row, after in zip(told, told[1:], strict=False)
                if row.startswith("Ø ")]  # fmt: skip
        alike = [row.rstrip("0123456789") for row in rows]
        assert alike
        assert len(alike) == len(set(alike))
