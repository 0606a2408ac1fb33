"""Closed forms of the stair guard's geometry, as plain numeric functions.

This module is written by ``python -m stairs.relations.derivation`` from the relations in
:mod:`stairs.relations.equations`; change those, not this.  Letters are those of the names page.
Where every step is arithmetic, or a root that comes out even, fractions give a fraction; otherwise
the result is a float.  Lengths are in the job's unit, angles in degrees.
"""

# fmt: off
import math
from collections.abc import Callable

from stairs.numbers.roots import Number, sqrt


def rake(unit_rise: Number, unit_run: Number) -> Number:
    """θ = f(R, G): angle of the nosing line from level [degrees]."""
    return 180*math.atan(unit_rise/unit_run)/math.pi


def unit_slope(unit_rise: Number, unit_run: Number) -> Number:
    """L = f(R, G): nosing to nosing along the nosing line [length]."""
    return sqrt(unit_rise**2 + unit_run**2)


def cosine(unit_rise: Number, unit_run: Number) -> Number:
    """cos θ = f(R, G): cosine of the rake: level length per length on the rake [ratio]."""
    return unit_run/sqrt(unit_rise**2 + unit_run**2)


def step_sum(unit_rise: Number, unit_run: Number) -> Number:
    """2R+G = f(R, G): two risers and one run, the step formula's left side [length]."""
    return 2*unit_rise + unit_run


def tread_depth(unit_run: Number, nosing: Number) -> Number:
    """d = f(G, s): tread from its nosing to the riser face behind it [length]."""
    return nosing + unit_run


def riser_setback(unit_rise: Number, tread_thickness: Number, riser_slope: Number) -> Number:
    """sr = f(R, t, φr): foot of a raked-back riser behind its top [length]."""
    return (-tread_thickness + unit_rise)*math.tan(math.pi*riser_slope/180)


def open_riser(unit_rise: Number, tread_thickness: Number) -> Number:
    """tr = f(R, t): clear between two treads, plumb [length]."""
    return -tread_thickness + unit_rise


def nosing_line_height(unit_rise: Number, unit_run: Number, x: Number) -> Number:
    """y = f(R, G, x): height of the nosing line over the lower landing [length]."""
    return unit_rise + unit_rise*x/unit_run


def rail_spacing_plumb(panel_height: Number, top_rail: Number, bottom_rail: Number) -> Number:
    """S = f(P, ht, hb): plumb distance between the rails' centre lines [length]."""
    return -bottom_rail/2 + panel_height - top_rail/2


def rail_spacing(
    panel_height: Number, top_rail: Number, bottom_rail: Number, unit_rise: Number, unit_run: Number
) -> Number:
    """Sq = f(P, ht, hb, R, G): square distance between the rails' centre lines [length]."""
    return unit_run*(-bottom_rail + 2*panel_height - top_rail)/sqrt(unit_rise**2 + unit_run**2)/2


def plumb_depth(depth: Number, unit_rise: Number, unit_run: Number) -> Number:
    """hv = f(h, R, G): depth of a rail measured plumb [length]."""
    return depth*sqrt(unit_rise**2 + unit_run**2)/unit_run


def racked_height(
    panel_height: Number, top_rail: Number, bottom_rail: Number, unit_rise: Number, unit_run: Number
) -> Number:
    """Pv = f(P, ht, hb, R, G): racked panel, plumb, under bottom rail to top of top rail
    [length]."""
    return (
        (bottom_rail*sqrt(unit_rise**2 + unit_run**2) + top_rail*sqrt(unit_rise**2 + unit_run**2) +
        unit_run*(-bottom_rail + 2*panel_height - top_rail)) / unit_run/2
    )


def baluster_clear(pitch: Number, baluster: Number, unit_rise: Number, unit_run: Number) -> Number:
    """c = f(p, b, R, G): clear between balusters, measured level [length]."""
    return -baluster + pitch*unit_run/sqrt(unit_rise**2 + unit_run**2)


