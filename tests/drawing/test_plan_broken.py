"""A plan larger than its paper is broken over parts, and nothing is lost or told twice."""

from __future__ import annotations

import io
import itertools
import math
import re
from collections import Counter

import ezdxf
import pdfplumber
import pypdf
import pytest
from click.testing import CliRunner

from stairs.cli.commands import main
from stairs.drawing.files.pdf import book_bytes, pdf_bytes
from stairs.drawing.paper.primitives import Arc, Stroke, Text
from stairs.drawing.paper.sheet_sizes import INCH_SCALES, METRIC_SCALES
from stairs.drawing.placing.inspection import overlaps
from stairs.drawing.sets.packet.packet import packet_book
from stairs.drawing.views.plan.plan import draw_plan
from stairs.errors import SheetError
from stairs.guard.plan import plan_of
from stairs.lengths.tape_marks import length_text, round_to_mark

RUN = """
[[section]]
name = "{name}"
kind = "level"
turn = {turn}
span = "{span}"
bays = {bays}
bottom_gap = "{gap}"
drop = "{drop}"
"""
LISTED = {one.words for one in (*INCH_SCALES, *METRIC_SCALES)}
POINT = 25.4 / 72


def run(name, span, bays, turn=0, units="in"):
    gap, drop = ("2", "43") if units == "in" else ("50", "1140")
    return RUN.format(name=name, span=span, bays=bays, turn=turn, gap=gap, drop=drop)


def jobs(make_text):
    """A quay of 90 feet with a flight, a lake side of 27 m, and a deck on three sides."""
    flight = make_text(treads="5", width='"40"', title="Long quay deck")
    metric = make_text("mm", treads="6", bays="2", width='"1000"', title="Long lake deck")
    return {
        "quay": (flight + run("quay side", 1080, 15), "letter", None),
        "quay on one sheet": (flight + run("quay side", 1080, 15), "tabloid", None),
        "quay, large": (flight + run("quay side", 1080, 15), "tabloid", "1/2"),
        "lake": (metric + run("lake side", 27000, 15, 90, "mm")
                 + run("end", 3600, 2, 90, "mm"), "A4", None),
        "lake, large": (metric + run("lake side", 27000, 15, 90, "mm"), "A3", "1:25"),
        "three sides": (flight + run("quay side", 1080, 15, 90) + run("gable side", 720, 10, 90)
                        + run("askew", 360, 6, 45), "tabloid", None),
    }  # fmt: skip


NAMES = ("quay", "quay on one sheet", "quay, large", "lake", "lake, large", "three sides")


@pytest.fixture(scope="module", params=NAMES)
def broken(request, solution, make_text):
    text, paper, scale = jobs(make_text)[request.param]
    one = solution(text)
    return one, draw_plan(one, paper, scale)


@pytest.fixture(scope="module")
def quay(solution, make_text):
    text, _, _ = jobs(make_text)["quay"]
    return solution(text)


def sheets_of(drawn):
    return (drawn, *drawn.following)


def words(primitives):
    return [one.content for one in primitives if isinstance(one, Text)]


def middles(part, group):
    """Centres of what a part shows [units of the plan as it lies on the sheet]."""
    found = []
    for one in part.work:
        if isinstance(one, Stroke) and one.group == group and one.closed and one.weight:
            xs, ys = zip(*map(part.view.back, one.points), strict=True)
            found.append((sum(xs) / len(xs), sum(ys) / len(ys)))
    return found


def cuts(sheet, part):
    """Match lines of a part: whether each is upright, and where it lies in plan."""
    left, bottom, right, top = part.area
    found = set()
    for one in sheet.furniture:
        if getattr(one, "group", "") == "match-line" and isinstance(one, Stroke):
            (x0, y0), (x1, y1) = one.points
            spots = ((x0, y0), (x1, y1), ((x0 + x1) / 2, (y0 + y1) / 2))
            if any(left <= x <= right and bottom <= y <= top for x, y in spots):
                upright = abs(x1 - x0) < 1e-6
                found.add((upright, round(part.view.back((x0, y0))[not upright], 3)))
    return found


