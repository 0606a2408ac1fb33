"""The posts of a section as they stand, held against what the job says of the section.

Once posts are set, each is measured post by post and, where the two hands differ, hand by hand.
What is told of a post must be of one that the section has, and must be told once.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from stairs.errors import JobError, MeasurementsContradict
from stairs.job.key_notes import keys_of
from stairs.job.records import AsBuilt
from stairs.job.table import Table
from stairs.job.values import DONE

BOTH = "both"
SHIMS_CAUTION = (
    "Shims, moved posts and new holes change what holds the post: have the fixing looked at each "
    "time"
)
MOVED_CAUTION = "a moved one changes what holds it, so have the fixing looked at"
LOOSE_CAUTION = "A post that leans because it is loose is not shimmed: find out why it moves first"
"""What is told with any advice about posts as they stand, without a full stop."""
WALL = "wall"
_TOLD = tuple(name for name in keys_of(AsBuilt) if name not in ("post", "hand"))


class PlannedPost(Struct, frozen=True):
    """A post, or a wall, as it was planned, for who measures it as it stands; job's unit of length.

    Parameters
    ----------
    section, post : int
        In the job file, both from 1.
    hand : str
        ``"right"`` or ``"left"``.
    last : int
        Number of the last post of the section on that hand.
    stands_on : str
        The surface's name; ``"wall"`` of a wall.
    x, surface, height : Fraction
        Its place, how high its surface lies, and from there to its top, on the tape's marks.
    clear : Fraction or None
        Level, face to face, to the next post of the section; None of the last.
    shared : bool
        Whether it is a post of the section before, with which its surface is told, and its place
        where this section is a level run, which is measured from it.
    on_level : bool
        Whether the section is a level run.
    """

    section: int
    post: int
    hand: str
    last: int
    stands_on: str
    x: Fraction
    surface: Fraction
    height: Fraction
    clear: Fraction | None
    shared: bool
    on_level: bool

    @property
    def asked(self) -> tuple[str, ...]:
        """What is measured of it, by the keys of the job file."""
        clear = () if self.clear is None else ("clear_low", "clear_high")
        if self.stands_on == WALL:
            return clear
        if self.shared:
            return (*(() if self.on_level else ("x",)), "lean", *clear)
        return ("x", "surface", "lean", *clear)


def tells_anything(one: AsBuilt) -> bool:
    """Whether something is told of a post beside which it is."""
    return any(getattr(one, name) is not None for name in _TOLD)


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
        if not tells_anything(one):
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


def check_done(table: Table, section: Mapping[str, Any]) -> None:
    """Refuse what is cut already of a piece that the section has not."""
    posts, bays, hand = section["posts"], section["bays"], section["hand"]
    count = len(posts) - 1 if posts is not None else bays if isinstance(bays, int) else None
    for number, word in enumerate(section["done"], 1):
        kind, piece, rail, on = _parts(word)
        has = None if count is None else count + (kind == "post")
        place = table.at(f"done {number}")
        if rail and kind == "post":
            raise JobError(
                place,
                f'is "{word}"',
                "A post has no rails of its own; those of a bay are told",
                f'Write "post {piece}", or the rail as in "bay 1 {rail}"',
            )
        if piece < 1 or (has is not None and piece > has):
            raise JobError(
                place,
                f'is "{word}"',
                "Posts and bays count from 1 at the foot of the section"
                + (f", and it has {has} {kind}{'s' * (has != 1)}" if has is not None else ""),
                "Give the number in its own section",
            )
        if on and hand not in (on, BOTH):
            raise JobError(
                place,
                f'is "{word}", and the guard of the section is on the {hand} hand',
                "A piece is on a hand that has a guard",
                f"Leave out {on}",
            )


def _parts(word: str) -> tuple[str, int, str, str]:
    match = DONE.fullmatch(word)
    assert match is not None  # as read
    kind, number, rail, hand = match.groups("")
    return kind, int(number), rail.strip(), hand.strip()


def done_on(done: tuple[str, ...], hand: str, bays: int) -> frozenset[tuple[str, int]]:
    """What is cut already on one hand, or on both: ``"post"``, ``"top"`` or ``"bottom"``, number.

    Examples
    --------
    >>> sorted(done_on(("bay 1", "post 2 left"), "left", 1))
    [('bottom', 1), ('post', 2), ('top', 1)]
    """
    found: set[tuple[str, int]] = set()
    for word in done:
        kind, number, rail, on = _parts(word)
        if on not in ("", hand) or number > bays + (kind == "post"):
            continue
        kinds = ("post",) if kind == "post" else (rail,) if rail else ("top", "bottom")
        found.update((one, number) for one in kinds)
    return frozenset(found)


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


def hands_differ(told: tuple[AsBuilt, ...], done: tuple[str, ...] = ()) -> bool:
    """Whether a post stands otherwise on the left hand than on the right, or more is cut there."""
    if any(_parts(word)[3] for word in done):
        return True
    right, left = (
        [replace(one, hand=BOTH) for one in on_hand(told, hand)] for hand in ("right", "left")
    )
    return right != left


def shifted(told: tuple[AsBuilt, ...], by: Fraction) -> tuple[AsBuilt, ...]:
    """The same posts with every ``x`` so much smaller."""
    return tuple(one if one.x is None else replace(one, x=one.x - by) for one in told)
