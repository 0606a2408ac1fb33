"""The painter: hands every stroke and letter of a sheet to the plotting library's own renderers.

Pictures, vector graphics and pages all go through it, in points of 1/72 in.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from itertools import groupby
from typing import TYPE_CHECKING, Any, Protocol

from stairs.drawing.paper.lettering import font_size, width_of
from stairs.drawing.paper.libraries import load
from stairs.drawing.paper.primitives import BLANK, DASHES, INK, Arc, Primitive, Stroke, Text
from stairs.drawing.paper.sheet_sizes import Paper
from stairs.drawing.paper.typeface import FAMILY, face_file, is_whole

if TYPE_CHECKING:
    from matplotlib.figure import Figure

POINTS = 72 / 25.4
"""Points of 1/72 in to the millimetre."""
MAKER = "stairs"
_FAMILIES = {
    False: [FAMILY, "Arial Narrow", "sans-serif"],
    True: ["DejaVu Sans", "sans-serif"],
}
"""Faces that an SVG asks for, the first that is there: by whether a line needs DejaVu Sans."""


class Drawable(Protocol):
    """What can be painted and put in a file: a sheet, or a page of a set."""

    @property
    def paper(self) -> Paper: ...
    @property
    def title(self) -> str: ...
    @property
    def description(self) -> str: ...
    @property
    def primitives(self) -> tuple[Primitive, ...]: ...


def settings() -> Any:
    """The plotting library set up for sheets, for as long as it is held."""
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
            "svg.hashsalt": MAKER,
            "font.sans-serif": ["Verdana"],
            "path.simplify": False,
            "text.usetex": False,
            "text.hinting": "none",  # as long as measured, in a picture too
        }
    )


def figure_of(sheet: Drawable, canvas_class: Any, dots_per_inch: float) -> Figure:
    """The sheet as a figure of the plotting library, drawn by the painter alone."""
    load("matplotlib.font_manager")
    from matplotlib.artist import Artist
    from matplotlib.figure import Figure

    class Painter(Artist):
        """Everything on the sheet, handed to a renderer."""

        def draw(self, renderer: Any) -> None:
            paint(sheet.primitives, renderer, dots_per_inch, float(sheet.paper.height))

    size = (float(sheet.paper.width) / 25.4, float(sheet.paper.height) / 25.4)
    figure = Figure(figsize=size, dpi=dots_per_inch, facecolor="white", edgecolor="none")
    canvas_class(figure)
    figure.add_artist(Painter())
    return figure


def paint(
    primitives: Iterable[Primitive], renderer: Any, dots_per_inch: float, height: float
) -> None:
    """Hand strokes and letters to a renderer, grouped by what they show."""
    from matplotlib.font_manager import FontProperties
    from matplotlib.path import Path as Outline
    from matplotlib.transforms import Affine2D

    dots = dots_per_inch / 25.4
    scaled = Affine2D().scale(dots)
    names_fonts = renderer.flipy() and not hasattr(renderer, "buffer_rgba")  # as SVG does
    fonts: dict[tuple[bool, float, bool], Any] = {}
    count: dict[str, int] = {}

    def font(text: Text) -> Any:
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
                for one in (letters for letters in run if isinstance(letters, Text)):
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
                outlines = [_outline(one, Outline) for one in run if not isinstance(one, Text)]
                if face is None and len(outlines) > 1:  # one pen without lifting the context
                    outlines = [Outline.make_compound_path(*outlines)]
                for outline in outlines:
                    renderer.draw_path(context, outline, scaled, face)
            context.restore()
        renderer.close_group(group)


def _pen(one: Primitive) -> tuple[float, str, str | None] | None:
    """Width, kind of line and fill of a stroke; None for lettering."""
    return None if isinstance(one, Text) else (one.weight, one.line, one.fill)


def _take(context: Any, weight: float, line: str) -> None:
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
    if text.anchor == "left":
        return x, y
    back = width_of(text.content, text.height, text.bold) * dots
    back *= 0.5 if text.anchor == "middle" else 1.0
    turn = math.radians(text.rotation)
    return x - back * math.cos(turn), y - back * math.sin(turn)


def _outline(one: Stroke | Arc, outline_class: Any) -> Any:
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
