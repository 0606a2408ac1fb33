"""The records of a job: what a person measured, chose and typed, and nothing worked out from it.

A job is one guard: a kind of panel, of bracket and of post, and the sections (flights of a stair
and level runs) along which they stand.  Every record is frozen.  Every length is an exact fraction
in the job's own units, every angle an exact fraction of degrees.

A field's name is its key in the job file.  What each key measures, which values it may take and how
it is written stands in ``keys.json``, by record and field.
"""

from fractions import Fraction
from typing import Annotated, Literal

import msgspec

from stairs.job.key_notes import FLAT, Trim
from stairs.lengths.tolerances import Tolerances

USUAL_SPACING = {"in": Fraction(72), "mm": Fraction(1800)}
"""How far apart posts are placed at most where the job does not say; common practice, no source."""

MOST_STEPS = 100  # risers, nosings, posts or bays of one section; more would take minutes to solve


class Slot(msgspec.Struct, frozen=True, kw_only=True):
    """The hole in a rail through which a baluster passes, as it limits racking."""

    length: Fraction
    wall: Fraction


class Panel(msgspec.Struct, frozen=True, kw_only=True):
    """The factory-made panel: two rails and plumb balusters, measured level."""

    height: Fraction
    top_rail: Fraction
    bottom_rail: Fraction
    baluster: Fraction
    pitch: Fraction
    stock: tuple[Fraction, ...] = ()
    end_margin: Fraction | None = None
    max_rack: Fraction | None = None
    slot: Slot | None = None
    rail_width: Fraction | None = None
    trim: Trim = "auto"


class BracketBody(msgspec.Struct, frozen=True, kw_only=True):
    """The block of a bracket between post and rail end, which fills the slot there."""

    height: Fraction
    reach: Fraction


class Bracket(msgspec.Struct, frozen=True, kw_only=True):
    """What joins a rail to a post: a pin that swings, or a socket for a plumb-cut rail end."""

    kind: Literal["pivot", "plumb-cut"]
    pivot_offset: Fraction = Fraction(0)
    rail_setback: Fraction = Fraction(0)
    max_swing: Fraction | None = None
    end_clearance: Fraction = Fraction(0)
    body: BracketBody | None = None
    holes: tuple[tuple[Fraction, Fraction], ...] = ()
    hole_diameter: Fraction | None = None


class PostKind(msgspec.Struct, frozen=True, kw_only=True):
    """The post and its base plate."""

    width: Fraction
    base: Fraction | None = None
    edge_distance: Fraction = Fraction(0)
    reveal: Fraction = Fraction(0)
    below: Fraction | None = None
    outside: Fraction | None = None
    stock: tuple[Fraction, ...] = ()
    max_spacing: Fraction | None = None

    @property
    def foot(self) -> Fraction:
        """The side of what lies on the surface: the base plate, or the post itself."""
        return self.base or self.width

    @property
    def edge(self) -> Fraction | None:
        """How far the foot keeps from any edge; None where nothing lies on the surface that must.

        Posts that go on below their surface stand beside it or in it.
        """
        if self.below is not None or (self.base is None and not self.edge_distance):
            return None
        return self.edge_distance

    @property
    def inset(self) -> Fraction:
        """From the edge of a deck in to the centre of a post by it; below 0 where posts are fixed
        to the side of the deck and stand outside.
        """
        if self.outside is not None:
            return -self.width / 2 - self.outside
        return self.foot / 2 + (self.edge or 0)


class GroundSlope(msgspec.Struct, frozen=True, kw_only=True):
    """How the ground falls away from the guard, off a level and a tape."""

    fall: Fraction
    over: Fraction


class SectionEnds(msgspec.Struct, frozen=True, kw_only=True):
    """How a section joins the one before it and the one after it."""

    turn: Fraction = Fraction(0)
    start: Literal["post", "wall", "own"] = "post"
    post_gap: Fraction | None = None
    end: Literal["post", "wall"] = "post"

    first_post: Fraction | None = None  # worked out: where the edge of a landing puts a post of a
    last_post: Fraction | None = None  # flight whose posts are left open


class AsBuilt(msgspec.Struct, frozen=True, kw_only=True):
    """One post as it stands: what was measured of it once it was set; None where it was not."""

    post: int
    hand: Literal["left", "right", "both"] = "both"
    x: Fraction | None = None
    surface: Fraction | None = None
    lean: Fraction | None = None
    clear_low: Fraction | None = None
    clear_high: Fraction | None = None

    designed: Fraction | None = None  # worked out: the x at which the job had it before


class Guarded(msgspec.Struct, frozen=True, kw_only=True):
    """What a guard along a flight and one along a level run have in common."""

    name: str = ""
    bays: int | Literal["auto"] | None = None
    filler: Fraction = Fraction(0)
    trim: Trim | tuple[Trim, ...] | None = None
    handrail: bool = False
    hand: Literal["left", "right", "both"] = "right"
    ground_slope: GroundSlope | None = None
    as_built: tuple[AsBuilt, ...] = ()
    done: tuple[str, ...] = ()
    ends: Annotated[SectionEnds, FLAT] = SectionEnds()


