"""Rules chosen by the case they are wanted for, and limits decided exactly."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stairs.errors import JobError
from stairs.rules import CHECKS, KINDS, Condition, Rule, Rulebook, available, load

FOUND = {"clause": "1", "provenance": "seen", "source": "made up"}


def book_of(*conditions: Condition, uses=("house", "school")) -> Rulebook:
    rules = tuple(
        Rule("guard-height-min", Fraction(number), "minimum", **FOUND, when=when)
        for number, when in enumerate(conditions, 1)
    )
    return Rulebook("made-up", "T", "1", "J", "in", "", uses, uses[0] if uses else "", rules)


def chosen(book: Rulebook, **case) -> int | None:
    rule = book.rule("guard-height-min", **case)
    return None if rule is None else int(rule.limit)


# ------------------------------------------------------------------ which rule is taken


def test_more_conditions_win():
    book = book_of(Condition(), Condition(section="flight"), Condition("flight", handrail=True))
    assert chosen(book) == 1
    assert chosen(book, section="level") == 1
    assert chosen(book, section="flight") == 2
    assert chosen(book, section="flight", handrail=False) == 2
    assert chosen(book, section="flight", handrail=True) == 3


def test_a_landing_is_level_but_its_own_rule_wins():
    book = book_of(Condition(section="level"), Condition(section="landing"))
    assert chosen(book, section="level") == 1
    assert chosen(book, section="landing") == 2
    assert chosen(book, section="flight") is None
    assert chosen(book_of(Condition(section="level")), section="landing") == 1


def test_the_greater_drop_wins_and_a_drop_at_the_limit_is_not_over_it():
    book = book_of(
        Condition(), Condition(drop_over=Fraction(10)), Condition(drop_over=Fraction(20))
    )
    assert chosen(book) == 1
    assert chosen(book, drop=10) == 1
    assert chosen(book, drop=Fraction(21, 2)) == 2
    assert chosen(book, drop=20) == 2
    assert chosen(book, drop=20.5) == 3


def test_a_width_up_to_and_none_told():
    """A stair of just that width is no wider; one of no told width may be."""
    book = book_of(Condition(), Condition(width_to=Fraction(24)))
    assert [chosen(book, width=width) for width in (None, 24, Fraction(97, 4))] == [1, 2, 1]


def test_an_opening_is_in_a_band_from_its_lower_end_up_to_below_its_upper_end():
    book = book_of(Condition(), Condition(from_height=Fraction(36), to_height=Fraction(42)))
    assert [chosen(book, height=height) for height in (0, 35, 36, 41, 42)] == [1, 1, 2, 2, 1]
    assert chosen(book) == 1


def test_a_band_open_below_and_a_band_open_above():
    book = book_of(Condition(to_height=Fraction(36)), Condition(from_height=Fraction(36)))
    assert [chosen(book, height=height) for height in (0, 35, 36, 900)] == [1, 1, 2, 2]


def test_the_default_use_is_taken_where_none_is_given():
    book = book_of(Condition(use=("house",)), Condition(use=("school",)))
    assert chosen(book) == 1
    assert chosen(book, use="school") == 2


def test_what_the_case_leaves_open_is_not_met():
    for condition in (
        Condition(section="flight"),
        Condition(handrail=False),
        Condition(open_risers=True),
        Condition(single_flight=True),
        Condition(drop_over=Fraction(1)),
        Condition(width_to=Fraction(1)),
        Condition(from_height=Fraction(0)),
    ):
        assert chosen(book_of(condition)) is None


def test_above_the_nosing_line_does_not_choose():
    book = book_of(Condition(above_nosing_line=True))
    assert chosen(book) == 1
    assert Condition(above_nosing_line=True).rank == Condition().rank


def test_an_unknown_check_is_refused_with_the_nearest():
    with pytest.raises(
        JobError, match=r'made-up: "guard-hight" is no check\. The nearest is .* All checks: '
    ):
        book_of(Condition()).rule("guard-hight")


def test_an_unknown_use_is_refused_with_those_there_are():
    with pytest.raises(JobError) as caught:
        book_of(Condition()).rule("guard-height-min", use="hous")
    assert str(caught.value) == (
        'made-up: "hous" is no use that this rulebook tells apart. Uses: house, school. '
        'The nearest is "house".'
    )
    with pytest.raises(JobError, match="Uses: none"):
        book_of(Condition(), uses=()).rule("guard-height-min", use="house")


# ------------------------------------------------------------------ limits


def rule_of(kind: str) -> Rule:
    check = next(check for check in CHECKS.values() if kind in check.kinds)
    return Rule(check.id, Fraction(35, 8), kind, **FOUND)


@pytest.mark.parametrize(
    ("kind", "below", "at", "above"),
    [
        ("ball-smaller", True, False, False),
        ("cube-smaller", True, False, False),
        ("ball-at-most", True, True, False),
        ("maximum", True, True, False),
        ("minimum", False, True, True),
    ],
)
def test_what_each_kind_allows_at_a_hair_from_the_limit(kind, below, at, above):
    rule = rule_of(kind)
    hair = Fraction(1, 10**30)
    assert [rule.allows(rule.limit + step) for step in (-hair, 0, hair)] == [below, at, above]
    with pytest.raises(ValueError, match="sets a limit and calls for nothing"):
        rule.needs(rule.limit)


@pytest.mark.parametrize(
    ("kind", "below", "at", "above"),
    [
        ("needed-above", False, False, True),
        ("needed-from", False, True, True),
        ("needed-below", True, False, False),
    ],
)
def test_when_each_kind_needs_at_a_hair_from_the_limit(kind, below, at, above):
    rule = rule_of(kind)
    hair = Fraction(1, 10**30)
    assert [rule.needs(rule.limit + step) for step in (-hair, 0, hair)] == [below, at, above]
    with pytest.raises(ValueError, match="says when something is needed and allows nothing"):
        rule.allows(rule.limit)


def test_every_kind_is_tried_above():
    assert set(KINDS) == {
        "ball-smaller",
        "ball-at-most",
        "cube-smaller",
        "maximum",
        "minimum",
        "needed-above",
        "needed-from",
        "needed-below",
    }


# ------------------------------------------------------------------ provenance in words


@pytest.mark.parametrize(
    ("provenance", "clause_provenance", "verified", "words"),
    [
        ("seen", "seen", True, "seen"),
        ("seen in a copy", "memory", True, "seen in a copy of the text; clause number from memory"),
        ("seen", "interpretation", True, "seen; clause number inferred"),
        ("memory", "memory", False, "from memory, not seen: open the code before relying on it"),
        (
            "interpretation",
            "interpretation",
            False,
            "a reading of the text, not its words: ask the",
        ),
    ],
)
def test_a_value_says_how_it_was_found(provenance, clause_provenance, verified, words):
    rule = Rule(
        "rake-max",
        Fraction(42),
        "maximum",
        clause="1",
        provenance=provenance,
        source="made up",
        clause_provenance=clause_provenance,
    )
    assert rule.verified is verified
    assert rule.provenance_text.startswith(words)


# ------------------------------------------------------------------ units


def test_inches_become_millimetres_exactly():
    book = load("irc-2021").in_units("mm")
    assert book.units == "mm"
    assert book.rule("unit-rise-max").limit == Fraction("196.85")
    assert book.rule("handrail-needed-risers").limit == 4
    assert book.rule("riser-slope-max").limit == 30
    open_riser = book.rule("opening-open-riser", open_risers=True, drop=Fraction(763))
    assert open_riser.when.drop_over == 762


@given(st.sampled_from(available()))
def test_units_there_and_back_change_nothing(name):
    book = load(name)
    other = "mm" if book.units == "in" else "in"
    assert book.in_units(book.units) is book
    assert book.in_units(other).in_units(book.units) == book