def test_every_post_is_in_one_part_or_in_the_two_that_meet_at_it(broken):
    solution, drawn = broken
    seen = Counter()
    at_cut = set()
    for sheet in sheets_of(drawn):
        for part in sheet.parts:
            lines = cuts(sheet, part)
            for x, y in middles(part, "post"):
                key = (round(x, 3), round(y, 3))
                seen[key] += 1
                if (True, key[0]) in lines or (False, key[1]) in lines:
                    at_cut.add(key)
    posts = plan_of(solution.guard).posts
    assert len(seen) == len(posts)
    for key, count in seen.items():
        assert count == (2 if key in at_cut else 1), key


def test_every_name_and_every_setting_out_figure_stands_once(broken):
    solution, drawn = broken
    told = Counter(word for sheet in sheets_of(drawn) for word in words(sheet.labels))
    plan = plan_of(solution.guard)
    for post in plan.posts:
        name = f"{post.section}.{post.post}"
        if post.shared_with:
            name += " = {}.{}".format(*post.shared_with)
        assert 1 <= told[name] <= 2
    job = solution.job
    figures = Counter(
        length_text(round_to_mark(post.x, job.tape), job.units, job.tape, feet=True,
                    unit=job.units == "in")
        for section in solution.guard.sections
        for post in section.posts
        if post.x != 0
    )  # fmt: skip
    figures += Counter(
        length_text(two.x - one.x, job.units, job.tape, feet=True, unit=job.units == "in")
        for section in solution.guard.sections
        for one, two in itertools.pairwise(section.posts)
    )
    figures["0"] = len(solution.guard.sections)
    for figure, count in figures.items():
        assert told[figure] == count, figure
    assert not any(sheet.unplaced for sheet in sheets_of(drawn))


def test_match_letters_pair_up_and_name_the_part_and_sheet_beyond(broken):
    _, drawn = broken
    sheets = sheets_of(drawn)
    on_sheet, letters = {}, {}
    for number, sheet in enumerate(sheets, start=1):
        told = words(one for one in sheet.furniture if one.group == "view-name")
        for part in re.split(r"(?=PART )", " ".join(told))[1:]:
            name, ends = re.fullmatch(r"PART (\d+) OF \d+,? ?(TO MATCH LINE.*?)? ?", part).groups()
            on_sheet[int(name)] = number
            letters[int(name)] = set(re.findall(r"\b[A-Z]\b", ends))
    parts = [part for sheet in sheets for part in sheet.parts]
    assert len(parts) == len(on_sheet) > 1
    holders = Counter(letter for some in letters.values() for letter in some)
    assert set(holders.values()) == {2}
    for number, sheet in enumerate(sheets, start=1):
        told = [one.content for one in sheet.furniture
                if isinstance(one, Text) and one.group == "match-line"]  # fmt: skip
        pairs = list(zip(told[::2], told[1::2], strict=True))
        assert pairs
        for line, beyond in pairs:
            letter = line.removeprefix("MATCH LINE ")
            match = re.fullmatch(r"SEE PART (\d+)(?:, SHEET (\d+))?", beyond)
            other = int(match[1])
            assert letter in letters[other]
            assert on_sheet[other] == int(match[2] or number)
            here = [k for k in letters if on_sheet[k] == number and k != other]
            assert any(letter in letters[k] for k in here)


def test_nothing_overlaps_or_leaves_the_border(broken):
    _, drawn = broken
    for sheet in sheets_of(drawn):
        assert overlaps(sheet.primitives, sheet.paper.border) == []


