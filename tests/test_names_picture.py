"""The picture of the names page: drawn from the model, each letter there and on the page."""

import importlib.util
import re
from collections import Counter
from pathlib import Path
from xml.etree import ElementTree

import pytest

from stairs.drawing.paper.primitives import Text
from stairs.drawing.paper.sheet_sizes import BORDER
from stairs.drawing.placing.inspection import overlaps
from stairs.relations.quantities import AS_BUILT, FURTHER, NAMES_PAGE, TYPED

ROOT = Path(__file__).parent.parent


@pytest.fixture(scope="module")
def names():
    spec = importlib.util.spec_from_file_location("names_figure", ROOT / "figures" / "names.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="module")
def picture(names):
    return names.picture()


def lettered(texts):
    """Letters of dimensions; ``W = T G`` is three."""
    return Counter(one for text in texts for one in text.split() if one != "=")


def dimension_texts(page):
    return [one.content for one in page.primitives if isinstance(one, Text) and one.owner]


TYPED_LETTERS = {one.symbol for one in (*TYPED.values(), *AS_BUILT.values())}
FURTHER_LETTERS = {one.symbol for one in FURTHER.values()}
MEASURED = TYPED_LETTERS - FURTHER_LETTERS


def test_what_few_jobs_ask_for_is_lettered_in_the_second_picture(names):
    """A hole's place is two measurements with one letter."""
    found = lettered(dimension_texts(names.further_picture()))
    assert set(found) == FURTHER_LETTERS
    assert {letter for letter, times in found.items() if times > 1} == {"Ho"}


def test_what_is_measured_is_lettered_once_and_nothing_else_is(picture):
    """Every quantity with a key of the job file; run and rise are told as sums too."""
    found = lettered(dimension_texts(picture))
    assert set(found) == MEASURED
    assert {letter for letter, times in found.items() if times > 1} == {"R", "G"}


def test_no_letter_is_struck_through_or_written_over(picture, names):
    """As on every other sheet."""
    for page in (picture, names.further_picture()):
        paper = page.paper
        area = (0, 0, float(paper.width), float(paper.height))
        assert overlaps(page.primitives, area) == []
        inside = (BORDER, BORDER, float(paper.width) - BORDER, float(paper.height) - BORDER)
        assert overlaps(page.content, inside) == []


def test_kept_pictures_are_those_that_are_drawn(picture, names):
    """The files hold the same lettering."""
    for file, page in (("names.svg", picture), ("names-2.svg", names.further_picture())):
        root = ElementTree.parse(ROOT / "figures" / file).getroot()
        kept = ["".join(one.itertext()) for one in root.iter() if one.tag.endswith("}text")]
        drawn = [one.content for one in page.primitives if isinstance(one, Text)]
        assert Counter(kept) == Counter(drawn)


def test_kept_page_is_the_one_that_is_written(names):
    """``python figures/names.py`` after a change of the names page."""
    assert (ROOT / "examples" / "names.md").read_text(encoding="utf-8") == names.page_text()


def test_page_has_every_letter_name_and_key_once():
    """Each quantity is one row of its table."""
    text = (ROOT / "examples" / "names.md").read_text(encoding="utf-8")
    rows = re.findall(r"^\| (\S.*?) \| `(\w+)` \| (\w+) \| (.+?) \| (.*?) ?\|$", text, re.MULTILINE)
    assert {(row[0], row[1], row[2], row[3]) for row in rows} == {
        (one.symbol, one.name, one.unit, one.meaning)
        for group in NAMES_PAGE.values()
        for one in group
    }
    assert {row[0] for row in rows if row[4]} == TYPED_LETTERS
    assert [line[3:] for line in text.splitlines() if line.startswith("## ")] == list(NAMES_PAGE)
    pictures = re.findall(r"\]\((\S+\.svg)\)", text)
    assert len(pictures) == 2 and all((ROOT / "examples" / one).is_file() for one in pictures)
