"""Lengths as people write and read them.

A carpenter's tape is marked in feet, inches and fractions of an inch, or in millimetres, and people
write down what they read off it: ``7 3/4"``, ``5'-3``, ``197 mm``.  This room turns such words into
exact fractions; nothing is rounded on the way in.  The way out, rounding to the tape's marks and
printing, is in :mod:`stairs.lengths.tape_marks`.

Reading: :func:`parse` for lengths, :func:`parse_degrees` for angles, :func:`as_typed` to quote
what was read.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction

from stairs.errors import JobError
from stairs.lengths.tape_marks import fraction_text, length_text

MILLIMETRES_PER_INCH = Fraction(254, 10)  # exact by definition, international inch of 1959
LONGEST_FEET = 1000
LONGEST_TEXT = 60  # characters; longer than any length that a person writes
MOST_DIGITS = 30

_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_PLAIN = {
    **{vulgar: f" {plain}" for vulgar, plain in _VULGAR.items()},
    **dict.fromkeys("′’‘ʹ´", "'"),
    **dict.fromkeys("″”“ʺ", '"'),
    **dict.fromkeys("−‐‑–—", "-"),  # minus, hyphen, no-break hyphen, en dash, em dash
    **dict.fromkeys("\t\u00a0\u2002\u2003\u2004\u2005\u2007\u2008\u2009\u200a\u202f", " "),
    "\u2044": "/",  # fraction slash
}
_TABLE = str.maketrans(_PLAIN)
_SPACES = re.compile(" {2,}")

_UNITS = {
    "in": ('"', "in", "in.", "inch", "inches"),
    "ft": ("'", "ft", "ft.", "foot", "feet"),
    "mm": ("mm", "millimetre", "millimetres", "millimeter", "millimeters"),
    "cm": ("cm", "centimetre", "centimetres", "centimeter", "centimeters"),
    "m": ("m", "metre", "metres", "meter", "meters"),
}
_UNIT_OF = {word: unit for unit, words in _UNITS.items() for word in words}
USUAL_TAPE = {"in": Fraction(1, 16), "mm": Fraction(1)}
_NAMES = {"in": "inches", "mm": "millimetres"}
_MILLIMETRES = {
    "in": MILLIMETRES_PER_INCH,
    "ft": 12 * MILLIMETRES_PER_INCH,
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
}
_FORMS = """7 3/4, 7-3/4, 7.75, 15/2, 7 3/4", 5' 3 1/2", 5'-3, 5 ft 3 in, 197 mm, 19.7 cm, 1.2 m"""


def _number_pattern(name: str) -> str:
    return (
        rf"(?:(?P<{name}_decimal>[0-9]+\.[0-9]*|\.[0-9]+)"
        rf"|(?:(?P<{name}_whole>[0-9]+)(?: |- ?))?"
        rf"(?P<{name}_over>[0-9]+) ?/ ?(?P<{name}_under>[0-9]+)"
        rf"|(?P<{name}_alone>[0-9]+))"
    )


def _words_pattern(words: tuple[str, ...]) -> str:
    return "|".join(re.escape(word) for word in sorted(words, key=len, reverse=True))


_LENGTH = re.compile(
    r"(?P<sign>[-+] ?)?(?:"
    rf"(?P<feet>[0-9]+) ?(?:{_words_pattern(_UNITS['ft'])}) ?-? ?"
    rf"{_number_pattern('inches')} ?(?:{_words_pattern(_UNITS['in'])})?"
    rf"|{_number_pattern('only')} ?(?P<unit>{_words_pattern(tuple(_UNIT_OF))})?)"
)
_DEGREES = re.compile(rf"(?P<sign>[-+] ?)?{_number_pattern('only')} ?(?:°|deg|degrees?)?")


