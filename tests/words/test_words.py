"""What things are called in each country, and that nothing else is changed by it.

The words are those of the trade: common practice, no source, unless one stands beside them.
"""

import json
import re
from pathlib import Path

import pytest
from click.testing import CliRunner
from msgspec.structs import replace
from told import everything_told

from stairs.cli.commands import main
from stairs.drawing.paper.primitives import Text
from stairs.drawing.views.lettered.measured import measured_pages
from stairs.job import job_from_text, read_job
from stairs.job.form import KINDS, form
from stairs.rules import available
from stairs.words.speech import WARD, countries, country_of, finished, local, speaking, words_of

EXAMPLES = Path(__file__).parents[2] / "examples"

# common practice, no source; guarding, going and pitch are the words of Approved Document K 2013,
# barrier and going those of the NCC, Volume Two
TRADE = {
    "us": {
        "unit rise": "unit rise", "unit run": "unit run", "rake": "rake", "stringer": "stringer",
        "baluster": "baluster", "guard": "guard", "centre": "center", "mitre": "miter",
        "on centre": "on center", "deck": "deck", "neighbouring": "neighboring",
    },
    "ca": {
        "unit rise": "unit rise", "unit run": "unit run", "rake": "rake", "stringer": "stringer",
        "baluster": "baluster", "guard": "guard", "center": "centre", "miter": "mitre",
        "deck": "deck",
    },
    "uk": {
        "unit rise": "rise", "unit run": "going", "rake angle": "pitch", "rake": "pitch",
        "stringer": "string", "baluster": "spindle", "guard": "guarding", "center": "centre",
        "on center": "centre to centre", "miter": "mitre", "deck": "decking",
        "nosing projection": "nosing overlap", "a guard": "guarding", "guards": "guarding",
    },
    "au": {
        "unit rise": "riser", "unit run": "going", "rake": "pitch", "stringer": "stringer",
        "baluster": "baluster", "guard": "barrier", "guards": "barriers", "center": "centre",
        "miter": "mitre", "deck": "deck", "nosing projection": "nosing",
    },
}  # fmt: skip
# whole words that only one side of the ocean writes; a decimal "meter" is none in either
AMERICAN = r"centers?|balusters?|stringers?|rakes?|guards?|miters?|unit (?:rise|run)s?|neighboring"
BRITISH = r"centres?|spindles?|strings?|goings?|guarding|mitres?|barriers?|neighbouring"


@pytest.mark.parametrize(
    ("country", "said"), [(country, said) for country, words in TRADE.items() for said in words]
)
def test_each_country_says_it_in_its_own_words(country, said):
    word = TRADE[country][said]
    with speaking(country):
        assert local(said) == word
        assert local(f"the {said}, drawn") == f"the {word}, drawn"
        assert local(said.upper()) == word.upper()
        assert local(f"{said[0].upper()}{said[1:]} here") == f"{word[0].upper()}{word[1:]} here"


@pytest.mark.parametrize(
    ("rulebook", "country"),
    [("irc-2021", "us"), ("ibc-2021", "us"), ("nbc-2020", "ca"), ("england-ad-k-2013", "uk"),
     ("din-18065-2015", "uk"), ("iso-14122-3-2016", "uk"), ("ncc-2022", "au"),
     ("nz-f4-as1", "au")],
)  # fmt: skip
def test_a_rulebook_brings_its_country(rulebook, country):
    assert country_of(rulebook) == country


def test_every_rulebook_stands_under_one_country():
    named = [book for books in countries().values() for book in books]
    assert sorted(named) == sorted(available())


@pytest.mark.parametrize("country", sorted(TRADE))
def test_what_is_in_a_country_s_words_stays_as_it_is(country):
    with speaking(country):
        for word in words_of(country).values():
            for text in (word, word + "s", f"the {word} of a {word.upper()}"):
                assert local(text) == text


@pytest.mark.parametrize(
    "text",
    ["riser", "risers", "rise", "tread", "rise of a flight", "total rise 1140 mm", "guarded",
     "decking", "centred", "braked", "stringer_margin", 'stringer = "closed"', "guard-height-min",
     'surface = "deck"', "`rake`", "baluster_clear"],
)  # fmt: skip
def test_half_words_keys_and_names_of_checks_stay(text):
    with speaking("uk"):
        assert local(text) == text


def test_without_a_country_every_text_stays():
    assert finished(local("Stringer at the center of a guard")) == (
        "Stringer at the center of a guard"
    )


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("Baluster Lane", "BALUSTER LANE, Baluster  Lane and baluster lane: spindle"),
        ("5 guard (rake) road", "Level run 2, 5 guard (rake) road: guarding"),
        ("a guard", "a guard"),
        ("the center of on center", "the center of on center, centre"),
    ],
)
def test_what_was_typed_stays_in_whole_and_in_pieces(typed, said):
    program = {"spindle": "baluster", "guarding": "guard", "centre": "center"}
    end = said.split()[-1]
    text = said.removesuffix(end) + program.get(end, end)
    with speaking("uk", [typed]):
        once = local(text)
        assert [finished(word) for word in once.split()] == said.split()
        assert finished(once) == said


