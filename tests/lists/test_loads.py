"""Loads against the codes' values and the lever, by hand."""

from fractions import Fraction

import pytest

from stairs.errors import JobError
from stairs.lists.loads import (
    NEWTONS_PER_POUND,
    TEST_FACTOR,
    base_moment,
    bolt_pull,
    demands,
    newtons,
)
from stairs.report.loads_text import loads_text

POUND_FOOT = NEWTONS_PER_POUND * Fraction("0.3048")


def test_200_pounds_at_36_inches():
    """200 lbf at 36 in is 600 lbf ft; 7200 lbf in over 3 1/2 in pulls 2057 lbf."""
    moment = base_moment(newtons(Fraction(200), "lbf"), Fraction(36), "in")
    assert moment / POUND_FOOT == 600
    pull = bolt_pull(moment, Fraction(7, 2), "in")
    assert pull / NEWTONS_PER_POUND == Fraction(7200) / Fraction(7, 2)


def test_metric_and_inch_levers_agree():
    force = newtons(Fraction(200), "lbf")
    assert base_moment(force, Fraction(36), "in") == base_moment(force, Fraction("914.4"), "mm")
    moment = Fraction(813)
    assert bolt_pull(moment, Fraction(4), "in") == bolt_pull(moment, Fraction("101.6"), "mm")


def test_line_load_of_asce_in_metric():
    """50 lbf/ft is 0.73 kN/m (ASCE 7 prints 0.73)."""
    assert round(float(newtons(Fraction(50), "lbf/ft")), 2) == 0.73
    assert newtons(Fraction("0.74"), "kN/m") == Fraction("0.74")


def test_test_load_of_residential_posts():
    """Loferski, Albright and Woeste: 500 lbf, 2.5 times the code's 200 lbf."""
    assert TEST_FACTOR * 200 == 500


def test_arm_is_the_top_rail_over_the_posts_own_surface(answered, level):
    """Bottom gap 2 and a panel of 33: 35."""
    found = demands(answered(level()))
    assert [demand.arm for demand in found.posts] == [35, 35]
    assert all(demand.load == "guard-point" for demand in found.posts)
    assert found.posts[0].moment / POUND_FOOT == Fraction(200 * 35, 12)
    assert found.bays == ()


def test_a_wall_is_no_post_and_has_no_demand(answered, level):
    """Two bays, the second against a wall: two posts."""
    found = demands(answered(level(span="90", bays=2) + 'end = "wall"\n'))
    assert [demand.post for demand in found.posts] == [1, 2]


def test_bolt_spacing_is_assumed_until_measured(answered, level):
    """A base of 5 less twice 3/4 is 3 1/2; as measured, whatever it is."""
    solution = answered(level())
    found = demands(solution)
    assert (found.bolt_spacing, found.bolt_spacing_assumed) == (Fraction(7, 2), True)
    assert found.posts[0].bolt_pull / NEWTONS_PER_POUND == Fraction(7000) / Fraction(7, 2)
    measured = demands(solution, Fraction(4))
    assert (measured.bolt_spacing, measured.bolt_spacing_assumed) == (4, False)
    assert measured.posts[0].bolt_pull / NEWTONS_PER_POUND == 1750


@pytest.mark.parametrize("spacing", [0, -1, 5])
def test_bolt_spacing_out_of_the_plate_is_refused(answered, level, spacing):
    words = "bolt spacing: is .* A bolt spacing is above 0 and below the base plate's 5\""
    with pytest.raises(JobError, match=words):
        demands(answered(level()), Fraction(spacing))


def test_no_base_plate_no_pull(answered, level):
    solution = answered(level(), base="")
    assert {demand.bolt_pull for demand in demands(solution).posts} == {None}
    assert "the job gives no base plate" in loads_text(solution)


def test_line_load_on_bays_and_posts(answered, level):
    """50 lbf/ft on two bays of 45 in: 187 1/2 lbf each; half, all and half on the posts."""
    run = level(span="90", bays=2) + 'posts = ["0", "45", "90"]\n'
    found = demands(answered(run, rules="ibc-2021"))
    assert [bay.force / NEWTONS_PER_POUND for bay in found.bays] == [Fraction(375, 2)] * 2
    line = [demand.force for demand in found.posts if demand.load == "guard-line"]
    assert line[1] == line[0] + line[2] == found.bays[0].force


