"""Posts, rails, balusters and marks of solved guards, against the same guard built from points.

The construction lays out nosings one by one, puts the bottom rail on them as a long turned bar,
lifts the top rail plumb, cuts both where the brackets end them, and drops the balusters through
the holes of a stock rail that is laid on the bay.  Everything is then measured off the figure.
"""

from dataclasses import dataclass
from fractions import Fraction
from math import atan2, degrees

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity
from shapely.geometry import LineString, Polygon, box

from stairs.guard.solving import solve_section
from stairs.job import Bracket, Job, JobFlight, JobLevel, Panel, PostKind
from stairs.job.key_notes import record_of

FAR = 1e4
PROPERTY = settings(deadline=None, derandomize=True, max_examples=36)


def close(value):
    return pytest.approx(value, rel=1e-9, abs=1e-8)


def part(low, high):
    return st.fractions(min_value=low, max_value=high, max_denominator=16)


@st.composite
def jobs(draw, kind=None):
    """A job of one flight with two or three posts, or of one level run."""
    kind = kind or draw(st.sampled_from(["flight", "level"]))
    bracket = draw(
        st.one_of(
            st.builds(
                lambda q, e: Bracket(kind="pivot", pivot_offset=q, rail_setback=e),
                part(0, 2), part(0, 1),
            ),
            st.builds(lambda j: Bracket(kind="plumb-cut", end_clearance=j), part(0, 1)),
        )
    )  # fmt: skip
    panel = Panel(
        height=draw(part(26, 42)), top_rail=draw(part(1, 3)), bottom_rail=draw(part(1, 3)),
        baluster=draw(part(Fraction(1, 2), 1)), pitch=draw(part(3, 6)),
        stock=draw(st.sampled_from([(), (Fraction(40), Fraction(72), Fraction(96)),
                                    (Fraction(200),)])),
        end_margin=draw(st.one_of(st.none(), part(Fraction(1, 2), 4))),
        trim=draw(st.sampled_from(["even", "half-pitch"])),
    )  # fmt: skip
    lengths = draw(st.sampled_from([(), (Fraction(36), Fraction(42), Fraction(60))]))
    post = PostKind(width=draw(part(2, 4)), reveal=draw(part(0, 3)), stock=lengths)
    half = post.width / 2
    if kind == "level":
        first, second = draw(part(30, 80)), draw(part(30, 80))
        section = record_of(
            JobLevel,
            span=first + second,
            posts=(Fraction(0), first, first + second),
            bottom_gap=draw(part(1, 6)),
        )
    else:
        rise, run, risers = draw(part(5, 9)), draw(part(9, 13)), draw(st.integers(4, 8))
        low = -half - draw(part(Fraction(1, 8), 5))
        high = (risers - 1) * run + half + draw(part(Fraction(1, 8), 8))
        posts = [low, high]
        if draw(st.booleans()):
            tread = draw(st.integers(2, risers - 2))
            room = run - post.width
            share = draw(part(Fraction(1, 16), Fraction(15, 16)))
            posts.insert(1, (tread - 1) * run + half + room * share)
        section = record_of(
            JobFlight,
            unit_rise=rise,
            unit_run=run,
            risers=risers,
            posts=tuple(posts),
            bottom_gap=draw(part(0, 5)),
            nosing=draw(part(0, 1)),
        )
    return Job(units="in", rules="irc-2021", tape=Fraction(1, 16), measured_within=Fraction(0),
               panel=panel, bracket=bracket, post=post, sections=(section,))  # fmt: skip