def hole_needed(baluster: Number, wall: Number, unit_rise: Number, unit_run: Number) -> Number:
    """a = f(b, w, R, G): hole along the rail that a racked baluster needs [length]."""
    return (baluster*sqrt(unit_rise**2 + unit_run**2) + unit_rise*wall)/unit_run


def max_rack(hole_length: Number, wall: Number, baluster: Number) -> Number:
    """θm = f(a0, w, b): rake at which the baluster binds in its hole [degrees]."""
    return (
        -360*math.atan((wall - sqrt(-baluster**2 + hole_length**2 + wall**2))/(baluster +
        hole_length)) / math.pi
    )


def guard_height(
    bottom_gap: Number,
    panel_height: Number,
    top_rail: Number,
    bottom_rail: Number,
    unit_rise: Number,
    unit_run: Number,
) -> Number:
    """K = f(v, P, ht, hb, R, G): plumb from the nosing line to the top of the top rail [length]."""
    return (
        (bottom_rail*sqrt(unit_rise**2 + unit_run**2) + top_rail*sqrt(unit_rise**2 + unit_run**2) +
        unit_run*(2*bottom_gap - bottom_rail + 2*panel_height - top_rail)) / unit_run/2
    )


def bottom_gap_for_guard_height(
    guard_height: Number,
    panel_height: Number,
    top_rail: Number,
    bottom_rail: Number,
    unit_rise: Number,
    unit_run: Number,
) -> Number:
    """v = f(K, P, ht, hb, R, G): plumb from the nosing line to under the bottom rail [length]."""
    return (
        (-bottom_rail*sqrt(unit_rise**2 + unit_run**2) - top_rail*sqrt(unit_rise**2 + unit_run**2) +
        unit_run*(bottom_rail + 2*guard_height - 2*panel_height + top_rail)) / unit_run/2
    )


def pin_x_up(face_x: Number, stand_off: Number) -> Number:
    """xu = f(xf, q0): pin up-stair of a post's face, from the first nosing [length]."""
    return face_x + stand_off


def pin_x_down(face_x: Number, stand_off: Number) -> Number:
    """xd = f(xf, q0): pin down-stair of a post's face, from the first nosing [length]."""
    return face_x - stand_off


def bottom_pin_height(
    x: Number,
    bottom_gap: Number,
    bottom_rail: Number,
    surface: Number,
    unit_rise: Number,
    unit_run: Number,
) -> Number:
    """ypb = f(x, v, hb, ys, R, G): mark of the bottom rail's bracket: its pin over the post's
    surface [length]."""
    return (
        bottom_gap + bottom_rail*sqrt(unit_rise**2 + unit_run**2) / unit_run/2 - surface + unit_rise
        + unit_rise*x/unit_run
    )


def top_pin_height(
    x: Number,
    bottom_gap: Number,
    panel_height: Number,
    top_rail: Number,
    bottom_rail: Number,
    surface: Number,
    unit_rise: Number,
    unit_run: Number,
) -> Number:
    """ypt = f(x, v, P, ht, hb, ys, R, G): mark of the top rail's bracket: its pin over the post's
    surface [length]."""
    return (
        bottom_gap - bottom_rail/2 + bottom_rail*sqrt(unit_rise**2 + unit_run**2) / unit_run/2 +
        panel_height - surface - top_rail/2 + unit_rise + unit_rise*x/unit_run
    )


def bottom_hole_height(
    x: Number,
    bottom_gap: Number,
    bottom_rail: Number,
    hole_reach: Number,
    surface: Number,
    unit_rise: Number,
    unit_run: Number,
) -> Number:
    """yhb = f(x, v, hb, eh, ys, R, G): edge of a hole of the bottom rail's bracket over the post's
    surface [length]."""
    return (
        bottom_gap + bottom_rail*sqrt(unit_rise**2 + unit_run**2) / unit_run/2 + hole_reach -
        surface + unit_rise + unit_rise*x/unit_run
    )