def test_line_load_on_a_flight_goes_by_the_slope(answered, flight):
    """48 level at 3 in 4 is 60 along the rail: 250 lbf."""
    found = demands(answered(flight(), rules="ibc-2021"))
    assert float(found.bays[0].length) == pytest.approx(60, rel=1e-12)
    assert float(found.bays[0].force / NEWTONS_PER_POUND) == pytest.approx(250, rel=1e-12)


@pytest.mark.parametrize("rules", ["irc-2021", "ibc-2021", "nbc-2020", "england-ad-k-2013"])
def test_text_marks_demands_and_gives_clauses(answered, level, rules):
    solution = answered(level(), rules=rules)
    text = loads_text(solution)
    flat = " ".join(text.split())
    assert "Demands only" in flat and "This is no design" in flat
    for load, _ in demands(solution).loads:
        assert load.clause in flat
        assert load.provenance_text in flat
    for claim in ("is adequate", "is enough", "strong enough", "passes", "safe"):
        assert claim not in flat
    assert max(len(line) for line in text.splitlines()) <= 80


def test_text_stars_what_is_from_memory(answered, level):
    assert "* 1910.29(b)(5); from memory" in loads_text(answered(level(), rules="osha-1910-2016"))
    assert "* " not in loads_text(answered(level()))


def test_rulebook_without_loads_says_so(answered, level):
    text = loads_text(answered(level(), rules="din-18065-2015"))
    assert "lists no loads" in text
    assert demands(answered(level(), rules="din-18065-2015")).posts == ()


# --------------------------------------------------------------------------- several sections


def line_rows(solution):
    rows = [row for row in demands(solution).posts if row.load == "guard-line"]
    return {(row.section, row.post, row.across): row.force / NEWTONS_PER_POUND for row in rows}


def test_a_shared_post_has_one_load_at_its_top(answered, flight, level):
    rows = demands(answered(flight(), level(turn=90))).posts
    assert [(row.section, row.post, row.also) for row in rows] == [
        (1, 1, None), (1, 2, (2, 1)), (2, 2, None),
    ]  # fmt: skip
    assert rows[1].name == "1.2 = 2.1"


def test_half_bays_add_up_where_the_guard_goes_straight_on(answered, flight, level):
    """50 lbf/ft on 60 of slope and 45 of level: half of 250 and half of 187 1/2 are 218 3/4."""
    forces = line_rows(answered(flight(), level(), rules="ibc-2021"))
    assert {key: round(float(force), 6) for key, force in forces.items()} == {
        (1, 1, None): 125, (1, 2, None): 218.75, (2, 2, None): 93.75,
    }  # fmt: skip


def test_a_corner_has_two_parts(answered, level):
    """Runs of 45 and 33 at 90°: 93 3/4 square to the first, 68 3/4 square to the second."""
    solution = answered(level(), level(span="33", turn=90), rules="ibc-2021")
    assert line_rows(solution) == {
        (1, 1, None): Fraction(375, 4),
        (1, 2, 1): Fraction(375, 4),
        (1, 2, 2): Fraction(275, 4),
        (2, 2, None): Fraction(275, 4),
    }
    flat = " ".join(loads_text(solution).split())
    assert "1.2=2.1 of 1" in flat and "1.2=2.1 of 2" in flat
    assert "at a corner the load along the top has two parts, each square to its own" in flat
    straight = loads_text(answered(level(), level(span="33"), rules="ibc-2021"))
    assert "part:" not in straight


def test_both_hands_share_what_both_have(answered, flight, level):
    """The left-hand flight ends at a post of its own, which no level run loads."""
    solution = answered(flight() + 'hand = "both"\n', level(), rules="ibc-2021")
    rows = [row for row in demands(solution).posts if row.load == "guard-line"]
    assert [(row.name, round(float(row.force / NEWTONS_PER_POUND), 6)) for row in rows] == [
        ("1.1 both", 125), ("1.2 = 2.1 right", 218.75), ("1.2 left", 125), ("2.2", 93.75),
    ]  # fmt: skip
    assert "every bay of that section is there twice" in " ".join(loads_text(solution).split())


