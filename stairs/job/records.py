"""The records of a job: what a person measured, chose and typed, and nothing worked out from it.

A job is one guard: a kind of panel, of bracket and of post, and the sections (flights of a stair
and level runs) along which they stand.  Every record is frozen.  Every length is an exact fraction
in the job's own units, every angle an exact fraction of degrees.

The records are also the description of the job file: a field's name is its key, and the note
beside it says what the key measures, which values it may take, and how an example looks in inches
and in millimetres.  The reader, the form and the page of keys take all that they say from these
notes, so that a key is described in one place.
"""

from fractions import Fraction
from typing import Annotated, Literal

import msgspec

from stairs.job.key_notes import TRIM_ASSUMED, Trim, above_zero, degrees, from_zero, note, plain
from stairs.job.section_records import JobFlight, JobLevel

USUAL_SPACING = {"in": Fraction(72), "mm": Fraction(1800)}
"""How far apart posts are placed at most where the job does not say; common practice, no source."""

MOST_STEPS = 100  # risers, nosings, posts or bays of one section; more would take minutes to solve


class Slot(msgspec.Struct, frozen=True, kw_only=True):
    """The hole in a rail through which a baluster passes, as it limits racking."""

    length: Annotated[Fraction, above_zero("the hole's length along the rail", "1 1/8", "28")]
    wall: Annotated[Fraction, above_zero("the thickness that the hole goes through", "1/16", "2")]


