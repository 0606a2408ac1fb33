"""Posts: how tall each is and where its brackets go.

On a flight every post stands on another surface (a landing or a tread), so every height is measured
from the post's own surface: that is what a tape can reach.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction

from msgspec import Struct

from stairs.job import Job, PostKind
from stairs.job.mitre import billionth
from stairs.parts.bays_as_built import BOTTOM, TOP, Axis, on_axis
from stairs.parts.bracket import RailEnds
from stairs.parts.bracket_holes import HoleEdges, hole_edges, hole_reach, pin_aside
from stairs.parts.panel import RackedPanel
from stairs.parts.rails import RailLine
from stairs.parts.section_ends import WALL, Ends
from stairs.parts.stands import Stand
from stairs.relations.exact import Amount, compare, derived


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

    def centre_at(self, over: float) -> float:
        """``x`` of its centre line so high, plumb, over its surface [job's unit of length]."""
        return self.x + float(self.stand.lean) * over

    def face_at(self, side: str, over: float) -> float:
        """``x`` of a face so high over its surface, where the post leans or not.

        Parameters
        ----------
        over : float
            Plumb, from its surface [job's unit of length].

        Notes
        -----
        See :func:`stairs.parts.bays_as_built.on_axis`: ``x + s h + d sqrt(1 + s^2)``.
        """
        reach = self.reach if side == "up" else -self.reach
        return self.centre_at(over) + reach * math.hypot(1.0, float(self.stand.lean))

    def off_face(self, mark: Mark) -> float:
        """How far a bracket's pin, or a plumb-cut rail's end, stands off its face, square to that
        [job's unit of length]."""
        face = self.face_at(mark.side, mark.pin[1] - self.surface)
        return abs(mark.pin[0] - face) / math.hypot(1.0, float(self.stand.lean))

    @property
    def out_of_plumb(self) -> float:
        """How far it leans along the rail, up-stair positive [degrees]."""
        return math.degrees(math.atan(float(self.stand.lean)))

    @property
    def askew(self) -> bool:
        """Whether it stands askew to the rails of its section."""
        return self.reach > self.width / 2

    @property
    def length(self) -> float:
        """From end to end [job's unit of length]; 0 for a wall."""
        return self.height + self.below


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
    step : tuple of (Fraction or Derived, Fraction or Derived)
        Unit rise and unit run; a level run is 0 over 1.
    """
    kind, count = job.post, len(stands)
    posts = []
    for index, stand in enumerate(stands):
        pins = _pins(stands, index, rail_ends, ends)
        wall = ends.is_wall(index, count)
        faces = [pin.face for pin in pins]
        exact = Fraction(0) if wall else post_height(job, stand, faces, gap, step)
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
                marks=(marks := _marks(stand, pins, racked, line)),
                holes=_holes(job, stand, pins, marks, gap, step) if job.bracket.holes else None,
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
    lifts = ((BOTTOM, bottom), (TOP, bottom + float(racked.rail_spacing_plumb)))
    marks = []
    for pin in pins:
        for rail, lift in lifts:
            at, height = _pin_and_height(stand, pin, lift, line)
            marks.append(Mark(pin.bay, rail, pin.side, height, at, pin.aside))
    return tuple(sorted(marks, key=lambda mark: (mark.side, mark.height)))


def _pin_and_height(
    stand: Stand, pin: _Pin, lift: float, line: RailLine
) -> tuple[tuple[float, float], float]:
    """Where a pin is, and how high over the surface, up along the post."""
    if not stand.lean:
        y = line.under(pin.x) + lift
        return (pin.x, y), y - float(stand.surface)
    side = 1 if pin.side == "up" else -1
    reach, lean = abs(float(pin.face) - float(stand.centre)), float(stand.lean)
    secant = math.hypot(1.0, lean)
    square = abs(pin.x - float(pin.face)) * (1 - lean * line.slope) / secant
    _, x = on_axis(stand, reach, side, square, Axis(line.under(0) + lift, line.slope))
    y = line.under(x) + lift
    over = x - (float(stand.centre) + side * reach * secant)
    return (x, y), (over * lean + y - float(stand.surface)) / secant


def _holes(
    job: Job,
    stand: Stand,
    pins: Sequence[_Pin],
    marks: Sequence[Mark],
    gap: Fraction,
    step: tuple[Amount, Amount],
) -> HoleEdges:
    """The edges of a post's holes; of one that leans, from where each of its rails has its pin."""
    if not stand.lean:
        return hole_edges(job, [pin.exact_x for pin in pins], stand.surface, gap, step)
    low, high = hole_reach(job.bracket)
    bottom, top = (
        [billionth(mark.height) for mark in marks if mark.rail == rail] for rail in (BOTTOM, TOP)
    )
    return HoleEdges(min(bottom) + low, max(top) + high)


def post_height(
    job: Job,
    stand: Stand,
    faces: Sequence[Amount],
    gap: Fraction,
    step: tuple[Amount, Amount],
) -> Amount:
    """From its surface to its top, by ``x`` of the faces at which rails end [job's unit of length].

    ``reveal`` above the top rail's upper edge, carried on to the face where it is highest.
    """
    return derived(
        "post_height",
        # a level rail is as high at every x
        x=max(faces, key=float) if step[0] else Fraction(0),
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
