"""Vašek Chvátal, *Linear Programming*, W. H. Freeman 1983, chapter 13, the cutting-stock problem.

The classical paper mill: raws 100 inches wide are cut into 97 finals of 45 inches, 610 of 36, 395
of 31 and 211 of 14.  From memory, no copy was seen; the numbers below bear each other out (the
linear programme gives 452 1/4, so that 453 raws are the least).
"""

from collections import Counter
from fractions import Fraction

from stairs.lists.cutting_plan import Piece, StockRail, plan_cuts

ORDER = {45: 97, 36: 610, 31: 395, 14: 211}


def test_chapter_13_paper_mill():
    """453 raws.  Without holes to keep to: a pattern at every inch, no balusters, no kerf."""
    raw = StockRail(Fraction(100), Fraction(0), 101)
    finals = [
        Piece(f"{width}", Fraction(width), Fraction(0), 0)
        for width, count in ORDER.items()
        for _ in range(count)
    ]
    plan = plan_cuts(finals, [raw], Fraction(1), Fraction(0))
    assert len(plan.rails) == 453
    assert plan.proved
    cut = Counter(int(item.piece.length) for rail in plan.rails for item in rail.placed)
    assert cut == ORDER
    assert all(sum(item.piece.length for item in rail.placed) <= 100 for rail in plan.rails)


def test_chapter_13_linear_bound_is_below_453_and_above_452():
    """By hand: a final of 45 or of 36 is worth 1/2, one of 31 is worth 1/4, one of 14 nothing.

    No raw holds finals worth more than 1: two of 36 or 45 make 1 and leave too little for a 31, one
    leaves room for at most 64, that is two of 31; three of 31 make 3/4.  So the order needs at
    least 97/2 + 610/2 + 395/4 = 452 1/4 raws.
    """
    price = {45: Fraction(1, 2), 36: Fraction(1, 2), 31: Fraction(1, 4), 14: Fraction(0)}
    for a in range(3):
        for b in range(3):
            for c in range(4):
                if 45 * a + 36 * b + 31 * c <= 100:
                    assert a * price[45] + b * price[36] + c * price[31] <= 1
    assert sum(price[width] * count for width, count in ORDER.items()) == Fraction(1809, 4)
