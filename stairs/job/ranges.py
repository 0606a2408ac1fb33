"""Ranges: within what every quantity of a job file can be believed, in one table, by unit.

A tape is misread, and feet are typed where inches are read.  Such a slip mostly makes a length that
no guard has: rails 6 in long, risers of 1 7/16 in.  So each quantity has a range in which a bare
number is believed.  Outside it the job is refused and asked back which of its readings is meant; a
length with its unit written out is taken as meant.  Within it lies the range of what is usual: what
is outside of that is told, and stops nothing.  What follows from several keys, a riser from rise
and treads, is held against the same table, and no unit makes it believed.

The ranges are judgement (no source): wide, so that no guard that can be built is refused.
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


def _range(text: str) -> Range:
    """A range as it stands in the table; ``+`` joins a whole number and its fraction."""
    return Range(*(sum(map(Fraction, part.split("+")), Fraction(0)) for part in text.split()))


# Believed from, usual from, usual to, believed to: in inches, then in millimetres (rake: degrees).
# A name with a dot is the key of one record, a plain one that of all others.
_TABLE = {
    "mark": ("0 1/64 1/4 1", "0 0.5 5 25"),
    "Panel.height": ("8 24 60 120", "200 600 1500 3000"),
    "top_rail": ("1/4 3/4 6 12", "6 20 150 300"),
    "bottom_rail": ("1/4 3/4 6 12", "6 20 150 300"),
    "baluster": ("1/8 1/4 3 8", "3 6 75 200"),
    "pitch": ("1 2 8 24", "25 50 200 600"),
    "Panel.stock": ("12 24 300 600", "300 600 7500 15000"),
    "end_margin": ("0 0 12 48", "0 0 300 1200"),
    "rail_width": ("1/4 3/4 6 12", "6 20 150 300"),
    "Slot.length": ("1/8 1/4 4 12", "3 6 100 300"),
    "wall": ("1/64 1/32 1/2 4", "0.4 1 12 100"),
    "BracketBody.height": ("1/8 1/2 4 12", "3 12 100 300"),
    "reach": ("1/16 1/8 4 8", "2 3 100 200"),
    "pivot_offset": ("0 1/8 4 12", "0 3 100 300"),
    "rail_setback": ("0 1/32 4 12", "0 1 100 300"),
    "end_clearance": ("0 0 1 6", "0 0 25 150"),
    "holes": ("1/8 1/4 4 12", "3 6 100 300"),
    "hole_diameter": ("1/32 1/8 3/4 2", "1 3 20 50"),
    "PostKind.width": ("1/2 1 8 24", "10 25 200 600"),
    "base": ("1 2 14 36", "25 50 350 900"),
    "edge_distance": ("0 1/8 12 36", "0 5 300 900"),
    "reveal": ("0 0 12 36", "0 0 300 900"),
    "below": ("1 3 36 96", "20 75 900 2500"),
    "PostKind.stock": ("12 24 180 300", "300 600 4500 7500"),
    "max_spacing": ("12 24 120 240", "300 600 3000 6000"),
    "rise": ("5 10 200 600", "120 250 5000 15000"),
    "unit_rise": ("2+1/2 4 9+1/2 16", "60 100 240 400"),
    "run": ("3 8 300 1500", "75 200 7500 40000"),
    "unit_run": ("3 8 24 80", "75 200 600 2000"),
    "rake": ("2 20 50 80", "2 20 50 80"),
    "nosing": ("0 1/8 2 6", "0 3 50 150"),
    "tread_thickness": ("1/8 3/8 8 16", "3 10 200 400"),
    "stringer_margin": ("0 0 8 36", "0 0 200 900"),
    "side_gap": ("0 1/8 6 24", "0 3 150 600"),
    "filler": ("0 0 6 24", "0 0 150 600"),
    "post_gap": ("1/8 1/4 6 24", "3 6 150 600"),
    "bottom_gap": ("-24 -8 8 24", "-600 -200 200 600"),
    "drop": ("6 12 400 900", "150 300 10000 25000"),
    "fall": ("0 1/2 120 600", "0 10 3000 15000"),
    "over": ("6 12 240 1200", "150 300 6000 30000"),
    "width": ("12 24 144 600", "300 600 3600 15000"),
    "span": ("12 24 600 2400", "300 600 15000 60000"),
    "posts": ("7 12 144 300", "175 300 3600 7500"),
    "joist_spacing": ("4 8 36 72", "100 200 900 1800"),
    "first_joist": ("-100 -48 48 100", "-2500 -1200 1200 2500"),
    "joist_thickness": ("1/2 3/4 6 16", "12 19 150 400"),
    "joist_depth": ("2 3 16 48", "50 75 400 1200"),
    "board_width": ("1 2 12 24", "25 50 300 600"),
    "board_gap": ("0 1/32 1 2", "0 1 25 50"),
    "first_board": ("-100 -48 48 100", "-2500 -1200 1200 2500"),
    "edge_to_post": ("1/2 3/4 24 72", "12 19 600 1800"),
    "bolt_inset": ("1/8 3/8 4 12", "3 10 100 300"),
    "bolt_diameter": ("1/8 1/4 1 2", "3 6 25 50"),
}
RANGES = {
    name: {"in": _range(inch), "mm": _range(metric)} for name, (inch, metric) in _TABLE.items()
}
"""By quantity, then by unit."""

_OTHER_UNITS = {"in": (("ft", "mm"), ("cm", "m")), "mm": (("cm", "m", "in"), ("ft",))}
"""What a bare number may be in besides the job's unit, the likelier ones first."""
_LEAST_SHARE = Fraction(1, 4)  # of the rise up to it, a drop that is believed
_NEAR_SHARE = (Fraction(2, 3), Fraction(3, 2))  # one that it is near
_FEET = re.compile(r"\s*([0-9]+) ?['’′]-? ?([0-9]+/[0-9]+) ?[\"”″]?\s*")


def range_of(record: str, key: str) -> dict[str, Range] | None:
    """The range of a key of a record, by unit; None where any value is believed."""
    return RANGES.get(f"{record}.{key}", RANGES.get(key))


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
    >>> refuse_slip("panel: stock 1", 6, Fraction(6), "in", RANGES["Panel.stock"]["in"])
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
        remedy = f"{_listed(choices)}? Write " + _listed([f'"{one}"' for one in choices])
        if not others:
            remedy = f'Measure it again; if it is meant, write it with its unit: "{read}"'
    raise JobError(where, found, allowed, remedy)


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
    >>> unusual_text("panel: height", Fraction(20), "in", RANGES["Panel.height"]["in"])
    'panel: height is 20 in; 24 to 60 in is usual'
    """
    if found.expects(length):
        return ""
    low, high = (exact_text(end, units, unit=False) for end in (found.low, found.high))
    return f"{where} is {near_text(length, units)}; {low} to {high} {units} is usual"
