"""A set of sheets is one PDF: its index, its particulars, its fonts, and nothing half written."""

from __future__ import annotations

import io
import re

import pypdf
import pytest

from stairs.drawing import write
from stairs.drawing.files.pdf import book_bytes, bound
from stairs.drawing.paper.lettering import cleaned
from stairs.drawing.paper.primitives import Text
from stairs.drawing.sets.packet.packet import packet_book
from stairs.drawing.sheets.page import Page, paper_for
from stairs.drawing.sheets.title_block import Particulars
from stairs.errors import FileError, JobError

HOSTILE = (
    "Garden $x_2$ \\alpha <script>alert(1)</script> & é ß",
    "שלום مرحبا \U0001f6e0 \u202egnp",
    "word " * 100,
    "x" * 500,
    "",
)


def set_of(count=3, title="Set", **more):
    paper = paper_for("in")
    pages = [
        Page(paper, f"Leaf {k}", "", (Text(f"leaf {k}", (50, 100), 3.5, "note"),),
             group="Leaves" if k else "")
        for k in range(count)
    ]  # fmt: skip
    return bound(pages, Particulars(title, **more), "Leaves to turn")


def read(book):
    return pypdf.PdfReader(io.BytesIO(book_bytes(book)))


def flat(outline):
    for one in outline:
        if isinstance(one, list):
            yield from flat(one)
        else:
            yield one


def test_every_sheet_has_a_bookmark_that_leads_to_it():
    file = read(set_of(4))
    found = [(one.title, file.get_destination_page_number(one)) for one in flat(file.outline)]
    assert found == [("Leaf 0", 0), ("Leaves", 1), ("Leaf 1", 1), ("Leaf 2", 2), ("Leaf 3", 3)]
    assert isinstance(file.outline[2], list)  # those of a group stand under it


def test_every_page_says_which_of_how_many_it_is():
    file = read(set_of(3))
    for number, page in enumerate(file.pages, start=1):
        assert f"{number} OF 3" in page.extract_text()


@pytest.mark.parametrize("title", ["1 OF 1", "2 OF 3"])
def test_a_title_that_reads_like_a_number_stays_a_title(solution, make_text, title):
    """The number stands in the title block as a number, and is not sought among its words."""
    packet = packet_book(solution(make_text(title=title)))
    count = len(packet.sheets)
    assert count > 3
    for number, sheet in enumerate(packet.sheets, start=1):
        strip = [
            one.content
            for one in sheet.furniture
            if isinstance(one, Text) and one.group == "title-block"
        ]
        assert sorted(one for one in strip if re.fullmatch(r"\d+ OF \d+", one)) == sorted(
            [title, f"{number} OF {count}"]
        )


def test_particulars_are_in_the_file_and_on_every_page():
    book = set_of(2, "Mill lane", address=("Mill lane 1",), date="2026-03-04", drawn_by="A. B.",
                  revision="C")  # fmt: skip
    file = read(book)
    assert file.metadata.title == "Mill lane: Leaves to turn"
    assert file.metadata.subject == "Leaves to turn"
    assert file.metadata.author == "A. B."
    assert file.metadata["/CreationDate"] == "D:20260304"
    for page in file.pages:
        text = page.extract_text()
        assert all(
            word in text for word in ("Mill lane", "Mill lane 1", "2026-03-04", "A. B.", "C")
        )


def test_a_job_without_a_date_has_none_in_the_file():
    assert "/CreationDate" not in read(set_of()).metadata
    assert "/ModDate" not in read(set_of()).metadata


def test_the_same_set_is_the_same_file():
    assert book_bytes(set_of()) == book_bytes(set_of())


def test_fonts_are_embedded():
    for page in read(set_of()).pages:
        fonts = page["/Resources"]["/Font"]
        assert len(fonts)
        for font in fonts.values():
            font = font.get_object()
            held = font.get("/DescendantFonts", [font])[0].get_object()
            assert "/FontFile2" in held["/FontDescriptor"].get_object()


