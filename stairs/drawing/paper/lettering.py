"""Lettering: one upright sans-serif face, its heights, and how much room a line of it takes.

The height of lettering is that of a capital, and the three heights that are used are steps of
ISO 3098, each the root of two times the one before (from memory); the least is over the 3/32 in
that construction sheets in the US ask for (from memory).  Upright sans-serif letters are what both
call for.  Room is measured from the font itself, the one that the writers embed, so that what is
tested for overlap is what is printed.  Text that users
give is shown letter by letter: nothing in it is markup, line ends become spaces, and a letter that
the face does not hold becomes an empty box.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterable
from functools import lru_cache

from msgspec import Struct

from stairs.drawing.paper.primitives import Point, Text
from stairs.drawing.paper.typeface import MEASURE_AT, capital, face, is_whole, letters
from stairs.words.speech import WARD, finished, is_spoken, local

SMALL, USUAL, TITLE = 2.5, 3.5, 5.0
"""Heights of a capital [mm]; nothing on a sheet is lettered smaller than the first."""

PITCH = 4.15
"""From base line to base line of small lettering [mm]."""
PAD = 2.0
"""From a ruled edge to the lettering inside it [mm]."""

MISSING = "\u25a1"
_ELLIPSIS = "..."
_APART = ("-liga", "-clig")  # every letter is set by itself, f and i too
_SLACK = 0.3  # kerning makes a line so much longer or shorter than its words and spaces [mm]
_EM = 64 * MEASURE_AT  # in the face's own fine units

_JOIN = "\u00a0"
_KEPT_TOGETHER = re.compile(
    r"(?<=\d) (?=\d+/\d|mm\b)|(?<=\bbay) (?=\d)|(?<=\bpost) (?=\d)|(?<=\btread) (?=\d)"
)
"""Spaces at which a line is not broken: within a mixed number, before a unit, before a number."""

_BOX_CATEGORIES = {"Cc", "Cf", "Cs", "Co", "Cn"}


class Extent(Struct, frozen=True):
    """Room of one line of lettering [mm]: its width, and how far over and under the base line."""

    width: float
    over: float
    under: float


def font_size(height: float, bold: bool = False, whole: bool = False) -> float:
    """Size of type whose capitals have that height [points of 1/72 in].

    >>> round(font_size(25.4 * 1493 / 2048, whole=True), 6)
    72.0
    """
    # s = 72 h / (25.4 c) for the height h, where c is the height of a capital over the size of
    # type.
    return height / capital(bold, whole) / 25.4 * 72


def cleaned(text: object) -> str:
    """The text as it can be lettered: composed, on one line, unknown letters as empty boxes.

    Where a country's words are spoken, it is in them.

    >>> cleaned("a\\nb\\t c"), cleaned("\\U0001f6e0 $x$ <b>")
    ('a b c', '□ $x$ <b>')
    """
    # Marks that are put over or under a letter may be heaped up without end in a text, and would
    # run into the lines above; a letter keeps the first of them beside those that it is composed
    # with.
    composed = unicodedata.normalize("NFC", local(str(text)))
    usual = letters(False, False)
    shown: list[str] = []
    marked = False
    for character in composed:
        category = unicodedata.category(character)
        heaped, marked = marked and category == "Mn", category == "Mn"
        if heaped:
            continue
        if category in ("Zs", "Zl", "Zp") or character in "\n\r\t\v\f":
            shown.append(" ")
        elif category in ("Cf", "Cc"):
            if character == WARD and is_spoken():
                shown.append(character)
            continue  # marks without a shape of their own: direction, joining, control
        else:
            known = character in usual or _is_lettered(character)
            shown.append(character if known else MISSING)
    return " ".join("".join(shown).split())


def _is_lettered(character: str) -> bool:
    """Whether a letter can be set, in one face or the other."""
    return unicodedata.category(character) not in _BOX_CATEGORIES and any(
        character in letters(False, whole) for whole in (False, True)
    )


def without_face(record: object) -> tuple[str, ...]:
    """The letters that no face holds, once each, of all texts of a record.

    Parameters
    ----------
    record : object
        A text, or a record of texts and of records of its own, such as a job.

    Examples
    --------
    >>> without_face(["Stair \u968e", "\u968e \u0434"])
    ('\u968e',)
    """
    if isinstance(record, str):
        found = [
            one
            for one in unicodedata.normalize("NFC", record)
            if not one.isspace()
            and unicodedata.category(one) not in ("Cf", "Cc")
            and not _is_lettered(one)
        ]
    elif isinstance(record, Struct):
        found = _without_face(getattr(record, name) for name in record.__struct_fields__)
    elif isinstance(record, dict):
        found = _without_face(record.values())
    elif isinstance(record, list | tuple):
        found = _without_face(record)
    else:
        found = []
    return tuple(dict.fromkeys(found))


def _without_face(parts: Iterable[object]) -> list[str]:
    return [one for part in parts for one in without_face(part)]


@lru_cache(maxsize=2048)
def _letter(character: str, bold: bool) -> tuple[int, float, tuple[float, ...]]:
    """A letter's number in the face, how far it moves the pen, and the box of its ink [ems]."""
    from matplotlib.ft2font import LoadFlags

    outlines = face(bold, False)
    glyph = outlines.load_char(ord(character), flags=LoadFlags.NO_HINTING)
    box = tuple(edge / _EM for edge in glyph.bbox)
    return outlines.get_char_index(ord(character)), glyph.linearHoriAdvance / (1024 * _EM), box


