"""The packet is whole: every sheet indexed and numbered, every table from the answer itself."""

from __future__ import annotations

import io
import math
import re
from pathlib import Path

import pypdf
import pytest

from stairs.drawing import write
from stairs.drawing.files.pdf import book_bytes
from stairs.drawing.paper.primitives import Stroke, Text
from stairs.drawing.paper.sheet_sizes import GOOD
from stairs.drawing.placing.inspection import overlaps
from stairs.drawing.sets.packet.packet import packet_book
from stairs.drawing.sets.shop.shop import shop_book
from stairs.drawing.sets.template.template import template_book
from stairs.errors import FileError, SheetError
from stairs.job import job_from_text, read_job
from stairs.lengths.tape_marks import length_text
from stairs.lists.cut_list import cut_list
from stairs.lists.loads import demands
from stairs.report.findings import value_texts
from stairs.report.loads_text import NOT_A_DESIGN
from stairs.solution import solution_for

EXAMPLES = Path(__file__).parents[2] / "examples"

SHEET = """[sheet]
address = ["12 Mill lane", "Lower town"]
drawn_by = "A. B."
date = "2026-03-04"
revision = "C"
"""
LOCAL = """[local]
guard-height-min = { limit = "34", reason = "as the local office reads it" }
"""


def words_on(sheet):
    return [one.content for one in sheet.primitives if isinstance(one, Text)]


def words(book):
    return " ".join(text for sheet in book.sheets for text in words_on(sheet))


def named_sheets(book, start):
    pairs = zip(book.sheets, book.bookmarks, strict=True)
    return [sheet for sheet, (_, name) in pairs if name.startswith(start)]


@pytest.fixture(scope="module")
def many(make_text):
    """Two flights and a level run between, with particulars and a local value."""
    flight = make_text(title="Two flights", sheet=SHEET + LOCAL, treads="5", name='"lower"')
    level = """
[[section]]
name = "landing"
kind = "level"
span = "48"
bays = 1
bottom_gap = "2"
drop = "43"
turn = 90
"""
    return solution_for(job_from_text(flight + level))


@pytest.fixture(scope="module")
def many_book(many):
    return packet_book(many)


def test_nothing_overlaps_or_leaves_the_border(named, book):
    for sheet in book(packet_book, named).sheets:
        assert not overlaps(sheet.primitives, sheet.paper.border)
        assert min(one.height for one in sheet.primitives if isinstance(one, Text)) >= 2.5


@pytest.mark.parametrize("many", [2, pytest.param(40, marks=pytest.mark.fuzz)])
def test_random_jobs_make_sets_without_a_fault(many, random_answers):
    for seed, one in random_answers(many, start=1136):
        for make in (packet_book, shop_book, template_book):
            for sheet in make(one).sheets:
                assert not overlaps(sheet.primitives, sheet.paper.border), (seed, sheet.title)


def test_every_page_has_its_number_date_and_revision(many_book):
    count = len(many_book.sheets)
    file = pypdf.PdfReader(io.BytesIO(book_bytes(many_book)))
    assert len(file.pages) == count
    for number, page in enumerate(file.pages, start=1):
        text = page.extract_text()
        for wanted in (
            f"{number} OF {count}",
            "2026-03-04",
            "A. B.",
            "Two flights",
            "12 Mill lane",
        ):
            assert wanted in text
        assert re.search(r"REVISION\s|\bC\b", text)


def test_the_index_names_every_sheet_and_its_number(many_book):
    cover = words_on(many_book.sheets[0])
    start = cover.index("WHAT IT SHOWS")
    for number, (_, name) in enumerate(many_book.bookmarks, start=1):
        place = cover.index(name, start)
        assert cover[place - 1] == str(number)


def test_bookmarks_lead_to_their_sheets(many_book):
    file = pypdf.PdfReader(io.BytesIO(book_bytes(many_book)))

    def flat(outline):
        for one in outline:
            yield from flat(one) if isinstance(one, list) else [one]

    found = {one.title: file.get_destination_page_number(one) for one in flat(file.outline)}
    for number, (_, name) in enumerate(many_book.bookmarks):
        assert found[name] == number


