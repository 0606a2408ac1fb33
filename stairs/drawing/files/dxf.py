"""Exchange with CAD: the view at full size as DXF, with layers by trade and real dimensions.

Model space holds the work in its own units at 1:1, so that it can be measured and drawn on.  Every
dimension is a dimension entity of its own, not a picture of one, with its figure where the sheet
has it.  The sheet is a layout in paper
space, in millimetres, that looks at the model through a viewport at the sheet's scale.  Outlines
are not hidden behind one another, since CAD users want whole outlines.

Layers are named by trade and part in plain English, after no standard: ISO 13567 and the US
National CAD Standard code offices and disciplines, which a guard does not have.  Line widths and
kinds go with the strokes as the sheet has them (ISO 128-2, see ``primitives``).
"""

from __future__ import annotations

import io
import math
from collections.abc import Sequence
from typing import Any

from stairs.drawing.paper.libraries import load
from stairs.drawing.paper.primitives import (
    DASHES,
    GRADE,
    Arc,
    Point,
    Primitive,
    Stroke,
    Text,
    extent_of_lines,
)
from stairs.drawing.paper.view import View
from stairs.drawing.placing.dimensions import ALIGNED, ANGLE, PLUMB, STYLE, Dimension, ends_on_paper
from stairs.drawing.placing.extents import box_of
from stairs.drawing.sheets.sheet import DrawnView, Sheet

Place = tuple[float, float, float]
"""A point of model space [units of the work]."""

_LAYERS = {
    group: layer
    for layer, groups in (
        ("GUARD-POST", "post base-plate"),
        ("GUARD-RAIL", "rail filler"),
        ("GUARD-BALUSTER", "baluster"),
        ("GUARD-BRACKET", "bracket"),
        ("GUARD-OPENING", "opening"),
        ("STAIR-TREAD", "tread riser tread-number nosing way-up"),
        ("STAIR-STRINGER", "stringer"),
        ("STAIR-NOSING-LINE", "nosing-line"),
        ("STAIR-LANDING", "landing ground ground-hatch break"),
        ("WALL", "wall wall-hatch"),
        ("DECK-JOIST", "joist"),
        ("DECK-BLOCK", "block"),
        ("DECK-BOLT", "bolt"),
        ("DECK-BOARD", "board-gap deck-edge"),
        ("SETTING-OUT", "centre-line"),
        ("DIMENSIONS", "dimension"),
        ("LABELS", "label leader"),
        ("FAILURES", "failure failure-band"),
        ("SHEET-MATCH-LINE", "match-line"),
        ("SHEET-BORDER", "border"),
        ("SHEET-TITLE-BLOCK", "title-block scale-bar view-name"),
        ("SHEET-VERDICTS", "table"),
        ("SHEET-NOTES", "note"),
    )
    for group in groups.split()
}
"""Layer by what a stroke shows."""
_OTHER = "SHEET-NOTES"
_AROUND = 3.0  # blank paper within the extents [mm]
_VIEWPORT = "SHEET-VIEWPORT"
_NARROWED = 0.85  # a face that every office has, as narrow as the one that paper is lettered in
_LETTERING, _DIMENSIONS = "LETTERING", "STAIRS"


def layer_names() -> tuple[str, ...]:
    """Every layer that a file may have, in order."""
    return tuple(sorted({*_LAYERS.values(), _VIEWPORT}))


