"""A rulebook file is read whole or refused, with file, rule and key in the message."""

import re
from fractions import Fraction

import pytest

from stairs.errors import FileError, JobError
from stairs.rules import available, load, read

HEAD = """
id = "plain"
title = "A rulebook for tests"
edition = "1"
jurisdiction = "nowhere"
units = "in"
uses = ["house", "school"]
default_use = "house"
"""

HEIGHT = """
[[rule]]
check = "guard-height-min"
limit = "36"
kind = "minimum"
clause = "1"
provenance = "seen"
source = "made up"
"""

BALUSTER = """
[[rule]]
check = "opening-baluster"
limit = "4 3/8"
kind = "ball-smaller"
clause = "2"
provenance = "memory"
source = "made up"
"""

LOAD = """
[[load]]
id = "guard-line"
value = "0.36"
unit = "kN/m"
clause = "3"
provenance = "seen"
source = "made up"
"""

PLAIN = HEAD + HEIGHT + BALUSTER + LOAD


def refused(text: str, file: str = "plain.toml") -> str:
    with pytest.raises(JobError) as caught:
        read(text.encode(), file)
    assert caught.value.where.startswith(file)
    return str(caught.value)


def changed(old: str, new: str) -> str:
    assert PLAIN.count(old) >= 1
    return PLAIN.replace(old, new, 1)


def test_a_whole_file_is_read_with_exact_limits():
    book = read(PLAIN.encode(), "plain.toml")
    assert book.id == "plain"
    assert book.uses == ("house", "school")
    assert [rule.check for rule in book.rules] == ["guard-height-min", "opening-baluster"]
    assert book.rules[1].limit == Fraction(35, 8)
    assert isinstance(book.rules[1].limit, Fraction)
    assert book.loads[0].value == Fraction(9, 25)


def test_a_list_of_checks_makes_one_rule_for_each():
    text = changed('check = "opening-baluster"', 'check = ["opening-baluster", "opening-end"]')
    book = read(text.encode(), "plain.toml")
    assert [rule.check for rule in book.rules[1:]] == ["opening-baluster", "opening-end"]
    assert book.rules[1].limit == book.rules[2].limit == Fraction(35, 8)


SLOPE = """
[[rule]]
check = "guard-needed-slope"
limit = "1/2"
kind = "needed-above"
clause = "4"
provenance = "seen"
source = "made up"
"""


def test_a_slope_is_fall_over_level_distance():
    assert read((PLAIN + SLOPE).encode(), "plain.toml").rules[-1].limit == Fraction(1, 2)
    assert refused(PLAIN + SLOPE.replace("1/2", "1 in 2")) == (
        'plain.toml: rule 3 (guard-needed-slope): limit: "1 in 2" is no number. A slope is fall '
        "over level distance, as in 1/2."
    )


def test_only_what_is_needed_above_may_be_needed_above_nothing():
    drop = SLOPE.replace("guard-needed-slope", "guard-needed-drop").replace('"1/2"', '"0"')
    assert read((PLAIN + drop).encode(), "plain.toml").rules[-1].needs(Fraction(1, 100))
    assert 'limit: is "0". A limit is above 0' in refused(
        PLAIN + drop.replace("needed-above", "needed-from")
    )


def test_conditions_are_read_exactly():
    when = 'when = { section = "flight", use = ["school"], drop_over = "12 ft", handrail = true }\n'
    book = read((HEAD + HEIGHT + HEIGHT + when + BALUSTER).encode(), "plain.toml")
    condition = book.rules[1].when
    assert condition.section == "flight"
    assert condition.use == ("school",)
    assert condition.drop_over == Fraction(144)
    assert condition.handrail is True
    assert condition.open_risers is None


def test_the_clause_number_is_found_as_the_value_was_unless_it_says_otherwise():
    book = read(PLAIN.encode(), "plain.toml")
    assert [rule.clause_provenance for rule in book.rules] == ["seen", "memory"]
    text = changed('provenance = "seen"', 'provenance = "seen"\nclause_provenance = "memory"')
    rule = read(text.encode(), "plain.toml").rules[0]
    assert (rule.provenance, rule.clause_provenance) == ("seen", "memory")
    assert rule.provenance_text == "seen; clause number from memory"


# ------------------------------------------------------------------ which rulebooks there are


