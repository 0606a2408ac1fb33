"""A sheet as a picture."""

from __future__ import annotations

import io

from stairs.drawing.files.painter import Drawable, figure_of, settings
from stairs.drawing.paper.libraries import load

PIXELS_PER_INCH = 150


def png_bytes(sheet: Drawable, mark: str = "") -> bytes:
    """The sheet as a picture of :data:`PIXELS_PER_INCH`."""
    load("matplotlib.font_manager")
    from matplotlib.backends.backend_agg import FigureCanvasAgg

    held = io.BytesIO()
    with settings():
        figure = figure_of(sheet, FigureCanvasAgg, PIXELS_PER_INCH)
        figure.savefig(
            held, format="png", dpi=PIXELS_PER_INCH,
            metadata={"Title": sheet.title, "Software": None} | ({"Source": mark} if mark else {}),
        )  # fmt: skip
    return held.getvalue()
