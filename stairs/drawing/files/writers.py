"""Writers: a sheet as a PDF, SVG, PNG or DXF file.

The first three go through one painter, which hands every stroke and letter to the plotting
library's own renderers in points; the fourth is in :mod:`stairs.drawing.files.dxf`.  How files take
their places is in :mod:`stairs.files`.
"""

from __future__ import annotations

import io
import os
import re
from glob import escape as escape_glob
from itertools import groupby
from pathlib import Path
from urllib.parse import quote

from stairs.drawing.paper.lettering import font_size, width_of
from stairs.drawing.paper.libraries import load
from stairs.drawing.paper.primitives import BLANK, DASHES, INK, Arc, Primitive, Stroke, Text
from stairs.drawing.paper.typeface import FAMILY, face_file, is_whole, web_file
from stairs.errors import FileError, JobError
from stairs.files import put_all_in_place, put_in_place

ENDINGS = (".pdf", ".svg", ".png", ".dxf")
POINTS = 72 / 25.4
"""Points of 1/72 in to the millimetre."""
PIXELS_PER_INCH = 150
_MAKER = "stairs"
_HEAD = 65536  # bytes of a file in which it says what it is
_FAMILIES = {
    False: [FAMILY, "Arial Narrow", "sans-serif"],
    True: ["DejaVu Sans", "sans-serif"],
}
"""Faces that an SVG asks for, the first that is there: by whether a line needs DejaVu Sans."""
_NOT_IN_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def write(sheet, path) -> None:
    """Write a sheet to a file of the kind that its ending names: see :mod:`stairs.drawing`.

    Parameters
    ----------
    sheet : Sheet
        With the sheets that follow it, where its view needs more than one.
    path : str or os.PathLike
        One of :data:`ENDINGS` at its end, in small letters or capitals.

    Raises
    ------
    stairs.errors.JobError
        For another ending.
    stairs.errors.FileError
        Where the file cannot be written; whatever was there before is left as it was.
    """
    target = Path(path)
    ending = target.suffix.lower()
    if ending not in ENDINGS:
        raise JobError(
            str(path),
            f'"{ending}" is not a kind of drawing' if ending else "it has no ending",
            f"Endings: {', '.join(ENDINGS)}",
            "Name the file with one of these",
        )
    following = getattr(sheet, "following", ())
    if ending == ".dxf":  # one model, however many sheets show it
        from stairs.drawing.files.dxf import dxf_bytes

        put_in_place(dxf_bytes(sheet), target)
    elif ending == ".pdf":
        data = pdf_bytes(sheet)
        if following:
            data = book_bytes((sheet, *following), sheet.title, sheet.description)
        put_in_place(data, target)
    else:
        made = {".svg": svg_bytes, ".png": png_bytes}[ending]
        _set_of_files((sheet, *following), made, target)


def files_of(sheet, target: Path) -> list[Path]:
    """The files that a sheet and those that follow it are written to.

    Parameters
    ----------
    sheet : Sheet
        Of a view that may need more than one sheet.
    target : Path
        Of the first sheet; a PDF or DXF file holds them all, and other kinds are numbered.
    """
    following = getattr(sheet, "following", ())
    if target.suffix.lower() in (".pdf", ".dxf"):
        return [target]
    later = range(2, 2 + len(following))
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


def _set_of_files(sheets, made, target: Path) -> None:
    """Write each sheet to a file of its own, over those of an earlier run and over no others."""
    files = files_of(sheets[0], target)
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
        number = file.stem[len(target.stem) + 1 :]
        if (
            number.isdecimal()
            and int(number) > len(files)
            and _is_of_set(file, int(number), target)
        ):
            beyond.append(file)
    marks = ["", *(_sheet_mark(number, target) for number in range(2, len(files) + 1))]
    drawn = (made(sheet, mark) for sheet, mark in zip(sheets, marks, strict=True))
    put_all_in_place(zip(drawn, files, strict=True), beyond)


# --------------------------------------------------------------------------- painter


def _figure(sheet, canvas_class, dots_per_inch: float):
    load("matplotlib.font_manager")
    from matplotlib.artist import Artist
    from matplotlib.figure import Figure

    class Painter(Artist):
        """Everything on the sheet, handed to a renderer."""

        def draw(self, renderer):
            paint(sheet.primitives, renderer, dots_per_inch, float(sheet.paper.height))

    size = (float(sheet.paper.width) / 25.4, float(sheet.paper.height) / 25.4)
    figure = Figure(figsize=size, dpi=dots_per_inch, facecolor="white", edgecolor="none")
    canvas_class(figure)
    figure.add_artist(Painter())
    return figure