def test_the_scale_comes_back_out_of_the_file(broken):
    solution, drawn = broken
    assert drawn.scale.words in LISTED
    sheets = sheets_of(drawn)
    data = pdf_bytes(*sheets)
    unit = float(drawn.scale.paper_millimetres(solution.job.units))
    side = float(solution.job.post.width) * unit
    plan = plan_of(solution.guard)
    apart = {
        math.dist(one.centre, two.centre) * unit
        for one, two in itertools.combinations(plan.posts, 2)
    }
    measured = 0
    for sheet, page in zip(sheets, pdfplumber.open(io.BytesIO(data)).pages, strict=True):
        assert float(page.width) * POINT == pytest.approx(float(sheet.paper.width), abs=0.01)
        squares = {
            ((one["x0"] + one["x1"]) / 2 * POINT, (one["top"] + one["bottom"]) / 2 * POINT)
            for one in (*page.rects, *page.curves)
            if abs((one["x1"] - one["x0"]) * POINT - side) < 0.01
            and abs((one["bottom"] - one["top"]) * POINT - side) < 0.01
            and abs(one["linewidth"] * POINT - 0.5) < 0.01
        }
        height = float(sheet.paper.height)
        for part in sheet.parts:
            left, bottom, right, top = part.area
            inside = [(x, y) for x, y in squares if left < x < right and bottom < height - y < top]
            for one, two in itertools.combinations(inside, 2):
                assert min(abs(math.dist(one, two) - length) for length in apart) < 0.01
                measured += 1
    assert measured > 5


def test_every_sheet_has_its_scale_by_a_bar_and_a_key_plan_that_marks_its_parts(broken):
    _, drawn = broken
    sheets = sheets_of(drawn)
    count = sum(len(sheet.parts) for sheet in sheets)
    for sheet in sheets:
        bar = words(one for one in sheet.furniture if one.group == "scale-bar")
        assert f"SCALE {drawn.scale.words}" in bar
        key = [one for one in sheet.furniture if one.group == "key-plan"]
        assert "KEY PLAN, NOT TO SCALE" in words(key)
        frames = [one for one in key if isinstance(one, Stroke) and one.closed
                  and (one.line != "continuous" or one.weight == 0.5)]  # fmt: skip
        assert len(frames) == count
        assert len([one for one in frames if one.weight == 0.5]) == len(sheet.parts)
        bold = [one.content for one in key if isinstance(one, Text) and one.bold]
        assert len(bold) == len(sheet.parts)


def test_cad_has_the_whole_plan_once_at_full_size(quay, tmp_path):
    from stairs.drawing import write

    drawn = draw_plan(quay, "letter")
    assert len(sheets_of(drawn)) == 2
    write(drawn, tmp_path / "plan.dxf")
    document = ezdxf.readfile(tmp_path / "plan.dxf")
    assert not document.audit().errors
    model = document.modelspace()
    sides = [
        math.dist(points[0], points[1])
        for points in ([point[:2] for point in one.get_points()]
                       for one in model.query('LWPOLYLINE[layer=="GUARD-POST"]'))
    ]  # fmt: skip
    posts = plan_of(quay.guard).posts
    assert sum(side == pytest.approx(3.0) for side in sides) == len(posts)
    total = sum(one.get_measurement() for one in model.query("DIMENSION"))
    # each section's posts from its own origin, each once, and every bay
    xs = [abs(post.x) for section in quay.guard.sections for post in section.posts]
    for section in quay.guard.sections:
        xs += [b.x - a.x for a, b in itertools.pairwise(section.posts)]
    assert total == pytest.approx(sum(xs))
    layouts = [name for name in document.layouts.names() if name != "Model"]
    assert layouts == ["Sheet", "Sheet 2"]
    for name in layouts:
        layout = document.layouts.get(name)
        assert [one.dxf.text for one in layout.query("TEXT") if "MATCH LINE" in one.dxf.text]
        assert layout.query('LWPOLYLINE[layer=="SHEET-MATCH-LINE"]')


