"""Writing: a sheet with those that follow it, or a book, to the kind of file that its name says.

How files take their places is in :mod:`stairs.files`.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from glob import escape as escape_glob
from pathlib import Path
from urllib.parse import quote

from stairs.drawing.files.painter import Drawable
from stairs.drawing.files.pdf import Book, book_bytes, pdf_bytes
from stairs.drawing.sheets.sheet import Sheet
from stairs.errors import FileError, JobError
from stairs.files import put_all_in_place, put_in_place

ENDINGS = (".pdf", ".svg", ".png", ".dxf")
_HEAD = 65536  # bytes of a file in which it says what it is


def write(drawn: Sheet | Book, path: str | os.PathLike[str]) -> None:
    """Write a sheet or a book to a file: see :func:`stairs.drawing.write`."""
    target = Path(path)
    if isinstance(drawn, Book):
        _ending(target, (".pdf",), "no ending of a set of sheets", "A set of sheets is one")
        put_in_place(book_bytes(drawn), target)
        return
    ending = _ending(target, ENDINGS, "not a kind of drawing")
    sheets = (drawn, *drawn.following)
    if ending == ".pdf":
        put_in_place(pdf_bytes(*sheets), target)
    elif ending == ".dxf":  # one model, however many sheets show it
        from stairs.drawing.files.dxf import dxf_bytes

        put_in_place(dxf_bytes(drawn), target)
    else:
        _set_of_files(sheets, _picture_of(ending), target)


def picture_bytes(drawn: Drawable, path: str | os.PathLike[str]) -> bytes:
    """What is to be written for a page alone: PDF, SVG or PNG by the ending of its file.

    Raises
    ------
    stairs.errors.JobError
        For another ending.
    """
    ending = _ending(Path(path), ENDINGS[:-1], "not a kind of picture")
    return pdf_bytes(drawn) if ending == ".pdf" else _picture_of(ending)(drawn, "")


def _picture_of(ending: str) -> Callable[[Drawable, str], bytes]:
    """What makes a file of one sheet, with a mark in it."""
    if ending == ".svg":
        from stairs.drawing.files.svg import svg_bytes

        return svg_bytes
    from stairs.drawing.files.png import png_bytes

    return png_bytes


def _ending(target: Path, known: Sequence[str], is_not: str, allowed: str = "Endings:") -> str:
    """The ending of a file, one of those that are known."""
    ending = target.suffix.lower()
    if ending in known:
        return ending
    raise JobError(
        str(target),
        f'"{ending}" is {is_not}' if ending else "it has no ending",
        f"{allowed} {', '.join(known)}",
        "Name the file with one of these" if len(known) > 1 else f"Name the file with {known[0]}",
    )


def picture_files(
    pages: Sequence[Drawable], path: str | os.PathLike[str]
) -> list[tuple[bytes, Path]]:
    """What is to be written for pages that belong together, and where.

    A PDF holds them all; of SVG and PNG each later page is a file of its own, numbered.

    Raises
    ------
    stairs.errors.JobError
        For another ending.
    """
    target = Path(path)
    if target.suffix.lower() == ".pdf":
        return [(pdf_bytes(*pages), target)]
    files = _names(target, len(pages))
    return [(picture_bytes(page, file), file) for page, file in zip(pages, files, strict=True)]


def files_of(sheet: Sheet, target: Path) -> list[Path]:
    """The files that a sheet and those that follow it are written to.

    A PDF or DXF file holds them all; of other kinds, ``target`` is the first sheet's, and the later
    ones are numbered.
    """
    one_file = target.suffix.lower() in (".pdf", ".dxf")
    return _names(target, 1 if one_file else 1 + len(sheet.following))


def _names(target: Path, count: int) -> list[Path]:
    later = range(2, count + 1)
    return [target, *(target.with_stem(f"{target.stem}-{number}") for number in later)]


def _sheet_mark(number: int, first: Path) -> str:
    """What a sheet after the first holds, by which it is known again as one of its set."""
    name = quote(first.name, safe="").replace("-", "%2D")
    return f"stairs: sheet {number} of {name}."


def _is_of_set(file: Path, number: int, first: Path) -> bool:
    """Whether a file is a sheet of an earlier run of the same set."""
    try:
        with open(file, "rb") as held:
            return _sheet_mark(number, first).encode() in held.read(_HEAD)
    except OSError:
        return False


def _set_of_files(
    sheets: Sequence[Drawable], made: Callable[[Drawable, str], bytes], target: Path
) -> None:
    """Write each sheet to a file of its own, over those of an earlier run and over no others."""
    files = _names(target, len(sheets))
    for number, file in enumerate(files[1:], start=2):
        if os.path.lexists(file) and not _is_of_set(file, number, target):
            raise FileError(
                str(file),
                f"is there already, and is no sheet of {target.name}",
                "The sheets after the first are numbered and stand beside it",
                "Move that file away, or give the drawing another name",
            )
    beyond = []
    for file in target.parent.glob(f"{escape_glob(target.stem)}-*{escape_glob(target.suffix)}"):
        digits = file.stem[len(target.stem) + 1 :]
        if (
            digits.isdecimal()
            and int(digits) > len(files)
            and _is_of_set(file, int(digits), target)
        ):
            beyond.append(file)
    marks = ["", *(_sheet_mark(number, target) for number in range(2, len(files) + 1))]
    drawn = (made(sheet, mark) for sheet, mark in zip(sheets, marks, strict=True))
    put_all_in_place(zip(drawn, files, strict=True), beyond)
