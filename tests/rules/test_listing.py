"""Rulebooks on the screen: complete, within 80 columns, and open about what nobody saw."""

from fractions import Fraction
from types import SimpleNamespace

import pytest
from msgspec.structs import replace

from stairs.report.rulebook_listing import condition_text, limit_text, list_text, rulebook_text
from stairs.rules import available, load, overridden
from stairs.rules.records import Condition

FOUND = {
    "seen": "seen",
    "seen in a copy": "in a copy",
    "seen second hand": "second hand",
    "interpretation": "A READING",
    "memory": "FROM MEMORY",
}


def one_line(text: str) -> str:
    return " ".join(text.split())


def test_the_list_names_every_rulebook_with_title_edition_and_what_nobody_saw():
    text = one_line(list_text())
    for name in available():
        book = load(name)
        unseen = sum(not entry.verified for entry in (*book.rules, *book.loads))
        total = len(book.rules) + len(book.loads)
        assert f"{name} {total} values, {unseen} not seen {book.title}, {book.edition}." in text


@pytest.mark.parametrize("name", available())
def test_lines_fit_eighty_columns_and_end_without_spaces(name):
    for line in (*list_text().splitlines(), *rulebook_text(load(name)).splitlines()):
        assert len(line) <= 80
        assert line == line.rstrip()


@pytest.mark.parametrize("name", available())
def test_every_value_stands_with_limit_clause_and_provenance(name):
    book = load(name)
    text = rulebook_text(book)
    rows = [line for line in text.splitlines() if line.startswith("  ") and line[2] != " "]
    for rule in book.rules:
        limit = limit_text(rule, book.units)
        first_word = rule.clause.split()[0][:18]  # as much as a line of the column holds
        assert any(
            limit in row and first_word in row and FOUND[rule.provenance] in row for row in rows
        ), rule
    for load_ in book.loads:
        assert any(
            load_.unit.replace("m2", "m²") in row and FOUND[load_.provenance] in row for row in rows
        ), load_


@pytest.mark.parametrize("name", available())
def test_sources_notes_and_names_are_all_there(name):
    book = load(name)
    text = one_line(rulebook_text(book))
    for entry in (*book.rules, *book.loads):
        assert one_line(entry.source) in text
        assert one_line(entry.note) in text
    for words in book.also_asks:
        assert f"- {words}" in text
    for rule in book.rules:
        assert rule.check in text
    assert "open the code before relying on it" in text


def test_what_the_rulebook_does_not_rule_on_is_said():
    text = one_line(rulebook_text(load("irc-2021")))
    silent = text.partition("No value here for: ")[2].partition(".")[0].split(", ")
    assert "rake-max" in silent
    assert "opening-triangle" not in silent


def test_a_clause_number_from_memory_says_so():
    text = rulebook_text(load("ibc-2021"))
    assert "CLAUSE NUMBER FROM MEMORY" in text
    assert "CLAUSE NUMBER FROM MEMORY" not in rulebook_text(load("irc-2021"))
    rule = replace(load("irc-2024").rules[0], clause_provenance="interpretation")
    assert "CLAUSE NUMBER INFERRED" in rulebook_text(replace(load("irc-2024"), rules=(rule,)))


def test_an_own_value_shows_with_reason_and_the_rulebooks_value():
    reason = "agreed with the official on site"
    local = SimpleNamespace(check="opening-triangle", limit=Fraction(11, 2), reason=reason)
    text = rulebook_text(overridden(load("irc-2021"), [local]))
    assert 'stops a 5 1/2" ball' in text
    assert "OWN VALUE" in text
    note = f'Own value, because: {reason}. The rulebook says: stops a 6" ball.'
    assert one_line(text).count(note) == 1


def test_an_own_value_where_the_rulebook_is_silent():
    local = SimpleNamespace(check="rake-max", limit=Fraction(40), reason="a habit of the house")
    text = one_line(rulebook_text(overridden(load("irc-2021"), [local])))
    assert "rake angle at most 40 degrees none OWN VALUE" in text
    assert "The rulebook says" not in text


def test_a_number_stays_on_the_line_of_its_fraction_and_unit():
    for name in available():
        for line in rulebook_text(load(name)).splitlines():
            words = line.split()
            assert not (words and words[0] in {"in", "mm", "lbf", "kN"}), line
            assert not (words and words[0].strip("().,").count("/") == 1 and words[0][0].isdigit())


@pytest.mark.parametrize(
    ("name", "case", "shown"),
    [
        ("irc-2021", ("unit-rise-max", {}), 'at most 7 3/4"'),
        ("irc-2021", ("riser-slope-max", {}), "at most 30 degrees"),
        ("irc-2021", ("handrail-needed-risers", {}), "needed from 4"),
        ("irc-2021", ("nosing-not-needed-tread", {}), 'needed below 11"'),
        ("england-ad-k-2013", ("guard-needed-drop", {}), "needed above 600 mm"),
        ("nbc-2020", ("guard-needed-slope", {}), "needed above 1 in 2"),
        ("din-18065-2015", ("guard-needed-drop", {"section": "flight"}), "needed above 0 mm"),
        ("england-ad-k-2013", ("guard-height-min", {"section": "flight"}), "at least 900 mm"),
        ("osha-1910-2016", ("opening-end", {"section": "level"}), 'no ball over 19"'),
        ("din-18065-2015", ("opening-triangle", {"section": "flight"}), "stops a 150 mm cube"),
    ],
)
def test_limits_read_as_on_a_tape(name, case, shown):
    book = load(name)
    check, conditions = case
    assert limit_text(book.rule(check, **conditions), book.units) == shown


@pytest.mark.parametrize(
    ("condition", "shown"),
    [
        (Condition(), ""),
        (Condition(section="flight", handrail=True), "flight, top rail is the handrail"),
        (Condition(handrail=False, open_risers=False), "top rail is no handrail, closed risers"),
        (Condition(open_risers=True, drop_over=Fraction(30)), 'open risers, drop over 30"'),
        (Condition(single_flight=True), "one flight alone"),
        (Condition(single_flight=False), "several flights"),
        (Condition(use=("house", "school")), "house or school"),
        (Condition(width_to=Fraction(24)), 'at most 24" wide'),
        (Condition(from_height=Fraction(36), to_height=Fraction(42)), 'from 36" to 42" up'),
        (Condition(from_height=Fraction(36)), 'from 36" up'),
        (Condition(to_height=Fraction(36)), 'from 0" to 36" up'),
        (Condition("flight", above_nosing_line=True), "flight, above the nosing line"),
    ],
)
def test_conditions_in_words(condition, shown):
    assert condition_text(condition, "in") == shown
