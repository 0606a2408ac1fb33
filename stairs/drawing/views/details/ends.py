"""The ends of a rail as details: the bracket, its pin or the plumb cut, and the angle to the post.

The lower end of a section's first bay and the upper end of its last are drawn large.  The bracket
itself is a sign, since every maker's is another; what is dimensioned is where the pin or the cut is
off the post's face, and where the rail ends past it.
"""

from __future__ import annotations

import math

from stairs.drawing.paper.primitives import Area, Point, Primitive, line
from stairs.drawing.paper.view import View
from stairs.drawing.placing.dimensions import ALIGNED, ANGLE, LEVEL, Dimension
from stairs.drawing.placing.labelled_view import Label
from stairs.drawing.views.details.parts import Detail, seen
from stairs.drawing.views.kinds import LengthText
from stairs.guard.solving import Section
from stairs.job import Job
from stairs.parts.bays import Bay
from stairs.parts.posts import Mark, Post, face_name, post_name
from stairs.solution import SectionSolution, Solution


class EndDetail(Detail, frozen=True):
    """The end of a bay's top rail at one of its posts."""

    bay: Bay
    post: Post
    mark: Mark
    upper: bool

    most = 1.7

    @property
    def stands(self) -> str:
        """The rail ends that it stands for; none but its own at a post that leans or is askew."""
        if self.post.askew or self.post.stand.lean:
            return ""
        if self.section.kind == "flight":
            return f"Stands for the {'upper' if self.upper else 'lower'} ends of all rails"
        way = "last" if self.upper else "first"
        return f"Stands for the ends of all rails toward the {way} post"

    @property
    def pivot(self) -> bool:
        """Whether a pin holds it; otherwise it is cut plumb."""
        return self.job.bracket.kind == "pivot"

    @property
    def way(self) -> float:
        """1 where the rail leaves to the right, -1 to the left."""
        return -1.0 if self.upper else 1.0

    @property
    def face(self) -> float:
        """Where the post's face is, level [units of the work]."""
        return self.post.face_at(self.mark.side, self.mark.pin[1] - self.post.surface)

    @property
    def depth(self) -> float:
        """Of the rail, square to it [units of the work]."""
        return float(self.job.panel.top_rail)

    @property
    def setback(self) -> float:
        """From the pin to the rail's end, along the rail [units of the work]."""
        return float(self.job.bracket.rail_setback) if self.pivot else 0.0

    @property
    def size(self) -> float:
        """Of the window, across [units of the work]."""
        off, depth = abs(self.mark.pin[0] - self.face), self.depth
        return max(depth * 4.2, off * 2.4 + depth * 2.6, 3.2 * (self.setback + off))

    @property
    def window(self) -> Area:
        """What of it must be shown."""
        (x, y), size = self.mark.pin, self.size
        middle = x + self.way * size * 0.1
        return middle - size * 0.55, y - size * 0.5, middle + size * 0.55, y + size * 0.5

    def along(self, far: float) -> Point:
        """The point so far from the pin along the rail [units of the work]."""
        (x, y), turn = self.mark.pin, math.radians(self.section.rake)
        return x + self.way * math.cos(turn) * far, y + self.way * math.sin(turn) * far

    def over(self, view: View) -> list[Primitive]:
        """The rail's axis, and the screws as far as they are seen."""
        (x, y), depth = self.mark.pin, self.depth
        back, far = view.at(self.along(-depth * 0.3)), view.at(self.along(self.size * 0.42))
        drawn: list[Primitive] = [line(back, far, "centre-line")]
        inside = self.face - self.way * min(self.post.width * 0.4, depth)
        for up in sorted({float(up) for _, up in self.job.bracket.holes}):
            ends = view.at((inside, y + up)), view.at((x, y + up))
            drawn.append(line(*ends, "centre-line"))
        return drawn

    def dimensions(self, view: View, frame: Area) -> list[Dimension]:
        """How far pin or cut is off the face, the rail's end past it, and the angle."""
        (x, y), text, off = self.mark.pin, self.text, abs(self.mark.pin[0] - self.face)
        made = []
        if off > 0:
            name = "pivot offset" if self.pivot else "end clearance"
            low = seen(view, frame)[1]
            ends = (min(self.face, x), low), (max(self.face, x), low)
            told = text(off, not self.post.askew and not self.post.stand.lean)
            made.append(Dimension(name, LEVEL, ends, off, told, frame[1] - 8.0))
        if self.setback > 0:
            one, two = sorted(((x, y), self.along(self.setback)))
            made.append(Dimension("rail setback", ALIGNED, (one, two), self.setback,
                                  text(self.setback, True),
                                  view.length(self.depth) * 0.5 + 9.0))  # fmt: skip
        if self.section.rake:
            value = self.bay.ends.angle_high if self.upper else self.bay.ends.angle_low
            plumb, rail = (x, y + self.size * 0.3), self.along(self.size * 0.3)
            legs = (plumb, rail) if self.upper else (rail, plumb)
            made.append(Dimension("angle to the post", ANGLE, ((x, y), *legs), value,
                                  f"{value:.1f}°",
                                  max(view.length(self.size * 0.24), 11.0)))  # fmt: skip
        return made

    def labels(self, view: View, frame: Area) -> list[Label]:
        """How high pin or cut is."""
        stands = self.post.stands_on
        if self.section.surface is not None:
            stands = self.section.surface.kind
        kind = "PIN" if self.pivot else "CUT FACE"
        rows = (f"{kind} {self.text(self.mark.height)}", *_over(stands))
        return [Label(rows, view.at(self.mark.pin), -70.0 if self.upper else -110.0, 1.2)]

    @property
    def note(self) -> str:
        """How the rail is held and cut."""
        if self.post.askew and not self.upper:
            return _askew(self.solution, self.section, self.text)
        turned = ""
        if self.pivot and self.section.rake:
            turned = f", swung {self.bay.ends.swing:.1f}° from level"
        elif not self.pivot:
            turned = ", sawn square"
            if self.bay.ends.saw_angle:
                turned = f", saw turned {self.bay.ends.saw_angle:.1f}° from square"
        deep, screws = self.text(self.depth, True), _screws(self.job, self.text)
        return f"Rail {deep} deep{turned}{screws}. Bracket shown diagrammatically"


def end_detail(solution: Solution, part: SectionSolution, upper: bool) -> Detail | None:
    """The bracket and the end of a bay's top rail at its lower or its upper post. None where that
    post carries no top rail on that side."""
    section = part.section
    bay = section.bays[-1] if upper else section.bays[0]
    one = section.posts[bay.number if upper else bay.number - 1]
    side = "down" if upper else "up"
    mark = next((m for m in one.marks if m.rail == "top" and m.side == side), None)
    if mark is None:
        return None
    toward = face_name(section.number, one.number, side)
    name = f"Rail end at post {post_name(section.number, one)}, {toward}"
    around = (18.0, 20.0, 18.0, 14.0)
    return EndDetail(solution, part, name, mark.pin, around, bay, one, mark, upper)


def _screws(job: Job, text: LengthText) -> str:
    """How many screw holes the job gives for a bracket, and how wide."""
    if not job.bracket.holes:
        return ""
    wide = job.bracket.hole_diameter
    count = len(job.bracket.holes)
    return f"; {count} screw hole{'s' * (count > 1)}" + (f" of {text(wide, True)}" if wide else "")


def _askew(solution: Solution, section: Section, text: LengthText) -> str:
    """How a rail meets a post that stands askew to it."""
    bracket = solution.job.bracket
    rails = next(join.above for join in solution.joins if join.upper == section.number)
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
