"""The book: several sheets bound into one PDF, with an index that a reader can click on.

Every sheet keeps its own size.  The file holds its fonts once, a bookmark for each sheet, a title
and a subject, and no clock: the same job makes the same file, byte for byte.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from pathlib import Path

from msgspec import Struct

from stairs.drawing.paper.lettering import cleaned
from stairs.errors import JobError
from stairs.files import put_in_place


class Book(Struct, frozen=True):
    """A set of sheets."""

    # title, subject: for the file; the title is what a reader shows in its frame
    title: str
    subject: str
    sheets: tuple  # in order, numbered
    # one for each sheet: the name under which others are gathered, often empty, and its own
    bookmarks: tuple[tuple[str, str], ...]
    date: str = ""  # as the job gives it, "YYYY-MM-DD"; empty where it gives none
    author: str = ""  # who drew it; empty where nobody says


def book_bytes(book: Book) -> bytes:
    """The whole file."""
    from pypdf import PdfWriter

    from stairs.drawing.files.writers import book_bytes as pages_bytes

    writer = PdfWriter(clone_from=io.BytesIO(pages_bytes(book.sheets, book.title, book.subject)))
    parents: dict[str, object] = {}
    for number, (group, name) in enumerate(book.bookmarks):
        parent = None
        if group:
            if group not in parents:
                parents[group] = writer.add_outline_item(title=cleaned(group), page_number=number)
            parent = parents[group]
        writer.add_outline_item(title=cleaned(name), page_number=number, parent=parent)
    writer.page_mode = "/UseOutlines"
    told = {"/Title": book.title, "/Subject": book.subject, "/Creator": "stairs"}
    if book.author:
        told["/Author"] = book.author
    digits = "".join(character for character in book.date if character.isdigit())
    if len(digits) == 8:
        told["/CreationDate"] = f"D:{digits}"
    writer.metadata = None
    writer.add_metadata({key: cleaned(value) for key, value in told.items()})
    held = io.BytesIO()
    writer.write(held)
    return held.getvalue()


def write_book(book: Book, path) -> None:
    """Put the file in its place, whole or not at all."""
    target = Path(path)
    if target.suffix.lower() != ".pdf":
        raise JobError(
            str(path),
            f'"{target.suffix}" is no ending of a set of sheets'
            if target.suffix
            else "it has no ending",
            "A set of sheets is one .pdf",
            "Name the file with .pdf",
        )
    put_in_place(book_bytes(book), target)


def bound(pages: Sequence, whose, subject: str) -> Book:
    """A book of pages, each given its border, its strip and its number."""
    from stairs.drawing.sheets.page import numbered

    count = len(pages)
    sheets = tuple(numbered(page, whose, k, count) for k, page in enumerate(pages, start=1))
    marks = tuple((page.group, page.name) for page in pages)
    return Book(f"{whose.title}: {subject}", subject, sheets, marks, whose.date, whose.drawn_by)
