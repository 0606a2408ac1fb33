"""What lies under posts, as records: joists, blocks and the framing plan of a run.

Places are given as in the plan of the run: ``x`` along it from the first post's centre, ``inset``
square to it from the deck edge inwards.
"""

from __future__ import annotations

from msgspec import Struct


class Joist(Struct, frozen=True):
    """One joist: its number, from 1, and where its centre lies [job's unit of length]."""

    number: int
    centre: float


class Block(Struct, frozen=True):
    """The block in one space between joists; lengths in the job's unit.

    Parameters
    ----------
    low_joist, high_joist : int or None
        The joists that it is fitted between; None where there is none on that side.
    low, high : float or None
        Where its ends lie, on the axis on which joists are counted.
    length : float or None
        Clear between the joists; None where a joist is missing.
    thickness : float
        Of all its boards together.
    centre : float
        Where its middle lies, along the joists.
    """

    low_joist: int | None
    high_joist: int
    low: float | None
    high: float
    length: float | None
    thickness: float
    centre: float


class PostFraming(Struct, frozen=True):
    """What lies under one post; lengths in the job's unit.

    Parameters
    ----------
    post : int
        From 1.
    lands : str
        ``"between joists 2 and 3"``, ``"on joist 2"`` or ``"before joist 1"``.
    on_joists : tuple of int
        The joists that lie under its bolts or between them.
    to_joist : float
        From the post's centre to that joist's, positive where the joist lies farther along.
    bolts : tuple of (float, float)
        ``x`` and ``inset`` of each bolt; empty without a base plate.
    to_gap : float or None
        From the post's centre to the middle of the nearest board gap; None where no boards are
        given.
    warnings : tuple of str
        What would have to be changed.
    same_as : tuple of (int, int) or None
        Section and post that this post is too and that tell of it; its blocks are listed there.
    hand : str
        Under the head of a stair the side of the stair that the post is on; else empty.
    """

    post: int
    x: float
    inset: float
    lands: str
    on_joists: tuple[int, ...]
    nearest_joist: int
    to_joist: float
    blocks: tuple[Block, ...]
    bolts: tuple[tuple[float, float], ...]
    to_gap: float | None
    warnings: tuple[str, ...]
    same_as: tuple[int, int] | None = None
    hand: str = ""


class FramingPlan(Struct, frozen=True):
    """The framing under one level run, or under the head of a stair; lengths in the job's unit.

    Parameters
    ----------
    direction, board_direction : str
        Joists across or along the guard; boards across or along the joists.
    joist_axis, gap_axis : str
        ``"x"`` or ``"inset"``: what the centres of joists and of board gaps are measured on.
    joist_spacing, joist_thickness, joist_depth : float
        As given; the depth may be None.
    bolt_diameter, board_gap : float
        As given; the gap may be None.
    joists : tuple of Joist
        Those under and beside the posts.
    gaps : tuple of float
        Middles of the board gaps under and beside the posts.
    posts : tuple of PostFraming
        In order; a wall has none.
    notes : tuple of str
        What holds for all posts, and what was assumed.
    """

    direction: str
    board_direction: str
    joist_axis: str
    gap_axis: str
    joist_spacing: float
    joist_thickness: float
    joist_depth: float | None
    edge_to_post: float
    bolt_diameter: float
    board_gap: float | None
    joists: tuple[Joist, ...]
    gaps: tuple[float, ...]
    posts: tuple[PostFraming, ...]
    notes: tuple[str, ...]