def test_it_holds_what_an_office_asks_for(many_book):
    names = [name for _, name in many_book.bookmarks]
    for start in ("Cover", "Plan", "Elevation of lower", "Elevation of landing", "Details",
                  "Schedules", "Loads"):  # fmt: skip
        assert any(name.startswith(start) for name in names), start


def test_one_paper_serves_the_whole_set(many_book):
    assert len({(one.paper.width, one.paper.height) for one in many_book.sheets}) == 1


def test_the_cover_names_the_book_and_the_local_values(many, many_book):
    cover = " ".join(words_on(many_book.sheets[0]))
    assert many.rulebook.title in cover and many.rulebook.edition in cover
    assert 'guard height (guard-height-min) 34": as the local office reads it' in cover
    assert "12 Mill lane" in cover and "Lower town" in cover
    assert "1 flight and 1 level run: 3 posts, 2 bays" in cover


def test_the_cover_says_what_the_code_asks_too(many, many_book):
    """The rulebook's own words, each on a line or more of the cover."""
    cover = " ".join(words_on(many_book.sheets[0])).replace("- ", "")
    assert "This code also asks for these, which are not looked at here" in cover
    for asked in many.rulebook.also_asks:
        assert asked in cover


def test_a_load_stands_with_the_sections_that_it_is_for():
    """BS 6180 Table 2: 0.36 kN/m on the flight (section 1), 0.74 at the deck's edge (section 2)."""
    book = packet_book(solution_for(read_job(EXAMPLES / "metric-deck.toml")))
    (sheet,) = named_sheets(book, "Loads")
    text = " ".join(words_on(sheet))
    assert "0.36 kN/m 1 " in text and "0.74 kN/m 2 " in text


def test_a_failing_job_has_a_band_and_says_what_fails(solution):
    one = solution("failing")
    book = packet_book(one)
    failing = [finding for part in one.sections for finding in part.findings
               if finding.verdict == "fail"]  # fmt: skip
    assert failing
    cover = book.sheets[0]
    band = [part for part in cover.primitives
            if isinstance(part, Stroke) and part.group == "failure-band"]  # fmt: skip
    assert len(band) == 1 and band[0].fill == "ink"
    text = words_on(cover)
    assert any(row.startswith("DOES NOT PASS") and str(len(failing)) in row for row in text)
    for finding in failing:
        assert value_texts(one.job, finding)[0] in text
    assert "does not pass" in book.subject
    elevation = named_sheets(book, "Elevation")[0]
    assert any(getattr(part, "group", "") == "failure" for part in elevation.primitives)


def test_a_guard_that_passes_has_no_band(solution, make_text):
    one = solution("metric")
    book = packet_book(one)
    has_band = any(
        getattr(part, "group", "") == "failure-band"
        for sheet in book.sheets for part in sheet.primitives
    )  # fmt: skip
    assert has_band == (not one.ok)


@pytest.mark.parametrize("name", ["two bays", "metric", "plumb cut"])
def test_schedules_list_every_piece(name, solution):
    one = solution(name)
    book = packet_book(one)
    text = [row for sheet in named_sheets(book, "Schedules") for row in words_on(sheet)]
    job = one.job
    for rail in cut_list(one).rails:
        place = text.index(rail.name)
        assert text[place + 1] == length_text(rail.length, job.units, job.tape)
        assert str(rail.balusters) in text[place : place + 8]
    for post in one.guard.sections[0].posts:
        place = text.index(f"1.{post.number}")
        assert text[place + 1].split()[0] == post.stands_on.split()[0]


def test_every_opening_stands_with_its_verdict(solution):
    one = solution("failing")
    text = " ".join(
        row for sheet in named_sheets(packet_book(one), "Schedules") for row in words_on(sheet)
    )
    for part in one.sections:
        for finding in part.openings:
            if finding.ruling.limit is not None:
                value, limit, _ = value_texts(one.job, finding)
                assert value in text and limit in text
                assert finding.ruling.clause.replace("_", " ").split()[0] in text