def test_available_is_sorted_and_each_loads_under_its_own_name():
    assert list(available()) == sorted(available())
    for name in available():
        assert load(name).id == name


def test_the_eleven_codes_are_there():
    assert set(available()) >= {
        "irc-2018",
        "irc-2021",
        "irc-2024",
        "ibc-2021",
        "osha-1910-2016",
        "nbc-2020",
        "england-ad-k-2013",
        "ncc-2022",
        "nz-f4-as1",
        "din-18065-2015",
        "iso-14122-3-2016",
    }


def test_an_unknown_rulebook_is_refused_and_the_nearest_named():
    with pytest.raises(JobError) as caught:
        load("irc-2012")
    message = str(caught.value)
    assert message.startswith('rules: "irc-2012" is no rulebook. Rulebooks: din-18065-2015, ')
    assert re.search(r'The nearest is "irc-20\d\d"\.$', message)


def test_an_unknown_rulebook_like_no_other_gets_the_list_only():
    with pytest.raises(JobError) as caught:
        load("zzz")
    assert "nearest" not in str(caught.value)
    assert "england-ad-k-2013" in str(caught.value)


@pytest.mark.parametrize("name", ["../rules/irc-2021", "irc-2021.toml", "", "IRC-2021"])
def test_only_a_plain_name_loads(name):
    with pytest.raises(JobError, match="is no rulebook"):
        load(name)


# ------------------------------------------------------------------ the file and its head


@pytest.mark.parametrize("content", [b"\xff\xfe", b"id = ", b"\x00"])
def test_what_is_not_toml_is_a_file_error(content):
    with pytest.raises(FileError, match="plain.toml: is not TOML .* A rulebook is TOML in UTF-8"):
        read(content, "plain.toml")


@pytest.mark.parametrize("key", ["id", "title", "edition", "jurisdiction", "units"])
def test_a_head_without_a_key_is_refused(key):
    text = re.sub(rf"(?m)^{key} = .*\n", "", PLAIN, count=1)
    expected = f'plain.toml: "{key}" is missing. Every value needs it. Add it.'
    assert refused(text) == expected


def test_an_empty_title_is_refused():
    text = changed('title = "A rulebook for tests"', 'title = " "')
    assert refused(text) == "plain.toml: title: is empty. Every value needs it. Fill it in."


def test_a_file_named_otherwise_is_refused():
    assert refused(PLAIN, "other.toml") == (
        'other.toml: id: is "plain". The file is named for the id. Rename one of them.'
    )


def test_unknown_units_are_refused():
    message = refused(changed('units = "in"', 'units = "cm"'))
    assert message.startswith('plain.toml: units: "cm" is no unit of length. Allowed: in, mm')


def test_an_unknown_key_in_the_head_names_the_nearest():
    message = refused(changed("jurisdiction =", "jurisdictions ="))
    assert message.startswith('plain.toml: "jurisdictions" is no key here. Keys: also_asks,')
    assert message.endswith('The nearest is "jurisdiction".')


def test_uses_and_default_use_come_together():
    assert refused(changed('default_use = "house"\n', "")) == (
        "plain.toml: default_use: comes together with uses. Both are there, or neither. "
        "Add the one that is missing."
    )


def test_the_default_use_is_one_of_the_uses():
    message = refused(changed('default_use = "house"', 'default_use = "houses"'))
    assert message.startswith(
        'plain.toml: default_use: "houses" is no use of this rulebook. Allowed: house, school'
    )


def test_a_file_without_rules_is_refused():
    assert '"rule" is missing' in refused(HEAD)
    assert refused("rule = []\n" + HEAD) == (
        "plain.toml: rules nothing on guard-height-min of a flight section. A rulebook rules at "
        "least on the guard's height and on the balusters. Add the rule."
    )


def test_a_file_that_rules_on_flights_only_is_incomplete():
    message = refused(HEAD + HEIGHT + BALUSTER + 'when = { section = "flight" }\n')
    assert "rules nothing on opening-baluster of a level section" in message


# ------------------------------------------------------------------ one rule


@pytest.mark.parametrize("key", ["limit", "kind", "clause", "provenance", "source"])
def test_a_rule_without_a_key_is_refused(key):
    text = HEAD + re.sub(rf"(?m)^{key} = .*\n", "", HEIGHT) + BALUSTER
    assert refused(text) == (
        f'plain.toml: rule 1 (guard-height-min): "{key}" is missing. Every value needs it. Add it.'
    )