@lru_cache(maxsize=8192)
def _pull(left: int, right: int, bold: bool) -> float:
    """How far the second of two letters is moved to the right by the first [ems]."""
    from matplotlib.ft2font import Kerning

    return float(face(bold, False).get_kerning(left, right, Kerning.UNFITTED) / _EM)


@lru_cache(maxsize=8192)
def _measured(content: str, bold: bool, whole: bool) -> tuple[float, float, float]:
    """Width, over and under, over the height of a capital."""
    # Letters that stand by themselves are measured once each and added up, with the kerning between
    # them; lines in other scripts are laid out by the plotting library, which takes longer.
    if not content.strip():
        return 0.4 * len(content), 0.0, 0.0
    if whole or is_whole(content, bold):
        return _laid_out(content, bold)
    tall = capital(bold, False)
    pen, before = 0.0, None
    start, end, over, under = 0.0, 0.0, 0.0, 0.0
    for character in content:
        glyph, advance, (left, low, right, high) = _letter(character, bold)
        if before is not None:
            pen += _pull(before, glyph, bold)
        start, end = min(start, pen + left), max(end, pen + right)
        over, under = max(over, high), max(under, -low)
        pen, before = pen + advance, glyph
    return (max(end, pen) - start) / tall, over / tall, under / tall


def _laid_out(content: str, bold: bool) -> tuple[float, float, float]:
    """The same of a line in any script."""
    from matplotlib.ft2font import LoadFlags

    whole = face(bold, True)
    whole.set_text(content, 0.0, flags=LoadFlags.NO_HINTING, features=_APART)
    width, tall = whole.get_width_height()
    under = whole.get_descent()
    unit = _EM * capital(bold, True)
    return width / unit, (tall - under) / unit, under / unit


def measure(content: str, height: float, bold: bool = False) -> Extent:
    """Room that a line of lettering takes [mm].

    >>> extent = measure("H", 3.5)
    >>> round(extent.over, 2), round(extent.under, 2)
    (3.5, 0.0)
    """
    width, over, under = _measured(finished(content), bold, False)
    return Extent(width * height, over * height, under * height)


def text_rows(
    rows: Iterable[str], at: Point, group: str, pitch: float = PITCH, *,
    anchor: str = "left", owner: str = "",
) -> list[Text]:  # fmt: skip
    """Lines of small lettering, one under the other, the first on a base line [mm on paper]."""
    x, y = at
    return [
        Text(row, (x, y - k * pitch), SMALL, group, anchor, owner=owner)
        for k, row in enumerate(rows)
    ]


def width_of(content: str, height: float, bold: bool = False, whole: bool = False) -> float:
    """Length of a line of lettering [mm]."""
    return _measured(finished(content), bold, whole)[0] * height


def shortened(text: str, height: float, width: float, bold: bool = False) -> str:
    """The text if it fits the width [mm], otherwise its beginning with three dots.

    >>> shortened("stairs", 2.5, 100), len(shortened("stair " * 99, 2.5, 50)) < 50
    ('stairs', True)
    """
    return _shortened(local(text), height, width, bold)


@lru_cache(maxsize=1024)
def _shortened(text: str, height: float, width: float, bold: bool) -> str:
    text = cleaned(text)
    if width_of(text, height, bold) <= width:
        return text

    def fits(count: int) -> bool:
        return width_of(text[:count].rstrip() + _ELLIPSIS, height, bold) <= width

    return text[: _most(0, len(text), fits)].rstrip() + _ELLIPSIS


def _most(low: int, high: int, fits: Callable[[int], bool]) -> int:
    """The greatest count of letters that fits, where the least is taken as it is."""
    while low < high:
        middle = (low + high + 1) // 2
        low, high = (middle, high) if fits(middle) else (low, middle - 1)
    return low


def _as_much(word: str, height: float, width: float, bold: bool, whole: bool) -> int:
    """How many letters of a word that is too long fit the width; one at least."""
    return _most(
        1, len(word) - 1, lambda count: width_of(word[:count], height, bold, whole) <= width
    )


def wrapped(
    text: str, height: float, width: float, lines: int | None = None, bold: bool = False
) -> tuple[str, ...]:
    """The text broken at spaces into lines that fit the width [mm].

    >>> wrapped("one two", 2.5, 10)
    ('one', 'two')
    """
    return _wrapped(local(text), height, width, lines, bold)


@lru_cache(maxsize=4096)
def _wrapped(
    text: str, height: float, width: float, lines: int | None, bold: bool
) -> tuple[str, ...]:
    broken: list[str] = []
    line, taken = "", 0.0
    text = cleaned(text)
    whole = is_whole(finished(text), bold)
    space = width_of("x x", height, bold, whole) - width_of("xx", height, bold, whole)
    for joined in _KEPT_TOGETHER.sub(_JOIN, text).split(" "):
        word = joined.replace(_JOIN, " ")
        wide = width_of(word, height, bold, whole)
        over = taken + space + wide - width
        if line and abs(over) < _SLACK:  # too close to call from the words alone
            over = width_of(f"{line} {word}", height, bold, whole) - width
        if line and over > 0:
            broken.append(line)
            line = ""
        while not line and wide > width:  # one word longer than the line
            cut = _as_much(word, height, width, bold, whole)
            broken.append(word[:cut])
            word = word[cut:]
            wide = width_of(word, height, bold, whole)
        line, taken = (f"{line} {word}", taken + space + wide) if line else (word, wide)
    if line:
        broken.append(line)
    if lines is not None and len(broken) > lines:
        kept = broken[: lines - 1]
        kept.append(shortened(" ".join(broken[lines - 1 :]), height, width, bold))
        return tuple(kept)
    return tuple(broken)
