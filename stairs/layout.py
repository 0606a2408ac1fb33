"""Layout: where the posts go when the job gives only a number of bays.

The two end posts stand on the landings, as near the first riser and the top nosing as their base
plates allow.  Posts between them stand on treads; a whole number of treads in every bay puts each
of them at the same place on its tread, which is what makes the bays equal.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

from stairs.errors import NoSuchShape
from stairs.flight import Flight
from stairs.job import PostKind
from stairs.posts import Show
from stairs.tape import ceil_to_mark, floor_to_mark


def _on_tape(value: float, mark: Fraction, *, up: bool) -> Fraction:
    return ceil_to_mark(value, mark) if up else floor_to_mark(value, mark)


def posts_on_flight(
    flight: Flight, kind: PostKind, bays: int, mark: Fraction, where: str, show: Show
) -> tuple[Fraction, ...]:
    """Post centres for a number of bays on a flight [job's unit of length].

    Parameters
    ----------
    flight : Flight
        The walking surface.
    kind : stairs.job.PostKind
        Width, base plate and the edge distance to keep.
    bays : int
        1 or more.
    mark : Fraction
        The tape's smallest mark, to which positions are rounded.
    where : str
        The section as errors name it.
    show : callable
        Turns a length into text.

    Returns
    -------
    tuple of Fraction
        ``bays + 1`` centres.

    Raises
    ------
    NoSuchShape
        There are more bays than treads allow, or a tread has no room for the plate.

    Notes
    -----
    With ``a`` the distance from a post to the nosing above it, the lower post stands at ``-a``, a
    post on tread ``m`` at ``m G - a`` and the upper post at ``(T + 1) G - a`` where that keeps
    its edge distance, otherwise just behind it.  Each plate fits where
    ``plate / 2 - nosing <= a <= G - plate / 2 - edge`` and the post clears the nosing above where
    ``a >= width / 2``.
    """
    fronts = [x for x, _ in flight.nosings]
    run = min((high - low for low, high in pairwise(fronts)), default=0.0)
    plate = kind.base or kind.width
    least = max(plate / 2 - flight.nosing, kind.width / 2)
    most = float(run) - float(plate / 2 + kind.edge_distance)
    top_edge = fronts[-1]
    if bays > flight.risers:
        raise NoSuchShape(
            f"{where}: bays",
            f"{bays} bays on a flight of {flight.treads} treads",
            f"Each post between the ends needs a tread of its own, so at most {flight.risers} bays",
            "Give fewer bays",
        )
    back = _on_tape(top_edge + float(plate / 2 + kind.edge_distance), mark, up=True)
    if bays == 1:
        return (-_on_tape(float(plate / 2), mark, up=True), back)
    if most < float(least):
        raise NoSuchShape(
            f"{where}: bays",
            f"a base plate of {show(plate)} with {show(kind.edge_distance)} to the nosing does "
            f"not fit a run of {show(run)}",
            f"Behind the nosing there is {show(float(run) - float(least) - float(plate) / 2)}",
            "Give 1 bay, or smaller plates, or the posts themselves",
        )
    a = _on_tape((float(least) + most) / 2, mark, up=False)
    if a < least:
        a = _on_tape(float(least), mark, up=True)
    steps = [round(number * (flight.risers) / bays) for number in range(1, bays)]
    between = tuple(_on_tape(fronts[step] - float(a), mark, up=False) for step in steps)
    last = _on_tape(top_edge + float(flight.unit_run) - float(a), mark, up=False)
    return (-a, *between, max(last, back))


def posts_on_level(
    span: Fraction,
    bays: int,
    width: Fraction = Fraction(0),
    walls: tuple[bool, bool] = (False,) * 2,
) -> tuple[Fraction, ...]:
    """Post centres for equal bays on a level run, first post at 0 [job's unit of length].

    Parameters
    ----------
    span : Fraction
        First post's centre to the last one's, or to the face of a wall.
    bays : int
        1 or more.
    width : Fraction
        Of a post.
    walls : tuple of bool
        Whether the run starts, and ends, at a wall; its face counts as the post's centre, and the
        bays are equal between faces.

    Examples
    --------
    >>> [str(x) for x in posts_on_level(Fraction(132), 3)]
    ['0', '44', '88', '132']
    """
    low, high = (Fraction(0) if wall else width / 2 for wall in walls)
    clear = (span - low - high - (bays - 1) * width) / bays
    between = (low + number * (clear + width) - width / 2 for number in range(1, bays))
    return (Fraction(0), *between, span)
