"""A whole section in elevation: what it stands on, its panels, posts and brackets."""

from __future__ import annotations

from collections.abc import Sequence

from stairs.drawing.paper.primitives import Primitive
from stairs.drawing.paper.view import View
from stairs.drawing.views.elevation.elements import (
    balusters,
    brackets,
    filler,
    post,
    rails,
    wall,
)
from stairs.drawing.views.elevation.profile import (
    deck,
    ground,
    nosing_line,
    stair,
    stringer,
    upper_landing,
)
from stairs.guard.solving import Section
from stairs.job import Job
from stairs.parts.posts import Post


def section_work(
    section: Section, job: Job, view: View, left: float, right: float, beside: Sequence[Post] = ()
) -> list[Primitive]:
    """A section between two ends of its surface, with posts of others that stand beside its own
    [mm on paper]."""
    drawn: list[Primitive] = []
    if section.kind == "flight":
        drawn += ground(view, left, right)
        drawn += stringer(section, view, job.units)
        drawn += stair(section, view, float(section.record.build.riser_slope))
        drawn += upper_landing(section, view, right)
        drawn += nosing_line(section, view, 5.0)
    else:
        drawn += deck(view, left, right)
    for bay in section.bays:
        drawn += balusters(bay, view, float(job.panel.baluster))
        drawn += filler(bay, view, section.filler)
        drawn += rails(bay, view)
    for one in (*section.posts, *beside):
        if one.wall:
            drawn += wall(one, view, section.guard_height, one is section.posts[-1])
        else:
            drawn += post(one, view, job.units, float(job.post.reveal))
    return drawn + brackets(section, job, view)
