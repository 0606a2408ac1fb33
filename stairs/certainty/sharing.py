"""Posts that a section shares with those before and after it: as tall as both sections need them.

So how tall they may be is a matter of the measurements of both.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec import Struct
from msgspec.structs import replace

from stairs.certainty.readings import Reading, readings_beside
from stairs.guard.lines import ends_of
from stairs.guard.shared_posts import taller
from stairs.guard.solving import Section, solve_section
from stairs.job import Job

_FIRST, _LAST = 0, -1


class Beside(Struct, frozen=True):
    """A section that shares a post with another: its index, from 0, and its measurements.

    ``post`` is the place of the post in the other section, ``their_post`` in this one.
    """

    index: int
    post: int
    their_post: int
    readings: tuple[Reading, ...]


def sections_beside(job: Job, index: int) -> Iterator[Beside]:
    """Those that share the first or the last post of a section, which is counted from 0."""
    if ends_of(job, index).shared:
        yield Beside(index - 1, _FIRST, _LAST, readings_beside(job, index - 1))
    if index + 1 < len(job.sections) and ends_of(job, index + 1).shared:
        yield Beside(index + 1, _LAST, _FIRST, readings_beside(job, index + 1))


def with_neighbours(section: Section, job: Job, beside: Sequence[Beside]) -> Section:
    """The section with its shared posts as tall as those beside it need them; raises JobError."""
    posts = list(section.posts)
    for one in beside:
        other = solve_section(job, one.index, only_walls=True)
        height = taller(posts[one.post], other.posts[one.their_post])
        posts[one.post] = replace(posts[one.post], height=float(height), exact_height=height)
    return replace(section, posts=tuple(posts))