def dxf_bytes(sheet: Sheet) -> bytes:
    """The sheet as a DXF file: the work at 1:1 in model space, the sheet in paper space."""
    ezdxf = load("ezdxf")
    from ezdxf import units

    fixed = ezdxf.options.write_fixed_meta_data_for_testing
    ezdxf.options.write_fixed_meta_data_for_testing = True  # the same drawing, the same file
    try:
        document = ezdxf.new("R2010")
        document.units = units.IN if sheet.units == "in" else units.MM
        document.header["$MEASUREMENT"] = 0 if sheet.units == "in" else 1
        drawn = sheet.whole or sheet
        _set_up(document, drawn.view)
        model = document.modelspace()
        figures = _figures(drawn)
        more = tuple(
            one for one in drawn.dimension_lines if one.group == "leader" or one.owner == "origin"
        )
        shown = [
            one for one in drawn.work + drawn.labels + more
            if one not in figures.values() and one.group != GRADE  # drawn at no scale
        ]  # fmt: skip
        for one in shown:
            _add(model, one, drawn.view)
        for dimension in drawn.dimensions:
            _dimension(model, dimension, drawn.view, figures.get(dimension.name))
        low, high = _extent((*drawn.work, *drawn.labels, *drawn.dimension_lines), drawn.view)
        model.reset_extents(low, high)
        document.header["$EXTMIN"], document.header["$EXTMAX"] = low, high
        sheets = (sheet, *sheet.following)
        for number, each in enumerate(sheets, start=1):
            _paper(document, each, "Sheet" if number == 1 else f"Sheet {number}")
        document.layouts.delete("Layout1")
        for kind in sorted(document.entitydb.dxf_types_in_use()):  # else in any order
            document.classes.add_class(kind)
        held = io.StringIO()
        document.write(held)
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = fixed
    return held.getvalue().encode(document.output_encoding, errors="dxfreplace")


def _figures(drawn: DrawnView) -> dict[str, Text]:
    """The figure of every dimension that is lettered, by the dimension's name."""
    names = {one.name for one in drawn.dimensions}
    return {
        one.owner: one
        for one in (*drawn.labels, *drawn.dimension_lines)
        if isinstance(one, Text) and one.owner in names
    }


def _extent(primitives: Sequence[Primitive], view: View) -> tuple[Place, Place]:
    """Lower left and upper right of what is drawn, as points of model space.

    A CAD program draws dimension lines and letters in its own way, a little longer.
    """
    left, bottom, right, top = extent_of_lines(primitives)
    corners = [corner for one in primitives if isinstance(one, Text)
               for corner in box_of(one).corners()]  # fmt: skip
    xs, ys = zip((left, bottom), (right, top), *corners, strict=True)
    low, high = (min(xs) - _AROUND, min(ys) - _AROUND), (max(xs) + _AROUND, max(ys) + _AROUND)
    return (*view.back(low), 0.0), (*view.back(high), 0.0)


def _set_up(document: Any, view: View) -> None:
    for name in layer_names():
        document.layers.add(name, color=7)
    document.layers.get(_VIEWPORT).dxf.plot = 0
    document.layers.get("FAILURES").dxf.color = 1
    for name, parts in DASHES.items():
        if parts:
            signed = [part if k % 2 == 0 else -part for k, part in enumerate(parts)]
            pattern = [sum(parts), *signed]
            document.linetypes.add(
                _linetype(name), [part / view.unit for part in pattern], description=name
            )
    lettering = document.styles.add(_LETTERING, font="DejaVuSans.ttf")
    lettering.dxf.width = _NARROWED
    style = document.dimstyles.add(_DIMENSIONS)
    unit = view.unit
    style.dxf.dimtxsty = _LETTERING
    for name, length in (
        ("dimtxt", STYLE.text),
        ("dimtsz", STYLE.tick / 2),
        ("dimasz", STYLE.arrow),
        ("dimexo", STYLE.gap),
        ("dimexe", STYLE.overrun),
        ("dimgap", STYLE.above),
    ):
        style.dxf.set(name, length / unit)
    style.dxf.dimtad = 1
    style.dxf.dimtih = 0
    style.dxf.dimtoh = 0
    style.dxf.dimscale = 1.0
    style.dxf.dimlfac = 1.0


def _linetype(name: str) -> str:
    return name.upper()


def _plain(text: str) -> str:
    """Text in which no pair of percent signs is a command to a CAD program."""
    return text.replace("%%", "%%%%%%")


def _attributes(one: Primitive) -> dict[str, Any]:
    found: dict[str, Any] = {"layer": _LAYERS.get(one.group, _OTHER)}
    if not isinstance(one, Text):
        if one.weight:
            found["lineweight"] = round(one.weight * 100)
        if DASHES[one.line]:
            found["linetype"] = _linetype(one.line)
    return found


