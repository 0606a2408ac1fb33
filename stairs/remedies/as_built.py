"""What to do about a guard that does not stand as it was planned, and what it costs in checks.

Each post that stands off its place, on another surface or out of plumb is tried as it was planned,
all else as it stands: the checks that pass then and fail now are what it costs.  Where it costs
none it may be left, and rails and marks follow it.  What was cut already is not changed: it is held
against what the guard needs as it stands.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from stairs.errors import JobError
from stairs.guard.as_built import as_planned
from stairs.guard.lines import GuardJob
from stairs.guard.solving import Section
from stairs.job import AsBuilt
from stairs.job.as_built import done_on
from stairs.parts.bays import Bay, BayRail
from stairs.parts.bays_as_built import BOTTOM, TOP
from stairs.parts.posts import Post
from stairs.remedies.trial_solve import Bench, Outcome

Deed = Literal["leave", "shim", "move", "recut", "renew"]

_NEGLIGIBLE = 1e-7


class Deviation(Struct, frozen=True):
    """One thing that is not as it was planned; lengths in the job's unit.

    Parameters
    ----------
    number : int
        The post, or the bay of a rail or of a clear width, from 1.
    what : str
        A key of the post (``"x"``, ``"surface"``, ``"lean"``, ``"clear_low"``, ``"clear_high"``),
        or what was cut already: ``"top"`` and ``"bottom"`` rail, ``"post"``.
    planned, found : float
        As it was planned or, of a clear width, as it follows from the posts; of what was cut, what
        the guard needs as it stands, of a post the bracket mark that is farthest off.  And as it
        is.
    do : str
        ``"leave"``, ``"shim"``, ``"move"``, ``"recut"``, or ``"renew"`` of a rail that is cut too
        short, and of the marks of a post whose brackets are not all off alike.
    amount : float
        By how much: up from the surface, back to its place, off the piece; 0 of what is left.
    """

    number: int
    what: str
    planned: float
    found: float
    do: Deed
    amount: float = 0.0
    costs: tuple[str, ...] = ()

    @property
    def off(self) -> float:
        """How much more it is than it was to be."""
        return self.found - self.planned


class Standing(Struct, frozen=True):
    """A section as it stands beside what was planned.

    Parameters
    ----------
    plan : Section
        As it was planned, whose pieces were cut.
    deviations : tuple of Deviation
        Post by post, then what was cut already.
    done : frozenset of (str, int)
        What was cut already: ``("top", 2)`` is the top rail of bay 2, ``("post", 1)`` a post.
    """

    plan: Section
    deviations: tuple[Deviation, ...]
    done: frozenset[tuple[str, int]]


def standings_of(bench: Bench, sections: Sequence[Section]) -> tuple[Standing | None, ...]:
    """How each section stands beside its plan; None where nothing is told of that.

    Parameters
    ----------
    sections : sequence of Section
        As they stand, of the bench's job.
    """
    job = bench.job
    if not any(one.as_built or one.done for one in job.sections):
        return (None,) * len(sections)
    plan = bench.outcome(replace(job, sections=tuple(map(as_planned, job.sections))))
    found: list[Standing | None] = []
    for index, section in enumerate(sections):
        record = job.sections[index]
        done = done_on(record.done, record.hand, len(section.bays))
        if not record.as_built and not done:
            found.append(None)
            continue
        planned = plan.sections[index].section
        deviations = [
            one for told in record.as_built for one in _of_post(bench, plan, index, section, told)
        ]
        if len(planned.bays) == len(section.bays):
            deviations += _of_pieces(float(job.tape), planned, section, done)
        found.append(Standing(planned, tuple(deviations), done))
    return tuple(found)


def _of_post(
    bench: Bench, plan: Outcome, index: int, section: Section, told: AsBuilt
) -> list[Deviation]:
    """What is not as planned of one post."""
    found = []
    post = section.posts[told.post - 1]
    if told.x is not None and told.designed is not None and told.x != told.designed:
        costs = _costs(bench, plan, index, told.post, "x")
        off = float(told.x - told.designed)
        do: Deed = "move" if costs else "leave"
        found.append(
            Deviation(
                told.post,
                "x",
                float(told.designed),
                float(told.x),
                do,
                -off if costs else 0.0,
                costs,
            )  # fmt: skip
        )
    if told.surface is not None:
        drawn = _drawn_surface(section, post)
        off = float(told.surface) - drawn
        if abs(off) > _NEGLIGIBLE:
            costs = _costs(bench, plan, index, told.post, "surface")
            do = "shim" if costs and off < 0 else "leave"
            amount = 0.0 if do == "leave" else abs(off)
            found.append(
                Deviation(told.post, "surface", drawn, float(told.surface), do, amount, costs)
            )
    if told.lean:
        costs = _costs(bench, plan, index, told.post, "lean")
        lean, do, amount = float(told.lean), "leave", 0.0
        if costs and post.base is not None:  # as much under an edge of the plate
            do, amount = "shim", abs(lean) / post.height * post.base
        elif costs:
            do, amount = "move", -lean
        found.append(Deviation(told.post, "lean", 0.0, lean, do, amount, costs))
    found += _of_clears(section, told)
    return found


def _drawn_surface(section: Section, post: Post) -> float:
    """How high the surface of a post was planned, over the section's origin."""
    if section.flight is None:
        return 0.0
    return float(section.flight.surface(post.stand.step))


