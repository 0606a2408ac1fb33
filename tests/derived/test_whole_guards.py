"""Whole guards of several sections, against the same guard laid out in space.

Each section is a straight line in plan that starts at the post where the one before ended, turned
by its plan turn.  Posts are squares turned with the section that they end (the first post with its
own); nosings, rails and pins are points in space.  Everything that the result tells is measured off
that figure; none of our formulas is asked.
"""

import random
from dataclasses import dataclass
from fractions import Fraction
from math import atan2, cos, degrees, hypot, radians, sin

import numpy as np
import pytest
from shapely import affinity
from shapely.geometry import LineString, box

from stairs.errors import StairsError
from stairs.job import job_from_text
from stairs.report.result import result_of
from stairs.solution import solution_for

SEEDS, MANY = range(12), range(400)
TURNS = (0, 0, 90, -90, 45, -45, 30, -60)


def close(value):
    return pytest.approx(value, rel=1e-9, abs=1e-8)


def sixteenths(dice, low, high):
    return Fraction(dice.randint(round(16 * low), round(16 * high)), 16)


def random_sizes(dice):
    """The measurements of a guard as a job file holds them: tables of fractions and words."""
    kind = dice.choice(["pivot", "plumb-cut"])
    bracket = {"kind": kind}
    if kind == "pivot":
        bracket |= {
            "pivot_offset": sixteenths(dice, 0.5, 2),
            "rail_setback": sixteenths(dice, 0, 1),
        }
    else:
        bracket |= {"end_clearance": sixteenths(dice, 0, 0.5)}
    panel = {
        "height": sixteenths(dice, 30, 40), "top_rail": sixteenths(dice, 1, 2),
        "bottom_rail": sixteenths(dice, 1, 2), "baluster": sixteenths(dice, 0.5, 1),
        "pitch": sixteenths(dice, 3.5, 5), "stock": [Fraction(72), Fraction(96)],
        "rail_width": sixteenths(dice, 1, 2), "trim": dice.choice(["even", "half-pitch", "auto"]),
    }  # fmt: skip
    post = {"width": sixteenths(dice, 2, 4), "reveal": sixteenths(dice, 0, 2)}
    half = post["width"] / 2
    sections = []
    for number in range(dice.randint(2, 4)):
        section = {"turn": dice.choice(TURNS)} if number else {}
        if dice.random() < 0.5:
            risers = dice.randint(3, 6)
            run = sixteenths(dice, 9, 12)
            posts = [-half - sixteenths(dice, 0, 3), (risers - 1) * run + half + 3]
            if number:  # the foot's post is that of the landing
                posts[0] = -half - 1
            section |= {"kind": "flight", "unit_rise": sixteenths(dice, 6, 8), "unit_run": run,
                        "risers": risers, "posts": posts,
                        "bottom_gap": sixteenths(dice, 0.5, 3)}  # fmt: skip
        else:
            span = sixteenths(dice, 40, 90)
            posts = [Fraction(0), span]
            if span > 70:
                posts.insert(1, sixteenths(dice, 30, 40))
            section |= {"kind": "level", "span": span, "posts": posts,
                        "bottom_gap": sixteenths(dice, 1, 4)}  # fmt: skip
        sections.append(section)
    return {"panel": panel, "bracket": bracket, "post": post, "section": sections}


def toml_of(sizes) -> str:
    """The job file."""

    def value(one):
        if isinstance(one, list):
            return "[" + ", ".join(map(value, one)) + "]"
        return f'"{one}"' if isinstance(one, (str, Fraction)) else str(one)

    lines = ['units = "in"', 'rules = "irc-2021"', "measured_within = 0"]
    for name in ("panel", "bracket", "post"):
        lines += [f"[{name}]"] + [f"{key} = {value(one)}" for key, one in sizes[name].items()]
    for section in sizes["section"]:
        lines += ["[[section]]"] + [f"{key} = {value(one)}" for key, one in section.items()]
    return "\n".join(lines)


@dataclass
class Run:
    """One section laid out in space."""

    start: np.ndarray  # its x = 0 in plan
    floor: float  # height of its y = 0
    angle: float  # plan direction [degrees]
    slope: float  # rise per run
    lift: float  # the rail's underside over y = 0 at x = 0
    posts: list[np.ndarray]
    turned: list[float]  # plan direction of each post's faces
    surfaces: list[float]  # world height of what each post stands on

    @property
    def ahead(self):
        return np.array([cos(radians(self.angle)), sin(radians(self.angle))])

    def x_of(self, point):
        return float((point - self.start) @ self.ahead)

    def underside(self, point):
        """World height of the bottom rail's underside over a point in plan."""
        return self.floor + self.lift + self.x_of(point) * self.slope


