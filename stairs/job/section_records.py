"""The records of the sections of a guard: flights of a stair, and level runs between them.

A section is what the guard follows from one end to the other without a turn.  Much is asked of both
kinds alike (what it starts and ends at, which hand, how its rails are trimmed) and stands in
:class:`Guarded`; a flight adds its steps, a level run its span and the framing under it.  Keys of a
kind come before those that both share.
"""

from fractions import Fraction
from typing import Annotated, Literal

import msgspec

from stairs.job.key_notes import FLAT, Trim, above_zero, degrees, from_zero, note, plain


class GroundSlope(msgspec.Struct, frozen=True, kw_only=True):
    """How the ground falls away from the guard, off a level and a tape."""

    fall: Annotated[Fraction, from_zero("how far the ground falls", "8", "200")]
    over: Annotated[
        Fraction, above_zero("how far out, level, from the edge it falls so much", "48", "1200")
    ]


class SectionEnds(msgspec.Struct, frozen=True, kw_only=True):
    """How a section joins the one before it and the one after it."""

    turn: Annotated[
        Fraction,
        degrees(
            "the plan turn from the section before",
            least=-180,
            most=180,
            quiet=True,
            more="left positive",
        ),
    ] = Fraction(0)
    start: Annotated[
        Literal["post", "wall", "own"],
        plain(
            "what the run starts at",
            quiet=True,
            more="`post` shares the post of the section before, `own` stands beside it, `wall` has "
            "none",
        ),
    ] = "post"
    post_gap: Annotated[
        Fraction | None,
        above_zero(
            "the clear width between the neighbour's last post and this section's own first one",
            "2",
            "50",
            more='with `start = "own"`',
        ),
    ] = None
    end: Annotated[Literal["post", "wall"], plain("what the run ends at", quiet=True)] = "post"


class Guarded(msgspec.Struct, frozen=True, kw_only=True):
    """What a guard along a flight and one along a level run have in common."""

    name: Annotated[str, note("text", "the section's name", quiet=True, filled=True)] = ""
    bays: Annotated[
        int | Literal["auto"] | None,
        plain("the number of bays", 'a whole number of 1 or more, or "auto"', quiet=True),
    ] = None
    filler: Annotated[
        Fraction,
        from_zero(
            "how deep, plumb, a strip under the bottom rail is",
            "3/4",
            "20",
            quiet=True,
            more="closes that much of the gap",
        ),
    ] = Fraction(0)
    trim: Annotated[
        Trim | tuple[Trim, ...] | None,
        note(
            "trim",
            "how the rails of this section are cut from stock",
            more="over the panel's: one word, or a list with one for each bay",
        ),
    ] = None
    handrail: Annotated[
        bool,
        plain(
            "whether the top rail serves as the handrail",
            says={False: "the top rail is not the handrail"},
        ),
    ] = False
    hand: Annotated[
        Literal["left", "right", "both"],
        plain(
            "the side that the guard is on, seen going up",
            quiet=True,
            more="`both` counts all twice, and works the left-hand line out where it turns",
        ),
    ] = "right"
    ground_slope: Annotated[
        GroundSlope | None,
        note(
            "inner",
            "how the ground falls away from the guard, where it is steepest within 4 ft (1.2 m)",
            more="some codes ask for a guard by it",
        ),
    ] = None
    ends: Annotated[SectionEnds, FLAT] = SectionEnds()


