"""The bracket holes of a section as text: how high each is drilled on the face of its post."""

from __future__ import annotations

from collections.abc import Collection
from fractions import Fraction

from stairs.guard.solving import Section
from stairs.job import Job
from stairs.lengths.tape_marks import exact_text, round_to_mark
from stairs.parts.bracket import PIVOT
from stairs.parts.bracket_holes import hole_heights
from stairs.parts.posts import face_name
from stairs.report.columns import length, remark, table

_ABREAST = 4  # heights in one row of the table


def holes_text(job: Job, section: Section) -> str:
    """Heights of the bracket holes up each face, lowest first; empty where the job gives none."""
    if not job.bracket.holes:
        return ""
    rows = []
    for post in section.posts:
        for mark in post.marks:
            # from the pivot's mark as it is on the tape: they keep the plate's own distances
            pivot = round_to_mark(mark.height, job.tape)
            heights = sorted({height for _, height in hole_heights(job.bracket, pivot)})
            face = face_name(section.number, post.number, mark.side)
            first = [str(post.number), face, mark.rail]
            for begin in range(0, len(heights), _ABREAST):
                cells = [length(job, height) for height in heights[begin : begin + _ABREAST]]
                rows.append([*first, *cells, *[""] * (_ABREAST - len(cells))])
                first = [""] * len(first)
    used = max(sum(cell != "" for cell in row[3:]) for row in rows)
    heads = ["post", "face", "rail", "drill at", *[""] * (used - 1)]
    texts = [_plate_text(job), *_aside_texts(job, section), *_close_texts(job, section)]
    return "\n".join(
        [
            "Bracket holes on the post's face, up from what the post stands on",
            table(heads, [row[: 3 + used] for row in rows], range(3, 3 + used)),
            *map(remark, texts),
        ]
    )


def _plate_text(job: Job) -> str:
    """Where the holes are from the face's center line and from the pivot, in words."""
    rows: dict[Fraction, list[Fraction]] = {}
    for across, up in sorted(job.bracket.holes):
        rows.setdefault(up, []).append(across)
    parts = []
    for up, places in sorted(rows.items(), reverse=True):
        parts.append(f"{_plumb_text(job, up)}, {across_text(job, places)}")
    if job.bracket.hole_diameter is not None:
        parts.append(f"each {exact_text(job.bracket.hole_diameter, job.units)} wide")
    return f"seen square on the face: {'; '.join(parts)}"


def _aside_texts(job: Job, section: Section) -> list[str]:
    """On which faces the holes are beside the center line as the rails are, and how far."""
    texts = []
    for post in section.posts:
        for mark in post.marks:
            if mark.aside and mark.rail == "bottom":
                face = face_name(section.number, post.number, mark.side)
                way = "right" if mark.aside > 0 else "left"
                text = (
                    f"{face}: {length(job, abs(mark.aside))} farther {way} than that, since the "
                    "rails leave this face askew"
                )
                if abs(mark.aside) > post.width / 2:
                    text += "; that is past its edge, where no plate can be screwed on"
                texts.append(text)
    return texts


def _plumb_text(job: Job, up: Fraction) -> str:
    middle = "pivot" if job.bracket.kind == PIVOT else "mark"
    if up == 0:
        return f"level with the {middle}"
    return f"{exact_text(abs(up), job.units)} {'over' if up > 0 else 'under'} the {middle}"


def across_text(job: Job, places: Collection[Fraction]) -> str:
    """Places across a face in words, those that mirror each other together.

    Each from the face's center line, to the right positive, seen square on the face.
    """
    told = []
    for across in sorted(places, key=lambda place: (abs(place), place)):
        size = exact_text(abs(across), job.units)
        if across > 0 and -across in places:
            continue
        if across < 0 and -across in places:
            told.append(f"{size} left and right")
        elif across:
            told.append(f"{size} {'left' if across < 0 else 'right'}")
    if not told:
        return "on the center line"
    return f"{' and '.join(told)} of the center line" + (" and on it" if 0 in places else "")


def _close_texts(job: Job, section: Section) -> list[str]:
    """Posts that end nearer to a hole than the hole is wide; a hole that is cut into fails."""
    wide = job.bracket.hole_diameter
    near = [
        str(post.number)
        for post in section.posts
        if wide is not None and post.holes is not None and not post.wall
        if 0 <= post.height - float(post.holes.top) < float(wide)
    ]
    which = "post" if len(near) == 1 else "posts"
    return [
        f"{which} {', '.join(near)}: less is left over the highest hole than it is wide (common "
        "practice, no source); a larger reveal leaves more"
    ] * bool(near)
