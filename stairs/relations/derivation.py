"""Writes the closed forms: plain numeric functions made from the relations.

Run ``python -m stairs.relations.derivation`` after a relation has changed.  It chains the relations
of :mod:`stairs.relations.equations` into one expression per wanted quantity and writes
:mod:`stairs.relations.closed_forms`, which needs nothing but :mod:`math` and
:mod:`stairs.numbers.roots` and is what the everyday commands run on.  Beside it go
:mod:`stairs.relations.inverse_forms`, the same forms cleared of fractions, from which any input
follows, and ``steps.json``, the steps by which each is worked out on paper.  A test writes all of
them again and compares.  Where a float cannot decide, :func:`exact_value` gives the exact value of
a closed form.
"""

from __future__ import annotations

import re
import sys
import textwrap
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from types import FunctionType

import sympy
from msgspec import Struct
from sympy import Expr
from sympy.printing.pycode import PythonCodePrinter

from stairs.relations import closed_forms
from stairs.relations.chaining import Derivation, derive
from stairs.relations.clearing import Cleared, cleared
from stairs.relations.equations import RELATIONS
from stairs.relations.quantities import QUANTITIES
from stairs.relations.steps_writing import steps_text

_RAKED = ("unit_rise", "unit_run")
_WIDTH = 100  # of a line of the module that is written


class Form(Struct, frozen=True):
    """One closed form to write: its name, what it gives and from what."""

    name: str
    target: str
    given: tuple[str, ...]
    example: tuple[tuple[float, ...], float] | None = None  # worked on paper: arguments, result
    through: tuple[str, ...] = ()


_RAKE = ("hypotenuse of a step", "cosine of the rake", "sine of the rake")
_SQUARE_CUT = (*_RAKE, "pin to pin", "rail between pins", "even trim, square-cut rail",
               "end gap, square-cut rail")  # fmt: skip

