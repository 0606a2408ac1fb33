"""A guard as it stands, against plain coordinates: posts as vectors, rails as lines across them.

The second route knows no formulas of the guard.  A post is a foot and a direction, its faces are
that line moved half a post to either side, the pin stands square off a face, and the rail runs from
pin to pin on a line parallel to the nosings.  Lengths are then measured between points (numpy).
"""

import random
from fractions import Fraction

import numpy as np
import pytest
from job_texts import head

from stairs.job import job_from_text
from stairs.report.result import result_of
from stairs.solution import answer_for

JOBS = 200
OFFSET, SETBACK, WIDTH = 1.0, 0.25, 3.0
BRACKET = f'kind = "pivot"\npivot_offset = {OFFSET}\nrail_setback = "1/4"'
HEIGHT, RAIL = 34.0, 2.0  # of the panel, and the depth of either rail


def sixteenths(rng, most):
    return Fraction(rng.randint(-most * 16, most * 16), 16)


class Built:
    """A random job with a guard on both hands, its posts measured on either."""

    def __init__(self, seed):
        rng = random.Random(seed)
        self.level = rng.random() < 0.4
        self.gap = Fraction(rng.randint(16, 40), 8)
        self.rise, self.run = (0.0, 1.0) if self.level else (rng.randint(24, 30) / 4, 11.0)
        if self.level:
            posts = [Fraction(0), Fraction(60), Fraction(115)]
            surfaces = [Fraction(0)] * 3
            steps = "span = 115"
        else:
            posts = [Fraction(-5), Fraction(27), Fraction(60)]
            rise = Fraction(self.rise)
            surfaces = [Fraction(0), 3 * rise, 6 * rise]
            steps = f'unit_rise = "{rise}"\nunit_run = 11\nrisers = 6\nnosing = 1'
        self.posts = {"right": [], "left": []}
        tables = []
        for hand, stands in self.posts.items():
            for number, (x, surface) in enumerate(zip(posts, surfaces, strict=True), 1):
                told = {}
                if rng.random() < 0.7 and (number > 1 or not self.level):
                    told["x"] = x = x + sixteenths(rng, 1)
                if rng.random() < 0.7:
                    told["surface"] = surface = surface + sixteenths(rng, 1)
                stands.append(np.array([float(x), float(surface)]))
                if told:
                    keys = "\n".join(f'{key} = "{value}"' for key, value in told.items())
                    tables.append(
                        f'[[section.as_built]]\npost = {number}\nhand = "{hand}"\n{keys}\n'
                    )
        kind = "level" if self.level else "flight"
        listed = ", ".join(f'"{x}"' for x in posts)
        self.text = (
            head(bracket=BRACKET)
            + f'[[section]]\nkind = "{kind}"\n{steps}\nposts = [{listed}]\nhand = "both"\n'
            + f'bottom_gap = "{self.gap}"\nwidth = 40\n'
            + "".join(rng.sample(tables, len(tables)))
        )

    def axis(self, rail):
        """A point of a rail's axis and its direction."""
        slope = np.array([self.run, self.rise])
        slope = slope / np.linalg.norm(slope)
        plumb = RAIL / slope[0]  # depth of a raked rail, measured plumb
        lift = plumb / 2 + (HEIGHT - RAIL if rail == "top" else 0)
        return np.array([0.0, self.rise + float(self.gap) + lift]), slope

    def pin(self, post, rail, side):
        """Where the pin on one face of a post (+1 up the stair) lies on the rail's axis."""
        up = np.array([0.0, 1.0])
        across = np.array([up[1], -up[0]]) * side
        start, slope = self.axis(rail)
        off = (WIDTH / 2 + OFFSET) - (start - post) @ across
        return start + slope * off / (slope @ across)

    def rails(self, hand):
        """Length of every rail, bay by bay, the top rail first."""
        stands = self.posts[hand]
        for low, high in zip(stands, stands[1:], strict=False):
            yield [
                np.linalg.norm(self.pin(high, rail, -1) - self.pin(low, rail, 1)) - 2 * SETBACK
                for rail in ("top", "bottom")
            ]

    def marks(self, hand):
        """By post, rail and side: how high a pin is over the surface."""
        stands = self.posts[hand]
        return {
            (number, rail, side): (self.pin(post, rail, way) - post)[1]
            for number, post in enumerate(stands)
            for rail in ("top", "bottom")
            for side, way in (("up", 1), ("down", -1))
            if 0 <= number + (way - 1) // 2 < len(stands) - 1
        }


def sections_of(result):
    """The section of either hand; one for both where they do not differ."""
    by_hand = {}
    for section in result["sections"]:
        for hand in ("right", "left") if section["hand"] == "both" else (section["hand"],):
            by_hand[hand] = section
    return by_hand


@pytest.mark.parametrize(
    "seed",
    [pytest.param(seed, marks=() if seed % 10 == 0 else pytest.mark.fuzz) for seed in range(JOBS)],
)
def test_rails_and_marks_of_a_guard_as_it_stands(seed):
    built = Built(seed)
    answer = answer_for(job_from_text(built.text), with_remedies=False)
    found = sections_of(result_of(answer))
    assert set(found) == {"right", "left"}
    for hand, section in found.items():
        for bay, lengths in zip(section["bays"], built.rails(hand), strict=True):
            assert [rail["rail"] for rail in bay["rails"]] == ["top", "bottom"]
            assert [rail["length"] for rail in bay["rails"]] == pytest.approx(lengths, abs=1e-6)
            assert bay["rail_length"] == bay["rails"][0]["length"]
            for rail in bay["rails"]:
                whole = rail["length"] + rail["trim_low"] + rail["trim_high"]
                assert whole == pytest.approx(rail["stock"])
        marks = built.marks(hand)
        told = {
            (number, mark["rail"], mark["side"]): mark["height"]
            for number, post in enumerate(section["posts"])
            for mark in post["marks"]
        }
        assert told == pytest.approx(marks, abs=1e-6)
        stands = np.array([(post["x"], post["surface"]) for post in section["posts"]])
        assert stands == pytest.approx(np.array(built.posts[hand]))
