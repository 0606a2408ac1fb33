"""DIN 18065:2015-03, Stairs in buildings.

The standard itself was not in reach.  Read second hand in: a public broadcaster's article (wdr.de,
2025); a forum report of the 2011 wording (woodworker.de thread 7303); wissensplanet.info; two
German forums and a trade page (a house stair's 20 and 23 cm); a trade article on the 2011 edition.
State law was read in Thuringia's text of the model building code and in workplace rule BGR 147,
4.1.5.2.  From memory: the step rule's ends, what holds for open risers, the cube of 15 cm.
"""

from clauses import holds_clause, is_marked_from_memory, printed_values, recalled_values

from stairs.rules import load

BOOK = load("din-18065-2015")

UNKNOWN = "clause not known"
STATE_LAW = "model building code, section 38(1)"
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
    ("Table 1", "unit-rise-max", {"use": "dwelling"}, "200", "maximum"),
    ("Table 1", "unit-run-min", {"use": "dwelling"}, "230", "minimum"),
    (UNKNOWN, "riser-uniformity-adjacent", {}, "5", "maximum"),
    (UNKNOWN, "tread-uniformity-adjacent", {}, "5", "maximum"),
]

# each step within 5 mm of its nominal size: no two differ by more than 10
READINGS = [
    (UNKNOWN, "riser-uniformity", {}, "10", "maximum"),
    (UNKNOWN, "tread-uniformity", {}, "10", "maximum"),
]

# state law: surfaces from a drop of 1 m, flights and landings at any
SEEN = [
    (f"{STATE_LAW} no. 1", "guard-needed-drop", LEVEL, "1000", "needed-above"),
    (f"{STATE_LAW} no. 6", "guard-needed-drop", FLIGHT, "0", "needed-above"),
    (f"{STATE_LAW} no. 6", "guard-needed-drop", {"section": "landing"}, "0", "needed-above"),
]

# recalled, not published here
FROM_MEMORY = [
    (UNKNOWN, "step-formula-min", {}, "590"),
    (UNKNOWN, "step-formula-max", {}, "650"),
    (UNKNOWN, "opening-open-riser", {"open_risers": True}, "120"),
    (UNKNOWN, "nosing-min", {"open_risers": True}, "30"),
    (UNKNOWN, "opening-triangle", FLIGHT, "150"),
]


@printed_values(SECOND_HAND)
def test_values_second_hand(clause, check, case, printed, kind):
    """Values read in a report."""
    holds_clause(BOOK, "seen second hand", clause, check, case, printed, kind)


@printed_values(READINGS)
def test_tolerance_over_a_flight_is_a_reading(clause, check, case, printed, kind):
    """Said of each step against its nominal size."""
    holds_clause(BOOK, "interpretation", clause, check, case, printed, kind)


@printed_values(SEEN)
def test_state_law_seen(clause, check, case, printed, kind):
    """The free sides of flights and landings at any drop."""
    holds_clause(BOOK, "seen", clause, check, case, printed, kind)


@recalled_values(FROM_MEMORY)
def test_from_memory_and_marked_so(clause, check, case, recalled):
    """Values that nobody saw stay marked as such; the cube of 15 cm is one of them."""
    is_marked_from_memory(BOOK, clause, check, case, recalled)


def test_the_cube_is_a_cube():
    """15 cm, tried on what is under the guard of a stair."""
    for check in ("opening-triangle", "opening-foot", "opening-head", "opening-under-rail"):
        assert BOOK.rule(check, section="flight").limit_kind == "cube-smaller"
