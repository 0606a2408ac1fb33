"""The screw holes of a bracket's plate, as a job file gives them.

A bracket is screwed to the post through a plate that lies flat on the post's face.  Where its holes
are is measured on the bracket itself: each is a pair, first level from the middle of the plate (the
pin) to the hole's centre, to the right seen square on the face, then plumb, upwards.  A plate
cannot have two holes in one place, be wider than the post it lies on, or reach from one rail's
bracket to the other's.
"""

from __future__ import annotations

from fractions import Fraction

from stairs.errors import JobError, NoSuchShape
from stairs.job.ranges import RANGES, refuse_slip
from stairs.job.records import Bracket, Panel, PostKind
from stairs.lengths.tape import as_typed, exact_text, parse

MOST_HOLES = 20
_PAIR = {"in": '["1/2", "-3/4"]', "mm": "[12, -18]"}
_MEANT = (
    "A hole is a pair: level from the middle of the plate, right positive, then plumb from the "
    "pin, up positive"
)


def read_holes(value: object, units: str, where: str) -> tuple[tuple[Fraction, Fraction], ...]:
    """Every hole of a plate, level and plumb from its middle [units].

    Parameters
    ----------
    value : object
        As the job file holds it.
    units : str
        ``"in"`` or ``"mm"``.
    where : str
        The key's place, for errors.

    Returns
    -------
    tuple of (Fraction, Fraction)
        In the order in which they are listed.

    Raises
    ------
    JobError
        What stands there is no list of pairs of lengths.

    Examples
    --------
    >>> read_holes([["1/2", "-3/4"]], "in", "bracket: holes")
    ((Fraction(1, 2), Fraction(-3, 4)),)
    """
    if not isinstance(value, (list, tuple)):
        raise JobError(
            where,
            f"{as_typed(value)} is not a list",
            "Holes are a list of pairs in square brackets",
            f"Write one hole as in [{_PAIR[units]}], and more of them with commas between",
        )
    if not value:
        raise JobError(
            where,
            "is an empty list",
            _MEANT,
            "List every hole of the plate, or leave holes out",
        )
    if len(value) > MOST_HOLES:
        raise JobError(
            where,
            f"is a list of {len(value)}",
            f"At most {MOST_HOLES} are read",
            "List the holes of one bracket's plate",
        )
    holes: list[tuple[Fraction, Fraction]] = []
    for number, pair in enumerate(value, 1):
        place = f"{where} {number}"
        if not isinstance(pair, (list, tuple)) or len(pair) != 2:
            raise JobError(
                place, f"{as_typed(pair)} is not a pair", _MEANT, f"Write it as in {_PAIR[units]}"
            )
        across, up = (parse(part, units, place) for part in pair)
        holes.append((across, up))
    typed = [part for pair in value for part in pair]
    read = [abs(part) for hole in holes for part in hole]
    if far := max(read):  # all of them in the pin is one hole there
        said = str(typed[read.index(far)]).strip().lstrip("-")
        refuse_slip(where, said, far, units, RANGES["holes"][units])
    return tuple(holes)


def refuse_holes(bracket: Bracket, panel: Panel, post: PostKind, units: str, where: str) -> None:
    """Refuse holes that no plate on these posts can have.

    Parameters
    ----------
    bracket : stairs.job.records.Bracket
        With or without holes.
    panel : stairs.job.records.Panel
        For the distance between its rails.
    post : stairs.job.records.PostKind
        For its width.
    units : str
        ``"in"`` or ``"mm"``.
    where : str
        The table's place, for errors.

    Raises
    ------
    JobError
        A diameter is given and no hole.
    NoSuchShape
        A hole off the post's face, two in one place, or a plate as high as the panel.

    Notes
    -----
    The two brackets on one face stand as far apart, plumb, as the rails' centre lines on a level
    run: racking keeps the balusters' length.
    """

    def show(length: Fraction) -> str:
        return exact_text(length, units)

    holes, diameter = bracket.holes, bracket.hole_diameter
    if not holes:
        if diameter is not None:
            raise JobError(
                f"{where}: hole_diameter",
                "stands without holes",
                "It is the size of the holes that are listed",
                f"List them, as in holes = [{_PAIR[units]}], or leave hole_diameter out",
            )
        return
    wide = diameter or Fraction(0)
    half = post.width / 2
    for number, (across, up) in enumerate(holes, 1):
        place = f"{where}: holes {number}"
        if abs(across) + wide / 2 > half:
            raise NoSuchShape(
                place,
                f"its edge lies {show(abs(across) + wide / 2)} from the middle of the plate, off "
                "the post's face",
                f"The face reaches {show(half)} to either side of its middle",
                "Measure level from the pin to the middle of the hole",
            )
        for earlier, (other_across, other_up) in enumerate(holes[: number - 1], 1):
            apart = (across - other_across) ** 2 + (up - other_up) ** 2
            if apart == 0:
                raise NoSuchShape(
                    place,
                    f"is in the same place as hole {earlier}",
                    "Every hole is listed once",
                    "Leave one of the two out, or measure it again",
                )
            if apart <= wide**2:
                raise NoSuchShape(
                    place,
                    f"leaves nothing between it and hole {earlier}, both {show(wide)} wide",
                    "Holes stand farther apart, centre to centre, than they are wide",
                    "Measure both again, and the hole's diameter",
                )
    heights = [up for _, up in holes]
    spread = max(heights) - min(heights) + wide
    spacing = panel.height - (panel.top_rail + panel.bottom_rail) / 2
    if spread >= spacing:
        raise NoSuchShape(
            f"{where}: holes",
            f"reach {show(spread)} from the lowest to the highest, and the pins of the two rails "
            f"are only {show(spacing)} apart",
            "The holes of the top rail's bracket lie over those of the bottom rail's",
            "Measure plumb from the pin to the middle of each hole",
        )
