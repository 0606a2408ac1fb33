"""The setting-out table: where every post stands, each measured from one end.

Along one section all posts are measured from its first nosing or first post, so that a slip at one
of them does not carry on to the next.  Over the whole job the same is done once more, from the
first post of all: the running length along the guard's line, and the two distances at right angles
in plan that set out a corner without an angle.  A guard on both hands is two lines, each with its
own running length; both are tied to the one first post in plan.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from msgspec import Struct

from stairs.guard.plan import plan_of
from stairs.guard.sides import BOTH, LEFT, RIGHT
from stairs.guard.solving import Guard, Section
from stairs.job import Job
from stairs.lengths.tape_marks import round_to_mark
from stairs.lists.cut_list import CutList, PostCut
from stairs.lists.post_cuts import BOTTOM, TOP
from stairs.parts.bracket_holes import hole_heights
from stairs.parts.posts import Post
from stairs.parts.section_ends import OWN, WALL
from stairs.report.columns import length, table, wrap
from stairs.solution import Answer


class Place(Struct, frozen=True):
    """One post in the whole job; lengths in the job's unit.

    Parameters
    ----------
    section, post : int
        Which post, both from 1.
    hand : str
        ``"right"`` or ``"left"``: the side of the stair that its guard stands on.
    also : tuple of (int, int) or None
        Section and post of the next section that are this same post.
    running : float
        Level, along the line of its guard, from the centre of that line's first post.
    x, y : float or None
        In plan from the job's first post: along the first section, and to the left of it.  None
        where no width says how far the two hands are apart.
    surface : float
        Height of what it stands on over the lowest landing.
    top : float
        Height of its top over the lowest landing; the surface's where it is a wall.
    """

    section: int
    post: int
    hand: str
    also: tuple[int, int] | None
    running: float
    x: float | None
    y: float | None
    surface: float
    top: float


def lines(guard: Guard) -> tuple[tuple[Place, ...], ...]:
    """Every line of guard of a job, each from its foot up: posts once, and every wall.

    Parameters
    ----------
    guard : Guard
        With its joins.

    Returns
    -------
    tuple of tuple of Place
        The right-hand lines first.  A line ends where the next section has no guard on that hand.

    Notes
    -----
    A post of its own stands its gap beyond the post before it, face to face.  Where a section ends
    at a wall, the next one goes on where it stopped.
    """
    plans = plan_of(guard).sections
    origin = plans[0].at(guard.sections[0].posts[0].x)
    found: list[tuple[Place, ...]] = []
    for hand in (RIGHT, LEFT):
        line: list[Place] = []
        end, last = 0.0, 0
        for section, plan in zip(guard.sections, plans, strict=True):
            if hand not in section.hands:
                continue
            begun = line and last == section.number - 1
            if not begun or section.line.begins is not None:
                found.append(tuple(line))
                line, end = [], 0.0
            elif section.ends.start == OWN:
                before = guard.sections[section.number - 2].ends.end
                posts = 1 if before == WALL else 2
                end += float(section.ends.post_gap) + posts * float(guard.job.post.width) / 2
            last = section.number
            aside = section.line.apart if section.sides == 2 and hand == LEFT else 0
            begin = end - section.posts[0].x
            for post in section.posts:
                end = begin + post.x
                also, height = _also(guard, post, hand)
                if also is not None and also[0] < section.number:
                    continue
                x, y = (None, None)
                if aside is not None:
                    x, y = plan.at(post.x, float(aside))
                    x, y = x - origin[0], y - origin[1]
                surface = plan.datum + post.surface
                top = surface if post.wall else surface + height
                line.append(Place(section.number, post.number, hand, also, end, x, y, surface, top))
        found.append(tuple(line))
    return tuple(line for line in found if line)


def _also(guard: Guard, post: Post, hand: str) -> tuple[tuple[int, int] | None, float]:
    """The post of another section that is this one on a hand, and its height there."""
    other = post.shared_with
    if other is None or hand in guard.sections[other[0] - 1].hands:
        return other, post.height
    return None, post.own_height


def places(guard: Guard) -> tuple[Place, ...]:
    """Every post of a job once, and every wall, from the foot up, the right hand first.

    Parameters
    ----------
    guard : Guard
        With its joins.
    """
    return tuple(place for line in lines(guard) for place in line)


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
    """Where all posts of the job stand, line by line; empty with one section.

    Parameters
    ----------
    answer : Answer
        Of a job.
    """
    if len(answer.guard.sections) == 1:
        return ""
    found = lines(answer.guard)
    return "\n\n".join(_line_text(answer.job, line, found[0][0], len(found)) for line in found)


def _line_text(job: Job, line: Sequence[Place], origin: Place, count: int) -> str:
    rows = []
    for place in line:
        name = f"{place.section}.{place.post}"
        name += f" = {place.also[0]}.{place.also[1]}" if place.also else ""
        figures = (place.running, place.x, place.y, place.surface, place.top)
        cells = ("-" if figure is None else length(job, figure) for figure in figures)
        rows.append([name, *cells])
    first = f"post {line[0].section}.{line[0].post}"
    start = f"the centre of {first}" if not _is_wall(line[0]) else f"the wall at {first}"
    if count == 1:
        head = (
            f"Setting out the whole job: all from {start}, level: along the guard's line, and in "
            "plan along section 1 (x) and to the left of it (y); surface and top of post over the "
            "lowest landing"
        )
    else:
        head = (
            f"Setting out the whole job, {line[0].hand} hand: along the guard's line from {start}, "
            f"level; in plan from the {origin.hand}-hand post 1.1 along section 1 (x) and to the "
            "left of it (y); surface and top of post over the lowest landing"
        )
    heads = ["post", "along the line", "x", "y", "surface", "top"]
    text = f"{wrap(head)}\n" + table(heads, rows, range(1, 6))
    if any(place.x is None for place in line):
        text += "\n" + wrap(
            "no x and y: no width says how far the two hands stand apart", "  ", "    "
        )
    return text


def _is_wall(place: Place) -> bool:
    return place.top == place.surface


def _faces(job: Job, post: Post) -> tuple[Fraction, Fraction, Fraction]:
    """Lower face, centre and upper face along the rails, on the tape's marks, each by itself."""
    found = (post.face("down"), post.x, post.face("up"))
    return tuple(round_to_mark(place, job.tape) for place in found)


