"""Measured stairs: the covering line against brute force, and slips of the tape."""

from __future__ import annotations

import random
from fractions import Fraction
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stairs.errors import NoSuchShape
from stairs.parts.survey import LINES, chosen_line, covering_line, survey_of

EIGHTHS = st.integers(-8, 8).map(lambda n: Fraction(n, 8))


@st.composite
def stairs(draw, least=2, most=8):
    """Nosings of a stair of about 7 by 10 in, each reading up to an inch off."""
    count = draw(st.integers(least, most))
    points, x, y = [], Fraction(0), Fraction(0)
    for step in range(count):
        y += 7 + draw(EIGHTHS)
        points.append((x, y))
        x += 10 + draw(EIGHTHS)
        del step
    return points


@given(stairs())
def test_the_line_covers_every_nosing_and_touches_one(points):
    line = covering_line(points)
    lifts = [line.height(x) - y for x, y in points]
    assert min(lifts) == 0


@given(stairs(least=3))
@settings(max_examples=36, deadline=None)
def test_no_other_slope_has_a_narrower_strip(points):
    line = covering_line(points)
    width = max(line.height(x) - y for x, y in points)

    def strip(slope: Fraction) -> Fraction:
        lifts = [y - slope * x for x, y in points]
        return max(lifts) - min(lifts)

    assert strip(line.slope) == width
    # the width is convex in the slope: it is enough that it does not fall to either side
    for step in (Fraction(1, 10**6), Fraction(1, 10)):
        assert strip(line.slope + step) >= width
        assert strip(line.slope - step) >= width
    slopes = [(b[1] - a[1]) / (b[0] - a[0]) for a, b in combinations(points, 2)]
    assert min(map(strip, slopes)) == width


@given(stairs(), st.fractions(Fraction(1, 100), 100, max_denominator=100))
def test_the_line_scales_with_the_stair(points, factor):
    line = covering_line(points)
    scaled = covering_line([(x * factor, y * factor) for x, y in points])
    assert (scaled.slope, scaled.at_zero) == (line.slope, line.at_zero * factor)


@given(stairs(least=3), st.fractions(Fraction(-1, 4), Fraction(1, 4), max_denominator=64))
def test_shearing_the_stair_shears_the_line(points, shear):
    line = covering_line(points)
    sheared = covering_line([(x, y + shear * x) for x, y in points])
    assert max(sheared.height(x) - y - shear * x for x, y in points) == max(
        line.height(x) - y for x, y in points
    )


@given(stairs(least=3))
def test_the_mean_line_leaves_as_much_above_as_below(points):
    survey = survey_of(points, "section 1")
    rests = [LINES["mean"](survey.points).height(x) - y for x, y in points]
    assert sum(rests) == 0
    assert sum(rest * x for rest, (x, _) in zip(rests, points, strict=True)) == 0


@given(stairs())
def test_rises_and_runs_add_up(points):
    survey = survey_of(points, "section 1")
    assert sum(survey.rises) == points[-1][1]
    assert sum(survey.runs) == points[-1][0] - points[0][0]
    assert LINES["ends"](survey.points).height(points[0][0]) == points[0][1]
    assert LINES["ends"](survey.points).height(points[-1][0]) == points[-1][1]
    assert all(gap >= 0 for gap in survey.line_gaps)


@given(
    st.integers(5, 14),
    st.fractions(6, 8, max_denominator=16),
    st.fractions(9, 12, max_denominator=16),
    st.data(),
)
def test_one_slip_on_an_even_stair_is_found_and_put_right(count, rise, run, data):
    points = [((step - 1) * run, step * rise) for step in range(1, count + 1)]
    assert survey_of(points, "section 1").slips == ()
    place = data.draw(st.integers(1, count - 2))
    off = data.draw(st.sampled_from([Fraction(-1), Fraction(-1, 2), Fraction(1, 2), Fraction(1)]))
    axis = data.draw(st.sampled_from("xy"))
    x, y = points[place]
    slipped = list(points)
    slipped[place] = (x + off, y) if axis == "x" else (x, y + off)
    (slip,) = survey_of(slipped, "section 1").slips
    right = x if axis == "x" else y
    assert (slip.nosing, slip.axis) == (place + 1, axis)
    assert (slip.read, slip.expected) == (right + off, right)


