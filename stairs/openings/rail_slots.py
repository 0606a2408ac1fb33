"""Rail slots: what is left open between a rail's end and the post.

A rail stops short of the post, and what holds it there is a bracket.  Between the post's face and
the rail's end stays a slot, as wide as the pin stands off and the rail is set back from it.  A
square-cut end leans: at the lower post the slot narrows upward, at the upper post it widens.  A
plumb-cut end leaves a slot of one width.  The bracket is taken to fill it unless its body was
measured; then a ball may rise into what the body leaves of the slot.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Any, TypeAlias

from msgspec import Struct

from stairs.job import Bracket
from stairs.openings.feature import BOTTOM_RAIL, BRACKET, RAIL_END, Feature
from stairs.parts.bracket import PIVOT, RailEnds
from stairs.relations.exact import Amount, compare, derived
from stairs.shapes.circle import Edge

Numbers: TypeAlias = Callable[[Amount], Any]
"""Turns an exact measurement into the kind of number to compute with."""
Spot: TypeAlias = tuple[Any, Any]
Path: TypeAlias = list[tuple[Spot, Feature | None]]
"""Points, each with the wall that leads to it; None where that is open."""

_BARS = 4  # a body's inside is barred, so that no circle sits in what is solid


class RailCut(Struct, frozen=True, cache_hash=True):
    """How one rail ends at both posts of its bay, in exact measurements.

    Parameters
    ----------
    low_slot, high_slot : Fraction or Derived
        Level, the lower (upper) post's face to the lower corner of the rail's end; 0 where the rail
        meets the post.
    back, up : Fraction or Derived
        From that corner to the upper one: level, down-stair, and plumb.
    pin_low, pin_high : Fraction or Derived
        Level, each post's face to its pin, or to the cut face of a plumb-cut rail.
    filler : Fraction
        Depth, plumb, of a strip under the rail; it ends plumb below the rail's lower corner.
    body_height, body_reach : Fraction
        The bracket's body about its pin: plumb height, and level reach from the post's face; 0
        where it is not known.

    Notes
    -----
    A square-cut end of a rail as deep as ``h`` is ``q + e cos θ + h/2 sin θ`` from the lower post's
    face at its lower corner and ``h sin θ`` less at its upper one; at the upper post it is the
    other way round.
    """

    low_slot: Amount = Fraction(0)
    high_slot: Amount = Fraction(0)
    back: Amount = Fraction(0)
    up: Amount = Fraction(0)
    plumb_depth: Amount = Fraction(0)
    pin_low: Amount = Fraction(0)
    pin_high: Amount = Fraction(0)
    filler: Fraction = Fraction(0)
    body_height: Fraction = Fraction(0)
    body_reach: Fraction = Fraction(0)

    @property
    def widest(self) -> float:
        """The slot's greatest width at either post [job's unit of length]."""
        if self.low_slot == 0 and self.high_slot == 0:
            return 0.0
        return max(float(self.low_slot), float(self.high_slot) + float(self.back))

    @property
    def filled(self) -> bool:
        """Whether the brackets' bodies reach the rail and are as high as its end."""
        if self.body_reach == 0:
            return False
        # the pin is half-way up the end, so the body covers what is level with it
        return float(self.body_reach) >= self.widest and float(self.body_height) >= float(
            self.plumb_depth
        )


UP_TO_POSTS = RailCut()
"""Of a rail that goes up to the posts' faces."""


def rail_cut(
    bracket: Bracket,
    ends: RailEnds,
    depth: Fraction,
    step: tuple[Amount, Amount],
    filler: Fraction = Fraction(0),
) -> RailCut:
    """How the rails of one bay end.

    Parameters
    ----------
    bracket : stairs.job.Bracket
        Its kind, setback and body.
    step : tuple of (Fraction or Derived, Fraction or Derived)
        Unit rise and unit run; a level run is 0 over 1.
    filler : Fraction
        Depth of a strip under the rail.

    Notes
    -----
    Without a measured body the bracket is taken to fill the slot, as its plate, pin and cheeks
    nearly do, and openings end at the post's face.  Where a rail runs into the post, which is a
    failure of its own, there is no slot either.
    """
    rake = {"unit_rise": step[0], "unit_run": step[1]}
    plumb = derived("plumb_depth", depth=depth, **rake)
    low: Amount = ends.stand_off_low
    high: Amount = ends.stand_off
    back: Amount = Fraction(0)
    up = plumb
    if bracket.kind == PIVOT:
        sizes = {"rail_setback": bracket.rail_setback, "depth": depth, **rake}
        low = derived("underside_slot", pivot_offset=ends.stand_off_low, **sizes)
        high = derived("corner_clearance", pivot_offset=ends.stand_off, **sizes)
        back = derived("end_back", depth=depth, **rake)
        up = derived("end_up", depth=depth, **rake)
    body = bracket.body
    return RailCut(
        low_slot=low if body and compare(low, back) > 0 else Fraction(0),
        high_slot=high if body and compare(high, Fraction(0)) > 0 else Fraction(0),
        back=back,
        up=up,
        plumb_depth=plumb,
        pin_low=ends.stand_off_low,
        pin_high=ends.stand_off,
        filler=filler,
        body_height=body.height if body else Fraction(0),
        body_reach=body.reach if body else Fraction(0),
    )