def decimal(value: Fraction | float | None) -> str:
    """A number as CSV holds it, at most six decimals; empty for None.

    Parameters
    ----------
    value : Fraction, float or None
        In the unit of its column.

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


def holes_text_of(job: Job, post: PostCut) -> str:
    """Heights at which the faces of one post are drilled, as CSV holds them; empty without holes.

    Parameters
    ----------
    job : stairs.job.Job
        For the holes of the bracket's plate.
    post : PostCut
        On the tape's marks.
    """
    if not job.bracket.holes:
        return ""
    told = []
    for face in post.faces:
        for rail, pin in ((BOTTOM, face.bottom), (TOP, face.top)):
            heights = sorted({height for _, height in hole_heights(job.bracket, pin)})
            told.append(f"{face.side} {rail} {' '.join(map(decimal, heights))}")
    return "; ".join(told)


def set_out_rows(answer: Answer, cuts: CutList) -> Sequence[Sequence[str]]:
    """The table as CSV, its head first; one row for each post of each section on each hand.

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
            "hand",
        ]
    ]
    by_place: dict[tuple[int, int, str], PostCut] = {}
    for cut in cuts.posts:
        for hand in (RIGHT, LEFT) if cut.hand == BOTH else (cut.hand,):
            by_place[cut.section, cut.post, hand] = cut
    whole: dict[tuple[int, int, str], Place] = {}
    for place in places(answer.guard):
        whole[place.section, place.post, place.hand] = place
        if place.also is not None:
            whole[*place.also, place.hand] = place
    for section in answer.guard.sections:
        for post, hand in ((post, hand) for hand in section.hands for post in section.posts):
            cut = by_place[section.number, post.number, hand]
            place = whole[section.number, post.number, hand]
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
                    *(
                        "" if figure is None else decimal(round_to_mark(figure, job.tape))
                        for figure in figures
                    ),
                    hand,
                ]
            )
    return rows
