"""Letters: which glyphs a line of lettering is set in, and how far each moves the pen.

The writer of PDF files sets lettering glyph by glyph.  What it needs of a line (glyph numbers and
the kerning between them) is the same wherever the line stands and however large it is, so it is
found once and kept.  Lines in scripts that run from right to left, or whose letters change by their
neighbours, are laid out by the plotting library.
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from functools import lru_cache

from stairs.drawing.font_file import font_file
from stairs.drawing.lettering import glyph_of, led, pull_of


@dataclass(frozen=True, slots=True)
class Line:
    """One line of lettering.

    Parameters
    ----------
    glyphs : tuple of int
        From left to right.
    characters : tuple of str
        What each of them stands for.
    nudges : tuple of int
        How far each is moved to the right against the pen's own pace [thousandths of an em]; the
        first by nothing.
    """

    glyphs: tuple[int, ...]
    characters: tuple[str, ...]
    nudges: tuple[int, ...]


@lru_cache(maxsize=16384)
def line_of(content: str, bold: bool) -> Line:
    """The glyphs of a line of lettering.

    Parameters
    ----------
    content : str
        Cleaned text.
    bold : bool
        The heavier face.

    Examples
    --------
    >>> line = line_of("AVA", False)
    >>> len(line.glyphs), line.nudges[1] < 0
    (3, True)
    """
    if not _plain(content):
        return _led(content, bold)
    glyphs = tuple(glyph_of(one, bold) for one in content)
    nudges = (0, *(pull_of(a, b, bold) for a, b in zip(glyphs, glyphs[1:], strict=False)))
    return Line(glyphs, tuple(content), nudges[: len(glyphs)])


def _plain(content: str) -> bool:
    """Whether every letter stands for itself and follows the one to its left."""
    return content.isascii() or not any(
        unicodedata.bidirectional(one) in ("R", "AL", "AN") or unicodedata.combining(one)
        for one in content
    )


def _led(content: str, bold: bool) -> Line:
    """A line as the plotting library lays it out."""
    file = font_file(bold)
    glyphs, characters, nudges = [], [], []
    pen = 0.0
    for glyph, character, place in led(content, bold):
        nudges.append(round((place - pen) * 1000) if glyphs else 0)
        glyphs.append(glyph)
        characters.append(character)
        pen = place + file.widths[glyph] / file.units
    return Line(tuple(glyphs), tuple(characters), tuple(nudges))