class Panel(msgspec.Struct, frozen=True, kw_only=True):
    """The factory-made panel: two rails and plumb balusters, measured level."""

    height: Annotated[
        Fraction,
        above_zero(
            "the height of the level panel, underside of bottom rail to top of top rail",
            "32",
            "900",
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
        Fraction, above_zero("the distance between baluster centres along the rail", "4 1/2", "110")
    ]
    stock: Annotated[
        tuple[Fraction, ...], note("stock", "the rail lengths sold", example=('"72"', '"2400"'))
    ] = ()
    end_margin: Annotated[
        Fraction | None,
        from_zero(
            "the distance from an uncut rail end to the first baluster centre",
            "2 1/4",
            "55",
            more="left out, the hole pattern is centred on each stock length",
        ),
    ] = None
    max_rack: Annotated[
        Fraction | None, degrees("the rake that the maker gives as greatest", least=0, most=90)
    ] = None
    slot: Annotated[
        Slot | None,
        note(
            "inner",
            "the hole that a baluster passes",
            more="limits racking, and how near a hole a cut may come",
        ),
    ] = None
    rail_width: Annotated[
        Fraction | None,
        above_zero(
            "the width of a rail seen from above",
            "1 1/2",
            "40",
            more="matters where rails meet a post askew",
        ),
    ] = None
    trim: Annotated[
        Trim,
        plain(
            "how a rail is cut from stock",
            says={"auto": TRIM_ASSUMED},
            more="`auto` takes the better way, bay by bay",
        ),
    ] = "auto"


class BracketBody(msgspec.Struct, frozen=True, kw_only=True):
    """The block of a bracket between post and rail end, which fills the slot there."""

    height: Annotated[Fraction, above_zero("the plumb height of the bracket's body", "1 1/2", "40")]
    reach: Annotated[
        Fraction, above_zero("how far the body reaches from the post face", "1 1/4", "32")
    ]


class Bracket(msgspec.Struct, frozen=True, kw_only=True):
    """What joins a rail to a post: a pin that swings, or a socket for a plumb-cut rail end."""

    kind: Annotated[Literal["pivot", "plumb-cut"], plain("the kind of bracket")]
    pivot_offset: Annotated[
        Fraction,
        from_zero(
            "the distance from post face to pin",
            "1 1/8",
            "28",
            quiet=True,
            more='needed with kind = "pivot"',
        ),
    ] = Fraction(0)
    rail_setback: Annotated[
        Fraction,
        from_zero(
            "the distance from pin to rail end, along the rail",
            "3/8",
            "10",
            quiet=True,
            more='needed with kind = "pivot"',
        ),
    ] = Fraction(0)
    max_swing: Annotated[
        Fraction | None, degrees("the bracket's greatest swing from level", least=0, most=90)
    ] = None
    end_clearance: Annotated[
        Fraction,
        from_zero(
            "the distance from post face to cut face",
            "1/8",
            "3",
            quiet=True,
            more='needed with kind = "plumb-cut"',
        ),
    ] = Fraction(0)
    body: Annotated[
        BracketBody | None,
        note(
            "inner",
            "what the bracket fills between post and rail end",
            more="left out, the body fills the slot",
        ),
    ] = None
    holes: Annotated[
        tuple[tuple[Fraction, Fraction], ...],
        note(
            "holes",
            "the screw holes of its plate seen square on the post's face: each to the right of the "
            "pin, then above it; negative to the left and below",
        ),
    ] = ()
    hole_diameter: Annotated[
        Fraction | None,
        above_zero(
            "the diameter of these holes", "1/4", "6", more="left out, only their centres are known"
        ),
    ] = None


class PostKind(msgspec.Struct, frozen=True, kw_only=True):
    """The post and its base plate."""

    width: Annotated[Fraction, above_zero("the width of a post seen in elevation", "3", "75")]
    base: Annotated[
        Fraction | None, above_zero("the side of the square base plate", "5", "125")
    ] = None
    edge_distance: Annotated[
        Fraction,
        from_zero(
            "the least distance from base plate to any tread or deck edge",
            "2 3/4",
            "70",
            more="an edge is a nosing, or the outer edge of a level run by `edge_to_post` under "
            "`[framing]`",
        ),
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
    below: Annotated[
        Fraction | None,
        above_zero(
            "how far posts go on below the surface, where they are fixed to the side or set in",
            "7",
            "180",
            more="instead of a base plate; counts in their length, not in their height",
        ),
    ] = None
    stock: Annotated[
        tuple[Fraction, ...], note("stock", "the post lengths sold", example=('"45"', '"1150"'))
    ] = ()
    max_spacing: Annotated[
        Fraction | None,
        above_zero(
            "the greatest distance between post centres, along the rake on a flight",
            "72",
            "1800",
            quiet=True,
            more="left out, posts are placed at most 72 in or 1800 mm apart and nothing fails by "
            "it",
        ),
    ] = None

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


class LocalOverride(msgspec.Struct, frozen=True, kw_only=True):
    """One value of the rulebook that the user replaces, and why."""

    check: str
    limit: Annotated[
        Fraction,
        from_zero(
            "the limit that holds instead",
            "36",
            "900",
            more="under the name of its check, as `stairs rules ID` lists them",
        ),
    ]
    reason: Annotated[
        str,
        note(
            "text",
            "why, in the words that every sheet is to show",
            sample='"as the local office reads it"',
        ),
    ]


class SheetKeys(msgspec.Struct, frozen=True, kw_only=True):
    """What the title block is to say, and the paper."""

    paper: Annotated[str | None, note("text", "the sheet size")] = None
    address: Annotated[
        tuple[str, ...],
        note("lines", "the address, a list of lines", more="one line, or a list of them"),
    ] = ()
    drawn_by: Annotated[str | None, note("text", "who drew it")] = None
    date: Annotated[str | None, note("date", "the date")] = None
    revision: Annotated[str | None, note("text", "the revision")] = None
    north: Annotated[
        Fraction | None,
        degrees(
            "the turn from the way that the first section runs to north, to the left positive",
            least=-360,
            most=360,
            more="the plan gets an arrow",
        ),
    ] = None


class Job(msgspec.Struct, frozen=True, kw_only=True):
    """One whole job, as read."""

    title: Annotated[str, note("text", "the job's title", filled=True)] = ""
    units: Annotated[Literal["in", "mm"], plain("the units of bare numbers")]
    rules: Annotated[
        str, note("text", "the rulebook's name", assumed=("irc-2021", "england-ad-k-2013"))
    ]
    use: Annotated[
        str | None,
        note("text", "the use of the building, where the rulebook tells several apart", quiet=True),
    ] = None
    tape: Annotated[
        Fraction,
        above_zero(
            "the smallest mark used for cuts and marks",
            "1/16",
            "1",
            assumed=(Fraction(1, 16), Fraction(1)),
            more="in the unit of the job",
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
    sections: tuple[JobFlight | JobLevel, ...]
    local: tuple[LocalOverride, ...] = ()
    sheet: SheetKeys = SheetKeys()
    assumed: tuple[str, ...] = ()
    where: str = ""
