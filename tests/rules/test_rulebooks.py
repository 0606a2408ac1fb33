"""What holds for every rulebook that comes with the package."""

import tomllib
from importlib import resources

import pytest

from stairs.rules import CHECKS, KINDS, PROVENANCES, Condition, available, load

BOOKS = [load(name) for name in available()]
RULES = [
    pytest.param(rule, book, id=f"{book.id}-{rule.check}-{rule.clause}-{number}")
    for book in BOOKS
    for number, rule in enumerate(book.rules)
]
LOADS = [
    pytest.param(load, book, id=f"{book.id}-{load.id}-{load.clause}")
    for book in BOOKS
    for load in book.loads
]


@pytest.mark.parametrize(("rule", "book"), RULES)
def test_every_value_has_clause_kind_provenance_and_source(rule, book):
    assert rule.clause.strip()
    assert rule.source.strip()
    assert rule.provenance in PROVENANCES
    assert rule.clause_provenance in PROVENANCES
    assert rule.limit_kind in KINDS
    assert rule.limit_kind in CHECKS[rule.check].kinds
    assert rule.limit > 0 or rule.limit_kind == "needed-above"
    assert set(rule.when.use) <= set(book.uses)
    assert rule.local_reason == ""


@pytest.mark.parametrize(("load", "book"), LOADS)
def test_every_load_has_clause_provenance_and_source(load, book):
    assert load.clause.strip()
    assert load.source.strip()
    assert load.provenance in PROVENANCES
    assert load.value > 0
    assert set(load.when.use) <= set(book.uses)


@pytest.mark.parametrize(("load", "book"), LOADS)
def test_every_load_can_be_reached(load, book):
    when = load.when
    case = {"section": when.section, "width": when.width_to}
    uses = when.use or (book.default_use or None, *book.uses)
    assert load in [book.load(load.id, use=use, **case) for use in uses]


@pytest.mark.parametrize(("rule", "book"), RULES)
def test_every_rule_can_be_reached(rule, book):
    when = rule.when
    found = book.rule(
        rule.check,
        section=when.section,
        handrail=when.handrail,
        open_risers=when.open_risers,
        single_flight=when.single_flight,
        use=when.use[0] if when.use else _a_use_without_its_own_rule(rule, book),
        drop=None if when.drop_over is None else when.drop_over + 1,
        height=when.from_height,
    )
    assert found == rule


def _a_use_without_its_own_rule(rule, book):
    """A use under which nothing more special stands in the rule's way."""
    for use in (book.default_use, *book.uses):
        taken = book.rule(
            rule.check,
            section=rule.when.section,
            handrail=rule.when.handrail,
            open_risers=rule.when.open_risers,
            use=use or None,
        )
        if taken == rule:
            return use or None
    return None


@pytest.mark.parametrize(("rule", "book"), RULES)
def test_what_is_recalled_is_never_called_seen(rule, book):
    assert rule.source.startswith("recalled") <= (not rule.verified)


@pytest.mark.parametrize("book", BOOKS, ids=lambda book: book.id)
def test_least_and_greatest_leave_room(book):
    pairs = [name.removesuffix("-min") for name in CHECKS if name.endswith("-min")]
    for use in book.uses or (None,):
        for name in pairs:
            if f"{name}-max" not in CHECKS:
                continue
            case = {"section": "flight", "handrail": True, "use": use}
            least, greatest = book.rule(f"{name}-min", **case), book.rule(f"{name}-max", **case)
            if least is not None and greatest is not None:
                assert least.limit < greatest.limit, name


@pytest.mark.parametrize("book", BOOKS, ids=lambda book: book.id)
def test_a_condition_is_only_used_where_it_means_something(book):
    for rule in book.rules:
        if not rule.check.startswith("opening-"):
            assert rule.when.from_height is None
            assert rule.when.to_height is None
            assert not rule.when.above_nosing_line
        if rule.when.single_flight is not None:
            assert rule.check == "flight-rise-max"
        if rule.when.handrail is not None:
            assert rule.check.startswith("handrail-")


@pytest.mark.parametrize("name", available())
def test_the_files_use_no_number_without_quotes(name):
    """A TOML float would be rounded before anybody could read it exactly."""
    table = tomllib.loads((resources.files("stairs.rules") / f"{name}.toml").read_text("utf-8"))
    for row in (*table["rule"], *table.get("load", ())):
        assert not any(isinstance(value, (int, float)) for value in row.values())


def test_a_condition_left_out_is_the_default():
    assert Condition() == Condition(None, None, None, None, (), None, None, None, None, False)


@pytest.mark.parametrize("book", BOOKS, ids=lambda book: book.id)
def test_every_rulebook_says_what_its_code_asks_too(book):
    """What the tool looks at is no part of it; a builder reads it beside every check."""
    assert len(book.also_asks) >= 3
    assert all(words == words.strip() and not words.endswith(".") for words in book.also_asks)
