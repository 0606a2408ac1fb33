"""Words of the cut list: saw and brackets, what is wrong with a rail's ends, and what to know."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from stairs.guard.left_line import open_questions
from stairs.guard.solving import Section
from stairs.job import Job
from stairs.lengths.tape_marks import text_against_limit
from stairs.lists.cut_list import HOLE_CUT, HOLE_NEAR, NO_HOLE, SLIVER, TIP_OFF, Flaw, RailCut
from stairs.lists.post_cuts import BracketPlace, PostCut
from stairs.parts.bays import Bay
from stairs.parts.posts import Post
from stairs.report.as_built_text import standing_notes
from stairs.report.columns import length
from stairs.report.survey_text import odd_readings
from stairs.solution import Solution


def notes_on(solution: Solution, posts: Sequence[PostCut]) -> tuple[str, ...]:
    """What a reader has to know of the whole list; ``posts`` are all of the job."""
    notes = [
        f"Section {part.section.number}: {text}"
        for part in solution.sections
        for text in odd_readings(solution.job, part)
    ]
    if solution.joins:
        notes.append(
            "Where one post serves two sections it is listed with both and bought once: it is cut "
            "to the greater height over its surface and takes the marks of both"
        )
    if any(join.above.skew for join in solution.joins):
        notes.append(
            "A section that turns by another angle than 90° meets its corner post askew: its "
            "brackets there swing in plan too, and a plumb-cut rail is sawn there with miter and "
            "bevel at once, as the list says"
        )
    both = [section for section in solution.guard.sections if section.sides == 2]
    if both:
        notes.append(
            f"The guard of section {', '.join(str(section.number) for section in both)} stands on "
            "both sides of the stair, and the lists count both. The left hand is the mirror image "
            "of the right: rails and posts whose own two sides are alike serve either hand; what "
            "has a face (a rail with a seam or a screw side, a bracket that is not its own mirror "
            "image) is cut and bought half right-hand and half left-hand"
        )
    left = [section.number for section in solution.guard.sections if section.line.opposite_of]
    if left:
        notes.append(
            f"Sections {left[0]} to {left[-1]} are the left-hand guard. Its corners lie on the "
            "miter of each turn, at the width of the stair, so its level runs are of other lengths "
            "than the right-hand ones. Measure them before cutting"
        )
    job = solution.job
    notes += standing_notes(solution)
    return (*notes, *open_questions(job), *_left_whole(job, posts), *_below(job, posts))


def _left_whole(job: Job, posts: Sequence[PostCut]) -> list[str]:
    """Posts that are as good as long enough as sold, and how high they stand."""
    by_length: dict[tuple[Fraction, Fraction], list[str]] = {}
    for post in posts:
        if post.whole and post.bought:
            names = by_length.setdefault((post.length, post.whole), [])
            names.append(f"{post.section}.{post.post}")
    return [
        f"Leave {'post' if len(set(names)) == 1 else 'posts'} {', '.join(dict.fromkeys(names))} "
        f"whole, {length(job, size)} as sold: the saw would take more than the "
        f"{length(job, over)} that is over. The reveal there is "
        f"{length(job, job.post.reveal + over)}, not {length(job, job.post.reveal)}"
        for (size, over), names in by_length.items()
    ]


def _below(job: Job, posts: Sequence[PostCut]) -> list[str]:
    """What to know of posts with a bracket mark below the surface that they stand on."""
    if job.post.below is not None:
        below = length(job, job.post.below)
        return [
            f"Posts go on {below} below the surface beside them, fixed to the side or set in. That "
            "is in their length, not in their height: heights and marks count from the surface. "
            "What holds them there is not designed here"
        ]
    low = [post for post in posts if post.is_longer and post.bought]
    if not low:
        return []
    names = list(dict.fromkeys(f"{post.section}.{post.post}" for post in low))
    deepest = length(job, max(post.below for post in low))
    base = "" if job.post.base is None else ". A base plate on the surface does not serve there"
    return [
        f"{'Post' if len(names) == 1 else 'Posts'} {', '.join(names)}: a bracket mark lies as much "
        f"as {deepest} below the surface, so the post goes on below it and is fixed to the side. "
        "Its height and its stock count from the surface up. What goes below is not in them: "
        f"measure it, and add it before the post is bought and cut{base}"
    ]


def rail_warnings(solution: Solution, cut: RailCut, by_plan: bool = False) -> tuple[str, ...]:
    """What is wrong with a rail, in words: why no stock serves, or what is wrong with its ends.

    Cut ``by_plan``, what comes off its own stock rail does not matter.
    """
    if cut.done:
        return ("cut already",)
    if cut.stock is None:
        bay = solution.guard.sections[cut.section - 1].bays[cut.bay - 1]
        return (bay.trims.because,)
    return tuple(
        flaw_text(solution.job, flaw) for flaw in cut.flaws if flaw.of_holes or not by_plan
    )


def flaw_text(job: Job, flaw: Flaw) -> str:
    """What is wrong with one end of a rail, in words."""
    end, found, wanted = flaw.end, length(job, flaw.found), length(job, flaw.wanted)
    short = text_against_limit(flaw.found, flaw.wanted, job.units, job.tape)
    return {
        TIP_OFF: f"the slanted {end} cut reaches {wanted} beyond the axis, and only {short} comes "
        "off there",
        SLIVER: f"only {found} would come off the {end} end, less than the saw's cut of {wanted}; "
        "a longer stock, or posts a little closer",
        HOLE_CUT: f"the {end} cut goes through a hole: its middle is {found} from the cut",
        HOLE_NEAR: f"only {short} is left between the {end} cut and the nearest hole, less than "
        f"{wanted}",
        NO_HOLE: "no whole hole is left in it",
    }[flaw.kind]


def saw_words(cut: RailCut) -> str:
    """How far the saw is turned for a rail, and whether its lower end is askew."""
    words = "square" if cut.saw_angle == 0 else f"{cut.saw_angle:.1f}° from square"
    return words if cut.askew is None else f"{words}, lower end askew"


def bracket_words(place: BracketPlace) -> str:
    """The kind of a bracket, and how far it swings in plan at a corner that rails leave askew."""
    if place.skew == 0:
        return place.kind
    side = "left" if place.skew > 0 else "right"
    return f"corner askew {abs(place.skew):.4g}° {side}, {place.kind}"


def saw_setting(angle: float) -> str:
    """How the saw is set for the rails of a section, its angle from a square cut in degrees."""
    return "square cuts" if angle == 0 else f"saw turned {angle:.1f}° from square"


def end_names(section: Section) -> tuple[str, str]:
    """What the two ends of a rail are called: a level run has no bottom and no top."""
    return ("bottom", "top") if section.kind == "flight" else ("left", "right")


def stands_text(section: Section, post: Post | PostCut) -> str:
    """What a post stands on; on a level run the deck or the landing."""
    if section.surface is None or post.wall:
        return post.stands_on
    return section.surface.kind


def way_texts(job: Job, bay: Bay) -> list[str]:
    """What the other way of cutting a bay's rails comes to, where it is the better one."""
    other = bay.trims.other
    if other is None or bay.trims.better == bay.trims.way:
        return []
    gaps = dict.fromkeys(length(job, float(gap)) for gap in (other.end_gap_low, other.end_gap_high))
    told = f"end gaps {' and '.join(gaps)}"
    if len(gaps) == 1:
        told = f"{'a baluster' if other.balusters % 2 else 'a space'} in the middle, {told}"
    return [f'trim = "{other.way}" is better ({told}): {bay.trims.because}']