def top_hole_height(
    x: Number,
    bottom_gap: Number,
    panel_height: Number,
    top_rail: Number,
    bottom_rail: Number,
    hole_reach: Number,
    surface: Number,
    unit_rise: Number,
    unit_run: Number,
) -> Number:
    """yht = f(x, v, P, ht, hb, eh, ys, R, G): edge of a hole of the top rail's bracket over the
    post's surface [length]."""
    return (
        bottom_gap - bottom_rail/2 + bottom_rail*sqrt(unit_rise**2 + unit_run**2) / unit_run/2 +
        hole_reach + panel_height - surface - top_rail/2 + unit_rise + unit_rise*x/unit_run
    )


def over_hole(post_height: Number, top_hole_height: Number) -> Number:
    """Zo = f(Z, yht): what is left of a post over a bracket's hole [length]."""
    return post_height - top_hole_height


def pin_aside(post_width: Number, stand_off: Number, skew: Number) -> Number:
    """qs = f(C, q0, φ): pin beside the middle of a post's face that a rail meets askew [length]."""
    return (post_width/2 + stand_off)*math.tan(math.pi*skew/180)


def beside_hole(post_width: Number, stand_off: Number, hole_beside: Number, skew: Number) -> Number:
    """Zs = f(C, q0, es, φ): what is left of an askew post's face beside a bracket's hole
    [length]."""
    return (
        -hole_beside - post_width*math.tan(math.pi*skew/180)/2 + post_width/2 -
        stand_off*math.tan(math.pi*skew/180)
    )


def post_length(post_height: Number, post_below: Number) -> Number:
    """Zl = f(Z, Zb): post from end to end [length]."""
    return post_below + post_height


def under_hole(bottom_hole_height: Number, post_below: Number) -> Number:
    """Zu = f(yhb, Zb): what is left of a post under a bracket's hole [length]."""
    return bottom_hole_height + post_below


def post_height(
    x: Number,
    reveal: Number,
    surface: Number,
    bottom_gap: Number,
    panel_height: Number,
    top_rail: Number,
    bottom_rail: Number,
    unit_rise: Number,
    unit_run: Number,
) -> Number:
    """Z = f(x, z, ys, v, P, ht, hb, R, G): post, from its own surface to its top [length]."""
    return (
        bottom_gap - bottom_rail/2 + bottom_rail*sqrt(unit_rise**2 + unit_run**2) / unit_run/2 +
        panel_height + reveal - surface - top_rail/2 + top_rail*sqrt(unit_rise**2 + unit_run**2) /
        unit_run/2 + unit_rise + unit_rise*x/unit_run
    )


def step_surface(step: Number, unit_rise: Number) -> Number:
    """ys = f(i, R): surface that a post stands on, over the lower landing [length]."""
    return step*unit_rise


def nosing_x(treads_in_front: Number, unit_run: Number) -> Number:
    """xk = f(k0, G): nosing in front of a step, from the first nosing [length]."""
    return treads_in_front*unit_run


def plate_edge(centre: Number, plate: Number, nosing_x: Number) -> Number:
    """ep = f(xc, B0, xk): base plate to the nosing in front of it [length]."""
    return centre - nosing_x - plate/2


def plate_edge_askew(centre: Number, plate: Number, nosing_x: Number, skew: Number) -> Number:
    """epa = f(xc, B0, xk, φ): nearest corner of a base plate to an edge that it lies askew to
    [length]."""
    return centre - nosing_x - sqrt(2)*plate*math.sin(math.pi*(skew/180 + 1/4))/2


def rail_length(
    clear: Number, pivot_offset: Number, rail_setback: Number, unit_rise: Number, unit_run: Number
) -> Number:
    """M = f(D, q, e, R, G): square-cut rail, end to end [length]."""
    return -2*rail_setback + (clear - 2*pivot_offset)*sqrt(unit_rise**2 + unit_run**2)/unit_run


def plumb_cut_length(
    clear: Number, end_clearance: Number, unit_rise: Number, unit_run: Number
) -> Number:
    """Mj = f(D, j, R, G): plumb-cut rail along its axis, cut face to cut face [length]."""
    return (clear - 2*end_clearance)*sqrt(unit_rise**2 + unit_run**2)/unit_run


