"""The bracket holes of a section as text: how high each is drilled on the face of its post."""

from __future__ import annotations

from fractions import Fraction

from stairs.guard.solving import Section
from stairs.job import Job
from stairs.lengths.tape_marks import exact_text, round_to_mark
from stairs.parts.bracket_holes import hole_heights
from stairs.parts.posts import face_name
from stairs.report.columns import length, table, wrap

_ABREAST = 4  # heights in one row of the table


def holes_text(job: Job, section: Section) -> str:
    """Heights of the bracket holes up each face, lowest first; empty where the job gives none.

    Parameters
    ----------
    job : stairs.job.Job
        For the holes of the bracket's plate and the tape.
    section : Section
        As solved.

    Notes
    -----
    The holes are counted from the pin's mark as it is on the tape, so that they keep the plate's
    own distances.
    """
    if not job.bracket.holes:
        return ""
    rows = []
    for post in section.posts:
        for mark in post.marks:
            pin = round_to_mark(mark.height, job.tape)
            heights = sorted({height for _, height in hole_heights(job.bracket, pin)})
            face = face_name(section.number, post.number, mark.side)
            first = [str(post.number), face, mark.rail]
            for begin in range(0, len(heights), _ABREAST):
                cells = [length(job, height) for height in heights[begin : begin + _ABREAST]]
                rows.append([*first, *cells, *[""] * (_ABREAST - len(cells))])
                first = [""] * len(first)
    used = max(sum(cell != "" for cell in row[3:]) for row in rows)
    heads = ["post", "face", "rail", "drill at", *[""] * (used - 1)]
    lines = [
        "Bracket holes on the post's face: height over the surface that it stands on",
        table(heads, [row[: 3 + used] for row in rows], range(3, 3 + used)),
        wrap(_across_text(job), "  ", "    "),
    ]
    close = _close_text(job, section)
    return "\n".join([*lines, wrap(close, "  ", "    ")] if close else lines)


def _across_text(job: Job) -> str:
    """Where the holes are from the face's centre line and from the pin, in words."""
    rows: dict[Fraction, list[Fraction]] = {}
    for across, up in sorted(job.bracket.holes):
        rows.setdefault(up, []).append(across)
    parts = []
    for up, places in sorted(rows.items(), reverse=True):
        parts.append(f"{_plumb_text(job, up)}, {across_text(job, places)}")
    if job.bracket.hole_diameter is not None:
        parts.append(f"each {exact_text(job.bracket.hole_diameter, job.units)} wide")
    return f"seen square on the face: {'; '.join(parts)}"


def _plumb_text(job: Job, up: Fraction) -> str:
    middle = "pin" if job.bracket.kind == "pivot" else "mark"
    if up == 0:
        return f"level with the {middle}"
    return f"{exact_text(abs(up), job.units)} {'over' if up > 0 else 'under'} the {middle}"


def across_text(job: Job, places: list[Fraction]) -> str:
    """Places across a face in words, those that mirror each other together.

    Parameters
    ----------
    job : stairs.job.Job
        For its units.
    places : list of Fraction
        From the face's centre line, to the right positive, seen square on the face.
    """
    told = []
    for across in sorted(places, key=lambda place: (abs(place), place)):
        size = exact_text(abs(across), job.units)
        if across == 0:
            told.append("on the centre line")
        elif -across in places:
            told += [f"{size} left and right"] if across < 0 else []
        else:
            told.append(f"{size} {'left' if across < 0 else 'right'}")
    off = "" if places == [0] else " of the centre line"
    return " and ".join(sorted(told, key=lambda words: words.startswith("on"))) + off


def _close_text(job: Job, section: Section) -> str:
    """Posts that end nearer to a hole than the hole is wide; a hole that is cut into fails."""
    wide = job.bracket.hole_diameter
    if wide is None:
        return ""
    near = [
        str(post.number)
        for post in section.posts
        if not post.wall and 0 <= post.height - float(post.holes.top) < float(wide)
    ]
    if not near:
        return ""
    which = "post" if len(near) == 1 else "posts"
    return (
        f"{which} {', '.join(near)}: less is left over the highest hole than it is wide (common "
        "practice, no source); a larger reveal leaves more"
    )
