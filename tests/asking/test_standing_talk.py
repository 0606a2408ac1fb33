"""Guided questions about posts as they stand: what is asked, kept, refused and taken up again."""

import random
import tomllib
from pathlib import Path

import pytest
from test_spoiled_answers import spoiled

from stairs.asking import StandingTalk
from stairs.errors import JobError, StairsError
from stairs.job import read_job
from stairs.lists.planned_posts import planned_posts, planned_solution, why_unsolved

EXAMPLES = Path(__file__).parents[2] / "examples"
PORCH = ["-4 1/8", "-1/4", "", "", "", "", "", "1/4", "bay 1 top"]
"""Post 1 off its place on a dip, post 2 out of plumb, a rail cut: one answer to each question."""


class Told:
    """What was asked and told in one talk, and how it ended."""

    def __init__(self, file, answers, **options):
        self.file, self.left, self.lines, self.questions = file, list(answers), [], []
        self.error = None
        planned = planned_posts(planned_solution(read_job(file)))
        try:
            StandingTalk(file, self.hear, self.lines.append, planned, why_unsolved, **options).run()
        except JobError as error:
            self.error = error

    def hear(self, question):
        self.questions.append(question)
        answer = self.left.pop(0) if self.left else None
        if isinstance(answer, BaseException):
            raise answer
        return answer

    @property
    def keys(self):
        return [one.split(":")[0].split()[-1] for one in self.questions]

    @property
    def text(self):
        return "\n".join(self.lines)

    @property
    def section(self):
        return tomllib.loads(self.file.read_text(encoding="utf-8"))["section"][0]


@pytest.fixture
def talk(tmp_path):
    def held(answers, name="porch", file="job.toml", **options):
        path = tmp_path / file
        if not path.exists():
            path.write_bytes((EXAMPLES / f"{name}.toml").read_bytes())
        return Told(path, answers, **options)

    return held


def test_each_post_is_asked_about_and_only_what_was_answered_is_written(talk):
    told = talk(PORCH)
    assert (told.error, told.left) == (None, [])
    of_post = ["x", "surface", "lean"]
    assert told.keys == [*of_post, "clear_low", "clear_high", *of_post, "done"]
    assert told.section["as_built"] == [
        {"post": 1, "x": "-4 1/8", "surface": "-1/4"},
        {"post": 2, "lean": "1/4"},
    ]
    assert told.section["done"] == ["bay 1 top"]


def test_the_answers_are_those_of_the_example(talk):
    """The example of posts as they stand was told by the same measurements."""
    mine = read_job(talk(PORCH).file)
    example = read_job(EXAMPLES / "porch-as-built.toml")
    assert mine.sections == example.sections


def test_the_file_keeps_every_line_that_it_had(talk):
    before = (EXAMPLES / "porch-as-built.toml").read_text(encoding="utf-8").splitlines()
    before = [one for one in before if "as_built" not in one]
    told = talk(["", "", "", "", "", "", "", "", ""], "porch-as-built", replace=True)
    after = told.file.read_text(encoding="utf-8").splitlines()
    assert [one for one in after if one in before] == before


def test_each_question_says_what_was_planned_and_what_enter_does(talk):
    told = talk(PORCH)
    assert told.questions[0] == (
        'xc  x: where its middle stands, level from the first nosing? (Enter: as planned, -4")'
    )
    assert told.questions[2].endswith("plus toward post 2, minus away from post 2? (Enter: plumb)")
    assert told.questions[7].endswith("plus away from post 1, minus toward post 1? (Enter: plumb)")
    assert 'Section 1, post 2: planned 60 1/4" from the first nosing' in told.text


@pytest.mark.parametrize("asked", range(1, len(PORCH)))
def test_a_talk_that_is_broken_off_is_taken_up_again(asked, talk):
    ends = [KeyboardInterrupt()] if asked % 2 else []
    broken = talk([*PORCH[:asked], *ends])
    assert "go on with the same command" in broken.error.remedy
    again = talk([""] * 9)
    assert again.error is None
    for answer in PORCH[asked:]:
        again = talk([answer], replace=False) if answer else again
    whole = read_job(talk(PORCH, file="whole.toml").file).sections[0].as_built
    mine = {one.post: one for one in read_job(broken.file).sections[0].as_built}
    for one in whole:
        told = mine.get(one.post)
        assert told is None or told.x in (None, one.x)


def test_what_was_passed_is_not_asked_again(talk):
    talk(PORCH)
    again = talk([])
    assert (again.error, again.questions) == (None, [])
    once_more = talk([""] * 9, replace=True)
    assert len(once_more.questions) == 9
    assert once_more.section["as_built"][0] == {"post": 1, "x": "-4 1/8", "surface": "-1/4"}


def test_a_post_that_stands_as_planned_is_noted_and_its_note_goes_when_it_is_moved(talk):
    told = talk(["", "", "", "", ""])
    assert "# post 1 stands as planned" in told.file.read_text(encoding="utf-8")
    assert "as_built" not in told.section
    assert talk([]).keys == ["x"]  # of post 2
    told = talk(["-4 1/16"], replace=True)
    assert "stands as planned" not in told.file.read_text(encoding="utf-8")
    assert told.section["as_built"] == [{"post": 1, "x": "-4 1/16"}]