def test_the_loads_page_gives_demands_and_says_it_is_no_design(solution):
    one = solution("plain")
    found = demands(one)
    text = " ".join(
        row for sheet in named_sheets(packet_book(one), "Loads") for row in words_on(sheet)
    )
    assert NOT_A_DESIGN.split(".")[0] in text
    assert found.posts
    for row in found.posts:
        assert length_text(row.arm, "in", one.job.tape) in text


def test_a_framing_plan_is_in_it_where_given(solution, make_text):
    level = make_text(kind='"level"', span='"132"', bays="2", bottom_gap='"2"')
    framing = (
        '[framing]\ndirection = "across"\njoist_spacing = "16"\nfirst_joist = "4"\n'
        'joist_thickness = "1 1/2"\n[[section]]'
    )
    plain = packet_book(solution(level))
    framed = packet_book(solution(level.replace("[[section]]", framing)))
    assert not named_sheets(plain, "Framing")
    assert len(named_sheets(framed, "Framing")) == 1


@pytest.mark.parametrize("paper", ["letter", "ANSI C", "A3"])
def test_the_user_may_choose_the_paper(paper, solution):
    book = packet_book(solution("two bays"), paper)
    assert {sheet.paper.name for sheet in book.sheets} == {paper}
    for sheet in book.sheets:
        assert not overlaps(sheet.primitives, sheet.paper.border)


def test_a_paper_of_no_size_is_refused(solution):
    with pytest.raises(SheetError, match='"napkin" is not a sheet size'):
        packet_book(solution("plain"), "napkin")


def test_the_same_job_is_the_same_file(solution):
    assert book_bytes(packet_book(solution("plain"))) == book_bytes(packet_book(solution("plain")))


@pytest.mark.parametrize(
    "title", ["$x$ \\alpha <script>", "\U0001f6e0 שלום", "long " * 100, "x" * 500],
    ids=("markup", "unknown", "long", "one-word"),
)  # fmt: skip
def test_hostile_titles_stay_on_the_sheet(title, solution, make_text):
    text = make_text(
        posts='["-4", "56"]', title=title, sheet=SHEET.replace('"Lower town"', f"'{title}'")
    )
    book = packet_book(solution(text))
    for sheet in book.sheets:
        assert not overlaps(sheet.primitives, sheet.paper.border)
    if "<" in title:
        assert title in words(book)


def test_an_unwritable_target_says_so(solution, tmp_path):
    with pytest.raises(FileError, match="cannot be written"):
        write(packet_book(solution("plain")), tmp_path / "missing" / "set.pdf")
    assert not list(tmp_path.iterdir())


def test_a_long_run_goes_over_several_sheets_of_one_paper(make_text):
    one = solution_for(
        job_from_text(make_text(kind='"level"', span='"960"', bays="14", bottom_gap='"3"'))
    )
    book = packet_book(one, "letter")
    names = [name for _, name in book.bookmarks if name.startswith("Elevation")]
    assert len(names) > 1
    assert names == [f"Elevation of section 1, {k} of {len(names)}" for k in
                     range(1, len(names) + 1)]  # fmt: skip
    count = len(book.sheets)
    for number, sheet in enumerate(book.sheets, start=1):
        assert f"{number} OF {count}" in words_on(sheet)
        assert not overlaps(sheet.primitives, sheet.paper.border)


def test_the_cover_counts_the_checks_and_names_the_sheet_of_each_that_fails(solution):
    one = solution("failing")
    book = packet_book(one)
    cover = words_on(book.sheets[0])
    found = [finding.verdict for part in one.sections for finding in part.findings]
    counts = [found.count(verdict) for verdict in ("pass", "marginal", "fail")]
    text = " ".join(cover)
    assert (
        f"{sum(counts)} checks: {counts[0]} pass, {counts[1]} near the limit, {counts[2]} fail"
        in text
    )
    sheet = next(k for k, (_, name) in enumerate(book.bookmarks, start=1)
                 if name.startswith("Elevation"))  # fmt: skip
    start = cover.index("What fails")
    rows = [one.ruling.clause.replace("_", " ") for part in one.sections for one in part.findings
            if one.verdict == "fail"]  # fmt: skip
    listed = " ".join(cover[start:])
    for clause in rows:
        assert clause.split()[0] in listed
    end = cover.index("Near the limit") if "Near the limit" in cover else cover.index("Sheets")
    assert cover[start:end].count(str(sheet)) >= len(rows)


