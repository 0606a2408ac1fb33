"""The records of a job: what a person measured, chose and typed, and nothing worked out from it.

A job is one guard: a kind of panel, of bracket and of post, and the sections (flights of a stair
and level runs) along which they stand.  Every record is frozen.  Every length is an exact fraction
in the job's own units, every angle an exact fraction of degrees.

The records are also the description of the job file: a field's name is its key, and the note
beside it says what the key measures, which values it may take, and how an example looks in inches
and in millimetres.  The reader (:mod:`stairs.job_table`) takes its checks and its messages from
these notes, so that a key is described in one place.
"""

from fractions import Fraction
from typing import Annotated, Any, Literal

import msgspec

MOST_STEPS = 1000  # risers, nosings, posts or bays of one section; far beyond any stair


def _note(reads: str, meaning: str, **extra: Any) -> msgspec.Meta:
    return msgspec.Meta(description=meaning, extra={"reads": reads, **extra})


def above_zero(meaning: str, inch: str, metric: str, **extra: Any) -> msgspec.Meta:
    """The note of a length above 0, with an example in inches and one in millimetres."""
    return _note("length", meaning, least=0, above=True, example=(inch, metric), **extra)


def from_zero(meaning: str, inch: str, metric: str, **extra: Any) -> msgspec.Meta:
    """The note of a length that may be 0."""
    return _note("length", meaning, least=0, above=False, example=(inch, metric), **extra)


def degrees(meaning: str, **extra: Any) -> msgspec.Meta:
    """The note of an angle [degrees]."""
    return _note("degrees", meaning, **extra)


def plain(meaning: str, allowed: str, **extra: Any) -> msgspec.Meta:
    """The note of a choice, a whole number, a text or a yes or no."""
    return _note("plain", meaning, allowed=allowed, **extra)


YES_OR_NO = "true or false, without quotes"

TRIM_WORDS = '"even", "half-pitch" or "auto"'
Trim = Literal["even", "half-pitch", "auto"]
"""How a rail is cut from stock; ``"auto"`` takes, bay by bay, the one of the two that is better."""


class Slot(msgspec.Struct, frozen=True, kw_only=True):
    """The hole in a rail through which a baluster passes, as it limits racking."""

    length: Annotated[Fraction, above_zero("the hole's length along the rail", "1 1/8", "28")]
    wall: Annotated[
        Fraction,
        above_zero("the thickness that the hole goes through", "1/16", "2"),
    ]


class Panel(msgspec.Struct, frozen=True, kw_only=True):
    """The factory-made panel: two rails and plumb balusters, measured level."""

    height: Annotated[
        Fraction,
        above_zero(
            "the height of the level panel, underside of bottom rail to top of top rail",
            "32",
            "900",
            slip=("a panel's height", 200, 100),
        ),
    ]
    top_rail: Annotated[
        Fraction, above_zero("the depth of the top rail seen in elevation", "1 3/4", "45")
    ]
    bottom_rail: Annotated[
        Fraction, above_zero("the depth of the bottom rail seen in elevation", "1 1/2", "40")
    ]
    baluster: Annotated[
        Fraction, above_zero("the width of a baluster seen in elevation", "3/4", "20")
    ]
    pitch: Annotated[
        Fraction,
        above_zero(
            "the distance between baluster centres along the rail",
            "4 1/2",
            "110",
            slip=("a baluster pitch", 40, 20),
        ),
    ]
    stock: Annotated[
        tuple[Fraction, ...], _note("stock", "the rail lengths sold", example=('"72"', '"2400"'))
    ] = ()
    end_margin: Annotated[
        Fraction | None,
        from_zero(
            "the distance from an uncut rail end to the first baluster centre", "2 1/4", "55"
        ),
    ] = None
    max_rack: Annotated[
        Fraction | None, degrees("the rake that the maker gives as greatest", least=0, most=90)
    ] = None
    slot: Annotated[Slot | None, _note("slot", "the hole that a baluster passes")] = None
    rail_width: Annotated[
        Fraction | None, above_zero("the width of a rail seen from above", "1 1/2", "40")
    ] = None
    trim: Annotated[Trim, plain("how a rail is cut from stock", TRIM_WORDS, quiet=True)] = "even"


class BracketBody(msgspec.Struct, frozen=True, kw_only=True):
    """The block of a bracket between post and rail end, which fills the slot there."""

    height: Annotated[Fraction, above_zero("the plumb height of the bracket's body", "1 1/2", "40")]
    reach: Annotated[
        Fraction, above_zero("how far the body reaches from the post face", "1 1/4", "32")
    ]


