"""Emanuel Falkenauer, *A hybrid grouping genetic algorithm for bin packing* (Journal of Heuristics
2, 1996), test set t60: sixty items that fill twenty bins of 1000 without a rest, three to a bin.

Instance t60_00 as it stands in the public library of bin packing problems BPPLIB, where the optimum
of 20 is given with it.
"""

from fractions import Fraction

from stairs.lists.cutting_plan import Piece, StockRail, plan_cuts

ITEMS = (
    495, 474, 473, 472, 466, 450, 445, 444, 439, 430, 419, 414, 410, 395, 372,
    370, 366, 366, 366, 363, 361, 357, 355, 351, 350, 350, 347, 320, 315, 307,
    303, 299, 298, 298, 292, 288, 287, 283, 275, 275, 274, 273, 273, 272, 272,
    271, 269, 269, 268, 263, 262, 261, 259, 258, 255, 254, 252, 252, 252, 251,
)  # fmt: skip


def test_t60_00_takes_20_bins():
    assert len(ITEMS) == 60 and sum(ITEMS) == 20 * 1000
    items = [Piece(str(n), Fraction(size), Fraction(0), 0) for n, size in enumerate(ITEMS)]
    bin_ = StockRail(Fraction(1000), Fraction(0), 1001)
    plan = plan_cuts(items, [bin_], Fraction(1), Fraction(0), 60.0)
    assert len(plan.rails) == 20
    assert plan.proved
    assert all(sum(item.piece.length for item in rail.placed) == 1000 for rail in plan.rails)
