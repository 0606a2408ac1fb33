"""The page to take along to posts that are set: a blank for all that is asked, and nothing else."""

from pathlib import Path

import pytest
from click.testing import CliRunner
from pypdf import PdfReader

from stairs.cli.commands import main
from stairs.drawing.paper.primitives import Stroke, Text
from stairs.drawing.paper.sheet_sizes import BORDER
from stairs.drawing.placing.inspection import overlaps
from stairs.drawing.sets.as_built.as_built import GROUP, as_built_book
from stairs.job import job_from_text, read_job
from stairs.lists.planned_posts import planned_posts, planned_solution

EXAMPLES = Path(__file__).parents[2] / "examples"
NAMES = ["porch", "quarter-landing", "metric-deck", "deck-by-edges", "side-stair", "terrace"]


@pytest.fixture(scope="module")
def books():
    return {
        name: as_built_book(planned_solution(read_job(EXAMPLES / f"{name}.toml"))) for name in NAMES
    }


def words(page):
    return [one.content for one in page.primitives if isinstance(one, Text)]


def blanks(page):
    return [one.owner for one in page.content if isinstance(one, Stroke) and one.group == GROUP]


@pytest.mark.parametrize("name", NAMES)
def test_every_thing_that_is_asked_has_its_blank_once(books, name):
    solution = planned_solution(read_job(EXAMPLES / f"{name}.toml"))
    found = sorted(one for page in books[name].sheets for one in blanks(page))
    asked = [
        f"{key} of post {one.post} {one.hand}"
        for one in planned_posts(solution)
        for key in one.asked
    ]
    assert found == sorted(asked)


@pytest.mark.parametrize("name", NAMES)
def test_nothing_is_written_over_and_all_is_within_the_border(books, name):
    for page in books[name].sheets:
        wide, tall = float(page.paper.width), float(page.paper.height)
        assert overlaps(page.content, (BORDER, BORDER, wide - BORDER, tall - BORDER)) == []
        for one in page.content:
            if isinstance(one, Stroke):
                assert all(BORDER < x < wide - BORDER for x, _ in one.points), page.name
                assert all(BORDER < y < tall - BORDER for _, y in one.points), page.name


def test_the_porch_is_told_as_it_was_planned(books):
    """Posts at -4 and 60 1/4, so 64 1/4 less two halves of 3 between their faces; the upper one on
    the landing, 43 1/2 up."""
    (page,) = books["porch"].sheets
    told = words(page)
    for text in ('-4"', '60 1/4"', '43 1/2"', '61 1/4"', "lower landing", "upper landing"):
        assert text in told
    assert {"xc", "ys", "Zp", "Db", "Dt", "xc1", "xc2", "POST 1", "POST 2"} <= set(told)
    assert any("loose is not shimmed" in one for one in told)


def test_a_post_of_the_section_before_is_measured_there(books):
    """The landing of the quarter turn begins at the last post of the flight."""
    page = books["quarter-landing"].sheets[1]
    assert "x of post 1 right" not in blanks(page) and "lean of post 1 right" in blanks(page)


def test_many_posts_take_more_pages():
    text = (EXAMPLES / "porch.toml").read_text(encoding="utf-8")
    start = text.index("[[section]]")
    run = '[[section]]\nkind = "level"\nspan = 900\nbays = 25\nhand = "both"\nbottom_gap = 3\n'
    solution = planned_solution(job_from_text(text[:start] + run))
    book = as_built_book(solution)
    assert len(book.sheets) > 1
    assert sum(len(blanks(page)) for page in book.sheets) == 2 * (26 * 3 + 25 * 2)
    for page in book.sheets:
        area = (0, 0, float(page.paper.width), float(page.paper.height))
        assert overlaps(page.content, area) == []


def test_what_is_told_already_of_how_posts_stand_does_not_move_the_plan(books):
    mine = as_built_book(planned_solution(read_job(EXAMPLES / "porch-as-built.toml")))
    (planned,), (page,) = books["porch"].sheets, mine.sheets
    assert page.content == planned.content


def typed(*options):
    done = CliRunner().invoke(main, ["measure", *options])
    return done.exit_code, done.output


def test_the_page_is_drawn_as_typed(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "job.toml").write_bytes((EXAMPLES / "metric-deck.toml").read_bytes())
    code, said = typed("job.toml", "--as-built", "-o", "posts.pdf")
    assert (code, said) == (
        0, "posts.pdf: 2 pages; then: stairs measure job.toml --as-built\n"
    )  # fmt: skip
    first, second = PdfReader(tmp_path / "posts.pdf").pages
    assert "its top out of" in first.extract_text()
    assert "decking" in second.extract_text()  # in England


@pytest.mark.parametrize(
    ("options", "told"),
    [
        (("job.toml", "-o", "posts.pdf"), "-o: is given without --as-built"),
        (("job.toml", "--as-built", "-o", "posts.svg"), "A set of sheets is one .pdf"),
        (("job.toml", "--as-built", "-o", "job.toml"), '"job.toml" is the job file itself'),
        (("none.toml", "--as-built"), "none.toml"),
        (("none.toml", "--as-built", "-o", "posts.pdf"), "none.toml"),
    ],
)
def test_what_cannot_be_is_told_and_nothing_is_written(tmp_path, monkeypatch, options, told):
    monkeypatch.chdir(tmp_path)
    text = (EXAMPLES / "porch.toml").read_bytes()
    (tmp_path / "job.toml").write_bytes(text)
    code, said = typed(*options)
    assert code == 2 and told in said
    assert [one.name for one in tmp_path.iterdir()] == ["job.toml"]
    assert (tmp_path / "job.toml").read_bytes() == text


def test_answers_that_are_sent_are_written_and_their_end_is_told(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "job.toml").write_bytes((EXAMPLES / "porch.toml").read_bytes())
    done = CliRunner().invoke(main, ["measure", "job.toml", "--as-built"], input="-4 1/8\n-1/4\n")
    assert done.exit_code == 2
    assert "still to be asked: Section 1, post 1 and what follows" in done.output
    told = read_job(tmp_path / "job.toml").sections[0].as_built
    assert [(one.post, float(one.x), float(one.surface)) for one in told] == [(1, -4.125, -0.25)]