# The examples stand on 3-4-5 and 5-12-13 steps, so that every root is a whole number.
FORMS: tuple[Form, ...] = (
    Form("rake", "rake", _RAKED, ((1, 1), 45)),
    Form("unit_slope", "unit_slope", _RAKED, ((5, 12), 13)),
    Form("cosine", "cosine", _RAKED, ((3, 4), 0.8)),
    Form("step_sum", "step_sum", _RAKED, ((7, 11), 25)),
    Form("tread_depth", "tread_depth", ("unit_run", "nosing"), ((10, 1), 11)),
    Form("riser_setback", "riser_setback", ("unit_rise", "tread_thickness", "riser_slope"),
         ((8, 1, 45), 7)),
    Form("open_riser", "open_riser", ("unit_rise", "tread_thickness"), ((7, 2), 5)),
    Form("nosing_line_height", "nosing_line_height", (*_RAKED, "x"), ((6, 8, 12), 15)),
    Form("rail_spacing_plumb", "rail_spacing_plumb",
         ("panel_height", "top_rail", "bottom_rail"), ((32, 2, 1), 30.5)),
    Form("rail_spacing", "rail_spacing",
         ("panel_height", "top_rail", "bottom_rail", *_RAKED), ((32, 2, 2, 3, 4), 24)),
    Form("plumb_depth", "plumb_depth", ("depth", *_RAKED), ((2, 3, 4), 2.5)),
    Form("racked_height", "racked_height",
         ("panel_height", "top_rail", "bottom_rail", *_RAKED), ((32, 2, 2, 3, 4), 32.5)),
    Form("baluster_clear", "baluster_clear", ("pitch", "baluster", *_RAKED),
         ((5, 1, 3, 4), 3)),
    Form("hole_needed", "hole_needed", ("baluster", "wall", *_RAKED), ((4, 4, 3, 4), 8)),
    Form("max_rack", "max_rack", ("hole_length", "wall", "baluster"), ((2, 0, 1), 60)),
    Form("guard_height", "guard_height",
         ("bottom_gap", "panel_height", "top_rail", "bottom_rail", *_RAKED),
         ((1, 32, 2, 2, 3, 4), 33.5)),
    Form("bottom_gap_for_guard_height", "bottom_gap",
         ("guard_height", "panel_height", "top_rail", "bottom_rail", *_RAKED),
         ((34, 32, 2, 2, 3, 4), 1.5)),
    Form("pin_x_up", "pin_x_up", ("face_x", "stand_off"), ((20, 1), 21)),
    Form("pin_x_down", "pin_x_down", ("face_x", "stand_off"), ((20, 1), 19)),
    Form("bottom_pin_height", "bottom_pin_height",
         ("x", "bottom_gap", "bottom_rail", "surface", *_RAKED), ((0, 1, 1.6, 2, 6, 8), 6)),
    Form("top_pin_height", "top_pin_height",
         ("x", "bottom_gap", "panel_height", "top_rail", "bottom_rail", "surface", *_RAKED),
         ((0, 1, 32, 1.6, 1.6, 2, 6, 8), 36.4)),
    Form("bottom_hole_height", "bottom_hole_height",
         ("x", "bottom_gap", "bottom_rail", "hole_reach", "surface", *_RAKED),
         ((0, 1, 1.6, -1, 2, 6, 8), 5)),
    Form("top_hole_height", "top_hole_height",
         ("x", "bottom_gap", "panel_height", "top_rail", "bottom_rail", "hole_reach", "surface",
          *_RAKED),
         ((0, 1, 32, 1.6, 1.6, 1, 2, 6, 8), 37.4)),
    Form("over_hole", "over_hole", ("post_height", "top_hole_height"), ((40, 38), 2)),
    Form("pin_aside", "pin_aside", ("post_width", "stand_off", "skew"), ((3, 1, 0), 0)),
    Form("beside_hole", "beside_hole", ("post_width", "stand_off", "hole_beside", "skew"),
         ((3, 1, 0.5, 45), -1.5)),
    Form("post_length", "post_length", ("post_height", "post_below"), ((40, 7), 47)),
    Form("under_hole", "under_hole", ("bottom_hole_height", "post_below"), ((-3, 7), 4)),
    Form("post_height", "post_height",
         ("x", "reveal", "surface", "bottom_gap", "panel_height", "top_rail", "bottom_rail",
          *_RAKED), ((8, 1, 6, 1, 32, 1.6, 1.6, 6, 8), 40.4)),
    Form("step_surface", "surface", ("step", "unit_rise"), ((3, 7), 21)),
    Form("nosing_x", "nosing_x", ("treads_in_front", "unit_run"), ((2, 10), 20)),
    Form("plate_edge", "plate_edge", ("centre", "plate", "nosing_x"), ((26, 5, 20), 3.5)),
    Form("plate_edge_askew", "plate_edge_askew", ("centre", "plate", "nosing_x", "skew"),
         ((26, 5, 20, 0), 3.5)),
    Form("rail_length", "rail_length", ("clear", "pivot_offset", "rail_setback", *_RAKED),
         ((42, 1, 0.5, 3, 4), 49)),
    Form("plumb_cut_length", "plumb_cut_length", ("clear", "end_clearance", *_RAKED),
         ((41, 0.5, 3, 4), 50)),
    Form("stock_needed", "stock_needed", ("clear", "end_clearance", "depth", *_RAKED),
         ((41, 0.5, 2, 3, 4), 51.5)),
    Form("corner_clearance", "corner_clearance",
         ("pivot_offset", "rail_setback", "depth", *_RAKED), ((1, 1, 2, 3, 4), 1.2)),
    Form("end_gap", "end_gap",
         ("pivot_offset", "rail_setback", "hole_position", "baluster", *_RAKED),
         ((1, 1, 4, 1, 3, 4), 4.5)),
    Form("trimmed_end_gap", "end_gap",
         ("pivot_offset", "rail_setback", "hole_in_stock", "stock", "clear", "baluster", *_RAKED),
         ((6, 52, 42, 1, 3, 4), 4.5), _SQUARE_CUT),
    Form("trim_low", "trim_low", ("stock", "rail_length", "pattern_shift"), ((60, 50, 2), 3)),
    Form("trim_high", "trim_high", ("stock", "rail_length", "pattern_shift"), ((60, 50, 2), 7)),
    Form("corner_height", "corner_height", ("bottom_gap", "corner_base", *_RAKED),
         ((1, 12, 3, 4), 10)),
    Form("swing", "swing", _RAKED, ((1, 1), 45)),
    Form("angle_low", "angle_low", _RAKED, ((1, 1), 45)),
    Form("angle_high", "angle_high", _RAKED, ((1, 1), 135)),
    Form("true_angle", "true_angle", ("rake", "skew"), ((0, 30), 30)),
    Form("half_along", "half_along", ("post_width", "skew"), ((4, 0), 2)),
    Form("bay_clear", "clear", ("centre_distance", "low_reach", "high_reach"),
         ((48, 2, 1), 45), ("clear bay",)),
    Form("spacing_along", "spacing_along", ("centre_distance", *_RAKED), ((48, 3, 4), 60)),
    Form("face_x", "face_x", ("centre", "low_reach"), ((10, 2), 12)),
    Form("stand_off_along", "stand_off_along", ("stand_off", "skew"), ((1, 60), 2)),
    Form("mean_stand_off", "mean_stand_off", ("stand_off", "skew"), ((2, 60), 3)),
    Form("hole_position", "hole_position", ("hole_in_stock", "stock", "rail_length"),
         ((10, 60, 50), 5), ("even trim, square-cut rail",)),
    Form("skewed_corner_clearance", "skewed_corner_clearance",
         ("stand_off", "rail_setback", "depth", "rail_width", "skew", *_RAKED),
         ((2, 1, 2, 0, 0, 3, 4), 2.2)),
    Form("skewed_stock_needed", "skewed_stock_needed",
         ("plumb_cut_length", "depth", "rail_width", "skew", *_RAKED),
         ((50, 2, 2, 45, 3, 4), 52.75)),
    Form("saw_miter", "saw_miter", ("skew", *_RAKED), ((45, 0, 1), 45)),
    Form("saw_bevel", "saw_bevel", ("skew", *_RAKED), ((0, 1, 1), 45)),
    Form("corner_circle", "corner_circle", ("bottom_gap", "corner_base", *_RAKED),
         ((0, 12, 9, 12), 6)),
    Form("bottom_gap_for_corner_circle", "bottom_gap",
         ("corner_circle", "corner_base", *_RAKED), ((6, 10, 7.5, 10), 1.5)),
    Form("corner_square", "corner_square", ("bottom_gap", "corner_base", *_RAKED),
         ((0, 14, 3, 4), 6)),
    Form("bottom_gap_for_corner_square", "bottom_gap",
         ("corner_square", "corner_base", *_RAKED), ((6, 10, 3, 4), 3)),
    Form("strip_opening", "strip_opening", ("bottom_gap", "stringer_margin", *_RAKED),
         ((7, 2, 3, 4), 4)),
    Form("bottom_gap_for_strip", "bottom_gap", ("strip_opening", "stringer_margin", *_RAKED),
         ((4, 2, 3, 4), 7)),
    Form("bottom_gap_over_filler", "bottom_gap", ("clear_gap", "filler"), ((2, 1), 3)),
    Form("bottom_gap_over_front", "bottom_gap", ("front_gap", "front_lift"), ((2, 0.5), 1.5)),
    Form("strip_ball", "strip_ball", ("bottom_gap", "stringer_margin", "side_gap", *_RAKED),
         ((7, 2, 3, 3, 4), 5)),
    Form("flat_gap_for_ball", "flat_gap", ("strip_ball", "side_gap"), ((5, 3), 4)),
    Form("underside_slot", "underside_slot", ("pivot_offset", "rail_setback", "depth", *_RAKED),
         ((1, 1, 2, 3, 4), 2.4)),
    Form("panel_inner", "panel_inner",
         ("panel_height", "top_rail", "bottom_rail", *_RAKED), ((32, 2, 2, 3, 4), 27.5)),
    Form("end_back", "end_back", ("depth", *_RAKED), ((2, 3, 4), 1.2)),
    Form("end_up", "end_up", ("depth", *_RAKED), ((2, 3, 4), 1.6)),
)  # fmt: skip
"""The closed forms that the parts of the guard are computed with."""

