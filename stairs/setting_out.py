"""The setting-out table: where every post stands, each measured from one end.

Along one section all posts are measured from its first nosing or first post, so that a slip at one
of them does not carry on to the next.  Over the whole job the same is done once more, from the
first post of all: the running length along the guard's line, and the two distances at right angles
in plan that set out a corner without an angle.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from stairs.answer import Answer
from stairs.columns import length, table
from stairs.cuts import CutList, PostCut
from stairs.ends import OWN, WALL
from stairs.guard import Guard, Section
from stairs.job import Job
from stairs.marks import round_to_mark
from stairs.plan import plan_of
from stairs.post_cuts import BOTTOM, TOP
from stairs.posts import Post


@dataclass(frozen=True, slots=True)
class Place:
    """One post in the whole job; lengths in the job's unit.

    Parameters
    ----------
    section, post : int
        Which post, both from 1.
    also : tuple of (int, int) or None
        Section and post of the next section that are this same post.
    running : float
        Level, along the guard's line, from the centre of the job's first post.
    x, y : float
        In plan from there: along the first section, and to the left of it.
    surface : float
        Height of what it stands on over the lowest landing.
    top : float
        Height of its top over the lowest landing; the surface's where it is a wall.
    """

    section: int
    post: int
    also: tuple[int, int] | None
    running: float
    x: float
    y: float
    surface: float
    top: float


def places(guard: Guard) -> tuple[Place, ...]:
    """Every post of a job once, and every wall, from the foot up.

    Parameters
    ----------
    guard : Guard
        With its joins.

    Returns
    -------
    tuple of Place
        Of a guard on both sides of a stair the right-hand one.

    Notes
    -----
    A post of its own stands its gap beyond the post before it, face to face.  Where a section ends
    at a wall, the next one goes on where it stopped.
    """
    found: list[Place] = []
    origin = None
    end = 0.0
    for section, plan in zip(guard.sections, plan_of(guard).sections, strict=True):
        if section.number > 1 and section.ends.start == OWN:
            before = guard.sections[section.number - 2].ends.end
            widths = 1 if before == WALL else 2
            end += float(section.ends.post_gap) + widths * float(guard.job.post.width) / 2
        begin = end - section.posts[0].x
        for post in section.posts:
            end = begin + post.x
            if post.shared_with is not None and post.shared_with[0] < section.number:
                continue
            x, y = plan.at(post.x)
            origin = origin or (x, y)
            surface = plan.datum + post.surface
            top = surface if post.wall else surface + post.height
            x, y = x - origin[0], y - origin[1]
            found.append(
                Place(section.number, post.number, post.shared_with, end, x, y, surface, top)
            )
    return tuple(found)


def section_text(job: Job, section: Section) -> str:
    """Where the posts of one section stand, from its own first nosing or post.

    Parameters
    ----------
    job : stairs.job.Job
        For units and tape.
    section : Section
        As solved.
    """
    datum = "nosing" if section.kind == "flight" else "post's centre"
    rows = [
        [str(post.number), *(length(job, place) for place in _faces(job, post))]
        for post in section.posts
    ]
    return f"Setting out: all from the first {datum}, level, never from post to post\n" + table(
        ["post", "lower face", "centre", "upper face"], rows, (1, 2, 3)
    )


def job_text(answer: Answer) -> str:
    """Where all posts of the job stand, from the first of them; empty with one section.

    Parameters
    ----------
    answer : Answer
        Of a job.
    """
    if len(answer.guard.sections) == 1:
        return ""
    job = answer.job
    rows = []
    for place in places(answer.guard):
        name = f"{place.section}.{place.post}"
        name += f" = {place.also[0]}.{place.also[1]}" if place.also else ""
        figures = (place.running, place.x, place.y, place.surface, place.top)
        rows.append([name, *(length(job, figure) for figure in figures)])
    head = (
        "Setting out the whole job: all from the centre of post 1.1, level: along the\n"
        "guard's line, and in plan along section 1 (x) and to the left of it (y);\n"
        "surface and top of post over the lowest landing"
    )
    heads = ["post", "along the line", "x", "y", "surface", "top"]
    return f"{head}\n" + table(heads, rows, range(1, 6))


def _faces(job: Job, post: Post) -> tuple[Fraction, Fraction, Fraction]:
    """Lower face, centre and upper face on the tape's marks, each rounded by itself."""
    centre, half = Fraction(post.x), Fraction(post.width) / 2
    return tuple(round_to_mark(place, job.tape) for place in (centre - half, centre, centre + half))


def decimal(value: Fraction | float | None) -> str:
    """A number as CSV holds it, at most six decimals; empty for None.

    Examples
    --------
    >>> decimal(Fraction(59, 16)), decimal(None)
    ('3.6875', '')
    """
    if value is None:
        return ""
    return f"{float(value):.6f}".rstrip("0").rstrip(".")


def marks_text(post: PostCut) -> str:
    """Bracket marks of one post as CSV holds them.

    Parameters
    ----------
    post : PostCut
        On the tape's marks.
    """
    return "; ".join(
        f"{face.side} {rail} {decimal(height)}"
        for face in post.faces
        for rail, height in ((BOTTOM, face.bottom), (TOP, face.top))
    )


def set_out_rows(answer: Answer, cuts: CutList) -> Sequence[Sequence[str]]:
    """The table as CSV, its head first; one row for each post of each section.

    Parameters
    ----------
    answer : Answer
        Of a job.
    cuts : CutList
        Of the same job.
    """
    job = answer.job
    unit = job.units
    rows = [
        [
            "section",
            "post",
            "from",
            f"lower_face_{unit}",
            f"centre_{unit}",
            f"upper_face_{unit}",
            "stands_on",
            f"post_height_{unit}",
            f"marks_above_surface_{unit}",
            f"along_the_job_{unit}",
            f"plan_x_{unit}",
            f"plan_y_{unit}",
            f"surface_level_{unit}",
        ]
    ]
    by_place: dict[tuple[int, int], PostCut] = {}
    for cut in cuts.posts:
        by_place.setdefault((cut.section, cut.post), cut)
    whole: dict[tuple[int, int], Place] = {}
    for place in places(answer.guard):
        whole[place.section, place.post] = place
        if place.also is not None:
            whole[place.also] = place
    for section in answer.guard.sections:
        for post in section.posts:
            cut = by_place[section.number, post.number]
            place = whole[section.number, post.number]
            figures = (place.running, place.x, place.y, place.surface)
            rows.append(
                [
                    str(section.number),
                    str(post.number),
                    "first nosing" if section.kind == "flight" else "first post",
                    *(decimal(face) for face in _faces(job, post)),
                    post.stands_on,
                    decimal(cut.height),
                    marks_text(cut),
                    *(decimal(round_to_mark(figure, job.tape)) for figure in figures),
                ]
            )
    return rows
