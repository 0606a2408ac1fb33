"""Closed forms without fractions and roots: each a sum of products that is 0.

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


EQUATIONS: dict[str, Equation] = {
    'rake': Equation(
        'rake',
        lambda q: q.unit_rise - q.unit_run*q.value,
        {'unit_rise': (1, ''), 'unit_run': (1, '')},
        arc=('tan', 1, 0),
    ),
    'unit_slope': Equation(
        'unit_slope',
        lambda q: q.root - q.value,
        {'unit_rise': (2, 'root'), 'unit_run': (2, 'root')},
        lambda q: (q.unit_rise**2 + q.unit_run**2, 1),
    ),
    'cosine': Equation(
        'cosine',
        lambda q: -q.root*q.value + q.unit_run,
        {'unit_rise': (2, 'root'), 'unit_run': (2, 'root')},
        lambda q: (q.unit_rise**2 + q.unit_run**2, 1),
    ),
    'step_sum': Equation(
        'step_sum',
        lambda q: 2*q.unit_rise + q.unit_run - q.value,
        {'unit_rise': (1, ''), 'unit_run': (1, '')},
    ),
    'tread_depth': Equation(
        'tread_depth',
        lambda q: q.nosing + q.unit_run - q.value,
        {'unit_run': (1, ''), 'nosing': (1, '')},
    ),
    'riser_setback': Equation(
        'riser_setback',
        lambda q: -q.riser_slope.cos*q.value - q.riser_slope.sin*q.tread_thickness +
        q.riser_slope.sin*q.unit_rise,
        {'unit_rise': (1, ''), 'tread_thickness': (1, ''), 'riser_slope': (2, 'sine')},
    ),
    'open_riser': Equation(
        'open_riser',
        lambda q: -q.tread_thickness + q.unit_rise - q.value,
        {'unit_rise': (1, ''), 'tread_thickness': (1, '')},
    ),
    'nosing_line_height': Equation(
        'nosing_line_height',
        lambda q: q.unit_rise*q.unit_run + q.unit_rise*q.x - q.unit_run*q.value,
        {'unit_rise': (1, ''), 'unit_run': (1, ''), 'x': (1, '')},
    ),
    'rail_spacing_plumb': Equation(
        'rail_spacing_plumb',
        lambda q: -q.bottom_rail/2 + q.panel_height - q.top_rail/2 - q.value,
        {'panel_height': (1, ''), 'top_rail': (1, ''), 'bottom_rail': (1, '')},
    ),
    'rail_spacing': Equation(
        'rail_spacing',
        lambda q: -q.bottom_rail*q.unit_run + 2*q.panel_height*q.unit_run - 2*q.root*q.value -
        q.top_rail*q.unit_run,
        {'panel_height': (1, ''), 'top_rail': (1, ''), 'bottom_rail': (1, ''),
        'unit_rise': (2, 'root'), 'unit_run': (2, 'root')},
        lambda q: (q.unit_rise**2 + q.unit_run**2, 1),
    ),
    'plumb_depth': Equation(
        'plumb_depth',
        lambda q: q.depth*q.root - q.unit_run*q.value,
        {'depth': (1, ''), 'unit_rise': (2, 'root'), 'unit_run': (2, 'root')},
        lambda q: (q.unit_rise**2 + q.unit_run**2, 1),
    ),
    'racked_height': Equation(
        'racked_height',
        lambda q: -q.bottom_rail*q.unit_run + 2*q.panel_height*q.unit_run + q.root*(q.bottom_rail +
        q.top_rail) - q.top_rail*q.unit_run - 2*q.unit_run*q.value,
        {'panel_height': (1, ''), 'top_rail': (1, ''), 'bottom_rail': (1, ''),
        'unit_rise': (2, 'root'), 'unit_run': (2, 'root')},
        lambda q: (q.unit_rise**2 + q.unit_run**2, 1),
    ),
    'baluster_clear': Equation(
        'baluster_clear',
        lambda q: -q.baluster*q.root + q.pitch*q.unit_run - q.root*q.value,
        {'pitch': (1, ''), 'baluster': (1, ''), 'unit_rise': (2, 'root'), 'unit_run': (2, 'root')},
        lambda q: (q.unit_rise**2 + q.unit_run**2, 1),
    ),
    'hole_needed': Equation(
        'hole_needed',
        lambda q: q.baluster*q.root + q.unit_rise*q.wall - q.unit_run*q.value,
        {'baluster': (1, ''), 'wall': (1, ''), 'unit_rise': (2, 'root'), 'unit_run': (2, 'root')},
        lambda q: (q.unit_rise**2 + q.unit_run**2, 1),
    ),
    'max_rack': Equation(
        'max_rack',
        lambda q: -q.root - q.value*(q.baluster + q.hole_length) + q.wall,
        {'hole_length': (2, 'root'), 'wall': (1, 'root'), 'baluster': (2, 'root')},
        lambda q: (-q.baluster**2 + q.hole_length**2 + q.wall**2, 1),
        arc=('tan', -2, 0),
    ),
    'guard_height': Equation(
        'guard_height',
        lambda q: 2*q.bottom_gap*q.unit_run - q.bottom_rail*q.unit_run + 2*q.panel_height*q.unit_run
        + q.root*(q.bottom_rail + q.top_rail) - q.top_rail*q.unit_run - 2*q.unit_run*q.value,
        {'bottom_gap': (1, ''), 'panel_height': (1, ''), 'top_rail': (1, ''),
        'bottom_rail': (1, ''), 'unit_rise': (2, 'root'), 'unit_run': (2, 'root')},
        lambda q: (q.unit_rise**2 + q.unit_run**2, 1),
    ),
    'bottom_gap_for_guard_height': Equation(
        'bottom_gap',
        lambda q: -q.bottom_rail*q.root + q.bottom_rail*q.unit_run + 2*q.guard_height*q.unit_run -
        2*q.panel_height*q.unit_run - q.root*q.top_rail + q.top_rail*q.unit_run -
        2*q.unit_run*q.value,
        {'guard_height': (1, ''), 'panel_height': (1, ''), 'top_rail': (1, ''),
        'bottom_rail': (1, ''), 'unit_rise': (2, 'root'), 'unit_run': (2, 'root')},
        lambda q: (q.unit_rise**2 + q.unit_run**2, 1),
    ),
    'pin_x_up': Equation(
        'pin_x_up',
        lambda q: q.face_x + q.stand_off - q.value,
        {'face_x': (1, ''), 'stand_off': (1, '')},
    ),
    'pin_x_down': Equation(
        'pin_x_down',
        lambda q: q.face_x - q.stand_off - q.value,
        {'face_x': (1, ''), 'stand_off': (1, '')},
    ),
    'bottom_pin_height': Equation(
        'bottom_pin_height',
        lambda q: 2*q.bottom_gap*q.unit_run + q.bottom_rail*q.root - 2*q.surface*q.unit_run +
        2*q.unit_rise*q.unit_run + 2*q.unit_rise*q.x - 2*q.unit_run*q.value,
        {'x': (1, ''), 'bottom_gap': (1, ''), 'bottom_rail': (1, ''), 'surface': (1, ''),
        'unit_rise': (2, 'root'), 'unit_run': (2, 'root')},
        lambda q: (q.unit_rise**2 + q.unit_run**2, 1),
    ),
    'top_pin_height': Equation(
        'top_pin_height',
        lambda q: 2*q.bottom_gap*q.unit_run + q.bottom_rail*q.root - q.bottom_rail*q.unit_run +
        2*q.panel_height*q.unit_run - 2*q.surface*q.unit_run - q.top_rail*q.unit_run +
        2*q.unit_rise*q.unit_run + 2*q.unit_rise*q.x - 2*q.unit_run*q.value,
        {'x': (1, ''), 'bottom_gap': (1, ''), 'panel_height': (1, ''), 'top_rail': (1, ''),
        'bottom_rail': (1, ''), 'surface': (1, ''), 'unit_rise': (2, 'root'),
        'unit_run': (2, 'root')},
        lambda q: (q.unit_rise**2 + q.unit_run**2, 1),
    ),
    'bottom_hole_height': Equation(
        'bottom_hole_height',
        lambda q: 2*q.bottom_gap*q.unit_run + q.bottom_rail*q.root + 2*q.hole_reach*q.unit_run -
        2*q.surface*q.unit_run + 2*q.unit_rise*q.unit_run + 2*q.unit_rise*q.x -
        2*q.unit_run*q.value,
        {'x': (1, ''), 'bottom_gap': (1, ''), 'bottom_rail': (1, ''), 'hole_reach': (1, ''),
        'surface': (1, ''), 'unit_rise': (2, 'root'), 'unit_run': (2, 'root')},
        lambda q: (q.unit_rise**2 + q.unit_run**2, 1),
    ),
    'top_hole_height': Equation(
        'top_hole_height',
        lambda q: 2*q.bottom_gap*q.unit_run + q.bottom_rail*q.root - q.bottom_rail*q.unit_run +
        2*q.hole_reach*q.unit_run + 2*q.panel_height*q.unit_run - 2*q.surface*q.unit_run -
        q.top_rail*q.unit_run + 2*q.unit_rise*q.unit_run + 2*q.unit_rise*q.x - 2*q.unit_run*q.value,
        {'x': (1, ''), 'bottom_gap': (1, ''), 'panel_height': (1, ''), 'top_rail': (1, ''),
        'bottom_rail': (1, ''), 'hole_reach': (1, ''), 'surface': (1, ''), 'unit_rise': (2, 'root'),
        'unit_run': (2, 'root')},
        lambda q: (q.unit_rise**2 + q.unit_run**2, 1),
    ),
    'over_hole': Equation(
        'over_hole',
        lambda q: q.post_height - q.top_hole_height - q.value,
        {'post_height': (1, ''), 'top_hole_height': (1, '')},
    ),
    'pin_aside': Equation(
        'pin_aside',
        lambda q: q.post_width*q.skew.sin - 2*q.skew.cos*q.value + 2*q.skew.sin*q.stand_off,
        {'post_width': (1, ''), 'stand_off': (1, ''), 'skew': (2, 'sine')},
    ),
    'beside_hole': Equation(
        'beside_hole',
        lambda q: -2*q.hole_beside*q.skew.cos + q.post_width*q.skew.cos - q.post_width*q.skew.sin -
        2*q.skew.cos*q.value - 2*q.skew.sin*q.stand_off,
        {'post_width': (1, ''), 'stand_off': (1, ''), 'hole_beside': (1, ''), 'skew': (2, 'sine')},
    ),
    'post_length': Equation(
        'post_length',
        lambda q: q.post_below + q.post_height - q.value,
        {'post_height': (1, ''), 'post_below': (1, '')},
    ),
    'under_hole': Equation(
        'under_hole',
        lambda q: q.bottom_hole_height + q.post_below - q.value,
        {'bottom_hole_height': (1, ''), 'post_below': (1, '')},
    ),
    'post_height': Equation(
        'post_height',
        lambda q: 2*q.bottom_gap*q.unit_run - q.bottom_rail*q.unit_run + 2*q.panel_height*q.unit_run
        + 2*q.reveal*q.unit_run + q.root*(q.bottom_rail + q.top_rail) - 2*q.surface*q.unit_run -
        q.top_rail*q.unit_run + 2*q.unit_rise*q.unit_run + 2*q.unit_rise*q.x - 2*q.unit_run*q.value,
        {'x': (1, ''), 'reveal': (1, ''), 'surface': (1, ''), 'bottom_gap': (1, ''),
        'panel_height': (1, ''), 'top_rail': (1, ''), 'bottom_rail': (1, ''),
        'unit_rise': (2, 'root'), 'unit_run': (2, 'root')},
        lambda q: (q.unit_rise**2 + q.unit_run**2, 1),
    ),
    'step_surface': Equation(
        'surface',
        lambda q: q.step*q.unit_rise - q.value,
        {'step': (1, ''), 'unit_rise': (1, '')},
    ),
    'nosing_x': Equation(
        'nosing_x',
        lambda q: q.treads_in_front*q.unit_run - q.value,
        {'treads_in_front': (1, ''), 'unit_run': (1, '')},
    ),
    'plate_edge': Equation(
        'plate_edge',
        lambda q: q.centre - q.nosing_x - q.plate/2 - q.value,
        {'centre': (1, ''), 'plate': (1, ''), 'nosing_x': (1, '')},
    ),
    'plate_edge_askew': Equation(
        'plate_edge_askew',
        lambda q: q.centre - q.nosing_x - q.plate*q.skew.cos/2 - q.plate*q.skew.sin/2 - q.value,
        {'centre': (1, ''), 'plate': (1, ''), 'nosing_x': (1, ''), 'skew': (2, 'sine')},
    ),
    'rail_length': Equation(
        'rail_length',
        lambda q: -2*q.rail_setback*q.unit_run + q.root*(q.clear - 2*q.pivot_offset) -
        q.unit_run*q.value,
        {'clear': (1, ''), 'pivot_offset': (1, ''), 'rail_setback': (1, ''),
        'unit_rise': (2, 'root'), 'unit_run': (2, 'root')},
        lambda q: (q.unit_rise**2 + q.unit_run**2, 1),
    ),
    'plumb_cut_length': Equation(
        'plumb_cut_length',
        lambda q: q.root*(q.clear - 2*q.end_clearance) - q.unit_run*q.value,
        {'clear': (1, ''), 'end_clearance': (1, ''), 'unit_rise': (2, 'root'),
        'unit_run': (2, 'root')},
        lambda q: (q.unit_rise**2 + q.unit_run**2, 1),
    ),
    'stock_needed': Equation(
        'stock_needed',
        lambda q: q.depth*q.unit_rise + q.root*(q.clear - 2*q.end_clearance) - q.unit_run*q.value,
        {'clear': (1, ''), 'end_clearance': (1, ''), 'depth': (1, ''), 'unit_rise': (2, 'root'),
        'unit_run': (2, 'root')},
        lambda q: (q.unit_rise**2 + q.unit_run**2, 1),
    ),
    'corner_clearance': Equation(
        'corner_clearance',
        lambda q: -q.depth*q.unit_rise + 2*q.rail_setback*q.unit_run + q.root*(2*q.pivot_offset -
        2*q.value),
        {'pivot_offset': (1, ''), 'rail_setback': (1, ''), 'depth': (1, ''),
        'unit_rise': (2, 'root'), 'unit_run': (2, 'root')},
        lambda q: (q.unit_rise**2 + q.unit_run**2, 1),
    ),
    'end_gap': Equation(
        'end_gap',
        lambda q: 2*q.hole_position*q.unit_run + 2*q.rail_setback*q.unit_run + q.root*(-q.baluster +
        2*q.pivot_offset - 2*q.value),
        {'pivot_offset': (1, ''), 'rail_setback': (1, ''), 'hole_position': (1, ''),
        'baluster': (1, ''), 'unit_rise': (2, 'root'), 'unit_run': (2, 'root')},
        lambda q: (q.unit_rise**2 + q.unit_run**2, 1),
    ),
    'trimmed_end_gap': Equation(
        'end_gap',
        lambda q: 2*q.hole_in_stock*q.unit_run + q.root*(-q.baluster + q.clear - 2*q.value) -
        q.stock*q.unit_run,
        {'hole_in_stock': (1, ''), 'stock': (1, ''), 'clear': (1, ''), 'baluster': (1, ''),
        'unit_rise': (2, 'root'), 'unit_run': (2, 'root')},
        lambda q: (q.unit_rise**2 + q.unit_run**2, 1),
    ),
    'trim_low': Equation(
        'trim_low',
        lambda q: -q.pattern_shift - q.rail_length/2 + q.stock/2 - q.value,
        {'stock': (1, ''), 'rail_length': (1, ''), 'pattern_shift': (1, '')},
    ),
    'trim_high': Equation(
        'trim_high',
        lambda q: q.pattern_shift - q.rail_length/2 + q.stock/2 - q.value,
        {'stock': (1, ''), 'rail_length': (1, ''), 'pattern_shift': (1, '')},
    ),
    'corner_height': Equation(
        'corner_height',
        lambda q: q.bottom_gap*q.unit_run + q.corner_base*q.unit_rise - q.unit_run*q.value,
        {'bottom_gap': (1, ''), 'corner_base': (1, ''), 'unit_rise': (1, ''), 'unit_run': (1, '')},
    ),
    'swing': Equation(
        'swing',
        lambda q: q.unit_rise - q.unit_run*q.value,
        {'unit_rise': (1, ''), 'unit_run': (1, '')},
        arc=('tan', 1, 0),
    ),
    'angle_low': Equation(
        'angle_low',
        lambda q: q.unit_rise - q.unit_run*q.value,
        {'unit_rise': (1, ''), 'unit_run': (1, '')},
        arc=('tan', -1, 90),
    ),
    'angle_high': Equation(
        'angle_high',
        lambda q: q.unit_rise - q.unit_run*q.value,
        {'unit_rise': (1, ''), 'unit_run': (1, '')},
        arc=('tan', 1, 90),
    ),
    'true_angle': Equation(
        'true_angle',
        lambda q: q.rake.cos*q.skew.cos - q.value,
        {'rake': (1, ''), 'skew': (1, '')},
        arc=('cos', 1, 0),
    ),
    'half_along': Equation(
        'half_along',
        lambda q: q.post_width - 2*q.skew.cos*q.value,
        {'post_width': (1, ''), 'skew': (1, '')},
    ),
    'bay_clear': Equation(
        'clear',
        lambda q: q.centre_distance - q.high_reach - q.low_reach - q.value,
        {'centre_distance': (1, ''), 'low_reach': (1, ''), 'high_reach': (1, '')},
    ),
    'spacing_along': Equation(
        'spacing_along',
        lambda q: q.centre_distance*q.root - q.unit_run*q.value,
        {'centre_distance': (1, ''), 'unit_rise': (2, 'root'), 'unit_run': (2, 'root')},
        lambda q: (q.unit_rise**2 + q.unit_run**2, 1),
    ),
    'face_x': Equation(
        'face_x',
        lambda q: q.centre + q.low_reach - q.value,
        {'centre': (1, ''), 'low_reach': (1, '')},
    ),
    'stand_off_along': Equation(
        'stand_off_along',
        lambda q: -q.skew.cos*q.value + q.stand_off,
        {'stand_off': (1, ''), 'skew': (1, '')},
    ),
    'mean_stand_off': Equation(
        'mean_stand_off',
        lambda q: q.skew.cos*q.stand_off - 2*q.skew.cos*q.value + q.stand_off,
        {'stand_off': (1, ''), 'skew': (1, '')},
    ),
    'hole_position': Equation(
        'hole_position',
        lambda q: q.hole_in_stock + q.rail_length/2 - q.stock/2 - q.value,
        {'hole_in_stock': (1, ''), 'stock': (1, ''), 'rail_length': (1, '')},
    ),
    'skewed_corner_clearance': Equation(
        'skewed_corner_clearance',
        lambda q: -q.depth*q.skew.cos*q.unit_rise + 2*q.rail_setback*q.skew.cos*q.unit_run +
        q.root*(-q.rail_width*q.skew.sin + 2*q.stand_off - 2*q.value),
        {'stand_off': (1, ''), 'rail_setback': (1, ''), 'depth': (1, ''), 'rail_width': (1, ''),
        'skew': (2, 'sine'), 'unit_rise': (2, 'root'), 'unit_run': (2, 'root')},
        lambda q: (q.unit_rise**2 + q.unit_run**2, 1),
    ),
    'skewed_stock_needed': Equation(
        'skewed_stock_needed',
        lambda q: 2*q.depth*q.skew.cos*q.unit_rise + 2*q.plumb_cut_length*q.skew.cos*q.unit_run +
        q.rail_width*q.root*q.skew.sin - 2*q.skew.cos*q.unit_run*q.value,
        {'plumb_cut_length': (1, ''), 'depth': (1, ''), 'rail_width': (1, ''), 'skew': (2, 'sine'),
        'unit_rise': (2, 'root'), 'unit_run': (2, 'root')},
        lambda q: (q.unit_rise**2 + q.unit_run**2, 1),
    ),
    'saw_miter': Equation(
        'saw_miter',
        lambda q: q.root*q.skew.sin - q.skew.cos*q.unit_run*q.value,
        {'skew': (2, 'sine'), 'unit_rise': (2, 'root'), 'unit_run': (2, 'root')},
        lambda q: (q.unit_rise**2 + q.unit_run**2, 1),
        arc=('tan', 1, 0),
    ),
    'saw_bevel': Equation(
        'saw_bevel',
        lambda q: -q.root*q.value + q.skew.cos*q.unit_rise,
        {'skew': (2, 'root'), 'unit_rise': (2, 'root'), 'unit_run': (2, 'root')},
        lambda q: (-q.skew.cos**2*q.unit_rise**2 + q.unit_rise**2 + q.unit_run**2, 1),
        arc=('tan', 1, 0),
    ),
    'corner_circle': Equation(
        'corner_circle',
        lambda q: 2*q.bottom_gap*q.unit_run + 2*q.corner_base*q.unit_rise - q.value*(q.root +
        q.unit_rise + q.unit_run),
        {'bottom_gap': (1, ''), 'corner_base': (1, ''), 'unit_rise': (2, 'root'),
        'unit_run': (2, 'root')},
        lambda q: (q.unit_rise**2 + q.unit_run**2, 1),
    ),
    'bottom_gap_for_corner_circle': Equation(
        'bottom_gap',
        lambda q: -2*q.corner_base*q.unit_rise + q.corner_circle*q.root +
        q.corner_circle*q.unit_rise + q.corner_circle*q.unit_run - 2*q.unit_run*q.value,
        {'corner_circle': (1, ''), 'corner_base': (1, ''), 'unit_rise': (2, 'root'),
        'unit_run': (2, 'root')},
        lambda q: (q.unit_rise**2 + q.unit_run**2, 1),
    ),
    'corner_square': Equation(
        'corner_square',
        lambda q: q.bottom_gap*q.unit_run + q.corner_base*q.unit_rise - q.value*(q.unit_rise +
        q.unit_run),
        {'bottom_gap': (1, ''), 'corner_base': (1, ''), 'unit_rise': (1, ''), 'unit_run': (1, '')},
    ),
    'bottom_gap_for_corner_square': Equation(
        'bottom_gap',
        lambda q: -q.corner_base*q.unit_rise + q.corner_square*q.unit_rise +
        q.corner_square*q.unit_run - q.unit_run*q.value,
        {'corner_square': (1, ''), 'corner_base': (1, ''), 'unit_rise': (1, ''),
        'unit_run': (1, '')},
    ),
    'strip_opening': Equation(
        'strip_opening',
        lambda q: q.bottom_gap*q.unit_run - q.root*q.value - q.stringer_margin*q.unit_run,
        {'bottom_gap': (1, ''), 'stringer_margin': (1, ''), 'unit_rise': (2, 'root'),
        'unit_run': (2, 'root')},
        lambda q: (q.unit_rise**2 + q.unit_run**2, 1),
    ),
    'bottom_gap_for_strip': Equation(
        'bottom_gap',
        lambda q: q.root*q.strip_opening + q.stringer_margin*q.unit_run - q.unit_run*q.value,
        {'strip_opening': (1, ''), 'stringer_margin': (1, ''), 'unit_rise': (2, 'root'),
        'unit_run': (2, 'root')},
        lambda q: (q.unit_rise**2 + q.unit_run**2, 1),
    ),
    'bottom_gap_over_filler': Equation(
        'bottom_gap',
        lambda q: q.clear_gap + q.filler - q.value,
        {'clear_gap': (1, ''), 'filler': (1, '')},
    ),
    'bottom_gap_over_front': Equation(
        'bottom_gap',
        lambda q: q.front_gap - q.front_lift - q.value,
        {'front_gap': (1, ''), 'front_lift': (1, '')},
    ),
    'strip_ball': Equation(
        'strip_ball',
        lambda q: q.root - q.value,
        {'bottom_gap': (2, 'root'), 'stringer_margin': (2, 'root'), 'side_gap': (2, 'root'),
        'unit_rise': (2, 'root'), 'unit_run': (2, 'root')},
        lambda q: (q.bottom_gap**2*q.unit_run**2 - 2*q.bottom_gap*q.stringer_margin*q.unit_run**2 +
        q.side_gap**2*q.unit_rise**2 + q.side_gap**2*q.unit_run**2 +
        q.stringer_margin**2*q.unit_run**2, q.unit_rise**2 + q.unit_run**2),
    ),
    'flat_gap_for_ball': Equation(
        'flat_gap',
        lambda q: q.root - q.value,
        {'strip_ball': (2, 'root'), 'side_gap': (2, 'root')},
        lambda q: (-q.side_gap**2 + q.strip_ball**2, 1),
    ),
    'underside_slot': Equation(
        'underside_slot',
        lambda q: q.depth*q.unit_rise + 2*q.rail_setback*q.unit_run + q.root*(2*q.pivot_offset -
        2*q.value),
        {'pivot_offset': (1, ''), 'rail_setback': (1, ''), 'depth': (1, ''),
        'unit_rise': (2, 'root'), 'unit_run': (2, 'root')},
        lambda q: (q.unit_rise**2 + q.unit_run**2, 1),
    ),
    'panel_inner': Equation(
        'panel_inner',
        lambda q: -q.bottom_rail*q.root - q.bottom_rail*q.unit_run + 2*q.panel_height*q.unit_run -
        q.root*q.top_rail - q.top_rail*q.unit_run - 2*q.unit_run*q.value,
        {'panel_height': (1, ''), 'top_rail': (1, ''), 'bottom_rail': (1, ''),
        'unit_rise': (2, 'root'), 'unit_run': (2, 'root')},
        lambda q: (q.unit_rise**2 + q.unit_run**2, 1),
    ),
    'end_back': Equation(
        'end_back',
        lambda q: q.depth*q.unit_rise - q.root*q.value,
        {'depth': (1, ''), 'unit_rise': (2, 'root'), 'unit_run': (2, 'root')},
        lambda q: (q.unit_rise**2 + q.unit_run**2, 1),
    ),
    'end_up': Equation(
        'end_up',
        lambda q: q.depth*q.unit_run - q.root*q.value,
        {'depth': (1, ''), 'unit_rise': (2, 'root'), 'unit_run': (2, 'root')},
        lambda q: (q.unit_rise**2 + q.unit_run**2, 1),
    ),
    'treads_from_risers': Equation(
        'treads',
        lambda q: q.flush_tread + q.risers - q.value - 1,
        {'risers': (1, ''), 'flush_tread': (1, '')},
    ),
    'risers_from_treads': Equation(
        'risers',
        lambda q: -q.flush_tread + q.treads - q.value + 1,
        {'treads': (1, ''), 'flush_tread': (1, '')},
    ),
    'total_rise_from_unit_rise_and_risers': Equation(
        'total_rise',
        lambda q: q.risers*q.unit_rise - q.value,
        {'unit_rise': (1, ''), 'risers': (1, '')},
    ),
    'risers_from_unit_rise_and_total_rise': Equation(
        'risers',
        lambda q: q.total_rise - q.unit_rise*q.value,
        {'unit_rise': (1, ''), 'total_rise': (1, '')},
    ),
    'unit_rise_from_risers_and_total_rise': Equation(
        'unit_rise',
        lambda q: -q.risers*q.value + q.total_rise,
        {'risers': (1, ''), 'total_rise': (1, '')},
    ),
    'total_run_from_unit_run_and_treads': Equation(
        'total_run',
        lambda q: q.treads*q.unit_run - q.value,
        {'unit_run': (1, ''), 'treads': (1, '')},
    ),
    'treads_from_unit_run_and_total_run': Equation(
        'treads',
        lambda q: q.total_run - q.unit_run*q.value,
        {'unit_run': (1, ''), 'total_run': (1, '')},
    ),
    'unit_run_from_treads_and_total_run': Equation(
        'unit_run',
        lambda q: q.total_run - q.treads*q.value,
        {'treads': (1, ''), 'total_run': (1, '')},
    ),
    'rake_from_unit_rise_and_unit_run': Equation(
        'rake',
        lambda q: q.unit_rise - q.unit_run*q.value,
        {'unit_rise': (1, ''), 'unit_run': (1, '')},
        arc=('tan', 1, 0),
    ),
    'unit_run_from_unit_rise_and_rake': Equation(
        'unit_run',
        lambda q: q.rake.cos*q.unit_rise - q.rake.sin*q.value,
        {'unit_rise': (1, ''), 'rake': (2, 'sine')},
    ),
    'unit_rise_from_unit_run_and_rake': Equation(
        'unit_rise',
        lambda q: -q.rake.cos*q.value + q.rake.sin*q.unit_run,
        {'unit_run': (1, ''), 'rake': (2, 'sine')},
    ),
    'risers_from_total_rise_and_total_run_and_rake': Equation(
        'risers',
        lambda q: -q.flush_tread*q.rake.cos*q.total_rise + q.rake.cos*q.total_rise +
        q.value*(-q.rake.cos*q.total_rise + q.rake.sin*q.total_run),
        {'flush_tread': (1, ''), 'total_rise': (1, ''), 'total_run': (1, ''), 'rake': (2, 'sine')},
    ),
}
"""Every closed form, by its name."""
