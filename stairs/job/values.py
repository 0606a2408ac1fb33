"""One value of a job file, read: exactly, in the way that its key's note says, or refused in words.

Lengths become fractions wherever they stand, also in lists and in lists of pairs; choices, counts
and yes-or-no are left to msgspec.  What no guard has is asked back (:mod:`stairs.job.ranges`).
"""

import datetime
import difflib
import re
import typing
import unicodedata
from collections.abc import Callable
from fractions import Fraction
from itertools import pairwise
from math import atan, degrees
from typing import Any

import msgspec

from stairs.errors import JobError
from stairs.job.key_notes import KeyOf, Trim, toml_text
from stairs.job.ranges import Range, near_text, other_readings, range_text, refuse_slip
from stairs.job.records import MOST_STEPS
from stairs.lengths.tape import as_typed, has_unit, parse, parse_degrees
from stairs.lengths.tape_marks import exact_text

LONGEST_WORDS = 2000  # characters of a title, a name or a reason
MOST_LINES = 20
ABOVE_ZERO = "length above 0"
MOST_HOLES = 20
HOLE_PAIR = {"in": '["1/2", "-3/4"]', "mm": "[12, -18]"}
_HOLE = (
    "A hole is a pair: level from the middle of the plate, right positive, then plumb from the "
    "pin, up positive"
)
_POINT = "A nosing point is a pair: x from the first nosing, y from the lower landing"
_YES_OR_NO = {"yes": "true", "true": "true", "no": "false", "false": "false"}
_COUNT = re.compile(r" *([0-9]{1,3})(?:\.0*)? *")
_LINE_ENDS = dict.fromkeys(map(ord, "\t\n\v\f\r\x85\u2028\u2029"), " ")
_UNPRINTED = ("Cc", "Cs", "Cn")  # controls, halves of a character, what no character is

DONE = re.compile(r"(post|bay) (\d{1,3})( (?:top|bottom))?( (?:left|right))?")
"""A piece that is cut already: a post, the rails of a bay, or one of them, maybe on one hand."""
DONE_SAMPLES = ("post 2", "bay 1", "bay 1 top")

Pair = tuple[Fraction, Fraction]


class Typed(typing.NamedTuple):
    """A value as it stands in the job file, its key, the job's units, and its place for errors."""

    value: Any
    what: KeyOf
    units: str
    where: str

    def refusal(self, found: str, allowed: str, remedy: str) -> JobError:
        """The error of this value."""
        return JobError(self.where, found, allowed, remedy)

    def parts(self, most: int = MOST_STEPS) -> list["Typed"]:
        """What stands in a list, one by one."""
        if not isinstance(self.value, list | tuple):
            raise self.refusal(
                f"{as_typed(self.value)} is not a list",
                "A list in square brackets is read",
                f"Give {self.what.meaning} in square brackets, with commas between{self._listed()}",
            )
        if len(self.value) > most:
            raise self.refusal(
                f"is a list of {len(self.value)}",
                f"At most {most} are read",
                "Split it over several sections or jobs",
            )
        return [
            self._replace(value=value, where=f"{self.where} {number}")
            for number, value in enumerate(self.value, 1)
        ]

    def _listed(self) -> str:
        """The list that a number, or numbers in one text, were meant for, as it is written."""
        typed = self.value
        parts = [part.strip() for part in typed.split(",")] if isinstance(typed, str) else [typed]
        try:
            for part in parts:
                parse(part, self.units)
        except JobError:
            return ""
        return f": {self.what.name} = {toml_text(parts)}"

    def believed(self, length: Fraction) -> Fraction:
        """The length, once it can be meant; see :mod:`stairs.job.ranges`."""
        if self.what.range is not None:
            refuse_slip(self.where, self.value, length, self.units, self.what.range[self.units])
        return length

    @property
    def range(self) -> Range:
        """In which range it is believed, of a key that has one."""
        return (self.what.range or {})[self.units]

    def above_zero(self, allowed: str = "A length above 0 is needed") -> Fraction:
        """A length in a list, which is above 0."""
        length = parse(self.value, self.units, self.where)
        if length > 0:
            return length
        typed = as_typed(self.value)
        raise self.refusal(
            f"{typed} is negative" if length else f"is {typed}",
            allowed,
            f"List {self.what.meaning}, as in [{self.what.example(self.units)}]",
        )

    def pair(self, noun: str, meant: str, sample: str) -> Pair:
        """Two lengths in brackets."""
        if not isinstance(self.value, list | tuple) or len(self.value) != 2:
            raise self.refusal(
                f"{as_typed(self.value)} is not a {noun}", meant, f"Write it as in {sample}"
            )
        first, second = (parse(part, self.units, self.where) for part in self.value)
        return first, second


def _length(typed: Typed) -> Fraction:
    length, reads = parse(typed.value, typed.units, typed.where), typed.what.note.reads
    if length < 0 or (reads == ABOVE_ZERO and not length):
        raise typed.refusal(
            f"{as_typed(typed.value)} is negative" if length else f"is {as_typed(typed.value)}",
            f"A {reads} is needed",
            f"Give {typed.what.meaning}",
        )
    return typed.believed(length)