def stock_needed(
    clear: Number, end_clearance: Number, depth: Number, unit_rise: Number, unit_run: Number
) -> Number:
    """Mn = f(D, j, h, R, G): stock that a plumb-cut rail takes, tip to tip [length]."""
    return (depth*unit_rise + (clear - 2*end_clearance)*sqrt(unit_rise**2 + unit_run**2))/unit_run


def corner_clearance(
    pivot_offset: Number, rail_setback: Number, depth: Number, unit_rise: Number, unit_run: Number
) -> Number:
    """k = f(q, e, h, R, G): post face to the nearest corner of a square-cut rail end [length]."""
    return (
        (-depth*unit_rise/2 + pivot_offset*sqrt(unit_rise**2 + unit_run**2) + rail_setback*unit_run)
        / sqrt(unit_rise**2 + unit_run**2)
    )


def end_gap(
    pivot_offset: Number,
    rail_setback: Number,
    hole_position: Number,
    baluster: Number,
    unit_rise: Number,
    unit_run: Number,
) -> Number:
    """g = f(q, e, u, b, R, G): post face to the nearest baluster's face, square-cut rail
    [length]."""
    return (
        -baluster/2 + hole_position*unit_run/sqrt(unit_rise**2 + unit_run**2) + pivot_offset +
        rail_setback*unit_run/sqrt(unit_rise**2 + unit_run**2)
    )


def trimmed_end_gap(
    hole_in_stock: Number,
    stock: Number,
    clear: Number,
    baluster: Number,
    unit_rise: Number,
    unit_run: Number,
) -> Number:
    """g = f(m, L0, D, b, R, G): post face to the nearest baluster's face, square-cut rail
    [length]."""
    return (
        -baluster/2 + clear/2 + hole_in_stock*unit_run/sqrt(unit_rise**2 + unit_run**2) -
        stock*unit_run/sqrt(unit_rise**2 + unit_run**2)/2
    )


def trim_low(stock: Number, rail_length: Number, pattern_shift: Number) -> Number:
    """Tl = f(L0, M, mh): what is cut off a stock rail's lower end [length]."""
    return -pattern_shift - rail_length/2 + stock/2


def trim_high(stock: Number, rail_length: Number, pattern_shift: Number) -> Number:
    """Tu = f(L0, M, mh): what is cut off a stock rail's upper end [length]."""
    return (2*pattern_shift - rail_length + stock)/2


def corner_height(
    bottom_gap: Number, corner_base: Number, unit_rise: Number, unit_run: Number
) -> Number:
    """Kc = f(v, B, R, G): inner corner of surface and upright face up to the rail, plumb
    [length]."""
    return bottom_gap + corner_base*unit_rise/unit_run


def swing(unit_rise: Number, unit_run: Number) -> Number:
    """ψ = f(R, G): turn of a bracket from level [degrees]."""
    return 180*math.atan(unit_rise/unit_run)/math.pi


def angle_low(unit_rise: Number, unit_run: Number) -> Number:
    """α = f(R, G): above the rail, post to rail, at the lower post [degrees]."""
    return -180*math.atan(unit_rise/unit_run)/math.pi + 90


def angle_high(unit_rise: Number, unit_run: Number) -> Number:
    """β = f(R, G): above the rail, post to rail, at the upper post [degrees]."""
    return 180*math.atan(unit_rise/unit_run)/math.pi + 90


def true_angle(rake: Number, skew: Number) -> Number:
    """τ = f(θ, φ): true angle between the rail and the post face's normal [degrees]."""
    return 180*math.acos(math.cos(math.pi*rake/180)*math.cos(math.pi*skew/180))/math.pi


def half_along(post_width: Number, skew: Number) -> Number:
    """Ca = f(C, φ): post centre to its face, level along a rail that meets it askew [length]."""
    return post_width/math.cos(math.pi*skew/180)/2


def bay_clear(centre_distance: Number, low_reach: Number, high_reach: Number) -> Number:
    """D = f(A, Cl, Cu): bay, post face to post face, measured level [length]."""
    return centre_distance - high_reach - low_reach


