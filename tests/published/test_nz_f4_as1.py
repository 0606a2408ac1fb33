"""New Zealand, Acceptable Solution F4/AS1, Safety from falling.

Read in a typed copy: the fall of 1 m, and the balls of 1.2 b) and 1.2 c).  Second hand: the heights
for one household.  From memory: the edition's number, the numbers F4.3.1 and Table 1, landings,
other buildings, and the handrail of D1/AS1.
"""

from clauses import holds_clause, is_marked_from_memory, printed_values, recalled_values

from stairs.rules import load

BOOK = load("nz-f4-as1")

FLIGHT = {"section": "flight"}
LEVEL = {"section": "level"}
LANDING = {"section": "landing"}

# typed copy of F4/AS1
SEEN_IN_A_COPY = [
    ("F4.3.1", "guard-needed-drop", {}, "1000", "needed-from"),
    ("1.2 b)", "opening-baluster", FLIGHT, "100", "ball-smaller"),
    ("1.2 b)", "opening-end", LEVEL, "100", "ball-smaller"),
    ("1.2 b)", "opening-under-rail", LEVEL, "100", "ball-smaller"),
    ("1.2 c)", "opening-triangle", FLIGHT, "150", "ball-smaller"),
]

# report of F4/AS1
SECOND_HAND = [
    ("Table 1", "guard-height-min", FLIGHT, "900", "minimum"),
    ("Table 1", "guard-height-min", LEVEL, "1000", "minimum"),
]

# the clause names riser, tread and the barrier's bottom only
READINGS = [
    ("1.2 c)", "opening-foot", FLIGHT, "150", "ball-smaller"),
    ("1.2 b)", "opening-head", FLIGHT, "100", "ball-smaller"),
]

# recalled, not published here
FROM_MEMORY = [
    ("Table 1", "guard-height-min", LANDING, "900"),
    ("Table 1", "guard-height-min", FLIGHT | {"use": "other"}, "900"),
    ("Table 1", "guard-height-min", LEVEL | {"use": "other"}, "1100"),
    ("D1/AS1", "handrail-height-min", {"handrail": True}, "900"),
    ("D1/AS1", "handrail-height-max", {"handrail": True}, "1000"),
]


@printed_values(SEEN_IN_A_COPY)
def test_clause_values_seen_in_a_copy(clause, check, case, printed, kind):
    """Values read in the typed copy."""
    holds_clause(BOOK, "seen in a copy", clause, check, case, printed, kind)


@printed_values(SECOND_HAND)
def test_heights_for_one_household_second_hand(clause, check, case, printed, kind):
    """Values read in a report."""
    holds_clause(BOOK, "seen second hand", clause, check, case, printed, kind)


@printed_values(READINGS)
def test_clause_1_2_readings_at_foot_and_head(clause, check, case, printed, kind):
    """Neither is named in the clause."""
    holds_clause(BOOK, "interpretation", clause, check, case, printed, kind)


@recalled_values(FROM_MEMORY)
def test_from_memory_and_marked_so(clause, check, case, recalled):
    """Values that nobody saw stay marked as such until the text is opened."""
    is_marked_from_memory(BOOK, clause, check, case, recalled)
