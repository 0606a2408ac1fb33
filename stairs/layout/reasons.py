"""A layout in words: what speaks for it, why another one lost, and what could not be kept.

The search for a layout (:mod:`stairs.layout.search`) compares numbers; a person who is to trust it
wants to read them.  Every sentence here is made from the scores of a layout and says its numbers.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

from stairs.layout.room import DOWN, END_GAP, UP, Rooms
from stairs.layout.scoring import Candidate, Key
from stairs.lengths.tape_marks import length_text
from stairs.openings.opening import FOOT, HEAD
from stairs.parts.post_places import EQUAL, NEARLY, WHOLE

_PLACES = {
    FOOT: "at the foot",
    HEAD: "at the head",
    DOWN: "before a post on a tread",
    UP: "behind a post on a tread",
    END_GAP: "between a post and its baluster",
}
_NEARLY = "as nearly equal as openings, stock and measuring error let them be"
_GIVEN_UP = {
    "openings": "an opening beside a post fails",
    "end gaps": "an end gap fails",
    "rail stock": "no rail sold is long enough",
    "post stock": "no post sold is long enough",
    "edge distance": "a base plate comes too near an edge",
    "nosings": "a base plate reaches under a nosing",
    "spacing": "posts stand farther apart than allowed",
}


def _about(value: Fraction | float, facts: Rooms) -> str:
    return length_text(value, facts.units, facts.job.tape)


def _range(least: Fraction | float, most: Fraction | float, facts: Rooms) -> str:
    """Two lengths to the tape's mark; one where they read alike."""
    ends = _about(least, facts), _about(most, facts)
    return ends[0] if ends[0] == ends[1] else " to ".join(ends)


def _posts(count: int) -> str:
    return f"{count} posts"


def _bays_words(candidate: Candidate) -> str:
    bays = candidate.bays
    return "1 bay" if bays == 1 else f"{bays} bays"


def _spacing_words(candidate: Candidate, facts: Rooms) -> str:
    least, most = min(candidate.spacings), max(candidate.spacings)
    words = f"{_range(least, most, facts)} on centre"
    if candidate.steps:
        alike = least == most
        words += f", {'' if alike else 'up to '}{_about(float(most) / facts.cosine, facts)}"
        words += " along the rake"
    return f"{words} of at most {_about(facts.most_along, facts)}"


def _alike_words(candidate: Candidate) -> str:
    treads = [high - low for low, high in pairwise(candidate.steps)]
    if candidate.bays == 1:
        return ""
    if not treads:
        return f"bays {_NEARLY}" if candidate.alike == NEARLY else "equal bays"
    if candidate.alike == WHOLE:
        each = treads[0]
        return f"{each} {'tread' if each == 1 else 'treads'} to a bay, each post at the same place"
    counts = ", ".join(map(str, treads[:-1])) + f" and {treads[-1]} risers"
    if candidate.alike == EQUAL:
        return f"equal bays over {counts}"
    return f"bays over {counts}, {_NEARLY}"


def score_lines(candidate: Candidate, facts: Rooms) -> tuple[str, ...]:
    """What speaks for a layout, in the order of the objective."""
    lines = [f"{_posts(len(candidate.positions))}, {_bays_words(candidate)}"]
    alike = _alike_words(candidate)
    lines[0] += f"; {alike}" if alike else ""
    lines[0] += f"; {_spacing_words(candidate, facts)}"
    gaps = _range(candidate.end_gaps[0], candidate.end_gaps[1], facts)
    lines.append(f"end gaps from {gaps}" if " to " in gaps else f"end gaps {gaps}, all alike")
    if candidate.room is not None:
        lines.append(_tightest(candidate, facts))
    return tuple(lines)


def _tightest(candidate: Candidate, facts: Rooms) -> str:
    place = _PLACES[candidate.tightest]
    size = _to_spare(candidate, facts)
    if candidate.room is not None and facts.passes(candidate.room, candidate.tightest):
        return f"closest call that moving posts would change: {place}, {size} inside the limit"
    return f"closest call that moving posts would change: {place}, {size} over the limit"


