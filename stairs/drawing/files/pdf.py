"""Sheets as a PDF, which holds its fonts once, and several sheets as a book.

A book has an index that a reader can click on: every sheet keeps its own size and has a bookmark.
There is no clock in a file: the same job makes the same one, byte for byte.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from typing import Any

from msgspec import Struct

from stairs.drawing.files.painter import MAKER, Drawable, figure_of, settings
from stairs.drawing.paper.lettering import cleaned
from stairs.drawing.paper.libraries import load
from stairs.drawing.sheets.page import Page, numbered
from stairs.drawing.sheets.sheet import Sheet
from stairs.drawing.sheets.title_block import Particulars
from stairs.progress import at_work


class Book(Struct, frozen=True):
    """A set of sheets, bound."""

    title: str  # what a reader shows in its frame
    subject: str
    sheets: tuple[Sheet | Page, ...]  # in order, numbered
    # one for each sheet: the name under which others are gathered, often empty, and its own
    bookmarks: tuple[tuple[str, str], ...]
    date: str = ""  # as the job gives it, YYYY-MM-DD; empty where it gives none
    author: str = ""  # who drew it; empty where nobody says


def bound(pages: Sequence[Page], whose: Particulars, subject: str) -> Book:
    """A book of pages, each given its border, its strip and its number."""
    count = len(pages)
    sheets = tuple(numbered(page, whose, k, count) for k, page in enumerate(pages, start=1))
    marks = tuple((page.group, page.name) for page in pages)
    return Book(f"{whose.title}: {subject}", subject, sheets, marks, whose.date, whose.drawn_by)


def pdf_bytes(*sheets: Drawable, title: str | None = None, subject: str | None = None) -> bytes:
    """Sheets as the pages of one file, in order; titled as the first where nothing else is said."""
    load("matplotlib.font_manager")
    from matplotlib.backends.backend_pdf import FigureCanvasPdf, PdfPages

    held = io.BytesIO()
    told = {
        "Title": sheets[0].title if title is None else title,
        "Subject": sheets[0].description if subject is None else subject,
        "Creator": MAKER,
        "Producer": None,
        "CreationDate": None,
    }
    with settings(), PdfPages(held, metadata=told) as pages:
        for number, sheet in enumerate(sheets, 1):
            at_work(f"page {number} of {len(sheets)}")
            figure_of(sheet, FigureCanvasPdf, 72).savefig(pages, format="pdf", dpi=72)
    return held.getvalue()


def book_bytes(book: Book) -> bytes:
    """The whole file of a book with its bookmarks."""
    from pypdf import PdfWriter

    pages = pdf_bytes(*book.sheets, title=book.title, subject=book.subject)
    writer = PdfWriter(clone_from=io.BytesIO(pages))
    parents: dict[str, Any] = {}
    for number, (group, name) in enumerate(book.bookmarks):
        parent = None
        if group:
            if group not in parents:
                parents[group] = writer.add_outline_item(title=cleaned(group), page_number=number)
            parent = parents[group]
        writer.add_outline_item(title=cleaned(name), page_number=number, parent=parent)
    writer.page_mode = "/UseOutlines"
    told = {"/Title": book.title, "/Subject": book.subject, "/Creator": MAKER}
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