def _text_pattern(words: Iterable[str]) -> str:
    """What fits every text that is read as a number and, it may be, one of these words."""
    any_case = [
        "".join(f"[{one}{one.upper()}]" if one.isalpha() else re.escape(one) for one in word)
        for word in sorted(words, key=len, reverse=True)
        if word.strip("'\"")
    ]
    marks = "'\"" + "".join(sign for sign, plain in _PLAIN.items() if plain in ("-", "'", '"'))
    vulgar = "".join(_VULGAR)
    number = rf"[-+0-9./\u2044\s{marks}{vulgar}]"
    return rf"^(?=.*[0-9{vulgar}])(?:{number}(?:{'|'.join(any_case)})?)+$"


LENGTH_TEXT = _text_pattern(_UNIT_OF)
DEGREES_TEXT = _text_pattern(("°", "deg", "degree", "degrees"))
"""Patterns for an editor: they fit every text that is read so, and few others."""
MINUS = "-" + "".join(sign for sign, plain in _PLAIN.items() if plain == "-")
"""Every sign that is read as a minus."""

_NOT_FINITE = re.compile(r"[-+]? ?(?:nan|inf|infinity|∞)", re.IGNORECASE)


def as_typed(value: object) -> str:
    """The words of a job file as they can be quoted in a message, without control characters.

    Text in double quotes, numbers bare, at most 60 characters of either.

    Examples
    --------
    >>> as_typed("7 3/4"), as_typed(True), as_typed([1, 2])
    ('"7 3/4"', 'true', 'a list of 2')
    """
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        shown = "".join(c if c.isprintable() else _escaped(c) for c in value[: LONGEST_TEXT + 1])
        return f'"{_short(shown)}"'
    if isinstance(value, int) and abs(value) >= 10**MOST_DIGITS:
        return f"a whole number of more than {MOST_DIGITS} digits"
    if isinstance(value, (int, float, Decimal, Fraction)):
        return _short(str(value).replace("Infinity", "inf").replace("NaN", "nan"))
    if isinstance(value, (list, tuple)):
        return f"a list of {len(value)}"
    if isinstance(value, dict):
        return "a table"
    return _short(str(value))


def _escaped(character: str) -> str:
    return character.encode("unicode_escape").decode("ascii")


def _short(text: str) -> str:
    return text if len(text) <= LONGEST_TEXT else text[: LONGEST_TEXT - 3] + "..."


def parse(value: object, units: str, where: str = "") -> Fraction:
    """The exact length that a person wrote [units]; negative where a minus leads the whole of it.

    A bare number, or a number in text without a unit, is in ``units``, ``"in"`` or ``"mm"``.  A
    float stands for its shortest decimal text, so that 0.1 is one tenth.  Text may be decimal, a
    fraction, a mixed number, feet and inches, or carry a unit (in, ft, mm, cm, m).  ``where`` is
    what an error is to name.

    Raises
    ------
    JobError
        For anything that is not a finite length of at most 1000 ft.

    Notes
    -----
    1 in = 25.4 mm exactly.

    Examples
    --------
    >>> parse("5' 3 1/2\\"", "in")
    Fraction(127, 2)
    >>> parse("-½", "in"), parse(0.1, "mm"), parse("1 in", "mm")
    (Fraction(-1, 2), Fraction(1, 10), Fraction(127, 5))
    """
    if isinstance(value, str):
        length = _parse_text(value, units, where)
    elif isinstance(value, Length):
        length = value.exact * _MILLIMETRES[value.units] / _MILLIMETRES[units]
    else:
        length = _parse_number(value, "a length", where)
    longest = LONGEST_FEET * _MILLIMETRES["ft"] / _MILLIMETRES[units]
    if abs(length) > longest:
        raise JobError(
            where,
            f"{as_typed(value)} is longer than {LONGEST_FEET} ft",
            f"Lengths stay within {LONGEST_FEET} ft; a bare number is in {_NAMES[units]}",
            'Was another unit meant? Then write it out, as in "197 mm" or "62 in"',
        )
    return length