def a_stair_that_scatters(seed: int, of_steps: bool) -> list[list[Fraction]]:
    """Each step, or each reading, up to 1/8 in off those of an even stair of 5 to 14 nosings."""
    pick = random.Random(seed)

    def off() -> Fraction:
        return Fraction(pick.randint(-8, 8), 64)

    count = pick.randint(5, 14)
    rise, run = Fraction(pick.randint(104, 128), 16), Fraction(pick.randint(144, 192), 16)
    points, x, y = [], Fraction(0), Fraction(0)
    for step in range(count):
        y += rise + off() * of_steps
        points.append([x + off() * (step > 0 and not of_steps), y + off() * (not of_steps)])
        x += run + off() * of_steps
    return points


@pytest.mark.parametrize("of_steps", [True, False])
def test_on_stairs_that_scatter_by_an_eighth_no_slip_of_an_inch_is_missed(of_steps):
    for seed in range(100):
        points = a_stair_that_scatters(seed, of_steps)
        clean = survey_of(points, "section 1")
        assert (clean.slips, clean.doubts) == ((), ()), seed
        pick = random.Random(seed)
        axis, by = pick.choice([0, 1]), pick.choice([-1, 1])
        place = pick.randint(1 - axis, len(points) - 2)
        right = points[place][axis]
        points[place][axis] += by
        (slip,) = survey_of(points, "section 1").slips
        assert (slip.nosing, slip.axis, slip.read) == (place + 1, "xy"[axis], right + by), seed
        assert abs(slip.expected - right) <= Fraction(1, 4), (
            seed
        )  # half its two neighbours' scatter


@pytest.mark.parametrize("of_steps", [True, False])
def test_the_last_reading_of_such_a_stair_an_inch_off_is_named_as_a_doubt(of_steps):
    """Nothing above it tells whether the reading or the step is wrong."""
    for seed in range(100):
        points = a_stair_that_scatters(seed, of_steps)
        axis = seed % 2
        points[-1][axis] += 1
        (doubt,) = survey_of(points, "section 1").doubts
        assert (doubt.axis, doubt.place) == (("run", "rise")[axis], "last"), seed


def test_a_reading_two_inches_off_on_a_short_crooked_stair_is_named():
    x = ["0", "161/16", "159/8", "475/16", "159/4", "793/16"]
    y = ["125/16", "251/16", "377/16", "251/8", "299/8", "759/16"]
    points = [(Fraction(a), Fraction(b)) for a, b in zip(x, y, strict=True)]
    (slip,) = survey_of(points, "section 1").slips
    assert (slip.nosing, slip.axis) == (5, "y")
    assert slip.expected == (Fraction("251/8") + Fraction("759/16")) / 2


def test_a_crooked_stair_is_no_slip():
    # one riser is short and stays so: all above it are lower
    rises = [7, 7, 6, 7, 7, 7]
    points, y = [], 0
    for step, rise in enumerate(rises):
        y += rise
        points.append((Fraction(10 * step), Fraction(y)))
    assert survey_of(points, "section 1").slips == ()


@pytest.mark.parametrize(
    "points",
    [
        [(0, 7), (10, 7)],
        [(0, 7), (10, 6), (20, 5)],
    ],
)
def test_a_line_that_does_not_rise_is_refused(points):
    points = [(Fraction(x), Fraction(y)) for x, y in points]
    with pytest.raises(NoSuchShape, match="does not rise from the first nosing"):
        survey_of(points, "section 2")


