"""BS 6180:2011, Barriers in and about buildings, Table 2: loads.

Mirror copy of Table 2.  From memory: that the three loads are separate (6.4.1), and where the point
load acts.
"""

from fractions import Fraction

import pytest

from stairs.rules import load

BOOK = load("england-ad-k-2013")


@pytest.mark.parametrize(
    ("row", "use", "name", "printed", "unit"),
    [
        ("(i)", "private", "guard-line", "0.36", "kN/m"),
        ("(i)", "private", "infill", "0.5", "kN/m2"),
        ("(i)", "private", "infill-point", "0.25", "kN"),
        ("(ii)", "general", "guard-line", "0.74", "kN/m"),
        ("(ii)", "general", "infill", "1.0", "kN/m2"),
        ("(ii)", "general", "infill-point", "0.5", "kN"),
        ("(iii)", "utility", "guard-line", "0.22", "kN/m"),
    ],
)
def test_table_2(row, use, name, printed, unit):
    """One dwelling (i); other residential, and balconies of one (ii); light access stair (iii)."""
    found = BOOK.load(name, use)
    assert (found.value, found.unit) == (Fraction(printed), unit)
    assert found.clause == f"BS 6180:2011 Table 2 {row}"
    assert found.provenance == "seen in a copy"