def differs(
    best: Candidate, other: Candidate, keys: tuple[Key, Key], facts: Rooms, kept: Sequence[str]
) -> str:
    """The first thing in which a layout loses to another, with both numbers.

    Parameters
    ----------
    keys : tuple of (tuple, tuple)
        What they are ordered by, in the same order.
    facts : Rooms
        What they were scored by.
    kept : sequence of str
        Names of what a layout keeps where it can, in order.
    """
    place = next(n for n, (won, lost) in enumerate(zip(*keys, strict=True)) if won != lost)
    spread = [_about(one.end_gaps[1] - one.end_gaps[0], facts) for one in (other, best)]
    uneven = [_about(one.uneven, facts) for one in (other, best)]
    if place == 0:
        pairs = zip(kept, best.given_up, other.given_up, strict=True)
        return _GIVEN_UP[next(name for name, won, lost in pairs if won != lost)]
    if place == 1:
        posts = len(other.positions) - len(best.positions)
        if posts < 1:
            return f"its bays are not equal, and it takes {len(other.positions)} posts"
        return f"it takes {posts} more {'post' if posts == 1 else 'posts'}"
    if place == 2:
        return f"{_alike_words(other)}, against {_alike_words(best)}"
    if place in (3, 6):
        return (
            f"{_PLACES[other.tightest]} it has {_to_spare(other, facts)} to spare, against "
            f"{_to_spare(best, facts)} {_PLACES[best.tightest]}"
        )
    if place == 4:
        return f"its bays differ by {uneven[0]}, against {uneven[1]}"
    if place == 5:
        return f"its end gaps differ by {spread[0]}, against {spread[1]}"
    if place == 7:
        return "its places are less round on the tape"
    return "it is longer" if place == 8 else "it lies farther up the stair"


def _to_spare(candidate: Candidate, facts: Rooms) -> str:
    """Room at the tightest opening; less than half a mark never reads as none or as a mark."""
    mark, room = float(facts.job.tape), abs(candidate.room or 0.0)
    return f"under {_about(mark, facts)}" if 0 < room < mark / 2 else _about(room, facts)


def notes_on(candidate: Candidate, facts: Rooms, kept: Sequence[str]) -> tuple[str, ...]:
    """What a layout could not keep, with numbers, and what to change so that it could.

    Parameters
    ----------
    kept : sequence of str
        Names of what a layout keeps where it can, in order.
    """
    lost = dict(zip(kept, candidate.given_up, strict=True))
    job = facts.job
    notes = []
    if lost["openings"]:
        place = _PLACES.get(candidate.tightest, "beside a post")
        if candidate.tightest == END_GAP:
            place = "beside a post"
        notes.append(
            f"no place of the posts makes the opening {place} pass: lower bottom_gap, or add a "
            "filler under the rail"
        )
    if lost["end gaps"]:
        limit = float(candidate.end_gaps[1]) + (facts.end_room(candidate.end_gaps[1]) or 0.0)
        moved = "" if facts.trims_as_is_better else ", or move the pattern with [panel] trim"
        notes.append(
            f"end gaps come to {_about(candidate.end_gaps[1], facts)} against "
            f"{_about(limit, facts)}: take another pitch or stock length{moved}"
        )
    if lost["rail stock"]:
        count = len(candidate.positions)
        cuts = (
            facts.bay(float(spacing), *facts.bay_key(index, count))
            for index, spacing in enumerate(candidate.spacings)
        )
        needed = max(cut.stock_needed for cut in cuts if cut is not None)
        notes.append(
            f"a rail takes {_about(needed, facts)} of stock and the longest sold is "
            f"{_about(max(job.panel.stock), facts)}: allow more bays, list longer stock under "
            "[panel], or take base plates that fit a tread"
        )
    if lost["post stock"]:
        notes.append(
            f"a post comes out longer than {_about(max(job.post.stock), facts)}, the longest sold: "
            "list longer stock under [post]"
        )
    if lost["edge distance"]:
        notes.append(
            f"a base plate of {_about(facts.plate, facts)} cannot keep "
            f"{_about(job.post.edge_distance, facts)} to the edge in front of it: take a smaller "
            "base, or allow a smaller edge_distance under [post]"
        )
    if lost["nosings"]:
        notes.append(
            f"a base plate of {_about(facts.plate, facts)} reaches under the nosing above, where "
            "its bolts are hard to turn: take a smaller base"
        )
    if lost["spacing"]:
        notes.append(
            f"posts stand up to {_about(float(max(candidate.spacings)) / facts.cosine, facts)} "
            f"apart{' along the rake' if candidate.steps else ''}, beyond max_spacing of "
            f"{_about(facts.most_along, facts)}: allow more bays, or raise max_spacing under "
            "[post] where the maker allows it"
        )
    notes += _uneven(candidate, facts)
    return tuple(notes)


def _uneven(candidate: Candidate, facts: Rooms) -> list[str]:
    if candidate.alike == WHOLE:
        return []
    bays = candidate.bays
    if not candidate.steps:
        why = f"{bays} equal bays would give up more"
    elif candidate.steps[-1] % bays == 0:
        why = "a layout of whole treads in every bay would give up more"
    else:
        why = f"{candidate.steps[-1]} risers do not divide into {bays} bays of whole treads"
    if candidate.alike == EQUAL:
        return [f"{why}; the bays are equal, and each post has its own place on its tread"]
    return [
        f"{why}; the bays differ by {_about(candidate.uneven, facts)}. To change that name "
        "another number of bays"
    ]