FLIGHT_RELATIONS = (
    "treads between risers",
    "risers add up",
    "treads add up",
    "slope of the nosing line",
    "slope of the whole flight",
)
"""The relations that fix a flight, each solved for every quantity in it."""


@cache
def flight_forms() -> tuple[tuple[Form, Derivation], ...]:
    """Every flight relation solved for each of its quantities."""
    forms = []
    for relation in (item for name in FLIGHT_RELATIONS for item in RELATIONS if item.name == name):
        several = len(relation.equations) > 1
        targets = frozenset({"risers"}) if several else relation.quantities - {"flush_tread"}
        for target in sorted(targets, key=list(QUANTITIES).index, reverse=True):
            unknown = {"risers", "treads"} if several else {target}
            given = tuple(
                name for name in QUANTITIES if name in relation.quantities and name not in unknown
            )
            shown = "_and_".join(name for name in given if name != "flush_tread")
            form = Form(f"{target}_from_{shown}", target, given, through=(relation.name,))
            forms.append((form, derive(target, given, (relation.name,))))
    return tuple(forms)


@cache
def derivation_of(name: str) -> Derivation:
    """The derivation behind a closed form; a KeyError where there is no form of that name.

    Examples
    --------
    >>> derivation_of("step_sum").expression
    2*unit_rise + unit_run
    """
    for form in FORMS:
        if form.name == name:
            return derive(form.target, form.given, form.through)
    for form, derivation in flight_forms():
        if form.name == name:
            return derivation
    raise KeyError(name)


