"""Typeface: the letters that all sheets are lettered in, and the files that hold them.

Sheets are lettered in IBM Plex Sans Condensed, which is free, an eighth narrower than the face that
comes with the plotting library, and drawn so that 1, I and l, 6 and 8, 0 and O stay apart on a poor
copy; its figures are all of one width.  The letters that a sheet mostly needs are kept beside this
module, in ``faces/``; a line with any other letter is set in DejaVu Sans, which comes with the
plotting library and holds the letters of some hundred languages.  The whole face is the package
``fontpkg-ibm-plex-sans-condensed`` of the Python package index (1.3);
``figures/typeface.py`` makes the files anew from it.  Everywhere ``bold`` asks
for the heavier face, and ``whole`` for DejaVu Sans with all its letters.
"""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import Any

from stairs.drawing.paper.libraries import load

MEASURE_AT = 72.0
"""Size of type at which a face is measured [points of 1/72 in]."""

FAMILY = "Stairs Sheet"
"""The name under which the letters are embedded."""

_FACES = Path(__file__).with_name("faces")


def face_file(bold: bool = False, whole: bool = False) -> str:
    """The file of a face."""
    if not whole:
        return str(_FACES / ("sheet-bold.ttf" if bold else "sheet.ttf"))
    load("matplotlib")
    import matplotlib

    name = "DejaVuSans-Bold.ttf" if bold else "DejaVuSans.ttf"
    return str(Path(matplotlib.get_data_path()) / "fonts" / "ttf" / name)


def web_file(bold: bool = False) -> str:
    """The file of a face that is embedded in an SVG: its plain letters, compressed."""
    return str(Path(face_file(bold)).with_suffix(".woff"))


@lru_cache(maxsize=4)
def face(bold: bool, whole: bool) -> Any:
    """A face, ready to be measured at :data:`MEASURE_AT`, as the plotting library's object."""
    load("matplotlib")
    from matplotlib.ft2font import FT2Font

    made = FT2Font(face_file(bold, whole))
    made.set_size(MEASURE_AT, 72)
    return made


@lru_cache(maxsize=4)
def capital(bold: bool, whole: bool) -> float:
    """Height of a capital over the em.

    >>> capital(False, False), round(capital(False, True) * 2048)
    (0.698, 1493)
    """
    from matplotlib.ft2font import LoadFlags

    opened = face(bold, whole)
    tall = opened.load_char(ord("H"), flags=LoadFlags.NO_SCALE).bbox[3]
    return float(tall / opened.units_per_EM)


@lru_cache(maxsize=4)
def letters(bold: bool, whole: bool) -> frozenset[str]:
    """Every letter that a face holds."""
    return frozenset(map(chr, face(bold, whole).get_charmap()))


def is_whole(content: str, bold: bool = False) -> bool:
    """Whether a line needs DejaVu Sans.

    >>> is_whole('Tür 3\\' 6 ½"'), is_whole("שער")
    (False, True)
    """
    return not letters(bold, False).issuperset(content)
