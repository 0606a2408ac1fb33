"""The guided questions: what they ask in which order, what they refuse, what is kept of them."""

import difflib
import tomllib
from fractions import Fraction
from pathlib import Path

import msgspec
import pytest
from porch_talk import PORCH, Told

from stairs.asking.walk import ABOVE_SECTIONS, Place, keys_at, walked
from stairs.errors import FileError
from stairs.job import read_job
from stairs.job.form import form
from stairs.job.key_notes import keys_of
from stairs.job.records import JobFlight, JobLevel

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))
PORCH_FILE = next(one for one in EXAMPLES if one.name == "porch.toml")
STEPS = ["in", "flight", ""]
FIXED = [*STEPS, "43 1/2", "", "52 1/2", "5"]


def test_the_porch_told_from_nothing_is_the_porch(talk):
    told = talk(PORCH)
    assert (told.error, told.left) == (None, [])
    mine, example = read_job(told.file), read_job(PORCH_FILE)
    assert (mine.panel, mine.bracket, mine.post) == (example.panel, example.bracket, example.post)
    assert (mine.title, mine.units, mine.rules) == (example.title, "in", example.rules)
    (flight,), (porch,) = mine.sections, example.sections
    assert flight == msgspec.structs.replace(porch, name="")


def test_the_stair_is_asked_first_the_kit_second_the_rest_last(talk):
    keys = talk(PORCH).keys
    order = ["units", "rise", "run", "treads", "nosing", "height", "pitch", "pivot_offset", "base",
             "rules", "title"]  # fmt: skip
    assert [keys.index(one) for one in order] == sorted(keys.index(one) for one in order)


def test_every_question_is_about_a_key():
    for kind, record in (("flight", JobFlight), ("level", JobLevel)):
        assert set(walked(kind, 2)) <= set(keys_of(record))
    for table, keys in ABOVE_SECTIONS.items():
        assert set(keys) <= set(keys_at({}, Place(table, "")))


@pytest.fixture(scope="module")
def whole(tmp_path_factory):
    """The porch told without a break."""
    return Told(tmp_path_factory.mktemp("whole") / "job.toml", PORCH)


@pytest.mark.parametrize("asked", range(0, len(PORCH), 4))
def test_talk_that_is_broken_off_is_taken_up_again(asked, talk, whole):
    """No answer is lost, the file is TOML at any moment, and the end is the same."""
    ends = [] if asked % 2 else [KeyboardInterrupt()]
    broken = talk([*PORCH[:asked], *ends])
    if asked:
        last, end = broken.values, whole.values
        for table in ("panel", "bracket", "post"):
            assert last[table].items() <= end[table].items()
        for mine, theirs in zip(last.get("section", []), end["section"], strict=False):
            assert mine.items() <= theirs.items()
        assert broken.error is None or "still missing" in broken.error.found
    else:
        assert not broken.file.exists()
    again = talk(PORCH[asked:])
    assert again.error is None
    assert broken.file.read_text() == whole.file.read_text()


def test_what_is_missing_is_told_with_what_would_be_enough(talk):
    told = talk([*STEPS, "43 1/2", "6"])
    assert "section 1: Add any one of: run (W), unit_run (G), rake" in told.error.found
    assert "panel: height (P), the height of the level panel" in told.error.found
    assert "pivot_offset" not in told.error.found  # of which kind the bracket is was not said
    told = talk(["52 1/2", "missing"])
    assert "section 1" not in told.error.found
    (listed,) = [one for one in told.lines if one.startswith("panel: height (P)")]
    assert "bracket: kind" in listed and "section 1" not in listed


def test_risers_are_told_at_once(talk):
    """43 1/2 in 6 risers is 7 1/4, 52 1/2 in 5 treads is 10 1/2: plain division."""
    told = talk([*STEPS, "43 1/2", "6"])
    assert "That makes 6 risers of 7 1/4 in." in told.lines
    told = talk(FIXED, "other.toml")
    assert "That makes 6 risers of 7 1/4 in and 5 treads of 10 1/2 in." in told.lines


