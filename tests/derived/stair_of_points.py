"""One stair and its guard put together from points, and every quantity of it measured off.

Nothing here knows a formula of ours.  Steps are laid end to end, a rail is a box turned onto the
line through two nosings, a baluster a plumb strip, a post face a plumb line or, askew, a plumb
plane in space; what is wanted is then measured as with a ruler: a distance between two points, the
extent of a figure along a direction, a crossing of two lines, an angle between two arrows.
"""

from math import atan2, cos, degrees, radians, sin

import numpy as np
from hypothesis import strategies as st
from scipy.optimize import brentq
from shapely import affinity
from shapely.geometry import LineString, Point, Polygon, box
from stair_sizes import bays, depths, gaps, heights, offsets, rises, runs, widths

FAR = 1e4
LEVEL, PLUMB = np.array([1.0, 0.0]), np.array([0.0, 1.0])

SIZES = {
    "unit_rise": rises, "unit_run": runs, "risers": st.integers(2, 20), "nosing": offsets,
    "tread_thickness": widths, "riser_slope": st.integers(0, 30), "x": bays,
    "panel_height": heights, "top_rail": depths, "bottom_rail": depths, "depth": depths,
    "rail_width": widths, "baluster": widths, "pitch": bays, "wall": offsets,
    "hole_spare": st.fractions(0, 1, max_denominator=16), "bottom_gap": gaps,
    "clear": bays.map(lambda bay: bay + 20), "pivot_offset": offsets, "rail_setback": offsets,
    "end_clearance": offsets, "spare_stock": depths, "hole_in_stock": bays,
    "post_width": depths, "pattern_shift": offsets,
    "low_reach": offsets, "high_reach": offsets, "centre": bays, "stand_off": offsets,
    "reveal": offsets, "post_below": depths, "plate": depths,
    "treads_in_front": st.integers(0, 8), "hole_reach": offsets, "hole_beside": offsets,
    "skew": st.fractions(0, 60, max_denominator=8), "corner_base": runs, "over_stringer": depths,
    "filler": depths, "front_lift": offsets, "side_gap": offsets,
}  # fmt: skip
"""What is chosen freely, in inches and degrees; the rest is built from it and measured."""


@st.composite
def stairs(draw, flush=0, plumb_cut=False):
    """Every quantity of one random stair, by name."""
    return measured({name: float(draw(size)) for name, size in SIZES.items()}, flush, plumb_cut)


# ------------------------------------------------------------------ the drawing board


def unit(vector):
    return np.asarray(vector, float) / np.linalg.norm(vector)


def angle(one, other):
    """Between two arrows [degrees]."""
    one, other = unit(one), unit(other)
    return degrees(2 * np.arctan2(np.linalg.norm(one - other), np.linalg.norm(one + other)))


def line(point, direction):
    return LineString([point - FAR * direction, point + FAR * direction])


def plumb_line(x):
    return line(np.array([x, 0.0]), PLUMB)


def bar(start, end, depth):
    """A straight rail as a box of a depth between two points of its centre line."""
    start, end = np.asarray(start, float), np.asarray(end, float)
    flat = box(0, -depth / 2, float(np.linalg.norm(end - start)), depth / 2)
    turned = affinity.rotate(flat, atan2(*(end - start)[::-1]), origin=(0, 0), use_radians=True)
    return affinity.translate(turned, *start)


def strip(x, width):
    """A baluster: a plumb strip about a line."""
    return box(x - width / 2, -FAR, x + width / 2, FAR)


def across(shape, x):
    """Where a plumb line enters and leaves a figure: the lower and the higher end."""
    return shape.intersection(plumb_line(x)).bounds[1::2]


def extent(shape, direction):
    """How long a figure is along a direction."""
    along = np.asarray(shape.exterior.coords) @ direction
    return float(along.max() - along.min())


def crossing(point, direction, normal, through):
    """Where a line in space goes through a plane."""
    return point + ((through - point) @ normal) / (direction @ normal) * direction


# ------------------------------------------------------------------ the stair


def measured(v, flush, plumb_cut):
    """All quantities of a stair whose free sizes are ``v``; it is filled up and handed back."""
    v["flush_tread"] = flush
    u = unit([v["unit_run"], v["unit_rise"]])
    flight(v, flush)
    panel(v, u)
    rails(v, u, plumb_cut)
    posts(v, u)
    askew(v)
    openings(v, u)
    for name in ("hole_spare", "spare_stock", "over_stringer", "crown"):
        del v[name]
    return v


