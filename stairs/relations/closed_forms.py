"""Closed forms of the stair guard's geometry, as plain numeric functions.

This module is written by ``python -m stairs.relations.derivation`` from the relations in
:mod:`stairs.relations.equations`; change those, not this.  Where every step is arithmetic, or a
root that comes out even, fractions give a fraction; otherwise the result is a float.
"""

# ruff: noqa: E501
import math

from stairs.numbers.roots import sqrt


def rake(unit_rise, unit_run):
    """Angle of the nosing line from level [degrees].

    Parameters
    ----------
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    θ = ``180*atan(unit_rise/unit_run)/pi`` with R = ``unit_rise``, G = ``unit_run``.
    Chained from: slope of the nosing line.

    Examples
    --------
    >>> round(rake(1, 1), 9)
    45.0
    """
    return 180*math.atan(unit_rise/unit_run)/math.pi


def unit_slope(unit_rise, unit_run):
    """Nosing to nosing along the nosing line [job's unit of length].

    Parameters
    ----------
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    L = ``sqrt(unit_rise**2 + unit_run**2)`` with R = ``unit_rise``, G = ``unit_run``.
    Chained from: hypotenuse of a step.
    1 other root let go: unit_slope is above 0 in a stair.

    Examples
    --------
    >>> round(unit_slope(5, 12), 9)
    13.0
    """
    return sqrt(unit_rise**2 + unit_run**2)


def cosine(unit_rise, unit_run):
    """Cosine of the rake: level length per length on the rake [ratio].

    Parameters
    ----------
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    cos θ = ``unit_run/sqrt(unit_rise**2 + unit_run**2)`` with R = ``unit_rise``, G =
    ``unit_run``.
    Chained from: hypotenuse of a step; cosine of the rake.
    1 other root let go: unit_slope is above 0 in a stair.

    Examples
    --------
    >>> round(cosine(3, 4), 9)
    0.8
    """
    return unit_run/sqrt(unit_rise**2 + unit_run**2)


def sine(unit_rise, unit_run):
    """Sine of the rake: rise per length on the rake [ratio].

    Parameters
    ----------
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    sin θ = ``unit_rise/sqrt(unit_rise**2 + unit_run**2)`` with R = ``unit_rise``, G =
    ``unit_run``.
    Chained from: hypotenuse of a step; sine of the rake.
    1 other root let go: unit_slope is above 0 in a stair.

    Examples
    --------
    >>> round(sine(3, 4), 9)
    0.6
    """
    return unit_rise/sqrt(unit_rise**2 + unit_run**2)


def step_sum(unit_rise, unit_run):
    """Two risers and one run, the step formula's left side [job's unit of length].

    Parameters
    ----------
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    2R+G = ``2*unit_rise + unit_run`` with R = ``unit_rise``, G = ``unit_run``.
    Chained from: step formula.

    Examples
    --------
    >>> round(step_sum(7, 11), 9)
    25
    """
    return 2*unit_rise + unit_run


def tread_depth(unit_run, nosing):
    """Tread from its nosing to the riser face behind it [job's unit of length].

    Parameters
    ----------
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.
    nosing : number
        How far a nosing stands out over the riser below [job's unit of length], 0 or more.

    Notes
    -----
    d = ``nosing + unit_run`` with G = ``unit_run``, s = ``nosing``.
    Chained from: tread depth.

    Examples
    --------
    >>> round(tread_depth(10, 1), 9)
    11
    """
    return nosing + unit_run


def riser_setback(unit_rise, tread_thickness, riser_slope):
    """Foot of a raked-back riser behind its top [job's unit of length].

    Parameters
    ----------
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    tread_thickness : number
        Tread's front edge, top to bottom [job's unit of length], 0 or more.
    riser_slope : number
        Riser face raked back from plumb [degrees], 0 or more.

    Notes
    -----
    sr = ``(-tread_thickness + unit_rise)*tan(pi*riser_slope/180)`` with R = ``unit_rise``, t =
    ``tread_thickness``, φr = ``riser_slope``.
    Chained from: raked-back riser.

    Examples
    --------
    >>> round(riser_setback(8, 1, 45), 9)
    7.0
    """
    return (-tread_thickness + unit_rise)*math.tan(math.pi*riser_slope/180)


def open_riser(unit_rise, tread_thickness):
    """Clear between two treads, plumb [job's unit of length].

    Parameters
    ----------
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    tread_thickness : number
        Tread's front edge, top to bottom [job's unit of length], 0 or more.

    Notes
    -----
    or = ``-tread_thickness + unit_rise`` with R = ``unit_rise``, t = ``tread_thickness``.
    Chained from: open riser.

    Examples
    --------
    >>> round(open_riser(7, 2), 9)
    5
    """
    return -tread_thickness + unit_rise


def nosing_line_height(unit_rise, unit_run, x):
    """Height of the nosing line over the lower landing [job's unit of length].

    Parameters
    ----------
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.
    x : number
        Horizontal distance up-stair from the first nosing [job's unit of length], any.

    Notes
    -----
    y = ``unit_rise + unit_rise*x/unit_run`` with R = ``unit_rise``, G = ``unit_run``, x = ``x``.
    Chained from: nosing line.

    Examples
    --------
    >>> round(nosing_line_height(6, 8, 12), 9)
    15.0
    """
    return unit_rise + unit_rise*x/unit_run


def rail_spacing_plumb(panel_height, top_rail, bottom_rail):
    """Plumb distance between the rails' centre lines [job's unit of length].

    Parameters
    ----------
    panel_height : number
        Level panel, under its bottom rail to top of its top rail; not panel_height in the result
        [job's unit of length], above 0.
    top_rail : number
        Depth of the top rail, square to its length [job's unit of length], above 0.
    bottom_rail : number
        Depth of the bottom rail, square to its length [job's unit of length], above 0.

    Notes
    -----
    S = ``-bottom_rail/2 + panel_height - top_rail/2`` with P = ``panel_height``, ht =
    ``top_rail``, hb = ``bottom_rail``.
    Chained from: rail centre lines.

    Examples
    --------
    >>> round(rail_spacing_plumb(32, 2, 1), 9)
    30.5
    """
    return -bottom_rail/2 + panel_height - top_rail/2


def rail_spacing(panel_height, top_rail, bottom_rail, unit_rise, unit_run):
    """Square distance between the rails' centre lines [job's unit of length].

    Parameters
    ----------
    panel_height : number
        Level panel, under its bottom rail to top of its top rail; not panel_height in the result
        [job's unit of length], above 0.
    top_rail : number
        Depth of the top rail, square to its length [job's unit of length], above 0.
    bottom_rail : number
        Depth of the bottom rail, square to its length [job's unit of length], above 0.
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    Sq = ``unit_run*(-bottom_rail + 2*panel_height - top_rail)/sqrt(unit_rise**2 +
    unit_run**2)/2`` with P = ``panel_height``, ht = ``top_rail``, hb = ``bottom_rail``, R =
    ``unit_rise``, G = ``unit_run``.
    Chained from: hypotenuse of a step; cosine of the rake; rail centre lines; racking keeps the
    plumb spacing.
    1 other root let go: unit_slope is above 0 in a stair.

    Examples
    --------
    >>> round(rail_spacing(32, 2, 2, 3, 4), 9)
    24.0
    """
    return unit_run*(-bottom_rail + 2*panel_height - top_rail)/sqrt(unit_rise**2 + unit_run**2)/2


def plumb_depth(depth, unit_rise, unit_run):
    """Depth of a rail measured plumb [job's unit of length].

    Parameters
    ----------
    depth : number
        Depth of a rail, square to its length [job's unit of length], above 0.
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    hv = ``depth*sqrt(unit_rise**2 + unit_run**2)/unit_run`` with h = ``depth``, R =
    ``unit_rise``, G = ``unit_run``.
    Chained from: hypotenuse of a step; cosine of the rake; plumb depth of a rail.
    1 other root let go: unit_slope is above 0 in a stair.

    Examples
    --------
    >>> round(plumb_depth(2, 3, 4), 9)
    2.5
    """
    return depth*sqrt(unit_rise**2 + unit_run**2)/unit_run


def racked_height(panel_height, top_rail, bottom_rail, unit_rise, unit_run):
    """Racked panel, plumb, under bottom rail to top of top rail; panel_height in the result [job's unit of length].

    Parameters
    ----------
    panel_height : number
        Level panel, under its bottom rail to top of its top rail; not panel_height in the result
        [job's unit of length], above 0.
    top_rail : number
        Depth of the top rail, square to its length [job's unit of length], above 0.
    bottom_rail : number
        Depth of the bottom rail, square to its length [job's unit of length], above 0.
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    Pv = ``(bottom_rail*sqrt(unit_rise**2 + unit_run**2) + top_rail*sqrt(unit_rise**2 +
    unit_run**2) + unit_run*(-bottom_rail + 2*panel_height - top_rail))/unit_run/2`` with P =
    ``panel_height``, ht = ``top_rail``, hb = ``bottom_rail``, R = ``unit_rise``, G =
    ``unit_run``.
    Chained from: plumb depth of the bottom rail; rail centre lines; hypotenuse of a step; cosine
    of the rake; plumb depth of the top rail; racked height.
    1 other root let go: unit_slope is above 0 in a stair.

    Examples
    --------
    >>> round(racked_height(32, 2, 2, 3, 4), 9)
    32.5
    """
    return (bottom_rail*sqrt(unit_rise**2 + unit_run**2) + top_rail*sqrt(unit_rise**2 + unit_run**2) + unit_run*(-bottom_rail + 2*panel_height - top_rail))/unit_run/2