class Underside:
    """The rail's underside over one opening, in one kind of number: wall, and slots at its ends.

    Parameters
    ----------
    number : callable
        Turns an exact measurement into the kind of number to compute with.
    rail : callable
        Height of the underside, or of the filler's, at ``x``.
    low_face, high_face : number
        ``x`` of the faces that look into the bay.
    """

    def __init__(
        self,
        cut: RailCut,
        number: Numbers,
        rail: Callable[[Any], Any],
        low_face: Any,
        high_face: Any,
    ) -> None:
        self.cut, self.number, self.rail = cut, number, rail
        self.low_face, self.high_face = low_face, high_face
        self.low = low_face + number(cut.low_slot)
        self.high = high_face - number(cut.high_slot)

    def walk(self, path: Path, to: Any) -> None:
        """Lengthen a path that is on the underside's line, down-stair along it to ``x = to``.

        Parameters
        ----------
        path : Path
            Its last point lies on the line.  The new points are added to it.
        to : number
            ``x`` of the new end [unit of the path]; up-stair of the last point it adds nothing.
        """
        here = path[-1][0][0]
        for end, name in ((self.high, None), (self.low, BOTTOM_RAIL), (to, None)):
            x = end if end > to else to
            if x < here:
                path.append(((x, self.rail(x)), name))
                here = x

    def beyond(
        self, low_name: Feature, high_name: Feature, floor: Any, whole: bool = True
    ) -> list[Edge]:
        """Walls above the underside's line: the rail, its ends, brackets, the lower post's face.

        Parameters
        ----------
        floor : number
            No bracket body reaches down to it.
        whole : bool
            Whether the rail's underside itself is among them.
        """
        rail = self.rail
        walls = []
        if whole:
            walls.append(
                Edge((self.low, rail(self.low)), (self.high, rail(self.high)), BOTTOM_RAIL)
            )
        cut, number = self.cut, self.number
        back, up, filler = number(cut.back), number(cut.up), number(cut.filler)
        top = rail(self.high_face)
        for slot, x in ((cut.low_slot, self.low), (cut.high_slot, self.high)):
            if slot == 0:
                continue
            y = rail(x)
            if cut.filler:
                walls.append(Edge((x, y), (x, y + filler), RAIL_END))
            walls.append(Edge((x, y + filler), (x - back, y + filler + up), RAIL_END))
        if cut.low_slot != 0:
            start, end = (self.low_face, rail(self.low_face)), (self.low_face, top)
            if float(top) > float(start[1]):
                walls.append(Edge(start, end, low_name))
        if cut.high_slot != 0:
            high = top + filler + up
            walls.append(Edge((self.high_face, top), (self.high_face, high), high_name))
        if cut.body_reach:
            for face, pin, side in (
                (self.low_face, number(cut.pin_low), 1),
                (self.high_face, number(cut.pin_high), -1),
            ):
                height, reach = number(cut.body_height), number(cut.body_reach)
                axis = rail(face + side * pin) + filler + number(cut.plumb_depth) / 2
                if float(axis - height / 2) > float(floor):
                    walls += body_walls(face, face + side * reach, axis - height / 2, height)
        return walls


def body_walls(face: Any, end: Any, low: Any, height: Any) -> list[Edge]:
    """A bracket's body as walls: its outline, with bars across that keep circles out of it.

    Parameters
    ----------
    face, end : number
        ``x`` of the post's face and of the body's free side.

    Examples
    --------
    >>> [float(wall.start[1]) for wall in body_walls(0, 1, 0, 4)]
    [0.0, 1.0, 2.0, 3.0, 4.0, 0.0]
    """
    levels = [low + height * bar / _BARS for bar in range(_BARS + 1)]
    bars = [Edge((face, level), (end, level), BRACKET) for level in levels]
    return [*bars, Edge((end, low), (end, low + height), BRACKET)]