def test_unusual_steps_are_asked_about(talk):
    """8 risers in 30 in are 3 3/4 each: a riser of 4 to 9 1/2 in is usual, from 2 1/2 believed."""
    told = talk([*STEPS, "30", "8", "no", "4", "", "50"])
    assert any(one.startswith("That makes 8 risers of 3 3/4 in, right?") for one in told.questions)
    assert told.values["section"][0]["risers"] == 4
    told = talk([*STEPS, "30", "8", "5"], "other.toml")
    assert told.values["section"][0]["risers"] == 5
    told = talk([*STEPS, "30", "8", "yes"], "third.toml")
    assert told.values["section"][0]["risers"] == 8


def test_steps_that_nobody_walks_are_refused_at_once(talk):
    """43 1/2 in 60 risers is less than 3/4 in each."""
    told = talk([*STEPS, "43 1/2", "60", "6"])
    assert "60 risers of 0.725 in each" in told.text
    assert told.values["section"][0]["risers"] == 6


@pytest.mark.parametrize(
    "typed, read",
    [
        ("36 1/4", "36 1/4"),
        ('36 1/4"', '36 1/4"'),
        ("“36 1/4”", "36 1/4"),
        ("36¼", "36¼"),
        ("36,25", "36.25"),
        ("3' 1/4\"", "3' 1/4\""),
        ("3 ft 1/4 in", "3 ft 1/4 in"),
        ("921 mm", "921 mm"),
        (" 36-1/4 ", "36-1/4"),
    ],
)
def test_whatever_a_person_writes_is_read(typed, read, talk):
    told = talk([*STEPS, typed])
    assert told.values["section"][0]["rise"] == read


@pytest.mark.parametrize(
    "typed, words",
    [
        ("", "Left open"),
        ("thirty", "not a length"),
        ("-33", "negative"),
        ("0", "above 0"),
        ("3", "is read as 3 in. A bare number here is 8 to 120 in. 3 in or 3 ft?"),
        ("9999 ft", "longer than 1000 ft"),
        ("33 1/0", "divides by zero"),
        ("[1", "cannot be read"),
        ("33\x07", "U+0007"),
        ("33 \ufffd", "cannot be read, U+FFFD"),
    ],
)
def test_an_answer_that_cannot_be_is_told_at_once(typed, words, talk):
    told = talk([*PORCH[:15], typed])
    assert words in told.text
    assert "height" not in told.values["panel"]


def test_answers_that_cannot_both_be_are_told_with_which_to_take_again(talk):
    """Rails of 1 3/4 and 38 in are deeper than a panel of 33 1/2: 1 3/4 + 38 = 39 3/4."""
    told = talk([*PORCH[:17], "38 in", "height = 45", "38 in"])
    assert "panel: height: " in told.text and '39 3/4"' in told.text
    assert "Answer again, or take the other one again, as in height = ..." in told.text
    assert told.values["panel"]["height"] == "45"
    assert told.values["panel"]["bottom_rail"] == "38 in"


def test_steps_that_contradict_name_what_would_agree(talk):
    """With 5 treads there are 6 risers; 7 of them would go with 6 treads."""
    told = talk([*FIXED, "risers = 7"])
    assert "reads is given as 5, but risers make it 6: they differ by 1" in told.text
    assert "if the others are right, risers is 6, or treads is 6" in told.text
    told = talk(["treads = none", "risers = 7", "", ""])
    assert told.values["section"][0]["risers"] == 7
    assert "treads" not in told.values["section"][0]


def test_an_answer_that_was_not_typed_ends_the_talk_where_it_is_refused(talk):
    told = talk([*PORCH[:15], "3", "1 3/4"], typed=False)
    assert told.error.where.endswith("job.toml: panel: height")
    assert told.left == ["1 3/4"]


