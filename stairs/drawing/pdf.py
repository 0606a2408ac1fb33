"""PDF files: sheets as the pages of one file, with their fonts, their bookmarks and a title.

A sheet is strokes, arcs and letters in millimetres, and a PDF page is little more than that written
down, so it is written here directly: it costs a fraction of what a plotting library needs to lay
out every letter anew on every page.  The file is the same, byte for byte, whenever the same sheets
are written: it holds no clock.  Written after ISO 32000-1 (PDF 1.7): page content in chapter 8,
text and composite fonts in 9, outlines in 12.3.3, the document's information in 14.3.3.
"""

from __future__ import annotations

import math
import zlib
from collections.abc import Sequence
from dataclasses import dataclass

from stairs.drawing.font_file import font_file, subset
from stairs.drawing.lettering import cleaned, font_size, width_of
from stairs.drawing.letters import line_of
from stairs.drawing.primitives import CONTINUOUS, DASHES, Arc, Stroke, Text

POINTS = 72 / 25.4
"""Points of 1/72 in to the millimetre."""
_FACES = ((False, "F1", "DejaVuSans"), (True, "F2", "DejaVuSans-Bold"))
_TAG = "STAIRS"  # marks an embedded font as a subset
_PIECE = 45.0  # of an arc that one curve stands for, true to a millionth of the radius [degrees]
_LEVEL = 6  # of compression


@dataclass(frozen=True, slots=True)
class Mark:
    """A bookmark.

    Parameters
    ----------
    title : str
        As a reader lists it.
    page : int
        From 0.
    under : tuple of Mark
        Those that stand under it.
    """

    title: str
    page: int
    under: tuple[Mark, ...] = ()


def pdf_file(sheets: Sequence, told: dict[str, str], marks: Sequence[Mark] = ()) -> bytes:
    """The whole file.

    Parameters
    ----------
    sheets : sequence of Sheet or Page
        In order, each of its own size.
    told : dict
        The document's information by PDF's own names, such as ``"Title"``.
    marks : sequence of Mark
        Bookmarks of the first rank.
    """
    file = _File()
    catalog, pages = file.take(), file.take()
    fonts = {name: file.take() for _, name, _ in _FACES}
    used: dict[bool, dict[int, str]] = {bold: {} for bold, _, _ in _FACES}
    own = []
    for sheet in sheets:
        width, height = (float(edge) * POINTS for edge in (sheet.paper.width, sheet.paper.height))
        body = file.stream(_content(sheet.primitives, used))
        own.append(
            file.add(
                f"<< /Type /Page /Parent {pages} 0 R /MediaBox [0 0 {_n(width)} {_n(height)}] "
                f"/Contents {body} 0 R /Resources << /ProcSet [/PDF /Text] /Font << "
                + " ".join(f"/{name} {fonts[name]} 0 R" for name in _in_use(used))
                + " >> >> >>"
            )
        )
    for bold, name, face in _FACES:
        file.set(fonts[name], _font(file, bold, face, used[bold]))
    kids = " ".join(f"{number} 0 R" for number in own)
    file.set(pages, f"<< /Type /Pages /Count {len(own)} /Kids [{kids}] >>")
    root = f"<< /Type /Catalog /Pages {pages} 0 R /Lang (en) "
    root += "/ViewerPreferences << /DisplayDocTitle true >>"
    if marks:
        root += f" /Outlines {_outlines(file, marks, own)} 0 R /PageMode /UseOutlines"
    file.set(catalog, root + " >>")
    info = file.add(
        "<< " + " ".join(f"/{key} {_string(value)}" for key, value in told.items()) + " >>"
    )
    return file.whole(catalog, info)


# --------------------------------------------------------------------------- objects