def renamed(job):
    """The job with names of the user's that hold no word of the trade."""
    sections = tuple(
        replace(section, name=f"part {number}") for number, section in enumerate(job.sections, 1)
    )
    return replace(job, title="Test house", sections=sections)


def found_in(texts, pattern):
    return sorted({text for text in texts if re.search(rf"\b(?:{pattern})\b", text, re.IGNORECASE)})


@pytest.mark.parametrize("name", ["metric-deck", "terrace"])
def test_a_job_set_in_england_is_told_in_no_american_word(name):
    told = everything_told(renamed(read_job(EXAMPLES / f"{name}.toml")))
    assert found_in(told, AMERICAN) == []
    assert found_in(told, "spindles?") and found_in(told, "guarding") and found_in(told, "going")


@pytest.mark.parametrize("name", ["porch", "quarter-landing"])
def test_a_job_set_in_america_is_told_in_no_british_word(name):
    told = everything_told(renamed(read_job(EXAMPLES / f"{name}.toml")))
    assert found_in(told, BRITISH) == []
    assert found_in(told, "balusters?") and found_in(told, "center") and found_in(told, "rake")


def test_the_job_may_ask_for_another_country():
    job = replace(renamed(read_job(EXAMPLES / "porch.toml")), words="au")
    told = everything_told(job)
    assert found_in(told, "guards?|centers?|unit runs?") == []
    assert found_in(told, "barrier height") and found_in(told, "going")


TYPED = """
title = "The miter and guard of the old house by the miter at the long lake, balusters and all"
[sheet]
address = ["Miter Yard 5", "Over the stringer mill"]
drawn_by = "Ann Miter"
revision = "miter"
"""


def test_no_word_that_the_user_typed_is_put_into_others():
    text = (EXAMPLES / "porch.toml").read_text("utf-8")
    text = re.sub("(?m)^title = .*$", "", text)
    text = re.sub('(?m)^name = "(.*)"', 'name = "miter of the center, \\1"', text)
    head, _, keys = TYPED.strip().partition("\n")
    own = '\n[local]\n"guard-height-min" = { limit = "34", reason = "miter by the guard" }\n'
    job = job_from_text(f"{head}\n{re.sub('(?ms)^.sheet.$.*?(?=^.)', '', text)}\n{keys}{own}")
    counts = {}
    for country in ("us", "uk"):
        told = everything_told(replace(job, words=country))
        assert not any(WARD in line for line in told)
        assert found_in(told, "mitres?") == []
        counts[country] = len(re.findall("miter", " ".join(told), re.IGNORECASE))
    assert counts["uk"] == counts["us"] > 40


@pytest.mark.parametrize("command", [("solve", "--json"), ("check", "--json"),
                                     ("cuts", "--csv", "buy"), ("cuts", "--csv", "cut"),
                                     ("cuts", "--csv", "set-out")])  # fmt: skip
def test_other_programs_are_told_the_same_in_every_country(command, tmp_path):
    text = (EXAMPLES / "back-steps.toml").read_text("utf-8")
    solutions = set()
    for country in TRADE:
        job = tmp_path / f"{country}.toml"
        job.write_text(f'words = "{country}"\n{text}', "utf-8")
        run = CliRunner().invoke(main, [command[0], str(job), *command[1:]])
        assert run.exit_code in (0, 1)
        solutions.add(run.stdout)
    assert len(solutions) == 1
    if "--json" in command:
        found = json.loads(solutions.pop())
        assert any(check["remedy"] for check in found["checks"])


def test_a_country_without_words_is_named(tmp_path):
    job = tmp_path / "job.toml"
    job.write_text('words = "fr"\n' + (EXAMPLES / "porch.toml").read_text("utf-8"), "utf-8")
    run = CliRunner().invoke(main, ["solve", str(job)])
    assert run.exit_code == 2
    assert "words" in run.stderr and '"uk"' in run.stderr


def test_no_screen_is_wider_in_another_country(tmp_path):
    for country in TRADE:
        for name in ("metric-deck", "back-steps"):
            job = tmp_path / "job.toml"
            text = (EXAMPLES / f"{name}.toml").read_text("utf-8")
            job.write_text(f'words = "{country}"\n{text}', "utf-8")
            for command in (["solve"], ["check"], ["cuts", "--loads"]):
                run = CliRunner().invoke(main, [command[0], str(job), *command[1:]])
                assert max(map(len, run.stdout.splitlines())) <= 80


@pytest.mark.parametrize(("units", "foreign"), [("in", BRITISH), ("mm", AMERICAN)])
@pytest.mark.parametrize("kind", sorted(KINDS))
def test_the_picture_of_what_to_measure_is_in_the_words_that_go_with_the_units(
    units, foreign, kind
):
    page, _ = measured_pages(units, kind)
    told = [one.content for one in page.primitives if isinstance(one, Text)]
    assert len(told) > 50
    assert found_in([*told, page.description], foreign) == []


def test_a_form_explains_its_keys_in_the_words_that_go_with_its_units():
    inches, millimetres = form("in"), form("mm")
    told = [" ".join(text.replace("#", " ").split()) for text in (inches, millimetres)]
    assert "the width of a baluster as" in told[0] and "the width of a spindle as" in told[1]
    assert "\nbaluster = " in inches and "\nbaluster = " in millimetres
    assert job_from_text(millimetres).panel.baluster == 20