def baluster_clear(pitch, baluster, unit_rise, unit_run):
    """Clear between balusters, measured level [job's unit of length].

    Parameters
    ----------
    pitch : number
        Baluster centre to centre along the rail [job's unit of length], above 0.
    baluster : number
        Width of a baluster in elevation [job's unit of length], above 0.
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    c = ``-baluster + pitch*unit_run/sqrt(unit_rise**2 + unit_run**2)`` with p = ``pitch``, b =
    ``baluster``, R = ``unit_rise``, G = ``unit_run``.
    Chained from: hypotenuse of a step; cosine of the rake; level pitch; clear between balusters.
    1 other root let go: unit_slope is above 0 in a stair.

    Examples
    --------
    >>> round(baluster_clear(5, 1, 3, 4), 9)
    3.0
    """
    return -baluster + pitch*unit_run/sqrt(unit_rise**2 + unit_run**2)


def hole_needed(baluster, wall, unit_rise, unit_run):
    """Hole along the rail that a racked baluster needs [job's unit of length].

    Parameters
    ----------
    baluster : number
        Width of a baluster in elevation [job's unit of length], above 0.
    wall : number
        Thickness of the rail wall that the hole goes through [job's unit of length], 0 or more.
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    a = ``(baluster*sqrt(unit_rise**2 + unit_run**2) + unit_rise*wall)/unit_run`` with b =
    ``baluster``, w = ``wall``, R = ``unit_rise``, G = ``unit_run``.
    Chained from: cosine of the rake; hypotenuse of a step; sine of the rake; hole that a racked
    baluster needs.
    1 other root let go: unit_slope is above 0 in a stair.

    Examples
    --------
    >>> round(hole_needed(4, 4, 3, 4), 9)
    8.0
    """
    return (baluster*sqrt(unit_rise**2 + unit_run**2) + unit_rise*wall)/unit_run


def max_rack(hole_length, wall, baluster):
    """Rake at which the baluster binds in its hole [degrees].

    Parameters
    ----------
    hole_length : number
        Hole along the rail that is there [job's unit of length], above 0.
    wall : number
        Thickness of the rail wall that the hole goes through [job's unit of length], 0 or more.
    baluster : number
        Width of a baluster in elevation [job's unit of length], above 0.

    Notes
    -----
    θm = ``-360*atan((wall - sqrt(-baluster**2 + hole_length**2 + wall**2))/(baluster +
    hole_length))/pi`` with a0 = ``hole_length``, w = ``wall``, b = ``baluster``.
    Chained from: baluster binds in its hole.
    1 other root let go: max_rack is 0 or more in a stair.

    Examples
    --------
    >>> round(max_rack(2, 0, 1), 9)
    60.0
    """
    return -360*math.atan((wall - sqrt(-baluster**2 + hole_length**2 + wall**2))/(baluster + hole_length))/math.pi


def guard_height(bottom_gap, panel_height, top_rail, bottom_rail, unit_rise, unit_run):
    """Plumb from the nosing line to the top of the top rail [job's unit of length].

    Parameters
    ----------
    bottom_gap : number
        Plumb from the nosing line to under the bottom rail [job's unit of length], any.
    panel_height : number
        Level panel, under its bottom rail to top of its top rail; not panel_height in the result
        [job's unit of length], above 0.
    top_rail : number
        Depth of the top rail, square to its length [job's unit of length], above 0.
    bottom_rail : number
        Depth of the bottom rail, square to its length [job's unit of length], above 0.
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    K = ``(bottom_rail*sqrt(unit_rise**2 + unit_run**2) + top_rail*sqrt(unit_rise**2 +
    unit_run**2) + unit_run*(2*bottom_gap - bottom_rail + 2*panel_height - top_rail))/unit_run/2``
    with v = ``bottom_gap``, P = ``panel_height``, ht = ``top_rail``, hb = ``bottom_rail``, R =
    ``unit_rise``, G = ``unit_run``.
    Chained from: plumb depth of the bottom rail; rail centre lines; hypotenuse of a step; cosine
    of the rake; plumb depth of the top rail; racked height; guard height.
    1 other root let go: unit_slope is above 0 in a stair.

    Examples
    --------
    >>> round(guard_height(1, 32, 2, 2, 3, 4), 9)
    33.5
    """
    return (bottom_rail*sqrt(unit_rise**2 + unit_run**2) + top_rail*sqrt(unit_rise**2 + unit_run**2) + unit_run*(2*bottom_gap - bottom_rail + 2*panel_height - top_rail))/unit_run/2


def bottom_gap_for_guard_height(guard_height, panel_height, top_rail, bottom_rail, unit_rise, unit_run):
    """Plumb from the nosing line to under the bottom rail [job's unit of length].

    Parameters
    ----------
    guard_height : number
        Plumb from the nosing line to the top of the top rail [job's unit of length], any.
    panel_height : number
        Level panel, under its bottom rail to top of its top rail; not panel_height in the result
        [job's unit of length], above 0.
    top_rail : number
        Depth of the top rail, square to its length [job's unit of length], above 0.
    bottom_rail : number
        Depth of the bottom rail, square to its length [job's unit of length], above 0.
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    v = ``(-bottom_rail*sqrt(unit_rise**2 + unit_run**2) - top_rail*sqrt(unit_rise**2 +
    unit_run**2) + unit_run*(bottom_rail + 2*guard_height - 2*panel_height +
    top_rail))/unit_run/2`` with K = ``guard_height``, P = ``panel_height``, ht = ``top_rail``, hb
    = ``bottom_rail``, R = ``unit_rise``, G = ``unit_run``.
    Chained from: plumb depth of the bottom rail; rail centre lines; hypotenuse of a step; cosine
    of the rake; plumb depth of the top rail; racked height; guard height.
    1 other root let go: unit_slope is above 0 in a stair.

    Examples
    --------
    >>> round(bottom_gap_for_guard_height(34, 32, 2, 2, 3, 4), 9)
    1.5
    """
    return (-bottom_rail*sqrt(unit_rise**2 + unit_run**2) - top_rail*sqrt(unit_rise**2 + unit_run**2) + unit_run*(bottom_rail + 2*guard_height - 2*panel_height + top_rail))/unit_run/2


def bottom_axis_height(x, bottom_gap, bottom_rail, unit_rise, unit_run):
    """Bottom rail's centre line over the lower landing [job's unit of length].

    Parameters
    ----------
    x : number
        Horizontal distance up-stair from the first nosing [job's unit of length], any.
    bottom_gap : number
        Plumb from the nosing line to under the bottom rail [job's unit of length], any.
    bottom_rail : number
        Depth of the bottom rail, square to its length [job's unit of length], above 0.
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    yb = ``bottom_gap + bottom_rail*sqrt(unit_rise**2 + unit_run**2)/unit_run/2 + unit_rise +
    unit_rise*x/unit_run`` with x = ``x``, v = ``bottom_gap``, hb = ``bottom_rail``, R =
    ``unit_rise``, G = ``unit_run``.
    Chained from: hypotenuse of a step; cosine of the rake; plumb depth of the bottom rail; nosing
    line; bottom rail axis.
    1 other root let go: unit_slope is above 0 in a stair.

    Examples
    --------
    >>> round(bottom_axis_height(8, 1, 1.6, 6, 8), 9)
    14.0
    """
    return bottom_gap + bottom_rail*sqrt(unit_rise**2 + unit_run**2)/unit_run/2 + unit_rise + unit_rise*x/unit_run


def top_axis_height(x, bottom_gap, panel_height, top_rail, bottom_rail, unit_rise, unit_run):
    """Top rail's centre line over the lower landing [job's unit of length].

    Parameters
    ----------
    x : number
        Horizontal distance up-stair from the first nosing [job's unit of length], any.
    bottom_gap : number
        Plumb from the nosing line to under the bottom rail [job's unit of length], any.
    panel_height : number
        Level panel, under its bottom rail to top of its top rail; not panel_height in the result
        [job's unit of length], above 0.
    top_rail : number
        Depth of the top rail, square to its length [job's unit of length], above 0.
    bottom_rail : number
        Depth of the bottom rail, square to its length [job's unit of length], above 0.
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    yt = ``bottom_gap - bottom_rail/2 + bottom_rail*sqrt(unit_rise**2 + unit_run**2)/unit_run/2 +
    panel_height - top_rail/2 + unit_rise + unit_rise*x/unit_run`` with x = ``x``, v =
    ``bottom_gap``, P = ``panel_height``, ht = ``top_rail``, hb = ``bottom_rail``, R =
    ``unit_rise``, G = ``unit_run``.
    Chained from: hypotenuse of a step; cosine of the rake; plumb depth of the bottom rail; nosing
    line; bottom rail axis; rail centre lines; top rail axis.
    1 other root let go: unit_slope is above 0 in a stair.

    Examples
    --------
    >>> round(top_axis_height(8, 1, 32, 1.6, 1.6, 6, 8), 9)
    44.4
    """
    return bottom_gap - bottom_rail/2 + bottom_rail*sqrt(unit_rise**2 + unit_run**2)/unit_run/2 + panel_height - top_rail/2 + unit_rise + unit_rise*x/unit_run


def pin_x_up(face_x, stand_off):
    """Pin up-stair of a post's face, from the first nosing [job's unit of length].

    Parameters
    ----------
    face_x : number
        Post face, from the section's x = 0 [job's unit of length], any.
    stand_off : number
        Post face to pin or cut face, square to the face [job's unit of length], 0 or more.

    Notes
    -----
    xu = ``face_x + stand_off`` with xf = ``face_x``, q0 = ``stand_off``.
    Chained from: pin up-stair of a face.

    Examples
    --------
    >>> round(pin_x_up(20, 1), 9)
    21
    """
    return face_x + stand_off


