"""ASCE 7-10, Minimum Design Loads for Buildings and Other Structures, 4.5.1: guards.

Mirror copy of the text; the infill's 50 lb also in the Minnesota code of 2020, 1607.8.1 (up.codes).
From memory: the clause numbers of ASCE 7-16 and of the IBC of 2021, and the infill's area.
"""

from fractions import Fraction

import pytest

from stairs.rules import load

BOOK = load("ibc-2021")


@pytest.mark.parametrize(
    ("name", "printed", "unit"),
    [("guard-point", "200", "lbf"), ("guard-line", "50", "lbf/ft"), ("infill", "50", "lbf")],
)
def test_clause_4_5_1(name, printed, unit):
    """200 lb in any direction; 50 lb/ft in any direction, not together; 50 lb on the infill."""
    found = BOOK.load(name, section="level")
    assert (found.value, found.unit) == (Fraction(printed), unit)
    assert found.provenance == "seen"
    assert "clause number from memory" in found.provenance_text


def test_1607_9_1_exc_2_of_the_building_code():
    """State adoptions: 20 lb/ft where the occupant load is under 50; here it is only told."""
    found = BOOK.load("guard-line", use="industrial")
    assert found.value == 50
    assert (
        "20 lbf/ft" in found.note and "1607.9.1 exc. 2" in found.note and "under 50" in found.note
    )
    assert found.clause.startswith("1607.9.1;")
