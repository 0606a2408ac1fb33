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

from stairs.errors import MeasurementsContradict
from stairs.job import job_from_text
from stairs.report.result import result_of
from stairs.solution import solution_for

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
        self.leans = {"right": [], "left": []}
        self.clears = {"right": {}, "left": {}}
        tables = []
        for hand, stands in self.posts.items():
            for number, (x, surface) in enumerate(zip(posts, surfaces, strict=True), 1):
                told = {}
                # what is clear beside a post whose x was not measured would tell its x
                measured = number - 2 in self.clears[hand] or rng.random() < 0.7
                if measured and (number > 1 or not self.level):
                    told["x"] = x = x + sixteenths(rng, 1)
                if rng.random() < 0.7:
                    told["surface"] = surface = surface + sixteenths(rng, 1)
                lean = sixteenths(rng, 1) / 2 if rng.random() < 0.6 else Fraction(0)
                if lean:
                    told["lean"] = lean
                self.leans[hand].append(float(lean))
                stands.append(np.array([float(x), float(surface)]))
                clears = self.clears[hand]
                if number < 3 and rng.random() < 0.5:  # read once the posts stand
                    clears[number - 1] = rng.randint(-1, 1) / 32, rng.randint(-1, 1) / 32
                    told |= {"clear_low": "{low}", "clear_high": "{high}"}
                if told:
                    keys = "\n".join(f'{key} = "{value}"' for key, value in told.items())
                    tables.append((hand, number - 1, f"post = {number}\n{keys}\n"))
        kind = "level" if self.level else "flight"
        listed = ", ".join(f'"{x}"' for x in posts)
        self.text = (
            head(bracket=BRACKET)
            + f'[[section]]\nkind = "{kind}"\n{steps}\nposts = [{listed}]\nhand = "both"\n'
            + f'bottom_gap = "{self.gap}"\nwidth = 40\n'
        ).replace("measured_within = 0", 'measured_within = "1/16"')
        self.tables = rng.sample(tables, len(tables))

    def job(self, with_clears):
        """The job, without the clear widths or with them."""
        told = ""
        for hand, number, keys in self.tables:
            if number in self.clears[hand]:
                lines = keys.splitlines()
                keys = "\n".join(line for line in lines if with_clears or "clear" not in line)
                low, high = self.measured.get((hand, number), (0, 0))
                keys = keys.format(low=f"{low:.6f}", high=f"{high:.6f}") + "\n"
            if keys.count("\n") > 1:
                told += f'[[section.as_built]]\nhand = "{hand}"\n{keys}'
        return job_from_text(self.text + told)

    measured: dict[tuple[str, int], tuple[float, float]] = {}

    def stand(self, found):
        """Give every post its direction, by the height that it was found to have, and measure."""
        self.up, self.measured = {}, {}
        for hand, section in found.items():
            for number, post in enumerate(section["posts"]):
                up = np.array([self.leans[hand][number], post["height"]])
                self.up[hand, number] = up / np.linalg.norm(up)
            for bay, (low, high) in self.clears[hand].items():
                clear = [
                    (self.at(hand, bay + 1, rail, -1, 0) - self.at(hand, bay, rail, 1, 0))[0]
                    for rail in ("bottom", "top")
                ]
                self.measured[hand, bay] = round(clear[0] + low, 6), round(clear[1] + high, 6)

    def axis(self, rail):
        """A point of a rail's axis and its direction."""
        slope = np.array([self.run, self.rise])
        slope = slope / np.linalg.norm(slope)
        plumb = RAIL / slope[0]  # depth of a raked rail, measured plumb
        lift = plumb / 2 + (HEIGHT - RAIL if rail == "top" else 0)
        return np.array([0.0, self.rise + float(self.gap) + lift]), slope

    def at(self, hand, number, rail, side, off):
        """Where a rail's axis is so far off a face of a post, square to it (+1 up the stair)."""
        up = self.up[hand, number]
        across = np.array([up[1], -up[0]]) * side
        start, slope = self.axis(rail)
        square = (WIDTH / 2 + off) - (start - self.posts[hand][number]) @ across
        return start + slope * square / (slope @ across)

    def cuts(self, hand, bay, rail):
        """Both ends of a rail; where what is clear was measured, the upper one is moved by it."""
        _, slope = self.axis(rail)
        low, high = self.at(hand, bay, rail, 1, OFFSET), self.at(hand, bay + 1, rail, -1, OFFSET)
        if (hand, bay) in self.measured:
            faces = self.at(hand, bay + 1, rail, -1, 0) - self.at(hand, bay, rail, 1, 0)
            more = self.measured[hand, bay][rail == "top"] - faces[0]
            high = high + slope * more / slope[0]
        return low + slope * SETBACK, high - slope * SETBACK

    def marks(self, hand):
        """By post, rail and side: from the surface up along the face to where the pin is."""
        marks = {}
        for number, post in enumerate(self.posts[hand]):
            up = self.up[hand, number]
            for side, way in (("up", 1), ("down", -1)):
                if 0 <= number + (way - 1) // 2 < len(self.posts[hand]) - 1:
                    foot = post + np.array([way * WIDTH / 2 / up[1], 0.0])
                    for rail in ("top", "bottom"):
                        pin = self.at(hand, number, rail, way, OFFSET)
                        marks[number, rail, side] = (pin - foot) @ up
        return marks


