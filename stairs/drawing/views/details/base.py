"""The base of a post as a detail: its plate, the bolts where the job gives them, and its edge."""

from __future__ import annotations

from stairs.drawing.paper.lettering import PITCH
from stairs.drawing.paper.primitives import Area, Primitive, line
from stairs.drawing.paper.view import View
from stairs.drawing.placing.dimensions import LEVEL, PLUMB, STYLE, Dimension
from stairs.drawing.placing.labelled_view import Label
from stairs.drawing.placing.placement import Candidate, places_at
from stairs.drawing.views.details.parts import Detail, seen
from stairs.drawing.views.elevation.elements import bolts
from stairs.drawing.views.plan.work import bolts_of
from stairs.parts.posts import Post
from stairs.report.cuts_text import stands_text
from stairs.solution import SectionSolution, Solution


class BaseDetail(Detail, frozen=True):
    """A post that stands on its plate, or goes on below its surface."""

    post: Post

    most = 1.5
    stands = "Stands for all posts"

    @property
    def note(self) -> str:
        least = self.job.post.edge_distance
        if not self.edged or least <= 0:
            return ""
        note = f"Plate to edge: at least {self.text(least)}"
        if self.in_front is None:
            edge = self.text(self.post.plate_edge)
            note += f"; to the outer edge, square to this view: {edge}"
        return note

    @property
    def plate(self) -> float:
        """What it stands on, across [units of the work]."""
        return self.post.base or self.post.width

    @property
    def in_front(self) -> float | None:
        """From its plate to the edge before it, where the elevation shows that."""
        return self.post.plate_edge if self.part.section.kind == "flight" else None

    @property
    def bolted(self) -> float | None:
        """From its middle to its bolts, where the job gives them."""
        return bolts_of(self.part.framing, self.post.number)

    @property
    def window(self) -> Area:
        """What of it must be shown."""
        one, plate = self.post, self.plate
        back = max(plate * 1.1, (self.in_front or 0.0) + plate * 0.8)
        high = plate * 1.7
        foot = max(high * 0.42, one.below + plate * 0.4 if one.below else 0.0)
        return one.x - back, one.surface - foot, one.x + plate * 1.1, one.surface + high * 0.58

    def over(self, view: View) -> list[Primitive]:
        """The centre lines of the post and its bolts."""
        one, high = self.post, self.plate * 1.7
        low, top = view.at((one.x, one.surface - high * 0.3)), view.at((0.0, one.surface))[1]
        end = (low[0], top + view.length(high * 0.55))
        drawn: list[Primitive] = [line(low, end, "centre-line")]
        return drawn + bolts(one, view, self.bolted)

    def dimensions(self, view: View, frame: Area) -> list[Dimension]:
        """The post's width and what it goes on below, its plate, bolts and edge."""
        one, text, y, half = self.post, self.text, self.post.surface, self.post.width / 2
        top, below = min(seen(view, frame)[3], y + one.height), frame[1] - 9.0
        made = [
            Dimension("post width", LEVEL, ((one.x - half, top), (one.x + half, top)), one.width,
                      text(one.width, True), frame[3] + 6.0)
        ]  # fmt: skip
        if one.below:
            ends = ((one.x - half, y - one.below), (one.x - half, y))
            made.append(Dimension("below", PLUMB, ends, one.below, text(one.below),
                                  frame[0] - 6.0))  # fmt: skip
        if not one.base:
            return made
        if self.bolted is not None:
            apart = 2 * self.bolted
            ends = ((one.x - self.bolted, y), (one.x + self.bolted, y))
            made.append(Dimension("bolts", LEVEL, ends, apart, text(apart, True), below))
            below -= STYLE.pitch
        low, high = one.x - one.base / 2, one.x + one.base / 2
        made.append(Dimension("base plate", LEVEL, ((low, y), (high, y)), one.base,
                              text(one.base, True), below))  # fmt: skip
        if self.in_front is not None:
            ends = ((low - self.in_front, y), (low, y))
            made.append(Dimension("edge distance", LEVEL, ends, self.in_front, text(self.in_front),
                                  below))  # fmt: skip
        return made

    @property
    def edged(self) -> bool:
        """Whether it is known how far its plate is from an edge."""
        return self.post.base is not None and self.post.plate_edge is not None

    def labels(self, view: View, frame: Area) -> list[Label]:
        """What it stands on, what holds it there, and whether it stands too near an edge."""
        one, framing = self.post, self.part.framing
        on = stands_text(self.part.section, one).upper()
        at = view.at((one.x + self.plate * 1.1 * 0.7, one.surface))
        made = [Label((on,), at, -60.0, places=_under_surface(on, frame[2], at[1]))]
        if self.edged and any(
            finding.id == "post-edge-distance" and finding.fails for finding in self.part.findings
        ):
            at = view.at((one.x - self.plate / 2 - (self.in_front or 0.0) / 2, one.surface))
            made.append(Label(("FAIL", "EDGE DISTANCE"), at, 120.0, 0.0, True))
        if one.below:
            at = view.at((one.x + one.width / 2, one.surface - one.below * 0.7))
            made.append(Label(("FIXINGS", "BY OTHERS"), at, -45.0))
        if one.base:
            rows = ("BASE PLATE; ANCHORS", "BY OTHERS")
            if framing is not None and self.bolted is not None:
                rows = ("BASE PLATE", f"4 BOLTS Ø {self.text(framing.bolt_diameter, True)}")
            made.append(Label(rows, view.at((one.x + one.base * 0.4, one.surface)), 60.0))
        return made


def base_detail(solution: Solution, part: SectionSolution) -> Detail | None:
    """The base of the post whose plate is nearest to an edge, of those that stand square."""
    posts = [one for one in part.section.posts if not (one.wall or one.askew)]
    if not posts:
        return None
    one = min(posts, key=lambda one: (one.plate_edge is None, one.plate_edge or 0.0))
    under = 20.0 if bolts_of(part.framing, one.number) is None else 27.0
    name = f"{'Foot' if one.below else 'Base'} of post {part.section.number}.{one.number}"
    around = (23.0, under, 23.0, 16.0)
    return BaseDetail(solution, part, name, (one.x, one.surface), around, one)


def _under_surface(words: str, right: float, y: float) -> tuple[Candidate, ...]:
    """Places for a surface's name under it, at the window's right-hand side."""
    spots = [(right - 2.5, y - down, "right", 0.0) for down in (4.6, 6.4, 8.4, 10.4, 12.4)]
    return tuple(
        place
        for rows in ((words,), words.split())
        for place in places_at(rows, spots, "label", owner=words, pitch=PITCH)
    )
