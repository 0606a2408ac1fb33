"""A sheet as vector graphics for a page of the web, its lettering real text."""

from __future__ import annotations

import io
import re
from base64 import b64encode
from pathlib import Path
from xml.sax.saxutils import escape

from stairs.drawing.files.painter import MAKER, POINTS, Drawable, figure_of, settings
from stairs.drawing.paper.lettering import width_of
from stairs.drawing.paper.libraries import load
from stairs.drawing.paper.primitives import Text
from stairs.drawing.paper.typeface import FAMILY, web_file

_NOT_IN_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def svg_bytes(sheet: Drawable, mark: str = "") -> bytes:
    """The sheet as SVG with real text, a title and a description.

    The letters are embedded; where a viewer cannot read them, each line of another face is still
    set to the length for which the sheet has room.
    """
    load("matplotlib.font_manager")
    from matplotlib.backends.backend_svg import FigureCanvasSVG

    held = io.BytesIO()
    with settings():
        figure = figure_of(sheet, FigureCanvasSVG, 72)
        figure.savefig(held, format="svg", dpi=72, metadata={"Date": None, "Creator": MAKER})
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
    held = b64encode(Path(web_file(bold)).read_bytes()).decode("ascii")
    return (
        f"\n <style>@font-face{{font-family:'{FAMILY}';font-weight:{700 if bold else 400};"
        f"src:url(data:font/woff;base64,{held})}}</style>"
    )
