"""The names page: every quantity of a stair guard, its symbol, unit and meaning, in one place.

The job file, the equations, the working shown on screen and the docstrings all use these names.
Lengths are in whatever unit the job is in; equations do not care.  Angles are degrees.  ``x`` is
horizontal and grows up the stair from the first nosing; everything called a gap or clear is face
to face, everything called a pitch or spacing is centre to centre.

One name means two lengths.  ``panel_height`` is here the panel as it is bought, measured level;
in the result for scripts (``--json``) the key ``panel_height`` is the panel as it stands, racked
and measured plumb, which is ``racked_height`` here.  On a level run the two are one.
"""

from __future__ import annotations

from msgspec import Struct

LENGTH, ANGLE, COUNT, RATIO, AREA = "length", "degrees", "count", "ratio", "area"
POSITIVE, NOT_NEGATIVE, ANY = "above 0", "0 or more", "any"
ACUTE, EITHER = "from 0 to below 90", "0 or 1"


class Quantity(Struct, frozen=True):
    """One named quantity; what it may be in a real stair picks the right root of an equation."""

    name: str
    symbol: str  # in formulas on paper; no two quantities share one
    unit: str
    meaning: str  # from where to where
    domain: str = POSITIVE
    key: str = ""  # of the job file, empty where it is never typed
    table: str = "section"  # that holds the key
    called: str = ""  # what a carpenter calls it, where it is typed
    each: str = ""  # key of a list of them, each measured singly and numbered from the foot
    as_built: str = ""  # key by which it is told of a post as it stands

    @property
    def key_and_letter(self) -> str:
        """How a message asks for it, as in ``rise (H)``."""
        return f"{self.key} ({self.symbol})"


