"""Framing from section to section: one story for a shared post, and what lies under stair heads.

A post that two level runs share stands on one piece of framing, which the lower run tells; the
upper one says whose post it is.  A post at the head of a stair stands on the deck as well: where
the next run shares it that run tells of it, and where it stands on the other hand, or the guard
ends with the stair, the flight does.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from msgspec.structs import replace

from stairs.guard.framing import deck_under, framing_of
from stairs.guard.framing_plan import FramingPlan
from stairs.guard.shared_posts import Join
from stairs.guard.sides import LEFT, RIGHT
from stairs.guard.solving import Section
from stairs.job import Job

_AXES = ((1, 0), (0, 1), (-1, 0), (0, -1))


def framings_of(
    job: Job, sections: Sequence[Section], joins: Sequence[Join]
) -> tuple[FramingPlan | None, ...]:
    """What lies under the posts of every section; None where the job tells nothing of it.

    Parameters
    ----------
    job : stairs.job.Job
        With posts in every section.

    Returns
    -------
    tuple of FramingPlan or None
        Of a flight only its last post, where it stands on the upper landing and no level run tells
        of it; places are those of the run that goes on from there, or along the top nosing.

    Raises
    ------
    stairs.errors.NoSuchShape
        The bolts do not lie within the base plate.
    """
    plans: list[FramingPlan | None] = []
    for index, section in enumerate(sections):
        walls, posts = [post.wall for post in section.posts], job.sections[index].posts
        level = section.kind == "level" and posts is not None
        plans.append(framing_of(job, index, posts or (), walls) if level else None)
    for join in joins:
        low, up = plans[join.lower - 1], plans[join.upper - 1]
        if low is None or up is None or sections[join.lower - 1].kind != "level":
            continue
        if not set(sections[join.upper - 1].hands) <= set(sections[join.lower - 1].hands):
            continue
        told, here = low.posts[-1], up.posts[0]
        same = replace(
            told, post=here.post, x=here.x, inset=here.inset, bolts=here.bolts, blocks=(),
            warnings=(), same_as=(join.lower, join.below.post),
        )  # fmt: skip
        plans[join.upper - 1] = replace(up, posts=(same, *up.posts[1:]))
    for index, section in enumerate(sections):
        if section.kind == "flight":
            plans[index] = _head(job, sections, plans, index)
    return tuple(plans)


def _head(
    job: Job, sections: Sequence[Section], plans: Sequence[FramingPlan | None], index: int
) -> FramingPlan | None:
    """What lies under the head of a flight, on the hands on which no run goes on to tell of it."""
    section, post = sections[index], sections[index].posts[-1]
    if post.wall or post.stands_on != "upper landing":
        return None
    after = sections[index + 1] if index + 1 < len(sections) else None
    if after is not None and after.line.begins is not None:
        after = None
    if after is not None and (after.kind != "level" or plans[index + 1] is None):
        after = None
    deck = deck_under(job, index if after is None else index + 1)
    if deck is None:
        return None
    width, at = section.line.apart, Fraction(0)
    told: tuple[str, ...] = ()
    if after is not None:
        turn, outer = Fraction(after.turn), after.hand
        told = after.hands if after.ends.shared else ()
        if not after.ends.shared and after.ends.post_gap is not None:
            at = -after.ends.post_gap - job.post.width
    else:  # as a run along the edge would see it that leaves the stair behind
        outer = RIGHT if section.line.opposite_of else section.hand
        turn = Fraction(90 if outer == LEFT else -90)
        deck.inset = Fraction(post.x - section.nosings[-1][0]).limit_denominator(10**6)
        deck.framing = replace(deck.framing, edge_to_post=deck.inset)
    if turn % 90:
        return None
    to_left = _AXES[(1 - int(turn / 90)) % 4]  # of the stair, in the frame of that run
    inwards = -1 if outer == LEFT else 1
    found, notes = [], []
    for hand in section.hands:
        off = width if hand == LEFT != outer else Fraction(0)
        if hand in told:
            continue
        if off is None:
            notes.append("what lies under the left-hand post follows from the width, not told")
            continue
        x, inset = at + off * to_left[0], deck.inset + inwards * off * to_left[1]
        deck = deck.reaching(x)
        found.append((x, inset, hand))
    if not found:
        return None
    posts = [replace(deck.post(post.number, *one[:2]), hand=one[2]) for one in found]
    if after is not None:
        run = job.sections[index + 1].name or f"section {index + 2}"
        notes.append(f"places are seen along {run} and from its first post")
    else:
        first = "left" if outer == LEFT else "right"
        notes.append(
            "joists are seen along the deck edge at the head of the stair, the top nosing, and "
            f"places from the {first}-hand post there"
        )
    return deck.plan(posts, (min(x for x, _, _ in found), max(x for x, _, _ in found)), notes)