class Length(float):
    """A length in inches or millimetres: a number to reckon with, a mark of the tape to look at.

    Parameters
    ----------
    value : number or str
        A bare number is in ``units``; text is read as in a job file, whatever unit it carries.
    units : str
        ``"in"`` or ``"mm"``: what the number is in.
    tape : Fraction, optional
        Smallest mark [units], above 0; 1/16 in or 1 mm where it is left out.

    Examples
    --------
    >>> Length("5' 3 1/2"), Length("197 mm", "mm") / 2, Length(70.95)
    (63 1/2", 98.5, 70 15/16")
    """

    units: str
    tape: Fraction
    _typed: Fraction | None

    def __new__(cls, value: object, units: str = "in", tape: Fraction | None = None) -> Length:
        """A float, with what was typed, its unit and the mark to which it is printed."""
        if units not in USUAL_TAPE:
            found = f"{as_typed(units)} is no unit to reckon in"
            raise JobError("units", found, '"in" or "mm"', "Give one of them")
        solved = type(value) is float and math.isfinite(value)
        typed = None if solved else parse(value, units)
        made = super().__new__(cls, value if typed is None else typed)  # type: ignore[arg-type]
        made._typed, made.units, made.tape = typed, units, tape or USUAL_TAPE[units]
        return made

    @property
    def exact(self) -> Fraction:
        """What was typed, or the float's shortest decimal text [units]."""
        return parse(float(self), self.units) if self._typed is None else self._typed

    def __repr__(self) -> str:
        return length_text(float(self), self.units, self.tape)

    __str__ = __repr__


def parse_degrees(value: object, where: str = "") -> Fraction:
    """The exact angle that a person wrote [degrees], as a number or in text.

    Raises
    ------
    JobError
        For anything that is not a finite angle within 360 degrees either way.

    Examples
    --------
    >>> parse_degrees("36 1/2°"), parse_degrees(-45)
    (Fraction(73, 2), Fraction(-45, 1))
    """
    if isinstance(value, str):
        text = _normal(value)
        match = _DEGREES.fullmatch(text) if len(value) <= LONGEST_TEXT else None
        if match is None:
            raise JobError(
                where,
                f"{as_typed(value)} is not an angle",
                'An angle is a number of degrees, such as 36.5 or "36 1/2"',
                "Write it in degrees",
            )
        angle = _signed(match, _number(match, "only", value, where))
    else:
        angle = _parse_number(value, "an angle", where)
    if abs(angle) > 360:
        raise JobError(
            where,
            f"{as_typed(value)} is more than a full turn",
            "Angles stay within 360 degrees either way",
            "Write it in degrees",
        )
    return angle


def without_commas(text: str) -> str:
    """A number with commas, and its unit if it has one, as it is read here; empty for other text.

    Examples
    --------
    >>> without_commas("36,25 in"), without_commas("1,000"), without_commas("36")
    ('36.25 in', '1000', '')
    """
    if not re.fullmatch(r"-?[0-9]+(,[0-9]+)+(\.[0-9]+)?( ?[a-z.]+)?", text):
        return ""
    thousands = re.match(r"-?[1-9][0-9]{0,2}(,[0-9]{3})+(?![0-9,])", text)
    return text.replace(",", "" if thousands else ".")


def has_unit(value: object) -> bool:
    """Whether a length has its unit written out beside its number.

    Examples
    --------
    >>> has_unit("7 1/4"), has_unit("7 1/4 in"), has_unit("5' 3"), has_unit(7)
    (False, True, True, False)
    """
    match = _LENGTH.fullmatch(_normal(value)) if isinstance(value, str) else None
    return match is not None and (match["feet"] or match["unit"]) is not None


