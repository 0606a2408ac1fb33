"""The largest circle under the rail over one step, and its closed form where there is one.

Each pocket's largest circle is found from the walls themselves (:mod:`stairs.shapes.circle`); the
line square to the rail through a nosing only decides to which pocket a circle belongs.
"""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache

from stairs.numbers.tolerances import SAME
from stairs.openings.feature import BOTTOM_RAIL, POST, RAIL_END, RISER, surface_of
from stairs.openings.pocket import Pocket, Point
from stairs.openings.pocket_shape import pocket_shape
from stairs.relations.exact import Amount, derived
from stairs.shapes.circle import Circle, Shape, largest_circle

# a guard is solved again many times with one measurement moved, which leaves most pockets alike
_largest = lru_cache(maxsize=2048)(largest_circle)


def largest_in_pocket(pocket: Pocket) -> tuple[Circle, Shape, Point]:
    """The largest circle of a pocket, its shape, and the pocket's origin.

    Circle and shape are in the pocket's own coordinates [job's unit of length].
    """
    shape = pocket_shape(pocket)
    return _largest(shape), shape, (float(pocket.front[0]), float(pocket.front[1]))


def plain_form(pocket: Pocket, circle: Circle) -> Amount | None:
    """The diameter in closed form where a pocket's largest circle leans on surface, upright face
    and rail, and on nothing else."""
    kinds = {one.kind for one in circle.leans_on} - {RAIL_END.kind}
    surface = surface_of(pocket.step, pocket.risers).kind
    if not (BOTTOM_RAIL in circle.leans_on and surface in kinds and len(kinds) == 3):
        return None
    at_post = pocket.high.step == pocket.step and isinstance(pocket.front[0], Fraction)
    if not (RISER in kinds or (POST in kinds and at_post)):
        return None
    form = corner_form(pocket, RISER not in kinds)
    return form if abs(float(form) - circle.diameter) <= SAME * max(1.0, circle.diameter) else None


def corner_form(pocket: Pocket, at_post: bool = False) -> Amount:
    """Diameter of the circle on surface, rail, and riser or upper post [job's unit of length]."""
    base = (
        pocket.depth_to_post
        if at_post
        else derived("tread_depth", unit_run=pocket.form.run, nosing=pocket.form.nosing)
    )
    step = {"unit_rise": pocket.line_rise, "unit_run": pocket.line_run}
    return derived("corner_circle", bottom_gap=pocket.front_gap, corner_base=base, **step)