def test_a_broken_plan_is_several_pictures_and_one_pdf(quay, make_text, tmp_path):
    job = tmp_path / "quay.toml"
    job.write_text(jobs(make_text)["quay"][0], encoding="utf-8")
    asked = ["draw", str(job), "--view", "plan", "--paper", "letter", "-o"]
    result = CliRunner().invoke(main, [*asked, str(tmp_path / "quay.svg")])
    assert result.exit_code == 0, result.output
    for number, name in enumerate(("quay.svg", "quay-2.svg"), start=1):
        assert f"{number} OF 2" in (tmp_path / name).read_text(encoding="utf-8")
        assert f'{name}: 1/4" = 1\'-0" on letter' in result.output
    result = CliRunner().invoke(main, [*asked, str(tmp_path / "quay.pdf")])
    assert result.exit_code == 0, result.output
    assert len(pypdf.PdfReader(tmp_path / "quay.pdf").pages) == 2


def test_the_set_has_every_sheet_of_it(solution, make_text):
    text, _, _ = jobs(make_text)["three sides"]
    book = packet_book(solution(text), "tabloid")
    names = [name for _, name in book.bookmarks]
    plans = [name for name in names if name.startswith("Plan")]
    assert plans == ["Plan, 1 of 3", "Plan, 2 of 3", "Plan, 3 of 3"]
    first = names.index("Plan, 1 of 3")
    assert names[first - 1].startswith("Cover")
    cover = words(one for sheet in book.sheets[:first] for one in sheet.primitives)
    assert all(name in cover for name in plans)
    numbers = {}
    for k in range(first, first + 3):
        told = " ".join(words(book.sheets[k].primitives))
        assert f"{k + 1} OF {len(names)}" in told
        for part in re.findall(r"PART (\d+) OF 4", told):
            numbers[int(part)] = k + 1
    beyond = [
        (int(part), int(sheet))
        for k in range(first, first + 3)
        for part, sheet in re.findall(r"SEE PART (\d+), SHEET (\d+)",
                                      " ".join(words(book.sheets[k].primitives)))
    ]  # fmt: skip
    assert beyond
    assert all(numbers[part] == sheet for part, sheet in beyond)
    file = pypdf.PdfReader(io.BytesIO(book_bytes(book)))
    assert len(file.pages) == len(names)


@pytest.mark.parametrize("many", [3, pytest.param(60, marks=pytest.mark.fuzz)])
def test_only_listed_scales_are_used_and_a_plan_is_whole_where_it_can_be(many, random_answers):
    papers = itertools.cycle((None, "letter", "A4", None, "tabloid", "A3"))
    for (seed, one), paper in zip(random_answers(many, 700), papers, strict=False):
        drawn = draw_plan(one, paper)
        listed = INCH_SCALES if one.job.units == "in" else METRIC_SCALES
        assert drawn.scale in listed, seed
        assert not drawn.following and not drawn.parts, seed
        assert overlaps(drawn.primitives, drawn.paper.border) == [], seed
        bar = words(part for part in drawn.furniture if part.group == "scale-bar")
        assert f"SCALE {drawn.scale.words}" in bar


@pytest.mark.parametrize(
    "seed", [1, 2, *(pytest.param(k, marks=pytest.mark.fuzz) for k in range(3, 30))]
)
def test_random_decks_are_broken_without_a_fault(seed, solution, make_text):
    import random

    pick = random.Random(seed)
    text = make_text(treads=str(pick.randint(3, 9)), bays="1", width='"42"')
    for number in range(pick.randint(1, 4)):
        bays = pick.randint(2, 14)
        turn = pick.choice([0, 45, 90, -90])
        text += run(f"side {number}", bays * pick.randint(60, 80), bays, turn)
    one = solution(text)
    drawn = draw_plan(one, pick.choice(["letter", "tabloid"]), pick.choice([None, "3/8", "1/2"]))
    assert drawn.scale.words in LISTED
    posts = plan_of(one.guard).posts
    seen = set()
    for sheet in sheets_of(drawn):
        assert overlaps(sheet.primitives, sheet.paper.border) == []
        for part in sheet.parts or (sheet,):
            seen |= {(round(x, 2), round(y, 2)) for x, y in middles(part, "post")}
    assert len(seen) == len(posts)
    circles = [shape for sheet in sheets_of(drawn) for shape in sheet.dimension_lines
               if isinstance(shape, Arc) and shape.owner == "origin"]  # fmt: skip
    assert len(circles) >= len(one.guard.sections)


