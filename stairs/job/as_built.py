"""The posts of a section as they stand, held against what the job says of the section.

Once posts are set, each is measured post by post and, where the two hands differ, hand by hand.
What is told of a post must be of one that the section has, and must be told once.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from msgspec.structs import replace

from stairs.errors import JobError, MeasurementsContradict
from stairs.job.key_notes import keys_of
from stairs.job.records import AsBuilt
from stairs.job.table import Table

BOTH = "both"
_TOLD = tuple(name for name in keys_of(AsBuilt) if name not in ("post", "hand"))


def check_as_built(table: Table, section: Mapping[str, Any]) -> None:
    """Refuse what is told of a post that the section has not, of no post, or twice."""
    seen: dict[tuple[int, str], int] = {}
    posts, bays, hand = section["posts"], section["bays"], section["hand"]
    count = len(posts) if posts is not None else bays + 1 if isinstance(bays, int) else None
    for number, one in enumerate(section["as_built"], 1):
        place = table.at(f"as_built {number}")
        if one.post < 1 or (count is not None and one.post > count):
            raise JobError(
                f"{place}: post",
                f"is {one.post}",
                "Posts count from 1 at the foot of the section"
                + (f", and it has {count}" if count is not None else ""),
                "Give the post's number in its own section",
            )
        if hand != BOTH and one.hand not in (hand, BOTH):
            raise JobError(
                f"{place}: hand",
                f'is "{one.hand}", and the guard of the section is on the {hand} hand',
                "A post stands on a hand that has a guard",
                f'Leave hand out, or write hand = "{BOTH}" for the section',
            )
        if all(getattr(one, name) is None for name in _TOLD):
            raise JobError(
                place,
                f"tells nothing of post {one.post}",
                f"Of a post as it stands any of these is told: {', '.join(_TOLD)}",
                "Add what was measured, or take the table out",
            )
        before = seen.setdefault((one.post, one.hand), number)
        if before != number:
            raise MeasurementsContradict(
                f"{place}: post",
                f"is {one.post}, of which as_built {before} tells already",
                "A post is told once for each hand",
                'Keep one of the two, or say which hand each is on, as in hand = "left"',
                (float(before), float(number)),
            )


def on_hand(told: tuple[AsBuilt, ...], hand: str) -> tuple[AsBuilt, ...]:
    """What is told of the posts on one hand, post by post; of ``"both"`` what is told of both.

    What is told of the hand alone goes before what is told of both.

    Examples
    --------
    >>> told = AsBuilt(post=1, x=Fraction(1)), AsBuilt(post=1, hand="left", x=Fraction(2))
    >>> [int(on_hand(told, hand)[0].x) for hand in ("right", "left")]
    [1, 2]
    """
    found: dict[int, AsBuilt] = {}
    for one in sorted(told, key=lambda one: (one.post, one.hand != BOTH)):
        if one.hand not in (hand, BOTH):
            continue
        before = found.get(one.post, one)
        kept = {name: getattr(before, name) for name in _TOLD if getattr(one, name) is None}
        found[one.post] = replace(one, hand=hand, **kept)
    return tuple(found.values())


def hands_differ(told: tuple[AsBuilt, ...]) -> bool:
    """Whether a post stands otherwise on the left hand than on the right."""
    right, left = (
        [replace(one, hand=BOTH) for one in on_hand(told, hand)] for hand in ("right", "left")
    )
    return right != left


def shifted(told: tuple[AsBuilt, ...], by: Fraction) -> tuple[AsBuilt, ...]:
    """The same posts with every ``x`` so much smaller."""
    return tuple(one if one.x is None else replace(one, x=one.x - by) for one in told)
