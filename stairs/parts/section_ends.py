"""The ends of a section: the post it shares with its neighbour, a post of its own, or a wall.

Sections follow each other round a deck.  Where one stops and the next begins there is usually one
post that serves both; it stands square to the section before it, so a section that turns by another
angle than a right one leaves that post askew.  A run may also end against a wall, which carries the
bracket instead of a post, or begin with a post of its own beside the neighbour's.

Everything here follows from the job file alone: how far the faces lie from the first and the last
post's centre, and by which angle the first bay meets its lower post askew.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from msgspec import Struct

from stairs.relations.exact import Amount, derived

POST, WALL, OWN = "post", "wall", "own"
LANDING, DECK = "landing", "deck"
RIGHT_ANGLE = 90


class Ends(Struct, frozen=True):
    """What a section starts and ends at; lengths in the job's unit, angles in degrees.

    Parameters
    ----------
    start, end : str
        ``"post"``, ``"wall"``, and for the start also ``"own"``.
    shared : bool
        Whether the first post is the last one of the section before.
    skew : Fraction
        Plan angle between the first bay's rails and the normal of the face they leave from,
        between -45 and 45, left positive; 0 where they leave square.
    low_reach : Fraction or Derived
        First post, centre to the face that looks into the bay, level along the rail; 0 at a wall.
    high_reach : Fraction
        The same of the last post.
    half : Fraction
        The same for every post between.
    post_gap : Fraction or None
        Clear between the neighbour's last post and the section's own first one.
    """

    start: str
    end: str
    shared: bool
    skew: Fraction
    low_reach: Amount
    high_reach: Fraction
    half: Fraction
    post_gap: Fraction | None

    def is_wall(self, index: int, count: int) -> bool:
        """Whether a place in the section's list of so many posts is the face of a wall."""
        return (index == 0 and self.start == WALL) or (index == count - 1 and self.end == WALL)

    def reach(self, index: int, count: int) -> Amount:
        """From the centre of a post to its faces, level along the rail [job's unit of length].

        Both faces lie as far off: a line through the centre of a square leaves it so either way.  0
        at a wall.
        """
        if index == 0:
            return self.low_reach
        return self.high_reach if index == count - 1 else self.half

    def up_face(self, positions: Sequence[Fraction], index: int) -> Amount:
        """``x`` of the face that looks up-stair, by the post centres [job's unit of length]."""
        reach = self.reach(index, len(positions))
        return derived("face_x", centre=positions[index], low_reach=reach)

    def down_face(self, positions: Sequence[Fraction], index: int) -> Fraction:
        """``x`` of the face that looks down-stair, of one that is not the first."""
        last = index == len(positions) - 1
        return positions[index] - (self.high_reach if last else self.half)

    def clear(self, positions: Sequence[Fraction], bay: int) -> Amount:
        """Clear width of a bay, face to face, level, by the post centres [job's unit of length].

        Examples
        --------
        Posts 3 wide at 60 from centre to centre:

        >>> half = Fraction(3, 2)
        >>> ends = Ends(POST, POST, False, Fraction(0), half, half, half, None)
        >>> ends.clear((Fraction(0), Fraction(60)), 0)
        Fraction(57, 1)
        """
        return derived(
            "bay_clear",
            centre_distance=positions[bay + 1] - positions[bay],
            low_reach=self.reach(bay, len(positions)),
            high_reach=self.reach(bay + 1, len(positions)),
        )


def folded(turn: Fraction) -> Fraction:
    """What a plan turn leaves over from the nearest right angle, from -45 to 45 [degrees].

    Examples
    --------
    >>> [int(folded(Fraction(turn))) for turn in (90, 45, 60, -120, 180)]
    [0, 45, -30, -30, 0]
    """
    return turn - RIGHT_ANGLE * round(turn / RIGHT_ANGLE)