def test_a_rule_without_a_check_is_refused():
    text = HEAD + re.sub(r"(?m)^check = .*\n", "", HEIGHT) + BALUSTER
    assert refused(text).startswith('plain.toml: rule 1: "check" is missing')


def test_a_rule_about_nothing_is_refused():
    text = changed('check = "guard-height-min"', "check = []")
    assert refused(text) == (
        "plain.toml: rule 1: check: is empty. A rule is about something. Name a check."
    )


@pytest.mark.parametrize("key", ["clause", "source"])
def test_an_empty_clause_or_source_is_refused(key):
    text = re.sub(rf"(?m)^{key} = .*$", f'{key} = ""', PLAIN, count=1)
    assert refused(text) == (
        f"plain.toml: rule 1 (guard-height-min): {key}: is empty. Every value needs it. Fill it in."
    )


def test_an_unknown_key_names_file_rule_and_the_nearest():
    message = refused(changed("clause =", "clauze ="))
    assert message.startswith('plain.toml: rule 1 (guard-height-min): "clauze" is no key here.')
    assert 'The nearest is "clause"' in message


def test_an_unknown_check_lists_them_and_names_the_nearest():
    message = refused(changed('check = "guard-height-min"', 'check = "guard-hight-min"'))
    assert '(guard-hight-min): check: "guard-hight-min" is no check. The nearest is' in message
    assert "guard-height-max, guard-height-min, guard-needed-drop" in message
    assert 'The nearest is "guard-height-min"' in message


def test_an_unknown_kind_is_refused():
    message = refused(changed('kind = "minimum"', 'kind = "minimal"'))
    assert (
        '(guard-height-min): kind: "minimal" is no kind of limit. Allowed: ball-at-most' in message
    )
    assert 'The nearest is "minimum"' in message


def test_a_kind_that_does_not_fit_the_check_is_refused():
    message = refused(changed('kind = "minimum"', 'kind = "maximum"'))
    assert '"maximum" is no kind of limit for guard-height-min. Allowed: minimum' in message


def test_an_unknown_provenance_is_refused():
    message = refused(changed('provenance = "seen"', 'provenance = "sen"'))
    assert 'provenance: "sen" is no provenance. Allowed: interpretation, memory, seen,' in message
    text = changed('provenance = "seen"', 'provenance = "seen"\nclause_provenance = "guess"')
    assert 'clause_provenance: "guess" is no provenance' in refused(text)


@pytest.mark.parametrize(
    ("limit", "words"),
    [
        ("about 36", '"about 36" is not a length'),
        ("0", 'is "0". A limit is above 0'),
        ("-36", 'is "-36". A limit is above 0'),
        ("__import__('os')", "is not a length"),
    ],
)
def test_a_limit_that_is_no_length_is_refused(limit, words):
    message = refused(changed('limit = "36"', f'limit = "{limit}"'))
    assert "plain.toml: rule 1 (guard-height-min): limit: " in message
    assert words in message


def test_a_limit_has_to_be_text():
    message = refused(changed('limit = "36"', "limit = 36.5"))
    assert message.startswith(
        "plain.toml: rule 1 (guard-height-min): limit: is of the wrong type: Expected `str`"
    )


def test_an_angle_and_a_count_are_read_as_such():
    slope = HEIGHT.replace("guard-height-min", "rake-min").replace('"36"', '"30 1/2"')
    count = HEIGHT.replace("guard-height-min", "risers-per-flight-min").replace('"36"', '"3"')
    book = read((PLAIN + slope + count).encode(), "plain.toml")
    assert [rule.limit for rule in book.rules[2:]] == [Fraction(61, 2), Fraction(3)]
    assert "is not an angle" in refused(PLAIN + slope.replace("30 1/2", "steep"))
    for text in ("3 1/2", "three", "²"):
        message = refused(PLAIN + count.replace('"3"', f'"{text}"'))
        assert f'limit: "{text}" is no count. A count is a whole number.' in message


# ------------------------------------------------------------------ conditions


def conditioned(when: str) -> str:
    return PLAIN.replace(LOAD, "") + HEIGHT + f"when = {{ {when} }}\n"


