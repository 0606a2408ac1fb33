"""The page of what to measure: every letter on it is a key of the form, and the other way round."""

import re
import tomllib

import pytest
from click.testing import CliRunner
from pypdf import PdfReader

from stairs.cli.commands import main
from stairs.drawing.files.writing import picture_bytes
from stairs.drawing.paper.primitives import Stroke, Text
from stairs.drawing.paper.sheet_sizes import BORDER
from stairs.drawing.placing.inspection import overlaps
from stairs.drawing.views.lettered.measured import GROUP, measured_pages
from stairs.errors import JobError
from stairs.job.form import KINDS, blanks, form
from stairs.relations.quantities import FURTHER, TYPED

UNITS = ("in", "mm")
CASES = [(units, kind) for units in UNITS for kind in KINDS]
BOTH = {case: measured_pages(*case) for case in CASES}
PAGES = {case: pages[0] for case, pages in BOTH.items()}
FEW = {one.symbol for one in FURTHER.values()}


def unnumbered(letters):
    """Letters without the number of a single riser or tread: ``R3`` is ``R``."""
    return {re.sub(r"^([RG])[1-9]$", r"\1", one) for one in letters}


def on_arrows(page):
    texts = [
        one.content
        for one in page.content
        if isinstance(one, Text) and one.owner and one.group != GROUP
    ]
    return {one for text in texts for one in text.split() if one != "="}


def beside_blanks(page):
    return [
        one.content
        for one in page.content
        if isinstance(one, Text) and one.group == GROUP and one.owner
    ]


def in_the_form(units, kind):
    """The letters that the form puts before its measurements."""
    text = re.sub(r"\n +# ", " ", form(units, kind))  # remarks that go on in the next line
    known = {one.symbol for one in TYPED.values()}
    behind = re.findall(r"^(?:# )?\w+ = .* # (\S+), ", text, re.MULTILINE)
    return {
        one
        for one in [*behind, *re.findall(r"; \w+ is (\w+)(?=;|$)", text, re.MULTILINE)]
        if one in known
    }


@pytest.mark.parametrize("case", CASES)
def test_every_letter_has_its_arrow_its_blank_and_its_key_and_there_are_no_others(case):
    page = PAGES[case]
    wanted = in_the_form(*case)
    assert wanted == {one.symbol for one in TYPED.values()}
    assert unnumbered(on_arrows(page)) == wanted - FEW
    assert unnumbered(beside_blanks(page)) == wanted - FEW
    other = BOTH[case][1]
    assert on_arrows(other) == set(beside_blanks(other)) == FEW
    assert len(beside_blanks(other)) == len(FEW)


@pytest.mark.parametrize("case", CASES)
def test_no_blank_is_there_twice_but_for_the_sections_that_need_it(case):
    _, kind = case
    twice = {one for one in beside_blanks(PAGES[case]) if beside_blanks(PAGES[case]).count(one) > 1}
    assert twice == ({"H", "W", "T", "E"} if kind == "landing" else set())


@pytest.mark.parametrize("case", CASES)
def test_nothing_is_written_over_or_struck_through_and_all_is_within_the_border(case):
    for page in BOTH[case]:
        wide, tall = float(page.paper.width), float(page.paper.height)
        assert (page.paper.name, case[0]) in (("letter", "in"), ("A4", "mm"))
        assert overlaps(page.primitives, (0, 0, wide, tall)) == []
        assert overlaps(page.content, (BORDER, BORDER, wide - BORDER, tall - BORDER)) == []
        for one in page.content:
            if isinstance(one, Stroke):
                assert all(BORDER < x < wide - BORDER for x, _ in one.points)
                assert all(BORDER < y < tall - BORDER for _, y in one.points)


@pytest.mark.parametrize("case", CASES)
def test_the_stair_comes_first_then_the_rail_kit_then_the_rest(case):
    headings = list(blanks(*case))
    assert headings[0] == "1. The stair"
    assert headings[-2:] == ["2. The rail kit", "3. Only if you have it"]


@pytest.mark.parametrize("case", CASES)
def test_what_is_made_up_in_the_form_has_a_blank(case):
    """Whoever fills in the page has all that has to be written over, section by section."""
    asked = blanks(*case)
    job = tomllib.loads(form(*case))
    sections = [name for name in asked if name not in ("2. The rail kit", "3. Only if you have it")]
    assert len(sections) == len(job["section"])
    fixed = {"rise", "run", "treads", "edge", "turn"}
    for name, section in zip(sections, job["section"], strict=True):
        letters = unnumbered({one.letter for one in asked[name]})
        assert {TYPED["section", key].symbol for key in section if key in fixed} <= letters
    chosen = {"kind"}
    kit = sum(len(set(job[table]) - chosen) for table in ("panel", "bracket", "post"))
    assert len(asked["2. The rail kit"]) == kit


