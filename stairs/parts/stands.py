"""Stands: the places of posts, and what each stands on.

A guard post is bolted down by a square base plate.  A plate must lie wholly on its surface, neither
over a nosing nor through a riser.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from msgspec import Struct

from stairs.errors import NoSuchShape
from stairs.job import PostKind
from stairs.numbers.tolerances import SAME
from stairs.parts.flight import Flight
from stairs.parts.section_ends import Ends
from stairs.relations.exact import Amount, derived

Show = Callable[[Fraction | float], str]


class Stand(Struct, frozen=True):
    """The place of one post before its height is known.

    Parameters
    ----------
    centre : Fraction
        ``x`` of its centre.
    step : int
        0 for the lower landing, then treads, then the upper landing.
    stands_on : str
        The surface's name.
    plate_edge : Fraction or Derived or None
        Level, base plate to the nearest edge in front of or behind it.
    lean : Fraction
        How far it is out of plumb along the rail, level per plumb, up-stair positive.
    """

    centre: Fraction
    step: int
    surface: Amount
    stands_on: str
    plate_edge: Amount | None
    lean: Fraction = Fraction(0)


def in_order(
    positions: tuple[Fraction, ...], kind: PostKind, where: str, show: Show, ends: Ends
) -> None:
    """Refuse posts that are out of order or that overlap.

    Parameters
    ----------
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
    flight: Flight,
    kind: PostKind,
    number: int,
    centre: Fraction,
    where: str,
    show: Show,
    is_set: bool = False,
) -> Stand:
    """Where a post stands on a flight.

    Parameters
    ----------
    kind : stairs.job.PostKind
        Width and base plate.
    number : int
        The post's number, for errors.
    centre : Fraction
        ``x`` of its centre.
    is_set : bool
        Whether it stands there already: then its plate may lie over an edge, and is judged by it.

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
    slack = SAME * max(float(flight.unit_run), 1.0)
    place = f"{where}: posts: post {number} at {show(centre)}"
    room_low = None if front is None else front + plate / 2
    room_high = None
    if nosing_above is not None and back is not None:
        room_high = min(back - plate / 2, nosing_above - float(kind.width) / 2)
    span = _span_text(room_low, room_high, flight.surface_name(step), show)
    if front is not None and low < front - slack and not is_set:
        name = "the upper landing's edge" if step == flight.risers else f"nosing {step}"
        raise NoSuchShape(
            place, f"its {what} reaches {show(front - low)} over {name}", span[0], span[1]
        )
    if back is not None and high > back + slack and not is_set:
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