def _place(typed: Typed) -> Fraction:
    """A length that may be negative."""
    return typed.believed(parse(typed.value, typed.units, typed.where))


def _gap(typed: Typed) -> Fraction | str:
    if typed.value == "auto":
        return "auto"
    try:
        gap = parse(typed.value, typed.units, typed.where)
    except JobError as error:
        allowed, remedy = f'{typed.what.name} is a length or "auto"', error.remedy
        if str(typed.value).strip().lower() in ("auto", "automatic"):
            remedy = f'Write {typed.what.name} = "auto"'
        else:
            allowed += f". {error.allowed}"
        raise JobError(error.where, error.found, allowed, remedy) from error
    return typed.believed(gap)


def _degrees(typed: Typed) -> Fraction:
    shown = as_typed(typed.value)
    if isinstance(typed.value, str) and (meant := typed.what.meant(typed.value)):
        raise typed.refusal(
            f"{shown} is not an angle",
            f"It is {typed.what.meaning}",
            f"Write {typed.what.name} = {meant}",
        )
    angle = parse_degrees(typed.value, typed.where)
    note = typed.what.note
    least, most, above = note.least, note.most, note.above
    if not (least < angle < most if above else least <= angle <= most):
        span = f"between {least} and {most}" if above else f"from {least} to {most}"
        raise typed.refusal(
            f"{shown} is {'more' if angle >= most else 'less'} than can be",
            f"An angle {span} degrees is read",
            f"Give {typed.what.meaning} in degrees",
        )
    if typed.what.range is not None and not typed.what.range["in"].believes(angle):
        slope = f"Is it a slope, rise over run? Then write {degrees(atan(angle)):.1f}"
        raise typed.refusal(
            f"{shown} is read as {float(angle):g} degrees",
            f"A stair has {range_text(typed.what.range['in'], 'degrees')}",
            slope if angle < 2 else "Measure it again, from level",
        )
    return angle


def _plain(typed: Typed, kind: Any = None, allowed: str = "") -> Any:
    """A choice, a count, a yes or no: what msgspec takes for the type."""
    what = typed.what
    try:
        return msgspec.convert(typed.value, kind or what.type)
    except msgspec.ValidationError as error:
        words = str(typed.value).lower()
        near = difflib.get_close_matches(words, what.choices, n=1)
        remedy = f'The nearest is "{near[0]}"' if near else f"It states {what.meaning}"
        if what.type is bool and words in _YES_OR_NO:
            remedy = f"Write {what.name} = {_YES_OR_NO[words]}"
        elif meant := what.meant(words):
            remedy = f"Write {what.name} = {meant}"
        elif "whole number" in what.allowed and (count := _COUNT.fullmatch(words)):
            remedy = f"Write {what.name} = {count[1]}"
        raise typed.refusal(
            f"{as_typed(typed.value)} cannot be used",
            f"{what.name} is {what.allowed}{allowed}",
            remedy,
        ) from error


def _trim(typed: Typed) -> str | tuple[str, ...]:
    listed = isinstance(typed.value, list | tuple)
    words = [
        _plain(one, Trim, ", or a list with one of these for each bay")
        for one in (typed.parts() if listed else [typed])
    ]
    return tuple(words) if listed else words[0]


def _text(typed: Typed) -> str:
    value, shown = typed.value, as_typed(typed.value)
    if not isinstance(value, str):
        raise typed.refusal(
            f"{shown} is not text", "Text in quotes is read", f"Give {typed.what.meaning} in quotes"
        )
    if len(value) > LONGEST_WORDS:
        raise typed.refusal(
            f"{shown} has {len(value)} characters",
            f"At most {LONGEST_WORDS} are read",
            "Shorten it",
        )
    words = value.translate(_LINE_ENDS)
    odd = next((one for one in words if unicodedata.category(one) in _UNPRINTED), None)
    if odd is not None:
        raise typed.refusal(
            f"{shown} holds a character that cannot be printed, U+{ord(odd):04X}",
            "Letters, figures and signs are read",
            "Take it out",
        )
    if typed.what.note.filled and not words.strip():
        raise typed.refusal(
            "is empty", f"It is {typed.what.meaning}", f"Write it, or leave {typed.what.name} out"
        )
    return words


def _date(typed: Typed) -> str:
    is_date = isinstance(typed.value, datetime.date)
    return typed.value.isoformat() if is_date else _text(typed)


def _lines(typed: Typed) -> tuple[str, ...]:
    if isinstance(typed.value, str):
        typed = typed._replace(value=[typed.value])
    return tuple(_text(line) for line in typed.parts(MOST_LINES))


def _stock(typed: Typed) -> tuple[Fraction, ...]:
    lengths = {one.believed(one.above_zero("A stock length is above 0")) for one in typed.parts()}
    if not lengths:
        raise typed.refusal(
            "is an empty list",
            f"It lists {typed.what.meaning}",
            f"List them, as in [{typed.what.example(typed.units)}], or leave {typed.what.name} out",
        )
    return tuple(sorted(lengths))


