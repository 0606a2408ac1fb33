"""Approved Document K, Protection from falling, collision and impact, England, 2013 edition.

Read in page copies of the government documents of 1998 and 2013.  The handrail's height was read in
the edition of 1998 (1.27); 1.39 in a county council's guidance that quotes it; the risers of a
flight in a building encyclopedia (second hand).  From memory: open risers (1.9), and the drop of
380 mm in buildings other than dwellings (3.1).
"""

from clauses import holds_clause, is_marked_from_memory, printed_values, recalled_values

from stairs.rules import load

BOOK = load("england-ad-k-2013")

FLIGHT = {"section": "flight"}
LEVEL = {"section": "level"}
LANDING = {"section": "landing"}

# page copies, 2013 and (handrail) 1998
SEEN_IN_A_COPY = [
    ("Table 1.1", "unit-rise-min", {"use": "private"}, "150", "minimum"),
    ("Table 1.1", "unit-rise-max", {"use": "private"}, "220", "maximum"),
    ("Table 1.1", "unit-run-min", {"use": "private"}, "220", "minimum"),
    ("Table 1.1", "unit-run-max", {"use": "private"}, "300", "maximum"),
    ("Table 1.1", "unit-rise-min", {"use": "utility"}, "150", "minimum"),
    ("Table 1.1", "unit-rise-max", {"use": "utility"}, "190", "maximum"),
    ("Table 1.1", "unit-run-min", {"use": "utility"}, "250", "minimum"),
    ("Table 1.1", "unit-run-max", {"use": "utility"}, "400", "maximum"),
    ("Table 1.1", "unit-rise-min", {"use": "general"}, "150", "minimum"),
    ("Table 1.1", "unit-rise-max", {"use": "general"}, "170", "maximum"),
    ("Table 1.1", "unit-run-min", {"use": "general"}, "250", "minimum"),
    ("Table 1.1", "unit-run-max", {"use": "general"}, "400", "maximum"),
    ("Table 1.1 note 1", "rake-max", {"use": "private"}, "42", "maximum"),
    ("Table 1.1", "step-formula-min", {}, "550", "minimum"),
    ("Table 1.1", "step-formula-max", {}, "700", "maximum"),
    ("1.41", "guard-needed-drop", {}, "600", "needed-above"),
    ("Diagram 3.1", "guard-height-min", FLIGHT, "900", "minimum"),
    ("Diagram 3.1", "guard-height-min", {"section": "landing"}, "900", "minimum"),
    ("Diagram 3.1", "guard-height-min", LEVEL, "1100", "minimum"),
    ("Diagram 3.1", "guard-height-min", FLIGHT | {"use": "general"}, "900", "minimum"),
    ("Diagram 3.1", "guard-height-min", LANDING | {"use": "general"}, "1100", "minimum"),
    ("1.27 (1998)", "handrail-height-min", {"handrail": True}, "900", "minimum"),
    ("1.27 (1998)", "handrail-height-max", {"handrail": True}, "1000", "maximum"),
    ("3.3", "opening-baluster", LEVEL, "100", "ball-smaller"),
    ("3.3", "opening-end", LANDING, "100", "ball-smaller"),
    ("3.3", "opening-under-rail", LEVEL, "100", "ball-smaller"),
    ("1.40", "guard-needed-risers", FLIGHT | {"use": "general"}, "2", "needed-from"),
    ("1.40", "guard-needed-risers", FLIGHT | {"use": "utility"}, "2", "needed-from"),
    ("Diagram 1.1", "nosing-min", {"open_risers": True}, "16", "minimum"),
    ("Diagram 1.1", "nosing-max", {"use": "general"}, "25", "maximum"),
    ("Diagram 1.1", "nosing-max", {"use": "utility"}, "25", "maximum"),
]

# county council guidance quoting 1.39
SEEN = [
    ("1.39", "opening-baluster", FLIGHT, "100", "ball-smaller"),
    ("1.39", "opening-end", FLIGHT, "100", "ball-smaller"),
    ("1.39", "opening-under-rail", FLIGHT, "100", "ball-smaller"),
]

# building encyclopedia
SECOND_HAND = [
    ("clause not known", "risers-per-flight-max", {"use": "utility"}, "16", "maximum"),
    ("clause not known", "risers-per-flight-max", {"use": "general"}, "12", "maximum"),
    ("clause not known", "risers-per-flight-min", {"use": "general"}, "2", "minimum"),
]

# 1.39 speaks of any openings
READINGS = [
    ("1.39", "opening-triangle", FLIGHT, "100", "ball-smaller"),
    ("1.39", "opening-foot", FLIGHT, "100", "ball-smaller"),
    ("1.39", "opening-head", FLIGHT, "100", "ball-smaller"),
]

# recalled, not published here
FROM_MEMORY = [
    ("1.9", "opening-open-riser", {"open_risers": True}, "100"),
    ("3.1", "guard-needed-drop", LEVEL | {"use": "general"}, "380"),
]


@printed_values(SEEN_IN_A_COPY)
def test_clause_values_seen_in_a_copy(clause, check, case, printed, kind):
    """Values read in the page copies."""
    holds_clause(BOOK, "seen in a copy", clause, check, case, printed, kind)


@printed_values(SEEN)
def test_clause_1_39_seen(clause, check, case, printed, kind):
    """The ball on flights."""
    holds_clause(BOOK, "seen", clause, check, case, printed, kind)


@printed_values(SECOND_HAND)
def test_risers_of_a_flight_second_hand(clause, check, case, printed, kind):
    """Outside dwellings, and no single steps."""
    holds_clause(BOOK, "seen second hand", clause, check, case, printed, kind)


@printed_values(READINGS)
def test_clause_1_39_reading_under_the_bottom_rail(clause, check, case, printed, kind):
    """No separate allowance is made."""
    holds_clause(BOOK, "interpretation", clause, check, case, printed, kind)


@recalled_values(FROM_MEMORY)
def test_from_memory_and_marked_so(clause, check, case, recalled):
    """Values that nobody saw stay marked as such until the code is opened."""
    is_marked_from_memory(BOOK, clause, check, case, recalled)


def test_table_1_1_corner_breaks_its_own_note():
    """Rise 220 with going 220 keeps the table's limits and is 45 degrees, over its 42."""
    assert BOOK.rule("unit-rise-max").allows(220)
    assert BOOK.rule("unit-run-min").allows(220)
    assert BOOK.rule("step-formula-max").allows(2 * 220 + 220)
    assert not BOOK.rule("rake-max").allows(45)


def test_table_1_1_note_1_is_for_private_stairs_only():
    assert BOOK.rule("rake-max", use="utility") is None
    assert BOOK.rule("rake-max", use="general") is None


def test_diagram_1_1_asks_for_an_overlap_in_dwellings_with_open_risers_only():
    assert BOOK.rule("nosing-min", open_risers=False) is None
    assert BOOK.rule("nosing-min", open_risers=True, use="general") is None
    assert BOOK.rule("nosing-max", use="private") is None
    assert BOOK.rule("risers-per-flight-max", use="private") is None