class Framing(msgspec.Struct, frozen=True, kw_only=True):
    """The deck under a level run: its joists and its boards."""

    direction: Annotated[
        Literal["across", "along"],
        plain(
            "which way the joists run, seen along the guard",
            more="seen along the first level run (without one, along the top nosing); where the "
            "guard turns, each later run sees the same joists turned",
        ),
    ]
    joist_spacing: Annotated[
        Fraction, above_zero("the distance between joist centres", "16", "400")
    ]
    first_joist: Annotated[
        Fraction,
        note(
            "place",
            "where the first joist's centre lies: from the first post's centre where joists run "
            "across the guard, from the deck edge where they run along it",
            example=("4", "100"),
        ),
    ]
    joist_thickness: Annotated[
        Fraction, above_zero("the thickness of a joist, which its blocks share", "1 1/2", "38")
    ]
    joist_depth: Annotated[
        Fraction | None, above_zero("the depth of a joist, top edge to bottom", "7 1/4", "195")
    ] = None
    board_width: Annotated[
        Fraction | None, above_zero("the width of a deck board", "5 1/2", "140")
    ] = None
    board_gap: Annotated[
        Fraction | None, from_zero("the gap between two deck boards", "1/8", "5")
    ] = None
    board_direction: Annotated[
        Literal["across", "along"],
        plain(
            "which way the boards run, seen along the joists",
            says={"across": "boards run across the joists"},
        ),
    ] = "across"
    first_board: Annotated[
        Fraction | None,
        note(
            "place",
            "where the first board's outer edge lies: from the deck edge where boards run along "
            "the guard, from the first post's centre where they run across it",
            example=("0", "0"),
        ),
    ] = None
    edge_to_post: Annotated[
        Fraction | None,
        above_zero("the distance from deck edge to post centre, square to it", "5 1/4", "135"),
    ] = None
    bolt_inset: Annotated[
        Fraction,
        above_zero(
            "the distance from the edge of the base plate to a bolt's centre",
            "3/4",
            "20",
            assumed=(Fraction(3, 4), Fraction(20)),
        ),
    ] = Fraction(0)
    bolt_diameter: Annotated[
        Fraction,
        above_zero("the diameter of a bolt", "1/2", "12", assumed=(Fraction(1, 2), Fraction(12))),
    ] = Fraction(0)

    outside: bool | None = None  # worked out: whether one more joist lies outside the first
    unknown: bool = False  # worked out: whether all that is known here is the edge


class FlightSteps(msgspec.Struct, frozen=True, kw_only=True):
    """What was measured of the steps of a flight; any set that is enough."""

    rise: Annotated[
        Fraction | None,
        above_zero(
            "the total rise, lower landing to upper landing",
            "43 1/2",
            "1100",
            more="any of rise, unit_rise, risers, treads, run, unit_run and rake that are enough "
            "fix a flight",
        ),
    ] = None
    unit_rise: Annotated[Fraction | None, above_zero("the height of one riser", "7 1/4", "175")] = (
        None
    )
    risers: Annotated[int | None, plain("the number of risers", "a whole number of 2 or more")] = (
        None
    )
    treads: Annotated[int | None, plain("the number of treads", "a whole number of 1 or more")] = (
        None
    )
    run: Annotated[
        Fraction | None, above_zero("the total run, first nosing to last", "52 1/2", "1250")
    ] = None
    unit_run: Annotated[
        Fraction | None, above_zero("the run of one tread, nosing to nosing", "10 1/2", "250")
    ] = None
    rake: Annotated[
        Fraction | None,
        degrees("the angle of the nosing line from level", least=0, most=90, above=True),
    ] = None
    top: Annotated[
        Literal["landing", "tread"],
        plain(
            "what the last riser leads to",
            says={"landing": "the last riser leads onto the upper landing"},
            more="`tread` where the last tread is flush with the landing",
        ),
    ] = "landing"
    nosings: Annotated[
        tuple[tuple[Fraction, Fraction], ...] | None,
        note(
            "points",
            "the measured nosing points, lowest first",
            more="`[x, y]` of each, instead of rise, run and the like",
        ),
    ] = None
    rises: Annotated[
        tuple[Fraction, ...] | None,
        note(
            "lengths",
            "every riser as measured singly, lowest first",
            example=('"7 1/4"', '"175"'),
            more="with `runs`, instead of `nosings`; `rise` and `run` beside them are held against "
            "their sums",
        ),
    ] = None
    runs: Annotated[
        tuple[Fraction, ...] | None,
        note(
            "lengths",
            "every tread as measured singly, nosing to nosing, lowest first",
            example=('"10 1/2"', '"250"'),
        ),
    ] = None
    rail_line: Annotated[
        Literal["cover", "ends", "mean"] | None,
        plain(
            "the straight line over measured nosings that the rail follows",
            quiet=True,
            more="`cover` (default) covers all and lies closest; `ends` and `mean` are parallel to "
            "first and last nosing or to least squares, raised to clear all",
        ),
    ] = None
    totals: tuple[str, ...] = ()  # of rise and run, what bore out steps that were measured singly