def pin_x_down(face_x, stand_off):
    """Pin down-stair of a post's face, from the first nosing [job's unit of length].

    Parameters
    ----------
    face_x : number
        Post face, from the section's x = 0 [job's unit of length], any.
    stand_off : number
        Post face to pin or cut face, square to the face [job's unit of length], 0 or more.

    Notes
    -----
    xd = ``face_x - stand_off`` with xf = ``face_x``, q0 = ``stand_off``.
    Chained from: pin down-stair of a face.

    Examples
    --------
    >>> round(pin_x_down(20, 1), 9)
    19
    """
    return face_x - stand_off


def bottom_hole_height(x, bottom_gap, bottom_rail, hole_reach, surface, unit_rise, unit_run):
    """Edge of a hole of the bottom rail's bracket over the post's surface [job's unit of length].

    Parameters
    ----------
    x : number
        Horizontal distance up-stair from the first nosing [job's unit of length], any.
    bottom_gap : number
        Plumb from the nosing line to under the bottom rail [job's unit of length], any.
    bottom_rail : number
        Depth of the bottom rail, square to its length [job's unit of length], above 0.
    hole_reach : number
        Edge of a bracket's hole from its pin, plumb, upwards [job's unit of length], any.
    surface : number
        Surface that a post stands on, over the lower landing [job's unit of length], 0 or more.
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    yhb = ``bottom_gap + bottom_rail*sqrt(unit_rise**2 + unit_run**2)/unit_run/2 + hole_reach -
    surface + unit_rise + unit_rise*x/unit_run`` with x = ``x``, v = ``bottom_gap``, hb =
    ``bottom_rail``, eh = ``hole_reach``, ys = ``surface``, R = ``unit_rise``, G = ``unit_run``.
    Chained from: hypotenuse of a step; cosine of the rake; plumb depth of the bottom rail; nosing
    line; bottom rail axis; hole of a bottom bracket.
    1 other root let go: unit_slope is above 0 in a stair.

    Examples
    --------
    >>> round(bottom_hole_height(0, 1, 1.6, -1, 2, 6, 8), 9)
    5.0
    """
    return bottom_gap + bottom_rail*sqrt(unit_rise**2 + unit_run**2)/unit_run/2 + hole_reach - surface + unit_rise + unit_rise*x/unit_run


def top_hole_height(x, bottom_gap, panel_height, top_rail, bottom_rail, hole_reach, surface, unit_rise, unit_run):
    """Edge of a hole of the top rail's bracket over the post's surface [job's unit of length].

    Parameters
    ----------
    x : number
        Horizontal distance up-stair from the first nosing [job's unit of length], any.
    bottom_gap : number
        Plumb from the nosing line to under the bottom rail [job's unit of length], any.
    panel_height : number
        Level panel, under its bottom rail to top of its top rail; not panel_height in the result
        [job's unit of length], above 0.
    top_rail : number
        Depth of the top rail, square to its length [job's unit of length], above 0.
    bottom_rail : number
        Depth of the bottom rail, square to its length [job's unit of length], above 0.
    hole_reach : number
        Edge of a bracket's hole from its pin, plumb, upwards [job's unit of length], any.
    surface : number
        Surface that a post stands on, over the lower landing [job's unit of length], 0 or more.
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    yht = ``bottom_gap - bottom_rail/2 + bottom_rail*sqrt(unit_rise**2 + unit_run**2)/unit_run/2 +
    hole_reach + panel_height - surface - top_rail/2 + unit_rise + unit_rise*x/unit_run`` with x =
    ``x``, v = ``bottom_gap``, P = ``panel_height``, ht = ``top_rail``, hb = ``bottom_rail``, eh =
    ``hole_reach``, ys = ``surface``, R = ``unit_rise``, G = ``unit_run``.
    Chained from: hypotenuse of a step; cosine of the rake; plumb depth of the bottom rail; nosing
    line; bottom rail axis; rail centre lines; top rail axis; hole of a top bracket.
    1 other root let go: unit_slope is above 0 in a stair.

    Examples
    --------
    >>> round(top_hole_height(0, 1, 32, 1.6, 1.6, 1, 2, 6, 8), 9)
    37.4
    """
    return bottom_gap - bottom_rail/2 + bottom_rail*sqrt(unit_rise**2 + unit_run**2)/unit_run/2 + hole_reach + panel_height - surface - top_rail/2 + unit_rise + unit_rise*x/unit_run


def over_hole(post_height, top_hole_height):
    """What is left of a post over a bracket's hole [job's unit of length].

    Parameters
    ----------
    post_height : number
        Post, from its own surface to its top [job's unit of length], above 0.
    top_hole_height : number
        Edge of a hole of the top rail's bracket over the post's surface [job's unit of length],
        any.

    Notes
    -----
    oh = ``post_height - top_hole_height`` with Z = ``post_height``, yht = ``top_hole_height``.
    Chained from: post over a hole.

    Examples
    --------
    >>> round(over_hole(40, 38), 9)
    2
    """
    return post_height - top_hole_height


def post_length(post_height, post_below):
    """Post from end to end [job's unit of length].

    Parameters
    ----------
    post_height : number
        Post, from its own surface to its top [job's unit of length], above 0.
    post_below : number
        Post below the surface that it stands beside [job's unit of length], 0 or more.

    Notes
    -----
    pl = ``post_below + post_height`` with Z = ``post_height``, pb = ``post_below``.
    Chained from: length of a post.

    Examples
    --------
    >>> round(post_length(40, 7), 9)
    47
    """
    return post_below + post_height


def under_hole(bottom_hole_height, post_below):
    """What is left of a post under a bracket's hole [job's unit of length].

    Parameters
    ----------
    bottom_hole_height : number
        Edge of a hole of the bottom rail's bracket over the post's surface [job's unit of
        length], any.
    post_below : number
        Post below the surface that it stands beside [job's unit of length], 0 or more.

    Notes
    -----
    uh = ``bottom_hole_height + post_below`` with yhb = ``bottom_hole_height``, pb =
    ``post_below``.
    Chained from: post under a hole.

    Examples
    --------
    >>> round(under_hole(-3, 7), 9)
    4
    """
    return bottom_hole_height + post_below


def post_height(x, reveal, surface, bottom_gap, panel_height, top_rail, bottom_rail, unit_rise, unit_run):
    """Post, from its own surface to its top [job's unit of length].

    Parameters
    ----------
    x : number
        Horizontal distance up-stair from the first nosing [job's unit of length], any.
    reveal : number
        Post top over the top rail carried on to the post's face [job's unit of length], 0 or
        more.
    surface : number
        Surface that a post stands on, over the lower landing [job's unit of length], 0 or more.
    bottom_gap : number
        Plumb from the nosing line to under the bottom rail [job's unit of length], any.
    panel_height : number
        Level panel, under its bottom rail to top of its top rail; not panel_height in the result
        [job's unit of length], above 0.
    top_rail : number
        Depth of the top rail, square to its length [job's unit of length], above 0.
    bottom_rail : number
        Depth of the bottom rail, square to its length [job's unit of length], above 0.
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    Z = ``bottom_gap - bottom_rail/2 + bottom_rail*sqrt(unit_rise**2 + unit_run**2)/unit_run/2 +
    panel_height + reveal - surface - top_rail/2 + top_rail*sqrt(unit_rise**2 +
    unit_run**2)/unit_run/2 + unit_rise + unit_rise*x/unit_run`` with x = ``x``, z = ``reveal``,
    ys = ``surface``, v = ``bottom_gap``, P = ``panel_height``, ht = ``top_rail``, hb =
    ``bottom_rail``, R = ``unit_rise``, G = ``unit_run``.
    Chained from: plumb depth of the bottom rail; rail centre lines; hypotenuse of a step; cosine
    of the rake; plumb depth of the top rail; racked height; guard height; nosing line; post
    height.
    1 other root let go: unit_slope is above 0 in a stair.

    Examples
    --------
    >>> round(post_height(8, 1, 6, 1, 32, 1.6, 1.6, 6, 8), 9)
    40.4
    """
    return bottom_gap - bottom_rail/2 + bottom_rail*sqrt(unit_rise**2 + unit_run**2)/unit_run/2 + panel_height + reveal - surface - top_rail/2 + top_rail*sqrt(unit_rise**2 + unit_run**2)/unit_run/2 + unit_rise + unit_rise*x/unit_run


def step_surface(step, unit_rise):
    """Surface that a post stands on, over the lower landing [job's unit of length].

    Parameters
    ----------
    step : number
        Steps above the lower landing [count], 0 or more.
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    ys = ``step*unit_rise`` with k = ``step``, R = ``unit_rise``.
    Chained from: surface of a step.

    Examples
    --------
    >>> round(step_surface(3, 7), 9)
    21
    """
    return step*unit_rise


def nosing_x(treads_in_front, unit_run):
    """Nosing in front of a step, from the first nosing [job's unit of length].

    Parameters
    ----------
    treads_in_front : number
        Treads that lie before the post's own surface [count], 0 or more.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    xk = ``treads_in_front*unit_run`` with k0 = ``treads_in_front``, G = ``unit_run``.
    Chained from: nosing of a step.

    Examples
    --------
    >>> round(nosing_x(2, 10), 9)
    20
    """
    return treads_in_front*unit_run