def lay_out(sizes) -> list[Run]:
    runs, angle, at, floor = [], 0.0, np.zeros(2), 0.0
    for section in sizes["section"]:
        before = angle
        angle += section.get("turn", 0)
        ahead = np.array([cos(radians(angle)), sin(radians(angle))])
        xs = [float(x) for x in section["posts"]]
        start = at - xs[0] * ahead
        gap, rise, slope, lift = float(section["bottom_gap"]), 0.0, 0.0, 0.0
        surfaces = [floor] * len(xs)
        if section["kind"] == "flight":
            rise = float(section["unit_rise"])
            slope = rise / float(section["unit_run"])
            lift = rise
            surfaces[-1] += rise * section["risers"]
            rise *= section["risers"]
        posts = [start + x * ahead for x in xs]
        turned = [angle if not runs else before] + [angle] * (len(xs) - 1)
        runs.append(Run(start, floor, angle, slope, lift + gap, posts, turned, surfaces))
        at, floor = posts[-1], floor + rise
    return runs


def square_at(center, width, angle):
    half = width / 2
    flat = box(center[0] - half, center[1] - half, center[0] + half, center[1] + half)
    return affinity.rotate(flat, angle, origin=tuple(center))


def face_towards(center, width, turned, ahead):
    """Where a ray from a post's centre leaves it, and the normal of the face that it leaves by."""
    square = square_at(center, width, turned)
    ray = LineString([center, center + 4 * width * ahead])
    leaves = np.array(ray.intersection(square).coords[-1])
    normals = [np.array([cos(radians(turned + k * 90)), sin(radians(turned + k * 90))])
               for k in range(4)]  # fmt: skip
    return leaves, max(normals, key=lambda normal: normal @ ahead)


def measured(sizes):
    """The guard as told and as laid out."""
    result = result_of(solution_for(job_from_text(toml_of(sizes)), with_remedies=False))
    return result, lay_out(sizes)


def compare_with_figure(sizes):
    result, runs = measured(sizes)
    panel = {key: float(sizes["panel"][key]) for key in
             ("height", "top_rail", "bottom_rail", "baluster", "pitch")}  # fmt: skip
    width, reveal = float(sizes["post"]["width"]), float(sizes["post"]["reveal"])
    bracket = sizes["bracket"]
    off = float(bracket.get("pivot_offset", bracket.get("end_clearance", 0)))
    setback = float(bracket.get("rail_setback", 0))
    apart = panel["height"] - (panel["top_rail"] + panel["bottom_rail"]) / 2
    needs: dict[tuple, list[float]] = {}
    for number, (section, run) in enumerate(zip(result["sections"], runs, strict=True), 1):
        slant = hypot(1, run.slope)
        space = np.array([*run.ahead, run.slope]) / slant  # along the rail
        tall = (panel["height"] - (panel["top_rail"] + panel["bottom_rail"]) / 2
                + (panel["top_rail"] + panel["bottom_rail"]) / 2 * slant)  # fmt: skip
        assert section["panel_height"] == close(tall)
        for index, bay in enumerate(section["bays"]):
            ends = []
            for which, way in ((index, 1), (index + 1, -1)):
                ahead = way * run.ahead
                face, normal = face_towards(run.posts[which], width, run.turned[which], ahead)
                pin = face + ahead * off / (normal @ ahead)
                ends.append((face, normal, pin))
            (low_face, low_normal, low_pin), (high_face, _, high_pin) = ends
            assert bay["clear"] == close(np.linalg.norm(high_face - low_face))
            between = np.linalg.norm(high_pin - low_pin) * slant
            assert bay["rail_length"] == close(between - 2 * setback)
            count, wide = bay["balusters"], panel["baluster"]
            each = panel["pitch"] / slant - wide
            if count:
                taken = bay["end_gap_low"] + bay["end_gap_high"] + count * wide
                assert taken + (count - 1) * each == close(bay["clear"])
            assert bay["swing"] == close(degrees(atan2(run.slope, 1)))
            if index == 0 and number > 1:
                join = result["joins"][number - 2]
                along = float(space[:2] @ low_normal)
                aside = np.linalg.norm(space - along * np.array([*low_normal, 0]))
                true = degrees(atan2(aside, along))
                assert abs(join["rails"][1]["true_angle"]) == close(true)
            for which, (face, _, pin) in ((index, ends[0]), (index + 1, ends[1])):
                surface = run.surfaces[which]
                axis = run.underside(pin) + panel["bottom_rail"] / 2 * slant - surface
                told = {
                    mark["rail"]: mark["height"]
                    for mark in section["posts"][which]["marks"]
                    if mark["bay"] == index + 1
                }
                assert told == {"bottom": close(axis), "top": close(axis + apart)}
                edge = run.underside(face) + tall - surface + reveal
                key = (number, which + 1)
                if which == 0 and number > 1:
                    key = (number - 1, len(runs[number - 2].posts))
                needs.setdefault(key, []).append(edge)
    for (number, post), heights in needs.items():
        told = result["sections"][number - 1]["posts"][post - 1]["height"]
        assert told == close(max(heights)), (number, post)


def run_through(seed):
    """One random guard; False where it cannot be built."""
    sizes = random_sizes(random.Random(seed))
    try:
        compare_with_figure(sizes)
    except StairsError:
        return False
    return True


def test_whole_guards_by_vectors():
    """Clear bays, rails, swings, true angles, marks and posts, at every turn."""
    assert sum(map(run_through, SEEDS)) >= len(SEEDS) * 0.6


@pytest.mark.fuzz
def test_many_whole_guards_by_vectors():
    """The same, many times."""
    assert sum(map(run_through, MANY)) >= len(MANY) * 0.6