def found_in(job):
    """The solved section of either hand; one for both where they do not differ."""
    by_hand = {}
    for section in result_of(solution_for(job, with_remedies=False))["sections"]:
        for hand in ("right", "left") if section["hand"] == "both" else (section["hand"],):
            by_hand[hand] = section
    return by_hand


@pytest.mark.parametrize(
    "seed",
    [pytest.param(seed, marks=() if seed % 20 == 0 else pytest.mark.fuzz) for seed in range(JOBS)],
)
def test_rails_and_marks_of_a_guard_as_it_stands(seed):
    built = Built(seed)
    built.stand(found_in(built.job(with_clears=False)))
    found = found_in(built.job(with_clears=True))
    assert set(found) == {"right", "left"}
    for hand, section in found.items():
        for number, bay in enumerate(section["bays"]):
            assert [rail["rail"] for rail in bay["rails"]] == ["top", "bottom"]
            assert bay["rail_length"] == bay["rails"][0]["length"]
            begins = []
            for rail in bay["rails"]:
                low, high = built.cuts(hand, number, rail["rail"])
                assert rail["length"] == pytest.approx(np.linalg.norm(high - low), abs=1e-6)
                whole = rail["length"] + rail["trim_low"] + rail["trim_high"]
                assert whole == pytest.approx(rail["stock"])
                assert min(rail["trim_low"], rail["trim_high"]) >= 0
                cosine = built.run / np.hypot(built.run, built.rise)
                begins.append(low[0] - rail["trim_low"] * cosine)
            assert begins[0] == pytest.approx(begins[1], abs=1e-6)  # so that balusters are plumb
        told = {
            (number, mark["rail"], mark["side"]): mark["height"]
            for number, post in enumerate(section["posts"])
            for mark in post["marks"]
        }
        assert told == pytest.approx(built.marks(hand), abs=1e-6)
        stands = np.array([(post["x"], post["surface"]) for post in section["posts"]])
        assert stands == pytest.approx(np.array(built.posts[hand]))


def plain(told, posts="posts = [0, 60, 115]"):
    """A level run of plumb posts, bracket pins 1 off them."""
    tables = "".join(f"[[section.as_built]]\n{keys}\n" for keys in told)
    text = head(bracket=BRACKET).replace("measured_within = 0", 'measured_within = "1/16"')
    return job_from_text(f"{text}[[section]]\nspan = 115\n{posts}\nbottom_gap = 2\n{tables}")


def test_a_post_of_which_only_the_clear_width_is_told_stands_where_that_says():
    section = found_in(plain(["post = 1\nclear_low = 57.25", "post = 2\nlean = 0"]))["right"]
    assert [post["x"] for post in section["posts"]] == [0, 60.25, 115]
    lengths = [bay["rail_length"] for bay in section["bays"]]
    assert lengths == [57.25 - 2 * (OFFSET + SETBACK), 54.75 - WIDTH - 2 * (OFFSET + SETBACK)]


def test_a_clear_width_and_places_of_posts_that_cannot_both_be_are_refused_with_the_gap():
    with pytest.raises(MeasurementsContradict) as caught:
        solution_for(plain(['post = 1\nclear_low = "57 3/8"', 'post = 2\nx = "60 1/8"']))
    error = caught.value
    assert error.where == "section 1: as_built: clear_low"
    assert 'is 57 3/8"' in error.found and '57 1/8" apart' in error.found
    assert 'differ by 1/4"' in error.found
    assert (float(Fraction(459, 8)), 57.125) == error.values
    within = plain(['post = 1\nclear_low = "57 5/16"', 'post = 2\nx = "60 1/8"'])
    assert solution_for(within, with_remedies=False).guard.sections[0].bays[0].clear == 57.125


def test_balusters_keep_clear_of_a_post_that_leans_toward_them():
    leaning = found_in(plain(['post = 2\nlean = "1/2"']))["right"]
    upright = found_in(plain(["post = 2\nlean = 0"]))["right"]
    low, high = ([bay["end_gap_low"] for bay in part["bays"]] for part in (upright, leaning))
    assert high[1] < low[1]
    widest = [
        max(one["diameter"] for one in part["openings"] if one["kind"] == "end")
        for part in (upright, leaning)
    ]
    assert widest[1] > widest[0]