def test_the_cover_tells_each_section_in_a_row(many, many_book):
    cover = words_on(many_book.sheets[0])
    for section in many.guard.sections:
        place = cover.index(section.name)
        assert cover[place - 1] == str(section.number)
        row = cover[place : place + 8]
        assert length_text(section.guard_height, "in", many.job.tape) in row
        assert length_text(section.bottom_gap, "in", many.job.tape) in row


def test_there_are_blanks_for_what_others_supply(many_book):
    text = words(many_book)
    for wanted in ("Maker and listing", "Material and finish", "Fasteners and anchors",
                   "Permit number", "Reviewed by, date"):  # fmt: skip
        assert wanted in text


def test_every_listed_page_names_the_code_and_its_edition(many, many_book):
    code = f"{many.rulebook.title} {many.rulebook.edition}"
    for sheet in many_book.sheets:
        assert code in " ".join(words_on(sheet)), sheet.title


def test_openings_alike_in_several_sections_stand_in_one_row(many_book, many):
    (sheet,) = named_sheets(many_book, "Schedules")
    rows = words_on(sheet)
    kinds = {opening.kind for part in many.sections for opening in part.section.openings}
    assert kinds >= {"triangle", "foot", "head", "baluster", "under-rail"}
    assert rows.count("under the rail, over a tread") == 1
    assert "1: treads 1 to 5" in rows


def test_a_cover_that_goes_on_stands_in_the_index_too(answer_of_many_notes):
    book = packet_book(answer_of_many_notes, "letter")
    names = [name for _, name in book.bookmarks]
    assert names[:2] == ["Cover", "Cover, continued 1"]
    covers = [row for sheet in book.sheets[:3] for row in words_on(sheet)]
    start = covers.index("WHAT IT SHOWS")
    for number, name in enumerate(names, start=1):
        assert covers[covers.index(name, start) - 1] == str(number)


@pytest.fixture(scope="module")
def answer_of_many_notes(make_text):
    """A job whose own values and reasons fill more than one page of letter paper."""
    rows = "".join(
        f'{check} = {{ limit = "{limit}", reason = "{"as the office reads it " * 12}" }}\n'
        for check, limit in (
            ("guard-height-min", 34),
            ("opening-triangle", 6),
            ("unit-rise-max", 8),
        )
    )
    return solution_for(job_from_text(make_text(sheet=SHEET + "[local]\n" + rows)))


# --------------------------------------------------------------------------- in plain words


def test_no_sheet_says_an_assumption_as_the_job_file_would(make_text):
    text = make_text(handrail="false")
    solution = solution_for(job_from_text(text))
    assert any("(open_risers = false)" in words for words in solution.job.assumed)
    words = " ".join(row for sheet in packet_book(solution).sheets for row in words_on(sheet))
    assert "risers are closed" in words
    assert " = false" not in words
    assert "open_risers" not in words
    assert 'top = "' not in words


def test_an_assumption_of_several_sections_is_told_once_with_their_numbers():
    job = EXAMPLES / "raised-porch.toml"
    words = " ".join(words_on(packet_book(solution_for(read_job(str(job)))).sheets[0]))
    assert "risers are closed: sections 1, 4" in words
    assert words.count("risers are closed") == 1


def test_own_values_read_alike_on_cover_elevation_and_other_sheets(make_text):
    reason = "asked for by the office " * 6
    own = f'[local]\nguard-height-min = {{ limit = "33", reason = "{reason}" }}\n'
    solution = solution_for(job_from_text(make_text(sheet=own)))
    wanted = f'guard height (guard-height-min) 33": {reason}'.strip()
    for sheet in packet_book(solution).sheets:
        assert wanted in " ".join(words_on(sheet)), sheet.name


