"""The bracket: what holds a rail end to a post, and how it turns onto the rake.

A pivot bracket has a pin that stands off the post face; the rail end is cut square and swings
about the pin.  A plumb-cut rail has no pin: it is sawn at the rake so that its end stands parallel
to the post.  Either way the rail's cut length follows from the bay and the rake.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from msgspec import Struct

from stairs.errors import NoSuchShape
from stairs.job import Bracket, Panel
from stairs.relations.exact import Amount, compare, derived

PIVOT, PLUMB_CUT = "pivot", "plumb-cut"


class RailEnds(Struct, frozen=True):
    """How the rails of one bay end; lengths exact in the job's unit, angles in degrees.

    Parameters
    ----------
    stand_off : Fraction
        Post face to the pin, or to the cut face of a plumb-cut rail, square to the face.
    stand_off_low : Fraction or Derived
        The same at the lower post, level along the rail: more where the rail meets it askew.
    rail_length : Fraction or Derived
        Finished rail along its axis, both rails alike.
    stock_needed : Fraction or Derived
        Stock for the deeper of the two rails, slanted tips included.
    corner_clearance : Fraction or Derived
        Level, post face to the nearest corner of a rail end; below 0 the rail runs into the post.
    swing, angle_low, angle_high, saw_angle : float
        Turn from level; angles to the post above the rail at the lower and the upper post; how
        far the saw is turned from a square cut.
    """

    stand_off: Fraction
    stand_off_low: Amount
    rail_length: Amount
    stock_needed: Amount
    corner_clearance: Amount
    swing: float
    angle_low: float
    angle_high: float
    saw_angle: float


def rail_ends(
    bracket: Bracket,
    panel: Panel,
    clear: Amount,
    unit_rise: Amount,
    unit_run: Amount,
    where: str,
    skew: Fraction = Fraction(0),
    show: Callable[[float], str] = "{:g}".format,
) -> RailEnds:
    """How the rails of one bay are cut and held.

    Parameters
    ----------
    clear : Fraction or Derived
        Bay, post face to post face, level along the rail, above 0.
    unit_rise, unit_run : Fraction or Derived
        One step of the flight; a level run is 0 over 1.
    where : str
        The bay as errors name it.
    skew : Fraction
        Plan angle at which the rail meets the lower post's face, off its normal, 0 to 45 degrees.

    Raises
    ------
    NoSuchShape
        The bay is too short for the two brackets.

    Examples
    --------
    >>> panel = Panel(height=Fraction(32), top_rail=Fraction(2), bottom_rail=Fraction(2),
    ...               baluster=Fraction(1), pitch=Fraction(5))
    >>> bracket = Bracket(kind="pivot", pivot_offset=Fraction(1), rail_setback=Fraction(1, 2))
    >>> float(rail_ends(bracket, panel, Fraction(42), Fraction(3), Fraction(4), "").rail_length)
    49.0
    """
    step = {"unit_rise": unit_rise, "unit_run": unit_run}
    pivot = bracket.kind == PIVOT
    stand_off = bracket.pivot_offset if pivot else bracket.end_clearance
    low: Amount = stand_off
    mean: Amount = stand_off
    if skew:
        low = derived("stand_off_along", stand_off=stand_off, skew=skew)
        mean = derived("mean_stand_off", stand_off=stand_off, skew=skew)
    askew = {"rail_width": panel.rail_width or Fraction(0), "skew": skew}
    sizes = {"depth": max(panel.top_rail, panel.bottom_rail), **step}
    if pivot:
        setback = bracket.rail_setback
        length = derived(
            "rail_length", clear=clear, pivot_offset=mean, rail_setback=setback, **step
        )
        needed = length
        sizes["rail_setback"] = setback
        corner = derived("corner_clearance", pivot_offset=stand_off, **sizes)
        if skew:
            turned = derived("skewed_corner_clearance", stand_off=stand_off, **askew, **sizes)
            corner = min(corner, turned, key=float)
    else:
        length = derived("plumb_cut_length", clear=clear, end_clearance=mean, **step)
        needed = derived("stock_needed", clear=clear, end_clearance=mean, **sizes)
        if skew:
            needed = derived("skewed_stock_needed", plumb_cut_length=length, **askew, **sizes)
        corner = stand_off
    if compare(length, Fraction(0)) <= 0:
        # the bay is level, so what the brackets take of it is measured level too
        cosine = float(derived("cosine", **step))
        taken = float(clear) - float(length) * cosine
        raise NoSuchShape(
            where,
            f"the clear bay of {show(float(clear))} is too short for its two brackets, which take "
            f"{show(taken)}",
            "A bay is longer than its brackets",
            "Move the posts apart, leave one out, or look again at the keys of [bracket]",
        )
    swing = float(derived("swing", **step))
    return RailEnds(
        stand_off=stand_off,
        stand_off_low=low,
        rail_length=length,
        stock_needed=needed,
        corner_clearance=corner,
        swing=swing,
        angle_low=float(derived("angle_low", **step)),
        angle_high=float(derived("angle_high", **step)),
        saw_angle=swing if bracket.kind == PLUMB_CUT else 0.0,
    )