def test_no_part_shows_the_edge_of_a_deck_and_nothing_else(solution, make_text):
    one = solution(make_text(kind='"level"', span='"96"', bays="1", bottom_gap='"2"'))
    drawn = draw_plan(one, "letter", "3")
    parts = [(sheet, part) for sheet in sheets_of(drawn) for part in sheet.parts]
    assert len(parts) == 4
    for sheet, part in parts:
        assert [shape for shape in part.work if shape.group == "rail"]
        for shape in (shape for shape in part.work if shape.group == "landing"):
            for point in (shape.points[0], shape.points[-1]):
                breaks = [two for two in sheet.primitives if getattr(two, "group", "") == "break"]
                near = [min(math.dist(point, end) for end in (two.points[0], two.points[-1]))
                        for two in breaks]  # fmt: skip
                inside = [two for two in part.work if two is not shape and two.group == "landing"
                          and any(math.dist(point, end) < 1e-6 for end in two.points)]  # fmt: skip
                assert inside or min(near) < 8.0


@pytest.mark.parametrize("direction", ["across", "along"])
def test_the_framing_of_a_long_run_is_broken_too(direction, solution, make_text, tmp_path):
    from stairs.drawing import write
    from stairs.drawing.views.framing import draw_framing

    framing = (
        f'[framing]\ndirection = "{direction}"\njoist_spacing = "16"\nfirst_joist = "4"\n'
        'joist_thickness = "1 1/2"\nboard_width = "5 1/2"\nboard_gap = "1/8"\n[[section]]'
    )
    text = make_text(kind='"level"', span='"1080"', bays="15", bottom_gap='"2"')
    one = solution(text.replace("[[section]]", framing))
    drawn = draw_framing(one, None, "letter")
    assert drawn.scale in INCH_SCALES
    section = one.sections[0].section
    told, posts = Counter(), Counter()
    views = [sheet for sheet in sheets_of(drawn) if sheet.work]
    assert len(views) > 1
    for number, sheet in enumerate(views, start=1):
        assert overlaps(sheet.primitives, sheet.paper.border) == []
        told.update(words((*sheet.labels, *sheet.dimension_lines)))
        posts.update((round(x, 3), round(y, 3)) for x, y in middles(sheet, "post"))
        assert f"PART {number} OF {len(views)}" in " ".join(words(sheet.furniture))
    assert set(posts.values()) == {1} and len(posts) == len(section.posts)
    for post in section.posts:
        assert told[f"POST 1.{post.number}"] == 1
        if post.number > 1:
            assert told[length_text(post.x, "in", one.job.tape, feet=True)] == 1
    for letter in "ABCDEFG"[: len(views) - 1]:
        assert told[f"MATCH LINE {letter}"] == 2
    write(drawn, tmp_path / "framing.dxf")
    document = ezdxf.readfile(tmp_path / "framing.dxf")
    assert not document.audit().errors
    found = document.modelspace().query('LWPOLYLINE[layer=="GUARD-POST"]')
    sides = [math.dist(*[point[:2] for point in shape.get_points()][:2]) for shape in found]
    assert sum(side == pytest.approx(3.0) for side in sides) == len(section.posts)


def test_a_plan_that_would_take_too_many_sheets_is_refused(quay):
    with pytest.raises(SheetError, match="takes more than 40 sheets on letter at 3"):
        draw_plan(quay, "letter", "3")


def test_a_scale_that_fits_no_sheet_whole_is_still_drawn(solution, make_text):
    one = solution(make_text(treads="5"))
    drawn = draw_plan(one, "letter", "3")
    assert drawn.scale.words == '3" = 1\'-0"'
    assert sum(len(sheet.parts) for sheet in sheets_of(drawn)) > 1