# --------------------------------------------------------------------------- the line to follow


@given(stairs(least=3), st.sampled_from(["cover", "ends", "mean"]))
def test_whichever_line_is_taken_clears_every_nosing_and_touches_one(points, taken):
    survey = survey_of(points, "section 1", taken=taken)
    assert survey.taken == taken and min(survey.line_gaps) == 0
    assert survey.line.slope == LINES[taken](points).slope
    assert set(survey.others) == {"cover", "ends", "mean"} - {taken}
    covering = survey_of(points, "section 1")
    assert max(survey.line_gaps) >= max(covering.line_gaps)


def test_lines_by_hand():
    """7, 15 and 21 over 0, 10 and 20: ends and least squares both rise 7 in 10; ends passes 1 under
    the second nosing, and both come to the covering line when they are raised."""
    points = [
        (Fraction(0), Fraction(7)),
        (Fraction(10), Fraction(15)),
        (Fraction(20), Fraction(21)),
    ]
    survey = survey_of(points, "section 1", taken="ends")
    assert (LINES["ends"](points).at_zero, LINES["ends"](points).slope) == (7, Fraction(7, 10))
    assert survey.line.at_zero == 8
    assert survey.line_gaps == (1, 0, 1)
    assert chosen_line(points, "mean") == survey.line == LINES["cover"](points)


# --------------------------------------------------------------------------- single steps


def even(count=7, rise=7, run=10):
    return [(Fraction((n - 1) * run), Fraction(n * rise)) for n in range(1, count + 1)]


def lifted(points, place, axis, by):
    """All nosings from one on moved along: one step is odd and stays so."""
    return [
        tuple(value + by * (n >= place and k == axis) for k, value in enumerate(point))
        for n, point in enumerate(points, start=1)
    ]


@pytest.mark.parametrize(
    ("place", "axis", "by", "step", "kind", "where"),
    [
        (1, 1, 1, 1, "rise", "first"),
        (7, 1, -1, 7, "rise", "last"),
        (4, 1, 1, 4, "rise", "inner"),
        (2, 0, 2, 1, "run", "first"),
        (7, 0, 1, 6, "run", "last"),
        (4, 0, -1, 3, "run", "inner"),
    ],
)
def test_a_single_odd_step_is_named_as_a_doubt(place, axis, by, step, kind, where):
    survey = survey_of(lifted(even(), place, axis, by), "section 1")
    assert survey.slips == ()
    (doubt,) = survey.doubts
    assert (doubt.step, doubt.axis, doubt.place) == (step, kind, where)
    usual = 7 if kind == "rise" else 10
    assert (doubt.read, doubt.usual) == (usual + by, usual)
    assert not doubt.single and not doubt.borne_out


def test_a_slip_is_no_doubt_and_neither_is_a_stair_that_is_uneven_all_over():
    points = even()
    points[3] = (points[3][0], points[3][1] + 1)
    assert survey_of(points, "section 1").doubts == ()
    crooked = [(Fraction(10 * n), Fraction(y)) for n, y in enumerate((7, 15, 21, 29, 35, 44))]
    assert survey_of(crooked, "section 1").doubts == ()
    assert survey_of(even(3), "section 1").doubts == ()


def test_a_step_measured_singly_is_a_slip_unless_the_total_bears_it_out():
    points = lifted(even(), 4, 1, 1)
    alone = survey_of(points, "section 1", single=True)
    assert [(slip.nosing, slip.axis) for slip in alone.slips] == [(4, "rise")]
    assert alone.doubts == ()
    held = survey_of(points, "section 1", single=True, totals=("rise",))
    assert held.slips == ()
    assert [(doubt.step, doubt.borne_out) for doubt in held.doubts] == [(4, True)]
    (first,) = survey_of(lifted(even(), 1, 1, 1), "section 1", single=True).doubts
    assert (first.place, first.single, first.borne_out) == ("first", True, False)