@dataclass
class Figure:
    """The guard as drawn from points; ``u`` is the unit vector along the rails."""

    job: Job

    def __post_init__(self):
        section = self.job.sections[0]
        self.flight = isinstance(section, JobFlight)
        if self.flight:
            run, rise = float(section.steps.unit_run), float(section.steps.unit_rise)
            self.nosings = [
                np.array([k * run, (k + 1) * rise]) for k in range(section.steps.risers)
            ]
            line = self.nosings[0], self.nosings[-1]
        else:
            self.nosings = []
            line = np.array([0.0, 0.0]), np.array([1.0, 0.0])
        self.u = (line[1] - line[0]) / np.linalg.norm(line[1] - line[0])
        panel = self.job.panel
        under = line[0] + np.array([0.0, float(section.bottom_gap)])
        normal = np.array([-self.u[1], self.u[0]])
        self.low = under + normal * float(panel.bottom_rail) / 2
        lift = float(panel.height - panel.bottom_rail / 2 - panel.top_rail / 2)
        self.high = self.low + np.array([0.0, lift])
        self.depth = {"bottom": float(panel.bottom_rail), "top": float(panel.top_rail)}
        self.at = {"bottom": self.low, "top": self.high}
        half = float(self.job.post.width) / 2
        self.centres = [float(x) for x in section.posts]
        self.bays = [
            (a + half, b - half) for a, b in zip(self.centres, self.centres[1:], strict=False)
        ]

    def axis(self, rail):
        """A rail's centre line, carried on."""
        return LineString([self.at[rail] - FAR * self.u, self.at[rail] + FAR * self.u])

    def on_axis(self, rail, x):
        """Where a plumb line cuts a rail's centre line."""
        point = self.axis(rail).intersection(LineString([(x, -FAR), (x, FAR)]))
        return np.array([point.x, point.y])

    def bar(self, start, end, depth):
        flat = box(0, -depth / 2, float(np.linalg.norm(end - start)), depth / 2)
        turned = affinity.rotate(flat, atan2(*(end - start)[::-1]), (0, 0), use_radians=True)
        return affinity.translate(turned, *start)

    def ends(self, rail, faces):
        """Ends of a rail's centre line between two post faces."""
        bracket = self.job.bracket
        if bracket.kind == "pivot":
            pins = (
                self.on_axis(rail, faces[0] + float(bracket.pivot_offset)),
                self.on_axis(rail, faces[1] - float(bracket.pivot_offset)),
            )
            back = float(bracket.rail_setback) * self.u
            return pins[0] + back, pins[1] - back
        away = float(bracket.end_clearance)
        return self.on_axis(rail, faces[0] + away), self.on_axis(rail, faces[1] - away)

    def rail(self, rail, faces):
        """Outline of a cut rail."""
        start, end = self.ends(rail, faces)
        if self.job.bracket.kind == "pivot":
            return self.bar(start, end, self.depth[rail])
        long = self.bar(start - 50 * self.u, end + 50 * self.u, self.depth[rail])
        return long.intersection(box(start[0], -FAR, end[0], FAR))

    def extent(self, shape):
        along = np.asarray(shape.exterior.coords) @ self.u
        return float(along.max() - along.min())

    def surface(self, x):
        return max([0.0, *(y for nx, y in self.nosings if nx <= x + 1e-9)])


def same_shape(one, other):
    assert one.symmetric_difference(other).area < 1e-6 * max(1.0, other.area)


@PROPERTY
@given(job=jobs())
def test_rails_by_construction(job):
    """Outlines, lengths, corner clearances and angles of the rails of every bay."""
    section, figure = solve_section(job, 0), Figure(job)
    for bay, faces in zip(section.bays, figure.bays, strict=True):
        assert bay.clear == close(faces[1] - faces[0])
        shapes = {}
        for rail, outline in (("bottom", bay.bottom_rail), ("top", bay.top_rail)):
            shapes[rail] = figure.rail(rail, faces)
            same_shape(Polygon(outline), shapes[rail])
            start, end = figure.ends(rail, faces)
            assert bay.rail_length == close(np.linalg.norm(end - start))
        longest = max(figure.extent(shape) for shape in shapes.values())
        corner = min(
            min(shape.bounds[0] - faces[0], faces[1] - shape.bounds[2]) for shape in shapes.values()
        )
        assert float(bay.ends.corner_clearance) == close(corner)
        if job.bracket.kind == "pivot":
            assert bay.stock_needed == close(bay.rail_length)
            assert bay.ends.saw_angle == 0
        else:
            assert bay.stock_needed == close(longest)
            assert bay.ends.saw_angle == close(bay.ends.swing)
        turn = degrees(atan2(figure.u[1], figure.u[0]))
        assert bay.ends.swing == close(turn)
        assert bay.ends.angle_low == close(degrees(np.arccos(figure.u @ [0, 1])))
        assert bay.ends.angle_high == close(degrees(np.arccos(-figure.u @ [0, 1])))