def spacing_along(centre_distance: Number, unit_rise: Number, unit_run: Number) -> Number:
    """Aa = f(A, R, G): from post centre to post centre, along the rake [length]."""
    return centre_distance*sqrt(unit_rise**2 + unit_run**2)/unit_run


def face_x(centre: Number, low_reach: Number) -> Number:
    """xf = f(xc, Cl): post face, from the section's x = 0 [length]."""
    return centre + low_reach


def stand_off_along(stand_off: Number, skew: Number) -> Number:
    """qa = f(q0, φ): post face to pin or cut face, level along a rail that meets it askew
    [length]."""
    return stand_off/math.cos(math.pi*skew/180)


def mean_stand_off(stand_off: Number, skew: Number) -> Number:
    """qm = f(q0, φ): mean of the two stand-offs of a rail that meets its lower post askew
    [length]."""
    return stand_off*(1 + 1/math.cos(math.pi*skew/180))/2


def hole_position(hole_in_stock: Number, stock: Number, rail_length: Number) -> Number:
    """u = f(m, L0, M): rail end to a baluster's centre, along the rail [length]."""
    return (2*hole_in_stock + rail_length - stock)/2


def skewed_corner_clearance(
    stand_off: Number,
    rail_setback: Number,
    depth: Number,
    rail_width: Number,
    skew: Number,
    unit_rise: Number,
    unit_run: Number,
) -> Number:
    """ks = f(q0, e, h, wr, φ, R, G): post face to the nearest corner of a rail end that meets it
    askew, square to the face [length]."""
    return (
        -depth*unit_rise*math.cos(math.pi*skew/180) / sqrt(unit_rise**2 + unit_run**2)/2 +
        rail_setback*unit_run*math.cos(math.pi*skew/180) / sqrt(unit_rise**2 + unit_run**2) -
        rail_width*math.sin(math.pi*skew/180)/2 + stand_off
    )


def skewed_stock_needed(
    plumb_cut_length: Number,
    depth: Number,
    rail_width: Number,
    skew: Number,
    unit_rise: Number,
    unit_run: Number,
) -> Number:
    """Ls = f(Mj, h, wr, φ, R, G): stock for a plumb-cut rail that meets its lower post askew,
    slanted tips included [length]."""
    return (
        (depth*unit_rise + plumb_cut_length*unit_run + rail_width*sqrt(unit_rise**2 + unit_run**2) *
        math.tan(math.pi*skew/180)/2) / unit_run
    )


def saw_miter(skew: Number, unit_rise: Number, unit_run: Number) -> Number:
    """μ = f(φ, R, G): turn of the saw on its table from a square cut, the rail's underside on the
    table [degrees]."""
    return (
        180*math.atan(sqrt(unit_rise**2 + unit_run**2) * math.tan(math.pi*skew/180) / unit_run) /
        math.pi
    )


def saw_bevel(skew: Number, unit_rise: Number, unit_run: Number) -> Number:
    """λ = f(φ, R, G): tilt of the blade from plumb, the rail's underside on the table [degrees]."""
    return (
        180*math.atan(unit_rise*math.cos(math.pi*skew/180) /
        sqrt(unit_rise**2*math.sin(math.pi*skew/180)**2 + unit_run**2)) / math.pi
    )


def corner_circle(
    bottom_gap: Number, corner_base: Number, unit_rise: Number, unit_run: Number
) -> Number:
    """Ø = f(v, B, R, G): diameter of the largest circle in the corner under the rail [length]."""
    return (
        (2*bottom_gap*unit_run + 2*corner_base*unit_rise)/(unit_rise + unit_run + sqrt(unit_rise**2
        + unit_run**2))
    )


def bottom_gap_for_corner_circle(
    corner_circle: Number, corner_base: Number, unit_rise: Number, unit_run: Number
) -> Number:
    """v = f(Ø, B, R, G): plumb from the nosing line to under the bottom rail [length]."""
    return (
        (-2*corner_base*unit_rise + corner_circle*unit_rise + corner_circle*unit_run +
        corner_circle*sqrt(unit_rise**2 + unit_run**2)) / unit_run/2
    )