class Framing(msgspec.Struct, frozen=True, kw_only=True):
    """The deck under a level run: its joists and its boards."""

    direction: Literal["across", "along"]
    joist_spacing: Fraction
    first_joist: Fraction
    joist_thickness: Fraction
    joist_depth: Fraction | None = None
    board_width: Fraction | None = None
    board_gap: Fraction | None = None
    board_direction: Literal["across", "along"] = "across"
    first_board: Fraction | None = None
    edge_to_post: Fraction | None = None
    bolt_inset: Fraction = Fraction(0)
    bolt_diameter: Fraction = Fraction(0)

    outside: bool | None = None  # worked out: whether one more joist lies outside the first
    unknown: bool = False  # worked out: whether all that is known here is the edge


class FlightSteps(msgspec.Struct, frozen=True, kw_only=True):
    """What was measured of the steps of a flight; any set that is enough."""

    rise: Fraction | None = None
    unit_rise: Fraction | None = None
    risers: int | None = None
    treads: int | None = None
    run: Fraction | None = None
    unit_run: Fraction | None = None
    rake: Fraction | None = None
    top: Literal["landing", "tread"] = "landing"
    nosings: tuple[tuple[Fraction, Fraction], ...] | None = None
    rises: tuple[Fraction, ...] | None = None
    runs: tuple[Fraction, ...] | None = None
    rail_line: Literal["cover", "ends", "mean"] | None = None
    totals: tuple[str, ...] = ()  # of rise and run, what bore out steps that were measured singly


class StairBuild(msgspec.Struct, frozen=True, kw_only=True):
    """How a flight is built, and how far outside it the guard stands."""

    nosing: Fraction = Fraction(0)
    tread_thickness: Fraction | None = None
    open_risers: bool = False
    riser_slope: Fraction = Fraction(0)
    stringer: Literal["cut", "closed"] = "cut"
    stringer_margin: Fraction | None = None
    side_gap: Fraction = Fraction(0)


class JobFlight(Guarded, frozen=True, kw_only=True):
    """One flight of stairs and the guard that climbs it."""

    kind: Literal["flight"] = "flight"
    steps: Annotated[FlightSteps, FLAT] = FlightSteps()
    build: Annotated[StairBuild, FLAT] = StairBuild()
    posts: tuple[Fraction, ...] | None = None
    bottom_gap: Fraction | Literal["auto"] = "auto"
    drop: Fraction | None = None
    width: Fraction | None = None
    framing: Framing | None = None  # under its head, where no level run goes on from there


class LevelEdge(msgspec.Struct, frozen=True, kw_only=True):
    """The edge of a deck or a landing, along which a level run stands."""

    edge: Fraction | None = None
    opening: Literal["start", "end", "both"] | None = None

    listed_from: Fraction = Fraction(0)  # worked out: the first post's x where posts are listed
    at_start: Fraction | None = None  # worked out: from where the edge starts to the first post
    at_end: Fraction | None = None  # worked out: from the last post to where the edge ends


class JobLevel(Guarded, frozen=True, kw_only=True):
    """One level run of the guard, on a deck or a landing."""

    kind: Literal["level"] = "level"
    measured: Annotated[LevelEdge, FLAT] = LevelEdge()
    span: Fraction
    posts: tuple[Fraction, ...] | None = None
    bottom_gap: Fraction | Literal["auto"] = "auto"
    surface: Literal["landing", "deck"] | None = None
    drop: Fraction | None = None
    framing: Framing | None = None
    width: Fraction | None = None


class Tolerance(msgspec.Struct, frozen=True, kw_only=True):
    """How far off one measurement may be, by its key; that of another table by both."""

    key: str
    within: Fraction


class LocalOverride(msgspec.Struct, frozen=True, kw_only=True):
    """One value of the rulebook that the user replaces, and why."""

    check: str
    limit: Fraction
    reason: str


class SheetKeys(msgspec.Struct, frozen=True, kw_only=True):
    """What the title block is to say, and the paper."""

    paper: str | None = None
    address: tuple[str, ...] = ()
    drawn_by: str | None = None
    date: str | None = None
    revision: str | None = None
    north: Fraction | None = None


class Job(msgspec.Struct, frozen=True, kw_only=True):
    """One whole job, as read."""

    title: str = ""
    units: Literal["in", "mm"]
    rules: str
    use: str | None = None
    words: Literal["us", "ca", "uk", "au"] | None = None
    tape: Fraction
    measured_within: Fraction
    panel: Panel
    bracket: Bracket
    post: PostKind
    sections: tuple[JobFlight | JobLevel, ...]
    measured: tuple[Tolerance, ...] = ()
    local: tuple[LocalOverride, ...] = ()
    sheet: SheetKeys = SheetKeys()
    assumed: tuple[str, ...] = ()
    where: str = ""

    @property
    def tolerances(self) -> Tolerances:
        """How far off each measurement may be."""
        own = tuple((one.key, one.within) for one in self.measured)
        return Tolerances(self.measured_within, own)
