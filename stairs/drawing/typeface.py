"""Typeface: the letters that all sheets are lettered in, and the files that hold them.

Sheets are lettered in DejaVu Sans, which is free and comes with the plotting library.  Its files
also hold the letters of some hundred languages and the rules by which these are joined, and every
PDF would have to read through all of it.  So the letters that a sheet in a European language needs
are kept beside this module, in ``faces/``, drawn and spaced as in DejaVu Sans; a line with any
other letter is set in the whole face.  :mod:`stairs.drawing.make_typeface` makes them anew.
"""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

from stairs.drawing.libraries import load

MEASURE_AT = 72.0
"""Size of type at which a face is measured [points of 1/72 in]."""

_FACES = Path(__file__).with_name("faces")


def face_file(bold: bool = False, whole: bool = False) -> str:
    """The file of a face.

    Parameters
    ----------
    bold : bool
        The heavier face.
    whole : bool
        DejaVu Sans with all its letters, and not only those that sheets mostly need.
    """
    if not whole:
        return str(_FACES / ("sheet-bold.ttf" if bold else "sheet.ttf"))
    load("matplotlib")
    import matplotlib

    name = "DejaVuSans-Bold.ttf" if bold else "DejaVuSans.ttf"
    return str(Path(matplotlib.get_data_path()) / "fonts" / "ttf" / name)


@lru_cache(maxsize=4)
def face(bold: bool, whole: bool):
    """A face, ready to be measured at :data:`MEASURE_AT`, as the plotting library's object.

    Parameters
    ----------
    bold : bool
        The heavier face.
    whole : bool
        DejaVu Sans with all its letters, and not only those that sheets mostly need.
    """
    load("matplotlib")
    from matplotlib.ft2font import FT2Font

    made = FT2Font(face_file(bold, whole))
    made.set_size(MEASURE_AT, 72)
    return made


@lru_cache(maxsize=4)
def letters(bold: bool, whole: bool) -> frozenset[str]:
    """Every letter that a face holds.

    Parameters
    ----------
    bold : bool
        The heavier face.
    whole : bool
        DejaVu Sans with all its letters, and not only those that sheets mostly need.
    """
    return frozenset(map(chr, face(bold, whole).get_charmap()))


def is_whole(content: str, bold: bool = False) -> bool:
    """Whether a line needs the whole face.

    Parameters
    ----------
    content : str
        Cleaned text.
    bold : bool
        The heavier face.

    Examples
    --------
    >>> is_whole('Tür 3\\' 6 ½"'), is_whole("שער")
    (False, True)
    """
    return not letters(bold, False).issuperset(content)
