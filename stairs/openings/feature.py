"""Features: the parts of stair and guard that a ball can touch in an opening.

A feature is a kind and, of what there are several, a number; its text is what people read.  Nothing
is told from the text.
"""

from __future__ import annotations

from msgspec import Struct

TREAD, RISER, NOSING, POST = "tread", "riser", "nosing", "post"
STRINGER_AT_RISER = "stringer at riser"
_OF_STEPS = (TREAD, RISER, NOSING)


class Feature(Struct, frozen=True, cache_hash=True):
    """One of them.

    Parameters
    ----------
    number : int or None
        Of the step or the post; None for what there is one of.
    side : str
        Which side of it is meant, where that is not plain.

    Examples
    --------
    >>> str(Feature(TREAD, 3)), str(Feature(NOSING, 3, "underside")), str(BOTTOM_RAIL)
    ('tread 3', 'nosing 3, underside', 'bottom rail')
    """

    kind: str
    number: int | None = None
    side: str = ""

    def __str__(self) -> str:
        numbered = self.kind if self.number is None else f"{self.kind} {self.number}"
        return f"{numbered}, {self.side}" if self.side else numbered

    def up_stair(self, steps: int) -> Feature:
        """The same so many steps farther up; a post is no part of a step."""
        if self.number is None or self.kind not in _OF_STEPS:
            return self
        return Feature(self.kind, self.number + steps, self.side)


LOWER_LANDING, UPPER_LANDING = Feature("lower landing"), Feature("upper landing")
WALKING_SURFACE = Feature("walking surface")
STRINGER_EDGE, STRINGER_END = Feature("stringer edge"), Feature("stringer end")
BOTTOM_RAIL, RAIL_END = Feature("bottom rail"), Feature("bottom rail end")
TOP_RAIL, TOP_RAIL_END = Feature("top rail"), Feature("top rail end")
BALUSTER, BRACKET = Feature("baluster"), Feature("bracket")
POST_BEFORE = Feature("post of the section before")


def surface_of(step: int, risers: int) -> Feature:
    """What one walks on over so many risers of a flight: a landing or a tread."""
    if step == 0:
        return LOWER_LANDING
    return UPPER_LANDING if step == risers else Feature(TREAD, step)