def plate_edge(centre, plate, nosing_x):
    """Base plate to the nosing in front of it [job's unit of length].

    Parameters
    ----------
    centre : number
        Post centre, from the first nosing [job's unit of length], any.
    plate : number
        Side of a square base plate [job's unit of length], above 0.
    nosing_x : number
        Nosing in front of a step, from the first nosing [job's unit of length], any.

    Notes
    -----
    ep = ``centre - nosing_x - plate/2`` with xc = ``centre``, B0 = ``plate``, xk = ``nosing_x``.
    Chained from: plate and nosing.

    Examples
    --------
    >>> round(plate_edge(26, 5, 20), 9)
    3.5
    """
    return centre - nosing_x - plate/2


def plate_edge_askew(centre, plate, nosing_x, skew):
    """Nearest corner of a base plate to an edge that it lies askew to [job's unit of length].

    Parameters
    ----------
    centre : number
        Post centre, from the first nosing [job's unit of length], any.
    plate : number
        Side of a square base plate [job's unit of length], above 0.
    nosing_x : number
        Nosing in front of a step, from the first nosing [job's unit of length], any.
    skew : number
        Plan angle between the rail and the post face's normal [degrees], 0 or more.

    Notes
    -----
    epa = ``centre - nosing_x - sqrt(2)*plate*sin(pi*(skew/180 + 1/4))/2`` with xc = ``centre``,
    B0 = ``plate``, xk = ``nosing_x``, φ = ``skew``.
    Chained from: plate askew to an edge.

    Examples
    --------
    >>> round(plate_edge_askew(26, 5, 20, 0), 9)
    3.5
    """
    return centre - nosing_x - sqrt(2)*plate*math.sin(math.pi*(skew/180 + 1/4))/2


def pin_slope(clear, pivot_offset, unit_rise, unit_run):
    """Pin to pin along the rail [job's unit of length].

    Parameters
    ----------
    clear : number
        Bay, post face to post face, measured level [job's unit of length], above 0.
    pivot_offset : number
        Post face to the bracket's pin, measured level [job's unit of length], 0 or more.
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    N = ``(clear - 2*pivot_offset)*sqrt(unit_rise**2 + unit_run**2)/unit_run`` with D = ``clear``,
    q = ``pivot_offset``, R = ``unit_rise``, G = ``unit_run``.
    Chained from: hypotenuse of a step; cosine of the rake; pin to pin.
    1 other root let go: unit_slope is above 0 in a stair.

    Examples
    --------
    >>> round(pin_slope(42, 1, 3, 4), 9)
    50.0
    """
    return (clear - 2*pivot_offset)*sqrt(unit_rise**2 + unit_run**2)/unit_run


def rail_length(clear, pivot_offset, rail_setback, unit_rise, unit_run):
    """Square-cut rail, end to end [job's unit of length].

    Parameters
    ----------
    clear : number
        Bay, post face to post face, measured level [job's unit of length], above 0.
    pivot_offset : number
        Post face to the bracket's pin, measured level [job's unit of length], 0 or more.
    rail_setback : number
        Pin to the square-cut rail end, along the rail [job's unit of length], 0 or more.
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    M = ``-2*rail_setback + (clear - 2*pivot_offset)*sqrt(unit_rise**2 + unit_run**2)/unit_run``
    with D = ``clear``, q = ``pivot_offset``, e = ``rail_setback``, R = ``unit_rise``, G =
    ``unit_run``.
    Chained from: hypotenuse of a step; cosine of the rake; pin to pin; rail between pins.
    1 other root let go: unit_slope is above 0 in a stair.

    Examples
    --------
    >>> round(rail_length(42, 1, 0.5, 3, 4), 9)
    49.0
    """
    return -2*rail_setback + (clear - 2*pivot_offset)*sqrt(unit_rise**2 + unit_run**2)/unit_run


def plumb_cut_length(clear, end_clearance, unit_rise, unit_run):
    """Plumb-cut rail along its axis, cut face to cut face [job's unit of length].

    Parameters
    ----------
    clear : number
        Bay, post face to post face, measured level [job's unit of length], above 0.
    end_clearance : number
        Post face to a plumb-cut rail's face, measured level [job's unit of length], 0 or more.
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    Mj = ``(clear - 2*end_clearance)*sqrt(unit_rise**2 + unit_run**2)/unit_run`` with D =
    ``clear``, j = ``end_clearance``, R = ``unit_rise``, G = ``unit_run``.
    Chained from: hypotenuse of a step; cosine of the rake; plumb-cut rail.
    1 other root let go: unit_slope is above 0 in a stair.

    Examples
    --------
    >>> round(plumb_cut_length(41, 0.5, 3, 4), 9)
    50.0
    """
    return (clear - 2*end_clearance)*sqrt(unit_rise**2 + unit_run**2)/unit_run


def stock_needed(clear, end_clearance, depth, unit_rise, unit_run):
    """Stock that a plumb-cut rail takes, tip to tip [job's unit of length].

    Parameters
    ----------
    clear : number
        Bay, post face to post face, measured level [job's unit of length], above 0.
    end_clearance : number
        Post face to a plumb-cut rail's face, measured level [job's unit of length], 0 or more.
    depth : number
        Depth of a rail, square to its length [job's unit of length], above 0.
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    Mn = ``(depth*unit_rise + (clear - 2*end_clearance)*sqrt(unit_rise**2 +
    unit_run**2))/unit_run`` with D = ``clear``, j = ``end_clearance``, h = ``depth``, R =
    ``unit_rise``, G = ``unit_run``.
    Chained from: cosine of the rake; plumb-cut rail; hypotenuse of a step; sine of the rake;
    stock for a plumb-cut rail.
    1 other root let go: unit_slope is above 0 in a stair.

    Examples
    --------
    >>> round(stock_needed(41, 0.5, 2, 3, 4), 9)
    51.5
    """
    return (depth*unit_rise + (clear - 2*end_clearance)*sqrt(unit_rise**2 + unit_run**2))/unit_run


def corner_clearance(pivot_offset, rail_setback, depth, unit_rise, unit_run):
    """Post face to the nearest corner of a square-cut rail end [job's unit of length].

    Parameters
    ----------
    pivot_offset : number
        Post face to the bracket's pin, measured level [job's unit of length], 0 or more.
    rail_setback : number
        Pin to the square-cut rail end, along the rail [job's unit of length], 0 or more.
    depth : number
        Depth of a rail, square to its length [job's unit of length], above 0.
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    k = ``(-depth*unit_rise/2 + pivot_offset*sqrt(unit_rise**2 + unit_run**2) +
    rail_setback*unit_run)/sqrt(unit_rise**2 + unit_run**2)`` with q = ``pivot_offset``, e =
    ``rail_setback``, h = ``depth``, R = ``unit_rise``, G = ``unit_run``.
    Chained from: cosine of the rake; hypotenuse of a step; sine of the rake; rail corner and
    post.
    1 other root let go: unit_slope is above 0 in a stair.

    Examples
    --------
    >>> round(corner_clearance(1, 1, 2, 3, 4), 9)
    1.2
    """
    return (-depth*unit_rise/2 + pivot_offset*sqrt(unit_rise**2 + unit_run**2) + rail_setback*unit_run)/sqrt(unit_rise**2 + unit_run**2)


def end_gap(pivot_offset, rail_setback, hole_position, baluster, unit_rise, unit_run):
    """Post face to the nearest baluster's face, square-cut rail [job's unit of length].

    Parameters
    ----------
    pivot_offset : number
        Post face to the bracket's pin, measured level [job's unit of length], 0 or more.
    rail_setback : number
        Pin to the square-cut rail end, along the rail [job's unit of length], 0 or more.
    hole_position : number
        Rail end to a baluster's centre, along the rail [job's unit of length], any.
    baluster : number
        Width of a baluster in elevation [job's unit of length], above 0.
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    g = ``-baluster/2 + hole_position*unit_run/sqrt(unit_rise**2 + unit_run**2) + pivot_offset +
    rail_setback*unit_run/sqrt(unit_rise**2 + unit_run**2)`` with q = ``pivot_offset``, e =
    ``rail_setback``, u = ``hole_position``, b = ``baluster``, R = ``unit_rise``, G =
    ``unit_run``.
    Chained from: hypotenuse of a step; cosine of the rake; end gap, square-cut rail.
    1 other root let go: unit_slope is above 0 in a stair.

    Examples
    --------
    >>> round(end_gap(1, 1, 4, 1, 3, 4), 9)
    4.5
    """
    return -baluster/2 + hole_position*unit_run/sqrt(unit_rise**2 + unit_run**2) + pivot_offset + rail_setback*unit_run/sqrt(unit_rise**2 + unit_run**2)


def plumb_cut_end_gap(end_clearance, hole_position, baluster, unit_rise, unit_run):
    """Post face to the nearest baluster's face, plumb-cut rail [job's unit of length].

    Parameters
    ----------
    end_clearance : number
        Post face to a plumb-cut rail's face, measured level [job's unit of length], 0 or more.
    hole_position : number
        Rail end to a baluster's centre, along the rail [job's unit of length], any.
    baluster : number
        Width of a baluster in elevation [job's unit of length], above 0.
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    gj = ``-baluster/2 + end_clearance + hole_position*unit_run/sqrt(unit_rise**2 + unit_run**2)``
    with j = ``end_clearance``, u = ``hole_position``, b = ``baluster``, R = ``unit_rise``, G =
    ``unit_run``.
    Chained from: hypotenuse of a step; cosine of the rake; end gap, plumb-cut rail.
    1 other root let go: unit_slope is above 0 in a stair.

    Examples
    --------
    >>> round(plumb_cut_end_gap(0.5, 5, 1, 3, 4), 9)
    4.0
    """
    return -baluster/2 + end_clearance + hole_position*unit_run/sqrt(unit_rise**2 + unit_run**2)


