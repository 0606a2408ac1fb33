"""Lines of a job file that are no TOML: each is shown by its number and mended, and what is shown
is TOML and means what was typed.  TOML is read by Python's own reader."""

import tomllib

import pytest
from job_tables import refusal

from stairs.job.mended import mended_line

INCH = "Put the measurement between two quotes and leave off the inch mark"
BETWEEN = "Put the measurement between two quotes"
CURLY = "These are curly quotes. Use straight ones"
WORDS = "Put the text between two quotes"
EQUALS = "Write = between a key and its value"

LINES = [
    ('rise = "36 1/4""', INCH, {"rise": "36 1/4"}),
    ("rise = 36 1/4", BETWEEN, {"rise": "36 1/4"}),
    ("rise = 36 1/4  # to the landing", BETWEEN, {"rise": "36 1/4"}),
    ('rise = 36.5"', INCH, {"rise": "36.5"}),
    ("rise = 43½", BETWEEN, {"rise": "43½"}),
    ("rise = 7'6\"", INCH, {"rise": "7'6"}),
    ("rise = 5'", BETWEEN, {"rise": "5'"}),
    ("rise = '36 1/4", BETWEEN, {"rise": "36 1/4"}),
    ("rise = 1100 mm", BETWEEN, {"rise": "1100 mm"}),
    ("bottom_gap = -1/2", BETWEEN, {"bottom_gap": "-1/2"}),
    ("rise = “36 1/4”", CURLY, {"rise": "36 1/4"}),
    ("title = “A stair”", CURLY, {"title": "A stair"}),
    ("posts = [“-4”, “60 1/4”]", CURLY, {"posts": ["-4", "60 1/4"]}),
    ("rise = 36,25", "Write it without a comma", {"rise": 36.25}),
    ("height = 1,000", "Write it without a comma", {"height": 1000}),
    ("rake = 34.6°", "Leave off the sign at its end", {"rake": 34.6}),
    ('rise = "36";', "Leave off the sign at its end", {"rise": "36"}),
    ("handrail = Yes", "Write it in small letters, without quotes", {"handrail": True}),
    ("handrail = False", "Write it in small letters, without quotes", {"handrail": False}),
    ("kind = flight", WORDS, {"kind": "flight"}),
    ('title = "A stair', WORDS, {"title": "A stair"}),
    ("trim = [even, auto]", WORDS, {"trim": ["even", "auto"]}),
    ('title = "The "old" stair"', 'Put a text with " or \\ in it between two \'',
     {"title": 'The "old" stair'}),
    ("stock = [72, 96 1/2]", BETWEEN, {"stock": [72, "96 1/2"]}),
    ('stock = [72", 96"]', INCH, {"stock": ["72", "96"]}),
    ("stock = [72 96]", "Put commas between", {"stock": [72, 96]}),
    ('stock = ["72", "96"', "Close it with ]", {"stock": ["72", "96"]}),
    ("stock = 72, 96", "Write a list in square brackets, with commas between",
     {"stock": [72, 96]}),
    ("posts = -4, 60 1/4", "Write a list in square brackets, with commas between",
     {"posts": [-4, "60 1/4"]}),
    ("nosings = [[0, 7 1/4], [10 1/2, 14 7/16]]", BETWEEN,
     {"nosings": [[0, "7 1/4"], ["10 1/2", "14 7/16"]]}),
    ("slot = { length = 1 1/8, wall = 1/16 }", BETWEEN,
     {"slot": {"length": "1 1/8", "wall": "1/16"}}),
    ('slot = { length: "1 1/8", wall: "1/16" }', EQUALS,
     {"slot": {"length": "1 1/8", "wall": "1/16"}}),
    ("turn = —90", "Write the minus of the keyboard", {"turn": -90}),
    ("risers = 4,", "Leave off the sign at its end", {"risers": 4}),
    ("slot = { length = 2 }}", "Leave off the sign at its end", {"slot": {"length": 2}}),
    ('wid]th = "3"', "The nearest key is width", {"width": "3"}),
    ("pi'ch = 4.5", "The nearest key is pitch", {"pitch": 4.5}),
    ("rise: 36", EQUALS, {"rise": 36}),
    ("rise 36 1/4", EQUALS, {"rise": "36 1/4"}),
    ('top rail = "1 3/4"', "Join the words of a key by _", {"top_rail": "1 3/4"}),
    ("[[section]", "Close the brackets", {"section": [{}]}),
    ("(panel)", "Close the brackets", {"panel": {}}),
    ("// a remark", "A remark begins with #", {}),
]  # fmt: skip


@pytest.mark.parametrize(("line", "say", "meant"), LINES)
def test_a_line_is_shown_mended(line, say, meant):
    error = refusal(f"units = 'in'\n{line}\n")
    assert error.where.startswith("stair.toml: line 2, column ")
    assert error.found.endswith(" cannot be read")
    said, _, text = error.remedy.partition(f"{say}: ")
    assert said == "" and tomllib.loads(text) == meant


def test_one_line_of_a_list_is_mended():
    told = refusal('nosings = [\n  ["0", "7 1/4"],\n  ["10 1/2", 14 7/16],\n]\n')
    assert told.where.startswith("stair.toml: line 3, ")
    assert told.remedy == f'{BETWEEN}: ["10 1/2", "14 7/16"]'


def test_the_head_of_a_list_is_mended():
    told = refusal('nosings: [\n  ["0", "7 1/4"],\n]\n')
    assert told.where.startswith("stair.toml: line 1, ")
    assert told.remedy == f"{EQUALS}: nosings = ["


def test_a_list_that_nothing_closes_is_told_where_it_begins():
    told = refusal('nosings = [\n  ["0", "7 1/4"],\n\n[panel]\n')
    assert told.where.startswith("stair.toml: line 1, ")
    assert told.found.endswith(" cannot be read: no ] closes its list")


def test_what_is_given_twice_is_told_with_both_lines():
    told = refusal("[panel]\nstock = [1]\n\n[post]\nwidth = 3\nbase = 5\nwidth = 4\n")
    assert told.where.startswith("stair.toml: line 7, ")
    assert told.remedy == "Line 5 has it too: keep one of the two"
    told = refusal('[[section]]\nname = "a"\nrise = 40\n\nname = "b"\n')
    assert told.remedy.startswith("Line 2 has it too: keep one of the two, or write [[section]] ")
    assert refusal("[panel]\n[post]\n[panel]\n").remedy.startswith("Line 1 has it too")


def test_feet_without_whole_inches_are_asked_back():
    assert mended_line("rise = 36' 1/4\"") == (
        f'{INCH}: rise = "36\' 1/4"; if inches were meant: rise = "36 1/4"'
    )


@pytest.mark.parametrize("line", ["= 4", "date = 2024-02-31", "title = '''a", "@", "[]", "{", "="])
def test_nothing_is_shown_where_nothing_is_known(line):
    assert mended_line(line) == ""


def test_a_key_without_a_value_is_told():
    assert mended_line("rise =") == "Write its value behind =, or take the line out"
