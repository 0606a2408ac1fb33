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
from stairs.job.records import Bracket, Panel, PostKind
from stairs.job.values import HOLE_PAIR
from stairs.lengths.tape_marks import exact_text


def refuse_holes(bracket: Bracket, panel: Panel, post: PostKind, units: str, where: str) -> None:
    """Raise for holes that no plate on these posts can have; ``where`` is the table's place.

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
                f"List them, as in holes = [{HOLE_PAIR[units]}], or leave hole_diameter out",
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