def test_an_example_fills_its_title_block():
    job = EXAMPLES / "raised-porch.toml"
    for sheet in packet_book(solution_for(read_job(str(job)))).sheets:
        words = words_on(sheet)
        for told in ("Plot 7, Mill Meadow", "A. B.", "2026-03-02"):
            assert any(told in row for row in words), (sheet.name, told)


def test_checks_that_an_elevation_has_no_room_for_are_in_the_schedules():
    solution = solution_for(read_job(str(EXAMPLES / "old-stair.toml")))
    book = packet_book(solution, "letter")
    (drawn,) = named_sheets(book, "Elevation")
    assert any("more pass; see the schedules" in row for row in words_on(drawn))
    listed = " ".join(row for sheet in named_sheets(book, "Schedules") for row in words_on(sheet))
    assert "Checks of side stair" in listed
    for finding in solution.sections[0].findings:
        assert value_texts(solution.job, finding)[0] in listed
        assert finding.ruling.clause.replace("_", " ").split()[0] in listed
    assert "on the screen" not in words(book)


# --------------------------------------------------------------------------- sheets that are shared


@pytest.fixture(scope="module")
def raised():
    one = solution_for(read_job(str(EXAMPLES / "raised-porch.toml")))
    return one, packet_book(one)


def test_short_sections_that_follow_each_other_share_a_sheet(raised):
    one, book = raised
    shared = named_sheets(book, "Elevations of ")
    assert shared and len(book.sheets) < 13  # as many as one for each section makes
    for sheet in shared:
        assert not overlaps(sheet.primitives, sheet.paper.border)
        assert len(sheet.parts) > 1 and sheet.unplaced == ()
        assert sheet.scale.ratio >= GOOD["in"]


def test_a_shared_sheet_names_each_view_and_tells_all_its_checks(raised):
    one, book = raised
    shown = []
    for sheet in named_sheets(book, "Elevation"):
        words = words_on(sheet)
        text = " ".join(words)
        for part in one.sections:
            name = f"Elevation of {part.section.name}"
            if name not in words:
                continue
            shown.append(part.section.number)
            if len(sheet.parts) > 1:
                assert words.count(name) == 2  # under the view and over its checks
            for finding in part.findings:
                assert value_texts(one.job, finding)[0] in text, finding.id
        passing = sum(int(row.removeprefix("PASS: ")) for row in words if row.startswith("PASS: "))
        told = [one.sections[k - 1] for k in shown[-max(len(sheet.parts), 1) :]]
        assert passing == sum(f.outcome == "pass" for part in told for f in part.findings)
    assert shown == list(range(1, len(one.sections) + 1))


def test_shared_views_are_true_to_the_one_scale(raised):
    """Post centres stand as far apart on paper as they are, by 304.8 mm to the foot."""
    one, book = raised
    by_name = {f"Elevation of {part.section.name}": part.section for part in one.sections}
    for sheet in named_sheets(book, "Elevations of "):
        names = [t for t in sheet.primitives if getattr(t, "group", "") == "view-name"]
        for view, name in zip(sheet.parts, names, strict=True):
            section = by_name[name.content]
            lines = [s for s in view.work if s.group == "centre-line"]
            xs = sorted({round(s.points[0][0], 6) for s in lines})
            true = (section.posts[-1].x - section.posts[0].x) * 25.4 * float(sheet.scale.ratio)
            assert len(xs) == sum(not post.wall for post in section.posts)
            if not section.posts[-1].wall:
                assert xs[-1] - xs[0] == pytest.approx(true)


def test_a_section_that_fails_has_a_sheet_of_its_own(make_text):
    level = '[[section]]\nkind = "level"\nspan = "30"\nbays = 1\nbottom_gap = "{}"\n'
    text = make_text(kind='"level"', span='"30"', bays="1", bottom_gap='"3"')
    text = text.replace("[panel]", "measured_within = 0\n[panel]")  # so that nothing is near
    passing = packet_book(solution_for(job_from_text(text + level.format(3))))
    assert len(named_sheets(passing, "Elevations of")) == 1
    failing = packet_book(solution_for(job_from_text(text + level.format(6))))
    assert len(named_sheets(failing, "Elevation of")) == 2