def paint(primitives, renderer, dots_per_inch: float, height: float) -> None:
    """Hand strokes and letters to a renderer, grouped by what they show."""
    from matplotlib.font_manager import FontProperties
    from matplotlib.path import Path as Outline
    from matplotlib.transforms import Affine2D

    dots = dots_per_inch / 25.4
    scaled = Affine2D().scale(dots)
    names_fonts = renderer.flipy() and not hasattr(renderer, "buffer_rgba")  # as SVG does
    fonts: dict = {}
    count: dict[str, int] = {}

    def font(text: Text):
        whole = is_whole(text.content, text.bold)
        key = (text.bold, text.height, whole)
        if key not in fonts:
            fonts[key] = FontProperties(
                family=_FAMILIES[whole] if names_fonts else ["DejaVu Sans"],
                weight="bold" if text.bold else "normal",
                size=font_size(text.height, text.bold, whole),
            )
            fonts[key].set_file(face_file(text.bold, whole))
        return fonts[key]

    for group, members in groupby(primitives, key=lambda one: one.group):
        count[group] = count.get(group, 0) + 1
        renderer.open_group(group, f"{group}-{count[group]}")
        for pen, run in groupby(members, key=_pen):
            context = renderer.new_gc()
            if pen is None:
                for one in run:
                    context.set_foreground("white" if one.blank else "black")
                    x, y = _start_of(one, one.at[0] * dots, one.at[1] * dots, dots)
                    if renderer.flipy():
                        y = height * dots - y
                    renderer.draw_text(
                        context, x, y, one.content, font(one), one.rotation, False,
                        None if names_fonts else _LETTERS,
                    )  # fmt: skip
            else:
                weight, kind, fill = pen
                _take(context, weight, kind)
                face = {None: None, INK: (0.0, 0.0, 0.0), BLANK: (1.0, 1.0, 1.0)}[fill]
                outlines = [_outline(one, Outline) for one in run]
                if face is None and len(outlines) > 1:  # one pen without lifting the context
                    outlines = [Outline.make_compound_path(*outlines)]
                for outline in outlines:
                    renderer.draw_path(context, outline, scaled, face)
            context.restore()
        renderer.close_group(group)


def _pen(one: Primitive) -> tuple[float, str, str | None] | None:
    """Width, kind of line and fill of a stroke; None for lettering."""
    return None if isinstance(one, Text) else (one.weight, one.line, one.fill)


def _take(context, weight: float, line: str) -> None:
    """Set a context up as a pen."""
    dashes = DASHES[line]
    context.set_linewidth(weight * POINTS)
    context.set_foreground("black")
    context.set_joinstyle("miter")
    context.set_capstyle("butt" if dashes else "round")
    context.set_antialiased(True)
    context.set_snap(False)
    if dashes:
        context.set_dashes(0, [part * POINTS for part in dashes])


class _EveryLetter:
    """Asks a renderer to set every letter by itself, without joining f and i."""

    def get_fontfeatures(self) -> tuple[str, ...]:
        return ("-liga", "-clig")

    def get_language(self) -> None:
        return None


_LETTERS = _EveryLetter()


def _start_of(text: Text, x: float, y: float, dots: float) -> tuple[float, float]:
    """Where the pen sets the first letter."""
    import math

    from stairs.drawing.paper.lettering import width_of

    if text.anchor == "left":
        return x, y
    back = width_of(text.content, text.height, text.bold) * dots
    back *= 0.5 if text.anchor == "middle" else 1.0
    turn = math.radians(text.rotation)
    return x - back * math.cos(turn), y - back * math.sin(turn)


def _outline(one: Stroke | Arc, outline_class):
    """A stroke or an arc as the plotting library's path [mm on paper]."""
    if isinstance(one, Stroke):
        points = [*one.points, one.points[0]] if one.closed else one.points
        codes = [1] + [2] * (len(points) - 1)
        if one.closed:
            codes[-1] = 79
        return outline_class(points, codes)
    if one.whole:
        return outline_class.circle(one.center, one.radius)
    arc = outline_class.arc(one.start, one.end)
    return outline_class(arc.vertices * one.radius + one.center, arc.codes, readonly=True)