class _File:
    """Numbered objects, put one after the other at the end."""

    def __init__(self) -> None:
        self.objects: list[bytes] = []

    def take(self) -> int:
        """A number for an object that is set later."""
        self.objects.append(b"")
        return len(self.objects)

    def set(self, number: int, content: str | bytes) -> None:
        self.objects[number - 1] = (
            content if isinstance(content, bytes) else content.encode("ascii")
        )

    def add(self, content: str | bytes) -> int:
        number = self.take()
        self.set(number, content)
        return number

    def stream(self, data: bytes, more: str = "") -> int:
        packed = zlib.compress(data, _LEVEL)
        head = f"<< /Length {len(packed)} /Filter /FlateDecode{more} >>\nstream\n".encode("ascii")
        return self.add(head + packed + b"\nendstream")

    def whole(self, root: int, info: int) -> bytes:
        out = bytearray(b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n")
        places = []
        for number, content in enumerate(self.objects, start=1):
            places.append(len(out))
            out += b"%d 0 obj\n" % number + content + b"\nendobj\n"
        start = len(out)
        out += b"xref\n0 %d\n0000000000 65535 f \n" % (len(places) + 1)
        for place in places:
            out += b"%010d 00000 n \n" % place
        out += b"trailer\n<< /Size %d /Root %d 0 R /Info %d 0 R >>\n" % (
            len(places) + 1, root, info,
        )  # fmt: skip
        out += b"startxref\n%d\n%%%%EOF\n" % start
        return bytes(out)


def _n(value: float) -> str:
    """A number as PDF takes it, to a ten-thousandth of a point."""
    text = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if text in ("", "-0") else text


def _string(text: str) -> str:
    """Any text as a PDF string: in plain letters, or as the numbers of all its characters."""
    shown = cleaned(text)
    if shown.isascii():
        return "(" + "".join("\\" + one if one in "()\\" else one for one in shown) + ")"
    return "<FEFF" + shown.encode("utf-16-be").hex().upper() + ">"


def _in_use(used: dict[bool, dict[int, str]]) -> list[str]:
    return [name for bold, name, _ in _FACES if used[bold]]


def _outlines(file: _File, marks: Sequence[Mark], pages: Sequence[int]) -> int:
    """The tree of bookmarks, all of it open."""
    root = file.take()

    def grow(parent: int, branch: Sequence[Mark]) -> str:
        numbers = [file.take() for _ in branch]
        for k, (number, mark) in enumerate(zip(numbers, branch, strict=True)):
            entry = f"<< /Title {_string(mark.title)} /Parent {parent} 0 R "
            entry += f"/Dest [{pages[mark.page]} 0 R /Fit]"
            if k:
                entry += f" /Prev {numbers[k - 1]} 0 R"
            if k + 1 < len(numbers):
                entry += f" /Next {numbers[k + 1]} 0 R"
            if mark.under:
                entry += " " + grow(number, mark.under)
            file.set(number, entry + " >>")
        count = len(numbers) + sum(_count(mark) for mark in branch)
        return f"/First {numbers[0]} 0 R /Last {numbers[-1]} 0 R /Count {count}"

    file.set(root, f"<< /Type /Outlines {grow(root, marks)} >>")
    return root


def _count(mark: Mark) -> int:
    return len(mark.under) + sum(map(_count, mark.under))


# --------------------------------------------------------------------------- fonts


def _font(file: _File, bold: bool, name: str, used: dict[int, str]) -> str:
    """A composite font whose codes are glyph numbers, embedded as a subset."""
    if not used:
        return "null"
    face = font_file(bold)
    scale = 1000 / face.units
    data = subset(face, used)
    program = file.stream(data, f" /Length1 {len(data)}")
    box = _numbers(face.table("head")[36:44], scale)
    rise, fall = _numbers(face.table("hhea")[4:8], scale)
    called = f"{_TAG}+{name}"
    descriptor = file.add(
        f"<< /Type /FontDescriptor /FontName /{called} /Flags 32 /ItalicAngle 0 "
        f"/FontBBox [{' '.join(map(_n, box))}] /Ascent {_n(rise)} /Descent {_n(fall)} "
        f"/CapHeight 729 /StemV {160 if bold else 90} /FontFile2 {program} 0 R >>"
    )
    widths = " ".join(f"{glyph} [{_n(face.widths[glyph] * scale)}]" for glyph in sorted(used))
    own = file.add(
        f"<< /Type /Font /Subtype /CIDFontType2 /BaseFont /{called} /CIDToGIDMap /Identity "
        "/CIDSystemInfo << /Registry (Adobe) /Ordering (Identity) /Supplement 0 >> "
        f"/FontDescriptor {descriptor} 0 R /DW 600 /W [{widths}] >>"
    )
    meaning = file.stream(_meaning(used))
    return (
        f"<< /Type /Font /Subtype /Type0 /BaseFont /{called} /Encoding /Identity-H "
        f"/DescendantFonts [{own} 0 R] /ToUnicode {meaning} 0 R >>"
    )


def _numbers(data: bytes, scale: float) -> list[float]:
    return [
        int.from_bytes(data[k : k + 2], "big", signed=True) * scale for k in range(0, len(data), 2)
    ]


def _meaning(used: dict[int, str]) -> bytes:
    """Which characters the glyphs stand for, so that text can be found and copied."""
    rows = [
        f"<{glyph:04X}> <{used[glyph].encode('utf-16-be').hex().upper()}>" for glyph in sorted(used)
    ]
    parts = [
        "/CIDInit /ProcSet findresource begin 12 dict begin begincmap",
        "/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def",
        "/CMapName /Adobe-Identity-UCS def /CMapType 2 def",
        "1 begincodespacerange <0000> <FFFF> endcodespacerange",
    ]
    for k in range(0, len(rows), 100):  # no more are allowed at once
        group = rows[k : k + 100]
        parts += [f"{len(group)} beginbfchar", *group, "endbfchar"]
    parts.append("endcmap CMapName currentdict /CMap defineresource pop end end")
    return "\n".join(parts).encode("ascii")


# --------------------------------------------------------------------------- page content


def _content(primitives, used: dict[bool, dict[int, str]]) -> bytes:
    """A page's strokes, arcs and letters, in the order in which they are drawn."""
    pen = _Pen()
    for one in primitives:
        if isinstance(one, Text):
            _letter(one, pen, used[one.bold])
        elif isinstance(one, Arc):
            _paint(one, pen, _arc(one))
        else:
            rows = [f"{_at(point)} l" for point in one.points]
            rows[0] = rows[0][:-1] + "m"
            if one.closed:
                rows.append("h")
            _paint(one, pen, rows)
    return "\n".join(pen.rows).encode("ascii")


class _Pen:
    """What is set on a page, so that nothing is set twice."""

    def __init__(self) -> None:
        self.rows: list[str] = ["0 j 10 M"]
        self.now: dict[str, str] = {}

    def turn(self, what: str, to: str) -> None:
        if self.now.get(what) != to:
            self.now[what] = to
            self.rows.append(to)


def _at(point) -> str:
    return f"{_n(point[0] * POINTS)} {_n(point[1] * POINTS)}"


_FILLS = {"ink": "0 g", "blank": "1 g"}


def _paint(one: Stroke | Arc, pen: _Pen, path: list[str]) -> None:
    if one.fill is not None:
        pen.turn("fill", _FILLS[one.fill])
    if one.weight > 0:
        pen.turn("width", f"{_n(one.weight * POINTS)} w")
        if one.line == CONTINUOUS:
            pen.turn("dash", "[] 0 d 1 J")
        else:
            marks = " ".join(_n(part * POINTS) for part in DASHES[one.line])
            pen.turn("dash", f"[{marks}] 0 d 0 J")
        path.append("B" if one.fill is not None else "S")
    else:
        path.append("f" if one.fill is not None else "n")
    pen.rows += path


def _arc(one: Arc) -> list[str]:
    """A part of a circle in cubic curves: handles of ``4/3 tan(turn / 4)`` times the radius."""
    (x, y), radius = one.center, one.radius
    count = max(1, math.ceil((one.end - one.start) / _PIECE - 1e-9))
    step = math.radians((one.end - one.start) / count)
    reach = 4 / 3 * math.tan(step / 4)
    turn = math.radians(one.start)
    cosine, sine = math.cos(turn), math.sin(turn)
    rows = [f"{_at((x + radius * cosine, y + radius * sine))} m"]
    for k in range(1, count + 1):
        turn = math.radians(one.start) + k * step
        c, s = math.cos(turn), math.sin(turn)
        handles = (
            (x + radius * (cosine - reach * sine), y + radius * (sine + reach * cosine)),
            (x + radius * (c + reach * s), y + radius * (s - reach * c)),
            (x + radius * c, y + radius * s),
        )
        rows.append(" ".join(map(_at, handles)) + " c")
        cosine, sine = c, s
    if one.whole:
        rows.append("h")
    return rows


def _letter(one: Text, pen: _Pen, used: dict[int, str]) -> None:
    line = line_of(one.content, one.bold)
    if not line.glyphs:
        return
    for glyph, character in zip(line.glyphs, line.characters, strict=True):
        used.setdefault(glyph, character)
    turn = math.radians(one.rotation)
    cosine, sine = math.cos(turn), math.sin(turn)
    x, y = one.at
    if one.anchor != "left":
        back = width_of(one.content, one.height, one.bold)
        back *= 0.5 if one.anchor == "middle" else 1.0
        x, y = x - back * cosine, y - back * sine
    pen.turn("fill", "1 g" if one.blank else "0 g")
    name = next(name for bold, name, _ in _FACES if bold == one.bold)
    shown = ["<"]
    for glyph, nudge in zip(line.glyphs, line.nudges, strict=True):
        shown.append(f"> {-nudge} <{glyph:04X}" if nudge else f"{glyph:04X}")
    pen.rows.append(
        f"BT /{name} {_n(font_size(one.height))} Tf {_n6(cosine)} {_n6(sine)} {_n6(-sine)} "
        f"{_n6(cosine)} {_at((x, y))} Tm [{''.join(shown)}>] TJ ET"
    )


def _n6(value: float) -> str:
    """The sine or cosine of a turn, to a millionth."""
    text = f"{value:.6f}".rstrip("0").rstrip(".")
    return "0" if text in ("", "-0") else text
