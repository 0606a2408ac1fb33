"""The font file: its letters' widths, and a copy that holds only the letters that are used.

A sheet carries the face that it is lettered in, or it would look different on every machine; but
the whole face is larger than all drawings of a house.  So each file carries a subset: the outlines
of the letters that stand on its sheets, under the numbers that they have in the face.  Written
after the OpenType specification (``head``, ``hhea``, ``hmtx``, ``loca``, ``glyf``, ``maxp``).
"""

from __future__ import annotations

import struct
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from stairs.drawing.lettering import font_path

_KEPT = ("cvt ", "fpgm", "glyf", "head", "hhea", "hmtx", "loca", "maxp", "prep")
_MORE, _WORDS, _SCALE, _TWO_SCALES, _FOUR_SCALES = 0x20, 0x01, 0x08, 0x40, 0x80


@dataclass(frozen=True)
class FontFile:
    """A TrueType face as its file has it.

    Parameters
    ----------
    data : bytes
        The whole file.
    tables : dict
        By name, where each table starts and how long it is [bytes].
    units : int
        Units of the face to the em.
    widths : tuple of int
        How far the pen moves after each glyph [units of the face].
    places : tuple of int
        Where each glyph's outline starts in ``glyf``, and where the last one ends [bytes].
    """

    data: bytes
    tables: dict[str, tuple[int, int]]
    units: int
    widths: tuple[int, ...]
    places: tuple[int, ...]

    def table(self, name: str) -> bytes:
        """One table of the file."""
        start, length = self.tables[name]
        return self.data[start : start + length]

    def outline(self, glyph: int) -> bytes:
        """The outline of a glyph; empty for a space."""
        start = self.tables["glyf"][0]
        return self.data[start + self.places[glyph] : start + self.places[glyph + 1]]


@lru_cache(maxsize=2)
def font_file(bold: bool) -> FontFile:
    """The face that all sheets are lettered in, or its heavier one.

    Examples
    --------
    >>> font_file(False).units
    2048
    """
    data = Path(font_path(bold)).read_bytes()
    count = struct.unpack_from(">H", data, 4)[0]
    tables = {}
    for k in range(count):
        name, _, start, length = struct.unpack_from(">4sLLL", data, 12 + 16 * k)
        tables[name.decode("ascii")] = (start, length)
    head, hhea, maxp = (tables[name][0] for name in ("head", "hhea", "maxp"))
    units, long_places = struct.unpack_from(">H", data, head + 18)[0], data[head + 51]
    glyphs = struct.unpack_from(">H", data, maxp + 4)[0]
    measured = struct.unpack_from(">H", data, hhea + 34)[0]
    pairs = struct.unpack_from(f">{2 * measured}H", data, tables["hmtx"][0])
    widths = pairs[::2] + (pairs[-2],) * (glyphs - measured)
    kind = "L" if long_places else "H"
    places = struct.unpack_from(f">{glyphs + 1}{kind}", data, tables["loca"][0])
    if not long_places:
        places = tuple(2 * place for place in places)
    return FontFile(data, tables, units, widths, places)


def subset(face: FontFile, glyphs: Iterable[int]) -> bytes:
    """A font file with the outlines of some glyphs only, all under their own numbers.

    Parameters
    ----------
    face : FontFile
        The whole one.
    glyphs : iterable of int
        Those that are wanted; what they are composed of is taken with them.

    Examples
    --------
    >>> face = font_file(False)
    >>> small = subset(face, [36, 37])
    >>> len(small) < len(face.data) / 20
    True
    """
    wanted = _with_parts(face, glyphs)
    count = max(wanted) + 1
    outlines, places = bytearray(), [0]
    metrics = face.table("hmtx")
    kept = bytearray()
    for glyph in range(count):
        if glyph in wanted:
            outlines += face.outline(glyph)
            outlines += bytes(-len(outlines) % 4)
            kept += _metric(face, metrics, glyph)
        else:
            kept += bytes(4)
        places.append(len(outlines))
    tables = {name: face.table(name) for name in _KEPT if name in face.tables}
    head, hhea, maxp = (bytearray(tables[name]) for name in ("head", "hhea", "maxp"))
    struct.pack_into(">L", head, 8, 0)
    struct.pack_into(">h", head, 50, 1)
    struct.pack_into(">H", hhea, 34, count)
    struct.pack_into(">H", maxp, 4, count)
    tables.update(
        glyf=bytes(outlines), hmtx=bytes(kept), head=bytes(head), hhea=bytes(hhea),
        maxp=bytes(maxp), loca=struct.pack(f">{count + 1}L", *places),
    )  # fmt: skip
    return _assembled(tables)


def _metric(face: FontFile, metrics: bytes, glyph: int) -> bytes:
    """Width and left bearing of a glyph, as a table holds them."""
    measured = struct.unpack_from(">H", face.table("hhea"), 34)[0]
    if glyph < measured:
        return metrics[4 * glyph : 4 * glyph + 4]
    start = 4 * measured + 2 * (glyph - measured)
    return struct.pack(">H", face.widths[glyph]) + metrics[start : start + 2]


def _with_parts(face: FontFile, glyphs: Iterable[int]) -> set[int]:
    """The glyphs, the one that stands for a missing letter, and all that they are composed of."""
    wanted: set[int] = set()
    open_ones = {0, *glyphs}
    while open_ones:
        glyph = open_ones.pop()
        wanted.add(glyph)
        open_ones |= set(_parts(face.outline(glyph))) - wanted
    return wanted


def _parts(outline: bytes) -> list[int]:
    """The glyphs that an outline is composed of; none where it has its own contours."""
    if len(outline) < 10 or struct.unpack_from(">h", outline)[0] >= 0:
        return []
    found, at, flags = [], 10, _MORE
    while flags & _MORE:
        flags, glyph = struct.unpack_from(">HH", outline, at)
        found.append(glyph)
        at += 8 if flags & _WORDS else 6
        at += (
            8 if flags & _FOUR_SCALES else 4 if flags & _TWO_SCALES else 2 if flags & _SCALE else 0
        )
    return found


def _assembled(tables: dict[str, bytes]) -> bytes:
    """Tables put into one file, with its directory and its check sums."""
    count = len(tables)
    power = 1 << (count.bit_length() - 1)
    head = struct.pack(">LHHHH", 0x00010000, count, 16 * power, power.bit_length() - 1,
                       16 * (count - power))  # fmt: skip
    start = 12 + 16 * count
    directory, body, place = b"", b"", 0
    for name in sorted(tables):
        data = tables[name]
        if name == "head":
            place = start + len(body)
        directory += struct.pack(">4sLLL", name.encode("ascii"), _sum(data), start + len(body),
                                 len(data))  # fmt: skip
        body += data + bytes(-len(data) % 4)
    whole = bytearray(head + directory + body)
    struct.pack_into(">L", whole, place + 8, (0xB1B0AFBA - _sum(bytes(whole))) & 0xFFFFFFFF)
    return bytes(whole)


def _sum(data: bytes) -> int:
    """The sum of a table's words, as the directory has it."""
    padded = data + bytes(-len(data) % 4)
    return sum(struct.unpack(f">{len(padded) // 4}L", padded)) & 0xFFFFFFFF