def test_a_cover_on_larger_paper_is_lettered_larger():
    one = solution_for(read_job(str(EXAMPLES / "porch.toml")))

    def usual(paper):
        cover = packet_book(one, paper).sheets[0]
        heights = [part.height for part in cover.content if isinstance(part, Text)]
        return max(set(heights), key=heights.count)

    assert usual("letter") <= usual("tabloid") < usual("ARCH C") <= usual("ARCH D")
    assert usual("ARCH D") >= 4.9


def test_one_sentence_takes_no_sheet(make_text):
    text = make_text("mm").replace("england-ad-k-2013", "iso-14122-3-2016")
    book = packet_book(solution_for(job_from_text(text)))
    assert not named_sheets(book, "Loads")
    listed = [row for sheet in named_sheets(book, "Schedules") for row in words_on(sheet)]
    assert any(row.startswith("This rulebook lists no loads") for row in listed)


def test_the_framing_stands_in_its_sheet_with_a_title_and_a_scale():
    book = packet_book(solution_for(read_job(str(EXAMPLES / "metric-deck.toml"))))
    (sheet,) = named_sheets(book, "Framing")
    (title,) = [one for one in sheet.content if getattr(one, "group", "") == "view-name"]
    assert title.content == "Framing under deck edge"
    scale = next(one for one in sheet.content if getattr(one, "content", "") == "SCALE 1:20")
    assert 0 < title.at[1] - scale.at[1] < 10


# --------------------------------------------------------------------------- marks and the stamp


def marks_on(sheet):
    """Upper and lower number of every mark, with where its leader points, if it has one."""
    texts = [one for one in sheet.primitives if isinstance(one, Text) and one.group == "reference"]
    tips = {
        one.owner: one.points[0] for one in sheet.primitives
        if isinstance(one, Stroke) and one.owner.startswith("detail ") and len(one.points) == 2
    }  # fmt: skip
    return [
        (int(one.content), int(two.content), tips.get(f"detail {one.content}"))
        for one, two in zip(texts[::2], texts[1::2], strict=True)
    ]


@pytest.mark.parametrize("name", ["porch", "quarter-landing", "deck-on-joists", "old-stair"])
def test_marks_of_elevations_and_plan_name_the_sheets_that_bear_them(name):
    solution = solution_for(read_job(str(EXAMPLES / f"{name}.toml")))
    book = packet_book(solution)
    names = [mark for _, mark in book.bookmarks]
    borne, shown = {}, []
    for number, (title, sheet) in enumerate(zip(names, book.sheets, strict=True), start=1):
        for upper, lower, tip in marks_on(sheet):
            if title.startswith("Details"):
                assert lower == number
                assert borne.setdefault(upper, number) == number
            elif title.startswith("Elevation"):
                shown.append((upper, lower))
                assert tip is not None
            else:
                assert title.startswith("Plan")
                section = solution.sections[upper - 1].section
                assert (section.name or f"section {upper}") in names[lower - 1]
        assert overlaps(sheet.primitives, sheet.paper.border) == []
    assert sorted(borne) == list(range(1, len(borne) + 1))
    assert {upper for upper, _ in shown} == set(borne)
    assert all(borne[upper] == lower for upper, lower in shown)


def test_a_mark_points_at_what_its_detail_shows():
    """The first end of a rail is shown in detail at its pin, which lies at height and offset."""
    solution = solution_for(read_job(str(EXAMPLES / "porch.toml")))
    book = packet_book(solution)
    (sheet,) = (one for one in book.sheets if hasattr(one, "view"))
    mark = solution.sections[0].section.posts[0].marks
    pin = next(one.pin for one in mark if one.rail == "top" and one.side == "up")
    tip = next(tip for upper, _, tip in marks_on(sheet) if upper == 3)
    assert math.dist(tip, sheet.view.at(pin)) < 2.0


def test_cover_and_sheets_have_a_place_for_the_offices_stamp(many_book):
    cover, *others = many_book.sheets
    told = [one.content for one in cover.primitives if isinstance(one, Text)]
    assert "Stamp of the office" in told
    for sheet in others:
        assert "STAMP" in [one.content for one in sheet.primitives if isinstance(one, Text)]
