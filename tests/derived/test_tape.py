"""Lengths in and out: the forms people write, the marks of the tape, and the two as inverses."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from stairs.errors import JobError
from stairs.lengths.tape import as_typed, parse, parse_degrees
from stairs.lengths.tape_marks import (
    angle_against_limit,
    ceil_to_mark,
    exact_text,
    floor_to_mark,
    fraction_text,
    length_text,
    metric_text,
    round_to_mark,
    text_against_limit,
)

INCH = Fraction(254, 10)  # mm, by definition


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("7 3/4", Fraction(31, 4)),
        ("7-3/4", Fraction(31, 4)),
        ('7 3/4"', Fraction(31, 4)),
        ("7 3/4 in", Fraction(31, 4)),
        ("7¾", Fraction(31, 4)),
        ("7 ¾″", Fraction(31, 4)),
        ("7-¾”", Fraction(31, 4)),
        ("7 3⁄4", Fraction(31, 4)),
        ("7\u00a03/4", Fraction(31, 4)),
        ("7\u20093/4\u202f″", Fraction(31, 4)),
        ("  7  3/4  ", Fraction(31, 4)),
        ("7 3/4''", Fraction(31, 4)),
        ("½", Fraction(1, 2)),
        ("¼", Fraction(1, 4)),
        ("⅛", Fraction(1, 8)),
        ("⅜", Fraction(3, 8)),
        ("⅝", Fraction(5, 8)),
        ("⅞", Fraction(7, 8)),
        ("5' 3 1/2\"", Fraction(127, 2)),
        ("5′ 3½″", Fraction(127, 2)),
        ("5’-3 1/2”", Fraction(127, 2)),
        ("5'3.5\"", Fraction(127, 2)),
        ("5'-½", Fraction(121, 2)),
        ("5'-3", Fraction(63)),
        ("5'", Fraction(60)),
        ("5.5'", Fraction(66)),
        ("5 1/2 feet", Fraction(66)),
        ("5 ft 3 in", Fraction(63)),
        ("5 ft. 3 in.", Fraction(63)),
        ("5 feet 3 inches", Fraction(63)),
        ("5FT 3IN", Fraction(63)),
        ("62 in", Fraction(62)),
        ("62in", Fraction(62)),
        ("15/2", Fraction(15, 2)),
        ("0.5", Fraction(1, 2)),
        (".5", Fraction(1, 2)),
        ("5.", Fraction(5)),
        ("0", Fraction(0)),
        ("+4", Fraction(4)),
        ("-4", Fraction(-4)),
        ("−4", Fraction(-4)),
        ("—4", Fraction(-4)),
        ("- 4", Fraction(-4)),
        ("-7 3/4", Fraction(-31, 4)),
        ("-½", Fraction(-1, 2)),
        ("−5′-3″", Fraction(-63)),
        ("197 mm", 197 / INCH),
        ("19.7 cm", 197 / INCH),
        ("1.2 m", 1200 / INCH),
        ("1.2 metres", 1200 / INCH),
        ("25.4mm", Fraction(1)),
    ],
)
def test_every_written_form_is_read_exactly(text, inches):
    assert parse(text, "in") == inches
    bare = parse(text, "mm")
    assert bare in (inches * INCH, inches)  # bare numbers follow the job, others the unit written
    has_unit = any(c.isalpha() or c in "'\"′″’”" for c in text)
    assert bare == (inches * INCH if has_unit else inches)


@pytest.mark.parametrize(
    ("value", "exact"),
    [
        (7, Fraction(7)),
        (0.1, Fraction(1, 10)),
        (1e-05, Fraction(1, 100000)),
        (Decimal("0.1"), Fraction(1, 10)),
        (Decimal("1E+2"), Fraction(100)),
        (Decimal("0E-999999999"), Fraction(0)),
        (Fraction(1, 3), Fraction(1, 3)),
        (-4, Fraction(-4)),
    ],
)
def test_bare_numbers_are_in_the_jobs_units(value, exact):
    assert parse(value, "in") == parse(value, "mm") == exact


BAD_LENGTHS = [
    ("", '"" is empty. A length is a number'),
    ("  \u00a0 ", "is empty"),
    ("seven", '"seven" is not a length. Lengths read: 7 3/4'),
    ("nan", '"nan" is not a finite number. A length is a finite number'),
    ("-inf", '"-inf" is not a finite number'),
    ("∞", "is not a finite number"),
    (float("nan"), "nan is not a finite number"),
    (float("-inf"), "-inf is not a finite number"),
    (Decimal("sNaN"), "is not a finite number"),
    (Decimal("Infinity"), "inf is not a finite number"),
    ("3/0", '"3/0" divides by zero. The lower number of a fraction is 1 or more'),
    ("7 0/0", "divides by zero"),
    ("7 5/4", "has a fraction of 1 or more after the whole number"),
    (
        "5' 14\"",
        "has 12 inches or more after the feet. Inches after feet stay below 12. "
        "Is it 6'-2\"? Then write that",
    ),
    ("19,7 cm", "Write it without a comma: 19.7 cm"),
    ("__import__('os')", "\"__import__('os')\" is not a length"),
    ("2**9", '"2**9" is not a length'),
    ("1e3", '"1e3" is not a length'),
    ("7 + 3/4", "is not a length"),
    ("7 -3/4", "is not a length"),
    ("1 2/3/4", "is not a length"),
    ("٣", "is not a length"),
    ("7 yd", '"7 yd" is not a length'),
    ("7\n3/4", r'"7\n3/4" is not a length'),
    ("5.5' 3\"", "is not a length"),
    ("--4", "is not a length"),
    ("9" * 61, "in at most 60 characters"),
    ("1" * 100_000, "in at most 60 characters"),
    (
        "12001 in",
        '"12001 in" is longer than 1000 ft. Lengths stay within 1000 ft; a bare number is in in',
    ),
    (-12001, "is longer than 1000 ft"),
    ("9" * 50, "Was another unit meant? Then write it out"),
    (10**4400, "a whole number of more than 30 digits is longer than 1000 ft"),
    (Decimal("1E+999999999"), "is longer than 1000 ft"),
    (Decimal("1E-999999999"), "has more digits than any tape. At most 30 digits are read"),
    (Decimal("1." + "1" * 5000), "has more digits than any tape"),
    (True, "true is not a length"),
    (False, "false is not a length"),
    (None, "None is not a length"),
    ([1, 2], "a list of 2 is not a length"),
    ({"a": 1}, "a table is not a length"),
    (b"7", "is not a length"),
]


@pytest.mark.parametrize(("value", "words"), BAD_LENGTHS, ids=lambda v: as_typed(v)[:30])
def test_what_is_no_length_is_refused_in_words(value, words):
    with pytest.raises(JobError) as caught:
        parse(value, "in", "panel: pitch")
    message = str(caught.value)
    assert message.startswith("panel: pitch: ")
    assert words in message
    assert len(message) < 400
    assert caught.value.found and caught.value.remedy


def test_a_thousand_feet_is_the_longest_length_in_either_unit():
    assert parse("1000 ft", "in") == 12000
    assert parse("1000 ft", "mm") == 304800
    with pytest.raises(JobError, match="longer than 1000 ft.*a bare number is in millimetres"):
        parse(304801, "mm")


@pytest.mark.parametrize(
    ("value", "angle"),
    [
        (36, Fraction(36)),
        (36.87, Fraction(3687, 100)),
        ("36 1/2", Fraction(73, 2)),
        ("36½°", Fraction(73, 2)),
        ("-45 deg", Fraction(-45)),
        ("90 degrees", Fraction(90)),
    ],
)
def test_angles_are_read_exactly(value, angle):
    assert parse_degrees(value) == angle


@pytest.mark.parametrize(
    ("value", "words"),
    [
        ("steep", '"steep" is not an angle. An angle is a number of degrees'),
        ("7 in", "is not an angle"),
        ("1" * 61, "is not an angle"),
        ("1/0", "divides by zero"),
        (361, "361 is more than a full turn"),
        (Decimal("NaN"), "nan is not a finite number. An angle is a finite number"),
        (True, "true is not an angle"),
    ],
)
def test_what_is_no_angle_is_refused_in_words(value, words):
    with pytest.raises(JobError) as caught:
        parse_degrees(value, "rake")
    assert str(caught.value).startswith("rake: ")
    assert words in str(caught.value)


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        ("a\tb\x1b[31m", r'"a\tb\x1b[31m"'),
        ("\u202eevil", r'"\u202eevil"'),
        ("x" * 200, '"' + "x" * 57 + '..."'),
        (1.5, "1.5"),
        (Decimal("1.50"), "1.50"),
        (-(10**40), "a whole number of more than 30 digits"),
        (False, "false"),
        ((), "a list of 0"),
        (b"x", "b'x'"),
    ],
)
def test_words_are_quoted_without_control_characters(value, shown):
    assert as_typed(value) == shown


# ------------------------------------------------------------------ printing


@pytest.mark.parametrize(
    ("value", "mark", "feet", "shown"),
    [
        (Fraction(31, 4), Fraction(1, 16), False, '7 3/4"'),
        (43.5, Fraction(1, 16), True, "3'-7 1/2\""),
        (43.5, Fraction(1, 16), False, '43 1/2"'),
        (11.999, Fraction(1, 16), True, "1'-0\""),
        (11.9, Fraction(1, 16), True, '11 7/8"'),
        (12.5, Fraction(1, 16), True, "1'-0 1/2\""),
        (0.5, Fraction(1, 16), True, '1/2"'),
        (Fraction(1, 32), Fraction(1, 16), False, '1/16"'),
        (Fraction(-1, 32), Fraction(1, 16), False, '-1/16"'),
        (-0.001, Fraction(1, 16), False, '0"'),
        (-43.5, Fraction(1, 16), True, "-3'-7 1/2\""),
        (7, 1, False, '7"'),
    ],
)
def test_inches_print_as_on_the_tape(value, mark, feet, shown):
    assert fraction_text(value, mark, feet) == shown
    assert fraction_text(value, mark, feet, quote=False) == shown.rstrip('"')


@pytest.mark.parametrize(
    ("value", "mark", "shown"),
    [
        (196.85, 1, "197 mm"),
        (196.5, 1, "197 mm"),
        (-196.5, 1, "-197 mm"),
        (0.4, 1, "0 mm"),
        (196.75, Fraction(1, 2), "197 mm"),
        (196.6, Fraction(1, 2), "196.5 mm"),
        (1234567, 1, "1234567 mm"),
    ],
)
def test_millimetres_print_whole_at_a_mark_of_one(value, mark, shown):
    assert metric_text(value, mark) == shown
    assert metric_text(value, mark, unit=False) == shown.removesuffix(" mm")


MARKS = st.sampled_from([Fraction(1, n) for n in (1, 2, 4, 8, 10, 16, 32, 64)] + [Fraction(2)])
LENGTHS = st.fractions(min_value=-11000, max_value=11000, max_denominator=10**9)


@given(value=LENGTHS, mark=MARKS)
def test_rounding_is_to_the_nearest_mark_and_within_floor_and_ceiling(value, mark):
    low, near, high = (
        floor_to_mark(value, mark),
        round_to_mark(value, mark),
        ceil_to_mark(value, mark),
    )
    assert low <= value <= high
    assert high - low in (0, mark)
    assert near in (low, high)
    assert abs(near - value) <= mark / 2
    assert (near / mark).denominator == 1
    assert round_to_mark(-value, mark) == -near


@given(
    steps=st.integers(-100_000, 100_000),
    mark=MARKS,
    units=st.sampled_from(["in", "mm"]),
    feet=st.booleans(),
    unit=st.booleans(),
)
def test_print_reads_back_as_the_same_length(steps, mark, units, feet, unit):
    value = steps * mark
    if abs(value) > 12000:
        value /= 20
        value = round_to_mark(value, mark)
    text = length_text(value, units, mark, feet=feet, unit=unit)
    assert parse(text, units) == value


@given(
    value=st.fractions(-11000, 11000, max_denominator=10**6), units=st.sampled_from(["in", "mm"])
)
def test_exact_print_reads_back_as_the_same_length(value, units):
    assert parse(exact_text(value, units), units) == value
    assert parse(exact_text(value, units, unit=False), units) == value


@given(
    limit=st.fractions(0, 2000, max_denominator=1000),
    off=st.fractions(-2, 2, max_denominator=10**12),
    mark=MARKS,
    units=st.sampled_from(["in", "mm"]),
    feet=st.booleans(),
)
def test_print_stands_on_the_same_side_of_the_limit_as_the_value(limit, off, mark, units, feet):
    value = limit + off
    shown = parse(text_against_limit(value, limit, units, mark, feet), units)
    assert (shown > limit) == (value > limit)
    assert (shown < limit) == (value < limit)
    assert abs(shown - value) <= max(mark / 2, Fraction(1, 10000))


@pytest.mark.parametrize(
    ("value", "limit", "units", "mark", "shown"),
    [
        (Fraction(60001, 10000), 6, "in", Fraction(1, 16), '6.0001"'),
        (6.04, 6, "in", Fraction(1, 16), '6 1/16"'),
        (6 + Fraction(1, 10**30), 6, "in", Fraction(1, 16), '6.0001"'),
        (6 - Fraction(1, 10**30), 6, "in", Fraction(1, 16), '5.9999"'),
        (5.99, 6, "in", Fraction(1, 16), '5.99"'),
        (6, 6, "in", Fraction(1, 16), '6"'),
        (35.99, 36, "in", Fraction(1, 16), '35.99"'),
        (100.2, 100, "mm", 1, "100.2 mm"),
        (99.96, 100, "mm", 1, "99.96 mm"),
        (100, 100, "mm", 1, "100 mm"),
        (Fraction(43, 10), Fraction(43, 10), "in", Fraction(1, 16), '4.3"'),
        (4.29, 4.3, "in", Fraction(1, 4), '4 1/4"'),
        (-0.01, 0, "in", Fraction(1, 16), '-0.01"'),
    ],
)
def test_a_value_over_its_limit_never_prints_as_one_at_it(value, limit, units, mark, shown):
    assert text_against_limit(value, limit, units, mark) == shown


def test_a_verdict_decided_exactly_rules_the_print():
    just_over = 6.000000000000001
    assert text_against_limit(just_over, 6, "in", Fraction(1, 16), side=0) == '6"'
    assert text_against_limit(6.0, 6, "in", Fraction(1, 16), side=1) == '6.0001"'
    assert text_against_limit(just_over, 6, "in", Fraction(1, 16), side=-1) == '5.9999"'
    assert text_against_limit(36.0, 36, "in", Fraction(1, 16), feet=True, side=0) == "3'-0\""


ANGLES = st.fractions(0, 90, max_denominator=10**12)


@given(ANGLES, ANGLES)
@example(Fraction("36.8698976458"), Fraction("36.8698976459"))
@example(Fraction("34.6237"), Fraction("34.62"))
@example(Fraction(38), Fraction(38))
def test_an_angle_never_prints_on_the_other_side_of_its_limit(value, limit):
    shown, at = (Fraction(text.removesuffix("°")) for text in angle_against_limit(value, limit))
    assert (shown > at) - (shown < at) == (value > limit) - (value < limit)
    assert abs(shown - value) <= Fraction(1, 20)


@given(ANGLES, st.sampled_from([-1, 0, 1]))
def test_an_angle_that_a_float_cannot_tell_from_its_limit_prints_on_the_side_that_is_told(
    limit, side
):
    shown, at = (Fraction(text[:-1]) for text in angle_against_limit(limit, limit, side))
    assert (shown > at) - (shown < at) == side