class StairBuild(msgspec.Struct, frozen=True, kw_only=True):
    """How a flight is built, and how far outside it the guard stands."""

    nosing: Annotated[
        Fraction,
        from_zero(
            "how far a nosing stands out over the riser below",
            "1",
            "25",
            says={0: "nosings do not stand out over the risers"},
        ),
    ] = Fraction(0)
    tread_thickness: Annotated[
        Fraction | None,
        above_zero(
            "the thickness of a tread",
            "1 1/4",
            "40",
            more="left out, thin, which leaves the larger opening",
        ),
    ] = None
    open_risers: Annotated[
        bool, plain("whether the risers are left open", says={False: "risers are closed"})
    ] = False
    riser_slope: Annotated[
        Fraction, degrees("how far a riser is raked back from plumb", least=0, most=45, quiet=True)
    ] = Fraction(0)
    stringer: Annotated[
        Literal["cut", "closed"], plain("the kind of stringer", says={"cut": "the stringer is cut"})
    ] = "cut"
    stringer_margin: Annotated[
        Fraction | None,
        from_zero(
            "how far, plumb, the stringer's edge lies above the nosing line",
            "2",
            "50",
            more="of a closed stringer",
        ),
    ] = None
    side_gap: Annotated[
        Fraction,
        from_zero(
            "how far the guard stands outside the tread ends",
            "1",
            "25",
            says={0: "no gap between tread ends and guard"},
        ),
    ] = Fraction(0)


class JobFlight(Guarded, frozen=True, kw_only=True):
    """One flight of stairs and the guard that climbs it."""

    kind: Annotated[Literal["flight"], plain("the kind of section", '"flight" or "level"')] = (
        "flight"
    )
    steps: Annotated[FlightSteps, FLAT] = FlightSteps()
    build: Annotated[StairBuild, FLAT] = StairBuild()
    posts: Annotated[
        tuple[Fraction, ...] | None,
        note(
            "posts",
            "the post centres, from the first nosing",
            more="left out, they are placed; the range is that from post to post",
        ),
    ] = None
    bottom_gap: Annotated[
        Fraction | Literal["auto"],
        note(
            "gap",
            "the plumb distance from nosing line to underside of bottom rail",
            example=("5/8", "30"),
            says={"auto": "the bottom gap is chosen inside its window"},
        ),
    ] = "auto"
    drop: Annotated[
        Fraction | None,
        above_zero(
            "how far the ground or floor beside the guard lies below the upper landing",
            "43 1/2",
            "1100",
        ),
    ] = None
    width: Annotated[
        Fraction | None,
        above_zero(
            "the width of the stair, tread end to tread end",
            "36",
            "900",
            more="says where the left-hand line is",
        ),
    ] = None
    framing: Framing | None = None  # under its head, where no level run goes on from there


class JobLevel(Guarded, frozen=True, kw_only=True):
    """One level run of the guard, on a deck or a landing."""

    kind: Annotated[Literal["level"], plain("the kind of section", '"flight" or "level"')] = "level"
    span: Annotated[
        Fraction,
        above_zero(
            "the distance from centre of first post to centre of last",
            "132",
            "3300",
            more="or to a wall's face; left out, as the posts listed",
        ),
    ]
    posts: Annotated[
        tuple[Fraction, ...] | None,
        note(
            "posts",
            "the post centres, from the first post",
            more="left out, they are placed; the range is that from post to post",
        ),
    ] = None
    bottom_gap: Annotated[
        Fraction | Literal["auto"],
        note(
            "gap",
            "the distance from walking surface to underside of bottom rail",
            example=("2", "50"),
            says={"auto": "the bottom gap is chosen inside its window"},
        ),
    ] = "auto"
    surface: Annotated[
        Literal["landing", "deck"] | None,
        plain(
            "what the run is on: a landing of the stair, or a deck, porch or balcony",
            sample='"deck"',
            quiet=True,
            more="left out, a run with flights at both ends, directly or over further runs, is on "
            "a landing",
        ),
    ] = None
    drop: Annotated[
        Fraction | None,
        above_zero(
            "how far the ground or floor beside the guard lies below the walking surface",
            "43 1/2",
            "1100",
        ),
    ] = None
    framing: Annotated[
        Framing | None,
        note(
            "framing",
            "the joists and boards under a level run",
            quiet=True,
            more="the same keys as `[framing]`, over them for this run",
        ),
    ] = None
    width: Annotated[
        Fraction | None,
        above_zero(
            "the distance between the guards on either hand, centre to centre of their posts",
            "36",
            "900",
            more="left out, as of the flight beside it",
        ),
    ] = None
