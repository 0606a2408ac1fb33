"""The ends of a rail as details: the bracket, its pin or the plumb cut, and the angle to the post.

The lower end of a section's first bay and the upper end of its last are drawn large.  The bracket
itself is a sign, since every maker's is another; what is dimensioned is where the pin or the cut is
off the post's face, and where the rail ends past it.
"""

from __future__ import annotations

import math

from stairs.drawing.paper.primitives import DASH_DOT, FINE, line
from stairs.drawing.paper.view import View
from stairs.drawing.placing.dimensions import ALIGNED, ANGLE, LEVEL, Dimension
from stairs.drawing.placing.labelled_view import Label
from stairs.drawing.views.details.parts import Detail, everything, seen, shown_as
from stairs.parts.posts import face_name, post_name


def end_detail(answer, part, upper: bool) -> Detail | None:
    """The bracket and the end of a bay's top rail at its lower or its upper post. None where that
    post carries no top rail on that side."""
    section, job = part.section, answer.job
    text = shown_as(job)
    bay = section.bays[-1] if upper else section.bays[0]
    one = section.posts[bay.number if upper else bay.number - 1]
    side = "down" if upper else "up"
    mark = next((m for m in one.marks if m.rail == "top" and m.side == side), None)
    if mark is None:
        return None
    way = -1.0 if upper else 1.0
    pivot = job.bracket.kind == "pivot"
    depth = float(job.panel.top_rail)
    face = one.face(side)
    x, y = mark.pin
    setback = float(job.bracket.rail_setback) if pivot else 0.0
    size = max(depth * 4.2, abs(x - face) * 2.4 + depth * 2.6, 3.2 * (setback + abs(x - face)))
    middle = x + way * size * 0.1
    window = (middle - size * 0.55, y - size * 0.5, middle + size * 0.55, y + size * 0.5)
    turn = math.radians(section.rake)
    along = (way * math.cos(turn), way * math.sin(turn))
    end = (x + along[0] * setback, y + along[1] * setback)

    def work(view):
        return everything(answer, section, view)

    def over(view):
        reach = size * 0.42
        far = (x + along[0] * reach, y + along[1] * reach)
        back = (x - along[0] * depth * 0.3, y - along[1] * depth * 0.3)
        drawn = [line(view.at(back), view.at(far), FINE, "centre-line", DASH_DOT)]
        into = -way * min(one.width * 0.4, depth)
        for up in sorted({float(up) for _, up in job.bracket.holes}):  # as far as screws are seen
            ends = view.at((face + into, y + up)), view.at((x, y + up))
            drawn.append(line(*ends, FINE, "centre-line", DASH_DOT))
        return drawn

    def dimensions(view, frame):
        made = []
        off = abs(x - face)
        low_y = seen(view, frame)[1]
        if off > 0:
            name = "pivot offset" if pivot else "end clearance"
            ends = sorted(((face, low_y), (x, low_y)))
            told = text(off, not one.askew)
            made.append(Dimension(name, LEVEL, (ends[0], ends[1]), off, told, "below",
                                  frame[1] - 8.0))  # fmt: skip
        if setback > 0:
            ends = sorted(((x, y), end))
            made.append(Dimension("rail setback", ALIGNED, (ends[0], ends[1]), setback,
                                  text(setback, True), "along",
                                  view.length(depth) * 0.5 + 9.0))  # fmt: skip
        made += _end_angle(section, bay, (x, y), along, upper, view, size)
        return made

    def labels(view, frame):
        target = view.at((x, y))
        stands = "walking surface" if one.wall else one.stands_on
        kind = "PIN" if pivot else "CUT FACE"
        rows = (f"{kind} {text(mark.height)}", *_over(stands))
        return [Label(rows, target, -70.0 if upper else -110.0, 1.2)]

    toward = face_name(section.number, one.number, side)
    name = f"Rail end at post {post_name(section.number, one)}, {toward}"
    if one.askew and not upper:
        note = _askew(answer, section, text)
    else:
        turned = ""
        if pivot and section.rake:
            turned = f", swung {bay.ends.swing:.1f}° from level"
        elif not pivot:
            turned = ", sawn square"
            if bay.ends.saw_angle:
                turned = f", saw turned {bay.ends.saw_angle:.1f}° from square"
        note = f"Rail {text(depth, True)} deep{turned}{_screws(job, text)}. The bracket is a sign"
    return Detail(name, window, work, dimensions, labels, over,
                  around=(18.0, 20.0, 18.0, 14.0), most=1.7, note=note, spot=(x, y),
                  stands=_ends_alike(section, upper, one))  # fmt: skip


def _ends_alike(section, upper: bool, post) -> str:
    """The rail ends that one end stands for; none but its own at a post that stands askew."""
    if post.askew:
        return ""
    if section.kind == "flight":
        return f"Stands for the {'upper' if upper else 'lower'} ends of all rails"
    return f"Stands for the ends of all rails toward the {'last' if upper else 'first'} post"


def _screws(job, text) -> str:
    """How many screw holes the job gives for a bracket, and how wide."""
    if not job.bracket.holes:
        return ""
    wide = job.bracket.hole_diameter
    count = len(job.bracket.holes)
    return f"; {count} screw hole{'s' * (count > 1)}" + (f" of {text(wide, True)}" if wide else "")


def _askew(answer, section, text) -> str:
    """How a rail meets a post that stands askew to it."""
    bracket = answer.job.bracket
    rails = next(join.above for join in answer.joins if join.upper == section.number)
    if rails.saw is None:
        off = f"pin {text(bracket.pivot_offset, True)}"
        turned = f"; swung {rails.swing:.1f}° from level" if rails.swing else ""
    else:
        off = f"cut face {text(bracket.end_clearance, True)}"
        turned = f"; saw: miter {rails.saw.miter:.1f}°, bevel {rails.saw.bevel:.1f}°"
    return f"Turned {abs(rails.skew):.4g}° in plan: {off} square off the face{turned}"


def _over(surface: str) -> tuple[str, ...]:
    """What a height is measured over, in short lines.

    >>> _over("lower landing"), _over("tread 3")
    (('OVER LOWER', 'LANDING'), ('OVER TREAD 3',))
    """
    first, _, rest = surface.upper().partition(" ")
    if not rest or rest.isdigit():
        return (f"OVER {surface.upper()}",)
    return (f"OVER {first}", rest)


def _end_angle(section, bay, pin, along, upper: bool, view: View, size: float):
    """The angle between the post and the rail, measured over the rail."""
    if not section.rake:
        return []
    value = bay.ends.angle_high if upper else bay.ends.angle_low
    plumb = (pin[0], pin[1] + size * 0.3)
    rail = (pin[0] + along[0] * size * 0.3, pin[1] + along[1] * size * 0.3)
    legs = (plumb, rail) if upper else (rail, plumb)
    return [
        Dimension("angle to the post", ANGLE, (pin, *legs), value, f"{value:.1f}°", "angle",
                  max(view.length(size * 0.24), 11.0))
    ]  # fmt: skip