def _lengths(typed: Typed) -> tuple[Fraction, ...]:
    return tuple(one.above_zero() for one in typed.parts())


def _posts(typed: Typed) -> tuple[Fraction, ...]:
    parts = typed.parts()
    if len(parts) < 2:
        raise typed.refusal(
            f"is a list of {len(parts)}",
            "A guard has 2 posts or more",
            f"Give {typed.what.meaning}, first to last",
        )
    centres = [parse(one.value, one.units, one.where) for one in parts]
    for (before, after), (near, far) in zip(pairwise(parts), pairwise(centres), strict=True):
        if far <= near:
            raise after.refusal(
                f"{as_typed(after.value)} is not beyond {as_typed(before.value)}, "
                "the post before it",
                "Post centres grow from the first post to the last",
                "Put them in order, foot of the stair first",
            )
    if not any(has_unit(one.value) for one in parts):
        _refuse_spacing(typed, centres)
    return tuple(centres)


def _refuse_spacing(typed: Typed, centres: list[Fraction]) -> None:
    """Raise where all posts stand too near or too far apart, and ask which unit was meant."""
    believed, units = typed.range, typed.units
    spaces = [after - before for before, after in pairwise(centres)]
    if any(map(believed.believes, spaces)):
        return
    apart = max(spaces)
    others = other_readings(float(apart), units, believed.expects)
    meant = others[0].rpartition(" ")[2] if others else ""
    raise typed.refusal(
        f"no two posts are farther apart than {near_text(apart, units)}"
        if apart < believed.least
        else f"no two posts are nearer than {near_text(min(spaces), units)}",
        f"From post to post a bare number makes {range_text(believed, units)}",
        f"Were {meant} meant? Then write that unit with each of them"
        if meant
        else "Measure them again, or write each with its unit",
    )


def _points(typed: Typed) -> tuple[Pair, ...]:
    points: list[Pair] = []
    for one in typed.parts():
        x, y = one.pair("point", _POINT, '["10 1/2", "14 1/2"]')
        if not points and x != 0:
            raise one.refusal(
                f"its x, {as_typed(one.value[0])}, is not 0",
                "The first nosing is where x is measured from",
                f"Take {exact_text(x, one.units)} off the x of every nosing and post",
            )
        last_x, last_y = points[-1] if points else (Fraction(-1), Fraction(0))
        if x <= last_x or y <= last_y:
            axis, part = ("x", one.value[0]) if x <= last_x else ("y", one.value[1])
            raise one.refusal(
                f"its {axis}, {as_typed(part)}, is not beyond that of the nosing before",
                "Nosings go up the stair, each one farther on and higher than the one before",
                "Put them in order, lowest first, and check the tape reading",
            )
        points.append((x, y))
    if len(points) < 2:
        raise typed.refusal(
            f"is a list of {len(points)}",
            "A flight has 2 nosings or more, the upper landing's edge included",
            "Measure the other nosings",
        )
    return tuple(points)


def _holes(typed: Typed) -> tuple[Pair, ...]:
    sample = HOLE_PAIR[typed.units]
    if not isinstance(typed.value, list | tuple):
        raise typed.refusal(
            f"{as_typed(typed.value)} is not a list",
            "Holes are a list of pairs in square brackets",
            f"Write one hole as in [{sample}], and more of them with commas between",
        )
    if not typed.value:
        raise typed.refusal(
            "is an empty list", _HOLE, "List every hole of the plate, or leave holes out"
        )
    if len(typed.value) > MOST_HOLES:
        raise typed.refusal(
            f"is a list of {len(typed.value)}",
            f"At most {MOST_HOLES} are read",
            "List the holes of one bracket's plate",
        )
    parts = typed.parts(MOST_HOLES)
    holes = tuple(one.pair("pair", _HOLE, sample) for one in parts)
    words = [part for one in parts for part in one.value]
    read = [abs(part) for hole in holes for part in hole]
    if far := max(read):  # all of them in the pin is one hole there
        said = str(words[read.index(far)]).strip().lstrip("-")
        refuse_slip(typed.where, said, far, typed.units, typed.range)
    return holes


def _done(typed: Typed) -> tuple[str, ...]:
    words = []
    for one in typed.parts():
        word = " ".join(_text(one).lower().split())
        if DONE.fullmatch(word) is None:
            raise one.refusal(
                f"{as_typed(one.value)} is no piece of a section",
                "A piece is a post, or a bay's rails or one of them, as in "
                f"{', '.join(map(as_typed, DONE_SAMPLES))}",
                "Write it so, with its number, and left or right behind it where the hands differ",
            )
        words.append(word)
    return tuple(words)


READERS: dict[str, Callable[[Typed], Any]] = {
    ABOVE_ZERO: _length,
    "length of 0 or more": _length,
    "place": _place,
    "gap": _gap,
    "degrees": _degrees,
    "plain": _plain,
    "trim": _trim,
    "text": _text,
    "date": _date,
    "lines": _lines,
    "done": _done,
    "stock": _stock,
    "lengths": _lengths,
    "posts": _posts,
    "points": _points,
    "holes": _holes,
}
"""How a key is read, by what its note names; ``"inner"`` is a table of its own."""