def flight(v, flush):
    """Risers and treads laid end to end from the lower landing up."""
    rise, run = v["unit_rise"] * PLUMB, v["unit_run"] * LEVEL
    corners, treads = [np.zeros(2)], 0
    for riser in range(int(v["risers"])):
        corners.append(corners[-1] + rise)
        if riser < v["risers"] - 1 or flush:
            corners.append(corners[-1] + run)
            treads += 1
    first, second = corners[1], corners[1] + run + rise
    v["treads"] = treads
    v["total_run"], v["total_rise"] = corners[-1] - corners[0]
    v["unit_slope"] = np.linalg.norm(second - first)
    v["cosine"], v["sine"] = unit(second - first)
    v["rake"] = angle(second - first, LEVEL)
    v["step_sum"] = LineString([first - rise, first, first + run, second]).length
    v["nosing_line_height"] = across(line(first, unit(second - first)), v["x"])[0]
    # one tread from its nosing at 0, and the one above it, whose front edge is a block
    above = box(v["unit_run"], v["unit_rise"] - v["tread_thickness"], FAR, v["unit_rise"])
    riser_top = np.array([v["unit_run"] + v["nosing"], above.bounds[1]])
    v["open_riser"] = above.distance(line(np.zeros(2), LEVEL))
    v["tread_depth"] = Point(0, 0).distance(plumb_line(riser_top[0]))
    lean = radians(v["riser_slope"])
    foot = line(riser_top, np.array([sin(lean), -cos(lean)])).intersection(line(np.zeros(2), LEVEL))
    v["riser_setback"] = foot.x - riser_top[0]


def panel(v, u):
    """A level panel of two boxes, racked about its pins: balusters stay plumb and as long."""
    height, top, bottom = v["panel_height"], v["top_rail"], v["bottom_rail"]
    low_box, high_box = box(0, 0, 9, bottom), box(0, height - top, 9, height)
    spacing = high_box.centroid.y - low_box.centroid.y
    ends = -FAR / 2 * u, FAR / 2 * u
    low = bar(*ends, bottom)
    high = affinity.translate(bar(*ends, top), 0, spacing)
    v["rail_spacing_plumb"] = spacing
    v["rail_spacing"] = Point(0, spacing).distance(line(np.zeros(2), u))
    for name, depth in (("plumb", "depth"), ("top_plumb", "top_rail"),
                        ("bottom_plumb", "bottom_rail")):  # fmt: skip
        v[f"{name}_depth"] = np.ptp(across(bar(*ends, v[depth]), 0))
    v["racked_height"] = across(high, 0)[1] - across(low, 0)[0]
    v["panel_inner"] = across(high, 0)[0] - across(low, 0)[1]
    pins = [0 * u, v["pitch"] * u]
    v["level_pitch"] = pins[1][0] - pins[0][0]
    one, other = (strip(pin[0], v["baluster"]) for pin in pins)
    v["baluster_clear"] = other.bounds[0] - one.bounds[2]
    v["hole_needed"] = hole(v, atan2(u[1], u[0]))
    v["hole_length"] = v["baluster"] * (1 + v["hole_spare"])
    binds = brentq(
        lambda a: hole(v, a) - v["hole_length"], 0, radians(89.9), xtol=1e-15, rtol=1e-15
    )
    v["max_rack"] = degrees(binds)
    # stood over the nosing line at x, its underside a gap above the line
    foot = v["nosing_line_height"] + v["bottom_gap"]
    lift = np.array([v["x"], foot - across(low, 0)[0]])
    v["bottom_axis_height"] = across(line(lift, u), v["x"])[0]
    v["top_axis_height"] = across(line(lift + spacing * PLUMB, u), v["x"])[0]
    v["crown"] = across(affinity.translate(high, *lift), v["x"])[1]
    v["guard_height"] = v["crown"] - v["nosing_line_height"]


def hole(v, lean):
    """How long along a rail on a rake a plumb baluster is, while it crosses the rail's wall."""
    u = np.array([cos(lean), sin(lean)])
    wall = bar(-99 * u, 99 * u, max(v["wall"], 1e-13))
    return extent(strip(0, v["baluster"]).intersection(wall), u)


