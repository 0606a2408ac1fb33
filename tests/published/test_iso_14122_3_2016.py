"""EN ISO 14122-3:2016, Permanent means of access to machinery: stairs, stepladders, guard-rails.

The standard itself was not in reach.  Read second hand in an engineering office's commentary. From
memory: everything about the guard.
"""

from clauses import holds_clause, is_marked_from_memory, printed_values, recalled_values

from stairs.rules import load

BOOK = load("iso-14122-3-2016")

FLIGHT = {"section": "flight"}
LEVEL = {"section": "level"}

# engineering office's commentary
SECOND_HAND = [
    ("5.1 to 5.4", "step-formula-min", {}, "600", "minimum"),
    ("5.1 to 5.4", "step-formula-max", {}, "660", "maximum"),
    ("5.1 to 5.4", "unit-run-min", {}, "210", "minimum"),
    ("5.1 to 5.4", "unit-run-max", {}, "310", "maximum"),
    ("5.1 to 5.4", "nosing-min", {}, "10", "minimum"),
    ("5.1 to 5.4", "flight-rise-max", {}, "3000", "maximum"),
    ("5.1 to 5.4", "flight-rise-max", {"single_flight": True}, "4000", "maximum"),
    ("EN ISO 14122-1", "rake-min", {}, "20", "minimum"),
    ("EN ISO 14122-1", "rake-max", {}, "45", "maximum"),
]

# recalled, not published here
FROM_MEMORY = [
    ("clause 7", "guard-height-min", FLIGHT, "900"),
    ("clause 7", "guard-height-max", FLIGHT, "1100"),
    ("clause 7", "guard-height-min", LEVEL, "1100"),
    ("clause 7", "midrail-gap-max", FLIGHT, "500"),
    ("clause 7", "guard-needed-drop", {}, "500"),
    ("clause 7", "opening-baluster", FLIGHT, "180"),
]


@printed_values(SECOND_HAND)
def test_clause_values_second_hand(clause, check, case, printed, kind):
    """Values read in the commentary."""
    holds_clause(BOOK, "seen second hand", clause, check, case, printed, kind)


@recalled_values(FROM_MEMORY)
def test_from_memory_and_marked_so(clause, check, case, recalled):
    """Values that nobody saw stay marked as such until the code is opened."""
    is_marked_from_memory(BOOK, clause, check, case, recalled)
