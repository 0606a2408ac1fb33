"""Ranges: within what every quantity of a job file can be believed, by unit.

A tape is misread, and feet are typed where inches are read.  Such a slip mostly makes a length that
no guard has: rails 6 in long, risers of 1 7/16 in.  So each quantity has a range in which a bare
number is believed.  Outside it the job is refused and asked back which of its readings is meant; a
length with its unit written out is taken as meant.  Within it lies the range of what is usual: what
is outside of that is told, and stops nothing.  What follows from several keys, a riser from rise
and treads, is held against the same table, and no unit makes it believed.

The ranges stand in ``keys.json``, beside what else is told of each key.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from fractions import Fraction

from msgspec import Struct

from stairs.errors import JobError
from stairs.lengths.tape import as_typed, has_unit, parse
from stairs.lengths.tape_marks import exact_text


class Range(Struct, frozen=True):
    """Within what a quantity is believed, and within what it is usual [one unit].

    A bare number outside of ``least`` to ``most`` is asked about; what is outside of ``low`` to
    ``high`` is told.  Where ``least`` is 0, 0 is as usual as ``low``.
    """

    least: Fraction
    low: Fraction
    high: Fraction
    most: Fraction

    def believes(self, length: Fraction) -> bool:
        """Whether the length can be meant [the range's unit]."""
        return self.least <= length <= self.most

    def expects(self, length: Fraction) -> bool:
        """Whether the length is usual [the range's unit]."""
        return self.low <= length <= self.high or length == self.least == 0


def range_from(text: str) -> Range:
    """A range as ``keys.json`` tells it; ``+`` joins a whole number and its fraction."""
    return Range(*(sum(map(Fraction, part.split("+")), Fraction(0)) for part in text.split()))


_OTHER_UNITS = {"in": (("ft", "mm"), ("cm", "m")), "mm": (("cm", "m", "in"), ("ft",))}
"""What a bare number may be in besides the job's unit, the likelier ones first."""
_LEAST_SHARE = Fraction(1, 4)  # of the rise up to it, a drop that is believed
_NEAR_SHARE = (Fraction(2, 3), Fraction(3, 2))  # one that it is near
_FEET = re.compile(r"\s*([0-9]+) ?['’′]-? ?([0-9]+/[0-9]+) ?[\"”″]?\s*")


def range_text(found: Range, units: str) -> str:
    """A range as the form and the messages tell it, e.g. ``8 to 120 in``."""
    least, most = (exact_text(end, units, unit=False) for end in (found.least, found.most))
    return f"{least} to {most} {units}"


def other_readings(typed: object, units: str, fits: Callable[[Fraction], bool]) -> list[str]:
    """What else may have been meant by a length that can be read, in the words to write.

    The likelier readings that fit; less likely ones where none of these does.  ``fits`` says
    whether a length [units] would be right here.

    Examples
    --------
    >>> other_readings("6", "in", lambda length: length > 48)
    ['6 ft']
    >>> other_readings("36' 1/4\\"", "in", lambda length: length < 48)
    ['36 1/4']
    """
    shown = as_typed(typed).strip('"').strip()
    if feet := _FEET.fullmatch(str(typed)):
        groups = [[f"{feet[1]} {feet[2]}" + (" in" if units == "mm" else "")]]
    elif has_unit(typed):
        groups = []
    else:
        groups = [[f"{shown} {unit}" for unit in group] for group in _OTHER_UNITS[units]]
        if run_together := re.fullmatch(r"([0-9]+)([0-9])/([0-9]+)", shown):
            over, under = int(run_together[2]), int(run_together[3])
            if 0 < over < under:
                groups.insert(0, [f"{run_together[1]} {over}/{under}"])
    for texts in groups:
        if found := [text for text in texts if _fits(text, units, fits)]:
            return found
    return []


def _fits(text: str, units: str, fits: Callable[[Fraction], bool]) -> bool:
    try:
        return fits(parse(text, units))
    except JobError:  # longer than any length
        return False


def refuse_slip(
    where: str,
    typed: object,
    length: Fraction,
    units: str,
    believed: Range,
    *,
    parts: Fraction = Fraction(1),
    made: str = "",
    instead: str = "",
) -> None:
    """Raise where a length cannot be meant, and ask which of its readings is.

    Of ``parts`` equal parts into which the length goes each has to be believed; ``made`` says what
    they are, as in ``"5 risers"``, and then a unit that is written out does not help.  ``instead``
    is what else to do where no other reading is usual.

    Raises
    ------
    JobError
        The length [units], or one part of it, is outside the range.

    Examples
    --------
    >>> refuse_slip("panel: stock 1", 6, Fraction(6), "in", range_from("12 24 300 600"))
    Traceback (most recent call last):
    ...
    stairs.errors.JobError: panel: stock 1: 6 is read as 6 in. A bare number here is 12 to 600 in.
    6 in or 6 ft? Write "6 in" or "6 ft".
    """
    if believed.believes(length / parts) or not made and has_unit(typed):
        return
    read = f"{exact_text(length, units, unit=False)} {units}"
    found = f"{as_typed(typed)} is read as {read}"
    allowed = f"A bare number here is {range_text(believed, units)}"
    if made:
        found += f", which makes {made} of {near_text(length / parts, units)} each"
        allowed = f"{made.split()[-1].capitalize()} are {range_text(believed, units)}"
    others = other_readings(typed, units, lambda other: believed.expects(other / parts))
    if made:
        remedy = " or ".join(f'"{text}"' for text in others)
        remedy = f"Was {remedy} meant? Then write that" if others else instead
    else:
        choices = [read, *others]
        asked = _listed([_with_number(one, units) for one in choices])
        remedy = f"{asked}? Write " + _listed([f'"{one}"' for one in choices])
        if not others:
            remedy = f'Measure it again; if it is meant, write it with its unit: "{read}"'
    raise JobError(where, found, allowed, remedy)


def _with_number(text: str, units: str) -> str:
    """A metric reading with what it is as a bare number in a metric job."""
    if units != "mm" or not re.search(r"[0-9] c?m$", text):
        return text
    return f"{text} ({exact_text(parse(text, units), units, unit=False)})"


def _listed(words: list[str]) -> str:
    return " or ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)


def near_text(length: Fraction, units: str) -> str:
    """A length as a message tells it: exact where it has an end, else near.

    Examples
    --------
    >>> near_text(Fraction(29, 20), "in"), near_text(Fraction(23, 16), "in")
    ('1.45 in', '1 7/16 in')
    """
    if units == "in" and length.denominator in (1, 2, 4, 8, 16, 32, 64):
        return f"{exact_text(length, units, unit=False)} in"
    return f"{float(length):.4g} {units}"


def refuse_drop(where: str, typed: object, drop: Fraction, rise: Fraction, units: str) -> None:
    """Raise for a bare drop of less than a quarter of the rise, near it in another unit.

    ``rise`` is that of the flights up to the surface that the drop is measured from [units].
    """
    if drop / rise >= _LEAST_SHARE or has_unit(typed):
        return
    read = f"{exact_text(drop, units, unit=False)} {units}"
    least, most = _NEAR_SHARE
    near = other_readings(typed, units, lambda other: least <= other / rise <= most)
    if near:
        raise JobError(
            where,
            f"{as_typed(typed)} is read as {read}, and the stair climbs "
            f"{near_text(rise, units)} to this surface",
            "The ground beside the guard mostly lies about as far below",
            f'{read} or {near[0]}? Write "{read}" or "{near[0]}"',
        )


def unusual_text(where: str, length: Fraction, units: str, found: Range) -> str:
    """A line on a length that is unusual; empty where it is not.

    Examples
    --------
    >>> unusual_text("panel: height", Fraction(20), "in", range_from("8 24 60 120"))
    'panel: height is 20 in; 24 to 60 in is usual'
    """
    if found.expects(length):
        return ""
    low, high = (exact_text(end, units, unit=False) for end in (found.low, found.high))
    return f"{where} is {near_text(length, units)}; {low} to {high} {units} is usual"