def rails(v, u, plumb_cut):
    """A rail between two post faces, the lower at x = 0: between pins, and cut off plumb."""
    far_face = v["clear"]
    low = np.array([v["pivot_offset"], 0.0])
    raked = line(low, u)
    high = np.array(raked.intersection(plumb_line(far_face - v["pivot_offset"])).coords[0])
    ends = low + v["rail_setback"] * u, high - v["rail_setback"] * u
    v["pin_slope"] = np.linalg.norm(high - low)
    v["rail_length"] = (ends[1] - ends[0]) @ u
    corners = np.asarray(bar(*ends, v["depth"]).exterior.coords)
    lower_end = sorted({tuple(one) for one in corners}, key=lambda one: one @ u)[:2]
    back, front = sorted(map(np.asarray, lower_end), key=lambda one: -one[1])
    v["corner_clearance"], v["underside_slot"] = back[0], front[0]
    v["end_back"], v["end_up"] = front[0] - back[0], back[1] - front[1]
    between = box(v["end_clearance"], -FAR, far_face - v["end_clearance"], FAR)
    axis = raked.intersection(between)
    v["plumb_cut_length"] = axis.length
    long_bar = bar(low - FAR * u, low + FAR * u, v["depth"])
    v["stock_needed"] = extent(long_bar.intersection(between), u)
    # the stock's middle on the bay's middle, and one hole of it
    cut = np.asarray(axis.coords[0]) if plumb_cut else ends[0]
    v["stock"] = (v["plumb_cut_length"] if plumb_cut else v["rail_length"]) + v["spare_stock"]
    centre = (low + high) / 2 + (v["hole_in_stock"] - v["stock"] / 2) * u
    v["hole_position"] = (centre - cut) @ u
    # the stock moved up the rail, and what stands out past the rail's square ends
    tips = [(low + high) / 2 + (v["pattern_shift"] + k * v["stock"] / 2) * u for k in (-1, 1)]
    v["trim_low"], v["trim_high"] = (ends[0] - tips[0]) @ u, (tips[1] - ends[1]) @ u
    level = strip(centre[0], v["baluster"]).bounds[0]
    v["end_gap"] = v["plumb_cut_end_gap"] = level
    # the same place along a rail that is cut the other way
    other = ends[0] if plumb_cut else np.asarray(axis.coords[0])
    elsewhere = strip((other + v["hole_position"] * u)[0], v["baluster"]).bounds[0]
    v["end_gap" if plumb_cut else "plumb_cut_end_gap"] = elsewhere
    v["swing"] = angle(LEVEL, u)
    v["angle_low"], v["angle_high"] = angle(PLUMB, u), angle(PLUMB, -u)


def posts(v, u):
    """A post as a box on the surface of a step, plates as squares, pins and holes as points."""
    v["centre_distance"] = v["low_reach"] + v["clear"] + v["high_reach"]
    across_posts = box(0, -FAR, v["centre_distance"], FAR)
    v["spacing_along"] = line(np.zeros(2), u).intersection(across_posts).length
    v["face_x"] = box(v["centre"] - v["low_reach"], 0, v["centre"] + v["low_reach"], 9).bounds[2]
    pins = [v["face_x"] + side * v["stand_off"] * LEVEL[0] for side in (1, -1)]
    v["pin_x_up"], v["pin_x_down"] = pins
    # on the tread under x: climbed until the next nosing lies beyond
    reached, v["step"], v["surface"] = 0.0, 1, v["unit_rise"]
    while reached + v["unit_run"] <= v["x"]:
        reached, v["step"] = reached + v["unit_run"], v["step"] + 1
        v["surface"] += v["unit_rise"]
    v["nosing_x"] = sum([v["unit_run"]] * int(v["treads_in_front"]))
    standing = box(0, v["surface"], 1, v["crown"] + v["reveal"])
    whole = box(0, v["surface"] - v["post_below"], 1, v["crown"] + v["reveal"])
    v["post_height"], v["post_length"] = extent(standing, PLUMB), extent(whole, PLUMB)
    for rail in ("bottom", "top"):
        v[f"{rail}_pin_height"] = v[f"{rail}_axis_height"] - v["surface"]
    low, high = (v[f"{rail}_axis_height"] + v["hole_reach"] for rail in ("bottom", "top"))
    v["bottom_hole_height"], v["top_hole_height"] = low - v["surface"], high - v["surface"]
    v["under_hole"], v["over_hole"] = low - whole.bounds[1], whole.bounds[3] - high
    plate = affinity.translate(box(-1, -1, 1, 1), v["centre"], 0)
    plate = affinity.scale(plate, v["plate"] / 2, v["plate"] / 2)
    v["plate_edge"] = plate.bounds[0] - v["nosing_x"]
    v["plate_edge_askew"] = affinity.rotate(plate, v["skew"]).bounds[0] - v["nosing_x"]