@pytest.mark.parametrize("title", HOSTILE, ids=range(len(HOSTILE)))
def test_hostile_titles_are_shown_as_text_within_the_border(title):
    from stairs.drawing.placing.inspection import overlaps

    book = set_of(1, title)
    (sheet,) = book.sheets
    assert not overlaps(sheet.primitives, sheet.paper.border)
    file = read(book)
    assert file.metadata.title == cleaned(f"{title}: Leaves to turn")
    start = cleaned(title)[:12].strip()
    assert start in "".join(one.content for one in sheet.furniture if isinstance(one, Text))


def test_a_set_is_written_whole(tmp_path):
    target = tmp_path / "set.pdf"
    target.write_bytes(b"old")
    write(set_of(), target)
    assert len(pypdf.PdfReader(target).pages) == 3
    assert list(tmp_path.iterdir()) == [target]


@pytest.mark.parametrize(
    "name, words",
    [("set.svg", '".svg" is no ending of a set of sheets. A set of sheets is one .pdf'),
     ("set", "it has no ending. A set of sheets is one .pdf")],
)  # fmt: skip
def test_another_ending_is_refused(tmp_path, name, words):
    with pytest.raises(JobError) as error:
        write(set_of(), tmp_path / name)
    assert words in str(error.value)
    assert not list(tmp_path.iterdir())


def test_an_unwritable_target_is_left_alone(tmp_path):
    with pytest.raises(FileError, match="cannot be written"):
        write(set_of(), tmp_path / "missing" / "set.pdf")
    folder = tmp_path / "folder.pdf"
    folder.mkdir()
    with pytest.raises(FileError, match="Is a directory"):
        write(set_of(), folder)
    assert list(tmp_path.iterdir()) == [folder]


def test_a_folder_that_is_a_file_is_named(tmp_path):
    folder = tmp_path / "plan"
    folder.write_text("no folder")
    with pytest.raises(FileError, match="cannot be written: Not a directory") as error:
        write(set_of(), folder / "set.pdf")
    assert str(folder / "set.pdf") in str(error.value)
    assert "Name a file in a folder that exists and may be written to" in str(error.value)
    assert folder.read_text() == "no folder"


def test_a_name_that_is_too_long_is_refused(tmp_path):
    with pytest.raises(FileError, match="cannot be written: File name too long"):
        write(set_of(), tmp_path / f"{'x' * 300}.pdf")
    assert not list(tmp_path.iterdir())


def test_what_was_there_stays_when_the_new_file_does_not_come_whole(tmp_path, monkeypatch):
    target = tmp_path / "set.pdf"
    target.write_bytes(b"old")

    def full(descriptor, mode):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fdopen", full)
    with pytest.raises(FileError, match="cannot be written: No space left on device"):
        write(set_of(), target)
    assert target.read_bytes() == b"old"
    assert list(tmp_path.iterdir()) == [target]


def test_a_set_that_cannot_be_drawn_writes_nothing(tmp_path, monkeypatch):
    target = tmp_path / "set.pdf"
    target.write_bytes(b"old")
    monkeypatch.setattr("stairs.drawing.files.painter.paint", lambda *given: 1 / 0)
    with pytest.raises(ZeroDivisionError):
        write(set_of(), target)
    assert target.read_bytes() == b"old"


def test_pages_keep_their_own_sizes():
    upright = paper_for("mm", upright=True)
    lying = paper_for("in", "tabloid")
    pages = [Page(upright, "one", "", ()), Page(lying, "two", "", ())]
    file = read(bound(pages, Particulars("Two"), "Two sizes"))
    sizes = [(float(page.mediabox.width), float(page.mediabox.height)) for page in file.pages]
    assert sizes[0] == pytest.approx((210 / 25.4 * 72, 297 / 25.4 * 72), abs=0.01)
    assert sizes[1] == pytest.approx((17 * 72, 11 * 72), abs=0.01)