def trimmed_end_gap(hole_in_stock, stock, clear, baluster, unit_rise, unit_run):
    """Post face to the nearest baluster's face, square-cut rail [job's unit of length].

    Parameters
    ----------
    hole_in_stock : number
        Uncut rail end to a baluster's centre, along the rail [job's unit of length], any.
    stock : number
        Rail length as sold [job's unit of length], above 0.
    clear : number
        Bay, post face to post face, measured level [job's unit of length], above 0.
    baluster : number
        Width of a baluster in elevation [job's unit of length], above 0.
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    g = ``-baluster/2 + clear/2 + hole_in_stock*unit_run/sqrt(unit_rise**2 + unit_run**2) -
    stock*unit_run/sqrt(unit_rise**2 + unit_run**2)/2`` with m = ``hole_in_stock``, L0 =
    ``stock``, D = ``clear``, b = ``baluster``, R = ``unit_rise``, G = ``unit_run``.
    Chained from: hypotenuse of a step; cosine of the rake; pin to pin; rail between pins; even
    trim, square-cut rail; end gap, square-cut rail.
    1 other root let go: unit_slope is above 0 in a stair.

    Examples
    --------
    >>> round(trimmed_end_gap(6, 52, 42, 1, 3, 4), 9)
    4.5
    """
    return -baluster/2 + clear/2 + hole_in_stock*unit_run/sqrt(unit_rise**2 + unit_run**2) - stock*unit_run/sqrt(unit_rise**2 + unit_run**2)/2


def swing(unit_rise, unit_run):
    """Turn of a bracket from level [degrees].

    Parameters
    ----------
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    ψ = ``180*atan(unit_rise/unit_run)/pi`` with R = ``unit_rise``, G = ``unit_run``.
    Chained from: slope of the nosing line; bracket swing.

    Examples
    --------
    >>> round(swing(1, 1), 9)
    45.0
    """
    return 180*math.atan(unit_rise/unit_run)/math.pi


def angle_low(unit_rise, unit_run):
    """Above the rail, post to rail, at the lower post [degrees].

    Parameters
    ----------
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    α = ``-180*atan(unit_rise/unit_run)/pi + 90`` with R = ``unit_rise``, G = ``unit_run``.
    Chained from: slope of the nosing line; bracket swing; angle at the lower post.

    Examples
    --------
    >>> round(angle_low(1, 1), 9)
    45.0
    """
    return -180*math.atan(unit_rise/unit_run)/math.pi + 90


def angle_high(unit_rise, unit_run):
    """Above the rail, post to rail, at the upper post [degrees].

    Parameters
    ----------
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    β = ``180*atan(unit_rise/unit_run)/pi + 90`` with R = ``unit_rise``, G = ``unit_run``.
    Chained from: slope of the nosing line; bracket swing; angle at the upper post.

    Examples
    --------
    >>> round(angle_high(1, 1), 9)
    135.0
    """
    return 180*math.atan(unit_rise/unit_run)/math.pi + 90


def true_angle(rake, skew):
    """True angle between the rail and the post face's normal [degrees].

    Parameters
    ----------
    rake : number
        Angle of the nosing line from level [degrees], 0 or more.
    skew : number
        Plan angle between the rail and the post face's normal [degrees], 0 or more.

    Notes
    -----
    τ = ``180*acos(cos(pi*rake/180)*cos(pi*skew/180))/pi`` with θ = ``rake``, φ = ``skew``.
    Chained from: rail askew to the post.
    1 other root let go: true_angle is 0 or more in a stair.

    Examples
    --------
    >>> round(true_angle(0, 30), 9)
    30.0
    """
    return 180*math.acos(math.cos(math.pi*rake/180)*math.cos(math.pi*skew/180))/math.pi


def half_along(post_width, skew):
    """Post centre to its face, level along a rail that meets it askew [job's unit of length].

    Parameters
    ----------
    post_width : number
        Width of a post [job's unit of length], above 0.
    skew : number
        Plan angle between the rail and the post face's normal [degrees], 0 or more.

    Notes
    -----
    ca = ``post_width/cos(pi*skew/180)/2`` with c = ``post_width``, φ = ``skew``.
    Chained from: post askew to a rail.

    Examples
    --------
    >>> round(half_along(4, 0), 9)
    2.0
    """
    return post_width/math.cos(math.pi*skew/180)/2


def bay_clear(centre_distance, low_reach, high_reach):
    """Bay, post face to post face, measured level [job's unit of length].

    Parameters
    ----------
    centre_distance : number
        From post centre to post centre [job's unit of length], above 0.
    low_reach : number
        Lower post's centre to its face, along the rail [job's unit of length], 0 or more.
    high_reach : number
        Upper post's centre to its face, along the rail [job's unit of length], 0 or more.

    Notes
    -----
    D = ``centre_distance - high_reach - low_reach`` with A = ``centre_distance``, cl =
    ``low_reach``, cu = ``high_reach``.
    Chained from: clear bay.

    Examples
    --------
    >>> round(bay_clear(48, 2, 1), 9)
    45
    """
    return centre_distance - high_reach - low_reach


def spacing_along(centre_distance, unit_rise, unit_run):
    """From post centre to post centre, along the rake [job's unit of length].

    Parameters
    ----------
    centre_distance : number
        From post centre to post centre [job's unit of length], above 0.
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    Aa = ``centre_distance*sqrt(unit_rise**2 + unit_run**2)/unit_run`` with A =
    ``centre_distance``, R = ``unit_rise``, G = ``unit_run``.
    Chained from: hypotenuse of a step; cosine of the rake; posts along the rake.
    1 other root let go: unit_slope is above 0 in a stair.

    Examples
    --------
    >>> round(spacing_along(48, 3, 4), 9)
    60.0
    """
    return centre_distance*sqrt(unit_rise**2 + unit_run**2)/unit_run


def face_x(centre, low_reach):
    """Post face, from the section's x = 0 [job's unit of length].

    Parameters
    ----------
    centre : number
        Post centre, from the first nosing [job's unit of length], any.
    low_reach : number
        Lower post's centre to its face, along the rail [job's unit of length], 0 or more.

    Notes
    -----
    xf = ``centre + low_reach`` with xc = ``centre``, cl = ``low_reach``.
    Chained from: post face.

    Examples
    --------
    >>> round(face_x(10, 2), 9)
    12
    """
    return centre + low_reach


def stand_off_along(stand_off, skew):
    """Post face to pin or cut face, level along a rail that meets it askew [job's unit of length].

    Parameters
    ----------
    stand_off : number
        Post face to pin or cut face, square to the face [job's unit of length], 0 or more.
    skew : number
        Plan angle between the rail and the post face's normal [degrees], 0 or more.

    Notes
    -----
    qa = ``stand_off/cos(pi*skew/180)`` with q0 = ``stand_off``, φ = ``skew``.
    Chained from: stand-off askew.

    Examples
    --------
    >>> round(stand_off_along(1, 60), 9)
    2.0
    """
    return stand_off/math.cos(math.pi*skew/180)


def mean_stand_off(stand_off, skew):
    """Mean of the two stand-offs of a rail that meets its lower post askew [job's unit of length].

    Parameters
    ----------
    stand_off : number
        Post face to pin or cut face, square to the face [job's unit of length], 0 or more.
    skew : number
        Plan angle between the rail and the post face's normal [degrees], 0 or more.

    Notes
    -----
    qm = ``stand_off*(1 + 1/cos(pi*skew/180))/2`` with q0 = ``stand_off``, φ = ``skew``.
    Chained from: stand-off askew; mean stand-off.

    Examples
    --------
    >>> round(mean_stand_off(2, 60), 9)
    3.0
    """
    return stand_off*(1 + 1/math.cos(math.pi*skew/180))/2


def hole_position(hole_in_stock, stock, rail_length):
    """Rail end to a baluster's centre, along the rail [job's unit of length].

    Parameters
    ----------
    hole_in_stock : number
        Uncut rail end to a baluster's centre, along the rail [job's unit of length], any.
    stock : number
        Rail length as sold [job's unit of length], above 0.
    rail_length : number
        Square-cut rail, end to end [job's unit of length], above 0.

    Notes
    -----
    u = ``(2*hole_in_stock + rail_length - stock)/2`` with m = ``hole_in_stock``, L0 = ``stock``,
    M = ``rail_length``.
    Chained from: even trim, square-cut rail.

    Examples
    --------
    >>> round(hole_position(10, 60, 50), 9)
    5.0
    """
    return (2*hole_in_stock + rail_length - stock)/2