def exact_value(form: str, arguments: Mapping[str, Expr]) -> Expr:
    """The exact value of a closed form at exact numbers: the same code, nothing rounded.

    Examples
    --------
    >>> from sympy import Integer
    >>> exact_value("unit_slope", {"unit_rise": Integer(1), "unit_run": Integer(1)})
    sqrt(2)
    """
    code = vars(closed_forms)[form].__code__
    return FunctionType(code, {"math": sympy, "sqrt": sympy.sqrt})(**arguments)


class _Printer(PythonCodePrinter):  # type: ignore[misc]  # sympy tells no types
    """Python code of an expression that keeps fractions exact: ``x/2``, never ``(1/2)*x``."""

    def __init__(self) -> None:
        super().__init__({"fully_qualified_modules": True, "standard": "python3"})

    def _print_Mul(self, expr: Expr) -> str:  # noqa: N802  (the printer's own naming)
        factor, rest = expr.as_coeff_Mul()
        if factor.is_Rational and factor.q != 1:
            whole = factor.p * rest
            text = self._print(whole)
            return f"({text})/{factor.q}" if whole.is_Add else f"{text}/{factor.q}"
        return str(super()._print_Mul(expr))


def _signature(form: Form, given: tuple[str, ...]) -> list[str]:
    """The function's head, broken as a formatter would."""
    inside = ", ".join(f"{name}: Number" for name in given)
    whole = f"def {form.name}({inside}) -> Number:"
    if len(whole) <= _WIDTH:
        return [whole]
    lines = [f"    {inside}"]
    if len(lines[0]) > _WIDTH:
        lines = [f"    {name}: Number," for name in given]
    return [f"def {form.name}(", *lines, ") -> Number:"]


def _function(form: Form, derivation: Derivation) -> str:
    target = QUANTITIES[form.target]
    # what cancels out of the expression is no argument of the function
    given = tuple(name for name in form.given if name in derivation.needs)
    symbols = ", ".join(QUANTITIES[name].symbol for name in given)
    value = _Printer().doprint(derivation.expression).replace("math.sqrt(", "sqrt(")
    result = f"return {value}"
    if len(result) > _WIDTH - 4:
        spaced = re.sub(r"(?<=\))([*/])(?=[a-z])", r" \1 ", value)  # room to break a line
        result = "\n".join(["return (", *(f"    {line}" for line in _wrapped(spaced, 8)), ")"])
    says = f'"""{target.symbol} = f({symbols}): {target.meaning} [{target.unit}]."""'
    body = "\n".join([*_wrapped(says, 4), result])
    return "\n".join([*_signature(form, given), textwrap.indent(body, "    ")])


def _wrapped(text: str, indent: int) -> list[str]:
    return textwrap.wrap(text, _WIDTH - indent, break_long_words=False, break_on_hyphens=False)


_HEAD = '''"""Closed forms of the stair guard's geometry, as plain numeric functions.

This module is written by ``python -m stairs.relations.derivation`` from the relations in
:mod:`stairs.relations.equations`; change those, not this.  Letters are those of the names page.
Where every step is arithmetic, or a root that comes out even, fractions give a fraction; otherwise
the result is a float.  Lengths are in the job's unit, angles in degrees.
"""

# fmt: off
import math
from collections.abc import Callable

from stairs.numbers.roots import Number, sqrt
'''


