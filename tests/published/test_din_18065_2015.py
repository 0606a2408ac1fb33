"""DIN 18065:2015-03, Stairs in buildings.

The standard itself was not in reach.  Read second hand in: a public broadcaster's article (wdr.de,
2025); a forum report of the 2011 wording (woodworker.de thread 7303); wissensplanet.info. From
memory: the step rule's ends, a house stair's 20 and 23 cm, the drop, the cube of 15 cm.
"""

from clauses import holds_clause, is_marked_from_memory, printed_values, recalled_values

from stairs.rules import load

BOOK = load("din-18065-2015")

UNKNOWN = "clause not known"
FLIGHT = {"section": "flight"}
LEVEL = {"section": "level"}

# printed in cm there
SECOND_HAND = [
    ("Table 1", "unit-rise-min", {}, "140", "minimum"),
    ("Table 1", "unit-rise-max", {}, "190", "maximum"),
    ("Table 1", "unit-run-min", {}, "260", "minimum"),
    ("Table 1", "unit-run-max", {}, "370", "maximum"),
    (UNKNOWN, "risers-per-flight-max", {}, "18", "maximum"),
    (UNKNOWN, "guard-height-min", FLIGHT | {"drop": 12000}, "900", "minimum"),
    (UNKNOWN, "guard-height-min", FLIGHT | {"drop": 12001}, "1100", "minimum"),
    (UNKNOWN, "guard-height-min", LEVEL | {"use": "workplace"}, "1000", "minimum"),
    (UNKNOWN, "opening-baluster", FLIGHT, "120", "ball-at-most"),
    (UNKNOWN, "opening-end", LEVEL, "120", "ball-at-most"),
    (UNKNOWN, "handrail-height-min", {"handrail": True}, "800", "minimum"),
    (UNKNOWN, "handrail-height-max", {"handrail": True}, "1150", "maximum"),
    (UNKNOWN, "side-gap-max", FLIGHT, "60", "maximum"),
]

# recalled, not published here
FROM_MEMORY = [
    ("Table 1", "unit-rise-max", {"use": "dwelling"}, "200"),
    ("Table 1", "unit-run-min", {"use": "dwelling"}, "230"),
    (UNKNOWN, "step-formula-min", {}, "590"),
    (UNKNOWN, "step-formula-max", {}, "650"),
    ("model building regulation, section 38", "guard-needed-drop", {}, "1000"),
    (UNKNOWN, "opening-triangle", FLIGHT, "150"),
]


@printed_values(SECOND_HAND)
def test_values_second_hand(clause, check, case, printed, kind):
    """Values read in a report."""
    holds_clause(BOOK, "seen second hand", clause, check, case, printed, kind)


@recalled_values(FROM_MEMORY)
def test_from_memory_and_marked_so(clause, check, case, recalled):
    """Values that nobody saw stay marked as such; the cube of 15 cm is one of them."""
    is_marked_from_memory(BOOK, clause, check, case, recalled)


def test_the_cube_is_a_cube():
    """15 cm, tried on what is under the guard of a stair."""
    for check in ("opening-triangle", "opening-foot", "opening-head", "opening-under-rail"):
        assert BOOK.rule(check, section="flight").limit_kind == "cube-smaller"