def _parse_number(value: object, what: str, where: str) -> Fraction:
    if isinstance(value, bool) or not isinstance(value, (int, float, Decimal, Fraction)):
        raise JobError(
            where,
            f"{as_typed(value)} is not {what}",
            f"{what.capitalize()} is a number, or text that reads as one",
            'Write a number, or text in quotes such as "7 3/4"',
        )
    if isinstance(value, float):
        value = Decimal(float.__repr__(value))  # a Length prints as on a tape
    if isinstance(value, Decimal):
        if not value.is_finite():
            raise _not_finite(value, what, where)
        if value and value.adjusted() > MOST_DIGITS:
            return Fraction(10**MOST_DIGITS)  # too large whatever its digits; refused by its size
        _, digits, exponent = value.as_tuple()
        finest = -exponent if isinstance(exponent, int) else 0
        if value and max(len(digits), finest) > MOST_DIGITS:
            raise JobError(
                where,
                f"{as_typed(value)} has more digits than any tape",
                f"At most {MOST_DIGITS} digits are read",
                "Round it to what was measured",
            )
        if not value:
            return Fraction(0)
    return Fraction(value)


def _not_finite(value: object, what: str, where: str) -> JobError:
    return JobError(
        where,
        f"{as_typed(value)} is not a finite number",
        f"{what.capitalize()} is a finite number",
        "Write the number that was measured",
    )


def _normal(text: str) -> str:
    """The text with plain marks, plain spaces and small letters only."""
    plain = text[: LONGEST_TEXT + 1].strip().translate(_TABLE).replace("''", '"')
    return _SPACES.sub(" ", plain).strip().lower()


def _parse_text(value: str, units: str, where: str) -> Fraction:
    text = _normal(value)
    if not text:
        raise JobError(
            where,
            f"{as_typed(value)} is empty",
            f"A length is a number or text such as {_FORMS}",
            "Write the length, or leave the key out",
        )
    if _NOT_FINITE.fullmatch(text):
        raise _not_finite(value, "a length", where)
    match = _LENGTH.fullmatch(text) if len(value) <= LONGEST_TEXT else None
    if match is None:
        remedy = "Write it in one of these forms"
        if len(value) > LONGEST_TEXT:
            remedy = f"Write it in one of these forms, in at most {LONGEST_TEXT} characters"
        elif plain := without_commas(text):
            remedy = f"Write it without a comma: {plain}"
        raise JobError(
            where, f"{as_typed(value)} is not a length", f"Lengths read: {_FORMS}", remedy
        )
    if match["feet"] is not None:
        inches = _number(match, "inches", value, where)
        if inches >= 12:
            raise JobError(
                where,
                f"{as_typed(value)} has 12 inches or more after the feet",
                "Inches after feet stay below 12",
                f"Is it {fraction_text(int(match['feet']) * 12 + inches, Fraction(1, 64), True)}?"
                " Then write that",
            )
        length = (int(match["feet"]) * 12 + inches) * MILLIMETRES_PER_INCH
    else:
        number = _number(match, "only", value, where)
        unit = units if match["unit"] is None else _UNIT_OF[match["unit"]]
        length = number * _MILLIMETRES[unit]
    return _signed(match, length) / _MILLIMETRES[units]


def _signed(match: re.Match[str], magnitude: Fraction) -> Fraction:
    return -magnitude if (match["sign"] or "").startswith("-") else magnitude


def _number(match: re.Match[str], name: str, typed: str, where: str) -> Fraction:
    if match[f"{name}_decimal"] is not None:
        return Fraction(match[f"{name}_decimal"].rstrip("."))
    if match[f"{name}_alone"] is not None:
        return Fraction(match[f"{name}_alone"])
    over, under = int(match[f"{name}_over"]), int(match[f"{name}_under"])
    if under == 0:
        raise JobError(
            where,
            f"{as_typed(typed)} divides by zero",
            "The lower number of a fraction is 1 or more",
            "Write the fraction as read off the tape",
        )
    if match[f"{name}_whole"] is None:
        return Fraction(over, under)
    if over >= under:
        raise JobError(
            where,
            f"{as_typed(typed)} has a fraction of 1 or more after the whole number",
            "The fraction of a mixed number is below 1",
            "Write the fraction as read off the tape",
        )
    return int(match[f"{name}_whole"]) + Fraction(over, under)
