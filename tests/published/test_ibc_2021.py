"""International Building Code, 2021 edition: stairs 1011, handrails 1014, guards 1015.

The model code itself was not in reach. Values were read in: 780 CMR, 10th edition (Massachusetts),
1015.3, public copy; New York City Building Code 1015.4, public copy; a carpentry extract on
boulderlibrary.net, Stair & Ramp Framing (second hand); 2000 edition, excerpts on corada.com; city
and federal copies of 1011.5.2 exc. 3, 1011.11 and 1015.2; a building-code forum on 1015.3 exc. 1.
From memory: the flight's rise, the stair guard of 34 in, the handrail's height, what holds for it
in dwelling units, the exception for stairs in dwelling units, 1011.5.5, and the number 1011.5.4.
"""

from clauses import holds_clause, is_marked_from_memory, printed_values, recalled_values

from stairs.rules import load

BOOK = load("ibc-2021")

FLIGHT = {"section": "flight"}
LEVEL = {"section": "level"}
HANDRAIL = {"section": "flight", "handrail": True}

# 780 CMR 1015.3, New York City 1015.4, city and federal copies
SEEN_IN_A_COPY = [
    ("1015.3", "guard-height-min", LEVEL, "42", "minimum"),
    ("1015.3", "guard-height-min", FLIGHT, "42", "minimum"),
    ("1015.4", "opening-baluster", LEVEL, "4", "ball-smaller"),
    ("1015.4", "opening-baluster", LEVEL | {"height": 35}, "4", "ball-smaller"),
    ("1015.4 exc. 1", "opening-baluster", LEVEL | {"height": 36}, "4.375", "ball-smaller"),
    ("1015.4 exc. 1", "opening-end", FLIGHT | {"height": 40}, "4.375", "ball-smaller"),
    ("1015.4 exc. 2", "opening-triangle", FLIGHT, "6", "ball-smaller"),
    ("1015.4 exc. 4", "opening-baluster", LEVEL | {"use": "industrial"}, "21", "ball-smaller"),
    ("1015.4 exc. 4", "opening-triangle", FLIGHT | {"use": "industrial"}, "21", "ball-smaller"),
    ("1011.5.2 exc. 3", "unit-rise-max", {"use": "dwelling"}, "7.75", "maximum"),
    ("1011.5.2 exc. 3", "unit-run-min", {"use": "dwelling"}, "10", "minimum"),
    ("1011.11", "handrail-needed-risers", {}, "1", "needed-from"),
    ("1015.2", "guard-needed-drop", {}, "30", "needed-above"),
]

# Stair & Ramp Framing; of 1015.3 exc. 1 a building-code forum
SECOND_HAND = [
    ("1011.5.2", "unit-rise-min", {}, "4", "minimum"),
    ("1011.5.2", "unit-rise-max", {}, "7", "maximum"),
    ("1011.5.2", "unit-run-min", {}, "11", "minimum"),
    ("1015.3 exc. 1", "guard-height-min", LEVEL | {"use": "dwelling"}, "36", "minimum"),
    ("1011.5.4", "riser-uniformity", {}, "3/8", "maximum"),
    ("1011.5.4", "tread-uniformity", {}, "3/8", "maximum"),
]

# the clause names neither foot nor head
READINGS = [
    ("1015.4 exc. 2", "opening-foot", FLIGHT, "6", "ball-smaller"),
    ("1015.4", "opening-head", FLIGHT, "4", "ball-smaller"),
    ("1015.4 exc. 6", "opening-head", FLIGHT | {"use": "dwelling"}, "4.375", "ball-smaller"),
]

# recalled, not published here
FROM_MEMORY = [
    ("1011.8", "flight-rise-max", {}, "144"),
    ("1015.3 exc. 2", "guard-height-min", FLIGHT | {"use": "dwelling"}, "34"),
    ("1011.11 exc. 4", "handrail-needed-risers", {"use": "dwelling"}, "4"),
    ("1011.5.5.1", "nosing-max", {}, "1.25"),
    ("1011.5.5.3", "riser-slope-max", {}, "30"),
    ("1011.5.5.3", "opening-open-riser", {"open_risers": True}, "4"),
    ("1014.2", "handrail-height-min", HANDRAIL, "34"),
    ("1014.2", "handrail-height-max", HANDRAIL, "38"),
    ("1015.4 exc. 6", "opening-baluster", FLIGHT | {"use": "dwelling"}, "4.375"),
]


@printed_values(SEEN_IN_A_COPY)
def test_clause_values_seen_in_a_copy(clause, check, case, printed, kind):
    """Values read in adoptions by a state and a city."""
    holds_clause(BOOK, "seen in a copy", clause, check, case, printed, kind)


@printed_values(SECOND_HAND)
def test_clause_values_second_hand(clause, check, case, printed, kind):
    """Values read in a report."""
    holds_clause(BOOK, "seen second hand", clause, check, case, printed, kind)


@printed_values(READINGS)
def test_clause_readings_at_foot_and_head(clause, check, case, printed, kind):
    """Neither is named in the clause."""
    holds_clause(BOOK, "interpretation", clause, check, case, printed, kind)


@recalled_values(FROM_MEMORY)
def test_from_memory_and_marked_so(clause, check, case, recalled):
    """Values that nobody saw stay marked as such until the code is opened."""
    is_marked_from_memory(BOOK, clause, check, case, recalled)


def test_clause_numbers_from_memory_are_marked():
    """1011.5.4: value second hand, number recalled."""
    for rule in BOOK.rules:
        if rule.clause == "1011.5.4":
            assert "clause number from memory" in rule.provenance_text
        elif rule.clause.startswith("1011.5.2"):
            assert "memory" not in rule.provenance_text


def test_1015_3_exc_1_says_for_whom():
    """R-3, and R-2 units with a way out of their own, at most three stories; not in California."""
    note = BOOK.rule("guard-height-min", section="level", use="dwelling").note
    assert all(word in note for word in ("R-3", "R-2", "three stories", "California"))
