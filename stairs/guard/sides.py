"""Hands: on which sides of a stair the guard stands, and so how often each of its parts is made.

Seen going up, a guard is on the right hand or on the left, or there is one on both.  Then the
second is the mirror image of the first: every part is made twice, and a part that is not its own
mirror image is made once for either hand.  A post that two sections share is one post on each side
where both have a guard; where only one of them has, the other side's post stands for itself.

Where a turn makes the two unlike, each line has sections of its own
(:mod:`stairs.guard.left_line`), and every one of them has one hand.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec import Struct

from stairs.guard.solving import Section
from stairs.parts.posts import Post

RIGHT, LEFT, BOTH = "right", "left", "both"


class Standing(Struct, frozen=True):
    """The posts at one place of a section, on one side of the stair or on both.

    Parameters
    ----------
    height : float
        Surface to top [job's unit of length]; where the post stands for itself beside a shared one,
        what its own section needs.
    hand : str
        ``"right"``, ``"left"`` or ``"both"``.
    quantity : int
        How many are made for this place: 0 where each is the post of the section before.
    shared_with : tuple of (int, int) or None
        Section and post that are this same post.
    """

    section: Section
    post: Post
    height: float
    hand: str
    quantity: int
    shared_with: tuple[int, int] | None


def standings(sections: Sequence[Section]) -> tuple[Standing, ...]:
    """Every place of a post, section by section; walls with a quantity of 0."""
    found = []
    for section in sections:
        for post in section.posts:
            other = post.shared_with
            if post.wall:
                found.append(Standing(section, post, post.height, section.hand, 0, None))
                continue
            if other is None:
                found.append(
                    Standing(section, post, post.height, section.hand, section.sides, None)
                )
                continue
            theirs = sections[other[0] - 1].hands
            common = [hand for hand in section.hands if hand in theirs]
            made = len(common) if other[0] > section.number else 0
            found.append(Standing(section, post, post.height, _named(common), made, other))
            alone = [hand for hand in section.hands if hand not in theirs]
            if alone:
                height, count = post.own_height or post.height, len(alone)
                found.append(Standing(section, post, height, _named(alone), count, None))
    return tuple(found)


def _named(hands: Iterable[str]) -> str:
    """One word for some of the hands."""
    names = tuple(hands)
    return BOTH if len(names) == 2 else names[0]