@PROPERTY
@given(job=jobs())
def test_panel_by_construction(job):
    """Heights and clear gaps measured off the two long bars and two plumb strips."""
    section, figure = solve_section(job, 0), Figure(job)
    bars = {
        rail: figure.bar(at - 99 * figure.u, at + 99 * figure.u, figure.depth[rail])
        for rail, at in figure.at.items()
    }
    plumb = LineString([(1, -FAR), (1, FAR)])
    cut = {rail: bar.intersection(plumb).bounds for rail, bar in bars.items()}
    assert section.panel_height == close(cut["top"][3] - cut["bottom"][1])
    line = figure.nosings[0][1] + figure.u[1] / figure.u[0] if figure.nosings else 0.0
    assert section.guard_height == close(cut["top"][3] - line)
    assert section.bottom_gap == close(cut["bottom"][1] - line)
    assert float(section.racked.rail_spacing) == close(
        figure.axis("top").distance(figure.axis("bottom"))
    )
    pitch = float(job.panel.pitch) * figure.u[0]
    strips = [box(x - float(job.panel.baluster) / 2, 0, x + float(job.panel.baluster) / 2, 1)
              for x in (0, pitch)]  # fmt: skip
    assert float(section.racked.baluster_clear) == close(strips[0].distance(strips[1]))


def punched(panel, stock):
    """Holes of a stock rail: from the end margin on, or as many as fit, centred."""
    half = panel.baluster / 2
    if panel.end_margin is not None:
        holes = [panel.end_margin]
        while holes[-1] + panel.pitch + half <= stock:
            holes.append(holes[-1] + panel.pitch)
        return [hole for hole in holes if hole + half <= stock]
    count = 0
    while count * panel.pitch + panel.baluster <= stock:
        count += 1
    return [stock / 2 + (2 * i - count + 1) * panel.pitch / 2 for i in range(count)]


@PROPERTY
@given(job=jobs())
def test_balusters_by_laying_the_stock_rail_on_the_bay(job):
    """Which holes a cut rail keeps, where its balusters stand, and the gaps left at the posts."""
    section, figure = solve_section(job, 0), Figure(job)
    panel, width = job.panel, float(job.panel.baluster)
    for bay, faces in zip(section.bays, figure.bays, strict=True):
        start, end = figure.ends("bottom", faces)
        shift = panel.pitch / 2 if panel.trim == "half-pitch" else 0
        fitting = [
            stock for stock in panel.stock
            if float(stock) >= bay.stock_needed
            and (float(stock) - bay.rail_length) / 2 >= float(shift)
        ]  # fmt: skip
        assert (bay.trims.used and bay.trims.used.stock) == min(fitting, default=None)
        if fitting:
            stock = min(fitting)
            middle = (start + end) / 2 + float(shift) * figure.u
            assert bay.trims.used.low + bay.trims.used.high == close(float(stock) - bay.rail_length)
            assert bay.trims.used.high - bay.trims.used.low == close(2 * float(shift))
            xs = [
                (middle + (float(hole) - float(stock) / 2) * figure.u)[0]
                for hole in punched(panel, stock)
            ]
            kept = [
                x for x in xs if x - width / 2 >= start[0] - 1e-9 and x + width / 2 <= end[0] + 1e-9
            ]
            assert list(bay.baluster_x) == close(kept)
        else:
            assert bay.trims.used is None
        assert bay.balusters == len(bay.baluster_x) == len(bay.made.along_rail)
        if bay.balusters:
            first, last = bay.baluster_x[0], bay.baluster_x[-1]
            assert bay.end_gap_low == close(first - width / 2 - faces[0])
            assert bay.end_gap_high == close(faces[1] - last - width / 2)
            for hole, x in zip(bay.made.along_rail, bay.baluster_x, strict=True):
                assert (start + hole * figure.u)[0] == close(x)
        steps = np.diff(bay.baluster_x)
        assert steps == pytest.approx(float(panel.pitch) * figure.u[0], rel=1e-9)