def _of_clears(section: Section, told: AsBuilt) -> list[Deviation]:
    """Clear widths that were measured, beside those that follow from the posts' places."""
    found = []
    for rail, key in ((BOTTOM, "clear_low"), (TOP, "clear_high")):
        value = getattr(told, key)
        if value is None:
            continue
        by_posts = section.bays[told.post - 1].by_posts.get(rail, float(value))
        if abs(float(value) - by_posts) > _NEGLIGIBLE:
            found.append(Deviation(told.post, key, by_posts, float(value), "leave"))
    return found


def _costs(bench: Bench, plan: Outcome, index: int, post: int, key: str) -> tuple[str, ...]:
    """The checks of all sections that fail now, pass in the plan, and pass with one key as planned.

    Where several posts together make a check fail, and none alone, each is told to cost it.
    """
    now = bench.before
    new = now.failing - plan.failing
    if not new:
        return ()
    sections = list(bench.job.sections)
    sections[index] = as_planned(sections[index], {(post, key)})
    job: GuardJob = replace(bench.job, sections=tuple(sections))
    try:
        mended = new - bench.outcome(job).failing
    except JobError:  # it stands only beside what else was measured
        return ()
    return tuple(sorted(check for _, check in mended))


def _of_pieces(
    tape: float, planned: Section, section: Section, done: frozenset[tuple[str, int]]
) -> list[Deviation]:
    """What was cut already, as planned, beside what the guard needs as it stands."""
    found = []
    for kind, number in sorted(done, key=lambda one: (one[1], one[0])):
        if kind == "post":
            posts = [part.posts[number - 1].marks for part in (planned, section)]
            pairs = [(was.height, mark.height) for was, mark in zip(*posts, strict=False)]
        else:
            which = 0 if kind == TOP else 1
            rails = [part.bays[number - 1].rails[which] for part in (planned, section)]
            pairs = [(rails[0].length, rails[1].length)]
        # of several bracket marks the one that is farthest off
        was, needed = max(pairs, key=lambda pair: abs(pair[0] - pair[1]), default=(0.0, 0.0))
        off, offs = was - needed, [pair[0] - pair[1] for pair in pairs] or [0.0]
        do: Deed = "leave"
        if max(offs) - min(offs) > tape + _NEGLIGIBLE:  # no shim puts all of its brackets right
            do = "renew"
        elif off > tape / 2 + _NEGLIGIBLE:
            do = "recut"
        elif off < -tape / 2 - _NEGLIGIBLE:
            do = "shim" if kind == "post" else "renew"
        found.append(Deviation(number, kind, needed, was, do, 0.0 if do == "leave" else abs(off)))
    return found


def rails_made(bay: Bay, standing: Standing | None) -> list[tuple[BayRail, bool]]:
    """The rails of a bay, those that are cut already as they were planned, and whether they are."""
    found = []
    for index, rail in enumerate(bay.rails):
        done = standing is not None and (rail.name, bay.number) in standing.done
        if done and standing is not None and bay.number <= len(standing.plan.bays):
            rail = standing.plan.bays[bay.number - 1].rails[index]
        found.append((rail, done))
    return found
