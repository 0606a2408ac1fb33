"""The guard as it stands, in words: what is not as planned, and what to do about it."""

from __future__ import annotations

from collections.abc import Mapping

from stairs.job import Job
from stairs.job.as_built import LOOSE_CAUTION, SHIMS_CAUTION
from stairs.parts.bays_as_built import BOTTOM, TOP
from stairs.remedies.as_built import Deviation
from stairs.report.columns import length, listed, remark
from stairs.solution import SectionSolution, Solution

CAUTION = f"{SHIMS_CAUTION}. {LOOSE_CAUTION}"
_FIXING = "have the fixing looked at"


def as_built_text(job: Job, part: SectionSolution) -> str:
    """The section as it stands, in lines of at most 80 columns; empty where nothing is told."""
    texts = deviation_texts(job, part)
    if part.standing is None:
        return ""
    head = "As it stands: all figures here are for the posts as measured"
    if not texts:
        return f"{head}. All is as planned"
    return "\n".join([head, *map(remark, texts)])


def deviation_texts(job: Job, part: SectionSolution) -> list[str]:
    """What is not as planned, one text for each, and the caution that goes with any advice."""
    if part.standing is None:
        return []
    titles = {finding.id: finding.title for finding in part.findings}
    last = len(part.posts)
    texts = [_text(job, one, titles, last) for one in part.standing.deviations]
    if any(one.do != "leave" or one.what == "lean" for one in part.standing.deviations):
        texts.append(CAUTION)
    return texts


def standing_notes(solution: Solution) -> list[str]:
    """The same for lists and sheets, each with its section."""
    return [
        f"Section {part.section.number}: {text}"
        for part in solution.sections
        for text in deviation_texts(solution.job, part)
    ]


def _text(job: Job, one: Deviation, titles: Mapping[str, str], last: int) -> str:
    return f"{_what(job, one, last)}: {_advice(job, one)}{_costs(one, titles)}"


def _what(job: Job, one: Deviation, last: int) -> str:
    """What is not as planned, and by how much, of a section with so many posts."""
    off, found, planned = (length(job, value) for value in (abs(one.off), one.found, one.planned))
    more, post = one.off > 0, f"post {one.number}"
    if one.what == "x":
        return f"{post} stands {off} {toward(one.number, last, more)}, at {found} and not {planned}"
    if one.what == "surface":
        return f"the surface of {post} is {off} {'higher' if more else 'lower'} than planned"
    if one.what == "lean":
        return f"{post} leans {off} {toward(one.number, last, more)} at its top"
    if one.what.startswith("clear"):
        rail = BOTTOM if one.what == "clear_low" else TOP
        return (
            f"between posts {one.number} and {one.number + 1} {found} was measured at the {rail} "
            f"rail, and by their places it is {planned}, {off} {'less' if more else 'more'}"
        )
    if one.what == "post":
        told = f"{post} is cut and marked already, and with a bracket at {found} it"
        fits = f"is {off} too {'high' if more else 'low'}"
        return f"{told} {'fits' if one.do == 'leave' else fits}"
    piece = f"the {one.what} rail of bay {one.number}"
    if one.do == "leave":
        return f"{piece}, cut already to {found}, fits"
    return f"{piece}, cut already to {found}, is {off} too {'long' if more else 'short'}"


def toward(post: int, last: int, up: bool) -> str:
    """Which way along the guard, from one of so many posts: toward its neighbor, or at the ends
    away from the other one.

    >>> toward(2, 2, False), toward(2, 2, True)
    ('toward post 1', 'away from post 1')
    """
    ahead, behind = post + 1, post - 1
    if up:
        return f"toward post {ahead}" if ahead <= last else f"away from post {behind}"
    return f"toward post {behind}" if behind else f"away from post {ahead}"


def _advice(job: Job, one: Deviation) -> str:
    amount = length(job, abs(one.amount))
    if one.what == "lean" and one.do == "shim":
        side = "upper" if one.off > 0 else "lower"
        return (
            f"shim the {side} edge of its base plate by {amount} to set it plumb, if it is not "
            f"loose, and {_FIXING}"
        )
    if one.what == "lean" and one.do == "move":
        return f"set it plumb, its top back by {amount}, if it is not loose, and {_FIXING}"
    if one.do == "shim":
        return f"shim it up by {amount}, and {_FIXING}"
    if one.do == "move":
        return f"move it back by {amount}, and {_FIXING}"
    if one.do == "recut" and one.what == "post":
        return f"take {amount} off its foot, and {_FIXING}"
    if one.do == "recut":
        return f"take {amount} off"
    if one.do == "renew" and one.what == "post":
        return f"its brackets are not all off alike: mark them anew, and {_FIXING}"
    if one.do == "renew":
        return "cut a new one"
    if one.what.startswith("clear"):
        return "the rail is cut to what was measured"
    if one.what in (TOP, BOTTOM, "post"):
        return "leave it"
    follows = "height and marks" if one.what == "surface" else "rails and marks"
    return f"leave it, its {follows} are for where it is"


def _costs(one: Deviation, titles: Mapping[str, str]) -> str:
    if not one.costs:
        return ""
    names = [titles.get(check, check) for check in one.costs]
    return f". As it is, {listed(names)} {'fails' if len(names) == 1 else 'fail'}"
