"""International Residential Code, 2024 edition: stairs R318.7, guards R321.1.

The code itself was not in reach.  Values were read in: Jefferson County (Colorado), stairways page,
jeffco.us/2095/Stairways, quoting the 2018 edition; Camden County (North Carolina), ordinance,
codelibrary.amlegal.com (camdencounty_nc 0-0-0-3017); a public copy of the 2024 clauses; for the
loads Washington WAC 51-51-0301, lawfilesext.leg.wa.gov.  In this edition handrails are ruled on in
R320 and guards in R321. From memory: that the loads' excerpt is of this edition.
"""

from clauses import holds_clause, printed_values

from stairs.rules import load

BOOK = load("irc-2024")

FLIGHT = {"section": "flight"}
LEVEL = {"section": "level"}
HANDRAIL = {"section": "flight", "handrail": True}

# public copy of the 2024 clauses
SEEN_IN_A_COPY = [
    ("R318.7.3", "flight-rise-max", {}, "151", "maximum"),
    ("R318.7.5.1", "riser-uniformity", {}, "3/8", "maximum"),
    ("R318.7.5.1", "riser-slope-max", {}, "30", "maximum"),
    ("R318.7.5.1", "opening-open-riser", {"open_risers": True, "drop": 31}, "4", "ball-smaller"),
    ("R318.7.5.2", "tread-uniformity", {}, "3/8", "maximum"),
    ("R318.7.5.3", "nosing-min", {"open_risers": False}, "3/4", "minimum"),
    ("R318.7.5.3", "nosing-max", {"open_risers": False}, "5/4", "maximum"),
    ("R318.7.5.3", "nosing-not-needed-tread", {}, "11", "needed-below"),
    ("R318.7.8", "handrail-needed-risers", {}, "4", "needed-from"),
    ("R318.7.5.1", "unit-rise-max", {}, "7.75", "maximum"),
    ("R318.7.5.2", "unit-run-min", {}, "10", "minimum"),
    ("R321.1.1", "guard-needed-drop", {}, "30", "needed-above"),
    ("R321.1.2", "guard-height-min", LEVEL, "36", "minimum"),
    ("R321.1.2 exc. 1", "guard-height-min", FLIGHT, "34", "minimum"),
    ("R321.1.2 exc. 2", "handrail-height-min", HANDRAIL, "34", "minimum"),
    ("R321.1.2 exc. 2", "handrail-height-max", HANDRAIL, "38", "maximum"),
    ("R321.1.3", "opening-baluster", LEVEL, "4", "ball-smaller"),
    ("R321.1.3", "opening-end", LEVEL, "4", "ball-smaller"),
    ("R321.1.3", "opening-under-rail", LEVEL, "4", "ball-smaller"),
    ("R321.1.3 exc. 1", "opening-triangle", FLIGHT, "6", "ball-smaller"),
    ("R321.1.3 exc. 2", "opening-baluster", FLIGHT, "4.375", "ball-smaller"),
    ("R321.1.3 exc. 2", "opening-end", FLIGHT, "4.375", "ball-smaller"),
    ("R321.1.3 exc. 2", "opening-under-rail", FLIGHT, "4.375", "ball-smaller"),
]

# not said of the foot or the head in so many words
READINGS = [
    ("R321.1.3 exc. 1", "opening-foot", FLIGHT, "6", "ball-smaller"),
    ("R321.1.3 exc. 2", "opening-head", FLIGHT, "4.375", "ball-smaller"),
]


@printed_values(SEEN_IN_A_COPY)
def test_clause_values_seen_in_a_copy(clause, check, case, printed, kind):
    """Values read in a copy of the 2024 clauses."""
    holds_clause(BOOK, "seen in a copy", clause, check, case, printed, kind)


@printed_values(READINGS)
def test_clause_readings_at_foot_and_head(clause, check, case, printed, kind):
    """The exceptions name riser, tread, bottom rail and the open side only."""
    holds_clause(BOOK, "interpretation", clause, check, case, printed, kind)


def test_table_r301_5_guard_loads():
    """Note d: 200 lb at any point along the top; note f: 50 lb on 1 sq ft; no line load."""
    assert [(load.id, load.value, load.unit, load.over) for load in BOOK.loads] == [
        ("guard-point", 200, "lbf", ""),
        ("infill", 50, "lbf", "1 square foot"),
    ]
    assert [load.clause for load in BOOK.loads] == ["Table R301.5 note d", "Table R301.5 note f"]
    assert all(load.provenance == "seen" for load in BOOK.loads)
    assert BOOK.load("guard-line") is None


def test_no_value_of_this_edition_is_from_memory():
    assert {rule.provenance for rule in BOOK.rules} == {"seen in a copy", "interpretation"}
