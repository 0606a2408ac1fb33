"""The schema of a job file, held by an outside library (jsonschema, Draft 2020-12) against every
example, every job that these tests spoil, and slips as people make them."""

import json
import re
import sys
import tomllib
from pathlib import Path

import pytest
import test_errors
from job_tables import GOOD, LEVEL, METRIC, text_of
from jsonschema import Draft202012Validator

from stairs.errors import StairsError
from stairs.job import job_from_text
from stairs.job.form import form
from stairs.job.schema import job_schema
from stairs.job.tables import all_places

sys.path.insert(0, str(Path(__file__).parents[1] / "cli"))

from slips import COUNT, slip  # noqa: E402

EXAMPLES = Path(__file__).parents[2] / "examples"
SCHEMA = Draft202012Validator(job_schema())


def complaints(text: str) -> list[str]:
    """What the schema has against a job; dates as an editor hands them on, in text."""
    plain = json.loads(json.dumps(tomllib.loads(text), default=str))
    return [f"{one.json_path}: {one.message}" for one in SCHEMA.iter_errors(plain)]


def is_read(text: str) -> bool:
    try:
        job_from_text(text)
    except StairsError:
        return False
    return True


def test_it_is_a_schema():
    Draft202012Validator.check_schema(job_schema())


@pytest.mark.parametrize("path", sorted(EXAMPLES.glob("*.toml")), ids=lambda path: path.stem)
def test_every_example_is_taken(path):
    assert complaints(path.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize("units", ["in", "mm"])
@pytest.mark.parametrize("kind", ["stair", "deck", "landing", "old"])
def test_every_form_is_taken(units, kind):
    assert complaints(form(units, kind)) == []


@pytest.mark.parametrize("tables", [GOOD, METRIC])
def test_the_jobs_that_the_tests_spoil_are_taken(tables):
    assert complaints(text_of(tables)) == []
    assert complaints(text_of(GOOD, section=LEVEL)) == []


SEEN = re.compile(
    r" is missing\. It is | is not a key of |is not a table|is not a list|is not text|"
    r"(?<!\.0) cannot be used\.|is an empty list| is negative\. A length|At most \d+ are read|"
    r": [-0-9.]+ is read as .* A bare number here is|is not (a point|a pair)|"
    r"(true|a list of \d+) is not a length"
)  # fmt: skip
"""Of a message: it is of one key alone, and of what may stand there at all.  What a number in
quotes comes to, and whether 6 was typed as 6.0, no schema sees."""


def spoiled():
    rows = [(GOOD, *row, None) for row in test_errors.KEY_ERRORS]
    rows += [(METRIC, *row, None) for row in test_errors.METRIC_ERRORS]
    rows += [(GOOD, *row, LEVEL) for row in test_errors.LEVEL_ERRORS]
    for number, (tables, changes, place, _, section) in enumerate(rows):
        yield pytest.param(text_of(tables, changes, section), id=f"{number} {place}")


@pytest.mark.parametrize("text", list(spoiled()))
def test_what_one_key_shows_to_be_wrong_is_refused(text):
    with pytest.raises(StairsError) as caught:
        job_from_text(text)
    if SEEN.search(str(caught.value)):
        assert complaints(text) != [], str(caught.value)


@pytest.mark.parametrize(
    "first", [0, *(pytest.param(n, marks=pytest.mark.fuzz) for n in range(100, COUNT, 100))]
)
def test_nothing_that_is_read_is_refused(first):
    read = 0
    for number in range(first, first + 100):
        _, _, text = slip(number)
        if is_read(text.removeprefix("\ufeff")):
            read += 1
            assert complaints(text.removeprefix("\ufeff")) == [], number
    assert read > 10


WRITTEN = ["7 3/4", "7-3/4", '7 3/4"', "5' 3 1/2\"", "5'-3", "197 mm", "19.7 cm", "1.2 m", "15/2",
           "0.5", ".5", "62 in", "5 ft 3 in", "7″", "5′ 3½″", "7½", "7⁄8", "1 1⁄8 in.", "12 Inches",
           " 7 ", "+7", "2 metres", "19.7 Centimeters", "7''", "7\u00a03/4"]  # fmt: skip


@pytest.mark.parametrize("written", WRITTEN)
def test_a_length_is_taken_however_it_is_written(written):
    """The ways of writing that the reader takes, and that README and messages name."""
    text = text_of(GOOD, {"section.side_gap": json.dumps(written)})
    if is_read(text) or "is read as" in refusal_of(text):
        assert [one for one in complaints(text) if "does not match" in one] == []
    else:
        pytest.fail(f"{written} is not read: {refusal_of(text)}")


def refusal_of(text: str) -> str:
    with pytest.raises(StairsError) as caught:
        job_from_text(text)
    return str(caught.value)


PLACES = [place for place in all_places() if place.path != "measured.within"]  # see test_measured


@pytest.mark.parametrize("place", PLACES, ids=lambda place: place.path)
def test_every_key_is_told_with_what_it_may_be(place):
    at = job_schema()
    for part in place.path.split("."):
        at = at.get("items", at)
        at = at["additionalProperties"] if part in ("limit", "reason") else at
        at = at["properties"][part]
    assert place.key.meaning in at["description"]
    assert set(at) - {"description", "examples"}
