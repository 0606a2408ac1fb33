"""National Construction Code, Australia, 2022, Volume One, part D3.

Read in: guide to D3D18, abcb.gov.au; the national board's news page on the edition, for the gap
beside a barrier; a code explainer page (second hand).  From memory: the open riser, the risers in a
flight, how far steps may differ, the drop, the handrail, and the clause number of the openings.
"""

from clauses import holds_clause, is_marked_from_memory, printed_values, recalled_values

from stairs.rules import load

BOOK = load("ncc-2022")

FLIGHT = {"section": "flight"}
LEVEL = {"section": "level"}

# abcb.gov.au: guide to D3D18; news page on the edition of 2022
SEEN = [
    ("D3D18", "guard-height-min", FLIGHT, "865", "minimum"),
    ("D3D18", "guard-height-min", LEVEL, "1000", "minimum"),
    ("D3D19; Housing Provisions 11.3.4", "side-gap-max", FLIGHT, "40", "maximum"),
]

# code explainer page
SECOND_HAND = [
    ("Table D3D14", "unit-rise-min", {"use": "private"}, "115", "minimum"),
    ("Table D3D14", "unit-rise-max", {"use": "private"}, "190", "maximum"),
    ("Table D3D14", "unit-run-min", {"use": "private"}, "240", "minimum"),
    ("Table D3D14", "unit-run-max", {"use": "private"}, "355", "maximum"),
    ("Table D3D14", "unit-rise-min", {"use": "public"}, "115", "minimum"),
    ("Table D3D14", "unit-rise-max", {"use": "public"}, "190", "maximum"),
    ("Table D3D14", "unit-run-min", {"use": "public"}, "250", "minimum"),
    ("Table D3D14", "unit-run-max", {"use": "public"}, "355", "maximum"),
    ("Table D3D14", "step-formula-min", {}, "550", "minimum"),
    ("Table D3D14", "step-formula-max", {}, "700", "maximum"),
    ("D3D19", "opening-triangle", FLIGHT, "125", "ball-smaller"),
    ("D3D19", "opening-baluster", FLIGHT, "125", "ball-smaller"),
    ("D3D19", "opening-under-rail", FLIGHT, "125", "ball-smaller"),
    ("D3D19", "opening-baluster", LEVEL, "125", "ball-smaller"),
]

# recalled, not published here
FROM_MEMORY = [
    ("D2.13 (2008)", "opening-open-riser", {"open_risers": True}, "125"),
    ("D2.13 (2008)", "risers-per-flight-min", {}, "2"),
    ("D2.13 (2008)", "risers-per-flight-max", {}, "18"),
    ("D3D17", "guard-needed-drop", {}, "1000"),
    ("Table D3D14", "riser-uniformity-adjacent", {}, "5"),
    ("Table D3D14", "tread-uniformity-adjacent", {}, "5"),
    ("Table D3D14", "riser-uniformity", {}, "10"),
    ("Table D3D14", "tread-uniformity", {}, "10"),
    ("11.3.5 (Housing Provisions)", "handrail-height-min", {"handrail": True}, "865"),
]


@printed_values(SEEN)
def test_clause_values_seen(clause, check, case, printed, kind):
    """Values read in the guide."""
    holds_clause(BOOK, "seen", clause, check, case, printed, kind)


@printed_values(SECOND_HAND)
def test_clause_values_second_hand(clause, check, case, printed, kind):
    """Values read in a report."""
    holds_clause(BOOK, "seen second hand", clause, check, case, printed, kind)


@recalled_values(FROM_MEMORY)
def test_from_memory_and_marked_so(clause, check, case, recalled):
    """Values that nobody saw stay marked as such until the code is opened."""
    is_marked_from_memory(BOOK, clause, check, case, recalled)


def test_clause_d3d19_is_tried_above_the_nosing_line_on_stairs():
    assert BOOK.rule("opening-triangle", section="flight").when.above_nosing_line
    assert not BOOK.rule("opening-baluster", section="level").when.above_nosing_line
    assert "clause number from memory" in BOOK.rule("opening-end", section="level").provenance_text