def skewed_corner_clearance(stand_off, rail_setback, depth, rail_width, skew, unit_rise, unit_run):
    """Post face to the nearest corner of a rail end that meets it askew, square to the face [job's unit of length].

    Parameters
    ----------
    stand_off : number
        Post face to pin or cut face, square to the face [job's unit of length], 0 or more.
    rail_setback : number
        Pin to the square-cut rail end, along the rail [job's unit of length], 0 or more.
    depth : number
        Depth of a rail, square to its length [job's unit of length], above 0.
    rail_width : number
        Width of a rail seen from above [job's unit of length], 0 or more.
    skew : number
        Plan angle between the rail and the post face's normal [degrees], 0 or more.
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    ks = ``-depth*unit_rise*cos(pi*skew/180)/sqrt(unit_rise**2 + unit_run**2)/2 +
    rail_setback*unit_run*cos(pi*skew/180)/sqrt(unit_rise**2 + unit_run**2) -
    rail_width*sin(pi*skew/180)/2 + stand_off`` with q0 = ``stand_off``, e = ``rail_setback``, h =
    ``depth``, w = ``rail_width``, φ = ``skew``, R = ``unit_rise``, G = ``unit_run``.
    Chained from: cosine of the rake; hypotenuse of a step; sine of the rake; rail corner and
    post, askew.
    1 other root let go: unit_slope is above 0 in a stair.

    Examples
    --------
    >>> round(skewed_corner_clearance(2, 1, 2, 0, 0, 3, 4), 9)
    2.2
    """
    return -depth*unit_rise*math.cos(math.pi*skew/180)/sqrt(unit_rise**2 + unit_run**2)/2 + rail_setback*unit_run*math.cos(math.pi*skew/180)/sqrt(unit_rise**2 + unit_run**2) - rail_width*math.sin(math.pi*skew/180)/2 + stand_off


def skewed_stock_needed(plumb_cut_length, depth, rail_width, skew, unit_rise, unit_run):
    """Stock for a plumb-cut rail that meets its lower post askew, slanted tips included [job's unit of length].

    Parameters
    ----------
    plumb_cut_length : number
        Plumb-cut rail along its axis, cut face to cut face [job's unit of length], above 0.
    depth : number
        Depth of a rail, square to its length [job's unit of length], above 0.
    rail_width : number
        Width of a rail seen from above [job's unit of length], 0 or more.
    skew : number
        Plan angle between the rail and the post face's normal [degrees], 0 or more.
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    Ls = ``(depth*unit_rise + plumb_cut_length*unit_run + rail_width*sqrt(unit_rise**2 +
    unit_run**2)*tan(pi*skew/180)/2)/unit_run`` with Mj = ``plumb_cut_length``, h = ``depth``, w =
    ``rail_width``, φ = ``skew``, R = ``unit_rise``, G = ``unit_run``.
    Chained from: cosine of the rake; hypotenuse of a step; sine of the rake; stock for a
    plumb-cut rail, askew.
    1 other root let go: unit_slope is above 0 in a stair.

    Examples
    --------
    >>> round(skewed_stock_needed(50, 2, 2, 45, 3, 4), 9)
    52.75
    """
    return (depth*unit_rise + plumb_cut_length*unit_run + rail_width*sqrt(unit_rise**2 + unit_run**2)*math.tan(math.pi*skew/180)/2)/unit_run


def saw_miter(skew, unit_rise, unit_run):
    """Turn of the saw on its table from a square cut, the rail's underside on the table [degrees].

    Parameters
    ----------
    skew : number
        Plan angle between the rail and the post face's normal [degrees], 0 or more.
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    μ = ``180*atan(sqrt(unit_rise**2 + unit_run**2)*tan(pi*skew/180)/unit_run)/pi`` with φ =
    ``skew``, R = ``unit_rise``, G = ``unit_run``.
    Chained from: hypotenuse of a step; cosine of the rake; saw miter, underside on the table.
    1 other root let go: unit_slope is above 0 in a stair.

    Examples
    --------
    >>> round(saw_miter(45, 0, 1), 9)
    45.0
    """
    return 180*math.atan(sqrt(unit_rise**2 + unit_run**2)*math.tan(math.pi*skew/180)/unit_run)/math.pi


def saw_bevel(skew, unit_rise, unit_run):
    """Tilt of the blade from plumb, the rail's underside on the table [degrees].

    Parameters
    ----------
    skew : number
        Plan angle between the rail and the post face's normal [degrees], 0 or more.
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    λ = ``180*atan(unit_rise*cos(pi*skew/180)/sqrt(unit_rise**2*sin(pi*skew/180)**2 +
    unit_run**2))/pi`` with φ = ``skew``, R = ``unit_rise``, G = ``unit_run``.
    Chained from: cosine of the rake; hypotenuse of a step; sine of the rake; saw bevel, underside
    on the table.
    1 other root let go: unit_slope is above 0 in a stair.

    Examples
    --------
    >>> round(saw_bevel(0, 1, 1), 9)
    45.0
    """
    return 180*math.atan(unit_rise*math.cos(math.pi*skew/180)/sqrt(unit_rise**2*math.sin(math.pi*skew/180)**2 + unit_run**2))/math.pi


def corner_circle(bottom_gap, corner_base, unit_rise, unit_run):
    """Diameter of the largest circle in the corner under the rail [job's unit of length].

    Parameters
    ----------
    bottom_gap : number
        Plumb from the nosing line to under the bottom rail [job's unit of length], any.
    corner_base : number
        Walking surface from under the nosing line's crossing to the upright face [job's unit of
        length], above 0.
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    Ø = ``(2*bottom_gap*unit_run + 2*corner_base*unit_rise)/(unit_rise + unit_run +
    sqrt(unit_rise**2 + unit_run**2))`` with v = ``bottom_gap``, B = ``corner_base``, R =
    ``unit_rise``, G = ``unit_run``.
    Chained from: hypotenuse of a step; cosine of the rake; circle in the corner under the rail.
    1 other root let go: unit_slope is above 0 in a stair.

    Examples
    --------
    >>> round(corner_circle(0, 12, 9, 12), 9)
    6.0
    """
    return (2*bottom_gap*unit_run + 2*corner_base*unit_rise)/(unit_rise + unit_run + sqrt(unit_rise**2 + unit_run**2))


def bottom_gap_for_corner_circle(corner_circle, corner_base, unit_rise, unit_run):
    """Plumb from the nosing line to under the bottom rail [job's unit of length].

    Parameters
    ----------
    corner_circle : number
        Diameter of the largest circle in the corner under the rail [job's unit of length], any.
    corner_base : number
        Walking surface from under the nosing line's crossing to the upright face [job's unit of
        length], above 0.
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    v = ``(-2*corner_base*unit_rise + corner_circle*unit_rise + corner_circle*unit_run +
    corner_circle*sqrt(unit_rise**2 + unit_run**2))/unit_run/2`` with Ø = ``corner_circle``, B =
    ``corner_base``, R = ``unit_rise``, G = ``unit_run``.
    Chained from: hypotenuse of a step; cosine of the rake; circle in the corner under the rail.
    1 other root let go: unit_slope is above 0 in a stair.

    Examples
    --------
    >>> round(bottom_gap_for_corner_circle(6, 10, 7.5, 10), 9)
    1.5
    """
    return (-2*corner_base*unit_rise + corner_circle*unit_rise + corner_circle*unit_run + corner_circle*sqrt(unit_rise**2 + unit_run**2))/unit_run/2


def corner_square(bottom_gap, corner_base, unit_rise, unit_run):
    """Edge of the square in the corner of surface and upright face [job's unit of length].

    Parameters
    ----------
    bottom_gap : number
        Plumb from the nosing line to under the bottom rail [job's unit of length], any.
    corner_base : number
        Walking surface from under the nosing line's crossing to the upright face [job's unit of
        length], above 0.
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    a = ``(bottom_gap*unit_run + corner_base*unit_rise)/(unit_rise + unit_run)`` with v =
    ``bottom_gap``, B = ``corner_base``, R = ``unit_rise``, G = ``unit_run``.
    Chained from: square in the corner under the rail.

    Examples
    --------
    >>> round(corner_square(0, 14, 3, 4), 9)
    6.0
    """
    return (bottom_gap*unit_run + corner_base*unit_rise)/(unit_rise + unit_run)


def bottom_gap_for_corner_square(corner_square, corner_base, unit_rise, unit_run):
    """Plumb from the nosing line to under the bottom rail [job's unit of length].

    Parameters
    ----------
    corner_square : number
        Edge of the square in the corner of surface and upright face [job's unit of length], above
        0.
    corner_base : number
        Walking surface from under the nosing line's crossing to the upright face [job's unit of
        length], above 0.
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    v = ``(-corner_base*unit_rise + corner_square*unit_rise + corner_square*unit_run)/unit_run``
    with a = ``corner_square``, B = ``corner_base``, R = ``unit_rise``, G = ``unit_run``.
    Chained from: square in the corner under the rail.

    Examples
    --------
    >>> round(bottom_gap_for_corner_square(6, 10, 3, 4), 9)
    3.0
    """
    return (-corner_base*unit_rise + corner_square*unit_rise + corner_square*unit_run)/unit_run


def strip_opening(bottom_gap, stringer_margin, unit_rise, unit_run):
    """Square height of the strip over a closed stringer [job's unit of length].

    Parameters
    ----------
    bottom_gap : number
        Plumb from the nosing line to under the bottom rail [job's unit of length], any.
    stringer_margin : number
        Closed stringer's top edge, plumb above the nosing line [job's unit of length], any.
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    o = ``unit_run*(bottom_gap - stringer_margin)/sqrt(unit_rise**2 + unit_run**2)`` with v =
    ``bottom_gap``, m = ``stringer_margin``, R = ``unit_rise``, G = ``unit_run``.
    Chained from: hypotenuse of a step; cosine of the rake; strip over a closed stringer.
    1 other root let go: unit_slope is above 0 in a stair.

    Examples
    --------
    >>> round(strip_opening(7, 2, 3, 4), 9)
    4.0
    """
    return unit_run*(bottom_gap - stringer_margin)/sqrt(unit_rise**2 + unit_run**2)


