"""The paper-roll example of the encyclopaedia article *Cutting stock problem* (en.wikipedia.org).

Master rolls of 5600 mm; thirteen widths ordered, 219 rolls in all.  Printed: 73 master rolls are
the least, with 0.401 % waste.  From memory, no copy was seen; that the printed waste comes out of
the printed order bears the table out.
"""

from collections import Counter
from fractions import Fraction

from stairs.lists.cutting_plan import Piece, StockRail, plan_cuts

ORDER = {
    1380: 22,
    1520: 25,
    1560: 12,
    1710: 14,
    1820: 18,
    1880: 18,
    1930: 20,
    2000: 10,
    2050: 12,
    2100: 14,
    2140: 16,
    2150: 18,
    2200: 20,
}


def test_example_thirteen_widths():
    """73 master rolls; waste 0.401 %, three digits printed."""
    master = StockRail(Fraction(5600), Fraction(0), 561)
    rolls = [
        Piece(f"{width}", Fraction(width), Fraction(0), 0)
        for width, count in ORDER.items()
        for _ in range(count)
    ]
    plan = plan_cuts(rolls, [master], Fraction(10), Fraction(0))
    assert len(plan.rails) == 73
    assert plan.proved
    assert abs(100 * plan.waste / plan.bought - Fraction("0.401")) <= Fraction("0.0005")
    cut = Counter(int(item.piece.length) for rail in plan.rails for item in rail.placed)
    assert cut == ORDER
