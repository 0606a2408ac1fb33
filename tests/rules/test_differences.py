"""Codes differ, and the rulebooks say how: one test for each difference that decides a guard."""

import re
from fractions import Fraction

import pytest

from stairs.rules import available, load

IRC = ("irc-2018", "irc-2021", "irc-2024")
ON_STAIRS = {"section": "flight"}


def values(name):
    return [(r.check, r.limit, r.limit_kind, r.when) for r in load(name).rules]


def clauses(name):
    return [(r.check, r.when, r.clause) for r in load(name).rules]


def test_irc_2018_and_2021_agree_value_by_value_and_clause_by_clause():
    assert values("irc-2018") == values("irc-2021")
    assert clauses("irc-2018") == clauses("irc-2021")


def test_irc_2024_keeps_the_values_and_moves_every_clause():
    assert values("irc-2024") == values("irc-2021")
    moved = {"R311.7": "R318.7", "R312.1": "R321.1"}
    for old, new in zip(load("irc-2021").rules, load("irc-2024").rules, strict=True):
        prefix = old.clause[:6]
        assert new.clause == moved[prefix] + old.clause[6:]


def test_irc_2024_names_none_of_the_older_clauses():
    book = load("irc-2024")
    for rule in book.rules:
        assert not re.search(r"R31[12]\.", rule.clause + rule.note)


def test_the_ball_of_four_and_three_eighths_means_two_things():
    """The whole open side of a stair in the house code, a band of height in the building code."""
    ball = Fraction(35, 8)
    for name in IRC:
        book = load(name)
        assert book.rule("opening-baluster", section="flight", height=0).limit == ball
        assert book.rule("opening-baluster", section="level", height=37).limit == 4
    building = load("ibc-2021")
    assert building.rule("opening-baluster", section="flight", height=0).limit == 4
    assert building.rule("opening-baluster", section="flight", height=37).limit == ball
    assert building.rule("opening-baluster", section="level", height=37).limit == ball


def test_england_and_canada_make_no_allowance_for_the_tread_opening():
    for name in ("england-ad-k-2013", "nbc-2020"):
        book = load(name)
        triangle = book.rule("opening-triangle", **ON_STAIRS)
        baluster = book.rule("opening-baluster", **ON_STAIRS)
        assert triangle.limit == baluster.limit == 100
        assert triangle.limit_kind == "ball-smaller"
        assert triangle.provenance == "interpretation"
    for name in (*IRC, "ibc-2021"):
        book = load(name)
        triangle = book.rule("opening-triangle", **ON_STAIRS)
        assert triangle.limit > book.rule("opening-baluster", **ON_STAIRS).limit


@pytest.mark.parametrize("name", available())
def test_only_australia_tries_the_ball_above_the_nosing_line(name):
    above = {rule.check for rule in load(name).rules if rule.when.above_nosing_line}
    if name == "ncc-2022":
        assert "opening-triangle" in above
        assert all(check.startswith("opening-") for check in above)
        assert load(name).rule("opening-baluster", section="level").when.above_nosing_line is False
    else:
        assert above == set()


@pytest.mark.parametrize("name", available())
def test_only_germany_tries_a_cube(name):
    cubes = {rule.check for rule in load(name).rules if rule.limit_kind == "cube-smaller"}
    assert ("opening-triangle" in cubes) == (name == "din-18065-2015")
    assert bool(cubes) == (name == "din-18065-2015")


@pytest.mark.parametrize(
    ("name", "at_the_limit"),
    [
        ("irc-2021", False),
        ("irc-2024", False),
        ("ibc-2021", False),
        ("england-ad-k-2013", False),
        ("nbc-2020", False),
        ("ncc-2022", False),
        ("osha-1910-2016", True),
        ("din-18065-2015", True),
        ("iso-14122-3-2016", True),
    ],
)
def test_a_gap_of_exactly_the_limit(name, at_the_limit):
    """It fails where a ball of the size must not pass, and passes where gaps are limited."""
    for section in ("flight", "level"):
        rule = load(name).rule("opening-baluster", section=section)
        assert rule.allows(rule.limit) is at_the_limit


@pytest.mark.parametrize(
    ("name", "stair", "level"),
    [
        ("irc-2021", 34, 36),
        ("osha-1910-2016", 42, 39),
        ("nbc-2020", 900, 900),
        ("england-ad-k-2013", 900, 1100),
        ("ncc-2022", 865, 1000),
        ("ibc-2021", 42, 42),
    ],
)
def test_guard_heights_over_nosing_line_and_walking_surface(name, stair, level):
    book = load(name)
    assert book.rule("guard-height-min", section="flight").limit == stair
    assert book.rule("guard-height-min", section="level").limit == level


