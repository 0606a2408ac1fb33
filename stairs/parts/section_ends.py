"""The ends of a section: the post it shares with its neighbour, a post of its own, or a wall.

Sections follow each other round a deck.  Where one stops and the next begins there is usually one
post that serves both; it stands square to the section before it, so a section that turns by another
angle than a right one leaves that post askew.  A run may also end against a wall, which carries the
bracket instead of a post, or begin with a post of its own beside the neighbour's.

Everything here follows from the job file alone: how far the faces lie from the first and the last
post's centre, and by which angle the first bay meets its lower post askew.
"""

from __future__ import annotations

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
    low_reach, high_reach : Fraction or Derived
        First and last post, centre to the face that looks into the bay, level along the rail; 0 at
        a wall.
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
    high_reach: Amount
    half: Fraction
    post_gap: Fraction | None

    def is_wall(self, index: int, count: int) -> bool:
        """Whether a place in the section's list of posts is the face of a wall.

        Parameters
        ----------
        index, count : int
            Its place, from 0, and how many there are.
        """
        return (index == 0 and self.start == WALL) or (index == count - 1 and self.end == WALL)

    def reach(self, index: int, count: int) -> Amount:
        """From the centre of a post to its faces, level along the rail [job's unit of length].

        Both faces lie as far off: a line through the centre of a square leaves it so either way.

        Parameters
        ----------
        index, count : int
            The post's place in the section, from 0, and how many posts there are.

        Returns
        -------
        Fraction or Derived
            0 at a wall, else above 0.
        """
        if index == 0:
            return self.low_reach
        return self.high_reach if index == count - 1 else self.half

    def up_face(self, positions: tuple[Fraction, ...], index: int) -> Amount:
        """``x`` of the face of a post that looks up-stair [job's unit of length].

        Parameters
        ----------
        positions : tuple of Fraction
            Post centres, from the section's ``x = 0``.
        index : int
            The post's place among them, from 0.
        """
        reach = self.reach(index, len(positions))
        return derived("face_x", centre=positions[index], low_reach=reach)

    def down_face(self, positions: tuple[Fraction, ...], index: int) -> Fraction:
        """``x`` of the face of a post that looks down-stair [job's unit of length].

        Parameters
        ----------
        positions : tuple of Fraction
            Post centres, from the section's ``x = 0``.
        index : int
            The post's place among them, from 0.
        """
        return positions[index] - self.reach(index, len(positions))

    def clear(self, positions: tuple[Fraction, ...], bay: int) -> Amount:
        """Clear width of a bay, face to face, level [job's unit of length].

        Parameters
        ----------
        positions : tuple of Fraction
            Post centres, from the section's ``x = 0``.
        bay : int
            The bay, from 0.

        Notes
        -----
        Centre to centre, less the reach of either post into the bay.

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
    """What a plan turn leaves over from the nearest right angle [degrees].

    Parameters
    ----------
    turn : Fraction
        Plan turn, left positive.

    Returns
    -------
    Fraction
        From -45 to 45.

    Examples
    --------
    >>> [int(folded(Fraction(turn))) for turn in (90, 45, 60, -120, 180)]
    [0, 45, -30, -30, 0]
    """
    return turn - RIGHT_ANGLE * round(turn / RIGHT_ANGLE)