def test_what_cannot_be_beside_the_rest_is_told_at_once(talk):
    """From -4 1/8 to 60 1/4 are 64 3/8, less two halves of 3 in posts 61 3/8: 60 is 1 3/8 less."""
    told = talk(["-4 1/8", "", "", "60", "", "60 1/4", "", "", "", ""])
    assert told.error is None
    assert '61 3/8" apart there, face to face: they differ by 1 3/8"' in told.text
    assert told.section["as_built"] == [{"post": 1, "x": "-4 1/8", "clear_low": "60"}]


def test_an_answer_that_is_sent_and_cannot_be_ends_the_talk(talk):
    told = talk(["-4 1/8", "", "", "60", "", "60 1/4", ""], typed=False)
    assert told.error.where.endswith("section 1, post 2: x")
    assert told.left == [""]


def test_back_none_and_other_keys(talk):
    told = talk(["-4 1/8", "back", "-4 1/4", "lean = 1/8", "none", "", "", "", "", "", "", ""])
    assert told.keys[:4] == ["x", "surface", "x", "surface"]
    assert told.section["as_built"] == [{"post": 1, "x": "-4 1/4", "lean": "1/8"}]
    told = talk(["none", "", "none"], replace=True)
    assert "as_built" not in told.section


def test_the_caution_comes_with_a_lean_and_at_the_end(talk):
    told = talk(PORCH)
    assert told.text.count("A post that leans because it is loose is not shimmed") == 2
    assert "Shims, moved posts and new holes change what holds the post" in told.text
    assert "Shims" not in talk([""] * 9, file="other.toml").text


def test_each_hand_of_a_stair_is_asked_and_told(talk):
    """The left-hand landing of a square turn is shorter: two posts where the right hand has
    three."""
    told = talk(["", "", "", "", "", "", "", "", "1/8"], "quarter-landing")
    heads = [line for line in told.lines if line.startswith("\nSection")]
    assert heads[0].startswith("\nSection 1, post 1, right hand: planned -4")
    assert heads[2].startswith("\nSection 1, post 1, left hand")
    assert told.section["as_built"] == [{"post": 1, "hand": "left", "x": "1/8"}]


def test_posts_that_were_left_open_are_listed_first(talk):
    told = talk(["", "-120"], "metric-deck")
    assert told.questions[0].endswith("(Enter: -110, 1510)")
    before = tomllib.loads((EXAMPLES / "metric-deck.toml").read_text(encoding="utf-8"))
    assert "posts" not in before["section"][0]
    assert told.section["posts"] == [-110, 1510]
    assert told.section["as_built"] == [{"post": 1, "x": -120}]


def test_posts_that_follow_from_an_edge_are_listed_too(talk):
    """Four questions of a first post that the flight has too, then the x of the second one."""
    told = talk([*[""] * 19, "47 3/4"], "deck-by-edges")
    assert told.error.found.startswith("still to be asked: Section 2, post 2")
    sections = tomllib.loads(told.file.read_text(encoding="utf-8"))["section"]
    assert sections[1]["posts"] == ["0", "47 7/8", "95 3/4"]
    assert sections[1]["as_built"] == [{"post": 2, "x": "47 3/4"}]
    assert "as_built" not in sections[0] and "posts" not in sections[2]


def test_tables_within_brackets_are_kept_so(talk, tmp_path):
    text = (EXAMPLES / "porch.toml").read_text(encoding="utf-8")
    told = 'as_built = [{ post = 1, x = "-4 1/8" }]'
    (tmp_path / "inline.toml").write_text(f"{text.rstrip()}\n{told}\n", encoding="utf-8")
    done = talk(["-1/4", "", "", "", "60 1/8", "", "", ""], file="inline.toml")
    assert done.error is None
    assert done.section["as_built"] == [
        {"post": 1, "x": "-4 1/8", "surface": "-1/4"},
        {"post": 2, "x": "60 1/8"},
    ]


def test_it_speaks_the_words_of_the_country(talk):
    """Approved Document K speaks of guarding and centre; common practice, no source."""
    told = talk(["", "?"], "metric-deck")
    assert "planned -110 mm from the first nosing" in told.text
    assert "where its centre stands" in told.text


def spoil(seed, talk):
    """One talk in which some answers are spoiled: the file is TOML, and can be solved."""
    chance = random.Random(seed)
    name = chance.choice(("porch", "quarter-landing", "metric-deck", "deck-by-edges", "side-stair"))
    answers = [chance.choice(("", "", *PORCH, "60", "1/8", "post 2", "-5")) for _ in range(40)]
    for _ in range(chance.randrange(1, 5)):
        at = chance.randrange(len(answers))
        answers.insert(at, spoiled(answers[at], chance))
    try:
        told = talk(answers, name, f"{seed}.toml", typed=chance.random() < 0.7)
    except StairsError as error:
        assert str(error)
        return
    tomllib.loads(told.file.read_text(encoding="utf-8"))
    assert why_unsolved(tomllib.loads(told.file.read_text(encoding="utf-8"))) is None


@pytest.mark.parametrize("seed", [pytest.param(n, marks=[pytest.mark.fuzz] * (n >= 12))
                                  for n in range(200)])  # fmt: skip
def test_spoiled_answers(seed, talk):
    spoil(seed, talk)