@PROPERTY
@given(job=jobs())
def test_posts_by_construction(job):
    """Surfaces, bracket marks and heights, each from the post's own surface."""
    section, figure = solve_section(job, 0), Figure(job)
    half = float(job.post.width) / 2
    stand_off = float(
        job.bracket.pivot_offset if job.bracket.kind == "pivot" else job.bracket.end_clearance
    )
    top_bar = figure.bar(figure.high - 99 * figure.u, figure.high + 999 * figure.u,
                         figure.depth["top"])  # fmt: skip
    for index, (post, x) in enumerate(zip(section.posts, figure.centres, strict=True)):
        surface = figure.surface(x)
        assert (post.number, post.x, post.surface) == (index + 1, close(x), close(surface))
        wanted, crowns = set(), []
        for side, bay in ((-1, index), (1, index + 1)):
            if not 1 <= bay <= len(figure.bays):
                continue
            face = x + side * half
            crown = top_bar.intersection(LineString([(face, -FAR), (face, FAR)])).bounds[3]
            crowns.append(crown)
            for rail in ("top", "bottom"):
                y = figure.on_axis(rail, face + side * stand_off)[1]
                wanted.add((bay, rail, "up" if side > 0 else "down", round(y - surface, 7)))
        found = {(m.bay, m.rail, m.side, round(m.height, 7)) for m in post.marks}
        assert {item[:3] for item in found} == {item[:3] for item in wanted}
        for one, other in zip(sorted(found), sorted(wanted), strict=True):
            assert one[3] == close(other[3]) or abs(one[3] - other[3]) < 2e-7
        assert post.height == close(max(crowns) + float(job.post.reveal) - surface)
        enough = [float(s) for s in job.post.stock if float(s) >= post.height]
        assert post.stock == min(enough, default=None)


@PROPERTY
@given(job=jobs())
def test_openings_beside_balusters_by_distance(job):
    """Between balusters and at the posts the ball is as wide as the gap, or as the rails let it."""
    section, figure = solve_section(job, 0), Figure(job)
    width = float(job.panel.baluster)
    bars = [
        figure.bar(at - 99 * figure.u, at + 999 * figure.u, figure.depth[rail])
        for rail, at in figure.at.items()
    ]
    between_rails = bars[0].distance(bars[1])
    for bay, faces in zip(section.bays, figure.bays, strict=True):
        strips = [box(x - width / 2, -FAR, x + width / 2, FAR) for x in bay.baluster_x]
        low, high = (LineString([(x, -FAR), (x, FAR)]) for x in faces)
        here = [o for o in section.openings if o.bay == bay.number]
        ends = [o.diameter for o in here if o.kind == "end"]
        inner = [o.diameter for o in here if o.kind == "baluster"]
        if strips:
            wanted = [strips[0].distance(low), strips[-1].distance(high)]
            for end, gap, opening in zip(
                ends, wanted, (o for o in here if o.kind == "end"), strict=True
            ):
                if opening.panel_end is None:
                    assert end == close(min(gap, between_rails))
                else:  # the rails end short of the post, and there is more room in the wedges
                    assert end >= min(gap, between_rails) - 1e-9
                    assert gap > between_rails or opening.panel_end.widest_slot > gap
        if len(strips) > 1:
            gap = min(strips[0].distance(strips[1]), between_rails)
            assert inner == close([gap])
        else:
            assert inner == []


@PROPERTY
@given(job=jobs("level"))
def test_level_run_mirrored_is_the_same_run(job):
    """Walk a level run from the other end: bays in reverse, low and high exchanged."""
    if job.panel.end_margin is not None or job.panel.trim != "even":
        return  # the hole pattern itself has a low and a high end
    section = job.sections[0]
    turned = record_of(
        JobLevel,
        span=section.span,
        posts=tuple(section.span - x for x in section.posts[::-1]),
        bottom_gap=section.bottom_gap,
    )
    here = solve_section(job, 0)
    there = solve_section(
        Job(**{**{f: getattr(job, f) for f in job.__struct_fields__}, "sections": (turned,)}), 0
    )
    for one, other in zip(here.bays, there.bays[::-1], strict=True):
        assert one.rail_length == close(other.rail_length)
        assert one.balusters == other.balusters
        assert one.end_gap_low == close(other.end_gap_high)
        span = float(section.span)
        assert list(one.baluster_x) == close([span - x for x in other.baluster_x[::-1]])
    for one, other in zip(here.posts, there.posts[::-1], strict=True):
        assert one.height == close(other.height)


@PROPERTY
@given(job=jobs("flight"))
def test_flight_seen_from_its_other_side_has_the_same_bays(job):
    """Turning the picture over exchanges the two posts' angles and nothing else of a bay."""
    for bay in solve_section(job, 0).bays:
        assert bay.ends.angle_low + bay.ends.angle_high == close(180)
        if job.panel.end_margin is None and job.panel.trim == "even":
            assert bay.end_gap_low == close(bay.end_gap_high)
            used = bay.trims.used
            assert used is None or used.low == used.high
