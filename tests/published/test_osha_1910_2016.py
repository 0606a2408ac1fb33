"""29 CFR 1910 subpart D, Walking-Working Surfaces, final rule of November 2016.

Read in: OSHA letter of 17 June 2025 (osha.gov standardinterpretations/2025-06-17) on 1910.25(c);
public notes checked against osha.gov, an engineering forum that quotes 1910.29(f)(1) in full, and
training pages (all second hand). From memory: the drop of 1910.28(b)(1)(i), 150 lb on a midrail.
"""

from fractions import Fraction

from clauses import holds_clause, is_marked_from_memory, printed_values, recalled_values

from stairs.rules import load

BOOK = load("osha-1910-2016")

FLIGHT = {"section": "flight"}
LEVEL = {"section": "level"}
HANDRAIL = {"section": "flight", "handrail": True}
OF_ITS_OWN = {"section": "flight", "handrail": False}

# letter of 17 June 2025
SEEN = [
    ("1910.25(c)(1)", "rake-min", {}, "30", "minimum"),
    ("1910.25(c)(1)", "rake-max", {}, "50", "maximum"),
    ("1910.25(c)(2)", "unit-rise-max", {}, "9.5", "maximum"),
    ("1910.25(c)(3)", "tread-depth-min", {}, "9.5", "minimum"),
    ("1910.25(c)(3)", "unit-run-min", {}, "9.5", "minimum"),
]

# public notes, engineering forum, training pages
SECOND_HAND = [
    ("1910.28(b)(11)(ii)", "guard-needed-risers", FLIGHT, "4", "needed-from"),
    ("1910.28(b)(11)(ii)", "handrail-needed-risers", {}, "4", "needed-from"),
    ("1910.29(b)(1)", "guard-height-min", LEVEL, "39", "minimum"),
    ("1910.29(f)(1)(ii)", "guard-height-min", FLIGHT, "42", "minimum"),
    ("1910.29(f)(1)(iii)(A)", "handrail-height-min", HANDRAIL, "36", "minimum"),
    ("1910.29(f)(1)(iii)(A)", "handrail-height-max", HANDRAIL, "38", "maximum"),
    ("1910.29(f)(1)(i)", "handrail-height-min", OF_ITS_OWN, "30", "minimum"),
    ("1910.29(f)(1)(i)", "handrail-height-max", OF_ITS_OWN, "38", "maximum"),
    ("1910.29(b)(2)(iv)", "opening-baluster", LEVEL, "19", "ball-at-most"),
    ("1910.29(b)(2)(iv)", "opening-under-rail", LEVEL, "19", "ball-at-most"),
    ("1910.29(f)(4)", "opening-baluster", FLIGHT, "19", "ball-at-most"),
    ("1910.29(f)(4)", "opening-triangle", FLIGHT, "19", "ball-at-most"),
]

# recalled, not published here
FROM_MEMORY = [
    ("1910.28(b)(1)(i)", "guard-needed-drop", LEVEL, "48"),
]


@printed_values(SEEN)
def test_clause_values_seen(clause, check, case, printed, kind):
    """Values read in the letter."""
    holds_clause(BOOK, "seen", clause, check, case, printed, kind)


@printed_values(SECOND_HAND)
def test_clause_values_second_hand(clause, check, case, printed, kind):
    """Values read in a report."""
    holds_clause(BOOK, "seen second hand", clause, check, case, printed, kind)


@recalled_values(FROM_MEMORY)
def test_from_memory_and_marked_so(clause, check, case, recalled):
    """Values that nobody saw stay marked as such until the code is opened."""
    is_marked_from_memory(BOOK, clause, check, case, recalled)


def test_letter_2025_a_run_made_up_by_the_nosing_is_not_accepted():
    """Asked of 8 in run and 1 1/2 in nosing, the letter answers no."""
    run, nosing = Fraction(8), Fraction(3, 2)
    assert BOOK.rule("tread-depth-min").allows(run + nosing)
    assert not BOOK.rule("unit-run-min").allows(run)


def test_letter_2025_nine_and_a_half_by_nine_and_a_half_passes():
    """9 1/2 in rise with 9 1/2 in run, 45 degrees: every limit of 1910.25(c) is kept."""
    assert BOOK.rule("unit-rise-max").allows(Fraction(19, 2))
    assert BOOK.rule("unit-run-min").allows(Fraction(19, 2))
    assert BOOK.rule("rake-max").allows(45)
    assert BOOK.rule("rake-min").allows(45)


def test_loads_of_1910_29_b():
    """200 lb on the top rail (second hand), 150 lb in place of a midrail (from memory)."""
    assert [(load.id, load.value, load.provenance) for load in BOOK.loads] == [
        ("guard-point", 200, "seen second hand"),
        ("infill", 150, "memory"),
    ]
