"""Example jobs with one slip in them each, as people make them; a slip by its number."""

import random
import re
from pathlib import Path

EXAMPLES = Path(__file__).parents[2] / "examples"
SOLVED = ("porch", "two-bays", "back-steps", "terrace")  # soon solved
COUNT = 1000


def lines_with(text, pattern):
    return [number for number, line in enumerate(text.split("\n")) if re.search(pattern, line)]


def changed(text, pick, pattern, change):
    """The text with one line that fits the pattern changed; as it was where none fits."""
    lines, found = text.split("\n"), lines_with(text, pattern)
    if found:
        number = pick.choice(found)
        lines[number] = change(lines[number])
    return "\n".join(lines)


def on_line(pattern, change):
    return lambda text, pick: changed(text, pick, pattern, lambda line: change(line, pick))


def at_a_letter(change):
    """A slip of the keyboard somewhere in a line that holds a key or a header."""

    def slip(line, pick):
        place = pick.randrange(len(line))
        return line[:place] + change(line[place : place + 2], pick) + line[place + 2 :]

    return on_line(r"^[\[a-z]", slip)


def sub(pattern, made):
    return lambda line, pick: re.sub(pattern, made, line, count=1)


def two_lines(text, pick):
    lines = text.split("\n")
    number = pick.randrange(len(lines) - 1)
    lines[number], lines[number + 1] = lines[number + 1], lines[number]
    return "\n".join(lines)


def another_key(line, pick):
    return f"{pick.choice(WORDS)} = {line.partition(' = ')[2]}"


def another_value(line, pick):
    return f"{line.partition(' = ')[0]} = {pick.choice(VALUES)}"


WORDS = ("going", "pitch", "steps", "spindle", "length", "spacing", "code", "Rise", "top rail")
VALUES = ("yes", "True", '""', "[]", "0", '"-1"', "nan", "1e9", '"auto"', "{}", '"7 1/4"', "'x'",
          '"12 ft"', '"1 m"', "2024-05-17", "17.5", "1,5", "“5”", "5'", '"1/0"', "1_0")  # fmt: skip
KEY, VALUE = r"^[a-z_]+ = ", r"= .*$"
MADE = {
    "a letter too few": at_a_letter(lambda two, pick: two[1:]),
    "a letter twice": at_a_letter(lambda two, pick: two[:1] + two),
    "two letters exchanged": at_a_letter(lambda two, pick: two[::-1]),
    "another letter": at_a_letter(lambda two, pick: pick.choice("e1/\"' .-_]") + two[1:]),
    "a line too few": on_line(r"^[\[a-z]", lambda line, pick: ""),
    "a line twice": on_line(r"^[\[a-z]", lambda line, pick: f"{line}\n{line}"),
    "two lines exchanged": two_lines,
    "a remark of it": on_line(KEY, lambda line, pick: f"# {line}"),
    "no quotes": on_line(r'= "', sub(r'"([^"]*)"', r"\1")),
    "curly quotes": on_line(r'= "', sub(r'"([^"]*)"', r"“\1”")),
    "an inch mark": on_line(r'[0-9]"', sub(r'([0-9])"', r'\1""')),
    "a comma": on_line(r"[0-9]", sub(r"([0-9]) ?", r"\1,")),
    "a number ten times": on_line(r"= \"?[0-9]", sub(r"= (\"?)([0-9]+)", r"= \g<1>\g<2>0")),
    "a figure too few": on_line(r"= \"?[0-9]{2}", sub(r"= (\"?)([0-9])", r"= \1")),
    "negative": on_line(r"= \"?[0-9]", sub(r"= (\"?)", r"= \1-")),
    "another unit": on_line(r'[0-9]"', sub(r'([0-9])"', r'\1 cm"')),
    "feet": on_line(r'[0-9]"', sub(r'([0-9])"', "\\1'\"")),
    "millimetres": on_line(r'"in"', sub("in", "mm")),
    "another key": on_line(KEY, another_key),
    "another value": on_line(KEY, another_value),
    "a capital": on_line(KEY, lambda line, pick: line.capitalize()),
    "a colon": on_line(KEY, sub(" =", ":")),
    "no bracket": on_line(r"[\]}]", sub(r"[\]}]", "")),
    "a table gone": on_line(r"^\[", lambda line, pick: ""),
    "a vulgar fraction": on_line(r" 1/2", sub(" 1/2", "½")),
    "Windows line ends": lambda text, pick: text.replace("\n", "\r\n"),
    "a mark of byte order": lambda text, pick: f"\ufeff{text}",
    "a tab": on_line(KEY, sub(" = ", "\t=\t")),
    "an em dash": on_line(r"-[0-9]", sub("-", "—")),
    "half a file": lambda text, pick: text[: len(text) // 2],
}  # fmt: skip
HARMLESS = ("a vulgar fraction", "Windows line ends", "a mark of byte order", "a tab")


def example(name):
    return (EXAMPLES / f"{name}.toml").read_text(encoding="utf-8")


def slip(number):
    """The slip of that number: which example, what was done to it, and the text it makes."""
    pick = random.Random(number)
    names = sorted(path.stem for path in EXAMPLES.glob("*.toml"))
    name = SOLVED[number // 10 % len(SOLVED)] if number % 10 == 0 else pick.choice(names)
    kind = list(MADE)[number // 3 % len(MADE)]
    return name, kind, MADE[kind](example(name), pick)
