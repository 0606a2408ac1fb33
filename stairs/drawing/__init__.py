"""Sheets: from a solved guard and its findings to a drawing on paper, and from that to a file.

:func:`draw_elevation` makes a ``Sheet``, a list of strokes and letters in
millimetres on paper; :func:`write` puts it into a file whose ending says of what kind.
"""

from __future__ import annotations

from stairs.drawing.sheets.sheet import Sheet
from stairs.drawing.views.elevation.sheet import draw_elevation

__all__ = ["Sheet", "draw_elevation", "write"]


def write(sheet: Sheet, path) -> None:
    """Write a sheet to a ``.pdf``, ``.svg``, ``.png`` or ``.dxf`` file.

    Parameters
    ----------
    sheet : Sheet
        From :func:`draw_elevation`.
    path : str or os.PathLike
        Its ending says what kind of file.

    Raises
    ------
    stairs.errors.JobError
        For an ending that is not one of the four.
    stairs.errors.FileError
        Where the file cannot be written; whatever was there before is left as it was.
    """
    from stairs.drawing.files.writers import write as write_file

    write_file(sheet, path)
