"""The setting-out table on screen: each section by itself, then the whole job line by line."""

from __future__ import annotations

from collections.abc import Sequence

from stairs.guard.solving import Section
from stairs.job import Job
from stairs.lists.setting_out import Place, faces, lines
from stairs.report.columns import length, remark, table, wrap
from stairs.solution import Solution


def section_text(job: Job, section: Section) -> str:
    """Where the posts of one section stand, from its own first nosing or post."""
    datum = "nosing" if section.kind == "flight" else "post's center"
    rows = [
        [str(post.number), *(length(job, place) for place in faces(job, post))]
        for post in section.posts
    ]
    return f"Setting out: all from the first {datum}, level, never from post to post\n" + table(
        ["post", "lower face", "center", "upper face"], rows, (1, 2, 3)
    )


def job_text(solution: Solution) -> str:
    """Where all posts of the job stand, line by line; empty with one section."""
    if len(solution.guard.sections) == 1:
        return ""
    found = lines(solution.guard)
    return "\n\n".join(_line_text(solution.job, line, found[0][0], len(found)) for line in found)


def _line_text(job: Job, line: Sequence[Place], origin: Place, count: int) -> str:
    rows = []
    for place in line:
        figures = (place.running, place.x, place.y, place.surface, place.top)
        cells = ("-" if figure is None else length(job, figure) for figure in figures)
        rows.append([place.name, *cells])
    first = f"post {line[0].section}.{line[0].post}"
    start = f"the wall at {first}" if line[0].wall else f"the center of {first}"
    hand, origin_text = "", ""
    if count > 1:
        hand, origin_text = f", {line[0].hand} hand", f" from the {origin.hand}-hand post 1.1"
    head = (
        f"Setting out the whole job{hand}: along the guard's line from {start}, level; in plan"
        f"{origin_text} along section 1 (x) and to the left of it (y); surface and top of post "
        "over the lowest landing"
    )
    heads = ["post", "along the line", "x", "y", "surface", "top"]
    text = [wrap(head), table(heads, rows, range(1, 6))]
    if any(place.x is None for place in line):
        text.append(remark("no x and y: no width says how far the two hands stand apart"))
    return "\n".join(text)