class Bracket(msgspec.Struct, frozen=True, kw_only=True):
    """What joins a rail to a post: a pin that swings, or a socket for a plumb-cut rail end."""

    kind: Annotated[
        Literal["pivot", "plumb-cut"],
        plain("the kind of bracket", '"pivot" or "plumb-cut"', sample='"pivot"'),
    ]
    pivot_offset: Annotated[
        Fraction, from_zero("the distance from post face to pin", "1 1/8", "28", quiet=True)
    ] = Fraction(0)
    rail_setback: Annotated[
        Fraction,
        from_zero("the distance from pin to rail end, along the rail", "3/8", "10", quiet=True),
    ] = Fraction(0)
    max_swing: Annotated[
        Fraction | None, degrees("the bracket's greatest swing from level", least=0, most=90)
    ] = None
    end_clearance: Annotated[
        Fraction,
        from_zero("the distance from post face to cut face", "1/8", "3", quiet=True),
    ] = Fraction(0)
    body: Annotated[
        BracketBody | None, _note("body", "what the bracket fills between post and rail end")
    ] = None


class PostKind(msgspec.Struct, frozen=True, kw_only=True):
    """The post and its base plate."""

    width: Annotated[
        Fraction,
        above_zero(
            "the width of a post seen in elevation", "3", "75", slip=("a post's width", 24, 10)
        ),
    ]
    base: Annotated[
        Fraction | None, above_zero("the side of the square base plate", "5", "125")
    ] = None
    edge_distance: Annotated[
        Fraction,
        from_zero("the least distance from base plate to any tread or deck edge", "2 3/4", "70"),
    ] = Fraction(0)
    reveal: Annotated[
        Fraction,
        from_zero(
            "how far a post stands above the top rail at its highest face",
            "1",
            "25",
            assumed=(Fraction(1), Fraction(25)),
        ),
    ] = Fraction(0)
    stock: Annotated[
        tuple[Fraction, ...], _note("stock", "the post lengths sold", example=('"45"', '"1150"'))
    ] = ()
    max_spacing: Annotated[
        Fraction | None,
        above_zero(
            "the greatest distance between post centres, level",
            "72",
            "1800",
            assumed=(Fraction(72), Fraction(1800)),
            quiet=True,
            slip=("the spacing of posts", 240, 240),
        ),
    ] = None