def test_what_is_there_is_kept_unless_it_is_to_be_replaced(talk):
    talk(PORCH)
    told = talk([])
    assert told.questions == ["Anything else? Name it, ? lists all keys (Enter: done)"]
    before = told.file.read_text()
    told = talk([""] * 60, replace=True)
    assert (told.error, told.file.read_text()) == (None, before)
    assert "H  rise: the total rise, lower landing to upper landing? (Enter: 43 1/2)" in told.text
    told = talk(["", "40"], replace=True)
    changed = before.replace('rise = "43 1/2"', 'rise = "40"')
    assert told.file.read_text() == changed != before


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda one: one.stem)
def test_a_file_that_is_there_keeps_comments_and_order(example, talk, tmp_path):
    """Every line stays as it was, and one is new for each answer."""
    text = example.read_text(encoding="utf-8")
    (tmp_path / "job.toml").write_text(text, encoding="utf-8")
    assert talk([]).file.read_text(encoding="utf-8") == text
    told = talk(["title = Another", "rail_width = 1 5/8 in", "post reveal = 1 1/2 in"])
    after = told.file.read_text(encoding="utf-8")
    changes = list(difflib.ndiff(text.splitlines(), after.splitlines()))
    assert [one[2:] for one in changes if one.startswith("- ")] == [
        line for line in text.splitlines() if line.startswith(("title", "reveal", "rail_width"))
    ]
    assert sorted(one.split()[1] for one in changes if one.startswith("+ ")) == [
        "rail_width", "reveal", "title",
    ]  # fmt: skip
    job = read_job(told.file)
    assert job.title == "Another"


def test_line_ends_and_remarks_stay(talk, tmp_path):
    path = tmp_path / "job.toml"
    path.write_bytes(b'# mine\r\nunits="in"   # tape\r\n\r\n[post]\r\nwidth = "3" # a post\r\n')
    told = talk(["flight", "", "43 1/2"])
    text = told.file.read_bytes()
    assert text.startswith(b'# mine\r\nunits="in"   # tape\r\n') and b'width = "3" # a post' in text
    assert text.count(b"\n") == text.count(b"\r\n")


def test_a_file_that_is_edited_meanwhile_loses_nothing(talk, tmp_path):
    path = tmp_path / "job.toml"

    class Editor(str):
        """An answer, before which somebody writes a key by hand."""

        def strip(self):
            path.write_text(path.read_text().replace('# title = "My stair"', 'title = "Mine"'))
            return "43 1/2"

    told = talk([*STEPS, Editor()])
    assert told.values["title"] == "Mine"
    assert told.values["section"][0]["rise"] == "43 1/2"


def test_going_back(talk):
    told = talk([*STEPS, "43 1/2", "back", "44", "", "52 1/2", "5"])
    assert told.values["section"][0]["rise"] == "44"
    assert told.keys.count("rise") == 2
    told = talk(["back", "in", "flight"], "first.toml")
    assert "This is the first question." in told.lines


def test_help_tells_what_to_measure_with_an_example_and_the_range(talk):
    told = talk([*STEPS, "?"])
    (told_help,) = [one for one in told.lines if one.startswith("section 1: rise (H):")]
    assert "the total rise, lower landing to upper landing" in told_help.replace("\n", " ")
    assert "For example 43 1/2" in told_help
    assert "back     the question before" in told_help
    assert max(map(len, told_help.splitlines())) <= 80


def test_none_takes_an_answer_away(talk):
    told = talk([*FIXED, "rise = none"])
    assert "rise" not in told.values["section"][0]
    told = talk(["", "back", "none"])
    told = talk(["none", "", "none"], replace=True)
    assert (told.values["units"], told.values["section"][0]["kind"]) == ("in", "flight")


def test_a_deck_after_the_stair_stands_after_it_in_the_file(talk):
    told = talk([*PORCH[:14], "deck", "", "", "", "132", "", "", "", "", "", "33 1/2"])
    assert [one["kind"] for one in told.values["section"]] == ["flight", "level"]
    assert told.values["section"][1]["span"] == "132"
    assert told.values["panel"]["height"] == "33 1/2"
    text = told.file.read_text()
    assert text.index("[[section]]") < text.index("span =") < text.index("[panel]")


def test_a_deck_by_its_edge(talk):
    """A plate of 5 kept 2 3/4 from both ends of 144 leaves 144 - 2 (2 1/2 + 2 3/4) = 133 1/2."""
    told = talk(["in", "deck", "144", "", "", "", "", "", "", *PORCH[15:]])
    assert told.error is None
    assert "span" not in told.values["section"][0]
    assert read_job(told.file).sections[0].span == Fraction(267, 2)


def test_other_keys_are_asked_by_name_letter_or_with_their_answer(talk):
    talk(PORCH)
    told = talk(["wg", "1", "width = 36", "Y = 36", "post width", "", "going", "?", "level", "",
                 "", "", "132"])  # fmt: skip
    section = told.values["section"]
    assert (section[0]["side_gap"], section[0]["width"]) == ("1", "36")
    assert "Which one? Write post width or section 1 width." in told.text
    assert "section.unit_run" in told.text
    assert section[1] == {"kind": "level", "span": "132"}