def test_canada_asks_more_height_with_the_drop_and_outside_dwellings():
    book = load("nbc-2020")

    def height(**case):
        return book.rule("guard-height-min", section="level", **case).limit

    assert height(use="dwelling", drop=1800) == 900
    assert height(use="dwelling", drop=1801) == 1070
    assert height(use="dwelling-inside", drop=5000) == 900
    assert height(use="public", drop=700) == 1070
    assert book.rule("guard-height-min", section="flight", use="public").limit == 900
    assert book.rule("guard-height-min", section="flight", use="exit").limit == 1070


def test_germany_asks_more_height_with_the_drop_and_at_work():
    book = load("din-18065-2015")

    def height(**case):
        return book.rule("guard-height-min", section="level", **case).limit

    assert height(drop=12000) == 900
    assert height(drop=12001) == 1100
    assert height(use="workplace", drop=3000) == 1000
    assert height(use="workplace", drop=13000) == 1100


def test_germany_lets_small_houses_off_the_gap_between_balusters():
    book = load("din-18065-2015")
    assert book.rule("opening-baluster", section="flight", use="general").limit == 120
    assert book.rule("opening-baluster", section="flight", use="dwelling") is None


def test_a_landing_in_an_english_house_is_lower_than_a_balcony():
    book = load("england-ad-k-2013")
    assert book.rule("guard-height-min", section="landing").limit == 900
    assert book.rule("guard-height-min", section="landing", use="general").limit == 1100


def test_when_a_guard_is_needed_at_all():
    """More than the drop in some codes, from the drop on in others; by risers for one."""
    assert not load("irc-2021").rule("guard-needed-drop").needs(Fraction(30))
    england = load("england-ad-k-2013")
    assert not england.rule("guard-needed-drop").needs(600)
    public = {"section": "flight", "use": "general"}
    assert england.rule("guard-needed-drop", **public) is None
    assert england.rule("guard-needed-risers", **public).needs(2)
    assert not england.rule("guard-needed-risers", **public).needs(1)
    germany = load("din-18065-2015")
    assert germany.rule("guard-needed-drop", section="flight").needs(1)
    assert germany.rule("guard-needed-drop", section="landing").needs(1)
    assert not germany.rule("guard-needed-drop", section="level").needs(1000)
    canada = load("nbc-2020").rule("guard-needed-slope")
    assert not canada.needs(Fraction(1, 2)) and canada.needs(Fraction(51, 100))
    assert load("ncc-2022").rule("guard-needed-drop").needs(1000)
    osha = load("osha-1910-2016")
    assert osha.rule("guard-needed-drop", section="flight") is None
    assert osha.rule("guard-needed-risers", section="flight").needs(4)
    assert not osha.rule("guard-needed-risers", section="flight").needs(3)


def test_the_top_rail_can_be_the_handrail_only_where_the_heights_leave_room():
    """Guard at least, handrail at most: they meet in houses and miss each other elsewhere."""

    def room(name, use=None):
        book = load(name)
        case = {"section": "flight", "handrail": True, "use": use}
        guard = book.rule("guard-height-min", **case).limit
        return book.rule("handrail-height-max", **case).limit - guard

    assert room("irc-2021") == 4
    assert room("ibc-2021", "dwelling") == 4
    assert room("england-ad-k-2013") == 100
    assert room("ibc-2021", "general") < 0
    assert room("osha-1910-2016") < 0
    osha = load("osha-1910-2016")
    heights = [
        [osha.rule(f"handrail-height-{end}", section="flight", handrail=top_rail).limit
         for end in ("min", "max")]
        for top_rail in (True, False)
    ]  # fmt: skip
    assert heights == [[36, 38], [30, 38]]


def test_canada_limits_neighbouring_steps_and_the_flight_others_the_flight_only():
    canada = load("nbc-2020")
    assert canada.rule("riser-uniformity-adjacent").limit == 5
    assert canada.rule("riser-uniformity").limit == 10
    assert load("irc-2021").rule("riser-uniformity-adjacent") is None
    assert load("irc-2021").rule("riser-uniformity").limit == Fraction(3, 8)


def test_a_machinery_flight_alone_may_be_higher():
    book = load("iso-14122-3-2016")
    assert book.rule("flight-rise-max", single_flight=True).limit == 4000
    assert book.rule("flight-rise-max", single_flight=False).limit == 3000
    assert book.rule("flight-rise-max").limit == 3000


def test_an_open_riser_counts_only_over_a_drop_in_the_house_code():
    book = load("irc-2021")
    assert book.rule("opening-open-riser", open_risers=True, drop=30) is None
    assert book.rule("opening-open-riser", open_risers=True, drop=31).limit == 4
    assert load("england-ad-k-2013").rule("opening-open-riser", open_risers=True).limit == 100
