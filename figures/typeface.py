"""Makes the files of the typeface: the letters of sheets, taken out of a free face.

Run by hand where letters are to be added, with the folder that holds the whole face:
``python figures/typeface.py FOLDER``.  Which face it is, who reads the files and
where the whole face comes from stands in :mod:`stairs.drawing.paper.typeface`.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from stairs.drawing.paper.typeface import FAMILY, face_file, web_file

_WHOLE = {False: "IBMPlexSansCondensed-Regular.ttf", True: "IBMPlexSansCondensed-Bold.ttf"}
"""Files of the whole face, by whether it is the heavier one."""
_PLAIN = ((0x20, 0x7E), (0xA0, 0xFF), (0x2010, 0x201F), (0x2032, 0x2033), (0x215B, 0x215E))
_LETTERS = (
    *_PLAIN, (0x100, 0x17F), (0x218, 0x21B), (0x2C6, 0x2DD),  # Latin
    (0x370, 0x45F),  # Greek, Cyrillic
    (0x2010, 0x203F), (0x20AC, 0x20AC), (0x2116, 0x2116), (0x2122, 0x2122),  # points and signs
    (0x2150, 0x215F), (0x2190, 0x2195),  # fractions, arrows
    (0x2205, 0x2205), (0x2212, 0x2212), (0x221A, 0x221A), (0x221E, 0x221E), (0x2248, 0x2248),
    (0x2260, 0x2260), (0x2264, 0x2265), (0x2300, 0x2300), (0x25A1, 0x25A1), (0x2713, 0x2713),
)  # fmt: skip
_SPACE = 0.4  # width of a space over the height of a capital
_NOT_KERNED = " \u00a00123456789/\"'"
_TYPESETTING = ["GSUB", "GPOS", "GDEF", "MATH", "FFTM", "STAT", "gasp", "DSIG"]


def make(source: Path, folder: Path | None = None) -> None:
    """Take the letters of sheets out of the whole face."""
    # Outlines and widths stay as they are, but for the space, which is made wider, so that 2 1/2 is
    # not read as 21/2. Kerning is kept between letters, and none beside figures and spaces, for the
    # same reason; it is written in the older and plainer of the two ways, which the plotting
    # library reads too. The name has to change: the licence in faces/LICENSE asks for that wherever
    # a face is altered.
    for bold, name in _WHOLE.items():
        for place, ranges, kerned in (
            (Path(face_file(bold)), _LETTERS, True), (Path(web_file(bold)), _PLAIN, False),
        ):  # fmt: skip
            font = _subset(source / name, ranges, kerned)
            _rename(font["name"], "Bold" if bold else "Regular")
            font.flavor = "woff" if place.suffix == ".woff" else None
            font.save(place if folder is None else folder / place.name)


def _subset(file: Path, ranges: Iterable[tuple[int, int]], kerned: bool) -> Any:
    """The letters of a face that lie in these ranges, both ends included."""
    from fontTools import subset

    options = subset.Options(
        hinting=False, glyph_names=False, notdef_outline=True, layout_features=["kern"],
        name_IDs=[0, 1, 2, 3, 4, 6, 13, 14],
    )  # fmt: skip
    font = subset.load_font(file, options)
    chosen = subset.Subsetter(options)
    chosen.populate(unicodes=[code for a, b in ranges for code in range(a, b + 1)])
    chosen.subset(font)
    pulls = _pulls(font) if kerned else {}
    for code in (0x20, 0xA0):
        name = font.getBestCmap()[code]
        font["hmtx"][name] = (round(_SPACE * font["OS/2"].sCapHeight), 0)
    for tag in _TYPESETTING:
        if tag in font:
            del font[tag]
    if pulls:
        _kern(font, pulls)
    return font


def _pulls(font: Any) -> dict[tuple[str, str], int]:
    """How far each two letters are drawn together, by their names [units of the face]."""
    found: dict[tuple[str, str], int] = {}
    table = font["GPOS"].table
    wanted = {
        index
        for record in table.FeatureList.FeatureRecord
        if record.FeatureTag == "kern"
        for index in record.Feature.LookupListIndex
    }
    for index in sorted(wanted):
        for part in table.LookupList.Lookup[index].SubTable:
            for pair, pull in _pairs(getattr(part, "ExtSubTable", part)):
                found.setdefault(pair, pull)  # the first that knows a pair rules
    plain = {
        name
        for code, name in font.getBestCmap().items()
        if code <= 0xFF and chr(code) not in _NOT_KERNED
    }
    return {pair: pull for pair, pull in found.items() if pull and plain.issuperset(pair)}


def _pairs(part: Any) -> Iterator[tuple[tuple[str, str], int]]:
    """The pairs of a table of kerning, of either kind."""

    def pull(value: Any) -> int:
        return getattr(value, "XAdvance", 0) or 0

    if part.Format == 1:
        for left, row in zip(part.Coverage.glyphs, part.PairSet, strict=True):
            for record in row.PairValueRecord:
                yield (left, record.SecondGlyph), pull(record.Value1)
        return
    rights: dict[int, list[str]] = {}
    for name, kind in part.ClassDef2.classDefs.items():
        rights.setdefault(kind, []).append(name)
    for left in part.Coverage.glyphs:
        row = part.Class1Record[part.ClassDef1.classDefs.get(left, 0)].Class2Record
        for kind, names in rights.items():
            for right in names:
                yield (left, right), pull(row[kind].Value1)


def _kern(font: Any, pulls: dict[tuple[str, str], int]) -> None:
    """Write the kerning as a plain list of pairs."""
    from fontTools.ttLib import newTable
    from fontTools.ttLib.tables._k_e_r_n import KernTable_format_0

    part = KernTable_format_0()
    part.version, part.coverage, part.apple = 0, 1, False
    part.kernTable = pulls
    font["kern"] = newTable("kern")
    font["kern"].version, font["kern"].kernTables = 0, [part]


def _rename(names: Any, style: str) -> None:
    """Give a face our own name, and leave the notices of who drew it."""
    own = {1: FAMILY, 2: style, 3: f"{FAMILY} {style}", 4: f"{FAMILY} {style}",
           6: f"{FAMILY.replace(' ', '')}-{style}"}  # fmt: skip
    for record in names.names:
        if record.nameID in own:
            record.string = own[record.nameID]


if __name__ == "__main__":
    make(Path(sys.argv[1]))