def module_text() -> str:
    """The text of :mod:`stairs.relations.closed_forms`, made from the relations as they stand."""
    parts = [_HEAD]
    parts += [_function(form, derive(form.target, form.given, form.through)) for form in FORMS]
    parts += [_function(form, derivation) for form, derivation in flight_forms()]
    rows = "\n".join(
        f"    ({form.target!r}, {form.given!r},\n     {form.name}, {form.through[0]!r}),"
        for form, _ in flight_forms()
    )
    parts.append(
        "FLIGHT_STEPS: tuple[tuple[str, tuple[str, ...], Callable[..., Number], str], ...] = (\n"
        f"{rows}\n)\n"
        '"""Each way to get one measurement of a flight from others: target, given, function, '
        'relation."""'
    )
    return "\n\n\n".join(part.strip("\n") for part in parts) + "\n"


_INVERSE_HEAD = '''"""Closed forms without fractions and roots: each a sum of products that is 0.

This module is written by ``python -m stairs.relations.derivation`` from the relations in
:mod:`stairs.relations.equations`; change those, not this.  :mod:`stairs.relations.inverse` solves
it for any one input.

``q.value`` is what the form gives; where that is an angle, the tangent or cosine that the arc is
taken of.  ``q.root`` is the square root in the form, and an angle has its ``cos`` and ``sin``.
"""

# fmt: off
from collections.abc import Callable
from typing import Any

from msgspec import Struct


class Equation(Struct, frozen=True):
    """What is 0 where a form has its value, and of what degree that is in each input."""

    target: str
    residual: Callable[[Any], Any]
    unknowns: dict[str, tuple[int, str]]  # degree, and whether the root or a sine is squared away
    square: Callable[[Any], tuple[Any, Any]] | None = None  # of the root: above, below the line
    arc: tuple[str, int, int] | None = None  # kind, scale, offset: degrees = offset + scale * arc
'''


def inverse_text() -> str:
    """The text of :mod:`stairs.relations.inverse_forms`, made from the relations as they stand."""
    forms = [(form, derive(form.target, form.given, form.through)) for form in FORMS]
    entries = [_entry(form, cleared(found)) for form, found in (*forms, *flight_forms())]
    body = "\n".join(["EQUATIONS: dict[str, Equation] = {", *entries, "}"])
    return f'{_INVERSE_HEAD}\n\n{body}\n"""Every closed form, by its name."""\n'


def _entry(form: Form, found: Cleared) -> str:
    unknowns = ", ".join(
        f"{name!r}:\xa0({degree},\xa0{way!r})"  # not to be parted at the end of a line
        for name, (degree, way) in found.unknowns.items()
    )
    parts = [f"{form.target!r},", f"lambda q: {_in_q(found.residual)},", f"{{{unknowns}}},"]
    if found.square:
        parts.append(f"lambda q: ({', '.join(_in_q(part) for part in found.square)}),")
    if found.arc:
        kind, scale, offset = found.arc
        parts.append(f"arc=({kind!r}, {scale}, {offset}),")
    lines = [f"        {line}" for part in parts for line in _wrapped(part, 8)]
    return "\n".join([f"    {form.name!r}: Equation(", *lines, "    ),"]).replace("\xa0", " ")


def _in_q(expression: Expr) -> str:
    names = {symbol: sympy.Symbol(f"q.{symbol.name}") for symbol in expression.free_symbols}
    return str(_Printer().doprint(expression.subs(names)))


def every_derivation() -> list[tuple[str, Derivation]]:
    """The derivation behind each closed form, by its name."""
    own = [(form.name, derive(form.target, form.given, form.through)) for form in FORMS]
    return own + [(form.name, derivation) for form, derivation in flight_forms()]


def main() -> None:
    """Write the two modules beside this one, and the steps of their forms."""
    count = len(FORMS) + len(flight_forms())
    texts = {
        "closed_forms.py": module_text(),
        "inverse_forms.py": inverse_text(),
        "steps.json": steps_text(every_derivation()),
    }
    for name, text in texts.items():
        Path(__file__).with_name(name).write_text(text, encoding="utf-8")
        sys.stdout.write(f"{name}: {count} closed forms\n")


if __name__ == "__main__":
    main()
