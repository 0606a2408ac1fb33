"""Words beside the cut list: what to know of the whole, and what is wrong with a rail's ends."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from stairs.guard.left_line import open_questions
from stairs.job import Job
from stairs.lengths.tape_marks import floor_to_mark, length_text, text_against_limit
from stairs.lists.post_cuts import PostCut
from stairs.parts.panel import KERF, Trim
from stairs.report.survey_text import doubts_text, slips_text
from stairs.solution import Answer


def notes_on(answer: Answer, posts: Sequence[PostCut]) -> tuple[str, ...]:
    """What a reader has to know of the whole list.

    Parameters
    ----------
    answer : Answer
        Of a job.
    posts : sequence of PostCut
        All of its posts.
    """
    notes = [
        f"Section {part.section.number}: {text}"
        for part in answer.sections
        for text in (*slips_text(answer.job, part), *doubts_text(answer.job, part))
    ]
    if answer.joins:
        notes.append(
            "Where one post serves two sections it is listed with both and bought once: it is cut "
            "to the greater height over its surface and takes the marks of both"
        )
    if any(join.above.skew for join in answer.joins):
        notes.append(
            "A section that turns by another angle than 90° meets its corner post askew: its "
            "brackets there swing in plan too, and a plumb-cut rail is sawn there with miter and "
            "bevel at once, as the list says"
        )
    both = [section for section in answer.guard.sections if section.sides == 2]
    if both:
        notes.append(
            f"The guard of section {', '.join(str(section.number) for section in both)} stands on "
            "both sides of the stair, and the lists count both. The left hand is the mirror image "
            "of the right: rails and posts whose own two sides are alike serve either hand; what "
            "has a face (a rail with a seam or a screw side, a bracket that is not its own mirror "
            "image) is cut and bought half right-hand and half left-hand"
        )
    left = [section.number for section in answer.guard.sections if section.line.opposite_of]
    if left:
        notes.append(
            f"Sections {left[0]} to {left[-1]} are the left-hand guard. Its corners lie on the "
            "mitre of each turn, at the width of the stair, so its level runs are of other lengths "
            "than the right-hand ones. Measure them before cutting"
        )
    job = answer.job
    return (*notes, *open_questions(job), *_left_whole(job, posts), *_below(job, posts))


def _left_whole(job: Job, posts: Sequence[PostCut]) -> list[str]:
    """Posts that are as good as long enough as sold, and how high they stand."""
    by_length: dict[tuple[Fraction, Fraction], list[str]] = {}
    for post in posts:
        if post.whole and post.bought:
            names = by_length.setdefault((post.length, post.whole), [])
            names.append(f"{post.section}.{post.post}")

    def text(length: Fraction) -> str:
        return length_text(length, job.units, job.tape)

    return [
        f"Leave {'post' if len(set(names)) == 1 else 'posts'} {', '.join(dict.fromkeys(names))} "
        f"whole, {text(length)} as sold: the saw would take more than the {text(over)} that is "
        f"over. The reveal there is {text(job.post.reveal + over)}, not {text(job.post.reveal)}"
        for (length, over), names in by_length.items()
    ]


def _below(job: Job, posts: Sequence[PostCut]) -> list[str]:
    """What to know of posts with a bracket mark below the surface that they stand on."""
    if job.post.below is not None:
        below = length_text(job.post.below, job.units, job.tape)
        return [
            f"Posts go on {below} below the surface beside them, fixed to the side or set in. That "
            "is in their length, not in their height: heights and marks count from the surface. "
            "What holds them there is not designed here"
        ]
    low = [post for post in posts if post.is_longer and post.bought]
    if not low:
        return []
    names = list(dict.fromkeys(f"{post.section}.{post.post}" for post in low))
    deepest = length_text(max(post.below for post in low), job.units, job.tape)
    base = "" if job.post.base is None else ". A base plate on the surface does not serve there"
    return [
        f"{'Post' if len(names) == 1 else 'Posts'} {', '.join(names)}: a bracket mark lies as much "
        f"as {deepest} below the surface, so the post goes on below it and is fixed to the side. "
        "Its height and its stock count from the surface up. What goes below is not in them: "
        f"measure it, and add it before the post is bought and cut{base}"
    ]


def off_warnings(
    job: Job, tips: tuple[Fraction, Fraction], off: tuple[Fraction, Fraction]
) -> tuple[str, ...]:
    """Whether a cut leaves the stock rail at an end, or takes off less than it is wide.

    Parameters
    ----------
    job : stairs.job.Job
        For units and tape.
    tips : tuple of Fraction
        How far the lower and the upper cut reach beyond the axis [job's unit of length].
    off : tuple of Fraction
        What comes off the stock rail there [job's unit of length].
    """
    warnings, kerf = [], KERF[job.units]

    def text(length: Fraction) -> str:
        return length_text(length, job.units, job.tape)

    for end, tip, one in zip(("lower", "upper"), tips, off, strict=True):
        if one < floor_to_mark(tip, job.tape):
            warnings.append(
                f"the slanted {end} cut reaches {text(tip)} beyond the axis, and only "
                f"{text_against_limit(one, tip, job.units, job.tape)} comes off there"
            )
        elif 0 < one + tip < kerf:
            warnings.append(
                f"only {text(one)} would come off the {end} end, less than the saw's cut of "
                f"{text(kerf)}; a longer stock, or posts a little closer"
            )
    return tuple(warnings)


def hole_warnings(
    job: Job,
    punched: Sequence[Fraction],
    trim: Trim,
    low: Fraction,
    length: Fraction,
    half: Fraction,
    least_edge: Fraction,
) -> tuple[str, ...]:
    """What is wrong with the holes next to either cut; lengths in the job's unit.

    Parameters
    ----------
    job : stairs.job.Job
        For units and tape.
    punched : sequence of Fraction
        Holes of the stock rail from its lower end.
    trim : stairs.parts.panel.Trim
        The way of cutting.
    low, length : Fraction
        What comes off the lower end, and the rail.
    half : Fraction
        Half a hole along the rail.
    least_edge : Fraction
        Wanted between a hole's edge and a cut.
    """
    warnings = []

    def text(value: Fraction) -> str:
        return length_text(value, job.units, job.tape)

    def short(value: Fraction) -> str:
        return text_against_limit(value, least_edge, job.units, job.tape)

    kept = range(trim.holes_lost_low, len(punched) - trim.holes_lost_high)
    ends = (
        ("lower", [hole - low for hole in punched], kept[0] if kept else None),
        ("upper", [low + length - hole for hole in punched], kept[-1] if kept else None),
    )
    for end, places, nearest in ends:
        cut_into = [place for place in places if abs(place) < half]
        if cut_into:
            warnings.append(
                f"the {end} cut goes through a hole: its middle is {text(abs(cut_into[0]))} from "
                "the cut"
            )
        elif nearest is not None and places[nearest] - half < least_edge:
            warnings.append(
                f"only {short(places[nearest] - half)} is left between the {end} cut and the "
                f"nearest hole, less than {text(least_edge)}"
            )
    if not kept:
        warnings.append("no whole hole is left in it")
    return tuple(warnings)