class Flight(msgspec.Struct, frozen=True, kw_only=True):
    """One flight of stairs and the guard that climbs it."""

    name: Annotated[str, _note("text", "the section's name", quiet=True)] = ""
    kind: Annotated[Literal["flight"], plain("the kind of section", '"flight" or "level"')] = (
        "flight"
    )
    rise: Annotated[
        Fraction | None,
        above_zero("the total rise, lower landing to upper landing", "43 1/2", "1100"),
    ] = None
    unit_rise: Annotated[
        Fraction | None,
        above_zero("the height of one riser", "7 1/4", "175", slip=("a riser", 50, 25)),
    ] = None
    risers: Annotated[
        int | None,
        plain("the number of risers", "a whole number of 2 or more"),
    ] = None
    treads: Annotated[
        int | None,
        plain("the number of treads", "a whole number of 1 or more"),
    ] = None
    run: Annotated[
        Fraction | None,
        above_zero("the total run, first nosing to last", "52 1/2", "1250"),
    ] = None
    unit_run: Annotated[
        Fraction | None,
        above_zero(
            "the run of one tread, nosing to nosing",
            "10 1/2",
            "250",
            slip=("a tread's run", 100, 30),
        ),
    ] = None
    rake: Annotated[
        Fraction | None,
        degrees("the angle of the nosing line from level", least=0, most=90, above=True),
    ] = None
    top: Annotated[
        Literal["landing", "tread"],
        plain(
            "what the last riser leads to",
            '"landing" or "tread"',
            says={"landing": "the last riser leads onto the upper landing"},
        ),
    ] = "landing"
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
        Fraction | None, above_zero("the thickness of a tread", "1 1/4", "40")
    ] = None
    open_risers: Annotated[
        bool,
        plain("whether the risers are left open", YES_OR_NO, says={False: "risers are closed"}),
    ] = False
    riser_slope: Annotated[
        Fraction,
        degrees("how far a riser is raked back from plumb", least=0, most=45, quiet=True),
    ] = Fraction(0)
    stringer: Annotated[
        Literal["cut", "closed"],
        plain("the kind of stringer", '"cut" or "closed"', says={"cut": "the stringer is cut"}),
    ] = "cut"
    stringer_margin: Annotated[
        Fraction | None,
        from_zero("how far, plumb, the stringer's edge lies above the nosing line", "2", "50"),
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
    nosings: Annotated[
        tuple[tuple[Fraction, Fraction], ...] | None,
        _note("points", "the measured nosing points, lowest first"),
    ] = None
    rises: Annotated[
        tuple[Fraction, ...] | None,
        _note(
            "lengths",
            "every riser as measured singly, lowest first",
            example=('"7 1/4"', '"175"'),
        ),
    ] = None
    runs: Annotated[
        tuple[Fraction, ...] | None,
        _note(
            "lengths",
            "every tread as measured singly, nosing to nosing, lowest first",
            example=('"10 1/2"', '"250"'),
        ),
    ] = None
    rail_line: Annotated[
        Literal["cover", "ends", "mean"] | None,
        plain(
            "the straight line over measured nosings that the rail follows",
            '"cover", "ends" or "mean"',
            sample='"cover"',
            quiet=True,
        ),
    ] = None
    posts: Annotated[
        tuple[Fraction, ...] | None, _note("posts", "the post centres, from the first nosing")
    ] = None
    bays: Annotated[
        int | Literal["auto"] | None,
        plain("the number of bays", 'a whole number of 1 or more, or "auto"', quiet=True),
    ] = None
    bottom_gap: Annotated[
        Fraction | Literal["auto"],
        _note(
            "gap",
            "the plumb distance from nosing line to underside of bottom rail",
            example=("5/8", "30"),
            says={"auto": "the bottom gap is chosen inside its window"},
        ),
    ] = "auto"
    filler: Annotated[
        Fraction,
        from_zero("how deep, plumb, a strip under the bottom rail is", "3/4", "20", quiet=True),
    ] = Fraction(0)
    trim: Annotated[
        Trim | tuple[Trim, ...] | None,
        _note("trim", "how the rails of this section are cut from stock", allowed=TRIM_WORDS),
    ] = None
    drop: Annotated[
        Fraction | None,
        above_zero(
            "how far the ground or floor beside the guard lies below the upper landing",
            "43 1/2",
            "1100",
        ),
    ] = None
    handrail: Annotated[
        bool,
        plain(
            "whether the top rail serves as the handrail",
            YES_OR_NO,
            says={False: "the top rail is not the handrail"},
        ),
    ] = False
    turn: Annotated[
        Fraction,
        degrees("the plan turn from the section before", least=-180, most=180, quiet=True),
    ] = Fraction(0)
    hand: Annotated[
        Literal["left", "right", "both"],
        plain(
            "the side that the guard is on, seen going up",
            '"left", "right" or "both"',
            quiet=True,
        ),
    ] = "right"
    start: Annotated[
        Literal["post", "wall", "own"],
        plain("what the run starts at", '"post", "wall" or "own"', quiet=True),
    ] = "post"
    post_gap: Annotated[
        Fraction | None,
        above_zero(
            "the clear width between the neighbour's last post and this section's own first one",
            "2",
            "50",
        ),
    ] = None
    end: Annotated[
        Literal["post", "wall"],
        plain("what the run ends at", '"post" or "wall"', quiet=True),
    ] = "post"
    width: Annotated[
        Fraction | None,
        above_zero("the width of the stair, tread end to tread end", "36", "900"),
    ] = None
    left_of: int = 0  # the section whose left-hand guard this is, from 1; 0 as read from a file
    apart: Fraction | None = None  # where such a line begins, from the right-hand first post along
    totals: tuple[str, ...] = ()  # of rise and run, what bore out steps that were measured singly


class Framing(msgspec.Struct, frozen=True, kw_only=True):
    """The deck under a level run: its joists and its boards."""

    direction: Annotated[
        Literal["across", "along"],
        plain(
            "which way the joists run, seen along the guard",
            '"across" or "along"',
            sample='"across"',
        ),
    ]
    joist_spacing: Annotated[
        Fraction,
        above_zero(
            "the distance between joist centres", "16", "400", slip=("joist spacing", 60, 60)
        ),
    ]
    first_joist: Annotated[
        Fraction,
        _note(
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
            '"across" or "along"',
            says={"across": "boards run across the joists"},
        ),
    ] = "across"
    first_board: Annotated[
        Fraction | None,
        _note(
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
        above_zero(
            "the diameter of a bolt",
            "1/2",
            "12",
            assumed=(Fraction(1, 2), Fraction(12)),
        ),
    ] = Fraction(0)


class Level(msgspec.Struct, frozen=True, kw_only=True):
    """One level run of the guard, on a deck or a landing."""

    name: Annotated[str, _note("text", "the section's name", quiet=True)] = ""
    kind: Annotated[Literal["level"], plain("the kind of section", '"flight" or "level"')] = "level"
    span: Annotated[
        Fraction,
        above_zero("the distance from centre of first post to centre of last", "132", "3300"),
    ]
    posts: Annotated[
        tuple[Fraction, ...] | None, _note("posts", "the post centres, from the first post")
    ] = None
    bays: Annotated[
        int | Literal["auto"] | None,
        plain("the number of bays", 'a whole number of 1 or more, or "auto"', quiet=True),
    ] = None
    bottom_gap: Annotated[
        Fraction | Literal["auto"],
        _note(
            "gap",
            "the distance from walking surface to underside of bottom rail",
            example=("2", "50"),
            says={"auto": "the bottom gap is chosen inside its window"},
        ),
    ] = "auto"
    filler: Annotated[
        Fraction,
        from_zero("how deep, plumb, a strip under the bottom rail is", "3/4", "20", quiet=True),
    ] = Fraction(0)
    trim: Annotated[
        Trim | tuple[Trim, ...] | None,
        _note("trim", "how the rails of this section are cut from stock", allowed=TRIM_WORDS),
    ] = None
    drop: Annotated[
        Fraction | None,
        above_zero(
            "how far the ground or floor beside the guard lies below the walking surface",
            "43 1/2",
            "1100",
        ),
    ] = None
    handrail: Annotated[
        bool,
        plain(
            "whether the top rail serves as the handrail",
            YES_OR_NO,
            says={False: "the top rail is not the handrail"},
        ),
    ] = False
    turn: Annotated[
        Fraction,
        degrees("the plan turn from the section before", least=-180, most=180, quiet=True),
    ] = Fraction(0)
    hand: Annotated[
        Literal["left", "right", "both"],
        plain(
            "the side that the guard is on, seen going up",
            '"left", "right" or "both"',
            quiet=True,
        ),
    ] = "right"
    start: Annotated[
        Literal["post", "wall", "own"],
        plain("what the run starts at", '"post", "wall" or "own"', quiet=True),
    ] = "post"
    post_gap: Annotated[
        Fraction | None,
        above_zero(
            "the clear width between the neighbour's last post and this section's own first one",
            "2",
            "50",
        ),
    ] = None
    end: Annotated[
        Literal["post", "wall"],
        plain("what the run ends at", '"post" or "wall"', quiet=True),
    ] = "post"
    framing: Annotated[
        Framing | None, _note("framing", "the joists and boards under a level run", quiet=True)
    ] = None
    width: Annotated[
        Fraction | None,
        above_zero(
            "the distance between the guards on either hand, centre to centre of their posts",
            "36",
            "900",
        ),
    ] = None
    left_of: int = 0  # the section whose left-hand guard this is, from 1; 0 as read from a file
    apart: Fraction | None = None  # where such a line begins, from the right-hand first post along


class LocalOverride(msgspec.Struct, frozen=True, kw_only=True):
    """One value of the rulebook that the user replaces, and why."""

    check: str
    limit: Annotated[Fraction, from_zero("the limit that holds instead", "36", "900")]
    reason: Annotated[
        str,
        _note(
            "text",
            "why, in the words that every sheet is to show",
            sample='"as the local office reads it"',
        ),
    ]


class Sheet(msgspec.Struct, frozen=True, kw_only=True):
    """What the title block is to say, and the paper."""

    paper: Annotated[str | None, _note("text", "the sheet size")] = None
    address: Annotated[tuple[str, ...], _note("lines", "the address, a list of lines")] = ()
    drawn_by: Annotated[str | None, _note("text", "who drew it")] = None
    date: Annotated[str | None, _note("date", "the date")] = None
    revision: Annotated[str | None, _note("text", "the revision")] = None


class Job(msgspec.Struct, frozen=True, kw_only=True):
    """One whole job, as read."""

    title: Annotated[str, _note("text", "the job's title")] = ""
    units: Annotated[
        Literal["in", "mm"],
        plain("the units of bare numbers", '"in" or "mm"', sample='"in"'),
    ]
    rules: Annotated[str, _note("text", "the rulebook's name")]
    use: Annotated[
        str | None, _note("text", "the use of the building, as the rulebook names it", quiet=True)
    ] = None
    tape: Annotated[
        Fraction,
        above_zero(
            "the smallest mark used for cuts and marks",
            "1/16",
            "1",
            assumed=(Fraction(1, 16), Fraction(1)),
        ),
    ]
    measured_within: Annotated[
        Fraction,
        from_zero(
            "how far off any one measurement may be",
            "1/16",
            "1",
            assumed=(Fraction(1, 16), Fraction(1)),
        ),
    ]
    panel: Panel
    bracket: Bracket
    post: PostKind
    sections: tuple[Flight | Level, ...]
    local: tuple[LocalOverride, ...] = ()
    sheet: Sheet = Sheet()
    assumed: tuple[str, ...] = ()
    where: str = ""