def test_all_of_a_line_load_is_on_posts_and_walls(answered, level):
    """What is on the bays comes to the posts, but for the half bay that the wall takes."""
    last = level(span="90", bays=2, turn=90) + 'end = "wall"\n'
    found = demands(answered(level(), last, rules="ibc-2021"))
    on_posts = sum(row.force for row in found.posts if row.load == "guard-line")
    assert on_posts == sum(bay.force for bay in found.bays) - found.bays[-1].force / 2


# --------------------------------------------------------------------------- a load for its section


def test_a_deck_edge_takes_another_load_than_the_stair_beside_it(answered, flight, level):
    """BS 6180 Table 2: 0.36 kN/m on the flight, 0.74 on the deck's edge; at the post that they
    share half of 60 in of the one and half of 45 in of the other add up."""
    solution = answered(flight(), level(), rules="england-ad-k-2013")
    found = demands(solution)
    lines = [(float(load.value), at) for load, at in found.loads if load.id == "guard-line"]
    assert lines == [(0.36, (1,)), (0.74, (2,))]
    stair, deck = 0.36 * 60 * 25.4 / 2, 0.74 * 45 * 25.4 / 2
    forces = [float(row.force) for row in found.posts if row.load == "guard-line"]
    assert forces == pytest.approx([stair, stair + deck, deck], rel=1e-12)
    flat = " ".join(loads_text(solution).split())
    assert "0.36 kN/m; section 1" in flat and "0.74 kN/m; section 2" in flat


def test_a_deck_edge_of_an_english_house_alone(answered, level):
    """Row (ii), 0.74 kN/m, 1.0 kN/m2 and 0.5 kN."""
    found = demands(answered(level(), rules="england-ad-k-2013"))
    assert [(load.id, float(load.value)) for load, _ in found.loads] == [
        ("guard-line", 0.74), ("infill", 1.0), ("infill-point", 0.5),
    ]  # fmt: skip


def test_a_public_guard_in_canada_takes_more(answered, level):
    """Table 9.8.8.2: 0.75 kN/m over 45 in; 1.5 kN/m downwards asks nothing of a post's foot."""
    found = demands(answered(level(), rules='nbc-2020"\nuse = "public'))
    assert float(found.bays[0].force) == pytest.approx(0.75 * 45 * 25.4, rel=1e-12)
    assert [load.id for load, _ in found.loads] == [
        "guard-point", "guard-line", "guard-down", "infill-point",
    ]  # fmt: skip
    assert {row.load for row in found.posts} == {"guard-point", "guard-line"}


def test_a_table_of_corners_fits_80_columns(answered, flight, level):
    sections = flight() + 'hand = "both"\n', level(turn=45), flight(turn=90)
    text = loads_text(answered(*sections, rules="ibc-2021"))
    assert max(len(line) for line in text.splitlines()) <= 80


MEASURED = """
[[section]]
kind = "flight"
nosings = [["0", "6"], ["10", "15"], ["20", "21"]]
nosing = 0
tread_thickness = "1"
open_risers = false
posts = ["-4", "26"]
bottom_gap = "2"
"""


def test_over_measured_nosings_a_bay_is_as_long_as_its_rail(answered):
    """The line that covers them rises 3 in 4, the steps on average 7 in 10: 30 level, 37 1/2."""
    (bay,) = demands(answered(MEASURED, rules="ibc-2021")).bays
    assert float(bay.length) == pytest.approx(37.5, abs=1e-12)


def test_the_other_hands_post_is_as_high_as_its_own_section_needs(answered, flight, level):
    """A level rail 6 over the landing ends at 6 + 33 = 39 and raises the post that it shares."""
    higher = level().replace('bottom_gap = "2"', 'bottom_gap = "6"')
    solution = answered(flight() + 'hand = "both"\n', higher + 'hand = "right"\n')
    arms = {row.name: float(row.arm) for row in demands(solution).posts}
    alone = {row.name: float(row.arm) for row in demands(answered(flight())).posts}
    assert arms["1.2 = 2.1 right"] == arms["2.2"] == 39
    assert arms["1.2 left"] == alone["1.2"] < 39