# one quantity to a line, or its meaning on a line of its own
# fmt: off
_FLIGHT = (
    Quantity("unit_rise", "R", LENGTH, "height of one riser, nosing to nosing", key="unit_rise",
             called="one riser", each="rises"),
    Quantity("unit_run", "G", LENGTH, "one tread, nosing to nosing", key="unit_run",
             called="one tread, edge to edge", each="runs"),
    Quantity("risers", "n", COUNT, "number of risers", key="risers",
             called="how many risers"),
    Quantity("treads", "T", COUNT, "number of treads", key="treads",
             called="how many treads"),
    Quantity("flush_tread", "f", COUNT,
             "1 where the last tread is flush with the upper landing, 0 where the landing "
             "takes its place",
             EITHER),
    Quantity("total_rise", "H", LENGTH, "lower landing to upper landing", key="rise",
             called="total rise"),
    Quantity("total_run", "W", LENGTH, "length of all treads", key="run",
             called="total run"),
    Quantity("rake", "θ", ANGLE, "angle of the nosing line from level", ACUTE, key="rake",
             called="stair angle, degrees"),
    Quantity("unit_slope", "L", LENGTH, "nosing to nosing along the nosing line"),
    Quantity("cosine", "cos θ", RATIO, "cosine of the rake: level length per length on the rake"),
    Quantity("sine", "sin θ", RATIO, "sine of the rake: rise per length on the rake", NOT_NEGATIVE),
    Quantity("step_sum", "2R+G", LENGTH, "two risers and one run, the step formula's left side"),
    Quantity("nosing", "s", LENGTH,
             "how far a nosing stands out over the riser below", NOT_NEGATIVE, key="nosing",
             called="nosing overhang"),
    Quantity("tread_thickness", "t", LENGTH,
             "tread's front edge, top to bottom", NOT_NEGATIVE, key="tread_thickness",
             called="tread thickness"),
    Quantity("riser_slope", "φr", ANGLE,
             "riser face raked back from plumb", ACUTE, key="riser_slope",
             called="riser lean, degrees"),
    Quantity("riser_setback", "sr", LENGTH,
             "foot of a raked-back riser behind its top", NOT_NEGATIVE),
    Quantity("open_riser", "tr", LENGTH, "clear between two treads, plumb"),
    Quantity("tread_depth", "d", LENGTH, "tread from its nosing to the riser face behind it"),
    Quantity("x", "x", LENGTH, "horizontal distance up-stair from the first nosing", ANY),
    Quantity("nosing_line_height", "y", LENGTH,
             "height of the nosing line over the lower landing", ANY),
)
_PANEL = (
    Quantity("panel_height", "P", LENGTH,
             "level panel, under its bottom rail to top of its top rail",
             key="height", table="panel",
             called="panel height, level"),
    Quantity("top_rail", "ht", LENGTH,
             "depth of the top rail, square to its length", key="top_rail", table="panel",
             called="top rail depth"),
    Quantity("bottom_rail", "hb", LENGTH,
             "depth of the bottom rail, square to its length", key="bottom_rail", table="panel",
             called="bottom rail depth"),
    Quantity("depth", "h", LENGTH, "depth of a rail, square to its length"),
    Quantity("rail_width", "wr", LENGTH,
             "width of a rail seen from above", NOT_NEGATIVE, key="rail_width", table="panel",
             called="rail width from above"),
    Quantity("baluster", "b", LENGTH,
             "width of a baluster in elevation", key="baluster", table="panel",
             called="baluster width"),
    Quantity("pitch", "p", LENGTH,
             "baluster centre to centre along the rail", key="pitch", table="panel",
             called="baluster spacing"),
    Quantity("rail_spacing_plumb", "S", LENGTH, "plumb distance between the rails' centre lines"),
    Quantity("rail_spacing", "Sq", LENGTH, "square distance between the rails' centre lines"),
    Quantity("plumb_depth", "hv", LENGTH, "depth of a rail measured plumb"),
    Quantity("top_plumb_depth", "htv", LENGTH, "depth of the top rail measured plumb"),
    Quantity("bottom_plumb_depth", "hbv", LENGTH, "depth of the bottom rail measured plumb"),
    Quantity("racked_height", "Pv", LENGTH,
             "racked panel, plumb, under bottom rail to top of top rail"),
    Quantity("panel_inner", "Pi", LENGTH,
             "bottom rail's top to top rail's underside, measured plumb"),
    Quantity("level_pitch", "pv", LENGTH, "baluster centre to centre, measured level"),
    Quantity("baluster_clear", "c", LENGTH, "clear between balusters, measured level", ANY),
    Quantity("hole_needed", "a", LENGTH, "hole along the rail that a racked baluster needs"),
    Quantity("hole_length", "a0", LENGTH,
             "hole along the rail that is there", key="length", table="slot",
             called="hole in rail, length"),
    Quantity("wall", "w", LENGTH,
             "thickness of the rail wall that the hole goes through",
             NOT_NEGATIVE, key="wall", table="slot",
             called="rail wall thickness"),
    Quantity("max_rack", "θm", ANGLE, "rake at which the baluster binds in its hole", NOT_NEGATIVE),
    Quantity("bottom_gap", "v", LENGTH,
             "plumb from the nosing line to under the bottom rail", ANY, key="bottom_gap",
             called="nosing line to rail"),
    Quantity("guard_height", "K", LENGTH,
             "plumb from the nosing line to the top of the top rail", ANY),
    Quantity("bottom_axis_height", "yb", LENGTH,
             "bottom rail's centre line over the lower landing", ANY),
    Quantity("top_axis_height", "yt", LENGTH, "top rail's centre line over the lower landing", ANY),
)
_RAILS = (
    Quantity("clear", "D", LENGTH, "bay, post face to post face, measured level"),
    Quantity("pivot_offset", "q", LENGTH,
             "post face to the bracket's pin, measured level",
             NOT_NEGATIVE, key="pivot_offset", table="bracket",
             called="post face to pin"),
    Quantity("rail_setback", "e", LENGTH,
             "pin to the square-cut rail end, along the rail",
             NOT_NEGATIVE, key="rail_setback", table="bracket",
             called="pin to rail end"),
    Quantity("end_clearance", "j", LENGTH,
             "post face to a plumb-cut rail's face, measured level",
             NOT_NEGATIVE, key="end_clearance", table="bracket",
             called="post face to cut face"),
    Quantity("pin_slope", "N", LENGTH, "pin to pin along the rail"),
    Quantity("rail_length", "M", LENGTH, "square-cut rail, end to end"),
    Quantity("plumb_cut_length", "Mj", LENGTH,
             "plumb-cut rail along its axis, cut face to cut face"),
    Quantity("stock_needed", "Mn", LENGTH, "stock that a plumb-cut rail takes, tip to tip"),
    Quantity("stock", "L0", LENGTH, "rail length as sold", key="stock", table="panel",
             called="rail lengths sold"),
    Quantity("pattern_shift", "mh", LENGTH,
             "how far a rail's row of holes is moved up it", NOT_NEGATIVE),
    Quantity("trim_low", "Tl", LENGTH, "what is cut off a stock rail's lower end", ANY),
    Quantity("trim_high", "Tu", LENGTH, "what is cut off a stock rail's upper end", ANY),
    Quantity("hole_position", "u", LENGTH, "rail end to a baluster's centre, along the rail", ANY),
    Quantity("hole_in_stock", "m", LENGTH,
             "uncut rail end to a baluster's centre, along the rail; typed for the first one", ANY,
             key="end_margin", table="panel",
             called="rail end to baluster"),
    Quantity("corner_clearance", "k", LENGTH,
             "post face to the nearest corner of a square-cut rail end", ANY),
    Quantity("underside_slot", "ku", LENGTH,
             "lower post's face to the lower corner of a square-cut rail end, measured level",
             NOT_NEGATIVE),
    Quantity("end_back", "hx", LENGTH,
             "how far a square rail end leans back, measured level", NOT_NEGATIVE),
    Quantity("end_up", "hy", LENGTH, "height of a square rail end, measured plumb"),
    Quantity("end_gap", "g", LENGTH,
             "post face to the nearest baluster's face, square-cut rail", ANY),
    Quantity("plumb_cut_end_gap", "gj", LENGTH,
             "post face to the nearest baluster's face, plumb-cut rail", ANY),
    Quantity("swing", "ψ", ANGLE, "turn of a bracket from level", NOT_NEGATIVE),
    Quantity("angle_low", "α", ANGLE, "above the rail, post to rail, at the lower post"),
    Quantity("angle_high", "β", ANGLE, "above the rail, post to rail, at the upper post"),
)
_POSTS = (
    Quantity("post_width", "C", LENGTH, "width of a post", key="width", table="post",
             called="post width"),
    Quantity("centre_distance", "A", LENGTH, "from post centre to post centre"),
    Quantity("spacing_along", "Aa", LENGTH, "from post centre to post centre, along the rake"),
    Quantity("low_reach", "Cl", LENGTH,
             "lower post's centre to its face, along the rail", NOT_NEGATIVE),
    Quantity("high_reach", "Cu", LENGTH,
             "upper post's centre to its face, along the rail", NOT_NEGATIVE),
    Quantity("centre", "xc", LENGTH, "post centre, from the first nosing", ANY, key="posts",
             called="nosing to middle of post", as_built="x"),
    Quantity("face_x", "xf", LENGTH, "post face, from the section's x = 0", ANY),
    Quantity("stand_off", "q0", LENGTH,
             "post face to pin or cut face, square to the face", NOT_NEGATIVE),
    Quantity("pin_x_up", "xu", LENGTH, "pin up-stair of a post's face, from the first nosing", ANY),
    Quantity("pin_x_down", "xd", LENGTH,
             "pin down-stair of a post's face, from the first nosing", ANY),
    Quantity("reveal", "z", LENGTH,
             "post top over the top rail carried on to the post's face",
             NOT_NEGATIVE, key="reveal", table="post",
             called="post above top rail"),
    Quantity("surface", "ys", LENGTH,
             "surface that a post stands on, over the lower landing", NOT_NEGATIVE,
             called="surface, dips and shims included", as_built="surface"),
    Quantity("step", "i", COUNT, "steps above the lower landing", NOT_NEGATIVE),
    Quantity("post_height", "Z", LENGTH, "post, from its own surface to its top"),
    Quantity("post_below", "Zb", LENGTH,
             "post below the surface that it stands beside",
             NOT_NEGATIVE, key="below", table="post",
             called="post below its surface"),
    Quantity("post_length", "Zl", LENGTH, "post from end to end"),
    Quantity("plate", "B0", LENGTH, "side of a square base plate", key="base", table="post",
             called="base plate, square"),
    Quantity("treads_in_front", "k0", COUNT,
             "treads that lie before the post's own surface", NOT_NEGATIVE),
    Quantity("nosing_x", "xk", LENGTH, "nosing in front of a step, from the first nosing", ANY),
    Quantity("plate_edge", "ep", LENGTH, "base plate to the nosing in front of it", ANY),
    Quantity("plate_edge_askew", "epa", LENGTH,
             "nearest corner of a base plate to an edge that it lies askew to", ANY),
    Quantity("hole_reach", "eh", LENGTH,
             "edge of a bracket's hole from its pin, plumb, upwards", ANY),
    Quantity("bottom_pin_height", "ypb", LENGTH,
             "mark of the bottom rail's bracket: its pin over the post's surface", ANY),
    Quantity("top_pin_height", "ypt", LENGTH,
             "mark of the top rail's bracket: its pin over the post's surface", ANY),
    Quantity("bottom_hole_height", "yhb", LENGTH,
             "edge of a hole of the bottom rail's bracket over the post's surface", ANY),
    Quantity("top_hole_height", "yht", LENGTH,
             "edge of a hole of the top rail's bracket over the post's surface", ANY),
    Quantity("over_hole", "Zo", LENGTH, "what is left of a post over a bracket's hole", ANY),
    Quantity("under_hole", "Zu", LENGTH, "what is left of a post under a bracket's hole", ANY),
)
_ASKEW = (
    Quantity("skew", "φ", ANGLE,
             "plan angle between the rail and the post face's normal", ACUTE),
    Quantity("true_angle", "τ", ANGLE,
             "true angle between the rail and the post face's normal", NOT_NEGATIVE),
    Quantity("half_along", "Ca", LENGTH,
             "post centre to its face, level along a rail that meets it askew"),
    Quantity("stand_off_along", "qa", LENGTH,
             "post face to pin or cut face, level along a rail that meets it askew", NOT_NEGATIVE),
    Quantity("mean_stand_off", "qm", LENGTH,
             "mean of the two stand-offs of a rail that meets its lower post askew", NOT_NEGATIVE),
    Quantity("skewed_corner_clearance", "ks", LENGTH,
             "post face to the nearest corner of a rail end that meets it askew, square to the "
             "face",
             ANY),
    Quantity("skewed_stock_needed", "Ls", LENGTH,
             "stock for a plumb-cut rail that meets its lower post askew, slanted tips included"),
    Quantity("pin_aside", "qs", LENGTH,
             "pin beside the middle of a post's face that a rail meets askew", NOT_NEGATIVE),
    Quantity("hole_beside", "es", LENGTH,
             "edge of a bracket's hole from its pin, level, the way that the pin is aside", ANY),
    Quantity("beside_hole", "Zs", LENGTH,
             "what is left of an askew post's face beside a bracket's hole", ANY),
    Quantity("saw_miter", "μ", ANGLE,
             "turn of the saw on its table from a square cut, the rail's underside on the table",
             NOT_NEGATIVE),
    Quantity("saw_bevel", "λ", ANGLE,
             "tilt of the blade from plumb, the rail's underside on the table", NOT_NEGATIVE),
    Quantity("side_miter", "μs", ANGLE,
             "turn of the saw on its table from a square cut, the rail's side on the table",
             NOT_NEGATIVE),
    Quantity("side_bevel", "λs", ANGLE,
             "tilt of the blade from plumb, the rail's side on the table", NOT_NEGATIVE),
)
_OPENINGS = (
    Quantity("corner_base", "B", LENGTH,
             "walking surface from under the nosing line's crossing to the upright face"),
    Quantity("corner_height", "Kc", LENGTH,
             "inner corner of surface and upright face up to the rail, plumb", ANY),
    Quantity("circle_x", "cx", LENGTH, "circle's centre, measured up-stair from the nosing", ANY),
    Quantity("circle_y", "cy", LENGTH, "circle's centre, height above the tread", ANY),
    Quantity("radius", "r", LENGTH, "largest circle in the corner under the rail", ANY),
    Quantity("corner_circle", "Ø", LENGTH,
             "diameter of the largest circle in the corner under the rail", ANY),
    Quantity("corner_square", "Q", LENGTH,
             "edge of the square in the corner of surface and upright face"),
    Quantity("stringer_margin", "mv", LENGTH,
             "closed stringer's top edge, plumb above the nosing line", ANY, key="stringer_margin",
             called="stringer over nosing line"),
    Quantity("strip_opening", "o", LENGTH,
             "square height of the strip over a closed stringer", ANY),
    Quantity("filler", "hf", LENGTH,
             "depth of a strip under the bottom rail", NOT_NEGATIVE, key="filler",
             called="strip under bottom rail"),
    Quantity("clear_gap", "vc", LENGTH, "bottom gap that a strip under the rail leaves open", ANY),
    Quantity("front_lift", "vl", LENGTH,
             "nosing line over the front edge of a step, plumb", NOT_NEGATIVE),
    Quantity("front_gap", "vf", LENGTH, "rail's underside over the front edge of a step", ANY),
    Quantity("side_gap", "wg", LENGTH,
             "tread ends or stringer face to the guard's plane", NOT_NEGATIVE, key="side_gap",
             called="guard outside tread ends"),
    Quantity("flat_gap", "d0", LENGTH, "between two parallel edges, square to them, in elevation"),
    Quantity("strip_ball", "Øs", LENGTH, "largest ball between two parallel edges in two planes"),
)
_AROUND = (
    Quantity("span", "As", LENGTH,
             "level run, centre of its first post to centre of its last",
             key="span", called="middle of first post to last"),
    Quantity("edge", "E", LENGTH,
             "edge of a deck or landing, from corner, wall or stair to corner, wall or stair",
             key="edge", called="edge, corner to corner"),
    Quantity("stair_width", "Y", LENGTH,
             "stair, tread end to tread end; on a level run guard to guard, centre to centre",
             key="width", called="stair width"),
    Quantity("turn", "φt", ANGLE,
             "turn in plan from the run before, to the left positive", ANY,
             key="turn", called="turn, degrees, left +"),
    Quantity("drop", "F", LENGTH,
             "upper landing or deck down to the ground or floor beside the guard",
             key="drop", called="deck down to ground"),
)
_FURTHER = (
    Quantity("joist_spacing", "Js", LENGTH, "joist centre to joist centre",
             key="joist_spacing", table="framing", called="joist spacing"),
    Quantity("first_joist", "Jf", LENGTH,
             "first post's centre to the first joist's, or deck edge to it where joists run along "
             "the guard", ANY,
             key="first_joist", table="framing", called="post middle or edge to joist"),
    Quantity("joist_thickness", "Jt", LENGTH, "thickness of a joist",
             key="joist_thickness", table="framing", called="joist thickness"),
    Quantity("joist_depth", "Jd", LENGTH, "depth of a joist",
             key="joist_depth", table="framing", called="joist depth"),
    Quantity("board_width", "Bw", LENGTH, "width of a deck board",
             key="board_width", table="framing", called="board width"),
    Quantity("board_gap", "Bg", LENGTH, "gap between two deck boards", NOT_NEGATIVE,
             key="board_gap", table="framing", called="gap between boards"),
    Quantity("first_board", "Bf", LENGTH,
             "deck edge to the first board's outer edge, or first post's centre to it where boards "
             "run across the guard", ANY,
             key="first_board", table="framing", called="edge to first board"),
    Quantity("edge_to_post", "Ee", LENGTH, "deck edge to the middle of a post, square to it",
             key="edge_to_post", table="framing", called="edge to middle of post"),
    Quantity("bolt_inset", "Bi", LENGTH, "edge of the base plate to a bolt's centre",
             key="bolt_inset", table="framing", called="plate edge to bolt"),
    Quantity("bolt_diameter", "Bd", LENGTH, "diameter of a bolt",
             key="bolt_diameter", table="framing", called="bolt diameter"),
    Quantity("bracket_hole", "Ho", LENGTH,
             "pin to a screw hole of the bracket's plate, to the right, then up", ANY,
             key="holes", table="bracket", called="holes: right of pin, then up"),
    Quantity("hole_diameter", "Hd", LENGTH, "diameter of these holes",
             key="hole_diameter", table="bracket", called="hole diameter"),
    Quantity("body_height", "bh", LENGTH, "height of the bracket's body, plumb",
             key="height", table="body", called="bracket body, height"),
    Quantity("body_reach", "br", LENGTH, "how far the bracket's body reaches from the post's face",
             key="reach", table="body", called="bracket body, reach"),
    Quantity("post_outside", "Po", LENGTH,
             "edge of a deck to the near face of a post that is fixed to its side", NOT_NEGATIVE,
             key="outside", table="post", called="deck edge to post face"),
    Quantity("post_gap", "Pg", LENGTH,
             "clear between the last post of a section and the next one's own first post",
             key="post_gap", called="between two posts"),
    Quantity("ground_fall", "Fg", LENGTH, "how far the ground beside the guard falls",
             NOT_NEGATIVE, key="fall", table="ground_slope", called="ground falls by"),
    Quantity("ground_over", "Fo", LENGTH, "how far out, level, it falls so much",
             key="over", table="ground_slope", called="so far out, level"),
)
_STANDING = (
    Quantity("lean", "Zp", LENGTH,
             "top of a post out of plumb over its foot, along the rail", ANY,
             called="top out of plumb", as_built="lean"),
    Quantity("clear_low", "Db", LENGTH,
             "bay as it stands, post face to post face, level, where the bottom rail goes",
             called="clear at the bottom rail", as_built="clear_low"),
    Quantity("clear_high", "Dt", LENGTH,
             "bay as it stands, post face to post face, level, where the top rail goes",
             called="clear at the top rail", as_built="clear_high"),
)
# fmt: on