def test_an_unknown_condition_names_the_nearest():
    message = refused(conditioned('sections = "flight"'))
    assert "plain.toml: rule 3 (guard-height-min): when: " in message
    assert '"sections" is no key here' in message
    assert 'The nearest is "section"' in message


@pytest.mark.parametrize(
    ("when", "words"),
    [
        ('section = "flights"', 'when: section: "flights" is no section. Allowed: flight, landing'),
        ('use = ["barn"]', 'when: use: "barn" is no use of this rulebook. Allowed: house, school'),
        ('drop_over = "deep"', 'when: drop_over: "deep" is not a length'),
        ('handrail = "yes"', "when: handrail: is of the wrong type: Expected `bool | null`"),
        (
            'from_height = "36", to_height = "36"',
            "when: to_height: is not above from_height. A band runs upwards. Mend one.",
        ),
    ],
)
def test_a_condition_that_means_nothing_is_refused(when, words):
    assert words in refused(conditioned(when))


# ------------------------------------------------------------------ two answers to one question


def test_the_same_check_under_the_same_conditions_is_refused():
    message = refused(PLAIN + HEIGHT.replace('clause = "1"', 'clause = "9"'))
    assert message == (
        "plain.toml: guard-height-min: two rules answer the same case (1 and 9). One of a name "
        "under the same conditions. Drop one, or state what sets them apart."
    )


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ('section = "flight"', "handrail = true"),
        ('use = ["house"]', 'section = "level"'),
        ('from_height = "10"', 'from_height = "10", to_height = "20"'),
        ('use = ["house", "school"]', 'use = ["school"]'),
    ],
)
def test_conditions_that_can_meet_and_rank_alike_are_refused(one, other):
    text = f"{PLAIN}{HEIGHT}when = {{ {one} }}\n{HEIGHT}when = {{ {other} }}\n"
    assert "two rules answer the same case" in refused(text)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ('section = "flight"', 'section = "level"'),
        ("handrail = true", "handrail = false"),
        ('use = ["house"]', 'use = ["school"]'),
        ('to_height = "10"', 'from_height = "10"'),
        ('drop_over = "10"', 'drop_over = "20"'),
        ('section = "level"', 'section = "landing"'),
        ('section = "level"', 'section = "level", handrail = true'),
    ],
)
def test_conditions_that_exclude_or_outrank_each_other_are_read(one, other):
    text = f"{PLAIN}{HEIGHT}when = {{ {one} }}\n{HEIGHT}when = {{ {other} }}\n"
    assert len(read(text.encode(), "plain.toml").rules) == 4


# ------------------------------------------------------------------ loads


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        (
            'id = "guard-line"',
            'id = "guard"',
            'load 1: id: "guard" is no load. Allowed: guard-down,',
        ),
        ('unit = "kN/m"', 'unit = "N"', 'load 1 (guard-line): unit: "N" is no unit of load.'),
        ('value = "0.36"', 'value = "some"', 'value: "some" is no number. A load is a number'),
        ('value = "0.36"', 'value = "1/0"', 'value: "1/0" is no number. A load is a number'),
        ('value = "0.36"', 'value = "0"', 'value: is "0". A load is above 0.'),
        ('clause = "3"', 'clause = ""', "load 1 (guard-line): clause: is empty."),
        (
            'clause = "3"',
            'clause = "3"\nwhen = { use = ["barn"] }',
            'use: "barn" is no use of this rulebook',
        ),
        ('value = "0.36"\n', "", 'load 1: "value" is missing. Every value needs it.'),
        ('value = "0.36"', 'valeu = "0.36"', 'load 1: "valeu" is no key here.'),
    ],
)
def test_a_wrong_load_is_refused(old, new, words):
    assert old in LOAD
    message = refused(HEAD + HEIGHT + BALUSTER + LOAD.replace(old, new))
    assert words in message


def test_two_loads_of_one_name_for_one_use_are_refused():
    assert refused(PLAIN + LOAD.replace('"3"', '"4"')) == (
        "plain.toml: guard-line: two loads answer the same case (3 and 4). One of a name under "
        "the same conditions. Drop one, or state what sets them apart."
    )
    school = LOAD + 'when = { use = ["school"], section = "level" }\n'
    assert "two loads answer the same case" in refused(PLAIN + school + school)
    assert len(read((PLAIN + school).encode(), "plain.toml").loads) == 2