def corner_square(
    bottom_gap: Number, corner_base: Number, unit_rise: Number, unit_run: Number
) -> Number:
    """Q = f(v, B, R, G): edge of the square in the corner of surface and upright face [length]."""
    return (bottom_gap*unit_run + corner_base*unit_rise)/(unit_rise + unit_run)


def bottom_gap_for_corner_square(
    corner_square: Number, corner_base: Number, unit_rise: Number, unit_run: Number
) -> Number:
    """v = f(Q, B, R, G): plumb from the nosing line to under the bottom rail [length]."""
    return (-corner_base*unit_rise + corner_square*unit_rise + corner_square*unit_run)/unit_run


def strip_opening(
    bottom_gap: Number, stringer_margin: Number, unit_rise: Number, unit_run: Number
) -> Number:
    """o = f(v, mv, R, G): square height of the strip over a closed stringer [length]."""
    return unit_run*(bottom_gap - stringer_margin)/sqrt(unit_rise**2 + unit_run**2)


def bottom_gap_for_strip(
    strip_opening: Number, stringer_margin: Number, unit_rise: Number, unit_run: Number
) -> Number:
    """v = f(o, mv, R, G): plumb from the nosing line to under the bottom rail [length]."""
    return stringer_margin + strip_opening*sqrt(unit_rise**2 + unit_run**2)/unit_run


def bottom_gap_over_filler(clear_gap: Number, filler: Number) -> Number:
    """v = f(vc, hf): plumb from the nosing line to under the bottom rail [length]."""
    return clear_gap + filler


def bottom_gap_over_front(front_gap: Number, front_lift: Number) -> Number:
    """v = f(vf, vl): plumb from the nosing line to under the bottom rail [length]."""
    return front_gap - front_lift


def strip_ball(
    bottom_gap: Number,
    stringer_margin: Number,
    side_gap: Number,
    unit_rise: Number,
    unit_run: Number,
) -> Number:
    """Øs = f(v, mv, wg, R, G): largest ball between two parallel edges in two planes [length]."""
    return (
        sqrt(side_gap**2*(unit_rise**2 + unit_run**2) + unit_run**2*(bottom_gap -
        stringer_margin)**2) / sqrt(unit_rise**2 + unit_run**2)
    )


def flat_gap_for_ball(strip_ball: Number, side_gap: Number) -> Number:
    """d0 = f(Øs, wg): between two parallel edges, square to them, in elevation [length]."""
    return sqrt(-side_gap**2 + strip_ball**2)


def underside_slot(
    pivot_offset: Number, rail_setback: Number, depth: Number, unit_rise: Number, unit_run: Number
) -> Number:
    """ku = f(q, e, h, R, G): lower post's face to the lower corner of a square-cut rail end,
    measured level [length]."""
    return (
        (depth*unit_rise/2 + pivot_offset*sqrt(unit_rise**2 + unit_run**2) + rail_setback*unit_run)
        / sqrt(unit_rise**2 + unit_run**2)
    )


def panel_inner(
    panel_height: Number, top_rail: Number, bottom_rail: Number, unit_rise: Number, unit_run: Number
) -> Number:
    """Pi = f(P, ht, hb, R, G): bottom rail's top to top rail's underside, measured plumb
    [length]."""
    return (
        (-bottom_rail*sqrt(unit_rise**2 + unit_run**2) - top_rail*sqrt(unit_rise**2 + unit_run**2) +
        unit_run*(-bottom_rail + 2*panel_height - top_rail)) / unit_run/2
    )


def end_back(depth: Number, unit_rise: Number, unit_run: Number) -> Number:
    """hx = f(h, R, G): how far a square rail end leans back, measured level [length]."""
    return depth*unit_rise/sqrt(unit_rise**2 + unit_run**2)


def end_up(depth: Number, unit_rise: Number, unit_run: Number) -> Number:
    """hy = f(h, R, G): height of a square rail end, measured plumb [length]."""
    return depth*unit_run/sqrt(unit_rise**2 + unit_run**2)


def treads_from_risers(risers: Number, flush_tread: Number) -> Number:
    """T = f(n, f): number of treads [count]."""
    return flush_tread + risers - 1


