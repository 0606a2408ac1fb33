"""BS 6180:2011, Barriers in and about buildings, Table 2: loads.

Mirror copy of Table 2; that Approved Document K, 3.2(c), names BS EN 1991-1-1 with its UK annex and
PD 6688-1-1, and this standard for further guidance only, was seen in a page copy of the edition of
2013.  From memory: that the three loads are separate (6.4.1), and where the point load acts.
"""

from fractions import Fraction

import pytest

from stairs.rules import load

BOOK = load("england-ad-k-2013")

NAMED = "BS EN 1991-1-1 and PD 6688-1-1"
ROW_I = (("guard-line", "0.36", "kN/m"), ("infill", "0.5", "kN/m2"), ("infill-point", "0.25", "kN"))
ROW_II = (("guard-line", "0.74", "kN/m"), ("infill", "1.0", "kN/m2"), ("infill-point", "0.5", "kN"))


@pytest.mark.parametrize(
    ("row", "printed", "case"),
    [
        ("(i)", ROW_I, {"use": "private", "section": "flight"}),
        ("(i)", ROW_I, {"use": "private", "section": "landing"}),
        ("(ii)", ROW_II, {"use": "private", "section": "level"}),
        ("(ii)", ROW_II, {"use": "general", "section": "flight"}),
        ("(ii)", ROW_II, {"use": "general", "section": "level"}),
        ("(ii)", ROW_II, {"use": "utility", "section": "flight"}),
        ("(ii)", ROW_II, {"use": "utility", "section": "flight", "width": 800}),
        ("(ii)", ROW_II[1:], {"use": "utility", "section": "flight", "width": 600}),
        ("(iii)", (("guard-line", "0.22", "kN/m"),),
         {"use": "utility", "section": "flight", "width": 600}),
    ],
    ids=str,
)  # fmt: skip
def test_table_2(row, printed, case):
    """Flights and landings of one dwelling (i); balconies and deck edges, others (ii); light access
    stairs at most 600 mm wide (iii)."""
    for name, value, unit in printed:
        found = BOOK.load(name, **case)
        assert (found.value, found.unit) == (Fraction(value), unit)
        assert found.clause == f"3.2(c) by {NAMED}; BS 6180:2011 Table 2 {row}"
        assert found.provenance == "seen in a copy"


def test_only_a_stair_told_to_be_narrow_is_a_light_access_stair():
    """600 mm is, 601 mm is not, and a stair of no told width is not."""
    case = {"use": "utility", "section": "flight"}
    assert float(BOOK.load("guard-line", width=600, **case).value) == 0.22
    assert float(BOOK.load("guard-line", width=601, **case).value) == 0.74
    assert float(BOOK.load("guard-line", **case).value) == 0.74