def _settings():
    """The plotting library set up for sheets."""
    load("matplotlib.font_manager")
    from matplotlib import rc_context, rcParamsDefault

    own = ("backend", "interactive", "toolbar")  # how another program shows its figures
    usual = {name: value for name, value in rcParamsDefault.items() if not name.startswith(own)}
    return rc_context(
        usual
        | {
            "font.enable_last_resort": False,
            "pdf.fonttype": 42,
            "pdf.compression": 6,
            "svg.fonttype": "none",
            "svg.hashsalt": _MAKER,
            "font.sans-serif": ["Verdana"],
            "path.simplify": False,
            "text.usetex": False,
            "text.hinting": "none",  # as long as measured, in a picture too
        }
    )


def pdf_bytes(sheet) -> bytes:
    """The sheet as a PDF page with embedded fonts."""
    return book_bytes((sheet,), sheet.title, sheet.description)


def book_bytes(sheets, title: str, subject: str) -> bytes:
    """Several sheets as the pages of one PDF, in order, which share their embedded fonts."""
    load("matplotlib.font_manager")
    from matplotlib.backends.backend_pdf import FigureCanvasPdf, PdfPages

    held = io.BytesIO()
    told = {
        "Title": title, "Subject": subject, "Creator": _MAKER, "Producer": None,
        "CreationDate": None,
    }  # fmt: skip
    with _settings(), PdfPages(held, metadata=told) as pages:
        for sheet in sheets:
            _figure(sheet, FigureCanvasPdf, 72).savefig(pages, format="pdf", dpi=72)
    return held.getvalue()


def svg_bytes(sheet, mark: str = "") -> bytes:
    """The sheet as SVG with real text, a title and a description.

    The letters are embedded; where a viewer cannot read them, each line of another face is still
    set to the length for which the sheet has room.
    """
    from xml.sax.saxutils import escape

    load("matplotlib.font_manager")
    from matplotlib.backends.backend_svg import FigureCanvasSVG

    held = io.BytesIO()
    with _settings():
        figure = _figure(sheet, FigureCanvasSVG, 72)
        figure.savefig(held, format="svg", dpi=72, metadata={"Date": None, "Creator": _MAKER})
    text = held.getvalue().decode("utf-8")
    lines = [one for one in sheet.primitives if isinstance(one, Text)]
    lengths = iter([width_of(one.content, one.height, one.bold) * POINTS for one in lines])
    text = re.sub(
        "<text ",
        lambda _: f'<text textLength="{next(lengths):.2f}" lengthAdjust="spacingAndGlyphs" ',
        text,
    )
    start = text.index(">", text.index("<svg")) + 1
    told = (
        f'\n <title id="title">{escape(_NOT_IN_XML.sub("", sheet.title))}</title>'
        f'\n <desc id="description">{escape(_NOT_IN_XML.sub("", sheet.description))}</desc>'
    )
    head = text[: start - 1] + ' role="img" aria-labelledby="title description">'
    told += f"\n <!-- {mark} -->" if mark else ""
    told += "".join(map(_embedded, sorted({one.bold for one in lines})))
    return (head + told + text[start:]).encode("utf-8")


def _embedded(bold: bool) -> str:
    """A face as it stands in an SVG."""
    from base64 import b64encode

    held = b64encode(Path(web_file(bold)).read_bytes()).decode("ascii")
    return (
        f"\n <style>@font-face{{font-family:'{FAMILY}';font-weight:{700 if bold else 400};"
        f"src:url(data:font/woff;base64,{held})}}</style>"
    )


def png_bytes(sheet, mark: str = "") -> bytes:
    """The sheet as a picture of :data:`PIXELS_PER_INCH`."""
    load("matplotlib.font_manager")
    from matplotlib.backends.backend_agg import FigureCanvasAgg

    held = io.BytesIO()
    with _settings():
        figure = _figure(sheet, FigureCanvasAgg, PIXELS_PER_INCH)
        figure.savefig(
            held, format="png", dpi=PIXELS_PER_INCH,
            metadata={"Title": sheet.title, "Software": None} | ({"Source": mark} if mark else {}),
        )  # fmt: skip
    return held.getvalue()