def bottom_gap_for_strip(strip_opening, stringer_margin, unit_rise, unit_run):
    """Plumb from the nosing line to under the bottom rail [job's unit of length].

    Parameters
    ----------
    strip_opening : number
        Square height of the strip over a closed stringer [job's unit of length], any.
    stringer_margin : number
        Closed stringer's top edge, plumb above the nosing line [job's unit of length], any.
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    v = ``stringer_margin + strip_opening*sqrt(unit_rise**2 + unit_run**2)/unit_run`` with o =
    ``strip_opening``, m = ``stringer_margin``, R = ``unit_rise``, G = ``unit_run``.
    Chained from: hypotenuse of a step; cosine of the rake; strip over a closed stringer.
    1 other root let go: unit_slope is above 0 in a stair.

    Examples
    --------
    >>> round(bottom_gap_for_strip(4, 2, 3, 4), 9)
    7.0
    """
    return stringer_margin + strip_opening*sqrt(unit_rise**2 + unit_run**2)/unit_run


def bottom_gap_over_filler(clear_gap, filler):
    """Plumb from the nosing line to under the bottom rail [job's unit of length].

    Parameters
    ----------
    clear_gap : number
        Bottom gap that a strip under the rail leaves open [job's unit of length], any.
    filler : number
        Depth of a strip under the bottom rail [job's unit of length], 0 or more.

    Notes
    -----
    v = ``clear_gap + filler`` with vc = ``clear_gap``, hf = ``filler``.
    Chained from: strip under the rail.

    Examples
    --------
    >>> round(bottom_gap_over_filler(2, 1), 9)
    3
    """
    return clear_gap + filler


def bottom_gap_over_front(front_gap, front_lift):
    """Plumb from the nosing line to under the bottom rail [job's unit of length].

    Parameters
    ----------
    front_gap : number
        Rail's underside over the front edge of a step [job's unit of length], any.
    front_lift : number
        Nosing line over the front edge of a step, plumb [job's unit of length], 0 or more.

    Notes
    -----
    v = ``front_gap - front_lift`` with vf = ``front_gap``, vl = ``front_lift``.
    Chained from: front edge under its line.

    Examples
    --------
    >>> round(bottom_gap_over_front(2, 0.5), 9)
    1.5
    """
    return front_gap - front_lift


def strip_ball(bottom_gap, stringer_margin, side_gap, unit_rise, unit_run):
    """Largest ball between two parallel edges in two planes [job's unit of length].

    Parameters
    ----------
    bottom_gap : number
        Plumb from the nosing line to under the bottom rail [job's unit of length], any.
    stringer_margin : number
        Closed stringer's top edge, plumb above the nosing line [job's unit of length], any.
    side_gap : number
        Tread ends or stringer face to the guard's plane [job's unit of length], 0 or more.
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    Øs = ``sqrt(side_gap**2*(unit_rise**2 + unit_run**2) + unit_run**2*(bottom_gap -
    stringer_margin)**2)/sqrt(unit_rise**2 + unit_run**2)`` with v = ``bottom_gap``, m =
    ``stringer_margin``, wg = ``side_gap``, R = ``unit_rise``, G = ``unit_run``.
    Chained from: hypotenuse of a step; cosine of the rake; strip over a closed stringer; gap of a
    strip; ball between two edges.
    2 other roots let go: strip_ball is above 0 in a stair; unit_slope is above 0 in a stair.

    Examples
    --------
    >>> round(strip_ball(7, 2, 3, 3, 4), 9)
    5.0
    """
    return sqrt(side_gap**2*(unit_rise**2 + unit_run**2) + unit_run**2*(bottom_gap - stringer_margin)**2)/sqrt(unit_rise**2 + unit_run**2)


def flat_gap_for_ball(strip_ball, side_gap):
    """Between two parallel edges, square to them, in elevation [job's unit of length].

    Parameters
    ----------
    strip_ball : number
        Largest ball between two parallel edges in two planes [job's unit of length], above 0.
    side_gap : number
        Tread ends or stringer face to the guard's plane [job's unit of length], 0 or more.

    Notes
    -----
    d0 = ``sqrt(-side_gap**2 + strip_ball**2)`` with Øs = ``strip_ball``, wg = ``side_gap``.
    Chained from: ball between two edges.
    1 other root let go: flat_gap is above 0 in a stair.

    Examples
    --------
    >>> round(flat_gap_for_ball(5, 3), 9)
    4.0
    """
    return sqrt(-side_gap**2 + strip_ball**2)


def stair_reach(ball_radius, ball_out):
    """How far that ball's centre keeps off the stair, in elevation [job's unit of length].

    Parameters
    ----------
    ball_radius : number
        Ball on its way past the stair and the guard [job's unit of length], above 0.
    ball_out : number
        That ball's centre, beyond the tread ends [job's unit of length], 0 or more.

    Notes
    -----
    A = ``sqrt(-ball_out**2 + ball_radius**2)`` with rb = ``ball_radius``, zb = ``ball_out``.
    Chained from: reach at the stair.
    1 other root let go: stair_reach is 0 or more in a stair.

    Examples
    --------
    >>> round(stair_reach(5, 3), 9)
    4.0
    """
    return sqrt(-ball_out**2 + ball_radius**2)


def guard_reach(ball_radius, side_gap, ball_out):
    """How far that ball's centre keeps off the guard, in elevation [job's unit of length].

    Parameters
    ----------
    ball_radius : number
        Ball on its way past the stair and the guard [job's unit of length], above 0.
    side_gap : number
        Tread ends or stringer face to the guard's plane [job's unit of length], 0 or more.
    ball_out : number
        That ball's centre, beyond the tread ends [job's unit of length], 0 or more.

    Notes
    -----
    Bg = ``sqrt((-ball_out + ball_radius + side_gap)*(ball_out + ball_radius - side_gap))`` with
    rb = ``ball_radius``, wg = ``side_gap``, zb = ``ball_out``.
    Chained from: reach at the guard.
    1 other root let go: guard_reach is 0 or more in a stair.

    Examples
    --------
    >>> round(guard_reach(5, 7, 3), 9)
    3.0
    """
    return sqrt((-ball_out + ball_radius + side_gap)*(ball_out + ball_radius - side_gap))


def bottom_gap_for_corner_ball(stair_reach, guard_reach, corner_base, unit_rise, unit_run):
    """Plumb from the nosing line to under the bottom rail [job's unit of length].

    Parameters
    ----------
    stair_reach : number
        How far that ball's centre keeps off the stair, in elevation [job's unit of length], 0 or
        more.
    guard_reach : number
        How far that ball's centre keeps off the guard, in elevation [job's unit of length], 0 or
        more.
    corner_base : number
        Walking surface from under the nosing line's crossing to the upright face [job's unit of
        length], above 0.
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    v = ``(-corner_base*unit_rise + guard_reach*sqrt(unit_rise**2 + unit_run**2) +
    stair_reach*unit_rise + stair_reach*unit_run)/unit_run`` with A = ``stair_reach``, Bg =
    ``guard_reach``, B = ``corner_base``, R = ``unit_rise``, G = ``unit_run``.
    Chained from: hypotenuse of a step; cosine of the rake; ball in the corner under the rail.
    1 other root let go: unit_slope is above 0 in a stair.

    Examples
    --------
    >>> round(bottom_gap_for_corner_ball(2, 1.6, 6, 3, 4), 9)
    1.0
    """
    return (-corner_base*unit_rise + guard_reach*sqrt(unit_rise**2 + unit_run**2) + stair_reach*unit_rise + stair_reach*unit_run)/unit_run


def underside_slot(pivot_offset, rail_setback, depth, unit_rise, unit_run):
    """Lower post's face to the lower corner of a square-cut rail end, measured level [job's unit of length].

    Parameters
    ----------
    pivot_offset : number
        Post face to the bracket's pin, measured level [job's unit of length], 0 or more.
    rail_setback : number
        Pin to the square-cut rail end, along the rail [job's unit of length], 0 or more.
    depth : number
        Depth of a rail, square to its length [job's unit of length], above 0.
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    ku = ``(depth*unit_rise/2 + pivot_offset*sqrt(unit_rise**2 + unit_run**2) +
    rail_setback*unit_run)/sqrt(unit_rise**2 + unit_run**2)`` with q = ``pivot_offset``, e =
    ``rail_setback``, h = ``depth``, R = ``unit_rise``, G = ``unit_run``.
    Chained from: cosine of the rake; hypotenuse of a step; sine of the rake; slot under a
    square-cut rail.
    1 other root let go: unit_slope is above 0 in a stair.

    Examples
    --------
    >>> round(underside_slot(1, 1, 2, 3, 4), 9)
    2.4
    """
    return (depth*unit_rise/2 + pivot_offset*sqrt(unit_rise**2 + unit_run**2) + rail_setback*unit_run)/sqrt(unit_rise**2 + unit_run**2)