def _add(space: Any, one: Primitive, view: View | None) -> None:
    """One primitive in a space; through the view into model space, as it is into paper space."""

    def at(point: Point) -> Point:
        return point if view is None else view.back(point)

    unit = 1.0 if view is None else view.unit
    attributes = _attributes(one)
    if isinstance(one, Text):
        from ezdxf.enums import TextEntityAlignment

        alignment = {
            "left": TextEntityAlignment.LEFT,
            "middle": TextEntityAlignment.CENTER,
            "right": TextEntityAlignment.RIGHT,
        }[one.anchor]
        space.add_text(
            _plain(one.content),
            height=one.height / unit,
            rotation=one.rotation,
            dxfattribs={**attributes, "style": _LETTERING, "width": _NARROWED},
        ).set_placement(at(one.at), align=alignment)
    elif isinstance(one, Arc):
        radius = one.radius / unit
        if one.whole:
            space.add_circle(at(one.center), radius, dxfattribs=attributes)
        else:
            space.add_arc(at(one.center), radius, one.start, one.end, dxfattribs=attributes)
    elif one.fill == "ink" and isinstance(one, Stroke):
        hatch = space.add_hatch(color=7, dxfattribs={"layer": attributes["layer"]})
        hatch.paths.add_polyline_path([at(point) for point in one.points], is_closed=True)
    if isinstance(one, Stroke) and one.weight:
        space.add_lwpolyline(
            [at(point) for point in one.points], close=one.closed, dxfattribs=attributes
        )


def _dimension(space: Any, dimension: Dimension, view: View, words: Text | None) -> None:
    """One dimension as an entity that measures for itself, its figure where the sheet has it."""
    common = {
        "dimstyle": _DIMENSIONS,
        "text": _plain(words.content if words else dimension.lettered),
    }
    attributes: dict[str, Any] = {"layer": _LAYERS["dimension"]}
    if words is not None:
        attributes["text_rotation"] = words.rotation
    if dimension.kind == ANGLE:
        vertex, one, two = dimension.points
        made = space.add_angular_dim_cra(
            center=vertex,
            radius=dimension.place / view.unit,
            start_angle=_turn(vertex, one),
            end_angle=_turn(vertex, two),
            distance=0.0,
            override={"dimtsz": 0},
            dxfattribs=attributes,
            **common,
        )
    elif dimension.kind == ALIGNED:
        one, two = dimension.points
        made = space.add_aligned_dim(
            p1=one, p2=two, distance=dimension.place / view.unit, dxfattribs=attributes, **common
        )
    else:
        one, two = dimension.points
        made = space.add_linear_dim(
            base=view.back(ends_on_paper(dimension, view)[0]),
            p1=one,
            p2=two,
            angle=90 if dimension.kind == PLUMB else 0,
            dxfattribs=attributes,
            **common,
        )
    if words is not None:
        made.set_location(view.back(box_of(words).center))
    made.render()


def _turn(vertex: Point, point: Point) -> float:
    return math.degrees(math.atan2(point[1] - vertex[1], point[0] - vertex[0]))


def _paper(document: Any, sheet: Sheet, name: str) -> None:
    """The sheet as a layout: its furniture, and viewports through which the work is seen."""
    width, height = float(sheet.paper.width), float(sheet.paper.height)
    layout = document.layouts.new(name)
    layout.page_setup(size=(width, height), margins=(0, 0, 0, 0), units="mm")
    layout.reset_extents((0.0, 0.0, 0.0), (width, height, 0.0))
    for one in sheet.furniture:
        _add(layout, one, None)
    for number, part in enumerate(sheet.parts or (sheet,), start=2):
        left, bottom, right, top = part.area
        middle = ((left + right) / 2, (bottom + top) / 2)
        layout.add_viewport(
            center=middle,
            size=(right - left, top - bottom),
            view_center_point=part.view.back(middle),
            view_height=(top - bottom) / part.view.unit,
            status=number,
            dxfattribs={"layer": _VIEWPORT},
        )
