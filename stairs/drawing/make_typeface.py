"""Makes the files of the typeface: the letters of sheets, taken out of DejaVu Sans.

Run by hand, as ``python -m stairs.drawing.make_typeface``, where letters are to be added; what the
typeface is and who reads it stands in :mod:`stairs.drawing.typeface`.
"""

from __future__ import annotations

from pathlib import Path

from stairs.drawing.typeface import face_file

_NAME = "Stairs Sheet"
_LETTERS = (
    (0x20, 0x17F), (0x218, 0x21B), (0x2C6, 0x2DD),  # Latin
    (0x370, 0x45F),  # Greek, Cyrillic
    (0x2010, 0x203F), (0x20AC, 0x20AC), (0x2116, 0x2116), (0x2122, 0x2122),  # points and signs
    (0x2150, 0x215F), (0x2190, 0x2195),  # fractions, arrows
    (0x2205, 0x2205), (0x2212, 0x2212), (0x221A, 0x221A), (0x221E, 0x221E), (0x2248, 0x2248),
    (0x2260, 0x2260), (0x2264, 0x2265), (0x2300, 0x2300), (0x25A1, 0x25A1), (0x2713, 0x2713),
)  # fmt: skip
_TYPESETTING = ["GSUB", "GPOS", "GDEF", "MATH", "FFTM", "gasp"]


def make(folder: Path | None = None) -> None:
    """Take the letters of sheets out of DejaVu Sans.

    Parameters
    ----------
    folder : Path, optional
        Where the files are put; where they are read from if it is left out.

    Notes
    -----
    Outlines, widths and kerning stay as they are.  The name has to change: the licence in
    ``faces/LICENSE`` asks for that wherever a face is altered.
    """
    from fontTools import subset

    for bold in (False, True):
        options = subset.Options(
            hinting=False, glyph_names=False, notdef_outline=True, legacy_kern=True,
            layout_features=[], name_IDs=[0, 1, 2, 3, 4, 6, 13, 14],
        )  # fmt: skip
        options.drop_tables = [
            *(tag for tag in options.drop_tables if tag != "kern"), *_TYPESETTING
        ]  # fmt: skip
        with subset.load_font(face_file(bold, whole=True), options) as font:
            chosen = subset.Subsetter(options)
            chosen.populate(unicodes=[code for a, b in _LETTERS for code in range(a, b + 1)])
            chosen.subset(font)
            _rename(font["name"], "Bold" if bold else "Regular")
            place = Path(face_file(bold))
            font.save(place if folder is None else folder / place.name)


def _rename(names, style: str) -> None:
    """Give a face our own name, and leave the notices of who drew it."""
    own = {1: _NAME, 2: style, 3: f"{_NAME} {style}", 4: f"{_NAME} {style}",
           6: f"{_NAME.replace(' ', '')}-{style}"}  # fmt: skip
    for record in names.names:
        if record.nameID in own:
            record.string = own[record.nameID]


if __name__ == "__main__":
    make()
