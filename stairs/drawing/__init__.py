"""Sheets: from a solved guard and its findings to a drawing on paper, and from that to a file.

:func:`draw_elevation` makes a :class:`stairs.drawing.sheets.sheet.Sheet`, a list of strokes and
letters in millimetres on paper; :func:`write` puts it into a file whose ending says of what kind.
"""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

from stairs.drawing.sheets.sheet import Sheet
from stairs.drawing.views.elevation.sheet import draw_elevation

if TYPE_CHECKING:
    from stairs.drawing.files.pdf import Book

__all__ = ["Sheet", "draw_elevation", "write"]


def write(drawn: Sheet | Book, path: str | os.PathLike[str]) -> None:
    """Write a sheet, with those that follow it, or a whole set.

    Parameters
    ----------
    drawn : Sheet or Book
        From :func:`draw_elevation`, or a set such as the packet.
    path : str or os.PathLike
        Its ending says what kind of file: ``.pdf``, ``.svg``, ``.png`` or ``.dxf``; a set is one
        ``.pdf``.

    Raises
    ------
    stairs.errors.JobError
        For another ending.
    stairs.errors.FileError
        Where the file cannot be written; whatever was there before is left as it was.
    """
    from stairs.drawing.files.writing import write as write_file

    write_file(drawn, path)
