"""The values of a key that are looked at: from where to where, and how close to each other."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Any

from msgspec import Struct

from stairs.errors import JobError
from stairs.inverse.asked import CHOICE, COUNT, DEGREES, LENGTH, Asked
from stairs.job.key_notes import value_of
from stairs.job.ranges import Range
from stairs.lengths.tape import as_typed, parse, parse_degrees
from stairs.remedies.trial_solve import Bench

TENTH = Fraction(1, 10)  # an angle that can be set or read by common tools, degrees
_AROUND = {"in": Fraction(24), "mm": Fraction(600)}
_COUNTS_AROUND = 7
MOST_VALUES = 400


class Span(Struct, frozen=True):
    """The values of a key that are looked at: from, to, and from one that can be set to the next.

    Of choices ``values`` are all there are.  Of a range at most ``most`` are looked at one by one.
    """

    low: Fraction
    high: Fraction
    step: Fraction
    values: tuple[Any, ...] = ()
    most: int = MOST_VALUES

    @property
    def stride(self) -> Fraction:
        """Steps in which a long range is gone through; the ends of what passes are told finer."""
        stride = self.step
        while self.high - self.low > self.most * stride:
            stride *= 2
        return stride


def span_of(asked: Asked, bench: Bench, low: str | None, high: str | None) -> Span:
    """The range to be looked at, what is usual for the key where an end is left out.

    Raises
    ------
    JobError
        An end is no value of the key, or the range is empty.
    """
    if asked.kind == CHOICE:
        for option, typed in (("--from", low), ("--to", high)):
            if typed is not None:
                raise JobError(
                    option,
                    f"{as_typed(typed)} is given, and {asked.path} is a choice",
                    "All of its values are looked at",
                    "Leave it out",
                )
        choices = (False, True) if asked.key.type is bool else tuple(asked.key.choices)
        return Span(Fraction(0), Fraction(0), Fraction(1), choices)
    step = {LENGTH: bench.job.tape, DEGREES: TENTH, COUNT: Fraction(1)}[asked.kind]
    first, last = _usual(asked, bench)
    first = first if low is None else _typed(asked, bench, low, "--from")
    last = last if high is None else _typed(asked, bench, high, "--to")
    if low is None and high is not None and last < first:
        first = last - (_COUNTS_AROUND if asked.kind == COUNT else _AROUND[bench.job.units])
    if high is None and low is not None and last < first:
        last = first + (_COUNTS_AROUND if asked.kind == COUNT else _AROUND[bench.job.units])
    if first > last or (first == last and asked.kind != COUNT):
        raise JobError(
            "--from" if low is not None else "--to",
            f"{as_typed(low or high or '')} leaves no range to look at: it would be from "
            f"{float(first):g} to {float(last):g}",
            "",
            "Give a --to above the --from",
        )
    if asked.kind == COUNT and last - first > 99:
        raise JobError("--to", f"{last - first + 1} values are asked for", "At most 100 are tried",
                       "Give a shorter range")  # fmt: skip
    return Span(first, last, step)


def _typed(asked: Asked, bench: Bench, typed: str, option: str) -> Fraction:
    """An end of the range as it was typed."""
    if asked.kind == DEGREES:
        return parse_degrees(typed, option)
    if asked.kind == LENGTH:
        return parse(typed, bench.job.units, option)
    words = typed.strip()
    if not re.fullmatch(r"[0-9]{1,3}", words):
        raise JobError(
            option,
            f"{as_typed(typed)} is no whole number",
            f"{asked.path} is a count",
            "Write it in digits, as in 6",
        )
    return Fraction(int(words))


def _usual(asked: Asked, bench: Bench) -> tuple[Fraction, Fraction]:
    """From where to where a key is looked at if nothing is said."""
    units, now, note = bench.job.units, asked.now, asked.key.note
    if asked.kind == COUNT:
        least = note.least or 1
        count = int(now) if isinstance(now, int | Fraction) else least
        return Fraction(max(least, count - _COUNTS_AROUND)), Fraction(count + _COUNTS_AROUND)
    if asked.key.name == "posts" and asked.place is not None and asked.index is not None:
        return _between_posts(asked, bench)
    if asked.key.range is not None and note.reads != "posts":
        usual = asked.key.range["in" if asked.kind == DEGREES else units]
        low, high = _usual_in(asked, bench, usual)
    elif asked.kind == DEGREES:
        low, high = Fraction(note.least), Fraction(note.most)
        step = TENTH if note.above else Fraction(0)
        low, high = low + step, high - step
    else:
        middle: Fraction = now if isinstance(now, Fraction) else _AROUND[units]
        low, high = middle / 2, middle * 2
    if isinstance(now, Fraction):
        return min(low, now), max(high, now)
    return low, high


def _usual_in(asked: Asked, bench: Bench, usual: Range) -> tuple[Fraction, Fraction]:
    """What is usual for it; of a long range from half of what the job has to twice as much."""
    low, high, now = Fraction(0) if usual.least == 0 else usual.low, usual.high, asked.now
    if isinstance(now, Fraction) and now > 0 and high - low > MOST_VALUES * bench.job.tape:
        low, high = max(low, now / 2), min(high, 2 * now)
    if asked.key.note.reads == "gap" and asked.index is not None:
        record = bench.in_file.sections[asked.index]
        if not value_of(record, "side_gap"):
            low = record.filler
    return low, high


def _between_posts(asked: Asked, bench: Bench) -> tuple[Fraction, Fraction]:
    """From the post before to the post after, a little way off where there is none."""
    assert asked.index is not None and asked.place is not None
    posts, nth = bench.posts_now(asked.index), asked.place
    around = _AROUND[bench.job.units]
    low = posts[nth - 1] if nth else posts[nth] - around
    high = posts[nth + 1] if nth + 1 < len(posts) else posts[nth] + around
    return low, high