def panel_inner(panel_height, top_rail, bottom_rail, unit_rise, unit_run):
    """Bottom rail's top to top rail's underside, measured plumb [job's unit of length].

    Parameters
    ----------
    panel_height : number
        Level panel, under its bottom rail to top of its top rail; not panel_height in the result
        [job's unit of length], above 0.
    top_rail : number
        Depth of the top rail, square to its length [job's unit of length], above 0.
    bottom_rail : number
        Depth of the bottom rail, square to its length [job's unit of length], above 0.
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    Pi = ``(-bottom_rail*sqrt(unit_rise**2 + unit_run**2) - top_rail*sqrt(unit_rise**2 +
    unit_run**2) + unit_run*(-bottom_rail + 2*panel_height - top_rail))/unit_run/2`` with P =
    ``panel_height``, ht = ``top_rail``, hb = ``bottom_rail``, R = ``unit_rise``, G =
    ``unit_run``.
    Chained from: plumb depth of the bottom rail; rail centre lines; hypotenuse of a step; cosine
    of the rake; plumb depth of the top rail; between the rails.
    1 other root let go: unit_slope is above 0 in a stair.

    Examples
    --------
    >>> round(panel_inner(32, 2, 2, 3, 4), 9)
    27.5
    """
    return (-bottom_rail*sqrt(unit_rise**2 + unit_run**2) - top_rail*sqrt(unit_rise**2 + unit_run**2) + unit_run*(-bottom_rail + 2*panel_height - top_rail))/unit_run/2


def end_back(depth, unit_rise, unit_run):
    """How far a square rail end leans back, measured level [job's unit of length].

    Parameters
    ----------
    depth : number
        Depth of a rail, square to its length [job's unit of length], above 0.
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    hx = ``depth*unit_rise/sqrt(unit_rise**2 + unit_run**2)`` with h = ``depth``, R =
    ``unit_rise``, G = ``unit_run``.
    Chained from: hypotenuse of a step; sine of the rake; square end leans back.
    1 other root let go: unit_slope is above 0 in a stair.

    Examples
    --------
    >>> round(end_back(2, 3, 4), 9)
    1.2
    """
    return depth*unit_rise/sqrt(unit_rise**2 + unit_run**2)


def end_up(depth, unit_rise, unit_run):
    """Height of a square rail end, measured plumb [job's unit of length].

    Parameters
    ----------
    depth : number
        Depth of a rail, square to its length [job's unit of length], above 0.
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    hy = ``depth*unit_run/sqrt(unit_rise**2 + unit_run**2)`` with h = ``depth``, R =
    ``unit_rise``, G = ``unit_run``.
    Chained from: hypotenuse of a step; cosine of the rake; square end rises.
    1 other root let go: unit_slope is above 0 in a stair.

    Examples
    --------
    >>> round(end_up(2, 3, 4), 9)
    1.6
    """
    return depth*unit_run/sqrt(unit_rise**2 + unit_run**2)


def treads_from_risers(risers, flush_tread):
    """Number of treads [count].

    Parameters
    ----------
    risers : number
        Number of risers [count], above 0.
    flush_tread : number
        1 where the last tread is flush with the upper landing, 0 where the landing takes its
        place [count], 0 or more.

    Notes
    -----
    T = ``flush_tread + risers - 1`` with n = ``risers``, f = ``flush_tread``.
    Chained from: treads between risers.
    """
    return flush_tread + risers - 1


def risers_from_treads(treads, flush_tread):
    """Number of risers [count].

    Parameters
    ----------
    treads : number
        Number of treads [count], above 0.
    flush_tread : number
        1 where the last tread is flush with the upper landing, 0 where the landing takes its
        place [count], 0 or more.

    Notes
    -----
    n = ``-flush_tread + treads + 1`` with T = ``treads``, f = ``flush_tread``.
    Chained from: treads between risers.
    """
    return -flush_tread + treads + 1


def total_rise_from_unit_rise_and_risers(unit_rise, risers):
    """Lower landing to upper landing [job's unit of length].

    Parameters
    ----------
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    risers : number
        Number of risers [count], above 0.

    Notes
    -----
    H = ``risers*unit_rise`` with R = ``unit_rise``, n = ``risers``.
    Chained from: risers add up.
    """
    return risers*unit_rise


def risers_from_unit_rise_and_total_rise(unit_rise, total_rise):
    """Number of risers [count].

    Parameters
    ----------
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    total_rise : number
        Lower landing to upper landing [job's unit of length], above 0.

    Notes
    -----
    n = ``total_rise/unit_rise`` with R = ``unit_rise``, H = ``total_rise``.
    Chained from: risers add up.
    """
    return total_rise/unit_rise


def unit_rise_from_risers_and_total_rise(risers, total_rise):
    """Height of one riser, nosing to nosing [job's unit of length].

    Parameters
    ----------
    risers : number
        Number of risers [count], above 0.
    total_rise : number
        Lower landing to upper landing [job's unit of length], above 0.

    Notes
    -----
    R = ``total_rise/risers`` with n = ``risers``, H = ``total_rise``.
    Chained from: risers add up.
    """
    return total_rise/risers


def total_run_from_unit_run_and_treads(unit_run, treads):
    """Length of all treads [job's unit of length].

    Parameters
    ----------
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.
    treads : number
        Number of treads [count], above 0.

    Notes
    -----
    W = ``treads*unit_run`` with G = ``unit_run``, T = ``treads``.
    Chained from: treads add up.
    """
    return treads*unit_run


def treads_from_unit_run_and_total_run(unit_run, total_run):
    """Number of treads [count].

    Parameters
    ----------
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.
    total_run : number
        Length of all treads [job's unit of length], above 0.

    Notes
    -----
    T = ``total_run/unit_run`` with G = ``unit_run``, W = ``total_run``.
    Chained from: treads add up.
    """
    return total_run/unit_run


def unit_run_from_treads_and_total_run(treads, total_run):
    """One tread, nosing to nosing [job's unit of length].

    Parameters
    ----------
    treads : number
        Number of treads [count], above 0.
    total_run : number
        Length of all treads [job's unit of length], above 0.

    Notes
    -----
    G = ``total_run/treads`` with T = ``treads``, W = ``total_run``.
    Chained from: treads add up.
    """
    return total_run/treads


def rake_from_unit_rise_and_unit_run(unit_rise, unit_run):
    """Angle of the nosing line from level [degrees].

    Parameters
    ----------
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.

    Notes
    -----
    θ = ``180*atan(unit_rise/unit_run)/pi`` with R = ``unit_rise``, G = ``unit_run``.
    Chained from: slope of the nosing line.
    """
    return 180*math.atan(unit_rise/unit_run)/math.pi


def unit_run_from_unit_rise_and_rake(unit_rise, rake):
    """One tread, nosing to nosing [job's unit of length].

    Parameters
    ----------
    unit_rise : number
        Height of one riser, nosing to nosing [job's unit of length], above 0.
    rake : number
        Angle of the nosing line from level [degrees], 0 or more.

    Notes
    -----
    G = ``unit_rise/tan(pi*rake/180)`` with R = ``unit_rise``, θ = ``rake``.
    Chained from: slope of the nosing line.
    """
    return unit_rise/math.tan(math.pi*rake/180)


def unit_rise_from_unit_run_and_rake(unit_run, rake):
    """Height of one riser, nosing to nosing [job's unit of length].

    Parameters
    ----------
    unit_run : number
        One tread, nosing to nosing [job's unit of length], above 0.
    rake : number
        Angle of the nosing line from level [degrees], 0 or more.

    Notes
    -----
    R = ``unit_run*tan(pi*rake/180)`` with G = ``unit_run``, θ = ``rake``.
    Chained from: slope of the nosing line.
    """
    return unit_run*math.tan(math.pi*rake/180)


def risers_from_total_rise_and_total_run_and_rake(flush_tread, total_rise, total_run, rake):
    """Number of risers [count].

    Parameters
    ----------
    flush_tread : number
        1 where the last tread is flush with the upper landing, 0 where the landing takes its
        place [count], 0 or more.
    total_rise : number
        Lower landing to upper landing [job's unit of length], above 0.
    total_run : number
        Length of all treads [job's unit of length], above 0.
    rake : number
        Angle of the nosing line from level [degrees], 0 or more.

    Notes
    -----
    n = ``(flush_tread*total_rise - total_rise)/(-total_rise + total_run*tan(pi*rake/180))`` with
    f = ``flush_tread``, H = ``total_rise``, W = ``total_run``, θ = ``rake``.
    Chained from: slope of the whole flight.
    """
    return (flush_tread*total_rise - total_rise)/(-total_rise + total_run*math.tan(math.pi*rake/180))


FLIGHT_STEPS = (
    ('treads', ('risers', 'flush_tread'), treads_from_risers, 'treads between risers'),
    ('risers', ('treads', 'flush_tread'), risers_from_treads, 'treads between risers'),
    ('total_rise', ('unit_rise', 'risers'), total_rise_from_unit_rise_and_risers, 'risers add up'),
    ('risers', ('unit_rise', 'total_rise'), risers_from_unit_rise_and_total_rise, 'risers add up'),
    ('unit_rise', ('risers', 'total_rise'), unit_rise_from_risers_and_total_rise, 'risers add up'),
    ('total_run', ('unit_run', 'treads'), total_run_from_unit_run_and_treads, 'treads add up'),
    ('treads', ('unit_run', 'total_run'), treads_from_unit_run_and_total_run, 'treads add up'),
    ('unit_run', ('treads', 'total_run'), unit_run_from_treads_and_total_run, 'treads add up'),
    ('rake', ('unit_rise', 'unit_run'), rake_from_unit_rise_and_unit_run, 'slope of the nosing line'),
    ('unit_run', ('unit_rise', 'rake'), unit_run_from_unit_rise_and_rake, 'slope of the nosing line'),
    ('unit_rise', ('unit_run', 'rake'), unit_rise_from_unit_run_and_rake, 'slope of the nosing line'),
    ('risers', ('flush_tread', 'total_rise', 'total_run', 'rake'), risers_from_total_rise_and_total_run_and_rake, 'slope of the whole flight'),
)
"""Each way to get one measurement of a flight from others: target, given, function, relation."""
