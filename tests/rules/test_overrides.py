"""A user's own values over a rulebook: they replace, they say why, and they never hide."""

from fractions import Fraction
from types import SimpleNamespace

import pytest

from stairs.errors import JobError
from stairs.rules import CHECKS, available, load, overridden, refuse_far


def own(check: str, limit, reason: str = "agreed with the official") -> SimpleNamespace:
    return SimpleNamespace(check=check, limit=Fraction(limit), reason=reason)


def test_a_limit_is_replaced_and_both_are_kept():
    book = overridden(load("irc-2021"), [own("opening-triangle", 5)])
    rule = book.rule("opening-triangle", section="flight")
    assert (rule.limit, rule.published) == (5, 6)
    assert rule.clause == "R312.1.3 exc. 1"
    assert rule.local_reason == "agreed with the official"
    assert rule.provenance == "local"
    assert not rule.verified
    assert rule.provenance_text == "the user's own value: agreed with the official"


def test_nothing_else_changes():
    before = load("irc-2021")
    after = overridden(before, [own("opening-triangle", 5)])
    others = [rule for rule in after.rules if rule.check != "opening-triangle"]
    assert others == [rule for rule in before.rules if rule.check != "opening-triangle"]
    assert load("irc-2021") is before
    assert before.rule("opening-triangle", section="flight").limit == 6
    assert overridden(before, []) == before


def test_the_kind_of_limit_stays():
    rule = overridden(load("irc-2021"), [own("opening-baluster", 4)]).rule(
        "opening-baluster", section="flight"
    )
    assert rule.limit_kind == "ball-smaller"
    assert not rule.allows(Fraction(4))


def test_it_stands_for_flights_and_level_runs_alike():
    book = overridden(load("irc-2021"), [own("guard-height-min", 42)])
    for section, published in (("flight", 34), ("level", 36), ("landing", 36)):
        rule = book.rule("guard-height-min", section=section)
        assert (rule.limit, rule.published) == (42, published)


@pytest.mark.parametrize("use", ["dwelling", "dwelling-inside", "public", "exit"])
@pytest.mark.parametrize("drop", [None, 100, 5000])
@pytest.mark.parametrize("section", ["flight", "level"])
def test_it_stands_whatever_the_use_and_the_drop(use, drop, section):
    book = overridden(load("nbc-2020"), [own("guard-height-min", 1000)])
    rule = book.rule("guard-height-min", section=section, use=use, drop=drop)
    assert rule.limit == 1000


@pytest.mark.parametrize("height", [None, 0, 37])
def test_it_stands_whatever_the_height(height):
    book = overridden(load("ibc-2021"), [own("opening-baluster", 3)])
    assert book.rule("opening-baluster", section="level", height=height).limit == 3


def test_where_a_value_applies_at_all_stays():
    book = overridden(load("irc-2021"), [own("handrail-height-max", 40)])
    assert book.rule("handrail-height-max", section="flight", handrail=True).limit == 40
    assert book.rule("handrail-height-max", section="flight", handrail=False) is None
    above = overridden(load("ncc-2022"), [own("opening-triangle", 120)])
    assert above.rule("opening-triangle", section="flight").when.above_nosing_line


def test_a_rule_is_added_where_the_rulebook_is_silent():
    assert load("irc-2021").rule("rake-max") is None
    rule = overridden(load("irc-2021"), [own("rake-max", 40)]).rule("rake-max")
    assert (rule.limit, rule.limit_kind, rule.published) == (40, "maximum", None)
    assert rule.local_reason == "agreed with the official"


@pytest.mark.parametrize("name", available())
def test_every_check_can_be_overridden_in_every_rulebook(name):
    book = overridden(load(name), [own(check, 7) for check in CHECKS])
    assert {rule.check for rule in book.rules} == set(CHECKS)
    assert all(rule.limit == 7 and rule.local_reason for rule in book.rules)
    for rule in book.rules:
        same = [
            other for other in book.rules if (other.check, other.when) == (rule.check, rule.when)
        ]
        assert same == [rule]


def test_an_unknown_check_is_refused_with_the_nearest():
    with pytest.raises(JobError) as caught:
        overridden(load("irc-2021"), [own("opening-triangel", 5)])
    assert str(caught.value).startswith('local: "opening-triangel" is no check. The nearest is')
    assert 'The nearest is "opening-triangle"' in str(caught.value)


@pytest.mark.parametrize("limit", [0, -5])
def test_a_limit_that_is_not_above_zero_is_refused(limit):
    with pytest.raises(JobError) as caught:
        overridden(load("irc-2021"), [own("opening-triangle", limit)])
    assert str(caught.value) == (f"local: opening-triangle: limit: is {limit}. A limit is above 0.")


def test_a_value_without_a_reason_is_refused():
    with pytest.raises(JobError) as caught:
        overridden(load("irc-2021"), [own("opening-triangle", 5, "  ")])
    assert str(caught.value) == (
        "local: opening-triangle: reason: is empty. Each own value has a reason. "
        "Say who agreed to it."
    )


def test_a_check_given_twice_is_refused():
    with pytest.raises(JobError) as caught:
        overridden(load("irc-2021"), [own("opening-triangle", 5), own("opening-triangle", 4)])
    assert str(caught.value) == (
        "local: opening-triangle: is given twice. One value for a check. Drop one."
    )


@pytest.mark.parametrize(
    ("units", "check", "limit", "read"),
    [
        ("in", "guard-height-min", 3, '3", and the rulebook\'s own limit 36"'),  # feet
        ("mm", "guard-height-min", 36, "36 mm, and the rulebook's own limit 914.4 mm"),  # inches
        ("mm", "guard-height-min", 90, "90 mm"),  # centimetres
        ("in", "opening-baluster", 100, '100"'),  # millimetres
    ],
)
def test_a_length_in_another_unit_is_asked_back(units, check, limit, read):
    book = load("irc-2021").in_units(units)
    with pytest.raises(JobError) as caught:
        refuse_far(book, [own(check, limit)])
    assert str(caught.value).startswith(f"local: {check}: limit: is {read}")
    assert "Was another unit meant?" in str(caught.value)


def test_an_own_value_near_the_codes_an_angle_and_a_new_one_are_taken():
    book = load("irc-2021")
    own_values = [own("guard-height-min", 24), own("opening-baluster", 2), own("rake-max", 1)]
    assert refuse_far(book, own_values) is None
