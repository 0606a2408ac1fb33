"""What floats may be off by: one name and one value for each reason to allow for it.

Each is a part of the size at hand, or an amount in the unit at hand where sizes are near 1 or more.
Verdicts are not decided with them: nearer than a hair the exact numbers are asked.
"""

SAME = 1e-9
"""Two results of a long chain of floats that are no farther apart are taken for the same."""

ROUNDING = 1e-12
"""What a few operations may leave, and how near to a root or a least value it is worth coming."""

SIGHT = 1e-6
"""Nobody measures it and no drawing shows it: points no farther apart lie on each other [unit of
the work, or mm]."""

EITHER_WAY = 1e-6
"""So near to where a part is just lost, bounds reckon with it both kept and lost [unit of the
work]."""

CAREFUL = 1e-9
"""So near to a limit, as a part of it, a size that has no closed form counts as past it."""
