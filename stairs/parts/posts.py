"""Posts: where each stands, what it stands on, how tall it is and where its brackets go.

A guard post is bolted down by a square base plate.  On a flight every post stands on another
surface (a landing or a tread), so every height is measured from the post's own surface: that is
what a tape can reach.  A plate must lie wholly on its surface, neither over a nosing nor through a
riser.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction

from msgspec import Struct

from stairs.errors import NoSuchShape
from stairs.job import Job, PostKind
from stairs.parts.bracket import RailEnds
from stairs.parts.bracket_holes import HoleEdges, hole_edges, pin_aside
from stairs.parts.flight import Flight
from stairs.parts.panel import RackedPanel
from stairs.parts.rails import RailLine
from stairs.parts.section_ends import WALL, Ends
from stairs.relations.exact import Amount, compare, derived

_HAIR = 1e-9

Show = Callable[[Fraction | float], str]


class Mark(Struct, frozen=True):
    """The height of one bracket above the surface that its post stands on.

    Parameters
    ----------
    bay : int
        The bay whose rail the bracket holds, from 1 at the foot.
    rail : str
        ``"top"`` or ``"bottom"``.
    side : str
        ``"up"`` where the bay lies up-stair of the post, ``"down"`` where it lies down-stair.
    height : float
        Pin of a pivot bracket, or axis of a plumb-cut rail at its cut face, above the post's
        surface [job's unit of length].
    pin : tuple of float
        The same point in the section's coordinates.
    aside : float
        From the face's centre line to that point, right positive seen square on the face; 0 but
        where the rails leave the face askew.
    """

    bay: int
    rail: str
    side: str
    height: float
    pin: tuple[float, float]
    aside: float


class Stand(Struct, frozen=True):
    """The place of one post before its height is known.

    Parameters
    ----------
    centre : Fraction
        ``x`` of its centre.
    step : int
        0 for the lower landing, then treads, then the upper landing.
    surface : Fraction or Derived
        Height of the surface.
    stands_on : str
        The surface's name.
    plate_edge : Fraction or Derived or None
        Level, base plate to the nearest edge in front of or behind it.
    """

    centre: Fraction
    step: int
    surface: Amount
    stands_on: str
    plate_edge: Amount | None


class Post(Struct, frozen=True):
    """One post; lengths in the job's unit.

    Parameters
    ----------
    number : int
        From 1 at the foot of the section.
    stand : Stand
        Its place, exactly.
    x : float
        Its centre; of a wall that carries the brackets instead, its face.
    width : float
        Of its side; 0 for a wall.
    base : float or None
        Side of the base plate, None where the job gives none.
    surface : float
        Height of the surface that it stands on, over the section's origin.
    height : float
        Surface to post top; 0 for a wall.
    exact_height : Fraction or Derived
        The same as verdicts are decided on.
    plate_edge : float or None
        Level, from the base plate's edge to the nearest edge that the job tells: of a flight the
        nosing of its own tread or landing, of a level run the outer edge, square to the run.  None
        where the job tells none or the post keeps from none.
    stock : float or None
        Shortest post sold that is long enough; None where none is, or none is given.
    marks : tuple of Mark
        Bracket marks, lowest first.
    holes : HoleEdges or None
        Of the screw holes of its brackets, over its surface; None where the job gives no holes.
    below : float
        How far it goes on below its surface, fixed to the side; 0 where it stands on it, or where
        the job does not say.
    reach : float
        From its centre to the faces along the rails of its section, level; more than half of the
        width where it stands askew to them, 0 at a wall.
    shared_with : tuple of (int, int) or None
        Section and post that are this same post, counted from 1.
    own_height : float or None
        Of a shared post, what its own section needs of its height; None of every other.
    """

    number: int
    stand: Stand
    x: float
    width: float
    base: float | None
    surface: float
    height: float
    exact_height: Amount
    plate_edge: float | None
    stock: float | None
    marks: tuple[Mark, ...]
    holes: HoleEdges | None
    below: float
    reach: float
    shared_with: tuple[int, int] | None = None
    own_height: float | None = None

    @property
    def wall(self) -> bool:
        """Whether this is no post but the face of a wall that carries the brackets."""
        return self.stand.stands_on == WALL

    @property
    def stands_on(self) -> str:
        """``"lower landing"``, ``"tread 3"``, ``"upper landing"`` or ``"walking surface"``."""
        return self.stand.stands_on

    @property
    def tread(self) -> int | None:
        """The tread's number, None on a landing."""
        return self.stand.step if self.stand.stands_on.startswith("tread") else None

    def __repr__(self) -> str:
        told = f"x {self.x}, height {self.height}, on {self.stands_on}"
        return f"<post {self.number}: {told}>"

    def face(self, side: str) -> float:
        """``x`` where its section's rails, carried on, meet its face [job's unit of length].

        Parameters
        ----------
        side : str
            ``"up"`` for the face that looks up-stair, ``"down"`` for the other.
        """
        return self.x + (self.reach if side == "up" else -self.reach)

    @property
    def askew(self) -> bool:
        """Whether it stands askew to the rails of its section."""
        return self.reach > self.width / 2

    @property
    def length(self) -> float:
        """From end to end [job's unit of length]; 0 for a wall."""
        return self.height + self.below


def in_order(
    positions: tuple[Fraction, ...], kind: PostKind, where: str, show: Show, ends: Ends
) -> None:
    """Refuse posts that are out of order or that overlap.

    Parameters
    ----------
    positions : tuple of Fraction
        Post centres.
    kind : stairs.job.PostKind
        Width and base plate.
    ends : Ends
        What the section starts and ends at: a wall has no plate.

    Raises
    ------
    NoSuchShape
        Two centres out of order, or two posts or their plates in the same place.
    """
    width = max(kind.width, kind.base or Fraction(0))
    what = "base plates" if width > kind.width else "posts"
    for number, (low, high) in enumerate(zip(positions, positions[1:], strict=False), start=1):
        if high <= low:
            raise NoSuchShape(
                f"{where}: posts",
                f"post {number + 1} at {show(high)} does not come after post {number} at "
                f"{show(low)}",
                "Post centres grow from the foot of the stair up",
                "Put them in order, and name each once",
            )
        walls = [ends.is_wall(place, len(positions)) for place in (number - 1, number)]
        if any(walls):
            if high - low < width / 2 and not all(walls):
                raise NoSuchShape(
                    f"{where}: posts",
                    f"post {number + walls[0]} is {show(high - low)} from the wall, to its centre",
                    f"Half of its {what[:-1]} is {show(width / 2)} and would run into the wall",
                    f"Keep at least {show(width / 2)}",
                )
            continue
        if high - low < width:
            raise NoSuchShape(
                f"{where}: posts",
                f"posts {number} and {number + 1} are {show(high - low)} apart, centre to centre",
                f"Their {what} are {show(width)} wide and would overlap",
                f"Keep at least {show(width)} between centres",
            )


def stand_on_flight(
    flight: Flight, kind: PostKind, number: int, centre: Fraction, where: str, show: Show
) -> Stand:
    """Where a post stands on a flight.

    Parameters
    ----------
    flight : Flight
        The walking surface.
    kind : stairs.job.PostKind
        Width and base plate.
    number : int
        The post's number, for errors.
    centre : Fraction
        ``x`` of its centre.

    Raises
    ------
    NoSuchShape
        The base plate lies over a nosing or through a riser, or the post itself runs into the
        nosing above.
    """
    step = flight.step_at(float(centre))
    plate = float(kind.base or kind.width)
    what = "base plate" if kind.base else "post"
    low, high = float(centre) - plate / 2, float(centre) + plate / 2
    nosings = flight.nosings
    front = nosings[step - 1][0] if step >= 1 else None  # the nosing of the post's own surface
    nosing_above = nosings[step][0] if step < flight.risers else None
    back = None if nosing_above is None else nosing_above + float(flight.nosing)  # riser behind
    slack = _HAIR * max(float(flight.unit_run), 1.0)
    place = f"{where}: posts: post {number} at {show(centre)}"
    room_low = None if front is None else front + plate / 2
    room_high = None
    if nosing_above is not None and back is not None:
        room_high = min(back - plate / 2, nosing_above - float(kind.width) / 2)
    span = _span_text(room_low, room_high, flight.surface_name(step), show)
    if front is not None and low < front - slack:
        name = "the upper landing's edge" if step == flight.risers else f"nosing {step}"
        raise NoSuchShape(
            place, f"its {what} reaches {show(front - low)} over {name}", span[0], span[1]
        )
    if back is not None and high > back + slack:
        raise NoSuchShape(
            place, f"its {what} goes {show(high - back)} into riser {step + 1}", span[0], span[1]
        )
    face = float(centre) + float(kind.width) / 2
    if nosing_above is not None and face > nosing_above + slack:
        raise NoSuchShape(
            place,
            f"the post runs {show(face - nosing_above)} into nosing {step + 1}, which stands out "
            "over its surface",
            *span,
        )
    edge = None
    if kind.edge is not None and front is not None:
        edge = derived(
            "plate_edge", centre=centre, plate=kind.foot, nosing_x=flight.points[step - 1][0]
        )
    surface = flight.surface(step)
    return Stand(centre, step, surface, flight.surface_name(step), edge)


def stand_on_level(
    kind: PostKind, centre: Fraction, to_edge: Fraction | None, skew: Fraction
) -> Stand:
    """Where a post stands on a level run.

    Parameters
    ----------
    kind : stairs.job.PostKind
        Width and base plate.
    centre : Fraction
        ``x`` of its centre.
    to_edge : Fraction or None
        From the outer edge of the surface square to the run's line; None where it is not told.
    skew : Fraction
        By how much the plate is turned from the run, 0 to 45 degrees.
    """
    edge = None
    if kind.edge is not None and to_edge is not None:
        plate = {"centre": to_edge, "plate": kind.foot, "nosing_x": Fraction(0)}
        askew = derived("plate_edge_askew", skew=skew, **plate) if skew else None
        edge = askew or derived("plate_edge", **plate)
    return Stand(centre, 0, Fraction(0), "walking surface", edge)


def _span_text(low: float | None, high: float | None, surface: str, show: Show) -> tuple[str, str]:
    if low is not None and high is not None and low > high:
        return (
            f"There is no room for it on the {surface}"
            if surface.endswith("landing")
            else f"There is no room for it on {surface}",
            "Take a smaller base plate, or stand the post on a landing",
        )
    if low is None:
        ends = "" if high is None else f"x of {show(high)} or less"
    else:
        ends = (
            f"x of {show(low)} or more" if high is None else f"x from {show(low)} to {show(high)}"
        )
    name = surface if not surface.endswith("landing") else f"the {surface}"
    return f"On {name} its centre may be at {ends}", "Move the post"


def posts_of(
    job: Job,
    stands: Sequence[Stand],
    racked: RackedPanel,
    step: tuple[Amount, Amount],
    gap: Fraction,
    line: RailLine,
    rail_ends: Sequence[RailEnds],
    ends: Ends,
) -> tuple[Post, ...]:
    """Posts with heights and bracket marks.

    Parameters
    ----------
    stands : sequence of Stand
        Where each post stands.
    step : tuple of (Fraction or Derived, Fraction or Derived)
        Unit rise and unit run; a level run is 0 over 1.
    gap : Fraction
        Bottom gap.
    rail_ends : sequence of RailEnds
        One per bay.
    """
    kind, count = job.post, len(stands)
    posts = []
    for index, stand in enumerate(stands):
        pins = _pins(stands, index, rail_ends, ends)
        wall = ends.is_wall(index, count)
        exact = Fraction(0) if wall else _height(job, stand, pins, gap, step)
        posts.append(
            Post(
                number=index + 1,
                stand=stand,
                x=float(stand.centre),
                width=0.0 if wall else float(kind.width),
                base=None if kind.base is None or wall else float(kind.base),
                surface=float(stand.surface),
                height=float(exact),
                exact_height=exact,
                plate_edge=None if stand.plate_edge is None else float(stand.plate_edge),
                stock=None if wall else stock_for(kind, exact),
                marks=_marks(stand, pins, racked, line),
                holes=(
                    hole_edges(job, [pin.exact_x for pin in pins], stand.surface, gap, step)
                    if job.bracket.holes
                    else None
                ),
                below=0.0 if wall else float(kind.below or 0),
                reach=float(ends.reach(index, count)),
            )
        )
    return tuple(posts)


class _Pin(Struct, frozen=True):
    """Where the brackets of a bay have their pins at one face of a post."""

    side: str
    bay: int
    face: Amount
    x: float
    exact_x: Amount
    aside: float


def _pins(
    stands: Sequence[Stand], index: int, rail_ends: Sequence[RailEnds], ends: Ends
) -> list[_Pin]:
    """At every face of a post that holds brackets, the lower face first."""
    positions = tuple(stand.centre for stand in stands)
    pins = []
    if index:
        low_face, off = ends.down_face(positions, index), rail_ends[index - 1].stand_off
        exact = derived("pin_x_down", face_x=low_face, stand_off=off)
        pins.append(_Pin("down", index, low_face, float(low_face - off), exact, 0.0))
    if index < len(rail_ends):
        face = ends.up_face(positions, index)
        along = rail_ends[index].stand_off_low
        exact = derived("pin_x_up", face_x=face, stand_off=along)
        aside = 0.0
        if index == 0 and ends.skew:
            aside = pin_aside(2 * ends.half, rail_ends[0].stand_off, ends.skew)
        pins.append(_Pin("up", index + 1, face, float(face) + float(along), exact, aside))
    return pins


def _marks(
    stand: Stand, pins: Sequence[_Pin], racked: RackedPanel, line: RailLine
) -> tuple[Mark, ...]:
    """The heights of a post's brackets, those of its lower face first."""
    bottom = float(racked.bottom_plumb_depth) / 2
    lifts = (("bottom", bottom), ("top", bottom + float(racked.rail_spacing_plumb)))
    marks = []
    for pin in pins:
        for rail, lift in lifts:
            y = line.under(pin.x) + lift
            marks.append(
                Mark(pin.bay, rail, pin.side, y - float(stand.surface), (pin.x, y), pin.aside)
            )
    return tuple(sorted(marks, key=lambda mark: (mark.side, mark.height)))


def _height(
    job: Job, stand: Stand, pins: Sequence[_Pin], gap: Fraction, step: tuple[Amount, Amount]
) -> Amount:
    """``reveal`` above the top rail's upper edge, carried on to the face where it is highest."""
    return derived(
        "post_height",
        # a level rail is as high at every x
        x=max((pin.face for pin in pins), key=float) if step[0] else Fraction(0),
        reveal=job.post.reveal,
        surface=stand.surface,
        bottom_gap=gap,
        panel_height=job.panel.height,
        top_rail=job.panel.top_rail,
        bottom_rail=job.panel.bottom_rail,
        unit_rise=step[0],
        unit_run=step[1],
    )


def face_name(section: int, post: int, side: str) -> str:
    """A face of a post, by the post at the other end of the bay whose rails go there.

    Parameters
    ----------
    section, post : int
        The section that the bay belongs to, and the post's number in it, from 1.
    side : str
        ``"up"`` or ``"down"``: which way the bay lies.

    Examples
    --------
    >>> face_name(1, 3, "down"), face_name(2, 1, "up")
    ('toward 1.2', 'toward 2.2')
    """
    return f"toward {section}.{post + (1 if side == 'up' else -1)}"


def post_name(section: int, post: Post) -> str:
    """A post's number with its section's; one that two sections share has that of the first."""
    number, own = min((section, post.number), post.shared_with or (section, post.number))
    return f"{number}.{own}"


def stock_for(kind: PostKind, height: Amount) -> float | None:
    """The shortest post sold that is long enough; None where none is [job's unit of length].

    Parameters
    ----------
    kind : stairs.job.PostKind
        Post lengths sold.
    height : Fraction or Derived
        Of the post, surface to top.
    """
    below = kind.below or Fraction(0)
    return next((float(s) for s in sorted(kind.stock) if compare(height, s - below) <= 0), None)


def length_of(kind: PostKind, height: Amount) -> Amount:
    """A post from end to end [job's unit of length].

    Parameters
    ----------
    kind : stairs.job.PostKind
        How far posts go on below their surface.
    height : Fraction or Derived
        Of the post, surface to top.

    Examples
    --------
    >>> kind = PostKind(width=Fraction(3), below=Fraction(7))
    >>> length_of(kind, Fraction(40))
    Fraction(47, 1)
    """
    if kind.below is None:
        return height
    return derived("post_length", post_height=height, post_below=kind.below)