def test_a_form_that_was_never_filled_in_is_asked(talk, tmp_path):
    (tmp_path / "job.toml").write_text(form("in"), encoding="utf-8")
    told = talk(["", "", "rise = 40"])
    assert told.lines[0] == "Every measurement in it is made up. Each is asked again."
    assert told.values["section"][0]["rise"] == "40"


def test_a_value_that_cannot_be_is_asked_first(talk, tmp_path):
    text = PORCH_FILE.read_text(encoding="utf-8")
    path = tmp_path / "job.toml"
    path.write_text(text.replace('pitch = "4 1/2"', 'pitch = "-4 1/2"'), encoding="utf-8")
    told = talk(["4 1/2"])
    assert told.questions[0].startswith("p  pitch:")
    assert path.read_text(encoding="utf-8") == text


@pytest.mark.parametrize(
    "text, words",
    [
        ("rise = 36 1/4", "line 1"),
        ('units = "in"\n[panel]\nheigth = 3\n', "heigth"),
        ("section = 3\n", "section"),
    ],
)
def test_a_file_that_nobody_can_ask_about_is_left_alone(text, words, talk, tmp_path):
    (tmp_path / "job.toml").write_text(text)
    with pytest.raises(Exception, match=words) as caught:
        told = talk([])
        raise told.error
    assert words in str(caught.value)
    assert (tmp_path / "job.toml").read_text() == text


def test_names_of_no_file_are_refused(talk, tmp_path):
    for name in (".", "no folder/job.toml", "/dev/null"):
        with pytest.raises(FileError):
            talk(["in"], name)


def test_metric_answers_are_bare_numbers(talk):
    told = talk(["millimetres", "stairs", "", "1100", "6", "1 m"])
    assert told.values["units"] == "mm"
    assert told.values["section"][0] == {
        "kind": "flight", "rise": 1100, "risers": 6, "run": "1 m",
    }  # fmt: skip
    assert tomllib.loads(told.file.read_text(encoding="utf-8"))


def test_a_value_over_the_rulebooks_is_asked_for_and_asked_again_till_there_are_no_more(talk):
    told = talk([
        *PORCH[:-2], "guard-height-min, 42, as the county asks, by letter",
        "handrail-height-max, 37", "handrail-height-max, 37, agreed on site", "", "",
    ])  # fmt: skip
    assert told.error is None and told.left == []
    assert told.values["local"] == {
        "guard-height-min": {"limit": "42", "reason": "as the county asks, by letter"},
        "handrail-height-max": {"limit": "37", "reason": "agreed on site"},
    }
    assert "is not all three" in told.text
    assert [own.check for own in read_job(told.file).local] == list(told.values["local"])


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("guard-hight, 42, so", '"guard-hight" is no check'),
        ("guard-height-min, tall, so", "not a length"),
        ("guard-height-min, 3 mm, so", "Was another unit meant?"),
        ("guard-height-min, 0, so", "A limit is above 0"),
    ],
)
def test_a_value_that_cannot_be_is_refused_at_once(talk, typed, words):
    told = talk([*PORCH[:-2], typed, "", ""])
    assert words in told.text
    assert "local" not in told.values


def test_no_value_over_the_rulebooks_is_asked_for_again(talk):
    assert "local: only if" in talk(PORCH).questions[-2]
    again = talk([""])
    assert (again.error, again.questions) == (
        None,
        ["Anything else? Name it, ? lists all keys (Enter: done)"],
    )
    told = talk(["local", "guard-height-min, 40, so", "", ""])
    assert list(told.values["local"]) == ["guard-height-min"]


def test_the_questions_follow_the_words_of_the_country(talk):
    """Going, spindle and pitch in England, run, baluster and rake in the US; keys keep their names.

    Common practice, no source.
    """
    us, uk = talk(["in", "flight"]), talk(["mm", "flight"], "metric.toml")
    assert "the total run" in talk(["", "30", "", ""]).text and us.error is not None
    told = talk(["", "1140", "6", ""], "metric.toml").text
    assert "W  run: the total going" in told and uk.error is not None
    england = "\n".join(line for line in talk([""] * 40, "metric.toml").lines)
    assert "baluster: the width of a spindle" in england