def test_an_old_stair_has_a_blank_for_every_riser_and_tread():
    """A tread less than risers, and five steps more than the three that the form itself has."""
    letters = [one.letter for one in blanks("in", "old")["1. The stair"]]
    assert letters[:8] == [f"R{k}" for k in range(1, 9)]
    assert letters[8:15] == [f"G{k}" for k in range(1, 8)]
    assert {"R1", "R2", "R3", "G1", "G2"} <= on_arrows(PAGES["in", "old"])


@pytest.mark.parametrize(
    ("ending", "start"), [(".pdf", b"%PDF-"), (".svg", b"<?xml"), (".png", b"\x89PNG")]
)
def test_the_ending_says_what_kind_of_file(ending, start):
    assert picture_bytes(PAGES["in", "stair"], f"measure{ending}").startswith(start)


@pytest.mark.parametrize("name", ["measure.dxf", "measure"])
def test_another_ending_is_refused(name):
    with pytest.raises(JobError, match=r"Endings: \.pdf, \.svg, \.png"):
        picture_bytes(PAGES["in", "stair"], name)


def test_the_page_speaks_the_words_of_its_country():
    """Spindles and strings in England, balusters and stringers in the US; common practice, no
    source."""

    def words(units):
        page = PAGES[units, "stair"]
        return " ".join(one.content for one in page.primitives if isinstance(one, Text)).lower()

    assert "spindle spacing" in words("mm") and "closed string " in words("mm")
    assert "baluster" not in words("mm") and "stringer" not in words("mm")
    assert "baluster spacing" in words("in") and "closed stringer" in words("in")
    assert "spindle" not in words("in")


# ---------------------------------------------------------------- as typed


@pytest.fixture
def typed(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)

    def run(*words):
        done = CliRunner().invoke(main, ["form", *words])
        return done.exit_code, done.output

    return run


def test_the_picture_stands_beside_the_form_on_one_page(typed, tmp_path):
    code, said = typed("-o", "job.toml", "--kind", "deck", "--units", "mm")
    assert code == 0
    assert "job.pdf: print it and take it along" in said
    assert (tmp_path / "job.toml").read_text(encoding="utf-8") == form("mm", "deck")
    page, further = PdfReader(tmp_path / "job.pdf").pages
    assert "total rise" in page.extract_text()
    assert "joist spacing" in further.extract_text()


def test_every_kind_can_be_typed(typed):
    for kind in KINDS:
        assert typed("--kind", kind) == (0, form("in", kind))
    code, said = typed("--kind", "ramp")
    assert code == 2 and all(f"'{kind}'" in said for kind in KINDS)


def test_the_form_alone_and_the_picture_alone(typed, tmp_path):
    assert typed("-o", "one.toml", "--no-picture")[0] == 0
    code, said = typed("--picture", "two.svg")
    assert (code, said) == (0, form("in"))
    assert sorted(one.name for one in tmp_path.iterdir()) == ["one.toml", "two-2.svg", "two.svg"]


@pytest.mark.parametrize(
    ("words", "there", "told"),
    [
        (("-o", "a.toml"), "a.pdf", "Give --picture another name, or --no-picture"),
        (("-o", "a.toml"), "a.toml", "it may be a job of yours"),
        (("-o", "a.toml", "--picture", "b.png"), "b.png", "Give --picture another name"),
        (("--picture", "b.png"), "b.png", "there is such a file"),
        (("--picture", "b.png"), "b-2.png", "there is such a file"),
    ],
)
def test_nothing_is_written_over_and_nothing_else_is_written_then(
    typed, tmp_path, words, there, told
):
    (tmp_path / there).write_text("mine", encoding="utf-8")
    code, said = typed(*words)
    assert code == 2 and told in said and said.startswith(f"stairs: {there}: ")
    assert [one.name for one in tmp_path.iterdir()] == [there]
    assert (tmp_path / there).read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("-o", "a.toml", "--picture", "a.dxf"), 'a.dxf: ".dxf" is not a kind of picture'),
        (("-o", "a.toml", "--picture", "none/a.pdf"), "none/a.pdf: cannot be written"),
        (("-o", "none/a.toml"), "none/a.toml: cannot be written"),
        (("-o", "a.pdf"), "-o: a.pdf is to be the form"),
        (("-o", "a.toml", "--picture", "b.pdf", "--no-picture"), "--picture: is given with"),
        (("-o", "a.toml", "--picture", " "), "--picture: is empty"),
    ],
)
def test_a_bad_name_is_told_and_nothing_is_written(typed, tmp_path, words, told):
    code, said = typed(*words)
    assert code == 2 and told in said
    assert list(tmp_path.iterdir()) == []