def askew(v):
    """A rail as a box in space, on the rake, and a post face turned in plan: a plumb plane."""
    turn = radians(v["skew"])
    face = np.array([cos(turn), sin(turn), 0.0])
    along = unit([v["unit_run"], 0, v["unit_rise"]])
    aside = np.array([0.0, 1.0, 0.0])
    up = np.cross(along, aside)
    level, origin = np.array([1.0, 0, 0]), np.zeros(3)
    v["true_angle"] = angle(along, face)
    for name, off in (("half_along", v["post_width"] / 2), ("stand_off_along", v["stand_off"])):
        v[name] = np.linalg.norm(crossing(origin, level, face, off * face))
    half, side = v["post_width"] / 2, np.array([-sin(turn), cos(turn), 0.0])
    pin = crossing(origin, level, face, (half + v["stand_off"]) * face)
    v["pin_aside"] = abs(pin @ side)
    v["beside_hole"] = half - (abs(pin @ side) + v["hole_beside"])
    v["mean_stand_off"] = LineString([(v["stand_off_along"], 0), (v["stand_off"], 0)]).centroid.x
    edges = [d * v["depth"] / 2 * up + w * v["rail_width"] / 2 * aside
             for d in (-1, 1) for w in (-1, 1)]  # fmt: skip
    end = v["stand_off"] * face + v["rail_setback"] * along
    v["skewed_corner_clearance"] = min((end + edge) @ face for edge in edges)
    tips = [crossing(edge, along, face, origin) @ along for edge in edges]
    high = v["plumb_cut_length"] * along
    tips += [crossing(edge, along, level, high) @ along for edge in edges]
    v["skewed_stock_needed"] = max(tips) - min(tips)
    # the saw: the cut's line on the side that lies on the table, and how the blade leans from it
    for miter, bevel, table, square in (("saw_miter", "saw_bevel", up, aside),
                                        ("side_miter", "side_bevel", aside, up)):  # fmt: skip
        cut = unit(np.cross(face, table))
        blade = unit(np.cross(face, cut))
        v[miter], v[bevel] = (min(a, 180 - a) for a in (angle(cut, square), angle(blade, table)))


def openings(v, u):
    """The corner under the rail, and strips between parallel edges."""
    gap, base = v["bottom_gap"], v["corner_base"]
    rail = line(np.array([0.0, gap]), u)
    tip = rail.intersection(line(np.zeros(2), LEVEL))
    top = rail.intersection(plumb_line(base))
    corner = Polygon([(tip.x, 0), (base, 0), (base, top.y)])
    # a triangle's inscribed circle: radius is area over half the perimeter
    v["corner_height"] = Point(base, 0).distance(Point(base, top.y))
    v["radius"] = 2 * corner.area / corner.length
    v["corner_circle"] = 2 * v["radius"]
    v["circle_x"], v["circle_y"] = base - v["radius"], v["radius"]
    assert abs(Point(v["circle_x"], v["circle_y"]).distance(rail) - v["radius"]) < 1e-9
    diagonal = LineString([(base, 0), (base - FAR, FAR)])
    v["corner_square"] = rail.intersection(diagonal).y
    v["stringer_margin"] = gap - v["over_stringer"]
    edge = line(np.array([0.0, v["stringer_margin"]]), u)
    v["strip_opening"] = v["flat_gap"] = Point(0, gap).distance(edge)
    # in space: the rail's plane stands off from the stair's; the nearest point of the edge
    here, there = np.array([0.0, gap, v["side_gap"]]), np.array([0.0, v["stringer_margin"], 0.0])
    v["strip_ball"] = np.linalg.norm(np.cross(here - there, [*u, 0.0]))
    v["clear_gap"] = line(np.array([0.0, gap]) - v["filler"] * PLUMB, LEVEL).bounds[1]
    v["front_gap"] = Point(0, gap).distance(Point(0, -v["front_lift"]))