NAMES_PAGE: dict[str, tuple[Quantity, ...]] = {
    "The flight": _FLIGHT,
    "The panel": _PANEL,
    "Brackets and rails": _RAILS,
    "Posts": _POSTS,
    "Rails that meet a post askew": _ASKEW,
    "Openings": _OPENINGS,
    "Around the stair": _AROUND,
    "Framing, holes and ground": _FURTHER,
    "Posts as they stand": _STANDING,
}
"""Every quantity, by the part of the guard that it belongs to."""

QUANTITIES: dict[str, Quantity] = {
    quantity.name: quantity
    for group in NAMES_PAGE.values()
    if group not in (_AROUND, _FURTHER, _STANDING)
    for quantity in group
}
"""Every quantity that stands in an equation, by its name."""

TYPED: dict[tuple[str, str], Quantity] = {
    (quantity.table, key): quantity
    for group in NAMES_PAGE.values()
    for quantity in group
    for key in (quantity.key, quantity.each)
    if key
}
"""What is measured for a job file before anything is built, by table and key where it is typed."""

FURTHER = {(quantity.table, quantity.key): quantity for quantity in _FURTHER}
"""What of that few jobs have, and a picture of its own letters."""

AS_BUILT: dict[str, Quantity] = {
    quantity.as_built: quantity
    for group in NAMES_PAGE.values()
    for quantity in group
    if quantity.as_built
}
"""What is measured of a post once it stands, by the key where it is typed."""

FLIGHT = ("risers", "treads", "total_rise", "total_run", "unit_rise", "unit_run", "rake")
"""What can fix a flight, those first that rule where two disagree within the tape."""

FLIGHT_KEYS: dict[str, str] = {QUANTITIES[name].key: name for name in FLIGHT}
"""Job file key to quantity name, for the measurements that can fix a flight."""
