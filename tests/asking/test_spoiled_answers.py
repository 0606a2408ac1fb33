"""Answers as a person spoils them: no traceback, and a file that is TOML whatever was typed."""

import random
import tomllib

import pytest
from porch_talk import PORCH

from stairs.errors import StairsError
from stairs.job import read_job

ODD = [
    "\x00", "\x1b[31m", "“", "”", "″", "½", "½½", "\u202e", "\ufffd", "💡", "ß", "\t", "'",
    "\"", "\"\"\"", "\\", "#", "=", "[", "]", "{", "}", "[[", "]]", ",", ";", "/", "-", "--",
    "+", "°", "%", ".",
]  # fmt: skip
WORDS = [
    "back", "none", "missing", "?", "help", "yes", "no", "nan", "inf", "-inf", "true", "1e400",
    "1/0", "7 9/8", "5' 13", "999999999999999999999999999999999", "1e5", "0x10", "in", "mm",
    "flight", "level", "H", "rise = none", "kind = level", "units = mm", "units = none",
    "panel height = 3", "post width = x", "section 9 rise = 3", "= 3", "a = b = c",
    "rises = 7", "rises = 7 1/4, 7 1/4", "runs = 10", "posts = 1", "posts = 9, 1", "slot = 1",
    "slot = 1,2,3", "body = 1, 2", "holes = [[1, 2]]", "nosings = [[0, 7], [10, 14]]",
    "framing = {}", "as_built = [{}]", "top = tread", "treads = 1", "risers = 1", "bays = 0",
    "bays = auto", "trim = [\"even\"]", "rake = 0", "rake = 89", "stock = ", "[1, [2, [3]]]",
    "{ a = 1 }", "x" * 3000, "9" * 200, "1979-05-27", "title = \"]\n[panel]", "kind = wall",
    "start = own",
]  # fmt: skip


def spoiled(answer: str, chance: random.Random) -> str:
    """The answer with a slip in it, or something else in its place."""
    way = chance.randrange(6)
    if way == 0:
        return chance.choice(WORDS)
    if way == 1:
        return chance.choice(ODD) * chance.randrange(1, 4)
    at = chance.randrange(len(answer) + 1)
    if way == 2:
        return answer[:at] + chance.choice(ODD) + answer[at:]
    if way == 3:
        return answer[:at] + answer[at + 1 :]
    if way == 4:
        return answer + chance.choice(
            [" ft", " m", " mm", " cm", " miles", "'", '"', " or so", " 1/2"]
        )
    return answer[::-1]


def spoil_one(seed, talk):
    """One talk in which a few answers are spoiled."""
    chance = random.Random(seed)
    answers = list(PORCH)
    for _ in range(chance.randrange(1, 4)):
        at = chance.randrange(len(answers))
        answers.insert(at, spoiled(answers[at], chance))
    try:
        told = talk(answers, f"{seed}.toml", typed=chance.random() < 0.8)
    except StairsError as error:
        assert str(error)
        return
    if told.file.exists():
        tomllib.loads(told.file.read_text(encoding="utf-8"))
        if told.error is None:
            read_job(told.file)


@pytest.mark.parametrize("seed", range(0, 1000, 40))
def test_spoiled_answers(seed, talk):
    spoil_one(seed, talk)


@pytest.mark.fuzz
@pytest.mark.parametrize("seed", [seed for seed in range(1000) if seed % 40])
def test_more_spoiled_answers(seed, talk):
    spoil_one(seed, talk)