def risers_from_treads(treads: Number, flush_tread: Number) -> Number:
    """n = f(T, f): number of risers [count]."""
    return -flush_tread + treads + 1


def total_rise_from_unit_rise_and_risers(unit_rise: Number, risers: Number) -> Number:
    """H = f(R, n): lower landing to upper landing [length]."""
    return risers*unit_rise


def risers_from_unit_rise_and_total_rise(unit_rise: Number, total_rise: Number) -> Number:
    """n = f(R, H): number of risers [count]."""
    return total_rise/unit_rise


def unit_rise_from_risers_and_total_rise(risers: Number, total_rise: Number) -> Number:
    """R = f(n, H): height of one riser, nosing to nosing [length]."""
    return total_rise/risers


def total_run_from_unit_run_and_treads(unit_run: Number, treads: Number) -> Number:
    """W = f(G, T): length of all treads [length]."""
    return treads*unit_run


def treads_from_unit_run_and_total_run(unit_run: Number, total_run: Number) -> Number:
    """T = f(G, W): number of treads [count]."""
    return total_run/unit_run


def unit_run_from_treads_and_total_run(treads: Number, total_run: Number) -> Number:
    """G = f(T, W): one tread, nosing to nosing [length]."""
    return total_run/treads


def rake_from_unit_rise_and_unit_run(unit_rise: Number, unit_run: Number) -> Number:
    """θ = f(R, G): angle of the nosing line from level [degrees]."""
    return 180*math.atan(unit_rise/unit_run)/math.pi


def unit_run_from_unit_rise_and_rake(unit_rise: Number, rake: Number) -> Number:
    """G = f(R, θ): one tread, nosing to nosing [length]."""
    return unit_rise/math.tan(math.pi*rake/180)


def unit_rise_from_unit_run_and_rake(unit_run: Number, rake: Number) -> Number:
    """R = f(G, θ): height of one riser, nosing to nosing [length]."""
    return unit_run*math.tan(math.pi*rake/180)


def risers_from_total_rise_and_total_run_and_rake(
    flush_tread: Number, total_rise: Number, total_run: Number, rake: Number
) -> Number:
    """n = f(f, H, W, θ): number of risers [count]."""
    return (
        (flush_tread*total_rise - total_rise)/(-total_rise + total_run*math.tan(math.pi*rake/180))
    )


FLIGHT_STEPS: tuple[tuple[str, tuple[str, ...], Callable[..., Number], str], ...] = (
    ('treads', ('risers', 'flush_tread'),
     treads_from_risers, 'treads between risers'),
    ('risers', ('treads', 'flush_tread'),
     risers_from_treads, 'treads between risers'),
    ('total_rise', ('unit_rise', 'risers'),
     total_rise_from_unit_rise_and_risers, 'risers add up'),
    ('risers', ('unit_rise', 'total_rise'),
     risers_from_unit_rise_and_total_rise, 'risers add up'),
    ('unit_rise', ('risers', 'total_rise'),
     unit_rise_from_risers_and_total_rise, 'risers add up'),
    ('total_run', ('unit_run', 'treads'),
     total_run_from_unit_run_and_treads, 'treads add up'),
    ('treads', ('unit_run', 'total_run'),
     treads_from_unit_run_and_total_run, 'treads add up'),
    ('unit_run', ('treads', 'total_run'),
     unit_run_from_treads_and_total_run, 'treads add up'),
    ('rake', ('unit_rise', 'unit_run'),
     rake_from_unit_rise_and_unit_run, 'slope of the nosing line'),
    ('unit_run', ('unit_rise', 'rake'),
     unit_run_from_unit_rise_and_rake, 'slope of the nosing line'),
    ('unit_rise', ('unit_run', 'rake'),
     unit_rise_from_unit_run_and_rake, 'slope of the nosing line'),
    ('risers', ('flush_tread', 'total_rise', 'total_run', 'rake'),
     risers_from_total_rise_and_total_run_and_rake, 'slope of the whole flight'),
)
"""Each way to get one measurement of a flight from others: target, given, function, relation."""
